//! `basteline lay`

use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};
use std::time::{Duration, Instant};

use draft_core::cloth::{Bolt, Cloth, Spread, Stretch};
use draft_core::lay::Watch;
use draft_core::shopping::{self, BuyLine};
use draft_core::{Built, Garment, Length, Unit, cut_list, notions, parse_length};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use tiled_print::lay_plan;

use super::{Done, Refusal, json};
use crate::files;
use crate::lay::{Ask, Clock, ClothLay, LayJob, Limit, Shown};

/// Seconds for all cloths together when neither time nor passes are given.
const SECONDS: f64 = 20.0;

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The garment
    file: PathBuf,
    /// Only this cloth of the garment
    #[arg(long, value_name = "NAME")]
    cloth: Option<String>,
    /// Stop after so many seconds, all cloths together; Ctrl-C stops before, and keeps the best
    #[arg(long, conflicts_with = "passes")]
    seconds: Option<f64>,
    /// Stop after so many passes for each lay: the same passes give the same lay
    #[arg(long)]
    passes: Option<u64>,
    /// Where chance begins
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Lay on so much cloth and no more; may be given more than once
    #[arg(long, value_name = "LENGTH")]
    have: Vec<String>,
    /// Lay on what the garment has of the cloth in its cupboard, and no more
    #[arg(long, conflicts_with = "have")]
    cupboard: bool,
    /// Width of the cloth, with its selvedges
    #[arg(long, value_name = "LENGTH")]
    width: Option<String>,
    /// Lay the cloth single or folded
    #[arg(long, value_parser = ["single", "folded"])]
    spread: Option<String>,
    /// Least distance between pieces
    #[arg(long, value_name = "LENGTH")]
    gap: Option<String>,
    /// Width of each selvedge
    #[arg(long, value_name = "LENGTH")]
    selvedge: Option<String>,
    /// The cloth has a nap, a sheen or a print that looks one way
    #[arg(long)]
    one_way: bool,
    /// The folder to draw the lays into, as SVG, with what to buy, the cut list and the notions; made if it is not there
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Report as JSON, in millimetres
    #[arg(long)]
    json: bool,
}

fn length(option: &str, text: &str, unit: Unit) -> Result<Length, Refusal> {
    let mm = parse_length(text, unit).map_err(|e| Refusal::new(option, format!("{text:?} {e}"), e.remedy()))?;
    if mm < 0.0 {
        return Err(Refusal::new(option, format!("{text:?} is less than nothing"), "Give a length of 0 or more."));
    }
    Ok(Length::from_mm(mm))
}

impl Args {
    /// The cloth with what the command line says instead.
    fn changed(&self, mut cloth: Cloth, unit: Unit) -> Result<Cloth, Refusal> {
        if let Some(width) = &self.width {
            cloth.width = length("--width", width, unit)?;
        }
        if let Some(gap) = &self.gap {
            cloth.gap = length("--gap", gap, unit)?;
        }
        if let Some(selvedge) = &self.selvedge {
            cloth.selvedge = length("--selvedge", selvedge, unit)?;
        }
        if let Some(spread) = &self.spread {
            cloth.spread = if spread == "folded" { Spread::Folded } else { Spread::Single };
        }
        cloth.one_way |= self.one_way;
        Ok(cloth)
    }

    /// The cloths that are laid.
    fn cloths(&self, garment: &Garment) -> Result<Vec<Cloth>, Refusal> {
        let all = garment.cloths_or_plain();
        let chosen: Vec<Cloth> = match &self.cloth {
            None => all,
            Some(name) => {
                let found = all.iter().find(|c| c.name == name.trim()).cloned();
                let names: Vec<&str> = all.iter().map(|c| c.name.as_str()).collect();
                let remedy = || format!("Use one of: {}.", names.join(", "));
                vec![found.ok_or_else(|| Refusal::new("--cloth", format!("the garment has no cloth named {name:?}"), remedy()))?]
            }
        };
        chosen.into_iter().map(|c| self.changed(c, garment.wearer.unit)).collect()
    }
}

