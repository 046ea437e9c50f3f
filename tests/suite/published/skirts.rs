//! Circle skirts by definition, and gored skirts of old handbooks whose gores differ.

use draft_core::{Block, Built, Garment, Measurement, Piece, Settings, Take, Unit, Work};
use kurbo::{BezPath, ParamCurve as _, Point};

use crate::bodies::setting;

const INCH: f64 = 25.4;

fn build(block: Block, unit: Unit, body: &[(Measurement, f64)], choices: &[(&str, &str)]) -> Built {
    let mut card = draft_core::WearerCard { unit, ..Default::default() };
    for (which, value) in body {
        card.set(*which, Take::new(value.to_string(), unit));
    }
    let mut settings = Settings::default();
    for (key, value) in choices {
        let setting = setting(block, key);
        settings.set(setting, setting.parse(value, unit).unwrap()).unwrap();
    }
    let mut garment = Garment::new("handbook skirt", card);
    garment.works.push(Work::Draft { block, settings }.into());
    let built = garment.build();
    assert!(built.outcomes.iter().all(|o| o.skipped.is_none()), "{:?}", built.outcomes);
    built
}

fn piece<'a>(built: &'a Built, name: &str) -> &'a Piece {
    built.draft.piece(name).unwrap_or_else(|| panic!("there is no {name}"))
}

fn ends(path: &BezPath) -> (Point, Point) {
    (draft_core::geometry::start(path).unwrap(), draft_core::geometry::end(path).unwrap())
}

/// Radius of the waist as a maker would find it on the pattern: both seams drawn on until they meet.
fn waist_radius(panel: &Piece) -> f64 {
    let seam = |name: &str| ends(&panel.edge_parts(name).next().unwrap().path);
    let ((a, b), (c, d)) = (seam("right seam"), seam("left seam"));
    let centre = kurbo::Line::new(a, b).crossing_point(kurbo::Line::new(c, d)).unwrap();
    let waist = &panel.edge_parts("waist").next().unwrap().path;
    let radius = centre.distance(a);
    for seg in waist.segments() {
        for t in [0.0, 0.3, 0.7, 1.0] {
            assert!((centre.distance(seg.eval(t)) - radius).abs() < 1e-3, "the waist is not an arc about that centre");
        }
    }
    radius
}

fn circle(unit: Unit, waist: f64, part: &[(&str, &str)]) -> f64 {
    let mut choices = vec![("waist-ease", "0"), ("panels", "5"), ("hem", "length"), ("length", "60 cm")];
    choices.extend_from_slice(part);
    let built = build(Block::Circle, unit, &[(Measurement::WaistGirth, waist)], &choices);
    waist_radius(piece(&built, "circle panel"))
}

/// Source: definition of the arc, r = W / 2πf; worked for a waist of 28 in (full, three-quarter, half, quarter: 4.456, 5.942,
/// 8.913, 17.825 in) and of 110 cm (full 17.5, half 35.0 cm). Tolerance: half the last digit.
#[test]
fn radii_of_circle_skirts() {
    for (part, inches) in [("full", 4.456), ("three-quarter", 5.942), ("half", 8.913), ("quarter", 17.825)] {
        let r = circle(Unit::Inch, 28.0, &[("circle", part)]) / INCH;
        assert!((r - inches).abs() <= 0.0005, "{part}: {r} in");
    }
    for (part, cm) in [("full", 17.5), ("half", 35.0)] {
        let r = circle(Unit::Cm, 110.0, &[("circle", part)]) / 10.0;
        assert!((r - cm).abs() <= 0.05, "{part}: {r} cm");
    }
}

/// Source: the same definition, for waists of 60, 68, 72, 80 and 100 cm. Tolerance: half the last digit.
#[test]
fn table_of_circle_radii() {
    let table: [(&str, [f64; 5]); 4] = [
        ("full", [9.55, 10.82, 11.46, 12.73, 15.92]),
        ("three-quarter", [12.73, 14.43, 15.28, 16.98, 21.22]),
        ("half", [19.10, 21.65, 22.92, 25.46, 31.83]),
        ("quarter", [38.20, 43.29, 45.84, 50.93, 63.66]),
    ];
    for (part, radii) in table {
        for (waist, cm) in [60.0, 68.0, 72.0, 80.0, 100.0].into_iter().zip(radii) {
            let r = circle(Unit::Cm, waist, &[("circle", part)]) / 10.0;
            assert!((r - cm).abs() <= 0.005 + 1e-9, "{part} of {waist} cm: {r} cm");
        }
    }
}

