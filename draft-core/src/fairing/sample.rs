//! The samples of a stroke, thinned to even steps, and parabolas through parts of them.

use kurbo::{Point, Vec2};

/// Samples of a stroke, with how far along each lies.
#[derive(Clone, Debug)]
pub(super) struct Samples {
    /// Where they are; the first and the last as drawn.
    pub points: Vec<Point>,
    /// Distance from the first along the samples, millimetres.
    pub along: Vec<f64>,
    /// Over how much of the stroke jitter is averaged out, to both sides, millimetres.
    pub window_mm: f64,
}

/// Samples are gathered until they lie this far apart, in tolerances, and at least this many millimetres.
const STEP: (f64, f64) = (2.0, 1.5);
/// The window is at least so many usual steps, tolerances and millimetres.
const WINDOW: (f64, f64, f64) = (2.0, 10.0, 5.0);

impl Samples {
    /// The samples of a stroke; `None` when no two of its points differ.
    pub fn of(stroke: &[Point], tolerance_mm: f64) -> Option<Self> {
        let stroke: Vec<Point> = stroke.iter().copied().filter(|p| p.is_finite()).collect();
        let (first, last) = (*stroke.first()?, *stroke.last()?);
        stroke.iter().find(|p| **p != first)?;
        // A hand that rests leaves many samples in one place: they count as one, at their middle.
        let step = (tolerance_mm * STEP.0).min(STEP.1);
        let mut points = vec![first];
        let (mut begun, mut sum, mut count) = (first, Vec2::ZERO, 0.0);
        for &p in &stroke[1..] {
            if count > 0.0 && p.distance(begun) >= step {
                let middle = (sum / count).to_point();
                if points.last().is_some_and(|q| q.distance(middle) >= step * 0.5) {
                    points.push(middle);
                }
                (begun, sum, count) = (p, Vec2::ZERO, 0.0);
            }
            sum += p.to_vec2();
            count += 1.0;
        }
        while points.len() > 1 && points.last().is_some_and(|p| p.distance(last) < step * 0.75) {
            points.pop();
        }
        // A loop no wider than a step still has an inside.
        if points.len() == 1 && first == last {
            points.extend(stroke.iter().max_by(|a, b| a.distance(first).total_cmp(&b.distance(first))));
        }
        points.push(last);
        Some(Self::from_points(points, tolerance_mm))
    }

    /// Samples at these points.
    fn from_points(points: Vec<Point>, tolerance_mm: f64) -> Self {
        let mut samples = Self::within(points, 0.0);
        let mut steps: Vec<f64> = samples.along.windows(2).map(|w| w[1] - w[0]).collect();
        steps.sort_by(f64::total_cmp);
        let usual = steps.get(steps.len() / 2).copied().unwrap_or(0.0);
        samples.window_mm = (usual * WINDOW.0).max(tolerance_mm * WINDOW.1).max(WINDOW.2);
        samples
    }

    /// Samples at these points whose jitter is averaged out over this window.
    pub fn within(points: Vec<Point>, window_mm: f64) -> Self {
        let mut along = Vec::with_capacity(points.len());
        let mut far = 0.0;
        for (i, p) in points.iter().enumerate() {
            if i > 0 {
                far += p.distance(points[i - 1]);
            }
            along.push(far);
        }
        Self { points, along, window_mm }
    }

    /// Length along the samples, millimetres.
    pub fn length_mm(&self) -> f64 {
        self.along.last().copied().unwrap_or(0.0)
    }

    /// Which samples lie from one distance along to another.
    pub fn range(&self, from_mm: f64, to_mm: f64) -> std::ops::Range<usize> {
        let first = self.along.partition_point(|s| *s < from_mm - 1e-9);
        let end = self.along.partition_point(|s| *s <= to_mm + 1e-9);
        first..end.max(first)
    }

    /// Averages of values at the samples over a window, those near by counting more; the furthest from nought.
    pub fn furthest_average(&self, values: &[f64], window_mm: f64) -> f64 {
        let mut most = 0.0f64;
        for at in &self.along {
            let (mut sum, mut weights) = (0.0, 0.0);
            for j in self.range(at - window_mm, at + window_mm) {
                let weight = 1.001 - (self.along[j] - at).abs() / window_mm;
                sum += values[j] * weight;
                weights += weight;
            }
            most = most.max((sum / weights).abs());
        }
        most
    }

