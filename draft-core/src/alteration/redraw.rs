use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::division::{LineEnd, divide};
use crate::place::{Spot, edge_index};
use crate::{Draft, DraftError, DrawnLine, Name, NamedPoint, Piece, Place};

/// Puts another line in the place of an edge: a neckline, an armhole, a hem.
///
/// The line's ends lie on the neighbouring edges, which are cut off there, or beyond them, which are then carried on
/// straight. A dart in the edge is closed while the line is drawn and opened again.
///
/// # Keeps
/// Every other edge, the darts that end inside, the edge's name, role and allowance.
/// # Changes
/// The edge, the ends of its neighbours, and points that lay at its ends.
/// # Source
/// Drawing a style line on the closed pattern and truing it across the dart: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Redraw {
    /// The piece.
    pub piece: Name,
    /// The edge.
    pub edge: Name,
    /// Its new line, in either direction.
    pub line: DrawnLine,
}

/// Two points closer than this are one corner, millimetres.
const CORNER_MM: f64 = 0.01;

impl Redraw {
    pub(super) fn what(&self) -> String {
        format!("redraw the {} of the {}", self.edge, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let index = edge_index(old, &self.edge)?;
        let (start, end) = old
            .edge_ends(self.edge.as_str())
            .ok_or_else(|| DraftError::new(self.piece.to_string(), format!("its {} has no length", self.edge), "Choose another edge."))?;
        let (first, last) = self.line.ends()?;
        let (a, b) = (first.find(old)?, last.find(old)?);
        let forward = a.distance(start) + b.distance(end) <= a.distance(end) + b.distance(start);
        let length = old.edge_length_mm(self.edge.as_str()).unwrap_or(0.0);
        let at = |place: &Place, at_start: bool| -> Result<LineEnd, DraftError> {
            LineEnd::on(old, place).or_else(|_| {
                let corner = Spot { edge: index, at_mm: if at_start { 0.0 } else { length }, at: if at_start { start } else { end } };
                Ok(LineEnd { spot: corner, beyond: Some(place.find(old)?) })
            })
        };
        let ends = [at(first, forward)?, at(last, !forward)?];
        let division = divide(old, &self.line, ends, index, true)?;
        let kept = 1 - division.holding(&self.edge)?;
        let new = division.piece(kept, self.piece.clone(), old.edges())?;
        Ok(with(draft, corners_moved(old, new, &self.edge)?))
    }
}

/// The redrawn piece with the points that lay at the ends of the edge at its new ends.
fn corners_moved(old: &Piece, new: Piece, edge: &Name) -> Result<Piece, DraftError> {
    let (Some(was), Some(is)) = (old.edge_ends(edge.as_str()), new.edge_ends(edge.as_str())) else { return Ok(new) };
    let mut points: Vec<NamedPoint> = new.points().to_vec();
    for point in old.points() {
        let to = if point.at.distance(was.0) < CORNER_MM {
            is.0
        } else if point.at.distance(was.1) < CORNER_MM {
            is.1
        } else {
            continue;
        };
        match points.iter_mut().find(|p| p.name == point.name) {
            Some(p) => p.at = to,
            None => points.push(NamedPoint { at: to, ..point.clone() }),
        }
    }
    let lines = new.lines().to_vec();
    new.to_builder().inner(points, lines).build()
}
