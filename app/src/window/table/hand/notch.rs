//! Notch: a click on an edge marks one, and what is sewn there at the place that meets it.

use draft_core::alteration::offer::snapped;
use draft_core::alteration::{Alteration, Mark, Side, Sign, across_seams};
use draft_core::{Place, Unit, Work, taped};
use egui::{Key, Painter, Pos2, Stroke, Ui, pos2};
use kurbo::Point;

use super::{Bench, Laid, Tool, Touch, beside, tag};
use crate::edit::Command;
use crate::window::{Chosen, Request, widget};

/// How far the panel stands off the foot of the table, screen points.
const FOOT: Pos2 = pos2(44.0, 76.0);

/// Notch.
#[derive(Default)]
pub struct Notch {
    /// Only the edge that is clicked is notched.
    one_side: bool,
    /// Nothing was there to be notched.
    missed: bool,
}

/// Where a notch would be: the piece, the place, and in words.
fn place<'a>(bench: &Bench<'a>, at: Point) -> Option<(&'a Laid, Place, String)> {
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
    Some((laid, found.place, told))
}

/// A stroke across an edge of a piece.
fn stroke(painter: &Painter, bench: &Bench<'_>, side: &Side, mm: f64) -> Option<Pos2> {
    let laid = bench.laid(side.piece.as_str())?;
    let (at, along) = laid.shape.piece.along_edge(side.edge.as_str(), mm)?;
    let across = egui::vec2(along.y as f32, -along.x as f32) * 10.0;
    let on = bench.screen(laid, at);
    painter.line_segment([on - across, on + across], Stroke::new(2.6, bench.p.chalk));
    Some(on)
}

impl Tool for Notch {
    fn touch(&mut self, touch: &Touch, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        let Touch::Click(at) = touch else { return };
        let found = place(bench, *at).and_then(|(laid, at, _)| {
            let mark = Mark { piece: laid.shape.piece.name().clone(), sign: Sign::Notch { at, double: false, both: !self.one_side } };
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
        let Some((laid, at, mut told)) = bench.pointer.and_then(|p| place(bench, p)) else { return };
        let piece = &laid.shape.piece;
        let Ok((edge, mm)) = at.on_edge(piece) else { return };
        let side = Side { piece: piece.name().clone(), edge };
        let Some(on) = stroke(painter, bench, &side, mm) else { return };
        let others = if self.one_side { Vec::new() } else { across_seams(bench.draft(), &side.piece, &side.edge, mm) };
        for (other, mm) in &others {
            if let Some(there) = stroke(painter, bench, other, *mm) {
                painter.circle_stroke(there, 12.0, Stroke::new(1.6, bench.p.chalk));
            }
            told += &format!("\nand on {} / {}", other.piece, other.edge);
        }
        tag(painter, on, told, bench);
    }

    fn beside(&mut self, ui: &mut Ui, bench: &Bench<'_>, _: &mut Vec<Request>) {
        let key = !ui.ctx().text_edit_focused() && ui.input(|i| i.key_pressed(Key::B) && !i.modifiers.any());
        let view = bench.transform.view();
        let thrown = beside::panel(ui, "notch", pos2(view.left() + FOOT.x, view.bottom() - FOOT.y), bench, |ui| {
            ui.horizontal(|ui| {
                let tip = "Both sides of the seam: what is sewn there is notched where it meets, ease and gathers counted (B)";
                let thrown = widget::switch(ui, !self.one_side, tip);
                ui.label("Both sides of the seam");
                thrown
            })
            .inner
        });
        if thrown.is_some() || key {
            self.one_side = !self.one_side;
            ui.ctx().request_repaint();
        }
    }

    fn says(&self, _: Unit) -> String {
        if self.missed {
            return "A notch is marked on an edge: click nearer to one.".into();
        }
        let sides = if self.one_side { "On this side of the seam alone" } else { "On both sides of the seam" };
        format!("Click on an edge where it gets a notch. {sides}: B changes that. Its place can be typed at the right afterwards.")
    }

    fn let_go(&mut self) -> bool {
        std::mem::take(&mut self.missed)
    }
}
