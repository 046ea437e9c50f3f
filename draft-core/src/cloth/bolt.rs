//! Cloth that is in the cupboard.

use serde::{Deserialize, Serialize};

use crate::Length;

/// A rectangle of cloth that can't be used: a stain, a hole, a fault in the weave.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flaw {
    /// From the cut end to where it begins.
    pub from_end: Length,
    /// From the lower selvedge's edge to where it begins.
    pub from_selvedge: Length,
    /// Along the cloth.
    pub long: Length,
    /// Across it.
    pub wide: Length,
}

/// One length of a cloth in the cupboard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bolt {
    /// How long it is.
    pub length: Length,
    /// Its width with the selvedges, when it is not the cloth's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<Length>,
    /// What of it can't be used.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub flaws: Vec<Flaw>,
    /// Where it lies, what it is left from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}
