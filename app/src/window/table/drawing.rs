//! One piece drawn for the screen: its areas, its lines and the words on it.

use draft_core::{Role, geometry};
use egui::{Align2, Color32, FontFamily, FontId, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};
use kurbo::{BezPath, Line, Point};

use super::shape::{Distance, Shape as Piece, subpaths};
use super::{few_points, hit, label};
use crate::window::facts;
use crate::window::theme::{self, Palette};

/// How far the points of a line may be from it, screen points.
const TRUE: f64 = 0.05;
/// How far a point that is left out may be from its line, screen points.
pub const UNSEEN: f64 = 0.1;
/// A piece that is smaller than this has no room for its name, screen points.
const NAMED: f32 = 46.0;
/// Below so many screen points for a millimetre, marks would hide the piece that they are on.
const MARKED: f64 = 0.15;
/// The bracket of a fold reaches so far into its piece, screen points; into a small piece less, by its share of the width.
const BRACKET: std::ops::RangeInclusive<f32> = 6.0..=12.0;
const BRACKET_SHARE: f32 = 0.12;
/// A grain line beside it stays so far from it, screen points.
const CLEAR_OF_BRACKET: f32 = 7.0;
/// A fold shorter than this has no bracket, and a grain line shorter than this is not drawn; screen points.
const SHORTEST_FOLD: f32 = 60.0;
const SHORTEST_GRAIN: f32 = 24.0;

/// How a piece is to look. The same piece with the same look is the same drawing, wherever on the screen it lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Screen points for each millimetre.
    pub scale: f64,
    /// Dots of the screen for each point.
    pub dots: f32,
    /// It is selected, or an edge of it.
    pub chosen: bool,
    /// The pointer is over it.
    pub hovered: bool,
    /// A photo beneath shows through.
    pub over_photo: bool,
    /// By night.
    pub dark: bool,
}

/// A few words on a piece.
#[derive(Clone, Debug)]
pub struct Word {
    /// Their upper left corner, from where the piece lies.
    pub at: Vec2,
    /// What they say.
    pub text: String,
    /// How they are written.
    pub font: FontId,
    /// Their colour.
    pub ink: Color32,
}

/// What a piece is painted with, in screen points from where it lies.
#[derive(Default)]
pub struct Drawing {
    /// Its areas.
    pub ground: Vec<Shape>,
    /// Its lines, above what may lie between.
    pub lines: Vec<Shape>,
    /// The words on it, above its lines.
    pub words: Vec<Word>,
}

impl Drawing {
    /// Draws a piece. The painter tells how large words are.
    pub fn of(piece: &Piece, look: Look, painter: &Painter) -> Self {
        let p = if look.dark { &theme::DARK } else { &theme::LIGHT };
        let mut pencil = Pencil { piece, look, painter, p, drawn: Self::default() };
        pencil.areas();
        pencil.cut_lines();
        pencil.marked_lines();
        pencil.seam_lines();
        pencil.grain();
        pencil.fold();
        pencil.notches();
        pencil.points();
        pencil.label();
        pencil.drawn
    }
}

/// What draws one piece.
struct Pencil<'a> {
    piece: &'a Piece,
    look: Look,
    painter: &'a Painter,
    p: &'a Palette,
    drawn: Drawing,
}

