//! The Measure stage: the wearer card, the figure, and where the tape goes.

mod card;
mod field;
mod outlook;
mod takes;
mod ticket;

use std::sync::Arc;

use draft_core::figure::{Figure, View};
use draft_core::plausible::Outlooks;
use draft_core::{Body, Measurement, Survey};
use egui::text::LayoutJob;
use egui::{Align, Align2, FontFamily, FontId, Pos2, Stroke, Ui, pos2};
use kurbo::Point;

use super::fill::{Fill, fill};
use super::theme::{self, Palette};
use super::{Desk, widget};

/// What is looked at on the wearer card.
pub struct MeasureView {
    /// The measurement whose tape is lit.
    looking_at: Measurement,
    /// Put the cursor into its field.
    focus: bool,
    shape: Option<Shape>,
    outlooks: Option<(Arc<Body>, Survey, Outlooks)>,
}

/// The figure of a body, its parts filled.
struct Shape {
    of: Arc<Body>,
    figure: Figure,
    fills: Vec<Fill>,
}

impl Default for MeasureView {
    fn default() -> Self {
        Self { looking_at: Measurement::BustGirth, focus: false, shape: None, outlooks: None }
    }
}

impl MeasureView {
    /// Looks at a measurement and puts the cursor into its field.
    pub fn look_at(&mut self, which: Measurement) {
        self.looking_at = which;
        self.focus = true;
    }

    /// The figure of this body; shaped again only when the body is another.
    fn shape(&mut self, body: &Arc<Body>) -> &Shape {
        self.shape.take_if(|shape| !Arc::ptr_eq(&shape.of, body));
        self.shape.get_or_insert_with(|| {
            let figure = Figure::of(body);
            let fills = figure.parts.iter().map(|line| fill(std::slice::from_ref(line))).collect();
            Shape { of: Arc::clone(body), figure, fills }
        })
    }

    /// What is plausible for this body; worked out again only when the body is another.
    fn outlooks(&mut self, body: &Arc<Body>, survey: Survey) -> &Outlooks {
        self.outlooks.take_if(|(of, whose, _)| !Arc::ptr_eq(of, body) || *whose != survey);
        let (_, _, outlooks) = self.outlooks.get_or_insert_with(|| (Arc::clone(body), survey, Outlooks::of(body, survey)));
        outlooks
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
        let shape = self.shape(&desk.built().body);
        let figure = &shape.figure;
        let caption = 84.0;
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
            paint_figure(&painter, shape, view, which, place, p);
            let word = if view == View::Front { "front" } else { "back" };
            painter.text(pos2(middle, foot + slack + 6.0), Align2::CENTER_TOP, word, theme::small(), p.ink_soft);
        }
        let top = room.bottom() - caption;
        painter.text(pos2(room.center().x, top), Align2::CENTER_TOP, which.name(), theme::heading(), p.chalk);
        let mut job = LayoutJob::simple(
            which.where_the_tape_goes().to_owned(),
            FontId::new(14.0, FontFamily::Proportional),
            p.ink,
            room.width() - 80.0,
        );
        job.halign = Align::Center;
        let galley = painter.layout_job(job);
        painter.galley(pos2(room.center().x, top + 20.0), galley, p.ink);
    }
}

fn paint_figure(painter: &egui::Painter, shape: &Shape, view: View, which: Measurement, place: impl Fn(Point) -> Pos2 + Copy, p: &Palette) {
    let on_screen = |points: &[Point]| points.iter().map(|q| place(*q)).collect::<Vec<_>>();
    // All lines first and all areas over them, so that only the outer line of the whole figure stays.
    let outlines: Vec<_> = shape.figure.parts.iter().map(|part| on_screen(part)).collect();
    for line in &outlines {
        painter.add(egui::Shape::closed_line(line.clone(), Stroke::new(3.2, p.skin_line)));
    }
    for (fill, line) in shape.fills.iter().zip(outlines) {
        painter.add(fill.shape(place, p.skin));
        painter.add(egui::Shape::closed_line(line, Stroke::new(1.0, p.skin)));
    }
    for detail in shape.figure.details(view) {
        painter.add(egui::Shape::line(on_screen(&detail), Stroke::new(1.0, p.skin_line.gamma_multiply(0.7))));
    }
    for (on, tape) in shape.figure.tape(which) {
        if on != view {
            continue;
        }
        let points = on_screen(&tape);
        painter.add(egui::Shape::line(points.clone(), Stroke::new(6.5, p.table)));
        painter.add(egui::Shape::line(points.clone(), Stroke::new(4.0, p.chalk)));
        for end in [points.first(), points.last()].into_iter().flatten() {
            painter.circle(*end, 4.0, p.on_chalk, Stroke::new(2.0, p.chalk));
        }
    }
}
