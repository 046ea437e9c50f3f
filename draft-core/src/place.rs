//! Places on a piece, given only by named things, so that they are found again on every redraft and every wearer.

use kurbo::{ParamCurve, ParamCurveNearest, PathSeg, Point, Shape, Vec2};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::{DraftError, Length, Name, Piece, Unit, geometry, parse_length};

/// How far along an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Along {
    /// A length from the end named, along the seam line, darts not counted.
    Length(Length),
    /// A share of the edge's length, from 0 to 1.
    Share(f64),
}

impl Along {
    /// In millimetres on an edge of this length.
    fn mm(self, edge_mm: f64) -> f64 {
        match self {
            Self::Length(length) => length.mm(),
            Self::Share(share) => share * edge_mm,
        }
    }
}

/// In files: a length with its unit, or a percentage, or a share (`"8 cm"`, `"50 %"`, `"0.5 of it"`).
impl Serialize for Along {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Length(length) => length.serialize(serializer),
            // Where the percentage would not read back as the very same share, the share itself is written.
            Self::Share(share) if share * 100.0 / 100.0 == *share => serializer.serialize_str(&format!("{} %", share * 100.0)),
            Self::Share(share) => serializer.serialize_str(&format!("{share} of it")),
        }
    }
}

impl<'de> Deserialize<'de> for Along {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(de::Error::custom)
    }
}

impl std::str::FromStr for Along {
    type Err = String;

    /// Reads `8 cm` (a bare number is millimetres) or `50 %`.
    fn from_str(text: &str) -> Result<Self, String> {
        if let Some(number) = text.trim().strip_suffix('%') {
            return match crate::parse_angle(number) {
                Ok(percent) if (0.0..=100.0).contains(&percent) => Ok(Self::Share(percent / 100.0)),
                _ => Err(format!("{text:?} is not a share from 0 % to 100 %")),
            };
        }
        if let Some(share) = text.trim().strip_suffix("of it") {
            return match share.trim().parse() {
                Ok(share) if (0.0..=1.0).contains(&share) => Ok(Self::Share(share)),
                _ => Err(format!("{text:?} is not a share from 0 to 1")),
            };
        }
        let mm = parse_length(text, Unit::Mm).map_err(|e| format!("{text:?} {e}"))?;
        Ok(Self::Length(Length::from_mm(mm)))
    }
}

/// A place on a piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Place {
    /// A named point: `Point("bust point")`.
    Point(Name),
    /// Along an edge from one of its ends.
    Edge {
        /// The edge.
        edge: Name,
        /// The end to count from, named by the edge or the point that it meets there. On an edge that meets the same
        /// edge at both ends: `start` or `end`, as the outline runs.
        from: Name,
        /// How far.
        at: Along,
    },
    /// Away from another place.
    Off {
        /// That place.
        of: Box<Place>,
        /// Up along the grain; below nought it is down.
        #[serde(default)]
        up: Length,
        /// Across the grain to the right, as the piece lies with its printed side up; below nought it is to the left.
        #[serde(default)]
        across: Length,
    },
    /// Where a straight line from another place meets an edge.
    Meet {
        /// From here.
        from: Box<Place>,
        /// In this direction, degrees: 0 to the right across the grain, 90 up along it.
        degrees: f64,
        /// The edge that it meets.
        edge: Name,
    },
}

/// A place on an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spot {
    /// Which of [`Piece::edges`].
    pub edge: usize,
    /// Distance along the edge's parts from its start, millimetres.
    pub at_mm: f64,
    /// Where that is.
    pub at: Point,
}

/// How far a point may lie from the outline to count as on it, millimetres.
const ON_OUTLINE_MM: f64 = 0.5;

/// Up along the grain and across it to the right, both of length one, as the piece lies with its printed side up.
pub(crate) fn frame(piece: &Piece) -> (Vec2, Vec2) {
    let grain = piece.grain();
    let up = (grain.p1 - grain.p0).normalize();
    let up = if up.is_finite() { up } else { Vec2::new(0.0, -1.0) };
    (up, Vec2::new(-up.y, up.x) * handed(piece))
}

