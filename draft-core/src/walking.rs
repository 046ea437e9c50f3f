//! Walking a seam: one side rolls along the other without slipping, as paper patterns are walked on the cutting table, and
//! shows where the notches of both sides meet and by how much they differ. A side may have several edges: each is laid down
//! where the one before it ended.

use kurbo::{Affine, Point};

use crate::alteration::{Mark, Sign};
use crate::closed_edge::Rail;
use crate::laid::Ray;
use crate::seam_runs::{Run, SeamRuns, Sight, place_along, seams_of};
use crate::{Alteration, Draft, DraftError, EdgeRun, Name, Piece, Seam};

/// A seam shorter than this needs no notch to be sewn, millimetres.
const SHORT_MM: f64 = 80.0;

/// A seam that is walked.
#[derive(Clone, Debug)]
pub struct Walking {
    /// Both sides: the one that lies still, and the one that rolls along it.
    runs: SeamRuns,
    rails: [Vec<Rail>; 2],
    /// Whether a piece's outline runs clockwise, for each edge.
    clockwise: [Vec<bool>; 2],
}

/// Two places that are sewn together: notches, or where edges meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Matched {
    /// Distance from where the walk begins on the side that lies still, millimetres.
    pub fixed_mm: f64,
    /// On the one that rolls.
    pub rolled_mm: f64,
}

impl Matched {
    /// By how much further the one on the side that lies still is.
    pub fn difference_mm(&self) -> f64 {
        self.fixed_mm - self.rolled_mm
    }
}

/// A place where a notch belongs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanting {
    /// On the side that lies still, millimetres from where the walk begins; `None` where one is there.
    pub fixed_mm: Option<f64>,
    /// On the one that rolls.
    pub rolled_mm: Option<f64>,
    /// Whether it is double.
    pub double: bool,
}

/// How the rolled piece lies at a moment of the walk.
#[derive(Clone, Copy, Debug)]
pub struct Step {
    /// Which edge of the side that lies still is touched, and which of the one that rolls.
    pub edges: [usize; 2],
    /// Where both edges touch, on the piece that lies still.
    pub at: Point,
    /// Carries the rolled piece onto it.
    pub map: Affine,
    /// Whether the side that lies still has come to its end.
    pub fixed_ended: bool,
    /// Whether the side that rolls has.
    pub rolled_ended: bool,
}

impl Walking {
    /// Walks the seam of an edge, whose side lies still, from the end at which the outline starts that edge. Of an edge that is
    /// sewn to several things, the seam with the fewest edges.
    ///
    /// # Errors
    /// It is sewn to nothing else, or one of the edges does not run in one line.
    pub fn of(draft: &Draft, piece: &Name, edge: &Name) -> Result<Self, DraftError> {
        Self::nth(draft, piece, edge, 0)
    }

    /// The same for another seam of the edge, counted from 0; after the last comes the first again.
    ///
    /// # Errors
    /// As for [`Self::of`].
    pub fn nth(draft: &Draft, piece: &Name, edge: &Name, nth: usize) -> Result<Self, DraftError> {
        let place = || format!("{piece} / {edge}");
        let mut all = walked(draft, piece, edge);
        if all.is_empty() {
            let remedy = "Choose an edge of a seam between pieces that stand in it once.";
            return Err(DraftError::new(place(), "is not sewn to an edge along which it can be walked", remedy));
        }
        let runs = all.swap_remove(nth % all.len());
        let own = runs.sides[0].iter().find(|r| r.side.piece == *piece && r.side.edge == *edge);
        let runs = if own.is_some_and(|r| r.against) { runs.from_other_end() } else { runs };
        let find = |run: &Run| {
            draft
                .piece(run.side.piece.as_str())
                .ok_or_else(|| DraftError::new(run.side.piece.to_string(), "is not there", "Choose another edge."))
        };
        let rail = |run: &Run| {
            Rail::of(find(run)?, &run.side.edge, run.against).ok_or_else(|| {
                let place = format!("{} / {}", run.side.piece, run.side.edge);
                DraftError::new(place, "does not run in one line", "Choose another seam.")
            })
        };
        let rails = |side: usize| runs.sides[side].iter().map(rail).collect::<Result<Vec<_>, _>>();
        let outline = |piece: &Piece| kurbo::Shape::area(&piece.outline()) > 0.0;
        let clockwise = |side: usize| runs.sides[side].iter().map(|r| find(r).map(outline)).collect::<Result<Vec<_>, _>>();
        let (rails, clockwise) = ([rails(0)?, rails(1)?], [clockwise(0)?, clockwise(1)?]);
        Ok(Self { runs, rails, clockwise })
    }

    /// The edges of the side that lies still, in order.
    pub fn fixed(&self) -> &[Run] {
        &self.runs.sides[0]
    }

    /// The edges of the side that rolls.
    pub fn rolled(&self) -> &[Run] {
        &self.runs.sides[1]
    }

    /// By how much the side that lies still is meant to be longer, millimetres.
    pub fn ease_mm(&self) -> f64 {
        self.runs.ease_mm
    }

    /// Length of the side that lies still and of the one that rolls, millimetres.
    pub fn lengths_mm(&self) -> [f64; 2] {
        [self.runs.length_mm(0), self.runs.length_mm(1)]
    }

