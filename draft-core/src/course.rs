//! A curve followed by arc length and direction, so that it can be smoothed, shortened and paralleled as a drafter
//! does with tape measure and chalk.

use kurbo::{BezPath, ParamCurve, ParamCurveDeriv, Point, Vec2};

use crate::geometry::start;

/// How far apart the stations stand, millimetres; the trapezoid rule between them is good to a thousandth of one.
const STEP_MM: f64 = 2.0;
/// Two directions that differ by more than this, in radians, are a corner.
const CORNER_RAD: f64 = 0.01;

#[derive(Clone, Copy, Debug)]
struct Station {
    at: Point,
    /// Arc length from the start.
    s: f64,
    /// Direction of travel in radians, clockwise as seen, running on past π.
    angle: f64,
    /// Has to stand in the finished path.
    kept: bool,
}

fn unit(angle: f64) -> Vec2 {
    Vec2::from_angle(angle)
}

/// What a parallel does at an end of the curve, where a line leaves the curve's end in a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Finish {
    /// It is cut off at the line, or goes on straight up to it.
    Cut(Vec2),
    /// It ends on the line at this distance from the curve's end, square to the line.
    Square(Vec2, f64),
}

/// A curve as stations; a corner is two stations at one place.
#[derive(Clone, Debug)]
pub struct Course {
    stations: Vec<Station>,
}

impl Course {
    /// Follows an open path. `None` when it has no length.
    pub fn of(path: &BezPath) -> Option<Self> {
        // Three-point Gauss–Legendre rule on [0, 1].
        const GAUSS: [(f64, f64); 3] = [(0.112_701_665_379_258_3, 5.0 / 18.0), (0.5, 8.0 / 18.0), (0.887_298_334_620_741_7, 5.0 / 18.0)];
        let mut stations: Vec<Station> = Vec::new();
        let mut s = 0.0;
        for seg in path.segments() {
            let cubic = seg.to_cubic();
            let d = cubic.deriv();
            let rough = (cubic.p1 - cubic.p0).hypot() + (cubic.p2 - cubic.p1).hypot() + (cubic.p3 - cubic.p2).hypot();
            if rough < 1e-9 {
                continue;
            }
            let n = (rough / STEP_MM).ceil().clamp(1.0, 4000.0) as usize;
            for i in 0..=n {
                let t = i as f64 / n as f64;
                if i > 0 {
                    let width = 1.0 / n as f64;
                    s += GAUSS.iter().map(|(x, w)| w * width * d.eval(t - width + x * width).to_vec2().hypot()).sum::<f64>();
                }
                let mut angle = crate::geometry::tangent(&seg, t).atan2();
                if let Some(last) = stations.last() {
                    angle += ((last.angle - angle) / std::f64::consts::TAU).round() * std::f64::consts::TAU;
                    if i == 0 && (angle - last.angle).abs() < CORNER_RAD {
                        continue;
                    }
                }
                let kept = i == 0 && !stations.is_empty();
                if kept && let Some(last) = stations.last_mut() {
                    last.kept = true;
                }
                stations.push(Station { at: cubic.eval(t), s, angle, kept });
            }
        }
        (stations.len() > 1 && s > 0.0).then_some(Self { stations })
    }

    /// Length, millimetres.
    pub fn length(&self) -> f64 {
        self.stations.last().map_or(0.0, |p| p.s)
    }

    /// Radians by which it turns from start to end, clockwise as seen.
    #[cfg(test)]
    pub fn turning(&self) -> f64 {
        self.stations.last().map_or(0.0, |p| p.angle) - self.stations.first().map_or(0.0, |p| p.angle)
    }

    /// First and last point.
    pub fn ends(&self) -> (Point, Point) {
        let at = |p: Option<&Station>| p.map_or(Point::ZERO, |p| p.at);
        (at(self.stations.first()), at(self.stations.last()))
    }

