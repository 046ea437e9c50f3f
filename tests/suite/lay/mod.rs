//! Cloth, stacks, and lays: from the garment's file to the drawing.

mod cloth;
mod command;
mod dressmaker;
mod import;
mod instances;
mod kept;
mod piecing;
mod window;
