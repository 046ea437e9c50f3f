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
}

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
        Ok(Self { sheet, tiling, lines, texts })
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
        assert!(!plan.lines.is_empty() && plan.lines.iter().all(|l| l.points.iter().all(|p| p.is_finite())));
    }
}
