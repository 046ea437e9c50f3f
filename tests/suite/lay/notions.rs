//! What is needed beside cloth: what the works ask for, in true lengths.

use draft_core::alteration::{Buttonholes, Mark, OpenSeam, Stay, TrimmedPart, Trimming};
use draft_core::notions::{Amount, Notion, notions};
use draft_core::{Alteration, Built, Garment, Unit, Work, WorkEntry, cut_list};

const WEATHERVANE: &str = include_str!("../../../assets/designs/the_weathervane.ron");

fn demo() -> Garment {
    basteline::demo::read().unwrap().2
}

fn with(mut garment: Garment, alterations: Vec<Alteration>) -> (Garment, Built) {
    garment.works.extend(alterations.into_iter().map(|a| WorkEntry::from(Work::Alter(Box::new(a)))));
    let built = garment.build();
    assert!(built.outcomes.iter().all(|o| o.skipped.is_none()), "{:?}", built.outcomes);
    (garment, built)
}

fn read<T: serde::de::DeserializeOwned>(text: &str) -> T {
    ron::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

fn of<'l>(list: &'l [Notion], what: &str) -> Vec<&'l Notion> {
    list.iter().filter(|n| n.what == what).collect()
}

/// Bones are told one by one, each as long as its seam less 8 mm at both ends; their casing all together; hooks by number.
#[test]
fn bones_casing_and_hooks_of_a_design_are_listed() {
    let garment = Garment::from_text(WEATHERVANE).unwrap();
    let built = garment.build();
    let list = notions(&garment, &built, Unit::Cm);
    let bones = of(&list, "bone, 7.0 mm wide");
    assert_eq!(bones.len(), 4, "{bones:?}");
    let mut casing = 0.0;
    for bone in bones {
        let (piece, edge) = bone.place.split_once(" / ").unwrap();
        let seam = built.draft.piece(piece).unwrap().edge_length_mm(edge).unwrap();
        let Amount::Each(count, mm) = bone.amount else { panic!("{bone:?}") };
        assert_eq!(count, 2, "left and right");
        // The side seam was taken in after the bones were listed, and is a little longer or shorter now.
        assert!((mm - (seam - 16.0)).abs() < if edge == "side seam" { 3.0 } else { 0.01 }, "{}: {mm} on {seam}", bone.place);
        casing += f64::from(count as u32) * (mm + 16.0);
    }
    let [whole] = of(&list, "casing, 9.0 mm between its stitching")[..] else { panic!("{list:?}") };
    assert!(matches!(whole.amount, Amount::Length(mm) if (mm - casing).abs() < 1e-6), "{whole:?}");
    let [hook] = of(&list, "hook and bar")[..] else { panic!("{list:?}") };
    assert!(matches!(hook.amount, Amount::Count(n) if n >= 1) && hook.place == "back gore");
}

/// Buttonholes on a line of L, the first and last a and b from its ends: (L − a − b) / (n − 1) from one to the next.
#[test]
fn buttons_have_their_spacing_and_closings_are_counted_once() {
    let holes: Buttonholes = read(
        r#"(piece: "back", line: (through: [Edge(edge: "centre back", from: "neckline", at: "2 cm"), Edge(edge: "centre back", from: "waist", at: "3 cm")]),
            count: 6, size: "1.6 cm", across: true)"#,
    );
    let button = |at: &str| {
        let text =
            format!(r#"(piece: "sleeve", sign: Closing(what: "button", at: Edge(edge: "back seam", from: "wrist edge", at: "{at}")))"#);
        Alteration::Mark(read::<Mark>(&text))
    };
    let (garment, built) = with(demo(), vec![Alteration::Buttonholes(holes), button("2 cm"), button("4 cm")]);
    let list = notions(&garment, &built, Unit::Mm);
    let back = built.draft.piece("back").unwrap();
    let [on_back] = of(&list, "button").into_iter().filter(|n| n.place == "back").collect::<Vec<_>>()[..] else { panic!("{list:?}") };
    assert_eq!(on_back.amount, Amount::Count(7), "six and one to spare");
    // The centre back of this block is straight.
    let apart = (back.edge_length_mm("centre back").unwrap() - 50.0) / 5.0;
    assert!(on_back.note.contains(&Unit::Mm.rough(apart)), "{} for {apart}", on_back.note);
    let counted: usize = list
        .iter()
        .filter(|n| n.what == "button" || n.what == "buttons")
        .filter(|n| n.place.contains("sleeve"))
        .map(|n| if let Amount::Count(c) = n.amount { c } else { 0 })
        .sum();
    assert_eq!(counted, 4, "two on each of two sleeves, once: {list:?}");
    let (lines, _) = cut_list::cut_list(&garment, &built);
    let back = lines.iter().find(|l| l.piece == "back").unwrap();
    assert!(back.marked().contains("6× buttonhole"), "{}", back.marked());
    assert!(back.mark_count() >= 6);
}

