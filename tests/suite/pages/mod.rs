//! The printed pages, read back by readers that are not the writer's.

mod document;
mod dxf;
mod measure_sheet;
mod readers;
mod work_sheet;

use self::readers::{PageRead, hayro, parsed};
use draft_core::print_settings::Paper;
use draft_core::{Garment, Length, PrintSettings};
use kurbo::{Affine, BezPath, ParamCurve, ParamCurveNearest, PathEl, Point, Rect, Shape, Vec2};
use proptest::prelude::*;
use std::collections::{HashMap, HashSet};
use tiled_print::{PrintReport, Sheet, Stroke, TextRun, Tiling, pdf, svg};

/// The bar for a printed square of 100 mm.
const SQUARE_MM: f64 = 0.05;
/// The bar for every joint of two pages.
const JOINT_MM: f64 = 0.02;

fn demo() -> Garment {
    basteline::demo::read().unwrap().2
}

fn printed(garment: &Garment) -> (Sheet, Tiling, Vec<u8>) {
    let sheet = Sheet::of(garment, &garment.build()).unwrap();
    let tiling = Tiling::of(&sheet, &garment.print).unwrap();
    let bytes = pdf::pages(&sheet, &tiling).unwrap();
    (sheet, tiling, bytes)
}

fn on(paper: Paper) -> Garment {
    let garment = demo();
    Garment { print: PrintSettings { paper, ..garment.print.clone() }, ..garment }
}

