//! Kinds of line, told apart by weight and dash, never by colour alone.

use serde::Serialize;

/// Optional-content groups of a PDF, and groups of a drawing on the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub enum Layer {
    /// What belongs to the page and not to the drawing: joins, test squares, page names.
    Furniture,
    /// Cut lines and folds.
    CutLines,
    /// Seam lines and darts.
    SeamLines,
    /// Grain, notches, marked lines and points, labels.
    Marks,
}

impl Layer {
    /// All of them, in the order in which they are drawn.
    pub const ALL: [Self; 4] = [Self::Furniture, Self::CutLines, Self::SeamLines, Self::Marks];

    /// Its name in the PDF.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Furniture => "furniture",
            Self::CutLines => "cut lines",
            Self::SeamLines => "seam lines",
            Self::Marks => "marks",
        }
    }
}

/// What a line means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub enum LineKind {
    /// Where the scissors go.
    Cut,
    /// Where it is sewn.
    Seam,
    /// Laid on the fold of the cloth.
    Fold,
    /// A dart's legs and tip.
    Dart,
    /// The grain line with its arrowheads.
    Grain,
    /// The bracket that points at the fold.
    FoldBracket,
    /// A notch, across the allowance.
    Notch,
    /// Bust line, hip line and their like.
    Marked,
    /// A small cross at a marked point.
    Point,
    /// A test square, on the page.
    TestSquare,
    /// The edge along which a page is trimmed.
    Trim,
    /// The line on which the next page is laid.
    LayOn,
    /// Slanting strokes on a glue strip.
    Glue,
    /// Half of a join mark.
    Join,
    /// Corners of a page's live area, rules and boxes.
    Thin,
    /// Pieces drawn small on the assembly map.
    Map,
    /// The colour of the paper, to clear a place for a number.
    Paper,
    /// The outline of the body on the measuring sheet.
    Figure,
    /// Where the tape goes on it.
    Tape,
    /// From a number to its tape.
    Leader,
    /// A box or ring to write or read a number in.
    Box,
}

/// How a kind of line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Weight in millimetres.
    pub width_mm: f64,
    /// Dash, gap, dash, gap … in millimetres; empty for a continuous line.
    pub dash_mm: &'static [f64],
    /// From 0, black, to 1, paper.
    pub grey: f64,
}

impl LineKind {
    /// The drawing's own kinds, in the order in which they are drawn.
    pub const OF_PIECES: [Self; 9] =
        [Self::Cut, Self::Fold, Self::Seam, Self::Dart, Self::Grain, Self::FoldBracket, Self::Notch, Self::Marked, Self::Point];

    /// Weight and dashes.
    ///
    /// Line types after ISO 128-2 (01 continuous, 02 dashed, 07 dotted, 04 long-dashed dotted for axes of symmetry,
    /// 05 long-dashed double-dotted), wide and narrow lines in the ratio of two to one. The standard's dash lengths
    /// are multiples of the line's width; from memory, and shortened where a line on cloth is followed by eye.
    pub const fn pen(self) -> Pen {
        const fn pen(width_mm: f64, dash_mm: &'static [f64], grey: f64) -> Pen {
            Pen { width_mm, dash_mm, grey }
        }
        match self {
            Self::Cut => pen(0.5, &[], 0.0),
            Self::Seam => pen(0.25, &[3.0, 1.0], 0.0),
            Self::Fold => pen(0.5, &[10.0, 1.5, 0.5, 1.5], 0.0),
            Self::Dart => pen(0.25, &[1.0, 1.0], 0.0),
            Self::Grain | Self::FoldBracket | Self::Point => pen(0.25, &[], 0.0),
            Self::Notch => pen(0.5, &[], 0.0),
            Self::Marked => pen(0.18, &[6.0, 1.0, 0.4, 1.0, 0.4, 1.0], 0.0),
            Self::TestSquare => pen(0.2, &[], 0.0),
            Self::Trim => pen(0.15, &[], 0.35),
            Self::LayOn => pen(0.3, &[0.6, 1.4], 0.35),
            Self::Glue => pen(0.15, &[], 0.7),
            Self::Join | Self::Thin => pen(0.18, &[], 0.35),
            Self::Map => pen(0.25, &[], 0.0),
            Self::Paper => pen(0.0, &[], 1.0),
            Self::Figure => pen(0.5, &[], 0.45),
            Self::Tape => pen(0.6, &[], 0.0),
            Self::Leader => pen(0.12, &[], 0.3),
            Self::Box => pen(0.25, &[], 0.0),
        }
    }

    /// Where it belongs.
    pub const fn layer(self) -> Layer {
        match self {
            Self::Cut | Self::Fold => Layer::CutLines,
            Self::Seam | Self::Dart => Layer::SeamLines,
            Self::Grain | Self::FoldBracket | Self::Notch | Self::Marked | Self::Point => Layer::Marks,
            Self::TestSquare
            | Self::Trim
            | Self::LayOn
            | Self::Glue
            | Self::Join
            | Self::Thin
            | Self::Map
            | Self::Paper
            | Self::Figure
            | Self::Tape
            | Self::Leader
            | Self::Box => Layer::Furniture,
        }
    }

    /// Its key in SVG group ids.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Cut => "cut-line",
            Self::Seam => "seam-line",
            Self::Fold => "fold-line",
            Self::Dart => "darts",
            Self::Grain => "grain-line",
            Self::FoldBracket => "fold-bracket",
            Self::Notch => "notches",
            Self::Marked => "marked-lines",
            Self::Point => "marked-points",
            Self::TestSquare => "test-squares",
            Self::Trim => "trim-lines",
            Self::LayOn => "laying-lines",
            Self::Glue => "glue-strips",
            Self::Join => "join-marks",
            Self::Thin => "rules",
            Self::Map => "map",
            Self::Paper => "clearings",
            Self::Figure => "figure",
            Self::Tape => "tapes",
            Self::Leader => "leaders",
            Self::Box => "boxes",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_that_meet_on_a_piece_differ_without_colour() {
        let outlines = [LineKind::Cut, LineKind::Seam, LineKind::Fold, LineKind::Dart, LineKind::Marked, LineKind::Grain];
        for (i, a) in outlines.iter().enumerate() {
            for b in &outlines[i + 1..] {
                let (p, q) = (a.pen(), b.pen());
                assert!(p.width_mm != q.width_mm || p.dash_mm != q.dash_mm, "{a:?} looks like {b:?}");
            }
        }
    }
}
