//! Placing pieces on the sheet so that few pages are needed.
//!
//! Our own method: the sheet is a raster whose cells divide the page step evenly. Pieces go down one after another,
//! the large ones first, each to the place where it clears the others and needs the fewest pages that have no
//! drawing yet; of equal places the highest, then the leftmost. This is done for several widths of sheet, and the
//! best is kept. Nothing is random, so the same garment always gives the same sheet.

use kurbo::{Point, Rect, Size, Vec2};

use crate::grid::PageGrid;

/// Cloth pieces stand at least this far apart, to cut them out with ease.
const GAP_MM: f64 = 15.0;
/// Nothing is drawn nearer to the edge of the sheet.
pub const PADDING_MM: f64 = 2.0;
/// Wanted size of a raster cell.
const CELL_MM: f64 = 8.0;
/// Columns of pages are kept as bits of one number.
const MOST_COLUMNS: usize = 64;

/// What the packer needs to know of a piece.
#[derive(Clone, Debug)]
pub struct Shape {
    /// Everything drawn, as straight pieces.
    pub ink: Vec<[Point; 2]>,
    /// The box round it.
    pub bounds: Rect,
}

/// A raster of bits.
#[derive(Clone, Debug)]
struct Bits {
    rows: usize,
    words: usize,
    data: Vec<u64>,
}

impl Bits {
    fn new(columns: usize, rows: usize) -> Self {
        let words = columns.div_ceil(64).max(1);
        Self { rows, words, data: vec![0; words * rows] }
    }

    fn set(&mut self, column: usize, row: usize) {
        self.data[row * self.words + column / 64] |= 1 << (column % 64);
    }

    fn get(&self, column: usize, row: usize) -> bool {
        self.data[row * self.words + column / 64] >> (column % 64) & 1 == 1
    }

    /// Calls `each` with the index of a word here and the bits of `other` that fall on it, when `other` lies at a
    /// column and row of this raster; stops when `each` says so, and says whether it did. Rows that stick out at the
    /// bottom are left out.
    fn over(&self, other: &Self, column: usize, row: usize, mut each: impl FnMut(usize, u64) -> bool) -> bool {
        let (skip, shift) = (column / 64, column % 64);
        for r in 0..other.rows.min(self.rows.saturating_sub(row)) {
            let base = (row + r) * self.words + skip;
            for w in 0..other.words {
                let bits = other.data[r * other.words + w];
                if bits == 0 {
                    continue;
                }
                if skip + w < self.words && each(base + w, bits << shift) {
                    return true;
                }
                if shift > 0 && skip + w + 1 < self.words && each(base + w + 1, bits >> (64 - shift)) {
                    return true;
                }
            }
        }
        false
    }

    fn collides(&self, other: &Self, column: usize, row: usize) -> bool {
        self.over(other, column, row, |i, bits| self.data[i] & bits != 0)
    }

    fn add(&mut self, other: &Self, column: usize, row: usize) {
        let mut found = Vec::new();
        self.over(other, column, row, |i, bits| {
            found.push((i, bits));
            false
        });
        for (i, bits) in found {
            self.data[i] |= bits;
        }
    }
}

/// Cells along one axis. Cell `a` reaches from `origin + a·cell`; cells whose index is a multiple of `per_step` begin
/// where the page before ends.
#[derive(Clone, Copy, Debug)]
struct Axis {
    origin_mm: f64,
    cell_mm: f64,
    per_step: usize,
    /// Cells of the first page that come before the first such boundary.
    lead: usize,
}

impl Axis {
    fn new(live_mm: f64, step_mm: f64) -> Self {
        let per_step = (step_mm / CELL_MM).ceil().max(1.0) as usize;
        let cell_mm = step_mm / per_step as f64;
        let lead = ((live_mm - PADDING_MM) / cell_mm).floor() as usize;
        Self { origin_mm: live_mm - lead as f64 * cell_mm, cell_mm, per_step, lead }
    }

    /// The first page that shows the whole cell.
    fn page(&self, cell: usize) -> usize {
        if cell < self.lead { 0 } else { (cell - self.lead) / self.per_step + 1 }
    }

