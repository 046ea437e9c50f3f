//! Photos beneath the pieces: true to scale under any pose of the camera, and laid down through the window.
//!
//! The reference is the homography of `imageproc`, a general image library: it takes the photos, and we measure in them.

use std::path::Path;
use std::time::{Duration, Instant};

use basteline::photo::{flat, load, written};
use basteline::window::Window;
use draft_core::photo::{Photo, Sheet};
use egui::{Key, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use image::{Luma, Rgba, RgbaImage};
use imageproc::drawing::draw_filled_circle_mut;
use imageproc::geometric_transformations::{Border, Interpolation, Projection, warp_into};
use kurbo::Point;

use crate::screen::{field, go, type_into, with_demo};

/// A board of 700 × 900 mm, four dots to the millimetre, with black discs every 100 mm, and where an A4 sheet lies on it.
const BOARD_MM: (f64, f64) = (700.0, 900.0);
const DOTS: f64 = 4.0;
const SHEET_AT: (f64, f64) = (230.0, 300.0);
const A4: (f64, f64) = (210.0, 297.0);

/// A camera's pose by five numbers from 0 to 1: how far it leans, which way, its turn, its height, its lens.
fn seen_from(pose: [f64; 5], at: (f64, f64), pixels: (f64, f64)) -> (f64, f64) {
    let (lean, way, turn) = (pose[0] * 40f64.to_radians(), pose[1] * 360f64.to_radians(), pose[2] * 360f64.to_radians());
    let (x, y) = (at.0 - BOARD_MM.0 / 2.0, at.1 - BOARD_MM.1 / 2.0);
    let (x, y) = (x * turn.cos() - y * turn.sin(), x * turn.sin() + y * turn.cos());
    // Leaning about a line through the middle of the board that points `way`.
    let (along, across) = (x * way.cos() + y * way.sin(), -x * way.sin() + y * way.cos());
    let (across, deep) = (across * lean.cos(), across * lean.sin());
    let (x, y) = (along * way.cos() - across * way.sin(), along * way.sin() + across * way.cos());
    let height = 1500.0 + 1000.0 * pose[3];
    let lens = (0.8 + 0.15 * pose[4]) * pixels.1 / 1200.0 * height;
    let depth = height + deep;
    (pixels.0 / 2.0 + lens * x / depth, pixels.1 / 2.0 + lens * y / depth)
}

/// Numbers from 0 to 1 that come out the same on every run.
fn rolls(seed: u64) -> impl Iterator<Item = f64> {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    std::iter::repeat_with(move || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 11) as f64 / (1u64 << 53) as f64
    })
}

fn pose(seed: u64) -> [f64; 5] {
    let mut all = rolls(seed).skip(3);
    std::array::from_fn(|_| all.next().unwrap())
}

fn corners_of_sheet() -> [(f64, f64); 4] {
    let (x, y) = SHEET_AT;
    [(x, y), (x + A4.0, y), (x + A4.0, y + A4.1), (x, y + A4.1)]
}

/// The map of the photo back to the board is that of the reference: all over the board with marks to a tenth of a pixel, as they
/// can be led to close up, and beside the sheet with marks to a whole one.
#[test]
fn lengths_are_true_under_any_pose() {
    measured(0.1, 500.0);
    measured(1.0, 250.0);
}

