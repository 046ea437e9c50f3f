//! Slash and spread in the limit of ever more slashes: upright strips that hang from a curve are turned one against the
//! next, so that the curve keeps its length and everything below it grows.

use kurbo::{CubicBez, ParamCurve, ParamCurveDeriv, Point, Vec2};

use crate::geometry::cubic_path;

/// Cubics that follow half a cap; a cubic through exact points and slopes is then good to well under 0.01 mm.
const STRETCHES: usize = 6;

/// 5-point Gauss–Legendre abscissae and weights on [0, 1]; Abramowitz & Stegun, table 25.4.
const GAUSS: [(f64, f64); 5] = [
    (0.046_910_077_030_668, 0.118_463_442_528_094_54),
    (0.230_765_344_947_158_45, 0.239_314_335_249_683_23),
    (0.5, 0.284_444_444_444_444_44),
    (0.769_234_655_052_841_5, 0.239_314_335_249_683_23),
    (0.953_089_922_969_332, 0.118_463_442_528_094_54),
];

/// A curve from the crown outward whose strips are turned by `rate` radians for each millimetre that they stand away
/// from the crown; a positive turn is clockwise as seen.
#[derive(Clone, Copy, Debug)]
pub struct Fan {
    /// Starts at the crown, at x = 0.
    pub top: CubicBez,
    pub rate: f64,
}

/// A straight line below the curve as it is before the spread: `y = level + slope · x`.
#[derive(Clone, Copy, Debug)]
pub struct Below {
    pub level: f64,
    pub slope: f64,
}

/// The curve and a line below it after the spread.
#[derive(Clone, Debug)]
pub struct Spread {
    pub top: Vec<CubicBez>,
    pub below: Vec<CubicBez>,
}

fn turned(v: Vec2, rad: f64) -> Vec2 {
    let (sin, cos) = rad.sin_cos();
    Vec2::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}

impl Fan {
    /// Spreads the curve and one line below it.
    pub fn spread(&self, line: Below) -> Spread {
        let slope = self.top.deriv();
        let turn = |p: Point| self.rate * p.x;
        let step = 1.0 / STRETCHES as f64;
        let mut at = self.top.p0;
        let mut knots = Vec::with_capacity(STRETCHES + 1);
        for i in 0..=STRETCHES {
            let t = i as f64 * step;
            let (p, d) = (self.top.eval(t), slope.eval(t).to_vec2());
            let hangs = line.level + line.slope * p.x - p.y;
            let strip = turned(Vec2::new(0.0, hangs), turn(p));
            // Turning the strip faster moves its lower end aside: its direction a quarter turn on.
            let grows = Vec2::new(-strip.y, strip.x) * (self.rate * d.x);
            let along_top = turned(d, turn(p));
            let along_below = turned(Vec2::new(d.x, line.slope * d.x), turn(p)) + grows;
            knots.push((at, along_top, at + strip, along_below));
            for (x, w) in GAUSS {
                let t = t + x * step;
                at += turned(slope.eval(t).to_vec2(), turn(self.top.eval(t))) * (w * step);
            }
        }
        let cubic = |p: Point, d: Vec2, q: Point, e: Vec2| CubicBez::new(p, p + d * (step / 3.0), q - e * (step / 3.0), q);
        Spread {
            top: knots.windows(2).map(|k| cubic(k[0].0, k[0].1, k[1].0, k[1].1)).collect(),
            below: knots.windows(2).map(|k| cubic(k[0].2, k[0].3, k[1].2, k[1].3)).collect(),
        }
    }
}

/// Cubics run the other way.
pub fn backward(cubics: &[CubicBez]) -> Vec<CubicBez> {
    cubics.iter().rev().map(|c| CubicBez::new(c.p3, c.p2, c.p1, c.p0)).collect()
}

/// A path that runs in along one half of a spread and out along the other.
pub fn across(inward: &[CubicBez], outward: &[CubicBez]) -> kurbo::BezPath {
    let mut all = backward(inward);
    all.extend_from_slice(outward);
    cubic_path(&all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::length;

    /// Cap of 150 mm over a half width of 160 mm, spread by 40°: the cap keeps its length, and a level line grows by
    /// the turn times its mean distance below the curve.
    #[test]
    fn the_top_keeps_its_length_and_the_hem_grows() {
        let top = CubicBez::new((0.0, 0.0), (70.0, 0.0), (80.0, 150.0), (160.0, 150.0));
        let fan = Fan { top, rate: -0.7 / 160.0 };
        let spread = fan.spread(Below { level: 600.0, slope: 0.0 });
        assert!((length(&cubic_path(&spread.top)) - length(&cubic_path(&[top]))).abs() < 0.01);
        // Simpson over the curve's parameter for the mean depth of the curve.
        let n = 2000;
        let mean: f64 = (0..n)
            .map(|i| {
                let (a, b) = (f64::from(i) / f64::from(n), f64::from(i + 1) / f64::from(n));
                let (p, q) = (top.eval(a), top.eval(b));
                (p.y + q.y) / 2.0 * (q.x - p.x)
            })
            .sum::<f64>()
            / 160.0;
        let asked = 160.0 + 0.7 * (600.0 - mean);
        assert!((length(&cubic_path(&spread.below)) - asked).abs() < 0.02, "{} {asked}", length(&cubic_path(&spread.below)));
    }
}
