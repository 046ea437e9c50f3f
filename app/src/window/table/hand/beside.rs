//! A small panel beside what is in hand, kept within the view.

use egui::{Align, Area, Frame, Id, Layout, Margin, Order, Pos2, Stroke, Ui, Vec2, vec2};

use super::Bench;
use crate::window::theme;

/// Width of the panel, points.
const WIDTH: f32 = 268.0;
/// Width of a narrow one, points.
const NARROW: f32 = 190.0;
/// So far right of and below a place a panel lies beside it, points.
const BESIDE: Vec2 = vec2(18.0, 14.0);

/// How large a panel of this name was last.
pub fn size(ui: &Ui, id: &str) -> Vec2 {
    let usual = vec2(WIDTH + 18.0, 250.0);
    ui.memory(|m| m.area_rect(area_id(id))).map_or(usual, |rect| rect.size().max(vec2(usual.x, 0.0)))
}

/// Shows a panel with its upper left corner at a place on the screen.
pub fn panel_at<R>(ui: &Ui, id: &str, at: Pos2, bench: &Bench<'_>, content: impl FnOnce(&mut Ui) -> R) -> R {
    shown(ui, id, (at, WIDTH, true), bench, content)
}

/// Shows a panel beside a place on the screen.
pub fn panel<R>(ui: &Ui, id: &str, at: Pos2, bench: &Bench<'_>, content: impl FnOnce(&mut Ui) -> R) -> R {
    panel_at(ui, id, at + BESIDE, bench, content)
}

/// Shows a narrow panel through which clicks go to the table: it is reached by key.
pub fn reached_by_key<R>(ui: &Ui, id: &str, at: Pos2, bench: &Bench<'_>, content: impl FnOnce(&mut Ui) -> R) -> R {
    shown(ui, id, (at + BESIDE, NARROW, false), bench, content)
}

fn area_id(id: &str) -> Id {
    Id::unique(("beside", id))
}

fn shown<R>(ui: &Ui, id: &str, (at, wide, clicked): (Pos2, f32, bool), bench: &Bench<'_>, content: impl FnOnce(&mut Ui) -> R) -> R {
    let p = bench.p;
    let frame = Frame::new().fill(p.panel).stroke(Stroke::new(1.0, p.chalk)).corner_radius(theme::ROUND).inner_margin(Margin::same(8));
    let area = Area::new(area_id(id)).order(Order::Middle).interactable(clicked).fixed_pos(at);
    let shown = area.constrain_to(bench.transform.view().shrink(4.0)).show(ui.ctx(), |ui| {
        frame.show(ui, |ui| {
            ui.set_width(wide);
            ui.with_layout(Layout::top_down(Align::Min), content).inner
        })
    });
    shown.inner.inner
}
