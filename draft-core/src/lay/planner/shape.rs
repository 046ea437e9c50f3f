//! Outlines made ready for the collision engine: grown by half the gap, in each way in which they may lie.

use geo::algorithm::buffer::{Buffer as _, BufferStyle, LineJoin};
use geo::{LineString, Polygon};
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::primitives::{Point as EnginePoint, SPolygon};
use jagua_rs::geometry::shape_modification::{ShapeModifyMode, simplify_shape};
use kurbo::{Point, Rect, Vec2};

use crate::DraftError;
use crate::lay::{Item, Turn};

/// Every outline is grown by this much more, so that rounding to `f32` never lets two of them touch.
const CLEAR_MM: f64 = 0.01;
/// Corners sharper than this, in radians, are blunted when an outline is grown, not drawn out to a point.
const SHARPEST_RAD: f64 = 0.5;
/// Outlines with more corners than this are simplified to a slightly larger one, by at most this share of their area.
const MANY_CORNERS: usize = 24;
const SIMPLER: f32 = 0.0005;
/// How many circles stand for a shape: at most the first number, or so many once they cover the share beside it.
const POLES: SPSurrogateConfig =
    SPSurrogateConfig { n_pole_limits: [(48, 0.0), (16, 0.8), (8, 0.9)], ff_pole_area_ratio: 0.0, n_ff_piers: 0 };

/// Circles are gone through so many at a time.
pub const LANES: usize = 8;

/// Circles inside a shape, of which no two overlap: they tell roughly how deep two shapes lie in one another.
#[derive(Clone, Debug, Default)]
pub struct Poles {
    /// Centres, from the corner of the shape's box.
    pub x: Vec<f32>,
    pub y: Vec<f32>,
    /// Radii, largest first.
    pub r: Vec<f32>,
}

impl Poles {
    /// Adds circles of no size until there is a multiple of [`LANES`] of them, to be gone through so many at a time.
    fn pad(&mut self) {
        let count = self.r.len().next_multiple_of(LANES);
        for list in [&mut self.x, &mut self.y, &mut self.r] {
            list.resize(count, 0.0);
        }
    }
}

/// A shape lying in one of its ways. Its box is that of the outline before it was grown, with as much room all round as
/// is kept free; the corner of the box is the origin. Points of the grown outline may stick out of it, where a sharp
/// corner of the piece may still touch the edge of the cloth.
#[derive(Clone, Debug)]
pub struct Lying {
    pub turn: Turn,
    pub polygon: SPolygon,
    pub poles: Poles,
    pub width: f32,
    pub height: f32,
    /// From the corner of the box to the origin of the item's coordinates.
    pub shift: Vec2,
}

/// One item, or a flaw, in all ways in which it may lie.
#[derive(Clone, Debug)]
pub struct Shape {
    pub turns: Vec<Lying>,
    pub on_fold: bool,
    pub diameter: f32,
    pub hull_area: f32,
    /// A place where nothing may lie, and no piece.
    pub is_flaw: bool,
}

/// By how much outlines are grown for pieces that keep a distance, millimetres.
pub fn room_mm(gap_mm: f64) -> f64 {
    gap_mm / 2.0 + CLEAR_MM
}

impl Shape {
    /// An item for cloth `height_mm` across on which pieces keep `gap_mm` apart. Ways that do not fit across are left
    /// out, and there may be none left.
    pub fn of(item: &Item, gap_mm: f64, height_mm: f64) -> Result<Self, DraftError> {
        let refuse = |problem: String| DraftError::new(item.name.clone(), problem, "Draft the piece again, or lay it by hand.");
        let grown = grown(&item.outline, room_mm(gap_mm)).ok_or_else(|| refuse("has an outline that crosses itself".into()))?;
        let engine = |e: &dyn std::fmt::Display| refuse(format!("has an outline that can't be laid ({e})"));
        let corner = bounds(&grown).origin().to_vec2();
        let mut own = polygon(&grown, corner).map_err(|e| engine(&e))?;
        if own.n_vertices() > MANY_CORNERS {
            own = simplify_shape(&own, ShapeModifyMode::Inflate, SIMPLER);
        }
        own.generate_surrogate(POLES).map_err(|e| engine(&e))?;
        let back = |p: EnginePoint| Point::new(f64::from(p.0), f64::from(p.1)) + corner;
        let outline: Vec<Point> = own.vertices().iter().map(|p| back(*p)).collect();
        let circles: Vec<(Point, f32)> = own.surrogate().poles.iter().map(|c| (back(c.center), c.radius)).collect();

        let mut turns = Vec::with_capacity(item.turns.len());
        for &turn in item.turns.iter().filter(|t| item.bounds(**t).height() <= height_mm + 1e-6) {
            let map = turn.affine();
            let turned: Vec<Point> = outline.iter().map(|p| map * *p).collect();
            let room = Vec2::new(room_mm(gap_mm), room_mm(gap_mm));
            let box_ = item.bounds(turn);
            let shift = room - box_.origin().to_vec2();
            let polygon = polygon(&turned, -shift).map_err(|e| engine(&e))?;
            let mut poles = Poles::default();
            for (centre, radius) in &circles {
                let at = map * *centre + shift;
                poles.x.push(at.x as f32);
                poles.y.push(at.y as f32);
                poles.r.push(*radius);
            }
            poles.pad();
            let (width, height) = ((box_.width() + 2.0 * room.x) as f32, (box_.height() + 2.0 * room.y) as f32);
            turns.push(Lying { turn, polygon, poles, width, height, shift });
        }
        Ok(Self { turns, on_fold: item.on_fold, diameter: own.diameter(), hull_area: own.surrogate().convex_hull_area, is_flaw: false })
    }
}

/// A place where nothing may lie.
pub fn flaw(rect: Rect, gap_mm: f64) -> Result<Shape, DraftError> {
    let corners = [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)];
    let item = Item {
        name: "flaw".into(),
        outline: corners.map(Point::from).to_vec(),
        copies: 1,
        turns: vec![Turn::default()],
        on_fold: false,
        weight: 0.0,
    };
    Ok(Shape { is_flaw: true, ..Shape::of(&item, gap_mm, f64::INFINITY)? })
}

/// The outline with everything within a distance of it; `None` when it is no single outline.
fn grown(outline: &[Point], by_mm: f64) -> Option<Vec<Point>> {
    let ring: LineString<f64> = outline.iter().map(|p| (p.x, p.y)).collect();
    let style = BufferStyle::new(by_mm).line_join(LineJoin::Miter(SHARPEST_RAD));
    let grown = Polygon::new(ring, Vec::new()).buffer_with_style(style);
    // Where a hollow closes at its mouth a hole is left, which no piece could be laid into anyway.
    let [polygon] = grown.0.as_slice() else { return None };
    let mut points: Vec<Point> = polygon.exterior().coords().map(|c| Point::new(c.x, c.y)).collect();
    points.pop();
    Some(points)
}

fn bounds(points: &[Point]) -> Rect {
    let first = points.first().copied().unwrap_or_default();
    points.iter().fold(Rect::from_points(first, first), |r, p| r.union_pt(*p))
}

/// A polygon of the engine, with a point of ours at its origin.
fn polygon(outline: &[Point], origin: Vec2) -> Result<SPolygon, String> {
    let mut points: Vec<EnginePoint> = Vec::with_capacity(outline.len());
    for p in outline {
        let p = *p - origin;
        let p = EnginePoint(p.x as f32, p.y as f32);
        if points.last() != Some(&p) {
            points.push(p);
        }
    }
    while points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    SPolygon::new(points).map_err(|e| e.to_string())
}