/// Becomes true when Ctrl-C is pressed; a second time ends the program.
fn interrupted() -> Arc<AtomicBool> {
    static PRESSED: OnceLock<Arc<AtomicBool>> = OnceLock::new();
    let pressed = PRESSED.get_or_init(|| {
        let pressed = Arc::new(AtomicBool::new(false));
        let seen = Arc::clone(&pressed);
        // Where no handler can be set, Ctrl-C ends the program as it always does.
        let _ = ctrlc::set_handler(move || {
            if seen.swap(true, Ordering::Relaxed) {
                std::process::exit(130);
            }
        });
        pressed
    });
    Arc::clone(pressed)
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    let garment = files::load_garment(&args.file)?;
    let unit = garment.wearer.unit;
    let cloths = args.cloths(&garment)?;
    let have: Vec<Bolt> = args
        .have
        .iter()
        .map(|text| Ok(Bolt { length: length("--have", text, unit)?, width: None, flaws: Vec::new(), note: String::new() }))
        .collect::<Result<_, Refusal>>()?;
    let seconds = args.seconds.unwrap_or(SECONDS);
    if !(0.0..=86_400.0).contains(&seconds) {
        return Err(Refusal::new("--seconds", format!("{seconds} seconds can't be waited"), "Give a time between 0 and one day."));
    }
    let built = garment.build();
    if built.draft.pieces.is_empty() {
        return Err(Refusal::new(args.file.display().to_string(), "the garment has no pieces yet", "Draft a block first."));
    }
    let job = LayJob::of(&garment, &built);
    let used: Vec<&Cloth> = cloths.iter().filter(|c| args.cloth.is_some() || job.cuts.iter().any(|k| k.layer.cloth == c.name)).collect();
    let limit = match args.passes {
        Some(passes) => Limit::Passes(passes),
        None => Limit::Time(Duration::from_secs_f64(seconds / used.len().max(1) as f64)),
    };

    let on = match (args.cupboard, have.is_empty()) {
        (true, _) => Lengths::Cupboard,
        (false, true) => Lengths::Enough,
        (false, false) => Lengths::These(&have),
    };
    let lays = planned(&job, &used, on, limit, args.seed)?;
    let mut drawn = Vec::new();
    if let Some(folder) = &args.out {
        drawn = draw(folder, &garment, &built, &lays)?;
        let buying: Vec<BuyLine> = lays.iter().map(ClothLay::buy_line).collect();
        for (name, table) in [
            ("what-to-buy.csv", shopping::to_csv(&buying, unit)),
            ("cut-list.csv", cut_list::to_csv(&cut_list::cut_list(&garment, &built).0)),
            ("notions.csv", notions::to_csv(&notions::notions(&garment, &built, unit), unit)),
        ] {
            let file = folder.join(name);
            files::write(&file, table.as_bytes(), false)?;
            drawn.push(file.display().to_string());
        }
    }
    let sound = built.is_ok() && lays.iter().all(ClothLay::is_whole) && job.messages.is_empty();
    let report = if args.json {
        json(&lays.iter().flat_map(|l| l.report(unit)).collect::<Vec<_>>())?
    } else {
        let mut text: String = lays.iter().map(|l| l.text(unit)).collect();
        text.extend(job.messages.iter().map(|m| format!("{}: {}. {}\n", m.place, m.problem, m.remedy)));
        text.extend(drawn.iter().map(|f| format!("Wrote {f}\n")));
        text
    };
    Ok(Done::new(report, sound))
}

/// The lays of a garment for its work sheet: those that it keeps and that still hold, and for the other cloths lays
/// planned now.
pub fn kept_or_planned(garment: &Garment, built: &Built, limit: Limit, seed: u64) -> Result<Vec<ClothLay>, Refusal> {
    let job = LayJob::of(garment, built);
    let mut kept = ClothLay::of_garment(garment, built);
    let cloths = garment.cloths_or_plain();
    let missing: Vec<&Cloth> = cloths
        .iter()
        .filter(|c| job.cuts.iter().any(|k| k.layer.cloth == c.name) && !kept.iter().any(|l| l.cloth.name == c.name))
        .collect();
    kept.extend(planned(&job, &missing, Lengths::Enough, limit, seed)?);
    kept.sort_by_key(|l| cloths.iter().position(|c| c.name == l.cloth.name));
    Ok(kept)
}

/// How much cloth there is.
#[derive(Clone, Copy)]
enum Lengths<'b> {
    /// As much as is needed.
    Enough,
    /// These lengths of it.
    These(&'b [Bolt]),
    /// What the cloth has in the cupboard.
    Cupboard,
}

/// Plans all lays, with a bar on standard error where that is a terminal.
fn planned(job: &LayJob<'_>, cloths: &[&Cloth], lengths: Lengths<'_>, limit: Limit, seed: u64) -> Result<Vec<ClothLay>, Refusal> {
    let stop = interrupted();
    let target = if std::io::stderr().is_terminal() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let mut lays = Vec::new();
    for cloth in cloths {
        let most = match limit {
            Limit::Passes(n) => n,
            Limit::Time(t) => t.as_millis() as u64,
        };
        let bar = ProgressBar::with_draw_target(Some(most), target_again(&target));
        if let Ok(style) = ProgressStyle::with_template("{bar:40} {msg}") {
            bar.set_style(style);
        }
        let begun = Instant::now();
        let unit = job.garment.wearer.unit;
        let shown = |what: Shown<'_>| match what {
            Shown::Better(layout) => bar.set_message(format!("{}: {}", cloth.name, unit.rough(layout.length_mm))),
            Shown::Passes(done) => {
                bar.set_position(if matches!(limit, Limit::Passes(_)) { done } else { begun.elapsed().as_millis() as u64 })
            }
        };
        let clock = |time: Option<Duration>, _: &Stretch| Box::new(Clock::new(time, Arc::clone(&stop), &shown)) as Box<dyn Watch + '_>;
        let bolts = match lengths {
            Lengths::Enough => None,
            Lengths::These(bolts) => Some(bolts),
            Lengths::Cupboard => Some(cloth.cupboard.as_slice()),
        };
        let lay = job.plan(cloth, Ask { have: bolts, ..Ask::shortest(limit, seed) }, &clock);
        bar.finish_and_clear();
        lays.push(lay?);
    }
    Ok(lays)
}

fn target_again(target: &ProgressDrawTarget) -> ProgressDrawTarget {
    if target.is_hidden() { ProgressDrawTarget::hidden() } else { ProgressDrawTarget::stderr() }
}

/// Draws each stretch as `lay-NAME.svg`; gives the names of the files.
pub fn draw(folder: &Path, garment: &Garment, built: &Built, lays: &[ClothLay]) -> Result<Vec<String>, Refusal> {
    std::fs::create_dir_all(folder).map_err(|e| {
        Refusal::new(folder.display().to_string(), format!("the folder can't be made ({e})"), "Choose a folder that you may write to.")
    })?;
    let mut out = Vec::new();
    for (name, plan) in lays.iter().flat_map(|lay| lay.plans(garment, built)) {
        let file = folder.join(format!("{name}.svg"));
        files::write(&file, lay_plan::write(&plan).as_bytes(), false)?;
        out.push(file.display().to_string());
    }
    Ok(out)
}
