//! Pieces laid together on the table: taken up with a key or a drag, drawn across, let go again.

use draft_core::alteration::offer::Becoming;
use draft_core::together::{Together, can_lie, seams_between};
use draft_core::{Built, Name};
use egui::{Align, CursorIcon, Key, Layout, Modifiers, Painter, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, vec2};
use kurbo::Point;

use super::hand::{Bench, panel, told};
use super::hit;
use super::shape::Lay;
use super::transform::Transform;
use crate::window::theme::{self, Palette};
use crate::window::{Chosen, Request, Seen, widget};

/// How near the pointer must be to an edge or a point to take hold of it, screen points.
const SNAP: f32 = 9.0;

/// A line from one piece of the group to another.
struct Line {
    from: Point,
    to: Point,
    becomings: Vec<Becoming>,
    /// What is told of.
    shown: usize,
}

/// The group and what is drawn across it.
#[derive(Default)]
pub struct Laying {
    group: Option<Together>,
    /// The piece and the place on the table where a line was begun.
    begun: Option<(Name, Point)>,
    line: Option<Line>,
    /// The piece that is being carried to another one, and where on the table it was taken up.
    carried: Option<(Name, Point)>,
    /// Why pieces could not be laid together.
    refused: Option<String>,
    /// The group has changed: lay the pieces out again.
    changed: bool,
}

impl Laying {
    /// The pieces that lie together.
    pub const fn group(&self) -> Option<&Together> {
        self.group.as_ref()
    }

    /// Whether a line waits for what it is to become.
    pub const fn has_line(&self) -> bool {
        self.line.is_some()
    }

    /// Whether a piece was carried to another one, to lie beside it.
    pub fn has_carried(&self, piece: &Name) -> bool {
        self.group.as_ref().is_some_and(|g| g.names().skip(1).any(|n| n == piece))
    }

    /// Whether the pieces have to be laid out again.
    pub const fn take_changed(&mut self) -> bool {
        std::mem::replace(&mut self.changed, false)
    }

    /// After a build: what was drawn is gone, and so is a group whose pieces are.
    pub fn look(&mut self, built: &Built, trying: bool) {
        (self.begun, self.line) = (None, None);
        if !trying && self.group.as_ref().is_some_and(|g| g.placed(&built.draft).is_err()) {
            self.group = None;
        }
    }

    /// The pieces go back to their places.
    pub fn let_go(&mut self) {
        self.changed |= self.group.is_some();
        *self = Self { changed: self.changed, ..Self::default() };
    }

    /// What is said of it.
    pub fn readout(&self, ruling: bool) -> Option<String> {
        if let Some(why) = &self.refused {
            return Some(why.clone());
        }
        if let Some(line) = &self.line {
            let text = if line.becomings.is_empty() {
                "Nothing can be made of this line: let it begin and end on edges and cross the seam, inside the cloth all the way."
            } else {
                "Say beside the line what it becomes, or click to begin another."
            };
            return Some(text.into());
        }
        if ruling && self.begun.is_some() {
            return Some("Click where the line ends, on this piece or on one that lies beside it.".into());
        }
        let names: Vec<&str> = self.group.as_ref()?.names().map(Name::as_str).collect();
        (!ruling).then(|| format!("Laid together: {}. Draw across them with the rule (R). Esc lets them go.", names.join(", ")))
    }

    /// The button, shown where something can be laid together or let go, and its key.
    pub fn tool(&mut self, ui: &mut Ui, seen: &Seen<'_>) {
        let typing = ui.ctx().text_edit_focused();
        if let Chosen::Edge(piece, edge) = seen.chosen
            && can_lie(&seen.built.draft, piece, edge)
            && self.group.as_ref().is_none_or(|g| !g.holds(piece) || g.takes(&seen.built.draft, piece, edge))
        {
            let tip = "Lay the piece that is sewn here beside this one, darts closed   (G). Or hold Shift and drag one piece onto another";
            let key = !typing && ui.input(|i| i.key_pressed(Key::G) && !i.modifiers.any());
            if ui.button("Lay together").on_hover_text(tip).clicked() || key {
                self.lay(seen, piece, edge);
            }
        }
        if self.group.is_some() {
            // First what is drawn goes, and then the group.
            let escape = !typing && self.line.is_none() && ui.input(|i| i.key_pressed(Key::Escape));
            let escape = escape && self.begun.take().is_none();
            if ui.button("Let them go").on_hover_text("The pieces go back to their places   (Esc)").clicked() || escape {
                self.let_go();
            }
        }
    }

