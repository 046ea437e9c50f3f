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

/// Columns that the body form computes from the others by a formula, so that nothing is left to estimate: upper chest
/// and underbust girth, and the distance of the bust points. They are left out where spreads are tried.
const COMPUTED: [Measurement; 3] = [Measurement::UpperChestGirth, Measurement::UnderbustGirth, Measurement::BustPointDistance];

/// A normal number lies within one standard deviation in 68.27 % of cases, and within two in 95.45 % (Abramowitz &
/// Stegun, table 26.1). Means and covariances are made from every second person and tried on the others, who had no
/// part in them. Bounds: five standard errors of a share, √(p(1 − p)/n), for each measurement, as there are 42 of them
/// and bodies are not quite normal; and for the root mean square of 1 five times its standard error, 1/√(2n).
#[test]
fn about_two_people_in_three_lie_within_one_spread() {
    for survey in [Survey::Women, Survey::Men] {
        let people = of(survey);
        let which: Vec<Measurement> = people[0].values.iter().map(|v| v.0).filter(|m| !COMPUTED.contains(m)).collect();
        let people: Vec<Vec<f64>> =
            people.iter().map(|p| p.values.iter().filter(|v| !COMPUTED.contains(&v.0)).map(|v| v.1).collect()).collect();
        let made: Vec<&[f64]> = people.iter().step_by(2).map(Vec::as_slice).collect();
        let held: Vec<&[f64]> = people.iter().skip(1).step_by(2).map(Vec::as_slice).collect();
        let (mean, lower) = moments(&made);
        let normal = Normal::new(&mean, &lower).unwrap();
        let off: Vec<Vec<f64>> = held
            .iter()
            .map(|person| {
                let taken: Vec<(usize, f64)> = person.iter().copied().enumerate().collect();
                let given = normal.left_out(&taken, |i| 0.001 * normal.covariance(i, i));
                given.iter().zip(*person).map(|(c, v)| (v - c.mean) / c.spread).collect()
            })
            .collect();
        let n = held.len() as f64;
        for (i, m) in which.iter().enumerate() {
            let share = |within: f64| off.iter().filter(|z| z[i].abs() <= within).count() as f64 / n;
            for (within, p) in [(1.0, 0.6827), (2.0, 0.9545)] {
                let error = (p * (1.0 - p) / n).sqrt();
                let got = share(within);
                assert!((got - p).abs() < 5.0 * error, "{survey:?}, {m:?}: {got:.3} lie within {within} spreads, {p} expected");
            }
            let rms = (off.iter().map(|z| z[i] * z[i]).sum::<f64>() / n).sqrt();
            assert!((rms - 1.0).abs() < 5.0 / (2.0 * n).sqrt(), "{survey:?}, {m:?}: the spread is {rms:.3} times what it should be");
        }
    }
}

/// Source: `ansur2_regressions.csv`, ordinary least squares over all of ANSUR II (1,986 women and 4,082 men), with the
/// standard error of estimate of each. With the same one predictor ours is made from half of those people and may not
/// do worse on them; three standard errors of a standard deviation, 3/√(2n), are allowed for which half it was.
#[test]
fn an_estimate_is_as_good_as_the_regression_with_the_same_predictor() {
    let known = |name: &str| match name {
        "stature" => Measurement::Stature,
        "bust_girth" => Measurement::BustGirth,
        "hip_girth" => Measurement::HipGirth,
        "neck_base_girth" => Measurement::NeckBaseGirth,
        "shoulder_length" => Measurement::ShoulderLength,
        "wrist_girth" => Measurement::WristGirth,
        "hand_girth" => Measurement::HandGirth,
        "shoulder_elbow_length" => Measurement::UpperArmLength,
        other => panic!("{other} is not among the rows copied"),
    };
    let everyone = complete();
    let mut rows = 0;
    for row in csv::Reader::from_path(data("ansur2_regressions.csv")).unwrap().records() {
        let row = row.unwrap();
        let survey = if &row[0] == "female" { Survey::Women } else { Survey::Men };
        let (target, predictor, see) = (known(&row[1]), known(&row[2]), row[9].parse::<f64>().unwrap());
        let (mut squares, mut n) = (0.0, 0.0);
        for person in everyone.iter().filter(|p| p.survey == survey) {
            let value = |m| person.values.iter().find(|v| v.0 == m).unwrap().1;
            let mut card = draft_core::WearerCard { survey, ..Default::default() };
            card.set(predictor, Take::new(value(predictor).to_string(), Unit::Cm));
            let estimate = Body::of_card(&card).0.get(target).unwrap() / 10.0;
            squares += (estimate - value(target)).powi(2);
            n += 1.0;
        }
        let rms = (squares / n).sqrt();
        assert!(rms <= see * (1.0 + 3.0 / (2.0f64 * n).sqrt()), "{}: {target:?} from {predictor:?} errs by {rms:.3}, SEE {see}", &row[0]);
        rows += 1;
    }
    assert_eq!(rows, 42);
}

