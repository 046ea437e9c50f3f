//! What goes on the pages, and on which paper.

use draft_core::print_settings::Paper;
use draft_core::{Length, PrintSettings, Unit, parse_length};
use egui::{ComboBox, Ui};

use crate::edit::Command;
use crate::window::pen::Pen;
use crate::window::theme;
use crate::window::{Request, Seen, blocks, widget};

/// Width of the column of names.
const NAMES: f32 = 112.0;

/// A paper as it is offered.
pub fn paper_name(paper: Paper) -> String {
    match paper {
        Paper::Letter => "Letter".into(),
        Paper::Legal => "Legal".into(),
        Paper::Tabloid => "Tabloid".into(),
        Paper::Other { width, height } => format!("{} × {}", Unit::Mm.rough(width.mm()), Unit::Mm.rough(height.mm())),
        named => named.key().to_uppercase(),
    }
}

/// Shows all settings.
pub fn show(ui: &mut Ui, seen: &Seen<'_>, pen: &mut Pen, requests: &mut Vec<Request>) {
    let print = &seen.garment.print;
    let mut set = |next: PrintSettings| requests.push(Request::Edit(Command::SetPrint(next)));
    widget::heading(ui, "Paper");
    ui.horizontal(|ui| {
        let label = widget::field_name(ui, "Paper", NAMES);
        let shown = ComboBox::from_id_salt("paper").selected_text(paper_name(print.paper)).width(130.0).show_ui(ui, |ui| {
            for paper in Paper::NAMED {
                let (w, h) = paper.size();
                let text = format!("{}   {} × {}", paper_name(paper), seen.unit.rough(w.mm()), seen.unit.rough(h.mm()));
                if ui.selectable_label(print.paper == paper, text).clicked() && print.paper != paper {
                    set(PrintSettings { paper, ..print.clone() });
                }
            }
        });
        shown.response.labelled_by(label.id);
    });
    ui.horizontal(|ui| {
        widget::field_name(ui, "Lying", NAMES);
        let all = [(false, "upright", "Upright pages".to_owned()), (true, "on its side", "Pages on their long side".to_owned())];
        if let Some(landscape) = widget::choices(ui, "landscape", print.landscape, &all) {
            set(PrintSettings { landscape, ..print.clone() });
        }
    });
    let unit = seen.unit;
    length(ui, pen, "Margin", "What the printer can't print, on every side.", print.margin, unit, requests, |margin| PrintSettings {
        margin,
        ..print.clone()
    });
    let about = "By how much neighbouring pages show the same strip; 10 to 15 mm glue well.";
    length(ui, pen, "Overlap", about, print.overlap, unit, requests, |overlap| PrintSettings { overlap, ..print.clone() });

    ui.add_space(theme::APART - 4.0);
    widget::heading(ui, "Lines");
    for (name, on, with) in [
        ("Cut lines", print.cut_lines, PrintSettings { cut_lines: !print.cut_lines, ..print.clone() }),
        ("Seam lines", print.seam_lines, PrintSettings { seam_lines: !print.seam_lines, ..print.clone() }),
    ] {
        ui.horizontal(|ui| {
            widget::field_name(ui, name, NAMES);
            if widget::switch(ui, on, name).is_some() {
                requests.push(Request::Edit(Command::SetPrint(with)));
            }
        });
    }

    ui.add_space(theme::APART - 4.0);
    calibration(ui, print, pen, requests);
}

/// A length as a row of its own.
fn length(
    ui: &mut Ui,
    pen: &mut Pen,
    name: &'static str,
    about: &str,
    now: Length,
    unit: Unit,
    requests: &mut Vec<Request>,
    with: impl Fn(Length) -> PrintSettings,
) {
    let id = widget::steady(("print", name));
    ui.horizontal(|ui| {
        let label = widget::field_name(ui, name, NAMES);
        let line = pen.line(ui, id, &now.text(unit), |edit| edit.desired_width(100.0));
        line.response.labelled_by(label.id).on_hover_text(about);
        if let Some(Ok(mm)) = line.typing.as_deref().map(|typed| parse_length(typed, unit)) {
            requests.push(Request::Typing { command: Command::SetPrint(with(Length::from_mm(mm))), preview: false });
        }
        if let Some(typed) = line.done {
            match parse_length(&typed, unit) {
                Ok(mm) => {
                    pen.accept(id);
                    requests.push(Request::Edit(Command::SetPrint(with(Length::from_mm(mm)))));
                }
                Err(_) => pen.refuse(id, typed),
            }
        }
    });
    refusal(ui, pen, id, unit);
}

fn refusal(ui: &mut Ui, pen: &Pen, id: egui::Id, unit: Unit) {
    if let Some(typed) = pen.refused(id)
        && let Err(error) = parse_length(typed, unit)
    {
        blocks::fault(ui, &format!("{typed:?} {error}"), error.remedy());
    }
}

/// What the test square measured.
fn calibration(ui: &mut Ui, print: &PrintSettings, pen: &mut Pen, requests: &mut Vec<Request>) {
    widget::heading(ui, "Test square");
    let text = "If the square of 100 mm on a printed page is not 100 mm, type what it measures: the pages are then printed that much larger or smaller.";
    widget::soft(ui, text);
    let nominal = Length::from_mm(100.0);
    let (across, down) = print.measured.unwrap_or((nominal, nominal));
    let with = |across: Length, down: Length| {
        let exact = across == nominal && down == nominal;
        PrintSettings { measured: (!exact).then_some((across, down)), ..print.clone() }
    };
    length(ui, pen, "It measures across", "Left to right on the paper.", across, Unit::Mm, requests, |l| with(l, down));
    length(ui, pen, "and down", "Top to bottom on the paper.", down, Unit::Mm, requests, |l| with(across, l));
    if print.measured.is_some() && ui.button("Go back to 100 mm").clicked() {
        requests.push(Request::Edit(Command::SetPrint(PrintSettings { measured: None, ..print.clone() })));
    }
}
