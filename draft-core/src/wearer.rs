//! The wearer card: one person's measurements, as they were taken.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::measurement::Kind;
use crate::unit::{QuantityError, Unit, parse_angle, parse_length};
use crate::{DraftError, Grade, Measurement, Message};

/// One reading of the tape, kept as it was typed.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Take {
    /// The text that the maker typed, whatever it is.
    pub typed: String,
    /// The unit of a number without one; the card's unit when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// The day, as `2026-11-14`, when it is not the card's.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub on: String,
    /// How the tape lay, who held it, what was worn.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The maker chose this reading as the one that counts.
    #[serde(default, skip_serializing_if = "is_false")]
    pub chosen: bool,
}

const fn is_false(value: &bool) -> bool {
    !*value
}

impl Take {
    /// A reading in a unit, without a day or a note.
    pub fn new(typed: impl Into<String>, unit: Unit) -> Self {
        Self { typed: typed.into(), unit: Some(unit), ..Self::default() }
    }
}

/// The people from whose measurements a missing one is estimated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Survey {
    /// The women of the survey.
    Women,
    /// The men of the survey.
    Men,
    /// All of them.
    #[default]
    Everyone,
}

impl Survey {
    /// Every choice.
    pub const ALL: [Self; 3] = [Self::Women, Self::Men, Self::Everyone];

    /// As it is offered to the maker.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Women => "women",
            Self::Men => "men",
            Self::Everyone => "everyone",
        }
    }
}

/// One person's measurements, dated, with notes and the unit in which each was taken.
///
/// The card refuses nothing: it keeps what was typed. [`crate::Body::of_card`] says what can't be used and why.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WearerCard {
    /// The wearer's name.
    pub name: String,
    /// The unit of what is typed without one.
    #[serde(default)]
    pub unit: Unit,
    /// The day of measuring, as `2026-11-14`.
    #[serde(default)]
    pub measured_on: String,
    /// Who held the tape.
    #[serde(default)]
    pub measured_by: String,
    /// Whose measurements stand in for one that is missing.
    #[serde(default)]
    pub survey: Survey,
    /// Posture, underwear and shoes of the day, anything else.
    #[serde(default)]
    pub notes: String,
    /// The readings of each measurement; the one chosen counts, or the last where none was.
    #[serde(default)]
    pub takes: BTreeMap<Measurement, Vec<Take>>,
    /// Readings of the right side of the body where it differs; the others then count for the left side.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub right: BTreeMap<Measurement, Take>,
}

impl WearerCard {
    /// Which reading counts, from 0: the one that the maker chose, or the last where none was chosen.
    pub fn counting(&self, which: Measurement) -> Option<usize> {
        let takes = self.takes.get(&which)?;
        takes.iter().position(|t| t.chosen).or_else(|| takes.len().checked_sub(1))
    }

    /// Whether another card holds the same readings of the same person; notes and days aside.
    pub fn reads_as(&self, other: &Self) -> bool {
        self.name == other.name
            && self.unit == other.unit
            && self.survey == other.survey
            && self.takes == other.takes
            && self.right == other.right
    }

    /// The reading that counts.
    pub fn take(&self, which: Measurement) -> Option<&Take> {
        self.takes.get(&which)?.get(self.counting(which)?)
    }

    /// Writes down what was typed as the reading that counts; an empty text takes it away.
    pub fn set(&mut self, which: Measurement, take: Take) {
        let at = self.counting(which);
        let takes = self.takes.entry(which).or_default();
        let at = at.unwrap_or(takes.len());
        if at < takes.len() {
            takes.remove(at);
        }
        if !take.typed.trim().is_empty() {
            takes.insert(at, take);
        }
        if takes.is_empty() {
            self.takes.remove(&which);
        }
    }

    /// Writes down what was typed for the right side where it differs; an empty text takes it away.
    pub fn set_right(&mut self, which: Measurement, take: Take) {
        if take.typed.trim().is_empty() {
            self.right.remove(&which);
        } else {
            self.right.insert(which, take);
        }
    }

    /// Makes a reading the one that counts; nothing happens where there is no such reading.
    pub fn choose(&mut self, which: Measurement, nth: usize) {
        if let Some(takes) = self.takes.get_mut(&which).filter(|t| nth < t.len()) {
            // The last counts by itself.
            let last = takes.len() - 1;
            for (i, take) in takes.iter_mut().enumerate() {
                take.chosen = i == nth && nth != last;
            }
        }
    }

    /// A note for each measurement whose reading that counts agrees with none of the others: further than 1 cm away,
    /// or 4 % of the reading where that is less, or 3 degrees. Two such takes ask for a third.
    pub fn takes_apart(&self) -> Vec<Message> {
        let mut out = Vec::new();
        for (&which, takes) in &self.takes {
            let Some(counting) = self.counting(which) else { continue };
            let Some(Ok(value)) = takes.get(counting).map(|t| self.read(which, t)) else { continue };
            let others = takes.iter().enumerate().filter(|(i, _)| *i != counting).map(|(_, t)| t);
            let nearest = others.filter_map(|t| self.read(which, t).ok()).map(|v| (v - value).abs()).min_by(f64::total_cmp);
            let angle = which.kind() == Kind::Angle;
            let within = if angle { 3.0 } else { (0.04 * value).min(10.0) };
            let Some(apart) = nearest.filter(|apart| *apart > within + 1e-9) else { continue };
            let shown = if angle { format!("{apart:.1}°") } else { self.unit.rough(apart) };
            let takes = if takes.len() == 2 { "both takes are" } else { "the take that counts and the nearest to it are" };
            let remedy = format!("Measure {} a third time, and keep the take that another one bears out.", which.where_the_tape_goes());
            out.push(Message::new(Grade::Note, which.name(), format!("{takes} {shown} apart"), remedy).about(&[which]));
        }
        out
    }

