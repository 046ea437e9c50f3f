//! Under which name a block is saved, and what goes into it.

use draft_core::{DraftError, Garment, block_book};
use egui::Ui;

use super::{BookAnswer, lines, text_line, way_back};
use crate::files::FileProblem;
use crate::files::book::NotSaved;
use crate::window::dialog::{Answer, title};
use crate::window::icon::Icon;
use crate::window::{blocks, widget};

/// The dialog.
pub struct SaveDialog {
    garment: Garment,
    name: String,
    note: String,
    /// What goes in, under the name that it was listed for.
    listed: Option<(String, Result<Vec<String>, DraftError>)>,
    refused: Option<FileProblem>,
    /// The edition in the book that the garment was not made from.
    newer: Option<u32>,
}

impl SaveDialog {
    /// Begins with the name of the block that the garment comes from, or the wearer's.
    pub fn new(garment: &Garment) -> Self {
        let name = block_book::blocks_of(garment).first().map_or_else(|| garment.wearer.name.clone(), |b| (*b).to_owned());
        let garment = garment.clone();
        Self { garment, name, note: String::new(), listed: None, refused: None, newer: None }
    }

    /// Shows why it was not saved.
    pub fn refused(&mut self, refused: NotSaved) {
        self.newer = match refused {
            NotSaved::Newer { edition, .. } => Some(edition),
            NotSaved::Problem(_) => None,
        };
        self.refused = Some(refused.problem().clone());
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui) -> Option<Answer> {
        ui.set_width(560.0);
        title(ui, Icon::Save, "Save to the block book");
        if text_line(ui, "What the block is called", &mut self.name, "Such as: Marit, close-fitting").changed() {
            (self.refused, self.newer) = (None, None);
        }
        text_line(ui, "What is to be said of it", &mut self.note, "Such as: after the second fitting");
        ui.add_space(6.0);
        let name = self.name.trim().to_owned();
        if self.listed.as_ref().is_none_or(|(of, _)| *of != name) {
            let works = block_book::works_of(&self.garment, &name).map(|found| found.works.iter().map(|e| e.work.what()).collect());
            self.listed = Some((name.clone(), works));
        }
        match block_book::copied_edition(&self.garment, &name) {
            Some(edition) => {
                widget::soft(ui, format!("Becomes edition {} of this block; the editions before it stay.", edition.saturating_add(1)))
            }
            None => widget::soft(ui, "Drafts, fittings and changed measurements go into the block; what was done for this style does not."),
        };
        match &self.listed {
            Some((_, Ok(works))) => lines(ui, works.iter().map(|w| format!("·  {}", blocks::sentence_case(w)))),
            Some((_, Err(error))) => blocks::fault(ui, &format!("{}: {}", error.place, error.problem), &error.remedy),
            None => {}
        }
        if let Some(problem) = &self.refused {
            ui.add_space(6.0);
            blocks::fault(ui, &format!("{}: {}", problem.place, problem.problem), &problem.remedy);
        }
        ui.add_space(12.0);
        let mut answer = None;
        ui.horizontal(|ui| {
            let save = |after| Some(Answer::Book(BookAnswer::Save { name: name.clone(), note: self.note.trim().to_owned(), after }));
            if let Some(edition) = self.newer {
                if widget::main_button(ui, None, &format!("Save mine after edition {edition}")).clicked() {
                    answer = save(Some(edition));
                }
            } else if widget::main_button(ui, None, "Save the block").clicked() {
                answer = save(None);
            }
            if let Some(back) = way_back(ui, "Go back") {
                answer = Some(back);
            }
        });
        answer
    }
}
