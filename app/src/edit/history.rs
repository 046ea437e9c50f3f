//! Undo and redo.

use draft_core::{DraftError, Garment};

use super::Command;

/// The only owner of the garment. Undo keeps what the maker decided, never outlines.
#[derive(Clone, Debug)]
pub struct History {
    now: Garment,
    done: Vec<(Garment, String)>,
    undone: Vec<(Garment, String)>,
    /// As it stands in its file; `None` when it never was in one.
    saved: Option<Garment>,
    /// Counts changes, so that others know when to look again.
    revision: u64,
}

impl History {
    /// A garment that has no file yet.
    pub fn unsaved(garment: Garment) -> Self {
        Self { now: garment, done: Vec::new(), undone: Vec::new(), saved: None, revision: 0 }
    }

    /// A garment as its file has it.
    pub fn opened(garment: Garment) -> Self {
        Self { saved: Some(garment.clone()), ..Self::unsaved(garment) }
    }

    /// A garment that was kept when its window was lost, and what stands in its file, if it has one.
    pub fn recovered(garment: Garment, in_file: Option<Garment>) -> Self {
        // Without a file everything in it is unsaved.
        let nothing = || Garment::new("", draft_core::WearerCard::default());
        Self { saved: Some(in_file.unwrap_or_else(nothing)), ..Self::unsaved(garment) }
    }

    /// The garment.
    pub const fn garment(&self) -> &Garment {
        &self.now
    }

    /// Grows with every change, undo and redo.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// Runs a command. One that changes nothing leaves no step.
    ///
    /// # Errors
    /// The command can't be done; nothing has changed.
    pub fn run(&mut self, command: &Command) -> Result<(), DraftError> {
        let next = command.apply(&self.now)?;
        if next == self.now {
            return Ok(());
        }
        let before = std::mem::replace(&mut self.now, next);
        self.done.push((before, command.label()));
        self.undone.clear();
        self.revision += 1;
        Ok(())
    }

    /// What undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.done.last().map(|(_, label)| label.as_str())
    }

    /// What redo would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.undone.last().map(|(_, label)| label.as_str())
    }

    /// Takes the last step back.
    pub fn undo(&mut self) {
        if let Some((before, label)) = self.done.pop() {
            self.undone.push((std::mem::replace(&mut self.now, before), label));
            self.revision += 1;
        }
    }

    /// Does the step that was last taken back again.
    pub fn redo(&mut self) {
        if let Some((after, label)) = self.undone.pop() {
            self.done.push((std::mem::replace(&mut self.now, after), label));
            self.revision += 1;
        }
    }

    /// Notes that this garment now stands in its file.
    pub fn mark_saved(&mut self, written: &Garment) {
        // The day of the last change is written by whoever saves; it is no step of its own.
        self.now.dated.clone_from(&written.dated);
        self.saved = Some(written.clone());
        self.revision += 1;
    }

    /// Whether something would be lost without saving.
    pub fn is_unsaved(&self) -> bool {
        self.saved.as_ref().map_or(!self.done.is_empty(), |saved| {
            let Garment { dated: _, version: _, name, notes, wearer, works, print, cloths, stacks, lays, photos } = &self.now;
            *name != saved.name
                || *notes != saved.notes
                || *wearer != saved.wearer
                || *works != saved.works
                || *print != saved.print
                || *cloths != saved.cloths
                || *stacks != saved.stacks
                || *lays != saved.lays
                || *photos != saved.photos
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
    use super::*;
    use draft_core::{Block, WearerCard};

    fn history() -> History {
        History::opened(Garment::new("trial", WearerCard::default()))
    }

    #[test]
    fn undo_and_redo_go_all_the_way() {
        let mut h = history();
        let first = h.garment().clone();
        for block in Block::ALL {
            h.run(&Command::AddBlock(block)).unwrap();
        }
        let last = h.garment().clone();
        for _ in Block::ALL {
            h.undo();
        }
        assert_eq!(*h.garment(), first);
        for _ in Block::ALL {
            h.redo();
        }
        assert_eq!(*h.garment(), last);
    }

    #[test]
    fn a_refused_command_changes_nothing() {
        let mut h = history();
        assert!(h.run(&Command::RemoveWork(3)).is_err());
        assert_eq!(h.undo_label(), None);
        assert_eq!(h.revision(), 0);
    }

    #[test]
    fn a_command_that_changes_nothing_is_no_step() {
        let mut h = history();
        h.run(&Command::Rename("trial".into())).unwrap();
        assert_eq!(h.undo_label(), None);
    }

    #[test]
    fn what_was_recovered_is_unsaved() {
        let garment = Garment::new("trial", WearerCard::default());
        assert!(History::recovered(garment.clone(), None).is_unsaved());
        assert!(!History::recovered(garment.clone(), Some(garment)).is_unsaved());
    }

    #[test]
    fn going_back_to_what_is_in_the_file_counts_as_saved() {
        let mut h = history();
        assert!(!h.is_unsaved());
        h.run(&Command::AddBlock(Block::Skirt)).unwrap();
        assert!(h.is_unsaved());
        h.undo();
        assert!(!h.is_unsaved());
        h.redo();
        let written = h.garment().clone();
        h.mark_saved(&written);
        assert!(!h.is_unsaved());
        h.undo();
        assert!(h.is_unsaved());
    }
}
