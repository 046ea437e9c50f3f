//! The work sheet, read back by readers that are not the writer's.

use basteline::lay::ClothLay;
use draft_core::cloth::{KeptLay, KeptStretch, LayOut, cuts};
use draft_core::lay::{Effort, Planner as _, Quiet, SearchPlanner};
use draft_core::print_settings::Paper;
use draft_core::{Garment, Length, PrintSettings, Unit, sewing};
use kurbo::{Rect, Shape as _};
use tiled_print::lay_plan::LayPlan;
use tiled_print::{WorkSheet, pdf};

use super::readers::PageRead;
use super::{both, on};

/// The demo with every cloth laid.
fn laid(paper: Paper) -> Garment {
    let mut garment = on(paper);
    let built = garment.build();
    let (cuts, _) = cuts(&garment, &built);
    for cloth in &garment.cloths {
        let lay_out = LayOut::of(cloth, &cuts, false);
        let effort = Effort { seed: 1, passes: 2, workers: 1 };
        let plan = |s: &draft_core::cloth::Stretch| KeptStretch::of(s, &SearchPlanner.plan(&s.task, effort, &Quiet).unwrap(), |_| false);
        let stretches = lay_out.stretches.iter().map(plan).collect();
        garment.lays.push(KeptLay { cloth: cloth.name.clone(), seed: 1, passes: 2, by_hand: false, stretches });
    }
    garment
}

fn sheet(garment: &Garment, unit: Unit) -> WorkSheet {
    let built = garment.build();
    let lays = ClothLay::of_garment(garment, &built);
    assert_eq!(lays.len(), garment.lays.len(), "every lay that is kept is sound");
    let buying: Vec<_> = lays.iter().map(ClothLay::buy_line).collect();
    let plans: Vec<LayPlan> = lays.iter().flat_map(|l| l.plans(garment, &built)).map(|(_, plan)| plan).collect();
    WorkSheet::of(garment, &built, &garment.print, unit, &buying, &plans).unwrap()
}

fn words(pages: &[PageRead]) -> String {
    let runs: Vec<&str> = pages.iter().flat_map(|p| &p.texts).flat_map(|t| t.text.split_whitespace()).collect();
    runs.join(" ")
}

#[test]
fn everything_for_the_workroom_is_on_it_and_inside_the_margins() {
    for paper in [Paper::A4, Paper::Letter] {
        let garment = laid(paper);
        let built = garment.build();
        let sheet = sheet(&garment, Unit::Cm);
        let bytes = pdf::work_sheet(&sheet).unwrap();
        assert_eq!(bytes, pdf::work_sheet(&self::sheet(&garment, Unit::Cm)).unwrap(), "the same garment, the same bytes");
        let (width, height) = paper.size();
        let live = Rect::new(10.0, 10.0, width.mm() - 10.0, height.mm() - 10.0).inflate(0.2, 0.2);
        for (reader, pages) in both(&bytes) {
            assert_eq!(pages.len(), sheet.pages.len());
            let text = words(&pages);
            for heading in
                ["Before you cut", "Wearer", "Ease", "Pieces", "What to buy", "Cut list", "Notions", "Lays", "Order of sewing", "Fittings"]
            {
                assert!(text.contains(heading), "{reader}: {heading}");
            }
            for piece in &built.draft.pieces {
                // Drawn small, in the cut list, and on the lays.
                assert!(text.matches(piece.name().as_str()).count() >= 3, "{reader}: {}", piece.name());
            }
            for cloth in &garment.cloths {
                assert!(text.contains(&format!("{}: {}", garment.name, cloth.name)), "{reader}: the lay of {}", cloth.name);
            }
            for caution in built.messages.iter().filter(|m| m.grade >= draft_core::Grade::Caution) {
                assert!(text.contains(&caution.remedy), "{reader}: {}", caution.remedy);
            }
            for girth in &built.girths {
                assert!(text.contains(&format!("{} {}", girth.level, Unit::Cm.text(girth.body_mm))), "{reader}: {}", girth.level);
            }
            for step in sewing::steps(&built.draft, Unit::Cm) {
                assert!(text.contains(&step.what), "{reader}: {}", step.what);
            }
            assert!(text.contains("92.0 cm"), "{reader}: the bust of the wearer card");
            for page in &pages {
                for path in &page.paths {
                    let b = path.path.bounding_box();
                    assert!(live.contains(b.origin()) && live.contains(kurbo::Point::new(b.x1, b.y1)), "{reader}: {b:?}");
                }
                assert!(page.texts.iter().all(|t| live.contains(t.start)), "{reader}");
            }
        }
    }
}

#[test]
fn a_lay_that_no_longer_holds_is_left_out() {
    let mut garment = laid(Paper::A4);
    garment.wearer.set(draft_core::Measurement::OutsideLeg, draft_core::Take::new("116", garment.wearer.unit));
    let built = garment.build();
    let sound = ClothLay::of_garment(&garment, &built);
    assert!(!sound.iter().any(|l| l.cloth.name == "cream satin"), "longer gores do not lie where shorter ones lay");
    assert!(sound.iter().any(|l| l.cloth.name == "copper organza"), "the sleeves have not changed");
}

#[test]
fn a_paper_without_room_is_refused_and_inches_are_inches() {
    let garment = on(Paper::A4);
    let built = garment.build();
    let paper = Paper::Other { width: Length::from_mm(100.0), height: Length::from_mm(300.0) };
    let settings = PrintSettings { paper, ..garment.print.clone() };
    let refused = WorkSheet::of(&garment, &built, &settings, Unit::Cm, &[], &[]).unwrap_err();
    assert!(refused.remedy.contains("A4"), "{refused:?}");
    let sheet = WorkSheet::of(&garment, &built, &garment.print, Unit::Inch, &[], &[]).unwrap();
    let text = words(&both(&pdf::work_sheet(&sheet).unwrap())[0].1);
    assert!(text.contains("36 1/4 in"), "92 cm are 36.2 in");
}
