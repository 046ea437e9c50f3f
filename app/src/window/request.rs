//! What views see, and what they ask for.

use std::path::PathBuf;

use draft_core::mend::Mend;
use draft_core::{Alteration, Built, Garment, Measurement, Message, Name, Unit};

use super::{BookRequest, Stage};
use crate::edit::Command;

/// What is selected on the table.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Chosen {
    /// Nothing: the ticket shows the garment.
    #[default]
    Nothing,
    /// A piece.
    Piece(Name),
    /// An edge of a piece.
    Edge(Name, Name),
    /// A work of the list, from 0.
    Work(usize),
}

impl Chosen {
    /// The piece that is selected, or whose edge is.
    pub const fn piece(&self) -> Option<&Name> {
        match self {
            Self::Nothing | Self::Work(_) => None,
            Self::Piece(piece) | Self::Edge(piece, _) => Some(piece),
        }
    }
}

/// What a view reads.
#[derive(Clone, Copy)]
pub struct Seen<'a> {
    /// The garment, with whatever is being typed or dragged already in it.
    pub garment: &'a Garment,
    /// What it builds to.
    pub built: &'a Built,
    /// The unit in which lengths are shown.
    pub unit: Unit,
    /// Where the window is.
    pub stage: Stage,
    /// What is selected.
    pub chosen: &'a Chosen,
    /// Works that mend what a message is about.
    pub mends: &'a [(Message, Vec<Mend>)],
}

impl Seen<'_> {
    /// Works that mend what a message is about.
    pub fn mends_of(&self, message: &Message) -> &[Mend] {
        self.mends.iter().find(|(m, _)| m == message).map_or(&[], |(_, mends)| mends)
    }
}

/// What a measuring sheet asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetOf {
    /// What the garment's blocks are drafted from.
    Blocks,
    /// Every measurement.
    Everything,
}

/// What a view asks for.
#[derive(Clone, Debug)]
pub enum Request {
    /// Change the garment: one step of undo.
    Edit(Command),
    /// Something is being typed or dragged: show it as if it were done, and do it if the window is about to save.
    Typing {
        /// What it will be.
        command: Command,
        /// Whether it can be shown already.
        preview: bool,
    },
    /// Show what a change would do; it is not done, even when the window saves.
    Trying(Command),
    /// Take the last step back.
    Undo,
    /// Do it again.
    Redo,
    /// Go to a stage.
    Go(Stage),
    /// Select something on the table.
    Choose(Chosen),
    /// Begin an alteration: show it on the table and in a form, to be added or taken away.
    Begin(Box<Alteration>),
    /// Open the settings of a block, by its place in the work list.
    OpenBlock(usize),
    /// Go to where a message points.
    ShowMe(Box<Message>),
    /// Look at a measurement, and put the cursor into its field.
    Measure(Measurement),
    /// Show lengths in this unit.
    ShowIn(Unit),
    /// Begin with an empty wearer card.
    MeasureSomeone,
    /// Ask for a file and open it.
    Open,
    /// Open this file.
    OpenFile(PathBuf),
    /// Load the demo.
    Demo,
    /// Save where it was saved before.
    Save,
    /// Ask where, and save.
    SaveAs,
    /// Ask where, and write the pages.
    PrintPages,
    /// Ask where, and write the whole sheet.
    SaveSheet,
    /// Ask where, and write the sheet to measure with: for what the blocks are drafted from, or for every measurement.
    MeasuringSheet(SheetOf),
    /// Ask where, and write the work sheet.
    WorkSheet,
    /// Ask for a folder, and write what to buy, the cut list, the notions and the lays into it.
    SaveLists,
    /// Hold a card to the screen, to show true size.
    HoldCard,
    /// Ask for a photo, and lay it beneath the pieces.
    LayPhoto,
    /// Ask for a picture of a cloth, by its place among the cloths from 0.
    ChooseSwatch(usize),
    /// Ask for a table of wearers, and show the cast.
    OpenCast,
    /// Leave the cast.
    LeaveCast,
    /// Ask for a folder, and write the reports of the cast into it.
    SaveCastReports,
    /// Something with the block book.
    Book(BookRequest),
    /// Go on with a garment of the cast.
    TakeGarment(Box<Garment>),
}
