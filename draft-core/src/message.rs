//! What the program tells the maker: where, what, and how to mend it.

use serde::Serialize;

use crate::Measurement;

/// How much a message matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// Good to know; nothing to do.
    Note,
    /// Something that can hurt the wearer or the maker.
    Caution,
    /// Probably a slip; the garment is drafted all the same.
    Warning,
    /// Must be mended before cutting cloth.
    Error,
}

/// One message to the maker.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Message {
    /// How much it matters.
    #[serde(rename = "level")]
    pub grade: Grade,
    /// Where: a measurement, a piece, a seam (`front / side seam`), a work.
    pub place: String,
    /// What is the matter, with its numbers and units.
    pub problem: String,
    /// One instruction that mends it.
    pub remedy: String,
    /// The measurements that it concerns, to be marked on the wearer card.
    #[serde(skip)]
    pub concerns: Vec<Measurement>,
}

impl Message {
    /// A message with all its parts.
    pub fn new(grade: Grade, place: impl Into<String>, problem: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { grade, place: place.into(), problem: problem.into(), remedy: remedy.into(), concerns: Vec::new() }
    }

    /// The same message, marked as concerning these measurements.
    #[must_use]
    pub fn about(mut self, measurements: &[Measurement]) -> Self {
        self.concerns = measurements.to_vec();
        self
    }
}

/// Why something was refused: place, problem and remedy.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{place}: {problem}. {remedy}")]
pub struct DraftError {
    /// Where.
    pub place: String,
    /// What is the matter.
    pub problem: String,
    /// One instruction that mends it.
    pub remedy: String,
    /// The measurements that it concerns.
    pub concerns: Vec<Measurement>,
}

impl DraftError {
    /// An error with its three parts; none ends in a full stop but the remedy.
    pub fn new(place: impl Into<String>, problem: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { place: place.into(), problem: problem.into(), remedy: remedy.into(), concerns: Vec::new() }
    }

    /// The same error, marked as concerning these measurements.
    #[must_use]
    pub fn about(mut self, measurements: &[Measurement]) -> Self {
        self.concerns = measurements.to_vec();
        self
    }

    /// A measurement that is needed and not on the card.
    pub fn missing(which: Measurement) -> Self {
        Self::new(
            which.name(),
            "has not been measured and can't be estimated from what is on the card",
            format!("Measure {} and enter it on the wearer card.", which.where_the_tape_goes()),
        )
        .about(&[which])
    }
}

impl From<DraftError> for Message {
    fn from(error: DraftError) -> Self {
        Self { grade: Grade::Error, place: error.place, problem: error.problem, remedy: error.remedy, concerns: error.concerns }
    }
}
