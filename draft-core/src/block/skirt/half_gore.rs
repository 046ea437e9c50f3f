//! Half of a gore, from its centre line to one seam.

use kurbo::{BezPath, CubicBez, Point, Vec2};

use crate::block::ring::{arc, on_ring};
use crate::geometry::{cubic_length, cubic_path, line_path, root};

/// Longest reach of the fairing that rounds the seam's corner at the flare point, on either side of the corner.
const FAIRING_MM: f64 = 150.0;
/// The same as a share of the flared length.
const FAIRING_SHARE: f64 = 0.2;

/// How far from the corner at the flare point its fairing begins and ends, on a flare of this length.
pub fn fairing_reach(flared: f64) -> f64 {
    (FAIRING_SHARE * flared).min(FAIRING_MM)
}

/// A value at the gore's centre line and at its seam.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Across {
    /// At the centre line.
    pub centre: f64,
    /// At the seam.
    pub seam: f64,
}

/// Sizes of half a gore, millimetres. Slopes are tangents of the angle by which an edge falls outward against the
/// line that is square to the threads; nought where the edge is level on the body.
#[derive(Clone, Copy, Debug)]
pub struct Sizes {
    /// Half the top edge, with half of a dart that stands on the centre line.
    pub top: f64,
    /// Half the natural waist, where the top edge stands above it.
    pub natural_waist: f64,
    /// How far the top edge stands above the natural waist; nought where the natural waist is the top or higher.
    pub above: f64,
    /// Half the hip.
    pub hip: f64,
    /// Half the width where the flare begins; the hip's where nothing lies between.
    pub flare: f64,
    /// Half of the hem.
    pub hem: f64,
    /// From the hip up to the natural waist, or to the top edge where that is lower.
    pub rise: Across,
    /// Slope of the top edge.
    pub top_slope: Across,
    /// From the hip down to where the flare begins.
    pub straight: f64,
    /// From there to the level hem.
    pub flared: f64,
    /// Longer than the level hem by this.
    pub train: Across,
    /// Slope of the hem.
    pub hem_slope: Across,
}

/// The solved half, right of its centre line x = 0; y down, the hip level's centre at the origin.
#[derive(Clone, Debug)]
pub struct HalfGore {
    /// Top edge, from the centre outward.
    pub top: CubicBez,
    /// The natural waist from the centre outward, where the top edge stands above it.
    pub natural_waist: Option<CubicBez>,
    /// Seam from top to hem.
    pub seam: BezPath,
    /// Hip line from the centre outward.
    pub hip_line: BezPath,
    /// From the centre outward, where the flare begins below the hip.
    pub flare_line: Option<BezPath>,
    /// Hem from the seam to the centre.
    pub hem: BezPath,
    /// Where the hem meets the centre line.
    pub hem_centre: Point,
}

/// Direction that falls outward by this slope.
fn outward(slope: f64) -> Vec2 {
    Vec2::new(1.0, slope).normalize()
}

/// Square to a seam that runs down in the direction `down`, outward, then falling by `slope`.
fn square_to(down: Vec2, slope: f64) -> Vec2 {
    let across = Vec2::new(down.y, -down.x);
    (across + slope * down).normalize()
}

/// Length of the handles, as a share of the chord, with which a cubic that turns by `rad` comes next to an arc.
fn arc_handle(rad: f64) -> f64 {
    let half = rad / 2.0;
    if half.abs() < 1e-6 { 1.0 / 3.0 } else { 4.0 / 3.0 * (half / 2.0).tan() / (2.0 * half.sin()) }
}

/// A cubic from `a`, leaving along `u`, to `b`, arriving along `v`.
fn between(a: Point, u: Vec2, b: Point, v: Vec2) -> CubicBez {
    let reach = arc_handle(u.cross(v).atan2(u.dot(v))) * a.distance(b);
    CubicBez::new(a, a + reach * u, b - reach * v, b)
}

/// What lies below the hip.
struct Lower {
    hip: Point,
    /// Direction of the seam at the hip, downward.
    down: Vec2,
    seam: BezPath,
    hip_line: BezPath,
    flare_line: Option<BezPath>,
    hem: BezPath,
    hem_centre: Point,
}

