//! The window, driven through its accessibility tree as a maker with a keyboard or a screen reader would.

use std::time::{Duration, Instant};

use basteline::files;
use basteline::window::{Chosen, Stage, Window, dress};
use draft_core::{Garment, Measurement, Name};
use egui::{Key, Modifiers, Role, accesskit::Toggled};
use egui_kittest::kittest::{NodeT, Queryable};
use egui_kittest::{Harness, Node};

fn open_window() -> Harness<'static, Window> {
    Harness::builder()
        .with_size((1280.0, 800.0))
        .with_max_steps(12)
        .with_context_setup(dress)
        .build_ui_state(|ui, window: &mut Window| window.ui(ui), Window::default().asking_in_window())
}

/// A garment opened from its file at a stage.
pub fn opened(garment: &Garment, stage: &str) -> Harness<'static, Window> {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("garment.ron");
    files::save_garment(&file, garment).unwrap();
    let mut harness = open_window();
    harness.state_mut().open(&file);
    harness.run();
    go(&mut harness, stage);
    harness
}

pub fn with_demo() -> Harness<'static, Window> {
    let mut harness = open_window();
    harness.run();
    harness.get_by_label("Try the demo").click();
    harness.run();
    harness
}

pub fn go(harness: &mut Harness<'static, Window>, stage: &str) {
    harness.get_by_role_and_label(Role::Tab, stage).click();
    harness.run();
}

/// Types into a field in place of what stands there, and leaves it with Tab.
pub fn type_into(harness: &mut Harness<'static, Window>, label: &str, text: &str) {
    field(harness, label).scroll_to_me();
    harness.run();
    field(harness, label).focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    field(harness, label).type_text(text);
    harness.run();
    harness.key_press(Key::Tab);
    harness.run();
}

pub fn field<'h>(harness: &'h Harness<'static, Window>, label: &'h str) -> Node<'h> {
    harness.get_by_role_and_label(Role::TextInput, label)
}

fn gore_length(harness: &Harness<'static, Window>) -> f64 {
    harness.state().desk().unwrap().built().draft.piece("gore").unwrap().edge_length_mm("right seam").unwrap()
}

#[test]
fn the_first_page_has_its_doors() {
    let mut harness = open_window();
    harness.run();
    for door in ["Measure someone", "Start from the block book", "Open a garment", "Try the demo"] {
        assert_eq!(harness.get_by_label(door).accesskit_node().role(), Role::Button, "{door}");
    }
    harness.get_by_label("Measure someone").click();
    harness.run();
    let desk = harness.state().desk().unwrap();
    assert_eq!(desk.stage(), Stage::Measure);
    assert!(desk.garment().wearer.takes.is_empty());
    assert!(!desk.garment().wearer.measured_on.is_empty(), "the card is dated");
}

#[test]
fn the_demo_lies_on_the_table() {
    let harness = with_demo();
    let desk = harness.state().desk().unwrap();
    let pieces = &desk.built().draft.pieces;
    assert!(pieces.len() >= 3, "{} pieces", pieces.len());
    harness.get_by_label(&format!("Table with {} pieces", pieces.len()));
    for piece in pieces {
        // Once on the table, and once in the list at the left. Names hold one another: "sleeve", "over-sleeve".
        let named = |node: &Node<'_>| node.accesskit_node().label().is_some_and(|l| l.starts_with(&format!("{},", piece.name())));
        let label = piece.name().as_str();
        assert_eq!(
            harness.query_all_by_label_contains(label).filter(|n| n.accesskit_node().role() == Role::ListItem && named(n)).count(),
            1
        );
        assert!(harness.query_all_by_label_contains(&format!("{}: cut", piece.name())).next().is_some());
    }
}

