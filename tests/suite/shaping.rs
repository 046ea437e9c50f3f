//! Shaping by hand on the table, driven through the accessibility tree: dragged with the pointer and nudged with keys.

use basteline::window::Window;
use draft_core::alteration::Alteration;
use draft_core::together::{Placed, Together};
use draft_core::{Draft, Garment, Name, Work};
use egui::{Key, Modifiers, Pos2, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use kurbo::{Point, Shape};

use crate::bodies::{complete, garment};
use crate::screen::{go, opened, with_demo};

type Open = Harness<'static, Window>;

fn draft(harness: &Open) -> Draft {
    Draft::clone(&harness.state().desk().unwrap().built().draft)
}

fn length(harness: &Open, piece: &str, edge: &str) -> f64 {
    draft(harness).piece(piece).unwrap().edge_length_mm(edge).unwrap()
}

fn garment_now(harness: &Open) -> Garment {
    harness.state().desk().unwrap().garment().clone()
}

fn last(harness: &Open) -> Alteration {
    let garment = garment_now(harness);
    let Work::Alter(alteration) = &garment.works.last().unwrap().work else { panic!("the last work alters nothing") };
    Alteration::clone(alteration)
}

fn works(harness: &Open) -> usize {
    garment_now(harness).works.len()
}

fn click(harness: &mut Open, label: &str) {
    harness.get_by_label(label).scroll_to_me();
    harness.run();
    harness.get_by_label(label).click();
    harness.run();
}

/// Selects a piece, or an edge of it, through the lists beside the table.
pub fn choose(harness: &mut Open, piece: &str, edge: Option<&str>) {
    let cut = harness.query_all_by_label_contains(&format!("{piece}: cut")).next().unwrap().accesskit_node().label().unwrap();
    click(harness, &cut);
    if let Some(edge) = edge {
        let row = harness.query_all_by_label_contains(&format!("{edge}: ")).next().unwrap().accesskit_node().label().unwrap();
        click(harness, &row);
    }
}

fn button(harness: &mut Open, pos: Pos2, pressed: bool) {
    harness.event(egui::Event::PointerButton { pos, button: egui::PointerButton::Primary, pressed, modifiers: Modifiers::NONE });
    harness.run_steps(2);
}

/// Takes hold of something and leads it on, a bit at a time, without letting go.
fn hold(harness: &mut Open, label: &str, by: Vec2) -> Pos2 {
    let from = harness.get_by_label(label).rect().center();
    harness.hover_at(from);
    harness.run_steps(2);
    button(harness, from, true);
    for i in 1..=4 {
        harness.event(egui::Event::PointerMoved(from + by * (i as f32 / 4.0)));
        harness.run_steps(2);
    }
    from + by
}

fn drag(harness: &mut Open, label: &str, by: Vec2) {
    let to = hold(harness, label, by);
    button(harness, to, false);
    harness.run();
}

fn undo(harness: &mut Open) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
}

/// A garment with its bust dart in the shoulder, opened from a file.
fn with_a_shoulder_dart() -> Open {
    let garment = garment(complete()[3].card(), &[("bodice", "bust-dart", "shoulder"), ("bodice", "second-bust-dart", "no")]);
    opened(&garment, "Redraw")
}

fn dart_edge(draft: &Draft, piece: &str, dart: &str) -> String {
    let piece = draft.piece(piece).unwrap();
    let dart = piece.darts().iter().find(|d| d.name == *dart).unwrap();
    let leg = piece.parts().iter().position(|p| piece.edges()[p.edge].name == dart.leg_a).unwrap();
    let before = (leg + piece.parts().len() - 1) % piece.parts().len();
    piece.edges()[piece.parts()[before].edge].name.to_string()
}

fn legs(draft: &Draft, piece: &str, dart: &str) -> (f64, f64) {
    let piece = draft.piece(piece).unwrap();
    let dart = piece.darts().iter().find(|d| d.name == *dart).unwrap();
    let long = |leg: &Name| piece.edge_length_mm(leg.as_str()).unwrap();
    (long(&dart.leg_a), long(&dart.leg_b))
}

