//! An outline ready to be painted and pointed at.

use draft_core::lay::{Item, Placed};
use egui::Shape;
use kurbo::{Affine, Point};

use crate::window::fill::{Fill, fill};
use crate::window::table::Transform;

/// Corners closer together than this are one on the screen, millimetres.
const FINE_MM: f64 = 0.4;

/// An item of a task.
pub struct ItemShape {
    /// Its outline, thinned for the screen, in its own coordinates.
    pub outline: Vec<Point>,
    cloth: Fill,
}

impl ItemShape {
    /// Of an item.
    pub fn of(item: &Item) -> Self {
        let mut outline: Vec<Point> = Vec::new();
        for p in &item.outline {
            if outline.last().is_none_or(|last| last.distance(*p) > FINE_MM) {
                outline.push(*p);
            }
        }
        let cloth = fill(std::slice::from_ref(&outline));
        Self { outline, cloth }
    }

    /// The area it covers, where it lies.
    pub fn area(&self, map: Affine, view: &Transform, color: egui::Color32) -> Shape {
        self.cloth.shape(|p| view.screen_from_cloth(map * p), color)
    }

    /// Whether it goes round a point of the cloth, where it lies.
    pub fn holds(&self, placed: &Placed, at: Point) -> bool {
        let p = placed.cloth_from_item().inverse() * at;
        let mut inside = false;
        for (a, b) in self.outline.iter().zip(self.outline.iter().cycle().skip(1)) {
            if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
                inside = !inside;
            }
        }
        inside
    }
}
