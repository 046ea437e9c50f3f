//! `basteline block`

use std::path::{Path, PathBuf};

use clap::Subcommand;
use draft_core::block_book::{self, copied_edition};
use draft_core::take_up::{self, TakenUp};
use draft_core::{BookBlock, Difference, Garment, Unit};
use serde::Serialize;

use super::{Done, Refusal, json};
use crate::files::book::{Book, NotSaved, Saved};
use crate::files::{self, FileProblem};
use crate::report::CheckReport;

#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(subcommand)]
    verb: Verb,
    /// The folder of the block book; without it the one in your data folder
    #[arg(long, global = true)]
    book: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Save what a garment drafts, and what was fitted, as a block: its first edition or the next one
    #[command(after_help = "Example: basteline block save gown.ron --name \"Marit, close-fitting\" --note \"after the first fitting\"")]
    Save {
        /// The garment; its works are marked as copies of the new edition
        garment: PathBuf,
        /// What the block is called
        #[arg(long)]
        name: String,
        /// What is to be said of this edition
        #[arg(long, default_value = "")]
        note: String,
        /// Save it after this edition, although the garment was not made from it
        #[arg(long, value_name = "EDITION")]
        after: Option<u32>,
    },
    /// List the blocks and their editions
    #[command(after_help = "Example: basteline block list")]
    List {
        /// Report as JSON
        #[arg(long)]
        json: bool,
    },
    /// Start a garment from the newest edition of one or more blocks
    #[command(after_help = "Example: basteline block start \"Marit, close-fitting\" --name \"The Weathervane\" --out gown.ron")]
    Start {
        /// The blocks, by name
        #[arg(required = true)]
        blocks: Vec<String>,
        /// The wearer card; without it the card for which the blocks were drafted
        #[arg(long)]
        wearer: Option<PathBuf>,
        /// What to call the garment
        #[arg(long)]
        name: Option<String>,
        /// The garment to write
        #[arg(long)]
        out: PathBuf,
        /// Report the checks as JSON
        #[arg(long)]
        json: bool,
    },
    /// Take up the newest editions of the blocks that a garment was made from, and say what changes
    #[command(after_help = "Examples:\n  basteline block take-up gown.ron --only-show\n  basteline block take-up gown.ron")]
    TakeUp {
        /// The garment
        garment: PathBuf,
        /// Show what would change and write nothing
        #[arg(long)]
        only_show: bool,
        /// Where to write it; without it the garment itself, which keeps its version before as a backup
        #[arg(long)]
        out: Option<PathBuf>,
        /// Report as JSON
        #[arg(long)]
        json: bool,
    },
}

/// The book in a folder, or the user's own.
pub fn book(folder: Option<&PathBuf>) -> Result<Book, Refusal> {
    folder
        .cloned()
        .map(Book::at)
        .or_else(Book::at_home)
        .ok_or_else(|| Refusal::new("block book", "there is no home folder for it", "Name a folder with --book, or set XDG_DATA_HOME."))
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    let book = book(args.book.as_ref())?;
    match &args.verb {
        Verb::Save { garment, name, note, after } => save(&book, garment, name, note, *after),
        Verb::List { json } => list(&book, *json),
        Verb::Start { blocks, wearer, name, out, json } => start(&book, blocks, wearer.as_ref(), name.as_deref(), out, *json),
        Verb::TakeUp { garment, only_show, out, json } => {
            let out = out.as_ref().unwrap_or(garment);
            take_up_newest(&book, garment, (!only_show).then_some(out), *json)
        }
    }
}

fn save(book: &Book, file: &Path, name: &str, note: &str, after: Option<u32>) -> Result<Done, Refusal> {
    let garment = files::load_garment(file)?;
    let made_from = after.or_else(|| copied_edition(&garment, name.trim()));
    let Saved { block, garment, has_card } = book.save(&garment, name, note, made_from).map_err(|refused| match refused {
        NotSaved::Newer { edition, problem } => {
            Refusal::new(problem.place, problem.problem, format!("{} To save yours after it, say --after {edition}.", problem.remedy))
        }
        NotSaved::Problem(problem) => Refusal::from(problem),
    })?;
    files::save_garment(file, &garment)?;
    let latest = block.latest();
    let mut report = format!("Saved {} as edition {} into {}\n", block.name(), latest.number, book.folder().display());
    for entry in &latest.works {
        report += &format!("  {}{}\n", entry.work.what(), if entry.on { "" } else { " (off)" });
    }
    if !has_card && !garment.wearer.name.trim().is_empty() {
        report += &format!(
            "The book's wearer card of {} is another one and was left as it is; the edition holds the card that you used.\n",
            garment.wearer.name
        );
    }
    report += &format!("{} now says that it comes from this edition\n", file.display());
    Ok(Done::new(report, true))
}

#[derive(Serialize)]
struct BlockReport {
    name: String,
    wearer: String,
    edition: u32,
    works: Vec<String>,
    editions: Vec<EditionReport>,
}

#[derive(Serialize)]
struct EditionReport {
    number: u32,
    dated: String,
    note: String,
}

#[derive(Serialize)]
struct ShelfReport {
    blocks: Vec<BlockReport>,
    wearers: Vec<String>,
    damaged: Vec<ProblemReport>,
}

#[derive(Serialize)]
struct ProblemReport {
    place: String,
    problem: String,
    remedy: String,
}

impl BlockReport {
    fn of(block: &BookBlock) -> Self {
        let latest = block.latest();
        Self {
            name: block.name().to_owned(),
            wearer: latest.wearer.name.clone(),
            edition: latest.number,
            works: latest.works.iter().map(|e| e.work.what()).collect(),
            editions: block.editions().map(|e| EditionReport { number: e.number, dated: e.dated.clone(), note: e.note.clone() }).collect(),
        }
    }
}

