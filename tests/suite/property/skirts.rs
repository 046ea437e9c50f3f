//! Gored skirts, circles and draped panels come out as asked, on any body and with any settings; measured here on the
//! pieces' edges, apart from the program's own checks.

use std::f64::consts::TAU;

use draft_core::{Block, Built, Garment, Grade, Measurement, Piece, Settings, Take, Unit, Work, check};
use kurbo::Shape;
use proptest::prelude::*;

use crate::bodies::{Person, complete, setting, test_bodies};

const ASKED_MM: f64 = 0.1;

fn garment(person: &Person, bodice: bool, block: Block, choices: &[(&str, String)]) -> Garment {
    let mut garment = Garment::new("test", person.card());
    if bodice {
        garment.works.push(Work::Draft { block: Block::Bodice, settings: Settings::default() }.into());
    }
    let mut settings = Settings::default();
    for (key, value) in choices {
        let setting = setting(block, key);
        settings.set(setting, setting.parse(value, Unit::Mm).unwrap()).unwrap();
    }
    garment.works.push(Work::Draft { block, settings }.into());
    garment
}

fn choices<const N: usize>(list: [(&'static str, &str); N]) -> Vec<(&'static str, String)> {
    list.map(|(k, v)| (k, v.to_owned())).to_vec()
}

fn near(what: &str, who: &str, got: f64, asked: f64, within: f64) {
    assert!((got - asked).abs() <= within, "{who}: {what} is {got:.3} mm, asked {asked:.3} mm");
}

fn piece<'a>(built: &'a Built, name: &str) -> &'a Piece {
    built.draft.piece(name).unwrap_or_else(|| panic!("there is no {name}"))
}

fn edge(piece: &Piece, name: &str) -> f64 {
    piece.edge_length_mm(name).unwrap_or_else(|| panic!("{} has no {name}", piece.name()))
}

fn gores(built: &Built) -> Vec<&Piece> {
    built.draft.pieces.iter().map(|p| &**p).filter(|p| p.name().as_str().contains("gore")).collect()
}

/// An edge of every gore, as often as it is cut.
fn all_round(built: &Built, name: &str) -> f64 {
    gores(built).iter().map(|p| f64::from(p.cut().count) * edge(p, name)).sum()
}

fn line_all_round(built: &Built, name: &str) -> f64 {
    let line = |p: &Piece| p.lines().iter().find(|l| l.name == *name).map(|l| draft_core::geometry::length(&l.path));
    gores(built).iter().map(|p| f64::from(p.cut().count) * line(p).unwrap_or_else(|| panic!("{} has no {name}", p.name()))).sum()
}

/// What holds for every piece and every seam.
fn sound(built: &Built, who: &str) {
    for o in &built.outcomes {
        assert!(o.skipped.is_none(), "{who}: {} was skipped: {:?}", o.what, o.skipped);
    }
    let ours = |place: &str| ["skirt", "gore", "circle", "panel"].iter().any(|w| place.contains(w));
    let bad: Vec<_> = built.messages.iter().filter(|m| m.grade == Grade::Error || (m.grade == Grade::Warning && ours(&m.place))).collect();
    assert!(bad.is_empty(), "{who}: {bad:?}");
    for (seam, walk) in built.draft.seams.iter().zip(&built.walks) {
        let walk = walk.unwrap_or_else(|| panic!("{who}: {:?} is gone", seam.sides()));
        assert!(walk.difference_mm.abs() <= draft_core::SEWN_MM, "{who}: {:?} differ by {}", seam.sides(), walk.difference_mm);
    }
    for (piece, cut) in built.pieces() {
        assert!(check::crossing(piece.parts()).is_none(), "{who}: {} crosses itself", piece.name());
        assert!(piece.outline().area() > 0.0, "{who}: the outline of {} does not run clockwise", piece.name());
        assert!(cut.is_finite() && cut.area().abs() > piece.area_mm2(), "{who}: the cut line of {} is no cut line", piece.name());
        // By straight lines: kurbo 0.13's winding misses points under the extremum of a cubic that is its own mirror image.
        let outline = kurbo::BezPath::from_vec(
            draft_core::geometry::flattened(&piece.outline(), 0.05)
                .iter()
                .enumerate()
                .map(|(i, p)| if i == 0 { kurbo::PathEl::MoveTo(*p) } else { kurbo::PathEl::LineTo(*p) })
                .collect(),
        );
        let grain = piece.grain();
        for i in 0..=10 {
            let at = grain.p0.lerp(grain.p1, f64::from(i) / 10.0);
            assert!(outline.winding(at) != 0, "{who}: the grain line of {} leaves it", piece.name());
        }
    }
}

