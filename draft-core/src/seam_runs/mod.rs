//! Both sides of a seam end to end: their edges in the order in which they are sewn, and which place meets which.

mod chain;

use self::chain::{chain, meets, reversed, sewn_together};
use crate::alteration::{Side, in_order};
use crate::pinned::partner;
use crate::place::{end_names, from_start};
use crate::seam::meets_start_to_start;
use crate::{Along, Draft, EdgeRun, Length, Name, Piece, Place, Seam};

/// Notches of both sides that stand further apart than this, apart from ease, are no match, millimetres.
const MATCH_MM: f64 = 10.0;
/// Places that lie so near to one another are the same, millimetres.
const SAME_MM: f64 = 0.05;
/// Edges that meet over less are not sewn to one another, millimetres.
const LEAST_MM: f64 = 2.0;
/// What is gathered keeps at least this share of its length, so that each of its places has one that it meets.
const GATHERED: f64 = 0.01;

/// One edge of a side of a seam.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The edge.
    pub side: Side,
    /// Whether the seam runs against its outline.
    pub against: bool,
    /// Where it begins, millimetres from where the seam does.
    pub from_mm: f64,
    /// Its length, millimetres.
    pub long_mm: f64,
}

impl Run {
    /// A distance along its outline from one along the seam, and the other way round.
    pub fn turned(&self, mm: f64) -> f64 {
        if self.against { self.long_mm - mm } else { mm }
    }

    /// Where it ends, millimetres from where the seam begins.
    pub fn to_mm(&self) -> f64 {
        self.from_mm + self.long_mm
    }
}

/// What shows a sewer a place of a seam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sight {
    /// A notch.
    Notch,
    /// A double notch.
    Double,
    /// Where two edges of this side meet: another seam, or a corner.
    Joint,
}

impl Sight {
    /// Whether both are sewn on one another.
    fn meets(self, other: Self) -> bool {
        self == other || self == Self::Joint || other == Self::Joint
    }
}

/// Something to see at a place of a side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Millimetres from where the seam begins.
    pub at_mm: f64,
    /// What it is.
    pub sight: Sight,
}

/// A seam laid out: both sides from the same end.
#[derive(Clone, Debug)]
pub struct SeamRuns {
    /// The edges of each side, in order.
    pub sides: [Vec<Run>; 2],
    /// By how much the first side is meant to be longer, millimetres.
    pub ease_mm: f64,
    seen: [Vec<Seen>; 2],
    /// Stretches that are drawn in: from, to, and into how much; millimetres, in order.
    drawn_in: [Vec<(f64, f64, f64)>; 2],
}

impl SeamRuns {
    /// Lays out a seam. `None` when an edge is gone, or when one stands in it several times, so that a place of the other side
    /// meets several of it.
    pub fn of(draft: &Draft, seam: &Seam) -> Option<Self> {
        if !runs_once(seam) {
            return None;
        }
        let [a, b] = [chain(draft, &seam.a)?, chain(draft, &seam.b)?];
        let plain = Self::laid(draft, a.clone(), b.clone(), seam.ease_mm)?;
        let turned = Self::laid(draft, a, reversed(b), seam.ease_mm)?;
        Some(if plain.runs_as_sewn(draft, &turned) { plain } else { turned })
    }

    /// The seams of an edge, laid out, with the edge on their first side.
    pub fn all_of(draft: &Draft, piece: &Name, edge: &Name) -> Vec<Self> {
        let is = |run: &EdgeRun| run.piece == *piece && run.edge == *edge;
        let of = |seam: &Seam| {
            if seam.a.iter().any(is) {
                Self::of(draft, seam)
            } else if seam.b.iter().any(is) {
                Self::of(draft, seam).map(Self::swapped)
            } else {
                None
            }
        };
        draft.seams.iter().filter_map(of).collect()
    }

    fn laid(draft: &Draft, a: Vec<(EdgeRun, bool)>, b: Vec<(EdgeRun, bool)>, ease_mm: f64) -> Option<Self> {
        let sides = [placed(draft, a)?, placed(draft, b)?];
        let seen = [seen(draft, &sides[0])?, seen(draft, &sides[1])?];
        let drawn_in = [drawn_in(draft, &sides[0])?, drawn_in(draft, &sides[1])?];
        Some(Self { sides, ease_mm, seen, drawn_in })
    }

