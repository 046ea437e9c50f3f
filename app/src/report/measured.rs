//! What the report says of the wearer card: each measurement with what is plausible, and what would settle a doubt.

use std::fmt::Write as _;

use draft_core::plausible::{self, Outlooks};
use draft_core::{Built, Garment, Kind, Measurement, Message, Origin, Unit};
use serde::Serialize;

/// So many measurements at most are named to settle a doubt.
const SETTLE_WITH: usize = 4;

/// One measurement; values in millimetres, or in degrees where it is an angle.
#[derive(Debug, Serialize)]
pub struct MeasurementReport {
    key: &'static str,
    name: &'static str,
    unit: &'static str,
    /// The readings exactly as typed, in the order in which they were taken.
    takes: Vec<String>,
    /// Which of them counts, from 1.
    counts: Option<usize>,
    value: Option<f64>,
    /// `measured`, `estimated` or `missing`.
    origin: &'static str,
    expected: Option<f64>,
    spread: Option<f64>,
    verdict: String,
}

/// What to measure where a message names a doubt about several measurements.
#[derive(Debug, Serialize)]
pub struct SettlingReport {
    place: String,
    problem: String,
    measure: Vec<SettlingStep>,
}

#[derive(Debug, Serialize)]
struct SettlingStep {
    key: &'static str,
    /// Part of the doubt that is left after it and those before it.
    left: f64,
}

/// Those that are on the card, and those that the works are drafted from.
fn shown(garment: &Garment) -> Vec<Measurement> {
    let needed: Vec<Measurement> = garment.works.iter().filter(|e| e.on).flat_map(|e| e.work.measurements()).copied().collect();
    Measurement::ALL.iter().copied().filter(|m| garment.wearer.take(*m).is_some() || needed.contains(m)).collect()
}

/// Every measurement that is on the card or that a work is drafted from.
pub fn measurements(garment: &Garment, built: &Built) -> Vec<MeasurementReport> {
    let card = &garment.wearer;
    let outlooks = Outlooks::of(&built.body, card.survey);
    let one = |which: Measurement| {
        let outlook = outlooks.about(which);
        MeasurementReport {
            key: which.key(),
            name: which.name(),
            unit: if which.kind() == Kind::Angle { "deg" } else { "mm" },
            takes: card.takes.get(&which).into_iter().flatten().map(|t| t.typed.clone()).collect(),
            counts: card.counting(which).map(|i| i + 1),
            value: built.body.get(which),
            origin: match built.body.origin(which) {
                Origin::Missing => "missing",
                Origin::Measured => "measured",
                Origin::Estimated { .. } => "estimated",
            },
            expected: outlook.expected().map(|e| e.0),
            spread: outlook.expected().map(|e| e.1),
            verdict: outlook.verdict(card.unit),
        }
    };
    shown(garment).into_iter().map(one).collect()
}

fn steps(garment: &Garment, built: &Built, message: &Message) -> Vec<plausible::Settling> {
    plausible::would_settle(&built.body, garment.wearer.survey, message, SETTLE_WITH)
}

/// For each message about several measurements, which ones would settle it.
pub fn settling(garment: &Garment, built: &Built) -> Vec<SettlingReport> {
    let of = |m: &Message| {
        let measure: Vec<_> = steps(garment, built, m).into_iter().map(|s| SettlingStep { key: s.which.key(), left: s.left }).collect();
        (!measure.is_empty()).then(|| SettlingReport { place: m.place.clone(), problem: m.problem.clone(), measure })
    };
    built.messages.iter().filter_map(of).collect()
}

/// The measurements as a table for people.
pub fn table(out: &mut String, garment: &Garment, built: &Built) {
    let card = &garment.wearer;
    let outlooks = Outlooks::of(&built.body, card.survey);
    // Writing to a String can't fail.
    let _ = writeln!(out, "\nMeasurements{:>36}{:>12}{:>12}", "card", "expected", "spread");
    for which in shown(garment) {
        let text = |v: f64| plausible::shown(which, v, card.unit);
        let value = match built.body.origin(which) {
            Origin::Measured => built.body.get(which).map(text),
            Origin::Estimated { .. } => Some("estimated".to_owned()),
            Origin::Missing if card.take(which).is_some() => Some("unreadable".to_owned()),
            Origin::Missing => Some("missing".to_owned()),
        };
        let (expected, spread) = outlooks.about(which).expected().map_or((String::new(), String::new()), |(e, s)| (text(e), text(s)));
        let line = format!("  {:<34}{:>12}{expected:>12}{spread:>12}", which.name(), value.unwrap_or_default());
        let _ = writeln!(out, "{}{}", line.trim_end(), takes(garment, which, card.unit));
    }
}

/// All readings where there is more than one, and which counts.
fn takes(garment: &Garment, which: Measurement, unit: Unit) -> String {
    let card = &garment.wearer;
    let takes = card.takes.get(&which).map_or(&[][..], Vec::as_slice);
    if takes.len() < 2 {
        return String::new();
    }
    let all: Vec<String> =
        takes.iter().map(|t| card.read(which, t).map_or_else(|_| t.typed.clone(), |v| plausible::shown(which, v, unit))).collect();
    let counts = card.counting(which).map_or(0, |i| i + 1);
    format!("   takes {}; take {counts} counts", all.join(", "))
}

/// What would settle a message's doubt, as a line; nothing where it names none.
pub fn settling_line(garment: &Garment, built: &Built, message: &Message) -> Option<String> {
    let steps = steps(garment, built, message);
    let names: Vec<String> = steps.iter().map(|s| s.which.name().to_lowercase()).collect();
    let heading = plausible::settling_heading(steps.len());
    (!steps.is_empty()).then(|| format!("{heading}: {}; {}.", names.join(", "), plausible::what_is_left(&steps)))
}
