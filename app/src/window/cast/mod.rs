//! The cast: a table of wearers drafted in one go, those with problems first.

mod running;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use draft_core::{Block, Settings, Unit, Work};
use egui::{Align, Context, Frame, Label, Layout, Margin, ProgressBar, RichText, ScrollArea, Stroke, Ui};

use self::running::{Running, State};
use super::icon::Icon;
use super::theme::{self, Palette};
use super::{Desk, Request, blocks, message, widget};
use crate::cast::{Cast, Summary};
use crate::files::{self, FileProblem};

/// So many wearers are listed at once.
const AT_ONCE: usize = 100;
/// So many columns that are not used are named; the rest is counted.
const UNUSED_SHOWN: usize = 8;
/// The list is no wider than this, so that its lines can be read.
const WIDEST: f32 = 1040.0;

/// A table of wearers, what is drafted for them, and what came of it.
pub struct CastView {
    file: PathBuf,
    text: String,
    unit: Unit,
    cast: Arc<Cast>,
    blocks: Vec<(Block, Settings, bool)>,
    drafting: Option<Running<Option<Vec<Summary>>>>,
    /// Wearers with problems first; nothing until they are drafted.
    list: Option<Vec<Summary>>,
    only_problems: bool,
    /// The first wearer listed.
    from: usize,
    saving: Option<(Running<Result<usize, FileProblem>>, PathBuf)>,
    said: Option<String>,
}

impl CastView {
    /// Reads a table. The blocks are those of the garment at work, with their settings; without one, bodice, skirt and
    /// sleeve.
    ///
    /// # Errors
    /// The file can't be read, or has no column for any measurement.
    pub fn open(file: &Path, desk: Option<&Desk>, unit: Unit) -> Result<Self, FileProblem> {
        let text = files::read_text(file)?;
        let cast = Arc::new(Cast::read(&text, unit, &file.display().to_string())?);
        let works = desk.map(|d| d.garment().works.as_slice()).unwrap_or_default();
        let usual = [Block::Bodice, Block::Skirt, Block::Sleeve];
        let blocks = Block::ALL
            .into_iter()
            .map(|block| {
                let there = works.iter().find(|e| matches!(&e.work, Work::Draft { block: b, .. } if *b == block));
                match there.map(|e| (&e.work, e.on)) {
                    Some((Work::Draft { settings, .. }, on)) => (block, settings.clone(), on),
                    _ => (block, Settings::default(), works.is_empty() && usual.contains(&block)),
                }
            })
            .collect();
        Ok(Self {
            file: file.to_owned(),
            text,
            unit,
            cast,
            blocks,
            drafting: None,
            list: None,
            only_problems: false,
            from: 0,
            saving: None,
            said: None,
        })
    }

    /// What was drafted, wearers with problems first; `None` until it is done.
    pub fn list(&self) -> Option<&[Summary]> {
        self.list.as_deref()
    }

    /// Begins to write the reports into a folder.
    pub fn save(&mut self, ctx: &Context, folder: PathBuf) {
        if let Some(list) = &self.list {
            let mut list = list.clone();
            list.sort_by_key(|s| s.row);
            self.said = None;
            self.saving = Some((Running::save(ctx, folder.clone(), list), folder));
        }
    }

    /// The folder to suggest for the reports.
    pub fn folder_name(&self) -> String {
        format!("{} cast", self.file.file_stem().unwrap_or_default().to_string_lossy())
    }

    /// Where the table lies.
    pub fn folder(&self) -> Option<&Path> {
        self.file.parent()
    }

    /// Looks what has come back; what went wrong with the reports is handed on.
    pub fn look(&mut self, ctx: &Context) -> Option<FileProblem> {
        if let Some(drafting) = self.drafting.take() {
            match drafting.look(ctx) {
                State::Under => self.drafting = Some(drafting),
                State::Done(Some(mut list)) => {
                    list.sort_by_key(|s| (std::cmp::Reverse(s.worst().map(|m| m.grade)), std::cmp::Reverse(s.problems()), s.row));
                    self.list = Some(list);
                    self.from = 0;
                }
                State::Done(None) => self.said = Some("Called off; nothing was drafted.".into()),
                State::Lost => self.said = Some("The work stopped half way. Draft again.".into()),
            }
        }
        let (saving, folder) = self.saving.take()?;
        match saving.look(ctx) {
            State::Under => self.saving = Some((saving, folder)),
            State::Done(Ok(n)) if n < saving.of => {
                self.said = Some(format!("Called off: {n} of {} wearers are written into {}.", saving.of, folder.display()));
            }
            State::Done(Ok(n)) => self.said = Some(format!("Wrote garments and reports of {n} wearers into {}.", folder.display())),
            State::Done(Err(problem)) => return Some(problem),
            State::Lost => self.said = Some("Writing stopped half way. Save again.".into()),
        }
        None
    }

