//! Messages as the maker sees them: mark, place, problem, remedy, and "Show me".

use draft_core::{Grade, Message};
use egui::{Color32, CornerRadius, Frame, Margin, RichText, Stroke, Ui, vec2};

use super::icon::Icon;
use super::theme::{self, Palette};
use super::{Request, Seen};
use crate::edit::Command;

/// The mark, the word, and the two colours of a grade.
pub fn marks(grade: Grade, p: &Palette) -> (Icon, &'static str, Color32, Color32) {
    match grade {
        Grade::Error => (Icon::Mend, "Mend", p.madder, p.madder_wash),
        Grade::Warning => (Icon::Mend, "Look again", p.ochre, p.ochre_wash),
        Grade::Caution => (Icon::Caution, "Take care", p.ochre, p.ochre_wash),
        Grade::Note => (Icon::Note, "Note", p.ink_soft, p.raised),
    }
}

/// One message in its box, with what mends it.
pub fn show(ui: &mut Ui, seen: &Seen<'_>, message: &Message, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let (icon, word, ink, wash) = marks(message.grade, p);
    Frame::new()
        .fill(wash)
        .stroke(Stroke::new(1.0, ink.gamma_multiply(0.45)))
        .corner_radius(CornerRadius::same(theme::ROUND))
        .inner_margin(Margin::symmetric(10, 8))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 3.0;
            ui.horizontal_top(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(18.0, 18.0), egui::Sense::hover());
                icon.paint(ui.painter(), rect, 18.0, ink);
                ui.vertical(|ui| {
                    ui.label(RichText::new(format!("{word}: {}", message.place)).font(theme::strong_body()).color(p.ink));
                    ui.label(RichText::new(sentence(&message.problem)).color(p.ink));
                    if !message.remedy.is_empty() {
                        ui.label(RichText::new(&message.remedy).font(theme::small()).color(p.ink_soft));
                    }
                    for mend in seen.mends_of(message) {
                        let button = ui.add(egui::Button::new(&mend.name).wrap()).on_hover_text(&mend.what);
                        if button.accessible_name(format!("{}: {}", mend.name, message.place)).clicked() {
                            requests.push(Request::Edit(Command::AddWork { at: None, work: Box::new(mend.work.clone()) }));
                        }
                    }
                    let show_me = ui.add(egui::Button::new("Show me")).accessible_name(format!("Show me: {}", message.place));
                    if show_me.clicked() {
                        requests.push(Request::ShowMe(Box::new(message.clone())));
                    }
                });
            });
        });
}

/// How many messages of each grade there are, in words.
pub fn counts(messages: &[Message]) -> String {
    let of = |grade| messages.iter().filter(|m| m.grade == grade).count();
    let mut parts = Vec::new();
    let mut say = |n: usize, one: &str, more: &str| {
        if n > 0 {
            parts.push(format!("{n} {}", if n == 1 { one } else { more }));
        }
    };
    say(of(Grade::Error), "to mend", "to mend");
    say(of(Grade::Warning), "to look at again", "to look at again");
    say(of(Grade::Caution), "caution", "cautions");
    say(of(Grade::Note), "note", "notes");
    if parts.is_empty() { "Nothing to mend".into() } else { parts.join(" · ") }
}

/// A text that reads on from its place, as a sentence of its own.
pub fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    let start: String = chars.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let stop = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{start}{}{stop}", chars.as_str())
}
