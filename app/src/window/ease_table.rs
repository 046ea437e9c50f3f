//! The ease table: body, ease and finished girth of each level, what that is usual for, and what is too tight.

use draft_core::{Girth, Grade, Unit, usual};
use egui::{Align2, Color32, FontId, Role, Sense, TextStyle, Ui, WidgetInfo, pos2, vec2};

use super::theme::{self, Palette};
use super::{Seen, message, widget};

/// Where the columns of numbers end, in parts of the width.
const ENDS: [f32; 3] = [0.51, 0.75, 1.0];
/// Least room between columns, points.
const BETWEEN: f32 = 6.0;

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
    let [level, numbers @ ..] = cells;
    // Long numbers push those to their left aside; where all of them find no room, they are written small.
    let width = |(text, font, ink): &Cell<'_>| ui.painter().layout_no_wrap((*text).to_owned(), font.clone(), *ink).size().x;
    let needed: f32 = width(&level) + numbers.iter().map(|cell| width(cell) + BETWEEN).sum::<f32>();
    let is_crowded = needed > rect.width();
    let (text, font, ink) = level;
    widget::paint_text(ui, pos2(rect.left(), y), Align2::LEFT_CENTER, text, font, ink);
    let mut free = rect.right();
    for ((text, font, ink), end) in numbers.into_iter().zip(ENDS).rev() {
        let font = if is_crowded { FontId::new(theme::small().size, font.family) } else { font };
        let x = free.min(rect.left() + rect.width() * end);
        free = widget::paint_text(ui, pos2(x, y), Align2::RIGHT_CENTER, text, font, ink).left() - BETWEEN;
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
