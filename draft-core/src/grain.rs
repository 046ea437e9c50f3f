//! Where a grain line lies: a straight run along the grain that stays inside the outline.
//!
//! What the grain line says is its direction; where on the piece it stands is free. So a line that would run off is
//! laid beside its place, as near as there is room for it.

use kurbo::{BezPath, Line, Point, Vec2};

use crate::geometry;

/// How far the outline is followed by straight lines; millimetres.
const FLAT_MM: f64 = 0.2;
/// Room that it keeps to either side, where the piece is wide enough; millimetres.
const BESIDE_MM: [f64; 3] = [6.0, 2.0, 0.0];
/// Part of a run that stays free at either end.
const FREE_END: f64 = 0.1;
/// Places that are tried across the whole piece.
const PLACES: i32 = 48;
/// A line shorter than this, in millimetres, has no direction.
const LEAST_MM: f64 = 1e-3;

/// An outline seen along the grain: `x` runs along it, `y` to its right.
struct Along {
    unit: Vec2,
    points: Vec<Point>,
}

/// A stretch of a line along the grain, from one crossing of the outline to the next.
#[derive(Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
}

impl Stretch {
    fn length(self) -> f64 {
        self.to - self.from
    }
}

impl Along {
    fn new(outline: &BezPath, direction: Vec2) -> Option<Self> {
        let unit = direction.normalize();
        if direction.hypot() < LEAST_MM || !unit.is_finite() {
            return None;
        }
        let mut along = Self { unit, points: Vec::new() };
        along.points = geometry::flattened(outline, FLAT_MM).into_iter().map(|p| along.seen(p).into()).collect();
        Some(along)
    }

    /// A point's place along the grain and across it.
    fn seen(&self, p: Point) -> (f64, f64) {
        (p.to_vec2().dot(self.unit), self.unit.cross(p.to_vec2()))
    }

    fn line(&self, across: f64, from: f64, to: f64) -> Line {
        let at = |along: f64| (self.unit * along + self.unit.turn_90() * across).to_point();
        Line::new(at(from), at(to))
    }

    /// Stretches inside the outline at a place across the grain.
    fn inside_at(&self, across: f64) -> Vec<Stretch> {
        let mut crossings: Vec<f64> = Vec::new();
        let Some(mut a) = self.points.last() else { return Vec::new() };
        for b in &self.points {
            if (a.y <= across) != (b.y <= across) {
                crossings.push(a.x + (b.x - a.x) * (across - a.y) / (b.y - a.y));
            }
            a = b;
        }
        crossings.sort_unstable_by(f64::total_cmp);
        crossings.as_chunks::<2>().0.iter().map(|&[from, to]| Stretch { from, to }).collect()
    }

    /// What of these stretches keeps this room to either side too.
    fn clear(&self, middle: Vec<Stretch>, across: f64, beside: f64) -> Vec<Stretch> {
        if beside == 0.0 {
            return middle;
        }
        let common = |a: &[Stretch], b: &[Stretch]| -> Vec<Stretch> {
            a.iter()
                .flat_map(|x| b.iter().map(|y| Stretch { from: x.from.max(y.from), to: x.to.min(y.to) }))
                .filter(|s| s.length() > 0.0)
                .collect()
        };
        common(&common(&middle, &self.inside_at(across - beside)), &self.inside_at(across + beside))
    }

    /// The stretch that is worth most, with its place across the grain, of those at `first` and at places all across the piece.
    /// A part of a stretch is never worth more than the whole of it.
    fn best(&self, beside: f64, first: f64, worth: impl Fn(f64, Stretch) -> f64) -> Option<(f64, Stretch)> {
        let ends = |f: fn(f64, f64) -> f64, from: f64| self.points.iter().map(|p| p.y).fold(from, f);
        let (low, high) = (ends(f64::min, f64::INFINITY), ends(f64::max, f64::NEG_INFINITY));
        let across = (1..PLACES).map(|i| low + (high - low) * f64::from(i) / f64::from(PLACES));
        let mut best: Option<(f64, Stretch)> = None;
        for y in [first].into_iter().chain(across) {
            let least = best.map_or(f64::NEG_INFINITY, |(y, s)| worth(y, s));
            let middle = self.inside_at(y);
            if middle.iter().all(|s| worth(y, *s) <= least) {
                continue;
            }
            for s in self.clear(middle, y, beside) {
                if best.is_none_or(|(z, t)| worth(y, s) > worth(z, t)) {
                    best = Some((y, s));
                }
            }
        }
        best
    }
}

/// Whether a grain line lies inside the outline all along.
///
/// By straight lines that follow the outline: kurbo 0.13's `winding` misses points under the extremum of a cubic that is
/// its own mirror image.
pub fn lies_on(outline: &BezPath, line: Line) -> bool {
    Along::new(outline, line.p1 - line.p0).is_some_and(|along| {
        let ((from, across), (to, _)) = (along.seen(line.p0), along.seen(line.p1));
        along.inside_at(across).iter().any(|s| s.from <= from && to <= s.to)
    })
}