    /// This curve and then another one that starts where it ends; the angle between them stays.
    #[must_use]
    pub fn joined(mut self, next: Self) -> Self {
        let (length, angle) = self.stations.last().map_or((0.0, 0.0), |p| (p.s, p.angle));
        let first = next.stations.first().map_or(0.0, |p| p.angle);
        let wound = ((angle - first) / std::f64::consts::TAU).round() * std::f64::consts::TAU;
        self.stations.extend(next.stations.into_iter().map(|p| Station { s: p.s + length, angle: p.angle + wound, ..p }));
        self
    }

    /// The corner at `at_mm` from the start spread evenly over `reach_mm` to both sides. Length, start and the
    /// directions beyond the reach stay; what follows shifts a little.
    #[must_use]
    pub fn smoothed(mut self, at_mm: f64, reach_mm: f64) -> Self {
        let Some(i) = self.stations.windows(2).position(|w| (w[0].s - at_mm).abs() < 1e-6 && (w[1].s - w[0].s) < 1e-9) else {
            return self;
        };
        let jump = self.stations[i + 1].angle - self.stations[i].angle;
        let (before, after) = (reach_mm.min(at_mm), reach_mm.min(self.length() - at_mm));
        let was: Vec<f64> = self.stations.iter().map(|p| p.angle).collect();
        for (k, p) in self.stations.iter_mut().enumerate() {
            // Parabolas on both sides make the curvature run on through the middle.
            if k <= i {
                let x = (1.0 - (at_mm - p.s) / before).max(0.0);
                p.angle += jump / 2.0 * x * x;
            } else {
                let x = (1.0 - (p.s - at_mm) / after).max(0.0);
                p.angle -= jump / 2.0 * x * x;
            }
        }
        let mut shift = Vec2::ZERO;
        for k in 1..self.stations.len() {
            let ds = self.stations[k].s - self.stations[k - 1].s;
            let off = |j: usize| unit(self.stations[j].angle) - unit(was[j]);
            shift += (off(k - 1) + off(k)) * (ds / 2.0);
            self.stations[k].at += shift;
        }
        self.stations.remove(i + 1);
        self
    }

    /// The same shape, a little larger or smaller about its start.
    #[must_use]
    pub fn scaled(mut self, by: f64) -> Self {
        let origin = self.ends().0;
        for p in &mut self.stations {
            p.at = origin + (p.at - origin) * by;
            p.s *= by;
        }
        self
    }

    /// As a path of lines and cubics.
    pub fn path(&self) -> BezPath {
        path(&self.stations)
    }

    /// The curve `by_mm` to the right of this one, with its ends finished. `None` when nothing is left of it.
    pub fn parallel(&self, by_mm: f64, at_start: Finish, at_end: Finish) -> Option<BezPath> {
        self.alongside(by_mm, by_mm, at_start, at_end)
    }

    /// A curve to the right of this one, `from_mm` away at its start and `to_mm` at its end.
    pub fn alongside(&self, from_mm: f64, to_mm: f64, at_start: Finish, at_end: Finish) -> Option<BezPath> {
        let by_mm = from_mm.max(to_mm);
        let whole = self.length();
        // Changes gently, and not at all at the ends.
        let wide = |s: f64| {
            let x = (s / whole).clamp(0.0, 1.0);
            from_mm + (to_mm - from_mm) * x * x * (3.0 - 2.0 * x)
        };
        let widens = |s: f64| {
            let x = (s / whole).clamp(0.0, 1.0);
            (to_mm - from_mm) * 6.0 * x * (1.0 - x) / whole
        };
        let mut out: Vec<Station> = Vec::with_capacity(self.stations.len() + 8);
        let mut folds = false;
        let beside = |at: Point, angle: f64, s: f64| at + unit(angle + std::f64::consts::FRAC_PI_2) * wide(s);
        for (i, p) in self.stations.iter().enumerate() {
            if let Some(q) = i.checked_sub(1).and_then(|j| self.stations.get(j)) {
                let turn = p.angle - q.angle;
                if p.s - q.s < 1e-9 && turn < -CORNER_RAD {
                    // Round an outer corner.
                    let n = (-turn / 0.1).ceil() as usize;
                    let fan = (1..n).map(|k| q.angle + turn * k as f64 / n as f64);
                    out.extend(fan.map(|angle| Station { at: beside(q.at, angle, q.s), s: q.s, angle, kept: true }));
                } else if turn * by_mm > p.s - q.s {
                    folds = true;
                }
            }
            let mut angle = p.angle;
            if from_mm != to_mm {
                // The curvature between the neighbours, where no corner lies there.
                let (a, b) = (self.stations[i.saturating_sub(1)], self.stations[(i + 1).min(self.stations.len() - 1)]);
                let bend = if b.s - a.s > 1e-6 { (b.angle - a.angle) / (b.s - a.s) } else { 0.0 };
                angle += widens(p.s).atan2((1.0 - bend * wide(p.s)).max(0.1));
            }
            out.push(Station { at: beside(p.at, p.angle, p.s), angle, ..*p });
        }
        if folds {
            out = without_loops(out);
        }
        let (first, last) = self.ends();
        finish(&mut out, first, at_start, from_mm);
        reverse(&mut out);
        finish(&mut out, last, at_end, to_mm);
        reverse(&mut out);
        (out.len() > 1).then(|| path(&out))
    }
}

