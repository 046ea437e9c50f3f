//! Gored skirt: from four to twelve equal gores, shaped to the hip and flared to the hem.
//!
//! The gore below the flare point is a sector of a ring, so that its seams are straight, every thread from flare to
//! hem has the same length, and the hem turns square at each seam. Between waist and hip the seam is a cubic whose
//! length is the hip depth, found together with the waist curve by search. The waist end of the seam comes out
//! higher than the middle of the gore, and the hem end too: that is what makes every length the same.

use kurbo::{BezPath, CubicBez, ParamCurve, ParamCurveArclen, Point, Vec2};

use crate::draft::{Corner, Promise};
use crate::geometry::{cubic_length, cubic_path, line_path, root};
use crate::{
    Body, Dart, Draft, DraftError, EdgeRun, Grade, Level, Measurement, Message, Name, PieceBuilder, Role, Seam, Setting, Settings, Span,
};

const GORES: Setting = Setting::count("gores", "Gores", "How many equal gores go round the body.", 6.0, 4.0, 12.0);
const WAIST_FROM: Setting = Setting::choice(
    "waist-from",
    "Waist taken from",
    "The waist seam of the bodice drafted before, or the wearer's waist with its own ease.",
    &["bodice", "measurement"],
);
const WAIST_EASE: Setting =
    Setting::length("waist-ease", "Ease at the waist", "Added to the waist girth where there is no bodice to join.", 20.0, -60.0, 300.0);
const HIP_EASE: Setting = Setting::length("hip-ease", "Ease at the hip", "Added to the hip girth.", 50.0, 0.0, 600.0);
const SWEEP: Setting = Setting::length("sweep", "Sweep", "Length of the finished hem all the way round.", 3200.0, 800.0, 12000.0);
const HEM: Setting =
    Setting::choice("hem", "Hem", "Down to the floor in the shoes of the day, or a length of its own.", &["floor", "length"]);
const LENGTH: Setting =
    Setting::length("length", "Finished length", "From waist to hem, where the hem does not go by the floor.", 700.0, 250.0, 1600.0);
const HEEL: Setting = Setting::length("heel", "Height of heel", "Heel of the shoes it is worn with.", 30.0, 0.0, 200.0);
const CLEARANCE: Setting = Setting::length("clearance", "Clear of the floor", "How far the hem stays off the floor.", 25.0, 0.0, 300.0);
const FLARE: Setting = Setting::length(
    "straight-below-hip",
    "Straight below the hip",
    "How far the gores hang straight below the hip before they flare.",
    0.0,
    0.0,
    800.0,
);
const SEAM_ALLOWANCE: Setting =
    Setting::length("seam-allowance", "Seam allowance", "On the seams between gores and at the waist.", 15.0, 0.0, 50.0);
const HEM_ALLOWANCE: Setting = Setting::length("hem-allowance", "Hem allowance", "Turned up at the hem.", 30.0, 0.0, 100.0);

/// The settings of the skirt.
pub const SETTINGS: &[&Setting] =
    &[&GORES, &WAIST_FROM, &WAIST_EASE, &HIP_EASE, &SWEEP, &HEM, &LENGTH, &HEEL, &CLEARANCE, &FLARE, &SEAM_ALLOWANCE, &HEM_ALLOWANCE];

/// Name of the one piece.
pub const GORE: &str = "gore";

/// What is taken in at one side of a gore before a dart inside it takes the rest; common practice, from memory.
const MOST_INTAKE_MM: f64 = 30.0;

/// One gore's sizes, millimetres.
#[derive(Clone, Copy, Debug)]
pub struct Sizes {
    /// Its share of the finished waist.
    pub waist: f64,
    /// Its share of the finished hip.
    pub hip: f64,
    /// Its share of the sweep.
    pub hem: f64,
    /// Waist to hip along every thread.
    pub hip_depth: f64,
    /// Hip to the flare point.
    pub straight: f64,
    /// Waist to hem along every thread.
    pub length: f64,
}

