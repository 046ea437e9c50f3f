//! The pieces as they lie on the table at the moment, overlapping or not, kept in the collision engine.

use std::sync::Arc;

use jagua_rs::collision_detection::hazards::{HazKey, Hazard, HazardEntity};
use jagua_rs::collision_detection::{CDEConfig, CDEngine};
use jagua_rs::geometry::Transformation;
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::geo_enums::GeoPosition;
use jagua_rs::geometry::geo_traits::Transformable as _;
use jagua_rs::geometry::primitives::{Rect, SPolygon};

use super::shape::{Lying, Shape};
use crate::DraftError;

/// How finely the engine divides the table, and with how many edges it stops dividing.
const QUADTREE_DEPTH: u8 = 4;
const FEW_EDGES: u8 = 16;

/// What the engine knows of what lies there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Spot {
    /// A piece, by its number.
    Piece(u32),
    /// Everything round the table; no search leads there.
    Outside,
}

impl HazardEntity for Spot {
    fn scope(&self) -> GeoPosition {
        match self {
            Self::Piece(_) => GeoPosition::Interior,
            Self::Outside => GeoPosition::Exterior,
        }
    }

    fn is_dynamic(&self) -> bool {
        matches!(self, Self::Piece(_))
    }
}

/// Where the corner of a piece's box lies.
pub type At = (f32, f32);

/// One piece on the table, or a flaw in it.
#[derive(Clone, Debug)]
pub struct Piece {
    pub shape: usize,
    pub turn: usize,
    pub at: At,
    /// It stays where it is.
    pub fixed: bool,
    pub polygon: Arc<SPolygon>,
    key: Option<HazKey>,
}

/// The largest circles of a shape, of which so many are looked at before anything else.
const FOREMOST: usize = 3;

/// A piece in brief: the box round its circles and the largest of them. One that is not on the table has no box.
#[derive(Clone, Copy, Debug)]
pub struct Brief {
    low: At,
    high: At,
    circles: [(f32, f32, f32); FOREMOST],
}

impl Brief {
    const NOWHERE: Self =
        Self { low: (f32::INFINITY, f32::INFINITY), high: (f32::NEG_INFINITY, f32::NEG_INFINITY), circles: [(0.0, 0.0, 0.0); FOREMOST] };

    /// A shape lying in a certain way and place.
    #[inline]
    pub fn of(lying: &Lying, at: At) -> Self {
        let circle = |i: usize| lying.poles.r.get(i).map_or((0.0, 0.0, 0.0), |r| (lying.poles.x[i] + at.0, lying.poles.y[i] + at.1, *r));
        Self { low: at, high: (at.0 + lying.width, at.1 + lying.height), circles: std::array::from_fn(circle) }
    }

    /// Whether two pieces surely overlap; they may also when not.
    #[inline]
    pub fn surely_meets(&self, other: &Self) -> bool {
        // All four at once: one branch that is nearly always the same is quicker than four that are not.
        let boxes = (self.low.0 < other.high.0) & (other.low.0 < self.high.0) & (self.low.1 < other.high.1) & (other.low.1 < self.high.1);
        boxes
            && self.circles.iter().any(|(ax, ay, ar)| {
                other.circles.iter().any(|(bx, by, br)| {
                    let (dx, dy, r) = (ax - bx, ay - by, ar + br);
                    *ar > 0.0 && *br > 0.0 && dx * dx + dy * dy < r * r
                })
            })
    }
}

/// How the pieces lie, to come back to; `None` for those that are not on the table.
pub type Spread = Vec<Option<(usize, At)>>;

/// The table.
#[derive(Clone, Debug)]
pub struct Table<'a> {
    pub shapes: &'a [Shape],
    pub pieces: Vec<Piece>,
    /// The pieces in brief, by their numbers.
    pub briefs: Vec<Brief>,
    pub length: f32,
    pub height: f32,
    engine: CDEngine<Spot>,
}

