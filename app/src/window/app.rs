//! The window's one place that carries out what views ask for.

use std::path::{Path, PathBuf};

use draft_core::{Garment, Message, WearerCard};
use egui::{CentralPanel, Context, Frame, Key, KeyboardShortcut, Modifiers, Panel, Ui, ViewportCommand};

use super::book::Shelves;
use super::cast::CastView;
use super::dialog::{self, After, Dialog, Purpose};
use super::errand::Errand;
use super::lay::LayView;
use super::measure::MeasureView;
use super::photo::PhotoView;
use super::print::PrintView;
use super::redraw::RedrawView;
use super::remember::Remember;
use super::theme::{self, Palette};
use super::true_size::CardDialog;
use super::{Chosen, Desk, Request, Stage, bar, blocks, readout, start, ticket};
use crate::demo;
use crate::edit::History;
use crate::files::{self, FileProblem};

/// Everything that the window holds.
#[derive(Default)]
pub struct Window {
    pub(super) desk: Option<Desk>,
    measure: MeasureView,
    blocks: blocks::BlocksView,
    redraw: RedrawView,
    pub(super) photo: PhotoView,
    pub(super) lay: LayView,
    print: PrintView,
    pub(super) dialogs: Vec<Dialog>,
    /// The system's file dialog, while it is open, and what it was opened for.
    pub(super) asking: Option<(Errand<Option<PathBuf>>, Purpose)>,
    /// Ask in the window instead of opening the system's file dialog.
    pub(super) ask_in_window: bool,
    /// The maker has decided to leave.
    pub(super) leaving: bool,
    messages_open: bool,
    /// The cast, while it is shown in place of the garment.
    pub(super) cast: Option<CastView>,
    pub(super) remember: Remember,
    pub(super) shelves: Shelves,
}

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

impl Window {
    /// The window as it first opens, with the three doors.
    pub fn new(ctx: &Context) -> Self {
        theme::install(ctx);
        Self::default()
    }

    /// The same window, asking for files itself and never through the system's dialog.
    #[must_use]
    pub fn asking_in_window(mut self) -> Self {
        self.ask_in_window = true;
        self
    }

    /// The cast, while it is shown.
    pub const fn cast(&self) -> Option<&CastView> {
        self.cast.as_ref()
    }

    /// Opens a table of wearers; what is wrong with it is shown in a dialog.
    pub fn open_cast(&mut self, file: &Path) {
        let unit = self.desk.as_ref().map(|d| d.unit).or(self.remember.unit).unwrap_or_default();
        match CastView::open(file, self.desk.as_ref(), unit) {
            Ok(cast) => self.cast = Some(cast),
            Err(problem) => self.dialogs.push(Dialog::fault(problem)),
        }
    }

    /// The garment at work, if there is one.
    pub const fn desk(&self) -> Option<&Desk> {
        self.desk.as_ref()
    }

    /// Opens a garment or a wearer card; what is wrong with the file is shown in a dialog.
    pub fn open(&mut self, file: &Path) {
        match read(file) {
            Ok(Read::Garment(garment)) => {
                let stage = if garment.works.is_empty() { Stage::Measure } else { Stage::Blocks };
                self.put(Desk::new(History::opened(*garment), Some(file.to_owned()), stage));
            }
            Ok(Read::Card(card)) => {
                let name = if card.name.is_empty() { "Untitled garment".to_owned() } else { format!("Garment for {}", card.name) };
                let desk = Desk::new(History::unsaved(Garment::new(name, card)), None, Stage::Measure);
                self.put(desk);
            }
            Err(problem) => self.dialogs.push(Dialog::fault(problem)),
        }
    }

    pub(super) fn put(&mut self, mut desk: Desk) {
        if let Some(unit) = self.remember.unit {
            desk.unit = unit;
        }
        self.cast = None;
        self.measure = MeasureView::default();
        self.blocks = blocks::BlocksView::default();
        self.redraw = RedrawView::default();
        self.photo = PhotoView::default();
        self.lay = LayView::default();
        self.print = PrintView::default();
        self.messages_open = false;
        self.desk = Some(desk);
    }

    /// Shows one frame and carries out what was asked for in it.
    pub fn ui(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        self.remember.put_on(&ctx);
        let mut requests = Vec::new();
        self.look_for_errands(&ctx);
        self.follow_the_book(&ctx);
        if self.dialogs.is_empty() {
            self.shortcuts(&ctx, &mut requests);
        }
        self.panels(ui, &mut requests);
        self.show_dialogs(&ctx);
        let changed = self.desk.as_mut().is_some_and(|desk| desk.settle(&requests));
        let mut acted = false;
        for request in requests {
            acted |= !matches!(request, Request::Typing { .. } | Request::Trying(_));
            self.carry_out(&ctx, request);
        }
        self.closing(&ctx);
        self.follow(&ctx);
        if changed || acted {
            ctx.request_repaint();
        }
    }

