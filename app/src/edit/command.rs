//! One change to a garment.

use draft_core::photo::Photo;
use draft_core::{
    Block, DraftError, Fitting, Garment, Measurement, PrintSettings, Setting, SettingValue, Survey, Take, Unit, WearerCard, Work, WorkEntry,
};

use super::ClothCommand;

/// A line of text on the wearer card that is not a measurement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CardLine {
    /// The wearer's name.
    Name,
    /// The day of measuring.
    MeasuredOn,
    /// Who held the tape.
    MeasuredBy,
    /// Posture, shoes, anything else.
    Notes,
}

/// One change to a garment; one step of undo.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// Names the garment.
    Rename(String),
    /// Writes a line of the wearer card.
    WriteCard(CardLine, String),
    /// Changes the unit in which new measurements are typed. What was typed before keeps its meaning.
    SetCardUnit(Unit),
    /// Chooses whose measurements stand in for missing ones.
    SetSurvey(Survey),
    /// Writes down a reading of the tape exactly as typed; an empty text takes the reading away.
    TypeTake {
        /// The measurement.
        which: Measurement,
        /// Which reading, from 0; one past the last adds a reading.
        nth: usize,
        /// What was typed.
        typed: String,
    },
    /// Writes a note to a reading.
    NoteTake {
        /// The measurement.
        which: Measurement,
        /// Which reading, from 0.
        nth: usize,
        /// The note.
        note: String,
    },
    /// Writes down what the right side of the body measures, where it differs; an empty text takes it away.
    TypeRight {
        /// The measurement.
        which: Measurement,
        /// What was typed.
        typed: String,
    },
    /// Makes a reading the one that counts.
    ChooseTake {
        /// The measurement.
        which: Measurement,
        /// Which reading, from 0.
        nth: usize,
    },
    /// Drafts a block, in its place among the blocks that are there.
    AddBlock(Block),
    /// Adds a work before the one that stands at a place now; at the end where no place is given.
    AddWork {
        /// The place, from 0.
        at: Option<usize>,
        /// The work.
        work: Box<Work>,
    },
    /// Puts a work with other numbers or names in the place of one.
    ChangeWork(usize, Box<Work>),
    /// Moves a work to another place in the list.
    MoveWork {
        /// From here …
        from: usize,
        /// … to here.
        to: usize,
    },
    /// Takes a work out of the list.
    RemoveWork(usize),
    /// Switches a work on or off.
    SwitchWork(usize, bool),
    /// Records a fitting after the blocks that it concerns, or writes one anew that is in the list.
    RecordFitting {
        /// Which work, from 0; `None` for a new one.
        at: Option<usize>,
        /// What was pinned.
        fitting: Box<Fitting>,
    },
    /// Puts another work list in the place of the one that is there, with its card: a newer edition of a block.
    SetWorks {
        /// The works.
        works: Vec<WorkEntry>,
        /// The card.
        wearer: Box<WearerCard>,
        /// What it is, for undo.
        label: &'static str,
    },
    /// Writes a note to a work.
    NoteWork(usize, String),
    /// Sets a setting of a work.
    Set {
        /// Which work, from 0.
        work: usize,
        /// The setting.
        setting: &'static Setting,
        /// Its new value; `None` for the default.
        value: Option<SettingValue>,
    },
    /// Changes how the garment is printed.
    SetPrint(PrintSettings),
    /// Changes the cloths, what is cut from them, or how they are laid.
    Cloth(Box<ClothCommand>),
    /// Puts other photos beneath the pieces, and what that is, for undo.
    SetPhotos(Vec<Photo>, &'static str),
}

impl Command {
    /// What it does, as undo and redo name it.
    pub fn label(&self) -> String {
        match self {
            Self::Rename(_) => "name the garment".into(),
            Self::WriteCard(CardLine::Name, _) => "name the wearer".into(),
            Self::WriteCard(CardLine::MeasuredOn, _) => "date the measurements".into(),
            Self::WriteCard(CardLine::MeasuredBy, _) => "say who measured".into(),
            Self::WriteCard(CardLine::Notes, _) => "note on the wearer card".into(),
            Self::SetCardUnit(unit) => format!("measure in {unit}"),
            Self::SetSurvey(survey) => format!("estimate from {}", survey.label()),
            Self::TypeTake { which, .. } => which.name().to_lowercase(),
            Self::NoteTake { which, .. } => format!("note on {}", which.name().to_lowercase()),
            Self::TypeRight { which, .. } => format!("{} at the right", which.name().to_lowercase()),
            Self::ChooseTake { which, .. } => format!("which {} counts", which.name().to_lowercase()),
            Self::AddBlock(block) => format!("add the {}", block.name()),
            Self::AddWork { work, .. } => work.what(),
            Self::ChangeWork(_, work) => format!("change: {}", work.what()),
            Self::MoveWork { .. } => "move a work".into(),
            Self::RemoveWork(_) => "take out a work".into(),
            Self::SwitchWork(_, true) => "switch a work on".into(),
            Self::SwitchWork(_, false) => "switch a work off".into(),
            Self::NoteWork(..) => "note on a work".into(),
            Self::RecordFitting { .. } => "record a fitting".into(),
            Self::SetWorks { label, .. } => (*label).into(),
            Self::Set { setting, .. } => setting.label.to_lowercase(),
            Self::SetPrint(_) => "print settings".into(),
            Self::Cloth(command) => command.label(),
            Self::SetPhotos(_, label) => (*label).into(),
        }
    }

