//! The command line, as a shell would call it: exit status, reports, and what it writes.

use std::ffi::OsString;
use std::path::Path;

use serde_json::Value;

pub struct Ran {
    pub status: u8,
    pub out: String,
    pub err: String,
}

pub fn basteline<S: AsRef<std::ffi::OsStr>>(args: &[S]) -> Ran {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let args = std::iter::once(OsString::from("basteline")).chain(args.iter().map(|a| a.as_ref().to_owned()));
    let status = basteline::cli::run_with(args, &mut out, &mut err);
    Ran { status, out: String::from_utf8(out).unwrap(), err: String::from_utf8(err).unwrap() }
}

pub fn path(folder: &Path, name: &str) -> String {
    folder.join(name).display().to_string()
}

#[test]
fn the_demo_writes_everything_and_is_sound() {
    let folder = tempfile::tempdir().unwrap();
    let ran = basteline(&["demo", &path(folder.path(), "new/folder")]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    for name in ["wearer.ron", "block.ron", "garment.ron", "check.json", "sheet.svg", "pages-a4.pdf", "pages-letter.pdf"] {
        let file = folder.path().join("new/folder").join(name);
        assert!(std::fs::metadata(&file).unwrap().len() > 500, "{name}");
    }
    let check: Value = serde_json::from_str(&std::fs::read_to_string(folder.path().join("new/folder/check.json")).unwrap()).unwrap();
    assert_eq!(check["ok"], true);
}

#[test]
fn draft_check_print_and_export_go_from_a_card_to_pages() {
    let folder = tempfile::tempdir().unwrap();
    let f = |name| path(folder.path(), name);
    std::fs::write(f("card.ron"), basteline::demo::WEARER).unwrap();
    let ran = basteline(&[
        "draft",
        "--wearer",
        &f("card.ron"),
        "--block",
        "bodice,skirt,sleeve",
        "--set",
        "skirt.gores=10",
        "--set",
        "bust-ease=2 1/2 in",
        "--out",
        &f("gown.ron"),
    ]);
    assert_eq!(ran.status, 0, "{}", ran.err);

    let ran = basteline(&["check", &f("gown.ron"), "--json"]);
    assert_eq!(ran.status, 0);
    let check: Value = serde_json::from_str(&ran.out).unwrap();
    let piece = |name: &str| check["pieces"].as_array().unwrap().iter().find(|p| p["name"] == name).unwrap().clone();
    assert_eq!(piece("gore")["cut"], 10);
    assert_eq!(piece("front")["on_fold"], true);
    for (name, keys) in [
        ("pieces", vec!["name", "cut", "on_fold", "cloths", "area_mm2", "width_mm", "height_mm", "edges", "outline", "cut_line"]),
        ("seams", vec!["a", "b", "a_mm", "b_mm", "ease_mm", "difference_mm", "ok"]),
        ("girths", vec!["level", "body_mm", "ease_mm", "finished_mm", "fit", "usual"]),
        ("measurements", vec!["key", "name", "unit", "takes", "counts", "value", "origin", "expected", "spread", "verdict"]),
        ("points", vec!["piece", "name", "at"]),
        ("works", vec!["n", "what", "applied", "reason"]),
    ] {
        let first = &check[name][0];
        for key in keys {
            assert!(first.get(key).is_some(), "{name} has no {key}");
        }
    }
    let bust = check["girths"].as_array().unwrap().iter().find(|g| g["level"] == "bust").unwrap();
    assert!((bust["finished_mm"].as_f64().unwrap() - 920.0 - 63.5).abs() < 0.1, "{bust}");
    // The polylines are closed by themselves and as large as the piece.
    let outline: Vec<[f64; 2]> = serde_json::from_value(piece("front")["outline"].clone()).unwrap();
    let area: f64 =
        (0..outline.len()).map(|i| (outline[i], outline[(i + 1) % outline.len()])).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>()
            / 2.0;
    assert!((area.abs() - piece("front")["area_mm2"].as_f64().unwrap()).abs() < 60.0);

    let ran = basteline(&["print", &f("gown.ron"), "--out", &f("gown.pdf"), "--paper", "letter", "--overlap", "1/2in", "--json"]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let pages: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(pages["paper"], "letter");
    let (live, step) = (pages["live_mm"][0].as_f64().unwrap(), pages["step_mm"][0].as_f64().unwrap());
    assert!((live - step - 12.7).abs() < 1e-9);
    assert!(std::fs::read(f("gown.pdf")).unwrap().starts_with(b"%PDF-1.7"));

    for name in ["gown.svg", "whole.pdf", "gown.dxf"] {
        let ran = basteline(&["export", &f("gown.ron"), "--out", &f(name)]);
        assert_eq!(ran.status, 0, "{}", ran.err);
        assert!(Path::new(&f(name)).exists());
    }
}

#[test]
fn what_cannot_be_done_is_refused_with_status_2_and_nothing_written() {
    let folder = tempfile::tempdir().unwrap();
    let f = |name| path(folder.path(), name);
    std::fs::write(f("card.ron"), basteline::demo::WEARER).unwrap();
    std::fs::write(f("gown.ron"), basteline::demo::GARMENT).unwrap();
    std::fs::write(f("empty.ron"), "(version: 1, card: (name: \"nobody\"))").unwrap();
    let (card, gown, empty, out) = (f("card.ron"), f("gown.ron"), f("empty.ron"), f("out.pdf"));
    let cases: Vec<(Vec<&str>, &str)> = vec![
        (vec!["draft", "--wearer", &card, "--block", "cape", "--out", &out], "cape"),
        (vec!["draft", "--wearer", &card, "--set", "gorse=8", "--out", &out], "gorse"),
        (vec!["draft", "--wearer", &card, "--set", "gores=80", "--out", &out], "limits"),
        (vec!["draft", "--wearer", &card, "--set", "gores", "--out", &out], "NAME=VALUE"),
        (vec!["draft", "--wearer", &empty, "--out", &out], "has not been measured"),
        (vec!["draft", "--wearer", "/no/such/card.ron", "--out", &out], "/no/such/card.ron"),
        (vec!["print", &gown, "--out", &out, "--paper", "vellum"], "vellum"),
        (vec!["print", &gown, "--out", &out, "--overlap", "three"], "three"),
        (vec!["print", &gown, "--out", &out, "--measured", "50x50"], "50"),
        (vec!["print", &gown, "--out", &out, "--margin", "20 cm"], "margin"),
        (vec!["check", &out], "out.pdf"),
        (vec!["sew", &gown], "sew"),
    ];
    for (args, named) in cases {
        let ran = basteline(&args);
        assert_eq!(ran.status, 2, "{args:?}: {}", ran.out);
        assert!(ran.err.contains(named), "{args:?}: {}", ran.err);
        assert!(ran.out.is_empty());
        assert!(!Path::new(&out).exists(), "{args:?} wrote something");
    }
    let ran = basteline(&["export", &gown, "--out", &f("gown.xyz")]);
    assert_eq!(ran.status, 2);
}

#[test]
fn something_to_mend_gives_status_1() {
    let folder = tempfile::tempdir().unwrap();
    let gown = path(folder.path(), "gown.ron");
    let (_, mut garment, _) = basteline::demo::read().unwrap();
    garment.works[0].on = false;
    basteline::files::save_garment(Path::new(&gown), &garment).unwrap();
    let ran = basteline(&["check", &gown]);
    assert_eq!(ran.status, 1);
    assert!(ran.out.contains("skipped") && ran.out.contains("switched off"), "{}", ran.out);
}

#[test]
fn help_has_an_example_for_each_command_and_the_list_names_every_setting() {
    for command in ["open", "demo", "draft", "check", "measure-sheet", "cast", "lay", "import", "print", "export", "worksheet"] {
        let ran = basteline(&[command, "--help"]);
        assert_eq!(ran.status, 0);
        assert!(ran.out.contains("Example") && ran.out.contains(&format!("basteline {command}")), "{}", ran.out);
    }
    let list = basteline(&["draft", "--list"]).out;
    for block in draft_core::Block::ALL {
        for setting in block.settings() {
            assert!(list.contains(setting.key), "{}", setting.key);
        }
    }
}

#[test]
fn a_cast_drafts_every_row_and_one_bad_row_stops_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let (table, out) = (path(folder.path(), "chorus.csv"), path(folder.path(), "chorus"));
    let card = basteline::demo::read().unwrap().0;
    let keys: Vec<_> = card.takes.keys().map(|m| m.key()).collect();
    let row: Vec<_> = card.takes.values().map(|t| format!("\"{} {}\"", t.last().unwrap().typed.replace('"', ""), "")).collect();
    let wrong = keys.iter().map(|_| "eighty").collect::<Vec<_>>().join(",");
    let inches = row.join(",").replace("28 3/4 in", "28 3/4in").replace("126 mm", "126mm");
    std::fs::write(&table, format!("name,{}\nÅse/1,{inches}\nBo,{wrong}\nCarl,{inches}\n", keys.join(","))).unwrap();
    let ran = basteline(&["cast", &table, "--out", &out, "--json"]);
    assert_eq!(ran.status, 1, "{}", ran.err);
    let lines: Vec<Value> = ran.out.lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    assert_eq!(lines.len(), 3);
    for (i, name, ok) in [(0, "Åse/1", true), (1, "Bo", false), (2, "Carl", true)] {
        assert_eq!(
            (lines[i]["row"].as_u64(), lines[i]["name"].as_str(), lines[i]["ok"].as_bool()),
            (Some(i as u64 + 1), Some(name), Some(ok)),
            "{}",
            lines[i]["problem"]
        );
        assert!(Path::new(lines[i]["file"].as_str().unwrap()).starts_with(&out));
    }
    assert_eq!(lines[0]["check"]["pieces"], lines[2]["check"]["pieces"]);
    assert!(lines[1]["problem"].as_str().unwrap().contains("not a number"));
    let again = basteline::files::load_garment(Path::new(lines[0]["file"].as_str().unwrap())).unwrap();
    assert!(again.build().is_ok());
}

#[test]
fn a_measuring_sheet_is_written_for_a_wearer_and_for_anyone() {
    let folder = tempfile::tempdir().unwrap();
    let f = |name| path(folder.path(), name);
    std::fs::write(f("card.ron"), basteline::demo::WEARER).unwrap();
    let ran = basteline(&[
        "measure-sheet",
        "--wearer",
        &f("card.ron"),
        "--block",
        "bodice,sleeve",
        "--paper",
        "letter",
        "--out",
        &f("sheet.pdf"),
        "--json",
    ]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(report["paper"], "letter");
    let keys: Vec<&str> = report["measurements"].as_array().unwrap().iter().map(|k| k.as_str().unwrap()).collect();
    assert!(keys.contains(&"bust-girth") && keys.contains(&"wrist-girth") && !keys.contains(&"waist-to-knee"), "{keys:?}");
    assert!(std::fs::read(f("sheet.pdf")).unwrap().starts_with(b"%PDF-1.7"));
    let ran = basteline(&["measure-sheet", "--out", &f("anyone.pdf"), "--unit", "in"]);
    let all = format!("{} measurements", draft_core::Measurement::COUNT);
    assert_eq!((ran.status, ran.out.contains(&all)), (0, true), "{}{}", ran.out, ran.err);
    for (args, named) in [(["--paper", "vellum"], "vellum"), (["--unit", "ell"], "ell"), (["--block", "cape"], "cape")] {
        let ran = basteline(&[["measure-sheet", "--out", &f("no.pdf")].as_slice(), &args].concat());
        assert_eq!(ran.status, 2, "{args:?}");
        assert!(ran.err.contains(named) && !Path::new(&f("no.pdf")).exists(), "{}", ran.err);
    }
}

#[test]
fn check_shows_takes_what_is_usual_and_what_would_settle_a_doubt() {
    use draft_core::{Measurement, Take, Unit};
    let folder = tempfile::tempdir().unwrap();
    let gown = path(folder.path(), "gown.ron");
    let (_, _, mut garment) = basteline::demo::read().unwrap();
    garment.wearer.takes.insert(Measurement::BustGirth, vec![Take::new("92", Unit::Cm), Take::new("94.5", Unit::Cm)]);
    garment.wearer.choose(Measurement::BustGirth, 0);
    garment.wearer.set(Measurement::ScyeDepth, Take::new("26", Unit::Cm));
    basteline::files::save_garment(Path::new(&gown), &garment).unwrap();
    let text = basteline(&["check", &gown]).out;
    assert!(text.contains("takes 92.0 cm, 94.5 cm; take 1 counts"), "{text}");
    assert!(text.contains("both takes are 2.5 cm apart"), "{text}");
    assert!(text.contains("would settle the doubt: "), "{text}");
    assert!(text.contains("everyday (usual 5.1 to 10.0 cm)") || text.contains("close-fitting (usual"), "{text}");
    let check: Value = serde_json::from_str(&basteline(&["check", &gown, "--json"]).out).unwrap();
    let bust = check["measurements"].as_array().unwrap().iter().find(|m| m["key"] == "bust-girth").unwrap();
    assert_eq!((bust["counts"].as_u64(), bust["value"].as_f64()), (Some(1), Some(920.0)));
    let about_scye = |s: &&Value| s["problem"].as_str().is_some_and(|p| p.contains("scye depth (26.0 cm)"));
    let settling = check["settling"].as_array().unwrap().iter().find(about_scye).unwrap();
    assert!(settling["place"].is_string() && settling["measure"][0]["left"].is_number(), "{settling}");
    assert!(settling["measure"].as_array().unwrap().iter().any(|m| m["key"] == "scye-depth"), "{settling}");
}