    /// How far at most the samples run from the straight line between the ends, jitter averaged out; millimetres.
    pub fn off_chord_mm(&self) -> f64 {
        let (Some(a), Some(b)) = (self.points.first(), self.points.last()) else { return 0.0 };
        let chord = *b - *a;
        if chord.hypot() < 1e-9 {
            return f64::INFINITY;
        }
        let (direction, length) = (chord.normalize(), chord.hypot());
        let values: Vec<f64> = self.points.iter().map(|p| direction.cross(*p - *a)).collect();
        // What is straight has no features to be averaged away, so more of it is averaged. A line that doubles back is not straight.
        let beyond = self.points.iter().map(|p| (*p - *a).dot(direction)).fold(0.0f64, |m, x| m.max(-x).max(x - length));
        let longer = if self.length_mm() > 1.25 * length + 4.0 * self.window_mm { f64::INFINITY } else { 0.0 };
        self.furthest_average(&values, self.window_mm * 2.0).max(beyond * 0.5).max(longer)
    }

    /// The parabola that follows these samples best, about a distance along; a straight line where they reach over less than
    /// about half of `reach_mm`, too little to tell how they bend.
    pub fn parabola(&self, range: std::ops::Range<usize>, about_mm: f64, reach_mm: f64) -> Option<Parabola> {
        if range.len() < 2 {
            return None;
        }
        // Normal equations in the powers of the distance, scaled to keep them well conditioned.
        let over = self.along[range.end - 1] - self.along[range.start];
        let degree = if range.len() < 4 || over < 0.6 * reach_mm { 1 } else { 2 };
        let scale = reach_mm.max(1e-9);
        let mut moments = [0.0; 5];
        let mut right = [Vec2::ZERO; 3];
        let origin = self.points[range.start];
        for i in range.clone() {
            let s = (self.along[i] - about_mm) / scale;
            let value = self.points[i] - origin;
            let mut power = 1.0;
            for (j, moment) in moments.iter_mut().enumerate() {
                *moment += power;
                if j < 3 {
                    right[j] += value * power;
                }
                power *= s;
            }
        }
        let [m0, m1, m2, m3, m4] = moments;
        let coefficients = if degree == 1 {
            let det = m0 * m2 - m1 * m1;
            if det.abs() < 1e-9 {
                return None;
            }
            [(right[0] * m2 - right[1] * m1) / det, (right[1] * m0 - right[0] * m1) / det, Vec2::ZERO]
        } else {
            let det = m0 * (m2 * m4 - m3 * m3) - m1 * (m1 * m4 - m2 * m3) + m2 * (m1 * m3 - m2 * m2);
            if det.abs() < 1e-9 {
                return None;
            }
            let [r0, r1, r2] = right;
            [
                (r0 * (m2 * m4 - m3 * m3) + r1 * (m2 * m3 - m1 * m4) + r2 * (m1 * m3 - m2 * m2)) / det,
                (r0 * (m2 * m3 - m1 * m4) + r1 * (m0 * m4 - m2 * m2) + r2 * (m1 * m2 - m0 * m3)) / det,
                (r0 * (m1 * m3 - m2 * m2) + r1 * (m1 * m2 - m0 * m3) + r2 * (m0 * m2 - m1 * m1)) / det,
            ]
        };
        let [c0, c1, c2] = coefficients;
        let parabola = Parabola { at: origin + c0, slope: c1 / scale, bend: c2 / (scale * scale) };
        (parabola.at.is_finite() && parabola.slope.is_finite() && parabola.bend.is_finite()).then_some(parabola)
    }

    /// Where the stroke is at a distance along, and in which direction it goes there, jitter averaged out.
    pub fn smooth(&self, at_mm: f64) -> (Point, Vec2) {
        let reach = self.window_mm * 2.0;
        let mut range = self.range(at_mm - reach, at_mm + reach);
        if range.len() < 4 {
            range = range.start.saturating_sub(2)..(range.end + 2).min(self.points.len());
        }
        let chord = || {
            let along = self.points[range.end - 1] - self.points[range.start];
            if along.hypot() > 1e-9 { along.normalize() } else { Vec2::new(1.0, 0.0) }
        };
        let nearest = || {
            let i = self.along.partition_point(|s| *s < at_mm).min(self.points.len() - 1);
            self.points[i]
        };
        match self.parabola(range.clone(), at_mm, reach) {
            Some(p) if p.slope.hypot() > 1e-6 => (p.at, p.slope.normalize()),
            Some(p) => (p.at, chord()),
            None => (nearest(), chord()),
        }
    }
}

/// A parabola in the distance from where it was taken.
#[derive(Clone, Copy, Debug)]
pub(super) struct Parabola {
    /// Where it is there.
    pub at: Point,
    /// Its slope there.
    pub slope: Vec2,
    /// Half its change of slope.
    pub bend: Vec2,
}

impl Parabola {
    /// The point at a distance from there.
    pub fn point(&self, by_mm: f64) -> Point {
        self.at + self.slope * by_mm + self.bend * (by_mm * by_mm)
    }

    /// The slope at a distance from there.
    pub fn slope(&self, by_mm: f64) -> Vec2 {
        self.slope + self.bend * (2.0 * by_mm)
    }
}
