//! A look at a finished layout, apart from the planner: from the outlines as they were given, in `f64`, with the
//! geometry of the crate `geo`.

use std::fmt;

use geo::{Area as _, BooleanOps as _, BoundingRect as _, Distance as _, Euclidean, LineString, Polygon, Rect};

use super::task::area_mm2;
use super::{Extent, Layout, Placed, Task};

/// Distances are good to this, millimetres.
pub const TOLERANCE_MM: f64 = 0.002;
/// Pieces that share no more than this touch, and do not overlap; square millimetres.
const TOUCH_MM2: f64 = 1e-4;

/// Item and copy.
pub type Copy = (usize, usize);

/// What is wrong with a layout.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// Two pieces lie on one another, by so many square millimetres.
    Overlap(Copy, Copy, f64),
    /// Two pieces lie closer than the gap; their distance in millimetres.
    TooClose(Copy, Copy, f64),
    /// A piece sticks out of the cloth, by so many millimetres.
    OffTheCloth(Copy, f64),
    /// A piece lies on a flaw, by so many square millimetres.
    OnAFlaw(Copy, f64),
    /// A piece lies in a way in which it may not.
    WrongTurn(Copy),
    /// A piece that must lie on the fold is this far from it, or looks away from it; millimetres.
    OffTheFold(Copy, f64),
    /// A copy is neither laid nor left out, or is there more than once, or was not asked for.
    Miscounted(Copy),
    /// A piece that was held has moved.
    Moved(Copy),
    /// A piece has changed its area on the way, by so many square millimetres.
    Resized(Copy, f64),
    /// The length that is given is not where the last piece ends; millimetres of difference.
    WrongLength(f64),
    /// More cloth than there is; millimetres too many.
    TooLong(f64),
    /// A piece lies at no place at all.
    Nowhere(Copy),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = |c: &Copy| format!("copy {} of item {}", c.1 + 1, c.0 + 1);
        match self {
            Self::Overlap(a, b, mm2) => write!(f, "{} and {} overlap by {mm2:.3} mm²", name(a), name(b)),
            Self::TooClose(a, b, mm) => write!(f, "{} and {} are only {mm:.3} mm apart", name(a), name(b)),
            Self::OffTheCloth(a, mm) => write!(f, "{} sticks out of the cloth by {mm:.3} mm", name(a)),
            Self::OnAFlaw(a, mm2) => write!(f, "{} lies on a flaw by {mm2:.3} mm²", name(a)),
            Self::WrongTurn(a) => write!(f, "{} lies in a way in which it may not", name(a)),
            Self::OffTheFold(a, mm) => write!(f, "{} must lie on the fold and is {mm:.3} mm away", name(a)),
            Self::Miscounted(a) => write!(f, "{} is missing, or laid twice, or not asked for", name(a)),
            Self::Moved(a) => write!(f, "{} was held and has moved", name(a)),
            Self::Resized(a, mm2) => write!(f, "{} has changed its area by {mm2:.3} mm²", name(a)),
            Self::WrongLength(mm) => write!(f, "the length given is wrong by {mm:.3} mm"),
            Self::TooLong(mm) => write!(f, "the lay needs {mm:.3} mm more than there is"),
            Self::Nowhere(a) => write!(f, "{} lies at no place at all", name(a)),
        }
    }
}

/// One piece on the cloth.
struct Lying {
    copy: Copy,
    polygon: Polygon<f64>,
    bounds: Rect<f64>,
}

