use serde::{Deserialize, Serialize};

use super::{Side, piece, with};
use crate::seam_runs::SeamRuns;
use crate::{Draft, DraftError, DrawnLine, MarkedLine, Name, NamedPoint, Notch, Notion, Piece, Place};

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
        /// On both sides of every seam that the edge is sewn in: the other one where the seam is walked to, ease and gathers
        /// counted.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        both: bool,
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

/// Marks something on a piece; a notch on what it is sewn to as well, where that is asked for.
///
/// # Keeps
/// Every line.
/// # Changes
/// Only the marks, and the list of notions.
/// # Source
/// Notches on both sides of a seam, placement lines and marks transferred to the cloth: common practice.
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
            Sign::Notch { double, both, .. } => {
                let sides = if *both { " and across its seam" } else { "" };
                return format!("mark a {}notch on the {}{sides}", if *double { "double " } else { "" }, self.piece);
            }
            Sign::Point { name, .. } | Sign::Line { name, .. } => format!("the {name}"),
            Sign::Closing { what, .. } => format!("a {what}"),
        };
        format!("mark {sign} on the {}", self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let mut notion = None;
        let new = match &self.sign {
            Sign::Notch { at, double, both } => return notched(draft, old, at, *double, *both),
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

/// A notch that stands so near already is the one that is asked for, millimetres.
const THERE_MM: f64 = 0.5;

fn notched(draft: &Draft, old: &Piece, at: &Place, double: bool, both: bool) -> Result<Draft, DraftError> {
    let spot = at.spot(old)?;
    let edge = &old.edges()[spot.edge].name;
    let mut after = with(draft, old.to_builder().notch(edge.clone(), spot.at_mm, double).build()?);
    if both {
        for (side, mm) in across_seams(draft, old.name(), edge, spot.at_mm) {
            let other = piece(&after, &side.piece)?;
            let there = |n: &Notch| n.edge == side.edge && n.double == double && (n.from_start_mm - mm).abs() <= THERE_MM;
            if !other.notches().iter().any(there) {
                let new = other.to_builder().notch(side.edge, mm, double).build()?;
                after = with(&after, new);
            }
        }
    }
    Ok(after)
}

/// Where the seams of an edge are walked to from a place on it, as its outline runs: each other edge and the distance along it.
pub fn across_seams(draft: &Draft, piece: &Name, edge: &Name, from_start_mm: f64) -> Vec<(Side, f64)> {
    let across = |runs: &SeamRuns| runs.across(piece, edge, from_start_mm).map(|(side, mm)| (side.clone(), mm));
    SeamRuns::all_of(draft, piece, edge).iter().filter_map(across).collect()
}

/// A point's name that the piece does not have yet.
fn free(piece: &Piece, name: &Name) -> Result<Name, DraftError> {
    match piece.point(name.as_str()) {
        None => Ok(name.clone()),
        Some(_) => Err(DraftError::new(piece.name().to_string(), format!("already has a point named {name}"), "Give it another name.")),
    }
}

/// The lines of a piece and one more.
pub(super) fn marked(piece: &Piece, name: &Name, path: kurbo::BezPath) -> Result<Vec<MarkedLine>, DraftError> {
    if piece.lines().iter().any(|l| l.name == *name) {
        return Err(DraftError::new(piece.name().to_string(), format!("already has a line named {name}"), "Give it another name."));
    }
    let mut lines = piece.lines().to_vec();
    lines.push(MarkedLine { name: name.clone(), path });
    Ok(lines)
}
