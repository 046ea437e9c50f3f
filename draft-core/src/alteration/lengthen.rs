use kurbo::{Affine, BezPath, CubicBez, Line, ParamCurve, Point, Vec2};
use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::drawn_line::stretch;
use crate::geometry::{self, end, line_path, start};
use crate::place::{frame, level_spots};
use crate::ring::{Assembly, Ring, Stretch};
use crate::{Dart, Draft, DraftError, Length, MarkedLine, Name, NamedPoint, Piece, Place, Role, Unit};

/// A level of a piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Level {
    /// The piece.
    pub piece: Name,
    /// A place on the level, which runs square to the grain.
    pub at: Place,
}

/// Lengthens or shortens pieces at a level: everything below it moves down or up along the grain.
///
/// # Keeps
/// Every width above and below, and the grain line's direction. Darts across the level keep mouth and point.
/// # Changes
/// Each edge that crosses the level grows by `by` along the grain and is trued over the step.
/// # Source
/// Cutting a pattern along its lengthening line and spreading or lapping it evenly: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lengthen {
    /// The level on each piece: neighbours are altered together.
    pub levels: Vec<Level>,
    /// By how much; below nought it is shortened.
    pub by: Length,
}

/// How far to both sides of the level an edge is trued, in millimetres, when both parts no longer run on straight.
const TRUE_MM: f64 = 30.0;
/// Two directions that differ by less are one, radians.
const STRAIGHT_RAD: f64 = 0.005;

impl Lengthen {
    pub(super) fn what(&self) -> String {
        let verb = if self.by.mm() < 0.0 { "shorten" } else { "lengthen" };
        let names: Vec<&str> = self.levels.iter().map(|l| l.piece.as_str()).collect();
        format!("{verb} the {} by {}", names.join(", the "), Unit::Cm.text(self.by.mm().abs()))
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        if self.levels.is_empty() {
            return Err(DraftError::new("lengthen", "no piece is named", "Name a piece and a place on the level."));
        }
        let mut after = draft.clone();
        for level in &self.levels {
            let old = piece(&after, &level.piece)?;
            let new = self.lengthened(old, level.at.find(old)?)?;
            after = with(&after, new);
        }
        Ok(after)
    }

    fn lengthened(&self, old: &Piece, at: Point) -> Result<Piece, DraftError> {
        let by = self.by.mm();
        let (up, _) = frame(old);
        // Shortening takes away the band below the level.
        let (upper, lower) = (at, if by < 0.0 { at + up * by } else { at });
        let mut spots = level_spots(old, upper);
        if by < 0.0 {
            spots.extend(level_spots(old, lower));
        }
        if spots.len() < 2 {
            return Err(DraftError::new(
                old.name().to_string(),
                "the level does not cross it",
                "Choose a level between its upper and its lower end.",
            ));
        }
        let mut ring = Ring::of(old);
        ring.split(&spots);
        let down = Affine::translate(-up * by);
        // Height above the level, negative below.
        let height = |p: Point, level: Point| (p - level).dot(up);
        let middle = |s: &Stretch| {
            let bit = stretch(&s.path, 0.0, geometry::length(&s.path));
            let n = bit.segments().count();
            bit.segments().nth(n / 2).map_or(Point::ZERO, |seg| seg.eval(0.5))
        };
        let is_leg = |s: &Stretch| old.edges()[s.edge].role == Role::DartLeg;
        let map_of = |p: Point| -> Option<Affine> {
            if height(p, upper) > 0.0 {
                Some(Affine::IDENTITY)
            } else if height(p, lower) < 0.0 || by >= 0.0 {
                Some(down)
            } else {
                None
            }
        };
        let mut kept: Vec<Stretch> = Vec::new();
        let mut darts: Vec<Dart> = Vec::new();
        for s in ring.stretches.iter().filter(|s| !is_leg(s)) {
            if let Some(map) = map_of(middle(s)) {
                kept.push(s.moved(map));
            }
        }
        // Darts are drawn anew between their mouths and their point.
        let point = |p: Point| map_of(p).unwrap_or_else(|| Affine::translate(up * -height(p, upper))) * p;
        let mut legs: Vec<(Point, [Stretch; 2])> = Vec::new();
        for dart in old.darts() {
            let index = |name: &Name| old.edges().iter().position(|e| e.name == *name).unwrap_or(0);
            let ends = (old.edge_ends(dart.leg_a.as_str()), old.edge_ends(dart.leg_b.as_str()));
            let (Some((mouth_a, tip)), Some((_, mouth_b))) = ends else { continue };
            let (mouth_a, mouth_b) = (point(mouth_a), point(mouth_b));
            // The point of the dart stays as far from both mouths.
            let across = (mouth_b - mouth_a).normalize();
            let tip = point(tip);
            let tip = tip - across * (tip - mouth_a.midpoint(mouth_b)).dot(across);
            let leg = |edge: usize, from: Point, to: Point| Stretch::plain(edge, line_path(from, to));
            legs.push((mouth_a, [leg(index(&dart.leg_a), mouth_a, tip), leg(index(&dart.leg_b), tip, mouth_b)]));
            darts.push(Dart { tip, pivot: point(dart.pivot), ..dart.clone() });
        }
        let mut stretches: Vec<Stretch> = Vec::new();
        let count = kept.len();
        for (i, s) in kept.iter().enumerate() {
            let next = &kept[(i + 1) % count];
            stretches.push(s.clone());
            let (Some(from), Some(to)) = (end(&s.path), start(&next.path)) else { continue };
            if from.distance(to) < 1e-9 {
                continue;
            }
            if let Some((_, pair)) = legs.iter().find(|(mouth, _)| mouth.distance(from) < 1e-6) {
                stretches.extend(pair.iter().cloned());
            } else if s.edge == next.edge {
                stretches.push(Stretch::plain(s.edge, line_path(from, to)));
            } else {
                return Err(DraftError::new(
                    old.name().to_string(),
                    "the level takes away a whole edge",
                    "Shorten it less, or at another level.",
                ));
            }
        }
        let points = old.points().iter().map(|p| NamedPoint { at: point(p.at), ..p.clone() }).collect();
        let lines = old
            .lines()
            .iter()
            .map(|l| {
                let mid = l.path.segments().next().map_or(Point::ZERO, |s| s.eval(0.5));
                MarkedLine { name: l.name.clone(), path: map_of(mid).unwrap_or(Affine::IDENTITY) * l.path.clone() }
            })
            .collect();
        let built = Assembly {
            stretches: trued(stretches, self.by.mm().abs()),
            darts,
            points,
            lines,
            grain: Line::new(point(old.grain().p0), point(old.grain().p1)),
            ..Assembly::of(old)
        };
        built.build()
    }
}

