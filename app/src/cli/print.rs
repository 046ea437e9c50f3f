//! `basteline print` and `basteline export`

use std::path::PathBuf;

use draft_core::{Length, PrintSettings, Unit, parse_length, print_settings::Paper};
use tiled_print::{Sheet, Tiling, dxf, pdf, svg};

use super::{Done, Refusal, json};
use crate::files;

#[derive(Debug, clap::Args)]
pub struct PrintArgs {
    /// The garment
    file: PathBuf,
    /// The PDF to write
    #[arg(long)]
    out: PathBuf,
    /// Paper: a4, letter, a3, legal, tabloid, a2, a1, a0, or a size such as 914x1200mm
    #[arg(long)]
    paper: Option<String>,
    /// Lay the paper on its long side
    #[arg(long)]
    landscape: bool,
    /// What the printer can't print, on every side
    #[arg(long)]
    margin: Option<String>,
    /// By how much neighbouring pages show the same strip
    #[arg(long)]
    overlap: Option<String>,
    /// What the 100 mm test square measured on paper, across and down: 99.2x100.4
    #[arg(long, value_name = "WxH")]
    measured: Option<String>,
    /// Report the pages as JSON, in millimetres
    #[arg(long)]
    json: bool,
}

#[derive(Debug, clap::Args)]
pub struct ExportArgs {
    /// The garment
    file: PathBuf,
    /// The drawing to write: .svg or .pdf
    #[arg(long)]
    out: PathBuf,
}

fn length(option: &str, text: &str, unit: Unit) -> Result<Length, Refusal> {
    parse_length(text, unit).map(Length::from_mm).map_err(|e| Refusal::new(option, format!("{text:?} {e}"), e.remedy()))
}

impl PrintArgs {
    /// The garment's settings with what the command line says instead.
    fn settings(&self, unit: Unit, mut settings: PrintSettings) -> Result<PrintSettings, Refusal> {
        if let Some(paper) = &self.paper {
            settings.paper = Paper::parse(paper)?;
        }
        settings.landscape |= self.landscape;
        if let Some(margin) = &self.margin {
            settings.margin = length("--margin", margin, unit)?;
        }
        if let Some(overlap) = &self.overlap {
            settings.overlap = length("--overlap", overlap, unit)?;
        }
        if let Some(measured) = &self.measured {
            let (across, down) = measured.split_once(['x', '×']).ok_or_else(|| {
                Refusal::new("--measured", format!("{measured:?} is not two lengths"), "Give both sides of the printed square: 99.2x100.4.")
            })?;
            settings.measured = Some((length("--measured", across, Unit::Mm)?, length("--measured", down, Unit::Mm)?));
        }
        Ok(settings)
    }
}

pub fn print(args: &PrintArgs) -> Result<Done, Refusal> {
    let mut garment = files::load_garment(&args.file)?;
    garment.print = args.settings(garment.wearer.unit, garment.print)?;
    let built = garment.build();
    let sheet = Sheet::of(&garment, &built)?;
    let tiling = Tiling::of(&sheet, &garment.print)?;
    files::write(&args.out, &pdf::pages(&sheet, &tiling)?, false)?;
    let pages = tiling.report();
    let report = if args.json {
        json(&pages)?
    } else {
        format!(
            "Wrote {}: {} pages of {} in {} rows and {} columns, {} blank ones left out. Print at actual size and measure the test square.\n",
            args.out.display(),
            pages.pages.len(),
            pages.paper,
            pages.rows,
            pages.columns,
            pages.blank_left_out
        )
    };
    Ok(Done::new(report, built.is_ok()))
}

pub fn export(args: &ExportArgs) -> Result<Done, Refusal> {
    let garment = files::load_garment(&args.file)?;
    let built = garment.build();
    let sheet = Sheet::of(&garment, &built)?;
    let kind = args.out.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    let bytes = match kind.as_str() {
        "svg" => svg::write(&sheet).into_bytes(),
        "pdf" => pdf::whole(&sheet)?,
        "dxf" => dxf::write(&sheet).into_bytes(),
        _ => {
            return Err(Refusal::new(
                args.out.display().to_string(),
                format!("a drawing can't be written as {kind:?} yet"),
                "Name the file .svg, .pdf or .dxf.",
            ));
        }
    };
    files::write(&args.out, &bytes, false)?;
    Ok(Done::new(format!("Wrote {}: the whole sheet at true scale.\n", args.out.display()), built.is_ok()))
}
