//! Building: the work list replayed for a wearer.

use std::collections::HashMap;
use std::sync::Arc;

use kurbo::BezPath;

use crate::{
    Body, Draft, DraftError, Garment, Girth, Grade, Measurement, Message, Piece, Walk, WearerCard, WorkEntry, allowance, check, fitting,
};

/// What became of one work.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// What it is.
    pub what: String,
    /// Why it was skipped; `None` when it was done.
    pub skipped: Option<DraftError>,
    /// Whether the maker switched it off.
    pub off: bool,
}

/// Everything that the screen, the checks and the pages are read from.
#[derive(Clone, Debug)]
pub struct Built {
    /// The wearer's measurements, read and completed.
    pub body: Arc<Body>,
    /// Pieces and seams.
    pub draft: Arc<Draft>,
    /// The cut line of each piece, in the order of the pieces.
    pub cut_lines: Vec<Arc<BezPath>>,
    /// One for each work.
    pub outcomes: Vec<Outcome>,
    /// Pieces and seams after each work.
    pub after: Vec<Arc<Draft>>,
    /// Each seam walked, in the order of the seams; `None` when an edge is gone.
    pub walks: Vec<Option<Walk>>,
    /// Finished girths.
    pub girths: Vec<Girth>,
    /// All messages: of the card, the works and the checks, gravest first.
    pub messages: Vec<Message>,
}

impl Built {
    /// The pieces in order, each with its cut line.
    pub fn pieces(&self) -> impl Iterator<Item = (&Piece, &BezPath)> {
        self.draft.pieces.iter().map(|p| &**p).zip(self.cut_lines.iter().map(|c| &**c))
    }

    /// Pieces and seams before a work, from 0; `None` before the first.
    pub fn before(&self, work: usize) -> Option<&Draft> {
        self.after.get(work.checked_sub(1)?).map(|d| &**d)
    }

    /// Whether nothing needs mending: no error, and no work that was skipped.
    pub fn is_ok(&self) -> bool {
        self.messages.iter().all(|m| m.grade < Grade::Error)
    }
}

/// Builds a garment again and again, keeping what has not changed: the state after each work as long as the card
/// and the works before it are the same, and the cut line and the checks of each piece
/// that is still the same.
#[derive(Debug, Default)]
pub struct Builder {
    card: Option<(WearerCard, Arc<Body>, Vec<Message>)>,
    steps: Vec<Step>,
    known: Vec<Known>,
}

/// What is known of a piece as long as it is the same.
#[derive(Clone, Debug)]
struct Known {
    piece: Arc<Piece>,
    /// Its cut line, or why it has none.
    cut: Result<Arc<BezPath>, DraftError>,
    /// What the checks of this piece alone found.
    found: Vec<Message>,
}

#[derive(Debug)]
struct Step {
    entry: WorkEntry,
    outcome: Outcome,
    after: Arc<Draft>,
}

