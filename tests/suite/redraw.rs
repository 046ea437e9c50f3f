//! The Redraw stage, driven through the accessibility tree.

use basteline::window::{Chosen, Window};
use draft_core::{Draft, Grade, Work};
use egui::{Key, Modifiers, Role, accesskit::Toggled};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use crate::screen::{field, go, type_into, with_demo};

pub type Open = Harness<'static, Window>;

pub fn at_redraw() -> Open {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    harness
}

pub fn draft(harness: &Open) -> Draft {
    Draft::clone(&harness.state().desk().unwrap().built().draft)
}

pub fn length(harness: &Open, piece: &str, edge: &str) -> f64 {
    draft(harness).piece(piece).unwrap().edge_length_mm(edge).unwrap()
}

pub fn undo_label(harness: &Open) -> Option<String> {
    harness.state().desk().unwrap().history().undo_label().map(str::to_owned)
}

pub fn works(harness: &Open) -> Vec<String> {
    harness.state().desk().unwrap().garment().works.iter().map(|e| e.work.what()).collect()
}

pub fn click(harness: &mut Open, label: &str) {
    harness.get_by_label(label).scroll_to_me();
    harness.run();
    harness.get_by_label(label).click();
    harness.run();
}

/// Selects an edge of a piece through the lists beside the table.
fn choose(harness: &mut Open, piece: &str, edge: Option<&str>) {
    if *harness.state().desk().unwrap().chosen() != Chosen::Piece(piece.into()) {
        let cut = harness.query_all_by_label_contains(&format!("{piece}: cut")).next().unwrap().accesskit_node().label().unwrap();
        click(harness, &cut);
    }
    if let Some(edge) = edge {
        let row = harness.query_all_by_label_contains(&format!("{edge}: ")).next().unwrap().accesskit_node().label().unwrap();
        click(harness, &row);
    }
}

/// Begins an alteration by its name.
fn begin(harness: &mut Open, name: &str) {
    click(harness, "Add an alteration…");
    let label = harness.query_all_by_label_contains(&format!("{name}: ")).next().unwrap().accesskit_node().label().unwrap();
    click(harness, &label);
}

/// Picks from the list of a field.
fn pick(harness: &mut Open, name: &str, choice: &str) {
    harness.get_by_role_and_label(Role::ComboBox, name).scroll_to_me();
    harness.run();
    harness.get_by_role_and_label(Role::ComboBox, name).click();
    harness.run();
    harness.get_by_role_and_label(Role::Button, choice).click();
    harness.run();
}

#[test]
fn the_list_shows_every_work_and_what_became_of_it() {
    let mut harness = at_redraw();
    let names = works(&harness);
    for (i, name) in names.iter().enumerate() {
        assert_eq!(harness.query_all_by_label_contains(&format!("{}. D{}, done", i + 1, &name[1..])).count(), 1, "{name}");
    }
    let label = "Switch off work 2: draft the skirt";
    assert_eq!(harness.get_by_label(label).accesskit_node().toggled(), Some(Toggled::True));
    click(&mut harness, label);
    assert!(draft(&harness).piece("gore").is_none());
    assert!(harness.query_by_label("2. Draft the skirt, off").is_some());
    click(&mut harness, "Undo: switch a work off");
    assert!(draft(&harness).piece("gore").is_some());
}

#[test]
fn a_work_moves_by_key_and_one_that_no_longer_applies_says_why() {
    let mut harness = at_redraw();
    click(&mut harness, "3. Draft the sleeve, done");
    for _ in 0..2 {
        harness.key_press_modifiers(Modifiers::ALT, Key::ArrowUp);
        harness.run();
    }
    assert_eq!(works(&harness)[..2], ["draft the sleeve", "draft the bodice"]);
    assert!(harness.query_by_label("1. Draft the sleeve, skipped").is_some());
    let why = harness.state().desk().unwrap().built().outcomes[0].skipped.clone().unwrap();
    assert!(harness.query_all_by_label_contains(&why.remedy).next().is_some(), "the reason stands in the list");
    harness.key_press_modifiers(Modifiers::ALT, Key::ArrowDown);
    harness.run();
    assert!(harness.query_by_label("2. Draft the sleeve, done").is_some());
    assert_eq!(*harness.state().desk().unwrap().chosen(), Chosen::Work(1));
    assert_eq!(undo_label(&harness).as_deref(), Some("move a work"));
}

