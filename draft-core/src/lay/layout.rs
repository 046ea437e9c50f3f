//! Where the pieces lie.

use kurbo::{Affine, Point, Vec2};

use super::task::cloth_from_item;
use super::{Task, Turn};

/// One copy of an item on the cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which of the task's items.
    pub item: usize,
    /// Which of its copies, from 0.
    pub copy: usize,
    /// How it lies.
    pub turn: Turn,
    /// Where the origin of its own coordinates comes to lie.
    pub at: Vec2,
}

impl Placed {
    /// From the item's own coordinates to the cloth's.
    pub fn cloth_from_item(&self) -> Affine {
        cloth_from_item(self.turn, self.at)
    }

    /// Its outline on the cloth.
    pub fn outline(&self, task: &Task) -> Vec<Point> {
        let map = self.cloth_from_item();
        task.items.get(self.item).map(|i| i.outline.iter().map(|p| map * *p).collect()).unwrap_or_default()
    }
}

/// A lay: where each piece lies, and how much cloth that takes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    /// From the cut end to the far end of the last piece, millimetres.
    pub length_mm: f64,
    /// The pieces that lie, by item and copy.
    pub placed: Vec<Placed>,
    /// Item and copy of those that found no room.
    pub left_out: Vec<(usize, usize)>,
    /// Passes done: of the whole search once it has ended, else until this layout was found.
    pub passes: u64,
}

impl Layout {
    /// Share of the cloth that is pieces: area of what lies over width times length.
    pub fn density(&self, task: &Task) -> f64 {
        let area: f64 = self.placed.iter().filter_map(|p| task.items.get(p.item)).map(super::Item::area_mm2).sum();
        if self.length_mm > 0.0 { area / (task.width_mm * self.length_mm) } else { 0.0 }
    }
}
