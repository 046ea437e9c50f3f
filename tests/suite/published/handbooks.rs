//! More worked examples of old handbooks, drafted again, in inches.

use draft_core::{Block, Built, Garment, Measurement, Settings, Survey, Take, Unit, WearerCard, Work};

use crate::bodies::setting;
use crate::property::collars;

const INCH: f64 = 25.4;
/// Half of the 1/4 in steps to which these books work.
const QUARTER: f64 = INCH / 8.0;

fn build(body: &[(Measurement, f64)], works: &[(Block, &[(&str, &str)])]) -> Built {
    let mut card = WearerCard { unit: Unit::Inch, survey: Survey::Women, ..WearerCard::default() };
    for (which, inches) in body {
        card.set(*which, Take::new(inches.to_string(), Unit::Inch));
    }
    let mut garment = Garment::new("handbook draft", card);
    for (block, choices) in works {
        let mut settings = Settings::default();
        for (key, value) in *choices {
            let setting = setting(*block, key);
            settings.set(setting, setting.parse(value, Unit::Inch).unwrap()).unwrap();
        }
        garment.works.push(Work::Draft { block: *block, settings }.into());
    }
    garment.build()
}

fn edge(built: &Built, piece: &str, name: &str) -> f64 {
    built.draft.piece(piece).and_then(|p| p.edge_length_mm(name)).unwrap_or_else(|| panic!("there is no {piece} / {name}"))
}

fn hip(built: &Built, piece: &str) -> f64 {
    let piece = built.draft.piece(piece).unwrap();
    draft_core::geometry::length(&piece.lines().iter().find(|l| l.name == *"hip line").unwrap().path)
}

fn near(what: &str, got: f64, inches: f64, within: f64) {
    assert!((got - inches * INCH).abs() <= within, "{what}: {:.3} in, printed {inches:.3} in", got / INCH);
}

const NO_EASE: [(&str, &str); 5] = [("waist-ease", "0"), ("hip-ease", "0"), ("heel", "0"), ("clearance", "0"), ("intake", "even")];

fn skirt(waist: f64, hips: f64, choices: &[(&str, &str)]) -> Built {
    use Measurement::*;
    let all: Vec<_> = NO_EASE.iter().chain(choices).copied().collect();
    let built = build(&[(WaistGirth, waist), (HipGirth, hips), (WaistToHip, 6.0), (OutsideLeg, 40.0)], &[(Block::Skirt, &all)]);
    assert!(built.is_ok(), "{:?}", built.messages);
    built
}

/// Source: C. C. Ingalls, *Text-Book on Domestic Art* (c. 1913), five-gored underskirt: of a waist W the half front gore has
/// W/8, the side gore W/6 and the back the rest; for 24 in 3, 4 and 5 in. 6 in down the front has 1 in more at its one seam and the side half as
/// much again, 1 in at each of two; so the back, taken on alike, has 2 in more. Tolerance: a tenth of a millimetre.
#[test]
fn ingalls_five_gores() {
    let hips = 2.0 * (4.0 + 6.0 + 7.0);
    let (front, back) = ((8.0 / hips * 5.0).to_string(), (7.0 / hips * 5.0).to_string());
    let built = skirt(24.0, hips, &[("gores", "5"), ("front-gore", &front), ("back-gore", &back), ("sweep", "90")]);
    for (piece, waist, at_hip) in [("front gore", 6.0, 8.0), ("side gore 1", 4.0, 6.0), ("back gore", 5.0, 7.0)] {
        near(&format!("{piece} at the waist"), edge(&built, piece, "waist"), waist, 0.1);
        near(&format!("{piece} at the hip"), hip(&built, piece), at_hip, 0.1);
    }
}

/// Source: Ingalls, as above, nine gores: of half a waist of 12 in the front has 1 1/2, three sides 2 2/3 each and the back
/// 2 1/2 in; at the hip the front has 3/4 in more. Taken on alike at every seam. Her back is twice as wide at the hip, ours
/// with it 4 in: she spreads the back more. Tolerance: a tenth of a millimetre.
#[test]
fn ingalls_nine_gores() {
    let halves = [2.25, 8.0 / 3.0 + 1.5, 8.0 / 3.0 + 1.5, 8.0 / 3.0 + 1.5, 4.0];
    let hips = 2.0 * halves.iter().sum::<f64>();
    let (front, back) = ((4.5 / hips * 9.0).to_string(), (4.0 / hips * 9.0).to_string());
    let built = skirt(24.0, hips, &[("gores", "9"), ("front-gore", &front), ("back-gore", &back), ("sweep", "120")]);
    near("the front", edge(&built, "front gore", "waist"), 3.0, 0.1);
    near("the front at the hip", hip(&built, "front gore"), 4.5, 0.1);
    for side in 1..=3 {
        near("a side", edge(&built, &format!("side gore {side}"), "waist"), 8.0 / 3.0, 0.1);
    }
    near("the back", edge(&built, "back gore", "waist"), 2.5, 0.1);
}

