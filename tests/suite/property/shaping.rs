//! Laws of shaping by hand and of walking a seam.

use draft_core::alteration::{Alteration, Mark, ShapeDart, Sign};
use draft_core::seam_runs::{Run, SeamRuns};
use draft_core::shaping::{Grip, Held, holds};
use draft_core::walking::Walking;
use draft_core::{Built, Draft, Garment, Length, Name, Piece, Place, Role, Work, WorkEntry};
use kurbo::{ParamCurve, ParamCurveNearest, Point, Vec2};
use proptest::prelude::*;

use crate::bodies::{complete, garment};

fn built(who: usize, style: usize) -> (Garment, Built) {
    let people = complete();
    let styles: [&[(&str, &str, &str)]; 4] = [
        &[("bodice", "bust-dart", "shoulder"), ("sleeve", "end", "straight")],
        &[("bodice", "bust-dart", "side"), ("skirt", "gores", "6")],
        &[("bodice", "front", "princess"), ("collar", "kind", "stand")],
        &[("bodice", "bust-dart", "waist"), ("facing", "edges", "neck")],
    ];
    let garment = garment(people[who % people.len()].card(), styles[style % styles.len()]);
    let built = garment.build();
    (garment, built)
}

fn one<T>(of: &[T], roll: f64) -> Option<&T> {
    of.get((roll * of.len() as f64) as usize).or(of.last())
}

/// How far a piece's seam line lies from another's at most, millimetres.
fn apart(a: &Piece, b: &Piece) -> f64 {
    let mut most: f64 = 0.0;
    for (one, other) in [(a, b), (b, a)] {
        for p in one.segments().flat_map(|(_, s)| (0..8).map(move |i| s.eval(f64::from(i) / 8.0))) {
            let near = other.segments().map(|(_, s)| s.nearest(p, 1e-6).distance_sq).fold(f64::INFINITY, f64::min);
            most = most.max(near.sqrt());
        }
    }
    most
}

/// The mouth and the tip of a dart.
fn dart_points(piece: &Piece, name: &Name) -> (Point, Point, Point) {
    let dart = piece.darts().iter().find(|d| d.name == *name).unwrap();
    let (a, tip) = piece.edge_ends(dart.leg_a.as_str()).unwrap();
    let (_, b) = piece.edge_ends(dart.leg_b.as_str()).unwrap();
    (a, b, tip)
}

