//! The Blocks stage: the work list with each block's settings, and the list of pieces.

use draft_core::{Block, Grade, Setting, SettingKind, SettingValue, Settings, Work};
use egui::{Align, CornerRadius, Frame, Layout, Margin, RichText, Role, ScrollArea, Sense, Slider, Stroke, Ui, WidgetInfo, vec2};

use super::icon::Icon;
use super::pen::Pen;
use super::theme::{self, Palette};
use super::{Chosen, Desk, Request, Seen, Stage, facts, message, widget};
use crate::edit::Command;

/// Which work is open, and what is being dragged.
#[derive(Default)]
pub struct BlocksView {
    open: Option<usize>,
    /// Bring the open work into view.
    reveal: bool,
    /// The setting being dragged: work, key, value so far.
    dragging: Option<(usize, &'static str, f64)>,
}

impl BlocksView {
    /// Opens the settings of a work.
    pub fn open(&mut self, work: usize) {
        self.open = Some(work);
        self.reveal = true;
    }

    /// Shows the left panel.
    pub fn show(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        ScrollArea::vertical().id_salt("blocks").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_width(ui.available_width() - 10.0);
            widget::heading(ui, "Work list");
            let (seen, pen) = desk.seen_and_pen();
            if seen.garment.works.is_empty() {
                widget::soft(ui, "Choose the blocks that this garment starts from. They are drafted from the wearer card.");
            }
            for i in 0..seen.garment.works.len() {
                self.work(ui, i, &seen, pen, requests);
            }
            ui.add_space(4.0);
            add_blocks(ui, &seen, requests);
            ui.add_space(theme::APART - 6.0);
            pieces(ui, &seen, requests);
            ui.add_space(theme::APART);
        });
    }

    fn work(&mut self, ui: &mut Ui, i: usize, seen: &Seen<'_>, pen: &mut Pen, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        let (Some(entry), Some(outcome)) = (seen.garment.works.get(i), seen.built.outcomes.get(i)) else { return };
        let Work::Draft { block, settings } = &entry.work;
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
                let name = block.name();
                if let Some(on) = widget::switch(ui, entry.on, &format!("{} the {name}", if entry.on { "Switch off" } else { "Switch on" }))
                {
                    requests.push(Request::Edit(Command::SwitchWork(i, on)));
                }
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if widget::icon_button(ui, Icon::Remove, &format!("Take out the {name}"), "", true).clicked() {
                        requests.push(Request::Edit(Command::RemoveWork(i)));
                    }
                    if header(ui, *block, entry.on, open) {
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
                for setting in block.settings() {
                    self.setting(ui, i, setting, settings, seen, pen, requests);
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

    fn setting(
        &mut self,
        ui: &mut Ui,
        work: usize,
        setting: &'static Setting,
        settings: &Settings,
        seen: &Seen<'_>,
        pen: &mut Pen,
        requests: &mut Vec<Request>,
    ) {
        let p = Palette::of(ui);
        let unit = seen.unit;
        ui.add_space(3.0);
        let set = settings.is_set(setting);
        let value = settings.get(setting);
        let id = widget::steady(("setting", work, setting.key));
        let label = ui
            .horizontal(|ui| {
                ui.spacing_mut().interact_size.y = 22.0;
                let label = ui.label(RichText::new(setting.label).color(p.ink)).on_hover_text(setting.what);
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if set {
                        let to = setting.default_value().text(unit);
                        let reset = ui.add(
                            egui::Button::new(RichText::new(format!("back to {to}")).font(theme::small()).color(p.chalk))
                                .small()
                                .frame_when_inactive(false),
                        );
                        if reset
                            .on_hover_text(format!("Go back to the default, {to}"))
                            .accessible_name(format!("{}: go back to {to}", setting.label))
                            .clicked()
                        {
                            pen.accept(id);
                            requests.push(Request::Edit(Command::Set { work, setting, value: None }));
                        }
                    }
                });
                label
            })
            .inner;
        match setting.kind {
            SettingKind::Choice(words) => {
                let all: Vec<_> = words.iter().map(|w| (*w, *w, format!("{}: {w}", setting.label))).collect();
                let now = settings.word(setting);
                let now = words.iter().copied().find(|w| *w == now).unwrap_or("");
                if let Some(word) = widget::choices(ui, setting.key, now, &all) {
                    requests.push(Request::Edit(Command::Set { work, setting, value: Some(SettingValue::Word(word.to_owned())) }));
                }
            }
            SettingKind::Length { least, most } | SettingKind::Angle { least, most } | SettingKind::Number { least, most, .. } => {
                let help = format!("{} Takes {}.", setting.what, setting.takes(unit));
                let mut writing = false;
                ui.horizontal(|ui| {
                    let text = value.text(unit);
                    let refused = pen.refused(id).is_some();
                    let line = pen.line(ui, id, &text, |edit| edit.desired_width(96.0).text_color_opt(refused.then_some(p.madder)));
                    writing = line.response.has_focus();
                    line.response.labelled_by(label.id).on_hover_text(&help);
                    if let Some(typed) = line.typing
                        && let Ok(value) = setting.parse(&typed, unit)
                    {
                        requests.push(Request::Typing { command: Command::Set { work, setting, value: Some(value) }, preview: true });
                    }
                    if let Some(typed) = line.done {
                        match setting.parse(&typed, unit) {
                            Ok(value) => {
                                pen.accept(id);
                                requests.push(Request::Edit(Command::Set { work, setting, value: Some(value) }));
                            }
                            Err(_) => pen.refuse(id, typed),
                        }
                    }
                    self.slider(ui, work, setting, settings, (least, most), requests);
                });
                if writing {
                    widget::soft(ui, help);
                }
                if let Some(typed) = pen.refused(id)
                    && let Err(error) = setting.parse(typed, unit)
                {
                    fault(ui, &error.problem, &error.remedy);
                }
            }
        }
    }

    /// A slider beside the field: shows while it is dragged, and is one step when it is let go.
    fn slider(
        &mut self,
        ui: &mut Ui,
        work: usize,
        setting: &'static Setting,
        settings: &Settings,
        (least, most): (f64, f64),
        requests: &mut Vec<Request>,
    ) {
        let now = settings.value(setting);
        let mut v = match self.dragging {
            Some((w, key, v)) if w == work && key == setting.key => v,
            _ => now,
        };
        let step = match setting.kind {
            SettingKind::Number { whole: true, .. } => 1.0,
            SettingKind::Length { .. } if most - least > 1500.0 => 10.0,
            SettingKind::Length { .. } => 1.0,
            _ => 0.5,
        };
        ui.spacing_mut().slider_width = (ui.available_width() - 4.0).max(40.0);
        let response = ui.add(Slider::new(&mut v, least..=most).show_value(false).step_by(step));
        response.widget_info(|| WidgetInfo::slider(true, v, format!("{}, slider", setting.label)));
        let value = || match setting.kind {
            SettingKind::Length { .. } => SettingValue::Length(v),
            SettingKind::Angle { .. } => SettingValue::Angle(v),
            _ => SettingValue::Number(v),
        };
        let command = || Command::Set { work, setting, value: Some(value()) };
        if response.dragged() {
            self.dragging = Some((work, setting.key, v));
            if (v - now).abs() > 1e-9 || self.dragging.is_some() {
                requests.push(Request::Typing { command: command(), preview: true });
            }
        } else if self.dragging.take_if(|(w, key, _)| *w == work && *key == setting.key).is_some() || (response.changed() && v != now) {
            requests.push(Request::Edit(command()));
        }
    }
}

