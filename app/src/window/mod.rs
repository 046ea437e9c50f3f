//! The window: five stages over one table, a ticket beside it and a readout below.
//!
//! Views read a [`Seen`] and answer with [`Request`]s; only [`Window`] carries them out, so that every change to the
//! garment passes through [`crate::edit::History`].

mod app;
mod bar;
mod blocks;
mod book;
mod cast;
mod desk;
mod dialog;
mod ease_table;
mod errand;
mod facts;
mod filing;
mod fill;
mod fitting;
mod icon;
mod keeper;
mod lay;
mod long_list;
mod measure;
mod message;
mod pen;
mod photo;
mod pieces;
mod print;
mod readout;
mod redraw;
mod remember;
mod request;
mod setting;
mod stage;
mod start;
mod table;
mod theme;
mod ticket;
mod true_size;
mod widget;

use std::path::PathBuf;

use crate::files;
use crate::files::book::Book;

pub use app::Window;
pub use book::BookRequest;
pub use desk::Desk;
pub use request::{Chosen, Request, Seen, SheetOf};
pub use stage::Stage;
pub use theme::install as dress;

/// Opens the window and stays until it is closed; with a garment file, opens that.
///
/// # Errors
/// There is no screen, or it can't be drawn on; the text says why.
pub fn run(file: Option<PathBuf>) -> Result<(), String> {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Basteline")
            .with_app_id("basteline")
            .with_inner_size([1360.0, 860.0])
            .with_min_inner_size([900.0, 560.0]),
        renderer: eframe::Renderer::Glow,
        ..Default::default()
    };
    eframe::run_native(
        "Basteline",
        options,
        Box::new(move |cc| {
            let mut window = Window::new(&cc.egui_ctx);
            window = window.remembering(files::homes::looks(), files::homes::state()).with_book(Book::at_home());
            if let Some(file) = file {
                window.open(&file);
            }
            Ok(Box::new(window))
        }),
    )
    .map_err(|e| format!("can't be opened ({e})"))
}
