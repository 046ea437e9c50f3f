//! Basteline: the window, the command line, and everything on disk. Geometry and drafting live in `draft-core`,
//! pages and drawings in `tiled-print`.

pub mod cast;
pub mod cli;
pub mod demo;
pub mod edit;
pub mod files;
pub mod lay;
pub mod looks;
pub mod photo;
pub mod report;
pub mod window;
