//! Laying pieces on cloth: what is to be laid, the planner that does it, and the check of what it did.
//!
//! Cloth lies with its grain along x and its width along y, from the fold or the lower selvedge at y = 0; millimetres.
//! A [`Task`] says what is to be laid, a [`Planner`] lays it, and [`verify::faults`] looks at the result in `f64`,
//! apart from the planner. The one planner that we have, [`SearchPlanner`], stands on the collision engine of the
//! crate `jagua-rs`; nothing outside `planner/` knows of it.

mod chance;
mod layout;
mod planner;
pub mod slide;
mod task;
#[cfg(test)]
mod tests;
pub mod verify;
mod watch;

pub use layout::{Layout, Placed};
pub use planner::SearchPlanner;
pub use task::{Effort, Extent, Item, Task, Turn, area_mm2};
pub use watch::{Quiet, Watch};

use crate::DraftError;

/// Something that lays pieces.
pub trait Planner {
    /// Lays the pieces of a task.
    ///
    /// The same task and effort give the same layout, whatever the watch does with its threads, unless it says stop;
    /// then the best layout so far is given. Each better layout is shown to the watch as it is found.
    ///
    /// # Errors
    /// The task makes no sense, or a piece that must lie on the cloth can't.
    fn plan(&self, task: &Task, effort: Effort, watch: &dyn Watch) -> Result<Layout, DraftError>;
}
