//! Shaping by hand: what of the selected piece or edge can be taken hold of, and the drag of it.

use std::sync::Arc;

use draft_core::shaping::{self, Grip, Held, Hold, Reworked};
use draft_core::{Draft, DraftError, Name, Role as EdgeRole, Unit, Work, geometry};
use egui::{CursorIcon, EventFilter, Key, Painter, Pos2, Rect, Response, Role, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, vec2};
use kurbo::{Point, Vec2};

use super::shape::{Laid, Lay};
use super::transform::Transform;
use crate::edit::Command;
use crate::window::theme::{self, Palette};
use crate::window::{Chosen, Request, Seen, widget};

/// How near the pointer must be to take hold of something, screen points.
const REACH: f32 = 9.0;
/// An arrow key moves what is held by so much, and with Shift by so much; millimetres.
const NUDGE_MM: (f64, f64) = (1.0, 10.0);
/// How far points of a painted line may be from it, millimetres.
const TOLERANCE_MM: f64 = 0.05;

/// What is being dragged, by the pointer or by keys.
struct Drag {
    held: Held,
    /// The pointer on the table when it was taken up; `None` when keys move it.
    from: Option<Point>,
    by: Vec2,
    /// The last that can be done.
    good: Option<Reworked>,
    /// Why the last movement can't be done.
    refusal: Option<DraftError>,
    /// How many works the list had.
    count: usize,
    /// The length of its edge when it was taken up, millimetres.
    edge: Option<(Name, f64)>,
}

/// What can be taken hold of, and what is.
#[derive(Default)]
pub struct Shaping {
    drag: Option<Drag>,
    /// Whether the edge that is sewn to the one that is shaped follows it.
    both: bool,
    /// Something was shaped: the pieces stay where they lie.
    still: bool,
    /// What can be taken hold of on what is selected.
    holds: Option<(Arc<Draft>, Chosen, Vec<Hold>)>,
    /// The joint that was taken hold of last.
    joint: Option<Grip>,
    /// The joint that is to have the keyboard once it is there.
    next: Option<Grip>,
}

impl Shaping {
    /// Whether pieces stay where they lie while the garment is built again.
    pub const fn keeps_still(&self) -> bool {
        self.still
    }

    /// Nothing is held any more.
    pub fn let_go(&mut self) {
        self.drag = None;
        self.still = false;
    }

    /// The work before which the pieces are shown as a pale line while something is dragged.
    pub fn pale(&self) -> Option<usize> {
        self.drag.as_ref().map(|d| d.held.work(d.count))
    }

    /// What is said of what is being dragged.
    pub fn readout(&self, draft: &Draft, unit: Unit) -> Option<String> {
        let drag = self.drag.as_ref()?;
        if let Some(error) = &drag.refusal {
            return Some(format!("{}: {}. {}", error.place, error.problem, error.remedy));
        }
        let piece = draft.piece(drag.held.piece().as_str());
        let what = match (&drag.edge, piece) {
            (Some((edge, was)), Some(piece)) => {
                let now = piece.edge_length_mm(edge.as_str()).unwrap_or(*was);
                let by = now - was;
                let change = match by {
                    by if by.abs() < 0.05 => "as long as it was".to_owned(),
                    by if by > 0.0 => format!("{} longer", unit.text(by)),
                    by => format!("{} shorter", unit.text(-by)),
                };
                format!("{} / {edge} — {}, {change}", piece.name(), unit.text(now))
            }
            _ => drag.good.as_ref().map_or_else(|| "Nothing changes yet".to_owned(), |r| r.alteration.what()),
        };
        Some(format!("{what}. Let go to keep it, Esc puts it back."))
    }

