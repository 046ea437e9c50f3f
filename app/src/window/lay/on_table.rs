//! The lay plan on its table: what of it is shown, and what a hand and keys do to it.

use draft_core::cloth::{LayOut, Stretch};
use draft_core::lay::{Layout, verify};
use egui::{Align2, CursorIcon, FontId, Ui};
use kurbo::Vec2;

use super::bench::{Bench, OnBench};
use super::hand::{self, Deed, Picked, Wish};
use super::paint::{self, BETWEEN_MM, Sheet};
use super::running::Running;
use super::shape::ItemShape;
use super::{LayView, swatch};
use crate::window::table::Transform;
use crate::window::theme::Palette;
use crate::window::{Desk, Request};

impl LayView {
    /// Shows the lay plan.
    pub(super) fn table(&mut self, ui: &mut Ui, desk: &Desk, bench: &Bench, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        let Some(on) = bench.on.get(self.cloths.chosen) else { return };
        let cloth = &on.lay_out.cloth;
        let best = self.running.as_ref().filter(|r| r.cloth == cloth.name).map(Running::best);
        let own_shapes: Vec<Vec<ItemShape>> = best.iter().flatten().map(|(s, _)| fresh_shapes(on, s)).collect();
        let trial = self.trial.take().filter(|t| t.lay.cloth.name == cloth.name && best.is_none());
        let mut sheets: Vec<Sheet<'_>> = Vec::new();
        let by_hand = best.is_none() && trial.is_none();
        if let Some(best) = &best {
            for ((stretch, layout), own) in best.iter().zip(&own_shapes) {
                let shapes = if own.is_empty() { known_shapes(on, stretch) } else { own };
                sheets.push(Sheet { cloth, stretch, layout: layout.clone(), held: Vec::new(), faults: Vec::new(), shapes, down: 0.0 });
            }
        } else if let Some(trial) = &trial {
            for (laid, shapes) in trial.lay.stretches.iter().zip(&trial.shapes) {
                let layout = laid.layout.clone();
                sheets.push(Sheet { cloth, stretch: &laid.stretch, layout, held: Vec::new(), faults: Vec::new(), shapes, down: 0.0 });
            }
        } else if on.standing.is_laid {
            for ((stood, stretch), shapes) in on.standing.stretches.iter().zip(&on.lay_out.stretches).zip(&on.shapes) {
                let (layout, held) = (stood.recalled.layout.clone(), stood.recalled.held.clone());
                sheets.push(Sheet { cloth, stretch, layout, held, faults: stood.faults.clone(), shapes, down: 0.0 });
            }
        }
        let mut down = 0.0;
        for sheet in &mut sheets {
            sheet.down = down;
            down += sheet.stretch.task.width_mm + 2.0 * sheet.cloth.selvedge.mm() + BETWEEN_MM;
        }
        let bounds = sheets.iter().map(Sheet::bounds).reduce(|a, b| a.union(b));
        let room = bounds.map(|b| kurbo::Rect::new(b.x0, b.y0 - 60.0, b.x1, b.y1 + 60.0));
        let count: usize = sheets.iter().map(|s| s.layout.placed.len()).sum();
        let name = format!("Lay of {} with {count} pieces", cloth.name);

        let grip = if by_hand { self.grip(ui, &sheets) } else { None };
        self.pane.holding = grip.is_some() || self.drag.is_some();
        self.pane.arrows_taken = self.picked.is_some() && by_hand;
        let shown = self.pane.begin(ui, "lay plan", &name, desk.unit, room);
        let t = *self.pane.transform();
        if shown.dragged != egui::Vec2::ZERO {
            if self.drag.is_none() {
                self.picked = grip;
            }
            let by = Vec2::new(f64::from(shown.dragged.x), f64::from(shown.dragged.y)) / t.scale();
            self.drag = Some(self.drag.unwrap_or(Vec2::ZERO) + by);
        }
        if let Some(at) = shown.clicked.filter(|_| by_hand) {
            self.picked = under(&sheets, t.cloth_from_screen(at)).and_then(|(s, i)| Picked::of(&sheets[s], &sheets[s].layout.placed[i]));
        }
        let seen = desk.seen();
        if by_hand {
            let slides = ui.input(|i| i.modifiers.command);
            self.drag_on(&mut sheets, (shown.let_go, slides), &t, on, desk, requests);
        }
        let (reached, inside) = hand::as_widgets(ui, &sheets, &t, &seen, self.picked.as_ref());
        if reached.is_some() && by_hand {
            self.picked = reached;
        }
        self.pane.focus_inside = inside;
        if by_hand && let Some(wish) = hand::keys(ui, inside) {
            self.wish(wish, &sheets, on, desk, requests);
        }
        let picked = self.picked.clone();
        let names = paint::names(&sheets);
        let mut small: Vec<usize> = Vec::new();
        for sheet in &sheets {
            small.extend(paint::sheet(
                &shown.painter,
                sheet,
                &t,
                picked.as_ref().and_then(|p| p.on(sheet.stretch)),
                (&names, desk.unit),
                p,
            ));
        }
        small.sort_unstable();
        small.dedup();
        let small: Vec<(usize, String)> = small.into_iter().filter_map(|n| Some((n + 1, names.get(n)?.to_string()))).collect();
        if small != self.small {
            self.small = small;
            // The key was shown before the table.
            ui.ctx().request_repaint();
        }
        if let (Some(texture), Some(b)) = (self.swatches.of(cloth), bounds) {
            let corner = t.screen_from_cloth(kurbo::Point::new(b.x1, b.y0));
            let tile = egui::Rect::from_min_max(corner - egui::vec2(TILE, TILE + 5.0), corner - egui::vec2(0.0, 5.0));
            swatch::tile(&shown.painter, texture, tile, p.ink_soft);
        }
        let hover = shown.pointer.and_then(|at| under(&sheets, t.cloth_from_screen(at)));
        let hover = hover.map(|(s, i)| hand::described(&sheets[s], &sheets[s].layout.placed[i], &seen));
        if hover.is_some() && by_hand {
            ui.ctx().set_cursor_icon(if self.drag.is_some() { CursorIcon::Grabbing } else { CursorIcon::Grab });
        }
        if hover != self.hover {
            self.hover = hover;
            // The readout was drawn before the table.
            ui.ctx().request_repaint();
        }
        if sheets.is_empty() {
            let text = match (self.running.is_some(), on.is_used()) {
                (true, _) => "Laying…",
                (false, true) => "Nothing has been laid on it yet. Press Lay at the right, or L.",
                (false, false) => "No piece is cut from this cloth.",
            };
            shown.painter.text(t.view().center(), Align2::CENTER_CENTER, text, FontId::proportional(16.0), p.ink_soft);
        }
        drop(sheets);
        self.trial = trial;
        self.pane.end(ui, shown);
    }

