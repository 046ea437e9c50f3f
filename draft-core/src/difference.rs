//! What differs between two builds of a garment, as a maker would ask: girths, edges, pieces, works.

use serde::Serialize;

use crate::{Built, Grade, Message, Unit};

/// Lengths that differ by less are the same, millimetres.
const SAME_MM: f64 = 0.05;

/// A length before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Changed {
    /// A level of the ease table, or `front / side seam`.
    pub what: String,
    /// Before, millimetres.
    pub before_mm: f64,
    /// After, millimetres.
    pub after_mm: f64,
}

/// What differs between two builds.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Difference {
    /// Finished girths that change.
    pub girths: Vec<Changed>,
    /// Edges that change in length.
    pub edges: Vec<Changed>,
    /// Pieces that are new.
    pub new_pieces: Vec<String>,
    /// Pieces that are gone.
    pub gone_pieces: Vec<String>,
    /// Warnings and errors that come up.
    pub new_messages: Vec<Message>,
}

impl Difference {
    /// Compares two builds.
    pub fn between(before: &Built, after: &Built) -> Self {
        let changed = |what: String, before_mm: f64, after_mm: f64| {
            ((after_mm - before_mm).abs() > SAME_MM).then_some(Changed { what, before_mm, after_mm })
        };
        let girths = after.girths.iter().filter_map(|g| {
            let was = before.girths.iter().find(|b| b.level == g.level)?;
            changed(g.level.to_owned(), was.finished_mm, g.finished_mm)
        });
        let mut edges = Vec::new();
        for piece in &after.draft.pieces {
            let Some(was) = before.draft.piece(piece.name().as_str()) else { continue };
            for edge in piece.edges() {
                let name = edge.name.as_str();
                let (Some(a), Some(b)) = (was.edge_length_mm(name), piece.edge_length_mm(name)) else { continue };
                edges.extend(changed(format!("{} / {name}", piece.name()), a, b));
            }
        }
        let names = |of: &Built, not_in: &Built| -> Vec<String> {
            of.draft.pieces.iter().map(|p| p.name()).filter(|n| not_in.draft.piece(n.as_str()).is_none()).map(ToString::to_string).collect()
        };
        let known = |m: &Message| before.messages.iter().any(|b| b.place == m.place && b.problem == m.problem);
        Self {
            girths: girths.collect(),
            edges,
            new_pieces: names(after, before),
            gone_pieces: names(before, after),
            new_messages: after.messages.iter().filter(|m| m.grade >= Grade::Warning && !known(m)).cloned().collect(),
        }
    }

    /// Whether nothing differs.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }
}

impl Changed {
    /// The change with its sign: `+1.2 cm`.
    pub fn by(&self, unit: Unit) -> String {
        let by = self.after_mm - self.before_mm;
        format!("{}{}", if by < 0.0 { "−" } else { "+" }, unit.text(by.abs()))
    }
}
