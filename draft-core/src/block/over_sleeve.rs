//! Over-sleeve: a long triangle that hangs from the top of the armhole over the sleeve, spread into folds and cut on the
//! bias.

use std::f64::consts::FRAC_1_SQRT_2;

use kurbo::{CubicBez, ParamCurve, ParamCurveArclen, Point, Vec2};

use super::bodice_half;
use super::fan::{self, Below, Fan};
use super::sleeve::{self, Armhole};
use super::sleeve_cap::{self, FRONT_SHARE};
use crate::draft::{Corner, Promise};
use crate::geometry::{cubic_length, cubic_path, reversed};
use crate::{Body, Draft, DraftError, EdgeRun, Grade, Measurement, Message, Name, PieceBuilder, Role, Seam, Setting, Settings, Span};

const DEPTH: Setting =
    Setting::length("depth", "Hanging point", "From the crown at the shoulder down to the point in which it hangs.", 900.0, 300.0, 1600.0);
const EASE: Setting =
    Setting::length("cap-ease", "Ease at the armhole", "By how much its upper edge is longer than the armhole beneath.", 5.0, 0.0, 20.0);
const FOLDS: Setting =
    Setting::count("folds", "Folds", "Slashes from the lower edge to the armhole, each opened into a fold.", 4.0, 0.0, 12.0);
const FOLD_ANGLE: Setting =
    Setting::angle("fold-angle", "Opening of each fold", "How far each slash is opened; the folds grow with it.", 12.0, 2.0, 30.0);
const GRAIN: Setting = Setting::choice(
    "grain",
    "Grain",
    "Along the bias down from the crown, which drapes, or along the straight grain.",
    &["bias", "straight"],
);
const CAP_ALLOWANCE: Setting =
    Setting::length("cap-allowance", "Cap allowance", "On the upper edge, the same as at the armhole.", 10.0, 0.0, 50.0);
const EDGE_ALLOWANCE: Setting =
    Setting::length("edge-allowance", "Edge allowance", "On the two hanging edges, for a narrow hem.", 10.0, 0.0, 50.0);

/// The settings of the over-sleeve.
pub const SETTINGS: &[&Setting] = &[&DEPTH, &EASE, &FOLDS, &FOLD_ANGLE, &GRAIN, &CAP_ALLOWANCE, &EDGE_ALLOWANCE];

/// Name of the piece.
pub const OVER_SLEEVE: &str = "over-sleeve";

/// How far below the wrist it may hang before the wearer treads on it or catches it, millimetres (our own).
const LONG_PAST_WRIST_MM: f64 = 300.0;

/// Most by which it may be spread from edge to edge, degrees; beyond, the edges would meet above the shoulder.
const MOST_SPREAD_DEG: f64 = 170.0;

