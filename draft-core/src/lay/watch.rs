//! Whoever waits for a lay plan: says when to stop, sees what is found, and lends threads.

use super::Layout;

/// What a planner asks of its caller, who has the clock, the Cancel button and the threads.
pub trait Watch: Sync {
    /// Whether to stop now, with the best layout so far.
    fn stop(&self) -> bool {
        false
    }

    /// Shows a layout that is better than those before.
    fn better(&self, _layout: &Layout) {}

    /// Shows how far the search has come: passes done so far.
    fn passes(&self, _done: u64) {}

    /// Does all jobs, in any order or at the same time, and returns when all are done.
    fn together(&self, jobs: Vec<Box<dyn FnOnce() + Send + '_>>) {
        jobs.into_iter().for_each(|job| job());
    }
}

/// Nobody waits: one thread, to the end.
#[derive(Clone, Copy, Debug, Default)]
pub struct Quiet;

impl Watch for Quiet {}
