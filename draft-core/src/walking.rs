//! Walking a seam: one edge rolls along its partner without slipping, as paper patterns are walked on the cutting table,
//! and shows where the notches of both sides meet and by how much they differ.

use kurbo::{Affine, Point};

use crate::alteration::{Mark, Side, Sign, in_order};
use crate::closed_edge::Rail;
use crate::laid::Ray;
use crate::place::{end_names, from_start};
use crate::seam::meets_start_to_start;
use crate::{Alteration, Draft, DraftError, EdgeRun, Length, Name, Piece, Place, Seam};

/// Notches of both sides that stand further apart than this, apart from ease, are no match, millimetres.
const MATCH_MM: f64 = 10.0;
/// A seam shorter than this needs no notch to be sewn, millimetres.
const SHORT_MM: f64 = 80.0;

/// A seam that is walked.
#[derive(Clone, Debug)]
pub struct Walking {
    /// The edge that lies still.
    pub fixed: Side,
    /// The edge that rolls along it.
    pub rolled: Side,
    /// By how much the edge that lies still is meant to be longer, millimetres.
    pub ease_mm: f64,
    rails: [Rail; 2],
    /// Distance from where the walk begins, and whether it is double; in order.
    notches: [Vec<(f64, bool)>; 2],
    turned_over: bool,
}

/// Two notches that are sewn together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Matched {
    /// Distance from where the walk begins on the edge that lies still, millimetres.
    pub fixed_mm: f64,
    /// On the one that rolls.
    pub rolled_mm: f64,
}

impl Matched {
    /// By how much further the one on the edge that lies still is.
    pub fn difference_mm(&self) -> f64 {
        self.fixed_mm - self.rolled_mm
    }
}

/// A place where a notch belongs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanting {
    /// On the edge that lies still, millimetres from where the walk begins; `None` where one is there.
    pub fixed_mm: Option<f64>,
    /// On the one that rolls.
    pub rolled_mm: Option<f64>,
    /// Whether it is double.
    pub double: bool,
}

/// How the rolled piece lies at a moment of the walk.
#[derive(Clone, Copy, Debug)]
pub struct Step {
    /// Where both edges touch, on the piece that lies still.
    pub at: Point,
    /// Carries the rolled piece onto it.
    pub map: Affine,
    /// Whether the edge that lies still has come to its end.
    pub fixed_ended: bool,
    /// Whether the edge that rolls has.
    pub rolled_ended: bool,
}

impl Walking {
    /// Walks the seam of an edge, which lies still, from where the outline starts it.
    ///
    /// # Errors
    /// It is not sewn to one single other edge, or one of them does not run in one line.
    pub fn of(draft: &Draft, piece: &Name, edge: &Name) -> Result<Self, DraftError> {
        let fixed = Side { piece: piece.clone(), edge: edge.clone() };
        let place = || format!("{piece} / {edge}");
        let (rolled, ease_mm) = sewn(draft, &fixed).ok_or_else(|| {
            DraftError::new(place(), "is not sewn to one single other edge", "Choose a seam that has one edge on each side.")
        })?;
        let find = |side: &Side| {
            draft.piece(side.piece.as_str()).ok_or_else(|| DraftError::new(side.piece.to_string(), "is not there", "Choose another edge."))
        };
        let (own, other) = (find(&fixed)?, find(&rolled)?);
        let alike = meets_start_to_start(own, edge, other, &rolled.edge);
        let rail = |piece: &Piece, edge: &Name, against: bool| {
            Rail::of(piece, edge, against)
                .ok_or_else(|| DraftError::new(format!("{} / {edge}", piece.name()), "does not run in one line", "Choose another seam."))
        };
        let rails = [rail(own, edge, false)?, rail(other, &rolled.edge, !alike)?];
        let notches = [(own, edge, &rails[0]), (other, &rolled.edge, &rails[1])].map(|(piece, edge, rail)| {
            let mut all: Vec<_> = in_order(piece, edge, true).iter().map(|n| (rail.turned(n.from_start_mm), n.double)).collect();
            all.sort_by(|a, b| a.0.total_cmp(&b.0));
            all
        });
        let clockwise = |piece: &Piece| kurbo::Shape::area(&piece.outline()) > 0.0;
        // The inside has to come to lie on the other side of the line.
        let turned_over = clockwise(own) == (clockwise(other) == alike);
        Ok(Self { fixed, rolled, ease_mm, rails, notches, turned_over })
    }

    /// Length of the edge that lies still and of the one that rolls, millimetres.
    pub fn lengths_mm(&self) -> [f64; 2] {
        [self.rails[0].length(), self.rails[1].length()]
    }

    /// How far the walk goes, millimetres.
    pub fn end_mm(&self) -> f64 {
        let [a, b] = self.lengths_mm();
        a.max(b)
    }

    /// How the rolled piece lies after so many millimetres: both edges have gone the same way, and touch there.
    pub fn step(&self, walked_mm: f64) -> Step {
        let [fixed, rolled] = &self.rails;
        let (at, along, placed) = fixed.at(walked_mm);
        let (from, from_along, from_placed) = rolled.at(walked_mm);
        let onto = Ray { at: from, along: from_along }.onto(Ray { at, along }, self.turned_over);
        let back = placed.inverse();
        Step {
            at: back * at,
            map: back * onto * from_placed,
            fixed_ended: walked_mm >= fixed.length(),
            rolled_ended: walked_mm >= rolled.length(),
        }
    }

