//! Fitted bodice: front and back, with waist darts and a bust dart, or with princess seams in front.

mod pieces;
mod solve;
mod underbust;
mod waist;

use self::solve::{Ease, Solved, Tape};
use super::sleeve;
use super::sleeve_cap::{self, Fit};
use crate::draft::{Figure, Used};
use crate::{Body, Draft, DraftError, Grade, Measurement, Message, Origin, Setting, Settings};

const BUST_EASE: Setting =
    Setting::length("bust-ease", "Ease at the bust", "Added to the bust girth; a boned bodice has none or less.", 60.0, -60.0, 400.0);
const WAIST_EASE: Setting = Setting::length("waist-ease", "Ease at the waist", "Added to the waist girth.", 40.0, -60.0, 400.0);
const UNDERBUST_EASE: Setting = Setting::length(
    "underbust-ease",
    "Ease under the bust",
    "Added to the underbust girth where the bodice is shaped there.",
    30.0,
    -60.0,
    200.0,
);
const UNDERBUST: Setting = Setting::choice(
    "underbust",
    "Under the bust",
    "Darts and seams curve in under the bust, or run straight from bust to waist.",
    &["shaped", "straight"],
);
const NECK_EASE: Setting = Setting::length("neck-ease", "Ease at the neck", "Added to the neck base girth.", 10.0, 0.0, 60.0);
const BACK_EASE: Setting =
    Setting::length("across-back-ease", "Ease across the back", "Added to the back width, for the arms to reach forward.", 12.0, 0.0, 60.0);
const CHEST_EASE: Setting = Setting::length("across-chest-ease", "Ease across the chest", "Added to the chest width.", 6.0, 0.0, 60.0);
const UNDERARM: Setting =
    Setting::length("underarm-drop", "Underarm below the armpit", "How far the armhole lies below the armpit.", 20.0, 0.0, 80.0);
const FOR_SLEEVE: Setting = Setting::choice(
    "lower-for-sleeve",
    "Lower the underarm for a sleeve",
    "Lowers the underarm by steps of 5 mm, up to 3 cm, until a sleeve fits arm and armhole.",
    &["yes", "no"],
);
const SHOULDER_EASE: Setting = Setting::length(
    "back-shoulder-ease",
    "Back shoulder ease",
    "By how much the back shoulder is longer, eased to the front one.",
    5.0,
    0.0,
    15.0,
);
const BACK_SHOULDER: Setting = Setting::choice(
    "back-shoulder",
    "Back shoulder",
    "The shoulder blade is given room by easing the back shoulder, or by a small dart in it besides.",
    &["ease", "dart"],
);
const FRONT: Setting =
    Setting::choice("front", "Front", "Shaped by darts, or cut in two by princess seams from the shoulder.", &["darts", "princess"]);
const BUST_DART: Setting =
    Setting::choice("bust-dart", "Bust dart", "Where the bust dart opens.", &["side", "shoulder", "armhole", "waist"]);
const TIP: Setting = Setting::length(
    "short-of-bust-point",
    "Darts short of the bust point",
    "How far before the bust point the front darts end.",
    25.0,
    0.0,
    60.0,
);
const OPENING: Setting = Setting::choice("opening", "Opening", "Where the bodice opens.", &["centre back", "centre front", "none"]);
const SEAM_ALLOWANCE: Setting =
    Setting::length("seam-allowance", "Seam allowance", "On shoulders, waist and princess seams.", 15.0, 0.0, 50.0);
const CURVE_ALLOWANCE: Setting =
    Setting::length("curve-allowance", "Neck and armhole allowance", "On neckline and armhole.", 10.0, 0.0, 50.0);
const SIDE_ALLOWANCE: Setting =
    Setting::length("side-allowance", "Side and opening allowance", "On the side seams and the opening, to let out.", 20.0, 0.0, 60.0);

/// The settings of the bodice.
pub const SETTINGS: &[&Setting] = &[
    &BUST_EASE,
    &WAIST_EASE,
    &UNDERBUST,
    &UNDERBUST_EASE,
    &NECK_EASE,
    &BACK_EASE,
    &CHEST_EASE,
    &UNDERARM,
    &FOR_SLEEVE,
    &BACK_SHOULDER,
    &SHOULDER_EASE,
    &FRONT,
    &BUST_DART,
    &TIP,
    &OPENING,
    &SEAM_ALLOWANCE,
    &CURVE_ALLOWANCE,
    &SIDE_ALLOWANCE,
];

/// Width of the back shoulder dart; 1.2 to 1.8 cm are common practice.
const SHOULDER_DART_MM: f64 = 13.0;

const LOWER_BY_MM: f64 = 5.0;
const LOWER_MOST_MM: f64 = 30.0;

