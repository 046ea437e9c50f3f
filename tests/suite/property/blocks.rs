//! What was asked for comes out: measured here on the pieces' edges and points, apart from the program's own checks.

use draft_core::{Built, Garment, Grade, Measurement};
use proptest::prelude::*;

use crate::bodies::{Person, complete, garment, test_bodies};

/// A finished length is what was asked for within this.
const ASKED_MM: f64 = 0.1;

fn edge(built: &Built, piece: &str, edge: &str) -> f64 {
    let found = built.draft.piece(piece).and_then(|p| p.edge_length_mm(edge));
    found.unwrap_or_else(|| panic!("there is no {piece} / {edge}"))
}

fn x(built: &Built, piece: &str, point: &str) -> f64 {
    built.draft.piece(piece).and_then(|p| p.point(point)).unwrap_or_else(|| panic!("there is no {point} on {piece}")).x
}

fn near(what: &str, who: &str, got: f64, asked: f64, within: f64) {
    assert!((got - asked).abs() <= within, "{who}: {what} is {got:.3} mm, asked {asked:.3} mm");
}

/// Eases and numbers that the laws need, millimetres.
struct Asked {
    neck: f64,
    bust: f64,
    waist: f64,
    hip: f64,
    cap: f64,
    gores: f64,
    sweep: f64,
}

const PLAIN: Asked = Asked { neck: 10.0, bust: 60.0, waist: 40.0, hip: 50.0, cap: 20.0, gores: 6.0, sweep: 3200.0 };

fn laws(who: &str, garment: &Garment, asked: &Asked) {
    let built = garment.build();
    for o in &built.outcomes {
        assert!(o.skipped.is_none(), "{who}: {} was skipped: {:?}", o.what, o.skipped);
    }
    let errors: Vec<_> = built.messages.iter().filter(|m| m.grade == Grade::Error).collect();
    assert!(errors.is_empty(), "{who}: {errors:?}");
    let body = |m: Measurement| built.body.get(m).unwrap_or_else(|| panic!("{who}: no {m:?}"));
    let princess = built.draft.piece("side front").is_some();

    let neck = 2.0 * (edge(&built, "front", "neckline") + edge(&built, "back", "neckline"));
    near("the neckline", who, neck, body(Measurement::NeckBaseGirth) + asked.neck, ASKED_MM);
    let mut waist = edge(&built, "front", "waist") + edge(&built, "back", "waist");
    if princess {
        waist += edge(&built, "side front", "waist");
        near(
            "the princess seam",
            who,
            edge(&built, "side front", "princess seam"),
            edge(&built, "front", "princess seam"),
            draft_core::SEWN_MM,
        );
        // Both panels at the level of the bust points, as they stand in the frame that they were drafted in.
        let front =
            x(&built, "front", "bust point") + x(&built, "side front", "level with bust point") - x(&built, "side front", "bust point");
        near("the bust", who, 2.0 * (front + x(&built, "back", "underarm")), body(Measurement::BustGirth) + asked.bust, ASKED_MM);
    } else {
        near(
            "the bust",
            who,
            2.0 * (x(&built, "front", "underarm") + x(&built, "back", "underarm")),
            body(Measurement::BustGirth) + asked.bust,
            ASKED_MM,
        );
    }
    near("the waist", who, 2.0 * waist, body(Measurement::WaistGirth) + asked.waist, ASKED_MM);
    near("the skirt's waist", who, asked.gores * edge(&built, "gore", "waist"), 2.0 * waist, draft_core::SEWN_MM);
    near("the sweep", who, asked.gores * edge(&built, "gore", "hem"), asked.sweep, ASKED_MM);
    let hip = built.girths.iter().find(|g| g.level == "hip").map(|g| g.finished_mm).unwrap_or_default();
    near("the hip", who, hip, body(Measurement::HipGirth) + asked.hip, ASKED_MM);
    let outer = if princess { "side front" } else { "front" };
    let armhole = edge(&built, outer, "armhole") + edge(&built, "back", "armhole");
    let cap = edge(&built, "sleeve", "front cap") + edge(&built, "sleeve", "back cap");
    near("the cap", who, cap, armhole + asked.cap, ASKED_MM);
    for (seam, walk) in built.draft.seams.iter().zip(&built.walks) {
        let walk = walk.unwrap_or_else(|| panic!("{who}: {:?} is gone", seam.sides()));
        assert!(walk.difference_mm.abs() <= draft_core::SEWN_MM, "{who}: {:?} differ by {}", seam.sides(), walk.difference_mm);
    }
    for (piece, cut) in built.pieces() {
        assert!(draft_core::check::crossing(piece.parts()).is_none(), "{who}: {} crosses itself", piece.name());
        assert!(cut.is_finite(), "{who}: the cut line of {} is no line", piece.name());
        assert!(kurbo::Shape::area(cut).abs() > piece.area_mm2(), "{who}: the cut line of {} lies inside its seam line", piece.name());
    }
}

