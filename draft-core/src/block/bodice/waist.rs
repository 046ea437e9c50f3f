//! The waist edge: curves between the darts, square to the fold, to each dart leg and to the side seam, so that the
//! closed waist runs smoothly.

use kurbo::{CubicBez, Point, Vec2};

use super::underbust;
use crate::geometry::cubic_length;

/// A dart at the waist, upright; drafting frame, y up.
#[derive(Clone, Copy, Debug)]
pub struct WaistDart {
    /// Where its axis stands.
    pub x: f64,
    /// Width at the waist.
    pub width: f64,
    /// Where it ends.
    pub tip: Point,
    /// A place that its side leg passes on a curve to the tip; the centre leg mirrors it. Straight without one.
    pub by: Option<Point>,
}

impl WaistDart {
    /// A straight dart.
    pub fn straight(x: f64, width: f64, tip: Point) -> Self {
        Self { x, width, tip, by: None }
    }

    /// Half the dart's width at a level.
    pub fn half_width_at(&self, y: f64) -> f64 {
        match self.by {
            Some(by) if (by.y - y).abs() < 1e-9 => by.x - self.x,
            _ => self.width / 2.0 * ((self.tip.y - y) / self.tip.y).max(0.0),
        }
    }

    /// Makes the dart wider by `more` at a level, and its legs curves through there.
    pub fn bend(&mut self, y: f64, more: f64) {
        if more > 0.0 && y < self.tip.y {
            self.by = Some(Point::new(self.x + self.half_width_at(y) + more / 2.0, y));
        }
    }

    /// The leg on the side's side, from the waist up to the tip.
    pub fn side_leg(&self) -> Vec<CubicBez> {
        let mouth = Point::new(self.x + self.width / 2.0, 0.0);
        match self.by {
            Some(by) => underbust::through(mouth, by, self.tip).to_vec(),
            None => vec![CubicBez::new(mouth, mouth.lerp(self.tip, 1.0 / 3.0), mouth.lerp(self.tip, 2.0 / 3.0), self.tip)],
        }
    }

    /// The leg on the centre's side, from the waist up to the tip.
    pub fn centre_leg(&self) -> Vec<CubicBez> {
        let m = |p: Point| Point::new(2.0 * self.x - p.x, p.y);
        self.side_leg().iter().map(|c| CubicBez::new(m(c.p0), m(c.p1), m(c.p2), m(c.p3))).collect()
    }
}

/// The waist edge from the centre outward: one curve before, between and after the darts.
#[derive(Clone, Debug)]
pub struct Waist {
    pub curves: Vec<CubicBez>,
    pub darts: Vec<WaistDart>,
    /// Where it begins.
    pub start: Point,
    /// Where it meets the side.
    pub end: Point,
}

/// What gives way by the little that the curves are longer than their chords.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Give {
    Start,
    End,
    /// The first dart's width, or the end where there is no dart.
    Dart,
}

/// Draws the waist from `start` to `end`, with the darts open, so that its curves add up to `length`.
///
/// `start_square` and `end_square` are the lines that the edge meets at a right angle, pointing up from the waist.
pub fn draw(
    (mut start, start_square): (Point, Vec2),
    (mut end, end_square): (Point, impl Fn(Point) -> Vec2),
    darts: &[WaistDart],
    length: f64,
    give: Give,
) -> Waist {
    let mut darts = darts.to_vec();
    // Turned a quarter clockwise (y up): an edge running outward is square to a line pointing up.
    let outward = |up: Vec2| {
        let h = up.hypot();
        if h > 0.0 { Vec2::new(up.y, -up.x) / h } else { Vec2::new(1.0, 0.0) }
    };
    let mut curves: Vec<CubicBez> = Vec::new();
    for _ in 0..12 {
        curves.clear();
        let mut from = (start, outward(start_square));
        let mut add = |to: Point, direction: Vec2, from: (Point, Vec2)| {
            let third = from.0.distance(to) / 3.0;
            curves.push(CubicBez::new(from.0, from.0 + from.1 * third, to - direction * third, to));
        };
        for dart in &darts {
            let (a, b) = (Point::new(dart.x - dart.width / 2.0, 0.0), Point::new(dart.x + dart.width / 2.0, 0.0));
            let toward = dart.by.unwrap_or(dart.tip) - b;
            add(a, outward(Vec2::new(-toward.x, toward.y)), from);
            from = (b, outward(toward));
        }
        add(end, outward(end_square(end)), from);
        let over = curves.iter().map(cubic_length).sum::<f64>() - length;
        if over.abs() < 1e-9 {
            break;
        }
        match (give, darts.first_mut()) {
            (Give::Start, _) => start.x += over,
            (Give::Dart, Some(dart)) => dart.width += over,
            (Give::Dart | Give::End, _) => end.x -= over,
        }
    }
    // The last step moved what the curves were drawn to.
    let (start, end) = (curves.first().map_or(start, |c| c.p0), curves.last().map_or(end, |c| c.p3));
    Waist { curves, darts, start, end }
}
