//! Every form of the bodice on real people: what was asked comes out, and what can't be drafted says so.

use draft_core::{Block, Builder, Built, Garment, Grade, Measurement, Settings, Take, Unit, WearerCard, Work, dart};
use proptest::prelude::*;

use crate::bodies::{Person, complete, garment, setting};

/// A finished length is what was asked for within this.
const ASKED_MM: f64 = 0.1;

/// A form of the bodice: its settings.
type Form = &'static [(&'static str, &'static str)];

const FORMS: &[Form] = &[
    &[("bust-dart", "neckline")],
    &[("bust-dart", "centre front")],
    &[("bust-dart", "armhole"), ("second-bust-dart", "neckline")],
    &[("bust-dart", "waist"), ("second-bust-dart", "shoulder"), ("second-share", "0.3")],
    &[("bust-dart", "side"), ("second-bust-dart", "waist")],
    &[("bust-dart", "none")],
    &[("bust-dart", "side"), ("bust-dart-as", "gathers")],
    &[("bust-dart", "shoulder"), ("bust-dart-as", "gathers")],
    &[("bust-dart", "waist"), ("bust-dart-as", "gathers")],
    &[("bust-dart", "neckline"), ("bust-dart-as", "gathers")],
    &[("centre-front", "seam"), ("opening", "none")],
    &[("front", "princess"), ("back", "princess"), ("back-shoulder", "dart")],
    &[("front", "princess"), ("princess-from", "armhole"), ("back", "princess"), ("back-princess-from", "armhole")],
    &[("front", "darts"), ("back", "princess"), ("back-princess-from", "armhole"), ("back-shoulder", "dart")],
    &[("top", "strapless")],
    &[("top", "strapless"), ("bust-dart", "waist")],
    &[("top", "strapless"), ("bust-dart", "centre front")],
    &[("top", "strapless"), ("bust-dart", "shoulder"), ("bust-dart-as", "gathers")],
    &[("top", "strapless"), ("bust-dart", "none")],
    &[
        ("top", "strapless"),
        ("front", "princess"),
        ("back", "princess"),
        ("bust-ease", "-2 cm"),
        ("underbust-ease", "-2 cm"),
        ("waist-ease", "-5 cm"),
    ],
];

fn bodice(form: &[(&str, &str)]) -> Settings {
    let mut settings = Settings::default();
    for (key, value) in form {
        let setting = setting(Block::Bodice, key);
        settings.set(setting, setting.parse(value, Unit::Cm).unwrap()).unwrap();
    }
    settings
}

fn form_of(card: &WearerCard, form: &[(&str, &str)], others: &[Block]) -> Garment {
    let mut garment = Garment::new("form", card.clone());
    garment.works.push(Work::Draft { block: Block::Bodice, settings: bodice(form) }.into());
    garment.works.extend(others.iter().map(|&block| Work::Draft { block, settings: Settings::default() }.into()));
    garment
}

/// Nothing to mend, and no fault of shape.
fn sound(who: &str, built: &Built) {
    for m in &built.messages {
        let of_shape = ["bends", "grain line", "the angle is", "is sound"].iter().any(|w| m.problem.contains(w));
        assert!(m.grade != Grade::Error && !of_shape, "{who}: {m:?}");
    }
}

fn edge(built: &Built, piece: &str, name: &str) -> f64 {
    built.draft.piece(piece).and_then(|p| p.edge_length_mm(name)).unwrap_or(0.0)
}

fn card_with(person: &Person, more: &[(Measurement, f64)]) -> WearerCard {
    let mut card = person.card();
    for (which, cm) in more {
        card.set(*which, Take::new(cm.to_string(), Unit::Cm));
    }
    card
}

fn cm(person: &Person, which: Measurement) -> f64 {
    person.values.iter().find(|v| v.0 == which).unwrap().1
}

/// The one form that a few bodies do not allow, by name of the reason.
fn refused(built: &Built) -> bool {
    built.outcomes.iter().any(|o| o.skipped.as_ref().is_some_and(|e| e.problem.contains("edges of one length")))
}

