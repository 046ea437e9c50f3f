//! The Print stage: the sheet with its pages, what goes on them, and the buttons that write them.

mod paint;
mod plan;
mod settings;
pub mod write;

use std::sync::Arc;

use draft_core::Grade;
use egui::{Align2, Context, Label, RichText, ScrollArea, Ui};
use tiled_print::{PrintError, Tiling};

use self::plan::Plan;
use super::errand::{Errand, Standing};
use super::icon::Icon;
use super::table::Pane;
use super::theme::{self, Palette};
use super::{Desk, Request, blocks, message, widget};

/// Room for the buttons of the view, screen points.
const BUTTONS: f32 = 44.0;

/// The plan of the pages, made on another thread whenever the garment has changed.
#[derive(Default)]
pub struct PrintView {
    pane: Pane,
    plan: Option<Arc<Result<Plan, PrintError>>>,
    /// The build of the garment that the plan is of.
    planned: Option<u64>,
    /// The plan that is being made, and of which build.
    making: Option<(Errand<Result<Plan, PrintError>>, u64)>,
    hover: Option<kurbo::Point>,
}

impl PrintView {
    /// Looks whether the plan is of the garment as it is now, and sends for another if not.
    pub fn follow(&mut self, ctx: &Context, desk: &Desk) {
        if let Some((errand, build)) = self.making.take() {
            match errand.look() {
                Standing::Out => self.making = Some((errand, build)),
                Standing::Back(plan) => {
                    self.plan = Some(Arc::new(plan));
                    self.planned = Some(build);
                }
                Standing::Lost => {}
            }
        }
        let now = desk.build_number();
        if self.planned != Some(now) && self.making.is_none() {
            let (garment, built) = (desk.shown().clone(), desk.built().clone());
            self.making = Some((Errand::send(ctx, move || Plan::of(&garment, &built)), now));
        }
    }

    /// The tiling, once it is there and can be printed.
    fn tiling(&self) -> Option<&Tiling> {
        self.plan.as_deref()?.as_ref().ok()?.tiling.as_ref().ok()
    }

    /// Why nothing can be printed.
    fn fault(&self) -> Option<&PrintError> {
        match self.plan.as_deref()? {
            Err(error) => Some(error),
            Ok(plan) => plan.tiling.as_ref().err(),
        }
    }

    /// What is under the pointer, in words.
    pub fn readout(&self) -> String {
        let page = self.hover.and_then(|at| self.plan.as_deref()?.as_ref().ok()?.page_at(at));
        match page {
            Some((name, Some(page))) => format!("Page {name}: sheet {page} in the file"),
            Some((name, None)) => format!("Page {name} has nothing on it and is not printed"),
            None => "Point at a page to read its name. Drag to move, turn the wheel to come closer.".into(),
        }
    }

    /// Shows the sheet with its pages.
    pub fn page(&mut self, ui: &mut Ui, desk: &Desk) {
        let p = Palette::of(ui);
        let plan = self.plan.clone();
        let plan = plan.as_deref().and_then(|plan| plan.as_ref().ok());
        let name = match self.tiling() {
            Some(t) => format!("Sheet with {} pages in {} rows and {} columns", t.tiles.len(), t.rows, t.columns),
            None => "Sheet without pages".to_owned(),
        };
        // What is shown ends before the buttons at the lower right.
        let beside = f64::from(BUTTONS / (ui.available_width() - BUTTONS).max(1.0));
        let bounds = plan.map(Plan::bounds).map(|b| kurbo::Rect { x1: b.x1 + b.width() * beside, ..b });
        let shown = self.pane.begin(ui, "sheet", &name, desk.unit, bounds);
        let hover = shown.pointer.map(|at| self.pane.transform().cloth_from_screen(at));
        let page_of = |at: Option<kurbo::Point>| at.and_then(|at| plan?.page_at(at));
        if page_of(hover) != page_of(self.hover) {
            // The readout was drawn before the sheet.
            ui.ctx().request_repaint();
        }
        self.hover = hover;
        match plan {
            Some(plan) => paint::plan(&shown.painter, plan, self.pane.transform(), hover, p),
            None => {
                let text = if self.plan.is_some() { "There is nothing to print yet." } else { "Laying out the pages…" };
                let at = self.pane.transform().view().center();
                shown.painter.text(at, Align2::CENTER_CENTER, text, egui::FontId::proportional(16.0), p.ink_soft);
            }
        }
        self.pane.end(ui, shown);
    }