    /// Shows what can be taken hold of, and takes it where it is dragged.
    pub fn show(&mut self, ui: &Ui, painter: &Painter, lay: &Lay, transform: &Transform, seen: &Seen<'_>, requests: &mut Vec<Request>) {
        // What is being tried in a form has its numbers there.
        if requests.iter().any(|r| matches!(r, Request::Trying(_) | Request::Typing { .. })) {
            self.drag = None;
            return;
        }
        let piece = match (&self.drag, seen.chosen.piece()) {
            (Some(drag), _) => drag.held.piece().clone(),
            (None, Some(piece)) => piece.clone(),
            (None, None) => return,
        };
        let Some(laid) = lay.find(piece.as_str()) else {
            self.drag = None;
            return;
        };
        self.look(&piece, seen);
        let holds = self.holds.as_ref().map_or_else(Vec::new, |h| h.2.clone());
        let escape = self.drag.is_some() && ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, Key::Escape));
        if escape {
            self.drag = None;
        }
        let p = Palette::of(ui);
        if let Some(drag) = &self.drag {
            drag.paint(painter, laid, transform, seen, p);
        }
        for hold in &holds {
            let at = |q: Point| transform.screen_from_cloth(q + laid.by);
            match (&hold.grip, hold.stem) {
                (Grip::Mouth(_), _) => {
                    painter.line_segment([at(hold.at), shown_at(hold, laid, transform)], Stroke::new(1.0, p.chalk));
                }
                (_, Some(stem)) => {
                    painter.line_segment([at(stem), at(hold.at)], Stroke::new(1.0, p.chalk));
                }
                _ => {}
            }
        }
        let mut answered = false;
        for hold in &holds {
            let at = shown_at(hold, laid, transform);
            let dragged_here = self.drag.as_ref().is_some_and(|d| d.from.is_some() && *d.held.grip() == hold.grip);
            // One that is out of view is out of reach, unless it is held.
            if !transform.view().contains(at) && !dragged_here {
                continue;
            }
            let response = self.hold(ui, hold, &piece, at);
            paint_hold(painter, hold, at, &response, p);
            if !escape {
                answered |= self.answer(ui, &response, hold, &piece, transform, seen, requests);
            }
        }
        if !answered
            && !escape
            && let Some(drag) = self.drag.take_if(|d| d.from.is_some())
        {
            // What was held is gone from the piece while it was dragged: the last that could be done counts.
            requests.extend(drag.good.map(|r| Request::Edit(command(&r))));
        }
        if let Some(drag) = &self.drag
            && let Some(good) = &drag.good
        {
            requests.push(Request::Trying(command(good)));
        }
    }

    /// Finds what there is to take hold of, when something else is selected or built.
    fn look(&mut self, piece: &Name, seen: &Seen<'_>) {
        let known = self.holds.as_ref().is_some_and(|(draft, chosen, _)| Arc::ptr_eq(draft, &seen.built.draft) && chosen == seen.chosen);
        if known {
            return;
        }
        let edge = match seen.chosen {
            Chosen::Edge(of, edge) if of == piece => Some(edge),
            _ => None,
        };
        let found = shaping::holds(&seen.garment.works, seen.built, piece, edge);
        if self.joint.as_ref().is_some_and(|joint| found.iter().all(|h| h.grip != *joint)) {
            self.joint = None;
        }
        self.holds = Some((Arc::clone(&seen.built.draft), seen.chosen.clone(), found));
    }

    /// One thing that can be taken hold of, reached with the pointer or with Tab.
    fn hold(&mut self, ui: &Ui, hold: &Hold, piece: &Name, at: Pos2) -> Response {
        let id = widget::steady(("hold", piece.as_str(), &hold.grip));
        let response = ui.interact(Rect::from_center_size(at, vec2(2.0 * REACH, 2.0 * REACH)), id, Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(Role::Slider, true, &hold.name));
        if response.clicked() || response.drag_started() || self.next.as_ref() == Some(&hold.grip) {
            response.request_focus();
            self.next = None;
        }
        if response.has_focus() {
            if matches!(hold.grip, Grip::Joint { .. }) {
                self.joint = Some(hold.grip.clone());
            }
            let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
            ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
        }
        if response.hovered() || response.dragged() {
            ui.ctx().set_cursor_icon(if response.dragged() { CursorIcon::Grabbing } else { CursorIcon::Grab });
        }
        if self.drag.is_some() {
            return response;
        }
        response.on_hover_text(format!("{}. Drag it; when it is selected, arrow keys move it by 1 mm, with Shift by 10 mm.", hold.name))
    }

    /// What is done with it in this frame. Says whether it is the one that is dragged.
    #[allow(clippy::too_many_arguments, reason = "one frame of one thing")]
    fn answer(
        &mut self,
        ui: &Ui,
        response: &Response,
        hold: &Hold,
        piece: &Name,
        transform: &Transform,
        seen: &Seen<'_>,
        requests: &mut Vec<Request>,
    ) -> bool {
        if response.drag_started()
            && let Some(origin) = ui.input(|i| i.pointer.press_origin())
        {
            self.take(piece, hold, Some(transform.cloth_from_screen(origin)), seen);
        }
        let own = self.drag.as_ref().is_some_and(|d| *d.held.grip() == hold.grip);
        if let Some(drag) = self.drag.as_mut().filter(|_| own)
            && let Some(from) = drag.from
        {
            if let Some(pointer) = response.interact_pointer_pos() {
                drag.move_by(transform.cloth_from_screen(pointer) - from, self.both);
            }
            if response.drag_stopped() || !response.dragged() {
                requests.extend(self.drag.take().and_then(|d| d.good).map(|r| Request::Edit(command(&r))));
            }
            return true;
        }
        if response.has_focus() {
            let (by, down) = arrows(ui);
            if by != Vec2::ZERO && self.drag.is_none() {
                self.take(piece, hold, None, seen);
            }
            let own = self.drag.as_ref().is_some_and(|d| *d.held.grip() == hold.grip);
            if let Some(drag) = self.drag.as_mut().filter(|_| own) {
                if by != Vec2::ZERO {
                    drag.move_by(drag.by + by, self.both);
                }
                // A key that is held down is one step, as a drag is.
                if !down {
                    requests.extend(self.drag.take().and_then(|d| d.good).map(|r| Request::Edit(command(&r))));
                }
            }
        } else if own {
            // The keyboard went elsewhere.
            requests.extend(self.drag.take().and_then(|d| d.good).map(|r| Request::Edit(command(&r))));
        }
        false
    }

    /// One more point on the selected edge: at a place of the table where it is given and near the edge, else after the joint that
    /// was taken hold of last.
    fn add_point(&mut self, at: Option<Point>, lay: &Lay, seen: &Seen<'_>, requests: &mut Vec<Request>) {
        let Chosen::Edge(piece, edge) = seen.chosen else { return };
        let Some(laid) = lay.find(piece.as_str()) else { return };
        let own = |grip: &&Grip| matches!(grip, Grip::Joint { edge: e, .. } if e == edge);
        let grip = self.joint.as_ref().filter(own).cloned().unwrap_or_else(|| Grip::Joint { edge: edge.clone(), nth: 0 });
        let held = Held::take(&seen.garment.works, seen.built, piece, &grip);
        let added = held.and_then(|held| match at {
            Some(at) => held.with_point_at(at - laid.by, self.both),
            None => held.with_point_after(self.both),
        });
        if let Some((reworked, nth)) = added {
            self.still = true;
            self.next = Some(Grip::Joint { edge: edge.clone(), nth });
            requests.push(Request::Edit(command(&reworked)));
        }
    }

    /// Takes the joint that was taken hold of last out of the selected edge.
    fn take_out(&mut self, seen: &Seen<'_>, requests: &mut Vec<Request>) {
        if let Some(reworked) = self.without(seen) {
            self.still = true;
            self.joint = None;
            requests.push(Request::Edit(command(&reworked)));
        }
    }

    /// Whether the joint that was taken hold of last is no end of its edge.
    fn has_inner_joint(&self) -> bool {
        let (Some(Grip::Joint { edge, nth }), Some((.., holds))) = (&self.joint, &self.holds) else { return false };
        let curves = holds.iter().filter(|h| matches!(&h.grip, Grip::Handle { edge: e, .. } if e == edge)).count() / 2;
        (1..curves).contains(nth)
    }

    fn without(&self, seen: &Seen<'_>) -> Option<Reworked> {
        let (Chosen::Edge(piece, edge), Some(grip @ Grip::Joint { edge: on, .. })) = (seen.chosen, &self.joint) else { return None };
        (on == edge).then(|| Held::take(&seen.garment.works, seen.built, piece, grip)?.without_point(self.both)).flatten()
    }

    /// Adds and takes out points of the selected edge: by a double click on it, by key and by buttons beside it. `at` is where on
    /// the table the pointer is when it is on that edge.
    pub fn points(&mut self, ui: &mut Ui, at: Option<Point>, twice: bool, lay: &Lay, seen: &Seen<'_>, requests: &mut Vec<Request>) {
        let Chosen::Edge(piece, edge) = seen.chosen else { return };
        let leg = seen.built.draft.piece(piece.as_str()).and_then(|p| p.edge(edge.as_str())).is_none_or(|e| e.role == EdgeRole::DartLeg);
        if leg || self.drag.is_some() {
            return;
        }
        let typing = ui.ctx().text_edit_focused();
        let pressed = |ui: &Ui, keys: [Key; 2]| !typing && ui.input(|i| !i.modifiers.any() && keys.iter().any(|k| i.key_pressed(*k)));
        let tip = "One more point on this edge, which keeps its form: at the pointer, or after the point that was taken hold of last \
                   (A). A double click on the edge does the same";
        let add = ui.button("Add a point").on_hover_text(tip).clicked();
        if twice && at.is_some() || pressed(ui, [Key::A, Key::Insert]) {
            self.add_point(at, lay, seen, requests);
        } else if add {
            self.add_point(None, lay, seen, requests);
        }
        if self.has_inner_joint() {
            let tip = "One smooth curve takes the place of the two that meet at the point taken hold of last   (Delete)";
            if ui.button("Take the point out").on_hover_text(tip).clicked() || pressed(ui, [Key::Delete, Key::Backspace]) {
                self.take_out(seen, requests);
            }
        }
    }

    fn take(&mut self, piece: &Name, hold: &Hold, from: Option<Point>, seen: &Seen<'_>) {
        let edge = match &hold.grip {
            Grip::Joint { edge, .. } | Grip::Handle { edge, .. } => {
                let long = seen.built.draft.piece(piece.as_str()).and_then(|p| p.edge_length_mm(edge.as_str()));
                long.map(|mm| (edge.clone(), mm))
            }
            _ => None,
        };
        let held = Held::take(&seen.garment.works, seen.built, piece, &hold.grip);
        self.still |= held.is_some();
        let count = seen.garment.works.len();
        self.drag = held.map(|held| Drag { held, from, by: Vec2::ZERO, good: None, refusal: None, count, edge });
    }

    /// Whether both sides of a seam are shaped together; shown where the selected edge is sewn to another.
    pub fn both_sides(&mut self, ui: &mut Ui, seen: &Seen<'_>) {
        let Chosen::Edge(piece, edge) = seen.chosen else { return };
        if !shaping::has_partner(&seen.built.draft, piece, edge) {
            return;
        }
        let key = !ui.ctx().text_edit_focused() && ui.input(|i| i.key_pressed(Key::B) && !i.modifiers.any());
        let thrown = widget::switch(ui, self.both, "Both sides of the seam: the edge that is sewn to it follows (B)");
        ui.label("Both sides of the seam");
        if thrown.is_some() || key {
            self.both = !self.both;
        }
    }
}

