//! Darts by their points, their mouths and the corners of these.

use kurbo::{Point, Vec2};

use super::{Grip, Hold, half};
use crate::alteration::{MoveDart, ShapeDart, Standing};
use crate::place::{end_names, from_start, nearest_where};
use crate::{Alteration, Dart, Length, Name, Piece, Place, Role};

/// A point that is led so nearly along the dart stays on its middle line: the tangent of the angle.
const ON_THE_LINE: f64 = 0.27;
/// A dart that would move by less stays where it is, millimetres.
const STAYS_MM: f64 = 1.0;

pub(super) fn holds(piece: &Piece) -> Vec<Hold> {
    let mut out = Vec::new();
    for dart in piece.darts() {
        let Some(s) = Standing::of(piece, dart) else { continue };
        let hold = |grip: Grip, at: Point, name: String| Hold { grip, at, stem: None, name };
        let name = &dart.name;
        out.push(hold(Grip::Tip(name.clone()), s.tip, format!("Point of the {name}")));
        for (second, at, word) in [(false, s.mouth_a, "First"), (true, s.mouth_b, "Second")] {
            out.push(hold(Grip::Leg { dart: name.clone(), second }, at, format!("{word} leg of the {name}")));
        }
        out.push(Hold { stem: Some(s.tip), ..hold(Grip::Mouth(name.clone()), s.middle(), format!("Mouth of the {name}")) });
    }
    out
}

fn find<'a>(piece: &'a Piece, name: &Name) -> Option<(&'a Dart, Standing)> {
    let dart = piece.darts().iter().find(|d| d.name == *name)?;
    Some((dart, Standing::of(piece, dart)?))
}

/// The work that shapes it so far.
fn shaped(piece: &Piece, name: &Name, last: Option<&Alteration>) -> ShapeDart {
    match last {
        Some(Alteration::ShapeDart(shape)) => shape.clone(),
        _ => ShapeDart { piece: piece.name().clone(), dart: name.clone(), longer: Length::ZERO, aside: Length::ZERO, wider: Length::ZERO },
    }
}

/// The point moved: along the dart, or aside as well where it is led away from its middle line.
pub(super) fn tip(piece: &Piece, name: &Name, last: Option<&Alteration>, by: Vec2) -> Option<Alteration> {
    let (_, standing) = find(piece, name)?;
    let (longer, aside) = (by.dot(standing.onward()), by.dot(standing.right(piece)));
    let aside = if aside.abs() < ON_THE_LINE * longer.abs() { 0.0 } else { half(aside) };
    let longer = half(longer);
    if longer == 0.0 && aside == 0.0 {
        return None;
    }
    let mut shape = shaped(piece, name, last);
    shape.longer = Length::from_mm(shape.longer.mm() + longer);
    shape.aside = Length::from_mm(shape.aside.mm() + aside);
    Some(Alteration::ShapeDart(shape))
}

/// A corner of the mouth moved; the other one moves as far the other way.
pub(super) fn leg(piece: &Piece, name: &Name, second: bool, last: Option<&Alteration>, by: Vec2) -> Option<Alteration> {
    let (_, standing) = find(piece, name)?;
    let out = (standing.mouth_b - standing.mouth_a).normalize() * if second { 1.0 } else { -1.0 };
    let wider = 2.0 * half(by.dot(out));
    if wider == 0.0 {
        return None;
    }
    let mut shape = shaped(piece, name, last);
    shape.wider = Length::from_mm(shape.wider.mm() + wider);
    Some(Alteration::ShapeDart(shape))
}

/// The mouth led to another place of the outline, where it opens then.
pub(super) fn mouth(piece: &Piece, name: &Name, last: Option<&Alteration>, by: Vec2) -> Option<Alteration> {
    if by == Vec2::ZERO {
        return None;
    }
    let (dart, standing) = find(piece, name)?;
    let moved = match last {
        Some(Alteration::MoveDart(moved)) => Some(moved),
        _ => None,
    };
    let from = match moved {
        Some(moved) => moved.to.find(piece).ok()?,
        None => standing.middle(),
    };
    let (spot, _) = nearest_where(piece, from + by, |edge| !matches!(edge.role, Role::DartLeg | Role::Fold))?;
    let stays = [standing.mouth_a, standing.mouth_b].iter().any(|corner| corner.distance(spot.at) < STAYS_MM);
    if stays && moved.is_none() {
        return None;
    }
    let edge = piece.edges()[spot.edge].name.clone();
    let length = piece.edge_length_mm(edge.as_str()).unwrap_or(0.0);
    let [start, end] = end_names(piece, &edge)?;
    let (from, mm, own) = if spot.at_mm <= length / 2.0 { (start, spot.at_mm, "start") } else { (end, length - spot.at_mm, "end") };
    let from = if from_start(piece, &edge, &from).is_ok_and(|is| is == (own == "start")) { from } else { own.into() };
    let to = Place::along(edge, from, Length::from_mm(half(mm).clamp(0.0, length)));
    Some(Alteration::MoveDart(match moved {
        Some(moved) => MoveDart { to, ..moved.clone() },
        None => MoveDart {
            piece: piece.name().clone(),
            dart: name.clone(),
            to,
            short_of_pivot: Length::from_mm(half(dart.tip.distance(dart.pivot))),
            pressed_onward: !dart.pressed_to_a,
        },
    }))
}
