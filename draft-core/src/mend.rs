//! What to do about a seam whose sides no longer agree: works that mend it, each tried before it is offered.

use crate::alteration::{Alteration, Ease, Trim};
use crate::place::end_names;
use crate::{Block, Built, EdgeRun, Grade, Length, Message, SEWN_MM, Seam, Unit, Walk, Work, WorkEntry};

/// A work that mends a seam.
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// What it does, verb first: `Ease it in (12 mm)`.
    pub name: String,
    /// What that means, in a sentence.
    pub what: String,
    /// The work, to be added at the end of the list.
    pub work: Work,
}

/// More ease than this share of an edge puckers where it is not gathered (common practice: 3 to 5 % on a firm cloth).
const MOST_EASE: f64 = 0.04;

impl Built {
    /// The seam that a message is about.
    pub fn seam_of(&self, message: &Message) -> Option<usize> {
        self.draft.seams.iter().zip(&self.walks).position(|(seam, walk)| {
            message.grade == Grade::Error
                && message.place == seam.sides().0
                && walk.as_ref().is_some_and(|w| said(seam, w) == message.problem)
        })
    }

    /// The works that mend a seam; none where its sides agree.
    pub fn mends(&self, seam: usize, works: &[WorkEntry]) -> Vec<Mend> {
        let (Some(seam), Some(Some(walk))) = (self.draft.seams.get(seam), self.walks.get(seam)) else { return Vec::new() };
        if walk.difference_mm.abs() <= SEWN_MM {
            return Vec::new();
        }
        let (longer, shorter) = if walk.difference_mm > 0.0 { (&seam.a, &seam.b) } else { (&seam.b, &seam.a) };
        let over = walk.difference_mm.abs();
        let length = if walk.difference_mm > 0.0 { walk.a_mm } else { walk.b_mm };
        let mut mends = Vec::new();
        for block in self.older_partners(seam, works) {
            let settings = works.iter().rev().find_map(|e| match &e.work {
                Work::Draft { block: b, settings } if *b == block && e.on => Some(settings.clone()),
                _ => None,
            });
            if let Some(settings) = settings {
                mends.push(Mend {
                    name: format!("Draft the {} again", block.name()),
                    what: "With its settings, to the edge as it is now; alterations made to it before are left behind.".into(),
                    work: Work::Draft { block, settings },
                });
            }
        }
        if let Some(run) = longer.first() {
            let gathered = over > length * MOST_EASE;
            let into = shorter.first().filter(|_| self.times_sewn(run) > 1).map(|r| r.piece.clone());
            mends.push(Mend {
                name: format!("{} it in ({over:.1} mm)", if gathered { "Gather" } else { "Ease" }),
                what: format!("{} is {} longer than its partner and is drawn in by that.", run, Unit::Cm.text(over)),
                work: Work::Alter(Box::new(Alteration::Ease(Ease {
                    piece: run.piece.clone(),
                    edge: run.edge.clone(),
                    into,
                    by: None,
                    gathered,
                }))),
            });
        }
        mends.extend(self.trim(longer, over));
        mends.retain(|mend| mend.work.apply(&self.body, &self.draft).is_ok_and(|after| still_off(&after, seam) <= SEWN_MM));
        mends
    }

    /// Trims a longer side that is a single edge, at the end where that mends the seam and leaves the others alone.
    fn trim(&self, longer: &[EdgeRun], over_mm: f64) -> Option<Mend> {
        let [run] = longer else { return None };
        let piece = self.draft.piece(run.piece.as_str())?;
        let trims = end_names(piece, &run.edge)?.map(|at| {
            let by = Length::from_mm(over_mm / run.times);
            Work::Alter(Box::new(Alteration::Trim(Trim { piece: run.piece.clone(), edge: run.edge.clone(), at, by })))
        });
        let tried = trims.into_iter().filter_map(|work| {
            let after = work.apply(&self.body, &self.draft).ok()?;
            let off = after.seams.iter().filter(|s| still_off(&after, s) > SEWN_MM).count();
            Some((off, work))
        });
        let (_, work) = tried.min_by_key(|(off, _)| *off)?;
        Some(Mend {
            name: format!("Trim it ({over_mm:.1} mm)"),
            what: format!("Takes it off {run} at one end; the neighbouring edge swings to the new corner."),
            work,
        })
    }

