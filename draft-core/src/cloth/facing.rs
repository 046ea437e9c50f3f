//! Where a facing lies behind an edge, so that a lining can be cut away there.

use kurbo::{ParamCurveNearest as _, Point};

use crate::{Draft, EdgeRun, Length, Piece, Role};

/// How deep the facing is that is sewn to an edge: from the middle of its seam line to its free edge. Nothing where the
/// edge has no facing.
pub fn facing_depth(draft: &Draft, piece: &Piece, edge: &str) -> Option<Length> {
    let here = |run: &EdgeRun| run.piece == *piece.name() && run.edge == *edge;
    let facing_of = |runs: &[EdgeRun]| runs.iter().find_map(|r| Some((facing(draft, r)?, r.edge.clone())));
    let (facing, own) = draft.seams.iter().find_map(|seam| {
        if seam.a.iter().any(here) {
            facing_of(&seam.b)
        } else if seam.b.iter().any(here) {
            facing_of(&seam.a)
        } else {
            None
        }
    })?;
    let (middle, _) = facing.along_edge(own.as_str(), facing.edge_length_mm(own.as_str())? / 2.0)?;
    let free = facing.edges().iter().filter(|e| matches!(e.role, Role::Hem | Role::Cut));
    let near = free.flat_map(|e| facing.edge_parts(e.name.as_str())).flat_map(|p| p.path.segments().collect::<Vec<_>>());
    let off = |seg: kurbo::PathSeg, p: Point| seg.nearest(p, 1e-6).distance_sq.sqrt();
    let depth = near.map(|seg| off(seg, middle)).fold(f64::INFINITY, f64::min);
    depth.is_finite().then(|| Length::from_mm((depth * 10.0).round() / 10.0))
}

fn facing<'d>(draft: &'d Draft, run: &EdgeRun) -> Option<&'d Piece> {
    draft.piece(run.piece.as_str()).filter(|p| p.name().as_str().ends_with("facing"))
}
