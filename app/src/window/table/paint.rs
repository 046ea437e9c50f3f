//! Paints the pieces.

use draft_core::{Name, Piece, Role};
use egui::{Align2, Color32, FontFamily, FontId, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use kurbo::{Point, Vec2};

use super::hit::Hit;
use super::shape::{Before, Laid, Lay};
use super::transform::Transform;
use crate::window::fill::Fill;
use crate::window::theme::{self, Palette};
use crate::window::{Chosen, facts};

/// Below so many screen points for a millimetre, areas are seen from far.
const FAR: f64 = 0.9;
/// Points of a line nearer to each other than this on the screen are one; screen points.
const NEARER: f32 = 0.8;

/// Everything that the pieces are painted from.
pub struct Scene<'a> {
    /// What lies on the table.
    pub lay: &'a Lay,
    /// Where the table lies.
    pub transform: &'a Transform,
    /// What is selected.
    pub chosen: &'a Chosen,
    /// What is under the pointer.
    pub hover: Option<Hit>,
    /// Edges that are sewn to the one that is selected: piece and edge.
    pub partners: &'a [(Name, Name)],
    /// Pieces as they were before.
    pub before: &'a [Before],
    /// A photo lies beneath and shows through.
    pub over_photo: bool,
    /// The colours.
    pub p: &'a Palette,
}

