//! What would help when the cupboard is not enough, against cases that can be reckoned by hand.

use draft_core::cloth::{Bolt, Cloth, Cut, Enough, Help, Short, Way, cuts};
use draft_core::lay::{Effort, Quiet, SearchPlanner};
use draft_core::{Alteration, Block, Built, Garment, Length, Settings, Unit, WearerCard, Work, WorkEntry};

const WEATHERVANE: &str = include_str!("../../../assets/designs/the_weathervane.ron");

fn bolt(mm: f64) -> Bolt {
    Bolt { length: Length::from_mm(mm), width: None, flaws: Vec::new(), note: String::new() }
}

fn asked(garment: &Garment, built: &Built, cuts: &[Cut], cloth: &Cloth, bolts: &[Bolt]) -> (Enough, Vec<Help>) {
    let effort = Effort { seed: 5, passes: 30, workers: 2 };
    let enough = Enough::of(cloth, cuts, bolts, &SearchPlanner, effort, &Quiet).unwrap();
    let short = Short { garment, built, cuts, cloth, bolts, planner: &SearchPlanner, effort };
    let help = short.help(&enough, &Quiet).unwrap();
    (enough, help)
}

/// Two rectangles on cloth little wider and longer than one: side by side they take twice the width, the gap and two selvedges, so that
/// of the usual widths the first that is wider is enough; one behind the other they take twice the length and the gap.
#[test]
fn wider_cloth_and_more_of_it_are_told_as_they_are_reckoned() {
    let choices = [
        ("sewn-to", "own length"),
        ("seam-length", "56 cm"),
        ("ratio", "2"),
        ("hem", "length"),
        ("length", "80 cm"),
        ("seam-allowance", "15 mm"),
        ("hem-allowance", "25 mm"),
    ];
    let mut settings = Settings::default();
    for (key, value) in choices {
        if let Some(setting) = Block::Panel.settings().iter().find(|s| s.key == key) {
            settings.set(setting, setting.parse(value, Unit::Cm).unwrap()).unwrap();
        }
    }
    let mut garment = Garment::new("panel", WearerCard::default());
    garment.works.push(Work::Draft { block: Block::Panel, settings }.into());
    let built = garment.build();
    let (all, _) = cuts(&garment, &built);
    // The panel's rectangle, twice.
    let one = all[0].clone();
    let (wide, high) = {
        let xs = one.outline.iter().map(|p| p.x);
        let ys = one.outline.iter().map(|p| p.y);
        let span = |v: Vec<f64>| v.iter().copied().fold(f64::NEG_INFINITY, f64::max) - v.iter().copied().fold(f64::INFINITY, f64::min);
        (span(xs.collect()), span(ys.collect()))
    };
    let pair = [Cut { count: 2, pairs: false, ..one }];
    let gap = 4.0;
    let selvedge = 10.0;
    let cloth = Cloth {
        width: Length::from_mm(wide + 2.0 * selvedge + 40.0),
        selvedge: Length::from_mm(selvedge),
        gap: Length::from_mm(gap),
        one_way: true,
        ..Cloth::default()
    };
    let bolts = [bolt(high + 30.0)];
    let (enough, help) = asked(&garment, &built, &pair, &cloth, &bolts);
    assert_eq!(enough.left_out.len(), 1, "one of two fits");
    let beside = 2.0 * wide + gap + 2.0 * selvedge;
    let first = [900.0, 1150.0, 1400.0, 1500.0, 1600.0, 2800.0].into_iter().find(|w| *w >= beside).unwrap();
    assert!(help.iter().any(|h| h.way == Way::Width(first) && h.leaves == 0), "{first}: {help:?}");
    let more = help.iter().find_map(|h| if let Way::More(mm) = h.way { Some(mm) } else { None }).unwrap();
    assert!((more - (2.0 * high + gap - (high + 30.0))).abs() < 0.004 * high, "{more}");
    assert!(!help.iter().any(|h| matches!(h.way, Way::BothWays)), "the other way up a rectangle takes as much: {help:?}");
}

