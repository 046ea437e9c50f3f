//! Our planner: a first layout, then a search for shorter ones, on the collision engine `jagua-rs`.
//!
//! The method is that of Gardeyn, Vanden Berghe and Wauters, *An open-source heuristic to reboot 2D nesting research*
//! (arXiv 2509.13329), with changes of our own: pieces never leave the table, the steps by which it is made shorter
//! begin large, and exploring and squeezing take turns, so that the layout depends on seed and passes alone, whenever
//! the search is stopped.

mod first;
mod fit;
mod loss;
mod probe;
mod separate;
mod shape;
mod shorten;
mod swap;
mod table;

use kurbo::{Rect, Vec2};

use self::probe::Trials;
use self::separate::{Crew, Worker};
use self::shape::{Shape, flaw, room_mm};
use self::shorten::Shortest;
use self::table::{Spread, Table};
use super::chance::Chance;
use super::{Effort, Extent, Item, Layout, Placed, Planner, Task, Watch, verify};
use crate::DraftError;

/// Cloth that the first layout may take, in parts of what its pieces cover.
const ROOMY: f64 = 1.7;

/// Lays pieces by guided local search.
#[derive(Clone, Copy, Debug, Default)]
pub struct SearchPlanner;

impl Planner for SearchPlanner {
    fn plan(&self, task: &Task, effort: Effort, watch: &dyn Watch) -> Result<Layout, DraftError> {
        task.check()?;
        if task.count() == 0 {
            return Ok(Layout::default());
        }
        Plan::of(task)?.run(effort, watch)
    }
}

/// A task made ready.
struct Plan<'t> {
    task: &'t Task,
    /// Free space kept round each piece; the table is larger than the cloth by as much on every side.
    room: f64,
    shapes: Vec<Shape>,
    /// Item and copy of each piece on the table; flaws come behind them.
    copies: Vec<(usize, usize)>,
    /// Shape of each piece, and whether it stays.
    kinds: Vec<(usize, bool)>,
    weights: Vec<f64>,
    /// Where held pieces and flaws lie.
    held: Vec<Option<(f32, f32)>>,
}

impl<'t> Plan<'t> {
    fn of(task: &'t Task) -> Result<Self, DraftError> {
        let room = room_mm(task.gap_mm);
        let mut plan =
            Self { task, room, shapes: Vec::new(), copies: Vec::new(), kinds: Vec::new(), weights: Vec::new(), held: Vec::new() };
        for (index, item) in task.items.iter().enumerate() {
            let kind = plan.shapes.len();
            plan.shapes.push(Shape::of(item, task.gap_mm, task.width_mm)?);
            for copy in 0..item.copies {
                let fixed = task.fixed.iter().find(|p| (p.item, p.copy) == (index, copy));
                let shape = match fixed {
                    // What was laid by hand may lie in a way of its own.
                    Some(placed) => {
                        plan.shapes.push(Shape::of(&Item { turns: vec![placed.turn], ..item.clone() }, task.gap_mm, f64::INFINITY)?);
                        plan.shapes.len() - 1
                    }
                    None => kind,
                };
                if plan.shapes[shape].turns.is_empty() {
                    return Err(DraftError::new(
                        item.name.clone(),
                        "is wider than the cloth in every way in which it may lie",
                        "Take wider cloth, allow other ways to lay it, or join it from two pieces with a seam on the straight grain.",
                    ));
                }
                let at = fixed.map(|p| plan.corner(p.at, &plan.shapes[shape]));
                plan.add((shape, fixed.is_some()), item.weight, at);
                plan.copies.push((index, copy));
            }
        }
        // Shapes of which no copy is free may have no way to lie; they are not looked at.
        for rect in &task.flaws {
            let rect = rect.abs().intersect(Rect::new(-10.0, -10.0, 1e6, task.width_mm + 10.0));
            if rect.width() > 1e-3 && rect.height() > 1e-3 {
                let shape = flaw(rect, task.gap_mm)?;
                let at = plan.corner(Vec2::ZERO, &shape);
                plan.shapes.push(shape);
                plan.add((plan.shapes.len() - 1, true), 0.0, Some(at));
            }
        }
        Ok(plan)
    }

    /// Where the corner of a shape's box lies on the table when its item's origin lies at a point of the cloth.
    fn corner(&self, at: Vec2, shape: &Shape) -> (f32, f32) {
        let at = at - shape.turns.first().map_or(Vec2::ZERO, |t| t.shift) + Vec2::new(self.room, self.room);
        (at.x as f32, at.y as f32)
    }

    fn add(&mut self, kind: (usize, bool), weight: f64, at: Option<(f32, f32)>) {
        self.kinds.push(kind);
        self.weights.push(weight);
        self.held.push(at);
    }

