//! The numbers and choices that a work is drafted with, each with a default and a unit.

use std::collections::BTreeMap;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::DraftError;
use crate::unit::{Unit, parse_angle, parse_length};

/// What a setting takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SettingKind {
    /// A length between two limits, in millimetres.
    Length {
        /// Least, millimetres.
        least: f64,
        /// Most, millimetres.
        most: f64,
    },
    /// An angle between two limits, in degrees.
    Angle {
        /// Least, degrees.
        least: f64,
        /// Most, degrees.
        most: f64,
    },
    /// A number without a unit between two limits.
    Number {
        /// Least.
        least: f64,
        /// Most.
        most: f64,
        /// Only whole numbers.
        whole: bool,
    },
    /// One of these words.
    Choice(&'static [&'static str]),
}

/// The value of a setting, as it stands in a garment file.
#[derive(Clone, Debug, PartialEq)]
pub enum SettingValue {
    /// Millimetres.
    Length(f64),
    /// Degrees.
    Angle(f64),
    /// A number without a unit.
    Number(f64),
    /// A word.
    Word(String),
}

/// One setting of a block or an alteration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Its key in files and on the command line; never renamed.
    pub key: &'static str,
    /// Its label on the screen.
    pub label: &'static str,
    /// What it does, in a sentence.
    pub what: &'static str,
    /// What it takes.
    pub kind: SettingKind,
    default: Default_,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Default_ {
    Value(f64),
    Word(&'static str),
}

impl Setting {
    /// A length in millimetres, by default `mm`, from `least` to `most`.
    pub const fn length(key: &'static str, label: &'static str, what: &'static str, mm: f64, least: f64, most: f64) -> Self {
        Self { key, label, what, kind: SettingKind::Length { least, most }, default: Default_::Value(mm) }
    }

    /// An angle in degrees.
    pub const fn angle(key: &'static str, label: &'static str, what: &'static str, deg: f64, least: f64, most: f64) -> Self {
        Self { key, label, what, kind: SettingKind::Angle { least, most }, default: Default_::Value(deg) }
    }

    /// A whole number.
    pub const fn count(key: &'static str, label: &'static str, what: &'static str, n: f64, least: f64, most: f64) -> Self {
        Self { key, label, what, kind: SettingKind::Number { least, most, whole: true }, default: Default_::Value(n) }
    }

    /// A number without a unit that need not be whole: a ratio, a share, a percentage.
    pub const fn number(key: &'static str, label: &'static str, what: &'static str, n: f64, least: f64, most: f64) -> Self {
        Self { key, label, what, kind: SettingKind::Number { least, most, whole: false }, default: Default_::Value(n) }
    }

    /// One of several words; the first is the default.
    pub const fn choice(key: &'static str, label: &'static str, what: &'static str, words: &'static [&'static str]) -> Self {
        Self { key, label, what, kind: SettingKind::Choice(words), default: Default_::Word(words[0]) }
    }

    /// The value where the maker chose none.
    pub fn default_value(&self) -> SettingValue {
        match (self.default, self.kind) {
            (Default_::Word(word), _) => SettingValue::Word(word.to_owned()),
            (Default_::Value(v), SettingKind::Length { .. }) => SettingValue::Length(v),
            (Default_::Value(v), SettingKind::Angle { .. }) => SettingValue::Angle(v),
            (Default_::Value(v), _) => SettingValue::Number(v),
        }
    }

    /// Reads what a maker typed.
    ///
    /// # Errors
    /// It is not such a value, or out of its limits.
    pub fn parse(&self, text: &str, unit: Unit) -> Result<SettingValue, DraftError> {
        let value = match self.kind {
            SettingKind::Length { .. } => parse_length(text, unit).map(SettingValue::Length),
            SettingKind::Angle { .. } => parse_angle(text).map(SettingValue::Angle),
            SettingKind::Number { .. } => parse_angle(text).map(SettingValue::Number),
            SettingKind::Choice(_) => Ok(SettingValue::Word(text.trim().to_owned())),
        }
        .map_err(|e| DraftError::new(self.label, format!("{text:?} {e}"), e.remedy()))?;
        self.check(&value)?;
        Ok(value)
    }

    /// Whether a value is of this setting's kind and within its limits.
    ///
    /// # Errors
    /// Says what it takes.
    pub fn check(&self, value: &SettingValue) -> Result<(), DraftError> {
        let refuse = |problem: String| DraftError::new(self.label, problem, format!("Give {}.", self.takes(Unit::Cm)));
        let shown = value.text(Unit::Cm);
        match (self.kind, value) {
            (SettingKind::Length { least, most }, SettingValue::Length(v))
            | (SettingKind::Angle { least, most }, SettingValue::Angle(v))
            | (SettingKind::Number { least, most, .. }, SettingValue::Number(v))
                if !(least..=most).contains(v) =>
            {
                Err(refuse(format!("{shown} is out of its limits")))
            }
            (SettingKind::Number { whole: true, .. }, SettingValue::Number(v)) if v.fract() != 0.0 => {
                Err(refuse(format!("{shown} is not a whole number")))
            }
            (SettingKind::Length { .. }, SettingValue::Length(_))
            | (SettingKind::Angle { .. }, SettingValue::Angle(_))
            | (SettingKind::Number { .. }, SettingValue::Number(_)) => Ok(()),
            (SettingKind::Choice(words), SettingValue::Word(w)) if words.contains(&w.as_str()) => Ok(()),
            _ => Err(refuse(format!("{shown:?} does not fit here"))),
        }
    }

    /// What it takes, as text: `a length from 0.0 cm to 10.0 cm`.
    pub fn takes(&self, unit: Unit) -> String {
        match self.kind {
            SettingKind::Length { least, most } => format!("a length from {} to {}", unit.text(least), unit.text(most)),
            SettingKind::Angle { least, most } => format!("an angle from {least}° to {most}°"),
            SettingKind::Number { least, most, whole: true } => format!("a whole number from {least} to {most}"),
            SettingKind::Number { least, most, whole: false } => format!("a number from {least} to {most}"),
            SettingKind::Choice(words) => format!("one of {}", words.join(", ")),
        }
    }
}

impl SettingValue {
    /// As shown to the maker, with its unit.
    pub fn text(&self, unit: Unit) -> String {
        match self {
            Self::Length(mm) => unit.text(*mm),
            Self::Angle(deg) => format!("{deg}°"),
            Self::Number(n) => n.to_string(),
            Self::Word(word) => word.clone(),
        }
    }
}

impl Serialize for SettingValue {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Length(mm) => serializer.serialize_str(&format!("{mm} mm")),
            Self::Angle(deg) => serializer.serialize_str(&format!("{deg}°")),
            Self::Number(n) => serializer.serialize_str(&n.to_string()),
            Self::Word(word) => serializer.serialize_str(word),
        }
    }
}

