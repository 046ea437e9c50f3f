//! The one typeface of the sheet: how wide its text runs, and which characters it has.

use std::sync::LazyLock;

use printpdf::ParsedFont;

/// The font file, a subset of DejaVu Sans; see `assets/fonts`.
pub const BYTES: &[u8] = include_bytes!("../../assets/fonts/DejaVuSans-subset.ttf");

/// Name of the typeface.
pub const FAMILY: &str = "DejaVu Sans";

/// Height of a capital H in parts of the size, from its outline (1493 of 2048 units).
pub const CAPITAL: f64 = 0.729;

/// How far letters reach above and below the baseline, in parts of the size; the font's ascender and descender
/// without the room it keeps for stacked accents.
pub const ABOVE: f64 = 0.78;
/// See [`ABOVE`].
pub const BELOW: f64 = 0.24;

static FONT: LazyLock<Option<ParsedFont>> = LazyLock::new(|| {
    let mut font = ParsedFont::from_bytes(BYTES, 0, &mut Vec::new())?;
    font.font_name = Some("DejaVuSans".into());
    Some(font)
});

/// The parsed font; `None` only if the file compiled in were damaged, which a test excludes.
pub(crate) fn parsed() -> Option<&'static ParsedFont> {
    FONT.as_ref()
}

/// The text with every character that can't be printed replaced: white space by a space, others by `?`.
pub fn printable(text: &str) -> String {
    let known = |c: char| parsed().is_some_and(|f| f.lookup_glyph_index(c as u32).is_some_and(|g| g != 0));
    text.chars()
        .filter(|c| !matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{feff}' | '\u{ad}'))
        .map(|c| {
            if c.is_whitespace() {
                ' '
            } else if known(c) {
                c
            } else {
                '?'
            }
        })
        .collect()
}

/// Width of a run of text set at `size_mm`, millimetres.
pub fn width_mm(text: &str, size_mm: f64) -> f64 {
    let Some(font) = parsed() else { return 0.6 * size_mm * text.chars().count() as f64 };
    let units: u64 =
        text.chars().map(|c| font.lookup_glyph_index(c as u32).and_then(|g| font.get_glyph_width(g)).map_or(600, u64::from)).sum();
    units as f64 / f64::from(font.units_per_em.max(1)) * size_mm
}

/// Breaks a text at spaces so that no line is wider than `most_mm`, if its words allow it. A number stays with its
/// unit.
pub fn wrapped(text: &str, size_mm: f64, most_mm: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in units_joined(text) {
        match lines.last_mut() {
            Some(line) if width_mm(line, size_mm) + width_mm(" ", size_mm) + width_mm(&word, size_mm) <= most_mm => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// The words of a text, `12.5 cm` being one.
fn units_joined(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let is_unit = matches!(word.trim_end_matches([',', ';', '.', ':']), "mm" | "cm" | "m" | "in" | "%");
        match words.last_mut() {
            Some(last) if is_unit && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// The text cut short with `…` so that it is no wider than `most_mm`.
pub fn shortened(text: &str, size_mm: f64, most_mm: f64) -> String {
    if width_mm(text, size_mm) <= most_mm {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut width = width_mm("…", size_mm);
    for c in text.chars() {
        width += width_mm(c.encode_utf8(&mut [0; 4]), size_mm);
        if width > most_mm {
            break;
        }
        out.push(c);
    }
    out.truncate(out.trim_end().len());
    out + "…"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_font_has_the_characters_of_names_and_fractions() {
        assert!(parsed().is_some());
        for text in ["Zoë Žižka-Ångström", "Șerban Țăranu", "½ ¼ ¾ ⅜ × ° → ←", "“hip” – 3′ 4″ …", "Αθηνά", "Жанна"]
        {
            assert_eq!(printable(text), text);
        }
    }

    #[test]
    fn what_the_font_lacks_becomes_a_question_mark() {
        assert_eq!(printable("絹\tsilk\n\u{200e}🧵"), "? silk ?");
    }

    #[test]
    fn wrapping_and_shortening_keep_to_the_width() {
        let text = "one long line of words that goes on for a while";
        for line in wrapped(text, 4.0, 30.0) {
            assert!(width_mm(&line, 4.0) <= 30.0);
        }
        assert!(width_mm(&shortened(text, 4.0, 30.0), 4.0) <= 30.0);
        assert_eq!(wrapped("a hem of 30 mm", 4.0, 20.0).last().map(String::as_str), Some("30 mm"));
        assert_eq!(shortened("short", 4.0, 30.0), "short");
    }
}
