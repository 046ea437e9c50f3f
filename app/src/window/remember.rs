//! What outlives the window: its looks, and what is unsaved.

use std::path::PathBuf;

use draft_core::Unit;
use egui::{Context, Theme, ThemePreference};

use super::dialog::Dialog;
use super::keeper::Keeper;
use super::{Desk, Stage, Window, true_size};
use crate::edit::History;
use crate::files::slot::Kept;
use crate::files::{self, FileProblem};
use crate::looks::Looks;

/// What outlives the window.
#[derive(Default)]
pub(super) struct Remember {
    /// Where looks are written, and what stands there.
    looks: Option<PathBuf>,
    written: Looks,
    /// The unit that was chosen last.
    pub(super) unit: Option<Unit>,
    /// Looks are still to be put on.
    fresh: bool,
    pub(super) keeper: Keeper,
}

impl Window {
    /// The same window, remembering its looks in a file and keeping what is unsaved in a folder. What a lost window left
    /// in the folder is offered first.
    #[must_use]
    pub fn remembering(mut self, looks: Option<PathBuf>, state: Option<PathBuf>) -> Self {
        if let Some(file) = looks {
            self.remember.written = Looks::read(&file);
            self.remember.unit = self.remember.written.unit;
            self.remember.looks = Some(file);
            self.remember.fresh = true;
        }
        if let Some(folder) = state {
            match Keeper::begin(&folder) {
                Ok((keeper, left)) => {
                    self.remember.keeper = keeper;
                    self.dialogs.extend(left.into_iter().map(|left| Dialog::Left(Box::new(left))));
                }
                Err(problem) => self.dialogs.push(Dialog::fault(not_kept(problem))),
            }
        }
        self
    }

    /// Writes down looks that have changed, keeps what is unsaved, and looks after the cast.
    pub(super) fn follow(&mut self, ctx: &Context) {
        if let Some(problem) = self.cast.as_mut().and_then(|cast| cast.look(ctx)) {
            self.dialogs.push(Dialog::fault(problem));
        }
        if let Some(problem) = self.remember.write_looks(ctx) {
            self.dialogs.push(Dialog::fault(problem));
        }
        if !self.leaving
            && let Some(problem) = self.remember.keeper.follow(ctx, self.desk.as_ref())
        {
            self.dialogs.push(Dialog::fault(not_kept(problem)));
        }
    }

    /// Goes on with what a lost window left behind. It is kept in our own slot before the other one is emptied.
    pub(super) fn recover(&mut self, kept: Kept, from: Dialog) {
        let Kept { garment, file, .. } = kept;
        if let Err(problem) = self.remember.keeper.keep_now(&garment, file.as_deref()) {
            self.dialogs.push(Dialog::fault(not_kept(problem)));
        } else if let Dialog::Left(left) = from {
            left.discard();
        }
        let in_file = file.as_deref().and_then(|file| files::load_garment(file).ok());
        let stage = if garment.works.is_empty() { Stage::Measure } else { Stage::Blocks };
        self.put(Desk::new(History::recovered(garment, in_file), file, stage));
    }
}

impl Remember {
    /// Puts on the looks of last time, once.
    pub(super) fn put_on(&mut self, ctx: &Context) {
        if !std::mem::take(&mut self.fresh) {
            return;
        }
        if let Some(dark) = self.written.dark {
            ctx.set_theme(if dark { Theme::Dark } else { Theme::Light });
        }
        if let Some(dots) = self.written.dots_per_mm {
            true_size::remember(ctx, dots);
        }
        if let Some(size) = self.written.text_size {
            ctx.set_zoom_factor(size);
        }
    }

    /// Writes looks down when they are others than last time; says once what hinders it.
    fn write_looks(&mut self, ctx: &Context) -> Option<FileProblem> {
        let file = self.looks.as_ref()?;
        let dark = match ctx.options(|o| o.theme_preference) {
            ThemePreference::Dark => Some(true),
            ThemePreference::Light => Some(false),
            ThemePreference::System => None,
        };
        let zoom = ctx.zoom_factor();
        // What was never chosen stays unchosen.
        let text_size = if self.written.text_size.is_none() && (zoom - 1.0).abs() < 1e-3 { None } else { Some(zoom) };
        let now = Looks { dark, text_size, unit: self.unit, dots_per_mm: true_size::dots_per_mm(ctx) };
        if now == self.written {
            return None;
        }
        self.written = now;
        let problem = now.write(file).err()?;
        self.looks = None;
        Some(FileProblem { remedy: "The window works all the same; its looks are not remembered.".into(), ..problem })
    }
}

/// What hinders autosave, in the maker's terms.
fn not_kept(problem: FileProblem) -> FileProblem {
    FileProblem { remedy: "Save the garment often: what is unsaved is not kept should the window be lost.".into(), ..problem }
}