#[test]
fn a_neckline_is_redrawn_by_its_form_and_the_collar_and_facing_follow() {
    let mut harness = at_redraw();
    let before = length(&harness, "front", "neckline");
    choose(&mut harness, "front", Some("neckline"));
    begin(&mut harness, "Redraw an edge");
    let previewed = length(&harness, "front", "neckline");
    assert!((previewed - before).abs() > 1.0, "shown on the table while it is only tried");
    assert_eq!(undo_label(&harness), None);
    let start = harness.query_all_by_label_contains("Starts: At").next().unwrap().accesskit_node().label().unwrap();
    type_into(&mut harness, &start, "3 cm");
    let typed = length(&harness, "front", "neckline");
    assert!((typed - previewed).abs() > 1.0, "{typed} after {previewed}");
    // Enter on the next field, where nothing is typed, adds it.
    field(&harness, &start).focus();
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(undo_label(&harness).as_deref(), Some("redraw the neckline of the front"));
    assert_eq!(works(&harness).last().unwrap(), "redraw the neckline of the front");
    assert!((length(&harness, "front", "neckline") - typed).abs() < 1e-9);

    // The seams say what came in between, and offer to draft the collar again.
    let built = harness.state().desk().unwrap().built().clone();
    let off: Vec<_> = built.messages.iter().filter(|m| m.grade == Grade::Error).collect();
    assert!(off.iter().any(|m| m.remedy.contains("came after the collar was drafted")), "{off:?}");
    let again = harness.query_all_by_label_contains("Draft the collar again: ").next().unwrap().accesskit_node().label().unwrap();
    click(&mut harness, &again);
    assert_eq!(works(&harness).last().unwrap(), "draft the collar");
    let built = harness.state().desk().unwrap().built().clone();
    let off: Vec<_> = built.messages.iter().filter(|m| m.grade == Grade::Error && m.place.contains("collar")).collect();
    assert!(off.is_empty(), "{off:?}");
    for _ in 0..2 {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        harness.run();
    }
    assert!((length(&harness, "front", "neckline") - before).abs() < 1e-9);
}

#[test]
fn escape_takes_away_what_is_only_tried() {
    let mut harness = at_redraw();
    let before = draft(&harness);
    choose(&mut harness, "front", None);
    begin(&mut harness, "Cut in two");
    assert!(draft(&harness).piece("front yoke").is_some());
    harness.key_press(Key::Escape);
    harness.run();
    // The first took the keyboard from the field; nothing else is in the way now.
    harness.key_press(Key::Escape);
    harness.run();
    assert_eq!(draft(&harness), before);
    assert_eq!(undo_label(&harness), None);
    assert!(harness.query_by_label("Add an alteration…").is_some());
}

#[test]
fn what_can_t_be_read_stays_and_nothing_is_added() {
    let mut harness = at_redraw();
    choose(&mut harness, "front", None);
    begin(&mut harness, "Cut in two");
    type_into(&mut harness, "Seam allowance", "a finger");
    assert_eq!(field(&harness, "Seam allowance").value().as_deref(), Some("a finger"));
    assert!(harness.query_all_by_label_contains("is not a number").next().is_some());
    harness.get_by_label("Add it").scroll_to_me();
    harness.run();
    harness.get_by_label("Add it").click();
    harness.run();
    assert_eq!(undo_label(&harness), None);
    type_into(&mut harness, "Seam allowance", "1 cm");
    click(&mut harness, "Add it");
    assert_eq!(undo_label(&harness).as_deref(), Some("cut the front yoke from the front"));
    let yoke = draft(&harness);
    let yoke = yoke.piece("front yoke").unwrap();
    assert!((yoke.edge("yoke seam").unwrap().allowance_mm - 10.0).abs() < 1e-9);
}

#[test]
fn a_side_seam_is_taken_in_on_both_pieces_edited_switched_off_and_undone() {
    let mut harness = at_redraw();
    let waist = |h: &Open| (length(h, "front", "waist"), length(h, "back", "waist"));
    let before = waist(&harness);
    choose(&mut harness, "front", Some("side seam"));
    begin(&mut harness, "Take in or let out");
    click(&mut harness, "Add it");
    let taken = waist(&harness);
    assert!(before.0 - taken.0 > 3.0 && before.1 - taken.1 > 3.0, "{before:?} {taken:?}");
    // The same form edits it: one step each time.
    type_into(&mut harness, "Amount 1: Take in", "10 mm");
    assert!(undo_label(&harness).unwrap().starts_with("change: "));
    let more = waist(&harness);
    assert!(taken.0 - more.0 > 3.0, "{taken:?} {more:?}");
    let work = works(&harness).len();
    let what = works(&harness).last().unwrap().clone();
    click(&mut harness, &format!("Switch off work {work}: {what}"));
    assert_eq!(waist(&harness), before);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert_eq!(waist(&harness), taken);
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    harness.run();
    assert_eq!(waist(&harness), more);
}

#[test]
fn another_piece_in_a_form_brings_its_own_edges() {
    let mut harness = at_redraw();
    choose(&mut harness, "front", Some("waist"));
    begin(&mut harness, "Trim an edge");
    pick(&mut harness, "Piece", "gore");
    let desk = harness.state().desk().unwrap();
    // Only tried: it is in what is built, and not in the garment.
    assert_eq!(desk.built().outcomes.len(), desk.garment().works.len() + 1);
    let gore: Vec<String> = draft(&harness).piece("gore").unwrap().edges().iter().map(|e| e.name.to_string()).collect();
    let shown = harness.get_by_role_and_label(Role::ComboBox, "Edge").value().unwrap();
    assert!(gore.contains(&shown), "{shown} is an edge of the gore");
}

