//! Checks that the program runs on every draft, one file each. Each says where, what, and how to mend it.

mod armhole;
mod corners;
mod figures;
mod girths;
mod grain;
mod promises;
mod seams_match;
mod simple;
mod too_tight;
mod used;

pub(crate) use armhole::check as armhole;
pub use corners::measure as corner_degrees;
pub use simple::crossing;

use crate::{Draft, Girth, Message, Piece, Unit, Walk};

/// A finished length agrees with what was asked for within this many millimetres.
pub const ASKED_MM: f64 = 0.1;

/// Runs every check on a draft, its walked seams and its finished girths; what they found, in no order. `unit` is that
/// of the wearer card.
pub fn all(draft: &Draft, walks: &[Option<Walk>], girths: &[Girth], unit: Unit) -> Vec<Message> {
    let mut found: Vec<Message> = draft.pieces.iter().flat_map(|p| of_piece(p)).collect();
    found.extend(between(draft, walks, girths, unit));
    found
}

/// The checks of one piece alone.
pub fn of_piece(piece: &Piece) -> Vec<Message> {
    simple::check(piece).into_iter().chain(armhole::check(piece)).chain(grain::check(piece)).collect()
}

/// The checks of what pieces are to each other and to the body.
pub fn between(draft: &Draft, walks: &[Option<Walk>], girths: &[Girth], unit: Unit) -> Vec<Message> {
    let mut found = Vec::new();
    found.extend(seams_match::check(draft, walks));
    found.extend(girths::check(draft, girths));
    found.extend(too_tight::check(girths, unit));
    found.extend(promises::check(draft));
    found.extend(corners::check(draft));
    found.extend(figures::check(draft));
    found.extend(used::check(draft));
    found
}
