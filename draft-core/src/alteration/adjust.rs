use serde::{Deserialize, Serialize};

use crate::{Draft, DraftError, Kind, Length, Measurement, Unit};

/// One measurement changed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// Which, by its key: `"front-waist-length"`.
    pub which: Measurement,
    /// By how much.
    pub by: Length,
}

/// Changes what the blocks after it are drafted from, the wearer card left as it is: more room over a full bust, a back
/// that turned out longer in muslin.
///
/// # Keeps
/// The card; blocks drafted before.
/// # Changes
/// Every block drafted after this work uses the changed measurements, so that all seams stay true.
/// # Source
/// A full-bust adjustment equals raising bust girth, front length and cup together and drafting anew: its width and its
/// dart come of themselves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Adjust {
    /// The changes.
    pub changes: Vec<Change>,
}

impl Adjust {
    /// More room for the bust (or less, below nought): by half of `by` on each half of the front at the bust point,
    /// and the length over it that goes with the deeper curve.
    pub fn bust(by: Length) -> Self {
        let half = by.mm() / 2.0;
        Self {
            changes: vec![
                Change { which: Measurement::BustGirth, by },
                Change { which: Measurement::FrontWaistLength, by: Length::from_mm(half) },
                Change { which: Measurement::NeckToBustPoint, by: Length::from_mm(half / 2.0) },
            ],
        }
    }

    pub(super) fn what(&self) -> String {
        let changes: Vec<String> = self.changes.iter().map(|c| format!("{} by {}", c.which.name(), Unit::Cm.text(c.by.mm()))).collect();
        format!("change {}", changes.join(", "))
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let mut after = draft.clone();
        for change in &self.changes {
            if change.which.kind() == Kind::Angle {
                return Err(DraftError::new(change.which.name(), "is an angle", "Change the measurement on the wearer card."));
            }
            *after.adjusted.entry(change.which).or_insert(0.0) += change.by.mm();
        }
        Ok(after)
    }
}
