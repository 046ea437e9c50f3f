//! A look at a finished layout, apart from the planner: from the outlines as they were given, in `f64`, with the
//! geometry of the crate `geo`.

use std::fmt;

use geo::{Area as _, BooleanOps as _, BoundingRect as _, Distance as _, Euclidean, LineString, Polygon, Rect};

use kurbo::Point;

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
        let name = |c: Copy| format!("copy {} of item {}", c.1 + 1, c.0 + 1);
        f.write_str(&self.text(&name, &|mm| format!("{mm:.3} mm"), &|mm2| format!("{mm2:.3} mm²")))
    }
}

impl Fault {
    /// The copies that are concerned; none when it is the lay as a whole.
    pub fn copies(&self) -> Vec<Copy> {
        match self {
            Self::Overlap(a, b, _) | Self::TooClose(a, b, _) => vec![*a, *b],
            Self::OffTheCloth(a, _) | Self::OnAFlaw(a, _) | Self::OffTheFold(a, _) | Self::Resized(a, _) => vec![*a],
            Self::WrongTurn(a) | Self::Miscounted(a) | Self::Moved(a) | Self::Nowhere(a) => vec![*a],
            Self::WrongLength(_) | Self::TooLong(_) => Vec::new(),
        }
    }

    /// In words, with names of the copies, lengths and areas as the caller writes them.
    pub fn text(&self, name: &dyn Fn(Copy) -> String, length: &dyn Fn(f64) -> String, area: &dyn Fn(f64) -> String) -> String {
        let name = |c: &Copy| name(*c);
        match self {
            Self::Overlap(a, b, mm2) => format!("{} and {} overlap by {}", name(a), name(b), area(*mm2)),
            Self::TooClose(a, b, mm) => format!("{} and {} are only {} apart", name(a), name(b), length(*mm)),
            Self::OffTheCloth(a, mm) => format!("{} sticks out of the cloth by {}", name(a), length(*mm)),
            Self::OnAFlaw(a, mm2) => format!("{} lies on a flaw by {}", name(a), area(*mm2)),
            Self::WrongTurn(a) => format!("{} lies in a way in which it may not", name(a)),
            Self::OffTheFold(a, mm) => format!("{} must lie on the fold and is {} away", name(a), length(*mm)),
            Self::Miscounted(a) => format!("{} is missing, or laid twice, or not asked for", name(a)),
            Self::Moved(a) => format!("{} was held and has moved", name(a)),
            Self::Resized(a, mm2) => format!("{} has changed its area by {}", name(a), area(*mm2)),
            Self::WrongLength(mm) => format!("the length given is wrong by {}", length(*mm)),
            Self::TooLong(mm) => format!("the lay needs {} more than there is", length(*mm)),
            Self::Nowhere(a) => format!("{} lies at no place at all", name(a)),
        }
    }
}

/// Where two outlines lie on one another: closed runs of corners.
pub fn shared(a: &[Point], b: &[Point]) -> Vec<Vec<Point>> {
    let polygon = |points: &[Point]| Polygon::new(points.iter().map(|p| (p.x, p.y)).collect(), Vec::new());
    let both = polygon(a).intersection(&polygon(b));
    both.0.iter().filter(|p| p.unsigned_area() > TOUCH_MM2).map(|p| p.exterior().coords().map(|c| Point::new(c.x, c.y)).collect()).collect()
}

/// One piece on the cloth.
struct Lying {
    copy: Copy,
    polygon: Polygon<f64>,
    bounds: Rect<f64>,
}

/// Everything that is wrong with a layout; empty when it is sound.
pub fn faults(task: &Task, layout: &Layout) -> Vec<Fault> {
    looked_at(task, layout, None)
}

/// What is wrong with one copy alone where it lies, as while it is being moved: the others are not looked at, nor is
/// what is missing.
pub fn faults_of(task: &Task, layout: &Layout, copy: Copy) -> Vec<Fault> {
    let mut out = looked_at(task, layout, Some(copy));
    out.retain(|fault| fault.copies().contains(&copy));
    out
}

fn looked_at(task: &Task, layout: &Layout, only: Option<Copy>) -> Vec<Fault> {
    let mut out = if only.is_some() { Vec::new() } else { counts(task, layout) };
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
            if only.is_some_and(|copy| copy != a.copy && copy != b.copy) {
                continue;
            }
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
