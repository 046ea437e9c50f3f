//! The sheet divided into pages.

use draft_core::PrintSettings;
use kurbo::{Affine, Point, Rect, Shape as _, Size};

use crate::cover;
use crate::coverage::{Coverage, meets};
use crate::drawing::{Drawing, Stroke, TextRun};
use crate::error::PrintError;
use crate::furniture;
use crate::grid::{PageGrid, page_name, row_letters};
use crate::report::{PageReport, PrintReport};
use crate::sheet::Sheet;

/// A flattened line is within this distance of its curve when pages are counted; less than the strip at a page's
/// edge that does not count.
const FLAT_MM: f64 = 0.05;
/// Nobody tapes more pages than this.
const MOST_PAGES: usize = 5000;

/// One printed page of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Tile {
    /// Its number in the PDF, from 1.
    pub page: usize,
    /// Its column, from 0.
    pub column: usize,
    /// Its row, from 0.
    pub row: usize,
    /// What it shows of the sheet.
    pub shows: Rect,
}

impl Tile {
    /// Row letter and column number.
    pub fn name(&self) -> String {
        page_name(self.column, self.row)
    }
}

/// Two printed pages that are taped together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Join {
    /// The letter on both halves of its mark.
    pub letter: String,
    /// Column and row of the page that lies beneath.
    pub first: (usize, usize),
    /// Column and row of the page to its right or below it, which is laid on top.
    pub second: (usize, usize),
}

/// One page as it is printed, in paper millimetres, y down.
#[derive(Clone, Debug)]
pub struct Page {
    /// The paper.
    pub size_mm: Size,
    /// Its name: `map`, `A1`, …
    pub label: String,
    /// What it shows of the sheet; nothing outside `live` is printed.
    pub drawing: Drawing,
    /// The live area.
    pub live: Rect,
    /// Joins, test squares, page names.
    pub furniture: Drawing,
}

/// How the sheet is divided.
#[derive(Clone, Debug)]
pub struct Tiling {
    /// Key of the paper.
    pub paper: String,
    /// Measures of the pages.
    pub grid: PageGrid,
    /// What the test square measured, when a printer is calibrated; millimetres across and down.
    pub measured: Option<[f64; 2]>,
    /// Rows of the grid.
    pub rows: usize,
    /// Columns of the grid.
    pub columns: usize,
    /// The printed pages, row by row.
    pub tiles: Vec<Tile>,
    /// Where they are joined.
    pub joins: Vec<Join>,
    /// Pages of the grid that are not printed, because nothing is drawn there.
    pub blank_left_out: usize,
    /// At least so many pages are needed for the area of the pieces.
    pub lower_bound: usize,
    /// The pages before the first tile: how to put it together; paper millimetres.
    pub covers: Vec<Drawing>,
    /// Flattened lines of each stroke of each piece.
    strokes: Vec<Vec<Flat>>,
}

#[derive(Clone, Debug)]
struct Flat {
    bounds: Rect,
    segments: Vec<[Point; 2]>,
}

impl Flat {
    fn of(stroke: &Stroke) -> Self {
        let single = Drawing { strokes: vec![stroke.clone()], texts: Vec::new() };
        Self { bounds: stroke.path.bounding_box(), segments: single.segments(FLAT_MM) }
    }

    fn meets(&self, rect: Rect) -> bool {
        self.bounds.overlaps(rect) && self.segments.iter().any(|s| meets(*s, rect))
    }
}

impl Tiling {
    /// Divides a sheet.
    ///
    /// # Errors
    /// The settings leave nothing to print on, or the sheet needs more pages than anyone would tape.
    pub fn of(sheet: &Sheet, settings: &PrintSettings) -> Result<Self, PrintError> {
        let grid = PageGrid::of(settings)?;
        // What is drawn, without the rim of the sheet.
        let extent = sheet.pieces.iter().fold(Size::ZERO, |e, p| Size::new(e.width.max(p.bounds.x1), e.height.max(p.bounds.y1)));
        let (columns, rows) = grid.count(extent);
        if columns.saturating_mul(rows) > MOST_PAGES {
            return Err(PrintError::new(
                format!("paper {}", settings.paper.key()),
                format!(
                    "the sheet of {:.1} × {:.1} m would be divided into {columns} × {rows} pages",
                    sheet.size_mm.width / 1000.0,
                    sheet.size_mm.height / 1000.0
                ),
                "Choose a larger paper, or save the whole sheet for a copy shop.",
            ));
        }
        let strokes: Vec<Vec<Flat>> = sheet.pieces.iter().map(|p| p.drawing.strokes.iter().map(Flat::of).collect()).collect();
        let mut coverage = Coverage::new(&grid, columns, rows);
        for segment in strokes.iter().flatten().flat_map(|f| &f.segments) {
            coverage.add(*segment);
        }
        for text in sheet.pieces.iter().flat_map(|p| &p.drawing.texts) {
            let c = text.corners();
            for i in 0..4 {
                coverage.add([c[i], c[(i + 1) % 4]]);
            }
        }
        let needed = coverage.needed();
        let mut tiling = Self {
            paper: settings.paper.key(),
            grid,
            measured: settings.measured.map(|(x, y)| [x.mm(), y.mm()]),
            rows,
            columns,
            tiles: Vec::new(),
            joins: joins(&needed),
            blank_left_out: columns * rows - needed.len(),
            lower_bound: ((sheet.area_mm2() / grid.live_mm.area()).ceil() as usize).max(1),
            covers: Vec::new(),
            strokes,
        };
        tiling.tiles = needed.iter().map(|&(column, row)| Tile { page: 0, column, row, shows: grid.live_rect(column, row) }).collect();
        tiling.covers = cover::draw(sheet, &tiling);
        for (i, tile) in tiling.tiles.iter_mut().enumerate() {
            tile.page = tiling.covers.len() + i + 1;
        }
        Ok(tiling)
    }

