//! A garment of many pieces stays easy: in its list, by keyboard, and on the table.

use basteline::window::Window;
use draft_core::{Drawn, Garment, Work, WorkEntry};
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::{NodeT, Queryable};
use egui_kittest::{Harness, Node};

use crate::screen::{field, opened};

/// The demo with so many pieces in all, taken over as drawn outlines.
fn with_pieces(count: usize) -> Harness<'static, Window> {
    let mut garment = Garment::from_text(include_str!("../../assets/demo/garment.ron")).unwrap();
    let pieces = garment.build().draft.pieces.clone();
    let more = (pieces.len()..count).map(|n| {
        let piece = &pieces[n % pieces.len()];
        Drawn::new(format!("{} {n}", piece.name()), &piece.outline())
    });
    garment.works.push(WorkEntry::from(Work::TakeOver(more.collect())));
    opened(&garment, "Redraw")
}

/// The pieces that the list shows now, by their eyes.
fn eyes(harness: &Harness<'static, Window>) -> Vec<String> {
    let label = |node: Node<'_>| node.accesskit_node().label().and_then(|l| l.strip_prefix("Hide ").map(str::to_owned));
    harness.query_all_by_role(Role::Button).filter_map(label).collect()
}

#[test]
fn of_a_long_list_only_what_is_in_view_is_made_and_the_keyboard_gets_to_all_of_it() {
    let mut harness = with_pieces(80);
    let names: Vec<String> =
        harness.state().desk().unwrap().built().draft.pieces.iter().map(|piece| piece.name().as_str().to_owned()).collect();
    let made = eyes(&harness).len();
    assert!(made < 30, "{made} rows are made");
    // The table says all of them.
    harness.get_by_label("Table with 80 pieces");
    let on_table = harness.query_all_by_role(Role::ListItem).count();
    assert_eq!(on_table, 80);

    harness.get_by_label(&format!("Hide {}", names[0])).focus();
    harness.run();
    for name in &names[1..] {
        // Past the name of the row to its eye.
        for _ in 0..2 {
            harness.key_press(Key::Tab);
            harness.run();
        }
        let label = format!("Hide {name}");
        let eye = harness.get_by_label(&label);
        assert!(eye.is_focused(), "{name}");
        let (at, screen) = (eye.rect(), harness.ctx.content_rect());
        assert!(screen.contains_rect(at), "{name} at {at:?}");
    }
    // And back again.
    for _ in 0..2 * (names.len() - 1) {
        harness.key_press_modifiers(Modifiers::SHIFT, Key::Tab);
        harness.run();
    }
    assert!(harness.get_by_label(&format!("Hide {}", names[0])).is_focused());
}

#[test]
fn a_piece_is_found_hidden_and_shown_again() {
    let mut harness = with_pieces(80);
    field(&harness, "Find a piece").focus();
    harness.run();
    field(&harness, "Find a piece").type_text("sleeve 69");
    harness.run();
    assert_eq!(eyes(&harness), ["sleeve 69"]);
    harness.get_by_label("Hide sleeve 69").click();
    harness.run();
    harness.get_by_label("Table with 79 pieces");
    harness.get_by_label("Show sleeve 69").click();
    harness.run();
    harness.get_by_label("Table with 80 pieces");
}
