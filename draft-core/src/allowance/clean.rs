//! Cleaning a cut line whose allowances run into one another.

use std::collections::HashMap;

use i_overlay::core::fill_rule::FillRule;
use i_overlay::float::simplify::SimplifyShape;
use kurbo::{BezPath, ParamCurve, PathEl, PathSeg, Point, Shape, Vec2};

use crate::ACCURACY_MM;
use crate::geometry::{flattened, tangent};

/// Whether a closed path crosses itself, seen at twice the accuracy of a cut line.
///
/// A sweep along the longer side of its box; neighbours and mere touches do not count.
pub fn crosses_itself(path: &BezPath) -> bool {
    crosses_itself_at(path, 2.0 * ACCURACY_MM)
}

fn crosses_itself_at(path: &BezPath, tolerance_mm: f64) -> bool {
    // Joints of curves can come out as two points a rounding error apart.
    let same = |a: &Point, b: &Point| a.distance_squared(*b) < 1e-12;
    let mut points = flattened(path, tolerance_mm);
    points.dedup_by(|a, b| same(a, b));
    if let [first, .., last] = &points[..]
        && same(first, last)
    {
        points.pop();
    }
    polygon_crosses_itself(&points)
}

/// Whether a closed polygon crosses itself.
pub fn polygon_crosses_itself(points: &[Point]) -> bool {
    first_crossing(points).is_some()
}

/// Two sides of a closed polygon that cross, the earlier first; a side counts from the point that it begins with.
pub fn first_crossing(points: &[Point]) -> Option<(usize, usize)> {
    let count = points.len();
    if count < 4 {
        return None;
    }
    let bounds = points.iter().fold(kurbo::Rect::from_points(points[0], points[0]), |b, p| b.union_pt(*p));
    let tall = bounds.height() > bounds.width();
    let turned = |p: Point| if tall { Point::new(p.y, p.x) } else { p };
    struct Side {
        from: Point,
        to: Point,
        low: f64,
        high: f64,
    }
    let sides: Vec<Side> = (0..count)
        .map(|index| {
            let (from, to) = (turned(points[index]), turned(points[(index + 1) % count]));
            Side { from, to, low: from.x.min(to.x), high: from.x.max(to.x) }
        })
        .collect();
    // An outline runs to and fro only a few times: a sort that finds such runs has little to do.
    let mut order: Vec<(f64, usize)> = sides.iter().enumerate().map(|(index, side)| (side.low, index)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (i, &(_, of_a)) in order.iter().enumerate() {
        let a = &sides[of_a];
        let (top, bottom) = (a.from.y.min(a.to.y), a.from.y.max(a.to.y));
        for &(_, of_b) in order[i + 1..].iter().take_while(|(low, _)| *low <= a.high) {
            let b = &sides[of_b];
            let apart = of_a.abs_diff(of_b);
            if apart == 1 || apart == count - 1 || b.from.y.max(b.to.y) < top || b.from.y.min(b.to.y) > bottom {
                continue;
            }
            let parts = |p: &Side, q: &Side| {
                let along = p.to - p.from;
                along.cross(q.from - p.from) * along.cross(q.to - p.from) < 0.0
            };
            if parts(a, b) && parts(b, a) {
                return Some((of_a.min(of_b), of_a.max(of_b)));
            }
        }
    }
    None
}

/// Rows into which the ground inside a path is divided, so that a point is held only against the sides at its level.
const ROWS: usize = 64;
/// How near to a path a point counts as held: twice the accuracy of a cut line.
const HAIR_MM: f64 = 2.0 * ACCURACY_MM;

/// The ground inside a closed path, to ask of many points whether they lie on it.
pub struct Ground {
    low: f64,
    row_mm: f64,
    rows: Vec<Vec<(Point, Point)>>,
}

impl Ground {
    /// The ground inside a path that is followed by straight lines to within a quarter of the accuracy.
    pub fn inside(path: &BezPath) -> Self {
        let points = flattened(path, 0.25 * ACCURACY_MM);
        let (low, high) = points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p.y), b.max(p.y)));
        let row_mm = ((high - low) / ROWS as f64).max(HAIR_MM);
        let mut ground = Self { low, row_mm, rows: vec![Vec::new(); ROWS] };
        for (i, &a) in points.iter().enumerate() {
            let b = points[(i + 1) % points.len()];
            let (first, last) = (ground.row(a.y.min(b.y) - HAIR_MM), ground.row(a.y.max(b.y) + HAIR_MM));
            ground.rows[first..=last].iter_mut().for_each(|row| row.push((a, b)));
        }
        ground
    }

    fn row(&self, y: f64) -> usize {
        // Negative numbers become nought.
        (((y - self.low) / self.row_mm) as usize).min(ROWS - 1)
    }

    /// Whether it holds a point, or ends within a hair of it.
    pub fn holds(&self, at: Point) -> bool {
        let mut winding = 0;
        for (a, b) in &self.rows[self.row(at.y)] {
            let (along, to) = (*b - *a, at - *a);
            if (a.y <= at.y) != (b.y <= at.y) && (along.cross(to) > 0.0) == (b.y > a.y) {
                winding += if b.y > a.y { 1 } else { -1 };
            }
            let t = (to.dot(along) / along.hypot2().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
            if (to - t * along).hypot2() < HAIR_MM * HAIR_MM {
                return true;
            }
        }
        winding != 0
    }
}