/// Flared from the hip: a sector of a ring, so that the seam is straight and every thread has the same length.
fn sector(s: &Sizes) -> Lower {
    let beta = {
        let b = (s.hem - s.hip) / s.flared;
        if b.abs() < 1e-9 { 1e-9 } else { b }
    };
    let r = s.hip / beta;
    let hip = on_ring(r, 0.0, beta);
    let down = Vec2::new(beta.sin(), beta.cos());
    let level = on_ring(r + s.flared, s.flared, beta);
    let end = level + s.train.seam * down;
    let hem_centre = Point::new(0.0, s.flared + s.train.centre);
    let hem = if s.train == Across::default() { arc(r + s.flared, s.flared, beta, 0.0) } else { trailing(s, end, down, hem_centre) };
    Lower { hip, down, seam: line_path(hip, end), hip_line: arc(r, 0.0, 0.0, beta), flare_line: None, hem, hem_centre }
}

fn trailing(s: &Sizes, end: Point, down: Vec2, centre: Point) -> BezPath {
    cubic_path(&[between(end, -square_to(down, s.hem_slope.seam), centre, -outward(s.hem_slope.centre))])
}

/// Straight or tapered from the hip to the flare point, then flared. The seam runs on smoothly through the flare
/// point, which keeps its width; the corner that two straight lines would make is faired below it.
fn trumpet(s: &Sizes) -> Option<Lower> {
    let dx = s.flare - s.hip;
    let hip = Point::new(s.hip, 0.0);
    // A taper leaves the hip and reaches the flare point upright, so that both keep their width; a widening skirt runs straight.
    let tilt = if dx > 0.0 { (dx / s.straight).min(1.0).asin() } else { 0.0 };
    let down = Vec2::new(tilt.sin(), tilt.cos());
    let upper = |y: f64| {
        let at = Point::new(s.flare, y);
        let reach = 0.4 * hip.distance(at);
        CubicBez::new(hip, hip + reach * down, at - reach * down, at)
    };
    let y = root(0.5 * s.straight, s.straight + 1e-6, |y| cubic_length(&upper(y)) - s.straight)?;
    let upper = upper(y);
    let flare = upper.p3;
    let hem_centre = Point::new(0.0, s.straight + s.flared);

    let reach = fairing_reach(s.flared);
    let flared = |beta: f64| {
        let along = Vec2::new(beta.sin(), beta.cos());
        let corner = flare + reach * down;
        let turn = beta - tilt;
        // Handle of an arc that touches both lines at this distance from their corner.
        let handle = reach * if turn.abs() < 1e-6 { 2.0 / 3.0 } else { 4.0 / 3.0 * (turn / 4.0).tan() / (turn / 2.0).tan() };
        let end = corner + reach * along;
        let fairing = CubicBez::new(flare, flare + handle * down, end - handle * along, end);
        let level = end + (s.flared - cubic_length(&fairing)) * along;
        (fairing, level, along)
    };
    let level_hem = |beta: f64| {
        let (_, level, along) = flared(beta);
        between(level, -square_to(along, 0.0), hem_centre, Vec2::new(-1.0, 0.0))
    };
    // Inward only as far as the hem keeps a width.
    let least = -(0.9 * s.flare / s.flared).min(0.9).asin();
    let beta = root(least, 1.45, |beta| cubic_length(&level_hem(beta)) - s.hem)?;
    let (fairing, level, along) = flared(beta);
    let end = level + s.train.seam * along;
    let centre = hem_centre + Vec2::new(0.0, s.train.centre);
    let hem = if s.train == Across::default() { cubic_path(&[level_hem(beta)]) } else { trailing(s, end, along, centre) };
    let mut seam = cubic_path(&[upper, fairing]);
    seam.line_to(end);
    let to = |p: Point| line_path(Point::new(0.0, p.y), p);
    Some(Lower { hip, down, seam, hip_line: to(hip), flare_line: Some(to(flare)), hem, hem_centre: centre })
}

/// A piece of seam that rises from a point, and the edge square to its upper end.
struct Rise {
    seam: CubicBez,
    edge: CubicBez,
    /// Direction at its upper end, downward.
    down: Vec2,
}

