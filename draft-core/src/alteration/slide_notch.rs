use serde::{Deserialize, Serialize};

use super::take_in::Side;
use super::{piece, with};
use crate::place::{edge_index, from_start};
use crate::{Draft, DraftError, Length, Name, Notch, Piece, Unit};

/// Slides a notch along its edge, and the notch that it is matched to along the other edge of the seam.
///
/// # Keeps
/// Every line and every other notch.
/// # Changes
/// Where the notch stands; a stretch to gather that begins or ends there begins or ends with it.
/// # Source
/// Notches shifted together on both sides of a seam so that they go on matching: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SlideNotch {
    /// The edges: both sides of the seam, or one edge alone.
    pub sides: Vec<Side>,
    /// The end from which notches are counted, named by the edge or point that each side meets there.
    pub from: Name,
    /// Which notch from there, the first being 1.
    pub nth: u32,
    /// By how much it moves away from that end; below nought it comes nearer.
    pub by: Length,
}

impl SlideNotch {
    pub(super) fn what(&self) -> String {
        let sides: Vec<String> = self.sides.iter().map(|s| format!("{} / {}", s.piece, s.edge)).collect();
        format!("slide a notch of {}", sides.join(" with "))
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        if self.sides.is_empty() {
            return Err(DraftError::new("notch", "no edge is given", "Name the edge on which it stands."));
        }
        let mut after = draft.clone();
        for side in &self.sides {
            let new = self.slid(piece(&after, &side.piece)?, &side.edge)?;
            after = with(&after, new);
        }
        Ok(after)
    }

    fn slid(&self, old: &Piece, edge: &Name) -> Result<Piece, DraftError> {
        edge_index(old, edge)?;
        let counted_from_start = from_start(old, edge, &self.from)?;
        let place = || format!("{} / {edge}", old.name());
        let length = old.edge_length_mm(edge.as_str()).unwrap_or(0.0);
        let notches = in_order(old, edge, counted_from_start);
        let Some(notch) = (self.nth as usize).checked_sub(1).and_then(|n| notches.get(n)).copied().cloned() else {
            let many = match notches.len() {
                0 => "has no notch".to_owned(),
                1 => "has 1 notch".to_owned(),
                n => format!("has {n} notches"),
            };
            return Err(DraftError::new(
                place(),
                format!("{many}, and number {} is asked for", self.nth),
                "Choose another notch, or mark one.",
            ));
        };
        let to = notch.from_start_mm + if counted_from_start { self.by.mm() } else { -self.by.mm() };
        if !(-1e-6..=length + 1e-6).contains(&to) {
            let text = format!("is {}, and the notch would stand off it", Unit::Cm.text(length));
            return Err(DraftError::new(place(), text, "Slide it less far."));
        }
        let to = to.clamp(0.0, length);
        let same = |n: &Notch| n.edge == notch.edge && (n.from_start_mm - notch.from_start_mm).abs() < 1e-9;
        old.to_builder().notches_moved(|n| if same(n) { to } else { n.from_start_mm }).build()
    }
}

/// The notches of an edge, counted from one of its ends.
pub(crate) fn in_order<'a>(piece: &'a Piece, edge: &Name, from_start: bool) -> Vec<&'a Notch> {
    let mut notches: Vec<&Notch> = piece.notches().iter().filter(|n| n.edge == *edge).collect();
    notches.sort_by(|a, b| a.from_start_mm.total_cmp(&b.from_start_mm));
    if !from_start {
        notches.reverse();
    }
    notches
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;

    #[test]
    fn both_notches_of_a_seam_slide_together_and_no_further_than_the_edge() {
        let garment = crate::Garment::from_text(include_str!("../../../assets/demo/garment.ron")).unwrap();
        let draft = garment.build().draft;
        let sides = ["front", "back"].map(|p| Side { piece: p.into(), edge: "side seam".into() });
        let slide = |by: f64, nth: u32| SlideNotch { sides: sides.to_vec(), from: "waist".into(), nth, by: Length::from_mm(by) };
        let from_waist = |draft: &Draft, piece: &str| {
            let piece = draft.piece(piece).unwrap();
            let edge: Name = "side seam".into();
            let at_start = from_start(piece, &edge, &"waist".into()).unwrap();
            let notch = in_order(piece, &edge, at_start)[0].from_start_mm;
            if at_start { notch } else { piece.edge_length_mm("side seam").unwrap() - notch }
        };
        let after = slide(7.5, 1).apply(&draft).unwrap();
        for piece in ["front", "back"] {
            assert!((from_waist(&after, piece) - from_waist(&draft, piece) - 7.5).abs() < 1e-9, "{piece}");
        }
        assert!(slide(-500.0, 1).apply(&draft).unwrap_err().problem.contains("off it"));
        assert!(slide(5.0, 9).apply(&draft).unwrap_err().problem.contains("number 9"));
    }
}
