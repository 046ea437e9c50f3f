//! The table: pieces at true proportion on a paper with a rule along two sides.

mod gesture;
mod hit;
mod paint;
mod rule;
mod shape;
mod transform;

use draft_core::{Built, Unit};
use egui::{Align2, CursorIcon, EventFilter, Key, Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use self::gesture::{Input, Intent, Keys};
use self::hit::Hit;
use self::shape::Lay;
pub use self::transform::Transform;
use super::icon::Icon;
use super::theme::{self, Palette};
use super::{Chosen, Request, Seen, facts, widget};

/// How near the pointer must be to an edge, screen points.
const NEAR_EDGE: f32 = 7.0;
/// Room round everything after Fit, screen points.
const FIT_MARGIN: f32 = 34.0;

/// The table and what is on it.
#[derive(Default)]
pub struct Table {
    transform: Transform,
    lay: Lay,
    hover: Option<Hit>,
    /// The maker has moved it by hand since it was last fitted.
    moved: bool,
    /// Show this piece as soon as the view is known.
    show: Option<String>,
}

impl Table {
    /// Lays out what was built.
    pub fn lay(&mut self, built: &Built) {
        self.lay = Lay::of(built, &self.lay);
        self.hover = None;
    }

    /// Shows everything.
    pub fn fit(&mut self) {
        self.moved = false;
    }

    /// Brings a piece into view.
    pub fn show_piece(&mut self, name: &str) {
        self.show = Some(name.to_owned());
    }

    /// What is under the pointer, in words.
    pub fn readout(&self, built: &Built, unit: Unit) -> String {
        let Some(hit) = self.hover else {
            return if self.lay.pieces.is_empty() {
                "Nothing lies on the table yet.".into()
            } else {
                "Point at an edge to read its length. Drag to move the table, turn the wheel to come closer.".into()
            };
        };
        let Some(laid) = self.lay.pieces.get(hit.piece) else { return String::new() };
        let piece = &laid.shape.piece;
        match hit.edge {
            Some(edge) => facts::edge_line(built, piece, edge, unit),
            None => {
                let b = piece.bounds();
                format!("{} — {} across, {} down, {}", piece.name(), unit.text(b.width()), unit.text(b.height()), facts::cut_words(piece))
            }
        }
    }

    /// Shows the table and everything on it.
    pub fn show(&mut self, ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
        let all = ui.available_rect_before_wrap();
        let view = Rect::from_min_max(all.min + vec2(theme::RULE, theme::RULE), all.max);
        let response = ui.interact(view, widget::steady("table"), Sense::click_and_drag());
        let count = self.lay.pieces.len();
        response.widget_info(|| {
            WidgetInfo::labeled(Role::Canvas, true, format!("Table with {count} {}", if count == 1 { "piece" } else { "pieces" }))
        });
        self.look(view);
        let pieces = self.pieces_as_widgets(ui, view, seen, requests);
        let focused = response.has_focus() || pieces;
        let input = self.input(ui, &response, focused);
        for intent in gesture::read(&input) {
            self.do_intent(intent, seen, requests);
        }
        if response.clicked() || response.drag_started() {
            // A field in which something is being typed lets go, so that undo is the garment's again.
            ui.memory_mut(|m| {
                if let Some(id) = m.focused() {
                    m.surrender_focus(id);
                }
            });
        }
        let near = self.transform.cloth_length(NEAR_EDGE);
        let pointer = ui.input(|i| i.pointer.hover_pos()).filter(|p| view.contains(*p) && ui.ctx().layer_id_at(*p) == Some(ui.layer_id()));
        let hover = pointer.filter(|_| !response.dragged()).and_then(|p| hit::at(&self.lay, self.transform.cloth_from_screen(p), near));
        if hover != self.hover {
            self.hover = hover;
            // The readout was drawn before the table.
            ui.ctx().request_repaint();
        }
        if response.dragged() {
            ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
        } else if self.hover.is_some() {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
        }
        self.paint(ui, all, view, seen, pointer);
        self.view_buttons(ui, view, requests);
    }

    /// Where to look: everything until the maker moves the table, or the piece that was asked for.
    fn look(&mut self, view: Rect) {
        self.transform.set_view(view);
        if let Some(laid) = self.show.take().and_then(|name| self.lay.find(&name).cloned()) {
            let b = laid.bounds();
            self.transform.fit(b.inflate(b.width() * 0.15, b.height() * 0.15), FIT_MARGIN);
            self.moved = true;
        } else if !self.moved
            && let Some(bounds) = self.lay.bounds()
        {
            self.transform.fit(bounds, FIT_MARGIN);
        }
    }

    fn input(&self, ui: &Ui, response: &egui::Response, focused: bool) -> Input {
        let pointer = response.contains_pointer().then(|| ui.input(|i| i.pointer.hover_pos())).flatten();
        let typing = ui.ctx().text_edit_focused() || ui.memory(|m| m.top_modal_layer().is_some());
        let (wheel, pinch) = ui.input(|i| (i.smooth_scroll_delta(), i.zoom_delta()));
        let keys = if typing {
            Keys::default()
        } else {
            ui.input(|i| {
                let plain = !i.modifiers.command && !i.modifiers.alt;
                let hit = |key| plain && i.key_pressed(key);
                let arrow = |key| f32::from(u8::from(hit(key)));
                // Arrows go from one control to the next while one has the focus.
                let free = focused || ui.memory(|m| m.focused().is_none());
                let look = vec2(arrow(Key::ArrowRight) - arrow(Key::ArrowLeft), arrow(Key::ArrowDown) - arrow(Key::ArrowUp));
                Keys {
                    fit: hit(Key::F),
                    closer: hit(Key::Plus) || hit(Key::Equals),
                    away: hit(Key::Minus),
                    look: if free { look } else { egui::Vec2::ZERO },
                }
            })
        };
        let dragged = if response.dragged() { response.drag_delta() } else { egui::Vec2::ZERO };
        Input {
            pointer,
            dragged,
            clicked: response.clicked(),
            double_clicked: response.double_clicked() && self.hover.is_none(),
            wheel: if pinch == 1.0 { wheel } else { egui::Vec2::ZERO },
            pinch,
            keys,
        }
    }

    fn do_intent(&mut self, intent: Intent, seen: &Seen<'_>, requests: &mut Vec<Request>) {
        match intent {
            Intent::Pan(by) => {
                self.transform.pan(by);
                self.moved = true;
            }
            Intent::Zoom(at, factor) => {
                self.transform.zoom(at.unwrap_or(self.transform.view().center()), factor);
                self.moved = true;
            }
            Intent::Fit => self.fit(),
            Intent::Select(at) => {
                let near = self.transform.cloth_length(NEAR_EDGE);
                let chosen = match hit::at(&self.lay, self.transform.cloth_from_screen(at), near) {
                    None => Chosen::Nothing,
                    Some(hit) => self.name(hit),
                };
                if chosen != *seen.chosen {
                    requests.push(Request::Choose(chosen));
                }
            }
        }
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
    fn pieces_as_widgets(&self, ui: &Ui, view: Rect, seen: &Seen<'_>, requests: &mut Vec<Request>) -> bool {
        let mut any = false;
        for laid in &self.lay.pieces {
            let name = laid.shape.piece.name();
            let b = laid.bounds();
            let on_screen = Rect::from_two_pos(
                self.transform.screen_from_cloth(kurbo::Point::new(b.x0, b.y0)),
                self.transform.screen_from_cloth(kurbo::Point::new(b.x1, b.y1)),
            );
            let shown = on_screen.intersect(view);
            // Out of view it can still be reached with Tab.
            let shown = if shown.is_positive() { shown } else { Rect::from_min_size(view.min, vec2(1.0, 1.0)) };
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

    fn paint(&self, ui: &Ui, all: Rect, view: Rect, seen: &Seen<'_>, pointer: Option<egui::Pos2>) {
        let p = Palette::of(ui);
        let painter = ui.painter().with_clip_rect(view.intersect(ui.clip_rect()));
        painter.rect_filled(view, 0.0, p.table);
        let origin = self.lay.bounds().map_or(kurbo::Point::ZERO, |b| b.origin());
        rule::squares(&painter, &self.transform, seen.unit, origin, p);
        let scene = paint::Scene { lay: &self.lay, transform: &self.transform, chosen: seen.chosen, hover: self.hover, p };
        scene.paint(&painter);
        if let (Some(at), Some(hit)) = (pointer, self.hover) {
            self.tag(ui, &painter, at, hit, seen);
        }
        if self.lay.pieces.is_empty() {
            painter.text(
                view.center(),
                Align2::CENTER_CENTER,
                "Nothing lies here yet. Add a block at the left.",
                egui::FontId::new(16.0, egui::FontFamily::Proportional),
                p.ink_soft,
            );
        }
        rule::show(&ui.painter().with_clip_rect(all.intersect(ui.clip_rect())), all, &self.transform, seen.unit, origin, pointer, p);
    }

    /// The length of the edge under the pointer, beside it.
    fn tag(&self, ui: &Ui, painter: &egui::Painter, at: egui::Pos2, hit: Hit, seen: &Seen<'_>) {
        let p = Palette::of(ui);
        let Some((piece, edge)) =
            self.lay.pieces.get(hit.piece).and_then(|l| Some((&l.shape.piece, l.shape.piece.edges().get(hit.edge?)?)))
        else {
            return;
        };
        let length = piece.edge_length_mm(edge.name.as_str()).unwrap_or(0.0);
        let text = format!("{}  {}", edge.name, seen.unit.text(length));
        let galley = painter.layout_no_wrap(text, theme::strong_body(), p.ink);
        let size = galley.size() + vec2(16.0, 8.0);
        let view = self.transform.view();
        let mut min = at + vec2(16.0, 14.0);
        min.x = min.x.min(view.right() - size.x - 6.0);
        min.y = min.y.min(view.bottom() - size.y - 6.0);
        let tag = Rect::from_min_size(min, size);
        painter.rect(tag, 4.0, p.raised, egui::Stroke::new(1.0, p.chalk), egui::StrokeKind::Inside);
        painter.galley(tag.min + vec2(8.0, 4.0), galley, p.ink);
    }

    /// Come closer, step back, fit.
    fn view_buttons(&mut self, ui: &mut Ui, view: Rect, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        let size = vec2(theme::TARGET, theme::TARGET * 3.0 + 4.0);
        let at = Rect::from_min_size(pos2(view.right() - size.x - 14.0, view.bottom() - size.y - 14.0), size);
        ui.painter().rect(at.expand(3.0), 6.0, p.panel, egui::Stroke::new(1.0, p.hairline), egui::StrokeKind::Inside);
        let mut child = ui.new_child(egui::UiBuilder::new().max_rect(at).layout(egui::Layout::top_down(egui::Align::Center)));
        child.spacing_mut().item_spacing = vec2(0.0, 2.0);
        let middle = self.transform.view().center();
        if widget::icon_button(&mut child, Icon::Plus, "Come closer", "+", true).clicked() {
            self.transform.zoom(middle, 1.25);
            self.moved = true;
        }
        if widget::icon_button(&mut child, Icon::Minus, "Step back", "−", true).clicked() {
            self.transform.zoom(middle, 0.8);
            self.moved = true;
        }
        if widget::icon_button(&mut child, Icon::Fit, "Show everything", "F", true).clicked() {
            requests.push(Request::Fit);
        }
    }
}
