//! How long cut lines take: the demo's pieces, a front with two darts, and one whose allowances run into one another.
#![allow(clippy::unwrap_used, missing_docs, reason = "benchmarks")]

use criterion::{Criterion, criterion_group, criterion_main};
use draft_core::allowance::cut_line;
use draft_core::geometry::cubic_path;
use draft_core::{Dart, Garment, Piece, PieceBuilder, Role};
use kurbo::{CubicBez, Point};

/// The allowance of the armhole decides whether it fits into its hollow.
fn front(armhole_mm: f64) -> Piece {
    let p = |x: f64, y: f64| Point::new(x, y);
    let neck = CubicBez::new((0.0, 80.0), (42.0, 80.0), (67.0, 40.0), (67.0, 0.0));
    let armhole = [
        CubicBez::new((190.0, 35.0), (172.0, 80.0), (165.0, 110.0), (165.0, 130.0)),
        CubicBez::new((165.0, 130.0), (165.0, 200.0), (190.0, 215.0), (240.0, 215.0)),
    ];
    let waist = CubicBez::new((225.0, 420.0), (190.0, 430.0), (150.0, 432.0), (118.0, 432.0));
    let dart = |name: &str, tip: Point| Dart {
        name: name.into(),
        leg_a: format!("{name} leg 1").into(),
        leg_b: format!("{name} leg 2").into(),
        tip,
        pivot: tip,
        pressed_to_a: false,
    };
    PieceBuilder::new("front")
        .part("neckline", Role::Seam, 6.0, cubic_path(&[neck]))
        .line("shoulder", Role::Seam, 15.0, neck.p3, armhole[0].p0)
        .part("armhole", Role::Seam, armhole_mm, cubic_path(&armhole))
        .line("side seam", Role::Seam, 20.0, armhole[1].p3, p(236.0, 255.0))
        .line("bust dart leg 1", Role::DartLeg, 0.0, p(236.0, 255.0), p(110.0, 262.0))
        .line("bust dart leg 2", Role::DartLeg, 0.0, p(110.0, 262.0), p(234.0, 290.0))
        .line("side seam", Role::Seam, 20.0, p(234.0, 290.0), waist.p0)
        .part("waist", Role::Seam, 15.0, cubic_path(&[waist]))
        .line("waist dart leg 1", Role::DartLeg, 0.0, waist.p3, p(97.0, 285.0))
        .line("waist dart leg 2", Role::DartLeg, 0.0, p(97.0, 285.0), p(78.0, 432.0))
        .line("waist", Role::Seam, 15.0, p(78.0, 432.0), p(0.0, 432.0))
        .line("centre front", Role::Fold, 0.0, p(0.0, 432.0), neck.p0)
        .dart(dart("bust dart", p(110.0, 262.0)))
        .dart(dart("waist dart", p(97.0, 285.0)))
        .build()
        .unwrap()
}

fn benches(c: &mut Criterion) {
    let demo = Garment::from_text(include_str!("../../assets/demo/garment.ron")).unwrap().build();
    for piece in &demo.draft.pieces {
        c.bench_function(&format!("cut line of the demo's {}", piece.name()), |b| b.iter(|| cut_line(piece)));
    }
    let (plain, tight) = (front(10.0), front(50.0));
    c.bench_function("cut line of a front with two darts", |b| b.iter(|| cut_line(&plain)));
    c.bench_function("cut line of a front, allowance wider than the armhole", |b| b.iter(|| cut_line(&tight)));
}

criterion_group!(cut_lines, benches);
criterion_main!(cut_lines);
