//! The first page: the doors.

use egui::{Align, Align2, CornerRadius, Layout, RichText, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::icon::Icon;
use super::theme::{self, Palette};
use super::{BookRequest, Request, widget};

const DOOR: egui::Vec2 = vec2(250.0, 250.0);

/// Shows the page.
pub fn show(ui: &mut Ui, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let room = ui.available_size();
    let doors = [
        (Icon::Tape, "Measure someone", "Begin with an empty wearer card and write down what the tape says.", Request::MeasureSomeone),
        (
            Icon::Sheet,
            "Start from the block book",
            "A garment from blocks that you have drafted and fitted before, for the same wearer or another.",
            Request::Book(BookRequest::Start),
        ),
        (Icon::Open, "Open a garment", "Go on with a garment or a wearer card that you have saved as a file.", Request::Open),
        (Icon::Gown, "Try the demo", "A gown for the Weathervane, from the children's opera The Salt Orchard.", Request::Demo),
    ];
    let gap = 24.0;
    let count = doors.len() as f32;
    let width = DOOR.x * count + gap * (count - 1.0);
    let narrow = room.x < width + 40.0;
    ui.vertical_centered(|ui| {
        ui.add_space(((room.y - 470.0) / 2.6).max(12.0));
        ui.label(RichText::new("Basteline").font(egui::FontId::new(40.0, theme::strong())).color(p.ink));
        ui.add_space(2.0);
        ui.label(RichText::new("From the tape to pages that you cut out: patterns for one wearer at a time.").size(17.0).color(p.ink_soft));
        ui.add_space(12.0);
        let (line, _) = ui.allocate_exact_size(vec2(width.min(room.x - 40.0), 12.0), Sense::hover());
        widget::stitches(ui.painter(), line.left_center(), line.right_center(), Stroke::new(1.8, p.kraft_line));
        ui.add_space(20.0);
        let scale = if narrow { ((room.x - 40.0 - gap * (count - 1.0)) / (DOOR.x * count)).clamp(0.5, 1.0) } else { 1.0 };
        let size = vec2(DOOR.x * scale, DOOR.y);
        let (row, _) = ui.allocate_exact_size(vec2(size.x * count + gap * (count - 1.0), size.y), Sense::hover());
        for (i, (icon, title, text, request)) in doors.into_iter().enumerate() {
            let at = egui::Rect::from_min_size(row.min + vec2((size.x + gap) * i as f32, 0.0), size);
            if door(ui, at, icon, title, text) {
                requests.push(request);
            }
        }
        ui.add_space(18.0);
        let cast = widget::button(ui, Icon::Open, "Draft for a whole cast…");
        if cast.on_hover_text("Open a table of wearers, and draft blocks for all of them in one go").clicked() {
            requests.push(Request::OpenCast);
        }
    });
}

fn door(ui: &mut Ui, at: egui::Rect, icon: Icon, title: &str, text: &str) -> bool {
    let p = Palette::of(ui);
    let response = ui.interact(at, widget::steady(("door", title)), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, title));
    let hot = response.hovered() || response.has_focus();
    let corner = CornerRadius::same(8);
    let line = if hot { Stroke::new(2.0, p.chalk) } else { Stroke::new(1.0, p.kraft_line) };
    ui.painter().rect(at, corner, p.raised, line, StrokeKind::Inside);
    // The hole of a paper tag, with its eyelet.
    let hole = pos2(at.center().x, at.top() + 22.0);
    ui.painter().circle(hole, 6.0, p.table, Stroke::new(1.5, p.kraft_line));
    ui.painter().circle_stroke(hole, 10.0, Stroke::new(1.0, p.hairline));
    let icon_at = egui::Rect::from_center_size(pos2(at.center().x, at.top() + 86.0), vec2(64.0, 64.0));
    icon.paint(ui.painter(), icon_at, 58.0, if hot { p.chalk } else { p.ink });
    let title_at = pos2(at.center().x, at.top() + 146.0);
    widget::paint_text(ui, title_at, Align2::CENTER_CENTER, title, egui::FontId::new(18.0, theme::strong()), p.ink);
    let below = egui::Rect::from_min_max(pos2(at.left() + 18.0, at.top() + 166.0), at.max - vec2(18.0, 10.0));
    let mut child = ui.new_child(egui::UiBuilder::new().max_rect(below).layout(Layout::top_down(Align::Center)));
    child.add(egui::Label::new(RichText::new(text).color(p.ink_soft)).wrap());
    response.clicked()
}
