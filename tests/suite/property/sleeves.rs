//! Sleeves and over-sleeves: measured here on their pieces, apart from the program's own checks.

use draft_core::{Block, Built, Draft, Grade, Measurement, Piece, PieceBuilder, Role, SEWN_MM, Settings, Shared, Work, geometry};
use kurbo::{BezPath, ParamCurve, Point, Vec2};
use proptest::prelude::*;

use super::blocks::anyone;
use crate::bodies::{Person, complete, garment, setting, test_bodies};

/// A finished length is what was asked for within this.
const ASKED_MM: f64 = 0.1;

/// What was asked of a sleeve, as it stands in its settings.
#[derive(Clone, Debug)]
struct Asked {
    cap_ease: f64,
    elbow_ease: f64,
    wrist_ease: f64,
    bend_deg: f64,
    elbow: &'static str,
    cut: &'static str,
    end: &'static str,
    bell_from: &'static str,
    bell_girth: f64,
    button_spacing: f64,
    least_opening: f64,
    point: f64,
}

impl Default for Asked {
    fn default() -> Self {
        Self {
            cap_ease: 20.0,
            elbow_ease: 30.0,
            wrist_ease: 20.0,
            bend_deg: 8.0,
            elbow: "dart",
            cut: "one piece",
            end: "point",
            bell_from: "elbow",
            bell_girth: 700.0,
            button_spacing: 25.0,
            least_opening: 60.0,
            point: 10.0,
        }
    }
}

impl Asked {
    fn build(&self, person: &Person, more: &[(&str, &str, &str)]) -> Built {
        let mm = |v: f64| format!("{v} mm");
        let typed = [
            ("cap-ease", mm(self.cap_ease)),
            ("elbow-ease", mm(self.elbow_ease)),
            ("wrist-ease", mm(self.wrist_ease)),
            ("elbow-bend", self.bend_deg.to_string()),
            ("elbow", self.elbow.to_owned()),
            ("cut", self.cut.to_owned()),
            ("end", self.end.to_owned()),
            ("bell-from", self.bell_from.to_owned()),
            ("bell-girth", mm(self.bell_girth)),
            ("button-spacing", mm(self.button_spacing)),
            ("least-opening", mm(self.least_opening)),
            ("point-past-knuckle", mm(self.point)),
        ];
        let mut choices: Vec<(&str, &str, &str)> = typed.iter().map(|(k, v)| ("sleeve", *k, v.as_str())).collect();
        choices.push(("over-sleeve", "cap-ease", "5 mm"));
        choices.extend_from_slice(more);
        let mut garment = garment(person.card(), &choices);
        garment.works.retain(|w| !matches!(w.work, Work::Draft { block: Block::Skirt, .. }));
        garment.build()
    }
}

fn piece<'a>(draft: &'a Draft, name: &str) -> &'a Piece {
    draft.piece(name).unwrap_or_else(|| panic!("there is no piece {name}"))
}

fn edge(draft: &Draft, of: &str, name: &str) -> f64 {
    piece(draft, of).edge_length_mm(name).unwrap_or_else(|| panic!("there is no {of} / {name}"))
}

fn point(draft: &Draft, of: &str, name: &str) -> Point {
    piece(draft, of).point(name).unwrap_or_else(|| panic!("there is no point {name} on {of}"))
}

fn apart(draft: &Draft, of: &str, a: &str, b: &str) -> f64 {
    point(draft, of, a).distance(point(draft, of, b))
}

fn near(what: &str, who: &str, got: f64, asked: f64, within: f64) {
    assert!((got - asked).abs() <= within, "{who}: {what} is {got:.3} mm, asked {asked:.3} mm");
}

/// From the underarm up to the notch of one kind, along edges given from the underarm upward with whether each outline
/// runs upward there.
fn notch_from_underarm(draft: &Draft, edges: &[(&str, &str, bool)], double: bool) -> f64 {
    let mut below = 0.0;
    for (of, name, upward) in edges {
        let Some(p) = draft.piece(of) else { continue };
        let Some(length) = p.edge_length_mm(name) else { continue };
        let found = p.notches().iter().find(|n| n.edge == **name && n.double == double && n.from_start_mm > 1e-9);
        if let Some(notch) = found {
            return below + if *upward { notch.from_start_mm } else { length - notch.from_start_mm };
        }
        below += length;
    }
    panic!("there is no notch on {edges:?}");
}

