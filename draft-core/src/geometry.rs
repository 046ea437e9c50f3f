//! The little geometry that kurbo leaves to its users: lengths of cubics for solving, joining, turning.

use kurbo::{Affine, BezPath, CubicBez, ParamCurve, ParamCurveArclen, ParamCurveDeriv, PathEl, PathSeg, Point, Vec2};

/// Accuracy in millimetres to which arc lengths are reported; far inside the tolerance of any seam.
pub const ARCLEN_ACCURACY: f64 = 1e-6;

/// Length of an open path, millimetres.
pub fn length(path: &BezPath) -> f64 {
    path.segments().map(|s| segment_length(&s)).sum()
}

/// Length of one segment, millimetres.
pub fn segment_length(seg: &PathSeg) -> f64 {
    seg.arclen(ARCLEN_ACCURACY)
}

/// Arc length of a cubic by two panels of 12-point Gauss–Legendre quadrature: quick enough to solve with, and good
/// to well under a thousandth of a millimetre on the gentle curves of a draft.
pub fn cubic_length(c: &CubicBez) -> f64 {
    // Abscissae and weights on [0, 1] of the 12-point rule, the first half; Abramowitz & Stegun, table 25.4.
    const HALF: [(f64, f64); 6] = [
        (0.125_233_408_511_468_9, 0.249_147_045_813_402_77),
        (0.367_831_498_998_180_2, 0.233_492_536_538_354_8),
        (0.587_317_954_286_617_5, 0.203_167_426_723_065_9),
        (0.769_902_674_194_304_7, 0.160_078_328_543_346_22),
        (0.904_117_256_370_474_8, 0.106_939_325_995_318_43),
        (0.981_560_634_246_719_3, 0.047_175_336_386_511_83),
    ];
    let [_, first, second, third] = powers(c);
    let speed = |t: f64| (first + t * (2.0 * second + (3.0 * t) * third)).hypot2().sqrt();
    let mut sum = 0.0;
    for panel in [0.25, 0.75] {
        for (x, w) in HALF {
            sum += w * (speed(panel - 0.25 * x) + speed(panel + 0.25 * x));
        }
    }
    sum * 0.25
}

/// A cubic's coefficients by powers of its parameter, from the start.
fn powers(c: &CubicBez) -> [Vec2; 4] {
    let [a, b, c, d] = [c.p0, c.p1, c.p2, c.p3].map(Point::to_vec2);
    [a, 3.0 * (b - a), 3.0 * (a - 2.0 * b + c), d - a + 3.0 * (b - c)]
}

/// The root of `f` between `a` and `b`, to 1e-10; `None` when both ends have the same sign or `f` is not a number.
///
/// Bracketing all the way (kurbo's ITP method), so it always ends, and ends inside.
pub fn root(a: f64, b: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (fa, fb) = (f(a), f(b));
    if fa == 0.0 {
        return Some(a);
    }
    if fb == 0.0 {
        return Some(b);
    }
    if fa.is_nan() || fb.is_nan() || fa.signum() == fb.signum() || a >= b {
        return None;
    }
    let sign = if fa < 0.0 { 1.0 } else { -1.0 };
    Some(kurbo::common::solve_itp(|x| sign * f(x), a, b, 1e-10, 1, 0.2 / (b - a), sign * fa, sign * fb))
}

/// A point turned about a centre by an angle in radians. With y down, a positive angle turns clockwise as seen.
pub fn turned(p: Point, about: Point, rad: f64) -> Point {
    Affine::rotate_about(rad, about) * p
}

/// Direction of a segment at `t`, of length one; falls back to the chord where the derivative vanishes.
pub fn tangent(seg: &PathSeg, t: f64) -> Vec2 {
    if let PathSeg::Line(line) = seg {
        let d = line.p1 - line.p0;
        return if d.hypot() > 0.0 { d.normalize() } else { Vec2::ZERO };
    }
    let cubic = seg.to_cubic();
    let mut d = cubic.deriv().eval(t).to_vec2();
    if d.hypot() < 1e-9 {
        d = if t < 0.5 { cubic.eval(t + 1e-3) - cubic.eval(t) } else { cubic.eval(t) - cubic.eval(t - 1e-3) };
    }
    let h = d.hypot();
    if h > 0.0 { d / h } else { Vec2::ZERO }
}

/// First point of a path.
pub fn start(path: &BezPath) -> Option<Point> {
    match path.elements().first()? {
        PathEl::MoveTo(p) => Some(*p),
        _ => None,
    }
}

/// Last point of an open path.
pub fn end(path: &BezPath) -> Option<Point> {
    path.elements().iter().rev().find_map(PathEl::end_point)
}

/// Direction in which an open path sets out.
pub fn start_tangent(path: &BezPath) -> Vec2 {
    path.segments().next().map_or(Vec2::ZERO, |s| tangent(&s, 0.0))
}

/// Direction in which an open path arrives.
pub fn end_tangent(path: &BezPath) -> Vec2 {
    path.segments().last().map_or(Vec2::ZERO, |s| tangent(&s, 1.0))
}

/// Moves the first point of a path.
pub fn set_start(path: &mut BezPath, to: Point) {
    if let Some(PathEl::MoveTo(p)) = path.elements_mut().first_mut() {
        *p = to;
    }
}

