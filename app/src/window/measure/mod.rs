//! The Measure stage: the wearer card, the figure, and where the tape goes.

mod card;
mod field;
mod figure;

use std::sync::Arc;

use draft_core::{Body, Measurement};
use egui::{Align2, FontFamily, FontId, Pos2, Shape, Stroke, Ui, pos2};
use kurbo::Point;

use self::figure::{Figure, View};
use super::theme::{self, Palette};
use super::{Desk, widget};

/// What is looked at on the wearer card.
pub struct MeasureView {
    /// The measurement whose tape is lit.
    looking_at: Measurement,
    /// Put the cursor into its field.
    focus: bool,
    figure: Option<(Arc<Body>, Figure)>,
}

impl Default for MeasureView {
    fn default() -> Self {
        Self { looking_at: Measurement::BustGirth, focus: false, figure: None }
    }
}

impl MeasureView {
    /// Looks at a measurement and puts the cursor into its field.
    pub fn look_at(&mut self, which: Measurement) {
        self.looking_at = which;
        self.focus = true;
    }

    /// The figure of this body; shaped again only when the body is another.
    fn figure(&mut self, body: &Arc<Body>) -> &Figure {
        if !self.figure.as_ref().is_some_and(|(of, _)| Arc::ptr_eq(of, body)) {
            self.figure = None;
        }
        let (_, figure) = self.figure.get_or_insert_with(|| (Arc::clone(body), Figure::of(body)));
        figure
    }

    /// Shows the figure from the front and from the back, with the tape lit.
    pub fn figure_page(&mut self, ui: &mut Ui, desk: &Desk) {
        let p = Palette::of(ui);
        let room = ui.available_rect_before_wrap();
        let which = self.looking_at;
        let response = ui.interact(room, widget::steady("figure"), egui::Sense::hover());
        response.widget_info(|| {
            let text = format!("Figure from the front and from the back. {}: {}", which.name(), which.where_the_tape_goes());
            egui::WidgetInfo::labeled(egui::Role::Image, true, text)
        });
        let figure = self.figure(&desk.built().body);
        let caption = 64.0;
        let scale = (f64::from(room.height() - caption - 30.0) / figure.height())
            .min(f64::from(room.width() - 40.0) / (figure.reach() * 4.3))
            .max(0.05);
        let foot = room.top() + 22.0 + (figure.height() * scale) as f32;
        let slack = ((room.bottom() - caption - foot) / 2.0).max(0.0);
        let painter = ui.painter().with_clip_rect(room);
        for view in View::ALL {
            let side = if view == View::Front { -1.0 } else { 1.0 };
            let middle = room.center().x + (side * figure.reach() * 1.06 * scale) as f32;
            let place = |q: Point| pos2(middle + (q.x * scale) as f32, room.top() + 22.0 + slack + (q.y * scale) as f32);
            paint_figure(&painter, figure, view, which, place, p);
            let word = if view == View::Front { "front" } else { "back" };
            painter.text(pos2(middle, foot + slack + 6.0), Align2::CENTER_TOP, word, theme::small(), p.ink_soft);
        }
        let text = super::blocks::sentence_case(which.where_the_tape_goes());
        let galley =
            painter.layout(format!("{}: {}", which.name(), text), FontId::new(14.5, FontFamily::Proportional), p.ink, room.width() - 60.0);
        let at = pos2(room.center().x - galley.size().x / 2.0, room.bottom() - caption / 2.0 - galley.size().y / 2.0 + 4.0);
        painter.galley(at, galley, p.ink);
    }
}

fn paint_figure(
    painter: &egui::Painter,
    figure: &Figure,
    view: View,
    which: Measurement,
    place: impl Fn(Point) -> Pos2 + Copy,
    p: &Palette,
) {
    let line = Stroke::new(1.4, p.skin_line);
    let on_screen = |points: &[Point]| points.iter().map(|q| place(*q)).collect::<Vec<_>>();
    for part in &figure.parts {
        painter.add(part.fill.shape(place, p.skin));
        painter.add(Shape::closed_line(on_screen(&part.line), line));
    }
    for detail in figure.details(view) {
        painter.add(Shape::line(on_screen(&detail), Stroke::new(1.0, p.skin_line.gamma_multiply(0.7))));
    }
    for (on, tape) in figure.tape(which) {
        if on != view {
            continue;
        }
        let points = on_screen(&tape);
        painter.add(Shape::line(points.clone(), Stroke::new(6.5, p.table)));
        painter.add(Shape::line(points.clone(), Stroke::new(4.0, p.chalk)));
        for end in [points.first(), points.last()].into_iter().flatten() {
            painter.circle(*end, 4.0, p.on_chalk, Stroke::new(2.0, p.chalk));
        }
    }
}
