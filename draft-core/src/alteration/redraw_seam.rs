use kurbo::{Point, Vec2};
use serde::{Deserialize, Serialize};

use super::piece;
use super::redraw::Redraw;
use super::take_in::Side;
use crate::closed_edge::{Bit, closed_edge, corner, free, led};
use crate::place::handed;
use crate::seam::meets_start_to_start;
use crate::{Bend, Draft, DraftError, DrawnLine, Name, Piece, Place};

/// Puts another line in the place of both edges of a seam, so that they go on matching.
///
/// # Keeps
/// As [`Redraw`], on both pieces; edges that were of the same length and shape are so again.
/// # Changes
/// The edge as by [`Redraw`], and the edge that is sewn to it by the same line, laid on it as they are sewn.
/// # Source
/// Tracing a new seam line through both pieces pinned together: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RedrawSeam {
    /// The piece on which the line is drawn.
    pub piece: Name,
    /// Its edge.
    pub edge: Name,
    /// The new line, in either direction.
    pub line: DrawnLine,
    /// The edge that is sewn to it.
    pub other: Side,
}

/// An end that has moved by less stays where it is, millimetres.
const STILL_MM: f64 = 0.01;

impl RedrawSeam {
    pub(super) fn what(&self) -> String {
        let Self { piece, edge, other, .. } = self;
        format!("redraw {piece} / {edge} with {} / {}", other.piece, other.edge)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let (own, other) = (piece(draft, &self.piece)?, piece(draft, &self.other.piece)?);
        crate::place::edge_index(other, &self.other.edge)?;
        if self.piece == self.other.piece && self.edge == self.other.edge {
            return Err(DraftError::new(
                format!("{} / {}", self.piece, self.edge),
                "is sewn to itself",
                "Redraw it alone; both sides of the body are the same.",
            ));
        }
        let line = |piece: &Piece, edge: &Name| {
            closed_edge(piece, edge).ok_or_else(|| {
                DraftError::new(format!("{} / {edge}", piece.name()), "does not run in one line", "Redraw each side by itself.")
            })
        };
        let (was, over) = (line(own, &self.edge)?, line(other, &self.other.edge)?);
        let redraw = Redraw { piece: self.piece.clone(), edge: self.edge.clone(), line: self.line.clone() };
        let after = redraw.apply(draft)?;
        let is = line(piece(&after, &self.piece)?, &self.edge)?;

        let alike = meets_start_to_start(own, &self.edge, other, &self.other.edge);
        let (from, to) = (Frame::of(own, &was, false, false), Frame::of(other, &over, !alike, alike));
        let shift = |was: Point, is: Point| from.local(is - was);
        let ends =
            [(shift(was[0].curve.p0, is[0].curve.p0), alike), (shift(was[was.len() - 1].curve.p3, is[is.len() - 1].curve.p3), !alike)];
        let there = ends.map(|(by, at_start)| -> Option<Place> {
            if by.hypot() < STILL_MM {
                return corner(other, &self.other.edge, at_start);
            }
            let (bit, at) = if at_start { (&over[0], over[0].curve.p0) } else { (&over[over.len() - 1], over[over.len() - 1].curve.p3) };
            led(other, &self.other.edge, at_start, bit.placed.inverse() * (at + to.out(by)))
        });
        let [Some(first), Some(last)] = there else {
            return Err(DraftError::new(
                format!("{} / {}", self.other.piece, self.other.edge),
                "ends at a dart, so that it can't follow",
                "Move the dart first, or redraw each side by itself.",
            ));
        };
        let curves: Vec<_> = is.iter().map(|b| b.curve).collect();
        let mut inner = free(own, &curves);
        if alike {
            for point in &mut inner {
                point.1 = -point.1;
            }
        }
        let line = DrawnLine::bent(first, last, Bend::Free(inner));
        Redraw { piece: self.other.piece.clone(), edge: self.other.edge.clone(), line }.apply(&after)
    }
}

/// The frame of a closed edge: along it, and to the right with the printed side up or, from the other side of the seam, to
/// the left.
struct Frame {
    along: Vec2,
    aside: Vec2,
}

impl Frame {
    fn of(piece: &Piece, bits: &[Bit], against: bool, mirrored: bool) -> Self {
        let chord = bits[bits.len() - 1].curve.p3 - bits[0].curve.p0;
        let along = if against { -chord } else { chord }.normalize();
        let right = Vec2::new(-along.y, along.x) * handed(piece);
        Self { along, aside: if mirrored { -right } else { right } }
    }

    fn local(&self, by: Vec2) -> Vec2 {
        Vec2::new(by.dot(self.along), by.dot(self.aside))
    }

    fn out(&self, by: Vec2) -> Vec2 {
        self.along * by.x + self.aside * by.y
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::{Garment, Length};

    #[test]
    fn both_sides_of_a_seam_stay_equally_long() {
        let garment = Garment::from_text(include_str!("../../../assets/demo/garment.ron")).unwrap();
        let draft = garment.build().draft;
        for (piece, edge, other_piece, other) in [
            ("gore", "right seam", "gore", "left seam"),
            ("gore", "left seam", "gore", "right seam"),
            ("back", "side seam", "front", "side seam"),
        ] {
            let own = draft.piece(piece).unwrap();
            let ends = [true, false].map(|s| corner(own, &edge.into(), s).unwrap());
            let bend = Bend::Bow(Length::from_mm(9.0));
            let seam = RedrawSeam {
                piece: piece.into(),
                edge: edge.into(),
                line: DrawnLine::bent(ends[0].clone(), ends[1].clone(), bend),
                other: Side { piece: other_piece.into(), edge: other.into() },
            };
            let after = seam.apply(&draft).unwrap();
            let long = |p: &str, e: &str| after.piece(p).unwrap().edge_length_mm(e).unwrap();
            let was = |p: &str, e: &str| draft.piece(p).unwrap().edge_length_mm(e).unwrap();
            let (a, b) = (long(piece, edge), long(other_piece, other));
            assert!((a - was(piece, edge)).abs() > 0.2, "{piece} / {edge} was redrawn");
            assert!((a - b).abs() < 0.5, "{piece} / {edge} {a}, {other_piece} / {other} {b}");
        }
    }
}
