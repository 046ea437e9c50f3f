//! Tools in hand on the table: lines drawn as a maker draws them, and what they become, on this wearer and on another.

use draft_core::alteration::offer::place_at;
use draft_core::{Alteration, Draft, Garment, Length, Place, Work, geometry};
use egui::{Event, Key, Modifiers, PointerButton, Pos2, Role, accesskit::Toggled};
use egui_kittest::kittest::{NodeT, Queryable};
use kurbo::{Point, Shape};

use crate::bodies::test_bodies;
use crate::redraw::{Open, at_redraw, click, click_at, draft, length, table_rect, undo_label, works};

fn press(harness: &mut Open, key: Key) {
    harness.key_press(key);
    harness.run();
}

/// Comes closer to a piece, which stays whole in view.
fn come_closer(harness: &mut Open, piece: &str, factor: f32) {
    harness.hover_at(table_rect(harness, piece).min + egui::vec2(1.0, 1.0));
    harness.run();
    harness.event(Event::Zoom(factor));
    harness.run();
}

/// Where a point of a piece is in the window.
fn screen(harness: &Open, name: &str, at: Point) -> Pos2 {
    let desk = harness.state().desk().unwrap();
    let (piece, cut) = desk.built().pieces().find(|(p, _)| *p.name() == *name).unwrap();
    let bounds = piece.bounds().union(cut.bounding_box());
    let rect = table_rect(harness, name);
    let scale = f64::from(rect.width()) / bounds.width();
    assert!((scale - f64::from(rect.height()) / bounds.height()).abs() < 0.01 * scale, "{name} is whole in view");
    rect.min + egui::vec2(((at.x - bounds.x0) * scale) as f32, ((at.y - bounds.y0) * scale) as f32)
}

fn find(harness: &Open, piece: &str, place: &Place) -> Point {
    place.find(draft(harness).piece(piece).unwrap()).unwrap()
}

fn button(harness: &Open, pos: Pos2, pressed: bool) {
    harness.event(Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE });
}

/// Draws through points of a piece with the button down.
fn draw(harness: &mut Open, piece: &str, points: &[Point]) {
    let on_screen: Vec<Pos2> = points.iter().map(|p| screen(harness, piece, *p)).collect();
    harness.hover_at(on_screen[0]);
    harness.run();
    button(harness, on_screen[0], true);
    harness.run();
    for some in on_screen[1..].chunks(4) {
        for pos in some {
            harness.event(Event::PointerMoved(*pos));
        }
        harness.run();
    }
    button(harness, on_screen[on_screen.len() - 1], false);
    harness.run();
}

fn said(harness: &Open, words: &str) -> bool {
    harness.query_all_by_label_contains(words).next().is_some()
}

/// The garment handed to others: how many build with the last work done; the others say why not.
fn replayed(harness: &Open) -> usize {
    let garment: Garment = harness.state().desk().unwrap().garment().clone();
    let mut done = 0;
    for person in test_bodies().iter().take(6) {
        let built = garment.for_wearer(person.card()).build();
        let last = built.outcomes.last().unwrap();
        match &last.skipped {
            None => done += 1,
            Some(why) => assert!(!why.problem.is_empty() && !why.remedy.is_empty(), "{why:?}"),
        }
    }
    done
}

fn last_alteration(harness: &Open) -> Alteration {
    match &harness.state().desk().unwrap().garment().works.last().unwrap().work {
        Work::Alter(alteration) => (**alteration).clone(),
        other => panic!("{}", other.what()),
    }
}

#[test]
fn every_tool_is_taken_up_by_its_key_and_says_so() {
    let mut harness = at_redraw();
    for (key, name) in [
        (Key::C, "Chalk: "),
        (Key::R, "Rule: "),
        (Key::U, "Curve: "),
        (Key::L, "Length: "),
        (Key::S, "Shears: "),
        (Key::P, "Pin in: "),
        (Key::T, "Trace off: "),
        (Key::N, "Notch: "),
        (Key::M, "Move: "),
    ] {
        press(&mut harness, key);
        let node = harness.get_all_by_role(Role::RadioButton).find(|n| n.accesskit_node().label().is_some_and(|l| l.starts_with(name)));
        let node = node.unwrap();
        assert_eq!(node.accesskit_node().toggled(), Some(Toggled::True), "{name}");
        assert!(node.accesskit_node().label().unwrap().ends_with(&format!("({})", key.name())), "{name}");
    }
}

