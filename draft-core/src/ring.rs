//! An outline taken apart into stretches and put together again, each stretch carrying its edge and its notches: what
//! every alteration is made of.

use kurbo::{Affine, BezPath, Line, ParamCurve, ParamCurveArclen, Point};

use crate::geometry::line_path;
use crate::place::Spot;
use crate::{
    ACCURACY_MM, CutCount, Dart, DraftError, Edge, Gather, MarkedLine, Name, NamedPoint, Notch, Piece, PieceBuilder, Role, geometry,
};

/// Part of an outline that belongs to one edge.
#[derive(Clone, Debug)]
pub(crate) struct Stretch {
    /// Which of the edges.
    pub edge: usize,
    /// An open path.
    pub path: BezPath,
    /// Notches on it: distance from its start in millimetres, and whether it is double.
    pub notches: Vec<(f64, bool)>,
}

impl Stretch {
    /// Without notches.
    pub fn plain(edge: usize, path: BezPath) -> Self {
        Self { edge, path, notches: Vec::new() }
    }

    /// Moved by a rigid map.
    #[must_use]
    pub fn moved(&self, map: Affine) -> Self {
        Self { path: map * self.path.clone(), ..self.clone() }
    }

    fn length(&self) -> f64 {
        geometry::length(&self.path)
    }

    /// Cut in two at a distance from its start.
    fn split(&self, at_mm: f64) -> (Self, Self) {
        let (mut first, mut second) = (BezPath::new(), BezPath::new());
        let push = |path: &mut BezPath, seg: kurbo::PathSeg| {
            if path.elements().is_empty() {
                path.move_to(seg.start());
            }
            path.push(seg.as_path_el());
        };
        let mut left = at_mm;
        for seg in self.path.segments() {
            let length = geometry::segment_length(&seg);
            if left <= 1e-9 {
                push(&mut second, seg);
            } else if left >= length - 1e-9 {
                push(&mut first, seg);
            } else {
                let t = seg.inv_arclen(left, 1e-9);
                push(&mut first, seg.subsegment(0.0..t));
                push(&mut second, seg.subsegment(t..1.0));
            }
            left -= length;
        }
        let before = self.notches.iter().filter(|n| n.0 <= at_mm).copied().collect();
        let after = self.notches.iter().filter(|n| n.0 > at_mm).map(|n| (n.0 - at_mm, n.1)).collect();
        (Self { edge: self.edge, path: first, notches: before }, Self { edge: self.edge, path: second, notches: after })
    }

    /// This stretch and the next one of the same edge as one.
    fn and(mut self, next: Self) -> Self {
        let length = self.length();
        self.path.extend(next.path.elements().iter().skip(1).copied());
        self.notches.extend(next.notches.into_iter().map(|(at, double)| (at + length, double)));
        self
    }
}

/// A closed outline as stretches, in order.
#[derive(Clone, Debug)]
pub(crate) struct Ring {
    pub stretches: Vec<Stretch>,
}

impl Ring {
    /// The outline of a piece, a stretch for each part.
    pub fn of(piece: &Piece) -> Self {
        let mut walked = vec![0.0; piece.edges().len()];
        let mut stretches: Vec<Stretch> = Vec::with_capacity(piece.parts().len());
        for part in piece.parts() {
            let length = geometry::length(&part.path);
            let from = walked[part.edge];
            let later = piece.parts().iter().rfind(|p| p.edge == part.edge) != Some(part);
            let here = |n: &&Notch| {
                piece.edges()[part.edge].name == n.edge
                    && (n.from_start_mm > from || from == 0.0)
                    && (n.from_start_mm <= from + length || !later)
            };
            let notches = piece.notches().iter().filter(here).map(|n| (n.from_start_mm - from, n.double)).collect();
            walked[part.edge] = from + length;
            stretches.push(Stretch { edge: part.edge, path: part.path.clone(), notches });
        }
        Self { stretches }
    }

    /// Which stretch holds a spot, and how far from its start the spot is.
    fn locate(&self, spot: &Spot) -> Option<(usize, f64)> {
        let mut left = spot.at_mm;
        let mut last = None;
        for (i, stretch) in self.stretches.iter().enumerate().filter(|(_, s)| s.edge == spot.edge) {
            let length = stretch.length();
            if left <= length + 1e-6 {
                return Some((i, left.clamp(0.0, length)));
            }
            left -= length;
            last = Some((i, length));
        }
        last
    }

    /// A stretch cut in two at a distance from its start; the ring stays as it is.
    pub fn split_off(&self, index: usize, at_mm: f64) -> (Stretch, Stretch) {
        self.stretches[index].split(at_mm)
    }

    /// Which stretch holds a spot.
    pub fn index(&self, spot: &Spot) -> Option<usize> {
        self.locate(spot).map(|(i, _)| i)
    }

    /// Splits the ring at every spot; then the stretch that starts at each of them.
    pub fn split(&mut self, spots: &[Spot]) -> Vec<usize> {
        for spot in spots {
            if let Some((i, at)) = self.locate(spot)
                && at > 1e-6
                && at < self.stretches[i].length() - 1e-6
            {
                let (first, second) = self.stretches[i].split(at);
                self.stretches[i] = first;
                self.stretches.insert(i + 1, second);
            }
        }
        let count = self.stretches.len();
        spots.iter().map(|spot| self.locate(spot).map_or(0, |(i, at)| if at <= 1e-6 { i } else { (i + 1) % count })).collect()
    }

    /// The stretches from the one at `from` to the one before `to`, going round; all of them when both are the same.
    pub fn run(&self, from: usize, to: usize) -> Vec<Stretch> {
        let count = self.stretches.len();
        let steps = if to > from { to - from } else { to + count - from };
        (0..steps).map(|i| self.stretches[(from + i) % count].clone()).collect()
    }
}

