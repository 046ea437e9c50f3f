//! Collars of printed lessons of 1918, in inches. The worked examples' rows name the lesson; the metric values were
//! computed from it by us.

use draft_core::{Built, Measurement, geometry};

use crate::bodies::{Person, complete};
use crate::property::collars::{garment, length};

const INCH: f64 = 25.4;
/// Half of the sixteenth of an inch to which a tape of that time is read.
const ROUNDING_MM: f64 = INCH / 32.0;

fn person(which: Measurement, cm: f64) -> Person {
    let mut person = complete()[0].clone();
    person.values.iter_mut().find(|(m, _)| *m == which).unwrap().1 = cm;
    person
}

fn near(what: &str, got: f64, printed: f64, within: f64) {
    assert!((got - printed).abs() <= within, "{what}: {got:.2}, printed {printed:.2}");
}

/// Source: Rosenfeld 1918, lesson 53, as transcribed at en.wikisource (worked examples, row 20): for a neck of 14 in and 1 in
/// of seams a standing collar of 3 in is a strip of 15 by 3 in, its neck edge curved by 1 in.
///
/// The strip's length and height come out of our neckline and settings. The curve does too, when the top is as much
/// shorter as a ring with that rise has it. Taken from the wearer's neck our stand curves less (see the note in the
/// test): the source gives one curve for every neck.
#[test]
fn a_standing_collar_of_fourteen_inches() {
    let (half, height, rise) = (7.0 * INCH, 3.0 * INCH, INCH);
    // The arc of length `half` that rises by `rise`: rise = R(1 − cos(half/R)), solved for R by halving.
    let (mut low, mut high) = (half, 100.0 * half);
    for _ in 0..80 {
        let r = (low + high) / 2.0;
        if r * (1.0 - (half / r).cos()) > rise {
            low = r;
        } else {
            high = r;
        }
    }
    let shorter = 2.0 * half * height / low;
    let (height_text, shorter_text) = (format!("{height} mm"), format!("{shorter} mm"));
    let stand = |top: &str| -> Built {
        garment(
            &person(Measurement::NeckBaseGirth, 14.0 * 2.54),
            &[("neck-ease", "0"), ("opening", "centre front")],
            &[("height", &height_text), ("top-from", top), ("top-shorter", &shorter_text), ("edge-allowance", "12.7")],
            &[],
        )
        .build()
    };
    let risen = |built: &Built| {
        let (front, back) = built.draft.piece("collar").unwrap().edge_ends("neck edge").unwrap();
        back.y - front.y
    };
    let built = stand("length");
    let ends = built.draft.piece("collar").unwrap().edge("front edge").unwrap().allowance_mm;
    near("the strip's length with its seams", 2.0 * (length(&built.draft, "collar", "neck edge") + ends), 15.0 * INCH, ROUNDING_MM);
    near("the strip's height", length(&built.draft, "collar", "centre back"), 3.0 * INCH, ROUNDING_MM);
    near("the curve of the neck edge", risen(&built), INCH, ROUNDING_MM);
    // Another method: from the neck of this wearer with room for two fingers the curve is shallower, yet the same way.
    let from_neck = risen(&stand("neck"));
    assert!(from_neck > 0.0 && from_neck < INCH, "{from_neck}");
}

/// Source: Rosenfeld 1918, lesson 432, "Woman's Flat Collar" at en.wikisource (worked examples, row 21): for a flat collar front and back are joined with the
/// shoulders overlapping by ½ in; it is cut 4 in wide to finish 3 in. On a shoulder of 12.2 cm that turns the front by
/// 6.0° (computed). The source overlaps both ends alike; we turn about the neck point, so that the neck edge keeps its
/// length.
#[test]
fn a_flat_collar_over_joined_shoulders() {
    let across = |overlap: &str| -> (f64, f64) {
        let flat = [("kind", "flat"), ("overlap", overlap), ("width", "76.2"), ("neck-allowance", "12.7"), ("edge-allowance", "12.7")];
        let built = garment(&person(Measurement::ShoulderLength, 12.2), &[("opening", "centre front")], &flat, &[]).build();
        let collar = built.draft.piece("collar").unwrap();
        let front = geometry::start_tangent(&collar.edge_parts("front edge").next().unwrap().path);
        let allowances = collar.edge("neck edge").unwrap().allowance_mm + collar.edge("outer edge").unwrap().allowance_mm;
        (front.atan2().to_degrees(), length(&built.draft, "collar", "centre back") + allowances)
    };
    let ((flat, _), (turned, cut)) = (across("0"), across("12.7"));
    near("degrees by which the front turns", turned - flat, 6.0, 0.05);
    near("the width cut", cut, 4.0 * INCH, ROUNDING_MM);
}
