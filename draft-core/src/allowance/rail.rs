//! The line parallel to a run of the seam line, at the distance of its allowance.

use kurbo::{Affine, BezPath, CubicBez, Line, ParamCurve, ParamCurveDeriv, PathEl, PathSeg, Point, Vec2, offset};

use crate::ACCURACY_MM;
use crate::geometry::tangent;

/// Segments and handles shorter than this, in millimetres, have no direction of their own.
const POINT_MM: f64 = 1e-6;

/// Further than any line that is looked for, millimetres.
const FAR_MM: f64 = 1e5;

/// A smooth run of lines and cubics, with straight extensions along its end tangents.
///
/// A place on it is one number: the index of a segment and the fraction of its parameter, `2.5` being the middle of
/// the third; below nought and past the number of segments it counts millimetres along the extensions.
#[derive(Clone, Debug)]
pub struct Rail {
    segments: Vec<PathSeg>,
    /// Unit directions in which the run sets out and arrives.
    ends: [Vec2; 2],
    /// How much of it runs backward, where the allowance is wider than a hollow is round; millimetres.
    pub backward_mm: f64,
}

/// A segment as a line or a proper cubic; `None` when it is a point.
pub fn proper(seg: PathSeg) -> Option<PathSeg> {
    let (p0, p3) = (seg.start(), seg.end());
    let chord = p3 - p0;
    let straight = || (chord.hypot() > POINT_MM).then(|| PathSeg::Line(Line::new(p0, p3)));
    if matches!(seg, PathSeg::Line(_)) {
        return straight();
    }
    let c = seg.to_cubic();
    // kurbo's offset gives no usable curve where all four points are on one line.
    let spread = [c.p1 - p0, c.p2 - p0];
    let reach = spread.iter().map(|v| v.hypot()).fold(chord.hypot(), f64::max);
    if reach <= POINT_MM {
        return None;
    }
    let flat = if chord.hypot() > POINT_MM {
        spread.iter().all(|v| v.cross(chord).abs() <= POINT_MM * chord.hypot())
    } else {
        spread[0].cross(spread[1]).abs() <= POINT_MM * reach
    };
    if flat { straight() } else { Some(PathSeg::Cubic(c)) }
}

/// How much of the parallel line runs backward, millimetres: it does where the radius of a hollow is less than the
/// distance.
fn backward_mm(c: &CubicBez, distance: f64) -> f64 {
    let first = c.deriv();
    let second = first.deriv();
    let sum: f64 = (0..=16)
        .map(|i| {
            let t = f64::from(i) / 16.0;
            let (d1, d2) = (first.eval(t).to_vec2(), second.eval(t).to_vec2());
            let h = d1.hypot();
            // Millimetres for each unit of the parameter.
            if h < POINT_MM { 0.0 } else { (distance * d1.cross(d2) / (h * h) - h).max(0.0) }
        })
        .sum();
    sum / 16.0
}

fn unit(v: Vec2) -> Vec2 {
    let h = v.hypot();
    if h > 0.0 { v / h } else { Vec2::ZERO }
}

/// The parallel of a curve as short lines, where the fitted curve fails.
fn polygon_parallel(c: &CubicBez, distance: f64, path: &mut BezPath) {
    let seg = PathSeg::Cubic(*c);
    path.truncate(0);
    for i in 0..=32 {
        let t = f64::from(i) / 32.0;
        let p = c.eval(t) + distance * tangent(&seg, t).turn_90();
        if i == 0 {
            path.move_to(p);
        } else {
            path.line_to(p);
        }
    }
}