#[test]
fn the_five_stages_open_by_mouse_and_by_key() {
    let mut harness = with_demo();
    for stage in Stage::ALL {
        go(&mut harness, stage.name());
        assert_eq!(harness.state().desk().unwrap().stage(), stage);
    }
    for stage in Stage::ALL {
        harness.key_press_modifiers(Modifiers::COMMAND, stage.key());
        harness.run();
        assert_eq!(harness.state().desk().unwrap().stage(), stage);
        assert_eq!(harness.get_by_role_and_label(Role::Tab, stage.name()).accesskit_node().toggled(), Some(Toggled::True));
    }
}

#[test]
fn a_typed_measurement_redrafts_the_pieces() {
    let mut harness = with_demo();
    let before = gore_length(&harness);
    go(&mut harness, "Measure");
    type_into(&mut harness, "Outside leg length", "104 + 3");
    let grown = gore_length(&harness) - before;
    assert!((grown - 30.0).abs() < 0.5, "the gore grew by {grown} mm");
    assert_eq!(harness.state().desk().unwrap().garment().wearer.take(Measurement::OutsideLeg).unwrap().typed, "104 + 3");
}

#[test]
fn what_can_t_be_read_is_kept_as_typed_with_the_reason_beside_it() {
    let mut harness = with_demo();
    go(&mut harness, "Measure");
    type_into(&mut harness, "Bust girth", "ninety-two");
    assert_eq!(field(&harness, "Bust girth").value().as_deref(), Some("ninety-two"));
    assert_eq!(harness.state().desk().unwrap().garment().wearer.take(Measurement::BustGirth).unwrap().typed, "ninety-two");
    assert!(harness.query_all_by_label_contains("is not a number").next().is_some());
    assert!(harness.query_all_by_label_contains("Type a number such as").next().is_some());
    // The garment is still there and says that it needs mending.
    assert!(harness.query_all_by_label_contains("to mend").next().is_some());
}

#[test]
fn undo_and_redo_take_whole_steps() {
    let mut harness = with_demo();
    let before = harness.state().desk().unwrap().garment().clone();
    go(&mut harness, "Measure");
    type_into(&mut harness, "Waist girth", "74.5");
    let after = harness.state().desk().unwrap().garment().clone();
    assert_ne!(before, after);
    harness.get_by_label("Undo: waist girth").click();
    harness.run();
    assert_eq!(*harness.state().desk().unwrap().garment(), before);
    // A click on the bare figure or table gives the keyboard back; then the keys do the same.
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    harness.run();
    assert_eq!(*harness.state().desk().unwrap().garment(), after);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert_eq!(*harness.state().desk().unwrap().garment(), before);
}

#[test]
fn a_setting_previews_while_it_is_typed_and_is_one_step() {
    let mut harness = with_demo();
    harness.get_by_label_contains("Skirt: open its settings").click();
    harness.run();
    let waist =
        |h: &Harness<'static, Window>| h.state().desk().unwrap().built().girths.iter().find(|g| g.level == "hip").unwrap().finished_mm;
    let before = waist(&harness);
    field(&harness, "Ease at the hip").scroll_to_me();
    harness.run();
    field(&harness, "Ease at the hip").focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    field(&harness, "Ease at the hip").type_text("8 cm");
    harness.run();
    assert!((waist(&harness) - before - 30.0).abs() < 0.1, "shown while it is typed");
    assert_eq!(harness.state().desk().unwrap().history().undo_label(), None, "and no step yet");
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().desk().unwrap().history().undo_label(), Some("ease at the hip"));
    assert!((waist(&harness) - before - 30.0).abs() < 0.1);
}

#[test]
fn a_setting_out_of_its_limits_stays_as_typed_and_changes_nothing() {
    let mut harness = with_demo();
    harness.get_by_label_contains("Skirt: open its settings").click();
    harness.run();
    let before = harness.state().desk().unwrap().garment().clone();
    type_into(&mut harness, "Gores", "40");
    assert_eq!(field(&harness, "Gores").value().as_deref(), Some("40"));
    assert!(harness.query_by_label_contains("out of its limits").is_some());
    assert_eq!(*harness.state().desk().unwrap().garment(), before);
}

