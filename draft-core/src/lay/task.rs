//! What is to be laid, and on what.

use kurbo::{Affine, Point, Rect, Vec2};

use super::Placed;
use crate::DraftError;

/// How a piece lies: turned over about the grain or not, then turned.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Turn {
    /// Mirrored across the grain line (y becomes −y) before it is turned.
    pub mirrored: bool,
    /// Degrees, clockwise as seen with y down.
    pub angle_deg: f64,
}

impl Turn {
    /// A turn without turning over.
    pub const fn by(angle_deg: f64) -> Self {
        Self { mirrored: false, angle_deg }
    }

    /// Turned over, then turned.
    pub const fn over(angle_deg: f64) -> Self {
        Self { mirrored: true, angle_deg }
    }

    /// As a map about the origin. Quarter turns are exact.
    pub fn affine(self) -> Affine {
        let (sin, cos) = if self.angle_deg.rem_euclid(90.0) == 0.0 {
            match (self.angle_deg / 90.0).rem_euclid(4.0) as u8 {
                0 => (0.0, 1.0),
                1 => (1.0, 0.0),
                2 => (0.0, -1.0),
                _ => (-1.0, 0.0),
            }
        } else {
            self.angle_deg.to_radians().sin_cos()
        };
        let y = if self.mirrored { -1.0 } else { 1.0 };
        Affine::new([cos, sin, -sin * y, cos * y, 0.0, 0.0])
    }
}

/// One outline to be laid, some number of times.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// For messages.
    pub name: String,
    /// Corners in order, millimetres, the first not repeated. It does not cross itself.
    pub outline: Vec<Point>,
    /// How often it is laid.
    pub copies: usize,
    /// The ways in which it may lie; at least one.
    pub turns: Vec<Turn>,
    /// Held with its lowest side on y = 0, the fold of the cloth.
    pub on_fold: bool,
    /// What is left out last when not everything fits has the greatest weight.
    pub weight: f64,
}

impl Item {
    /// Area inside its outline, square millimetres.
    pub fn area_mm2(&self) -> f64 {
        area_mm2(&self.outline)
    }

    /// The smallest upright box round it when it lies in a certain way about the origin.
    pub fn bounds(&self, turn: Turn) -> Rect {
        let affine = turn.affine();
        let mut points = self.outline.iter().map(|p| affine * *p);
        let first = points.next().unwrap_or_default();
        points.fold(Rect::from_points(first, first), |r, p| r.union_pt(p))
    }
}

/// Area inside a closed run of corners.
pub fn area_mm2(outline: &[Point]) -> f64 {
    // About the first corner, so that nothing is lost to large coordinates.
    let Some(&origin) = outline.first() else { return 0.0 };
    let cross = |a: Point, b: Point| (a - origin).cross(b - origin);
    let twice: f64 = outline.iter().zip(outline.iter().cycle().skip(1)).map(|(a, b)| cross(*a, *b)).sum();
    twice.abs() / 2.0
}

/// The length of the cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Extent {
    /// As short as possible, and all pieces laid.
    Shortest,
    /// So much and no more, millimetres: the most important pieces that fit.
    Only(f64),
}

/// What is to be laid.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// Across the cloth, from fold or selvedge to selvedge, without the selvedges; millimetres.
    pub width_mm: f64,
    /// Along it.
    pub extent: Extent,
    /// Least distance from piece to piece. Pieces may touch the edges of the cloth.
    pub gap_mm: f64,
    /// Rectangles on which nothing may lie.
    pub flaws: Vec<Rect>,
    /// The pieces.
    pub items: Vec<Item>,
    /// Copies that lie where they lie.
    pub fixed: Vec<Placed>,
}

/// How hard to try: the same gives the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Where chance begins.
    pub seed: u64,
    /// How many times the pieces are gone through; the watch can stop it before.
    pub passes: u64,
    /// How many searches go on side by side; part of what decides the result, unlike the number of threads.
    pub workers: usize,
}

impl Default for Effort {
    fn default() -> Self {
        Self { seed: 1, passes: 400, workers: 2 }
    }
}

impl Task {
    /// Copies of all items together.
    pub fn count(&self) -> usize {
        self.items.iter().map(|i| i.copies).sum()
    }

    /// Area of all copies, square millimetres.
    pub fn area_mm2(&self) -> f64 {
        self.items.iter().map(|i| i.copies as f64 * i.area_mm2()).sum()
    }

    /// Whether an item fits across the cloth in one of its turns.
    pub fn fits_across(&self, item: &Item) -> bool {
        item.turns.iter().any(|t| {
            let bounds = item.bounds(*t);
            let along = match self.extent {
                Extent::Shortest => f64::INFINITY,
                Extent::Only(mm) => mm,
            };
            bounds.height() <= self.width_mm + 1e-6 && bounds.width() <= along + 1e-6
        })
    }

    /// Looks for what can't be laid at all.
    ///
    /// # Errors
    /// Names the first number, piece or flaw that makes no sense.
    pub fn check(&self) -> Result<(), DraftError> {
        let refuse = |place: &str, problem: String, remedy: &str| Err(DraftError::new(place, problem, remedy));
        let usable = |mm: f64| mm.is_finite() && mm > 0.0 && mm < 1e6;
        if !usable(self.width_mm) {
            return refuse(
                "cloth",
                format!("has no width that can be laid on ({:.1} mm)", self.width_mm),
                "Give its width with the selvedges.",
            );
        }
        if let Extent::Only(mm) = self.extent
            && !usable(mm)
        {
            return refuse("cloth", format!("has no length that can be laid on ({mm:.1} mm)"), "Give the length that there is.");
        }
        if !(0.0..1000.0).contains(&self.gap_mm) {
            return refuse("gap", format!("{:.1} mm can't be kept between pieces", self.gap_mm), "Give a gap between 0 and 1 m.");
        }
        if self.flaws.iter().any(|f| !f.is_finite()) {
            return refuse("cloth", "has a flaw that is not a rectangle".into(), "Give the flaw's sides as numbers.");
        }
        for item in &self.items {
            if item.outline.len() < 3 || item.outline.iter().any(|p| !p.is_finite()) || item.area_mm2() < 1e-6 {
                return refuse(&item.name, "has no outline that can be cut".into(), "Draft the piece again.");
            }
            if item.turns.is_empty() || item.turns.iter().any(|t| !t.angle_deg.is_finite()) {
                return refuse(&item.name, "may not lie in any way".into(), "Allow at least one way to lay it.");
            }
        }
        let known = |p: &Placed| self.items.get(p.item).is_some_and(|i| p.copy < i.copies);
        if self.fixed.iter().any(|p| !known(p) || !p.at.is_finite()) {
            return refuse("lay", "holds a piece that is not to be cut".into(), "Free the piece that is held.");
        }
        Ok(())
    }
}

/// A map from an item's coordinates to the cloth's.
pub fn cloth_from_item(turn: Turn, at: Vec2) -> Affine {
    Affine::translate(at) * turn.affine()
}
