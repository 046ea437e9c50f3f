//! The wearer card as the left panel.

use draft_core::measuring::GROUPS;
use draft_core::{Measurement, Survey, Unit};
use egui::{RichText, Ui};

use super::MeasureView;
use super::field::Row;
use crate::edit::{CardLine, Command};
use crate::window::pen::Pen;
use crate::window::theme::{self, Palette};
use crate::window::{Desk, Request, Seen, widget};

impl MeasureView {
    /// Shows the wearer card.
    pub fn card(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        widget::column(ui, "card", |ui| {
            let (seen, pen) = desk.seen_and_pen();
            head(ui, &seen, pen, requests);
            let needed: Vec<Measurement> =
                seen.garment.works.iter().filter(|e| e.on).flat_map(|e| e.work.measurements()).copied().collect();
            let order: Vec<Measurement> = GROUPS.iter().flat_map(|(_, list)| list.iter().copied()).collect();
            for (title, list) in GROUPS {
                ui.add_space(theme::APART - 4.0);
                let taken = list.iter().filter(|m| seen.garment.wearer.take(**m).is_some()).count();
                ui.horizontal(|ui| {
                    widget::heading(ui, title);
                    widget::soft(ui, format!("{taken} of {} measured", list.len()));
                });
                for &which in *list {
                    let at = order.iter().position(|m| *m == which).unwrap_or(0);
                    let row = Row { which, next: order.get(at + 1).copied(), needed: needed.contains(&which) };
                    self.row(ui, row, &seen, pen, requests);
                }
            }
            ui.add_space(40.0);
        });
    }
}

/// Who it is, and how it was measured.
fn head(ui: &mut Ui, seen: &Seen<'_>, pen: &mut Pen, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let card = &seen.garment.wearer;
    ui.label(RichText::new("Wearer card").font(egui::FontId::new(18.0, theme::strong())).color(p.ink));
    widget::basting(ui);
    let mut text_line = |ui: &mut Ui, line: CardLine, label: &str, current: &str, hint: &'static str| {
        ui.horizontal(|ui| {
            let label = widget::field_name(ui, label, 100.0);
            let out = pen.line(ui, widget::steady(("card", line)), current, |edit| edit.desired_width(f32::INFINITY).hint_text(hint));
            out.response.labelled_by(label.id);
            if let Some(text) = out.typing {
                requests.push(Request::Typing { command: Command::WriteCard(line, text), preview: true });
            }
            if let Some(text) = out.done {
                requests.push(Request::Edit(Command::WriteCard(line, text)));
            }
        });
    };
    text_line(ui, CardLine::Name, "Wearer", &card.name, "Name");
    text_line(ui, CardLine::MeasuredOn, "Measured on", &card.measured_on, "Such as 2026-11-14");
    text_line(ui, CardLine::MeasuredBy, "Measured by", &card.measured_by, "Who held the tape");
    ui.horizontal(|ui| {
        widget::field_name(ui, "Typed in", 100.0)
            .on_hover_text("The unit of a number that you type without one. What is typed already keeps its meaning.");
        let all = Unit::ALL.map(|u| (u, u.sign(), format!("Numbers typed without a unit are {u}")));
        if let Some(unit) = widget::choices(ui, "card unit", card.unit, &all) {
            requests.push(Request::Edit(Command::SetCardUnit(unit)));
        }
    });
    ui.horizontal(|ui| {
        widget::field_name(ui, "Estimates from", 100.0)
            .on_hover_text("Whose measurements stand in for one that was not taken: the 2012 survey ANSUR II.");
        let all = Survey::ALL.map(|s| (s, s.label(), format!("Estimate what is missing from the measurements of {}", s.label())));
        if let Some(survey) = widget::choices(ui, "survey", card.survey, &all) {
            requests.push(Request::Edit(Command::SetSurvey(survey)));
        }
    });
    let out = pen.lines(ui, widget::steady(("card", CardLine::Notes)), &card.notes, 2, "Posture, shoes, what was worn while measuring");
    out.response.accessible_name("Notes on the wearer");
    if let Some(text) = out.typing {
        requests.push(Request::Typing { command: Command::WriteCard(CardLine::Notes, text), preview: true });
    }
    if let Some(text) = out.done {
        requests.push(Request::Edit(Command::WriteCard(CardLine::Notes, text)));
    }
}
