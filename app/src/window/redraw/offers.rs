//! The list of alterations that can be added, by what a maker wants to do.

use draft_core::alteration::offer::{Group, Offer};
use egui::{Align, Align2, CornerRadius, Layout, Role, Sense, Stroke, StrokeKind, TextEdit, Ui, WidgetInfo, vec2};

use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::widget;

/// What was chosen.
pub enum Answer {
    /// Begin this one.
    Begin(&'static Offer),
    /// Close the list.
    Close,
}

/// Shows the list.
pub fn show(ui: &mut Ui, find: &mut String, focus: bool) -> Option<Answer> {
    let mut answer = None;
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if widget::icon_button(ui, Icon::Close, "Back to the work list", "Esc", true).clicked() {
                answer = Some(Answer::Close);
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| widget::heading(ui, "Add an alteration"));
        });
    });
    let id = widget::steady("find an alteration");
    let line = ui
        .add(TextEdit::singleline(find).align(Align2::LEFT_CENTER).id(id).desired_width(f32::INFINITY).hint_text("Find: dart, hem, zip …"));
    if focus {
        line.request_focus();
    }
    let entered = line.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
    line.accessible_name("Find an alteration");
    let sought = find.trim().to_lowercase();
    let fits = |offer: &&Offer| {
        sought.is_empty() || [offer.group.name(), offer.name, offer.what].iter().any(|text| text.to_lowercase().contains(&sought))
    };
    let mut first = None;
    for group in Group::ALL {
        let offers: Vec<&'static Offer> = Offer::ALL.iter().filter(|o| o.group == group).filter(fits).collect();
        if offers.is_empty() {
            continue;
        }
        ui.add_space(8.0);
        widget::heading(ui, group.name());
        for offer in offers {
            first = first.or(Some(offer));
            if row(ui, offer) {
                answer = Some(Answer::Begin(offer));
            }
        }
    }
    match first {
        None => {
            widget::soft(ui, "Nothing of that kind. Try another word, such as a part of the garment.");
        }
        Some(offer) if entered && !sought.is_empty() => answer = Some(Answer::Begin(offer)),
        Some(_) => {}
    }
    ui.add_space(theme::APART);
    answer
}

/// One alteration: its name, and a sentence below; says whether it was clicked.
fn row(ui: &mut Ui, offer: &Offer) -> bool {
    let p = Palette::of(ui);
    let room = ui.available_width() - 16.0;
    let name = ui.painter().layout(offer.name.to_owned(), theme::strong_body(), p.ink, room);
    let what = ui.painter().layout(offer.what.to_owned(), theme::small(), p.ink_soft, room);
    let size = vec2(ui.available_width(), name.size().y + what.size().y + 11.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{}: {}", offer.name, offer.what)));
    let corner = CornerRadius::same(theme::ROUND);
    if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, corner, p.button);
    }
    if response.has_focus() {
        ui.painter().rect_stroke(rect, corner, Stroke::new(1.0, p.chalk), StrokeKind::Inside);
    }
    let at = rect.min + vec2(8.0, 5.0);
    let below = at + vec2(0.0, name.size().y);
    ui.painter().galley(at, name, p.ink);
    ui.painter().galley(below, what, p.ink_soft);
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    response.clicked()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_group_has_offers_and_every_name_is_its_own() {
        for group in Group::ALL {
            assert!(Offer::ALL.iter().any(|o| o.group == group), "{}", group.name());
        }
        for (i, offer) in Offer::ALL.iter().enumerate() {
            assert!(Offer::ALL[..i].iter().all(|o| o.name != offer.name), "{}", offer.name);
            assert!(offer.what.ends_with('.'), "{}", offer.what);
        }
    }
}
