//! What is promised of the bodice's pieces: girths, lengths and corners that the checks hold them to.

use crate::block::bodice::solve::{Ease, Solved, Tape};
use crate::draft::{Corner, Draft, Promise};
use crate::{EdgeRun, Level, Name, Span};

/// Adds girths and lengths that the pieces must come out at.
pub fn add(draft: &mut Draft, fronts: &[Name], s: &Solved, tape: &Tape, ease: &Ease, shaped: bool) {
    draft.levels.retain(|l| !matches!(l.name, "neck" | "across back" | "across chest" | "bust" | "underbust" | "waist"));
    draft.promises.retain(|p| !p.what.starts_with("bodice:"));
    let (back, front) = (Name::from("back"), Name::from("front"));
    let outer = fronts.last().unwrap_or(&front).clone();
    let twice = |piece: &Name, edge: &str| Span::Edge(EdgeRun::new(piece.clone(), edge).times(2.0));
    let mut waist: Vec<Span> = fronts.iter().map(|f| twice(f, "waist")).collect();
    waist.push(twice(&back, "waist"));
    let mut bust = vec![
        Span::between(&back, "centre at bust line", "underarm", 2.0),
        Span::between(&front, "centre at bust point", "bust point", 2.0),
    ];
    bust.push(if fronts.len() > 1 {
        Span::between(&outer, "bust point", "level with bust point", 2.0)
    } else {
        Span::between(&outer, "bust line over bust point", "underarm", 2.0)
    });
    let closed_chest = Span::Laid {
        from: (front.clone(), "centre across".into()),
        to: (outer.clone(), "across".into()),
        fixed: (front.clone(), "shoulder fold".into(), "closed shoulder point".into()),
        laid: (outer, "shoulder fold outer".into(), "shoulder point".into()),
        times: 2.0,
    };
    let mut underbust = Vec::new();
    for name in fronts.iter().chain([&back]) {
        // Cloth lies between the first and the second point, the third and the fourth, …
        let count =
            draft.piece(name.as_str()).map_or(0, |p| p.points().iter().filter(|p| p.name.as_str().starts_with("underbust ")).count());
        for i in (1..count).step_by(2) {
            underbust.push(Span::between(name, &format!("underbust {i}"), &format!("underbust {}", i + 1), 2.0));
        }
    }
    let back_used = 2.0 * s.back_across.x - ease.across_back;
    draft.levels.extend([
        Level {
            name: "neck",
            body_mm: tape.neck_base,
            ease_mm: ease.neck,
            spans: vec![twice(&back, "neckline"), twice(&front, "neckline")],
        },
        Level {
            name: "across back",
            body_mm: back_used,
            ease_mm: ease.across_back,
            spans: vec![Span::between(&back, "centre across", "across", 2.0)],
        },
        Level {
            name: "across chest",
            body_mm: 2.0 * s.chest_closed - ease.across_chest,
            ease_mm: ease.across_chest,
            spans: vec![closed_chest],
        },
        Level { name: "bust", body_mm: tape.bust, ease_mm: ease.bust, spans: bust },
        Level { name: "underbust", body_mm: tape.underbust, ease_mm: ease.underbust, spans: underbust },
        Level { name: "waist", body_mm: tape.waist, ease_mm: ease.waist, spans: waist },
    ]);
    if !shaped {
        draft.levels.retain(|l| l.name != "underbust");
    }
    let used = |which, measured: f64| s.used.iter().find(|u| u.0 == which).map_or(measured, |u| u.2);
    let bust_point = if fronts.len() > 1 { "measured bust point" } else { "bust point" };
    let to_bust = Span::between(&front, "shoulder neck point", bust_point, 1.0);
    draft.promises.extend([
        Promise {
            what: "bodice: side neck point to waist over bust".into(),
            asked_mm: used(crate::Measurement::FrontWaistLength, tape.front_length),
            spans: vec![to_bust.clone(), Span::between(&front, bust_point, "bust point below", 1.0)],
        },
        Promise { what: "bodice: side neck point to bust point".into(), asked_mm: tape.neck_to_bust, spans: vec![to_bust] },
        Promise {
            what: "bodice: back neck point to waist".into(),
            asked_mm: used(crate::Measurement::BackWaistLength, tape.back_length),
            spans: vec![Span::Edge(EdgeRun::new("back", "centre back"))],
        },
        Promise {
            what: "bodice: bust point to bust point".into(),
            asked_mm: used(crate::Measurement::BustPointDistance, tape.bust_points),
            spans: vec![Span::between(&front, "centre at bust point", bust_point, 2.0)],
        },
    ]);
}

/// Adds the corners that must be square or smooth.
pub fn corners(draft: &mut Draft, fronts: &[Name]) {
    let (back, front) = (Name::from("back"), Name::from("front"));
    let outer = fronts.last().unwrap_or(&front).clone();
    let of = |piece: &Name, a: &str, b: &str| (piece.clone(), Name::from(a), Name::from(b));
    let mut add = |what: &str, of: Vec<(Name, Name, Name)>, degrees: f64, within: f64| {
        draft.corners.push(Corner { what: format!("bodice: {what}"), of, degrees, within });
    };
    add("neckline at the centre front", vec![of(&front, "centre front", "neckline")], 90.0, 0.5);
    add("neckline at the centre back", vec![of(&back, "centre back", "neckline")], 90.0, 0.5);
    add("waist at the centre front", vec![of(&front, "waist", "centre front")], 90.0, 0.5);
    add("waist at the centre back", vec![of(&back, "waist", "centre back")], 90.0, 0.5);
    add("neckline across the shoulder seam", vec![of(&front, "neckline", "shoulder"), of(&back, "neckline", "shoulder")], 180.0, 3.0);
    add("waist across the side seam", vec![of(&outer, "side seam", "waist"), of(&back, "side seam", "waist")], 180.0, 3.0);
    // Each may leave the shoulder up to 10° off square where a square start would make a kink.
    add("armhole across the shoulder seam", vec![of(&outer, "shoulder", "armhole"), of(&back, "shoulder", "armhole")], 180.0, 20.5);
}
