//! A garment at work: its history, its file, and what it builds to.

use std::path::{Path, PathBuf};

use draft_core::mend::Mend;
use draft_core::{Builder, Built, DraftError, Garment, Message, Unit};

use super::pen::Pen;
use super::pieces::OnTable;
use super::table::Table;
use super::{Chosen, Request, Seen, Stage};
use crate::edit::{Command, History};

/// A garment at work.
pub struct Desk {
    history: History,
    /// Where it is saved.
    pub(super) file: Option<PathBuf>,
    builder: Builder,
    /// The garment with what is being typed or dragged.
    shown: Garment,
    built: Built,
    built_at: u64,
    /// Counts builds, so that others know when to look again.
    builds: u64,
    /// What is being typed or dragged: what it will be, and whether it is shown already.
    pending: Option<(Command, bool)>,
    /// What is only tried and shown.
    trying: Option<Command>,
    /// What mends the seams that need it.
    mends: Vec<(Message, Vec<Mend>)>,
    /// The work before which the pieces are shown as a pale line.
    pub(super) pale: Option<usize>,
    /// Where the window is.
    pub(super) stage: Stage,
    /// What is selected.
    pub(super) chosen: Chosen,
    /// The unit in which lengths are shown.
    pub(super) unit: Unit,
    pub(super) table: Table,
    /// Which pieces lie on the table.
    pub(super) on_table: OnTable,
    pub(super) pen: Pen,
    /// What was last done, for the readout; until something else is done.
    pub(super) said: Option<String>,
    /// What is to be said of newer editions of its blocks.
    pub(super) newer: Vec<Message>,
}

impl Desk {
    pub(super) fn new(history: History, file: Option<PathBuf>, stage: Stage) -> Self {
        let mut builder = Builder::default();
        let shown = history.garment().clone();
        let built = builder.build(&shown);
        let mut table = Table::default();
        table.lay(&built, false);
        let mut desk = Self {
            built_at: history.revision(),
            builds: 0,
            unit: shown.wearer.unit,
            history,
            file,
            builder,
            shown,
            built,
            pending: None,
            trying: None,
            mends: Vec::new(),
            pale: None,
            stage,
            chosen: Chosen::Nothing,
            table,
            on_table: OnTable::default(),
            pen: Pen::default(),
            said: None,
            newer: Vec::new(),
        };
        desk.find_mends();
        desk
    }

    /// The garment as it is, without what is only being typed.
    pub const fn garment(&self) -> &Garment {
        self.history.garment()
    }

    /// What it builds to, with what is being typed where that can be shown.
    pub const fn built(&self) -> &Built {
        &self.built
    }

    /// The garment with what is being typed or dragged.
    pub(super) const fn shown(&self) -> &Garment {
        &self.shown
    }

    /// Which build this is; another number, another build.
    pub(super) const fn build_number(&self) -> u64 {
        self.builds
    }

    /// Undo and redo.
    pub const fn history(&self) -> &History {
        &self.history
    }

    /// Where it is saved, once it was.
    pub fn file(&self) -> Option<&Path> {
        self.file.as_deref()
    }

    /// What is selected.
    pub const fn chosen(&self) -> &Chosen {
        &self.chosen
    }

    /// Where the window is.
    pub const fn stage(&self) -> Stage {
        self.stage
    }

    /// Whether something would be lost without saving, counting what is still being typed.
    pub fn is_unsaved(&self) -> bool {
        self.history.is_unsaved() || self.pending.is_some()
    }

