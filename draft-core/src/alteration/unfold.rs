use kurbo::Affine;
use serde::{Deserialize, Serialize};

use super::join::other_face;
use super::piece;
use crate::geometry;
use crate::ring::{Assembly, Ring, Stretch};
use crate::{Dart, Draft, DraftError, Edge, EdgeRun, MarkedLine, Name, NamedPoint, Role};

/// Opens a piece that lies on a fold out into the whole.
///
/// # Keeps
/// The half that was drawn, with all its names.
/// # Changes
/// The fold is gone; the other half stands beside it, its edges named with `, other side`, an edge that ran into the
/// fold going through as one. It is cut once.
/// # Source
/// A half pattern on the fold is the mirror image: geometry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unfold {
    /// The piece.
    pub piece: Name,
}

/// What the mirrored half of a piece is called.
const OTHER: &str = ", other side";

impl Unfold {
    pub(super) fn what(&self) -> String {
        format!("unfold the {}", self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let folds: Vec<usize> = (0..old.edges().len()).filter(|&i| old.edges()[i].role == Role::Fold).collect();
        let [fold] = folds[..] else {
            let problem = if folds.is_empty() { "is not on a fold" } else { "has two folds" };
            return Err(DraftError::new(self.piece.to_string(), problem, "Choose a piece with one edge on the fold."));
        };
        let ring = Ring::of(old);
        let count = ring.stretches.len();
        let at = ring.stretches.iter().position(|s| s.edge == fold).unwrap_or(0);
        let half: Vec<Stretch> = (1..count).map(|k| ring.stretches[(at + k) % count].clone()).collect();
        let (Some(from), Some(to)) = (geometry::start(&ring.stretches[at].path), geometry::end(&ring.stretches[at].path)) else {
            return Err(DraftError::new(self.piece.to_string(), "its fold has no length", "Draft it again."));
        };
        let axis = (to - from).atan2();
        let mirror = Affine::translate(from.to_vec2())
            * Affine::rotate(axis)
            * Affine::FLIP_Y
            * Affine::rotate(-axis)
            * Affine::translate(-from.to_vec2());
        // An edge that runs into the fold goes through as one; the others get a name of their own.
        let through: Vec<usize> = [half.first(), half.last()].into_iter().flatten().map(|s| s.edge).collect();
        let mut edges: Vec<Edge> = old.edges().to_vec();
        let other: Vec<usize> = (0..old.edges().len())
            .map(|i| {
                if through.contains(&i) || i == fold {
                    return i;
                }
                edges.push(Edge { name: format!("{}{OTHER}", old.edges()[i].name).into(), ..old.edges()[i].clone() });
                edges.len() - 1
            })
            .collect();
        let mut stretches = half.clone();
        stretches.extend(other_face(half, mirror, true, 0).into_iter().map(|s| Stretch { edge: other[s.edge], ..s }));
        let on_axis = |p: kurbo::Point| (mirror * p).distance(p) < 0.02;
        let mut points = old.points().to_vec();
        points.extend(old.points().iter().filter(|p| !on_axis(p.at)).map(|p| NamedPoint {
            name: format!("{}{OTHER}", p.name).into(),
            at: mirror * p.at,
            marked: p.marked,
            rides: p.rides.as_ref().and_then(|r| old.edges().iter().position(|e| e.name == *r)).map(|i| edges[other[i]].name.clone()),
        }));
        let mut darts = old.darts().to_vec();
        let mirrored_leg = |name: &Name| old.edges().iter().position(|e| e.name == *name).map(|i| edges[other[i]].name.clone());
        for d in old.darts() {
            if let (Some(leg_a), Some(leg_b)) = (mirrored_leg(&d.leg_b), mirrored_leg(&d.leg_a)) {
                darts.push(Dart {
                    name: format!("{}{OTHER}", d.name).into(),
                    leg_a,
                    leg_b,
                    tip: mirror * d.tip,
                    pivot: mirror * d.pivot,
                    pressed_to_a: !d.pressed_to_a,
                });
            }
        }
        let mut lines = old.lines().to_vec();
        lines.extend(old.lines().iter().map(|l| MarkedLine { name: format!("{}{OTHER}", l.name).into(), path: mirror * l.path.clone() }));
        let new = Assembly {
            edges: &edges,
            stretches,
            darts,
            points,
            lines,
            cut: crate::CutCount { count: old.cut().count.max(1), pairs: false },
            ..Assembly::of(old)
        }
        .build()?;

        let whole: Vec<Name> = through.iter().map(|&i| old.edges()[i].name.clone()).collect();
        let twin =
            |name: &Name| old.edges().iter().position(|e| e.name == *name).filter(|&i| other[i] != i).map(|i| edges[other[i]].name.clone());
        let mut after = draft.clone();
        // Seams and girths were counted on one half: half of an edge that now goes through.
        after.rename(|run| {
            let halved = run.piece == self.piece && whole.contains(&run.edge);
            vec![EdgeRun { times: run.times * if halved { 0.5 } else { 1.0 }, ..run.clone() }]
        });
        let mut twins = Vec::new();
        for seam in &after.seams {
            let own = |runs: &[EdgeRun]| runs.iter().any(|r| r.piece == self.piece && twin(&r.edge).is_some());
            if own(&seam.a) || own(&seam.b) {
                let side = |runs: &[EdgeRun]| -> Vec<EdgeRun> {
                    runs.iter()
                        .map(|r| match twin(&r.edge).filter(|_| r.piece == self.piece) {
                            Some(edge) => EdgeRun { edge, ..r.clone() },
                            None => r.clone(),
                        })
                        .collect()
                };
                twins.push(crate::Seam { a: side(&seam.a), b: side(&seam.b), ease_mm: seam.ease_mm });
            }
        }
        after.seams.extend(twins);
        let name = self.piece.clone();
        after.replace(&name, vec![new]);
        Ok(after)
    }
}
