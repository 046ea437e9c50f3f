//! The sheet: all pieces of a garment on one true-scale drawing.

use draft_core::{Built, Garment, PrintSettings};
use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Size};

use crate::drawing::Drawing;
use crate::error::PrintError;
use crate::grid::PageGrid;
use crate::label::{Label, cut_text, short};
use crate::line::LineKind;
use crate::marks;
use crate::pack::{self, Shape};

/// A flattened line is within this distance of its curve.
const FLAT_MM: f64 = 0.1;
/// Longer than any cloth a piece is cut from.
const LONGEST_PIECE_MM: f64 = 20_000.0;

/// One piece on the sheet.
#[derive(Clone, Debug)]
pub struct SheetPiece {
    /// Its name, as the maker knows it.
    pub name: String,
    /// Its number on the labels, from 1.
    pub number: usize,
    /// How often it is cut: `cut 2, a mirrored pair`.
    pub cut: String,
    /// Lines and text, in sheet millimetres.
    pub drawing: Drawing,
    /// The box round all of it.
    pub bounds: Rect,
    /// From the piece's own coordinates to the sheet's.
    pub sheet_from_piece: Affine,
    /// Area of paper inside its cut line, or its seam line where no cut line is drawn; square millimetres.
    pub area_mm2: f64,
}

/// All pieces of a garment on one drawing at true scale, in millimetres, y down, from the corner at the origin.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The garment's name.
    pub garment: String,
    /// The wearer's name.
    pub wearer: String,
    /// The day of the last change, or empty.
    pub dated: String,
    /// The pieces, in the order of the garment.
    pub pieces: Vec<SheetPiece>,
    /// Its extent.
    pub size_mm: Size,
    /// Calm words about what can hurt, to be printed with the pages.
    pub cautions: Vec<String>,
}

impl Sheet {
    /// Draws and places the pieces, with respect to the pages of the garment's print settings. When these allow no
    /// pages, those of the default settings stand in: a sheet can always be saved whole.
    ///
    /// # Errors
    /// There is no piece, no line to draw, or a piece is of no size that can be cut.
    pub fn of(garment: &Garment, built: &Built) -> Result<Self, PrintError> {
        let settings = &garment.print;
        if built.draft.pieces.is_empty() {
            return Err(PrintError::new("sheet", "the garment has no pieces yet, so there is nothing to print", "Draft a block first."));
        }
        if !settings.cut_lines && !settings.seam_lines {
            return Err(PrintError::new("sheet", "both cut lines and seam lines are switched off", "Switch on at least one of them."));
        }
        let grid = PageGrid::of(settings).or_else(|_| PageGrid::of(&PrintSettings::default()))?;

        let count = built.draft.pieces.len();
        let mut drafts: Vec<(Drawing, Affine)> = Vec::with_capacity(count);
        let mut shapes = Vec::with_capacity(count);
        for (piece, cut_line) in built.pieces() {
            let turn = marks::upright(piece);
            let drawing = marks::draw(piece, cut_line, settings, turn);
            let refuse = |problem: String| {
                PrintError::new(format!("piece {}", piece.name()), problem, "Check the measurements and settings that it is drafted from.")
            };
            let bounds = drawing.bounds().ok_or_else(|| refuse("has no line to draw".into()))?;
            if !bounds.is_finite() {
                return Err(refuse("has a line that goes on for ever".into()));
            }
            if bounds.width().max(bounds.height()) > LONGEST_PIECE_MM {
                return Err(refuse(format!(
                    "is {:.1} × {:.1} m, and no piece longer than {:.0} m is printed",
                    bounds.width() / 1000.0,
                    bounds.height() / 1000.0,
                    LONGEST_PIECE_MM / 1000.0
                )));
            }
            shapes.push(Shape { ink: drawing.segments(FLAT_MM), bounds });
            drafts.push((drawing, turn));
        }
        let (starts, size_mm) = pack::pack(&shapes, &grid);

        let mut pieces = Vec::with_capacity(count);
        for (i, (((piece, cut_line), (mut drawing, turn)), by)) in built.pieces().zip(drafts).zip(starts).enumerate() {
            drawing.translate(by);
            let sheet_from_piece = Affine::translate(by) * turn;
            let flat = |path: &BezPath| {
                let mut outline = Drawing::default();
                outline.stroke(LineKind::Seam, sheet_from_piece * path.clone());
                outline.segments(FLAT_MM)
            };
            let seam = flat(&piece.outline());
            let cut = if settings.cut_lines { flat(cut_line) } else { seam.clone() };
            let ink = drawing.segments(FLAT_MM);
            let label = Label::of(garment, built, piece, i + 1, count);
            drawing.texts.extend(label.placed(&seam, &cut, &ink, page_score(&grid, &seam, &ink)).texts);
            let bounds = drawing.bounds().unwrap_or_default();
            let area = if settings.cut_lines { cut_line.area() } else { piece.outline().area() };
            pieces.push(SheetPiece {
                name: short(piece.name().as_str()),
                number: i + 1,
                cut: cut_text(piece.cut(), piece.fold().is_some()),
                drawing,
                bounds,
                sheet_from_piece,
                area_mm2: area.abs(),
            });
        }
        // A label that had to stick out of its piece must still be on the sheet.
        let far = pieces.iter().fold(size_mm, |s, p| Size::new(s.width.max(p.bounds.x1), s.height.max(p.bounds.y1)));
        let cautions = built
            .messages
            .iter()
            .filter(|m| m.grade == draft_core::Grade::Caution)
            .map(|m| format!("{}: {}. {}", m.place, m.problem, m.remedy))
            .collect();
        Ok(Self {
            garment: short(&garment.name),
            wearer: short(&garment.wearer.name),
            dated: short(&garment.dated),
            pieces,
            size_mm: far,
            cautions,
        })
    }

