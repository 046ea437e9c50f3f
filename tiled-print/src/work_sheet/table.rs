//! Tables running down the pages.

use draft_core::table::Column;
use kurbo::Point;

use crate::flow::{Flow, SMALL_MM};
use crate::font;
use crate::line::LineKind;

/// Type of a table.
const TYPE_MM: f64 = 3.1;
/// From one baseline to the next within a cell, in parts of the type.
const LEADING: f64 = 1.3;
/// Room between columns.
const GUTTER_MM: f64 = 2.5;
/// A box to tick.
const TICK_MM: f64 = 3.0;

/// Writes a table; its head is repeated where a page begins. With `ticks` a box to tick stands before each row.
pub fn table(flow: &mut Flow, columns: &[Column], rows: &[Vec<String>], ticks: bool) {
    let live = flow.live();
    let left = live.x0 + if ticks { TICK_MM + 2.0 } else { 0.0 };
    let width = live.x1 - left;
    let sum: f64 = columns.iter().map(|c| c.share).sum();
    let mut x = left;
    let places: Vec<(f64, f64)> = columns
        .iter()
        .map(|c| {
            let own = width * c.share / sum;
            let place = (x, own - GUTTER_MM);
            x += own;
            place
        })
        .collect();
    let head = |flow: &mut Flow| {
        if columns.iter().all(|c| c.head.is_empty()) {
            return;
        }
        let y = flow.y() + SMALL_MM;
        for (column, (x, own)) in columns.iter().zip(&places) {
            let at = if column.is_number { x + own - font::width_mm(column.head, SMALL_MM) } else { *x };
            flow.text_at(column.head, Point::new(at, y), SMALL_MM, 0.3);
        }
        flow.space(SMALL_MM + 1.6);
    };
    flow.keep_together(SMALL_MM + 1.6 + TYPE_MM * 2.0);
    head(flow);
    for row in rows {
        let cells: Vec<Vec<String>> =
            row.iter().zip(&places).map(|(cell, (_, own))| font::wrapped(&font::printable(cell), TYPE_MM, *own)).collect();
        let lines = cells.iter().map(Vec::len).max().unwrap_or(1).max(1);
        let height = lines as f64 * TYPE_MM * LEADING + 1.3;
        if flow.keep_together(height) {
            head(flow);
        }
        let top = flow.y();
        flow.drawing().line(LineKind::Leader, Point::new(live.x0, top), Point::new(live.x1, top));
        if ticks {
            let y = top + 0.9;
            flow.drawing().rect(LineKind::Box, kurbo::Rect::new(live.x0, y, live.x0 + TICK_MM, y + TICK_MM));
        }
        for ((lines, column), (x, own)) in cells.iter().zip(columns).zip(&places) {
            for (i, line) in lines.iter().enumerate() {
                let line = font::shortened(line, TYPE_MM, *own);
                let at = if column.is_number { x + own - font::width_mm(&line, TYPE_MM) } else { *x };
                flow.text_at(&line, Point::new(at, top + TYPE_MM * (0.98 + i as f64 * LEADING) + 0.4), TYPE_MM, 0.0);
            }
        }
        flow.space(height);
    }
    let y = flow.y();
    flow.drawing().line(LineKind::Leader, Point::new(live.x0, y), Point::new(live.x1, y));
    flow.space(1.0);
}
