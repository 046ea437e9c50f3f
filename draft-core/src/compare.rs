//! What a work has changed: the same pieces before and after it.

use kurbo::Point;

use crate::place::nearest;
use crate::{Draft, Name, Piece, geometry};

/// An edge whose length a work has changed.
#[derive(Clone, Debug, PartialEq)]
pub struct LengthChange {
    /// The piece.
    pub piece: Name,
    /// The edge.
    pub edge: Name,
    /// Its length before, millimetres; `None` when it is new.
    pub before_mm: Option<f64>,
    /// Its length after, millimetres; `None` when it is gone.
    pub after_mm: Option<f64>,
}

/// Lengths that differ by less are the same, millimetres.
const SAME_MM: f64 = 0.05;

/// The edges whose length is another one now, piece by piece; pieces that are altogether new or gone are left out.
pub fn lengths(before: &Draft, after: &Draft) -> Vec<LengthChange> {
    let mut out = Vec::new();
    for new in &after.pieces {
        let Some(old) = before.piece(new.name().as_str()).filter(|old| !std::ptr::eq(*old, &raw const **new)) else { continue };
        let gone = old.edges().iter().filter(|e| new.edge(e.name.as_str()).is_none());
        for edge in new.edges().iter().chain(gone) {
            let (before_mm, after_mm) = (old.edge_length_mm(edge.name.as_str()), new.edge_length_mm(edge.name.as_str()));
            if before_mm.zip(after_mm).is_none_or(|(a, b)| (a - b).abs() > SAME_MM) {
                out.push(LengthChange { piece: new.name().clone(), edge: edge.name.clone(), before_mm, after_mm });
            }
        }
    }
    out
}

/// The pieces that are in the first and not in the second.
pub fn missing(here: &Draft, there: &Draft) -> Vec<Name> {
    here.pieces.iter().map(|p| p.name()).filter(|n| there.piece(n.as_str()).is_none()).cloned().collect()
}

/// How far the seam line of a piece, near a point, lies from where it was before; millimetres.
pub fn moved_mm(before: &Piece, now: &Piece, near: Point) -> Option<f64> {
    let (here, _) = nearest(now, near)?;
    nearest(before, here.at).map(|(_, mm)| mm)
}

/// The same with its direction: above nought where the seam line lies further out than it did, below where it lies further in.
pub fn shifted_mm(before: &Piece, now: &Piece, near: Point) -> Option<f64> {
    let (here, _) = nearest(now, near)?;
    let (_, mm) = nearest(before, here.at)?;
    Some(if geometry::holds(&before.outline(), here.at) { -mm } else { mm })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::{Body, Work, WorkEntry};

    #[test]
    fn what_a_trim_changes_is_listed_and_nothing_else() {
        let garment = crate::Garment::from_text(include_str!("../../assets/demo/garment.ron")).unwrap();
        let before = garment.build().draft;
        let trim = crate::alteration::Trim {
            piece: "front".into(),
            edge: "side seam".into(),
            at: "waist".into(),
            by: crate::Length::from_mm(6.0),
        };
        let work = WorkEntry::from(Work::Alter(Box::new(crate::Alteration::Trim(trim))));
        let after = work.work.apply(&Body::default(), &before).unwrap();
        let changes = lengths(&before, &after);
        assert!(changes.iter().all(|c| c.piece == *"front"), "{changes:?}");
        let side = changes.iter().find(|c| c.edge == *"side seam").unwrap();
        assert!((side.before_mm.unwrap() - side.after_mm.unwrap() - 6.0).abs() < 0.01);
        let (old, new) = (before.piece("front").unwrap(), after.piece("front").unwrap());
        let corner = new.edge_ends("waist").unwrap();
        let moved = [corner.0, corner.1].map(|p| moved_mm(old, new, p).unwrap());
        // One corner is where the neighbouring edge stands still; the other lies on the trimmed edge.
        assert!(moved.iter().all(|mm| *mm < 0.1), "{moved:?}");
        // Trimmed, the side of the piece lies further in; the fold has not moved.
        let middle = new.along_edge("waist", new.edge_length_mm("waist").unwrap() * 0.95).map(|p| p.0);
        let ends = middle.into_iter().chain(new.edge_ends("side seam").into_iter().flat_map(|(a, b)| [a, b]));
        assert!(ends.map(|p| shifted_mm(old, new, p).unwrap()).all(|mm| mm < 0.1));
        assert!(lengths(&before, &before).is_empty());
    }
}