    fn lay(&mut self, seen: &Seen<'_>, piece: &Name, edge: &Name) {
        let draft = &seen.built.draft;
        let result = match &mut self.group {
            Some(group) if group.holds(piece) => group.add(draft, piece, edge),
            _ => Together::begin(draft, piece, edge).map(|group| self.group = Some(group)),
        };
        match result {
            Ok(()) => (self.changed, self.refused) = (true, None),
            Err(error) => self.refused = Some(format!("{}: {}. {}", error.place, error.problem, error.remedy)),
        }
    }

    /// With Shift held down, a piece is carried onto another one and laid beside it along the seam that is nearest.
    pub fn carry(&mut self, ui: &Ui, painter: &Painter, lay: &Lay, transform: &Transform, near: f64, seen: &Seen<'_>) {
        let shift = ui.input(|i| i.modifiers.shift);
        if !shift && self.carried.is_none() {
            return;
        }
        let over = ui.interact(transform.view(), widget::steady("carry a piece"), Sense::drag());
        let name = |at: Point| {
            let hit = hit::at(lay, at, near)?;
            lay.pieces.get(hit.piece).map(|laid| laid.shape.piece.name().clone())
        };
        if over.drag_started()
            && let Some(origin) = ui.input(|i| i.pointer.press_origin())
        {
            let at = transform.cloth_from_screen(origin);
            self.carried = name(at).map(|name| (name, at));
        }
        let Some((carried, from)) = self.carried.clone() else { return };
        let Some(pointer) = over.interact_pointer_pos().or_else(|| ui.input(|i| i.pointer.latest_pos())) else { return };
        let at = transform.cloth_from_screen(pointer);
        ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
        let p = Palette::of(ui);
        if let Some(laid) = lay.find(carried.as_str()) {
            let mut points: Vec<Pos2> =
                laid.shape.outline.iter().map(|q| transform.screen_from_cloth(*q + laid.by + (at - from))).collect();
            points.extend(points.first().copied());
            painter.add(Shape::line(points, Stroke::new(2.0, p.chalk)));
        }
        // The seam along which it would lie.
        let target = name(at).filter(|name| *name != carried);
        let seam = target.and_then(|target| {
            let laid = lay.find(target.as_str())?;
            let far = |edge: &Name| {
                let parts = laid.shape.piece.edge_parts(edge.as_str());
                parts
                    .flat_map(|part| part.path.segments().collect::<Vec<_>>())
                    .map(|s| kurbo::ParamCurveNearest::nearest(&s, at - laid.by, 0.1).distance_sq)
                    .fold(f64::INFINITY, f64::min)
            };
            let seams = seams_between(&seen.built.draft, &target, &carried);
            let edge = seams.into_iter().min_by(|a, b| far(a).total_cmp(&far(b)))?;
            for stretch in &laid.shape.stretches {
                if laid.shape.piece.edges().get(stretch.edge).is_some_and(|e| e.name == edge) {
                    let points: Vec<Pos2> = stretch.points.iter().map(|q| transform.screen_from_cloth(*q + laid.by)).collect();
                    painter.add(Shape::line(points, Stroke::new(5.0, p.chalk)));
                }
            }
            Some((target, edge))
        });
        if over.drag_stopped() || !over.dragged() && !over.drag_started() {
            self.carried = None;
            if let Some((piece, edge)) = seam {
                self.lay(seen, &piece, &edge);
            }
        }
    }