fn reverse(stations: &mut [Station]) {
    stations.reverse();
    for p in stations {
        p.angle += std::f64::consts::PI;
    }
}

/// Where the line from `p` toward `q` meets the one through `a` in direction `u`: how far along each, in their lengths.
fn meet(p: Point, q: Vec2, a: Point, u: Vec2) -> Option<(f64, f64)> {
    let det = q.cross(u);
    (det.abs() > 1e-9 * q.hypot() * u.hypot()).then(|| ((a - p).cross(u) / det, (a - p).cross(q) / det))
}

/// Finishes the start of a parallel on the line that leaves the curve's own start.
fn finish(out: &mut Vec<Station>, from: Point, how: Finish, by_mm: f64) {
    let Some(&first) = out.first() else { return };
    match how {
        Finish::Cut(along) => {
            if first.at.distance(from + along.normalize() * by_mm) < 1e-4 {
                return;
            }
            let within = |t: f64| t > 1e-9 && t * along.hypot() < 4.0 * by_mm;
            for i in 0..out.len() - 1 {
                let (p, q) = (out[i], out[i + 1]);
                if let Some((t, along_line)) = meet(p.at, q.at - p.at, from, along)
                    && (0.0..=1.0).contains(&t)
                    && within(along_line)
                {
                    let at = p.at.lerp(q.at, t);
                    out.drain(..=i);
                    out.insert(0, Station { at, s: 0.0, angle: p.angle + (q.angle - p.angle) * t, kept: true });
                    return;
                }
            }
            if let Some((t, along_line)) = meet(first.at, unit(first.angle), from, along)
                && t < 0.0
                && within(along_line)
            {
                out[0].kept = true;
                out.insert(0, Station { at: first.at + unit(first.angle) * t, ..first });
                return;
            }
            finish(out, from, Finish::Square(along, by_mm), by_mm);
        }
        Finish::Square(along, length) => {
            let u = along.normalize();
            let end = from + u * length;
            let mut square = Vec2::new(u.y, -u.x);
            if square.dot(unit(first.angle)) < 0.0 {
                square = -square;
            }
            let turn = square.cross(unit(first.angle)).atan2(square.dot(unit(first.angle)));
            if first.at.distance(end) < 1e-4 && turn.abs() < 1e-3 {
                return;
            }
            let span = out.last().map_or(0.0, |p| (p.at - from).dot(square));
            let clear = (0.4 * by_mm.abs()).min(0.2 * span.abs()).max(2.0);
            let keep = out.iter().position(|p| (p.at - from).dot(square) > clear).unwrap_or(out.len() - 1);
            out.drain(..keep);
            let to = out.first().map_or(first.angle, |p| p.angle);
            if let Some(p) = out.first_mut() {
                p.kept = true;
            }
            let angle = square.atan2();
            let angle = angle + ((to - angle) / std::f64::consts::TAU).round() * std::f64::consts::TAU;
            out.insert(0, Station { at: end, s: 0.0, angle, kept: true });
        }
    }
}

