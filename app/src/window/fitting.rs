//! Recording a fitting: what was pinned, by seam and place.

use draft_core::pinned::{self, OnEdge, Pin, Pinned};
use draft_core::{Along, Builder, Draft, DraftError, Fitting, Garment, Length, Name, Unit, Work, parse_length};
use egui::{ComboBox, Label, ScrollArea, TextEdit, Ui};

use super::icon::Icon;
use super::theme;
use super::{Chosen, Desk, Request, blocks, message, widget};
use crate::edit::Command;
use crate::files;

/// What is pinned.
#[derive(Clone, Copy, PartialEq, Eq, Default)]
enum Kind {
    #[default]
    Seam,
    Level,
    Gape,
}

/// Where and how much, as typed.
#[derive(Clone, Default)]
struct PinLine {
    at: String,
    by: String,
}

/// The panel, as long as a fitting is being recorded.
pub struct FittingPanel {
    /// Where it stands in the work list, once it is there.
    at: Option<usize>,
    fitting: Fitting,
    photo: String,
    kind: Kind,
    /// The edge at which was pinned, and whether its start is counted from.
    edge: Option<(Name, Name)>,
    from_start: bool,
    pins: Vec<PinLine>,
    dart: Option<Name>,
    refused: Option<DraftError>,
    /// Changes that can't be made, by their number.
    cannot: Vec<(usize, DraftError)>,
    builder: Builder,
    /// The selection on the table that was last taken over.
    seen_on_table: Chosen,
    /// About to put away what is written.
    sure: bool,
}

/// What is to become of the panel.
pub enum Outlook {
    /// It stays open.
    Stays,
    /// It is done with.
    Closes,
}

const NAMES: f32 = 92.0;

impl FittingPanel {
    /// An empty record of today, or one that is in the list already.
    pub fn new(garment: &Garment, at: Option<usize>) -> Self {
        let there = at.and_then(|i| garment.works.get(i)).and_then(|e| match &e.work {
            Work::Fit(fitting) => Some(fitting.clone()),
            _ => None,
        });
        let at = at.filter(|_| there.is_some());
        let fresh = || Fitting { day: files::today(), wearer: garment.wearer.name.clone(), ..Fitting::default() };
        let fitting = there.unwrap_or_else(fresh);
        Self {
            at,
            photo: fitting.photo.clone().unwrap_or_default(),
            fitting,
            kind: Kind::default(),
            edge: None,
            from_start: true,
            pins: vec![PinLine::default()],
            dart: None,
            refused: None,
            cannot: Vec::new(),
            builder: Builder::default(),
            seen_on_table: Chosen::Nothing,
            sure: false,
        }
    }

