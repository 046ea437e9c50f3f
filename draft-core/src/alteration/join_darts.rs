use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::{Draft, DraftError, Length, Name, dart};

/// Adds the angle of one dart to another about the same point.
///
/// # Keeps
/// The sum of the angles, the area, the length of every edge.
/// # Changes
/// The first dart is closed, the second opens wider.
/// # Source
/// Angles about the bust point add: geometry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JoinDarts {
    /// The piece.
    pub piece: Name,
    /// The dart that is closed.
    pub dart: Name,
    /// The dart that takes it.
    pub into: Name,
    /// How far the sewing stops short of the pivot.
    #[serde(default = "super::move_dart::short")]
    pub short_of_pivot: Length,
}

impl JoinDarts {
    pub(super) fn what(&self) -> String {
        format!("add the {} of the {} to the {}", self.dart, self.piece, self.into)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        Ok(with(draft, dart::joined(old, self.dart.as_str(), self.into.as_str(), self.short_of_pivot.mm())?))
    }
}