/// The ground that an allowance covers beside one segment, as triangles: each strip that the distance sweeps over,
/// also where the parallel line turns back on itself. The distance counts along [`Vec2::turn_90`].
pub fn strips(seg: &PathSeg, distance: f64, out: &mut Vec<[Point; 3]>) {
    let steps = match seg {
        PathSeg::Line(_) => 1,
        _ => {
            // As many as keep the chords of the wider of both arcs within the accuracy.
            let c = seg.to_cubic();
            let legs = [c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2];
            let angle = |v: Vec2, w: Vec2| v.cross(w).atan2(v.dot(w)).abs();
            let bend = angle(legs[0], legs[1]) + angle(legs[1], legs[2]);
            let length: f64 = legs.iter().map(|v| v.hypot()).sum();
            let radius = (length / bend.max(1e-3)).max(distance.abs());
            (bend * (radius / (8.0 * ACCURACY_MM)).sqrt()).ceil().clamp(1.0, 96.0) as usize
        }
    };
    let at = |i: usize| {
        let t = i as f64 / steps as f64;
        let p = seg.eval(t);
        (p, p + distance * tangent(seg, t).turn_90())
    };
    for i in 0..steps {
        let ((p0, q0), (p1, q1)) = (at(i), at(i + 1));
        out.extend([[p0, p1, q1], [p0, q1, q0]]);
    }
}

