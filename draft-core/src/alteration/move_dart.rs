use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::{Draft, DraftError, Length, Name, Place, dart};

/// Moves a dart to another edge: the cloth turns about its pivot until the one opening is closed and the other open.
///
/// # Keeps
/// The angle, the area, the length of every edge.
/// # Changes
/// Where the dart opens, and its fold cap.
/// # Source
/// Rotation about the bust point: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MoveDart {
    /// The piece.
    pub piece: Name,
    /// The dart.
    pub dart: Name,
    /// Where it opens then.
    pub to: Place,
    /// How far the sewing stops short of the pivot.
    #[serde(default = "short")]
    pub short_of_pivot: Length,
    /// Whether the fold is pressed toward the leg that comes second along the outline.
    #[serde(default)]
    pub pressed_onward: bool,
}

/// A bust dart is sewn to 2 to 2.5 cm from the bust point (common practice).
pub(super) const fn short() -> Length {
    Length::from_mm(22.0)
}

impl MoveDart {
    pub(super) fn what(&self) -> String {
        format!("move the {} of the {}", self.dart, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let spot = self.to.spot(old)?;
        let edge = &old.edges()[spot.edge].name;
        let short = self.short_of_pivot.mm();
        Ok(with(draft, dart::moved(old, self.dart.as_str(), edge.as_str(), spot.at_mm, short, !self.pressed_onward)?))
    }
}
