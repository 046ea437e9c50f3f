//! From what is cut to what is laid: the rules of a dressmaker's lay.

use geo::{Area as _, BooleanOps as _};
use kurbo::{Affine, Point, Rect};

use super::outline::polygon;
use super::{Cloth, Cut, Spread, TooWide};
use crate::Name;
use crate::lay::{Extent, Item, Layout, Placed, Task, Turn};

/// A fold may be off the grain by this, in radians, and still be laid on the fold of the cloth.
const ALONG_RAD: f64 = 0.01;
/// A piece and its mirror image are the same when they differ by no more than this share of its area.
const SAME_SHARE: f64 = 0.004;

/// What an item of a task is.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidPiece {
    /// The piece.
    pub piece: Name,
    /// Number of its first copy, from 1; the item's copies follow.
    pub first_copy: usize,
    /// Pieces of cloth that one copy gives: two when both layers of folded cloth are cut.
    pub gives: usize,
    /// From the piece's own coordinates to the item's.
    pub item_from_piece: Affine,
}

/// Cloth in one way of lying, and what is laid on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// Single or folded.
    pub spread: Spread,
    /// For the planner.
    pub task: Task,
    /// What each of the task's items is.
    pub pieces: Vec<LaidPiece>,
}

impl Stretch {
    const fn new(spread: Spread, width_mm: f64, gap_mm: f64) -> Self {
        let task = Task { width_mm, extent: Extent::Shortest, gap_mm, flaws: Vec::new(), items: Vec::new(), fixed: Vec::new() };
        Self { spread, task, pieces: Vec::new() }
    }

    /// The piece of a laid copy, and the number of the copy from 1.
    pub fn named(&self, item: usize, copy: usize) -> Option<(&Name, usize)> {
        self.pieces.get(item).map(|p| (&p.piece, p.first_copy + copy * p.gives))
    }

    /// From a piece's own coordinates to the cloth's.
    pub fn cloth_from_piece(&self, placed: &Placed) -> Affine {
        self.pieces.get(placed.item).map_or(Affine::IDENTITY, |p| placed.cloth_from_item() * p.item_from_piece)
    }

    /// Large pieces, on which a stripe or a check must sit alike: those of at least half the area of the largest.
    pub fn main_pieces(&self) -> usize {
        let largest = self.task.items.iter().map(Item::area_mm2).fold(0.0, f64::max);
        self.task.items.iter().filter(|i| i.area_mm2() >= largest / 2.0).map(|i| i.copies).sum()
    }

    /// Adds copies of an outline, and says whether it fits across.
    fn add(&mut self, item: Item, piece: LaidPiece) -> bool {
        if item.copies == 0 {
            return true;
        }
        let fits = self.task.fits_across(&item);
        if fits {
            self.task.items.push(item);
            self.pieces.push(piece);
        }
        fits
    }
}

/// How one cloth is laid: one stretch, or two when some pieces can't be cut from folded cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct LayOut {
    /// The cloth.
    pub cloth: Cloth,
    /// The stretches that are cut one after another; none when nothing is cut from the cloth.
    pub stretches: Vec<Stretch>,
    /// Pieces that are wider than the cloth.
    pub too_wide: Vec<TooWide>,
}

/// An outline with the grain along x, and how it got there.
struct Straight {
    outline: Vec<Point>,
    item_from_piece: Affine,
}

