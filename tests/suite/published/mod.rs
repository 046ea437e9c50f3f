//! Values from outside, each with its source beside it. Changed only for a better source.

mod alterations;
mod bodice;
mod collars;
mod defaults;
mod gores;
mod handbooks;
mod paper;
mod skirts;
mod sleeve_cap;
mod sleeves;
mod sources;
mod units;
mod yardage;
