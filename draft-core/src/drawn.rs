//! Pieces drawn elsewhere, taken over as they are: the only outlines that a garment keeps, for nothing else could make
//! them again.

use kurbo::{BezPath, PathEl, Point, Shape as _};
use serde::{Deserialize, Serialize};

use crate::{DraftError, Name, Piece, PieceBuilder, Role, geometry};

/// Outlines smaller than this are no pieces; square millimetres.
const LEAST_MM2: f64 = 25.0;
/// The last point of an outline may miss its first by this much, millimetres.
const CLOSES_MM: f64 = 0.01;

/// One outline drawn elsewhere.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drawn {
    /// What the piece is called.
    pub name: Name,
    /// Its outline as the path data of an SVG drawing, millimetres, y down.
    pub outline: String,
}

impl Drawn {
    /// An outline under a name.
    pub fn new(name: impl Into<Name>, outline: &BezPath) -> Self {
        Self { name: name.into(), outline: outline.to_svg() }
    }

    /// The piece: cut once on its outline, with the grain upright.
    ///
    /// # Errors
    /// The outline can't be read, is open, or is no single outline.
    pub fn piece(&self) -> Result<Piece, DraftError> {
        let refuse = |problem: String| DraftError::new(self.name.to_string(), problem, "Bring the drawing over again.");
        let read = BezPath::from_svg(&self.outline).map_err(|e| refuse(format!("has an outline that can't be read ({e})")))?;
        let mut path = BezPath::new();
        let mut closed = false;
        for el in read.elements() {
            match *el {
                PathEl::MoveTo(_) if !path.elements().is_empty() => return Err(refuse("has more than one outline".into())),
                PathEl::ClosePath => closed = true,
                _ if closed => return Err(refuse("has more than one outline".into())),
                el => path.push(el),
            }
        }
        let (Some(first), Some(last)) = (geometry::start(&path), geometry::end(&path)) else {
            return Err(refuse("has no outline".into()));
        };
        if !path.is_finite() {
            return Err(refuse("has a point that is no usable number".into()));
        }
        if first.distance(last) > CLOSES_MM && !closed {
            return Err(refuse("has an outline that is not closed".into()));
        }
        if first != last {
            path.line_to(first);
        }
        let bounds = path.bounding_box();
        if path.area().abs() < LEAST_MM2 {
            return Err(refuse("is smaller than anything that can be cut".into()));
        }
        let x = bounds.center().x;
        PieceBuilder::new(self.name.clone())
            .part("outline", Role::Cut, 0.0, path)
            .grain(Point::new(x, bounds.y1 - 0.2 * bounds.height()), Point::new(x, bounds.y0 + 0.2 * bounds.height()))
            .build()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;

    fn drawn(outline: &str) -> Result<Piece, DraftError> {
        Drawn { name: "wing".into(), outline: outline.into() }.piece()
    }

    #[test]
    fn a_closed_outline_is_a_piece_and_anything_else_is_refused() {
        let piece = drawn("M0 0 L100 0 L100 50 L0 50 Z").unwrap();
        assert!((piece.area_mm2() - 5000.0).abs() < 1e-9);
        assert!(drawn("M0 0 C100 0 100 50 0 50 L0 0").is_ok());
        for (outline, problem) in [
            ("M0 0 L100 0 L100 50", "not closed"),
            ("M0 0 L100 0 L100 50 Z M200 0 L210 0 L210 10 Z", "more than one"),
            ("M0 0 L1 0 L1 1 Z", "smaller"),
            ("M0 0 Q", "read"),
            ("", "no outline"),
        ] {
            let error = drawn(outline).unwrap_err();
            assert!(error.problem.contains(problem), "{outline}: {error}");
        }
    }
}
