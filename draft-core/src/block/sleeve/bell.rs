//! Bell sleeves: flared from the cap, or a bell sewn on at the elbow.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Arc, BezPath, CubicBez, ParamCurve, ParamCurveDeriv, Point, Shape};

use super::elbow::{Bend, backward, seams};
use super::plan::{Plan, Side};
use super::settings::{BELL_FROM, BELL_GIRTH, BELL_LENGTH, CUT};
use super::{BELL, SLEEVE};
use crate::block::fan::{self, Below, Fan};
use crate::draft::Promise;
use crate::geometry::{cubic_length, cubic_path, end, reversed, start};
use crate::{Draft, DraftError, EdgeRun, Grade, Level, PieceBuilder, Role, Seam, Span};

/// Least length of a bell below the elbow, or of a flared sleeve below the underarm; millimetres.
const SHORTEST_MM: f64 = 40.0;

/// Most by which a flared cap may be turned from front to back, radians; beyond, its ends would fold over its crown.
const MOST_FAN: f64 = 2.6;

/// Most of a ring that a bell may fill, radians: less than the whole, for its seam.
const MOST_RING: f64 = 6.0;

/// Drafts the pieces and adds them.
pub fn make(plan: &Plan<'_>, draft: &mut Draft) -> Result<(), DraftError> {
    if plan.settings.word(&CUT) == "two pieces" {
        plan.say(
            draft,
            Grade::Note,
            "sleeve / seams",
            "a sleeve with a bell is cut in one piece around the arm".into(),
            "Nothing to mend; choose another end for a sleeve in two pieces.",
            &[],
        );
    }
    if plan.settings.word(&BELL_FROM) == "cap" { from_cap(plan, draft) } else { from_elbow(plan, draft) }
}

fn too_wide(plan: &Plan<'_>, asked: f64, most: f64) -> DraftError {
    DraftError::new(
        "sleeve / bell",
        format!("a bell of {} all round can't be cut from one piece of this length", plan.shown(asked)),
        format!("Make it {} wide at most, or longer.", plan.shown(most)),
    )
}

fn too_short(plan: &Plan<'_>) -> DraftError {
    DraftError::new(
        "sleeve / bell",
        format!("a bell that ends {} above the wrist has no length left", plan.shown(-plan.settings.value(&BELL_LENGTH))),
        "Let it end further down.",
    )
}

/// What the bell measures round its hem; never less than the sleeve above it.
fn girth(plan: &Plan<'_>, draft: &mut Draft, above: f64) -> f64 {
    let asked = plan.settings.value(&BELL_GIRTH);
    if asked < above {
        plan.say(
            draft,
            Grade::Note,
            "sleeve / bell",
            format!("a bell of {} would be narrower than the sleeve above it", plan.shown(asked)),
            format!("It is drafted straight, {} wide; ask for more.", plan.shown(above)),
            &[],
        );
    }
    asked.max(above)
}

fn hem_promise(plan: &Plan<'_>, draft: &mut Draft, piece: &str, edge: &str, girth: f64) {
    let spans = vec![Span::Edge(EdgeRun::new(piece, edge))];
    draft.levels.push(Level { name: "sleeve hem", body_mm: plan.wrist, ease_mm: girth - plan.wrist, spans: spans.clone() });
    draft.promises.push(Promise { what: "sleeve: round the hem of the bell".into(), asked_mm: girth, spans });
}

fn cap_notches(plan: &Plan<'_>, piece: PieceBuilder, front_mm: f64) -> PieceBuilder {
    let (front, _) = plan.half(Side::Front);
    let (back, _) = plan.half(Side::Back);
    piece.notch("back cap", back.notch, true).notch("front cap", front_mm - front.notch, false)
}

/// The edge of a ring that is lowest at `(0, low)`, from `beta` on the right to as far on the left.
fn ring_edge(radius: f64, low: f64, beta: f64) -> BezPath {
    let arc = Arc::new((0.0, low - radius), (radius, radius), FRAC_PI_2 - beta, 2.0 * beta, 0.0);
    let mut path = BezPath::new();
    path.extend(arc.path_elements(1e-4));
    path
}