fn notes(body: &draft_core::WearerCard) -> Vec<draft_core::Message> {
    Body::of_card(body).1.into_iter().filter(|m| m.problem.contains("than expected of someone")).collect()
}

/// Of the survey's own people 8 of 993 women and 16 of 2,041 men got a note when this was written.
#[test]
fn fewer_than_two_in_a_hundred_of_the_surveys_own_people_get_a_note() {
    for survey in [Survey::Women, Survey::Men] {
        let people = of(survey);
        let noted = people.iter().filter(|p| !notes(&p.card()).is_empty()).count();
        assert!(noted > 0 && noted * 100 < 2 * people.len(), "{survey:?}: {noted} of {}", people.len());
    }
}

/// A gross slip, such as a tape read at the wrong ten, is named alone and first in at least three people of four.
#[test]
fn a_slip_of_the_tape_is_named_and_its_neighbours_are_not() {
    use Measurement::{ArmLength, BustGirth, FrontWaistLength, HipGirth, Stature, WaistGirth};
    let everyone = complete();
    for (which, by) in
        [(BustGirth, 10.0), (WaistGirth, 20.0), (HipGirth, 15.0), (FrontWaistLength, 10.0), (ArmLength, 10.0), (Stature, -15.0)]
    {
        let (mut named, mut n) = (0, 0);
        for person in everyone.iter().step_by(20) {
            let mut wrong = person.clone();
            wrong.values.iter_mut().find(|v| v.0 == which).unwrap().1 += by;
            let notes = notes(&wrong.card());
            named += usize::from(notes.len() == 1 && notes[0].concerns == [which] && notes[0].grade == Grade::Note);
            n += 1;
        }
        assert!(4 * named >= 3 * n, "{which:?} {by}: named in {named} of {n}");
    }
}

#[test]
fn nothing_is_said_of_a_child_or_of_too_few_measurements() {
    use Measurement::*;
    let mut card = draft_core::WearerCard { survey: Survey::Women, ..Default::default() };
    for (which, cm) in [(Stature, "118"), (BustGirth, "60"), (WaistGirth, "56"), (HipGirth, "64"), (ArmLength, "38"), (NeckBaseGirth, "29")]
    {
        card.set(which, Take::new(cm, Unit::Cm));
    }
    assert!(notes(&card).is_empty() && plausible::expected(&Body::of_card(&card).0, Survey::Women).is_empty());
    let mut few = draft_core::WearerCard { survey: Survey::Women, ..Default::default() };
    few.set(BustGirth, Take::new("88", Unit::Cm));
    few.set(HipGirth, Take::new("140", Unit::Cm));
    assert!(notes(&few).is_empty());
}

