//! How far a piece can be slid until the gap to the next one, or an edge of the cloth, is just kept.
//!
//! Exact but for rounding: of two outlines that move toward each other, either a corner of one or a corner of the other
//! is the first to come as near as the gap to an edge of its fellow. That is where a ray from the corner meets the strip
//! round the edge: two straight sides and two half circles. No step is taken, and nothing is judged by eye.

use geo::{Distance as _, Euclidean, Polygon};
use kurbo::{Point, Rect, Vec2};

use super::verify::{Copy, TOLERANCE_MM, shared};
use super::{Extent, Layout, Task};

/// Pieces that lie nearer than the gap by no more than this keep it, and may slide along one another; millimetres. Well
/// below what the check allows, so that what has been slid is found sound.
const TOUCHES_MM: f64 = TOLERANCE_MM / 4.0;

/// How far a copy can be moved along a direction, from where it lies, before something stops it; millimetres. Nothing
/// when nothing does. What it already lies too near to does not stop it.
pub fn room_mm(task: &Task, layout: &Layout, copy: Copy, along: Vec2) -> Option<f64> {
    let along = along.normalize();
    let own = layout.placed.iter().find(|p| (p.item, p.copy) == copy)?;
    if !along.is_finite() {
        return Some(0.0);
    }
    let outline = own.outline(task);
    let bounds = bounds_of(&outline);
    let mut room = edges_mm(task, layout, copy, bounds, along);
    for flaw in &task.flaws {
        let corners = [(flaw.x0, flaw.y0), (flaw.x1, flaw.y0), (flaw.x1, flaw.y1), (flaw.x0, flaw.y1)].map(Point::from);
        nearer(&mut room, until_near(&outline, bounds, &corners, along, 0.0));
    }
    for other in layout.placed.iter().filter(|p| (p.item, p.copy) != copy) {
        nearer(&mut room, until_near(&outline, bounds, &other.outline(task), along, task.gap_mm));
    }
    room
}

fn nearer(room: &mut Option<f64>, found: Option<f64>) {
    *room = match (*room, found) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    };
}

fn bounds_of(outline: &[Point]) -> Rect {
    let first = outline.first().copied().unwrap_or_default();
    outline.iter().fold(Rect::from_points(first, first), |r, p| r.union_pt(*p))
}

/// Until the box of the piece meets an edge of the cloth, or the end of the lay.
fn edges_mm(task: &Task, layout: &Layout, copy: Copy, own: Rect, along: Vec2) -> Option<f64> {
    let end = match task.extent {
        Extent::Only(mm) => mm,
        // As far as the others reach, and never back from where it lies.
        Extent::Shortest => {
            let others = layout.placed.iter().filter(|p| (p.item, p.copy) != copy);
            others.filter_map(|p| Some(task.items.get(p.item)?.bounds(p.turn).x1 + p.at.x)).fold(own.x1, f64::max)
        }
    };
    let mut room = None;
    // Coming from beyond an edge it is not held back by it.
    let mut edge = |left: f64, speed: f64| {
        if speed > 1e-12 && left >= -TOUCHES_MM {
            nearer(&mut room, Some((left / speed).max(0.0)));
        }
    };
    edge(own.x0, -along.x);
    edge(end - own.x1, along.x);
    edge(own.y0, -along.y);
    edge(task.width_mm - own.y1, along.y);
    room
}

/// How far an outline moves until it is as near as the gap to one that lies still; nothing where it passes, or is
/// already nearer.
fn until_near(moving: &[Point], own: Rect, still: &[Point], along: Vec2, gap: f64) -> Option<f64> {
    let other = bounds_of(still).inflate(gap, gap);
    // Its box as it sweeps past: along the direction behind, or aside.
    let aside = Vec2::new(-along.y, along.x);
    let span = |r: Rect, d: Vec2| {
        let at = [(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1)].map(|p| Point::from(p).to_vec2().dot(d));
        at.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(*x), b.max(*x)))
    };
    let (mine, its) = (span(own, aside), span(other, aside));
    if mine.1 < its.0 || its.1 < mine.0 || span(other, along).1 < span(own, along).0 {
        return None;
    }
    if own.inflate(gap, gap).overlaps(bounds_of(still)) && is_too_near(moving, still, gap) {
        return None;
    }
    let mut first: Option<f64> = None;
    let mut meet = |corners: &[Point], run: &[Point], along: Vec2| {
        let onward = if signed_area(run) < 0.0 { -1.0 } else { 1.0 };
        for (a, b) in run.iter().zip(run.iter().cycle().skip(1)) {
            // Toward the inside of the edge; with no gap to keep, what leaves it does not meet it.
            let inward = onward * (*b - *a).cross(along) > 0.0;
            if gap > 0.0 || inward {
                corners.iter().for_each(|corner| nearer(&mut first, entry(*corner, along, *a, *b, gap)));
            }
        }
    };
    meet(moving, still, along);
    meet(still, moving, -along);
    first
}