    fn at(&self, cell: usize) -> f64 {
        self.origin_mm + cell as f64 * self.cell_mm
    }

    /// Cells on the first so many pages.
    fn cells(&self, pages: usize) -> usize {
        self.lead + pages.saturating_sub(1) * self.per_step
    }

    /// Cells with the same number lie alike with respect to the pages.
    fn phase(&self, cell: usize) -> (usize, usize) {
        if cell < self.lead {
            (cell, 0)
        } else {
            let (page, phase) = ((cell - self.lead) / self.per_step, (cell - self.lead) % self.per_step);
            (self.lead + phase, page)
        }
    }

    fn phases(&self) -> usize {
        self.lead + self.per_step
    }
}

/// Pages that a piece draws on: for each page row, counted from the top of the sheet or of the phase, the columns.
type Pages = Vec<(usize, u64)>;

struct Piece {
    columns: usize,
    rows: usize,
    body: Bits,
    /// Body and the gap round it, `gap` cells wider on each side.
    wide: Bits,
    gap: (usize, usize),
    ink: Vec<(usize, usize)>,
    /// For each phase across and down.
    pages: Vec<Option<Pages>>,
}

impl Piece {
    fn new(shape: &Shape, x: Axis, y: Axis) -> Self {
        let columns = (shape.bounds.width() / x.cell_mm).floor() as usize + 1;
        let rows = (shape.bounds.height() / y.cell_mm).floor() as usize + 1;
        let mut body = Bits::new(columns, rows);
        let cell_of = |p: Point| {
            let c = ((p.x - shape.bounds.x0) / x.cell_mm).floor().max(0.0) as usize;
            let r = ((p.y - shape.bounds.y0) / y.cell_mm).floor().max(0.0) as usize;
            (c.min(columns - 1), r.min(rows - 1))
        };
        let pitch = x.cell_mm.min(y.cell_mm) / 4.0;
        for [a, b] in &shape.ink {
            let steps = ((*b - *a).hypot() / pitch).ceil().max(1.0) as usize;
            for i in 0..=steps {
                let (c, r) = cell_of(a.lerp(*b, i as f64 / steps as f64));
                body.set(c, r);
            }
        }
        let ink = (0..rows).flat_map(|r| (0..columns).map(move |c| (c, r))).filter(|&(c, r)| body.get(c, r)).collect();
        fill_inside(&mut body, columns, rows);
        let gap = ((GAP_MM / x.cell_mm).ceil() as usize, (GAP_MM / y.cell_mm).ceil() as usize);
        let mut wide = Bits::new(columns + 2 * gap.0, rows + 2 * gap.1);
        for dy in 0..=2 * gap.1 {
            for dx in 0..=2 * gap.0 {
                wide.add(&body, dx, dy);
            }
        }
        Self { columns, rows, body, wide, gap, ink, pages: vec![None; x.phases() * y.phases()] }
    }

    /// Pages for a place, relative to the column and row of pages that are returned with them.
    fn pages(&mut self, x: Axis, y: Axis, column: usize, row: usize) -> (&Pages, usize, usize) {
        let ((px, page_x), (py, page_y)) = (x.phase(column), y.phase(row));
        let ink = &self.ink;
        let pages = self.pages[py * x.phases() + px].get_or_insert_with(|| {
            let mut pages: Pages = Vec::new();
            for &(c, r) in ink {
                let (page_column, page_row) = (x.page(px + c), y.page(py + r));
                match pages.iter_mut().find(|(row, _)| *row == page_row) {
                    Some((_, columns)) => *columns |= 1 << page_column.min(63),
                    None => pages.push((page_row, 1 << page_column.min(63))),
                }
            }
            pages
        });
        (pages, page_x, page_y)
    }
}

