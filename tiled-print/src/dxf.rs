//! The DXF writer: the whole sheet at true scale, one unit a millimetre, in text form.
//!
//! Source: the public description of the format's group codes. Release 12 (`AC1009`) is written, whose polylines every
//! reader knows: curves become straight stretches. Each piece has a layer for each kind of line, named as the groups of
//! the SVG are; what is cut lies on a layer with the name of the piece alone.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use draft_core::geometry;
use kurbo::{BezPath, PathEl, Point};

use crate::drawing::{Stroke, TextRun};
use crate::line::LineKind;
use crate::sheet::{Sheet, SheetPiece};

/// A polyline keeps this close to its curve, millimetres.
pub const FLAT_MM: f64 = 0.02;
/// A layer's name is no longer in this release.
const MOST_LETTERS: usize = 31;

/// The sheet as DXF.
pub fn write(sheet: &Sheet) -> String {
    let mut writer = Writer { out: String::new(), height: sheet.size_mm.height };
    let layers: BTreeSet<(String, bool)> = sheet
        .pieces
        .iter()
        .flat_map(|piece| {
            let own = piece.drawing.strokes.iter().map(|s| (layer(piece, s.kind), !s.kind.pen().dash_mm.is_empty()));
            own.chain([(text_layer(piece), false)]).collect::<Vec<_>>()
        })
        .collect();
    writer.header(sheet);
    writer.tables(&layers);
    writer.pair(0, "SECTION");
    writer.pair(2, "ENTITIES");
    for piece in &sheet.pieces {
        for stroke in &piece.drawing.strokes {
            writer.stroke(&layer(piece, stroke.kind), stroke);
        }
        for text in &piece.drawing.texts {
            writer.text(&text_layer(piece), text);
        }
    }
    writer.pair(0, "ENDSEC");
    writer.pair(0, "EOF");
    writer.out
}

/// Letters, digits and `_ - $` are allowed in a name; the rest becomes `_`.
fn plain(name: &str) -> String {
    name.chars().map(|c| if c.is_ascii_alphanumeric() || c == '-' { c } else { '_' }).collect()
}

fn layer(piece: &SheetPiece, kind: LineKind) -> String {
    if kind == LineKind::Cut { named(piece, "") } else { named(piece, &format!("-{}", kind.key())) }
}

fn text_layer(piece: &SheetPiece) -> String {
    named(piece, "-text")
}

/// A layer's name: that of the piece, with its number where it had to be cut short, and what is on it.
fn named(piece: &SheetPiece, what: &str) -> String {
    let own = plain(&piece.name);
    let room = MOST_LETTERS - what.len();
    let own = if own.len() <= room { own } else { format!("{}_{}", &own[..room.saturating_sub(4)], piece.number) };
    own + what
}

struct Writer {
    out: String,
    /// y grows upward in a DXF.
    height: f64,
}

impl Writer {
    fn pair(&mut self, code: u32, value: &str) {
        // Writing to a string can't fail.
        let _ = write!(self.out, "{code:>3}\n{value}\n");
    }

    fn number(&mut self, code: u32, value: f64) {
        // A hundred-thousandth of a millimetre, and never a negative nought.
        let value = (value * 1e5).round() / 1e5 + 0.0;
        let _ = write!(self.out, "{code:>3}\n{value:?}\n");
    }

    fn point(&mut self, code: u32, at: Point) {
        self.number(code, at.x);
        self.number(code + 10, self.height - at.y);
        self.number(code + 20, 0.0);
    }

    fn header(&mut self, sheet: &Sheet) {
        self.pair(999, &escaped(&sheet.title()));
        self.pair(0, "SECTION");
        self.pair(2, "HEADER");
        self.pair(9, "$ACADVER");
        self.pair(1, "AC1009");
        // Millimetres; this release's own readers know only metric or not.
        self.pair(9, "$INSUNITS");
        self.pair(70, "4");
        self.pair(9, "$MEASUREMENT");
        self.pair(70, "1");
        self.pair(9, "$EXTMIN");
        self.point(10, Point::new(0.0, sheet.size_mm.height));
        self.pair(9, "$EXTMAX");
        self.point(10, Point::new(sheet.size_mm.width, 0.0));
        self.pair(0, "ENDSEC");
    }

