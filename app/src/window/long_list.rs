//! A list of rows that are all as tall, of which only those in view are made when there are many.

use std::hash::Hash;

use egui::{Align, Id, Layout, Rect, Ui, UiBuilder, vec2};

use super::theme;

/// A list that is no longer than this is made whole, so that a screen reader finds all of it.
const WHOLE: usize = 40;
/// So many rows beyond the view are made, so that the keyboard gets to them, and the view follows it.
const BEYOND: usize = 2;

/// Shows as many rows as there are keys, each so far below the one before. `row` shows one and says whether the keyboard is in it.
/// A row keeps its identity with its key, wherever it stands, and stays made while the keyboard is in it.
pub fn show<K: Hash + std::fmt::Debug>(ui: &mut Ui, id: &str, gap: f32, keys: &[K], mut row: impl FnMut(&mut Ui, usize) -> bool) {
    if keys.is_empty() {
        return;
    }
    let id = ui.scope_id().with(id);
    let step = theme::TARGET + gap;
    let (_, all) = ui.allocate_space(vec2(ui.available_width(), step * keys.len() as f32 - gap));
    let with_keyboard: Option<Id> = ui.data(|d| d.get_temp(id)).flatten();
    let view = ui.clip_rect();
    let reached = |y: f32| ((y - all.top()) / step).max(0.0) as usize;
    let in_view = reached(view.top()).saturating_sub(BEYOND)..=reached(view.bottom()) + BEYOND;
    // The view follows the keyboard a little later than the keyboard goes.
    let kept = with_keyboard.and_then(|own| keys.iter().position(|key| id.with(key) == own));
    let by_keyboard = |i: usize| kept.is_some_and(|kept| kept.abs_diff(i) <= BEYOND);
    let mut now = None;
    for (i, key) in keys.iter().enumerate() {
        if keys.len() > WHOLE && !in_view.contains(&i) && !by_keyboard(i) {
            continue;
        }
        let own = id.with(key);
        let at = Rect::from_min_size(all.min + vec2(0.0, step * i as f32), vec2(all.width(), theme::TARGET));
        let layout = Layout::left_to_right(Align::Center);
        let mut child = ui.new_child(UiBuilder::new().scope_id(own).max_rect(at).layout(layout));
        if row(&mut child, i) {
            now = Some(own);
        }
    }
    if now != with_keyboard {
        ui.data_mut(|d| d.insert_temp(id, now));
    }
}
