//! Pin in: a drag along an edge pins cloth away, as a wedge into a dart or a fold across the piece.

use draft_core::alteration::offer::{Pinned, pinned, pins};
use draft_core::{Name, Unit, geometry, parse_length, taped};
use egui::{Painter, Shape, Stroke, TextEdit, Ui};
use kurbo::Point;

use super::choices::Choices;
use super::straight::hold;
use super::{Bench, Tool, Touch, beside, ring, tag};
use crate::window::{Request, widget};

/// What a click without a drag pins away, millimetres.
const CLICKED_MM: f64 = 5.0;

/// What was pinned, and what it can become.
struct Done {
    piece: Name,
    pinned: Pinned,
    /// Where it lies along the edge.
    points: Vec<Point>,
    choices: Choices,
}

/// Pin in.
#[derive(Default)]
pub struct PinIn {
    /// The piece, and where the drag began and is now, on it.
    drag: Option<(Name, Point, Point)>,
    done: Option<Done>,
    /// The amount as it is being typed.
    typed: Option<String>,
    missed: bool,
}

impl PinIn {
    fn finish(&mut self, piece: &Name, pinned: Option<Pinned>, bench: &Bench<'_>) {
        let found = pinned.zip(bench.laid(piece.as_str()));
        self.missed = found.is_none();
        self.done = found.and_then(|(pinned, laid)| {
            let middle = pinned.at.find(&laid.shape.piece).ok()?;
            let half = pinned.by_mm / 2.0;
            let shape = &laid.shape.piece;
            // The stretch of the edge that is pinned away, to show it.
            let ends = [-half, half].map(|by| along(shape, &pinned, by).unwrap_or(middle));
            let points = taped::along_edge(shape, ends[0], ends[1], 1.0).map_or_else(|| ends.to_vec(), |p| geometry::flattened(&p, 0.05));
            let choices = Choices::among(piece.clone(), points.clone(), pins(bench.draft(), piece, &pinned, bench.seen.unit));
            Some(Done { piece: piece.clone(), pinned, points, choices })
        });
    }
}

/// A point of the edge so far onward from the middle of what is pinned.
fn along(piece: &draft_core::Piece, pinned: &Pinned, by_mm: f64) -> Option<Point> {
    let draft_core::Place::Edge { edge, from, at: draft_core::Along::Length(mm) } = &pinned.at else { return None };
    let place = draft_core::Place::along(edge.clone(), from.clone(), draft_core::Length::from_mm((mm.mm() + by_mm).max(0.0)));
    place.find(piece).ok()
}

impl Tool for PinIn {
    fn touch(&mut self, touch: &Touch, bench: &Bench<'_>, _: &mut Vec<Request>) {
        match touch {
            Touch::Press(at) => {
                self.let_go();
                self.drag = bench.piece_at(*at).map(|laid| (laid.shape.piece.name().clone(), *at - laid.by, *at - laid.by));
            }
            Touch::Drag(moves) => {
                if let Some((piece, _, to)) = &mut self.drag
                    && let Some((laid, at)) = bench.laid(piece.as_str()).zip(moves.last())
                {
                    *to = *at - laid.by;
                }
            }
            Touch::Release(_) => {
                if let Some((piece, from, to)) = self.drag.take()
                    && let Some(laid) = bench.laid(piece.as_str())
                {
                    let found = pinned(&laid.shape.piece, from, to, bench.reach()).filter(|p| p.by_mm >= 1.0);
                    self.finish(&piece, found, bench);
                }
            }
            Touch::Click(at) => {
                self.let_go();
                if let Some(laid) = bench.piece_at(*at) {
                    let at = *at - laid.by;
                    let found = pinned(&laid.shape.piece, at, at, bench.reach()).map(|p| Pinned { by_mm: CLICKED_MM, ..p });
                    self.finish(&laid.shape.piece.name().clone(), found, bench);
                }
            }
            Touch::Again => {}
        }
    }

