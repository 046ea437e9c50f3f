//! What is in hand on the table: nothing but the table itself, or one of the tools, each in a file of its own.

mod beside;
mod chalk;
mod choices;
mod curve;
mod length;
mod notch;
mod pin;
mod place;
mod straight;
mod trace;
mod typed;

use draft_core::{Draft, Unit};
use egui::{
    CornerRadius, Event, Key, Painter, PointerButton, Pos2, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, UiBuilder, WidgetInfo,
    vec2,
};
use kurbo::Point;

pub use self::beside::panel;
pub use self::choices::told;
use super::hit;
use super::shape::{Laid, Lay};
use super::transform::Transform;
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::{Request, Seen};

/// How near the pointer must be to an edge or a point to take hold of it, screen points.
const SNAP: f32 = 8.0;

/// The choice of tools covers so much of the view at the left, screen points.
pub const COVERS: f32 = 24.0;

/// What is in hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Hand {
    /// Move the table, select what is on it.
    #[default]
    Move,
    /// Draw freely.
    Chalk,
    /// Draw a straight line.
    Rule,
    /// Draw a curve through points.
    Curve,
    /// Measure.
    Length,
    /// Cut along a line.
    Shears,
    /// Pin cloth away at an edge.
    PinIn,
    /// Trace a piece off another.
    TraceOff,
    /// Notch an edge.
    Notch,
}

impl Hand {
    /// In the order in which they are shown.
    pub const ALL: [Self; 9] =
        [Self::Move, Self::Chalk, Self::Rule, Self::Curve, Self::Length, Self::Shears, Self::PinIn, Self::TraceOff, Self::Notch];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Move => "Move",
            Self::Chalk => "Chalk",
            Self::Rule => "Rule",
            Self::Curve => "Curve",
            Self::Length => "Length",
            Self::Shears => "Shears",
            Self::PinIn => "Pin in",
            Self::TraceOff => "Trace off",
            Self::Notch => "Notch",
        }
    }

    const fn what(self) -> &'static str {
        match self {
            Self::Move => "drag the table, click what is on it",
            Self::Chalk => "draw a line freely; it is made smooth",
            Self::Rule => "draw a straight line from one click to the next",
            Self::Curve => "draw a curve through the points that you click",
            Self::Length => "measure from point to point, straight and along edges",
            Self::Shears => "cut a piece in two, or slit it, from one click to the next",
            Self::PinIn => "drag along an edge to pin cloth away",
            Self::TraceOff => "draw round what becomes a piece of its own, or click a whole piece",
            Self::Notch => "click where an edge gets a notch",
        }
    }

    const fn icon(self) -> Icon {
        match self {
            Self::Move => Icon::Move,
            Self::Chalk => Icon::Chalk,
            Self::Rule => Icon::Rule,
            Self::Curve => Icon::Curve,
            Self::Length => Icon::Length,
            Self::Shears => Icon::Shears,
            Self::PinIn => Icon::Pin,
            Self::TraceOff => Icon::Trace,
            Self::Notch => Icon::Notch,
        }
    }

    /// Its key.
    pub const fn key(self) -> Key {
        match self {
            Self::Move => Key::M,
            Self::Chalk => Key::C,
            Self::Rule => Key::R,
            Self::Curve => Key::U,
            Self::Length => Key::L,
            Self::Shears => Key::S,
            Self::PinIn => Key::P,
            Self::TraceOff => Key::T,
            Self::Notch => Key::N,
        }
    }

    fn taken_up(self) -> Option<Box<dyn Tool>> {
        match self {
            Self::Move => None,
            Self::Chalk => Some(Box::<chalk::Chalk>::default()),
            Self::Rule => Some(Box::<straight::Straight>::default()),
            Self::Curve => Some(Box::<curve::Curve>::default()),
            Self::Length => Some(Box::<length::Length>::default()),
            Self::Shears => Some(Box::new(straight::Straight::shears())),
            Self::PinIn => Some(Box::<pin::PinIn>::default()),
            Self::TraceOff => Some(Box::<trace::TraceOff>::default()),
            Self::Notch => Some(Box::<notch::Notch>::default()),
        }
    }
}

/// What a hand does on the table, in points of the table.
#[derive(Clone, Debug, PartialEq)]
pub enum Touch {
    /// A click.
    Click(Point),
    /// A second click in the same place.
    Again,
    /// The button went down, and the hand moves on.
    Press(Point),
    /// The hand moved on, with the button down: every place on the way.
    Drag(Vec<Point>),
    /// The button came up.
    Release(Point),
}

/// What a tool works on.
pub struct Bench<'a> {
    /// What lies on the table.
    pub lay: &'a Lay,
    /// Where the table lies.
    pub transform: &'a Transform,
    /// What views read.
    pub seen: &'a Seen<'a>,
    /// The colours.
    pub p: &'a Palette,
    /// The pointer, on the table.
    pub pointer: Option<Point>,
}

