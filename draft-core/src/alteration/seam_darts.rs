use kurbo::{BezPath, CubicBez, Point, Vec2};
use serde::{Deserialize, Serialize};

use super::{piece, unique_edge, unused};
use crate::geometry::{self, end, start};
use crate::ring::{Assembly, Ring, Stretch};
use crate::{Dart, Draft, DraftError, Edge, EdgeRun, Length, Name, NamedPoint, Piece, Role, SEWN_MM, Seam};

/// Takes two darts about one point into a seam: a princess seam from shoulder, armhole or side to the waist.
///
/// # Keeps
/// Every other edge; the length of both sides of the new seam, mouth to pivot to mouth, but for what smoothing the
/// corner at the pivot costs, which is eased in.
/// # Changes
/// One piece becomes two; both darts are gone, each of their legs drawn to the pivot and smoothed there into one line.
/// # Source
/// Cutting through the bust point from one dart to the other and smoothing both sides: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeamDarts {
    /// The piece, which keeps its name on the side of its fold or opening.
    pub piece: Name,
    /// One dart …
    pub dart: Name,
    /// … and the other, about the same point.
    pub other: Name,
    /// The piece on the other side.
    pub new: Name,
    /// The name of the new edges.
    pub seam: Name,
    /// Their allowance.
    #[serde(default = "super::cut::plain")]
    pub allowance: Length,
}

/// More than this cannot be eased in over the bust, millimetres.
const EASED_MM: f64 = 6.0;

impl SeamDarts {
    pub(super) fn what(&self) -> String {
        format!("take the {} and the {} of the {} into a seam", self.dart, self.other, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        unused(draft, &self.new)?;
        unique_edge(old, &self.seam)?;
        let refuse = |problem: String, remedy: &str| DraftError::new(self.piece.to_string(), problem, remedy);
        let find = |name: &Name| {
            let gone = || refuse(format!("has no dart named {name}"), "Choose two darts that the piece has.");
            old.darts().iter().find(|d| d.name == *name).ok_or_else(gone)
        };
        let (first, second) = (find(&self.dart)?, find(&self.other)?);
        if first.name == second.name || first.pivot.distance(second.pivot) > 1.0 {
            return Err(refuse(
                format!("the {} and the {} do not turn about one point", self.dart, self.other),
                "Choose two darts that end at the same point, such as the bust point.",
            ));
        }
        let ring = Ring::of(old);
        let at = |leg: &Name| ring.stretches.iter().position(|s| old.edges()[s.edge].name == *leg);
        let (Some(a1), Some(b1), Some(a2), Some(b2)) = (at(&first.leg_a), at(&first.leg_b), at(&second.leg_a), at(&second.leg_b)) else {
            return Err(refuse("has a dart whose legs are not whole".into(), "Draft it again."));
        };
        let count = ring.stretches.len();
        // From the far mouth of the one dart to the near mouth of the other, and the rest.
        let runs = [ring.run((b1 + 1) % count, a2), ring.run((b2 + 1) % count, a1)];
        let held = |run: &[Stretch]| -> f64 {
            let is = |s: &&Stretch| matches!(old.edges()[s.edge].role, Role::Fold | Role::Opening);
            run.iter().filter(is).map(|s| geometry::length(&s.path)).sum()
        };
        let new_is = usize::from(held(&runs[0]) >= held(&runs[1]));
        let mut edges: Vec<Edge> = old.edges().to_vec();
        edges.push(Edge { name: self.seam.clone(), role: Role::Seam, allowance_mm: self.allowance.mm() });
        let pivot = first.pivot;
        let mut made = Vec::with_capacity(2);
        for (which, run) in runs.iter().enumerate() {
            let ends = (run.last().and_then(|s| end(&s.path)), run.first().and_then(|s| start(&s.path)));
            let (Some(from), Some(to)) = ends else {
                return Err(refuse("has nothing between the darts on one side".into(), "Move one of them to another edge."));
            };
            let mut stretches = run.clone();
            stretches.push(Stretch::plain(edges.len() - 1, through(from, pivot, to)));
            let name = if which == new_is { &self.new } else { &self.piece };
            made.push(self.side(old, name.clone(), &edges, stretches)?);
        }
        let lengths: Vec<f64> = made.iter().map(|p| p.edge_length_mm(self.seam.as_str()).unwrap_or(0.0)).collect();
        let ease = lengths[new_is] - lengths[1 - new_is];
        if ease.abs() > EASED_MM {
            return Err(refuse(
                format!("both sides of the seam would differ by {:.1} mm", ease.abs()),
                "Move one of the darts so that both lie more in one line.",
            ));
        }
        let mut after = draft.clone();
        let seam = Seam {
            a: vec![EdgeRun::new(self.new.clone(), self.seam.clone())],
            b: vec![EdgeRun::new(self.piece.clone(), self.seam.clone())],
            ease_mm: if ease.abs() > SEWN_MM / 5.0 { ease } else { 0.0 },
        };
        let (new, kept) = if new_is == 0 { (made.remove(0), made.remove(0)) } else { (made.remove(1), made.remove(0)) };
        after.replace(&self.piece, vec![kept, new]);
        after.seams.push(seam);
        Ok(after)
    }

    /// One of the two pieces, with a notch where the seam passes the pivot.
    fn side(&self, old: &Piece, name: Name, edges: &[Edge], stretches: Vec<Stretch>) -> Result<Piece, DraftError> {
        let mut outline = BezPath::new();
        for s in &stretches {
            let skip = usize::from(!outline.elements().is_empty());
            outline.extend(s.path.elements().iter().skip(skip).copied());
        }
        outline.close_path();
        let inside = |p: Point| geometry::holds(&outline, p);
        let on = |p: Point| outline.segments().any(|s| kurbo::ParamCurveNearest::nearest(&s, p, 1e-6).distance_sq < 1e-4);
        let used = |edge: &Name| stretches.iter().any(|s| edges[s.edge].name == *edge);
        let mut seam = stretches.last().cloned();
        let points: Vec<NamedPoint> =
            old.points().iter().filter(|p| on(p.at) || inside(p.at) || p.rides.as_ref().is_some_and(&used)).cloned().collect();
        let darts: Vec<Dart> = old.darts().iter().filter(|d| d.name != self.dart && d.name != self.other).cloned().collect();
        let middle = |l: &crate::MarkedLine| l.path.segments().next().map_or(Point::ZERO, |s| kurbo::ParamCurve::eval(&s, 0.5));
        let lines = old.lines().iter().filter(|l| inside(middle(l))).cloned().collect();
        let mut stretches = stretches;
        if let (Some(last), Some(s)) = (stretches.last_mut(), seam.take()) {
            let to_pivot = s.path.segments().next().map_or(0.0, |s| geometry::segment_length(&s));
            last.notches.push((to_pivot, false));
        }
        Assembly { name, edges, stretches, darts, points, lines, ..Assembly::of(old) }.build()
    }
}

/// From one mouth through the pivot to the other, the corner there rounded into one direction.
fn through(from: Point, pivot: Point, to: Point) -> BezPath {
    let (a, b) = (pivot - from, to - pivot);
    let along: Vec2 = (a.normalize() + b.normalize()).normalize();
    let along = if along.is_finite() { along } else { a.normalize() };
    let third = |v: Vec2| v.hypot() / 3.0;
    geometry::cubic_path(&[
        CubicBez::new(from, from + a / 3.0, pivot - along * third(a), pivot),
        CubicBez::new(pivot, pivot + along * third(b), to - b / 3.0, to),
    ])
}