impl Drag {
    fn move_by(&mut self, by: Vec2, both: bool) {
        if by == self.by && self.good.is_some() {
            return;
        }
        self.by = by;
        match self.held.dragged(by, both) {
            None => (self.good, self.refusal) = (None, None),
            Some(reworked) => match self.held.refusal(&reworked) {
                // It stays at the last that can be done.
                Some(error) => self.refusal = Some(error),
                None => (self.good, self.refusal) = (Some(reworked), None),
            },
        }
    }

    /// What goes with an edge that is shaped: its other half across the fold, and the edge that is sewn to it.
    fn paint(&self, painter: &Painter, laid: &Laid, transform: &Transform, seen: &Seen<'_>, p: &Palette) {
        let Some((edge, _)) = &self.edge else { return };
        let piece = &laid.shape.piece;
        let line = |points: Vec<Point>| points.into_iter().map(|at| transform.screen_from_cloth(at + laid.by)).collect::<Vec<Pos2>>();
        if let Some(mirror) = shaping::mirror(piece) {
            for part in piece.edge_parts(edge.as_str()) {
                let points = line(geometry::flattened(&(mirror * part.path.clone()), TOLERANCE_MM));
                painter.extend(Shape::dashed_line(&points, Stroke::new(1.6, p.ink_soft), 3.0, 4.0));
            }
        }
        if let Some(path) = shaping::partner_line(&seen.built.draft, piece.name(), edge) {
            let points = line(geometry::flattened(&path, TOLERANCE_MM));
            painter.extend(Shape::dashed_line(&points, Stroke::new(2.0, p.chalk), 9.0, 5.0));
        }
        if let Some(error) = &self.refusal {
            let at = transform.screen_from_cloth(piece.bounds().center() + laid.by);
            let galley = painter.layout(error.problem.clone(), theme::strong_body(), p.madder, 260.0);
            let tag = Rect::from_center_size(at, galley.size() + vec2(16.0, 8.0));
            painter.rect(tag, 4.0, p.raised, Stroke::new(1.0, p.madder), StrokeKind::Inside);
            painter.galley(tag.min + vec2(8.0, 4.0), galley, p.madder);
        }
    }
}

