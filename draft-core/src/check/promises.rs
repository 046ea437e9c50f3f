//! Lengths that were asked for come out on the pieces.

use super::ASKED_MM;
use crate::{Draft, Grade, Message};

/// Names each length that does not.
pub fn check(draft: &Draft) -> Vec<Message> {
    draft
        .promises
        .iter()
        .filter_map(|p| {
            let problem = match draft.measure_mm(&p.spans) {
                None => "can't be measured, for a piece or a point is gone".to_owned(),
                Some(mm) if (mm - p.asked_mm).abs() > ASKED_MM => format!("measures {mm:.1} mm instead of {:.1} mm", p.asked_mm),
                Some(_) => return None,
            };
            Some(Message::new(Grade::Error, p.what.clone(), problem, "Check the measurements and settings that it comes from."))
        })
        .collect()
}
