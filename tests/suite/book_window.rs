//! The block book and fittings in the window, through its accessibility tree.

use std::path::Path;

use basteline::files::book::Book;
use basteline::window::{Chosen, Stage, Window, dress};
use basteline::{demo, files};
use draft_core::{Grade, Work};
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable;
use egui_kittest::{Harness, Node};

type Shown = Harness<'static, Window>;

/// A window with its own book, at a garment of the demo's block.
fn at_the_block(folder: &Path) -> Shown {
    let file = folder.join("block.ron");
    files::save_garment(&file, &demo::read().unwrap().1).unwrap();
    let mut harness = empty(folder);
    harness.state_mut().open(&file);
    harness.run();
    harness
}

fn empty(folder: &Path) -> Shown {
    let window = Window::default().asking_in_window().with_book(Some(Book::at(folder.join("basteline"))));
    Harness::builder()
        .with_size((1280.0, 900.0))
        .with_max_steps(12)
        .with_context_setup(dress)
        .build_ui_state(|ui, window: &mut Window| window.ui(ui), window)
}

fn press(harness: &mut Shown, label: &str) {
    harness.get_by_label(label).scroll_to_me();
    harness.run();
    harness.get_by_label(label).click();
    harness.run();
}

fn says(harness: &Shown, text: &str) -> bool {
    harness.query_all_by_label_contains(text).next().is_some()
}

fn field<'h>(harness: &'h Shown, label: &'h str) -> Node<'h> {
    harness.get_by_role_and_label(Role::TextInput, label)
}

fn type_into(harness: &mut Shown, label: &str, text: &str) {
    field(harness, label).scroll_to_me();
    harness.run();
    field(harness, label).focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    field(harness, label).type_text(text);
    harness.run();
}

fn save_as(harness: &mut Shown, name: &str, note: &str) {
    press(harness, "Save the block…");
    type_into(harness, "What the block is called", name);
    type_into(harness, "What is to be said of it", note);
    press(harness, "Save the block");
}

fn fitted_waist(harness: &Shown) -> f64 {
    harness.state().desk().unwrap().built().girths.iter().find(|g| g.level == "waist").unwrap().finished_mm
}

/// Pins the side seam of the front by 1.2 cm in all at the waist.
fn pin_the_side_seam(harness: &mut Shown) {
    press(harness, "Record a fitting…");
    type_into(harness, "Pinned by", "Wardrobe");
    choose_edge(harness, "front", "side seam");
    press(harness, "Counted from the end at the waist");
    type_into(harness, "Where", "0 cm");
    type_into(harness, "Pinned in all", "1.2");
    press(harness, "Add this change");
}

fn choose_edge(harness: &mut Shown, piece: &str, edge: &str) {
    harness.get_by_role_and_label(Role::ComboBox, "Seam").click();
    harness.run();
    let label = format!("{piece} / {edge}");
    harness.get_by_label(&label).scroll_to_me();
    harness.run();
    harness.get_by_label(&label).click();
    harness.run();
}