/// Half of a gore right of its centre line; y down, the hip level's centre at the origin.
#[derive(Clone, Copy, Debug)]
pub struct HalfGore {
    /// Waist curve from the centre outward; its first `dart / 2` belongs to the dart.
    pub waist: CubicBez,
    /// Seam from waist to hip.
    pub hip_seam: CubicBez,
    /// Where the flare begins.
    pub flare: Point,
    /// Where the hem meets the seam.
    pub hem: Point,
    /// Half the angle of the flare, radians.
    pub beta: f64,
    /// Width of the dart in the gore's middle, nought when there is none.
    pub dart: f64,
}

/// Solves a gore. `None` when no curve of these sizes exists.
///
/// Source: closed-form ring sector; hip shaping by two nested searches, our own method.
pub fn solve(s: Sizes) -> Option<HalfGore> {
    let skirt = s.length - s.hip_depth - s.straight;
    if skirt <= 0.0 || s.waist <= 0.0 || s.hip <= 0.0 {
        return None;
    }
    let beta = {
        let b = (s.hem - s.hip) / (2.0 * skirt);
        if b.abs() < 1e-9 { 1e-9 } else { b }
    };
    let r = s.hip / (2.0 * beta);
    // Everything is written without r·cos β − r, which would cancel for a nearly straight gore.
    let on_ring = |radius: f64, at: f64, phi: f64| Point::new(radius * phi.sin(), at - 2.0 * radius * (phi / 2.0).sin().powi(2));
    let flare = on_ring(r, s.straight, beta);
    let hem = on_ring(r + skirt, s.straight + skirt, beta);
    // At the hip the side hangs straight where the flare begins lower down, else it already has the flare's slope.
    let (hip, tilt) = if s.straight > 0.0 { (Point::new(s.hip / 2.0, flare.y - s.straight), 0.0) } else { (flare, beta) };
    let up = Vec2::new(-tilt.sin(), -tilt.cos());

    let dart = if (s.hip - s.waist) / 2.0 > MOST_INTAKE_MM { s.hip - s.waist - 2.0 * MOST_INTAKE_MM * 0.8 } else { 0.0 };
    let half_waist = (s.waist + dart) / 2.0;
    let h = s.hip_depth;
    let top = -h;
    let lean = (s.hip / 2.0 - half_waist) / h;
    let seam = |w: Point| CubicBez::new(w, w + 0.4 * h * Vec2::new(lean.sin(), lean.cos()), hip + 0.4 * h * up, hip);
    let waist = |w: Point| {
        let reach = 0.35 * w.x;
        CubicBez::new(Point::new(0.0, top), Point::new(reach, top), w + reach * Vec2::new(-lean.cos(), lean.sin()), w)
    };
    let mut x = half_waist;
    for _ in 0..60 {
        let y = root(hip.y - 1.05 * h, hip.y - 0.5 * h, |y| cubic_length(&seam(Point::new(x, y))) - h)?;
        let w = Point::new(x, y);
        let off = cubic_length(&waist(w)) - half_waist;
        x -= off;
        if off.abs() < 1e-9 {
            return Some(HalfGore { waist: waist(w), hip_seam: seam(w), flare, hem, beta, dart });
        }
    }
    None
}

/// A circular arc about the ring's centre from `-beta` to `beta`, lowest at `(0, low)`, run from right to left.
fn hem_arc(radius: f64, low: f64, beta: f64) -> BezPath {
    let count = (beta.abs() / 0.13).ceil().max(1.0) as usize;
    let at = |phi: f64| Point::new(radius * phi.sin(), low - 2.0 * radius * (phi / 2.0).sin().powi(2));
    let step = -2.0 * beta / count as f64;
    // Handle of a cubic for an arc of this angle; radial error below 1e-6 of the radius at 15°.
    let handle = 4.0 / 3.0 * (step / 4.0).tan() * radius;
    let cubics: Vec<_> = (0..count)
        .map(|i| {
            let (a, b) = (beta + step * i as f64, beta + step * (i + 1) as f64);
            CubicBez::new(at(a), at(a) + handle * Vec2::new(a.cos(), -a.sin()), at(b) - handle * Vec2::new(b.cos(), -b.sin()), at(b))
        })
        .collect();
    cubic_path(&cubics)
}

/// A curve mirrored about the centre line and run the other way.
fn mirrored(c: CubicBez) -> CubicBez {
    let m = |p: Point| Point::new(-p.x, p.y);
    CubicBez::new(m(c.p3), m(c.p2), m(c.p1), m(c.p0))
}

