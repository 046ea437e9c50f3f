#![allow(clippy::unwrap_used, clippy::panic, reason = "tests")]

use std::f64::consts::{PI, TAU};

use kurbo::{Affine, BezPath, CubicBez, ParamCurve, ParamCurveNearest, Point, Shape, Vec2};
use proptest::prelude::*;

use super::clean::polygon_crosses_itself;
use super::{closed_seam_line, cut_line, dart_cap};
use crate::geometry::{cubic_path, flattened, line_path};
use crate::{Dart, Piece, PieceBuilder, Role};

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

/// A closed polygon of straight edges, each with its name, role and allowance.
fn polygon(corners: &[Point], edges: &[(&str, Role, f64)]) -> Piece {
    let mut piece = PieceBuilder::new("piece");
    for (i, (name, role, mm)) in edges.iter().enumerate() {
        piece = piece.line(*name, *role, *mm, corners[i], corners[(i + 1) % corners.len()]);
    }
    piece.build().unwrap()
}

fn area(path: &BezPath) -> f64 {
    path.area().abs()
}

fn distance(path: &BezPath, at: Point) -> f64 {
    path.segments().map(|s| s.nearest(at, 1e-9).distance_sq).fold(f64::INFINITY, f64::min).sqrt()
}

fn sampled(path: &BezPath) -> Vec<Point> {
    path.segments().flat_map(|s| (0..8).map(move |i| s.eval(f64::from(i) / 8.0))).collect()
}

fn crosses_itself(path: &BezPath) -> bool {
    let mut points = flattened(path, 0.002);
    points.dedup_by(|a, b| a.distance(*b) < 1e-6);
    if points.len() > 1 && points[0].distance(points[points.len() - 1]) < 1e-6 {
        points.pop();
    }
    polygon_crosses_itself(&points)
}

