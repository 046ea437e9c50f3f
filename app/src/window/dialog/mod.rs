//! Dialogs: what went wrong, what is unsaved, and which file.

mod path;

use std::path::{Path, PathBuf};
use std::time::Duration;

use draft_core::Garment;
use egui::{Context, Frame, Key, Label, Margin, Modal, RichText, Ui};

use self::path::PathDialog;
use super::book::{BookAnswer, BookDialog};
use super::icon::Icon;
use super::keeper::Left;
use super::print::write::Writing;
use super::theme::{self, Palette};
use super::true_size::CardDialog;
use super::{SheetOf, widget};
use crate::files::slot::Kept;
use crate::files::{FileProblem, plain_name};

/// The system's dialog coming back with nothing before this is no one pressing Cancel.
pub const TOO_FAST_FOR_A_HAND: Duration = Duration::from_millis(300);

/// What the maker was about to do when something was unsaved.
#[derive(Clone, Debug, PartialEq)]
pub enum After {
    /// Close the window.
    Close,
    /// Begin an empty wearer card.
    MeasureSomeone,
    /// Choose a file to open.
    Open,
    /// Open this file.
    OpenFile(PathBuf),
    /// Load the demo.
    Demo,
    /// Begin a garment from the block book.
    Begin(Box<Garment>),
    /// Go on with this garment, which has no file.
    Take(Box<Garment>),
}

/// What a file is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Purpose {
    /// To open a garment or a wearer card.
    Open,
    /// To save the garment, and go on with something afterwards.
    SaveGarment(Option<After>),
    /// To write the pages.
    PrintPages,
    /// To write the whole sheet.
    SaveSheet,
    /// To write the sheet to measure with.
    MeasuringSheet(SheetOf),
    /// To write the work sheet.
    WorkSheet,
    /// To write the lists and the lays into a folder.
    SaveLists,
    /// To lay a photo beneath the pieces.
    LayPhoto,
    /// To show what a cloth looks like, by its place among the cloths from 0.
    Swatch(usize),
    /// To open a table of wearers.
    OpenCast,
    /// To write the reports of a cast into a folder.
    SaveCastReports,
}

