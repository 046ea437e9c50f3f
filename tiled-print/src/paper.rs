//! Paper sizes in the unit of PDF.

pub use draft_core::print_settings::Paper;

/// Millimetres in a point, the unit of PDF user space: 1/72 of an inch (ISO 32000-1, 8.3.2.3).
pub const MM_PER_POINT: f64 = 25.4 / 72.0;

/// The longest side of a PDF page that readers accept: 14 400 points (ISO 32000-1, annex C.2).
pub const LONGEST_SIDE_MM: f64 = 14_400.0 * MM_PER_POINT;

/// A length in points.
pub fn points(mm: f64) -> f64 {
    mm / MM_PER_POINT
}

/// Width and height of a paper in points, upright.
pub fn size_pt(paper: Paper) -> [f64; 2] {
    let (width, height) = paper.size();
    [points(width.mm()), points(height.mm())]
}