/// Whether a point lies inside; crossings of the ray to the right are counted on the flattened path.
fn holds(path: &BezPath, at: Point) -> bool {
    let points = flattened(path, 0.005);
    let count = points.len();
    let over = (0..count).filter(|&i| {
        let (a, b) = (points[i], points[(i + 1) % count]);
        (a.y > at.y) != (b.y > at.y) && at.x < a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    over.count() % 2 == 1
}

fn has_point(path: &BezPath, at: Point) -> bool {
    path.segments().any(|s| s.start().distance(at) < 1e-6)
}

#[test]
fn a_rectangle_grows_by_each_allowance() {
    for turned in [false, true] {
        let mut corners = [p(0.0, 0.0), p(100.0, 0.0), p(100.0, 60.0), p(0.0, 60.0)];
        let mut edges = [("top", Role::Seam, 5.0), ("right", Role::Seam, 10.0), ("bottom", Role::Seam, 20.0), ("left", Role::Seam, 15.0)];
        if turned {
            corners.reverse();
            edges = [("bottom", Role::Seam, 20.0), ("right", Role::Seam, 10.0), ("top", Role::Seam, 5.0), ("left", Role::Seam, 15.0)];
        }
        let cut = cut_line(&polygon(&corners, &edges)).unwrap();
        assert!((area(&cut) - 125.0 * 85.0).abs() < 1e-6, "{}", cut.to_svg());
        assert_eq!(cut.segments().count(), 4);
        assert!(has_point(&cut, p(-15.0, -5.0)) && has_point(&cut, p(110.0, 80.0)));
    }
}

#[test]
fn without_allowance_the_cut_line_is_the_seam_line() {
    let corners = [p(0.0, 0.0), p(100.0, 20.0), p(40.0, 30.0), p(10.0, 90.0)];
    let piece = polygon(&corners, &[("a", Role::Cut, 0.0), ("b", Role::Hem, 0.0), ("c", Role::Seam, 0.0), ("d", Role::Fold, 0.0)]);
    let cut = cut_line(&piece).unwrap();
    assert!((area(&cut) - piece.area_mm2()).abs() < 1e-9);
    assert!(corners.iter().all(|c| has_point(&cut, *c)));
}

fn arc(centre: Point, radius: f64, from: f64, to: f64) -> Vec<CubicBez> {
    let count = ((to - from).abs() / 0.2).ceil() as usize;
    let step = (to - from) / count as f64;
    let handle = 4.0 / 3.0 * (step / 4.0).tan() * radius;
    let at = |a: f64| centre + radius * Vec2::new(a.cos(), a.sin());
    let along = |a: f64| handle * Vec2::new(-a.sin(), a.cos());
    (0..count)
        .map(|i| (from + step * i as f64, from + step * (i + 1) as f64))
        .map(|(a, b)| CubicBez::new(at(a), at(a) + along(a), at(b) - along(b), at(b)))
        .collect()
}

#[test]
fn a_circle_gives_a_circle_round_the_same_centre() {
    let piece = PieceBuilder::new("disc").part("edge", Role::Seam, 15.0, cubic_path(&arc(p(3.0, 4.0), 80.0, 0.0, TAU))).build().unwrap();
    let cut = cut_line(&piece).unwrap();
    for at in sampled(&cut) {
        assert!((at.distance(p(3.0, 4.0)) - 95.0).abs() < crate::ACCURACY_MM, "{at}");
    }
    assert!((area(&cut) - PI * 95.0 * 95.0).abs() < TAU * 95.0 * crate::ACCURACY_MM);
    assert!(cut.segments().all(|s| matches!(s, kurbo::PathSeg::Cubic(_))), "its curves stay curves");
}

#[test]
fn at_the_fold_the_cut_line_runs_on_to_the_fold_line() {
    // The neckline meets the fold at 60° on one end, the waist at 110° on the other.
    let lean = 100.0 / 60f64.to_radians().tan();
    let corners = [p(0.0, 0.0), p(100.0, lean), p(100.0, 200.0), p(0.0, 200.0 - 100.0 * 20f64.to_radians().tan())];
    let piece = polygon(
        &corners,
        &[("neckline", Role::Seam, 10.0), ("side", Role::Seam, 15.0), ("waist", Role::Seam, 12.0), ("centre", Role::Fold, 0.0)],
    );
    let cut = cut_line(&piece).unwrap();
    assert!(sampled(&cut).iter().all(|q| q.x >= -1e-9), "nothing lies beyond the fold");
    assert!(has_point(&cut, p(0.0, -10.0 / 60f64.to_radians().sin())), "{}", cut.to_svg());
    assert!(has_point(&cut, p(0.0, corners[3].y + 12.0 / 20f64.to_radians().cos())), "{}", cut.to_svg());
}

#[test]
fn a_sharp_point_is_blunted() {
    let piece =
        polygon(&[p(0.0, 0.0), p(300.0, 15.0), p(0.0, 30.0)], &[("a", Role::Seam, 10.0), ("b", Role::Seam, 10.0), ("c", Role::Seam, 10.0)]);
    let cut = cut_line(&piece).unwrap();
    assert!((cut.bounding_box().x1 - 320.0).abs() < 1e-6, "two allowances beyond the point: {}", cut.bounding_box().x1);
    assert!(!crosses_itself(&cut));
}

/// The hem allowance, turned up, ends exactly where the side seam's cut line runs.
#[test]
fn a_hem_turned_up_matches_the_slope_of_the_seam() {
    for (left, right) in [(40.0, -30.0), (-25.0, 60.0)] {
        let piece = polygon(
            &[p(0.0, 0.0), p(300.0, 0.0), p(300.0 + right, 400.0), p(left, 400.0)],
            &[("waist", Role::Seam, 10.0), ("right seam", Role::Seam, 15.0), ("hem", Role::Hem, 50.0), ("left seam", Role::Seam, 15.0)],
        );
        let cut = cut_line(&piece).unwrap();
        let up = Affine::reflect(p(0.0, 400.0), (1.0, 0.0));
        let below: Vec<Point> = sampled(&cut).into_iter().filter(|q| q.y > 400.0 + 1e-6 && q.y < 450.0 - 1e-6).collect();
        assert!(!below.is_empty());
        for q in below {
            assert!(distance(&cut, up * q) < 1e-6, "{q} does not turn up onto the cut line");
        }
        assert!(sampled(&cut).iter().any(|q| (q.y - 450.0).abs() < 1e-9));
    }
}

#[test]
fn a_hem_turned_up_matches_a_curved_seam_too() {
    let curve = |x: f64, out: f64| CubicBez::new((x, 0.0), (x, 150.0), (x + out, 220.0), (x + 1.4 * out, 300.0));
    let down = |c: CubicBez| cubic_path(&[c]);
    let (right, left) = (curve(200.0, 40.0), curve(0.0, -40.0));
    let piece = PieceBuilder::new("skirt")
        .line("waist", Role::Seam, 10.0, p(0.0, 0.0), p(200.0, 0.0))
        .part("right seam", Role::Seam, 15.0, down(right))
        .line("hem", Role::Hem, 40.0, right.p3, left.p3)
        .part("left seam", Role::Seam, 15.0, crate::geometry::reversed(&down(left)))
        .build()
        .unwrap();
    let cut = cut_line(&piece).unwrap();
    let up = Affine::reflect(p(0.0, 300.0), (1.0, 0.0));
    let below: Vec<Point> = sampled(&cut).into_iter().filter(|q| q.y > 300.0 + 1e-6 && q.y < 340.0 - 1e-6).collect();
    assert!(below.len() > 10);
    for q in below {
        assert!(distance(&cut, up * q) < 1e-5, "{q} is {} mm off", distance(&cut, up * q));
    }
}

/// The shoulder's allowance, pressed open, lies edge on edge with the neckline's cut line.
#[test]
fn a_seam_pressed_open_ends_with_the_neckline() {
    let neck = CubicBez::new((0.0, 80.0), (45.0, 80.0), (62.0, 42.0), (70.0, 0.0));
    let piece = PieceBuilder::new("front")
        .part("neckline", Role::Seam, 8.0, cubic_path(&[neck]))
        .line("shoulder", Role::Seam, 20.0, neck.p3, p(190.0, 45.0))
        .line("side", Role::Seam, 15.0, p(190.0, 45.0), p(190.0, 300.0))
        .line("waist", Role::Seam, 15.0, p(190.0, 300.0), p(0.0, 300.0))
        .line("centre", Role::Fold, 0.0, p(0.0, 300.0), p(0.0, 80.0))
        .build()
        .unwrap();
    let cut = cut_line(&piece).unwrap();
    let shoulder = p(190.0, 45.0) - neck.p3;
    let open = Affine::reflect(neck.p3, shoulder);
    let beyond = |q: &Point| {
        let off = *q - neck.p3;
        off.cross(shoulder) > 1e-3 && off.cross(shoulder) / shoulder.hypot() < 20.0 - 1e-3 && off.dot(shoulder) < 20.0 * shoulder.hypot()
    };
    let ends: Vec<Point> = sampled(&cut).into_iter().filter(beyond).collect();
    assert!(ends.len() > 5, "{}", cut.to_svg());
    for q in ends {
        assert!(distance(&cut, open * q) < 1e-5, "{q} is {} mm off", distance(&cut, open * q));
    }
}

#[test]
fn a_raw_edge_and_a_step() {
    // A raw hem: the seams' allowances end on its line.
    let corners = [p(0.0, 0.0), p(100.0, 0.0), p(120.0, 100.0), p(-20.0, 100.0)];
    let piece =
        polygon(&corners, &[("top", Role::Seam, 10.0), ("right", Role::Seam, 10.0), ("hem", Role::Hem, 0.0), ("left", Role::Seam, 10.0)]);
    let cut = cut_line(&piece).unwrap();
    assert!(cut.bounding_box().y1 < 100.0 + 1e-9);
    assert!(!crosses_itself(&cut));
    // A wider allowance on the lower half of one straight side ends square to it.
    let corners = [p(0.0, 0.0), p(100.0, 0.0), p(100.0, 50.0), p(100.0, 100.0), p(0.0, 100.0)];
    let piece = polygon(
        &corners,
        &[
            ("top", Role::Seam, 10.0),
            ("upper", Role::Seam, 10.0),
            ("lower", Role::Opening, 25.0),
            ("hem", Role::Seam, 10.0),
            ("left", Role::Seam, 10.0),
        ],
    );
    let cut = cut_line(&piece).unwrap();
    assert!(has_point(&cut, p(110.0, 50.0)) && has_point(&cut, p(125.0, 50.0)), "{}", cut.to_svg());
}

#[test]
fn a_hollow_corner_is_cut_where_the_allowances_meet() {
    let corners = [p(0.0, 0.0), p(200.0, 0.0), p(200.0, 200.0), p(100.0, 200.0), p(100.0, 100.0), p(0.0, 100.0)];
    let edges: Vec<(&str, Role, f64)> =
        ["a", "b", "c", "d", "e", "f"].iter().zip([10.0, 10.0, 10.0, 12.0, 8.0, 10.0]).map(|(n, mm)| (*n, Role::Cut, mm)).collect();
    let cut = cut_line(&polygon(&corners, &edges)).unwrap();
    assert!(has_point(&cut, p(88.0, 108.0)), "{}", cut.to_svg());
    assert_eq!(cut.segments().count(), 6);
}

#[test]
fn a_hollow_tighter_than_its_allowance_is_filled() {
    // A half round of 20 mm with 30 mm round it, in a straight side with 30 mm too.
    let piece = PieceBuilder::new("piece")
        .line("top", Role::Cut, 30.0, p(-150.0, 0.0), p(-20.0, 0.0))
        .part("hollow", Role::Cut, 30.0, cubic_path(&arc(Point::ZERO, 20.0, PI, 0.0)))
        .line("more top", Role::Cut, 30.0, p(20.0, 0.0), p(150.0, 0.0))
        .line("right", Role::Cut, 30.0, p(150.0, 0.0), p(150.0, 200.0))
        .line("bottom", Role::Cut, 30.0, p(150.0, 200.0), p(-150.0, 200.0))
        .line("left", Role::Cut, 30.0, p(-150.0, 200.0), p(-150.0, 0.0))
        .build()
        .unwrap();
    let cut = cut_line(&piece).unwrap();
    assert!(!crosses_itself(&cut));
    assert!((area(&cut) - 360.0 * 260.0).abs() < 360.0 * 0.02, "{} {}", area(&cut), cut.to_svg());
}

/// A neckline that turns up to the shoulder on 8 mm, with an allowance of 10 mm: only the loop goes, the curve stays.
#[test]
fn a_loop_is_cut_out_of_the_curve_itself() {
    let mut neck = vec![CubicBez::new((0.0, 80.0), (20.0, 80.0), (40.0, 78.0), (60.0, 70.0))];
    let end = neck[0].p3;
    let along = (end - neck[0].p2).normalize();
    neck.push(CubicBez::new(end, end + 6.0 * along, p(72.0, 66.0), p(72.0, 58.0)));
    let top = neck[1].p3;
    let piece = PieceBuilder::new("back")
        .part("neckline", Role::Seam, 10.0, cubic_path(&neck))
        .line("shoulder", Role::Seam, 15.0, top, p(200.0, 58.0))
        .line("side", Role::Seam, 15.0, p(200.0, 58.0), p(200.0, 300.0))
        .line("waist", Role::Seam, 15.0, p(200.0, 300.0), p(0.0, 300.0))
        .line("centre", Role::Fold, 0.0, p(0.0, 300.0), p(0.0, 80.0))
        .build()
        .unwrap();
    let cut = cut_line(&piece).unwrap();
    assert!(!crosses_itself(&cut));
    assert!(cut.segments().count() < 20, "{} segments: {}", cut.segments().count(), cut.to_svg());
    let seam = piece.outline();
    let neckline: Vec<Point> = sampled(&cut).into_iter().filter(|q| q.x > 1.0 && q.x < 60.0 && q.y < 90.0).collect();
    assert!(neckline.len() > 8);
    for q in neckline {
        assert!((distance(&seam, q) - 10.0).abs() < 2.0 * crate::ACCURACY_MM, "{q} {}", cut.to_svg());
    }
}

#[test]
fn united_allowances_keep_their_other_curves() {
    let piece = PieceBuilder::new("piece")
        .part("round", Role::Cut, 10.0, cubic_path(&arc(p(0.0, 200.0), 100.0, -PI / 2.0, PI / 2.0)))
        .line("bottom", Role::Cut, 10.0, p(0.0, 300.0), p(-200.0, 300.0))
        .line("slot below", Role::Cut, 10.0, p(-200.0, 300.0), p(-200.0, 206.0))
        .line("slot", Role::Cut, 10.0, p(-200.0, 206.0), p(-60.0, 206.0))
        .line("slot end", Role::Cut, 10.0, p(-60.0, 206.0), p(-60.0, 194.0))
        .line("slot back", Role::Cut, 10.0, p(-60.0, 194.0), p(-200.0, 194.0))
        .line("left", Role::Cut, 10.0, p(-200.0, 194.0), p(-200.0, 100.0))
        .line("top", Role::Cut, 10.0, p(-200.0, 100.0), p(0.0, 100.0))
        .build()
        .unwrap();
    let cut = cut_line(&piece).unwrap();
    assert!(!crosses_itself(&cut));
    let curves = cut.segments().filter(|s| matches!(s, kurbo::PathSeg::Cubic(_))).count();
    assert!(curves >= 8, "{curves} curves left: {}", cut.to_svg());
    assert!((area(&cut) - (210.0 * 220.0 + PI * 110.0 * 110.0 / 2.0)).abs() < 10.0, "{}", area(&cut));
}

/// A piece with a dart in its straight lower edge, which runs from right to left; the sides lean.
fn darted(width: f64, depth: f64, allowance: f64, pressed_to_a: bool) -> Piece {
    let (a, b, tip) = (p(width / 2.0, 0.0), p(-width / 2.0, 0.0), p(0.0, -depth));
    PieceBuilder::new("front")
        .line("waist", Role::Seam, allowance, p(150.0, 0.0), a)
        .line("leg 1", Role::DartLeg, 0.0, a, tip)
        .line("leg 2", Role::DartLeg, 0.0, tip, b)
        .line("waist", Role::Seam, allowance, b, p(-150.0, 0.0))
        .line("left", Role::Seam, 15.0, p(-150.0, 0.0), p(-150.0, -400.0))
        .line("top", Role::Seam, 15.0, p(-150.0, -400.0), p(150.0, -400.0))
        .line("right", Role::Seam, 15.0, p(150.0, -400.0), p(150.0, 0.0))
        .dart(Dart { name: "dart".into(), leg_a: "leg 1".into(), leg_b: "leg 2".into(), tip, pivot: tip, pressed_to_a })
        .build()
        .unwrap()
}

/// Our own figure, not a published one: a waist dart 3.73 cm wide that ends 15.7 cm above the waist has its peak
/// 0.45 cm below it. In closed form the peak is half the width times the tangent of twice the half angle.
#[test]
fn the_cap_of_a_waist_dart_has_its_peak_below_the_waist() {
    for pressed_to_a in [false, true] {
        let piece = darted(37.3, 157.0, 15.0, pressed_to_a);
        let cap = dart_cap(&piece, &piece.darts()[0]).unwrap();
        let points: Vec<Point> = cap.elements().iter().filter_map(kurbo::PathEl::end_point).collect();
        assert_eq!(points.len(), 3, "{}", cap.to_svg());
        let peak = points[1];
        let half = (37.3 / 2.0 / 157.0_f64).atan();
        assert!(peak.x.abs() < 1e-9 && (peak.y - 37.3 / 2.0 * (2.0 * half).tan()).abs() < 1e-9, "{peak}");
        assert!((peak.y - 4.5).abs() < 0.05);
        assert!((points[0].distance(peak) - points[2].distance(peak)).abs() < 1e-9, "symmetric");
        // On the cut line the peak stands out by the allowance measured along the fold.
        let cut = cut_line(&piece).unwrap();
        assert!(cut.segments().any(|s| s.start().x.abs() < 1e-9 && s.start().y > peak.y + 15.0), "{}", cut.to_svg());
    }
}

/// A curved waist with a dart; both sides of the dart join smoothly when it is closed.
fn curved_waist(pressed_to_a: bool) -> (Piece, [BezPath; 2]) {
    let (tip, half) = (p(0.0, -150.0), 8f64.to_radians());
    // Drawn closed, as one arc that is square to the dart, then opened about the tip.
    let right = cubic_path(&arc(p(0.0, -600.0), 600.0, PI / 2.0 - 0.25, PI / 2.0));
    let left = cubic_path(&arc(p(0.0, -600.0), 600.0, PI / 2.0, PI / 2.0 + 0.25));
    let right = Affine::rotate_about(-half, tip) * right;
    let left = Affine::rotate_about(half, tip) * left;
    let ends = [crate::geometry::start(&right), crate::geometry::end(&right), crate::geometry::start(&left), crate::geometry::end(&left)];
    let [r0, a, b, l1] = ends.map(Option::unwrap);
    let piece = PieceBuilder::new("front")
        .part("waist", Role::Seam, 18.0, right.clone())
        .line("leg 1", Role::DartLeg, 0.0, a, tip)
        .line("leg 2", Role::DartLeg, 0.0, tip, b)
        .part("waist", Role::Seam, 18.0, left.clone())
        .line("left", Role::Seam, 15.0, l1, p(-190.0, -400.0))
        .line("top", Role::Seam, 15.0, p(-190.0, -400.0), p(190.0, -400.0))
        .line("right", Role::Seam, 15.0, p(190.0, -400.0), r0)
        .dart(Dart { name: "dart".into(), leg_a: "leg 1".into(), leg_b: "leg 2".into(), tip, pivot: tip, pressed_to_a })
        .build()
        .unwrap();
    (piece, [right, left])
}

/// Folded along its leg, all cloth of the dart ends on the cut line of the side that it is pressed to.
#[test]
fn with_the_dart_folded_the_cut_runs_straight_across_all_layers() {
    for pressed_to_a in [true, false] {
        let (piece, waist) = curved_waist(pressed_to_a);
        let dart = &piece.darts()[0];
        let side = usize::from(!pressed_to_a);
        let mouth = if pressed_to_a { crate::geometry::end(&waist[0]) } else { crate::geometry::start(&waist[1]) }.unwrap();
        let fold_in = Affine::reflect(dart.tip, mouth - dart.tip);
        let axis = Affine::reflect(dart.tip, (0.0, 1.0));
        let cut = cut_line(&piece).unwrap();
        let cap = dart_cap(&piece, dart).unwrap();
        for (path, allowance) in [(&cut, 18.0), (&cap, 0.0)] {
            let mut seen = 0;
            for q in sampled(path).into_iter().filter(|q| q.y > -60.0) {
                // First half of the dart: between the leg and the fold; the second is its mirror image.
                let near = if (q.x < 0.0) == (mouth.x < 0.0) { q } else { axis * q };
                let inside = (near - dart.tip).cross(mouth - dart.tip) * (Vec2::new(0.0, 1.0)).cross(mouth - dart.tip) > 1e-6;
                if inside {
                    seen += 1;
                    let off = distance(&waist[side], fold_in * near);
                    assert!((off - allowance).abs() < crate::ACCURACY_MM, "{q} folds to {off} mm from the seam");
                }
            }
            assert!(seen >= 4, "{seen} {}", path.to_svg());
        }
        // Where the other side joins smoothly, its own cut line begins where the cap ends.
        assert!(!crosses_itself(&cut));
        let other_leg = axis * mouth;
        let ends: Vec<f64> = cut
            .segments()
            .map(|s| s.start())
            .filter(|q| (*q - dart.tip).cross(other_leg - dart.tip).abs() < 1e-3 && q.y > -60.0)
            .map(|q| q.distance(other_leg))
            .collect();
        assert!(ends.iter().all(|d| (d - 18.0).abs() < crate::ACCURACY_MM) && !ends.is_empty(), "{ends:?}");
    }
}

#[test]
fn odd_outlines_do_not_panic() {
    let here = p(10.0, 10.0);
    let point_edge = PieceBuilder::new("point").line("a", Role::Seam, 50.0, here, here).build().unwrap();
    let _ = cut_line(&point_edge);
    let with_point = PieceBuilder::new("piece")
        .line("a", Role::Seam, 50.0, p(0.0, 0.0), p(100.0, 0.0))
        .line("nothing", Role::Seam, 50.0, p(100.0, 0.0), p(100.0, 0.0))
        .line("b", Role::Seam, 50.0, p(100.0, 0.0), p(0.0, 100.0))
        .part("c", Role::Seam, 50.0, cubic_path(&[CubicBez::new((0.0, 100.0), (0.0, 100.0), (0.0, 0.0), (0.0, 0.0))]))
        .build()
        .unwrap();
    let cut = cut_line(&with_point).unwrap();
    assert!(!crosses_itself(&cut) && area(&cut) > with_point.area_mm2());
    let eight = polygon(
        &[p(0.0, 0.0), p(100.0, 100.0), p(100.0, 0.0), p(0.0, 100.0)],
        &[("a", Role::Seam, 10.0), ("b", Role::Hem, 10.0), ("c", Role::Fold, 0.0), ("d", Role::Opening, 5.0)],
    );
    let _ = cut_line(&eight);
    let there_and_back =
        polygon(&[p(0.0, 0.0), p(100.0, 0.0), p(50.0, 0.0)], &[("a", Role::Seam, 10.0), ("b", Role::Hem, 10.0), ("c", Role::Seam, 10.0)]);
    let _ = cut_line(&there_and_back);
    // All control points on one line, with the handles beyond the ends.
    let straight = CubicBez::new((0.0, 100.0), (0.0, 250.0), (0.0, -150.0), (0.0, 0.0));
    let piece = PieceBuilder::new("piece")
        .line("a", Role::Seam, 10.0, p(0.0, 0.0), p(100.0, 0.0))
        .line("b", Role::Seam, 10.0, p(100.0, 0.0), p(0.0, 100.0))
        .part("c", Role::Seam, 10.0, cubic_path(&[straight]))
        .build()
        .unwrap();
    assert!(cut_line(&piece).unwrap().is_finite());
    // Fifty millimetres round a narrow armhole.
    let tight = CubicBez::new((100.0, 0.0), (100.0, 90.0), (150.0, 90.0), (150.0, 0.0));
    let piece = PieceBuilder::new("piece")
        .line("shoulder", Role::Seam, 15.0, p(0.0, 0.0), p(100.0, 0.0))
        .part("armhole", Role::Seam, 50.0, cubic_path(&[tight]))
        .line("other shoulder", Role::Seam, 15.0, p(150.0, 0.0), p(250.0, 0.0))
        .line("right", Role::Seam, 15.0, p(250.0, 0.0), p(250.0, 300.0))
        .line("hem", Role::Hem, 50.0, p(250.0, 300.0), p(0.0, 300.0))
        .line("left", Role::Fold, 0.0, p(0.0, 300.0), p(0.0, 0.0))
        .build()
        .unwrap();
    let cut = cut_line(&piece).unwrap();
    assert!(!crosses_itself(&cut) && area(&cut) > piece.area_mm2());
}

#[derive(Clone, Debug)]
struct Star {
    radii: Vec<f64>,
    bulges: Vec<f64>,
    allowances: Vec<f64>,
    roles: Vec<u8>,
    clockwise: bool,
}

fn star(fewest: usize, allowance: std::ops::Range<f64>) -> impl Strategy<Value = Star> {
    (fewest..9usize).prop_flat_map(move |n| {
        (
            prop::collection::vec(40.0..200.0f64, n),
            prop::collection::vec(-0.25..0.25f64, n),
            prop::collection::vec(allowance.clone(), n),
            prop::collection::vec(0..8u8, n),
            any::<bool>(),
        )
            .prop_map(|(radii, bulges, allowances, roles, clockwise)| Star { radii, bulges, allowances, roles, clockwise })
    })
}

impl Star {
    /// Rays from the middle joined by curves that bulge in or out.
    fn piece(&self, uniform: Option<f64>, mixed_roles: bool) -> Piece {
        let n = self.radii.len();
        let sign = if self.clockwise { 1.0 } else { -1.0 };
        let corner = |i: usize| {
            let a = sign * TAU * i as f64 / n as f64;
            Point::ZERO + self.radii[i % n] * Vec2::new(a.cos(), a.sin())
        };
        let names = ["neckline", "shoulder", "armhole", "side", "waist", "hem", "centre", "other"];
        let mut piece = PieceBuilder::new("star");
        for i in 0..n {
            let (a, b) = (corner(i), corner((i + 1) % n));
            let side = self.bulges[i] * (b - a).turn_90();
            let role = match self.roles[i] {
                5 => Role::Hem,
                6 => Role::Opening,
                7 => Role::Fold,
                _ => Role::Seam,
            };
            let (name, role) =
                if mixed_roles { (format!("{} {i}", names[usize::from(self.roles[i])]), role) } else { (format!("edge {i}"), Role::Cut) };
            let name = if mixed_roles && self.roles[i] == 0 && !self.roles[..i].contains(&0) { "neckline".to_owned() } else { name };
            let straight = self.bulges[i].abs() < 0.03 || mixed_roles && role == Role::Fold;
            let path =
                if straight { line_path(a, b) } else { cubic_path(&[CubicBez::new(a, a.lerp(b, 0.3) + side, a.lerp(b, 0.7) + side, b)]) };
            piece = piece.part(name, role, uniform.unwrap_or(self.allowances[i]), path);
        }
        piece.build().unwrap()
    }
}

fn is_sound(piece: &Piece) -> Result<(), TestCaseError> {
    let mut seam = flattened(&piece.outline(), 0.01);
    seam.pop();
    prop_assume!(!polygon_crosses_itself(&seam));
    let cut = cut_line(piece).map_err(|e| TestCaseError::fail(e.to_string()))?;
    prop_assert!(cut.is_finite());
    prop_assert!(matches!(cut.elements().last(), Some(kurbo::PathEl::ClosePath)));
    prop_assert!(!crosses_itself(&cut), "crosses itself: {}", cut.to_svg());
    let closed = closed_seam_line(piece);
    prop_assert!(area(&cut) >= area(&closed) - 0.02 * closed.perimeter(0.1), "{} < {}", area(&cut), area(&closed));
    for at in sampled(&closed) {
        prop_assert!(holds(&cut, at) || distance(&cut, at) < 0.02, "{at} is cut off: {}", cut.to_svg());
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn a_cut_line_never_crosses_itself_and_holds_the_piece(star in star(3, 0.0..50.0), mixed in any::<bool>()) {
        is_sound(&star.piece(None, mixed))?;
    }

    /// With one allowance all round, no point of the cut line is nearer to the seam line than that, and none further
    /// than the longest tip.
    #[test]
    fn a_cut_line_keeps_its_distance(star in star(3, 0.0..1.0), mm in 1.0..40.0f64) {
        let piece = star.piece(Some(mm), false);
        let mut seam = flattened(&piece.outline(), 0.01);
        seam.pop();
        prop_assume!(!polygon_crosses_itself(&seam));
        let outline = piece.outline();
        let cut = cut_line(&piece).unwrap();
        for at in sampled(&cut) {
            let off = distance(&outline, at);
            prop_assert!(off > mm - 0.02, "{off} mm at {at}: {} {}", outline.to_svg(), cut.to_svg());
            // A blunted tip stands two allowances out and up to one to each side.
            prop_assert!(off < 2.0 * mm + 0.02 || !holds(&outline, at) && off < 2.3 * mm, "{off} mm at {at}");
        }
    }

    #[test]
    fn a_dart_anywhere_is_crossed_soundly(
        width in 0.5..90.0f64, depth in 30.0..300.0f64, lean in -40.0..40.0f64, slope in -0.4..0.4f64, other_slope in -0.4..0.4f64,
        mm in 0.0..40.0f64, pressed_to_a in any::<bool>(), reversed in any::<bool>(),
    ) {
        let (a, b, tip) = (p(width / 2.0, 0.0), p(-width / 2.0, 0.0), p(lean, -depth));
        let (right, left) = (p(150.0, (150.0 - a.x) * slope), p(-150.0, (150.0 - a.x) * other_slope));
        let run = [(right, a, "waist"), (a, tip, "leg 1"), (tip, b, "leg 2"), (b, left, "waist"), (left, p(-150.0, -400.0), "left"), (p(-150.0, -400.0), p(150.0, -400.0), "top"), (p(150.0, -400.0), right, "right")];
        let mut piece = PieceBuilder::new("front");
        let role = |name: &str| if name.starts_with("leg") { (Role::DartLeg, 0.0) } else { (Role::Seam, mm) };
        let (mut first, mut second) = ("leg 1", "leg 2");
        if reversed {
            for (from, to, name) in run.iter().rev() {
                piece = piece.line(*name, role(name).0, role(name).1, *to, *from);
            }
            (first, second) = (second, first);
        } else {
            for (from, to, name) in run {
                piece = piece.line(name, role(name).0, role(name).1, from, to);
            }
        }
        let piece = piece.dart(Dart { name: "dart".into(), leg_a: first.into(), leg_b: second.into(), tip, pivot: tip, pressed_to_a }).build().unwrap();
        is_sound(&piece)?;
        if let Some(cap) = dart_cap(&piece, &piece.darts()[0]) {
            prop_assert!(cap.is_finite());
        }
    }
}
