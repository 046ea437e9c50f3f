#![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

use kurbo::{Arc, BezPath, CubicBez, ParamCurve, ParamCurveArclen, ParamCurveNearest, Point, Shape, Vec2};
use proptest::prelude::*;

use super::*;
use crate::geometry;

/// Numbers that look random and are the same at every run (a 64-bit linear congruence; Knuth's multiplier, from memory).
struct Dice(u64);

impl Dice {
    fn part(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 11) as f64) / ((1u64 << 53) as f64)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.part()
    }

    fn sign(&mut self) -> f64 {
        if self.part() < 0.5 { -1.0 } else { 1.0 }
    }

    /// Any place within a circle, each as likely as the next.
    fn within(&mut self, radius: f64) -> Vec2 {
        let far = radius * self.part().sqrt();
        Vec2::from_angle(self.between(0.0, std::f64::consts::TAU)) * far
    }
}

/// An arc of an ellipse, as armholes and necklines have: at most a half, in one cubic for each quarter.
fn arc(dice: &mut Dice) -> BezPath {
    let radii = Vec2::new(dice.between(40.0, 160.0), dice.between(40.0, 160.0));
    let sweep = dice.between(0.6, 3.1) * dice.sign();
    let arc = Arc::new((0.0, 0.0), radii, dice.between(0.0, 6.2), sweep, dice.between(0.0, 3.1));
    arc.to_path(0.05)
}

/// Cubics whose bend grows along the way, as the edge of a French curve: one to three that go on in one direction.
fn french(dice: &mut Dice) -> BezPath {
    let mut path = BezPath::new();
    let (mut at, mut angle) = (Point::ZERO, dice.between(0.0, 6.2));
    path.move_to(at);
    let hand = dice.sign();
    for i in 0..1 + (dice.part() * 3.0) as usize {
        let chord = dice.between(80.0, 180.0);
        let turn = dice.between(0.15, 1.3) * if i == 2 { -hand } else { hand };
        let to = at + Vec2::from_angle(angle + turn * dice.between(0.35, 0.6)) * chord;
        let (near, far) = (dice.between(0.25, 0.45), dice.between(0.25, 0.45));
        path.curve_to(at + Vec2::from_angle(angle) * chord * near, to - Vec2::from_angle(angle + turn) * chord * far, to);
        (at, angle) = (to, angle + turn);
    }
    path
}

fn straight(dice: &mut Dice) -> BezPath {
    let to = Vec2::from_angle(dice.between(0.0, 6.2)) * dice.between(60.0, 600.0);
    kurbo::Line::new(Point::ZERO, to.to_point()).to_path(0.1)
}

/// Another curve set onto the end of a first so that they meet at a corner.
fn cornered(dice: &mut Dice) -> BezPath {
    let mut path = if dice.part() < 0.5 { straight(dice) } else { arc(dice) };
    let next = if dice.part() < 0.5 { straight(dice) } else { arc(dice) };
    let turn = dice.between(45.0, 120.0).to_radians() * dice.sign();
    let by = geometry::end_tangent(&path).atan2() + turn - geometry::start_tangent(&next).atan2();
    let turned = kurbo::Affine::rotate(by) * next;
    let moved = kurbo::Affine::translate(geometry::end(&path).unwrap() - geometry::start(&turned).unwrap()) * turned;
    path.extend(moved.elements().iter().skip(1).copied());
    path
}

/// A hand speeds up and slows down by no more than this, mm/s² (an order of magnitude, from memory): it can't turn a sharp
/// corner at full speed.
const HAND_MM_S2: f64 = 4000.0;

/// The samples of a hand that follows a curve: 120 each second, at a speed between 150 and 400 mm/s that falls toward
/// corners and ends.
fn stroke(dice: &mut Dice, path: &BezPath, jitter_mm: f64) -> Vec<Point> {
    let top = dice.between(150.0, 400.0);
    let segments: Vec<_> = path.segments().collect();
    let lengths: Vec<f64> = segments.iter().map(|s| s.arclen(1e-6)).collect();
    let all: f64 = lengths.iter().sum();
    let mut stops = vec![0.0, all];
    let mut far = 0.0;
    for (i, pair) in segments.windows(2).enumerate() {
        far += lengths[i];
        if geometry::tangent(&pair[0], 1.0).dot(geometry::tangent(&pair[1], 0.0)) < 0.95 {
            stops.push(far);
        }
    }
    let mut out = Vec::new();
    let mut at = 0.0;
    while at < all {
        let (mut i, mut within) = (0, at);
        while within > lengths[i] && i + 1 < lengths.len() {
            within -= lengths[i];
            i += 1;
        }
        out.push(segments[i].eval(segments[i].inv_arclen(within, 1e-6)) + dice.within(jitter_mm));
        let stop = stops.iter().map(|s| (s - at).abs()).fold(f64::INFINITY, f64::min);
        let speed = top.min((2.0 * HAND_MM_S2 * stop).sqrt().max(40.0));
        at += speed / 120.0 * dice.between(0.8, 1.2);
    }
    out.push(geometry::end(path).unwrap() + dice.within(jitter_mm));
    out
}

