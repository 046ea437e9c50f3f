//! A line drawn by hand on a piece: the names by which its ends are found again, and what it can become.

use kurbo::{Point, Vec2};

use super::start::{Start, unused_on, upper_and_lower};
use crate::alteration::{Alteration, Cut, Mark, PanelSlit, Redraw, Sign, Top, cut};
use crate::place::{end_names, frame, from_start, nearest};
use crate::{Along, Draft, DrawnLine, Length, Name, Piece, Place, Role};

/// What a drawn line can become.
#[derive(Clone, Debug, PartialEq)]
pub struct Becoming {
    /// Verb first: `Cut in two here`.
    pub name: String,
    /// The alteration that makes it so.
    pub alteration: Alteration,
}

/// The place at a point of a piece, in whole millimetres: a marked point or an edge within reach, else off the nearest
/// marked point, or off an edge where there is none.
pub fn place_at(piece: &Piece, at: Point, reach_mm: f64) -> Place {
    let (up, right) = frame(piece);
    let marked = || piece.points().iter().filter(|p| p.marked);
    let closest = marked().min_by(|a, b| a.at.distance(at).total_cmp(&b.at.distance(at)));
    if let Some(point) = closest.filter(|p| p.at.distance(at) <= reach_mm) {
        return Place::Point(point.name.clone());
    }
    let on_edge = nearest(piece, at).filter(|(spot, _)| piece.edges()[spot.edge].role != Role::DartLeg).map(|(spot, far)| {
        let edge = piece.edges()[spot.edge].name.clone();
        let length = piece.edge_length_mm(edge.as_str()).unwrap_or(0.0);
        let [start, end] = end_names(piece, &edge).unwrap_or_else(|| ["start".into(), "end".into()]);
        let (from, mm) = if spot.at_mm <= length / 2.0 { (start, spot.at_mm) } else { (end, length - spot.at_mm) };
        // An end whose name is told by something else would be read as another one.
        let from = if from_start(piece, &edge, &from).is_ok() { from } else { "start".into() };
        (Place::Edge { edge, from, at: Along::Length(Length::from_mm(mm.round().min(length))) }, far)
    });
    let off = |base: Place| match base.find(piece) {
        Ok(found) => base.off((at - found).dot(up).round(), (at - found).dot(right).round()),
        Err(_) => base,
    };
    match (on_edge, closest) {
        (Some((place, far)), _) if far <= reach_mm => place,
        (_, Some(point)) => off(Place::Point(point.name.clone())),
        (Some((place, _)), None) => off(place),
        (None, None) => Place::point(""),
    }
}

/// A point turned about another one so that it lies along the grain, across it or on the bias from there, where it nearly
/// does.
pub fn squared(piece: &Piece, from: Point, to: Point, within_degrees: f64) -> Point {
    let (up, right) = frame(piece);
    let by = to - from;
    let bias = |a: Vec2, b: Vec2| (a + b).normalize();
    for direction in [up, right, bias(up, right), bias(up, -right)] {
        let aside = by.cross(direction).abs().atan2(by.dot(direction).abs()).to_degrees();
        if aside <= within_degrees {
            return from + direction * by.dot(direction);
        }
    }
    to
}