#[test]
fn a_bust_dart_is_dragged_from_the_shoulder_to_the_side_undone_and_replayed_on_another_wearer() {
    let mut harness = with_a_shoulder_dart();
    let before = draft(&harness);
    let count = works(&harness);
    assert_eq!(dart_edge(&before, "front", "bust dart"), "shoulder");
    choose(&mut harness, "front", None);
    // From the mouth to the middle of the side seam, as both lie on the screen.
    let front = before.piece("front").unwrap();
    let dart = front.darts().iter().find(|d| d.name == *"bust dart").unwrap();
    let mouth = front.edge_ends(dart.leg_a.as_str()).unwrap().0.midpoint(front.edge_ends(dart.leg_b.as_str()).unwrap().1);
    let side = front.along_edge("side seam", front.edge_length_mm("side seam").unwrap() * 0.4).unwrap().0;
    let on_screen = |label: &str| harness.get_by_label(label).rect().center();
    let (tip, at) = (on_screen("Point of the bust dart"), on_screen("First leg of the bust dart"));
    let scale = f64::from((tip - at).length()) / dart.tip.distance(front.edge_ends(dart.leg_a.as_str()).unwrap().0);
    let by = (side - mouth) * scale;
    let by = vec2(by.x as f32, by.y as f32);

    let to = hold(&mut harness, "Mouth of the bust dart", by);
    let previewed = draft(&harness);
    assert_eq!(dart_edge(&previewed, "front", "bust dart"), "side seam", "shown while it is dragged");
    assert_eq!(works(&harness), count, "and not in the list yet");
    button(&mut harness, to, false);
    harness.run();
    assert_eq!(works(&harness), count + 1);
    assert!(matches!(last(&harness), Alteration::MoveDart(_)));
    let after = draft(&harness);
    assert_eq!(dart_edge(&after, "front", "bust dart"), "side seam");
    let (a, b) = legs(&after, "front", "bust dart");
    assert!((a - b).abs() < 1e-6, "its legs are equal: {a} and {b}");
    assert_eq!(after.piece("front"), previewed.piece("front"), "as it was shown");

    // Dragged again it is the same work.
    drag(&mut harness, "Mouth of the bust dart", vec2(0.0, -12.0));
    assert_eq!(works(&harness), count + 1);

    // The same works on another wearer.
    let mut other = garment_now(&harness);
    other.wearer = complete()[11].card();
    let built = other.build();
    assert!(built.outcomes.iter().all(|o| o.skipped.is_none()), "{:?}", built.outcomes);
    assert_eq!(dart_edge(&built.draft, "front", "bust dart"), "side seam");

    undo(&mut harness);
    assert_eq!(draft(&harness), after, "each drag is a step of its own");
    undo(&mut harness);
    assert_eq!(draft(&harness).pieces, before.pieces);
    assert_eq!(works(&harness), count);
}

#[test]
fn a_neckline_is_shaped_by_its_handle_and_escape_puts_it_back() {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    let (before, count) = (draft(&harness), works(&harness));
    let was = length(&harness, "front", "neckline");
    choose(&mut harness, "front", Some("neckline"));
    let to = hold(&mut harness, "Handle 1 of the neckline", vec2(14.0, 14.0));
    assert!((length(&harness, "front", "neckline") - was).abs() > 0.5, "shown while it is dragged");
    assert!(harness.query_all_by_label_contains("Esc puts it back").next().is_some(), "the readout says how");
    harness.key_press(Key::Escape);
    harness.run();
    assert_eq!(draft(&harness).pieces, before.pieces);
    button(&mut harness, to, false);
    harness.run();
    assert_eq!(works(&harness), count, "nothing was kept");

    drag(&mut harness, "Handle 1 of the neckline", vec2(14.0, 14.0));
    let Alteration::Redraw(redraw) = last(&harness) else { panic!("a redrawn edge") };
    assert_eq!((redraw.piece.as_str(), redraw.edge.as_str()), ("front", "neckline"));
    let once = length(&harness, "front", "neckline");
    drag(&mut harness, "Handle 2 of the neckline", vec2(6.0, 6.0));
    assert_eq!(works(&harness), count + 1, "the same edge, the same work");
    assert!((length(&harness, "front", "neckline") - once).abs() > 0.05);
    for who in [2, 11, 20] {
        let mut other = garment_now(&harness);
        other.wearer = complete()[who].card();
        let outcome = other.build().outcomes.pop().unwrap();
        assert!(outcome.skipped.is_none(), "on wearer {who}: {outcome:?}");
    }
    undo(&mut harness);
    assert!((length(&harness, "front", "neckline") - once).abs() < 1e-9);
    undo(&mut harness);
    assert_eq!(draft(&harness).pieces, before.pieces);
}

