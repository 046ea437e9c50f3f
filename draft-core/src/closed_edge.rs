//! An edge with its darts closed, as it lies on the cutting table while a line is drawn there.

use kurbo::{Affine, CubicBez, ParamCurve, PathSeg, Point, Vec2};

use crate::geometry::{self, end, start};
use crate::place::{frame, from_start, handed};
use crate::{Along, Length, Name, Part, Piece, Place, Role};

/// A stretch of an edge between two of its joints.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bit {
    /// The curve, where it lies with the darts before it closed; a straight stretch has its handles at the thirds.
    pub curve: CubicBez,
    /// How its cloth was moved to lie there.
    pub placed: Affine,
}

/// Shorter bits are joints that a dart's closing has doubled, millimetres.
const BIT_MM: f64 = 1e-3;

/// An edge as its outline runs, each dart in it closed about its tip; the stretch before the first dart stays where it is.
/// `None` when there is no such edge, or when something else than darts stands between its parts.
pub(crate) fn closed_edge(piece: &Piece, edge: &Name) -> Option<Vec<Bit>> {
    let mut bits = Vec::new();
    for (part, placed) in Course::of(piece, edge)?.parts {
        let long = part.path.segments().filter(|s| geometry::segment_length(s) > BIT_MM);
        bits.extend(long.map(|s| Bit { curve: placed * cubic(&s), placed }));
    }
    // What was left out is made up for, so that each bit begins where the last one ends.
    for i in 1..bits.len() {
        bits[i].curve.p0 = bits[i - 1].curve.p3;
    }
    (!bits.is_empty()).then_some(bits)
}

/// The parts of an edge as they follow one another in the outline, with the darts between them closed.
struct Course {
    /// Which part of the outline comes first.
    first: usize,
    /// How many parts of the outline it takes, the legs of its darts counted.
    count: usize,
    /// Its own parts, and how each is placed.
    parts: Vec<(Part, Affine)>,
}

impl Course {
    fn of(piece: &Piece, edge: &Name) -> Option<Self> {
        let parts = piece.parts();
        let index = piece.edges().iter().position(|e| e.name == *edge)?;
        let own = parts.iter().filter(|p| p.edge == index).count();
        (0..parts.len()).filter(|&i| parts[i].edge == index).filter_map(|i| Self::from(piece, index, i)).find(|c| c.parts.len() == own)
    }

    /// From one part of the edge on, as far as nothing but darts stands in between.
    fn from(piece: &Piece, index: usize, first: usize) -> Option<Self> {
        let all = piece.parts();
        let at = |i: usize| &all[(first + i) % all.len()];
        let mut placed = Affine::IDENTITY;
        let mut parts = Vec::new();
        let (mut i, mut count) = (0, 0);
        while i < all.len() {
            let part = at(i);
            let name = &piece.edges()[part.edge].name;
            if part.edge == index {
                parts.push((part.clone(), placed));
                i += 1;
                count = i;
            } else if piece.darts().iter().any(|d| d.leg_a == *name) && at(i + 2).edge == index {
                let (near, tip, far) = (start(&part.path)?, end(&part.path)?, end(&at(i + 1).path)?);
                placed *= Affine::rotate_about((near - tip).atan2() - (far - tip).atan2(), tip);
                i += 2;
            } else {
                break;
            }
        }
        Some(Self { first, count, parts })
    }
}

fn cubic(seg: &PathSeg) -> CubicBez {
    match seg {
        PathSeg::Line(line) => CubicBez::new(line.p0, line.eval(1.0 / 3.0), line.eval(2.0 / 3.0), line.p1),
        other => other.to_cubic(),
    }
}

/// The inner points of curves that follow one another, in the frame that [`crate::Bend::Free`] keeps them in.
pub(crate) fn free(piece: &Piece, curves: &[CubicBez]) -> Vec<(f64, f64)> {
    let (Some(first), Some(last)) = (curves.first(), curves.last()) else { return Vec::new() };
    let chord = last.p3 - first.p0;
    let right = Vec2::new(-chord.y, chord.x) * handed(piece);
    let scale = chord.hypot2();
    let local = |p: Point| ((p - first.p0).dot(chord) / scale, (p - first.p0).dot(right) / scale);
    let mut inner = Vec::with_capacity(curves.len() * 3);
    for (i, c) in curves.iter().enumerate() {
        if i > 0 {
            inner.push(local(c.p0));
        }
        inner.extend([local(c.p1), local(c.p2)]);
    }
    inner
}

/// The place at one end of an edge, on the edge that it meets there.
pub(crate) fn corner(piece: &Piece, edge: &Name, at_start: bool) -> Option<Place> {
    let (_, place) = neighbour(piece, edge, at_start)?;
    Some(place(0.0))
}

