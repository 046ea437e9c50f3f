//! Panels that are wider than the cloth, pieced on the straight grain.

use draft_core::cloth::{Cloth, LayOut, cuts, piecing};
use draft_core::{Alteration, Garment, Length, Role, Work, WorkEntry};
use kurbo::ParamCurve as _;

/// The parts of a garment on a cloth so narrow that some are wider, pieced until all lie across it.
fn pieced(width_cm: f64) -> (Garment, Garment, usize) {
    let mut garment = basteline::demo::read().unwrap().2;
    garment.cloths = vec![Cloth { width: Length::from_cm(width_cm), ..Cloth::default() }];
    garment.stacks.clear();
    let whole = garment.clone();
    let mut count = 0;
    for _ in 0..12 {
        let built = garment.build();
        let lay_out = LayOut::of(&garment.cloths[0], &cuts(&garment, &built).0, false);
        let Some(wide) = lay_out.too_wide.first() else { return (whole, garment, count) };
        let works = piecing(&built.draft, wide).unwrap();
        assert!(!works.is_empty());
        count += works.len();
        garment.works.extend(works.into_iter().map(|a| WorkEntry::from(Work::Alter(Box::new(a)))));
    }
    panic!("still wider than the cloth after twelve panels");
}

#[test]
fn wide_panels_are_pieced_until_they_lie_across_the_cloth() {
    for width in [54.0, 50.0, 45.0] {
        let (whole, garment, count) = pieced(width);
        assert!(count > 0, "{width} cm is too narrow for something");
        let (before, after) = (whole.build(), garment.build());
        for outcome in &after.outcomes {
            assert!(outcome.skipped.is_none(), "{width} cm: {}: {:?}", outcome.what, outcome.skipped);
        }
        // No cloth is won or lost: what is on the fold counts twice.
        let area = |built: &draft_core::Built| -> f64 {
            let times = |p: &draft_core::Piece| f64::from(p.cut().count) * if p.fold().is_some() { 2.0 } else { 1.0 };
            built.draft.pieces.iter().map(|p| times(p) * p.area_mm2()).sum()
        };
        let (a, b) = (area(&before), area(&after));
        assert!((a - b).abs() < 1e-6 * a, "{width} cm: {a} before, {b} after");
        for entry in &garment.works {
            let Work::Alter(alteration) = &entry.work else { continue };
            let Alteration::Piecing(work) = &**alteration else { continue };
            for name in [&work.piece, &work.new] {
                let piece = after.draft.piece(name.as_str()).unwrap();
                let grain = piece.grain().p1 - piece.grain().p0;
                for part in piece.edge_parts(work.seam.as_str()) {
                    for seg in part.path.segments() {
                        let along = seg.end() - seg.start();
                        assert!(along.cross(grain).abs() < 1e-6 * along.hypot() * grain.hypot(), "{name}: {} is off the grain", work.seam);
                    }
                }
            }
            assert!(after.draft.piece(work.new.as_str()).unwrap().fold().is_none());
        }
        // The two sides of each piecing seam are walked like any other, and no check finds fault.
        assert!(
            after.is_ok(),
            "{width} cm: {:?}",
            after.messages.iter().filter(|m| m.grade == draft_core::Grade::Error).collect::<Vec<_>>()
        );
    }
}

#[test]
fn a_piecing_is_done_again_on_another_wearer_and_taken_out_where_nothing_is_left_to_piece() {
    let (_, garment, _) = pieced(45.0);
    let mut other = garment.clone();
    other.wearer.set(draft_core::Measurement::OutsideLeg, draft_core::Take::new("112", other.wearer.unit));
    let (built, again) = (garment.build(), other.build());
    let seam = |built: &draft_core::Built| built.draft.piece("gore").unwrap().edge_length_mm("piecing seam").unwrap();
    assert!(seam(&again) != seam(&built), "the seam grows with the gore");
    assert!(again.outcomes.iter().all(|o| o.skipped.is_none()));
    assert!(built.draft.piece("gore").unwrap().edge("piecing seam").is_some_and(|e| e.role == Role::Seam));
    // Without the panel there is nothing to piece, and the work says so.
    let mut without = garment;
    without.works[1].on = false;
    let built = without.build();
    let skipped: Vec<_> = built.outcomes.iter().filter_map(|o| o.skipped.as_ref()).collect();
    assert!(skipped.iter().any(|e| e.problem.contains("no piece of this name")), "{skipped:?}");
}