impl<'a> Bench<'a> {
    /// How near is near, millimetres of cloth.
    pub fn reach(&self) -> f64 {
        self.transform.cloth_length(SNAP)
    }

    /// The piece under a point of the table, or whose edge is near it.
    pub fn piece_at(&self, at: Point) -> Option<&'a Laid> {
        hit::at(self.lay, at, self.reach()).and_then(|hit| self.lay.pieces.get(hit.piece))
    }

    /// The piece of this name.
    pub fn laid(&self, name: &str) -> Option<&'a Laid> {
        self.lay.find(name)
    }

    /// The pieces and seams as they are.
    pub fn draft(&self) -> &'a Draft {
        &self.seen.built.draft
    }

    /// Where a point of a piece is on the screen.
    pub fn screen(&self, laid: &Laid, at: Point) -> Pos2 {
        self.transform.screen_from_cloth(at + laid.by)
    }

    /// Points of a piece on the screen.
    pub fn line(&self, laid: &Laid, points: &[Point]) -> Vec<Pos2> {
        points.iter().map(|p| self.screen(laid, *p)).collect()
    }

    /// Where the pointer is on a piece.
    pub fn pointer_on(&self, laid: &Laid) -> Option<Point> {
        self.pointer.map(|p| p - laid.by)
    }
}