#[test]
fn four_measurements_settle_most_of_a_doubt() {
    use Measurement::{BustGirth, HipGirth, OutsideLeg, Stature};
    let mut card = draft_core::WearerCard { survey: Survey::Women, ..Default::default() };
    for (which, cm) in [(Stature, "166"), (BustGirth, "92"), (HipGirth, "100")] {
        card.set(which, Take::new(cm, Unit::Cm));
    }
    let (body, _) = Body::of_card(&card);
    let mut needed: Vec<Measurement> =
        [Block::Bodice, Block::Skirt, Block::Sleeve].iter().flat_map(|b| b.measurements()).copied().collect();
    needed.dedup();
    let doubtful: Vec<Measurement> = needed.iter().copied().filter(|&m| body.measured(m).is_none()).collect();
    let four = plausible::settling(&body, Survey::Women, &doubtful, &needed, 4);
    assert_eq!(four.len(), 4);
    assert!(four.windows(2).all(|w| w[1].left < w[0].left) && four[0].left < 1.0);
    assert!(four[3].left < 0.5, "{four:?}");
    // No other single measurement settles more than the first one.
    for &which in &doubtful {
        let alone = plausible::settling(&body, Survey::Women, &[which], &needed, 1);
        assert!(alone.is_empty() || alone[0].left >= four[0].left - 1e-9, "{which:?}");
    }
    // What the survey lacks is settled by the one that it is estimated from.
    let leg = plausible::settling(&body, Survey::Women, &[OutsideLeg], &[OutsideLeg], 4);
    assert_eq!(leg.iter().map(|s| s.which).collect::<Vec<_>>(), [OutsideLeg]);
}

#[test]
fn a_disagreement_is_settled_by_what_it_concerns_or_by_what_is_missing() {
    use Measurement::{BackWaistLength, ScyeDepth, UnderarmToWaist};
    let person = of(Survey::Women).swap_remove(7);
    let mut card = person.card();
    card.set(ScyeDepth, Take::new("29", Unit::Cm));
    let (body, messages) = Body::of_card(&card);
    let sum = messages.iter().find(|m| m.concerns == [ScyeDepth, UnderarmToWaist, BackWaistLength]);
    let sum = sum.unwrap_or_else(|| panic!("{messages:?}"));
    let steps = plausible::would_settle(&body, Survey::Women, sum, 4);
    assert!((1..=4).contains(&steps.len()), "{steps:?}");
    assert!(steps.iter().all(|s| sum.concerns.contains(&s.which) || body.measured(s.which).is_none()), "{steps:?}");
    assert!(sum.concerns.contains(&steps[0].which) && steps.windows(2).all(|w| w[1].left < w[0].left), "{steps:?}");
    // A message about one measurement, or one that nothing is wrong with, names no doubt.
    let about = |grade, which: &[Measurement]| draft_core::Message::new(grade, "sleeve", "it is so", "").about(which);
    for quiet in [about(Grade::Warning, &[ScyeDepth]), about(Grade::Note, &[ScyeDepth, UnderarmToWaist])] {
        assert!(plausible::would_settle(&body, Survey::Women, &quiet, 4).is_empty());
    }
    // Measured once more, all that it concerns is as certain as the tape: little is left.
    assert!(steps.last().unwrap().left < 0.5, "{steps:?}");
}

/// What is held against the others and what the card lacks are told apart, and a length that the survey lacks is held
/// against the one that it goes with.
#[test]
fn each_measurement_has_an_outlook() {
    use Measurement::{BustGirth, HipGirth, OutsideLeg, TopHipGirth, WaistHeight};
    use draft_core::plausible::{Outlook, Outlooks};
    let mut card = of(Survey::Women).swap_remove(7).card();
    card.takes.remove(&HipGirth);
    card.set(WaistHeight, Take::new("100", Unit::Cm));
    card.set(OutsideLeg, Take::new("109", Unit::Cm));
    let outlooks = Outlooks::of(&Body::of_card(&card).0, Survey::Women);
    assert!(matches!(outlooks.about(BustGirth), Outlook::Held(_)));
    assert!(matches!(outlooks.about(HipGirth), Outlook::Estimated { .. }));
    assert_eq!(outlooks.about(TopHipGirth), Outlook::Unknown);
    let Outlook::Held(leg) = outlooks.about(OutsideLeg) else { panic!("{:?}", outlooks.about(OutsideLeg)) };
    assert!((leg.expected - 1010.0).abs() < 1e-9 && leg.off() > 2.0, "{leg:?}");
    let (low, high) = outlooks.about(OutsideLeg).range().unwrap();
    assert!((high - low - 4.0 * leg.spread).abs() < 1e-9);
    let empty = Outlooks::of(&Body::default(), Survey::Everyone);
    assert_eq!((empty.about(BustGirth), empty.about(BustGirth).range()), (Outlook::TooFew, None));
}
