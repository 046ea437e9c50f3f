//! What is plausible for a person: each measurement held against what the others let expect.
//!
//! The same survey and the same jointly normal numbers as for estimates: the expected value of a measurement is its
//! conditional mean given all the others on the card, and its spread the conditional standard deviation, widened by
//! what a tape is good to. Thresholds:
//!
//! | off by | said |
//! |---|---|
//! | less than 1 spread (about 2 people in 3) | as expected |
//! | more | by how much, and how many people differ as much |
//! | more than [`UNUSUAL`] spreads | also as a note on the wearer card |
//!
//! The survey's people are grown-up soldiers. Bodies differ, and a number out of the common is a reason to hold the
//! tape once more, never to refuse it. For a person much smaller than the survey's nothing is said.

use crate::measurement::Kind;
use crate::normal::Normal;
use crate::{Body, Grade, Measurement, Message, Origin, Survey, Unit, estimate};

/// From this many spreads on a measurement is noted on the card.
pub const UNUSUAL: f64 = 3.5;

/// So many other measurements must be there before anything is said.
const LEAST_OTHERS: usize = 3;

/// A stature this many standard deviations below the survey's mean, a child's as a rule, is beyond the survey.
const BEYOND: f64 = 4.0;

/// At most so many notes on one card; with more, something larger is the matter, such as the unit.
const MOST_NOTES: usize = 4;

/// An angle counts as the drop that it makes at the end of a shoulder of 14 cm, millimetres for each degree.
const MM_PER_DEGREE: f64 = 2.4;

/// What a tape is good to, as a standard deviation: a hundredth of the length but at least 2 mm, two degrees of an
/// angle; common practice. Two people who take the same measurement differ by about as much.
fn tape(normal: &Normal<'_>, i: usize) -> f64 {
    match estimate::KNOWN.get(i).map(|m| m.kind()) {
        Some(Kind::Angle) => 2.0,
        _ => (0.01 * normal.mean(i)).max(2.0),
    }
}

/// A measurement on the card, and what the others let expect of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// Which.
    pub which: Measurement,
    /// On the card; millimetres or degrees.
    pub measured: f64,
    /// Expected of someone with the other measurements; millimetres or degrees.
    pub expected: f64,
    /// About two people in three lie within this of what is expected; millimetres or degrees.
    pub spread: f64,
}

impl Expected {
    /// By how many spreads the measurement is more than expected; less than nought where it is less.
    pub fn off(&self) -> f64 {
        (self.measured - self.expected) / self.spread
    }

    /// One in how many people differs by as much or more, were everything normal; at least 1.
    pub fn one_in(&self) -> f64 {
        1.0 / both_tails(self.off().abs())
    }

    /// In words, to read on from the measurement's name and number.
    pub fn verdict(&self, unit: Unit) -> String {
        let show = |v: f64| shown(self.which, v, unit);
        if self.off().abs() < 1.0 {
            return format!("as expected of someone with these other measurements ({})", show(self.expected));
        }
        let (by, way) = (self.measured - self.expected, if self.off() > 0.0 { "more" } else { "less" });
        let rarity = match self.one_in() {
            n if n > 10_000.0 => "fewer than 1 in 10,000 people differ as much".to_owned(),
            n => format!("about 1 in {} people differs as much", in_words(n)),
        };
        format!("{} {way} than expected of someone with these other measurements; {rarity}", show(by.abs()))
    }
}

/// A value as it is spoken of: a length in the unit, or an angle.
pub fn shown(which: Measurement, value: f64, unit: Unit) -> String {
    if which.kind() == Kind::Angle { format!("{value:.1}°") } else { unit.rough(value) }
}

/// What there is to say about one measurement of a person.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outlook {
    /// It is on the card, and held against the others.
    Held(Expected),
    /// It is not on the card and was estimated from the others; millimetres or degrees.
    Estimated {
        /// The estimate.
        value: f64,
        /// About two people in three lie within this of it.
        spread: f64,
    },
    /// There are too few others on the card to say anything.
    TooFew,
    /// The person is far smaller than anyone in the survey.
    BeyondSurvey,
    /// The survey has nothing to say of it.
    Unknown,
}

