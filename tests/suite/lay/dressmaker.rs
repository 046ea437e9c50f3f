//! The rules of a dressmaker's lay, on real pieces, each result checked apart from the planner.

use draft_core::cloth::{Bolt, Cloth, Cut, Enough, Flaw, LayOut, Short, Spread, Way, cuts, estimate};
use draft_core::lay::{Effort, Layout, Planner as _, Quiet, SearchPlanner, verify};
use draft_core::{Built, Garment, Length};
use kurbo::Vec2;

fn demo() -> (Garment, Built, Vec<Cut>) {
    let mut garment = basteline::demo::read().unwrap().2;
    garment.cloths.clear();
    garment.stacks.clear();
    let built = garment.build();
    let (cuts, messages) = cuts(&garment, &built);
    assert!(messages.is_empty(), "{messages:?}");
    (garment, built, cuts)
}

fn effort(passes: u64) -> Effort {
    Effort { seed: 3, passes, workers: 2 }
}

fn laid(lay_out: &LayOut, passes: u64) -> Vec<Layout> {
    let layouts: Vec<Layout> = lay_out.stretches.iter().map(|s| SearchPlanner.plan(&s.task, effort(passes), &Quiet).unwrap()).collect();
    for (stretch, layout) in lay_out.stretches.iter().zip(&layouts) {
        assert_eq!(verify::faults(&stretch.task, layout), []);
    }
    layouts
}

/// Pieces of cloth that come off the table, by name.
fn given(lay_out: &LayOut, layouts: &[Layout], name: &str) -> usize {
    let of = |(stretch, layout): (&draft_core::cloth::Stretch, &Layout)| -> usize {
        layout.placed.iter().map(|p| &stretch.pieces[p.item]).filter(|p| p.piece == name).map(|p| p.gives).sum()
    };
    lay_out.stretches.iter().zip(layouts).map(of).sum()
}

#[test]
fn every_piece_is_cut_as_often_as_asked_however_the_cloth_lies() {
    let (_, built, cuts) = demo();
    for (spread, one_way) in [(Spread::Single, true), (Spread::Single, false), (Spread::Folded, true), (Spread::Folded, false)] {
        let cloth = Cloth { spread, one_way, width: Length::from_cm(150.0), ..Cloth::default() };
        let lay_out = LayOut::of(&cloth, &cuts, false);
        assert!(lay_out.too_wide.is_empty(), "{:?}", lay_out.too_wide);
        let layouts = laid(&lay_out, 3);
        for piece in &built.draft.pieces {
            assert_eq!(given(&lay_out, &layouts, piece.name().as_str()), piece.cut().count as usize, "{} {spread:?}", piece.name());
        }
        // Area is conserved: what is laid is what is cut.
        let cut: f64 = cuts.iter().map(Cut::area_mm2).sum();
        assert!((lay_out.area_mm2() / cut - 1.0).abs() < 1e-3, "{} of {cut}", lay_out.area_mm2());
        for (stretch, layout) in lay_out.stretches.iter().zip(&layouts) {
            for placed in &layout.placed {
                let piece = built.draft.piece(stretch.pieces[placed.item].piece.as_str()).unwrap();
                let map = stretch.cloth_from_piece(placed);
                // The grain runs along the cloth, and with a nap always the same way up.
                let grain = map * piece.grain().p1 - map * piece.grain().p0;
                assert!(grain.y.abs() < 1e-6 * grain.hypot(), "{}: {grain:?}", piece.name());
                assert!(!one_way || grain.x > 0.0, "{} is upside down", piece.name());
                // Fold edges lie on the fold, and the piece beside it.
                if stretch.task.items[placed.item].on_fold {
                    let fold = piece.fold().unwrap();
                    let (a, b) = piece.edge_ends(fold.name.as_str()).unwrap();
                    assert!((map * a).y.abs() < 0.01 && (map * b).y.abs() < 0.01, "{}", piece.name());
                    let outline = placed.outline(&stretch.task);
                    let middle = outline.iter().fold(Vec2::ZERO, |s, p| s + p.to_vec2()) / outline.len() as f64;
                    assert!(middle.y > 1.0, "{} looks away from the fold", piece.name());
                }
            }
        }
        if spread == Spread::Folded {
            assert!(lay_out.stretches[0].task.items.iter().any(|i| i.on_fold));
        } else {
            assert!(lay_out.stretches.iter().all(|s| s.task.items.iter().all(|i| !i.on_fold)));
            // Mirrored pairs: as many face up as face down.
            let sleeve = lay_out.stretches[0].pieces.iter().zip(&lay_out.stretches[0].task.items).filter(|(p, _)| p.piece == "sleeve");
            let over: Vec<(bool, usize)> = sleeve.map(|(_, i)| (i.turns.iter().all(|t| t.mirrored), i.copies)).collect();
            assert_eq!(over, [(false, 1), (true, 1)]);
        }
    }
}

