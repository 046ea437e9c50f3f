//! Blocks of the block book: what one wearer's pattern is drafted and fitted from, edition after edition.
//!
//! A block holds drafts, what was pinned at fittings, and changed measurements; never a style. An edition is never
//! written over: a changed block is the next one.

use serde::{Deserialize, Serialize};

use crate::garment::{place_of_work, read, written};
use crate::{Alteration, Block, Builder, DraftError, FileError, FromBlock, Garment, WearerCard, Work, WorkEntry};

/// A block as it was at one time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Edition {
    /// From 1, one more each time.
    pub number: u32,
    /// The day, as `2026-11-14`.
    #[serde(default)]
    pub dated: String,
    /// What the maker says of it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// Whom it was drafted for, as they measured then.
    pub wearer: WearerCard,
    /// Drafts and fittings, in order.
    pub works: Vec<WorkEntry>,
}

/// A block with its history.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BookBlock {
    version: u32,
    name: String,
    /// The newest edition.
    now: Edition,
    /// Those before it, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    earlier: Vec<Edition>,
}

/// What is to become an edition.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposed {
    /// The day, as `2026-11-14`.
    pub dated: String,
    /// What the maker says of it.
    pub note: String,
    /// Whom it is for.
    pub wearer: WearerCard,
    /// Drafts and fittings, in order.
    pub works: Vec<WorkEntry>,
}

/// The works of a garment that belong to a block.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockWorks {
    /// The works, as the block keeps them.
    pub works: Vec<WorkEntry>,
    /// Where each stands in the garment's list.
    pub at: Vec<usize>,
}

/// Whether a work belongs to a block rather than to a style made from it.
pub const fn is_of_a_block(work: &Work) -> bool {
    match work {
        Work::Draft { .. } | Work::Fit(_) | Work::TakeOver(_) => true,
        Work::Alter(alteration) => matches!(**alteration, Alteration::Adjust(_)),
    }
}

impl BookBlock {
    /// The newest version of the file's form.
    pub const VERSION: u32 = 1;

    /// A block in its first edition.
    ///
    /// # Errors
    /// It has no name, or no block is drafted.
    pub fn first(name: &str, proposed: Proposed) -> Result<Self, DraftError> {
        let name = name.trim();
        if name.is_empty() {
            return Err(DraftError::new("block", "has no name", "Give it one, such as the wearer's name and what it is for."));
        }
        let edition = proposed.edition(name, 1)?;
        Ok(Self { version: Self::VERSION, name: name.to_owned(), now: edition, earlier: Vec::new() })
    }

    /// The block with one more edition, made from the one with this number.
    ///
    /// # Errors
    /// There is a newer edition than the one that it was made from, nothing is drafted, or it is the same as the latest.
    pub fn next(&self, made_from: Option<u32>, proposed: Proposed) -> Result<Self, DraftError> {
        let latest = self.latest();
        if made_from != Some(latest.number) {
            let comes_from = match made_from {
                Some(number) => format!("what is to be saved was made from edition {number}"),
                None => "what is to be saved does not come from it".to_owned(),
            };
            return Err(DraftError::new(
                self.name.as_str(),
                format!("the block book has edition {} of it{}, and {comes_from}", latest.number, latest.said()),
                format!(
                    "Nothing has been written; both are kept as they are. Take up edition {} first, save yours as the edition after it, or give \
                     yours another name.",
                    latest.number
                ),
            ));
        }
        let next = latest
            .number
            .checked_add(1)
            .ok_or_else(|| DraftError::new(self.name.as_str(), "can't have another edition", "Save it under another name."))?;
        let edition = proposed.edition(&self.name, next)?;
        if edition.works == latest.works && edition.wearer == latest.wearer {
            return Err(DraftError::new(
                self.name.as_str(),
                format!("is the same as edition {} in the block book", latest.number),
                "There is nothing to save; change the block or record a fitting first.",
            ));
        }
        let mut earlier = self.earlier.clone();
        earlier.push(latest.clone());
        Ok(Self { now: edition, earlier, ..self.clone() })
    }

