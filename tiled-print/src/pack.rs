//! Placing pieces on the sheet so that few pages are needed.
//!
//! Our own method: the sheet is a raster whose cells divide the page step evenly. Pieces go down one after another,
//! the large ones first, each to the place where it clears the others and needs the fewest pages that have no
//! drawing yet; of equal places the one on the fewest pages, then the highest, then the leftmost. This is done for several widths of sheet and several
//! orders; in the best few, pieces are taken up and laid elsewhere as long as that saves pages. Nothing is random, so the same garment always gives the same sheet.

use kurbo::{Point, Rect, Size, Vec2};

use crate::grid::PageGrid;

/// Cloth pieces stand at least this far apart, to cut them out with ease.
const GAP_MM: f64 = 15.0;
/// Nothing is drawn nearer to the edge of the sheet.
pub const PADDING_MM: f64 = 2.0;
/// Wanted size of a raster cell; the larger the pages, the larger the cells.
const CELL_MM: std::ops::RangeInclusive<f64> = 8.0..=12.0;
/// About so many pieces are laid down while looking for the best sheet.
const TRIALS: usize = 200;
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
        let wanted = (step_mm / 24.0).clamp(*CELL_MM.start(), *CELL_MM.end());
        let per_step = (step_mm / wanted).ceil().max(1.0) as usize;
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

/// Columns of pages that a piece draws on, as bits, for each row of pages.
type Pages = Vec<u64>;