/// Finds the seam of length `h` that rises from `from` (where it runs along `from_down`, downward) to the end of an
/// edge of length `half` that begins at `centre`: two lengths, two unknowns, by Broyden's method.
fn rise(from: Point, from_down: Vec2, h: f64, lean: f64, half: f64, centre: Point, slope: Across) -> Option<Rise> {
    let down = Vec2::new(lean.sin(), lean.cos());
    let inward = outward(slope.centre);
    let across = square_to(down, slope.seam);
    let curves = |w: Point| {
        let reach = 0.35 * w.x;
        Rise {
            seam: CubicBez::new(w, w + 0.4 * h * down, from - 0.4 * h * from_down, from),
            edge: CubicBez::new(centre, centre + reach * inward, w - reach * across, w),
            down,
        }
    };
    let off = |w: Point| {
        let c = curves(w);
        Vec2::new(cubic_length(&c.edge) - half, cubic_length(&c.seam) - h)
    };
    let dx = from.x - half;
    let mut w = Point::new(half, from.y - (h * h - dx * dx).max(0.25 * h * h).sqrt());
    let mut f = off(w);
    // Inverse of the Jacobian, first by differences.
    let step = 0.01;
    let (fx, fy) = ((off(w + Vec2::new(step, 0.0)) - f) / step, (off(w + Vec2::new(0.0, step)) - f) / step);
    let det = fx.x * fy.y - fy.x * fx.y;
    if det.abs() < 1e-6 {
        return None;
    }
    let mut inverse = [Vec2::new(fy.y, -fy.x) / det, Vec2::new(-fx.y, fx.x) / det];
    for _ in 0..40 {
        let move_by = -Vec2::new(inverse[0].dot(f), inverse[1].dot(f));
        w += move_by;
        if !w.is_finite() || w.x <= 0.0 {
            return None;
        }
        let next = off(w);
        if next.hypot() < 1e-8 {
            return Some(curves(w));
        }
        // Sherman–Morrison update of the inverse.
        let change = next - f;
        let seen = Vec2::new(inverse[0].dot(change), inverse[1].dot(change));
        let denominator = move_by.dot(seen);
        if denominator.abs() < 1e-18 {
            return None;
        }
        let row = Vec2::new(move_by.x * inverse[0].x + move_by.y * inverse[1].x, move_by.x * inverse[0].y + move_by.y * inverse[1].y);
        let missing = move_by - seen;
        inverse[0] += missing.x / denominator * row;
        inverse[1] += missing.y / denominator * row;
        f = next;
    }
    None
}

/// Where no curves of the sizes asked exist.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsolved {
    /// Between the top edge and the hip.
    AboveHip,
    /// Between the flare point and the hem.
    Flare,
}

/// Solves half a gore.
///
/// Source: closed-form sector of a ring; hip shaping and fairing by search for the lengths asked, our own method.
///
/// # Errors
/// No curves of these sizes exist.
pub fn solve(s: &Sizes) -> Result<HalfGore, Unsolved> {
    let sizes = [s.top, s.hip, s.flare, s.hem, s.rise.centre, s.rise.seam, s.flared];
    if sizes.into_iter().any(|v| v.is_nan() || v <= 0.0) {
        return Err(Unsolved::AboveHip);
    }
    let lower = if s.straight > 0.0 { trumpet(s).ok_or(Unsolved::Flare)? } else { sector(s) };
    above_hip(s, lower).ok_or(Unsolved::AboveHip)
}

fn above_hip(s: &Sizes, lower: Lower) -> Option<HalfGore> {
    let h = s.rise.seam;
    let natural = if s.above > 0.0 { s.natural_waist } else { s.top };
    let lean = (s.hip - natural) / h;
    let waist_centre = Point::new(0.0, -s.rise.centre);
    let (top, natural_waist, upper, shaping) = if s.above > 0.0 {
        // Where the body is narrowest the seam stands upright.
        let lean_above = (s.natural_waist - s.top) / s.above;
        let at_waist = if lean * lean_above < 0.0 { 0.0 } else { (lean + lean_above) / 2.0 };
        let below = rise(lower.hip, lower.down, h, at_waist, natural, waist_centre, s.top_slope)?;
        let top_centre = waist_centre - Vec2::new(0.0, s.above);
        let above = rise(below.edge.p3, below.down, s.above, lean_above, s.top, top_centre, s.top_slope)?;
        (above.edge, Some(below.edge), Some(above.seam), below.seam)
    } else {
        let below = rise(lower.hip, lower.down, h, lean, natural, waist_centre, s.top_slope)?;
        (below.edge, None, None, below.seam)
    };
    let mut seam = BezPath::new();
    seam.move_to(top.p3);
    for c in upper.iter().chain([&shaping]) {
        seam.curve_to(c.p1, c.p2, c.p3);
    }
    for el in lower.seam.elements().iter().skip(1) {
        seam.push(*el);
    }
    let Lower { hip_line, flare_line, hem, hem_centre, .. } = lower;
    Some(HalfGore { top, natural_waist, seam, hip_line, flare_line, hem, hem_centre })
}