/// Where a hold is shown: the mouth of a dart off the piece, so that its corners can be reached beside it.
fn shown_at(hold: &Hold, laid: &Laid, transform: &Transform) -> Pos2 {
    let at = |q: Point| transform.screen_from_cloth(q + laid.by);
    match (&hold.grip, hold.stem) {
        (Grip::Mouth(_), Some(tip)) => at(hold.at) + (at(hold.at) - at(tip)).normalized() * 2.0 * REACH,
        _ => at(hold.at),
    }
}

fn command(reworked: &Reworked) -> Command {
    let work = Box::new(Work::Alter(Box::new(reworked.alteration.clone())));
    match reworked.at {
        Some(i) => Command::ChangeWork(i, work),
        None => Command::AddWork { at: None, work },
    }
}

/// By how much the arrow keys that were pressed move something, millimetres, and whether one is still held down.
fn arrows(ui: &Ui) -> (Vec2, bool) {
    ui.input(|i| {
        let mut by = Vec2::ZERO;
        for event in &i.events {
            let egui::Event::Key { key, pressed: true, modifiers, .. } = event else { continue };
            if modifiers.alt || modifiers.command {
                continue;
            }
            let mm = if modifiers.shift { NUDGE_MM.1 } else { NUDGE_MM.0 };
            by += match key {
                Key::ArrowLeft => Vec2::new(-mm, 0.0),
                Key::ArrowRight => Vec2::new(mm, 0.0),
                Key::ArrowUp => Vec2::new(0.0, -mm),
                Key::ArrowDown => Vec2::new(0.0, mm),
                _ => Vec2::ZERO,
            };
        }
        let down = [Key::ArrowLeft, Key::ArrowRight, Key::ArrowUp, Key::ArrowDown].iter().any(|k| i.key_down(*k));
        (by, down)
    })
}

