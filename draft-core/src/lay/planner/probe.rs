//! Looking for a better place for one piece.

use jagua_rs::collision_detection::hazards::HazKey;
use jagua_rs::collision_detection::hazards::collector::HazardCollector;
use jagua_rs::geometry::Transformation;
use jagua_rs::geometry::geo_traits::TransformableFrom as _;
use jagua_rs::geometry::primitives::SPolygon;

use super::loss::{Losses, depth_below};
use super::shape::Shape;
use super::table::{At, Brief, Spot, Table};
use crate::lay::chance::Chance;

/// Places tried anywhere on the table, and near to where the piece lies.
const ANYWHERE: usize = 48;
const NEAR: usize = 24;
/// So many of the best are followed downhill.
const FOLLOWED: usize = 3;
/// Steps begin and end at these shares of the smaller side of a piece: on the way down, and at last.
const STEPS: (f32, f32) = (0.25, 0.02);
const FINE_STEPS: (f32, f32) = (0.01, 0.001);
/// What becomes of a step that helped, and of one that did not.
const LONGER: f32 = 1.1;
const SHORTER: f32 = 0.5;
/// Two places closer than this share of the smaller side are one.
const SAME: f32 = 0.05;

/// What a piece lies on.
#[derive(Clone, Debug, Default)]
pub struct Hits(Vec<(HazKey, Spot)>);

impl Hits {
    /// The numbers of the pieces that were hit.
    pub fn pieces(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().filter_map(|(_, spot)| if let Spot::Piece(i) = spot { Some(*i as usize) } else { None })
    }
}

impl HazardCollector for Hits {
    type Entity = Spot;

    #[inline]
    fn contains_key(&self, key: HazKey) -> bool {
        self.0.iter().any(|(k, _)| *k == key)
    }

    #[inline]
    fn insert(&mut self, key: HazKey, spot: Spot) {
        self.0.push((key, spot));
    }

    fn remove_by_key(&mut self, key: HazKey) {
        self.0.retain(|(k, _)| *k != key);
    }

    fn len(&self) -> usize {
        self.0.len()
    }

    fn iter(&self) -> impl Iterator<Item = (HazKey, &Spot)> {
        self.0.iter().map(|(k, s)| (*k, s))
    }
}

/// All that a piece on the table collides with.
pub fn collisions(table: &Table<'_>, piece: usize, found: &mut Hits) {
    let p = &table.pieces[piece];
    if let Some(key) = table.key(piece) {
        table.engine().collect_poly_collisions(&p.polygon, &key, found);
    }
}

/// A place for a piece, and what it would cost there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    pub turn: usize,
    pub at: At,
    pub loss: f32,
}

/// The best places so far, all apart from each other, best first.
#[derive(Debug)]
struct Best {
    places: Vec<Place>,
    apart: f32,
}

impl Best {
    /// A place must cost less than this to be of interest.
    fn bound(&self) -> f32 {
        if self.places.len() < FOLLOWED { f32::INFINITY } else { self.places[FOLLOWED - 1].loss }
    }

    fn add(&mut self, place: Place) {
        let close =
            |p: &Place| p.turn == place.turn && (p.at.0 - place.at.0).abs() < self.apart && (p.at.1 - place.at.1).abs() < self.apart;
        if let Some(i) = self.places.iter().position(close) {
            if self.places[i].loss <= place.loss {
                return;
            }
            self.places.remove(i);
        }
        let i = self.places.partition_point(|p| p.loss <= place.loss);
        self.places.insert(i, place);
        self.places.truncate(FOLLOWED);
    }
}

/// What a place is judged by.
pub trait Judge {
    /// What it would cost to lie there; `None` when that is no less than `bound`.
    fn cost(&mut self, turn: usize, at: At, bound: f32) -> Option<f32>;
}

/// Room for shapes on trial.
#[derive(Clone, Debug)]
pub struct Trials(Vec<Vec<SPolygon>>);

impl Trials {
    pub fn new(shapes: &[Shape]) -> Self {
        Self(shapes.iter().map(|s| s.turns.iter().map(|t| t.polygon.clone()).collect()).collect())
    }

    /// A shape moved to where it is tried.
    #[inline]
    pub fn at(&mut self, shapes: &[Shape], shape: usize, turn: usize, at: At) -> &SPolygon {
        let trial = &mut self.0[shape][turn];
        trial.transform_from(&shapes[shape].turns[turn].polygon, &Transformation::from_translation(at));
        trial
    }
}

/// Judges by weighted overlap.
pub struct ByOverlap<'a, 'b> {
    pub table: &'a Table<'b>,
    pub losses: &'a Losses,
    pub trials: &'a mut Trials,
    pub hits: &'a mut Hits,
    pub piece: usize,
}