/// What a skirt that stands by itself was asked to be, millimetres.
#[derive(Clone, Copy, Debug)]
struct Asked {
    gores: u32,
    front: f64,
    back: f64,
    front_flare: f64,
    raised: f64,
    sweep: f64,
    /// Girth at the knee of a trumpet.
    knee: Option<f64>,
    straight: f64,
    train: f64,
    /// Waist to floor at front and back, less that at the side.
    floors: (f64, f64),
    finish: &'static str,
    opening: &'static str,
}

const PLAIN: Asked = Asked {
    gores: 6,
    front: 1.0,
    back: 1.0,
    front_flare: 1.0,
    raised: 0.0,
    sweep: 3200.0,
    knee: None,
    straight: 0.0,
    train: 0.0,
    floors: (0.0, 0.0),
    finish: "none",
    opening: "centre back",
};

impl Asked {
    fn choices(&self) -> Vec<(&'static str, String)> {
        let mut list = choices([("gores-are", "shaped"), ("waist-from", "measurement")]);
        let numbers = [
            ("gores", f64::from(self.gores)),
            ("front-gore", self.front),
            ("back-gore", self.back),
            ("front-flare", self.front_flare),
            ("waist-raised", self.raised),
            ("sweep", self.sweep),
            ("straight-below-hip", self.straight),
            ("train", self.train),
        ];
        list.extend(numbers.map(|(k, v)| (k, v.to_string())));
        if let Some(knee) = self.knee {
            list.extend([("flare-from", "knee".to_owned()), ("knee-girth", knee.to_string())]);
        }
        list.extend([("waist-finish", self.finish.to_owned()), ("opening", self.opening.to_owned())]);
        list
    }

    fn build(&self, person: &Person) -> Built {
        let mut garment = garment(person, false, Block::Skirt, &self.choices());
        let side = garment.build().body.get(Measurement::OutsideLeg).unwrap().round();
        for (which, mm) in [
            (Measurement::OutsideLeg, side),
            (Measurement::FrontWaistToFloor, side + self.floors.0),
            (Measurement::BackWaistToFloor, side + self.floors.1),
        ] {
            garment.wearer.set(which, Take::new(mm.to_string(), Unit::Mm));
        }
        garment.build()
    }
}

