//! Collars and facings fit the neckline and the armhole as they are, also after someone has redrawn them.

use draft_core::{Block, Body, Built, Draft, Garment, Grade, Measurement, Part, Piece, Settings, Unit, Work, check, geometry};
use kurbo::{BezPath, ParamCurve, ParamCurveNearest, Point, Shape, Vec2};

use crate::bodies::{Person, complete, setting};

const ASKED_MM: f64 = 0.1;

pub fn settings(block: Block, choices: &[(&str, &str)]) -> Settings {
    let mut settings = Settings::default();
    for (key, value) in choices {
        let setting = setting(block, key);
        settings.set(setting, setting.parse(value, Unit::Mm).unwrap()).unwrap();
    }
    settings
}

/// A bodice, a collar and facings.
pub fn garment(person: &Person, bodice: &[(&str, &str)], collar: &[(&str, &str)], facing: &[(&str, &str)]) -> Garment {
    let mut garment = Garment::new("test", person.card());
    for (block, choices) in [(Block::Bodice, bodice), (Block::Collar, collar), (Block::Facing, facing)] {
        garment.works.push(Work::Draft { block, settings: settings(block, choices) }.into());
    }
    garment
}

pub fn length(draft: &Draft, piece: &str, edge: &str) -> f64 {
    draft.piece(piece).and_then(|p| p.edge_length_mm(edge)).unwrap_or_else(|| panic!("there is no {piece} / {edge}"))
}

fn near(what: &str, who: &str, got: f64, asked: f64, within: f64) {
    assert!((got - asked).abs() <= within, "{who}: {what} is {got:.3}, asked {asked:.3}");
}

fn sound(built: &Built, who: &str) {
    for o in &built.outcomes {
        assert!(o.skipped.is_none(), "{who}: {} was skipped: {:?}", o.what, o.skipped);
    }
    let ours = |place: &str| place.contains("collar") || place.contains("facing");
    let bad: Vec<_> = built.messages.iter().filter(|m| m.grade == Grade::Error || (m.grade == Grade::Warning && ours(&m.place))).collect();
    assert!(bad.is_empty(), "{who}: {bad:?}");
    for (seam, walk) in built.draft.seams.iter().zip(&built.walks) {
        let walk = walk.unwrap_or_else(|| panic!("{who}: {:?} is gone", seam.sides()));
        assert!(walk.difference_mm.abs() <= draft_core::SEWN_MM, "{who}: {:?} differ by {}", seam.sides(), walk.difference_mm);
    }
    for (piece, _) in built.pieces() {
        assert!(check::crossing(piece.parts()).is_none(), "{who}: {} crosses itself", piece.name());
        assert!(piece.outline().area() > 0.0, "{who}: the outline of {} does not run clockwise", piece.name());
        let (a, b) = (piece.grain().p0, piece.grain().p1);
        assert!(
            !ours(piece.name().as_str()) || piece.outline().winding(a) != 0 && piece.outline().winding(b) != 0,
            "{who}: the grain line of {} leaves it",
            piece.name()
        );
    }
}

/// How an edge turns from its first direction to its last, radians between 0 and 2π, counter-clockwise as seen.
fn turns(piece: &Piece, edge: &str) -> f64 {
    let parts: Vec<_> = piece.edge_parts(edge).collect();
    let (a, b) = (geometry::start_tangent(&parts[0].path), geometry::end_tangent(&parts[parts.len() - 1].path));
    (a.atan2() - b.atan2()).rem_euclid(std::f64::consts::TAU)
}

const DARTS: [&[(&str, &str)]; 6] = [
    &[("bust-dart", "side")],
    &[("bust-dart", "shoulder")],
    &[("bust-dart", "armhole"), ("opening", "centre front")],
    &[("bust-dart", "waist")],
    &[("front", "princess")],
    &[("front", "princess"), ("opening", "none")],
];

