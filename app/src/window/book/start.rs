//! Which blocks a garment starts from, and for whom.

use draft_core::{BookBlock, DraftError, WearerCard, block_book};
use egui::{ComboBox, Frame, Label, RichText, ScrollArea, Ui};

use super::{BookAnswer, text_line, way_back};
use crate::files::book::Shelf;
use crate::window::dialog::{Answer, title};
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::{blocks, widget};

/// The dialog.
pub struct StartDialog {
    blocks: Vec<(BookBlock, bool)>,
    wearers: Vec<WearerCard>,
    /// Which of the wearers; `None` for the one whom the blocks were drafted for.
    wearer: Option<usize>,
    name: String,
    damaged: Vec<String>,
    refused: Option<DraftError>,
}

impl StartDialog {
    /// Lists a shelf.
    pub fn new(shelf: &Shelf) -> Self {
        let only = shelf.blocks.len() == 1;
        Self {
            blocks: shelf.blocks.iter().map(|b| (b.clone(), only)).collect(),
            wearers: shelf.wearers.clone(),
            wearer: None,
            name: String::new(),
            damaged: shelf.damaged.iter().map(ToString::to_string).collect(),
            refused: None,
        }
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui) -> Option<Answer> {
        let p = Palette::of(ui);
        ui.set_width(620.0);
        title(ui, Icon::Gown, "Start from the block book");
        let frame = Frame::new().fill(p.field).stroke(egui::Stroke::new(1.0, p.hairline)).corner_radius(theme::ROUND).inner_margin(8);
        frame.show(ui, |ui| {
            ScrollArea::vertical().max_height(260.0).auto_shrink([false, true]).show(ui, |ui| {
                if self.blocks.is_empty() {
                    widget::soft(ui, "The block book holds no blocks yet. Draft one for a wearer and save it from the Blocks stage.");
                }
                for (block, on) in &mut self.blocks {
                    let latest = block.latest();
                    let name = format!("{}, edition {}{}", block.name(), latest.number, latest.said());
                    if ui.checkbox(on, RichText::new(name).font(theme::strong_body()).color(p.ink)).changed() {
                        self.refused = None;
                    }
                    let works: Vec<String> = latest.works.iter().map(|e| e.work.what()).collect();
                    widget::soft(ui, format!("For {}: {}", latest.wearer.name, works.join(", ")));
                    ui.add_space(4.0);
                }
                for damaged in &self.damaged {
                    ui.add(Label::new(RichText::new(format!("Left alone: {damaged}")).font(theme::small()).color(p.madder)).wrap());
                }
            });
        });
        ui.add_space(6.0);
        text_line(ui, "What the garment is called", &mut self.name, "Such as: The Weathervane");
        ui.add_space(4.0);
        let label = widget::soft(ui, "For whom");
        let whose = "The wearer whom the block was drafted for";
        let now = self.wearer.and_then(|i| self.wearers.get(i)).map_or(whose, |c| &c.name);
        let combo = ComboBox::from_id_salt("for whom").selected_text(now).width(360.0).show_ui(ui, |ui| {
            ui.selectable_value(&mut self.wearer, None, whose);
            for (i, card) in self.wearers.iter().enumerate() {
                ui.selectable_value(&mut self.wearer, Some(i), &card.name);
            }
        });
        combo.response.labelled_by(label.id);
        if let Some(error) = &self.refused {
            blocks::fault(ui, &format!("{}: {}", error.place, error.problem), &error.remedy);
        }
        ui.add_space(12.0);
        let mut answer = None;
        ui.horizontal(|ui| {
            let chosen: Vec<&BookBlock> = self.blocks.iter().filter(|(_, on)| *on).map(|(b, _)| b).collect();
            let start = ui.add_enabled_ui(!chosen.is_empty(), |ui| widget::main_button(ui, None, "Start the garment")).inner;
            if start.clicked() {
                let card = self.wearer.and_then(|i| self.wearers.get(i)).cloned();
                match block_book::start(self.name.trim(), card, &chosen) {
                    Ok(mut garment) => {
                        if garment.name.is_empty() {
                            garment.name = format!("Garment for {}", garment.wearer.name);
                        }
                        answer = Some(Answer::Book(BookAnswer::Begin(Box::new(garment))));
                    }
                    Err(error) => self.refused = Some(error),
                }
            }
            if let Some(back) = way_back(ui, "Go back") {
                answer = Some(back);
            }
        });
        answer
    }
}
