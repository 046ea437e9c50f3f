//! Photos beneath the pieces: their list and settings, and what of them is shown.

mod beneath;
mod marking;

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use draft_core::photo::{Photo, Sheet};
use draft_core::{Length, parse_length};
use egui::{Align2, ColorImage, Context, RichText, Slider, Ui, WidgetInfo};

use self::beneath::Shown;
pub use self::beneath::{Beneath, coloured};
use self::marking::Marking;
use super::errand::{Errand, Standing};
use super::icon::Icon;
use super::pen::Pen;
use super::theme::{self, Palette};
use super::{Desk, Request, Seen, blocks, widget};
use crate::edit::Command;
use crate::files::FileProblem;
use crate::photo::{self, Picture};

/// The photos of the garment at work, as far as they are read.
#[derive(Default)]
pub struct PhotoView {
    /// Pictures by the file they are written under.
    pictures: HashMap<String, State>,
    shown: Vec<Shown>,
    /// The photo whose corners are being marked.
    marking: Option<Marking>,
    /// A file that is being read, to be laid down.
    adding: Option<(PathBuf, Errand<Result<Read, FileProblem>>)>,
}

/// A picture as it is needed here.
#[derive(Clone)]
pub(super) struct Read {
    picture: Picture,
    /// The same as the screen takes it, no larger than it can.
    on_screen: Arc<ColorImage>,
}

enum State {
    Reading(Errand<Result<Read, FileProblem>>),
    Read(Read),
    Refused(FileProblem),
}

/// Reads a picture; away from the window, as a large one takes a while.
fn read(path: &Path) -> Result<Read, FileProblem> {
    let picture = photo::load(path)?;
    let on_screen = Arc::new(coloured(&photo::for_the_screen(&picture.pixels)));
    Ok(Read { picture, on_screen })
}

fn could_not(place: String) -> FileProblem {
    FileProblem { place, problem: "could not be read".into(), remedy: "Take it away and lay it down again.".into() }
}

impl PhotoView {
    /// Reads and lays flat what is not yet; gives what lies beneath the table.
    pub fn follow(&mut self, ctx: &Context, desk: &Desk) -> Vec<Beneath> {
        let photos = &desk.shown().photos;
        for photo in photos {
            let state = self.pictures.entry(photo.file.clone()).or_insert_with(|| {
                let path = photo::find(&photo.file, desk.file());
                State::Reading(Errand::send(ctx, move || read(&path)))
            });
            if let State::Reading(errand) = state {
                match errand.look() {
                    Standing::Out => {}
                    Standing::Back(Ok(read)) => *state = State::Read(read),
                    Standing::Back(Err(problem)) => *state = State::Refused(problem),
                    Standing::Lost => *state = State::Refused(could_not(photo.file.clone())),
                }
            }
        }
        if self.marking.as_ref().is_some_and(|m| m.of() >= photos.len()) {
            self.marking = None;
        }
        self.shown.truncate(photos.len());
        self.shown.resize_with(photos.len(), Shown::default);
        let mut beneath = Vec::new();
        // While its corners are being marked a photo is seen as it was taken.
        let marked = self.marking.as_ref().map(Marking::of);
        for (i, (shown, photo)) in self.shown.iter_mut().zip(photos).enumerate() {
            if marked != Some(i)
                && let Some(State::Read(read)) = self.pictures.get(&photo.file)
                && !photo.hidden
            {
                beneath.extend(shown.follow(ctx, photo, &read.picture));
            }
        }
        beneath
    }

    /// Reads a photo to be laid down, away from the window.
    pub fn add(&mut self, ctx: &Context, file: PathBuf) {
        let path = file.clone();
        self.adding = Some((file, Errand::send(ctx, move || read(&path))));
    }

    /// Lays the photo down that has been read, its corners to be marked next.
    ///
    /// # Errors
    /// The file can't be read as a picture.
    pub fn lay_what_was_read(&mut self, desk: &mut Desk) -> Result<(), FileProblem> {
        let Some((file, errand)) = self.adding.take() else { return Ok(()) };
        let read = match errand.look() {
            Standing::Out => {
                self.adding = Some((file, errand));
                return Ok(());
            }
            Standing::Back(read) => read?,
            Standing::Lost => return Err(FileProblem { remedy: "Try it again.".into(), ..could_not(file.display().to_string()) }),
        };
        let pixels = (f64::from(read.picture.pixels.width()), f64::from(read.picture.pixels.height()));
        let written = photo::written(&file, desk.file());
        let mut photos = desk.garment().photos.clone();
        photos.push(Photo::new(written.clone(), read.picture.checksum.clone(), pixels));
        self.marking = Some(Marking::new(photos.len() - 1));
        self.pictures.insert(written, State::Read(read));
        Ok(desk.run(&Command::SetPhotos(photos, "lay a photo beneath"))?)
    }

    /// Whether the corners of a photo are being marked, in place of the table.
    pub const fn is_marking(&self) -> bool {
        self.marking.is_some()
    }