/// Corners between the segments of an edge, degrees; a dart between two of its parts is none.
fn sharpest_bend(p: &Piece, name: &str) -> f64 {
    let mut worst: f64 = 0.0;
    for part in p.edge_parts(name) {
        let segments: Vec<_> = part.path.segments().collect();
        for pair in segments.windows(2) {
            let (a, b): (Vec2, Vec2) = (geometry::tangent(&pair[0], 1.0), geometry::tangent(&pair[1], 0.0));
            worst = worst.max(a.cross(b).atan2(a.dot(b)).to_degrees().abs());
        }
    }
    worst
}

const FRONT_CAP: [(&str, &str, bool); 3] =
    [("under sleeve", "front cap", false), ("sleeve", "front cap", false), ("top sleeve", "front cap", false)];
const BACK_CAP: [(&str, &str, bool); 3] =
    [("under sleeve", "back cap", true), ("sleeve", "back cap", true), ("top sleeve", "back cap", true)];
const FRONT_ARMHOLE: [(&str, &str, bool); 2] = [("side front", "armhole", false), ("front", "armhole", false)];
const BACK_ARMHOLE: [(&str, &str, bool); 2] = [("side back", "armhole", false), ("back", "armhole", false)];

fn sum(draft: &Draft, edges: &[(&str, &str, bool)]) -> f64 {
    edges.iter().filter_map(|(of, name, _)| draft.piece(of)?.edge_length_mm(name)).sum()
}

fn laws(who: &str, built: &Built, asked: &Asked) {
    let draft = &*built.draft;
    for o in &built.outcomes {
        assert!(o.skipped.is_none(), "{who}: {} was skipped: {:?}", o.what, o.skipped);
    }
    // Among them that no outline crosses itself.
    let faults: Vec<_> = built
        .messages
        .iter()
        .filter(|m| m.grade == Grade::Error || (m.grade == Grade::Warning && m.place.starts_with("sleeve: ")))
        .collect();
    assert!(faults.is_empty(), "{who}: {faults:?}");
    for (seam, walk) in draft.seams.iter().zip(&built.walks) {
        let walk = walk.unwrap_or_else(|| panic!("{who}: {:?} is gone", seam.sides()));
        assert!(walk.difference_mm.abs() <= SEWN_MM, "{who}: {:?} differ by {}", seam.sides(), walk.difference_mm);
    }
    // The cap: in all, in halves, below the notches and above them.
    let (front, back) = (sum(draft, &FRONT_ARMHOLE), sum(draft, &BACK_ARMHOLE));
    near("the cap", who, sum(draft, &FRONT_CAP) + sum(draft, &BACK_CAP), front + back + asked.cap_ease, ASKED_MM);
    let halves = [(FRONT_CAP, FRONT_ARMHOLE, front, false, 0.45), (BACK_CAP, BACK_ARMHOLE, back, true, 0.55)];
    for (cap, armhole, armhole_mm, double, share) in halves {
        let (on_cap, on_armhole) = (notch_from_underarm(draft, &cap, double), notch_from_underarm(draft, &armhole, double));
        near("the notch on the cap", who, on_cap, on_armhole, ASKED_MM);
        let eased = (sum(draft, &cap) - on_cap) - (armhole_mm - on_armhole);
        near("the ease above the notch", who, eased, share * asked.cap_ease, ASKED_MM);
    }
    if asked.end == "bell" {
        bell(who, built, asked);
    } else {
        fitted(who, built, asked);
    }
    over_sleeve(who, draft, front, back);
}

