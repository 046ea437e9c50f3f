//! What is promised of the bodice's pieces: girths, lengths and corners that the checks hold them to.

use super::{Names, Spread, Style, Top};
use crate::block::bodice::solve::{Ease, Solved, Tape};
use crate::draft::{Corner, Draft, Promise};
use crate::{EdgeRun, Level, Measurement, Name, Span};

/// Levels of the bodice.
const LEVELS: [&str; 6] = ["neck", "across back", "across chest", "bust", "underbust", "waist"];

/// What the promises depend on besides the numbers.
pub struct Shape {
    /// Curved in under the bust.
    pub shaped: bool,
    pub top: Option<Top>,
    pub spread: Spread,
}

/// Adds girths and lengths that the pieces must come out at.
pub fn add(draft: &mut Draft, names: &Names, s: &Solved, tape: &Tape, ease: &Ease, shape: &Shape) {
    draft.levels.retain(|l| !LEVELS.contains(&l.name));
    draft.promises.retain(|p| !p.what.starts_with("bodice:"));
    let new = levels(draft, names, s, tape, ease, shape);
    draft.levels.extend(new);
    lengths(draft, names, s, tape, shape.top);
}

fn levels(draft: &Draft, names: &Names, s: &Solved, tape: &Tape, ease: &Ease, shape: &Shape) -> Vec<Level> {
    let (back, front) = (Name::from("back"), Name::from("front"));
    let (outer, outer_back) = (Names::outer(&names.fronts), Names::outer(&names.backs));
    let (front_cut, back_cut) = (names.fronts.len() > 1, names.backs.len() > 1);
    let all_edges = |edge: &str| -> Vec<Span> {
        let has = |n: &&Name| draft.piece(n.as_str()).is_some_and(|p| p.edge(edge).is_some());
        names.fronts.iter().chain(&names.backs).filter(has).map(|n| Span::Edge(EdgeRun::new(n.clone(), edge).times(2.0))).collect()
    };
    let level = |name, body_mm, ease_mm, spans| Level { name, body_mm, ease_mm, spans };
    let mut out = Vec::new();
    if shape.top.is_none() {
        let neck_ease = ease.neck + 2.0 * shape.spread.neckline;
        out.push(level("neck", tape.neck_base, neck_ease, all_edges("neckline")));
        let across_back = if back_cut && draft.piece("back").is_some_and(|p| p.point("across").is_none()) {
            vec![Span::between(&back, "centre across", "seam across", 2.0), Span::between(&outer_back, "seam across", "across", 2.0)]
        } else {
            vec![Span::between(&back, "centre across", "across", 2.0)]
        };
        out.push(level("across back", 2.0 * s.back_across.x - ease.across_back, ease.across_back, across_back));
        let across_chest = if front_cut && draft.piece("front").is_some_and(|p| p.point("across").is_some()) {
            Span::between(&front, "centre across", "across", 2.0)
        } else {
            Span::Laid {
                from: (front.clone(), "centre across".into()),
                to: (outer.clone(), "across".into()),
                fixed: (front.clone(), "shoulder fold".into(), "closed shoulder point".into()),
                laid: (outer.clone(), "shoulder fold outer".into(), "drafted shoulder point".into()),
                times: 2.0,
            }
        };
        out.push(level("across chest", 2.0 * s.chest_closed - ease.across_chest, ease.across_chest, vec![across_chest]));
    }
    let mut bust = vec![Span::between(&front, "centre at bust point", "bust point", 2.0)];
    if back_cut {
        bust.push(Span::between(&back, "centre at bust line", "seam at bust line", 2.0));
        bust.push(Span::between(&outer_back, "seam at bust line", "underarm", 2.0));
    } else {
        bust.push(Span::between(&back, "centre at bust line", "underarm", 2.0));
    }
    bust.push(if front_cut {
        Span::between(&outer, "bust point", "level with bust point", 2.0)
    } else {
        Span::between(&outer, "bust line over bust point", "drafted underarm", 2.0)
    });
    out.push(level("bust", tape.bust, ease.bust, bust));
    if shape.shaped {
        let mut underbust = Vec::new();
        for name in names.fronts.iter().chain(&names.backs) {
            // Cloth lies between the first and the second point, the third and the fourth, …
            let count =
                draft.piece(name.as_str()).map_or(0, |p| p.points().iter().filter(|p| p.name.as_str().starts_with("underbust ")).count());
            for i in (1..count).step_by(2) {
                underbust.push(Span::between(name, &format!("underbust {i}"), &format!("underbust {}", i + 1), 2.0));
            }
        }
        out.push(level("underbust", tape.underbust, ease.underbust, underbust));
    }
    out.push(level("waist", tape.waist, ease.waist + 2.0 * shape.spread.waist, all_edges("waist")));
    out
}

