//! A sector of a ring: the flared part of a gore, a panel of a circle skirt, a shaped band.

use kurbo::{BezPath, CubicBez, Point, Vec2};

use crate::geometry::cubic_path;

/// Widest angle that one cubic stands for; its radial error stays below 1e-7 of the radius.
const STEP_RAD: f64 = 0.13;

/// A ring about a centre on the line x = 0, seen from one of its circles: lowest (or highest) point at `(0, at)`.
///
/// Everything is written without `r cos φ − r`, which would cancel for a nearly straight sector of a very large ring.
/// A negative radius bends the other way.
pub fn on_ring(radius: f64, at: f64, phi: f64) -> Point {
    Point::new(radius * phi.sin(), at - 2.0 * radius * (phi / 2.0).sin().powi(2))
}

/// The arc from the angle `from` to the angle `to`, radians from straight down toward the right.
pub fn arc(radius: f64, at: f64, from: f64, to: f64) -> BezPath {
    let count = ((to - from).abs() / STEP_RAD).ceil().max(1.0) as usize;
    let step = (to - from) / count as f64;
    let handle = 4.0 / 3.0 * (step / 4.0).tan() * radius;
    let along = |phi: f64| handle * Vec2::new(phi.cos(), -phi.sin());
    let cubics: Vec<_> = (0..count)
        .map(|i| {
            let (a, b) = (from + step * i as f64, from + step * (i + 1) as f64);
            let (start, end) = (on_ring(radius, at, a), on_ring(radius, at, b));
            CubicBez::new(start, start + along(a), end - along(b), end)
        })
        .collect();
    cubic_path(&cubics)
}