#[test]
fn a_block_is_switched_off_taken_out_and_drafted_again() {
    let mut harness = with_demo();
    let there = |h: &Harness<'static, Window>| h.state().desk().unwrap().built().draft.piece("gore").is_some();
    let switch = harness.get_by_label("Switch off the skirt");
    assert_eq!(switch.accesskit_node().toggled(), Some(Toggled::True));
    switch.click();
    harness.run();
    assert!(!there(&harness));
    harness.get_by_label("Switch on the skirt").click();
    harness.run();
    assert!(there(&harness));
    harness.get_by_label("Take out the skirt").click();
    harness.run();
    assert!(!there(&harness));
    harness.get_by_label("Draft the skirt").click();
    harness.run();
    assert!(there(&harness));
}

#[test]
fn a_piece_and_an_edge_show_their_particulars() {
    let mut harness = with_demo();
    harness.get_by_label_contains("gore: cut").scroll_to_me();
    harness.run();
    harness.get_by_label_contains("gore: cut").click();
    harness.run();
    assert_eq!(*harness.state().desk().unwrap().chosen(), Chosen::Piece(Name::from("gore")));
    let length = draft_core::Unit::Cm.text(gore_length(&harness));
    harness.get_by_label_contains("right seam: ").click();
    harness.run();
    assert_eq!(*harness.state().desk().unwrap().chosen(), Chosen::Edge(Name::from("gore"), Name::from("right seam")));
    assert!(harness.query_all_by_label_contains(&length).next().is_some(), "the ticket shows {length}");
    harness.get_by_label("Show gore / left seam").click();
    harness.run();
    assert_eq!(*harness.state().desk().unwrap().chosen(), Chosen::Edge(Name::from("gore"), Name::from("left seam")));
}

#[test]
fn tab_goes_from_piece_to_piece_on_the_table() {
    let mut harness = with_demo();
    let names: Vec<Name> = harness.state().desk().unwrap().built().draft.pieces.iter().map(|p| p.name().clone()).collect();
    let first = harness.get_all_by_role(Role::ListItem).next().unwrap();
    first.focus();
    harness.run();
    for name in &names {
        assert_eq!(harness.state().desk().unwrap().chosen().piece(), Some(name));
        harness.key_press(Key::Tab);
        harness.run();
    }
}

#[test]
fn an_edge_under_the_pointer_is_read_out() {
    let mut harness = with_demo();
    let table = harness.get_by_label_contains("Table with").rect();
    let mut read = false;
    // Somewhere across the table there is an edge that is sewn to another.
    for i in 0..80 {
        harness.hover_at(egui::pos2(table.left() + table.width() * (i as f32 / 80.0), table.center().y));
        harness.run();
        read |= harness.query_all_by_label_contains("sewn to").next().is_some();
    }
    assert!(read);
}

#[test]
fn lengths_are_shown_in_the_unit_chosen() {
    let mut harness = with_demo();
    assert!(harness.query_all_by_label_contains("92.0 cm").next().is_some(), "the ease table is in centimetres");
    harness.get_by_label("Show lengths in inches").click();
    harness.run();
    // 920 mm is 36.2 in, to the sixteenth 36 1/4.
    assert!(harness.query_all_by_label_contains("36 1/4 in").next().is_some());
    assert!(harness.query_all_by_label_contains("92.0 cm").next().is_none());
}

#[test]
fn leaving_what_is_unsaved_asks_first() {
    let mut harness = with_demo();
    go(&mut harness, "Measure");
    type_into(&mut harness, "Hip girth", "100");
    let changed = harness.state().desk().unwrap().garment().clone();
    harness.get_by_label("Measure someone else").click();
    harness.run();
    assert!(harness.query_by_label_contains("Save the changes to The Weathervane?").is_some());
    harness.get_by_label("Stay here").click();
    harness.run();
    assert_eq!(*harness.state().desk().unwrap().garment(), changed, "nothing was lost");
    harness.get_by_label("Measure someone else").click();
    harness.run();
    harness.get_by_label("Leave them out").click();
    harness.run();
    assert!(harness.state().desk().unwrap().garment().wearer.takes.is_empty());
}