    /// Shows the page.
    pub fn show(&mut self, ui: &mut Ui, requests: &mut Vec<Request>) {
        let margin = ((ui.available_width() - WIDEST) / 2.0).max(20.0);
        Frame::new().inner_margin(Margin::symmetric(margin.min(120.0) as i8, 14)).show(ui, |ui| {
            ScrollArea::vertical().id_salt("cast").auto_shrink([false, false]).show(ui, |ui| {
                ui.set_width((ui.available_width() - 14.0).min(WIDEST));
                self.head(ui, requests);
                self.choices(ui);
                ui.add_space(8.0);
                self.progress(ui, requests);
                self.wearers(ui, requests);
                ui.add_space(theme::APART);
            });
        });
    }

    fn head(&self, ui: &mut Ui, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        ui.horizontal(|ui| {
            if ui.button("Go back").on_hover_text("Leave the cast").clicked() {
                requests.push(Request::LeaveCast);
            }
            let name = self.file.file_name().unwrap_or_default().to_string_lossy();
            let title = format!("Cast: {}, {}", name, wearers(self.cast.rows.len()));
            ui.add(Label::new(RichText::new(title).font(theme::title()).color(p.ink)).truncate());
        });
        widget::basting(ui);
        let small = |text: String| Label::new(RichText::new(text).font(theme::small()).color(p.ink_soft)).wrap();
        let used: Vec<String> = self.cast.used.iter().map(|m| m.name().to_lowercase()).collect();
        ui.add(small(format!("Measurements read: {}.", used.join(", "))));
        let unused = &self.cast.unused;
        if !unused.is_empty() {
            let more = unused.len().saturating_sub(UNUSED_SHOWN);
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            let first = unused[..unused.len().min(UNUSED_SHOWN)].join(", ");
            let text = format!("Columns that are no measurement, and are not used: {first}{more}.");
            ui.add(small(text)).on_hover_text(unused.join(", "));
        }
    }

    fn choices(&mut self, ui: &mut Ui) {
        ui.add_enabled_ui(self.drafting.is_none(), |ui| {
            ui.horizontal(|ui| {
                widget::field_name(ui, "Columns without a unit", 170.0);
                let all = Unit::ALL.map(|u| (u, u.sign(), format!("Numbers of columns that name no unit are {u}")));
                if let Some(unit) = widget::choices(ui, "cast unit", self.unit, &all)
                    && let Ok(cast) = Cast::read(&self.text, unit, &self.file.display().to_string())
                {
                    (self.unit, self.cast, self.list) = (unit, Arc::new(cast), None);
                }
            });
            ui.horizontal_wrapped(|ui| {
                widget::field_name(ui, "Blocks", 170.0);
                for (block, _, on) in &mut self.blocks {
                    if ui.checkbox(on, blocks::sentence_case(block.name())).changed() {
                        self.list = None;
                    }
                }
            });
        });
    }

    fn progress(&mut self, ui: &mut Ui, requests: &mut Vec<Request>) {
        let running = match (&self.drafting, &self.saving) {
            (Some(running), _) => Some((running.done(), running.of, "Drafting")),
            (None, Some((running, _))) => Some((running.done(), running.of, "Writing")),
            (None, None) => None,
        };
        if let Some((done, of, word)) = running {
            ui.horizontal(|ui| {
                let text = format!("{word}: {done} of {}", wearers(of));
                ui.add(ProgressBar::new(done as f32 / of.max(1) as f32).desired_width(320.0).text(text));
                if ui.button("Cancel").clicked() {
                    if let Some(running) = &self.drafting {
                        running.call_off();
                    }
                    if let Some((running, _)) = &self.saving {
                        running.call_off();
                    }
                }
            });
            return;
        }
        ui.horizontal(|ui| {
            let chosen = self.blocks.iter().any(|(.., on)| *on);
            ui.add_enabled_ui(chosen && !self.cast.rows.is_empty(), |ui| {
                let text = format!("Draft for {}", wearers(self.cast.rows.len()));
                if widget::main_button(ui, Some(Icon::Gown), &text).clicked() {
                    let blocks = self.blocks.iter().filter(|(.., on)| *on).map(|(b, s, _)| (*b, s.clone())).collect();
                    (self.list, self.said) = (None, None);
                    self.drafting = Some(Running::draft(ui.ctx(), Arc::clone(&self.cast), blocks));
                }
            });
            ui.add_enabled_ui(self.list.is_some(), |ui| {
                let save = widget::button(ui, Icon::Save, "Save the reports…");
                if save.on_hover_text("Write each wearer's garment and report, and a table of them all, into a folder").clicked() {
                    requests.push(Request::SaveCastReports);
                }
            });
        });
        if let Some(said) = &self.said {
            ui.add(Label::new(said).wrap());
        }
    }

