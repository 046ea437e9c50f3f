//! The Lay stage: cloths at the left, the lay plan on the table, what to buy and what to do about it at the right.

mod bench;
mod cloths;
mod cupboard;
mod field;
mod hand;
mod lists;
mod on_table;
mod paint;
mod running;
mod shape;
mod stacks;
mod swatch;
mod ticket;

use std::path::Path;

use draft_core::DraftError;
use draft_core::lay::verify;
use draft_core::shopping::BuyLine;
use egui::{Context, Frame, Margin, ScrollArea, Ui};
use kurbo::Vec2;

use self::bench::{Bench, OnBench};
use self::cloths::Cloths;
use self::field::Form;
use self::hand::Picked;
use self::running::{Order, Plan, Running};
use self::shape::ItemShape;
use self::stacks::Stacks;
use self::swatch::Swatches;
use super::table::Pane;
use super::theme::{self, Palette};
use super::{Desk, Request, Stage, blocks, widget};
use crate::edit::{ClothCommand, Command};
use crate::files::FileProblem;
use crate::lay::ClothLay;

/// What is shown in the middle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Page {
    #[default]
    Plan,
    Stacks,
    Buy,
    CutList,
    Notions,
}

/// A lay on what is in the cupboard, shown and not kept.
struct Trial {
    lay: ClothLay,
    shapes: Vec<Vec<ItemShape>>,
}

/// The Lay stage.
pub struct LayView {
    bench: Option<Bench>,
    cloths: Cloths,
    stacks: Stacks,
    page: Page,
    pane: Pane,
    running: Option<Running>,
    /// Passes for each stretch.
    passes: u64,
    seed: u64,
    picked: Option<Picked>,
    /// How far the piece in hand has been dragged, millimetres.
    drag: Option<Vec2>,
    hover: Option<String>,
    trial: Option<Trial>,
    /// Numbers and names of pieces that are too small on the screen to hold their name.
    small: Vec<(usize, String)>,
    swatches: Swatches,
    /// Why something could not be done.
    fault: Option<DraftError>,
    /// What came of the last thing that was done, and the revision of the garment that it left.
    said: Option<(String, Option<u64>)>,
}

impl Default for LayView {
    fn default() -> Self {
        Self {
            bench: None,
            cloths: Cloths::default(),
            stacks: Stacks::default(),
            page: Page::Plan,
            pane: Pane::default(),
            running: None,
            passes: ticket::EFFORTS[1].0,
            seed: 1,
            picked: None,
            drag: None,
            hover: None,
            trial: None,
            small: Vec::new(),
            swatches: Swatches::default(),
            fault: None,
            said: None,
        }
    }
}

impl Drop for LayView {
    fn drop(&mut self) {
        // Another garment is opened, or the window closes: nobody waits any more.
        if let Some(running) = &self.running {
            running.cancel();
        }
    }
}

impl LayView {
    /// Looks whether the planner is back, and whether the bench is still of the garment as it is.
    pub fn follow(&mut self, ctx: &Context, desk: &Desk, requests: &mut Vec<Request>) {
        // What was said holds until something else is done.
        let now = desk.history().revision();
        match &mut self.said {
            Some((_, at @ None)) => *at = Some(now),
            Some((_, Some(at))) if *at != now => self.said = None,
            _ => {}
        }
        if let Some(running) = self.running.take() {
            match running.look(ctx) {
                None => self.running = Some(running),
                Some(answer) => self.back(&running, answer, desk, requests),
            }
        }
        if desk.stage == Stage::Lay {
            Bench::follow(&mut self.bench, ctx, desk.shown(), desk.built(), self.running.is_some());
            self.swatches.follow(ctx, &desk.shown().cloths, desk);
        }
    }