    /// The garment with this change made; the one given is untouched.
    ///
    /// # Errors
    /// A setting does not fit, or what is to be changed is no longer there.
    pub fn apply(&self, garment: &Garment) -> Result<Garment, DraftError> {
        let mut next = garment.clone();
        match self {
            Self::Rename(name) => next.name.clone_from(name),
            Self::WriteCard(line, text) => {
                let card = &mut next.wearer;
                let field = match line {
                    CardLine::Name => &mut card.name,
                    CardLine::MeasuredOn => &mut card.measured_on,
                    CardLine::MeasuredBy => &mut card.measured_by,
                    CardLine::Notes => &mut card.notes,
                };
                field.clone_from(text);
            }
            Self::SetCardUnit(unit) => {
                // A bare number keeps the unit in which it was taken.
                let before = next.wearer.unit;
                for take in next.wearer.takes.values_mut().flatten().chain(next.wearer.right.values_mut()) {
                    take.unit.get_or_insert(before);
                }
                next.wearer.unit = *unit;
            }
            Self::SetSurvey(survey) => next.wearer.survey = *survey,
            Self::TypeTake { which, nth, typed } => {
                let unit = next.wearer.unit;
                let takes = next.wearer.takes.entry(*which).or_default();
                if typed.trim().is_empty() {
                    if *nth < takes.len() {
                        takes.remove(*nth);
                    }
                } else if let Some(take) = takes.get_mut(*nth) {
                    if take.typed != *typed {
                        take.typed.clone_from(typed);
                        take.unit = Some(unit);
                    }
                } else {
                    // A new reading counts until the maker chooses another.
                    takes.iter_mut().for_each(|t| t.chosen = false);
                    takes.push(Take::new(typed.as_str(), unit));
                }
                if takes.is_empty() {
                    next.wearer.takes.remove(which);
                }
            }
            Self::NoteTake { which, nth, note } => {
                let take = next.wearer.takes.get_mut(which).and_then(|t| t.get_mut(*nth)).ok_or_else(|| {
                    DraftError::new(which.name(), "has no such reading to note on", "Type the measurement first, then the note.")
                })?;
                take.note.clone_from(note);
            }
            Self::TypeRight { which, typed } => {
                if typed.trim().is_empty() {
                    next.wearer.right.remove(which);
                } else if next.wearer.right.get(which).is_none_or(|take| take.typed != *typed) {
                    next.wearer.right.insert(*which, Take::new(typed.as_str(), next.wearer.unit));
                }
            }
            Self::ChooseTake { which, nth } => next.wearer.choose(*which, *nth),
            Self::AddBlock(block) => {
                let rank = |b: Block| Block::ALL.iter().position(|&x| x == b);
                let at = next.works.iter().position(|e| matches!(e.work, Work::Draft { block: b, .. } if rank(b) > rank(*block)));
                let entry = WorkEntry::from(Work::Draft { block: *block, settings: Default::default() });
                next.works.insert(at.unwrap_or(next.works.len()), entry);
            }
            Self::AddWork { at, work } => {
                let at = at.unwrap_or(next.works.len()).min(next.works.len());
                next.works.insert(at, WorkEntry::from(Work::clone(work)));
            }
            Self::ChangeWork(i, changed) => work(&mut next, *i)?.work.clone_from(changed),
            Self::MoveWork { from, to } => {
                work(&mut next, *from)?;
                work(&mut next, *to)?;
                let entry = next.works.remove(*from);
                next.works.insert(*to, entry);
            }
            Self::RemoveWork(i) => {
                work(&mut next, *i)?;
                next.works.remove(*i);
            }
            Self::SwitchWork(i, on) => work(&mut next, *i)?.on = *on,
            Self::NoteWork(i, note) => work(&mut next, *i)?.note.clone_from(note),
            Self::RecordFitting { at, fitting } => {
                let fit = Work::Fit((**fitting).clone());
                match at {
                    Some(i) => {
                        let entry = work(&mut next, *i)?;
                        if !matches!(entry.work, Work::Fit(_)) {
                            return Err(DraftError::new(entry.work.what(), "is no fitting", "Record it as a new fitting."));
                        }
                        entry.work = fit;
                    }
                    None => next.works.insert(fitting.place_in(garment), fit.into()),
                }
            }
            Self::SetWorks { works, wearer, .. } => {
                next.works.clone_from(works);
                next.wearer.clone_from(wearer);
            }
            Self::Set { work: i, setting, value } => {
                let entry = work(&mut next, *i)?;
                let Work::Draft { settings, .. } = &mut entry.work else {
                    return Err(DraftError::new(entry.work.what(), "has no such setting", "Change its own numbers instead."));
                };
                match value {
                    Some(value) => settings.set(setting, value.clone())?,
                    None => settings.clear(setting),
                }
            }
            Self::SetPrint(print) => next.print = print.clone(),
            Self::SetPhotos(photos, _) => next.photos.clone_from(photos),
            Self::Cloth(command) => command.apply(&mut next)?,
        }
        Ok(next)
    }
}