/// 1 for a piece whose outline runs clockwise as seen, −1 for its mirror image.
pub(crate) fn handed(piece: &Piece) -> f64 {
    if piece.outline().area() < 0.0 { -1.0 } else { 1.0 }
}

impl Place {
    /// A place along an edge.
    pub fn along(edge: impl Into<Name>, from: impl Into<Name>, at: Length) -> Self {
        Self::Edge { edge: edge.into(), from: from.into(), at: Along::Length(at) }
    }

    /// A share of an edge.
    pub fn share(edge: impl Into<Name>, from: impl Into<Name>, share: f64) -> Self {
        Self::Edge { edge: edge.into(), from: from.into(), at: Along::Share(share) }
    }

    /// A named point.
    pub fn point(name: impl Into<Name>) -> Self {
        Self::Point(name.into())
    }

    /// This place moved up along the grain and across it to the right; millimetres.
    #[must_use]
    pub fn off(self, up_mm: f64, across_mm: f64) -> Self {
        Self::Off { of: Box::new(self), up: Length::from_mm(up_mm), across: Length::from_mm(across_mm) }
    }

    /// Where it is.
    ///
    /// # Errors
    /// The piece has no such point or edge, or the edge is shorter than asked.
    pub fn find(&self, piece: &Piece) -> Result<Point, DraftError> {
        match self {
            Self::Point(name) => piece.point(name.as_str()).ok_or_else(|| no_point(piece, name)),
            Self::Edge { .. } | Self::Meet { .. } => self.spot(piece).map(|s| s.at),
            Self::Off { of, up, across } => {
                let (along, right) = frame(piece);
                Ok(of.find(piece)? + along * up.mm() + right * across.mm())
            }
        }
    }

    /// The edge that it is on, and how far along it from where the outline starts it, millimetres.
    ///
    /// # Errors
    /// As for [`Place::find`], or it does not lie on the outline.
    pub fn on_edge(&self, piece: &Piece) -> Result<(Name, f64), DraftError> {
        let spot = self.spot(piece)?;
        Ok((piece.edges()[spot.edge].name.clone(), spot.at_mm))
    }

    /// The place on the outline.
    ///
    /// # Errors
    /// As for [`Place::find`], or it does not lie on the outline.
    pub(crate) fn spot(&self, piece: &Piece) -> Result<Spot, DraftError> {
        match self {
            Self::Edge { edge, from, at } => {
                let index = edge_index(piece, edge)?;
                let length = piece.edge_length_mm(edge.as_str()).unwrap_or(0.0);
                let mm = at.mm(length);
                if !(-1e-9..=length + 1e-6).contains(&mm) {
                    return Err(DraftError::new(
                        format!("{} / {edge}", piece.name()),
                        format!("is {}, and a place is asked for at {} of it", Unit::Cm.text(length), Unit::Cm.text(mm)),
                        "Choose a place that lies on the edge.",
                    ));
                }
                let mm = if from_start(piece, edge, from)? { mm } else { length - mm }.clamp(0.0, length);
                let (at, _) = piece.along_edge(edge.as_str(), mm).ok_or_else(|| no_edge(piece, edge))?;
                Ok(Spot { edge: index, at_mm: mm, at })
            }
            Self::Meet { from, degrees, edge } => {
                let index = edge_index(piece, edge)?;
                let start = from.find(piece)?;
                let (up, right) = frame(piece);
                let (sin, cos) = degrees.to_radians().sin_cos();
                let ray = kurbo::Line::new(start, start + (right * cos + up * sin) * REACH_MM);
                let mut before = 0.0;
                let mut best: Option<(f64, Spot)> = None;
                for part in piece.edge_parts(edge.as_str()) {
                    for seg in part.path.segments() {
                        for hit in seg.intersect_line(ray) {
                            let t = hit.segment_t.clamp(0.0, 1.0);
                            let at_mm = before + geometry::segment_length(&seg.subsegment(0.0..t));
                            if best.is_none_or(|(near, _)| hit.line_t < near) {
                                best = Some((hit.line_t, Spot { edge: index, at_mm, at: seg.eval(t) }));
                            }
                        }
                        before += geometry::segment_length(&seg);
                    }
                }
                best.map(|(_, spot)| spot).ok_or_else(|| {
                    DraftError::new(
                        format!("{} / {edge}", piece.name()),
                        format!("a line at {degrees}° does not meet it"),
                        "Choose another direction or another edge.",
                    )
                })
            }
            Self::Point(_) | Self::Off { .. } => {
                let at = self.find(piece)?;
                let (spot, distance) = nearest(piece, at).ok_or_else(|| no_edge(piece, &"outline".into()))?;
                if distance > ON_OUTLINE_MM {
                    return Err(DraftError::new(
                        piece.name().to_string(),
                        format!("a line should end on the outline, and ends {} away from it", Unit::Cm.text(distance)),
                        "Let the line end on an edge.",
                    ));
                }
                Ok(spot)
            }
        }
    }
}

