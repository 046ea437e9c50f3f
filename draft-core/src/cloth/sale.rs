//! How a shop sells cloth: in what steps, and at what price.

use serde::{Deserialize, Serialize};

use crate::Length;

/// A yard is exactly 0.9144 m since the agreement of 1959.
const MM_PER_YARD: f64 = 914.4;
/// A length that is longer than a whole step by less than this is not rounded up to the next.
const EPSILON_MM: f64 = 0.5;

/// The step in which a shop cuts cloth.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SaleUnit {
    /// 0.1 m.
    #[default]
    TenthMetre,
    /// 0.25 m.
    QuarterMetre,
    /// 0.5 m.
    HalfMetre,
    /// 1 m.
    Metre,
    /// 1/8 yd.
    EighthYard,
    /// 1/4 yd.
    QuarterYard,
    /// 1/2 yd.
    HalfYard,
    /// 1 yd.
    Yard,
    /// Any other step.
    Step(Length),
}

impl SaleUnit {
    /// The steps with a name.
    pub const NAMED: [Self; 8] = [
        Self::TenthMetre,
        Self::QuarterMetre,
        Self::HalfMetre,
        Self::Metre,
        Self::EighthYard,
        Self::QuarterYard,
        Self::HalfYard,
        Self::Yard,
    ];

    /// The step in millimetres.
    pub const fn mm(self) -> f64 {
        match self {
            Self::TenthMetre => 100.0,
            Self::QuarterMetre => 250.0,
            Self::HalfMetre => 500.0,
            Self::Metre => 1000.0,
            Self::EighthYard => MM_PER_YARD / 8.0,
            Self::QuarterYard => MM_PER_YARD / 4.0,
            Self::HalfYard => MM_PER_YARD / 2.0,
            Self::Yard => MM_PER_YARD,
            Self::Step(step) => step.mm(),
        }
    }

    /// Whether the shop counts in yards.
    pub const fn is_yards(self) -> bool {
        matches!(self, Self::EighthYard | Self::QuarterYard | Self::HalfYard | Self::Yard)
    }

    /// How the step is called.
    pub fn label(self) -> String {
        match self {
            Self::TenthMetre => "0.1 m".into(),
            Self::QuarterMetre => "0.25 m".into(),
            Self::HalfMetre => "0.5 m".into(),
            Self::Metre => "1 m".into(),
            Self::EighthYard => "1/8 yd".into(),
            Self::QuarterYard => "1/4 yd".into(),
            Self::HalfYard => "1/2 yd".into(),
            Self::Yard => "1 yd".into(),
            Self::Step(step) => format!("{} cm", step.mm() / 10.0),
        }
    }

    /// The least number of whole steps that hold a length, in millimetres.
    pub fn round_up(self, mm: f64) -> f64 {
        let step = self.mm();
        if mm <= 0.0 { 0.0 } else { ((mm - EPSILON_MM) / step).ceil().max(1.0) * step }
    }

    /// A length as the shop says it: `2.7 m`, `3 1/8 yd`.
    pub fn text(self, mm: f64) -> String {
        if !self.is_yards() {
            let metres = format!("{:.2}", mm / 1000.0);
            return format!("{} m", metres.trim_end_matches('0').trim_end_matches('.'));
        }
        let eighths = (mm / MM_PER_YARD * 8.0).round() as u64;
        let (whole, mut over, mut under) = (eighths / 8, eighths % 8, 8);
        while over > 0 && over.is_multiple_of(2) {
            (over, under) = (over / 2, under / 2);
        }
        match (whole, over) {
            (w, 0) => format!("{w} yd"),
            (0, o) => format!("{o}/{under} yd"),
            (w, o) => format!("{w} {o}/{under} yd"),
        }
    }
}

/// What a metre or a yard costs.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Price {
    /// In the maker's money.
    pub amount: f64,
    /// Its sign, such as `kr` or `€`.
    #[serde(default)]
    pub currency: String,
    /// For a yard, else for a metre.
    #[serde(default)]
    pub per_yard: bool,
}

impl Price {
    /// What a length costs.
    pub fn of(&self, mm: f64) -> f64 {
        self.amount * mm / if self.per_yard { MM_PER_YARD } else { 1000.0 }
    }

    /// An amount with its sign.
    pub fn text(&self, amount: f64) -> String {
        format!("{amount:.2} {}", self.currency).trim_end().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_rounded_up_to_the_shops_step() {
        assert_eq!(SaleUnit::TenthMetre.round_up(2610.0), 2700.0);
        assert_eq!(SaleUnit::TenthMetre.round_up(2600.2), 2600.0);
        assert_eq!(SaleUnit::HalfMetre.round_up(1.0), 500.0);
        assert_eq!(SaleUnit::Metre.round_up(0.0), 0.0);
        assert!((SaleUnit::EighthYard.round_up(2970.0) - 26.0 * 114.3).abs() < 1e-9);
        assert_eq!(SaleUnit::EighthYard.text(26.0 * 114.3), "3 1/4 yd");
        assert_eq!(SaleUnit::EighthYard.text(114.3), "1/8 yd");
        assert_eq!(SaleUnit::TenthMetre.text(2700.0), "2.7 m");
        assert_eq!(SaleUnit::Metre.text(3000.0), "3 m");
    }

    #[test]
    fn a_price_is_for_its_own_unit() {
        let price = Price { amount: 12.0, currency: "€".into(), per_yard: true };
        assert!((price.of(914.4) - 12.0).abs() < 1e-12);
        assert_eq!(price.text(price.of(457.2)), "6.00 €");
    }
}
