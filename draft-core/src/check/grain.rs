//! A grain line lies on its piece.

use crate::{Grade, Message, Piece, grain};

/// Says when it does not.
pub fn check(piece: &Piece) -> Option<Message> {
    (!grain::lies_on(&piece.outline(), piece.grain())).then(|| {
        Message::new(
            Grade::Warning,
            piece.name().to_string(),
            "the grain line runs off the piece",
            "Look at the piece on the table; lay its longest straight edge along the grain.",
        )
    })
}
