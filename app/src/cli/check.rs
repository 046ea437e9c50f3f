//! `basteline check`

use std::path::PathBuf;

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
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    let garment = files::load_garment(&args.file)?;
    let built = garment.build();
    let report = if args.json { json(&CheckReport::of(&garment, &built))? } else { CheckReport::text(&garment, &built) };
    Ok(Done::new(report, built.is_ok()))
}
