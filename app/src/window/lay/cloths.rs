//! The left panel: the cloths of the garment, each with its particulars.

use draft_core::cloth::{Cloth, ClothKind, Price, SaleUnit, Spread};
use draft_core::{DraftError, Length};
use egui::{Align, Align2, CornerRadius, Frame, Layout, Margin, Role, Sense, Stroke, Ui, WidgetInfo, vec2};

use super::cupboard;
use super::field::{Field, Form, NAMES, Refusal, length, number, perhaps_number, pick, shown, text};
use super::swatch::{self, Swatches};
use crate::edit::ClothCommand;
use crate::window::icon::Icon;
use crate::window::theme::{self, Palette};
use crate::window::{Request, Seen, blocks, widget};

/// The list, and which of its cloths is chosen and which is open.
#[derive(Default)]
pub struct Cloths {
    /// The cloth whose lay is on the table, from 0.
    pub chosen: usize,
    /// Its name was clicked just now.
    pub wants_plan: bool,
    open: Option<usize>,
}

impl Cloths {
    /// Shows the list.
    pub fn show(&mut self, ui: &mut Ui, seen: &Seen<'_>, form: &mut Form<'_>, swatches: &mut Swatches, used: impl Fn(usize) -> bool) {
        let cloths = seen.garment.cloths_or_plain();
        self.chosen = self.chosen.min(cloths.len().saturating_sub(1));
        widget::heading(ui, "Cloths");
        if seen.garment.cloths.is_empty() {
            widget::soft(ui, "None has been chosen, so plain cloth stands in. Change it to the cloth that you have.");
        }
        for (at, cloth) in cloths.iter().enumerate() {
            self.one(ui, at, cloth, (&cloths, swatches), form, used(at));
        }
        ui.add_space(2.0);
        if widget::button(ui, Icon::Plus, "Add a cloth").clicked() {
            let name = (1..).map(|i| if i == 1 { "new cloth".to_owned() } else { format!("new cloth {i}") });
            let name = name.into_iter().find(|n| !cloths.iter().any(|c| c.name == *n)).unwrap_or_default();
            form.do_it(ClothCommand::Add(Cloth { name, ..Cloth::default() }));
            (self.chosen, self.open) = (cloths.len(), Some(cloths.len()));
        }
    }

    fn one(&mut self, ui: &mut Ui, at: usize, cloth: &Cloth, (all, swatches): (&[Cloth], &mut Swatches), form: &mut Form<'_>, used: bool) {
        let p = Palette::of(ui);
        let (open, chosen) = (self.open == Some(at), self.chosen == at);
        let frame = Frame::new()
            .fill(if chosen { p.chalk_wash } else { p.raised })
            .stroke(Stroke::new(1.0, if chosen { p.chalk } else { p.hairline }))
            .corner_radius(CornerRadius::same(theme::ROUND))
            .inner_margin(Margin { left: 10, right: 8, top: 5, bottom: 5 });
        frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal(|ui| {
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    let icon = if open { Icon::Down } else { Icon::Right };
                    let name = format!("{}: {} its particulars", cloth.name, if open { "close" } else { "open" });
                    if widget::icon_button(ui, icon, &name, "", true).clicked() {
                        self.open = if open { None } else { Some(at) };
                        self.chosen = at;
                    }
                    if head(ui, cloth, chosen, used, form.unit, swatches) {
                        (self.chosen, self.wants_plan) = (at, true);
                    }
                });
            });
            if open {
                widget::basting(ui);
                Particulars { at, cloth, all }.show(ui, form, swatches);
                ui.add_space(4.0);
                let remove = ui.button("Take this cloth out").accessible_name(format!("Take out the cloth {}", cloth.name));
                if remove.on_hover_text("With its lay, and with every layer that is cut from it").clicked() {
                    form.do_it(ClothCommand::Remove(at));
                    self.open = None;
                }
            }
        });
    }
}

/// A picture of the cloth beside its name, and among its particulars; screen points.
const TILE: f32 = 36.0;
const PICTURE: f32 = 132.0;

