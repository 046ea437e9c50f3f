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

/// Whether two sewn edges start at the same end of the seam, as their outlines run. Told by what they meet there: an edge
/// or a point of the same name, or that is sewn to it; where nothing tells, two pieces with their printed sides up are
/// sewn with their edges running against each other.
pub(crate) fn meets_start_to_start(a: &Piece, edge_a: &Name, b: &Piece, edge_b: &Name) -> bool {
    let at_ends = |piece: &Piece, edge: &Name| -> [Vec<String>; 2] {
        let parts = piece.parts();
        let count = parts.len();
        let is = |i: usize| piece.edges()[parts[i].edge].name == *edge;
        let first = (0..count).find(|&i| is(i)).unwrap_or(0);
        let last = (0..count).rfind(|&i| is(i)).unwrap_or(0);
        let name = |i: usize| piece.edges()[parts[i % count].edge].name.to_string();
        let mut ends = [vec![name(first + count - 1)], vec![name(last + 1)]];
        if let Some((start, end)) = piece.edge_ends(edge.as_str()) {
            for point in piece.points() {
                for (names, at) in ends.iter_mut().zip([start, end]) {
                    if point.at.distance(at) < 0.1 {
                        names.push(point.name.to_string());
                    }
                }
            }
        }
        ends
    };
    let (ends_a, ends_b) = (at_ends(a, edge_a), at_ends(b, edge_b));
    // `centre front` and `centre back` are the same end of a shoulder or a side seam.
    let key = |name: &str| name.replace("front", "").replace("back", "").replace("right", "").replace("left", "").trim().to_owned();
    let alike = |x: &[String], y: &[String]| x.iter().filter(|n| y.iter().any(|m| key(n) == key(m))).count();
    let same = alike(&ends_a[0], &ends_b[0]) + alike(&ends_a[1], &ends_b[1]);
    let against = alike(&ends_a[0], &ends_b[1]) + alike(&ends_a[1], &ends_b[0]);
    same > against
}
