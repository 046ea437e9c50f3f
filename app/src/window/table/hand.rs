//! What is in hand on the table: nothing but the table itself, or the rule.

use draft_core::alteration::offer::{Becoming, becomes, place_at, squared};
use draft_core::{Draft, DrawnLine, Name, Piece};
use egui::{Align, CornerRadius, Key, Layout, Painter, Rect, Stroke, StrokeKind, Ui, UiBuilder, pos2, vec2};
use kurbo::Point;

use super::shape::Laid;
use super::transform::Transform;
use crate::window::theme::{self, Palette};
use crate::window::{Request, Seen, widget};

/// How near the pointer must be to an edge or a point to take hold of it, screen points.
const SNAP: f32 = 8.0;
/// A line that is nearer than this to the grain, degrees, lies along it.
const SQUARE_WITHIN: f64 = 2.5;

/// What is in hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Hand {
    /// Move the table, select what is on it.
    #[default]
    Move,
    /// Draw a straight line.
    Rule,
}

/// A line that is being drawn.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// The piece.
    piece: Name,
    /// Its first end, on the piece.
    from: Point,
    /// Its other end, once it has one, and what it can become.
    to: Option<(Point, Vec<Becoming>)>,
}

impl Drawing {
    /// Begins on a piece.
    pub fn begin(piece: &Piece, at: Point, transform: &Transform) -> Self {
        let reach = transform.cloth_length(SNAP);
        let from = place_at(piece, at, reach).find(piece).unwrap_or(at);
        Self { piece: piece.name().clone(), from, to: None }
    }

    /// The piece on which it is drawn.
    pub const fn piece(&self) -> &Name {
        &self.piece
    }

    /// Whether it has both ends.
    pub const fn is_whole(&self) -> bool {
        self.to.is_some()
    }

    fn other_end(&self, piece: &Piece, at: Point, transform: &Transform) -> (Point, draft_core::Place) {
        let place = place_at(piece, squared(piece, self.from, at, SQUARE_WITHIN), transform.cloth_length(SNAP));
        (place.find(piece).unwrap_or(at), place)
    }

    /// Ends it.
    pub fn end(&mut self, draft: &Draft, piece: &Piece, at: Point, transform: &Transform) {
        let (to, place) = self.other_end(piece, at, transform);
        if to.distance(self.from) < 1.0 {
            return;
        }
        let from = place_at(piece, self.from, transform.cloth_length(SNAP));
        let line = DrawnLine::straight(from, place);
        self.to = Some((to, becomes(draft, &self.piece, &line)));
    }

    /// Paints it, with its length and its angle to the grain.
    pub fn paint(&self, painter: &Painter, laid: &Laid, transform: &Transform, pointer: Option<Point>, seen: &Seen<'_>, p: &Palette) {
        let piece = &laid.shape.piece;
        let at = |point: Point| transform.screen_from_cloth(point + laid.by);
        let to = match (&self.to, pointer) {
            (Some((to, _)), _) => *to,
            (None, Some(pointer)) => self.other_end(piece, pointer - laid.by, transform).0,
            (None, None) => self.from,
        };
        painter.line_segment([at(self.from), at(to)], Stroke::new(2.4, p.chalk));
        for end in [self.from, to] {
            painter.circle(at(end), 4.0, p.raised, Stroke::new(1.6, p.chalk));
        }
        let by = to - self.from;
        if by.hypot() < 1.0 {
            return;
        }
        let grain = piece.grain();
        let up = (grain.p1 - grain.p0).normalize();
        let degrees = by.cross(up).abs().atan2(by.dot(up).abs()).to_degrees();
        let text = format!("{}, {degrees:.0}° to the grain", seen.unit.text(by.hypot()));
        let galley = painter.layout_no_wrap(text, theme::strong_body(), p.ink);
        let middle = at(self.from.midpoint(to)) + vec2(10.0, -galley.size().y - 12.0);
        let tag = Rect::from_min_size(middle, galley.size() + vec2(16.0, 8.0));
        painter.rect(tag, 4.0, p.raised, Stroke::new(1.0, p.chalk), StrokeKind::Inside);
        painter.galley(tag.min + vec2(8.0, 4.0), galley, p.ink);
    }

    /// What it can become, beside it. Says whether to let go of it.
    pub fn choices(&self, ui: &mut Ui, laid: &Laid, transform: &Transform, requests: &mut Vec<Request>) -> bool {
        let Some((to, becomings)) = &self.to else { return false };
        let p = Palette::of(ui);
        let size = vec2(236.0, (becomings.len() as f32 + 1.0) * (theme::TARGET + 6.0) + 12.0);
        let view = transform.view();
        let beside = transform.screen_from_cloth(*to + laid.by) + vec2(18.0, 12.0);
        let at = pos2(beside.x.min(view.right() - size.x - 8.0).max(view.left() + 8.0), beside.y.min(view.bottom() - size.y - 8.0));
        let all = Rect::from_min_size(at, size);
        ui.painter().rect(all, CornerRadius::same(6), p.panel, Stroke::new(1.0, p.chalk), StrokeKind::Inside);
        let layout = Layout::top_down_justified(Align::Min);
        let mut child = ui.new_child(UiBuilder::new().max_rect(all.shrink(8.0)).layout(layout));
        let mut let_go = false;
        for (i, becoming) in becomings.iter().enumerate() {
            let button = child.button(&becoming.name);
            // The first is taken with Enter.
            if i == 0 && ui.memory(|m| m.focused().is_none()) {
                button.request_focus();
            }
            if button.clicked() {
                requests.push(Request::Begin(Box::new(becoming.alteration.clone())));
                let_go = true;
            }
        }
        let_go | child.button("Let it go").clicked()
    }
}

/// The choice of what is in hand, over the table. Says what was taken up.
pub fn choose(ui: &mut Ui, now: Hand, view: Rect) -> Option<Hand> {
    let at = Rect::from_min_size(view.min + vec2(14.0, 12.0), vec2(200.0, theme::TARGET));
    let mut child = ui.new_child(UiBuilder::new().max_rect(at).layout(Layout::left_to_right(Align::Center)));
    let all = [
        (Hand::Move, "Move", "In hand: nothing. Drag the table, click what is on it (M)".to_owned()),
        (Hand::Rule, "Rule", "In hand: the rule. Click where a straight line begins and where it ends (R)".to_owned()),
    ];
    let clicked = widget::choices(&mut child, "in hand", now, &all);
    let typing = ui.ctx().text_edit_focused();
    let key = |key| !typing && ui.input(|i| i.key_pressed(key) && !i.modifiers.any());
    if key(Key::M) {
        Some(Hand::Move)
    } else if key(Key::R) {
        Some(Hand::Rule)
    } else {
        clicked
    }
}
