//! Holds the fast estimate of cloth against lays, for garments drafted for people of the survey, and prints by how
//! much it is off: for the half that it was calibrated on, and for the other.
//!
//! `cargo run --release -p tests --bin lay-estimate -- --garments 50 --seconds 30`
#![allow(clippy::print_stdout, reason = "a tool that prints its figures")]

use std::time::Instant;

use clap::Parser;
use draft_core::cloth::{Cloth, LayOut, Spread, cuts, estimate};
use draft_core::lay::{Effort, Planner as _, Quiet, SearchPlanner, Watch};
use draft_core::{Block, Garment, Length, Settings, Work};

#[derive(Parser)]
struct Args {
    /// How many garments, each for another person
    #[arg(long, default_value_t = 50)]
    garments: usize,
    /// Seconds for each lay, of processor time of this one thread
    #[arg(long, default_value_t = 30.0)]
    seconds: f64,
}

/// Stops after some processor time of the process, in hundredths as the kernel counts them; one thread only.
struct Processor {
    until: f64,
}

fn processor_seconds() -> f64 {
    let text = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let fields = text.rsplit(')').next().unwrap_or_default().split_whitespace().skip(11).take(2);
    fields.filter_map(|f| f.parse::<f64>().ok()).sum::<f64>() / 100.0
}

impl Watch for Processor {
    fn stop(&self) -> bool {
        processor_seconds() >= self.until
    }
}

fn main() -> Result<(), String> {
    let args = Args::parse();
    let people = tests::bodies::complete();
    let step = (people.len() / args.garments.max(1)).max(1);
    let mut ratios: [Vec<f64>; 2] = Default::default();
    for (n, person) in people.iter().step_by(step).take(args.garments).enumerate() {
        let mut garment = Garment::new("estimate", person.card());
        // Garments that differ, as those of a workroom do.
        let blocks: &[Block] = match n % 3 {
            0 => &[Block::Bodice, Block::Skirt, Block::Sleeve],
            1 => &[Block::Bodice, Block::Skirt, Block::Sleeve, Block::OverSleeve],
            _ => &[Block::Bodice, Block::Circle, Block::Sleeve],
        };
        garment.works = blocks.iter().map(|b| Work::Draft { block: *b, settings: Settings::default() }.into()).collect();
        let cloth = Cloth {
            width: Length::from_cm([140.0, 150.0, 115.0, 160.0][(n / 4) % 4]),
            one_way: (n / 2) % 2 == 0,
            spread: if n % 5 == 4 { Spread::Folded } else { Spread::Single },
            ..Cloth::default()
        };
        let built = garment.build();
        let lay_out = LayOut::of(&cloth, &cuts(&garment, &built).0, false);
        if lay_out.stretches.is_empty() {
            continue;
        }
        let begun = Instant::now();
        let guess = estimate(&lay_out, &Quiet).map_err(|e| e.to_string())?;
        let took = begun.elapsed().as_secs_f64();
        let mut length = 0.0;
        for stretch in &lay_out.stretches {
            let until = processor_seconds() + args.seconds / lay_out.stretches.len() as f64;
            let layout = SearchPlanner.plan(&stretch.task, Effort { seed: 1, passes: u64::MAX, workers: 2 }, &Processor { until });
            length += layout.map_err(|e| e.to_string())?.length_mm;
        }
        let ratio = guess.length_mm / length;
        println!(
            "{:>6} {:?} {:>4.0} cm {} estimate {:>6.0} mm in {took:.2} s, lay {length:>6.0} mm, ratio {ratio:.3}",
            person.name,
            cloth.spread,
            cloth.width.mm() / 10.0,
            if cloth.one_way { "one way " } else { "both ways" },
            guess.length_mm
        );
        ratios[n % 2].push(ratio);
    }
    for (half, list) in ["calibrated on", "tested on"].iter().zip(&mut ratios) {
        let mean = list.iter().sum::<f64>() / list.len().max(1) as f64;
        let mut off: Vec<f64> = list.iter().map(|r| (r - 1.0).abs()).collect();
        off.sort_by(f64::total_cmp);
        let worst = off.last().copied().unwrap_or(0.0);
        let nine_of_ten = off.get(off.len() * 9 / 10).copied().unwrap_or(worst);
        println!(
            "{half} {} garments: mean ratio {mean:.4}, nine of ten within {:.1} %, all within {:.1} %",
            list.len(),
            100.0 * nine_of_ten,
            100.0 * worst
        );
    }
    Ok(())
}