#[test]
fn every_form_is_sound_on_real_people() {
    let (mut drafted, mut refusals) = (0, 0);
    for (n, person) in complete().iter().enumerate().filter(|(n, _)| n % 5 == 0) {
        let card = person.card();
        let mut builder = Builder::default();
        for (f, form) in FORMS.iter().enumerate() {
            let strapless = form.contains(&("top", "strapless"));
            // A sleeve and a skirt now and then, for they are sewn to what the bodice became.
            let others: &[Block] = match ((n + f) % 4, strapless) {
                (0, false) => &[Block::Skirt, Block::Sleeve],
                (0, true) => &[Block::Skirt],
                _ => &[],
            };
            let built = builder.build(&form_of(&card, form, others));
            drafted += 1;
            if refused(&built) {
                refusals += 1;
                continue;
            }
            let who = format!("{} {form:?}", person.name);
            assert!(built.outcomes.iter().all(|o| o.skipped.is_none()), "{who}: {:?}", built.outcomes);
            sound(&who, &built);
            for (seam, walk) in built.draft.seams.iter().zip(&built.walks) {
                assert!(walk.is_some_and(|w| w.difference_mm.abs() <= draft_core::SEWN_MM), "{who}: {:?} {walk:?}", seam.sides());
            }
            // Measured here, apart from the promises: what the waist seam takes up once gathers are drawn in.
            let waist: f64 = built
                .draft
                .pieces
                .iter()
                .filter(|p| ["front", "side front", "back", "side back"].iter().any(|n| p.name() == n))
                .map(|p| 2.0 * (p.edge_length_mm("waist").unwrap() - p.taken_up_mm("waist")))
                .sum();
            let ease = if form.contains(&("waist-ease", "-5 cm")) { -50.0 } else { 40.0 };
            let asked = 10.0 * cm(person, Measurement::WaistGirth) + ease;
            if form.contains(&("bust-dart", "none")) {
                assert!(waist >= asked - ASKED_MM, "{who}: {waist} of {asked}");
            } else {
                assert!((waist - asked).abs() <= ASKED_MM, "{who}: {waist} of {asked}");
            }
            let neck = built.girths.iter().any(|g| g.level == "neck");
            assert_eq!(neck, !strapless, "{who}");
        }
    }
    assert!(drafted > 10_000 && refusals * 1000 < drafted, "{refusals} of {drafted} refused");
}

/// Drawn in, an edge with gathers is as long as with the dart sewn.
#[test]
fn gathers_draw_in_to_the_edge_with_the_dart_sewn() {
    for person in complete().iter().step_by(40) {
        for (place, name) in [("side", "side seam"), ("shoulder", "shoulder"), ("neckline", "neckline"), ("waist", "waist")] {
            let form = |sewn| form_of(&person.card(), &[("bust-dart", place), ("second-bust-dart", "no"), ("bust-dart-as", sewn)], &[]);
            let (dart, gathers) = (form("dart").build(), form("gathers").build());
            let front = gathers.draft.piece("front").unwrap();
            let drawn_in = edge(&gathers, "front", name) - front.taken_up_mm(name);
            assert!((drawn_in - edge(&dart, "front", name)).abs() < 1e-3, "{}: {name}", person.name);
            for g in front.gathers() {
                assert!(g.taken_up_mm() > 0.0 && g.to_mm < edge(&gathers, "front", g.edge.as_str()), "{}: {g:?}", person.name);
                let marks = front.notches().iter().filter(|n| n.edge == g.edge);
                assert!(marks.clone().any(|n| n.from_start_mm == g.from_mm) && marks.clone().any(|n| n.from_start_mm == g.to_mm));
            }
        }
    }
}

/// A dart of more than 26 degrees becomes two, of side and shoulder, whose angles add up to it.
#[test]
fn a_large_dart_is_split() {
    let mut large = 0;
    for person in complete() {
        let built = form_of(&person.card(), &[], &[]).build();
        let whole = built.draft.figures.iter().find(|f| f.what == "bust dart").unwrap().value;
        let Some(front) = built.draft.piece("front").filter(|_| built.draft.piece("side front").is_none()) else { continue };
        let bust: Vec<f64> =
            front.darts().iter().filter(|d| d.name.as_str().ends_with("bust dart")).map(|d| angle_deg(front, d.name.as_str())).collect();
        assert_eq!(bust.len(), if whole > 26.0 { 2 } else { usize::from(whole > 0.0) }, "{}", person.name);
        assert!((bust.iter().sum::<f64>() - whole).abs() < 1e-6, "{}: {bust:?} of {whole}", person.name);
        large += usize::from(whole > 26.0);
    }
    assert!(large > 20, "only {large}");
}