/// The edge that an edge meets at one of its ends, and the place on it at a distance from there.
fn neighbour(piece: &Piece, edge: &Name, at_start: bool) -> Option<(Name, impl Fn(f64) -> Place + use<>)> {
    let course = Course::of(piece, edge)?;
    let (parts, all) = (piece.parts(), piece.parts().len());
    let beside = if at_start { course.first + all - 1 } else { course.first + course.count };
    let next = piece.edges()[parts[beside % all].edge].name.clone();
    // The neighbour before an edge ends where the edge starts.
    let own = from_start(piece, &next, edge).is_ok_and(|is| is != at_start);
    let from: Name = if own { edge.clone() } else { Name::from(if at_start { "end" } else { "start" }) };
    let on = next.clone();
    Some((next, move |mm: f64| Place::Edge { edge: on.clone(), from: from.clone(), at: Along::Length(Length::from_mm(mm)) }))
}

/// How close to the corner a place counts as the corner, millimetres.
const CORNER_MM: f64 = 0.25;
/// What is left of a neighbouring edge that is cut off, millimetres.
const LEFT_MM: f64 = 3.0;

/// Where an end of an edge comes to lie when it is led toward a point: on the edge that it meets there, or on that edge
/// carried on straight, in halves of a millimetre. `None` where it can't be led, as at a dart.
pub(crate) fn led(piece: &Piece, edge: &Name, at_start: bool, toward: Point) -> Option<Place> {
    let (next, place) = neighbour(piece, edge, at_start)?;
    if piece.edge(next.as_str())?.role == Role::DartLeg {
        return None;
    }
    let (from, to) = piece.edge_ends(edge.as_str())?;
    let corner = if at_start { from } else { to };
    let parts: Vec<&Part> = piece.edge_parts(next.as_str()).collect();
    // Only as far as the first dart of that edge.
    let part = if at_start { parts.last() } else { parts.first() }?;
    let out = if at_start { geometry::end_tangent(&part.path) } else { -geometry::start_tangent(&part.path) };
    let beyond = (toward - corner).dot(out);
    let length = geometry::length(&part.path);
    let on = nearest_on(part, toward);
    let (along, off) = (if at_start { length - on.0 } else { on.0 }, on.1);
    let straight = if beyond > 0.0 { (corner + out * beyond).distance(toward) } else { f64::INFINITY };
    let half = |mm: f64| (mm * 2.0).round() / 2.0;
    if straight < off {
        let by = out * half(beyond);
        if by.hypot() < CORNER_MM {
            return Some(place(0.0));
        }
        let (up, right) = frame(piece);
        return Some(place(0.0).off(rounded(by.dot(up)), rounded(by.dot(right))));
    }
    let along = half(along.min(length - LEFT_MM)).max(0.0);
    Some(place(if along < CORNER_MM { 0.0 } else { along }))
}

/// A number of millimetres that is as short as it can be without its line being another one.
fn rounded(mm: f64) -> f64 {
    (mm * 1e4).round() / 1e4
}

/// The distance along a part at which it comes nearest to a point, and how near.
fn nearest_on(part: &Part, to: Point) -> (f64, f64) {
    use kurbo::ParamCurveNearest;
    let (mut best, mut before) = ((0.0, f64::INFINITY), 0.0);
    for seg in part.path.segments() {
        let near = seg.nearest(to, 1e-9);
        let far = near.distance_sq.sqrt();
        if far < best.1 {
            best = (before + geometry::segment_length(&seg.subsegment(0.0..near.t)), far);
        }
        before += geometry::segment_length(&seg);
    }
    best
}

/// A closed edge as a rail along which something rolls.
#[derive(Clone, Debug)]
pub(crate) struct Rail {
    bits: Vec<Bit>,
    /// Length of each bit, millimetres.
    lengths: Vec<f64>,
    /// Whether it is walked against the outline.
    against: bool,
}

impl Rail {
    /// `None` as for [`closed_edge`].
    pub fn of(piece: &Piece, edge: &Name, against: bool) -> Option<Self> {
        let bits = closed_edge(piece, edge)?;
        let lengths = bits.iter().map(|b| geometry::segment_length(&PathSeg::Cubic(b.curve))).collect();
        Some(Self { bits, lengths, against })
    }

    /// Its length, millimetres.
    pub fn length(&self) -> f64 {
        self.lengths.iter().sum()
    }

    /// Where it is at a distance from where the walk begins, the direction of the walk there, of length one, and how the cloth
    /// was moved to lie there.
    pub fn at(&self, walked_mm: f64) -> (Point, Vec2, Affine) {
        use kurbo::ParamCurveArclen;
        let length = self.length();
        let mut left = if self.against { length - walked_mm } else { walked_mm }.clamp(0.0, length);
        let last = self.bits.len() - 1;
        for (i, (bit, long)) in self.bits.iter().zip(&self.lengths).enumerate() {
            if left <= *long || i == last {
                let seg = PathSeg::Cubic(bit.curve);
                let t = if left >= *long { 1.0 } else { seg.inv_arclen(left, 1e-9) };
                let along = geometry::tangent(&seg, t);
                return (seg.eval(t), if self.against { -along } else { along }, bit.placed);
            }
            left -= long;
        }
        (self.bits[last].curve.p3, Vec2::ZERO, Affine::IDENTITY)
    }
}
