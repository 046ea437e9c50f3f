#![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use kurbo::{Point, Rect, Vec2};

use super::verify::{Fault, faults};
use super::{Effort, Extent, Item, Layout, Placed, Planner as _, Quiet, SearchPlanner, Task, Turn, Watch};

fn item(corners: &[(f64, f64)], copies: usize, turns: &[Turn]) -> Item {
    Item {
        name: "piece".into(),
        outline: corners.iter().map(|p| Point::from(*p)).collect(),
        copies,
        turns: turns.to_vec(),
        on_fold: false,
        weight: 1.0,
    }
}

const BOTH: [Turn; 2] = [Turn::by(0.0), Turn::by(180.0)];

/// A sleeve-like shape and a wedge, 20 pieces in all, on cloth of 900 mm.
fn task() -> Task {
    let sleeve = item(&[(0.0, 100.0), (120.0, 0.0), (600.0, 60.0), (600.0, 240.0), (120.0, 300.0), (30.0, 220.0)], 6, &BOTH);
    let wedge = item(&[(0.0, 0.0), (400.0, 90.0), (400.0, 110.0), (0.0, 200.0)], 14, &BOTH);
    Task { width_mm: 900.0, extent: Extent::Shortest, gap_mm: 6.0, flaws: Vec::new(), items: vec![sleeve, wedge], fixed: Vec::new() }
}

fn effort(passes: u64) -> Effort {
    Effort { seed: 5, passes, workers: 2 }
}

/// Remembers what it is shown, and lends threads.
#[derive(Default)]
struct Witness {
    lengths: Mutex<Vec<f64>>,
    passes: AtomicU64,
    stop_after: Option<u64>,
}

impl Watch for Witness {
    fn stop(&self) -> bool {
        self.stop_after.is_some_and(|most| self.passes.load(Ordering::Relaxed) >= most)
    }

    fn better(&self, layout: &Layout) {
        self.lengths.lock().unwrap().push(layout.length_mm);
    }

    fn passes(&self, done: u64) {
        self.passes.store(done, Ordering::Relaxed);
    }

    fn together(&self, jobs: Vec<Box<dyn FnOnce() + Send + '_>>) {
        // The other way round: the order may not matter.
        jobs.into_iter().rev().for_each(|job| job());
    }
}

#[test]
fn a_layout_is_sound_gets_better_and_is_the_same_for_the_same_seed_and_passes() {
    let task = task();
    let witness = Witness::default();
    let layout = SearchPlanner.plan(&task, effort(240), &witness).unwrap();
    assert_eq!(faults(&task, &layout), []);
    let lengths = witness.lengths.lock().unwrap().clone();
    assert!(lengths.len() > 3 && lengths.windows(2).all(|w| w[1] < w[0]), "{lengths:?}");
    assert_eq!(*lengths.last().unwrap(), layout.length_mm);
    // Shorter than the first layout by a sixth at least.
    assert!(layout.length_mm < lengths[0] * 5.0 / 6.0, "{lengths:?}");
    assert_eq!(SearchPlanner.plan(&task, effort(240), &Quiet).unwrap(), layout);
    let other = SearchPlanner.plan(&task, Effort { seed: 6, ..effort(240) }, &Quiet).unwrap();
    assert_ne!(other.placed, layout.placed);
}

#[test]
fn stopping_keeps_what_the_same_passes_give() {
    let task = task();
    let stopped = SearchPlanner.plan(&task, effort(1000), &Witness { stop_after: Some(25), ..Witness::default() }).unwrap();
    assert_eq!(stopped.passes, 25);
    assert_eq!(SearchPlanner.plan(&task, effort(25), &Quiet).unwrap(), stopped);
}

