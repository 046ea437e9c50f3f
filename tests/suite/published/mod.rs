//! Values from outside, each with its source beside it. Changed only for a better source.

mod collars;
