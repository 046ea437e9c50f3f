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
mod round_body;

use self::layout::{Depths, Girths, Shares};
use self::pieces::Style;
use self::round_body::RoundBody;
use super::band::Strip;
use super::hem::{self, CLEARANCE, HEEL, HEM, LENGTH};
use super::waist;
use crate::draft::Promise;
use crate::{Block, Body, Draft, DraftError, Level, Measurement, Setting, Settings};

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
const WAIST_FROM: Setting = Setting::choice(
    "waist-from",
    "Waist taken from",
    "The waist seam of the bodice drafted before, or the wearer's waist with its own ease.",
    &["bodice", "measurement"],
);
const WAIST_RAISED: Setting = Setting::length(
    "waist-raised",
    "Top above the waist",
    "How far the top edge stands above the natural waist; below it when negative. Not where it joins a bodice.",
    0.0,
    -120.0,
    120.0,
);
const WAIST_EASE: Setting =
    Setting::length("waist-ease", "Ease at the waist", "Added to the waist girth where there is no bodice to join.", 20.0, -60.0, 300.0);
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
const OPENING: Setting =
    Setting::choice("opening", "Opening", "The seam that is left open below the waist.", &["centre back", "left side", "none"]);
const FINISH: Setting = Setting::choice(
    "waist-finish",
    "Waist finish",
    "A band above the waist edge, straight or shaped to the body, or a facing inside. Not where it joins a bodice.",
    &["none", "straight band", "shaped band", "facing"],
);
const BAND_WIDTH: Setting =
    Setting::length("band-width", "Width of band or facing", "Finished width of the waistband, or depth of the facing.", 40.0, 10.0, 150.0);
const UNDERLAP: Setting = Setting::length(
    "underlap",
    "Underlap of the band",
    "How far the band goes on past the opening, for hooks or buttons.",
    30.0,
    0.0,
    100.0,
);
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

/// Least length below the flare point, millimetres.
const LEAST_FLARED_MM: f64 = 50.0;

/// The measurements that a skirt with these settings is drafted from.
pub fn measurements(settings: &Settings) -> &'static [Measurement] {
    use Measurement::*;
    if settings.value(&WAIST_RAISED) > 0.0 {
        return Block::Skirt.measurements();
    }
    match (is_shaped(settings), settings.word(&FLARE_FROM) == "knee") {
        (false, false) => &[WaistGirth, HipGirth, WaistToHip, OutsideLeg],
        (false, true) => &[WaistGirth, HipGirth, WaistToHip, WaistToKnee, OutsideLeg],
        (true, false) => &[WaistGirth, HipGirth, WaistToHip, OutsideLeg, FrontWaistToFloor, BackWaistToFloor],
        (true, true) => &[WaistGirth, HipGirth, WaistToHip, WaistToKnee, OutsideLeg, FrontWaistToFloor, BackWaistToFloor],
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
    let plan = plan(body, settings, before)?;
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
    let layout = layout.ok_or_else(|| {
        DraftError::new(
            "skirt",
            "one of the gores would be too narrow to sew",
            "Choose fewer gores, or make those at the front and the back less wide.",
        )
    })?;
    let shown = |mm: f64| body.unit().rough(mm);
    let solved = pieces::solve(&layout).map_err(|gore| {
        DraftError::new(
            gore,
            format!(
                "no gore goes from a waist of {} to a hip of {} over {}, and on to a hem of {}",
                shown(girths.top),
                shown(girths.hip),
                shown(depths.rise),
                shown(girths.hem)
            ),
            "Measure waist to hips again, choose more gores, or change the sweep.",
        )
        .about(&[Measurement::WaistGirth, Measurement::HipGirth, Measurement::WaistToHip])
    })?;

    let opening_mm = (opening != "none").then(|| plan.opening_depth(body)).flatten();
    let style = Style {
        seam_mm: settings.value(&SEAM_ALLOWANCE),
        hem_mm: settings.value(&HEM_ALLOWANCE),
        open_mm: opening_mm,
        opens_at_side: opening == "left side",
    };
    pieces::make(&mut draft, &layout, &solved, depths, &style)?;
    promise_girths(&mut draft, &layout, &plan, settings);
    if let Some(joined) = &plan.joined {
        draft.seams.push(crate::Seam { a: joined.half.clone(), b: pieces::runs(&layout, "waist", false), ease_mm: 0.0 });
    } else if settings.word(&FINISH) != "none" {
        finish(&layout, &solved, &plan, settings, body)?.add(&mut draft, pieces::runs(&layout, "waist", true), 0.0)?;
    }
    draft.messages.extend(messages::all(body, settings, &plan, &layout, opening_mm));
    Ok(draft)
}

/// The finished sizes of the whole skirt.
struct Plan {
    joined: Option<waist::BodiceWaist>,
    /// Top edge above the natural waist; below it when negative.
    raised: f64,
    girths: Girths,
    depths: Depths,
    round: RoundBody,
    /// From the natural waist down to the hem at the side.
    length: f64,
}

