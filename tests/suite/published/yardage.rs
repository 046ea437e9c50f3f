//! How much cloth: closed forms, and a handbook's figure.

use draft_core::cloth::{Cloth, Cut, LayOut, Purchase, SaleUnit, cuts};
use draft_core::lay::{Effort, Planner as _, Quiet, SearchPlanner, verify};
use draft_core::{Block, Built, Garment, Length, Measurement, Settings, Take, Unit, WearerCard, Work};

use crate::bodies::setting;

fn built(block: Block, unit: Unit, body: &[(Measurement, f64)], choices: &[(&str, &str)]) -> (Garment, Built) {
    let mut card = WearerCard { unit, ..Default::default() };
    for (which, value) in body {
        card.set(*which, Take::new(value.to_string(), unit));
    }
    let mut settings = Settings::default();
    for (key, value) in choices {
        let setting = setting(block, key);
        settings.set(setting, setting.parse(value, unit).unwrap()).unwrap();
    }
    let mut garment = Garment::new("skirt", card);
    garment.works.push(Work::Draft { block, settings }.into());
    let built = garment.build();
    assert!(built.outcomes.iter().all(|o| o.skipped.is_none()), "{:?}", built.outcomes);
    (garment, built)
}

/// Length of the lay, every stretch verified.
fn laid(garment: &Garment, built: &Built, cloth: &Cloth, passes: u64) -> f64 {
    let (cuts, messages) = cuts(garment, built);
    assert!(messages.is_empty());
    let lay_out = LayOut::of(cloth, &cuts, false);
    assert!(lay_out.too_wide.is_empty(), "{:?}", lay_out.too_wide);
    let effort = Effort { passes, ..Effort::default() };
    lay_out
        .stretches
        .iter()
        .map(|s| {
            let layout = SearchPlanner.plan(&s.task, effort, &Quiet).unwrap();
            assert_eq!(verify::faults(&s.task, &layout), []);
            layout.length_mm
        })
        .sum()
}

/// Source: arithmetic. A rectangle gathered to its seam is joined from widths of cloth, and each width takes its drop with
/// the allowances at both ends: n × (length + seam + hem), with the gap between them.
#[test]
fn a_gathered_panel_takes_its_drop_for_each_width() {
    let choices = [
        ("sewn-to", "own length"),
        ("seam-length", "90 cm"),
        ("ratio", "3"),
        ("hem", "length"),
        ("length", "80 cm"),
        ("seam-allowance", "15 mm"),
        ("hem-allowance", "20 mm"),
    ];
    let (garment, built) = built(Block::Panel, Unit::Cm, &[], &choices);
    let cloth = Cloth { selvedge: Length::from_mm(5.0), gap: Length::from_mm(4.0), ..Cloth::default() };
    let (length, drop) = (laid(&garment, &built, &cloth, 10), 800.0 + 15.0 + 20.0);
    // The planner places a piece to within a thousandth of its smaller side.
    let over = length - (2.0 * drop + 4.0);
    assert!((-0.01..=0.002 * drop).contains(&over), "{length}");
}

/// Source: definition of the circle skirt, r = W / 2π, and arithmetic. Two half circles, all one way up on cloth as wide
/// as one is across, lie one behind the other: 2 × (r + length + hem + seam). The bulge of one may sink into the waist
/// of the next by at most R − √(R² − r²), less than 1 cm here.
#[test]
fn a_circle_skirt_takes_its_radius_for_each_half() {
    let choices = [
        ("waist-ease", "0"),
        ("panels", "2"),
        ("hem", "length"),
        ("length", "60 cm"),
        ("seam-allowance", "15 mm"),
        ("hem-allowance", "15 mm"),
    ];
    let (garment, built) = built(Block::Circle, Unit::Cm, &[(Measurement::WaistGirth, 72.0)], &choices);
    let r = 720.0 / std::f64::consts::TAU;
    let outer = r + 600.0 + 15.0;
    let cloth =
        Cloth { width: Length::from_mm(2.0 * outer + 2.0), selvedge: Length::ZERO, one_way: true, gap: Length::ZERO, ..Cloth::default() };
    let length = laid(&garment, &built, &cloth, 20);
    let closed = 2.0 * (outer + 15.0);
    let sinks = outer - (outer * outer - r * r).sqrt();
    assert!(length < closed + 1.0 && length > closed - sinks - 1.0, "{length} against {closed}");
}

/// Source: M. P. Browne in Every Woman's Encyclopaedia, vol. 1 (c. 1911): a skirt 42 in long, front gore 10 in wide at the
/// hem, turnings of 1 in and a hem of 4 1/2 in, is cut from 3 1/4 yd of cloth 54 in wide.
///
/// Waist and sweep are not given: taken as 25 in and 2 1/4 yd in five gores, as E. A. Bennett has them in 1914. What is left of the
/// handbook's length goes into the waistband, the placket and facings, and into laying by hand: two drops with turnings
/// and hem are 2 × 48.5 in = 2.7 yd, and no skirt of this kind takes less than its area.
#[test]
fn the_handbooks_yardage_holds_a_skirt_of_its_kind() {
    let choices = [
        ("gores", "5"),
        ("sweep", "81 in"),
        ("hem", "length"),
        // As much again below the finished length as the handbook's hem; the draft itself has hems up to 10 cm.
        ("length", "43 in"),
        ("seam-allowance", "1 in"),
        ("hem-allowance", "3 1/2 in"),
    ];
    let body = [(Measurement::WaistGirth, 25.0), (Measurement::HipGirth, 40.0), (Measurement::WaistToHip, 8.0)];
    let (garment, built) = built(Block::Skirt, Unit::Inch, &body, &choices);
    let cloth = Cloth {
        width: Length::from_inches(54.0),
        selvedge: Length::from_inches(0.5),
        sold_by: SaleUnit::EighthYard,
        spare: 0.0,
        ..Cloth::default()
    };
    let length = laid(&garment, &built, &cloth, 60);
    let yards = Purchase::of(&cloth, length, 0).buy_mm / 914.4;
    // No lay takes less than the area of what is cut; the handbook's takes two drops, 2.7 yd, and something over half a yard for
    // the small pieces. Ours lies between.
    let area: f64 = cuts(&garment, &built).0.iter().map(Cut::area_mm2).sum::<f64>() / cloth.usable_mm() / 914.4;
    let drops = 2.0 * (42.0 + 2.0 + 4.5) / 36.0;
    assert!((3.25_f64 - drops) > 0.5 && 3.25 - drops < 0.625, "{drops} yd");
    assert!((area..=3.25).contains(&yards) && area > 1.5, "{yards} yd, {area} yd of area");
}
