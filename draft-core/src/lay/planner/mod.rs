//! Our planner: a first layout, then a search for shorter ones, on the collision engine `jagua-rs`.
//!
//! The method is that of Gardeyn, Vanden Berghe and Wauters, *An open-source heuristic to reboot 2D nesting research*
//! (arXiv 2509.13329), with changes of our own: pieces never leave the table, the steps by which it is made shorter
//! begin large, and exploring and squeezing take turns, so that the layout depends on seed and passes alone, whenever
//! the search is stopped.

mod first;
mod loss;
mod probe;
mod separate;
mod shape;
mod shorten;
mod table;

use kurbo::Vec2;

use self::probe::Trials;
use self::separate::{Crew, Worker};
use self::shape::{Shape, room_mm};
use self::shorten::Shortest;
use self::table::Table;
use super::chance::Chance;
use super::{Effort, Layout, Placed, Planner, Task, Watch};
use crate::DraftError;

/// Lays pieces by guided local search.
#[derive(Clone, Copy, Debug, Default)]
pub struct SearchPlanner;

impl Planner for SearchPlanner {
    fn plan(&self, task: &Task, effort: Effort, watch: &dyn Watch) -> Result<Layout, DraftError> {
        task.check()?;
        let room = room_mm(task.gap_mm);
        let height = (task.width_mm + 2.0 * room) as f32;
        let shapes = task.items.iter().map(|i| Shape::of(i, task.gap_mm, task.width_mm)).collect::<Result<Vec<_>, _>>()?;
        if let Some(i) = shapes.iter().position(|s| s.turns.is_empty()) {
            return Err(DraftError::new(
                task.items[i].name.clone(),
                "is wider than the cloth in every way in which it may lie",
                "Take wider cloth, allow other ways to lay it, or join it from two pieces with a seam on the straight grain.",
            ));
        }
        let copies: Vec<(usize, usize)> =
            task.items.iter().enumerate().flat_map(|(i, item)| (0..item.copies).map(move |c| (i, c))).collect();
        let kinds: Vec<(usize, bool)> = copies.iter().map(|&(i, _)| (i, false)).collect();
        if kinds.is_empty() {
            return Ok(Layout::default());
        }
        let weights = vec![1.0; copies.len()];
        let layout_of = |table: &Table<'_>, passes: u64| -> Layout {
            let placed = copies
                .iter()
                .enumerate()
                .filter(|(p, _)| table.lies(*p))
                .map(|(p, &(item, copy))| {
                    let lying = table.lying(p);
                    let at = Vec2::new(f64::from(table.pieces[p].at.0), f64::from(table.pieces[p].at.1));
                    Placed { item, copy, turn: lying.turn, at: at + lying.shift - Vec2::new(room, room) }
                })
                .collect();
            Layout { length_mm: f64::from(table.reach()) - 2.0 * room, placed, left_out: Vec::new(), passes }
        };

        let mut chance = Chance::new(effort.seed);
        let longest = shapes.iter().flat_map(|s| s.turns.iter().map(|t| t.width)).fold(0.0, f32::max);
        let mut trials = Trials::new(&shapes);
        let mut length = 1.7 * (task.area_mm2() / task.width_mm) as f32 + longest;
        let spread = loop {
            let mut table = Table::new(&shapes, &kinds, length, height, 20.0 * room as f32 + 1.0)?;
            let all = first::order(&table, &weights).into_iter().all(|p| first::lay(&mut table, &mut trials, p, &mut chance));
            if all {
                length = table.reach();
                watch.better(&layout_of(&table, 0));
                break table.spread();
            }
            length *= 1.5;
        };
        let mut table = Table::new(&shapes, &kinds, length, height, 20.0 * room as f32 + 1.0)?;
        table.restore(&spread);
        let workers = (0..effort.workers.max(1))
            .map(|w| Worker::new(table.clone(), Chance::new(effort.seed.wrapping_mul(1000).wrapping_add(1 + w as u64))))
            .collect();
        let mut crew = Crew { workers, watch, passes: 0, most: effort.passes };
        let least = shapes.iter().map(|s| s.turns.iter().map(|t| t.width).fold(f32::INFINITY, f32::min)).fold(0.0, f32::max);
        let mut best = layout_of(&table, 0);
        let mut found = |crew: &mut Crew<'_, '_>, shortest: &Shortest| {
            let _ = shortest;
            best = layout_of(&crew.workers[0].table, crew.passes);
            watch.better(&best);
        };
        shorten::shorten(&mut crew, Shortest { length, spread }, least, &mut found);
        Ok(best)
    }
}
