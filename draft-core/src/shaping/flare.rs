//! Flare: the corner of a seam at the hem, led out or in.

use kurbo::{Point, Vec2};

use super::{Base, Grip, Hold, half, same_sides, seam_sides};
use crate::alteration::form::{pairs, shared_ends};
use crate::alteration::{Amount, Side, TakeIn};
use crate::geometry::{end_tangent, start_tangent};
use crate::place::from_start;
use crate::{Along, Alteration, Draft, Length, Name, Piece, Role};

/// A corner of a seam at the hem: where it is, and outward along the hem.
struct Corner {
    at: Point,
    out: Vec2,
    at_start: bool,
}

/// Where a seam ends at a hem, if it does.
fn corner(piece: &Piece, edge: &Name) -> Option<Corner> {
    if piece.edge(edge.as_str())?.role != Role::Seam {
        return None;
    }
    let parts = piece.parts();
    let count = parts.len();
    let is = |i: usize, name: &Name| piece.edges()[parts[i % count].edge].name == *name;
    let hem = |i: usize| piece.edges()[parts[i % count].edge].role == Role::Hem;
    let first = (0..count).find(|&i| is(i, edge) && !is(i + count - 1, edge))?;
    let last = (0..count).find(|&i| is(i, edge) && !is(i + 1, edge))?;
    let (start, end) = piece.edge_ends(edge.as_str())?;
    if hem(first + count - 1) {
        Some(Corner { at: start, out: end_tangent(&parts[(first + count - 1) % count].path), at_start: true })
    } else if hem(last + 1) {
        Some(Corner { at: end, out: -start_tangent(&parts[(last + 1) % count].path), at_start: false })
    } else {
        None
    }
}

/// Both sides of the seam with the end that they share at the hem; one side alone where they share none.
fn sides(draft: &Draft, on: &Name, edge: &Name, at_start: bool) -> Option<(Vec<Side>, Name)> {
    let piece = draft.piece(on.as_str())?;
    let mut both = seam_sides(draft, on, edge);
    loop {
        let at_hem = |name: &Name| from_start(piece, edge, name).is_ok_and(|is| is == at_start);
        if let Some(from) = shared_ends(draft, &pairs(&both)).into_iter().find(at_hem) {
            return Some((both, from));
        }
        if both.len() < 2 {
            return Some((both, if at_start { "start".into() } else { "end".into() }));
        }
        both.truncate(1);
    }
}

pub(super) fn holds(piece: &Piece) -> Vec<Hold> {
    let of = |edge: &crate::Edge| {
        let corner = corner(piece, &edge.name)?;
        let grip = Grip::Flare { edge: edge.name.clone() };
        Some(Hold { grip, at: corner.at, stem: None, name: format!("Flare at the {}", edge.name) })
    };
    piece.edges().iter().filter_map(of).collect()
}

/// Whether a work is the flare of a seam.
pub(super) fn is_of(take_in: &TakeIn, on: &Name, edge: &Name) -> bool {
    take_in.straight && same_sides(&take_in.sides, on, edge) && matches!(&take_in.amounts[..], [_, none] if none.by == Length::ZERO)
}

pub(super) fn flared(base: &Base, on: &Name, edge: &Name, by: Vec2) -> Option<Alteration> {
    let corner = corner(base.piece(on)?, edge)?;
    let out = half(by.dot(corner.out));
    if out == 0.0 {
        return None;
    }
    if let Some(Alteration::TakeIn(last)) = &base.last {
        let mut take_in = last.clone();
        let first = take_in.amounts.first_mut()?;
        first.by = Length::from_mm(first.by.mm() - out);
        return Some(Alteration::TakeIn(take_in));
    }
    let (sides, from) = sides(&base.now, on, edge, corner.at_start)?;
    let amount = |share: f64, mm: f64| Amount { at: Along::Share(share), by: Length::from_mm(mm) };
    Some(Alteration::TakeIn(TakeIn { sides, from, amounts: vec![amount(0.0, -out), amount(1.0, 0.0)], straight: true }))
}