#[test]
fn a_neckline_is_redrawn_by_chalk_undone_and_replayed() {
    let mut harness = at_redraw();
    let before = length(&harness, "front", "neckline");
    come_closer(&mut harness, "front", 2.4);
    press(&mut harness, Key::C);
    let from = find(&harness, "front", &Place::along("centre front", "neckline", Length::from_mm(40.0)));
    let to = find(&harness, "front", &Place::along("shoulder", "neckline", Length::from_mm(25.0)));
    let by = to - from;
    // A quarter of an ellipse that leaves the fold squarely.
    let quarter = |i: i32| f64::from(i) / 48.0 * std::f64::consts::FRAC_PI_2;
    let points: Vec<Point> = (0..=48).map(|i| from + kurbo::Vec2::new(by.x * quarter(i).sin(), by.y * (1.0 - quarter(i).cos()))).collect();
    draw(&mut harness, "front", &points);
    assert!(harness.get_by_label("Make it the new neckline").is_focused());
    assert!(said(&harness, "front / neckline: "), "the length before and after stands beside it");
    assert!(said(&harness, "from the stroke at most"));
    assert_eq!(undo_label(&harness), None);
    press(&mut harness, Key::Enter);
    assert!((length(&harness, "front", "neckline") - before).abs() > 10.0, "shown before it is added");
    click(&mut harness, "Add it");
    assert_eq!(works(&harness).last().unwrap(), "redraw the neckline of the front");
    let Alteration::Redraw(redraw) = last_alteration(&harness) else { panic!("not a redrawn edge") };
    let front = draft(&harness);
    let path = redraw.line.path(front.piece("front").unwrap()).unwrap();
    assert!(path.segments().count() <= 3, "{path:?}");
    assert!(replayed(&harness) >= 4);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert!((length(&harness, "front", "neckline") - before).abs() < 1e-9);
}

#[test]
fn escape_takes_a_stroke_away_and_the_tolerance_can_be_changed() {
    let mut harness = at_redraw();
    press(&mut harness, Key::C);
    let gore = draft(&harness);
    let middle = gore.piece("gore").unwrap().bounds().center();
    let wave: Vec<Point> =
        (0..=60).map(|i| middle + kurbo::Vec2::new(f64::from(i) * 2.0 - 60.0, 40.0 * (f64::from(i) / 6.0).sin())).collect();
    draw(&mut harness, "gore", &wave);
    let curves = |h: &Open| {
        let told = h.query_all_by_label_contains("from the stroke at most").next().unwrap().accesskit_node().value().unwrap_or_default();
        let told = if told.is_empty() {
            h.query_all_by_label_contains("from the stroke at most").next().unwrap().accesskit_node().label().unwrap()
        } else {
            told
        };
        told.split(' ').next().unwrap().parse::<usize>().unwrap()
    };
    let fine = curves(&harness);
    crate::screen::type_into(&mut harness, "Follow the hand within", "2 cm");
    let rough = curves(&harness);
    assert!(rough < fine, "{rough} curves after {fine}");
    press(&mut harness, Key::Escape);
    press(&mut harness, Key::Escape);
    assert!(!said(&harness, "from the stroke at most"));
    assert_eq!(undo_label(&harness), None);
}