/// A fitted upper sleeve, and a part of a ring sewn to it at the elbow.
fn from_elbow(plan: &Plan<'_>, draft: &mut Draft) -> Result<(), DraftError> {
    let s = &plan.sizes;
    let long = s.wrist_y + plan.settings.value(&BELL_LENGTH) - s.elbow_y;
    if long < SHORTEST_MM {
        return Err(too_short(plan));
    }
    let elbow = 2.0 * s.half_elbow;
    let round = girth(plan, draft, elbow);
    if (round - elbow) / long > MOST_RING {
        return Err(too_wide(plan, round, elbow + MOST_RING * long));
    }
    let shape = seams(s, Bend::None, 0.0).ok_or_else(|| DraftError::new("sleeve / seams", "no seam fits", "Measure the arm again."))?;
    let (front_cap, back_cap) = (plan.cap.front_curve(), plan.cap.back_curve());
    let (cap_mm, seam_mm) = (plan.cap_allowance(), plan.seam_allowance());
    let (front, back) = (shape.front[0], shape.back[1]);
    let piece = PieceBuilder::new(SLEEVE)
        .part("back cap", Role::Seam, cap_mm, cubic_path(&[back_cap]))
        .part("front cap", Role::Seam, cap_mm, cubic_path(&[front_cap]))
        .part("front seam", Role::Seam, seam_mm, cubic_path(&[front]))
        .line("elbow edge", Role::Seam, seam_mm, front.p3, back.p0)
        .part("back seam", Role::Seam, seam_mm, cubic_path(&[back]))
        .hidden_point("front underarm", front.p0)
        .hidden_point("back underarm", back.p3)
        .hidden_point("front elbow", front.p3)
        .hidden_point("back elbow", back.p0)
        .notch("elbow edge", s.half_elbow, false)
        .grain(Point::new(s.middle, s.elbow_y - 20.0), Point::new(s.middle, 0.5 * s.cap))
        .cut(2, true);
    let piece = cap_notches(plan, plan.crown(piece, &front_cap, &back_cap), cubic_length(&front_cap));
    draft.put(piece.build()?);

    // A ring's edges are its angle times their radii; a bell that hardly flares is a ring of very large radius.
    let beta = ((round - elbow) / (2.0 * long)).max(1e-5);
    let radius = elbow / (2.0 * beta);
    let (top, hem) = (reversed(&ring_edge(radius, 0.0, beta)), ring_edge(radius + long, long, beta));
    let ends = |path: &BezPath| (start(path).unwrap_or_default(), end(path).unwrap_or_default());
    let ((back_top, front_top), (front_hem, back_hem)) = (ends(&top), ends(&hem));
    let bell = PieceBuilder::new(BELL)
        .part("elbow edge", Role::Seam, seam_mm, top)
        .line("front seam", Role::Seam, seam_mm, front_top, front_hem)
        .part("hem", Role::Hem, plan.end_allowance(), hem)
        .line("back seam", Role::Seam, seam_mm, back_hem, back_top)
        .hidden_point("middle of elbow edge", Point::ZERO)
        .hidden_point("middle of hem", Point::new(0.0, long))
        .notch("elbow edge", s.half_elbow, false)
        .grain(Point::new(0.0, 0.9 * long), Point::new(0.0, 0.1 * long))
        .cut(2, true)
        .build()?;
    draft.put(bell);

    let run = |edge: &str| EdgeRun::new(SLEEVE, edge);
    let on_bell = |edge: &str| EdgeRun::new(BELL, edge);
    plan.sew_cap(draft, vec![run("front cap")], vec![run("back cap")]);
    draft.seams.push(Seam::plain(run("back seam"), run("front seam")));
    draft.seams.push(Seam::plain(on_bell("elbow edge"), run("elbow edge")));
    draft.seams.push(Seam::plain(on_bell("back seam"), on_bell("front seam")));
    let across = |at: &str| vec![Span::between(&SLEEVE.into(), &format!("back {at}"), &format!("front {at}"), 1.0)];
    plan.level(draft, "upper arm", 2.0 * s.half_top, across("underarm"));
    plan.level(draft, "elbow", elbow, across("elbow"));
    hem_promise(plan, draft, BELL, "hem", round);
    draft.promises.push(Promise {
        what: "sleeve: bell from elbow to hem".into(),
        asked_mm: long,
        spans: vec![Span::between(&BELL.into(), "middle of elbow edge", "middle of hem", 1.0)],
    });
    plan.smooth(draft, "cap across the closed seam", &[(SLEEVE, "back seam", "back cap"), (SLEEVE, "front cap", "front seam")]);
    plan.smooth(draft, "hem across the closed seam", &[(BELL, "front seam", "hem"), (BELL, "hem", "back seam")]);
    Ok(())
}

/// Area above half of a cap's curve, that is its depth below the crown summed over its width.
fn area_above(c: &CubicBez) -> f64 {
    // A cubic's y · x' is of degree five: three Gauss points are exact.
    const GAUSS: [(f64, f64); 3] = [(0.112_701_665_379_258_31, 5.0 / 18.0), (0.5, 8.0 / 18.0), (0.887_298_334_620_741_7, 5.0 / 18.0)];
    let d = c.deriv();
    GAUSS.iter().map(|(t, w)| w * c.eval(*t).y * d.eval(*t).x).sum::<f64>().abs()
}

