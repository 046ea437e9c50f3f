//! What is plausible for a person, in words and on a rule.

use draft_core::plausible::{self, Outlook};
use draft_core::{Measurement, Origin};
use egui::{Align2, Label, RichText, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::field::value_text;
use crate::window::theme::{self, Palette};
use crate::window::{Seen, message, widget};

/// The rule shows so many spreads either way.
const SPREADS_SHOWN: f64 = 4.0;

/// Shows what is expected, its spread, and how what is on the card stands to it.
pub fn show(ui: &mut Ui, seen: &Seen<'_>, which: Measurement, outlook: &Outlook) {
    let p = Palette::of(ui);
    let text = |v: f64| value_text(which, v, seen.unit);
    if let Some((value, spread)) = outlook.expected() {
        let name = if matches!(outlook, Outlook::Held(_)) { "Expected" } else { "Estimate" };
        widget::fact(ui, name, &format!("{} ± {}", text(value), text(spread)));
        rule(ui, seen, which, value, spread);
    }
    let verdict = match (outlook, seen.built.body.origin(which)) {
        (Outlook::Held(e), Origin::Measured) => format!("{} is {}.", text(e.measured), outlook.verdict(seen.unit)),
        _ => message::sentence(&outlook.verdict(seen.unit)),
    };
    ui.add(Label::new(RichText::new(verdict).color(p.ink)).wrap());
    if let Outlook::Held(e) = outlook
        && (2.0..=plausible::UNUSUAL).contains(&e.off().abs())
    {
        widget::soft(ui, "Bodies differ, so it may well be right. Hold the tape once more and keep both takes.");
    }
}

/// What is expected as a band on a rule: within one spread dark, within two light; each reading a tick.
fn rule(ui: &mut Ui, seen: &Seen<'_>, which: Measurement, value: f64, spread: f64) {
    let p = Palette::of(ui);
    let card = &seen.garment.wearer;
    let takes = card.takes.get(&which).map_or(&[][..], Vec::as_slice);
    let counting = card.counting(which);
    let readings: Vec<(bool, f64)> =
        takes.iter().enumerate().filter_map(|(i, t)| Some((Some(i) == counting, card.read(which, t).ok()?))).collect();
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 46.0), Sense::hover());
    let low = value - SPREADS_SHOWN * spread;
    let x = |v: f64| {
        let t = ((v - low) / (2.0 * SPREADS_SHOWN * spread)).clamp(0.0, 1.0);
        rect.left() + 4.0 + (rect.width() - 8.0) * t as f32
    };
    let y = rect.top() + 18.0;
    let band = |spreads: f64, color| {
        let area = egui::Rect::from_min_max(pos2(x(value - spreads * spread), y - 7.0), pos2(x(value + spreads * spread), y + 7.0));
        ui.painter().rect_filled(area, 3.0, color);
    };
    band(2.0, p.chalk_wash.gamma_multiply(0.6));
    band(1.0, p.chalk_wash);
    ui.painter().line_segment([pos2(rect.left(), y), pos2(rect.right(), y)], Stroke::new(1.0, p.kraft_line));
    ui.painter().line_segment([pos2(x(value), y - 7.0), pos2(x(value), y + 7.0)], Stroke::new(1.0, p.ink_soft));
    for (counts, v) in &readings {
        let (long, ink) = if *counts { (11.0, p.ink) } else { (7.0, p.ink_soft) };
        ui.painter().line_segment([pos2(x(*v), y - long), pos2(x(*v), y + long)], Stroke::new(if *counts { 3.0 } else { 1.5 }, ink));
    }
    for (spreads, anchor) in [(-2.0, Align2::CENTER_TOP), (2.0, Align2::CENTER_TOP)] {
        let v = value + spreads * spread;
        let text = value_text(which, v, seen.unit);
        widget::paint_text(ui, pos2(x(v), y + 13.0), anchor, &text, theme::small(), p.ink_soft);
    }
    let words = readings.iter().map(|(_, v)| value_text(which, *v, seen.unit)).collect::<Vec<_>>().join(" and ");
    response.widget_info(|| {
        let low = value_text(which, value - 2.0 * spread, seen.unit);
        let high = value_text(which, value + 2.0 * spread, seen.unit);
        let on_card = if words.is_empty() { "nothing on the card".to_owned() } else { format!("on the card {words}") };
        WidgetInfo::labeled(Role::Image, true, format!("Rule: 19 people in 20 lie between {low} and {high}; {on_card}"))
    });
    response.on_hover_text("Dark: two people in three. Light: 19 people in 20. The thick tick is the reading that counts.");
}
