//! The wearer card as the left panel, and the ticket of one measurement.

use draft_core::{Block, Kind, Measurement, Survey, Unit};
use egui::{RichText, ScrollArea, Ui};

use super::MeasureView;
use super::field::{Row, field_id, value_text};
use crate::edit::{CardLine, Command};
use crate::window::icon::Icon;
use crate::window::pen::Pen;
use crate::window::theme::{self, Palette};
use crate::window::{Desk, Request, Seen, message, widget};

/// The measurements in the order in which they are taken, by the parts of the body.
const GROUPS: &[(&str, &[Measurement])] = {
    use Measurement::*;
    &[
        ("Round the trunk", &[BustGirth, UpperChestGirth, UnderbustGirth, WaistGirth, TopHipGirth, HipGirth, NeckGirth, NeckBaseGirth]),
        (
            "Across the trunk",
            &[
                ShoulderLength,
                ShoulderSlope,
                BackShoulderWidth,
                AcrossBackShoulderWidth,
                AcrossBackWidth,
                AcrossChestWidth,
                BustPointDistance,
                FrontBustArc,
            ],
        ),
        ("Down the trunk", &[BackWaistLength, FrontWaistLength, FrontNeckToWaist, NeckToBustPoint, ScyeDepth, UnderarmToWaist, BodyRise]),
        (
            "Arm and hand",
            &[
                ArmscyeGirth,
                UpperArmGirth,
                ElbowGirth,
                WristGirth,
                HandGirth,
                MiddleFingerGirth,
                ArmLength,
                UpperArmLength,
                BackNeckToWrist,
                HandLength,
                MiddleFingerLength,
            ],
        ),
        (
            "Leg and height",
            &[Stature, WaistHeight, WaistToHip, WaistToKnee, OutsideLeg, FrontWaistToFloor, BackWaistToFloor, CrotchHeight, ThighGirth],
        ),
    ]
};

impl MeasureView {
    /// Shows the wearer card.
    pub fn card(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        ScrollArea::vertical().id_salt("card").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_width(ui.available_width() - 10.0);
            let (seen, pen) = desk.seen_and_pen();
            head(ui, &seen, pen, requests);
            let needed: Vec<Measurement> =
                seen.garment.works.iter().filter(|e| e.on).flat_map(|e| e.work.measurements()).copied().collect();
            let order: Vec<Measurement> = GROUPS.iter().flat_map(|(_, list)| list.iter().copied()).collect();
            for (title, list) in GROUPS {
                ui.add_space(theme::APART - 4.0);
                let taken = list.iter().filter(|m| seen.garment.wearer.take(**m).is_some()).count();
                ui.horizontal(|ui| {
                    widget::heading(ui, title);
                    widget::soft(ui, format!("{taken} of {} measured", list.len()));
                });
                for &which in *list {
                    let at = order.iter().position(|m| *m == which).unwrap_or(0);
                    let row = Row { which, next: order.get(at + 1).copied(), needed: needed.contains(&which) };
                    self.row(ui, row, &seen, pen, requests);
                }
            }
            ui.add_space(40.0);
        });
    }

    /// Shows the ticket of the measurement that is looked at.
    pub fn ticket(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        let which = self.looking_at;
        ScrollArea::vertical().id_salt("measurement").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_width(ui.available_width() - 10.0);
            let (seen, pen) = desk.seen_and_pen();
            let p = Palette::of(ui);
            ui.label(RichText::new(which.name()).font(egui::FontId::new(18.0, theme::strong())).color(p.ink));
            widget::basting(ui);
            ui.label(message::sentence(&format!("measure {}", which.where_the_tape_goes())));
            let used = drafted_from(&seen, which);
            if !used.is_empty() {
                widget::soft(ui, format!("Used by: {}.", used.join(", ")));
            }
            ui.add_space(8.0);
            widget::heading(ui, "Readings");
            takes(ui, &seen, pen, which, requests);
            let about: Vec<_> = seen.built.messages.iter().filter(|m| m.concerns.contains(&which)).collect();
            if !about.is_empty() {
                ui.add_space(10.0);
                widget::heading(ui, "Checks");
                for m in about {
                    message::show(ui, m, requests);
                }
            }
            ui.add_space(theme::APART);
        });
    }
}

