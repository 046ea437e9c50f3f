//! Chains of cubics that meet in one direction, fitted to samples.

use kurbo::{CubicBez, ParamCurve, ParamCurveDeriv, Point, Vec2};

use super::sample::Samples;

/// Cubics, each going on in the direction in which the one before it ends.
#[derive(Clone, Debug)]
pub(super) struct Chain {
    /// Where they meet, and both ends.
    knots: Vec<Point>,
    /// The direction at each, radians.
    angles: Vec<f64>,
    /// For each cubic, how far its handles reach from its start and from its end, millimetres.
    handles: Vec<[f64; 2]>,
    /// Length of the samples that each follows, millimetres.
    lengths: Vec<f64>,
    /// The direction of the samples at each knot, radians, from which the chain's own strays only a little.
    smooth: Vec<f64>,
    /// Whether its start and its end are fitted too; otherwise they stay at the first and the last sample.
    free: [bool; 2],
}

/// Where on a chain a sample is nearest: which cubic, and where on it.
#[derive(Clone, Copy, Debug)]
struct Foot {
    cubic: usize,
    t: f64,
}

/// How many cubics are tried, one count after the other.
const COUNTS: [usize; 13] = [1, 2, 3, 4, 5, 6, 8, 10, 13, 17, 22, 28, 36];
/// Fewer samples than this for each cubic say nothing about it.
const SAMPLES_A_CUBIC: usize = 3;
/// Directions stray from those of the samples by no more than this, radians: otherwise a line may hook back at its end.
const STRAYS: f64 = 0.6;
/// Steps of the fit at most.
const STEPS: usize = 40;
/// How strongly handles are held to a third of the length where the samples don't say, in parts of a sample.
const HELD: f64 = 0.004;

/// The chain with the fewest cubics that stays within the tolerance, or the closest, and how far it runs off. Ends that are
/// not `free` stay at the first and the last sample, of which there are two at least.
pub(super) fn fewest(samples: &Samples, free: [bool; 2], tolerance_mm: f64) -> (Chain, f64) {
    let most = (samples.points.len() / SAMPLES_A_CUBIC).max(1);
    let mut best: Option<(Chain, f64)> = None;
    for count in COUNTS.into_iter().take_while(|n| *n <= most) {
        for even in [true, false] {
            if count == 1 && !even {
                continue;
            }
            let mut chain = Chain::begin(samples, free, &knots(samples, count, even));
            let off = chain.fit(samples);
            if best.as_ref().is_none_or(|(_, least)| off < *least) {
                best = Some((chain, off));
            }
        }
        if let Some((_, off)) = &best
            && *off <= tolerance_mm
        {
            break;
        }
    }
    best.unwrap_or_else(|| (Chain::begin(samples, free, &[0.0, samples.length_mm()]), 0.0))
}

/// Where a chain begins to be divided: evenly along, or so that each part turns by as much.
fn knots(samples: &Samples, count: usize, even: bool) -> Vec<f64> {
    let length = samples.length_mm();
    if even {
        return (0..=count).map(|i| length * i as f64 / count as f64).collect();
    }
    let steps = 200;
    let at = |i: usize| length * i as f64 / f64::from(steps);
    let mut turned = vec![0.0];
    let mut before = samples.smooth(0.0).1;
    for i in 1..=steps as usize {
        let direction = samples.smooth(at(i)).1;
        // A little for the length itself, so that straight stretches are divided too.
        let by = before.cross(direction).atan2(before.dot(direction)).abs() + 0.2 / f64::from(steps);
        turned.push(turned[i - 1] + by);
        before = direction;
    }
    let all = turned[steps as usize];
    (0..=count)
        .map(|k| {
            let wanted = all * k as f64 / count as f64;
            at(turned.partition_point(|t| *t < wanted).min(steps as usize))
        })
        .collect()
}

