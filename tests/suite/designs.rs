//! Two garments of *The Salt Orchard*, made of works alone, replayed on other people.

use draft_core::{Block, Garment, Grade, check};

use crate::bodies::test_bodies;

const WEATHERVANE: &str = include_str!("../../assets/designs/the_weathervane.ron");
const MILLERS_DAUGHTER: &str = include_str!("../../assets/designs/the_millers_daughter.ron");

fn designs() -> [Garment; 2] {
    [WEATHERVANE, MILLERS_DAUGHTER].map(|text| Garment::from_text(text).unwrap())
}

#[test]
fn both_designs_are_sound_on_their_own_wearers() {
    for design in designs() {
        let built = design.build();
        let wrong: Vec<_> = built.messages.iter().filter(|m| m.grade >= Grade::Warning).collect();
        assert!(wrong.is_empty(), "{}: {wrong:#?}", design.name);
        assert!(built.outcomes.iter().all(|o| o.skipped.is_none()));
    }
}

#[test]
fn both_designs_have_what_the_scenario_asks_for() {
    let [weathervane, daughter] = designs().map(|d| d.build());
    for piece in
        ["front", "side front", "back", "side back", "back gore", "sleeve", "front neck facing", "back neck facing", "front lining"]
    {
        assert!(weathervane.draft.piece(piece).is_some(), "no {piece}");
    }
    assert!(weathervane.draft.notions.iter().any(|n| n.what.starts_with("bone")));
    // Square: a corner of about 90° in the neckline.
    let front = weathervane.draft.piece("front").unwrap();
    let neckline: Vec<_> = front.edge_parts("neckline").flat_map(|p| p.path.segments()).collect();
    assert_eq!(neckline.len(), 2);
    for piece in ["front", "back", "yoke", "collar", "circle panel", "slit facing", "over-sleeve", "sleeve", "panel"] {
        assert!(daughter.draft.piece(piece).is_some(), "no {piece}");
    }
    let yoke = daughter.draft.piece("yoke").unwrap();
    assert!(yoke.fold().is_some() && yoke.edge("shoulder").is_none(), "the yoke goes over the shoulder in one piece");
}

/// All works applied or refused for a named reason, all outlines simple, all sewn edges within half a millimetre after the ease that is meant.
#[test]
fn both_designs_replay_on_every_test_body() {
    for design in designs() {
        for person in test_bodies() {
            let replayed = Garment { wearer: person.card(), ..design.clone() };
            let built = replayed.build();
            for (entry, outcome) in replayed.works.iter().zip(&built.outcomes) {
                if let Some(why) = &outcome.skipped {
                    assert!(!why.place.is_empty() && why.remedy.ends_with('.'), "{}: {why:?}", person.name);
                    assert!(entry.work.block() != Some(Block::Bodice), "{}: no bodice: {why}", person.name);
                }
            }
            for piece in &built.draft.pieces {
                assert_eq!(check::crossing(piece.parts()), None, "{}: {} of {}", person.name, piece.name(), design.name);
            }
            for (seam, walk) in built.draft.seams.iter().zip(&built.walks) {
                let Some(walk) = walk else { panic!("{}: {:?} is gone", person.name, seam.sides()) };
                assert!(walk.difference_mm.abs() <= 0.5, "{}, {}: {:?} {:.2}", design.name, person.name, seam.sides(), walk.difference_mm);
            }
            let skipped = built.outcomes.iter().filter(|o| o.skipped.is_some()).count();
            assert!(skipped * 5 <= built.outcomes.len(), "{}, {}: {skipped} works skipped", design.name, person.name);
        }
    }
}