/// Which works are drafted from a measurement.
fn drafted_from(seen: &Seen<'_>, which: Measurement) -> Vec<&'static str> {
    let names = seen.garment.works.iter().filter(|e| e.work.measurements().contains(&which));
    names.filter_map(|e| e.work.block()).map(Block::name).collect()
}

fn takes(ui: &mut Ui, seen: &Seen<'_>, pen: &mut Pen, which: Measurement, requests: &mut Vec<Request>) {
    let card = &seen.garment.wearer;
    let takes = card.takes.get(&which).map_or(&[][..], Vec::as_slice);
    if takes.is_empty() {
        widget::soft(ui, "Not measured yet. Type it in its field at the left.");
        return;
    }
    let last = takes.len() - 1;
    for (nth, take) in takes.iter().enumerate() {
        widget::raised(ui).show(ui, |ui| {
            ui.set_width(ui.available_width());
            let which_one = match (nth, nth == last, takes.len()) {
                (_, true, 1) => "Reading".to_owned(),
                (_, true, _) => "The reading that counts".to_owned(),
                (0, ..) => "First reading".to_owned(),
                (n, ..) => format!("Reading {}", n + 1),
            };
            ui.horizontal(|ui| {
                let label = widget::soft(ui, which_one);
                if nth != last {
                    // The reading that counts has its field on the card; a second field for it would fight the first.
                    let line = pen.line(ui, field_id(which, nth), &take.typed, |edit| edit.desired_width(90.0));
                    line.response.labelled_by(label.id);
                    if let Some(typed) = line.done {
                        requests.push(Request::Edit(Command::TypeTake { which, nth, typed }));
                    }
                } else {
                    ui.label(RichText::new(&take.typed).font(theme::strong_body()));
                }
            });
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
            let id = widget::steady(("note of take", which.key(), nth));
            let line = pen.line(ui, id, &take.note, |edit| edit.desired_width(f32::INFINITY).hint_text("Note: how the tape lay"));
            line.response.accessible_name(format!("Note on reading {}", nth + 1));
            if let Some(note) = line.typing {
                requests.push(Request::Typing { command: Command::NoteTake { which, nth, note }, preview: true });
            }
            if let Some(note) = line.done {
                requests.push(Request::Edit(Command::NoteTake { which, nth, note }));
            }
            if takes.len() > 1 && ui.button("Take this reading out").accessible_name(format!("Take out reading {}", nth + 1)).clicked() {
                requests.push(Request::Edit(Command::TypeTake { which, nth, typed: String::new() }));
            }
        });
    }
    if let [.., a, b] = takes
        && let (Ok(a), Ok(b)) = (card.read(which, a), card.read(which, b))
    {
        widget::fact(ui, "Difference", &value_text(which, (b - a).abs(), seen.unit));
        widget::soft(ui, "The last reading counts; nothing is averaged.");
    }
    let more = if takes.len() == 1 { "Add a second reading" } else { "Add another reading" };
    if widget::button(ui, Icon::Plus, more).clicked() {
        let typed = takes[last].typed.clone();
        requests.push(Request::Edit(Command::TypeTake { which, nth: takes.len(), typed }));
        requests.push(Request::Measure(which));
    }
}

/// Who it is, and how it was measured.
fn head(ui: &mut Ui, seen: &Seen<'_>, pen: &mut Pen, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let card = &seen.garment.wearer;
    ui.label(RichText::new("Wearer card").font(egui::FontId::new(18.0, theme::strong())).color(p.ink));
    widget::basting(ui);
    let mut text_line = |ui: &mut Ui, line: CardLine, label: &str, current: &str, hint: &'static str| {
        ui.horizontal(|ui| {
            let label = widget::field_name(ui, label, 100.0);
            let out = pen.line(ui, widget::steady(("card", line)), current, |edit| edit.desired_width(f32::INFINITY).hint_text(hint));
            out.response.labelled_by(label.id);
            if let Some(text) = out.typing {
                requests.push(Request::Typing { command: Command::WriteCard(line, text), preview: true });
            }
            if let Some(text) = out.done {
                requests.push(Request::Edit(Command::WriteCard(line, text)));
            }
        });
    };
    text_line(ui, CardLine::Name, "Wearer", &card.name, "Name");
    text_line(ui, CardLine::MeasuredOn, "Measured on", &card.measured_on, "Such as 2026-11-14");
    text_line(ui, CardLine::MeasuredBy, "Measured by", &card.measured_by, "Who held the tape");
    ui.horizontal(|ui| {
        widget::field_name(ui, "Typed in", 100.0)
            .on_hover_text("The unit of a number that you type without one. What is typed already keeps its meaning.");
        let all = Unit::ALL.map(|u| (u, u.sign(), format!("Numbers typed without a unit are {u}")));
        if let Some(unit) = widget::choices(ui, "card unit", card.unit, &all) {
            requests.push(Request::Edit(Command::SetCardUnit(unit)));
        }
    });
    ui.horizontal(|ui| {
        widget::field_name(ui, "Estimates from", 100.0)
            .on_hover_text("Whose measurements stand in for one that was not taken: the 2012 survey ANSUR II.");
        let all = Survey::ALL.map(|s| (s, s.label(), format!("Estimate what is missing from the measurements of {}", s.label())));
        if let Some(survey) = widget::choices(ui, "survey", card.survey, &all) {
            requests.push(Request::Edit(Command::SetSurvey(survey)));
        }
    });
    let out = pen.lines(ui, widget::steady(("card", CardLine::Notes)), &card.notes, 2, "Posture, shoes, what was worn while measuring");
    out.response.accessible_name("Notes on the wearer");
    if let Some(text) = out.typing {
        requests.push(Request::Typing { command: Command::WriteCard(CardLine::Notes, text), preview: true });
    }
    if let Some(text) = out.done {
        requests.push(Request::Edit(Command::WriteCard(CardLine::Notes, text)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_measurement_stands_on_the_card_once() {
        let mut all: Vec<Measurement> = GROUPS.iter().flat_map(|(_, list)| list.iter().copied()).collect();
        all.sort();
        assert_eq!(all, Measurement::ALL);
    }
}