/// Longer than any piece of clothing.
const REACH_MM: f64 = 20_000.0;

/// The place on the outline nearest to a point, and how far away it is.
pub(crate) fn nearest(piece: &Piece, to: Point) -> Option<(Spot, f64)> {
    nearest_where(piece, to, |_| true)
}

/// The same, on edges of one kind only.
pub(crate) fn nearest_where(piece: &Piece, to: Point, will_do: impl Fn(&crate::Edge) -> bool) -> Option<(Spot, f64)> {
    let mut best: Option<(f64, usize, PathSeg, f64, usize)> = None;
    for (n, (edge, seg)) in piece.segments().enumerate().filter(|(_, (edge, _))| will_do(&piece.edges()[*edge])) {
        let near = seg.nearest(to, 1e-9);
        if best.as_ref().is_none_or(|b| near.distance_sq < b.0) {
            best = Some((near.distance_sq, edge, seg, near.t, n));
        }
    }
    let (distance_sq, edge, seg, t, n) = best?;
    let before: f64 = piece.segments().take(n).filter(|(e, _)| *e == edge).map(|(_, s)| geometry::segment_length(&s)).sum();
    let at_mm = before + geometry::segment_length(&seg.subsegment(0.0..t));
    Some((Spot { edge, at_mm, at: seg.eval(t) }, distance_sq.sqrt()))
}

/// Where the level through a point, square to the grain, crosses the outline.
pub(crate) fn level_spots(piece: &Piece, level: Point) -> Vec<Spot> {
    let (up, _) = frame(piece);
    let side = Vec2::new(-up.y, up.x) * REACH_MM;
    let line = kurbo::Line::new(level - side, level + side);
    let mut walked = vec![0.0; piece.edges().len()];
    let mut spots = Vec::new();
    for (edge, seg) in piece.segments() {
        for hit in seg.intersect_line(line) {
            let t = hit.segment_t.clamp(0.0, 1.0);
            let at_mm = walked[edge] + geometry::segment_length(&seg.subsegment(0.0..t));
            spots.push(Spot { edge, at_mm, at: seg.eval(t) });
        }
        walked[edge] += geometry::segment_length(&seg);
    }
    spots
}

/// Whether the end of an edge that a name stands for is the one where it starts, as the outline runs.
pub(crate) fn from_start(piece: &Piece, edge: &Name, from: &Name) -> Result<bool, DraftError> {
    let index = edge_index(piece, edge)?;
    match from.as_str() {
        "start" => return Ok(true),
        "end" => return Ok(false),
        _ => {}
    }
    let parts = piece.parts();
    let count = parts.len();
    let first = parts.iter().position(|p| p.edge == index).unwrap_or(0);
    let last = parts.iter().rposition(|p| p.edge == index).unwrap_or(0);
    let neighbours = (parts[(first + count - 1) % count].edge, parts[(last + 1) % count].edge);
    let named = |edge: usize| piece.edges()[edge].name == *from;
    match (named(neighbours.0), named(neighbours.1)) {
        (true, false) => return Ok(true),
        (false, true) => return Ok(false),
        (true, true) => {
            return Err(DraftError::new(
                format!("{} / {edge}", piece.name()),
                format!("meets {from} at both ends"),
                "Name a point at the end that is meant, or say start or end, as the outline runs.",
            ));
        }
        (false, false) => {}
    }
    if let (Some(point), Some((start, end))) = (piece.point(from.as_str()), piece.edge_ends(edge.as_str())) {
        return Ok(point.distance(start) <= point.distance(end));
    }
    let (before, after) = (&piece.edges()[neighbours.0].name, &piece.edges()[neighbours.1].name);
    Err(DraftError::new(
        format!("{} / {edge}", piece.name()),
        format!("does not end at anything named {from}"),
        format!("Count from {before} or from {after}."),
    ))
}