/// Source: L. I. Baldt, *Clothing for Women* (1916), six gores, fig. 58: half the front panel is a twelfth of the hip there and
/// twice that at the hem, the back alike; for 40 in 3.33 and 6.67 in. A hem of twice the hip gives ours. Tolerance: half of
/// the last digit.
#[test]
fn baldts_six_gores() {
    let built = skirt(25.0, 40.0, &[("gores", "6"), ("gores-are", "shaped"), ("sweep", "80")]);
    near("half the front panel at the hip", hip(&built, "front gore") / 2.0, 3.33, 0.005 * INCH);
    near("half the front panel at the hem", edge(&built, "front gore", "hem") / 2.0, 6.67, 0.005 * INCH);
}

/// Source: our own second program, as worked example 52 (computed): waist 72, hip 98, waist to hip 20, length 105, sweep
/// 400 cm, six gores: hem 66.667, seam and centre 105; the waist end of the seam 1.02 above the centre and the hem 4.90 cm.
/// Tolerance: half of the last digit.
#[test]
fn the_second_programs_gore() {
    use Measurement::*;
    let cm = |v: f64| v / 2.54;
    let body = [(WaistGirth, cm(72.0)), (HipGirth, cm(98.0)), (WaistToHip, cm(20.0)), (OutsideLeg, cm(105.0))];
    let sweep = cm(400.0).to_string();
    let choices: Vec<_> = NO_EASE.iter().copied().chain([("gores", "6"), ("sweep", sweep.as_str())]).collect();
    let built = build(&body, &[(Block::Skirt, &choices)]);
    let gore = built.draft.piece("gore").unwrap();
    let (top, bottom) = gore.edge_ends("right seam").unwrap();
    let centre = |name: &str| gore.point(name).unwrap();
    near("the hem", edge(&built, "gore", "hem"), cm(66.667), 0.005);
    near("the seam", edge(&built, "gore", "right seam"), cm(105.0), 0.05);
    near("the centre", centre("waist centre").distance(centre("hem centre")), cm(105.0), 0.05);
    near("the rise at the waist", centre("waist centre").y - top.y, cm(1.02), 0.05);
    near("the rise at the hem", centre("hem centre").y - bottom.y, cm(4.90), 0.05);
}

/// Half the width of the front neck and its depth, for a neck with this ease.
fn front_neck(inches: f64, ease: &str) -> (f64, f64) {
    use Measurement::*;
    let built = build(
        &[(BustGirth, 36.0), (WaistGirth, 26.0), (HipGirth, 38.0), (NeckBaseGirth, inches)],
        &[(Block::Bodice, &[("neck-ease", ease), ("bust-dart", "waist")])],
    );
    let front = built.draft.piece("front").unwrap();
    let (a, b) = front.edge_ends("neckline").unwrap();
    ((a.x - b.x).abs(), (a.y - b.y).abs())
}

/// Source: Ingalls, French lining: for a neck of 14 in the front neck is 2 1/2 in wide and N/5 + 1/4 = 3.05 in deep; I. R. and
/// M. G. Burton, *School Sewing* (1916): for 12 in 2 in wide, 1/8 in more for each 1/2 in of neck. Ours is as deep as Ingalls' with the
/// 1 cm of ease that our necks have by default; without it 0.2 in shallower, for she leaves the ease to the line.
#[test]
fn front_necks_are_as_wide_and_deep_as_in_ingalls_and_burton() {
    let (width, depth) = front_neck(14.0, "1 cm");
    near("Ingalls' width", width, 2.5, QUARTER);
    near("Ingalls' depth", depth, 3.05, QUARTER);
    for (neck, printed) in [(12.0, 2.0), (13.0, 2.25), (14.0, 2.5)] {
        near(&format!("Burton's width for {neck} in"), front_neck(neck, "0").0, printed, QUARTER);
    }
}