    /// The same seam with its sides exchanged.
    #[must_use]
    pub fn swapped(mut self) -> Self {
        self.sides.reverse();
        self.seen.reverse();
        self.drawn_in.reverse();
        self.ease_mm = -self.ease_mm;
        self
    }

    /// The same seam from its other end.
    #[must_use]
    pub fn from_other_end(mut self) -> Self {
        for i in 0..2 {
            let long = self.length_mm(i);
            self.sides[i].reverse();
            for run in &mut self.sides[i] {
                (run.from_mm, run.against) = (long - run.to_mm(), !run.against);
            }
            self.seen[i].reverse();
            self.seen[i].iter_mut().for_each(|s| s.at_mm = long - s.at_mm);
            self.drawn_in[i].reverse();
            self.drawn_in[i].iter_mut().for_each(|d| (d.0, d.1) = (long - d.1, long - d.0));
        }
        self
    }

    /// Whether both sides begin at the same end of the seam, rather than the second one turned round: told by what they meet
    /// at their ends, then by what they show on the way; where nothing tells, two pieces with their printed sides up are sewn
    /// with their edges running against each other.
    fn runs_as_sewn(&self, draft: &Draft, turned: &Self) -> bool {
        let [a, b] = &self.sides;
        if let ([a], [b]) = (&a[..], &b[..])
            && let Some((own, other)) = draft.piece(a.side.piece.as_str()).zip(draft.piece(b.side.piece.as_str()))
        {
            return meets_start_to_start(own, &a.side.edge, other, &b.side.edge) == (a.against == b.against);
        }
        let (plain, other) = (self.likeness(draft), turned.likeness(draft));
        if plain != other {
            return plain > other;
        }
        let (plain, other) = (self.matched().len(), turned.matched().len());
        if plain != other {
            return plain > other;
        }
        a.first().map(|r| r.against) != b.first().map(|r| r.against)
    }

    /// How many names both sides have in common at their ends.
    fn likeness(&self, draft: &Draft) -> usize {
        let ends = |runs: &[Run]| -> Option<[Vec<(Name, Name)>; 2]> {
            let (first, last) = (runs.first()?, runs.last()?);
            Some([meets(draft, &first.side, first.against)?, meets(draft, &last.side, !last.against)?])
        };
        let Some((a, b)) = ends(&self.sides[0]).zip(ends(&self.sides[1])) else { return 0 };
        let sewn = |p: &(Name, Name), q: &(Name, Name)| sewn_together(draft, p, q);
        let alike = |x: &[(Name, Name)], y: &[(Name, Name)]| {
            x.iter().flat_map(|p| y.iter().map(move |q| (p, q))).filter(|(p, q)| p.1 == q.1 || sewn(p, q)).count()
        };
        alike(&a[0], &b[0]) + alike(&a[1], &b[1])
    }

    /// Length of a side, millimetres.
    pub fn length_mm(&self, side: usize) -> f64 {
        self.sides[side].last().map_or(0.0, Run::to_mm)
    }

    /// Which edge of a side a place is on, and how far from where the seam comes to that edge.
    pub fn run_at(&self, side: usize, mm: f64) -> (usize, f64) {
        let runs = &self.sides[side];
        let nth = runs.iter().position(|r| mm <= r.to_mm()).unwrap_or(runs.len().saturating_sub(1));
        (nth, runs.get(nth).map_or(0.0, |r| (mm - r.from_mm).clamp(0.0, r.long_mm)))
    }

    /// What can be seen on a side, in order.
    pub fn seen(&self, side: usize) -> &[Seen] {
        &self.seen[side]
    }

