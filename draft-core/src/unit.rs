//! Units, and lengths and angles as people type them.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::Length;

/// The unit in which a length was taken or is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    /// Centimetres.
    #[default]
    Cm,
    /// Millimetres.
    Mm,
    /// Inches of exactly 25.4 mm, with fractions.
    Inch,
}

impl Unit {
    /// Every unit, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::Cm, Self::Mm, Self::Inch];

    /// Millimetres in one of this unit.
    pub const fn in_mm(self) -> f64 {
        match self {
            Self::Cm => 10.0,
            Self::Mm => 1.0,
            Self::Inch => Length::MM_PER_INCH,
        }
    }

    /// The sign written behind a number.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Cm => "cm",
            Self::Mm => "mm",
            Self::Inch => "in",
        }
    }

    /// A length with its unit: tenths of a centimetre (two places when the second is not nought), tenths of a
    /// millimetre, or sixteenths of an inch.
    pub fn text(self, mm: f64) -> String {
        match self {
            Self::Cm => {
                let hundredths = (mm * 10.0).round() as i64;
                if hundredths % 10 == 0 {
                    format!("{:.1} cm", hundredths as f64 / 100.0)
                } else {
                    format!("{:.2} cm", hundredths as f64 / 100.0)
                }
            }
            Self::Mm => format!("{mm:.1} mm"),
            Self::Inch => format!("{} in", sixteenths(mm / Length::MM_PER_INCH)),
        }
    }
}

impl Unit {
    /// A length as it is spoken of: to the millimetre, or to the eighth of an inch.
    pub fn rough(self, mm: f64) -> String {
        match self {
            Self::Cm => format!("{:.1} cm", mm / 10.0),
            Self::Mm => format!("{mm:.0} mm"),
            Self::Inch => format!("{} in", sixteenths((mm / Length::MM_PER_INCH * 8.0).round() / 8.0)),
        }
    }

    /// An area as text: square centimetres or metres, or square inches or yards.
    pub fn area(self, mm2: f64) -> String {
        /// Smaller areas are told in the smaller unit.
        const SQUARE_METRE: f64 = 1e6;
        let inch = Length::MM_PER_INCH * Length::MM_PER_INCH;
        match (self, mm2 >= SQUARE_METRE) {
            (Self::Inch, false) => format!("{:.0} sq in", mm2 / inch),
            (Self::Inch, true) => format!("{:.2} sq yd", mm2 / (1296.0 * inch)),
            (_, false) => format!("{:.0} cm²", mm2 / 100.0),
            (_, true) => format!("{:.2} m²", mm2 / SQUARE_METRE),
        }
    }
}

/// `38 1/4`, to the nearest sixteenth.
fn sixteenths(inches: f64) -> String {
    let total = (inches.abs() * 16.0).round() as u64;
    let sign = if inches < 0.0 && total > 0 { "-" } else { "" };
    let (whole, mut part) = (total / 16, total % 16);
    let mut of = 16;
    while part > 0 && part.is_multiple_of(2) {
        part /= 2;
        of /= 2;
    }
    match (whole, part) {
        (w, 0) => format!("{sign}{w}"),
        (0, p) => format!("{sign}{p}/{of}"),
        (w, p) => format!("{sign}{w} {p}/{of}"),
    }
}

/// What is wrong with a typed number; reads on from the text itself.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// Nothing was typed.
    #[error("is empty")]
    Empty,
    /// A part of the text is not a number.
    #[error("is not a number: {0:?} can't be read")]
    NotANumber(String),
    /// A unit that is not known here.
    #[error("has the unknown unit {0:?}")]
    UnknownUnit(String),
    /// Larger than any number, or divided by nought.
    #[error("is not finite")]
    NotFinite,
}

impl QuantityError {
    /// One instruction.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Empty => "Type a number with its unit, such as 88.5 cm.",
            Self::NotANumber(_) => "Type a number such as 88.5 cm, 885 mm, 34 7/8 in, or a sum such as 60.5 + 2.",
            Self::UnknownUnit(_) => "Use cm, mm or in, and for cloth m or yd.",
            Self::NotFinite => "Type a number that can be measured with a tape.",
        }
    }
}

