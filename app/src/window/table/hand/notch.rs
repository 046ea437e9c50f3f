//! Notch: a click on an edge marks one.

use draft_core::alteration::offer::snapped;
use draft_core::alteration::{Alteration, Mark, Sign};
use draft_core::{Place, Unit, Work, geometry, taped};
use egui::{Painter, Stroke};
use kurbo::Point;

use super::{Bench, Tool, Touch, tag};
use crate::edit::Command;
use crate::window::{Chosen, Request};

/// Notch.
#[derive(Default)]
pub struct Notch {
    /// Nothing was there to be notched.
    missed: bool,
}

/// Where a notch would be: the place, where that is on the piece, and in words.
fn place<'a>(bench: &Bench<'a>, at: Point) -> Option<(&'a super::Laid, Place, Point, String)> {
    let laid = bench.piece_at(at)?;
    let piece = &laid.shape.piece;
    let found = snapped(piece, None, taped::on_outline(piece, at - laid.by, bench.reach())?, bench.reach(), None);
    taped::on_outline(piece, found.at, 0.5)?;
    let told = match &found.place {
        Place::Edge { edge, from, at: draft_core::Along::Length(mm) } => {
            format!("{edge}: {} from the {from}", bench.seen.unit.text(mm.mm()))
        }
        _ => found.why.clone().unwrap_or_default(),
    };
    Some((laid, found.place, found.at, told))
}

impl Tool for Notch {
    fn touch(&mut self, touch: &Touch, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        let Touch::Click(at) = touch else { return };
        let found = place(bench, *at).and_then(|(laid, at, ..)| {
            let mark = Mark { piece: laid.shape.piece.name().clone(), sign: Sign::Notch { at, double: false } };
            let alteration = Alteration::Mark(mark);
            alteration.apply(bench.draft()).is_ok().then_some(alteration)
        });
        self.missed = found.is_none();
        if let Some(alteration) = found {
            let at = bench.seen.garment.works.len();
            requests.push(Request::Edit(Command::AddWork { at: Some(at), work: Box::new(Work::Alter(Box::new(alteration))) }));
            requests.push(Request::Choose(Chosen::Work(at)));
        }
    }

    fn paint(&self, painter: &Painter, bench: &Bench<'_>) {
        let Some((laid, _, at, told)) = bench.pointer.and_then(|p| place(bench, p)) else { return };
        let piece = &laid.shape.piece;
        let near = |seg: &kurbo::PathSeg| kurbo::ParamCurveNearest::nearest(seg, at, 1e-4);
        let Some((near, seg)) = piece.segments().map(|(_, s)| (near(&s), s)).min_by(|a, b| a.0.distance_sq.total_cmp(&b.0.distance_sq))
        else {
            return;
        };
        let along = geometry::tangent(&seg, near.t);
        let across = egui::vec2(along.y as f32, -along.x as f32) * 10.0;
        let on = bench.screen(laid, at);
        painter.line_segment([on - across, on + across], Stroke::new(2.6, bench.p.chalk));
        tag(painter, on, told, bench);
    }

    fn says(&self, _: Unit) -> String {
        if self.missed {
            "A notch is marked on an edge: click nearer to one.".into()
        } else {
            "Click on an edge where it gets a notch. Its place can be typed at the right afterwards.".into()
        }
    }

    fn let_go(&mut self) -> bool {
        std::mem::take(&mut self.missed)
    }
}
