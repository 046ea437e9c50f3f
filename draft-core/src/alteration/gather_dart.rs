use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::{Draft, DraftError, Length, Name, dart};

/// Lets a dart out into gathers along its edge.
///
/// # Keeps
/// The edge outside the gathered stretch, and what the stretch measures once it is drawn in.
/// # Changes
/// The legs give way to one smooth line, marked with notches where gathering begins and ends.
/// # Source
/// Dart to gathers: a smooth line in the place of the legs and a marked range, common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GatherDart {
    /// The piece.
    pub piece: Name,
    /// The dart.
    pub dart: Name,
    /// How far to both sides of the dart the gathers reach.
    pub reach: Length,
}

impl GatherDart {
    pub(super) fn what(&self) -> String {
        format!("gather the {} of the {}", self.dart, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        Ok(with(draft, dart::gathered(old, self.dart.as_str(), self.reach.mm())?))
    }
}
