//! A piece slid by hand stops where the gap is just kept, on real pieces, as the check apart from it sees them.

use draft_core::cloth::{LayOut, cuts};
use draft_core::lay::slide::room_mm;
use draft_core::lay::verify::faults_of;
use draft_core::lay::{Effort, Extent, Planner as _, Quiet, SearchPlanner};
use kurbo::Vec2;

/// Every piece of two of the demo's lays, slid each way as far as it goes, lies soundly there; half a millimetre farther it does not.
#[test]
fn a_slid_piece_is_sound_and_half_a_millimetre_more_is_not() {
    let garment = basteline::demo::read().unwrap().2;
    let built = garment.build();
    let (cuts, _) = cuts(&garment, &built);
    let mut stopped = 0;
    for cloth in garment.cloths.iter().filter(|c| ["cream satin", "cotton lawn"].contains(&c.name.as_str())) {
        for mut stretch in LayOut::of(cloth, &cuts, false).stretches {
            let layout = SearchPlanner.plan(&stretch.task, Effort { seed: 2, passes: 2, workers: 1 }, &Quiet).unwrap();
            // An end to stop at.
            let end = layout.length_mm + 300.0;
            stretch.task.extent = Extent::Only(end);
            for placed in &layout.placed {
                let which = (placed.item, placed.copy);
                for along in [Vec2::new(1.0, 0.0), Vec2::new(-1.0, 0.0), Vec2::new(0.0, 1.0), Vec2::new(0.0, -1.0), Vec2::new(0.6, -0.8)] {
                    if stretch.task.items[placed.item].on_fold && along.y != 0.0 {
                        continue;
                    }
                    let room = room_mm(&stretch.task, &layout, which, along).unwrap();
                    let slid = stretch.slid_out(&layout, which, along);
                    assert_eq!(
                        faults_of(&stretch.task, &slid, which),
                        [],
                        "{} along {along:?}, {room}",
                        stretch.task.items[placed.item].name
                    );
                    // Straight on, it would come too near; where it only grazes, it does so farther on.
                    let onward = |by: f64| {
                        let there = stretch.moved(&slid, which, along * by);
                        !faults_of(&stretch.task, &there, which).is_empty() || there.length_mm > end + 0.01
                    };
                    assert!(onward(0.5) || onward(4.0), "{} could go on from {room} along {along:?}", stretch.task.items[placed.item].name);
                    stopped += 1;
                }
            }
        }
    }
    assert!(stopped > 100, "{stopped}");
}

/// A drag far through everything ends where nothing is wrong, and never moves a piece that lies still.
#[test]
fn a_drag_slides_along_what_stops_it() {
    let garment = basteline::demo::read().unwrap().2;
    let built = garment.build();
    let (cuts, _) = cuts(&garment, &built);
    let stretch = LayOut::of(&garment.cloths[0], &cuts, false).stretches.remove(0);
    let layout = SearchPlanner.plan(&stretch.task, Effort { seed: 2, passes: 2, workers: 1 }, &Quiet).unwrap();
    let mut moved = 0;
    for placed in &layout.placed {
        let which = (placed.item, placed.copy);
        for by in [Vec2::new(400.0, 300.0), Vec2::new(-700.0, 90.0), Vec2::new(30.0, -500.0)] {
            let slid = stretch.slid(&layout, which, by);
            assert_eq!(faults_of(&stretch.task, &slid, which), [], "{} by {by:?}", stretch.task.items[placed.item].name);
            moved += usize::from(slid != layout);
            assert!(slid.placed.iter().zip(&layout.placed).all(|(a, b)| (a.item, a.copy) == which || a == b));
        }
    }
    assert!(moved > 10, "{moved}");
}