/// The border of all that lies inside `rough` or any of the other shapes; the largest piece of it, without holes.
/// Where it runs along a curve of `rough` from end to end it keeps that curve.
///
/// `sign` is the sign of the area of `rough` as it is meant; what it encloses the other way round does not count.
pub fn united(rough: &BezPath, others: &[&BezPath], triangles: &[[Point; 3]], sign: f64) -> BezPath {
    let own = Flat::of(rough);
    let way = |mut points: Vec<[f64; 2]>, reversed: bool| {
        if reversed {
            points.reverse();
        }
        points
    };
    let coordinates = |points: &[Point]| points.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>();
    let mut contours = vec![way(coordinates(&own.points), sign < 0.0)];
    contours.extend(others.iter().map(|o| way(coordinates(&flattened(o, ACCURACY_MM)), o.area() < 0.0)));
    contours.extend(triangles.iter().map(|t| {
        let turn: Vec2 = t[1] - t[0];
        way(coordinates(t), turn.cross(t[2] - t[0]) < 0.0)
    }));
    let shapes = contours.simplify_shape(FillRule::Positive);
    let area = |c: &[[f64; 2]]| {
        let twice: f64 = (0..c.len()).map(|i| (c[i], c[(i + 1) % c.len()])).map(|(p, q)| p[0] * q[1] - p[1] * q[0]).sum();
        twice / 2.0
    };
    let largest = shapes.iter().filter_map(|s| s.first()).max_by(|a, b| area(a).abs().total_cmp(&area(b).abs()));
    let Some(largest) = largest else { return rough.clone() };
    let mut points: Vec<Point> = largest.iter().map(|p| Point::new(p[0], p[1])).collect();
    if area(largest) * sign < 0.0 {
        points.reverse();
    }
    // A curve may pass its chords' neighbours by a hair: then the chords it is.
    let curved = own.curves_again(&points);
    if crosses_itself_at(&curved, 0.1 * ACCURACY_MM) { polygon(&points) } else { curved }
}

fn polygon(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, p) in points.iter().enumerate() {
        if i == 0 {
            path.move_to(*p);
        } else {
            path.line_to(*p);
        }
    }
    path.close_path();
    path
}

/// Curves shorter than this, millimetres, are as good as their chords.
const SHORTEST_CURVE_MM: f64 = 1.0;

/// A path as points, which remembers where its curves begin.
struct Flat {
    points: Vec<Point>,
    /// First point, number of steps, and the curve.
    curves: Vec<(usize, usize, PathSeg)>,
}

impl Flat {
    fn of(path: &BezPath) -> Self {
        let mut flat = Self { points: Vec::new(), curves: Vec::new() };
        for seg in path.segments() {
            let first = flat.points.len();
            flat.points.push(seg.start());
            if !matches!(seg, PathSeg::Line(_)) {
                let alone = [PathEl::MoveTo(seg.start()), seg.as_path_el()];
                let mut steps = 0;
                kurbo::flatten(alone, ACCURACY_MM, |el| {
                    if let PathEl::LineTo(p) = el {
                        steps += 1;
                        flat.points.push(p);
                    }
                });
                // The last point is the next segment's first.
                flat.points.pop();
                flat.curves.push((first, steps, seg));
            }
        }
        flat
    }

    /// The closed path through `border`, with those curves whose points it passes one after the other.
    fn curves_again(&self, border: &[Point]) -> BezPath {
        // Uniting moves points by far less than this.
        let key = |p: Point| ((p.x * 1e3).round() as i64, (p.y * 1e3).round() as i64);
        let known: HashMap<_, usize> = self.points.iter().enumerate().map(|(i, p)| (key(*p), i)).collect();
        let place = |p: Point| known.get(&key(p)).copied();
        let inside_curve = |p: Point| place(p).is_some_and(|i| self.curves.iter().any(|(first, steps, _)| i > *first && i < first + steps));
        let mut border = border.to_vec();
        if let Some(begin) = border.iter().position(|p| !inside_curve(*p)) {
            border.rotate_left(begin);
        }
        let count = border.len();
        let mut path = BezPath::new();
        let Some(first) = border.first() else { return path };
        path.move_to(*first);
        let mut k = 0;
        while k < count {
            let here = place(border[k]);
            let curve = self.curves.iter().find(|(first, steps, seg)| {
                Some(*first) == here
                    && seg.start().distance(seg.end()) > SHORTEST_CURVE_MM
                    && k + steps <= count
                    && (1..=*steps).all(|j| place(border[(k + j) % count]) == Some((first + j) % self.points.len()))
            });
            match curve {
                Some((_, steps, seg)) => {
                    path.push(seg.as_path_el());
                    k += steps;
                }
                None => {
                    k += 1;
                    if k < count {
                        path.line_to(border[k]);
                    }
                }
            }
        }
        path.close_path();
        path
    }
}