    /// Gives a cloth its picture.
    ///
    /// # Errors
    /// The file is no picture that can be read.
    pub fn choose_swatch(&mut self, at: usize, file: &Path, desk: &mut Desk) -> Result<(), FileProblem> {
        let command = swatch::chosen(at, file, desk)?;
        desk.run(&command)?;
        // Chosen again, the file may be another than was read before.
        if let Some(cloth) = desk.garment().cloths.get(at) {
            self.swatches.look_again(cloth);
        }
        Ok(())
    }

    /// What to buy, as far as it is known; for the lists and the work sheet.
    pub fn shopping(&mut self, ctx: &Context, desk: &Desk) -> Vec<BuyLine> {
        Bench::follow(&mut self.bench, ctx, desk.shown(), desk.built(), self.running.is_some());
        self.bench.as_ref().map_or_else(Vec::new, Bench::shopping)
    }

    /// The planner is back.
    fn back(&mut self, running: &Running, answer: Result<ClothLay, DraftError>, desk: &Desk, requests: &mut Vec<Request>) {
        self.said = None;
        let lay = match answer {
            Ok(lay) => lay,
            Err(error) => {
                self.fault = Some(error);
                return;
            }
        };
        // Looked at once more, apart from the planner: what does not hold is not shown as if it did.
        let wrong = lay.stretches.iter().find_map(|s| Some((s, verify::faults(&s.stretch.task, &s.layout).into_iter().next()?)));
        if let Some((laid, fault)) = wrong {
            let problem = format!("was planned with a fault: {}", crate::lay::fault_text(&laid.stretch, &fault, desk.unit));
            let place = format!("lay of {}", running.cloth);
            self.fault = Some(DraftError::new(place, problem, "Try another seed; nothing has been changed."));
            return;
        }
        if running.plan == Plan::Cupboard {
            let shapes = lay.stretches.iter().map(|s| s.stretch.task.items.iter().map(ItemShape::of).collect()).collect();
            self.trial = Some(Trial { lay, shapes });
            return;
        }
        let before = desk.garment().lays.iter().find(|l| l.cloth == running.cloth);
        let stays = |name: &draft_core::Name, copy: usize| {
            running.plan == Plan::Rest
                && before.is_some_and(|l| l.stretches.iter().flat_map(|s| &s.pieces).any(|p| p.held && p.piece == *name && p.copy == copy))
        };
        let kept = lay.kept(stays);
        let length: f64 = lay.stretches.iter().map(|s| s.layout.length_mm).sum();
        let stopped = if running.is_cancelled() { "Stopped; the best so far is kept. " } else { "" };
        if running.plan == Plan::Whole && self.stands(&running.cloth).is_some_and(|mm| mm <= length + 1e-6) {
            self.say(format!("{stopped}No shorter lay was found; the one before stays."));
            return;
        }
        let first = running.first_after().map_or_else(String::new, |t| format!(", the first lay after {:.2} s", t.as_secs_f64()));
        self.say(format!("{stopped}Laid in {}, {} passes, seed {}{first}.", desk.unit.rough(length), kept.passes, kept.seed));
        let what = format!("lay the {}", running.cloth);
        requests.push(Request::Edit(Command::Cloth(Box::new(ClothCommand::Lay { lay: kept, what }))));
    }

    fn say(&mut self, text: String) {
        self.said = Some((text, None));
    }

    /// The length of a cloth's lay as it is, where it is sound and of the pieces as they are.
    fn stands(&self, cloth: &str) -> Option<f64> {
        let on = self.bench.as_ref()?.on.iter().find(|on| on.lay_out.cloth.name == cloth)?;
        (on.standing.is_sound() && !on.standing.is_stale()).then(|| on.standing.length_mm())
    }

