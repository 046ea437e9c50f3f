//! The cut lines of real people's pieces.

use draft_core::allowance::{closed_seam_line, cut_line};
use draft_core::geometry::flattened;
use draft_core::{Piece, Role};
use kurbo::{BezPath, ParamCurve as _, ParamCurveArclen as _, ParamCurveNearest as _, Point, Shape as _};

use crate::bodies::{complete, garment};

fn distance(path: &BezPath, at: Point) -> f64 {
    path.segments().map(|s| s.nearest(at, 1e-6).distance_sq).fold(f64::INFINITY, f64::min).sqrt()
}

/// The point half way along a path.
fn middle(path: &BezPath) -> Point {
    let mut left = 0.5 * path.perimeter(1e-3);
    for seg in path.segments() {
        let length = seg.arclen(1e-3);
        if left <= length {
            return seg.eval(seg.inv_arclen(left, 1e-3));
        }
        left -= length;
    }
    Point::ZERO
}

fn crosses_itself(path: &BezPath) -> bool {
    let mut points = flattened(path, 0.02);
    points.dedup_by(|a, b| a.distance(*b) < 1e-6);
    if points[0].distance(points[points.len() - 1]) < 1e-6 {
        points.pop();
    }
    let count = points.len();
    let side = |i: usize| (points[i], points[(i + 1) % count]);
    (0..count).any(|i| {
        (i + 2..count).filter(|j| (j + 1) % count != i).any(|j| {
            let ((a, b), (c, d)) = (side(i), side(j));
            let apart = |p: Point, q: Point, r: Point, s: Point| (q - p).cross(r - p) * (q - p).cross(s - p) < 0.0;
            apart(a, b, c, d) && apart(c, d, a, b)
        })
    })
}

fn is_sound(who: &str, piece: &Piece) {
    let cut = cut_line(piece).unwrap();
    let closed = closed_seam_line(piece);
    let what = format!("{who}: {}", piece.name());
    assert!(!crosses_itself(&cut), "{what} crosses itself: {}", cut.to_svg());
    assert!(cut.area().abs() >= closed.area().abs() - 1.0, "{what}");
    for at in closed.segments().flat_map(|s| (0..5).map(move |i| s.eval(f64::from(i) / 5.0))) {
        assert!(cut.winding(at) != 0 || distance(&cut, at) < 0.02, "{what} is cut off at {at}");
    }
    // Far from its corners an edge has its own allowance.
    for part in piece.parts() {
        let edge = &piece.edges()[part.edge];
        if edge.role != Role::DartLeg && part.path.perimeter(0.01) > 4.0 * edge.allowance_mm + 40.0 {
            let off = distance(&cut, middle(&part.path));
            assert!(
                (off - edge.allowance_mm).abs() < 0.02,
                "{what}: {off} mm beside the {}, {} mm asked for",
                edge.name,
                edge.allowance_mm
            );
        }
    }
    // None of these pieces needs more than its own curves: putting all allowances together makes hundreds of chords.
    let segments = cut.segments().count();
    assert!(segments < 12 * (piece.segments().count() + 4), "{what} has {segments} segments");
}

#[test]
fn every_piece_of_real_people_is_cut_soundly() {
    let styles: [&[(&str, &str, &str)]; 3] = [
        &[],
        &[
            ("bodice", "bust-dart", "side"),
            ("bodice", "opening", "centre back"),
            ("skirt", "gores", "4"),
            ("skirt", "seam-allowance", "25 mm"),
        ],
        &[("bodice", "bust-dart", "shoulder"), ("skirt", "gores", "12"), ("bodice", "curve-allowance", "6 mm")],
    ];
    let people = complete();
    for (i, person) in people.iter().enumerate().step_by(31) {
        let built = garment(person.card(), styles[i % 3]).build();
        for piece in &built.draft.pieces {
            is_sound(&person.name, piece);
        }
    }
}
