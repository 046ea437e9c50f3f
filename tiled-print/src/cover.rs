//! The first page: assembly map, test squares, what to do, what is there.

use kurbo::{Affine, Point, Rect, Size, Vec2};

use crate::drawing::{Drawing, TextRun};
use crate::font;
use crate::grid::{page_name, row_letters};
use crate::line::{Layer, LineKind};
use crate::sheet::Sheet;
use crate::tile::Tiling;

const INCH_MM: f64 = 25.4;
const TITLE_MM: f64 = 6.5;
const HEADING_MM: f64 = 4.0;
const BODY_MM: f64 = 3.3;
const LEADING: f64 = 1.4;
const GAP_MM: f64 = 6.0;
/// A narrower column is no column.
const LEAST_COLUMN_MM: f64 = 50.0;

/// One line of running text.
enum Item {
    Heading(&'static str),
    Text(String),
    /// A sample of a kind of line, and what it is.
    Key(LineKind, &'static str),
}

/// Draws the pages that come before the tiles, in paper millimetres.
pub fn draw(sheet: &Sheet, tiling: &Tiling) -> Vec<Drawing> {
    let live = tiling.grid.live_on_paper();
    let scale = tiling.grid.scale;
    let mut first = Drawing::default();
    let top = title(&mut first, sheet, tiling, live);
    let below = Rect::new(live.x0, top, live.x1, live.y1);

    let full = Size::new(4.0 * INCH_MM * scale.x, 4.0 * INCH_MM * scale.y);
    let fits = below.width() >= full.width && below.height() >= full.height;
    let mut pages = vec![first];
    let mut areas: Vec<(usize, Rect)> = Vec::new();
    let mut items = Vec::new();
    if fits {
        let metric = Rect::from_origin_size(below.origin(), (100.0 * scale.x, 100.0 * scale.y));
        let beside = below.width() >= metric.width() + GAP_MM + full.width;
        let beneath = below.height() >= metric.height() + GAP_MM + full.height;
        square(&mut pages[0], metric, "This square measures 100 mm each way.");
        steps(&mut pages[0], metric.inflate(-5.0, -5.0), tiling);
        let (page, at) = if beside {
            (0, Point::new(metric.x1 + GAP_MM, below.y0))
        } else if beneath {
            (0, Point::new(below.x0, metric.y1 + GAP_MM))
        } else {
            pages.push(Drawing::default());
            (1, live.origin())
        };
        let inch = Rect::from_origin_size(at, full);
        square(&mut pages[page], inch, "This square measures 4 in each way.");
        map(&mut pages[page], Rect::new(inch.x0 + 5.0, inch.y0 + 10.0, inch.x1 - 5.0, inch.y1 - 5.0), sheet, tiling);
        if beside {
            areas.push((0, Rect::new(live.x0, inch.y1.max(metric.y1) + GAP_MM, live.x1, live.y1)));
        } else {
            for (page, used) in [(0, if beneath { metric.union(inch) } else { metric }), (1, inch)] {
                if page == 1 && beneath {
                    break;
                }
                let top = if page == 0 { below.y0 } else { live.y0 };
                areas.push((page, Rect::new(used.x1 + GAP_MM, top, live.x1, used.y1)));
                areas.push((page, Rect::new(live.x0, used.y1 + GAP_MM, live.x1, live.y1)));
            }
        }
    } else {
        small_squares(&mut pages, below, live, scale);
        pages.push(Drawing::default());
        let last = pages.len() - 1;
        map(&mut pages[last], live, sheet, tiling);
        items.push(Item::Heading("Putting it together"));
        items.extend(step_texts(tiling).into_iter().map(Item::Text));
    }
    items.extend(contents(sheet));
    flow(&mut pages, areas, live, &items);
    pages
}

fn text(out: &mut Drawing, text: &str, at: Point, size: f64) {
    out.text(TextRun::new(text, at, size, Layer::Furniture));
}

/// Garment and wearer, and one line about the pages; where what follows may begin.
fn title(out: &mut Drawing, sheet: &Sheet, tiling: &Tiling, live: Rect) -> f64 {
    let name = font::printable(&sheet.title());
    let size = (TITLE_MM * (live.width() / font::width_mm(&name, TITLE_MM).max(1.0)).min(1.0)).max(3.5);
    let mut y = live.y0 + size * font::ABOVE;
    text(out, &font::shortened(&name, size, live.width()), Point::new(live.x0, y), size);
    let page = tiling.grid.page_mm;
    let last_row = tiling.tiles.iter().map(|t| t.row).max().unwrap_or(0);
    let last_column = tiling.tiles.iter().map(|t| t.column).max().unwrap_or(0);
    let plural = |n: usize, one: &str, more: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {more}") };
    let mut about = vec![
        format!("{} to tape", plural(tiling.tiles.len(), "page", "pages")),
        format!("rows A to {}, columns 1 to {}", row_letters(last_row), last_column + 1),
        format!("paper {} ({:.0} × {:.0} mm)", paper_name(&tiling.paper), page.width, page.height),
    ];
    if !sheet.dated.is_empty() {
        about.push(sheet.dated.clone());
    }
    for line in font::wrapped(&font::printable(&about.join("; ")), BODY_MM, live.width()) {
        y += BODY_MM * LEADING;
        text(out, &line, Point::new(live.x0, y), BODY_MM);
    }
    y + 4.0
}

fn paper_name(key: &str) -> String {
    let mut letters = key.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn square(out: &mut Drawing, at: Rect, says: &str) {
    out.rect(LineKind::TestSquare, at);
    text(out, says, Point::new(at.x0 + 5.0, at.y0 + 7.0), HEADING_MM);
}

/// Where the live area is too small for squares of 100 mm and 4 in.
fn small_squares(pages: &mut Vec<Drawing>, below: Rect, live: Rect, scale: Vec2) {
    let metric = Size::new(50.0 * scale.x, 50.0 * scale.y);
    let inch = Size::new(2.0 * INCH_MM * scale.x, 2.0 * INCH_MM * scale.y);
    let mut area = below;
    for (size, says) in [(metric, "Measures 50 mm each way."), (inch, "Measures 2 in each way.")] {
        if area.height() < size.height || area.width() < size.width {
            pages.push(Drawing::default());
            area = live;
        }
        let at = Rect::from_origin_size(area.origin(), size);
        let last = pages.len() - 1;
        pages[last].rect(LineKind::TestSquare, at);
        text(&mut pages[last], says, Point::new(at.x0 + 3.0, at.y0 + 6.0), BODY_MM * 0.95);
        area.y0 = at.y1 + GAP_MM;
    }
}

fn step_texts(tiling: &Tiling) -> Vec<String> {
    let mut steps = vec![
        "Print at actual size (100 %), on one side, without fitting to the page.".to_owned(),
        "Measure the squares with a ruler, across and down. If they are off, type what the one of 100 mm measured into the calibration, print again and measure again.".into(),
        "Trim each page along its thin left and top lines, where it has them.".into(),
        "Lay it on the strip of the page before, up to the dotted line, so that both halves of each lettered mark meet. Glue or tape it. Join the pages of a row first, then the rows, as the map shows.".into(),
        "Cut out, and keep the pieces flat or rolled.".into(),
    ];
    if let Some([x, y]) = tiling.measured {
        steps.insert(
            1,
            format!("These pages are calibrated for a printer whose square of 100 mm measured {x:.1} × {y:.1} mm: use no other."),
        );
    }
    steps
}

/// Numbered steps inside the first square.
fn steps(out: &mut Drawing, area: Rect, tiling: &Tiling) {
    let mut y = area.y0 + 5.0;
    for (i, step) in step_texts(tiling).iter().enumerate() {
        y += 1.2;
        for (k, line) in font::wrapped(step, BODY_MM, area.width() - 6.0).iter().enumerate() {
            y += BODY_MM * LEADING;
            if k == 0 {
                text(out, &(i + 1).to_string(), Point::new(area.x0, y), BODY_MM);
            }
            text(out, line, Point::new(area.x0 + 6.0, y), BODY_MM);
        }
    }
}

/// The grid of printed pages with the pieces drawn small.
fn map(out: &mut Drawing, area: Rect, sheet: &Sheet, tiling: &Tiling) {
    let whole = tiling.tiles.iter().map(|t| t.shows).reduce(|a, b| a.union(b)).unwrap_or(Rect::new(0.0, 0.0, 1.0, 1.0));
    let s = (area.width() / whole.width()).min(area.height() / whole.height());
    let map_from_sheet = Affine::translate(area.center().to_vec2() - whole.center().to_vec2() * s) * Affine::scale(s);
    let step = tiling.grid.step_mm;
    let size = (0.34 * s * step.width.min(step.height)).clamp(1.4, 6.0);
    for tile in &tiling.tiles {
        // Each page up to where the next one is laid on it.
        let right = tiling.tile(tile.column + 1, tile.row).map_or(tile.shows.x1, |t| t.shows.x0);
        let bottom = tiling.tile(tile.column, tile.row + 1).map_or(tile.shows.y1, |t| t.shows.y0);
        let cell = map_from_sheet.transform_rect_bbox(Rect::new(tile.shows.x0, tile.shows.y0, right, bottom));
        out.rect(LineKind::Thin, cell);
        let name = page_name(tile.column, tile.row);
        out.text(TextRun::centred(&name, cell.center(), size, 0.0, Layer::Furniture).grey(0.45));
    }
    for piece in &sheet.pieces {
        let kind = if piece.drawing.strokes.iter().any(|s| s.kind == LineKind::Cut) { LineKind::Cut } else { LineKind::Seam };
        for stroke in piece.drawing.strokes.iter().filter(|s| s.kind == kind || s.kind == LineKind::Fold) {
            out.stroke(LineKind::Map, map_from_sheet * stroke.path.clone());
        }
        let number = TextRun::centred(&piece.number.to_string(), Point::ZERO, 3.0, 0.0, Layer::Furniture);
        let at = map_from_sheet * label_place(piece);
        let width = number.width_mm();
        let disc = Rect::from_center_size(at, (width + 1.6, 4.2));
        out.strokes.push(crate::drawing::Stroke {
            kind: LineKind::Paper,
            path: kurbo::Shape::to_path(&disc.to_rounded_rect(1.2), 0.05),
            filled: true,
        });
        out.stroke(LineKind::Thin, kurbo::Shape::to_path(&disc.to_rounded_rect(1.2), 0.05));
        out.text(number.moved(at.to_vec2()));
    }
}

/// Where a piece's label stands, which is surely inside it.
fn label_place(piece: &crate::sheet::SheetPiece) -> Point {
    let label = piece.drawing.texts.iter().find(|t| t.text == font::printable(&piece.name));
    label.map_or(piece.bounds.center(), |t| t.bounds().center())
}

/// What is on the sheet, and how its lines are told apart.
fn contents(sheet: &Sheet) -> Vec<Item> {
    let mut items = vec![Item::Heading("Pieces")];
    items.extend(sheet.pieces.iter().map(|p| Item::Text(format!("{}  {}: {}", p.number, p.name, p.cut))));
    items.push(Item::Heading("Lines"));
    let has = |kind: LineKind| sheet.pieces.iter().any(|p| p.drawing.strokes.iter().any(|s| s.kind == kind));
    let keys = [
        (LineKind::Cut, "cut here"),
        (LineKind::Seam, "sew here"),
        (LineKind::Fold, "fold of the cloth: do not cut"),
        (LineKind::Dart, "dart"),
        (LineKind::Grain, "grain, along the selvedge"),
        (LineKind::Marked, "bust, waist, hip and other lines"),
        (LineKind::Notch, "notch, across the allowance"),
    ];
    items.extend(keys.into_iter().filter(|(kind, _)| has(*kind)).map(|(kind, what)| Item::Key(kind, what)));
    items.push(Item::Heading("Take care"));
    items.extend(sheet.cautions.iter().map(|c| Item::Text(c.clone())));
    items.push(Item::Text("Cut on a firm table, the blades away from your hand. Count the pins before and after.".into()));
    items
}

/// Sets running text into the areas one after another, then into further pages.
fn flow(pages: &mut Vec<Drawing>, areas: Vec<(usize, Rect)>, live: Rect, items: &[Item]) {
    let mut areas = areas.into_iter().filter(|(_, r)| r.width() >= LEAST_COLUMN_MM && r.height() >= 4.0 * BODY_MM * LEADING);
    let mut next_area = |pages: &mut Vec<Drawing>| {
        areas.next().unwrap_or_else(|| {
            pages.push(Drawing::default());
            (pages.len() - 1, live)
        })
    };
    let mut area: Option<(usize, Rect, f64)> = None;
    for item in items {
        // A heading takes the first line of its text along.
        let (before, size, keep) = match item {
            Item::Heading(_) => (2.5, HEADING_MM, 2.0 * BODY_MM * LEADING),
            _ => (0.0, BODY_MM, 0.0),
        };
        let mut rest: Option<String> = Some(match item {
            Item::Heading(t) => (*t).to_owned(),
            Item::Text(t) => font::printable(t),
            Item::Key(_, t) => (*t).to_owned(),
        });
        let indent = if matches!(item, Item::Key(..)) { 17.0 } else { 0.0 };
        let mut is_start = true;
        while let Some(words) = rest.take() {
            let line = size * LEADING;
            let (page, rect, y) = match area {
                Some((p, r, y)) if y + if is_start { before + keep } else { 0.0 } + line <= r.y1 => {
                    (p, r, y + if is_start { before } else { 0.0 })
                }
                _ => {
                    let (p, r) = next_area(pages);
                    (p, r, r.y0)
                }
            };
            let lines = font::wrapped(&words, size, rect.width() - indent);
            let Some((first, others)) = lines.split_first() else {
                area = Some((page, rect, y));
                break;
            };
            let first = font::shortened(first, size, rect.width() - indent);
            let baseline = y + line * 0.8;
            if let Item::Key(kind, _) = item {
                sample(&mut pages[page], *kind, Point::new(rect.x0, baseline - size * 0.35));
            }
            text(&mut pages[page], &first, Point::new(rect.x0 + indent, baseline), size);
            area = Some((page, rect, y + line));
            is_start = false;
            rest = (!others.is_empty()).then(|| others.join(" "));
        }
    }
}

/// A short stretch of a kind of line.
fn sample(out: &mut Drawing, kind: LineKind, at: Point) {
    let mut path = kurbo::BezPath::new();
    if kind == LineKind::Notch {
        path.move_to(at + Vec2::new(7.0, -1.6));
        path.line_to(at + Vec2::new(7.0, 1.6));
    } else {
        path.move_to(at);
        path.line_to(at + Vec2::new(14.0, 0.0));
    }
    out.stroke(kind, path);
    if kind == LineKind::Grain {
        for (tip, back) in [(14.0, 10.5), (0.0, 3.5)] {
            out.filled(kind, &[at + Vec2::new(tip, 0.0), at + Vec2::new(back, 0.9), at + Vec2::new(back, -0.9)]);
        }
    }
}
