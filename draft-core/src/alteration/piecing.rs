use kurbo::{Line, ParamCurve, Point, Shape, Vec2};
use serde::{Deserialize, Serialize};

use super::cut::{matched, plain};
use super::{piece, sewn, unique_edge, unused};
use crate::division::{LineEnd, divide};
use crate::place::{Spot, frame};
use crate::{Draft, DraftError, DrawnLine, Edge, Length, Name, Piece, Place, Role, geometry};

/// Pieces a panel that is wider than the cloth: what lies too far across the grain becomes a piece of its own, joined
/// by a seam on the straight grain.
///
/// # Keeps
/// The shape of the whole; the piece keeps its name up to the seam, and what it is sewn to.
/// # Changes
/// One piece becomes two, each with the new edge, two notches on it, and a seam between them. What is left of a piece
/// on the fold is cut twice, as a pair.
/// # Source
/// Piecing at the selvedge, where it shows least, grain to grain: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Piecing {
    /// The piece, which keeps its name up to the seam.
    pub piece: Name,
    /// How wide it stays, across the grain from seam line to seam line: from the fold, or from its outermost point on
    /// the side away from the piecing.
    pub keeps: Length,
    /// The piecing lies at the left, as the piece lies with its printed side up; else at the right. A piece on the fold
    /// is pieced at its outer side.
    #[serde(default)]
    pub left: bool,
    /// The name of the rest.
    pub new: Name,
    /// The name of the new edge on both.
    pub seam: Name,
    /// Seam allowance of the new edges.
    #[serde(default = "plain")]
    pub allowance: Length,
}

/// A fold off the grain by more, in radians, leaves no side to count from.
const ALONG_RAD: f64 = 0.01;
/// Less than this on either side of the seam is no piece, millimetres.
const LEAST_MM: f64 = 10.0;

/// Where a piece lies across its grain.
pub(crate) struct Breadth {
    /// Toward the side that is pieced, of length one.
    pub out: Vec2,
    /// The fold, or the outermost point on the other side, along `out`.
    pub from: f64,
    /// The outermost point on the side that is pieced.
    pub to: f64,
}

impl Breadth {
    /// Of a piece, between its seam lines.
    pub fn of(piece: &Piece, left: bool) -> Result<Self, DraftError> {
        let (up, right) = frame(piece);
        let outline = geometry::flattened(&piece.outline(), 0.05);
        let span = |out: Vec2| {
            let along = outline.iter().map(|p| p.to_vec2().dot(out));
            along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), d| (low.min(d), high.max(d)))
        };
        let Some(fold) = piece.fold() else {
            let out = if left { -right } else { right };
            let (from, to) = span(out);
            return Ok(Self { out, from, to });
        };
        let (a, b) = piece.edge_ends(fold.name.as_str()).unwrap_or_default();
        if (b - a).normalize().cross(up).abs() > ALONG_RAD {
            return Err(DraftError::new(
                piece.name().to_string(),
                "has a fold that does not run with the grain",
                "Unfold the piece first.",
            ));
        }
        let middle = piece.bounds().center().to_vec2().dot(right);
        let out = if middle < a.to_vec2().dot(right) { -right } else { right };
        Ok(Self { out, from: a.to_vec2().dot(out), to: span(out).1 })
    }

    /// How wide it is, millimetres.
    pub fn mm(&self) -> f64 {
        self.to - self.from
    }
}

impl Piecing {
    pub(super) fn what(&self) -> String {
        format!("piece the {} with the {}", self.piece, self.new)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        unused(draft, &self.new)?;
        unique_edge(old, &self.seam)?;
        let breadth = Breadth::of(old, self.left)?;
        let at = breadth.from + self.keeps.mm();
        let refuse = |problem: String, remedy: &str| DraftError::new(self.piece.to_string(), problem, remedy);
        if self.keeps.mm() < LEAST_MM || at > breadth.to - LEAST_MM {
            return Err(refuse(
                format!(
                    "is {:.1} cm wide across the grain, so that a seam {:.1} cm across leaves nothing to piece",
                    breadth.mm() / 10.0,
                    self.keeps.mm() / 10.0
                ),
                "Take this work out, or give another width.",
            ));
        }
        let spots = crossings(old, breadth.out, at);
        let [first, last] = spots.as_slice() else {
            return Err(refuse(
                format!("is crossed {} times by the straight grain there", spots.len()),
                "Give another width, where the grain crosses its outline twice, or cut it along a line of your own.",
            ));
        };
        let place = |spot: &Spot| Place::along(old.edges()[spot.edge].name.clone(), "start", Length::from_mm(spot.at_mm));
        let line = DrawnLine::straight(place(first), place(last));
        let ends = [LineEnd::on(old, &place(first))?, LineEnd::on(old, &place(last))?];
        let mut edges: Vec<Edge> = old.edges().to_vec();
        edges.push(Edge { name: self.seam.clone(), role: Role::Seam, allowance_mm: self.allowance.mm() });
        let division = divide(old, &line, ends, edges.len() - 1, false)?;
        let reach = |which: usize| division.sides[which].outline().bounding_box().center().to_vec2().dot(breadth.out);
        let new = usize::from(reach(1) > reach(0));
        let made = matched(division.piece(new, self.new.clone(), &edges)?, &self.seam)?;
        let kept = matched(division.piece(1 - new, self.piece.clone(), &edges)?, &self.seam)?;
        let mut after = draft.clone();
        after.replace(&self.piece, vec![kept, made]);
        after.seams.push(sewn(&self.new, &self.seam, &self.piece, &self.seam));
        Ok(after)
    }
}

/// Where the straight grain meets the outline, `at_mm` along a direction across it; from one end of the grain to the other.
fn crossings(piece: &Piece, out: Vec2, at_mm: f64) -> Vec<Spot> {
    let up = Vec2::new(-out.y, out.x);
    let bounds = piece.bounds();
    let reach = bounds.width() + bounds.height() + 100.0;
    let middle = bounds.center().to_vec2().dot(up);
    let at = |along: f64| (out * at_mm + up * along).to_point();
    let grain = Line::new(at(middle - reach), at(middle + reach));
    let mut found: Vec<(f64, Spot)> = Vec::new();
    for (edge, own) in piece.edges().iter().enumerate() {
        let mut before = 0.0;
        for seg in piece.edge_parts(own.name.as_str()).flat_map(|p| p.path.segments().collect::<Vec<_>>()) {
            for hit in seg.intersect_line(grain) {
                let t = hit.segment_t.clamp(0.0, 1.0);
                let here: Point = seg.eval(t);
                let spot = Spot { edge, at_mm: before + geometry::segment_length(&seg.subsegment(0.0..t)), at: here };
                // A corner lies on two stretches and is met once.
                if !found.iter().any(|(_, other)| other.at.distance(here) < 1e-3) {
                    found.push((hit.line_t, spot));
                }
            }
            before += geometry::segment_length(&seg);
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|(_, spot)| spot).collect()
}
