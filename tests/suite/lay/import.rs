//! `basteline import`: drawings made elsewhere, as garments that can be laid and printed.

use draft_core::cloth::{Cloth, LayOut, cuts};
use draft_core::lay::{Effort, Planner as _, Quiet, SearchPlanner, verify};

use crate::command_line::{basteline, path};

const WINGS: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="300mm" viewBox="0 0 400 300">
  <path id="wing" d="M0 0 C80 -40 160 -40 240 0 L200 180 L40 180 Z"/>
  <rect id="strap" x="250" y="0" width="40" height="280"/>
  <path id="pocket" d="M300 0h80v80h-80z"/>
  <path id="fold mark" d="M0 290 L100 290"/>
</svg>"#;

#[test]
fn a_drawing_becomes_a_garment_that_is_laid_and_printed() {
    let folder = tempfile::tempdir().unwrap();
    let f = |name| path(folder.path(), name);
    std::fs::write(f("wings.svg"), WINGS).unwrap();
    let ran = basteline(&["import", &f("wings.svg"), "--out", &f("wings.ron")]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert!(ran.out.contains("strap: 4.0 cm by 28.0 cm") && ran.out.contains("fold mark"), "{}", ran.out);
    let garment = basteline::files::load_garment(std::path::Path::new(&f("wings.ron"))).unwrap();
    let built = garment.build();
    let names: Vec<&str> = built.draft.pieces.iter().map(|p| p.name().as_str()).collect();
    assert_eq!(names, ["wing", "strap", "pocket"]);
    let (cuts, messages) = cuts(&garment, &built);
    assert!(messages.is_empty());
    let lay_out = LayOut::of(&Cloth::default(), &cuts, false);
    let layout = SearchPlanner.plan(&lay_out.stretches[0].task, Effort { passes: 3, ..Effort::default() }, &Quiet).unwrap();
    assert_eq!(verify::faults(&lay_out.stretches[0].task, &layout), []);
    assert_eq!(layout.placed.len(), 3);
    let ran = basteline(&["print", &f("wings.ron"), "--out", &f("wings.pdf")]);
    assert_eq!(ran.status, 0, "{}", ran.err);
}

#[test]
fn what_is_no_drawing_of_pieces_is_refused_and_nothing_written() {
    let folder = tempfile::tempdir().unwrap();
    let f = |name| path(folder.path(), name);
    let out = f("out.ron");
    for (name, text, named) in [
        ("a.svg", "<svg", "no SVG"),
        ("b.svg", "<svg width='1cm' viewBox='0 0 1 1'/>", "no closed outline"),
        ("c.svg", "<svg><rect width='30' height='30'/></svg>", "--unit"),
        ("d.dxf", "hello", "DXF"),
        ("e.txt", "", "txt"),
    ] {
        std::fs::write(f(name), text).unwrap();
        let ran = basteline(&["import", &f(name), "--out", &out]);
        assert_eq!(ran.status, 2, "{name}: {}", ran.out);
        assert!(ran.err.contains(named), "{name}: {}", ran.err);
        assert!(!std::path::Path::new(&out).exists());
    }
}
