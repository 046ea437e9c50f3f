//! Pieces laid on the table: their places, and their lines as points, made once for each piece.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::sync::{Arc, OnceLock};

use draft_core::allowance::dart_cap;
use draft_core::together::Together;
use draft_core::{Built, Draft, Name, Piece, geometry};
use egui::{Pos2, pos2};
use kurbo::{BezPath, Point, Rect, Shape as _, Vec2};

use super::few_points;
use crate::window::fill::{Fill, fill};

/// How far points may be from the true line, millimetres; a twelfth of a point at the usual magnification.
const TOLERANCE_MM: f64 = 0.02;
/// Room between pieces, millimetres.
const GAP_MM: f64 = 45.0;
/// A piece that lies no further from its place in the rows lies neatly, millimetres.
const NEAT_MM: f64 = 1.0;

/// One stretch of the seam line as points.
#[derive(Clone, Debug)]
pub struct Stretch {
    /// Which of the piece's edges.
    pub edge: usize,
    /// The line, in the piece's own coordinates.
    pub points: Vec<Point>,
}

/// From how far a piece is seen: so many points do for its areas.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Distance {
    /// Larger than a point of the screen for each millimetre.
    Near,
    /// As a piece fills the table.
    Far,
    /// As many pieces fill it.
    Farther,
}

impl Distance {
    /// At so many screen points for each millimetre.
    pub fn at(scale: f64) -> Self {
        match scale {
            s if s >= 0.9 => Self::Near,
            s if s >= 0.2 => Self::Far,
            _ => Self::Farther,
        }
    }

    /// How far points may be from the true line, millimetres: less than half a point of the screen.
    const fn tolerance_mm(self) -> f64 {
        match self {
            Self::Near => TOLERANCE_MM,
            Self::Far => 0.4,
            Self::Farther => 1.8,
        }
    }
}

/// An area at one distance: the line round it as points, and filled; each made when it is first looked at.
#[derive(Debug, Default)]
struct Area {
    runs: OnceLock<Vec<Vec<Point>>>,
    filled: OnceLock<Fill>,
}

/// A piece as points.
#[derive(Debug)]
pub struct Shape {
    /// The piece.
    pub piece: Arc<Piece>,
    /// Its cut line, as built.
    pub cut_path: Arc<BezPath>,
    /// Its seam line, stretch by stretch.
    pub stretches: Vec<Stretch>,
    /// The fold caps of its darts.
    pub caps: Vec<Vec<Point>>,
    /// Its seam line as one closed run.
    pub outline: Vec<Point>,
    /// Its cut lines.
    pub cut: Vec<Vec<Point>>,
    /// Whether the cut line is another than the seam line.
    pub has_allowance: bool,
    /// A box round the seam line.
    pub seam_bounds: Rect,
    /// A box round everything.
    pub bounds: Rect,
    /// What is inside the seam line and inside the cut line, from each distance.
    areas: [[Area; 3]; 2],
}

impl Shape {
    fn new(piece: &Arc<Piece>, cut_path: &Arc<BezPath>) -> Self {
        let stretches: Vec<Stretch> =
            piece.parts().iter().map(|p| Stretch { edge: p.edge, points: geometry::flattened(&p.path, TOLERANCE_MM) }).collect();
        let mut outline: Vec<Point> = Vec::new();
        for p in stretches.iter().flat_map(|s| &s.points) {
            if outline.last() != Some(p) {
                outline.push(*p);
            }
        }
        let finite = |bounds: Rect| if bounds.is_finite() { bounds } else { Rect::ZERO };
        let seam_bounds = finite(piece.bounds());
        Self {
            stretches,
            caps: piece.darts().iter().filter_map(|d| dart_cap(piece, d)).map(|p| geometry::flattened(&p, TOLERANCE_MM)).collect(),
            outline,
            has_allowance: piece.edges().iter().any(|e| e.allowance_mm != 0.0),
            cut: subpaths(cut_path, TOLERANCE_MM),
            seam_bounds,
            bounds: finite(seam_bounds.union(cut_path.bounding_box())),
            areas: Default::default(),
            piece: Arc::clone(piece),
            cut_path: Arc::clone(cut_path),
        }
    }

    /// The seam line as it is seen from a distance.
    pub fn runs(&self, from: Distance) -> &[Vec<Point>] {
        self.areas[0][from as usize].runs.get_or_init(|| thinned(&self.piece.outline(), from))
    }