    /// Shows the settings in the left panel.
    pub fn settings(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        ScrollArea::vertical().id_salt("print settings").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_width(ui.available_width() - 10.0);
            let (seen, pen) = desk.seen_and_pen();
            settings::show(ui, &seen, pen, requests);
            if let Some(error) = self.fault() {
                ui.add_space(8.0);
                blocks::fault(ui, &format!("{} {}", error.place, error.problem), &error.remedy);
            }
            ui.add_space(theme::APART);
        });
    }

    /// Shows counts and buttons in the ticket.
    pub fn ticket(&self, ui: &mut Ui, desk: &Desk, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        ScrollArea::vertical().id_salt("print ticket").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_width(ui.available_width() - 10.0);
            widget::heading(ui, "Pages");
            match self.tiling() {
                Some(tiling) => counts(ui, tiling, desk),
                None => {
                    widget::soft(ui, if self.plan.is_some() { "None: see what is wrong at the left." } else { "Laying out the pages…" });
                }
            }
            ui.add_space(10.0);
            ui.add_enabled_ui(self.tiling().is_some(), |ui| {
                let print = widget::main_button(ui, Some(Icon::Pages), "Print pages…");
                if print.on_hover_text("Write the pages as a PDF   (Ctrl+P)").clicked() {
                    requests.push(Request::PrintPages);
                }
            });
            ui.add_enabled_ui(self.plan.as_deref().is_some_and(Result::is_ok), |ui| {
                let save = widget::button(ui, Icon::Sheet, "Save sheet…");
                if save.on_hover_text("Write the whole sheet at true scale, as SVG, PDF or DXF").clicked() {
                    requests.push(Request::SaveSheet);
                }
            });
            ui.add_space(theme::APART);
            widget::heading(ui, "At the printer");
            let text = "Print at actual size, 100 %, without fitting to the page. Measure the square of 100 mm on the first page before you cut; if it is off, type what it measures at the left and print again.";
            ui.add(Label::new(RichText::new(text).color(p.ink_soft)).wrap());
            let grave: Vec<_> = desk.built().messages.iter().filter(|m| m.grade >= Grade::Caution).collect();
            if !grave.is_empty() {
                ui.add_space(theme::APART);
                widget::heading(ui, "Before you cut");
                for m in grave {
                    message::show(ui, &desk.seen(), m, requests);
                }
            }
            ui.add_space(theme::APART);
        });
    }
}

fn counts(ui: &mut Ui, tiling: &Tiling, desk: &Desk) {
    let p = Palette::of(ui);
    let count = tiling.tiles.len();
    ui.horizontal(|ui| {
        ui.label(RichText::new(count.to_string()).font(egui::FontId::new(34.0, theme::strong())).color(p.ink));
        let paper = settings::paper_name(desk.garment().print.paper);
        ui.label(format!("{} of {paper}", if count == 1 { "page" } else { "pages" }));
    });
    widget::fact(ui, "Rows and columns", &format!("{} × {}", tiling.rows, tiling.columns));
    widget::fact(ui, "Blank pages left out", &tiling.blank_left_out.to_string());
    widget::fact(ui, "Assembly map in front", &tiling.covers.len().to_string());
    widget::fact(ui, "Fewest that the area needs", &tiling.lower_bound.to_string());
}