/// What a piece is put together from.
pub(crate) struct Assembly<'a> {
    /// Its name.
    pub name: Name,
    /// Edges that the stretches refer to; those that none refers to are left out.
    pub edges: &'a [Edge],
    /// The outline.
    pub stretches: Vec<Stretch>,
    /// Darts; those whose legs are gone are left out.
    pub darts: Vec<Dart>,
    /// Points.
    pub points: Vec<NamedPoint>,
    /// Lines marked inside.
    pub lines: Vec<MarkedLine>,
    /// Stretches to gather; those that reach past the end of their edge are left out.
    pub gathers: Vec<Gather>,
    /// The grain line, moved into the piece where it does not lie in it.
    pub grain: Line,
    /// How often it is cut.
    pub cut: CutCount,
}

impl<'a> Assembly<'a> {
    /// Everything of a piece but its outline.
    pub fn of(piece: &'a Piece) -> Self {
        Self {
            name: piece.name().clone(),
            edges: piece.edges(),
            stretches: Vec::new(),
            darts: piece.darts().to_vec(),
            points: piece.points().to_vec(),
            lines: piece.lines().to_vec(),
            gathers: piece.gathers().to_vec(),
            grain: piece.grain(),
            cut: piece.cut(),
        }
    }

    /// The piece.
    ///
    /// # Errors
    /// The outline does not close, or is no wider than a thread.
    pub fn build(self) -> Result<Piece, DraftError> {
        let stretches = in_order(merged(closed(self.stretches)), self.edges);
        let mut piece = PieceBuilder::new(self.name);
        let mut walked = vec![0.0; self.edges.len()];
        let mut notches = Vec::new();
        for stretch in stretches {
            let edge = &self.edges[stretch.edge];
            for (at, double) in &stretch.notches {
                notches.push((edge.name.clone(), walked[stretch.edge] + at, *double));
            }
            walked[stretch.edge] += stretch.length();
            piece = piece.part(edge.name.clone(), edge.role, edge.allowance_mm, stretch.path);
        }
        for (edge, at, double) in notches {
            piece = piece.notch(edge, at, double);
        }
        let used = |name: &Name| self.edges.iter().zip(&walked).any(|(e, mm)| e.name == *name && *mm > 0.0);
        for dart in self.darts {
            if used(&dart.leg_a) && used(&dart.leg_b) {
                piece = piece.dart(dart);
            }
        }
        // The notches of a gathered stretch are among those of the outline already.
        let whole = |g: &Gather| self.edges.iter().zip(&walked).any(|(e, mm)| e.name == g.edge && g.to_mm <= mm + 0.5);
        let gathers = self.gathers.into_iter().filter(whole).collect();
        let points = self.points.into_iter().map(|p| NamedPoint { rides: p.rides.filter(|r| used(r)), ..p }).collect();
        let piece = piece
            .inner(points, self.lines)
            .gathers(gathers)
            .grain(self.grain.p0, self.grain.p1)
            .cut(self.cut.count, self.cut.pairs)
            .build()?;
        let round: f64 = walked.iter().sum();
        if piece.area_mm2() < 0.5 * round * LEAST_WIDTH_MM {
            return Err(DraftError::new(
                piece.name().to_string(),
                "would be no wider than a thread",
                "Choose another line or a smaller change.",
            ));
        }
        Ok(piece)
    }
}

/// A piece narrower than this all along is none, millimetres.
const LEAST_WIDTH_MM: f64 = 2.0;

/// Ends that should meet do so: an edge split at a length along it and a line drawn to the same place agree only to what
/// a length is good to.
fn closed(mut stretches: Vec<Stretch>) -> Vec<Stretch> {
    let count = stretches.len();
    for i in 0..count {
        let next = (i + 1) % count;
        if let (Some(from), Some(to)) = (geometry::end(&stretches[i].path), geometry::start(&stretches[next].path))
            && from != to
            && from.distance(to) < ACCURACY_MM
        {
            geometry::set_start(&mut stretches[next].path, from);
        }
    }
    stretches
}

/// Neighbouring stretches of one edge as one.
fn merged(stretches: Vec<Stretch>) -> Vec<Stretch> {
    let mut out: Vec<Stretch> = Vec::with_capacity(stretches.len());
    for stretch in stretches {
        if stretch.length() < 1e-7 {
            continue;
        }
        match out.pop() {
            Some(last) if last.edge == stretch.edge => out.push(last.and(stretch)),
            Some(last) => out.extend([last, stretch]),
            None => out.push(stretch),
        }
    }
    if out.len() > 2
        && out.first().map(|s| s.edge) == out.last().map(|s| s.edge)
        && let Some(last) = out.pop()
    {
        let first = out.remove(0);
        out.insert(0, last.and(first));
    }
    out
}

/// The ring begun where an edge begins, darts in it not counted as its end, so that its stretches stand in order; with
/// the edge that stood first before, if it can.
fn in_order(mut stretches: Vec<Stretch>, edges: &[Edge]) -> Vec<Stretch> {
    let count = stretches.len();
    let is_leg = |i: usize| edges[stretches[i].edge].role == Role::DartLeg;
    let begins = |i: usize| {
        let before = (1..count).map(|k| (i + count - k) % count).find(|&k| !is_leg(k));
        !is_leg(i) && before.is_none_or(|k| stretches[k].edge != stretches[i].edge)
    };
    if let Some(first) = (0..count).filter(|&i| begins(i)).min_by_key(|&i| stretches[i].edge) {
        stretches.rotate_left(first);
    }
    stretches
}

/// A straight stretch.
pub(crate) fn straight(edge: usize, from: Point, to: Point) -> Stretch {
    Stretch::plain(edge, line_path(from, to))
}
