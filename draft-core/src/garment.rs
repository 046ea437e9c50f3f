//! The garment: what the maker decided, and its text.

use serde::{Deserialize, Serialize};

use crate::cloth::{Cloth, KeptLay, Stack};
use crate::photo::Photo;
use crate::{Builder, Built, DraftError, PrintSettings, WearerCard, WorkEntry};

/// Only what the maker decided: outlines are never stored.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Garment {
    /// Version of the file's form.
    pub version: u32,
    /// What the maker calls it.
    pub name: String,
    /// The day of the last change, as `2026-11-14`, given by whoever saves it.
    #[serde(default)]
    pub dated: String,
    /// The maker's notes.
    #[serde(default)]
    pub notes: String,
    /// Who it is for.
    pub wearer: WearerCard,
    /// What is done, in order.
    #[serde(default)]
    pub works: Vec<WorkEntry>,
    /// How it is printed.
    #[serde(default)]
    pub print: PrintSettings,
    /// The fabrics, the main one first; without any, plain cloth of the usual width stands in.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cloths: Vec<Cloth>,
    /// Which pieces are cut from other cloths than the first, or in another way.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stacks: Vec<Stack>,
    /// Photos and scans that lie under the pieces.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<Photo>,
    /// How the cloths were laid, one lay for each at most.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lays: Vec<KeptLay>,
}

/// Why a file's text was refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("line {line}, column {column}: {problem}. {remedy}")]
pub struct FileError {
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1.
    pub column: usize,
    /// What is the matter.
    pub problem: String,
    /// One instruction.
    pub remedy: String,
}

/// Reads any of our files: first the version alone, then all of it.
pub(crate) fn read<T: for<'de> Deserialize<'de>>(text: &str, what: &str, newest: u32) -> Result<T, FileError> {
    #[derive(Deserialize)]
    struct Peek {
        version: u32,
    }
    let refuse = |e: &ron::error::SpannedError, remedy: &str| FileError {
        line: e.span.start.line,
        column: e.span.start.col,
        problem: e.code.to_string().trim_end_matches('.').to_owned(),
        remedy: remedy.to_owned(),
    };
    let mend = format!(
        "This is not a whole {what} file, or it has been damaged: open the backup beside it, or mend the line in a text editor. Nothing has been changed."
    );
    // Written by hand, what is given needs no `Some(…)` round it.
    let reader = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    let Peek { version } = reader.from_str(text).map_err(|e| refuse(&e, &mend))?;
    if version == 0 || version > newest {
        let line = text.lines().position(|l| l.contains("version")).unwrap_or(0);
        let column = text.lines().nth(line).and_then(|l| l.find("version")).unwrap_or(0);
        return Err(FileError {
            line: line + 1,
            column: column + 1,
            problem: format!("this {what} file is of version {version}, and this program reads up to version {newest}"),
            remedy: "Open it with a newer Basteline. It was not read further, and nothing has been changed.".into(),
        });
    }
    reader.from_str(text).map_err(|e| refuse(&e, &mend))
}

pub(crate) fn written(value: &impl Serialize) -> String {
    let style = ron::ser::PrettyConfig::new().struct_names(false).new_line("\n");
    // Every type we write is a plain tree of text, numbers, lists and maps, which RON can always express.
    ron::ser::to_string_pretty(value, style).unwrap_or_default() + "\n"
}

impl Garment {
    /// The newest version of the file's form.
    pub const VERSION: u32 = 1;

    /// A garment with no works yet.
    pub fn new(name: impl Into<String>, wearer: WearerCard) -> Self {
        Self {
            version: Self::VERSION,
            name: name.into(),
            dated: String::new(),
            notes: String::new(),
            wearer,
            works: Vec::new(),
            print: PrintSettings::default(),
            cloths: Vec::new(),
            stacks: Vec::new(),
            photos: Vec::new(),
            lays: Vec::new(),
        }
    }

    /// The cloths, or plain cloth when none has been chosen.
    pub fn cloths_or_plain(&self) -> Vec<Cloth> {
        if self.cloths.is_empty() { vec![Cloth::default()] } else { self.cloths.clone() }
    }

