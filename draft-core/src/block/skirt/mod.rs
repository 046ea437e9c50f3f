//! Gored skirt: from four to twelve gores, shaped to the hip and flared to the hem.
//!
//! The gore below the flare point is a sector of a ring, so that its seams are straight, every thread from flare to
//! hem has the same length, and the hem turns square at each seam. Between waist and hip the seam is a cubic whose
//! length is the hip depth, found together with the waist curve by search. The waist end of the seam comes out
//! higher than the middle of the gore, and the hem end too: that is what makes every length the same.
//!
//! Gores that are shaped to the body differ by their place round it: where the floor is further away the waist goes
//! higher, never the hem lower (as in E. A. Bennett, 1914), and the hem runs out into a train behind.

mod half_gore;
mod layout;
mod messages;
mod pieces;
mod plan;
mod round_body;

use self::half_gore::Unsolved;
use self::layout::{Narrow, Shares};
use self::pieces::Style;
use self::plan::Plan;
use super::band::Strip;
use super::hem::{self, CLEARANCE, HEEL, HEM, LENGTH};
use super::waist::{self, OPENING, UNDERLAP, WAIST_EASE, WAIST_FROM};
use crate::draft::Promise;
use crate::{Body, Draft, DraftError, Level, Measurement, Setting, Settings};

const GORES: Setting = Setting::count("gores", "Gores", "How many gores go round the body.", 6.0, 4.0, 12.0);
const GORES_ARE: Setting = Setting::choice(
    "gores-are",
    "Gores are",
    "All the same, or each shaped to its place: a front gore, side gores in pairs and a back gore, longer where the floor is further away.",
    &["equal", "shaped"],
);
const FRONT_GORE: Setting = Setting::number(
    "front-gore",
    "Width of the front gore",
    "Against an equal gore: 1.5 is half as wide again. Other than 1, the gores are shaped.",
    1.0,
    0.4,
    2.5,
);
const BACK_GORE: Setting =
    Setting::number("back-gore", "Width of the back gore", "Against an equal gore. Other than 1, the gores are shaped.", 1.0, 0.4, 2.5);
const FRONT_FLARE: Setting = Setting::number(
    "front-flare",
    "Flare of the front gore",
    "Against its share of the flare; the rest goes to the other gores. Other than 1, the gores are shaped.",
    1.0,
    0.0,
    1.5,
);
const INTAKE: Setting = Setting::choice(
    "intake",
    "Shaping to the waist",
    "Where shaped gores take in from hip to waist: most at the side and least at the centre front, or the same at every seam.",
    &["more at the side", "even"],
);
const WAIST_RAISED: Setting = Setting::length(
    "waist-raised",
    "Top above the waist",
    "How far the top edge stands above the natural waist; below it when negative. Not where it joins a bodice.",
    0.0,
    -120.0,
    120.0,
);
const HIP_EASE: Setting = Setting::length("hip-ease", "Ease at the hip", "Added to the hip girth.", 50.0, 0.0, 600.0);
const SWEEP: Setting = Setting::length("sweep", "Sweep", "Length of the finished hem all the way round.", 3200.0, 800.0, 12000.0);
const FLARE_FROM: Setting = Setting::choice(
    "flare-from",
    "Flare begins",
    "From the hip, or a length below it; or at the knee, where the skirt is drawn in like a trumpet.",
    &["hip", "knee"],
);
const STRAIGHT: Setting = Setting::length(
    "straight-below-hip",
    "Straight below the hip",
    "How far the gores hang straight below the hip before they flare.",
    0.0,
    0.0,
    800.0,
);
const KNEE_GIRTH: Setting = Setting::length(
    "knee-girth",
    "Girth at the knee",
    "Finished girth where a skirt that flares from the knee is narrowest.",
    950.0,
    500.0,
    3000.0,
);
const ABOVE_KNEE: Setting = Setting::length(
    "above-knee",
    "Flare above the knee",
    "How far above the knee the flare begins; below it when negative.",
    50.0,
    -150.0,
    300.0,
);
const TRAIN: Setting = Setting::length(
    "train",
    "Train",
    "How much longer the hem is at the centre back; it begins at the sides. The gores are then shaped.",
    0.0,
    0.0,
    2500.0,
);
const FINISH: Setting = Setting::choice(
    "waist-finish",
    "Waist finish",
    "A band above the waist edge, straight or shaped to the body, or a facing inside. Not where it joins a bodice.",
    &["none", "straight band", "shaped band", "facing"],
);
const BAND_WIDTH: Setting =
    Setting::length("band-width", "Width of band or facing", "Finished width of the waistband, or depth of the facing.", 40.0, 10.0, 150.0);
