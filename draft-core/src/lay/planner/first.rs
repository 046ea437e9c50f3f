//! The first layout: the largest piece first, each as near to the cut end of the cloth as it will go.

use jagua_rs::collision_detection::hazards::filter::NoFilter;

use super::probe::{Judge, Place, Trials, search};
use super::table::{At, Table};
use crate::lay::chance::Chance;

/// Places tried for each piece before the best of them are followed.
const TRIES: usize = 160;
/// A place across the cloth counts this much of one along it.
const ACROSS: f32 = 0.1;

/// Judges by how far along the cloth a piece reaches; it must lie clear.
struct ByReach<'a, 'b> {
    table: &'a Table<'b>,
    trials: &'a mut Trials,
    shape: usize,
}

impl Judge for ByReach<'_, '_> {
    fn cost(&mut self, turn: usize, at: At, bound: f32) -> Option<f32> {
        let lying = &self.table.shapes[self.shape].turns[turn];
        if at.0 + lying.width > self.table.length || at.1 + lying.height > self.table.height + 1e-3 {
            return None;
        }
        // Never nought, which would end the search.
        let cost = 1.0 + at.0 + lying.width + ACROSS * at.1;
        if cost >= bound {
            return None;
        }
        let trial = self.trials.at(self.table.shapes, self.shape, turn, at);
        (!self.table.engine().detect_poly_collision(trial, &NoFilter)).then_some(cost)
    }
}

/// The order in which pieces are laid: what matters most, then what is large.
pub fn order(table: &Table<'_>, weights: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..table.pieces.len()).filter(|&i| !table.pieces[i].fixed).collect();
    let size = |i: usize| {
        let shape = &table.shapes[table.pieces[i].shape];
        shape.hull_area * shape.diameter
    };
    order.sort_by(|&a, &b| weights[b].total_cmp(&weights[a]).then(size(b).total_cmp(&size(a))));
    order
}

/// Lays a piece clear of the others, as near to the cut end as a search finds; says whether it found any place.
pub fn lay(table: &mut Table<'_>, trials: &mut Trials, piece: usize, chance: &mut Chance) -> bool {
    let shape = table.pieces[piece].shape;
    let found: Option<Place> = search(&mut ByReach { table, trials, shape }, table, piece, None, (TRIES, 0), chance);
    if let Some(place) = found {
        table.lay(piece, place.turn, place.at);
    }
    found.is_some()
}
