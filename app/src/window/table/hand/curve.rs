//! Curve: exactly through the points that are clicked, with a handle at each.

use draft_core::alteration::offer::{Snapped, snapped};
use draft_core::{DrawnLine, Name, Piece, Place, Unit, curve_through, geometry};
use egui::{Key, Painter, Shape, Stroke, Ui};
use kurbo::{BezPath, CubicBez, Point};

use super::choices::Choices;
use super::straight::{hold, snapped_exactly, told};
use super::typed::{Typed, Typing};
use super::{Bench, Tool, Touch, ring, tag};
use crate::window::Request;

/// Near enough to a handle to take hold of it, screen points.
const HANDLE: f32 = 9.0;

/// A point of the curve.
#[derive(Clone, Debug)]
struct Knot {
    at: Point,
    place: Place,
}

/// Curve.
#[derive(Default)]
pub struct Curve {
    piece: Option<Name>,
    knots: Vec<Knot>,
    typed: Typed,
    /// The curve once it is finished, a cubic from each point to the next, and what it can become.
    finished: Option<(Vec<CubicBez>, Option<Choices>)>,
    /// The handle that is being dragged: which cubic, and whether the one at its end.
    dragged: Option<(usize, bool)>,
}

impl Curve {
    fn next(&self, piece: &Piece, pointer: Point, bench: &Bench<'_>) -> Snapped {
        let before = self.knots.last().map(|k| k.at);
        match (self.typed.read(bench.seen.unit), before) {
            (Some(typed), Some(from)) => snapped_exactly(piece, typed.end(piece, from, pointer)),
            _ => snapped(piece, before, pointer, bench.reach(), None),
        }
    }

    fn add(&mut self, found: Snapped) {
        if self.knots.last().is_none_or(|k| k.at.distance(found.at) >= 1.0) {
            self.knots.push(Knot { at: found.at, place: found.place });
        }
        self.typed.clear();
    }

    fn finish(&mut self, bench: &Bench<'_>) {
        let points: Vec<Point> = self.knots.iter().map(|k| k.at).collect();
        let cubics = curve_through(&points);
        if !cubics.is_empty() {
            let choices = self.choices(&cubics, bench);
            self.finished = Some((cubics, choices));
        }
    }

    fn choices(&self, cubics: &[CubicBez], bench: &Bench<'_>) -> Option<Choices> {
        let laid = bench.laid(self.piece.as_ref()?.as_str())?;
        let through = self.knots.iter().map(|k| k.place.clone()).collect();
        let line = DrawnLine::of_cubics(&laid.shape.piece, through, cubics)?;
        Choices::of_line(bench, &laid.shape.piece, &line)
    }

    /// The handle at a point of the piece.
    fn handle_at(&self, at: Point, bench: &Bench<'_>) -> Option<(usize, bool)> {
        let (cubics, _) = self.finished.as_ref()?;
        let near = bench.transform.cloth_length(HANDLE);
        let all = cubics.iter().enumerate().flat_map(|(i, c)| [((i, false), c.p1), ((i, true), c.p2)]);
        all.filter(|(_, p)| p.distance(at) <= near).min_by(|a, b| a.1.distance(at).total_cmp(&b.1.distance(at))).map(|(which, _)| which)
    }

    /// Moves a handle; the one on the other side of its point turns with it.
    fn drag(&mut self, to: Point) {
        let (Some((i, end)), Some((cubics, _))) = (self.dragged, &mut self.finished) else { return };
        let turned = |hub: Point, other: Point| hub - (to - hub).normalize() * (other - hub).hypot();
        if end {
            cubics[i].p2 = to;
            if let Some(next) = cubics.get(i + 1).copied()
                && to.distance(next.p0) > 0.1
            {
                cubics[i + 1].p1 = turned(next.p0, next.p1);
            }
        } else {
            cubics[i].p1 = to;
            if let Some(before) = i.checked_sub(1).and_then(|k| cubics.get(k)).copied()
                && to.distance(before.p3) > 0.1
            {
                cubics[i - 1].p2 = turned(before.p3, before.p2);
            }
        }
    }
}

fn flat(cubics: &[CubicBez]) -> Vec<Point> {
    let mut path = BezPath::new();
    for c in cubics {
        if path.elements().is_empty() {
            path.move_to(c.p0);
        }
        path.curve_to(c.p1, c.p2, c.p3);
    }
    geometry::flattened(&path, 0.05)
}

impl Tool for Curve {
    fn touch(&mut self, touch: &Touch, bench: &Bench<'_>, _: &mut Vec<Request>) {
        match touch {
            Touch::Click(at) => {
                if self.finished.is_some() {
                    self.let_go();
                }
                if self.piece.is_none() {
                    self.piece = bench.piece_at(*at).map(|laid| laid.shape.piece.name().clone());
                }
                let Some(laid) = self.piece.as_ref().and_then(|name| bench.laid(name.as_str())) else { return };
                let found = self.next(&laid.shape.piece, *at - laid.by, bench);
                self.add(found);
            }
            Touch::Again => self.finish(bench),
            Touch::Press(at) => {
                let laid = self.piece.as_ref().and_then(|name| bench.laid(name.as_str()));
                self.dragged = laid.and_then(|laid| self.handle_at(*at - laid.by, bench));
            }
            Touch::Drag(moves) => {
                let laid = self.piece.as_ref().and_then(|name| bench.laid(name.as_str()));
                if let Some((laid, to)) = laid.zip(moves.last()) {
                    self.drag(*to - laid.by);
                }
            }
            Touch::Release(_) => {
                self.dragged = None;
                if let Some((cubics, _)) = self.finished.take() {
                    let choices = self.choices(&cubics, bench);
                    self.finished = Some((cubics, choices));
                }
            }
        }
    }

