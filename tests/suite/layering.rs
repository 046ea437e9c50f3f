//! Dependencies point one way, and files stay where they belong.

use std::fs;
use std::path::Path;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap()
}

fn depends(on: &str, of: &str) -> bool {
    let text = fs::read_to_string(root().join(of).join("Cargo.toml")).unwrap();
    text.lines().any(|l| l.split(['.', ' ', '=']).next() == Some(on))
}

#[test]
fn dependencies_point_one_way() {
    assert!(depends("draft-core", "tiled-print") && depends("tiled-print", "app"), "the test reads the right lines");
    for (on, of) in [
        ("tiled-print", "draft-core"),
        ("basteline", "draft-core"),
        ("tests", "draft-core"),
        ("basteline", "tiled-print"),
        ("tests", "tiled-print"),
        ("tests", "app"),
        ("egui", "draft-core"),
        ("egui", "tiled-print"),
        ("rfd", "draft-core"),
    ] {
        assert!(!depends(on, of), "{of} must not depend on {on}");
    }
}

fn sources(folder: &Path, out: &mut Vec<(String, String)>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push((path.display().to_string(), fs::read_to_string(&path).unwrap()));
        }
    }
}

#[test]
fn the_core_has_no_files_clock_or_threads() {
    for crate_name in ["draft-core", "tiled-print"] {
        let mut files = Vec::new();
        sources(&root().join(crate_name).join("src"), &mut files);
        assert!(!files.is_empty(), "the sources of {crate_name} are found");
        for (name, text) in files {
            for never in ["std::fs", "std::thread", "std::time", "SystemTime", "std::env"] {
                assert!(!text.contains(never), "{name} uses {never}");
            }
        }
    }
}
