//! A small panel beside what is in hand, kept within the view.

use egui::{Align, Area, Frame, Id, Layout, Margin, Order, Pos2, Stroke, Ui, pos2, vec2};

use super::{Bench, Laid};
use crate::window::theme;

/// Width of the panel, points.
const WIDTH: f32 = 268.0;
/// Width of a narrow one, points.
const NARROW: f32 = 190.0;

/// A place beside a piece, where there is room for the panel, so that the piece stays to be seen; else beside the place given.
pub fn clear_of(laid: &Laid, at: Pos2, bench: &Bench<'_>) -> Pos2 {
    let (bounds, view) = (laid.bounds(), bench.transform.view());
    let [left, right] = [bounds.x0, bounds.x1].map(|x| bench.transform.screen_from_cloth(kurbo::Point::new(x, bounds.y0)).x);
    let wide = WIDTH + 30.0;
    if right + wide <= view.right() {
        pos2(right - 6.0, at.y)
    } else if left - wide >= view.left() + theme::TARGET + 20.0 {
        pos2(left - wide - 12.0, at.y)
    } else {
        at
    }
}

/// Shows a panel beside a place on the screen.
pub fn panel<R>(ui: &Ui, id: &str, at: Pos2, bench: &Bench<'_>, content: impl FnOnce(&mut Ui) -> R) -> R {
    shown(ui, id, (at, WIDTH, true), bench, content)
}

/// Shows a narrow panel through which clicks go to the table: it is reached by key.
pub fn reached_by_key<R>(ui: &Ui, id: &str, at: Pos2, bench: &Bench<'_>, content: impl FnOnce(&mut Ui) -> R) -> R {
    shown(ui, id, (at, NARROW, false), bench, content)
}

fn shown<R>(ui: &Ui, id: &str, (at, wide, clicked): (Pos2, f32, bool), bench: &Bench<'_>, content: impl FnOnce(&mut Ui) -> R) -> R {
    let p = bench.p;
    let frame = Frame::new().fill(p.panel).stroke(Stroke::new(1.0, p.chalk)).corner_radius(theme::ROUND).inner_margin(Margin::same(8));
    let area = Area::new(Id::unique(("beside", id))).order(Order::Middle).interactable(clicked).fixed_pos(at + vec2(18.0, 14.0));
    let shown = area.constrain_to(bench.transform.view().shrink(4.0)).show(ui.ctx(), |ui| {
        frame.show(ui, |ui| {
            ui.set_width(wide);
            ui.with_layout(Layout::top_down(Align::Min), content).inner
        })
    });
    shown.inner.inner
}
