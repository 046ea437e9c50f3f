//! The Blocks stage: the work list with each block's settings, and the list of pieces.

use draft_core::{Block, Fitting, Grade, Name, Piece, Work};
use egui::{Align, CornerRadius, Frame, Layout, Margin, Response, RichText, Role, Sense, Stroke, Ui, WidgetInfo, vec2};

use super::book::{self, BookRequest};
use super::fitting::{FittingPanel, Outlook};
use super::icon::Icon;
use super::pen::Pen;
use super::setting::{Dragging, SettingRow};
use super::theme::{self, Palette};
use super::{Chosen, Desk, Request, Seen, Stage, facts, long_list, message, widget};
use crate::edit::Command;

/// Which work is open, and what is being dragged.
#[derive(Default)]
pub struct BlocksView {
    open: Option<usize>,
    /// Bring the open work into view.
    reveal: bool,
    dragging: Option<Dragging>,
    /// A fitting that is being recorded.
    fitting: Option<FittingPanel>,
}

impl BlocksView {
    /// Opens the settings of a work.
    pub fn open(&mut self, work: usize) {
        self.open = Some(work);
        self.reveal = true;
    }

    /// Shows the left panel.
    pub fn show(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        if let Some(panel) = &mut self.fitting {
            if let Outlook::Closes = panel.show(ui, desk, requests) {
                self.fitting = None;
            }
            return;
        }
        widget::column(ui, "blocks", |ui| {
            widget::heading(ui, "Work list");
            book::newer_editions(ui, &desk.newer, requests);
            let keeps = book::has_blocks(desk);
            let (seen, pen) = desk.seen_and_pen();
            if seen.garment.works.is_empty() {
                widget::soft(ui, "Choose the blocks that this garment starts from. They are drafted from the wearer card.");
            }
            let blocks = |i: &usize| seen.garment.works.get(*i).is_some_and(|e| e.work.block().is_some());
            let count = seen.garment.works.len();
            for i in (0..count).filter(blocks) {
                self.work(ui, i, &seen, pen, requests);
            }
            let others = count - (0..count).filter(blocks).count();
            if others > 0 {
                let text = format!("{others} {} at Redraw", if others == 1 { "alteration" } else { "alterations" });
                if ui.button(text).clicked() {
                    requests.push(Request::Go(Stage::Redraw));
                }
            }
            ui.add_space(4.0);
            add_blocks(ui, &seen, requests);
            if keeps {
                ui.horizontal_wrapped(|ui| {
                    let fit = ui.button("Record a fitting…");
                    if fit.on_hover_text("Write down what was pinned in the muslin, and change the block so").clicked() {
                        self.fitting = Some(FittingPanel::new(seen.garment, None));
                    }
                    let save = ui.button("Save the block…");
                    if save.on_hover_text("Keep the block and its fittings in the block book, as a first or the next edition").clicked() {
                        requests.push(Request::Book(BookRequest::Save));
                    }
                });
            }
            ui.add_space(theme::APART - 6.0);
            pieces(ui, &seen, requests);
            ui.add_space(theme::APART);
            whole_cast(ui, requests);
            ui.add_space(theme::APART);
        });
    }

