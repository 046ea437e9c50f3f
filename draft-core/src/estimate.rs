//! Estimates of measurements that were not taken.
//!
//! The survey's measurements are treated as jointly normal: means and covariances in [`table`] come from half of
//! the people of ANSUR II (a 2012 survey of 6,068 US soldiers, cleared for unlimited public release), completed by a
//! simple body form where the survey has no tape length. A missing measurement is the conditional mean given those
//! that were taken; its spread is the conditional standard deviation (Anderson, *An Introduction to Multivariate
//! Statistical Analysis*, theorem 2.5.1). Soldiers are not everyone: an estimate drafts a muslin, not good cloth.

mod table;

use crate::{Body, Measurement, Survey};
use table::{COVARIANCE, KNOWN, MEAN};

const N: usize = KNOWN.len();

fn covariance(survey: usize, i: usize, j: usize) -> f64 {
    let (i, j) = (i.max(j), i.min(j));
    COVARIANCE[survey][i * (i + 1) / 2 + j]
}

/// Fills in what is missing where at least one measurement of the survey was taken.
pub fn complete(body: &mut Body, survey: Survey) {
    let survey = match survey {
        Survey::Women => 0,
        Survey::Men => 1,
        Survey::Everyone => 2,
    };
    let taken: Vec<(usize, f64)> = (0..N).filter_map(|i| Some((i, body.measured(KNOWN[i])?))).collect();
    if taken.is_empty() || taken.len() == N {
        return;
    }
    // Lower Cholesky factor of the covariance of what was taken. A thousandth of each variance is added, so that
    // measurements which nearly repeat one another do not blow up the solution.
    let n = taken.len();
    let mut l = vec![0.0; n * n];
    for i in 0..n {
        for j in 0..=i {
            let mut s = covariance(survey, taken[i].0, taken[j].0);
            if i == j {
                s *= 1.001;
            }
            for k in 0..j {
                s -= l[i * n + k] * l[j * n + k];
            }
            l[i * n + j] = if i == j { s.max(1e-9).sqrt() } else { s / l[j * n + j] };
        }
    }
    let forward = |b: &[f64]| {
        let mut y = vec![0.0; n];
        for i in 0..n {
            let mut s = b[i];
            for k in 0..i {
                s -= l[i * n + k] * y[k];
            }
            y[i] = s / l[i * n + i];
        }
        y
    };
    let off: Vec<f64> = taken.iter().map(|&(i, v)| v - MEAN[survey][i]).collect();
    let y = forward(&off);
    for (i, &which) in KNOWN.iter().enumerate() {
        if body.measured(which).is_some() {
            continue;
        }
        let c: Vec<f64> = taken.iter().map(|&(j, _)| covariance(survey, i, j)).collect();
        let z = forward(&c);
        let mean = MEAN[survey][i] + z.iter().zip(&y).map(|(a, b)| a * b).sum::<f64>();
        let variance = covariance(survey, i, i) - z.iter().map(|a| a * a).sum::<f64>();
        let (low, high) = which.human_range();
        body.estimate(which, mean.clamp(low, high), variance.max(0.0).sqrt());
    }
    derived(body);
}

/// Measurements that the survey does not have, from those that it has. Common practice, from memory: the outside
/// leg runs over the hip and is about 1 cm longer than the straight height; the front and back lengths to the floor
/// are taken as the outside leg; the middle finger measures about a third of the hand's girth less a little.
fn derived(body: &mut Body) {
    use Measurement::*;
    let rules: [(Measurement, Measurement, f64, f64, f64); 4] = [
        (OutsideLeg, WaistHeight, 1.0, 10.0, 10.0),
        (FrontWaistToFloor, OutsideLeg, 1.0, 0.0, 15.0),
        (BackWaistToFloor, OutsideLeg, 1.0, 0.0, 15.0),
        (MiddleFingerGirth, HandGirth, 0.33, 0.0, 4.0),
    ];
    for (which, from, times, plus, spread) in rules {
        if body.measured(which).is_none()
            && let Some(v) = body.get(from)
        {
            body.estimate(which, v * times + plus, spread);
        }
    }
}