    /// What is sewn on one another, in order: of one kind, or where edges meet; and no further apart than ease explains. As many as
    /// there can be, and of those the ones that lie nearest.
    pub fn matched(&self) -> Vec<[Seen; 2]> {
        let [own, other] = &self.seen;
        let apart = MATCH_MM + self.ease_mm.abs();
        // Apart as they come to lie when what is gathered has been drawn in, and what is eased in is shared out.
        let [drawn_own, drawn_other] = [0, 1].map(|i| self.seen[i].iter().map(|s| self.drawn(i, s.at_mm)).collect::<Vec<_>>());
        let (long, meant) = self.drawn_lengths();
        let eased = meant / long.max(SAME_MM);
        let far = |i: usize, j: usize| (drawn_own[i] * eased - drawn_other[j]).abs();
        let meet = |i: usize, j: usize| own[i].sight.meets(other[j].sight) && far(i, j).min((own[i].at_mm - other[j].at_mm).abs()) <= apart;
        // How many can be matched from each place on, and how far these lie apart in all.
        let mut best = vec![vec![(0usize, 0.0f64); other.len() + 1]; own.len() + 1];
        let better = |a: (usize, f64), b: (usize, f64)| a.0 > b.0 || a.0 == b.0 && a.1 < b.1;
        for i in (0..own.len()).rev() {
            for j in (0..other.len()).rev() {
                let mut here = if better(best[i + 1][j], best[i][j + 1]) { best[i + 1][j] } else { best[i][j + 1] };
                if meet(i, j) {
                    let (count, sum) = best[i + 1][j + 1];
                    let both = (count + 1, sum + far(i, j));
                    if !better(here, both) {
                        here = both;
                    }
                }
                best[i][j] = here;
            }
        }
        let (mut i, mut j) = (0, 0);
        let mut out = Vec::with_capacity(best[0][0].0);
        while i < own.len() && j < other.len() {
            let (count, sum) = best[i + 1][j + 1];
            if meet(i, j) && best[i][j] == (count + 1, sum + far(i, j)) {
                out.push([own[i], other[j]]);
                (i, j) = (i + 1, j + 1);
            } else if best[i][j] == best[i + 1][j] {
                i += 1;
            } else {
                j += 1;
            }
        }
        out
    }

    /// A distance along a side with what is gathered before it drawn in, millimetres.
    fn drawn(&self, side: usize, mm: f64) -> f64 {
        let less = |(from, to, into): &(f64, f64, f64)| (mm.clamp(*from, *to) - from) * (1.0 - into / (to - from));
        mm - self.drawn_in[side].iter().map(less).sum::<f64>()
    }

    /// The distance along a side that is so long once it is drawn in.
    fn loosened(&self, side: usize, drawn_mm: f64) -> f64 {
        let (mut low, mut high) = (0.0, self.length_mm(side));
        for _ in 0..60 {
            let middle = (low + high) / 2.0;
            if self.drawn(side, middle) < drawn_mm {
                low = middle;
            } else {
                high = middle;
            }
        }
        if drawn_mm >= self.drawn(side, high) { high } else { (low + high) / 2.0 }
    }

    /// The place on the second side that a place on the first one is sewn on, millimetres: gathered stretches are drawn in, and
    /// what is eased in besides is shared out between what is matched on both sides. Where one side is longer than was meant,
    /// the rest is left over at the end.
    pub fn opposite(&self, mm: f64) -> f64 {
        let drawn = |i: usize, at: f64| self.drawn(i, at);
        let mut ends = vec![(0.0, 0.0)];
        for [own, other] in self.matched() {
            let (x, y) = (drawn(0, own.at_mm), drawn(1, other.at_mm));
            if ends.last().is_some_and(|(p, q)| x > p + SAME_MM && y > q + SAME_MM) {
                ends.push((x, y));
            }
        }
        let end = self.drawn_lengths();
        while ends.last().is_some_and(|(p, q)| ends.len() > 1 && (end.0 <= p + SAME_MM || end.1 <= q + SAME_MM)) {
            ends.pop();
        }
        ends.push(end);
        let x = drawn(0, mm);
        let nth = ends.windows(2).position(|w| x <= w[1].0).unwrap_or(ends.len() - 2);
        let ((x0, y0), (x1, y1)) = (ends[nth], ends[nth + 1]);
        let y = y0 + (x - x0) * (y1 - y0) / (x1 - x0).max(SAME_MM);
        self.loosened(1, y.clamp(0.0, drawn(1, self.length_mm(1))))
    }

    /// The length of the first side with what is gathered drawn in, and how much of the second side that was meant for.
    fn drawn_lengths(&self) -> (f64, f64) {
        let [(a, a_taken), (_, b_taken)] = [0, 1].map(|i| {
            let drawn = self.drawn(i, self.length_mm(i));
            (drawn, self.length_mm(i) - drawn)
        });
        (a, (a - (self.ease_mm - a_taken + b_taken)).max(0.0))
    }

