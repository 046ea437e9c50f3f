use kurbo::{BezPath, ParamCurveArclen, Point};
use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::geometry::{end, start};
use crate::place::{edge_index, from_start};
use crate::ring::{Assembly, Ring};
use crate::{Draft, DraftError, Length, Name, NamedPoint, Role, Unit, geometry};

/// Trims an edge at one end, so that it is as long as its partner; below nought it is lengthened.
///
/// # Keeps
/// The rest of the edge; the far end of its neighbour.
/// # Changes
/// The neighbour at that end swings to the new corner, evenly along its length.
/// # Source
/// Truing a seam by redrawing the neighbouring edge to the shorter length: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trim {
    /// The piece.
    pub piece: Name,
    /// The edge that is too long.
    pub edge: Name,
    /// The end that is trimmed, named by the edge or point that it meets there.
    pub at: Name,
    /// By how much.
    pub by: Length,
}

impl Trim {
    pub(super) fn what(&self) -> String {
        format!("trim {} / {} by {}", self.piece, self.edge, Unit::Cm.text(self.by.mm()))
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let index = edge_index(old, &self.edge)?;
        let refuse = |problem: String, remedy: &str| DraftError::new(format!("{} / {}", self.piece, self.edge), problem, remedy);
        let at_start = from_start(old, &self.edge, &self.at)?;
        let mut ring = Ring::of(old);
        let count = ring.stretches.len();
        let here = |i: &usize| ring.stretches[*i].edge == index;
        let found = if at_start { (0..count).find(here) } else { (0..count).rfind(here) };
        let i = found.ok_or_else(|| refuse("has no length".into(), "Choose another edge."))?;
        let next = if at_start { (i + count - 1) % count } else { (i + 1) % count };
        let (by, own) = (self.by.mm(), geometry::length(&ring.stretches[i].path));
        if by > own - 5.0 {
            return Err(refuse(format!("is {}, too short to trim by so much", Unit::Cm.text(own)), "Trim it less."));
        }
        let neighbour = &old.edges()[ring.stretches[next].edge];
        if matches!(neighbour.role, Role::DartLeg | Role::Fold) {
            let problem = format!("ends at its {}, which can't swing", neighbour.name);
            return Err(refuse(problem, "Trim it at the other end, or redraw the edge."));
        }
        let path = if at_start { geometry::reversed(&ring.stretches[i].path) } else { ring.stretches[i].path.clone() };
        let corner = end(&path).unwrap_or_default();
        let trimmed = if by >= 0.0 {
            crate::drawn_line::stretch(&path, 0.0, own - by)
        } else {
            let mut longer = path.clone();
            longer.line_to(corner - geometry::end_tangent(&path) * by);
            longer
        };
        let to = end(&trimmed).unwrap_or(corner);
        let swung = swing(&if at_start { geometry::reversed(&ring.stretches[next].path) } else { ring.stretches[next].path.clone() }, to);
        let ratio = geometry::length(&swung) / geometry::length(&ring.stretches[next].path).max(1e-9);
        ring.stretches[next].notches.iter_mut().for_each(|n| n.0 *= ratio);
        if at_start {
            ring.stretches[i].notches = ring.stretches[i].notches.iter().map(|n| (n.0 - by, n.1)).filter(|n| n.0 >= 0.0).collect();
            ring.stretches[i].path = geometry::reversed(&trimmed);
            ring.stretches[next].path = geometry::reversed(&swung);
        } else {
            ring.stretches[i].notches.retain(|n| n.0 <= own - by);
            ring.stretches[i].path = trimmed;
            ring.stretches[next].path = swung;
        }
        let points =
            old.points().iter().map(|p| NamedPoint { at: if p.at.distance(corner) < 0.01 { to } else { p.at }, ..p.clone() }).collect();
        let new = Assembly { stretches: ring.stretches, points, ..Assembly::of(old) };
        Ok(with(draft, new.build()?))
    }
}

/// A path whose start is carried to another place, the shift running out evenly toward its end.
fn swing(path: &BezPath, to: Point) -> BezPath {
    let Some(from) = start(path) else { return path.clone() };
    let (shift, length) = (to - from, geometry::length(path));
    let mut out = BezPath::new();
    out.move_to(to);
    let mut walked = 0.0;
    for seg in path.segments() {
        let c = seg.to_cubic();
        let own = seg.arclen(1e-6);
        // Bézier control points shifted by what the curve has at thirds of the segment.
        let left = |t: f64| shift * (1.0 - (walked + own * t) / length);
        let (p1, p2, p3) = (c.p1 + left(1.0 / 3.0), c.p2 + left(2.0 / 3.0), c.p3 + left(1.0));
        if matches!(seg, kurbo::PathSeg::Line(_)) {
            out.line_to(p3)
        } else {
            out.curve_to(p1, p2, p3)
        }
        walked += own;
    }
    out
}
