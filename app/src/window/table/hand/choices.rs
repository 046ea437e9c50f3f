//! A finished line, and what it can become.

use draft_core::alteration::offer::{Becoming, Effect, becomes};
use draft_core::{DrawnLine, Name, Piece, geometry};
use egui::{Align, Layout, Painter, RichText, Role, Shape, Stroke, Ui, WidgetInfo};
use kurbo::Point;

use super::place::Place;
use super::{Bench, beside, ring};
use crate::window::theme;
use crate::window::{Request, widget};

/// How far points may be from the true line, millimetres.
const TOLERANCE_MM: f64 = 0.05;

/// A line that waits for what it is to become.
#[derive(Clone, Debug)]
pub struct Choices {
    piece: Name,
    /// The line, on the piece.
    points: Vec<Point>,
    all: Vec<Becoming>,
    /// Which one is shown on the table.
    shown: usize,
    /// Not shown to the maker yet.
    fresh: bool,
    /// Where they are shown.
    place: Place,
}

impl Choices {
    /// What a line on a piece can become; `None` when it has no length.
    pub fn of_line(bench: &Bench<'_>, piece: &Piece, line: &DrawnLine) -> Option<Self> {
        let path = line.path(piece).ok()?;
        let all = becomes(bench.draft(), piece.name(), line);
        Some(Self::among(piece.name().clone(), geometry::flattened(&path, TOLERANCE_MM), all))
    }

    /// A choice among these.
    pub fn among(piece: Name, points: Vec<Point>, all: Vec<Becoming>) -> Self {
        Self { piece, points, all, shown: 0, fresh: true, place: Place::default() }
    }

    /// Whether there is anything to choose.
    pub const fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// Only those that are wanted.
    pub fn only(mut self, wanted: impl Fn(&Becoming) -> bool) -> Self {
        self.all.retain(wanted);
        self
    }

    /// Paints the line, and the pieces as they would be.
    pub fn paint(&self, painter: &Painter, bench: &Bench<'_>) {
        let Some(laid) = bench.laid(self.piece.as_str()) else { return };
        let p = bench.p;
        if let Some(becoming) = self.all.get(self.shown) {
            let also = Stroke::new(1.8, p.chalk);
            for piece in &becoming.effect.pieces {
                // A new piece is shown where it comes from.
                let on = bench.laid(piece.name().as_str()).unwrap_or(laid);
                // Only what is another line then.
                let same = |part: &&draft_core::Part| {
                    on.shape.piece.name() == piece.name() && on.shape.piece.parts().iter().any(|p| p.path == part.path)
                };
                for part in piece.parts().iter().filter(|part| !same(part)) {
                    let points = bench.line(on, &geometry::flattened(&part.path, TOLERANCE_MM));
                    painter.extend(Shape::dashed_line(&points, also, 6.0, 4.0));
                }
            }
        }
        painter.add(Shape::line(bench.line(laid, &self.points), Stroke::new(2.4, p.chalk)));
        for end in [self.points.first(), self.points.last()].into_iter().flatten() {
            ring(painter, bench.screen(laid, *end), p);
        }
    }

    /// Shows the choices with something above them; says whether to let go of the line.
    pub fn beside(&mut self, ui: &Ui, bench: &Bench<'_>, requests: &mut Vec<Request>, head: impl FnOnce(&mut Ui)) -> bool {
        let Some(laid) = bench.laid(self.piece.as_str()) else { return true };
        let at = self.place.beside(&bench.line(laid, &self.points), beside::size(ui, "choices"), bench);
        beside::panel_at(ui, "choices", at, bench, |ui| {
            head(ui);
            let mut let_go = false;
            ui.with_layout(Layout::top_down_justified(Align::Min), |ui| {
                let nobody = ui.memory(|m| m.focused().is_none());
                for (i, becoming) in self.all.iter().enumerate() {
                    let button = ui.button(&becoming.name);
                    // The first is taken with Enter.
                    if i == 0 && (self.fresh || nobody) {
                        // While the panel is not on the screen yet, nothing in it can hold the keyboard.
                        self.fresh = !button.has_focus();
                        button.request_focus();
                        if self.fresh {
                            ui.ctx().request_repaint();
                        }
                    }
                    if button.hovered() || button.has_focus() && !self.hovers(ui) {
                        self.shown = i;
                    }
                    if button.clicked() {
                        requests.push(Request::Begin(Box::new(becoming.alteration.clone())));
                        let_go = true;
                    }
                }
                let_go |= ui.button("Let it go").on_hover_text("Take the line away   (Esc)").clicked();
            });
            if let Some(becoming) = self.all.get(self.shown) {
                ui.add_space(2.0);
                told(ui, &becoming.effect, Some(&self.piece), bench);
            } else {
                widget::soft(ui, "Nothing can be made of it here.");
            }
            let_go
        })
    }

    /// Whether the pointer is over the panel: then it says what is shown, not the keyboard.
    fn hovers(&self, ui: &Ui) -> bool {
        ui.rect_contains_pointer(ui.min_rect())
    }
}

/// What something does to lengths and seams, a line each; in full to who points there, and to a screen reader.
pub fn told(ui: &mut Ui, effect: &Effect, on: Option<&Name>, bench: &Bench<'_>) {
    for told in effect.told(on, bench.seen.unit) {
        let ink = if told.is_off { bench.p.madder } else { bench.p.ink_soft };
        let line = ui.add(egui::Label::new(RichText::new(&told.short).font(theme::small()).color(ink)).wrap());
        line.widget_info(|| WidgetInfo::labeled(Role::Label, true, &told.whole));
        line.on_hover_text(told.whole);
    }
}
