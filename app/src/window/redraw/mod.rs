//! The Redraw stage: the work list, alterations that are added to it, and the particulars of each.

mod offers;
mod particulars;
mod sheet;
mod works;

use draft_core::alteration::Alteration;
use draft_core::alteration::offer::Offer;
use draft_core::{Draft, DraftError, Work};
use egui::{Key, Popup, Ui};

use super::icon::Icon;
use super::photo::PhotoView;
use super::theme::{self, Palette};
use super::{Chosen, Desk, Request, blocks, pieces, ticket, widget};
use crate::edit::Command;

/// An alteration that is being made and is not in the list yet.
struct Trial {
    /// Where it will stand in the list, from 0.
    at: usize,
    /// As it will be added.
    alteration: Alteration,
    /// With what is being typed.
    shown: Alteration,
    /// It was begun just now.
    fresh: bool,
    /// What it was begun from, and on what; nothing for a line that was drawn.
    begun: Option<(&'static Offer, Chosen)>,
}

/// What is open at Redraw.
#[derive(Default)]
pub struct RedrawView {
    /// The list of what can be added is open, and what is looked for in it.
    adding: Option<String>,
    /// The list was opened just now.
    opened: bool,
    trial: Option<Trial>,
    /// Why an alteration could not be begun.
    refused: Option<DraftError>,
    /// The pale line shows the pieces before this work rather than before the selected one.
    pale: Option<usize>,
    /// The work whose row takes the keyboard.
    focus: Option<usize>,
}

impl RedrawView {
    /// Shows the left panel.
    pub fn show(&mut self, ui: &mut Ui, desk: &mut Desk, photo: &mut PhotoView, requests: &mut Vec<Request>) {
        let typing = ui.ctx().text_edit_focused();
        if self.adding.is_some() && !Popup::is_any_open(ui.ctx()) && ui.input(|i| i.key_pressed(Key::Escape)) {
            self.adding = None;
        }
        if let Some(trial) = &mut self.trial {
            // Undo may have made the list shorter.
            trial.at = trial.at.min(desk.garment().works.len());
        }
        desk.pale = self.trial.as_ref().map(|t| t.at).or_else(|| match desk.chosen {
            Chosen::Work(i) => Some(self.pale.unwrap_or(i)),
            _ => None,
        });
        widget::column(ui, "redraw", |ui| {
            if let Some(find) = &mut self.adding {
                let focus = std::mem::take(&mut self.opened);
                match offers::show(ui, find, focus) {
                    Some(offers::Answer::Begin(offer)) => self.begin(offer, desk),
                    Some(offers::Answer::Close) => self.adding = None,
                    None => {}
                }
                return;
            }
            widget::heading(ui, "Work list");
            let trial = self.trial.as_ref().map(|t| t.at);
            let (seen, pen) = desk.seen_and_pen();
            if seen.garment.works.is_empty() {
                widget::soft(ui, "Nothing has been drafted yet. Draft a block at Blocks first.");
            }
            works::show(ui, &seen, trial, (&mut self.focus, typing), pen, requests);
            if let Some(error) = &self.refused {
                blocks::fault(ui, &format!("{}: {}", error.place, error.problem), &error.remedy);
            }
            ui.add_space(4.0);
            if self.trial.is_none() && widget::button(ui, Icon::Plus, "Add an alteration…").clicked() {
                self.adding = Some(String::new());
                self.opened = true;
                self.refused = None;
            }
            ui.add_space(theme::APART - 6.0);
            pieces::show(ui, desk, requests);
            ui.add_space(theme::APART - 6.0);
            photo.panel(ui, desk, requests);
            ui.add_space(theme::APART);
        });
    }

    /// Begins an alteration on what is selected.
    fn begin(&mut self, offer: &'static Offer, desk: &Desk) {
        self.adding = None;
        let seen = desk.seen();
        let nothing = Draft::default();
        let draft = match &self.trial {
            Some(trial) => seen.built.before(trial.at).unwrap_or(&nothing),
            None => &seen.built.draft,
        };
        let selected = match seen.chosen {
            Chosen::Piece(piece) => Some((piece, None)),
            Chosen::Edge(piece, edge) => Some((piece, Some(edge))),
            Chosen::Nothing | Chosen::Work(_) => None,
        };
        match offer.begin(draft, selected) {
            Ok(alteration) => {
                self.put_to_trial(alteration, desk);
                if let Some(trial) = &mut self.trial {
                    trial.begun = Some((offer, seen.chosen.clone()));
                }
            }
            Err(error) => self.refused = Some(error),
        }
    }

