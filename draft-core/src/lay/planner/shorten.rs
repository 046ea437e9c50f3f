//! Making a layout shorter: by small steps with large changes when stuck, then by ever smaller steps.

use super::separate::{Crew, Patience, Separated};
use super::table::{At, Spread};

/// The table is made shorter by this share at a time: at first, and at least.
const STEPS: (f32, f32) = (0.016, 0.001);
const EXPLORING: Patience = Patience { idle: 100, strikes: 2 };
/// The same when what is there is squeezed.
const SQUEEZES: (f32, f32) = (0.0005, 0.00001);
const SQUEEZING: Patience = Patience { idle: 60, strikes: 2 };
/// Exploring goes on for so many passes before the first squeeze …
const FIRST_SQUEEZE: u64 = 60;
/// … and every time for so much longer; squeezing for this share of it.
const ROUNDS: f64 = 1.35;
const SQUEEZED: f64 = 0.3;
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
pub fn shorten(crew: &mut Crew<'_, '_>, start: Shortest, least: f32, found: &mut dyn FnMut(&mut Crew<'_, '_>, &Shortest)) -> Shortest {
    let mut search = Search { best: start, least, step: STEPS.0, found };
    let mut round = FIRST_SQUEEZE as f64;
    while !crew.ended() && search.best.length > least * 1.000_01 {
        let from = crew.passes;
        search.explore(crew, from + round as u64);
        let from = crew.passes;
        search.squeeze(crew, from, from + (round * SQUEEZED) as u64);
        round *= ROUNDS;
    }
    search.best
}

struct Search<'f> {
    best: Shortest,
    /// No layout can be shorter than this.
    least: f32,
    step: f32,
    found: &'f mut dyn FnMut(&mut Crew<'_, '_>, &Shortest),
}

impl Search<'_> {
    fn keep(&mut self, crew: &mut Crew<'_, '_>) {
        let table = &crew.workers[0].table;
        let length = table.reach();
        if length < self.best.length {
            self.best = Shortest { length, spread: table.spread() };
            (self.found)(crew, &self.best);
        }
    }

    /// Makes the table a share shorter and pushes together what lies beyond a random place.
    fn press(&self, crew: &mut Crew<'_, '_>, by: f32) -> bool {
        let length = (self.best.length * (1.0 - by)).max(self.least);
        let delta = self.best.length - length;
        if delta <= 0.0 {
            return false;
        }
        let split = crew.first().chance.between(0.0, self.best.length);
        let table = &mut crew.workers[0].table;
        table.length = length;
        let mut spread = self.best.spread.clone();
        for (piece, (turn, at)) in spread.iter_mut().enumerate() {
            let p = &table.pieces[piece];
            if !p.fixed {
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
        'shorter: while crew.passes < until && !crew.ended() {
            if !self.press(crew, self.step) {
                return;
            }
            let mut stuck: Vec<(f32, Spread)> = Vec::new();
            loop {
                match crew.separate(EXPLORING) {
                    Separated::Ended => return,
                    Separated::Clear => {
                        self.keep(crew);
                        continue 'shorter;
                    }
                    Separated::Stuck(..) if self.step > STEPS.1 => {
                        self.step = (self.step / 2.0).max(STEPS.1);
                        continue 'shorter;
                    }
                    Separated::Stuck(spread, loss) => {
                        if crew.passes >= until {
                            return;
                        }
                        let place = stuck.partition_point(|(l, _)| *l <= loss);
                        stuck.insert(place, (loss, spread));
                        stuck.truncate(KEPT);
                        let pick = crew.first().chance.half_normal() * SPREAD * stuck.len() as f32;
                        let mut spread = stuck[(pick as usize).min(stuck.len() - 1)].1.clone();
                        swap_two(crew, &mut spread);
                        let length = crew.first().table.length;
                        crew.begin(length, &spread);
                    }
                }
            }
        }
    }

    fn squeeze(&mut self, crew: &mut Crew<'_, '_>, from: u64, until: u64) {
        while crew.passes < until && !crew.ended() {
            let done = (crew.passes - from) as f32 / (until - from).max(1) as f32;
            if !self.press(crew, SQUEEZES.0 + (SQUEEZES.1 - SQUEEZES.0) * done) {
                return;
            }
            match crew.separate(SQUEEZING) {
                Separated::Clear => self.keep(crew),
                Separated::Stuck(..) => {}
                Separated::Ended => return,
            }
        }
    }
}

/// Lets two large pieces of different shape change places.
fn swap_two(crew: &mut Crew<'_, '_>, spread: &mut Spread) {
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
    let middle = |i: usize, spread: &Spread| -> At {
        let lying = &shapes[pieces[i].shape].turns[spread[i].0];
        (spread[i].1.0 + lying.width / 2.0, spread[i].1.1 + lying.height / 2.0)
    };
    let (a, b) = (middle(one, spread), middle(other, spread));
    for (i, to) in [(one, b), (other, a)] {
        let turn = spread[i].0;
        let lying = &shapes[pieces[i].shape].turns[turn];
        let far = worker.table.farthest(pieces[i].shape, turn);
        spread[i].1 = ((to.0 - lying.width / 2.0).clamp(0.0, far.0), (to.1 - lying.height / 2.0).clamp(0.0, far.1));
    }
}
