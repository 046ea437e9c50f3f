//! The line of an edge by its joints and handles.

use std::sync::Arc;

use kurbo::{BezPath, CubicBez, ParamCurve, ParamCurveArclen, ParamCurveNearest, Point, Vec2};

use super::Hold;
use crate::closed_edge::{Bit, closed_edge, corner, free, led};
use crate::shaping::Grip;
use crate::{Bend, DrawnLine, Name, Piece, Place, geometry};

/// A line of more curves than this is drawn with fewer, so that it can be shaped by hand.
const MANY: usize = 4;
/// How far the line with fewer curves may lie from the other, millimetres.
const FEWER_MM: f64 = 0.05;
/// Handles that lie so nearly in line with one another are kept in line, radians.
const SMOOTH_RAD: f64 = 0.05;
/// A curve whose handles stand off less is straight, millimetres.
const STRAIGHT_MM: f64 = 0.01;

/// Points of a line that stand nearer to one another than this can't be taken hold of apart, millimetres.
const POINTS_APART_MM: f64 = 2.0;
/// In how many stretches a line is followed when one curve takes the place of two, and how often it is sought anew.
const REFITTED: u32 = 24;
const REFITS: usize = 12;

/// The line of an edge.
#[derive(Clone, Debug)]
pub(super) struct EdgeLine {
    edge: Name,
    /// The piece on which the line is drawn.
    before: Arc<Piece>,
    /// Where it starts and ends, as the outline runs.
    ends: [Place; 2],
    bits: Vec<Bit>,
}

impl EdgeLine {
    /// The line of an edge as it is `now`, drawn on the piece as it was `before`, by a line that is there already or from corner
    /// to corner.
    pub fn of(before: &Arc<Piece>, now: &Piece, edge: &Name, drawn: Option<&DrawnLine>) -> Option<Self> {
        let bits = closed_edge(now, edge)?;
        let bits = if drawn.is_some() { bits } else { simple(bits) };
        let corners = || Some([corner(before, edge, true)?, corner(before, edge, false)?]);
        let ends = match drawn.map(DrawnLine::ends) {
            Some(Ok((first, last))) => {
                // Drawn lines may run either way.
                let (start, _) = now.edge_ends(edge.as_str())?;
                let (a, b) = (first.find(before).ok()?, last.find(before).ok()?);
                if a.distance(start) <= b.distance(start) { [first.clone(), last.clone()] } else { [last.clone(), first.clone()] }
            }
            Some(Err(_)) => return None,
            None => corners()?,
        };
        Some(Self { edge: edge.clone(), before: Arc::clone(before), ends, bits })
    }

    /// What of it can be taken hold of.
    pub fn holds(&self) -> Vec<Hold> {
        let Self { edge, bits, .. } = self;
        let last = bits.len();
        let mut out = Vec::new();
        for nth in 0..=last {
            let bit = &bits[nth.saturating_sub(1)];
            let end = nth == 0 || nth == last;
            let at = bit.placed.inverse() * if nth == 0 { bit.curve.p0 } else { bit.curve.p3 };
            if end && led(&self.before, edge, nth == 0, at).is_none() {
                continue;
            }
            let name = match nth {
                0 => format!("Start of the {edge}"),
                _ if end => format!("End of the {edge}"),
                _ => format!("Point {nth} of the {edge}"),
            };
            out.push(Hold { grip: Grip::Joint { edge: edge.clone(), nth }, at, stem: None, name });
        }
        for (n, bit) in bits.iter().enumerate() {
            let back = bit.placed.inverse();
            for (nth, at, stem) in [(2 * n, bit.curve.p1, bit.curve.p0), (2 * n + 1, bit.curve.p2, bit.curve.p3)] {
                let grip = Grip::Handle { edge: edge.clone(), nth };
                out.push(Hold { grip, at: back * at, stem: Some(back * stem), name: format!("Handle {} of the {edge}", nth + 1) });
            }
        }
        out
    }

    /// The line with one of its joints moved on the piece; `None` when it stays as it is.
    pub fn with_joint(&self, nth: usize, by: Vec2) -> Option<DrawnLine> {
        let last = self.bits.len();
        let mut curves: Vec<CubicBez> = self.bits.iter().map(|b| b.curve).collect();
        let mut ends = self.ends.clone();
        let bit = &self.bits[nth.min(last).saturating_sub(1)];
        let mut by = turned(bit, by);
        if nth == 0 || nth == last {
            let at_start = nth == 0;
            let now = if at_start { bit.curve.p0 } else { bit.curve.p3 };
            let place = led(&self.before, &self.edge, at_start, bit.placed.inverse() * (now + by))?;
            by = bit.placed * place.find(&self.before).ok()? - now;
            if by.hypot() < 1e-6 {
                return None;
            }
            ends[usize::from(!at_start)] = place;
        } else if by == Vec2::ZERO {
            return None;
        }
        if nth > 0 {
            let c = &mut curves[nth - 1];
            (c.p2, c.p3) = (c.p2 + by, c.p3 + by);
        }
        if nth < last {
            let c = &mut curves[nth];
            (c.p0, c.p1) = (c.p0 + by, c.p1 + by);
        }
        Some(self.line(ends, &curves))
    }

