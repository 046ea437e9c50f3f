//! One fabric.

use serde::{Deserialize, Serialize};

use super::{Bolt, Price, SaleUnit};
use crate::{DraftError, Length};

/// What a cloth is in the garment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ClothKind {
    /// The cloth that is seen.
    #[default]
    Outer,
    /// Sheer, over the outer cloth.
    Overlay,
    /// Inside, against the body.
    Lining,
    /// Sewn as one with the outer cloth.
    Underlining,
    /// Between outer cloth and lining.
    Interlining,
    /// Gives body: sewn in or pressed on.
    Interfacing,
    /// Net under a skirt.
    Tulle,
    /// The trial garment: every piece is cut from it once more.
    Toile,
}

impl ClothKind {
    /// All of them, outermost first.
    pub const ALL: [Self; 8] =
        [Self::Overlay, Self::Outer, Self::Underlining, Self::Interlining, Self::Interfacing, Self::Lining, Self::Tulle, Self::Toile];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Outer => "outer",
            Self::Overlay => "overlay",
            Self::Lining => "lining",
            Self::Underlining => "underlining",
            Self::Interlining => "interlining",
            Self::Interfacing => "interfacing",
            Self::Tulle => "tulle",
            Self::Toile => "toile",
        }
    }
}

/// How the cloth lies on the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Spread {
    /// In one layer, right side up.
    #[default]
    Single,
    /// Folded lengthwise, selvedge on selvedge.
    Folded,
}

impl Spread {
    /// The word for it, on the command line and in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Single => "single",
            Self::Folded => "folded",
        }
    }
}

/// One fabric of a garment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Cloth {
    /// Unique in the garment; stacks refer to it.
    pub name: String,
    /// What it is in the garment.
    pub kind: ClothKind,
    /// Across, with the selvedges.
    pub width: Length,
    /// Each selvedge, which is not used.
    pub selvedge: Length,
    /// Nap, sheen or a print that looks one way: every piece the same way up.
    pub one_way: bool,
    /// How it is laid.
    pub spread: Spread,
    /// Least distance between pieces.
    pub gap: Length,
    /// Degrees by which a piece may lie off the grain where that saves cloth; nought for never.
    pub tilt_deg: f64,
    /// What it does when pulled, in the maker's words.
    pub stretch: String,
    /// Per cent that it shrinks along the warp when it is washed before cutting.
    pub shrinks_warp: f64,
    /// The same along the weft.
    pub shrinks_weft: f64,
    /// Pleated or crinkled cloth: so many lengths of flat cloth go into one of it, along …
    pub take_up_along: f64,
    /// … and across.
    pub take_up_across: f64,
    /// Of stripes, checks or a print, along the cloth; nought when there is none.
    pub repeat: Length,
    /// What it costs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price: Option<Price>,
    /// The step in which it is sold.
    pub sold_by: SaleUnit,
    /// Grams a square metre, when known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grams_m2: Option<f64>,
    /// Per cent that is bought over what the lay needs.
    pub spare: f64,
    /// What is in the cupboard.
    pub cupboard: Vec<Bolt>,
    /// File name of a picture of it, beside the garment.
    pub swatch: String,
    /// Anything else.
    pub note: String,
}

impl Default for Cloth {
    /// Plain cloth as it is mostly sold for dresses: 140 cm wide (common practice), selvedges of 1 cm each, pieces
    /// 5 mm apart, bought with 5 % to spare.
    fn default() -> Self {
        Self {
            name: ClothKind::Outer.word().into(),
            kind: ClothKind::Outer,
            width: Length::from_cm(140.0),
            selvedge: Length::from_cm(1.0),
            one_way: false,
            spread: Spread::Single,
            gap: Length::from_mm(5.0),
            tilt_deg: 0.0,
            stretch: String::new(),
            shrinks_warp: 0.0,
            shrinks_weft: 0.0,
            take_up_along: 1.0,
            take_up_across: 1.0,
            repeat: Length::ZERO,
            price: None,
            sold_by: SaleUnit::TenthMetre,
            grams_m2: None,
            spare: 5.0,
            cupboard: Vec::new(),
            swatch: String::new(),
            note: String::new(),
        }
    }
}

