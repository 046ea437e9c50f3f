//! Laws that hold for any plausible body.

mod blocks;
mod build;
pub mod collars;
mod darts;
mod plausible;
mod sleeves;
mod skirts;