#[test]
fn what_is_still_being_typed_is_saved_too() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("gown.ron");
    let mut harness = with_demo();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::S);
    harness.run();
    let path = "Name of the file, or its whole path";
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    field(&harness, path).type_text(&file.display().to_string());
    harness.run();
    harness.get_by_label("Save it").click();
    harness.run();
    assert_eq!(files::load_garment(&file).unwrap().name, "The Weathervane");

    go(&mut harness, "Measure");
    field(&harness, "Hip girth").focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    field(&harness, "Hip girth").type_text("101");
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::S);
    harness.run();
    assert_eq!(files::load_garment(&file).unwrap().wearer.take(Measurement::HipGirth).unwrap().typed, "101");
    assert!(!harness.state().desk().unwrap().is_unsaved());
}

#[test]
fn a_damaged_file_is_refused_with_its_line_and_the_garment_stays() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("torn.ron");
    let text = basteline::demo::GARMENT;
    std::fs::write(&file, &text[..text.len() / 2]).unwrap();
    let mut harness = with_demo();
    harness.state_mut().open(&file);
    harness.run();
    assert!(harness.query_by_label_contains("This did not work").is_some());
    assert!(harness.query_by_label_contains("torn.ron, line ").is_some());
    harness.get_by_label("Go back").click();
    harness.run();
    assert_eq!(harness.state().desk().unwrap().garment().name, "The Weathervane");
}

#[test]
fn a_wearer_card_begins_a_garment() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("marit.ron");
    std::fs::write(&file, basteline::demo::WEARER).unwrap();
    let mut harness = open_window();
    harness.state_mut().open(&file);
    harness.run();
    let desk = harness.state().desk().unwrap();
    assert_eq!(desk.garment().wearer.name, "Marit Solvang");
    assert!(desk.garment().works.is_empty());
    assert_eq!(desk.stage(), Stage::Measure);
}

/// Steps until something is there; what other threads do takes a moment.
fn wait_for(harness: &mut Harness<'static, Window>, what: impl Fn(&Harness<'static, Window>) -> bool) {
    let begun = Instant::now();
    while !what(harness) {
        assert!(begun.elapsed() < Duration::from_secs(20), "it never came");
        std::thread::sleep(Duration::from_millis(10));
        harness.step();
    }
}

#[test]
fn pages_are_counted_and_printed() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("gown.pdf");
    let mut harness = with_demo();
    harness.get_by_role_and_label(Role::Tab, "Print").click();
    harness.step();
    wait_for(&mut harness, |h| h.query_by_label("pages of A4").is_some());
    let (garment, built) = {
        let desk = harness.state().desk().unwrap();
        (desk.garment().clone(), desk.built().clone())
    };
    let sheet = tiled_print::Sheet::of(&garment, &built).unwrap();
    let tiling = tiled_print::Tiling::of(&sheet, &garment.print).unwrap();
    assert!(harness.query_by_label(&tiling.tiles.len().to_string()).is_some(), "the count of pages is shown");
    harness.get_by_label("Print pages…").click();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    field(&harness, "Name of the file, or its whole path").type_text(&file.display().to_string());
    harness.run();
    harness.get_by_label("Save it").click();
    harness.step();
    wait_for(&mut harness, |h| h.query_by_label_contains("Wrote ").is_some());
    let bytes = std::fs::read(&file).unwrap();
    assert!(bytes.starts_with(b"%PDF-"));
}

#[test]
fn nothing_is_painted_again_while_nothing_moves() {
    let mut harness = with_demo();
    for stage in [Stage::Measure, Stage::Blocks, Stage::Redraw] {
        go(&mut harness, stage.name());
        harness.step();
        let delay = harness.output().viewport_output.values().map(|v| v.repaint_delay).min().unwrap();
        assert!(delay > Duration::from_secs(3600), "{stage:?} paints again after {delay:?}");
    }
}

