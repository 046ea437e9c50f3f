//! Corners that were meant.

use kurbo::{CubicBez, ParamCurve, Point, Vec2};

use super::chain::{self, Chain};
use super::sample::{Parabola, Samples};

/// A corner of a stroke.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    /// Its distance along, millimetres.
    pub along_mm: f64,
    /// Where it is: where what comes before it and what comes after it meet.
    pub at: Point,
}

/// A stroke turns by at least this at a corner, degrees.
const TURN: f64 = 30.0;
/// Over how much of the stroke directions are taken on both sides, in windows.
const REACH: f64 = 3.2;
/// Corners keep this far from the ends and from each other, in windows.
const APART: f64 = 1.2;

/// What comes before a place and what comes after it.
struct Sides {
    before: Parabola,
    after: Parabola,
    /// Turn from one to the other, degrees.
    turn: f64,
    /// Mean square of how far the samples lie from the parabolas.
    off: f64,
}

/// Every corner, in the order of the stroke.
pub(super) fn find(samples: &Samples, tolerance_mm: f64) -> Vec<Corner> {
    let length = samples.length_mm();
    let apart = samples.window_mm * APART;
    // A place between two samples may be the corner as well as a sample.
    let mut places: Vec<f64> = samples.along.windows(2).flat_map(|w| [w[0], w[0].midpoint(w[1])]).collect();
    places.retain(|s| *s >= apart && *s <= length - apart);
    let sides: Vec<Option<Sides>> = places.iter().map(|s| both_sides(samples, *s)).collect();
    let mut found: Vec<Corner> = Vec::new();
    let mut i = 0;
    while i < places.len() {
        let turns = |j: usize| sides[j].as_ref().is_some_and(|s| s.turn >= TURN);
        if !turns(i) {
            i += 1;
            continue;
        }
        // Beside a corner, directions are taken across it: the corner is where both sides are followed best.
        let from = i;
        let mut to = i;
        while to + 1 < places.len() && (from..=to).rev().any(|j| turns(j) && places[to + 1] - places[j] <= samples.window_mm) {
            to += 1;
        }
        while let Some(best) = (i..=to)
            .filter(|&j| turns(j) && found.last().is_none_or(|c| places[j] - c.along_mm >= apart))
            .min_by(|a, b| off(&sides[*a]).total_cmp(&off(&sides[*b])))
        {
            // A smaller one before it is found again on its own, when it is far enough away.
            if let Some(s) = &sides[best]
                && s.off.sqrt() <= tolerance_mm.max(0.25) * 2.0
            {
                found.push(Corner { along_mm: places[best], at: meeting(s, samples.window_mm) });
            }
            let past = places[best] + samples.window_mm * REACH;
            i = places.partition_point(|s| *s < past).max(best + 1);
        }
        i = i.max(to + 1);
    }
    found
}

fn off(sides: &Option<Sides>) -> f64 {
    sides.as_ref().map_or(f64::INFINITY, |s| s.off)
}

fn both_sides(samples: &Samples, at_mm: f64) -> Option<Sides> {
    let reach = samples.window_mm * REACH;
    let (back, on) = (samples.range(at_mm - reach, at_mm), samples.range(at_mm, at_mm + reach));
    if back.len() < 3 || on.len() < 3 {
        return None;
    }
    let before = samples.parabola(back.clone(), at_mm, reach)?;
    let after = samples.parabola(on.clone(), at_mm, reach)?;
    let turn = before.slope.cross(after.slope).atan2(before.slope.dot(after.slope)).abs().to_degrees();
    let far = |p: &Parabola, i: usize| (samples.points[i] - p.point(samples.along[i] - at_mm)).hypot2();
    let count = (back.len() + on.len()) as f64;
    let off = (back.map(|i| far(&before, i)).sum::<f64>() + on.map(|i| far(&after, i)).sum::<f64>()) / count;
    Some(Sides { before, after, turn, off })
}