/// How far apart two lines run at most, looked at from both.
fn apart(a: &BezPath, b: &BezPath) -> f64 {
    let from = |a: &BezPath, b: &BezPath| {
        let points = geometry::flattened(a, 0.005);
        let even = points.windows(2).flat_map(|w| {
            let steps = (w[0].distance(w[1]) / 0.5).ceil().max(1.0) as usize;
            (0..=steps).map(move |i| w[0].lerp(w[1], i as f64 / steps as f64))
        });
        even.map(|p| b.segments().map(|s| s.nearest(p, 1e-4).distance_sq).fold(f64::INFINITY, f64::min).sqrt()).fold(0.0, f64::max)
    };
    from(a, b).max(from(b, a))
}

#[test]
fn two_hundred_known_curves_come_back_from_strokes_that_jitter() {
    let mut dice = Dice(20_261_125);
    let (mut worst, mut sum, mut failed) = (0.0f64, 0.0, Vec::new());
    for i in 0..200 {
        let (kind, known) = match i % 4 {
            0 => ("arc", arc(&mut dice)),
            1 => ("french curve", french(&mut dice)),
            2 => ("straight line", straight(&mut dice)),
            _ => ("corner", cornered(&mut dice)),
        };
        let drawn = stroke(&mut dice, &known, 0.5);
        let fair = fair(&drawn, 0.5).unwrap();
        let (off, count, most) = (apart(&fair.path, &known), fair.count(), 2 * known.segments().count());
        worst = worst.max(off);
        sum += off;
        if off > 0.7 || count > most {
            failed.push(format!(
                "{i} {kind}: {off:.2} mm off, {count} cubics of at most {most}, {} samples, corners {:?}",
                drawn.len(),
                fair.corners
            ));
        }
    }
    let mean = sum / 200.0;
    assert!(failed.is_empty(), "{} of 200, worst {worst:.2} mm, mean {mean:.2} mm:\n{}", failed.len(), failed.join("\n"));
}

#[test]
fn a_straight_stroke_is_one_straight_line() {
    let mut dice = Dice(5);
    for _ in 0..30 {
        let known = straight(&mut dice);
        let fair = fair(&stroke(&mut dice, &known, 0.5), 0.7).unwrap();
        assert!(matches!(fair.path.segments().collect::<Vec<_>>()[..], [kurbo::PathSeg::Line(_)]), "{:?}", fair.path);
    }
}

#[test]
fn a_wider_tolerance_takes_no_more_cubics() {
    let mut dice = Dice(11);
    for _ in 0..20 {
        let drawn = stroke(&mut dice, &french(&mut Dice(3)), 0.5);
        let counts: Vec<usize> = [0.4, 1.0, 3.0].iter().map(|t| fair(&drawn, *t).unwrap().count()).collect();
        assert!(counts.is_sorted_by(|a, b| a >= b), "{counts:?}");
    }
}

#[test]
fn cubics_between_corners_meet_in_one_direction() {
    let mut dice = Dice(8);
    let mut joints = 0;
    for _ in 0..60 {
        let known = cornered(&mut dice);
        let fair = fair(&stroke(&mut dice, &known, 0.5), 0.3).unwrap();
        let segments: Vec<_> = fair.path.segments().collect();
        for pair in segments.windows(2) {
            if fair.corners.iter().all(|c| c.distance(pair[0].end()) > 1e-9) {
                let (a, b) = (geometry::tangent(&pair[0], 1.0), geometry::tangent(&pair[1], 0.0));
                assert!(a.dot(b) > 1.0 - 1e-9, "{a:?} {b:?}");
                joints += 1;
            }
        }
    }
    assert!(joints > 10, "{joints}");
}

