//! Trace off: what a line goes round becomes a piece of its own; a click traces a whole piece.

use draft_core::Unit;
use draft_core::alteration::Alteration;
use draft_core::alteration::offer::Offer;
use egui::{Painter, Ui};
use kurbo::Point;

use super::chalk::Chalk;
use super::{Bench, Tool, Touch};
use crate::window::Request;

/// Trace off.
pub struct TraceOff(Chalk);

impl Default for TraceOff {
    fn default() -> Self {
        Self(Chalk::wanting(|b| matches!(b.alteration, Alteration::Trace(_))))
    }
}

impl Tool for TraceOff {
    fn touch(&mut self, touch: &Touch, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        if let Touch::Click(at) = touch
            && self.0.is_idle()
            && let Some(laid) = bench.piece_at(*at)
            && let Some(offer) = Offer::ALL.iter().find(|o| o.name == "Trace off a copy")
            && let Ok(copy) = offer.begin(bench.draft(), Some((laid.shape.piece.name(), None)))
        {
            requests.push(Request::Begin(Box::new(copy)));
            return;
        }
        self.0.touch(touch, bench, requests);
    }

    fn takes_drag(&self, at: Point, bench: &Bench<'_>) -> bool {
        self.0.takes_drag(at, bench)
    }

    fn paint(&self, painter: &Painter, bench: &Bench<'_>) {
        self.0.paint(painter, bench);
    }

    fn beside(&mut self, ui: &mut Ui, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        self.0.beside(ui, bench, requests);
    }

    fn says(&self, unit: Unit) -> String {
        if self.0.is_idle() {
            "Draw round what is traced off, or from edge to edge. Click a piece to trace all of it.".into()
        } else {
            self.0.says(unit)
        }
    }

    fn let_go(&mut self) -> bool {
        self.0.let_go()
    }
}