impl Scene<'_> {
    /// Paints all pieces that are in view.
    pub fn paint(&self, painter: &Painter) {
        let view = self.transform.cloth_in_view();
        for (i, laid) in self.lay.pieces.iter().enumerate() {
            if laid.bounds().overlaps(view) {
                self.piece(painter, i, laid);
            }
        }
    }

    fn at(&self, laid: &Laid, p: Point) -> Pos2 {
        self.transform.screen_from_cloth(p + laid.by)
    }

    /// A line on the screen, without points that lie too near to the one before to be seen.
    fn line(&self, laid: &Laid, points: &[Point]) -> Vec<Pos2> {
        let mut line: Vec<Pos2> = Vec::with_capacity(points.len());
        for (i, p) in points.iter().enumerate() {
            let at = self.at(laid, *p);
            let is_end = i == 0 || i + 1 == points.len();
            if is_end || line.last().is_none_or(|last| last.distance_sq(at) > NEARER * NEARER) {
                line.push(at);
            }
        }
        line
    }

    fn piece(&self, painter: &Painter, index: usize, laid: &Laid) {
        let p = self.p;
        let shape = &laid.shape;
        let piece = &shape.piece;
        let chosen = self.chosen.piece() == Some(piece.name());
        let hovered = self.hover.is_some_and(|h| h.piece == index);
        // A photo beneath shows through.
        let ground = |colour: Color32| if self.over_photo { colour.gamma_multiply(0.25) } else { colour };
        let is_far = self.transform.scale() < FAR;
        let (paper, cloth) = if is_far { (&shape.far.paper, &shape.far.cloth) } else { (&shape.paper, &shape.cloth) };
        self.fill(painter, laid, paper, ground(p.allowance));
        self.fill(painter, laid, cloth, ground(if chosen { p.cloth.lerp_to_gamma(p.chalk_wash, 0.55) } else { p.cloth }));

        if let Some(before) = self.before.iter().find(|b| b.piece.name() == piece.name()) {
            let mut points = self.line(laid, &before.outline);
            points.extend(points.first().copied());
            painter.add(Shape::line(points, Stroke::new(2.2, p.kraft_line.gamma_multiply(0.75))));
        }
        let fine = Stroke::new(1.0, p.ink_soft);
        for run in &shape.cut {
            let mut points = self.line(laid, run);
            if let Some(&first) = points.first() {
                points.push(first);
            }
            painter.add(Shape::line(points, Stroke::new(if chosen { 1.4 } else { 1.1 }, p.ink_soft)));
        }
        for (line, points) in piece.lines().iter().zip(&shape.marked) {
            painter.extend(Shape::dashed_line_with_offset(&self.line(laid, points), fine, &[10.0, 2.0], &[4.0, 4.0], 0.0));
            if self.transform.scale() > 0.55
                && let Some(last) = points.last()
            {
                painter.text(self.at(laid, *last) - vec2(6.0, 2.0), Align2::RIGHT_BOTTOM, line.name.as_str(), theme::small(), p.ink_soft);
            }
        }
        let solid = Stroke::new(if chosen || hovered { 2.0 } else { 1.6 }, p.ink);
        for stretch in &shape.stretches {
            let points = self.line(laid, &stretch.points);
            match piece.edges().get(stretch.edge).map(|e| e.role) {
                Some(Role::Fold) => painter.extend(Shape::dashed_line_with_offset(&points, solid, &[14.0, 3.0], &[4.0, 4.0], 0.0)),
                Some(Role::DartLeg) => painter.extend(Shape::dashed_line(&points, Stroke::new(1.4, p.ink), 7.0, 4.0)),
                _ => {
                    painter.add(Shape::line(points, solid));
                }
            }
        }
        for cap in &shape.caps {
            painter.add(Shape::line(self.line(laid, cap), solid));
        }
        self.grain(painter, laid);
        self.fold(painter, laid);
        self.notches(painter, laid);
        self.points(painter, laid);
        self.label(painter, laid, chosen);
        self.lit_edges(painter, index, laid);
    }

    fn fill(&self, painter: &Painter, laid: &Laid, fill: &Fill, color: Color32) {
        painter.add(fill.shape(|point| self.at(laid, point), color));
    }

    /// The edge under the pointer, and the one that is selected.
    fn lit_edges(&self, painter: &Painter, index: usize, laid: &Laid) {
        let piece = &laid.shape.piece;
        let chosen = match self.chosen {
            Chosen::Edge(name, edge) if name == piece.name() => piece.edges().iter().position(|e| e.name == *edge),
            _ => None,
        };
        let hovered = self.hover.filter(|h| h.piece == index).and_then(|h| h.edge);
        for stretch in &laid.shape.stretches {
            let width = if Some(stretch.edge) == chosen {
                4.5
            } else if Some(stretch.edge) == hovered {
                3.0
            } else if piece.edges().get(stretch.edge).is_some_and(|e| self.partners.iter().any(|(p, q)| p == piece.name() && *q == e.name))
            {
                // Sewn to what is selected: in stitches.
                painter.extend(Shape::dashed_line(&self.line(laid, &stretch.points), Stroke::new(4.0, self.p.chalk), 9.0, 5.0));
                continue;
            } else {
                continue;
            };
            painter.add(Shape::line(self.line(laid, &stretch.points), Stroke::new(width, self.p.chalk)));
        }
    }

    fn grain(&self, painter: &Painter, laid: &Laid) {
        let line = laid.shape.piece.grain();
        let (a, b) = (self.at(laid, line.p0), self.at(laid, line.p1));
        let along = b - a;
        if along.length() < 24.0 {
            return;
        }
        let stroke = Stroke::new(1.1, self.p.ink_soft);
        painter.line_segment([a, b], stroke);
        let unit = along.normalized();
        for (tip, back) in [(a, unit), (b, -unit)] {
            let side = back.rot90() * 3.5;
            painter.add(Shape::line(vec![tip + back * 9.0 + side, tip, tip + back * 9.0 - side], stroke));
        }
    }

    /// The bracket that says "lay this edge on the fold".
    fn fold(&self, painter: &Painter, laid: &Laid) {
        let piece = &laid.shape.piece;
        let Some((from, to)) = piece.fold().and_then(|e| piece.edge_ends(e.name.as_str())) else { return };
        let (a, b) = (self.at(laid, from), self.at(laid, to));
        let along = b - a;
        if along.length() < 60.0 {
            return;
        }
        let unit = along.normalized();
        let middle = self.at(laid, piece.bounds().center());
        let mut inward = unit.rot90();
        if inward.dot(middle - a) < 0.0 {
            inward = -inward;
        }
        let stroke = Stroke::new(1.1, self.p.ink_soft);
        let (a, b) = (a + along * 0.2, b - along * 0.2);
        let arm = inward * 12.0;
        painter.add(Shape::line(vec![a, a + arm, b + arm, b], stroke));
        for (tip, side) in [(a, 1.0), (b, -1.0)] {
            painter.add(Shape::line(vec![tip + inward * 5.0 + unit * 3.0 * side, tip, tip + inward * 5.0 - unit * 3.0 * side], stroke));
        }
    }

    fn notches(&self, painter: &Painter, laid: &Laid) {
        let piece = &laid.shape.piece;
        // A notch is drawn as it is marked: a short line across the seam line, no longer than the allowance.
        for notch in piece.notches() {
            let spread: &[f64] = if notch.double { &[-3.0, 3.0] } else { &[0.0] };
            for by in spread {
                let Some((at, along)) = piece.along_edge(notch.edge.as_str(), notch.from_start_mm + by) else { continue };
                let across = Vec2::new(along.y, -along.x) * 5.0;
                painter.line_segment([self.at(laid, at - across), self.at(laid, at + across)], Stroke::new(1.5, self.p.ink));
            }
        }
    }

    fn points(&self, painter: &Painter, laid: &Laid) {
        let piece = &laid.shape.piece;
        let stroke = Stroke::new(1.2, self.p.ink);
        let middle = piece.bounds().center().x;
        for point in piece.points().iter().filter(|p| p.marked) {
            let at = self.at(laid, point.at);
            painter.line_segment([at - vec2(4.0, 0.0), at + vec2(4.0, 0.0)], stroke);
            painter.line_segment([at - vec2(0.0, 4.0), at + vec2(0.0, 4.0)], stroke);
            if self.transform.scale() > 0.8 {
                // Toward the middle of the piece, where the cloth is.
                let (by, anchor) =
                    if point.at.x > middle { (vec2(-6.0, 3.0), Align2::RIGHT_TOP) } else { (vec2(6.0, 3.0), Align2::LEFT_TOP) };
                painter.text(at + by, anchor, point.name.as_str(), theme::small(), self.p.ink_soft);
            }
        }
        for dart in piece.darts() {
            painter.circle_filled(self.at(laid, dart.tip), 2.2, self.p.ink);
        }
    }

    /// The piece's name and how often it is cut, where there is room for it.
    fn label(&self, painter: &Painter, laid: &Laid, chosen: bool) {
        let piece: &Piece = &laid.shape.piece;
        let b = laid.bounds();
        let on_screen = Rect::from_two_pos(
            self.transform.screen_from_cloth(Point::new(b.x0, b.y0)),
            self.transform.screen_from_cloth(Point::new(b.x1, b.y1)),
        );
        if on_screen.width() < 46.0 || on_screen.height() < 46.0 {
            return;
        }
        let size = (on_screen.width() / 11.0).clamp(11.0, 17.0);
        let ink = if chosen { self.p.chalk } else { self.p.ink };
        let name = painter.layout_no_wrap(piece.name().to_string(), FontId::new(size, theme::strong()), ink);
        let cut =
            painter.layout_no_wrap(facts::cut_words(piece), FontId::new((size * 0.8).max(10.5), FontFamily::Proportional), self.p.ink_soft);
        let fits = |wide: f32, tall: f32| {
            let (middle, room) = roomiest(laid, self.transform.cloth_length(tall + 6.0))?;
            (self.transform.cloth_length(wide + 14.0) <= room).then(|| self.at(laid, middle))
        };
        let wide = name.size().x.max(cut.size().x);
        let ground = if chosen { self.p.cloth.lerp_to_gamma(self.p.chalk_wash, 0.55) } else { self.p.cloth };
        let Some(middle) = fits(wide, name.size().y + cut.size().y) else {
            // The name alone, where there is no room for both.
            if let Some(middle) = fits(name.size().x, name.size().y) {
                let at = middle - name.size() / 2.0;
                painter.rect_filled(Rect::from_min_size(at, name.size()).expand2(vec2(3.0, 0.0)), 3.0, ground);
                painter.galley(at, name, ink);
            }
            return;
        };
        let left = middle.x - wide / 2.0;
        let backdrop =
            Rect::from_min_size(pos2(left - 4.0, middle.y - name.size().y - 1.0), vec2(wide + 8.0, name.size().y + cut.size().y + 4.0));
        painter.rect_filled(backdrop, 3.0, ground);
        painter.galley(pos2(middle.x - name.size().x / 2.0, middle.y - name.size().y), name, ink);
        painter.galley(pos2(middle.x - cut.size().x / 2.0, middle.y + 1.0), cut, self.p.ink_soft);
    }
}

