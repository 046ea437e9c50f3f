//! Building is pure, total, and the same with and without what was kept from before.

use draft_core::{Builder, Built, Garment, Measurement, Take, Unit};
use proptest::prelude::*;

use crate::bodies::{complete, garment};

fn same(a: &Built, b: &Built) {
    assert_eq!(a.draft, b.draft);
    assert_eq!(a.outcomes, b.outcomes);
    assert_eq!(a.messages, b.messages);
    assert_eq!(a.cut_lines, b.cut_lines);
}

/// One change that a maker might make between two builds.
#[derive(Clone, Debug)]
enum Change {
    Switch(usize),
    Measure(Measurement, f64),
    Gores(u32),
    Swap,
    Remove(usize),
}

fn change() -> impl Strategy<Value = Change> {
    prop_oneof![
        (0usize..3).prop_map(Change::Switch),
        (60.0f64..140.0).prop_map(|v| Change::Measure(Measurement::BustGirth, v)),
        (50.0f64..130.0).prop_map(|v| Change::Measure(Measurement::WaistGirth, v)),
        (4u32..=12).prop_map(Change::Gores),
        Just(Change::Swap),
        (0usize..3).prop_map(Change::Remove),
    ]
}

fn apply(garment: &mut Garment, change: &Change) {
    match change {
        Change::Switch(i) => {
            if let Some(entry) = garment.works.get_mut(*i) {
                entry.on = !entry.on;
            }
        }
        Change::Measure(which, cm) => garment.wearer.set(*which, Take::new(cm.to_string(), Unit::Cm)),
        Change::Gores(n) => {
            for entry in &mut garment.works {
                let draft_core::Work::Draft { block, settings } = &mut entry.work else { continue };
                if block.name() == "skirt" {
                    let setting = crate::bodies::setting(*block, "gores");
                    settings.set(setting, setting.parse(&n.to_string(), Unit::Cm).unwrap()).unwrap();
                }
            }
        }
        Change::Swap => {
            if garment.works.len() > 1 {
                garment.works.swap(0, 1);
            }
        }
        Change::Remove(i) => {
            if garment.works.len() > *i {
                garment.works.remove(*i);
            }
        }
    }
}

proptest! {
    #![proptest_config(super::drawn(60))]

    #[test]
    fn keeping_what_has_not_changed_changes_nothing(who in 0usize..3000, changes in proptest::collection::vec(change(), 1..8)) {
        let people = complete();
        let mut garment = garment(people[who % people.len()].card(), &[]);
        let mut builder = Builder::default();
        same(&builder.build(&garment), &garment.build());
        for change in &changes {
            apply(&mut garment, change);
            same(&builder.build(&garment), &garment.build());
        }
        // And back through the file's text.
        let again = Garment::from_text(&garment.to_text()).unwrap();
        prop_assert_eq!(&again, &garment);
        same(&again.build(), &garment.build());
    }
}

#[test]
fn a_sleeve_without_a_bodice_is_skipped_with_its_reason_and_the_rest_goes_on() {
    let mut garment = garment(complete()[0].card(), &[]);
    garment.works[0].on = false;
    let built = garment.build();
    assert!(built.outcomes[0].off);
    assert!(built.outcomes[1].skipped.is_none());
    let reason = built.outcomes[2].skipped.as_ref().unwrap();
    assert!(reason.remedy.contains("bodice"), "{reason}");
    assert!(built.draft.piece("gore").is_some());
    assert!(!built.is_ok());
}
