use serde::{Deserialize, Serialize};

use super::{piece, sewn, unique_edge, unused};
use crate::division::{LineEnd, divide};
use crate::{Draft, DraftError, DrawnLine, Edge, Length, Name, Piece, Role};

/// Cuts a piece in two along a line.
///
/// A dart that the line crosses is closed on the side of its mouth, as in a yoke; on the other side what is left of it
/// stays a dart.
///
/// # Keeps
/// The area; every edge, its parts on either side sewn to what they were sewn to; grain and cut count.
/// # Changes
/// One piece becomes two, each with the new edge, two notches on it, and a seam between them.
/// # Source
/// Style lines with allowance added to both sides and notches to match them: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cut {
    /// The piece, which keeps its name on one side.
    pub piece: Name,
    /// Where it is cut: from edge to edge.
    pub line: DrawnLine,
    /// The name of the new edge on both sides.
    pub seam: Name,
    /// The name of the piece on the other side …
    pub new: Name,
    /// … which is the side that holds this edge (or the greater part of it) or point.
    pub with: Name,
    /// Seam allowance of the new edges.
    #[serde(default = "plain")]
    pub allowance: Length,
    /// Whether both sides are sewn together again.
    #[serde(default = "yes")]
    pub sewn: bool,
}

/// What both parts may differ in area from the whole, square millimetres; more means that the line ran outside.
const LEAVES_MM2: f64 = 1e-3;

const fn yes() -> bool {
    true
}

/// A plain seam's allowance.
pub(super) const fn plain() -> Length {
    Length::from_mm(15.0)
}

impl Cut {
    pub(super) fn what(&self) -> String {
        format!("cut the {} from the {}", self.new, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        unused(draft, &self.new)?;
        unique_edge(old, &self.seam)?;
        let (first, last) = self.line.ends()?;
        let ends = [LineEnd::on(old, first)?, LineEnd::on(old, last)?];
        let mut edges: Vec<Edge> = old.edges().to_vec();
        let role = if self.sewn { Role::Seam } else { Role::Cut };
        edges.push(Edge { name: self.seam.clone(), role, allowance_mm: self.allowance.mm() });
        let division = divide(old, &self.line, ends, edges.len() - 1, false)?;
        let new = division.holding(&self.with)?;
        let made = self.notched(division.piece(new, self.new.clone(), &edges)?)?;
        let kept = self.notched(division.piece(1 - new, self.piece.clone(), &edges)?)?;
        if (made.area_mm2() + kept.area_mm2() - old.area_mm2()).abs() > LEAVES_MM2 {
            return Err(DraftError::new(
                self.piece.to_string(),
                "the line leaves the piece on its way",
                "Draw it inside the piece, from edge to edge.",
            ));
        }
        let mut after = draft.clone();
        after.replace(&self.piece, vec![kept, made]);
        if self.sewn {
            after.seams.push(sewn(&self.new, &self.seam, &self.piece, &self.seam));
        }
        Ok(after)
    }

    fn notched(&self, piece: Piece) -> Result<Piece, DraftError> {
        if self.sewn { matched(piece, &self.seam) } else { Ok(piece) }
    }
}

/// Notches at the thirds of an edge, where both sides meet whichever way they are walked.
pub(super) fn matched(piece: Piece, edge: &Name) -> Result<Piece, DraftError> {
    let length = piece.edge_length_mm(edge.as_str()).unwrap_or(0.0);
    let mut builder = piece.to_builder();
    for third in [1.0, 2.0] {
        builder = builder.notch(edge.clone(), length * third / 3.0, false);
    }
    builder.build()
}
