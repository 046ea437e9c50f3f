//! `basteline lay`, as a shell would call it.

use std::path::Path;

use serde_json::Value;

use crate::command_line::{basteline, path};

#[test]
fn a_lay_is_reported_drawn_and_the_same_for_the_same_seed_and_passes() {
    let folder = tempfile::tempdir().unwrap();
    let f = |name| path(folder.path(), name);
    std::fs::write(f("gown.ron"), basteline::demo::GARMENT).unwrap();
    let (gown, out) = (f("gown.ron"), f("lays"));
    let args = [
        "lay",
        &gown,
        "--cloth",
        "cream satin",
        "--passes",
        "3",
        "--seed",
        "7",
        "--spread",
        "folded",
        "--width",
        "150 cm",
        "--gap",
        "6mm",
        "--selvedge",
        "12 mm",
        "--out",
        &out,
        "--json",
    ];
    let ran = basteline(&args);
    assert_eq!(ran.status, 0, "{}{}", ran.err, ran.out);
    assert_eq!(basteline(&args).out, ran.out);
    let lays: Value = serde_json::from_str(&ran.out).unwrap();
    let first = &lays[0];
    assert_eq!((first["cloth"].as_str(), first["spread"].as_str()), (Some("cream satin"), Some("folded")));
    assert_eq!((first["seed"].as_u64(), first["passes"].as_u64()), (Some(7), Some(3)));
    let (width, length) = (first["width_mm"].as_f64().unwrap(), first["length_mm"].as_f64().unwrap());
    assert!((width - (1500.0 - 24.0) / 2.0).abs() < 1e-9);
    let whole: f64 = lays.as_array().unwrap().iter().map(|l| l["length_mm"].as_f64().unwrap()).sum();
    let buy: f64 = lays.as_array().unwrap().iter().map(|l| l["buy_mm"].as_f64().unwrap()).sum();
    assert!(buy >= whole && buy < whole * 1.05 + 101.0 && (buy / 100.0 - (buy / 100.0).round()).abs() < 1e-9, "{buy} for {whole}");
    let mut area = 0.0;
    for placed in first["placed"].as_array().unwrap() {
        let outline: Vec<[f64; 2]> = serde_json::from_value(placed["outline"].clone()).unwrap();
        assert!(outline.iter().all(|[x, y]| (-0.01..=length + 0.01).contains(x) && (-0.01..=width + 0.01).contains(y)));
        let next = outline.iter().cycle().skip(1);
        area += outline.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>().abs() / 2.0;
        for key in ["piece", "copy", "angle_deg", "mirrored", "x_mm", "y_mm"] {
            assert!(placed.get(key).is_some(), "{key}");
        }
    }
    assert!((first["efficiency"].as_f64().unwrap() - area / (width * length)).abs() < 1e-6);
    let svg = std::fs::read_to_string(Path::new(&out).join("lay-cream-satin.svg")).unwrap();
    assert!(svg.contains("selvedge") && svg.contains(">gore<") && svg.contains("fold"));
}

#[test]
fn too_little_cloth_gives_status_1_and_says_what_is_left_out() {
    let folder = tempfile::tempdir().unwrap();
    let gown = path(folder.path(), "gown.ron");
    std::fs::write(&gown, basteline::demo::GARMENT).unwrap();
    let ran = basteline(&["lay", &gown, "--cloth", "cream satin", "--have", "150 cm", "--passes", "2", "--json"]);
    assert_eq!(ran.status, 1, "{}", ran.err);
    let lays: Value = serde_json::from_str(&ran.out).unwrap();
    assert!(lays[0]["length_mm"].as_f64().unwrap() <= 1500.0);
    let left = lays[0]["left_out"].as_array().unwrap();
    assert!(!left.is_empty() && left[0]["reason"].as_str().unwrap().contains("no proof"), "{left:?}");
    assert!(lays[0]["buy_mm"].as_f64().unwrap() > 0.0);
}

#[test]
fn what_cannot_be_laid_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let gown = path(folder.path(), "gown.ron");
    std::fs::write(&gown, basteline::demo::GARMENT).unwrap();
    for (more, named) in [
        (&["--cloth=velvet"], "velvet"),
        (&["--width=wide"], "wide"),
        (&["--width=1 cm"], "wide"),
        (&["--spread=crumpled"], "crumpled"),
        (&["--seconds=-3"], "seconds"),
        (&["--have=-2 cm"], "have"),
    ] {
        let args: Vec<&str> = ["lay", gown.as_str()].into_iter().chain(more.iter().copied()).collect();
        let ran = basteline(&args);
        assert_eq!(ran.status, 2, "{more:?}: {}", ran.out);
        assert!(ran.err.contains(named), "{more:?}: {}", ran.err);
    }
}