    /// A click with the rule in hand. Says whether it ended a line across pieces.
    pub fn rule(&mut self, at: Point, lay: &Lay, transform: &Transform, near: f64, seen: &Seen<'_>) -> bool {
        let Some(group) = &self.group else { return false };
        let hit = hit::at(lay, at, near).and_then(|hit| lay.pieces.get(hit.piece));
        let Some(laid) = hit.filter(|laid| group.holds(laid.shape.piece.name())) else {
            (self.begun, self.line) = (None, None);
            return false;
        };
        let name = laid.shape.piece.name().clone();
        let by = laid.by;
        match self.begun.take() {
            Some((first, from)) if first != name => {
                let reach = transform.cloth_length(SNAP);
                let becomings = group.becomes(&seen.built.draft, (&first, from - by), (&name, at - by), reach);
                self.line = Some(Line { from, to: at, becomings, shown: 0 });
                true
            }
            Some(_) => false,
            None => {
                self.line = None;
                self.begun = Some((name, at));
                false
            }
        }
    }

    /// The line across the pieces, and beside it what it can become.
    pub fn draw(&mut self, ui: &Ui, painter: &Painter, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        let Some(line) = &mut self.line else { return };
        let (p, transform, seen) = (bench.p, bench.transform, bench.seen);
        let ends = [line.from, line.to].map(|at| transform.screen_from_cloth(at));
        painter.line_segment(ends, Stroke::new(2.4, p.chalk));
        for end in ends {
            painter.circle(end, 4.0, p.raised, Stroke::new(1.6, p.chalk));
        }
        let text = seen.unit.text(line.from.distance(line.to));
        let galley = painter.layout_no_wrap(text, theme::strong_body(), p.ink);
        let tag = Rect::from_min_size(ends[0].lerp(ends[1], 0.5) + vec2(10.0, -galley.size().y - 12.0), galley.size() + vec2(16.0, 8.0));
        painter.rect(tag, 4.0, p.raised, Stroke::new(1.0, p.chalk), StrokeKind::Inside);
        painter.galley(tag.min + vec2(8.0, 4.0), galley, p.ink);
        // Only the line goes, and not the group with it.
        let escape = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
        if escape || choices(ui, ends[1], bench, line, requests) {
            self.line = None;
            ui.ctx().request_repaint();
        }
    }

    /// The seams along which the pieces lie, stitched.
    pub fn paint(&self, painter: &Painter, lay: &Lay, transform: &Transform, p: &Palette) {
        let Some(group) = &self.group else { return };
        for (piece, edge) in group.joints() {
            let Some(laid) = lay.find(piece.as_str()) else { continue };
            for stretch in &laid.shape.stretches {
                if laid.shape.piece.edges().get(stretch.edge).is_some_and(|e| e.name == *edge) {
                    let points: Vec<Pos2> = stretch.points.iter().map(|q| transform.screen_from_cloth(*q + laid.by)).collect();
                    painter.extend(Shape::dashed_line(&points, Stroke::new(3.0, p.chalk), 9.0, 5.0));
                }
            }
        }
    }
}

/// What a line can become, beside its end, with what that does to lengths and seams. Says whether to let go of it.
fn choices(ui: &Ui, end: Pos2, bench: &Bench<'_>, line: &mut Line, requests: &mut Vec<Request>) -> bool {
    panel(ui, "across", end, bench, |ui| {
        let mut done = false;
        ui.with_layout(Layout::top_down_justified(Align::Min), |ui| {
            for (i, becoming) in line.becomings.iter().enumerate() {
                let button = ui.button(&becoming.name);
                // The first is taken with Enter.
                if i == 0 && ui.memory(|m| m.focused().is_none()) {
                    button.request_focus();
                    ui.ctx().request_repaint();
                }
                if button.hovered() || button.gained_focus() {
                    line.shown = i;
                }
                if button.clicked() {
                    requests.push(Request::Begin(Box::new(becoming.alteration.clone())));
                    done = true;
                }
            }
            done |= ui.button("Let it go").on_hover_text("Take the line away   (Esc)").clicked();
        });
        if let Some(becoming) = line.becomings.get(line.shown) {
            ui.add_space(2.0);
            told(ui, &becoming.effect, None, bench);
        }
        done
    })
}
