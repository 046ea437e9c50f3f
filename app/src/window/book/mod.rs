//! The block book in the window: start a garment from it, save a block into it, take a newer edition up.

mod save;
mod start;
mod taking;

use draft_core::take_up::{self, Newer, TakenUp};
use draft_core::{Garment, Message, block_book};
use egui::{Context, Ui};

use self::save::SaveDialog;
use self::start::StartDialog;
use self::taking::TakingDialog;
use super::dialog::{After, Answer, Dialog};
use super::{Desk, Request, Window, widget};
use crate::edit::Command;
use crate::files::FileProblem;
use crate::files::book::{Book, NotSaved, Saved, Shelf};

/// What views ask of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BookRequest {
    /// Choose blocks to start a garment from.
    Start,
    /// Save the garment's blocks.
    Save,
    /// See what newer editions change.
    TakeUp,
}

/// How a dialog of the book ended.
pub enum BookAnswer {
    /// Begin this garment.
    Begin(Box<Garment>),
    /// Save under this name, with this note; after this edition, where the maker said so.
    Save {
        /// What the block is called.
        name: String,
        /// What is to be said of the edition.
        note: String,
        /// After this edition, although the garment was not made from it.
        after: Option<u32>,
    },
    /// Take the newer editions up.
    TakeUp(Box<Garment>),
}

/// One of the book's dialogs.
pub enum BookDialog {
    /// Which blocks.
    Start(StartDialog),
    /// Which name.
    Save(SaveDialog),
    /// Before and after.
    TakeUp(TakingDialog),
}

impl BookDialog {
    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui) -> Option<Answer> {
        match self {
            Self::Start(dialog) => dialog.show(ui),
            Self::Save(dialog) => dialog.show(ui),
            Self::TakeUp(dialog) => dialog.show(ui),
        }
    }
}

/// The book, and what stood in it when it was last looked into.
#[derive(Default)]
pub(super) struct Shelves {
    book: Option<Book>,
    shelf: Shelf,
    had_focus: bool,
}

impl Window {
    /// The same window with a block book.
    #[must_use]
    pub fn with_book(mut self, book: Option<Book>) -> Self {
        self.shelves.book = book;
        self.look_into_the_book();
        self
    }

    /// Reads the book again, as another window may have saved to it.
    pub(super) fn look_into_the_book(&mut self) {
        let Some(book) = &self.shelves.book else { return };
        match book.read() {
            Ok(shelf) => self.shelves.shelf = shelf,
            Err(problem) => self.dialogs.push(Dialog::fault(problem)),
        }
    }

    /// Keeps what the garment says of its blocks up to date.
    pub(super) fn follow_the_book(&mut self, ctx: &Context) {
        let focused = ctx.input(|i| i.focused);
        if focused && !std::mem::replace(&mut self.shelves.had_focus, focused) {
            self.look_into_the_book();
        }
        self.shelves.had_focus = focused;
        if let Some(desk) = &mut self.desk {
            desk.newer = take_up::newer(desk.garment(), &self.shelves.shelf.blocks).iter().map(Newer::message).collect();
        }
    }

    /// Opens one of the book's dialogs.
    pub(super) fn ask_the_book(&mut self, request: BookRequest) {
        if self.shelves.book.is_none() {
            self.dialogs.push(Dialog::fault(FileProblem {
                place: "block book".into(),
                problem: "there is no home folder for it".into(),
                remedy: "Set XDG_DATA_HOME to a folder of yours and start the program again.".into(),
            }));
            return;
        }
        self.look_into_the_book();
        let shelf = &self.shelves.shelf;
        let dialog = match (request, &self.desk) {
            (BookRequest::Start, _) => BookDialog::Start(StartDialog::new(shelf)),
            (BookRequest::Save, Some(desk)) => BookDialog::Save(SaveDialog::new(desk.garment())),
            (BookRequest::TakeUp, Some(desk)) => match take_up::take_up(desk.garment(), &shelf.blocks) {
                Ok(taken) => BookDialog::TakeUp(TakingDialog::new(desk, &desk.newer, taken)),
                Err(error) => {
                    self.dialogs.push(Dialog::fault(error.into()));
                    return;
                }
            },
            (_, None) => return,
        };
        self.dialogs.push(Dialog::Book(Box::new(dialog)));
    }

