//! Where a garment is too tight to breathe or to move in.
//!
//! The limits are common practice, from memory; a deep breath widens the chest by some centimetres, an arm grows
//! thicker as it bends, and the hips spread in sitting.

use crate::{Girth, Grade, Message, Unit};

const BONED: &str = "Only a laced or boned bodice is cut so, and by no more than 5 cm at the waist for someone who is not used to it. The \
                     wearer must be able to breathe deeply, sit, bend, raise the arms, and come out of it quickly: try it for as long as it \
                     will be worn, loosen it at any pain, numbness or dizziness. It is not for children; ask someone qualified about a \
                     wearer who is pregnant or has a heart, lung or stomach complaint. Otherwise give it more ease.";

const AS_ABOVE: &str = "Take the same care here as at the first level that is smaller than the body, or give it more ease.";

/// A caution for each girth that leaves too little room. `unit` is that of the card.
pub fn check(girths: &[Girth], unit: Unit) -> Vec<Message> {
    let mut is_said = false;
    let mut out: Vec<Message> = girths.iter().filter_map(|g| one(g, unit)).collect();
    // What a boned bodice asks for is said in full once.
    for message in out.iter_mut().filter(|m| m.remedy == BONED) {
        if std::mem::replace(&mut is_said, true) {
            message.remedy = AS_ABOVE.into();
        }
    }
    out
}

fn one(girth: &Girth, unit: Unit) -> Option<Message> {
    let ease = girth.finished_mm - girth.body_mm;
    // Half a millimetre is nothing on cloth.
    let less_than = |least: f64| ease < least - 0.5;
    let negative = less_than(0.0);
    let shown = unit.rough(ease.abs());
    let caution = |problem: String, remedy: &str| Some(Message::new(Grade::Caution, girth.level, problem, remedy));
    match girth.level {
        "bust" | "underbust" | "waist" | "skirt waist" | "skirt at the natural waist" | "circle waist" if negative => {
            caution(format!("it is {shown} smaller than the body, too tight to breathe freely"), BONED)
        }
        "bust" | "underbust" if less_than(15.0) => caution(
            format!("{shown} of ease leave little room for a deep breath"),
            "Let the wearer sing or run in the muslin, or give it more ease; woven cloth does not give way.",
        ),
        "neck" | "collar top" if negative => caution(
            format!("it is {shown} smaller than the neck"),
            "Give it more ease: two fingers must slip in behind it, and nothing may close at the neck.",
        ),
        "across back" if less_than(5.0) => caution(
            format!("{shown} of ease hold the arms back when they reach forward"),
            "Try arms forward and up in the muslin, or give the back more ease.",
        ),
        "hip" if less_than(25.0) => caution(
            format!("{shown} of ease are too tight to sit in, for hips spread on a chair"),
            "Sit down and climb a stair in the muslin, or give the hip more ease.",
        ),
        "upper arm" if negative => caution(
            format!("the sleeve is {shown} smaller than the arm"),
            "Give it more ease, or choose cloth that stretches; an arm that goes numb is too tight.",
        ),
        "upper arm" if less_than(20.0) => caution(
            format!("{shown} of ease are too tight to bend and lift the arm in"),
            "Raise the arms and bend the elbows in the muslin, or give the upper arm more ease.",
        ),
        "elbow" if less_than(5.0) => {
            let amount =
                if negative { format!("it is {shown} smaller than the bent elbow") } else { format!("{shown} of ease hold the elbow") };
            caution(amount, "Bend the arm in the muslin, or give the elbow more ease.")
        }
        "wrist" | "sleeve hem" if negative => {
            caution(format!("it is {shown} smaller than the wrist"), "Give it more ease, so that it does not cut in.")
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(level: &'static str, ease: f64) -> Option<String> {
        let girth = Girth { level, body_mm: 400.0, ease_mm: ease, finished_mm: 400.0 + ease };
        check(&[girth], Unit::Cm).pop().map(|m| {
            assert_eq!(m.grade, Grade::Caution);
            m.problem
        })
    }

    #[test]
    fn what_a_boned_bodice_asks_for_is_said_once() {
        let girths = ["bust", "waist"].map(|level| Girth { level, body_mm: 400.0, ease_mm: -10.0, finished_mm: 390.0 });
        let remedies: Vec<String> = check(&girths, Unit::Cm).into_iter().map(|m| m.remedy).collect();
        assert_eq!(remedies, [BONED, AS_ABOVE]);
    }

    #[test]
    fn what_is_too_tight_is_said_and_what_is_usual_is_not() {
        assert!(said("waist", -20.0).is_some_and(|p| p.contains("2.0 cm smaller than the body")));
        for level in ["neck", "across back", "bust", "underbust", "waist", "hip", "upper arm", "elbow", "wrist"] {
            assert!(said(level, -10.0).is_some(), "{level}");
            let usual = crate::usual::of(level).map_or(0.0, |u| u[0].low_mm);
            assert_eq!(said(level, usual), None, "{level} at the least that is usual");
        }
    }
}
