//! Sleeves below the cap against handbooks.

use draft_core::{Block, Settings, Unit, Work};

use crate::bodies::{Person, complete, garment, setting};

const INCH: f64 = 25.4;

fn sleeve(person: &Person, choices: &[(&str, &str)]) -> draft_core::Built {
    let choices: Vec<_> = choices.iter().map(|(k, v)| ("sleeve", *k, *v)).collect();
    let mut garment = garment(person.card(), &choices);
    garment.works.retain(|w| matches!(w.work, Work::Draft { block: Block::Bodice | Block::Sleeve, .. }));
    garment.build()
}

/// Source: C. C. Ingalls, *Text-Book on Domestic Art* (c. 1913), sleeve draft: half the sleeve at the elbow is half the
/// elbow and 1/2 in, at the wrist half the wrist and 1/2 in; so 1 in of ease each. Tolerance: the book measures the half
/// in steps of 1/2 in, so half of that, doubled for the whole.
#[test]
fn ease_at_elbow_and_wrist() {
    let settings = Settings::default();
    for key in ["elbow-ease", "wrist-ease"] {
        let ease = settings.value(setting(Block::Sleeve, key));
        assert!((ease - INCH).abs() <= INCH / 2.0, "{key}: {}", Unit::Inch.text(ease));
    }
}

/// Source: *Every Woman's Encyclopaedia*, vol. 4 (c. 1911), drafting a sleeve: one that goes on over the hand measures
/// the wrist and 2 in. Men and women of the survey, so cut, need no opening, but for the few with large hands.
#[test]
fn two_inches_over_the_wrist_go_on_without_an_opening() {
    let people: Vec<_> = complete().into_iter().step_by(10).collect();
    let opened = people.iter().filter(|p| sleeve(p, &[("wrist-ease", "2 in")]).draft.piece("wrist underlap").is_some()).count();
    assert!(opened * 20 <= people.len(), "{opened} of {} need an opening", people.len());
    // And with next to no ease most of them do.
    let opened = people.iter().filter(|p| sleeve(p, &[("wrist-ease", "1 mm")]).draft.piece("wrist underlap").is_some()).count();
    assert!(opened * 2 > people.len(), "{opened} of {} need an opening", people.len());
}

/// Source: I. Rosenfeld (1918), lesson 67, two-piece sleeve: the forearm seam lies 1/2 in from the fold, added to the top
/// sleeve and taken from the under sleeve. With that shift and none at the hindarm the top is 1 in wider than the
/// under sleeve, at the underarm, the elbow and the wrist. Ours lies further under the arm by default.
#[test]
fn the_forearm_seam_moves_from_one_sleeve_to_the_other() {
    for person in complete().iter().step_by(100) {
        let built = sleeve(person, &[("cut", "two pieces"), ("forearm-seam-shift", "0.5 in"), ("hindarm-seam-shift", "0 cm")]);
        for level in ["underarm", "elbow", "wrist"] {
            let width = |of: &str| {
                let piece = built.draft.piece(of).unwrap();
                let at = |seam: &str| piece.point(&format!("{seam} {level}")).unwrap();
                at("forearm").distance(at("hindarm"))
            };
            let wider = width("top sleeve") - width("under sleeve");
            assert!((wider - INCH).abs() < 0.1, "{}: {wider:.2} mm at the {level}", person.name);
        }
    }
}
