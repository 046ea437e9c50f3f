//! Two pieces that change places, to get away from a layout that leads nowhere.

use jagua_rs::geometry::geo_traits::CollidesWith as _;
use jagua_rs::geometry::primitives::Point;

use super::separate::Crew;
use super::shape::Lying;
use super::table::{At, Spread, Table};

/// Large pieces are those that together are this share of all area.
const LARGE: f32 = 0.75;

/// Lets two large pieces of different shape change places; what one of them comes to lie upon goes where it was.
///
/// A large piece that takes the place of a smaller one lands on the pieces round it. They would have to find their way
/// out one by one; together they keep most of their order.
pub fn swap_two(crew: &mut Crew<'_, '_>, spread: &mut Spread) {
    let worker = crew.first();
    let table = &worker.table;
    let large = large(table);
    if large.is_empty() {
        return;
    }
    let one = large[worker.chance.index(large.len())];
    let others: Vec<usize> = large.iter().copied().filter(|&i| table.pieces[i].shape != table.pieces[one].shape).collect();
    if others.is_empty() {
        return;
    }
    let other = others[worker.chance.index(others.len())];
    let (Some(a), Some(b)) = (middle(table, spread, one), middle(table, spread, other)) else { return };
    for (piece, from, to) in [(one, a, b), (other, b, a)] {
        shift(table, spread, piece, (to.0 - from.0, to.1 - from.1));
    }
    for (piece, was) in [(one, a), (other, b)] {
        let Some(now) = middle(table, spread, piece) else { continue };
        for under in upon(table, spread, piece) {
            if under != one && under != other {
                shift(table, spread, under, (was.0 - now.0, was.1 - now.1));
            }
        }
    }
}

/// The large pieces that may be moved.
fn large(table: &Table<'_>) -> Vec<usize> {
    let area = |i: usize| table.shapes[table.pieces[i].shape].hull_area;
    let mut large: Vec<usize> = (0..table.pieces.len()).filter(|&i| !table.pieces[i].fixed && table.lies(i)).collect();
    large.sort_by(|&a, &b| area(b).total_cmp(&area(a)));
    let all: f32 = large.iter().map(|&i| area(i)).sum();
    let mut sum = 0.0;
    let last = large.iter().position(|&i| {
        sum += area(i);
        sum >= LARGE * all
    });
    large.truncate(last.map_or(0, |i| i + 1));
    large
}

/// How a piece lies in a spread, and where.
fn lying<'a>(table: &Table<'a>, spread: &Spread, piece: usize) -> Option<(usize, &'a Lying, At)> {
    let (turn, at) = spread[piece]?;
    Some((turn, &table.shapes[table.pieces[piece].shape].turns[turn], at))
}

/// The middle of a piece's box.
fn middle(table: &Table<'_>, spread: &Spread, piece: usize) -> Option<At> {
    let (_, lying, at) = lying(table, spread, piece)?;
    Some((at.0 + lying.width / 2.0, at.1 + lying.height / 2.0))
}

/// Moves a piece of a spread, as far as the table goes.
fn shift(table: &Table<'_>, spread: &mut Spread, piece: usize, by: At) {
    if let Some((turn, at)) = spread[piece] {
        let far = table.farthest(table.pieces[piece].shape, turn);
        spread[piece] = Some((turn, ((at.0 + by.0).clamp(0.0, far.0), (at.1 + by.1).clamp(0.0, far.1))));
    }
}

/// The pieces that may be moved whose largest circle has its centre in a piece.
fn upon(table: &Table<'_>, spread: &Spread, piece: usize) -> Vec<usize> {
    let Some((_, above, at)) = lying(table, spread, piece) else { return Vec::new() };
    let covered = |i: usize| {
        lying(table, spread, i).is_some_and(|(_, below, there)| {
            let centre = below.poles.x.first().zip(below.poles.y.first());
            centre.is_some_and(|(x, y)| above.polygon.collides_with(&Point(there.0 + x - at.0, there.1 + y - at.1)))
        })
    };
    (0..spread.len()).filter(|&i| i != piece && !table.pieces[i].fixed && covered(i)).collect()
}