    /// What of an edge of each side is sewn to the other: from where to where along each, as its own outline runs, in the order in
    /// which the seam runs. `None` where they do not meet.
    pub fn met(&self, own: &Side, other: &Side) -> Option<[(f64, f64); 2]> {
        let find = |i: usize, side: &Side| self.sides[i].iter().find(|r| r.side == *side);
        let (a, b) = (find(0, own)?, find(1, other)?);
        let (from, to) = (self.opposite(a.from_mm).max(b.from_mm), self.opposite(a.to_mm()).min(b.to_mm()));
        if to - from < LEAST_MM {
            return None;
        }
        let back = self.clone().swapped();
        let along = |run: &Run, mm: f64| run.turned((mm - run.from_mm).clamp(0.0, run.long_mm));
        Some([(along(a, back.opposite(from)), along(a, back.opposite(to))), (along(b, from), along(b, to))])
    }

    /// Whether each side is a single edge.
    pub fn is_single(&self) -> bool {
        self.sides.iter().all(|s| s.len() == 1)
    }

    /// The edge of the second side that meets a place of an edge of the first one, and how far along its outline; `None` where
    /// that is the very same place.
    pub fn across(&self, piece: &Name, edge: &Name, from_start_mm: f64) -> Option<(&Side, f64)> {
        let run = self.sides[0].iter().find(|r| r.side.piece == *piece && r.side.edge == *edge)?;
        let (nth, mm) = self.run_at(1, self.opposite(run.from_mm + run.turned(from_start_mm)));
        let other = self.sides[1].get(nth)?;
        let at = other.turned(mm);
        (other.side != run.side || (at - from_start_mm).abs() > SAME_MM).then_some((&other.side, at))
    }
}

/// Whether both sides of a seam have edges, and each edge stands in it as often as any other.
fn runs_once(seam: &Seam) -> bool {
    let Some(times) = seam.a.first().map(|run| run.times) else { return false };
    !seam.b.is_empty() && seam.a.iter().chain(&seam.b).all(|run| (run.times - times).abs() <= 1e-9)
}

/// The seams of an edge that can be laid out, of no edge with itself; those with the fewest edges first.
pub fn seams_of<'a>(draft: &'a Draft, piece: &Name, edge: &Name) -> Vec<&'a Seam> {
    let is = |run: &EdgeRun| run.piece == *piece && run.edge == *edge;
    let same = |a: &EdgeRun, b: &EdgeRun| a.piece == b.piece && a.edge == b.edge;
    let mut own: Vec<&Seam> = draft.seams.iter().filter(|s| s.a.iter().chain(&s.b).any(is) && runs_once(s)).collect();
    own.retain(|s| !s.a.iter().any(|a| s.b.iter().any(|b| same(a, b))));
    own.sort_by_key(|s| s.a.len() + s.b.len());
    own
}

/// The edges of other pieces that an edge is sewn to: the single other edge of its seam first, then what it meets of seams with
/// several edges on a side, what it meets for longer first.
pub fn sewn_to(draft: &Draft, piece: &Name, edge: &Name) -> Vec<Side> {
    let own = Side { piece: piece.clone(), edge: edge.clone() };
    let mut out: Vec<Side> = partner(draft, piece, edge).into_iter().collect();
    let mut others: Vec<(f64, Side)> = Vec::new();
    for runs in SeamRuns::all_of(draft, piece, edge) {
        let meets = |r: &Run| runs.met(&own, &r.side).map(|[_, (from, to)]| ((to - from).abs(), r.side.clone()));
        others.extend(runs.sides[1].iter().filter_map(meets));
    }
    others.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (_, side) in others {
        if !out.contains(&side) {
            out.push(side);
        }
    }
    out.retain(|s| s.piece != *piece);
    out
}

/// A place at a distance along an edge, in halves of a millimetre from its nearer end, by a name that is read as that end.
pub(crate) fn place_along(piece: &Piece, edge: &Name, from_start_mm: f64) -> Option<Place> {
    let length = piece.edge_length_mm(edge.as_str())?;
    let mm = from_start_mm.clamp(0.0, length);
    let [start, end] = end_names(piece, edge)?;
    let (from, own, mm) = if mm <= length / 2.0 { (start, true, mm) } else { (end, false, length - mm) };
    let from = if from_start(piece, edge, &from) == Ok(own) { from } else { if own { "start" } else { "end" }.into() };
    Some(Place::Edge { edge: edge.clone(), from, at: Along::Length(Length::from_mm((mm * 2.0).round() / 2.0)) })
}

