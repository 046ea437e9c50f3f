//! The readings of one measurement side by side, their difference, and which of them counts.

use draft_core::{Kind, Measurement, Take};
use egui::{Align, Layout, RichText, Ui};

use super::field::{field_id, value_text};
use crate::edit::Command;
use crate::window::pen::Pen;
use crate::window::theme;
use crate::window::{Request, Seen, widget};

/// Shows the readings, two beside each other, and an empty one to be written.
pub fn show(ui: &mut Ui, seen: &Seen<'_>, pen: &mut Pen, which: Measurement, requests: &mut Vec<Request>) {
    let card = &seen.garment.wearer;
    let takes = card.takes.get(&which).map_or(&[][..], Vec::as_slice);
    if takes.is_empty() {
        widget::soft(ui, "Not measured yet. Type it in its field at the left.");
        return;
    }
    // An odd one has the empty place beside it; else that comes below.
    let places: Vec<usize> = (0..=takes.len()).collect();
    for pair in places.chunks(2) {
        ui.columns(2, |columns| {
            for (ui, &nth) in columns.iter_mut().zip(pair) {
                widget::raised(ui).inner_margin(8).show(ui, |ui| {
                    ui.set_width(ui.available_width());
                    // Columns spread their words; these are too narrow for that.
                    ui.with_layout(Layout::top_down(Align::LEFT), |ui| match takes.get(nth) {
                        Some(take) => reading(ui, seen, pen, which, nth, take, requests),
                        None => next_reading(ui, pen, which, nth, requests),
                    });
                });
            }
        });
    }
    difference(ui, seen, which, takes);
    if which.has_sides() {
        right_side(ui, seen, pen, which, requests);
    }
}

/// What the right side measures, where it differs.
fn right_side(ui: &mut Ui, seen: &Seen<'_>, pen: &mut Pen, which: Measurement, requests: &mut Vec<Request>) {
    let card = &seen.garment.wearer;
    let take = card.right.get(&which);
    ui.horizontal(|ui| {
        let label = widget::field_name(ui, "Right side, if it differs", 150.0);
        let typed = take.map_or("", |t| t.typed.as_str());
        let line = pen.line(ui, widget::steady(("right side", which.key())), typed, |edit| edit.desired_width(90.0));
        line.response
            .labelled_by(label.id)
            .on_hover_text("The reading that counts is then the left side's, and the halves are drafted apart.");
        if let Some(typed) = line.done {
            requests.push(Request::Edit(Command::TypeRight { which, typed }));
        }
    });
    if let Some(take) = take {
        let read = card.read(which, take).map_or_else(|e| e.problem, |v| format!("read as {}", value_text(which, v, seen.unit)));
        widget::soft(ui, read);
    }
}

fn ordinal(nth: usize) -> String {
    match nth {
        0 => "First reading".into(),
        1 => "Second reading".into(),
        2 => "Third reading".into(),
        n => format!("Reading {}", n + 1),
    }
}

fn reading(ui: &mut Ui, seen: &Seen<'_>, pen: &mut Pen, which: Measurement, nth: usize, take: &Take, requests: &mut Vec<Request>) {
    let card = &seen.garment.wearer;
    let counts = card.counting(which) == Some(nth);
    let label = widget::soft(ui, ordinal(nth));
    if counts {
        // The reading that counts has its field on the card; a second field for it would fight the first.
        ui.add_sized([ui.available_width(), theme::TARGET], egui::Label::new(RichText::new(&take.typed).font(theme::strong_body())));
    } else {
        let line = pen.line(ui, field_id(which, nth), &take.typed, |edit| edit.desired_width(f32::INFINITY));
        line.response.labelled_by(label.id);
        if let Some(typed) = line.done {
            requests.push(Request::Edit(Command::TypeTake { which, nth, typed }));
        }
    }
    let read = match card.read(which, take) {
        Ok(v) => {
            let unit = if which.kind() == Kind::Angle { "degrees".to_owned() } else { take.unit.unwrap_or(card.unit).to_string() };
            format!("read as {}, typed in {unit}", value_text(which, v, seen.unit))
        }
        Err(e) => e.problem,
    };
    widget::soft(ui, read);
    if !take.on.is_empty() {
        widget::soft(ui, format!("taken {}", take.on));
    }
    if card.takes.get(&which).is_some_and(|t| t.len() > 1) {
        let radio = ui.radio(counts, "counts").on_hover_text("The blocks are drafted from the reading that counts.");
        if radio.accessible_name(format!("Reading {} counts", nth + 1)).clicked() && !counts {
            requests.push(Request::Edit(Command::ChooseTake { which, nth }));
        }
    }
    let id = widget::steady(("note of take", which.key(), nth));
    let line = pen.line(ui, id, &take.note, |edit| edit.desired_width(f32::INFINITY).hint_text("Note"));
    line.response.accessible_name(format!("Note on reading {}", nth + 1)).on_hover_text("How the tape lay");
    if let Some(note) = line.typing {
        requests.push(Request::Typing { command: Command::NoteTake { which, nth, note }, preview: true });
    }
    if let Some(note) = line.done {
        requests.push(Request::Edit(Command::NoteTake { which, nth, note }));
    }
    let out = ui.add(egui::Button::new("Take out").small());
    if out.accessible_name(format!("Take out reading {}", nth + 1)).clicked() {
        requests.push(Request::Edit(Command::TypeTake { which, nth, typed: String::new() }));
    }
}

/// An empty field: what is typed there becomes another reading.
fn next_reading(ui: &mut Ui, pen: &mut Pen, which: Measurement, nth: usize, requests: &mut Vec<Request>) {
    let label = widget::soft(ui, ordinal(nth));
    let line = pen.line(ui, field_id(which, nth), "", |edit| edit.desired_width(f32::INFINITY));
    line.response.labelled_by(label.id);
    widget::soft(ui, "Let go of the tape, lay it again, and type what it says now.");
    if let Some(typed) = line.done {
        requests.push(Request::Edit(Command::TypeTake { which, nth, typed }));
    }
}

fn difference(ui: &mut Ui, seen: &Seen<'_>, which: Measurement, takes: &[Take]) {
    let card = &seen.garment.wearer;
    let read: Vec<f64> = takes.iter().filter_map(|t| card.read(which, t).ok()).collect();
    if read.len() < 2 {
        return;
    }
    let (low, high) = read.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(*v), high.max(*v)));
    let name = if read.len() == 2 { "Difference" } else { "From least to most" };
    widget::fact(ui, name, &value_text(which, high - low, seen.unit));
    let counts = card.take(which).and_then(|t| card.read(which, t).ok()).map_or_else(String::new, |v| value_text(which, v, seen.unit));
    widget::soft(ui, format!("{counts} counts. Nothing is averaged."));
}
