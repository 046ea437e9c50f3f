//! How pages lie on the sheet: live area, step and scale.

use draft_core::PrintSettings;
use kurbo::{Point, Rect, Size, Vec2};

use crate::error::PrintError;
use crate::paper::LONGEST_SIDE_MM;

/// The least live area on which a page can be read and taped, each way.
pub const LEAST_LIVE_MM: f64 = 60.0;

/// Within this much of nominal a printer is calibrated; further off something else is wrong.
const CALIBRATION: std::ops::RangeInclusive<f64> = 95.0..=105.0;

/// The pages' measures. Sheet lengths are true lengths; paper lengths are what is written to the file, and differ
/// from them by `scale` when a printer is calibrated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PageGrid {
    /// The paper as it lies, paper millimetres.
    pub page_mm: Size,
    /// Where the live area starts on the paper, paper millimetres.
    pub offset_mm: Vec2,
    /// What one page shows of the sheet, the overlap included; sheet millimetres.
    pub live_mm: Size,
    /// From one page to the next; sheet millimetres.
    pub step_mm: Size,
    /// Paper millimetres for one sheet millimetre, across and down.
    pub scale: Vec2,
}

impl PageGrid {
    /// The grid that the settings give.
    ///
    /// # Errors
    /// Paper, margin, overlap or calibration leave nothing to print on.
    pub fn of(settings: &PrintSettings) -> Result<Self, PrintError> {
        let (upright_w, upright_h) = settings.paper.size();
        let (mut width, mut height) = (upright_w.mm(), upright_h.mm());
        if settings.landscape {
            (width, height) = (height, width);
        }
        let name = settings.paper.key();
        let place = format!("paper {name}");
        if width.min(height) <= 0.0 {
            return Err(PrintError::new(place, "has no area", "Choose a paper such as a4 or letter."));
        }
        if width.max(height) > LONGEST_SIDE_MM {
            let problem = format!("is longer than {LONGEST_SIDE_MM:.0} mm, the longest page that PDF readers open");
            return Err(PrintError::new(place, problem, "Choose a shorter paper; the sheet is divided into as many pages as it needs."));
        }
        let margin = settings.margin.mm();
        if margin < 0.0 {
            return Err(PrintError::new(
                "margin",
                format!("{margin:.1} mm is less than nothing"),
                "Give 0 mm or more; most printers need 5 to 13 mm.",
            ));
        }
        let (live_w, live_h) = (width - 2.0 * margin, height - 2.0 * margin);
        if live_w < LEAST_LIVE_MM || live_h < LEAST_LIVE_MM {
            if width.min(height) < LEAST_LIVE_MM + 10.0 {
                let problem = format!("at {width:.0} × {height:.0} mm is too small to tape pages of it together");
                return Err(PrintError::new(place, problem, "Choose a larger paper, such as a4 or letter."));
            }
            let problem = format!(
                "of {margin:.1} mm on each side leaves {:.1} × {:.1} mm of {name} to print on, and at least {LEAST_LIVE_MM:.0} mm each way are needed",
                live_w.max(0.0),
                live_h.max(0.0)
            );
            let most = (width.min(height) - LEAST_LIVE_MM) / 2.0;
            return Err(PrintError::new("margin", problem, format!("Give a margin of at most {most:.0} mm, or choose a larger paper.")));
        }
        let measured = settings.measured.map_or(Vec2::new(100.0, 100.0), |(x, y)| Vec2::new(x.mm(), y.mm()));
        if !CALIBRATION.contains(&measured.x) || !CALIBRATION.contains(&measured.y) {
            let problem = format!("a test square of 100 mm that measures {:.1} × {:.1} mm is more than 5 % off", measured.x, measured.y);
            return Err(PrintError::new(
                "calibration",
                problem,
                "Check the number and the ruler, and that the test page was printed at actual size (100 %); then measure again.",
            ));
        }
        let scale = Vec2::new(100.0 / measured.x, 100.0 / measured.y);
        let live_mm = Size::new(live_w / scale.x, live_h / scale.y);
        let overlap = settings.overlap.mm();
        if overlap < 0.0 {
            return Err(PrintError::new(
                "overlap",
                format!("{overlap:.1} mm is less than nothing"),
                "Give 0 mm or more; 10 to 15 mm glue well.",
            ));
        }
        let most = live_mm.width.min(live_mm.height) / 2.0;
        if overlap > most {
            let problem =
                format!("of {overlap:.1} mm is more than half of the {:.1} × {:.1} mm that a page shows", live_mm.width, live_mm.height);
            return Err(PrintError::new("overlap", problem, format!("Give at most {:.0} mm; 10 to 15 mm glue well.", most.floor())));
        }
        Ok(Self {
            page_mm: Size::new(width, height),
            offset_mm: Vec2::new(margin, margin),
            live_mm,
            step_mm: Size::new(live_mm.width - overlap, live_mm.height - overlap),
            scale,
        })
    }