    /// The line with one of its handles moved on the piece; where it runs smoothly through a joint, it goes on doing so.
    pub fn with_handle(&self, nth: usize, by: Vec2) -> Option<DrawnLine> {
        if by == Vec2::ZERO {
            return None;
        }
        let mut curves: Vec<CubicBez> = self.bits.iter().map(|b| b.curve).collect();
        let n = nth / 2;
        let by = turned(self.bits.get(n)?, by);
        let leaving = nth.is_multiple_of(2);
        let (joint, was) = if leaving { (curves[n].p0, curves[n].p1) } else { (curves[n].p3, curves[n].p2) };
        let is = was + by;
        let mate = if leaving { n.checked_sub(1) } else { Some(n + 1) }.filter(|m| *m < curves.len());
        if let Some(m) = mate {
            let other = if leaving { &mut curves[m].p2 } else { &mut curves[m].p1 };
            let (out, on) = (*other - joint, joint - was);
            let bent = out.cross(on).atan2(out.dot(on)).abs();
            if bent < SMOOTH_RAD && (joint - is).hypot() > 1e-6 {
                *other = joint + (joint - is).normalize() * out.hypot();
            }
        }
        if leaving {
            curves[n].p1 = is;
        } else {
            curves[n].p2 = is;
        }
        let line = self.line(self.ends.clone(), &curves);
        // A handle led along a straight line leaves it as it is.
        (line != self.as_it_is()).then_some(line)
    }

    /// The line with one more point on it, which leaves its form as it is, where it comes nearest to a point of the piece; and
    /// which joint that is. `None` where a point is there already.
    pub fn with_point_at(&self, at: Point) -> Option<(DrawnLine, usize)> {
        let near = |bit: &Bit| bit.curve.nearest(bit.placed * at, 1e-9);
        let (n, near) = self.bits.iter().map(near).enumerate().min_by(|a, b| a.1.distance_sq.total_cmp(&b.1.distance_sq))?;
        self.split(n, near.t)
    }

    /// The line with one more point in the middle of a stretch, and which joint that is.
    pub fn with_point_after(&self, joint: usize) -> Option<(DrawnLine, usize)> {
        let n = joint.min(self.bits.len().checked_sub(1)?);
        let curve = self.bits[n].curve;
        self.split(n, curve.inv_arclen(curve.arclen(1e-6) / 2.0, 1e-6))
    }

    fn split(&self, n: usize, t: f64) -> Option<(DrawnLine, usize)> {
        let mut curves: Vec<CubicBez> = self.bits.iter().map(|b| b.curve).collect();
        let (first, second) = (curves[n].subsegment(0.0..t), curves[n].subsegment(t..1.0));
        if first.arclen(1e-6).min(second.arclen(1e-6)) < POINTS_APART_MM {
            return None;
        }
        curves.splice(n..=n, [first, second]);
        Some((self.line(self.ends.clone(), &curves), n + 1))
    }

    /// The line without one of its inner joints: one curve in the place of the two that met there, with the directions that
    /// these had at their far ends. `None` for an end, and where a dart stands between.
    pub fn without_point(&self, nth: usize) -> Option<DrawnLine> {
        let (before, after) = (self.bits.get(nth.checked_sub(1)?)?, self.bits.get(nth)?);
        if before.placed != after.placed {
            return None;
        }
        let mut curves: Vec<CubicBez> = self.bits.iter().map(|b| b.curve).collect();
        let one = in_one(&before.curve, &after.curve);
        curves.splice(nth - 1..=nth, [one]);
        Some(self.line(self.ends.clone(), &curves))
    }

    fn as_it_is(&self) -> DrawnLine {
        self.line(self.ends.clone(), &self.bits.iter().map(|b| b.curve).collect::<Vec<_>>())
    }

    fn line(&self, [from, to]: [Place; 2], curves: &[CubicBez]) -> DrawnLine {
        let straight = |c: &CubicBez| {
            let chord = (c.p3 - c.p0).normalize();
            [c.p1, c.p2].iter().all(|h| (*h - c.p0).cross(chord).abs() < STRAIGHT_MM)
        };
        if let [only] = curves
            && straight(only)
        {
            return DrawnLine::straight(from, to);
        }
        // A millionth of the way from end to end is less than a thread.
        let short = |x: f64| (x * 1e6).round() / 1e6;
        let inner = free(&self.before, curves).into_iter().map(|(along, aside)| (short(along), short(aside))).collect();
        DrawnLine::bent(from, to, Bend::Free(inner))
    }
}

