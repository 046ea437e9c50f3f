//! Which pages are needed: by what is really drawn, not by boxes.

use kurbo::{Point, Rect};

use crate::grid::PageGrid;

/// A line this near to the edge of a page's live area may lose part of its weight there, so the page does not count
/// as showing it.
const EDGE_MM: f64 = 0.5;

/// One axis cut into bands: those that a single page shows and, between them, those that two neighbours share.
#[derive(Clone, Debug)]
struct Bands {
    /// Where each band but the first begins.
    starts: Vec<f64>,
}

impl Bands {
    fn new(pages: usize, step: f64, overlap: f64) -> Self {
        let mut starts = Vec::with_capacity(2 * pages);
        for page in 1..pages {
            let at = page as f64 * step;
            // What is shared shrinks from both sides; with hardly any overlap nothing is.
            let (low, high) =
                if overlap > 2.0 * EDGE_MM { (at + EDGE_MM, at + overlap - EDGE_MM) } else { (at + overlap / 2.0, at + overlap / 2.0) };
            starts.extend([low, high]);
        }
        Self { starts }
    }

    fn count(&self) -> usize {
        self.starts.len() + 1
    }

    fn of(&self, at: f64) -> usize {
        self.starts.partition_point(|s| *s <= at)
    }

    /// First and last page that show a band.
    fn pages(band: usize) -> (usize, usize) {
        (band / 2, band.div_ceil(2))
    }
}

/// Bands in which something is drawn, across and down.
pub struct Coverage {
    across: Bands,
    down: Bands,
    drawn: Vec<bool>,
    columns: usize,
    rows: usize,
}

impl Coverage {
    /// Nothing drawn yet on a grid of pages.
    pub fn new(grid: &PageGrid, columns: usize, rows: usize) -> Self {
        let across = Bands::new(columns, grid.step_mm.width, grid.overlap_mm());
        let down = Bands::new(rows, grid.step_mm.height, grid.overlap_mm());
        let drawn = vec![false; across.count() * down.count()];
        Self { across, down, drawn, columns, rows }
    }

    /// Adds a straight line.
    pub fn add(&mut self, [a, b]: [Point; 2]) {
        let (c0, c1) = (self.across.of(a.x.min(b.x)), self.across.of(a.x.max(b.x)));
        for column in c0..=c1 {
            // The stretch of the line inside this band of columns.
            let low = if column == 0 { f64::NEG_INFINITY } else { self.across.starts[column - 1] };
            let high = self.across.starts.get(column).copied().unwrap_or(f64::INFINITY);
            let y_at = |x: f64| {
                let x = x.clamp(a.x.min(b.x), a.x.max(b.x));
                if (b.x - a.x).abs() < 1e-12 { None } else { Some(a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y)) }
            };
            let (y0, y1) = match (y_at(low), y_at(high)) {
                (Some(p), Some(q)) => (p.min(q), p.max(q)),
                _ => (a.y.min(b.y), a.y.max(b.y)),
            };
            for row in self.down.of(y0)..=self.down.of(y1) {
                self.drawn[row * self.across.count() + column] = true;
            }
        }
    }

    /// The pages that are printed, row by row, as column and row: each stretch of each line is on at least one of
    /// them, and none could be left out without losing something.
    pub fn needed(&self) -> Vec<(usize, usize)> {
        let showing = |band_x: usize, band_y: usize| {
            let ((c0, c1), (r0, r1)) = (Bands::pages(band_x), Bands::pages(band_y));
            (r0..=r1).flat_map(move |r| (c0..=c1).map(move |c| (c, r)))
        };
        let width = self.across.count();
        let drawn = |x: usize, y: usize| self.drawn[y * width + x];
        // How many printed pages show each band; a page goes when every band it draws has another.
        let mut present = vec![false; self.columns * self.rows];
        for (y, x) in (0..self.down.count()).flat_map(|y| (0..width).map(move |x| (y, x))) {
            if drawn(x, y) {
                for (c, r) in showing(x, y) {
                    present[r * self.columns + c] = true;
                }
            }
        }
        for row in (0..self.rows).rev() {
            for column in (0..self.columns).rev() {
                if !present[row * self.columns + column] {
                    continue;
                }
                let bands = |page: usize, count: usize| (2 * page).saturating_sub(1)..=(2 * page + 1).min(count - 1);
                let needed = bands(row, self.down.count()).any(|y| {
                    bands(column, width)
                        .any(|x| drawn(x, y) && !showing(x, y).any(|(c, r)| (c, r) != (column, row) && present[r * self.columns + c]))
                });
                present[row * self.columns + column] = needed;
            }
        }
        (0..self.rows).flat_map(|r| (0..self.columns).map(move |c| (c, r))).filter(|&(c, r)| present[r * self.columns + c]).collect()
    }
}

