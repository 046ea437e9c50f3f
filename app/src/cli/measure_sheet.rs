//! `basteline measure-sheet`

use std::path::PathBuf;

use draft_core::print_settings::Paper;
use draft_core::{Measurement, PrintSettings, Unit, WearerCard};
use serde::Serialize;
use tiled_print::{MeasureSheet, pdf};

use super::draft::blocks_named;
use super::{Done, Refusal, json, unit_named};
use crate::files;

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The wearer card: what stands on it is printed, and what it lets expect; without it the sheet is for anyone
    #[arg(long)]
    wearer: Option<PathBuf>,
    /// Only what these blocks are drafted from: bodice, skirt, sleeve, …; without it every measurement
    #[arg(long, value_delimiter = ',')]
    block: Vec<String>,
    /// The PDF to write
    #[arg(long)]
    out: PathBuf,
    /// Paper: a4, letter, legal, … or a size such as 210x297mm
    #[arg(long, default_value = "a4")]
    paper: String,
    /// The unit of the numbers: cm, mm or in; the card's own where none is given
    #[arg(long)]
    unit: Option<String>,
    /// Report as JSON
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Report {
    paper: String,
    pages: usize,
    measurements: Vec<&'static str>,
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    let card = args.wearer.as_deref().map_or_else(|| Ok(WearerCard::default()), files::load_wearer)?;
    let unit: Unit = args.unit.as_deref().map_or(Ok(card.unit), unit_named)?;
    let blocks = blocks_named(&args.block)?;
    let wanted: Vec<Measurement> = blocks.iter().flat_map(|(block, _)| block.measurements()).copied().collect();
    let wanted = if blocks.is_empty() { Measurement::ALL } else { wanted.as_slice() };
    let settings = PrintSettings { paper: Paper::parse(&args.paper)?, ..PrintSettings::default() };
    let sheet = MeasureSheet::of(&card, wanted, &settings, unit)?;
    files::write(&args.out, &pdf::measure_sheet(&sheet)?, false)?;
    let report = if args.json {
        json(&Report {
            paper: settings.paper.key(),
            pages: sheet.pages.len(),
            measurements: sheet.measurements.iter().map(|m| m.key()).collect(),
        })?
    } else {
        let pages = if sheet.pages.len() == 1 { "1 page".to_owned() } else { format!("{} pages", sheet.pages.len()) };
        format!("Wrote {}: {} measurements on {pages}.\n", args.out.display(), sheet.measurements.len())
    };
    Ok(Done::new(report, true))
}
