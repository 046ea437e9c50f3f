//! The figures of a group, each tape numbered.

use draft_core::Measurement;
use draft_core::figure::{Figure, View};
use kurbo::{BezPath, Circle, Point, Rect, Shape as _};

use crate::drawing::{Drawing, TextRun, polygon};
use crate::line::{Layer, LineKind};

/// Radius of the ring round a number.
const RING_MM: f64 = 2.2;
/// From one number to the next.
const APART_MM: f64 = 5.2;
/// Beside a figure, for the numbers.
const COLUMN_MM: f64 = 8.0;
/// A tape that spreads less than this across is led from its middle, millimetres on the body.
const UPRIGHT_MM: f64 = 12.0;

/// A tape on one of the views.
struct Tape {
    number: usize,
    lines: Vec<Vec<Point>>,
}

/// The view on which a measurement is shown: the front, unless it lies on the back only.
fn shown_on(figure: &Figure, which: Measurement) -> (View, Vec<Vec<Point>>) {
    let all = figure.tape(which);
    let view = if all.iter().any(|(view, _)| *view == View::Front) { View::Front } else { View::Back };
    (view, all.into_iter().filter(|(on, _)| *on == view).map(|(_, line)| line).collect())
}

/// A number in its ring.
pub fn number(out: &mut Drawing, centre: Point, number: usize) {
    out.stroke(LineKind::Box, Circle::new(centre, RING_MM).to_path(0.01));
    out.text(TextRun::centred(&number.to_string(), centre, 2.7, 0.0, Layer::Furniture));
}

/// Draws the views that are needed, side by side, with the tapes of these measurements.
pub fn draw(out: &mut Drawing, room: Rect, figure: &Figure, numbered: &[(usize, Measurement)]) {
    let mut views: Vec<(View, Vec<Tape>)> = Vec::new();
    let mut lowest: f64 = figure.crotch() + 0.05 * figure.height();
    for &(number, which) in numbered {
        let (view, lines) = shown_on(figure, which);
        lowest = lines.iter().flatten().fold(lowest, |low, p| low.max(p.y + 0.02 * figure.height()));
        let tape = Tape { number, lines };
        match views.iter_mut().find(|(v, _)| *v == view) {
            Some((_, list)) => list.push(tape),
            None => views.push((view, vec![tape])),
        }
    }
    views.sort_by_key(|(view, _)| *view == View::Back);
    // What hangs below the lowest tape is cut off, so that the rest is drawn larger.
    let lowest = if lowest > 0.8 * figure.height() { figure.height() } else { lowest };
    let word_mm = 4.0;
    let each = room.width() / views.len().max(1) as f64;
    let scale = ((room.height() - word_mm) / lowest).min((each - 2.0 * COLUMN_MM) / (2.0 * figure.reach()));
    for (i, (view, tapes)) in views.iter().enumerate() {
        let middle = room.x0 + each * (i as f64 + 0.5);
        let place = |p: Point| Point::new(middle + p.x * scale, room.y0 + p.y * scale);
        body(out, figure, *view, lowest, place);
        for line in tapes.iter().flat_map(|t| &t.lines) {
            out.stroke(LineKind::Tape, open(line, place));
        }
        let edge = figure.reach() * scale + COLUMN_MM * 0.5;
        labels(out, tapes, place, (middle - edge, middle + edge), (room.y0 + RING_MM, room.y1 - word_mm));
        let word = if *view == View::Front { "front" } else { "back" };
        let at = Point::new(middle, room.y0 + lowest * scale + word_mm * 0.7);
        out.text(TextRun::centred(word, at, 2.7, 0.0, Layer::Furniture).grey(0.25));
    }
}

fn open(points: &[Point], place: impl Fn(Point) -> Point) -> BezPath {
    let mut path = BezPath::new();
    for (i, p) in points.iter().enumerate() {
        if i == 0 { path.move_to(place(*p)) } else { path.line_to(place(*p)) }
    }
    path
}