impl<'a> Table<'a> {
    /// An empty table for numbered pieces, each of a shape, and whether it stays where it is laid; `beside` is more
    /// than any piece can stick out of the table.
    ///
    /// # Errors
    /// Its size can't be searched.
    pub fn new(shapes: &'a [Shape], kinds: &[(usize, bool)], length: f32, height: f32, beside: f32) -> Result<Self, DraftError> {
        let side = |times: f32| {
            let out = times * beside;
            Rect::try_new(-out, -out, length + out, height + out)
                .map_err(|e| DraftError::new("cloth", format!("can't be laid on ({e})"), "Check its width and length."))
        };
        let config =
            CDEConfig { quadtree_depth: QUADTREE_DEPTH, cd_threshold: FEW_EDGES, item_surrogate_config: SPSurrogateConfig::none() };
        let outside = Hazard::new(Spot::Outside, Arc::new(SPolygon::from(side(1.0)?)));
        let engine = CDEngine::new(side(2.0)?, vec![outside], config);
        let pieces: Vec<Piece> = kinds
            .iter()
            .map(|&(shape, fixed)| Piece {
                shape,
                turn: 0,
                at: (0.0, 0.0),
                fixed,
                polygon: Arc::new(shapes[shape].turns[0].polygon.clone()),
                key: None,
            })
            .collect();
        Ok(Self { shapes, briefs: vec![Brief::NOWHERE; pieces.len()], pieces, length, height, engine })
    }

    pub const fn engine(&self) -> &CDEngine<Spot> {
        &self.engine
    }

    /// A piece's shape as it lies.
    pub fn lying(&self, piece: usize) -> &'a Lying {
        let p = &self.pieces[piece];
        &self.shapes[p.shape].turns[p.turn]
    }

    /// Whether it lies on the table.
    pub fn lies(&self, piece: usize) -> bool {
        self.pieces[piece].key.is_some()
    }

    /// What the engine calls it.
    pub fn key(&self, piece: usize) -> Option<HazKey> {
        self.pieces[piece].key
    }

    /// The farthest place on the table for a shape in one of its ways; the nearest is the origin. On the fold there
    /// is no way across.
    pub fn farthest(&self, shape: usize, turn: usize) -> At {
        let lying = &self.shapes[shape].turns[turn];
        let across = if self.shapes[shape].on_fold { 0.0 } else { (self.height - lying.height).max(0.0) };
        ((self.length - lying.width).max(0.0), across)
    }

    /// Lays a piece, wherever it lay before.
    pub fn lay(&mut self, piece: usize, turn: usize, at: At) {
        self.take(piece);
        let shape = self.pieces[piece].shape;
        let polygon = Arc::new(self.shapes[shape].turns[turn].polygon.transform_clone(&Transformation::from_translation(at)));
        let spot = Spot::Piece(piece as u32);
        self.engine.register_hazard(Hazard::new(spot, Arc::clone(&polygon)));
        let p = &mut self.pieces[piece];
        (p.turn, p.at, p.polygon) = (turn, at, polygon);
        p.key = self.engine.haz_key(&spot);
        self.briefs[piece] = Brief::of(&self.shapes[shape].turns[turn], at);
    }

    /// Takes a piece off the table.
    pub fn take(&mut self, piece: usize) {
        if let Some(key) = self.pieces[piece].key.take() {
            self.engine.deregister_hazard_by_key(key);
            self.briefs[piece] = Brief::NOWHERE;
        }
    }

    /// How all pieces lie.
    pub fn spread(&self) -> Spread {
        self.pieces.iter().map(|p| p.key.is_some().then_some((p.turn, p.at))).collect()
    }

    /// Lays all pieces as they lay before; those that lie so already stay.
    pub fn restore(&mut self, spread: &Spread) {
        for (i, place) in spread.iter().enumerate() {
            let p = &self.pieces[i];
            match *place {
                Some((turn, at)) if p.key.is_none() || p.turn != turn || p.at != at => self.lay(i, turn, at),
                Some(_) => {}
                None => self.take(i),
            }
        }
    }

    /// The far end of the last piece.
    pub fn reach(&self) -> f32 {
        (0..self.pieces.len())
            .filter(|&i| self.lies(i) && !self.is_flaw(i))
            .map(|i| self.pieces[i].at.0 + self.lying(i).width)
            .fold(0.0, f32::max)
    }

    fn is_flaw(&self, piece: usize) -> bool {
        self.shapes[self.pieces[piece].shape].is_flaw
    }
}