    /// A table with what is held on it.
    fn table(&self, length: f32) -> Result<Table<'_>, DraftError> {
        let farthest = self.held.iter().zip(&self.kinds).filter_map(|(at, kind)| Some(at.as_ref()?.0 + self.shapes[kind.0].turns[0].width));
        let whole = farthest.fold(length, f32::max);
        let height = (self.task.width_mm + 2.0 * self.room) as f32;
        let mut table = Table::new(&self.shapes, &self.kinds, whole, height, 20.0 * self.room as f32 + 20.0)?;
        table.length = length;
        for (piece, at) in self.held.iter().enumerate() {
            if let Some(at) = at {
                table.lay(piece, 0, *at);
            }
        }
        Ok(table)
    }

    fn layout(&self, table: &Table<'_>, passes: u64) -> Layout {
        let room = Vec2::new(self.room, self.room);
        let (laid, left_out): (Vec<usize>, Vec<usize>) = (0..self.copies.len()).partition(|&p| table.lies(p));
        let placed: Vec<Placed> = laid
            .into_iter()
            .map(|p| {
                let (item, copy) = self.copies[p];
                // Held pieces come back as they were given, without a detour through the table's numbers.
                if let Some(held) = self.task.fixed.iter().find(|f| (f.item, f.copy) == (item, copy)) {
                    return *held;
                }
                let lying = table.lying(p);
                let at = Vec2::new(f64::from(table.pieces[p].at.0), f64::from(table.pieces[p].at.1));
                Placed { item, copy, turn: lying.turn, at: at + lying.shift - room }
            })
            .collect();
        let ends = placed.iter().map(|p| self.task.items[p.item].bounds(p.turn).x1 + p.at.x);
        let length_mm = ends.fold(0.0, f64::max);
        // The engine's rounding may let the last piece reach past the end by less than the check can see.
        let length_mm = if let Extent::Only(mm) = self.task.extent { length_mm.min(mm) } else { length_mm };
        Layout { length_mm, placed, left_out: left_out.into_iter().map(|p| self.copies[p]).collect(), passes }
    }

    /// The first layout.
    fn first(&self, chance: &mut Chance, trials: &mut Trials) -> Result<(f32, Spread), DraftError> {
        let lay_all = |table: &mut Table<'_>, trials: &mut Trials, chance: &mut Chance| {
            let order = first::order(table, &self.weights);
            order.into_iter().filter(|&p| !first::lay(table, trials, p, chance)).count()
        };
        match self.task.extent {
            Extent::Only(mm) => {
                let mut table = self.table((mm + 2.0 * self.room) as f32)?;
                lay_all(&mut table, trials, chance);
                Ok((table.length, table.spread()))
            }
            Extent::Shortest => {
                let widths = self.shapes.iter().flat_map(|s| s.turns.iter().map(|t| t.width));
                let mut length = (ROOMY * self.task.area_mm2() / self.task.width_mm) as f32 + widths.fold(0.0, f32::max);
                loop {
                    let mut table = self.table(length)?;
                    if lay_all(&mut table, trials, chance) == 0 {
                        return Ok((table.reach(), table.spread()));
                    }
                    length *= 1.5;
                }
            }
        }
    }

    fn run(&self, effort: Effort, watch: &dyn Watch) -> Result<Layout, DraftError> {
        let mut chance = Chance::new(effort.seed);
        let mut trials = Trials::new(&self.shapes);
        let (length, spread) = self.first(&mut chance, &mut trials)?;
        let mut table = self.table(length)?;
        table.restore(&spread);
        let mut best = Best { task: self.task, watch, layout: None, refused: None };
        best.offer(self.layout(&table, 0));

        let workers = (0..effort.workers.max(1) as u64)
            .map(|w| Worker::new(table.clone(), Chance::new(effort.seed.rotate_left(32) ^ (w + 1))))
            .collect();
        let mut crew = Crew { workers, watch, passes: 0, most: effort.passes };
        let mut found = |table: &Table<'_>, passes: u64| best.offer(self.layout(table, passes));
        if matches!(self.task.extent, Extent::Only(_)) {
            let flaws: f64 =
                self.task.flaws.iter().map(|f| f.intersect(Rect::new(0.0, 0.0, f64::from(length), self.task.width_mm)).area()).sum();
            let room = f64::from(table.length) * f64::from(table.height) - flaws;
            fit::fit(&mut crew, &self.weights, room as f32, &mut found);
        } else {
            let widest = |s: &Shape| s.turns.iter().map(|t| t.width).fold(f32::INFINITY, f32::min);
            let held = self.held.iter().zip(&self.kinds).filter(|(_, kind)| !self.shapes[kind.0].is_flaw);
            let held = held.filter_map(|(at, kind)| Some(at.as_ref()?.0 + self.shapes[kind.0].turns[0].width)).fold(0.0, f32::max);
            let free = self.kinds.iter().filter(|k| !k.1).map(|k| widest(&self.shapes[k.0]));
            shorten::shorten(&mut crew, Shortest { length, spread }, free.fold(held, f32::max), &mut found);
        }
        best.done(crew.passes)
    }
}

/// The best layout so far that the check apart from the planner found sound.
struct Best<'t> {
    task: &'t Task,
    watch: &'t dyn Watch,
    layout: Option<Layout>,
    refused: Option<String>,
}

impl Best<'_> {
    fn offer(&mut self, layout: Layout) {
        match verify::faults(self.task, &layout).first() {
            None => {
                self.watch.better(&layout);
                self.layout = Some(layout);
            }
            Some(fault) => self.refused = Some(fault.to_string()),
        }
    }

    fn done(self, passes: u64) -> Result<Layout, DraftError> {
        let refused = self.refused;
        self.layout.map(|layout| Layout { passes, ..layout }).ok_or_else(|| {
            DraftError::new(
                "lay",
                format!("no layout was sound ({})", refused.unwrap_or_default()),
                "Free the pieces that are held, or lay them by hand.",
            )
        })
    }
}
