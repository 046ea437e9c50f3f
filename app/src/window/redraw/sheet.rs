//! One form for every alteration: a row for each field that it asks for.

use draft_core::alteration::form::{Ask, Form, Label};
use draft_core::alteration::{Alteration, Opening, form::Repair};
use draft_core::{Along, Draft, Length, Measurement, Name, Unit, parse_angle, parse_length};
use egui::{Align, ComboBox, Id, Key, Layout, RichText, Ui};

use crate::window::blocks::fault;
use crate::window::icon::Icon;
use crate::window::message::sentence;
use crate::window::pen::{Pen, select_all};
use crate::window::theme::{self, Palette};
use crate::window::widget;

/// Width of the names of the fields, points.
const NAMES: f32 = 118.0;
/// How far what belongs together is set in, points.
const STEP: f32 = 10.0;

/// What was done in a form.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Done {
    /// Something was changed.
    pub changed: bool,
    /// Something is being typed that can be used already.
    pub typing: bool,
    /// A field was left with Enter.
    pub entered: bool,
    /// A field was left with Escape.
    pub escaped: bool,
    /// Something typed can't be used.
    pub refused: bool,
}

/// The form, while it is shown.
pub struct Sheet<'a> {
    ui: &'a mut Ui,
    pen: &'a mut Pen,
    draft: &'a Draft,
    unit: Unit,
    id: Id,
    /// What is open: name and number of each.
    within: Vec<(&'static str, Option<usize>)>,
    /// Fields that were shown already.
    shown: Vec<Id>,
    /// Give the keyboard to the first field that is typed into.
    focus: bool,
    /// A name or a word was changed, so that others may have to follow.
    named: bool,
    done: Done,
}

/// What a field can't use: problem and remedy.
type Refusal = (String, String);

impl<'a> Sheet<'a> {
    /// Shows the fields of an alteration that is made on this draft; what is changed is changed in it.
    pub fn show(
        ui: &'a mut Ui,
        pen: &'a mut Pen,
        (draft, unit): (&'a Draft, Unit),
        (id, focus): (Id, bool),
        alteration: &mut Alteration,
    ) -> Done {
        let mut sheet =
            Sheet { ui, pen, draft, unit, id, within: Vec::new(), shown: Vec::new(), focus, named: false, done: Done::default() };
        alteration.fields(&mut sheet);
        if sheet.named {
            // What hangs on a piece or an edge follows it.
            alteration.fields(&mut Repair::on(draft));
        }
        sheet.done
    }

    /// The field's name with what it belongs to, as a screen reader says it.
    fn full_name(&self, label: Label) -> String {
        let mut name: String = self.within.iter().map(|(part, nth)| title(part, *nth) + ": ").collect();
        name += label.name;
        name
    }

    fn field_id(&mut self, label: Label) -> Id {
        let mut id = self.id.with(&self.within).with(label.name);
        while self.shown.contains(&id) {
            id = id.with("again");
        }
        self.shown.push(id);
        id
    }

    /// How far the row is set in.
    fn indent(&self) -> f32 {
        self.within.len() as f32 * STEP
    }

    /// A field that is typed into.
    fn typed<T>(&mut self, label: Label, text: &str, read: impl Fn(&str) -> Result<T, Refusal>) -> Option<T> {
        let (id, name, indent) = (self.field_id(label), self.full_name(label), self.indent());
        let focus = std::mem::take(&mut self.focus);
        let mut found = None;
        let Self { ui, pen, done, .. } = self;
        // All within one scope: help that comes and goes does not make what is below it another thing.
        ui.vertical(|ui| {
            let writing = row(ui, label, indent, |ui| {
                let p = Palette::of(ui);
                let room = ui.available_width();
                let refused = pen.refused(id).is_some();
                let typed_into = pen.is_typing(id);
                let line = pen.line(ui, id, text, |edit| edit.desired_width(room).text_color_opt(refused.then_some(p.madder)));
                if focus {
                    line.response.request_focus();
                    // What is typed takes the place of what stands there.
                    select_all(ui, id, text.chars().count());
                }
                let writing = line.response.has_focus();
                let left = line.response.lost_focus();
                done.escaped |= typed_into && left && ui.input(|i| i.key_pressed(Key::Escape));
                done.entered |= line.enter;
                line.response.accessible_name(name).on_hover_text(label.help);
                if let Some(value) = line.typing.and_then(|typed| read(&typed).ok()) {
                    done.typing = true;
                    found = Some(value);
                }
                if let Some(typed) = line.done {
                    match read(&typed) {
                        Ok(value) => {
                            pen.accept(id);
                            done.changed = true;
                            found = Some(value);
                        }
                        Err(_) => pen.refuse(id, typed),
                    }
                }
                writing
            });
            if writing {
                widget::soft(ui, label.help);
            }
            if let Some(typed) = pen.refused(id)
                && let Err((problem, remedy)) = read(typed)
            {
                done.refused = true;
                fault(ui, &problem, &remedy);
            }
        });
        found
    }

    /// A field in which one of a few texts is chosen; says which.
    fn chosen(&mut self, label: Label, now: &str, all: &[String], wrong: bool) -> Option<usize> {
        let (id, name) = (self.field_id(label), self.full_name(label));
        let picked = row(self.ui, label, self.indent(), |ui| {
            let p = Palette::of(ui);
            let room = ui.available_width();
            let text = RichText::new(if now.is_empty() { "choose" } else { now }).color(if wrong { p.madder } else { p.ink });
            let mut picked = None;
            let shown = ComboBox::from_id_salt(id).selected_text(text).width(room).truncate().show_ui(ui, |ui| {
                for (i, text) in all.iter().enumerate() {
                    if ui.selectable_label(text == now, text).clicked() && text != now {
                        picked = Some(i);
                    }
                }
            });
            shown.response.accessible_name(name).on_hover_text(label.help);
            picked
        });
        if picked.is_some() {
            self.named = true;
            self.done.changed = true;
        }
        picked
    }

    /// One of the names that are there.
    fn name(&mut self, label: Label, names: &[Name], now: &mut Name) {
        let all: Vec<String> = names.iter().map(ToString::to_string).collect();
        let wrong = !names.contains(now);
        if let Some(name) = self.chosen(label, now.as_str(), &all, wrong).and_then(|i| names.get(i)) {
            *now = name.clone();
        }
    }

    /// One of the names that are there, or none.
    fn perhaps_name(&mut self, label: Label, none: &str, names: &[Name], now: &mut Option<Name>) {
        let all: Vec<String> = std::iter::once(none.to_owned()).chain(names.iter().map(ToString::to_string)).collect();
        let text = now.as_ref().map_or(none, Name::as_str).to_owned();
        let wrong = now.as_ref().is_some_and(|n| !names.contains(n));
        if let Some(i) = self.chosen(label, &text, &all, wrong) {
            *now = i.checked_sub(1).and_then(|i| names.get(i)).cloned();
        }
    }

    fn length(&self) -> impl Fn(&str) -> Result<Length, Refusal> + use<> {
        let unit = self.unit;
        move |typed: &str| parse_length(typed, unit).map(Length::from_mm).map_err(|e| (format!("{typed:?} {e}"), e.remedy().to_owned()))
    }

    fn yes_no(&mut self, label: Label, now: &mut bool) {
        let (name, indent) = (self.full_name(label), self.indent());
        let thrown = row(self.ui, label, indent, |ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| widget::switch(ui, *now, &name)).inner
        });
        if let Some(on) = thrown {
            *now = on;
            self.done.changed = true;
        }
    }
}

