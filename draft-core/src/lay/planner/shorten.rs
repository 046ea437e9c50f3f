//! Making a layout shorter: by small steps with large changes when stuck, then by ever smaller steps.

use super::separate::{Crew, Patience, Separated};
use super::swap::swap_two;
use super::table::{Spread, Table};

/// The table is made shorter by this share at a time: at first, and at least.
const STEPS: (f32, f32) = (0.016, 0.001);
const EXPLORING: Patience = Patience { idle: 200, strikes: 3 };
const HASTY: Patience = Patience { idle: 20, strikes: 1 };
/// The same when what is there is squeezed.
const SQUEEZES: (f32, f32) = (0.0005, 0.00001);
const SQUEEZING: Patience = Patience { idle: 60, strikes: 2 };
/// This share of all passes is for squeezing, and a squeeze begins when so many are due.
const SQUEEZED: f64 = 0.15;
const FEWEST: u64 = 100;
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
/// What exploring has reached is squeezed whenever exploring is stuck, so that little is lost when the search is
/// stopped. Squeezing never feeds back into exploring: what has been squeezed is jammed, and leads nowhere else.
pub fn shorten(crew: &mut Crew<'_, '_>, start: Shortest, least: f32, found: &mut dyn FnMut(&Table<'_>, u64)) {
    let mut search = Search {
        explored: start.clone(),
        squeezed: start.clone(),
        best: start,
        least,
        step: STEPS.0,
        stuck: Vec::new(),
        squeezing: 0,
        found,
    };
    while !crew.ended() && search.best.length > least * 1.000_01 && search.explore(crew) {
        let due = ((crew.passes as f64 * SQUEEZED) as u64).saturating_sub(search.squeezing);
        if due >= FEWEST {
            search.squeeze(crew, due);
        }
    }
}

struct Search<'f> {
    /// The shortest layout that was found by exploring.
    explored: Shortest,
    /// What squeezing has made of it.
    squeezed: Shortest,
    /// The shortest of all, squeezed or not.
    best: Shortest,
    /// No layout can be shorter than this.
    least: f32,
    step: f32,
    /// Layouts with overlaps at a length that could not be reached yet, the least loss first.
    stuck: Vec<(f32, Spread)>,
    /// Passes that were spent on squeezing.
    squeezing: u64,
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

    /// Looks for shorter layouts by larger changes until one can't be reached; says no when none can be shorter.
    fn explore(&mut self, crew: &mut Crew<'_, '_>) -> bool {
        loop {
            if self.stuck.is_empty() {
                if !self.press(crew, &self.explored, self.step) {
                    return false;
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
                Separated::Ended => return true,
                Separated::Clear => {
                    if let Some(shorter) = self.shorter(crew, self.explored.length) {
                        self.explored = shorter;
                        self.squeezed = self.explored.clone();
                        self.stuck.clear();
                    }
                }
                Separated::Stuck(..) if hasty => self.step = (self.step / 2.0).max(STEPS.1),
                Separated::Stuck(spread, loss) => {
                    let place = self.stuck.partition_point(|(l, _)| *l <= loss);
                    self.stuck.insert(place, (loss, spread));
                    self.stuck.truncate(KEPT);
                    return true;
                }
            }
        }
    }

    /// Makes the layout that exploring has reached shorter by small steps, for so many passes.
    fn squeeze(&mut self, crew: &mut Crew<'_, '_>, passes: u64) {
        let from = crew.passes;
        while crew.passes < from + passes && !crew.ended() {
            let done = (crew.passes - from) as f32 / passes as f32;
            if !self.press(crew, &self.squeezed, SQUEEZES.0 + (SQUEEZES.1 - SQUEEZES.0) * done) {
                break;
            }
            match crew.separate(SQUEEZING) {
                Separated::Clear => {
                    if let Some(shorter) = self.shorter(crew, self.squeezed.length) {
                        self.squeezed = shorter;
                    }
                }
                Separated::Stuck(..) => {}
                Separated::Ended => break,
            }
        }
        self.squeezing += crew.passes - from;
    }
}