fn bell(who: &str, built: &Built, asked: &Asked) {
    let draft = &*built.draft;
    let (of, hem, above) = if asked.bell_from == "cap" {
        ("sleeve", "wrist edge", 0.0)
    } else {
        near("the elbow's seam", who, edge(draft, "sleeve bell", "elbow edge"), edge(draft, "sleeve", "elbow edge"), ASKED_MM);
        ("sleeve bell", "hem", edge(draft, "sleeve", "elbow edge"))
    };
    let got = edge(draft, of, hem);
    // A bell is never narrower than the sleeve above it.
    let narrow = built.messages.iter().any(|m| m.place == "sleeve / bell" && m.problem.contains("narrower"));
    assert_eq!(narrow, got > asked.bell_girth + ASKED_MM, "{who}: {got} and {}", asked.bell_girth);
    if !narrow {
        near("the hem of the bell", who, got, asked.bell_girth, ASKED_MM);
    }
    assert!(got + ASKED_MM >= above, "{who}: the bell is narrower than the elbow");
}

fn fitted(who: &str, built: &Built, asked: &Asked) {
    let draft = &*built.draft;
    let body = |m: Measurement| built.body.get(m).unwrap_or_else(|| panic!("{who}: no {m:?}"));
    let two = asked.cut == "two pieces";
    let (pieces, seams): (&[&str], [&str; 2]) =
        if two { (&["top sleeve", "under sleeve"], ["forearm", "hindarm"]) } else { (&["sleeve"], ["front", "back"]) };
    let girth =
        |at: &str| pieces.iter().map(|p| apart(draft, p, &format!("{} {at}", seams[0]), &format!("{} {at}", seams[1]))).sum::<f64>();
    // Each width is what was asked for, or that of the level above where this is narrower.
    let upper = girth("underarm");
    let elbow = (body(Measurement::ElbowGirth) + asked.elbow_ease).min(upper);
    let wrist = (body(Measurement::WristGirth) + asked.wrist_ease).min(elbow);
    near("the elbow", who, girth("elbow"), elbow, ASKED_MM);
    near("the wrist", who, girth("wrist"), wrist, ASKED_MM);

    for p in pieces {
        for name in ["front seam", "back seam", "forearm seam", "hindarm seam"] {
            let bend = sharpest_bend(piece(draft, p), name);
            assert!(bend < 0.1, "{who}: {p} / {name} has a corner of {bend:.2}°");
        }
    }
    if !two {
        elbow_laws(who, draft, asked, elbow);
    }

    // The hand: with the seam open up to its notch it passes, thumb folded in (1 cm less than its girth).
    let needed = body(Measurement::HandGirth) - 10.0;
    let (over, under) = if two { ("top sleeve", "hindarm seam") } else { ("sleeve", "back seam") };
    let buttons: Vec<f64> = draft
        .piece("wrist underlap")
        .map(|u| u.points().iter().filter(|p| p.name.as_str().starts_with("button")).map(|p| p.at.y).collect())
        .unwrap_or_default();
    if wrist >= needed - 0.01 {
        assert!(buttons.is_empty(), "{who}: an opening that the hand does not need");
    } else {
        let opening = edge(draft, "wrist underlap", "sewn edge");
        let girth_at = |up: f64| {
            pieces
                .iter()
                .map(|p| {
                    let p = piece(draft, p);
                    let at = |name: &str, runs_up: bool| {
                        let length = p.edge_length_mm(name).unwrap();
                        p.along_edge(name, if runs_up { up } else { length - up }).unwrap().0
                    };
                    match p.name().as_str() {
                        "sleeve" => at("front seam", false).distance(at("back seam", true)),
                        "top sleeve" => at("forearm seam", false).distance(at("hindarm seam", true)),
                        _ => at("forearm seam", true).distance(at("hindarm seam", false)),
                    }
                })
                .sum::<f64>()
        };
        assert!(opening + ASKED_MM >= asked.least_opening.min(opening), "{who}");
        if elbow >= needed {
            assert!(girth_at(opening) >= needed - 0.2, "{who}: {} at the top of the opening, {needed} needed", girth_at(opening));
            // Not longer than needed by more than a few stitches.
            if opening > asked.least_opening + 5.0 {
                assert!(girth_at(opening - 5.0) < needed, "{who}: the opening is longer than the hand needs");
            }
        }
        let notch = |of: &str, name: &str| {
            piece(draft, of).notches().iter().filter(|n| n.edge == *name).map(|n| n.from_start_mm).fold(f64::NAN, f64::min)
        };
        near("the notch of the opening", who, notch(over, under), opening, ASKED_MM);
        // Buttons: all on the opening, evenly spaced, about as far apart as asked.
        let gaps: Vec<f64> = buttons.windows(2).map(|b| (b[0] - b[1]).abs()).collect();
        assert!(!buttons.is_empty() && buttons.iter().all(|y| (0.0..=opening).contains(y)), "{who}: {buttons:?} on {opening}");
        for gap in &gaps {
            near("a gap between buttons", who, *gap, gaps[0], 1e-6);
            assert!((0.5..=2.0).contains(&(gap / asked.button_spacing)), "{who}: {gap} between buttons");
        }
        let loops = piece(draft, over).points().iter().filter(|p| p.name.as_str().starts_with("loop ")).count();
        assert_eq!(loops, buttons.len(), "{who}");
    }

    // The point.
    if asked.end == "point" {
        let of = pieces[0];
        let (a, b) = (point(draft, of, &format!("{} wrist", seams[0])), point(draft, of, &format!("{} wrist", seams[1])));
        let knuckle = body(Measurement::HandLength) - body(Measurement::MiddleFingerLength);
        let tip = point(draft, of, "tip");
        near("the point", who, tip.distance(a.midpoint(b)), (knuckle + asked.point).max(20.0), ASKED_MM);
        near("both sides of the point", who, tip.distance(a), tip.distance(b), ASKED_MM);
        let (whole, facing) = (edge(draft, of, "wrist edge"), edge(draft, "point facing", "point edge"));
        near("the facing", who, facing, whole - 2.0, ASKED_MM);
        assert!(piece(draft, of).bounds().contains(point(draft, "point facing", "tip")), "{who}: the facing is larger than the sleeve");
        near("the ends of the facing", who, edge(draft, "point facing", "front end"), edge(draft, "point facing", "back end"), ASKED_MM);
    }
}

