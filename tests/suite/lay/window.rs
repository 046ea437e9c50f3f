//! The Lay stage, driven through the accessibility tree.

use std::time::{Duration, Instant};

use basteline::window::Window;
use draft_core::cloth::{KeptLay, LayOut, Standing, cuts};
use draft_core::{Garment, Work};
use egui::{Key, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use crate::screen::{field, go, type_into, with_demo};

type Open = Harness<'static, Window>;

fn at_lay() -> Open {
    let mut harness = with_demo();
    go(&mut harness, "Lay");
    harness
}

fn garment(harness: &Open) -> Garment {
    harness.state().desk().unwrap().garment().clone()
}

fn click(harness: &mut Open, label: &str) {
    harness.get_by_label(label).scroll_to_me();
    harness.step();
    harness.get_by_label(label).click();
    harness.step();
    harness.step();
}

fn click_role(harness: &mut Open, role: Role, label: &str) {
    harness.get_by_role_and_label(role, label).click();
    harness.step();
    harness.step();
}

fn pick(harness: &mut Open, name: &str, choice: &str) {
    harness.get_by_role_and_label(Role::ComboBox, name).scroll_to_me();
    harness.run_steps(8);
    harness.get_by_role_and_label(Role::ComboBox, name).click();
    harness.run_steps(8);
    // A long list is scrolled to what is picked.
    harness.get_by_role_and_label(Role::Button, choice).scroll_to_me();
    harness.run_steps(4);
    harness.get_by_role_and_label(Role::Button, choice).click();
    harness.run_steps(8);
}

fn lay(harness: &Open, cloth: &str) -> Option<KeptLay> {
    garment(harness).lays.into_iter().find(|l| l.cloth == cloth)
}

/// Goes on until something is so; what takes a minute never will be.
fn wait(harness: &mut Open, what: &str, done: impl Fn(&Open) -> bool) {
    let begun = Instant::now();
    while !done(harness) {
        assert!(begun.elapsed() < Duration::from_secs(60), "never came: {what}");
        std::thread::sleep(Duration::from_millis(20));
        harness.step();
    }
    harness.step();
}

fn says(harness: &Open, text: &str) -> bool {
    harness.query_all_by_label_contains(text).next().is_some()
}

fn choose(harness: &mut Open, cloth: &str) {
    let name = format!("{cloth}: ");
    let is_row = |label: &str| label.starts_with(&name) && label.contains(" wide");
    let row = harness.query_all_by_label_contains(&name).find(|n| n.accesskit_node().label().is_some_and(|l| is_row(&l)));
    row.unwrap().click();
    harness.run_steps(3);
}

/// Lays the cloth that is chosen, quickly.
fn lay_quickly(harness: &mut Open, cloth: &str) {
    click_role(harness, Role::RadioButton, "100 passes: a usable lay at once");
    click(harness, "Lay anew");
    wait(harness, "the lay", |h| lay(h, cloth).is_some());
}

fn standing(garment: &Garment, cloth: &str) -> (LayOut, Standing) {
    let (cuts, _) = cuts(garment, &garment.build());
    let of = garment.cloths.iter().find(|c| c.name == cloth).unwrap();
    let lay_out = LayOut::of(of, &cuts, true);
    let standing = Standing::of(&lay_out, garment.lays.iter().find(|l| l.cloth == cloth));
    (lay_out, standing)
}

#[test]
fn a_cloth_is_added_laid_and_a_piece_moved_onto_another_is_told_and_undone() {
    let mut harness = at_lay();
    click(&mut harness, "Add a cloth");
    type_into(&mut harness, "Name", "taffeta");
    type_into(&mut harness, "Width", "1.5 m");
    let cloth = garment(&harness).cloths.last().unwrap().clone();
    assert_eq!((cloth.name.as_str(), cloth.width.mm()), ("taffeta", 1500.0));
    assert_eq!(field(&harness, "Width").value().as_deref(), Some("150.0 cm"));
    assert!(says(&harness, "No piece is cut from it"));
    click(&mut harness, "Go to the stacks");
    for piece in ["front", "back", "sleeve"] {
        pick(&mut harness, &format!("Cut the {piece} from another cloth too"), "taffeta");
        let stack = garment(&harness).stacks.into_iter().find(|s| s.piece == piece).unwrap();
        assert_eq!(stack.layers.last().unwrap().cloth, "taffeta", "{piece}");
    }
    let layers =
        |g: &Garment| g.stacks.iter().find(|s| s.piece == "front").unwrap().layers.iter().map(|l| l.cloth.clone()).collect::<Vec<_>>();
    assert_eq!(layers(&garment(&harness)), ["cream satin", "cotton lawn", "taffeta"]);
    choose(&mut harness, "taffeta");
    wait(&mut harness, "the estimate", |h| says(h, "Estimated before it is laid"));
    lay_quickly(&mut harness, "taffeta");

    let now = garment(&harness);
    let (lay_out, stood) = standing(&now, "taffeta");
    assert!(stood.is_sound() && !stood.is_stale());
    let buy = cloth.sold_by.text(stood.purchase(&lay_out).buy_mm);
    assert!(harness.query_by_label(&buy).is_some(), "{buy} to buy is shown");
    assert!(says(&harness, "to buy"));

    // One piece is dragged onto another; the readout, the ticket and the piece itself say so.
    let place = |harness: &Open, piece: &str| {
        let name = format!("{piece}: ");
        let node = harness.query_all_by_label_contains(&name).find(|n| n.accesskit_node().role() == Role::ListItem);
        let all = || harness.query_all_by_role(Role::ListItem).filter_map(|n| n.accesskit_node().label()).collect::<Vec<_>>();
        node.unwrap_or_else(|| panic!("no {name:?} in {:?}", all())).rect().center()
    };
    let (from, to) = (place(&harness, "sleeve 1"), place(&harness, "front"));
    harness.hover_at(from);
    harness.step();
    harness.drag_at(from);
    harness.step();
    for share in [0.3, 0.7, 1.0] {
        harness.hover_at(from + (to - from) * share);
        harness.step();
    }
    harness.drop_at(to);
    harness.step();
    harness.step();
    assert_eq!(harness.state().desk().unwrap().history().undo_label(), Some("move the sleeve by hand"));
    assert!(says(&harness, "overlap by"));
    let (_, stood) = standing(&garment(&harness), "taffeta");
    assert!(!stood.is_sound());
    assert!(harness.query_by_label(&buy).is_none(), "what does not hold is not shown as what to buy");
    click(&mut harness, "Undo: move the sleeve by hand");
    assert!(!says(&harness, "overlap by"));
    assert_eq!(garment(&harness), now);
    assert!(harness.query_by_label(&buy).is_some());
}

#[test]
fn cancel_keeps_the_best_lay_so_far() {
    let mut harness = at_lay();
    choose(&mut harness, "cream satin");
    click_role(&mut harness, Role::RadioButton, "10000 passes: a quarter of a minute and more");
    click(&mut harness, "Lay anew");
    wait(&mut harness, "a first lay", |h| says(h, "so far"));
    click(&mut harness, "Cancel");
    wait(&mut harness, "the lay that was found", |h| lay(h, "cream satin").is_some());
    let kept = lay(&harness, "cream satin").unwrap();
    assert!(kept.passes < 10_000, "{} passes", kept.passes);
    let (_, stood) = standing(&garment(&harness), "cream satin");
    assert!(stood.is_sound(), "{:?}", stood.stretches[0].faults);
    assert!(says(&harness, "Stopped; the best so far is kept"));
}

#[test]
fn a_held_piece_stays_while_the_rest_is_laid_and_the_lay_outlives_the_window() {
    let mut harness = at_lay();
    choose(&mut harness, "copper organza");
    lay_quickly(&mut harness, "copper organza");
    let node = harness.query_all_by_label_contains("over-sleeve 1: ").find(|n| n.accesskit_node().role() == Role::ListItem);
    node.unwrap().focus();
    harness.step();
    harness.step();
    for _ in 0..12 {
        harness.key_press(Key::ArrowRight);
        harness.step();
        harness.step();
    }
    let moved = lay(&harness, "copper organza").unwrap();
    let first = |lay: &KeptLay| lay.stretches[0].pieces.iter().find(|p| p.copy == 1).unwrap().clone();
    assert!(first(&moved).held && moved.by_hand);
    click(&mut harness, "Lay the rest");
    wait(&mut harness, "the rest", |h| lay(h, "copper organza").is_some_and(|l| !l.by_hand));
    let rest = lay(&harness, "copper organza").unwrap();
    assert_eq!(first(&rest).along.mm(), first(&moved).along.mm());
    assert_eq!(first(&rest).across.mm(), first(&moved).across.mm());
    assert!(first(&rest).held);
    let (_, stood) = standing(&garment(&harness), "copper organza");
    assert!(stood.is_sound(), "{:?}", stood.stretches[0].faults);
    let again = Garment::from_text(&garment(&harness).to_text()).unwrap();
    assert_eq!(again.lays, garment(&harness).lays);
    // Other measurements, another lay: what is out of date is said.
    go(&mut harness, "Measure");
    type_into(&mut harness, "Bust girth", "97");
    go(&mut harness, "Lay");
    assert!(says(&harness, "This lay is out of date"));
}

#[test]
fn a_panel_wider_than_the_cloth_is_explained_and_pieced() {
    let mut harness = at_lay();
    choose(&mut harness, "cream satin");
    click(&mut harness, "cream satin: open its particulars");
    type_into(&mut harness, "Width", "46 cm");
    assert!(says(&harness, "across the grain"));
    click(&mut harness, "Piece the gore with a seam on the straight grain");
    let now = garment(&harness);
    let what = now.works.last().unwrap().work.what();
    assert_eq!(what, "piece the gore with the gore piecing");
    assert!(matches!(&now.works.last().unwrap().work, Work::Alter(_)));
    let built = harness.state().desk().unwrap().built();
    assert!(built.outcomes.iter().all(|o| o.skipped.is_none()));
    let (lay_out, _) = standing(&now, "cream satin");
    assert!(!lay_out.too_wide.iter().any(|w| w.piece.as_str().starts_with("gore")), "{:?}", lay_out.too_wide);
    // What is joined on is cut from the same cloths.
    let cloths =
        |piece: &str| now.stacks.iter().find(|s| s.piece == piece).unwrap().layers.iter().map(|l| l.cloth.clone()).collect::<Vec<_>>();
    assert_eq!(cloths("gore piecing"), cloths("gore"));
    click(&mut harness, "Undo: piece the gore");
    assert!(harness.state().desk().unwrap().built().draft.piece("gore piecing").is_none());
}

#[test]
fn what_can_t_be_a_width_is_kept_as_typed_and_the_lists_are_there() {
    let mut harness = at_lay();
    choose(&mut harness, "cream satin");
    click(&mut harness, "cream satin: open its particulars");
    for (typed, said) in [("wide", "is not a number"), ("1 cm", "Give a width between")] {
        type_into(&mut harness, "Width", typed);
        assert_eq!(field(&harness, "Width").value().as_deref(), Some(typed));
        assert!(says(&harness, said), "{typed}");
        assert_eq!(garment(&harness).cloths[0].width.mm(), 1400.0);
    }
    type_into(&mut harness, "Width", "1 1/2 yd");
    assert!((garment(&harness).cloths[0].width.mm() - 1371.6).abs() < 1e-9);
    click_role(&mut harness, Role::RadioButton, "Every piece in every cloth");
    assert!(says(&harness, "gore, Cloth cream satin, Cut 8"));
    click_role(&mut harness, Role::RadioButton, "What is needed beside cloth");
    assert!(says(&harness, "sewing thread, How much "));
    click_role(&mut harness, Role::RadioButton, "Lengths, costs and weights, cloth by cloth");
    wait(&mut harness, "all estimates", |h| says(h, "calico, It is the toile"));
    assert!(says(&harness, "estimated, give or take"));
}

/// With Ctrl an arrow key slides the piece in hand until it touches: exactly, as the check sees it; and it is one step of undo.
#[test]
fn a_piece_slides_by_key_until_it_touches() {
    let mut harness = at_lay();
    choose(&mut harness, "copper organza");
    lay_quickly(&mut harness, "copper organza");
    let node = harness.query_all_by_label_contains("over-sleeve 1: ").find(|n| n.accesskit_node().role() == Role::ListItem);
    node.unwrap().focus();
    harness.run_steps(2);
    // Away from everything first, so that there is something to slide back.
    for _ in 0..40 {
        harness.key_press(Key::ArrowRight);
        harness.run_steps(2);
    }
    let before = garment(&harness);
    harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::ArrowLeft);
    harness.run_steps(2);
    let slid = garment(&harness);
    assert_ne!(slid.lays, before.lays);
    assert_eq!(harness.state().desk().unwrap().history().undo_label(), Some("move the over-sleeve by hand"));
    let (_, stood) = standing(&slid, "copper organza");
    assert!(stood.is_sound(), "{:?}", stood.stretches[0].faults);
    // It touches there: it can't be slid further, and that is said.
    harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::ArrowLeft);
    harness.run_steps(3);
    assert_eq!(garment(&harness).lays, slid.lays);
    assert!(says(&harness, "touches there already"));
    harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::Z);
    harness.run_steps(2);
    assert_eq!(garment(&harness).lays, before.lays);
}

