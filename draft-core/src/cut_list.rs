//! The cut list: every piece in every cloth, how often, and how.

use crate::cloth::{Cut, cuts};
use crate::table::{Table, numbers, words};
use crate::{Built, Garment, Message, Piece, Unit};

/// One line of the cut list.
#[derive(Clone, Debug, PartialEq)]
pub struct CutLine {
    /// The piece.
    pub piece: String,
    /// The cloth.
    pub cloth: String,
    /// Pieces of cloth in all.
    pub count: u32,
    /// Laid on the fold of the cloth, or unfolded.
    pub on_fold: bool,
    /// Mirrored pairs among them.
    pub pairs: u32,
    /// On the bias.
    pub bias: bool,
    /// How the edges are finished.
    pub finish: &'static str,
    /// Area of cloth in all of them, square millimetres.
    pub area_mm2: f64,
    /// Darts on each.
    pub darts: usize,
    /// Notches on each.
    pub notches: usize,
    /// Points and lines marked on each, those of one kind together, with how many there are.
    pub marks: Vec<(String, usize)>,
}

impl CutLine {
    /// On the fold, in pairs, on the bias, in words; empty for a piece that is cut plainly.
    pub fn how(&self) -> String {
        let mut words = Vec::new();
        if self.on_fold {
            words.push("on the fold".to_owned());
        }
        match self.pairs {
            0 => {}
            1 => words.push("a pair".into()),
            n => words.push(format!("{n} pairs")),
        }
        if self.bias {
            words.push("on the bias".into());
        }
        words.join(", ")
    }

    /// Points and lines marked on each.
    pub fn mark_count(&self) -> usize {
        self.marks.iter().map(|(_, n)| n).sum()
    }

    /// What is marked on each, in words.
    pub fn marked(&self) -> String {
        let word = |(what, n): &(String, usize)| if *n == 1 { what.clone() } else { format!("{n}× {what}") };
        self.marks.iter().map(word).collect::<Vec<_>>().join(", ")
    }
}

/// What is marked on a piece; `button 1` to `button 5` are five buttons.
fn marks(piece: &Piece) -> Vec<(String, usize)> {
    let points = piece.points().iter().filter(|m| m.marked).map(|m| m.name.as_str());
    let mut out: Vec<(String, usize)> = Vec::new();
    for name in points.chain(piece.lines().iter().map(|l| l.name.as_str())) {
        let kind = name.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end();
        let kind = if kind.is_empty() { name } else { kind };
        match out.iter_mut().find(|(known, _)| known == kind) {
            Some((_, n)) => *n += 1,
            None => out.push((kind.to_owned(), 1)),
        }
    }
    out
}

/// The cut list of a garment, in the order of its pieces; and what could not be cut.
pub fn cut_list(garment: &Garment, built: &Built) -> (Vec<CutLine>, Vec<Message>) {
    let (cuts, messages) = cuts(garment, built);
    let lines = cuts
        .iter()
        .map(|cut: &Cut| {
            let piece = built.draft.piece(cut.piece.as_str());
            CutLine {
                piece: cut.piece.to_string(),
                cloth: cut.layer.cloth.clone(),
                count: cut.count,
                on_fold: cut.fold.is_some(),
                pairs: if cut.pairs { cut.count / 2 } else { 0 },
                bias: cut.layer.bias,
                finish: cut.layer.finish.word(),
                area_mm2: cut.area_mm2(),
                darts: piece.map_or(0, |p| p.darts().len()),
                notches: piece.map_or(0, |p| p.notches().len()),
                marks: piece.map_or_else(Vec::new, marks),
            }
        })
        .collect();
    (lines, messages)
}

/// The list as it is shown and printed.
pub fn table(lines: &[CutLine], unit: Unit) -> Table {
    let row = |l: &CutLine| {
        vec![
            l.piece.clone(),
            l.cloth.clone(),
            l.count.to_string(),
            l.how(),
            l.finish.into(),
            unit.area(l.area_mm2),
            l.darts.to_string(),
            l.notches.to_string(),
            l.marked(),
        ]
    };
    let columns = vec![
        words("Piece", 0.14),
        words("Cloth", 0.13),
        numbers("Cut", 0.045),
        words("How", 0.11),
        words("Edges", 0.085),
        numbers("Area", 0.105),
        numbers("Darts", 0.06),
        numbers("Notches", 0.075),
        words("Marked", 0.25),
    ];
    Table { columns, rows: lines.iter().map(row).collect() }
}

/// A field of a table: in quotation marks where it holds a comma, a quotation mark or a new line (RFC 4180).
pub fn field(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}

/// The list as a table with commas; areas in square centimetres.
pub fn to_csv(lines: &[CutLine]) -> String {
    let mut out = "piece,cloth,cut,on fold,mirrored pairs,bias,finish,area (cm2),darts,notches,marks,marked\n".to_owned();
    let yes = |b: bool| if b { "yes" } else { "no" };
    for l in lines {
        out += &format!(
            "{},{},{},{},{},{},{},{:.0},{},{},{},{}\n",
            field(&l.piece),
            field(&l.cloth),
            l.count,
            yes(l.on_fold),
            l.pairs,
            yes(l.bias),
            l.finish,
            l.area_mm2 / 100.0,
            l.darts,
            l.notches,
            l.mark_count(),
            field(&l.marked())
        );
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_that_would_break_a_line_are_quoted() {
        assert_eq!(field("side front"), "side front");
        assert_eq!(field("yoke, left"), "\"yoke, left\"");
        assert_eq!(field("the \"wing\""), "\"the \"\"wing\"\"\"");
    }
}