#[test]
fn held_pieces_stay_and_flaws_stay_bare() {
    let mut task = task();
    let held = Placed { item: 0, copy: 2, turn: Turn::by(180.0), at: Vec2::new(1000.0, 700.0) };
    task.fixed.push(held);
    // Beside the held piece, not under it.
    task.flaws.push(Rect::new(200.0, 350.0, 320.0, 500.0));
    let layout = SearchPlanner.plan(&task, effort(20), &Quiet).unwrap();
    assert_eq!(faults(&task, &layout), []);
    assert!(layout.placed.contains(&held));
    // Bare cloth is found by the check: the same layout does not fit cloth with a flaw under a piece.
    let under = layout.placed[0].outline(&task).iter().fold(Vec2::ZERO, |s, p| s + p.to_vec2()) / 6.0;
    task.flaws.push(Rect::from_center_size(under.to_point(), (20.0, 20.0)));
    assert!(matches!(faults(&task, &layout)[..], [Fault::OnAFlaw(_, mm2)] if (mm2 - 400.0).abs() < 1.0));
}

#[test]
fn pieces_on_the_fold_lie_on_it() {
    let mut task = task();
    let half = item(&[(0.0, 0.0), (500.0, 0.0), (450.0, 240.0), (80.0, 300.0)], 2, &[Turn::by(0.0), Turn::over(180.0)]);
    task.items.push(Item { on_fold: true, ..half });
    let layout = SearchPlanner.plan(&task, effort(20), &Quiet).unwrap();
    assert_eq!(faults(&task, &layout), []);
    for placed in layout.placed.iter().filter(|p| p.item == 2) {
        let outline = placed.outline(&task);
        assert!(outline[0].y.abs() < 0.002 && outline[1].y.abs() < 0.002 && outline[2].y > 200.0, "{outline:?}");
    }
}

#[test]
fn only_so_much_cloth_holds_what_matters_most() {
    let mut task = task();
    let shortest = SearchPlanner.plan(&task, effort(240), &Quiet).unwrap().length_mm;
    task.items[0].weight = 3.0;
    task.extent = Extent::Only(shortest * 1.02);
    let all = SearchPlanner.plan(&task, effort(400), &Quiet).unwrap();
    assert_eq!(faults(&task, &all), []);
    assert_eq!(all.left_out, []);
    task.extent = Extent::Only(shortest * 0.7);
    let some = SearchPlanner.plan(&task, effort(240), &Quiet).unwrap();
    assert_eq!(faults(&task, &some), []);
    assert!(!some.left_out.is_empty() && some.left_out.iter().all(|c| c.0 == 1), "{:?}", some.left_out);
    // Whatever matters most is there, and the cloth is more than half used.
    assert_eq!(some.placed.iter().filter(|p| p.item == 0).count(), 6);
    assert!(some.density(&task) > 0.5, "{}", some.density(&task));
}

#[test]
fn what_cannot_be_laid_is_refused_with_its_name() {
    let mut task = task();
    task.width_mm = 150.0;
    let problem = SearchPlanner.plan(&task, effort(5), &Quiet).unwrap_err();
    assert!(problem.to_string().contains("wider than the cloth"), "{problem}");
    let mut crossed = self::task();
    crossed.items[1].outline = [(0.0, 0.0), (400.0, 300.0), (400.0, 0.0), (0.0, 300.0)].map(Point::from).to_vec();
    assert!(SearchPlanner.plan(&crossed, effort(5), &Quiet).is_err());
    let mut endless = self::task();
    endless.items[0].outline[2].x = f64::NAN;
    assert!(SearchPlanner.plan(&endless, effort(5), &Quiet).is_err());
}

/// Two squares of 100 mm, 10 mm apart, the first on the fold.
fn squares() -> (Task, Layout) {
    let square = item(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)], 1, &[Turn::by(0.0)]);
    let task = Task {
        width_mm: 300.0,
        extent: Extent::Only(400.0),
        gap_mm: 10.0,
        flaws: vec![Rect::new(300.0, 0.0, 310.0, 300.0)],
        items: vec![Item { on_fold: true, ..square.clone() }, square],
        fixed: Vec::new(),
    };
    let at = |item: usize, x: f64, y: f64| Placed { item, copy: 0, turn: Turn::by(0.0), at: Vec2::new(x, y) };
    let layout = Layout { length_mm: 210.0, placed: vec![at(0, 0.0, 0.0), at(1, 110.0, 0.0)], left_out: Vec::new(), passes: 0 };
    (task, layout)
}