#[test]
fn arrow_keys_nudge_what_is_selected() {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    let before = draft(&harness);
    choose(&mut harness, "front", Some("neckline"));
    let lowest = |harness: &Open| {
        let front = draft(harness).piece("front").unwrap().clone();
        let (a, b) = front.edge_ends("neckline").unwrap();
        a.y.max(b.y)
    };
    let was = lowest(&harness);
    // The end of the neckline on the fold.
    let front = before.piece("front").unwrap();
    let (start, end) = front.edge_ends("neckline").unwrap();
    let label = if start.y > end.y { "Start of the neckline" } else { "End of the neckline" };
    harness.get_by_label(label).focus();
    harness.run();
    harness.key_press(Key::ArrowDown);
    harness.run();
    assert!((lowest(&harness) - was - 1.0).abs() < 1e-6, "a millimetre: {}", lowest(&harness) - was);
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowDown);
    harness.run();
    assert!((lowest(&harness) - was - 11.0).abs() < 1e-6, "and a centimetre: {}", lowest(&harness) - was);
    assert!(harness.get_by_label(label).is_focused());
    undo(&mut harness);
    undo(&mut harness);
    assert_eq!(draft(&harness).pieces, before.pieces);
}

#[test]
fn a_side_seam_takes_its_partner_along_when_asked() {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    choose(&mut harness, "back", Some("side seam"));
    let was = (length(&harness, "front", "side seam"), length(&harness, "back", "side seam"));
    harness.key_press(Key::B);
    harness.run();
    drag(&mut harness, "Handle 1 of the side seam", vec2(10.0, 0.0));
    assert!(matches!(last(&harness), Alteration::RedrawSeam(_)), "{:?}", last(&harness));
    let now = (length(&harness, "front", "side seam"), length(&harness, "back", "side seam"));
    assert!((now.1 - was.1).abs() > 0.05, "{was:?} {now:?}");
    assert!((now.0 - now.1).abs() < 0.5, "both sides still agree: {now:?}");
}

#[test]
fn a_dart_is_shaped_a_notch_slides_and_a_gore_flares() {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    let before = draft(&harness);
    let count = works(&harness);
    choose(&mut harness, "back", None);
    drag(&mut harness, "Point of the back dart", vec2(0.0, 12.0));
    assert!(matches!(last(&harness), Alteration::ShapeDart(_)));
    let (was, is) = (legs(&before, "back", "back dart"), legs(&draft(&harness), "back", "back dart"));
    assert!((was.0 - is.0).abs() > 1.0 && (is.0 - is.1).abs() < 1e-6, "{was:?} {is:?}");
    drag(&mut harness, "Second leg of the back dart", vec2(-5.0, 0.0));
    assert_eq!(works(&harness), count + 1, "the same dart, the same work");
    let is = legs(&draft(&harness), "back", "back dart");
    assert!((is.0 - is.1).abs() < 1e-6, "{is:?}");

    drag(&mut harness, "Notch of the side seam", vec2(0.0, 9.0));
    let Alteration::SlideNotch(slide) = last(&harness) else { panic!("{:?}", last(&harness)) };
    assert_eq!(slide.sides.len(), 2, "its match on the front slides with it");

    choose(&mut harness, "gore", None);
    let hem = length(&harness, "gore", "hem");
    drag(&mut harness, "Flare at the right seam", vec2(10.0, 0.0));
    let Alteration::TakeIn(take_in) = last(&harness) else { panic!("{:?}", last(&harness)) };
    assert!(take_in.straight && take_in.sides.len() == 2);
    let wider = length(&harness, "gore", "hem") - hem;
    assert!(wider.abs() > 10.0, "the hem changed by {wider} mm");
    let (a, b) = (length(&harness, "gore", "right seam"), length(&harness, "gore", "left seam"));
    assert!((a - b).abs() < 0.01, "{a} and {b}");
    assert_eq!(works(&harness), count + 3);
}