impl<'de> Deserialize<'de> for SettingValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Ok(if let Some(deg) = text.strip_suffix('°').and_then(|t| parse_angle(t).ok()) {
            Self::Angle(deg)
        } else if let Ok(n) = parse_angle(&text) {
            Self::Number(n)
        } else if let Ok(mm) = parse_length(&text, Unit::Mm) {
            Self::Length(mm)
        } else {
            Self::Word(text)
        })
    }
}

/// What the maker chose, by key; everything else keeps its default.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Settings(BTreeMap<String, SettingValue>);

impl Settings {
    /// Whether the maker chose this one.
    pub fn is_set(&self, setting: &Setting) -> bool {
        self.0.contains_key(setting.key)
    }

    /// The value in force.
    pub fn get(&self, setting: &Setting) -> SettingValue {
        self.0.get(setting.key).cloned().unwrap_or_else(|| setting.default_value())
    }

    /// Chooses a value.
    ///
    /// # Errors
    /// It does not fit the setting; nothing has changed.
    pub fn set(&mut self, setting: &Setting, value: SettingValue) -> Result<(), DraftError> {
        setting.check(&value)?;
        self.0.insert(setting.key.to_owned(), value);
        Ok(())
    }

    /// Goes back to the default.
    pub fn clear(&mut self, setting: &Setting) {
        self.0.remove(setting.key);
    }

    /// The value in millimetres, degrees or plain, of a setting that is not a choice.
    pub fn value(&self, setting: &Setting) -> f64 {
        let own = match self.0.get(setting.key) {
            Some(SettingValue::Length(v) | SettingValue::Angle(v) | SettingValue::Number(v)) => Some(*v),
            _ => None,
        };
        own.unwrap_or(match setting.default {
            Default_::Value(v) => v,
            Default_::Word(_) => 0.0,
        })
    }

    /// The word chosen, of a setting that is a choice.
    pub fn word<'a>(&'a self, setting: &Setting) -> &'a str {
        match (self.0.get(setting.key), setting.default) {
            (Some(SettingValue::Word(word)), _) => word,
            (_, Default_::Word(word)) => word,
            _ => "",
        }
    }

    /// A newer version of these settings in which what somebody changed on a copy of the old ones stays as they changed it.
    /// Gives the keys of what stayed although it differs from the newer version.
    pub(crate) fn merged(old: &Self, copy: &Self, newer: &Self) -> (Self, Vec<String>) {
        let mut merged = newer.clone();
        let mut stayed = Vec::new();
        let keys: std::collections::BTreeSet<&String> = old.0.keys().chain(copy.0.keys()).collect();
        for key in keys {
            let own = copy.0.get(key);
            if own == old.0.get(key) {
                continue;
            }
            if own != newer.0.get(key) {
                stayed.push(key.clone());
            }
            match own {
                Some(value) => merged.0.insert(key.clone(), value.clone()),
                None => merged.0.remove(key),
            };
        }
        (merged, stayed)
    }

    /// Whether every value fits one of these settings.
    ///
    /// # Errors
    /// Names the first that does not.
    pub fn check(&self, place: &str, known: &[&Setting]) -> Result<(), DraftError> {
        for (key, value) in &self.0 {
            let Some(setting) = known.iter().find(|s| s.key == key) else {
                let keys: Vec<_> = known.iter().map(|s| s.key).collect();
                return Err(DraftError::new(
                    place,
                    format!("there is no setting named {key:?}"),
                    format!("Use one of: {}.", keys.join(", ")),
                ));
            };
            setting.check(value)?;
        }
        Ok(())
    }
}