    /// How far the walk goes, millimetres.
    pub fn end_mm(&self) -> f64 {
        let [a, b] = self.lengths_mm();
        a.max(b)
    }

    /// How the rolled piece lies after so many millimetres: both sides have gone the same way, and touch there.
    pub fn step(&self, walked_mm: f64) -> Step {
        let [(f, own_mm), (r, other_mm)] = [0, 1].map(|side| self.runs.run_at(side, walked_mm));
        let (at, along, placed) = self.rails[0][f].at(own_mm);
        let (from, from_along, from_placed) = self.rails[1][r].at(other_mm);
        let alike = self.fixed()[f].against == self.rolled()[r].against;
        // The inside has to come to lie on the other side of the line.
        let turned_over = self.clockwise[0][f] == (self.clockwise[1][r] == alike);
        let onto = Ray { at: from, along: from_along }.onto(Ray { at, along }, turned_over);
        let back = placed.inverse();
        let [a, b] = self.lengths_mm();
        Step { edges: [f, r], at: back * at, map: back * onto * from_placed, fixed_ended: walked_mm >= a, rolled_ended: walked_mm >= b }
    }

    /// What is sewn together, in order: notches of one kind no further apart than ease explains, and places where edges meet.
    pub fn matched(&self) -> Vec<Matched> {
        self.runs.matched().iter().map(|[a, b]| Matched { fixed_mm: a.at_mm, rolled_mm: b.at_mm }).collect()
    }

    /// By how much the side that lies still is longer so far: up to the last match that was passed, and at the end in all,
    /// millimetres.
    pub fn difference_mm(&self, walked_mm: f64) -> f64 {
        let [a, b] = self.lengths_mm();
        if walked_mm >= self.end_mm() - 1e-6 {
            return a - b;
        }
        let passed = |m: &Matched| m.fixed_mm.max(m.rolled_mm) <= walked_mm + 1e-6;
        self.matched().iter().rfind(|m| passed(m)).map_or(0.0, Matched::difference_mm)
    }

    /// Where notches belong: across from one that stands alone and from where edges meet, and in the middle of a seam that has
    /// none.
    pub fn wanting(&self) -> Vec<Wanting> {
        let matched = self.runs.matched();
        let back = self.runs.clone().swapped();
        let mut out: Vec<Wanting> = Vec::new();
        for seen in self.runs.seen(0).iter().filter(|s| !matched.iter().any(|m| m[0] == **s)) {
            let there = self.runs.opposite(seen.at_mm);
            out.push(Wanting { fixed_mm: None, rolled_mm: Some(there), double: seen.sight == Sight::Double });
        }
        for seen in self.runs.seen(1).iter().filter(|s| !matched.iter().any(|m| m[1] == **s)) {
            out.push(Wanting { fixed_mm: Some(back.opposite(seen.at_mm)), rolled_mm: None, double: seen.sight == Sight::Double });
        }
        let [a, b] = self.lengths_mm();
        if self.runs.seen(0).is_empty() && self.runs.seen(1).is_empty() && a.min(b) >= SHORT_MM {
            let middle = (a.min(b) / 2.0).round();
            out.push(Wanting { fixed_mm: Some(middle), rolled_mm: Some(self.runs.opposite(middle)), double: false });
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
        let mark = |(side, at): (usize, Option<f64>)| {
            let (nth, mm) = self.runs.run_at(side, at?);
            let run = self.runs.sides[side].get(nth)?;
            let at = place_along(draft.piece(run.side.piece.as_str())?, &run.side.edge, run.turned(mm))?;
            let sign = Sign::Notch { at, double: wanting.double, both: false };
            Some(Alteration::Mark(Mark { piece: run.side.piece.clone(), sign }))
        };
        [(0, wanting.fixed_mm), (1, wanting.rolled_mm)].into_iter().filter_map(mark).collect()
    }

    /// A point of one side at a distance from where the walk begins, on its own piece, and which edge that is on.
    pub fn on(&self, rolled: bool, walked_mm: f64) -> (usize, Point) {
        let side = usize::from(rolled);
        let (nth, mm) = self.runs.run_at(side, walked_mm);
        let (at, _, placed) = self.rails[side][nth].at(mm);
        (nth, placed.inverse() * at)
    }
}

impl Wanting {
    /// Where it is on the walk, millimetres.
    pub fn at_mm(&self) -> f64 {
        self.fixed_mm.or(self.rolled_mm).unwrap_or(0.0)
    }
}

/// The seams that can be walked from an edge, which is on their first side.
fn walked(draft: &Draft, piece: &Name, edge: &Name) -> Vec<SeamRuns> {
    let is = |run: &EdgeRun| run.piece == *piece && run.edge == *edge;
    let runs = |seam: &Seam| {
        let runs = SeamRuns::of(draft, seam)?;
        Some(if seam.a.iter().any(is) { runs } else { runs.swapped() })
    };
    seams_of(draft, piece, edge).into_iter().filter_map(runs).collect()
}

/// How many seams of an edge can be walked.
pub fn walks(draft: &Draft, piece: &Name, edge: &Name) -> usize {
    seams_of(draft, piece, edge).len()
}
