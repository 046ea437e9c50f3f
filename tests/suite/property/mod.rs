//! Laws that hold for any plausible body.

mod alterations;
mod blocks;
mod bodices;
mod build;
pub mod collars;
mod cut_lines;
mod darts;
mod everybody;
mod plausible;
mod shaping;
mod skirts;
mod sleeves;

use proptest::test_runner::{Config, RngSeed};

/// This many cases, drawn from one seed so that a run can be repeated; `SEED=7 cargo test` draws others.
fn drawn(cases: u32) -> Config {
    let seed = std::env::var("SEED").ok().and_then(|s| s.parse().ok()).unwrap_or(1859);
    Config { cases, failure_persistence: None, rng_seed: RngSeed::Fixed(seed), ..Config::default() }
}
