use kurbo::Point;
use serde::{Deserialize, Serialize};

use super::shape_dart::{LEAST, LEFT_MM, drawn_to};
use super::{piece, sewn, unique_edge, with};
use crate::geometry::{self, end, line_path, start};
use crate::place::Spot;
use crate::ring::{Assembly, Ring, Stretch};
use crate::{Dart, Draft, DraftError, Edge, Gather, Length, Name, Piece, Place, Role, Unit};

/// Sews a new dart: folds cloth away from an edge toward a point inside the piece.
///
/// # Keeps
/// Every other edge, and the cloth beside the dart where it lies.
/// # Changes
/// The edge is shorter by the intake, half of it on each side of where the dart opens, and no longer as long as what it is
/// sewn to; where it runs aslant of the dart both corners of the mouth move along their legs until these are equal.
/// # Source
/// A dart marked on the cloth by its intake and its point, its legs trued to one another: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SewDart {
    /// The piece.
    pub piece: Name,
    /// What the dart is called.
    pub dart: Name,
    /// The middle of its mouth, on an edge.
    pub opens: Place,
    /// Its point.
    pub point: Place,
    /// How much of the edge it takes in.
    pub intake: Length,
    /// Whether the fold is pressed toward the leg that comes second along the outline.
    #[serde(default)]
    pub pressed_onward: bool,
}