    fn tables(&mut self, layers: &BTreeSet<(String, bool)>) {
        self.pair(0, "SECTION");
        self.pair(2, "TABLES");
        self.pair(0, "TABLE");
        self.pair(2, "LTYPE");
        self.pair(70, "2");
        for (name, about, dashes) in [("CONTINUOUS", "continuous", &[][..]), ("DASHED", "dashed", &[3.0, -1.5][..])] {
            self.pair(0, "LTYPE");
            self.pair(2, name);
            self.pair(70, "0");
            self.pair(3, about);
            self.pair(72, "65");
            self.pair(73, &dashes.len().to_string());
            self.number(40, dashes.iter().map(|d: &f64| d.abs()).sum());
            for dash in dashes {
                self.number(49, *dash);
            }
        }
        self.pair(0, "ENDTAB");
        self.pair(0, "TABLE");
        self.pair(2, "LAYER");
        self.pair(70, &layers.len().to_string());
        for (name, dashed) in layers {
            self.pair(0, "LAYER");
            self.pair(2, name);
            self.pair(70, "0");
            self.pair(62, "7");
            self.pair(6, if *dashed { "DASHED" } else { "CONTINUOUS" });
        }
        self.pair(0, "ENDTAB");
        self.pair(0, "ENDSEC");
    }

    fn stroke(&mut self, layer: &str, stroke: &Stroke) {
        for (run, closed) in runs(&stroke.path) {
            let mut points = geometry::flattened(&run, FLAT_MM);
            if closed && points.len() > 2 && points.first().zip(points.last()).is_some_and(|(a, b)| a.distance(*b) < 1e-6) {
                points.pop();
            }
            if points.len() < 2 || points.iter().any(|p| !p.is_finite()) {
                continue;
            }
            self.pair(0, "POLYLINE");
            self.pair(8, layer);
            self.pair(66, "1");
            self.point(10, Point::new(0.0, self.height));
            self.pair(70, if closed { "1" } else { "0" });
            for point in points {
                self.pair(0, "VERTEX");
                self.pair(8, layer);
                self.point(10, point);
            }
            self.pair(0, "SEQEND");
            self.pair(8, layer);
        }
    }

    fn text(&mut self, layer: &str, text: &TextRun) {
        self.pair(0, "TEXT");
        self.pair(8, layer);
        self.point(10, text.at);
        // The height of a text is that of its capitals.
        self.number(40, text.size_mm * crate::font::CAPITAL);
        self.pair(1, &escaped(&text.text));
        self.number(50, -text.angle_rad.to_degrees());
    }
}

/// Each run of a path, and whether it is closed.
fn runs(path: &BezPath) -> Vec<(BezPath, bool)> {
    let mut out: Vec<(BezPath, bool)> = Vec::new();
    for el in path.elements() {
        match (el, out.last_mut()) {
            (PathEl::MoveTo(_), _) => out.push((BezPath::from_vec(vec![*el]), false)),
            (PathEl::ClosePath, Some(run)) => run.1 = true,
            (_, Some(run)) => run.0.push(*el),
            (_, None) => {}
        }
    }
    out
}

/// What is beyond ASCII as the format writes it, `\U+00D7`; no line may be broken.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            c if c.is_control() => out.push(' '),
            c if c.is_ascii() => out.push(c),
            c => {
                let _ = write!(out, "\\U+{:04X}", u32::from(c));
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_words_keep_to_what_the_format_allows() {
        assert_eq!(escaped("12 × ½\n"), "12 \\U+00D7 \\U+00BD ");
        assert_eq!(plain("over-sleeve, left"), "over-sleeve__left");
    }
}