    /// Notches that are sewn together, in order: of one kind, and no further apart than ease explains.
    pub fn matched(&self) -> Vec<Matched> {
        let [fixed, rolled] = &self.notches;
        let apart = MATCH_MM + self.ease_mm.abs();
        let mut out: Vec<Matched> = Vec::new();
        let mut used = vec![false; rolled.len()];
        for (at, double) in fixed {
            let near = rolled.iter().enumerate().filter(|(i, n)| !used[*i] && n.1 == *double && (n.0 - at).abs() <= apart);
            if let Some((i, n)) = near.min_by(|a, b| (a.1.0 - at).abs().total_cmp(&(b.1.0 - at).abs())) {
                used[i] = true;
                out.push(Matched { fixed_mm: *at, rolled_mm: n.0 });
            }
        }
        out
    }

    /// By how much the edge that lies still is longer so far: up to the last notches that were passed, and at the end in all,
    /// millimetres.
    pub fn difference_mm(&self, walked_mm: f64) -> f64 {
        let [a, b] = self.lengths_mm();
        if walked_mm >= self.end_mm() - 1e-6 {
            return a - b;
        }
        let passed = |m: &Matched| m.fixed_mm.max(m.rolled_mm) <= walked_mm + 1e-6;
        self.matched().iter().rfind(|m| passed(m)).map_or(0.0, Matched::difference_mm)
    }

    /// Where notches belong: opposite one that stands alone, and in the middle of a seam that has none.
    pub fn wanting(&self) -> Vec<Wanting> {
        let matched = self.matched();
        let [fixed, rolled] = &self.notches;
        let [a, b] = self.lengths_mm();
        let mut out: Vec<Wanting> = Vec::new();
        for (at, double) in fixed {
            if *at <= b && !matched.iter().any(|m| m.fixed_mm == *at) {
                out.push(Wanting { fixed_mm: None, rolled_mm: Some(*at), double: *double });
            }
        }
        for (at, double) in rolled {
            if *at <= a && !matched.iter().any(|m| m.rolled_mm == *at) {
                out.push(Wanting { fixed_mm: Some(*at), rolled_mm: None, double: *double });
            }
        }
        if fixed.is_empty() && rolled.is_empty() && a.min(b) >= SHORT_MM {
            let middle = (a.min(b) / 2.0).round();
            out.push(Wanting { fixed_mm: Some(middle), rolled_mm: Some(middle), double: false });
        }
        out.sort_by(|a, b| a.at_mm().total_cmp(&b.at_mm()));
        out
    }

    /// A pair of notches at a moment of the walk.
    pub fn here(&self, walked_mm: f64) -> Wanting {
        let [a, b] = self.lengths_mm();
        let on = |length: f64| (walked_mm <= length).then_some(walked_mm);
        Wanting { fixed_mm: on(a), rolled_mm: on(b), double: false }
    }

    /// The works that mark a notch where it belongs.
    pub fn marks(&self, draft: &Draft, wanting: &Wanting) -> Vec<Alteration> {
        let sides = [(&self.fixed, &self.rails[0], wanting.fixed_mm), (&self.rolled, &self.rails[1], wanting.rolled_mm)];
        let mark = |(side, rail, at): (&Side, &Rail, Option<f64>)| {
            let piece = draft.piece(side.piece.as_str())?;
            let length = rail.length();
            let mm = rail.turned(at?).clamp(0.0, length);
            let [start, end] = end_names(piece, &side.edge)?;
            // From the nearer end, by a name that is not read as the other one.
            let (from, own, mm) = if mm <= length / 2.0 { (start, true, mm) } else { (end, false, length - mm) };
            let from = if from_start(piece, &side.edge, &from) == Ok(own) { from } else { if own { "start" } else { "end" }.into() };
            let at = Place::along(side.edge.clone(), from, Length::from_mm((mm * 2.0).round() / 2.0));
            Some(Alteration::Mark(Mark { piece: side.piece.clone(), sign: Sign::Notch { at, double: wanting.double } }))
        };
        sides.into_iter().filter_map(mark).collect()
    }

    /// A point on one of the edges, at a distance from where the walk begins: on the edge that lies still, or on the one that
    /// rolls, each on its own piece.
    pub fn on(&self, rolled: bool, walked_mm: f64) -> Point {
        let (at, _, placed) = self.rails[usize::from(rolled)].at(walked_mm);
        placed.inverse() * at
    }
}

impl Wanting {
    /// Where it is on the walk, millimetres.
    pub fn at_mm(&self) -> f64 {
        self.fixed_mm.or(self.rolled_mm).unwrap_or(0.0)
    }
}

/// The single edge that is sewn to this one, and by how much this one is meant to be longer.
fn sewn(draft: &Draft, fixed: &Side) -> Option<(Side, f64)> {
    let is = |run: &EdgeRun| run.piece == fixed.piece && run.edge == fixed.edge;
    let side = |run: &EdgeRun| Side { piece: run.piece.clone(), edge: run.edge.clone() };
    let single = |seam: &Seam| match (&seam.a[..], &seam.b[..]) {
        ([a], [b]) if is(a) && a != b => Some((side(b), seam.ease_mm)),
        ([a], [b]) if is(b) && a != b => Some((side(a), -seam.ease_mm)),
        _ => None,
    };
    draft.seams.iter().find_map(single)
}

/// Whether the seam of an edge can be walked.
pub fn can_walk(draft: &Draft, piece: &Name, edge: &Name) -> bool {
    sewn(draft, &Side { piece: piece.clone(), edge: edge.clone() }).is_some()
}