/// Everything that is wrong with a layout; empty when it is sound.
pub fn faults(task: &Task, layout: &Layout) -> Vec<Fault> {
    let mut out = counts(task, layout);
    let mut lying: Vec<Lying> = Vec::with_capacity(layout.placed.len());
    for placed in &layout.placed {
        let Some(item) = task.items.get(placed.item) else { continue };
        let copy = (placed.item, placed.copy);
        if !placed.at.is_finite() || !placed.turn.angle_deg.is_finite() {
            out.push(Fault::Nowhere(copy));
            continue;
        }
        if !item.turns.contains(&placed.turn) {
            out.push(Fault::WrongTurn(copy));
        }
        let outline = placed.outline(task);
        let change = area_mm2(&outline) - item.area_mm2();
        if change.abs() > 1e-6 * item.area_mm2() + TOUCH_MM2 {
            out.push(Fault::Resized(copy, change));
        }
        let ring: LineString<f64> = outline.iter().map(|p| (p.x, p.y)).collect();
        let polygon = Polygon::new(ring, Vec::new());
        let Some(bounds) = polygon.bounding_rect() else {
            out.push(Fault::Nowhere(copy));
            continue;
        };
        let (low, high) = (bounds.min(), bounds.max());
        let sticks_out = [-low.x, -low.y, high.y - task.width_mm].into_iter().fold(0.0, f64::max);
        if sticks_out > TOLERANCE_MM {
            out.push(Fault::OffTheCloth(copy, sticks_out));
        }
        if item.on_fold && low.y.abs() > TOLERANCE_MM {
            out.push(Fault::OffTheFold(copy, low.y));
        }
        for flaw in &task.flaws {
            let flaw = Rect::new((flaw.x0, flaw.y0), (flaw.x1, flaw.y1)).to_polygon();
            let on = polygon.intersection(&flaw).unsigned_area();
            if on > TOUCH_MM2 {
                out.push(Fault::OnAFlaw(copy, on));
            }
        }
        lying.push(Lying { copy, polygon, bounds });
    }
    for (i, a) in lying.iter().enumerate() {
        for b in &lying[i + 1..] {
            out.extend(pair(a, b, task.gap_mm));
        }
    }
    let end = lying.iter().map(|l| l.bounds.max().x).fold(0.0, f64::max);
    if (layout.length_mm - end).abs() > 0.1 {
        out.push(Fault::WrongLength(layout.length_mm - end));
    }
    if let Extent::Only(mm) = task.extent
        && end > mm + TOLERANCE_MM
    {
        out.push(Fault::TooLong(end - mm));
    }
    out
}

fn counts(task: &Task, layout: &Layout) -> Vec<Fault> {
    let mut out = Vec::new();
    let mut seen: Vec<Vec<u32>> = task.items.iter().map(|i| vec![0; i.copies]).collect();
    let named = layout.placed.iter().map(|p| (p.item, p.copy)).chain(layout.left_out.iter().copied());
    for (item, copy) in named {
        match seen.get_mut(item).and_then(|s| s.get_mut(copy)) {
            Some(times) => *times += 1,
            None => out.push(Fault::Miscounted((item, copy))),
        }
    }
    for (item, copies) in seen.iter().enumerate() {
        out.extend(copies.iter().enumerate().filter(|(_, times)| **times != 1).map(|(copy, _)| Fault::Miscounted((item, copy))));
    }
    if task.extent == Extent::Shortest {
        // All must lie when the cloth is as long as it need be.
        out.extend(layout.left_out.iter().map(|c| Fault::Miscounted(*c)));
    }
    let same = |a: &Placed, b: &Placed| a.turn == b.turn && (a.at - b.at).hypot() <= TOLERANCE_MM;
    for held in &task.fixed {
        if !layout.placed.iter().any(|p| (p.item, p.copy) == (held.item, held.copy) && same(p, held)) {
            out.push(Fault::Moved((held.item, held.copy)));
        }
    }
    out
}

fn pair(a: &Lying, b: &Lying, gap_mm: f64) -> Option<Fault> {
    let between = |a0: f64, a1: f64, b0: f64, b1: f64| (b0 - a1).max(a0 - b1).max(0.0);
    let (al, ah, bl, bh) = (a.bounds.min(), a.bounds.max(), b.bounds.min(), b.bounds.max());
    let apart = between(al.x, ah.x, bl.x, bh.x).hypot(between(al.y, ah.y, bl.y, bh.y));
    if apart > gap_mm {
        return None;
    }
    let distance = Euclidean.distance(&a.polygon, &b.polygon);
    if distance <= 0.0 {
        let shared = a.polygon.intersection(&b.polygon).unsigned_area();
        if shared > TOUCH_MM2 {
            return Some(Fault::Overlap(a.copy, b.copy, shared));
        }
    }
    (distance < gap_mm - TOLERANCE_MM).then_some(Fault::TooClose(a.copy, b.copy, distance))
}
