//! The work list: everything done to the garment, in order.

use draft_core::Outcome;
use egui::{
    Align, CornerRadius, Frame, Key, KeyboardShortcut, Layout, Margin, Modifiers, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2,
};

use crate::edit::Command;
use crate::window::blocks::{fault, sentence_case};
use crate::window::icon::Icon;
use crate::window::pen::Pen;
use crate::window::theme::{self, Palette};
use crate::window::{Chosen, Request, Seen, widget};

/// Shows the list. A trial stands at its place among the works and is not one of them yet.
pub fn show(
    ui: &mut Ui,
    seen: &Seen<'_>,
    trial: Option<usize>,
    (focus, typing): (&mut Option<usize>, bool),
    pen: &mut Pen,
    requests: &mut Vec<Request>,
) {
    let count = seen.garment.works.len() - usize::from(trial.is_some_and(|at| at < seen.garment.works.len()));
    if let Chosen::Work(i) = *seen.chosen
        && trial.is_none()
        && !typing
    {
        let hit = |key| ui.input_mut(|input| input.consume_shortcut(&KeyboardShortcut::new(Modifiers::ALT, key)));
        if hit(Key::ArrowUp) && i > 0 {
            move_to(i, i - 1, focus, requests);
        } else if hit(Key::ArrowDown) && i + 1 < count {
            move_to(i, i + 1, focus, requests);
        }
    }
    for i in 0..seen.garment.works.len() {
        let is_trial = trial == Some(i);
        // Where it stands without the trial.
        let own = if trial.is_some_and(|at| i > at) { i - 1 } else { i };
        Row { shown: i, own, count, is_trial, trying: trial.is_some() }.show(ui, seen, focus, pen, requests);
    }
}

fn move_to(from: usize, to: usize, focus: &mut Option<usize>, requests: &mut Vec<Request>) {
    requests.push(Request::Edit(Command::MoveWork { from, to }));
    requests.push(Request::Choose(Chosen::Work(to)));
    *focus = Some(to);
}

/// One work of the list.
#[derive(Clone, Copy)]
struct Row {
    /// Its place in what is shown.
    shown: usize,
    /// Its place in the garment.
    own: usize,
    /// How many works the garment has.
    count: usize,
    /// It is only being tried.
    is_trial: bool,
    /// Something is being tried.
    trying: bool,
}

