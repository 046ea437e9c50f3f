//! The rule, which draws a straight line, and the shears, which cut along one at once.

use draft_core::alteration::offer::{Snapped, sheared, snapped};
use draft_core::{DraftError, DrawnLine, Name, Piece, Place, Unit, Work};
use egui::{Painter, Stroke, Ui};
use kurbo::Point;

use super::choices::Choices;
use super::typed::{Typed, Typing};
use super::{Bench, Tool, Touch, ring, tag};
use crate::edit::Command;
use crate::window::{Chosen, Request};

/// A line that has begun.
#[derive(Clone, Debug)]
struct Open {
    piece: Name,
    from: Point,
    place: Place,
}

/// The rule or the shears.
#[derive(Default)]
pub struct Straight {
    /// It cuts at once.
    cuts: bool,
    open: Option<Open>,
    typed: Typed,
    choices: Option<Choices>,
    /// Length of the line before, millimetres.
    before_mm: Option<f64>,
    /// Why it could not be cut.
    refused: Option<DraftError>,
}

impl Straight {
    /// The shears.
    pub fn shears() -> Self {
        Self { cuts: true, ..Self::default() }
    }

    /// Where the line would end, from where the pointer is and what is typed.
    fn end(&self, open: &Open, piece: &Piece, pointer: Point, bench: &Bench<'_>) -> Snapped {
        match self.typed.read(bench.seen.unit) {
            Some(typed) => {
                let at = typed.end(piece, open.from, pointer);
                // A typed number is exact unless an edge is right there.
                snapped_exactly(piece, at)
            }
            None => snapped(piece, Some(open.from), pointer, bench.reach(), self.before_mm),
        }
    }

    fn finish(&mut self, end: &Snapped, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        let Some(open) = self.open.clone() else { return };
        let Some(laid) = bench.laid(open.piece.as_str()) else { return };
        let piece = &laid.shape.piece;
        if end.at.distance(open.from) < 1.0 {
            return;
        }
        let line = DrawnLine::straight(open.place, end.place.clone());
        self.before_mm = Some(end.at.distance(open.from));
        self.typed.clear();
        self.open = None;
        if !self.cuts {
            self.choices = Choices::of_line(bench, piece, &line);
            return;
        }
        match sheared(bench.draft(), piece.name(), &line) {
            Ok(alteration) => {
                let at = bench.seen.garment.works.len();
                let work = Box::new(Work::Alter(Box::new(alteration)));
                requests.push(Request::Edit(Command::AddWork { at: Some(at), work }));
                requests.push(Request::Choose(Chosen::Work(at)));
            }
            Err(error) => self.refused = Some(error),
        }
    }
}

/// A place at a point, with nothing taken hold of but an edge or a point that is all but there.
pub fn snapped_exactly(piece: &Piece, at: Point) -> Snapped {
    let place = draft_core::alteration::offer::place_exactly_at(piece, at, 0.75);
    Snapped { at: place.find(piece).unwrap_or(at), place, why: None }
}

/// Length and angle of a line, in words.
pub fn told(piece: &Piece, from: Point, to: Point, unit: Unit) -> String {
    let by = to - from;
    let grain = piece.grain();
    let up = (grain.p1 - grain.p0).normalize();
    let degrees = by.cross(up).abs().atan2(by.dot(up).abs()).to_degrees();
    format!("{}, {degrees:.0}° to the grain", unit.text(by.hypot()))
}

impl Tool for Straight {
    fn touch(&mut self, touch: &Touch, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        let Touch::Click(at) = touch else { return };
        self.refused = None;
        if let Some(open) = self.open.clone()
            && let Some(laid) = bench.laid(open.piece.as_str())
        {
            let end = self.end(&open, &laid.shape.piece, *at - laid.by, bench);
            self.finish(&end, bench, requests);
            return;
        }
        self.choices = None;
        self.open = bench.piece_at(*at).map(|laid| {
            let piece = &laid.shape.piece;
            let begun = snapped(piece, None, *at - laid.by, bench.reach(), None);
            Open { piece: piece.name().clone(), from: begun.at, place: begun.place }
        });
    }

    fn paint(&self, painter: &Painter, bench: &Bench<'_>) {
        if let Some(choices) = &self.choices {
            choices.paint(painter, bench);
            return;
        }
        let Some(open) = &self.open else {
            hold(painter, bench);
            return;
        };
        let Some(laid) = bench.laid(open.piece.as_str()) else { return };
        let piece = &laid.shape.piece;
        let begun = bench.screen(laid, open.from);
        if let Some(pointer) = bench.pointer_on(laid) {
            let end = self.end(open, piece, pointer, bench);
            let to = bench.screen(laid, end.at);
            painter.line_segment([begun, to], Stroke::new(2.4, bench.p.chalk));
            ring(painter, to, bench.p);
            let why = end.why.map_or_else(String::new, |why| format!(", {why}"));
            if end.at.distance(open.from) >= 1.0 {
                tag(painter, to, told(piece, open.from, end.at, bench.seen.unit) + &why, bench);
            }
        }
        ring(painter, begun, bench.p);
    }

    fn beside(&mut self, ui: &mut Ui, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        if let Some(choices) = &mut self.choices {
            if choices.beside(ui, bench, requests, |_| {}) {
                self.choices = None;
            }
            return;
        }
        let Some(open) = self.open.clone() else { return };
        let Some(laid) = bench.laid(open.piece.as_str()) else { return };
        let at = bench.screen(laid, open.from) - egui::vec2(0.0, 120.0);
        if self.typed.show(ui, at, bench) == Typing::Entered {
            let piece = &laid.shape.piece;
            let pointer = bench.pointer_on(laid).unwrap_or(open.from);
            let end = self.end(&open, piece, pointer, bench);
            self.finish(&end, bench, requests);
            ui.ctx().request_repaint();
        }
    }

    fn says(&self, _: Unit) -> String {
        if let Some(error) = &self.refused {
            return format!("{}: {}. {}", error.place, error.problem, error.remedy);
        }
        match (&self.open, &self.choices, self.cuts) {
            (None, None, false) => "Click on a piece where the line begins: an edge, a point, or anywhere inside.",
            (None, None, true) => "Click on the edge where the cut begins. From edge to edge it cuts in two; to a place inside it slits.",
            (Some(_), _, false) => "Click where the line ends, or type its length and angle. Esc lets it go.",
            (Some(_), _, true) => "Click where the cut ends, or type its length and angle: it is cut at once. Esc lets it go.",
            (None, Some(_), _) => "Say beside the line what it becomes, or click to begin another.",
        }
        .into()
    }

    fn let_go(&mut self) -> bool {
        let had = self.open.is_some() || self.choices.is_some();
        (self.open, self.choices, self.refused) = (None, None, None);
        self.typed.clear();
        had
    }
}

/// What the hand would take hold of, before anything is begun.
pub fn hold(painter: &Painter, bench: &Bench<'_>) {
    let Some((pointer, laid)) = bench.pointer.and_then(|p| Some((p, bench.piece_at(p)?))) else { return };
    let found = snapped(&laid.shape.piece, None, pointer - laid.by, bench.reach(), None);
    let Some(why) = found.why else { return };
    let at = bench.screen(laid, found.at);
    ring(painter, at, bench.p);
    tag(painter, at, why, bench);
}
