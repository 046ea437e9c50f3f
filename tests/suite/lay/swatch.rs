//! Pictures of cloths, chosen through the window and kept beside the garment.

use basteline::photo::written;
use egui::{Key, Role};
use egui_kittest::kittest::Queryable;
use image::{Rgba, RgbaImage};

use crate::screen::{field, go, with_demo};

#[test]
fn a_swatch_is_chosen_shown_missed_and_taken_away() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("satin.png");
    RgbaImage::from_pixel(900, 600, Rgba([240, 230, 205, 255])).save(&file).unwrap();
    let mut harness = with_demo();
    go(&mut harness, "Lay");
    let click = |harness: &mut egui_kittest::Harness<'static, basteline::window::Window>, label: &str| {
        harness.get_by_label(label).scroll_to_me();
        harness.run_steps(4);
        harness.get_by_label(label).click();
        harness.run_steps(4);
    };
    click(&mut harness, "cream satin: open its particulars");
    click(&mut harness, "Swatch and note");
    click(&mut harness, "Choose a picture of cream satin");
    field(&harness, "Name of a file above, or a whole path").type_text(&file.display().to_string());
    harness.run_steps(4);
    harness.key_press(Key::Enter);
    harness.run_steps(6);
    let swatch =
        |h: &egui_kittest::Harness<'static, basteline::window::Window>| h.state().desk().unwrap().garment().cloths[0].swatch.clone();
    assert_eq!(swatch(&harness), written(&file, None));
    let shown = |h: &egui_kittest::Harness<'static, basteline::window::Window>| {
        h.query_by_role_and_label(Role::Image, "Picture of cream satin").is_some()
    };
    for _ in 0..200 {
        if shown(&harness) {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
        harness.step();
    }
    assert!(shown(&harness), "the picture is shown");
    // Gone from its folder, it is missed as soon as it is looked for.
    std::fs::remove_file(&file).unwrap();
    click(&mut harness, "Choose a picture of cream satin");
    field(&harness, "Name of a file above, or a whole path").type_text(&file.display().to_string());
    harness.run_steps(4);
    harness.key_press(Key::Enter);
    harness.run_steps(6);
    assert!(
        harness.query_all_by_label_contains("is not there").next().is_some()
            || harness.query_all_by_label_contains("satin.png").next().is_some()
    );
    assert_eq!(swatch(&harness), written_before(&file), "what was chosen before stays");
    for _ in 0..3 {
        harness.key_press(Key::Escape);
        harness.run_steps(4);
    }
    click(&mut harness, "Take away the picture of cream satin");
    assert!(swatch(&harness).is_empty() && !shown(&harness));
    assert_eq!(harness.state().desk().unwrap().history().undo_label(), Some("change the cream satin"));
}

/// The path as it was written while the file was there.
fn written_before(file: &std::path::Path) -> String {
    let folder = std::fs::canonicalize(file.parent().unwrap()).unwrap();
    folder.join(file.file_name().unwrap()).to_string_lossy().into_owned()
}