fn tape(body: &Body) -> Result<Tape, DraftError> {
    use Measurement::*;
    let need = |which| body.need(which);
    let bust = need(BustGirth)?;
    let underbust = need(UnderbustGirth)?;
    // Without a high bust: common practice of our own, from the cup.
    let high_bust = body.get(UpperChestGirth).unwrap_or(bust - (0.45 * (bust - underbust) - 13.0).max(0.0));
    let mut tape = Tape {
        neck_base: need(NeckBaseGirth)?,
        shoulder: need(ShoulderLength)?,
        slope: need(ShoulderSlope)?.to_radians(),
        across_back: need(AcrossBackWidth)?,
        across_chest: need(AcrossChestWidth)?,
        bust,
        underbust,
        high_bust,
        waist: need(WaistGirth)?,
        back_length: need(BackWaistLength)?,
        front_length: need(FrontWaistLength)?,
        neck_to_bust: need(NeckToBustPoint)?,
        bust_points: need(BustPointDistance)?,
        scye_depth: need(ScyeDepth)?,
        underarm: 0.0,
        arm: need(UpperArmGirth)?,
    };
    // An estimate must not outvote a reading: without the tape's word the armpit follows from the scye depth.
    tape.underarm = match (body.origin(UnderarmToWaist), body.origin(ScyeDepth)) {
        (Origin::Measured, _) | (Origin::Estimated { .. }, Origin::Estimated { .. }) => need(UnderarmToWaist)?,
        _ => tape.back_length - tape.scye_depth,
    };
    Ok(tape)
}

/// Drafts the bodice.
///
/// # Errors
/// A measurement is missing, or the measurements allow no bodice.
pub fn draft(body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    let tape = tape(body)?;
    let mut ease = Ease {
        neck: settings.value(&NECK_EASE),
        bust: settings.value(&BUST_EASE),
        waist: settings.value(&WAIST_EASE),
        underbust: settings.value(&UNDERBUST_EASE),
        across_back: settings.value(&BACK_EASE),
        across_chest: settings.value(&CHEST_EASE),
        underarm: settings.value(&UNDERARM),
        back_shoulder: settings.value(&SHOULDER_EASE),
        back_shoulder_dart: if settings.word(&BACK_SHOULDER) == "dart" { SHOULDER_DART_MM } else { 0.0 },
    };
    let asked = ease.underarm;
    // The sleeve to come is not known yet: a plain one with the sleeve's own defaults has to fit.
    let plain_sleeve = Settings::default();
    let solved = loop {
        let solved = solve::solve(&tape, &ease, body.unit())?;
        let (back, front) = solved.armhole();
        let cap = sleeve_cap::for_arm(front, back, plain_sleeve.value(&sleeve::CAP_EASE), tape.arm, plain_sleeve.value(&sleeve::ARM_EASE));
        let short = matches!(cap, Some((_, Fit::Short(_))) | None);
        if !short || settings.word(&FOR_SLEEVE) == "no" || ease.underarm + LOWER_BY_MM > asked + LOWER_MOST_MM {
            break solved;
        }
        ease.underarm += LOWER_BY_MM;
    };

    let mut draft = before.clone();
    let own = |name: &crate::Name| ["front", "side front", "back"].iter().any(|n| name == n);
    draft.pieces.retain(|p| !own(p.name()));
    draft.seams.retain(|s| !s.a.iter().chain(&s.b).any(|r| own(&r.piece)));
    draft.messages.extend(solved.messages.iter().cloned());
    if ease.underarm > asked {
        draft.messages.push(
            Message::new(
                Grade::Note,
                "bodice / armhole",
                format!("the underarm is {} lower than asked, so that a sleeve fits the arm", body.unit().rough(ease.underarm - asked)),
                "Nothing to mend; for a bodice without sleeves choose \"no\" at \"Lower the underarm for a sleeve\".",
            )
            .about(&[Measurement::UpperArmGirth]),
        );
    }
    draft.used.extend(solved.used.iter().map(|&(which, measured, used)| Used { which, measured, used }));
    let style = pieces::Style {
        princess: settings.word(&FRONT) == "princess" || solved.bust_gap > 0.0,
        bust_dart: settings.word(&BUST_DART),
        // A bust dart in the waist takes the place of the shaping.
        shaped: settings.word(&UNDERBUST) == "shaped" && settings.word(&BUST_DART) != "waist",
        short_of_bust_point: settings.value(&TIP),
        opening: settings.word(&OPENING),
        seam_mm: settings.value(&SEAM_ALLOWANCE),
        curve_mm: settings.value(&CURVE_ALLOWANCE),
        side_mm: settings.value(&SIDE_ALLOWANCE),
    };
    pieces::make(&mut draft, &solved, &tape, &ease, &style)?;
    draft.figures.extend(figures(&solved));
    Ok(draft)
}

/// What the checks hold to and the maker may want to know.
fn figures(s: &Solved) -> Vec<Figure> {
    let angle = |what, value, range| Figure { what, value, range, is_angle: true };
    let length = |what, value, range| Figure { what, value, range, is_angle: false };
    vec![
        angle("bust dart", s.dart.to_degrees(), (0.0, 30.0)),
        length("posture: back armhole taller than front", s.posture, (-10.0, 40.0)),
        length("armhole width", s.armhole_width, s.armhole_band),
        angle("armhole at the back shoulder, off square", s.shoulder_angle_off[0], (-10.5, 10.5)),
        angle("armhole at the front shoulder, off square", s.shoulder_angle_off[1], (-10.5, 10.5)),
    ]
}
