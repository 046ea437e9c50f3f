//! A search with a clock, threads, and a way to stop it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use draft_core::lay::{Layout, Watch};

/// Stops a search after some time or when told to, lends it the threads of the pool, and passes on what it shows.
pub struct Clock<'a> {
    until: Option<Instant>,
    cancel: Arc<AtomicBool>,
    shown: &'a (dyn Fn(Shown<'_>) + Sync),
}

/// What a search shows while it runs.
#[derive(Clone, Copy, Debug)]
pub enum Shown<'l> {
    /// A better layout.
    Better(&'l Layout),
    /// So many passes are done.
    Passes(u64),
}

impl<'a> Clock<'a> {
    /// A clock that stops after `time`, if given, or when `cancel` becomes true.
    pub fn new(time: Option<Duration>, cancel: Arc<AtomicBool>, shown: &'a (dyn Fn(Shown<'_>) + Sync)) -> Self {
        Self { until: time.and_then(|t| Instant::now().checked_add(t)), cancel, shown }
    }
}

impl Watch for Clock<'_> {
    fn stop(&self) -> bool {
        self.cancel.load(Ordering::Relaxed) || self.until.is_some_and(|t| Instant::now() >= t)
    }

    fn better(&self, layout: &Layout) {
        (self.shown)(Shown::Better(layout));
    }

    fn passes(&self, done: u64) {
        (self.shown)(Shown::Passes(done));
    }

    fn together(&self, jobs: Vec<Box<dyn FnOnce() + Send + '_>>) {
        rayon::scope(|scope| jobs.into_iter().for_each(|job| scope.spawn(|_| job())));
    }
}