impl Rail {
    /// The parallel of `seam` at `distance` millimetres, counted along [`Vec2::turn_90`] of its direction. Every
    /// segment must be [`proper`]; `None` when there is none.
    pub fn parallel(seam: &[PathSeg], distance: f64) -> Option<Self> {
        let (first, last) = (seam.first()?, seam.last()?);
        let ends = [tangent(first, 0.0), tangent(last, 1.0)];
        if distance == 0.0 {
            return Some(Self { segments: seam.to_vec(), ends, backward_mm: 0.0 });
        }
        let mut segments: Vec<PathSeg> = Vec::with_capacity(seam.len() + 2);
        let mut backward = 0.0;
        let mut path = BezPath::new();
        for seg in seam {
            match seg {
                PathSeg::Line(l) => {
                    let by = distance * unit(l.p1 - l.p0).turn_90();
                    segments.push(PathSeg::Line(Line::new(l.p0 + by, l.p1 + by)));
                }
                _ => {
                    let c = seg.to_cubic();
                    backward += backward_mm(&c, distance);
                    offset::offset_cubic(c, distance, 0.5 * ACCURACY_MM, &mut path);
                    if !path.is_finite() || path.elements().len() < 2 {
                        polygon_parallel(&c, distance, &mut path);
                    }
                    segments.extend(path.segments().filter_map(proper));
                }
            }
        }
        // Nearly parallel tangents leave hairline gaps between segments: close them.
        for i in 1..segments.len() {
            let at = segments[i - 1].end();
            segments[i] = match segments[i] {
                PathSeg::Line(l) => PathSeg::Line(Line::new(at, l.p1)),
                PathSeg::Quad(q) => PathSeg::Quad(kurbo::QuadBez::new(at, q.p1, q.p2)),
                PathSeg::Cubic(c) => PathSeg::Cubic(CubicBez::new(at, c.p1, c.p2, c.p3)),
            };
        }
        (!segments.is_empty()).then_some(Self { segments, ends, backward_mm: backward })
    }

    /// Number of segments: the place of the end.
    pub fn len(&self) -> f64 {
        self.segments.len() as f64
    }

    /// First point.
    pub fn start(&self) -> Point {
        self.segments[0].start()
    }

    /// Last point.
    pub fn end(&self) -> Point {
        self.segments[self.segments.len() - 1].end()
    }

    fn split(&self, place: f64) -> (usize, f64) {
        let i = (place.max(0.0) as usize).min(self.segments.len() - 1);
        (i, (place - i as f64).clamp(0.0, 1.0))
    }

    /// The point at a place.
    pub fn point(&self, place: f64) -> Point {
        if place <= 0.0 {
            self.start() + place * self.ends[0]
        } else if place >= self.len() {
            self.end() + (place - self.len()) * self.ends[1]
        } else {
            let (i, t) = self.split(place);
            self.segments[i].eval(t)
        }
    }

    /// Unit direction in which it runs at a place.
    pub fn direction(&self, place: f64) -> Vec2 {
        if place <= 0.0 {
            self.ends[0]
        } else if place >= self.len() {
            self.ends[1]
        } else {
            let (i, t) = self.split(place);
            tangent(&self.segments[i], t)
        }
    }

    /// Calls `found` with each place where the rail or one of its extensions crosses a line.
    fn crossings(&self, through: Point, along: Vec2, mut found: impl FnMut(f64)) {
        let ray = |from: Point, dir: Vec2| {
            let across = dir.cross(along);
            (across.abs() > 1e-9).then(|| (through - from).cross(along) / across)
        };
        // A hair is allowed at each end, lest a line through a joint slip between two segments.
        if let Some(s) = ray(self.start(), -self.ends[0])
            && (-1e-9..FAR_MM).contains(&s)
        {
            found(-s.max(0.0));
        }
        let line = Line::new(through - FAR_MM * along, through + FAR_MM * along);
        for (i, seg) in self.segments.iter().enumerate() {
            match seg {
                PathSeg::Line(l) => {
                    if let Some(s) = ray(l.p0, l.p1 - l.p0)
                        && (-1e-9..=1.0 + 1e-9).contains(&s)
                    {
                        found(i as f64 + s.clamp(0.0, 1.0));
                    }
                }
                _ => {
                    for hit in seg.intersect_line(line) {
                        let mut t = hit.segment_t.clamp(0.0, 1.0);
                        // The cubic's closed form loses some digits: one step of Newton's method brings them back.
                        let slope = seg.to_cubic().deriv().eval(t).to_vec2().cross(along);
                        if slope.abs() > 1e-9 {
                            t = (t - (seg.eval(t) - through).cross(along) / slope).clamp(0.0, 1.0);
                        }
                        found(i as f64 + t);
                    }
                }
            }
        }
        if let Some(s) = ray(self.end(), self.ends[1])
            && (-1e-9..FAR_MM).contains(&s)
        {
            found(self.len() + s.max(0.0));
        }
    }