/// A row: the field's name, and the field beside it.
fn row<R>(ui: &mut Ui, label: Label, indent: f32, field: impl FnOnce(&mut Ui) -> R) -> R {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.add_space(indent);
        widget::field_name(ui, label.name, NAMES - indent).on_hover_text(label.help);
        field(ui)
    })
    .inner
}

/// `Side 2` for the second of a list.
fn title(name: &str, nth: Option<usize>) -> String {
    nth.map_or_else(|| name.to_owned(), |n| format!("{name} {}", n + 1))
}

fn number(typed: &str) -> Result<f64, Refusal> {
    parse_angle(typed).map_err(|e| (format!("{typed:?} {e}"), e.remedy().to_owned()))
}

fn share(typed: &str) -> Result<f64, Refusal> {
    let percent = number(typed.trim().trim_end_matches('%'))?;
    if (0.0..=100.0).contains(&percent) {
        Ok(percent / 100.0)
    } else {
        Err((format!("{typed:?} is not a share from 0 % to 100 %"), "Type a share such as 50 %.".into()))
    }
}

fn share_text(share: f64) -> String {
    format!("{} %", (share * 10_000.0).round() / 100.0)
}

fn something(typed: &str) -> Result<String, Refusal> {
    let text = typed.trim();
    if text.is_empty() { Err(("a name is missing".into(), "Type a name.".into())) } else { Ok(text.to_owned()) }
}