    /// Sends the planner off.
    fn plan(&mut self, ctx: &Context, desk: &Desk, on: &OnBench, plan: Plan) {
        let cloth = on.lay_out.cloth.clone();
        let around = desk.garment().lays.iter().find(|l| l.cloth == cloth.name).cloned().filter(|_| plan == Plan::Rest);
        let stretches = if plan == Plan::Cupboard { 1 } else { on.lay_out.stretches.len() as u64 };
        let order = Order {
            garment: desk.shown().clone(),
            built: desk.built().clone(),
            cloth,
            plan,
            around,
            seed: self.seed,
            passes: self.passes,
            stretches,
        };
        (self.fault, self.said, self.trial, self.drag) = (None, None, None, None);
        self.page = Page::Plan;
        self.running = Some(Running::begin(ctx, order));
    }

    /// Shows the left panel.
    pub fn panel(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        let before = self.cloths.chosen;
        ScrollArea::vertical().id_salt("cloths").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_width(ui.available_width() - 10.0);
            let unit = desk.unit;
            let (seen, pen) = desk.seen_and_pen();
            let bench = &self.bench;
            let used = |at: usize| bench.as_ref().and_then(|b| b.on.get(at)).is_none_or(OnBench::is_used);
            let mut form = Form { pen, unit, requests };
            self.cloths.show(ui, &seen, &mut form, &mut self.swatches, used);
            ui.add_space(theme::APART);
            blocks::pieces(ui, &seen, form.requests);
            ui.add_space(theme::APART);
        });
        if std::mem::take(&mut self.cloths.wants_plan) {
            self.page = Page::Plan;
        }
        if self.cloths.chosen != before {
            (self.picked, self.drag, self.trial, self.fault, self.said) = (None, None, None, None, None);
            self.pane.fit();
        }
    }

    /// Shows the middle.
    pub fn page(&mut self, ui: &mut Ui, desk: &mut Desk, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        Frame::new().fill(p.panel).inner_margin(Margin { left: 14, right: 14, top: 8, bottom: 8 }).show(ui, |ui| {
            ui.set_width(ui.available_width());
            let all = [
                (Page::Plan, "Lay plan", "The pieces on the chosen cloth".to_owned()),
                (Page::Stacks, "Stacks", "From which cloths each piece is cut".to_owned()),
                (Page::Buy, "What to buy", "Lengths, costs and weights, cloth by cloth".to_owned()),
                (Page::CutList, "Cut list", "Every piece in every cloth".to_owned()),
                (Page::Notions, "Notions", "What is needed beside cloth".to_owned()),
            ];
            if let Some(page) = widget::choices(ui, "lay page", self.page, &all) {
                self.page = page;
            }
        });
        let Some(bench) = self.bench.take() else { return };
        match self.page {
            Page::Plan => self.table(ui, desk, &bench, requests),
            Page::Stacks => {
                let unit = desk.unit;
                let (seen, pen) = desk.seen_and_pen();
                self.stacks.show(ui, &seen, &mut Form { pen, unit, requests });
            }
            Page::Buy => lists::shopping_list(ui, &desk.seen(), &bench, requests),
            Page::CutList => lists::cut_list(ui, &desk.seen(), requests),
            Page::Notions => lists::notions(ui, &desk.seen(), requests),
        }
        self.bench = Some(bench);
    }

    /// Whether the middle needs the room of the ticket.
    pub fn is_wide(&self) -> bool {
        self.page != Page::Plan
    }

    /// What the readout says.
    pub fn readout(&self) -> String {
        if self.page != Page::Plan {
            return "Choose a cloth at the left; the lay plan shows its pieces on it.".into();
        }
        if let Some(hover) = &self.hover {
            return hover.clone();
        }
        if let Some((said, _)) = &self.said {
            return said.clone();
        }
        match &self.picked {
            Some(_) => {
                "Drag it, or move it with the arrows (Shift: by the millimetre; Ctrl: until it touches). T turns it, H holds it or lets it go, Esc puts it down."
                    .into()
            }
            None => "Drag a piece to lay it by hand; with Ctrl it stops where it touches. Drag beside the pieces to move the table.".into(),
        }
    }
}
