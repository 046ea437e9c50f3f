//! Lines drawn on a piece: through named places, with the curve between them kept in the frame that they span.

use kurbo::{Affine, BezPath, CubicBez, ParamCurve, Point, Vec2};
use serde::{Deserialize, Serialize};

use crate::place::{Place, Spot, handed};
use crate::{DraftError, Length, Name, Piece, geometry};

/// How a line runs from one of its places to the next.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Bend {
    /// Straight.
    #[default]
    Straight,
    /// A shallow even curve that stands this far to the right of the straight line at its middle, as one walks along
    /// it on the printed side; below nought to the left.
    Bow(Length),
    /// A curve that leaves the edges of the piece at its ends squarely, as a neckline or a hem does.
    Square,
    /// Free cubics, one after the other: inner handles and joints in the frame of the two places, along and to the
    /// right, in parts of the distance between them. Two points make one cubic, five make two, and so on.
    Free(Vec<(f64, f64)>),
}

/// A line through two or more places.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrawnLine {
    /// The places, from one end to the other.
    pub through: Vec<Place>,
    /// How it runs from each to the next; what is not given is straight.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bends: Vec<Bend>,
}

/// Handles of a curve that leaves both ends squarely, in parts of the distance between its ends.
pub(crate) const SQUARE_HANDLE: f64 = 0.4;

impl DrawnLine {
    /// A straight line.
    pub fn straight(from: Place, to: Place) -> Self {
        Self { through: vec![from, to], bends: Vec::new() }
    }

    /// A line with one bend.
    pub fn bent(from: Place, to: Place, bend: Bend) -> Self {
        Self { through: vec![from, to], bends: vec![bend] }
    }

