use kurbo::{Affine, BezPath, Point, Vec2};
use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::geometry::{self, end, start};
use crate::place::handed;
use crate::ring::{Assembly, Ring, Stretch};
use crate::{Dart, Draft, DraftError, Length, Name, Piece, Unit};

/// Makes a dart longer or shorter, wider or narrower, or swings its point aside, with both legs kept equal.
///
/// # Keeps
/// The dart's place and the point about which it turns; legs that are shaped keep their shape. With only its length
/// changed, every edge.
/// # Changes
/// The dart. Made wider it takes as much from its edge on each side of its mouth, made narrower it gives it back; with its
/// point swung aside both corners of the mouth move along their legs until these are equal.
/// # Source
/// Truing the legs of a dart to one another after its point was moved: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShapeDart {
    /// The piece.
    pub piece: Name,
    /// The dart.
    pub dart: Name,
    /// By how much its point moves on, away from the mouth; below nought the dart gets shorter.
    #[serde(default)]
    pub longer: Length,
    /// By how much its point moves to the right, as one looks from the mouth to it with the printed side up; below nought to
    /// the left.
    #[serde(default)]
    pub aside: Length,
    /// By how much its mouth opens wider; below nought narrower.
    #[serde(default)]
    pub wider: Length,
}

/// A dart shorter or narrower than this can't be sewn, millimetres.
pub(super) const LEAST: (f64, f64) = (10.0, 1.0);
/// What has to be left of an edge beside the mouth, millimetres.
pub(super) const LEFT_MM: f64 = 2.0;

/// A dart as it stands in the outline.
pub(crate) struct Standing {
    /// The corner of its mouth at which the outline comes to it.
    pub mouth_a: Point,
    /// The corner at which the outline goes on.
    pub mouth_b: Point,
    /// Where its legs meet.
    pub tip: Point,
}

impl Standing {
    /// `None` when a leg is not there.
    pub fn of(piece: &Piece, dart: &Dart) -> Option<Self> {
        let (mouth_a, tip) = piece.edge_ends(dart.leg_a.as_str())?;
        let (_, mouth_b) = piece.edge_ends(dart.leg_b.as_str())?;
        Some(Self { mouth_a, mouth_b, tip })
    }

    /// The middle of the mouth.
    pub fn middle(&self) -> Point {
        self.mouth_a.midpoint(self.mouth_b)
    }

    /// From the middle of the mouth to the point, of length one.
    pub fn onward(&self) -> Vec2 {
        (self.tip - self.middle()).normalize()
    }

    /// To the right of that, printed side up, of length one.
    pub fn right(&self, piece: &Piece) -> Vec2 {
        let on = self.onward();
        Vec2::new(-on.y, on.x) * handed(piece)
    }
}

