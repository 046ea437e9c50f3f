//! The sheet and its pages, laid out away from the window and ready to be painted.

use draft_core::{Built, Garment, geometry};
use kurbo::Point;
use tiled_print::{LineKind, PrintError, Sheet, TextRun, Tiling};

/// How far points may be from the true line, millimetres.
const TOLERANCE_MM: f64 = 0.1;

/// A line of the sheet as points.
#[derive(Debug)]
pub struct Line {
    /// What it means.
    pub kind: LineKind,
    /// Its points, sheet millimetres.
    pub points: Vec<Point>,
}

/// Everything that the Print stage shows.
#[derive(Debug)]
pub struct Plan {
    /// The sheet.
    pub sheet: Sheet,
    /// Its pages; or why there are none.
    pub tiling: Result<Tiling, PrintError>,
    /// All lines.
    pub lines: Vec<Line>,
    /// All texts.
    pub texts: Vec<TextRun>,
    /// The pieces with a place well inside each, for their names, and the box round each.
    pub names: Vec<(String, Point, kurbo::Rect)>,
    /// Where the name of each page stands clear of lines: column, row, upper left corner.
    pub labels: Vec<(usize, usize, Point)>,
}

/// How large the name of a page and that of a piece are taken to be when places are sought, as parts of a page's width.
const LABEL: (f64, f64) = (0.34, 0.24);
const NAME: (f64, f64) = (0.09, 0.18);
/// Places that are tried, across and down a page.
const TRIED: (u32, u32) = (9, 13);

impl Plan {
    /// Lays the sheet out and divides it.
    ///
    /// # Errors
    /// There is nothing to print.
    pub fn of(garment: &Garment, built: &Built) -> Result<Self, PrintError> {
        let sheet = Sheet::of(garment, built)?;
        let tiling = Tiling::of(&sheet, &garment.print);
        let mut lines = Vec::new();
        let mut texts = Vec::new();
        for piece in &sheet.pieces {
            for stroke in &piece.drawing.strokes {
                for run in runs(&stroke.path) {
                    lines.push(Line { kind: stroke.kind, points: run });
                }
            }
            texts.extend(piece.drawing.texts.iter().cloned());
        }
        let names = sheet.pieces.iter().map(|piece| (piece.name.clone(), inside(piece), piece.bounds)).collect();
        let mut plan = Self { sheet, tiling, lines, texts, names, labels: Vec::new() };
        plan.labels = plan.places_of_labels();
        Ok(plan)
    }

    /// What a page shows up to where the next one begins.
    pub fn own(tiling: &Tiling, column: usize, row: usize) -> kurbo::Rect {
        let live = tiling.grid.live_rect(column, row);
        let step = tiling.grid.step_mm;
        let x1 = if column + 1 < tiling.columns { live.x0 + step.width } else { live.x1 };
        let y1 = if row + 1 < tiling.rows { live.y0 + step.height } else { live.y1 };
        kurbo::Rect::new(live.x0, live.y0, x1, y1)
    }

    /// A place for the name of each page where it covers no line and no name of a piece, the nearest to its upper left
    /// corner; where there is none, the one that covers least.
    fn places_of_labels(&self) -> Vec<(usize, usize, Point)> {
        let Ok(tiling) = &self.tiling else { return Vec::new() };
        let wide = tiling.grid.step_mm.width;
        let names: Vec<kurbo::Rect> = self
            .names
            .iter()
            .map(|(name, at, bounds)| {
                let size = kurbo::Size::new(wide * NAME.0 * name.chars().count() as f64, wide * NAME.1);
                // Below a piece that it would cover.
                let below = Point::new(bounds.center().x, bounds.y1 + size.height / 2.0);
                kurbo::Rect::from_center_size(if size.width > bounds.width() { below } else { *at }, size)
            })
            .collect();
        let mut out = Vec::new();
        for row in 0..tiling.rows {
            for column in 0..tiling.columns {
                let page = Self::own(tiling, column, row);
                let near = |p: &Point| page.contains(*p);
                let inside: Vec<[Point; 2]> = self
                    .lines
                    .iter()
                    .flat_map(|l| l.points.windows(2).map(|w| [w[0], w[1]]))
                    .filter(|[a, b]| near(a) || near(b) || crosses(page, *a, *b))
                    .collect();
                let size = kurbo::Size::new(wide * LABEL.0, wide * LABEL.1);
                let room = kurbo::Size::new(page.width() - size.width, page.height() - size.height);
                let places = (0..TRIED.1).flat_map(|j| (0..TRIED.0).map(move |i| (i, j)));
                let place = |(i, j): (u32, u32)| {
                    let share = |n: u32, of: u32| f64::from(n) / f64::from(of - 1);
                    let at = page.origin() + kurbo::Vec2::new(room.width * share(i, TRIED.0), room.height * share(j, TRIED.1));
                    let own = kurbo::Rect::from_origin_size(at, size);
                    let lines = inside.iter().filter(|[a, b]| crosses(own, *a, *b)).count();
                    let words = names.iter().filter(|n| n.overlaps(own)).count();
                    ((lines + 5 * words, i + j), at)
                };
                if let Some((_, at)) = places.map(place).min_by_key(|(cost, _)| *cost) {
                    out.push((column, row, at));
                }
            }
        }
        out
    }

