//! The sleeve in one piece, its seam under the arm.

use kurbo::Point;

use super::SLEEVE;
use super::elbow::{Bend, backward, both, seams};
use super::opening::Edges;
use super::plan::{Plan, Side};
use super::settings::{ELBOW, END, FACING};
use crate::geometry::{cubic_length, cubic_path, line_path};
use crate::{Dart, Draft, DraftError, EdgeRun, Grade, Measurement, PieceBuilder, Role, Seam, Span};

/// How far from the elbow the notches stand between which its ease lies, millimetres.
pub const EASED_MM: f64 = 50.0;

/// Drafts the piece and adds it.
pub fn make(plan: &Plan<'_>, draft: &mut Draft) -> Result<(), DraftError> {
    let s = &plan.sizes;
    let bend = match plan.settings.word(&ELBOW) {
        "ease" => Bend::Ease,
        "shaped seam" => Bend::Seam,
        "none" => Bend::None,
        _ => Bend::Dart,
    };
    let shape = seams(s, bend, plan.bend()).ok_or_else(|| {
        DraftError::new(
            "sleeve / elbow",
            format!("no back seam fits a bend of {:.0}° at this elbow", plan.bend().to_degrees()),
            "Choose a smaller bend, another elbow, or measure upper arm and arm length again.",
        )
        .about(&[Measurement::UpperArmLength, Measurement::ArmLength, Measurement::ElbowGirth])
    })?;
    let (cap_mm, seam_mm) = (plan.cap_allowance(), plan.seam_allowance());
    let (front_cap, back_cap) = (plan.cap.front_curve(), plan.cap.back_curve());
    let end = plan.end(shape.front_wrist(), shape.back_wrist());
    let pointed = plan.settings.word(&END) == "point";
    let faced = pointed && plan.settings.word(&FACING) == "yes";
    let mut piece = PieceBuilder::new(SLEEVE)
        .part("back cap", Role::Seam, cap_mm, cubic_path(&[back_cap]))
        .part("front cap", Role::Seam, cap_mm, cubic_path(&[front_cap]))
        .part("front seam", Role::Seam, seam_mm, cubic_path(&shape.front))
        .part("wrist edge", if faced { Role::Seam } else { Role::Hem }, plan.end_allowance(), end.path.clone());
    piece = match shape.dart {
        None => piece.part("back seam", Role::Seam, seam_mm, cubic_path(&shape.back)),
        Some(tip) => piece
            .part("back seam", Role::Seam, seam_mm, cubic_path(&[shape.back[0]]))
            .line("elbow dart leg 1", Role::DartLeg, 0.0, shape.back[0].p3, tip)
            .line("elbow dart leg 2", Role::DartLeg, 0.0, tip, shape.back[1].p0)
            .part("back seam", Role::Seam, seam_mm, cubic_path(&[shape.back[1]]))
            .dart(Dart {
                name: "elbow dart".into(),
                leg_a: "elbow dart leg 1".into(),
                leg_b: "elbow dart leg 2".into(),
                tip,
                pivot: tip,
                // Pressed down, toward the wrist.
                pressed_to_a: true,
            }),
    };
    let (front_half, _) = plan.half(Side::Front);
    let (back_half, _) = plan.half(Side::Back);
    piece = plan
        .crown(piece, &front_cap, &back_cap)
        .notch("back cap", back_half.notch, true)
        .notch("front cap", cubic_length(&front_cap) - front_half.notch, false)
        .hidden_point("front underarm", shape.front[0].p0)
        .hidden_point("back underarm", shape.back[1].p3)
        .hidden_point("front elbow", shape.front_elbow())
        .hidden_point("back elbow", shape.back_elbow())
        .hidden_point("front wrist", shape.front_wrist())
        .hidden_point("back wrist", shape.back_wrist())
        .marked_line("elbow line", line_path(shape.dart.unwrap_or(shape.back_elbow()), shape.front_elbow()))
        // Along the upper arm and on, as far as the turned lower arm lets it.
        .grain(Point::new(s.middle, s.elbow_y + 0.4 * (s.wrist_y - s.elbow_y)), Point::new(s.middle, s.cap + 20.0))
        .cut(2, true);
    piece = plan.mark_point(piece, &end);
    // Notches that meet: from the underarm down on the front seam, from the wrist up on the back seam.
    let (upper, lower) = (cubic_length(&shape.front[0]), cubic_length(&shape.front[1]));
    let back_mm = both(&shape.back);
    piece = match bend {
        Bend::Ease => piece
            .notch("front seam", upper - EASED_MM, false)
            .notch("front seam", upper + EASED_MM, false)
            .notch("back seam", lower - EASED_MM, false)
            .notch("back seam", back_mm - (upper - EASED_MM), false),
        // It meets the closed dart.
        Bend::Dart => piece.notch("front seam", upper + lower - cubic_length(&shape.back[0]), false),
        Bend::None | Bend::Seam => piece.notch("front seam", upper, false).notch("back seam", lower, false),
    };

    let opening = plan.opening(&[Edges { front: shape.front[1], back: backward(shape.back[0]) }]);
    if let Some((length, buttons)) = &opening {
        piece = piece.notch("front seam", upper + lower - length, false).notch("back seam", *length, false);
        let built = piece.clone().build()?;
        // The front edge laps over and carries the loops or buttonholes.
        for (i, up) in buttons.iter().enumerate() {
            if let Some((at, _)) = built.along_edge("front seam", upper + lower - up) {
                piece = piece.point(format!("loop {}", i + 1), at);
            }
        }
    }
    let piece = piece.build()?;
    let name = piece.name().clone();
    draft.put(piece);

    let run = |edge: &str| EdgeRun::new(SLEEVE, edge);
    plan.sew_cap(draft, vec![run("front cap")], vec![run("back cap")]);
    draft.seams.push(Seam { a: vec![run("back seam")], b: vec![run("front seam")], ease_mm: shape.ease });
    if shape.dart.is_some() {
        draft.seams.push(Seam::plain(run("elbow dart leg 1"), run("elbow dart leg 2")));
        // With the dart closed the seam runs on straight past it.
        plan.smooth(
            draft,
            "back seam across the elbow dart",
            &[(SLEEVE, "elbow dart leg 2", "back seam"), (SLEEVE, "back seam", "elbow dart leg 1")],
        );
    }
    if shape.ease > 0.0 {
        plan.say(
            draft,
            Grade::Note,
            "sleeve / back seam",
            format!("the back seam is {} longer than the front seam", plan.body.unit().text(shape.ease)),
            "Ease it in between the two notches at the elbow.",
            &[],
        );
    }
    if bend != Bend::None && shape.bend < plan.bend() - 0.01 {
        plan.say(
            draft,
            Grade::Note,
            "sleeve / back seam",
            format!("the lower arm is turned forward by {:.1}° instead of {:.1}°", shape.bend.to_degrees(), plan.bend().to_degrees()),
            "Nothing to mend; an elbow dart or two pieces bend further.",
            &[],
        );
    }
    let across = |at: &str| vec![Span::between(&name, &format!("back {at}"), &format!("front {at}"), 1.0)];
    plan.level(draft, "upper arm", 2.0 * s.half_top, across("underarm"));
    plan.level(draft, "elbow", 2.0 * s.half_elbow, across("elbow"));
    plan.level(draft, "wrist", 2.0 * s.half_wrist, across("wrist"));
    plan.smooth(draft, "end across the closed seam", &[(SLEEVE, "front seam", "wrist edge"), (SLEEVE, "wrist edge", "back seam")]);
    plan.smooth(draft, "cap across the closed seam", &[(SLEEVE, "back seam", "back cap"), (SLEEVE, "front cap", "front seam")]);
    plan.finish_point(draft, SLEEVE, &end, shape.front[1], shape.back[0])?;
    if let Some((length, buttons)) = opening {
        plan.finish_opening(draft, "sleeve / back seam", length, &buttons)?;
    }
    Ok(())
}
