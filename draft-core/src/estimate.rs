//! Estimates of measurements that were not taken.
//!
//! The survey's measurements are treated as jointly normal: means and covariances in [`table`] come from half of
//! the people of ANSUR II (a 2012 survey of 6,068 US soldiers, cleared for unlimited public release), completed by a
//! simple body form where the survey has no tape length. A missing measurement is the conditional mean given those
//! that were taken; its spread is the conditional standard deviation (Anderson, *An Introduction to Multivariate
//! Statistical Analysis*, theorem 2.5.1). Soldiers are not everyone: an estimate drafts a muslin, not good cloth.

mod table;

use crate::normal::Normal;
use crate::{Body, Measurement, Origin, Survey};
pub use table::KNOWN;
use table::{COVARIANCE, MEAN};

/// The measurements of a survey's people as jointly normal numbers, in the order of [`KNOWN`].
pub fn normal(survey: Survey) -> Option<Normal<'static>> {
    let survey = match survey {
        Survey::Women => 0,
        Survey::Men => 1,
        Survey::Everyone => 2,
    };
    Normal::new(&MEAN[survey], &COVARIANCE[survey])
}

/// What was measured and the survey knows, by its place in [`KNOWN`].
pub fn taken(body: &Body) -> Vec<(usize, f64)> {
    KNOWN.iter().enumerate().filter_map(|(i, &which)| Some((i, body.measured(which)?))).collect()
}

/// Fills in what is missing where at least one measurement of the survey was taken.
pub fn complete(body: &mut Body, survey: Survey) {
    let taken = taken(body);
    if let Some(normal) = normal(survey)
        && !taken.is_empty()
    {
        let wanted: Vec<usize> = (0..KNOWN.len()).filter(|&i| body.measured(KNOWN[i]).is_none()).collect();
        // A thousandth of each variance, so that measurements which nearly repeat one another do not blow up the solution.
        let noise = |i: usize| 0.001 * normal.covariance(i, i);
        for (estimate, &i) in normal.given(&taken, noise, &wanted).iter().zip(&wanted) {
            let (low, high) = KNOWN[i].human_range();
            body.estimate(KNOWN[i], estimate.mean.clamp(low, high), estimate.spread);
        }
    }
    derived(body);
}

/// Measurements that the survey does not have, from those that it has: times, plus and spread. Common practice, from
/// memory: the outside leg runs over the hip and is about 1 cm longer than the straight height; the front and back
/// lengths to the floor are taken as the outside leg; the middle finger measures about a third of the hand's girth
/// less a little.
const DERIVED: [(Measurement, Measurement, f64, f64, f64); 4] = [
    (Measurement::OutsideLeg, Measurement::WaistHeight, 1.0, 10.0, 10.0),
    (Measurement::FrontWaistToFloor, Measurement::OutsideLeg, 1.0, 0.0, 15.0),
    (Measurement::BackWaistToFloor, Measurement::OutsideLeg, 1.0, 0.0, 15.0),
    (Measurement::MiddleFingerGirth, Measurement::HandGirth, 0.33, 0.0, 4.0),
];

/// What a measurement that the survey lacks is expected to be, by the one that it goes with; and its spread, the doubt
/// about that other one included. `None` where the survey has it, or the other one is not known.
pub fn expected_of_derived(body: &Body, which: Measurement) -> Option<(f64, f64)> {
    let (_, from, times, plus, spread) = DERIVED.iter().find(|d| d.0 == which)?;
    let doubt = match body.origin(*from) {
        Origin::Estimated { spread } => times * spread,
        Origin::Measured | Origin::Missing => 0.0,
    };
    Some((body.get(*from)? * times + plus, spread.hypot(doubt)))
}

fn derived(body: &mut Body) {
    for (which, from, times, plus, spread) in DERIVED {
        if body.measured(which).is_none()
            && let Some(v) = body.get(from)
        {
            body.estimate(which, v * times + plus, spread);
        }
    }
}

/// The place in [`KNOWN`] of what a measurement is estimated from, and how much of it: itself where the survey has it.
pub fn root(which: Measurement) -> Option<(usize, f64)> {
    if let Some(i) = KNOWN.iter().position(|&k| k == which) {
        return Some((i, 1.0));
    }
    let (_, from, times, ..) = DERIVED.iter().find(|d| d.0 == which)?;
    root(*from).map(|(i, more)| (i, times * more))
}
