//! Why something can't be printed.

/// Why something was refused: place, problem and remedy.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{place}: {problem}. {remedy}")]
pub struct PrintError {
    /// Where.
    pub place: String,
    /// What is the matter.
    pub problem: String,
    /// One instruction that mends it.
    pub remedy: String,
}

impl PrintError {
    /// An error with its three parts; none ends in a full stop but the remedy.
    pub fn new(place: impl Into<String>, problem: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { place: place.into(), problem: problem.into(), remedy: remedy.into() }
    }
}