/// Something that is taken in hand.
pub trait Tool {
    /// The hand did something.
    fn touch(&mut self, touch: &Touch, bench: &Bench<'_>, requests: &mut Vec<Request>);

    /// Whether a drag that begins at a point of the table is the tool's, rather than moving the table.
    fn takes_drag(&self, _at: Point, _bench: &Bench<'_>) -> bool {
        false
    }

    /// Paints what it is at.
    fn paint(&self, painter: &Painter, bench: &Bench<'_>);

    /// Shows what belongs beside it: fields and choices; and reads keys.
    fn beside(&mut self, _ui: &mut Ui, _bench: &Bench<'_>, _requests: &mut Vec<Request>) {}

    /// What the readout says.
    fn says(&self, unit: Unit) -> String;

    /// Lets go of what it is at; says whether there was anything.
    fn let_go(&mut self) -> bool;
}

/// What is in hand, and what it is at.
#[derive(Default)]
pub struct InHand {
    hand: Hand,
    tool: Option<Box<dyn Tool>>,
    /// The drag that is going on is the tool's.
    dragging: bool,
}

impl InHand {
    /// Whether a tool is in hand.
    pub const fn is_tool(&self) -> bool {
        self.tool.is_some()
    }

    /// Whether this is in hand.
    pub fn holds(&self, hand: Hand) -> bool {
        self.hand == hand
    }

    /// Takes something else up.
    pub fn take_up(&mut self, hand: Hand) {
        *self = Self { hand, tool: hand.taken_up(), dragging: false };
    }

    /// The pieces are others now: what it was at is let go of.
    pub fn let_go(&mut self) {
        if let Some(tool) = &mut self.tool {
            tool.let_go();
        }
    }

    /// What the readout says, when a tool is in hand.
    pub fn says(&self, unit: Unit) -> Option<String> {
        self.tool.as_ref().map(|tool| tool.says(unit))
    }

    /// Whether the button that is down now drags for the tool.
    pub fn takes_drag(&mut self, ui: &Ui, bench: &Bench<'_>) -> bool {
        let (pressed, down, origin) = ui.input(|i| (i.pointer.primary_pressed(), i.pointer.primary_down(), i.pointer.press_origin()));
        if pressed && let (Some(tool), Some(origin)) = (&self.tool, origin) {
            self.dragging = tool.takes_drag(bench.transform.cloth_from_screen(origin), bench);
        } else if !down && !ui.input(|i| i.pointer.primary_released()) {
            self.dragging = false;
        }
        self.dragging
    }

    /// Reads what the hand did and shows it.
    pub fn act(&mut self, ui: &mut Ui, response: &Response, painter: &Painter, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        let Some(tool) = &mut self.tool else { return };
        for touch in touches(ui, response, bench.transform, self.dragging) {
            tool.touch(&touch, bench, requests);
            ui.ctx().request_repaint();
        }
        if !ui.ctx().text_edit_focused() && ui.input(|i| i.key_pressed(Key::Escape)) && tool.let_go() {
            ui.ctx().request_repaint();
        }
        tool.paint(painter, bench);
        tool.beside(ui, bench, requests);
    }

    /// The choice of what is in hand, over the table.
    pub fn choose(&mut self, ui: &mut Ui, view: Rect) {
        let count = Hand::ALL.len() as f32;
        let all = Rect::from_min_size(view.min + vec2(14.0, 12.0), vec2(theme::TARGET, count * theme::TARGET));
        let p = Palette::of(ui);
        ui.painter().rect(all.expand(3.0), CornerRadius::same(6), p.panel, Stroke::new(1.0, p.hairline), StrokeKind::Inside);
        let typing = ui.ctx().text_edit_focused();
        let child = ui.new_child(UiBuilder::new().max_rect(all));
        let mut taken = None;
        for (i, hand) in Hand::ALL.into_iter().enumerate() {
            let at = Rect::from_min_size(all.min + vec2(0.0, i as f32 * theme::TARGET), vec2(theme::TARGET, theme::TARGET));
            let on = hand == self.hand;
            let response = child.interact(at, child.scope_id().with(("in hand", hand.name())), Sense::click());
            let key = hand.key().name();
            let label = format!("{}: {} ({key})", hand.name(), hand.what());
            response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, on, &label));
            let corner = CornerRadius::same(theme::ROUND);
            if on {
                child.painter().rect(at.shrink(1.0), corner, p.chalk_wash, Stroke::new(1.5, p.chalk), StrokeKind::Inside);
            } else if response.hovered() || response.has_focus() {
                child.painter().rect_filled(at.shrink(1.0), corner, p.button_hover);
            }
            if response.has_focus() {
                child.painter().rect_stroke(at.shrink(3.0), corner, Stroke::new(1.0, p.chalk), StrokeKind::Inside);
            }
            hand.icon().paint(child.painter(), at, 22.0, if on { p.chalk } else { p.ink });
            let pressed = !typing && child.input(|i| i.key_pressed(hand.key()) && !i.modifiers.any());
            if (response.clicked() || pressed) && !on {
                taken = Some(hand);
            }
            response.on_hover_text(label);
        }
        if let Some(hand) = taken {
            self.take_up(hand);
            ui.ctx().request_repaint();
        }
    }
}

/// What the hand did over the table since the last frame.
fn touches(ui: &Ui, response: &Response, transform: &Transform, dragging: bool) -> Vec<Touch> {
    let at = |p: Pos2| transform.cloth_from_screen(p);
    let mut out = Vec::new();
    if response.clicked()
        && let Some(p) = response.interact_pointer_pos()
    {
        out.push(Touch::Click(at(p)));
        if response.double_clicked() {
            out.push(Touch::Again);
        }
    }
    if !dragging {
        return out;
    }
    let primary = PointerButton::Primary;
    if response.drag_started_by(primary)
        && let Some(p) = ui.input(|i| i.pointer.press_origin())
    {
        out.push(Touch::Press(at(p)));
    }
    if response.dragged_by(primary) || response.drag_stopped_by(primary) {
        // Every place on the way, not only the last one of the frame.
        let moves: Vec<Point> = ui.input(|i| {
            let moved = |e: &Event| if let Event::PointerMoved(p) = e { Some(at(*p)) } else { None };
            i.events.iter().filter_map(moved).collect()
        });
        if !moves.is_empty() {
            out.push(Touch::Drag(moves));
        }
    }
    if response.drag_stopped_by(primary)
        && let Some(p) = response.interact_pointer_pos()
    {
        out.push(Touch::Release(at(p)));
    }
    out
}

/// A small ring where the hand takes hold.
fn ring(painter: &Painter, at: Pos2, p: &Palette) {
    painter.circle(at, 4.0, p.raised, Stroke::new(1.6, p.chalk));
}

/// A few words beside a place on the screen.
fn tag(painter: &Painter, at: Pos2, text: String, bench: &Bench<'_>) {
    if text.is_empty() {
        return;
    }
    let p = bench.p;
    let galley = painter.layout_no_wrap(text, theme::strong_body(), p.ink);
    let size = galley.size() + vec2(16.0, 8.0);
    let view = bench.transform.view();
    let mut min = at + vec2(14.0, 12.0);
    min.x = min.x.min(view.right() - size.x - 6.0);
    min.y = min.y.min(view.bottom() - size.y - 6.0);
    painter.rect(Rect::from_min_size(min, size), 4.0, p.raised, Stroke::new(1.0, p.chalk), StrokeKind::Inside);
    painter.galley(min + vec2(8.0, 4.0), galley, p.ink);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_tool_has_a_key_of_its_own_that_the_table_does_not_use() {
        let taken = [Key::F, Key::Plus, Key::Minus, Key::Equals];
        for (i, hand) in Hand::ALL.iter().enumerate() {
            assert!(!taken.contains(&hand.key()));
            assert!(Hand::ALL[..i].iter().all(|h| h.key() != hand.key() && h.name() != hand.name()), "{hand:?}");
        }
    }
}
