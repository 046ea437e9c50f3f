//! Jointly normal numbers: what some of them say about the others.
//!
//! Everything follows from the conditional mean and variance (Anderson, *An Introduction to Multivariate Statistical
//! Analysis*, theorem 2.5.1) by way of the Cholesky factor of the covariance of what is known.

/// Means and covariances of numbers that vary together.
#[derive(Clone, Copy, Debug)]
pub struct Normal<'a> {
    mean: &'a [f64],
    lower: &'a [f64],
}

/// What is known about one number once others are known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditional {
    /// Expected value.
    pub mean: f64,
    /// Standard deviation about it.
    pub spread: f64,
}

/// One more number to be known, and the doubt that is left then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Its index.
    pub index: usize,
    /// Weighted sum of the variances that are left.
    pub left: f64,
}

/// Lower Cholesky factor, its rows one after the other in full width.
struct Factor {
    n: usize,
    l: Vec<f64>,
}

impl Factor {
    fn forward(&self, b: &[f64]) -> Vec<f64> {
        let mut y = b.to_vec();
        for i in 0..self.n {
            let (row, known) = (&self.l[i * self.n..i * self.n + i], &y[..i]);
            let s: f64 = row.iter().zip(known).map(|(a, b)| a * b).sum();
            y[i] = (y[i] - s) / self.l[i * self.n + i];
        }
        y
    }
}

impl<'a> Normal<'a> {
    /// Of `n` means, and the lower triangle of the covariance row by row, `n(n + 1)/2` numbers.
    ///
    /// `None` when the counts do not fit.
    pub const fn new(mean: &'a [f64], lower: &'a [f64]) -> Option<Self> {
        if lower.len() == mean.len() * (mean.len() + 1) / 2 { Some(Self { mean, lower }) } else { None }
    }

    /// How many numbers there are.
    pub const fn len(&self) -> usize {
        self.mean.len()
    }

    /// Whether there are none.
    pub const fn is_empty(&self) -> bool {
        self.mean.is_empty()
    }

    /// Mean of one.
    pub fn mean(&self, i: usize) -> f64 {
        self.mean[i]
    }

    /// Covariance of two, or the variance of one.
    pub fn covariance(&self, i: usize, j: usize) -> f64 {
        let (i, j) = (i.max(j), i.min(j));
        self.lower[i * (i + 1) / 2 + j]
    }

    /// Of the covariance of some of them, with a noise variance added to each.
    fn factor(&self, of: &[usize], noise: impl Fn(usize) -> f64) -> Factor {
        let n = of.len();
        let mut l = vec![0.0; n * n];
        for i in 0..n {
            for j in 0..=i {
                let (row_i, row_j) = (&l[i * n..i * n + j], &l[j * n..j * n + j]);
                let mut s = self.covariance(of[i], of[j]) - row_i.iter().zip(row_j).map(|(a, b)| a * b).sum::<f64>();
                if i == j {
                    s += noise(of[i]);
                }
                l[i * n + j] = if i == j { s.max(1e-9).sqrt() } else { s / l[j * n + j] };
            }
        }
        Factor { n, l }
    }

    /// What the numbers taken say about those wanted. `noise` is the variance with which each was taken.
    pub fn given(&self, taken: &[(usize, f64)], noise: impl Fn(usize) -> f64, wanted: &[usize]) -> Vec<Conditional> {
        let of: Vec<usize> = taken.iter().map(|t| t.0).collect();
        let factor = self.factor(&of, noise);
        let off: Vec<f64> = taken.iter().map(|&(i, v)| v - self.mean[i]).collect();
        let y = factor.forward(&off);
        wanted
            .iter()
            .map(|&i| {
                let z = factor.forward(&of.iter().map(|&j| self.covariance(i, j)).collect::<Vec<_>>());
                let mean = self.mean[i] + z.iter().zip(&y).map(|(a, b)| a * b).sum::<f64>();
                let variance = self.covariance(i, i) - z.iter().map(|a| a * a).sum::<f64>();
                Conditional { mean, spread: variance.max(0.0).sqrt() }
            })
            .collect()
    }

    /// For each number taken, what all the others taken say about it; its own noise is part of the spread.
    ///
    /// With `P` the inverse of the covariance of what was taken, the conditional variance of each is `1/Pᵢᵢ` and the
    /// conditional mean `xᵢ − (P(x − μ))ᵢ/Pᵢᵢ` (the inverse by blocks), so one factor serves for all.
    pub fn left_out(&self, taken: &[(usize, f64)], noise: impl Fn(usize) -> f64) -> Vec<Conditional> {
        let of: Vec<usize> = taken.iter().map(|t| t.0).collect();
        let factor = self.factor(&of, noise);
        let n = of.len();
        let off: Vec<f64> = taken.iter().map(|&(i, v)| v - self.mean[i]).collect();
        let y = factor.forward(&off);
        // Column i of the inverse of the factor begins at row i.
        let mut column = vec![0.0; n];
        (0..n)
            .map(|i| {
                for k in i..n {
                    let s: f64 = (i..k).map(|m| factor.l[k * n + m] * column[m]).sum();
                    column[k] = (if k == i { 1.0 } else { -s }) / factor.l[k * n + k];
                }
                let p: f64 = column[i..].iter().map(|c| c * c).sum();
                let pd: f64 = column[i..].iter().zip(&y[i..]).map(|(a, b)| a * b).sum();
                Conditional { mean: taken[i].1 - pd / p, spread: p.recip().sqrt() }
            })
            .collect()
    }

