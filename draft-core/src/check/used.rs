//! A measurement that gave way to others is shown, however little.

use crate::measurement::Kind;
use crate::{Draft, Grade, Message, Unit};

/// One note for each.
pub fn check(draft: &Draft) -> Vec<Message> {
    draft
        .used
        .iter()
        .map(|u| {
            let show = |v: f64| if u.which.kind() == Kind::Angle { format!("{v:.1}°") } else { Unit::Cm.text(v) };
            Message::new(
                Grade::Note,
                u.which.name(),
                format!("{} is on the card, {} is used, so that the rest can be drafted", show(u.measured), show(u.used)),
                format!("Measure {} again; if it is right, look at this place in the muslin.", u.which.where_the_tape_goes()),
            )
            .about(&[u.which])
        })
        .collect()
}
