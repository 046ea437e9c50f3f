//! Sizes of paper, and the unit of a PDF.

use draft_core::print_settings::Paper;
use tiled_print::paper::size_pt;

/// Source: ISO 216, A series: A0 841 × 1189 mm, each next one half of it, in whole millimetres. Tolerance: none.
#[test]
fn the_a_series() {
    let sizes = [
        (Paper::A0, 841.0, 1189.0),
        (Paper::A1, 594.0, 841.0),
        (Paper::A2, 420.0, 594.0),
        (Paper::A3, 297.0, 420.0),
        (Paper::A4, 210.0, 297.0),
    ];
    for (paper, width, height) in sizes {
        let (w, h) = paper.size();
        assert_eq!((w.mm(), h.mm()), (width, height), "{}", paper.key());
        // The sides are as 1 to the root of 2, within the standard's rounding to a millimetre.
        assert!((h.mm() / w.mm() - 2f64.sqrt()).abs() < 1.0 / w.mm());
    }
}

/// Source: ANSI/ASME Y14.1, sizes A (8.5 × 11 in) and B (11 × 17 in); Legal, 8.5 × 14 in, from memory.
#[test]
fn letter_and_tabloid() {
    for (paper, width, height) in [(Paper::Letter, 8.5, 11.0), (Paper::Tabloid, 11.0, 17.0), (Paper::Legal, 8.5, 14.0)] {
        let (w, h) = paper.size();
        assert!((w.mm() / 25.4 - width).abs() < 1e-9 && (h.mm() / 25.4 - height).abs() < 1e-9, "{}", paper.key());
    }
}

/// Source: ISO 216 (A4) and ISO 32000-1, 8.3.2.3: a unit of default user space is 1/72 in. Tolerance: half of the last digit below.
#[test]
fn a4_in_points() {
    let [width, height] = size_pt(Paper::A4);
    assert!((width - 595.276).abs() < 0.0005, "width {width} pt");
    assert!((height - 841.890).abs() < 0.0005, "height {height} pt");
}
