//! A wearer's measurements as numbers, completed where some are missing.

use std::collections::BTreeMap;

use crate::measurement::Kind;
use crate::{DraftError, Grade, Measurement, Message, Unit, WearerCard, estimate, plausible};

/// Where a number comes from.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub enum Origin {
    /// It is not there.
    #[default]
    Missing,
    /// The tape said so.
    Measured,
    /// Estimated from the other measurements; about two people in three lie within `spread` of it.
    Estimated {
        /// Millimetres or degrees.
        spread: f64,
    },
}

/// A wearer's measurements in millimetres and degrees.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    values: [f64; Measurement::COUNT],
    origins: [Origin; Measurement::COUNT],
    /// What was measured on the right side where it differs.
    right: Vec<(Measurement, f64)>,
    unit: Unit,
}

impl Default for Body {
    fn default() -> Self {
        Self { values: [0.0; Measurement::COUNT], origins: [Origin::Missing; Measurement::COUNT], right: Vec::new(), unit: Unit::Cm }
    }
}

impl Body {
    /// Reads a wearer card. What can't be used is left out and named in a message; what is missing is estimated
    /// from the rest where the survey knows it, and flagged.
    pub fn of_card(card: &WearerCard) -> (Self, Vec<Message>) {
        let mut body = Self { unit: card.unit, ..Self::default() };
        let mut messages = Vec::new();
        for &which in Measurement::ALL {
            let Some(take) = card.take(which) else { continue };
            match card.read(which, take) {
                Ok(value) => body.measure(which, value),
                Err(error) => messages.push(error.into()),
            }
        }
        for (&which, take) in &card.right {
            if !which.has_sides() {
                let problem = "has no left and right side".to_owned();
                messages.push(DraftError::new(which.name(), problem, "Take the reading of the right side out.").about(&[which]).into());
                continue;
            }
            match card.read(which, take) {
                Ok(value) if body.measured(which).is_some() => body.right.push((which, value)),
                Ok(_) => {
                    let problem = "was measured on the right side only".to_owned();
                    let remedy = "Measure the left side too; until then both are drafted from an estimate.";
                    messages.push(DraftError::new(which.name(), problem, remedy).about(&[which]).into());
                }
                Err(error) => messages.push(error.into()),
            }
        }
        messages.extend(body.contradictions(card));
        messages.extend(card.takes_apart());
        messages.extend(plausible::notes(&body, card.survey));
        estimate::complete(&mut body, card.survey);
        (body, messages)
    }

    /// Enters a measured value, in millimetres or degrees.
    pub fn measure(&mut self, which: Measurement, value: f64) {
        self.values[which as usize] = value;
        self.origins[which as usize] = Origin::Measured;
    }

    /// Enters an estimated value.
    pub fn estimate(&mut self, which: Measurement, value: f64, spread: f64) {
        self.values[which as usize] = value;
        self.origins[which as usize] = Origin::Estimated { spread };
    }

    /// The same body with some numbers changed, as a fitting asks; what was estimated stays an estimate.
    #[must_use]
    pub fn adjusted(&self, by: &BTreeMap<Measurement, f64>) -> Self {
        let mut body = self.clone();
        for (which, by) in by {
            body.values[*which as usize] += by;
        }
        for (which, value) in &mut body.right {
            *value += by.get(which).copied().unwrap_or(0.0);
        }
        body
    }

    /// The body as its right side measures.
    #[must_use]
    pub fn right_side(&self) -> Self {
        let mut body = Self { right: Vec::new(), ..self.clone() };
        for &(which, value) in &self.right {
            body.measure(which, value);
        }
        body
    }

    /// Of these measurements those whose right side differs from the left by more than so many millimetres or degrees,
    /// with left and right.
    pub fn sides_apart(&self, of: &[Measurement], mm: f64, degrees: f64) -> Vec<(Measurement, f64, f64)> {
        self.right
            .iter()
            .filter_map(|&(which, right)| {
                let left = self.measured(which)?;
                let within = if which.kind() == Kind::Angle { degrees } else { mm };
                (of.contains(&which) && (left - right).abs() > within + 1e-9).then_some((which, left, right))
            })
            .collect()
    }

    /// The unit of the card, in which messages speak to the maker.
    pub const fn unit(&self) -> Unit {
        self.unit
    }

    /// Where the number of a measurement comes from.
    pub fn origin(&self, which: Measurement) -> Origin {
        self.origins[which as usize]
    }

    /// The number, measured or estimated.
    pub fn get(&self, which: Measurement) -> Option<f64> {
        (self.origin(which) != Origin::Missing).then(|| self.values[which as usize])
    }