#[test]
fn enter_goes_on_to_the_next_measurement_and_keeps_the_keys_apart() {
    let mut harness = with_demo();
    go(&mut harness, "Measure");
    field(&harness, "Underbust girth").focus();
    harness.run();
    // All of it within one frame, as a quick hand or a slow machine does.
    for text in ["7", "9"] {
        field(&harness, "Underbust girth").type_text(text);
    }
    harness.key_press(Key::Enter);
    harness.run();
    let typed = |h: &Harness<'static, Window>, which| h.state().desk().unwrap().garment().wearer.take(which).unwrap().typed.clone();
    assert_eq!(typed(&harness, Measurement::UnderbustGirth), "79");
    assert_eq!(typed(&harness, Measurement::WaistGirth), "28 3/4 in");
    assert!(field(&harness, "Waist girth").is_focused());
    // What stood there is selected, so that typing takes its place.
    field(&harness, "Waist girth").type_text("74");
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(typed(&harness, Measurement::WaistGirth), "74");
}

#[test]
fn two_takes_stand_side_by_side_and_the_maker_says_which_counts() {
    let mut harness = with_demo();
    go(&mut harness, "Measure");
    field(&harness, "Hip girth").focus();
    harness.run();
    let plausible = |h: &Harness<'static, Window>| h.query_by_label_contains("of someone with these other measurements").is_some();
    assert!(plausible(&harness), "what is plausible is said");
    assert!(harness.query_by_label_contains("19 people in 20 lie between").is_some());
    type_into(&mut harness, "Second reading", "101.5");
    let counts = |h: &Harness<'static, Window>| {
        let desk = h.state().desk().unwrap();
        (desk.garment().wearer.take(Measurement::HipGirth).unwrap().typed.clone(), desk.built().body.get(Measurement::HipGirth).unwrap())
    };
    assert_eq!(counts(&harness), ("101.5".into(), 1015.0));
    assert!(harness.query_by_label_contains("Nothing is averaged").is_some());
    assert!(harness.query_by_label("2.5 cm").is_some(), "the difference");
    harness.get_by_role_and_label(Role::RadioButton, "Reading 1 counts").click();
    harness.run();
    assert_eq!(counts(&harness), ("99".into(), 990.0));
    assert_eq!(harness.state().desk().unwrap().history().undo_label(), Some("which hip girth counts"));
    harness.get_by_label("Take out reading 2").scroll_to_me();
    harness.run();
    harness.get_by_label("Take out reading 2").click();
    harness.run();
    assert_eq!(harness.state().desk().unwrap().garment().wearer.takes[&Measurement::HipGirth].len(), 1);
}

#[test]
fn the_right_side_is_typed_where_it_differs() {
    let mut harness = with_demo();
    go(&mut harness, "Measure");
    field(&harness, "Shoulder slope").focus();
    harness.run();
    type_into(&mut harness, "Right side, if it differs", "26");
    let desk = harness.state().desk().unwrap();
    assert_eq!(desk.garment().wearer.right[&Measurement::ShoulderSlope].typed, "26");
    assert!(desk.built().messages.iter().any(|m| m.problem.contains("drafted apart")), "the halves are drafted apart");
}

#[test]
fn a_disagreement_names_what_would_settle_it_and_leads_there() {
    let mut harness = with_demo();
    go(&mut harness, "Measure");
    type_into(&mut harness, "Scye depth", "26");
    field(&harness, "Scye depth").focus();
    harness.run();
    let heading = harness.query_all_by_label_contains("would settle the doubt").next();
    assert!(heading.is_some());
    let to = harness.query_all_by_label_contains("Go to ").next().unwrap();
    let label = to.accesskit_node().label().unwrap();
    to.scroll_to_me();
    harness.run();
    harness.query_all_by_label(&label).next().unwrap().click();
    harness.run();
    let name = label.trim_start_matches("Go to ").to_owned();
    assert!(field(&harness, &name).is_focused(), "{name}");
}

