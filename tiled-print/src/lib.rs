//! From the pieces of a garment to paper: one true-scale sheet, divided into pages, and its writers.
//!
//! [`Sheet::of`] draws and places the pieces; [`Tiling::of`] divides the sheet into pages; [`pdf`], [`svg`] and [`dxf`] write
//! what these have decided, and decide nothing themselves. Lengths are millimetres, y grows downward; only the PDF
//! writer turns it over.

mod cover;
mod coverage;
pub mod drawing;
pub mod dxf;
mod error;
mod flow;
pub mod font;
mod free_space;
mod furniture;
pub mod grid;
pub mod label;
pub mod lay_plan;
pub mod line;
mod marks;
pub mod measure_sheet;
mod pack;
pub mod paper;
pub mod pdf;
pub mod read;
mod report;
mod sheet;
pub mod svg;
mod tile;
pub mod work_sheet;

pub use drawing::{Drawing, Stroke, TextRun};
pub use error::PrintError;
pub use grid::PageGrid;
pub use line::{Layer, LineKind, Pen};
pub use measure_sheet::MeasureSheet;
pub use paper::Paper;
pub use report::{PageReport, PrintReport};
pub use sheet::{Sheet, SheetPiece};
pub use tile::{Join, Page, Tile, Tiling};
pub use work_sheet::WorkSheet;
