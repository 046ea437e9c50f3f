//! Seams: which edges are sewn together.

use std::fmt;

use crate::{Name, Piece};

/// One edge, or several copies of it, on one side of a seam.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeRun {
    /// The piece.
    pub piece: Name,
    /// Its edge, all parts of it.
    pub edge: Name,
    /// How many times this edge stands in the run: three of six gores go round half the body.
    pub times: f64,
}

impl EdgeRun {
    /// The whole of one edge, once.
    pub fn new(piece: impl Into<Name>, edge: impl Into<Name>) -> Self {
        Self { piece: piece.into(), edge: edge.into(), times: 1.0 }
    }

    /// The same edge several times over.
    #[must_use]
    pub fn times(mut self, times: f64) -> Self {
        self.times = times;
        self
    }
}

impl fmt::Display for EdgeRun {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} / {}", self.piece, self.edge)?;
        if (self.times - 1.0).abs() > 1e-9 {
            write!(f, " × {}", self.times)?;
        }
        Ok(())
    }
}

/// Two runs of edges that are sewn together.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// The side that is walked, end to end.
    pub a: Vec<EdgeRun>,
    /// Its partner.
    pub b: Vec<EdgeRun>,
    /// By how much `a` is meant to be longer than `b`, to be eased or gathered in; millimetres.
    pub ease_mm: f64,
}

/// What walking a seam found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Walk {
    /// Length of side `a`, millimetres.
    pub a_mm: f64,
    /// Length of side `b`, millimetres.
    pub b_mm: f64,
    /// What is left over once the intended ease is sewn in: `a − b − ease`.
    pub difference_mm: f64,
}

impl Seam {
    /// A plain seam between two edges.
    pub fn plain(a: EdgeRun, b: EdgeRun) -> Self {
        Self { a: vec![a], b: vec![b], ease_mm: 0.0 }
    }

    /// Both sides as text: `front / side seam`.
    pub fn sides(&self) -> (String, String) {
        let text = |runs: &[EdgeRun]| runs.iter().map(ToString::to_string).collect::<Vec<_>>().join(" + ");
        (text(&self.a), text(&self.b))
    }

    /// Measures both sides on the pieces as they are. `None` when an edge is not there.
    pub fn walk<'a>(&self, find: impl Fn(&Name) -> Option<&'a Piece>) -> Option<Walk> {
        let side = |runs: &[EdgeRun]| {
            runs.iter().try_fold(0.0, |sum, run| Some(sum + run.times * find(&run.piece)?.edge_length_mm(run.edge.as_str())?))
        };
        let (a_mm, b_mm) = (side(&self.a)?, side(&self.b)?);
        Some(Walk { a_mm, b_mm, difference_mm: a_mm - b_mm - self.ease_mm })
    }
}