/// Lengths between places no further from the sheet's middle than `reach_mm`, the corners marked in steps of `marked` pixels.
fn measured(marked: f64, reach_mm: f64) {
    let pixels = (4000.0, 3000.0);
    let board = [(0.0, 0.0), (BOARD_MM.0, 0.0), BOARD_MM, (0.0, BOARD_MM.1)];
    for seed in 1..=300 {
        let pose = pose(seed);
        let to = |p: (f64, f64)| (p.0 as f32, p.1 as f32);
        let projection = Projection::from_control_points(board.map(to), board.map(|p| to(seen_from(pose, p, pixels)))).unwrap();
        let in_photo = |p: (f64, f64)| {
            let (x, y) = projection * to(p);
            (f64::from(x), f64::from(y))
        };
        let mut photo = Photo::new("board.png".into(), String::new(), pixels);
        photo.corners = corners_of_sheet().map(in_photo).map(|(x, y)| ((x / marked).round() * marked, (y / marked).round() * marked));
        let back = photo.from_sheet().unwrap().inverse().unwrap();
        let middle = Point::new(SHEET_AT.0 + A4.0 / 2.0, SHEET_AT.1 + A4.1 / 2.0);
        let mut all = rolls(seed + 7777);
        for _ in 0..20 {
            let mut somewhere = || (all.next().unwrap() * BOARD_MM.0, all.next().unwrap() * BOARD_MM.1);
            let (a, b) = (somewhere(), somewhere());
            let long = Point::from(a).distance(b.into());
            if long < 100.0 || [a, b].iter().any(|p| middle.distance((*p).into()) > reach_mm) {
                continue;
            }
            let measured = back.map(in_photo(a).into()).unwrap().distance(back.map(in_photo(b).into()).unwrap());
            assert!((measured / long - 1.0).abs() < 0.005, "pose {seed}: {measured:.2} for {long:.2}");
        }
    }
}

/// A photo of the board is taken by the reference, laid flat by us, and the discs are where they were drawn.
#[test]
fn a_photo_laid_flat_measures_true() {
    let side = |mm: f64| (mm * DOTS) as u32;
    let mut board = image::GrayImage::from_pixel(side(BOARD_MM.0), side(BOARD_MM.1), Luma([235]));
    let discs: Vec<(f64, f64)> =
        (0..7).flat_map(|i| (0..9).map(move |j| (50.0 + 100.0 * f64::from(i), 50.0 + 100.0 * f64::from(j)))).collect();
    for (x, y) in &discs {
        draw_filled_circle_mut(&mut board, ((x * DOTS) as i32, (y * DOTS) as i32), 28, Luma([10]));
    }
    let pixels = (1600.0, 1200.0);
    let corners = [(0.0, 0.0), (BOARD_MM.0, 0.0), BOARD_MM, (0.0, BOARD_MM.1)];
    for seed in 1..=8 {
        let pose = pose(seed);
        let on_board = |p: (f64, f64)| ((p.0 * DOTS) as f32, (p.1 * DOTS) as f32);
        let in_photo = |p: (f64, f64)| seen_from(pose, p, pixels);
        let to = corners.map(in_photo).map(|(x, y)| (x as f32, y as f32));
        let projection = Projection::from_control_points(corners.map(on_board), to).unwrap();
        let mut grey = image::GrayImage::new(pixels.0 as u32, pixels.1 as u32);
        warp_into(&board, projection, Interpolation::Bilinear, Border::Constant(Luma([120])), &mut grey);
        let taken = RgbaImage::from_fn(grey.width(), grey.height(), |x, y| {
            let v = grey.get_pixel(x, y).0[0];
            Rgba([v, v, v, 255])
        });
        let mut photo = Photo::new("board.png".into(), String::new(), pixels);
        // The reference counts from the middle of the first pixel, we from its corner.
        photo.corners = corners_of_sheet().map(in_photo).map(|(x, y)| (x + 0.5, y + 0.5));
        let flat = flat(&photo, &taken).unwrap();
        let scale = f64::from(flat.pixels.width()) / flat.covers.width();
        let mut found: Vec<((f64, f64), Point)> = Vec::new();
        for disc in &discs {
            let (x, y) = in_photo(*disc);
            if !(30.0..pixels.0 - 30.0).contains(&x) || !(30.0..pixels.1 - 30.0).contains(&y) {
                continue;
            }
            let expected = ((disc.0 - SHEET_AT.0 - flat.covers.x0) * scale, (disc.1 - SHEET_AT.1 - flat.covers.y0) * scale);
            let reach = 14.0 * scale;
            let (mut sum, mut at) = (0.0, (0.0, 0.0));
            for py in (expected.1 - reach) as u32..=(expected.1 + reach) as u32 {
                for px in (expected.0 - reach) as u32..=(expected.0 + reach) as u32 {
                    if let Some(dot) = flat.pixels.get_pixel_checked(px, py).filter(|d| d.0[3] == 255) {
                        let dark = (200.0 - f64::from(dot.0[0])).max(0.0);
                        sum += dark;
                        at = (at.0 + dark * (f64::from(px) + 0.5), at.1 + dark * (f64::from(py) + 0.5));
                    }
                }
            }
            assert!(sum > 0.0, "pose {seed}: no disc near {expected:?}");
            found.push((*disc, Point::new(at.0 / sum / scale, at.1 / sum / scale)));
        }
        assert!(found.len() > 20, "pose {seed}: {} discs seen", found.len());
        for (i, (disc, at)) in found.iter().enumerate() {
            for (other, there) in &found[..i] {
                let long = Point::from(*disc).distance((*other).into());
                assert!((at.distance(*there) / long - 1.0).abs() < 0.005, "pose {seed}: {:.2} for {long:.2}", at.distance(*there));
            }
        }
    }
}