    fn wearers(&mut self, ui: &mut Ui, requests: &mut Vec<Request>) {
        let Some(list) = &self.list else { return };
        let with_problems = list.iter().filter(|s| s.problems() > 0).count();
        let sound = list.iter().filter(|s| s.is_sound()).count();
        ui.add_space(8.0);
        ui.horizontal(|ui| {
            widget::heading(ui, &format!("{sound} of {} sound, {with_problems} with problems", wearers(list.len())));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if ui.checkbox(&mut self.only_problems, "Only with problems").changed() {
                    self.from = 0;
                }
            });
        });
        let shown: Vec<&Summary> = list.iter().filter(|s| !self.only_problems || s.problems() > 0).collect();
        self.from = self.from.min(shown.len().saturating_sub(1));
        for wearer in shown.iter().skip(self.from).take(AT_ONCE) {
            row(ui, wearer, requests);
        }
        if shown.is_empty() {
            widget::soft(ui, "None has a problem.");
        }
        let (from, of) = (self.from, shown.len());
        if of > AT_ONCE {
            ui.horizontal(|ui| {
                ui.add_enabled_ui(from > 0, |ui| {
                    if ui.button(format!("Show the {AT_ONCE} before")).clicked() {
                        self.from = from.saturating_sub(AT_ONCE);
                    }
                });
                widget::soft(ui, format!("{} to {} of {of}", from + 1, (from + AT_ONCE).min(of)));
                ui.add_enabled_ui(from + AT_ONCE < of, |ui| {
                    if ui.button(format!("Show the next {AT_ONCE}")).clicked() {
                        self.from = from + AT_ONCE;
                    }
                });
            });
        }
    }
}

fn wearers(n: usize) -> String {
    if n == 1 { "1 wearer".into() } else { format!("{n} wearers") }
}

/// One wearer: state and name, the gravest thing found, and the way to the card.
fn row(ui: &mut Ui, wearer: &Summary, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let worst = wearer.worst();
    let (icon, word, ink, wash) = match worst {
        Some(m) => message::marks(m.grade, p),
        None => (Icon::Tick, "Sound", p.ink_soft, p.raised),
    };
    // A caution alone belongs to the work and is no problem of this wearer.
    let wash = if wearer.problems() > 0 { wash } else { p.raised };
    let frame = Frame::new().fill(wash).stroke(Stroke::new(1.0, p.hairline)).corner_radius(theme::ROUND);
    frame.inner_margin(Margin::symmetric(10, 5)).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(20.0, 20.0), egui::Sense::hover());
            icon.paint(ui.painter(), rect, 18.0, ink);
            ui.label(RichText::new(&wearer.name).font(theme::strong_body()).color(p.ink));
            widget::soft(ui, format!("row {}, {}", wearer.row, word.to_lowercase()));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if let Some(garment) = &wearer.garment {
                    let open = ui.button("Open as a new garment").on_hover_text("The wearer's card with these blocks, not saved yet");
                    if open.accessible_name(format!("Open {} as a new garment", wearer.name)).clicked() {
                        requests.push(Request::TakeGarment(Box::new(garment.clone())));
                    }
                }
            });
        });
        if let Some(m) = worst {
            ui.spacing_mut().item_spacing.y = 2.0;
            ui.add(Label::new(RichText::new(format!("{}: {}", m.place, message::sentence(&m.problem))).color(p.ink)).wrap());
            if !m.remedy.is_empty() {
                ui.add(Label::new(RichText::new(&m.remedy).font(theme::small()).color(p.ink_soft)).wrap());
            }
            if wearer.problems() > 1 {
                widget::soft(ui, format!("and {} more; open the garment to see them", wearer.problems() - 1));
            }
        }
    });
}