#[test]
fn a_stand_is_as_long_as_the_neckline_of_every_person() {
    for (i, person) in complete().iter().enumerate() {
        let who = person.name.as_str();
        let shape = [
            &[("front-edge", "square")][..],
            &[("front-edge", "rounded"), ("height", "55")],
            &[("centre-back", "split"), ("front-edge", "fold"), ("height", "70"), ("zip-gap", "3")],
        ];
        let built = garment(person, DARTS[i % 6], shape[i % 3], &[]).build();
        sound(&built, who);
        let d = &built.draft;
        let split = i % 3 == 2 || d.piece("back").unwrap().fold().is_none();
        let gap = match (i % 3, split) {
            (2, _) => 3.0,
            (_, true) => 2.0,
            (_, false) => 0.0,
        };
        let height = [35.0, 55.0, 70.0][i % 3];
        let neckline = length(d, "back", "neckline") + length(d, "front", "neckline");
        near("the neck edge", who, length(d, "collar", "neck edge"), neckline - gap, ASKED_MM);
        near("the under collar", who, length(d, "under collar", "neck edge"), neckline - gap, ASKED_MM);
        near("the height", who, length(d, "collar", "centre back"), height, ASKED_MM);
        near("the height under", who, length(d, "under collar", "centre back"), height - 1.5, ASKED_MM);
        if i % 3 != 1 {
            let body = |m| built.body.get(m).unwrap();
            let (root, neck) = (body(Measurement::NeckBaseGirth), body(Measurement::NeckGirth));
            let asked = root + (neck - root) * height / 70.0 + 20.0;
            near("the top", who, 2.0 * (length(d, "collar", "top edge") + gap), asked, ASKED_MM);
        }
    }
}

#[test]
fn a_flat_collar_is_as_long_as_the_neckline_of_every_person_and_fans_out_evenly() {
    for (i, person) in complete().iter().enumerate() {
        let who = person.name.as_str();
        let shape = [
            &[("front-edge", "square")][..],
            &[("front-edge", "rounded"), ("width", "90")],
            &[("centre-back", "split"), ("front-edge", "fold"), ("overlap", "30"), ("width", "120")],
            &[("front-edge", "square"), ("overlap", "0"), ("stretch", "0"), ("width", "160")],
        ];
        let mut choices = shape[i % 4].to_vec();
        choices.push(("kind", "flat"));
        let built = garment(person, DARTS[i % 6], &choices, &[]).build();
        sound(&built, who);
        let d = &built.draft;
        let split = i % 4 == 2 || d.piece("back").unwrap().fold().is_none();
        let short = if split { 2.0 } else { 0.0 } + if i % 4 == 3 { 0.0 } else { 3.0 };
        let neckline = length(d, "back", "neckline") + length(d, "front", "neckline");
        let (neck, width) = (length(d, "collar", "neck edge"), [65.0, 90.0, 120.0, 160.0][i % 4]);
        near("the neck edge", who, neck, neckline - short, ASKED_MM);
        near("the under collar", who, length(d, "under collar", "neck edge"), neckline - short, ASKED_MM);
        near("the width", who, length(d, "collar", "centre back"), width, ASKED_MM);
        if i % 4 != 1 && !split {
            // A parallel is longer by its distance times the turning (Steiner), so the cloth fans out evenly.
            let fanned = neck + width * turns(d.piece("collar").unwrap(), "neck edge");
            near("the outer edge", who, length(d, "collar", "outer edge"), fanned, ASKED_MM);
        }
    }
}

/// Points along a path, about 5 mm apart.
fn points(path: &BezPath) -> Vec<Point> {
    path.segments()
        .flat_map(|s| {
            let n = (geometry::segment_length(&s) / 5.0).ceil() as usize;
            (0..n).map(move |k| s.eval((k as f64 + 0.5) / n as f64))
        })
        .collect()
}

fn distance(path: &BezPath, p: Point) -> f64 {
    path.segments().map(|s| s.nearest(p, 1e-6).distance_sq).fold(f64::INFINITY, f64::min).sqrt()
}

fn edge_path(piece: &Piece, edge: &str) -> BezPath {
    let mut out = BezPath::new();
    for part in piece.edge_parts(edge) {
        out.extend(part.path.elements().iter().copied());
    }
    out
}

