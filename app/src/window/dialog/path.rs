//! Choosing a file in the window, where the system has no dialog for it.

use std::fs;
use std::path::{Path, PathBuf};

use egui::{Align, Key, Label, Layout, RichText, ScrollArea, TextEdit, Ui};

use super::{Answer, Purpose, title};
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::widget;

/// A folder, a field for the name, and what lies in the folder.
pub struct PathDialog {
    purpose: Purpose,
    folder: PathBuf,
    /// What is typed: a name in the folder, or a path of its own.
    typed: String,
    list: Vec<Entry>,
    note: Option<String>,
    /// A file of this name is there, and the maker has not yet said that it may be replaced.
    replace: Option<PathBuf>,
    fresh: bool,
}

struct Entry {
    name: String,
    is_folder: bool,
}

impl PathDialog {
    /// Begins in a folder with a suggested name.
    pub fn new(purpose: Purpose, folder: PathBuf, suggested: &str, note: Option<String>) -> Self {
        let mut dialog = Self { purpose, folder, typed: suggested.to_owned(), list: Vec::new(), note, replace: None, fresh: true };
        dialog.look();
        dialog
    }

    /// Lists the folder: folders first, then the files of the kind asked for.
    fn look(&mut self) {
        self.list.clear();
        let endings = self.purpose.form().kind.1;
        match fs::read_dir(&self.folder) {
            Ok(entries) => {
                for entry in entries.flatten() {
                    let name = entry.file_name().to_string_lossy().into_owned();
                    let is_folder = entry.path().is_dir();
                    let fits = endings.iter().any(|e| Path::new(&name).extension().is_some_and(|x| x.eq_ignore_ascii_case(e)));
                    if !name.starts_with('.') && (is_folder || fits) {
                        self.list.push(Entry { name, is_folder });
                    }
                }
                self.list.sort_by(|a, b| b.is_folder.cmp(&a.is_folder).then_with(|| a.name.to_lowercase().cmp(&b.name.to_lowercase())));
            }
            Err(error) => self.note = Some(format!("{} can't be looked into: {error}. Choose another folder.", self.folder.display())),
        }
    }

    fn go_to(&mut self, folder: PathBuf) {
        self.folder = folder;
        self.note = None;
        self.replace = None;
        self.look();
    }

