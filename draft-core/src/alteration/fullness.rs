use serde::{Deserialize, Serialize};

use super::spread::{Opening, Slash, Spread};
use super::{piece, with};
use crate::{Draft, DraftError, Length, Name, Place, Unit};

/// Spreads a piece evenly along an edge: flare at a hem, fullness to gather.
///
/// # Keeps
/// With a hinge, the length of the other edge.
/// # Changes
/// As many slashes as asked, at the same shares of both edges, each opened by the same part of the whole.
/// # Source
/// Slash and spread at even intervals: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fullness {
    /// The piece.
    pub piece: Name,
    /// The edge that grows.
    pub edge: Name,
    /// The end of it from which shares are counted.
    pub from: Name,
    /// The edge that holds together, or grows as well.
    pub hinge: Name,
    /// The end of that edge from which the same shares are counted.
    pub hinge_from: Name,
    /// How many slashes.
    pub count: u32,
    /// What is added in all, straight across the openings.
    pub by: Length,
    /// Whether both edges grow by it.
    #[serde(default)]
    pub both_ends: bool,
}

impl Fullness {
    pub(super) fn what(&self) -> String {
        format!("spread the {} of the {} by {}", self.edge, self.piece, Unit::Cm.text(self.by.mm()))
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        if !(1..=60).contains(&self.count) {
            return Err(DraftError::new(self.piece.to_string(), "between 1 and 60 slashes can be made", "Choose another number."));
        }
        let count = f64::from(self.count);
        let slashes = (0..self.count)
            .map(|n| (f64::from(n) + 0.5) / count)
            .map(|share| Slash {
                from: Place::share(self.edge.clone(), self.from.clone(), share),
                to: Place::share(self.hinge.clone(), self.hinge_from.clone(), share),
            })
            .collect();
        let spread = Spread {
            piece: self.piece.clone(),
            slashes,
            by: Opening::Length(Length::from_mm(self.by.mm() / count)),
            both_ends: self.both_ends,
            straight: false,
            still: None,
        };
        Ok(with(draft, spread.spread(piece(draft, &self.piece)?)?.0))
    }
}
