//! The pieces of the garment as a list, in layers, to find, to hide and to come to.

use std::collections::{BTreeSet, HashMap};

use draft_core::cloth::Layer;
use draft_core::{Block, Built, Garment, Name, Piece};
use egui::{Key, TextEdit, Ui};

use super::icon::Icon;
use super::{Desk, Request, Seen, blocks, long_list, widget};

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
    let layered = Layered::of(seen.garment, seen.built, on_table.layers);
    let lines = layered.lines(&found);
    let keys: Vec<(&str, Option<&Name>)> = lines.iter().map(Line::key).collect();
    let gap = ui.spacing().item_spacing.y;
    long_list::show(ui, "pieces", gap, &keys, |ui, i| match &lines[i] {
        Line::Layer { name, pieces } => layer_row(ui, name, pieces, on_table),
        Line::Piece { piece, .. } => row(ui, seen, piece, on_table, requests),
    });
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

/// A layer, with the switch of all its pieces. Says whether the keyboard is there.
fn layer_row(ui: &mut Ui, name: &str, pieces: &[&Name], on_table: &mut OnTable) -> bool {
    let on = pieces.iter().any(|n| !on_table.hidden.contains(*n));
    let switch = ui.scope(|ui| widget::switch(ui, on, &format!("Show the layer {name}")));
    if let Some(on) = switch.inner {
        on_table.show(pieces, on);
    }
    ui.label(format!("{} ({})", blocks::sentence_case(name), pieces.len()));
    false
}

/// A piece. Says whether the keyboard is there.
fn row(ui: &mut Ui, seen: &Seen<'_>, piece: &Piece, on_table: &mut OnTable, requests: &mut Vec<Request>) -> bool {
    let name = piece.name();
    let hidden = on_table.hidden.contains(name);
    ui.spacing_mut().item_spacing.x = 2.0;
    let room = ui.available_width() - super::theme::TARGET - 4.0;
    let line = blocks::piece_row(ui, seen, piece, room, hidden, requests);
    let (icon, text) = if hidden { (Icon::Hidden, format!("Show {name}")) } else { (Icon::Eye, format!("Hide {name}")) };
    let eye = widget::icon_button(ui, icon, &text, if seen.chosen.piece() == Some(name) { "V" } else { "" }, true);
    if eye.clicked() {
        on_table.show(&[name], hidden);
    }
    line.has_focus() || eye.has_focus()
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

/// A line of the list.
enum Line<'a> {
    Layer { name: &'a str, pieces: Vec<&'a Name> },
    Piece { layer: &'a str, piece: &'a Piece },
}

impl Line<'_> {
    /// What it is known by.
    fn key(&self) -> (&str, Option<&Name>) {
        match self {
            Self::Layer { name, .. } => (name, None),
            Self::Piece { layer, piece } => (layer, Some(piece.name())),
        }
    }
}

/// What tells in which layers a piece is.
enum Layered<'a> {
    All,
    /// Each piece with the block that made it; without one, it came of an alteration.
    Part(HashMap<&'a Name, Option<Block>>),
    /// Pieces with the cloths that were said for them; and the first cloth, for all others.
    Cloth(HashMap<&'a Name, &'a [Layer]>, String),
}

impl<'a> Layered<'a> {
    fn of(garment: &'a Garment, built: &'a Built, layers: Layers) -> Self {
        match layers {
            Layers::All => Self::All,
            Layers::Part => {
                let mut made = HashMap::new();
                for (after, entry) in built.after.iter().zip(&garment.works) {
                    for piece in &after.pieces {
                        made.entry(piece.name()).or_insert_with(|| entry.work.block());
                    }
                }
                Self::Part(made)
            }
            Layers::Cloth => {
                let said = garment.stacks.iter().map(|stack| (&stack.piece, stack.layers.as_slice())).collect();
                Self::Cloth(said, garment.cloths_or_plain().into_iter().next().map_or_else(String::new, |cloth| cloth.name))
            }
        }
    }

    fn layers(&self, piece: &Name) -> Vec<&str> {
        match self {
            Self::All => vec![""],
            Self::Part(made) => vec![made.get(piece).copied().flatten().map_or("added to the blocks", Block::name)],
            Self::Cloth(said, first) => match said.get(piece) {
                Some(layers) => layers.iter().map(|layer| layer.cloth.as_str()).collect(),
                None => vec![first],
            },
        }
    }

    /// The pieces by layer, in the order in which the layers are first met.
    fn lines<'s>(&'s self, pieces: &[&'s Piece]) -> Vec<Line<'s>> {
        let mut by_layer: Vec<(&str, Vec<&Piece>)> = Vec::new();
        for &piece in pieces {
            for layer in self.layers(piece.name()) {
                match by_layer.iter_mut().find(|(name, _)| *name == layer) {
                    Some((_, pieces)) => pieces.push(piece),
                    None => by_layer.push((layer, vec![piece])),
                }
            }
        }
        let mut lines = Vec::new();
        for (layer, pieces) in by_layer {
            if !layer.is_empty() {
                lines.push(Line::Layer { name: layer, pieces: pieces.iter().map(|p| p.name()).collect() });
            }
            lines.extend(pieces.into_iter().map(|piece| Line::Piece { layer, piece }));
        }
        lines
    }
}
