//! Seams, girths and promises follow the pieces that a work has altered, divided or joined.

use std::collections::HashSet;
use std::sync::Arc;

use crate::check::{self, ASKED_MM};
use crate::{Corner, Draft, EdgeRun, Level, Name, Piece, Promise, Seam, Span};

impl Draft {
    /// Puts new pieces in the place of an old one. Whatever stood on an edge of the old piece now stands on that edge of
    /// every new piece that has it.
    pub(crate) fn replace(&mut self, old: &Name, new: Vec<Piece>) {
        let at = self.pieces.iter().position(|p| p.name() == old).unwrap_or(self.pieces.len());
        let before = (at < self.pieces.len()).then(|| self.pieces.remove(at));
        for (i, piece) in new.iter().enumerate() {
            self.pieces.insert(at + i, Arc::new(piece.clone()));
        }
        if new.len() == 1 && new[0].name() == old && before.is_some_and(|b| same_edges(&b, &new[0])) {
            return;
        }
        self.rename(|run| {
            if run.piece != *old {
                return vec![run.clone()];
            }
            let has = |p: &&Piece| p.edge(run.edge.as_str()).is_some();
            let found: Vec<EdgeRun> = new.iter().filter(has).map(|p| EdgeRun { piece: p.name().clone(), ..run.clone() }).collect();
            // An edge that is gone keeps its old name, so that the seam says what is missing.
            if found.is_empty() { vec![run.clone()] } else { found }
        });
        let home = |point: &Name| new.iter().find(|p| p.point(point.as_str()).is_some()).map(|p| p.name().clone());
        for span in self.levels.iter_mut().flat_map(|l| &mut l.spans).chain(self.promises.iter_mut().flat_map(|p| &mut p.spans)) {
            match span {
                Span::Edge(_) => {}
                Span::Between { piece, from, .. } if *piece == *old => {
                    if let Some(home) = home(from) {
                        *piece = home;
                    }
                }
                Span::Marked { piece, line, .. } if *piece == *old => {
                    if let Some(p) = new.iter().find(|p| p.lines().iter().any(|l| l.name == *line)) {
                        *piece = p.name().clone();
                    }
                }
                Span::Laid { from, to, fixed, laid, .. } => {
                    for (piece, point) in [(&mut from.0, &from.1), (&mut to.0, &to.1), (&mut fixed.0, &fixed.1), (&mut laid.0, &laid.1)] {
                        if *piece == *old
                            && let Some(home) = home(point)
                        {
                            *piece = home;
                        }
                    }
                }
                _ => {}
            }
        }
        for corner in &mut self.corners {
            for (piece, arriving, leaving) in &mut corner.of {
                if *piece == *old
                    && let Some(p) = new.iter().find(|p| p.edge(arriving.as_str()).is_some() && p.edge(leaving.as_str()).is_some())
                {
                    *piece = p.name().clone();
                }
            }
        }
    }

    /// Writes every run of every seam and girth anew.
    pub(crate) fn rename(&mut self, of: impl Fn(&EdgeRun) -> Vec<EdgeRun>) {
        for seam in &mut self.seams {
            for side in [&mut seam.a, &mut seam.b] {
                *side = side.iter().flat_map(&of).collect();
            }
        }
        let spans = self.levels.iter_mut().map(|l| &mut l.spans).chain(self.promises.iter_mut().map(|p| &mut p.spans));
        for spans in spans {
            *spans = spans
                .drain(..)
                .flat_map(|span| match span {
                    Span::Edge(run) => of(&run).into_iter().map(Span::Edge).collect(),
                    other => vec![other],
                })
                .collect();
        }
    }

