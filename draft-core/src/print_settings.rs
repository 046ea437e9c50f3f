//! What the maker chose for printing; kept in the garment file, carried out by the printing crate.

use serde::{Deserialize, Serialize};

use crate::{DraftError, Length, Unit, parse_length};

/// A sheet of paper, upright.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Paper {
    /// 210 × 297 mm (ISO 216).
    #[default]
    A4,
    /// 297 × 420 mm (ISO 216).
    A3,
    /// 420 × 594 mm (ISO 216).
    A2,
    /// 594 × 841 mm (ISO 216).
    A1,
    /// 841 × 1189 mm (ISO 216).
    A0,
    /// 8.5 × 11 in.
    Letter,
    /// 8.5 × 14 in.
    Legal,
    /// 11 × 17 in.
    Tabloid,
    /// Any other.
    Other {
        /// Across.
        width: Length,
        /// Up.
        height: Length,
    },
}

impl Paper {
    /// The papers with a name.
    pub const NAMED: [Self; 8] = [Self::A4, Self::Letter, Self::A3, Self::Legal, Self::Tabloid, Self::A2, Self::A1, Self::A0];

    /// Its key on the command line and in reports.
    pub fn key(self) -> String {
        match self {
            Self::A4 => "a4".into(),
            Self::A3 => "a3".into(),
            Self::A2 => "a2".into(),
            Self::A1 => "a1".into(),
            Self::A0 => "a0".into(),
            Self::Letter => "letter".into(),
            Self::Legal => "legal".into(),
            Self::Tabloid => "tabloid".into(),
            Self::Other { width, height } => format!("{}x{}mm", width.mm(), height.mm()),
        }
    }

    /// Width and height, upright.
    pub const fn size(self) -> (Length, Length) {
        const fn mm(width: f64, height: f64) -> (Length, Length) {
            (Length::from_mm(width), Length::from_mm(height))
        }
        const fn inches(width: f64, height: f64) -> (Length, Length) {
            (Length::from_inches(width), Length::from_inches(height))
        }
        match self {
            Self::A4 => mm(210.0, 297.0),
            Self::A3 => mm(297.0, 420.0),
            Self::A2 => mm(420.0, 594.0),
            Self::A1 => mm(594.0, 841.0),
            Self::A0 => mm(841.0, 1189.0),
            Self::Letter => inches(8.5, 11.0),
            Self::Legal => inches(8.5, 14.0),
            Self::Tabloid => inches(11.0, 17.0),
            Self::Other { width, height } => (width, height),
        }
    }

    /// A paper by its key, or by its size: `a4`, `letter`, `914x1200mm`.
    ///
    /// # Errors
    /// Names the papers there are.
    pub fn parse(text: &str) -> Result<Self, DraftError> {
        let key = text.trim().to_lowercase();
        if let Some(paper) = Self::NAMED.into_iter().find(|p| p.key() == key) {
            return Ok(paper);
        }
        let refuse = || {
            let names: Vec<_> = Self::NAMED.iter().map(|p| p.key()).collect();
            DraftError::new(
                "paper",
                format!("{text:?} is not known"),
                format!("Use one of {}, or a size such as 914x1200mm.", names.join(", ")),
            )
        };
        let (w, h) = key.split_once(['x', '×']).ok_or_else(refuse)?;
        let h_mm = parse_length(h, Unit::Mm).map_err(|_| refuse())?;
        // A unit behind the second number holds for both.
        let unit = Unit::ALL.into_iter().find(|u| h.trim().ends_with(u.sign())).unwrap_or(Unit::Mm);
        let w_mm = parse_length(w, unit).map_err(|_| refuse())?;
        if !(50.0..=5000.0).contains(&w_mm) || !(50.0..=5000.0).contains(&h_mm) {
            return Err(DraftError::new("paper", format!("{text:?} is no size of paper"), "Give sides between 5 cm and 5 m."));
        }
        Ok(Self::Other { width: Length::from_mm(w_mm), height: Length::from_mm(h_mm) })
    }
}

/// What goes on the pages, and on which paper.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct PrintSettings {
    /// The paper.
    pub paper: Paper,
    /// Lying on its long side.
    pub landscape: bool,
    /// What the printer can't print, on every side.
    pub margin: Length,
    /// By how much neighbouring pages show the same strip.
    pub overlap: Length,
    /// What the 100 mm test square measured on paper, across and down, when it was not 100 mm.
    pub measured: Option<(Length, Length)>,
    /// Draw the seam lines.
    pub seam_lines: bool,
    /// Draw the cut lines.
    pub cut_lines: bool,
}

impl Default for PrintSettings {
    fn default() -> Self {
        Self {
            paper: Paper::A4,
            landscape: false,
            margin: Length::from_mm(10.0),
            overlap: Length::from_mm(12.0),
            measured: None,
            seam_lines: true,
            cut_lines: true,
        }
    }
}