/// Cuts out each loop where the line crosses itself.
fn without_loops(stations: Vec<Station>) -> Vec<Station> {
    /// Touching ends, where a loop was cut, are no crossing.
    const INSIDE: std::ops::Range<f64> = 1e-7..1.0 - 1e-7;
    let mut out = stations;
    // One pass forward: what lies before `i` crosses nothing any more.
    let mut i = 0;
    while i + 3 < out.len() {
        let (p, q) = (out[i], out[i + 1]);
        let crossed = (i + 2..out.len() - 1).rev().find_map(|j| {
            let (r, s) = (out[j], out[j + 1]);
            let (t, u) = meet(p.at, q.at - p.at, r.at, s.at - r.at)?;
            (INSIDE.contains(&t) && INSIDE.contains(&u)).then(|| (j, p.at.lerp(q.at, t)))
        });
        if let Some((j, at)) = crossed {
            let far = out[j];
            let corner = [Station { at, kept: true, ..p }, Station { at, kept: true, ..far }];
            out.splice(i + 1..=j, corner);
        }
        i += 1;
    }
    out
}

/// Lines and cubics through as few stations as keep to the curve.
fn path(stations: &[Station]) -> BezPath {
    let mut out = BezPath::new();
    let Some(first) = stations.first() else { return out };
    out.move_to(first.at);
    let mut from = *first;
    for (i, p) in stations.iter().enumerate().skip(1) {
        if p.at.distance(from.at) < 1e-7 {
            // The far side of a corner.
            from = Station { at: from.at, ..*p };
            continue;
        }
        let far = stations
            .get(i + 1)
            .is_none_or(|n| (n.angle - from.angle).abs() > 0.12 || n.at.distance(from.at) > 30.0 || n.at.distance(p.at) < 1e-7);
        if far || p.kept {
            step(&mut out, from, *p);
            from = *p;
        }
    }
    out
}

/// One line or cubic, as an arc of a circle would be drawn where the ends' directions allow it.
fn step(out: &mut BezPath, from: Station, to: Station) {
    let chord = to.at - from.at;
    let turn = to.angle - from.angle;
    let bends = unit(from.angle).cross(chord).abs() + unit(to.angle).cross(chord).abs();
    if bends < 1e-6 {
        out.line_to(to.at);
        return;
    }
    let third = if turn.abs() < 1e-6 { 1.0 / 3.0 } else { (2.0 / 3.0) * (turn / 4.0).tan() / (turn / 2.0).sin() };
    let handle = chord.hypot() * third.clamp(0.2, 1.0);
    out.curve_to(from.at + unit(from.angle) * handle, to.at - unit(to.angle) * handle, to.at);
}