fn skirt_laws(who: &str, built: &Built, asked: &Asked) {
    sound(built, who);
    let body = |m: Measurement| built.body.get(m).unwrap();
    // 3 cm of heel less 2.5 cm clear of the floor.
    let length = body(Measurement::OutsideLeg) + 5.0 + asked.raised;
    near("the hip", who, line_all_round(built, "hip line"), body(Measurement::HipGirth) + 50.0, ASKED_MM);
    let waist = body(Measurement::WaistGirth) + 20.0;
    if asked.raised == 0.0 {
        near("the waist", who, all_round(built, "waist"), waist, ASKED_MM);
    } else if asked.raised > 0.0 {
        near("the natural waist", who, line_all_round(built, "waist line"), waist, ASKED_MM);
    }
    if asked.train == 0.0 {
        near("the sweep", who, all_round(built, "hem"), asked.sweep, ASKED_MM);
    }
    if let Some(knee) = asked.knee {
        near("the knee", who, line_all_round(built, "flare line"), knee, ASKED_MM);
        // The narrowest place is the knee itself: no part of a gore between hip and hem is narrower.
        for p in gores(built) {
            let line = p.lines().iter().find(|l| l.name == "flare line").unwrap();
            let (a, b) = (draft_core::geometry::start(&line.path).unwrap(), draft_core::geometry::end(&line.path).unwrap());
            for seam in ["right seam", "back seam", "centre back"].into_iter().filter(|s| p.edge(s).is_some()) {
                let total = edge(p, seam);
                for i in 0..=40 {
                    let (at, _) = p.along_edge(seam, total * (0.25 + 0.75 * f64::from(i) / 40.0)).unwrap();
                    assert!(
                        at.x > b.x - 0.01 || body(Measurement::HipGirth) + 50.0 < knee,
                        "{who}: {} is narrower than at the knee",
                        p.name()
                    );
                }
            }
            assert!(b.x > a.x);
        }
    }
    // Lengths: front, side and back as measured, the difference above the hip, the hem level but for the train.
    let front = piece(built, "front gore");
    let down = |p: &Piece| p.point("waist centre").unwrap().distance(p.point("hem centre").unwrap());
    near("the centre front", who, down(front), length + asked.floors.0, ASKED_MM);
    let back = piece(built, "back gore");
    let centre_back = if back.edge("centre back").is_some() { edge(back, "centre back") } else { down(back) };
    near("the centre back", who, centre_back, length + asked.floors.1 + asked.train, ASKED_MM);
    let below_hip = length - asked.raised - body(Measurement::WaistToHip);
    for p in gores(built) {
        for seam in ["right seam", "back seam"].into_iter().filter(|s| p.edge(s).is_some()) {
            let hip = p.notches().iter().find(|n| n.edge == *seam).unwrap().from_start_mm;
            let rest = edge(p, seam) - hip - below_hip;
            assert!(
                (-ASKED_MM..=asked.train + ASKED_MM).contains(&rest),
                "{who}: {} / {seam} hangs {rest:.2} mm below the level hem",
                p.name()
            );
            let above = hip - asked.raised - body(Measurement::WaistToHip);
            let (least, most) = (asked.floors.0.min(asked.floors.1).min(0.0), asked.floors.0.max(asked.floors.1).max(0.0));
            assert!(
                (least - ASKED_MM..=most + ASKED_MM).contains(&above),
                "{who}: {} / {seam} is {above:.2} mm longer above the hip",
                p.name()
            );
        }
    }
    if asked.finish != "none" {
        let name = if asked.finish == "facing" { "skirt waist facing" } else { "skirt waistband" };
        near("the band", who, edge(piece(built, name), "waist edge"), all_round(built, "waist"), ASKED_MM);
    }
}

const FINISHES: [&str; 4] = ["none", "straight band", "shaped band", "facing"];

/// Kinds of skirt that everybody of the survey gets in turn.
fn kinds() -> [Asked; 8] {
    [
        Asked { floors: (-15.0, 20.0), finish: "facing", ..PLAIN },
        Asked { gores: 5, front: 1.3, back: 1.1, front_flare: 0.5, floors: (25.0, -10.0), finish: "straight band", ..PLAIN },
        Asked { gores: 8, knee: Some(1000.0), sweep: 3000.0, opening: "left side", ..PLAIN },
        Asked { gores: 7, train: 900.0, sweep: 4200.0, finish: "shaped band", ..PLAIN },
        Asked { gores: 4, sweep: 2600.0, raised: -40.0, finish: "straight band", ..PLAIN },
        Asked { gores: 9, raised: 50.0, straight: 150.0, ..PLAIN },
        Asked { gores: 12, sweep: 6000.0, front: 1.6, train: 400.0, opening: "none", ..PLAIN },
        Asked { gores: 6, sweep: 1200.0, floors: (10.0, 10.0), ..PLAIN },
    ]
}

