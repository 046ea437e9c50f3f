//! `basteline draft`

use std::path::PathBuf;

use draft_core::{Block, Garment, Settings, Unit, Work};

use super::{Done, Refusal, json};
use crate::files;
use crate::report::CheckReport;

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The wearer card
    #[arg(long, required_unless_present = "list")]
    wearer: Option<PathBuf>,
    /// The blocks, in order: bodice, skirt, sleeve
    #[arg(long, value_delimiter = ',', default_values_t = ["bodice".to_owned(), "skirt".to_owned(), "sleeve".to_owned()])]
    block: Vec<String>,
    /// A setting, for every block that has it, or for one: bust-ease=5cm, skirt.gores=8
    #[arg(long = "set", value_name = "NAME=VALUE")]
    set: Vec<String>,
    /// What to call the garment
    #[arg(long)]
    name: Option<String>,
    /// The garment to write
    #[arg(long, required_unless_present = "list")]
    out: Option<PathBuf>,
    /// List the blocks and their settings, with units and defaults
    #[arg(long)]
    list: bool,
    /// Report the checks as JSON
    #[arg(long)]
    json: bool,
}

fn block_named(name: &str) -> Result<Block, Refusal> {
    Block::ALL.into_iter().find(|b| b.name() == name.trim().to_lowercase()).ok_or_else(|| {
        let names: Vec<_> = Block::ALL.iter().map(|b| b.name()).collect();
        Refusal::new("--block", format!("{name:?} is not the name of a block"), format!("Use one of: {}.", names.join(", ")))
    })
}

/// The blocks of these names, in order, with nothing chosen yet.
pub fn blocks_named(names: &[String]) -> Result<Vec<(Block, Settings)>, Refusal> {
    names.iter().map(|name| Ok((block_named(name)?, Settings::default()))).collect()
}

/// Carries out `--set NAME=VALUE` on the blocks that have the setting.
pub fn set(works: &mut [(Block, Settings)], choices: &[String], unit: Unit) -> Result<(), Refusal> {
    for text in choices {
        let (name, value) = text.split_once('=').ok_or_else(|| {
            Refusal::new("--set", format!("{text:?} has no value"), "Write NAME=VALUE, such as bust-ease=5cm; --list names the settings.")
        })?;
        let (only, key) = match name.split_once('.') {
            Some((block, key)) => (Some(block_named(block)?), key),
            None => (None, name),
        };
        let mut known = false;
        for (block, settings) in works.iter_mut().filter(|(b, _)| only.is_none_or(|o| o == *b)) {
            if let Some(setting) = block.settings().iter().find(|s| s.key == key.trim()) {
                settings.set(setting, setting.parse(value, unit)?)?;
                known = true;
            }
        }
        if !known {
            return Err(Refusal::new(
                "--set",
                format!("no block drafted here has a setting named {key:?}"),
                "See draft --list for the settings.",
            ));
        }
    }
    Ok(())
}

fn list(unit: Unit) -> String {
    let mut out = String::new();
    for block in Block::ALL {
        out += &format!("{}\n", block.name());
        for setting in block.settings() {
            out += &format!(
                "    {:<22} {:<12} {} Takes {}.\n",
                setting.key,
                setting.default_value().text(unit),
                setting.what,
                setting.takes(unit)
            );
        }
    }
    out
}

pub fn run(args: &Args) -> Result<Done, Refusal> {
    if args.list {
        return Ok(Done::new(list(Unit::Cm), true));
    }
    let (Some(wearer), Some(out)) = (&args.wearer, &args.out) else {
        return Err(Refusal::new("draft", "needs a wearer and a file to write", "Give --wearer FILE and --out FILE."));
    };
    let card = files::load_wearer(wearer)?;
    let mut works = blocks_named(&args.block)?;
    set(&mut works, &args.set, card.unit)?;
    let name = args.name.clone().unwrap_or_else(|| format!("Block of {}", card.name));
    let mut garment = Garment::new(name, card);
    garment.dated = files::today();
    garment.works = works.into_iter().map(|(block, settings)| Work::Draft { block, settings }.into()).collect();
    let built = garment.build();
    if built.draft.pieces.is_empty() {
        // Nothing could be drafted at all: refuse, and say why.
        let why = built.outcomes.iter().find_map(|o| o.skipped.clone());
        return Err(why.map_or_else(|| Refusal::new("draft", "no block was asked for", "Give --block."), Refusal::from));
    }
    files::save_garment(out, &garment)?;
    let report = if args.json {
        json(&CheckReport::of(&garment, &built))?
    } else {
        format!("{}\nWrote {}\n", CheckReport::text(&garment, &built), out.display())
    };
    Ok(Done::new(report, built.is_ok()))
}
