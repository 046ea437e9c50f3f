//! Finding an empty rectangle among what is drawn.

use kurbo::{Point, Rect};

/// A raster of what is taken, asked for empty rectangles.
#[derive(Clone, Debug)]
pub struct FreeSpace {
    origin: Point,
    cell_mm: f64,
    columns: usize,
    rows: usize,
    /// Taken cells above and left of each corner: a summed-area table with one more row and column than cells.
    sums: Vec<u32>,
    taken: Vec<bool>,
}

impl FreeSpace {
    /// An empty raster over a rectangle.
    pub fn new(area: Rect, cell_mm: f64) -> Self {
        let columns = (area.width() / cell_mm).floor().max(1.0) as usize;
        let rows = (area.height() / cell_mm).floor().max(1.0) as usize;
        Self { origin: area.origin(), cell_mm, columns, rows, sums: Vec::new(), taken: vec![false; columns * rows] }
    }

    /// Takes what lies within `radius_mm` of a line.
    pub fn take_segment(&mut self, [a, b]: [Point; 2], radius_mm: f64) {
        let steps = ((b - a).hypot() / self.cell_mm).ceil().max(1.0);
        for i in 0..=steps as usize {
            let p = a.lerp(b, i as f64 / steps);
            self.take_rect(Rect::from_center_size(p, (2.0 * radius_mm, 2.0 * radius_mm)));
        }
    }

    /// Takes a rectangle.
    pub fn take_rect(&mut self, rect: Rect) {
        let (c0, c1) = self.range(rect.x0 - self.origin.x, rect.x1 - self.origin.x, self.columns);
        let (r0, r1) = self.range(rect.y0 - self.origin.y, rect.y1 - self.origin.y, self.rows);
        for row in r0..r1 {
            self.taken[row * self.columns + c0..row * self.columns + c1].fill(true);
        }
    }

    /// Takes everything outside a closed run of lines, by the even-odd rule at the middle of each cell.
    pub fn take_outside(&mut self, outline: &[[Point; 2]]) {
        let mut crossings: Vec<f64> = Vec::new();
        for row in 0..self.rows {
            let y = self.origin.y + (row as f64 + 0.5) * self.cell_mm;
            crossings.clear();
            crossings
                .extend(outline.iter().filter(|[a, b]| (a.y <= y) != (b.y <= y)).map(|[a, b]| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x)));
            crossings.sort_by(f64::total_cmp);
            for column in 0..self.columns {
                let x = self.origin.x + (column as f64 + 0.5) * self.cell_mm;
                if crossings.partition_point(|c| *c <= x) % 2 == 0 {
                    self.taken[row * self.columns + column] = true;
                }
            }
        }
    }

    /// Cells from the one that holds `from` to the one that holds `to`.
    fn range(&self, from: f64, to: f64, count: usize) -> (usize, usize) {
        let low = (from / self.cell_mm).floor().clamp(0.0, count as f64) as usize;
        let high = ((to / self.cell_mm).floor() + 1.0).clamp(low as f64, count as f64) as usize;
        (low, high)
    }

    /// Makes what was taken known to the searches.
    pub fn sum_up(&mut self) {
        let width = self.columns + 1;
        self.sums = vec![0; width * (self.rows + 1)];
        for row in 0..self.rows {
            let mut line = 0;
            for column in 0..self.columns {
                line += u32::from(self.taken[row * self.columns + column]);
                self.sums[(row + 1) * width + column + 1] = self.sums[row * width + column + 1] + line;
            }
        }
    }

    /// The empty rectangle of this size whose score is least; `None` when there is none.
    pub fn find(&self, width_mm: f64, height_mm: f64, score: impl Fn(Rect) -> f64) -> Option<Rect> {
        self.search(width_mm, height_mm, |taken, rect| (taken == 0).then(|| score(rect)))
    }

    /// The rectangle of this size with the fewest taken cells.
    pub fn least_taken(&self, width_mm: f64, height_mm: f64) -> Option<Rect> {
        self.search(width_mm, height_mm, |taken, _| Some(f64::from(taken)))
    }

    fn search(&self, width_mm: f64, height_mm: f64, score: impl Fn(u32, Rect) -> Option<f64>) -> Option<Rect> {
        let w = (width_mm / self.cell_mm).ceil().max(1.0) as usize;
        let h = (height_mm / self.cell_mm).ceil().max(1.0) as usize;
        if w > self.columns || h > self.rows || self.sums.is_empty() {
            return None;
        }
        let width = self.columns + 1;
        let mut best: Option<(f64, Rect)> = None;
        for row in 0..=self.rows - h {
            for column in 0..=self.columns - w {
                let at = |r: usize, c: usize| self.sums[r * width + c];
                let taken = at(row + h, column + w) + at(row, column) - at(row, column + w) - at(row + h, column);
                let corner = Point::new(self.origin.x + column as f64 * self.cell_mm, self.origin.y + row as f64 * self.cell_mm);
                let spare = ((w as f64 * self.cell_mm - width_mm) / 2.0, (h as f64 * self.cell_mm - height_mm) / 2.0);
                let rect = Rect::from_origin_size(corner + kurbo::Vec2::from(spare), (width_mm, height_mm));
                if let Some(s) = score(taken, rect)
                    && best.as_ref().is_none_or(|(least, _)| s < *least)
                {
                    best = Some((s, rect));
                }
            }
        }
        best.map(|(_, rect)| rect)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed test may panic")]
    use super::*;
    use crate::drawing::polygon;

    #[test]
    fn a_rectangle_is_found_inside_the_outline_and_off_the_lines() {
        // A triangle with a line down its middle: the block must stand on one side of it.
        let corners: [Point; 3] = [(0.0, 0.0).into(), (200.0, 0.0).into(), (100.0, 200.0).into()];
        let outline: Vec<_> = (0..3).map(|i| [corners[i], corners[(i + 1) % 3]]).collect();
        let mut space = FreeSpace::new(Rect::new(0.0, 0.0, 200.0, 200.0), 2.0);
        space.take_outside(&outline);
        for side in &outline {
            space.take_segment(*side, 1.0);
        }
        space.take_segment([(100.0, 0.0).into(), (100.0, 200.0).into()], 1.0);
        space.sum_up();
        let rect = space.find(40.0, 30.0, |r| r.center().distance((100.0, 80.0).into())).unwrap();
        let triangle = polygon(&corners);
        for corner in [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)] {
            assert!(kurbo::Shape::contains(&triangle, corner.into()));
        }
        assert!(rect.x1 < 100.0 || rect.x0 > 100.0, "{rect:?}");
        assert!(space.find(120.0, 120.0, |_| 0.0).is_none());
    }
}