#[test]
fn everybody_gets_shaped_gores() {
    for (i, person) in complete().iter().chain(&test_bodies()).enumerate() {
        let asked = kinds()[i % 8];
        skirt_laws(&format!("{} {asked:?}", person.name), &without_expected(asked.build(person)), &asked);
    }
}

/// Without the warning that a skirt with no opening has to give.
fn without_expected(mut built: Built) -> Built {
    built.messages.retain(|m| m.place != "skirt / opening");
    built
}

#[test]
fn a_skirt_asks_for_an_opening_that_the_hips_pass() {
    let person = &complete()[0];
    let asked = Asked { opening: "none", ..PLAIN };
    let warned = |b: &Built| b.messages.iter().any(|m| m.place == "skirt / opening" && m.grade == Grade::Warning);
    assert!(warned(&asked.build(person)));
    assert!(!warned(&PLAIN.build(person)));
    // A waist as wide as the hip passes without.
    let mut wide = asked.choices();
    wide.push(("waist-ease", "300".into()));
    assert!(!warned(&garment(person, false, Block::Skirt, &wide).build()));
}

#[test]
fn cautions_speak_up_for_trains_floors_and_narrow_hems() {
    let person = &complete()[3];
    let cautions = |list: &[(&str, String)]| -> Vec<String> {
        let built = garment(person, false, Block::Skirt, list).build();
        built.messages.iter().filter(|m| m.grade == Grade::Caution).map(|m| m.problem.clone()).collect()
    };
    assert_eq!(cautions(&[]), [""; 0]);
    let one = |list: Vec<(&'static str, String)>, words: &str| {
        let found = cautions(&list);
        assert!(found.len() == 1 && found[0].contains(words), "{words}: {found:?}");
    };
    one(choices([("train", "800")]), "train");
    one(choices([("clearance", "5")]), "above the floor");
    one(choices([("hem", "length"), ("length", "1500")]), "longer than down to the floor");
    one(choices([("sweep", "1300")]), "stride");
    one(choices([("flare-from", "knee"), ("knee-girth", "900")]), "at the knee");
    // A short narrow skirt leaves the knees free.
    assert_eq!(cautions(&choices([("sweep", "1050"), ("hem", "length"), ("length", "400")])), [""; 0]);
}

/// Sewn to the bodice, all three kinds of skirt have its waist.
#[test]
fn everybody_gets_skirts_that_fit_the_bodice() {
    for (i, person) in complete().iter().enumerate().step_by(5) {
        let who = person.name.as_str();
        let shaped = garment(person, true, Block::Skirt, &PLAIN.choices()[..1]).build();
        sound(&shaped, who);
        let bodice: f64 =
            ["front", "side front", "back", "side back"].iter().filter_map(|p| Some(2.0 * edge(shaped.draft.piece(p)?, "waist"))).sum();
        near("the skirt's waist", who, all_round(&shaped, "waist"), bodice, draft_core::SEWN_MM);

        let (fraction, f) = [("full", 1.0), ("three-quarter", 0.75), ("half", 0.5)][i % 3];
        let circle = garment(person, true, Block::Circle, &choices([("circle", fraction), ("gather", "1.5")])).build();
        sound(&circle, who);
        let panel = piece(&circle, "circle panel");
        let n = f64::from(panel.cut().count);
        near("the circle's waist", who, n * edge(panel, "waist"), 1.5 * bodice, ASKED_MM);
        let length = circle.body.get(Measurement::OutsideLeg).unwrap() + 5.0;
        near("the circle's hem", who, n * edge(panel, "hem"), 1.5 * bodice + TAU * f * length, ASKED_MM);
        near("the circle's seam", who, edge(panel, "left seam"), length, ASKED_MM);

        let drape = garment(person, true, Block::Panel, &choices([("share", "0.5"), ("ratio", "2.5")])).build();
        sound(&drape, who);
        let drape = piece(&drape, "panel");
        near("the gathered edge", who, f64::from(drape.cut().count) * edge(drape, "gathered edge"), 0.5 * 2.5 * bodice, ASKED_MM);
    }
}