/// Each broken on purpose in one way, and the fault that must be found, and no other.
#[test]
fn each_fault_is_found() {
    let (task, sound) = squares();
    assert_eq!(faults(&task, &sound), []);
    let broken = |change: &dyn Fn(&mut Task, &mut Layout)| {
        let (mut task, mut layout) = squares();
        change(&mut task, &mut layout);
        faults(&task, &layout)
    };
    let found = broken(&|_, l| {
        l.placed[1].at = Vec2::new(95.0, 95.0);
        l.length_mm = 195.0;
    });
    assert!(matches!(found[..], [Fault::Overlap((0, 0), (1, 0), mm2)] if (mm2 - 25.0).abs() < 1e-6), "{found:?}");
    // One inside the other crosses no edge.
    let found = broken(&|t, l| {
        t.items[1].outline = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)].map(Point::from).to_vec();
        l.placed[1].at = Vec2::new(30.0, 30.0);
        l.length_mm = 100.0;
    });
    assert!(matches!(found[..], [Fault::Overlap(_, _, mm2)] if (mm2 - 400.0).abs() < 1e-6), "{found:?}");
    let found = broken(&|_, l| {
        l.placed[1].at = Vec2::new(106.0, 106.0);
        l.length_mm = 206.0;
    });
    assert!(matches!(found[..], [Fault::TooClose(_, _, mm)] if (mm - 72f64.sqrt()).abs() < 1e-9), "{found:?}");
    let found = broken(&|_, l| l.placed[1].at.y = 201.0);
    assert!(matches!(found[..], [Fault::OffTheCloth((1, 0), mm)] if (mm - 1.0).abs() < 1e-9), "{found:?}");
    let found = broken(&|_, l| {
        l.placed[0].at = Vec2::new(-1.0, 0.0);
    });
    assert!(matches!(found[..], [Fault::OffTheCloth((0, 0), mm)] if (mm - 1.0).abs() < 1e-9), "{found:?}");
    let found = broken(&|_, l| {
        l.placed[1].at.x = 205.0;
        l.length_mm = 305.0;
    });
    assert!(matches!(found[..], [Fault::OnAFlaw((1, 0), mm2)] if (mm2 - 500.0).abs() < 1e-6), "{found:?}");
    let found = broken(&|_, l| {
        l.placed[1].turn = Turn::by(90.0);
        l.placed[1].at.x = 210.0;
    });
    assert_eq!(found, [Fault::WrongTurn((1, 0))]);
    let found = broken(&|_, l| {
        l.placed[1].turn = Turn::over(0.0);
        l.placed[1].at.y = 100.0;
    });
    assert_eq!(found, [Fault::WrongTurn((1, 0))]);
    let found = broken(&|_, l| l.placed[0].at.y = 3.0);
    assert!(matches!(found[..], [Fault::OffTheFold((0, 0), mm)] if (mm - 3.0).abs() < 1e-9), "{found:?}");
    let found = broken(&|_, l| {
        l.placed.pop();
        l.length_mm = 100.0;
    });
    assert_eq!(found, [Fault::Miscounted((1, 0))]);
    let found = broken(&|_, l| l.left_out.push((1, 0)));
    assert_eq!(found, [Fault::Miscounted((1, 0))]);
    let found = broken(&|_, l| l.left_out.push((7, 0)));
    assert_eq!(found, [Fault::Miscounted((7, 0))]);
    let found = broken(&|t, l| {
        t.extent = Extent::Shortest;
        l.placed.pop();
        l.left_out.push((1, 0));
        l.length_mm = 100.0;
    });
    assert_eq!(found, [Fault::Miscounted((1, 0))]);
    let found = broken(&|t, _| t.fixed.push(Placed { item: 1, copy: 0, turn: Turn::by(0.0), at: Vec2::new(120.0, 0.0) }));
    assert_eq!(found, [Fault::Moved((1, 0))]);
    let found = broken(&|_, l| l.length_mm = 180.0);
    assert_eq!(found, [Fault::WrongLength(-30.0)]);
    let found = broken(&|t, _| t.extent = Extent::Only(200.0));
    assert_eq!(found, [Fault::TooLong(10.0)]);
    let found = broken(&|_, l| l.placed[1].at.x = f64::NAN);
    assert_eq!(found.first(), Some(&Fault::Nowhere((1, 0))));
}