impl ShapeDart {
    pub(super) fn what(&self) -> String {
        format!("shape the {} of the {}", self.dart, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        Ok(with(draft, self.shaped(piece(draft, &self.piece)?)?))
    }

    fn shaped(&self, old: &Piece) -> Result<Piece, DraftError> {
        let place = || format!("{} / {}", self.piece, self.dart);
        let gone = || {
            let names: Vec<&str> = old.darts().iter().map(|d| d.name.as_str()).collect();
            let remedy =
                if names.is_empty() { "Choose a piece with a dart.".into() } else { format!("Choose one of: {}.", names.join(", ")) };
            DraftError::new(self.piece.to_string(), format!("has no dart named {}", self.dart), remedy)
        };
        let dart = old.darts().iter().find(|d| d.name == self.dart).ok_or_else(gone)?;
        let was = Standing::of(old, dart).ok_or_else(gone)?;
        let tip = was.tip + was.onward() * self.longer.mm() + was.right(old) * self.aside.mm();
        let width = was.mouth_a.distance(was.mouth_b) + self.wider.mm();
        let refuse = |problem: String, remedy: &str| Err(DraftError::new(place(), problem, remedy));
        if width < LEAST.1 {
            return refuse(format!("would be {} wide at its mouth", Unit::Cm.text(width.max(0.0))), "Make it wider, or gather it.");
        }
        let depth = (tip - was.middle()).dot(was.onward());
        if depth < LEAST.0 {
            return refuse(format!("would be {} long", Unit::Cm.text(depth.max(0.0))), "Let its point stay further in.");
        }
        if !geometry::holds(&closed_over(old, dart), tip) {
            return refuse("would reach past the edge of the piece".into(), "Make it shorter.");
        }

        let mut ring = Ring::of(old);
        let count = ring.stretches.len();
        let is = |s: &Stretch, leg: &Name| old.edges()[s.edge].name == *leg;
        let ia = ring.stretches.iter().position(|s| is(s, &dart.leg_a)).ok_or_else(gone)?;
        let ib = (ia + 1) % count;
        if !is(&ring.stretches[ib], &dart.leg_b) {
            return refuse("has legs that do not meet at its point".into(), "Draft the piece again.");
        }
        let (before, after) = ((ia + count - 1) % count, (ib + 1) % count);
        let half = self.wider.mm() / 2.0;
        for neighbour in [before, after] {
            let length = geometry::length(&ring.stretches[neighbour].path);
            if length - half < LEFT_MM {
                let edge = &old.edges()[ring.stretches[neighbour].edge].name;
                return refuse(format!("has only {} of the {edge} beside it", Unit::Cm.text(length)), "Make it less wide.");
            }
        }
        let along = (was.mouth_b - was.mouth_a).normalize();
        // The corners of the mouth: back along the edges, or on across the mouth.
        let mouth_a = if half > 0.0 {
            let length = geometry::length(&ring.stretches[before].path);
            ring.stretches[before] = ring.split_off(before, length - half).0;
            end(&ring.stretches[before].path)
        } else {
            Some(was.mouth_a - along * half)
        };
        let mouth_b = if half > 0.0 {
            ring.stretches[after] = ring.split_off(after, half).1;
            start(&ring.stretches[after].path)
        } else {
            Some(was.mouth_b + along * half)
        };
        let (Some(mut mouth_a), Some(mut mouth_b)) = (mouth_a, mouth_b) else { return Err(gone()) };
        let (leg_a, leg_b) = (mouth_a.distance(tip), mouth_b.distance(tip));
        let leg = (leg_a + leg_b) / 2.0;
        mouth_a = tip + (mouth_a - tip) * (leg / leg_a);
        mouth_b = tip + (mouth_b - tip) * (leg / leg_b);
        if half < 0.0 {
            ring.stretches[before].path.line_to(mouth_a);
            let mut longer = geometry::line_path(mouth_b, was.mouth_b);
            longer.extend(ring.stretches[after].path.elements().iter().skip(1).copied());
            ring.stretches[after] = Stretch {
                edge: ring.stretches[after].edge,
                notches: ring.stretches[after].notches.iter().map(|n| (n.0 + mouth_b.distance(was.mouth_b), n.1)).collect(),
                path: longer,
            };
        } else {
            ring.stretches[before].path = drawn_to(&ring.stretches[before].path, mouth_a, false);
            ring.stretches[after].path = drawn_to(&ring.stretches[after].path, mouth_b, true);
        }
        for (i, from, to) in [(ia, (was.mouth_a, was.tip), (mouth_a, tip)), (ib, (was.tip, was.mouth_b), (tip, mouth_b))] {
            ring.stretches[i].path = carried(&ring.stretches[i].path, from, to);
        }
        let shaped = |d: &Dart| if d.name == self.dart { Dart { tip, ..d.clone() } } else { d.clone() };
        Assembly { stretches: ring.stretches, darts: old.darts().iter().map(shaped).collect(), ..Assembly::of(old) }.build()
    }
}

/// The outline with the mouth of a dart bridged straight.
fn closed_over(piece: &Piece, dart: &Dart) -> BezPath {
    let leg = |edge: &Name| *edge == dart.leg_a || *edge == dart.leg_b;
    let mut out = BezPath::new();
    for el in piece.parts().iter().filter(|p| !leg(&piece.edges()[p.edge].name)).flat_map(|p| p.path.elements()) {
        match *el {
            kurbo::PathEl::MoveTo(p) if !out.elements().is_empty() => out.line_to(p),
            el => out.push(el),
        }
    }
    out.close_path();
    out
}

/// A path by the turning, shifting and scaling that carries two points onto two others.
fn carried(path: &BezPath, from: (Point, Point), to: (Point, Point)) -> BezPath {
    let (was, is) = (from.1 - from.0, to.1 - to.0);
    let map = Affine::translate(to.0.to_vec2())
        * Affine::rotate(is.atan2() - was.atan2())
        * Affine::scale(is.hypot() / was.hypot().max(1e-9))
        * Affine::translate(-from.0.to_vec2());
    let mut path = map * path.clone();
    // Exactly, so that the outline closes.
    geometry::set_start(&mut path, to.0);
    geometry::set_end(&mut path, to.1);
    path
}

/// A path with one of its ends elsewhere nearby, and the handle there moved along.
pub(super) fn drawn_to(path: &BezPath, to: Point, at_start: bool) -> BezPath {
    let mut out = if at_start { geometry::reversed(path) } else { path.clone() };
    if let Some(kurbo::PathEl::CurveTo(_, handle, last)) = out.elements_mut().last_mut() {
        *handle += to - *last;
    }
    geometry::set_end(&mut out, to);
    if at_start { geometry::reversed(&out) } else { out }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::{PieceBuilder, Role};

    /// A square of 100 mm with a dart 20 mm wide and 60 mm deep in its upper edge, and a notch beyond it.
    fn darted() -> Draft {
        let p = Point::new;
        let piece = PieceBuilder::new("square")
            .line("top", Role::Seam, 0.0, p(0.0, 0.0), p(40.0, 0.0))
            .line("leg 1", Role::DartLeg, 0.0, p(40.0, 0.0), p(50.0, 60.0))
            .line("leg 2", Role::DartLeg, 0.0, p(50.0, 60.0), p(60.0, 0.0))
            .line("top", Role::Seam, 0.0, p(60.0, 0.0), p(100.0, 0.0))
            .line("right", Role::Seam, 0.0, p(100.0, 0.0), p(100.0, 100.0))
            .line("bottom", Role::Seam, 0.0, p(100.0, 100.0), p(0.0, 100.0))
            .line("left", Role::Seam, 0.0, p(0.0, 100.0), p(0.0, 0.0))
            .notch("top", 70.0, false)
            .grain(p(20.0, 90.0), p(20.0, 10.0))
            .dart(Dart {
                name: "dart".into(),
                leg_a: "leg 1".into(),
                leg_b: "leg 2".into(),
                tip: p(50.0, 60.0),
                pivot: p(50.0, 70.0),
                pressed_to_a: true,
            })
            .build()
            .unwrap();
        Draft { pieces: vec![std::sync::Arc::new(piece)], ..Draft::default() }
    }

    fn shaped(longer: f64, aside: f64, wider: f64) -> Result<Piece, DraftError> {
        let mm = Length::from_mm;
        let shape = ShapeDart { piece: "square".into(), dart: "dart".into(), longer: mm(longer), aside: mm(aside), wider: mm(wider) };
        shape.apply(&darted()).map(|d| d.pieces[0].as_ref().clone())
    }

    #[test]
    fn longer_moves_the_point_alone() {
        let new = shaped(15.0, 0.0, 0.0).unwrap();
        assert!(new.darts()[0].tip.distance(Point::new(50.0, 75.0)) < 1e-9);
        assert!((new.edge_length_mm("top").unwrap() - 80.0).abs() < 1e-9);
        assert!((new.notches()[0].from_start_mm - 70.0).abs() < 1e-9);
    }

    #[test]
    fn wider_takes_from_both_sides_and_narrower_gives_back() {
        for by in [12.0, -12.0] {
            let new = shaped(0.0, 0.0, by).unwrap();
            assert!((new.edge_length_mm("top").unwrap() - (80.0 - by)).abs() < 1e-9, "{by}");
            // The notch stays where it is on the cloth: 10 mm before the corner at the right.
            let (at, _) = new.along_edge("top", new.notches()[0].from_start_mm).unwrap();
            assert!(at.distance(Point::new(90.0, 0.0)) < 1e-6, "{by}: {at:?}");
        }
    }

    #[test]
    fn aside_is_to_the_right_and_the_legs_stay_equal() {
        let new = shaped(0.0, 8.0, 0.0).unwrap();
        // Looking down the dart with the printed side up, right is to the left of the sheet.
        assert!(new.darts()[0].tip.distance(Point::new(42.0, 60.0)) < 1e-9, "{:?}", new.darts()[0].tip);
        let leg = |name: &str| new.edge_length_mm(name).unwrap();
        assert!((leg("leg 1") - leg("leg 2")).abs() < 1e-9);
    }

    #[test]
    fn what_can_t_be_sewn_is_refused() {
        assert!(shaped(-55.0, 0.0, 0.0).unwrap_err().problem.contains("long"));
        assert!(shaped(0.0, 0.0, -19.5).unwrap_err().problem.contains("wide"));
        assert!(shaped(0.0, 0.0, 79.0).unwrap_err().problem.contains("beside it"));
        assert!(shaped(41.0, 0.0, 0.0).unwrap_err().problem.contains("past the edge"));
    }
}