fn list(book: &Book, as_json: bool) -> Result<Done, Refusal> {
    let shelf = book.read()?;
    let sound = shelf.damaged.is_empty();
    if as_json {
        let damaged = shelf.damaged.into_iter().map(|FileProblem { place, problem, remedy }| ProblemReport { place, problem, remedy });
        let report = ShelfReport {
            blocks: shelf.blocks.iter().map(BlockReport::of).collect(),
            wearers: shelf.wearers.into_iter().map(|c| c.name).collect(),
            damaged: damaged.collect(),
        };
        return Ok(Done::new(json(&report)?, sound));
    }
    let mut out = format!("Block book in {}\n", book.folder().display());
    if shelf.blocks.is_empty() {
        out += "  No blocks yet: save one with basteline block save.\n";
    }
    for block in &shelf.blocks {
        out += &format!("\n{}, for {}\n", block.name(), block.latest().wearer.name);
        for edition in block.editions() {
            let works: Vec<String> = edition.works.iter().map(|e| e.work.what()).collect();
            out += &format!("  edition {}{}: {}\n", edition.number, edition.said(), works.join("; "));
        }
    }
    for problem in &shelf.damaged {
        out += &format!("\nLeft alone: {problem}\n");
    }
    Ok(Done::new(out, sound))
}

fn start(book: &Book, names: &[String], wearer: Option<&PathBuf>, name: Option<&str>, out: &Path, as_json: bool) -> Result<Done, Refusal> {
    let shelf = book.read()?;
    let mut blocks = Vec::new();
    for name in names {
        let wanted = name.trim().to_lowercase();
        let block = shelf.blocks.iter().find(|b| b.name().to_lowercase() == wanted).ok_or_else(|| {
            let known: Vec<&str> = shelf.blocks.iter().map(BookBlock::name).collect();
            let remedy = if known.is_empty() {
                "The book holds no blocks yet: save one with basteline block save.".to_owned()
            } else {
                format!("Use one of: {}.", known.join("; "))
            };
            Refusal::new("block book", format!("has no block named {name:?}"), remedy)
        })?;
        blocks.push(block);
    }
    let wearer = wearer.map(|file| files::load_wearer(file)).transpose()?;
    let mut garment = block_book::start(name.unwrap_or_default(), wearer, &blocks)?;
    if name.is_none() {
        garment.name = format!("Garment for {}", garment.wearer.name);
    }
    garment.dated = files::today();
    let built = garment.build();
    files::save_garment(out, &garment)?;
    let report = if as_json {
        json(&CheckReport::of(&garment, &built))?
    } else {
        format!("{}\nWrote {}\n", CheckReport::text(&garment, &built), out.display())
    };
    Ok(Done::new(report, built.is_ok()))
}

#[derive(Serialize)]
struct TakenUpReport {
    blocks: Vec<TakenReport>,
    kept: Vec<String>,
    difference: Difference,
    file: Option<String>,
}

#[derive(Serialize)]
struct TakenReport {
    block: String,
    from: u32,
    to: u32,
    note: String,
}

fn take_up_newest(book: &Book, file: &Path, out: Option<&PathBuf>, as_json: bool) -> Result<Done, Refusal> {
    let garment = files::load_garment(file)?;
    let shelf = book.read()?;
    let TakenUp { garment: mut after, difference, kept } = take_up::take_up(&garment, &shelf.blocks)?;
    let blocks: Vec<TakenReport> = take_up::newer(&garment, &shelf.blocks)
        .iter()
        .map(|n| TakenReport {
            block: n.block.name().to_owned(),
            from: n.copied,
            to: n.block.latest().number,
            note: n.block.latest().note.clone(),
        })
        .collect();
    if let Some(out) = out {
        after.dated = files::today();
        files::save_garment(out, &after)?;
    }
    let sound = after.build().is_ok();
    if as_json {
        let report = TakenUpReport { blocks, kept, difference, file: out.map(|f| f.display().to_string()) };
        return Ok(Done::new(json(&report)?, sound));
    }
    let mut text = String::new();
    for taken in &blocks {
        let note = if taken.note.is_empty() { String::new() } else { format!(": {}", taken.note) };
        text += &format!("{}: edition {} in the place of edition {}{note}\n", taken.block, taken.to, taken.from);
    }
    text += &told(&garment, &difference, &kept);
    text += &out.map_or_else(|| "Nothing was written.\n".to_owned(), |out| format!("Wrote {}\n", out.display()));
    Ok(Done::new(text, sound))
}

/// Before and after, for people.
fn told(garment: &Garment, difference: &Difference, kept: &[String]) -> String {
    let unit: Unit = garment.wearer.unit;
    let mut text = format!("\n{:<44}{:>12}{:>12}{:>12}\n", "", "before", "after", "change");
    for (title, list) in [("Girths", &difference.girths), ("Edges", &difference.edges)] {
        if list.is_empty() {
            continue;
        }
        text += &format!("{title}\n");
        for c in list {
            text += &format!("  {:<42}{:>12}{:>12}{:>12}\n", c.what, unit.text(c.before_mm), unit.text(c.after_mm), c.by(unit));
        }
    }
    for (words, names) in [("New pieces", &difference.new_pieces), ("Pieces that are gone", &difference.gone_pieces)] {
        if !names.is_empty() {
            text += &format!("{words}: {}\n", names.join(", "));
        }
    }
    if difference.is_nothing() {
        text += "  No girth, edge or piece changes.\n";
    }
    for m in &difference.new_messages {
        text += &format!("Look again: {}: {}. {}\n", m.place, m.problem, m.remedy);
    }
    for line in kept {
        text += &format!("Kept: {line}\n");
    }
    text
}