    pub(super) fn show(&mut self, ui: &mut Ui) -> Option<Answer> {
        let p = Palette::of(ui);
        let form = self.purpose.form();
        ui.set_width(580.0);
        title(ui, if form.saving { Icon::Save } else { Icon::Open }, form.title);
        ui.horizontal(|ui| {
            if widget::icon_button(ui, Icon::Up, "Go up one folder", "", self.folder.parent().is_some()).clicked()
                && let Some(up) = self.folder.parent()
            {
                self.go_to(up.to_owned());
            }
            ui.add(Label::new(RichText::new(self.folder.display().to_string()).color(p.ink_soft)).truncate());
        });
        let mut chosen = None;
        egui::Frame::new().fill(p.field).stroke(egui::Stroke::new(1.0, p.hairline)).corner_radius(theme::ROUND).inner_margin(6).show(
            ui,
            |ui| {
                ScrollArea::vertical().max_height(260.0).min_scrolled_height(260.0).auto_shrink([false, false]).show(ui, |ui| {
                    if self.list.is_empty() {
                        widget::soft(ui, "No files of ours here.");
                    }
                    let mut go = None;
                    for entry in &self.list {
                        match row(ui, entry, self.typed == entry.name) {
                            Click::No => {}
                            Click::Once if entry.is_folder => go = Some(self.folder.join(&entry.name)),
                            Click::Once => {
                                self.typed.clone_from(&entry.name);
                                self.replace = None;
                            }
                            Click::Twice if entry.is_folder => {}
                            Click::Twice => chosen = Some(self.folder.join(&entry.name)),
                        }
                    }
                    if let Some(folder) = go {
                        self.go_to(folder);
                    }
                });
            },
        );
        ui.add_space(4.0);
        let label = ui.label(match (form.folder, form.saving) {
            (true, _) => "Name of the folder, or its whole path",
            (_, true) => "Name of the file, or its whole path",
            (_, false) => "Name of a file above, or a whole path",
        });
        let field = ui
            .add(
                TextEdit::singleline(&mut self.typed)
                    .align(egui::Align2::LEFT_CENTER)
                    .desired_width(f32::INFINITY)
                    .id(widget::steady("path")),
            )
            .labelled_by(label.id);
        if self.fresh {
            field.request_focus();
            self.fresh = false;
        }
        if field.changed() {
            self.replace = None;
            self.note = None;
        }
        if field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter)) {
            chosen = self.typed_path();
        }
        if let Some(note) = &self.note {
            ui.add(Label::new(RichText::new(note).color(p.madder)).wrap());
        }
        if let Some(file) = &self.replace {
            let name = file.file_name().unwrap_or_default().to_string_lossy();
            ui.add(
                Label::new(
                    RichText::new(format!(
                        "{name} is there already. Saving replaces it; the version before is kept beside it as {name}.bak."
                    ))
                    .color(p.ochre),
                )
                .wrap(),
            );
        }
        ui.add_space(10.0);
        let mut answer = None;
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            let word = match (form.saving, self.replace.is_some()) {
                _ if form.folder => "Save them there",
                (false, _) => "Open it",
                (true, false) => "Save it",
                (true, true) => "Replace it",
            };
            ui.add_enabled_ui(!self.typed.trim().is_empty(), |ui| {
                if widget::main_button(ui, None, word).clicked() {
                    chosen = self.typed_path();
                }
            });
            if ui.button("Cancel").clicked() {
                answer = Some(Answer::Done);
            }
        });
        answer.or_else(|| chosen.and_then(|file| self.take(file)))
    }

    /// What is typed, as a path; a folder is entered instead.
    fn typed_path(&mut self) -> Option<PathBuf> {
        let typed = self.typed.trim();
        if typed.is_empty() {
            return None;
        }
        let path = self.folder.join(typed);
        if path.is_dir() && !self.purpose.form().folder {
            self.typed.clear();
            self.go_to(path);
            return None;
        }
        Some(path)
    }

    /// Takes a file, unless it has to be asked about first.
    fn take(&mut self, file: PathBuf) -> Option<Answer> {
        let form = self.purpose.form();
        let mut file = file;
        if form.folder {
            if file.is_file() {
                self.note = Some(format!("{} is a file. Type the name of a folder.", file.display()));
                return None;
            }
        } else if form.saving {
            if file.extension().is_none()
                && let Some(ending) = form.kind.1.first()
            {
                file.set_extension(ending);
            }
            if file.exists() && self.replace.as_ref() != Some(&file) {
                self.replace = Some(file);
                return None;
            }
        } else if !file.exists() {
            self.note = Some(format!("There is no file {}. Check its name and folder.", file.display()));
            return None;
        }
        Some(Answer::File(self.purpose.clone(), file))
    }
}

enum Click {
    No,
    Once,
    Twice,
}

fn row(ui: &mut Ui, entry: &Entry, on: bool) -> Click {
    let p = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(egui::vec2(ui.available_width(), 28.0), egui::Sense::click());
    let what = if entry.is_folder { "folder" } else { "file" };
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, on, format!("{what} {}", entry.name)));
    if on {
        ui.painter().rect_filled(rect, 4.0, p.chalk_wash);
    } else if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 4.0, p.button);
    }
    let mark = egui::Rect::from_min_size(rect.min, egui::vec2(30.0, rect.height()));
    let icon = if entry.is_folder { Icon::Folder } else { Icon::File };
    icon.paint(ui.painter(), mark, 18.0, p.ink_soft);
    widget::paint_text(
        ui,
        rect.left_center() + egui::vec2(34.0, 0.0),
        egui::Align2::LEFT_CENTER,
        &entry.name,
        egui::TextStyle::Body.resolve(ui.style()),
        p.ink,
    );
    if response.double_clicked() {
        Click::Twice
    } else if response.clicked() {
        Click::Once
    } else {
        Click::No
    }
}