/// What the bend opens at the back of the elbow: a chord of the turn about the front seam.
fn elbow_laws(who: &str, draft: &Draft, asked: &Asked, elbow: f64) {
    let sleeve = piece(draft, "sleeve");
    let opens = 2.0 * elbow * (asked.bend_deg.to_radians() / 2.0).sin();
    let (front, back) = (edge(draft, "sleeve", "front seam"), edge(draft, "sleeve", "back seam"));
    match asked.elbow {
        "dart" => {
            let (a, _) = sleeve.edge_ends("elbow dart leg 1").unwrap();
            let (_, b) = sleeve.edge_ends("elbow dart leg 2").unwrap();
            near("the mouth of the elbow dart", who, a.distance(b), opens, ASKED_MM);
            near(
                "the legs of the elbow dart",
                who,
                edge(draft, "sleeve", "elbow dart leg 1"),
                edge(draft, "sleeve", "elbow dart leg 2"),
                1e-6,
            );
            near("the back seam", who, back, front, ASKED_MM);
            // Its notch on the front seam meets the closed dart.
            let low = geometry::length(&sleeve.edge_parts("back seam").next().unwrap().path);
            let met = sleeve.notches().iter().any(|n| n.edge == *"front seam" && (front - n.from_start_mm - low).abs() < ASKED_MM);
            assert!(met, "{who}: no notch meets the elbow dart");
        }
        "ease" => near("the ease at the elbow", who, back - front, opens.min(12.0), ASKED_MM),
        _ => near("the back seam", who, back, front, ASKED_MM),
    }
}

/// The default over-sleeve of every garment here: 5 mm of ease, 90 cm deep.
fn over_sleeve(who: &str, draft: &Draft, front: f64, back: f64) {
    let above = |armhole: &[(&str, &str, bool)], whole: f64, double: bool| whole - notch_from_underarm(draft, armhole, double);
    let asked_front = above(&FRONT_ARMHOLE, front, false) + 0.45 * 5.0;
    let asked_back = above(&BACK_ARMHOLE, back, true) + 0.55 * 5.0;
    near("the over-sleeve in front", who, edge(draft, "over-sleeve", "front cap"), asked_front, ASKED_MM);
    near("the over-sleeve behind", who, edge(draft, "over-sleeve", "back cap"), asked_back, ASKED_MM);
    near("its hanging point", who, apart(draft, "over-sleeve", "crown", "hanging point"), 900.0, ASKED_MM);
}