/// Where both sides meet when they are carried on.
fn meeting(sides: &Sides, window_mm: f64) -> Point {
    let middle = sides.before.at.midpoint(sides.after.at);
    let (mut a, mut b) = (0.0, 0.0);
    for _ in 0..8 {
        let (p, q) = (sides.before.point(a), sides.after.point(b));
        let (u, v): (Vec2, Vec2) = (sides.before.slope(a), sides.after.slope(b));
        let across = u.cross(v);
        if across.abs() < 1e-6 {
            return middle;
        }
        a = (a + (q - p).cross(v) / across).clamp(-window_mm, window_mm);
        b = (b + (q - p).cross(u) / across).clamp(-window_mm, window_mm);
    }
    let (p, q) = (sides.before.point(a), sides.after.point(b));
    if p.distance(q) < 0.05 && p.distance(middle) < window_mm { p } else { middle }
}

/// A stretch of a stroke between corners.
pub(super) struct Span {
    /// Its samples, without the corners themselves.
    pub samples: Samples,
    /// Where it starts and ends.
    pub ends: [Point; 2],
}

impl Span {
    /// The samples with both ends.
    pub fn whole(&self) -> Samples {
        let mut points = self.samples.points.clone();
        if points.first() != Some(&self.ends[0]) {
            points.insert(0, self.ends[0]);
        }
        if points.len() == 1 || points.last() != Some(&self.ends[1]) {
            points.push(self.ends[1]);
        }
        Samples::within(points, self.samples.window_mm)
    }
}

/// The stroke from corner to corner.
pub(super) fn spans(samples: &Samples, corners: &[Corner]) -> Vec<Span> {
    let last = samples.points.len() - 1;
    let mut out = Vec::with_capacity(corners.len() + 1);
    let mut from: Option<Corner> = None;
    for to in corners.iter().copied().map(Some).chain([None]) {
        let start = from.map_or(0, |c| samples.along.partition_point(|s| *s <= c.along_mm));
        let end = to.map_or(samples.points.len(), |c| samples.along.partition_point(|s| *s < c.along_mm));
        let points = samples.points[start..end.max(start)].to_vec();
        let ends = [from.map_or(samples.points[0], |c| c.at), to.map_or(samples.points[last], |c| c.at)];
        out.push(Span { samples: Samples::within(points, samples.window_mm), ends });
        from = to;
    }
    out
}

/// How much of the stroke on both sides says between which samples a corner lies, in windows.
const PLACED_BY: f64 = 5.0;

/// Corners between those samples where parabolas on both sides follow them best.
fn placed(samples: &Samples, corners: &[Corner]) -> Vec<Corner> {
    let reach = samples.window_mm * PLACED_BY;
    let mut out = corners.to_vec();
    for i in 0..corners.len() {
        let here = corners[i].along_mm;
        let low = if i > 0 { here.midpoint(corners[i - 1].along_mm) } else { 0.0 };
        let high = corners.get(i + 1).map_or(samples.length_mm(), |c| here.midpoint(c.along_mm));
        let all = samples.range((here - reach).max(low), (here + reach).min(high));
        let near = samples.range((here - samples.window_mm * 2.0).max(low), (here + samples.window_mm * 2.0).min(high));
        let cost = |split: usize| off_parabola(samples, all.start..split) + off_parabola(samples, split..all.end);
        let splits = near.filter(|s| s - all.start >= 4 && all.end - s >= 4);
        let best = splits.map(|split| (split, cost(split))).min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((split, _)) = best {
            let along_mm = samples.along[split - 1].midpoint(samples.along[split]);
            let at = both_sides(samples, along_mm).map_or(samples.points[split], |s| meeting(&s, samples.window_mm));
            out[i] = Corner { along_mm, at };
        }
    }
    out
}

/// The sum of the squares by which samples lie off the parabola that follows them best.
fn off_parabola(samples: &Samples, range: std::ops::Range<usize>) -> f64 {
    let about = samples.along[range.start];
    let reach = samples.along[range.end - 1] - about;
    let off = |p: Parabola| range.clone().map(|i| (samples.points[i] - p.point(samples.along[i] - about)).hypot2()).sum();
    samples.parabola(range.clone(), about, reach).map_or(f64::INFINITY, off)
}