    /// The note that says which of these measurements are only estimated, if any is.
    pub fn estimated_note(&self, needed: &[Measurement]) -> Option<Message> {
        let estimated: Vec<_> = Measurement::ALL
            .iter()
            .copied()
            .filter(|m| needed.contains(m) && matches!(self.origin(*m), Origin::Estimated { .. }))
            .collect();
        let names: Vec<_> = estimated.iter().map(|m| m.name().to_lowercase()).collect();
        (!names.is_empty()).then(|| {
            Message::new(
                Grade::Note,
                "wearer card",
                format!("not measured, so estimated from the rest: {}", names.join(", ")),
                "Measure them before you cut good cloth.",
            )
            .about(&estimated)
        })
    }

    /// The number only if it was measured.
    pub fn measured(&self, which: Measurement) -> Option<f64> {
        (self.origin(which) == Origin::Measured).then(|| self.values[which as usize])
    }

    /// The number, or the error that says to measure it.
    ///
    /// # Errors
    /// It is neither measured nor estimated.
    pub fn need(&self, which: Measurement) -> Result<f64, DraftError> {
        self.get(which).ok_or_else(|| DraftError::missing(which))
    }

    /// Pairs of measurements that can't both be right; only measured ones are compared.
    fn contradictions(&self, card: &WearerCard) -> Vec<Message> {
        use Measurement::*;
        // The first must be smaller than the second, by no less than this many millimetres.
        const ORDERED: &[(Measurement, Measurement, f64)] = &[
            (UnderbustGirth, BustGirth, -30.0),
            (UpperChestGirth, BustGirth, -80.0),
            (WristGirth, HandGirth, 0.0),
            (WristGirth, ElbowGirth, 5.0),
            (NeckGirth, NeckBaseGirth, 0.0),
            (ThighGirth, HipGirth, 50.0),
            (MiddleFingerGirth, HandGirth, 50.0),
            (MiddleFingerLength, HandLength, 30.0),
            (UpperArmLength, ArmLength, 50.0),
            (ArmLength, BackNeckToWrist, 50.0),
            (NeckToBustPoint, FrontWaistLength, 40.0),
            (FrontNeckToWaist, FrontWaistLength, 20.0),
            (ScyeDepth, BackWaistLength, 60.0),
            (UnderarmToWaist, BackWaistLength, 60.0),
            (WaistToHip, WaistToKnee, 100.0),
            (WaistToKnee, WaistHeight, 100.0),
            (WaistHeight, Stature, 200.0),
            (CrotchHeight, WaistHeight, 80.0),
            (WaistHeight, OutsideLeg, -15.0),
            (BustPointDistance, AcrossChestWidth, -30.0),
            (FrontBustArc, BustGirth, 200.0),
            (BustPointDistance, FrontBustArc, 80.0),
            (BackShoulderWidth, AcrossBackShoulderWidth, -5.0),
        ];
        let show = |mm: f64| card.unit.text(mm);
        let mut out = Vec::new();
        for &(small, large, by) in ORDERED {
            if let (Some(s), Some(l)) = (self.measured(small), self.measured(large))
                && s > l - by
            {
                let problem = format!(
                    "{} ({}) and {} ({}) can't both be right",
                    small.name().to_lowercase(),
                    show(s),
                    large.name().to_lowercase(),
                    show(l)
                );
                let remedy = format!("Measure both again: {}; {}.", small.where_the_tape_goes(), large.where_the_tape_goes());
                out.push(Message::new(Grade::Warning, small.name(), problem, remedy).about(&[small, large]));
            }
        }
        // The whole and its two parts.
        const SUMS: &[(Measurement, Measurement, Measurement, f64)] =
            &[(ScyeDepth, UnderarmToWaist, BackWaistLength, 35.0), (BodyRise, CrotchHeight, WaistHeight, 35.0)];
        for &(a, b, whole, within) in SUMS {
            if let (Some(x), Some(y), Some(w)) = (self.measured(a), self.measured(b), self.measured(whole))
                && (x + y - w).abs() > within
            {
                let problem = format!(
                    "{} ({}) and {} ({}) add up to {}, but {} is {}: {} apart",
                    a.name().to_lowercase(),
                    show(x),
                    b.name().to_lowercase(),
                    show(y),
                    show(x + y),
                    whole.name().to_lowercase(),
                    show(w),
                    show((x + y - w).abs())
                );
                let remedy = "Tie a tape round the waist and measure all three again from it.";
                out.push(Message::new(Grade::Warning, whole.name(), problem, remedy).about(&[a, b, whole]));
            }
        }
        debug_assert!(SUMS.iter().all(|(a, ..)| a.kind() != Kind::Angle));
        out
    }
}
