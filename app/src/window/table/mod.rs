//! The table: pieces at true proportion on a paper with a rule along two sides.

mod drawing;
mod few_points;
mod gesture;
mod hand;
mod hit;
mod inked;
mod label;
mod paint;
mod pane;
mod rule;
mod shape;
mod shaping;
mod together;
mod transform;
mod walk;

use std::collections::BTreeSet;

use draft_core::{Built, Name, Unit};
use egui::{
    Align, Align2, CursorIcon, EventFilter, Key, Layout, Painter, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, UiBuilder, WidgetInfo,
    vec2,
};

use self::hand::{Bench, Hand, InHand};
use self::hit::Hit;
use self::inked::Inks;
pub use self::pane::Pane;
use self::shape::{Before, Laid, Lay};
use self::shaping::Shaping;
use self::together::Laying;
pub use self::transform::Transform;
use self::walk::Walks;
use super::photo::Beneath;
use super::theme::{self, Palette};
use super::{Chosen, Request, Seen, Stage, facts, widget};

/// How near the pointer must be to an edge, screen points.
const NEAR_EDGE: f32 = 7.0;

/// The table and what is on it.
#[derive(Default)]
pub struct Table {
    pane: Pane,
    lay: Lay,
    inks: Inks,
    hover: Option<Hit>,
    /// What is in hand at Redraw.
    in_hand: InHand,
    /// The pointer, on the table.
    pointer: Option<kurbo::Point>,
    /// The pieces as they were before a work, where they are others now.
    before: Vec<Before>,
    /// The build and the work to which those belong.
    compared: Option<(u64, usize)>,
    /// What is shaped by hand.
    shaping: Shaping,
    /// Pieces that are laid together.
    laying: Laying,
    /// A seam that is walked.
    walks: Walks,
    /// Photos that lie under the pieces.
    beneath: Vec<Beneath>,
    /// Pieces that are not shown.
    hidden: BTreeSet<Name>,
}

impl Table {
    /// Lays out what was built.
    pub fn lay(&mut self, built: &Built, trying: bool) {
        self.laying.look(built, trying);
        self.walks.look(&built.draft);
        // What is drawn on stays where it lies.
        self.lay_out(built, self.shaping.keeps_still() || self.in_hand.is_tool());
        self.in_hand.let_go();
    }

    fn lay_out(&mut self, built: &Built, still: bool) {
        self.lay = Lay::of(built, &self.lay, still, self.laying.group(), &self.hidden);
        self.hover = None;
    }

    /// Pieces that are not shown.
    pub fn hide(&mut self, hidden: &BTreeSet<Name>) {
        self.hidden.clone_from(hidden);
    }

    /// Photos to lie under the pieces.
    pub fn lie_beneath(&mut self, photos: Vec<Beneath>) {
        self.beneath = photos;
    }

    /// Brings a piece into view.
    pub fn show_piece(&mut self, name: &str) {
        if let Some(laid) = self.lay.find(name) {
            self.pane.show(laid.bounds());
        }
    }

    /// The work before which the pieces are shown as pale lines while one is shaped.
    pub fn pale(&self) -> Option<usize> {
        self.shaping.pale()
    }

    /// Shows the pieces before a work as pale lines.
    pub fn compare(&mut self, built: &Built, build: u64, work: Option<usize>) {
        let wanted = work.map(|work| (build, work));
        if wanted != self.compared {
            self.compared = wanted;
            self.before = work.and_then(|work| built.before(work)).map_or_else(Vec::new, |draft| Before::of(draft, &built.draft));
        }
    }

    /// What is under the pointer, in words.
    pub fn readout(&self, built: &Built, unit: Unit) -> String {
        let ruling = self.in_hand.holds(Hand::Rule);
        let own = self.shaping.readout(&built.draft, unit).or_else(|| self.walks.readout(unit)).or_else(|| self.laying.readout(ruling));
        if let Some(said) = own.filter(|_| self.hover.is_none() || ruling || self.walks.is_on() || self.shaping.pale().is_some()) {
            return said;
        }
        if let Some(text) = self.in_hand.says(unit) {
            return text;
        }
        let Some(hit) = self.hover else {
            return if self.lay.pieces.is_empty() {
                "Nothing lies on the table yet.".into()
            } else {
                "Point at an edge to read its length. Drag to move the table, turn the wheel to come closer.".into()
            };
        };
        let Some(laid) = self.lay.pieces.get(hit.piece) else { return String::new() };
        let piece = &laid.shape.piece;
        let moved = self.moved(laid).map_or_else(String::new, |mm| format!(" — here {}", moved_words(mm, unit)));
        match hit.edge {
            Some(edge) => facts::edge_line(built, piece, edge, unit) + &moved,
            None => {
                let b = piece.bounds();
                let size = format!("{} across, {} down", unit.text(b.width()), unit.text(b.height()));
                format!("{} — {size}, {}{moved}", piece.name(), facts::cut_words(piece))
            }
        }
    }

