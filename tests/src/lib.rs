//! A home for the test binary in `suite/` and for the tools in `bin/`, and what both of them use.

pub mod instances;