    fn work(&mut self, ui: &mut Ui, i: usize, seen: &Seen<'_>, pen: &mut Pen, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        let (Some(entry), Some(outcome)) = (seen.garment.works.get(i), seen.built.outcomes.get(i)) else { return };
        let name = entry.work.block().map_or_else(|| entry.work.what(), |b| b.name().to_owned());
        let open = self.open == Some(i);
        let skipped = outcome.skipped.is_some();
        let frame = Frame::new()
            .fill(p.raised)
            .stroke(Stroke::new(
                1.0,
                if skipped {
                    p.madder
                } else if open {
                    p.chalk
                } else {
                    p.hairline
                },
            ))
            .corner_radius(CornerRadius::same(theme::ROUND))
            .inner_margin(Margin { left: 10, right: 8, top: 5, bottom: 5 });
        let shown = frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal(|ui| {
                if let Some(on) = widget::switch(ui, entry.on, &format!("{} the {name}", if entry.on { "Switch off" } else { "Switch on" }))
                {
                    requests.push(Request::Edit(Command::SwitchWork(i, on)));
                }
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if widget::icon_button(ui, Icon::Remove, &format!("Take out the {name}"), "", true).clicked() {
                        requests.push(Request::Edit(Command::RemoveWork(i)));
                    }
                    if header(ui, &name, entry.on, open) {
                        self.open = if open { None } else { Some(i) };
                    }
                });
            });
            if let Some(error) = &outcome.skipped {
                fault(ui, &error.problem, &error.remedy);
            }
            if open {
                ui.add_space(2.0);
                widget::basting(ui);
                self.note(ui, i, &entry.note, pen, requests);
                if let Work::Draft { block, settings } = &entry.work {
                    for setting in block.settings() {
                        SettingRow { work: i, setting, settings, unit: seen.unit }.show(ui, &mut self.dragging, pen, requests);
                    }
                }
                if let Work::Fit(fitting) = &entry.work {
                    self.of_fitting(ui, i, fitting, seen);
                }
                if let Some(from) = &entry.from {
                    widget::soft(ui, format!("From the block book: {}, edition {}", from.block, from.edition));
                }
                ui.add_space(4.0);
            } else if !entry.note.is_empty() {
                widget::soft(ui, &entry.note);
            }
        });
        if open && self.reveal {
            shown.response.scroll_to_me(Some(Align::TOP));
            self.reveal = false;
        }
    }

    /// What was pinned, in words.
    fn of_fitting(&mut self, ui: &mut Ui, i: usize, fitting: &Fitting, seen: &Seen<'_>) {
        let said = [("Pinned by", &fitting.by), ("On", &fitting.wearer), ("Notes", &fitting.notes)];
        let photo = fitting.photo.iter().map(|name| ("Photo", name));
        for (name, text) in said.into_iter().chain(photo).filter(|(_, text)| !text.is_empty()) {
            widget::soft(ui, format!("{name}: {text}"));
        }
        for change in &fitting.changes {
            ui.add(egui::Label::new(sentence_case(&change.what())).wrap());
        }
        if ui.button("Go on with this fitting…").clicked() {
            self.fitting = Some(FittingPanel::new(seen.garment, Some(i)));
        }
    }

    fn note(&self, ui: &mut Ui, i: usize, note: &str, pen: &mut Pen, requests: &mut Vec<Request>) {
        let line = pen.line(ui, widget::steady(("note of work", i)), note, |edit| {
            edit.desired_width(f32::INFINITY).hint_text("Note, such as: 2nd fitting, 14 Nov")
        });
        line.response.accessible_name("Note on this block");
        if let Some(text) = line.typing {
            requests.push(Request::Typing { command: Command::NoteWork(i, text), preview: true });
        }
        if let Some(text) = line.done {
            requests.push(Request::Edit(Command::NoteWork(i, text)));
        }
    }
}

/// The name of a block as something to open; says whether it was clicked.
fn header(ui: &mut Ui, name: &str, on: bool, open: bool) -> bool {
    let p = Palette::of(ui);
    let name = sentence_case(name);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), theme::TARGET), Sense::click());
    let what = if open { "close" } else { "open" };
    response.widget_info(|| WidgetInfo::selected(Role::DisclosureTriangle, true, open, format!("{name}: {what} its settings")));
    let ink = if on { p.ink } else { p.ink_soft };
    let hot = response.hovered() || response.has_focus();
    let arrow = egui::Rect::from_min_size(rect.min, vec2(20.0, rect.height()));
    let icon = if open { Icon::Down } else { Icon::Right };
    icon.paint(ui.painter(), arrow, 14.0, if hot { p.chalk } else { p.ink_soft });
    let font = egui::FontId::new(15.5, theme::strong());
    widget::paint_text(ui, rect.left_center() + vec2(26.0, 0.0), egui::Align2::LEFT_CENTER, &name, font, if hot { p.chalk } else { ink });
    if !on {
        widget::paint_text(ui, rect.right_center() - vec2(4.0, 0.0), egui::Align2::RIGHT_CENTER, "off", theme::small(), p.ink_soft);
    }
    if response.has_focus() {
        ui.painter().rect_stroke(rect, 4.0, Stroke::new(1.0, p.chalk), egui::StrokeKind::Inside);
    }
    response.clicked()
}