/// Sets every cell that can't be reached from outside.
fn fill_inside(body: &mut Bits, columns: usize, rows: usize) {
    // One cell of border round everything, from which the outside is flooded.
    let (w, h) = (columns + 2, rows + 2);
    let mut outside = vec![false; w * h];
    let mut todo = vec![(0, 0)];
    outside[0] = true;
    while let Some((c, r)) = todo.pop() {
        for (dc, dr) in [(-1, 0), (1, 0), (0, -1), (0, 1)] {
            let (Some(nc), Some(nr)) = (usize::checked_add_signed(c, dc), usize::checked_add_signed(r, dr)) else { continue };
            if nc >= w || nr >= h || outside[nr * w + nc] {
                continue;
            }
            let wall = (1..=columns).contains(&nc) && (1..=rows).contains(&nr) && body.get(nc - 1, nr - 1);
            if !wall {
                outside[nr * w + nc] = true;
                todo.push((nc, nr));
            }
        }
    }
    for r in 0..rows {
        for c in 0..columns {
            if !outside[(r + 1) * w + c + 1] {
                body.set(c, r);
            }
        }
    }
}

struct Packing {
    /// Column and row of cells of each piece.
    places: Vec<(usize, usize)>,
    pages: usize,
    page_rows: usize,
    page_columns: usize,
}

/// Where each piece's box starts, and the size of the sheet.
pub fn pack(shapes: &[Shape], grid: &PageGrid) -> (Vec<Vec2>, Size) {
    let x = Axis::new(grid.live_mm.width, grid.step_mm.width);
    let y = Axis::new(grid.live_mm.height, grid.step_mm.height);
    let mut pieces: Vec<Piece> = shapes.iter().map(|s| Piece::new(s, x, y)).collect();
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by_key(|&i| std::cmp::Reverse(pieces[i].columns * pieces[i].rows));

    let widest = pieces.iter().map(|p| p.columns).max().unwrap_or(1);
    let least = (1..MOST_COLUMNS).find(|&n| x.cells(n) >= widest).unwrap_or(MOST_COLUMNS);
    let tries = if pieces.len() > 30 { 2 } else { 5 };
    let mut best: Option<Packing> = None;
    for columns in (least..=MOST_COLUMNS).take(tries) {
        let Some(packing) = place_all(&mut pieces, &order, x, y, columns) else { continue };
        let worth = |p: &Packing| (p.pages, p.page_rows * p.page_columns);
        if best.as_ref().is_none_or(|b| worth(&packing) < worth(b)) {
            best = Some(packing);
        }
    }
    let Some(best) = best else { return in_a_column(shapes) };
    let starts: Vec<Vec2> =
        best.places.iter().zip(shapes).map(|(&(c, r), s)| Vec2::new(x.at(c) - s.bounds.x0, y.at(r) - s.bounds.y0)).collect();
    let size = sheet_size(shapes, &starts);
    (starts, size)
}

fn sheet_size(shapes: &[Shape], starts: &[Vec2]) -> Size {
    let far = shapes.iter().zip(starts).fold(Point::ZERO, |far, (s, by)| {
        let b = s.bounds + *by;
        Point::new(far.x.max(b.x1), far.y.max(b.y1))
    });
    Size::new(far.x + PADDING_MM, far.y + PADDING_MM)
}

/// One below the other: for pieces too wide for any raster.
fn in_a_column(shapes: &[Shape]) -> (Vec<Vec2>, Size) {
    let mut y = PADDING_MM;
    let starts: Vec<Vec2> = shapes
        .iter()
        .map(|s| {
            let by = Vec2::new(PADDING_MM - s.bounds.x0, y - s.bounds.y0);
            y += s.bounds.height() + GAP_MM;
            by
        })
        .collect();
    let size = sheet_size(shapes, &starts);
    (starts, size)
}