    /// Which of the candidates to get to know, one after the other, so that the doubt about what is needed shrinks
    /// most each time: the weighted sum of its variances given all that is known by then.
    pub fn settled(
        &self,
        known: &[usize],
        candidates: &[usize],
        needed: &[(usize, f64)],
        noise: impl Fn(usize) -> f64,
        count: usize,
    ) -> Vec<Step> {
        let n = self.len();
        let mut left: Vec<f64> = (0..n * n).map(|k| self.covariance(k / n, k % n)).collect();
        let learn = |left: &mut Vec<f64>, k: usize| {
            let column: Vec<f64> = (0..n).map(|i| left[i * n + k]).collect();
            let v = column[k].max(0.0) + noise(k);
            if v > 0.0 {
                for i in 0..n {
                    for j in 0..n {
                        left[i * n + j] -= column[i] * column[j] / v;
                    }
                }
            }
        };
        for &k in known {
            learn(&mut left, k);
        }
        let doubt = |left: &[f64]| needed.iter().map(|&(i, w)| w * left[i * n + i].max(0.0)).sum::<f64>();
        let mut open: Vec<usize> = candidates.to_vec();
        let mut steps = Vec::new();
        while steps.len() < count && !open.is_empty() {
            let gain = |k: usize| -> f64 {
                let v = left[k * n + k].max(0.0) + noise(k);
                if v > 1e-12 { needed.iter().map(|&(i, w)| w * left[i * n + k].powi(2) / v).sum() } else { 0.0 }
            };
            // The first of equals, so that the answer never depends on chance.
            let mut best = 0;
            for i in 1..open.len() {
                if gain(open[i]) > gain(open[best]) + 1e-12 {
                    best = i;
                }
            }
            let k = open.remove(best);
            learn(&mut left, k);
            steps.push(Step { index: k, left: doubt(&left) });
        }
        steps
    }

    /// The weighted sum of the variances of what is needed, given what is known.
    pub fn doubt(&self, known: &[usize], needed: &[(usize, f64)], noise: impl Fn(usize) -> f64) -> f64 {
        let taken: Vec<(usize, f64)> = known.iter().map(|&i| (i, self.mean[i])).collect();
        let wanted: Vec<usize> = needed.iter().map(|n| n.0).collect();
        self.given(&taken, noise, &wanted).iter().zip(needed).map(|(c, (_, w))| w * c.spread * c.spread).sum()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;

    /// Two that go together, with standard deviations 2 and 3 and covariance 5, and one that goes alone.
    const MEAN: [f64; 3] = [10.0, 20.0, 30.0];
    const LOWER: [f64; 6] = [4.0, 5.0, 9.0, 0.0, 0.0, 1.0];

    fn near(a: f64, b: f64) {
        assert!((a - b).abs() < 1e-12, "{a} and {b}");
    }

    #[test]
    fn two_numbers_as_in_every_textbook() {
        let normal = Normal::new(&MEAN, &LOWER).unwrap();
        let given = normal.given(&[(1, 23.0)], |_| 0.0, &[0, 2]);
        near(given[0].mean, 10.0 + 5.0 / 9.0 * 3.0);
        near(given[0].spread, (4.0f64 - 25.0 / 9.0).sqrt());
        near(given[1].mean, 30.0);
        near(given[1].spread, 1.0);
        // A noisy reading counts for less.
        let noisy = normal.given(&[(1, 23.0)], |_| 1.0, &[0]);
        near(noisy[0].mean, 10.0 + 5.0 / 10.0 * 3.0);
    }

    #[test]
    fn leaving_one_out_is_the_same_as_not_taking_it() {
        let normal = Normal::new(&MEAN, &LOWER).unwrap();
        let taken = [(0, 13.0), (1, 19.0), (2, 30.5)];
        for (i, left) in normal.left_out(&taken, |_| 0.0).iter().enumerate() {
            let others: Vec<_> = taken.iter().copied().filter(|t| t.0 != i).collect();
            let direct = normal.given(&others, |_| 0.0, &[i])[0];
            near(left.mean, direct.mean);
            near(left.spread, direct.spread);
        }
    }

    #[test]
    fn what_settles_most_comes_first() {
        let normal = Normal::new(&MEAN, &LOWER).unwrap();
        let needed = [(0, 1.0), (1, 1.0), (2, 1.0)];
        // Knowing the second takes (81 + 25)/9 of 14 away, the first (16 + 25)/4, the third 1.
        let steps = normal.settled(&[], &[0, 1, 2], &needed, |_| 0.0, 4);
        assert_eq!(steps.iter().map(|s| s.index).collect::<Vec<_>>(), [1, 0, 2]);
        near(steps[0].left, 14.0 - 106.0 / 9.0);
        near(steps[1].left, 1.0);
        near(steps[2].left, 0.0);
        near(normal.doubt(&[], &needed, |_| 0.0), 14.0);
        near(normal.doubt(&[1], &needed, |_| 0.0), steps[0].left);
        // Where only the third is needed, the others settle nothing.
        assert_eq!(normal.settled(&[], &[0, 1, 2], &[(2, 1.0)], |_| 0.0, 1)[0].index, 2);
        // What is known already settles nothing more.
        assert_eq!(normal.settled(&[1], &[1, 2], &needed, |_| 0.0, 1)[0].index, 2);
    }

    #[test]
    fn counts_that_do_not_fit_are_refused() {
        assert!(Normal::new(&MEAN, &LOWER[1..]).is_none());
    }
}
