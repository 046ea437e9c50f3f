//! What an alteration does, for it to be seen before it is made.

use std::sync::Arc;

use crate::compare::{self, LengthChange};
use crate::{Draft, EdgeRun, Name, Piece, Seam, Unit, Walk};

/// What an alteration changes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Effect {
    /// The pieces that are others afterwards, and new ones.
    pub pieces: Vec<Arc<Piece>>,
    /// The names of the new ones.
    pub new: Vec<Name>,
    /// Edges whose length is another one.
    pub lengths: Vec<LengthChange>,
    /// Seams of those pieces whose sides agree less or better than before.
    pub seams: Vec<SeamChange>,
}

/// A seam before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamChange {
    /// The seam.
    pub seam: Seam,
    /// What was left over between its sides before, millimetres; nothing for a new seam.
    pub before_mm: Option<f64>,
    /// Its sides afterwards.
    pub after: Walk,
}

/// Differences smaller than this are none, millimetres.
const SAME_MM: f64 = 0.05;
/// So many lines are told at most.
const LINES: usize = 5;

impl Effect {
    /// What lies between two states of the pieces.
    pub fn of(before: &Draft, after: &Draft) -> Self {
        let same = |piece: &Arc<Piece>| before.pieces.iter().any(|old| Arc::ptr_eq(old, piece) || old == piece);
        let pieces: Vec<Arc<Piece>> = after.pieces.iter().filter(|p| !same(p)).cloned().collect();
        let find = |draft: &Draft, seam: &Seam| seam.walk(|name: &Name| draft.piece(name.as_str()));
        let touches = |seam: &&Seam| seam.a.iter().chain(&seam.b).any(|run| pieces.iter().any(|p| *p.name() == run.piece));
        let seams = after.seams.iter().filter(touches).filter_map(|seam| {
            let walk = find(after, seam)?;
            let old = before.seams.iter().find(|s| *s == seam).and_then(|s| find(before, s)).map(|w| w.difference_mm);
            let other = old.map_or(walk.difference_mm.abs() > SAME_MM, |old| (old - walk.difference_mm).abs() > SAME_MM);
            other.then(|| SeamChange { seam: seam.clone(), before_mm: old, after: walk })
        });
        let seams = seams.collect();
        Self { new: compare::missing(after, before), lengths: compare::lengths(before, after), seams, pieces }
    }

    /// What it does in a few lines, seen from the piece that was worked on, if it is one: lengths before and after, and what that means for
    /// the other sides of seams.
    pub fn told(&self, on: Option<&Name>, unit: Unit) -> Vec<Told> {
        let mut out = Vec::new();
        if !self.new.is_empty() {
            let names = self.new.iter().map(Name::as_str).collect::<Vec<_>>().join(", ");
            out.push(Told::the_same(format!("New: {names}")));
        }
        for change in self.lengths.iter().take(LINES) {
            let what = match (change.before_mm, change.after_mm) {
                (Some(a), Some(b)) => format!("{} → {}", unit.text(a), unit.text(b)),
                (None, Some(b)) => format!("{}, new", unit.text(b)),
                _ => "gone".to_owned(),
            };
            let whole = format!("{} / {}: {what}", change.piece, change.edge);
            let short = if on == Some(&change.piece) { format!("{}: {what}", change.edge) } else { whole.clone() };
            out.push(Told { short, whole, is_off: false });
        }
        out.extend(self.seams.iter().take(LINES).map(|change| change.told(on, unit)));
        if out.is_empty() {
            out.push(Told::the_same("No length changes.".to_owned()));
        }
        out
    }
}

impl SeamChange {
    fn told(&self, on: Option<&Name>, unit: Unit) -> Told {
        let (seam, left) = (&self.seam, self.after.difference_mm);
        let text = |runs: &[EdgeRun]| runs.iter().map(ToString::to_string).collect::<Vec<_>>().join(" + ");
        // In short, a side is known by its first edge.
        let brief = |runs: &[EdgeRun]| {
            let first = runs.first().map_or_else(String::new, |run| {
                if on == Some(&run.piece) { run.edge.to_string() } else { format!("{} / {}", run.piece, run.edge) }
            });
            if runs.len() > 1 { first + " …" } else { first }
        };
        let sides = format!("{} {}, {} {}", text(&seam.a), unit.text(self.after.a_mm), text(&seam.b), unit.text(self.after.b_mm));
        if left.abs() <= SAME_MM {
            let short = format!("{} agrees with {}", brief(&seam.a), brief(&seam.b));
            return Told { short, whole: format!("Seam: {sides}: they agree"), is_off: false };
        }
        let (longer, by) = if left > 0.0 { (&seam.a, left) } else { (&seam.b, -left) };
        Told {
            short: format!("{}: {} too long", brief(longer), unit.text(by)),
            whole: format!("Seam: {sides}: {} is {} too long", text(longer), unit.text(by)),
            is_off: true,
        }
    }
}

/// One line of what something does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// In a few words, for where there is little room.
    pub short: String,
    /// In full.
    pub whole: String,
    /// Whether something does not agree.
    pub is_off: bool,
}

impl Told {
    fn the_same(text: String) -> Self {
        Self { short: text.clone(), whole: text, is_off: false }
    }
}