impl Judge for ByOverlap<'_, '_> {
    fn cost(&mut self, turn: usize, at: At, bound: f32) -> Option<f32> {
        let Self { table, losses, trials, hits, piece } = self;
        let piece = *piece;
        let index = table.pieces[piece].shape;
        let shape = &table.shapes[index];
        let poles = &shape.turns[turn].poles;
        let key = table.key(piece).unwrap_or_default();
        hits.0.clear();
        let mut sum = 0.0;
        // Most places are bad: what surely overlaps there is often enough to see it, without asking the engine.
        let brief = Brief::of(&shape.turns[turn], at);
        for (j, other) in table.briefs.iter().enumerate() {
            if j != piece && brief.surely_meets(other) {
                let there = &table.pieces[j];
                let (weight, other) = (losses.weight(piece, j), (&table.shapes[there.shape], &table.lying(j).poles, there.at));
                sum += weight * depth_below((shape, poles, at), other, (bound - sum) / weight)?;
                if let Some(key) = table.key(j) {
                    hits.0.push((key, Spot::Piece(j as u32)));
                }
            }
        }
        let trial = trials.at(table.shapes, index, turn, at);
        let too_much = |spot: Spot| {
            match spot {
                Spot::Piece(j) => {
                    let j = j as usize;
                    let other = (&table.shapes[table.pieces[j].shape], &table.lying(j).poles, table.pieces[j].at);
                    let weight = losses.weight(piece, j);
                    sum += depth_below((shape, poles, at), other, (bound - sum) / weight).map_or(f32::INFINITY, |depth| weight * depth);
                }
                Spot::Outside => sum = f32::INFINITY,
            }
            sum >= bound
        };
        if table.engine().collect_poly_collisions_until(trial, &key, *hits, too_much) { None } else { (sum < bound).then_some(sum) }
    }
}

/// Looks for the best place for a piece: tries many, follows the best few downhill, and the best of these to its end.
/// `known` is a place to beat; the result never costs more. `near` widens the look round it.
pub fn search(
    judge: &mut impl Judge,
    table: &Table<'_>,
    piece: usize,
    known: Option<Place>,
    tries: (usize, usize),
    chance: &mut Chance,
) -> Option<Place> {
    let shape = table.pieces[piece].shape;
    let turns = &table.shapes[shape].turns;
    let side = turns[0].width.min(turns[0].height);
    let mut best = Best { places: Vec::with_capacity(FOLLOWED + 1), apart: SAME * side };
    if let Some(place) = known {
        best.add(place);
        for _ in 0..tries.1 {
            let turn = chance.index(turns.len());
            let far = table.farthest(shape, turn);
            let (w, h) = (turns[turn].width / 2.0, turns[turn].height / 2.0);
            let at = (
                chance.between((place.at.0 - w).max(0.0), (place.at.0 + w).min(far.0)).min(far.0),
                chance.between((place.at.1 - h).max(0.0), (place.at.1 + h).min(far.1)).min(far.1),
            );
            if let Some(loss) = judge.cost(turn, at, best.bound()) {
                best.add(Place { turn, at, loss });
            }
        }
    }
    for _ in 0..tries.0 {
        let turn = chance.index(turns.len());
        let far = table.farthest(shape, turn);
        let at = (chance.between(0.0, far.0), chance.between(0.0, far.1));
        if let Some(loss) = judge.cost(turn, at, best.bound()) {
            best.add(Place { turn, at, loss });
        }
    }
    for place in std::mem::take(&mut best.places) {
        let place = follow(judge, table, shape, place, STEPS, side, chance);
        best.add(place);
    }
    let place = best.places.first()?;
    Some(follow(judge, table, shape, *place, FINE_STEPS, side, chance))
}

/// The usual number of tries.
pub const TRIES: (usize, usize) = (ANYWHERE, NEAR);

/// Goes downhill from a place: along the cloth, across it or aslant, as chance has it, in steps that grow while they
/// help and shrink when they do not.
fn follow(
    judge: &mut impl Judge,
    table: &Table<'_>,
    shape: usize,
    from: Place,
    steps: (f32, f32),
    side: f32,
    chance: &mut Chance,
) -> Place {
    let far = table.farthest(shape, from.turn);
    let (mut step, least) = ((steps.0 * side, steps.0 * side), steps.1 * side);
    if far.1 <= 0.0 {
        step.1 = 0.0;
    }
    let mut best = from;
    while (step.0 >= least || step.1 >= least) && best.loss > 0.0 {
        let (x, y) = best.at;
        let way = if step.1 == 0.0 { 0 } else { chance.index(4) };
        let tries = match way {
            0 => [(x + step.0, y), (x - step.0, y)],
            1 => [(x, y + step.1), (x, y - step.1)],
            2 => [(x + step.0, y + step.1), (x - step.0, y - step.1)],
            _ => [(x - step.0, y + step.1), (x + step.0, y - step.1)],
        };
        let before = best.loss;
        for at in tries {
            let at = (at.0.clamp(0.0, far.0), at.1.clamp(0.0, far.1));
            if at != best.at
                && let Some(loss) = judge.cost(from.turn, at, best.loss)
            {
                best = Place { turn: from.turn, at, loss };
            }
        }
        let by = if best.loss < before { LONGER } else { SHORTER };
        if way != 1 {
            step.0 *= by;
        }
        if way != 0 {
            step.1 *= by;
        }
    }
    best
}
