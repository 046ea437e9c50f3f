//! What to buy of a cloth.

use super::Cloth;

/// What a lay needs, and what to ask for in the shop.
#[derive(Clone, Debug, PartialEq)]
pub struct Purchase {
    /// Length of the lay, millimetres.
    pub laid_mm: f64,
    /// Added so that a stripe or a print can sit alike on the main pieces: one repeat for each (an allowance, common
    /// practice; it is not laid out).
    pub repeat_mm: f64,
    /// Cloth as sold for these, with what it shrinks and what goes into pleats or crinkles.
    pub needed_mm: f64,
    /// The same with the maker's spare, rounded up to the shop's step.
    pub buy_mm: f64,
    /// What that costs.
    pub cost: Option<f64>,
    /// What that weighs.
    pub grams: Option<f64>,
}

impl Purchase {
    /// For a lay of a length with so many main pieces.
    pub fn of(cloth: &Cloth, laid_mm: f64, main_pieces: usize) -> Self {
        let repeat_mm = cloth.repeat.mm() * main_pieces as f64;
        let needed_mm = (laid_mm + repeat_mm) * cloth.sold_per_laid();
        let buy_mm = cloth.sold_by.round_up(needed_mm * (1.0 + cloth.spare / 100.0));
        Self {
            laid_mm,
            repeat_mm,
            needed_mm,
            buy_mm,
            cost: cloth.price.as_ref().map(|p| p.of(buy_mm)),
            grams: cloth.grams_m2.map(|g| g * cloth.width.mm() * buy_mm * 1e-6),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Length;
    use crate::cloth::{Price, SaleUnit};

    #[test]
    fn shrinkage_take_up_repeat_and_spare_add_up() {
        let cloth = Cloth {
            shrinks_warp: 20.0,
            take_up_along: 2.0,
            repeat: Length::from_cm(30.0),
            spare: 10.0,
            sold_by: SaleUnit::HalfMetre,
            price: Some(Price { amount: 20.0, currency: String::new(), per_yard: false }),
            grams_m2: Some(100.0),
            ..Cloth::default()
        };
        let purchase = Purchase::of(&cloth, 2000.0, 3);
        assert_eq!(purchase.repeat_mm, 900.0);
        assert!((purchase.needed_mm - 2900.0 * 2.0 / 0.8).abs() < 1e-9);
        assert_eq!(purchase.buy_mm, 8000.0);
        assert_eq!(purchase.cost, Some(160.0));
        // 8 m of cloth 1.4 m wide at 100 g a square metre.
        assert!((purchase.grams.unwrap_or(0.0) - 1120.0).abs() < 1e-9);
        assert_eq!(Purchase::of(&Cloth::default(), 0.0, 0).buy_mm, 0.0);
    }
}