/// The grain line that was asked for, where it lies inside the outline; else one of the same direction that does, as
/// near and as long as can be. One that fits nowhere stays as it was asked.
pub fn inside(outline: &BezPath, asked: Line) -> Line {
    let Some(along) = Along::new(outline, asked.p1 - asked.p0) else { return asked };
    let ((from, across), (to, _)) = (along.seen(asked.p0), along.seen(asked.p1));
    if along.inside_at(across).iter().any(|s| s.from <= from && to <= s.to) {
        return asked;
    }
    // A long run is worth going aside for, up to twice the length that it gains.
    let worth = |y: f64, s: Stretch| s.length().min(to - from) - 0.5 * (y - across).abs();
    for beside in BESIDE_MM {
        if let Some((y, run)) = along.best(beside, across, worth) {
            let half = 0.5 * (run.length() * (1.0 - 2.0 * FREE_END)).min(to - from);
            let free = FREE_END * run.length() + half;
            let middle = (0.5 * (from + to)).clamp(run.from + free, (run.to - free).max(run.from + free));
            return along.line(y, middle - half, middle + half);
        }
    }
    asked
}

/// The longest grain line in this direction that the outline has room for, of those about as long the one nearest the
/// middle; `None` where it has none.
pub fn longest(outline: &BezPath, direction: Vec2) -> Option<Line> {
    let along = Along::new(outline, direction)?;
    let (low, high) = along.points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p.y), b.max(p.y)));
    let middle = 0.5 * (low + high);
    let worth = |y: f64, s: Stretch| s.length() * (1.0 - 0.2 * (y - middle).abs() / (high - low).max(LEAST_MM));
    BESIDE_MM.into_iter().find_map(|beside| {
        let (y, run) = along.best(beside, middle, worth)?;
        let free = FREE_END * run.length();
        Some(along.line(y, run.from + free, run.to - free))
    })
}

#[cfg(test)]
mod tests {
    use kurbo::{ParamCurve, Shape};

    use super::*;

    fn path(points: &[(f64, f64)]) -> BezPath {
        let mut out = BezPath::new();
        out.move_to(points[0]);
        points[1..].iter().for_each(|p| out.line_to(*p));
        out.close_path();
        out
    }

    fn is_inside(outline: &BezPath, line: Line) -> bool {
        (0..=20).all(|i| outline.winding(line.eval(f64::from(i) / 20.0)) != 0)
    }

    /// A strip bent like an L: the middle of its box is off it.
    fn bent() -> BezPath {
        path(&[(0.0, 0.0), (40.0, 0.0), (40.0, 260.0), (200.0, 260.0), (200.0, 300.0), (0.0, 300.0)])
    }

    #[test]
    fn a_line_on_the_piece_stays_where_it_is() {
        let asked = Line::new((20.0, 250.0), (20.0, 50.0));
        assert_eq!(inside(&bent(), asked), asked);
    }

    #[test]
    fn a_line_off_the_piece_is_laid_on_it_in_the_same_direction() {
        for asked in
            [Line::new((100.0, 250.0), (100.0, 50.0)), Line::new((20.0, 290.0), (20.0, -60.0)), Line::new((500.0, 9.0), (500.0, 4.0))]
        {
            let found = inside(&bent(), asked);
            assert!(is_inside(&bent(), found), "{found:?}");
            let (u, v) = ((asked.p1 - asked.p0).normalize(), (found.p1 - found.p0).normalize());
            assert!((u - v).hypot() < 1e-9, "{u:?} {v:?}");
        }
        // The one that ran off at an end alone is moved along, and keeps its place across.
        let found = inside(&bent(), Line::new((20.0, 290.0), (20.0, -60.0)));
        assert!((found.p0.x - 20.0).abs() < 1e-9 && found.length() > 200.0, "{found:?}");
    }

    #[test]
    fn the_longest_run_of_a_slanting_strip_lies_inside() {
        let strip = path(&[(0.0, 0.0), (30.0, 0.0), (130.0, 400.0), (100.0, 400.0)]);
        let found = longest(&strip, Vec2::new(0.0, -1.0)).unwrap_or(Line::new((0.0, 0.0), (0.0, 0.0)));
        // 30 mm across and 4 down for 1 across: 120 mm upright, less the free ends and the room beside.
        assert!(is_inside(&strip, found) && found.length() > 50.0 && found.p1.y < found.p0.y, "{found:?}");
        assert_eq!(longest(&BezPath::new(), Vec2::new(0.0, -1.0)), None);
        assert_eq!(longest(&strip, Vec2::ZERO), None);
    }
}