    fn panels(&mut self, ui: &mut Ui, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        if let Some(cast) = &mut self.cast {
            bar::show(ui, None, requests);
            CentralPanel::no_frame().frame(Frame::new().fill(p.panel)).show(ui, |ui| cast.show(ui, requests));
            return;
        }
        let Some(desk) = &mut self.desk else {
            bar::show(ui, None, requests);
            CentralPanel::no_frame().frame(Frame::new().fill(p.table)).show(ui, |ui| start::show(ui, requests));
            return;
        };
        bar::show(ui, Some(desk), requests);
        desk.table.lie_beneath(if desk.stage == Stage::Redraw { self.photo.follow(ui.ctx(), desk) } else { Vec::new() });
        self.lay.follow(ui.ctx(), desk, requests);
        if desk.stage == Stage::Print {
            self.print.follow(ui.ctx(), desk);
        }
        let text = match desk.stage {
            _ if let Some(said) = &desk.said => said.clone(),
            Stage::Print => self.print.readout(),
            Stage::Lay => self.lay.readout(),
            Stage::Redraw if let Some(text) = self.photo.readout() => text,
            _ => desk.readout(),
        };
        readout::show(ui, desk, &text, &mut self.messages_open, requests);
        let frame = Frame::new().fill(p.panel).inner_margin(egui::Margin { left: 16, right: 8, top: 12, bottom: 0 });
        let stage = desk.stage;
        let width = if stage == Stage::Measure { 430.0 } else { 330.0 };
        Panel::left(("left", stage == Stage::Measure)).frame(frame).default_size(width).size_range(280.0..=560.0).show(
            ui,
            |ui| match stage {
                Stage::Measure => self.measure.card(ui, desk, requests),
                Stage::Blocks => self.blocks.show(ui, desk, requests),
                Stage::Redraw => self.redraw.show(ui, desk, &mut self.photo, requests),
                Stage::Lay => self.lay.panel(ui, desk, requests),
                Stage::Print => self.print.settings(ui, desk, requests),
            },
        );
        if stage != Stage::Lay || !self.lay.is_wide() {
            Panel::right("ticket").frame(frame).default_size(316.0).size_range(240.0..=520.0).show(ui, |ui| match stage {
                Stage::Measure => self.measure.ticket(ui, desk, requests),
                Stage::Print => self.print.ticket(ui, desk, requests),
                Stage::Redraw => self.redraw.ticket(ui, desk, requests),
                Stage::Lay => self.lay.ticket(ui, desk, requests),
                _ => ticket::show(ui, desk, requests),
            });
        }
        CentralPanel::no_frame().frame(Frame::new().fill(p.table)).show(ui, |ui| match stage {
            Stage::Measure => self.measure.figure_page(ui, desk),
            Stage::Print => self.print.page(ui, desk),
            Stage::Lay => self.lay.page(ui, desk, requests),
            Stage::Redraw if self.photo.is_marking() => self.photo.page(ui, &desk.seen(), requests),
            _ => desk.show_table(ui, requests),
        });
    }

    fn shortcuts(&self, ctx: &Context, requests: &mut Vec<Request>) {
        let hit = |modifiers: Modifiers, key: Key| ctx.input_mut(|i| i.consume_shortcut(&KeyboardShortcut::new(modifiers, key)));
        if hit(CTRL, Key::O) {
            requests.push(Request::Open);
        }
        if hit(CTRL, Key::N) {
            requests.push(Request::MeasureSomeone);
        }
        if self.desk.is_none() || self.cast.is_some() {
            return;
        }
        // The longer shortcut first: a shorter one would also answer to it.
        if hit(CTRL_SHIFT, Key::S) {
            requests.push(Request::SaveAs);
        }
        if hit(CTRL, Key::S) {
            requests.push(Request::Save);
        }
        if hit(CTRL, Key::P) {
            requests.push(Request::PrintPages);
        }
        for stage in Stage::ALL {
            if hit(CTRL, stage.key()) || hit(Modifiers::ALT, stage.key()) {
                requests.push(Request::Go(stage));
            }
        }
        // A field being typed into has an undo of its own.
        if !ctx.text_edit_focused() {
            if hit(CTRL_SHIFT, Key::Z) || hit(CTRL, Key::Y) {
                requests.push(Request::Redo);
            }
            if hit(CTRL, Key::Z) {
                requests.push(Request::Undo);
            }
        }
    }