    /// How far the seam line near the pointer lies from where it was before, outward; millimetres.
    fn moved(&self, laid: &Laid) -> Option<f64> {
        let piece = &laid.shape.piece;
        let before = self.before.iter().find(|b| b.piece.name() == piece.name() && !self.laying.has_carried(piece.name()))?;
        draft_core::compare::shifted_mm(&before.piece, piece, self.pointer? - laid.by)
    }

    /// Shows the table and everything on it.
    pub fn show(&mut self, ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
        self.walks.keys(ui);
        if let Some(part) = self.walks.wants_to_show(&self.lay) {
            self.pane.show(part);
        }
        let count = self.lay.pieces.len();
        let name = format!("Table with {count} {}", if count == 1 { "piece" } else { "pieces" });
        let redraw = seen.stage == Stage::Redraw;
        if !redraw && self.in_hand.is_tool() {
            self.in_hand.take_up(Hand::Move);
        }
        let bench = Bench { lay: &self.lay, transform: self.pane.transform(), seen, p: Palette::of(ui), pointer: None };
        let taken = self.in_hand.takes_drag(ui, &bench);
        self.pane.covered = if redraw { hand::COVERS } else { 0.0 };
        self.pane.tool = self.in_hand.is_tool();
        self.pane.holding = taken;
        self.pane.has_true_size = true;
        self.pane.on_edge = redraw && self.on_chosen_edge(seen);
        self.pane.selected = seen.chosen.piece().and_then(|piece| self.lay.find(piece.as_str())).map(Laid::bounds);
        let shown = self.pane.begin(ui, "table", &name, seen.unit, self.lay.bounds());
        let transform = *self.pane.transform();
        let near = transform.cloth_length(NEAR_EDGE);
        for photo in &self.beneath {
            photo.paint(&shown.painter, &transform);
        }
        if !redraw {
            self.shaping.let_go();
            self.laying.let_go();
            self.walks.stop();
        }
        let tool = self.in_hand.is_tool();
        // A line with the rule from one of the pieces laid together to another is theirs.
        let across = self.in_hand.holds(Hand::Rule)
            && shown.clicked.is_some_and(|p| self.laying.rule(transform.cloth_from_screen(p), &self.lay, &transform, near, seen));
        if across {
            self.in_hand.let_go();
        }
        let at = |p: Pos2| hit::at(&self.lay, transform.cloth_from_screen(p), near);
        if !tool && let Some(clicked) = shown.clicked {
            let chosen = at(clicked).map_or(Chosen::Nothing, |hit| self.name(hit));
            if chosen != *seen.chosen {
                requests.push(Request::Choose(chosen));
            }
        }
        let hover = shown.pointer.and_then(at);
        let pointer = shown.pointer.filter(|_| tool || hover.is_some() && !self.before.is_empty()).map(|p| transform.cloth_from_screen(p));
        if hover != self.hover || pointer != self.pointer {
            self.hover = hover;
            self.pointer = pointer;
            // The readout was drawn before the table.
            ui.ctx().request_repaint();
        }
        if tool && shown.pointer.is_some() {
            ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
        } else if self.hover.is_some() {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
        }
        self.pane.focus_inside = self.pieces_as_widgets(ui, &transform, seen, requests);
        self.paint(ui, &shown.painter, &transform, seen, shown.pointer.filter(|_| !tool));
        self.laying.paint(&shown.painter, &self.lay, &transform, Palette::of(ui));
        let bench = Bench { lay: &self.lay, transform: &transform, seen, p: Palette::of(ui), pointer: None };
        self.laying.draw(ui, &shown.painter, &bench, requests);
        self.walks.paint(&shown.painter, &self.lay, &transform, Palette::of(ui));
        if redraw && !tool {
            if self.laying.group().is_none() && !self.walks.is_on() {
                self.shaping.show(ui, &shown.painter, &self.lay, &transform, seen, requests);
            }
            self.laying.carry(ui, &shown.painter, &self.lay, &transform, near, seen);
        }
        if redraw {
            let on_edge = shown.pointer.filter(|_| self.on_chosen_edge(seen)).map(|p| transform.cloth_from_screen(p));
            let twice = shown.response.double_clicked();
            self.seam_tools(ui, transform.view(), (on_edge, twice), seen, requests);
        }
        if self.laying.take_changed() {
            self.shaping.let_go();
            self.lay_out(seen.built, false);
            let lies = |name: &Name| self.lay.find(name.as_str()).map(Laid::bounds);
            let in_view = |b: &kurbo::Rect| {
                let corners = [kurbo::Point::new(b.x0, b.y0), kurbo::Point::new(b.x1, b.y1)];
                corners.iter().all(|p| transform.view().contains(transform.screen_from_cloth(*p)))
            };
            let group = self.laying.group().and_then(|g| g.names().filter_map(lies).reduce(|a, b| a.union(b)));
            if let Some(all) = group.filter(|all| !in_view(all)) {
                self.pane.show(all);
            }
            self.in_hand.let_go();
            ui.ctx().request_repaint();
        }
        if !across {
            // While a line across pieces waits, nothing else is pointed at.
            let pointer = pointer.filter(|_| !self.laying.has_line());
            let bench = Bench { lay: &self.lay, transform: &transform, seen, p: Palette::of(ui), pointer };
            self.in_hand.act(ui, &shown.response, &shown.painter, &bench, requests);
        }
        if self.pane.end(ui, shown) {
            requests.push(Request::HoldCard);
        }
        if redraw {
            self.in_hand.choose(ui, transform.view());
        }
    }