    /// The area inside the seam line, as it is seen from a distance.
    pub fn cloth(&self, from: Distance) -> &Fill {
        self.areas[0][from as usize].filled.get_or_init(|| fill(self.runs(from)))
    }

    /// The area inside the cut line, as it is seen from a distance.
    pub fn paper(&self, from: Distance) -> &Fill {
        let area = &self.areas[1][from as usize];
        area.filled.get_or_init(|| fill(area.runs.get_or_init(|| thinned(&self.cut_path, from))))
    }

    /// Where a point of it is on the screen, from the upper left corner of the box round it.
    pub fn on_screen(&self, point: Point, scale: f64) -> Pos2 {
        let from = (point - self.bounds.origin()) * scale;
        pos2(from.x as f32, from.y as f32)
    }

    /// The point of it that is there on the screen.
    pub fn point_at(&self, at: Pos2, scale: f64) -> Point {
        self.bounds.origin() + Vec2::new(f64::from(at.x), f64::from(at.y)) / scale
    }
}

/// The runs of a path in as few points as do from a distance.
fn thinned(path: &BezPath, from: Distance) -> Vec<Vec<Point>> {
    let mm = from.tolerance_mm() / 2.0;
    let closed = |run: Vec<Point>| {
        let first = run.first().copied();
        let mut few = few_points::of(run.into_iter().chain(first), mm);
        few.pop();
        few
    };
    subpaths(path, mm).into_iter().map(closed).collect()
}

/// The runs of a path as points; the end of a closed one is not its beginning again.
pub fn subpaths(path: &BezPath, tolerance_mm: f64) -> Vec<Vec<Point>> {
    let mut out: Vec<Vec<Point>> = Vec::new();
    kurbo::flatten(path.elements().iter().copied(), tolerance_mm, |el| match el {
        kurbo::PathEl::MoveTo(p) => out.push(vec![p]),
        kurbo::PathEl::LineTo(p) => {
            if let Some(run) = out.last_mut() {
                run.push(p);
            }
        }
        _ => {}
    });
    for run in &mut out {
        if run.len() > 1 && run.first() == run.last() {
            run.pop();
        }
    }
    out
}

/// A piece in its place.
#[derive(Clone, Debug)]
pub struct Laid {
    /// The piece as points.
    pub shape: Arc<Shape>,
    /// What to add to its own coordinates.
    pub by: Vec2,
}

impl Laid {
    /// A box round it on the table.
    pub fn bounds(&self) -> Rect {
        self.shape.bounds + self.by
    }
}

/// A piece as it was, to be shown as a pale line.
#[derive(Clone, Debug)]
pub struct Before {
    /// The piece.
    pub piece: Arc<Piece>,
    /// Its seam line as one closed run.
    pub outline: Vec<Point>,
}

impl Before {
    /// The pieces of a draft that are others now.
    pub fn of(draft: &Draft, now: &Draft) -> Vec<Self> {
        let same: HashSet<*const Piece> = now.pieces.iter().map(Arc::as_ptr).collect();
        let changed = |old: &&Arc<Piece>| !same.contains(&Arc::as_ptr(old)) && now.piece(old.name().as_str()).is_some();
        let of_piece = |piece: &Arc<Piece>| Self {
            piece: Arc::clone(piece),
            outline: piece.parts().iter().flat_map(|p| geometry::flattened(&p.path, TOLERANCE_MM)).collect(),
        };
        draft.pieces.iter().filter(changed).map(of_piece).collect()
    }
}

/// Everything on the table.
#[derive(Clone, Debug, Default)]
pub struct Lay {
    /// The pieces in the order of the garment.
    pub pieces: Vec<Laid>,
    /// They were kept where they lay, and would lie elsewhere if they were laid in rows again.
    pub could_be_neater: bool,
}

