//! Loops of a cut line, where an allowance is a little wider than a hollow is round, cut out of the curve itself.

use kurbo::{BezPath, CubicBez, ParamCurve, ParamCurveDeriv, PathSeg, Point};

use super::clean::first_crossing;
use super::rail::{Tracer, proper};
use crate::ACCURACY_MM;

/// Loops may be smaller than what a cut line is good to: they are looked for more closely.
const CHORD_ERROR_MM: f64 = 0.05 * ACCURACY_MM;

/// More loops than this are left to the union of all allowances.
const MOST_LOOPS: usize = 8;

/// The path with its loops cut out at the points where it crosses itself, each time the shorter way round; `None`
/// where there is none to be seen, or no end of them.
pub fn without_loops(path: &BezPath) -> Option<BezPath> {
    let mut segments: Vec<PathSeg> = path.segments().collect();
    for loops in 0..=MOST_LOOPS {
        let chords = Chords::of(&segments);
        let Some((i, j)) = first_crossing(&chords.points) else {
            if loops == 0 {
                return None;
            }
            let mut tracer = Tracer::default();
            segments.into_iter().for_each(|seg| tracer.along(seg));
            return Some(tracer.close());
        };
        let (first, second) = meeting(&segments, chords.place(i), chords.place(j))?;
        segments = shortened(&segments, first, second);
        if segments.len() < 2 {
            return None;
        }
    }
    None
}

/// A place on a run of segments: which, and where on it.
type Place = (usize, f64);

/// A closed path as chords that know their segment.
struct Chords {
    points: Vec<Point>,
    starts: Vec<Place>,
    /// Length of each chord's share of its segment's parameter.
    steps: Vec<f64>,
}

impl Chords {
    fn of(segments: &[PathSeg]) -> Self {
        let mut chords = Self { points: Vec::new(), starts: Vec::new(), steps: Vec::new() };
        for (i, seg) in segments.iter().enumerate() {
            let count = match seg {
                PathSeg::Line(_) => 1,
                _ => {
                    // The chord's error is at most an eighth of the second derivative times the step's square.
                    let CubicBez { p0, p1, p2, p3 } = seg.to_cubic();
                    let bend = |a: Point, b: Point, c: Point| (a.to_vec2() - 2.0 * b.to_vec2() + c.to_vec2()).hypot();
                    let second = 6.0 * bend(p0, p1, p2).max(bend(p1, p2, p3));
                    (second / (8.0 * CHORD_ERROR_MM)).sqrt().ceil().clamp(1.0, 200.0) as usize
                }
            };
            for k in 0..count {
                let t = k as f64 / count as f64;
                chords.points.push(seg.eval(t));
                chords.starts.push((i, t));
                chords.steps.push(1.0 / count as f64);
            }
        }
        chords
    }

    /// The middle of a chord.
    fn place(&self, chord: usize) -> Place {
        (self.starts[chord].0, self.starts[chord].1 + 0.5 * self.steps[chord])
    }
}

/// Where two segments cross near two guesses, the earlier place first; `None` where they don't.
fn meeting(segments: &[PathSeg], (i, mut t): Place, (j, mut u): Place) -> Option<(Place, Place)> {
    // kurbo's cubic of a line does not run evenly; places on the line do.
    let even = |seg: &PathSeg| match seg {
        PathSeg::Line(l) => CubicBez::new(l.p0, l.p0.lerp(l.p1, 1.0 / 3.0), l.p0.lerp(l.p1, 2.0 / 3.0), l.p1),
        _ => seg.to_cubic(),
    };
    let (a, b) = (even(&segments[i]), even(&segments[j]));
    for _ in 0..12 {
        let off = b.eval(u) - a.eval(t);
        let (da, db) = (a.deriv().eval(t).to_vec2(), b.deriv().eval(u).to_vec2());
        let across = da.cross(db);
        if across.abs() < 1e-12 {
            return None;
        }
        t = (t + off.cross(db) / across).clamp(0.0, 1.0);
        u = (u + off.cross(da) / across).clamp(0.0, 1.0);
    }
    if a.eval(t).distance(b.eval(u)) > 1e-6 {
        return None;
    }
    let (first, second) = ((i, t), (j, u));
    Some(if first <= second { (first, second) } else { (second, first) })
}

/// The closed run closed at two places that are one point, without the shorter way between them.
fn shortened(segments: &[PathSeg], first: Place, second: Place) -> Vec<PathSeg> {
    let between = stretch(segments, first, second);
    let mut round = stretch(segments, second, (segments.len(), 0.0));
    round.extend(stretch(segments, (0, 0.0), first));
    let length = |run: &[PathSeg]| run.iter().map(|s| s.start().distance(s.end())).sum::<f64>();
    if length(&between) < length(&round) { round } else { between }
}

fn stretch(segments: &[PathSeg], from: Place, to: Place) -> Vec<PathSeg> {
    let mut out = Vec::new();
    for (i, seg) in segments.iter().enumerate() {
        let t0 = if i == from.0 { from.1 } else { 0.0 };
        let t1 = if i == to.0 { to.1 } else { 1.0 };
        if i >= from.0 && i <= to.0 && t1 > t0 {
            out.extend(proper(if (t0, t1) == (0.0, 1.0) { *seg } else { seg.subsegment(t0..t1) }));
        }
    }
    out
}
