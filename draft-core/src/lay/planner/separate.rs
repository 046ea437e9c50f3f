//! Moving pieces that overlap until none do, or until that leads nowhere any more.

use super::loss::Losses;
use super::probe::{ByOverlap, Hits, Place, TRIES, Trials, search};
use super::table::{Spread, Table};
use crate::lay::chance::Chance;
use crate::lay::watch::Watch;

/// A gain smaller than this share of the loss is none.
const GAIN: f32 = 0.02;

/// One of the searches that go on side by side: its own table and its own chance.
#[derive(Clone, Debug)]
pub struct Worker<'a> {
    pub table: Table<'a>,
    pub losses: Losses,
    pub trials: Trials,
    pub chance: Chance,
    hits: Hits,
}

impl<'a> Worker<'a> {
    pub fn new(table: Table<'a>, chance: Chance) -> Self {
        Self { losses: Losses::of(&table), trials: Trials::new(table.shapes), table, chance, hits: Hits::default() }
    }

    /// Moves each piece that overlaps to the best place that a search finds, in random order. Stops half way when
    /// told to; the layout is then of no use.
    fn pass(&mut self, watch: &dyn Watch) {
        let mut order: Vec<usize> = (0..self.table.pieces.len()).filter(|&i| self.moves(i)).collect();
        self.chance.shuffle(&mut order);
        for piece in order {
            if self.moves(piece) {
                if watch.stop() {
                    return;
                }
                self.improve(piece);
            }
        }
    }

    fn moves(&self, piece: usize) -> bool {
        !self.table.pieces[piece].fixed && self.table.lies(piece) && self.losses.of_piece(piece) > 0.0
    }

    fn improve(&mut self, piece: usize) {
        let p = &self.table.pieces[piece];
        let known = Place { turn: p.turn, at: p.at, loss: self.losses.weighted_of_piece(piece) };
        let mut judge = ByOverlap { table: &self.table, losses: &self.losses, trials: &mut self.trials, hits: &mut self.hits, piece };
        if let Some(place) = search(&mut judge, &self.table, piece, Some(known), TRIES, &mut self.chance)
            && place.loss < known.loss
        {
            self.table.lay(piece, place.turn, place.at);
            self.losses.look_at(&self.table, piece);
        }
    }

    /// The place of least overlap for a piece that does not lie yet, as far as a search finds it.
    pub fn squeeze_in(&mut self, piece: usize) {
        let mut judge = ByOverlap { table: &self.table, losses: &self.losses, trials: &mut self.trials, hits: &mut self.hits, piece };
        if let Some(place) = search(&mut judge, &self.table, piece, None, TRIES, &mut self.chance) {
            self.table.lay(piece, place.turn, place.at);
            self.losses.look_at(&self.table, piece);
        }
    }

    /// Takes over another layout, with fresh weights.
    pub fn begin(&mut self, spread: &Spread) {
        self.table.restore(spread);
        self.losses = Losses::of(&self.table);
    }
}

/// How long to go on without a gain, and how often to begin again.
#[derive(Clone, Copy, Debug)]
pub struct Patience {
    /// Passes without a gain until a strike is counted.
    pub idle: u32,
    /// Strikes in a row until it is given up.
    pub strikes: u32,
}

/// How it ended.
#[derive(Debug)]
pub enum Separated {
    /// No overlap is left.
    Clear,
    /// The best that was found, and its loss.
    Stuck(Spread, f32),
    /// The effort is spent, or the watch said stop.
    Ended,
}

/// All workers, and how much of the effort they have spent.
pub struct Crew<'a, 'w> {
    pub workers: Vec<Worker<'a>>,
    pub watch: &'w dyn Watch,
    pub passes: u64,
    pub most: u64,
}

impl<'a> Crew<'a, '_> {
    /// The first worker, whose table is that of all of them between two passes.
    pub fn first(&mut self) -> &mut Worker<'a> {
        &mut self.workers[0]
    }

    /// Whether the effort is spent or the watch said stop.
    pub fn ended(&self) -> bool {
        self.passes >= self.most || self.watch.stop()
    }

    /// Gives every worker the same length of table and the same layout, with fresh weights.
    pub fn begin(&mut self, length: f32, spread: &Spread) {
        for worker in &mut self.workers {
            worker.table.length = length;
        }
        let (first, others) = self.workers.split_at_mut(1);
        first[0].begin(spread);
        for worker in others {
            worker.table.restore(spread);
            worker.losses.clone_from(&first[0].losses);
        }
    }

    /// One pass of every worker; all go on from the layout of the one that came out best.
    fn pass(&mut self) {
        let watch = self.watch;
        let jobs = self.workers.iter_mut().map(|w| Box::new(move || w.pass(watch)) as Box<dyn FnOnce() + Send>).collect();
        watch.together(jobs);
        self.passes += 1;
        let mut winner = 0;
        for i in 1..self.workers.len() {
            if self.workers[i].losses.weighted_total() < self.workers[winner].losses.weighted_total() {
                winner = i;
            }
        }
        let spread = self.workers[winner].table.spread();
        let losses = self.workers[winner].losses.clone();
        for (i, worker) in self.workers.iter_mut().enumerate() {
            if i != winner {
                worker.table.restore(&spread);
                worker.losses.clone_from(&losses);
            }
            worker.losses.press();
        }
        watch.passes(self.passes);
    }

    /// Moves pieces until none overlap. The weights of overlaps that stay are raised after each pass, so that no two
    /// pieces stay stuck in one another (guided local search).
    pub fn separate(&mut self, patience: Patience) -> Separated {
        let (mut least, mut best, mut weights) = {
            let first = &self.workers[0];
            (first.losses.total(), first.table.spread(), first.losses.clone())
        };
        if least <= 0.0 {
            return Separated::Clear;
        }
        let mut strikes = 0;
        while strikes < patience.strikes {
            let before = least;
            let mut idle = 0;
            while idle < patience.idle {
                if self.ended() {
                    return Separated::Ended;
                }
                self.pass();
                if self.watch.stop() {
                    return Separated::Ended;
                }
                let first = &self.workers[0];
                let loss = first.losses.total();
                if loss <= 0.0 {
                    return Separated::Clear;
                }
                if loss < least {
                    if loss < (1.0 - GAIN) * least {
                        idle = 0;
                    }
                    least = loss;
                    best = first.table.spread();
                    weights.clone_from(&first.losses);
                } else {
                    idle += 1;
                }
            }
            strikes = if least > (1.0 - GAIN) * before { strikes + 1 } else { 0 };
            for worker in &mut self.workers {
                worker.table.restore(&best);
                worker.losses.clone_from(&weights);
            }
        }
        Separated::Stuck(best, least)
    }
}