    /// The printed page at a column and row from 0.
    pub fn tile(&self, column: usize, row: usize) -> Option<&Tile> {
        self.tiles.iter().find(|t| (t.column, t.row) == (column, row))
    }

    /// Joins of a page.
    pub fn joins_of(&self, tile: &Tile) -> impl Iterator<Item = &Join> {
        let at = (tile.column, tile.row);
        self.joins.iter().filter(move |j| j.first == at || j.second == at)
    }

    /// Straight pieces of all lines and boxes of all text that meet a page, in paper millimetres.
    pub(crate) fn ink_on(&self, sheet: &Sheet, tile: &Tile) -> Vec<[Point; 2]> {
        let to_paper = self.grid.paper_from_sheet(tile.column, tile.row);
        let mut ink = Vec::new();
        let mut add = |s: &[Point; 2]| {
            if meets(*s, tile.shows) {
                ink.push([to_paper * s[0], to_paper * s[1]]);
            }
        };
        for flat in self.strokes.iter().flatten().filter(|f| f.bounds.overlaps(tile.shows)) {
            flat.segments.iter().for_each(&mut add);
        }
        for text in sheet.pieces.iter().flat_map(|p| &p.drawing.texts) {
            let c = text.corners();
            // Through the middle too, so that a box larger than a raster's cell is not taken for empty.
            for s in [[c[0], c[1]], [c[2], c[3]], [c[0], c[3]], [c[1], c[2]], [c[0].midpoint(c[3]), c[1].midpoint(c[2])]] {
                add(&s);
            }
        }
        ink
    }

    /// What one page shows of the sheet, in paper millimetres. Lines are whole: they go on beyond the live area, so
    /// that dashes meet where pages do.
    fn drawing_on(&self, sheet: &Sheet, tile: &Tile) -> Drawing {
        let to_paper = self.grid.paper_from_sheet(tile.column, tile.row);
        let shows = tile.shows.inflate(1.0, 1.0);
        let mut out = Drawing::default();
        for (piece, flats) in sheet.pieces.iter().zip(&self.strokes) {
            for (stroke, flat) in piece.drawing.strokes.iter().zip(flats) {
                if flat.meets(shows) || (stroke.filled && flat.bounds.overlaps(shows)) {
                    out.strokes.push(Stroke { path: to_paper * stroke.path.clone(), ..stroke.clone() });
                }
            }
            for text in piece.drawing.texts.iter().filter(|t| t.bounds().overlaps(shows)) {
                out.texts.push(scaled(text, to_paper));
            }
        }
        out
    }

    /// Every page as it is printed, the map first.
    pub fn pages(&self, sheet: &Sheet) -> Vec<Page> {
        let live = self.grid.live_on_paper();
        let covers = self.covers.iter().enumerate().map(|(i, furniture)| Page {
            size_mm: self.grid.page_mm,
            label: if i == 0 { "map".into() } else { format!("map {}", i + 1) },
            drawing: Drawing::default(),
            live,
            furniture: furniture.clone(),
        });
        let tiles = self.tiles.iter().map(|tile| Page {
            size_mm: self.grid.page_mm,
            label: tile.name(),
            drawing: self.drawing_on(sheet, tile),
            live,
            furniture: furniture::draw(sheet, self, tile),
        });
        covers.chain(tiles).collect()
    }

    /// The report of `print --json`.
    pub fn report(&self) -> PrintReport {
        let size = |s: Size| [s.width, s.height];
        PrintReport {
            paper: self.paper.clone(),
            page_mm: size(self.grid.page_mm),
            live_mm: size(self.grid.live_mm),
            offset_mm: [self.grid.offset_mm.x, self.grid.offset_mm.y],
            step_mm: size(self.grid.step_mm),
            scale: [self.grid.scale.x, self.grid.scale.y],
            rows: self.rows,
            columns: self.columns,
            pages: self
                .tiles
                .iter()
                .map(|t| PageReport { page: t.page, row: row_letters(t.row), column: t.column + 1, rotated: false })
                .collect(),
            blank_left_out: self.blank_left_out,
            lower_bound: self.lower_bound,
        }
    }
}

fn scaled(text: &TextRun, to_paper: Affine) -> TextRun {
    let [_, _, _, scale, ..] = to_paper.as_coeffs();
    TextRun { at: to_paper * text.at, size_mm: text.size_mm * scale, ..text.clone() }
}

/// Joins between printed neighbours, lettered in reading order.
fn joins(pages: &[(usize, usize)]) -> Vec<Join> {
    let mut out = Vec::new();
    for &(column, row) in pages {
        for second in [(column + 1, row), (column, row + 1)] {
            if pages.contains(&second) {
                out.push(Join { letter: row_letters(out.len()).to_lowercase(), first: (column, row), second });
            }
        }
    }
    out
}
