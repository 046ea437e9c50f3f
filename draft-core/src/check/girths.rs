//! Finished girths are body and ease.

use super::ASKED_MM;
use crate::{Draft, Girth, Grade, Message};

/// Names each level whose pieces do not add up, or that can't be measured.
pub fn check(draft: &Draft, girths: &[Girth]) -> Vec<Message> {
    let mut found: Vec<Message> = girths
        .iter()
        .filter(|g| (g.finished_mm - g.body_mm - g.ease_mm).abs() > ASKED_MM)
        .map(|g| {
            Message::new(
                Grade::Error,
                g.level,
                format!(
                    "the pieces measure {:.1} mm instead of {:.1} mm (body {:.1}, ease {:.1})",
                    g.finished_mm,
                    g.body_mm + g.ease_mm,
                    g.body_mm,
                    g.ease_mm
                ),
                "Draft the block again; if it stays, change the measurement named here.",
            )
        })
        .collect();
    if girths.len() != draft.levels.len() {
        for level in draft.levels.iter().filter(|l| draft.measure_mm(&l.spans).is_none()) {
            found.push(Message::new(
                Grade::Error,
                level.name,
                "can't be measured, for a piece or a point is gone",
                "Draft the block again.",
            ));
        }
    }
    found
}