impl Lay {
    /// Lays the pieces of a garment out in rows. Shapes of pieces that have not changed are kept; with `still`, so are the
    /// places, as long as the same pieces lie there. Pieces of a group lie together; hidden ones do not lie there.
    pub fn of(built: &Built, before: &Self, still: bool, group: Option<&Together>, hidden: &BTreeSet<Name>) -> Self {
        let known: HashMap<*const Piece, &Laid> = before.pieces.iter().map(|l| (Arc::as_ptr(&l.shape.piece), l)).collect();
        let shapes: Vec<Arc<Shape>> = built
            .draft
            .pieces
            .iter()
            .zip(&built.cut_lines)
            .filter(|(piece, _)| !hidden.contains(piece.name()))
            .map(|(piece, cut)| {
                let same = known.get(&Arc::as_ptr(piece)).filter(|l| Arc::ptr_eq(&l.shape.cut_path, cut));
                same.map_or_else(|| Arc::new(Shape::new(piece, cut)), |l| Arc::clone(&l.shape))
            })
            .collect();
        let same =
            shapes.len() == before.pieces.len() && shapes.iter().zip(&before.pieces).all(|(s, l)| s.piece.name() == l.shape.piece.name());
        if still && same && group.is_none() {
            let neat = rows(&shapes.iter().map(|s| s.bounds).collect::<Vec<_>>());
            let could_be_neater = before.pieces.iter().zip(neat).any(|(l, by)| (l.by - by).hypot() > NEAT_MM);
            let pieces = shapes.into_iter().zip(&before.pieces).map(|(shape, l)| Laid { shape, by: l.by }).collect();
            return Self { pieces, could_be_neater };
        }
        let mut shapes = shapes;
        // Pieces that lie together take one place in the rows, that of the first of them.
        let mut units: Vec<Vec<usize>> = (0..shapes.len()).map(|i| vec![i]).collect();
        if let Some(placed) = group.and_then(|g| g.placed(&built.draft).ok()) {
            let mut together: Vec<usize> = Vec::new();
            for p in placed {
                if let Some(i) = shapes.iter().position(|s| s.piece.name() == p.piece.name()) {
                    shapes[i] = Arc::new(Shape::new(&p.piece, &p.cut_line));
                    together.push(i);
                }
            }
            together.sort_unstable();
            units.retain(|u| !together.contains(&u[0]) || together.first() == u.first());
            if let Some(unit) = units.iter_mut().find(|u| together.first() == u.first()) {
                *unit = together;
            }
        }
        let bounds = |unit: &Vec<usize>| unit.iter().map(|&i| shapes[i].bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
        let mut places = vec![Vec2::ZERO; shapes.len()];
        for (unit, by) in units.iter().zip(rows(&units.iter().map(bounds).collect::<Vec<_>>())) {
            for &i in unit {
                places[i] = by;
            }
        }
        Self { pieces: shapes.into_iter().zip(places).map(|(shape, by)| Laid { shape, by }).collect(), could_be_neater: false }
    }

    /// A box round everything.
    pub fn bounds(&self) -> Option<Rect> {
        self.pieces.iter().map(Laid::bounds).reduce(|a, b| a.union(b))
    }

    /// The piece of this name.
    pub fn find(&self, name: &str) -> Option<&Laid> {
        self.pieces.iter().find(|l| *l.shape.piece.name() == *name)
    }
}

/// Places boxes in rows from left to right, in their order, wrapping where the table would grow wider than its
/// height asks for.
fn rows(boxes: &[Rect]) -> Vec<Vec2> {
    let area: f64 = boxes.iter().map(|b| (b.width() + GAP_MM) * (b.height() + GAP_MM)).sum();
    let widest = boxes.iter().map(Rect::width).fold(0.0, f64::max);
    let limit = (area.sqrt() * 1.55).max(widest);
    let (mut x, mut y, mut tall) = (0.0, 0.0, 0.0f64);
    let mut out = Vec::with_capacity(boxes.len());
    for b in boxes {
        if x > 0.0 && x + b.width() > limit {
            x = 0.0;
            y += tall + GAP_MM;
            tall = 0.0;
        }
        out.push(Vec2::new(x - b.x0, y - b.y0));
        x += b.width() + GAP_MM;
        tall = tall.max(b.height());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_do_not_overlap_and_keep_the_order() {
        let boxes: Vec<Rect> = (1..9).map(|i| Rect::new(-5.0, 3.0, 100.0 * f64::from(i), 60.0 + 40.0 * f64::from(i % 3))).collect();
        let placed: Vec<Rect> = boxes.iter().zip(rows(&boxes)).map(|(b, by)| *b + by).collect();
        for (i, a) in placed.iter().enumerate() {
            for b in &placed[i + 1..] {
                assert!(a.intersect(*b).area() <= 0.0, "{a:?} {b:?}");
                assert!(b.y0 > a.y0 || b.x0 > a.x0);
            }
        }
    }
}