/// Source: Baldt, shirt: the back neck rises 3/4 in above the nape. Tolerance: half of 1/8 in.
#[test]
fn the_back_neck_rises_as_in_baldt() {
    use Measurement::*;
    let built = build(&[(BustGirth, 36.0), (WaistGirth, 26.0), (HipGirth, 38.0), (NeckBaseGirth, 14.5)], &[(Block::Bodice, &[])]);
    let (a, b) = built.draft.piece("back").unwrap().edge_ends("neckline").unwrap();
    near("the rise", (a.y - b.y).abs(), 0.75, INCH / 16.0);
}

/// Source: I. Rosenfeld, *The Practical Designer* (1911): proportions of size 36 (bust 39, waist 25, hip 43 in), a stout figure
/// (waist 30, hip 45) and a child (waist 25 1/2, hip 34; front, side and back 20, 20 1/2, 21 in). They draft with nothing to
/// mend; the child's skirt is as long at front and back as printed (tolerance: a tenth of a millimetre).
#[test]
fn rosenfelds_sizes_draft() {
    use Measurement::*;
    let size_36 = build(
        &[(BustGirth, 39.0), (WaistGirth, 25.0), (HipGirth, 43.0), (BackWaistLength, 15.5)],
        &[(Block::Bodice, &[]), (Block::Skirt, &[]), (Block::Sleeve, &[])],
    );
    assert!(size_36.is_ok(), "{:?}", size_36.messages);
    skirt(30.0, 45.0, &[("gores", "5"), ("gores-are", "shaped"), ("sweep", "100")]);
    let shaped: Vec<_> = NO_EASE.iter().copied().chain([("gores-are", "shaped"), ("sweep", "60"), ("opening", "centre back")]).collect();
    let child = build(
        &[(WaistGirth, 25.5), (HipGirth, 34.0), (WaistToHip, 5.0), (FrontWaistToFloor, 20.0), (OutsideLeg, 20.5), (BackWaistToFloor, 21.0)],
        &[(Block::Skirt, &shaped)],
    );
    assert!(child.is_ok(), "{:?}", child.messages);
    let front = child.draft.piece("front gore").unwrap();
    near("front", front.point("waist centre").unwrap().distance(front.point("hem centre").unwrap()), 20.0, 0.1);
    near("back", edge(&child, "back gore", "centre back"), 21.0, 0.1);
}

/// Source: K. Fasanella, "What does a 1 in or 2 in grade mean": a grade of 1 in adds 1/4 in to each quarter of the pattern.
/// Ours, redrafted for a chest of 1 in more with all else as it was: front and back half of each side grow so. Tolerance: a
/// tenth of a millimetre for both together, half of 1/8 in for each.
#[test]
fn an_inch_of_bust_is_a_quarter_inch_of_each_quarter() {
    let person = crate::bodies::complete().into_iter().find(|p| p.survey == Survey::Women).unwrap();
    let quarters = |more: f64| {
        let mut person = person.clone();
        // A grade lets the whole chest grow, so that the cup stays.
        for girth in [Measurement::BustGirth, Measurement::UnderbustGirth, Measurement::UpperChestGirth] {
            person.values.iter_mut().find(|v| v.0 == girth).unwrap().1 += more * 2.54;
        }
        let built = crate::bodies::garment(person.card(), &[("bodice", "bust-dart", "shoulder")]).build();
        ["front", "back"].map(|p| built.draft.piece(p).unwrap().point("underarm").unwrap().x)
    };
    let (before, after) = (quarters(0.0), quarters(1.0));
    near("both", after[0] + after[1] - before[0] - before[1], 0.5, 0.1);
    for i in [0, 1] {
        near("one", after[i] - before[i], 0.25, INCH / 16.0);
    }
}

/// Source: Rosenfeld 1911, lessons 117 to 119: from one size to the next, whose neck is 1/2 in more, a standing collar grows by
/// 1/4 in at each end. Tolerance: half of the 1/16 in to which a tape of that time is read.
#[test]
fn a_collar_grows_with_the_neck() {
    let half = |neck: f64| {
        let mut person = crate::bodies::complete()[0].clone();
        person.values.iter_mut().find(|v| v.0 == Measurement::NeckBaseGirth).unwrap().1 = neck * 2.54;
        let built = collars::garment(&person, &[("neck-ease", "0"), ("opening", "centre front")], &[], &[]).build();
        collars::length(&built.draft, "collar", "neck edge")
    };
    near("one end", half(14.5) - half(14.0), 0.25, INCH / 32.0);
}