/// What is wrong, beside the field in which it stands.
pub fn fault(ui: &mut Ui, problem: &str, remedy: &str) {
    fault_of(ui, Grade::Error, problem, remedy);
}

/// What is the matter, beside the field in which it stands, by how much it matters.
pub fn fault_of(ui: &mut Ui, grade: Grade, problem: &str, remedy: &str) {
    let p = Palette::of(ui);
    let (icon, _, ink, wash) = message::marks(grade, p);
    Frame::new().fill(wash).corner_radius(CornerRadius::same(theme::ROUND)).inner_margin(Margin::symmetric(8, 5)).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 16.0), Sense::hover());
            icon.paint(ui.painter(), rect, 16.0, ink);
            ui.vertical(|ui| {
                ui.label(RichText::new(message::sentence(problem)).font(theme::small()).color(p.ink));
                ui.label(RichText::new(remedy).font(theme::small()).color(p.ink));
            });
        });
    });
}

fn add_blocks(ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
    let there = |block: Block| seen.garment.works.iter().any(|e| matches!(e.work, Work::Draft { block: b, .. } if b == block));
    let missing: Vec<Block> = Block::ALL.into_iter().filter(|b| !there(*b)).collect();
    for block in missing {
        if widget::button(ui, Icon::Plus, &format!("Draft the {}", block.name())).clicked() {
            requests.push(Request::Edit(Command::AddBlock(block)));
        }
    }
}

/// The way to a whole table of wearers.
fn whole_cast(ui: &mut Ui, requests: &mut Vec<Request>) {
    let cast = ui.button("Draft for a whole cast…");
    if cast.on_hover_text("Open a table of wearers, and draft these blocks with their settings for all of them").clicked() {
        requests.push(Request::OpenCast);
    }
}

/// The list of pieces: the table in words.
pub fn pieces(ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
    let pieces = &seen.built.draft.pieces;
    if pieces.is_empty() {
        return;
    }
    widget::heading(ui, "Pieces");
    let names: Vec<&Name> = pieces.iter().map(|p| p.name()).collect();
    long_list::show(ui, "pieces", 1.0, &names, |ui, i| piece_row(ui, seen, &pieces[i], ui.available_width(), false, requests).has_focus());
}

/// A piece as a line of a list, so wide; a click selects it.
pub fn piece_row(ui: &mut Ui, seen: &Seen<'_>, piece: &Piece, width: f32, hidden: bool, requests: &mut Vec<Request>) -> Response {
    let p = Palette::of(ui);
    let on = seen.chosen.piece() == Some(piece.name());
    let (rect, response) = ui.allocate_exact_size(vec2(width, theme::TARGET), Sense::click());
    let cut = if hidden { "hidden".to_owned() } else { facts::cut_words(piece) };
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, on, format!("{}: {cut}", piece.name())));
    let corner = CornerRadius::same(theme::ROUND);
    if on {
        ui.painter().rect_filled(rect, corner, p.chalk_wash);
    } else if response.hovered() {
        ui.painter().rect_filled(rect, corner, p.button);
    }
    if response.has_focus() {
        ui.painter().rect_stroke(rect, corner, Stroke::new(1.0, p.chalk), egui::StrokeKind::Inside);
    }
    let ink = if on {
        p.chalk
    } else if hidden {
        p.ink_soft
    } else {
        p.ink
    };
    let (left, right) = (rect.left_center() + vec2(10.0, 0.0), rect.right_center() - vec2(10.0, 0.0));
    widget::paint_text(ui, left, egui::Align2::LEFT_CENTER, piece.name().as_str(), theme::strong_body(), ink);
    widget::paint_text(ui, right, egui::Align2::RIGHT_CENTER, &cut, theme::small(), p.ink_soft);
    if response.clicked() {
        requests.push(Request::Choose(if on { Chosen::Nothing } else { Chosen::Piece(piece.name().clone()) }));
    }
    response
}

/// A name of the core as it stands at the beginning of a line.
pub fn sentence_case(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
