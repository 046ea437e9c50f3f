//! `basteline import`

use std::path::PathBuf;

use draft_core::{Drawn, Garment, Unit, WearerCard, Work};
use tiled_print::read::{self, Read};

use super::{Done, Refusal};
use crate::files;

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The drawing: .svg or .dxf
    file: PathBuf,
    /// What one unit of the drawing measures: mm, cm or in; else as the drawing says
    #[arg(long)]
    unit: Option<String>,
    /// The garment to write
    #[arg(long)]
    out: PathBuf,
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    let unit = args
        .unit
        .as_deref()
        .map(|text| {
            let known = Unit::ALL.into_iter().find(|u| u.sign() == text.trim().to_lowercase());
            known.ok_or_else(|| Refusal::new("--unit", format!("{text:?} is not a unit"), "Use cm, mm or in."))
        })
        .transpose()?;
    let place = args.file.display().to_string();
    let text = files::read_text(&args.file)?;
    let kind = args.file.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    let read: Read = match kind.as_str() {
        "svg" => read::svg::read(&text, unit.map(Unit::in_mm))?,
        "dxf" => read::dxf::read(&text, unit.map(Unit::in_mm))?,
        _ => return Err(Refusal::new(place, format!("a drawing can't be read from {kind:?}"), "Choose an .svg or a .dxf file.")),
    };
    if read.outlines.is_empty() {
        return Err(Refusal::new(place, "holds no closed outline", "Close the outlines of the pieces, and save it again."));
    }
    let name = args.file.file_stem().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let mut garment = Garment::new(name, WearerCard { unit: unit.unwrap_or_default(), ..WearerCard::default() });
    garment.dated = files::today();
    let pieces: Vec<Drawn> = read.outlines.iter().map(|o| Drawn::new(o.name.clone(), &o.path)).collect();
    let work = Work::TakeOver(pieces.into());
    work.check()?;
    garment.works = vec![work.into()];
    let built = garment.build();
    files::save_garment(&args.out, &garment)?;
    let unit = garment.wearer.unit;
    let mut report = String::new();
    for piece in &built.draft.pieces {
        let bounds = piece.bounds();
        report += &format!("  {}: {} by {}\n", piece.name(), unit.rough(bounds.width()), unit.rough(bounds.height()));
    }
    for left in &read.left_out {
        report += &format!("  Not taken over: {left}\n");
    }
    report +=
        &format!("Wrote {}: {} pieces, each cut once. Look whether their sizes are right.\n", args.out.display(), built.draft.pieces.len());
    Ok(Done::new(report, true))
}