impl SewDart {
    pub(super) fn what(&self) -> String {
        format!("sew the {} of {} in the {}", self.dart, Unit::Cm.text(self.intake.mm()), self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let (new, legs) = self.darted(piece(draft, &self.piece)?)?;
        let mut after = with(draft, new);
        after.seams.push(sewn(&self.piece, &legs[0], &self.piece, &legs[1]));
        Ok(after)
    }

    fn darted(&self, old: &Piece) -> Result<(Piece, [Name; 2]), DraftError> {
        let refuse = |problem: String, remedy: &str| DraftError::new(format!("{} / {}", self.piece, self.dart), problem, remedy);
        if self.dart.as_str().trim().is_empty() {
            return Err(refuse("has no name".into(), "Give the dart one."));
        }
        if old.darts().iter().any(|d| d.name == self.dart) {
            return Err(refuse("is there already".into(), "Give the new dart another name."));
        }
        let legs: [Name; 2] = [1, 2].map(|n| format!("{} leg {n}", self.dart).into());
        for leg in &legs {
            unique_edge(old, leg)?;
        }
        let (spot, tip) = (self.opens.spot(old)?, self.point.find(old)?);
        let edge = &old.edges()[spot.edge];
        if matches!(edge.role, Role::Fold | Role::DartLeg) {
            return Err(refuse(format!("can't open at the {}", edge.name), "Let it open at another edge."));
        }
        let half = self.intake.mm() / 2.0;
        if 2.0 * half < LEAST.1 {
            return Err(refuse(format!("would take in {}", Unit::Cm.text(2.0 * half)), "Take in more."));
        }
        let depth = spot.at.distance(tip);
        if depth < LEAST.0 {
            return Err(refuse(format!("would be {} long", Unit::Cm.text(depth)), "Let its point lie further in."));
        }
        let mut ring = Ring::of(old);
        if !geometry::holds(&old.outline(), tip) {
            return Err(refuse("would reach past the edge of the piece".into(), "Let its point lie inside."));
        }
        // Both corners on the part of the edge that the mouth's middle lies on, with something left beyond them.
        let at = |mm: f64| Spot { edge: spot.edge, at_mm: mm, at: old.along_edge(edge.name.as_str(), mm).map_or(spot.at, |(p, _)| p) };
        let [first, second] = [spot.at_mm - half, spot.at_mm + half];
        let (from, to) = part_around(old, &spot);
        if first < from + LEFT_MM || second > to - LEFT_MM {
            let text = format!("takes in {}, and the {} has no room for that there", Unit::Cm.text(2.0 * half), edge.name);
            return Err(refuse(text, "Take in less, or open it further from the corner."));
        }
        let split = ring.split(&[at(first), at(second)]);
        let round = ring.run(split[1], split[0]);
        let whole = || refuse("has no edge beside it".into(), "Take in less.");
        let (Some(a), Some(b)) = (round.last().and_then(|s| end(&s.path)), round.first().and_then(|s| start(&s.path))) else {
            return Err(whole());
        };
        let (leg_a, leg_b) = (a.distance(tip), b.distance(tip));
        let leg = (leg_a + leg_b) / 2.0;
        let toward = |corner: Point, was: f64| tip + (corner - tip) * (leg / was.max(1e-9));
        let (mouth_a, mouth_b) = (toward(a, leg_a), toward(b, leg_b));
        let mut stretches = round;
        if let Some(last) = stretches.last_mut() {
            last.path = drawn_to(&last.path, mouth_a, false);
        }
        if let Some(next) = stretches.first_mut() {
            next.path = drawn_to(&next.path, mouth_b, true);
        }
        let mut edges: Vec<Edge> = old.edges().to_vec();
        let count = edges.len();
        edges.extend(legs.iter().map(|name| Edge { name: name.clone(), role: Role::DartLeg, allowance_mm: 0.0 }));
        stretches.push(Stretch::plain(count, line_path(mouth_a, tip)));
        stretches.push(Stretch::plain(count + 1, line_path(tip, mouth_b)));
        let mut darts = old.darts().to_vec();
        let [leg_a, leg_b] = legs.clone();
        darts.push(Dart { name: self.dart.clone(), leg_a, leg_b, tip, pivot: tip, pressed_to_a: !self.pressed_onward });
        // What is gathered beyond the mouth moves up to it; what the dart goes through is gathered no more.
        let beyond = |g: &Gather| -> Option<Gather> {
            match g {
                g if g.edge != edge.name || g.to_mm <= first => Some(g.clone()),
                g if g.from_mm >= second => Some(Gather { from_mm: g.from_mm - 2.0 * half, to_mm: g.to_mm - 2.0 * half, ..g.clone() }),
                _ => None,
            }
        };
        let gathers = old.gathers().iter().filter_map(beyond).collect();
        let new = Assembly { edges: &edges, stretches, darts, gathers, ..Assembly::of(old) }.build()?;
        Ok((new, legs))
    }
}

/// Where the part of an edge begins and ends that a spot lies on, millimetres along the edge.
fn part_around(piece: &Piece, spot: &Spot) -> (f64, f64) {
    let mut from = 0.0;
    for part in piece.parts().iter().filter(|p| p.edge == spot.edge) {
        let to = from + geometry::length(&part.path);
        if spot.at_mm <= to + 1e-6 {
            return (from, to);
        }
        from = to;
    }
    (from, from)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::PieceBuilder;

    /// A sheet of 200 mm with a notch in its upper edge.
    fn sheet() -> Draft {
        let p = Point::new;
        let piece = PieceBuilder::new("sheet")
            .line("top", Role::Seam, 0.0, p(0.0, 0.0), p(200.0, 0.0))
            .line("right", Role::Seam, 0.0, p(200.0, 0.0), p(200.0, 200.0))
            .line("bottom", Role::Seam, 0.0, p(200.0, 200.0), p(0.0, 200.0))
            .line("left", Role::Seam, 0.0, p(0.0, 200.0), p(0.0, 0.0))
            .notch("top", 150.0, false)
            .grain(p(20.0, 190.0), p(20.0, 10.0))
            .build()
            .unwrap();
        Draft { pieces: vec![std::sync::Arc::new(piece)], ..Draft::default() }
    }

    fn sewn(share: f64, (up, across): (f64, f64), intake: f64) -> Result<Draft, DraftError> {
        let opens = Place::share("top", "start", share);
        let point = opens.clone().off(up, across);
        SewDart { piece: "sheet".into(), dart: "dart".into(), opens, point, intake: Length::from_mm(intake), pressed_onward: false }
            .apply(&sheet())
    }

    #[test]
    fn a_dart_takes_its_intake_from_the_edge_and_its_legs_are_sewn() {
        let after = sewn(0.5, (-80.0, 0.0), 24.0).unwrap();
        let piece = &after.pieces[0];
        assert!((piece.edge_length_mm("top").unwrap() - 176.0).abs() < 1e-9);
        let leg = |n: &str| piece.edge_length_mm(n).unwrap();
        assert!((leg("dart leg 1") - leg("dart leg 2")).abs() < 1e-9);
        assert_eq!((piece.darts().len(), after.seams.len()), (1, 1));
        // The notch stays on its cloth.
        let (at, _) = piece.along_edge("top", piece.notches()[0].from_start_mm).unwrap();
        assert!(at.distance(Point::new(150.0, 0.0)) < 1e-9, "{at:?}");
    }

    #[test]
    fn a_slanting_dart_has_equal_legs_too() {
        let after = sewn(0.5, (-60.0, 50.0), 24.0).unwrap();
        let piece = &after.pieces[0];
        let leg = |n: &str| piece.edge_length_mm(n).unwrap();
        assert!((leg("dart leg 1") - leg("dart leg 2")).abs() < 1e-9);
        assert!((leg("dart leg 1") - 78.0).abs() < 2.0, "{}", leg("dart leg 1"));
    }

    #[test]
    fn what_can_t_be_sewn_is_refused() {
        let says = |r: Result<Draft, DraftError>| r.unwrap_err().problem;
        assert!(says(sewn(0.05, (-80.0, 0.0), 24.0)).contains("no room"));
        assert!(says(sewn(0.5, (-4.0, 0.0), 24.0)).contains("long"));
        assert!(says(sewn(0.5, (40.0, 0.0), 24.0)).contains("past the edge"));
        assert!(says(sewn(0.5, (-80.0, 0.0), 0.0)).contains("take in"));
    }
}