    /// What a reading says, in millimetres or degrees.
    ///
    /// # Errors
    /// The text is not a number, is not finite, is negative, or is out of all human range.
    pub fn read(&self, which: Measurement, take: &Take) -> Result<f64, DraftError> {
        let refuse = |problem: String, remedy: String| DraftError::new(which.name(), problem, remedy).about(&[which]);
        let unit = take.unit.unwrap_or(self.unit);
        let read = match which.kind() {
            Kind::Angle => parse_angle(&take.typed),
            Kind::Girth | Kind::Length | Kind::Width => parse_length(&take.typed, unit),
        };
        let value = read.map_err(|e: QuantityError| refuse(format!("{:?} {e}", take.typed), e.remedy().to_owned()))?;
        if value < 0.0 {
            return Err(refuse(format!("{:?} is negative", take.typed), "A tape only measures upward: take the minus sign away.".into()));
        }
        let (low, high) = which.human_range();
        if value < low || value > high {
            let show = |v: f64| match which.kind() {
                Kind::Angle => format!("{v:.0}°"),
                _ => unit.text(v),
            };
            return Err(refuse(
                format!("{} is outside all human range ({} to {})", show(value), show(low), show(high)),
                format!("Measure {} again, and check the unit.", which.where_the_tape_goes()),
            ));
        }
        Ok(value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(typed: &str, which: Measurement) -> String {
        let card = WearerCard::default();
        card.read(which, &Take::new(typed, Unit::Cm)).map_or_else(|e| e.problem, |v| format!("read as {v}"))
    }

    #[test]
    fn each_fault_has_its_own_words() {
        assert!(problem("eighty", Measurement::BustGirth).contains("not a number"));
        assert!(problem("1e999", Measurement::BustGirth).contains("not finite"));
        assert!(problem("-88", Measurement::BustGirth).contains("negative"));
        assert!(problem("880", Measurement::BustGirth).contains("human range"));
        assert!(problem("88", Measurement::ShoulderSlope).contains("human range"));
        assert_eq!(problem("88", Measurement::BustGirth), "read as 880");
    }

    #[test]
    fn takes_that_disagree_ask_for_a_third() {
        let mut card = WearerCard::default();
        let mut with = |which, typed: &[&str]| {
            card.takes.insert(which, typed.iter().map(|t| Take::new(*t, Unit::Cm)).collect());
            card.takes_apart().iter().filter(|m| m.concerns == [which]).map(|m| m.problem.clone()).collect::<Vec<_>>()
        };
        assert_eq!(with(Measurement::BustGirth, &["88", "89.4"]), ["both takes are 1.4 cm apart"]);
        assert!(with(Measurement::BustGirth, &["88", "89"]).is_empty());
        assert!(with(Measurement::BustGirth, &["88", "89.4", "89"]).is_empty());
        assert_eq!(with(Measurement::BustGirth, &["88", "91", "89.5"]), ["the take that counts and the nearest to it are 1.5 cm apart"]);
        assert!(with(Measurement::BustGirth, &["eighty", "91"]).is_empty());
        assert_eq!(with(Measurement::WristGirth, &["16", "16.7"]), ["both takes are 0.7 cm apart"]);
        assert_eq!(with(Measurement::ShoulderSlope, &["20", "24"]), ["both takes are 4.0° apart"]);
    }

    #[test]
    fn the_last_take_counts_until_another_is_chosen() {
        let mut card = WearerCard::default();
        let hip = Measurement::HipGirth;
        card.takes.insert(hip, ["98", "99.5", "98.5"].map(|t| Take::new(t, Unit::Cm)).to_vec());
        let counts = |card: &WearerCard| card.take(hip).map(|t| t.typed.clone());
        assert_eq!(counts(&card).as_deref(), Some("98.5"));
        card.choose(hip, 0);
        assert_eq!((counts(&card).as_deref(), card.counting(hip)), (Some("98"), Some(0)));
        card.choose(hip, 7);
        assert_eq!(card.counting(hip), Some(0));
        card.set(hip, Take::new("97", Unit::Cm));
        let typed: Vec<_> = card.takes[&hip].iter().map(|t| t.typed.as_str()).collect();
        assert_eq!(typed, ["97", "99.5", "98.5"], "its place is kept");
        card.choose(hip, 2);
        assert!(card.takes[&hip].iter().all(|t| !t.chosen), "the last needs no mark");
        assert_eq!(card.takes_apart().len(), 0, "the second bears it out");
    }

    #[test]
    fn an_empty_text_takes_the_reading_away() {
        let mut card = WearerCard::default();
        card.set(Measurement::BustGirth, Take::new("88", Unit::Cm));
        assert!(card.take(Measurement::BustGirth).is_some());
        card.set(Measurement::BustGirth, Take::new(" ", Unit::Cm));
        assert!(card.takes.is_empty());
    }
}
