//! Pieces and lays, drawn small.

use draft_core::Built;
use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Vec2};

use crate::drawing::{Drawing, TextRun, polygon};
use crate::flow::{Flow, SMALL_MM};
use crate::font;
use crate::label::cut_text;
use crate::lay_plan::{LaidShape, LayPlan, inner_point, room};
use crate::line::{Layer, LineKind};
use crate::marks::upright;

/// Scales that are easily reckoned with: one to so many.
const SCALES: [f64; 9] = [5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 40.0];
/// Room round a piece.
const ROOM_MM: f64 = 4.0;
/// Two lines of words under a piece.
const WORDS_MM: f64 = 8.5;
/// Pieces take no more of a page than this share, where they can be made smaller.
const SHARE: f64 = 0.62;
/// Type on a small drawing.
const TYPE_MM: f64 = 2.5;
/// A lay is drawn no higher than this, and no larger than one to so many.
const LAY_MM: f64 = 88.0;
const LAY_SCALE: f64 = 15.0;
/// Heading and facts above it, and the key below.
const LAY_WORDS_MM: f64 = 24.0;
/// A name in smaller type could not be read, and gives way to a number.
const LEAST_TYPE_MM: f64 = 1.8;
const NUMBER_MM: f64 = 2.1;

struct Small {
    name: String,
    cut: String,
    /// At the size of the cloth, upright.
    seam: BezPath,
    line: BezPath,
    fold: Option<[Point; 2]>,
    grain: [Point; 2],
    bounds: Rect,
}

/// Where each box goes when they stand in rows; and how high all rows are.
fn rows(sizes: &[(f64, f64)], width: f64) -> (Vec<(usize, f64)>, Vec<f64>) {
    let (mut row, mut x) = (0, 0.0);
    let mut heights: Vec<f64> = vec![0.0];
    let mut places = Vec::with_capacity(sizes.len());
    for &(w, h) in sizes {
        if x > 0.0 && x + w > width {
            row += 1;
            x = 0.0;
            heights.push(0.0);
        }
        places.push((row, x));
        heights[row] = heights[row].max(h);
        x += w;
    }
    (places, heights)
}

/// All pieces, at one scale that lets them stand on part of a page; gives the scale, one to so many.
pub fn pieces(flow: &mut Flow, built: &Built) -> f64 {
    let small: Vec<Small> = built
        .pieces()
        .map(|(piece, cut_line)| {
            let turn = upright(piece);
            let (seam, line) = (turn * piece.outline(), turn * cut_line.clone());
            let fold = piece.fold().and_then(|f| piece.edge_ends(f.name.as_str())).map(|(a, b)| [turn * a, turn * b]);
            let grain = [turn * piece.grain().p0, turn * piece.grain().p1];
            let bounds = seam.bounding_box().union(line.bounding_box());
            Small { name: piece.name().to_string(), cut: cut_text(piece.cut(), piece.fold().is_some()), seam, line, fold, grain, bounds }
        })
        .collect();
    let live = flow.live();
    let sizes = |scale: f64| -> Vec<(f64, f64)> {
        let size = |s: &Small| {
            let words = font::width_mm(&s.name, TYPE_MM).max(font::width_mm(&s.cut, TYPE_MM * 0.9));
            ((s.bounds.width() / scale).max(words.min(40.0)) + ROOM_MM, s.bounds.height() / scale + WORDS_MM + ROOM_MM)
        };
        small.iter().map(size).collect()
    };
    let fits = |scale: &f64| {
        let sizes = sizes(*scale);
        let widest = sizes.iter().map(|s| s.0).fold(0.0, f64::max);
        widest <= live.width() && rows(&sizes, live.width()).1.iter().sum::<f64>() <= SHARE * live.height()
    };
    let scale = SCALES.into_iter().find(fits).unwrap_or(60.0);
    let sizes = sizes(scale);
    let (places, heights) = rows(&sizes, live.width());
    let mut row = usize::MAX;
    for ((piece, (w, _)), (own, x)) in small.iter().zip(sizes).zip(places) {
        if own != row {
            if row != usize::MAX {
                flow.space(heights[row]);
            }
            row = own;
            flow.keep_together(heights[row]);
        }
        let middle = live.x0 + x + w / 2.0;
        let foot = flow.y() + heights[row] - WORDS_MM - ROOM_MM;
        let by = Vec2::new(middle, foot) - Vec2::new(piece.bounds.center().x, piece.bounds.y1) / scale;
        one(flow.drawing(), piece, Affine::translate(by) * Affine::scale(1.0 / scale), Point::new(middle, foot));
    }
    if let Some(last) = heights.last() {
        flow.space(*last);
    }
    scale
}

fn one(out: &mut Drawing, piece: &Small, map: Affine, foot: Point) {
    out.stroke(LineKind::Map, map * piece.line.clone());
    out.stroke(LineKind::Leader, map * piece.seam.clone());
    if let Some([a, b]) = piece.fold {
        out.line(LineKind::Fold, map * a, map * b);
    }
    arrow(out, map * piece.grain[0], map * piece.grain[1]);
    let room = 48.0;
    let lines = [(font::shortened(&font::printable(&piece.name), TYPE_MM, room), TYPE_MM), (piece.cut.clone(), TYPE_MM * 0.9)];
    for (i, (text, size)) in lines.iter().enumerate() {
        let at = Point::new(foot.x, foot.y + 3.2 + i as f64 * 3.4);
        out.text(TextRun::centred(text, at, *size, 0.0, Layer::Furniture));
    }
}

