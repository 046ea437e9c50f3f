//! People to draft for, and what the tools in `bin/` share. The tests themselves are one binary, in `suite/`.
#![allow(clippy::unwrap_used, clippy::panic, reason = "tools and tests of ours on files of ours")]

pub mod bodies;
pub mod chart;
pub mod instances;