/// Where a point of a placed piece is on the screen: all of the piece is in view.
fn on_screen(harness: &Open, placed: &Placed, at: Point) -> Pos2 {
    let begins = format!("{}, ", placed.piece.name());
    let is = |n: &egui_kittest::Node<'_>| n.accesskit_node().label().is_some_and(|l| l.starts_with(&begins));
    let rect = harness.get_all_by_role(egui::Role::ListItem).find(is).unwrap().rect();
    let bounds = placed.piece.bounds().union(placed.cut_line.bounding_box());
    let scale = f64::from(rect.width()) / bounds.width();
    let by = (at - bounds.origin()) * scale;
    rect.min + vec2(by.x as f32, by.y as f32)
}

fn click_at(harness: &mut Open, pos: Pos2) {
    harness.hover_at(pos);
    harness.run();
    button(harness, pos, true);
    button(harness, pos, false);
    harness.run();
}

/// A point on an edge, so far from a named point.
fn near(placed: &Placed, edge: &str, from: &str, mm: f64) -> Point {
    let piece = &placed.piece;
    let long = piece.edge_length_mm(edge).unwrap();
    let (start, end) = piece.edge_ends(edge).unwrap();
    let from = piece.point(from).unwrap();
    let at = if start.distance(from) < end.distance(from) { mm } else { long - mm };
    piece.along_edge(edge, at).unwrap().0
}

#[test]
fn a_yoke_is_traced_across_joined_front_and_back_undone_and_replayed_on_another_wearer() {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    let (before, count) = (draft(&harness), works(&harness));
    choose(&mut harness, "front", Some("shoulder"));
    harness.key_press(Key::G);
    harness.run();
    assert!(harness.query_by_label("Let them go").is_some());
    let placed = Together::begin(&before, &"front".into(), &"shoulder".into()).unwrap().placed(&before).unwrap();
    harness.key_press(Key::R);
    harness.run();
    // From the centre front over the shoulder to the centre back.
    let from = on_screen(&harness, &placed[0], near(&placed[0], "centre front", "shoulder neck point", 70.0));
    let to = on_screen(&harness, &placed[1], near(&placed[1], "centre back", "nape", 90.0));
    click_at(&mut harness, from);
    click_at(&mut harness, to);
    harness.key_press(Key::Escape);
    harness.run();
    assert!(harness.query_by_label("Trace a yoke with the neckline, square ends").is_none(), "the line goes");
    assert!(harness.query_by_label("Let them go").is_some(), "the pieces stay together");
    click_at(&mut harness, from);
    click_at(&mut harness, to);
    assert!(harness.get_by_label("Trace a yoke with the neckline, square ends").is_focused(), "the first is taken with Enter");
    harness.key_press(Key::Enter);
    harness.run();
    assert!(draft(&harness).piece("yoke").is_some(), "shown while it is only tried");
    click(&mut harness, "Add it");
    assert!(matches!(last(&harness), Alteration::Across(_)));
    let after = draft(&harness);
    let area = |d: &Draft, name: &str| d.piece(name).map_or(0.0, draft_core::Piece::area_mm2);
    let (was, is): (f64, f64) =
        (["front", "back"].map(|n| area(&before, n)).iter().sum(), ["front", "back", "yoke"].map(|n| area(&after, n)).iter().sum());
    assert!(area(&after, "yoke") > 5000.0 && (was - is).abs() < 300.0, "{was} mm² became {is} mm²");

    let mut other = garment_now(&harness);
    other.wearer = complete()[11].card();
    let built = other.build();
    assert!(built.outcomes.iter().all(|o| o.skipped.is_none()), "{:?}", built.outcomes);
    assert!(area(&built.draft, "yoke") > 5000.0);

    undo(&mut harness);
    assert_eq!(draft(&harness).pieces, before.pieces);
    assert_eq!(works(&harness), count);
}

