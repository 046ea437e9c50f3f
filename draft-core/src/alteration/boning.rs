use kurbo::ParamCurveCurvature;
use serde::{Deserialize, Serialize};

use super::take_in::Side;
use super::{piece, with};
use crate::{Draft, DraftError, DrawnLine, Grade, Length, Message, Name, Notion, Role, Unit};

/// A channel that is not on a seam.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Channel {
    /// The piece.
    pub piece: Name,
    /// Its line.
    pub line: DrawnLine,
    /// What it is called.
    pub name: Name,
}

/// Lays boning channels on seams and along lines, and lists the bones.
///
/// # Keeps
/// Every line.
/// # Changes
/// A channel is marked on each piece at the seam; a bone is listed for each, as long as the seam between the finished
/// edges less what is left free at both ends.
/// # Source
/// Bones end 6 to 10 mm short of the finished edges; a flat bone does not follow a curve of less than about 30 cm
/// radius: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Boning {
    /// Seams: one of both edges of each is enough.
    #[serde(default)]
    pub seams: Vec<Side>,
    /// Other channels.
    #[serde(default)]
    pub channels: Vec<Channel>,
    /// Width of a bone; its channel is 2 mm wider (common practice: 2 to 3 mm).
    pub width: Length,
    /// What is left free at each end.
    #[serde(default = "free")]
    pub clear: Length,
}

const fn free() -> Length {
    Length::from_mm(8.0)
}

/// A flat bone does not lie along a curve that is tighter than this, millimetres.
const LEAST_RADIUS_MM: f64 = 300.0;

impl Boning {
    pub(super) fn what(&self) -> String {
        format!("lay {} boning channels", self.seams.len() + self.channels.len())
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let mut after = draft.clone();
        if self.seams.is_empty() && self.channels.is_empty() {
            return Err(DraftError::new("boning", "no seam and no channel is named", "Name a seam or draw a line."));
        }
        for seam in &self.seams {
            let old = piece(&after, &seam.piece)?;
            let edge = &old.edges()[crate::place::edge_index(old, &seam.edge)?];
            let count = bones(old.cut().count, edge.role);
            let paths: Vec<kurbo::BezPath> = old.edge_parts(seam.edge.as_str()).map(|p| p.path.clone()).collect();
            if paths.len() > 1 {
                return Err(DraftError::new(
                    format!("{} / {}", seam.piece, seam.edge),
                    "has a dart in it, so no bone can follow it",
                    "Lay the channel beside the dart.",
                ));
            }
            let length = old.edge_length_mm(seam.edge.as_str()).unwrap_or(0.0);
            let place = format!("{} / {}", seam.piece, seam.edge);
            self.list(&mut after, place, count, length, paths.first())?;
        }
        for channel in &self.channels {
            let old = piece(&after, &channel.piece)?;
            let path = channel.line.path(old)?;
            let lines = super::mark::marked(old, &channel.name, path.clone())?;
            let points = old.points().to_vec();
            let count = old.cut().count.max(1) * if old.fold().is_some() { 2 } else { 1 };
            let new = old.to_builder().inner(points, lines).build()?;
            after = with(&after, new);
            self.list(&mut after, format!("{} / {}", channel.piece, channel.name), count, crate::geometry::length(&path), Some(&path))?;
        }
        Ok(after)
    }

    fn list(&self, after: &mut Draft, place: String, count: u32, length: f64, path: Option<&kurbo::BezPath>) -> Result<(), DraftError> {
        let bone = length - 2.0 * self.clear.mm();
        if bone < 20.0 {
            return Err(DraftError::new(place, format!("is {}, too short for a bone", Unit::Cm.text(length)), "Choose a longer seam."));
        }
        let bends = path.into_iter().flat_map(|p| p.segments()).any(|seg| {
            let cubic = seg.to_cubic();
            (1..20).any(|i| cubic.curvature(f64::from(i) / 20.0).abs() > 1.0 / LEAST_RADIUS_MM)
        });
        if bends {
            after.messages.push(Message::new(
                Grade::Note,
                place.clone(),
                "curves more than a flat steel bone follows (less than 30 cm radius)",
                "Use a spiral steel or synthetic bone there, or lay the channel straighter.",
            ));
        }
        after.notions.push(Notion {
            what: format!("bone, {} wide", self.width.text(Unit::Mm)),
            count,
            length_mm: Some(bone),
            place: place.clone(),
            ..Notion::default()
        });
        let channel = Unit::Mm.text(self.width.mm() + WIDER_MM);
        after.notions.push(Notion {
            what: format!("casing, {channel} between its stitching"),
            count,
            length_mm: Some(length),
            place,
            ..Notion::default()
        });
        Ok(())
    }
}

/// By how much a channel is wider than its bone, millimetres.
const WIDER_MM: f64 = 2.0;

/// How many bones one edge stands for.
fn bones(cut: u32, role: Role) -> u32 {
    if role == Role::Fold { 1 } else { cut.max(1) * if cut == 1 { 2 } else { 1 } }
}