/// Drafts the skirt.
///
/// # Errors
/// Waist, hip or length to the floor are not known, or the sizes allow no gore.
pub fn draft(body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    let waist_girth = body.need(Measurement::WaistGirth)?;
    let hip_girth = body.need(Measurement::HipGirth)?;
    let hip_depth = body.need(Measurement::WaistToHip)?;
    let n = settings.value(&GORES);
    let shown = |mm: f64| body.unit().rough(mm);
    let joined: Vec<EdgeRun> = ["front", "side front", "back", "side back"]
        .into_iter()
        .filter(|p| settings.word(&WAIST_FROM) == "bodice" && before.piece(p).is_some_and(|p| p.edge("waist").is_some()))
        .map(|p| EdgeRun::new(p, "waist"))
        .collect();
    let waist = if joined.is_empty() {
        waist_girth + settings.value(&WAIST_EASE)
    } else {
        let spans: Vec<_> = joined.iter().map(|r| Span::Edge(r.clone().times(2.0))).collect();
        before.measure_mm(&spans).unwrap_or(waist_girth)
    };
    let hip = hip_girth + settings.value(&HIP_EASE);
    let to_floor = settings.word(&HEM) == "floor";
    let length = if to_floor {
        body.need(Measurement::OutsideLeg)? + settings.value(&HEEL) - settings.value(&CLEARANCE)
    } else {
        settings.value(&LENGTH)
    };
    let (sweep, straight) = (settings.value(&SWEEP), settings.value(&FLARE));
    let sizes = Sizes { waist: waist / n, hip: hip / n, hem: sweep / n, hip_depth, straight, length };
    if length < hip_depth + straight + 50.0 {
        return Err(DraftError::new(
            "skirt",
            format!(
                "a length of {:.1} cm ends above where the flare begins ({:.1} cm below the waist)",
                length / 10.0,
                (hip_depth + straight) / 10.0
            ),
            "Make the skirt longer, or let it flare from higher up.",
        ));
    }
    let half = solve(sizes).ok_or_else(|| {
        DraftError::new(
            "skirt",
            format!("no gore goes from a waist of {} to a hip of {} over {}", shown(waist), shown(hip), shown(hip_depth)),
            "Measure waist to hips again, or choose more gores.",
        )
        .about(&[Measurement::WaistGirth, Measurement::HipGirth, Measurement::WaistToHip])
    })?;

    let mut draft = before.clone();
    let own = |name: &Name| *name == GORE;
    draft.pieces.retain(|p| !own(p.name()));
    draft.seams.retain(|s| !s.a.iter().chain(&s.b).any(|r| own(&r.piece)));
    draft.levels.retain(|l| !matches!(l.name, "skirt waist" | "hip" | "hem"));

    let seam_mm = settings.value(&SEAM_ALLOWANCE);
    let low = length - hip_depth;
    let radius = sizes.hip / (2.0 * half.beta) + low - straight;
    let mirror = |p: Point| Point::new(-p.x, p.y);
    let seam_path = {
        let mut path = cubic_path(&[half.hip_seam]);
        if straight > 0.0 {
            path.line_to(half.flare);
        }
        path.line_to(half.hem);
        path
    };
    let seam_back = {
        let mut path = line_path(mirror(half.hem), mirror(half.flare));
        let up = mirrored(half.hip_seam);
        if straight > 0.0 {
            path.line_to(up.p0);
        }
        path.curve_to(up.p1, up.p2, up.p3);
        path
    };
    let mut piece = PieceBuilder::new(GORE);
    let top = half.waist.p0;
    if half.dart > 0.0 {
        let t = half.waist.inv_arclen(half.dart / 2.0, 1e-9);
        let outer = half.waist.subsegment(t..1.0);
        let tip = Point::new(0.0, top.y + 0.7 * hip_depth);
        let mouth = outer.p0;
        piece = piece
            .part("waist", Role::Seam, seam_mm, cubic_path(&[mirrored(outer)]))
            .line("hip dart leg 1", Role::DartLeg, 0.0, mirror(mouth), tip)
            .line("hip dart leg 2", Role::DartLeg, 0.0, tip, mouth)
            .part("waist", Role::Seam, seam_mm, cubic_path(&[outer]))
            .dart(Dart {
                name: "hip dart".into(),
                leg_a: "hip dart leg 1".into(),
                leg_b: "hip dart leg 2".into(),
                tip,
                pivot: tip,
                pressed_to_a: true,
            });
    } else {
        piece = piece.part("waist", Role::Seam, seam_mm, cubic_path(&[mirrored(half.waist), half.waist]));
    }
    let hip_end = half.hip_seam.p3;
    let hip_line = if straight > 0.0 {
        line_path(mirror(hip_end), hip_end)
    } else {
        crate::geometry::reversed(&hem_arc(sizes.hip / (2.0 * half.beta), 0.0, half.beta))
    };
    let hem_edge = hem_arc(radius, low, half.beta);
    let piece = piece
        .part("right seam", Role::Seam, seam_mm, seam_path)
        .part("hem", Role::Hem, settings.value(&HEM_ALLOWANCE), hem_edge)
        .part("left seam", Role::Seam, seam_mm, seam_back)
        .hidden_point("waist centre", top)
        .hidden_point("hem centre", Point::new(0.0, low))
        .notch("right seam", hip_depth, false)
        .notch("left seam", length - hip_depth, false)
        .marked_line("hip line", hip_line)
        .grain(Point::new(0.0, low - 0.12 * length), Point::new(0.0, top.y + 0.25 * length))
        .cut(n as u32, false)
        .build()?;
    let name = piece.name().clone();
    draft.put(piece);

    draft.seams.push(Seam::plain(EdgeRun::new(GORE, "right seam"), EdgeRun::new(GORE, "left seam")));
    if half.dart > 0.0 {
        draft.seams.push(Seam::plain(EdgeRun::new(GORE, "hip dart leg 1"), EdgeRun::new(GORE, "hip dart leg 2")));
    }
    let all_round = |edge: &str| Span::Edge(EdgeRun::new(GORE, edge).times(n));
    if joined.is_empty() {
        draft.levels.push(Level {
            name: "skirt waist",
            body_mm: waist_girth,
            ease_mm: waist - waist_girth,
            spans: vec![all_round("waist")],
        });
    } else {
        draft.seams.push(Seam { a: joined, b: vec![EdgeRun::new(GORE, "waist").times(n / 2.0)], ease_mm: 0.0 });
    }
    draft.levels.push(Level {
        name: "hip",
        body_mm: hip_girth,
        ease_mm: hip - hip_girth,
        spans: vec![Span::Marked { piece: name.clone(), line: "hip line".into(), times: n }],
    });
    draft.promises.extend([
        Promise {
            what: "gore: seam from waist to hem".into(),
            asked_mm: length,
            spans: vec![Span::Edge(EdgeRun::new(GORE, "right seam"))],
        },
        Promise {
            what: "gore: centre from waist to hem".into(),
            asked_mm: length,
            spans: vec![Span::between(&name, "waist centre", "hem centre", 1.0)],
        },
        Promise { what: "skirt: sweep".into(), asked_mm: sweep, spans: vec![all_round("hem")] },
    ]);
    for (first, second) in [("waist", "right seam"), ("right seam", "hem"), ("hem", "left seam"), ("left seam", "waist")] {
        draft.corners.push(Corner {
            what: format!("gore: {first} at the {second}"),
            of: vec![(name.clone(), first.into(), second.into())],
            degrees: 90.0,
            within: 0.5,
        });
    }
    if to_floor && settings.value(&CLEARANCE) < 20.0 {
        draft.messages.push(Message::new(
            Grade::Caution,
            "gore / hem",
            format!("the hem hangs {} above the floor", shown(settings.value(&CLEARANCE))),
            "Keep it at least 2 cm clear where the wearer meets stairs, doors or lifts, and well away from open flame; ask the venue about its fire rules.",
        ));
    }
    let turn = (sweep - hip) / (length - hip_depth - straight);
    if turn > std::f64::consts::TAU {
        draft.messages.push(Message::new(
            Grade::Note,
            "gore / hem",
            "the sweep is more than a full circle",
            "Nothing to mend; it takes much cloth. Let it hang for a day or more before you level the hem.",
        ));
    }
    Ok(draft)
}
