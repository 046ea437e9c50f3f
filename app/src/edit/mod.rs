//! What a maker can do to a garment, and undo again. Knows nothing of the screen.

mod cloth;
mod command;
mod history;

pub use cloth::ClothCommand;
pub use command::{CardLine, Command};
pub use history::History;