impl Pencil<'_> {
    fn at(&self, point: Point) -> Pos2 {
        self.piece.on_screen(point, self.look.scale)
    }

    /// The point of the piece that is there on the screen.
    fn mm(&self, at: Pos2) -> Point {
        self.piece.point_at(at, self.look.scale)
    }

    /// A line on the screen, in as few points as are seen.
    fn line(&self, points: impl IntoIterator<Item = Point>) -> Vec<Pos2> {
        few_points::of(points, UNSEEN / self.look.scale).into_iter().map(|point| self.at(point)).collect()
    }

    fn path(&self, path: &BezPath) -> Vec<Pos2> {
        self.line(geometry::flattened(path, TRUE / self.look.scale))
    }

    fn ground(&self) -> Color32 {
        if self.look.chosen { self.p.cloth.lerp_to_gamma(self.p.chalk_wash, 0.55) } else { self.p.cloth }
    }

    fn areas(&mut self) {
        let from = Distance::at(self.look.scale);
        // A photo beneath shows through.
        let ink = |colour: Color32| if self.look.over_photo { colour.gamma_multiply(0.25) } else { colour };
        if self.piece.has_allowance {
            self.drawn.ground.push(self.piece.paper(from).shape(|point| self.at(point), ink(self.p.allowance)));
        }
        self.drawn.ground.push(self.piece.cloth(from).shape(|point| self.at(point), ink(self.ground())));
    }

    fn cut_lines(&mut self) {
        if !self.piece.has_allowance {
            return;
        }
        let stroke = Stroke::new(if self.look.chosen { 1.4 } else { 1.1 }, self.p.ink_soft);
        for run in subpaths(&self.piece.cut_path, TRUE / self.look.scale) {
            let first = run.first().copied();
            let points = self.line(run.into_iter().chain(first));
            self.drawn.lines.push(Shape::line(points, stroke));
        }
    }

    fn marked_lines(&mut self) {
        let fine = Stroke::new(1.0, self.p.ink_soft);
        let piece = self.piece;
        for line in piece.piece.lines() {
            let points = self.path(&line.path);
            let last = points.last().copied();
            self.drawn.lines.extend(Shape::dashed_line_with_offset(&points, fine, &[10.0, 2.0], &[4.0, 4.0], 0.0));
            if self.look.scale > 0.55
                && let Some(last) = last
            {
                self.word(last - vec2(6.0, 2.0), Align2::RIGHT_BOTTOM, line.name.as_str(), theme::small(), self.p.ink_soft);
            }
        }
    }

    fn seam_lines(&mut self) {
        let solid = Stroke::new(if self.look.chosen || self.look.hovered { 2.0 } else { 1.6 }, self.p.ink);
        let piece = self.piece;
        for part in piece.piece.parts() {
            let points = self.path(&part.path);
            match piece.piece.edges().get(part.edge).map(|e| e.role) {
                Some(Role::Fold) => {
                    self.drawn.lines.extend(Shape::dashed_line_with_offset(&points, solid, &[14.0, 3.0], &[4.0, 4.0], 0.0));
                }
                Some(Role::DartLeg) => self.drawn.lines.extend(Shape::dashed_line(&points, Stroke::new(1.4, self.p.ink), 7.0, 4.0)),
                _ => self.drawn.lines.push(Shape::line(points, solid)),
            }
        }
        for cap in &piece.caps {
            let points = self.line(cap.iter().copied());
            self.drawn.lines.push(Shape::line(points, solid));
        }
    }

    fn segment(&mut self, points: [Pos2; 2], stroke: Stroke) {
        self.drawn.lines.push(Shape::line_segment(points, stroke));
    }

    /// The two strokes of an arrow's head.
    fn head(&mut self, tip: Pos2, back: Vec2, (long, wide): (f32, f32), stroke: Stroke) {
        let side = back.rot90() * wide;
        self.drawn.lines.push(Shape::line(vec![tip + back * long + side, tip, tip + back * long - side], stroke));
    }

    /// The grain line as it is drawn, where it is long enough: beside the bracket of the fold, where there is room for it.
    fn grain_line(&self) -> Option<Line> {
        let line = self.piece.piece.grain();
        let (a, b) = (self.at(line.p0), self.at(line.p1));
        if a.distance(b) < SHORTEST_GRAIN {
            return None;
        }
        let Some((fold, _, arm)) = self.bracket() else { return Some(line) };
        let inward = arm.normalized();
        let is_along = (b - a).normalized().dot(inward).abs() < 0.1;
        let short_of = arm.length() + CLEAR_OF_BRACKET - (a + (b - a) / 2.0 - fold).dot(inward);
        if !is_along || short_of <= 0.0 {
            return Some(line);
        }
        let beside = Line::new(self.mm(a + inward * short_of), self.mm(b + inward * short_of));
        let holds = |at| self.piece.runs(Distance::Far).iter().any(|run| hit::winds_round(run, at));
        Some(if holds(beside.p0) && holds(beside.p1) { beside } else { line })
    }

    fn grain(&mut self) {
        let Some(line) = self.grain_line() else { return };
        let (a, b) = (self.at(line.p0), self.at(line.p1));
        let unit = (b - a).normalized();
        let stroke = Stroke::new(1.1, self.p.ink_soft);
        self.segment([a, b], stroke);
        self.head(a, unit, (9.0, 3.5), stroke);
        self.head(b, -unit, (9.0, 3.5), stroke);
    }

    /// The ends of the bracket that says "lay this edge on the fold", and how far it reaches inward.
    fn bracket(&self) -> Option<(Pos2, Pos2, Vec2)> {
        let piece = &self.piece.piece;
        let (from, to) = piece.edge_ends(piece.fold()?.name.as_str())?;
        let (a, b) = (self.at(from), self.at(to));
        let along = b - a;
        if along.length() < SHORTEST_FOLD {
            return None;
        }
        let middle = self.at(self.piece.seam_bounds.center());
        let mut inward = along.normalized().rot90();
        if inward.dot(middle - a) < 0.0 {
            inward = -inward;
        }
        let size = self.piece.seam_bounds.size();
        let reach = BRACKET_SHARE * (size.width.min(size.height) * self.look.scale) as f32;
        Some((a + along * 0.2, b - along * 0.2, inward * reach.clamp(*BRACKET.start(), *BRACKET.end())))
    }

    fn fold(&mut self) {
        let Some((a, b, arm)) = self.bracket() else { return };
        let stroke = Stroke::new(1.1, self.p.ink_soft);
        self.drawn.lines.push(Shape::line(vec![a, a + arm, b + arm, b], stroke));
        for tip in [a, b] {
            self.head(tip, arm.normalized(), (5.0, 3.0), stroke);
        }
    }

    fn notches(&mut self) {
        let piece = self.piece;
        let stroke = Stroke::new(1.5, self.p.ink);
        // A notch is drawn as it is marked: a short line across the seam line, no longer than the allowance.
        for notch in piece.piece.notches() {
            let spread: &[f64] = if notch.double { &[-3.0, 3.0] } else { &[0.0] };
            for by in spread {
                let Some((at, along)) = piece.piece.along_edge(notch.edge.as_str(), notch.from_start_mm + by) else { continue };
                let across = kurbo::Vec2::new(along.y, -along.x) * 5.0;
                self.segment([self.at(at - across), self.at(at + across)], stroke);
            }
        }
    }

    fn points(&mut self) {
        let piece = self.piece;
        let stroke = Stroke::new(1.2, self.p.ink);
        let middle = piece.seam_bounds.center().x;
        if self.look.scale < MARKED {
            return;
        }
        for point in piece.piece.points().iter().filter(|p| p.marked) {
            let at = self.at(point.at);
            self.segment([at - vec2(4.0, 0.0), at + vec2(4.0, 0.0)], stroke);
            self.segment([at - vec2(0.0, 4.0), at + vec2(0.0, 4.0)], stroke);
            if self.look.scale > 0.8 {
                // Toward the middle of the piece, where the cloth is.
                let (by, anchor) =
                    if point.at.x > middle { (vec2(-6.0, 3.0), Align2::RIGHT_TOP) } else { (vec2(6.0, 3.0), Align2::LEFT_TOP) };
                self.word(at + by, anchor, point.name.as_str(), theme::small(), self.p.ink_soft);
            }
        }
        for dart in piece.piece.darts() {
            self.drawn.lines.push(Shape::circle_filled(self.at(dart.tip), 2.2, self.p.ink));
        }
    }

    fn size(&self, text: &str, font: &FontId) -> Vec2 {
        self.painter.layout_no_wrap(text.to_owned(), font.clone(), Color32::PLACEHOLDER).size()
    }

    fn word(&mut self, at: Pos2, anchor: Align2, text: &str, font: FontId, ink: Color32) {
        let corner = anchor.anchor_size(at, self.size(text, &font)).min;
        self.drawn.words.push(Word { at: corner.to_vec2(), text: text.to_owned(), font, ink });
    }

    /// The piece's name and how often it is cut, where there is room for it.
    fn label(&mut self) {
        let piece = self.piece;
        let on_screen = vec2(piece.bounds.width() as f32, piece.bounds.height() as f32) * self.look.scale as f32;
        if on_screen.x < NAMED || on_screen.y < NAMED {
            return;
        }
        let size = (on_screen.x / 11.0).clamp(11.0, 17.0);
        let ink = if self.look.chosen { self.p.chalk } else { self.p.ink };
        let name = (piece.piece.name().to_string(), FontId::new(size, theme::strong()), ink);
        let cut = (facts::cut_words(&piece.piece), FontId::new((size * 0.8).max(10.5), FontFamily::Proportional), self.p.ink_soft);
        let lines = self.label_lines();
        let mm = |points: f32| f64::from(points) / self.look.scale;
        // The name alone, where there is no room for both; across a line, where there is no room beside it.
        let tried = [vec![name.clone(), cut], vec![name]].map(|rows| {
            let sizes: Vec<Vec2> = rows.iter().map(|(text, font, _)| self.size(text, font)).collect();
            let whole = vec2(sizes.iter().fold(0.0, |wide, s| s.x.max(wide)), sizes.iter().map(|s| s.y).sum());
            let room = label::Size { wide: mm(whole.x + 9.0), tall: mm(whole.y + 4.0) };
            (label::places(piece.runs(Distance::Far), piece.seam_bounds, &lines, room), whole, rows.into_iter().zip(sizes))
        });
        let is_clear = tried.iter().any(|(places, ..)| places.clear.is_some());
        for (places, whole, rows) in tried {
            let Some(middle) = (if is_clear { places.clear } else { places.across }) else { continue };
            let all = Rect::from_center_size(self.at(middle), whole);
            self.drawn.lines.push(Shape::rect_filled(all.expand2(vec2(4.0, 1.0)), 3.0, self.ground()));
            let mut top = all.top();
            for ((text, font, ink), size) in rows {
                let at = pos2(all.center().x - size.x / 2.0, top).to_vec2();
                self.drawn.words.push(Word { at, text, font, ink });
                top += size.y;
            }
            return;
        }
    }

    /// What a label had better not lie on: the grain line, the bracket of the fold, marked lines and points.
    fn label_lines(&self) -> Vec<Line> {
        let mm = |points: f32| f64::from(points) / self.look.scale;
        let piece = &self.piece.piece;
        let mut lines: Vec<Line> = self.grain_line().into_iter().collect();
        if let Some((a, b, arm)) = self.bracket() {
            lines.push(Line::new(self.mm(a + arm), self.mm(b + arm)));
        }
        for run in piece.lines().iter().flat_map(|line| subpaths(&line.path, mm(1.0))) {
            lines.extend(run.windows(2).map(|pair| Line::new(pair[0], pair[1])));
        }
        let cross = kurbo::Vec2::new(mm(4.0), 0.0);
        lines.extend(piece.points().iter().filter(|p| p.marked).map(|p| Line::new(p.at - cross, p.at + cross)));
        lines
    }
}
