use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::{Draft, DraftError, Length, Name, Place, dart};

/// Shares a dart between its place and another.
///
/// # Keeps
/// The sum of the angles, the area, the length of every edge.
/// # Changes
/// Part of the angle opens as a second dart.
/// # Source
/// Angles about the bust point add, widths do not: geometry; splitting a deep dart: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SplitDart {
    /// The piece.
    pub piece: Name,
    /// The dart.
    pub dart: Name,
    /// The name of the second dart.
    pub second: Name,
    /// The part of the angle that moves, from 0 to 1.
    pub share: f64,
    /// Where the second dart opens.
    pub to: Place,
    /// How far the sewing of the second stops short of the pivot.
    #[serde(default = "super::move_dart::short")]
    pub short_of_pivot: Length,
}

impl SplitDart {
    pub(super) fn what(&self) -> String {
        format!("share the {} of the {} with a {}", self.dart, self.piece, self.second)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        if !(0.02..=0.98).contains(&self.share) {
            return Err(DraftError::new(
                format!("{} / {}", self.piece, self.dart),
                format!("a share of {} leaves no second dart", self.share),
                "Choose a share between 0.02 and 0.98, or move the dart.",
            ));
        }
        let spot = self.to.spot(old)?;
        let to = dart::Place {
            edge: old.edges()[spot.edge].name.as_str(),
            from_start_mm: spot.at_mm,
            short_of_pivot: self.short_of_pivot.mm(),
            pressed_to_a: true,
        };
        Ok(with(draft, dart::split(old, self.dart.as_str(), self.second.as_str(), self.share, &to)?))
    }
}
