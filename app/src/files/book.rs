//! The block book on disk: a folder of plain files, one for each block and one for each wearer card.
//!
//! Two windows may save at the same time: whoever saves holds a lock while the block on disk is read, compared and
//! written anew, and a newer edition than the one that was started from is never written over. Reading needs no lock,
//! since a file is replaced whole.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use draft_core::block_book::{self, Proposed};
use draft_core::{BookBlock, DraftError, FileError, FromBlock, Garment, WearerCard};

use super::{FileProblem, homes, make_folder, plain_name, read_text, today, write};

/// So long a window waits for another one that is saving.
const PATIENCE: Duration = Duration::from_secs(5);

/// A block book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Book {
    folder: PathBuf,
}

/// What stands in the book.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shelf {
    /// The blocks, by name.
    pub blocks: Vec<BookBlock>,
    /// The wearer cards, by name.
    pub wearers: Vec<WearerCard>,
    /// Files that can't be read; they are left alone.
    pub damaged: Vec<FileProblem>,
}

/// Why a block was not saved. Nothing has been written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotSaved {
    /// The book has an edition that the garment was not made from: both are kept as they are.
    Newer {
        /// Its number.
        edition: u32,
        /// Place, problem and remedy.
        problem: FileProblem,
    },
    /// Anything else.
    Problem(FileProblem),
}

/// A block that was saved.
#[derive(Clone, Debug, PartialEq)]
pub struct Saved {
    /// The block with its new edition.
    pub block: BookBlock,
    /// The garment, its works marked as copies of that edition.
    pub garment: Garment,
    /// Whether the book now holds this wearer card; it does not where another card of that name was changed meanwhile.
    pub has_card: bool,
}

impl NotSaved {
    /// Place, problem and remedy.
    pub const fn problem(&self) -> &FileProblem {
        match self {
            Self::Newer { problem, .. } | Self::Problem(problem) => problem,
        }
    }
}

impl From<FileProblem> for NotSaved {
    fn from(problem: FileProblem) -> Self {
        Self::Problem(problem)
    }
}

impl From<DraftError> for NotSaved {
    fn from(error: DraftError) -> Self {
        Self::Problem(FileProblem::from(error))
    }
}

/// One file of a folder, read or not.
type Leaf<T> = (PathBuf, Result<T, FileProblem>);

impl Book {
    /// The user's own book; `None` where there is no home folder.
    pub fn at_home() -> Option<Self> {
        homes::data().map(Self::at)
    }

    /// A book in a folder of its own.
    pub const fn at(folder: PathBuf) -> Self {
        Self { folder }
    }

    /// Where it is.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Reads all of it.
    ///
    /// # Errors
    /// A folder is there and can't be looked into.
    pub fn read(&self) -> Result<Shelf, FileProblem> {
        let mut shelf = Shelf::default();
        for (_, block) in self.blocks()? {
            block.map_or_else(|damaged| shelf.damaged.push(damaged), |block| shelf.blocks.push(block));
        }
        for (_, card) in self.cards()? {
            card.map_or_else(|damaged| shelf.damaged.push(damaged), |card| shelf.wearers.push(card));
        }
        shelf.blocks.sort_by_key(|b| b.name().to_lowercase());
        shelf.wearers.sort_by_key(|c| c.name.to_lowercase());
        Ok(shelf)
    }

    fn blocks(&self) -> Result<Vec<Leaf<BookBlock>>, FileProblem> {
        leaves(&self.folder.join("blocks"), BookBlock::from_text)
    }

    fn cards(&self) -> Result<Vec<Leaf<WearerCard>>, FileProblem> {
        leaves(&self.folder.join("wearers"), WearerCard::from_text)
    }