    fn times_sewn(&self, run: &EdgeRun) -> usize {
        let has = |runs: &[EdgeRun]| runs.iter().any(|r| r.piece == run.piece && r.edge == run.edge);
        self.draft.seams.iter().filter(|s| has(&s.a) || has(&s.b)).count()
    }

    /// The blocks that one side of a seam comes from, where an alteration changed the length of the other side after they
    /// were drafted to it.
    fn older_partners(&self, seam: &Seam, works: &[WorkEntry]) -> Vec<Block> {
        let mut found = Vec::new();
        for (own, other) in [(&seam.a, &seam.b), (&seam.b, &seam.a)] {
            let Some((drafted, block)) = self.drafted_by(own, works) else { continue };
            let both = self.drafted_by(other, works).is_some_and(|(_, other)| other == block);
            // A bodice is drafted to the body alone.
            if !both
                && block != Block::Bodice
                && self.last_altered(other, works).is_some_and(|changed| changed > drafted)
                && !found.contains(&block)
            {
                found.push(block);
            }
        }
        found
    }

    /// The last work that drafted a block to whose pieces these edges belong.
    fn drafted_by(&self, runs: &[EdgeRun], works: &[WorkEntry]) -> Option<(usize, Block)> {
        let piece = &runs.first()?.piece;
        (0..works.len().min(self.after.len())).rev().find_map(|i| {
            let block = works[i].work.block().filter(|_| works[i].on && self.outcomes.get(i).is_some_and(|o| o.skipped.is_none()))?;
            let made = self.after[i].pieces.iter().find(|p| p.name() == piece)?;
            let known = self.before(i).is_some_and(|d| d.pieces.iter().any(|p| std::sync::Arc::ptr_eq(p, made)));
            (!known).then_some((i, block))
        })
    }

    /// The last alteration after which these edges were of another length than before it.
    fn last_altered(&self, runs: &[EdgeRun], works: &[WorkEntry]) -> Option<usize> {
        let length = |draft: Option<&crate::Draft>| -> Option<f64> {
            runs.iter().map(|r| Some(r.times * draft?.piece(r.piece.as_str())?.edge_length_mm(r.edge.as_str())?)).sum()
        };
        (1..self.after.len().min(works.len())).rev().filter(|&i| works[i].work.block().is_none()).find(|&i| {
            let (before, after) = (length(self.before(i)), length(Some(&self.after[i])));
            !matches!((before, after), (Some(a), Some(b)) if (a - b).abs() <= SEWN_MM)
        })
    }

    /// Says of each seam that no longer agrees which work came in between, and what to draft again.
    pub(crate) fn explain_seams(&mut self, works: &[WorkEntry]) {
        let mut said = Vec::new();
        for (i, message) in self.messages.iter().enumerate() {
            let Some(seam) = self.seam_of(message).and_then(|s| self.draft.seams.get(s)) else { continue };
            let blocks = self.older_partners(seam, works);
            let Some(block) = blocks.first() else { continue };
            let names = [&seam.a, &seam.b].map(|runs| self.drafted_by(runs, works).is_some_and(|(_, b)| b == *block));
            let changed = if names[0] { &seam.b } else { &seam.a };
            let Some(work) = self.last_altered(changed, works).and_then(|w| self.outcomes.get(w)) else { continue };
            let remedy = format!(
                "“{}” came after the {} was drafted: draft the {} again, or ease or trim the longer side.",
                work.what,
                block.name(),
                block.name()
            );
            said.push((i, remedy));
        }
        for (i, remedy) in said {
            self.messages[i].remedy = remedy;
        }
    }
}

