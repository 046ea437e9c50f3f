//! Pieces moved, turned and held by hand on the cloth.

use std::collections::HashSet;

use draft_core::Name;
use draft_core::cloth::{KeptLay, KeptStretch, Spread, Stretch};
use draft_core::lay::{Layout, Placed};
use egui::{EventFilter, Key, Rect, Role, Sense, Ui, WidgetInfo, vec2};
use kurbo::Vec2;

use super::bench::OnBench;
use super::paint::Sheet;
use crate::edit::{ClothCommand, Command};
use crate::lay::fault_text;
use crate::window::table::Transform;
use crate::window::{Request, Seen, widget};

/// One press of an arrow key moves a piece this far, millimetres; with Shift a tenth of it.
const STEP_MM: f64 = 10.0;
/// A piece let go of so near an edge of the cloth, screen points, lies on it.
const SNAP: f32 = 9.0;

/// The piece in hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Picked {
    /// In which stretch.
    pub spread: Spread,
    /// The piece.
    pub piece: Name,
    /// The number of its copy, from 1.
    pub copy: usize,
}

impl Picked {
    /// A copy of a sheet.
    pub fn of(sheet: &Sheet<'_>, placed: &Placed) -> Option<Self> {
        let (piece, copy) = sheet.stretch.named(placed.item, placed.copy)?;
        Some(Self { spread: sheet.stretch.spread, piece: piece.clone(), copy })
    }

    /// Item and copy on a sheet.
    pub fn on(&self, stretch: &Stretch) -> Option<(usize, usize)> {
        if stretch.spread == self.spread { stretch.numbered(&self.piece, self.copy) } else { None }
    }
}

/// What was done to a lay by hand.
pub struct Deed {
    /// The stretch.
    pub spread: Spread,
    /// How it lies now.
    pub layout: Layout,
    /// Item and copy of what is held now.
    pub held: HashSet<(usize, usize)>,
    /// What it was, for undo.
    pub what: String,
}

impl Deed {
    /// A change of the layout; a copy that is moved by hand is held from then on.
    pub fn change(sheet: &Sheet<'_>, layout: Layout, which: (usize, usize), what: String) -> Self {
        let mut held = held(sheet);
        held.insert(which);
        Self { spread: sheet.stretch.spread, layout, held, what }
    }

    /// A copy held, or let go of.
    pub fn hold(sheet: &Sheet<'_>, which: (usize, usize), hold: bool, what: String) -> Self {
        let mut held = held(sheet);
        if hold {
            held.insert(which);
        } else {
            held.remove(&which);
        }
        Self { spread: sheet.stretch.spread, layout: sheet.layout.clone(), held, what }
    }

    /// The request that keeps it.
    pub fn request(self, on: &OnBench, seen: &Seen<'_>) -> Option<Request> {
        let cloth = &on.lay_out.cloth.name;
        let before = seen.garment.lays.iter().find(|l| l.cloth == *cloth);
        let stretch = on.lay_out.stretches.iter().find(|s| s.spread == self.spread)?;
        let held = |p: &Placed| self.held.contains(&(p.item, p.copy));
        let known = before.and_then(|l| l.stretch(self.spread));
        let changed =
            known.map_or_else(|| KeptStretch::of(stretch, &self.layout, held), |known| known.rearranged(stretch, &self.layout, held));
        let mut lay = before.cloned().unwrap_or(KeptLay { cloth: cloth.clone(), seed: 1, passes: 0, by_hand: true, stretches: Vec::new() });
        lay.by_hand = true;
        match lay.stretches.iter_mut().find(|s| s.spread == self.spread) {
            Some(own) => *own = changed,
            None => lay.stretches.push(changed),
        }
        Some(Request::Edit(Command::Cloth(Box::new(ClothCommand::Lay { lay, what: self.what }))))
    }
}

fn held(sheet: &Sheet<'_>) -> HashSet<(usize, usize)> {
    sheet.layout.placed.iter().zip(&sheet.held).filter(|(_, held)| **held).map(|(p, _)| (p.item, p.copy)).collect()
}

