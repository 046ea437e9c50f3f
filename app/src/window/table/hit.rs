//! What is under the pointer.

use kurbo::Point;

use super::shape::{Laid, Lay};

/// A piece, and the edge of it when the pointer is near one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hit {
    /// Which piece, from 0.
    pub piece: usize,
    /// Which of its edges, from 0.
    pub edge: Option<usize>,
}

/// What lies at a point of the table; an edge counts when it is no further than `near_mm`. The piece that lies on
/// top, the last one, wins; a near edge wins over the inside of another piece.
pub fn at(lay: &Lay, p: Point, near_mm: f64) -> Option<Hit> {
    let mut nearest: Option<(f64, Hit)> = None;
    let mut inside = None;
    for (piece, laid) in lay.pieces.iter().enumerate() {
        if !laid.bounds().inflate(near_mm, near_mm).contains(p) {
            continue;
        }
        if let Some((edge, d)) = nearest_edge(laid, p)
            && d <= near_mm
            && nearest.is_none_or(|(best, _)| d <= best)
        {
            nearest = Some((d, Hit { piece, edge: Some(edge) }));
        }
        let own = p - laid.by;
        if laid.shape.cut.iter().any(|run| winds_round(run, own)) || winds_round(&laid.shape.outline, own) {
            inside = Some(Hit { piece, edge: None });
        }
    }
    nearest.map(|(_, hit)| hit).or(inside)
}

fn nearest_edge(laid: &Laid, p: Point) -> Option<(usize, f64)> {
    let p = p - laid.by;
    let mut best: Option<(usize, f64)> = None;
    for s in &laid.shape.stretches {
        for pair in s.points.windows(2) {
            let d = distance(p, pair[0], pair[1]);
            if best.is_none_or(|(_, b)| d < b) {
                best = Some((s.edge, d));
            }
        }
    }
    best
}

/// Distance from a point to a straight stretch.
fn distance(p: Point, a: Point, b: Point) -> f64 {
    let ab = b - a;
    let length2 = ab.hypot2();
    let t = if length2 > 0.0 { ((p - a).dot(ab) / length2).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + ab * t)
}

/// Whether a closed run of points goes round a point.
pub fn winds_round(run: &[Point], p: Point) -> bool {
    let mut winding = 0;
    for (i, a) in run.iter().enumerate() {
        let b = &run[(i + 1) % run.len()];
        let left = (*b - *a).cross(p - *a);
        if a.y <= p.y && b.y > p.y && left > 0.0 {
            winding += 1;
        } else if a.y > p.y && b.y <= p.y && left < 0.0 {
            winding -= 1;
        }
    }
    winding != 0
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
    use std::collections::BTreeSet;

    use super::*;
    use draft_core::{Garment, Work, WorkEntry};

    fn lay() -> Lay {
        let mut garment = Garment::from_text(include_str!("../../../../assets/demo/garment.ron")).unwrap();
        garment.works = vec![WorkEntry::from(Work::Draft { block: draft_core::Block::Skirt, settings: Default::default() })];
        Lay::of(&garment.build(), &Lay::default(), false, None, &BTreeSet::new())
    }

    #[test]
    fn an_edge_a_piece_and_the_bare_table() {
        let lay = lay();
        let laid = &lay.pieces[0];
        let piece = &laid.shape.piece;
        let side = piece.edges().iter().position(|e| e.name == *"right seam").unwrap();
        let length = piece.edge_length_mm("right seam").unwrap();
        let (on, along) = piece.along_edge("right seam", length * 0.4).unwrap();
        let off = kurbo::Vec2::new(-along.y, along.x) * 2.0;
        for p in [on, on + off, on - off] {
            assert_eq!(at(&lay, p + laid.by, 3.0), Some(Hit { piece: 0, edge: Some(side) }));
        }
        assert_eq!(at(&lay, laid.bounds().center(), 3.0), Some(Hit { piece: 0, edge: None }));
        let b = laid.bounds();
        assert_eq!(at(&lay, Point::new(b.x1 + 50.0, b.y0), 3.0), None);
    }

    #[test]
    fn both_ways_round_and_hollows() {
        let hollow = [(0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (15.0, 5.0), (0.0, 30.0)].map(|(x, y)| Point::new(x, y));
        let mut other = hollow;
        other.reverse();
        for run in [hollow, other] {
            assert!(winds_round(&run, Point::new(15.0, 2.0)));
            assert!(!winds_round(&run, Point::new(15.0, 20.0)));
        }
    }

    #[test]
    fn nothing_is_under_the_pointer_on_an_empty_table() {
        assert_eq!(at(&Lay::default(), Point::ZERO, 5.0), None);
    }
}
