//! Fitted bodice: front and back with darts or princess seams; with shoulders, or strapless.

mod messages;
mod pieces;
mod solve;
mod underbust;
mod waist;

use self::pieces::{LARGE_DEG, SeamFrom, Style, Top, Wanted};
use self::solve::{Ease, Solved, Tape};
use super::sides::{self, Side};
use super::sleeve;
use super::sleeve_cap::{self, Fit};
use crate::draft::{Figure, Used};
use crate::{Block, Body, Draft, DraftError, Grade, Measurement, Message, Origin, Setting, Settings};

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
const FRONT: Setting = Setting::choice("front", "Front", "Shaped by darts, or cut in two by princess seams.", &["darts", "princess"]);
const PRINCESS_FROM: Setting = Setting::choice(
    "princess-from",
    "Front princess seam from",
    "The seam begins in the middle of the shoulder, or in the armhole at the level of the across chest.",
    &["shoulder", "armhole"],
);
const BACK: Setting =
    Setting::choice("back", "Back", "Shaped by darts, or cut in two by princess seams into the waist darts.", &["darts", "princess"]);
const BACK_PRINCESS_FROM: Setting = Setting::choice(
    "back-princess-from",
    "Back princess seam from",
    "The seam begins in the middle of the shoulder and takes its dart, or in the armhole at the level of the across back.",
    &["shoulder", "armhole"],
);
const BUST_DART: Setting = Setting::choice(
    "bust-dart",
    "Bust dart",
    "Where the bust dart opens. None spreads it: a third each goes to armhole, waist, and neck with shoulder, which suits a flat chest.",
    &["side", "shoulder", "armhole", "waist", "neckline", "centre front", "none"],
);
const SECOND_DART: Setting = Setting::choice(
    "second-bust-dart",
    "Second bust dart",
    "Takes part of the bust dart. If large: a dart of more than 26° is split between side and shoulder.",
    &["if large", "no", "side", "shoulder", "armhole", "waist", "neckline", "centre front"],
);
const SECOND_SHARE: Setting =
    Setting::number("second-share", "Share of the second dart", "Which part of the angle goes to the second bust dart.", 0.5, 0.1, 0.9);
const DART_SEWN: Setting = Setting::choice(
    "bust-dart-as",
    "Bust dart sewn as",
    "Sewn as a dart, or left open as gathers, which side seam, shoulder, neckline and waist can take.",
    &["dart", "gathers"],
);
const GATHER_REACH: Setting = Setting::length(
    "gather-reach",
    "Gathers to either side",
    "How far the gathers reach along the edge to either side of where the dart was, drawn in.",
    50.0,
    15.0,
    120.0,
);
const TIP: Setting = Setting::length(
    "short-of-bust-point",
    "Darts short of the bust point",
    "How far before the bust point the front darts end.",
    25.0,
    0.0,
    60.0,
);
const OPENING: Setting = Setting::choice("opening", "Opening", "Where the bodice opens.", &["centre back", "centre front", "none"]);
const CENTRE_FRONT: Setting = Setting::choice(
    "centre-front",
    "Centre front",
    "On the fold, or with a seam; where it opens, and where a bust dart opens into it, it is never on the fold.",
    &["fold", "seam"],
);
const TOP: Setting = Setting::choice(
    "top",
    "Top of the bodice",
    "With shoulders, neckline and armholes, or strapless with one top edge all round.",
    &["shoulders", "strapless"],
);
const TOP_FRONT: Setting = Setting::length(
    "top-at-front",
    "Top edge at the centre front",
    "Above the level of the bust points; less than nought below it.",
    40.0,
    -40.0,
    140.0,
);
const TOP_OVER_BUST: Setting =
    Setting::length("top-over-bust", "Top edge over the bust", "From the bust point up to the top edge.", 75.0, 45.0, 140.0);
const TOP_BACK: Setting = Setting::length(
    "top-at-back",
    "Top edge at the centre back",
    "Below the underarm of the bodice; less than nought above it.",
    20.0,
    -40.0,
    90.0,
);
const SIDES_APART: Setting = Setting::length(
    "sides-apart",
    "Halves apart from",
    "Where a length of the left and the right side differs by more, the halves are drafted apart, with seams at the centres.",
    5.0,
    0.0,
    500.0,
);
const SLOPES_APART: Setting = Setting::angle(
    "slopes-apart",
    "Halves apart from a slope of",
    "Where the left and the right shoulder slope differ by more, the halves are drafted apart.",
    2.0,
    0.0,
    40.0,
);
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
    &PRINCESS_FROM,
    &BUST_DART,
    &SECOND_DART,
    &SECOND_SHARE,
    &DART_SEWN,
    &GATHER_REACH,
    &TIP,
    &BACK,
    &BACK_PRINCESS_FROM,
    &OPENING,
    &CENTRE_FRONT,
    &TOP,
    &TOP_FRONT,
    &TOP_OVER_BUST,
    &TOP_BACK,
    &SIDES_APART,
    &SLOPES_APART,
    &SEAM_ALLOWANCE,
    &CURVE_ALLOWANCE,
    &SIDE_ALLOWANCE,
];

