//! Rows of a form: a name, a field that keeps what was typed, and what is wrong with it below.

use draft_core::{DraftError, Length, Unit, parse_length};
use egui::{ComboBox, Id, Ui};

use crate::edit::{ClothCommand, Command};
use crate::window::pen::Pen;
use crate::window::{Request, blocks, widget};

/// Width of the column of names.
pub const NAMES: f32 = 122.0;

/// What is wrong with a text, and how to mend it.
pub struct Refusal {
    /// Reads as a sentence of its own.
    pub problem: String,
    /// One instruction.
    pub remedy: String,
}

impl From<DraftError> for Refusal {
    fn from(e: DraftError) -> Self {
        Self { problem: format!("{} {}", e.place, e.problem), remedy: e.remedy }
    }
}

/// Reads a length that may be nought.
pub fn length(unit: Unit) -> impl Fn(&str) -> Result<Length, Refusal> {
    move |typed| {
        let mm = parse_length(typed, unit).map_err(|e| Refusal { problem: format!("{typed:?} {e}"), remedy: e.remedy().to_owned() })?;
        if mm < 0.0 {
            return Err(Refusal { problem: format!("{typed:?} is less than nothing"), remedy: "Type a length of 0 or more.".into() });
        }
        Ok(Length::from_mm(mm))
    }
}

/// Reads a length, or nothing.
pub fn perhaps_length(unit: Unit) -> impl Fn(&str) -> Result<Option<Length>, Refusal> {
    move |typed| if typed.trim().is_empty() { Ok(None) } else { length(unit)(typed).map(Some) }
}

/// Reads a number; a sign behind it, such as % or ×, may be left out.
pub fn number(typed: &str) -> Result<f64, Refusal> {
    let plain = typed.trim().trim_end_matches(['%', '×', '°', 'x']).trim().replace(',', ".");
    plain
        .parse()
        .ok()
        .filter(|x: &f64| x.is_finite())
        .ok_or_else(|| Refusal { problem: format!("{typed:?} is not a number"), remedy: "Type a number such as 3 or 2.5.".into() })
}

/// Reads a number, or nothing.
pub fn perhaps_number(typed: &str) -> Result<Option<f64>, Refusal> {
    if typed.trim().is_empty() { Ok(None) } else { number(typed).map(Some) }
}

/// Reads a count, or nothing.
pub fn perhaps_count(typed: &str) -> Result<Option<u32>, Refusal> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    typed
        .trim()
        .parse()
        .map(Some)
        .map_err(|_| Refusal { problem: format!("{typed:?} is not a count"), remedy: "Type a whole number, or leave it empty.".into() })
}

/// Any text.
pub fn text(typed: &str) -> Result<String, Refusal> {
    Ok(typed.trim().to_owned())
}

/// A number as it is shown.
pub fn shown(x: f64) -> String {
    let text = format!("{x:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A field: which it is, and what it says to a screen reader and under the pointer.
#[derive(Clone, Copy)]
pub struct Field<'f> {
    /// Stays the same from frame to frame.
    pub id: Id,
    /// Its name.
    pub name: &'f str,
    /// What belongs into it.
    pub about: &'f str,
    /// How wide it is, points.
    pub width: f32,
}

/// Where fields are shown and what they write with.
pub struct Form<'a> {
    /// What is typed and not finished.
    pub pen: &'a mut Pen,
    /// The unit of bare numbers.
    pub unit: Unit,
    /// Where changes go.
    pub requests: &'a mut Vec<Request>,
}

impl Form<'_> {
    /// A bare field. `now` is what it holds; `read` and `make` turn a text into the change.
    pub fn bare<T>(
        &mut self,
        ui: &mut Ui,
        field: Field<'_>,
        now: &str,
        hint: &str,
        read: impl Fn(&str) -> Result<T, Refusal>,
        make: impl Fn(T) -> Result<ClothCommand, DraftError>,
    ) -> egui::Response {
        let Field { id, name, about, width } = field;
        let change = |typed: &str| -> Result<Command, Refusal> { Ok(Command::Cloth(Box::new(make(read(typed)?)?))) };
        let line = self.pen.line(ui, id, now, |edit| edit.desired_width(width).hint_text(hint));
        let response = line.response.on_hover_text(about);
        let response = response.accessible_name(name);
        if let Some(Ok(command)) = line.typing.as_deref().map(&change) {
            self.requests.push(Request::Typing { command, preview: false });
        }
        if let Some(typed) = line.done {
            match change(&typed) {
                Ok(command) => {
                    self.pen.accept(id);
                    self.requests.push(Request::Edit(command));
                }
                Err(_) => self.pen.refuse(id, typed),
            }
        }
        response
    }

    /// What is wrong with what stands in a field.
    pub fn refusal<T>(
        &self,
        ui: &mut Ui,
        id: Id,
        read: impl Fn(&str) -> Result<T, Refusal>,
        make: impl Fn(T) -> Result<ClothCommand, DraftError>,
    ) {
        let Some(typed) = self.pen.refused(id) else { return };
        let wrong = read(typed).and_then(|value| make(value).map_err(Refusal::from));
        if let Err(refusal) = wrong {
            blocks::fault(ui, &refusal.problem, &refusal.remedy);
        }
    }

    /// A row of its own.
    pub fn row<T>(
        &mut self,
        ui: &mut Ui,
        field: Field<'_>,
        now: &str,
        read: impl Fn(&str) -> Result<T, Refusal>,
        make: impl Fn(T) -> Result<ClothCommand, DraftError>,
    ) {
        ui.horizontal(|ui| {
            widget::field_name(ui, field.name, NAMES);
            self.bare(ui, field, now, "", &read, &make);
        });
        self.refusal(ui, field.id, read, make);
    }

    /// Makes the change at once.
    pub fn do_it(&mut self, command: ClothCommand) {
        self.requests.push(Request::Edit(Command::Cloth(Box::new(command))));
    }
}

/// One of a list; gives the one that was picked.
pub fn pick<T: PartialEq + Clone>(ui: &mut Ui, id: Id, name: &str, now: &T, all: &[(T, String)], width: f32) -> Option<T> {
    let text = all.iter().find(|(value, _)| value == now).map_or_else(String::new, |(_, text)| text.clone());
    let mut picked = None;
    let combo = ComboBox::from_id_salt(id).selected_text(text).width(width).show_ui(ui, |ui| {
        for (value, text) in all {
            if ui.selectable_label(value == now, text).clicked() && value != now {
                picked = Some(value.clone());
            }
        }
    });
    combo.response.accessible_name(name);
    picked
}
