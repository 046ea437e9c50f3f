//! A view on a large flat thing at true proportion: pan, zoom, fit, and a rule along two sides.

use draft_core::Unit;
use egui::{
    Align, CornerRadius, CursorIcon, Key, Layout, Painter, Pos2, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, UiBuilder, Vec2,
    WidgetInfo, pos2, vec2,
};

use super::gesture::{self, Input, Intent, Keys};
use super::rule;
use super::transform::Transform;
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::{true_size, widget};

/// Room round everything after Fit, screen points.
const FIT_MARGIN: f32 = 34.0;

/// The view, which stays where the maker left it.
#[derive(Default)]
pub struct Pane {
    transform: Transform,
    /// Moved by hand since it was last fitted.
    moved: bool,
    /// The part of the view that is free, and what was last fitted to it.
    fitted: Option<(Rect, kurbo::Rect)>,
    /// Show this as soon as the size of the view is known.
    show: Option<kurbo::Rect>,
    /// Something painted in the view has the focus, so arrow keys belong to the view.
    pub focus_inside: bool,
    /// So much of the view at the left is covered, screen points.
    pub covered: f32,
    /// A tool is in hand: a double click is the tool's.
    pub tool: bool,
    /// The pointer is on the line that is being shaped: a double click is for that.
    pub on_edge: bool,
    /// Arrow keys belong to what is in hand, not to the view.
    pub arrows_taken: bool,
    /// What is selected, to come to.
    pub selected: Option<kurbo::Rect>,
    /// It is cloth or paper that is shown, which can be seen at true size.
    pub has_true_size: bool,
    /// The hand has hold of something on the table: a drag moves that, and not the table.
    pub holding: bool,
    /// True size was asked for, and waits until a card was held to the screen or the view is moved.
    waits_for_card: bool,
    /// It is a picture that is shown, which is measured in dots: no rule is laid along it.
    is_picture: bool,
}

/// One frame of a view, while its content is painted.
pub struct Shown {
    /// The view and its rules.
    all: Rect,
    /// Where the rules begin to count.
    origin: kurbo::Point,
    unit: Unit,
    /// Paints within the view.
    pub painter: Painter,
    /// The pointer, when it is over the view and not dragging it.
    pub pointer: Option<Pos2>,
    /// A click, to be taken as choosing what is there.
    pub clicked: Option<Pos2>,
    /// What the hand does over the view.
    pub response: Response,
    /// How far what the hand holds was dragged.
    pub dragged: Vec2,
    /// The hand has just let go of what it dragged.
    pub let_go: bool,
}

impl Pane {
    /// A view on a picture.
    pub fn of_a_picture() -> Self {
        Self { is_picture: true, ..Self::default() }
    }

    /// From cloth to screen and back.
    pub const fn transform(&self) -> &Transform {
        &self.transform
    }

    /// Shows everything.
    pub const fn fit(&mut self) {
        self.moved = false;
        self.fitted = None;
    }

    /// Brings a part into view.
    pub const fn show(&mut self, part: kurbo::Rect) {
        self.show = Some(part);
    }