/// The bodice's pieces.
const PIECES: [&str; 4] = ["front", "side front", "back", "side back"];

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
        front_arc: body.measured(FrontBustArc),
        centre_front: body.measured(FrontNeckToWaist),
    };
    // An estimate must not outvote a reading: without the tape's word the armpit follows from the scye depth.
    tape.underarm = match (body.origin(UnderarmToWaist), body.origin(ScyeDepth)) {
        (Origin::Measured, _) | (Origin::Estimated { .. }, Origin::Estimated { .. }) => need(UnderarmToWaist)?,
        _ => tape.back_length - tape.scye_depth,
    };
    Ok(tape)
}

/// A bodice, or one half of it, solved.
struct Half {
    tape: Tape,
    ease: Ease,
    solved: Solved,
}

impl Half {
    /// Solves it, with the underarm lowered until a sleeve fits where the maker wants that. With a `nape` its back length
    /// is that.
    fn of(body: &Body, settings: &Settings, nape: Option<f64>) -> Result<Self, DraftError> {
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
            strapless: settings.word(&TOP) == "strapless",
        };
        let most = ease.underarm + LOWER_MOST_MM;
        // The sleeve to come is not known yet: a plain one with the sleeve's own defaults has to fit.
        let plain = Settings::default();
        let (cap_ease, arm_ease) = (plain.value(&sleeve::CAP_EASE), plain.value(&sleeve::ARM_EASE));
        loop {
            let solved = solve::solve(&tape, &ease, nape, body.unit())?;
            let (back, front) = solved.armhole();
            let short = matches!(sleeve_cap::for_arm(front, back, cap_ease, tape.arm, arm_ease), Some((_, Fit::Short(_))) | None);
            if !short || ease.strapless || settings.word(&FOR_SLEEVE) == "no" || ease.underarm + LOWER_BY_MM > most {
                return Ok(Self { tape, ease, solved });
            }
            ease.underarm += LOWER_BY_MM;
        }
    }

    /// Adds its pieces to a draft, with all that is promised and said of them.
    fn draft(&self, draft: &mut Draft, body: &Body, settings: &Settings, style: &Style<'_>) -> Result<(), DraftError> {
        let Self { tape, ease, solved } = self;
        draft.messages.extend(solved.messages.iter().cloned());
        let lowered = ease.underarm - settings.value(&UNDERARM);
        if lowered > 0.0 {
            draft.messages.push(
                Message::new(
                    Grade::Note,
                    "bodice / armhole",
                    format!("the underarm is {} lower than asked, so that a sleeve fits the arm", body.unit().rough(lowered)),
                    "Nothing to mend; for a bodice without sleeves choose \"no\" at \"Lower the underarm for a sleeve\".",
                )
                .about(&[Measurement::UpperArmGirth]),
            );
        }
        draft.used.extend(solved.used.iter().map(|&(which, measured, used)| Used { which, measured, used }));
        let spread = pieces::make(draft, solved, tape, ease, style)?;
        draft.figures.extend(figures(solved, style));
        messages::add(draft, body, settings, solved, style, &spread);
        Ok(())
    }
}

/// Drafts the bodice.
///
/// # Errors
/// A measurement is missing, or the measurements allow no bodice.
pub fn draft(body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    let mut draft = before.clone();
    draft.forget(|name| {
        let plain = Side::BOTH.iter().find_map(|s| name.as_str().strip_prefix(s.word())?.strip_prefix(' ')).unwrap_or(name.as_str());
        PIECES.contains(&plain)
    });
    draft.corners.retain(|c| !c.what.starts_with("bodice:"));
    draft.promises.retain(|p| !p.what.starts_with("bodice:"));
    let apart = body.sides_apart(Block::Bodice.measurements(), settings.value(&SIDES_APART), settings.value(&SLOPES_APART));
    if apart.is_empty() {
        let half = Half::of(body, settings, None)?;
        let style = style(settings, &half.solved, half.solved.bust_gap > 0.0)?;
        half.draft(&mut draft, body, settings, &style)?;
        return Ok(draft);
    }
    let right_body = body.right_side();
    let (mut left, mut right) = (Half::of(body, settings, None)?, Half::of(&right_body, settings, None)?);
    let napes = (left.solved.nape.y, right.solved.nape.y);
    if (napes.0 - napes.1).abs() > 1e-6 {
        // One back length for both.
        let nape = Some((napes.0 + napes.1) / 2.0);
        (left, right) = (Half::of(body, settings, nape)?, Half::of(&right_body, settings, nape)?);
    }
    solve::joined_necklines(&mut left.solved, &mut right.solved, [&left.tape, &right.tape], &left.ease)?;
    let princess = left.solved.bust_gap > 0.0 || right.solved.bust_gap > 0.0;
    // Both centres of a strapless top edge at one height.
    let bust_y = left.solved.bust_point.y.midpoint(right.solved.bust_point.y);
    let underarm_y = left.solved.underarm_y.midpoint(right.solved.underarm_y);
    let mut halves = Vec::new();
    for (side, body, half) in [(Side::Left, body, &left), (Side::Right, &right_body, &right)] {
        let mut style = style(settings, &half.solved, princess)?;
        (style.centre_front_seam, style.centre_back_seam) = (true, true);
        if let Some(top) = &mut style.top {
            top.front += bust_y - half.solved.bust_point.y;
            top.back += half.solved.underarm_y - underarm_y;
        }
        let mut alone = Draft::default();
        half.draft(&mut alone, body, settings, &style)?;
        halves.push((side, Draft::default(), alone));
    }
    let mut draft = sides::together(&draft, halves);
    sides::centre_seams(&mut draft);
    draft.messages.push(messages::sides_apart(body, &apart));
    Ok(draft)
}

