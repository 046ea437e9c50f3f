//! The finished sizes of the whole skirt, before it is laid out in gores.

use super::half_gore::fairing_reach;
use super::layout::{Depths, Girths};
use super::round_body::RoundBody;
use super::{ABOVE_KNEE, FLARE_FROM, HIP_EASE, KNEE_GIRTH, STRAIGHT, SWEEP, TRAIN, WAIST_RAISED, is_shaped};
use crate::block::hem;
use crate::block::waist::{self, WAIST_EASE};
use crate::{Body, Draft, DraftError, Measurement, Settings};

/// Least length below the flare point, millimetres.
const LEAST_FLARED_MM: f64 = 50.0;

/// The finished sizes of the whole skirt.
pub struct Plan {
    /// The bodice's waist that it is sewn to.
    pub joined: Option<waist::BodiceWaist>,
    /// Top edge above the natural waist; below it when negative.
    pub raised: f64,
    /// Girths.
    pub girths: Girths,
    /// Depths at the side.
    pub depths: Depths,
    /// What changes round the body.
    pub round: RoundBody,
    /// From the natural waist down to the hem at the side.
    pub length: f64,
}

impl Plan {
    /// Reads the body and the maker's settings.
    ///
    /// # Errors
    /// A measurement is missing, or the lengths leave no room for a skirt.
    pub fn of(body: &Body, settings: &Settings, before: &Draft) -> Result<Self, DraftError> {
        let hip_depth = body.need(Measurement::WaistToHip)?;
        let joined = waist::joined(settings, before);
        let raised = if joined.is_some() { 0.0 } else { settings.value(&WAIST_RAISED) };
        let ease = settings.value(&WAIST_EASE);
        let top = match &joined {
            Some(joined) => joined.girth,
            None => waist::girth_at(body, raised)? + ease,
        };
        let hip = body.need(Measurement::HipGirth)? + settings.value(&HIP_EASE);
        let at_knee = settings.word(&FLARE_FROM) == "knee";
        let straight = if at_knee {
            body.need(Measurement::WaistToKnee)? - settings.value(&ABOVE_KNEE) - hip_depth
        } else {
            settings.value(&STRAIGHT)
        };
        let natural_waist = if raised > 0.0 { body.need(Measurement::WaistGirth)? + ease } else { top };
        let girths =
            Girths { top, natural_waist, hip, flare: if at_knee { settings.value(&KNEE_GIRTH) } else { hip }, hem: settings.value(&SWEEP) };

        let (side, round) = if is_shaped(settings) { floors(body, settings)? } else { (0.0, RoundBody::default()) };
        let length = if is_shaped(settings) { hem::length(settings, side) } else { hem::length_at_side(body, settings)? };
        let rise = hip_depth + raised.min(0.0);
        let flared = length - hip_depth - straight;
        let shown = |mm: f64| body.unit().rough(mm);
        if straight < 0.0 {
            return Err(DraftError::new(
                "skirt",
                format!("the flare would begin {} above the hip", shown(-straight)),
                "Let it begin nearer to the knee, or measure waist to hips and waist to knee again.",
            )
            .about(&[Measurement::WaistToKnee, Measurement::WaistToHip]));
        }
        if flared < LEAST_FLARED_MM {
            return Err(DraftError::new(
                "skirt",
                format!(
                    "a length of {} ends above where the flare begins ({} below the waist)",
                    shown(length),
                    shown(hip_depth + straight)
                ),
                "Make the skirt longer, or let it flare from higher up.",
            )
            .about(if at_knee { &[Measurement::WaistToKnee, Measurement::WaistToHip] } else { &[] }));
        }
        let least = rise + round.front.min(round.back).min(0.0);
        if least < 0.3 * hip_depth {
            return Err(DraftError::new(
                "skirt",
                format!("only {} are left between the top edge and the hip", shown(least.max(0.0))),
                "Lower the waist by less, and measure the front and back lengths to the floor again.",
            )
            .about(&[Measurement::FrontWaistToFloor, Measurement::BackWaistToFloor, Measurement::WaistToHip]));
        }
        let depths = Depths { above: raised.max(0.0), rise, straight, flared };
        Ok(Self { joined, raised, girths, depths, round, length })
    }

    /// Finished girth at a depth below the natural waist: straight between the sizes that are known, the fairing at a flare
    /// point below the hip counted.
    pub fn girth_at(&self, depth: f64) -> f64 {
        let Depths { rise, straight, flared, .. } = self.depths;
        let hip = rise - self.raised.min(0.0);
        let Girths { top, hip: at_hip, flare, hem, .. } = self.girths;
        let between = |a: f64, b: f64, t: f64| a + (b - a) * t.clamp(0.0, 1.0);
        if depth <= hip {
            return between(top, at_hip, (depth + self.raised) / (hip + self.raised));
        }
        let below_flare = depth - hip - straight;
        if below_flare <= 0.0 {
            return between(at_hip, flare, (depth - hip) / straight);
        }
        let reach = if straight > 0.0 { fairing_reach(flared) } else { 0.0 };
        let slope = (hem - flare) / (flared - reach);
        let below_flare = below_flare.min(flared);
        flare + slope * if below_flare < 2.0 * reach { below_flare.powi(2) / (4.0 * reach) } else { below_flare - reach }
    }

    /// How far a seam is left open from the top edge, so that the closed rest passes the widest part of the body: to 1 cm
    /// below the full hip, lower where the skirt is no wider there, up to whole centimetres. `None` where no depth will do.
    pub fn opening_depth(&self, body: &Body) -> Option<f64> {
        let widest = waist::widest(body);
        let hip = self.depths.rise - self.raised.min(0.0);
        let bottom = hip + self.depths.straight + self.depths.flared;
        let mut depth = hip + 10.0;
        // Rings that stay below the hip when it is worn only have to pass the legs.
        while self.girth_at(depth) < widest && self.girths.hip < widest {
            depth += 10.0;
            if depth > bottom - 50.0 {
                return None;
            }
        }
        Some(((depth + self.raised) / 10.0).ceil() * 10.0)
    }
}

/// Waist to floor at the side, and how front and back differ from it. What was not measured is as the rest.
fn floors(body: &Body, settings: &Settings) -> Result<(f64, RoundBody), DraftError> {
    use Measurement::*;
    let [front, side, back] = [FrontWaistToFloor, OutsideLeg, BackWaistToFloor].map(|m| body.measured(m));
    let mean = match (front, back) {
        (Some(f), Some(b)) => Some((f + b) / 2.0),
        (one, other) => one.or(other),
    };
    let train = settings.value(&TRAIN);
    let side = match side.or(mean) {
        Some(side) => side,
        None if hem::to_floor(settings) => body.need(OutsideLeg)?,
        None => return Ok((0.0, RoundBody { train, ..RoundBody::default() })),
    };
    Ok((side, RoundBody { front: front.unwrap_or(side) - side, back: back.unwrap_or(side) - side, train }))
}
