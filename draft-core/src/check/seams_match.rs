//! Sewn edges agree after the ease that is intended.

use crate::{Draft, Grade, Message, SEWN_MM, Walk, mend};

/// Names each seam whose sides do not agree, or whose edge is gone.
pub fn check(draft: &Draft, walks: &[Option<Walk>]) -> Vec<Message> {
    draft
        .seams
        .iter()
        .zip(walks)
        .filter_map(|(seam, walk)| {
            let (a, b) = seam.sides();
            match walk {
                None => Some(Message::new(
                    Grade::Error,
                    a,
                    format!("it is sewn to {b}, and one of the two is gone"),
                    "Draft both pieces again.",
                )),
                Some(walk) if walk.difference_mm.abs() > SEWN_MM => {
                    Some(Message::new(Grade::Error, a, mend::said(seam, walk), "Trim it, ease it, or redraw its partner."))
                }
                Some(_) => None,
            }
        })
        .collect()
}