#[test]
fn shears_slit_and_cut_at_once_and_say_why_they_cannot() {
    let mut harness = at_redraw();
    press(&mut harness, Key::S);
    let hem = find(&harness, "gore", &Place::share("hem", "left seam", 0.5));
    let (from, to) = (screen(&harness, "gore", hem), screen(&harness, "gore", hem - kurbo::Vec2::new(0.0, 260.0)));
    click_at(&mut harness, from);
    click_at(&mut harness, to);
    assert_eq!(works(&harness).last().unwrap(), "slit the gore");
    assert!(draft(&harness).piece("slit facing").is_some());
    assert!(replayed(&harness) >= 4);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert!(draft(&harness).piece("slit facing").is_none());

    let left = find(&harness, "gore", &Place::share("left seam", "hem", 0.4));
    let right = find(&harness, "gore", &Place::share("right seam", "hem", 0.4));
    let ends = [screen(&harness, "gore", left), screen(&harness, "gore", right)];
    click_at(&mut harness, ends[0]);
    click_at(&mut harness, ends[1]);
    assert_eq!(works(&harness).last().unwrap(), "cut the upper gore from the gore");
    assert!(replayed(&harness) >= 4);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    let count = works(&harness).len();
    let inside = screen(&harness, "gore", hem - kurbo::Vec2::new(0.0, 300.0));
    click_at(&mut harness, inside);
    click_at(&mut harness, inside + egui::vec2(25.0, 40.0));
    assert_eq!(works(&harness).len(), count);
    assert!(said(&harness, "Begin the cut on an edge"));
}

#[test]
fn a_gape_is_pinned_out_of_the_neckline_undone_and_replayed() {
    let mut harness = at_redraw();
    let before = length(&harness, "front", "neckline");
    come_closer(&mut harness, "front", 2.4);
    press(&mut harness, Key::P);
    let front = draft(&harness);
    let along = |mm: f64| front.piece("front").unwrap().along_edge("neckline", mm).unwrap().0;
    let points: Vec<Point> = (0..=12).map(|i| along(before / 2.0 - 6.0 + f64::from(i))).collect();
    draw(&mut harness, "front", &points);
    let pinch = harness.query_all_by_label_contains("Pinch ").next().unwrap().accesskit_node().label().unwrap();
    assert!(pinch.contains("dart"), "{pinch}");
    assert!(said(&harness, "too long"), "what it does to the other side of the seam");
    crate::screen::type_into(&mut harness, "Pin in by", "8 mm");
    let pinch = harness.query_all_by_label_contains("Pinch 0.8 cm").next().unwrap().accesskit_node().label().unwrap();
    click(&mut harness, &pinch);
    click(&mut harness, "Add it");
    assert!(matches!(last_alteration(&harness), Alteration::Pinch(p) if (p.by.mm() - 8.0).abs() < 1e-9));
    assert!(length(&harness, "front", "neckline") < before - 1.0);
    assert!(replayed(&harness) >= 4);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert!((length(&harness, "front", "neckline") - before).abs() < 1e-9);
}

#[test]
fn a_typed_length_and_angle_end_a_line_exactly() {
    let mut harness = at_redraw();
    press(&mut harness, Key::R);
    let gore = draft(&harness);
    let middle = gore.piece("gore").unwrap().bounds().center();
    let at = screen(&harness, "gore", middle);
    click_at(&mut harness, at);
    harness.hover_at(at + egui::vec2(20.0, 30.0));
    harness.run();
    // A digit typed anywhere begins in the field.
    harness.event(Event::Text("9".into()));
    harness.run();
    harness.run();
    let field = harness.get_by_role_and_label(Role::TextInput, "Length and angle to the grain");
    assert!(field.is_focused() && field.value().as_deref() == Some("9"));
    field.type_text(", 30");
    harness.run();
    press(&mut harness, Key::Enter);
    click(&mut harness, "Mark the line");
    click(&mut harness, "Add it");
    let gore = draft(&harness);
    let gore = gore.piece("gore").unwrap();
    let line = &gore.lines().iter().find(|l| l.name == *"placement line").unwrap().path;
    let by = geometry::end(line).unwrap() - geometry::start(line).unwrap();
    let grain = (gore.grain().p1 - gore.grain().p0).normalize();
    assert!((by.hypot() - 90.0).abs() < 0.05, "{} mm", by.hypot());
    let degrees = by.cross(grain).abs().atan2(by.dot(grain).abs()).to_degrees();
    assert!((degrees - 30.0).abs() < 0.05, "{degrees}°");
}