struct Piece {
    columns: usize,
    rows: usize,
    body: Bits,
    /// Body and the gap round it, `gap` cells wider on each side.
    wide: Bits,
    gap: (usize, usize),
    /// Cells with lines in them, row by row.
    ink: Vec<Vec<usize>>,
    /// For each phase across, the columns of pages that each row of cells draws on.
    columns_of: Vec<Option<Vec<u64>>>,
    /// For each phase down and across.
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
        let ink = (0..rows).map(|r| (0..columns).filter(|&c| body.get(c, r)).collect()).collect();
        fill_inside(&mut body, columns, rows);
        let gap = ((GAP_MM / x.cell_mm).ceil() as usize, (GAP_MM / y.cell_mm).ceil() as usize);
        let mut wide = Bits::new(columns + 2 * gap.0, rows + 2 * gap.1);
        for dy in 0..=2 * gap.1 {
            for dx in 0..=2 * gap.0 {
                wide.add(&body, dx, dy);
            }
        }
        Self { columns, rows, body, wide, gap, ink, columns_of: vec![None; x.phases()], pages: vec![None; x.phases() * y.phases()] }
    }

    /// Pages for a place, relative to the column and row of pages that are returned with them.
    fn pages(&mut self, x: Axis, y: Axis, column: usize, row: usize) -> (&Pages, usize, usize) {
        let ((px, page_x), (py, page_y)) = (x.phase(column), y.phase(row));
        let ink = &self.ink;
        let columns_of = &mut self.columns_of[px];
        let pages = self.pages[py * x.phases() + px].get_or_insert_with(|| {
            let columns_of = columns_of.get_or_insert_with(|| {
                ink.iter().map(|cells| cells.iter().fold(0, |bits, c| bits | 1 << x.page(px + c).min(MOST_COLUMNS - 1))).collect()
            });
            let mut pages = vec![0; y.page(py + ink.len().saturating_sub(1)) + 1];
            for (r, columns) in columns_of.iter().enumerate() {
                pages[y.page(py + r)] |= columns;
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

/// Where each piece's box starts, and the size of the sheet.
pub fn pack(shapes: &[Shape], grid: &PageGrid) -> (Vec<Vec2>, Size) {
    let x = Axis::new(grid.live_mm.width, grid.step_mm.width);
    let y = Axis::new(grid.live_mm.height, grid.step_mm.height);
    let mut table = Table { x, y, pieces: shapes.iter().map(|s| Piece::new(s, x, y)).collect() };
    let count = table.pieces.len();
    let widest = table.pieces.iter().map(|p| p.columns).max().unwrap_or(1);
    let least = (1..MOST_COLUMNS).find(|&n| x.cells(n) >= widest).unwrap_or(MOST_COLUMNS);
    // The more pieces there are, the fewer trials: a sheet is packed again at every change.
    let trials = (TRIALS / count.max(1)).clamp(2, 12);

    let sizes: [fn(&Piece) -> usize; 3] = [|p| p.columns * p.rows, |p| p.rows, |p| p.columns];
    let mut found: Vec<Packing> = Vec::new();
    for trial in 0..trials {
        let (by, columns) = (sizes[trial % sizes.len()], least + trial / sizes.len());
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by_key(|&i| std::cmp::Reverse(by(&table.pieces[i])));
        found.extend(table.place_all(&order, columns.min(MOST_COLUMNS)));
    }
    found.sort_by_key(Packing::worth);
    found.truncate(3);
    for packing in &mut found {
        while trials > 2 && table.improve(packing) {}
    }
    let Some(best) = found.into_iter().min_by_key(Packing::worth) else { return in_a_column(shapes) };
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

/// A way to lay all pieces.
struct Packing {
    columns: usize,
    /// Column and row of cells of each piece.
    places: Vec<(usize, usize)>,
    pages: usize,
    page_rows: usize,
    page_columns: usize,
}

impl Packing {
    fn new(columns: usize, places: Vec<(usize, usize)>, laid: &Laid) -> Self {
        let all = laid.drawn.iter().fold(0, |a, b| a | b);
        Self {
            columns,
            places,
            pages: laid.drawn.iter().map(|d| d.count_ones() as usize).sum(),
            page_rows: laid.drawn.iter().rposition(|d| *d != 0).map_or(0, |r| r + 1),
            page_columns: (u64::BITS - all.leading_zeros()) as usize,
        }
    }

    /// Less is better: fewest pages, then the smallest grid.
    fn worth(&self) -> (usize, usize) {
        (self.pages, self.page_rows * self.page_columns)
    }
}

/// What lies on the sheet so far.
struct Laid {
    taken: Bits,
    drawn: Pages,
    used_rows: usize,
}

struct Table {
    x: Axis,
    y: Axis,
    pieces: Vec<Piece>,
}

impl Table {
    /// The room that a piece's gap may need beyond the sheet.
    fn rim(&self) -> (usize, usize) {
        self.pieces.first().map_or((0, 0), |p| p.gap)
    }

    fn empty(&self, columns: usize) -> Laid {
        let rows = self.pieces.iter().map(|p| p.rows + p.gap.1 + self.y.per_step).sum::<usize>() + self.y.lead;
        let rim = self.rim();
        Laid { taken: Bits::new(columns + 2 * rim.0, rows + 2 * rim.1), drawn: vec![0; rows / self.y.per_step + 2], used_rows: 0 }
    }

    fn lay(&mut self, laid: &mut Laid, piece: usize, (column, row): (usize, usize)) {
        let (x, y) = (self.x, self.y);
        let (pages, page_x, page_y) = self.pieces[piece].pages(x, y, column, row);
        for (drawn, columns) in laid.drawn.iter_mut().skip(page_y).zip(pages) {
            *drawn |= columns << page_x;
        }
        let piece = &self.pieces[piece];
        laid.taken.add(&piece.wide, column, row);
        laid.used_rows = laid.used_rows.max(row + piece.rows);
    }

    /// The place that needs the fewest new pages; of equal ones the one that is spread over the fewest, then the
    /// highest, then the leftmost.
    fn best_place(&mut self, laid: &Laid, piece: usize, columns: usize) -> Option<(usize, usize)> {
        let (x, y, rim) = (self.x, self.y, self.rim());
        let piece = &mut self.pieces[piece];
        let last = columns.checked_sub(piece.columns)?;
        let mut best: Option<((u32, u32), (usize, usize))> = None;
        for row in 0..=laid.used_rows + rim.1 + y.per_step {
            for column in 0..=last {
                let (pages, page_x, page_y) = piece.pages(x, y, column, row);
                let here = laid.drawn.iter().skip(page_y).zip(pages);
                let cost = here.fold((0, 0), |(new, all), (drawn, columns)| {
                    (new + ((columns << page_x) & !drawn).count_ones(), all + columns.count_ones())
                });
                if best.is_none_or(|(least, _)| cost < least) && !laid.taken.collides(&piece.body, column + rim.0, row + rim.1) {
                    best = Some((cost, (column, row)));
                }
            }
        }
        best.map(|(_, place)| place)
    }

    fn place_all(&mut self, order: &[usize], page_columns: usize) -> Option<Packing> {
        let columns = self.x.cells(page_columns);
        let mut laid = self.empty(columns);
        let mut places = vec![(0, 0); self.pieces.len()];
        for &i in order {
            places[i] = self.best_place(&laid, i, columns)?;
            self.lay(&mut laid, i, places[i]);
        }
        Some(Packing::new(columns, places, &laid))
    }

    /// Takes up one piece after another and lays it where it does better; whether any did.
    fn improve(&mut self, packing: &mut Packing) -> bool {
        let mut improved = false;
        for i in 0..self.pieces.len() {
            let mut laid = self.empty(packing.columns);
            for k in (0..self.pieces.len()).filter(|k| *k != i) {
                self.lay(&mut laid, k, packing.places[k]);
            }
            let Some(place) = self.best_place(&laid, i, packing.columns) else { continue };
            self.lay(&mut laid, i, place);
            let mut places = packing.places.clone();
            places[i] = place;
            let other = Packing::new(packing.columns, places, &laid);
            if other.worth() < packing.worth() {
                *packing = other;
                improved = true;
            }
        }
        improved
    }
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