/// Every head of the stacks stands over its column.
#[test]
fn heads_stand_over_their_columns() {
    let mut harness = at_lay();
    click_role(&mut harness, Role::RadioButton, "From which cloths each piece is cut");
    harness.run_steps(4);
    let left = |h: &Open, label: &str| h.query_all_by_label_contains(label).next().unwrap_or_else(|| panic!("no {label}")).rect().left();
    for (head, named) in [
        ("Cut: How often", "back, cream satin: how often cut"),
        ("Seam allowance: ", "back, cream satin: seam allowance"),
        ("Hem allowance: ", "back, cream satin: hem allowance"),
        ("Hem raised by: ", "back, cream satin: hem raised by"),
        ("If cloth is short: ", "back, cream satin: if cloth is short"),
    ] {
        let (above, below) = (left(&harness, head), left(&harness, named));
        assert!((above - below).abs() < 6.0, "{head} at {above}, {named} at {below}");
    }
}

/// Small pieces have numbers, and the ticket says what they stand for.
#[test]
fn small_pieces_of_a_lay_have_a_key() {
    let mut harness = at_lay();
    choose(&mut harness, "cream satin");
    lay_quickly(&mut harness, "cream satin");
    harness.run_steps(4);
    assert!(says(&harness, "Small pieces by number"));
    assert!(harness.query_all_by_label("wrist underlap").next().is_some());
}
