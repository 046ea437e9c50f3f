use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::place::edge_index;
use crate::{Draft, DraftError, Length, Name, Role, Unit};

/// Changes what happens at an edge: its allowance, its hem, whether it opens.
///
/// # Keeps
/// The seam line.
/// # Changes
/// Role and allowance, and with them the cut line.
/// # Source
/// Allowances by finish: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Finish {
    /// The piece.
    pub piece: Name,
    /// The edge.
    pub edge: Name,
    /// What happens there; where not given, it stays.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<Role>,
    /// Its allowance; where not given, it stays.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allowance: Option<Length>,
}

impl Finish {
    pub(super) fn what(&self) -> String {
        let role = self.role.map_or_else(String::new, |r| format!(" as {}", r.word()));
        let by = self.allowance.map_or_else(String::new, |l| format!(" with {}", Unit::Cm.text(l.mm())));
        format!("finish {} / {}{role}{by}", self.piece, self.edge)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let edge = &old.edges()[edge_index(old, &self.edge)?];
        let place = || format!("{} / {}", self.piece, self.edge);
        if edge.role == Role::DartLeg || self.role == Some(Role::DartLeg) {
            return Err(DraftError::new(place(), "is, or would be, the leg of a dart", "Choose another edge."));
        }
        let straight = old.edge_parts(self.edge.as_str()).flat_map(|p| p.path.segments()).all(|s| matches!(s, kurbo::PathSeg::Line(_)));
        if self.role == Some(Role::Fold) && !(straight && old.edge_parts(self.edge.as_str()).count() == 1) {
            return Err(DraftError::new(place(), "is not straight, so it can't lie on the fold", "Leave a seam there, or straighten it."));
        }
        let allowance = match (self.allowance, self.role) {
            (Some(l), _) => l.mm(),
            (None, Some(Role::Fold)) => 0.0,
            (None, _) => edge.allowance_mm,
        };
        if !(0.0..=300.0).contains(&allowance) {
            return Err(DraftError::new(place(), "an allowance lies between 0 and 30 cm", "Choose one in between."));
        }
        let (role, name) = (self.role.unwrap_or(edge.role), self.edge.as_str());
        let mut builder = old.to_builder().role(name, role).allowance(name, allowance);
        // A half that no longer lies on the fold is cut twice, and the other way round.
        let was_fold = edge.role == Role::Fold;
        if was_fold && role != Role::Fold {
            builder = builder.cut(old.cut().count * 2, true);
        } else if !was_fold && role == Role::Fold {
            builder = builder.cut((old.cut().count / 2).max(1), false);
        }
        Ok(with(draft, builder.build()?))
    }
}