    /// The stretch between two places, `from` before `to`, as segments.
    pub fn stretch(&self, from: f64, to: f64, mut push: impl FnMut(PathSeg)) {
        let len = self.len();
        let line = |a: Point, b: Point| proper(PathSeg::Line(Line::new(a, b)));
        if from < 0.0
            && let Some(seg) = line(self.point(from), self.point(to.min(0.0)))
        {
            push(seg);
        }
        for (i, seg) in self.segments.iter().enumerate() {
            let (t0, t1) = ((from - i as f64).clamp(0.0, 1.0), (to - i as f64).clamp(0.0, 1.0));
            if t1 > t0 {
                push(if (t0, t1) == (0.0, 1.0) { *seg } else { seg.subsegment(t0..t1) });
            }
        }
        if to > len
            && let Some(seg) = line(self.point(from.max(len)), self.point(to))
        {
            push(seg);
        }
    }
}

/// A rail seen from the corner at one of its ends: places count away from the corner, and below nought beyond it.
#[derive(Clone, Copy, Debug)]
pub struct Arm<'a> {
    /// The rail.
    pub rail: &'a Rail,
    /// Whether the corner is at the rail's end.
    pub at_end: bool,
    /// Unit direction of the seam line at the corner, away from it.
    pub away: Vec2,
    /// Unit direction from the corner to the middle of the seam line's first segment: tells a point from a slit where
    /// both edges leave the corner in the same direction.
    pub ahead: Vec2,
    /// Unit direction out of the piece, square to the seam line.
    pub outward: Vec2,
    /// Distance between seam line and rail, millimetres.
    pub allowance: f64,
}

impl Arm<'_> {
    /// The rail's own place for a place of the arm.
    pub fn place(&self, u: f64) -> f64 {
        if self.at_end { self.rail.len() - u } else { u }
    }

    /// The point at a place of the arm.
    pub fn point(&self, u: f64) -> Point {
        self.rail.point(self.place(u))
    }

    /// The unit direction away from the corner at a place of the arm.
    fn direction(&self, u: f64) -> Vec2 {
        let d = self.rail.direction(self.place(u));
        if self.at_end { -d } else { d }
    }

    /// Where it crosses a line: of the places that `fits` accepts, the one nearest to the rail's end at the corner.
    pub fn crossing(&self, through: Point, along: Vec2, fits: impl Fn(f64, Point) -> bool) -> Option<f64> {
        let end = self.point(0.0);
        let mut best: Option<(f64, f64)> = None;
        self.rail.crossings(through, along, |place| {
            let u = self.place(place);
            let at = self.rail.point(place);
            let far = at.distance_squared(end);
            if best.is_none_or(|(_, d)| far < d) && fits(u, at) {
                best = Some((u, far));
            }
        });
        best.map(|(u, _)| u)
    }

    /// Where it meets `other` seen through `mirror`: the places on both. Each in turn is cut by the other's tangent,
    /// which is Newton's method for two curves.
    pub fn meeting(&self, other: &Arm<'_>, mirror: Affine, mut on_other: f64, fits: impl Fn(f64, f64) -> bool) -> Option<(f64, f64)> {
        let back = mirror.inverse();
        let turn = |map: Affine, v: Vec2| (map * v.to_point()) - (map * Point::ZERO);
        let mut on_self = f64::NAN;
        for _ in 0..12 {
            let through = mirror * other.point(on_other);
            let u = self.crossing(through, turn(mirror, other.direction(on_other)), |u, _| fits(u, on_other))?;
            let v = other.crossing(back * self.point(u), turn(back, self.direction(u)), |v, _| fits(u, v))?;
            let settled = self.point(u).distance(mirror * other.point(v)) < 1e-7;
            (on_self, on_other) = (u, v);
            if settled {
                return Some((on_self, on_other));
            }
        }
        (self.point(on_self).distance(mirror * other.point(on_other)) < 1e-4).then_some((on_self, on_other))
    }

    /// The stretch from `u` to `v`, seen through `map`, run from `u` to `v` away from the corner.
    pub fn walk(&self, u: f64, v: f64, map: Affine) -> Vec<PathSeg> {
        let (u, v) = (u.min(v), u.max(v));
        let (mut from, mut to) = (self.place(u), self.place(v));
        if self.at_end {
            std::mem::swap(&mut from, &mut to);
        }
        let mut out = Vec::new();
        self.rail.stretch(from, to, |seg| out.push(map * seg));
        if self.at_end {
            backward(&mut out);
        }
        out
    }
}