fn lengths(draft: &mut Draft, names: &Names, s: &Solved, tape: &Tape, top: Option<Top>) {
    let front = Name::from("front");
    let used = |which, measured: f64| s.used.iter().find(|u| u.0 == which).map_or(measured, |u| u.2);
    let bust_point = if names.fronts.len() > 1 { "measured bust point" } else { "bust point" };
    let mut add = |what: &str, asked_mm: f64, spans: Vec<Span>| {
        draft.promises.push(Promise { what: format!("bodice: {what}"), asked_mm, spans });
    };
    let edge = |piece: &str, edge: &str| Span::Edge(EdgeRun::new(piece, edge));
    let to_waist = Span::between(&front, bust_point, "bust point below", 1.0);
    match top {
        None => {
            let to_bust = Span::between(&front, "shoulder neck point", bust_point, 1.0);
            let front_length = used(Measurement::FrontWaistLength, tape.front_length);
            add("side neck point to waist over bust", front_length, vec![to_bust.clone(), to_waist]);
            add("side neck point to bust point", tape.neck_to_bust, vec![to_bust]);
            let back_length = used(Measurement::BackWaistLength, tape.back_length);
            add("back neck point to waist", back_length, vec![edge("back", "centre back")]);
        }
        Some(top) => {
            let waist_to_bust = used(Measurement::FrontWaistLength, tape.front_length) - tape.neck_to_bust;
            add("bust point to waist", waist_to_bust, vec![to_waist]);
            add("bust point up to the top edge", top.over_bust, vec![Span::between(&front, "top over bust", bust_point, 1.0)]);
            add("top edge to waist at the centre front", waist_to_bust + top.front, vec![edge("front", "centre front")]);
            add("top edge to waist at the centre back", s.underarm_y - top.back, vec![edge("back", "centre back")]);
        }
    }
    let apart = used(Measurement::BustPointDistance, tape.bust_points);
    add("bust point to bust point", apart, vec![Span::between(&front, "centre at bust point", bust_point, 2.0)]);
}

/// Adds the corners that must be square or smooth.
pub fn corners(draft: &mut Draft, names: &Names, style: &Style<'_>) {
    let (back, front) = (Name::from("back"), Name::from("front"));
    let (outer, outer_back) = (Names::outer(&names.fronts), Names::outer(&names.backs));
    let of = |piece: &Name, a: &str, b: &str| (piece.clone(), Name::from(a), Name::from(b));
    let with_both = |names: &[Name], a: &str, b: &str| {
        let has = |n: &&Name| draft.piece(n.as_str()).is_some_and(|p| p.edge(a).is_some() && p.edge(b).is_some());
        names.iter().find(has).cloned().unwrap_or_else(|| Names::outer(names))
    };
    let (front_tip, back_tip) = (with_both(&names.fronts, "shoulder", "armhole"), with_both(&names.backs, "shoulder", "armhole"));
    let mut add = |what: &str, of: Vec<(Name, Name, Name)>, degrees: f64, within: f64| {
        draft.corners.push(Corner { what: format!("bodice: {what}"), of, degrees, within });
    };
    let upper = if style.top.is_some() { "top edge" } else { "neckline" };
    add(&format!("{upper} at the centre front"), vec![of(&front, "centre front", upper)], 90.0, 0.5);
    add(&format!("{upper} at the centre back"), vec![of(&back, "centre back", upper)], 90.0, 0.5);
    add("waist at the centre front", vec![of(&front, "waist", "centre front")], 90.0, 0.5);
    add("waist at the centre back", vec![of(&back, "waist", "centre back")], 90.0, 0.5);
    if style.top.is_some() {
        let at_side = vec![of(&outer, "top edge", "side seam"), of(&outer_back, "top edge", "side seam")];
        add("top edge across the side seam", at_side, 180.0, 3.0);
    } else {
        add("neckline across the shoulder seam", vec![of(&front, "neckline", "shoulder"), of(&back, "neckline", "shoulder")], 180.0, 3.0);
        // Each may leave the shoulder up to 10° off square where a square start would make a kink.
        let at_tip = vec![of(&front_tip, "shoulder", "armhole"), of(&back_tip, "shoulder", "armhole")];
        add("armhole across the shoulder seam", at_tip, 180.0, 20.5);
    }
    add("waist across the side seam", vec![of(&outer, "side seam", "waist"), of(&outer_back, "side seam", "waist")], 180.0, 3.0);
    for half in [&names.fronts, &names.backs] {
        if let [inner, outer] = half.as_slice() {
            let across = vec![of(inner, "princess seam", "waist"), of(outer, "waist", "princess seam")];
            add("waist across the princess seam", across, 180.0, 3.0);
            let across = vec![of(inner, "armhole", "princess seam"), of(outer, "princess seam", "armhole")];
            add("armhole across the princess seam", across, 180.0, 3.0);
        }
    }
}