    /// What can be done with the seam of the selected edge, over the table at its foot.
    fn seam_tools(
        &mut self,
        ui: &mut Ui,
        view: Rect,
        (on_edge, twice): (Option<kurbo::Point>, bool),
        seen: &Seen<'_>,
        requests: &mut Vec<Request>,
    ) {
        let size = vec2(view.width() - 90.0, theme::TARGET);
        let at = Rect::from_min_size(view.left_bottom() + vec2(14.0, -14.0 - theme::TARGET), size);
        let mut child = ui.new_child(UiBuilder::new().max_rect(at).layout(Layout::left_to_right(Align::Center)));
        if self.walks.is_on() {
            self.walks.strip(&mut child, seen, requests);
            return;
        }
        if !self.in_hand.is_tool() && self.laying.group().is_none() {
            self.shaping.both_sides(&mut child, seen);
            self.walks.tool(&mut child, seen);
        }
        self.laying.tool(&mut child, seen);
        if self.lay.could_be_neater && self.shaping.pale().is_none() && self.laying.group().is_none() {
            let pressed = !ui.ctx().text_edit_focused() && ui.input(|i| i.key_pressed(Key::A) && !i.modifiers.any());
            let button = child.button("Arrange neatly").on_hover_text("Lay the pieces in rows again   (A)");
            if button.clicked() || pressed {
                self.shaping.let_go();
                self.lay_out(seen.built, false);
                ui.ctx().request_repaint();
            }
        }
        if !self.in_hand.is_tool() && self.laying.group().is_none() && !self.walks.is_on() {
            // In a row of their own, above.
            let above = at.translate(vec2(0.0, -theme::TARGET - 8.0));
            let mut child = ui.new_child(UiBuilder::new().max_rect(above).layout(Layout::left_to_right(Align::Center)));
            self.shaping.points(&mut child, on_edge, twice, &self.lay, seen, requests);
        }
    }

    /// Whether the pointer is on the edge that is selected.
    fn on_chosen_edge(&self, seen: &Seen<'_>) -> bool {
        let under = self.hover.filter(|hit| hit.edge.is_some()).map(|hit| self.name(hit));
        matches!(seen.chosen, Chosen::Edge(..)) && under.as_ref() == Some(seen.chosen)
    }

    fn name(&self, hit: Hit) -> Chosen {
        let Some(laid) = self.lay.pieces.get(hit.piece) else { return Chosen::Nothing };
        let piece = &laid.shape.piece;
        match hit.edge.and_then(|e| piece.edges().get(e)) {
            Some(edge) => Chosen::Edge(piece.name().clone(), edge.name.clone()),
            None => Chosen::Piece(piece.name().clone()),
        }
    }

