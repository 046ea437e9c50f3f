//! The table of pieces and cloths: from which cloths each piece is cut, how often, and how its outline changes.

use std::collections::HashSet;

use draft_core::cloth::{Cloth, ClothKind, Finish, Layer, Stack, Strip, facing_depth, layers_of};
use draft_core::{Draft, DraftError, Length, Name, Piece, Role};
use egui::{Frame, Margin, RichText, ScrollArea, Ui, vec2};

use super::field::{Field, Form, length, perhaps_count, perhaps_length, pick};
use crate::edit::ClothCommand;
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::{Seen, facts, widget};

/// One column: its head, what belongs into it, and how wide it is, screen points.
struct Column {
    head: &'static str,
    about: &'static str,
    width: f32,
}

const fn column(head: &'static str, width: f32, about: &'static str) -> Column {
    Column { head, about, width }
}

const CLOTH: Column = column("Cloth", 158.0, "From which cloth");
const CUT: Column = column("Cut", 46.0, "How often; empty for as often as the piece says");
const SEAM: Column = column("Seam allowance", 92.0, "On every edge but the hem; empty for what each edge of the piece has");
const HEM: Column = column("Hem allowance", 92.0, "At the hem; empty for what the hem of the piece has");
const RAISED: Column = column("Hem raised by", 86.0, "The finished hem of this layer lies so much higher, as that of a lining does");
const FINISH: Column = column("Its edges", 138.0, "How the edges of this layer are finished");
const BIAS: Column = column("Bias", 42.0, "Cut on the bias, at 45° to the straight grain");
const SHORT: Column =
    column("If cloth is short", 128.0, "Where what is in the cupboard is not enough, some pieces are left out: these first, or last");
const COLUMNS: [Column; 8] = [CLOTH, CUT, SEAM, HEM, RAISED, FINISH, BIAS, SHORT];

/// Room between columns, and before the first, screen points.
const GAP: f32 = 8.0;
const MARGIN: f32 = 12.0;
/// The whole table is at least so wide.
const LEAST: f32 = 940.0;

/// What stands in a field that is left empty.
const AS_PIECE: &str = "as piece";

/// How a rank is told; what has the greatest is left out last.
fn rank(importance: u8) -> String {
    match importance {
        0 => "left out first".into(),
        1 => "left out later".into(),
        2 => "left out last".into(),
        n => format!("kept longer: {n}"),
    }
}

/// Something in its column, which it neither leaves nor widens.
fn cell<R>(ui: &mut Ui, column: &Column, show: impl FnOnce(&mut Ui) -> R) -> R {
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    ui.allocate_ui_with_layout(vec2(column.width, theme::TARGET), layout, |ui| {
        ui.set_width(column.width);
        show(ui)
    })
    .inner
}

/// Which layers show their change of outline.
#[derive(Default)]
pub struct Stacks {
    open: HashSet<(Name, usize)>,
}

