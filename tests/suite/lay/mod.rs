//! Cloth, stacks, and lays: from the garment's file to the drawing.

mod cloth;
mod command;
mod dressmaker;
mod help;
mod import;
mod instances;
mod kept;
mod notions;
mod piecing;
mod slide;
mod swatch;
mod window;