    /// Each piece as something that can be reached with Tab and read by a screen reader. Says whether one has the
    /// focus.
    fn pieces_as_widgets(&self, ui: &Ui, transform: &Transform, seen: &Seen<'_>, requests: &mut Vec<Request>) -> bool {
        let mut any = false;
        for laid in &self.lay.pieces {
            let name = laid.shape.piece.name();
            let b = laid.bounds();
            let on_screen = Rect::from_two_pos(
                transform.screen_from_cloth(kurbo::Point::new(b.x0, b.y0)),
                transform.screen_from_cloth(kurbo::Point::new(b.x1, b.y1)),
            );
            let shown = on_screen.intersect(transform.view());
            // Out of view it can still be reached with Tab.
            let shown = if shown.is_positive() { shown } else { Rect::from_min_size(transform.view().min, vec2(1.0, 1.0)) };
            let id = widget::steady(("piece on the table", name.as_str()));
            let response = ui.interact(shown, id, Sense::focusable_noninteractive());
            let on = seen.chosen.piece() == Some(name);
            response
                .widget_info(|| WidgetInfo::selected(Role::ListItem, true, on, format!("{name}, {}", facts::cut_words(&laid.shape.piece))));
            if response.gained_focus() && !on {
                requests.push(Request::Choose(Chosen::Piece(name.clone())));
            }
            if response.has_focus() {
                any = true;
                let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
                ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
            }
        }
        any
    }

    fn paint(&mut self, ui: &Ui, painter: &Painter, transform: &Transform, seen: &Seen<'_>, pointer: Option<Pos2>) {
        let p = Palette::of(ui);
        let partners: Vec<_> = match seen.chosen {
            Chosen::Edge(piece, edge) => facts::sewn_to(seen.built, piece.as_str(), edge.as_str()),
            _ => Vec::new(),
        };
        // A piece that was carried to another one does not lie where it did before.
        let before: Vec<Before> = self.before.iter().filter(|b| !self.laying.has_carried(b.piece.name())).cloned().collect();
        paint::Scene {
            lay: &self.lay,
            transform,
            chosen: seen.chosen,
            hover: self.hover,
            partners: &partners,
            before: &before,
            over_photo: !self.beneath.is_empty(),
            dark: ui.visuals().dark_mode,
            p,
        }
        .paint(painter, &mut self.inks);
        if let (Some(at), Some(hit)) = (pointer, self.hover) {
            self.tag(painter, transform, at, hit, seen.unit, p);
        }
        if self.lay.pieces.is_empty() {
            let font = egui::FontId::new(16.0, egui::FontFamily::Proportional);
            let text = "Nothing lies here yet. Draft a block at the left.";
            painter.text(transform.view().center(), Align2::CENTER_CENTER, text, font, p.ink_soft);
        }
    }

    /// The length of the edge under the pointer, beside it.
    fn tag(&self, painter: &Painter, transform: &Transform, at: Pos2, hit: Hit, unit: Unit, p: &Palette) {
        let edge_of = |hit: Hit| {
            let piece = &self.lay.pieces.get(hit.piece)?.shape.piece;
            let edge = piece.edges().get(hit.edge?)?;
            Some((edge, piece.edge_length_mm(edge.name.as_str())?))
        };
        let Some((edge, length)) = edge_of(hit) else { return };
        let moved = self.lay.pieces.get(hit.piece).and_then(|laid| self.moved(laid));
        let moved = moved.filter(|mm| mm.abs() > 0.05).map_or_else(String::new, |mm| format!("   {}", moved_words(mm, unit)));
        let text = format!("{}  {}{moved}", edge.name, unit.text(length));
        let galley = painter.layout_no_wrap(text, theme::strong_body(), p.ink);
        let size = galley.size() + vec2(16.0, 8.0);
        let view = transform.view();
        let mut min = at + vec2(16.0, 14.0);
        min.x = min.x.min(view.right() - size.x - 6.0);
        min.y = min.y.min(view.bottom() - size.y - 6.0);
        let tag = Rect::from_min_size(min, size);
        painter.rect(tag, 4.0, p.raised, Stroke::new(1.0, p.chalk), StrokeKind::Inside);
        painter.galley(tag.min + vec2(8.0, 4.0), galley, p.ink);
    }
}

/// How far a line has moved, in words.
fn moved_words(mm: f64, unit: Unit) -> String {
    match mm {
        mm if mm.abs() <= 0.05 => "no distance from the line before".to_owned(),
        mm if mm > 0.0 => format!("{} out from the line before", unit.text(mm)),
        mm => format!("{} in from the line before", unit.text(-mm)),
    }
}