    fn takes_drag(&self, at: Point, bench: &Bench<'_>) -> bool {
        let near = |laid: &super::Laid| taped::on_outline(&laid.shape.piece, at - laid.by, bench.reach()).is_some();
        bench.piece_at(at).is_some_and(near)
    }

    fn paint(&self, painter: &Painter, bench: &Bench<'_>) {
        if let Some(done) = &self.done {
            done.choices.paint(painter, bench);
            if let Some(laid) = bench.laid(done.piece.as_str()) {
                painter.add(Shape::line(bench.line(laid, &done.points), Stroke::new(5.0, bench.p.ochre)));
            }
            return;
        }
        let Some((piece, from, to)) = &self.drag else {
            hold(painter, bench);
            return;
        };
        let Some(laid) = bench.laid(piece.as_str()) else { return };
        if let Some(found) = pinned(&laid.shape.piece, *from, *to, bench.reach()) {
            let half = found.by_mm / 2.0;
            let ends: Vec<Point> = [-half, half].iter().filter_map(|by| along(&laid.shape.piece, &found, *by)).collect();
            if let [a, b] = ends[..] {
                if let Some(path) = taped::along_edge(&laid.shape.piece, a, b, 1.0) {
                    painter.add(Shape::line(bench.line(laid, &geometry::flattened(&path, 0.05)), Stroke::new(5.0, bench.p.ochre)));
                }
                for end in [a, b] {
                    ring(painter, bench.screen(laid, end), bench.p);
                }
                let text = format!("{} of the {} pinned in", bench.seen.unit.text(found.by_mm), found.edge);
                tag(painter, bench.screen(laid, *to), text, bench);
            }
        }
    }

    fn beside(&mut self, ui: &mut Ui, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        let Some(done) = &mut self.done else { return };
        let unit = bench.seen.unit;
        let (typed, now, edge) = (&mut self.typed, done.pinned.by_mm, done.pinned.edge.clone());
        let mut asked = None;
        let mut head = |ui: &mut Ui| {
            ui.horizontal(|ui| {
                widget::soft(ui, "Pin in");
                let mut text = typed.clone().unwrap_or_else(|| unit.text(now));
                let response = ui.add(TextEdit::singleline(&mut text).desired_width(f32::INFINITY));
                if response.changed() {
                    *typed = Some(text.clone());
                }
                if response.lost_focus() {
                    asked = typed.take().and_then(|t| parse_length(&t, unit).ok()).filter(|mm| *mm > 0.0);
                }
                response.on_hover_text("How much of the edge is pinned away").accessible_name("Pin in by");
            });
            widget::soft(ui, format!("at the {edge}"));
        };
        let let_go = if done.choices.is_empty() {
            let at = done.points.last().zip(bench.laid(done.piece.as_str())).map(|(p, laid)| bench.screen(laid, *p));
            at.is_none_or(|at| {
                beside::panel(ui, "choices", at, bench, |ui| {
                    head(ui);
                    widget::soft(ui, "So much can't be pinned in here. Pin in less, or further from the corner.");
                    ui.button("Let it go").clicked()
                })
            })
        } else {
            done.choices.beside(ui, bench, requests, head)
        };
        if let Some(by_mm) = asked {
            let (piece, pinned) = (done.piece.clone(), Pinned { by_mm, ..done.pinned.clone() });
            self.finish(&piece, Some(pinned), bench);
            ui.ctx().request_repaint();
        } else if let_go {
            self.let_go();
        }
    }

    fn says(&self, _: Unit) -> String {
        match (&self.done, &self.drag, self.missed) {
            (Some(_), ..) => "Say beside it where the cloth goes: what it does to both sides of the seams stands below. Esc lets it go.",
            (None, Some(_), _) => "Let go when enough of the edge is pinned in.",
            (None, None, true) => "Cloth is pinned in at an edge other than a fold: drag along one.",
            (None, None, false) => "Drag along an edge to pin cloth in: a gape at a neckline, a fold across a piece.",
        }
        .into()
    }

    fn let_go(&mut self) -> bool {
        let had = self.done.is_some() || self.drag.is_some();
        *self = Self::default();
        had
    }
}