    /// Carries out what a dialog of the book ended with.
    pub(super) fn book_answered(&mut self, ctx: &Context, answer: BookAnswer, from: Dialog) {
        match answer {
            BookAnswer::Begin(garment) => self.leave_for(After::Begin(garment), ctx),
            BookAnswer::TakeUp(garment) => {
                self.edit(Command::SetWorks { works: garment.works, wearer: Box::new(garment.wearer), label: "take up a newer edition" });
            }
            BookAnswer::Save { name, note, after } => self.save_block(&name, &note, after, from),
        }
        ctx.request_repaint();
    }

    fn save_block(&mut self, name: &str, note: &str, after: Option<u32>, from: Dialog) {
        let (Some(desk), Some(book)) = (&self.desk, &self.shelves.book) else { return };
        let made_from = after.or_else(|| block_book::copied_edition(desk.garment(), name.trim()));
        match book.save(desk.garment(), name, note, made_from) {
            Ok(Saved { block, garment, has_card }) => {
                let card = if has_card { "" } else { "; the wearer card of that name in the book is another one and was left as it is" };
                let said = format!("Saved {} as edition {} into the block book{card}", block.name(), block.latest().number);
                self.look_into_the_book();
                self.edit(Command::SetWorks { works: garment.works, wearer: Box::new(garment.wearer), label: "save to the block book" });
                if let Some(desk) = &mut self.desk {
                    desk.said = Some(said);
                }
            }
            Err(refused) => {
                self.look_into_the_book();
                // What was typed stays, with the reason beside it.
                if let Dialog::Book(mut dialog) = from {
                    if let BookDialog::Save(save) = &mut *dialog {
                        save.refused(refused);
                    }
                    self.dialogs.push(Dialog::Book(dialog));
                } else {
                    let (NotSaved::Newer { problem, .. } | NotSaved::Problem(problem)) = refused;
                    self.dialogs.push(Dialog::fault(problem));
                }
            }
        }
    }

    fn edit(&mut self, command: Command) {
        if let Some(desk) = &mut self.desk
            && let Err(error) = desk.run(&command)
        {
            self.dialogs.push(Dialog::fault(error.into()));
        }
    }
}

/// What the garment says of its blocks, above the work list.
pub fn newer_editions(ui: &mut Ui, newer: &[Message], requests: &mut Vec<Request>) {
    if newer.is_empty() {
        return;
    }
    for message in newer {
        super::blocks::fault_of(ui, message.grade, &format!("{}: {}", message.place, message.problem), &message.remedy);
    }
    if ui.button("See what changes…").on_hover_text("Shows before and after; nothing changes until you say so").clicked() {
        requests.push(Request::Book(BookRequest::TakeUp));
    }
    ui.add_space(super::theme::APART - 8.0);
}

/// The list of what a dialog is about.
fn lines(ui: &mut Ui, list: impl IntoIterator<Item = String>) {
    for line in list {
        ui.add(egui::Label::new(line).wrap());
    }
}

/// The end of a dialog: what to do, and the way back. Says whether the way back was taken.
fn way_back(ui: &mut Ui, words: &str) -> Option<Answer> {
    ui.button(words).on_hover_text("Change nothing   (Esc)").clicked().then_some(Answer::Done)
}

/// A line of text with its name above it.
fn text_line(ui: &mut Ui, name: &str, text: &mut String, hint: &str) -> egui::Response {
    let label = widget::soft(ui, name);
    let edit = egui::TextEdit::singleline(text)
        .align(egui::Align2::LEFT_CENTER)
        .desired_width(f32::INFINITY)
        .hint_text(hint)
        .id(widget::steady(("line", name)));
    ui.add(edit).labelled_by(label.id)
}

/// What is taken up, before and after.
fn told(taken: &TakenUp) -> bool {
    taken.difference.is_nothing()
}

/// Whether anything would be saved to the book.
pub fn has_blocks(desk: &Desk) -> bool {
    desk.garment().works.iter().any(|e| e.work.block().is_some())
}