    pub(super) const fn seen(&self) -> Seen<'_> {
        Seen {
            garment: &self.shown,
            built: &self.built,
            unit: self.unit,
            stage: self.stage,
            chosen: &self.chosen,
            mends: self.mends.as_slice(),
        }
    }

    /// What views read, and the pen with which they write.
    pub(super) const fn seen_and_pen(&mut self) -> (Seen<'_>, &mut Pen) {
        let Self { shown, built, unit, stage, chosen, mends, pen, .. } = self;
        (Seen { garment: shown, built, unit: *unit, stage: *stage, chosen, mends: mends.as_slice() }, pen)
    }

    /// Shows the table.
    pub(super) fn show_table(&mut self, ui: &mut egui::Ui, requests: &mut Vec<Request>) {
        let pale = self.table.pale().or(self.pale).filter(|_| self.stage == Stage::Redraw);
        self.table.compare(&self.built, self.builds, pale);
        let Self { shown, built, unit, stage, chosen, mends, table, .. } = self;
        table.show(ui, &Seen { garment: shown, built, unit: *unit, stage: *stage, chosen, mends }, requests);
    }

    /// Takes note of what the views said is being typed, and builds again if anything changed. Says whether it did.
    pub(super) fn settle(&mut self, requests: &[Request]) -> bool {
        let pending = requests.iter().rev().find_map(|r| match r {
            Request::Typing { command, preview } => Some((command.clone(), *preview)),
            _ => None,
        });
        // Typing what is there already is nothing new.
        let pending =
            pending.filter(|(command, _)| command.apply(self.history.garment()).is_ok_and(|next| next != *self.history.garment()));
        let trying = requests.iter().rev().find_map(|r| match r {
            Request::Trying(command) => Some(command.clone()),
            _ => None,
        });
        let changed = pending != self.pending || trying != self.trying || self.built_at != self.history.revision();
        self.pending = pending;
        self.trying = trying;
        if changed {
            self.said = None;
            self.rebuild();
        }
        changed
    }

    /// Runs a command, as one step.
    pub(super) fn run(&mut self, command: &Command) -> Result<(), DraftError> {
        // What is being typed elsewhere is finished by its own field.
        if self.pending.as_ref().is_some_and(|(pending, _)| pending == command) {
            self.pending = None;
        }
        self.history.run(command)?;
        self.said = None;
        self.rebuild();
        Ok(())
    }

    /// Makes what is being typed part of the garment now.
    pub(super) fn finish_typing(&mut self) -> Result<(), DraftError> {
        match self.pending.take() {
            Some((command, _)) => self.run(&command),
            None => Ok(()),
        }
    }

    pub(super) fn undo(&mut self) {
        self.pen.clear();
        self.history.undo();
        self.rebuild();
    }

    pub(super) fn redo(&mut self) {
        self.pen.clear();
        self.history.redo();
        self.rebuild();
    }

    pub(super) fn mark_saved(&mut self, written: &Garment, file: PathBuf) {
        self.history.mark_saved(written);
        self.file = Some(file);
        self.rebuild();
    }

    /// Lays the pieces out again: others are hidden now.
    pub(super) fn lay_again(&mut self) {
        self.table.hide(self.on_table.hidden());
        self.table.lay(&self.built, self.trying.is_some());
    }

    fn rebuild(&mut self) {
        let preview = self.pending.as_ref().filter(|(_, show)| *show).and_then(|(command, _)| command.apply(self.history.garment()).ok());
        self.shown = preview.unwrap_or_else(|| self.history.garment().clone());
        if let Some(tried) = self.trying.as_ref().and_then(|command| command.apply(&self.shown).ok()) {
            self.shown = tried;
        }
        self.built = self.builder.build(&self.shown);
        self.built_at = self.history.revision();
        self.builds += 1;
        self.table.lay(&self.built, self.trying.is_some());
        self.let_go_of_what_is_gone();
        self.find_mends();
    }

    /// What mends the seams that no longer agree; not while something is only tried.
    fn find_mends(&mut self) {
        let Self { built, shown, mends, trying, .. } = self;
        *mends = Vec::new();
        if trying.is_none() {
            let seams = built.messages.iter().filter_map(|m| Some((m, built.seam_of(m)?)));
            *mends = seams.map(|(m, seam)| (m.clone(), built.mends(seam, &shown.works))).collect();
        }
    }

    /// A selection whose piece or edge is no longer there is dropped.
    fn let_go_of_what_is_gone(&mut self) {
        let there = match &self.chosen {
            Chosen::Nothing => true,
            Chosen::Work(work) => *work < self.shown.works.len(),
            Chosen::Piece(piece) => self.built.draft.piece(piece.as_str()).is_some(),
            Chosen::Edge(piece, edge) => self.built.draft.piece(piece.as_str()).is_some_and(|p| p.edge(edge.as_str()).is_some()),
        };
        if !there {
            self.chosen = Chosen::Nothing;
        }
    }
}
