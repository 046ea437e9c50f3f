//! `basteline regrade`

use std::path::PathBuf;

use super::{Done, Refusal, json};
use crate::files;
use crate::report::CheckReport;

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The garment whose work list is done again
    file: PathBuf,
    /// The wearer card of whom it is for now
    #[arg(long)]
    wearer: PathBuf,
    /// What to call the garment; without it the name it has
    #[arg(long)]
    name: Option<String>,
    /// The garment to write; what can't be done for this wearer stays in its list
    #[arg(long)]
    out: PathBuf,
    /// Report the checks as JSON
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    let before = files::load_garment(&args.file)?;
    let card = files::load_wearer(&args.wearer)?;
    let mut garment = before.for_wearer(card);
    if let Some(name) = &args.name {
        garment.name.clone_from(name);
    }
    garment.dated = files::today();
    let built = garment.build();
    files::save_garment(&args.out, &garment)?;
    let report = if args.json {
        json(&CheckReport::of(&garment, &built))?
    } else {
        let skipped = built.outcomes.iter().filter(|o| o.skipped.is_some()).count();
        let done = built.outcomes.iter().filter(|o| o.skipped.is_none() && !o.off).count();
        format!("{}\n{done} works done, {skipped} skipped\nWrote {}\n", CheckReport::text(&garment, &built), args.out.display())
    };
    Ok(Done::new(report, built.is_ok()))
}