/// A path cut in two at a distance from its start. Either part may come out empty.
pub fn cut_at(path: &BezPath, from_start_mm: f64) -> (BezPath, BezPath) {
    use kurbo::ParamCurveArclen;
    let (mut first, mut second) = (BezPath::new(), BezPath::new());
    let mut left = from_start_mm;
    let push = |path: &mut BezPath, seg: kurbo::PathSeg| {
        if path.elements().is_empty() {
            path.move_to(seg.start());
        }
        path.push(seg.as_path_el());
    };
    for seg in path.segments() {
        let length = crate::geometry::segment_length(&seg);
        if left <= 1e-9 {
            push(&mut second, seg);
        } else if left >= length - 1e-9 {
            push(&mut first, seg);
        } else {
            let t = seg.inv_arclen(left, 1e-7);
            push(&mut first, seg.subsegment(0.0..t));
            push(&mut second, seg.subsegment(t..1.0));
        }
        left -= length;
    }
    if let (Some(joint), Some(_)) = (crate::geometry::end(&first), start(&second)) {
        crate::geometry::set_start(&mut second, joint);
    }
    (first, second)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::geometry::{end, length, line_path};
    use kurbo::{Arc, Shape};

    fn arc(radius: f64, from: f64, sweep: f64) -> BezPath {
        Arc::new(Point::ZERO, Vec2::new(radius, radius), from, sweep, 0.0).to_path(1e-9)
    }

    /// A parallel of a curve that turns by φ is longer by φ times its distance: Steiner's formula for parallel curves.
    #[test]
    fn a_parallel_gains_its_distance_times_the_turning() {
        for sweep in [-0.3f64, -1.2, -2.6] {
            let course = Course::of(&arc(70.0, 0.4, sweep)).unwrap();
            assert!((course.length() - 70.0 * -sweep).abs() < 1e-6);
            assert!((course.turning() - sweep).abs() < 1e-9);
            let (a, b) = course.ends();
            let outer = course.parallel(55.0, Finish::Cut(a.to_vec2()), Finish::Cut(b.to_vec2())).unwrap();
            assert!((length(&outer) - 125.0 * -sweep).abs() < 1e-3, "{}", length(&outer));
        }
    }

    #[test]
    fn smoothing_keeps_length_and_directions() {
        let mut corner = line_path(Point::ZERO, Point::new(100.0, 0.0));
        corner.line_to((180.0, -30.0));
        let (first, second) = cut_at(&corner, 100.0);
        let course = Course::of(&first).unwrap().joined(Course::of(&second).unwrap());
        let (long, turns) = (course.length(), course.turning());
        let smooth = course.smoothed(100.0, 30.0);
        assert!((smooth.turning() - turns).abs() < 1e-12);
        let path = smooth.path();
        assert!((length(&path) - long).abs() < 2e-3, "{} and {long}", length(&path));
        let steepest = path.segments().map(|s| crate::geometry::tangent(&s, 1.0).atan2().abs()).fold(0.0, f64::max);
        assert!((steepest - turns.abs()).abs() < 1e-9);
    }

    #[test]
    fn corners_are_rounded_outside_and_mitred_inside() {
        let mut v = line_path(Point::ZERO, Point::new(100.0, 0.0));
        v.line_to((100.0, -100.0));
        let outer = Course::of(&v).unwrap().parallel(20.0, Finish::Cut(Vec2::new(0.0, 1.0)), Finish::Cut(Vec2::new(1.0, 0.0))).unwrap();
        assert!((length(&outer) - (200.0 + 20.0 * std::f64::consts::FRAC_PI_2)).abs() < 1e-2, "{}", length(&outer));
        let mut w = line_path(Point::ZERO, Point::new(100.0, 0.0));
        w.line_to((100.0, 100.0));
        let inner = Course::of(&w).unwrap().parallel(20.0, Finish::Cut(Vec2::new(0.0, 1.0)), Finish::Cut(Vec2::new(-1.0, 0.0))).unwrap();
        assert!((length(&inner) - 160.0).abs() < 1e-6, "{inner:?}");
    }

    #[test]
    fn an_oblique_end_is_cut_or_squared() {
        let line = line_path(Point::ZERO, Point::new(100.0, 0.0));
        let slant = Vec2::new(1.0, 1.0);
        let course = Course::of(&line).unwrap();
        let cut = course.parallel(20.0, Finish::Cut(Vec2::new(0.0, 1.0)), Finish::Cut(slant)).unwrap();
        assert!((length(&cut) - 120.0).abs() < 1e-6, "{cut:?}");
        let back = course.parallel(20.0, Finish::Cut(slant), Finish::Cut(slant)).unwrap();
        assert!((length(&back) - 100.0).abs() < 1e-6, "{back:?}");
        let squared = course.parallel(20.0, Finish::Cut(Vec2::new(0.0, 1.0)), Finish::Square(slant, 20.0)).unwrap();
        let half = 20.0 / 2f64.sqrt();
        assert!(end(&squared).unwrap().distance(Point::new(100.0 + half, half)) < 1e-9);
        let arrives = crate::geometry::end_tangent(&squared);
        assert!(arrives.dot(slant).abs() < 1e-9 && arrives.x > 0.0, "{arrives:?}");
    }
}