proptest! {
    #![proptest_config(super::drawn(60))]

    #[test]
    fn a_drag_of_nothing_is_nothing(who in 0usize..3000, style in 0usize..4, roll in 0.0f64..1.0, edge_roll in 0.0f64..1.0) {
        let (garment, built) = built(who, style);
        let piece = one(&built.draft.pieces, roll).unwrap();
        let edge = one(piece.edges(), edge_roll).unwrap();
        for on in [None, Some(&edge.name)] {
            for hold in holds(&garment.works, &built, piece.name(), on) {
                let held = Held::take(&garment.works, &built, piece.name(), &hold.grip).unwrap();
                prop_assert_eq!(held.dragged(Vec2::ZERO, false), None, "{}", hold.name);
                prop_assert_eq!(held.dragged(Vec2::ZERO, true), None, "{}", hold.name);
            }
        }
    }

    /// Away and back again, by two drags: the edge runs as it did.
    #[test]
    fn there_and_back_is_where_it_was(who in 0usize..3000, style in 0usize..4, roll in 0.0f64..1.0, edge_roll in 0.0f64..1.0, by in (-6.0f64..6.0, -6.0f64..6.0)) {
        let (mut garment, first) = built(who, style);
        let piece = one(&first.draft.pieces, roll).unwrap().clone();
        let edges: Vec<_> = piece.edges().iter().filter(|e| e.role != Role::DartLeg).collect();
        let edge = one(&edges, edge_roll).unwrap();
        let by = Vec2::new(by.0.round(), by.1.round());
        prop_assume!(by != Vec2::ZERO);
        let all = holds(&garment.works, &first, piece.name(), Some(&edge.name));
        let handles: Vec<_> = all.into_iter().filter(|h| matches!(h.grip, Grip::Handle { .. })).collect();
        // A line of more curves is drawn in fewer, and at a joint the handle beyond it turns along.
        let curves = piece.edge_parts(edge.name.as_str()).map(|p| p.path.segments().count()).sum::<usize>();
        prop_assume!(!handles.is_empty() && curves <= 4);
        let grip = if roll < 0.5 { &handles[0] } else { &handles[handles.len() - 1] }.grip.clone();
        let there = Held::take(&garment.works, &first, piece.name(), &grip).unwrap().dragged(by, false);
        // A handle led along a straight line changes nothing.
        prop_assume!(there.is_some());
        let there = there.unwrap();
        prop_assume!(there.alteration.apply(&first.draft).is_ok());
        prop_assert_eq!(there.at, None);
        garment.works.push(WorkEntry::from(Work::Alter(Box::new(there.alteration))));
        let moved = garment.build();
        let same = moved.draft.piece(piece.name().as_str()).unwrap();
        // The work that is there is changed.
        let back = Held::take(&garment.works, &moved, piece.name(), &grip).unwrap().dragged(-by, false).unwrap();
        prop_assert_eq!(back.at, Some(garment.works.len() - 1));
        let last = garment.works.len() - 1;
        garment.works[last] = WorkEntry::from(Work::Alter(Box::new(back.alteration)));
        let home = garment.build();
        prop_assert!(home.outcomes[last].skipped.is_none(), "{:?}", home.outcomes[last].skipped);
        let home = home.draft.piece(piece.name().as_str()).unwrap().clone();
        prop_assert!(apart(&piece, same) > 0.01 || by.hypot() < 2.0, "it was moved");
        prop_assert!(apart(&piece, &home) < 0.01, "{} / {}: {}", piece.name(), edge.name, apart(&piece, &home));
    }

    #[test]
    fn a_shaped_dart_stays_true(who in 0usize..3000, style in 0usize..4, roll in 0.0f64..1.0, longer in -30.0f64..30.0, aside in -12.0f64..12.0, wider in -8.0f64..8.0) {
        let (_, built) = built(who, style);
        let darted: Vec<_> = built.draft.pieces.iter().filter(|p| !p.darts().is_empty()).collect();
        prop_assume!(!darted.is_empty());
        let piece = one(&darted, roll).unwrap();
        let dart = one(piece.darts(), roll).unwrap();
        let mm = Length::from_mm;
        let shape = ShapeDart { piece: piece.name().clone(), dart: dart.name.clone(), longer: mm(longer), aside: mm(aside), wider: mm(wider) };
        if let Ok(after) = Alteration::ShapeDart(shape).apply(&built.draft) {
            let new = after.piece(piece.name().as_str()).unwrap();
            let leg = |p: &Piece, l: &Name| p.edge_length_mm(l.as_str()).unwrap();
            let (was, is) = (leg(piece, &dart.leg_a) - leg(piece, &dart.leg_b), leg(new, &dart.leg_a) - leg(new, &dart.leg_b));
            prop_assert!(is.abs() < was.abs() + 1e-6, "legs differed by {was} and differ by {is}");
            let (a, b, tip) = dart_points(new, &dart.name);
            prop_assert!((a.distance(tip) - b.distance(tip)).abs() < 1e-6);
            let (_, _, old_tip) = dart_points(piece, &dart.name);
            prop_assert!((tip.distance(old_tip) - longer.hypot(aside)).abs() < 1e-6);
        }
    }

    /// Both edges go the same way at every moment, touch, run the same way there, and lie on opposite sides.
    #[test]
    fn what_rolls_does_not_slip(who in 0usize..3000, style in 0usize..4, roll in 0.0f64..1.0, share in 0.02f64..0.98) {
        let (_, built) = built(who, style);
        let walks: Vec<Walking> = seams(&built.draft).into_iter().filter_map(|(p, e)| Walking::of(&built.draft, &p, &e).ok()).collect();
        prop_assume!(!walks.is_empty());
        let walk = one(&walks, roll).unwrap();
        let [a, b] = walk.lengths_mm();
        let find = |name: &Name| built.draft.piece(name.as_str()).unwrap();
        let sum = |runs: &[Run]| runs.iter().map(|r| find(&r.side.piece).edge_length_mm(r.side.edge.as_str()).unwrap()).sum::<f64>();
        prop_assert!((a - sum(walk.fixed())).abs() < 0.01);
        prop_assert!((b - sum(walk.rolled())).abs() < 0.01);
        let s = share * a.min(b);
        // Arc length from the beginning of the walk, on both.
        let step = walk.step(s);
        let ((own_edge, own), (other_edge, other)) = (walk.on(false, s), walk.on(true, s));
        prop_assert_eq!([own_edge, other_edge], step.edges);
        prop_assert!(own.distance(step.at) < 1e-6 && (step.map * other).distance(own) < 1e-6);
        prop_assert!((step.map.determinant().abs() - 1.0).abs() < 1e-9, "nothing is stretched");
        // A little on they are a little apart at most: the curves touch.
        let next = 1.0f64.min(a.min(b) - s);
        let ((p_edge, p), (q_edge, q)) = (walk.on(false, s + next), walk.on(true, s + next));
        let whole = |run: &Run| find(&run.side.piece).edge_parts(run.side.edge.as_str()).count() == 1;
        let unbroken = [p_edge, q_edge] == step.edges && whole(&walk.fixed()[own_edge]) && whole(&walk.rolled()[other_edge]);
        if unbroken {
            let q = step.map * q;
            prop_assert!(p.distance(q) < 0.2, "{} mm on, {} mm apart", next, p.distance(q));
        }
        // At the end the difference is what the lengths say.
        prop_assert!((walk.difference_mm(walk.end_mm()) - (a - b)).abs() < 1e-9);
        for m in walk.matched() {
            prop_assert!(m.fixed_mm <= a + 1e-6 && m.rolled_mm <= b + 1e-6);
        }
    }

    /// Once the notches that were wanting are marked, none is wanting there.
    #[test]
    fn notches_marked_on_the_walk_match(who in 0usize..3000, style in 0usize..4, roll in 0.0f64..1.0) {
        let (_, built) = built(who, style);
        let walks: Vec<Walking> = seams(&built.draft).into_iter().filter_map(|(p, e)| Walking::of(&built.draft, &p, &e).ok()).filter(|w| !w.wanting().is_empty()).collect();
        prop_assume!(!walks.is_empty());
        let walk = one(&walks, roll).unwrap();
        let mut draft = Draft::clone(&built.draft);
        for wanting in walk.wanting() {
            for mark in walk.marks(&built.draft, &wanting) {
                draft = mark.apply(&draft).unwrap();
            }
        }
        let first = &walk.fixed()[0].side;
        let again = Walking::of(&draft, &first.piece, &first.edge).unwrap();
        prop_assert_eq!(again.wanting(), vec![]);
        prop_assert!(again.matched().len() > walk.matched().len());
    }
}

