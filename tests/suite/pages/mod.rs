//! The printed pages, read back by readers that are not the writer's.

mod readers;

use self::readers::{PageRead, hayro, parsed};
use draft_core::print_settings::Paper;
use draft_core::{Garment, Length, PrintSettings};
use kurbo::{Affine, BezPath, ParamCurve, ParamCurveNearest, Point, Rect, Shape, Vec2};
use proptest::prelude::*;
use tiled_print::{PrintReport, Sheet, Tiling, pdf, svg};

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

/// Everything the law asks of the pages of a garment, through one reader.
fn reassembles(reader: &str, sheet: &Sheet, report: &PrintReport, pages: &[PageRead]) {
    let drawn: Vec<(&BezPath, Rect)> =
        sheet.pieces.iter().flat_map(|p| &p.drawing.strokes).map(|s| (&s.path, s.path.bounding_box())).collect();
    let mut seen: Vec<Vec<Rect>> = vec![Vec::new(); drawn.len()];
    for page in &report.pages {
        let to_sheet = sheet_from_paper(report, page.page);
        let live = Rect::from_origin_size(
            (report.offset_mm[0], report.offset_mm[1]),
            (report.live_mm[0] * report.scale[0], report.live_mm[1] * report.scale[1]),
        );
        let mut shows = false;
        for read in &pages[page.page - 1].paths {
            let path = to_sheet * read.path.clone();
            let bounds = path.bounding_box();
            let matches: Vec<usize> =
                (0..drawn.len()).filter(|&i| same_box(drawn[i].1, bounds) && apart(drawn[i].0, &path) <= JOINT_MM).collect();
            // What is clipped to the live area is of the sheet; the rest is furniture, but where no margin leaves nothing
            // to clip.
            if let Some(clip) = read.clip {
                assert!(same_box(clip, live), "{reader}: page {} is clipped to {clip:?}", page.page);
                assert!(!matches.is_empty(), "{reader}: page {} shows a line that the sheet does not have: {path:?}", page.page);
            }
            shows |= !matches.is_empty();
            for i in matches {
                seen[i].push(to_sheet.transform_rect_bbox(live));
            }
        }
        assert!(shows, "{reader}: page {} shows nothing of the sheet", page.page);
    }
    // And every point of every line is shown by a page.
    for (i, (path, _)) in drawn.iter().enumerate() {
        for p in along(path) {
            assert!(seen[i].iter().any(|w| w.inflate(JOINT_MM, JOINT_MM).contains(p)), "{reader}: the point {p:?} of a line is on no page");
        }
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
fn the_file_says_what_it_is() {
    let (_, tiling, bytes) = printed(&on(Paper::A4));
    assert!(bytes.starts_with(b"%PDF-1.7"));
    assert_eq!(bytes, printed(&on(Paper::A4)).2, "the same garment gives the same bytes");
    let file = lopdf(&bytes);
    for wanted in ["PrintScaling", "PageLabels", "furniture", "cut lines", "seam lines", "marks", "The Weathervane"] {
        assert!(file.contains(wanted), "{wanted} is not in the file");
    }
    for page in tiling.report().pages {
        assert!(file.contains(&format!("{}{}", page.row, page.column)), "no label for {}{}", page.row, page.column);
    }
    assert!(!file.contains("GTS_PDFX"), "no claim to PDF/X");
}

/// All dictionaries of a file as text, strings decoded where they are UTF-16.
fn lopdf(bytes: &[u8]) -> String {
    let file = pdf_crate(bytes);
    file.replace('\0', "")
}

fn pdf_crate(bytes: &[u8]) -> String {
    let file = ::pdf::file::FileOptions::uncached().load(bytes.to_vec()).unwrap();
    let resolver = file.resolver();
    let mut out = String::new();
    fn text(p: &::pdf::primitive::Primitive, out: &mut String) {
        use ::pdf::primitive::Primitive::*;
        match p {
            Name(n) => out.push_str(n.as_str()),
            String(s) => out.push_str(&s.to_string_lossy()),
            Array(a) => a.iter().for_each(|p| text(p, out)),
            Dictionary(d) => d.iter().for_each(|(k, v)| {
                out.push_str(k.as_str());
                out.push(' ');
                text(v, out);
            }),
            _ => {}
        }
        out.push(' ');
    }
    for id in 1..4000 {
        if let Ok(p) = ::pdf::object::Resolve::resolve(&resolver, ::pdf::object::PlainRef { id, r#gen: 0 }) {
            text(&p, &mut out);
        }
    }
    if let Some(info) = &file.trailer.info_dict {
        out.push_str(&info.title.as_ref().map(|t| t.to_string_lossy()).unwrap_or_default());
    }
    out
}

#[test]
fn settings_that_print_nothing_are_refused_with_the_remedy() {
    let garment = demo();
    let sheet = Sheet::of(&garment, &garment.build()).unwrap();
    let mm = Length::from_mm;
    let cases = [
        PrintSettings { margin: mm(120.0), ..PrintSettings::default() },
        PrintSettings { overlap: mm(300.0), ..PrintSettings::default() },
        PrintSettings { overlap: mm(-5.0), ..PrintSettings::default() },
        PrintSettings { paper: Paper::Other { width: mm(30.0), height: mm(30.0) }, ..PrintSettings::default() },
        PrintSettings { measured: Some((mm(90.0), mm(100.0))), ..PrintSettings::default() },
        PrintSettings { measured: Some((mm(0.0), mm(100.0))), ..PrintSettings::default() },
    ];
    for settings in cases {
        let e = Tiling::of(&sheet, &settings).expect_err(&format!("{settings:?}"));
        assert!(!e.place.is_empty() && !e.problem.is_empty() && !e.remedy.is_empty());
    }
    let mut bare = garment.clone();
    bare.works.clear();
    assert!(Sheet::of(&bare, &bare.build()).is_err(), "a garment without pieces has no sheet");
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
    assert!(!text.contains("<th>") && text.contains("é"));
    let mut paths: Vec<BezPath> =
        text.split(" d=\"").skip(1).filter_map(|t| BezPath::from_svg(t.split('"').next().unwrap()).ok()).collect();
    for stroke in sheet.pieces.iter().flat_map(|p| &p.drawing.strokes) {
        let near = paths.iter().position(|p| apart(p, &stroke.path) < 0.01);
        let near = near.unwrap_or_else(|| panic!("a {:?} of the sheet is not in the drawing", stroke.kind));
        paths.remove(near);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

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
    }
}
