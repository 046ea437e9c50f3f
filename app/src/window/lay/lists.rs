//! What to buy, the cut list and the notions, as tables.

use draft_core::{cut_list, notions, shopping};
use egui::{Frame, Label, Margin, RichText, ScrollArea, Ui};

use super::bench::Bench;
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::{Request, Seen, widget};

/// A table: heads, and rows of cells. Each row is read as one by a screen reader.
fn table(ui: &mut Ui, id: &str, heads: &[&str], rows: &[Vec<String>]) {
    let p = Palette::of(ui);
    egui::Grid::new(id).striped(true).spacing(egui::vec2(18.0, 7.0)).show(ui, |ui| {
        for head in heads {
            ui.label(RichText::new(*head).font(theme::small()).color(p.ink_soft));
        }
        ui.end_row();
        for row in rows {
            for (i, cell) in row.iter().enumerate() {
                let text = RichText::new(cell).color(p.ink);
                let text = if i == 0 { text.font(theme::strong_body()) } else { text };
                let width = if cell.chars().count() > 34 { 240.0 } else { f32::INFINITY };
                if width.is_finite() {
                    ui.allocate_ui(egui::vec2(width, 18.0), |ui| ui.add(Label::new(text).wrap()));
                } else {
                    ui.add(Label::new(text).extend());
                }
            }
            ui.end_row();
        }
    });
}

fn page(ui: &mut Ui, id: &str, show: impl FnOnce(&mut Ui)) {
    Frame::new().inner_margin(Margin::symmetric(16, 12)).show(ui, |ui| {
        ScrollArea::both().id_salt(id).auto_shrink([false, false]).show(ui, show);
    });
}

/// What to buy.
pub fn shopping_list(ui: &mut Ui, seen: &Seen<'_>, bench: &Bench, requests: &mut Vec<Request>) {
    page(ui, "what to buy", |ui| {
        widget::heading(ui, "What to buy");
        let lines = bench.shopping();
        let rows: Vec<Vec<String>> = lines
            .iter()
            .map(|l| {
                let rough = |mm: f64| seen.unit.rough(mm);
                let needed = if l.purchase.repeat_mm > 0.0 {
                    format!("{}, with {} for the repeat", rough(l.purchase.needed_mm), rough(l.purchase.repeat_mm))
                } else {
                    rough(l.purchase.needed_mm)
                };
                vec![
                    l.cloth.name.clone(),
                    l.cloth.kind.word().into(),
                    rough(l.cloth.width.mm()),
                    rough(l.purchase.laid_mm),
                    needed,
                    format!("{} %", l.cloth.spare),
                    l.buy_text(),
                    or_dash(l.cost_text()),
                    or_dash(l.weight_text()),
                    l.basis.text(),
                ]
            })
            .collect();
        let heads = ["Cloth", "It is the", "Width", "Lay", "Needed", "Spare", "Buy", "Cost", "Weight", "Rests on"];
        table(ui, "shopping", &heads, &rows);
        if bench.is_estimating() {
            widget::soft(ui, "Estimating the cloths that have not been laid…");
        }
        let missing: Vec<&str> = bench.on.iter().filter(|on| !on.is_used()).map(|on| on.lay_out.cloth.name.as_str()).collect();
        if !missing.is_empty() {
            widget::soft(ui, format!("Nothing is cut from: {}.", missing.join(", ")));
        }
        let costs = shopping::costs(&lines);
        if !costs.is_empty() {
            let unknown = shopping::without_price(&lines);
            let without =
                if unknown.is_empty() { String::new() } else { format!(", without {} whose price is not known", unknown.join(", ")) };
            ui.label(RichText::new(format!("In all {}{without}", costs.join(" and "))).font(theme::strong_body()));
        }
        ui.add_space(8.0);
        widget::soft(
            ui,
            "Needed counts what the cloth shrinks when it is washed, its take-up, and one repeat for each main piece (an allowance, common practice). Buy adds the spare and is rounded up to the shop's step.",
        );
        save(ui, requests);
    });
}

fn or_dash(text: String) -> String {
    if text.is_empty() { "–".into() } else { text }
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
        let rows: Vec<Vec<String>> = lines
            .iter()
            .map(|l| {
                vec![
                    l.piece.clone(),
                    l.cloth.clone(),
                    l.count.to_string(),
                    l.how(),
                    l.finish.into(),
                    format!("{:.0} cm²", l.area_mm2 / 100.0),
                    l.darts.to_string(),
                    l.notches.to_string(),
                    l.marks.to_string(),
                ]
            })
            .collect();
        table(ui, "cut", &["Piece", "Cloth", "Cut", "How", "Edges", "Area", "Darts", "Notches", "Marks"], &rows);
        save(ui, requests);
    });
}

/// The notions.
pub fn notions(ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
    page(ui, "notions", |ui| {
        widget::heading(ui, "Notions");
        let list = notions::notions(seen.garment, seen.built);
        let rows: Vec<Vec<String>> =
            list.iter().map(|n| vec![n.what.clone(), n.amount.text(seen.unit), n.place.clone(), n.note.clone()]).collect();
        table(ui, "notions", &["What", "How much", "Where", "To know"], &rows);
        save(ui, requests);
    });
}
