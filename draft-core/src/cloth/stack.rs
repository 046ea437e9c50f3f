//! The cloths that a piece is cut from.

use serde::{Deserialize, Serialize};

use super::Cloth;
use crate::{DraftError, Length, Name};

/// How the cut edge of a layer is finished.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Finish {
    /// Pressed open, raw edges left inside.
    #[default]
    Plain,
    /// Serged.
    Serged,
    /// French seams.
    French,
    /// Bound with bias strips.
    Bound,
    /// Pinked.
    Pinked,
    /// Torn or cut and left ragged, to be seen.
    Ragged,
}

impl Finish {
    /// All of them.
    pub const ALL: [Self; 6] = [Self::Plain, Self::Serged, Self::French, Self::Bound, Self::Pinked, Self::Ragged];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Serged => "serged",
            Self::French => "French seam",
            Self::Bound => "bound",
            Self::Pinked => "pinked",
            Self::Ragged => "raw and ragged",
        }
    }
}

/// A strip that is cut away along an edge, as a lining is cut away where the facing lies.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Strip {
    /// Along this edge of the piece.
    pub edge: Name,
    /// So far in from the seam line that the layer's own seam line comes to lie.
    pub by: Length,
}

/// One cloth that a piece is cut from.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Layer {
    /// The name of the cloth.
    pub cloth: String,
    /// How often, when not as often as the piece says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Seam allowance, when not that of each edge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allowance: Option<Length>,
    /// Hem allowance, when not that of the edge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hem: Option<Length>,
    /// How its edges are finished.
    #[serde(default)]
    pub finish: Finish,
    /// The finished hem lies so much higher.
    #[serde(default = "nothing")]
    pub hem_shorter: Length,
    /// Strips that are cut away.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cut_away: Vec<Strip>,
    /// Edges without any allowance, left raw.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub raw: Vec<Name>,
    /// On the bias.
    #[serde(default)]
    pub bias: bool,
    /// What is left out last when the cloth does not suffice has the greatest number.
    #[serde(default)]
    pub importance: u8,
}

const fn nothing() -> Length {
    Length::ZERO
}

impl Layer {
    /// A layer of a cloth, as the piece is.
    pub fn of(cloth: impl Into<String>) -> Self {
        Self { cloth: cloth.into(), ..Self::default() }
    }
}

/// The cloths that one piece is cut from, outermost first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stack {
    /// The piece.
    pub piece: Name,
    /// Its layers.
    pub layers: Vec<Layer>,
}

impl Stack {
    /// Looks for layers that can't be cut.
    ///
    /// # Errors
    /// Names the first.
    pub fn check(&self, cloths: &[Cloth]) -> Result<(), DraftError> {
        for layer in &self.layers {
            let refuse =
                |problem: String, remedy: String| Err(DraftError::new(format!("{}, {}", self.piece, layer.cloth), problem, remedy));
            if !cloths.iter().any(|c| c.name == layer.cloth) {
                let names: Vec<&str> = cloths.iter().map(|c| c.name.as_str()).collect();
                return refuse(
                    format!("is cut from {:?}, and the garment has no such cloth", layer.cloth),
                    format!("Use one of its cloths ({}), or add the cloth.", names.join(", ")),
                );
            }
            if layer.count.is_some_and(|n| n > 1000) {
                return refuse("is cut more than a thousand times".into(), "Give a smaller count.".into());
            }
            let lengths = [layer.allowance, layer.hem].into_iter().flatten().chain([layer.hem_shorter]);
            if lengths.chain(layer.cut_away.iter().map(|s| s.by)).any(|l| !(0.0..=1000.0).contains(&l.mm())) {
                return refuse("has an allowance or a strip that can't be cut".into(), "Give lengths between 0 and 1 m.".into());
            }
        }
        Ok(())
    }
}