#[test]
fn a_zip_is_as_long_as_its_opening_and_elastic_shorter_than_its_edge() {
    let zip: OpenSeam = read(
        r#"(sides: [(piece: "gore", edge: "left seam"), (piece: "gore", edge: "right seam")], from: "waist", length: "21 cm", name: "zip", kind: zip)"#,
    );
    let stay: Stay = read(r#"(edges: [(piece: "sleeve", edge: "wrist")], name: "elastic, 6 mm", share: 0.85)"#);
    let tape: Stay = read(r#"(edges: [(piece: "front", edge: "waist")], name: "waist stay, twill tape")"#);
    let before = demo().build();
    let wrist = before.draft.piece("sleeve").unwrap().edges().iter().map(|e| e.name.to_string()).find(|n| n.contains("wrist")).unwrap();
    let stay = Stay { edges: vec![draft_core::alteration::Side { piece: "sleeve".into(), edge: wrist.as_str().into() }], ..stay };
    let (garment, built) = with(demo(), vec![Alteration::OpenSeam(zip), Alteration::Stay(stay), Alteration::Stay(tape)]);
    let list = notions(&garment, &built, Unit::Cm);
    assert!(matches!(of(&list, "zip")[..], [Notion { amount: Amount::Length(mm), .. }] if *mm == 210.0), "{list:?}");
    let edge = |piece: &str, edge: &str| built.draft.piece(piece).unwrap().edge_length_mm(edge).unwrap();
    // Two sleeves; 4 cm to lap or turn in.
    let elastic = 0.85 * 2.0 * edge("sleeve", &wrist) + 40.0;
    assert!(matches!(of(&list, "elastic, 6 mm")[..], [Notion { amount: Amount::Length(mm), .. }] if (mm - elastic).abs() < 1e-6));
    // A front on the fold is half of what it stays.
    let tape = 2.0 * edge("front", "waist") + 40.0;
    assert!(matches!(of(&list, "waist stay, twill tape")[..], [Notion { amount: Amount::Length(mm), .. }] if (mm - tape).abs() < 1e-6));
}

/// Trims have the length of their edge on every gore, embroidery the size and area of what is cut, both halves of a piece on the fold.
#[test]
fn trims_and_embroidery_have_the_true_size_of_their_part() {
    let trim = |piece: &str, part: TrimmedPart, what: &str, fullness: f64| {
        Alteration::Trimming(Trimming { piece: piece.into(), part, what: what.into(), fullness })
    };
    let line: Mark = read(
        r#"(piece: "back", sign: Line(name: "braid line", line: (through: [Edge(edge: "centre back", from: "neckline", at: "8 cm"), Edge(edge: "armhole", from: "shoulder", at: "6 cm")])))"#,
    );
    let (garment, built) = with(
        demo(),
        vec![
            trim("gore", TrimmedPart::Edge("hem".into()), "lace, 3 cm", 1.5),
            Alteration::Mark(line),
            trim("back", TrimmedPart::Line("braid line".into()), "braid", 1.0),
            trim("front", TrimmedPart::Whole, "gold embroidery", 1.0),
        ],
    );
    let list = notions(&garment, &built, Unit::Cm);
    let gore = built.draft.piece("gore").unwrap();
    let hem = gore.edge_length_mm("hem").unwrap();
    assert!(matches!(of(&list, "lace, 3 cm")[..], [Notion { amount: Amount::Each(8, mm), .. }] if (mm - 1.5 * hem).abs() < 1e-9));
    let braid =
        draft_core::geometry::length(&built.draft.piece("back").unwrap().lines().iter().find(|l| l.name == "braid line").unwrap().path);
    assert!(matches!(of(&list, "braid")[..], [Notion { amount: Amount::Each(2, mm), .. }] if (mm - braid).abs() < 1e-9));
    let front = built.draft.piece("front").unwrap();
    let [Notion { amount: Amount::Covered(1, c), .. }] = of(&list, "gold embroidery")[..] else { panic!("{list:?}") };
    assert!((c.area_mm2 - 2.0 * front.area_mm2()).abs() < 1e-6);
    assert!((c.wide_mm - 2.0 * front.bounds().width()).abs() < 1.0 && (c.high_mm - front.bounds().height()).abs() < 1.0, "{c:?}");
    // A line that is not there says so, and what there is.
    let mut other = garment;
    other.works.push(WorkEntry::from(Work::Alter(Box::new(trim("back", TrimmedPart::Line("vine".into()), "cord", 1.0)))));
    let skipped = other.build().outcomes.last().unwrap().skipped.clone().unwrap();
    assert!(skipped.problem.contains("vine") && skipped.remedy.contains("braid line"), "{skipped:?}");
}

/// Facings are told along what they face: the demo's along its whole neckline.
#[test]
fn facings_are_as_long_as_what_they_face() {
    let garment = demo();
    let built = garment.build();
    let list = notions(&garment, &built, Unit::Cm);
    let faced: f64 = of(&list, "facing")
        .iter()
        .filter(|n| n.place.contains("neck"))
        .map(|n| if let Amount::Length(mm) = n.amount { mm } else { 0.0 })
        .sum();
    let twice = |piece: &str| 2.0 * built.draft.piece(piece).unwrap().edge_length_mm("neckline").unwrap();
    let necklines = twice("front") + twice("back");
    // Cut a little inside the neckline so that they roll inward, where a hollow edge is longer.
    assert!(faced > necklines && faced < 1.03 * necklines, "{faced} for {necklines}: {:?}", of(&list, "facing"));
}
