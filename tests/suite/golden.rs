//! Our own earlier output. It guards against change and proves nothing else.

use draft_core::{Measurement, Survey};

use crate::bodies::{Person, garment};

/// The numbers of the drafting method as a second program of ours computed them (centimetres, degrees), for a textbook
/// set of measurements and five people of the survey. The pieces must still come out so, within half a millimetre
/// and a tenth of a degree: the armhole differs by tenths where we round its upper end more gently.
#[test]
fn the_bodice_still_has_the_numbers_of_the_method() {
    use Measurement::*;
    let inputs = [
        ("NB", NeckBaseGirth),
        ("SL", ShoulderLength),
        ("slope", ShoulderSlope),
        ("XB", AcrossBackWidth),
        ("XC", AcrossChestWidth),
        ("BG", BustGirth),
        ("UB", UnderbustGirth),
        ("HB", UpperChestGirth),
        ("WG", WaistGirth),
        ("NW", BackWaistLength),
        ("FW", FrontWaistLength),
        ("NBP", NeckToBustPoint),
        ("BB", BustPointDistance),
        ("SD", ScyeDepth),
        ("UA", UnderarmToWaist),
        ("arm", UpperArmGirth),
    ];
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("golden/bodice_numbers.csv");
    let mut reader = csv::Reader::from_path(file).unwrap();
    let header = reader.headers().unwrap().clone();
    let mut bodies = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let cell = |name: &str| &row[header.iter().position(|h| h == name).unwrap()];
        let number = |name: &str| cell(name).parse::<f64>().unwrap();
        let person = Person {
            name: row[0].to_owned(),
            survey: Survey::Everyone,
            values: inputs.iter().map(|(column, which)| (*which, number(column))).collect(),
        };
        let choices = [("bodice", "bust-dart", "shoulder"), ("bodice", "lower-for-sleeve", "no")];
        let built = garment(person.card(), &choices).build();
        let near = |what: &str, got: f64, cm: f64, within: f64| {
            assert!((got - cm * 10.0).abs() < within, "{}: {what} is {got:.2}, was {:.2}", &row[0], cm * 10.0);
        };
        let figure = |what: &str| built.draft.figures.iter().find(|f| f.what.starts_with(what)).unwrap().value;
        let point = |piece: &str, name: &str| built.draft.piece(piece).and_then(|p| p.point(name)).unwrap();
        let edge = |piece: &str, name: &str| built.draft.piece(piece).and_then(|p| p.edge_length_mm(name)).unwrap();
        let outer = if built.draft.piece("side front").is_some() { "side front" } else { "front" };
        assert!((figure("bust dart") - number("theta")).abs() < 0.1, "{}", &row[0]);
        near("the posture", figure("posture"), number("kappa"), 0.5);
        near("the armhole's width", figure("armhole width"), number("aw"), 0.5);
        near("the underarm", -point("back", "underarm").y, number("yu"), 0.5);
        near("the back's width", point("back", "underarm").x, number("W"), 0.5);
        near("the front's width", point(outer, "underarm").x, number("F"), 0.5);
        near("the back armhole", edge("back", "armhole"), number("AB"), 0.5);
        near("the front armhole", edge(outer, "armhole"), number("AF"), 0.5);
        near("the neck", 2.0 * (edge("front", "neckline") + edge("back", "neckline")), number("neck"), 0.5);
        bodies += 1;
    }
    assert_eq!(bodies, 6);
}