#[test]
fn a_piece_wider_than_the_cloth_is_found_and_a_seam_on_the_grain_proposed() {
    let (garment, built, cuts) = demo();
    let cloth = Cloth { width: Length::from_cm(50.0), ..Cloth::default() };
    let lay_out = LayOut::of(&cloth, &cuts, false);
    let wide = lay_out.too_wide.iter().find(|w| w.piece == "over-sleeve").or(lay_out.too_wide.first()).unwrap();
    assert!(wide.across_mm > wide.usable_mm && !wide.seams.is_empty());
    let piece = built.draft.piece(wide.piece.as_str()).unwrap();
    let grain = piece.grain().p1 - piece.grain().p0;
    for seam in &wide.seams {
        assert!((seam.p1 - seam.p0).cross(grain).abs() < 1e-6 * (seam.p1 - seam.p0).hypot() * grain.hypot());
    }
    // The parts, each with an allowance at its seams, fit.
    let part = wide.across_mm / (wide.seams.len() + 1) as f64 + 30.0;
    assert!(part <= wide.usable_mm + 1e-6, "{part}");
    let message = wide.message(garment.wearer.unit);
    assert!(message.problem.contains("cm across the grain") && message.remedy.contains("straight grain"), "{message:?}");
}

#[test]
fn shrinkage_and_take_up_leave_less_of_the_width() {
    let cloth = Cloth { shrinks_weft: 10.0, take_up_across: 2.0, ..Cloth::default() };
    assert!((cloth.usable_mm() - (1400.0 - 20.0) * 0.9 / 2.0).abs() < 1e-9);
}

#[test]
fn what_is_in_the_cupboard_suffices_or_what_would_help_is_said() {
    let (garment, built, cuts) = demo();
    let some: Vec<Cut> = cuts.iter().filter(|c| ["front", "back", "sleeve"].contains(&c.piece.as_str())).cloned().collect();
    let cloth = Cloth { one_way: true, ..Cloth::default() };
    let whole: f64 = laid(&LayOut::of(&cloth, &some, false), 30).iter().map(|l| l.length_mm).sum();
    let bolt = |mm: f64| Bolt { length: Length::from_mm(mm), width: None, flaws: Vec::new(), note: String::new() };
    let plenty = Enough::of(&cloth, &some, &[bolt(whole + 400.0)], &SearchPlanner, effort(30), &Quiet).unwrap();
    assert!(plenty.is_enough() && plenty.help.is_empty());
    assert_eq!(verify::faults(&plenty.stretch.task, &plenty.layout), []);
    let short = Enough::of(&cloth, &some, &[bolt(whole * 0.6)], &SearchPlanner, effort(15), &Quiet).unwrap();
    assert!(!short.is_enough());
    let lengths = [bolt(whole * 0.6)];
    let asked = Short {
        garment: &garment,
        built: &built,
        cuts: &some,
        cloth: &cloth,
        bolts: &lengths,
        planner: &SearchPlanner,
        effort: effort(15),
    };
    let help = asked.help(&short, &Quiet).unwrap();
    assert!(help.iter().any(|h| matches!(h.way, Way::More(mm) if mm > 0.2 * whole) && h.leaves == 0), "{help:?}");
    assert!(help.iter().all(|h| h.leaves < short.left_out.len()), "{help:?}");
    // Two lengths, the second with a flaw and narrower: nothing lies across the cut, on the flaw or beside it.
    let mut second = bolt(whole * 1.2);
    second.width = Some(Length::from_cm(110.0));
    second.flaws.push(Flaw {
        from_end: Length::from_mm(100.0),
        from_selvedge: Length::from_mm(200.0),
        long: Length::from_mm(60.0),
        wide: Length::from_mm(40.0),
    });
    let bolts = [bolt(whole * 0.7), second];
    let both = Enough::of(&cloth, &some, &bolts, &SearchPlanner, effort(30), &Quiet).unwrap();
    assert_eq!(verify::faults(&both.stretch.task, &both.layout), []);
    assert_eq!(both.stretch.task.flaws.len(), 3);
    assert!(both.is_enough(), "{:?}", both.left_out);
    let cut_at = whole * 0.7;
    for placed in &both.layout.placed {
        let outline = placed.outline(&both.stretch.task);
        let (from, to) = outline.iter().fold((f64::INFINITY, 0.0), |(a, b): (f64, f64), p| (a.min(p.x), b.max(p.x)));
        assert!(to <= cut_at + 1e-3 || from >= cut_at + 199.9, "a piece lies across two lengths");
    }
}

/// One piece alone takes its own length, which no share of a quick lay may take away; many take about what a lay takes.
#[test]
fn an_estimate_is_near_the_lay_and_never_less_than_the_longest_piece() {
    let (_, _, cuts) = demo();
    let cloth = Cloth::default();
    let alone = [Cut { count: 1, pairs: false, ..cuts.iter().find(|c| c.piece == "gore").unwrap().clone() }];
    let one = LayOut::of(&cloth, &alone, false);
    let lay: f64 = laid(&one, 1).iter().map(|l| l.length_mm).sum();
    assert!((estimate(&one, &Quiet).unwrap().length_mm - lay).abs() < 0.1, "{lay}");

    let all = LayOut::of(&cloth, &cuts, false);
    let lay: f64 = laid(&all, 600).iter().map(|l| l.length_mm).sum();
    let guess = estimate(&all, &Quiet).unwrap();
    assert!((guess.length_mm / lay - 1.0).abs() < 0.1, "{} for {lay}", guess.length_mm);
}
