//! `basteline demo`

use std::path::PathBuf;

use draft_core::{Garment, print_settings::Paper};
use tiled_print::{Sheet, Tiling, pdf, svg};

use super::{Done, Refusal, json};
use crate::report::CheckReport;
use crate::{demo, files};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The folder to write into; made if it is not there
    dir: PathBuf,
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    let (card, block, garment) = demo::read().map_err(|e| Refusal::new("demo", e.to_string(), "Install the program again."))?;
    files::make_folder(&args.dir)?;
    let path = |name: &str| args.dir.join(name);
    files::save_wearer(&path("wearer.ron"), &card)?;
    files::save_garment(&path("block.ron"), &block)?;
    files::save_garment(&path("garment.ron"), &garment)?;

    let built = garment.build();
    files::write(&path("check.json"), json(&CheckReport::of(&garment, &built))?.as_bytes(), false)?;
    let sheet = Sheet::of(&garment, &built)?;
    files::write(&path("sheet.svg"), svg::write(&sheet).as_bytes(), false)?;
    let mut said = String::new();
    for (name, paper) in [("pages-a4.pdf", Paper::A4), ("pages-letter.pdf", Paper::Letter)] {
        // Pieces are placed with the page in mind, so each paper has its own sheet.
        let garment = Garment { print: draft_core::PrintSettings { paper, ..garment.print.clone() }, ..garment.clone() };
        let sheet = Sheet::of(&garment, &built)?;
        let tiling = Tiling::of(&sheet, &garment.print)?;
        files::write(&path(name), &pdf::pages(&sheet, &tiling)?, false)?;
        said += &format!("  {name}: {} pages\n", tiling.report().pages.len());
    }
    let report = format!(
        "{}\nWrote wearer.ron, block.ron, garment.ron, check.json, sheet.svg and the pages into {}\n{said}Print at actual size and measure the test square.\n",
        CheckReport::text(&garment, &built),
        args.dir.display()
    );
    Ok(Done::new(report, built.is_ok()))
}
