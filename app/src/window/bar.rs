//! The top bar: stages, the garment's name and state, undo and redo, unit, text size, light or dark.

use draft_core::Unit;
use egui::{
    Align, Align2, CornerRadius, Frame, Layout, Margin, Panel, RichText, Role, Sense, Stroke, TextEdit, Theme, Ui, WidgetInfo, pos2, vec2,
};

use super::icon::Icon;
use super::theme::{self, Palette, TEXT_SIZES};
use super::{Desk, Request, Stage, widget};
use crate::edit::Command;

/// Shows the bar.
pub fn show(ui: &mut Ui, desk: Option<&mut Desk>, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let frame = Frame::new().fill(p.kraft).inner_margin(Margin { left: 14, right: 12, top: 6, bottom: 6 });
    Panel::top("bar").frame(frame).show_separator_line(false).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            if let Some(desk) = desk {
                stages(ui, desk.stage, requests);
                ui.add_space(12.0);
                with_garment(ui, desk, requests);
            } else {
                ui.add_space(4.0);
                without_garment(ui, requests);
            }
        });
    });
    // The edge of the bar is basted down.
    let y = ui.available_rect_before_wrap().top() - 1.5;
    let across = ui.max_rect();
    widget::stitches(ui.painter(), pos2(across.left(), y), pos2(across.right(), y), Stroke::new(1.4, p.kraft_line));
}

fn without_garment(ui: &mut Ui, requests: &mut Vec<Request>) {
    if widget::icon_button(ui, Icon::Open, "Open…", "Ctrl+O", true).clicked() {
        requests.push(Request::Open);
    }
    ui.with_layout(Layout::right_to_left(Align::Center), looks);
}

fn with_garment(ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let unsaved = desk.is_unsaved();
    for (icon, name, keys, request) in [
        (Icon::New, "Measure someone else", "Ctrl+N", Request::MeasureSomeone),
        (Icon::Open, "Open…", "Ctrl+O", Request::Open),
        (Icon::Save, "Save", "Ctrl+S", Request::Save),
    ] {
        if widget::icon_button(ui, icon, name, keys, true).clicked() {
            requests.push(request);
        }
    }
    let save_as = ui.add(egui::Button::new(RichText::new("Save as…")).frame_when_inactive(false));
    if save_as.on_hover_text("Save under another name   (Ctrl+Shift+S)").clicked() {
        requests.push(Request::SaveAs);
    }
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        looks(ui);
        ui.add_space(6.0);
        let units = Unit::ALL.map(|u| (u, u.sign(), format!("Show lengths in {}", long_name(u))));
        if let Some(unit) = widget::choices(ui, "unit shown", desk.unit, &units) {
            requests.push(Request::ShowIn(unit));
        }
        ui.add_space(6.0);
        let redo = desk.history().redo_label().map_or("Redo".to_owned(), |l| format!("Redo: {l}"));
        if widget::icon_button(ui, Icon::Redo, &redo, "Ctrl+Shift+Z", desk.history().redo_label().is_some()).clicked() {
            requests.push(Request::Redo);
        }
        let undo = desk.history().undo_label().map_or("Undo".to_owned(), |l| format!("Undo: {l}"));
        if widget::icon_button(ui, Icon::Undo, &undo, "Ctrl+Z", desk.history().undo_label().is_some()).clicked() {
            requests.push(Request::Undo);
        }
        ui.add_space(4.0);
        let state = match (unsaved, desk.file.is_some()) {
            (true, _) => "not saved",
            (false, true) => "saved",
            (false, false) => "not in a file",
        };
        let file = desk.file.as_ref().map_or_else(|| "It has no file yet.".to_owned(), |f| f.display().to_string());
        ui.label(RichText::new(state).font(theme::small()).color(if unsaved { p.ink } else { p.ink_soft })).on_hover_text(file);
        let room = ui.available_width().clamp(60.0, 280.0);
        let name = desk.garment().name.clone();
        let id = widget::steady("garment name");
        let line = desk.pen.line(ui, id, &name, |edit: TextEdit<'_>| {
            edit.desired_width(room - 24.0)
                .font(theme::strong_body())
                .align(Align2::RIGHT_CENTER)
                .background_color(egui::Color32::TRANSPARENT)
                .hint_text("Name the garment")
        });
        line.response.clone().accessible_name("Name of the garment").on_hover_text("Name of the garment");
        if let Some(text) = line.typing {
            requests.push(Request::Typing { command: Command::Rename(text), preview: true });
        }
        if let Some(text) = line.done {
            requests.push(Request::Edit(Command::Rename(text)));
        }
    });
}