impl Outlook {
    /// What is expected, and its spread; millimetres or degrees.
    pub const fn expected(&self) -> Option<(f64, f64)> {
        match self {
            Self::Held(e) => Some((e.expected, e.spread)),
            Self::Estimated { value, spread } => Some((*value, *spread)),
            Self::TooFew | Self::BeyondSurvey | Self::Unknown => None,
        }
    }

    /// Between what and what about 19 people in 20 with the other measurements lie: two spreads either way, never
    /// below nought; millimetres or degrees.
    pub fn range(&self) -> Option<(f64, f64)> {
        self.expected().map(|(value, spread)| ((value - 2.0 * spread).max(0.0), value + 2.0 * spread))
    }

    /// In words, a sentence without its stop.
    pub fn verdict(&self, unit: Unit) -> String {
        match self {
            Self::Held(e) => e.verdict(unit),
            Self::Estimated { .. } => "estimated from the other measurements; two people in three lie within the spread of it".into(),
            Self::TooFew => "nothing can be said yet: measure a few others first".into(),
            Self::BeyondSurvey => "nothing can be said: this person is smaller than anyone in the survey".into(),
            Self::Unknown => "nothing can be said: the survey does not have this measurement".into(),
        }
    }
}

/// What there is to say about each measurement of a person.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlooks(Vec<Outlook>);

impl Outlooks {
    /// Holds everything on the card against the rest, once for all measurements.
    pub fn of(body: &Body, survey: Survey) -> Self {
        let is_beyond = estimate::normal(survey).is_some_and(|normal| beyond(&normal, body));
        let held = expected(body, survey);
        let one = |which: Measurement| match body.origin(which) {
            Origin::Missing if estimate::root(which).is_some() => Outlook::TooFew,
            Origin::Missing => Outlook::Unknown,
            Origin::Estimated { spread } => Outlook::Estimated { value: body.get(which).unwrap_or_default(), spread },
            Origin::Measured if is_beyond => Outlook::BeyondSurvey,
            Origin::Measured => {
                if let Some(e) = held.iter().find(|e| e.which == which) {
                    return Outlook::Held(*e);
                }
                let measured = body.measured(which).unwrap_or_default();
                match estimate::expected_of_derived(body, which) {
                    Some((expected, spread)) => Outlook::Held(Expected { which, measured, expected, spread }),
                    None if estimate::KNOWN.contains(&which) => Outlook::TooFew,
                    None => Outlook::Unknown,
                }
            }
        };
        Self(Measurement::ALL.iter().map(|&which| one(which)).collect())
    }

    /// What there is to say about one.
    pub fn about(&self, which: Measurement) -> Outlook {
        self.0.get(which as usize).copied().unwrap_or(Outlook::Unknown)
    }
}

/// A number as it is spoken of: 3, 20, 150, 2,000.
fn in_words(n: f64) -> String {
    let ten = 10f64.powf(n.max(1.0).log10().floor());
    let step = if n / ten < 2.0 && ten > 1.0 { ten / 2.0 } else { ten };
    let round = ((n / step).round() * step).max(1.0) as u64;
    if round >= 1000 { format!("{},{:03}", round / 1000, round % 1000) } else { round.to_string() }
}

