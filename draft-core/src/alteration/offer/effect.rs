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

    /// What it does in a few lines: lengths before and after, and what that means for the other sides of seams.
    pub fn lines(&self, unit: Unit) -> Vec<String> {
        let mut out = Vec::new();
        for change in &self.lengths {
            let told = match (change.before_mm, change.after_mm) {
                (Some(a), Some(b)) => format!("{} / {}: {} → {}", change.piece, change.edge, unit.text(a), unit.text(b)),
                (None, Some(b)) => format!("{} / {}: {}, new", change.piece, change.edge, unit.text(b)),
                _ => format!("{} / {}: gone", change.piece, change.edge),
            };
            out.push(told);
        }
        out.truncate(LINES);
        let text = |runs: &[EdgeRun]| runs.iter().map(ToString::to_string).collect::<Vec<_>>().join(" + ");
        for change in self.seams.iter().take(LINES) {
            let (a, b, left) = (text(&change.seam.a), text(&change.seam.b), change.after.difference_mm);
            let sides = format!("{a} {}, {b} {}", unit.text(change.after.a_mm), unit.text(change.after.b_mm));
            out.push(if left.abs() <= SAME_MM {
                format!("Seam: {sides}: they agree")
            } else {
                let (longer, by) = if left > 0.0 { (a, left) } else { (b, -left) };
                format!("Seam: {sides}: {longer} is {} too long", unit.text(by))
            });
        }
        let names = |all: &[Name]| all.iter().map(Name::as_str).collect::<Vec<_>>().join(", ");
        if !self.new.is_empty() {
            out.insert(0, format!("New: {}", names(&self.new)));
        }
        if out.is_empty() {
            out.push("No length changes.".into());
        }
        out
    }
}