    /// What the pressed pointer would take hold of.
    fn grip(&self, ui: &Ui, sheets: &[Sheet<'_>]) -> Option<Picked> {
        let at = ui.input(|i| i.pointer.press_origin())?;
        let t = self.pane.transform();
        let (s, i) = under(sheets, t.cloth_from_screen(at)).filter(|_| t.view().contains(at))?;
        Picked::of(&sheets[s], &sheets[s].layout.placed[i])
    }

    /// Shows the piece in hand where it has been dragged to, and lays it there when the hand lets go.
    fn drag_on(
        &mut self,
        sheets: &mut [Sheet<'_>],
        (let_go, slides): (bool, bool),
        t: &Transform,
        on: &OnBench,
        desk: &Desk,
        requests: &mut Vec<Request>,
    ) {
        let (Some(by), Some(picked)) = (self.drag, &self.picked) else { return };
        let Some((sheet, which)) = sheets.iter_mut().find_map(|s| picked.on(s.stretch).map(|which| (s, which))) else { return };
        let moved: Layout = if slides { sheet.stretch.slid(&sheet.layout, which, by) } else { hand::dragged(sheet, which, by, t) };
        if let_go {
            self.drag = None;
            if moved != sheet.layout {
                let deed = Deed::change(sheet, moved.clone(), which, format!("move the {} by hand", picked.piece));
                requests.extend(deed.request(on, &desk.seen()));
            }
        }
        sheet.faults.retain(|f| !f.copies().contains(&which));
        sheet.faults.extend(verify::faults_of(&sheet.stretch.task, &moved, which));
        sheet.layout = moved;
    }

    /// Does what a key or a button asks of the piece in hand.
    pub(super) fn wish(&mut self, wish: Wish, sheets: &[Sheet<'_>], on: &OnBench, desk: &Desk, requests: &mut Vec<Request>) {
        let Some(picked) = self.picked.clone() else { return };
        let Some((sheet, which)) = sheets.iter().find_map(|s| picked.on(s.stretch).map(|which| (s, which))) else { return };
        if wish == Wish::Leave {
            self.picked = None;
            return;
        }
        let held = sheet.layout.placed.iter().zip(&sheet.held).any(|(p, held)| *held && (p.item, p.copy) == which);
        let deed = match wish {
            Wish::Move(by) | Wish::Slide(by) => {
                let stretch = sheet.stretch;
                let slides = matches!(wish, Wish::Slide(_));
                let moved = if slides { stretch.slid_out(&sheet.layout, which, by) } else { stretch.moved(&sheet.layout, which, by) };
                if moved == sheet.layout {
                    self.say(format!("The {} touches there already.", picked.piece));
                    return;
                }
                Deed::change(sheet, moved, which, format!("move the {} by hand", picked.piece))
            }
            Wish::Turn => {
                let turned = sheet.stretch.turned(&sheet.layout, which);
                if turned == sheet.layout {
                    self.say(format!("The {} may lie in this way only: the cloth goes one way up, or the fold holds it.", picked.piece));
                    return;
                }
                Deed::change(sheet, turned, which, format!("turn the {}", picked.piece))
            }
            Wish::Hold | Wish::Leave => {
                let word = if held { "let go of" } else { "hold" };
                Deed::hold(sheet, which, !held, format!("{word} the {}", picked.piece))
            }
        };
        self.said = None;
        requests.extend(deed.request(on, &desk.seen()));
    }
}

/// A picture of the cloth at its upper end; screen points.
const TILE: f32 = 44.0;

/// Which sheet and which of its pieces lie at a point.
fn under(sheets: &[Sheet<'_>], at: kurbo::Point) -> Option<(usize, usize)> {
    sheets.iter().enumerate().find_map(|(s, sheet)| Some((s, sheet.at(at)?)))
}

/// The shapes of a stretch that lies on the bench, where it is the same.
fn known_shapes<'b>(on: &'b OnBench, stretch: &Stretch) -> &'b [ItemShape] {
    let LayOut { stretches, .. } = &on.lay_out;
    let same = |s: &Stretch| {
        s.spread == stretch.spread
            && s.task.items.len() == stretch.task.items.len()
            && s.task.items.iter().zip(&stretch.task.items).all(|(a, b)| a.outline == b.outline)
    };
    stretches.iter().position(same).map_or(&[], |i| &on.shapes[i])
}

/// Shapes of a stretch that does not lie on the bench; none where it does.
fn fresh_shapes(on: &OnBench, stretch: &Stretch) -> Vec<ItemShape> {
    if known_shapes(on, stretch).is_empty() { stretch.task.items.iter().map(ItemShape::of).collect() } else { Vec::new() }
}
