use kurbo::{BezPath, CubicBez, Vec2};
use serde::{Deserialize, Serialize};

use super::take_in::offset;
use super::{mark, piece, unused, with};
use crate::geometry::{self, end, reversed, start};
use crate::{Draft, DraftError, DrawnLine, Length, MarkedLine, Name, NamedPoint, PieceBuilder, Role};

/// How the top of a slit is shaped.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Top {
    /// Stitched round in a small arch.
    #[default]
    Rounded,
    /// Stitched to a point, as a dart.
    Pointed,
}

/// A slit in the middle of a piece: stitched round through a facing, then cut.
///
/// # Keeps
/// The outline.
/// # Changes
/// The slit and the stitching round it are marked, with a bar tack at the top; a facing is traced, as wide to both sides
/// as asked.
/// # Source
/// A slit in a panel: cut line, stay, facing strip 4 cm to each side, its end rounded or pointed: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PanelSlit {
    /// The piece.
    pub piece: Name,
    /// From the edge up to its top.
    pub line: DrawnLine,
    /// What the slit is called; the facing is named after it.
    pub name: Name,
    /// How its top is shaped.
    #[serde(default)]
    pub top: Top,
    /// How far the facing reaches to each side and above.
    #[serde(default = "each_side")]
    pub facing: Length,
}

const fn each_side() -> Length {
    Length::from_mm(40.0)
}

/// The stitching runs this far beside the cut at the edge, millimetres (common practice).
const STITCHED_MM: f64 = 4.0;

impl PanelSlit {
    pub(super) fn what(&self) -> String {
        format!("slit the {}", self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let facing_name: Name = format!("{} facing", self.name).into();
        unused(draft, &facing_name)?;
        let (first, _) = self.line.ends()?;
        first.spot(old)?;
        let path = self.line.path(old)?;
        let refuse = |problem: &str, remedy: &str| DraftError::new(self.piece.to_string(), problem, remedy);
        let Some(top) = end(&path) else {
            return Err(refuse("the slit has no length", "Draw it longer."));
        };
        let length = geometry::length(&path);
        let reach = self.facing.mm();
        if length < 2.0 * reach.min(20.0) || reach < 10.0 {
            return Err(refuse("the slit or its facing is too small to sew", "Draw it longer, or widen the facing."));
        }
        if !geometry::holds(&old.outline(), top) {
            return Err(refuse("the slit's top lies outside the piece", "Draw it to a point inside."));
        }
        // Stitching: as wide as allowed at the edge, running together at the top.
        let beside = |hand: f64| offset(&path, hand, |s| STITCHED_MM * (1.0 - s / length).max(0.0).sqrt());
        let mut stitching = beside(1.0);
        stitching.extend(reversed(&beside(-1.0)).elements().iter().skip(1).copied());
        let mut lines: Vec<MarkedLine> = mark::marked(old, &self.name, path.clone())?;
        lines.push(MarkedLine { name: format!("{} stitching", self.name).into(), path: stitching });
        let mut points = old.points().to_vec();
        points.push(NamedPoint { name: format!("{} top", self.name).into(), at: top, marked: true, rides: None });
        let new = old.to_builder().inner(points, lines).build()?;

        // The facing: parallel to the slit on both sides, closed above it.
        let (left, right) = (offset(&path, -1.0, |_| reach), offset(&path, 1.0, |_| reach));
        let up = geometry::end_tangent(&path);
        let (Some(l_end), Some(r_end), Some(l_start), Some(r_start)) = (end(&left), end(&right), start(&left), start(&right)) else {
            return Err(refuse("the slit has no length", "Draw it longer."));
        };
        let mut outer: BezPath = left;
        match self.top {
            Top::Rounded => {
                // Half a circle of two cubics.
                let k = 0.552_284_749_8 * reach;
                let across: Vec2 = (r_end - l_end).normalize();
                let peak = top + up * reach;
                let a = CubicBez::new(l_end, l_end + up * k, peak - across * k, peak);
                let b = CubicBez::new(peak, peak + across * k, r_end + up * k, r_end);
                outer.curve_to(a.p1, a.p2, a.p3);
                outer.curve_to(b.p1, b.p2, b.p3);
            }
            Top::Pointed => {
                outer.line_to(top + up * reach);
                outer.line_to(r_end);
            }
        }
        outer.extend(reversed(&right).elements().iter().skip(1).copied());
        let halves = if old.fold().is_some() { 2 } else { 1 };
        let facing = PieceBuilder::new(facing_name)
            .part("outer edge", Role::Hem, 0.0, outer)
            .line("hem edge", Role::Hem, 10.0, r_start, l_start)
            .marked_line(self.name.clone(), path.clone())
            .point(format!("{} top", self.name), top)
            .grain_along(old.grain().p1 - old.grain().p0)
            .cut(old.cut().count * halves, old.cut().pairs || halves == 2)
            .build()?;
        let mut after = with(draft, new);
        after.put(facing);
        Ok(after)
    }
}