#[test]
fn every_person_of_the_survey_gets_a_sleeve_with_an_elbow_dart() {
    for person in complete() {
        let asked = Asked::default();
        laws(&person.name, &asked.build(&person, &[]), &asked);
    }
}

#[test]
fn every_third_person_of_the_survey_gets_a_sleeve_in_two_pieces() {
    for person in complete().into_iter().step_by(3) {
        let asked = Asked { cut: "two pieces", ..Asked::default() };
        laws(&person.name, &asked.build(&person, &[]), &asked);
    }
}

#[test]
fn the_test_bodies_get_every_form_of_sleeve() {
    for person in test_bodies().into_iter().chain(complete().into_iter().step_by(40)) {
        for elbow in ["dart", "ease", "shaped seam", "none"] {
            for end in ["point", "straight"] {
                let asked = Asked { elbow, end, ..Asked::default() };
                laws(&person.name, &asked.build(&person, &[]), &asked);
            }
        }
        for bell_from in ["elbow", "cap"] {
            let asked = Asked { end: "bell", bell_from, ..Asked::default() };
            laws(&person.name, &asked.build(&person, &[]), &asked);
        }
    }
}

proptest! {
    #![proptest_config(super::drawn(200))]

    #[test]
    fn anyone_gets_the_sleeve_that_was_asked(
        person in anyone(),
        eases in (0.0f64..45.0, 0.0f64..120.0, 0.0f64..100.0),
        bend_deg in 6.0f64..=10.0,
        form in (0usize..4, 0usize..2, 0usize..3, 0usize..2),
        bell_girth in 250.0f64..1100.0,
        buttons in (12.0f64..40.0, 0.0f64..120.0),
        point in -60.0f64..60.0,
        princess in any::<bool>(),
    ) {
        let asked = Asked {
            cap_ease: eases.0,
            elbow_ease: eases.1,
            wrist_ease: eases.2,
            bend_deg,
            elbow: ["dart", "ease", "shaped seam", "none"][form.0],
            cut: ["one piece", "two pieces"][form.1],
            end: ["point", "straight", "bell"][form.2],
            bell_from: ["elbow", "cap"][form.3],
            bell_girth,
            button_spacing: buttons.0,
            least_opening: buttons.1,
            point,
        };
        let front = [("bodice", "front", if princess { "princess" } else { "darts" })];
        laws(&person.name, &asked.build(&person, &front), &asked);
    }

    /// Folds keep the upper edge and lengthen the hanging edges; without folds these are straight.
    #[test]
    fn folds_make_an_over_sleeve_wider_and_leave_its_armhole_seam(person in anyone(), folds in 1u32..=8, angle in 4.0f64..18.0) {
        let with = |folds: &str| {
            let angle = angle.to_string();
            Asked::default().build(&person, &[("over-sleeve", "folds", folds), ("over-sleeve", "fold-angle", &angle)])
        };
        let (plain, folded) = (with("0"), with(&folds.to_string()));
        let on = |built: &Built, name: &str| edge(&built.draft, "over-sleeve", name);
        for side in ["front", "back"] {
            let cap = format!("{side} cap");
            near(&cap, &person.name, on(&folded, &cap), on(&plain, &cap), ASKED_MM);
            let hanging = format!("{side} edge");
            let straight = apart(&plain.draft, "over-sleeve", &format!("{side} notch"), "hanging point");
            near(&hanging, &person.name, on(&plain, &hanging), straight, ASKED_MM);
            prop_assert!(on(&folded, &hanging) > on(&plain, &hanging));
        }
        let wide = |built: &Built| piece(&built.draft, "over-sleeve").bounds().width();
        prop_assert!(wide(&folded) > wide(&plain));
    }
}

/// A piece whose outline is a stretch of armhole and a straight line.
fn panel(name: &str, armhole: &BezPath, notch: Option<f64>) -> Piece {
    let (a, b) = (geometry::start(armhole).unwrap(), geometry::end(armhole).unwrap());
    let mut piece = PieceBuilder::new(name).part("armhole", Role::Seam, 10.0, armhole.clone()).line("rest", Role::Seam, 10.0, b, a);
    if let Some(at) = notch {
        piece = piece.notch("armhole", at, false);
    }
    piece.build().unwrap()
}