fn angle_deg(piece: &draft_core::Piece, name: &str) -> f64 {
    let d = piece.darts().iter().find(|d| d.name == *name).unwrap();
    let (a, _) = piece.edge_ends(d.leg_a.as_str()).unwrap();
    let (_, b) = piece.edge_ends(d.leg_b.as_str()).unwrap();
    let (u, v) = (a - d.pivot, b - d.pivot);
    u.cross(v).atan2(u.dot(v)).abs().to_degrees()
}

/// The tape's own front share of the bust puts the side seam.
#[test]
fn the_front_bust_arc_places_the_side_seam() {
    for person in complete().iter().step_by(60) {
        let plain = form_of(&person.card(), &[("bust-dart", "shoulder"), ("second-bust-dart", "no")], &[]).build();
        let front_mm = |b: &Built| {
            let of = |piece: &str, point: &str| b.draft.piece(piece).unwrap().point(point).unwrap().x;
            if b.draft.piece("side front").is_some() {
                of("front", "bust point") + of("side front", "level with bust point") - of("side front", "bust point")
            } else {
                of("front", "underarm")
            }
        };
        // A little to either side of where our own rule puts it; a quarter of the ease goes with each front half.
        for by in [-0.8, 0.8] {
            let arc = ((2.0 * front_mm(&plain) - 30.0) / 10.0 + by).round();
            let card = card_with(person, &[(Measurement::FrontBustArc, arc)]);
            let built = form_of(&card, &[("bust-dart", "shoulder"), ("second-bust-dart", "no")], &[]).build();
            assert!((2.0 * front_mm(&built) - 30.0 - 10.0 * arc).abs() < ASKED_MM, "{}: {arc}", person.name);
            let bust = built.girths.iter().find(|g| g.level == "bust").unwrap();
            assert!((bust.finished_mm - bust.body_mm - 60.0).abs() < ASKED_MM);
        }
        let card = card_with(person, &[(Measurement::FrontBustArc, cm(person, Measurement::BustGirth) - 21.0)]);
        let built = form_of(&card, &[], &[]).build();
        let told = built.messages.iter().find(|m| m.problem.contains("front bust arc")).unwrap();
        assert!(told.problem.contains("bust girth") && told.problem.contains("is used") && told.remedy.contains("easure"), "{told:?}");
    }
}

/// A centre front that the other lengths contradict is named with them, by how much, and how to check it.
#[test]
fn a_centre_front_that_disagrees_is_named() {
    let person = &complete()[0];
    let drafted = edge(&form_of(&person.card(), &[], &[]).build(), "front", "centre front") / 10.0;
    let told = |cm: f64| {
        let built = form_of(&card_with(person, &[(Measurement::FrontNeckToWaist, cm)]), &[], &[]).build();
        built.messages.iter().find(|m| m.concerns.contains(&Measurement::FrontNeckToWaist) && m.problem.contains("centre front")).cloned()
    };
    assert_eq!(told(drafted + 1.0), None);
    let told = told(drafted + 4.0).unwrap();
    for words in ["front neck point to waist", "side neck point to waist over bust", "4.0 cm shorter", "is used"] {
        assert!(told.problem.contains(words), "{words} is not in {told:?}");
    }
    assert!(told.remedy.contains("pit of the neck"));
}