    /// The same line from its other end.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let turned = |bend: &Bend| match bend {
            Bend::Straight => Bend::Straight,
            Bend::Bow(by) => Bend::Bow(Length::from_mm(-by.mm())),
            Bend::Square => Bend::Square,
            Bend::Free(inner) => Bend::Free(inner.iter().rev().map(|(along, aside)| (1.0 - along, -aside)).collect()),
        };
        let mut bends = self.bends.clone();
        bends.resize(self.through.len().saturating_sub(1), Bend::Straight);
        let bends: Vec<Bend> = bends.iter().rev().map(turned).collect();
        let straight = bends.iter().all(|b| *b == Bend::Straight);
        Self { through: self.through.iter().rev().cloned().collect(), bends: if straight { Vec::new() } else { bends } }
    }

    /// The places where it starts and ends.
    ///
    /// # Errors
    /// It has fewer than two places.
    pub fn ends(&self) -> Result<(&Place, &Place), DraftError> {
        match (self.through.first(), self.through.last()) {
            (Some(first), Some(last)) if self.through.len() > 1 => Ok((first, last)),
            _ => Err(DraftError::new("line", "has fewer than two places", "Give it a place to start from and one to end at.")),
        }
    }

    /// The line on a piece, `place` saying where each of its places lies.
    ///
    /// # Errors
    /// A place is not there, two places that follow one another are the same, or a free curve has a wrong count of points.
    pub fn path(&self, piece: &Piece) -> Result<BezPath, DraftError> {
        self.path_through(piece, |place| place.find(piece).map(|at| (at, Affine::IDENTITY)))
    }

    /// The line on a piece whose cloth is laid so that its darts are closed: the caller says where each place then
    /// lies, and by which map the cloth came there.
    pub(crate) fn path_through(
        &self,
        piece: &Piece,
        find: impl Fn(&Place) -> Result<(Point, Affine), DraftError>,
    ) -> Result<BezPath, DraftError> {
        self.ends()?;
        let points = self.through.iter().map(find).collect::<Result<Vec<_>, _>>()?;
        let mut path = BezPath::new();
        path.move_to(points[0].0);
        for (i, leg) in points.windows(2).enumerate() {
            let (from, to) = (leg[0].0, leg[1].0);
            let chord = to - from;
            if chord.hypot() < 0.01 {
                return Err(DraftError::new(
                    piece.name().to_string(),
                    "a line has two of its places on top of each other",
                    "Move one of them.",
                ));
            }
            let right = Vec2::new(-chord.y, chord.x) * handed(piece);
            match self.bends.get(i).unwrap_or(&Bend::Straight) {
                Bend::Straight => path.line_to(to),
                Bend::Bow(by) => {
                    // A cubic stands at 3/4 of its handles' height in the middle.
                    let lift = right.normalize() * (by.mm() / 0.75);
                    path.curve_to(from + chord / 3.0 + lift, to - chord / 3.0 + lift, to);
                }
                Bend::Square => {
                    let reach = chord.hypot() * SQUARE_HANDLE;
                    let handle = |place: &Place, placed: Affine, toward: Vec2| -> Vec2 {
                        let straight = toward.normalize();
                        let Ok(spot) = place.spot(piece) else { return straight * reach };
                        let normal = inward(piece, &spot);
                        let normal = placed * normal.to_point() - placed * Point::ZERO;
                        if normal.dot(straight) < 0.05 { straight * reach } else { normal * reach }
                    };
                    let c1 = from + handle(&self.through[i], leg[0].1, chord);
                    let c2 = to + handle(&self.through[i + 1], leg[1].1, -chord);
                    path.curve_to(c1, c2, to);
                }
                Bend::Free(inner) => {
                    if inner.len() % 3 != 2 {
                        return Err(DraftError::new(
                            piece.name().to_string(),
                            format!("a free curve has {} inner points", inner.len()),
                            "Give two for one cubic, five for two, eight for three.",
                        ));
                    }
                    let at = |&(along, aside): &(f64, f64)| from + chord * along + right * aside;
                    let mut all: Vec<Point> = inner.iter().map(at).collect();
                    all.push(to);
                    for c in all.chunks_exact(3) {
                        path.curve_to(c[0], c[1], c[2]);
                    }
                }
            }
        }
        if geometry::is_finite(&path) {
            Ok(path)
        } else {
            Err(DraftError::new(piece.name().to_string(), "a line has a number that can't be used", "Draw the line again."))
        }
    }

    /// The line of these cubics, on a piece: one from each place to the next.
    pub fn of_cubics(piece: &Piece, through: Vec<Place>, cubics: &[CubicBez]) -> Option<Self> {
        let mut bends = Vec::with_capacity(cubics.len());
        for (i, c) in cubics.iter().enumerate() {
            let mut path = BezPath::new();
            path.move_to(c.p0);
            path.curve_to(c.p1, c.p2, c.p3);
            bends.extend(Self::of_path(piece, &path, through.get(i)?.clone(), through.get(i + 1)?.clone())?.bends);
        }
        (through.len() == cubics.len() + 1 && !cubics.is_empty()).then_some(Self { through, bends })
    }

    /// The line that a path is, on a piece: its ends as the places given, and the curve between as free cubics.
    pub fn of_path(piece: &Piece, path: &BezPath, from: Place, to: Place) -> Option<Self> {
        let (start, end) = (geometry::start(path)?, geometry::end(path)?);
        let chord = end - start;
        if chord.hypot() < 0.01 {
            return None;
        }
        let cubics: Vec<CubicBez> = path.segments().map(|s| s.to_cubic()).collect();
        let right = Vec2::new(-chord.y, chord.x) * handed(piece);
        let scale = chord.hypot2();
        let local = |p: Point| ((p - start).dot(chord) / scale, (p - start).dot(right) / scale);
        let mut inner = Vec::with_capacity(cubics.len() * 3);
        for (i, c) in cubics.iter().enumerate() {
            if i > 0 {
                inner.push(local(c.p0));
            }
            inner.push(local(c.p1));
            inner.push(local(c.p2));
        }
        let bend = if path.segments().all(|s| matches!(s, kurbo::PathSeg::Line(_))) && cubics.len() == 1 {
            Bend::Straight
        } else {
            Bend::Free(inner)
        };
        Some(Self::bent(from, to, bend))
    }
}

/// Direction into the piece, square to its outline at a place.
pub(crate) fn inward(piece: &Piece, spot: &Spot) -> Vec2 {
    let name: &Name = &piece.edges()[spot.edge].name;
    let along = piece.along_edge(name.as_str(), spot.at_mm).map_or(Vec2::ZERO, |(_, d)| d);
    Vec2::new(-along.y, along.x) * handed(piece)
}

