//! A grain line lies on its piece.

use kurbo::{ParamCurve, Shape};

use crate::{Grade, Message, Piece};

/// Says when it does not.
pub fn check(piece: &Piece) -> Option<Message> {
    let grain = piece.grain();
    let outline = piece.outline();
    let outside = (0..=8).any(|i| outline.winding(grain.eval(f64::from(i) / 8.0)) == 0);
    outside.then(|| {
        Message::new(
            Grade::Warning,
            piece.name().to_string(),
            "the grain line runs off the piece",
            "Look at the piece on the table; lay its longest straight edge along the grain.",
        )
    })
}