/// Corners where the lines fitted to both sides meet, which know more of the stroke than what is near.
pub(super) fn refined(samples: &Samples, corners: &[Corner], tolerance_mm: f64) -> Vec<Corner> {
    if corners.is_empty() {
        return Vec::new();
    }
    let corners = &placed(samples, corners);
    let spans = spans(samples, corners);
    let last = spans.len() - 1;
    let fitted: Vec<Option<Chain>> = spans
        .iter()
        .enumerate()
        .map(|(i, span)| {
            let free = [i > 0, i < last];
            let fitted =
                || Chain::straight(&span.samples, tolerance_mm).unwrap_or_else(|| chain::fewest(&span.samples, free, tolerance_mm).0);
            (span.samples.points.len() >= 4).then(fitted)
        })
        .collect();
    let mut out = corners.to_vec();
    for (i, corner) in out.iter_mut().enumerate() {
        if let (Some(before), Some(after)) = (&fitted[i], &fitted[i + 1])
            && let Some(at) = before.meets(after)
            && at.distance(corner.at) < samples.window_mm
        {
            corner.at = at;
        }
    }
    out
}

/// A smooth line that turns by less than this where a corner was seen has none there, degrees; over so much of it to both sides,
/// in windows.
const SMOOTH: (f64, f64) = (28.0, 0.35);
/// And it follows the stroke within this share of the tolerance.
const CLOSER: f64 = 0.6;

/// Corners that a smooth line of no more curves can't do without: where it turns as sharply, or does not stay within the
/// tolerance. In a bend that is small for what the samples resolve, the parabolas alone see corners.
pub(super) fn meant(samples: &Samples, corners: Vec<Corner>, tolerance_mm: f64) -> Vec<Corner> {
    let count = |span: &Span| {
        let whole = span.whole();
        if whole.off_chord_mm() <= tolerance_mm { 0 } else { chain::fewest(&whole, [false; 2], tolerance_mm).0.cubics().count() }
    };
    let mut kept = corners;
    let mut i = 0;
    while i < kept.len() {
        let apart = spans(samples, &kept);
        let mut without = kept.clone();
        let corner = without.remove(i);
        let whole = spans(samples, &without)[i].whole();
        let (smooth, off) = chain::fewest(&whole, [false; 2], tolerance_mm);
        let curves: Vec<CubicBez> = smooth.cubics().collect();
        let few = || curves.len() <= count(&apart[i]) + count(&apart[i + 1]);
        if off <= tolerance_mm * CLOSER && turn_at(&curves, corner.at, samples.window_mm * SMOOTH.1) < SMOOTH.0 && few() {
            kept = without;
        } else {
            i += 1;
        }
    }
    kept
}

/// By how much a line turns within a reach to both sides of where it comes nearest to a point, degrees.
fn turn_at(curves: &[CubicBez], at: Point, reach_mm: f64) -> f64 {
    const STEPS: usize = 48;
    let points: Vec<Point> =
        curves.iter().flat_map(|c| (0..STEPS).map(|k| c.eval(k as f64 / STEPS as f64))).chain(curves.last().map(|c| c.p3)).collect();
    let nearest = (0..points.len()).min_by(|a, b| points[*a].distance(at).total_cmp(&points[*b].distance(at))).unwrap_or(0);
    let walk = |steps: &mut dyn Iterator<Item = usize>| {
        let (mut far, mut last) = (0.0, nearest);
        for i in steps {
            far += points[i].distance(points[last]);
            last = i;
            if far >= reach_mm {
                break;
            }
        }
        last
    };
    let (from, to) = (walk(&mut (0..nearest).rev()), walk(&mut (nearest + 1..points.len())));
    let steps: Vec<Vec2> = points[from..=to].windows(2).map(|w| w[1] - w[0]).filter(|v| v.hypot() > 1e-9).collect();
    steps.windows(2).map(|w| w[0].cross(w[1]).atan2(w[0].dot(w[1]))).sum::<f64>().abs().to_degrees()
}
