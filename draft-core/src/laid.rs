//! Laying pieces together as on the cutting table: edge on edge, darts closed, to trace across a seam.

use kurbo::{Affine, BezPath, Point, Shape, Vec2};

use crate::geometry::{end, end_tangent, start, start_tangent};
use crate::{Name, Piece};

/// A point and a direction, by which one piece is laid on another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ray {
    /// The point.
    pub at: Point,
    /// The direction, of any length but nought.
    pub along: Vec2,
}

/// Which end of an edge, as the outline runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeEnd {
    /// Where it starts.
    Start,
    /// Where it ends.
    End,
}

impl Ray {
    /// The end of an edge, and the direction from there along the edge.
    pub fn of_edge(piece: &Piece, edge: &str, at: EdgeEnd) -> Option<Self> {
        match at {
            EdgeEnd::Start => {
                let first = &piece.edge_parts(edge).next()?.path;
                Some(Self { at: start(first)?, along: start_tangent(first) })
            }
            EdgeEnd::End => {
                let last = &piece.edge_parts(edge).last()?.path;
                Some(Self { at: end(last)?, along: -end_tangent(last) })
            }
        }
    }

    /// The rigid map that carries this ray onto another one; `turned_over` shows the other face of the cloth.
    pub fn onto(self, other: Self, turned_over: bool) -> Affine {
        let flip = if turned_over { Affine::FLIP_Y } else { Affine::IDENTITY };
        Affine::translate(other.at.to_vec2())
            * Affine::rotate(other.along.atan2())
            * flip
            * Affine::rotate(-self.along.atan2())
            * Affine::translate(-self.at.to_vec2())
    }

    /// The same point, and the direction turned by an angle in radians, clockwise as seen.
    #[must_use]
    pub fn turned(self, rad: f64) -> Self {
        let (sin, cos) = rad.sin_cos();
        Self { along: Vec2::new(cos * self.along.x - sin * self.along.y, sin * self.along.x + cos * self.along.y), ..self }
    }
}

/// The rigid map that lays one piece beside another as they are sewn: the `laid` end on the `fixed` end, both edges
/// running the same way from there, the pieces on opposite sides. The laid piece is turned over where that needs it.
/// `None` when an edge is not there.
pub fn beside(fixed: (&Piece, &str, EdgeEnd), laid: (&Piece, &str, EdgeEnd)) -> Option<Affine> {
    // Whether the inside lies to the right of the ray as seen.
    let inside_right = |(piece, _, at): (&Piece, &str, EdgeEnd)| (piece.outline().area() > 0.0) == (at == EdgeEnd::Start);
    let onto = Ray::of_edge(fixed.0, fixed.1, fixed.2)?;
    let from = Ray::of_edge(laid.0, laid.1, laid.2)?;
    Some(from.onto(onto, inside_right(fixed) == inside_right(laid)))
}

/// A stretch of a piece's outline as it lies in a [`Run`].
#[derive(Clone, Debug)]
pub struct RunPart {
    /// The edge that it belongs to.
    pub edge: Name,
    /// The stretch, laid.
    pub path: BezPath,
    /// How the cloth beside it was moved to lie there.
    pub placed: Affine,
}

/// Neighbouring edges of a piece, or of several pieces laid together, with the darts between them closed.
#[derive(Clone, Debug, Default)]
pub struct Run {
    /// The stretches, one after the other.
    pub parts: Vec<RunPart>,
}

impl Run {
    /// From the start of one edge as the outline runs to the end of another, each dart on the way closed about its
    /// pivot. The first stretch stays where it is. `None` when an edge is not there.
    pub fn closed(piece: &Piece, first: &str, last: &str) -> Option<Self> {
        let parts = piece.parts();
        let index = |name: &str| piece.edges().iter().position(|e| e.name == *name);
        let (first, last) = (index(first)?, index(last)?);
        let from = parts.iter().position(|p| p.edge == first)?;
        let count = parts.len();
        let steps = (0..count).rev().find(|i| parts[(from + i) % count].edge == last)?;
        let mut out = Vec::new();
        let mut placed = Affine::IDENTITY;
        let mut i = 0;
        while i <= steps {
            let part = &parts[(from + i) % count];
            let edge = &piece.edges()[part.edge].name;
            if let Some(dart) = piece.darts().iter().find(|d| d.leg_a == *edge) {
                // The second leg follows the first; what comes after it turns until both mouths meet.
                let other = &parts[(from + i + 1) % count];
                let (a, b) = (start(&part.path)?, end(&other.path)?);
                let turn = Affine::rotate((a - dart.pivot).atan2() - (b - dart.pivot).atan2());
                let turn = Affine::translate(a.to_vec2()) * turn * Affine::translate(-b.to_vec2());
                placed *= turn;
                i += 2;
                continue;
            }
            out.push(RunPart { edge: edge.clone(), path: placed * part.path.clone(), placed });
            i += 1;
        }
        Some(Self { parts: out })
    }