#[test]
fn facings_lie_on_the_bodice_and_meet_at_shoulder_and_side() {
    for (i, person) in complete().iter().enumerate() {
        let who = person.name.as_str();
        let choices = [
            &[("edges", "both")][..],
            &[("edges", "both"), ("merge-below", "250")],
            &[("edges", "neck"), ("depth", "60")],
            &[("edges", "armhole"), ("depth", "50")],
            &[("edges", "both"), ("depth", "90")],
        ];
        let built = garment(person, DARTS[i % 6], &[], choices[i % 5]).build();
        sound(&built, who);
        let d = &built.draft;
        assert_eq!(d.piece("front facing").is_some(), i % 5 == 1, "{who}");
        for name in ["front neck facing", "back neck facing"] {
            let Some(facing) = d.piece(name) else { continue };
            let piece = d.piece(name.split(' ').next().unwrap()).unwrap();
            let (outline, neckline) = (piece.outline(), edge_path(piece, "neckline"));
            // The front with the dart out of the way lies as it was drafted, so the facing must lie on it.
            if i % 6 != 1 && i % 6 < 4 {
                for p in points(&facing.outline()) {
                    assert!(outline.winding(p) != 0 || distance(&outline, p) < 0.05, "{who}: {name} leaves the bodice at {p:?}");
                }
            }
            for p in points(&edge_path(facing, "neck edge")) {
                near("the faced edge inside the neckline", who, distance(&neckline, p), 1.5, 0.05);
            }
            if i % 5 == 2 {
                // Necklines are square to the centre and within 3° of square to the shoulder.
                for p in points(&edge_path(facing, "inner edge")) {
                    near("the depth", who, distance(&neckline, p), 60.0, 1.0);
                }
            }
        }
    }
}

/// The piece with one edge drawn anew; its ends stay on their lines.
fn redrawn(piece: &Piece, edge: &str, path: BezPath) -> Piece {
    let at = piece.edges().iter().position(|e| e.name == *edge).unwrap();
    let (from, to) = (geometry::start(&path).unwrap(), geometry::end(&path).unwrap());
    let mut parts: Vec<Part> = piece.parts().to_vec();
    let (first, last) = (parts.iter().position(|p| p.edge == at).unwrap(), parts.iter().rposition(|p| p.edge == at).unwrap());
    let count = parts.len();
    let before = (first + count - 1) % count;
    let after = (last + 1) % count;
    parts[before].path = geometry::line_path(geometry::start(&parts[before].path).unwrap(), from);
    parts[after].path = geometry::line_path(to, geometry::end(&parts[after].path).unwrap());
    parts[first].path = path;
    parts.drain(first + 1..=last);
    piece.to_builder().reshaped(parts, piece.darts().to_vec(), piece.points().to_vec(), piece.lines().to_vec()).build().unwrap()
}

/// Wider, lower necklines: a scoop, a point, a square.
fn necklines(front: &Piece, back: &Piece) -> Vec<(&'static str, Piece, Piece)> {
    let place = |piece: &Piece, lower: f64| {
        let (centre, _) = piece.edge_ends("neckline").unwrap();
        let tip = piece.along_edge("shoulder", 0.45 * piece.edge_length_mm("shoulder").unwrap()).unwrap().0;
        (centre + Vec2::new(0.0, lower), tip)
    };
    let scoop = |piece: &Piece, lower: f64| {
        let (a, b) = place(piece, lower);
        let mut path = BezPath::new();
        path.move_to(a);
        path.curve_to(a + Vec2::new(0.6 * (b.x - a.x), 0.0), b + Vec2::new(-0.15 * (b.x - a.x), 0.5 * (a.y - b.y)), b);
        redrawn(piece, "neckline", path)
    };
    let pointed = |piece: &Piece, lower: f64| {
        let (a, b) = place(piece, lower);
        redrawn(piece, "neckline", geometry::line_path(a, b))
    };
    let square = |piece: &Piece, lower: f64| {
        let (a, b) = place(piece, lower);
        let mut path = geometry::line_path(a, Point::new(b.x - 10.0, a.y));
        path.line_to(b);
        redrawn(piece, "neckline", path)
    };
    vec![
        ("scoop", scoop(front, 40.0), scoop(back, 20.0)),
        ("point", pointed(front, 90.0), scoop(back, 20.0)),
        ("square", square(front, 30.0), square(back, 30.0)),
    ]
}