    fn carry_out(&mut self, ctx: &Context, request: Request) {
        match request {
            Request::MeasureSomeone => self.leave_for(After::MeasureSomeone, ctx),
            Request::Open => self.leave_for(After::Open, ctx),
            Request::OpenFile(file) => self.leave_for(After::OpenFile(file), ctx),
            Request::Demo => self.leave_for(After::Demo, ctx),
            Request::TakeGarment(garment) => self.leave_for(After::Take(garment), ctx),
            Request::LayPhoto => self.ask_for(Purpose::LayPhoto, ctx),
            Request::ChooseSwatch(at) => self.ask_for(Purpose::Swatch(at), ctx),
            Request::HoldCard => self.dialogs.push(Dialog::Card(CardDialog::new(ctx))),
            Request::OpenCast => self.ask_for(Purpose::OpenCast, ctx),
            Request::SaveCastReports => self.ask_for(Purpose::SaveCastReports, ctx),
            Request::LeaveCast => self.cast = None,
            Request::Book(request) => self.ask_the_book(request),
            Request::Begin(alteration) => {
                if let Some(desk) = &self.desk {
                    self.redraw.put_to_trial(*alteration, desk);
                }
            }
            request => {
                if let Some(desk) = &mut self.desk
                    && let Err(error) = at_desk(desk, &mut self.measure, &mut self.blocks, &request)
                {
                    self.dialogs.push(Dialog::fault(FileProblem { place: error.place, problem: error.problem, remedy: error.remedy }));
                }
                match request {
                    Request::ShowIn(unit) => self.remember.unit = Some(unit),
                    Request::Save => {
                        self.save(ctx, None);
                    }
                    Request::SaveAs => self.ask_for(Purpose::SaveGarment(None), ctx),
                    Request::PrintPages => self.ask_for(Purpose::PrintPages, ctx),
                    Request::SaveSheet => self.ask_for(Purpose::SaveSheet, ctx),
                    Request::WorkSheet => self.ask_for(Purpose::WorkSheet, ctx),
                    Request::SaveLists => self.ask_for(Purpose::SaveLists, ctx),
                    Request::MeasuringSheet(what) => self.ask_for(Purpose::MeasuringSheet(what), ctx),
                    _ => {}
                }
            }
        }
    }

    /// Leaves the garment at work for another, after asking whether to save it.
    pub(super) fn leave_for(&mut self, after: After, ctx: &Context) {
        if self.desk.as_ref().is_some_and(Desk::is_unsaved) {
            if !self.dialogs.iter().any(Dialog::is_unsaved_question) {
                self.dialogs.push(Dialog::Unsaved(after));
            }
        } else {
            self.go_on(after, ctx);
        }
    }

    pub(super) fn go_on(&mut self, after: After, ctx: &Context) {
        match after {
            After::Close => {
                self.leaving = true;
                self.remember.keeper.close();
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
            After::MeasureSomeone => {
                let card = WearerCard { measured_on: files::today(), ..WearerCard::default() };
                let unit = self.desk.as_ref().map(|d| d.unit).or(self.remember.unit).unwrap_or_default();
                let garment = Garment::new("Untitled garment", WearerCard { unit, ..card });
                self.put(Desk::new(History::unsaved(garment), None, Stage::Measure));
            }
            After::Open => self.ask_for(Purpose::Open, ctx),
            After::OpenFile(file) => self.open(&file),
            After::Take(garment) => {
                let desk = Desk::new(History::recovered(*garment, None), None, Stage::Measure);
                self.put(desk);
            }
            After::Begin(garment) => {
                let desk = Desk::new(History::recovered(*garment, None), None, Stage::Blocks);
                self.put(desk);
            }
            After::Demo => match demo::read() {
                Ok((_, _, garment)) => self.put(Desk::new(History::unsaved(garment), None, Stage::Blocks)),
                Err(error) => self.dialogs.push(Dialog::fault(FileProblem {
                    place: format!("the demo, line {}, column {}", error.line, error.column),
                    problem: error.problem,
                    remedy: "Install the program again.".into(),
                })),
            },
        }
    }

    fn show_dialogs(&mut self, ctx: &Context) {
        let Some(mut top) = self.dialogs.pop() else { return };
        let name = self.desk.as_ref().map_or("", |d| &d.garment().name).to_owned();
        match dialog::show(ctx, &mut top, &name) {
            None => self.dialogs.push(top),
            Some(dialog::Answer::Done) => {}
            Some(dialog::Answer::Written(said)) => {
                if let Some(desk) = &mut self.desk {
                    desk.said = said;
                }
                ctx.request_repaint();
            }
            Some(dialog::Answer::Recover(kept)) => self.recover(*kept, top),
            Some(dialog::Answer::Save(after)) => self.save(ctx, Some(after)),
            Some(dialog::Answer::Leave(after)) => self.go_on(after, ctx),
            Some(dialog::Answer::Book(answer)) => self.book_answered(ctx, answer, top),
            Some(dialog::Answer::File(purpose, file)) => self.chosen(purpose, file, ctx),
        }
    }

    /// The window was asked to close: not before the maker has decided about what is unsaved.
    fn closing(&mut self, ctx: &Context) {
        if !ctx.input(|i| i.viewport().close_requested()) || self.leaving {
            return;
        }
        if self.desk.as_ref().is_some_and(Desk::is_unsaved) {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.leave_for(After::Close, ctx);
        } else {
            self.remember.keeper.close();
        }
    }
}

impl eframe::App for Window {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        Self::ui(self, ui);
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }
}