#[test]
fn a_strapless_bodice_refuses_what_needs_a_neckline_and_says_how_to_breathe() {
    let person = &complete()[0];
    let others = [Block::Sleeve, Block::OverSleeve, Block::Collar, Block::Facing];
    let built = form_of(&person.card(), &[("top", "strapless"), ("bust-ease", "-3 cm"), ("waist-ease", "-5 cm")], &others).build();
    for outcome in &built.outcomes[1..] {
        let why = outcome.skipped.as_ref().unwrap_or_else(|| panic!("{} was drafted", outcome.what));
        assert!(why.problem.contains("strapless") && why.remedy.contains("Top of the bodice"), "{why}");
    }
    for level in ["bust", "waist"] {
        let caution = built.messages.iter().find(|m| m.grade == Grade::Caution && m.place.contains(level)).unwrap();
        assert!(caution.problem.contains("smaller than the body, too tight to breathe"), "{caution:?}");
    }
    assert!(built.messages.iter().any(|m| m.grade == Grade::Caution && m.remedy.contains("come out of it quickly")));
    // From the bust point to the edge, and the centres, as asked: 7.5 cm, 4 cm above the bust point, 2 cm below the underarm.
    let top = draft_core::geometry::start(&built.draft.piece("front").unwrap().edge_parts("top edge").next().unwrap().path).unwrap();
    let bust = built.draft.piece("front").unwrap().point("centre at bust point").unwrap();
    assert!((bust.y - top.y - 40.0).abs() < ASKED_MM, "{top:?} {bust:?}");
}

/// A person whose right side differs: shoulders, lengths and arm.
fn lopsided(person: &Person, more_cm: &[(Measurement, f64)]) -> WearerCard {
    let mut card = person.card();
    for &(which, by) in more_cm {
        card.set_right(which, Take::new((cm(person, which) + by).to_string(), Unit::Cm));
    }
    card
}

#[test]
fn halves_drafted_apart_make_one_garment() {
    use Measurement::*;
    let apart = [(ShoulderLength, 0.8), (ShoulderSlope, 3.0), (NeckToBustPoint, 0.7), (FrontWaistLength, 1.2), (UpperArmGirth, 1.5)];
    let forms: [Form; 4] = [
        &[],
        &[("front", "princess"), ("back", "princess"), ("princess-from", "armhole")],
        &[("bust-dart", "centre front")],
        &[("opening", "none"), ("back-shoulder", "dart")],
    ];
    for (n, person) in complete().iter().enumerate().step_by(30) {
        let card = lopsided(person, &apart);
        let form = forms[n / 30 % forms.len()];
        let built = form_of(&card, form, &[Block::Skirt, Block::Sleeve, Block::Facing]).build();
        let who = format!("{} {form:?}", person.name);
        if refused(&built) {
            continue;
        }
        assert!(built.outcomes.iter().all(|o| o.skipped.is_none()), "{who}: {:?}", built.outcomes);
        sound(&who, &built);
        for (seam, walk) in built.draft.seams.iter().zip(&built.walks) {
            assert!(walk.is_some_and(|w| w.difference_mm.abs() <= draft_core::SEWN_MM), "{who}: {:?} {walk:?}", seam.sides());
        }
        let both = |piece: &str, name: &str| edge(&built, &format!("left {piece}"), name) + edge(&built, &format!("right {piece}"), name);
        let neck = both("front", "neckline") + both("back", "neckline");
        assert!((neck - 10.0 * cm(person, NeckBaseGirth) - 10.0).abs() < ASKED_MM, "{who}: {neck}");
        let waist = both("front", "waist") + both("side front", "waist") + both("back", "waist") + both("side back", "waist");
        assert!((waist - 10.0 * cm(person, WaistGirth) - 40.0).abs() < ASKED_MM, "{who}: {waist}");
        for (piece, name) in [("front", "centre front"), ("back", "centre back")] {
            let (left, right) = (edge(&built, &format!("left {piece}"), name), edge(&built, &format!("right {piece}"), name));
            assert!((left - right).abs() < ASKED_MM, "{who}: {name} {left} and {right}");
        }
        assert!(built.draft.pieces.iter().all(|p| p.name() == "gore" || (p.cut().count == 1 && !p.cut().pairs && p.fold().is_none())));
        // Mirrored: the left back lies to the left of its centre, the right one to the right.
        let middle = |piece: &str| built.draft.piece(piece).unwrap().bounds().center().x;
        assert!(middle("left back") < 0.0 && middle("right back") > 0.0 && middle("left front") > 0.0 && middle("right front") < 0.0);
    }
}