fn place_all(pieces: &mut [Piece], order: &[usize], x: Axis, y: Axis, page_columns: usize) -> Option<Packing> {
    let columns = x.cells(page_columns);
    let most_rows: usize = pieces.iter().map(|p| p.rows + p.gap.1 + y.per_step).sum::<usize>() + y.lead;
    let margin = pieces.first().map_or((0, 0), |p| p.gap);
    let mut taken = Bits::new(columns + 2 * margin.0, most_rows + 2 * margin.1);
    let mut drawn: Vec<u64> = vec![0; most_rows / y.per_step + 2];
    let mut places = vec![(0, 0); pieces.len()];
    let mut used_rows = 0;
    for &i in order {
        let piece = &mut pieces[i];
        let mut best: Option<(u32, (usize, usize))> = None;
        if piece.columns > columns {
            return None;
        }
        for row in 0..=used_rows + margin.1 + y.per_step {
            for column in 0..=columns - piece.columns {
                let (pages, page_x, page_y) = piece.pages(x, y, column, row);
                let new: u32 = pages
                    .iter()
                    .map(|(r, columns)| ((columns << page_x) & !drawn.get(r + page_y).copied().unwrap_or(0)).count_ones())
                    .sum();
                if best.is_none_or(|(least, _)| new < least) && !taken.collides(&piece.body, column + margin.0, row + margin.1) {
                    best = Some((new, (column, row)));
                }
            }
        }
        let (_, (column, row)) = best?;
        let piece = &mut pieces[i];
        for (r, columns) in piece.pages(x, y, column, row).0.clone() {
            let (_, page_x) = x.phase(column);
            let (_, page_y) = y.phase(row);
            if let Some(d) = drawn.get_mut(r + page_y) {
                *d |= columns << page_x;
            }
        }
        let piece = &pieces[i];
        taken.add(&piece.wide, column + margin.0 - piece.gap.0, row + margin.1 - piece.gap.1);
        used_rows = used_rows.max(row + piece.rows);
        places[i] = (column, row);
    }
    let page_rows = drawn.iter().rposition(|d| *d != 0).map_or(0, |r| r + 1);
    let all = drawn.iter().fold(0, |a, b| a | b);
    Some(Packing {
        places,
        pages: drawn.iter().map(|d| d.count_ones() as usize).sum(),
        page_rows,
        page_columns: (64 - all.leading_zeros()) as usize,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed test may panic")]
    use super::*;
    use draft_core::PrintSettings;

    fn boxed(width: f64, height: f64) -> Shape {
        let r = Rect::new(0.0, 0.0, width, height);
        let c: [Point; 4] = [(0.0, 0.0).into(), (width, 0.0).into(), (width, height).into(), (0.0, height).into()];
        Shape { ink: (0..4).map(|i| [c[i], c[(i + 1) % 4]]).collect(), bounds: r }
    }

    #[test]
    fn pieces_keep_their_distance_and_stay_on_the_sheet() {
        let shapes: Vec<_> = [(300.0, 500.0), (250.0, 80.0), (90.0, 90.0), (400.0, 120.0), (60.0, 700.0)].map(|(w, h)| boxed(w, h)).into();
        let (starts, size) = pack(&shapes, &PageGrid::of(&PrintSettings::default()).unwrap());
        let placed: Vec<Rect> = shapes.iter().zip(&starts).map(|(s, by)| s.bounds + *by).collect();
        for (i, a) in placed.iter().enumerate() {
            assert!(a.x0 >= 1.0 && a.y0 >= 1.0 && a.x1 <= size.width - 1.0 && a.y1 <= size.height - 1.0);
            for b in &placed[..i] {
                let (dx, dy) = ((a.x0 - b.x1).max(b.x0 - a.x1), (a.y0 - b.y1).max(b.y0 - a.y1));
                assert!(dx.max(dy) >= GAP_MM - 1e-9, "{a:?} and {b:?}");
            }
        }
    }

    #[test]
    fn a_piece_as_wide_as_a_page_stays_on_one() {
        let grid = PageGrid::of(&PrintSettings::default()).unwrap();
        let shapes = vec![boxed(170.0, 260.0), boxed(170.0, 260.0), boxed(170.0, 260.0)];
        let (starts, _) = pack(&shapes, &grid);
        for (shape, by) in shapes.iter().zip(&starts) {
            let b = shape.bounds + *by;
            let whole = (0..6).any(|c| (0..6).any(|r| grid.live_rect(c, r).union(b) == grid.live_rect(c, r)));
            assert!(whole, "{b:?} is cut by a page's edge");
        }
    }
}