    /// This run and then another one, laid so that it goes on where this one ends and in the same direction, as two
    /// panels lie whose common seam is closed there.
    pub fn continued(mut self, next: Self) -> Option<Self> {
        let (here, there) = (&self.parts.last()?.path, &next.parts.first()?.path);
        let onto = Ray { at: end(here)?, along: end_tangent(here) };
        let map = Ray { at: start(there)?, along: start_tangent(there) }.onto(onto, false);
        self.parts.extend(next.parts.into_iter().map(|p| RunPart { path: map * p.path, placed: map * p.placed, ..p }));
        Some(self)
    }

    /// One edge, all its stretches as one path.
    pub fn edge(&self, name: &str) -> Option<BezPath> {
        let mut out = BezPath::new();
        for part in self.parts.iter().filter(|p| p.edge == *name) {
            let skip = usize::from(!out.elements().is_empty());
            out.extend(part.path.elements().iter().skip(skip).copied());
        }
        (!out.elements().is_empty()).then_some(out)
    }

    /// How the cloth at the end of an edge was moved to lie here.
    pub fn placed(&self, name: &str) -> Option<Affine> {
        self.parts.iter().rev().find(|p| p.edge == *name).map(|p| p.placed)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::{Dart, PieceBuilder, Role};

    /// A square of 100 mm with a dart of 60 mm depth in its upper edge.
    fn darted() -> Piece {
        let p = Point::new;
        PieceBuilder::new("square")
            .line("top", Role::Seam, 0.0, p(0.0, 0.0), p(40.0, 0.0))
            .line("leg 1", Role::DartLeg, 0.0, p(40.0, 0.0), p(50.0, 60.0))
            .line("leg 2", Role::DartLeg, 0.0, p(50.0, 60.0), p(60.0, 0.0))
            .line("top", Role::Seam, 0.0, p(60.0, 0.0), p(100.0, 0.0))
            .line("right", Role::Seam, 0.0, p(100.0, 0.0), p(100.0, 100.0))
            .line("bottom", Role::Seam, 0.0, p(100.0, 100.0), p(0.0, 100.0))
            .line("left", Role::Seam, 0.0, p(0.0, 100.0), p(0.0, 0.0))
            .dart(Dart {
                name: "dart".into(),
                leg_a: "leg 1".into(),
                leg_b: "leg 2".into(),
                tip: p(50.0, 60.0),
                pivot: p(50.0, 60.0),
                pressed_to_a: true,
            })
            .build()
            .unwrap()
    }

    #[test]
    fn a_ray_lands_on_the_other() {
        let from = Ray { at: Point::new(3.0, 4.0), along: Vec2::new(0.0, 2.0) };
        let onto = Ray { at: Point::new(-7.0, 1.0), along: Vec2::new(-5.0, 0.0) };
        for over in [false, true] {
            let map = from.onto(onto, over);
            assert!((map * from.at).distance(onto.at) < 1e-12);
            assert!((map * (from.at + Vec2::new(0.0, 1.0))).distance(onto.at - Vec2::new(1.0, 0.0)) < 1e-12);
            assert!((map.determinant() - if over { -1.0 } else { 1.0 }).abs() < 1e-12);
        }
    }

    #[test]
    fn a_closed_run_joins_the_mouths_and_keeps_lengths() {
        let run = Run::closed(&darted(), "left", "right").unwrap();
        let top = run.edge("top").unwrap();
        assert!((crate::geometry::length(&top) - 80.0).abs() < 1e-9);
        assert_eq!(top.elements().len(), 3);
        // Twice the half angle of the dart.
        let turned = run.placed("right").unwrap() * Vec2::new(0.0, 1.0).to_point() - run.placed("right").unwrap() * Point::ZERO;
        let angle = 2.0 * (10.0f64 / 60.0).atan();
        assert!((turned.atan2() - (std::f64::consts::FRAC_PI_2 - angle)).abs() < 1e-12, "{turned:?}");
    }

    #[test]
    fn pieces_laid_beside_each_other_do_not_cover_each_other() {
        let piece = darted();
        for (a, b) in [(EdgeEnd::Start, EdgeEnd::Start), (EdgeEnd::Start, EdgeEnd::End), (EdgeEnd::End, EdgeEnd::End)] {
            let map = beside((&piece, "right", a), (&piece, "right", b)).unwrap();
            let box_ = (map * piece.outline()).bounding_box();
            assert!((box_.x0 - 100.0).abs() < 1e-9 && (box_.y0).abs() < 1e-9, "{box_:?}");
        }
    }
}