#[test]
fn what_is_selected_on_the_table_takes_the_place_of_what_was() {
    let mut harness = at_redraw();
    choose(&mut harness, "front", Some("neckline"));
    begin(&mut harness, "Trace a facing");
    assert!(draft(&harness).piece("front neckline facing").is_some());
    choose(&mut harness, "back", None);
    click(&mut harness, "Make it on back");
    let now = draft(&harness);
    assert!(now.piece("back neckline facing").is_some() && now.piece("front neckline facing").is_none());
}

#[test]
fn every_alteration_is_shown_in_a_form() {
    let mut harness = at_redraw();
    for offer in draft_core::alteration::offer::Offer::ALL {
        choose(&mut harness, "front", None);
        begin(&mut harness, offer.name);
        assert!(harness.query_by_label("Add it").is_some(), "{}", offer.name);
        assert!(
            harness.query_all_by_role(Role::ComboBox).next().is_some() || harness.query_all_by_role(Role::TextInput).count() > 1,
            "{} has no fields",
            offer.name
        );
        click(&mut harness, "Take it away");
    }
}

#[test]
fn changed_measurements_stand_before_the_blocks() {
    let mut harness = at_redraw();
    begin(&mut harness, "Give a fuller bust room");
    let before = length(&harness, "front", "side seam");
    click(&mut harness, "Add it");
    let garment = harness.state().desk().unwrap().garment().clone();
    assert!(matches!(&garment.works[0].work, Work::Alter(alteration) if matches!(**alteration, draft_core::Alteration::Adjust(_))));
    assert!((length(&harness, "front", "side seam") - before).abs() < 1e-9, "as it was shown");
    let label = format!("Undo: {}", works(&harness)[0]);
    click(&mut harness, &label);
    assert!(garment != *harness.state().desk().unwrap().garment());
}

#[test]
fn the_readout_says_how_far_an_edge_has_moved() {
    let mut harness = at_redraw();
    choose(&mut harness, "gore", Some("hem"));
    begin(&mut harness, "Redraw an edge");
    click(&mut harness, "Add it");
    let gore = table_rect(&harness, "gore");
    let mut said = false;
    for i in 0..60 {
        harness.hover_at(egui::pos2(gore.center().x, gore.bottom() - i as f32));
        harness.run();
        said |= harness.query_all_by_label_contains("from the line before").next().is_some();
    }
    assert!(said);
}

/// Where a piece lies in the window.
pub fn table_rect(harness: &Open, piece: &str) -> egui::Rect {
    let begins = format!("{piece}, ");
    let is = |n: &egui_kittest::Node<'_>| n.accesskit_node().label().is_some_and(|l| l.starts_with(&begins));
    harness.get_all_by_role(Role::ListItem).find(is).unwrap().rect()
}

pub fn click_at(harness: &mut Open, pos: egui::Pos2) {
    harness.hover_at(pos);
    harness.run();
    for pressed in [true, false] {
        harness.event(egui::Event::PointerButton { pos, button: egui::PointerButton::Primary, pressed, modifiers: Modifiers::NONE });
        harness.run();
    }
}

#[test]
fn the_rule_draws_a_level_line_and_enter_makes_it_a_mark() {
    let mut harness = at_redraw();
    harness.key_press(Key::R);
    harness.run();
    let middle = table_rect(&harness, "gore").center();
    click_at(&mut harness, middle);
    // Nearly level is level.
    click_at(&mut harness, middle + egui::vec2(18.0, 0.6));
    assert!(harness.query_by_label("Cut in two here").is_none(), "its ends lie on no edge");
    assert!(harness.get_by_label("Mark the line").is_focused());
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(undo_label(&harness), None);
    click(&mut harness, "Add it");
    let gore = draft(&harness);
    let gore = gore.piece("gore").unwrap();
    let line = gore.lines().iter().find(|l| l.name == *"placement line").unwrap();
    let (from, to) = (draft_core::geometry::start(&line.path).unwrap(), draft_core::geometry::end(&line.path).unwrap());
    let grain = gore.grain();
    let along = (to - from).dot((grain.p1 - grain.p0).normalize()).abs();
    // Places are kept in whole millimetres.
    assert!(along <= 1.0 && from.distance(to) > 20.0, "{along} mm along the grain over {} mm", from.distance(to));
}

#[test]
fn what_is_only_tried_is_not_saved_and_not_asked_about() {
    let mut harness = at_redraw();
    choose(&mut harness, "front", None);
    begin(&mut harness, "Cut in two");
    assert!(!harness.state().desk().unwrap().is_unsaved());
    go(&mut harness, "Blocks");
    assert!(draft(&harness).piece("front yoke").is_none());
    go(&mut harness, "Redraw");
    assert!(draft(&harness).piece("front yoke").is_some(), "it is still there to be added");
}