impl Cloth {
    /// Width that can be laid on, selvedges taken off, after it has been washed, and with its pleats or crinkles as
    /// they are; in millimetres of the pieces.
    pub fn usable_mm(&self) -> f64 {
        self.usable_of_mm(self.width.mm())
    }

    /// The same for a length that is as wide as given, with the selvedges.
    pub fn usable_of_mm(&self, width_mm: f64) -> f64 {
        (width_mm - 2.0 * self.selvedge.mm()) * (1.0 - self.shrinks_weft / 100.0) / self.take_up_across
    }

    /// Cloth as it is sold for one millimetre of the lay.
    pub fn sold_per_laid(&self) -> f64 {
        self.take_up_along / (1.0 - self.shrinks_warp / 100.0)
    }

    /// Looks for numbers that no cloth has.
    ///
    /// # Errors
    /// Names the first.
    pub fn check(&self) -> Result<(), DraftError> {
        let place = || format!("cloth {}", self.name);
        let refuse = |problem: String, remedy: &str| Err(DraftError::new(place(), problem, remedy));
        if self.name.trim().is_empty() {
            return Err(DraftError::new("cloth", "has no name", "Give each cloth a name."));
        }
        if !(50.0..=20_000.0).contains(&self.width.mm()) {
            return refuse(format!("is {:.1} cm wide", self.width.mm() / 10.0), "Give a width between 5 cm and 20 m, with the selvedges.");
        }
        if self.selvedge.mm() < 0.0 || 2.0 * self.selvedge.mm() >= self.width.mm() {
            return refuse("has selvedges that leave nothing of it".into(), "Give the width of one selvedge, such as 1 cm.");
        }
        if !(0.0..=200.0).contains(&self.gap.mm()) {
            return refuse(format!("has a gap of {:.1} mm", self.gap.mm()), "Give a gap between 0 and 20 cm.");
        }
        if !(0.0..=10.0).contains(&self.tilt_deg) {
            return refuse(format!("lets pieces tilt by {} degrees", self.tilt_deg), "Allow 0 to 10 degrees.");
        }
        for (what, percent) in [("warp", self.shrinks_warp), ("weft", self.shrinks_weft)] {
            if !(-10.0..=50.0).contains(&percent) {
                return refuse(format!("shrinks {percent} % along the {what}"), "Give per cent between 0 and 50.");
            }
        }
        for (what, times) in [("along", self.take_up_along), ("across", self.take_up_across)] {
            if !(0.2..=20.0).contains(&times) {
                return refuse(
                    format!("takes up {times} times its length {what}"),
                    "Give 1 for flat cloth, 3 for knife pleats that lie closed.",
                );
            }
        }
        if !(0.0..=2000.0).contains(&self.repeat.mm()) {
            return refuse(format!("has a repeat of {:.1} cm", self.repeat.mm() / 10.0), "Give a repeat between 0 and 2 m.");
        }
        if !(0.0..=100.0).contains(&self.spare) {
            return refuse(format!("is bought with {} % to spare", self.spare), "Give per cent between 0 and 100.");
        }
        if self.sold_by.mm() < 1.0 {
            return refuse("is sold in steps of nothing".into(), "Give a step such as 0.1 m.");
        }
        if self.price.as_ref().is_some_and(|p| !p.amount.is_finite() || p.amount < 0.0) {
            return refuse("has a price that is no amount of money".into(), "Give what a metre or a yard costs.");
        }
        if self.grams_m2.is_some_and(|g| !g.is_finite() || g < 0.0) {
            return refuse("has a weight that is none".into(), "Give grams a square metre.");
        }
        for (i, bolt) in self.cupboard.iter().enumerate() {
            let sizes = [Some(bolt.length), bolt.width];
            if sizes.into_iter().flatten().any(|l| !(1.0..=1e6).contains(&l.mm())) {
                return refuse(format!("has a length in the cupboard (number {}) of no usable size", i + 1), "Measure it again.");
            }
            if bolt.flaws.iter().any(|f| f.long.mm() <= 0.0 || f.wide.mm() <= 0.0) {
                return refuse(
                    format!("has a flaw in length {} of the cupboard that is no rectangle", i + 1),
                    "Give its length and width.",
                );
            }
        }
        Ok(())
    }
}
