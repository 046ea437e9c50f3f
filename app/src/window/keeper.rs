//! Keeps the open garment on disk between saves, and what was left behind by a window that was lost.

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use draft_core::Garment;
use egui::Context;

use super::Desk;
use super::errand::{Errand, Standing};
use crate::files::FileProblem;
use crate::files::slot::{self, Kept, Slot};

/// So long after a change the garment is kept; what changes meanwhile goes with it.
const AFTER: Duration = Duration::from_secs(2);

/// What was kept of a window that was lost, still in its slot.
pub struct Left {
    slot: Slot,
    /// The garment, its file and when it was kept.
    pub kept: Kept,
}

impl Left {
    /// Forgets it.
    pub fn discard(&self) {
        self.slot.clear();
    }
}

/// Keeps what is unsaved.
#[derive(Default)]
pub struct Keeper {
    slot: Option<Arc<Slot>>,
    /// What is on disk.
    kept: Option<Garment>,
    due: Option<Instant>,
    writing: Option<(Errand<Result<(), FileProblem>>, Garment)>,
    /// Said once that it does not work.
    has_failed: bool,
}

impl Keeper {
    /// Looks through a folder: takes a slot, and gives back what was left behind.
    ///
    /// # Errors
    /// The folder can't be used; nothing is kept then.
    pub fn begin(folder: &Path) -> Result<(Self, Vec<Left>), FileProblem> {
        let found = slot::look(folder)?;
        let left = found.left.into_iter().map(|(slot, kept)| Left { slot, kept }).collect();
        Ok((Self { slot: found.own.map(Arc::new), ..Self::default() }, left))
    }

    /// Follows the garment at work; the first time that it can't be kept, says why.
    pub fn follow(&mut self, ctx: &Context, desk: Option<&Desk>) -> Option<FileProblem> {
        let slot = Arc::clone(self.slot.as_ref()?);
        if let Some((errand, garment)) = self.writing.take() {
            match errand.look() {
                Standing::Out => {
                    self.writing = Some((errand, garment));
                    return None;
                }
                Standing::Back(Ok(())) => self.kept = Some(garment),
                Standing::Back(Err(problem)) => {
                    self.slot = None;
                    return (!std::mem::replace(&mut self.has_failed, true)).then_some(problem);
                }
                Standing::Lost => {}
            }
        }
        let unsaved = desk.filter(|d| d.is_unsaved());
        let Some(desk) = unsaved else {
            self.due = None;
            if self.kept.take().is_some() {
                slot.clear();
            }
            return None;
        };
        if self.kept.as_ref() == Some(desk.shown()) {
            self.due = None;
            return None;
        }
        let due = *self.due.get_or_insert_with(|| Instant::now() + AFTER);
        let left = due.saturating_duration_since(Instant::now());
        if left > Duration::ZERO {
            ctx.request_repaint_after(left);
            return None;
        }
        self.due = None;
        let (garment, file) = (desk.shown().clone(), desk.file.clone());
        let written = garment.clone();
        let errand = Errand::send(ctx, move || slot.keep(&garment, file.as_deref()));
        self.writing = Some((errand, written));
        None
    }

    /// Keeps a garment now, before what it came from is forgotten.
    ///
    /// # Errors
    /// It can't be written.
    pub fn keep_now(&mut self, garment: &Garment, file: Option<&Path>) -> Result<(), FileProblem> {
        let Some(slot) = &self.slot else { return Ok(()) };
        slot.keep(garment, file)?;
        self.kept = Some(garment.clone());
        Ok(())
    }

    /// The window closes in order: nothing need be kept. Waits for what is being written.
    pub fn close(&mut self) {
        while let Some((errand, _)) = &self.writing {
            match errand.look() {
                Standing::Out => std::thread::sleep(Duration::from_millis(5)),
                Standing::Back(_) | Standing::Lost => self.writing = None,
            }
        }
        if let Some(slot) = self.slot.take() {
            slot.clear();
        }
    }
}