    /// The extent of what is shown: the sheet, and the pages where they reach further.
    pub fn bounds(&self) -> kurbo::Rect {
        let sheet = self.sheet.size_mm.to_rect();
        match &self.tiling {
            Ok(t) if t.columns > 0 && t.rows > 0 => sheet.union(t.grid.live_rect(t.columns - 1, t.rows - 1)),
            _ => sheet,
        }
    }

    /// The page at a point of the sheet: its name, and its number in the file when it is printed.
    pub fn page_at(&self, p: Point) -> Option<(String, Option<usize>)> {
        let t = self.tiling.as_ref().ok()?;
        if p.x < 0.0 || p.y < 0.0 {
            return None;
        }
        let (column, row) = ((p.x / t.grid.step_mm.width) as usize, (p.y / t.grid.step_mm.height) as usize);
        if column >= t.columns || row >= t.rows {
            return None;
        }
        let page = t.tiles.iter().find(|tile| (tile.column, tile.row) == (column, row)).map(|tile| tile.page);
        Some((tiled_print::grid::page_name(column, row), page))
    }
}

/// Whether any part of a straight line lies in a rectangle.
fn crosses(r: kurbo::Rect, a: Point, b: Point) -> bool {
    let (mut t0, mut t1) = (0.0_f64, 1.0_f64);
    for (from, to, low, high) in [(a.x, b.x, r.x0, r.x1), (a.y, b.y, r.y0, r.y1)] {
        let by = to - from;
        if by.abs() < 1e-9 {
            if from < low || from > high {
                return false;
            }
            continue;
        }
        let (p, q) = ((low - from) / by, (high - from) / by);
        (t0, t1) = (t0.max(p.min(q)), t1.min(p.max(q)));
    }
    t0 <= t1
}

/// A place well inside a piece of the sheet: of its longest closed line.
fn inside(piece: &tiled_print::SheetPiece) -> Point {
    let closed = piece.drawing.strokes.iter().filter(|s| matches!(s.kind, LineKind::Cut | LineKind::Seam));
    let outline = closed.flat_map(|s| runs(&s.path)).max_by(|a, b| draft_core::lay::area_mm2(a).total_cmp(&draft_core::lay::area_mm2(b)));
    outline.and_then(|run| tiled_print::lay_plan::inner_point(&run)).unwrap_or(piece.bounds.center())
}

/// The runs of a path as points; a closed one ends where it began.
fn runs(path: &kurbo::BezPath) -> Vec<Vec<Point>> {
    let mut out = Vec::new();
    let mut run = kurbo::BezPath::new();
    let mut finish = |run: &mut kurbo::BezPath| {
        let run = std::mem::take(run);
        let mut points = geometry::flattened(&run, TOLERANCE_MM);
        if matches!(run.elements().last(), Some(kurbo::PathEl::ClosePath))
            && let Some(&first) = points.first()
        {
            points.push(first);
        }
        if points.len() > 1 {
            out.push(points);
        }
    };
    for &el in path.elements() {
        if matches!(el, kurbo::PathEl::MoveTo(_)) {
            finish(&mut run);
        }
        run.push(el);
    }
    finish(&mut run);
    out
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
    use super::*;

    #[test]
    fn every_printed_page_is_found_under_the_pointer() {
        let garment = crate::demo::read().unwrap().2;
        let plan = Plan::of(&garment, &garment.build()).unwrap();
        let tiling = plan.tiling.as_ref().unwrap();
        for tile in &tiling.tiles {
            let inside = tile.shows.origin() + kurbo::Vec2::new(1.0, 1.0);
            assert_eq!(plan.page_at(inside), Some((tile.name(), Some(tile.page))));
        }
        assert_eq!(plan.page_at(Point::new(-1.0, 5.0)), None);
        // Every page has a place for its name on it; no more than one page in twenty is so full that it covers a line.
        assert_eq!(plan.labels.len(), tiling.rows * tiling.columns);
        for (column, row, at) in &plan.labels {
            assert!(Plan::own(tiling, *column, *row).inflate(0.1, 0.1).contains(*at));
        }
        let wide = tiling.grid.step_mm.width;
        let covers = |at: &Point| {
            let own = kurbo::Rect::from_origin_size(*at, kurbo::Size::new(wide * LABEL.0, wide * LABEL.1));
            plan.lines.iter().any(|l| l.points.windows(2).any(|w| crosses(own, w[0], w[1])))
        };
        let covering: Vec<_> = plan.labels.iter().filter(|(.., at)| covers(at)).collect();
        assert!(20 * covering.len() <= plan.labels.len(), "{covering:?} of {}", plan.labels.len());
        assert_eq!(plan.names.len(), garment.build().draft.pieces.len());
        assert!(!plan.lines.is_empty() && plan.lines.iter().all(|l| l.points.iter().all(|p| p.is_finite())));
    }
}