    /// The page on which the corners are marked.
    pub fn page(&mut self, ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
        let Some(marking) = &mut self.marking else { return };
        let Some(photo) = seen.garment.photos.get(marking.of()) else { return };
        match self.pictures.get(&photo.file) {
            Some(State::Read(read)) => marking.page(ui, seen, photo, read, requests),
            state => {
                let said = if matches!(state, Some(State::Refused(_))) { "It can't be read." } else { "Being read…" };
                let at = ui.available_rect_before_wrap().center();
                widget::paint_text(ui, at, Align2::CENTER_CENTER, said, theme::strong_body(), Palette::of(ui).ink_soft);
            }
        }
    }

    /// What to do on that page, for the readout.
    pub fn readout(&self) -> Option<String> {
        self.marking.as_ref().map(|_| {
            "Lead the four marks to the corners of the sheet: 1 upper left, 2 upper right, 3 lower right, 4 lower left, as the sheet \
             lies. Arrow keys move a mark by a pixel, with Shift by ten."
                .into()
        })
    }

    /// The list in the left panel.
    pub fn panel(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        let (seen, pen) = desk.seen_and_pen();
        widget::heading(ui, "Photo beneath");
        let photos = &seen.garment.photos;
        if photos.is_empty() {
            widget::soft(ui, "A photo or scan of a muslin can lie under the pieces, true to scale by a sheet of paper in it.");
        }
        for (i, photo) in photos.iter().enumerate() {
            widget::raised(ui).show(ui, |ui| {
                ui.set_width(ui.available_width());
                self.one(ui, i, photo, (&seen, pen), requests);
            });
        }
        let Some((file, _)) = &self.adding else {
            if widget::button(ui, Icon::Plus, "Lay a photo beneath…").clicked() {
                requests.push(Request::LayPhoto);
            }
            return;
        };
        let name = file.file_name().map_or_else(|| file.display().to_string(), |name| name.to_string_lossy().into_owned());
        let cancelled = ui.horizontal(|ui| {
            ui.add(egui::Spinner::new());
            ui.add(egui::Label::new(format!("{name} is being read…")).truncate());
            ui.button("Cancel").on_hover_text("Do not lay it down").clicked()
        });
        if cancelled.inner {
            self.adding = None;
        }
    }

    fn one(&mut self, ui: &mut Ui, i: usize, photo: &Photo, (seen, pen): (&Seen<'_>, &mut Pen), requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        let name = photo.file.rsplit('/').next().unwrap_or(&photo.file);
        let with = |change: &dyn Fn(&mut Photo)| {
            let mut photos = seen.garment.photos.clone();
            if let Some(photo) = photos.get_mut(i) {
                change(photo);
            }
            photos
        };
        let edit = |requests: &mut Vec<Request>, label: &'static str, change: &dyn Fn(&mut Photo)| {
            requests.push(Request::Edit(Command::SetPhotos(with(change), label)));
        };
        ui.horizontal(|ui| {
            if let Some(on) = widget::switch(ui, !photo.hidden, &format!("Show {name}")) {
                edit(requests, "show a photo", &|p| p.hidden = !on);
            }
            ui.label(RichText::new(name).color(p.ink)).on_hover_text(&photo.file);
        });
        match self.pictures.get(&photo.file) {
            Some(State::Refused(problem)) => {
                blocks::fault(ui, &format!("{}: {}", problem.place, problem.problem), &problem.remedy);
                if ui.button(format!("Look for {name} again")).clicked() {
                    self.pictures.remove(&photo.file);
                }
            }
            Some(State::Read(read)) if !photo.checksum.is_empty() && read.picture.checksum != photo.checksum => {
                blocks::fault(
                    ui,
                    &format!("{name}: is not the picture whose corners were marked"),
                    "Mark its corners anew, or put the earlier file back.",
                );
            }
            Some(State::Read(_)) => {}
            _ => {
                widget::soft(ui, "Being read…");
            }
        }
        if let Err(error) = photo.check() {
            blocks::fault(ui, &format!("{}: {}", error.place, error.problem), &error.remedy);
        }
        let marking = self.marking.as_ref().is_some_and(|m| m.of() == i);
        ui.horizontal(|ui| {
            let text = if marking { "The corners are marked" } else { "Mark the corners" };
            if ui
                .add_enabled(marking || !photo.locked, egui::Button::new(text))
                .on_hover_text("The corners of the sheet of paper in the photo")
                .clicked()
            {
                self.marking = (!marking).then(|| Marking::new(i));
            }
            if widget::icon_button(ui, Icon::Remove, &format!("Take {name} away"), "", true).clicked() {
                let mut photos = seen.garment.photos.clone();
                photos.remove(i);
                self.marking = None;
                requests.push(Request::Edit(Command::SetPhotos(photos, "take a photo away")));
            }
        });
        ui.horizontal(|ui| {
            widget::field_name(ui, "Sheet", 70.0);
            let kinds = [("A4", Sheet::A4), ("Letter", Sheet::Letter)];
            let (width, height) = photo.sheet.size_mm();
            let other = Sheet::Sized(Length::from_mm(width), Length::from_mm(height));
            for (text, kind) in kinds.into_iter().chain([("other", other)]) {
                let on = std::mem::discriminant(&photo.sheet) == std::mem::discriminant(&kind);
                if ui.selectable_label(on, text).clicked() && !on {
                    edit(requests, "sheet in a photo", &move |p| p.sheet = kind);
                }
            }
            if ui.selectable_label(photo.sideways, "sideways").on_hover_text("The sheet's longer side lies across").clicked() {
                edit(requests, "sheet in a photo", &|p| p.sideways = !p.sideways);
            }
        });
        if let Sheet::Sized(width, height) = photo.sheet {
            length(ui, (i, name), "Width", width.mm(), (seen, pen), requests, &with, &move |p, mm| {
                p.sheet = Sheet::Sized(Length::from_mm(mm), height);
            });
            length(ui, (i, name), "Height", height.mm(), (seen, pen), requests, &with, &move |p, mm| {
                p.sheet = Sheet::Sized(width, Length::from_mm(mm));
            });
        }
        ui.add_enabled_ui(!photo.locked, |ui| {
            length(ui, (i, name), "Across", photo.at.0, (seen, pen), requests, &with, &|p, mm| p.at.0 = mm);
            length(ui, (i, name), "Down", photo.at.1, (seen, pen), requests, &with, &|p, mm| p.at.1 = mm);
            slide(ui, "Turned", name, photo.turned, -180.0..=180.0, "°", requests, &with, &|p, degrees| p.turned = degrees);
        });
        slide(ui, "Shows", name, photo.opacity * 100.0, 0.0..=100.0, " %", requests, &with, &|p, percent| p.opacity = percent / 100.0);
        let mut locked = photo.locked;
        if ui.checkbox(&mut locked, format!("Hold {name} in its place")).changed() {
            edit(requests, "hold a photo", &move |p| p.locked = locked);
        }
        widget::soft(
            ui,
            "True in the plane of the sheet; a lens that bends straight lines, and cloth that lies higher, are not put right.",
        );
    }
}

