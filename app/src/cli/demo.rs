//! `basteline demo`

use std::path::PathBuf;

use draft_core::cloth::Stretch;
use draft_core::lay::Watch;
use draft_core::{Garment, cut_list, notions, print_settings::Paper, shopping};
use tiled_print::{Sheet, Tiling, WorkSheet, pdf, svg};

use super::lay::draw;
use super::{Done, Refusal, json};
use crate::lay::{Ask, Clock, ClothLay, LayJob, Limit};
use crate::report::CheckReport;
use crate::{demo, files};

/// Passes for each lay of the demo: enough for a good one, and quickly done.
const LAY_PASSES: u64 = 30;

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
    let job = LayJob::of(&garment, &built);
    let idle = std::sync::Arc::new(std::sync::atomic::AtomicBool::new(false));
    let clock = |time, _: &Stretch| Box::new(Clock::new(time, std::sync::Arc::clone(&idle), &|_| {})) as Box<dyn Watch + '_>;
    let mut lays = Vec::new();
    for cloth in &garment.cloths {
        let lay = job.plan(cloth, Ask::shortest(Limit::Passes(LAY_PASSES), 1), &clock)?;
        said += &format!("  {}", lay.text(garment.wearer.unit).trim_start());
        lays.push(lay);
    }
    let buying: Vec<_> = lays.iter().map(ClothLay::buy_line).collect();
    let plans: Vec<_> = lays.iter().flat_map(|l| l.plans(&garment, &built)).map(|(_, plan)| plan).collect();
    let work_sheet = WorkSheet::of(&garment, &built, &garment.print, garment.wearer.unit, &buying, &plans)?;
    files::write(&path("work-sheet.pdf"), &pdf::work_sheet(&work_sheet)?, false)?;
    draw(&args.dir, &garment, &built, &lays)?;
    files::write(&path("cut-list.csv"), cut_list::to_csv(&cut_list::cut_list(&garment, &built).0).as_bytes(), false)?;
    let unit = garment.wearer.unit;
    files::write(&path("what-to-buy.csv"), shopping::to_csv(&buying, unit).as_bytes(), false)?;
    files::write(&path("notions.csv"), notions::to_csv(&notions::notions(&garment, &built, unit), unit).as_bytes(), false)?;
    let report = format!(
        "{}\nWrote wearer.ron, block.ron, garment.ron, check.json, sheet.svg, the pages, the lays (lay-*.svg), what-to-buy.csv, cut-list.csv, notions.csv and work-sheet.pdf into {}\n{said}Print at actual size and measure the test square.\n",
        CheckReport::text(&garment, &built),
        args.dir.display()
    );
    Ok(Done::new(report, built.is_ok()))
}