/// Whether a straight line meets a rectangle.
pub fn meets([a, b]: [Point; 2], rect: Rect) -> bool {
    let (mut t0, mut t1) = (0.0_f64, 1.0_f64);
    for (from, by, low, high) in [(a.x, b.x - a.x, rect.x0, rect.x1), (a.y, b.y - a.y, rect.y0, rect.y1)] {
        if by.abs() < 1e-12 {
            if from < low || from > high {
                return false;
            }
        } else {
            let (p, q) = ((low - from) / by, (high - from) / by);
            t0 = t0.max(p.min(q));
            t1 = t1.min(p.max(q));
        }
    }
    t0 <= t1
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed test may panic")]
    use super::*;
    use draft_core::PrintSettings;

    fn needed(lines: &[[(f64, f64); 2]]) -> Vec<(usize, usize)> {
        let grid = PageGrid::of(&PrintSettings::default()).unwrap();
        let mut coverage = Coverage::new(&grid, 4, 3);
        for [a, b] in lines {
            coverage.add([Point::from(*a), Point::from(*b)]);
        }
        coverage.needed()
    }

    #[test]
    fn a_frame_leaves_out_the_pages_inside_it() {
        // Default A4: live 190 × 277, step 178 × 265.
        let frame = [(20.0, 20.0), (660.0, 20.0), (660.0, 790.0), (20.0, 790.0)];
        let sides: Vec<_> = (0..4).map(|i| [frame[i], frame[(i + 1) % 4]]).collect();
        let pages = needed(&sides);
        assert_eq!(pages.len(), 4 * 3 - 2, "{pages:?}");
        assert!(!pages.contains(&(1, 1)) && !pages.contains(&(2, 1)));
    }

    #[test]
    fn a_line_in_the_shared_strip_is_printed_once() {
        assert_eq!(needed(&[[(184.0, 20.0), (184.0, 200.0)]]), [(0, 0)]);
        // Beyond it, and on its very edge, on the next page.
        assert_eq!(needed(&[[(191.0, 20.0), (191.0, 200.0)]]), [(1, 0)]);
        assert_eq!(needed(&[[(189.8, 20.0), (189.8, 200.0)]]), [(1, 0)]);
    }

    #[test]
    fn a_slanting_line_needs_the_pages_it_crosses() {
        assert_eq!(needed(&[[(100.0, 100.0), (300.0, 400.0)]]), [(0, 0), (1, 0), (1, 1)]);
        assert_eq!(needed(&[]), []);
    }

    #[test]
    fn a_line_meets_a_rectangle() {
        let rect = Rect::new(0.0, 0.0, 10.0, 10.0);
        assert!(meets([(-5.0, 5.0).into(), (15.0, 6.0).into()], rect));
        assert!(meets([(3.0, 3.0).into(), (4.0, 4.0).into()], rect));
        assert!(!meets([(-5.0, 5.0).into(), (5.0, 16.0).into()], rect));
        assert!(!meets([(11.0, 0.0).into(), (11.0, 10.0).into()], rect));
    }
}