const SEAM_ALLOWANCE: Setting =
    Setting::length("seam-allowance", "Seam allowance", "On the seams between gores and at the waist.", 15.0, 0.0, 50.0);
const HEM_ALLOWANCE: Setting = Setting::length("hem-allowance", "Hem allowance", "Turned up at the hem.", 30.0, 0.0, 100.0);

/// The settings of the skirt.
pub const SETTINGS: &[&Setting] = &[
    &GORES,
    &GORES_ARE,
    &FRONT_GORE,
    &BACK_GORE,
    &FRONT_FLARE,
    &INTAKE,
    &WAIST_FROM,
    &WAIST_RAISED,
    &WAIST_EASE,
    &HIP_EASE,
    &SWEEP,
    &FLARE_FROM,
    &STRAIGHT,
    &KNEE_GIRTH,
    &ABOVE_KNEE,
    &HEM,
    &LENGTH,
    &HEEL,
    &CLEARANCE,
    &TRAIN,
    &OPENING,
    &FINISH,
    &BAND_WIDTH,
    &UNDERLAP,
    &SEAM_ALLOWANCE,
    &HEM_ALLOWANCE,
];

/// Name of the piece where all gores are the same.
pub const GORE: &str = "gore";
const BAND: &str = "skirt waistband";
const FACING: &str = "skirt waist facing";

/// The measurements that a skirt with these settings can't be drafted without; shaped gores take the lengths to the floor
/// at front and back where they were measured.
pub fn measurements(settings: &Settings) -> &'static [Measurement] {
    use Measurement::*;
    if settings.value(&WAIST_RAISED) > 0.0 {
        return &[WaistGirth, UnderbustGirth, HipGirth, FrontWaistLength, NeckToBustPoint, WaistToHip, WaistToKnee, OutsideLeg];
    }
    if settings.word(&FLARE_FROM) == "knee" {
        &[WaistGirth, HipGirth, WaistToHip, WaistToKnee, OutsideLeg]
    } else {
        &[WaistGirth, HipGirth, WaistToHip, OutsideLeg]
    }
}

fn is_shaped(settings: &Settings) -> bool {
    let differs = |s: &Setting| (settings.value(s) - 1.0).abs() > 1e-9;
    settings.word(&GORES_ARE) == "shaped"
        || [&FRONT_GORE, &BACK_GORE, &FRONT_FLARE].into_iter().any(differs)
        || settings.value(&TRAIN) > 0.0
}

fn is_own(name: &crate::Name) -> bool {
    let name = name.as_str();
    [GORE, "front gore", "back gore", BAND, FACING].contains(&name)
        || name.strip_prefix("side gore ").is_some_and(|n| n.parse::<u32>().is_ok())
}

