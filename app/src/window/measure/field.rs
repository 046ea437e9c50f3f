//! One measurement as a row: its name, its field, how it stands, and what is wrong with it.

use draft_core::{Grade, Kind, Measurement, Message, Origin, Unit};
use egui::{Align, Label, Layout, RichText, Sense, Ui, vec2};

use super::MeasureView;
use crate::edit::Command;
use crate::window::icon::Icon;
use crate::window::pen::{self, Pen};
use crate::window::theme::{self, Palette};
use crate::window::{Request, Seen, blocks, message, widget};

/// A value as it is shown: a length in the unit, or an angle.
pub fn value_text(which: Measurement, value: f64, unit: Unit) -> String {
    if which.kind() == Kind::Angle { format!("{value:.1}°") } else { unit.rough(value) }
}

/// The id of a measurement's field.
pub fn field_id(which: Measurement, nth: usize) -> egui::Id {
    widget::steady(("take", which.key(), nth))
}

/// Which reading the field of the card shows: the one that counts, or the first that is still to be written.
pub fn shown_take(seen: &Seen<'_>, which: Measurement) -> usize {
    seen.garment.wearer.counting(which).unwrap_or(0)
}

/// What a row is of.
#[derive(Clone, Copy)]
pub struct Row {
    /// The measurement.
    pub which: Measurement,
    /// The one that Enter goes on to.
    pub next: Option<Measurement>,
    /// Whether a block is drafted from it.
    pub needed: bool,
}

impl MeasureView {
    /// Shows the row.
    pub(super) fn row(&mut self, ui: &mut Ui, row: Row, seen: &Seen<'_>, pen: &mut Pen, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        let Row { which, next, needed } = row;
        let card = &seen.garment.wearer;
        let nth = shown_take(seen, which);
        let typed = card.take(which).map_or("", |t| t.typed.as_str());
        let origin = seen.built.body.origin(which);
        let concerns: Vec<&Message> =
            seen.built.messages.iter().filter(|m| m.grade >= Grade::Warning && m.concerns.contains(&which) && !typed.is_empty()).collect();
        let id = field_id(which, nth);
        let lit = self.looking_at == which;
        ui.horizontal(|ui| {
            let width = ui.available_width();
            let name_width = width - 124.0 - 84.0;
            ui.spacing_mut().item_spacing.x = 8.0;
            let label = ui
                .allocate_ui_with_layout(vec2(name_width, theme::TARGET), Layout::left_to_right(Align::Center), |ui| {
                    ui.set_min_width(name_width);
                    let font = if lit { theme::strong_body() } else { egui::TextStyle::Body.resolve(ui.style()) };
                    let text = RichText::new(which.name()).font(font).color(if lit { p.chalk } else { p.ink });
                    ui.add(Label::new(text).wrap().sense(Sense::click()))
                })
                .inner;
            if label.clicked() {
                ui.memory_mut(|m| m.request_focus(id));
            }
            let hint = match origin {
                Origin::Estimated { .. } => seen.built.body.get(which).map_or(String::new(), |v| value_text(which, v, seen.unit)),
                _ => String::new(),
            };
            let bad = concerns.iter().any(|m| m.grade == Grade::Error);
            let line = pen.line(ui, id, typed, |edit| edit.desired_width(100.0).hint_text(hint).text_color_opt(bad.then_some(p.madder)));
            let response = line.response.labelled_by(label.id);
            if self.focus && lit {
                response.request_focus();
                pen::select_all(ui, id, typed.chars().count());
                response.scroll_to_me(None);
                self.focus = false;
            }
            if response.gained_focus() || (response.has_focus() && !lit) {
                self.looking_at = which;
            }
            let command = |typed: String| Command::TypeTake { which, nth, typed };
            if let Some(text) = line.typing {
                // Half a number is not shown as a fault while it is being typed.
                let unit = card.unit;
                let readable = card.read(which, &draft_core::Take::new(text.as_str(), unit)).is_ok();
                requests.push(Request::Typing { command: command(text), preview: readable });
            }
            if let Some(text) = line.done {
                requests.push(Request::Edit(command(text)));
            }
            if line.enter
                && let Some(next) = next
            {
                // Its own row asks for the focus once it has been shown, so that the keys of this frame stay here.
                self.looking_at = next;
                self.focus = true;
            }
            standing(ui, seen, which, origin, &concerns, needed);
        });
        self.second_take(ui, seen, which);
        for m in concerns {
            blocks::fault_of(ui, m.grade, &m.problem, &m.remedy);
        }
    }

    /// The readings and how far they are apart, where there is more than one.
    fn second_take(&self, ui: &mut Ui, seen: &Seen<'_>, which: Measurement) {
        let card = &seen.garment.wearer;
        let takes = card.takes.get(&which).map_or(&[][..], Vec::as_slice);
        if takes.len() < 2 {
            return;
        }
        let counting = card.counting(which);
        let show = |(i, take): (usize, &draft_core::Take)| {
            let text = card.read(which, take).map_or_else(|_| take.typed.clone(), |v| value_text(which, v, seen.unit));
            if Some(i) == counting { format!("{text} (counts)") } else { text }
        };
        let all: Vec<String> = takes.iter().enumerate().map(show).collect();
        widget::soft(ui, format!("takes: {}", all.join(", ")));
        ui.add_space(3.0);
    }
}

/// How a measurement stands, at the end of its row.
fn standing(ui: &mut Ui, seen: &Seen<'_>, which: Measurement, origin: Origin, concerns: &[&Message], needed: bool) {
    let p = Palette::of(ui);
    let (icon, text, ink, tip) = if let Some(worst) = concerns.iter().max_by_key(|m| m.grade) {
        let (icon, word, ink, _) = message::marks(worst.grade, p);
        (Some(icon), word.to_lowercase(), ink, worst.problem.clone())
    } else {
        // What is noted of this measurement alone, such as takes that differ or a number out of the common.
        let unusual = seen.built.messages.iter().find(|m| m.grade == Grade::Note && m.place == which.name() && m.concerns == [which]);
        match origin {
            Origin::Measured if let Some(note) = unusual => {
                (Some(Icon::Note), "look again".into(), p.ink_soft, message::sentence(&note.problem))
            }
            Origin::Measured => {
                let value = seen.built.body.get(which).map_or(String::new(), |v| value_text(which, v, seen.unit));
                (Some(Icon::Tick), value.clone(), p.ink_soft, format!("Read as {value}"))
            }
            Origin::Estimated { spread } => {
                let within = value_text(which, spread, seen.unit);
                let need = if needed { " The blocks are drafted from it." } else { "" };
                let tip = format!("Estimated from the measurements that were taken; two people in three are within {within} of it.{need}");
                (None, format!("estimate\n± {within}"), p.ink_soft, tip)
            }
            Origin::Missing if needed => (Some(Icon::Tape), "needed".into(), p.ochre, "The blocks are drafted from it.".into()),
            Origin::Missing => return,
        }
    };
    ui.allocate_ui_with_layout(vec2(76.0, theme::TARGET), Layout::left_to_right(Align::Center), |ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        if let Some(icon) = icon {
            let (rect, _) = ui.allocate_exact_size(vec2(15.0, 15.0), Sense::hover());
            icon.paint(ui.painter(), rect, 15.0, ink);
        }
        ui.add(Label::new(RichText::new(text).font(egui::FontId::new(11.5, egui::FontFamily::Proportional)).color(ink)).extend())
            .on_hover_text(tip);
    });
}
