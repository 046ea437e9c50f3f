//! A garment takes up a newer edition of the block that it was made from.

use crate::block_book::{blocks_of, copied_edition};
use crate::{BookBlock, Difference, DraftError, FromBlock, Garment, Grade, Message, Settings, Work, WorkEntry};

/// A block of which the book has a newer edition than the garment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Newer<'a> {
    /// The block.
    pub block: &'a BookBlock,
    /// The edition that the garment was made from.
    pub copied: u32,
}

/// What taking up newer editions does.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenUp {
    /// The garment afterwards.
    pub garment: Garment,
    /// What changes on the pieces.
    pub difference: Difference,
    /// What the maker had changed on the copy, and what stays so.
    pub kept: Vec<String>,
}

/// The blocks of which there is a newer edition than the one that the garment was made from.
pub fn newer<'a>(garment: &Garment, blocks: &'a [BookBlock]) -> Vec<Newer<'a>> {
    blocks_of(garment)
        .into_iter()
        .filter_map(|name| {
            let block = blocks.iter().find(|b| b.name() == name)?;
            let copied = copied_edition(garment, name)?;
            (block.latest().number > copied).then_some(Newer { block, copied })
        })
        .collect()
}

impl Newer<'_> {
    /// What the maker is told.
    pub fn message(&self) -> Message {
        let latest = self.block.latest();
        Message::new(
            Grade::Warning,
            format!("block {}", self.block.name()),
            format!(
                "the block book has edition {} of it{}, and this garment was made from edition {}",
                latest.number,
                latest.said(),
                self.copied
            ),
            format!("See what edition {} changes and take it up, or leave the garment as it is.", latest.number),
        )
    }
}

/// The garment with the newest editions of its blocks in the place of the copies; what else was done to it stays, after
/// the blocks that it followed. What the maker had changed on a copy — a setting, a switch, a note — stays too, and
/// what was taken out stays out. Where the card is still the block's own, the newer edition's card comes with it.
///
/// # Errors
/// No block has a newer edition.
pub fn take_up(garment: &Garment, blocks: &[BookBlock]) -> Result<TakenUp, DraftError> {
    let list = newer(garment, blocks);
    if list.is_empty() {
        return Err(DraftError::new(
            garment.name.as_str(),
            "is made from the newest editions already, or from no block of the block book",
            "There is nothing to take up.",
        ));
    }
    let mut after = garment.clone();
    let mut kept = Vec::new();
    for Newer { block, copied } in list {
        let latest = block.latest();
        if let Some(was) = block.edition(copied)
            && garment.wearer.reads_as(&was.wearer)
            && !latest.wearer.reads_as(&was.wearer)
        {
            after.wearer = latest.wearer.clone();
        }
        after.works = with_edition(&after.works, block, &mut kept);
    }
    let difference = Difference::between(&garment.build(), &after.build());
    Ok(TakenUp { garment: after, difference, kept })
}

/// An entry of the newer edition that goes into the list, and where its older copy stood.
struct Fresh {
    entry: WorkEntry,
    stood_at: Option<usize>,
}