    /// Takes the room that is left, reads hands and keys, and paints the ground.
    pub fn begin(&mut self, ui: &mut Ui, id: &str, name: &str, unit: Unit, bounds: Option<kurbo::Rect>) -> Shown {
        let p = Palette::of(ui);
        let all = ui.available_rect_before_wrap();
        let rule = if self.is_picture { 0.0 } else { theme::RULE };
        let view = Rect::from_min_max(all.min + vec2(rule, rule), all.max);
        let response = ui.interact(view, widget::steady(id), Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, name));
        self.look(view, bounds);
        let input = self.input(ui, &response);
        let mut clicked = None;
        for intent in gesture::read(&input) {
            self.waits_for_card = false;
            match intent {
                Intent::Pan(by) => {
                    self.transform.pan(by);
                    self.moved = true;
                }
                Intent::Zoom(at, factor) => {
                    self.transform.zoom(at.unwrap_or(view.center()), factor);
                    self.moved = true;
                }
                Intent::Fit => self.fit(),
                Intent::Select(at) => clicked = Some(at),
            }
        }
        if response.clicked() || response.drag_started() {
            // A field in which something is being typed lets go, so that undo is the garment's again.
            ui.memory_mut(|m| {
                if let Some(focused) = m.focused() {
                    m.surrender_focus(focused);
                }
            });
        }
        if response.dragged() && !self.holding {
            ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
        }
        let painter = ui.painter().with_clip_rect(view.intersect(ui.clip_rect()));
        painter.rect_filled(view, 0.0, p.table);
        let origin = bounds.map_or(kurbo::Point::ZERO, |b| b.origin());
        if !self.is_picture {
            rule::squares(&painter, &self.transform, unit, origin, p);
        }
        let pointer = response.hover_pos().filter(|_| !response.dragged() || self.holding);
        let dragged = if self.holding && response.dragged() { response.drag_delta() } else { Vec2::ZERO };
        let let_go = self.holding && response.drag_stopped();
        Shown { all, origin, unit, painter, pointer, clicked, response, dragged, let_go }
    }

    /// Paints the rules over the content, and the buttons. Says whether true size was asked for and is not known yet.
    pub fn end(&mut self, ui: &mut Ui, shown: Shown) -> bool {
        let p = Palette::of(ui);
        let painter = ui.painter().with_clip_rect(shown.all.intersect(ui.clip_rect()));
        if !self.is_picture {
            rule::show(&painter, shown.all, &self.transform, shown.unit, shown.origin, shown.pointer, p);
        }
        let view = self.transform.view();
        let count = 3 + u8::from(self.has_true_size) + u8::from(self.selected.is_some());
        let size = vec2(theme::TARGET, (theme::TARGET + 2.0) * f32::from(count) - 2.0);
        let at = Rect::from_min_size(pos2(view.right() - size.x - 14.0, view.bottom() - size.y - 14.0), size);
        ui.painter().rect(at.expand(3.0), CornerRadius::same(6), p.panel, Stroke::new(1.0, p.hairline), StrokeKind::Inside);
        let mut child = ui.new_child(UiBuilder::new().max_rect(at).layout(Layout::top_down(Align::Center)));
        child.spacing_mut().item_spacing = vec2(0.0, 2.0);
        let typing = ui.ctx().text_edit_focused() || ui.memory(|m| m.top_modal_layer().is_some());
        let hit = |key| !typing && ui.input(|i| i.key_pressed(key) && !i.modifiers.any());
        if let Some(part) = self.selected
            && (widget::icon_button(&mut child, Icon::Come, "Come to what is selected", "Z", true).clicked() || hit(Key::Z))
        {
            self.show(part);
        }
        for (icon, name, keys, factor) in [(Icon::Plus, "Come closer", "+", 1.25), (Icon::Minus, "Step back", "−", 0.8)] {
            if widget::icon_button(&mut child, icon, name, keys, true).clicked() {
                self.transform.zoom(view.center(), factor);
                self.moved = true;
            }
        }
        let mut unknown = false;
        let asked =
            self.has_true_size && (widget::icon_button(&mut child, Icon::TrueSize, "True size", "1", true).clicked() || hit(Key::Num1));
        if asked || self.waits_for_card {
            match true_size::dots_per_mm(ui.ctx()) {
                Some(dots) => {
                    if let Some(part) = self.selected {
                        self.transform.fit(part, FIT_MARGIN, self.covered);
                    }
                    self.transform.set_scale(f64::from(dots / ui.ctx().pixels_per_point()));
                    self.moved = true;
                    self.waits_for_card = false;
                    ui.ctx().request_repaint();
                }
                None if asked => (unknown, self.waits_for_card) = (true, true),
                None => {}
            }
        }
        if widget::icon_button(&mut child, Icon::Fit, "Show everything", "F", true).clicked() {
            self.fit();
        }
        unknown
    }

    /// Where to look: everything until the maker moves the view, or the part that was asked for.
    fn look(&mut self, view: Rect, bounds: Option<kurbo::Rect>) {
        self.transform.set_view(view);
        let free = Rect::from_min_max(view.min + vec2(self.covered, 0.0), view.max);
        if let Some(part) = self.show.take() {
            self.transform.fit(part.inflate(part.width() * 0.15, part.height() * 0.15), FIT_MARGIN, self.covered);
            self.moved = true;
        } else if !self.moved
            && let Some(bounds) = bounds
            && !self.fits_already(free, bounds)
        {
            self.transform.fit(bounds, FIT_MARGIN, self.covered);
            self.fitted = Some((free, bounds));
        }
    }

    /// Whether everything is in view as it is, and large enough: a piece that grows under a slider is seen to grow.
    fn fits_already(&self, view: Rect, bounds: kurbo::Rect) -> bool {
        let seen = self.transform.cloth_in_view();
        self.fitted.is_some_and(|(in_view, to)| in_view == view && to == bounds)
            || self.fitted.is_some_and(|(in_view, _)| in_view == view)
                && seen.union(bounds) == seen
                && (bounds.width() > 0.6 * seen.width() || bounds.height() > 0.6 * seen.height())
    }

    fn input(&self, ui: &Ui, response: &Response) -> Input {
        let pointer = response.hover_pos();
        let typing = ui.ctx().text_edit_focused() || ui.memory(|m| m.top_modal_layer().is_some());
        // Arrows go from one control to the next while one has the focus.
        let free = !self.arrows_taken && (self.focus_inside || response.has_focus() || ui.memory(|m| m.focused().is_none()));
        let (wheel, pinch) = ui.input(|i| (i.smooth_scroll_delta(), i.zoom_delta()));
        let keys = if typing {
            Keys::default()
        } else {
            ui.input(|i| {
                let plain = !i.modifiers.command && !i.modifiers.alt;
                let hit = |key| plain && i.key_pressed(key);
                let arrow = |key| f32::from(u8::from(free && hit(key)));
                Keys {
                    fit: hit(Key::F),
                    closer: hit(Key::Plus) || hit(Key::Equals),
                    away: hit(Key::Minus),
                    look: vec2(arrow(Key::ArrowRight) - arrow(Key::ArrowLeft), arrow(Key::ArrowDown) - arrow(Key::ArrowUp)),
                }
            })
        };
        Input {
            pointer,
            dragged: if response.dragged() && !self.holding { response.drag_delta() } else { Vec2::ZERO },
            clicked: response.clicked(),
            double_clicked: response.double_clicked() && !self.tool && !self.on_edge,
            wheel: if pinch == 1.0 { wheel } else { Vec2::ZERO },
            pinch,
            keys,
        }
    }
}
