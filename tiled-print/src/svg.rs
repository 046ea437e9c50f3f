//! The SVG writer: the whole sheet at true scale, one unit a millimetre.

use std::collections::BTreeMap;
use std::fmt::Write;

use kurbo::{BezPath, PathEl};

use crate::drawing::{Stroke, TextRun};
use crate::font;
use crate::line::LineKind;
use crate::sheet::Sheet;

/// The sheet as SVG: a group for each piece, in it one for each kind of line, with ids made from their names.
pub fn write(sheet: &Sheet) -> String {
    let (w, h) = (number(sheet.size_mm.width), number(sheet.size_mm.height));
    let mut out = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n<title>{}</title>\n",
        escaped(&sheet.title())
    );
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    for piece in &sheet.pieces {
        let mut id = id_of(&piece.name);
        let times = known.entry(id.clone()).or_insert(0);
        *times += 1;
        if *times > 1 {
            id = format!("{id}_{times}");
        }
        put(&mut out, format_args!("<g id=\"{id}\">\n<title>{}</title>\n", escaped(&piece.name)));
        for kind in LineKind::OF_PIECES {
            let strokes: Vec<&Stroke> = piece.drawing.strokes.iter().filter(|s| s.kind == kind).collect();
            if !strokes.is_empty() {
                group(&mut out, &id, kind, &strokes);
            }
        }
        if !piece.drawing.texts.is_empty() {
            put(&mut out, format_args!("<g id=\"{id}-text\" font-family=\"{}, sans-serif\">\n", font::FAMILY));
            for text in &piece.drawing.texts {
                put_text(&mut out, text);
            }
            out.push_str("</g>\n");
        }
        out.push_str("</g>\n");
    }
    out.push_str("</svg>\n");
    out
}

fn put(out: &mut String, what: std::fmt::Arguments<'_>) {
    // Writing to a string can't fail.
    let _ = out.write_fmt(what);
}

fn group(out: &mut String, id: &str, kind: LineKind, strokes: &[&Stroke]) {
    let pen = kind.pen();
    let grey = colour(pen.grey);
    put(out, format_args!("<g id=\"{id}-{}\" fill=\"none\" stroke=\"{grey}\" stroke-width=\"{}\"", kind.key(), number(pen.width_mm)));
    if !pen.dash_mm.is_empty() {
        let dashes: Vec<String> = pen.dash_mm.iter().map(|d| number(*d)).collect();
        put(out, format_args!(" stroke-dasharray=\"{}\"", dashes.join(" ")));
    }
    out.push_str(">\n");
    for stroke in strokes {
        let Some(d) = path_data(&stroke.path) else { continue };
        if stroke.filled {
            put(out, format_args!("<path fill=\"{grey}\" stroke=\"none\" d=\"{d}\"/>\n"));
        } else {
            put(out, format_args!("<path d=\"{d}\"/>\n"));
        }
    }
    out.push_str("</g>\n");
}

fn put_text(out: &mut String, text: &TextRun) {
    let (x, y, size) = (number(text.at.x), number(text.at.y), number(text.size_mm));
    put(out, format_args!("<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" fill=\"{}\"", colour(text.grey)));
    if text.angle_rad.abs() > 1e-9 {
        put(out, format_args!(" transform=\"rotate({} {x} {y})\"", number(text.angle_rad.to_degrees())));
    }
    put(out, format_args!(">{}</text>\n", escaped(&text.text)));
}

/// Path data with ten-thousandths of a millimetre; `None` when a coordinate is no number.
fn path_data(path: &BezPath) -> Option<String> {
    if !path.is_finite() {
        return None;
    }
    let mut d = String::new();
    for el in path.elements() {
        let points: &[kurbo::Point] = match el {
            PathEl::MoveTo(p) => {
                d.push('M');
                &[*p]
            }
            PathEl::LineTo(p) => {
                d.push('L');
                &[*p]
            }
            PathEl::QuadTo(a, p) => {
                d.push('Q');
                &[*a, *p]
            }
            PathEl::CurveTo(a, b, p) => {
                d.push('C');
                &[*a, *b, *p]
            }
            PathEl::ClosePath => {
                d.push('Z');
                &[]
            }
        };
        for (i, p) in points.iter().enumerate() {
            if i > 0 {
                d.push(' ');
            }
            d.push_str(&number(p.x));
            d.push(' ');
            d.push_str(&number(p.y));
        }
    }
    Some(d)
}

/// A number with at most four places, never an exponent.
pub(crate) fn number(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

fn colour(grey: f64) -> String {
    let level = (grey.clamp(0.0, 1.0) * 255.0).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}

/// An id that is an XML name: letters and digits of the name, everything else a hyphen.
fn id_of(name: &str) -> String {
    let word: String = name.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    let word = word.trim_matches('-');
    if word.chars().next().is_some_and(char::is_alphabetic) { word.to_owned() } else { format!("piece-{word}") }
}

/// Text with the characters that mean something in XML replaced, and those that XML does not allow left out.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_become_ids_and_text_is_escaped() {
        assert_eq!(id_of("side front"), "side-front");
        assert_eq!(id_of("2nd <yoke>"), "piece-2nd--yoke");
        assert_eq!(id_of("é"), "é");
        assert_eq!(escaped("a<b & \"c\"\u{1}"), "a&lt;b &amp; &quot;c&quot; ");
    }

    #[test]
    fn numbers_are_short_and_never_exponents() {
        assert_eq!(number(12.340_04), "12.34");
        assert_eq!(number(-0.000_01), "0");
        assert_eq!(number(1e-9), "0");
        assert_eq!(number(1_234_567.0), "1234567");
        assert_eq!(number(100.0), "100");
    }
}