#[test]
fn a_redrawn_neckline_is_followed() {
    for person in complete().iter().step_by(37) {
        let built = garment(person, &[("opening", "centre front")], &[], &[]).build();
        let (front, back) = (built.draft.piece("front").unwrap(), built.draft.piece("back").unwrap());
        for (shape, front, back) in necklines(front, back) {
            let who = format!("{} with a {shape}", person.name);
            let mut draft = Draft::clone(&built.draft);
            draft.put(front);
            draft.put(back);
            let half = length(&draft, "front", "neckline") + length(&draft, "back", "neckline");
            let body: &Body = &built.body;
            let stale = draft.seams.iter().any(|s| {
                s.a.iter().chain(&s.b).any(|r| r.piece == "collar")
                    && s.walk(|n| draft.piece(n.as_str())).is_some_and(|w| w.difference_mm.abs() > draft_core::SEWN_MM)
            });
            assert!(stale, "{who}: the seam check sees that the old collar no longer fits");
            for collar in [&[("kind", "flat")][..], &[("kind", "flat"), ("front-edge", "rounded"), ("width", "100")], &[("height", "40")]] {
                let made = Block::Collar.draft(body, &settings(Block::Collar, collar), &draft).unwrap_or_else(|e| panic!("{who}: {e}"));
                let short = if collar[0].0 == "kind" { 3.0 } else { 0.0 };
                near("the neck edge", &who, length(&made, "collar", "neck edge"), half - short, ASKED_MM);
                near("the under collar", &who, length(&made, "under collar", "neck edge"), half - short, ASKED_MM);
                for seam in &made.seams {
                    if seam.a.iter().chain(&seam.b).any(|r| r.piece == "collar" || r.piece == "under collar") {
                        let walk = seam.walk(|n| made.piece(n.as_str())).unwrap();
                        assert!(walk.difference_mm.abs() < ASKED_MM, "{who}: {:?} {walk:?}", seam.sides());
                    }
                }
            }
            let made = Block::Facing.draft(body, &settings(Block::Facing, &[("edges", "both"), ("merge-below", "100")]), &draft);
            let made = made.unwrap_or_else(|e| panic!("{who}: {e}"));
            let facing = made.piece("front facing").unwrap_or_else(|| panic!("{who}: the narrow strap has one facing"));
            assert!(check::crossing(facing.parts()).is_none(), "{who}");
        }
    }
}

#[test]
fn a_changed_neck_measurement_is_followed_through_the_work_list() {
    let person = &complete()[0];
    let mut garment = garment(person, &[], &[("kind", "flat")], &[]);
    let before = garment.build();
    garment.wearer.set(Measurement::NeckBaseGirth, draft_core::Take::new("41", Unit::Cm));
    let after = garment.build();
    let neck = |b: &Built| length(&b.draft, "collar", "neck edge");
    assert!(neck(&after) > neck(&before) + 10.0);
    sound(&after, "with a wider neck");
}

#[test]
fn without_a_neckline_the_reason_is_named() {
    let mut garment = garment(&complete()[0], &[], &[], &[]);
    garment.works[0].on = false;
    let built = garment.build();
    for outcome in &built.outcomes[1..] {
        let e = outcome.skipped.as_ref().unwrap();
        assert!(e.problem.contains("neckline") && e.remedy.contains("bodice"), "{e}");
    }
}

#[test]
fn a_collar_that_cannot_open_is_refused() {
    let garment = garment(&complete()[0], &[], &[("centre-back", "whole"), ("front-edge", "fold")], &[]);
    let e = garment.build().outcomes[1].skipped.clone().unwrap();
    assert!(e.problem.contains("opened"), "{e}");
}

/// Our own number, from the drafting text: a half neckline of 19 cm, a top of 18.2 cm and a height of 3.5 cm give a
/// ring of radius 83.1 cm and a rise of 2.16 cm at the front.
#[test]
fn the_stand_of_the_drafting_text() {
    let mut person = complete()[0].clone();
    person.values.iter_mut().find(|(m, _)| *m == Measurement::NeckBaseGirth).unwrap().1 = 37.0;
    let stand = [("centre-back", "whole"), ("top-from", "length"), ("top-shorter", "16"), ("height", "35")];
    let built = garment(&person, &[("neck-ease", "10"), ("opening", "centre front")], &stand, &[]).build();
    let collar = built.draft.piece("collar").unwrap();
    near("the top", "stand", 2.0 * length(&built.draft, "collar", "top edge"), 364.0, ASKED_MM);
    let (front, back) = collar.edge_ends("neck edge").unwrap();
    near("the rise", "stand", back.y - front.y, 21.6, 0.05);
    // A chord of a circle spans from the back to the front, level at the back: c² = 2·R·rise.
    let chord = front.distance(back);
    near("the radius", "stand", chord * chord / (2.0 * (back.y - front.y)), 831.0, 0.5);
}