/// Reads a length as a maker types it, in millimetres: `88`, `88.5 cm`, `88,5`, `885 mm`, `34 7/8 in`, `34 7/8"`,
/// `60.5 + 2`, `90 - 1/2 in`, and of cloth `2.6 m`, `2 1/8 yd`. A number without a unit takes the unit of the term behind it, or `unit`.
///
/// # Errors
/// Says which part can't be read. The result is always finite; it may be negative.
pub fn parse_length(text: &str, unit: Unit) -> Result<f64, QuantityError> {
    let terms = terms(text)?;
    let mut total = 0.0;
    let mut behind = unit.in_mm();
    for term in terms.iter().rev() {
        let own = match term.sign.as_str() {
            "" => behind,
            "cm" | "centimetres" | "centimeters" => Unit::Cm.in_mm(),
            "mm" | "millimetres" | "millimeters" => Unit::Mm.in_mm(),
            "in" | "\"" | "”" | "″" | "inch" | "inches" => Unit::Inch.in_mm(),
            "m" | "metre" | "metres" | "meter" | "meters" => 1000.0,
            "yd" | "yds" | "yard" | "yards" => 36.0 * Length::MM_PER_INCH,
            other => return Err(QuantityError::UnknownUnit(other.to_owned())),
        };
        behind = own;
        total += term.value * own;
    }
    if total.is_finite() { Ok(total) } else { Err(QuantityError::NotFinite) }
}

/// Reads an angle in degrees: `21`, `21.5°`, `21 deg`.
///
/// # Errors
/// As for [`parse_length`].
pub fn parse_angle(text: &str) -> Result<f64, QuantityError> {
    let mut total = 0.0;
    for term in terms(text)? {
        match term.sign.as_str() {
            "" | "°" | "deg" | "degrees" => total += term.value,
            other => return Err(QuantityError::UnknownUnit(other.to_owned())),
        }
    }
    if total.is_finite() { Ok(total) } else { Err(QuantityError::NotFinite) }
}

struct Term {
    value: f64,
    sign: String,
}

/// Splits at `+` and `-` into numbers with their units.
fn terms(text: &str) -> Result<Vec<Term>, QuantityError> {
    if text.trim().is_empty() {
        return Err(QuantityError::Empty);
    }
    let mut out = Vec::new();
    let mut rest = text.trim();
    let mut minus = false;
    if let Some(r) = rest.strip_prefix(['-', '−']) {
        minus = true;
        rest = r;
    } else if let Some(r) = rest.strip_prefix('+') {
        rest = r;
    }
    loop {
        // An exponent's sign ("1e-3") does not begin a new term.
        let end = rest
            .char_indices()
            .find(|&(i, c)| {
                let exponent = rest[..i].ends_with(['e', 'E']) && rest[..i].chars().rev().nth(1).is_some_and(|c| c.is_ascii_digit());
                matches!(c, '+' | '-' | '−') && !exponent
            })
            .map_or(rest.len(), |(i, _)| i);
        let mut term = one_term(&rest[..end])?;
        if minus {
            term.value = -term.value;
        }
        out.push(term);
        let mut after = rest[end..].chars();
        match after.next() {
            None => return Ok(out),
            Some(c) => minus = c != '+',
        }
        rest = after.as_str();
    }
}

/// A whole number, decimal, fraction, or whole number and fraction, with or without a unit.
fn one_term(text: &str) -> Result<Term, QuantityError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(QuantityError::NotANumber(text.to_owned()));
    }
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' ') || vulgar(c).is_some();
    let mut split = text.char_indices().find(|&(_, c)| !is_number(c)).map_or(text.len(), |(i, _)| i);
    // "1e3" is a number, "1 em" is not.
    if text[split..].starts_with(['e', 'E']) && text[..split].ends_with(|c: char| c.is_ascii_digit()) {
        let exponent: usize =
            text[split + 1..].char_indices().take_while(|&(i, c)| c.is_ascii_digit() || (i == 0 && matches!(c, '+' | '-'))).count();
        if exponent > 0 {
            split += 1 + exponent;
        }
    }
    let (number, sign) = text.split_at(split);
    let mut value = 0.0;
    let mut any = false;
    for word in number.split_whitespace() {
        value += word_value(word)?;
        any = true;
    }
    if !any {
        return Err(QuantityError::NotANumber(text.to_owned()));
    }
    if !value.is_finite() {
        return Err(QuantityError::NotFinite);
    }
    Ok(Term { value, sign: sign.trim().trim_end_matches('.').to_lowercase() })
}

