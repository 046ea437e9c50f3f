//! Small things that every view is made of.

use egui::{
    Align, Align2, Color32, CornerRadius, Frame, Id, Label, Layout, Margin, Response, RichText, Role, ScrollArea, Sense, Stroke,
    StrokeKind, Ui, WidgetInfo, vec2,
};

use super::icon::Icon;
use super::theme::{self, Palette};

/// A button with an icon and no text; its name is read by screen readers and shown as a tooltip.
pub fn icon_button(ui: &mut Ui, icon: Icon, name: &str, keys: &str, enabled: bool) -> Response {
    let p = Palette::of(ui);
    let sense = if enabled { Sense::click() } else { Sense::hover() };
    let (rect, response) = ui.allocate_exact_size(vec2(theme::TARGET, theme::TARGET), sense);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, name));
    if ui.is_rect_visible(rect) {
        if enabled && (response.hovered() || response.has_focus()) {
            ui.painter().rect_filled(rect, CornerRadius::same(theme::ROUND), p.button_hover);
        }
        if response.has_focus() {
            ui.painter().rect_stroke(rect, CornerRadius::same(theme::ROUND), Stroke::new(1.5, p.chalk), StrokeKind::Inside);
        }
        let color = if enabled { p.ink } else { p.ink.gamma_multiply(0.35) };
        icon.paint(ui.painter(), rect, 20.0, color);
    }
    let tip = if keys.is_empty() { name.to_owned() } else { format!("{name}   ({keys})") };
    response.on_hover_text(tip)
}

/// A button with an icon before its text.
pub fn button(ui: &mut Ui, icon: Icon, text: &str) -> Response {
    labelled(ui, Some(icon), text, false)
}

/// The button of what is to be done next on this page.
pub fn main_button(ui: &mut Ui, icon: Option<Icon>, text: &str) -> Response {
    labelled(ui, icon, text, true)
}

fn labelled(ui: &mut Ui, icon: Option<Icon>, text: &str, main: bool) -> Response {
    let p = Palette::of(ui);
    let font = if main { theme::strong_body() } else { egui::TextStyle::Button.resolve(ui.style()) };
    let galley = ui.painter().layout_no_wrap(text.to_owned(), font, Color32::PLACEHOLDER);
    let icon_room = if icon.is_some() { 26.0 } else { 0.0 };
    let size = vec2(galley.size().x + icon_room + 26.0, theme::TARGET + if main { 4.0 } else { 0.0 });
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), text));
    if ui.is_rect_visible(rect) {
        let hot = response.hovered() || response.has_focus();
        let (fill, line, ink) = match (main, hot) {
            (true, false) => (p.chalk, p.chalk, p.on_chalk),
            (true, true) => (p.chalk.lerp_to_gamma(p.ink, 0.25), p.ink, p.on_chalk),
            (false, false) => (p.button, p.kraft_line, p.ink),
            (false, true) => (p.button_hover, p.ink_soft, p.ink),
        };
        let ink = if ui.is_enabled() { ink } else { ink.gamma_multiply(0.5) };
        ui.painter().rect(rect, CornerRadius::same(theme::ROUND), fill, Stroke::new(1.0, line), StrokeKind::Inside);
        if response.has_focus() {
            ui.painter().rect_stroke(rect.expand(2.0), CornerRadius::same(theme::ROUND + 2), Stroke::new(1.5, p.chalk), StrokeKind::Inside);
        }
        let mut left = rect.left() + 13.0;
        if let Some(icon) = icon {
            let field = egui::Rect::from_min_size(egui::pos2(left - 2.0, rect.top()), vec2(20.0, rect.height()));
            icon.paint(ui.painter(), field, 18.0, ink);
            left += icon_room;
        }
        let at = egui::pos2(left, rect.center().y - galley.size().y / 2.0);
        ui.painter().galley(at, galley, ink);
    }
    response
}

/// One of a few choices side by side, in as many rows as they need; returns the one clicked.
pub fn choices<T: Copy + PartialEq>(ui: &mut Ui, id: &str, now: T, all: &[(T, &str, String)]) -> Option<T> {
    let p = Palette::of(ui);
    let font = egui::TextStyle::Button.resolve(ui.style());
    let room = ui.available_width();
    let galleys: Vec<_> =
        all.iter().map(|(_, text, _)| ui.painter().layout_no_wrap((*text).to_owned(), font.clone(), Color32::PLACEHOLDER)).collect();
    // Where each part begins, and how far the whole reaches.
    let mut places = Vec::with_capacity(all.len());
    let (mut at, mut reach) = (vec2(0.0, 0.0), 0.0f32);
    for galley in &galleys {
        let width = galley.size().x + 22.0;
        if at.x > 0.0 && at.x + width > room {
            at = vec2(0.0, at.y + theme::TARGET);
        }
        places.push((at, width));
        at.x += width;
        reach = reach.max(at.x);
    }
    let (rect, _) = ui.allocate_exact_size(vec2(reach, at.y + theme::TARGET), Sense::hover());
    let corner = CornerRadius::same(theme::ROUND);
    ui.painter().rect(rect, corner, p.button, Stroke::new(1.0, p.kraft_line), StrokeKind::Inside);
    let mut clicked = None;
    for ((value, text, name), (galley, (at, width))) in all.iter().zip(galleys.into_iter().zip(places)) {
        let part = egui::Rect::from_min_size(rect.min + at, vec2(width, theme::TARGET));
        let response = ui.interact(part, ui.scope_id().with((id, text)), Sense::click());
        let on = *value == now;
        response.widget_info(|| WidgetInfo::selected(Role::RadioButton, ui.is_enabled(), on, name));
        if on {
            ui.painter().rect(part, corner, p.chalk_wash, Stroke::new(1.5, p.chalk), StrokeKind::Inside);
        } else if response.hovered() {
            ui.painter().rect_filled(part.shrink(1.0), corner, p.button_hover);
        }
        if response.has_focus() {
            ui.painter().rect_stroke(part.shrink(3.0), corner, Stroke::new(1.0, p.chalk), StrokeKind::Inside);
        }
        let at = part.center() - galley.size() / 2.0;
        ui.painter().galley(at, galley, if on { p.chalk } else { p.ink });
        if response.clicked() && !on {
            clicked = Some(*value);
        }
        response.on_hover_text(name);
    }
    clicked
}

