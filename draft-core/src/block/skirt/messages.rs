//! What a skirt's maker and wearer should know.

use std::f64::consts::TAU;

use super::layout::Layout;
use super::plan::Plan;
use super::{FINISH, KNEE_GIRTH, WAIST_RAISED, is_shaped};
use crate::block::hem;
use crate::block::waist::{self, OPENING};
use crate::{Body, Grade, Measurement, Message, Settings};

const HEM_PLACE: &str = "skirt / hem";
/// More than this at one side of a gore pulls the seam out of shape, millimetres; common practice, from memory.
const MOST_AT_SEAM_MM: f64 = 45.0;
/// Front and side lengths that differ by more than this are seen in a level hem.
const SEEN_MM: f64 = 8.0;

/// Every message.
pub fn all(body: &Body, settings: &Settings, plan: &Plan, layout: &Layout, opening_mm: Option<f64>) -> Vec<Message> {
    let mut out = Vec::new();
    let shown = |mm: f64| body.unit().rough(mm);
    let mut say = |grade, place: &str, problem: String, remedy: &str| out.push(Message::new(grade, place, problem, remedy));

    if plan.joined.is_some() {
        if settings.value(&WAIST_RAISED) != 0.0 {
            say(
                Grade::Warning,
                "skirt / waist",
                "the skirt joins the bodice at the natural waist, so its top edge is neither raised nor lowered".into(),
                "Take the waist from the measurement, or leave the top at the waist.",
            );
        }
        if settings.word(&FINISH) != "none" {
            say(
                Grade::Note,
                "skirt / waist",
                "the skirt joins the bodice, so it has no band or facing of its own".into(),
                "Take the waist from the measurement for a skirt that is worn by itself.",
            );
        }
    }
    opening(settings, plan, layout, opening_mm, body, &mut say);

    let taken = layout
        .gores
        .iter()
        .flat_map(|g| [&g.left, &g.right])
        .map(|s| s.sizes.hip - s.sizes.natural_waist.min(s.sizes.top))
        .fold(0.0, f64::max);
    if taken > MOST_AT_SEAM_MM {
        say(
            Grade::Note,
            "skirt / hip",
            format!("one side of a gore takes in {} between hip and waist", shown(taken)),
            "Choose more gores, so that each takes in less.",
        );
    }
    if !is_shaped(settings) && hem::to_floor(settings) {
        use Measurement::*;
        let side = body.measured(OutsideLeg);
        let off = |m| Some((body.measured(m)? - side?).abs()).filter(|d| *d > SEEN_MM);
        if let Some(by) = off(FrontWaistToFloor).into_iter().chain(off(BackWaistToFloor)).reduce(f64::max) {
            say(
                Grade::Note,
                HEM_PLACE,
                format!("the floor is up to {} nearer or further at the front or the back than at the side", shown(by)),
                "Choose shaped gores, so that the difference goes on at the waist and the hem stays level.",
            );
        }
    }
    if layout.round.train > 0.0 {
        say(
            Grade::Caution,
            HEM_PLACE,
            format!("the train lies on the floor behind the wearer, {} long at the centre back", shown(layout.round.train)),
            "Rehearse turns, stairs and doors in it, sew a loop to lift it by, and keep it well away from open flame and moving scenery.",
        );
    }
    let turn = (plan.girths.hem - plan.girths.flare) / plan.depths.flared;
    if turn > TAU {
        say(
            Grade::Note,
            HEM_PLACE,
            "the sweep is more than a full circle".into(),
            "Nothing to mend; it takes much cloth. Let it hang for a day or more before you level the hem.",
        );
    }
    out.extend(hem::near_floor(HEM_PLACE, body, settings, plan.length));
    out.extend(hem::stride(HEM_PLACE, body, plan.length, |depth| plan.girth_at(depth)));
    if plan.depths.straight > 0.0 && plan.girths.flare > plan.girths.hip && settings.word(&super::FLARE_FROM) == "knee" {
        out.push(Message::new(
            Grade::Note,
            "skirt / knee",
            format!("{} at the knee is wider than the hip", shown(settings.value(&KNEE_GIRTH))),
            "For a trumpet make it narrower than the hip.",
        ));
    }
    out
}

/// Where it opens and how long a zip it takes.
fn opening(
    settings: &Settings,
    plan: &Plan,
    layout: &Layout,
    open: Option<f64>,
    body: &Body,
    say: &mut impl FnMut(Grade, &str, String, &str),
) {
    let place = "skirt / opening";
    let shown = |mm: f64| body.unit().rough(mm);
    let widest = waist::widest(body);
    match (settings.word(&OPENING), open) {
        ("none", _) if plan.girths.top < widest => say(
            Grade::Warning,
            place,
            format!("without an opening a waist of {} does not pass the hip of {}", shown(plan.girths.top), shown(widest)),
            "Let it open at the centre back or the side, or gather a wider waist on elastic.",
        ),
        ("none", _) => {}
        (_, None) => say(
            Grade::Warning,
            place,
            format!("nowhere is the skirt as wide as the widest part of the body, {}", shown(widest)),
            "Give the hip more ease, or let it open all the way down.",
        ),
        (word, Some(mm)) => {
            let seam = if layout.equal {
                if word == "centre back" {
                    "the seam at the centre back".to_owned()
                } else {
                    "the seam nearest to the left side".to_owned()
                }
            } else if word == "centre back" {
                "the centre back seam".to_owned()
            } else {
                let i = layout.side_seam();
                let name = |i: usize| layout.gores.get(i).map_or("", |g| g.name.as_str());
                format!("the seam of {} and {} on the left", name(i), name(i + 1))
            };
            say(
                Grade::Note,
                place,
                format!("{seam} stays open for {} below the top edge, down to below the full hip", shown(mm)),
                "Take a zip of that length, longer where it goes on into a bodice.",
            );
        }
    }
}
