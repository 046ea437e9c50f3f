//! A dart that is not sewn: its legs give way to one smooth line, and what the edge grows by is gathered, eased or let out.

use kurbo::{CubicBez, Point, Vec2};

use super::{Opened, in_order, merged, open, refuse};
use crate::course::cut_at;
use crate::geometry::{self, end, end_tangent, start, start_tangent};
use crate::piece::Gather;
use crate::{DraftError, Part, Piece};

/// A curve from one edge's end direction to another's start direction. Where the two meet ahead it bends one way only, as
/// the arc of a circle would be drawn.
fn bridge(from: Point, leaves: Vec2, to: Point, arrives: Vec2) -> CubicBez {
    let chord = to - from;
    let turn = leaves.cross(arrives).atan2(leaves.dot(arrives));
    let (ahead, back) = (chord.cross(arrives) / leaves.cross(arrives), leaves.cross(chord) / leaves.cross(arrives));
    let (mut a, mut b) = (chord.hypot() / 3.0, chord.hypot() / 3.0);
    if turn.abs() > 0.01 && ahead > 0.0 && back > 0.0 && ahead.max(back) < 3.0 * chord.hypot() {
        let part = 4.0 / 3.0 * (turn / 4.0).tan() / (turn / 2.0).tan();
        (a, b) = (ahead * part, back * part);
    }
    CubicBez::new(from, from + leaves * a, to - arrives * b, to)
}

/// The same piece with a dart's legs replaced by one smooth line over `reach_mm` of the edge to either side, less where
/// the edge ends sooner. Gives it with what there is to gather, ease or let out: the range along the new edge, and what
/// the cloth measured there with the dart closed.
///
/// # Keeps
/// The edge outside the range, every other edge, and the directions in which the line enters and leaves the range.
/// # Errors
/// There is no such dart, or it does not open in the middle of one edge.
pub fn let_out(piece: &Piece, dart: &str, reach_mm: f64) -> Result<(Piece, Gather), DraftError> {
    let Opened { dart, mut round, .. } = open(piece, dart)?;
    let middle_of_edge = || refuse(piece, format!("{} does not open in the middle of an edge", dart.name), "Move it to another place.");
    let (Some(last), Some(first)) = (round.pop(), (!round.is_empty()).then(|| round.remove(0))) else {
        return Err(middle_of_edge());
    };
    if first.edge != last.edge {
        return Err(middle_of_edge());
    }
    let (before_mm, after_mm) = (geometry::length(&last.path), geometry::length(&first.path));
    let (reach_before, reach_after) = (reach_mm.min(0.9 * before_mm), reach_mm.min(0.9 * after_mm));
    let (kept_before, _) = cut_at(&last.path, before_mm - reach_before);
    let (_, kept_after) = cut_at(&first.path, reach_after);
    let (Some(from), Some(to)) = (end(&kept_before), start(&kept_after)) else { return Err(middle_of_edge()) };
    let line = bridge(from, end_tangent(&kept_before), to, start_tangent(&kept_after));
    let long = geometry::cubic_length(&line);
    let mut path = kept_before;
    path.curve_to(line.p1, line.p2, line.p3);
    path.extend(kept_after.elements().iter().skip(1).copied());

    let edge = piece.edges()[first.edge].name.clone();
    let (mut from_mm, mut reached) = (0.0, false);
    for part in piece.edge_parts(edge.as_str()) {
        if part.path == last.path {
            from_mm += before_mm - reach_before;
            reached = true;
            break;
        }
        from_mm += geometry::length(&part.path);
    }
    if !reached {
        return Err(middle_of_edge());
    }
    let gather = Gather { edge: edge.clone(), from_mm, to_mm: from_mm + long, into_mm: reach_before + reach_after };

    let mut parts = vec![Part { edge: first.edge, path }];
    parts.append(&mut round);
    let parts = in_order(piece, merged(parts));
    let darts = piece.darts().iter().filter(|d| d.name != dart.name).cloned().collect();
    let longer = gather.taken_up_mm();
    let middle = from_mm + reach_before;
    let new = piece
        .to_builder()
        .reshaped(parts, darts, piece.points().to_vec(), piece.lines().to_vec())
        .notches_moved(|n| {
            // Inside the range a notch keeps its part of the way.
            if n.edge != edge || n.from_start_mm <= from_mm {
                return n.from_start_mm;
            }
            if n.from_start_mm >= middle + reach_after {
                return n.from_start_mm + longer;
            }
            from_mm + (n.from_start_mm - from_mm) * long / (reach_before + reach_after)
        })
        .build()?;
    Ok((new, gather))
}

/// The same piece with a dart taken into gathers: as [`let_out`], the range marked by two notches and drawn in to what
/// it measured with the dart closed.
///
/// # Errors
/// As for [`let_out`].
pub fn gathered(piece: &Piece, dart: &str, reach_mm: f64) -> Result<Piece, DraftError> {
    let (piece, gather) = let_out(piece, dart, reach_mm)?;
    piece.to_builder().gather(gather).build()
}
