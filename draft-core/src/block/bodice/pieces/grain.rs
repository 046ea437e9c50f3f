//! A grain line for a piece that has none in its middle.

use kurbo::{Line, Point};

use crate::{DraftError, Piece, geometry};

/// The grain line lies at least this far from every edge beside it, millimetres.
const CLEAR_MM: f64 = 6.0;

const COLUMNS: u32 = 24;

/// Stretches of cloth along an upright line, from the upper to the lower end.
fn spans(corners: &[Point], x: f64) -> Vec<(f64, f64)> {
    let next = corners.iter().cycle().skip(1);
    let mut heights: Vec<f64> = corners
        .iter()
        .zip(next)
        .filter(|(a, b)| (a.x <= x) != (b.x <= x))
        .map(|(a, b)| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
        .collect();
    heights.sort_by(f64::total_cmp);
    // Cloth lies between the first and the second crossing, and so on.
    heights.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// What two lists of stretches have in common.
fn common(a: &[(f64, f64)], b: &[(f64, f64)]) -> Vec<(f64, f64)> {
    a.iter().flat_map(|p| b.iter().map(|q| (p.0.max(q.0), p.1.min(q.1)))).filter(|(top, bottom)| top < bottom).collect()
}

/// The piece with the longest upright grain line that it has room for: a slanting panel has none in its middle. Of lines
/// about as long, the one nearest the middle.
pub fn upright(piece: &Piece) -> Result<Piece, DraftError> {
    let (corners, bounds) = (geometry::flattened(&piece.outline(), 0.5), piece.bounds());
    let mut best = (0.0, piece.grain());
    for column in 1..COLUMNS {
        let share = f64::from(column) / f64::from(COLUMNS);
        let x = bounds.x0 + bounds.width() * share;
        let beside = common(&spans(&corners, x - CLEAR_MM), &spans(&corners, x + CLEAR_MM));
        for (top, bottom) in common(&spans(&corners, x), &beside) {
            let worth = (bottom - top) * (1.0 - 0.2 * (share - 0.5).abs());
            if worth > best.0 {
                // Clear of the edges by a tenth of its length at each end.
                let clear = 0.1 * (bottom - top);
                best = (worth, Line::new((x, bottom - clear), (x, top + clear)));
            }
        }
    }
    piece.to_builder().grain(best.1.p0, best.1.p1).build()
}
