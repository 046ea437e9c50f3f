//! Lays that a garment keeps: recalled on the same pieces, on other ones, and after a hand has moved them.

use draft_core::cloth::{Cloth, KeptLay, KeptStretch, LayOut, Spread, Standing, cuts};
use draft_core::lay::verify::{Fault, faults, faults_of};
use draft_core::lay::{Effort, Layout, Planner as _, Quiet, SearchPlanner};
use draft_core::{Built, Garment, Length, Measurement, Take};
use kurbo::Vec2;

fn demo() -> (Garment, Built) {
    let garment = basteline::demo::read().unwrap().2;
    let built = garment.build();
    (garment, built)
}

fn of(garment: &Garment, built: &Built, cloth: &str) -> LayOut {
    let cloth = garment.cloths.iter().find(|c| c.name == cloth).unwrap();
    LayOut::of(cloth, &cuts(garment, built).0, true)
}

fn planned(lay_out: &LayOut) -> Vec<Layout> {
    let effort = Effort { seed: 3, passes: 4, workers: 2 };
    lay_out.stretches.iter().map(|s| SearchPlanner.plan(&s.task, effort, &Quiet).unwrap()).collect()
}

fn kept(lay_out: &LayOut, layouts: &[Layout]) -> KeptLay {
    let stretches = lay_out.stretches.iter().zip(layouts).map(|(s, l)| KeptStretch::of(s, l, |_| false)).collect();
    KeptLay { cloth: lay_out.cloth.name.clone(), seed: 3, passes: 4, by_hand: false, stretches }
}

#[test]
fn a_lay_comes_back_from_the_file_as_it_lay() {
    let (mut garment, built) = demo();
    for cloth in ["cream satin", "calico"] {
        let lay_out = of(&garment, &built, cloth);
        garment.lays.push(kept(&lay_out, &planned(&lay_out)));
    }
    let text = garment.to_text();
    let again = Garment::from_text(&text).unwrap();
    assert_eq!(again, garment);
    let built = again.build();
    for lay in &again.lays {
        let lay_out = of(&again, &built, &lay.cloth);
        let standing = Standing::of(&lay_out, Some(lay));
        assert!(standing.is_sound() && !standing.is_stale(), "{}: {:?}", lay.cloth, standing.changed());
        let before = planned(&lay_out);
        for (stood, layout) in standing.stretches.iter().zip(&before) {
            assert!((stood.recalled.layout.length_mm - layout.length_mm).abs() < 0.1);
            for placed in &layout.placed {
                let back = stood.recalled.layout.placed.iter().find(|p| (p.item, p.copy) == (placed.item, placed.copy)).unwrap();
                assert!((back.at - placed.at).hypot() < 1e-6 && back.turn == placed.turn);
            }
        }
    }
    // The toile's cloth is folded: what can't be cut from two layers is a stretch of its own.
    assert!(again.lays[1].stretch(Spread::Folded).is_some() && again.lays[1].stretch(Spread::Single).is_some());
}

#[test]
fn a_lay_says_what_has_changed_since() {
    let (garment, built) = demo();
    let lay_out = of(&garment, &built, "cream satin");
    let lay = kept(&lay_out, &planned(&lay_out));
    let mut longer = garment.clone();
    longer.wearer.set(Measurement::OutsideLeg, Take::new("109", longer.wearer.unit));
    let standing = Standing::of(&of(&longer, &longer.build(), "cream satin"), Some(&lay));
    assert!(standing.is_stale());
    assert!(standing.changed().contains(&"gore has another shape or size"), "{:?}", standing.changed());
    assert!(!standing.changed().iter().any(|c| c.starts_with("sleeve")), "{:?}", standing.changed());
    assert!(!standing.is_sound(), "longer gores lie on one another or past the gap");

    let mut more = garment.clone();
    more.stacks.iter_mut().find(|s| s.piece == "gore").unwrap().layers[0].count = Some(9);
    let standing = Standing::of(&of(&more, &built, "cream satin"), Some(&lay));
    assert!(standing.changed().contains(&"gore is cut 9 times, and was 8"), "{:?}", standing.changed());
    assert_eq!(standing.stretches[0].recalled.layout.left_out.len(), 1, "the ninth is not laid");

    let mut wider = garment.clone();
    wider.cloths[0].width = Length::from_cm(150.0);
    let standing = Standing::of(&of(&wider, &built, "cream satin"), Some(&lay));
    assert_eq!(standing.changed(), ["the cloth has another width"]);
    assert!(standing.is_sound(), "it still lies well, though it could be shorter");

    let mut none = garment;
    none.cloths.remove(0);
    none.stacks.clear();
    assert!(none.check_cloths().is_ok());
    none.lays.push(lay);
    assert!(none.check_cloths().is_err(), "a lay of a cloth that is not there");
}