/// Names for the start and the end of an edge, as the outline runs, by which it can be counted from there: the edges that it
/// meets, or `start` and `end` where it meets the same edge at both. `None` when the piece has no such edge.
pub fn end_names(piece: &Piece, edge: &Name) -> Option<[Name; 2]> {
    let index = piece.edges().iter().position(|e| e.name == *edge)?;
    let parts = piece.parts();
    let count = parts.len();
    let first = parts.iter().position(|p| p.edge == index)?;
    let last = parts.iter().rposition(|p| p.edge == index)?;
    let [before, after] = [parts[(first + count - 1) % count].edge, parts[(last + 1) % count].edge];
    if before == after {
        return Some(["start".into(), "end".into()]);
    }
    Some([before, after].map(|i| piece.edges()[i].name.clone()))
}

/// Index of an edge by its name.
pub(crate) fn edge_index(piece: &Piece, edge: &Name) -> Result<usize, DraftError> {
    piece.edges().iter().position(|e| e.name == *edge).ok_or_else(|| no_edge(piece, edge))
}

fn no_edge(piece: &Piece, edge: &Name) -> DraftError {
    let names: Vec<&str> = piece.edges().iter().map(|e| e.name.as_str()).collect();
    DraftError::new(piece.name().to_string(), format!("has no edge named {edge}"), format!("Choose one of: {}.", names.join(", ")))
}

fn no_point(piece: &Piece, point: &Name) -> DraftError {
    let names: Vec<&str> = piece.points().iter().map(|e| e.name.as_str()).collect();
    DraftError::new(piece.name().to_string(), format!("has no point named {point}"), format!("Choose one of: {}.", names.join(", ")))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::{PieceBuilder, Role};

    fn square() -> Piece {
        let p = Point::new;
        PieceBuilder::new("square")
            .line("top", Role::Seam, 0.0, p(0.0, 0.0), p(100.0, 0.0))
            .line("right", Role::Seam, 0.0, p(100.0, 0.0), p(100.0, 100.0))
            .line("bottom", Role::Seam, 0.0, p(100.0, 100.0), p(0.0, 100.0))
            .line("left", Role::Seam, 0.0, p(0.0, 100.0), p(0.0, 0.0))
            .point("middle", p(50.0, 50.0))
            .grain(p(50.0, 90.0), p(50.0, 10.0))
            .build()
            .unwrap()
    }

    #[test]
    fn an_end_is_named_by_what_it_meets() {
        let piece = square();
        let at = |from: &str| Place::along("right", from, Length::from_mm(30.0)).find(&piece).unwrap();
        assert_eq!(at("top"), Point::new(100.0, 30.0));
        assert_eq!(at("bottom"), Point::new(100.0, 70.0));
        let error = Place::along("right", "left", Length::from_mm(30.0)).find(&piece).unwrap_err();
        assert!(error.remedy.contains("top") && error.remedy.contains("bottom"), "{error}");
    }

    #[test]
    fn up_and_across_follow_the_grain_and_the_printed_side() {
        let piece = square();
        let place = Place::point("middle").off(10.0, 20.0);
        assert_eq!(place.find(&piece).unwrap(), Point::new(70.0, 40.0));
        let meets = Place::Meet { from: Box::new(Place::point("middle")), degrees: 45.0, edge: "right".into() };
        assert!(meets.find(&piece).unwrap().distance(Point::new(100.0, 0.0)) < 1e-6);
        assert!(Place::point("middle").spot(&piece).is_err());
    }

    #[test]
    fn a_distance_reads_as_it_is_written() {
        for text in ["30 mm", "8 cm", "12.5 %", "0.39092063168485724 of it"] {
            let along: Along = text.parse().unwrap();
            let written = ron::to_string(&along).unwrap();
            assert_eq!(ron::from_str::<Along>(&written).unwrap(), along);
        }
        assert!("120 %".parse::<Along>().is_err() && "far".parse::<Along>().is_err());
    }
}
