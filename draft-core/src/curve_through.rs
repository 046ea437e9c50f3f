//! A smooth curve through points.

use kurbo::{CubicBez, Point, Vec2};

/// The cubics of the curve through these points whose bend changes evenly at each (the natural cubic spline over the
/// distances between them); one for each step, straight for two points. Points that follow one another in one place are
/// taken as one.
pub fn curve_through(points: &[Point]) -> Vec<CubicBez> {
    let mut at: Vec<Point> = Vec::with_capacity(points.len());
    for p in points.iter().filter(|p| p.is_finite()) {
        if at.last().is_none_or(|q| q.distance(*p) > 1e-6) {
            at.push(*p);
        }
    }
    let n = at.len();
    if n < 2 {
        return Vec::new();
    }
    let steps: Vec<f64> = at.windows(2).map(|w| w[0].distance(w[1])).collect();
    let slopes: Vec<Vec2> = at.windows(2).zip(&steps).map(|(w, h)| (w[1] - w[0]) / *h).collect();
    // Velocities at the points: a system of three diagonals.
    let (mut below, mut middle, mut above) = (vec![0.0; n], vec![2.0; n], vec![0.0; n]);
    let mut right = vec![Vec2::ZERO; n];
    (above[0], right[0]) = (1.0, slopes[0] * 3.0);
    (below[n - 1], right[n - 1]) = (1.0, slopes[n - 2] * 3.0);
    for i in 1..n - 1 {
        let (before, after) = (steps[i - 1], steps[i]);
        (below[i], middle[i], above[i]) = (after, 2.0 * (before + after), before);
        right[i] = (slopes[i - 1] * after + slopes[i] * before) * 3.0;
    }
    for i in 1..n {
        let factor = below[i] / middle[i - 1];
        middle[i] -= factor * above[i - 1];
        let carried = right[i - 1] * factor;
        right[i] -= carried;
    }
    let mut velocities = vec![Vec2::ZERO; n];
    velocities[n - 1] = right[n - 1] / middle[n - 1];
    for i in (0..n - 1).rev() {
        velocities[i] = (right[i] - velocities[i + 1] * above[i]) / middle[i];
    }
    (0..n - 1)
        .map(|i| {
            CubicBez::new(at[i], at[i] + velocities[i] * (steps[i] / 3.0), at[i + 1] - velocities[i + 1] * (steps[i] / 3.0), at[i + 1])
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use kurbo::{ParamCurve, ParamCurveDeriv};

    use super::*;

    #[test]
    fn it_goes_through_its_points_and_bends_evenly() {
        let points = [(0.0, 0.0), (40.0, 10.0), (90.0, -20.0), (150.0, 5.0), (160.0, 60.0)].map(Point::from);
        let curve = curve_through(&points);
        assert_eq!(curve.len(), 4);
        for (c, w) in curve.iter().zip(points.windows(2)) {
            assert!(c.eval(0.0) == w[0] && c.eval(1.0) == w[1]);
        }
        for (i, pair) in curve.windows(2).enumerate() {
            // In the same measure: derivatives by distance, not by share of each cubic.
            let steps = [i, i + 1].map(|k| points[k].distance(points[k + 1]));
            let (a, b) = (pair[0].deriv(), pair[1].deriv());
            let velocity = a.eval(1.0).to_vec2() / steps[0] - b.eval(0.0).to_vec2() / steps[1];
            let bend = a.deriv().eval(1.0).to_vec2() / steps[0].powi(2) - b.deriv().eval(0.0).to_vec2() / steps[1].powi(2);
            assert!(velocity.hypot() < 1e-9 && bend.hypot() < 1e-9, "{velocity:?} {bend:?}");
        }
    }

    #[test]
    fn two_points_are_a_straight_line_and_fewer_are_none() {
        let (a, b) = (Point::new(3.0, 4.0), Point::new(33.0, 44.0));
        let curve = curve_through(&[a, a, b]);
        assert_eq!(curve.len(), 1);
        assert!(curve[0].p1.distance(a.lerp(b, 1.0 / 3.0)) < 1e-9 && curve[0].p2.distance(a.lerp(b, 2.0 / 3.0)) < 1e-9);
        assert!(curve_through(&[a, a]).is_empty() && curve_through(&[]).is_empty());
    }
}