    /// After a work of the maker's: what it changed on purpose is no longer held to what the blocks promised. A girth's
    /// ease becomes what the pieces now have, so that the ease table tells the truth; promised lengths and corners that
    /// no longer hold, and seams of which nothing is left, are let go.
    pub(crate) fn settle(&mut self, before: &Self) {
        // What was measured stays true where an old piece has a new one of the same shape.
        let apart = |these: &[Arc<Piece>], those: &[Arc<Piece>]| -> Vec<Name> {
            let same: HashSet<*const Piece> = those.iter().map(Arc::as_ptr).collect();
            let stays = |p: &&Arc<Piece>| same.contains(&Arc::as_ptr(p)) || those.iter().any(|q| p.measures_like(q));
            these.iter().filter(|p| !stays(p)).map(|p| p.name().clone()).collect()
        };
        let mut changed = apart(&before.pieces, &self.pieces);
        changed.extend(apart(&self.pieces, &before.pieces));
        if changed.is_empty() && self.seams.is_same(&before.seams) {
            return;
        }
        let touched = |spans: &[Span]| spans.iter().any(|s| s.touches(&|name: &Name| changed.contains(name)));
        // Lists are shared with the draft before: each is only touched where something in it changes.
        let is_off =
            |l: &Level| touched(&l.spans) && self.measure_mm(&l.spans).is_none_or(|mm| (mm - l.body_mm - l.ease_mm).abs() > ASKED_MM);
        if self.levels.iter().any(is_off) {
            let mut levels = self.levels.clone();
            levels.retain_mut(|level| {
                let finished = self.measure_mm(&level.spans);
                if let (true, Some(mm)) = (is_off(level), finished) {
                    level.ease_mm = mm - level.body_mm;
                }
                finished.is_some() || !touched(&level.spans)
            });
            self.levels = levels;
        }
        let holds = |p: &Promise| !touched(&p.spans) || self.measure_mm(&p.spans).is_some_and(|mm| (mm - p.asked_mm).abs() <= ASKED_MM);
        if !self.promises.iter().all(holds) {
            let mut promises = self.promises.clone();
            promises.retain(holds);
            self.promises = promises;
        }
        let holds = |c: &Corner| {
            !c.of.iter().any(|(piece, ..)| changed.contains(piece))
                || check::corner_degrees(self, c).is_some_and(|degrees| (degrees - c.degrees).abs() <= c.within)
        };
        if !self.corners.iter().all(holds) {
            let mut corners = self.corners.clone();
            corners.retain(holds);
            self.corners = corners;
        }
        let there = |run: &EdgeRun| self.piece(run.piece.as_str()).is_some_and(|p| p.edge(run.edge.as_str()).is_some());
        let is_whole = |seam: &Seam| seam.a.iter().chain(&seam.b).all(there);
        if !self.seams.iter().all(is_whole) {
            let mut seams = self.seams.clone();
            for seam in seams.iter_mut() {
                for side in [&mut seam.a, &mut seam.b] {
                    if side.iter().any(there) {
                        side.retain(there);
                    }
                }
            }
            seams.retain(|seam| seam.a.iter().chain(&seam.b).any(there));
            self.seams = seams;
        }
    }
}

fn same_edges(a: &Piece, b: &Piece) -> bool {
    a.edges().len() == b.edges().len() && a.edges().iter().zip(b.edges()).all(|(x, y)| x.name == y.name)
}

impl Draft {
    /// Carries everything that stands on points of one piece over to a piece of another name.
    pub(crate) fn rename_points(&mut self, old: &Name, new: &Name, point: impl Fn(&Name) -> Name) {
        let spans = self.levels.iter_mut().flat_map(|l| &mut l.spans).chain(self.promises.iter_mut().flat_map(|p| &mut p.spans));
        for span in spans {
            match span {
                Span::Between { piece, from, to, .. } if *piece == *old => {
                    *piece = new.clone();
                    (*from, *to) = (point(from), point(to));
                }
                Span::Marked { piece, .. } if *piece == *old => *piece = new.clone(),
                Span::Laid { from, to, fixed, laid, .. } => {
                    for (piece, points) in [(&mut from.0, vec![&mut from.1]), (&mut to.0, vec![&mut to.1])] {
                        if *piece == *old {
                            *piece = new.clone();
                            points.into_iter().for_each(|p| *p = point(p));
                        }
                    }
                    for (piece, a, b) in [(&mut fixed.0, &mut fixed.1, &mut fixed.2), (&mut laid.0, &mut laid.1, &mut laid.2)] {
                        if *piece == *old {
                            *piece = new.clone();
                            (*a, *b) = (point(a), point(b));
                        }
                    }
                }
                _ => {}
            }
        }
        for corner in &mut self.corners {
            corner.of.iter_mut().filter(|(piece, ..)| *piece == *old).for_each(|(piece, ..)| *piece = new.clone());
        }
    }
}
