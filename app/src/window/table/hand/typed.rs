//! A number typed while a line is drawn.

use draft_core::{DraftError, TypedLine, Unit};
use egui::{Align2, Event, Id, Key, Pos2, RichText, TextEdit, Ui};

use super::{Bench, beside};
use crate::window::theme;
use crate::window::widget;

/// The field beside a line.
#[derive(Clone, Debug, Default)]
pub struct Typed {
    text: String,
}

/// What happened in the field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Typing {
    /// Nothing.
    No,
    /// Enter: the line ends as it was typed.
    Entered,
}

impl Typed {
    /// What was typed, if anything can be read.
    pub fn read(&self, unit: Unit) -> Option<TypedLine> {
        if self.text.trim().is_empty() { None } else { TypedLine::read(&self.text, unit).ok() }
    }

    /// Forgets it.
    pub fn clear(&mut self) {
        self.text.clear();
    }

    /// Shows the field. A digit typed anywhere begins in it.
    pub fn show(&mut self, ui: &Ui, at: Pos2, bench: &Bench<'_>) -> Typing {
        let id = Id::unique("typed beside a line");
        let p = bench.p;
        let problem: Option<DraftError> =
            if self.text.trim().is_empty() { None } else { TypedLine::read(&self.text, bench.seen.unit).err() };
        beside::reached_by_key(ui, "typed", at, bench, |ui| {
            let before = ui.ctx().text_edit_focused();
            let field = TextEdit::singleline(&mut self.text)
                .id(id)
                .align(Align2::LEFT_CENTER)
                .desired_width(f32::INFINITY)
                .text_color_opt(problem.is_some().then_some(p.madder))
                .hint_text("Type 18 cm, 45°");
            let response = ui.add(field);
            if !before {
                let digit = ui.input(|i| {
                    i.events.iter().find_map(|e| match e {
                        Event::Text(t) if t.starts_with(|c: char| c.is_ascii_digit() || c == '.') => Some(t.clone()),
                        _ => None,
                    })
                });
                if let Some(digit) = digit {
                    self.text = digit;
                    response.request_focus();
                }
            }
            let (enter, escape) = ui.input(|i| (i.key_pressed(Key::Enter), i.key_pressed(Key::Escape)));
            let left = response.lost_focus();
            response.accessible_name("Length and angle to the grain");
            if let Some(problem) = &problem {
                ui.label(RichText::new(format!("{}. {}", problem.problem, problem.remedy)).font(theme::small()).color(p.madder));
            } else {
                widget::soft(ui, "Enter ends the line there.");
            }
            if left && escape {
                self.text.clear();
            }
            if left && enter && self.read(bench.seen.unit).is_some() { Typing::Entered } else { Typing::No }
        })
    }
}