#[test]
fn drafting_again_takes_the_place_of_the_first() {
    let person = &complete()[1];
    for (block, first) in [
        (Block::Skirt, choices([("gores-are", "shaped"), ("gores", "9"), ("waist-finish", "facing")])),
        (Block::Circle, choices([("circle", "quarter"), ("waist-finish", "straight band")])),
        (Block::Panel, choices([("shape", "triangle")])),
    ] {
        let once = garment(person, false, block, &[]).build();
        let mut twice = garment(person, false, block, &first);
        twice.works.push(Work::Draft { block, settings: Settings::default() }.into());
        let twice = twice.build();
        assert_eq!(once.draft.pieces, twice.draft.pieces);
        assert_eq!(once.draft.seams, twice.draft.seams);
        assert_eq!(once.draft.promises, twice.draft.promises);
        assert_eq!(once.draft.levels, twice.draft.levels);
        assert_eq!(once.draft.corners, twice.draft.corners);
    }
}

fn anyone() -> impl Strategy<Value = Person> {
    let people = complete();
    (0..people.len()).prop_map(move |i| people[i].clone())
}

fn any_skirt() -> impl Strategy<Value = Asked> {
    let shape = (4u32..=12, 0.6f64..1.6, 0.7f64..1.5, 0.0f64..1.5);
    let flare = prop_oneof![
        (1100.0f64..7000.0, 0.0f64..300.0).prop_map(|(sweep, straight)| (sweep, straight, None)),
        (2000.0f64..3600.0, 850.0f64..1100.0).prop_map(|(sweep, knee)| (sweep, 0.0, Some(knee))),
    ];
    let train = prop_oneof![Just(0.0), 100.0f64..2000.0];
    let raised = prop_oneof![Just(0.0), -60.0f64..-10.0, 10.0f64..80.0];
    (shape, flare, train, raised, (-30.0f64..30.0, -30.0f64..30.0), 0usize..4, 0usize..2).prop_map(
        |((gores, front, back, front_flare), (sweep, straight, knee), train, raised, floors, finish, opening)| Asked {
            gores,
            front,
            back,
            front_flare,
            raised,
            sweep,
            knee,
            straight,
            train,
            floors,
            finish: FINISHES[finish],
            opening: ["centre back", "left side"][opening],
        },
    )
}

/// Whether a refusal is one that nobody could sew: a gore whose seams would have to lie level to reach the hem within the
/// length that flares, or a train much longer than its hem goes round.
fn cannot_be_sewn(built: &Built, asked: &Asked, problem: &str) -> bool {
    let body = |m: Measurement| built.body.get(m).unwrap();
    let widest = asked.front.max(asked.back).max(1.0) * asked.sweep / f64::from(asked.gores);
    // From the floor to the flare point, whichever kind of flare.
    let flared = body(Measurement::OutsideLeg) + 5.0
        - asked.knee.map_or(body(Measurement::WaistToHip) + asked.straight, |_| body(Measurement::WaistToKnee) - 50.0);
    (problem.contains("flatter than level") && (asked.straight > 0.0 || asked.knee.is_some()) && widest > 1.5 * flared)
        || (problem.contains("train") && asked.train > asked.sweep)
}

