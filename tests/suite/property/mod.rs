//! Laws that hold for any plausible body.

mod blocks;
mod bodices;
mod build;
pub mod collars;
mod cut_lines;
mod darts;
mod plausible;
mod skirts;
mod sleeves;