#[test]
fn a_piece_moved_by_hand_onto_another_is_told_and_one_on_the_fold_stays_there() {
    let (garment, built) = demo();
    let lay_out = of(&garment, &built, "cream satin");
    let layout = planned(&lay_out).remove(0);
    let stretch = &lay_out.stretches[0];
    let first = layout.placed[0];
    let which = (first.item, first.copy);
    let other = layout.placed.iter().find(|p| (p.item, p.copy) != which).unwrap();
    let by = stretch.box_of(other).center() - stretch.box_of(&first).center();
    let moved = stretch.moved(&layout, which, by);
    let told = faults_of(&stretch.task, &moved, which);
    assert!(told.iter().any(|f| matches!(f, Fault::Overlap(..)) && f.copies().contains(&(other.item, other.copy))), "{told:?}");
    // What is told of the one piece is what the look at the whole finds of it.
    let whole: Vec<Fault> = faults(&stretch.task, &moved).into_iter().filter(|f| f.copies().contains(&which)).collect();
    assert_eq!(told, whole);
    let back = stretch.moved(&moved, which, -by);
    assert_eq!(faults(&stretch.task, &back), []);
    let off = stretch.moved(&layout, which, Vec2::new(0.0, -5000.0));
    assert!(faults_of(&stretch.task, &off, which).iter().any(|f| matches!(f, Fault::OffTheCloth(_, mm) if *mm > 1000.0)));

    let lay_out = of(&garment, &built, "cotton lawn");
    let stretch = &lay_out.stretches[0];
    let layout = planned(&lay_out).remove(0);
    let on_fold = *layout.placed.iter().find(|p| stretch.task.items[p.item].on_fold).unwrap();
    let which = (on_fold.item, on_fold.copy);
    let moved = stretch.moved(&layout, which, Vec2::new(30.0, 80.0));
    let lies = moved.placed.iter().find(|p| (p.item, p.copy) == which).unwrap();
    assert!((lies.at - on_fold.at - Vec2::new(30.0, 0.0)).hypot() < 1e-9);
    // Turned as often as it has ways it lies as before.
    let mut turned = layout.clone();
    for _ in 0..stretch.task.items[on_fold.item].turns.len() {
        turned = stretch.turned(&turned, which);
        assert!(!faults_of(&stretch.task, &turned, which).iter().any(|f| matches!(f, Fault::OffTheFold(..) | Fault::WrongTurn(_))));
    }
    assert!((turned.placed.iter().find(|p| (p.item, p.copy) == which).unwrap().at - on_fold.at).hypot() < 1e-6);
}

#[test]
fn what_is_held_stays_and_the_rest_is_laid_round_it() {
    let (garment, built) = demo();
    let cloth = Cloth { one_way: false, ..garment.cloths[0].clone() };
    let mut lay_out = LayOut::of(&cloth, &cuts(&garment, &built).0, false);
    let layout = planned(&lay_out).remove(0);
    let which = (layout.placed[2].item, layout.placed[2].copy);
    let moved = lay_out.stretches[0].moved(&layout, which, Vec2::new(layout.length_mm / 3.0, 0.0));
    let moved = lay_out.stretches[0].turned(&moved, which);
    let kept = KeptStretch::of(&lay_out.stretches[0], &moved, |p| (p.item, p.copy) == which);
    let fixed = kept.recall(&lay_out.stretches[0]).fixed();
    assert_eq!(fixed.len(), 1);
    lay_out.stretches[0].task.fixed = fixed.clone();
    let again = planned(&lay_out).remove(0);
    assert_eq!(faults(&lay_out.stretches[0].task, &again), []);
    assert_eq!(again.placed.iter().find(|p| (p.item, p.copy) == which), fixed.first());
}
