//! The particulars of a work: its form, what it changed, and the pale line of the pieces before it.

use draft_core::{Draft, Grade, Message, Unit, Work, compare};
use egui::{ComboBox, Label, RichText, Ui};

use super::sheet::Sheet;
use crate::edit::Command;
use crate::window::blocks::{fault, sentence_case};
use crate::window::theme::{self, Palette};
use crate::window::{Chosen, Desk, Request, Seen, ticket, widget};

/// Shows a work of the list.
pub fn show(ui: &mut Ui, desk: &mut Desk, i: usize, pale: &mut Option<usize>, requests: &mut Vec<Request>) {
    let (seen, pen) = desk.seen_and_pen();
    let (Some(entry), Some(outcome)) = (seen.garment.works.get(i), seen.built.outcomes.get(i)) else { return };
    ticket::head(ui, &sentence_case(&outcome.what), "Back to the whole garment", Chosen::Nothing, requests);
    ui.scope(|ui| {
        if outcome.off {
            widget::soft(ui, "Switched off: it stays in the list and does nothing.");
        }
        if let Some(error) = &outcome.skipped {
            fault(ui, &format!("{}: {}", error.place, error.problem), &error.remedy);
        }
    });
    match &entry.work {
        Work::Draft { block, .. } => {
            widget::soft(ui, "Its ease and its style stand at Blocks.");
            if ui.button(format!("Open the settings of the {}", block.name())).clicked() {
                requests.push(Request::OpenBlock(i));
            }
        }
        Work::Alter(alteration) => {
            let nothing = Draft::default();
            let draft = seen.built.before(i).unwrap_or(&nothing);
            let mut changed = Box::clone(alteration);
            let id = widget::steady(("work", i));
            let done = ui.scope(|ui| Sheet::show(ui, pen, (draft, seen.unit), (id, false), &mut changed)).inner;
            if done.changed {
                requests.push(Request::Edit(Command::ChangeWork(i, Box::new(Work::Alter(changed)))));
            } else if done.typing {
                let command = Command::ChangeWork(i, Box::new(Work::Alter(changed)));
                requests.push(Request::Typing { command, preview: true });
            }
        }
        Work::TakeOver(_) => {
            widget::soft(ui, "Pieces drawn elsewhere, as they were read.");
        }
        Work::Fit(fitting) => {
            if !fitting.notes.is_empty() {
                widget::soft(ui, &fitting.notes);
            }
            let nothing = Draft::default();
            let draft = seen.built.before(i).unwrap_or(&nothing);
            for (n, change) in fitting.changes.iter().enumerate() {
                ui.add_space(6.0);
                widget::heading(ui, &sentence_case(&change.what()));
                let mut changed = change.clone();
                let done = Sheet::show(ui, pen, (draft, seen.unit), (widget::steady(("work", i, n)), false), &mut changed);
                if done.changed || done.typing {
                    let mut fitting = fitting.clone();
                    fitting.changes[n] = changed;
                    let command = Command::ChangeWork(i, Box::new(Work::Fit(fitting)));
                    requests.push(if done.changed { Request::Edit(command) } else { Request::Typing { command, preview: true } });
                }
            }
        }
    }
    ui.add_space(8.0);
    changes(ui, &seen, i, requests);
    pale_line(ui, &seen, i, pale);
}

/// What a work changed: pieces that are new or gone, edges of another length, and seams that no longer agree.
pub fn changes(ui: &mut Ui, seen: &Seen<'_>, i: usize, requests: &mut Vec<Request>) {
    let Some(after) = seen.built.after.get(i) else { return };
    let nothing = Draft::default();
    let before = seen.built.before(i).unwrap_or(&nothing);
    let (new, gone) = (compare::missing(after, before), compare::missing(before, after));
    let lengths = compare::lengths(before, after);
    if !(new.is_empty() && gone.is_empty() && lengths.is_empty()) {
        ui.add_space(6.0);
        widget::heading(ui, "What it changes");
    }
    for (word, names) in [("New", &new), ("Gone", &gone)] {
        for name in names {
            widget::fact(ui, name.as_str(), word);
        }
    }
    // A block drafted again changes every edge, which tells nothing.
    let few = lengths.len() <= 40;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for change in lengths.iter().filter(|_| few) {
            length_change(ui, change, seen.unit);
        }
    });
    let touched = |m: &&Message| {
        m.grade == Grade::Error
            && seen.built.seam_of(m).is_some_and(|seam| {
                let seam = &seen.built.draft.seams[seam];
                seam.a.iter().chain(&seam.b).any(|run| lengths.iter().any(|c| c.piece == run.piece && c.edge == run.edge))
            })
    };
    let seams: Vec<&Message> = seen.built.messages.iter().filter(touched).collect();
    if !seams.is_empty() {
        ui.add_space(8.0);
        widget::heading(ui, "Seams that no longer agree");
        ticket::messages(ui, seen, seams.into_iter(), requests);
    }
}

/// An edge, what it measured and what it measures now.
fn length_change(ui: &mut Ui, change: &compare::LengthChange, unit: Unit) {
    let p = Palette::of(ui);
    let text = |mm: Option<f64>, none: &str| mm.map_or_else(|| none.to_owned(), |mm| unit.text(mm));
    let (was, is) = (text(change.before_mm, "new"), text(change.after_mm, "gone"));
    let by = change
        .before_mm
        .zip(change.after_mm)
        .map_or_else(String::new, |(a, b)| format!("   {}{}", if b > a { "+" } else { "−" }, unit.text((b - a).abs())));
    ui.add(Label::new(RichText::new(format!("{} / {}", change.piece, change.edge)).color(p.ink_soft)).wrap());
    ui.label(RichText::new(format!("{was} → {is}{by}")).font(theme::strong_body()).color(p.ink));
    ui.add_space(3.0);
}

/// Which pieces the pale line shows.
fn pale_line(ui: &mut Ui, seen: &Seen<'_>, i: usize, pale: &mut Option<usize>) {
    ui.add_space(8.0);
    widget::heading(ui, "Pale line");
    let word = |work: usize| match seen.built.outcomes.get(work) {
        _ if work == i => "before this work".to_owned(),
        Some(outcome) => format!("before {}. {}", work + 1, outcome.what),
        None => String::new(),
    };
    let now = pale.unwrap_or(i);
    let shown = ComboBox::from_id_salt("pale line").selected_text(word(now)).width(ui.available_width()).truncate().show_ui(ui, |ui| {
        for work in 1..seen.garment.works.len() {
            if ui.selectable_label(work == now, word(work)).clicked() {
                *pale = (work != i).then_some(work);
            }
        }
    });
    shown.response.accessible_name("The pale line shows the pieces");
    widget::soft(ui, "The pieces as they were, under the ink. Point at an edge to read how far it has moved.");
}
