//! One-piece sleeve, drafted to the bodice's armhole, ending in a point over the hand or straight at the wrist.

use kurbo::{BezPath, CubicBez, ParamCurve, Point, Vec2};

use super::sleeve_cap::{self, Fit};
use crate::draft::{Corner, Promise};
use crate::geometry::{cubic_length, cubic_path, root};
use crate::{
    Body, Draft, DraftError, EdgeRun, Grade, Level, Measurement, Message, Name, PieceBuilder, Role, Seam, Setting, Settings, Span,
};

/// Ease of the cap over the armhole. Common practice for a woven dress is 25–40 mm in textbooks, about half that in
/// the trade; 20 mm also suits velvet and satin, which do not shrink in.
pub const CAP_EASE: Setting =
    Setting::length("cap-ease", "Cap ease", "By how much the cap is longer than the armhole, eased in over the crown.", 20.0, 0.0, 60.0);
/// Ease at the upper arm.
pub const ARM_EASE: Setting = Setting::length("upper-arm-ease", "Ease at the upper arm", "Added to the upper-arm girth.", 50.0, 0.0, 400.0);
const ELBOW_EASE: Setting = Setting::length("elbow-ease", "Ease at the elbow", "Added to the girth of the bent elbow.", 30.0, 0.0, 400.0);
const WRIST_EASE: Setting = Setting::length("wrist-ease", "Ease at the wrist", "Added to the wrist girth.", 20.0, 0.0, 400.0);
const END: Setting = Setting::choice("end", "End", "A point over the back of the hand, or straight at the wrist.", &["point", "straight"]);
const POINT: Setting = Setting::length(
    "point-past-knuckle",
    "Point past the knuckle",
    "How far the tip reaches past the middle knuckle; less than nought stops short of it.",
    10.0,
    -80.0,
    80.0,
);
const SEAM_ALLOWANCE: Setting = Setting::length("seam-allowance", "Seam allowance", "On the underarm seam.", 15.0, 0.0, 50.0);
const CAP_ALLOWANCE: Setting =
    Setting::length("cap-allowance", "Cap allowance", "On the cap, the same as at the armhole.", 10.0, 0.0, 50.0);
const END_ALLOWANCE: Setting =
    Setting::length("end-allowance", "Allowance at the end", "For a facing at the point, or the hem of a straight end.", 10.0, 0.0, 80.0);

/// The settings of the sleeve.
pub const SETTINGS: &[&Setting] =
    &[&CAP_EASE, &ARM_EASE, &ELBOW_EASE, &WRIST_EASE, &END, &POINT, &SEAM_ALLOWANCE, &CAP_ALLOWANCE, &END_ALLOWANCE];

/// Name of the one piece.
pub const SLEEVE: &str = "sleeve";

/// Where the notches lie, as parts of each armhole half from the underarm; common practice is the lower bend.
pub const FRONT_NOTCH: f64 = 0.38;
/// The back one is double.
pub const BACK_NOTCH: f64 = 0.42;

/// Half the angle of the point.
const TIP_HALF_DEG: f64 = 30.0;

