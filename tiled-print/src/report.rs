//! The report of `print --json`.

use serde::Serialize;

/// How the pages lie on the sheet: enough to put them together again.
///
/// Page *p* shows the rectangle of the sheet that starts at `(column − 1, row − 1) × step_mm` and is `live_mm` large.
/// It stands on the paper at `offset_mm`, enlarged by `scale`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PrintReport {
    /// Key of the paper: `a4`.
    pub paper: String,
    /// The paper as it lies, millimetres across and down.
    pub page_mm: [f64; 2],
    /// What a page shows of the sheet, the overlap included; sheet millimetres.
    pub live_mm: [f64; 2],
    /// Where that starts on the paper; paper millimetres.
    pub offset_mm: [f64; 2],
    /// From one page to the next; sheet millimetres.
    pub step_mm: [f64; 2],
    /// Paper millimetres for one sheet millimetre, across and down: 1 unless a printer is calibrated.
    pub scale: [f64; 2],
    /// Rows of the grid.
    pub rows: usize,
    /// Columns of the grid.
    pub columns: usize,
    /// The printed pages of the sheet, row by row. The pages before the first of them hold the assembly map.
    pub pages: Vec<PageReport>,
    /// Pages of the grid that have no drawing of their own and are not printed.
    pub blank_left_out: usize,
    /// No arrangement of the pieces needs fewer pages than their area divided by the live area.
    pub lower_bound: usize,
}

/// One printed page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PageReport {
    /// Its number in the PDF, from 1.
    pub page: usize,
    /// Its row's letter.
    pub row: String,
    /// Its column, from 1.
    pub column: usize,
    /// Whether the sheet lies turned on it by a quarter.
    pub rotated: bool,
}
