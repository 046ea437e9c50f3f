//! `basteline cast`

use std::io::IsTerminal as _;
use std::path::PathBuf;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use serde::Serialize;

use super::{Done, Refusal, unit_named};
use crate::cast::{Cast, Drafted, file_stem};
use crate::cli::draft::{blocks_named, set};
use crate::files;
use crate::report::CheckReport;

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The table of wearers: its first line names the columns after the measurements
    table: PathBuf,
    /// The blocks, in order: bodice, skirt, sleeve, …
    #[arg(long, value_delimiter = ',', default_values_t = ["bodice".to_owned(), "skirt".to_owned(), "sleeve".to_owned()])]
    block: Vec<String>,
    /// A setting, for every block that has it, or for one: bust-ease=5cm, skirt.gores=8
    #[arg(long = "set", value_name = "NAME=VALUE")]
    set: Vec<String>,
    /// The unit of columns that name none: cm, mm or in
    #[arg(long, default_value = "cm")]
    unit: String,
    /// The folder to write a garment for each wearer into; made if it is not there
    #[arg(long)]
    out: PathBuf,
    /// Report as JSON, one object a line
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Line<'a> {
    row: usize,
    name: &'a str,
    ok: bool,
    file: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    problem: Option<String>,
    check: Option<CheckReport>,
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    let unit = unit_named(&args.unit)?;
    let mut blocks = blocks_named(&args.block)?;
    set(&mut blocks, &args.set, unit)?;
    let cast = Cast::read(&files::read_text(&args.table)?, unit, &args.table.display().to_string())?;
    files::make_folder(&args.out)?;

    let target = if std::io::stderr().is_terminal() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let bar = ProgressBar::with_draw_target(Some(cast.rows.len() as u64), target);
    if let Ok(style) = ProgressStyle::with_template("{bar:40} {pos} of {len} wearers") {
        bar.set_style(style);
    }
    let drafted = cast.draft(&blocks, || bar.inc(1));
    bar.finish_and_clear();

    let mut report = String::new();
    let mut sound = 0;
    for wearer in &drafted {
        let line = line(wearer, args)?;
        sound += usize::from(wearer.is_ok());
        if args.json {
            report += &serde_json::to_string(&line).map_err(|e| Refusal::new("report", e.to_string(), "Check the table's numbers."))?;
            report.push('\n');
        } else {
            let state = if wearer.is_ok() { "sound" } else { "mend" };
            report += &format!("{:>5}  {:<24} {state:<6} {}\n", line.row, line.name, wearer.problem().unwrap_or_default());
        }
    }
    if !args.json {
        report += &format!("\n{} wearers, {sound} sound. Wrote them into {}\n", drafted.len(), args.out.display());
        if !cast.unused.is_empty() {
            report += &format!("Columns that are no measurement, and were not used: {}\n", cast.unused.join(", "));
        }
    }
    Ok(Done::new(report, sound == drafted.len()))
}

fn line<'a>(wearer: &'a Drafted, args: &Args) -> Result<Line<'a>, Refusal> {
    Ok(match &wearer.garment {
        Err(problem) => Line { row: wearer.row, name: "", ok: false, file: None, problem: Some(problem.clone()), check: None },
        Ok((garment, built)) => {
            let file = args.out.join(format!("{}.ron", file_stem(wearer.row, &garment.wearer.name)));
            files::save_garment(&file, garment)?;
            Line {
                row: wearer.row,
                name: &garment.wearer.name,
                ok: built.is_ok(),
                file: Some(file.display().to_string()),
                problem: wearer.problem(),
                check: args.json.then(|| CheckReport::of(garment, built)),
            }
        }
    })
}