/// Source: the same definition, r = g·W / 2πf: two circles gathered to half have the radius of one plain one, and one and
/// a half circles two thirds of it. Tolerance: a thousandth of a millimetre.
#[test]
fn gathers_and_more_than_one_circle() {
    let one = circle(Unit::Cm, 72.0, &[]);
    assert!((circle(Unit::Cm, 72.0, &[("circle", "other"), ("fraction", "2"), ("gather", "2")]) - one).abs() < 1e-3);
    assert!((circle(Unit::Cm, 72.0, &[("circle", "other"), ("fraction", "1.5")]) - one / 1.5).abs() < 1e-3);
}

/// Front 38, side 39, back 39 1/2 in; waist 25, hip 40, five gores, sweep 2 1/4 yd.
fn bennett(choices: &[(&str, &str)]) -> Built {
    use Measurement::*;
    let mut all = vec![
        ("gores", "5"),
        ("gores-are", "shaped"),
        ("waist-ease", "0"),
        ("hip-ease", "0"),
        ("heel", "0"),
        ("clearance", "0"),
        ("sweep", "81"),
        ("intake", "even"),
    ];
    all.extend_from_slice(choices);
    let body =
        [(WaistGirth, 25.0), (HipGirth, 40.0), (WaistToHip, 6.0), (FrontWaistToFloor, 38.0), (OutsideLeg, 39.0), (BackWaistToFloor, 39.5)];
    build(Block::Skirt, Unit::Inch, &body, &all)
}

const GORES: [(&str, f64); 3] = [("front gore", 1.0), ("side gore 1", 2.0), ("back gore", 2.0)];

/// Source: E. A. Bennett, *The Perfect Dressmaking System* (1914), page 13: each gore 5 in at the waist and 8 in at the hip;
/// the front gore 10 in at the hem. The others then have (81 − 10) / 4 = 17 3/4 in; the page prints 17 1/2, an inch short
/// of its own sweep. Tolerance: half of the 1/8 in to which the book works.
#[test]
fn bennetts_front_gore_is_narrower_at_the_hem() {
    // 2 in of flare where an equal share of it is (81 − 40) / 5.
    let built = bennett(&[("front-flare", &(2.0 / 8.2).to_string())]);
    let within = INCH / 16.0;
    for (name, _) in GORES {
        let gore = piece(&built, name);
        assert!((gore.edge_length_mm("waist").unwrap() - 5.0 * INCH).abs() < within, "{name}");
        let hem = if name == "front gore" { 10.0 } else { 17.75 };
        assert!((gore.edge_length_mm("hem").unwrap() - hem * INCH).abs() < within, "{name}: {:?}", gore.edge_length_mm("hem"));
    }
    let hip = built.girths.iter().find(|g| g.level == "hip").unwrap();
    assert!((hip.finished_mm - 40.0 * INCH).abs() < 0.1);
}

/// Source: as above: the back is 1 1/2 in longer than the front, and the correction is made at the top, never at the hem.
/// Tolerance: a tenth of a millimetre.
#[test]
fn bennetts_lengths_differ_at_the_top_alone() {
    let built = bennett(&[]);
    let front = piece(&built, "front gore");
    let centre_front = front.point("waist centre").unwrap().distance(front.point("hem centre").unwrap());
    let centre_back = piece(&built, "back gore").edge_length_mm("centre back").unwrap();
    assert!((centre_back - centre_front - 1.5 * INCH).abs() < 0.1, "{}", centre_back - centre_front);
    for (name, _) in GORES {
        let gore = piece(&built, name);
        for seam in ["right seam", "back seam", "centre back"].into_iter().filter(|s| gore.edge(s).is_some()) {
            let hip = gore.notches().iter().find(|n| n.edge == *seam).unwrap().from_start_mm;
            let below = gore.edge_length_mm(seam).unwrap() - hip;
            assert!((below - 33.0 * INCH).abs() < 0.1, "{name} / {seam} is {below} mm below the hip");
        }
    }
}

/// Source: L. Baldt, *Clothing for Women* (1916), as far as it gives an order: least is taken in at the seams of the front
/// panel, more at the back, and the rest, most, at the side. No figures: ours differ by rule.
#[test]
fn baldts_order_of_taking_in() {
    let taken = |built: &Built, name: &str, seam: &str| -> f64 {
        let gore = piece(built, name);
        let at = |mm: f64| gore.along_edge(seam, mm).unwrap().0.x.abs();
        let hip = gore.notches().iter().find(|n| n.edge == *seam).unwrap().from_start_mm;
        at(hip) - at(0.0)
    };
    let built = bennett(&[("gores", "6"), ("intake", "more at the side"), ("sweep", "40"), ("opening", "none"), ("waist-ease", "5")]);
    let (front, side) = (taken(&built, "front gore", "right seam"), taken(&built, "side gore 1", "back seam"));
    let back = taken(&built, "back gore", "right seam");
    assert!(front < back && back < side, "front {front:.1}, back {back:.1}, side {side:.1} mm");
}
