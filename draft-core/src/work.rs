//! The work list: what was done to a garment, in order.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::{Alteration, Block, Body, Draft, DraftError, Drawn, Fitting, Measurement, Name, Piece, Settings, Shared};

/// One thing done to a garment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Work {
    /// Draft a block from the measurements.
    Draft {
        /// Which.
        block: Block,
        /// What the maker chose; the rest keeps its default.
        #[serde(default)]
        settings: Settings,
    },
    /// Alter pieces that are there.
    Alter(Box<Alteration>),
    /// Change pieces as they were pinned at a fitting.
    Fit(Fitting),
    /// Take over pieces drawn elsewhere.
    TakeOver(Shared<Drawn>),
}

impl Work {
    /// What it is, in a few words.
    pub fn what(&self) -> String {
        match self {
            Self::Draft { block, .. } => format!("draft the {}", block.name()),
            Self::Alter(alteration) => alteration.what(),
            Self::Fit(fitting) => fitting.what(),
            Self::TakeOver(pieces) => format!("take over {} drawn pieces", pieces.len()),
        }
    }

    /// The block that it drafts; `None` for any other work.
    pub const fn block(&self) -> Option<Block> {
        match self {
            Self::Draft { block, .. } => Some(*block),
            Self::Alter(_) | Self::Fit(_) | Self::TakeOver(_) => None,
        }
    }

    /// The measurements that it is drafted from.
    pub fn measurements(&self) -> &'static [Measurement] {
        match self {
            Self::Draft { block, settings } => block.measurements_for(settings),
            Self::Alter(_) | Self::Fit(_) | Self::TakeOver(_) => &[],
        }
    }

    /// Does the work on a draft.
    ///
    /// # Errors
    /// It can't be done; the reason names the place and what to do. The draft given is untouched.
    pub fn apply(&self, body: &Body, draft: &Draft) -> Result<Draft, DraftError> {
        match self {
            Self::Draft { block, settings } if draft.adjusted.is_empty() => block.draft(body, settings, draft),
            Self::Draft { block, settings } => block.draft(&body.adjusted(&draft.adjusted), settings, draft),
            Self::Alter(alteration) => alteration.apply(draft),
            Self::Fit(fitting) => fitting.apply(draft),
            Self::TakeOver(pieces) => {
                let mut draft = draft.clone();
                for drawn in pieces {
                    draft.put(drawn.piece()?);
                }
                Ok(draft)
            }
        }
    }

    /// Does the work on another draft than before, from what it made then, where that depends on nothing else.
    pub(crate) fn again(&self, draft: &Draft, made: &Draft) -> Option<Draft> {
        let Self::TakeOver(pieces) = self else { return None };
        let made: HashMap<&Name, &Arc<Piece>> = made.pieces.iter().map(|piece| (piece.name(), piece)).collect();
        let mut draft = draft.clone();
        let mut there: HashSet<Name> = draft.pieces.iter().map(|piece| piece.name().clone()).collect();
        for drawn in pieces {
            let piece = Arc::clone(made.get(&drawn.name)?);
            if there.insert(drawn.name.clone()) {
                draft.pieces.push(piece);
            } else {
                draft.put_shared(piece);
            }
        }
        Some(draft)
    }

    /// Whether its settings make sense.
    ///
    /// # Errors
    /// Names the first that does not.
    pub fn check(&self) -> Result<(), DraftError> {
        match self {
            Self::Draft { block, settings } => settings.check(block.name(), block.settings()),
            Self::Alter(_) | Self::Fit(_) => Ok(()),
            Self::TakeOver(pieces) => pieces.iter().try_for_each(|drawn| drawn.piece().map(|_| ())),
        }
    }
}

/// Where a copied work comes from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FromBlock {
    /// The block of the block book, by its name.
    pub block: String,
    /// Which edition of it.
    pub edition: u32,
}

/// A work with its switch, its note and where it was copied from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WorkEntry {
    /// The work.
    pub work: Work,
    /// Switched off, it stays in the list and does nothing.
    #[serde(default = "yes")]
    pub on: bool,
    /// The maker's note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The block of the block book that it was copied from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<FromBlock>,
}

const fn yes() -> bool {
    true
}

impl From<Work> for WorkEntry {
    fn from(work: Work) -> Self {
        Self { work, on: true, note: String::new(), from: None }
    }
}
