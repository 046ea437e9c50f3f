//! The right side of the Lay stage: how the lay of the chosen cloth stands, and what can be done about it.

use draft_core::cloth::{Purchase, TooWide, piecing};
use draft_core::lay::verify::Fault;
use draft_core::{Alteration, Grade, Work};
use egui::{FontId, Key, Label, ProgressBar, RichText, ScrollArea, Ui};

use super::bench::{Bench, OnBench};
use super::hand::{Deed, Picked, Wish};
use super::paint::Sheet;
use super::running::{Plan, Running};
use super::{LayView, Page};
use crate::edit::{ClothCommand, Command};
use crate::lay::fault_text;
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::{Desk, Request, blocks, pen, widget};

/// How hard to try: passes for each stretch.
pub const EFFORTS: [(u64, &str, &str); 3] = [
    (100, "quick", "100 passes: a usable lay at once"),
    (1000, "good", "1000 passes: a few seconds"),
    (10_000, "long", "10000 passes: a quarter of a minute and more"),
];
/// No more of one kind of trouble is listed.
const LISTED: usize = 5;

impl LayView {
    /// Shows the ticket.
    pub fn ticket(&mut self, ui: &mut Ui, desk: &Desk, requests: &mut Vec<Request>) {
        let Some(bench) = self.bench.take() else { return };
        ScrollArea::vertical().id_salt("lay ticket").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_width(ui.available_width() - 10.0);
            if let Some(on) = bench.on.get(self.cloths.chosen) {
                self.of_cloth(ui, desk, &bench, on, requests);
            }
            ui.add_space(theme::APART);
        });
        self.bench = Some(bench);
    }

    fn of_cloth(&mut self, ui: &mut Ui, desk: &Desk, bench: &Bench, on: &OnBench, requests: &mut Vec<Request>) {
        let cloth = &on.lay_out.cloth;
        widget::heading(ui, &format!("Lay of {}", cloth.name));
        if let Some(error) = &self.fault {
            blocks::fault(ui, &format!("{} {}", error.place, error.problem), &error.remedy);
        }
        if !on.is_used() {
            ui.add(Label::new("No piece is cut from it. Put it into the list of a piece.").wrap());
            if ui.button("Go to the stacks").clicked() {
                self.page = Page::Stacks;
            }
            return;
        }
        match &self.running {
            Some(running) if running.cloth == cloth.name => progress(ui, running, desk),
            _ => standing(ui, on, bench, desk),
        }
        ui.add_space(6.0);
        self.planning(ui, desk, on, requests);
        if let Some((said, _)) = &self.said {
            widget::soft(ui, said);
        }
        self.in_hand(ui, desk, on, requests);
        self.key(ui);
        self.too_wide(ui, desk, on, requests);
        self.cupboard(ui, desk, on, requests);
        if !bench.messages.is_empty() {
            ui.add_space(theme::APART - 6.0);
            widget::heading(ui, "Not cut");
            for m in &bench.messages {
                blocks::fault_of(ui, m.grade, &format!("{} {}", m.place, m.problem), &m.remedy);
            }
        }
    }

    /// How hard to try, from which seed, and the buttons.
    fn planning(&mut self, ui: &mut Ui, desk: &Desk, on: &OnBench, requests: &mut Vec<Request>) {
        let typing = ui.ctx().text_edit_focused() || ui.memory(|m| m.top_modal_layer().is_some());
        let key = |key| !typing && ui.input(|i| i.key_pressed(key) && !i.modifiers.any());
        let (lay_key, rest_key) = (key(Key::L), key(Key::R));
        if let Some(running) = &self.running {
            let escape = key(Key::Escape);
            let cancel = ui.button("Cancel").on_hover_text("Stop, and keep the best so far   (Esc)");
            if cancel.clicked() || escape {
                running.cancel();
            }
            return;
        }
        ui.horizontal(|ui| {
            widget::field_name(ui, "Effort", 62.0);
            let all = EFFORTS.map(|(passes, word, about)| (passes, word, about.to_owned()));
            if let Some(passes) = widget::choices(ui, "effort", self.passes, &all) {
                self.passes = passes;
            }
        });
        ui.horizontal(|ui| {
            let label = widget::field_name(ui, "Seed", 62.0);
            let mut text = self.seed.to_string();
            let id = widget::steady("lay seed");
            let edit = ui.add(egui::TextEdit::singleline(&mut text).id(id).desired_width(70.0)).labelled_by(label.id);
            if edit.gained_focus() {
                pen::select_all(ui, id, text.chars().count());
            }
            if edit.changed() {
                self.seed = text.trim().parse().unwrap_or(self.seed);
            }
            edit.on_hover_text("Where chance begins: the same seed and effort give the same lay, another seed another");
        });
        let held = on.standing.stretches.iter().any(|s| s.recalled.held.contains(&true));
        let can = !on.lay_out.stretches.is_empty();
        let (mut whole, mut rest) = (false, false);
        ui.horizontal_wrapped(|ui| {
            ui.add_enabled_ui(can, |ui| {
                let tip = if held { "Lay everything anew, held pieces too   (L)" } else { "Lay everything as short as can be found   (L)" };
                whole = widget::main_button(ui, None, "Lay").on_hover_text(tip).accessible_name("Lay anew").clicked();
            });
            ui.add_enabled_ui(can && held, |ui| {
                let tip = "Held pieces stay where they lie; all others are laid round them   (R)";
                rest = ui.button("Lay the rest").on_hover_text(tip).clicked();
            });
        });
        if can && (whole || lay_key) {
            self.plan(ui.ctx(), desk, on, Plan::Whole);
        } else if can && held && (rest || rest_key) {
            self.plan(ui.ctx(), desk, on, Plan::Rest);
        }
        if on.standing.is_laid {
            let out = ui.button("Take the lay out").on_hover_text("Forget how this cloth is laid");
            if out.clicked() {
                requests.push(Request::Edit(Command::Cloth(Box::new(ClothCommand::Unlay(on.lay_out.cloth.name.clone())))));
            }
        }
    }

    /// The piece in hand, and pieces that do not lie.
    fn in_hand(&mut self, ui: &mut Ui, desk: &Desk, on: &OnBench, requests: &mut Vec<Request>) {
        if self.running.is_some() || self.trial.is_some() || !on.standing.is_laid {
            return;
        }
        let sheets: Vec<Sheet<'_>> = on
            .standing
            .stretches
            .iter()
            .zip(&on.lay_out.stretches)
            .zip(&on.shapes)
            .map(|((stood, stretch), shapes)| Sheet {
                cloth: &on.lay_out.cloth,
                stretch,
                layout: stood.recalled.layout.clone(),
                held: stood.recalled.held.clone(),
                faults: stood.faults.clone(),
                shapes,
                down: 0.0,
            })
            .collect();
        if let Some(picked) = self.picked.clone()
            && let Some((sheet, which)) = sheets.iter().find_map(|s| picked.on(s.stretch).map(|which| (s, which)))
            && let Some(at) = sheet.layout.placed.iter().position(|p| (p.item, p.copy) == which)
        {
            ui.add_space(theme::APART - 6.0);
            widget::heading(ui, &format!("In hand: {}", sheet.name(&sheet.layout.placed[at])));
            ui.add(Label::new(super::hand::described(sheet, &sheet.layout.placed[at], &desk.seen())).wrap());
            let ways = sheet.stretch.task.items.get(which.0).map_or(1, |i| i.turns.len());
            ui.horizontal_wrapped(|ui| {
                ui.add_enabled_ui(ways > 1, |ui| {
                    if ui.button("Turn").on_hover_text("To the next way in which it may lie   (T)").clicked() {
                        self.wish(Wish::Turn, &sheets, on, desk, requests);
                    }
                });
                let held = sheet.held.get(at).copied().unwrap_or(false);
                let (word, tip) = if held {
                    ("Let go", "The planner may move it again   (H)")
                } else {
                    ("Hold", "The planner leaves it where it lies   (H)")
                };
                if ui.button(word).on_hover_text(tip).clicked() {
                    self.wish(Wish::Hold, &sheets, on, desk, requests);
                }
            });
        }
        let off: Vec<(&Sheet<'_>, (usize, usize))> = sheets.iter().flat_map(|s| s.layout.left_out.iter().map(move |c| (s, *c))).collect();
        if !off.is_empty() {
            ui.add_space(theme::APART - 6.0);
            widget::heading(ui, &format!("Not laid: {}", off.len()));
            for (sheet, which) in off.into_iter().take(LISTED) {
                let Some((piece, copy)) = sheet.stretch.named(which.0, which.1) else { continue };
                let button = ui.button(format!("Put {piece} {copy} on the cloth")).on_hover_text("Behind the others, to be moved by hand");
                if button.clicked() {
                    let deed = Deed::change(sheet, sheet.stretch.put_on(&sheet.layout, which), which, format!("lay the {piece} by hand"));
                    requests.extend(deed.request(on, &desk.seen()));
                    self.picked = Some(Picked { spread: sheet.stretch.spread, piece: piece.clone(), copy });
                }
            }
        }
    }

    /// What the numbers on small pieces stand for.
    fn key(&self, ui: &mut Ui) {
        if self.small.is_empty() || self.page != Page::Plan {
            return;
        }
        ui.add_space(theme::APART - 6.0);
        widget::heading(ui, "Small pieces by number");
        let p = Palette::of(ui);
        ui.scope(|ui| {
            ui.spacing_mut().interact_size.y = 18.0;
            ui.spacing_mut().item_spacing.y = 2.0;
            for (n, name) in &self.small {
                ui.horizontal(|ui| {
                    ui.add_sized([24.0, 18.0], Label::new(RichText::new(n.to_string()).font(theme::strong_body()).color(p.ink)));
                    ui.label(name);
                });
            }
        });
        widget::soft(ui, "Come closer, and they carry their names.");
    }

    fn too_wide(&mut self, ui: &mut Ui, desk: &Desk, on: &OnBench, requests: &mut Vec<Request>) {
        if on.lay_out.too_wide.is_empty() {
            return;
        }
        ui.add_space(theme::APART - 6.0);
        widget::heading(ui, "Wider than the cloth");
        for wide in &on.lay_out.too_wide {
            let m = wide.message(desk.unit);
            blocks::fault_of(ui, Grade::Warning, &format!("{} {}", wide.piece, m.problem), &m.remedy);
            let button = ui.button("Piece it").accessible_name(format!("Piece the {} with a seam on the straight grain", wide.piece));
            if button.on_hover_text("Adds a work to the list: a seam on the straight grain, and a part of its own beyond it").clicked() {
                self.fault = None;
                match self.pieced(desk, wide) {
                    Ok(command) => requests.push(Request::Edit(Command::Cloth(Box::new(command)))),
                    Err(error) => self.fault = Some(error),
                }
            }
        }
    }

    fn pieced(&self, desk: &Desk, wide: &TooWide) -> Result<ClothCommand, draft_core::DraftError> {
        let works = piecing(&desk.built().draft, wide)?;
        let name = |a: &Alteration| if let Alteration::Piecing(p) = a { Some(p.new.clone()) } else { None };
        let parts = works.iter().filter_map(name).collect();
        let works = works.into_iter().map(|a| Work::Alter(Box::new(a))).collect();
        Ok(ClothCommand::Piece { piece: wide.piece.clone(), parts, works })
    }

    /// Whether what is in the cupboard is enough.
    fn cupboard(&mut self, ui: &mut Ui, desk: &Desk, on: &OnBench, requests: &mut Vec<Request>) {
        ui.add_space(theme::APART - 6.0);
        widget::heading(ui, "In the cupboard");
        let cloth = &on.lay_out.cloth;
        let unit = desk.unit;
        if cloth.cupboard.is_empty() {
            widget::soft(
                ui,
                "Nothing of it. Enter the lengths that you have with the cloth at the left, and ask here whether they are enough.",
            );
            return;
        }
        let lengths: Vec<String> = cloth.cupboard.iter().map(|b| unit.rough(b.length.mm())).collect();
        ui.add(Label::new(lengths.join(" and ")).wrap());
        ui.add_enabled_ui(self.running.is_none(), |ui| {
            let ask = ui.button("Enough?").on_hover_text("Lays the pieces on what is there; what is most important is left out last");
            if ask.clicked() {
                self.plan(ui.ctx(), desk, on, Plan::Cupboard);
            }
        });
        let Some(trial) = self.trial.as_ref().filter(|t| t.lay.cloth.name == cloth.name) else { return };
        let lay = &trial.lay;
        if lay.is_whole() {
            ui.horizontal(|ui| {
                let p = Palette::of(ui);
                let (rect, _) = ui.allocate_exact_size(egui::vec2(18.0, 18.0), egui::Sense::hover());
                Icon::Tick.paint(ui.painter(), rect, 18.0, p.chalk);
                let used: f64 = lay.stretches.iter().map(|s| s.layout.length_mm).sum();
                ui.add(Label::new(format!("It is enough: everything lies within {}.", unit.rough(used))).wrap());
            });
        } else {
            let laid: usize = lay.stretches.iter().map(|s| s.layout.placed.len()).sum();
            let left: Vec<String> = lay.left_out.iter().map(|(piece, copy, _)| format!("{piece} {copy}")).collect();
            let problem = format!("Room was found for {laid}, and none for {}. A longer search may find some", left.join(", "));
            blocks::fault_of(ui, Grade::Warning, &problem, "What was tried, and would help, stands below.");
            for help in &lay.help {
                ui.add(Label::new(help.text(unit)).wrap());
                let Some(seam) = help.way.seam() else { continue };
                let piece = ui.button("Make this seam").accessible_name(format!("Make the seam in the {}", seam.piece));
                if piece.on_hover_text("Adds the work to the list; the part is cut from the same cloths").clicked() {
                    let works = seam.works.iter().cloned().map(|a| Work::Alter(Box::new(a))).collect();
                    let command = ClothCommand::Piece { piece: seam.piece.clone(), parts: seam.parts.clone(), works };
                    requests.push(Request::Edit(Command::Cloth(Box::new(command))));
                }
            }
            if lay.help.is_empty() {
                widget::soft(ui, "Neither the other side up, another fold, wider cloth, more of it nor a seam was found to help.");
            }
        }
        if ui.button("Back to the lay").clicked() {
            self.trial = None;
        }
    }
}

