//! Length: a tape from point to point, straight and along edges.

use draft_core::alteration::offer::snapped;
use draft_core::taped::{self, Taped};
use draft_core::{Name, Unit, geometry};
use egui::{Painter, Shape, Stroke};
use kurbo::Point;

use super::straight::hold;
use super::{Bench, Tool, Touch, ring, tag};
use crate::window::Request;

/// How near the outline a point lies that was laid on it, millimetres.
const ON_MM: f64 = 1.0;

/// The tape.
#[derive(Default)]
pub struct Length {
    piece: Option<Name>,
    points: Vec<Point>,
    /// What was measured from each point to the next.
    legs: Vec<Taped>,
}

/// What a tape says, in words.
fn told(leg: &Taped, unit: Unit) -> String {
    let along = leg.along_mm.filter(|mm| (mm - leg.straight_mm).abs() > 0.05 || leg.edges.len() == 1);
    let along = along.map_or_else(String::new, |mm| {
        let edges: Vec<&str> = leg.edges.iter().map(Name::as_str).collect();
        format!(", {} along the {}", unit.text(mm), edges.join(" and the "))
    });
    format!("{} straight{along}", unit.text(leg.straight_mm))
}

impl Tool for Length {
    fn touch(&mut self, touch: &Touch, bench: &Bench<'_>, _: &mut Vec<Request>) {
        let Touch::Click(at) = touch else { return };
        let here = bench.piece_at(*at);
        // On another piece a new length begins.
        if here.is_none() || here.map(|l| l.shape.piece.name()) != self.piece.as_ref() {
            self.let_go();
            self.piece = here.map(|l| l.shape.piece.name().clone());
        }
        let Some(laid) = here else { return };
        let piece = &laid.shape.piece;
        let found = snapped(piece, self.points.last().copied(), *at - laid.by, bench.reach(), None).at;
        if let Some(last) = self.points.last() {
            self.legs.push(taped::taped(piece, *last, found, ON_MM));
        }
        self.points.push(found);
    }

    fn paint(&self, painter: &Painter, bench: &Bench<'_>) {
        let p = bench.p;
        let Some(laid) = self.piece.as_ref().and_then(|name| bench.laid(name.as_str())) else {
            hold(painter, bench);
            return;
        };
        let piece = &laid.shape.piece;
        let mut points = self.points.clone();
        let open = bench.pointer_on(laid).map(|pointer| snapped(piece, self.points.last().copied(), pointer, bench.reach(), None).at);
        points.extend(open);
        for pair in points.windows(2) {
            if let Some(path) = taped::along_edge(piece, pair[0], pair[1], ON_MM) {
                painter
                    .add(Shape::line(bench.line(laid, &geometry::flattened(&path, 0.05)), Stroke::new(4.0, p.chalk.gamma_multiply(0.6))));
            }
            let ends = [bench.screen(laid, pair[0]), bench.screen(laid, pair[1])];
            painter.extend(Shape::dashed_line(&ends, Stroke::new(1.8, p.chalk), 8.0, 4.0));
        }
        for at in &points {
            ring(painter, bench.screen(laid, *at), p);
        }
        if let (Some(last), Some(open)) = (self.points.last(), open)
            && last.distance(open) >= 1.0
        {
            let leg = taped::taped(piece, *last, open, ON_MM);
            tag(painter, bench.screen(laid, open), told(&leg, bench.seen.unit), bench);
        }
    }

    fn says(&self, unit: Unit) -> String {
        let Some(last) = self.legs.last() else {
            return if self.points.is_empty() {
                "Click where the tape begins: an edge, a point, or anywhere on a piece.".into()
            } else {
                "Click where it ends. Between two points of the outline it is read along the edges too.".into()
            };
        };
        let told = told(last, unit);
        let piece = self.piece.as_ref().map_or("", Name::as_str);
        if self.legs.len() == 1 {
            return format!("{piece}: {told}. Click on to add to it; Esc begins again.");
        }
        let straight: f64 = self.legs.iter().map(|l| l.straight_mm).sum();
        let along: Option<f64> = self.legs.iter().map(|l| l.along_mm).sum();
        let along = along.map_or_else(String::new, |mm| format!(", {} along the edges", unit.text(mm)));
        format!("{piece}: {told}. In all {} straight{along}.", unit.text(straight))
    }

    fn let_go(&mut self) -> bool {
        let had = self.piece.is_some();
        *self = Self::default();
        had
    }
}