/// What the maker chose, as far as these measurements allow it.
fn style<'a>(settings: &'a Settings, solved: &Solved, needs_princess: bool) -> Result<Style<'a>, DraftError> {
    let from = |setting: &Setting| if settings.word(setting) == "armhole" { SeamFrom::Armhole } else { SeamFrom::Shoulder };
    let princess = (settings.word(&FRONT) == "princess" || needs_princess).then(|| from(&PRINCESS_FROM));
    let back_princess = (settings.word(&BACK) == "princess").then(|| from(&BACK_PRINCESS_FROM));
    let strapless = settings.word(&TOP) == "strapless";
    let top = strapless.then(|| Top {
        front: settings.value(&TOP_FRONT),
        over_bust: settings.value(&TOP_OVER_BUST),
        back: settings.value(&TOP_BACK),
    });
    // Above the bust a strapless front has only its top edge.
    let placed = |word: &'a str| if strapless && matches!(word, "shoulder" | "armhole" | "neckline") { "top" } else { word };
    let place = placed(settings.word(&BUST_DART));
    let gathered = settings.word(&DART_SEWN) == "gathers";
    let second = match settings.word(&SECOND_DART) {
        "no" => None,
        "if large" => {
            let large = solved.dart.to_degrees() > LARGE_DEG && !gathered && place != "none";
            large.then(|| if place == "side" { placed("shoulder") } else { "side" })
        }
        word => Some(placed(word)),
    };
    let bust_dart = Wanted {
        place,
        second: second.filter(|second| *second != place && place != "none"),
        share: settings.value(&SECOND_SHARE),
        gathers: (gathered && place != "none").then(|| settings.value(&GATHER_REACH)),
    };
    if princess.is_none() && solved.dart > 0.0 && bust_dart.gathers.is_some() {
        for place in ["armhole", "centre front"] {
            if bust_dart.uses(place) {
                return Err(DraftError::new(
                    "bodice / bust dart",
                    format!("the {place} takes no gathers"),
                    "Let the bust dart open in side, shoulder, neckline or waist, or sew it as a dart.",
                ));
            }
        }
    }
    let at_centre = princess.is_none() && solved.dart > 0.0 && bust_dart.uses("centre front");
    Ok(Style {
        princess,
        back_princess,
        top,
        // A bust dart in the waist takes the place of the shaping, and one that is spread widens the waist.
        shaped: settings.word(&UNDERBUST) == "shaped"
            && (princess.is_some() || solved.dart == 0.0 || !(bust_dart.uses("waist") || place == "none")),
        bust_dart,
        centre_front_seam: settings.word(&CENTRE_FRONT) == "seam" || at_centre,
        centre_back_seam: false,
        short_of_bust_point: settings.value(&TIP),
        opening: settings.word(&OPENING),
        seam_mm: settings.value(&SEAM_ALLOWANCE),
        curve_mm: settings.value(&CURVE_ALLOWANCE),
        side_mm: settings.value(&SIDE_ALLOWANCE),
    })
}

/// What the checks hold to and the maker may want to know.
fn figures(s: &Solved, style: &Style<'_>) -> Vec<Figure> {
    let angle = |what, value, range| Figure { what, value, range, is_angle: true };
    let length = |what, value, range| Figure { what, value, range, is_angle: false };
    let mut out = vec![
        angle("bust dart", s.dart.to_degrees(), (0.0, 30.0)),
        length("posture: back armhole taller than front", s.posture, (-10.0, 40.0)),
    ];
    if style.top.is_none() {
        out.extend([
            length("armhole width", s.armhole_width, s.armhole_band),
            angle("armhole at the back shoulder, off square", s.shoulder_angle_off[0], (-10.5, 10.5)),
            angle("armhole at the front shoulder, off square", s.shoulder_angle_off[1], (-10.5, 10.5)),
        ]);
    }
    out
}