/// What a line on a piece can become: each is tried, and only what can be done is offered.
pub fn becomes(draft: &Draft, name: &Name, line: &DrawnLine) -> Vec<Becoming> {
    let Some(piece) = draft.piece(name.as_str()) else { return Vec::new() };
    let Ok((first, last)) = line.ends() else { return Vec::new() };
    let on = |place: &Place| place.spot(piece).ok().map(|spot| piece.edges()[spot.edge].name.clone());
    let ends = [on(first), on(last)];
    let start = Start { draft, piece: Some(piece), edge: None };
    let mut all = Vec::new();
    let mut offer = |name: String, alteration: Alteration| {
        if alteration.apply(draft).is_ok() {
            all.push(Becoming { name, alteration });
            true
        } else {
            false
        }
    };
    if let [Some(a), Some(b)] = &ends {
        let between = |edge: &&crate::Edge| {
            edge.role != Role::DartLeg && end_names(piece, &edge.name).is_some_and(|[p, q]| p == *a && q == *b || p == *b && q == *a)
        };
        for edge in piece.edges().iter().filter(between) {
            let alteration = Alteration::Redraw(Redraw { piece: name.clone(), edge: edge.name.clone(), line: line.clone() });
            offer(format!("Make it the new {}", edge.name), alteration);
        }
        // The piece keeps its name below the line.
        for with in upper_and_lower(piece, a) {
            let cut = Cut {
                piece: name.clone(),
                line: line.clone(),
                seam: unused_on(piece, "style line"),
                new: start.unused(&format!("upper {name}")),
                with,
                allowance: cut::plain(),
                sewn: true,
            };
            if offer("Cut in two here".into(), Alteration::Cut(cut)) {
                break;
            }
        }
    }
    let inward = match &ends {
        [Some(_), None] => Some(line.clone()),
        [None, Some(_)] => Some(DrawnLine::straight(last.clone(), first.clone())),
        _ => None,
    };
    if let Some(line) = inward {
        let slit =
            PanelSlit { piece: name.clone(), line, name: unused_on(piece, "slit"), top: Top::Rounded, facing: Length::from_mm(40.0) };
        offer("Slit it here".into(), Alteration::PanelSlit(slit));
    }
    let sign = Sign::Line { name: unused_on(piece, "placement line"), line: line.clone() };
    offer("Mark the line".into(), Alteration::Mark(Mark { piece: name.clone(), sign }));
    all
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::Garment;

    fn demo() -> Draft {
        let garment = Garment::from_text(include_str!("../../../../assets/demo/garment.ron")).unwrap();
        Draft::clone(&garment.build().draft)
    }

    #[test]
    fn a_place_is_found_again_where_it_was_pointed_at() {
        let draft = demo();
        for piece in &draft.pieces {
            let b = piece.bounds();
            for i in 0..=6 {
                for j in 0..=6 {
                    let at = Point::new(b.x0 + b.width() * f64::from(i) / 6.0, b.y0 + b.height() * f64::from(j) / 6.0);
                    let found = place_at(piece, at, 3.0).find(piece).unwrap();
                    // Half a millimetre for rounding, in two directions, unless it snapped.
                    assert!(found.distance(at) <= 3.6, "{} at {at:?}: {found:?}", piece.name());
                }
            }
        }
    }

    #[test]
    fn nearly_level_is_level_and_slanting_stays() {
        let draft = demo();
        let piece = draft.piece("front").unwrap();
        let from = piece.bounds().center();
        let level = squared(piece, from, from + Vec2::new(100.0, 2.0), 3.0);
        let (up, _) = frame(piece);
        assert!((level - from).dot(up).abs() < 1e-9);
        let slanting = from + Vec2::new(100.0, 30.0);
        assert_eq!(squared(piece, from, slanting, 3.0), slanting);
    }

    #[test]
    fn a_line_becomes_what_its_ends_allow() {
        let draft = demo();
        let front: Name = "front".into();
        let names = |from: Place, to: Place| -> Vec<String> {
            becomes(&draft, &front, &DrawnLine::straight(from, to)).into_iter().map(|b| b.name).collect()
        };
        let at = |edge: &str, from: &str, mm: f64| Place::along(edge, from, Length::from_mm(mm));
        let across = names(at("centre front", "neckline", 80.0), at("armhole", "shoulder", 60.0));
        assert!(across.contains(&"Cut in two here".to_owned()) && across.contains(&"Mark the line".to_owned()), "{across:?}");
        let neck = names(at("centre front", "neckline", 30.0), at("shoulder", "neckline", 20.0));
        assert!(neck.contains(&"Make it the new neckline".to_owned()), "{neck:?}");
        let up = names(at("waist", "centre front", 40.0), at("waist", "centre front", 40.0).off(60.0, 0.0));
        assert!(up.contains(&"Slit it here".to_owned()) && !up.contains(&"Cut in two here".to_owned()), "{up:?}");
    }
}
