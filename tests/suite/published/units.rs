//! Units and names.

use draft_core::{Length, Measurement, Unit, parse_length};

use crate::bodies::data;

/// Source: the international yard and pound agreement of 1959 (1 yd = 0.9144 m exactly). Tolerance: none.
#[test]
fn an_inch_is_25_4_mm() {
    assert_eq!(Length::from_inches(36.0).mm(), 914.4);
    assert_eq!(parse_length("36 in", Unit::Cm).unwrap(), 914.4);
    assert_eq!(Unit::Inch.text(914.4), "36 in");
}

/// Source: names after ISO 8559-1:2017 or ISO 8559:1989, as listed in `tests/data/measurements.csv`; the wording of the
/// definitions is our own, and the text of the standard was not seen. A name with a stroke gives two names for one.
#[test]
fn measurements_carry_their_standard_names() {
    let mut reader = csv::Reader::from_path(data("measurements.csv")).unwrap();
    let mut found = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let which = Measurement::from_key(&row[0]).unwrap_or_else(|| panic!("{} is not on the wearer card", &row[0]));
        let names: Vec<String> = row[1].split('/').map(|n| n.trim().to_lowercase()).collect();
        assert!(names.contains(&which.name().to_lowercase()), "{} is called {:?} by the standard", which.name(), &row[1]);
        found += 1;
    }
    assert_eq!(found, 37);
}
