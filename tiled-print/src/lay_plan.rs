//! The drawing of a lay: the cloth with the pieces on it, as SVG at true scale.
//!
//! What lies where has been decided before; this only draws it. Weights and type are for a drawing as large as a cloth,
//! seen much reduced.

use std::fmt::Write as _;

use kurbo::{Line, Point, Rect, Vec2};

use crate::drawing::{TextRun, bounds_of};
use crate::font;
use crate::line::Layer;
use crate::svg::{escaped, number};

/// Room round the cloth for words.
const BORDER_MM: f64 = 90.0;
/// Type: headings, and names on pieces at most and at least.
const HEADING_MM: f64 = 34.0;
const NAME_MM: (f64, f64) = (30.0, 14.0);
/// What the numbers stand for.
const KEY_MM: f64 = 24.0;
/// A number in place of a name.
const NUMBER_MM: f64 = 20.0;
/// Weights of lines.
const CUT_MM: f64 = 2.0;
const FINE_MM: f64 = 1.0;
const ARROW_MM: f64 = 18.0;

/// One piece as it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidShape {
    /// Its name.
    pub name: String,
    /// What else to know, such as `2 of 8` and `on the fold`.
    pub note: String,
    /// Corners on the cloth, millimetres.
    pub outline: Vec<Point>,
    /// Its grain line on the cloth, from its lower to its upper end.
    pub grain: Line,
    /// The edge that lies on the fold of the cloth, or about which the piece has been unfolded.
    pub fold: Option<[Point; 2]>,
}

/// A lay to draw. Its cloth lies from (0, 0) with its length along x; the fold, or the lower selvedge, is at y = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct LayPlan {
    /// The heading.
    pub title: String,
    /// Lines of facts below it.
    pub facts: Vec<String>,
    /// Between the edges that can be laid on.
    pub width_mm: f64,
    /// To the end of the last piece.
    pub length_mm: f64,
    /// Each selvedge.
    pub selvedge_mm: f64,
    /// Whether y = 0 is the fold of the cloth.
    pub folded: bool,
    /// Where nothing may lie.
    pub flaws: Vec<Rect>,
    /// The pieces.
    pub pieces: Vec<LaidShape>,
}

impl LayPlan {
    /// The number that stands for a name on a piece too small to hold it: its place among the names, from 1.
    pub fn number(&self, name: &str) -> usize {
        let mut names: Vec<&str> = Vec::new();
        for piece in &self.pieces {
            if !names.contains(&piece.name.as_str()) {
                names.push(&piece.name);
            }
        }
        names.iter().position(|n| *n == name).map_or(0, |i| i + 1)
    }

    /// What these numbers stand for, in words; nothing where there are none.
    pub fn key(&self, mut numbered: Vec<usize>) -> Option<String> {
        numbered.sort_unstable();
        numbered.dedup();
        let name = |n: &usize| Some(format!("{n} {}", self.pieces.iter().find(|p| self.number(&p.name) == *n)?.name));
        let all: Vec<String> = numbered.iter().filter_map(name).collect();
        (!all.is_empty()).then(|| format!("Small pieces by number: {}", all.join(", ")))
    }
}

fn put(out: &mut String, what: std::fmt::Arguments<'_>) {
    // Writing to a string can't fail.
    let _ = out.write_fmt(what);
}

fn text(out: &mut String, run: &TextRun) {
    let (x, y) = (number(run.at.x), number(run.at.y));
    put(out, format_args!("<text font-size=\"{}\" transform=\"translate({x} {y})", number(run.size_mm)));
    if run.angle_rad != 0.0 {
        put(out, format_args!(" rotate({})", number(run.angle_rad.to_degrees())));
    }
    out.push('"');
    put(out, format_args!(">{}</text>\n", escaped(&run.text)));
}

fn line(out: &mut String, a: Point, b: Point, more: &str) {
    let (x1, y1, x2, y2) = (number(a.x), number(a.y), number(b.x), number(b.y));
    put(out, format_args!("<path d=\"M{x1} {y1}L{x2} {y2}\" {more}/>\n"));
}