/// A train longer than every length there is: with a seam across it, it lies. What is proposed is done as works, and what is cut then
/// has the train as a piece of its own.
#[test]
fn a_seam_in_the_train_lets_it_lie_on_lengths_too_short_for_it() {
    let garment = Garment::from_text(WEATHERVANE).unwrap();
    let built = garment.build();
    let (all, _) = cuts(&garment, &built);
    let high = |c: &Cut| {
        let ys = || c.outline.iter().map(|p| p.y);
        ys().fold(f64::NEG_INFINITY, f64::max) - ys().fold(f64::INFINITY, f64::min)
    };
    let gores: Vec<Cut> = all.iter().filter(|c| c.piece.as_str().contains("gore")).cloned().collect();
    let longest = gores.iter().map(high).fold(0.0, f64::max);
    let second = gores.iter().map(high).filter(|h| *h < longest - 1.0).fold(0.0, f64::max);
    assert!(longest > second + 20.0, "the train is longest at the back: {longest} and {second}");
    let cloth = garment.cloths_or_plain()[0].clone();
    let bolts: Vec<Bolt> = (0..6).map(|_| bolt((longest + second) / 2.0)).collect();
    let (enough, help) = asked(&garment, &built, &gores, &cloth, &bolts);
    assert!(!enough.is_enough());
    let train = help.iter().find(|h| matches!(h.way, Way::Train(_))).unwrap_or_else(|| panic!("{help:?}"));
    assert_eq!(train.leaves, 0, "{help:?}");
    let seam = train.way.seam().unwrap();
    let mut made = garment.clone();
    made.works.extend(seam.works.iter().cloned().map(|a: Alteration| WorkEntry::from(Work::Alter(Box::new(a)))));
    let after = made.build();
    assert!(after.outcomes.iter().all(|o| o.skipped.is_none()), "{:?}", after.outcomes.last());
    let part = after.draft.piece(seam.parts[0].as_str()).unwrap();
    assert!(part.edge("hem").is_some() && part.edge("train seam").is_some());
    let whole = |b: &Built| -> f64 { b.draft.pieces.iter().map(|p| p.area_mm2() * f64::from(p.cut().count)).sum() };
    assert!((whole(&after) / whole(&built) - 1.0).abs() < 1e-6);
}

/// A piece wider than the cloth is left out, and let in by the piecing seam that is proposed.
#[test]
fn a_piece_too_wide_for_the_cupboard_is_pieced() {
    let mut garment = basteline::demo::read().unwrap().2;
    garment.cloths = vec![Cloth { width: Length::from_cm(50.0), ..Cloth::default() }];
    garment.stacks.clear();
    let built = garment.build();
    let (all, _) = cuts(&garment, &built);
    let gores: Vec<Cut> = all.into_iter().filter(|c| c.piece == "gore").collect();
    let bolts = [bolt(20_000.0)];
    // Nothing of it lies at all, so the answer is refused, and says what to do.
    let refused = Enough::of(&garment.cloths[0], &gores, &bolts, &SearchPlanner, Effort::default(), &Quiet).unwrap_err();
    assert!(refused.remedy.contains("piece"), "{refused:?}");
    let mixed: Vec<Cut> = cuts(&garment, &built).0.into_iter().filter(|c| c.piece == "gore" || c.piece == "collar").collect();
    let (enough, help) = asked(&garment, &built, &mixed, &garment.cloths[0], &bolts);
    let wide: u32 = gores.iter().map(|c| c.count).sum();
    assert_eq!(enough.left_out.len(), wide as usize, "what is wider than the cloth is not there: {:?}", enough.left_out);
    let pieced = help.iter().find(|h| matches!(h.way, Way::Piece(_)) && h.leaves == 0).unwrap_or_else(|| panic!("{help:?}"));
    assert_eq!(pieced.way.seam().unwrap().piece, "gore");
    assert!(pieced.text(Unit::Cm).starts_with("It is enough if the gore is pieced"), "{}", pieced.text(Unit::Cm));
}

/// The demo's toile on too short an end of its folded cloth: sheeting of 280 cm is wide enough for what was left out, and the pieces that
/// can't be cut folded do not stand in the way of saying so.
#[test]
fn wider_cloth_helps_where_the_cloth_is_folded_too() {
    let garment = basteline::demo::read().unwrap().2;
    let built = garment.build();
    let (all, _) = cuts(&garment, &built);
    let calico = garment.cloths.iter().find(|c| c.name == "calico").unwrap();
    let bolts = [bolt(3300.0)];
    let (enough, help) = asked(&garment, &built, &all, calico, &bolts);
    assert!(!enough.is_enough());
    // What is shown on the way is numbered as what comes of it: every piece fits across.
    let shown = Enough::stretch(calico, &all, &bolts).unwrap();
    assert_eq!((&shown.task, &shown.pieces), (&enough.stretch.task, &enough.stretch.pieces));
    assert!(help.iter().any(|h| h.way == Way::Width(2800.0) && h.leaves == 0), "{help:?}");
    assert!(help.iter().any(|h| matches!(h.way, Way::More(_))), "{help:?}");
}
