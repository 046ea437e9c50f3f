use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::{Draft, DraftError, EdgeRun, Length, Name, Seam, Unit};

/// Lets an edge be eased, gathered or stretched into its partner.
///
/// # Keeps
/// Every line.
/// # Changes
/// The ease that the seam is meant to have: as much as is over, or as much as is asked. Gathered edges get notches at
/// their quarters, and so does the partner, so that the fullness is spread evenly.
/// # Source
/// Easing and gathering between quarter notches: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ease {
    /// The piece …
    pub piece: Name,
    /// … and its edge, which is longer than its partner by the ease.
    pub edge: Name,
    /// The piece that it is sewn to, where the edge is sewn more than once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub into: Option<Name>,
    /// How much; where not given, all that is over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<Length>,
    /// Whether it is gathered rather than eased.
    #[serde(default)]
    pub gathered: bool,
}

impl Ease {
    pub(super) fn what(&self) -> String {
        let verb = if self.gathered { "gather" } else { "ease" };
        let by = self.by.map_or_else(String::new, |l| format!(" by {}", Unit::Cm.text(l.mm())));
        format!("{verb} {} / {}{by}", self.piece, self.edge)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let own = piece(draft, &self.piece)?;
        crate::place::edge_index(own, &self.edge)?;
        let mut after = draft.clone();
        let holds = |runs: &[EdgeRun]| runs.iter().any(|r| r.piece == self.piece && r.edge == self.edge);
        let reaches = |runs: &[EdgeRun]| self.into.as_ref().is_none_or(|name| runs.iter().any(|r| r.piece == *name));
        let is = |s: &&mut Seam| holds(&s.a) && reaches(&s.b) || holds(&s.b) && reaches(&s.a);
        let Some(seam) = after.seams.iter_mut().find(is) else {
            return Err(DraftError::new(
                format!("{} / {}", self.piece, self.edge),
                "is not sewn to anything",
                "Choose an edge that is sewn, or sew it first.",
            ));
        };
        let on_a = holds(&seam.a) && reaches(&seam.b);
        let walk = seam
            .walk(|name| draft.piece(name.as_str()))
            .ok_or_else(|| DraftError::new(format!("{} / {}", self.piece, self.edge), "its partner is gone", "Draft the partner again."))?;
        seam.ease_mm = match self.by {
            Some(by) if on_a => by.mm(),
            Some(by) => -by.mm(),
            None => walk.a_mm - walk.b_mm,
        };
        if self.gathered {
            let partner = if on_a { seam.b.clone() } else { seam.a.clone() };
            let quarters = |after: &Draft, name: &Name, edge: &Name| -> Result<Draft, DraftError> {
                let old = piece(after, name)?;
                let length = old.edge_length_mm(edge.as_str()).unwrap_or(0.0);
                let mut new = old.to_builder();
                for quarter in 1..4 {
                    new = new.notch(edge.clone(), length * f64::from(quarter) / 4.0, false);
                }
                Ok(with(after, new.build()?))
            };
            after = quarters(&after, &self.piece, &self.edge)?;
            if let [run] = &partner[..]
                && (run.times - 1.0).abs() < 1e-9
            {
                after = quarters(&after, &run.piece, &run.edge)?;
            }
        }
        Ok(after)
    }
}
