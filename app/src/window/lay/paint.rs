//! Paints cloth with pieces on it. What is wrong is hatched and said in words, never told by colour alone.

use draft_core::cloth::{Cloth, Spread, Stretch};
use draft_core::lay::verify::{self, Fault};
use draft_core::lay::{Extent, Layout, Placed};
use draft_core::{Name, Unit};
use egui::epaint::TextShape;
use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};
use kurbo::{Point, Vec2};
use tiled_print::lay_plan::{inner_point, room};

use super::shape::ItemShape;
use crate::window::table::Transform;
use crate::window::theme::{self, Palette};

/// From one stroke of a hatching to the next, screen points.
const HATCH: f32 = 7.0;
/// Room between two stretches, millimetres.
pub const BETWEEN_MM: f64 = 160.0;

/// One stretch of cloth as it is shown.
pub struct Sheet<'a> {
    /// The cloth.
    pub cloth: &'a Cloth,
    /// What is laid.
    pub stretch: &'a Stretch,
    /// Where.
    pub layout: Layout,
    /// For each of the layout's pieces, whether it is held.
    pub held: Vec<bool>,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// The items.
    pub shapes: &'a [ItemShape],
    /// How far down the table it begins, millimetres.
    pub down: f64,
}

impl Sheet<'_> {
    /// Length of the cloth that is shown, millimetres.
    pub fn length_mm(&self) -> f64 {
        match self.stretch.task.extent {
            Extent::Shortest => self.layout.length_mm.max(100.0),
            Extent::Only(mm) => mm,
        }
    }

    /// The cloth with its selvedges, on the table.
    pub fn bounds(&self) -> kurbo::Rect {
        let low = if self.is_folded() { 0.0 } else { self.cloth.selvedge.mm() };
        kurbo::Rect::new(0.0, self.down - low, self.length_mm(), self.down + self.stretch.task.width_mm + self.cloth.selvedge.mm())
    }

    fn is_folded(&self) -> bool {
        self.stretch.spread == Spread::Folded
    }

    /// The piece on top at a point of the table.
    pub fn at(&self, p: Point) -> Option<usize> {
        let own = p - Vec2::new(0.0, self.down);
        self.layout.placed.iter().rposition(|placed| self.shapes.get(placed.item).is_some_and(|s| s.holds(placed, own)))
    }

    /// Whether anything is wrong with a piece.
    pub fn is_wrong(&self, placed: &Placed) -> bool {
        self.faults.iter().any(|f| !matches!(f, Fault::Miscounted(_)) && f.copies().contains(&(placed.item, placed.copy)))
    }

    /// Name and number of a copy.
    pub fn name(&self, placed: &Placed) -> String {
        let Some((name, copy)) = self.stretch.named(placed.item, placed.copy) else { return String::new() };
        let gives = self.stretch.pieces.get(placed.item).map_or(1, |p| p.gives);
        let one =
            self.stretch.pieces.iter().zip(&self.stretch.task.items).filter(|(p, _)| p.piece == *name).map(|(p, i)| p.gives * i.copies);
        match (gives, one.sum::<usize>()) {
            (_, 1) => name.to_string(),
            (2, _) => format!("{name} {copy} and {}", copy + 1),
            _ => format!("{name} {copy}"),
        }
    }
}

