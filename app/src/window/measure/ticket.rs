//! The ticket of the measurement that is looked at: where the tape goes, what is plausible, the readings, the checks.

use draft_core::{Block, Measurement, Message, plausible};
use egui::{Label, RichText, Ui};

use super::{MeasureView, outlook, takes};
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::{Desk, Request, Seen, SheetOf, message, widget};

/// So many measurements at most are named to settle a doubt.
const SETTLE_WITH: usize = 4;

impl MeasureView {
    /// Shows the ticket of the measurement that is looked at.
    pub fn ticket(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        let which = self.looking_at;
        widget::column(ui, "measurement", |ui| {
            let (seen, pen) = desk.seen_and_pen();
            let p = Palette::of(ui);
            ui.label(RichText::new(which.name()).font(egui::FontId::new(18.0, theme::strong())).color(p.ink));
            widget::basting(ui);
            ui.label(message::sentence(&format!("measure {}", which.where_the_tape_goes())));
            let used = drafted_from(&seen, which);
            if !used.is_empty() {
                widget::soft(ui, format!("Used by: {}.", used.join(", ")));
            }
            ui.add_space(8.0);
            widget::heading(ui, "What is plausible");
            let about = self.outlooks(&seen.built.body, seen.garment.wearer.survey).about(which);
            outlook::show(ui, &seen, which, &about);
            ui.add_space(8.0);
            widget::heading(ui, "Readings");
            takes::show(ui, &seen, pen, which, requests);
            let about: Vec<_> = seen.built.messages.iter().filter(|m| m.concerns.contains(&which)).collect();
            if !about.is_empty() {
                ui.add_space(10.0);
                widget::heading(ui, "Checks");
                for m in about {
                    message::show(ui, &seen, m, requests);
                    settle(ui, &seen, m, requests);
                }
            }
            ui.add_space(theme::APART);
            measuring_sheet(ui, &seen, requests);
            ui.add_space(theme::APART);
        });
    }
}

/// The sheet for the fitting: for the blocks, and for everything.
fn measuring_sheet(ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
    widget::heading(ui, "For the fitting");
    widget::soft(ui, "A sheet to take along: where each tape goes, what is expected, and boxes for two takes.");
    let has_blocks = seen.garment.works.iter().any(|e| e.on);
    let (what, tip) = if has_blocks {
        (SheetOf::Blocks, "A PDF with what the blocks are drafted from")
    } else {
        (SheetOf::Everything, "A PDF with every measurement")
    };
    if widget::button(ui, Icon::Tape, "Print the measuring sheet…").on_hover_text(tip).clicked() {
        requests.push(Request::MeasuringSheet(what));
    }
    if has_blocks && ui.button("Print it with every measurement…").clicked() {
        requests.push(Request::MeasuringSheet(SheetOf::Everything));
    }
}

/// Which measurements would settle the doubt that a message names; each a button that goes to its field.
fn settle(ui: &mut Ui, seen: &Seen<'_>, message: &Message, requests: &mut Vec<Request>) {
    let steps = plausible::would_settle(&seen.built.body, seen.garment.wearer.survey, message, SETTLE_WITH);
    if steps.is_empty() {
        return;
    }
    widget::raised(ui).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.label(RichText::new(plausible::settling_heading(steps.len())).font(theme::strong_body()));
        for step in &steps {
            let again = if seen.built.body.measured(step.which).is_some() { "once more" } else { "not measured yet" };
            let text = format!("{}, {again}", step.which.name());
            if ui.add(egui::Button::new(text).wrap()).accessible_name(format!("Go to {}", step.which.name())).clicked() {
                requests.push(Request::Measure(step.which));
            }
        }
        let left = format!("In this order; {}.", plausible::what_is_left(&steps));
        ui.add(Label::new(RichText::new(left).font(theme::small()).color(Palette::of(ui).ink_soft)).wrap());
    });
}

/// Which works are drafted from a measurement.
fn drafted_from(seen: &Seen<'_>, which: Measurement) -> Vec<&'static str> {
    let names = seen.garment.works.iter().filter(|e| e.work.measurements().contains(&which));
    names.filter_map(|e| e.work.block()).map(Block::name).collect()
}
