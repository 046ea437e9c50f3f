//! Files that are damaged, cut short, hostile or of a later version are refused with their place, and lose nothing.

use basteline::{demo, files};
use draft_core::{Garment, WearerCard};
use proptest::prelude::*;

#[test]
fn the_demo_reads_and_comes_back_the_same() {
    let (card, block, garment) = demo::read().unwrap();
    assert_eq!(WearerCard::from_text(&card.to_text()).unwrap(), card);
    for g in [block, garment] {
        assert_eq!(Garment::from_text(&g.to_text()).unwrap(), g);
        assert!(g.build().is_ok(), "{:?}", g.build().messages);
    }
}

#[test]
fn a_later_version_is_refused_unread_with_its_place() {
    let later = demo::GARMENT.replace("version: 1,", "version: 99, something_new: [1, 2],");
    let e = Garment::from_text(&later).unwrap_err();
    assert_eq!((e.line, e.column), (2, 5), "{e}");
    assert!(e.problem.contains("99") && e.remedy.contains("newer"), "{e}");
}

#[test]
fn a_slip_is_named_with_line_and_column() {
    let cases = [
        ("gores", "gorse", "gorse"),
        ("\"8\"", "\"80\"", "80"),
        ("paper: a4", "paper: a44", "a44"),
        ("\"bust-girth\"", "\"bust-grith\"", "bust-grith"),
        ("overlap: \"12 mm\"", "overlap: \"1e999 mm\"", "finite"),
        ("overlap: \"12 mm\"", "overlap: \"twelve\"", "twelve"),
    ];
    for (right, wrong, named) in cases {
        let text = demo::GARMENT.replacen(right, wrong, 1);
        assert_ne!(text, demo::GARMENT, "{right} stands in the demo");
        let e = Garment::from_text(&text).unwrap_err();
        assert!(e.line > 1 && e.column >= 1 && e.problem.contains(named), "{wrong}: {e}");
    }
}

#[test]
fn nesting_without_end_is_refused() {
    for text in ["[".repeat(200_000), "(version: 1, name: ".to_owned() + &"(".repeat(200_000)] {
        assert!(Garment::from_text(&text).is_err());
    }
}

#[test]
fn saving_over_keeps_the_version_before_and_a_refused_file_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("gown.ron");
    let (_, block, garment) = demo::read().unwrap();
    files::save_garment(&path, &block).unwrap();
    files::save_garment(&path, &garment).unwrap();
    assert_eq!(files::load_garment(&path).unwrap(), garment);
    assert_eq!(files::load_garment(&files::backup_of(&path)).unwrap(), block);
    std::fs::write(&path, "(version: 1, name: \"cut sh").unwrap();
    let before = std::fs::read(&path).unwrap();
    let problem = files::load_garment(&path).unwrap_err();
    assert!(problem.place.contains("line 1, column"), "{problem}");
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, rng_seed: proptest::test_runner::RngSeed::Fixed(1859), ..ProptestConfig::default() })]

    /// Cut short anywhere: refused or read, never a panic, and always with a place.
    #[test]
    fn cut_short_or_scrambled_text_never_panics(at in 0usize..4000, put in "[ -~]{0,4}", cut in any::<bool>()) {
        let text = demo::GARMENT;
        let at = (0..=at.min(text.len())).rev().find(|i| text.is_char_boundary(*i)).unwrap_or(0);
        let changed = if cut { text[..at].to_owned() } else { format!("{}{put}{}", &text[..at], &text[at..]) };
        match Garment::from_text(&changed) {
            Ok(g) => { let _ = g.build(); }
            Err(e) => prop_assert!(e.line >= 1 && e.column >= 1 && !e.problem.is_empty() && !e.remedy.is_empty()),
        }
    }

    /// Whatever a maker types on a card comes back letter for letter.
    #[test]
    fn what_was_typed_is_never_lost(typed in "\\PC{1,30}", note in "\\PC{0,40}", name in "\\PC{0,30}") {
        let mut card = WearerCard { name, notes: note.clone(), ..WearerCard::default() };
        card.set(draft_core::Measurement::BustGirth, draft_core::Take { typed, note, ..Default::default() });
        prop_assert_eq!(WearerCard::from_text(&card.to_text()).unwrap(), card);
    }
}
