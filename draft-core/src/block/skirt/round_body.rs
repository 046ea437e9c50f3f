//! What changes round the body: lengths, train, and how much each seam takes in.
//!
//! A place round the body is an angle in radians: 0 at the centre front, π/2 at the side, π at the centre back.

use std::f64::consts::FRAC_PI_2;

/// How much longer than at the side the skirt is, upward at the waist and downward at the hem; millimetres.
#[derive(Clone, Copy, Debug, Default)]
pub struct RoundBody {
    /// Waist to floor at the centre front, less that at the side.
    pub front: f64,
    /// Waist to floor at the centre back, less that at the side.
    pub back: f64,
    /// The train at the centre back.
    pub train: f64,
}

impl RoundBody {
    /// The difference that goes on at the waist, and its change for each radian.
    pub fn at_waist(&self, place: f64) -> (f64, f64) {
        let most = if place <= FRAC_PI_2 { self.front } else { self.back };
        (most * place.cos().powi(2), -most * (2.0 * place).sin())
    }

    /// The train that goes on at the hem, and its change for each radian: from nothing at the side it runs out level at
    /// the centre back.
    pub fn at_hem(&self, place: f64) -> (f64, f64) {
        if place <= FRAC_PI_2 { (0.0, 0.0) } else { (self.train * place.cos().powi(2), -self.train * (2.0 * place).sin()) }
    }
}

/// How much the seam at this place takes in between hip and waist, against the others: most at the side, least at the
/// centre front.
///
/// Source: the order of the rule as in handbooks (L. Baldt, 1916: least at the front panel, more at the back, the
/// rest over the hip); the figures are our own.
pub fn intake_weight(place: f64) -> f64 {
    let least = if place <= FRAC_PI_2 { 0.4 } else { 0.7 };
    least + (1.0 - least) * place.sin().powi(2)
}
