//! What the maker is told about the bodice's style.

use super::CENTRE_FRONT;
use super::pieces::{Spread, Style};
use super::solve::Solved;
use crate::{Body, Draft, Grade, Kind, Measurement, Message, Settings};

/// A bust dart larger than this, in degrees, leaves folds when it is spread; our own rule.
const SPREAD_MOST_DEG: f64 = 12.0;

/// Adds them.
pub fn add(draft: &mut Draft, body: &Body, settings: &Settings, s: &Solved, style: &Style<'_>, spread: &Spread) {
    let unit = body.unit();
    let shown = |mm: f64| unit.rough(mm);
    let mut say = |grade, place: &str, problem: String, remedy: &str| draft.messages.push(Message::new(grade, place, problem, remedy));
    let one_front = style.princess.is_none() && s.dart > 0.0;
    if one_front && style.centre_front_seam && settings.word(&CENTRE_FRONT) != "seam" && style.opening != "centre front" {
        say(
            Grade::Note,
            "bodice / centre front",
            "the centre front has a seam, for a dart can't open on the fold".into(),
            "Nothing to mend; for a front on the fold let the bust dart open elsewhere.",
        );
    }
    if one_front && style.bust_dart.place == "none" {
        let degrees = s.dart.to_degrees();
        let mut parts = vec![format!("waist {}", shown(2.0 * spread.waist))];
        if style.top.is_none() {
            parts.insert(0, format!("armhole {} on each side", shown(spread.armhole)));
            parts.push(format!("neckline {}", shown(2.0 * spread.neckline)));
            parts.push(format!("front shoulder {}, to be eased in", shown(spread.shoulder)));
        } else {
            parts.push(format!("top edge {} on each half, to be eased in", shown(spread.shoulder)));
        }
        say(
            if degrees > SPREAD_MOST_DEG { Grade::Warning } else { Grade::Note },
            "bodice / bust dart",
            format!("the bust dart of {degrees:.0}° is not sewn; longer by it are: {}", parts.join(", ")),
            if degrees > SPREAD_MOST_DEG {
                "Folds will point to the bust: sew it as a dart or as gathers, or look at the front in the muslin."
            } else {
                "Look at the front in the muslin."
            },
        );
    }
    if spread.princess_eased > 0.0 {
        say(
            Grade::Note,
            "side front / princess seam",
            format!("its edge is {} longer than the front's", unit.text(spread.princess_eased)),
            "Ease it in between the notches above and below the bust point.",
        );
    }
    if style.top.is_some() {
        say(
            Grade::Note,
            "bodice / top edge",
            "nothing but its fit holds a strapless bodice up".into(),
            "Bone the seams, sew a band inside that holds firmly round the waist, and stay the top edge with tape a little shorter than it; the wearer should move and raise the arms in the muslin.",
        );
    }
}

/// That the halves are drafted apart, and for what.
pub fn sides_apart(body: &Body, apart: &[(Measurement, f64, f64)]) -> Message {
    let shown = |which: Measurement, v: f64| if which.kind() == Kind::Angle { format!("{v:.1}°") } else { body.unit().text(v) };
    let each = |&(which, left, right): &(Measurement, f64, f64)| {
        format!("{} {} left, {} right", which.name().to_lowercase(), shown(which, left), shown(which, right))
    };
    let list: Vec<String> = apart.iter().map(each).collect();
    let concerns: Vec<Measurement> = apart.iter().map(|a| a.0).collect();
    Message::new(
        Grade::Note,
        "bodice / halves",
        format!("left and right half are drafted apart: {}", list.join("; ")),
        "Cut each piece once, the right side of the cloth up, and mark it left or right at once; fit both sides in the muslin.",
    )
    .about(&concerns)
}