/// The sub-path between two shares of a path's length.
pub(crate) fn stretch(path: &BezPath, from_mm: f64, to_mm: f64) -> BezPath {
    use kurbo::ParamCurveArclen;
    let mut out = BezPath::new();
    let mut before = 0.0;
    for seg in path.segments() {
        let length = geometry::segment_length(&seg);
        let (a, b) = ((from_mm - before).max(0.0), (to_mm - before).min(length));
        if b - a > 1e-9 {
            let t = |mm: f64| {
                if mm <= 0.0 {
                    0.0
                } else if mm >= length {
                    1.0
                } else {
                    seg.inv_arclen(mm, 1e-9)
                }
            };
            let sub = seg.subsegment(t(a)..t(b));
            if out.elements().is_empty() {
                out.move_to(sub.start());
            }
            out.push(sub.as_path_el());
        }
        before += length;
    }
    out
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use kurbo::Shape;

    use super::*;
    use crate::{PieceBuilder, Role};

    fn square() -> Piece {
        let p = Point::new;
        PieceBuilder::new("square")
            .line("top", Role::Seam, 0.0, p(0.0, 0.0), p(100.0, 0.0))
            .line("right", Role::Seam, 0.0, p(100.0, 0.0), p(100.0, 100.0))
            .line("bottom", Role::Seam, 0.0, p(100.0, 100.0), p(0.0, 100.0))
            .line("left", Role::Seam, 0.0, p(0.0, 100.0), p(0.0, 0.0))
            .grain(p(50.0, 90.0), p(50.0, 10.0))
            .build()
            .unwrap()
    }

    #[test]
    fn a_bow_stands_off_by_what_was_asked() {
        let piece = square();
        let line =
            DrawnLine::bent(Place::share("left", "bottom", 0.5), Place::share("right", "top", 0.5), Bend::Bow(Length::from_mm(12.0)));
        let bounds = line.path(&piece).unwrap().bounding_box();
        assert!((bounds.y1 - 62.0).abs() < 1e-9 && (bounds.y0 - 50.0).abs() < 1e-9, "{bounds:?}");
    }

    #[test]
    fn a_square_end_is_square() {
        let piece = square();
        let line = DrawnLine::bent(Place::share("top", "left", 0.5), Place::share("left", "top", 0.5), Bend::Square);
        let path = line.path(&piece).unwrap();
        assert!((geometry::start_tangent(&path) - Vec2::new(0.0, 1.0)).hypot() < 1e-9);
        assert!((geometry::end_tangent(&path) - Vec2::new(-1.0, 0.0)).hypot() < 1e-9);
    }

    #[test]
    fn turned_round_it_runs_the_same_way_back() {
        let piece = square();
        let (from, to) = (Place::share("left", "bottom", 0.3), Place::share("right", "top", 0.5));
        for bend in [Bend::Straight, Bend::Bow(Length::from_mm(12.0)), Bend::Square, Bend::Free(vec![(0.2, 0.1), (0.7, -0.2)])] {
            let line = DrawnLine::bent(from.clone(), to.clone(), bend);
            let (there, back) = (line.path(&piece).unwrap(), line.reversed().path(&piece).unwrap());
            let there = geometry::reversed(&there);
            for (a, b) in there.segments().zip(back.segments()) {
                assert!(a.eval(0.3).distance(b.eval(0.3)) < 1e-9, "{line:?}");
            }
        }
    }

    #[test]
    fn a_path_comes_back_from_its_line() {
        let piece = square();
        let mut path = BezPath::new();
        path.move_to((0.0, 40.0));
        path.curve_to((20.0, 30.0), (40.0, 70.0), (60.0, 50.0));
        path.curve_to((70.0, 40.0), (90.0, 20.0), (100.0, 35.0));
        let (from, to) = (Place::along("left", "top", Length::from_mm(40.0)), Place::along("right", "top", Length::from_mm(35.0)));
        let again = DrawnLine::of_path(&piece, &path, from, to).unwrap().path(&piece).unwrap();
        for (a, b) in path.segments().zip(again.segments()) {
            assert!(a.eval(0.5).distance(b.eval(0.5)) < 1e-9);
        }
    }
}
