//! The block book: editions that nobody loses, garments that take them up, fittings, and the same work list on others.

use std::path::Path;
use std::thread;

use basteline::files::book::{Book, NotSaved};
use basteline::{demo, files};
use draft_core::block_book::{self, Proposed};
use draft_core::pinned::{OnEdge, Pin, Pinned};
use draft_core::take_up::{newer, take_up};
use draft_core::{Along, Alteration, Block, BookBlock, Built, Fitting, Garment, Grade, Length, Settings, Work, WorkEntry};

use crate::bodies::{setting, test_bodies};

const BLOCK: &str = "Marit, close-fitting";

fn in_folder() -> (tempfile::TempDir, Book) {
    let folder = tempfile::tempdir().unwrap();
    let book = Book::at(folder.path().join("basteline"));
    (folder, book)
}

fn demo_block() -> Garment {
    demo::read().unwrap().1
}

fn cm(cm: f64) -> Length {
    Length::from_cm(cm)
}

fn side_seam(pins: &[(f64, f64)]) -> Pinned {
    Pinned::Seam {
        seam: OnEdge { piece: "front".into(), edge: "side seam".into(), from: "waist".into() },
        pins: pins.iter().map(|&(at, by)| Pin { at: Along::Length(cm(at)), by: cm(by) }).collect(),
    }
}

/// A fitting of the demo's block: the side seams taken in by 1.2 cm at the waist.
fn fitting(garment: &Garment) -> Fitting {
    let changes = side_seam(&[(0.0, 1.2)]).alterations(&garment.build().draft).unwrap();
    let wearer = garment.wearer.name.clone();
    Fitting { day: "2026-11-15".into(), by: "Wardrobe".into(), wearer, notes: "Loose at the waist.".into(), photo: None, changes }
}

fn fitted(garment: &Garment) -> Garment {
    let fitting = fitting(garment);
    let mut after = garment.clone();
    after.works.insert(fitting.place_in(garment), Work::Fit(fitting).into());
    after
}

fn edge(built: &Built, piece: &str, edge: &str) -> f64 {
    built.draft.piece(piece).unwrap().edge_length_mm(edge).unwrap()
}

fn seams_agree(built: &Built) {
    for (seam, walk) in built.draft.seams.iter().zip(&built.walks) {
        let walk = walk.unwrap();
        assert!(walk.difference_mm.abs() <= 0.5, "{:?}: {walk:?}", seam.sides());
    }
}

#[test]
fn an_edition_is_kept_and_the_next_one_stands_after_it() {
    let (_folder, book) = in_folder();
    let first = book.save(&demo_block(), BLOCK, "first muslin", None).unwrap();
    assert_eq!(first.block.latest().number, 1);
    assert!(first.has_card && first.garment.works.iter().all(|e| e.from.as_ref().is_some_and(|f| f.edition == 1 && f.block == BLOCK)));
    let again = book.save(&first.garment, BLOCK, "", Some(1)).unwrap_err();
    assert!(again.problem().problem.contains("the same as edition 1"), "{again:?}");

    let second = book.save(&fitted(&first.garment), BLOCK, "after the fitting", Some(1)).unwrap();
    assert_eq!(second.block.latest().number, 2);
    let shelf = book.read().unwrap();
    assert_eq!(shelf.blocks, std::slice::from_ref(&second.block));
    assert_eq!(shelf.wearers, [demo_block().wearer]);
    let numbers: Vec<u32> = shelf.blocks[0].editions().map(|e| e.number).collect();
    assert_eq!(numbers, [1, 2]);
    assert_eq!(shelf.blocks[0].edition(1).unwrap().works, first.block.latest().works, "the first edition is untouched");
    assert_eq!(BookBlock::from_text(&second.block.to_text()).unwrap(), second.block, "a block comes back from its text");
    assert_eq!(Garment::from_text(&second.garment.to_text()).unwrap(), second.garment, "and so does a garment with a fitting");
}

