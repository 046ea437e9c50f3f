//! A lay being planned, away from the window.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use draft_core::cloth::{Cloth, KeptLay, Stretch};
use draft_core::lay::{Layout, Watch};
use draft_core::{Built, DraftError, Garment};
use egui::Context;

use crate::lay::{Ask, ClothLay, LayJob, Limit};
use crate::window::errand::{Errand, Standing};

/// How often the progress is shown anew.
const SHOWN_EVERY: Duration = Duration::from_millis(100);

/// What is planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Plan {
    /// The whole lay.
    Whole,
    /// What is not held.
    Rest,
    /// On what is in the cupboard.
    Cupboard,
}

/// What the planner has found so far.
#[derive(Default)]
struct Found {
    cancel: AtomicBool,
    passes: AtomicU64,
    best: Mutex<Vec<(Stretch, Layout)>>,
    first_after: Mutex<Option<Duration>>,
}

impl Found {
    fn best(&self) -> MutexGuard<'_, Vec<(Stretch, Layout)>> {
        // A thread that stopped half way left whole layouts behind.
        self.best.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Whoever waits for one stretch.
struct Onlooker {
    found: Arc<Found>,
    stretch: Stretch,
    before: u64,
    begun: Instant,
    ctx: Context,
}

impl Watch for Onlooker {
    fn stop(&self) -> bool {
        self.found.cancel.load(Ordering::Relaxed)
    }

    fn better(&self, layout: &Layout) {
        let mut best = self.found.best();
        match best.iter_mut().find(|(s, _)| s.spread == self.stretch.spread) {
            Some(known) => *known = (self.stretch.clone(), layout.clone()),
            None => best.push((self.stretch.clone(), layout.clone())),
        }
        drop(best);
        let mut first = self.found.first_after.lock().unwrap_or_else(PoisonError::into_inner);
        first.get_or_insert_with(|| self.begun.elapsed());
        drop(first);
        self.ctx.request_repaint();
    }

    fn passes(&self, done: u64) {
        self.found.passes.store(self.before + done, Ordering::Relaxed);
    }

    fn together(&self, jobs: Vec<Box<dyn FnOnce() + Send + '_>>) {
        rayon::scope(|scope| jobs.into_iter().for_each(|job| scope.spawn(|_| job())));
    }
}

/// A lay that is being planned.
pub struct Running {
    errand: Errand<Result<ClothLay, DraftError>>,
    found: Arc<Found>,
    /// Of which cloth.
    pub cloth: String,
    /// What of it.
    pub plan: Plan,
    /// Passes in all.
    pub most: u64,
}

/// What is sent off.
pub struct Order {
    /// The garment.
    pub garment: Garment,
    /// What it builds to.
    pub built: Built,
    /// The cloth.
    pub cloth: Cloth,
    /// What is planned.
    pub plan: Plan,
    /// The lay whose held pieces stay.
    pub around: Option<KeptLay>,
    /// Where chance begins.
    pub seed: u64,
    /// How hard to try, for each stretch.
    pub passes: u64,
    /// How many stretches there are.
    pub stretches: u64,
}

impl Running {
    /// Sends the planner off.
    pub fn begin(ctx: &Context, order: Order) -> Self {
        let found = Arc::new(Found::default());
        let (cloth, plan) = (order.cloth.name.clone(), order.plan);
        let tilts = if order.cloth.tilt_deg > 0.0 && plan == Plan::Whole { 2 } else { 1 };
        let most = order.passes * order.stretches.max(1) * tilts;
        let (seen, again) = (Arc::clone(&found), ctx.clone());
        let errand = Errand::send(ctx, move || {
            let begun = Instant::now();
            let job = LayJob::of(&order.garment, &order.built);
            let have = (order.plan == Plan::Cupboard).then_some(order.cloth.cupboard.as_slice());
            let ask = Ask { have, limit: Limit::Passes(order.passes), seed: order.seed, around: order.around.as_ref() };
            let watches = |_: Option<Duration>, stretch: &Stretch| {
                let before = seen.passes.load(Ordering::Relaxed);
                let (found, ctx) = (Arc::clone(&seen), again.clone());
                Box::new(Onlooker { found, stretch: stretch.clone(), before, begun, ctx }) as Box<dyn Watch>
            };
            job.plan(&order.cloth, ask, &watches)
        });
        ctx.request_repaint_after(SHOWN_EVERY);
        Self { errand, found, cloth, plan, most }
    }

    /// Stops soon, with the best so far.
    pub fn cancel(&self) {
        self.found.cancel.store(true, Ordering::Relaxed);
    }

    /// Whether it was stopped.
    pub fn is_cancelled(&self) -> bool {
        self.found.cancel.load(Ordering::Relaxed)
    }

    /// Passes done.
    pub fn done(&self) -> u64 {
        self.found.passes.load(Ordering::Relaxed)
    }

    /// The best layouts so far.
    pub fn best(&self) -> Vec<(Stretch, Layout)> {
        self.found.best().clone()
    }

    /// How long it took until the first layout was there.
    pub fn first_after(&self) -> Option<Duration> {
        *self.found.first_after.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What came of it, once it is done.
    pub fn look(&self, ctx: &Context) -> Option<Result<ClothLay, DraftError>> {
        match self.errand.look() {
            Standing::Out => {
                ctx.request_repaint_after(SHOWN_EVERY);
                None
            }
            Standing::Back(answer) => Some(answer),
            Standing::Lost => Some(Err(DraftError::new(
                format!("lay of {}", self.cloth),
                "was not planned: the work stopped half way",
                "Try again, or with another seed; nothing has been changed.",
            ))),
        }
    }
}
