//! The upper edge of a strapless bodice: one smooth line from the centre front over the bust to the underarm, and down
//! to the centre back.

use kurbo::{CubicBez, Point, Vec2};

use crate::block::bodice::solve::Solved;

/// Heights of the edge, millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Top {
    /// Above the bust points at the centre front; less than nought below them.
    pub front: f64,
    /// From the bust point up to the edge.
    pub over_bust: f64,
    /// Below the underarm at the centre back.
    pub back: f64,
}

/// A smooth curve between two points with given directions.
fn curve(from: Point, leaves: Vec2, to: Point, arrives: Vec2) -> CubicBez {
    let handle = from.distance(to) / 3.0;
    CubicBez::new(from, from + leaves * handle, to - arrives * handle, to)
}

/// Turned a quarter clockwise, y up: outward across a line that points up.
fn outward(up: Vec2) -> Vec2 {
    Vec2::new(up.y, -up.x).normalize()
}

impl Top {
    /// Where it crosses the line from the bust point to the shoulder: on the centre panel and on the outer panel.
    pub fn over_bust(&self, s: &Solved) -> (Point, Point) {
        let at = |bust: Point, shoulder: Point| bust + (shoulder - bust).normalize() * self.over_bust;
        (at(s.bust_point, s.mid_shoulder), at(s.bust_point_outer, s.mid_shoulder_outer))
    }

    /// In front, from the centre to over the bust: level at the centre, square to the line up from the bust point.
    pub fn centre_front(&self, s: &Solved) -> CubicBez {
        let (inner, _) = self.over_bust(s);
        let centre = Point::new(0.0, s.bust_point.y + self.front);
        curve(centre, Vec2::new(1.0, 0.0), inner, outward(inner - s.bust_point))
    }

    /// In front, from over the bust to the underarm, square to both lines there.
    pub fn side_front(&self, s: &Solved, side_up: Vec2) -> CubicBez {
        let (_, outer) = self.over_bust(s);
        curve(outer, outward(outer - s.bust_point_outer), s.front_underarm, outward(side_up))
    }

    /// Behind, from the centre to the underarm.
    pub fn back(&self, s: &Solved, side_up: Vec2) -> CubicBez {
        let centre = Point::new(0.0, s.underarm_y - self.back);
        curve(centre, Vec2::new(1.0, 0.0), s.back_underarm, outward(side_up))
    }
}