#[test]
fn a_newer_edition_is_never_written_over_and_both_are_kept() {
    let (_folder, book) = in_folder();
    let first = book.save(&demo_block(), BLOCK, "", None).unwrap();
    book.save(&fitted(&first.garment), BLOCK, "theirs", Some(1)).unwrap();
    let mut ours = first.garment.clone();
    ours.works.pop();
    let NotSaved::Newer { edition, problem } = book.save(&ours, BLOCK, "ours", Some(1)).unwrap_err() else { panic!("it is newer") };
    assert_eq!((edition, problem.place.as_str()), (2, BLOCK));
    assert!(problem.problem.contains("edition 2") && problem.problem.contains("edition 1") && problem.remedy.contains("Take up"));
    assert_eq!(book.read().unwrap().blocks[0].latest().note, "theirs");
    // A garment that does not come from it at all can't take its name either.
    assert!(matches!(book.save(&demo_block(), BLOCK, "", None), Err(NotSaved::Newer { edition: 2, .. })));
    // After looking at it, ours goes on top, and theirs is still there.
    let third = book.save(&ours, BLOCK, "ours", Some(2)).unwrap();
    let notes: Vec<&str> = third.block.editions().map(|e| e.note.as_str()).collect();
    assert_eq!(notes, ["", "theirs", "ours"]);
}

/// Many windows save the same block at once: every save that succeeds is an edition of its own, and every one that does
/// not was told of a newer one.
#[test]
fn windows_that_save_at_once_lose_nothing() {
    let (_folder, book) = in_folder();
    let first = book.save(&demo_block(), BLOCK, "", None).unwrap().garment;
    let windows = 8;
    let each = 4;
    let saved: Vec<String> = thread::scope(|scope| {
        let threads: Vec<_> = (0..windows)
            .map(|window| {
                let (book, mut garment) = (book.clone(), first.clone());
                scope.spawn(move || {
                    let mut notes = Vec::new();
                    let mut made_from = Some(1);
                    for n in 0..each {
                        let note = format!("window {window}, save {n}");
                        garment.works[0].note.clone_from(&note);
                        loop {
                            match book.save(&garment, BLOCK, &note, made_from) {
                                Ok(saved) => {
                                    made_from = Some(saved.block.latest().number);
                                    break;
                                }
                                Err(NotSaved::Newer { edition, .. }) => made_from = Some(edition),
                                Err(NotSaved::Problem(problem)) => panic!("{problem}"),
                            }
                            // Whoever reads meanwhile sees a whole block.
                            assert!(book.read().unwrap().damaged.is_empty());
                        }
                        notes.push(note);
                    }
                    notes
                })
            })
            .collect();
        threads.into_iter().flat_map(|t| t.join().unwrap()).collect()
    });
    let block = book.read().unwrap().blocks.remove(0);
    let numbers: Vec<u32> = block.editions().map(|e| e.number).collect();
    assert_eq!(numbers, (1..=1 + windows * each).collect::<Vec<u32>>());
    for note in saved {
        assert_eq!(block.editions().filter(|e| e.note == note && e.works[0].note == note).count(), 1, "{note}");
    }
    let files: Vec<_> = std::fs::read_dir(book.folder().join("blocks")).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(files.len(), 2, "the block and its backup, no temporary file: {files:?}");
}

/// Where a process of [`processes_that_save_at_once_lose_nothing`] finds its garment and the book.
const GARMENT_OF_PROCESS: &str = "BASTELINE_TEST_GARMENT";
const BOOK_OF_PROCESS: &str = "BASTELINE_TEST_BOOK";

/// One of the processes; on its own it does nothing.
#[test]
fn saves_as_a_process_of_its_own() {
    let (Some(garment), Some(book)) = (std::env::var_os(GARMENT_OF_PROCESS), std::env::var_os(BOOK_OF_PROCESS)) else { return };
    let args = ["basteline", "block", "save", "--name", BLOCK, "--book"].map(std::ffi::OsString::from);
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let status = basteline::cli::run_with(args.into_iter().chain([book, garment.clone()]), &mut out, &mut err);
    std::fs::write(Path::new(&garment).with_extension("said"), [status.to_string().into_bytes(), err].concat()).unwrap();
}