/// What the file dialogs need to know of a purpose.
#[derive(Clone, Copy, Debug)]
pub struct Form {
    /// Title of the dialog.
    pub title: &'static str,
    /// Whether it is for saving.
    pub saving: bool,
    /// Whether it is a folder that is asked for.
    pub folder: bool,
    /// What the files are called, and how their names end.
    pub kind: (&'static str, &'static [&'static str]),
}

impl Purpose {
    /// What the dialogs need to know.
    pub const fn form(&self) -> Form {
        match self {
            Self::Open => Form {
                title: "Open a garment or a wearer card",
                saving: false,
                folder: false,
                kind: ("Garments and wearer cards", &["ron"]),
            },
            Self::SaveGarment(_) => Form { title: "Save the garment", saving: true, folder: false, kind: ("Garments", &["ron"]) },
            Self::PrintPages => Form { title: "Print the pages to a PDF", saving: true, folder: false, kind: ("PDF", &["pdf"]) },
            Self::SaveSheet => {
                Form { title: "Save the whole sheet", saving: true, folder: false, kind: ("SVG, PDF or DXF", &["svg", "pdf", "dxf"]) }
            }
            Self::MeasuringSheet(_) => {
                Form { title: "Print the measuring sheet to a PDF", saving: true, folder: false, kind: ("PDF", &["pdf"]) }
            }
            Self::WorkSheet => Form { title: "Write the work sheet to a PDF", saving: true, folder: false, kind: ("PDF", &["pdf"]) },
            Self::SaveLists => Form { title: "Save the lists and lays into a folder", saving: true, folder: true, kind: ("Folders", &[]) },
            Self::LayPhoto => Form {
                title: "Lay a photo beneath the pieces",
                saving: false,
                folder: false,
                kind: ("Photos and scans: PNG, JPEG", &["png", "jpg", "jpeg"]),
            },
            Self::Swatch(_) => Form {
                title: "Choose a picture of the cloth",
                saving: false,
                folder: false,
                kind: ("Photos and scans: PNG, JPEG", &["png", "jpg", "jpeg"]),
            },
            Self::OpenCast => Form {
                title: "Open a table of wearers",
                saving: false,
                folder: false,
                kind: ("Tables: fields divided by commas, semicolons or tabs", &["csv", "tsv", "txt"]),
            },
            Self::SaveCastReports => Form { title: "Save the reports into a folder", saving: true, folder: true, kind: ("Folders", &[]) },
        }
    }

    /// The name to begin with.
    pub fn file_name(&self, garment: &str, file: Option<&Path>) -> String {
        match self {
            Self::Open | Self::OpenCast | Self::LayPhoto | Self::Swatch(_) => String::new(),
            Self::SaveCastReports => stem(garment, file),
            Self::WorkSheet => format!("{} work sheet.pdf", stem(garment, file)),
            Self::SaveLists => format!("{} lists", stem(garment, file)),
            Self::SaveGarment(_) => match file.and_then(Path::file_name) {
                Some(name) => name.to_string_lossy().into_owned(),
                None => format!("{}.ron", plain_name(garment, "garment")),
            },
            Self::PrintPages => format!("{} pages.pdf", stem(garment, file)),
            Self::SaveSheet => format!("{} sheet.svg", stem(garment, file)),
            Self::MeasuringSheet(_) => format!("{} measuring sheet.pdf", stem(garment, file)),
        }
    }
}

/// What the files of a garment begin with: the name of its own file, or its own name.
fn stem(garment: &str, file: Option<&Path>) -> String {
    file.and_then(Path::file_stem).map_or_else(|| plain_name(garment, "garment"), |stem| stem.to_string_lossy().into_owned())
}

/// Opens the system's file dialog and waits for it; not to be called by the window itself.
pub fn ask_system(form: Form, folder: &Path, suggested: &str) -> Option<PathBuf> {
    let dialog = rfd::FileDialog::new().set_title(form.title).set_directory(folder);
    if form.folder {
        return dialog.pick_folder();
    }
    let dialog = dialog.add_filter(form.kind.0, form.kind.1);
    if form.saving { dialog.set_file_name(suggested).save_file() } else { dialog.pick_file() }
}

/// One dialog.
pub enum Dialog {
    /// Something went wrong.
    Fault(FileProblem),
    /// Something is unsaved.
    Unsaved(After),
    /// Which file.
    Path(Box<PathDialog>),
    /// A file is being written.
    Writing(Writing),
    /// What a lost window left behind.
    Left(Box<Left>),
    /// Something with the block book.
    Book(Box<BookDialog>),
    /// A card is held to the screen.
    Card(CardDialog),
}

/// How a dialog ended.
pub enum Answer {
    /// Nothing more to do.
    Done,
    /// Save, then go on.
    Save(After),
    /// Go on without saving.
    Leave(After),
    /// A file was chosen.
    File(Purpose, PathBuf),
    /// A file was written; what is to be said about it.
    Written(Option<String>),
    /// Do something with the block book.
    Book(BookAnswer),
    /// Open what was left behind.
    Recover(Box<Kept>),
}

impl Dialog {
    /// Says what went wrong.
    pub const fn fault(problem: FileProblem) -> Self {
        Self::Fault(problem)
    }

    /// Asks for a file in the window.
    pub fn path(purpose: Purpose, folder: PathBuf, suggested: &str, note: Option<String>) -> Self {
        Self::Path(Box::new(PathDialog::new(purpose, folder, suggested, note)))
    }

    /// Whether it is the question about what is unsaved.
    pub const fn is_unsaved_question(&self) -> bool {
        matches!(self, Self::Unsaved(_))
    }
}

/// Shows a dialog over everything; the answer when it is closed.
pub fn show(ctx: &Context, dialog: &mut Dialog, garment: &str) -> Option<Answer> {
    if let Dialog::Writing(writing) = dialog {
        match writing.look() {
            Some(Ok(said)) => return Some(Answer::Written(said)),
            Some(Err(problem)) => *dialog = Dialog::Fault(problem),
            None if !writing.is_slow() => return None,
            None => {}
        }
    }
    let p = if ctx.theme() == egui::Theme::Dark { &theme::DARK } else { &theme::LIGHT };
    let frame = Frame::popup(&ctx.global_style()).fill(p.panel).inner_margin(Margin::same(24)).corner_radius(8);
    let modal = Modal::new(widget::steady("dialog")).frame(frame).backdrop_color(egui::Color32::from_black_alpha(90));
    let response = modal.show(ctx, |ui| match dialog {
        Dialog::Fault(problem) => fault(ui, problem),
        Dialog::Unsaved(after) => unsaved(ui, garment, after),
        Dialog::Path(path) => path.show(ui),
        Dialog::Writing(writing) => under_way(ui, writing),
        Dialog::Left(left) => left_behind(ui, left),
        Dialog::Book(book) => book.show(ui),
        Dialog::Card(card) => card.show(ui),
    });
    let escape = ctx.input(|i| i.key_pressed(Key::Escape));
    if escape && let Dialog::Writing(writing) = dialog {
        writing.call_off();
        return None;
    }
    response.inner.or((escape || response.backdrop_response.clicked() && matches!(dialog, Dialog::Fault(_))).then_some(Answer::Done))
}

/// The head of a dialog.
pub fn title(ui: &mut Ui, icon: Icon, text: &str) {
    let p = Palette::of(ui);
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(28.0, 28.0), egui::Sense::hover());
        icon.paint(ui.painter(), rect, 26.0, p.ink);
        ui.label(RichText::new(text).font(theme::title()).color(p.ink));
    });
    ui.add_space(2.0);
    widget::basting(ui);
    ui.add_space(4.0);
}