#[test]
fn a_piece_is_dragged_onto_another_with_shift_and_escape_lets_both_go() {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    let rect = |harness: &Open, piece: &str| {
        let begins = format!("{piece}, ");
        let is = |n: &egui_kittest::Node<'_>| n.accesskit_node().label().is_some_and(|l| l.starts_with(&begins));
        harness.get_all_by_role(egui::Role::ListItem).find(is).unwrap().rect()
    };
    let (back, front) = (rect(&harness, "back").center(), rect(&harness, "front").center());
    harness.event(egui::Event::ModifiersChanged(Modifiers::SHIFT));
    harness.hover_at(back);
    harness.run_steps(3);
    button(&mut harness, back, true);
    for i in 1..=4 {
        harness.event(egui::Event::PointerMoved(back + (front - back) * (i as f32 / 4.0)));
        harness.run_steps(2);
    }
    button(&mut harness, front, false);
    harness.event(egui::Event::ModifiersChanged(Modifiers::NONE));
    harness.run();
    assert!(harness.query_by_label("Let them go").is_some());
    let apart = rect(&harness, "back").center().distance(rect(&harness, "front").center());
    harness.key_press(Key::Escape);
    harness.run();
    assert!(harness.query_by_label("Let them go").is_none());
    assert_eq!(rect(&harness, "back").center(), back);
    assert!(apart > 1.0);
}

#[test]
fn a_seam_is_walked_by_key_and_the_notches_that_belong_are_marked() {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    let (before, count) = (draft(&harness), works(&harness));
    choose(&mut harness, "front", Some("shoulder"));
    harness.key_press(Key::W);
    harness.run();
    let said = |harness: &Open| {
        let readout = harness.query_all_by_label_contains("Walked ").filter_map(|n| n.accesskit_node().value());
        readout.into_iter().find(|text| text.contains(" of ")).unwrap()
    };
    assert!(said(&harness).starts_with("Walked 0.0 cm of"), "{}", said(&harness));
    for _ in 0..3 {
        harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
        harness.run();
    }
    harness.key_press(Key::ArrowLeft);
    harness.run();
    assert!(said(&harness).starts_with("Walked 2.9 cm of"), "{}", said(&harness));
    // 5 mm of the back's shoulder are eased into the front's.
    for _ in 0..20 {
        harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    }
    harness.run();
    assert!(said(&harness).contains("At the end back is 0.5 cm longer, 0.5 cm of it meant as ease"), "{}", said(&harness));
    click(&mut harness, "Mark the missing notch");
    assert_eq!(works(&harness), count + 2, "one on each side");
    assert_eq!(harness.state().desk().unwrap().history().undo_label(), Some("mark notches"));
    let notches = |d: &Draft, piece: &str| d.piece(piece).unwrap().notches().iter().filter(|n| n.edge == *"shoulder").count();
    assert_eq!((notches(&before, "front"), notches(&draft(&harness), "front"), notches(&draft(&harness), "back")), (0, 1, 1));
    assert!(harness.query_by_label("Mark the missing notch").is_none(), "none is missing any more");
    undo(&mut harness);
    assert_eq!(draft(&harness).pieces, before.pieces, "one step");
    harness.key_press(Key::Escape);
    harness.run();
    assert!(harness.query_by_label("Stop").is_none());
}

#[test]
fn a_collar_is_walked_along_the_neckline_of_front_and_back() {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    choose(&mut harness, "front", Some("neckline"));
    harness.key_press(Key::W);
    harness.run();
    let said = |harness: &Open| {
        let readout = harness.query_all_by_label_contains("Walked ").filter_map(|n| n.accesskit_node().value());
        readout.into_iter().find(|text| text.contains(" of ")).unwrap()
    };
    // What is sewn to one edge comes first, and then the collar, which goes on over the back.
    for _ in 0..4 {
        if said(&harness).contains("collar / neck edge") {
            break;
        }
        harness.key_press(Key::W);
        harness.run();
    }
    let text = said(&harness);
    assert!(text.contains("neckline + ") && text.contains("collar / neck edge"), "{text}");
    let [front, back] = ["front", "back"].map(|p| length(&harness, p, "neckline"));
    let collar = length(&harness, "collar", "neck edge");
    for _ in 0..60 {
        harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    }
    harness.run();
    let text = said(&harness);
    let over = front + back - collar;
    let unit = draft_core::Unit::Cm;
    let expected = if over.abs() < 0.05 { "both sides agree".to_owned() } else { format!("{} longer", unit.text(over.abs())) };
    assert!(text.contains("At the end") && text.contains(&expected), "{text}: {front} + {back} against {collar}");
    harness.key_press(Key::Escape);
    harness.run();
}