    /// Shows an alteration on the table and in its form, until it is added or taken away.
    pub fn put_to_trial(&mut self, alteration: Alteration, desk: &Desk) {
        let works = &desk.garment().works;
        // What blocks are drafted from has to stand before them.
        let first_block = || works.iter().position(|e| e.work.block().is_some());
        let before_blocks = matches!(alteration, Alteration::Adjust(_));
        let at = if before_blocks { first_block() } else { None }.unwrap_or(works.len());
        self.trial = Some(Trial { at, shown: alteration.clone(), alteration, fresh: true, begun: None });
        self.adding = None;
        self.refused = None;
    }

    /// Shows the ticket.
    pub fn ticket(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        if self.trial.is_some() {
            widget::column(ui, "trial", |ui| {
                self.try_it(ui, desk, requests);
                ui.add_space(theme::APART);
            });
            return;
        }
        match *desk.chosen() {
            Chosen::Work(i) => {
                widget::column(ui, "work", |ui| {
                    particulars::show(ui, desk, i, &mut self.pale, requests);
                    ui.add_space(theme::APART);
                });
            }
            _ => {
                self.pale = None;
                ticket::show(ui, desk, requests);
            }
        }
    }

    /// The form of what is being made.
    fn try_it(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        let Some(trial) = &mut self.trial else { return };
        let p = Palette::of(ui);
        let (seen, pen) = desk.seen_and_pen();
        let title = blocks::sentence_case(&trial.shown.what());
        ui.label(egui::RichText::new(title).font(egui::FontId::new(18.0, theme::strong())).color(p.ink));
        widget::soft(ui, "Not in the list yet: Enter adds it, Esc takes it away.");
        widget::basting(ui);
        let mut again = None;
        let outcome = seen.built.outcomes.get(trial.at).and_then(|o| o.skipped.as_ref());
        // Within a scope of its own: what comes and goes here does not make what is below it another thing.
        ui.scope(|ui| {
            if let Some((offer, on)) = &trial.begun
                && seen.chosen != on
                && let Some(piece) = seen.chosen.piece()
            {
                let place = if let Chosen::Edge(_, edge) = seen.chosen { format!("{piece} / {edge}") } else { piece.to_string() };
                if ui.button(format!("Make it on {place}")).on_hover_text("Begin it again on what is selected now").clicked() {
                    again = Some(*offer);
                }
            }
            if let Some(error) = outcome {
                blocks::fault(ui, &format!("{}: {}", error.place, error.problem), &error.remedy);
            }
        });
        let nothing = Draft::default();
        let draft = seen.built.before(trial.at).unwrap_or(&nothing);
        let draft = if matches!(trial.alteration, Alteration::Adjust(_)) { &nothing } else { draft };
        let mut changed = trial.alteration.clone();
        let fresh = std::mem::take(&mut trial.fresh);
        let id = widget::steady("trial");
        let done = ui.scope(|ui| sheet::Sheet::show(ui, pen, (draft, seen.unit), (id, fresh), &mut changed)).inner;
        if done.changed {
            trial.alteration = changed.clone();
        }
        trial.shown = if done.changed || done.typing { changed } else { trial.alteration.clone() };
        ui.add_space(8.0);
        let (mut add, mut leave) = (false, false);
        ui.horizontal(|ui| {
            add = ui.add_enabled_ui(outcome.is_none() && !done.refused, |ui| widget::main_button(ui, None, "Add it")).inner.clicked();
            leave = ui.button("Take it away").clicked();
        });
        let popup = Popup::is_any_open(ui.ctx());
        let free = !popup && ui.memory(|m| m.focused().is_none());
        let (enter, escape) = ui.input(|i| (i.key_pressed(Key::Enter), i.key_pressed(Key::Escape)));
        add |= (done.entered || enter && free) && outcome.is_none() && !done.refused;
        leave |= escape && !popup && !done.escaped && !done.typing && !fresh;
        particulars::changes(ui, &seen, trial.at, requests);
        if let Some(offer) = again {
            self.begin(offer, desk);
            return;
        }
        let (at, work) = (trial.at, Box::new(Work::Alter(Box::new(trial.shown.clone()))));
        if leave {
            self.trial = None;
            pen.clear();
        } else if add {
            self.trial = None;
            pen.clear();
            self.focus = Some(at);
            requests.push(Request::Edit(Command::AddWork { at: Some(at), work }));
            requests.push(Request::Choose(Chosen::Work(at)));
        } else {
            requests.push(Request::Trying(Command::AddWork { at: Some(at), work }));
        }
    }
}