fn with_edition(works: &[WorkEntry], block: &BookBlock, kept: &mut Vec<String>) -> Vec<WorkEntry> {
    let latest = block.latest();
    let is_copy = |e: &WorkEntry| e.from.as_ref().filter(|f| f.block == block.name()).map(|f| f.edition);
    let copies: Vec<usize> = (0..works.len()).filter(|&i| is_copy(&works[i]).is_some()).collect();
    let base = copies.iter().filter_map(|&i| is_copy(&works[i])).min().and_then(|n| block.edition(n));
    let base: &[WorkEntry] = base.map_or(&[], |e| &e.works);
    let from = Some(FromBlock { block: block.name().to_owned(), edition: latest.number });

    // Each copy with what it was copied from.
    let mut free: Vec<usize> = (0..base.len()).collect();
    let origin: Vec<(usize, Option<usize>)> = copies.iter().map(|&i| (i, claim(&mut free, base, &works[i].work))).collect();
    let taken_out = free;
    let mut left = origin;
    let mut gone: Vec<usize> = taken_out;
    let mut fresh: Vec<Fresh> = Vec::new();
    for newest in &latest.works {
        let same = |work: &Work| alike(work, &newest.work);
        if let Some(k) = left.iter().position(|(i, _)| same(&works[*i].work)) {
            let (i, o) = left.remove(k);
            let mut entry = o.map_or_else(|| newest.clone(), |o| merged(&base[o], &works[i], newest, kept));
            entry.from.clone_from(&from);
            fresh.push(Fresh { entry, stood_at: Some(i) });
        } else if let Some(k) = gone.iter().position(|&o| same(&base[o].work)) {
            gone.remove(k);
            kept.push(format!("{}: stays taken out", newest.work.what()));
        } else {
            fresh.push(Fresh { entry: WorkEntry { from: from.clone(), ..newest.clone() }, stood_at: None });
        }
    }
    // What the block no longer has goes with it, unless the maker has made it their own.
    let mut own: Vec<usize> = (0..works.len()).filter(|i| !copies.contains(i)).collect();
    for (i, o) in left {
        let changed = o.is_none_or(|o| base[o].work != works[i].work || base[o].on != works[i].on || base[o].note != works[i].note);
        if changed {
            kept.push(format!("{}: stays, although the block no longer has it", works[i].work.what()));
            own.push(i);
        }
    }
    own.sort_unstable();

    let mut result: Vec<WorkEntry> = Vec::with_capacity(works.len() + latest.works.len());
    let mut own = own.into_iter().peekable();
    let plain = |i: usize| WorkEntry { from: works[i].from.clone().filter(|f| f.block != block.name()), ..works[i].clone() };
    for Fresh { entry, stood_at } in fresh {
        if let Some(at) = stood_at {
            while let Some(i) = own.next_if(|&i| i < at) {
                result.push(plain(i));
            }
        }
        result.push(entry);
    }
    result.extend(own.map(plain));
    result
}

/// Takes the first that is alike out of the list of those still free.
fn claim(free: &mut Vec<usize>, base: &[WorkEntry], work: &Work) -> Option<usize> {
    let exactly = free.iter().position(|&o| base[o].work == *work);
    let k = exactly.or_else(|| free.iter().position(|&o| alike(&base[o].work, work)))?;
    Some(free.remove(k))
}

/// Whether two works are the same thing, perhaps in another state.
fn alike(a: &Work, b: &Work) -> bool {
    match (a, b) {
        (Work::Draft { block: a, .. }, Work::Draft { block: b, .. }) => a == b,
        (Work::Fit(a), Work::Fit(b)) => a.day == b.day && a.by == b.by,
        _ => a == b,
    }
}

/// The newest state of a work, with what the maker changed on the copy of the old one.
fn merged(old: &WorkEntry, copy: &WorkEntry, newest: &WorkEntry, kept: &mut Vec<String>) -> WorkEntry {
    let mut entry = newest.clone();
    let what = newest.work.what();
    if copy.work != old.work {
        match (&old.work, &copy.work, &mut entry.work) {
            (Work::Draft { settings: o, .. }, Work::Draft { settings: c, .. }, Work::Draft { block, settings: n }) => {
                let (settings, stayed) = Settings::merged(o, c, n);
                *n = settings;
                kept.extend(stayed.into_iter().map(|key| {
                    let label = block.settings().iter().find(|s| s.key == key).map_or(key.clone(), |s| s.label.to_lowercase());
                    format!("{what}: {label} stays as it was set on this garment")
                }));
            }
            _ if copy.work != newest.work => {
                entry.work = copy.work.clone();
                kept.push(format!("{what}: stays as it was changed on this garment"));
            }
            _ => {}
        }
    }
    if copy.on != old.on && copy.on != newest.on {
        entry.on = copy.on;
        kept.push(format!("{what}: stays switched {}", if copy.on { "on" } else { "off" }));
    }
    if copy.note != old.note {
        entry.note.clone_from(&copy.note);
    }
    entry
}