#[test]
fn nothing_and_one_point_are_no_line() {
    let p = Point::new(3.0, 4.0);
    let nowhere = Point::new(f64::NAN, 1.0);
    assert_eq!(fair(&[], 0.5), None);
    assert_eq!(fair(&[p], 0.5), None);
    assert_eq!(fair(&[p; 50], 0.5), None);
    assert_eq!(fair(&[nowhere, p, nowhere], 0.5), None);
    let two = fair(&[p, p, nowhere, Point::new(30.0, 4.0), Point::new(30.0, 4.0)], 0.5).unwrap();
    assert_eq!(two.count(), 1);
}

#[test]
fn a_closed_stroke_comes_back_closed() {
    let circle = kurbo::Circle::new((100.0, 100.0), 60.0);
    let drawn: Vec<Point> =
        (0..=150).map(|i| circle.center + Vec2::from_angle(f64::from(i % 150) / 150.0 * std::f64::consts::TAU) * 60.0).collect();
    let fair = fair(&drawn, 0.5).unwrap();
    assert_eq!(geometry::start(&fair.path), geometry::end(&fair.path));
    assert!(
        fair.count() <= 8 && apart(&fair.path, &circle.to_path(0.01)) < 0.7,
        "{} {}",
        fair.count(),
        apart(&fair.path, &circle.to_path(0.01))
    );
}

/// What a pointer says of a line: whole points of a screen that shows so many of them for each millimetre.
fn seen(points: &[Point], scale: f64, dice: &mut Dice) -> Vec<Point> {
    points
        .iter()
        .map(|p| {
            let p = *p + dice.within(0.5);
            Point::new(p.x.round() / scale, p.y.round() / scale)
        })
        .collect()
}

/// Round lines are round and corners are corners from whatever distance they are drawn: at 0.2 to 1 points for each millimetre,
/// followed as closely as that shows, with a radius of 36 points of the screen or more.
#[test]
fn what_is_round_on_a_coarse_screen_has_no_corners() {
    let mut dice = Dice(77);
    for scale in [0.2f64, 0.3, 0.5, 1.0] {
        let within = (8.0 / scale).max(5.0).round() / 10.0;
        for _ in 0..60 {
            let (radius, begun) = (dice.between(36.0, 60.0), dice.between(0.0, std::f64::consts::TAU));
            let steps = (radius * std::f64::consts::TAU / dice.between(1.5, 5.0)).ceil() as usize;
            let round = |i: usize| begun + i as f64 / steps as f64 * std::f64::consts::TAU;
            let circle: Vec<Point> = (0..=steps).map(|i| Point::new(200.0, 200.0) + Vec2::from_angle(round(i)) * radius).collect();
            let made = fair(&seen(&circle, scale, &mut dice), within).unwrap();
            assert!(made.corners.is_empty(), "{scale}, radius {radius}: {:?}", made.corners);
            assert!(made.count() <= 8, "{scale}, radius {radius}: {}", made.count());

            let turn = dice.between(50.0, 120.0).to_radians() * dice.sign();
            let (first, from) = (Vec2::from_angle(begun) * dice.between(40.0, 150.0), Point::new(300.0, 300.0));
            let second = Vec2::from_angle(begun + turn) * dice.between(40.0, 150.0);
            let leg = |at: Point, by: Vec2| (0..=(by.hypot() / 3.0) as usize).map(move |i| at + by.normalize() * 3.0 * i as f64);
            let angle: Vec<Point> = leg(from, first).chain(leg(from + first, second)).collect();
            let made = fair(&seen(&angle, scale, &mut dice), within).unwrap();
            assert_eq!(made.corners.len(), 1, "{scale}, turning {}°", turn.to_degrees());
        }
    }
}

fn front() -> crate::Piece {
    let draft = crate::Garment::from_text(include_str!("../../../assets/demo/garment.ron")).unwrap().build().draft;
    draft.piece("front").unwrap().clone()
}

/// How far a point lies from the outline.
fn off_outline(piece: &crate::Piece, at: Point) -> f64 {
    piece.segments().map(|(_, s)| s.nearest(at, 1e-9).distance_sq).fold(f64::INFINITY, f64::min).sqrt()
}

