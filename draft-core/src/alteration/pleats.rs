use kurbo::{Line, ParamCurve};
use serde::{Deserialize, Serialize};

use super::spread::{Opening, Slash, Spread};
use super::{piece, with};
use crate::geometry::line_path;
use crate::{Along, Draft, DraftError, EdgeRun, Length, MarkedLine, Name, Notch, Place, Span, Unit};

/// How a pleat is folded.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Fold {
    /// All to one side.
    #[default]
    Knife,
    /// Two folds that meet behind.
    Box,
    /// Sewn down along its whole length.
    Tuck,
}

/// Folds pleats or tucks into a piece.
///
/// # Keeps
/// The finished width at the edge: each pleat takes up twice its depth of cloth, and the seam knows it.
/// # Changes
/// The piece is spread by twice the depth at each line, from the edge to the opposite one (or to nothing there); fold
/// lines and notches are marked.
/// # Source
/// A pleat takes up twice its depth: geometry of the fold; common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pleats {
    /// The piece.
    pub piece: Name,
    /// The edge that is pleated.
    pub edge: Name,
    /// The end of it from which places are counted.
    pub from: Name,
    /// Where the pleats lie along it.
    pub at: Vec<Along>,
    /// The edge at which they end.
    pub to: Name,
    /// The end of that edge from which the same shares are counted.
    pub to_from: Name,
    /// Depth of each: how far the fold lies under.
    pub depth: Length,
    /// How they are folded.
    #[serde(default)]
    pub fold: Fold,
    /// Whether they run out to nothing at the other edge.
    #[serde(default)]
    pub to_nothing: bool,
}

impl Pleats {
    pub(super) fn what(&self) -> String {
        let word = if self.fold == Fold::Tuck { "tucks" } else { "pleats" };
        format!("{} {word} of {} in the {} of the {}", self.at.len(), Unit::Cm.text(self.depth.mm()), self.edge, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let width = match self.fold {
            Fold::Knife | Fold::Tuck => 2.0 * self.depth.mm(),
            Fold::Box => 4.0 * self.depth.mm(),
        };
        let length = old.edge_length_mm(self.edge.as_str()).unwrap_or(0.0);
        let share = |at: &Along| match at {
            Along::Length(l) => l.mm() / length.max(1e-9),
            Along::Share(s) => *s,
        };
        let slashes = self
            .at
            .iter()
            .map(|at| Slash {
                from: Place::Edge { edge: self.edge.clone(), from: self.from.clone(), at: *at },
                to: Place::share(self.to.clone(), self.to_from.clone(), share(at).clamp(0.0, 1.0)),
            })
            .collect();
        let spread = Spread {
            piece: self.piece.clone(),
            slashes,
            by: Opening::Length(Length::from_mm(width)),
            both_ends: !self.to_nothing,
            straight: true,
            still: None,
        };
        let (new, opened) = spread.spread(old)?;
        let mut lines = new.lines().to_vec();
        let mut notches: Vec<Notch> = Vec::new();
        for (n, o) in opened.iter().enumerate() {
            let rims = (Line::new(o.still.0, o.moved.0), Line::new(o.still.1, o.moved.1));
            let marks: &[(f64, &str)] = match self.fold {
                Fold::Knife | Fold::Tuck => &[(0.0, "lies on"), (0.5, "fold"), (1.0, "meets")],
                Fold::Box => &[(0.0, "meets left"), (0.25, "fold left"), (0.5, "centre"), (0.75, "fold right"), (1.0, "meets right")],
            };
            for (t, word) in marks {
                let (from, to) = (rims.0.eval(*t), rims.1.eval(*t));
                lines.push(MarkedLine { name: format!("pleat {}: {word}", n + 1).into(), path: line_path(from, to) });
                if let Some((spot, distance)) = crate::place::nearest(&new, from)
                    && distance < 0.1
                    && new.edges()[spot.edge].name == self.edge
                {
                    notches.push(Notch { edge: self.edge.clone(), from_start_mm: spot.at_mm, double: false });
                }
            }
        }
        let points = new.points().to_vec();
        let mut builder = new.to_builder().inner(points, lines);
        for n in notches {
            builder = builder.notch(n.edge, n.from_start_mm, n.double);
        }
        let new = builder.build()?;
        let grown = |edge: &Name| new.edge_length_mm(edge.as_str()).unwrap_or(0.0) - old.edge_length_mm(edge.as_str()).unwrap_or(0.0);
        let (here, there) = (grown(&self.edge), grown(&self.to));
        if here.is_nan() || there.is_nan() {
            return Err(DraftError::new(self.piece.to_string(), "the pleats have no width", "Give them a depth."));
        }
        let mut after = with(draft, new);
        // What is folded away is not sewn: the seam is meant to have that much more.
        for seam in &mut after.seams {
            let taken = |runs: &[EdgeRun]| -> f64 {
                let of = |r: &EdgeRun| {
                    if r.piece != self.piece {
                        0.0
                    } else if r.edge == self.edge {
                        here * r.times
                    } else if r.edge == self.to {
                        there * r.times
                    } else {
                        0.0
                    }
                };
                runs.iter().map(of).sum()
            };
            seam.ease_mm += taken(&seam.a) - taken(&seam.b);
        }
        let spans = after.levels.iter_mut().map(|l| &mut l.spans).chain(after.promises.iter_mut().map(|p| &mut p.spans));
        for spans in spans {
            let folded = |span: &Span| match span {
                Span::Edge(r) if r.piece == self.piece && r.edge == self.edge => here * r.times,
                Span::Edge(r) if r.piece == self.piece && r.edge == self.to => there * r.times,
                _ => 0.0,
            };
            let mm: f64 = spans.iter().map(folded).sum();
            if mm != 0.0 {
                spans.push(Span::Folded(mm));
            }
        }
        Ok(after)
    }
}
