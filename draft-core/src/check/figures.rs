//! Numbers of the draft lie within what a sound one has.

use crate::{Draft, Grade, Message};

/// Names each number out of its range.
pub fn check(draft: &Draft) -> Vec<Message> {
    draft
        .figures
        .iter()
        .filter(|f| f.value < f.range.0 - 1e-6 || f.value > f.range.1 + 1e-6)
        .map(|f| {
            let show = |v: f64| if f.is_angle { format!("{v:.1}°") } else { format!("{:.1} cm", v / 10.0) };
            Message::new(
                Grade::Warning,
                format!("bodice: {}", f.what),
                format!("is {}; from {} to {} is sound", show(f.value), show(f.range.0), show(f.range.1)),
                "Check the measurements of shoulder, chest, back and arm, and prove it in muslin.",
            )
        })
        .collect()
}