#[test]
fn ends_near_an_edge_come_to_lie_on_it_and_others_stay() {
    let piece = front();
    let middle = piece.bounds().center();
    let (mut short, mut over) = (0, 0);
    for i in 0..72 {
        let direction = Vec2::from_angle(f64::from(i) / 72.0 * std::f64::consts::TAU);
        let ray = kurbo::Line::new(middle, middle + direction * 2000.0);
        let Some(edge) = piece.segments().flat_map(|(_, s)| s.intersect_line(ray)).map(|h| h.line_t * 2000.0).min_by(f64::total_cmp) else {
            continue;
        };
        for by in [-4.0, 4.0] {
            let drawn: Vec<Point> = (0..=60).map(|k| middle + direction * ((edge + by) * f64::from(k) / 60.0)).collect();
            let landed = landed(&piece, &drawn, 6.0);
            let marked = piece.points().iter().any(|p| p.marked && p.at.distance(*landed.last().unwrap()) < 1e-9);
            let off = off_outline(&piece, *landed.last().unwrap());
            if by < 0.0 && off_outline(&piece, *drawn.last().unwrap()) <= 6.0 {
                assert!(off < 1e-6 || marked, "{i}: {off} mm off");
                short += 1;
            } else if by > 0.0 && !geometry::holds(&piece.outline(), *drawn.last().unwrap()) {
                assert!(off < 1e-6 || marked, "{i}: {off} mm off");
                over += 1;
            }
            assert_eq!(landed[0], middle, "the end inside stays");
        }
    }
    assert!(short > 30 && over > 30, "{short} {over}");
}

fn any_stroke() -> impl Strategy<Value = Vec<(f64, f64)>> {
    let point = prop_oneof![
        8 => (-500.0..500.0, -500.0..500.0),
        1 => Just((0.0, 0.0)),
        1 => prop_oneof![Just((f64::NAN, 0.0)), Just((f64::INFINITY, 1.0)), Just((1e-300, -1e12))],
    ];
    prop_oneof![
        prop::collection::vec(point, 0..60),
        // A walk with small steps, some of them none.
        prop::collection::vec((-3.0..3.0, -3.0..3.0), 0..300).prop_map(|steps| {
            let mut at = (0.0, 0.0);
            steps
                .into_iter()
                .map(|(x, y): (f64, f64)| {
                    if x.abs() > 0.5 {
                        at = (at.0 + x, at.1 + y);
                    }
                    at
                })
                .collect()
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn any_stroke_is_answered_always_alike_and_keeps_its_ends(stroke in any_stroke(), tolerance in prop_oneof![0.0..30.0, Just(f64::NAN)]) {
        let points: Vec<Point> = stroke.iter().map(|&(x, y)| Point::new(x, y)).collect();
        let there: Vec<Point> = points.iter().copied().filter(|p| p.is_finite()).collect();
        let answer = fair(&points, tolerance);
        prop_assert_eq!(&answer, &fair(&points, tolerance));
        let differ = there.iter().any(|p| *p != there[0]);
        prop_assert_eq!(answer.is_some(), differ);
        if let Some(answer) = answer {
            prop_assert!(geometry::is_finite(&answer.path));
            prop_assert!(answer.count() >= 1);
            prop_assert_eq!(geometry::start(&answer.path), there.first().copied());
            prop_assert_eq!(geometry::end(&answer.path), there.last().copied());
        }
    }

    #[test]
    fn any_stroke_on_a_piece_is_a_line_or_none(stroke in any_stroke(), reach in 0.5..30.0) {
        let piece = front();
        let points: Vec<Point> = stroke.iter().map(|&(x, y)| piece.bounds().center() + Vec2::new(x, y)).collect();
        let landed = landed(&piece, &points, reach);
        prop_assert!(landed.iter().all(|p| p.is_finite()));
        let line = fair(&landed, 1.0).and_then(|fair| crate::alteration::offer::line_of(&piece, &fair, reach));
        if let Some(line) = line {
            // Places far away are out of reach of the cloth, and may be refused, with a reason.
            match line.path(&piece) {
                Ok(path) => prop_assert!(geometry::is_finite(&path)),
                Err(error) => prop_assert!(!error.remedy.is_empty()),
            }
        }
    }

    #[test]
    fn a_cubic_without_jitter_comes_back(seed in 0u64..1000) {
        let mut dice = Dice(seed);
        let c = CubicBez::new((0.0, 0.0), (dice.between(30.0, 70.0), dice.between(-30.0, 30.0)), (dice.between(90.0, 120.0), dice.between(-60.0, 60.0)), (180.0, dice.between(-40.0, 40.0)));
        let drawn: Vec<Point> = (0..=120).map(|i| c.eval(f64::from(i) / 120.0)).collect();
        let fair = fair(&drawn, 0.5).unwrap();
        prop_assert!(apart(&fair.path, &c.to_path(0.01)) <= 0.6);
        prop_assert!(fair.count() <= 2);
    }
}