/// Both readers' pages, by name.
fn both(bytes: &[u8]) -> [(&'static str, Vec<PageRead>); 2] {
    [("hayro", hayro(bytes)), ("pdf", parsed(bytes))]
}

/// Sides of the upright squares of about this size.
fn squares(page: &PageRead, mm: f64) -> Vec<(f64, f64)> {
    page.paths
        .iter()
        .filter(|p| p.path.segments().count() == 4)
        .map(|p| p.path.bounding_box())
        .filter(|b| (b.width() - mm).abs() < 1.0 && (b.height() - mm).abs() < 1.0)
        .map(|b| (b.width(), b.height()))
        .collect()
}

#[test]
fn test_squares_are_true_by_two_readers() {
    for paper in [Paper::A4, Paper::Letter] {
        let (_, tiling, bytes) = printed(&on(paper));
        for (reader, pages) in both(&bytes) {
            let check = |page: usize, mm: f64| {
                let found = squares(&pages[page], mm);
                assert!(!found.is_empty(), "{reader}: no square of {mm} mm on page {}", page + 1);
                for (width, height) in found {
                    assert!((width - mm).abs() <= SQUARE_MM && (height - mm).abs() <= SQUARE_MM, "{reader}: {width} × {height} mm");
                }
            };
            check(0, 100.0);
            check(0, 101.6);
            for page in tiling.report().pages {
                check(page.page - 1, 30.0);
            }
        }
    }
}

/// From a page's paper to the sheet, by the numbers of the report alone.
fn sheet_from_paper(report: &PrintReport, page: usize) -> Affine {
    let p = report.pages.iter().find(|p| p.page == page).unwrap();
    // A, B, …, Z, AA, …: the letters as a number.
    let row = p.row.bytes().fold(0usize, |n, b| n * 26 + usize::from(b - b'A') + 1);
    let start = Vec2::new((p.column - 1) as f64 * report.step_mm[0], (row - 1) as f64 * report.step_mm[1]);
    Affine::translate(start)
        * Affine::scale_non_uniform(1.0 / report.scale[0], 1.0 / report.scale[1])
        * Affine::translate(-Vec2::new(report.offset_mm[0], report.offset_mm[1]))
}

/// Points along a path, a millimetre or so apart.
fn along(path: &BezPath) -> Vec<Point> {
    let mut out = Vec::new();
    for seg in path.segments() {
        let n = (kurbo::ParamCurveArclen::arclen(&seg, 0.1).ceil() as usize).clamp(1, 2000);
        out.extend((0..=n).map(|i| seg.eval(i as f64 / n as f64)));
    }
    out
}

/// How far two paths lie apart: the largest distance of a point of the one from the other. Readers may begin a closed
/// path at another corner, or run it the other way.
fn apart(a: &BezPath, b: &BezPath) -> f64 {
    let same_build = a.segments().count() == b.segments().count();
    let in_order = a.segments().zip(b.segments()).fold(0.0f64, |most, (s, t)| {
        let (s, t) = (s.to_cubic(), t.to_cubic());
        [(s.p0, t.p0), (s.p1, t.p1), (s.p2, t.p2), (s.p3, t.p3)].iter().fold(most, |m, (p, q)| m.max(p.distance(*q)))
    });
    if same_build && in_order <= JOINT_MM {
        return in_order;
    }
    let from = |a: &BezPath, b: &BezPath| {
        along(a).iter().fold(0.0f64, |most, p| {
            let nearest = b.segments().map(|s| s.nearest(*p, 1e-6).distance_sq).fold(f64::INFINITY, f64::min);
            most.max(nearest.sqrt())
        })
    };
    from(a, b).max(from(b, a))
}

fn same_box(a: Rect, b: Rect) -> bool {
    [(a.x0, b.x0), (a.y0, b.y0), (a.x1, b.x1), (a.y1, b.y1)].iter().all(|(p, q)| (p - q).abs() <= JOINT_MM)
}

/// What a page shows of the sheet, in sheet millimetres.
struct Window {
    page: usize,
    shows: Rect,
    /// The lines found on it by their number in the sheet, each as it was read.
    lines: HashMap<usize, BezPath>,
}

/// The lines of the sheet that a page shows. What is clipped to the live area is of the sheet; the rest is furniture,
/// but without a margin a reader may find nothing to clip.
fn window(reader: &str, drawn: &[(&Stroke, Rect)], report: &PrintReport, page: usize, read: &PageRead) -> Window {
    let to_sheet = sheet_from_paper(report, page);
    let live = Rect::from_origin_size(
        (report.offset_mm[0], report.offset_mm[1]),
        (report.live_mm[0] * report.scale[0], report.live_mm[1] * report.scale[1]),
    );
    let has_margin = report.offset_mm.iter().all(|o| *o > 1.0);
    let in_drawing = |clip: Option<Rect>| clip.is_some() || !has_margin;
    let mut lines = HashMap::new();
    let mut has_ink = read.texts.iter().any(|t| in_drawing(t.clip) && live.contains(t.start));
    for found in &read.paths {
        let path = to_sheet * found.path.clone();
        let bounds = path.bounding_box();
        let matches: Vec<usize> =
            (0..drawn.len()).filter(|&i| same_box(drawn[i].1, bounds) && apart(&drawn[i].0.path, &path) <= JOINT_MM).collect();
        if let Some(clip) = found.clip {
            assert!(same_box(clip, live), "{reader}: page {page} is clipped to {clip:?}");
            assert!(!matches.is_empty(), "{reader}: page {page} shows a line that the sheet does not have: {path:?}");
        }
        if !in_drawing(found.clip) {
            continue;
        }
        if let Some(layer) = found.layer.as_ref().filter(|_| !matches.is_empty()) {
            let suits = matches.iter().any(|&i| drawn[i].0.kind.layer().name() == layer);
            assert!(suits || !has_margin, "{reader}: page {page} has {:?} among the {layer}", drawn[matches[0]].0.kind);
        }
        has_ink |= along(&found.path).iter().any(|p| live.contains(*p));
        lines.extend(matches.into_iter().map(|i| (i, path.clone())));
    }
    assert!(has_ink, "{reader}: page {page} is printed and shows nothing of the sheet");
    Window { page, shows: to_sheet.transform_rect_bbox(live), lines }
}

/// Everything the law asks of the pages of a garment, through one reader.
fn reassembles(reader: &str, sheet: &Sheet, report: &PrintReport, pages: &[PageRead]) {
    let drawn: Vec<(&Stroke, Rect)> = sheet.pieces.iter().flat_map(|p| &p.drawing.strokes).map(|s| (s, s.path.bounding_box())).collect();
    let windows: Vec<Window> = report.pages.iter().map(|p| window(reader, &drawn, report, p.page, &pages[p.page - 1])).collect();
    for (i, (stroke, _)) in drawn.iter().enumerate() {
        for p in along(&stroke.path) {
            // Every point is printed, and on each of the pages that it lies on: neighbours show the same in their overlap.
            let within = |by: f64| windows.iter().filter(move |w| w.shows.inflate(by, by).contains(p));
            let found = within(JOINT_MM).any(|w| w.lines.contains_key(&i));
            assert!(found, "{reader}: the point {p:?} of a {:?} is on no page", stroke.kind);
            for w in within(-JOINT_MM) {
                assert!(w.lines.contains_key(&i), "{reader}: page {} lacks the {:?} at {p:?}", w.page, stroke.kind);
            }
        }
        // Two pages that both show a line show it at the same place, measured from one page to the other.
        let readings: Vec<(usize, &BezPath)> = windows.iter().filter_map(|w| Some((w.page, w.lines.get(&i)?))).collect();
        for (n, (page, path)) in readings.iter().enumerate() {
            for (other, same) in &readings[n + 1..] {
                let gap = apart(path, same);
                assert!(gap <= JOINT_MM, "{reader}: a {:?} on pages {page} and {other} is {gap} mm apart", stroke.kind);
            }
        }
    }
}

/// Boxes of text and lines as points, in sheet millimetres.
fn ink(sheet: &Sheet) -> Vec<Point> {
    let corners = |t: &TextRun| {
        (0..4)
            .flat_map(|i| along(&BezPath::from_vec(vec![PathEl::MoveTo(t.corners()[i]), PathEl::LineTo(t.corners()[(i + 1) % 4])])))
            .collect::<Vec<_>>()
    };
    let lines = sheet.pieces.iter().flat_map(|p| &p.drawing.strokes).flat_map(|s| along(&s.path));
    lines.chain(sheet.pieces.iter().flat_map(|p| &p.drawing.texts).flat_map(corners)).collect()
}

/// Whatever would be on a page that is left out is on one that is printed.
fn blank_pages_are_blank(sheet: &Sheet, report: &PrintReport) {
    assert_eq!(report.pages.len() + report.blank_left_out, report.rows * report.columns);
    let shows = |page: usize| {
        let live = Rect::new(0.0, 0.0, report.live_mm[0] * report.scale[0], report.live_mm[1] * report.scale[1]);
        sheet_from_paper(report, page).transform_rect_bbox(live + Vec2::new(report.offset_mm[0], report.offset_mm[1]))
    };
    let printed: Vec<Rect> = report.pages.iter().map(|p| shows(p.page)).collect();
    for p in ink(sheet) {
        assert!(printed.iter().any(|r| r.inflate(1e-6, 1e-6).contains(p)), "{p:?} is on a page that is not printed");
    }
}

#[test]
fn pages_rejoin_to_the_sheet_by_the_report_alone() {
    for paper in [Paper::A4, Paper::Letter] {
        let (sheet, tiling, bytes) = printed(&on(paper));
        // Through JSON, as another program would read it.
        let json: serde_json::Value = serde_json::to_value(tiling.report()).unwrap();
        assert_eq!(json["pages"].as_array().unwrap().len(), tiling.report().pages.len());
        for (reader, pages) in both(&bytes) {
            reassembles(reader, &sheet, &tiling.report(), &pages);
        }
        blank_pages_are_blank(&sheet, &tiling.report());
    }
}

#[test]
fn a_calibrated_printer_gets_pages_larger_by_its_error() {
    let mut garment = on(Paper::A4);
    garment.print.measured = Some((Length::from_mm(99.2), Length::from_mm(100.4)));
    let (sheet, tiling, bytes) = printed(&garment);
    let pages = hayro(&bytes);
    let (width, height) = squares(&pages[0], 100.0)[0];
    assert!((width * 0.992 - 100.0).abs() < SQUARE_MM && (height * 1.004 - 100.0).abs() < SQUARE_MM, "{width} × {height}");
    reassembles("hayro", &sheet, &tiling.report(), &pages);
}

#[test]
fn settings_that_print_nothing_are_refused_with_the_remedy() {
    let garment = demo();
    let sheet = Sheet::of(&garment, &garment.build()).unwrap();
    let mm = Length::from_mm;
    let base = PrintSettings::default();
    let tiny = Paper::Other { width: mm(30.0), height: mm(30.0) };
    let cases = [
        ("margin", PrintSettings { margin: mm(120.0), ..base.clone() }),
        ("overlap", PrintSettings { overlap: mm(300.0), ..base.clone() }),
        ("overlap", PrintSettings { overlap: mm(-5.0), ..base.clone() }),
        ("paper", PrintSettings { paper: tiny, ..base.clone() }),
        ("calibration", PrintSettings { measured: Some((mm(94.9), mm(100.0))), ..base.clone() }),
        ("calibration", PrintSettings { measured: Some((mm(100.0), mm(105.1))), ..base.clone() }),
        ("calibration", PrintSettings { measured: Some((mm(0.0), mm(100.0))), ..base.clone() }),
    ];
    for (place, settings) in cases {
        let e = Tiling::of(&sheet, &settings).expect_err(&format!("{settings:?}"));
        assert!(e.place.starts_with(place), "{} for {settings:?}", e.place);
        assert!(!e.problem.is_empty() && !e.remedy.is_empty(), "{e:?}");
    }
    // The last that are let through.
    for measured in [(95.0, 105.0), (105.0, 95.0)] {
        let settings = PrintSettings { measured: Some((mm(measured.0), mm(measured.1))), ..base.clone() };
        assert!(Tiling::of(&sheet, &settings).is_ok(), "{measured:?}");
    }
    let mut bare = garment.clone();
    bare.works.clear();
    let e = Sheet::of(&bare, &bare.build()).expect_err("a garment without pieces has no sheet");
    assert!(!e.place.is_empty() && !e.problem.is_empty() && !e.remedy.is_empty(), "{e:?}");
}

#[test]
fn the_svg_sheet_is_the_sheet_at_true_scale() {
    let mut garment = demo();
    garment.name = "Wei<th>er & \"Vane\" é".into();
    let sheet = Sheet::of(&garment, &garment.build()).unwrap();
    let text = svg::write(&sheet);
    let attribute = |name: &str| {
        let start = text.find(&format!("{name}=\"")).unwrap() + name.len() + 2;
        text[start..].split('"').next().unwrap().to_owned()
    };
    let mm = |s: String| s.trim_end_matches("mm").parse::<f64>().unwrap();
    let view: Vec<f64> = attribute("viewBox").split_whitespace().map(|v| v.parse().unwrap()).collect();
    assert!((mm(attribute("width")) - view[2]).abs() < 1e-6 && (mm(attribute("height")) - view[3]).abs() < 1e-6);
    assert!(!text.contains("<th>"));
    // The title reads back as it was typed, and no ampersand stands for itself.
    let titled = text.split("<title>").nth(1).unwrap().split("</title>").next().unwrap();
    let mut plain = titled.to_owned();
    for (entity, c) in [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&amp;", "&")] {
        plain = plain.replace(entity, c);
    }
    assert_eq!(plain, sheet.title());
    assert!(plain.starts_with(&garment.name), "{plain}");
    let entities = ["amp;", "lt;", "gt;", "quot;", "#39;"];
    assert!(text.split('&').skip(1).all(|rest| entities.iter().any(|e| rest.starts_with(e))));
    let ids: Vec<&str> = text.split(" id=\"").skip(1).filter_map(|t| t.split('"').next()).collect();
    assert_eq!(ids.iter().collect::<HashSet<_>>().len(), ids.len(), "an id stands for two things");
    let mut paths: Vec<BezPath> =
        text.split(" d=\"").skip(1).filter_map(|t| BezPath::from_svg(t.split('"').next().unwrap()).ok()).collect();
    for stroke in sheet.pieces.iter().flat_map(|p| &p.drawing.strokes) {
        let near = paths.iter().position(|p| apart(p, &stroke.path) < 0.01);
        let near = near.unwrap_or_else(|| panic!("a {:?} of the sheet is not in the drawing", stroke.kind));
        paths.remove(near);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 30, failure_persistence: None, rng_seed: proptest::test_runner::RngSeed::Fixed(1859), ..ProptestConfig::default() })]

    #[test]
    fn any_paper_shows_every_line(paper in 0usize..5, landscape in any::<bool>(), margin in 0.0f64..25.0, overlap in 5.0f64..30.0) {
        let mut garment = demo();
        garment.print = PrintSettings {
            paper: Paper::NAMED[paper],
            landscape,
            margin: Length::from_mm(margin),
            overlap: Length::from_mm(overlap),
            ..PrintSettings::default()
        };
        let (sheet, tiling, bytes) = printed(&garment);
        reassembles("hayro", &sheet, &tiling.report(), &hayro(&bytes));
        blank_pages_are_blank(&sheet, &tiling.report());
    }
}
