//! The pieces of the garment as a list, in layers, to find, to hide and to come to.

use std::collections::BTreeSet;

use draft_core::{Built, Garment, Name, Piece};
use egui::{Key, TextEdit, Ui};

use super::icon::Icon;
use super::{Desk, Request, Seen, blocks, widget};

/// From so many pieces on there is something to find.
const MANY: usize = 6;

/// How the list is divided.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Layers {
    /// Not at all.
    #[default]
    All,
    /// By what they were drafted as.
    Part,
    /// By the cloth that they are cut from.
    Cloth,
}

/// Which pieces lie on the table, and how the list shows them.
#[derive(Debug, Default)]
pub struct OnTable {
    hidden: BTreeSet<Name>,
    find: String,
    layers: Layers,
}

impl OnTable {
    /// Pieces that do not lie on the table.
    pub const fn hidden(&self) -> &BTreeSet<Name> {
        &self.hidden
    }

    fn show(&mut self, pieces: &[&Name], on: bool) {
        for piece in pieces {
            if on {
                self.hidden.remove(*piece);
            } else {
                self.hidden.insert((*piece).clone());
            }
        }
    }
}

/// The list. What is hidden there is cut and printed all the same.
pub fn show(ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
    let mut on_table = std::mem::take(&mut desk.on_table);
    let before = on_table.hidden.clone();
    {
        let seen = desk.seen();
        list(ui, &seen, &mut on_table, requests);
        keys(ui, &seen, &mut on_table);
    }
    let changed = on_table.hidden != before;
    desk.on_table = on_table;
    if changed {
        desk.lay_again();
        ui.ctx().request_repaint();
    }
}

fn list(ui: &mut Ui, seen: &Seen<'_>, on_table: &mut OnTable, requests: &mut Vec<Request>) {
    let pieces = &seen.built.draft.pieces;
    if pieces.is_empty() {
        return;
    }
    widget::heading(ui, "Pieces");
    if pieces.len() >= MANY {
        ui.add(TextEdit::singleline(&mut on_table.find).hint_text("Find a piece").desired_width(f32::INFINITY))
            .accessible_name("Find a piece");
        let all = [
            (Layers::All, "All", "One list of all pieces".to_owned()),
            (Layers::Part, "By part", "Divided by what they were drafted as".to_owned()),
            (Layers::Cloth, "By cloth", "Divided by the cloth that they are cut from".to_owned()),
        ];
        if let Some(layers) = widget::choices(ui, "layers", on_table.layers, &all) {
            on_table.layers = layers;
        }
    }
    let looked_for = on_table.find.trim().to_lowercase();
    let found: Vec<&Piece> =
        pieces.iter().map(|p| &**p).filter(|p| looked_for.is_empty() || p.name().as_str().to_lowercase().contains(&looked_for)).collect();
    if found.is_empty() {
        widget::soft(ui, format!("No piece is called {looked_for:?}."));
    }
    for (layer, pieces) in layered(&found, on_table.layers, seen.garment, seen.built) {
        if !layer.is_empty() {
            let names: Vec<&Name> = pieces.iter().map(|p| p.name()).collect();
            let on = names.iter().any(|n| !on_table.hidden.contains(*n));
            ui.horizontal(|ui| {
                if let Some(on) = widget::switch(ui, on, &format!("Show the layer {layer}")) {
                    on_table.show(&names, on);
                }
                ui.label(format!("{} ({})", blocks::sentence_case(&layer), names.len()));
            });
        }
        for piece in pieces {
            row(ui, seen, piece, on_table, requests);
        }
    }
    let chosen = seen.chosen.piece().cloned();
    ui.horizontal(|ui| {
        if let Some(chosen) = &chosen
            && ui.button("Hide the others").on_hover_text("Leave only the selected piece on the table   (Shift+V)").clicked()
        {
            hide_others(seen, chosen, on_table);
        }
        if !on_table.hidden.is_empty() && ui.button("Show all").on_hover_text("Every piece lies on the table again").clicked() {
            on_table.hidden.clear();
        }
    });
    if !on_table.hidden.is_empty() {
        widget::soft(ui, "What is hidden is cut and printed all the same.");
    }
}

fn row(ui: &mut Ui, seen: &Seen<'_>, piece: &Piece, on_table: &mut OnTable, requests: &mut Vec<Request>) {
    let name = piece.name();
    let hidden = on_table.hidden.contains(name);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        let room = ui.available_width() - super::theme::TARGET - 4.0;
        blocks::piece_row(ui, seen, piece, room, hidden, requests);
        let (icon, text) = if hidden { (Icon::Hidden, format!("Show {name}")) } else { (Icon::Eye, format!("Hide {name}")) };
        if widget::icon_button(ui, icon, &text, if seen.chosen.piece() == Some(name) { "V" } else { "" }, true).clicked() {
            on_table.show(&[name], hidden);
        }
    });
}

fn hide_others(seen: &Seen<'_>, chosen: &Name, on_table: &mut OnTable) {
    on_table.hidden = seen.built.draft.pieces.iter().map(|p| p.name()).filter(|n| *n != chosen).cloned().collect();
}

fn keys(ui: &Ui, seen: &Seen<'_>, on_table: &mut OnTable) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    let Some(chosen) = seen.chosen.piece() else { return };
    let (pressed, shift, other) = ui.input(|i| (i.key_pressed(Key::V), i.modifiers.shift, i.modifiers.command || i.modifiers.alt));
    if pressed && !other {
        if shift {
            hide_others(seen, chosen, on_table);
        } else {
            let hidden = on_table.hidden.contains(chosen);
            on_table.show(&[chosen], hidden);
        }
    }
}

/// The pieces by layer, in the order in which the layers are first met.
fn layered<'p>(pieces: &[&'p Piece], layers: Layers, garment: &Garment, built: &Built) -> Vec<(String, Vec<&'p Piece>)> {
    let mut out: Vec<(String, Vec<&Piece>)> = Vec::new();
    for &piece in pieces {
        let of = match layers {
            Layers::All => vec![String::new()],
            Layers::Part => vec![part(piece.name(), garment, built)],
            Layers::Cloth => cloths(piece.name(), garment),
        };
        for layer in of {
            match out.iter_mut().find(|(name, _)| *name == layer) {
                Some((_, pieces)) => pieces.push(piece),
                None => out.push((layer, vec![piece])),
            }
        }
    }
    out
}

/// The cloths that a piece is cut from; the first, where nothing else was said.
fn cloths(piece: &Name, garment: &Garment) -> Vec<String> {
    match garment.stacks.iter().find(|stack| stack.piece == *piece) {
        Some(stack) => stack.layers.iter().map(|layer| layer.cloth.clone()).collect(),
        None => garment.cloths_or_plain().into_iter().take(1).map(|cloth| cloth.name).collect(),
    }
}

/// What a piece was drafted as: the block that made it, or the alterations.
fn part(piece: &Name, garment: &Garment, built: &Built) -> String {
    let made = built.after.iter().position(|draft| draft.piece(piece.as_str()).is_some());
    let block = made.and_then(|i| garment.works.get(i)).and_then(|entry| entry.work.block());
    block.map_or_else(|| "added to the blocks".to_owned(), |block| block.name().to_owned())
}
