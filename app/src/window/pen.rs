//! Text being typed into fields that belong to the garment.
//!
//! What is typed stays in the field until it is finished, and goes to the garment then as one step. What can't be
//! used is kept as typed until it is mended.

use std::collections::HashMap;

use egui::text::{CCursor, CCursorRange};
use egui::{Align2, Id, Key, Response, TextEdit, Ui};

/// The texts that are not in the garment yet.
#[derive(Debug, Default)]
pub struct Pen {
    typing: HashMap<Id, String>,
    refused: HashMap<Id, String>,
}

/// What happened in a field.
pub struct Line {
    /// The field.
    pub response: Response,
    /// Its text, while it is being typed.
    pub typing: Option<String>,
    /// Its text, when typing has just ended.
    pub done: Option<String>,
    /// Whether it ended with Enter.
    pub enter: bool,
}

impl Pen {
    /// Forgets everything, as when the garment is another one.
    pub fn clear(&mut self) {
        self.typing.clear();
        self.refused.clear();
    }

    /// Keeps a text that could not be used in its field.
    pub fn refuse(&mut self, id: Id, text: String) {
        self.refused.insert(id, text);
    }

    /// The field holds something usable again.
    pub fn accept(&mut self, id: Id) {
        self.refused.remove(&id);
    }

    /// What is typed in a field and can't be used.
    pub fn refused(&self, id: Id) -> Option<&str> {
        self.refused.get(&id).map(String::as_str)
    }

    /// Whether something is being typed in a field.
    pub fn is_typing(&self, id: Id) -> bool {
        self.typing.contains_key(&id)
    }

    /// Shows a field holding `current`, laid out by `dress`.
    pub fn line<'t>(&mut self, ui: &mut Ui, id: Id, current: &str, dress: impl FnOnce(TextEdit<'_>) -> TextEdit<'_> + 't) -> Line {
        let mut text = self.typing.get(&id).or_else(|| self.refused.get(&id)).map_or_else(|| current.to_owned(), Clone::clone);
        let response = ui.add(dress(TextEdit::singleline(&mut text).align(Align2::LEFT_CENTER)).id(id));
        self.follow(ui, id, text, response)
    }

    /// Shows a field of several lines.
    pub fn lines(&mut self, ui: &mut Ui, id: Id, current: &str, rows: usize, hint: &'static str) -> Line {
        let mut text = self.typing.get(&id).map_or_else(|| current.to_owned(), Clone::clone);
        let response = ui.add(TextEdit::multiline(&mut text).id(id).desired_rows(rows).desired_width(f32::INFINITY).hint_text(hint));
        self.follow(ui, id, text, response)
    }

    fn follow(&mut self, ui: &Ui, id: Id, text: String, response: Response) -> Line {
        if response.gained_focus() && !ui.input(|i| i.pointer.any_down() || i.pointer.any_released()) {
            // Reached by key: what is typed takes the place of what stands there.
            select_all(ui, id, text.chars().count());
        }
        if response.changed() {
            self.typing.insert(id, text.clone());
        }
        let mut line = Line { enter: false, typing: None, done: None, response };
        if line.response.has_focus() {
            if self.typing.contains_key(&id) {
                line.typing = Some(text);
            }
            return line;
        }
        let (escape, enter) = ui.input(|i| (i.key_pressed(Key::Escape), i.key_pressed(Key::Enter)));
        line.enter = line.response.lost_focus() && enter;
        if self.typing.remove(&id).is_some() {
            if line.response.lost_focus() && escape {
                self.refused.remove(&id);
            } else {
                line.done = Some(text);
            }
        }
        line
    }
}

/// Selects all of a field's text, so that what is typed takes its place.
pub fn select_all(ui: &Ui, id: Id, length: usize) {
    if let Some(mut state) = TextEdit::load_state(ui.ctx(), id) {
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(length));
        state.cursor.set_char_range(Some(all));
        state.store(ui.ctx(), id);
    }
}