impl Stacks {
    /// Shows the table.
    pub fn show(&mut self, ui: &mut Ui, seen: &Seen<'_>, form: &mut Form<'_>) {
        let p = Palette::of(ui);
        Frame::new().inner_margin(Margin::symmetric(16, 12)).show(ui, |ui| {
            ScrollArea::both().id_salt("stacks").auto_shrink([false, false]).show(ui, |ui| {
                ui.set_min_width(LEAST);
                widget::soft(ui, "Each piece is cut from a list of cloths, outermost first; a change to the piece moves them all. What is left empty is as the piece has it. “Hem raised by” lets a lining end above the cloth that is seen; “If cloth is short” says what is left out first when what is in the cupboard is not enough.");
                ui.horizontal(|ui| {
                    ui.spacing_mut().item_spacing.x = GAP;
                    ui.add_space(MARGIN);
                    for Column { head, about, width } in COLUMNS {
                        let (rect, response) = ui.allocate_exact_size(vec2(width, 18.0), egui::Sense::hover());
                        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, format!("{head}: {about}")));
                        widget::paint_text(ui, rect.left_center(), egui::Align2::LEFT_CENTER, head, theme::small(), p.ink_soft);
                        response.on_hover_text(about);
                    }
                });
                let cloths = seen.garment.cloths_or_plain();
                for piece in &seen.built.draft.pieces {
                    self.piece(ui, seen, piece, &cloths, form);
                }
                ui.add_space(theme::APART);
            });
        });
    }

    fn piece(&mut self, ui: &mut Ui, seen: &Seen<'_>, piece: &Piece, cloths: &[Cloth], form: &mut Form<'_>) {
        let p = Palette::of(ui);
        let own = seen.garment.stacks.iter().find(|s| s.piece == *piece.name());
        let all = layers_of(seen.garment, cloths, piece.name());
        // The toile's cloth comes of itself unless it stands in the list.
        let listed = own.map_or_else(|| all.iter().take_while(|l| !is_toile(cloths, l)).count(), |s| s.layers.len());
        let layers = &all[..listed.min(all.len())];
        widget::raised(ui).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal(|ui| {
                ui.label(RichText::new(piece.name().as_str()).font(theme::strong_body()).color(p.ink));
                widget::soft(ui, facts::cut_words(piece));
                if own.is_some() {
                    let reset =
                        widget::icon_button(ui, Icon::Reset, &format!("{}: from the first cloth again, as it is", piece.name()), "", true);
                    if reset.clicked() {
                        form.do_it(ClothCommand::Unstack(piece.name().clone()));
                    }
                }
            });
            for at in 0..layers.len() {
                let row = Row { draft: &seen.built.draft, piece, layers, cloths, at };
                row.show(ui, form, &mut self.open);
            }
            ui.horizontal(|ui| {
                let unused: Vec<(String, String)> =
                    cloths.iter().filter(|c| !layers.iter().any(|l| l.cloth == c.name)).map(|c| (c.name.clone(), c.name.clone())).collect();
                if !unused.is_empty() {
                    let name = format!("Cut the {} from another cloth too", piece.name());
                    let mut all = vec![(String::new(), "Add a layer…".to_owned())];
                    all.extend(unused);
                    if let Some(cloth) = pick(ui, widget::steady(("add layer", piece.name().as_str())), &name, &String::new(), &all, 140.0)
                    {
                        let mut layers = layers.to_vec();
                        layers.push(Layer::of(cloth));
                        form.do_it(ClothCommand::Stack(Stack { piece: piece.name().clone(), layers }));
                    }
                }
                let toiles: Vec<&str> = all[layers.len()..].iter().map(|l| l.cloth.as_str()).collect();
                if !toiles.is_empty() {
                    widget::soft(ui, format!("and once more from the {}, for the toile", toiles.join(", ")));
                }
            });
        });
    }
}

fn is_toile(cloths: &[Cloth], layer: &Layer) -> bool {
    cloths.iter().any(|c| c.name == layer.cloth && c.kind == ClothKind::Toile)
}

/// One layer of a piece.
struct Row<'r> {
    draft: &'r Draft,
    piece: &'r Piece,
    layers: &'r [Layer],
    cloths: &'r [Cloth],
    at: usize,
}