#[test]
fn a_curve_goes_through_what_was_clicked_and_cuts_in_two() {
    let mut harness = at_redraw();
    press(&mut harness, Key::U);
    let gore = draft(&harness);
    let gore = gore.piece("gore").unwrap();
    let left = find(&harness, "gore", &Place::share("left seam", "hem", 0.5));
    let right = find(&harness, "gore", &Place::share("right seam", "hem", 0.5));
    let between = left.midpoint(right) + kurbo::Vec2::new(0.0, 60.0);
    for p in [left, between, right] {
        let at = screen(&harness, "gore", p);
        click_at(&mut harness, at);
    }
    press(&mut harness, Key::Enter);
    assert!(harness.query_by_label("Make it the new hem").is_some(), "from seam to seam it may be another hem as well");
    click(&mut harness, "Cut in two here");
    click(&mut harness, "Add it");
    let Alteration::Cut(cut) = last_alteration(&harness) else { panic!("not cut in two") };
    assert_eq!(cut.line.through.len(), 3);
    let kept = place_at(gore, between, 0.0).find(gore).unwrap();
    // The pointer stands on whole points of the screen, the place on whole millimetres.
    assert!(cut.line.through[1].find(gore).unwrap().distance(kept) < 6.0);
    assert!(replayed(&harness) >= 4);
}

#[test]
fn what_chalk_goes_round_is_traced_off() {
    let mut harness = at_redraw();
    press(&mut harness, Key::T);
    let gore = draft(&harness);
    let gore = gore.piece("gore").unwrap();
    let middle = gore.bounds().center() + kurbo::Vec2::new(0.0, 200.0);
    let round = |i: i32| middle + kurbo::Vec2::from_angle(f64::from(i) / 72.0 * std::f64::consts::TAU) * 110.0;
    draw(&mut harness, "gore", &(0..=72).map(round).collect::<Vec<_>>());
    press(&mut harness, Key::Enter);
    click(&mut harness, "Add it");
    let now = draft(&harness);
    let traced = now.piece("gore patch").unwrap();
    let circle = std::f64::consts::PI * 110.0 * 110.0;
    assert!((traced.area_mm2() - circle).abs() < circle * 0.06, "{} mm² of {circle}", traced.area_mm2());
    assert!(now.piece("gore").unwrap().lines().iter().any(|l| l.name == *"gore patch"), "marked where it is laid on");
    assert!(replayed(&harness) >= 4);
    // A click traces a whole piece.
    let at = table_rect(&harness, "sleeve").center();
    click_at(&mut harness, at);
    assert!(harness.query_by_label("Add it").is_some());
}

