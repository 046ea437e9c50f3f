//! Estimates, their spreads and what is called unusual, held against the survey's people.

use draft_core::{Block, Body, Grade, Measurement, Survey, Take, Unit, normal::Normal, plausible};

use crate::bodies::{Person, complete, data};

/// Means and the lower triangle of the covariance of some people's numbers.
fn moments(people: &[&[f64]]) -> (Vec<f64>, Vec<f64>) {
    let (n, count) = (people[0].len(), people.len() as f64);
    let mean: Vec<f64> = (0..n).map(|i| people.iter().map(|p| p[i]).sum::<f64>() / count).collect();
    let mut lower = Vec::new();
    for i in 0..n {
        for j in 0..=i {
            lower.push(people.iter().map(|p| (p[i] - mean[i]) * (p[j] - mean[j])).sum::<f64>() / (count - 1.0));
        }
    }
    (mean, lower)
}

fn of(survey: Survey) -> Vec<Person> {
    complete().into_iter().filter(|p| p.survey == survey).collect()
}

/// A normal number lies within one standard deviation in 68.27 % of cases, and within two in 95.45 % (Abramowitz &
/// Stegun, table 26.1). The table is made from every second person and tried on the others, who had no part in it.
#[test]
fn about_two_people_in_three_lie_within_one_spread() {
    for survey in [Survey::Women, Survey::Men] {
        let people: Vec<Vec<f64>> = of(survey).iter().map(|p| p.values.iter().map(|v| v.1).collect()).collect();
        let made: Vec<&[f64]> = people.iter().step_by(2).map(Vec::as_slice).collect();
        let held: Vec<&[f64]> = people.iter().skip(1).step_by(2).map(Vec::as_slice).collect();
        let (mean, lower) = moments(&made);
        let normal = Normal::new(&mean, &lower).unwrap();
        let count = mean.len();
        let (mut within_one, mut within_two, mut squares) = (vec![0.0; count], vec![0.0; count], vec![0.0; count]);
        for person in &held {
            let taken: Vec<(usize, f64)> = person.iter().copied().enumerate().collect();
            for (i, c) in normal.left_out(&taken, |i| 0.001 * normal.covariance(i, i)).iter().enumerate() {
                let z = (person[i] - c.mean) / c.spread;
                within_one[i] += f64::from(u8::from(z.abs() <= 1.0));
                within_two[i] += f64::from(u8::from(z.abs() <= 2.0));
                squares[i] += z * z;
            }
        }
        let n = held.len() as f64;
        let all = n * count as f64;
        let (one, two) = (within_one.iter().sum::<f64>() / all, within_two.iter().sum::<f64>() / all);
        for i in 0..count {
            eprintln!("{survey:?} {i} {:.3} {:.3} {:.3}", within_one[i]/n, within_two[i]/n, (squares[i]/n).sqrt());
        }
        eprintln!("{survey:?}: {one:.4} {two:.4}");
    }
}

#[test]
fn few_of_the_surveys_own_people_are_called_unusual() {
    for survey in [Survey::Women, Survey::Men] {
        let people = of(survey);
        let mut noted = 0;
        let mut z = Vec::new();
        for person in &people {
            let (body, messages) = Body::of_card(&person.card());
            let n = messages.iter().filter(|m| m.problem.contains("expected of someone")).count();
            noted += usize::from(n > 0);
            z.extend(plausible::expected(&body, survey).iter().map(|e| (e.which, e.off())));
        }
        let share = |t: f64| z.iter().filter(|e| e.1.abs() > t).count() as f64 / z.len() as f64;
        eprintln!("{survey:?}: {noted} of {}; beyond 1 {:.3} 2 {:.4} 3 {:.5} 3.5 {:.5}", people.len(), share(1.0), share(2.0), share(3.0), share(3.5));
        for t in [3.0, 3.5] { let mut c = std::collections::BTreeMap::new(); for e in z.iter().filter(|e| e.1.abs()>t) { *c.entry(e.0.key()).or_insert(0) += 1; } eprintln!("{t} {c:?}"); }
    }
}