/// A copy moved by a drag, lying exactly on an edge of the cloth where it nearly does.
pub fn dragged(sheet: &Sheet<'_>, which: (usize, usize), by: Vec2, t: &Transform) -> Layout {
    let moved = sheet.stretch.moved(&sheet.layout, which, by);
    let Some(placed) = moved.placed.iter().find(|p| (p.item, p.copy) == which) else { return moved };
    let b = sheet.stretch.box_of(placed);
    let near = t.cloth_length(SNAP);
    let onto = |off: &[f64]| off.iter().copied().filter(|d| d.abs() <= near).min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0);
    let snap = Vec2::new(onto(&[-b.x0]), onto(&[-b.y0, sheet.stretch.task.width_mm - b.y1]));
    if snap == Vec2::ZERO { moved } else { sheet.stretch.moved(&sheet.layout, which, by + snap) }
}

/// What the keys ask for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wish {
    /// Move by so much.
    Move(Vec2),
    /// Slide along until it touches.
    Slide(Vec2),
    /// Turn to the next way.
    Turn,
    /// Hold, or let go.
    Hold,
    /// Put it down.
    Leave,
}

/// Reads the keys, when no text is being typed and nothing else wants them.
pub fn keys(ui: &Ui, inside: bool) -> Option<Wish> {
    if ui.ctx().text_edit_focused() || ui.memory(|m| m.top_modal_layer().is_some()) {
        return None;
    }
    let free = inside || ui.memory(|m| m.focused().is_none());
    ui.input(|i| {
        if i.modifiers.alt {
            return None;
        }
        let arrow = |key| f64::from(u8::from(free && i.key_pressed(key)));
        let by = Vec2::new(arrow(Key::ArrowRight) - arrow(Key::ArrowLeft), arrow(Key::ArrowDown) - arrow(Key::ArrowUp));
        if i.modifiers.command {
            return (by != Vec2::ZERO).then_some(Wish::Slide(by));
        }
        let hit = |key| i.key_pressed(key);
        if hit(Key::T) {
            return Some(Wish::Turn);
        }
        if hit(Key::H) {
            return Some(Wish::Hold);
        }
        if hit(Key::Escape) {
            return Some(Wish::Leave);
        }
        let step = if i.modifiers.shift { STEP_MM / 10.0 } else { STEP_MM };
        (by != Vec2::ZERO).then_some(Wish::Move(by * step))
    })
}

/// What a laid copy is called, where it lies, and what is wrong with it.
pub fn described(sheet: &Sheet<'_>, placed: &Placed, seen: &Seen<'_>) -> String {
    let b = sheet.stretch.box_of(placed);
    let unit = seen.unit;
    let edge = if sheet.stretch.spread == Spread::Folded { "fold" } else { "selvedge" };
    let mut text = sheet.name(placed);
    text += &format!(": {} from the cut end, {} from the {edge}", unit.rough(b.x0), unit.rough(b.y0));
    let held = sheet.layout.placed.iter().zip(&sheet.held).any(|(p, held)| *held && p == placed);
    if held {
        text += ", held";
    }
    for fault in sheet.faults.iter().filter(|f| f.copies().contains(&(placed.item, placed.copy))) {
        text += &format!("; {}", fault_text(sheet.stretch, fault, unit));
    }
    text
}

/// Each laid copy as something that can be reached with Tab and read by a screen reader; gives the one that was
/// reached just now, and whether any has the focus.
pub fn as_widgets(ui: &Ui, sheets: &[Sheet<'_>], t: &Transform, seen: &Seen<'_>, picked: Option<&Picked>) -> (Option<Picked>, bool) {
    let (mut reached, mut any) = (None, false);
    for sheet in sheets {
        for placed in &sheet.layout.placed {
            let Some(own) = Picked::of(sheet, placed) else { continue };
            let b = sheet.stretch.box_of(placed) + Vec2::new(0.0, sheet.down);
            let on_screen = Rect::from_two_pos(t.screen_from_cloth(b.origin()), t.screen_from_cloth(kurbo::Point::new(b.x1, b.y1)));
            let shown = on_screen.intersect(t.view());
            let shown = if shown.is_positive() { shown } else { Rect::from_min_size(t.view().min, vec2(1.0, 1.0)) };
            let id = widget::steady(("piece on the cloth", sheet.stretch.spread.word(), own.piece.as_str(), own.copy));
            let response = ui.interact(shown, id, Sense::focusable_noninteractive());
            let on = picked == Some(&own);
            response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, on, described(sheet, placed, seen)));
            if response.has_focus() {
                any = true;
                let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
                ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
            }
            if response.gained_focus() && !on {
                reached = Some(own);
            }
        }
    }
    (reached, any)
}