fn progress(ui: &mut Ui, running: &Running, desk: &Desk) {
    let p = Palette::of(ui);
    let best = running.best();
    let length: f64 = best.iter().map(|(_, l)| l.length_mm).sum();
    if !best.is_empty() {
        ui.label(RichText::new(format!("{} so far", desk.unit.rough(length))).font(FontId::new(20.0, theme::strong())).color(p.ink));
    }
    let done = running.done().min(running.most);
    let text = if running.plan == Plan::Cupboard && done >= running.most {
        "Looking for what would help".to_owned()
    } else {
        format!("{done} of {} passes", running.most)
    };
    ui.add(ProgressBar::new(done as f32 / running.most.max(1) as f32).text(text));
}

fn standing(ui: &mut Ui, on: &OnBench, bench: &Bench, desk: &Desk) {
    let standing = &on.standing;
    let unit = desk.unit;
    if standing.is_stale() {
        let changed = standing.changed().join("; ");
        blocks::fault_of(
            ui,
            Grade::Warning,
            &format!("This lay is out of date: {changed}"),
            "Lay it again, or hold what is to stay and lay the rest.",
        );
    }
    if !on.lay_out.too_wide.is_empty() {
        let names: Vec<&str> = on.lay_out.too_wide.iter().map(|w| w.piece.as_str()).collect();
        let problem = format!("Not counted, being wider than the cloth: {}", names.join(", "));
        blocks::fault_of(ui, Grade::Warning, &problem, "Piece them below, or take wider cloth, before you buy.");
    }
    if standing.is_sound() {
        let purchase = standing.purchase(&on.lay_out);
        to_buy(ui, on, &purchase, "");
        widget::fact(ui, "Length of the lay", &unit.rough(purchase.laid_mm));
        if purchase.repeat_mm > 0.0 {
            widget::fact(ui, "Allowed for the repeat", &unit.rough(purchase.repeat_mm));
        }
        if (purchase.needed_mm - purchase.laid_mm).abs() > 0.5 {
            widget::fact(ui, "Needed as it is sold", &unit.rough(purchase.needed_mm));
        }
        widget::fact(ui, "Pieces cover", &format!("{:.0} %", 100.0 * standing.density(&on.lay_out)));
        if let Some(lay) = desk.garment().lays.iter().find(|l| l.cloth == on.lay_out.cloth.name) {
            let by_hand = if lay.by_hand { ", then by hand" } else { "" };
            widget::fact(ui, "Planned", &format!("seed {}, {} passes{by_hand}", lay.seed, lay.passes));
        }
        return;
    }
    if let Some((purchase, error)) = on.estimated() {
        to_buy(ui, on, &purchase, "about ");
        let why = if standing.is_laid { "Estimated, since this lay does not hold as it is" } else { "Estimated before it is laid" };
        widget::soft(ui, format!("{why}; likely within {:.0} %.", 100.0 * error));
    } else if bench.is_estimating() {
        widget::soft(ui, "Estimating…");
    }
    let faults: Vec<(usize, &Fault)> = standing
        .stretches
        .iter()
        .enumerate()
        .flat_map(|(i, s)| s.faults.iter().map(move |f| (i, f)))
        .filter(|(_, f)| standing.is_laid && !matches!(f, Fault::Miscounted(_)))
        .collect();
    // Of a lay that is out of date, no more than an impression.
    let listed = if standing.is_stale() { 1 } else { LISTED };
    for (i, fault) in faults.iter().take(listed) {
        let text = fault_text(&on.lay_out.stretches[*i], fault, unit);
        blocks::fault(ui, &text, "Move or turn one of them, or lay the rest round what is held.");
    }
    if faults.len() > listed {
        widget::soft(ui, format!("and {} more", faults.len() - listed));
    }
}

fn to_buy(ui: &mut Ui, on: &OnBench, purchase: &Purchase, about: &str) {
    let p = Palette::of(ui);
    let cloth = &on.lay_out.cloth;
    ui.horizontal(|ui| {
        ui.label(
            RichText::new(format!("{about}{}", cloth.sold_by.text(purchase.buy_mm))).font(FontId::new(30.0, theme::strong())).color(p.ink),
        );
        ui.label("to buy");
    });
    if let (Some(cost), Some(price)) = (purchase.cost, &cloth.price) {
        widget::fact(ui, "Cost", &price.text(cost));
    }
    if let Some(grams) = purchase.grams {
        widget::fact(ui, "Weight", &format!("{grams:.0} g"));
    }
}
