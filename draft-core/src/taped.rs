//! Lengths between two points of a piece, as a tape measures them: straight, and along the outline.

use kurbo::{ParamCurve, Point};

use crate::place::{Spot, nearest};
use crate::{Name, Piece, Role, geometry};

/// What a tape says between two points of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Taped {
    /// Straight from one to the other, millimetres.
    pub straight_mm: f64,
    /// Along the seam line the shorter way round, the darts sewn shut; millimetres. Only between points on the outline.
    pub along_mm: Option<f64>,
    /// The edges that this way leads along, in order.
    pub edges: Vec<Name>,
}

/// Measures between two points; they count as on the outline within a reach.
pub fn taped(piece: &Piece, from: Point, to: Point, reach_mm: f64) -> Taped {
    let straight_mm = from.distance(to);
    let on = |p: Point| nearest(piece, p).filter(|(_, far)| *far <= reach_mm).map(|(spot, _)| spot);
    let way = on(from).zip(on(to)).and_then(|(a, b)| {
        let (a, b) = (position(piece, &a)?, position(piece, &b)?);
        let (onward, back) = (walked(piece, a, b), walked(piece, b, a));
        Some(if onward.0 <= back.0 { onward } else { (back.0, back.1.into_iter().rev().collect()) })
    });
    let (along_mm, edges) = way.map_or((None, Vec::new()), |(mm, edges)| (Some(mm), edges));
    Taped { straight_mm, along_mm, edges }
}

/// Which part of the outline a spot lies on, and how far along that part.
fn position(piece: &Piece, spot: &Spot) -> Option<(usize, f64)> {
    let mut left = spot.at_mm;
    let mut last = None;
    for (i, part) in piece.parts().iter().enumerate().filter(|(_, p)| p.edge == spot.edge) {
        let length = geometry::length(&part.path);
        // An edge that a dart divides has both sides of its mouth equally far along.
        let here = left <= length + 1e-6;
        let near = || part.path.segments().any(|s| kurbo::ParamCurveNearest::nearest(&s, spot.at, 1e-6).distance_sq < 1e-4);
        if here && (left < length - 1e-6 || near()) {
            return Some((i, left.clamp(0.0, length)));
        }
        left = (left - length).max(0.0);
        last = Some((i, length));
    }
    last
}

/// The way from one place of the outline onward to another: its length without dart legs, and its edges.
fn walked(piece: &Piece, from: (usize, f64), to: (usize, f64)) -> (f64, Vec<Name>) {
    let parts = piece.parts();
    let mut mm = 0.0;
    let mut edges: Vec<Name> = Vec::new();
    let mut i = from.0;
    let mut at = from.1;
    let mut first = true;
    loop {
        let part = &parts[i];
        let sewn_shut = piece.edges()[part.edge].role == Role::DartLeg;
        let arrived = i == to.0 && (to.1 >= at || !first);
        let end = if arrived { to.1 } else { geometry::length(&part.path) };
        if !sewn_shut || arrived && first {
            mm += (end - at).max(0.0);
            let name = &piece.edges()[part.edge].name;
            if end - at > 1e-9 && edges.last() != Some(name) {
                edges.push(name.clone());
            }
        }
        if arrived || edges.len() > parts.len() {
            return (mm, edges);
        }
        i = (i + 1) % parts.len();
        at = 0.0;
        first = false;
        if i == from.0 && to.0 != from.0 {
            return (mm, edges);
        }
    }
}

/// The point on the outline nearest to another one, within a reach.
pub fn on_outline(piece: &Piece, at: Point, reach_mm: f64) -> Option<Point> {
    nearest(piece, at).filter(|(_, far)| *far <= reach_mm).map(|(spot, _)| spot.at)
}

/// A length of the outline as a line, from one point on it to another the shorter way, for it to be shown; `None` when a
/// point is further from the outline than the reach, or they lie on different edges.
pub fn along_edge(piece: &Piece, from: Point, to: Point, reach_mm: f64) -> Option<kurbo::BezPath> {
    let on = |p: Point| nearest(piece, p).filter(|(_, far)| *far <= reach_mm).map(|(spot, _)| spot);
    let (a, b) = (on(from)?, on(to)?);
    if a.edge != b.edge {
        return None;
    }
    let (mut low, high) = (a.at_mm.min(b.at_mm), a.at_mm.max(b.at_mm));
    let mut out = kurbo::BezPath::new();
    let mut before = 0.0;
    for part in piece.edge_parts(piece.edges()[a.edge].name.as_str()) {
        let length = geometry::length(&part.path);
        if low < before + length && high > before {
            let bit = crate::drawn_line::stretch(&part.path, low - before, high - before);
            out.extend(bit.elements().iter().copied());
            low = before + length;
        }
        before += length;
    }
    out.segments().next().map(|s| s.start())?;
    Some(out)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;

    #[test]
    fn whole_edges_measure_what_they_are() {
        let draft = crate::Garment::from_text(include_str!("../../assets/demo/garment.ron")).unwrap().build().draft;
        let mut measured = 0;
        for piece in &draft.pieces {
            let girth: f64 =
                piece.edges().iter().filter(|e| e.role != Role::DartLeg).filter_map(|e| piece.edge_length_mm(e.name.as_str())).sum();
            for edge in piece.edges().iter().filter(|e| e.role != Role::DartLeg) {
                let (Some((a, b)), Some(length)) = (piece.edge_ends(edge.name.as_str()), piece.edge_length_mm(edge.name.as_str())) else {
                    continue;
                };
                if length > girth / 2.0 {
                    continue;
                }
                let along = taped(piece, a, b, 1.0);
                assert!((along.along_mm.unwrap() - length).abs() < 0.01, "{} / {}: {along:?}, not {length}", piece.name(), edge.name);
                let open = piece.edge_parts(edge.name.as_str()).count() > 1;
                assert!(open || along.straight_mm <= length + 0.01, "a dart that is not sewn shut may lie between");
                measured += 1;
            }
        }
        assert!(measured > 20, "{measured}");
    }

    #[test]
    fn round_a_corner_both_parts_count() {
        let draft = crate::Garment::from_text(include_str!("../../assets/demo/garment.ron")).unwrap().build().draft;
        let front = draft.piece("front").unwrap();
        let at = |edge: &str, mm: f64| front.along_edge(edge, mm).unwrap().0;
        let (side, armhole) = (front.edge_ends("side seam").unwrap(), front.edge_ends("armhole").unwrap());
        let shared = side.0.distance(armhole.1) < 0.01 || side.1.distance(armhole.0) < 0.01;
        assert!(shared);
        let (from, to) = if side.1.distance(armhole.0) < 0.01 {
            (at("side seam", front.edge_length_mm("side seam").unwrap() - 30.0), at("armhole", 20.0))
        } else {
            (at("side seam", 30.0), at("armhole", front.edge_length_mm("armhole").unwrap() - 20.0))
        };
        let found = taped(front, from, to, 1.0);
        assert!((found.along_mm.unwrap() - 50.0).abs() < 0.01, "{found:?}");
        assert_eq!(found.edges.len(), 2);
    }
}
