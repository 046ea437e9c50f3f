//! Moving a dart keeps what it must keep.

use draft_core::{Name, Piece, dart};
use kurbo::Point;
use proptest::prelude::*;

use crate::bodies::{complete, garment};

/// Area with each dart's legs drawn to its pivot, which turning keeps; the sewn tips lie short of it.
pub fn area_to_pivots(piece: &Piece) -> f64 {
    let sewn = piece.area_mm2();
    let spared: f64 = piece
        .darts()
        .iter()
        .map(|d| {
            let mouth = |leg: &Name, first: bool| piece.edge_ends(leg.as_str()).map(|(a, b)| if first { a } else { b }).unwrap();
            let (a, b) = (mouth(&d.leg_a, true), mouth(&d.leg_b, false));
            let triangle = |tip: Point| 0.5 * ((b - a).cross(tip - a)).abs();
            triangle(d.pivot) - triangle(d.tip)
        })
        .sum();
    sewn - spared
}

fn angle(piece: &Piece, name: &str) -> f64 {
    let d = piece.darts().iter().find(|d| d.name == *name).unwrap();
    let (a, _) = piece.edge_ends(d.leg_a.as_str()).unwrap();
    let (_, b) = piece.edge_ends(d.leg_b.as_str()).unwrap();
    let turn = (a - d.pivot).atan2() - (b - d.pivot).atan2();
    turn.sin().atan2(turn.cos()).abs()
}

proptest! {
    #![proptest_config(super::drawn(120))]

    #[test]
    fn area_lengths_and_angle_stay(who in 0usize..3000, edge in 0usize..4, at in 0.05f64..0.95) {
        let people = complete();
        let built = garment(people[who % people.len()].card(), &[("bodice", "bust-dart", "shoulder"), ("bodice", "second-bust-dart", "no")]).build();
        let front = built.draft.piece("front").unwrap();
        prop_assume!(front.darts().iter().any(|d| d.name == "bust dart"));
        let to = ["side seam", "armhole", "neckline", "waist"][edge];
        let length = front.edge_length_mm(to).unwrap();
        match dart::moved(front, "bust dart", to, at * length, 22.0, true) {
            Ok(moved) => {
                for e in front.edges().iter().filter(|e| e.role != draft_core::Role::DartLeg) {
                    let (before, after) = (front.edge_length_mm(e.name.as_str()).unwrap(), moved.edge_length_mm(e.name.as_str()).unwrap());
                    prop_assert!((before - after).abs() < 1e-3, "{} was {before} and is {after}", e.name);
                }
                prop_assert!((area_to_pivots(front) - area_to_pivots(&moved)).abs() < 0.5, "{} and {}", area_to_pivots(front), area_to_pivots(&moved));
                prop_assert!((angle(front, "bust dart") - angle(&moved, "bust dart")).abs() < 1e-6);
                let d = moved.darts().iter().find(|d| d.name == "bust dart").unwrap();
                let leg = |n: &Name| moved.edge_length_mm(n.as_str()).unwrap();
                prop_assert!((leg(&d.leg_a) - leg(&d.leg_b)).abs() < 1e-6);
                // And home again.
                let shoulder = front.edge_parts("shoulder").next().map(|p| draft_core::geometry::length(&p.path)).unwrap();
                let home = dart::moved(&moved, "bust dart", "shoulder", shoulder, 22.0, true).unwrap();
                for p in front.points() {
                    let q = home.point(p.name.as_str()).unwrap();
                    prop_assert!(p.at.distance(q) < 1e-3, "{} was at {:?} and is at {q:?}", p.name, p.at);
                }
            }
            Err(e) => prop_assert!(e.problem.contains("too near"), "{e}"),
        }
    }
}
