//! Asking for files, saving, and writing pages.

use std::path::{Path, PathBuf};

use draft_core::shopping::BuyLine;
use egui::Context;

use super::dialog::{self, After, Dialog, Purpose};
use super::errand::{Errand, Standing};
use super::print::write::{What, Writing};
use super::{Desk, Window};
use crate::files::{self, FileProblem};

impl Window {
    /// Saves where it was saved before, or asks where. `after` is done once it is saved.
    pub(super) fn save(&mut self, ctx: &Context, after: Option<After>) {
        let Some(desk) = &mut self.desk else { return };
        match desk.file.clone() {
            Some(file) => self.save_to(ctx, &file, after),
            None => self.ask_for(Purpose::SaveGarment(after), ctx),
        }
    }

    pub(super) fn save_to(&mut self, ctx: &Context, file: &Path, after: Option<After>) {
        let Some(desk) = &mut self.desk else { return };
        if let Err(error) = desk.finish_typing() {
            self.dialogs.push(Dialog::fault(FileProblem { place: error.place, problem: error.problem, remedy: error.remedy }));
            return;
        }
        let mut garment = desk.garment().clone();
        if desk.is_unsaved() {
            garment.dated = files::today();
        }
        match files::save_garment(file, &garment) {
            Ok(()) => {
                desk.mark_saved(&garment, file.to_owned());
                if let Some(after) = after {
                    self.go_on(after, ctx);
                }
            }
            Err(problem) => self.dialogs.push(Dialog::fault(problem)),
        }
        ctx.request_repaint();
    }

    /// Asks for a file: through the system, or in the window where the system has no dialog.
    pub(super) fn ask_for(&mut self, purpose: Purpose, ctx: &Context) {
        if self.asking.is_some() {
            return;
        }
        let suggested = self.suggested_name(&purpose);
        if self.ask_in_window {
            self.dialogs.push(Dialog::path(purpose, self.folder(), &suggested, None));
            return;
        }
        let folder = self.folder();
        let form = purpose.form();
        let errand = Errand::send(ctx, move || dialog::ask_system(form, &folder, &suggested));
        self.asking = Some((errand, purpose));
    }

    pub(super) fn look_for_errands(&mut self, ctx: &Context) {
        if let Some(desk) = &mut self.desk
            && let Err(problem) = self.photo.lay_what_was_read(desk)
        {
            self.dialogs.push(Dialog::fault(problem));
        }
        let Some((errand, purpose)) = self.asking.take() else { return };
        match errand.look() {
            Standing::Out => self.asking = Some((errand, purpose)),
            Standing::Back(Some(file)) => self.chosen(purpose, file, ctx),
            // Nobody can press Cancel that fast: there is no such dialog here.
            Standing::Back(None) if errand.time_out() < dialog::TOO_FAST_FOR_A_HAND => self.fall_back(purpose),
            Standing::Back(None) => {}
            Standing::Lost => self.fall_back(purpose),
        }
    }

    fn fall_back(&mut self, purpose: Purpose) {
        self.ask_in_window = true;
        let suggested = self.suggested_name(&purpose);
        self.dialogs.push(Dialog::path(purpose, self.folder(), &suggested, None));
    }

    pub(super) fn chosen(&mut self, purpose: Purpose, file: PathBuf, ctx: &Context) {
        match purpose {
            Purpose::Open => self.open(&file),
            Purpose::SaveGarment(after) => self.save_to(ctx, &file, after),
            Purpose::PrintPages => self.write(What::Pages, file, ctx),
            Purpose::SaveSheet => self.write(What::Sheet, file, ctx),
            Purpose::WorkSheet => {
                let buying = self.buying(ctx);
                let unit = self.desk.as_ref().map(|d| d.unit).unwrap_or_default();
                self.write(What::WorkSheet(buying, unit), file, ctx);
            }
            Purpose::SaveLists => {
                let buying = self.buying(ctx);
                self.write(What::Lists(buying), file, ctx);
            }
            Purpose::LayPhoto => self.photo.add(ctx, file),
            Purpose::Swatch(at) => {
                if let Some(desk) = &mut self.desk
                    && let Err(problem) = self.lay.choose_swatch(at, &file, desk)
                {
                    self.dialogs.push(Dialog::fault(problem));
                }
            }
            Purpose::OpenCast => self.open_cast(&file),
            Purpose::SaveCastReports => {
                if let Some(cast) = &mut self.cast {
                    cast.save(ctx, file);
                }
            }
            Purpose::MeasuringSheet(of) => {
                let unit = self.desk.as_ref().map(|d| d.unit).unwrap_or_default();
                self.write(What::MeasuringSheet(of, unit), file, ctx);
            }
        }
    }

    /// Writes pages or the sheet, away from the window.
    pub(super) fn write(&mut self, what: What, mut file: PathBuf, ctx: &Context) {
        let Some(desk) = &mut self.desk else { return };
        if file.extension().is_none() && !matches!(what, What::Lists(_)) {
            file.set_extension(if what == What::Sheet { "svg" } else { "pdf" });
        }
        desk.said = None;
        let mut garment = desk.garment().clone();
        if garment.dated.is_empty() || desk.is_unsaved() {
            // The labels say as of which day the garment is.
            garment.dated = files::today();
        }
        self.dialogs.push(Dialog::Writing(Writing::begin(ctx, what, garment, desk.built().clone(), file)));
    }

    /// What to buy, as far as the Lay stage knows it.
    fn buying(&mut self, ctx: &Context) -> Vec<BuyLine> {
        self.desk.as_ref().map_or_else(Vec::new, |desk| self.lay.shopping(ctx, desk))
    }

    fn folder(&self) -> PathBuf {
        let cast = self.cast.as_ref().and_then(super::cast::CastView::folder).filter(|f| !f.as_os_str().is_empty());
        if let Some(folder) = cast {
            return folder.to_owned();
        }
        let beside = self.desk.as_ref().and_then(|d| d.file.as_ref()).and_then(|f| f.parent()).filter(|f| !f.as_os_str().is_empty());
        beside.map(Path::to_owned).or_else(|| std::env::current_dir().ok()).unwrap_or_else(|| PathBuf::from("."))
    }

    fn suggested_name(&self, purpose: &Purpose) -> String {
        if let (Purpose::SaveCastReports, Some(cast)) = (purpose, &self.cast) {
            return cast.folder_name();
        }
        let name = self.desk.as_ref().map_or("", |d| &d.garment().name);
        purpose.file_name(name, self.desk.as_ref().and_then(Desk::file))
    }
}