const fn long_name(unit: Unit) -> &'static str {
    match unit {
        Unit::Cm => "centimetres",
        Unit::Mm => "millimetres",
        Unit::Inch => "inches",
    }
}

/// Size of text, light or dark.
fn looks(ui: &mut Ui) {
    let dark = ui.visuals().dark_mode;
    let (icon, name, theme) =
        if dark { (Icon::Sun, "Use the light colours", Theme::Light) } else { (Icon::Moon, "Use the dark colours", Theme::Dark) };
    if widget::icon_button(ui, icon, name, "", true).clicked() {
        ui.ctx().set_theme(theme);
    }
    let now = ui.ctx().zoom_factor();
    let at = TEXT_SIZES.iter().position(|(f, _)| *f > now - 0.01).unwrap_or(0);
    let (next, word) = TEXT_SIZES[(at + 1) % TEXT_SIZES.len()];
    let name = format!("Size of text: {}. Change to {word}", TEXT_SIZES[at].1);
    if widget::icon_button(ui, Icon::Text, &name, "Ctrl and + or −", true).clicked() {
        ui.ctx().set_zoom_factor(next);
    }
}

/// The stages as tags on a thread.
fn stages(ui: &mut Ui, now: Stage, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    for (i, stage) in Stage::ALL.into_iter().enumerate() {
        if i > 0 {
            let (gap, _) = ui.allocate_exact_size(vec2(10.0, theme::TARGET), Sense::hover());
            ui.painter()
                .line_segment([gap.left_center() + vec2(1.0, 0.0), gap.right_center() - vec2(1.0, 0.0)], Stroke::new(1.5, p.kraft_line));
        }
        let on = stage == now;
        let font = if on { theme::strong_body() } else { egui::TextStyle::Button.resolve(ui.style()) };
        let galley = ui.painter().layout_no_wrap(stage.name().to_owned(), font, p.ink);
        let (rect, response) = ui.allocate_exact_size(vec2(galley.size().x + 26.0, theme::TARGET + 4.0), Sense::click());
        response.widget_info(|| WidgetInfo::selected(Role::Tab, true, on, stage.name()));
        let corner = CornerRadius::same(theme::ROUND);
        if on {
            ui.painter().rect_filled(rect, corner, p.panel);
            let y = rect.bottom() - 5.0;
            widget::stitches(ui.painter(), pos2(rect.left() + 11.0, y), pos2(rect.right() - 11.0, y), Stroke::new(2.0, p.chalk));
        } else if response.hovered() {
            ui.painter().rect_filled(rect, corner, p.panel.gamma_multiply(0.45));
        }
        if response.has_focus() {
            ui.painter().rect_stroke(rect, corner, Stroke::new(1.5, p.chalk), egui::StrokeKind::Inside);
        }
        let ink = if on { p.chalk } else { p.ink };
        let at = Align2::CENTER_CENTER.anchor_size(rect.center() - vec2(0.0, if on { 1.5 } else { 0.0 }), galley.size()).min;
        ui.painter().galley_with_override_text_color(at, galley, ink);
        if response.clicked() && !on {
            requests.push(Request::Go(stage));
        }
        response.on_hover_text(format!("{}   (Ctrl+{})", stage.what(), i + 1));
    }
}