    /// Area of paper inside all outlines, square millimetres.
    pub fn area_mm2(&self) -> f64 {
        self.pieces.iter().map(|p| p.area_mm2).sum()
    }

    /// `The Weathervane, for Marit Solvang`.
    pub fn title(&self) -> String {
        match (self.garment.as_str(), self.wearer.as_str()) {
            ("", "") => "Garment".into(),
            (g, "") => g.into(),
            ("", w) => format!("Garment for {w}"),
            (g, w) => format!("{g}, for {w}"),
        }
    }
}

/// How well a place suits a label: near the middle of its piece, on one page, and on a page that is printed anyway.
fn page_score<'a>(grid: &'a PageGrid, outline: &[[Point; 2]], ink: &'a [[Point; 2]]) -> impl Fn(Rect) -> f64 + 'a {
    let page = |p: Point| {
        let along = |v: f64, step: f64| (v / step).floor().max(0.0) as usize;
        (along(p.x, grid.step_mm.width), along(p.y, grid.step_mm.height))
    };
    let mut drawn: Vec<(usize, usize)> = ink
        .iter()
        .flat_map(|[a, b]| {
            let steps = ((*b - *a).hypot() / 20.0).ceil().max(1.0) as usize;
            (0..=steps).map(move |i| page(a.lerp(*b, i as f64 / steps as f64)))
        })
        .collect();
    drawn.sort_unstable();
    drawn.dedup();
    let middle = outline.iter().fold(Point::ZERO, |m, s| m + s[0].to_vec2() / outline.len().max(1) as f64);
    move |rect: Rect| {
        let (column, row) = page(Point::new(rect.x1, rect.y1));
        // On the part of the page that stays in sight when the next pages are laid on it.
        let shown = Rect::from_origin_size(grid.live_rect(column, row).origin(), grid.step_mm);
        let whole = shown.union(rect) == shown;
        let known = drawn.binary_search(&(column, row)).is_ok();
        rect.center().distance(middle) + if whole { 0.0 } else { 2000.0 } + if known { 0.0 } else { 5000.0 }
    }
}