/// Drafts the skirt.
///
/// # Errors
/// Waist, hip or length to the floor are not known, or the sizes allow no gore.
pub fn draft(body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    let mut draft = before.clone();
    draft.forget(is_own);
    let plan = Plan::of(body, settings, before)?;
    let Plan { girths, depths, .. } = &plan;
    let shaped = is_shaped(settings);
    let opening = settings.word(&OPENING);
    let shares = Shares {
        gores: settings.value(&GORES) as u32,
        front: settings.value(&FRONT_GORE),
        back: settings.value(&BACK_GORE),
        front_flare: settings.value(&FRONT_FLARE),
        intake_by_place: settings.word(&INTAKE) != "even",
    };
    let layout = if shaped {
        layout::shaped(girths, depths, &shares, plan.round, opening == "centre back")
    } else {
        layout::equal(girths, depths, shares.gores)
    };
    let shown = |mm: f64| body.unit().rough(mm);
    let layout = layout.map_err(|narrow| match narrow {
        Narrow::NoSides => DraftError::new(
            "skirt / gores",
            "the gores at the centre front and the centre back leave no width for those at the sides",
            "Make the front gore or the back gore less wide, or choose more gores.",
        ),
        Narrow::Gore { name, level, width } => {
            let remedy = match level {
                "hem" => "Give the hem more sweep, let the front gore flare less, or choose fewer gores.",
                "place where the flare begins" => "Make it wider there, or choose fewer gores.",
                _ => "Choose fewer gores, or make those at the front and the back less wide.",
            };
            DraftError::new(
                format!("skirt / {name}"),
                format!("would be {} wide at the {level}, too narrow to sew", shown(width.max(0.0))),
                remedy,
            )
        }
    })?;
    let solved = pieces::solve(&layout).map_err(|(gore, at)| match at {
        Unsolved::AboveHip => DraftError::new(
            gore,
            format!("no gore goes from a waist of {} to a hip of {} over {}", shown(girths.top), shown(girths.hip), shown(depths.rise)),
            "Measure waist to hips again, or choose more gores.",
        )
        .about(&[Measurement::WaistGirth, Measurement::HipGirth, Measurement::WaistToHip]),
        Unsolved::Flare => DraftError::new(
            gore,
            format!(
                "can't spread from {} round the body to a hem of {} within {}: its seams would lie flatter than level",
                shown(girths.flare),
                shown(girths.hem),
                shown(depths.flared)
            ),
            "Choose more gores or less sweep, or let the flare begin higher.",
        ),
    })?;

    let opening_mm = (opening != "none").then(|| plan.opening_depth(body)).flatten();
    let style = Style {
        seam_mm: settings.value(&SEAM_ALLOWANCE),
        hem_mm: settings.value(&HEM_ALLOWANCE),
        open_mm: opening_mm,
        opens_at_side: opening == "left side",
    };
    pieces::make(&mut draft, &layout, &solved, depths, &style)?;
    promise_girths(&mut draft, &layout, &plan, settings, body);
    if let Some(joined) = &plan.joined {
        let runs = pieces::runs(&layout, "waist", false);
        draft.seams.push(crate::Seam { a: joined.half.clone(), b: runs, ease_mm: joined.taken_up / 2.0 });
    } else if settings.word(&FINISH) != "none" {
        finish(&layout, &solved, &plan, settings, body)?.add(&mut draft, pieces::runs(&layout, "waist", true), 0.0)?;
    }
    draft.messages.extend(messages::all(body, settings, &plan, &layout, opening_mm));
    Ok(draft)
}

fn promise_girths(draft: &mut Draft, layout: &layout::Layout, plan: &Plan, settings: &Settings, body: &Body) {
    let Plan { girths, depths, .. } = plan;
    let level = |name, finished: f64, ease: f64, spans| Level { name, body_mm: finished - ease, ease_mm: ease, spans };
    let ease = settings.value(&WAIST_EASE);
    if plan.joined.is_none() {
        draft.levels.push(level("skirt waist", girths.top, ease, pieces::edge_spans(layout, "waist")));
    }
    if depths.above > 0.0 {
        draft.levels.push(level("skirt at the natural waist", girths.natural_waist, ease, pieces::line_spans(layout, "waist line")));
    }
    draft.levels.push(level("hip", girths.hip, settings.value(&HIP_EASE), pieces::line_spans(layout, "hip line")));
    if depths.straight > 0.0 {
        draft.promises.push(Promise {
            what: "skirt: girth where the flare begins".into(),
            asked_mm: girths.flare,
            spans: pieces::line_spans(layout, "flare line"),
        });
    }
    if layout.round.train <= 0.0 {
        draft.promises.push(Promise { what: "skirt: sweep".into(), asked_mm: girths.hem, spans: pieces::edge_spans(layout, "hem") });
        draft.levels.extend(hem::level("hem", body, plan.length, girths.hem, pieces::edge_spans(layout, "hem")));
    }
}

/// The band or facing that finishes the top edge.
fn finish(layout: &layout::Layout, solved: &[pieces::Solved], plan: &Plan, settings: &Settings, body: &Body) -> Result<Strip, DraftError> {
    let width = settings.value(&BAND_WIDTH);
    let word = settings.word(&FINISH);
    let below = word == "facing";
    let sewn = plan.girths.top;
    let other = match word {
        "shaped band" => waist::girth_at(body, plan.raised + width)? + settings.value(&WAIST_EASE),
        "facing" => pieces::girth_below_top(layout, solved, width),
        _ => sewn,
    };
    let underlap = if below { 0.0 } else { waist::underlap(settings) };
    let marks = pieces::waist_marks(layout, settings.word(&OPENING) == "left side");
    Ok(Strip {
        name: if below { FACING } else { BAND },
        sewn,
        other,
        width,
        below,
        underlap,
        marks,
        seam_mm: settings.value(&SEAM_ALLOWANCE),
    })
}