impl LayOut {
    /// Lays out what is cut from a cloth. With `tilt`, pieces may also lie off the grain as far as the cloth allows.
    pub fn of(cloth: &Cloth, cuts: &[Cut], tilt: bool) -> Self {
        let usable = cloth.usable_mm();
        let mut folded = Stretch::new(Spread::Folded, usable / 2.0, cloth.gap.mm());
        let mut single = Stretch::new(Spread::Single, usable, cloth.gap.mm());
        let mut too_wide = Vec::new();
        let tilt = if tilt { cloth.tilt_deg } else { 0.0 };
        for cut in cuts.iter().filter(|c| c.layer.cloth == cloth.name) {
            let whole = straight(cut, true);
            let mut laid = 0;
            if cloth.spread == Spread::Folded && !cut.layer.bias {
                laid = fold_up(&mut folded, cut, &whole, cloth.one_way, tilt);
            }
            let piece = |first: usize| LaidPiece {
                piece: cut.piece.clone(),
                first_copy: first + 1,
                gives: 1,
                item_from_piece: whole.item_from_piece,
            };
            let left = (cut.count as usize).saturating_sub(laid);
            let mirrored = if cut.pairs && cut.fold.is_none() { left / 2 } else { 0 };
            let item = |copies: usize, over: bool| Item {
                name: cut.piece.to_string(),
                outline: whole.outline.clone(),
                copies,
                turns: turns(cut.layer.bias, cloth.one_way, &[over], tilt),
                on_fold: false,
                weight: weight(cut),
            };
            let fits = single.add(item(left - mirrored, false), piece(laid));
            let fits = single.add(item(mirrored, true), piece(laid + left - mirrored)) && fits;
            if !fits {
                too_wide.push(TooWide::of(cut, cloth, usable, &whole.outline, whole.item_from_piece.inverse()));
            }
        }
        let stretches = [folded, single].into_iter().filter(|s| !s.task.items.is_empty()).collect();
        Self { cloth: cloth.clone(), stretches, too_wide }
    }

    /// Length of the lay, all stretches together, millimetres.
    pub fn length_mm(layouts: &[Layout]) -> f64 {
        layouts.iter().map(|l| l.length_mm).sum()
    }

    /// Area of everything that is laid, square millimetres of cloth in one layer.
    pub fn area_mm2(&self) -> f64 {
        let layers = |s: &Stretch| if s.spread == Spread::Folded { 2.0 } else { 1.0 };
        self.stretches.iter().map(|s| layers(s) * s.task.area_mm2()).sum()
    }
}

/// Lays what can be cut from two layers at once; gives how many of the copies that takes care of.
fn fold_up(folded: &mut Stretch, cut: &Cut, whole: &Straight, one_way: bool, tilt: f64) -> usize {
    let count = cut.count as usize;
    let item = |outline: Vec<Point>, copies: usize, turns: Vec<Turn>, on_fold: bool| Item {
        name: cut.piece.to_string(),
        outline,
        copies,
        turns,
        on_fold,
        weight: weight(cut),
    };
    if let Some(half) = on_fold(cut) {
        // Turned end for end about the line across the cloth, the fold edge stays on the fold.
        let ways = if one_way { vec![Turn::by(0.0)] } else { vec![Turn::by(0.0), Turn::over(180.0)] };
        let piece = LaidPiece { piece: cut.piece.clone(), first_copy: 1, gives: 1, item_from_piece: half.item_from_piece };
        return if folded.add(item(half.outline, count, ways, true), piece) { count } else { 0 };
    }
    // Both layers are cut at once, the lower one as the mirror image: as wanted for pairs, or all the same to a piece
    // that is its own mirror image.
    if !(cut.pairs || same_mirrored(&whole.outline)) {
        return 0;
    }
    let piece = LaidPiece { piece: cut.piece.clone(), first_copy: 1, gives: 2, item_from_piece: whole.item_from_piece };
    let ways = turns(false, one_way, &[false, true], tilt);
    if folded.add(item(whole.outline.clone(), count / 2, ways, false), piece) { count / 2 * 2 } else { 0 }
}

/// What is more important is left out last; of the same importance, what is cut from the most cloth.
fn weight(cut: &Cut) -> f64 {
    1.0 + f64::from(cut.layer.importance)
}

/// The ways in which a piece may lie.
fn turns(bias: bool, one_way: bool, over: &[bool], tilt_deg: f64) -> Vec<Turn> {
    let angles: &[f64] = match (bias, one_way) {
        (false, true) => &[0.0],
        (false, false) => &[0.0, 180.0],
        (true, true) => &[45.0],
        (true, false) => &[45.0, 135.0, 225.0, 315.0],
    };
    let tilts: &[f64] = if tilt_deg > 0.0 { &[0.0, 0.5, -0.5, 1.0, -1.0] } else { &[0.0] };
    let mut out = Vec::new();
    for by in tilts {
        for mirrored in over {
            out.extend(angles.iter().map(|a| Turn { mirrored: *mirrored, angle_deg: a + by * tilt_deg }));
        }
    }
    out
}