fn work(garment: &mut Garment, i: usize) -> Result<&mut WorkEntry, DraftError> {
    garment
        .works
        .get_mut(i)
        .ok_or_else(|| DraftError::new(format!("work {}", i + 1), "is not in the list any more", "Choose a work that is in the list."))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
    use super::*;
    use draft_core::WearerCard;

    fn garment() -> Garment {
        Garment::new("trial", WearerCard::default())
    }

    #[test]
    fn what_was_typed_is_kept_as_typed() {
        let typed = "about 92 or so";
        let g = Command::TypeTake { which: Measurement::BustGirth, nth: 0, typed: typed.into() }.apply(&garment()).unwrap();
        assert_eq!(g.wearer.take(Measurement::BustGirth).unwrap().typed, typed);
    }

    #[test]
    fn changing_the_unit_leaves_bare_numbers_what_they_were() {
        let mut g = garment();
        let bare = Take { typed: "92".into(), ..Take::default() };
        g.wearer.set(Measurement::BustGirth, bare);
        let g = Command::SetCardUnit(Unit::Inch).apply(&g).unwrap();
        let take = g.wearer.take(Measurement::BustGirth).unwrap();
        assert_eq!(g.wearer.read(Measurement::BustGirth, take).unwrap(), 920.0);
    }

    #[test]
    fn a_second_reading_stands_beside_the_first_and_an_empty_one_goes() {
        let type_in =
            |g: &Garment, nth, typed: &str| Command::TypeTake { which: Measurement::HipGirth, nth, typed: typed.into() }.apply(g).unwrap();
        let g = type_in(&type_in(&garment(), 0, "99"), 1, "99.5");
        let typed: Vec<_> = g.wearer.takes[&Measurement::HipGirth].iter().map(|t| t.typed.as_str()).collect();
        assert_eq!(typed, ["99", "99.5"]);
        let g = Command::ChooseTake { which: Measurement::HipGirth, nth: 0 }.apply(&g).unwrap();
        assert_eq!(g.wearer.take(Measurement::HipGirth).unwrap().typed, "99");
        assert_eq!(type_in(&g, 2, "98").wearer.counting(Measurement::HipGirth), Some(2), "a new reading counts");
        let g = type_in(&type_in(&g, 1, ""), 0, " ");
        assert!(!g.wearer.takes.contains_key(&Measurement::HipGirth));
    }

    #[test]
    fn the_right_side_is_written_where_it_differs_and_taken_away_again() {
        let right =
            |g: &Garment, typed: &str| Command::TypeRight { which: Measurement::ShoulderSlope, typed: typed.into() }.apply(g).unwrap();
        let g = right(&garment(), "24");
        assert_eq!(g.wearer.right[&Measurement::ShoulderSlope].typed, "24");
        assert!(right(&g, " ").wearer.right.is_empty());
    }

    #[test]
    fn blocks_are_added_in_the_order_in_which_they_are_drafted() {
        let mut g = garment();
        for block in [Block::Sleeve, Block::Skirt, Block::Bodice] {
            g = Command::AddBlock(block).apply(&g).unwrap();
        }
        let order: Vec<_> = g.works.iter().map(|e| e.work.what()).collect();
        assert_eq!(order, ["draft the bodice", "draft the skirt", "draft the sleeve"]);
    }

    #[test]
    fn works_are_added_changed_and_moved() {
        let mut g = garment();
        let draft = |block| Box::new(Work::Draft { block, settings: Default::default() });
        for block in [Block::Bodice, Block::Collar] {
            g = Command::AddWork { at: None, work: draft(block) }.apply(&g).unwrap();
        }
        g = Command::AddWork { at: Some(1), work: draft(Block::Skirt) }.apply(&g).unwrap();
        g.works[1].note = "stays with its place".into();
        g = Command::ChangeWork(1, draft(Block::Circle)).apply(&g).unwrap();
        g = Command::MoveWork { from: 1, to: 0 }.apply(&g).unwrap();
        let order: Vec<_> = g.works.iter().map(|e| (e.work.block().unwrap(), e.note.is_empty())).collect();
        assert_eq!(order, [(Block::Circle, false), (Block::Bodice, true), (Block::Collar, true)]);
        assert!(Command::MoveWork { from: 0, to: 3 }.apply(&g).is_err());
    }

    #[test]
    fn a_setting_out_of_its_limits_is_refused() {
        let g = Command::AddBlock(Block::Skirt).apply(&garment()).unwrap();
        let setting = Block::Skirt.settings()[0];
        let refused = Command::Set { work: 0, setting, value: Some(SettingValue::Number(1e6)) }.apply(&g);
        assert!(refused.is_err());
        assert!(Command::SwitchWork(7, false).apply(&g).is_err());
    }
}