/// Sides that differ by no more than the setting, or where both are typed alike, are drafted as one.
#[test]
fn sides_a_little_apart_are_drafted_alike() {
    let person = &complete()[3];
    let plain = form_of(&person.card(), &[], &[]).build();
    let little = form_of(&lopsided(person, &[(Measurement::ShoulderLength, 0.4), (Measurement::ShoulderSlope, 1.5)]), &[], &[]).build();
    assert_eq!(plain.draft.pieces, little.draft.pieces);
    let more = lopsided(person, &[(Measurement::ShoulderLength, 0.6)]);
    assert!(form_of(&more, &[], &[]).build().draft.piece("left front").is_some());
    assert!(form_of(&more, &[("sides-apart", "1 cm")], &[]).build().draft.piece("front").is_some());
    let collar = form_of(&more, &[], &[Block::Collar]).build();
    assert!(collar.outcomes[1].skipped.as_ref().is_some_and(|e| e.remedy.contains("Halves apart from")), "{:?}", collar.outcomes);
    // What has no sides, or was not taken on the left, is refused by name.
    let mut odd = person.card();
    odd.set_right(Measurement::WaistGirth, Take::new("70", Unit::Cm));
    assert!(form_of(&odd, &[], &[]).build().messages.iter().any(|m| m.problem.contains("no left and right side")));
}

proptest! {
    #![proptest_config(super::drawn(100))]

    /// Part of a dart opened elsewhere: angles add, edges keep their lengths, legs match, the fold caps meet the mouths.
    #[test]
    fn a_dart_split_in_two_keeps_what_it_must(who in 0usize..3000, edge in 0usize..4, at in 0.1f64..0.9, share in 0.1f64..0.9) {
        let people = complete();
        let built = garment(people[who % people.len()].card(), &[("bodice", "bust-dart", "shoulder"), ("bodice", "second-bust-dart", "no")]).build();
        let front = built.draft.piece("front").unwrap();
        prop_assume!(front.darts().iter().any(|d| d.name == "bust dart"));
        let to = ["side seam", "armhole", "neckline", "waist"][edge];
        let length = front.edge_length_mm(to).unwrap();
        let place = dart::Place { edge: to, from_start_mm: at * length, short_of_pivot: 22.0, pressed_to_a: true };
        match dart::split(front, "bust dart", "second", share, &place) {
            Ok(two) => {
                let whole = angle_deg(front, "bust dart");
                prop_assert!((angle_deg(&two, "bust dart") - (1.0 - share) * whole).abs() < 1e-6);
                prop_assert!((angle_deg(&two, "second") - share * whole).abs() < 1e-6);
                for e in front.edges().iter().filter(|e| e.role != draft_core::Role::DartLeg) {
                    let (before, after) = (front.edge_length_mm(e.name.as_str()).unwrap(), two.edge_length_mm(e.name.as_str()).unwrap());
                    prop_assert!((before - after).abs() < 1e-3, "{} was {before} and is {after}", e.name);
                }
                let area = |p: &draft_core::Piece| super::darts::area_to_pivots(p);
                prop_assert!((area(front) - area(&two)).abs() < 0.5, "{} and {}", area(front), area(&two));
                for d in two.darts() {
                    let leg = |n: &draft_core::Name| two.edge_length_mm(n.as_str()).unwrap();
                    prop_assert!((leg(&d.leg_a) - leg(&d.leg_b)).abs() < 1e-6);
                    let (mouth, _) = two.edge_ends(d.leg_a.as_str()).unwrap();
                    if let Some(cap) = draft_core::allowance::dart_cap(&two, d) {
                        prop_assert!(draft_core::geometry::start(&cap).unwrap().distance(mouth) < 1.0, "the cap of {} starts elsewhere", d.name);
                    }
                }
                // The rest sent after it gives the same piece as the whole dart moved there at once.
                let rest = dart::joined(&two, "bust dart", "second", 22.0).unwrap();
                let once = dart::moved(front, "bust dart", to, at * length, 22.0, true).unwrap();
                prop_assert!((angle_deg(&rest, "second") - whole).abs() < 1e-6);
                prop_assert!((rest.area_mm2() - once.area_mm2()).abs() < 0.5, "{} and {}", rest.area_mm2(), once.area_mm2());
            }
            Err(e) => prop_assert!(e.problem.contains("too near"), "{e}"),
        }
    }
}
