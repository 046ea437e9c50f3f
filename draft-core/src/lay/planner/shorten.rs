//! Making a layout shorter: by small steps with large changes when stuck, then by ever smaller steps.

use super::separate::{Crew, Patience, Separated};
use super::shape::Lying;
use super::table::{At, Spread, Table};

/// The table is made shorter by this share at a time: at first, and at least.
const STEPS: (f32, f32) = (0.016, 0.001);
const EXPLORING: Patience = Patience { idle: 200, strikes: 3 };
const HASTY: Patience = Patience { idle: 20, strikes: 1 };
/// The same when what is there is squeezed.
const SQUEEZES: (f32, f32) = (0.0005, 0.00001);
const SQUEEZING: Patience = Patience { idle: 60, strikes: 2 };
/// Exploring goes on for so many passes before the first squeeze …
const FIRST_SQUEEZE: u64 = 200;
/// … and every time for so much longer; squeezing for this share of it.
const ROUNDS: f64 = 1.5;
const SQUEEZED: f64 = 0.15;
/// Large pieces are those that together are this share of all area.
const LARGE: f32 = 0.75;
/// Layouts with overlaps that are kept to begin again from.
const KEPT: usize = 24;
/// How far down the list of those the choice reaches, in parts of its length.
const SPREAD: f32 = 0.25;

/// The shortest layout so far.
#[derive(Clone, Debug)]
pub struct Shortest {
    pub length: f32,
    pub spread: Spread,
}

/// Shortens a layout until the effort is spent; calls `found` for each that is shorter.
///
/// Squeezing never feeds back into exploring: what has been squeezed is jammed, and leads nowhere else.
pub fn shorten(crew: &mut Crew<'_, '_>, start: Shortest, least: f32, found: &mut dyn FnMut(&Table<'_>, u64)) {
    let mut search = Search { explored: start.clone(), best: start, least, step: STEPS.0, stuck: Vec::new(), found };
    let mut round = FIRST_SQUEEZE as f64;
    while !crew.ended() && search.best.length > least * 1.000_01 {
        let until = crew.passes + round as u64;
        search.explore(crew, until);
        let from = crew.passes;
        search.squeeze(crew, from, from + (round * SQUEEZED) as u64);
        round *= ROUNDS;
    }
}

struct Search<'f> {
    /// The shortest layout that was found by exploring.
    explored: Shortest,
    /// The shortest of all, squeezed or not.
    best: Shortest,
    /// No layout can be shorter than this.
    least: f32,
    step: f32,
    /// Layouts with overlaps at a length that could not be reached yet, the least loss first.
    stuck: Vec<(f32, Spread)>,
    found: &'f mut dyn FnMut(&Table<'_>, u64),
}