/// Whether two outlines lie on one another, or nearer than the gap.
fn is_too_near(a: &[Point], b: &[Point], gap: f64) -> bool {
    let polygon = |points: &[Point]| Polygon::new(points.iter().map(|p| (p.x, p.y)).collect(), Vec::new());
    if gap > TOUCHES_MM { Euclidean.distance(&polygon(a), &polygon(b)) < gap - TOUCHES_MM } else { !shared(a, b).is_empty() }
}

/// Above nought where the run turns from x to y.
fn signed_area(run: &[Point]) -> f64 {
    let origin = run.first().copied().unwrap_or_default();
    run.iter().zip(run.iter().cycle().skip(1)).map(|(a, b)| (*a - origin).cross(*b - origin)).sum()
}

/// After how much a ray comes as near as `gap` to the line from `a` to `b`. One that stays within the touching
/// tolerance of the gap slides along.
fn entry(from: Point, along: Vec2, a: Point, b: Point, gap: f64) -> Option<f64> {
    let inner = (gap - TOUCHES_MM).max(0.0);
    let (enters, leaves) = within(from, along, a, b, inner)?;
    if leaves <= 0.0 || enters < -1e-9 {
        return None;
    }
    // The same edge at the full gap, a little sooner.
    let soon = within(from, along, a, b, gap).map_or(enters, |(t, _)| t);
    Some(soon.clamp(0.0, enters.max(0.0)))
}

