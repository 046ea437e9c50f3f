//! Where a line that is being drawn takes hold.

use kurbo::{ParamCurve, ParamCurveNearest, Point, Vec2};

use super::drawn::{place_at, squared};
use crate::drawn_line::inward;
use crate::place::{end_names, frame, nearest};
use crate::{Piece, Place, Role};

/// A point that was taken hold of.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapped {
    /// Where it is.
    pub at: Point,
    /// The place by which it is found again.
    pub place: Place,
    /// What it holds to, in words: `square to the armhole`.
    pub why: Option<String>,
}

/// A line that is nearer than this to a direction, degrees, lies along it.
const WITHIN: f64 = 2.5;

/// Takes hold of what is near a point of a piece, `reach_mm` away at most: a marked point; an edge, and on it the place where
/// the line meets it squarely, where it runs along the grain, across it or on the bias, as far from the corner as the line's
/// other end, half way along, or opposite; else a direction from the line's other end, the mirror image of that end or of a
/// marked point, or the length of the line before.
pub fn snapped(piece: &Piece, from: Option<Point>, to: Point, reach_mm: f64, before_mm: Option<f64>) -> Snapped {
    let held = |at: Point, why: Option<String>| {
        let place = place_at(piece, at, reach_mm.min(0.75));
        Snapped { at: place.find(piece).unwrap_or(at), place, why }
    };
    let marked = || piece.points().iter().filter(|p| p.marked);
    if let Some(point) = marked().min_by(|a, b| a.at.distance(to).total_cmp(&b.at.distance(to))).filter(|p| p.at.distance(to) <= reach_mm) {
        return Snapped { at: point.at, place: Place::Point(point.name.clone()), why: Some(format!("at the {}", point.name)) };
    }
    let mirrors = from.map(|p| (mirrored(piece, p), "mirrors the other end".to_owned()));
    let mirrors = mirrors.into_iter().chain(marked().map(|p| (mirrored(piece, p.at), format!("mirrors the {}", p.name))));
    let near = |at: &Point| at.distance(to) <= reach_mm;
    let on_edge = nearest(piece, to).filter(|(spot, far)| *far <= reach_mm && piece.edges()[spot.edge].role != Role::DartLeg);
    if let Some((spot, _)) = on_edge {
        let edge = piece.edges()[spot.edge].name.clone();
        let mut candidates: Vec<(Point, String)> = Vec::new();
        if let Some(from) = from {
            let feet = piece.segments().filter(|(e, _)| *e == spot.edge).map(|(_, s)| (s.nearest(from, 1e-6), s));
            let foot = feet.filter(|(n, _)| n.t > 0.0 && n.t < 1.0).min_by(|a, b| a.0.distance_sq.total_cmp(&b.0.distance_sq));
            candidates.extend(foot.map(|(n, s)| (s.eval(n.t), format!("square to the {edge}"))));
            for (direction, why) in directions(piece, from) {
                for hit in meets(piece, spot.edge, from, direction) {
                    candidates.push((hit, format!("{why}, on the {edge}")));
                }
            }
            if let Some((other, far)) = nearest(piece, from)
                && far < 1.0
            {
                candidates.extend(as_far(piece, &other, spot.edge));
            }
        }
        let length = piece.edge_length_mm(edge.as_str()).unwrap_or(0.0);
        candidates.extend(piece.along_edge(edge.as_str(), length / 2.0).map(|(p, _)| (p, format!("half way along the {edge}"))));
        candidates.extend(mirrors.filter(|(p, _)| nearest(piece, *p).is_some_and(|(s, far)| s.edge == spot.edge && far < 1.0)));
        let best = candidates.into_iter().filter(|(p, _)| near(p)).min_by(|a, b| a.0.distance(to).total_cmp(&b.0.distance(to)));
        return match best {
            Some((at, why)) => held(at, Some(why)),
            None => held(spot.at, Some(format!("on the {edge}"))),
        };
    }
    if let Some((at, why)) = mirrors.filter(|(p, _)| near(p)).min_by(|a, b| a.0.distance(to).total_cmp(&b.0.distance(to))) {
        return held(at, Some(why));
    }
    let Some(from) = from else { return held(to, None) };
    let by = to - from;
    let turned = squared(piece, from, to, WITHIN);
    let aside = |d: Vec2| by.cross(d).abs().atan2(by.dot(d).abs()).to_degrees();
    let mut why = directions(piece, from).into_iter().find(|(d, _)| aside(*d) <= WITHIN);
    let mut at = match &why {
        Some((direction, _)) if turned == to => from + *direction * by.dot(*direction),
        _ => turned,
    };
    if let Some(before) = before_mm
        && (at.distance(from) - before).abs() <= reach_mm / 2.0
        && at.distance(from) > 1.0
    {
        at = from + (at - from).normalize() * before;
        let text = why.as_ref().map_or_else(String::new, |(_, text)| format!("{text}, "));
        why = Some((Vec2::ZERO, format!("{text}as long as the line before")));
    }
    held(at, why.map(|(_, why)| why))
}

