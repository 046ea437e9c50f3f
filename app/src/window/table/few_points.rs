//! Lines in few points.

use kurbo::Point;

/// No more points than this are left out in a row.
const IN_A_ROW: usize = 64;

/// The same line without the points that lie within so much of it. Both ends stay.
pub fn of(points: impl IntoIterator<Item = Point>, within: f64) -> Vec<Point> {
    let points: Vec<Point> = points.into_iter().collect();
    let mut few: Vec<Point> = points.first().copied().into_iter().collect();
    let mut kept = 0;
    for to in 2..points.len() {
        let between = &points[kept + 1..to];
        if between.len() > IN_A_ROW || between.iter().any(|p| distance_sq(*p, points[kept], points[to]) > within * within) {
            kept = to - 1;
            few.push(points[kept]);
        }
    }
    if points.len() > 1 {
        few.extend(points.last());
    }
    few
}

/// The square of the distance from a point to a straight stretch.
fn distance_sq(p: Point, a: Point, b: Point) -> f64 {
    let ab = b - a;
    let length_sq = ab.hypot2();
    let t = if length_sq > 0.0 { ((p - a).dot(ab) / length_sq).clamp(0.0, 1.0) } else { 0.0 };
    p.distance_squared(a + ab * t)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arc_keeps_its_shape_in_a_few_points_and_a_corner_stays() {
        let arc: Vec<Point> =
            (0..=900).map(|i| (f64::from(i) * 0.1).to_radians()).map(|a| Point::new(200.0 * a.cos(), 200.0 * a.sin())).collect();
        let few = of(arc.iter().copied(), 0.1);
        assert!(few.len() < 60 && few.first() == arc.first() && few.last() == arc.last(), "{} points", few.len());
        for p in &arc {
            let off = few.windows(2).map(|w| distance_sq(*p, w[0], w[1])).fold(f64::MAX, f64::min).sqrt();
            assert!(off <= 0.1 + 1e-9, "{off}");
        }
        let corner = [(0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (10.0, 7.0)].map(Point::from);
        assert_eq!(of(corner, 0.1), [corner[0], corner[2], corner[3]]);
        assert_eq!(of([Point::ZERO, Point::ZERO], 0.1).len(), 2);
        assert!(of([], 0.1).is_empty());
    }
}