    /// Saves what a garment drafts and what was fitted as a block, in its first or its next edition, and the wearer card
    /// beside it. `made_from` is the edition that the maker has seen; see [`block_book::copied_edition`].
    ///
    /// # Errors
    /// The book has another edition than that, nothing is drafted, nothing has changed, another window does not finish
    /// saving, or the folder can't be written to. Nothing has been written then.
    pub fn save(&self, garment: &Garment, name: &str, note: &str, made_from: Option<u32>) -> Result<Saved, NotSaved> {
        let name = name.trim();
        let own = block_book::works_of(garment, name)?;
        let proposed = Proposed { dated: today(), note: note.to_owned(), wearer: garment.wearer.clone(), works: own.works };
        let folder = self.folder.join("blocks");
        let lock = self.lock()?;
        let leaves = self.blocks()?;
        let found = leaves.iter().find_map(|(path, block)| block.as_ref().ok().filter(|b| b.name() == name).map(|b| (path, b)));
        let (path, block) = match found {
            Some((path, block)) => {
                let edition = block.latest().number;
                let next = block.next(made_from, proposed).map_err(|error| {
                    let problem = FileProblem::from(error);
                    if made_from == Some(edition) { NotSaved::Problem(problem) } else { NotSaved::Newer { edition, problem } }
                })?;
                (path.clone(), next)
            }
            None => (free_path(&folder, name, |path| leaves.iter().any(|(p, _)| p == path)), BookBlock::first(name, proposed)?),
        };
        write(&path, block.to_text().as_bytes(), true)?;
        let known: Vec<&WearerCard> = block.editions().map(|e| &e.wearer).collect();
        let has_card = self.keep_card(&garment.wearer, &known)?;
        drop(lock);
        let from = FromBlock { block: name.to_owned(), edition: block.latest().number };
        Ok(Saved { garment: block_book::marked(garment, &own.at, &from), block, has_card })
    }

    /// Keeps a wearer card, unless the book has one of that name which is none of those known.
    fn keep_card(&self, card: &WearerCard, known: &[&WearerCard]) -> Result<bool, FileProblem> {
        let name = card.name.trim();
        if name.is_empty() {
            return Ok(false);
        }
        let leaves = self.cards()?;
        let found = leaves.iter().find_map(|(path, c)| c.as_ref().ok().filter(|c| c.name.trim() == name).map(|c| (path, c)));
        let path = match found {
            Some((_, there)) if there == card => return Ok(true),
            Some((_, there)) if !known.contains(&there) => return Ok(false),
            Some((path, _)) => path.clone(),
            None => free_path(&self.folder.join("wearers"), name, |path| leaves.iter().any(|(p, _)| p == path)),
        };
        write(&path, card.to_text().as_bytes(), true)?;
        Ok(true)
    }

    /// Makes the folders and holds the book for as long as the file lives; the system lets go of it however the program
    /// ends.
    fn lock(&self) -> Result<fs::File, FileProblem> {
        for folder in ["blocks", "wearers"] {
            make_folder(&self.folder.join(folder))?;
        }
        let path = self.folder.join("lock");
        let lock = fs::OpenOptions::new().create(true).truncate(false).write(true).open(&path);
        let lock = lock.map_err(|e| FileProblem::io(&path, "written", &e))?;
        let begun = Instant::now();
        loop {
            match lock.try_lock() {
                Ok(()) => return Ok(lock),
                Err(fs::TryLockError::WouldBlock) if begun.elapsed() < PATIENCE => std::thread::sleep(Duration::from_millis(10)),
                Err(fs::TryLockError::WouldBlock) => {
                    return Err(FileProblem {
                        place: self.folder.display().to_string(),
                        problem: "another window has been saving to the block book for a while".into(),
                        remedy: "Look whether one of them asks something, and save again. Nothing has been written.".into(),
                    });
                }
                Err(fs::TryLockError::Error(e)) => return Err(FileProblem::io(&path, "locked", &e)),
            }
        }
    }
}

/// Reads every `.ron` file of a folder; a folder that is not there is empty.
fn leaves<T>(folder: &Path, read: impl Fn(&str) -> Result<T, FileError>) -> Result<Vec<Leaf<T>>, FileProblem> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => return Err(FileProblem::io(folder, "looked into", &e)),
    };
    let mut paths: Vec<PathBuf> = entries.flatten().map(|e| e.path()).filter(|p| p.extension().is_some_and(|e| e == "ron")).collect();
    paths.retain(|p| p.file_name().is_some_and(|n| !n.to_string_lossy().starts_with('.')));
    paths.sort();
    let one = |path: PathBuf| {
        let text = read_text(&path).and_then(|text| read(&text).map_err(|e| FileProblem::in_text(&path, e)));
        (path, text)
    };
    Ok(paths.into_iter().map(one).collect())
}

/// A file for a name, which no other file has: what can't be read stays where it is.
fn free_path(folder: &Path, name: &str, is_taken: impl Fn(&Path) -> bool) -> PathBuf {
    // File systems take names of up to 255 bytes.
    let stem: String = plain_name(name, "block").chars().take(60).collect();
    let mut path = folder.join(format!("{stem}.ron"));
    let mut n = 2;
    while is_taken(&path) || path.exists() {
        path = folder.join(format!("{stem}-{n}.ron"));
        n += 1;
    }
    path
}
