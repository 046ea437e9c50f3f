use kurbo::Affine;
use serde::{Deserialize, Serialize};

use super::join::other_face;
use super::{piece, unused};
use crate::place::frame;
use crate::ring::{Assembly, Ring};
use crate::{Dart, Draft, DraftError, EdgeRun, MarkedLine, Name, NamedPoint};

/// Makes two pieces of one that is cut in mirrored pairs, so that left and right can be altered apart.
///
/// # Keeps
/// Every line: the second piece is the mirror image.
/// # Changes
/// One piece becomes two, each cut once; every seam of the first is there for both.
/// # Source
/// Asymmetry keeps left and right apart and marks the right side of the cloth: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Separate {
    /// The piece, which keeps its name.
    pub piece: Name,
    /// The name of its mirror image.
    pub other: Name,
}

impl Separate {
    pub(super) fn what(&self) -> String {
        format!("make the {} apart from the {}", self.other, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        unused(draft, &self.other)?;
        let cut = old.cut();
        if !cut.pairs || cut.count < 2 {
            return Err(DraftError::new(
                self.piece.to_string(),
                "is not cut in mirrored pairs",
                "Unfold a piece on the fold; another can be altered as it is.",
            ));
        }
        let half = crate::CutCount { count: cut.count / 2, pairs: false };
        let right = old.to_builder().cut(half.count, half.pairs).build()?;
        let (up, _) = frame(old);
        let axis = up.atan2();
        let mirror = Affine::rotate(axis) * Affine::FLIP_Y * Affine::rotate(-axis);
        let left = Assembly {
            name: self.other.clone(),
            edges: old.edges(),
            stretches: other_face(Ring::of(old).stretches, mirror, true, 0),
            darts: old
                .darts()
                .iter()
                .map(|d| Dart {
                    name: d.name.clone(),
                    leg_a: d.leg_b.clone(),
                    leg_b: d.leg_a.clone(),
                    tip: mirror * d.tip,
                    pivot: mirror * d.pivot,
                    pressed_to_a: !d.pressed_to_a,
                })
                .collect(),
            points: old.points().iter().map(|p| NamedPoint { at: mirror * p.at, ..p.clone() }).collect(),
            lines: old.lines().iter().map(|l| MarkedLine { name: l.name.clone(), path: mirror * l.path.clone() }).collect(),
            grain: mirror * old.grain(),
            cut: half,
        }
        .build()?;
        let mut after = draft.clone();
        let twins: Vec<crate::Seam> = after
            .seams
            .iter()
            .filter(|s| s.a.iter().chain(&s.b).any(|r| r.piece == self.piece))
            .map(|s| {
                let side = |runs: &[EdgeRun]| -> Vec<EdgeRun> {
                    let other = |r: &EdgeRun| if r.piece == self.piece { EdgeRun { piece: self.other.clone(), ..r.clone() } } else { r.clone() };
                    runs.iter().map(other).collect()
                };
                crate::Seam { a: side(&s.a), b: side(&s.b), ease_mm: s.ease_mm }
            })
            .collect();
        after.seams.extend(twins);
        let at = after.pieces.iter().position(|p| *p.name() == self.piece).unwrap_or(0);
        after.pieces[at] = std::sync::Arc::new(right);
        after.pieces.insert(at + 1, std::sync::Arc::new(left));
        Ok(after)
    }
}