impl Row {
    fn show(self, ui: &mut Ui, seen: &Seen<'_>, focus: &mut Option<usize>, pen: &mut Pen, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        let (Some(entry), Some(outcome)) = (seen.garment.works.get(self.shown), seen.built.outcomes.get(self.shown)) else { return };
        let i = self.own;
        let on = self.is_trial || !self.trying && *seen.chosen == Chosen::Work(i);
        let line = match outcome {
            Outcome { skipped: Some(_), .. } => p.madder,
            _ if on => p.chalk,
            _ => p.hairline,
        };
        let frame = Frame::new()
            .fill(if on { p.chalk_wash } else { p.raised })
            .stroke(Stroke::new(1.0, line))
            .corner_radius(CornerRadius::same(theme::ROUND))
            .inner_margin(Margin { left: 10, right: 8, top: 4, bottom: 4 });
        frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 3.0;
            ui.horizontal(|ui| {
                if self.is_trial {
                    let (rect, _) = ui.allocate_exact_size(vec2(38.0, theme::TARGET), Sense::hover());
                    Icon::Plus.paint(ui.painter(), rect, 18.0, p.chalk);
                } else {
                    let verb = if entry.on { "Switch off" } else { "Switch on" };
                    if let Some(on) = widget::switch(ui, entry.on, &format!("{verb} work {}: {}", i + 1, outcome.what)) {
                        requests.push(Request::Edit(Command::SwitchWork(i, on)));
                    }
                }
                let response = self.header(ui, outcome, on);
                if focus.take_if(|f| *f == i && !self.trying).is_some() {
                    response.request_focus();
                    response.scroll_to_me(None);
                }
                if response.clicked() && !self.is_trial {
                    requests.push(Request::Choose(if on { Chosen::Nothing } else { Chosen::Work(i) }));
                }
            });
            if let Some(error) = &outcome.skipped
                && !self.is_trial
            {
                fault(ui, &format!("{}: {}", error.place, error.problem), &error.remedy);
            }
            if on && !self.is_trial {
                self.tools(ui, &outcome.what, focus, requests);
                note(ui, i, &entry.note, pen, requests);
            } else if !entry.note.is_empty() {
                widget::soft(ui, &entry.note);
            }
        });
    }

    /// Its number, what it is, and what became of it.
    fn header(self, ui: &mut Ui, outcome: &Outcome, on: bool) -> egui::Response {
        let p = Palette::of(ui);
        let state = match outcome {
            _ if self.is_trial => "new",
            Outcome { off: true, .. } => "off",
            Outcome { skipped: Some(_), .. } => "skipped",
            _ => "done",
        };
        let title = format!("{}. {}", self.shown + 1, sentence_case(&outcome.what));
        let state_text = ui.painter().layout_no_wrap(state.to_owned(), theme::small(), p.ink_soft);
        let room = (ui.available_width() - state_text.size().x - 10.0).max(60.0);
        let ink = if outcome.off { p.ink_soft } else { p.ink };
        let text = ui.painter().layout(title.clone(), theme::strong_body(), ink, room);
        let size = vec2(ui.available_width(), (text.size().y + 10.0).max(theme::TARGET));
        let (rect, response) = ui.allocate_exact_size(size, Sense::click());
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, on, format!("{title}, {state}")));
        let hot = response.hovered() || response.has_focus();
        let ink = if hot || on { p.chalk } else { ink };
        let at = rect.left_center() - vec2(0.0, text.size().y / 2.0);
        ui.painter().galley_with_override_text_color(at, text, ink);
        let at = rect.right_center() - vec2(state_text.size().x, state_text.size().y / 2.0);
        ui.painter().galley(at, state_text, p.ink_soft);
        if response.has_focus() {
            ui.painter().rect_stroke(rect.expand2(vec2(4.0, 0.0)), 4.0, Stroke::new(1.0, p.chalk), StrokeKind::Inside);
        }
        response
    }

    /// Earlier, later, out.
    fn tools(self, ui: &mut Ui, what: &str, focus: &mut Option<usize>, requests: &mut Vec<Request>) {
        let i = self.own;
        ui.horizontal(|ui| {
            if widget::icon_button(ui, Icon::Up, "Do it earlier", "Alt+Up", i > 0).clicked() {
                move_to(i, i - 1, focus, requests);
            }
            if widget::icon_button(ui, Icon::Later, "Do it later", "Alt+Down", i + 1 < self.count).clicked() {
                move_to(i, i + 1, focus, requests);
            }
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if widget::icon_button(ui, Icon::Remove, &format!("Take out work {}: {what}", i + 1), "", true).clicked() {
                    requests.push(Request::Edit(Command::RemoveWork(i)));
                    requests.push(Request::Choose(Chosen::Nothing));
                }
            });
        });
    }
}

fn note(ui: &mut Ui, i: usize, note: &str, pen: &mut Pen, requests: &mut Vec<Request>) {
    let line = pen.line(ui, widget::steady(("note at redraw", i)), note, |edit| {
        edit.desired_width(f32::INFINITY).hint_text("Note, such as: 2nd fitting, 14 Nov")
    });
    line.response.accessible_name("Note on this work");
    if let Some(text) = line.typing {
        requests.push(Request::Typing { command: Command::NoteWork(i, text), preview: true });
    }
    if let Some(text) = line.done {
        requests.push(Request::Edit(Command::NoteWork(i, text)));
    }
}
