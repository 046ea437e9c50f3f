//! Notches, slid along their edge.

use kurbo::{Point, Vec2};

use super::{Base, Grip, Hold, half, same_sides, seam_sides};
use crate::alteration::form::{pairs, shared_ends};
use crate::alteration::{Mark, Side, Sign, SlideNotch, in_order};
use crate::place::{edge_index, end_names, from_start, nearest_where};
use crate::{Along, Alteration, Draft, Length, Name, Piece, Place};

/// Notches of both sides of a seam that stand so far apart at most are matched to one another, millimetres.
const MATCHED_MM: f64 = 12.0;

pub(super) fn holds(piece: &Piece) -> Vec<Hold> {
    let mut out = Vec::new();
    for edge in piece.edges() {
        let notches = in_order(piece, &edge.name, true);
        for (nth, notch) in notches.iter().enumerate() {
            let Some((at, _)) = piece.along_edge(edge.name.as_str(), notch.from_start_mm) else { continue };
            let name =
                if notches.len() == 1 { format!("Notch of the {}", edge.name) } else { format!("Notch {} of the {}", nth + 1, edge.name) };
            out.push(Hold { grip: Grip::Notch { edge: edge.name.clone(), nth }, at, stem: None, name });
        }
    }
    out
}

/// Which notch it is from the end that a work counts from, the first being 1.
fn counted(piece: &Piece, edge: &Name, nth: usize, from: &Name) -> Option<u32> {
    let count = in_order(piece, edge, true).len();
    let nth = if from_start(piece, edge, from).ok()? { nth } else { count.checked_sub(nth + 1)? };
    u32::try_from(nth + 1).ok()
}

/// Whether a work has put this notch where it is.
pub(super) fn is_of(now: &Draft, alteration: &Alteration, on: &Name, edge: &Name, nth: usize) -> bool {
    let Some(piece) = now.piece(on.as_str()) else { return false };
    match alteration {
        Alteration::SlideNotch(slide) => same_sides(&slide.sides, on, edge) && counted(piece, edge, nth, &slide.from) == Some(slide.nth),
        Alteration::Mark(Mark { piece: p, sign: Sign::Notch { at, .. } }) => {
            let notches = in_order(piece, edge, true);
            let here = notches.get(nth).and_then(|n| piece.along_edge(edge.as_str(), n.from_start_mm)).map(|(at, _)| at);
            p == on && at.find(piece).ok().zip(here).is_some_and(|(a, b): (Point, Point)| a.distance(b) < 0.01)
        }
        _ => false,
    }
}

/// By how much further along the edge a point comes when it is dragged.
fn along(piece: &Piece, edge: &Name, at: Point, by: Vec2) -> Option<(f64, f64)> {
    let index = edge_index(piece, edge).ok()?;
    let own = |at: Point| nearest_where(piece, at, |e| e.name == piece.edges()[index].name).map(|(spot, _)| spot.at_mm);
    Some((own(at)?, own(at + by)?))
}

pub(super) fn slid(base: &Base, on: &Name, edge: &Name, nth: usize, by: Vec2) -> Option<Alteration> {
    let now = base.now.piece(on.as_str())?;
    let notch = *in_order(now, edge, true).get(nth)?;
    let (at, _) = now.along_edge(edge.as_str(), notch.from_start_mm)?;
    let (was, is) = along(now, edge, at, by)?;
    let moved = half(is - was);
    if moved == 0.0 {
        return None;
    }
    match &base.last {
        Some(Alteration::SlideNotch(slide)) => {
            let onward = if from_start(now, edge, &slide.from).ok()? { moved } else { -moved };
            Some(Alteration::SlideNotch(SlideNotch { by: Length::from_mm(slide.by.mm() + onward), ..slide.clone() }))
        }
        Some(Alteration::Mark(Mark { piece, sign: Sign::Notch { double, both, .. } })) => {
            let length = now.edge_length_mm(edge.as_str())?;
            let mm = (notch.from_start_mm + moved).clamp(0.0, length);
            let [start, _] = end_names(now, edge)?;
            let from = if from_start(now, edge, &start) == Ok(true) { start } else { "start".into() };
            let place = Place::Edge { edge: edge.clone(), from, at: Along::Length(Length::from_mm(half(mm))) };
            Some(Alteration::Mark(Mark { piece: piece.clone(), sign: Sign::Notch { at: place, double: *double, both: *both } }))
        }
        _ => {
            let both = seam_sides(&base.now, on, edge);
            let (sides, from) = matched(base, &both, now, edge, nth).unwrap_or_else(|| {
                let [start, _] = end_names(now, edge).unwrap_or_else(|| ["start".into(), "end".into()]);
                let from = if from_start(now, edge, &start) == Ok(true) { start } else { "start".into() };
                (both[..1].to_vec(), from)
            });
            let onward = if from_start(now, edge, &from).ok()? { moved } else { -moved };
            let nth = counted(now, edge, nth, &from)?;
            Some(Alteration::SlideNotch(SlideNotch { sides, from, nth, by: Length::from_mm(onward) }))
        }
    }
}

/// Both sides of the seam and an end that they share, where the notch has its match on the other side.
fn matched(base: &Base, both: &[Side], now: &Piece, edge: &Name, nth: usize) -> Option<(Vec<Side>, Name)> {
    let [_, other] = both else { return None };
    let there = base.now.piece(other.piece.as_str())?;
    let shared = shared_ends(&base.now, &pairs(both));
    shared.into_iter().find_map(|from| {
        let distance = |piece: &Piece, edge: &Name, n: u32| {
            let at_start = from_start(piece, edge, &from).ok()?;
            let notch = *in_order(piece, edge, at_start).get(n as usize - 1)?;
            let long = piece.edge_length_mm(edge.as_str())?;
            Some((if at_start { notch.from_start_mm } else { long - notch.from_start_mm }, notch.double))
        };
        let n = counted(now, edge, nth, &from)?;
        let (a, b) = (distance(now, edge, n)?, distance(there, &other.edge, n)?);
        (a.1 == b.1 && (a.0 - b.0).abs() < MATCHED_MM).then(|| (both.to_vec(), from.clone()))
    })
}