    fn takes_drag(&self, at: Point, bench: &Bench<'_>) -> bool {
        let laid = self.piece.as_ref().and_then(|name| bench.laid(name.as_str()));
        laid.is_some_and(|laid| self.handle_at(at - laid.by, bench).is_some())
    }

    fn paint(&self, painter: &Painter, bench: &Bench<'_>) {
        let p = bench.p;
        let Some(laid) = self.piece.as_ref().and_then(|name| bench.laid(name.as_str())) else {
            hold(painter, bench);
            return;
        };
        let stroke = Stroke::new(2.4, p.chalk);
        if let Some((cubics, choices)) = &self.finished {
            if let Some(choices) = choices {
                choices.paint(painter, bench);
            }
            painter.add(Shape::line(bench.line(laid, &flat(cubics)), stroke));
            for c in cubics {
                for (hub, handle) in [(c.p0, c.p1), (c.p3, c.p2)] {
                    let (hub, handle) = (bench.screen(laid, hub), bench.screen(laid, handle));
                    painter.line_segment([hub, handle], Stroke::new(1.0, p.chalk));
                    painter.circle(handle, 4.5, p.chalk_wash, Stroke::new(1.4, p.chalk));
                }
            }
        } else {
            let mut points: Vec<Point> = self.knots.iter().map(|k| k.at).collect();
            if let Some(pointer) = bench.pointer_on(laid) {
                let found = self.next(&laid.shape.piece, pointer, bench);
                let to = bench.screen(laid, found.at);
                if let Some(last) = points.last() {
                    let why = found.why.map_or_else(String::new, |why| format!(", {why}"));
                    tag(painter, to, told(&laid.shape.piece, *last, found.at, bench.seen.unit) + &why, bench);
                }
                points.push(found.at);
                ring(painter, to, p);
            }
            painter.add(Shape::line(bench.line(laid, &flat(&curve_through(&points))), stroke));
        }
        for knot in &self.knots {
            ring(painter, bench.screen(laid, knot.at), p);
        }
    }

    fn beside(&mut self, ui: &mut Ui, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        if let Some((_, choices)) = &mut self.finished {
            let let_go = self.dragged.is_none() && choices.as_mut().is_some_and(|c| c.beside(ui, bench, requests, |_| {}));
            if let_go {
                self.let_go();
            }
            return;
        }
        let Some(laid) = self.piece.as_ref().and_then(|name| bench.laid(name.as_str())) else { return };
        let Some(last) = self.knots.last().map(|k| k.at) else { return };
        let typing = ui.ctx().text_edit_focused();
        let at = bench.screen(laid, last) - egui::vec2(0.0, 120.0);
        if self.typed.show(ui, at, bench) == Typing::Entered {
            let found = self.next(&laid.shape.piece, bench.pointer_on(laid).unwrap_or(last), bench);
            self.add(found);
            ui.ctx().request_repaint();
        } else if !typing {
            let (enter, back) = ui.input(|i| (i.key_pressed(Key::Enter), i.key_pressed(Key::Backspace)));
            if enter {
                self.finish(bench);
                ui.ctx().request_repaint();
            } else if back {
                self.knots.pop();
                if self.knots.is_empty() {
                    self.piece = None;
                }
                ui.ctx().request_repaint();
            }
        }
    }

    fn says(&self, _: Unit) -> String {
        match (&self.finished, self.knots.len()) {
            (Some(_), _) => "Drag a handle to bend the curve; say beside it what it becomes. Esc lets it go.",
            (None, 0) => "Click on a piece where the curve begins.",
            (None, 1) => "Click the next point of the curve, or type how far and at which angle. Esc lets it go.",
            (None, _) => "Click the next point. Enter or a second click on the last ends the curve; Backspace takes the last point away.",
        }
        .into()
    }

    fn let_go(&mut self) -> bool {
        let had = self.piece.is_some();
        *self = Self::default();
        had
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dragged_handle_turns_the_one_across_its_point() {
        let points = [(0.0, 0.0), (50.0, 20.0), (100.0, 0.0)].map(Point::from);
        let cubics = curve_through(&points);
        let mut curve = Curve { finished: Some((cubics, None)), dragged: Some((0, true)), ..Curve::default() };
        curve.drag(Point::new(40.0, 40.0));
        let found = curve.finished.map(|(c, _)| (c[0].p2 - c[0].p3, c[1].p1 - c[1].p0));
        let aligned = found.map(|(a, b): (kurbo::Vec2, kurbo::Vec2)| a.normalize() + b.normalize());
        assert!(aligned.is_some_and(|v| v.hypot() < 1e-9), "{aligned:?}");
    }
}