    /// The strip that neighbouring pages share, sheet millimetres.
    pub fn overlap_mm(&self) -> f64 {
        self.live_mm.width - self.step_mm.width
    }

    /// Columns and rows of pages that cover a sheet.
    pub fn count(&self, sheet: Size) -> (usize, usize) {
        let along = |length: f64, live: f64, step: f64| 1 + ((length - live) / step - 1e-9).ceil().max(0.0) as usize;
        (along(sheet.width, self.live_mm.width, self.step_mm.width), along(sheet.height, self.live_mm.height, self.step_mm.height))
    }

    /// What a page shows of the sheet; column and row from 0.
    pub fn live_rect(&self, column: usize, row: usize) -> Rect {
        let at = Point::new(column as f64 * self.step_mm.width, row as f64 * self.step_mm.height);
        Rect::from_origin_size(at, self.live_mm)
    }

    /// Sheet to paper, for one page.
    pub fn paper_from_sheet(&self, column: usize, row: usize) -> kurbo::Affine {
        let start = self.live_rect(column, row).origin().to_vec2();
        kurbo::Affine::translate(self.offset_mm)
            * kurbo::Affine::scale_non_uniform(self.scale.x, self.scale.y)
            * kurbo::Affine::translate(-start)
    }

    /// The live area on the paper, paper millimetres.
    pub fn live_on_paper(&self) -> Rect {
        let size = Size::new(self.live_mm.width * self.scale.x, self.live_mm.height * self.scale.y);
        Rect::from_origin_size(self.offset_mm.to_point(), size)
    }
}

/// Row letter and column number of a page, both counted from 0: `A1`, `B3`, `AA12`.
pub fn page_name(column: usize, row: usize) -> String {
    format!("{}{}", row_letters(row), column + 1)
}

/// `A` … `Z`, `AA`, `AB` …, counted from 0.
pub fn row_letters(row: usize) -> String {
    let mut n = row + 1;
    let mut letters = Vec::new();
    while n > 0 {
        n -= 1;
        letters.push(char::from(b'A' + (n % 26) as u8));
        n /= 26;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed test may panic")]
    use super::*;
    use draft_core::Length;
    use draft_core::print_settings::Paper;

    fn mm(v: f64) -> Length {
        Length::from_mm(v)
    }

    #[test]
    fn rows_go_on_after_z() {
        let names: Vec<_> = [0, 25, 26, 27, 51, 52, 701, 702].into_iter().map(row_letters).collect();
        assert_eq!(names, ["A", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA"]);
    }

    #[test]
    fn a4_with_the_default_margins() {
        let grid = PageGrid::of(&PrintSettings::default()).unwrap();
        assert_eq!(grid.live_mm, Size::new(190.0, 277.0));
        assert_eq!(grid.step_mm, Size::new(178.0, 265.0));
        assert_eq!(grid.count(Size::new(190.0, 277.0)), (1, 1));
        assert_eq!(grid.count(Size::new(190.1, 277.0 + 265.0)), (2, 2));
    }

    #[test]
    fn calibration_scales_each_axis_for_itself() {
        let settings = PrintSettings { measured: Some((mm(99.2), mm(100.4))), ..PrintSettings::default() };
        let grid = PageGrid::of(&settings).unwrap();
        // Printed at 99.2 %, a length made 100/99.2 too long comes out true.
        assert!((grid.scale.x * 99.2 - 100.0).abs() < 1e-9 && (grid.scale.y * 100.4 - 100.0).abs() < 1e-9);
        assert!((grid.live_on_paper().width() - 190.0).abs() < 1e-9);
    }

    #[test]
    fn what_leaves_nothing_to_print_on_is_refused() {
        let base = PrintSettings::default();
        let tiny = Paper::Other { width: mm(55.0), height: mm(80.0) };
        let roll = Paper::Other { width: mm(914.0), height: mm(6000.0) };
        for (settings, place) in [
            (PrintSettings { margin: mm(100.0), ..base.clone() }, "margin"),
            (PrintSettings { margin: mm(-1.0), ..base.clone() }, "margin"),
            (PrintSettings { overlap: mm(96.0), ..base.clone() }, "overlap"),
            (PrintSettings { overlap: mm(-0.1), ..base.clone() }, "overlap"),
            (PrintSettings { paper: tiny, ..base.clone() }, "paper 55x80mm"),
            (PrintSettings { paper: roll, ..base.clone() }, "paper 914x6000mm"),
            (PrintSettings { measured: Some((mm(94.9), mm(100.0))), ..base.clone() }, "calibration"),
            (PrintSettings { measured: Some((mm(100.0), mm(105.1))), ..base }, "calibration"),
        ] {
            let error = PageGrid::of(&settings).unwrap_err();
            assert_eq!(error.place, place);
            assert!(!error.problem.is_empty() && error.remedy.ends_with('.'));
        }
    }
}