/// What is done with the garment at work.
fn at_desk(
    desk: &mut Desk,
    measure: &mut MeasureView,
    blocks: &mut blocks::BlocksView,
    request: &Request,
) -> Result<(), draft_core::DraftError> {
    match request {
        Request::Edit(command) => desk.run(command)?,
        Request::Undo => desk.undo(),
        Request::Redo => desk.redo(),
        Request::Go(stage) => {
            desk.finish_typing()?;
            desk.stage = *stage;
            desk.said = None;
        }
        Request::Choose(chosen) => desk.chosen = chosen.clone(),
        Request::ShowIn(unit) => desk.unit = *unit,
        Request::Measure(which) => {
            desk.stage = Stage::Measure;
            measure.look_at(*which);
        }
        Request::OpenBlock(work) => {
            desk.finish_typing()?;
            desk.stage = Stage::Blocks;
            blocks.open(*work);
        }
        Request::ShowMe(message) => show_me(desk, measure, blocks, message),
        Request::Save
        | Request::SaveAs
        | Request::PrintPages
        | Request::SaveSheet
        | Request::WorkSheet
        | Request::SaveLists
        | Request::MeasuringSheet(_) => desk.finish_typing()?,
        Request::Typing { .. }
        | Request::Trying(_)
        | Request::Begin(_)
        | Request::MeasureSomeone
        | Request::Open
        | Request::OpenFile(_)
        | Request::Demo
        | Request::LayPhoto
        | Request::ChooseSwatch(_)
        | Request::HoldCard
        | Request::OpenCast
        | Request::LeaveCast
        | Request::SaveCastReports
        | Request::Book(_)
        | Request::TakeGarment(_) => {}
    }
    Ok(())
}

/// Goes to where a message points: the measurements that it concerns, the edge or piece that it names, or the work.
fn show_me(desk: &mut Desk, measure: &mut MeasureView, blocks: &mut blocks::BlocksView, message: &Message) {
    if let Some(which) = message.concerns.first() {
        desk.stage = Stage::Measure;
        measure.look_at(*which);
        return;
    }
    if desk.stage == Stage::Measure {
        desk.stage = Stage::Blocks;
    }
    let altered = desk.garment().works.iter().position(|e| e.work.block().is_none() && message.place.starts_with(&e.work.what()));
    if let Some(work) = altered {
        desk.stage = Stage::Redraw;
        desk.chosen = Chosen::Work(work);
        return;
    }
    let draft = std::sync::Arc::clone(&desk.built().draft);
    let named = draft.pieces.iter().filter(|p| message.place.contains(p.name().as_str())).max_by_key(|p| p.name().as_str().len());
    if let Some(piece) = named {
        let edge = piece.edges().iter().filter(|e| message.place.contains(e.name.as_str())).max_by_key(|e| e.name.as_str().len());
        desk.chosen = edge.map_or_else(|| Chosen::Piece(piece.name().clone()), |e| Chosen::Edge(piece.name().clone(), e.name.clone()));
        desk.table.show_piece(piece.name().as_str());
        return;
    }
    let work = desk.garment().works.iter().position(|e| e.work.block().is_some_and(|block| message.place.contains(block.name())));
    if let Some(work) = work {
        desk.stage = Stage::Blocks;
        desk.chosen = Chosen::Nothing;
        blocks.open(work);
    }
}

enum Read {
    Garment(Box<Garment>),
    Card(WearerCard),
}

/// Reads a garment, or a wearer card to begin one with.
fn read(file: &Path) -> Result<Read, FileProblem> {
    match files::load_garment(file) {
        Ok(garment) => Ok(Read::Garment(Box::new(garment))),
        // A wearer card is not a garment; if it is neither, the garment's fault is the one to show.
        Err(problem) => files::load_wearer(file).map(Read::Card).map_err(|_| problem),
    }
}