/// The name of a block as something to open; says whether it was clicked.
fn header(ui: &mut Ui, block: Block, on: bool, open: bool) -> bool {
    let p = Palette::of(ui);
    let name = sentence_case(block.name());
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

/// The list of pieces: the table in words.
pub fn pieces(ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    if seen.built.draft.pieces.is_empty() {
        return;
    }
    widget::heading(ui, "Pieces");
    ui.spacing_mut().item_spacing.y = 1.0;
    for piece in &seen.built.draft.pieces {
        let on = seen.chosen.piece() == Some(piece.name());
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), theme::TARGET), Sense::click());
        let cut = facts::cut_words(piece);
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
        let ink = if on { p.chalk } else { p.ink };
        widget::paint_text(
            ui,
            rect.left_center() + vec2(10.0, 0.0),
            egui::Align2::LEFT_CENTER,
            piece.name().as_str(),
            theme::strong_body(),
            ink,
        );
        widget::paint_text(ui, rect.right_center() - vec2(10.0, 0.0), egui::Align2::RIGHT_CENTER, &cut, theme::small(), p.ink_soft);
        if response.clicked() {
            requests.push(Request::Choose(if on { Chosen::Nothing } else { Chosen::Piece(piece.name().clone()) }));
        }
    }
}

/// The left panel of stages whose tools are not here yet.
pub fn pieces_only(ui: &mut Ui, desk: &Desk, requests: &mut Vec<Request>) {
    let seen = desk.seen();
    ScrollArea::vertical().id_salt("pieces").auto_shrink([false, false]).show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        let (title, text) = match seen.stage {
            Stage::Redraw => (
                "Redraw",
                "Drawing on the cloth, cutting and pinning are not here yet. The pieces lie on the table as they were drafted; change them at Blocks for now.",
            ),
            Stage::Lay | Stage::Measure | Stage::Blocks | Stage::Print => (
                "Lay",
                "Laying the pieces on a width of cloth is not here yet. Print the sheet and lay the paper pieces by hand for now.",
            ),
        };
        widget::heading(ui, title);
        widget::raised(ui).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(text);
        });
        ui.add_space(theme::APART);
        pieces(ui, &seen, requests);
    });
}

/// A name of the core as it stands at the beginning of a line.
pub fn sentence_case(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