/// Drafts the over-sleeve.
///
/// # Errors
/// There is no bodice with an armhole yet, the upper arm is not known, or the triangle is too short for its folds.
/// # Source
/// Our own construction: the crown of the set-in sleeve from notch to notch, straight edges from the notches to the
/// hanging point, slashed and spread from there to the armhole.
pub fn draft(body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    if bodice_half::is_strapless(before) {
        return Err(bodice_half::strapless(OVER_SLEEVE));
    }
    let armhole = Armhole::on(before).ok_or_else(|| {
        DraftError::new(
            OVER_SLEEVE,
            "there is no armhole to draft it to",
            "Draft the bodice first, above the over-sleeve in the work list.",
        )
    })?;
    let arm = body.need(Measurement::UpperArmGirth)?;
    let arm_length = body.need(Measurement::ArmLength)?;
    let shown = |mm: f64| body.unit().rough(mm);
    let ease = settings.value(&EASE);
    let depth = settings.value(&DEPTH);
    // The cap whose crown it follows is that of the plain sleeve.
    let arm_ease = Settings::default().value(&sleeve::ARM_EASE);
    let (cap, _) = sleeve_cap::for_arm(armhole.front.length, armhole.back.length, ease, arm, arm_ease).ok_or_else(|| {
        DraftError::new(
            OVER_SLEEVE,
            format!("no cap fits an armhole of {}", shown(armhole.length())),
            "Check the bodice's armhole and the upper-arm girth.",
        )
        .about(&[Measurement::UpperArmGirth])
    })?;
    // From the crown to where the notches stand on the cap: below them the cap is as long as the armhole.
    let down_to_notch = |c: CubicBez, notch: f64| c.subsegment(0.0..c.inv_arclen(cubic_length(&c) - notch, 1e-7));
    let back_curve = cap.back_curve();
    let front = down_to_notch(cap.front_curve(), armhole.front.notch);
    let back = down_to_notch(CubicBez::new(back_curve.p3, back_curve.p2, back_curve.p1, back_curve.p0), armhole.back.notch);
    let lowest = front.p3.y.max(back.p3.y);
    if depth < lowest + 100.0 {
        return Err(DraftError::new(
            OVER_SLEEVE,
            format!("a hanging point {} down lies too near to the notches ({} down)", shown(depth), shown(lowest)),
            "Let it hang lower.",
        ));
    }
    let spread_deg = settings.value(&FOLDS) * settings.value(&FOLD_ANGLE);
    if spread_deg > MOST_SPREAD_DEG {
        return Err(DraftError::new(
            OVER_SLEEVE,
            format!("folds of {spread_deg:.0}° together spread it too far"),
            format!("Choose fewer folds or open them less; {MOST_SPREAD_DEG:.0}° in all is the most."),
        ));
    }
    let rate = -spread_deg.to_radians() / (front.p3.x - back.p3.x);
    // Straight edges from the hanging point to either end, before the spread.
    let edge = |c: CubicBez| Fan { top: c, rate }.spread(Below { level: depth, slope: (c.p3.y - depth) / c.p3.x });
    let (front, back) = (edge(front), edge(back));
    let (cap_mm, edge_mm) = (settings.value(&CAP_ALLOWANCE), settings.value(&EDGE_ALLOWANCE));
    let end = |c: &[CubicBez]| c.last().map_or(Point::ZERO, |c| c.p3);
    let (front_notch, back_notch) = (end(&front.top), end(&back.top));
    let point = Point::new(0.0, depth);
    let grain_to = if settings.word(&GRAIN) == "bias" { Vec2::new(FRAC_1_SQRT_2, -FRAC_1_SQRT_2) } else { Vec2::new(0.0, -1.0) };
    let middle = Point::new(0.0, 0.45 * depth);
    let long = 0.12 * depth;
    let piece = PieceBuilder::new(OVER_SLEEVE)
        .part("back cap", Role::Seam, cap_mm, cubic_path(&fan::backward(&back.top)))
        .part("front cap", Role::Seam, cap_mm, cubic_path(&front.top))
        .part("front edge", Role::Hem, edge_mm, reversed(&cubic_path(&front.below)))
        .part("back edge", Role::Hem, edge_mm, cubic_path(&back.below))
        .point("crown", Point::ZERO)
        .point("hanging point", point)
        .hidden_point("front notch", front_notch)
        .hidden_point("back notch", back_notch)
        .notch("front cap", 0.0, false)
        .grain(middle - grain_to * long, middle + grain_to * long)
        .cut(2, true)
        .build()?;

    let mut draft = before.clone();
    let own = |name: &Name| *name == OVER_SLEEVE;
    draft.pieces.retain(|p| !own(p.name()));
    draft.seams.retain(|s| !s.a.iter().any(|r| own(&r.piece)));
    draft.promises.retain(|p| !p.what.starts_with("over-sleeve: "));
    draft.corners.retain(|c| !c.what.starts_with("over-sleeve: "));
    draft.messages.retain(|m| !m.place.starts_with("over-sleeve / "));
    let name = piece.name().clone();
    draft.put(piece);
    // It goes along the armhole only from the crown to the notch: as much shorter as lies below the notch.
    for (side, half, share) in [("front", &armhole.front, FRONT_SHARE), ("back", &armhole.back, 1.0 - FRONT_SHARE)] {
        let run = EdgeRun::new(OVER_SLEEVE, format!("{side} cap"));
        draft.promises.push(Promise {
            what: format!("over-sleeve: {side} cap against the armhole above its notch"),
            asked_mm: half.length - half.notch + share * ease,
            spans: vec![Span::Edge(run.clone())],
        });
        draft.seams.push(Seam { a: vec![run], b: half.runs.clone(), ease_mm: share * ease - half.notch });
    }
    draft.promises.push(Promise {
        what: "over-sleeve: crown to hanging point".into(),
        asked_mm: depth,
        spans: vec![Span::between(&name, "crown", "hanging point", 1.0)],
    });
    // Both halves of the upper edge run level through the crown.
    draft.corners.push(Corner {
        what: "over-sleeve: upper edge at the crown".into(),
        of: vec![(name, "back cap".into(), "front cap".into())],
        degrees: 180.0,
        within: 0.5,
    });
    let mut say = |grade, place: &str, problem: String, remedy: &str| {
        draft.messages.push(Message::new(grade, place, problem, remedy).about(&[Measurement::ArmLength]));
    };
    if depth > arm_length + LONG_PAST_WRIST_MM {
        say(
            Grade::Caution,
            "over-sleeve / hanging point",
            format!("it hangs {} below the wrist", shown(depth - arm_length)),
            "Keep it above the knee where there are stairs, doors or moving parts, and well away from open flame.",
        );
    }
    if draft.pieces.iter().any(|p| matches!(p.name().as_str(), "sleeve" | "top sleeve")) {
        draft.messages.push(Message::new(
            Grade::Note,
            "over-sleeve / front cap",
            "it goes into the same armhole seam as the sleeve",
            "Baste it to the sleeve's cap from notch to notch before you set both in, and trim the layers in steps.",
        ));
    }
    Ok(draft)
}
