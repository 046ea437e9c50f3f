//! Everything that is checked across the crates, in one binary.
//!
//! `published/` holds values from outside, each with its source; `golden/` holds our own earlier output; the rest are
//! laws and the program's behaviour.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what went wrong by stopping")]

use tests::bodies;

mod block_book;
mod book_window;
mod command_line;
mod designs;
mod files;
mod golden;
mod guide;
mod hand;
mod lay;
mod layering;
mod many_pieces;
mod pages;
mod photo;
mod property;
mod published;
mod redraw;
mod screen;
mod shaping;