/// Moves the last point of a path.
pub fn set_end(path: &mut BezPath, to: Point) {
    if let Some(PathEl::LineTo(p) | PathEl::QuadTo(_, p) | PathEl::CurveTo(_, _, p)) = path.elements_mut().last_mut() {
        *p = to;
    }
}

/// Whether every coordinate is finite.
pub fn is_finite(path: &BezPath) -> bool {
    path.is_finite()
}

/// A straight path.
pub fn line_path(from: Point, to: Point) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(to);
    path
}

/// A path through cubics that follow one another.
pub fn cubic_path(cubics: &[CubicBez]) -> BezPath {
    let mut path = BezPath::new();
    if let Some(first) = cubics.first() {
        path.move_to(first.p0);
    }
    for c in cubics {
        path.curve_to(c.p1, c.p2, c.p3);
    }
    path
}

/// Whether a closed path holds a point.
///
/// The point is moved by a hair first: kurbo 0.13's `winding` misses points that lie exactly below the extremum of a cubic
/// that is its own mirror image, as the middle of a gore's hem does.
pub fn holds(outline: &BezPath, point: Point) -> bool {
    use kurbo::Shape;
    outline.winding(point + Vec2::new(1.7e-5, 1.3e-5)) != 0
}

/// The same path run the other way.
pub fn reversed(path: &BezPath) -> BezPath {
    path.reverse_subpaths()
}

/// A path as points no further than `tolerance_mm` from the curve, first and last point included.
pub fn flattened(path: &BezPath, tolerance_mm: f64) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::with_capacity(4 * path.elements().len());
    let mut push = |p: Point| {
        if out.last() != Some(&p) {
            out.push(p);
        }
    };
    let (mut first, mut last) = (Point::ZERO, Point::ZERO);
    for el in path.elements() {
        match *el {
            PathEl::MoveTo(p) => first = p,
            PathEl::LineTo(_) | PathEl::ClosePath => {}
            PathEl::QuadTo(p1, p2) => flatten_cubic(&kurbo::QuadBez::new(last, p1, p2).raise(), tolerance_mm, &mut push),
            PathEl::CurveTo(p1, p2, p3) => flatten_cubic(&CubicBez::new(last, p1, p2, p3), tolerance_mm, &mut push),
        }
        last = el.end_point().unwrap_or(first);
        if !matches!(el, PathEl::ClosePath) {
            push(last);
        }
    }
    out
}

/// Points along a cubic between its ends, at equal steps of its parameter. The number of steps that keeps every chord
/// within the tolerance is Wang's bound: the root of ¾ of the greatest second difference of the control points over the
/// tolerance (G.-Z. Wang, 1984; from memory). It takes more points than a search would, and no search.
fn flatten_cubic(c: &CubicBez, tolerance_mm: f64, push: &mut impl FnMut(Point)) {
    let second = |a: Point, b: Point, c: Point| (a.to_vec2() - 2.0 * b.to_vec2() + c.to_vec2()).hypot();
    let bend = second(c.p0, c.p1, c.p2).max(second(c.p1, c.p2, c.p3));
    let steps = (0.75 * bend / tolerance_mm).sqrt().ceil().min(MOST_STEPS);
    let [start, first, second, third] = powers(c);
    let mut i = 1.0;
    while i < steps {
        let t = i / steps;
        push((start + t * (first + t * (second + t * third))).to_point());
        i += 1.0;
    }
}

/// No curve is followed in more steps than this: one of these that bends by a kilometre is still within 0.2 mm.
const MOST_STEPS: f64 = 2048.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quadrature_agrees_with_kurbo() {
        let c = CubicBez::new((0.0, 0.0), (3.0, 110.0), (40.0, 140.0), (120.0, 141.0));
        assert!((cubic_length(&c) - c.arclen(1e-9)).abs() < 1e-6);
    }

    #[test]
    fn points_follow_a_curve_within_the_tolerance() {
        let c = CubicBez::new((0.0, 0.0), (3.0, 110.0), (40.0, 140.0), (320.0, 141.0));
        for tolerance in [0.002, 0.02, 0.2, 5.0] {
            let points = flattened(&cubic_path(&[c]), tolerance);
            assert_eq!((points.first(), points.last()), (Some(&c.p0), Some(&c.p3)));
            let worst = (0..=5000).map(|i| c.eval(f64::from(i) / 5000.0)).map(|p| {
                let to = |w: &[Point]| kurbo::ParamCurveNearest::nearest(&kurbo::Line::new(w[0], w[1]), p, 1e-9).distance_sq;
                points.windows(2).map(to).fold(f64::INFINITY, f64::min).sqrt()
            });
            let worst = worst.fold(0.0, f64::max);
            assert!(worst <= tolerance && worst > 0.1 * tolerance, "{worst} at {tolerance} with {} points", points.len());
        }
        let square = kurbo::Shape::to_path(&kurbo::Rect::new(0.0, 0.0, 2.0, 1.0), 0.1);
        assert_eq!(flattened(&square, 0.1).len(), 4);
    }

    #[test]
    fn the_root_is_found_or_refused() {
        assert!((root(0.0, 2.0, |x| x * x - 2.0).unwrap_or(0.0) - 2f64.sqrt()).abs() < 1e-10);
        assert_eq!(root(2.0, 3.0, |x| x * x - 2.0), None);
    }
}
