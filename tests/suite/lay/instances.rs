//! The published garment instances, laid briefly and checked. How densely they come out in given times is measured by
//! `lay-instances` and reported in `tests/reports/lay.md`.

use draft_core::lay::{Effort, Planner as _, Quiet, SearchPlanner, verify};

/// Lower bounds from the greedy first layouts of a first version of the same method: 78.1, 76.7 and 62.4 per cent; a few
/// passes must at least come near to those, and nothing can be denser than the best known layouts (from the sources
/// named in the report) by more than a trifle.
#[test]
fn published_instances_are_laid_soundly() {
    for (name, least, best_known) in [("shirts", 0.78, 0.9092), ("trousers", 0.767, 0.9262), ("swim", 0.624, 0.7983)] {
        let (task, _) = tests::instances::read(&crate::bodies::data(&format!("lay/{name}.json"))).unwrap();
        let layout = SearchPlanner.plan(&task, Effort { seed: 1, passes: 200, workers: 2 }, &Quiet).unwrap();
        assert_eq!(verify::faults(&task, &layout), [], "{name}");
        let density = layout.density(&task);
        assert!(density > least && density < best_known + 0.01, "{name}: {density}");
    }
}

/// Source: the instances themselves; shirts has 99 pieces in 8 shapes on a strip of 40, trousers 64 in 17 on 79, swim 48
/// in 10 on 5752. The densities of the best known layouts follow from their lengths: 59.393, 235.172 and 5541.65.
#[test]
fn the_instances_are_those_that_were_published() {
    for (name, count, shapes, length, density) in
        [("shirts", 99, 8, 59.393, 0.9092), ("trousers", 64, 17, 235.172, 0.9262), ("swim", 48, 10, 5541.65, 0.7983)]
    {
        let (task, unit) = tests::instances::read(&crate::bodies::data(&format!("lay/{name}.json"))).unwrap();
        assert_eq!((task.count(), task.items.len()), (count, shapes), "{name}");
        let of_best = task.area_mm2() * unit / (task.width_mm * length);
        assert!((of_best - density).abs() < 0.0002, "{name}: {of_best}");
    }
}