    /// Looks for cloths, stacks and lays that make no sense.
    ///
    /// # Errors
    /// Names the first.
    pub fn check_cloths(&self) -> Result<(), DraftError> {
        for (i, cloth) in self.cloths.iter().enumerate() {
            cloth.check()?;
            if self.cloths[..i].iter().any(|c| c.name == cloth.name) {
                return Err(DraftError::new(
                    format!("cloth {}", cloth.name),
                    "has the name of another cloth",
                    "Give each cloth a name of its own.",
                ));
            }
        }
        let cloths = self.cloths_or_plain();
        for (i, stack) in self.stacks.iter().enumerate() {
            stack.check(&cloths)?;
            if self.stacks[..i].iter().any(|s| s.piece == stack.piece) {
                return Err(DraftError::new(stack.piece.to_string(), "has two lists of cloths", "Put all its cloths into one list."));
            }
        }
        for (i, lay) in self.lays.iter().enumerate() {
            lay.check(&cloths)?;
            if self.lays[..i].iter().any(|l| l.cloth == lay.cloth) {
                return Err(DraftError::new(format!("lay of {}", lay.cloth), "is there twice", "Keep one lay for each cloth."));
            }
        }
        Ok(())
    }

    /// Replays the work list for the wearer. Pure and total: the same garment gives the same result, a work that
    /// can't be done is skipped with its reason, and nothing panics. See [`Builder`] to build again and again.
    pub fn build(&self) -> Built {
        Builder::default().build(self)
    }

    /// The same work list on another wearer's card. What can't be done for them is skipped with its reason when it is
    /// built, and stays in the list.
    #[must_use]
    pub fn for_wearer(&self, card: WearerCard) -> Self {
        Self { wearer: card, ..self.clone() }
    }

    /// The garment as the text of its file.
    pub fn to_text(&self) -> String {
        written(self)
    }

    /// Reads a garment file.
    ///
    /// # Errors
    /// It is damaged, not a garment, of a later version, or holds a setting that does not fit; with line and column.
    pub fn from_text(text: &str) -> Result<Self, FileError> {
        let garment: Self = read(text, "garment", Self::VERSION)?;
        for (i, entry) in garment.works.iter().enumerate() {
            if let Err(e) = entry.work.check() {
                let (line, column) = place_of_work(text, i);
                return Err(FileError { line, column, problem: format!("work {}: {}: {}", i + 1, e.place, e.problem), remedy: e.remedy });
            }
        }
        if let Err(e) = garment.check_cloths() {
            let (line, column) =
                place_of(text, text.find("cloths:").or_else(|| text.find("stacks:")).or_else(|| text.find("lays:")).unwrap_or(0));
            return Err(FileError { line, column, problem: format!("{}: {}", e.place, e.problem), remedy: e.remedy });
        }
        Ok(garment)
    }
}

/// Line and column at which the `n`th work begins, found by its field name.
pub(crate) fn place_of_work(text: &str, n: usize) -> (usize, usize) {
    place_of(text, text.match_indices("work:").nth(n).map_or(0, |(i, _)| i))
}

/// Line and column, from 1, of a byte of a text.
fn place_of(text: &str, at: usize) -> (usize, usize) {
    let before = &text[..at];
    (before.matches('\n').count() + 1, before.rsplit('\n').next().map_or(0, |l| l.chars().count()) + 1)
}

/// A wearer card as a file of its own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CardFile {
    version: u32,
    card: WearerCard,
}

impl WearerCard {
    /// The newest version of the card file's form.
    pub const VERSION: u32 = 1;

    /// The card as the text of its file.
    pub fn to_text(&self) -> String {
        written(&CardFile { version: Self::VERSION, card: self.clone() })
    }

    /// Reads a wearer card.
    ///
    /// # Errors
    /// As for [`Garment::from_text`].
    pub fn from_text(text: &str) -> Result<Self, FileError> {
        read::<CardFile>(text, "wearer card", Self::VERSION).map(|f| f.card)
    }
}