impl Chain {
    fn begin(samples: &Samples, free: [bool; 2], along: &[f64]) -> Self {
        let smooth: Vec<(Point, Vec2)> = along.iter().map(|s| samples.smooth(*s)).collect();
        let mut knots: Vec<Point> = smooth.iter().map(|(p, _)| *p).collect();
        let last = knots.len() - 1;
        knots[0] = samples.points[0];
        knots[last] = samples.points[samples.points.len() - 1];
        let lengths: Vec<f64> = along.windows(2).map(|w| (w[1] - w[0]).max(1e-3)).collect();
        let angles: Vec<f64> = smooth.iter().map(|(_, d)| d.atan2()).collect();
        Self { knots, smooth: angles.clone(), angles, handles: lengths.iter().map(|l| [l / 3.0; 2]).collect(), lengths, free }
    }

    fn count(&self) -> usize {
        self.handles.len()
    }

    fn cubic(&self, i: usize) -> CubicBez {
        let (a, b) = (self.knots[i], self.knots[i + 1]);
        let (from, to) = (Vec2::from_angle(self.angles[i]), Vec2::from_angle(self.angles[i + 1]));
        CubicBez::new(a, a + from * self.handles[i][0], b - to * self.handles[i][1], b)
    }

    /// The cubics in order.
    pub fn cubics(&self) -> impl Iterator<Item = CubicBez> + '_ {
        (0..self.count()).map(|i| self.cubic(i))
    }

    /// The straight line that follows the samples best, when it stays within the tolerance.
    pub fn straight(samples: &Samples, tolerance_mm: f64) -> Option<Self> {
        let n = samples.points.len() as f64;
        if n < 4.0 {
            return None;
        }
        let middle = (samples.points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / n).to_point();
        let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
        for p in &samples.points {
            let by = *p - middle;
            (xx, xy, yy) = (xx + by.x * by.x, xy + by.x * by.y, yy + by.y * by.y);
        }
        let (first, last) = (*samples.points.first()?, *samples.points.last()?);
        let direction = Vec2::from_angle(0.5 * (2.0 * xy).atan2(xx - yy));
        let direction = if direction.dot(last - first) < 0.0 { -direction } else { direction };
        let values: Vec<f64> = samples.points.iter().map(|p| direction.cross(*p - middle)).collect();
        if samples.furthest_average(&values, samples.window_mm) > tolerance_mm {
            return None;
        }
        let knots = vec![middle + direction * (first - middle).dot(direction), middle + direction * (last - middle).dot(direction)];
        let (angles, length) = (vec![direction.atan2(); 2], knots[0].distance(knots[1]));
        let handles = vec![[length / 3.0; 2]];
        Some(Self { knots, smooth: angles.clone(), angles, handles, lengths: vec![length], free: [true; 2] })
    }

    /// Where it would meet another one that goes on from its end, both carried on straight.
    pub fn meets(&self, next: &Self) -> Option<Point> {
        let (end, start) = (self.knots[self.count()], next.knots[0]);
        let (u, v) = (Vec2::from_angle(self.angles[self.count()]), Vec2::from_angle(next.angles[0]));
        let across = u.cross(v);
        (across.abs() > 0.2).then(|| end + u * ((start - end).cross(v) / across))
    }

    /// Fits it to the samples; says how far at most it runs off, jitter averaged out.
    fn fit(&mut self, samples: &Samples) -> f64 {
        let mut feet = self.first_feet(samples);
        let mut cost = self.seek(samples, &mut feet);
        let mut damping = 1e-3;
        for _ in 0..STEPS {
            let Some(next) = self.stepped(samples, &feet, damping) else {
                damping *= 10.0;
                if damping > 1e6 {
                    break;
                }
                continue;
            };
            let mut moved = feet.clone();
            let then = next.seek(samples, &mut moved);
            if then < cost {
                let settled = cost - then < cost * 1e-5;
                *self = next;
                feet = moved;
                cost = then;
                damping = (damping * 0.2).max(1e-9);
                if settled {
                    break;
                }
            } else {
                damping *= 6.0;
                if damping > 1e6 {
                    break;
                }
            }
        }
        let values: Vec<f64> = feet.iter().zip(&samples.points).map(|(foot, p)| self.beside(*foot, *p).0).collect();
        samples.furthest_average(&values, samples.window_mm).max(self.strays_mm(samples) - samples.window_mm / 2.0)
    }

    /// How far at most the chain itself runs from the samples, where no sample says so: in a loop or a hook of its own.
    fn strays_mm(&self, samples: &Samples) -> f64 {
        let points = self.cubics().flat_map(|c| (0..=12).map(move |i| c.eval(f64::from(i) / 12.0)));
        let far = |p: Point| {
            let lines = samples.points.windows(2).map(|w| kurbo::Line::new(w[0], w[1]));
            lines.map(|l| kurbo::ParamCurveNearest::nearest(&l, p, 1e-3).distance_sq).fold(f64::INFINITY, f64::min).sqrt()
        };
        points.map(far).fold(0.0, f64::max)
    }

    fn first_feet(&self, samples: &Samples) -> Vec<Foot> {
        let mut ends = Vec::with_capacity(self.count());
        let mut far = 0.0;
        for length in &self.lengths {
            far += length;
            ends.push(far);
        }
        let last = self.count() - 1;
        let foot = |s: &f64| {
            let cubic = ends.partition_point(|e| e < s).min(last);
            Foot { cubic, t: (1.0 - (ends[cubic] - s) / self.lengths[cubic]).clamp(0.0, 1.0) }
        };
        samples.along.iter().map(foot).collect()
    }

    /// Finds the feet of the samples again, each from where it was; the sum of squares of the distances, and of how far the
    /// handles are from where they are held.
    fn seek(&self, samples: &Samples, feet: &mut [Foot]) -> f64 {
        let cubics: Vec<CubicBez> = self.cubics().collect();
        let mut cost = 0.0;
        for (foot, p) in feet.iter_mut().zip(&samples.points) {
            for _ in 0..4 {
                let c = &cubics[foot.cubic];
                let slope = c.deriv();
                let (by, first) = (c.eval(foot.t) - *p, slope.eval(foot.t).to_vec2());
                let second = slope.deriv().eval(foot.t).to_vec2();
                let speed = first.hypot2().max(1e-12);
                let change = speed + by.dot(second);
                let step = (-by.dot(first) / if change > speed * 0.1 { change } else { speed }).clamp(-0.25, 0.25);
                let t = foot.t + step;
                if t < 0.0 && foot.cubic > 0 {
                    *foot = Foot { cubic: foot.cubic - 1, t: 1.0 };
                } else if t > 1.0 && foot.cubic + 1 < cubics.len() {
                    *foot = Foot { cubic: foot.cubic + 1, t: 0.0 };
                } else {
                    foot.t = t.clamp(0.0, 1.0);
                    if step.abs() < 1e-6 {
                        break;
                    }
                }
            }
            cost += (cubics[foot.cubic].eval(foot.t) - *p).hypot2();
        }
        let held = |i: usize| self.handles[i].iter().map(|h| (HELD * (h - self.lengths[i] / 3.0)).powi(2)).sum::<f64>();
        cost + (0..self.count()).map(held).sum::<f64>()
    }

    /// How far a sample lies beside its foot, to the left of the line; and the direction to the left.
    fn beside(&self, foot: Foot, p: Point) -> (f64, Vec2) {
        let c = self.cubic(foot.cubic);
        let slope = c.deriv().eval(foot.t).to_vec2();
        let along = if slope.hypot() > 1e-9 { slope.normalize() } else { Vec2::from_angle(self.angles[foot.cubic]) };
        let left = Vec2::new(-along.y, along.x);
        ((p - c.eval(foot.t)).dot(left), left)
    }

    /// The chain after one step of the fit; `None` when the step can't be found.
    fn stepped(&self, samples: &Samples, feet: &[Foot], damping: f64) -> Option<Self> {
        // Unknowns: the angles, the handles, the knots, of which the ends may be held.
        let n = self.count();
        let (angle, handle, knot) = (|i: usize| i, |i: usize, end: usize| n + 1 + 2 * i + end, |i: usize| 3 * n + 1 + 2 * i);
        let size = 5 * n + 3;
        let fitted = |k: usize| (k > 0 || self.free[0]) && (k < n || self.free[1]);
        let mut matrix = vec![0.0; size * size];
        let mut right = vec![0.0; size];
        let mut add = |row: &[(usize, f64)], off: f64| {
            for &(a, x) in row {
                right[a] += x * off;
                for &(b, y) in row {
                    matrix[a * size + b] += x * y;
                }
            }
        };
        for (foot, p) in feet.iter().zip(&samples.points) {
            let (off, left) = self.beside(*foot, *p);
            let (i, t) = (foot.cubic, foot.t);
            let s = 1.0 - t;
            let (b0, b1, b2, b3) = (s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t);
            let (from, to) = (Vec2::from_angle(self.angles[i]), Vec2::from_angle(self.angles[i + 1]));
            let turned = |v: Vec2| Vec2::new(-v.y, v.x);
            let [near, far] = self.handles[i];
            let mut row = vec![
                (angle(i), b1 * near * turned(from).dot(left)),
                (angle(i + 1), -b2 * far * turned(to).dot(left)),
                (handle(i, 0), b1 * from.dot(left)),
                (handle(i, 1), -b2 * to.dot(left)),
            ];
            for (k, share) in [(i, b0 + b1), (i + 1, b2 + b3)] {
                if fitted(k) {
                    row.push((knot(k), share * left.x));
                    row.push((knot(k) + 1, share * left.y));
                }
            }
            add(&row, off);
        }
        for i in 0..n {
            for end in 0..2 {
                add(&[(handle(i, end), HELD)], HELD * (self.lengths[i] / 3.0 - self.handles[i][end]));
            }
        }
        for i in 0..size {
            matrix[i * size + i] = matrix[i * size + i] * (1.0 + damping) + damping * 1e-6 + 1e-9;
        }
        let step = solved(&mut matrix, &mut right)?;
        let mut next = self.clone();
        for i in 0..=n {
            let angle = next.angles[i] + step[angle(i)];
            next.angles[i] = angle.clamp(self.smooth[i] - STRAYS, self.smooth[i] + STRAYS);
        }
        for i in 0..n {
            for end in 0..2 {
                let length = self.lengths[i];
                next.handles[i][end] = (self.handles[i][end] + step[handle(i, end)]).clamp(length * 0.03, length * 1.1);
            }
        }
        for i in (0..=n).filter(|i| fitted(*i)) {
            next.knots[i] += Vec2::new(step[knot(i)], step[knot(i) + 1]);
        }
        Some(next)
    }
}

/// Solves a symmetric system by Cholesky's factors; `None` when it has no single solution.
fn solved(matrix: &mut [f64], right: &mut [f64]) -> Option<Vec<f64>> {
    let n = right.len();
    for j in 0..n {
        let mut pivot = matrix[j * n + j];
        for k in 0..j {
            pivot -= matrix[j * n + k] * matrix[j * n + k];
        }
        if !(pivot.is_finite() && pivot > 0.0) {
            return None;
        }
        let pivot = pivot.sqrt();
        matrix[j * n + j] = pivot;
        for i in j + 1..n {
            let mut value = matrix[i * n + j];
            for k in 0..j {
                value -= matrix[i * n + k] * matrix[j * n + k];
            }
            matrix[i * n + j] = value / pivot;
        }
    }
    for i in 0..n {
        for k in 0..i {
            right[i] -= matrix[i * n + k] * right[k];
        }
        right[i] /= matrix[i * n + i];
    }
    for i in (0..n).rev() {
        for k in i + 1..n {
            right[i] -= matrix[k * n + i] * right[k];
        }
        right[i] /= matrix[i * n + i];
    }
    right.iter().all(|x| x.is_finite()).then(|| right.to_vec())
}
