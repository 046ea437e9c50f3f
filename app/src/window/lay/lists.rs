//! What to buy, the cut list and the notions, as tables.

use draft_core::table::Table;
use draft_core::{cut_list, notions, shopping};
use egui::{Frame, Margin, RichText, ScrollArea, Ui};

use super::bench::Bench;
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::{Request, Seen, widget};

/// Room between columns, and above and below a row, screen points.
const GUTTER: f32 = 12.0;
const ROOM: f32 = 6.0;

/// A table over the whole width; cells too long for their column are broken. Each row is read as one by a screen reader.
fn show(ui: &mut Ui, table: &Table) {
    let Table { columns, rows } = table;
    let p = Palette::of(ui);
    let sum: f64 = columns.iter().map(|c| c.share).sum();
    let width = ui.available_width();
    let line = |ui: &mut Ui, cells: &[&str], head: bool, shaded: bool| {
        let mut x = ROOM;
        let placed: Vec<_> = cells
            .iter()
            .zip(columns)
            .enumerate()
            .map(|(i, (text, column))| {
                let own = (width - 2.0 * ROOM) * (column.share / sum) as f32;
                let font = match (head, i) {
                    (true, _) => theme::small(),
                    (false, 0) => theme::strong_body(),
                    (false, _) => egui::TextStyle::Body.resolve(ui.style()),
                };
                let ink = if head { p.ink_soft } else { p.ink };
                let galley = ui.painter().layout((*text).to_owned(), font, ink, (own - GUTTER).max(30.0));
                // Numbers end one below the other.
                let at = if column.is_number { x + (own - GUTTER - galley.size().x).max(0.0) } else { x };
                x += own;
                (at, galley)
            })
            .collect();
        let height = placed.iter().map(|(_, g)| g.size().y).fold(18.0, f32::max) + 2.0 * ROOM;
        let (rect, response) = ui.allocate_exact_size(egui::vec2(width, height), egui::Sense::hover());
        let said = cells.iter().zip(columns).enumerate().filter(|(_, (cell, _))| !cell.is_empty());
        let said: Vec<String> =
            said.map(|(i, (cell, column))| if i == 0 { (*cell).to_owned() } else { format!("{} {cell}", column.head) }).collect();
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, said.join(", ")));
        if ui.is_rect_visible(rect) {
            if shaded {
                ui.painter().rect_filled(rect, 3.0, p.raised);
            }
            for (x, galley) in placed {
                ui.painter().galley(rect.min + egui::vec2(x, ROOM), galley, p.ink);
            }
        }
    };
    ui.spacing_mut().item_spacing.y = 0.0;
    let heads: Vec<&str> = columns.iter().map(|c| c.head).collect();
    line(ui, &heads, true, false);
    for (n, row) in rows.iter().enumerate() {
        let cells: Vec<&str> = row.iter().map(String::as_str).collect();
        line(ui, &cells, false, n % 2 == 0);
    }
    ui.add_space(6.0);
    ui.spacing_mut().item_spacing.y = 6.0;
}

fn page(ui: &mut Ui, id: &str, show: impl FnOnce(&mut Ui)) {
    Frame::new().inner_margin(Margin::symmetric(16, 12)).show(ui, |ui| {
        ScrollArea::vertical().id_salt(id).auto_shrink([false, false]).show(ui, |ui| {
            ui.set_width((ui.available_width() - 10.0).min(WIDEST));
            show(ui);
        });
    });
}

/// A table wider than this is hard to follow across, screen points.
const WIDEST: f32 = 1180.0;

/// What to buy.
pub fn shopping_list(ui: &mut Ui, seen: &Seen<'_>, bench: &Bench, requests: &mut Vec<Request>) {
    page(ui, "what to buy", |ui| {
        widget::heading(ui, "What to buy");
        let lines = bench.shopping();
        show(ui, &shopping::table(&lines, seen.unit));
        if bench.is_estimating() {
            widget::soft(ui, "Estimating the cloths that have not been laid…");
        }
        let missing: Vec<&str> = bench.on.iter().filter(|on| !on.is_used()).map(|on| on.lay_out.cloth.name.as_str()).collect();
        if !missing.is_empty() {
            widget::soft(ui, format!("Nothing is cut from: {}.", missing.join(", ")));
        }
        if let Some(total) = shopping::total(&lines) {
            ui.label(RichText::new(total).font(theme::strong_body()));
        }
        ui.add_space(8.0);
        widget::soft(
            ui,
            "Needed counts what the cloth shrinks when it is washed, its take-up, and one repeat for each main piece (an allowance, common practice). Buy adds the spare and is rounded up to the shop's step.",
        );
        save(ui, requests);
    });
}

fn save(ui: &mut Ui, requests: &mut Vec<Request>) {
    ui.add_space(10.0);
    ui.horizontal(|ui| {
        let lists = widget::button(ui, Icon::Save, "Save the lists…");
        if lists.on_hover_text("What to buy, cut list and notions as CSV, and the lays as SVG, into a folder").clicked() {
            requests.push(Request::SaveLists);
        }
        let sheet = widget::button(ui, Icon::Pages, "Work sheet…");
        if sheet.on_hover_text("Everything for the workroom on a few pages, as a PDF").clicked() {
            requests.push(Request::WorkSheet);
        }
    });
}

/// The cut list.
pub fn cut_list(ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
    page(ui, "cut list", |ui| {
        widget::heading(ui, "Cut list");
        let (lines, _) = cut_list::cut_list(seen.garment, seen.built);
        show(ui, &cut_list::table(&lines, seen.unit));
        save(ui, requests);
    });
}

/// The notions.
pub fn notions(ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
    page(ui, "notions", |ui| {
        widget::heading(ui, "Notions");
        let list = notions::notions(seen.garment, seen.built, seen.unit);
        show(ui, &notions::table(&list, seen.unit));
        save(ui, requests);
    });
}