/// One cubic that follows two, by the least squares of its distances: only how far its handles reach is sought, so that it
/// leaves and arrives as they do.
fn in_one(first: &CubicBez, second: &CubicBez) -> CubicBez {
    let (from, to) = (first.p0, second.p3);
    let out = geometry::tangent(&kurbo::PathSeg::Cubic(*first), 0.0).normalize();
    let back = -geometry::tangent(&kurbo::PathSeg::Cubic(*second), 1.0).normalize();
    let (long, rest) = (first.arclen(1e-6), second.arclen(1e-6));
    let whole = long + rest;
    let on = |share: f64| {
        let mm = share * whole;
        if mm <= long { first.eval(first.inv_arclen(mm, 1e-6)) } else { second.eval(second.inv_arclen(mm - long, 1e-6)) }
    };
    let mut shares: Vec<(f64, Point)> = (1..REFITTED).map(|k| f64::from(k) / f64::from(REFITTED)).map(|s| (s, on(s))).collect();
    // Two halves of one curve say by the handles between them where it was cut, and with that how far its own ones reached.
    let (into, out_of) = ((first.p3 - first.p2).hypot(), (second.p1 - second.p0).hypot());
    let cut = if into + out_of > 1e-9 { into / (into + out_of) } else { long / whole };
    let cut = cut.clamp(0.02, 0.98);
    let mut reach = [(first.p1 - from).hypot() / cut, (second.p2 - to).hypot() / (1.0 - cut)];
    let begun = CubicBez::new(from, from + out * reach[0], to + back * reach[1], to);
    for (t, at) in &mut shares {
        *t = begun.nearest(*at, 1e-9).t;
    }
    for _ in 0..REFITS {
        // The handles that come nearest for these shares, of which both sums of squares are straightforward.
        let (mut aa, mut ab, mut bb, mut ax, mut bx) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (t, at) in &shares {
            let s = 1.0 - t;
            let (u, v) = (3.0 * s * s * t, 3.0 * s * t * t);
            let fixed = from.to_vec2() * (s * s * s + u) + to.to_vec2() * (v + t * t * t);
            let (a, b, left) = (out * u, back * v, at.to_vec2() - fixed);
            (aa, ab, bb) = (aa + a.dot(a), ab + a.dot(b), bb + b.dot(b));
            (ax, bx) = (ax + a.dot(left), bx + b.dot(left));
        }
        let det = aa * bb - ab * ab;
        if det.abs() < 1e-9 {
            break;
        }
        // A handle never turns round.
        reach = [(ax * bb - bx * ab) / det, (bx * aa - ax * ab) / det].map(|mm| mm.clamp(0.0, 1.5 * whole));
        let curve = CubicBez::new(from, from + out * reach[0], to + back * reach[1], to);
        for (t, at) in &mut shares {
            *t = curve.nearest(*at, 1e-9).t;
        }
    }
    CubicBez::new(from, from + out * reach[0], to + back * reach[1], to)
}

/// A movement on the piece as it is on the cloth that a bit lies on.
fn turned(bit: &Bit, by: Vec2) -> Vec2 {
    bit.placed * by.to_point() - bit.placed * Point::ZERO
}

/// The same line in fewer curves, where there are too many to be shaped by hand.
fn simple(bits: Vec<Bit>) -> Vec<Bit> {
    if bits.len() <= MANY {
        return bits;
    }
    let mut out: Vec<Bit> = Vec::new();
    for run in bits.chunk_by(|a, b| a.placed == b.placed) {
        let mut path = BezPath::new();
        path.move_to(run[0].curve.p0);
        for bit in run {
            path.curve_to(bit.curve.p1, bit.curve.p2, bit.curve.p3);
        }
        let fewer = kurbo::simplify::simplify_bezpath(path, FEWER_MM, &kurbo::simplify::SimplifyOptions::default());
        out.extend(fewer.segments().map(|s| Bit { curve: s.to_cubic(), placed: run[0].placed }));
    }
    if out.len() < bits.len() { out } else { bits }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;

    #[test]
    fn two_halves_of_a_curve_become_that_curve_again() {
        let whole = CubicBez::new((0.0, 0.0), (40.0, -30.0), (120.0, -20.0), (160.0, 60.0));
        for t in [0.05, 0.2, 0.5, 0.8] {
            let one = in_one(&whole.subsegment(0.0..t), &whole.subsegment(t..1.0));
            for k in 0..=20 {
                let at = whole.eval(f64::from(k) / 20.0);
                assert!(one.nearest(at, 1e-9).distance_sq.sqrt() < 1e-3, "{t}: {one:?}");
            }
        }
    }
}
