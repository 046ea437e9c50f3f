//! The command line: everything that the window does to a file, without a screen.

mod block;
mod cast;
mod check;
mod demo;
mod draft;
mod import;
mod lay;
mod measure_sheet;
mod print;
mod regrade;
mod work_sheet;

use std::ffi::OsString;
use std::fmt;
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
use draft_core::{DraftError, Unit};
use tiled_print::PrintError;

use crate::files::FileProblem;

/// Drafting, altering, laying and printing one-off garments for one wearer at a time.
///
/// Without a command it opens the window. Lengths are typed with their unit: 38 cm, 380 mm, 15 1/4 in.
/// Exit status: 0 done; 1 done, and a check found something that needs mending; 2 refused, nothing written.
#[derive(Debug, Parser)]
#[command(name = "basteline", version, max_term_width = 100)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Open a garment in the window
    #[command(after_help = "Example: basteline open gown.ron")]
    Open {
        /// The garment
        file: PathBuf,
    },
    /// Do the demo from start to end: wearer, block, garment, checks, sheet and pages
    #[command(after_help = "Example: basteline demo /tmp/weathervane")]
    Demo(demo::Args),
    /// Draft blocks for a wearer
    #[command(
        after_help = "Examples:\n  basteline draft --list\n  basteline draft --wearer marit.ron --block bodice,skirt,sleeve --set bust-ease=5cm \
                            --set skirt.gores=8 --out gown.ron"
    )]
    Draft(draft::Args),
    /// Check a garment: pieces, seams, girths, works, messages
    #[command(after_help = "Example: basteline check gown.ron --json > gown.json")]
    Check(check::Args),
    /// The block book: save a block, list, start a garment from blocks, take a newer edition up
    #[command(
        after_help = "Examples:\n  basteline block save gown.ron --name \"Marit, close-fitting\"\n  basteline block list\n  basteline block start \
                            \"Marit, close-fitting\" --out gown.ron\n  basteline block take-up gown.ron"
    )]
    Block(block::Args),
    /// Do a garment's work list again on another wearer's card
    #[command(after_help = "Example: basteline regrade gown.ron --wearer ida.ron --out gown-ida.ron")]
    Regrade(regrade::Args),
    /// Print the sheet to take to the fitting: where each tape goes, what is expected, boxes for two takes
    #[command(after_help = "Example: basteline measure-sheet --wearer marit.ron --block bodice,sleeve --out sheet.pdf --paper letter")]
    MeasureSheet(measure_sheet::Args),
    /// Draft blocks for every row of a table of wearers
    #[command(after_help = "Example: basteline cast chorus.csv --block bodice,skirt --unit cm --out chorus")]
    Cast(cast::Args),
    /// Lay the pieces on their cloths: how much to buy, and where each piece lies
    #[command(
        after_help = "Examples:\n  basteline lay gown.ron --seconds 30 --out lays\n  basteline lay gown.ron --width 150cm --spread folded --have 320cm"
    )]
    Lay(lay::Args),
    /// Write the work sheet: wearer, ease, pieces drawn small, what to buy, cut list, notions, lays, order of sewing
    #[command(name = "worksheet", after_help = "Example: basteline worksheet gown.ron --out gown-work-sheet.pdf --seconds 30")]
    WorkSheet(work_sheet::Args),
    /// Take over pieces drawn elsewhere: every closed outline a piece, cut once
    #[command(after_help = "Example: basteline import wings.svg --out wings.ron")]
    Import(import::Args),
    /// Print a garment as true-scale pages to tape together
    #[command(after_help = "Example: basteline print gown.ron --out gown.pdf --paper letter --overlap 1/2in")]
    Print(print::PrintArgs),
    /// Write the whole sheet as one drawing at true scale, SVG, PDF or DXF by the name of the file
    #[command(after_help = "Example: basteline export gown.ron --out gown.svg")]
    Export(print::ExportArgs),
}

/// Why a command was refused; shown on standard error, with exit status 2.
#[derive(Debug)]
struct Refusal {
    place: String,
    problem: String,
    remedy: String,
}