/// Drafts the sleeve.
///
/// # Errors
/// There is no bodice with an armhole yet, a measurement of the arm is missing, or no cap fits.
pub fn draft(body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    let armhole_on = |names: [&'static str; 2]| names.into_iter().find_map(|n| Some((n, before.piece(n)?.edge_length_mm("armhole")?)));
    let (Some((front_piece, armhole_front)), Some((back_piece, armhole_back))) =
        (armhole_on(["side front", "front"]), armhole_on(["side back", "back"]))
    else {
        return Err(DraftError::new(
            "sleeve",
            "there is no armhole to draft it to",
            "Draft the bodice first, above the sleeve in the work list.",
        ));
    };
    let arm = body.need(Measurement::UpperArmGirth)?;
    let elbow_girth = body.need(Measurement::ElbowGirth)?;
    let wrist_girth = body.need(Measurement::WristGirth)?;
    let hand_girth = body.need(Measurement::HandGirth)?;
    let arm_length = body.need(Measurement::ArmLength)?;
    let elbow_y = body.need(Measurement::UpperArmLength)?;
    let knuckle = body.need(Measurement::HandLength)? - body.need(Measurement::MiddleFingerLength)?;
    let (ease, arm_ease) = (settings.value(&CAP_EASE), settings.value(&ARM_EASE));
    let shown = |mm: f64| body.unit().rough(mm);

    let (cap, fit) = sleeve_cap::for_arm(armhole_front, armhole_back, ease, arm, arm_ease).ok_or_else(|| {
        DraftError::new(
            "sleeve",
            format!("no cap fits an armhole of {}", shown(armhole_front + armhole_back)),
            "Check the bodice's armhole and the upper-arm girth.",
        )
        .about(&[Measurement::UpperArmGirth])
    })?;
    let mut draft = before.clone();
    let own = |name: &Name| *name == SLEEVE;
    draft.pieces.retain(|p| !own(p.name()));
    draft.seams.retain(|s| !s.a.iter().chain(&s.b).any(|r| own(&r.piece)));
    draft.levels.retain(|l| !matches!(l.name, "upper arm" | "elbow" | "wrist"));
    let mut say = |grade, problem: String, remedy: &str| {
        draft.messages.push(Message::new(grade, "sleeve / cap", problem, remedy).about(&[Measurement::UpperArmGirth]));
    };
    match fit {
        Fit::AsAsked => {}
        Fit::Wider => say(
            Grade::Note,
            format!(
                "the arm is slim for this armhole: the sleeve is {} wide at the upper arm instead of {}",
                shown(cap.width()),
                shown(arm + arm_ease)
            ),
            "Nothing to mend; for a closer sleeve raise the underarm of the bodice.",
        ),
        Fit::LessEase(left) => say(
            Grade::Note,
            format!("a cap that sits well leaves {} of ease at the upper arm instead of {}", shown(left), shown(arm_ease)),
            "Nothing to mend; for more ease lower the underarm of the bodice.",
        ),
        Fit::Short(lacks) => say(
            Grade::Warning,
            format!("this armhole can't carry this arm: the sleeve lacks {} at the upper arm", shown(lacks)),
            "Lower the underarm of the bodice, or choose a cloth that stretches.",
        ),
    }

    // Below the cap the seams are mirror images about the middle of the underarm, so they are equally long.
    let middle = (cap.front - cap.back) / 2.0;
    let half_top = cap.width() / 2.0;
    let half_elbow = ((elbow_girth + settings.value(&ELBOW_EASE)) / 2.0).min(half_top);
    let half_wrist = ((wrist_girth + settings.value(&WRIST_EASE)) / 2.0).min(half_elbow);
    if elbow_y < cap.height + 30.0 || arm_length < elbow_y + 60.0 {
        return Err(DraftError::new(
            Measurement::UpperArmLength.name(),
            format!(
                "{} down to the elbow and {} to the wrist leave no room for the cap ({})",
                shown(elbow_y),
                shown(arm_length),
                shown(cap.height)
            ),
            "Measure both over the bent elbow, from the shoulder point.",
        )
        .about(&[Measurement::UpperArmLength, Measurement::ArmLength]));
    }
    // Right-hand seam, square to the cap and to the end for the last little way, else as straight as the elbow lets it.
    let top = Point::new(middle + half_top, cap.height);
    let elbow = Point::new(middle + half_elbow, elbow_y);
    let wrist = Point::new(middle + half_wrist, arm_length);
    let slope = (wrist - top).normalize();
    let (upper, lower) = (elbow.y - top.y, wrist.y - elbow.y);
    let front_seam = [
        CubicBez::new(top, top + Vec2::new(0.0, 0.12 * upper), elbow - slope * (0.35 * upper), elbow),
        CubicBez::new(elbow, elbow + slope * (0.35 * lower), wrist - Vec2::new(0.0, 0.12 * lower), wrist),
    ];
    let across = |p: Point| Point::new(2.0 * middle - p.x, p.y);
    let mirrored = |c: CubicBez| CubicBez::new(across(c.p3), across(c.p2), across(c.p1), across(c.p0));
    let back_seam = [mirrored(front_seam[1]), mirrored(front_seam[0])];

    let pointed = settings.word(&END) == "point";
    let reach = if pointed { (knuckle + settings.value(&POINT)).max(20.0) } else { 0.0 };
    let tip = Point::new(middle, arm_length + reach);
    let end = if pointed {
        let a = TIP_HALF_DEG.to_radians();
        let handle = 0.4 * reach / a.cos();
        let right = CubicBez::new(
            wrist,
            Point::new(middle + 0.55 * half_wrist, arm_length),
            tip + Vec2::new(handle * a.sin(), -handle * a.cos()),
            tip,
        );
        cubic_path(&[right, mirrored(right)])
    } else {
        let mut path = BezPath::new();
        path.move_to(wrist);
        path.line_to(across(wrist));
        path
    };

    let cap_mm = settings.value(&CAP_ALLOWANCE);
    let seam_mm = settings.value(&SEAM_ALLOWANCE);
    let (back_cap, front_cap) = (cap.back_curve(), cap.front_curve());
    let front_cap_mm = cubic_length(&front_cap);
    let mut piece = PieceBuilder::new(SLEEVE)
        .part("back cap", Role::Seam, cap_mm, cubic_path(&[back_cap]))
        .part("front cap", Role::Seam, cap_mm, cubic_path(&[front_cap]))
        .part("front seam", Role::Seam, seam_mm, cubic_path(&front_seam))
        .part("wrist edge", Role::Hem, settings.value(&END_ALLOWANCE), end)
        .part("back seam", Role::Seam, seam_mm, cubic_path(&back_seam))
        .point("crown", Point::ZERO)
        .hidden_point("front underarm", top)
        .hidden_point("back underarm", across(top))
        .hidden_point("front elbow", elbow)
        .hidden_point("back elbow", across(elbow))
        .hidden_point("front wrist", wrist)
        .hidden_point("back wrist", across(wrist))
        .notch("back cap", BACK_NOTCH * armhole_back, true)
        .notch("front cap", 0.0, false)
        .notch("front cap", front_cap_mm - FRONT_NOTCH * armhole_front, false)
        .notch("front seam", cubic_length(&front_seam[0]), false)
        .notch("back seam", cubic_length(&back_seam[0]), false)
        .marked_line("elbow line", crate::geometry::line_path(across(elbow), elbow))
        .grain(Point::new(middle, arm_length - 30.0), Point::new(middle, cap.height + 20.0))
        .cut(2, true);
    if pointed {
        piece = piece.point("tip", tip);
    }

    // The hand passes where the sleeve measures the hand less 1 cm; below that the back seam stays open.
    let needed = hand_girth - 10.0;
    if 2.0 * half_wrist < needed {
        let widths = |seg: usize, t: f64| 2.0 * (front_seam[seg].eval(t).x - middle);
        let opening = if 2.0 * half_elbow < needed {
            cubic_length(&front_seam[1])
        } else {
            let t = root(0.0, 1.0, |t| widths(1, t) - needed).unwrap_or(1.0);
            cubic_length(&front_seam[1].subsegment(t..1.0))
        };
        piece = piece.notch("back seam", opening, false);
        draft.messages.push(
            Message::new(
                Grade::Note,
                "sleeve / back seam",
                format!("the hand ({}) does not pass the wrist ({})", shown(hand_girth), shown(2.0 * half_wrist)),
                format!(
                    "Leave the seam open for {} above the wrist, to the lower notch, and close it with small buttons or a zip.",
                    shown(opening)
                ),
            )
            .about(&[Measurement::HandGirth, Measurement::WristGirth]),
        );
    }
    let piece = piece.build()?;
    let name = piece.name().clone();
    draft.put(piece);

    draft.seams.push(Seam {
        a: vec![EdgeRun::new(SLEEVE, "front cap")],
        b: vec![EdgeRun::new(front_piece, "armhole")],
        ease_mm: sleeve_cap::FRONT_SHARE * ease,
    });
    draft.seams.push(Seam {
        a: vec![EdgeRun::new(SLEEVE, "back cap")],
        b: vec![EdgeRun::new(back_piece, "armhole")],
        ease_mm: (1.0 - sleeve_cap::FRONT_SHARE) * ease,
    });
    draft.seams.push(Seam::plain(EdgeRun::new(SLEEVE, "front seam"), EdgeRun::new(SLEEVE, "back seam")));
    let level = |level: &'static str, body_mm: f64, at: &str, half: f64| Level {
        name: level,
        body_mm,
        ease_mm: 2.0 * half - body_mm,
        spans: vec![Span::between(&name, &format!("back {at}"), &format!("front {at}"), 1.0)],
    };
    let levels = [
        level("upper arm", arm, "underarm", half_top),
        level("elbow", elbow_girth, "elbow", half_elbow),
        level("wrist", wrist_girth, "wrist", half_wrist),
    ];
    draft.levels.extend(levels);
    draft.promises.push(Promise {
        what: "sleeve: cap against the armhole and its ease".into(),
        asked_mm: armhole_front + armhole_back + ease,
        spans: vec![Span::Edge(EdgeRun::new(SLEEVE, "front cap")), Span::Edge(EdgeRun::new(SLEEVE, "back cap"))],
    });
    draft.corners.push(Corner {
        what: "sleeve: end across the closed seam".into(),
        of: vec![(name.clone(), "front seam".into(), "wrist edge".into()), (name.clone(), "wrist edge".into(), "back seam".into())],
        degrees: 180.0,
        within: 3.0,
    });
    draft.corners.push(Corner {
        what: "sleeve: cap across the closed seam".into(),
        of: vec![(name.clone(), "back seam".into(), "back cap".into()), (name, "front cap".into(), "front seam".into())],
        degrees: 180.0,
        within: 3.0,
    });
    if reach > 120.0 {
        draft.messages.push(Message::new(
            Grade::Caution,
            "sleeve / wrist edge",
            format!("the point hangs {} past the wrist", shown(reach)),
            "Keep long sleeve points away from open flame and moving parts; a finger loop should stretch or break away.",
        ));
    }
    Ok(draft)
}
