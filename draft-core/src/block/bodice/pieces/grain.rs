//! A grain line for a piece that has none in its middle.

use kurbo::Line;

use crate::{DraftError, Piece, geometry};

/// The piece with the longest upright grain line that it has room for: a slanting panel has none in its middle.
pub fn upright(piece: &Piece) -> Result<Piece, DraftError> {
    const COLUMNS: u32 = 24;
    let (corners, bounds) = (geometry::flattened(&piece.outline(), 0.5), piece.bounds());
    let mut best = (0.0, piece.grain());
    for column in 1..COLUMNS {
        let x = bounds.x0 + bounds.width() * f64::from(column) / f64::from(COLUMNS);
        // Heights at which the outline crosses this column; cloth lies between the first and the second, and so on.
        let next = corners.iter().cycle().skip(1);
        let mut heights: Vec<f64> = corners
            .iter()
            .zip(next)
            .filter(|(a, b)| (a.x <= x) != (b.x <= x))
            .map(|(a, b)| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
            .collect();
        heights.sort_by(f64::total_cmp);
        for pair in heights.chunks_exact(2) {
            if pair[1] - pair[0] > best.0 {
                // Clear of the edges by a tenth of its length at each end.
                let clear = 0.1 * (pair[1] - pair[0]);
                best = (pair[1] - pair[0], Line::new((x, pair[1] - clear), (x, pair[0] + clear)));
            }
        }
    }
    piece.to_builder().grain(best.1.p0, best.1.p1).build()
}
