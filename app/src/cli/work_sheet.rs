//! `basteline worksheet`

use std::path::PathBuf;
use std::time::Duration;

use draft_core::PrintSettings;
use draft_core::print_settings::Paper;
use serde::Serialize;
use tiled_print::lay_plan::LayPlan;
use tiled_print::{WorkSheet, pdf};

use super::lay::kept_or_planned;
use super::{Done, Refusal, json};
use crate::files;
use crate::lay::{ClothLay, Limit};

/// Passes for each lay that the garment does not keep, when neither time nor passes are given.
const PASSES: u64 = 100;

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The garment
    file: PathBuf,
    /// The PDF to write
    #[arg(long)]
    out: PathBuf,
    /// Paper: a4, letter, legal, … or a size such as 210x297mm; the garment's own where none is given
    #[arg(long)]
    paper: Option<String>,
    /// Plan lays that are missing for so many seconds each
    #[arg(long, conflicts_with = "passes")]
    seconds: Option<f64>,
    /// Plan lays that are missing with so many passes each: the same passes give the same lay
    #[arg(long)]
    passes: Option<u64>,
    /// Where chance begins
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Report as JSON
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Report {
    paper: String,
    pages: usize,
    lays: Vec<String>,
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    let garment = files::load_garment(&args.file)?;
    let paper = args.paper.as_deref().map_or(Ok(garment.print.paper), Paper::parse)?;
    let settings = PrintSettings { paper, ..garment.print.clone() };
    let limit = match (args.seconds, args.passes) {
        (Some(seconds), _) if !(0.0..=86_400.0).contains(&seconds) => {
            return Err(Refusal::new("--seconds", format!("{seconds} seconds can't be waited"), "Give a time between 0 and one day."));
        }
        (Some(seconds), _) => Limit::Time(Duration::from_secs_f64(seconds)),
        (None, passes) => Limit::Passes(passes.unwrap_or(PASSES)),
    };
    let built = garment.build();
    if built.draft.pieces.is_empty() {
        return Err(Refusal::new(args.file.display().to_string(), "the garment has no pieces yet", "Draft a block first."));
    }
    let lays = kept_or_planned(&garment, &built, limit, args.seed)?;
    let buying: Vec<_> = lays.iter().map(ClothLay::buy_line).collect();
    let plans: Vec<LayPlan> = lays.iter().flat_map(|l| l.plans(&garment, &built)).map(|(_, plan)| plan).collect();
    let sheet = WorkSheet::of(&garment, &built, &settings, garment.wearer.unit, &buying, &plans)?;
    files::write(&args.out, &pdf::work_sheet(&sheet)?, false)?;
    let sound = built.is_ok() && lays.iter().all(ClothLay::is_whole);
    let report = if args.json {
        let lays = lays.iter().map(|l| l.cloth.name.clone()).collect();
        json(&Report { paper: settings.paper.key(), pages: sheet.pages.len(), lays })?
    } else {
        format!("Wrote {}: {} pages, {} lays.\n", args.out.display(), sheet.pages.len(), plans.len())
    };
    Ok(Done::new(report, sound))
}
