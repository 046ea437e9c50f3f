//! What a newer edition changes: before and after, and whether to take it up.

use draft_core::take_up::TakenUp;
use draft_core::{Changed, Message, Unit};
use egui::{Grid, Label, RichText, ScrollArea, Ui};

use super::{BookAnswer, lines, told, way_back};
use crate::window::dialog::{Answer, title};
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::{Desk, blocks, message, widget};

/// The dialog.
pub struct TakingDialog {
    newer: Vec<Message>,
    taken: TakenUp,
    unit: Unit,
}

impl TakingDialog {
    /// Shows what was found.
    pub fn new(desk: &Desk, newer: &[Message], taken: TakenUp) -> Self {
        Self { newer: newer.to_vec(), taken, unit: desk.unit }
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui) -> Option<Answer> {
        let p = Palette::of(ui);
        ui.set_width(640.0);
        title(ui, Icon::Redo, "What the newer edition changes");
        lines(ui, self.newer.iter().map(|m| message::sentence(&format!("{}: {}", m.place, m.problem))));
        ui.add_space(6.0);
        ScrollArea::vertical().max_height(360.0).auto_shrink([false, true]).show(ui, |ui| {
            let difference = &self.taken.difference;
            if told(&self.taken) {
                ui.label("No girth, edge or piece changes.");
            }
            self.table(ui, "Girths", &difference.girths);
            self.table(ui, "Edges", &difference.edges);
            for (words, names) in [("New pieces", &difference.new_pieces), ("Pieces that are gone", &difference.gone_pieces)] {
                if !names.is_empty() {
                    ui.add(Label::new(format!("{words}: {}", names.join(", "))).wrap());
                }
            }
            for m in &difference.new_messages {
                blocks::fault_of(ui, m.grade, &format!("{}: {}", m.place, m.problem), &m.remedy);
            }
            if !self.taken.kept.is_empty() {
                ui.label(RichText::new("Stays as it is on this garment").font(theme::strong_body()).color(p.ink));
                lines(ui, self.taken.kept.iter().map(|k| message::sentence(k)));
            }
        });
        ui.add_space(12.0);
        let mut answer = None;
        ui.horizontal(|ui| {
            let take = widget::main_button(ui, None, "Take it up");
            if ui.memory(|m| m.focused().is_none()) {
                take.request_focus();
            }
            if take.clicked() {
                answer = Some(Answer::Book(BookAnswer::TakeUp(Box::new(self.taken.garment.clone()))));
            }
            if let Some(back) = way_back(ui, "Leave the garment as it is") {
                answer = Some(back);
            }
        });
        answer
    }

    fn table(&self, ui: &mut Ui, name: &str, list: &[Changed]) {
        if list.is_empty() {
            return;
        }
        let p = Palette::of(ui);
        ui.label(RichText::new(name).font(theme::strong_body()).color(p.ink));
        Grid::new(("before and after", name)).num_columns(4).spacing([24.0, 4.0]).show(ui, |ui| {
            for head in ["", "before", "after", "change"] {
                widget::soft(ui, head);
            }
            ui.end_row();
            for c in list {
                ui.label(&c.what);
                ui.label(self.unit.text(c.before_mm));
                ui.label(self.unit.text(c.after_mm));
                ui.label(RichText::new(c.by(self.unit)).font(theme::strong_body()).color(p.ink));
                ui.end_row();
            }
        });
        ui.add_space(6.0);
    }
}
