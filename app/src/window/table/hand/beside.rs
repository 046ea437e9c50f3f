//! A small panel beside what is in hand, kept within the view.

use egui::{Align, Area, Frame, Id, Layout, Margin, Order, Pos2, Stroke, Ui, vec2};

use super::Bench;
use crate::window::theme;

/// Width of the panel, points.
const WIDTH: f32 = 268.0;

/// Shows a panel beside a place on the screen.
pub fn panel<R>(ui: &Ui, id: &str, at: Pos2, bench: &Bench<'_>, content: impl FnOnce(&mut Ui) -> R) -> R {
    let p = bench.p;
    let frame = Frame::new().fill(p.panel).stroke(Stroke::new(1.0, p.chalk)).corner_radius(theme::ROUND).inner_margin(Margin::same(8));
    let area = Area::new(Id::unique(("beside", id))).order(Order::Middle).fixed_pos(at + vec2(18.0, 14.0));
    let shown = area.constrain_to(bench.transform.view().shrink(4.0)).show(ui.ctx(), |ui| {
        frame.show(ui, |ui| {
            ui.set_width(WIDTH);
            ui.with_layout(Layout::top_down_justified(Align::Min), content).inner
        })
    });
    shown.inner.inner
}