fn under_way(ui: &mut Ui, writing: &Writing) -> Option<Answer> {
    ui.set_width(440.0);
    title(ui, Icon::Pages, "Writing the file");
    ui.horizontal(|ui| {
        ui.add(egui::Spinner::new().size(22.0));
        ui.add(Label::new(writing.file.display().to_string()).truncate());
    });
    ui.add_space(12.0);
    if ui.button("Cancel").clicked() {
        writing.call_off();
    }
    None
}

fn fault(ui: &mut Ui, problem: &FileProblem) -> Option<Answer> {
    let p = Palette::of(ui);
    ui.set_width(500.0);
    title(ui, Icon::Mend, "This did not work");
    ui.add(Label::new(RichText::new(&problem.place).font(theme::strong_body()).color(p.ink)).wrap().selectable(true));
    ui.add(Label::new(super::message::sentence(&problem.problem)).wrap().selectable(true));
    ui.add_space(6.0);
    ui.add(Label::new(RichText::new(&problem.remedy).color(p.ink_soft)).wrap().selectable(true));
    ui.add_space(14.0);
    let ok = widget::main_button(ui, None, "Go back");
    if ui.memory(|m| m.focused().is_none()) {
        ok.request_focus();
    }
    ok.clicked().then_some(Answer::Done)
}

fn unsaved(ui: &mut Ui, garment: &str, after: &After) -> Option<Answer> {
    ui.set_width(500.0);
    let name = if garment.is_empty() { "this garment" } else { garment };
    title(ui, Icon::Save, &format!("Save the changes to {name}?"));
    ui.add(Label::new("What you have changed since it was last saved would be lost.").wrap());
    ui.add_space(14.0);
    let mut answer = None;
    ui.horizontal(|ui| {
        let save = widget::main_button(ui, None, "Save the changes");
        if ui.memory(|m| m.focused().is_none()) {
            save.request_focus();
        }
        if save.clicked() {
            answer = Some(Answer::Save(after.clone()));
        }
        if ui.button("Leave them out").on_hover_text("Go on without saving").clicked() {
            answer = Some(Answer::Leave(after.clone()));
        }
        if ui.button("Stay here").on_hover_text("Change nothing   (Esc)").clicked() {
            answer = Some(Answer::Done);
        }
    });
    answer
}

/// What a lost window left behind: open it, discard it, or decide later.
fn left_behind(ui: &mut Ui, left: &Left) -> Option<Answer> {
    let p = Palette::of(ui);
    ui.set_width(520.0);
    title(ui, Icon::Save, "Changes were kept that were never saved");
    let Kept { garment, file, at } = &left.kept;
    let name = if garment.name.is_empty() { "A garment without a name" } else { &garment.name };
    let whose = if garment.wearer.name.is_empty() { String::new() } else { format!(" for {}", garment.wearer.name) };
    ui.add(Label::new(RichText::new(format!("{name}{whose}")).font(theme::strong_body()).color(p.ink)).wrap());
    let from = file.as_ref().map_or_else(|| "It had no file yet.".to_owned(), |f| format!("Its file is {}.", f.display()));
    ui.add(Label::new(format!("The window did not close in order. The garment was last kept on {at}. {from}")).wrap());
    ui.add_space(14.0);
    let mut answer = None;
    ui.horizontal(|ui| {
        let open = widget::main_button(ui, None, "Open it");
        if ui.memory(|m| m.focused().is_none()) {
            open.request_focus();
        }
        if open.on_hover_text("Go on with it; its file stays as it is until you save").clicked() {
            answer = Some(Answer::Recover(Box::new(left.kept.clone())));
        }
        if ui.button("Discard it").on_hover_text("Forget these changes; its file stays as it is").clicked() {
            left.discard();
            answer = Some(Answer::Done);
        }
        if ui.button("Decide later").on_hover_text("Keep it, and ask at the next start   (Esc)").clicked() {
            answer = Some(Answer::Done);
        }
    });
    answer
}