/// The armhole goes on over a seam from the front to its side panel, and the notch stands elsewhere than usual.
#[test]
fn the_notch_follows_an_armhole_that_lies_on_two_panels() {
    let person = &complete()[0];
    let built = Asked::default().build(person, &[("bodice", "bust-dart", "side")]);
    let whole: Vec<_> = piece(&built.draft, "front").edge_parts("armhole").flat_map(|p| p.path.segments()).collect();
    let stretch = |of: &[kurbo::PathSeg]| {
        let mut path = BezPath::new();
        path.move_to(of[0].start());
        of.iter().for_each(|s| path.push(s.as_path_el()));
        path
    };
    let (upper, lower) = (stretch(&whole[..1]), stretch(&whole[1..]));
    let from_underarm = 0.3 * (geometry::length(&upper) + geometry::length(&lower));
    let mut bodice = Draft { pieces: vec![], seams: Shared::default(), ..(*built.draft).clone() };
    bodice.put(piece(&built.draft, "back").clone());
    bodice.put(panel("front", &upper, None));
    bodice.put(panel("side front", &lower, Some(geometry::length(&lower) - from_underarm)));
    let mut settings = Settings::default();
    let cut = setting(Block::Sleeve, "cut");
    for form in ["one piece", "two pieces"] {
        settings.set(cut, cut.parse(form, draft_core::Unit::Cm).unwrap()).unwrap();
        let draft = Block::Sleeve.draft(&built.body, &settings, &bodice).unwrap();
        near("the notch", form, notch_from_underarm(&draft, &FRONT_CAP, false), from_underarm, ASKED_MM);
        let sewn = draft.seams.iter().find(|s| s.b.iter().any(|r| r.piece == *"side front")).unwrap();
        assert_eq!(sewn.b.len(), 2);
        let walk = sewn.walk(|n| draft.piece(n.as_str())).unwrap();
        assert!(walk.difference_mm.abs() <= ASKED_MM, "{walk:?}");
    }
}

/// A sleeve drafted over an earlier one leaves nothing of it behind.
#[test]
fn another_form_takes_the_place_of_the_first() {
    let person = &complete()[3];
    let forms = [("cut", "two pieces"), ("end", "bell"), ("elbow", "ease"), ("end", "straight")];
    let one = Asked::default().build(person, &[]);
    let again = |before: &Draft, key: &str, word: &str| {
        let mut settings = Settings::default();
        let which = setting(Block::Sleeve, key);
        settings.set(which, which.parse(word, draft_core::Unit::Cm).unwrap()).unwrap();
        Block::Sleeve.draft(&one.body, &settings, before).unwrap()
    };
    let counts = |d: &Draft| (d.pieces.len(), d.seams.len(), d.levels.len(), d.promises.len(), d.corners.len(), d.messages.len());
    let mut draft = (*one.draft).clone();
    for (key, word) in forms {
        let alone = again(&one.draft, key, word);
        draft = again(&draft, key, word);
        assert_eq!(counts(&draft), counts(&alone), "{word}");
        for p in &alone.pieces {
            assert_eq!(draft.piece(p.name().as_str()), Some(&**p), "{word}");
        }
    }
}

/// A loop on a small child's sleeve is left out with a caution, on a grown-up's it is marked, with one too. European
/// rules for cords on children's clothing (EN 14682) set the bound for small children at 134 cm, 7 years.
#[test]
fn no_loop_for_small_children() {
    let grown = &complete()[0];
    let mut child = grown.clone();
    for (which, value) in &mut child.values {
        if *which == Measurement::Stature {
            *value = 133.0;
        }
    }
    for (person, has) in [(grown, true), (&child, false)] {
        let built = Asked::default().build(person, &[]);
        assert_eq!(piece(&built.draft, "sleeve").point("finger loop").is_some(), has);
        assert!(built.messages.iter().any(|m| m.grade == Grade::Caution && m.problem.contains("loop")));
    }
}
