//! Sleeve, drafted to the bodice's armhole: in one piece with its elbow, in two pieces, or as a bell; it ends in a point
//! over the hand, straight at the wrist, or flared.

mod armhole;
mod bell;
mod elbow;
mod end;
mod one_piece;
mod opening;
mod plan;
mod settings;
mod two_piece;

pub use self::armhole::{Armhole, BACK_NOTCH, FRONT_NOTCH};
pub use self::settings::{ARM_EASE, CAP_EASE, SETTINGS};

use self::plan::Plan;
use super::sleeve_cap::Fit;
use crate::{Body, Draft, DraftError, Grade, Measurement, Message, Name, Settings};

/// Name of a sleeve cut in one piece.
pub const SLEEVE: &str = "sleeve";
/// Names of the two pieces.
pub const TOP: &str = "top sleeve";
/// The piece under the arm.
pub const UNDER: &str = "under sleeve";
/// Name of a bell that is sewn on at the elbow.
pub const BELL: &str = "sleeve bell";

const PIECES: [&str; 6] = [SLEEVE, TOP, UNDER, BELL, end::FACING, opening::UNDERLAP];

/// Levels of a sleeve.
const LEVELS: [&str; 4] = ["upper arm", "elbow", "wrist", "sleeve hem"];

/// Drafts the sleeve.
///
/// # Errors
/// There is no bodice with an armhole yet, a measurement of the arm is missing, or no cap fits.
pub fn draft(body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    let plan = Plan::new(body, settings, before)?;
    let mut draft = before.clone();
    forget(&mut draft);
    say_what_gave(&plan, &mut draft);
    if settings.word(&settings::END) == "bell" {
        bell::make(&plan, &mut draft)?;
    } else if settings.word(&settings::CUT) == "two pieces" {
        two_piece::make(&plan, &mut draft)?;
    } else {
        one_piece::make(&plan, &mut draft)?;
    }
    Ok(draft)
}

/// Takes an earlier sleeve out of the draft, with all that was said and promised of it.
fn forget(draft: &mut Draft) {
    let own = |name: &Name| PIECES.iter().any(|p| name == p);
    draft.pieces.retain(|p| !own(p.name()));
    draft.seams.retain(|s| !s.a.iter().chain(&s.b).any(|r| own(&r.piece)));
    draft.levels.retain(|l| !LEVELS.contains(&l.name));
    draft.promises.retain(|p| !p.what.starts_with("sleeve: "));
    draft.corners.retain(|c| !c.what.starts_with("sleeve: "));
    draft.messages.retain(|m| !PIECES.iter().any(|p| m.place.strip_prefix(p).is_some_and(|rest| rest.starts_with(" / "))));
}

/// Says what the cap, the elbow and the wrist had to give way in.
fn say_what_gave(plan: &Plan<'_>, draft: &mut Draft) {
    let shown = |mm: f64| plan.body.unit().rough(mm);
    let mut say = |grade, problem: String, remedy: &str| {
        draft.messages.push(Message::new(grade, "sleeve / cap", problem, remedy).about(&[Measurement::UpperArmGirth]));
    };
    match plan.fit {
        Fit::AsAsked => {}
        Fit::Wider => say(
            Grade::Note,
            format!(
                "the arm is slim for this armhole: the sleeve is {} wide at the upper arm instead of {}",
                shown(plan.cap.width()),
                shown(plan.arm + plan.arm_ease)
            ),
            "Nothing to mend; for a closer sleeve raise the underarm of the bodice.",
        ),
        Fit::LessEase(left) => say(
            Grade::Note,
            format!("a cap that sits well leaves {} of ease at the upper arm instead of {}", shown(left), shown(plan.arm_ease)),
            "Nothing to mend; for more ease lower the underarm of the bodice.",
        ),
        Fit::Short(lacks) => say(
            Grade::Warning,
            format!("this armhole can't carry this arm: the sleeve lacks {} at the upper arm", shown(lacks)),
            "Lower the underarm of the bodice, or choose a cloth that stretches.",
        ),
    }
}