/// Chance that a normal number lies at least `z` standard deviations from its mean, either way.
fn both_tails(z: f64) -> f64 {
    // Abramowitz & Stegun 7.1.26 for the error function, good to 1.5e-7.
    let x = z / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * x);
    let poly = t * (0.254_829_592 + t * (-0.284_496_736 + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    (poly * (-x * x).exp()).clamp(1e-9, 1.0)
}

/// Each measurement on the card that the survey knows, with what the others let expect of it. Empty where there are
/// too few of them, or where the person is far smaller than anyone in the survey.
pub fn expected(body: &Body, survey: Survey) -> Vec<Expected> {
    let taken = estimate::taken(body);
    match estimate::normal(survey) {
        Some(normal) if !beyond(&normal, body) => held(&normal, &taken),
        _ => Vec::new(),
    }
}

fn held(normal: &Normal<'_>, taken: &[(usize, f64)]) -> Vec<Expected> {
    if taken.len() <= LEAST_OTHERS {
        return Vec::new();
    }
    let given = normal.left_out(taken, |i| tape(normal, i).powi(2));
    taken
        .iter()
        .zip(given)
        .map(|(&(i, measured), c)| Expected { which: estimate::KNOWN[i], measured, expected: c.mean, spread: c.spread })
        .collect()
}

fn beyond(normal: &Normal<'_>, body: &Body) -> bool {
    let far = |which: Measurement| {
        let (Some((i, _)), Some(v)) = (estimate::root(which), body.measured(which)) else { return false };
        v < normal.mean(i) - BEYOND * normal.covariance(i, i).sqrt()
    };
    far(Measurement::Stature) || far(Measurement::WaistHeight) || far(Measurement::HipGirth)
}

/// A note for each measurement that is more than [`UNUSUAL`] spreads off, the one furthest off first. It is then left
/// out of what the others are held against, so that one slip of the tape does not make its neighbours look odd.
pub fn notes(body: &Body, survey: Survey) -> Vec<Message> {
    let Some(normal) = estimate::normal(survey) else { return Vec::new() };
    if beyond(&normal, body) {
        return Vec::new();
    }
    let mut taken = estimate::taken(body);
    let mut out = Vec::new();
    while out.len() < MOST_NOTES {
        let far = held(&normal, &taken).into_iter().max_by(|a, b| a.off().abs().total_cmp(&b.off().abs()));
        let Some(far) = far.filter(|e| e.off().abs() > UNUSUAL) else { break };
        taken.retain(|t| estimate::KNOWN[t.0] != far.which);
        out.push(
            Message::new(
                Grade::Note,
                far.which.name(),
                far.verdict(body.unit()),
                format!(
                    "Bodies differ, so it may well be right. Measure {} once more and keep both takes; if they agree, go by them.",
                    far.which.where_the_tape_goes()
                ),
            )
            .about(&[far.which]),
        );
    }
    out
}

/// A measurement whose taking settles a doubt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settling {
    /// Which to measure.
    pub which: Measurement,
    /// Part of the doubt at the beginning that is left once it and those before it are measured, from 1 down to 0.
    pub left: f64,
}

/// A step that takes away less than this part of a doubt is not worth the tape.
const WORTH_THE_TAPE: f64 = 0.01;

/// Which measurements, at most `count`, would settle the doubt that a message names: those that it concerns, measured
/// once more, or others that are not on the card yet. What the message does not concern is taken as certain. Empty
/// where it names no doubt: it concerns one measurement only, or several that were all measured and are not in dispute.
pub fn would_settle(body: &Body, survey: Survey, message: &Message, count: usize) -> Vec<Settling> {
    let concerned = &message.concerns;
    let is_doubt = message.grade >= Grade::Warning || concerned.iter().any(|m| matches!(body.origin(*m), Origin::Estimated { .. }));
    if concerned.len() < 2 || !is_doubt {
        return Vec::new();
    }
    let open = Measurement::ALL.iter().copied().filter(|m| body.measured(*m).is_none() && !concerned.contains(m));
    let doubtful: Vec<Measurement> = concerned.iter().copied().chain(open).collect();
    let mut before = 1.0;
    settling(body, survey, &doubtful, concerned, count)
        .into_iter()
        .take_while(|s| {
            let worth = before - s.left >= WORTH_THE_TAPE;
            before = s.left;
            worth
        })
        .collect()
}