/// The stretch of a ray's line within a distance of the line from `a` to `b`: a strip with round ends, which is convex.
fn within(from: Point, along: Vec2, a: Point, b: Point, distance: f64) -> Option<(f64, f64)> {
    let mut found: Option<(f64, f64)> = None;
    let mut add = |t0: f64, t1: f64| {
        found = Some(found.map_or((t0, t1), |(a, b)| (a.min(t0), b.max(t1))));
    };
    for end in [a, b] {
        let to = end - from;
        let (ahead, off) = (to.dot(along), to.cross(along));
        let half = distance * distance - off * off;
        if half > 0.0 {
            add(ahead - half.sqrt(), ahead + half.sqrt());
        }
    }
    let line = b - a;
    let length = line.hypot();
    if length < 1e-12 {
        return found;
    }
    let (u, n) = (line / length, Vec2::new(-line.y, line.x) / length);
    // Within the ends: 0 ≤ s ≤ length; within the distance: −d ≤ h ≤ d. Both change evenly along the ray.
    let (s0, sv) = ((from - a).dot(u), along.dot(u));
    let (h0, hv) = ((from - a).dot(n), along.dot(n));
    let clip = |at: f64, speed: f64, low: f64, high: f64| -> Option<(f64, f64)> {
        if speed.abs() < 1e-12 {
            return (low < at && at < high).then_some((f64::NEG_INFINITY, f64::INFINITY));
        }
        let (t0, t1) = ((low - at) / speed, (high - at) / speed);
        Some((t0.min(t1), t0.max(t1)))
    };
    if let (Some((s0, s1)), Some((h0, h1))) = (clip(s0, sv, -1e-9, length + 1e-9), clip(h0, hv, -distance, distance)) {
        let (t0, t1) = (s0.max(h0), s1.min(h1));
        if t0 <= t1 {
            add(t0, t1);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
    use super::*;
    use crate::lay::verify::faults_of;
    use crate::lay::{Item, Placed, Turn};

    fn task(outlines: &[Vec<Point>], gap_mm: f64) -> Task {
        let item = |outline: &Vec<Point>| Item {
            name: "piece".into(),
            outline: outline.clone(),
            copies: 1,
            turns: vec![Turn::default()],
            on_fold: false,
            weight: 1.0,
        };
        let items = outlines.iter().map(item).collect();
        Task { width_mm: 1000.0, extent: Extent::Only(3000.0), gap_mm, flaws: Vec::new(), items, fixed: Vec::new() }
    }

    fn layout(at: &[(f64, f64)]) -> Layout {
        let placed = |(item, at): (usize, &(f64, f64))| Placed { item, copy: 0, turn: Turn::default(), at: Vec2::from(*at) };
        Layout { placed: at.iter().enumerate().map(placed).collect(), ..Layout::default() }
    }

    fn square(side: f64) -> Vec<Point> {
        [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)].map(Point::from).to_vec()
    }

    fn round(radius: f64, corners: u32) -> Vec<Point> {
        (0..corners).map(|i| Point::ZERO + radius * Vec2::from_angle(std::f64::consts::TAU * f64::from(i) / f64::from(corners))).collect()
    }

    #[test]
    fn a_square_slides_to_the_gap_and_to_the_selvedge() {
        let task = task(&[square(100.0), square(100.0)], 5.0);
        let l = layout(&[(0.0, 0.0), (400.0, 50.0)]);
        let room = |v: (f64, f64)| room_mm(&task, &l, (0, 0), Vec2::from(v)).unwrap();
        assert!((room((1.0, 0.0)) - 295.0).abs() < 1e-9, "{}", room((1.0, 0.0)));
        assert_eq!(room((-1.0, 0.0)), 0.0);
        assert!((room((0.0, 2.0)) - 900.0).abs() < 1e-9);
        // Corner to corner on a slant: the gap is a quarter circle there.
        let l = layout(&[(0.0, 0.0), (300.0, 300.0)]);
        let slant = room_mm(&task, &l, (0, 0), Vec2::new(1.0, 1.0)).unwrap();
        assert!((slant - (200.0 * 2.0_f64.sqrt() - 5.0)).abs() < 1e-9, "{slant}");
    }

    #[test]
    fn what_touches_slides_along_and_does_not_come_nearer() {
        let task = task(&[square(100.0), square(300.0)], 5.0);
        let l = layout(&[(95.0 + 100.0, 100.0), (300.0, 0.0)]);
        assert_eq!(room_mm(&task, &l, (0, 0), Vec2::new(1.0, 0.0)), Some(0.0));
        assert!((room_mm(&task, &l, (0, 0), Vec2::new(0.0, 1.0)).unwrap() - 800.0).abs() < 1e-9);
        assert!(room_mm(&task, &l, (0, 0), Vec2::new(1.0, 5.0)).unwrap() < 0.01);
        // Lying on another already, it is not stopped by that one.
        let l = layout(&[(250.0, 100.0), (300.0, 0.0)]);
        assert!((room_mm(&task, &l, (0, 0), Vec2::new(1.0, 0.0)).unwrap() - 2650.0).abs() < 1e-9);
    }

    /// Two discs of many corners meet where their middles are two radii and the gap apart.
    #[test]
    fn round_pieces_meet_where_circles_do_and_the_check_agrees() {
        let task = task(&[round(80.0, 720), round(120.0, 720)], 4.0);
        for (dx, dy) in [(700.0, 0.0), (700.0, 120.0), (600.0, -190.0), (500.0, 203.0)] {
            let l = layout(&[(200.0, 400.0), (200.0 + dx, 400.0 + dy)]);
            let t = room_mm(&task, &l, (0, 0), Vec2::new(1.0, 0.0)).unwrap();
            let circles: f64 = dx - ((80.0_f64 + 120.0 + 4.0).powi(2) - dy * dy).sqrt();
            // The sagitta of a side of 720 is below a thousandth of the radius.
            assert!((t - circles).abs() < 0.02 + if dy > 200.0 { 0.6 } else { 0.0 }, "{t} and {circles} at {dy}");
            let mut moved = l.clone();
            moved.placed[0].at.x += t;
            assert_eq!(faults_of(&task, &moved, (0, 0)).iter().filter(|f| f.copies().len() > 1).count(), 0);
            moved.placed[0].at.x += 0.5;
            assert!(!faults_of(&task, &moved, (0, 0)).is_empty(), "half a millimetre more is too near at {dy}");
        }
    }
}