/// Turns a run of segments round.
pub fn backward(run: &mut Vec<PathSeg>) {
    run.reverse();
    for seg in run {
        *seg = seg.reverse();
    }
}

/// A path in the making, from segments that follow one another; straight stretches in one line become one.
#[derive(Debug, Default)]
pub struct Tracer {
    path: BezPath,
    /// Where it has come to, and where the straight line before it began, if it came along one.
    at: Option<(Point, Option<Point>)>,
}

/// Whether `b` lies on the way from `a` to `c`.
fn on_the_way(a: Point, b: Point, c: Point) -> bool {
    let (one, two) = (b - a, c - b);
    one.dot(two) > 0.0 && one.cross(two).abs() <= 1e-9 * one.hypot() * two.hypot()
}

impl Tracer {
    /// Goes straight to a point.
    pub fn to(&mut self, p: Point) {
        let from = match self.at {
            None => {
                self.path.move_to(p);
                self.at = Some((p, None));
                return;
            }
            Some((at, _)) if at.distance(p) <= POINT_MM => return,
            Some((at, Some(before))) if on_the_way(before, at, p) => {
                self.path.pop();
                before
            }
            Some((at, _)) => at,
        };
        self.path.line_to(p);
        self.at = Some((p, Some(from)));
    }

    /// Goes along a segment, first to its start if that is elsewhere.
    pub fn along(&mut self, seg: PathSeg) {
        self.to(seg.start());
        match seg {
            PathSeg::Line(l) => self.to(l.p1),
            _ => {
                self.path.push(seg.as_path_el());
                self.at = Some((seg.end(), None));
            }
        }
    }

    /// The path as it is.
    pub fn open(self) -> BezPath {
        self.path
    }

    /// The closed path.
    pub fn close(mut self) -> BezPath {
        let Some(PathEl::MoveTo(first)) = self.path.elements().first().copied() else { return self.path };
        // The last point is the first: a line to it goes without saying, a curve ends there exactly.
        match self.path.elements_mut().last_mut() {
            Some(PathEl::LineTo(last)) if first.distance(*last) <= POINT_MM => {
                self.path.pop();
            }
            Some(PathEl::CurveTo(_, _, last)) if first.distance(*last) <= POINT_MM => *last = first,
            _ => {}
        }
        // Where the path began in the middle of a straight line, it begins at that line's start instead.
        if let [_, PathEl::LineTo(second), .., before_last, PathEl::LineTo(last)] = *self.path.elements() {
            let came_from = before_last.end_point().unwrap_or(last);
            if on_the_way(last, first, second) {
                self.path.pop();
                crate::geometry::set_start(&mut self.path, last);
            } else if on_the_way(came_from, last, first) {
                self.path.pop();
            }
        }
        self.path.close_path();
        self.path
    }
}
