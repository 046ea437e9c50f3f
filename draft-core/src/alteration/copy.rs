use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::{piece, unused};
use crate::{Draft, DraftError, EdgeRun, Name, Seam};

/// A piece and what its copy is called.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Traced {
    /// The piece.
    pub piece: Name,
    /// Its copy.
    pub name: Name,
}

/// Traces pieces off as they are, to be altered apart: a lining, a flatlining, an overlay.
///
/// # Keeps
/// The pieces; and between the copies, every seam that lay between them.
/// # Changes
/// New pieces of the same outlines.
/// # Source
/// A lining is cut from the same pattern and then given its own ease and hem: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Copy {
    /// Which pieces, and the names of the copies.
    pub pieces: Vec<Traced>,
}

impl Copy {
    pub(super) fn what(&self) -> String {
        let names: Vec<&str> = self.pieces.iter().map(|t| t.name.as_str()).collect();
        format!("trace off the {}", names.join(", the "))
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let mut after = draft.clone();
        for traced in &self.pieces {
            unused(&after, &traced.name)?;
            let copy = piece(draft, &traced.piece)?.renamed(traced.name.clone());
            after.pieces.push(Arc::new(copy));
        }
        let copied = |run: &EdgeRun| {
            let name = &self.pieces.iter().find(|t| t.piece == run.piece)?.name;
            Some(EdgeRun { piece: name.clone(), ..run.clone() })
        };
        for seam in &draft.seams {
            let side = |runs: &[EdgeRun]| runs.iter().map(copied).collect::<Option<Vec<EdgeRun>>>();
            if let (Some(a), Some(b)) = (side(&seam.a), side(&seam.b)) {
                after.seams.push(Seam { a, b, ease_mm: seam.ease_mm });
            }
        }
        Ok(after)
    }
}
