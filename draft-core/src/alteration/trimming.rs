use kurbo::{Affine, BezPath, PathEl, Shape as _};
use serde::{Deserialize, Serialize};

use super::piece;
use crate::geometry::{self, end, start};
use crate::place::{edge_index, frame};
use crate::{Covered, Draft, DraftError, Name, Notion, Piece};

/// The part of a piece that is trimmed or worked on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Part {
    /// Along an edge.
    Edge(Name),
    /// Along a marked line; what it goes round where it is closed.
    Line(Name),
    /// All of the piece, between its seam lines.
    Whole,
}

/// Trims or embroiders part of a piece: lace along an edge, a cord along a marked line, beads over a whole yoke.
///
/// # Keeps
/// Every line.
/// # Changes
/// The list of notions: the true length of the part for a trim, its true size and area for embroidery, on each piece
/// of cloth that is cut.
/// # Source
/// Arithmetic; lace that is gathered takes 1.5 to 2 times the length of its edge: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trimming {
    /// The piece.
    pub piece: Name,
    /// Which part of it.
    pub part: Part,
    /// What it is, as it stands in the list of notions: `lace, 3 cm`, `gold embroidery`.
    pub what: String,
    /// So many times the length of its part, where it is gathered or pleated; 1 for a trim that lies flat.
    #[serde(default = "flat", skip_serializing_if = "is_flat")]
    pub fullness: f64,
}

const fn flat() -> f64 {
    1.0
}

fn is_flat(fullness: &f64) -> bool {
    *fullness == 1.0
}

/// A line whose ends are no farther apart is closed, millimetres.
const CLOSED_MM: f64 = 0.1;

impl Trimming {
    pub(super) fn what(&self) -> String {
        let part = match &self.part {
            Part::Edge(name) | Part::Line(name) => format!("the {name} of the {}", self.piece),
            Part::Whole => format!("the {}", self.piece),
        };
        format!("{} on {part}", if self.what.trim().is_empty() { "trimming" } else { self.what.trim() })
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let own = piece(draft, &self.piece)?;
        if self.what.trim().is_empty() {
            return Err(DraftError::new(self.piece.to_string(), "is trimmed with something that has no name", "Say what it is."));
        }
        if !(0.2..=10.0).contains(&self.fullness) {
            return Err(DraftError::new(
                self.what.clone(),
                format!("would be {:.0} % of its part", 100.0 * self.fullness),
                "Give 100 % for a trim that lies flat, 150 to 200 % for one that is gathered.",
            ));
        }
        let (length_mm, covers, place) = match &self.part {
            Part::Edge(edge) => {
                edge_index(own, edge)?;
                let length = own.edge_length_mm(edge.as_str()).unwrap_or(0.0) * halves(own);
                (Some(length * self.fullness), None, format!("{} / {edge}", self.piece))
            }
            Part::Line(name) => {
                let line = own.lines().iter().find(|l| l.name == *name).ok_or_else(|| no_line(own, name))?;
                let length = geometry::length(&line.path) * halves(own);
                let covers = is_closed(&line.path).then(|| size(own, &line.path, 1.0));
                (Some(length * self.fullness), covers, format!("{} / {name}", self.piece))
            }
            Part::Whole => (None, Some(size(own, &own.outline(), halves(own))), self.piece.to_string()),
        };
        let mut after = draft.clone();
        let count = own.cut().count.max(1);
        after.notions.push(Notion { what: self.what.trim().to_owned(), count, length_mm, covers, place, ..Notion::default() });
        Ok(after)
    }
}

/// Two where the piece is half of what is cut.
fn halves(piece: &Piece) -> f64 {
    if piece.fold().is_some() { 2.0 } else { 1.0 }
}

fn is_closed(path: &BezPath) -> bool {
    matches!(path.elements().last(), Some(PathEl::ClosePath)) || start(path).zip(end(path)).is_some_and(|(a, b)| a.distance(b) <= CLOSED_MM)
}

/// How large the inside of a path is along the grain of its piece and across it, both halves together where there are two.
fn size(piece: &Piece, path: &BezPath, halves: f64) -> Covered {
    let (up, _) = frame(piece);
    let turned = Affine::rotate(-up.atan2()) * path.clone();
    let bounds = turned.bounding_box();
    // Opened out about the fold it grows across it.
    let fold = piece.fold().and_then(|f| piece.edge_ends(f.name.as_str())).map(|(a, b)| b - a);
    let along = fold.is_some_and(|f| f.dot(up).abs() >= f.cross(up).abs());
    let (high, wide) = match (halves > 1.0, along) {
        (false, _) => (bounds.width(), bounds.height()),
        (true, true) => (bounds.width(), 2.0 * bounds.height()),
        (true, false) => (2.0 * bounds.width(), bounds.height()),
    };
    Covered { wide_mm: wide, high_mm: high, area_mm2: halves * path.area().abs() }
}

fn no_line(piece: &Piece, name: &Name) -> DraftError {
    let names: Vec<&str> = piece.lines().iter().map(|l| l.name.as_str()).collect();
    let remedy = if names.is_empty() { "Mark a line first.".to_owned() } else { format!("Use one of its lines: {}.", names.join(", ")) };
    DraftError::new(piece.name().to_string(), format!("has no marked line named {name}"), remedy)
}