/// What the check says of a seam.
pub(crate) fn said(seam: &Seam, walk: &Walk) -> String {
    let (a, b) = seam.sides();
    let (longer, by) = if walk.difference_mm > 0.0 { (&a, walk.difference_mm) } else { (&b, -walk.difference_mm) };
    format!("sewn to {b}, {longer} is {by:.1} mm too long")
}

/// By how much the sides of a seam between the same edges disagree in another draft, millimetres.
fn still_off(draft: &crate::Draft, seam: &Seam) -> f64 {
    let same = |a: &[EdgeRun], b: &[EdgeRun]| a.len() == b.len() && a.iter().zip(b).all(|(x, y)| x.piece == y.piece && x.edge == y.edge);
    let found = draft.seams.iter().find(|s| same(&s.a, &seam.a) && same(&s.b, &seam.b));
    found.and_then(|s| s.walk(|name| draft.piece(name.as_str()))).map_or(0.0, |w| w.difference_mm.abs())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::alteration::offer::Offer;
    use crate::{Garment, Name};

    fn demo_with(offer: &str, piece: &str, edge: &str) -> Garment {
        let mut garment = Garment::from_text(include_str!("../../assets/demo/garment.ron")).unwrap();
        let draft = garment.build().draft;
        let (piece, edge): (Name, Name) = (piece.into(), edge.into());
        let offer = Offer::ALL.iter().find(|o| o.name == offer).unwrap();
        garment.works.push(Work::Alter(Box::new(offer.begin(&draft, Some((&piece, Some(&edge)))).unwrap())).into());
        garment
    }

    fn all(garment: &Garment) -> Vec<Mend> {
        let built = garment.build();
        (0..built.draft.seams.len()).flat_map(|seam| built.mends(seam, &garment.works)).collect()
    }

    #[test]
    fn seams_that_agree_need_no_mend() {
        let garment = Garment::from_text(include_str!("../../assets/demo/garment.ron")).unwrap();
        assert!(all(&garment).is_empty());
    }

    #[test]
    fn a_changed_neckline_asks_for_collar_and_facing_and_never_for_the_bodice() {
        let garment = demo_with("Redraw an edge", "front", "neckline");
        let mends = all(&garment);
        let names: Vec<&str> = mends.iter().map(|m| m.name.as_str()).collect();
        for name in ["Draft the collar again", "Draft the facing again"] {
            assert!(names.contains(&name), "{names:?}");
        }
        assert!(!names.contains(&"Draft the bodice again"), "{names:?}");
        let built = garment.build();
        let said: Vec<&str> = built.messages.iter().map(|m| m.remedy.as_str()).filter(|r| r.contains("came after")).collect();
        assert!(said.iter().any(|r| r.contains("the collar was drafted")) && said.iter().any(|r| r.contains("the facing was drafted")));
    }

    #[test]
    fn a_changed_armhole_asks_for_the_sleeve() {
        let names: Vec<String> = all(&demo_with("Redraw an edge", "front", "armhole")).into_iter().map(|m| m.name).collect();
        assert!(names.contains(&"Draft the sleeve again".to_owned()), "{names:?}");
    }

    #[test]
    fn every_mend_mends_its_seam() {
        for (piece, edge) in [("front", "neckline"), ("front", "armhole"), ("front", "shoulder"), ("back", "side seam")] {
            for offer in ["Redraw an edge", "Trim an edge"] {
                let garment = demo_with(offer, piece, edge);
                let built = garment.build();
                for (i, seam) in built.draft.seams.iter().enumerate() {
                    for mend in built.mends(i, &garment.works) {
                        let mut mended = garment.clone();
                        mended.works.push(mend.work.clone().into());
                        let after = mended.build();
                        assert!(after.outcomes.iter().all(|o| o.skipped.is_none()), "{}", mend.name);
                        assert!(still_off(&after.draft, seam) <= SEWN_MM, "{offer} on {piece} / {edge}: {}", mend.name);
                    }
                }
            }
        }
    }
}
