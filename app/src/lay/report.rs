//! What is reported of a lay: for people, and as JSON.

use draft_core::Unit;
use serde::Serialize;

use super::{ClothLay, LaidStretch};

/// One entry of `lay --json`: a stretch of cloth. Millimetres and degrees; keys never change meaning.
#[derive(Debug, Serialize)]
pub struct LayReport {
    cloth: String,
    spread: &'static str,
    /// Across the lay, from fold or selvedge to selvedge, without the selvedges: outlines lie between 0 and this.
    width_mm: f64,
    length_mm: f64,
    buy_mm: f64,
    efficiency: f64,
    seed: u64,
    passes: u64,
    placed: Vec<PlacedReport>,
    left_out: Vec<LeftOutReport>,
    gap_mm: f64,
    /// The cloth itself, with its selvedges.
    cloth_width_mm: f64,
    selvedge_mm: f64,
    one_way: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<f64>,
    help: Vec<String>,
}

/// A piece as it lies. Its own coordinates are mirrored (y becomes −y) if it is turned over, then turned by the angle, clockwise as
/// seen with y down, then moved by x and y.
#[derive(Debug, Serialize)]
struct PlacedReport {
    piece: String,
    copy: usize,
    angle_deg: f64,
    mirrored: bool,
    x_mm: f64,
    y_mm: f64,
    outline: Vec<[f64; 2]>,
    /// Pieces of cloth that this gives: two from both layers of folded cloth.
    gives: usize,
    on_fold: bool,
}

#[derive(Debug, Serialize)]
struct LeftOutReport {
    piece: String,
    copy: usize,
    reason: String,
}

impl ClothLay {
    /// The entries of `lay --json`. What is bought stands with the first; a second stretch is cut from the same length.
    pub fn report(&self, unit: Unit) -> Vec<LayReport> {
        let mut out = Vec::new();
        for (i, laid) in self.stretches.iter().enumerate() {
            let first = i == 0;
            out.push(LayReport {
                cloth: self.cloth.name.clone(),
                spread: laid.stretch.spread.word(),
                width_mm: laid.stretch.task.width_mm,
                length_mm: laid.layout.length_mm,
                buy_mm: if first { self.purchase.buy_mm } else { 0.0 },
                efficiency: laid.layout.density(&laid.stretch.task),
                seed: self.seed,
                passes: laid.layout.passes,
                placed: laid.placed(),
                left_out: self
                    .left_out
                    .iter()
                    .filter(|_| first)
                    .map(|(piece, copy, reason)| LeftOutReport { piece: piece.to_string(), copy: *copy, reason: reason.clone() })
                    .collect(),
                gap_mm: laid.stretch.task.gap_mm,
                cloth_width_mm: self.cloth.width.mm(),
                selvedge_mm: self.cloth.selvedge.mm(),
                one_way: self.cloth.one_way,
                cost: self.purchase.cost.filter(|_| first),
                help: self.help.iter().filter(|_| first).map(|h| h.text(unit)).collect(),
            });
        }
        out
    }

    /// The report for people.
    pub fn text(&self, unit: Unit) -> String {
        let mut out = format!("{}\n", self.cloth.name);
        for laid in &self.stretches {
            out += &format!(
                "  {} layer, {} wide: {} long, {:.0} % of it pieces ({} laid)\n",
                laid.stretch.spread.word(),
                unit.rough(laid.stretch.task.width_mm),
                unit.rough(laid.layout.length_mm),
                100.0 * laid.layout.density(&laid.stretch.task),
                laid.layout.placed.len()
            );
        }
        if self.purchase.buy_mm > 0.0 {
            out += &format!("  Buy {}", self.cloth.sold_by.text(self.purchase.buy_mm));
            if let (Some(cost), Some(price)) = (self.purchase.cost, &self.cloth.price) {
                out += &format!(", {}", price.text(cost));
            }
            if self.purchase.repeat_mm > 0.0 {
                out += &format!(", with {} allowed for the repeat", unit.rough(self.purchase.repeat_mm));
            }
            out.push('\n');
        }
        for (piece, copy, reason) in &self.left_out {
            out += &format!("  Left out: {piece}, copy {copy}: {reason}\n");
        }
        for message in &self.messages {
            out += &format!("  {}: {}. {}\n", message.place, message.problem, message.remedy);
        }
        for help in &self.help {
            out += &format!("  {}\n", help.text(unit));
        }
        out
    }
}

impl LaidStretch {
    fn placed(&self) -> Vec<PlacedReport> {
        let task = &self.stretch.task;
        self.layout
            .placed
            .iter()
            .filter_map(|placed| {
                let (name, copy) = self.stretch.named(placed.item, placed.copy)?;
                let map = self.stretch.cloth_from_piece(placed).as_coeffs();
                let mirrored = map[0] * map[3] - map[1] * map[2] < 0.0;
                Some(PlacedReport {
                    piece: name.to_string(),
                    copy,
                    angle_deg: map[1].atan2(map[0]).to_degrees(),
                    mirrored,
                    x_mm: map[4],
                    y_mm: map[5],
                    outline: placed.outline(task).iter().map(|p| [p.x, p.y]).collect(),
                    gives: self.stretch.pieces[placed.item].gives,
                    on_fold: task.items[placed.item].on_fold,
                })
            })
            .collect()
    }
}