/// Chooses a file to be laid down, and waits until it has been read, away from the window.
fn choose(harness: &mut Harness<'static, Window>, file: &Path) {
    harness.get_by_label("Lay a photo beneath…").scroll_to_me();
    harness.run();
    harness.get_by_label("Lay a photo beneath…").click();
    harness.run();
    field(harness, "Name of a file above, or a whole path").type_text(&file.display().to_string());
    harness.run();
    harness.key_press(Key::Enter);
    harness.step();
    let begun = Instant::now();
    while harness.query_by_label("Cancel").is_some() {
        assert!(begun.elapsed() < Duration::from_secs(30), "still being read");
        std::thread::sleep(Duration::from_millis(5));
        harness.step();
    }
    harness.run();
}

/// What is no picture is said to be none, by its name, and nothing is laid down.
#[test]
fn a_file_that_is_no_picture_is_refused_by_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("muslin.png");
    std::fs::write(&file, "a letter").unwrap();
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    choose(&mut harness, &file);
    assert!(harness.query_all_by_label_contains("no picture that can be read").next().is_some());
    assert!(harness.query_all_by_label_contains("muslin.png").next().is_some());
    assert!(harness.state().desk().unwrap().garment().photos.is_empty());
}

/// Laid down, marked, placed and locked through the window; it is written beside the garment and undone in steps.
#[test]
fn a_photo_is_laid_down_through_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("muslin.png");
    RgbaImage::from_pixel(900, 600, Rgba([200, 190, 170, 255])).save(&file).unwrap();
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    choose(&mut harness, &file);
    let photos = |h: &Harness<'static, Window>| h.state().desk().unwrap().garment().photos.clone();
    let photo = photos(&harness)[0].clone();
    assert_eq!(photo.checksum, load(&file).unwrap().checksum);
    assert_eq!(photo.file, written(&file, None));

    // The corners wait to be marked: by keys here.
    harness.get_by_label("Mark 3 on the lower right corner").focus();
    harness.run();
    for _ in 0..5 {
        harness.key_press(Key::ArrowRight);
        harness.run();
    }
    harness.key_press(Key::ArrowDown);
    harness.run();
    let marked = photos(&harness)[0].corners;
    assert_eq!((marked[2].0 - photo.corners[2].0, marked[2].1 - photo.corners[2].1), (5.0, 1.0));
    harness.get_by_label("The corners are marked").click();
    harness.run();

    harness.get_by_label("Letter").click();
    harness.run();
    type_into(&mut harness, "Across, muslin.png", "12.5");
    let placed = photos(&harness)[0].clone();
    assert_eq!((placed.sheet, placed.at), (Sheet::Letter, (125.0, 0.0)));
    // Held in its place, it can be neither placed nor marked anew.
    let is_off = |h: &Harness<'static, Window>| {
        h.get_by_label("Mark the corners").accesskit_node().is_disabled() && field(h, "Across, muslin.png").accesskit_node().is_disabled()
    };
    assert!(!is_off(&harness));
    harness.get_by_label("Hold muslin.png in its place").click();
    harness.run();
    assert!(is_off(&harness) && photos(&harness)[0].locked);
    harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::Z);
    harness.run();
    assert!(!is_off(&harness) && !photos(&harness)[0].locked);
    let undo = harness.state().desk().unwrap().history().undo_label().map(str::to_owned);
    assert_eq!(undo.as_deref(), Some("place a photo"));
    harness.get_by_role_and_label(Role::Button, "Take muslin.png away").click();
    harness.run();
    assert!(photos(&harness).is_empty());
}