fn word_value(word: &str) -> Result<f64, QuantityError> {
    let bad = || QuantityError::NotANumber(word.to_owned());
    // "8½" is a whole number followed at once by a fraction sign.
    if let Some(fraction) = word.chars().last().and_then(vulgar) {
        let whole = &word[..word.len() - word.chars().last().map_or(0, char::len_utf8)];
        return Ok(fraction + if whole.is_empty() { 0.0 } else { word_value(whole)? });
    }
    if let Some((over, under)) = word.split_once('/') {
        let over: f64 = over.parse().map_err(|_| bad())?;
        let under: f64 = under.parse().map_err(|_| bad())?;
        return Ok(over / under);
    }
    word.replace(',', ".").parse().map_err(|_| bad())
}

const fn vulgar(c: char) -> Option<f64> {
    Some(match c {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        _ => return None,
    })
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.sign())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_as_people_type_them() {
        let cases = [
            ("88", Unit::Cm, 880.0),
            ("88.5 cm", Unit::Inch, 885.0),
            ("88,5", Unit::Cm, 885.0),
            ("885 mm", Unit::Cm, 885.0),
            ("38 1/4\"", Unit::Cm, 38.25 * 25.4),
            ("15 1/4 in", Unit::Cm, 15.25 * 25.4),
            ("3/8 in", Unit::Cm, 0.375 * 25.4),
            ("8½ inches", Unit::Cm, 8.5 * 25.4),
            ("60.5 + 2", Unit::Cm, 625.0),
            ("60 + 5 mm", Unit::Cm, 65.0),
            ("90 cm - 1/2 in", Unit::Cm, 900.0 - 12.7),
            ("-2", Unit::Cm, -20.0),
            ("2.6 m", Unit::Cm, 2600.0),
            ("2 1/8 yd", Unit::Cm, 2.125 * 914.4),
            ("1 m + 5", Unit::Cm, 1050.0),
            ("3 + 1/2 yards", Unit::Cm, 3.5 * 914.4),
            ("1e2 mm", Unit::Cm, 100.0),
            ("1e-1 cm", Unit::Cm, 1.0),
        ];
        for (text, unit, mm) in cases {
            let read = parse_length(text, unit).unwrap_or(f64::NAN);
            assert!((read - mm).abs() < 1e-9, "{text:?} read as {read} mm, not {mm}");
        }
    }

    #[test]
    fn what_is_not_a_length_is_named() {
        assert_eq!(parse_length("  ", Unit::Cm), Err(QuantityError::Empty));
        assert_eq!(parse_length("1/0", Unit::Cm), Err(QuantityError::NotFinite));
        assert_eq!(parse_length("1e999", Unit::Cm), Err(QuantityError::NotFinite));
        assert_eq!(parse_length("5 ells", Unit::Cm), Err(QuantityError::UnknownUnit("ells".into())));
        for text in ["nan", "inf", "eighty", "8..5", "+", "5 +", "1/2/3", "--3"] {
            assert!(matches!(parse_length(text, Unit::Cm), Err(QuantityError::NotANumber(_))), "{text:?}");
        }
    }

    #[test]
    fn text_in_each_unit() {
        assert_eq!(Unit::Cm.text(885.0), "88.5 cm");
        assert_eq!(Unit::Cm.text(885.4), "88.54 cm");
        assert_eq!(Unit::Mm.text(885.44), "885.4 mm");
        assert_eq!(Unit::Inch.text(38.25 * 25.4), "38 1/4 in");
        assert_eq!(Unit::Inch.text(-12.7), "-1/2 in");
        assert_eq!(Unit::Inch.text(0.0), "0 in");
    }
}
