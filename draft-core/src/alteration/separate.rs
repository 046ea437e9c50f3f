use serde::{Deserialize, Serialize};

use super::{piece, unused};
use crate::{Draft, DraftError, EdgeRun, Name};

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
        let right = old.clone().to_cut(half);
        let left = old.turned_over(self.other.clone()).to_cut(half);
        let mut after = draft.clone();
        let twins: Vec<crate::Seam> = after
            .seams
            .iter()
            .filter(|s| s.a.iter().chain(&s.b).any(|r| r.piece == self.piece))
            .map(|s| {
                let side = |runs: &[EdgeRun]| -> Vec<EdgeRun> {
                    let other =
                        |r: &EdgeRun| if r.piece == self.piece { EdgeRun { piece: self.other.clone(), ..r.clone() } } else { r.clone() };
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