fn placed(draft: &Draft, runs: Vec<(EdgeRun, bool)>) -> Option<Vec<Run>> {
    let mut from_mm = 0.0;
    let mut out = Vec::with_capacity(runs.len());
    for (run, against) in runs {
        let long_mm = draft.piece(run.piece.as_str())?.edge_length_mm(run.edge.as_str())?;
        out.push(Run { side: Side { piece: run.piece, edge: run.edge }, against, from_mm, long_mm });
        from_mm += long_mm;
    }
    Some(out)
}

fn seen(draft: &Draft, runs: &[Run]) -> Option<Vec<Seen>> {
    let mut out = Vec::new();
    for (nth, run) in runs.iter().enumerate() {
        let piece = draft.piece(run.side.piece.as_str())?;
        if nth > 0 {
            out.push(Seen { at_mm: run.from_mm, sight: Sight::Joint });
        }
        for notch in in_order(piece, &run.side.edge, !run.against) {
            let sight = if notch.double { Sight::Double } else { Sight::Notch };
            out.push(Seen { at_mm: run.from_mm + run.turned(notch.from_start_mm), sight });
        }
    }
    out.sort_by(|a, b| a.at_mm.total_cmp(&b.at_mm));
    Some(out)
}

fn drawn_in(draft: &Draft, runs: &[Run]) -> Option<Vec<(f64, f64, f64)>> {
    let mut out = Vec::new();
    for run in runs {
        let piece = draft.piece(run.side.piece.as_str())?;
        for gather in piece.gathers().iter().filter(|g| g.edge == run.side.edge && g.to_mm - g.from_mm > SAME_MM) {
            let (p, q) = (run.from_mm + run.turned(gather.from_mm), run.from_mm + run.turned(gather.to_mm));
            let (from, to) = (p.min(q), p.max(q));
            out.push((from, to, gather.into_mm.max((to - from) * GATHERED)));
        }
    }
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    Some(out)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::Garment;

    fn demo() -> Draft {
        let garment = Garment::from_text(include_str!("../../../assets/demo/garment.ron")).unwrap();
        Draft::clone(&garment.build().draft)
    }

    #[test]
    fn a_place_and_the_one_across_from_it_are_each_others() {
        let draft = demo();
        let mut tried = 0;
        for seam in &draft.seams {
            let Some(runs) = SeamRuns::of(&draft, seam) else { continue };
            let back = runs.clone().swapped();
            let long = runs.length_mm(0);
            for k in 0..=8 {
                let at = long * f64::from(k) / 8.0;
                let there = runs.opposite(at);
                assert!((back.opposite(there) - at).abs() < 0.6, "{seam:?} at {at}: {there}, {}", back.opposite(there));
                tried += 1;
            }
        }
        assert!(tried > 60, "{tried}");
    }

    #[test]
    fn sides_of_several_edges_follow_one_another_from_end_to_end() {
        let draft = demo();
        let mut several = 0;
        for seam in draft.seams.iter().filter(|s| s.a.len() + s.b.len() > 2) {
            let Some(runs) = SeamRuns::of(&draft, seam) else { continue };
            several += 1;
            for (i, side) in runs.sides.iter().enumerate() {
                for pair in side.windows(2) {
                    let (p, q) = (&pair[0], &pair[1]);
                    let here = meets(&draft, &p.side, p.against).unwrap();
                    let there = meets(&draft, &q.side, !q.against).unwrap();
                    let joined = here[0].1 == q.side.edge || sewn_together(&draft, &here[0], &there[0]);
                    assert!(joined, "{seam:?} side {i}: {here:?} {there:?}");
                }
            }
            let turned = runs.clone().from_other_end();
            let at = runs.length_mm(0) * 0.3;
            let there = runs.length_mm(1) - turned.opposite(runs.length_mm(0) - at);
            assert!((runs.opposite(at) - there).abs() < runs.ease_mm.abs() + 0.6, "{seam:?}");
        }
        assert!(several > 0, "{:?}", draft.seams);
    }
}