/// The middle of the widest stretch of cloth in which a label of this height has room, and how wide it is.
fn roomiest(laid: &Laid, tall_mm: f64) -> Option<(Point, f64)> {
    let outline = &laid.shape.outline;
    let b = laid.shape.piece.bounds();
    // Nearer the middle is better where two places are about as wide.
    let score = |share: f64, wide: f64| wide * (1.0 - (share - 0.46).abs() * 1.3);
    let mut best: Option<(f64, Point, f64)> = None;
    for i in 0..=20 {
        let share = 0.2 + 0.03 * f64::from(i);
        let y = b.y0 + b.height() * share;
        for span in common(&common(&spans(outline, y - tall_mm / 2.0), &spans(outline, y)), &spans(outline, y + tall_mm / 2.0)) {
            let wide = span[1] - span[0];
            let marks = laid.shape.piece.points().iter().filter(|p| p.marked).map(|p| &p.at);
            let mut marks = laid.shape.marked.iter().flatten().chain(marks);
            let crossed = marks.any(|q| (q.y - y).abs() < tall_mm * 0.75 && q.x > span[0] && q.x < span[1]);
            let s = score(share, wide) * if crossed { 0.5 } else { 1.0 };
            if best.is_none_or(|(most, ..)| s > most) {
                best = Some((s, Point::new((span[0] + span[1]) / 2.0, y), wide));
            }
        }
    }
    best.map(|(_, at, wide)| (at, wide))
}

/// The stretches of a level line that lie inside a closed run of points.
fn spans(outline: &[Point], y: f64) -> Vec<[f64; 2]> {
    let mut crossings: Vec<f64> = Vec::new();
    for (i, a) in outline.iter().enumerate() {
        let c = &outline[(i + 1) % outline.len()];
        if (a.y <= y) != (c.y <= y) {
            crossings.push(a.x + (c.x - a.x) * (y - a.y) / (c.y - a.y));
        }
    }
    crossings.sort_by(f64::total_cmp);
    crossings.as_chunks::<2>().0.to_vec()
}

/// What two sets of stretches have in common.
fn common(a: &[[f64; 2]], b: &[[f64; 2]]) -> Vec<[f64; 2]> {
    a.iter().flat_map(|x| b.iter().map(|y| [x[0].max(y[0]), x[1].min(y[1])])).filter(|s| s[1] > s[0]).collect()
}