/// An on-off switch with its name; returns the new state when it was thrown.
pub fn switch(ui: &mut Ui, on: bool, name: &str) -> Option<bool> {
    let p = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(38.0, theme::TARGET), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, ui.is_enabled(), on, name));
    let track = egui::Rect::from_center_size(rect.center(), vec2(36.0, 20.0));
    let (fill, line) = if on { (p.chalk, p.chalk) } else { (p.button, p.ink_soft) };
    ui.painter().rect(track, CornerRadius::same(10), fill, Stroke::new(1.0, line), StrokeKind::Inside);
    let x = if on { track.right() - 10.0 } else { track.left() + 10.0 };
    ui.painter().circle_filled(egui::pos2(x, track.center().y), 7.0, if on { p.on_chalk } else { p.ink_soft });
    if response.has_focus() || response.hovered() {
        ui.painter().rect_stroke(track.expand(2.5), CornerRadius::same(12), Stroke::new(1.0, p.chalk), StrokeKind::Inside);
    }
    let clicked = response.clicked();
    response.on_hover_text(name);
    clicked.then_some(!on)
}

/// A column of a panel that scrolls, also after the keyboard.
pub fn column(ui: &mut Ui, id: &str, content: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().id_salt(id).auto_shrink([false, false]).show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        content(ui);
        let focused = ui.memory(|m| m.focused()).and_then(|id| ui.ctx().read_response(id));
        if let Some(response) = focused.filter(Response::gained_focus)
            && response.layer_id == ui.layer_id()
            && ui.min_rect().contains_rect(response.rect)
        {
            ui.scroll_to_rect(response.rect, None);
        }
    });
}

/// A heading within a panel.
pub fn heading(ui: &mut Ui, text: &str) -> Response {
    let p = Palette::of(ui);
    ui.label(RichText::new(text).font(theme::heading()).color(p.ink))
}

/// The name of a field, in a column of its own at the left; what it returns can label the field.
pub fn field_name(ui: &mut Ui, text: &str, width: f32) -> Response {
    let p = Palette::of(ui);
    ui.allocate_ui_with_layout(vec2(width, theme::TARGET), Layout::left_to_right(Align::Center), |ui| {
        ui.set_min_width(width);
        ui.add(Label::new(RichText::new(text).color(p.ink_soft)).wrap())
    })
    .inner
}

/// Secondary text.
pub fn soft(ui: &mut Ui, text: impl Into<String>) -> Response {
    let p = Palette::of(ui);
    ui.label(RichText::new(text).font(theme::small()).color(p.ink_soft))
}

/// A line of basting: long stitches with short gaps.
pub fn basting(ui: &mut Ui) {
    let p = Palette::of(ui);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 9.0), Sense::hover());
    stitches(ui.painter(), rect.left_center(), rect.right_center(), Stroke::new(1.4, p.kraft_line));
}

/// Stitches from one point to another.
pub fn stitches(painter: &egui::Painter, from: egui::Pos2, to: egui::Pos2, stroke: Stroke) {
    painter.extend(egui::Shape::dashed_line(&[from, to], stroke, 9.0, 5.0));
}

/// A box that stands out from the panel.
pub fn raised(ui: &Ui) -> Frame {
    let p = Palette::of(ui);
    Frame::new()
        .fill(p.raised)
        .stroke(Stroke::new(1.0, p.hairline))
        .corner_radius(CornerRadius::same(theme::ROUND))
        .inner_margin(Margin::same(12))
}

/// Two columns: a name at the left and what belongs to it at the right edge.
pub fn fact(ui: &mut Ui, name: &str, value: &str) {
    let p = Palette::of(ui);
    ui.scope(|ui| {
        ui.spacing_mut().interact_size.y = 20.0;
        ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
            ui.add(Label::new(RichText::new(value).color(p.ink)).extend());
            ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
                ui.add(Label::new(RichText::new(name).color(p.ink_soft)).wrap());
            });
        });
    });
}

/// Text painted in a given place, not laid out.
pub fn paint_text(ui: &Ui, at: egui::Pos2, anchor: Align2, text: &str, font: egui::FontId, color: Color32) -> egui::Rect {
    ui.painter().text(at, anchor, text, font, color)
}

/// An id that stays the same wherever its view stands.
pub fn steady(parts: impl std::hash::Hash + std::fmt::Debug) -> Id {
    Id::unique(("basteline", parts))
}