    /// What it is called; no two blocks of a book have the same name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Every edition, oldest first.
    pub fn editions(&self) -> impl Iterator<Item = &Edition> {
        self.earlier.iter().chain([&self.now])
    }

    /// The edition of this number.
    pub fn edition(&self, number: u32) -> Option<&Edition> {
        self.editions().find(|e| e.number == number)
    }

    /// The newest edition.
    pub const fn latest(&self) -> &Edition {
        &self.now
    }

    /// The block as the text of its file.
    pub fn to_text(&self) -> String {
        written(self)
    }

    /// Reads a block.
    ///
    /// # Errors
    /// It is damaged, not a block, of a later version, without a name, has editions out of order, or holds a setting that
    /// does not fit; with line and column.
    pub fn from_text(text: &str) -> Result<Self, FileError> {
        let block: Self = read(text, "block", Self::VERSION)?;
        let refuse =
            |(line, column): (usize, usize), problem: String, remedy: &str| FileError { line, column, problem, remedy: remedy.to_owned() };
        if block.name.trim().is_empty() {
            return Err(refuse((1, 1), "the block has no name".into(), "Give it one in a text editor."));
        }
        let numbers: Vec<u32> = block.editions().map(|e| e.number).collect();
        if let Some(pair) = numbers.windows(2).find(|pair| pair[1] <= pair[0]) {
            let problem = format!("edition {} comes after edition {}", pair[1], pair[0]);
            return Err(refuse((1, 1), problem, "Number the editions upward, oldest first."));
        }
        let in_file = [&block.now].into_iter().chain(&block.earlier);
        for (i, entry) in in_file.flat_map(|e| &e.works).enumerate() {
            if let Err(e) = entry.work.check() {
                let problem = format!("work {}: {}: {}", i + 1, e.place, e.problem);
                return Err(refuse(place_of_work(text, i), problem, &e.remedy));
            }
        }
        Ok(block)
    }
}

impl Edition {
    /// ` of 2026-11-14 (after the first fitting)`, as far as there is something to say.
    pub fn said(&self) -> String {
        let dated = if self.dated.is_empty() { String::new() } else { format!(" of {}", self.dated) };
        if self.note.is_empty() { dated } else { format!("{dated} ({})", self.note) }
    }
}

impl Proposed {
    fn edition(self, name: &str, number: u32) -> Result<Edition, DraftError> {
        if !self.works.iter().any(|e| matches!(e.work, Work::Draft { .. })) {
            return Err(DraftError::new(name, "drafts no block", "Draft a block first."));
        }
        let works = self.works.into_iter().map(|entry| WorkEntry { from: None, ..entry }).collect();
        Ok(Edition { number, dated: self.dated, note: self.note.trim().to_owned(), wearer: self.wearer, works })
    }
}

/// The works of a garment that are saved under the name of a block: drafts, fittings and changed measurements, but no
/// style, and nothing that was copied from another block.
///
/// # Errors
/// A fitting concerns pieces of this block and of another one too.
pub fn works_of(garment: &Garment, block: &str) -> Result<BlockWorks, DraftError> {
    let of_another = |entry: &WorkEntry| entry.from.as_ref().is_some_and(|f| f.block != block);
    let is_mixed = garment.works.iter().any(of_another);
    let mut found = BlockWorks { works: Vec::new(), at: Vec::new() };
    let mut part = Garment { works: Vec::new(), ..garment.clone() };
    let mut builder = Builder::default();
    for (i, entry) in garment.works.iter().enumerate() {
        if !is_of_a_block(&entry.work) || of_another(entry) {
            continue;
        }
        if let (true, None, Work::Fit(fitting)) = (is_mixed, &entry.from, &entry.work) {
            part.works.clone_from(&found.works);
            let refused = fitting.tried(&builder.build(&part).draft).1.len();
            if refused > 0 && refused == fitting.changes.len() {
                continue;
            }
            if refused > 0 {
                return Err(DraftError::new(
                    fitting.what(),
                    format!("{refused} of its changes concern pieces that are not drafted by {block}"),
                    "Record what was pinned on each block as a fitting of its own.",
                ));
            }
        }
        found.works.push(WorkEntry { from: None, ..entry.clone() });
        found.at.push(i);
    }
    Ok(found)
}

