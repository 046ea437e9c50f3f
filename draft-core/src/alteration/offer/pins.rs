//! Cloth pinned away by hand at an edge, and what that can become.

use kurbo::Point;

use super::drawn::Becoming;
use super::start::opposite;
use crate::alteration::{Alteration, Opening, Pinch, Slash, Spread};
use crate::place::{end_names, nearest};
use crate::{Draft, Length, Name, Piece, Place, Role, Unit};

/// What was pinned: how much, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Pinned {
    /// The edge.
    pub edge: Name,
    /// The middle of what is pinned away, on the edge.
    pub at: Place,
    /// How much of the edge is pinned away, millimetres.
    pub by_mm: f64,
}

/// What is pinned away between two points of an edge, to the millimetre; `None` when the first lies on no edge within reach.
pub fn pinned(piece: &Piece, from: Point, to: Point, reach_mm: f64) -> Option<Pinned> {
    let (first, far) = nearest(piece, from)?;
    let edge = &piece.edges()[first.edge];
    if far > reach_mm || matches!(edge.role, Role::DartLeg | Role::Fold) {
        return None;
    }
    let length = piece.edge_length_mm(edge.name.as_str())?;
    // The nearest point of the same edge, wherever the hand went.
    let steps = 400;
    let share = |i: i32| length * f64::from(i) / f64::from(steps);
    let away = |i: i32| piece.along_edge(edge.name.as_str(), share(i)).map_or(f64::INFINITY, |(p, _)| p.distance(to));
    let second = share((0..=steps).min_by(|a, b| away(*a).total_cmp(&away(*b)))?);
    let by_mm = (second - first.at_mm).abs().round();
    let [start, end] = end_names(piece, &edge.name)?;
    let middle = first.at_mm.midpoint(second);
    let (from, mm) = if middle <= length / 2.0 { (start, middle) } else { (end, length - middle) };
    Some(Pinned { edge: edge.name.clone(), at: Place::along(edge.name.clone(), from, Length::from_mm(mm.round())), by_mm })
}

/// What pinning so much away can become; only what can be done is offered.
pub fn pins(draft: &Draft, name: &Name, pinned: &Pinned, unit: Unit) -> Vec<Becoming> {
    let Some(piece) = draft.piece(name.as_str()) else { return Vec::new() };
    let by = Length::from_mm(pinned.by_mm);
    let amount = unit.text(pinned.by_mm);
    let mut tries: Vec<(String, Alteration)> = Vec::new();
    let dart_point = |d: &crate::Dart| pinned.at.find(piece).map_or(f64::INFINITY, |at| at.distance(d.pivot));
    let mut darts: Vec<&crate::Dart> = piece.darts().iter().collect();
    darts.sort_by(|a, b| dart_point(a).total_cmp(&dart_point(b)));
    for dart in darts {
        let pinch = Pinch { piece: name.clone(), at: pinned.at.clone(), by, dart: dart.name.clone() };
        tries.push((format!("Pinch {amount} into the {}", dart.name), Alteration::Pinch(pinch)));
    }
    if let Some(to) = opposite(piece, &pinned.at) {
        let far = to.spot(piece).map_or_else(|_| "other edge".into(), |s| piece.edges()[s.edge].name.clone());
        for both_ends in [false, true] {
            let slashes = vec![Slash { from: pinned.at.clone(), to: to.clone() }];
            let by = Opening::Length(Length::from_mm(-pinned.by_mm));
            let fold = Spread { piece: name.clone(), slashes, by, both_ends, straight: false, still: None };
            let told = if both_ends {
                format!("Fold {amount} away right across to the {far}")
            } else {
                format!("Fold {amount} away to nothing at the {far}")
            };
            tries.push((told, Alteration::Spread(fold)));
        }
    }
    tries.into_iter().filter_map(|(name, alteration)| Becoming::tried(draft, name, alteration)).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::Garment;

    #[test]
    fn a_gape_is_pinned_into_a_dart_and_says_what_it_does_to_the_seams() {
        let draft = Garment::from_text(include_str!("../../../../assets/demo/garment.ron")).unwrap().build().draft;
        let front = draft.piece("front").unwrap();
        let length = front.edge_length_mm("neckline").unwrap();
        let at = |mm: f64| front.along_edge("neckline", mm).unwrap().0;
        let pin = pinned(front, at(length / 2.0 - 4.0), at(length / 2.0 + 4.0), 2.0).unwrap();
        assert_eq!(pin.edge, *"neckline");
        assert!((pin.by_mm - 8.0).abs() <= 1.0, "{pin:?}");
        let offers = pins(&draft, front.name(), &pin, Unit::Cm);
        let first = offers.first().unwrap();
        assert!(matches!(first.alteration, Alteration::Pinch(_)), "{}", first.name);
        let neckline = first.effect.lengths.iter().find(|c| c.edge == *"neckline").unwrap();
        // Less than was pinned, as the neckline slants to the line to the dart's point.
        let shorter = neckline.before_mm.unwrap() - neckline.after_mm.unwrap();
        assert!(shorter > 1.0 && shorter <= pin.by_mm, "{neckline:?}");
        assert!(
            first.effect.seams.iter().any(|s| s.seam.sides().0.contains("neckline") || s.seam.sides().1.contains("neckline")),
            "{:?}",
            first.effect.seams
        );
        assert!(first.effect.told(Some(&"front".into()), Unit::Cm).iter().any(|t| t.is_off && t.short.contains("too long")));
    }

    #[test]
    fn on_a_fold_and_inside_nothing_is_pinned() {
        let draft = Garment::from_text(include_str!("../../../../assets/demo/garment.ron")).unwrap().build().draft;
        let front = draft.piece("front").unwrap();
        let middle = front.bounds().center();
        assert_eq!(pinned(front, middle, middle, 2.0), None);
    }
}