#[test]
fn a_block_is_saved_fitted_saved_again_and_taken_up() {
    let folder = tempfile::tempdir().unwrap();
    let book = Book::at(folder.path().join("basteline"));
    let mut first = at_the_block(folder.path());
    save_as(&mut first, "Marit, close-fitting", "first muslin");
    assert!(says(&first, "Saved Marit, close-fitting as edition 1"));
    assert_eq!(book.read().unwrap().blocks[0].latest().note, "first muslin");

    // Another window starts a garment from it.
    let mut second = empty(folder.path());
    second.run();
    press(&mut second, "Start from the block book");
    type_into(&mut second, "What the garment is called", "The Weathervane");
    press(&mut second, "Start the garment");
    let desk = second.state().desk().unwrap();
    assert_eq!((desk.garment().name.as_str(), desk.stage()), ("The Weathervane", Stage::Blocks));
    assert!(desk.is_unsaved() && desk.garment().works.iter().all(|e| e.from.is_some()));
    let before = fitted_waist(&second);
    assert!(!says(&second, "See what changes"));

    // The first window records a fitting and saves the next edition.
    pin_the_side_seam(&mut first);
    let shown = fitted_waist(&first);
    assert!((before - shown - 24.0).abs() < 1.0, "shown on the table while it is recorded: {before} {shown}");
    assert!(first.state().desk().unwrap().garment().works.iter().all(|e| !matches!(e.work, Work::Fit(_))), "and no step yet");
    press(&mut first, "Record the fitting");
    let desk = first.state().desk().unwrap();
    assert_eq!(desk.history().undo_label(), Some("record a fitting"));
    assert!(matches!(&desk.garment().works[1].work, Work::Fit(f) if f.by == "Wardrobe" && f.wearer == "Marit Solvang"));
    save_as(&mut first, "Marit, close-fitting", "after the fitting");
    assert_eq!(book.read().unwrap().blocks[0].latest().number, 2);

    // The second window comes to the front, says so, and takes it up as one step.
    second.event(egui::Event::WindowFocused(false));
    second.input_mut().focused = false;
    second.run();
    second.input_mut().focused = true;
    second.event(egui::Event::WindowFocused(true));
    second.run();
    assert!(says(&second, "the block book has edition 2"));
    press(&mut second, "See what changes…");
    assert!(second.query_by_label("front / waist").is_some(), "before and after are listed");
    assert!((fitted_waist(&second) - before).abs() < 1e-9, "nothing has changed yet");
    press(&mut second, "Take it up");
    assert!((before - fitted_waist(&second) - 24.0).abs() < 1.0);
    assert_eq!(second.state().desk().unwrap().history().undo_label(), Some("take up a newer edition"));
    assert!(!says(&second, "the block book has edition 2"));
}

#[test]
fn a_newer_edition_is_shown_and_mine_goes_after_it_only_when_asked() {
    let folder = tempfile::tempdir().unwrap();
    let book = Book::at(folder.path().join("basteline"));
    let mut window = at_the_block(folder.path());
    save_as(&mut window, "Marit", "");
    let garment = window.state().desk().unwrap().garment().clone();
    let mut theirs = garment.clone();
    theirs.works[0].note = "theirs".into();
    book.save(&theirs, "Marit", "theirs", Some(1)).unwrap();
    pin_the_side_seam(&mut window);
    press(&mut window, "Record the fitting");
    save_as(&mut window, "Marit", "mine");
    assert!(says(&window, "edition 2 of it"), "what the book has is said");
    assert_eq!(field(&window, "What is to be said of it").value().as_deref(), Some("mine"), "what was typed stays");
    assert_eq!(book.read().unwrap().blocks[0].latest().note, "theirs");
    press(&mut window, "Save mine after edition 2");
    let notes: Vec<String> = book.read().unwrap().blocks[0].editions().map(|e| e.note.clone()).collect();
    assert_eq!(notes, ["", "theirs", "mine"]);
}

#[test]
fn what_cannot_be_pinned_says_why_and_stays_as_typed() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = at_the_block(folder.path());
    press(&mut window, "Record a fitting…");
    press(&mut window, "Add this change");
    assert!(says(&window, "No seam or edge is chosen"));
    choose_edge(&mut window, "front", "side seam");
    type_into(&mut window, "Where", "80 cm");
    type_into(&mut window, "Pinned in all", "a lot");
    press(&mut window, "Add this change");
    assert!(says(&window, "a lot"));
    type_into(&mut window, "Pinned in all", "1 cm");
    press(&mut window, "Add this change");
    assert!(says(&window, "80.0 cm"));
    assert_eq!(field(&window, "Where").value().as_deref(), Some("80 cm"));
    // A level goes round both pieces.
    press(&mut window, "Longer or shorter at a level, all round");
    press(&mut window, "Counted from the end at the waist");
    type_into(&mut window, "Where", "25 %");
    type_into(&mut window, "Longer by", "-1");
    press(&mut window, "Add this change");
    assert!(window.query_by_label("Shorten the front, the back by 1.0 cm").is_some());
    // Going on to another stage keeps what is written.
    window.get_by_role_and_label(Role::Tab, "Print").click();
    window.run();
    window.get_by_role_and_label(Role::Tab, "Blocks").click();
    window.run();
    let desk = window.state().desk().unwrap();
    assert!(desk.garment().works.iter().any(|e| matches!(&e.work, Work::Fit(f) if f.changes.len() == 1)));
    assert_eq!(*desk.chosen(), Chosen::Nothing);
    assert!(desk.built().messages.iter().all(|m| m.grade < Grade::Error), "{:?}", desk.built().messages);
    assert!(window.query_by_label("Record a fitting…").is_some(), "the panel is done with");
}