/// The edition of a block that a garment was made from; `None` where it was not.
pub fn copied_edition(garment: &Garment, block: &str) -> Option<u32> {
    garment.works.iter().filter_map(|e| e.from.as_ref()).filter(|f| f.block == block).map(|f| f.edition).min()
}

/// The blocks that a garment was made from, in the order in which they come in its work list.
pub fn blocks_of(garment: &Garment) -> Vec<&str> {
    let mut names: Vec<&str> = Vec::new();
    for from in garment.works.iter().filter_map(|e| e.from.as_ref()) {
        if !names.contains(&from.block.as_str()) {
            names.push(&from.block);
        }
    }
    names
}

/// The garment with these of its works marked as copies of an edition: they have just been saved as it.
#[must_use]
pub fn marked(garment: &Garment, at: &[usize], from: &FromBlock) -> Garment {
    let mut marked = garment.clone();
    for (i, entry) in marked.works.iter_mut().enumerate() {
        if at.contains(&i) {
            entry.from = Some(from.clone());
        }
    }
    marked
}

/// A garment that starts from the newest editions of one or more blocks, for the wearer given or the one for whom they
/// were drafted.
///
/// # Errors
/// No block is given, two of them draft the same, or they are for different wearers and none is given.
pub fn start(name: &str, wearer: Option<WearerCard>, blocks: &[&BookBlock]) -> Result<Garment, DraftError> {
    let Some(first) = blocks.first() else {
        return Err(DraftError::new("garment", "starts from no block", "Choose one or more blocks of the block book."));
    };
    let wearer = match wearer {
        Some(card) => card,
        None => {
            let card = &first.latest().wearer;
            if let Some(other) = blocks.iter().find(|b| !b.latest().wearer.reads_as(card)) {
                return Err(DraftError::new(
                    other.name(),
                    format!("was drafted from another wearer card than {}", first.name()),
                    "Say for which wearer the garment is.",
                ));
            }
            card.clone()
        }
    };
    // Each draft with what follows it until the next; sorted into the order in which blocks are drafted.
    let mut groups: Vec<(usize, Vec<WorkEntry>)> = Vec::new();
    let mut drafted: Vec<(Block, &str)> = Vec::new();
    for block in blocks {
        let from = FromBlock { block: block.name().to_owned(), edition: block.latest().number };
        let mut begun = false;
        for entry in &block.latest().works {
            let entry = WorkEntry { from: Some(from.clone()), ..entry.clone() };
            match entry.work.block() {
                Some(own) => {
                    if let Some((_, other)) = drafted.iter().find(|(b, of)| *b == own && *of != block.name()) {
                        return Err(DraftError::new(
                            block.name(),
                            format!("drafts the {}, and so does {other}", own.name()),
                            "Choose one of the two.",
                        ));
                    }
                    drafted.push((own, block.name()));
                    groups.push((rank(own), vec![entry]));
                }
                None if begun => {
                    if let Some((_, group)) = groups.last_mut() {
                        group.push(entry);
                    }
                }
                None => groups.push((0, vec![entry])),
            }
            begun = true;
        }
    }
    // A single block keeps the order in which it was saved.
    if blocks.len() > 1 {
        groups.sort_by_key(|(rank, _)| *rank);
    }
    let mut garment = Garment::new(name, wearer);
    garment.works = groups.into_iter().flat_map(|(_, group)| group).collect();
    Ok(garment)
}

fn rank(block: Block) -> usize {
    1 + Block::ALL.iter().position(|b| *b == block).unwrap_or(Block::ALL.len())
}