#[test]
fn a_collar_lies_beside_front_and_back_in_turn() {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    choose(&mut harness, "front", Some("neckline"));
    let readout = |harness: &Open| {
        let all = harness.query_all_by_label_contains("Laid together");
        all.filter_map(|n| n.accesskit_node().value().or_else(|| n.accesskit_node().label())).next().unwrap_or_default()
    };
    for _ in 0..4 {
        if readout(&harness).contains("collar") {
            break;
        }
        harness.key_press(Key::G);
        harness.run();
    }
    assert!(readout(&harness).contains("collar"), "{}", readout(&harness));
    // Where the front's neckline ends, it lies on the collar.
    let draft = draft(&harness);
    let group = Together::begin(&draft, &"collar".into(), &"neck edge".into()).unwrap();
    assert!(group.placed(&draft).is_ok());
    harness.key_press(Key::Escape);
    harness.run();
}

#[test]
fn points_of_an_edge_are_added_and_taken_out_by_key_and_by_a_double_click() {
    let mut harness = with_demo();
    go(&mut harness, "Redraw");
    let (before, count) = (draft(&harness), works(&harness));
    let long = |h: &Open| length(h, "front", "armhole");
    let was = long(&harness);
    choose(&mut harness, "front", Some("armhole"));
    let points = |h: &Open| {
        h.query_all_by_label_contains("Point ")
            .filter(|n| n.accesskit_node().label().is_some_and(|l| l.ends_with("of the armhole")))
            .count()
    };
    let first = points(&harness);
    // After the point that was taken hold of last, which is none yet: after the start.
    harness.key_press(Key::A);
    harness.run();
    assert_eq!((points(&harness), works(&harness)), (first + 1, count + 1));
    assert!((long(&harness) - was).abs() < 0.02, "the form stays: {} after {was}", long(&harness));
    assert!(harness.get_by_label("Point 1 of the armhole").is_focused(), "the new one has the keyboard");
    harness.key_press(Key::ArrowLeft);
    harness.run();
    assert!((long(&harness) - was).abs() > 1e-3, "it can be moved");
    assert_eq!(works(&harness), count + 1, "as part of the same work");
    undo(&mut harness);
    // Taken out, one smooth curve is left there.
    harness.key_press(Key::Delete);
    harness.run();
    assert_eq!(points(&harness), first);
    assert!((long(&harness) - was).abs() < 1.0, "{} after {was}", long(&harness));
    undo(&mut harness);
    undo(&mut harness);
    assert_eq!(draft(&harness).pieces, before.pieces);
    // By a double click on the edge, near enough for its points to stand apart.
    let corner = harness.query_all_by_label_contains("front, cut").next().unwrap().rect().min + vec2(1.0, 1.0);
    harness.hover_at(corner);
    harness.run();
    harness.event(egui::Event::Zoom(2.4));
    harness.run();
    let rect = harness.query_all_by_label_contains("front, cut").next().unwrap().rect();
    let piece = before.piece("front").unwrap();
    let cut = harness.state().desk().unwrap().built().pieces().find(|(p, _)| *p.name() == *"front").unwrap().1.bounding_box();
    let all = piece.bounds().union(cut);
    let at = piece.along_edge("armhole", was * 0.25).unwrap().0;
    let scale = f64::from(rect.width()) / all.width();
    let pos = rect.min + vec2(((at.x - all.x0) * scale) as f32, ((at.y - all.y0) * scale) as f32);
    harness.hover_at(pos);
    harness.run();
    // Each frame of a test takes a quarter of a second.
    harness.ctx.options_mut(|o| o.input_options.max_double_click_delay = 4.0);
    for _ in 0..2 {
        button(&mut harness, pos, true);
        button(&mut harness, pos, false);
    }
    harness.run();
    assert_eq!((points(&harness), works(&harness)), (first + 1, count + 1));
    assert!((long(&harness) - was).abs() < 0.02);
    let on_another = garment_now(&harness).for_wearer(complete()[5].card()).build();
    assert!(on_another.outcomes.last().unwrap().skipped.is_none());
}
