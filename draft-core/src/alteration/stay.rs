use serde::{Deserialize, Serialize};

use super::piece;
use super::take_in::Side;
use crate::{Draft, DraftError, Name, Notion, Role, Unit};

/// Stays edges with tape: a waist stay that carries the load of a skirt, a taped neckline, elastic that draws a waist in.
///
/// # Keeps
/// Every line.
/// # Changes
/// The list of notions: one tape as long as the edges on the whole garment, or as that share of them, and what is
/// turned in or lapped at its ends.
/// # Source
/// A waist stay of twill tape as long as the waist, fastened on its own; elastic cut shorter than the edge that it
/// draws in, and its ends lapped: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stay {
    /// The edges that it lies along, one after the other.
    pub edges: Vec<Side>,
    /// What it is, as it stands in the list of notions: `waist stay, twill tape`.
    pub name: Name,
    /// Its length as a share of the edges: 1 for tape, less for elastic.
    #[serde(default = "whole", skip_serializing_if = "is_whole")]
    pub share: f64,
}

const fn whole() -> f64 {
    1.0
}

fn is_whole(share: &f64) -> bool {
    *share == 1.0
}

/// Turned in at both ends together, millimetres (common practice).
const TURNED_IN_MM: f64 = 40.0;

impl Stay {
    pub(super) fn what(&self) -> String {
        format!("lay a {}", self.name)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        if self.edges.is_empty() {
            return Err(DraftError::new(self.name.to_string(), "no edge is named", "Name the edges that the tape lies along."));
        }
        if !(0.2..=3.0).contains(&self.share) {
            return Err(DraftError::new(
                self.name.to_string(),
                format!("would be {:.0} % of its edges", 100.0 * self.share),
                "Give 100 % for tape, 80 to 95 % for elastic.",
            ));
        }
        let mut length = 0.0;
        for side in &self.edges {
            let own = piece(draft, &side.piece)?;
            crate::place::edge_index(own, &side.edge)?;
            let halves = if own.edges().iter().any(|e| e.role == Role::Fold) { 2.0 } else { 1.0 };
            length += own.edge_length_mm(side.edge.as_str()).unwrap_or(0.0) * f64::from(own.cut().count.max(1)) * halves;
        }
        let length = length * self.share + TURNED_IN_MM;
        if length > 20_000.0 {
            return Err(DraftError::new(self.name.to_string(), format!("would be {} long", Unit::Cm.text(length)), "Name fewer edges."));
        }
        let place = self.edges.iter().map(|s| format!("{} / {}", s.piece, s.edge)).collect::<Vec<_>>().join(" + ");
        let mut after = draft.clone();
        after.notions.push(Notion { what: self.name.to_string(), count: 1, length_mm: Some(length), place, ..Notion::default() });
        Ok(after)
    }
}
