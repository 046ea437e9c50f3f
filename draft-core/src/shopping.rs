//! What to buy: each cloth with the length to ask for, what it costs and what it weighs.

use crate::Unit;
use crate::cloth::{Cloth, ClothKind, Purchase};
use crate::cut_list::field;
use crate::table::{Table, numbers, words};

/// What a length rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Basis {
    /// A lay of the pieces as they are, found sound.
    Lay,
    /// A lay of pieces that have changed since, or with something wrong in it.
    Doubtful,
    /// Only part of what is cut: some pieces do not fit on the cloth.
    Part,
    /// A quick estimate, likely to be off by this share to either side.
    Estimate(f64),
}

impl Basis {
    /// In words.
    pub fn text(self) -> String {
        match self {
            Self::Lay => "by the lay".into(),
            Self::Doubtful => "by a lay that no longer holds: lay it again".into(),
            Self::Part => "without what does not fit on the cloth: more is needed".into(),
            Self::Estimate(share) => format!("estimated, give or take {:.0} %", 100.0 * share),
        }
    }
}

/// One line: a cloth and what of it to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct BuyLine {
    /// The cloth.
    pub cloth: Cloth,
    /// What the length rests on.
    pub basis: Basis,
    /// How much, and what that costs and weighs.
    pub purchase: Purchase,
}

impl BuyLine {
    /// What it costs, with the sign of the money; nothing where no price is known.
    pub fn cost_text(&self) -> String {
        self.purchase.cost.zip(self.cloth.price.as_ref()).map_or_else(String::new, |(cost, price)| price.text(cost))
    }

    /// What it weighs; nothing where that is not known.
    pub fn weight_text(&self) -> String {
        match self.purchase.grams {
            Some(g) if g >= 1000.0 => format!("{:.2} kg", g / 1000.0),
            Some(g) => format!("{g:.0} g"),
            None => String::new(),
        }
    }

    /// How much to ask for, as the shop says it.
    pub fn buy_text(&self) -> String {
        self.cloth.sold_by.text(self.purchase.buy_mm)
    }
}

/// What all of it costs, for each kind of money; the toile's cloth with the rest.
pub fn costs(lines: &[BuyLine]) -> Vec<String> {
    let mut sums: Vec<(String, f64)> = Vec::new();
    for line in lines {
        if let (Some(cost), Some(price)) = (line.purchase.cost, &line.cloth.price) {
            match sums.iter_mut().find(|(currency, _)| *currency == price.currency) {
                Some((_, sum)) => *sum += cost,
                None => sums.push((price.currency.clone(), cost)),
            }
        }
    }
    sums.into_iter().map(|(currency, sum)| format!("{sum:.2} {currency}").trim_end().to_owned()).collect()
}

/// Cloths whose price is not known.
fn without_price(lines: &[BuyLine]) -> Vec<&str> {
    lines.iter().filter(|l| l.cloth.price.is_none() && l.cloth.kind != ClothKind::Toile).map(|l| l.cloth.name.as_str()).collect()
}

/// The list as it is shown and printed.
pub fn table(lines: &[BuyLine], unit: Unit) -> Table {
    let row = |l: &BuyLine| {
        let needed = if l.purchase.repeat_mm > 0.0 {
            format!("{}, with {} for the repeat", unit.rough(l.purchase.needed_mm), unit.rough(l.purchase.repeat_mm))
        } else {
            unit.rough(l.purchase.needed_mm)
        };
        let known = |text: String| if text.is_empty() { "–".to_owned() } else { text };
        vec![
            l.cloth.name.clone(),
            l.cloth.kind.word().into(),
            unit.rough(l.cloth.width.mm()),
            unit.rough(l.purchase.laid_mm),
            needed,
            format!("{} %", l.cloth.spare),
            l.buy_text(),
            known(l.cost_text()),
            known(l.weight_text()),
            l.basis.text(),
        ]
    };
    let columns = vec![
        words("Cloth", 0.13),
        words("It is the", 0.115),
        numbers("Width", 0.1),
        numbers("Lay", 0.1),
        numbers("Needed", 0.105),
        numbers("Spare", 0.065),
        numbers("Buy", 0.075),
        numbers("Cost", 0.1),
        numbers("Weight", 0.08),
        words("Rests on", 0.13),
    ];
    Table { columns, rows: lines.iter().map(row).collect() }
}

/// In all, and which cloths are not in it; nothing where no price is known.
pub fn total(lines: &[BuyLine]) -> Option<String> {
    let costs = costs(lines);
    let unknown = without_price(lines);
    let without = if unknown.is_empty() { String::new() } else { format!(", without {} whose price is not known", unknown.join(", ")) };
    (!costs.is_empty()).then(|| format!("In all {}{without}", costs.join(" and ")))
}

/// The list as a table with commas.
pub fn to_csv(lines: &[BuyLine], unit: Unit) -> String {
    let mut out = "cloth,what it is,width,lay,needed,buy,rests on,cost,weight\n".to_owned();
    for l in lines {
        out += &format!(
            "{},{},{},{},{},{},{},{},{}\n",
            field(&l.cloth.name),
            l.cloth.kind.word(),
            field(&unit.rough(l.cloth.width.mm())),
            field(&unit.rough(l.purchase.laid_mm)),
            field(&unit.rough(l.purchase.needed_mm)),
            field(&l.buy_text()),
            field(&l.basis.text()),
            field(&l.cost_text()),
            field(&l.weight_text()),
        );
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cloth::Price;

    #[test]
    fn money_of_one_kind_adds_up_and_other_money_stays_apart() {
        let line = |currency: &str, amount: f64, laid_mm: f64| {
            let price = Some(Price { amount, currency: currency.into(), per_yard: false });
            let cloth = Cloth { price, spare: 0.0, ..Cloth::default() };
            let purchase = Purchase::of(&cloth, laid_mm, 0);
            BuyLine { cloth, basis: Basis::Lay, purchase }
        };
        let lines = [line("€", 10.0, 2000.0), line("kr", 100.0, 1000.0), line("€", 5.0, 1000.0)];
        assert_eq!(costs(&lines), ["25.00 €", "100.00 kr"]);
        let csv = to_csv(&lines, Unit::Cm);
        assert!(csv.lines().nth(1).unwrap_or_default().contains("200.0 cm,200.0 cm,2 m,by the lay,20.00 €,"), "{csv}");
    }
}
