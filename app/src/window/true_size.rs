//! True size on the screen: a bank card held to it tells how large its dots are.

use egui::{Align2, Context, Id, Key, Rect, Sense, Slider, Stroke, StrokeKind, Ui, WidgetInfo, vec2};

use super::dialog::{self, Answer};
use super::icon::Icon;
use super::theme::{self, Palette};
use super::widget;

/// Width and height of a bank card, millimetres: ISO/IEC 7810, ID-1.
const CARD_MM: (f32, f32) = (85.60, 53.98);
/// Round corners of the card, millimetres: ISO/IEC 7810 asks for 2.88 to 3.48.
const CORNER_MM: f32 = 3.18;
/// The screens that there are, dots for each millimetre: from a large television to a small telephone.
const DENSITIES: std::ops::RangeInclusive<f32> = 1.0..=25.0;

fn id() -> Id {
    widget::steady("dots for each millimetre")
}

/// Dots of the screen for each millimetre, once a card was held to it.
pub fn dots_per_mm(ctx: &Context) -> Option<f32> {
    ctx.data(|d| d.get_temp(id()))
}

/// Remembers how large the dots are; what no screen has is left aside.
pub fn remember(ctx: &Context, dots_per_mm: f32) {
    if DENSITIES.contains(&dots_per_mm) {
        ctx.data_mut(|d| d.insert_temp(id(), dots_per_mm));
    }
}

/// Holding a card to the screen.
#[derive(Clone, Copy, Debug)]
pub struct CardDialog {
    /// The card's width, dots.
    dots: f32,
}

impl CardDialog {
    /// Begins with what is known, or with a usual screen of 96 dots for an inch.
    pub fn new(ctx: &Context) -> Self {
        let density = dots_per_mm(ctx).unwrap_or(96.0 / 25.4 * ctx.native_pixels_per_point().unwrap_or(1.0));
        Self { dots: density * CARD_MM.0 }
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui) -> Option<Answer> {
        let p = Palette::of(ui);
        let per_point = ui.ctx().pixels_per_point();
        dialog::title(ui, Icon::Tape, "True size");
        widget::soft(
            ui,
            "Hold a bank card to the screen, and make the outline as large as the card. Left and right arrow move it by a dot.",
        );
        let room = vec2(620.0, 400.0);
        let (rect, _) = ui.allocate_exact_size(room, Sense::hover());
        let width = self.dots / per_point;
        let card = Rect::from_min_size(rect.min, vec2(width, width * CARD_MM.1 / CARD_MM.0)).translate(vec2(6.0, 8.0));
        let round = width * CORNER_MM / CARD_MM.0;
        let painter = ui.painter().with_clip_rect(rect);
        painter.rect(card, round, p.chalk_wash, Stroke::new(1.5, p.chalk), StrokeKind::Outside);
        painter.text(card.center(), Align2::CENTER_CENTER, "85.6 × 54 mm", theme::small(), p.ink_soft);
        let least = DENSITIES.start() * CARD_MM.0;
        let most = (room.x * per_point).min(DENSITIES.end() * CARD_MM.0);
        ui.spacing_mut().slider_width = room.x - 20.0;
        let slider = ui.add(Slider::new(&mut self.dots, least..=most).show_value(false));
        slider.widget_info(|| WidgetInfo::slider(true, f64::from(self.dots), "Width of the card on the screen"));
        if !slider.has_focus() {
            let by = ui.input(|i| f32::from(i8::from(i.key_pressed(Key::ArrowRight)) - i8::from(i.key_pressed(Key::ArrowLeft))));
            self.dots = (self.dots + by).clamp(least, most);
        }
        ui.add_space(8.0);
        ui.horizontal(|ui| {
            if widget::main_button(ui, None, "It is as large as the card").clicked() || ui.input(|i| i.key_pressed(Key::Enter)) {
                remember(ui.ctx(), self.dots / CARD_MM.0);
                return Some(Answer::Done);
            }
            ui.button("Cancel").clicked().then_some(Answer::Done)
        })
        .inner
    }
}
