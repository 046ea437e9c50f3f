//! Distances.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::unit::{Unit, parse_length};

/// A distance on cloth or body, in millimetres; always finite.
///
/// There is no `From<f64>`: name the unit. In files it is text with its unit (`"38 1/4 in"`, `"6 cm"`), written
/// in millimetres so that nothing is lost by rounding.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Length(f64);

impl Length {
    /// No distance at all.
    pub const ZERO: Self = Self(0.0);

    /// Exact since the yard and pound agreement of 1959.
    pub const MM_PER_INCH: f64 = 25.4;

    /// A length in millimetres.
    ///
    /// # Panics
    /// If `mm` is not finite: check what a person typed with [`parse_length`] instead.
    pub const fn from_mm(mm: f64) -> Self {
        assert!(mm.is_finite(), "a length must be finite");
        Self(mm)
    }

    /// A length in centimetres; see [`Length::from_mm`].
    pub const fn from_cm(cm: f64) -> Self {
        Self::from_mm(cm * 10.0)
    }

    /// A length in inches; see [`Length::from_mm`].
    pub const fn from_inches(inches: f64) -> Self {
        Self::from_mm(inches * Self::MM_PER_INCH)
    }

    /// In millimetres.
    pub const fn mm(self) -> f64 {
        self.0
    }

    /// As text in the unit asked for, with the unit.
    pub fn text(self, unit: Unit) -> String {
        unit.text(self.0)
    }
}

impl Serialize for Length {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&format!("{} mm", self.0))
    }
}

impl<'de> Deserialize<'de> for Length {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        parse_length(&text, Unit::Mm).map(Self).map_err(|e| de::Error::custom(format!("{text:?} {e}")))
    }
}