proptest! {
    #![proptest_config(super::drawn(60))]

    /// One more point on an edge leaves its form; without it again, the edge is what it was, nearly.
    #[test]
    fn a_point_comes_and_goes(who in 0usize..3000, style in 0usize..4, roll in 0.0f64..1.0, edge_roll in 0.0f64..1.0, share in 0.1f64..0.9) {
        let (mut garment, first) = built(who, style);
        let piece = one(&first.draft.pieces, roll).unwrap();
        let edge = one(piece.edges(), edge_roll).unwrap();
        prop_assume!(edge.role != Role::DartLeg);
        let grip = |nth: usize| Grip::Joint { edge: edge.name.clone(), nth };
        let held = Held::take(&garment.works, &first, piece.name(), &grip(0));
        prop_assume!(held.is_some());
        let at = piece.along_edge(edge.name.as_str(), share * piece.edge_length_mm(edge.name.as_str()).unwrap()).unwrap().0;
        let Some((added, nth)) = held.unwrap().with_point_at(at, false) else { return Ok(()) };
        garment.works.push(WorkEntry::from(Work::Alter(Box::new(added.alteration))));
        let second = garment.build();
        // An edge that can't be redrawn at all says so.
        prop_assume!(second.outcomes.last().unwrap().skipped.is_none());
        let new = second.draft.piece(piece.name().as_str()).unwrap();
        prop_assert!(apart(piece, new) < 0.06, "{} apart", apart(piece, new));
        let held = Held::take(&garment.works, &second, piece.name(), &grip(nth)).unwrap();
        let Some(without) = held.without_point(false) else { return Ok(()) };
        prop_assert_eq!(without.at, Some(garment.works.len() - 1));
        garment.works.pop();
        garment.works.push(WorkEntry::from(Work::Alter(Box::new(without.alteration))));
        let third = garment.build();
        prop_assert!(third.outcomes.last().unwrap().skipped.is_none());
        let last = third.draft.piece(piece.name().as_str()).unwrap();
        // Where the line was split within one curve it is that curve again; where that stood near a joint, close to it.
        prop_assert!(apart(piece, last) < 0.3, "{} apart", apart(piece, last));
    }

    /// A notch on both sides of a seam meets its match when the seam is walked, on whoever the garment is cut for.
    #[test]
    fn notches_on_both_sides_meet(who in 0usize..3000, other in 0usize..3000, style in 0usize..4, roll in 0.0f64..1.0, share in 0.05f64..0.95) {
        let (_, first) = built(who, style);
        let edges: Vec<(Name, Name)> =
            seams(&first.draft).into_iter().filter(|(p, e)| !SeamRuns::all_of(&first.draft, p, e).is_empty()).collect();
        let (piece, edge) = one(&edges, roll).unwrap().clone();
        let at = Place::share(edge.clone(), "start", share);
        let mark = Alteration::Mark(Mark { piece: piece.clone(), sign: Sign::Notch { at: at.clone(), double: false, both: true } });
        let (_, second) = built(other, style);
        for draft in [first.draft, second.draft] {
            let Ok(after) = mark.apply(&draft) else { continue };
            let own = at.find(after.piece(piece.as_str()).unwrap()).unwrap();
            for runs in SeamRuns::all_of(&after, &piece, &edge) {
                let run = runs.sides[0].iter().find(|r| r.side.piece == piece && r.side.edge == edge).unwrap();
                let mm = run.from_mm + run.long_mm * if run.against { 1.0 - share } else { share };
                let there = runs.seen(1).iter().map(|s| (s.at_mm - runs.opposite(mm)).abs()).fold(f64::INFINITY, f64::min);
                prop_assert!(there < 0.51, "at {own} of {piece} / {edge}: {there} mm from what meets it");
            }
        }
    }
}

/// Every edge that is sewn to another.
fn seams(draft: &Draft) -> Vec<(Name, Name)> {
    let edges = |p: &std::sync::Arc<Piece>| p.edges().iter().map(|e| (p.name().clone(), e.name.clone())).collect::<Vec<_>>();
    draft.pieces.iter().flat_map(edges).collect()
}