#[test]
fn the_measuring_sheet_is_printed_from_measure() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("sheet.pdf");
    let mut harness = with_demo();
    go(&mut harness, "Measure");
    harness.get_by_label("Print the measuring sheet…").scroll_to_me();
    harness.run();
    harness.get_by_label("Print the measuring sheet…").click();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    field(&harness, "Name of the file, or its whole path").type_text(&file.display().to_string());
    harness.run();
    harness.get_by_label("Save it").click();
    harness.step();
    wait_for(&mut harness, |h| h.query_by_label_contains("Wrote the measuring sheet").is_some());
    assert!(std::fs::read(&file).unwrap().starts_with(b"%PDF-"));
}

#[test]
fn the_ease_table_says_what_is_usual_and_what_is_too_tight() {
    let mut harness = with_demo();
    assert!(harness.query_by_label_contains("bust: body 92.0 cm, ease").is_some());
    assert!(harness.query_all_by_label_contains("(usual ").count() >= 8, "most levels have something usual");
    harness.get_by_label_contains("Bodice: open its settings").click();
    harness.run();
    type_into(&mut harness, "Ease at the waist", "-2 cm");
    assert!(harness.query_all_by_label_contains("too tight to breathe freely").next().is_some());
    assert!(harness.query_by_label_contains("Take care: waist").is_some(), "a caution beside the checks");
}

fn cast_file(folder: &std::path::Path) -> std::path::PathBuf {
    let card = basteline::demo::read().unwrap().0;
    let keys: Vec<_> = card.takes.keys().map(|m| m.key()).collect();
    let value = |m| format!("{:.1}", card.read(m, card.take(m).unwrap()).unwrap() / if m.key() == "shoulder-slope" { 1.0 } else { 10.0 });
    let row: Vec<_> = card.takes.keys().map(|m| value(*m)).collect();
    let wrong = keys.iter().map(|_| "eighty").collect::<Vec<_>>().join(",");
    let file = folder.join("chorus.csv");
    let row = row.join(",");
    std::fs::write(&file, format!("name,{}\nMarit,{row}\nBo,{wrong}\nCarl,{row}\n", keys.join(","))).unwrap();
    file
}

#[test]
fn a_cast_is_drafted_listed_opened_and_saved() {
    let folder = tempfile::tempdir().unwrap();
    let file = cast_file(folder.path());
    let mut harness = open_window();
    harness.run();
    // By keyboard alone from the first page.
    harness.get_by_label("Draft for a whole cast…").focus();
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    field(&harness, "Name of a file above, or a whole path").type_text(&file.display().to_string());
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert!(harness.query_by_label("Cast: chorus.csv, 3 wearers").is_some());
    harness.get_by_label("Draft for 3 wearers").click();
    harness.step();
    wait_for(&mut harness, |h| h.state().cast().unwrap().list().is_some());
    let list = harness.state().cast().unwrap().list().unwrap();
    assert_eq!(list.iter().map(|s| s.name.as_str()).collect::<Vec<_>>(), ["Bo", "Marit", "Carl"], "problems first");
    assert!(!list[0].is_sound() && list[1].is_sound() && list[1].problems() == 0);
    harness.run();
    assert!(harness.query_all_by_label_contains("is not a number").next().is_some(), "the problem is named");
    harness.get_by_label("Only with problems").click();
    harness.run();
    assert!(harness.query_by_label("Open Carl as a new garment").is_none());

    harness.get_by_label("Save the reports…").click();
    harness.run();
    let out = folder.path().join("reports");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    field(&harness, "Name of the folder, or its whole path").type_text(&out.display().to_string());
    harness.run();
    harness.get_by_label("Save them there").click();
    harness.step();
    wait_for(&mut harness, |h| h.query_by_label_contains("Wrote garments and reports of 3 wearers").is_some());
    for name in ["0001-Marit.ron", "0001-Marit.txt", "0002-Bo.txt", "0003-Carl.ron", "cast.csv"] {
        assert!(out.join(name).exists(), "{name}");
    }
    let table = std::fs::read_to_string(out.join("cast.csv")).unwrap();
    assert_eq!(table.lines().count(), 4);
    assert!(table.lines().nth(2).unwrap().starts_with("2,Bo,mend,"), "{table}");

    harness.get_by_label("Only with problems").click();
    harness.run();
    harness.get_by_label("Open Carl as a new garment").click();
    harness.run();
    let desk = harness.state().desk().unwrap();
    assert_eq!((desk.garment().wearer.name.as_str(), desk.stage(), desk.is_unsaved()), ("Carl", Stage::Measure, true));
    assert!(harness.state().cast().is_none());
}

