//! The edges of one side of a seam in the order in which they follow one another.

use crate::alteration::Side;
use crate::place::edge_index;
use crate::{Draft, EdgeRun, Name};

/// What an edge meets at one of its ends, as the outline runs: the next edge that is no leg of a dart, and points that stand
/// there; each with its piece.
pub(super) fn meets(draft: &Draft, side: &Side, at_start: bool) -> Option<Vec<(Name, Name)>> {
    let piece = draft.piece(side.piece.as_str())?;
    let parts = piece.parts();
    let (count, index) = (parts.len(), edge_index(piece, &side.edge).ok()?);
    let own = |i: usize| parts[i].edge == index;
    let at = if at_start { (0..count).find(|&i| own(i))? } else { (0..count).rfind(|&i| own(i))? };
    let leg = |i: usize| piece.darts().iter().any(|d| [&d.leg_a, &d.leg_b].contains(&&piece.edges()[parts[i].edge].name));
    let step = |i: usize| if at_start { (i + count - 1) % count } else { (i + 1) % count };
    let mut next = step(at);
    while leg(next) && next != at {
        next = step(next);
    }
    let name = |name: &Name| (piece.name().clone(), name.clone());
    let mut out = vec![name(&piece.edges()[parts[next].edge].name)];
    let (start, end) = piece.edge_ends(side.edge.as_str())?;
    let corner = if at_start { start } else { end };
    out.extend(piece.points().iter().filter(|p| p.at.distance(corner) < 0.1).map(|p| name(&p.name)));
    Some(out)
}

/// Whether two edges lie on the two sides of a seam.
pub(super) fn sewn_together(draft: &Draft, p: &(Name, Name), q: &(Name, Name)) -> bool {
    let on = |runs: &[EdgeRun], e: &(Name, Name)| runs.iter().any(|r| r.piece == e.0 && r.edge == e.1);
    draft.seams.iter().any(|s| on(&s.a, p) && on(&s.b, q) || on(&s.a, q) && on(&s.b, p))
}

/// The edges of one side in the order in which they follow one another, each with whether the side runs against its outline.
pub(super) fn chain(draft: &Draft, runs: &[EdgeRun]) -> Option<Vec<(EdgeRun, bool)>> {
    let side = |run: &EdgeRun| Side { piece: run.piece.clone(), edge: run.edge.clone() };
    // Whether one end of an edge meets one end of another: on one piece by following it, else where their neighbours are sewn.
    let joins = |(a, a_start): (&EdgeRun, bool), (b, b_start): (&EdgeRun, bool)| {
        let (Some(p), Some(q)) = (meets(draft, &side(a), a_start), meets(draft, &side(b), b_start)) else { return false };
        let (Some(next), Some(other)) = (p.first(), q.first()) else { return false };
        if a.piece == b.piece { next.1 == b.edge && other.1 == a.edge && a_start != b_start } else { sewn_together(draft, next, other) }
    };
    let (first, rest) = runs.split_first()?;
    if runs.iter().any(|r| draft.piece(r.piece.as_str()).is_none_or(|p| p.edge(r.edge.as_str()).is_none())) {
        return None;
    }
    let mut left: Vec<&EdgeRun> = rest.iter().collect();
    let mut out = vec![(first.clone(), false)];
    while !left.is_empty() {
        let (head, tail) = (out.first()?.clone(), out.last()?.clone());
        let at_tail = left.iter().enumerate().find_map(|(i, run)| {
            // Its start comes next, or its end.
            [true, false].into_iter().find(|start| joins((&tail.0, tail.1), (run, *start))).map(|start| (i, !start))
        });
        let at_head = || {
            left.iter().enumerate().find_map(|(i, run)| {
                [false, true].into_iter().find(|start| joins((&head.0, !head.1), (run, *start))).map(|start| (i, start))
            })
        };
        if let Some((i, against)) = at_tail {
            out.push((left.remove(i).clone(), against));
        } else if let Some((i, against)) = at_head() {
            out.insert(0, (left.remove(i).clone(), against));
        } else {
            // Nothing tells: as it is written.
            out.push((left.remove(0).clone(), tail.1));
        }
    }
    Some(out)
}

pub(super) fn reversed(mut runs: Vec<(EdgeRun, bool)>) -> Vec<(EdgeRun, bool)> {
    runs.reverse();
    runs.iter_mut().for_each(|r| r.1 = !r.1);
    runs
}