/// The straight sleeve slashed from hem to cap and spread until the hem measures what is asked.
fn from_cap(plan: &Plan<'_>, draft: &mut Draft) -> Result<(), DraftError> {
    let s = &plan.sizes;
    let low = s.wrist_y + plan.settings.value(&BELL_LENGTH);
    if low < s.cap + SHORTEST_MM {
        return Err(too_short(plan));
    }
    let wide = plan.cap.width();
    let round = girth(plan, draft, wide);
    let (front, back) = (plan.cap.front_curve(), backward(plan.cap.back_curve()));
    let depth = (area_above(&front) + area_above(&back)) / wide;
    // Each strip grows by its turn times its length below the cap.
    let turn = (round - wide) / (low - depth);
    if turn > MOST_FAN {
        return Err(too_wide(plan, round, wide + MOST_FAN * (low - depth)));
    }
    let rate = -turn / wide;
    let spread = |level: f64| {
        let line = Below { level, slope: 0.0 };
        (Fan { top: front, rate }.spread(line), Fan { top: back, rate }.spread(line))
    };
    let (front_hem, back_hem) = spread(low);
    let (front_arm, back_arm) = spread(s.cap);
    let arm = wide + turn * (s.cap - depth);

    let (cap_mm, seam_mm) = (plan.cap_allowance(), plan.seam_allowance());
    let front_cap = &front_hem.top;
    let back_cap = fan::backward(&back_hem.top);
    let end = |c: &[CubicBez]| c.last().map_or(Point::ZERO, |c| c.p3);
    let (front_underarm, back_underarm) = (end(&front_hem.top), end(&back_hem.top));
    let (front_end, back_end) = (end(&front_hem.below), end(&back_hem.below));
    let hem = reversed(&fan::across(&back_hem.below, &front_hem.below));
    let piece = PieceBuilder::new(SLEEVE)
        .part("back cap", Role::Seam, cap_mm, cubic_path(&back_cap))
        .part("front cap", Role::Seam, cap_mm, cubic_path(front_cap))
        .line("front seam", Role::Seam, seam_mm, front_underarm, front_end)
        .part("wrist edge", Role::Hem, plan.end_allowance(), hem)
        .line("back seam", Role::Seam, seam_mm, back_end, back_underarm)
        .hidden_point("front underarm", front_underarm)
        .hidden_point("back underarm", back_underarm)
        .hidden_point("middle of hem", Point::new(0.0, low))
        .notch("front seam", 0.5 * (low - s.cap), false)
        .notch("back seam", 0.5 * (low - s.cap), false)
        .marked_line("upper arm line", fan::across(&back_arm.below, &front_arm.below))
        .grain(Point::new(0.0, low - 30.0), Point::new(0.0, 0.3 * s.cap))
        .cut(2, true);
    let (Some(front_first), Some(back_last)) = (front_cap.first(), back_cap.last()) else {
        return Err(DraftError::new("sleeve / cap", "the cap is empty", "Draft the bodice again."));
    };
    let front_mm = front_cap.iter().map(cubic_length).sum();
    let piece = cap_notches(plan, plan.crown(piece, front_first, back_last), front_mm).build()?;
    let name = piece.name().clone();
    draft.put(piece);

    let run = |edge: &str| EdgeRun::new(SLEEVE, edge);
    plan.sew_cap(draft, vec![run("front cap")], vec![run("back cap")]);
    draft.seams.push(Seam::plain(run("back seam"), run("front seam")));
    draft.levels.push(Level {
        name: "upper arm",
        body_mm: plan.arm,
        ease_mm: arm - plan.arm,
        spans: vec![Span::Marked { piece: name.clone(), line: "upper arm line".into(), times: 1.0 }],
    });
    hem_promise(plan, draft, SLEEVE, "wrist edge", round);
    draft.promises.push(Promise {
        what: "sleeve: crown to hem".into(),
        asked_mm: low,
        spans: vec![Span::between(&name, "crown", "middle of hem", 1.0)],
    });
    plan.smooth(draft, "cap across the closed seam", &[(SLEEVE, "back seam", "back cap"), (SLEEVE, "front cap", "front seam")]);
    plan.smooth(draft, "hem across the closed seam", &[(SLEEVE, "front seam", "wrist edge"), (SLEEVE, "wrist edge", "back seam")]);
    Ok(())
}