/// Edges that run over the step smoothed into one line: over both sides of it, or, where the parts are in line, not at all.
fn trued(mut stretches: Vec<Stretch>, step: f64) -> Vec<Stretch> {
    let mut i = 0;
    while i < stretches.len() {
        let count = stretches.len();
        let next = (i + 1) % count;
        if stretches[i].edge != stretches[next].edge || i == next {
            i += 1;
            continue;
        }
        // A straight bridge stands between, or both parts meet with a jog already bridged.
        let bridge = stretches[next].clone();
        let after = (i + 2) % count;
        let is_bridge = bridge.path.segments().count() == 1 && stretches[after].edge == bridge.edge && after != i;
        if !is_bridge {
            i += 1;
            continue;
        }
        let (a, c) = (stretches[i].clone(), stretches[after].clone());
        let (ta, tb, tc) = (geometry::end_tangent(&a.path), geometry::start_tangent(&bridge.path), geometry::start_tangent(&c.path));
        let bends = |u: Vec2, v: Vec2| u.cross(v).atan2(u.dot(v)).abs();
        if bends(ta, tb) < STRAIGHT_RAD && bends(tb, tc) < STRAIGHT_RAD {
            i += 3;
            continue;
        }
        let (la, lc) = (geometry::length(&a.path), geometry::length(&c.path));
        let reach = TRUE_MM.max(step).min(0.45 * la).min(0.45 * lc);
        let first = stretch(&a.path, 0.0, la - reach);
        let last = stretch(&c.path, reach, lc);
        let (Some(from), Some(to)) = (end(&first), start(&last)) else {
            i += 1;
            continue;
        };
        let handle = from.distance(to) / 3.0;
        let middle: BezPath = geometry::cubic_path(&[CubicBez::new(
            from,
            from + geometry::end_tangent(&first) * handle,
            to - geometry::start_tangent(&last) * handle,
            to,
        )]);
        let middle_mm = geometry::length(&middle);
        // Notches within the trued stretch keep their distance from the nearer end of it.
        let mut notches = Vec::new();
        notches.extend(a.notches.iter().filter(|n| n.0 > la - reach).map(|n| (n.0 - (la - reach), n.1)));
        notches.extend(c.notches.iter().filter(|n| n.0 <= reach).map(|n| ((middle_mm - (reach - n.0)).max(0.0), n.1)));
        let edge = a.edge;
        stretches[i] = Stretch { edge, path: first, notches: a.notches.iter().filter(|n| n.0 <= la - reach).copied().collect() };
        stretches[next] = Stretch { edge, path: middle, notches };
        stretches[after] =
            Stretch { edge, path: last, notches: c.notches.iter().filter(|n| n.0 > reach).map(|n| (n.0 - reach, n.1)).collect() };
        i += 3;
    }
    stretches
}
