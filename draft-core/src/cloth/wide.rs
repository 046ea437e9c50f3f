//! Pieces that are wider than the cloth, and the seam that mends it.

use kurbo::{Affine, Line, Point, Rect};

use super::piecing::ALLOWANCE_MM;
use super::{Cloth, Cut};
use crate::{Grade, Message, Name, Unit};

/// A piece that fits across the cloth in no way in which it may lie.
#[derive(Clone, Debug, PartialEq)]
pub struct TooWide {
    /// The piece.
    pub piece: Name,
    /// The cloth.
    pub cloth: String,
    /// How wide it is across the grain, millimetres.
    pub across_mm: f64,
    /// How wide the cloth is where it can be laid on.
    pub usable_mm: f64,
    /// Copies of it.
    pub count: u32,
    /// Seams on the straight grain that divide it into parts that fit, in the piece's own coordinates, from edge to
    /// edge; empty when no such division helps.
    pub seams: Vec<Line>,
}

impl TooWide {
    /// For an outline that does not fit; `piece_from_item` leads back from coordinates with the grain along x.
    pub fn of(cut: &Cut, cloth: &Cloth, usable_mm: f64, whole: &[Point], piece_from_item: Affine) -> Self {
        let first = whole.first().copied().unwrap_or_default();
        let bounds = whole.iter().fold(Rect::from_points(first, first), |r, p| r.union_pt(*p));
        let across = bounds.height();
        let both = 2.0 * ALLOWANCE_MM;
        // n parts are together wider by the allowances of n − 1 seams.
        let parts = if usable_mm > both + 1.0 { ((across - both) / (usable_mm - both)).ceil().max(2.0) as u32 } else { 0 };
        // Either side of the middle of a piece on the fold, never along the fold itself.
        let parts = if cut.fold.is_some() && parts.is_multiple_of(2) { parts + 1 } else { parts };
        let seams = (1..parts.max(1))
            .map(|i| {
                let y = bounds.y0 + across * f64::from(i) / f64::from(parts);
                piece_from_item * Line::new((bounds.x0, y), (bounds.x1, y))
            })
            .collect();
        Self { piece: cut.piece.clone(), cloth: cloth.name.clone(), across_mm: across, usable_mm, count: cut.count, seams }
    }

    /// What to tell the maker.
    pub fn message(&self, unit: Unit) -> Message {
        let parts = self.seams.len() + 1;
        let remedy = if self.seams.is_empty() {
            "Take wider cloth.".to_owned()
        } else {
            format!(
                "Take cloth at least {} wide between the selvedges, or join it from {parts} parts with {} on the straight grain.",
                unit.rough(self.across_mm),
                if parts == 2 { "a seam".to_owned() } else { format!("{} seams", parts - 1) },
            )
        };
        Message::new(
            Grade::Warning,
            format!("{}, {}", self.piece, self.cloth),
            format!(
                "is {} across the grain, and the cloth only {} between the selvedges",
                unit.rough(self.across_mm),
                unit.rough(self.usable_mm)
            ),
            remedy,
        )
    }
}