/// The drawing as SVG, one unit a millimetre.
pub fn write(plan: &LayPlan) -> String {
    let top = BORDER_MM + HEADING_MM * (1.5 + plan.facts.len() as f64);
    let low = if plan.folded { 0.0 } else { plan.selvedge_mm };
    let numbered = plan.pieces.iter().filter(|p| name_mm(p).is_none()).map(|p| plan.number(&p.name)).collect();
    let key = plan.key(numbered).map_or_else(Vec::new, |key| font::wrapped(&key, KEY_MM, plan.length_mm.max(1000.0)));
    let foot = KEY_MM * 1.4 * key.len() as f64;
    let (w, h) = (
        plan.length_mm.max(if key.is_empty() { 0.0 } else { 1000.0 }) + 2.0 * BORDER_MM,
        plan.width_mm + low + plan.selvedge_mm + top + BORDER_MM + foot,
    );
    let mut out = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"{2} {3} {0} {1}\" fill=\"none\" stroke=\"#000\" stroke-linejoin=\"round\">\n<title>{4}</title>\n<rect x=\"{2}\" y=\"{3}\" width=\"{0}\" height=\"{1}\" fill=\"#fff\" stroke=\"none\"/>\n",
        number(w),
        number(h),
        number(-BORDER_MM),
        number(-top - low),
        escaped(&plan.title)
    );
    out.push_str("<g id=\"cloth\">\n");
    let (l, y0, y1) = (plan.length_mm, -low, plan.width_mm + plan.selvedge_mm);
    put(
        &mut out,
        format_args!(
            "<rect x=\"0\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#eee\" stroke-width=\"{FINE_MM}\"/>\n",
            number(y0),
            number(l),
            number(y1 - y0)
        ),
    );
    let selvedge = "stroke-width=\"1\" stroke-dasharray=\"12 8\"";
    line(&mut out, Point::new(0.0, plan.width_mm), Point::new(l, plan.width_mm), selvedge);
    if plan.folded {
        line(&mut out, Point::ZERO, Point::new(l, 0.0), "stroke-width=\"5\" stroke-dasharray=\"60 10 6 10\"");
    } else {
        line(&mut out, Point::ZERO, Point::new(l, 0.0), selvedge);
    }
    for flaw in &plan.flaws {
        let r = flaw.intersect(Rect::new(0.0, y0, l, y1));
        put(
            &mut out,
            format_args!(
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#bbb\" stroke-width=\"{FINE_MM}\"/>\n",
                number(r.x0),
                number(r.y0),
                number(r.width().max(0.0)),
                number(r.height().max(0.0))
            ),
        );
        line(&mut out, Point::new(r.x0, r.y0), Point::new(r.x1, r.y1), "stroke-width=\"1\"");
        line(&mut out, Point::new(r.x0, r.y1), Point::new(r.x1, r.y0), "stroke-width=\"1\"");
    }
    out.push_str("</g>\n<g id=\"pieces\">\n");
    for piece in &plan.pieces {
        draw(&mut out, piece, plan.folded);
    }
    put(&mut out, format_args!("</g>\n<g id=\"words\" fill=\"#000\" stroke=\"none\" font-family=\"{}, sans-serif\">\n", font::FAMILY));
    let mut at = Point::new(0.0, -top - low + BORDER_MM);
    text(&mut out, &TextRun::new(&plan.title, at, HEADING_MM, Layer::Marks));
    for fact in &plan.facts {
        at.y += HEADING_MM;
        text(&mut out, &TextRun::new(fact, at, HEADING_MM * 0.7, Layer::Marks));
    }
    let edge = if plan.folded { "fold" } else { "selvedge" };
    text(&mut out, &TextRun::new(edge, Point::new(0.0, y0 - 8.0), HEADING_MM * 0.6, Layer::Marks));
    text(&mut out, &TextRun::new("selvedge", Point::new(0.0, y1 + HEADING_MM * 0.7), HEADING_MM * 0.6, Layer::Marks));
    for (i, line) in key.iter().enumerate() {
        let at = Point::new(0.0, y1 + HEADING_MM * 0.8 + KEY_MM * 1.4 * (i as f64 + 1.0));
        text(&mut out, &TextRun::new(line, at, KEY_MM, Layer::Marks));
    }
    for piece in &plan.pieces {
        name(&mut out, plan, piece);
    }
    out.push_str("</g>\n</svg>\n");
    out
}

fn draw(out: &mut String, piece: &LaidShape, folded: bool) {
    let mut d = String::new();
    for (i, p) in piece.outline.iter().enumerate() {
        put(&mut d, format_args!("{}{} {}", if i == 0 { "M" } else { "L" }, number(p.x), number(p.y)));
    }
    put(out, format_args!("<path d=\"{d}Z\" fill=\"#fff\" stroke-width=\"{CUT_MM}\"/>\n"));
    if let Some([a, b]) = piece.fold {
        // On the fold it is no cut; unfolded it is only a line to know.
        let how = if folded { "stroke=\"#fff\" stroke-width=\"3\"" } else { "stroke-width=\"1\" stroke-dasharray=\"20 5 3 5\"" };
        line(out, a, b, how);
        if folded {
            line(out, a, b, "stroke-width=\"5\" stroke-dasharray=\"60 10 6 10\"");
        }
    }
    let (a, b) = (piece.grain.p0, piece.grain.p1);
    if a.distance(b) > 1.0 {
        line(out, a, b, "stroke-width=\"1\"");
        let along = (b - a).normalize();
        let aside = Vec2::new(-along.y, along.x) * (ARROW_MM * 0.3);
        let back = b - along * ARROW_MM;
        line(out, b, back + aside, "stroke-width=\"1\"");
        line(out, b, back - aside, "stroke-width=\"1\"");
    }
}

/// Whether a piece is longer up and down than across, and the size of type in which its name fits.
fn fit(piece: &LaidShape) -> (bool, f64) {
    let bounds = bounds_of(&piece.outline);
    let turned = bounds.width() < bounds.height();
    let short = bounds.width().min(bounds.height());
    let long = inner_point(&piece.outline).map_or(0.0, |middle| room(&piece.outline, middle, turned));
    let wide = font::width_mm(&piece.name, 1.0).max(0.7 * font::width_mm(&piece.note, 1.0)).max(1.0);
    (turned, (0.9 * long / wide).min(short / 4.0))
}