impl Row<'_> {
    fn stack(&self, with: impl FnOnce(&mut Vec<Layer>)) -> Result<ClothCommand, DraftError> {
        let mut layers = self.layers.to_vec();
        with(&mut layers);
        let stack = Stack { piece: self.piece.name().clone(), layers };
        stack.check(self.cloths)?;
        Ok(if stack.layers.is_empty() { ClothCommand::Unstack(stack.piece) } else { ClothCommand::Stack(stack) })
    }

    fn change(&self, with: impl FnOnce(&mut Layer)) -> Result<ClothCommand, DraftError> {
        self.stack(|layers| {
            if let Some(layer) = layers.get_mut(self.at) {
                with(layer);
            }
        })
    }

    fn set(&self, form: &mut Form<'_>, with: impl FnOnce(&mut Layer)) {
        if let Ok(command) = self.change(with) {
            form.do_it(command);
        }
    }

    fn id(&self, what: &str) -> egui::Id {
        widget::steady(("layer", self.piece.name().as_str(), self.at, what))
    }

    fn show(&self, ui: &mut Ui, form: &mut Form<'_>, open: &mut HashSet<(Name, usize)>) {
        let Some(layer) = self.layers.get(self.at) else { return };
        let called = |what: &str| format!("{}, {}: {what}", self.piece.name(), layer.cloth);
        let unit = form.unit;
        let key = (self.piece.name().clone(), self.at);
        let perhaps = |l: Option<Length>| l.map_or_else(String::new, |l| l.text(unit));
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = GAP;
            let all: Vec<(String, String)> = self.cloths.iter().map(|c| (c.name.clone(), c.name.clone())).collect();
            let cloth = cell(ui, &CLOTH, |ui| pick(ui, self.id("cloth"), &called("cloth"), &layer.cloth, &all, CLOTH.width));
            if let Some(cloth) = cloth {
                self.set(form, |l| l.cloth = cloth);
            }
            let field = |what: &str, name, column: &Column| Field { id: self.id(what), name, about: column.about, width: column.width };
            let name = called("how often cut");
            let now = layer.count.map_or_else(String::new, |n| n.to_string());
            let hint = self.piece.cut().count.to_string();
            cell(ui, &CUT, |ui| {
                form.bare(ui, field("count", &name, &CUT), &now, &hint, perhaps_count, |n| self.change(|l| l.count = n));
            });
            let name = called("seam allowance");
            cell(ui, &SEAM, |ui| {
                let field = field("allowance", &name, &SEAM);
                form.bare(ui, field, &perhaps(layer.allowance), AS_PIECE, perhaps_length(unit), |x| self.change(|l| l.allowance = x));
            });
            let name = called("hem allowance");
            cell(ui, &HEM, |ui| {
                let field = field("hem", &name, &HEM);
                form.bare(ui, field, &perhaps(layer.hem), AS_PIECE, perhaps_length(unit), |x| self.change(|l| l.hem = x));
            });
            let name = called("hem raised by");
            cell(ui, &RAISED, |ui| {
                let field = field("shorter", &name, &RAISED);
                form.bare(ui, field, &layer.hem_shorter.text(unit), "", length(unit), |x| self.change(|l| l.hem_shorter = x));
            });
            let all = Finish::ALL.map(|f| (f, f.word().to_owned()));
            let finish = cell(ui, &FINISH, |ui| pick(ui, self.id("finish"), &called("finish"), &layer.finish, &all, FINISH.width));
            if let Some(finish) = finish {
                self.set(form, |l| l.finish = finish);
            }
            if let Some(on) = cell(ui, &BIAS, |ui| widget::switch(ui, layer.bias, &called("on the bias"))) {
                self.set(form, |l| l.bias = on);
            }
            let all: Vec<(u8, String)> = (0..=2).chain((layer.importance > 2).then_some(layer.importance)).map(|n| (n, rank(n))).collect();
            let name = called("if cloth is short");
            if let Some(n) = cell(ui, &SHORT, |ui| pick(ui, self.id("weight"), &name, &layer.importance, &all, SHORT.width)) {
                self.set(form, |l| l.importance = n);
            }
            let is_open = open.contains(&key);
            let icon = if is_open { Icon::Down } else { Icon::Right };
            let more = called(if is_open { "close its change of outline" } else { "open its change of outline" });
            if widget::icon_button(ui, icon, &more, "", true).clicked() && !open.remove(&key) {
                open.insert(key.clone());
            }
            if widget::icon_button(ui, Icon::Remove, &called("not cut from it"), "", true).clicked()
                && let Ok(command) = self.stack(|layers| {
                    layers.remove(self.at);
                })
            {
                form.do_it(command);
            }
        });
        form.refusal(ui, self.id("count"), perhaps_count, |n| self.change(|l| l.count = n));
        form.refusal(ui, self.id("allowance"), perhaps_length(unit), |x| self.change(|l| l.allowance = x));
        form.refusal(ui, self.id("hem"), perhaps_length(unit), |x| self.change(|l| l.hem = x));
        form.refusal(ui, self.id("shorter"), length(unit), |x| self.change(|l| l.hem_shorter = x));
        let changed = layer.cut_away.len() + layer.raw.len();
        if open.contains(&key) {
            ui.indent(self.id("outline"), |ui| self.outline(ui, form, layer));
        } else if changed > 0 {
            let away = layer.cut_away.iter().map(|s| format!("{} cut away along the {}", unit.rough(s.by.mm()), s.edge));
            let raw = layer.raw.iter().map(|e| format!("{e} left raw"));
            widget::soft(ui, away.chain(raw).collect::<Vec<_>>().join(", "));
        }
    }

    /// Strips cut away, and edges left raw.
    fn outline(&self, ui: &mut Ui, form: &mut Form<'_>, layer: &Layer) {
        let unit = form.unit;
        let called = |what: &str| format!("{}, {}: {what}", self.piece.name(), layer.cloth);
        let edges: Vec<Name> =
            self.piece.edges().iter().filter(|e| !matches!(e.role, Role::DartLeg | Role::Fold)).map(|e| e.name.clone()).collect();
        for (n, strip) in layer.cut_away.iter().enumerate() {
            ui.horizontal(|ui| {
                widget::soft(ui, "Cut away along the");
                ui.label(strip.edge.as_str());
                let name = called(&format!("cut away along the {}", strip.edge));
                let id = self.id(&format!("strip {n}"));
                let field = Field {
                    id,
                    name: &name,
                    about: "How far in from the seam line of the piece that of this layer comes to lie: as deep as the facing is there",
                    width: 80.0,
                };
                form.bare(ui, field, &strip.by.text(unit), "", length(unit), |x| {
                    self.change(|l| {
                        if let Some(strip) = l.cut_away.get_mut(n) {
                            strip.by = x;
                        }
                    })
                });
                if widget::icon_button(ui, Icon::Remove, &called(&format!("not cut away along the {}", strip.edge)), "", true).clicked() {
                    self.set(form, |l| {
                        l.cut_away.remove(n);
                    });
                }
            });
        }
        for (n, edge) in layer.raw.iter().enumerate() {
            ui.horizontal(|ui| {
                widget::soft(ui, format!("The {edge} is left raw, without allowance"));
                if widget::icon_button(ui, Icon::Remove, &called(&format!("{edge} with its allowance again")), "", true).clicked() {
                    self.set(form, |l| {
                        l.raw.remove(n);
                    });
                }
            });
        }
        ui.horizontal(|ui| {
            let list = |first: &str, taken: &dyn Fn(&Name) -> bool| {
                let mut all = vec![(Name::from(""), first.to_owned())];
                all.extend(edges.iter().filter(|e| !taken(e)).map(|e| (e.clone(), e.to_string())));
                all
            };
            let all = list("Cut away along…", &|e| layer.cut_away.iter().any(|s| s.edge == *e));
            if let Some(edge) = pick(ui, self.id("add strip"), &called("cut away a strip"), &Name::from(""), &all, 150.0) {
                // As deep as the facing that lies there, where there is one.
                let by = facing_depth(self.draft, self.piece, edge.as_str()).unwrap_or(Length::from_cm(5.0));
                self.set(form, |l| l.cut_away.push(Strip { edge, by }));
            }
            let all = list("Leave raw…", &|e| layer.raw.contains(e));
            if let Some(edge) = pick(ui, self.id("add raw"), &called("leave an edge raw"), &Name::from(""), &all, 150.0) {
                self.set(form, |l| l.raw.push(edge));
            }
        });
    }
}