impl Search<'_> {
    /// What lies clear now, if it is shorter than a layout that is known.
    fn shorter(&mut self, crew: &Crew<'_, '_>, than: f32) -> Option<Shortest> {
        let table = &crew.workers[0].table;
        let now = Shortest { length: table.reach(), spread: table.spread() };
        if now.length < self.best.length {
            self.best = now.clone();
            (self.found)(table, crew.passes);
        }
        (now.length < than).then_some(now)
    }

    /// Makes the table a share shorter than a layout and pushes together what lies beyond a random place. Says no
    /// when it can't be shorter.
    fn press(&self, crew: &mut Crew<'_, '_>, from: &Shortest, by: f32) -> bool {
        let length = (from.length * (1.0 - by)).max(self.least);
        let delta = from.length - length;
        if delta <= 0.0 {
            return false;
        }
        let split = crew.first().chance.between(0.0, from.length);
        let table = &mut crew.workers[0].table;
        table.length = length;
        let mut spread = from.spread.clone();
        for (piece, place) in spread.iter_mut().enumerate() {
            let p = &table.pieces[piece];
            if !p.fixed
                && let Some((turn, at)) = place
            {
                let lying = &table.shapes[p.shape].turns[*turn];
                if at.0 + lying.width / 2.0 > split {
                    at.0 -= delta;
                }
                at.0 = at.0.clamp(0.0, table.farthest(p.shape, *turn).0);
            }
        }
        crew.begin(length, &spread);
        true
    }

    fn explore(&mut self, crew: &mut Crew<'_, '_>, until: u64) {
        while crew.passes < until && !crew.ended() {
            if self.stuck.is_empty() {
                if !self.press(crew, &self.explored, self.step) {
                    return;
                }
            } else {
                // Begin again from a layout that was nearly clear, with two pieces exchanged.
                let pick = crew.first().chance.half_normal() * SPREAD * self.stuck.len() as f32;
                let mut spread = self.stuck[(pick as usize).min(self.stuck.len() - 1)].1.clone();
                swap_two(crew, &mut spread);
                crew.begin((self.explored.length * (1.0 - self.step)).max(self.least), &spread);
            }
            let hasty = self.step > STEPS.1;
            match crew.separate(if hasty { HASTY } else { EXPLORING }) {
                Separated::Ended => return,
                Separated::Clear => {
                    if let Some(shorter) = self.shorter(crew, self.explored.length) {
                        self.explored = shorter;
                        self.stuck.clear();
                    }
                }
                Separated::Stuck(..) if hasty => self.step = (self.step / 2.0).max(STEPS.1),
                Separated::Stuck(spread, loss) => {
                    let place = self.stuck.partition_point(|(l, _)| *l <= loss);
                    self.stuck.insert(place, (loss, spread));
                    self.stuck.truncate(KEPT);
                }
            }
        }
    }

    fn squeeze(&mut self, crew: &mut Crew<'_, '_>, from: u64, until: u64) {
        let mut squeezed = self.explored.clone();
        while crew.passes < until && !crew.ended() {
            let done = (crew.passes - from) as f32 / (until - from).max(1) as f32;
            if !self.press(crew, &squeezed, SQUEEZES.0 + (SQUEEZES.1 - SQUEEZES.0) * done) {
                return;
            }
            match crew.separate(SQUEEZING) {
                Separated::Clear => squeezed = self.shorter(crew, squeezed.length).unwrap_or(squeezed),
                Separated::Stuck(..) => {}
                Separated::Ended => return,
            }
        }
    }
}

/// Lets two large pieces of different shape change places.
pub fn swap_two(crew: &mut Crew<'_, '_>, spread: &mut Spread) {
    let shapes = crew.shapes();
    let worker = crew.first();
    let pieces = &worker.table.pieces;
    let area = |i: usize| shapes[pieces[i].shape].hull_area;
    let mut large: Vec<usize> = (0..pieces.len()).filter(|&i| !pieces[i].fixed && worker.table.lies(i)).collect();
    large.sort_by(|&a, &b| area(b).total_cmp(&area(a)));
    let all: f32 = large.iter().map(|&i| area(i)).sum();
    let mut sum = 0.0;
    let count = large.iter().position(|&i| {
        sum += area(i);
        sum >= LARGE * all
    });
    large.truncate(count.map_or(0, |i| i + 1));
    if large.is_empty() {
        return;
    }
    let one = large[worker.chance.index(large.len())];
    let others: Vec<usize> = large.iter().copied().filter(|&i| pieces[i].shape != pieces[one].shape).collect();
    if others.is_empty() {
        return;
    }
    let other = others[worker.chance.index(others.len())];
    let lying = |i: usize| spread[i].map(|(turn, at)| (turn, &shapes[pieces[i].shape].turns[turn], at));
    let (Some(a), Some(b)) = (lying(one), lying(other)) else { return };
    let middle = |l: &Lying, at: At| (at.0 + l.width / 2.0, at.1 + l.height / 2.0);
    let moved = |i: usize, turn: usize, l: &Lying, to: At| {
        let far = worker.table.farthest(pieces[i].shape, turn);
        Some((turn, ((to.0 - l.width / 2.0).clamp(0.0, far.0), (to.1 - l.height / 2.0).clamp(0.0, far.1))))
    };
    let (to_b, to_a) = (moved(one, a.0, a.1, middle(b.1, b.2)), moved(other, b.0, b.1, middle(a.1, a.2)));
    (spread[one], spread[other]) = (to_b, to_a);
}