#[test]
fn a_table_that_is_none_is_refused_and_a_cast_is_left_again() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("colours.csv");
    std::fs::write(&file, "colour,price\nred,3\n").unwrap();
    let mut harness = with_demo();
    harness.state_mut().open_cast(&file);
    harness.run();
    assert!(harness.query_by_label_contains("column is named after a measurement").is_some());
    harness.get_by_label("Go back").click();
    harness.run();
    harness.state_mut().open_cast(&cast_file(folder.path()));
    harness.run();
    harness.get_by_label("Go back").click();
    harness.run();
    assert_eq!(harness.state().desk().unwrap().garment().name, "The Weathervane");
}

fn remembering(folder: &std::path::Path) -> Harness<'static, Window> {
    let window = Window::default().asking_in_window().remembering(Some(folder.join("looks.ron")), Some(folder.join("state")));
    Harness::builder()
        .with_size((1280.0, 800.0))
        .with_max_steps(12)
        .with_context_setup(dress)
        .build_ui_state(|ui, window: &mut Window| window.ui(ui), window)
}

#[test]
fn looks_are_remembered() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = remembering(folder.path());
    harness.run();
    // The test window begins dark.
    harness.get_by_label("Use the light colours").click();
    harness.run();
    harness.get_by_label("Try the demo").click();
    harness.run();
    harness.get_by_label("Show lengths in inches").click();
    harness.run();
    drop(harness);
    let mut harness = remembering(folder.path());
    harness.run();
    harness.get_by_label("Use the dark colours");
    harness.get_by_label("Try the demo").click();
    harness.run();
    assert!(harness.query_all_by_label_contains("36 1/4 in").next().is_some());
}

#[test]
fn unsaved_work_outlives_a_lost_window() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = remembering(folder.path());
    harness.run();
    harness.get_by_label("Try the demo").click();
    harness.run();
    go(&mut harness, "Measure");
    type_into(&mut harness, "Hip girth", "100.5");
    let kept = folder.path().join("state/open-1.ron");
    wait_for(&mut harness, |_| kept.exists());
    // The window is lost: nothing is closed in order.
    drop(harness);
    assert!(kept.exists());
    // Whoever wrote it may still be at it for a moment; a process that is gone is gone with all its threads.
    let begun = Instant::now();
    while files::slot::look(&folder.path().join("state")).unwrap().left.is_empty() {
        assert!(begun.elapsed() < Duration::from_secs(20), "the lock is held for ever");
        std::thread::sleep(Duration::from_millis(10));
    }

    let mut harness = remembering(folder.path());
    harness.run();
    assert!(harness.query_by_label_contains("Changes were kept that were never saved").is_some());
    harness.get_by_label("Decide later").click();
    harness.run();
    drop(harness);
    let mut harness = remembering(folder.path());
    harness.run();
    harness.get_by_label("Open it").click();
    harness.run();
    let desk = harness.state().desk().unwrap();
    assert_eq!(desk.garment().wearer.take(Measurement::HipGirth).unwrap().typed, "100.5");
    assert!(desk.is_unsaved());
    assert!(!kept.exists(), "it is kept in the slot of this window now");
    assert!(folder.path().join("state/open-2.ron").exists());
    // Left out deliberately, nothing of it is left.
    harness.get_by_label("Measure someone else").click();
    harness.run();
    harness.get_by_label("Leave them out").click();
    harness.run();
    harness.step();
    assert!(!folder.path().join("state/open-2.ron").exists());
}