impl Form for Sheet<'_> {
    fn ask(&mut self, label: Label, ask: Ask<'_>) {
        let names = ask.names(self.draft);
        let unit = self.unit;
        match ask {
            Ask::Piece(now)
            | Ask::Edge { edge: now, .. }
            | Ask::End { from: now, .. }
            | Ask::Point { point: now, .. }
            | Ask::Line { line: now, .. }
            | Ask::EdgeOrPoint { name: now, .. }
            | Ask::Dart { dart: now, .. } => self.name(label, &names, now),
            Ask::PerhapsEdgeOrPoint { name: now, .. } => self.perhaps_name(label, "as it comes", &names, now),
            Ask::PerhapsPiece(now) => self.perhaps_name(label, "whatever it is sewn to", &names, now),
            Ask::NewName(now) => {
                if let Some(text) = self.typed(label, now.as_str(), something) {
                    *now = text.into();
                }
            }
            Ask::PerhapsNewName(now) => {
                let text = now.as_ref().map_or("", Name::as_str).to_owned();
                if let Some(text) = self.typed(label, &text, |typed| Ok(typed.trim().to_owned())) {
                    *now = (!text.is_empty()).then(|| text.into());
                }
            }
            Ask::Text(now) => {
                let text = now.clone();
                if let Some(text) = self.typed(label, &text, something) {
                    *now = text;
                }
            }
            Ask::Length(now) => {
                let read = self.length();
                if let Some(length) = self.typed(label, &now.text(unit), read) {
                    *now = length;
                }
            }
            Ask::PerhapsLength(now) => {
                let read = self.length();
                let text = now.map_or_else(String::new, |l| l.text(unit));
                let read = move |typed: &str| if typed.trim().is_empty() { Ok(None) } else { read(typed).map(Some) };
                if let Some(length) = self.typed(label, &text, read) {
                    *now = length;
                }
            }
            Ask::Along(now) => {
                let read = self.length();
                let text = match *now {
                    Along::Length(length) => length.text(unit),
                    Along::Share(part) => share_text(part),
                };
                let read =
                    move |typed: &str| if typed.contains('%') { share(typed).map(Along::Share) } else { read(typed).map(Along::Length) };
                if let Some(along) = self.typed(label, &text, read) {
                    *now = along;
                }
            }
            Ask::Opening(now) => {
                let read = self.length();
                let text = match *now {
                    Opening::Length(length) => length.text(unit),
                    Opening::Degrees(degrees) => format!("{degrees}°"),
                };
                let read = move |typed: &str| {
                    if typed.contains('°') { number(typed).map(Opening::Degrees) } else { read(typed).map(Opening::Length) }
                };
                if let Some(opening) = self.typed(label, &text, read) {
                    *now = opening;
                }
            }
            Ask::Degrees(now) => {
                if let Some(degrees) = self.typed(label, &format!("{now}°"), number) {
                    *now = degrees;
                }
            }
            Ask::Share(now) => {
                if let Some(part) = self.typed(label, &share_text(*now), share) {
                    *now = part;
                }
            }
            Ask::Count(now) => {
                let whole = |typed: &str| match number(typed)? {
                    n if (1.0..=1000.0).contains(&n) && n.fract() == 0.0 => Ok(n as u32),
                    n => Err((format!("{n} is not a whole number from 1 on"), "Type a number such as 5.".to_owned())),
                };
                if let Some(count) = self.typed(label, &now.to_string(), whole) {
                    *now = count;
                }
            }
            Ask::YesNo(now) => self.yes_no(label, now),
            Ask::Word { words, now } => {
                let all: Vec<String> = words.iter().map(|w| (*w).to_owned()).collect();
                if let Some(word) = self.chosen(label, words.get(*now).unwrap_or(&""), &all, false) {
                    *now = word;
                }
            }
            Ask::Measurement(now) => {
                let all: Vec<String> = Measurement::ALL.iter().map(|m| m.name().to_owned()).collect();
                if let Some(which) = self.chosen(label, now.name(), &all, false).and_then(|i| Measurement::ALL.get(i)) {
                    *now = *which;
                }
            }
        }
    }

    fn open(&mut self, label: Label, nth: Option<usize>, can_go: bool) -> bool {
        let indent = self.within.len() as f32 * STEP;
        self.within.push((label.name, nth));
        let full: Vec<String> = self.within.iter().map(|(part, nth)| title(part, *nth)).collect();
        let p = Palette::of(self.ui);
        let gone = self.ui.horizontal(|ui| {
            ui.add_space(indent);
            ui.label(RichText::new(title(label.name, nth)).font(theme::strong_body()).color(p.ink)).on_hover_text(label.help);
            let take_out =
                |ui: &mut Ui| widget::icon_button(ui, Icon::Remove, &format!("Take out {}", full.join(": ")), "", true).clicked();
            can_go && ui.with_layout(Layout::right_to_left(Align::Center), take_out).inner
        });
        if gone.inner {
            self.named = true;
            self.done.changed = true;
        }
        gone.inner
    }

    fn close(&mut self) {
        self.within.pop();
        self.ui.add_space(2.0);
    }

    fn add(&mut self, label: Label) -> bool {
        let indent = self.within.len() as f32 * STEP;
        let mut words = label.name.chars();
        let lower: String = words.next().map(|c| c.to_lowercase().chain(words).collect()).unwrap_or_default();
        let added = self.ui.horizontal(|ui| {
            ui.add_space(indent);
            ui.button(format!("Add: {lower}")).on_hover_text(sentence(label.help)).clicked()
        });
        if added.inner {
            self.named = true;
            self.done.changed = true;
        }
        added.inner
    }
}