    /// Shows it in the left panel, and the fitted pieces on the table.
    pub fn show(&mut self, ui: &mut Ui, desk: &Desk, requests: &mut Vec<Request>) -> Outlook {
        let (garment, unit) = (desk.garment(), desk.unit);
        let work = Work::Fit(self.fitting.clone());
        if self.at.is_some_and(|i| garment.works.get(i).is_none_or(|e| !matches!(e.work, Work::Fit(_)))) {
            // It was taken out meanwhile; what is written here becomes a new one.
            self.at = None;
        }
        if self.is_written() && self.at.is_none() && garment.works.iter().any(|e| e.work == work) {
            // Saving the garment, or going on to another stage, has put it into the list.
            return Outlook::Closes;
        }
        let draft = self.pieces(garment);
        if let Chosen::Edge(piece, edge) = desk.chosen()
            && self.seen_on_table != *desk.chosen()
            && draft.piece(piece.as_str()).is_some_and(|p| pinned::edges(p).any(|e| e == edge))
        {
            self.edge = Some((piece.clone(), edge.clone()));
        }
        self.seen_on_table = desk.chosen().clone();
        let mut outlook = Outlook::Stays;
        ScrollArea::vertical().id_salt("fitting").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_width(ui.available_width() - 10.0);
            widget::heading(ui, "Record a fitting");
            widget::soft(ui, "What was pinned in the muslin becomes changes of the block, in one work of the list.");
            self.particulars(ui);
            ui.add_space(6.0);
            self.changes(ui);
            ui.add_space(6.0);
            widget::raised(ui).show(ui, |ui| {
                ui.set_width(ui.available_width());
                self.form(ui, &draft, unit);
            });
            ui.add_space(10.0);
            let word = if self.at.is_some() { "Keep the changes" } else { "Record the fitting" };
            if ui.add_enabled_ui(self.is_written(), |ui| widget::main_button(ui, None, word)).inner.clicked() {
                requests.push(Request::Edit(self.command()));
                outlook = Outlook::Closes;
            }
            let away = if self.sure { "Put it away and forget what is written" } else { "Put it away" };
            if ui.button(away).clicked() {
                if self.sure || !self.is_written() || garment.works.iter().any(|e| e.work == Work::Fit(self.fitting.clone())) {
                    outlook = Outlook::Closes;
                }
                self.sure = true;
            }
            ui.add_space(theme::APART);
        });
        if matches!(outlook, Outlook::Stays) && self.is_written() {
            requests.push(Request::Typing { command: self.command(), preview: true });
        }
        outlook
    }

    fn is_written(&self) -> bool {
        let f = &self.fitting;
        !f.changes.is_empty() || !f.by.is_empty() || !f.notes.is_empty() || f.photo.is_some()
    }

    fn command(&self) -> Command {
        Command::RecordFitting { at: self.at, fitting: Box::new(self.fitting.clone()) }
    }

    /// The pieces as the fitting finds them, with the changes that it has so far.
    fn pieces(&mut self, garment: &Garment) -> Draft {
        let last = garment.works.iter().rposition(|e| matches!(e.work, Work::Draft { .. } | Work::Fit(_))).map_or(0, |i| i + 1);
        let until = self.at.unwrap_or(last);
        let part = Garment { works: garment.works[..until.min(garment.works.len())].to_vec(), ..garment.clone() };
        let (draft, cannot) = self.fitting.tried(&self.builder.build(&part).draft);
        self.cannot = cannot;
        draft
    }

    fn particulars(&mut self, ui: &mut Ui) {
        let mut line = |name: &str, text: &mut String, hint: &str| {
            ui.horizontal(|ui| {
                let label = widget::field_name(ui, name, NAMES);
                let edit = TextEdit::singleline(text)
                    .align(egui::Align2::LEFT_CENTER)
                    .desired_width(f32::INFINITY)
                    .hint_text(hint)
                    .id(widget::steady(("fitting", name)));
                ui.add(edit).labelled_by(label.id).changed()
            })
            .inner
        };
        line("Day", &mut self.fitting.day, "2026-11-14");
        line("Pinned by", &mut self.fitting.by, "Who held the pins");
        line("Notes", &mut self.fitting.notes, "What was seen and said");
        if line("Photo", &mut self.photo, "Name of a file, if there is one") {
            let name = self.photo.trim();
            self.fitting.photo = (!name.is_empty()).then(|| name.to_owned());
        }
    }

    fn changes(&mut self, ui: &mut Ui) {
        if self.fitting.changes.is_empty() {
            return;
        }
        widget::soft(ui, "Changes");
        let mut gone = None;
        for (n, change) in self.fitting.changes.iter().enumerate() {
            let what = blocks::sentence_case(&change.what());
            ui.horizontal(|ui| {
                if widget::icon_button(ui, Icon::Remove, &format!("Take out change {}: {}", n + 1, change.what()), "", true).clicked() {
                    gone = Some(n);
                }
                ui.add(Label::new(what).wrap());
            });
            for (_, error) in self.cannot.iter().filter(|(of, _)| *of == n) {
                blocks::fault(ui, &format!("{}: {}", error.place, error.problem), &error.remedy);
            }
        }
        if let Some(n) = gone {
            self.fitting.changes.remove(n);
            self.refused = None;
        }
    }

    fn form(&mut self, ui: &mut Ui, draft: &Draft, unit: Unit) {
        let kinds = [
            (Kind::Seam, "Seam", "A seam pinned in, or let out".to_owned()),
            (Kind::Level, "Length", "Longer or shorter at a level, all round".to_owned()),
            (Kind::Gape, "Gape", "A gape pinched out into a dart".to_owned()),
        ];
        if let Some(kind) = widget::choices(ui, "kind of change", self.kind, &kinds) {
            self.kind = kind;
            self.refused = None;
            self.pins.truncate(1);
        }
        self.edge_choice(ui, draft);
        self.end_choice(ui, draft);
        if self.kind == Kind::Gape {
            self.dart_choice(ui, draft);
        }
        let by = match self.kind {
            Kind::Seam => "Pinned in all",
            Kind::Level => "Longer by",
            Kind::Gape => "Pinched out",
        };
        let count = self.pins.len();
        for (n, pin) in self.pins.iter_mut().enumerate() {
            let nth = if count > 1 { format!(" {}", n + 1) } else { String::new() };
            for (name, text, hint) in [("Where", &mut pin.at, "8 cm or 50 %"), (by, &mut pin.by, "1.2 cm")] {
                ui.horizontal(|ui| {
                    let name = format!("{name}{nth}");
                    let label = widget::field_name(ui, &name, NAMES);
                    let edit = TextEdit::singleline(text).align(egui::Align2::LEFT_CENTER).desired_width(110.0).hint_text(hint);
                    ui.add(edit.id(widget::steady(("pin", n, name.as_str())))).labelled_by(label.id);
                });
            }
        }
        match self.kind {
            Kind::Seam => {
                if ui.button("Another pin on this seam").clicked() {
                    self.pins.push(PinLine::default());
                }
                widget::soft(
                    ui,
                    "Both sides together, half goes from each; below nought it was let out. Toward an end without a pin it runs out to nothing.",
                );
            }
            Kind::Level => {
                widget::soft(ui, "Below nought it is shorter. The level goes all round, square to the grain.");
            }
            Kind::Gape => {
                widget::soft(ui, "On each side of the body. The dart takes what is pinched out.");
            }
        }
        if let Some(error) = &self.refused {
            blocks::fault(ui, &format!("{}: {}", error.place, message::sentence(&error.problem)), &error.remedy);
        }
        if widget::button(ui, Icon::Plus, "Add this change").clicked() {
            match self.added(draft, unit) {
                Ok(()) => {
                    self.refused = None;
                    self.pins = vec![PinLine::default()];
                }
                Err(error) => self.refused = Some(error),
            }
        }
    }

    fn edge_choice(&mut self, ui: &mut Ui, draft: &Draft) {
        ui.horizontal(|ui| {
            let label = widget::field_name(ui, if self.kind == Kind::Seam { "Seam" } else { "Edge" }, NAMES);
            let text = |(piece, edge): &(Name, Name)| format!("{piece} / {edge}");
            let now = self.edge.as_ref().map_or_else(|| "Choose, or click it on the table".to_owned(), text);
            let combo = ComboBox::from_id_salt("pinned edge").selected_text(now).width(ui.available_width() - 40.0).height(420.0).show_ui(
                ui,
                |ui| {
                    for piece in &draft.pieces {
                        for edge in pinned::edges(piece) {
                            let this = (piece.name().clone(), edge.clone());
                            let name = text(&this);
                            if ui.selectable_label(self.edge.as_ref() == Some(&this), name).clicked() {
                                self.edge = Some(this);
                                self.refused = None;
                            }
                        }
                    }
                },
            );
            combo.response.labelled_by(label.id);
        });
    }

    fn ends(&self, draft: &Draft) -> Option<[Name; 2]> {
        let (piece, edge) = self.edge.as_ref()?;
        pinned::ends(draft.piece(piece.as_str())?, edge)
    }

    fn end_choice(&mut self, ui: &mut Ui, draft: &Draft) {
        let Some([start, end]) = self.ends(draft) else { return };
        ui.horizontal(|ui| {
            widget::field_name(ui, "Counted from", NAMES);
            let all = [
                (true, start.as_str(), format!("Counted from the end at the {start}")),
                (false, end.as_str(), format!("Counted from the end at the {end}")),
            ];
            if let Some(from_start) = widget::choices(ui, "end of the edge", self.from_start, &all) {
                self.from_start = from_start;
            }
        });
    }

    fn dart_choice(&mut self, ui: &mut Ui, draft: &Draft) {
        let piece = self.edge.as_ref().and_then(|(piece, _)| draft.piece(piece.as_str()));
        let darts: Vec<Name> = piece.map(|p| p.darts().iter().map(|d| d.name.clone()).collect()).unwrap_or_default();
        if self.dart.as_ref().is_none_or(|d| !darts.contains(d)) {
            self.dart = darts.first().cloned();
        }
        ui.horizontal(|ui| {
            let label = widget::field_name(ui, "Into", NAMES);
            let now = self.dart.as_ref().map_or("The piece has no dart", Name::as_str).to_owned();
            let combo = ComboBox::from_id_salt("pinned dart").selected_text(now).show_ui(ui, |ui| {
                for dart in darts {
                    let text = dart.to_string();
                    ui.selectable_value(&mut self.dart, Some(dart), text);
                }
            });
            combo.response.labelled_by(label.id);
        });
    }

    /// Adds what the form holds, if it can be done.
    fn added(&mut self, draft: &Draft, unit: Unit) -> Result<(), DraftError> {
        let (piece, edge) = self
            .edge
            .clone()
            .ok_or_else(|| DraftError::new("fitting", "no seam or edge is chosen", "Choose one, or click it on the table."))?;
        let [start, end] = self
            .ends(draft)
            .ok_or_else(|| DraftError::new(format!("{piece} / {edge}"), "is not there any more", "Choose another edge."))?;
        let on = OnEdge { piece, edge, from: if self.from_start { start } else { end } };
        let mut pins = Vec::new();
        for pin in &self.pins {
            if pin.at.trim().is_empty() && pin.by.trim().is_empty() && self.pins.len() > 1 {
                continue;
            }
            pins.push(Pin { at: place(&pin.at, unit)?, by: length("how much", &pin.by, unit)? });
        }
        let first = |pins: &[Pin]| {
            pins.first().copied().ok_or_else(|| DraftError::new("fitting", "nothing is written", "Write where and how much."))
        };
        let pinned = match self.kind {
            Kind::Seam => Pinned::Seam { seam: on, pins },
            Kind::Level => first(&pins).map(|p| Pinned::Level { edge: on, at: p.at, by: p.by })?,
            Kind::Gape => {
                let dart = self
                    .dart
                    .clone()
                    .ok_or_else(|| DraftError::new(on.piece.to_string(), "has no dart to take it", "Pin it into a seam instead."))?;
                first(&pins).map(|p| Pinned::Gape { edge: on, at: p.at, by: p.by, dart })?
            }
        };
        let changes = pinned.alterations(draft)?;
        let mut trial = draft.clone();
        for change in &changes {
            trial = change.apply(&trial)?;
        }
        self.fitting.changes.extend(changes);
        Ok(())
    }
}

/// A place along an edge as typed: a length, with or without its unit, or a share.
fn place(typed: &str, unit: Unit) -> Result<Along, DraftError> {
    if typed.trim().ends_with('%') {
        return typed
            .trim()
            .parse()
            .map_err(|problem: String| DraftError::new("where", problem, "Type a length or a share, such as 8 cm or 50 %."));
    }
    length("where", typed, unit).map(Along::Length)
}

fn length(what: &str, typed: &str, unit: Unit) -> Result<Length, DraftError> {
    parse_length(typed, unit)
        .map(Length::from_mm)
        .map_err(|e| DraftError::new(what, format!("{typed:?} {e}"), format!("Type a length such as {}.", unit.text(12.0))))
}