/// The size of type in which a piece holds its name; nothing where that could not be read.
fn name_mm(piece: &LaidShape) -> Option<f64> {
    let (_, size) = fit(piece);
    (size >= NAME_MM.1).then(|| size.min(NAME_MM.0))
}

/// Name and note, across the middle of the piece, in the largest type that fits its box; or its number.
fn name(out: &mut String, plan: &LayPlan, piece: &LaidShape) {
    let middle = inner_point(&piece.outline).unwrap_or(bounds_of(&piece.outline).center());
    let Some(size) = name_mm(piece) else {
        let (x, y) = (number(middle.x), number(middle.y));
        let radius = number(NUMBER_MM * 0.72);
        put(out, format_args!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"{FINE_MM}\"/>\n"));
        text(out, &TextRun::centred(&plan.number(&piece.name).to_string(), middle, NUMBER_MM, 0.0, Layer::Marks));
        return;
    };
    let (turned, _) = fit(piece);
    let angle = if turned { -std::f64::consts::FRAC_PI_2 } else { 0.0 };
    let down = if turned { Vec2::new(1.0, 0.0) } else { Vec2::new(0.0, 1.0) };
    text(out, &TextRun::centred(&piece.name, middle - down * (size * 0.55), size, angle, Layer::Marks));
    text(out, &TextRun::centred(&piece.note, middle + down * (size * 0.55), size * 0.7, angle, Layer::Marks));
}

/// A point well inside an outline: the middle of the widest stretch across the middle of its box.
pub fn inner_point(outline: &[Point]) -> Option<Point> {
    let bounds = bounds_of(outline);
    let (x, mut crossings) = (bounds.center().x, Vec::new());
    for (a, b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        if (a.x <= x) != (b.x <= x) {
            crossings.push(a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x));
        }
    }
    crossings.sort_by(f64::total_cmp);
    let widest = crossings.chunks_exact(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    Some(Point::new(x, (widest[0] + widest[1]) / 2.0))
}

/// How long a line of words may be that is centred on a point within an outline, read across or, `upright`, along y: it
/// crosses no line of the outline.
pub fn room(outline: &[Point], middle: Point, upright: bool) -> f64 {
    let turned = |p: Point| if upright { Point::new(p.y, p.x) } else { p };
    let own: Vec<Point> = outline.iter().map(|p| turned(*p)).collect();
    let (middle, bounds) = (turned(middle), bounds_of(&own));
    // The words have a height: looked at above and below their middle as well.
    let lines = [-0.1, 0.0, 0.1].map(|share| middle.y + share * bounds.height());
    let nearest = |y: f64| {
        let sides = own.iter().zip(own.iter().cycle().skip(1)).filter(|(a, b)| (a.y <= y) != (b.y <= y));
        sides.map(|(a, b)| (a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y) - middle.x).abs()).fold(f64::INFINITY, f64::min)
    };
    let room = lines.into_iter().map(nearest).fold(f64::INFINITY, f64::min);
    if room.is_finite() { 2.0 * room } else { 0.0 }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
    use super::*;

    fn shape(name: &str, width: f64, height: f64, at: f64) -> LaidShape {
        let outline = [(at, 0.0), (at + width, 0.0), (at + width, height), (at, height)].map(Point::from).to_vec();
        let grain = Line::new((at, height / 2.0), (at + width, height / 2.0));
        LaidShape { name: name.into(), note: "1".into(), outline, grain, fold: None }
    }

    #[test]
    fn words_have_the_room_of_a_rectangle_and_less_in_a_bow() {
        let square = shape("square", 100.0, 60.0, 0.0).outline;
        assert!((room(&square, Point::new(50.0, 30.0), false) - 100.0).abs() < 1e-9);
        assert!((room(&square, Point::new(20.0, 30.0), false) - 40.0).abs() < 1e-9);
        assert!((room(&square, Point::new(50.0, 30.0), true) - 60.0).abs() < 1e-9);
    }

    #[test]
    fn small_pieces_are_numbered_and_the_key_names_them() {
        let pieces =
            vec![shape("gore", 900.0, 300.0, 0.0), shape("wrist underlap", 40.0, 60.0, 950.0), shape("wrist underlap", 40.0, 60.0, 1000.0)];
        let plan = LayPlan {
            title: "lay".into(),
            facts: Vec::new(),
            width_mm: 1400.0,
            length_mm: 1100.0,
            selvedge_mm: 10.0,
            folded: false,
            flaws: Vec::new(),
            pieces,
        };
        let svg = write(&plan);
        assert!(svg.contains(">gore<") && !svg.contains(">wrist underlap<"));
        assert_eq!(svg.matches(">2</text>").count(), 2, "both underlaps have the number of their name");
        assert!(svg.contains("Small pieces by number: 2 wrist underlap"), "{svg}");
        assert_eq!(plan.key(Vec::new()), None);
    }
}
