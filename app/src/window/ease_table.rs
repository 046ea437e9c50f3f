//! The ease table: body, ease and finished girth of each level, what that is usual for, and what is too tight.

use draft_core::{Girth, Grade, Unit, usual};
use egui::{Align2, Color32, FontId, Role, Sense, TextStyle, Ui, WidgetInfo, pos2, vec2};

use super::theme::{self, Palette};
use super::{Seen, message, widget};

/// Where the columns end, in parts of the width; the first begins at the left.
const ENDS: [f32; 4] = [0.0, 0.51, 0.75, 1.0];

type Cell<'a> = (&'a str, FontId, Color32);

/// Shows the table.
pub fn show(ui: &mut Ui, seen: &Seen<'_>) {
    let p = Palette::of(ui);
    let head = |text| (text, theme::small(), p.ink_soft);
    row(ui, [head("Level"), head("Body"), head("Ease"), head("Finished")], 23.0, "Level, body, ease, finished");
    for girth in &seen.built.girths {
        level(ui, seen, girth);
    }
    widget::soft(ui, "Usual ease is common practice: cloth and taste differ. Point at a level to see where it comes from.");
}

fn row(ui: &mut Ui, cells: [Cell<'_>; 4], height: f32, words: &str) -> (egui::Rect, egui::Response) {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    let y = rect.top() + 11.5;
    for ((text, font, ink), end) in cells.into_iter().zip(ENDS) {
        let (x, anchor) = if end == 0.0 { (0.0, Align2::LEFT_CENTER) } else { (rect.width() * end, Align2::RIGHT_CENTER) };
        widget::paint_text(ui, pos2(rect.left() + x, y), anchor, text, font, ink);
    }
    (rect, response)
}

fn level(ui: &mut Ui, seen: &Seen<'_>, girth: &Girth) {
    let p = Palette::of(ui);
    let unit = seen.unit;
    let body = TextStyle::Body.resolve(ui.style());
    let off = girth.finished_mm - girth.body_mm - girth.ease_mm;
    let [own, ease, finished] = [girth.body_mm, girth.ease_mm, girth.finished_mm].map(|mm| unit.text(mm));
    let fit = usual::standing(girth).map(|s| s.text(unit));
    let tight = seen.built.messages.iter().find(|m| m.grade == Grade::Caution && m.place == girth.level);
    let mut words = format!("{}: body {own}, ease {ease}, finished {finished}", girth.level);
    for more in fit.iter().chain(tight.map(|m| &m.problem)) {
        words += &format!("; {more}");
    }
    let ink = if off.abs() > 0.1 { p.madder } else { p.ink };
    let cells = [
        (girth.level, body.clone(), p.ink),
        (own.as_str(), body.clone(), p.ink),
        (ease.as_str(), body.clone(), if tight.is_some() { p.ochre } else { p.ink }),
        (finished.as_str(), theme::strong_body(), ink),
    ];
    let (rect, response) = row(ui, cells, if fit.is_some() { 39.0 } else { 23.0 }, &words);
    let mut left = rect.left() + 8.0;
    let y = rect.top() + 28.0;
    if let Some(caution) = tight {
        let (icon, word, ink, _) = message::marks(caution.grade, p);
        icon.paint(ui.painter(), egui::Rect::from_center_size(pos2(left + 6.0, y), vec2(14.0, 14.0)), 14.0, ink);
        left = widget::paint_text(ui, pos2(left + 16.0, y), Align2::LEFT_CENTER, word, theme::small(), ink).right() + 6.0;
    }
    if let Some(fit) = &fit {
        widget::paint_text(ui, pos2(left, y), Align2::LEFT_CENTER, fit, theme::small(), p.ink_soft);
    }
    if let Some(all) = usual::of(girth.level) {
        response.on_hover_text(sources(girth.level, &all, unit));
    }
}

/// What is usual for each purpose, and by whom.
fn sources(level: &str, all: &[usual::Usual], unit: Unit) -> String {
    let lines = all.iter().map(|u| format!("{}: {} ({})", u.purpose.name(), u.text(unit), u.source.name()));
    format!("Usual ease, {level}\n{}", lines.collect::<Vec<_>>().join("\n"))
}