/// Names of all pieces, in order: the place of a name is the number of a piece that is too small to hold it.
pub fn names(sheets: &[Sheet<'_>]) -> Vec<Name> {
    let mut out: Vec<Name> = Vec::new();
    for laid in sheets.iter().flat_map(|s| &s.stretch.pieces) {
        if !out.contains(&laid.piece) {
            out.push(laid.piece.clone());
        }
    }
    out
}

/// Paints a stretch. `picked` is the piece in hand. Gives the places among `names` of the pieces that are marked with a
/// number in place of their name.
pub fn sheet(
    painter: &Painter,
    sheet: &Sheet<'_>,
    t: &Transform,
    picked: Option<(usize, usize)>,
    (names, unit): (&[Name], Unit),
    p: &Palette,
) -> Vec<usize> {
    let at = |x: f64, y: f64| t.screen_from_cloth(Point::new(x, y + sheet.down));
    let length = sheet.length_mm();
    let width = sheet.stretch.task.width_mm;
    ground(painter, sheet, t, p);
    for flaw in &sheet.stretch.task.flaws {
        let r = flaw.intersect(kurbo::Rect::new(0.0, -20.0, length, width + 20.0));
        let corners = [at(r.x0, r.y0), at(r.x1, r.y0), at(r.x1, r.y1), at(r.x0, r.y1)];
        hatch(painter, &corners, HATCH, Stroke::new(1.0, p.ink_soft));
        painter.rect_stroke(Rect::from_two_pos(corners[0], corners[2]), 0.0, Stroke::new(1.0, p.ink_soft), StrokeKind::Middle);
    }
    let order = |placed: &&Placed| picked == Some((placed.item, placed.copy));
    let (top, below): (Vec<&Placed>, Vec<&Placed>) = sheet.layout.placed.iter().partition(order);
    let mut small = Vec::new();
    for placed in below.into_iter().chain(top) {
        if piece(painter, sheet, placed, t, picked == Some((placed.item, placed.copy)), p) {
            small.push(placed);
        }
    }
    wrong(painter, sheet, t, p);
    // Over everything else, so that no neighbour hides a number.
    let mut marked = Vec::new();
    for placed in small {
        let Some((name, _)) = sheet.stretch.named(placed.item, placed.copy) else { continue };
        if let Some(n) = names.iter().position(|known| known == name) {
            number(painter, sheet, placed, t, n + 1, p);
            marked.push(n);
        }
    }
    let text = format!("{} long", unit.rough(sheet.layout.length_mm));
    painter.text(at(length, width) + vec2(0.0, 6.0), Align2::RIGHT_TOP, text, theme::small(), p.ink);
    marked
}

/// The number of a small piece, in a ring within it.
fn number(painter: &Painter, sheet: &Sheet<'_>, placed: &Placed, t: &Transform, n: usize, p: &Palette) {
    let Some(middle) = inner_point(&placed.outline(&sheet.stretch.task)) else { return };
    let at = t.screen_from_cloth(middle + Vec2::new(0.0, sheet.down));
    let galley = painter.layout_no_wrap(n.to_string(), FontId::new(11.0, theme::strong()), p.ink);
    let radius = (galley.size().x.max(galley.size().y) / 2.0 + 1.5).max(8.0);
    let own = sheet.stretch.box_of(placed);
    if own.width().min(own.height()) * t.scale() > 2.2 * f64::from(radius) {
        painter.circle(at, radius, p.cloth, Stroke::new(1.0, p.ink));
    } else {
        // A ring would hide so small a piece: its lines show round the number.
        painter.circle_filled(at, radius * 0.8, p.cloth.gamma_multiply(0.8));
    }
    painter.galley(at - galley.size() / 2.0, galley, p.ink);
}

fn ground(painter: &Painter, sheet: &Sheet<'_>, t: &Transform, p: &Palette) {
    let at = |x: f64, y: f64| t.screen_from_cloth(Point::new(x, y + sheet.down));
    let (length, width) = (sheet.length_mm(), sheet.stretch.task.width_mm);
    let b = sheet.bounds();
    let all = Rect::from_two_pos(t.screen_from_cloth(b.origin()), t.screen_from_cloth(Point::new(b.x1, b.y1)));
    painter.rect(all, 0.0, p.cloth, Stroke::new(1.0, p.ink_soft), StrokeKind::Outside);
    let selvedge = |y0: f64, y1: f64| {
        let corners = [at(0.0, y0), at(length, y0), at(length, y1), at(0.0, y1)];
        hatch(painter, &corners, 4.0, Stroke::new(0.7, p.kraft_line));
        painter.line_segment([corners[0], corners[1]], Stroke::new(1.0, p.kraft_line));
    };
    let wide = sheet.cloth.selvedge.mm();
    selvedge(width, width + wide);
    let small = theme::small();
    let over = at(0.0, b.y0 - sheet.down) - vec2(0.0, 4.0);
    if sheet.is_folded() {
        let (a, z) = (at(0.0, 0.0), at(length, 0.0));
        painter.extend(Shape::dashed_line_with_offset(&[a, z], Stroke::new(3.0, p.ink), &[18.0, 3.0], &[4.0, 4.0], 0.0));
        painter.text(over, Align2::LEFT_BOTTOM, "fold of the cloth", small.clone(), p.ink);
    } else {
        selvedge(-wide, 0.0);
        painter.text(over, Align2::LEFT_BOTTOM, "selvedge", small.clone(), p.ink_soft);
    }
    painter.text(at(0.0, width + wide) + vec2(0.0, 6.0), Align2::LEFT_TOP, "selvedge", small, p.ink_soft);
}

/// Paints a piece, and says whether it is too small for its name.
fn piece(painter: &Painter, sheet: &Sheet<'_>, placed: &Placed, t: &Transform, picked: bool, p: &Palette) -> bool {
    let Some(shape) = sheet.shapes.get(placed.item) else { return false };
    let map = kurbo::Affine::translate((0.0, sheet.down)) * placed.cloth_from_item();
    let outline: Vec<Point> = shape.outline.iter().map(|q| map * *q).collect();
    let points: Vec<Pos2> = outline.iter().map(|q| t.screen_from_cloth(*q)).collect();
    let bounds = points.iter().fold(Rect::NOTHING, |mut r, q| {
        r.extend_with(*q);
        r
    });
    if !bounds.intersects(t.view()) {
        return false;
    }
    let held = sheet.layout.placed.iter().position(|q| q == placed).and_then(|i| sheet.held.get(i)).copied().unwrap_or(false);
    let fill = if picked { p.chalk_wash } else { p.allowance };
    painter.add(shape.area(map, t, fill));
    let ink = if picked { p.chalk } else { p.ink };
    let wrong = sheet.is_wrong(placed);
    let line = Stroke::new(if picked { 2.4 } else { 1.3 }, if wrong && !picked { p.madder } else { ink });
    if wrong {
        let mut closed = points.clone();
        closed.extend(points.first());
        painter.extend(Shape::dashed_line(&closed, Stroke::new(2.0, line.color), 7.0, 4.0));
    } else {
        painter.add(Shape::closed_line(points, line));
    }
    arrow(painter, sheet, placed, &outline, t, ink);
    !words(painter, sheet, placed, &outline, t, bounds, held, ink)
}

/// Name, and whether it is held, turned over, or on the fold; says whether there is room for it.
#[expect(clippy::too_many_arguments, reason = "all of them say where and how one text is painted")]
fn words(
    painter: &Painter,
    sheet: &Sheet<'_>,
    placed: &Placed,
    outline: &[Point],
    t: &Transform,
    bounds: Rect,
    held: bool,
    ink: Color32,
) -> bool {
    let name = sheet.name(placed);
    let item = sheet.stretch.task.items.get(placed.item);
    let mut more = Vec::new();
    if item.is_some_and(|i| i.on_fold) {
        more.push("on the fold");
    } else if placed.turn.mirrored && sheet.stretch.spread == Spread::Single {
        more.push("face down");
    }
    if held {
        more.push("held");
    }
    let full = if more.is_empty() { name.clone() } else { format!("{name}\n{}", more.join(", ")) };
    let upright = bounds.height() > 1.25 * bounds.width();
    let Some(inner) = inner_point(outline) else { return false };
    let middle = t.screen_from_cloth(inner);
    let long = (room(outline, inner, upright) * t.scale()) as f32;
    let short = bounds.width().min(bounds.height());
    // The name alone where there is no room for more.
    for text in [full, name] {
        for size in READABLE {
            let galley = painter.layout_no_wrap(text.clone(), FontId::proportional(size), ink);
            if galley.size().x < long * 0.94 && galley.size().y < short * 0.7 {
                let angle = if upright { -std::f32::consts::FRAC_PI_2 } else { 0.0 };
                let at = middle - galley.size() / 2.0;
                painter.add(TextShape::new(at, galley, ink).with_angle_and_anchor(angle, Align2::CENTER_CENTER));
                return true;
            }
        }
    }
    false
}

/// Sizes of type in which a name is written on a piece, screen points; what would be smaller is told by a number.
const READABLE: [f32; 3] = [14.0, 12.0, 10.5];

/// Which way the upper end of the piece looks, along the grain.
fn arrow(painter: &Painter, sheet: &Sheet<'_>, placed: &Placed, outline: &[Point], t: &Transform, ink: Color32) {
    let map = placed.cloth_from_item();
    // The grain lies along x of an item, its upper end ahead.
    let along = (map * Point::new(1.0, 0.0) - map * Point::ZERO).normalize();
    let Some(middle) = inner_point(outline) else { return };
    let box_of = sheet.stretch.box_of(placed);
    if box_of.width().min(box_of.height()) * t.scale() < 56.0 {
        return;
    }
    let aside = Vec2::new(-along.y, along.x);
    let screen = |v: Vec2| vec2(v.x as f32, v.y as f32);
    // Below the name, or where there is room for it within the piece.
    let centre = middle + aside * t.cloth_length(20.0);
    let half = along * t.cloth_length(26.0);
    let lies = draft_core::grain::inside(&tiled_print::drawing::polygon(outline), kurbo::Line::new(centre - half, centre + half));
    let (a, b) = (t.screen_from_cloth(lies.p0), t.screen_from_cloth(lies.p1));
    if (b - a).length() < 18.0 {
        return;
    }
    let line = Stroke::new(1.0, ink.gamma_multiply(0.6));
    painter.line_segment([a, b], line);
    for side in [1.0, -1.0] {
        painter.line_segment([b, b - screen(along) * 7.0 + screen(aside) * (3.5 * side)], line);
    }
}

/// Hatches where pieces lie on one another or off the cloth, and says so there.
fn wrong(painter: &Painter, sheet: &Sheet<'_>, t: &Transform, p: &Palette) {
    let down = Vec2::new(0.0, sheet.down);
    let task = &sheet.stretch.task;
    let outline = |(item, copy): (usize, usize)| {
        sheet.layout.placed.iter().find(|q| (q.item, q.copy) == (item, copy)).map(|q| q.outline(task)).unwrap_or_default()
    };
    let far = 1e5;
    let w = task.width_mm;
    let beyond = [kurbo::Rect::new(-far, -far, 0.0, far), kurbo::Rect::new(0.0, -far, far, 0.0), kurbo::Rect::new(0.0, w, far, far)];
    let corners = |r: &kurbo::Rect| [Point::new(r.x0, r.y0), Point::new(r.x1, r.y0), Point::new(r.x1, r.y1), Point::new(r.x0, r.y1)];
    for fault in &sheet.faults {
        let (runs, word): (Vec<Vec<Point>>, &str) = match fault {
            Fault::Overlap(a, b, _) => (verify::shared(&outline(*a), &outline(*b)), "overlap"),
            Fault::OffTheCloth(a, _) => {
                let own = outline(*a);
                (beyond.iter().flat_map(|r| verify::shared(&own, &corners(r))).collect(), "off the cloth")
            }
            Fault::OnAFlaw(a, _) => {
                let own = outline(*a);
                (task.flaws.iter().flat_map(|r| verify::shared(&own, &corners(r))).collect(), "on a flaw")
            }
            Fault::TooClose(a, b, _) => {
                let near = |copy| sheet.layout.placed.iter().find(|q| (q.item, q.copy) == copy).map(|q| sheet.stretch.box_of(q));
                let (Some(a), Some(b)) = (near(*a), near(*b)) else { continue };
                let between = a.inflate(task.gap_mm, task.gap_mm).intersect(b.inflate(task.gap_mm, task.gap_mm));
                said(painter, t.screen_from_cloth(between.center() + down), "too close", p);
                continue;
            }
            _ => continue,
        };
        for run in &runs {
            let points: Vec<Pos2> = run.iter().map(|q| t.screen_from_cloth(*q + down)).collect();
            hatch(painter, &points, HATCH, Stroke::new(2.0, p.madder));
            painter.add(Shape::closed_line(points, Stroke::new(1.5, p.madder)));
        }
        if let Some(run) = runs.iter().max_by(|a, b| draft_core::lay::area_mm2(a).total_cmp(&draft_core::lay::area_mm2(b))) {
            let at = inner_point(run).unwrap_or(run[0]);
            said(painter, t.screen_from_cloth(at + down), word, p);
        }
    }
}

/// A word on a tag.
fn said(painter: &Painter, at: Pos2, word: &str, p: &Palette) {
    let galley = painter.layout_no_wrap(word.to_owned(), theme::small(), p.madder);
    let tag = Rect::from_center_size(at, galley.size() + vec2(10.0, 4.0));
    painter.rect(tag, 3.0, p.madder_wash, Stroke::new(1.0, p.madder), StrokeKind::Inside);
    painter.galley(tag.min + vec2(5.0, 2.0), galley, p.madder);
}

/// Strokes slanting across a closed run of points.
fn hatch(painter: &Painter, run: &[Pos2], apart: f32, stroke: Stroke) {
    let clip = painter.clip_rect();
    let level = |q: &Pos2| q.x + q.y;
    let (low, high) = run.iter().map(level).fold((f32::INFINITY, f32::NEG_INFINITY), |(a, b), c| (a.min(c), b.max(c)));
    // Nothing is drawn that can't be seen.
    let (low, high) = (low.max(clip.left() + clip.top()), high.min(clip.right() + clip.bottom()));
    let mut c = (low / apart).ceil() * apart;
    while c < high {
        let mut cuts: Vec<f32> = Vec::new();
        for (a, b) in run.iter().zip(run.iter().cycle().skip(1)) {
            let (da, db) = (level(a) - c, level(b) - c);
            if (da > 0.0) != (db > 0.0) {
                cuts.push(a.x + (b.x - a.x) * da / (da - db));
            }
        }
        cuts.sort_by(f32::total_cmp);
        for pair in cuts.chunks_exact(2) {
            painter.line_segment([pos2(pair[0], c - pair[0]), pos2(pair[1], c - pair[1])], stroke);
        }
        c += apart;
    }
}