/// Each kind has a shape of its own: rings for points, squares for handles, a diamond where a dart is moved, arrows where
/// something slides.
fn paint_hold(painter: &Painter, hold: &Hold, at: Pos2, response: &Response, p: &Palette) {
    let hot = response.hovered() || response.dragged() || response.has_focus();
    let (fill, stroke) = if hot { (p.chalk, Stroke::new(2.0, p.ink)) } else { (p.raised, Stroke::new(1.6, p.chalk)) };
    let polygon = |points: Vec<Pos2>| {
        painter.add(Shape::convex_polygon(points, fill, stroke));
    };
    match hold.grip {
        Grip::Joint { .. } | Grip::Tip(_) => {
            painter.circle(at, 5.0, fill, stroke);
        }
        Grip::Handle { .. } => {
            painter.rect(Rect::from_center_size(at, vec2(8.0, 8.0)), 0.0, fill, stroke, StrokeKind::Middle);
        }
        Grip::Mouth(_) => polygon([(0.0, -7.0), (7.0, 0.0), (0.0, 7.0), (-7.0, 0.0)].map(|(x, y)| at + vec2(x, y)).to_vec()),
        Grip::Leg { .. } => {
            painter.circle(at, 3.5, fill, stroke);
        }
        Grip::Notch { .. } | Grip::Flare { .. } => {
            polygon([(-7.0, 0.0), (-2.0, -5.0), (-2.0, 5.0)].map(|(x, y)| at + vec2(x, y)).to_vec());
            polygon([(7.0, 0.0), (2.0, -5.0), (2.0, 5.0)].map(|(x, y)| at + vec2(x, y)).to_vec());
        }
    }
    if response.has_focus() {
        painter.circle_stroke(at, 10.0, Stroke::new(1.4, p.chalk));
    }
}