impl Refusal {
    fn new(place: impl Into<String>, problem: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { place: place.into(), problem: problem.into(), remedy: remedy.into() }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}.\n{}", self.place, self.problem, self.remedy)
    }
}

impl From<FileProblem> for Refusal {
    fn from(e: FileProblem) -> Self {
        Self::new(e.place, e.problem, e.remedy)
    }
}

impl From<DraftError> for Refusal {
    fn from(e: DraftError) -> Self {
        Self::new(e.place, e.problem, e.remedy)
    }
}

impl From<PrintError> for Refusal {
    fn from(e: PrintError) -> Self {
        Self::new(e.place, e.problem, e.remedy)
    }
}

/// What a finished command says of the garment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Verdict {
    /// Nothing to mend.
    Sound,
    /// A check found something.
    Mend,
}

impl Verdict {
    fn of(sound: bool) -> Self {
        if sound { Self::Sound } else { Self::Mend }
    }
}

/// A finished command: its report for standard output, and its verdict.
#[derive(Debug)]
struct Done {
    report: String,
    verdict: Verdict,
}

impl Done {
    fn new(report: String, sound: bool) -> Self {
        Self { report, verdict: Verdict::of(sound) }
    }
}

/// The unit of this sign.
fn unit_named(text: &str) -> Result<Unit, Refusal> {
    let sign = text.trim().to_lowercase();
    Unit::ALL
        .into_iter()
        .find(|u| u.sign() == sign)
        .ok_or_else(|| Refusal::new("--unit", format!("{text:?} is not a unit"), "Use cm, mm or in."))
}

/// A report as indented JSON.
fn json(value: &impl serde::Serialize) -> Result<String, Refusal> {
    serde_json::to_string_pretty(value)
        .map(|text| text + "\n")
        .map_err(|e| Refusal::new("report", e.to_string(), "Check the garment's measurements; a number in it can't be written."))
}

/// Runs the command line with the program's own arguments and streams.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    ExitCode::from(run_with(args, &mut std::io::stdout().lock(), &mut std::io::stderr().lock()))
}

/// Runs the command line; reports go to `out`, refusals to `err`. Gives the exit status.
pub fn run_with(args: impl IntoIterator<Item = OsString>, out: &mut dyn Write, err: &mut dyn Write) -> u8 {
    // A reader that has gone away is no fault of ours: writing on is all there is to do.
    let cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(e) => {
            let _ = if e.use_stderr() { write!(err, "{e}") } else { write!(out, "{e}") };
            return u8::try_from(e.exit_code()).unwrap_or(2);
        }
    };
    let done = match cli.command {
        None => window(None),
        Some(Command::Open { file }) => window(Some(file)),
        Some(Command::Demo(args)) => demo::run(&args),
        Some(Command::Draft(args)) => draft::run(&args),
        Some(Command::Check(args)) => check::run(&args),
        Some(Command::Block(args)) => block::run(&args),
        Some(Command::Regrade(args)) => regrade::run(&args),
        Some(Command::MeasureSheet(args)) => measure_sheet::run(&args),
        Some(Command::Cast(args)) => cast::run(&args),
        Some(Command::Lay(args)) => lay::run(&args),
        Some(Command::WorkSheet(args)) => work_sheet::run(&args),
        Some(Command::Import(args)) => import::run(&args),
        Some(Command::Print(args)) => print::print(&args),
        Some(Command::Export(args)) => print::export(&args),
    };
    match done {
        Ok(done) => {
            let _ = out.write_all(done.report.as_bytes());
            match done.verdict {
                Verdict::Sound => 0,
                Verdict::Mend => 1,
            }
        }
        Err(refusal) => {
            let _ = writeln!(err, "{refusal}");
            2
        }
    }
}

fn window(file: Option<PathBuf>) -> Result<Done, Refusal> {
    crate::window::run(file)
        .map(|()| Done::new(String::new(), true))
        .map_err(|e| Refusal::new("window", e, "Run it in a desktop session, or use a command: basteline --help."))
}