/// The name of a cloth with what it is and how wide; says whether it was clicked.
fn head(ui: &mut Ui, cloth: &Cloth, on: bool, used: bool, unit: draft_core::Unit, swatches: &Swatches) -> bool {
    let p = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 40.0), Sense::click());
    let mut more = format!("{}, {} wide", cloth.kind.word(), unit.rough(cloth.width.mm()));
    if cloth.one_way {
        more += ", one way up";
    }
    if !used {
        more += ", nothing cut from it";
    }
    if swatches.problem(cloth).is_some() {
        more = format!("picture missing; {more}");
    }
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, on, format!("{}: {more}", cloth.name)));
    let hot = response.hovered() || response.has_focus();
    let ink = if hot || on { p.chalk } else { p.ink };
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    let mut left = 0.0;
    if let Some(texture) = swatches.of(cloth) {
        let tile = egui::Rect::from_min_size(rect.left_top() + vec2(0.0, 2.0), vec2(TILE, TILE));
        swatch::tile(&painter, texture, tile, p.ink_soft);
        left = TILE + 9.0;
    }
    painter.text(rect.left_top() + vec2(left, 11.0), Align2::LEFT_CENTER, &cloth.name, egui::FontId::new(15.0, theme::strong()), ink);
    let mut job = egui::text::LayoutJob::simple_singleline(more.clone(), theme::small(), p.ink_soft);
    job.wrap = egui::text::TextWrapping::truncate_at_width(rect.width() - left);
    let galley = painter.layout_job(job);
    painter.galley(rect.left_bottom() + vec2(left, -10.0 - galley.size().y / 2.0), galley, p.ink_soft);
    if response.has_focus() {
        ui.painter().rect_stroke(rect, 4.0, Stroke::new(1.0, p.chalk), egui::StrokeKind::Inside);
    }
    response.on_hover_text(format!("{}: {more}. Show its lay", cloth.name)).clicked()
}

/// The particulars of one cloth.
struct Particulars<'c> {
    at: usize,
    cloth: &'c Cloth,
    all: &'c [Cloth],
}

