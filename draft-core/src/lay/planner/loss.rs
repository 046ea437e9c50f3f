//! How bad a layout with overlaps is: a depth for each pair of pieces, and a weight that grows on pairs that stay stuck.

use std::sync::LazyLock;

use pulp::{Arch, NullaryFnOnce};

use super::shape::{LANES, Poles, Shape};
use super::table::{At, Table};

/// Circles farther apart than this share of the larger diameter still count a little, so that the measure never ends
/// in a flat.
const SOFTNESS: f32 = 0.01;
/// Weights of overlapping pairs grow by a factor between these, the worst pair's the most; the others shrink.
const GROWTH: (f32, f32) = (1.2, 2.0);
const DECAY: f32 = 0.95;

/// Roughly how deep two shapes lie in one another: the root of an area, times what the shapes are like in size.
///
/// Source: Gardeyn, Vanden Berghe and Wauters, arXiv 2509.13329: the measure is a sum over pairs of inscribed circles
/// of their penetration, softened where they no longer meet, times the smaller radius.
#[inline]
pub fn depth(a: (&Shape, &Poles, At), b: (&Shape, &Poles, At)) -> f32 {
    depth_below(a, b, f32::INFINITY).unwrap_or(f32::INFINITY)
}

/// The same, given up with `None` as soon as it can't be below a bound any more.
///
/// Most places that a search tries are far worse than the best that it has, which the largest circles already show.
#[inline]
pub fn depth_below(a: (&Shape, &Poles, At), b: (&Shape, &Poles, At), bound: f32) -> Option<f32> {
    let soft = SOFTNESS * a.0.diameter.max(b.0.diameter);
    let size = (a.0.hull_area * b.0.hull_area).sqrt().sqrt();
    let root = bound / size;
    let most = (root * root - soft * soft) / std::f32::consts::PI;
    let sum = circles(a.1, b.1, (a.2.0 - b.2.0, a.2.1 - b.2.1), soft, most)?;
    let depth = (sum * std::f32::consts::PI + soft * soft).sqrt() * size;
    (depth < bound).then_some(depth)
}

/// Circles of one shape that are gone through between two looks at the bound.
const ROWS: usize = 4;

/// The widest vectors that this machine has. All give the same sums: each lane adds up its own circles.
static VECTORS: LazyLock<Arch> = LazyLock::new(Arch::new);

/// The sum over all pairs of circles, or `None` as soon as it is more than `most`.
fn circles(a: &Poles, b: &Poles, by: At, soft: f32, most: f32) -> Option<f32> {
    VECTORS.dispatch(Circles { a, b, by, soft, most })
}

struct Circles<'a> {
    a: &'a Poles,
    b: &'a Poles,
    by: At,
    soft: f32,
    most: f32,
}

impl NullaryFnOnce for Circles<'_> {
    type Output = Option<f32>;

    #[inline(always)]
    fn call(self) -> Option<f32> {
        let Self { a, b, by, soft, most } = self;
        let mut sum = [0.0f32; LANES];
        let rows = a.x.chunks(ROWS).zip(a.y.chunks(ROWS)).zip(a.r.chunks(ROWS));
        for ((xs, ys), rs) in rows {
            for ((ax, ay), ar) in xs.iter().zip(ys).zip(rs) {
                let (ax, ay) = (ax + by.0, ay + by.1);
                let lanes = b.x.chunks_exact(LANES).zip(b.y.chunks_exact(LANES)).zip(b.r.chunks_exact(LANES));
                for ((bx, by), br) in lanes {
                    for k in 0..LANES {
                        sum[k] += pair(ax - bx[k], ay - by[k], *ar, br[k], soft);
                    }
                }
            }
            if sum.iter().sum::<f32>() > most {
                return None;
            }
        }
        Some(sum.iter().sum())
    }
}

#[inline(always)]
fn pair(dx: f32, dy: f32, ar: f32, br: f32, soft: f32) -> f32 {
    let into = ar + br - (dx * dx + dy * dy).sqrt();
    let value = if into >= soft { into } else { soft * soft / (2.0 * soft - into) };
    value * ar.min(br)
}

/// Depths and weights of all pairs of pieces.
#[derive(Clone, Debug)]
pub struct Losses {
    count: usize,
    /// Both halves of the square are kept, so that a row is a stretch.
    depth: Vec<f32>,
    weight: Vec<f32>,
}

impl Losses {
    /// Of a layout as it is, all weights 1.
    pub fn of(table: &Table<'_>) -> Self {
        let count = table.pieces.len();
        let mut out = Self { count, depth: vec![0.0; count * count], weight: vec![1.0; count * count] };
        for i in 0..count {
            out.look(table, i, |j| j > i);
        }
        out
    }

    /// Looks at a piece that has moved.
    pub fn look_at(&mut self, table: &Table<'_>, piece: usize) {
        for j in 0..self.count {
            self.put(piece, j, 0.0);
        }
        self.look(table, piece, |_| true);
    }

    fn look(&mut self, table: &Table<'_>, piece: usize, which: impl Fn(usize) -> bool) {
        let mut found = super::probe::Hits::default();
        super::probe::collisions(table, piece, &mut found);
        for j in found.pieces().filter(|j| which(*j)) {
            self.put(piece, j, depth_of(table, piece, j));
        }
    }

    fn put(&mut self, i: usize, j: usize, depth: f32) {
        self.depth[i * self.count + j] = depth;
        self.depth[j * self.count + i] = depth;
    }

    /// The weight of a pair.
    #[inline]
    pub fn weight(&self, i: usize, j: usize) -> f32 {
        self.weight[i * self.count + j]
    }

    fn row(&self, piece: usize) -> std::ops::Range<usize> {
        piece * self.count..(piece + 1) * self.count
    }

    /// What a piece adds to the loss.
    pub fn of_piece(&self, piece: usize) -> f32 {
        self.depth[self.row(piece)].iter().sum()
    }

    /// The same, weighted.
    pub fn weighted_of_piece(&self, piece: usize) -> f32 {
        self.depth[self.row(piece)].iter().zip(&self.weight[self.row(piece)]).map(|(d, w)| d * w).sum()
    }

    /// Sum over all pairs.
    pub fn total(&self) -> f32 {
        self.depth.iter().sum::<f32>() / 2.0
    }

    /// Weighted sum over all pairs.
    pub fn weighted_total(&self) -> f32 {
        self.depth.iter().zip(&self.weight).map(|(d, w)| d * w).sum::<f32>() / 2.0
    }

    /// Raises the weight of pairs that overlap, the deeper the more; lets that of the others fall back toward 1.
    pub fn press(&mut self) {
        let worst = self.depth.iter().copied().fold(0.0, f32::max);
        for (d, w) in self.depth.iter().zip(&mut self.weight) {
            *w = if *d > 0.0 { *w * (GROWTH.0 + (GROWTH.1 - GROWTH.0) * d / worst) } else { (*w * DECAY).max(1.0) };
        }
    }
}

/// How deep two pieces on the table lie in one another, given that they do.
pub fn depth_of(table: &Table<'_>, i: usize, j: usize) -> f32 {
    let side = |i: usize| (&table.shapes[table.pieces[i].shape], &table.lying(i).poles, table.pieces[i].at);
    depth(side(i), side(j))
}
