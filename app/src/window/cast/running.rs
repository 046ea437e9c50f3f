//! Drafting a cast, and writing its reports, away from the window.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

use draft_core::{Block, Settings};
use egui::Context;

use crate::cast::{self, Cast, Summary};
use crate::files::FileProblem;
use crate::window::errand::{Errand, Standing};

/// How often the count is shown anew.
const SHOWN_EVERY: Duration = Duration::from_millis(100);

/// Something that goes through a cast wearer by wearer.
pub struct Running<T> {
    errand: Errand<T>,
    done: Arc<AtomicUsize>,
    called_off: Arc<AtomicBool>,
    /// How many wearers there are.
    pub of: usize,
}

/// How it stands.
pub enum State<T> {
    /// Still under way.
    Under,
    /// It is done.
    Done(T),
    /// It stopped half way.
    Lost,
}

impl<T: Send + 'static> Running<T> {
    fn begin(ctx: &Context, of: usize, work: impl FnOnce(&AtomicUsize, &AtomicBool) -> T + Send + 'static) -> Self {
        let (done, called_off) = (Arc::new(AtomicUsize::new(0)), Arc::new(AtomicBool::new(false)));
        let (count, stop) = (Arc::clone(&done), Arc::clone(&called_off));
        let errand = Errand::send(ctx, move || work(&count, &stop));
        ctx.request_repaint_after(SHOWN_EVERY);
        Self { errand, done, called_off, of }
    }

    /// Stops as soon as the wearers in hand are done.
    pub fn call_off(&self) {
        self.called_off.store(true, Ordering::Relaxed);
    }

    /// How many wearers are done.
    pub fn done(&self) -> usize {
        self.done.load(Ordering::Relaxed)
    }

    /// Looks how it stands.
    pub fn look(&self, ctx: &Context) -> State<T> {
        match self.errand.look() {
            Standing::Out => {
                ctx.request_repaint_after(SHOWN_EVERY);
                State::Under
            }
            Standing::Back(answer) => State::Done(answer),
            Standing::Lost => State::Lost,
        }
    }
}

impl Running<Option<Vec<Summary>>> {
    /// Drafts the blocks for every wearer, on all cores; nothing comes back when it is called off.
    pub fn draft(ctx: &Context, cast: Arc<Cast>, blocks: Vec<(Block, Settings)>) -> Self {
        Self::begin(ctx, cast.rows.len(), move |done, stop| {
            let keep = |row, drafted| {
                done.fetch_add(1, Ordering::Relaxed);
                Summary::of(row, drafted)
            };
            cast.draft_each(&blocks, keep, || !stop.load(Ordering::Relaxed))
        })
    }
}

impl Running<Result<usize, FileProblem>> {
    /// Writes garments and reports into a folder; says how many wearers were written.
    pub fn save(ctx: &Context, folder: PathBuf, list: Vec<Summary>) -> Self {
        Self::begin(ctx, list.len(), move |done, stop| {
            let count = || {
                done.fetch_add(1, Ordering::Relaxed);
            };
            cast::save(&folder, &list, count, || !stop.load(Ordering::Relaxed))
        })
    }
}
