//! `basteline check`

use std::path::PathBuf;

use draft_core::block_book;
use draft_core::take_up::{self, Newer};

use super::block::book;
use super::{Done, Refusal, json};
use crate::files;
use crate::report::CheckReport;

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The garment
    file: PathBuf,
    /// Report as JSON, in millimetres
    #[arg(long)]
    json: bool,
    /// The folder of the block book; without it the one in your data folder
    #[arg(long)]
    book: Option<PathBuf>,
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    let garment = files::load_garment(&args.file)?;
    let mut built = garment.build();
    if !block_book::blocks_of(&garment).is_empty() {
        // A garment that comes from the block book says when the book has moved on; one whose book is elsewhere does not.
        let blocks = book(args.book.as_ref()).and_then(|b| Ok(b.read()?)).map(|shelf| shelf.blocks).unwrap_or_default();
        built.messages.extend(take_up::newer(&garment, &blocks).iter().map(Newer::message));
        built.messages.sort_by_key(|m| std::cmp::Reverse(m.grade));
    }
    let report = if args.json { json(&CheckReport::of(&garment, &built))? } else { CheckReport::text(&garment, &built) };
    Ok(Done::new(report, built.is_ok()))
}