fn arrow(out: &mut Drawing, a: Point, b: Point) {
    if a.distance(b) < 2.0 {
        return;
    }
    out.line(LineKind::Leader, a, b);
    let along = (b - a).normalize();
    let aside = Vec2::new(-along.y, along.x);
    for side in [1.0, -1.0] {
        out.line(LineKind::Leader, b, b - along * 1.8 + aside * (0.7 * side));
    }
}

fn scale_of(plan: &LayPlan, width: f64) -> f64 {
    let high = plan.width_mm + 2.0 * plan.selvedge_mm;
    (width / plan.length_mm.max(1.0)).min(LAY_MM / high.max(1.0)).min(1.0 / LAY_SCALE)
}

/// How much of a page a lay takes, millimetres.
pub fn lay_mm(flow: &Flow, plan: &LayPlan) -> f64 {
    (plan.width_mm + 2.0 * plan.selvedge_mm) * scale_of(plan, flow.live().width()) + LAY_WORDS_MM
}

/// A lay across the page, with its heading and facts above it.
pub fn lay(flow: &mut Flow, plan: &LayPlan) {
    let live = flow.live();
    let low = if plan.folded { 0.0 } else { plan.selvedge_mm };
    let high = plan.width_mm + low + plan.selvedge_mm;
    let scale = scale_of(plan, live.width());
    flow.keep_together(high * scale + LAY_WORDS_MM);
    flow.space(2.0);
    flow.text_line(&plan.title, SMALL_MM * 1.1, 0.0);
    flow.paragraph(&format!("{}; 1 to {:.0}", plan.facts.join("; "), 1.0 / scale), SMALL_MM, 0.25);
    flow.space(3.2);
    let origin = Vec2::new(live.x0, flow.y() + low * scale);
    let map = Affine::translate(origin) * Affine::scale(scale);
    let out = flow.drawing();
    let at = |x: f64, y: f64| map * Point::new(x, y);
    let (l, w) = (plan.length_mm, plan.width_mm);
    let corners = [at(0.0, -low), at(l, -low), at(l, w + plan.selvedge_mm), at(0.0, w + plan.selvedge_mm)];
    out.stroke(LineKind::Thin, polygon(&corners));
    out.line(LineKind::LayOn, at(0.0, w), at(l, w));
    let edge = if plan.folded {
        out.line(LineKind::Fold, at(0.0, 0.0), at(l, 0.0));
        "fold"
    } else {
        out.line(LineKind::LayOn, at(0.0, 0.0), at(l, 0.0));
        "selvedge"
    };
    out.text(TextRun::new(edge, at(0.0, -low) - Vec2::new(0.0, 0.9), TYPE_MM * 0.9, Layer::Furniture).grey(0.25));
    for flaw in &plan.flaws {
        let r = flaw.intersect(Rect::new(0.0, -low, l, w + plan.selvedge_mm));
        if r.width() > 0.0 && r.height() > 0.0 {
            out.rect(LineKind::Thin, Rect::from_points(at(r.x0, r.y0), at(r.x1, r.y1)));
            out.line(LineKind::Thin, at(r.x0, r.y0), at(r.x1, r.y1));
            out.line(LineKind::Thin, at(r.x0, r.y1), at(r.x1, r.y0));
        }
    }
    let mut numbered = Vec::new();
    for piece in &plan.pieces {
        let number = plan.number(&piece.name);
        if !laid(out, piece, number, map, plan.folded) {
            numbered.push(number);
        }
    }
    flow.space(high * scale + 2.5);
    if let Some(key) = plan.key(numbered) {
        flow.paragraph(&key, SMALL_MM, 0.1);
    }
}

/// Draws a piece; says whether there was room for its name, else it has its number.
fn laid(out: &mut Drawing, piece: &LaidShape, number: usize, map: Affine, folded: bool) -> bool {
    let outline: Vec<Point> = piece.outline.iter().map(|p| map * *p).collect();
    out.stroke(LineKind::Map, polygon(&outline));
    if let Some([a, b]) = piece.fold {
        out.line(if folded { LineKind::Fold } else { LineKind::Leader }, map * a, map * b);
    }
    let bounds = crate::drawing::bounds_of(&outline);
    let upright = bounds.height() > 1.2 * bounds.width();
    let middle = inner_point(&outline).unwrap_or(bounds.center());
    let (long, short) = (room(&outline, middle, upright), bounds.width().min(bounds.height()));
    let name = font::printable(&piece.name);
    let text = if piece.note.is_empty() { name.clone() } else { format!("{name}, {}", font::printable(&piece.note)) };
    // The note is left out where only the name fits.
    let fit = |text: &str| (0.92 * long / font::width_mm(text, 1.0).max(0.1)).min(0.45 * short).min(TYPE_MM);
    let (text, size) = if fit(&text) >= LEAST_TYPE_MM { (text.clone(), fit(&text)) } else { (name.clone(), fit(&name)) };
    if size >= LEAST_TYPE_MM {
        let angle = if upright { -std::f64::consts::FRAC_PI_2 } else { 0.0 };
        // Clear of the line about which the piece is unfolded.
        let run = TextRun::centred(&text, middle, size, angle, Layer::Furniture);
        clear(out, run.bounds().inflate(0.3, 0.3));
        out.text(run);
        return true;
    }
    let run = TextRun::centred(&number.to_string(), middle, NUMBER_MM, 0.0, Layer::Furniture);
    clear(out, run.bounds().inflate(0.2, 0.2));
    out.text(run);
    false
}

/// A place for words.
fn clear(out: &mut Drawing, b: Rect) {
    out.filled(LineKind::Paper, &[Point::new(b.x0, b.y0), Point::new(b.x1, b.y0), Point::new(b.x1, b.y1), Point::new(b.x0, b.y1)]);
}