fn plan(body: &Body, settings: &Settings, before: &Draft) -> Result<Plan, DraftError> {
    let hip_depth = body.need(Measurement::WaistToHip)?;
    let joined = if settings.word(&WAIST_FROM) == "bodice" { waist::of_bodice(before) } else { None };
    let raised = if joined.is_some() { 0.0 } else { settings.value(&WAIST_RAISED) };
    let ease = settings.value(&WAIST_EASE);
    let top = match &joined {
        Some(joined) => joined.girth,
        None => waist::girth_at(body, raised)? + ease,
    };
    let hip = body.need(Measurement::HipGirth)? + settings.value(&HIP_EASE);
    let at_knee = settings.word(&FLARE_FROM) == "knee";
    let straight =
        if at_knee { body.need(Measurement::WaistToKnee)? - settings.value(&ABOVE_KNEE) - hip_depth } else { settings.value(&STRAIGHT) };
    let natural_waist = if raised > 0.0 { body.need(Measurement::WaistGirth)? + ease } else { top };
    let girths =
        Girths { top, natural_waist, hip, flare: if at_knee { settings.value(&KNEE_GIRTH) } else { hip }, hem: settings.value(&SWEEP) };

    let (side, round) = if is_shaped(settings) { floors(body, settings)? } else { (0.0, RoundBody::default()) };
    let length = if is_shaped(settings) { hem::length(settings, side) } else { hem::length_at_side(body, settings)? };
    let rise = hip_depth + raised.min(0.0);
    let flared = length - hip_depth - straight;
    let shown = |mm: f64| body.unit().rough(mm);
    if flared < LEAST_FLARED_MM || straight < 0.0 {
        return Err(DraftError::new(
            "skirt",
            format!("a length of {} ends above where the flare begins ({} below the waist)", shown(length), shown(hip_depth + straight)),
            "Make the skirt longer, or let it flare from higher up.",
        )
        .about(if at_knee { &[Measurement::WaistToKnee, Measurement::WaistToHip] } else { &[] }));
    }
    let least = rise + round.front.min(round.back).min(0.0);
    if least < 0.3 * hip_depth {
        return Err(DraftError::new(
            "skirt",
            format!("only {} are left between the top edge and the hip", shown(least.max(0.0))),
            "Lower the waist by less, and measure the front and back lengths to the floor again.",
        )
        .about(&[Measurement::FrontWaistToFloor, Measurement::BackWaistToFloor, Measurement::WaistToHip]));
    }
    let depths = Depths { above: raised.max(0.0), rise, straight, flared };
    Ok(Plan { joined, raised, girths, depths, round, length })
}

/// Waist to floor at the side, and how front and back differ from it. What was not measured is as the rest.
fn floors(body: &Body, settings: &Settings) -> Result<(f64, RoundBody), DraftError> {
    use Measurement::*;
    let [front, side, back] = [FrontWaistToFloor, OutsideLeg, BackWaistToFloor].map(|m| body.measured(m));
    let mean = match (front, back) {
        (Some(f), Some(b)) => Some((f + b) / 2.0),
        (one, other) => one.or(other),
    };
    let train = settings.value(&TRAIN);
    let side = match side.or(mean) {
        Some(side) => side,
        None if hem::to_floor(settings) => body.need(OutsideLeg)?,
        None => return Ok((0.0, RoundBody { train, ..RoundBody::default() })),
    };
    Ok((side, RoundBody { front: front.unwrap_or(side) - side, back: back.unwrap_or(side) - side, train }))
}

impl Plan {
    /// Finished girth at a depth below the natural waist, straight between the sizes that are known.
    fn girth_at(&self, depth: f64) -> f64 {
        let hip = self.depths.rise - self.raised.min(0.0);
        let stations = [
            (-self.raised, self.girths.top),
            (hip, self.girths.hip),
            (hip + self.depths.straight, self.girths.flare),
            (hip + self.depths.straight + self.depths.flared, self.girths.hem),
        ];
        let mut girth = self.girths.top;
        for pair in stations.windows(2) {
            let ((a, from), (b, to)) = (pair[0], pair[1]);
            if depth >= a && b > a {
                girth = from + (to - from) * ((depth - a) / (b - a)).min(1.0);
            }
        }
        girth
    }

    /// How far a seam is left open from the top edge, so that the closed rest passes the widest part of the body: to 1 cm
    /// below the full hip, lower where the skirt is no wider there, up to whole centimetres. `None` where no depth will do.
    fn opening_depth(&self, body: &Body) -> Option<f64> {
        let widest = waist::widest(body);
        let hip = self.depths.rise - self.raised.min(0.0);
        let bottom = hip + self.depths.straight + self.depths.flared;
        let mut depth = hip + 10.0;
        // Rings that stay below the hip when it is worn only have to pass the legs.
        while self.girth_at(depth) < widest && self.girths.hip < widest {
            depth += 10.0;
            if depth > bottom - 50.0 {
                return None;
            }
        }
        Some(((depth + self.raised) / 10.0).ceil() * 10.0)
    }
}

fn promise_girths(draft: &mut Draft, layout: &layout::Layout, plan: &Plan, settings: &Settings) {
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
    let opens = settings.word(&OPENING) != "none";
    let underlap = if opens && !below { settings.value(&UNDERLAP) } else { 0.0 };
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
