//! The line at the bottom: what is under the pointer, and the messages.

use egui::{Align, Frame, Layout, Margin, Panel, Popup, PopupCloseBehavior, RichText, ScrollArea, Stroke, Ui, pos2};

use super::icon::Icon;
use super::theme::Palette;
use super::{Desk, Request, Stage, message, widget};

/// Shows the readout.
pub fn show(ui: &mut Ui, desk: &Desk, text: &str, open: &mut bool, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let frame = Frame::new().fill(p.kraft).inner_margin(Margin { left: 16, right: 12, top: 5, bottom: 4 });
    Panel::bottom("readout").frame(frame).show_separator_line(false).show(ui, |ui| {
        let across = ui.max_rect();
        widget::stitches(
            ui.painter(),
            pos2(across.left() - 16.0, across.top() - 4.0),
            pos2(across.right() + 12.0, across.top() - 4.0),
            Stroke::new(1.4, p.kraft_line),
        );
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                messages(ui, desk, open, requests);
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    ui.add(egui::Label::new(RichText::new(text).color(p.ink)).truncate());
                });
            });
        });
    });
}

fn messages(ui: &mut Ui, desk: &Desk, open: &mut bool, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let all = &desk.built().messages;
    let text = message::counts(all);
    let (icon, ink) = all.first().map_or((Icon::Tick, p.ink), |worst| {
        let (icon, _, ink, _) = message::marks(worst.grade, p);
        (icon, if worst.grade == draft_core::Grade::Note { p.ink } else { ink })
    });
    let response = ui.add(egui::Button::new(RichText::new(format!("       {text}")).color(p.ink)).frame_when_inactive(true));
    let mark = egui::Rect::from_min_size(response.rect.min + egui::vec2(9.0, 0.0), egui::vec2(20.0, response.rect.height()));
    icon.paint(ui.painter(), mark, 18.0, ink);
    let response = response.accessible_name(format!("Messages: {text}"));
    if response.clicked() && !all.is_empty() {
        *open = !*open;
    }
    let id = response.id;
    Popup::from_response(&response)
        .id(id.with("messages"))
        .open_bool(open)
        .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
        .align(egui::RectAlign::TOP_END)
        .gap(8.0)
        .width(440.0)
        .accessible_name("Messages")
        .show(|ui| {
            ScrollArea::vertical().max_height(420.0).auto_shrink([false, true]).show(ui, |ui| {
                ui.set_width(ui.available_width() - 12.0);
                widget::heading(ui, "Messages");
                for m in all {
                    message::show(ui, &desk.seen(), m, requests);
                }
            });
        });
}

impl Desk {
    /// What the readout says about the pointer.
    pub(super) fn readout(&self) -> String {
        if self.stage == Stage::Measure {
            return "Type each length as you read it: 88.5, 885 mm, 34 7/8 in or 60.5 + 2. Enter goes on to the next.".into();
        }
        self.table.readout(self.built(), self.unit)
    }
}