/// Which of the doubtful measurements to take first, at most `count` of them: each time the one that shrinks the doubt
/// about what is `needed` most, that is the sum of its variances given all that is certain by then. Certain is what
/// was measured and is not doubtful. What neither the survey knows nor we estimate from it is passed over.
pub fn settling(body: &Body, survey: Survey, doubtful: &[Measurement], needed: &[Measurement], count: usize) -> Vec<Settling> {
    let Some(normal) = estimate::normal(survey) else { return Vec::new() };
    let noise = |i: usize| tape(&normal, i).powi(2);
    let known: Vec<usize> = estimate::taken(body).into_iter().map(|t| t.0).filter(|&i| !doubtful.contains(&estimate::KNOWN[i])).collect();
    // A measurement that the survey lacks stands for the one that it is estimated from.
    let mut candidates: Vec<(usize, Measurement)> = Vec::new();
    for &which in doubtful {
        if let Some((i, _)) = estimate::root(which)
            && !known.contains(&i)
            && candidates.iter().all(|c| c.0 != i)
        {
            candidates.push((i, which));
        }
    }
    let mut wanted: Vec<(usize, f64)> = Vec::new();
    for &which in needed {
        if let Some((i, times)) = estimate::root(which)
            && !known.contains(&i)
            && wanted.iter().all(|w| w.0 != i)
        {
            let scale = if which.kind() == Kind::Angle { MM_PER_DEGREE } else { 1.0 };
            wanted.push((i, (times * scale).powi(2)));
        }
    }
    let before = normal.doubt(&known, &wanted, noise);
    if before <= 0.0 {
        return Vec::new();
    }
    let indices: Vec<usize> = candidates.iter().map(|c| c.0).collect();
    normal
        .settled(&known, &indices, &wanted, noise, count)
        .into_iter()
        .filter_map(|step| {
            let which = candidates.iter().find(|c| c.0 == step.index)?.1;
            Some(Settling { which, left: (step.left / before).clamp(0.0, 1.0) })
        })
        .collect()
}

/// What stands above so many measurements that would settle a doubt.
pub fn settling_heading(count: usize) -> String {
    match count {
        1 => "This measurement would settle the doubt".into(),
        2 => "These two measurements would settle the doubt".into(),
        3 => "These three measurements would settle the doubt".into(),
        4 => "These four measurements would settle the doubt".into(),
        n => format!("These {n} measurements would settle the doubt"),
    }
}

/// How much of the doubt is left after some steps, in words: `they leave 12 % of it`.
pub fn what_is_left(steps: &[Settling]) -> String {
    let they = if steps.len() == 1 { "it leaves" } else { "they leave" };
    match steps.last().map_or(100.0, |s| (s.left * 100.0).round()) {
        p if p < 1.0 => format!("{they} next to nothing of it"),
        p => format!("{they} {p:.0} % of it"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tails_of_the_normal() {
        // Abramowitz & Stegun, table 26.1: 1.96 leaves 5 %, 2.5758 leaves 1 %, 3.2905 leaves 0.1 %.
        for (z, both) in [(1.959_964, 0.05), (2.575_829, 0.01), (3.290_527, 0.001)] {
            assert!((both_tails(z) - both).abs() < 1e-6, "{z}: {}", both_tails(z));
        }
        assert!(both_tails(0.0) > 0.999_999);
    }

    #[test]
    fn verdicts_read_as_a_person_would_say_them() {
        let at = |off: f64| Expected { which: Measurement::WaistGirth, measured: 800.0 + off * 20.0, expected: 800.0, spread: 20.0 };
        assert_eq!(at(0.5).verdict(Unit::Cm), "as expected of someone with these other measurements (80.0 cm)");
        assert_eq!(
            at(-2.81).verdict(Unit::Cm),
            "5.6 cm less than expected of someone with these other measurements; about 1 in 200 people differs as much"
        );
        assert!(at(1.2).verdict(Unit::Cm).contains("about 1 in 4 people"));
        assert!(at(9.0).verdict(Unit::Cm).contains("fewer than 1 in 10,000"));
        assert_eq!((in_words(1370.0), in_words(23.0), in_words(14.2)), ("1,500".into(), "20".into(), "15".into()));
    }
}