type Change<'a> = &'a dyn Fn(&mut Photo, f64);
type With<'a> = &'a dyn Fn(&dyn Fn(&mut Photo)) -> Vec<Photo>;

/// A field for a length.
#[expect(clippy::too_many_arguments, reason = "what a field is called, holds and does")]
fn length(
    ui: &mut Ui,
    (i, photo): (usize, &str),
    name: &'static str,
    now: f64,
    (seen, pen): (&Seen<'_>, &mut Pen),
    requests: &mut Vec<Request>,
    with: With<'_>,
    change: Change<'_>,
) {
    let id = widget::steady(("photo", i, name));
    ui.horizontal(|ui| {
        widget::field_name(ui, name, 70.0);
        let line = pen.line(ui, id, &seen.unit.text(now), |edit| edit.desired_width(90.0));
        line.response.clone().accessible_name(format!("{name}, {photo}"));
        let read = |text: &str| parse_length(text, seen.unit);
        if let Some(mm) = line.typing.as_deref().and_then(|text| read(text).ok()) {
            requests.push(Request::Typing { command: Command::SetPhotos(with(&|p| change(p, mm)), "place a photo"), preview: true });
        }
        if let Some(text) = line.done {
            match read(&text) {
                Ok(mm) => {
                    pen.accept(id);
                    requests.push(Request::Edit(Command::SetPhotos(with(&|p| change(p, mm)), "place a photo")));
                }
                Err(_) => pen.refuse(id, text),
            }
        }
    });
    if let Some(text) = pen.refused(id)
        && let Err(error) = parse_length(text, seen.unit)
    {
        blocks::fault(ui, &format!("{text:?} {error}"), error.remedy());
    }
}

/// A slider; one step of undo from press to release.
#[expect(clippy::too_many_arguments, reason = "what a slider is called, holds and does")]
fn slide(
    ui: &mut Ui,
    name: &'static str,
    photo: &str,
    now: f64,
    range: std::ops::RangeInclusive<f64>,
    sign: &'static str,
    requests: &mut Vec<Request>,
    with: With<'_>,
    change: Change<'_>,
) {
    ui.horizontal(|ui| {
        widget::field_name(ui, name, 70.0);
        let mut value = now;
        let response = ui.add(Slider::new(&mut value, range.clone()).suffix(sign).fixed_decimals(0));
        response.widget_info(|| WidgetInfo::slider(true, value, format!("{name}, {photo}")));
        let command = || Command::SetPhotos(with(&|p| change(p, value)), "set a photo");
        if response.dragged() {
            requests.push(Request::Typing { command: command(), preview: true });
        } else if response.drag_stopped() || response.changed() {
            requests.push(Request::Edit(command()));
        }
    });
}