/// The outline with its grain along x, its upper end ahead; unfolded when `whole` and it lies on a fold.
fn straight(cut: &Cut, whole: bool) -> Straight {
    let item_from_piece = Affine::rotate(-cut.grain_rad);
    let outline = match cut.fold {
        Some(fold) if whole => unfolded(&cut.outline, fold),
        _ => cut.outline.clone(),
    };
    Straight { outline: outline.iter().map(|p| item_from_piece * *p).collect(), item_from_piece }
}

/// A half piece ready for the fold: its fold edge along x, the cloth on the side of greater y. `None` when the piece
/// has no fold, or one that does not run with the grain.
fn on_fold(cut: &Cut) -> Option<Straight> {
    let fold = cut.fold?;
    let mut half = straight(cut, false);
    let along = half.item_from_piece * fold[1] - half.item_from_piece * fold[0];
    if (along.y / along.hypot()).abs() > ALONG_RAD {
        return None;
    }
    // Turned until the fold runs along x to the last digit.
    let off = if along.x < 0.0 { (-along).atan2() } else { along.atan2() };
    let exact = Affine::rotate(-off);
    let fold_y = (exact * half.item_from_piece * fold[0]).y;
    let middle = half.outline.iter().map(|p| (exact * *p).y - fold_y).sum::<f64>();
    // The halves of a whole are each other's mirror images, so that one may stand for the other.
    let over = if middle < 0.0 { Affine::FLIP_Y } else { Affine::IDENTITY };
    let map = Affine::translate((0.0, -fold_y * if middle < 0.0 { -1.0 } else { 1.0 })) * over * exact;
    half.outline.iter_mut().for_each(|p| *p = map * *p);
    half.item_from_piece = map * half.item_from_piece;
    let beyond = half.outline.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
    (beyond.abs() < 0.01).then_some(half)
}

/// Both halves of a piece: its outline and the mirror image about the fold.
pub fn unfolded(half: &[Point], fold: [Point; 2]) -> Vec<Point> {
    let along = (fold[1] - fold[0]).normalize();
    let off = |p: Point| along.cross(p - fold[0]);
    let on = |p: &Point| off(*p).abs() < 0.02;
    let count = half.len();
    // The longest side that lies on the fold falls away; the rest is run from one of its ends to the other.
    let side = (0..count)
        .filter(|&i| on(&half[i]) && on(&half[(i + 1) % count]))
        .max_by(|&a, &b| half[a].distance(half[(a + 1) % count]).total_cmp(&half[b].distance(half[(b + 1) % count])));
    let Some(side) = side else { return half.to_vec() };
    let mut run: Vec<Point> = (1..=count).map(|k| half[(side + k) % count]).collect();
    while run.len() > 2 && on(&run[1]) && on(&run[0]) {
        run.remove(0);
    }
    while run.len() > 2 && on(&run[run.len() - 2]) && on(&run[run.len() - 1]) {
        run.pop();
    }
    let across = kurbo::Vec2::new(-along.y, along.x);
    let mirrored = |p: Point| p - across * (2.0 * off(p));
    let other: Vec<Point> = run[1..run.len() - 1].iter().rev().map(|p| mirrored(*p)).collect();
    run.extend(other);
    run
}

/// Whether an outline with its grain along x is its own mirror image about the grain.
fn same_mirrored(outline: &[Point]) -> bool {
    let first = outline.first().copied().unwrap_or_default();
    let bounds = outline.iter().fold(Rect::from_points(first, first), |r, p| r.union_pt(*p));
    let middle = bounds.y0 + bounds.y1;
    let mirrored: Vec<Point> = outline.iter().map(|p| Point::new(p.x, middle - p.y)).collect();
    let (a, b) = (polygon(outline), polygon(&mirrored));
    a.xor(&b).unsigned_area() <= SAME_SHARE * a.unsigned_area()
}
