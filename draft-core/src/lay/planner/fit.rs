//! Cloth of a given length: as many pieces as fit, the most important first.

use super::first;
use super::separate::{Crew, Patience, Separated};
use super::swap::swap_two;
use super::table::{Spread, Table};

const PATIENCE: Patience = Patience { idle: 60, strikes: 2 };
/// A piece that found no room so often, with the others moved about in between, is not tried again.
const TRIES: u32 = 6;

/// Lays what the first layout left out, one piece after another, by moving the others. Calls `found` for each piece
/// that found room.
///
/// That a piece finds no room is no proof that there is none.
pub fn fit(crew: &mut Crew<'_, '_>, weights: &[f64], room_mm2: f32, found: &mut dyn FnMut(&Table<'_>, u64)) {
    let length = crew.first().table.length;
    let mut best: Spread = crew.first().table.spread();
    let mut refused = vec![0u32; weights.len()];
    loop {
        let table = &crew.workers[0].table;
        let area = |i: usize| table.lying(i).polygon.area();
        let laid: f32 = (0..weights.len()).filter(|&i| best[i].is_some()).map(area).sum();
        let next = first::order(table, weights)
            .into_iter()
            .filter(|&i| best[i].is_none() && refused[i] < TRIES && laid + area(i) <= room_mm2)
            .min_by_key(|&i| refused[i]);
        let Some(piece) = next else { return };
        if crew.ended() {
            return;
        }
        let mut spread = best.clone();
        if refused[piece] > 0 {
            swap_two(crew, &mut spread);
        }
        crew.begin(length, &spread);
        crew.workers[0].squeeze_in(piece);
        let spread = crew.workers[0].table.spread();
        crew.begin(length, &spread);
        match crew.separate(PATIENCE) {
            Separated::Clear => {
                best = crew.workers[0].table.spread();
                let passes = crew.passes;
                found(&crew.workers[0].table, passes);
            }
            Separated::Stuck(..) => refused[piece] += 1,
            Separated::Ended => return,
        }
    }
}