impl Builder {
    /// Builds; the result is the same as that of [`Garment::build`].
    pub fn build(&mut self, garment: &Garment) -> Built {
        if self.card.as_ref().is_none_or(|(card, ..)| *card != garment.wearer) {
            let (body, messages) = Body::of_card(&garment.wearer);
            self.card = Some((garment.wearer.clone(), Arc::new(body), messages));
            self.steps.clear();
        }
        let (body, mut messages) = match &self.card {
            Some((_, body, messages)) => (Arc::clone(body), messages.clone()),
            None => (Arc::new(Body::default()), Vec::new()),
        };

        let same = self.steps.iter().zip(&garment.works).take_while(|(step, entry)| step.entry == **entry).count();
        let mut old = self.steps.split_off(same).into_iter();
        for entry in &garment.works[same..] {
            let old = old.next();
            let before = self.steps.last().map_or_else(|| Arc::new(Draft::default()), |s| Arc::clone(&s.after));
            let mut outcome = Outcome { what: entry.work.what(), skipped: None, off: !entry.on };
            let after = if entry.on {
                let again = old
                    .as_ref()
                    .filter(|old| old.entry == *entry && old.outcome.skipped.is_none())
                    .and_then(|old| entry.work.again(&before, &old.after));
                match again.map_or_else(|| entry.work.check().and_then(|()| entry.work.apply(&body, &before)), Ok) {
                    Ok(mut draft) => {
                        if let Some(old) = &old {
                            draft.keep_same_pieces(&old.after);
                        }
                        Arc::new(draft)
                    }
                    Err(error) => {
                        outcome.skipped = Some(error);
                        before
                    }
                }
            } else {
                before
            };
            self.steps.push(Step { entry: entry.clone(), outcome, after });
        }

        let needed: Vec<Measurement> = garment.works.iter().filter(|e| e.on).flat_map(|e| e.work.measurements()).copied().collect();
        messages.extend(body.estimated_note(&needed));
        messages.extend(fitting::of_somebody_else(garment));

        let draft = self.steps.last().map_or_else(|| Arc::new(Draft::default()), |s| Arc::clone(&s.after));
        let outcomes: Vec<Outcome> = self.steps.iter().map(|s| s.outcome.clone()).collect();
        messages.extend(outcomes.iter().filter_map(|o| {
            let mut error = o.skipped.clone()?;
            error.place = format!("{}: {}", o.what, error.place);
            Some(Message::from(error))
        }));
        messages.extend(draft.messages.iter().cloned());

        let mut known: HashMap<*const Piece, Known> = self.known.drain(..).map(|k| (Arc::as_ptr(&k.piece), k)).collect();
        let look = |piece: &Arc<Piece>| {
            known.remove(&Arc::as_ptr(piece)).unwrap_or_else(|| Known {
                piece: Arc::clone(piece),
                cut: allowance::cut_line(piece).map(Arc::new),
                found: check::of_piece(piece),
            })
        };
        self.known = draft.pieces.iter().map(look).collect();
        let mut cut_lines = Vec::with_capacity(self.known.len());
        for k in &self.known {
            messages.extend(k.found.iter().cloned());
            cut_lines.push(match &k.cut {
                Ok(line) => Arc::clone(line),
                Err(error) => {
                    messages.push(error.clone().into());
                    Arc::new(k.piece.outline())
                }
            });
        }

        let walks: Vec<Option<Walk>> = draft.seams.iter().map(|s| s.walk(|name| draft.piece(name.as_str()))).collect();
        let girths = draft.girths();
        messages.extend(check::between(&draft, &walks, &girths, body.unit()));
        messages.sort_by_key(|m| std::cmp::Reverse(m.grade));
        let after = self.steps.iter().map(|s| Arc::clone(&s.after)).collect();
        let mut built = Built { body, draft, cut_lines, outcomes, after, walks, girths, messages };
        built.explain_seams(&garment.works);
        built
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::alteration::Trim;
    use crate::{Alteration, Drawn, Length, Work};

    fn trim(mm: f64) -> WorkEntry {
        let trim = Trim { piece: "front".into(), edge: "side seam".into(), at: "waist".into(), by: Length::from_mm(mm) };
        WorkEntry::from(Work::Alter(Box::new(Alteration::Trim(trim))))
    }

    /// Built again after an early work has changed, everything is as it is when it is built from nothing, and pieces that are just
    /// like they were are the same ones.
    #[test]
    fn what_an_early_work_does_not_touch_stays_the_same_piece() {
        let mut garment = Garment::from_text(include_str!("../../assets/demo/garment.ron")).unwrap();
        let drawn: Vec<Drawn> =
            garment.build().draft.pieces.iter().map(|p| Drawn::new(format!("{} drawn", p.name()), &p.outline())).collect();
        let blocks = garment.works.len();
        garment.works.push(trim(6.0));
        garment.works.push(WorkEntry::from(Work::TakeOver(drawn.into())));
        let mut builder = Builder::default();
        let first = builder.build(&garment);
        garment.works[blocks] = trim(9.0);
        let second = builder.build(&garment);
        let fresh = garment.build();
        assert_eq!((&second.draft, &second.cut_lines, &second.messages), (&fresh.draft, &fresh.cut_lines, &fresh.messages));
        for (a, b) in first.draft.pieces.iter().zip(&second.draft.pieces) {
            assert_eq!(Arc::ptr_eq(a, b), *a.name() != *"front", "{}", a.name());
        }
        // A drawing that can't be read is refused again, though a piece of its name is there.
        garment.works[blocks + 1].work = Work::TakeOver(vec![Drawn { name: "front".into(), outline: "nothing".into() }].into());
        assert!(builder.build(&garment).outcomes[blocks + 1].skipped.is_some());
        garment.works[blocks] = trim(4.0);
        assert!(builder.build(&garment).outcomes[blocks + 1].skipped.is_some());
    }
}
