use kurbo::{BezPath, ParamCurve, Shape};
use serde::{Deserialize, Serialize};

use super::{mark, piece, unused, with};
use crate::division::{LineEnd, divide};
use crate::geometry::{self, reversed};
use crate::{Draft, DraftError, DrawnLine, Edge, Length, Name, Piece, PieceBuilder, Role};

/// Traces part of a piece off as a piece of its own: a pocket or an overlay inside a closed line, a facing or a lining of
/// what lies on one side of a line from edge to edge.
///
/// # Keeps
/// The piece as it is.
/// # Changes
/// A new piece with the same grain, cut as often. A closed line is marked on the piece, where the new one is laid on.
/// # Source
/// Tracing a part off through the paper: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trace {
    /// The piece that is traced from.
    pub piece: Name,
    /// A closed line, whose last place is its first one; or a line from edge to edge.
    pub line: DrawnLine,
    /// What the new piece is called.
    pub name: Name,
    /// From edge to edge: the side that is traced, by an edge (or the greater part of it) or a point that it holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub with: Option<Name>,
    /// Seam allowance of the edges along the line.
    #[serde(default = "narrow")]
    pub allowance: Length,
}

/// What lies on another piece is turned under by this (common practice).
pub(super) const fn narrow() -> Length {
    Length::from_mm(10.0)
}

/// What both parts may differ in area from the whole, square millimetres; more means that the line ran outside.
const LEAVES_MM2: f64 = 1e-3;
/// Cubics that meet at more than this have a corner between them, degrees.
const CORNER: f64 = 15.0;

impl Trace {
    pub(super) fn what(&self) -> String {
        format!("trace the {} off the {}", self.name, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        unused(draft, &self.name)?;
        let (first, last) = self.line.ends()?;
        if first.find(old)?.distance(last.find(old)?) < 0.01 {
            return self.closed(draft, old);
        }
        let ends = [LineEnd::on(old, first)?, LineEnd::on(old, last)?];
        let mut edges: Vec<Edge> = old.edges().to_vec();
        edges.push(Edge { name: format!("{} edge", self.name).into(), role: Role::Cut, allowance_mm: self.allowance.mm() });
        let division = divide(old, &self.line, ends, edges.len() - 1, false)?;
        let side = match &self.with {
            Some(with) => division.holding(with)?,
            None => 0,
        };
        let traced = division.piece(side, self.name.clone(), &edges)?;
        let other = division.piece(1 - side, self.piece.clone(), &edges)?;
        if (traced.area_mm2() + other.area_mm2() - old.area_mm2()).abs() > LEAVES_MM2 {
            return Err(self.leaves());
        }
        let mut after = draft.clone();
        after.put(traced);
        Ok(after)
    }

    fn leaves(&self) -> DraftError {
        DraftError::new(self.piece.to_string(), "the line leaves the piece on its way", "Draw it inside the piece.")
    }

    /// The area inside a closed line.
    fn closed(&self, draft: &Draft, old: &Piece) -> Result<Draft, DraftError> {
        let path = self.line.path(old)?;
        let outline = old.outline();
        if geometry::flattened(&path, 0.5).iter().any(|p| !geometry::holds(&outline, *p)) {
            return Err(self.leaves());
        }
        // Outlines run clockwise as seen, and so does the piece that this is traced from.
        let path = if path.area() * outline.area() < 0.0 { reversed(&path) } else { path };
        let parts = at_corners(&path);
        let several = parts.len() > 1;
        let mut builder = PieceBuilder::new(self.name.clone());
        for (i, part) in parts.into_iter().enumerate() {
            let name = if several { format!("edge {}", i + 1) } else { "outer edge".to_owned() };
            builder = builder.part(name, Role::Cut, self.allowance.mm(), part);
        }
        let on_fold = old.fold().is_some();
        let count = old.cut().count * if on_fold { 2 } else { 1 };
        let traced = builder.grain_along(old.grain().p1 - old.grain().p0).cut(count, old.cut().pairs || on_fold).build()?;
        let marked = old.to_builder().inner(old.points().to_vec(), mark::marked(old, &self.name, path)?).build()?;
        let mut after = with(draft, marked);
        after.put(traced);
        Ok(after)
    }
}

/// A closed path from corner to corner; whole where it has none.
fn at_corners(path: &BezPath) -> Vec<BezPath> {
    let segments: Vec<kurbo::PathSeg> = path.segments().collect();
    let count = segments.len();
    let corner = |i: usize| {
        let (a, b) = (geometry::tangent(&segments[(i + count - 1) % count], 1.0), geometry::tangent(&segments[i], 0.0));
        a.cross(b).atan2(a.dot(b)).abs().to_degrees() > CORNER
    };
    let begin = (0..count).find(|&i| corner(i)).unwrap_or(0);
    let mut parts: Vec<BezPath> = Vec::new();
    for k in 0..count {
        let i = (begin + k) % count;
        if k == 0 || corner(i) {
            let mut part = BezPath::new();
            part.move_to(segments[i].start());
            parts.push(part);
        }
        if let Some(part) = parts.last_mut() {
            part.push(segments[i].as_path_el());
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::{Garment, Place};

    #[test]
    fn both_parts_of_a_piece_traced_off_are_as_large_as_the_whole() {
        let draft = Garment::from_text(include_str!("../../../assets/demo/garment.ron")).unwrap().build().draft;
        for (piece, a, b) in [("gore", "left seam", "right seam"), ("front", "centre front", "armhole")] {
            let whole = draft.piece(piece).unwrap();
            for share in [0.2, 0.35, 0.5, 0.65] {
                let line = DrawnLine::straight(Place::share(a, "start", share), Place::share(b, "start", 1.0 - share));
                let part = |with: &str| {
                    let trace = Trace {
                        piece: piece.into(),
                        line: line.clone(),
                        name: "part".into(),
                        with: Some(with.into()),
                        allowance: narrow(),
                    };
                    trace.apply(&draft).map(|after| {
                        assert_eq!(after.piece(piece).unwrap(), whole, "the piece stays as it is");
                        after.piece("part").unwrap().area_mm2()
                    })
                };
                let ends = crate::place::end_names(whole, &a.into()).unwrap();
                let parts = [part(ends[0].as_str()), part(ends[1].as_str())];
                if let [Ok(one), Ok(other)] = parts {
                    assert!((one + other - whole.area_mm2()).abs() < 0.01, "{piece} at {share}");
                } else {
                    assert!(piece == "front", "{parts:?}");
                }
            }
        }
    }
}
