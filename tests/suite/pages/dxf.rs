//! The DXF of a sheet, read back by a reader that has nothing to do with the writer (the crate `dxf`), and by our own
//! import.

use draft_core::print_settings::Paper;
use dxf::Drawing;
use dxf::entities::EntityType;
use kurbo::{ParamCurveNearest as _, Point, Shape as _};
use tiled_print::{LineKind, Sheet};

use super::on;

fn written() -> (Sheet, String) {
    let garment = on(Paper::A4);
    let sheet = Sheet::of(&garment, &garment.build()).unwrap();
    let text = tiled_print::dxf::write(&sheet);
    (sheet, text)
}

#[test]
fn another_reader_finds_every_line_at_true_scale_and_every_word() {
    let (sheet, text) = written();
    let drawing = Drawing::load(&mut text.as_bytes()).unwrap();
    let strokes: usize = sheet.pieces.iter().map(|p| p.drawing.strokes.len()).sum();
    let (mut lines, mut words) = (0, Vec::new());
    for entity in drawing.entities() {
        match &entity.specific {
            EntityType::Polyline(polyline) => {
                lines += 1;
                let piece = sheet.pieces.iter().find(|p| {
                    let own = p.name.replace(' ', "_");
                    entity.common.layer == own || entity.common.layer.starts_with(&format!("{own}-"))
                });
                let piece = piece.unwrap_or_else(|| panic!("{} is the layer of no piece", entity.common.layer));
                for vertex in polyline.vertices() {
                    let at = Point::new(vertex.location.x, sheet.size_mm.height - vertex.location.y);
                    let nearest = piece.drawing.strokes.iter().flat_map(|s| s.path.segments()).map(|s| s.nearest(at, 1e-9).distance_sq);
                    let off = nearest.fold(f64::INFINITY, f64::min).sqrt();
                    assert!(off < tiled_print::dxf::FLAT_MM, "{}: a corner is {off} mm off its line", entity.common.layer);
                }
            }
            EntityType::Text(text) => words.push(text.value.clone()),
            other => panic!("{other:?} was not written"),
        }
    }
    assert_eq!(lines, strokes);
    let wanted: Vec<&str> = sheet.pieces.iter().flat_map(|p| p.drawing.texts.iter().map(|t| t.text.as_str())).collect();
    assert_eq!(words.len(), wanted.len());
    for (read, wanted) in words.iter().zip(&wanted).filter(|(_, wanted)| wanted.is_ascii()) {
        assert_eq!(read, wanted);
    }
    assert!(wanted.contains(&"gore") && words.iter().any(|w| w == "gore"));
    let length = sheet.pieces.iter().flat_map(|p| &p.drawing.strokes).filter(|s| s.kind == LineKind::Cut).count();
    assert!(length >= sheet.pieces.len());
}

#[test]
fn our_own_import_takes_the_cut_lines_up_again_with_their_areas() {
    let (sheet, text) = written();
    let read = tiled_print::read::dxf::read(&text, None).unwrap();
    for piece in sheet.pieces.iter().filter(|p| !p.cut.contains("fold")) {
        let own =
            read.outlines.iter().find(|o| o.name == piece.name.replace(' ', "_")).unwrap_or_else(|| panic!("no outline of {}", piece.name));
        let area = own.path.area().abs();
        assert!((area - piece.area_mm2).abs() < 1e-3 * piece.area_mm2, "{}: {area} for {}", piece.name, piece.area_mm2);
    }
}
