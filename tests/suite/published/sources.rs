//! Every row of the handbooks' tables is tried by a test, or says why not: `sources.csv`, beside this file.

use std::fs;
use std::path::Path;

use crate::bodies::data;

/// The rows of a table in `tests/data`: by the column `id` where it has one, else counted from 1.
fn ids(file: &str) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_path(data(file)).unwrap();
    let has_id = &reader.headers().unwrap()[0] == "id";
    reader.records().enumerate().map(|(i, row)| if has_id { row.unwrap()[0].to_owned() } else { (i + 1).to_string() }).collect()
}

#[test]
fn every_row_is_tested_or_says_why_not() {
    let here = Path::new(env!("CARGO_MANIFEST_DIR")).join("suite");
    let mut reader = csv::Reader::from_path(here.join("published/sources.csv")).unwrap();
    let listed: Vec<(String, String, String, String)> = reader.deserialize().map(|r| r.unwrap()).collect();
    for file in ["worked_examples.csv", "sewing_rules.csv"] {
        let ids = ids(file);
        assert!(ids.len() > 50, "{file} is read");
        for id in &ids {
            let n = listed.iter().filter(|l| l.0 == file && l.1 == *id).count();
            assert_eq!(n, 1, "row {id} of {file} is listed {n} times");
        }
        let unknown = listed.iter().find(|l| l.0 == file && !ids.contains(&l.1));
        assert!(unknown.is_none(), "{unknown:?}");
    }
    for (file, id, test, why) in &listed {
        assert!(!test.is_empty() || why.len() > 10, "row {id} of {file} is neither tested nor explained");
        for test in test.split_whitespace() {
            let (module, name) = test.rsplit_once("::").unwrap_or_else(|| panic!("{test} names no module"));
            let path = here.join(format!("{}.rs", module.replace("::", "/")));
            let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
            assert!(text.contains(&format!("#[test]\nfn {name}()")), "row {id} of {file}: there is no test {test}");
        }
    }
}