#[test]
fn a_click_notches_an_edge_and_the_tape_reads_along_it() {
    let mut harness = at_redraw();
    press(&mut harness, Key::N);
    let notches = |h: &Open| draft(h).piece("gore").unwrap().notches().len();
    let before = notches(&harness);
    let at = find(&harness, "gore", &Place::share("right seam", "hem", 0.3));
    let at = screen(&harness, "gore", at);
    click_at(&mut harness, at);
    // Its right seam is sewn to the left one of the next gore.
    assert_eq!(works(&harness).last().unwrap(), "mark a notch on the gore and across its seam");
    assert_eq!(notches(&harness), before + 2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert_eq!(notches(&harness), before);

    press(&mut harness, Key::L);
    for share in [0.2, 0.6] {
        let at = find(&harness, "gore", &Place::share("right seam", "hem", share));
        let at = screen(&harness, "gore", at);
        click_at(&mut harness, at);
    }
    assert!(said(&harness, "along the right seam"));
    press(&mut harness, Key::Escape);
    assert!(said(&harness, "Click where the tape begins"));
}

#[test]
fn a_notch_goes_on_both_sides_of_its_seam_unless_one_is_chosen() {
    let mut harness = at_redraw();
    press(&mut harness, Key::N);
    let count = |d: &Draft, piece: &str, edge: &str| d.piece(piece).unwrap().notches().iter().filter(|n| n.edge == *edge).count();
    let now = |h: &Open, piece: &str| count(&draft(h), piece, "shoulder");
    let at = find(&harness, "back", &Place::share("shoulder", "neckline", 0.4));
    let at = screen(&harness, "back", at);
    harness.hover_at(at);
    harness.run();
    click_at(&mut harness, at);
    assert_eq!((now(&harness, "back"), now(&harness, "front")), (1, 1));
    assert_eq!(works(&harness).last().unwrap(), "mark a notch on the back and across its seam");
    // Of the back's shoulder 5 mm are eased in: the front's notch stands nearer to the neck, in proportion.
    let from_neck = |d: &Draft, piece: &str| {
        let piece = d.piece(piece).unwrap();
        let mm = piece.notches().iter().find(|n| n.edge == *"shoulder").unwrap().from_start_mm;
        let long = piece.edge_length_mm("shoulder").unwrap();
        let (at, _) = piece.along_edge("shoulder", mm).unwrap();
        let neck = piece.point("shoulder neck point").unwrap();
        let from_start = piece.edge_ends("shoulder").unwrap().0.distance(neck) < 1.0;
        assert!(at.distance(neck) < long);
        (if from_start { mm } else { long - mm }, long)
    };
    let matching = |d: &Draft| {
        let ((back, back_long), (front, front_long)) = (from_neck(d, "back"), from_neck(d, "front"));
        assert!((back / back_long - front / front_long).abs() < 1e-3, "{back} of {back_long}, {front} of {front_long}");
        assert!(back_long - front_long > 3.0, "{back_long} {front_long}");
    };
    matching(&draft(&harness));
    let garment: Garment = harness.state().desk().unwrap().garment().clone();
    for person in test_bodies().iter().take(6) {
        let built = garment.for_wearer(person.card()).build();
        assert!(built.outcomes.last().unwrap().skipped.is_none());
        matching(&built.draft);
    }
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert_eq!((now(&harness, "back"), now(&harness, "front")), (0, 0), "one act");
    // By key on one side alone, and by the switch on both again.
    press(&mut harness, Key::B);
    click_at(&mut harness, at);
    assert_eq!((now(&harness, "back"), now(&harness, "front")), (1, 0));
    let switch = harness.query_all_by_label_contains("Both sides of the seam: what").next().unwrap();
    assert_eq!(switch.accesskit_node().toggled(), Some(Toggled::False));
    switch.click();
    harness.run();
    let switch = harness.query_all_by_label_contains("Both sides of the seam: what").next().unwrap();
    assert_eq!(switch.accesskit_node().toggled(), Some(Toggled::True));
}

#[test]
fn a_line_drawn_in_from_an_edge_becomes_a_dart_of_its_own() {
    let mut harness = at_redraw();
    press(&mut harness, Key::R);
    let before = length(&harness, "back", "shoulder");
    let darts = |h: &Open| draft(h).piece("back").unwrap().darts().len();
    let had = darts(&harness);
    let at = find(&harness, "back", &Place::share("neckline", "shoulder", 0.5));
    let middle = draft(&harness).piece("back").unwrap().bounds().center();
    let neck = length(&harness, "back", "neckline");
    let inward = (middle - at).normalize() * 70.0;
    for p in [at, at + inward] {
        let pos = screen(&harness, "back", p);
        click_at(&mut harness, pos);
    }
    assert!(said(&harness, "too long"), "what it does to the other side of the seam");
    click(&mut harness, "Sew a dart along it");
    crate::screen::type_into(&mut harness, "Intake", "8 mm");
    click(&mut harness, "Add it");
    let Alteration::SewDart(dart) = last_alteration(&harness) else { panic!("no dart") };
    assert!((dart.intake.mm() - 8.0).abs() < 1e-9);
    assert_eq!(darts(&harness), had + 1);
    assert!((neck - length(&harness, "back", "neckline") - 8.0).abs() < 2.0, "{neck} and {}", length(&harness, "back", "neckline"));
    assert!((length(&harness, "back", "shoulder") - before).abs() < 1e-6);
    let piece = draft(&harness);
    let piece = piece.piece("back").unwrap();
    let sewn = piece.darts().iter().find(|d| d.name == dart.dart).unwrap();
    let leg = |name: &draft_core::Name| piece.edge_length_mm(name.as_str()).unwrap();
    assert!((leg(&sewn.leg_a) - leg(&sewn.leg_b)).abs() < 1e-6);
    assert!(replayed(&harness) >= 4);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert_eq!(darts(&harness), had);
}