/// The same from processes of their own, through the command line: one of them saves the next edition, the others are told.
#[test]
fn processes_that_save_at_once_lose_nothing() {
    let (folder, book) = in_folder();
    let path = |n: usize| folder.path().join(format!("gown-{n}.ron"));
    let first = book.save(&demo_block(), BLOCK, "", None).unwrap().garment;
    let count = 4;
    let running: Vec<_> = (0..count)
        .map(|n| {
            let mut garment = first.clone();
            garment.works[0].note = format!("process {n}");
            files::save_garment(&path(n), &garment).unwrap();
            std::process::Command::new(std::env::current_exe().unwrap())
                .args(["block_book::saves_as_a_process_of_its_own", "--exact"])
                .env(GARMENT_OF_PROCESS, path(n))
                .env(BOOK_OF_PROCESS, book.folder())
                .stdout(std::process::Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    for mut process in running {
        assert!(process.wait().unwrap().success());
    }
    let said: Vec<String> = (0..count).map(|n| std::fs::read_to_string(path(n).with_extension("said")).unwrap()).collect();
    assert_eq!(said.iter().filter(|s| *s == "0").count(), 1, "{said:?}");
    assert_eq!(
        said.iter().filter(|s| s.starts_with('2') && s.contains("edition 2 of it") && s.contains("--after 2")).count(),
        3,
        "{said:?}"
    );
    assert_eq!(book.read().unwrap().blocks[0].editions().count(), 2);
}

#[test]
fn damaged_files_are_named_and_left_alone() {
    let (_folder, book) = in_folder();
    book.save(&demo_block(), BLOCK, "", None).unwrap();
    let bad = book.folder().join("blocks/marit-close-fitting-2.ron");
    let later = book.folder().join("wearers/ida.ron");
    std::fs::write(&bad, "(version: 1, name: \"cut sh").unwrap();
    std::fs::write(&later, "(version: 99, card: ())").unwrap();
    let shelf = book.read().unwrap();
    assert_eq!((shelf.blocks.len(), shelf.wearers.len(), shelf.damaged.len()), (1, 1, 2));
    assert!(shelf.damaged[0].place.contains("marit-close-fitting-2.ron, line 1"), "{:?}", shelf.damaged);
    assert!(shelf.damaged[1].problem.contains("99"), "{:?}", shelf.damaged);
    // Another block whose plain name would be that of the damaged file gets a file of its own.
    book.save(&demo_block(), "marit close fitting 2", "", None).unwrap();
    assert_eq!(std::fs::read_to_string(&bad).unwrap(), "(version: 1, name: \"cut sh");
    assert_eq!(book.read().unwrap().blocks.len(), 2);
}

#[test]
fn a_card_that_somebody_changed_meanwhile_is_left_alone() {
    let (_folder, book) = in_folder();
    let first = book.save(&demo_block(), BLOCK, "", None).unwrap();
    let mut theirs = demo_block().wearer;
    theirs.notes = "Measured again on the 20th.".into();
    let file = book.folder().join("wearers/marit-solvang.ron");
    files::save_wearer(&file, &theirs).unwrap();
    let mut garment = fitted(&first.garment);
    garment.wearer.notes = "Ours.".into();
    let second = book.save(&garment, BLOCK, "", Some(1)).unwrap();
    assert!(!second.has_card);
    assert_eq!(files::load_wearer(&file).unwrap(), theirs);
    assert_eq!(second.block.latest().wearer.notes, "Ours.", "the edition holds the card it was made with");
}

#[test]
fn a_style_is_never_saved_into_a_block() {
    let (_folder, book) = in_folder();
    let mut garment = fitted(&demo_block());
    let hem = Alteration::Finish(draft_core::alteration::Finish {
        piece: "gore".into(),
        edge: "hem".into(),
        role: None,
        allowance: Some(cm(6.0)),
    });
    garment.works.push(Work::Alter(Box::new(hem)).into());
    let saved = book.save(&garment, BLOCK, "", None).unwrap();
    assert_eq!(saved.block.latest().works.len(), garment.works.len() - 1);
    assert!(saved.garment.works.last().unwrap().from.is_none());
}

/// What a garment takes up is what it would have been made from.
#[test]
fn taking_an_edition_up_equals_drafting_from_it() {
    let (_folder, book) = in_folder();
    let first = book.save(&demo_block(), BLOCK, "", None).unwrap().block;
    let gown = block_book::start("The Weathervane", None, &[&first]).unwrap();
    assert_eq!(gown.build().draft, demo_block().build().draft, "a copy drafts what the block drafts");
    assert!(newer(&gown, std::slice::from_ref(&first)).is_empty());
    let second = book.save(&fitted(&gown), BLOCK, "after the fitting", Some(1)).unwrap().block;

    let blocks = [second.clone()];
    let told = newer(&gown, &blocks)[0].message();
    assert!(told.grade == Grade::Warning && told.problem.contains("edition 2") && told.problem.contains("after the fitting"), "{told:?}");
    let taken = take_up(&gown, &blocks).unwrap();
    let anew = block_book::start("The Weathervane", None, &[&second]).unwrap();
    assert_eq!(taken.garment, anew);
    let (before, after) = (gown.build(), taken.garment.build());
    assert_eq!(after.draft, anew.build().draft);
    assert!(taken.kept.is_empty());

    // Both side seams by 1.2 cm in all: the waist is 2.4 cm smaller, but for what the cosine of the seam's slope takes.
    let waist = taken.difference.girths.iter().find(|g| g.what == "waist").unwrap();
    assert!((waist.after_mm - waist.before_mm + 24.0).abs() < 1.0, "{waist:?}");
    let front = taken.difference.edges.iter().find(|c| c.what == "front / waist").unwrap();
    assert_eq!((front.before_mm, front.after_mm), (edge(&before, "front", "waist"), edge(&after, "front", "waist")));
    assert!(after.is_ok(), "{:?}", after.messages);
    assert!(take_up(&taken.garment, &blocks).is_err(), "there is nothing more to take up");
}

#[test]
fn what_the_maker_did_to_the_copy_stays() {
    let (_folder, book) = in_folder();
    let first = book.save(&demo_block(), BLOCK, "", None).unwrap().block;
    let second = book.save(&fitted(&block_book::start("", None, &[&first]).unwrap()), BLOCK, "", Some(1)).unwrap().block;
    let mut gown = block_book::start("gown", None, &[&first]).unwrap();
    // A setting and a note of this garment, a sleeve taken out, a style work between and one behind.
    let gores = setting(Block::Skirt, "gores");
    let Work::Draft { settings, .. } = &mut gown.works[1].work else { panic!("the skirt") };
    settings.set(gores, gores.parse("10", draft_core::Unit::Cm).unwrap()).unwrap();
    gown.works[0].note = "cream satin".into();
    gown.works.remove(2);
    let hem = |piece: &str, edge: &str, by: f64| -> WorkEntry {
        let (piece, edge) = (piece.into(), edge.into());
        Work::Alter(Box::new(Alteration::Finish(draft_core::alteration::Finish { piece, edge, role: None, allowance: Some(cm(by)) })))
            .into()
    };
    gown.works.insert(1, hem("front", "neckline", 1.0));
    gown.works.push(hem("gore", "hem", 5.0));

    let taken = take_up(&gown, std::slice::from_ref(&second)).unwrap();
    let list: Vec<String> = taken.garment.works.iter().map(|e| e.work.what()).collect();
    let fit = second.latest().works.iter().find(|e| matches!(e.work, Work::Fit(_))).unwrap().work.what();
    assert_eq!(
        list,
        ["draft the bodice".to_owned(), fit, gown.works[1].work.what(), "draft the skirt".to_owned(), gown.works[3].work.what(),],
        "the fitting belongs to the bodice, and the styles come after it"
    );
    let Work::Draft { settings, .. } = &taken.garment.works[3].work else { panic!("the skirt") };
    assert_eq!(settings.value(gores), 10.0);
    assert_eq!(taken.garment.works[0].note, "cream satin");
    assert!(
        taken.kept.iter().any(|k| k.contains("gores"))
            || !settings.is_set(gores)
            || second
                .latest()
                .works
                .iter()
                .all(|e| { !matches!(&e.work, Work::Draft { block: Block::Skirt, settings } if settings.is_set(gores)) })
    );
    assert!(taken.kept.iter().any(|k| k.contains("sleeve") && k.contains("taken out")), "{:?}", taken.kept);
    assert_eq!(taken.garment.build().draft.piece("gore").unwrap().cut().count, 10);
    seams_agree(&taken.garment.build());
}

#[test]
fn a_card_measured_again_comes_with_the_edition_but_never_over_another_wearer() {
    let (_folder, book) = in_folder();
    let first = book.save(&demo_block(), BLOCK, "", None).unwrap().block;
    let gown = block_book::start("gown", None, &[&first]).unwrap();
    let mut again = gown.clone();
    again.wearer.set(draft_core::Measurement::WaistGirth, draft_core::Take::new("75", draft_core::Unit::Cm));
    let second = book.save(&again, BLOCK, "measured again", Some(1)).unwrap().block;
    let taken = take_up(&gown, std::slice::from_ref(&second)).unwrap();
    assert_eq!(taken.garment.wearer, again.wearer);
    assert_eq!(taken.garment.build().draft, again.build().draft);
    let of_another = gown.for_wearer(test_bodies()[0].card());
    assert_eq!(take_up(&of_another, &[second]).unwrap().garment.wearer, of_another.wearer);
}

#[test]
fn a_garment_starts_from_two_blocks_in_the_order_of_drafting() {
    let whole = demo_block();
    let of = |name: &str, works: Vec<WorkEntry>| {
        let proposed = Proposed { dated: "2026-11-15".into(), note: String::new(), wearer: whole.wearer.clone(), works };
        BookBlock::first(name, proposed).unwrap()
    };
    let bodice = of("bodice", vec![whole.works[0].clone(), whole.works[2].clone()]);
    let skirt = of("skirt", vec![whole.works[1].clone()]);
    let gown = block_book::start("gown", None, &[&skirt, &bodice]).unwrap();
    assert_eq!(gown.build().draft, whole.build().draft);
    let names: Vec<&str> = gown.works.iter().map(|e| e.from.as_ref().unwrap().block.as_str()).collect();
    assert_eq!(names, ["bodice", "skirt", "bodice"]);
    assert_eq!(block_book::works_of(&gown, "skirt").unwrap().at, [1]);

    let twice = block_book::start("gown", None, &[&bodice, &of("other", vec![whole.works[0].clone()])]).unwrap_err();
    assert!(twice.problem.contains("drafts the bodice"), "{twice}");
    let mut ida = whole.clone();
    ida.wearer = test_bodies()[0].card();
    let proposed = Proposed { dated: String::new(), note: String::new(), wearer: ida.wearer.clone(), works: vec![whole.works[1].clone()] };
    let hers = BookBlock::first("hers", proposed).unwrap();
    assert!(block_book::start("gown", None, &[&bodice, &hers]).is_err());
    assert_eq!(block_book::start("gown", Some(ida.wearer.clone()), &[&bodice, &hers]).unwrap().wearer, ida.wearer);

    // A fitting of the bodice goes into the bodice's block alone, and one of both into neither.
    let gown = fitted(&gown);
    assert_eq!(block_book::works_of(&gown, "bodice").unwrap().works.len(), 3);
    assert_eq!(block_book::works_of(&gown, "skirt").unwrap().works.len(), 1);
    let mut both = gown;
    let hem = draft_core::alteration::Finish { piece: "gore".into(), edge: "hem".into(), role: None, allowance: Some(cm(4.0)) };
    let Some(Work::Fit(fit)) = both.works.iter_mut().map(|e| &mut e.work).find(|w| matches!(w, Work::Fit(_))) else { panic!() };
    fit.changes.push(Alteration::Finish(hem));
    assert!(block_book::works_of(&both, "bodice").unwrap_err().remedy.contains("of its own"));
}

#[test]
fn pins_take_both_sides_of_a_seam_in_together() {
    let block = demo_block();
    let before = block.build();
    let [Alteration::TakeIn(pinned)] = &side_seam(&[(0.0, 2.0), (8.0, 1.0)]).alterations(&before.draft).unwrap()[..] else {
        panic!("one change for the seam")
    };
    let sides: Vec<String> = pinned.sides.iter().map(|s| format!("{} / {}", s.piece, s.edge)).collect();
    assert_eq!(sides, ["front / side seam", "back / side seam"]);
    let amounts: Vec<f64> = pinned.amounts.iter().map(|a| a.by.mm()).collect();
    assert_eq!(amounts, [10.0, 5.0, 0.0], "half on each side, and out to nothing at the underarm");
    let after = fitted(&block).build();
    assert!(after.is_ok(), "{:?}", after.messages);
    seams_agree(&after);
    for piece in ["front", "back"] {
        let by = edge(&before, piece, "waist") - edge(&after, piece, "waist");
        // 6 mm square to the seam, which leans by no more than a fifth of a right angle from the grain.
        assert!((5.9..6.6).contains(&by), "{piece}: {by}");
    }
    // The sleeve and the skirt follow: they are drafted after the fitting.
    assert!((edge(&before, "front", "armhole") - edge(&after, "front", "armhole")).abs() < 0.01, "nothing was pinned at the underarm");

    let refused = side_seam(&[(60.0, 1.0)]).alterations(&before.draft).unwrap_err();
    assert!(refused.problem.contains("60.0 cm"), "{refused}");
    assert!(side_seam(&[(5.0, 0.0)]).alterations(&before.draft).is_err());
}

#[test]
fn a_level_goes_all_round_and_a_gape_goes_into_the_dart() {
    let block = demo_block();
    let before = block.build();
    let on = |piece: &str, edge: &str, from: &str| OnEdge { piece: piece.into(), edge: edge.into(), from: from.into() };
    let level = Pinned::Level { edge: on("front", "side seam", "waist"), at: Along::Length(cm(5.0)), by: cm(1.5) };
    let gape = Pinned::Gape { edge: on("front", "armhole", "side seam"), at: Along::Share(0.45), by: cm(0.8), dart: "bust dart".into() };
    let changes = [level, gape].iter().flat_map(|p| p.alterations(&before.draft).unwrap()).collect();
    let mut after = block.clone();
    let fitting = Fitting { day: "2026-11-14".into(), changes, ..Fitting::default() };
    let at = fitting.place_in(&block);
    assert_eq!(at, 1, "after the bodice");
    after.works.insert(at, Work::Fit(fitting).into());
    let after = after.build();
    assert!(after.outcomes.iter().all(|o| o.skipped.is_none()) && after.is_ok(), "{:?}", after.messages);
    for piece in ["front", "back"] {
        let fold = if piece == "front" { "centre front" } else { "centre back" };
        let by = edge(&after, piece, fold) - edge(&before, piece, fold);
        assert!((by - 15.0).abs() < 0.1, "{piece}: {by}");
    }
    let by = edge(&before, "front", "armhole") - edge(&after, "front", "armhole");
    assert!((0.5..=8.0).contains(&by), "the armhole is shorter by {by}");
    // What is pinched out is in the dart: the angle that the pinched stretch spans, seen from the dart's pivot.
    let piece = before.draft.piece("front").unwrap();
    let pivot = piece.darts().iter().find(|d| d.name == "bust dart").unwrap().pivot;
    let (start, _) = piece.edge_ends("armhole").unwrap();
    let length = edge(&before, "front", "armhole");
    let underarm = piece.point("underarm").unwrap();
    let middle = if start.distance(underarm) < 1.0 { 0.45 * length } else { 0.55 * length };
    let seen = |at: f64| (piece.along_edge("armhole", at).unwrap().0 - pivot).atan2();
    let wedge = (seen(middle + 4.0) - seen(middle - 4.0)).sin().abs();
    let dart = |built: &Built| {
        let piece = built.draft.piece("front").unwrap();
        let dart = piece.darts().iter().find(|d| d.name == "bust dart").unwrap();
        let mouth = piece.edge_ends(dart.leg_a.as_str()).unwrap().0 - dart.pivot;
        let other = piece.edge_ends(dart.leg_b.as_str()).unwrap().1 - dart.pivot;
        mouth.cross(other).atan2(mouth.dot(other)).abs()
    };
    let opened = dart(&after) - dart(&before);
    assert!((opened - wedge).abs() < 0.002, "the dart opens by {opened}, the wedge spans {wedge}");
    seams_agree(&after);
}

#[test]
fn what_cannot_be_changed_says_why_and_the_rest_is_done() {
    let mut garment = fitted(&demo_block());
    let Work::Fit(fit) = &mut garment.works[1].work else { panic!("the fitting follows the bodice") };
    let gone = Alteration::Finish(draft_core::alteration::Finish {
        piece: "peplum".into(),
        edge: "hem".into(),
        role: None,
        allowance: Some(cm(2.0)),
    });
    fit.changes.insert(0, gone.clone());
    assert_eq!(fit.what(), "fitting of 15 Nov: 2 changes");
    let (with, without) = (garment.build(), fitted(&demo_block()).build());
    assert_eq!(edge(&with, "front", "waist"), edge(&without, "front", "waist"));
    assert!(with.outcomes[1].skipped.is_none() && !with.is_ok());
    let told: Vec<_> = with.messages.iter().filter(|m| m.place.contains("change 1")).collect();
    assert!(told.len() == 1 && told[0].place.contains("peplum") && told[0].grade == Grade::Error, "{told:?}");
    // With nothing left to do the work itself is skipped.
    let Work::Fit(fit) = &mut garment.works[1].work else { panic!() };
    fit.changes = vec![gone];
    assert!(garment.build().outcomes[1].skipped.is_some());
}

#[test]
fn the_demo_is_regraded_to_every_test_body() {
    let (_, _, demo) = demo::read().unwrap();
    let demo = fitted(&demo);
    let (mut done, mut skipped) = (0, Vec::new());
    for person in test_bodies() {
        let garment = demo.for_wearer(person.card());
        assert_eq!(garment.works, demo.works, "the list stays as it is");
        let built = garment.build();
        assert_eq!(built.outcomes.len(), demo.works.len());
        for outcome in &built.outcomes {
            match &outcome.skipped {
                None => done += 1,
                Some(error) => {
                    assert!(!error.place.is_empty() && !error.problem.is_empty() && !error.remedy.is_empty());
                    skipped.push(format!("{}: {}: {error}", person.name, outcome.what));
                }
            }
        }
        seams_agree(&built);
        assert!(built.messages.iter().any(|m| m.place.starts_with("fitting of") && m.problem.contains("pinned on Marit Solvang")));
        assert_eq!(Garment::from_text(&garment.to_text()).unwrap().build().draft, built.draft);
    }
    assert!(done > skipped.len() * 20, "{done} works done, skipped: {skipped:#?}");
}

#[test]
fn settings_alone_make_no_block() {
    let proposed = |works| Proposed { dated: String::new(), note: String::new(), wearer: demo_block().wearer, works };
    assert!(BookBlock::first(BLOCK, proposed(Vec::new())).is_err());
    let draft = || vec![Work::Draft { block: Block::Skirt, settings: Settings::default() }.into()];
    assert!(BookBlock::first("  ", proposed(draft())).is_err());
    let text = BookBlock::first(BLOCK, proposed(draft())).unwrap().to_text();
    for (right, wrong, named) in [("number: 1", "number: 0", ""), ("version: 1", "version: 7", "7"), ("skirt", "skrit", "skrit")] {
        let wrong = text.replacen(right, wrong, 1);
        match BookBlock::from_text(&wrong) {
            Ok(_) => assert!(named.is_empty(), "{named}"),
            Err(e) => assert!(!named.is_empty() && e.line >= 1 && e.problem.contains(named), "{e}"),
        }
    }
    assert!(!Path::new("blocks").exists());
}