/// Directions that a line from a point may take exactly, with what they are.
fn directions(piece: &Piece, from: Point) -> Vec<(Vec2, String)> {
    let (up, right) = frame(piece);
    let bias = |a: Vec2, b: Vec2| (a + b).normalize();
    let mut out = vec![
        (up, "along the grain".to_owned()),
        (right, "square to the grain".to_owned()),
        (bias(up, right), "on the bias".to_owned()),
        (bias(up, -right), "on the bias".to_owned()),
    ];
    if let Some((spot, far)) = nearest(piece, from)
        && far < 1.0
    {
        out.push((inward(piece, &spot), format!("square to the {}", piece.edges()[spot.edge].name)));
    }
    out
}

/// Where a straight line through a point meets an edge.
fn meets(piece: &Piece, edge: usize, from: Point, direction: Vec2) -> Vec<Point> {
    let reach = direction * 20_000.0;
    let line = kurbo::Line::new(from - reach, from + reach);
    let segments = piece.segments().filter(|(e, _)| *e == edge);
    segments
        .flat_map(|(_, s)| s.intersect_line(line).into_iter().map(move |h| s.eval(h.segment_t.clamp(0.0, 1.0))).collect::<Vec<_>>())
        .collect()
}

/// Places on an edge as far from its corners as another place is from the ends of its own edge.
fn as_far(piece: &Piece, other: &crate::place::Spot, edge: usize) -> Vec<(Point, String)> {
    let (own, there) = (&piece.edges()[other.edge].name, &piece.edges()[edge].name);
    let (Some([a, b]), Some([p, q])) = (end_names(piece, own), end_names(piece, there)) else { return Vec::new() };
    let (length, long) = (piece.edge_length_mm(own.as_str()).unwrap_or(0.0), piece.edge_length_mm(there.as_str()).unwrap_or(0.0));
    let mut out = Vec::new();
    for (corner, mm) in [(&a, other.at_mm), (&b, length - other.at_mm)] {
        for (name, at_mm) in [(&p, mm), (&q, long - mm)] {
            // Two edges that meet the same one, or each other, have a corner to be counted from.
            let shared = name == corner || name == own && corner == there || other.edge == edge;
            if shared && (0.0..=long).contains(&at_mm) {
                out.extend(piece.along_edge(there.as_str(), at_mm).map(|(at, _)| (at, format!("as far from the {name} as the other end"))));
            }
        }
    }
    out.retain(|(p, _)| p.distance(other.at) > 1.0);
    out
}

/// The mirror image of a point about the line along the grain through the middle of the piece.
fn mirrored(piece: &Piece, p: Point) -> Point {
    let (_, right) = frame(piece);
    let across = (p - piece.bounds().center()).dot(right);
    p - right * (2.0 * across)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::PieceBuilder;

    fn square() -> Piece {
        let p = Point::new;
        PieceBuilder::new("square")
            .line("top", Role::Seam, 0.0, p(0.0, 0.0), p(200.0, 0.0))
            .line("right", Role::Seam, 0.0, p(200.0, 0.0), p(200.0, 200.0))
            .line("bottom", Role::Seam, 0.0, p(200.0, 200.0), p(0.0, 200.0))
            .line("left", Role::Seam, 0.0, p(0.0, 200.0), p(0.0, 0.0))
            .point("middle", p(60.0, 100.0))
            .grain(p(100.0, 190.0), p(100.0, 10.0))
            .build()
            .unwrap()
    }

    #[test]
    fn a_line_takes_hold_of_what_is_near() {
        let piece = square();
        let p = Point::new;
        let told = |from: Option<Point>, to: Point| {
            let s = snapped(&piece, from, to, 8.0, Some(50.0));
            (s.at, s.why.unwrap_or_default())
        };
        assert_eq!(told(None, p(63.0, 98.0)), (p(60.0, 100.0), "at the middle".into()));
        assert_eq!(told(None, p(143.0, 98.0)), (p(140.0, 100.0), "mirrors the middle".into()));
        assert_eq!(told(None, p(30.0, 4.0)), (p(30.0, 0.0), "on the top".into()));
        assert_eq!(told(None, p(103.0, 4.0)), (p(100.0, 0.0), "half way along the top".into()));
        // From an edge: squarely across, and as far from the corner as the other end.
        let from = Some(p(40.0, 0.0));
        assert_eq!(told(from, p(42.0, 197.0)).0, p(40.0, 200.0));
        assert_eq!(told(from, p(3.0, 42.0)).0, p(0.0, 40.0));
        assert_eq!(told(from, p(157.0, 3.0)).0, p(160.0, 0.0));
        // Free: a direction, and the length of the line before.
        let (at, why) = told(Some(p(40.0, 20.0)), p(91.0, 21.0));
        assert_eq!(at, p(90.0, 20.0));
        assert_eq!(why, "square to the grain, as long as the line before");
        assert_eq!(told(Some(p(40.0, 20.0)), p(120.0, 60.0)), (p(120.0, 60.0), String::new()));
    }
}