impl Particulars<'_> {
    /// The change that makes it another.
    fn change(&self, with: impl FnOnce(&mut Cloth)) -> Result<ClothCommand, DraftError> {
        let mut cloth = self.cloth.clone();
        with(&mut cloth);
        cloth.check()?;
        if self.all.iter().enumerate().any(|(i, c)| i != self.at && c.name == cloth.name) {
            return Err(DraftError::new(
                format!("cloth {}", cloth.name),
                "has the name of another cloth",
                "Give each cloth a name of its own.",
            ));
        }
        Ok(ClothCommand::Change { at: self.at, cloth })
    }

    fn set(&self, form: &mut Form<'_>, with: impl FnOnce(&mut Cloth)) {
        if let Ok(command) = self.change(with) {
            form.do_it(command);
        }
    }

    fn field<'f>(&self, name: &'f str, about: &'f str) -> Field<'f> {
        Field { id: widget::steady(("cloth", self.at, name)), name, about, width: 130.0 }
    }

    fn length(&self, ui: &mut Ui, form: &mut Form<'_>, name: &str, about: &str, now: Length, with: impl Fn(&mut Cloth, Length)) {
        let unit = form.unit;
        form.row(ui, self.field(name, about), &now.text(unit), length(unit), |l| self.change(|c| with(c, l)));
    }

    fn number(&self, ui: &mut Ui, form: &mut Form<'_>, name: &str, about: &str, now: String, with: impl Fn(&mut Cloth, f64)) {
        form.row(ui, self.field(name, about), &now, number, |x| self.change(|c| with(c, x)));
    }

    fn words(&self, ui: &mut Ui, form: &mut Form<'_>, name: &str, about: &str, now: &str, with: impl Fn(&mut Cloth, String)) {
        form.row(ui, self.field(name, about), now, text, |x| self.change(|c| with(c, x)));
    }

    fn show(&self, ui: &mut Ui, form: &mut Form<'_>, swatches: &mut Swatches) {
        let c = self.cloth;
        self.words(ui, form, "Name", "What you call it; pieces refer to it by this name", &c.name, |c, x| c.name = x);
        ui.horizontal(|ui| {
            widget::field_name(ui, "It is the", NAMES);
            let all = ClothKind::ALL.map(|k| (k, k.word().to_owned()));
            if let Some(kind) = pick(ui, widget::steady(("cloth kind", self.at)), "What it is", &c.kind, &all, 118.0) {
                self.set(form, |c| c.kind = kind);
            }
        });
        if c.kind == ClothKind::Toile {
            widget::soft(ui, "Every piece is cut from it once more, for the trial garment.");
        }
        self.length(ui, form, "Width", "From edge to edge, with the selvedges: 140 cm, 1.4 m, 54 in", c.width, |c, l| c.width = l);
        self.length(ui, form, "Selvedge", "Each of them; nothing is laid on it", c.selvedge, |c, l| c.selvedge = l);
        self.switch(ui, form, "One way up", "Nap, sheen or a print that looks one way: every piece the same way up", c.one_way, |c, on| {
            c.one_way = on;
        });
        ui.horizontal(|ui| {
            widget::field_name(ui, "Laid", NAMES);
            let all = [
                (Spread::Single, "single", "In one layer, right side up".to_owned()),
                (Spread::Folded, "folded", "Folded lengthwise, selvedge on selvedge".to_owned()),
            ];
            if let Some(spread) = widget::choices(ui, "spread", c.spread, &all) {
                self.set(form, |c| c.spread = spread);
            }
        });
        self.length(ui, form, "Gap", "Least distance between pieces", c.gap, |c, l| c.gap = l);
        let about = "Degrees by which pieces may lie off the grain where that saves a step of the shop; 0 for never";
        self.number(ui, form, "Off the grain by", about, format!("{}°", shown(c.tilt_deg)), |c, x| c.tilt_deg = x);
        ui.add_space(4.0);
        self.section(ui, form, "How it behaves", Self::behaves);
        self.section(ui, form, "In the shop", Self::in_the_shop);
        let count = c.cupboard.len();
        let title = if count == 0 { "In the cupboard".to_owned() } else { format!("In the cupboard: {count}") };
        self.section(ui, form, &title, |this, ui, form| cupboard::show(ui, form, this.at, this.cloth));
        self.section(ui, form, "Swatch and note", |this, ui, form| {
            let c = this.cloth;
            this.swatch(ui, form, swatches);
            this.words(ui, form, "Note", "Anything else", &c.note, |c, x| c.note = x);
        });
    }

    fn section(&self, ui: &mut Ui, form: &mut Form<'_>, title: &str, show: impl FnOnce(&Self, &mut Ui, &mut Form<'_>)) {
        let plain = title.split(':').next().unwrap_or(title);
        egui::CollapsingHeader::new(title).id_salt(("cloth section", self.at, plain)).show_unindented(ui, |ui| show(self, ui, form));
    }

    fn switch(&self, ui: &mut Ui, form: &mut Form<'_>, name: &str, about: &str, on: bool, with: impl Fn(&mut Cloth, bool)) {
        ui.horizontal(|ui| {
            widget::field_name(ui, name, NAMES).on_hover_text(about);
            if let Some(on) = widget::switch(ui, on, &format!("{name}: {about}")) {
                self.set(form, |c| with(c, on));
            }
        });
    }

    /// What the cloth looks like: chosen from disk, shown, and taken away.
    fn swatch(&self, ui: &mut Ui, form: &mut Form<'_>, swatches: &mut Swatches) {
        let (c, p) = (self.cloth, Palette::of(ui));
        if let Some(texture) = swatches.of(c) {
            let size = texture.size_vec2() * (PICTURE / texture.size_vec2().max_elem()).min(1.0);
            let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
            swatch::tile(ui.painter(), texture, rect, p.ink_soft);
            response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Picture of {}", c.name)));
        }
        if let Some(problem) = swatches.problem(c) {
            blocks::fault(ui, &format!("{}: {}", problem.place, problem.problem), &problem.remedy);
            if ui.button("Look for it again").accessible_name(format!("Look for the picture of {} again", c.name)).clicked() {
                swatches.look_again(c);
            }
        }
        if !c.swatch.is_empty() {
            widget::soft(ui, &c.swatch);
        }
        ui.horizontal_wrapped(|ui| {
            let (text, about) = if c.swatch.is_empty() {
                ("Choose a picture…", "A photo or scan of the cloth, kept by its path beside the garment")
            } else {
                ("Another picture…", "A photo or scan in place of this one")
            };
            let choose = ui.button(text).accessible_name(format!("Choose a picture of {}", c.name));
            if choose.on_hover_text(about).clicked() {
                form.requests.push(Request::ChooseSwatch(self.at));
            }
            if !c.swatch.is_empty() {
                let away = ui.button("Take it away").accessible_name(format!("Take away the picture of {}", c.name));
                if away.on_hover_text("The file stays where it is").clicked() {
                    self.set(form, |c| c.swatch.clear());
                }
            }
        });
    }

    fn behaves(&self, ui: &mut Ui, form: &mut Form<'_>) {
        let c = self.cloth;
        self.words(ui, form, "Stretch", "What it does when pulled, in your words: 10 % across, none along", &c.stretch, |c, x| {
            c.stretch = x
        });
        let about = "Per cent that it shrinks along the selvedge when washed before cutting";
        self.number(ui, form, "Shrinks along", about, format!("{} %", shown(c.shrinks_warp)), |c, x| c.shrinks_warp = x);
        let about = "Per cent that it shrinks across when washed before cutting";
        self.number(ui, form, "Shrinks across", about, format!("{} %", shown(c.shrinks_weft)), |c, x| c.shrinks_weft = x);
        let about = "Pleated or crinkled cloth: so many lengths of flat cloth go into one of it along; 1 for flat cloth";
        self.number(ui, form, "Take-up along", about, format!("{} ×", shown(c.take_up_along)), |c, x| c.take_up_along = x);
        let about = "The same across";
        self.number(ui, form, "Take-up across", about, format!("{} ×", shown(c.take_up_across)), |c, x| c.take_up_across = x);
        let about = "Of stripes, checks or a print, along the cloth: one is allowed for each main piece; 0 when there is none";
        self.length(ui, form, "Repeat", about, c.repeat, |c, l| c.repeat = l);
    }

    fn in_the_shop(&self, ui: &mut Ui, form: &mut Form<'_>) {
        let c = self.cloth;
        let price = c.price.clone().unwrap_or_default();
        let now = c.price.as_ref().map_or_else(String::new, |p| shown(p.amount));
        form.row(ui, self.field("Price", "What a metre or a yard costs; empty when it is not known"), &now, perhaps_number, |x| {
            self.change(|c| c.price = x.map(|amount| Price { amount, ..price.clone() }))
        });
        if c.price.is_some() {
            let with = |c: &mut Cloth, set: &dyn Fn(&mut Price)| {
                if let Some(price) = &mut c.price {
                    set(price);
                }
            };
            self.words(ui, form, "Money", "Its sign, such as € or kr", &price.currency, |c, x| with(c, &|p| p.currency.clone_from(&x)));
            ui.horizontal(|ui| {
                widget::field_name(ui, "For one", NAMES);
                let all = [(false, "metre", "The price is for a metre".to_owned()), (true, "yard", "The price is for a yard".to_owned())];
                if let Some(per_yard) = widget::choices(ui, "price of", price.per_yard, &all) {
                    self.set(form, |c| with(c, &|p| p.per_yard = per_yard));
                }
            });
        }
        ui.horizontal(|ui| {
            widget::field_name(ui, "Sold in steps of", NAMES);
            let mut all = SaleUnit::NAMED.map(|u| (u, u.label())).to_vec();
            let own = if let SaleUnit::Step(_) = c.sold_by { c.sold_by } else { SaleUnit::Step(Length::from_mm(c.sold_by.mm())) };
            all.push((own, "another step".into()));
            if let Some(unit) = pick(ui, widget::steady(("sold by", self.at)), "Sold in steps of", &c.sold_by, &all, 118.0) {
                self.set(form, |c| c.sold_by = unit);
            }
        });
        if let SaleUnit::Step(step) = c.sold_by {
            self.length(ui, form, "Step", "The shop's own step", step, |c, l| c.sold_by = SaleUnit::Step(l));
        }
        self.number(ui, form, "Spare", "Per cent that is bought over what the lay needs", format!("{} %", shown(c.spare)), |c, x| {
            c.spare = x
        });
        let now = c.grams_m2.map_or_else(String::new, |g| format!("{} g/m²", shown(g)));
        let grams = |typed: &str| -> Result<Option<f64>, Refusal> {
            perhaps_number(typed.trim().trim_end_matches("g/m²").trim_end_matches("g/m2"))
        };
        form.row(ui, self.field("Weight", "Grams a square metre; empty when it is not known"), &now, grams, |x| {
            self.change(|c| c.grams_m2 = x)
        });
    }
}
