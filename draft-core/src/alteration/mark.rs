use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::{Draft, DraftError, DrawnLine, MarkedLine, Name, NamedPoint, Notion, Place};

/// Something marked on a piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Sign {
    /// A notch on an edge.
    Notch {
        /// Where.
        at: Place,
        /// Two notches side by side.
        #[serde(default)]
        double: bool,
    },
    /// A point: a button, a hook, the top of a pocket.
    Point {
        /// What it is called.
        name: Name,
        /// Where.
        at: Place,
    },
    /// A line: a placement line, a fold line, a slit that is cut later.
    Line {
        /// What it is called.
        name: Name,
        /// Where.
        line: DrawnLine,
    },
    /// A closing that is sewn on at a place: hook and bar, press stud, finger loop, button.
    Closing {
        /// What it is, as it stands in the list of notions.
        what: String,
        /// Where.
        at: Place,
    },
}

/// Marks something on a piece.
///
/// # Keeps
/// Every line.
/// # Changes
/// Only the marks, and the list of notions.
/// # Source
/// Notches, placement lines and marks transferred to the cloth: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// The piece.
    pub piece: Name,
    /// What is marked.
    pub sign: Sign,
}

impl Mark {
    pub(super) fn what(&self) -> String {
        let sign = match &self.sign {
            Sign::Notch { double: false, .. } => "a notch".to_owned(),
            Sign::Notch { double: true, .. } => "a double notch".to_owned(),
            Sign::Point { name, .. } | Sign::Line { name, .. } => format!("the {name}"),
            Sign::Closing { what, .. } => format!("a {what}"),
        };
        format!("mark {sign} on the {}", self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let mut notion = None;
        let new = match &self.sign {
            Sign::Notch { at, double } => {
                let spot = at.spot(old)?;
                old.to_builder().notch(old.edges()[spot.edge].name.clone(), spot.at_mm, *double)
            }
            Sign::Point { name, at } => old.to_builder().point(free(old, name)?, at.find(old)?),
            Sign::Line { name, line } => old.to_builder().inner(old.points().to_vec(), marked(old, name, line.path(old)?)?),
            Sign::Closing { what, at } => {
                let place = at.find(old)?;
                let count = old.points().iter().filter(|p| p.name.as_str().starts_with(what.as_str())).count();
                let name: Name = if count == 0 { what.as_str().into() } else { format!("{what} {}", count + 1).into() };
                notion =
                    Some(Notion { what: what.clone(), count: old.cut().count.max(1), place: self.piece.to_string(), ..Notion::default() });
                let mut points = old.points().to_vec();
                points.push(NamedPoint { name: free(old, &name)?, at: place, marked: true, rides: None });
                old.to_builder().inner(points, old.lines().to_vec())
            }
        };
        let mut after = with(draft, new.build()?);
        after.notions.extend(notion);
        Ok(after)
    }
}

/// A point's name that the piece does not have yet.
fn free(piece: &crate::Piece, name: &Name) -> Result<Name, DraftError> {
    match piece.point(name.as_str()) {
        None => Ok(name.clone()),
        Some(_) => Err(DraftError::new(piece.name().to_string(), format!("already has a point named {name}"), "Give it another name.")),
    }
}

/// The lines of a piece and one more.
pub(super) fn marked(piece: &crate::Piece, name: &Name, path: kurbo::BezPath) -> Result<Vec<MarkedLine>, DraftError> {
    if piece.lines().iter().any(|l| l.name == *name) {
        return Err(DraftError::new(piece.name().to_string(), format!("already has a line named {name}"), "Give it another name."));
    }
    let mut lines = piece.lines().to_vec();
    lines.push(MarkedLine { name: name.clone(), path });
    Ok(lines)
}
