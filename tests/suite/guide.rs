//! The guide to works: every example is read, done on the garment that it names, and every alteration has one.

use std::collections::BTreeSet;
use std::path::Path;

use basteline::demo;
use draft_core::{Alteration, Garment, Work, WorkEntry};

use crate::bodies::garment;

/// Names every alteration; a new one does not compile before it stands here, and then wants its example.
macro_rules! alterations {
    ($($name:ident),* $(,)?) => {
        const ALL: &[&str] = &[$(stringify!($name)),*];

        fn name(alteration: &Alteration) -> &'static str {
            match alteration {
                $(Alteration::$name(_) => stringify!($name)),*
            }
        }
    };
}

alterations![
    Redraw,
    RedrawSeam,
    Cut,
    Across,
    OpenSeam,
    PanelSlit,
    TakeIn,
    Trim,
    Lengthen,
    Spread,
    Fullness,
    Pinch,
    Adjust,
    MoveDart,
    SewDart,
    ShapeDart,
    SplitDart,
    JoinDarts,
    GatherDart,
    SeamDarts,
    Ease,
    Pleats,
    Godet,
    Join,
    Unfold,
    Piecing,
    Separate,
    Band,
    Copy,
    Trace,
    Finish,
    Mark,
    SlideNotch,
    Buttonholes,
    Boning,
    Stay,
    Trimming,
];

/// An example of the guide.
struct Example {
    line: usize,
    heading: String,
    sentence: String,
    base: String,
    text: String,
}

fn guide() -> String {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().join("assets/guide/works.md");
    std::fs::read_to_string(file).unwrap()
}

/// The fenced blocks that name a garment, each with the heading that it stands under.
fn examples(guide: &str) -> Vec<Example> {
    let mut found: Vec<Example> = Vec::new();
    let (mut heading, mut sentence, mut inside) = (String::new(), String::new(), false);
    for (n, line) in guide.lines().enumerate() {
        if inside {
            if line == "```" {
                inside = false;
            } else if let Some(example) = found.last_mut() {
                example.text += line;
                example.text.push('\n');
            }
        } else if let Some(title) = line.strip_prefix('#') {
            heading = title.trim_start_matches('#').trim().to_owned();
            sentence.clear();
        } else if let Some(base) = line.strip_prefix("```ron ") {
            let (heading, sentence) = (heading.clone(), sentence.clone());
            found.push(Example { line: n + 1, heading, sentence, base: base.to_owned(), text: String::new() });
            inside = true;
        } else if !line.is_empty() {
            sentence += line;
        }
    }
    found
}

/// The garments that examples are done on.
fn base(name: &str) -> Garment {
    let card = || demo::read().unwrap().0;
    match name {
        "block" => demo::read().unwrap().1,
        "princess" => garment(card(), &[("bodice", "front", "princess")]),
        // The example comes first, and the blocks are drafted after it.
        "before" => Garment { works: Vec::new(), ..demo::read().unwrap().1 },
        other => panic!("there is no garment named {other}"),
    }
}

#[test]
fn every_alteration_has_an_example_that_can_be_done() {
    let guide = guide();
    let examples = examples(&guide);
    let mut shown = BTreeSet::new();
    for example in &examples {
        let place = format!("line {}, {}", example.line, example.heading);
        assert!(example.sentence.len() > 20, "{place} says what it does");
        let works: Vec<WorkEntry> = ron::from_str(&example.text).unwrap_or_else(|e| panic!("{place}: {e}\n{}", example.text));
        let mut garment = base(&example.base);
        let before = garment.build();
        assert!(before.is_ok(), "{place}: the garment is sound before: {:?}", before.messages);
        garment.works.extend(works.iter().cloned());
        if example.base == "before" {
            garment.works.extend(demo::read().unwrap().1.works);
        }
        let again = Garment::from_text(&garment.to_text()).unwrap();
        assert_eq!(again, garment, "{place} is written as it was read");
        let after = garment.build();
        for (entry, outcome) in garment.works.iter().zip(&after.outcomes) {
            assert!(outcome.skipped.is_none(), "{place}: {}: {}", entry.work.what(), outcome.skipped.as_ref().unwrap());
        }
        let fitted: Vec<_> = after.messages.iter().filter(|m| m.place.starts_with("fitting of")).collect();
        assert!(fitted.is_empty(), "{place}: {fitted:?}");
        for piece in &after.draft.pieces {
            assert!(piece.area_mm2() > 100.0 && draft_core::geometry::is_finite(&piece.outline()), "{place}: {}", piece.name());
        }
        // Done last or alone, it does something.
        assert!(works.len() > 1 || after.draft.pieces != before.draft.pieces || after.draft != before.draft, "{place} changes nothing");
        let last = works.last().unwrap();
        if let Work::Alter(alteration) = &last.work {
            assert_eq!(name(alteration), example.heading, "{place} shows what its heading says");
            shown.insert(name(alteration));
        }
    }
    let missing: Vec<_> = ALL.iter().filter(|n| !shown.contains(*n)).collect();
    assert!(missing.is_empty(), "no example for {missing:?}");
    assert_eq!(shown.len(), ALL.len());
}

/// The list at the head of the guide is what stands in a garment file.
#[test]
fn the_list_reads_as_part_of_a_garment_file() {
    let guide = guide();
    let list = guide.split_once("```ron\nworks: ").and_then(|(_, rest)| rest.split_once(",\n```")).unwrap().0;
    let text = demo::BLOCK.split_once("    works: [").unwrap().0.to_owned() + "works: " + list + ")";
    let garment = Garment::from_text(&text).unwrap();
    assert_eq!(garment.works.len(), 3);
    assert!(!garment.works[2].on && garment.works[1].note.starts_with("2nd fitting"));
}