/// The shoulder dart leaves the front in the frame that it is drafted in, where widths are distances from the centre.
const SHOULDER_DART: (&str, &str, &str) = ("bodice", "bust-dart", "shoulder");
/// All of it: a large one is not split.
const ONE_DART: (&str, &str, &str) = ("bodice", "second-bust-dart", "no");

#[test]
fn the_test_bodies_get_what_was_asked() {
    for person in test_bodies() {
        laws(&person.name, &garment(person.card(), &[SHOULDER_DART, ONE_DART]), &PLAIN);
    }
}

#[test]
fn every_person_of_the_survey_gets_what_was_asked() {
    for person in complete() {
        laws(&person.name, &garment(person.card(), &[SHOULDER_DART, ONE_DART]), &PLAIN);
    }
}

#[test]
fn princess_seams_give_the_same_garment() {
    for person in complete().into_iter().step_by(7) {
        laws(&person.name, &garment(person.card(), &[("bodice", "front", "princess")]), &PLAIN);
    }
}

/// A person of the survey with every reading off by up to 2 %, as tapes are.
pub fn anyone() -> impl Strategy<Value = Person> {
    let people = complete();
    (0..people.len(), proptest::collection::vec(-0.02f64..0.02, people[0].values.len())).prop_map(move |(i, off)| {
        let mut person = people[i].clone();
        for ((_, value), off) in person.values.iter_mut().zip(off) {
            *value *= 1.0 + off;
        }
        person
    })
}

proptest! {
    #![proptest_config(super::drawn(200))]

    #[test]
    fn anyone_with_any_ease_gets_what_was_asked(
        person in anyone(),
        neck in 0.0f64..40.0,
        bust in 0.0f64..160.0,
        waist in 0.0f64..160.0,
        hip in 20.0f64..200.0,
        cap in 0.0f64..45.0,
        gores in 4u32..=12,
        sweep in 1600.0f64..7000.0,
    ) {
        let mm = |v: f64| format!("{v} mm");
        let (neck_t, bust_t, waist_t, hip_t, cap_t, gores_t, sweep_t) =
            (mm(neck), mm(bust), mm(waist), mm(hip), mm(cap), gores.to_string(), mm(sweep));
        let garment = garment(person.card(), &[
            SHOULDER_DART,
            ONE_DART,
            ("bodice", "neck-ease", &neck_t),
            ("bodice", "bust-ease", &bust_t),
            ("bodice", "waist-ease", &waist_t),
            ("skirt", "hip-ease", &hip_t),
            ("skirt", "gores", &gores_t),
            ("skirt", "sweep", &sweep_t),
            ("sleeve", "cap-ease", &cap_t),
        ]);
        laws(&person.name, &garment, &Asked { neck, bust, waist, hip, cap, gores: f64::from(gores), sweep });
    }

    /// Whatever stands on the card, building ends, and says why where it could not draft.
    #[test]
    fn nothing_on_a_card_stops_the_build(texts in proptest::collection::vec("[ -~]{0,8}|[0-9]{1,3}(\\.[0-9])?", Measurement::COUNT)) {
        let mut card = draft_core::WearerCard::default();
        for (which, text) in Measurement::ALL.iter().zip(texts) {
            card.set(*which, draft_core::Take::new(text, draft_core::Unit::Cm));
        }
        let garment = garment(card, &[]);
        let built = garment.build();
        prop_assert_eq!(built.outcomes.len(), garment.works.len());
        for m in &built.messages {
            prop_assert!(!m.place.is_empty() && !m.problem.is_empty() && !m.remedy.is_empty());
        }
    }
}
