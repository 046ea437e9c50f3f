//! A line as it is typed while it is drawn: its length, its angle, or both.

use kurbo::{Point, Vec2};

use crate::place::frame;
use crate::{DraftError, Piece, Unit, parse_angle, parse_length};

/// What was typed of a straight line.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TypedLine {
    /// Its length, millimetres.
    pub length_mm: Option<f64>,
    /// Its angle to the grain, degrees from 0 along it to 90 across it.
    pub degrees: Option<f64>,
}

impl TypedLine {
    /// Reads `18 cm, 45°`, `18 cm`, `45°`, `18; 45` or `18, 45`: a length and an angle to the grain. A comma between two
    /// digits is that of a decimal number, unless nothing can be read so.
    ///
    /// # Errors
    /// Says which part can't be read, or that the length is not more than nought.
    pub fn read(text: &str, unit: Unit) -> Result<Self, DraftError> {
        let text = text.trim();
        let (first, second) = parted(text, unit);
        let mut typed = Self::default();
        for (i, part) in [Some(first), second].into_iter().flatten().enumerate() {
            let fault = |e: crate::QuantityError| {
                DraftError::new("line", format!("{part:?} {e}"), "Type a length and an angle, such as 18 cm, 45°.")
            };
            if part.contains('°') || i > 0 {
                typed.degrees = Some(parse_angle(part).map_err(fault)?);
            } else {
                let mm = parse_length(part, unit).map_err(fault)?;
                if mm <= 0.0 {
                    return Err(DraftError::new("line", format!("{part:?} is not more than nought"), "Type how long the line is."));
                }
                typed.length_mm = Some(mm);
            }
        }
        Ok(typed)
    }

    /// Where a line from a point of the piece ends: toward another point, as far and at the angle that was typed. The angle
    /// opens to the side on which that point lies.
    pub fn end(&self, piece: &Piece, from: Point, toward: Point) -> Point {
        let (up, right) = frame(piece);
        let by = toward - from;
        let by = if by.hypot() < 1e-6 { up } else { by };
        let direction = match self.degrees {
            Some(degrees) => {
                let (sin, cos) = degrees.to_radians().sin_cos();
                let side = |v: Vec2| if by.dot(v) < 0.0 { -v } else { v };
                side(up) * cos + side(right) * sin
            }
            None => by.normalize(),
        };
        from + direction * self.length_mm.unwrap_or_else(|| by.hypot())
    }
}

/// The text before and after what parts a length from an angle.
fn parted(text: &str, unit: Unit) -> (&str, Option<&str>) {
    let halves = |i: usize, long: usize| (text[..i].trim(), Some(text[i + long..].trim()).filter(|t| !t.is_empty()));
    if let Some(i) = text.find(';') {
        return halves(i, 1);
    }
    if let Some((i, _)) = text.match_indices(',').find(|(i, _)| text[i + 1..].starts_with(char::is_whitespace)) {
        return halves(i, 1);
    }
    let readable = parse_length(text, unit).is_ok() || text.ends_with('°') && parse_angle(text).is_ok();
    match text.rfind(',') {
        Some(i) if !readable => halves(i, 1),
        _ => (text, None),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::{PieceBuilder, Role};

    #[test]
    fn a_length_and_an_angle_are_read_in_every_way_they_are_typed() {
        let both = TypedLine { length_mm: Some(180.0), degrees: Some(45.0) };
        for text in ["18 cm, 45°", "18, 45", "18;45", " 180 mm , 45 ° ", "18.0,45°"] {
            assert_eq!(TypedLine::read(text, Unit::Cm), Ok(both), "{text}");
        }
        let read = |text: &str| TypedLine::read(text, Unit::Cm).unwrap();
        assert_eq!(read("18"), TypedLine { length_mm: Some(180.0), degrees: None });
        assert_eq!(read("18,5"), TypedLine { length_mm: Some(185.0), degrees: None });
        assert_eq!(read("30°"), TypedLine { length_mm: None, degrees: Some(30.0) });
        assert_eq!(read("18,5 cm; 30"), TypedLine { length_mm: Some(185.0), degrees: Some(30.0) });
        for wrong in ["", "a finger", "18 cm, up", "-3", "0"] {
            let error = TypedLine::read(wrong, Unit::Cm).unwrap_err();
            assert!(!error.remedy.is_empty(), "{wrong}");
        }
    }

    #[test]
    fn the_angle_is_to_the_grain_on_the_side_of_the_pointer() {
        let p = Point::new;
        let piece = PieceBuilder::new("square")
            .line("top", Role::Seam, 0.0, p(0.0, 0.0), p(100.0, 0.0))
            .line("right", Role::Seam, 0.0, p(100.0, 0.0), p(100.0, 100.0))
            .line("bottom", Role::Seam, 0.0, p(100.0, 100.0), p(0.0, 100.0))
            .line("left", Role::Seam, 0.0, p(0.0, 100.0), p(0.0, 0.0))
            .grain(p(50.0, 90.0), p(50.0, 10.0))
            .build()
            .unwrap();
        let from = p(50.0, 50.0);
        let end = |text: &str, toward: Point| TypedLine::read(text, Unit::Mm).unwrap().end(&piece, from, toward);
        assert!(end("20, 90", p(60.0, 49.0)).distance(p(70.0, 50.0)) < 1e-9);
        assert!(end("20, 90", p(40.0, 49.0)).distance(p(30.0, 50.0)) < 1e-9);
        assert!(end("20, 0", p(40.0, 70.0)).distance(p(50.0, 70.0)) < 1e-9);
        assert!(end("10", p(50.0, 30.0)).distance(p(50.0, 40.0)) < 1e-9);
        assert!(end("10", from).distance(p(50.0, 40.0)) < 1e-9, "along the grain when nothing says where");
    }
}