proptest! {
    #![proptest_config(super::drawn(300))]

    #[test]
    fn any_skirt_on_anyone_is_what_was_asked(person in anyone(), asked in any_skirt()) {
        let built = asked.build(&person);
        match built.outcomes.iter().find_map(|o| o.skipped.as_ref()) {
            Some(refused) => prop_assert!(cannot_be_sewn(&built, &asked, &refused.problem), "{} {asked:?}: {refused}", person.name),
            None => skirt_laws(&format!("{} {asked:?}", person.name), &built, &asked),
        }
    }

    #[test]
    fn any_circle_on_anyone_is_what_was_asked(
        person in anyone(), fraction in 0.4f64..4.0, gather in 1.0f64..3.0, panels in 1u32..12, length in 300.0f64..1100.0, smaller in 0.0f64..3.0,
    ) {
        let list = [
            ("circle", "other".to_owned()), ("fraction", fraction.to_string()), ("gather", gather.to_string()), ("panels", panels.to_string()),
            ("hem", "length".to_owned()), ("length", length.to_string()), ("cut-smaller", smaller.to_string()),
            ("seam-allowance", "10".to_owned()), ("waist-finish", "straight band".to_owned()),
        ];
        let built = garment(&person, false, Block::Circle, &list).build();
        let who = format!("{} {list:?}", person.name);
        sound(&built, &who);
        let panel = piece(&built, "circle panel");
        let n = f64::from(panel.cut().count);
        let waist = built.body.get(Measurement::WaistGirth).unwrap() + 20.0;
        let sewn = waist * gather * (1.0 - smaller / 100.0);
        near("the waist edge", &who, n * edge(panel, "waist"), sewn, ASKED_MM);
        near("the hem", &who, n * edge(panel, "hem"), sewn + TAU * fraction * length, ASKED_MM);
        // Area of a ring's sector: half of both arcs, times the length.
        near("the cloth, in mm² for each mm of length", &who, n * panel.area_mm2() / length, sewn + TAU * fraction * length / 2.0, ASKED_MM);
        near("the band", &who, edge(piece(&built, "circle waistband"), "waist edge"), waist, ASKED_MM);
    }

    #[test]
    fn any_panel_is_what_was_asked(
        seam in 200.0f64..3000.0, ratio in 1.0f64..4.0, length in 300.0f64..1500.0, cloth in 700.0f64..3000.0, spread in 0.0f64..90.0,
    ) {
        let list = |shape: &str, seam: f64| vec![
            ("shape", shape.to_owned()), ("sewn-to", "own length".to_owned()), ("seam-length", seam.to_string()), ("ratio", ratio.to_string()),
            ("hem", "length".to_owned()), ("length", length.to_string()), ("cloth-width", cloth.to_string()), ("spread", spread.to_string()),
        ];
        let person = &complete()[0];
        let built = garment(person, false, Block::Panel, &list("gathered rectangle", seam)).build();
        let who = format!("{:?}", list("rectangle", seam));
        sound(&built, &who);
        let panel = piece(&built, "panel");
        let n = f64::from(panel.cut().count);
        near("the gathered edge", &who, n * edge(panel, "gathered edge"), seam * ratio, ASKED_MM);
        near("the area", &who, n * panel.area_mm2() / length, seam * ratio, ASKED_MM);
        prop_assert!(panel.bounds().width() <= cloth, "one width is wider than the cloth");

        // A triangle no wider than long has room for any of these spreads.
        let seam = seam.min(length / ratio);
        let built = garment(person, false, Block::Panel, &list("triangle", seam)).build();
        sound(&built, &who);
        let panel = piece(&built, "triangle panel");
        near("the triangle's seam edge", &who, edge(panel, "gathered edge"), seam * ratio, ASKED_MM);
        near("its free edges", &who, edge(panel, "left edge"), edge(panel, "right edge"), ASKED_MM);
        // Triangle under the chord, less what the arc hangs below it (segment of a circle).
        let half = (spread.to_radians() / 2.0).max(1e-6);
        let r = seam * ratio / (2.0 * half);
        let (chord, sag) = (2.0 * r * half.sin(), r * (1.0 - half.cos()));
        let segment = r * r * (half - half.sin() * half.cos());
        near("its area", &who, panel.area_mm2() / length, (0.5 * chord * (length + sag) - segment) / length, ASKED_MM);
    }
}