/// The outline of the whole figure down to a level: all lines first and paper over them, so that only the outer line
/// stays.
fn body(out: &mut Drawing, figure: &Figure, view: View, lowest: f64, place: impl Fn(Point) -> Point + Copy) {
    let parts: Vec<Vec<Point>> =
        figure.parts.iter().map(|part| above(part, lowest).into_iter().map(place).collect::<Vec<_>>()).filter(|p| p.len() > 2).collect();
    for part in &parts {
        out.stroke(LineKind::Figure, polygon(part));
    }
    for part in &parts {
        out.filled(LineKind::Paper, part);
    }
    for detail in figure.details(view) {
        let seen: Vec<Point> = detail.into_iter().filter(|p| p.y <= lowest).collect();
        out.stroke(LineKind::Thin, open(&seen, place));
    }
}

/// The part of a closed line above a level (Sutherland & Hodgman, *Reentrant polygon clipping*, 1974, for one edge).
fn above(part: &[Point], lowest: f64) -> Vec<Point> {
    let mut out = Vec::with_capacity(part.len());
    for (i, &p) in part.iter().enumerate() {
        let q = part[(i + 1) % part.len()];
        if p.y <= lowest {
            out.push(p);
        }
        if (p.y <= lowest) != (q.y <= lowest) {
            out.push(p.lerp(q, (lowest - p.y) / (q.y - p.y)));
        }
    }
    out
}

/// Numbers in a column at each side, each led to its tape.
fn labels(out: &mut Drawing, tapes: &[Tape], place: impl Fn(Point) -> Point, (left, right): (f64, f64), (top, bottom): (f64, f64)) {
    let mut sides: [Vec<(usize, Point)>; 2] = [Vec::new(), Vec::new()];
    for tape in tapes {
        let Some(line) = tape.lines.first().filter(|l| !l.is_empty()) else { continue };
        let (low, high) =
            line.iter().fold((line[0], line[0]), |(a, b), p| (if p.x < a.x { *p } else { a }, if p.x > b.x { *p } else { b }));
        let upright = high.x - low.x < UPRIGHT_MM;
        let middle = (low.x + high.x) / 2.0;
        // A tape on one half of the body is numbered on that side; one that lies in the middle, where there is more room.
        let side = if middle.abs() > UPRIGHT_MM { usize::from(middle > 0.0) } else { usize::from(sides[0].len() > sides[1].len()) };
        let anchor = match (upright, side) {
            (true, _) => down_the(line),
            (false, 0) => low,
            (false, _) => high,
        };
        sides[side].push((tape.number, place(anchor)));
    }
    for (mut list, x) in sides.into_iter().zip([left, right]) {
        list.sort_by(|a, b| a.1.y.total_cmp(&b.1.y));
        let mut ys: Vec<f64> = list.iter().map(|(_, p)| p.y).collect();
        for i in 1..ys.len() {
            ys[i] = ys[i].max(ys[i - 1] + APART_MM);
        }
        let mut most = bottom;
        for y in ys.iter_mut().rev() {
            *y = y.min(most).max(top);
            most = *y - APART_MM;
        }
        for ((n, anchor), y) in list.into_iter().zip(ys) {
            let centre = Point::new(x, y);
            let way = (anchor - centre).normalize();
            out.line(LineKind::Leader, centre + way * RING_MM, anchor);
            out.filled(LineKind::Box, &ring(anchor));
            number(out, centre, n);
        }
    }
}

/// A place on an upright tape, nearer to its end than to its middle, where another seldom crosses it.
fn down_the(line: &[Point]) -> Point {
    let along = 0.72 * (line.len() - 1) as f64;
    let i = (along as usize).min(line.len().saturating_sub(2));
    line[i].lerp(line[(i + 1).min(line.len() - 1)], along - i as f64)
}

/// A small dot, as a polygon.
fn ring(at: Point) -> Vec<Point> {
    (0..12).map(|i| at + kurbo::Vec2::from_angle(f64::from(i) * std::f64::consts::TAU / 12.0) * 0.7).collect()
}
