//! Laws that hold for any plausible body.

mod blocks;
mod build;
mod darts;
