//! The PDF writer. It decides nothing but how things are written.
//!
//! `printpdf` writes pages, font and layers; what it leaves out or writes otherwise than we want is mended in the
//! finished document with `lopdf`: the version, `PrintScaling`, page labels, fixed identifiers and dates.

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Size};
use lopdf::{Dictionary, Object, StringFormat};
use printpdf::{
    Color, FontId, Greyscale, Layer as PdfLayer, LayerInternalId, Line, LineCapStyle, LineDashPattern, LineJoinStyle, LinePoint, Op,
    PaintMode, PdfDocument, PdfFont, PdfFontHandle, PdfPage, PdfSaveOptions, Point as PdfPoint, Polygon, PolygonRing, Pt, TextItem,
    TextMatrix, WindingOrder,
};

use crate::drawing::{Drawing, Stroke, TextRun};
use crate::error::PrintError;
use crate::font;
use crate::line::{Layer, Pen};
use crate::measure_sheet::MeasureSheet;
use crate::paper::{LONGEST_SIDE_MM, points};
use crate::sheet::Sheet;
use crate::tile::{Page, Tiling};
use crate::work_sheet::WorkSheet;

const PRODUCER: &str = "Basteline";
const FONT: &str = "Text";
/// Below the sheet saved whole: room for a test square.
const SQUARE_STRIP_MM: f64 = 115.0;

/// The sheet as pages, the assembly map first.
///
/// # Errors
/// Something can't be written as a number.
pub fn pages(sheet: &Sheet, tiling: &Tiling) -> Result<Vec<u8>, PrintError> {
    write(&sheet.title(), &sheet.dated, &tiling.pages(sheet))
}

/// The sheet as one page at true scale, a test square below it.
///
/// # Errors
/// A side is longer than PDF readers accept, or something can't be written as a number.
pub fn whole(sheet: &Sheet) -> Result<Vec<u8>, PrintError> {
    let mut furniture = Drawing::default();
    let square = Rect::from_origin_size(Point::new(5.0, sheet.size_mm.height + 8.0), (100.0, 100.0));
    furniture.rect(crate::line::LineKind::TestSquare, square);
    let mut y = square.y0 + 8.0;
    for (text, size) in [(sheet.title(), 4.5), ("This square measures 100 mm each way.".into(), 3.5)] {
        let text = font::shortened(&font::printable(&text), size, square.width() - 8.0);
        furniture.text(TextRun::new(&text, Point::new(square.x0 + 4.0, y), size, Layer::Furniture));
        y += 7.0;
    }
    let size = Size::new(sheet.size_mm.width.max(square.x1 + 5.0), sheet.size_mm.height + SQUARE_STRIP_MM);
    if size.width.max(size.height) > LONGEST_SIDE_MM {
        return Err(PrintError::new(
            "sheet",
            format!(
                "at {:.0} × {:.0} mm it is longer than {LONGEST_SIDE_MM:.0} mm, and PDF readers refuse such a page",
                size.width, size.height
            ),
            "Save it as SVG, or print it as pages on a large paper such as a0.",
        ));
    }
    let mut drawing = Drawing::default();
    for piece in &sheet.pieces {
        drawing.strokes.extend(piece.drawing.strokes.iter().cloned());
        drawing.texts.extend(piece.drawing.texts.iter().cloned());
    }
    let live = Rect::from_origin_size(Point::ZERO, size);
    write(&sheet.title(), &sheet.dated, &[Page { size_mm: size, label: "sheet".into(), drawing, live, furniture }])
}

/// The sheet to measure with.
///
/// # Errors
/// Something can't be written as a number.
pub fn measure_sheet(sheet: &MeasureSheet) -> Result<Vec<u8>, PrintError> {
    write(&sheet.title, "", &sheet.pages)
}

/// The work sheet.
///
/// # Errors
/// Something can't be written as a number.
pub fn work_sheet(sheet: &WorkSheet) -> Result<Vec<u8>, PrintError> {
    write(&sheet.title, &sheet.dated, &sheet.pages)
}

fn write(title: &str, dated: &str, pages: &[Page]) -> Result<Vec<u8>, PrintError> {
    let mut document = PdfDocument::new(title);
    document.metadata.info.creator = PRODUCER.into();
    document.metadata.info.producer = PRODUCER.into();
    let has_font = font::parsed().map(|f| document.resources.fonts.map.insert(FontId(FONT.into()), PdfFont::new(f.clone()))).is_some();
    for layer in Layer::ALL {
        document.resources.layers.map.insert(layer_id(layer), PdfLayer { creator: PRODUCER.into(), ..PdfLayer::new(layer.name()) });
    }
    for page in pages {
        document.pages.push(write_page(page, has_font)?);
    }
    let options = PdfSaveOptions { optimize: false, subset_fonts: false, ..PdfSaveOptions::default() };
    let mut document = document.to_lopdf_document(&options, &mut Vec::new());
    finish(&mut document, dated, pages)?;
    document.compress();
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).map_err(|e| unwritable(&e.to_string()))?;
    Ok(bytes)
}

fn unwritable(problem: &str) -> PrintError {
    PrintError::new("PDF", problem, "Save the garment, and print it as SVG meanwhile; this is a fault of the program.")
}

fn layer_id(layer: Layer) -> LayerInternalId {
    LayerInternalId(format!("L{}", layer as usize))
}

fn write_page(page: &Page, has_font: bool) -> Result<PdfPage, PrintError> {
    let height = points(page.size_mm.height);
    // Millimetres with y down to points with y up, in full precision before anything is rounded.
    let pdf_from_paper = Affine::translate((0.0, height)) * Affine::scale_non_uniform(points(1.0), -points(1.0));
    let mut ops =
        vec![Op::SaveGraphicsState, Op::SetLineCapStyle { cap: LineCapStyle::Butt }, Op::SetLineJoinStyle { join: LineJoinStyle::Miter }];
    let writer = Writer { pdf_from_paper, has_font };
    // Furniture is never clipped; what shows the sheet ends with the live area.
    ops.push(Op::BeginLayer { layer_id: layer_id(Layer::Furniture) });
    writer.drawing(&mut ops, &page.furniture, |_| true)?;
    ops.push(Op::EndLayer);
    ops.push(Op::SaveGraphicsState);
    let clip = [(page.live.x0, page.live.y0), (page.live.x1, page.live.y0), (page.live.x1, page.live.y1), (page.live.x0, page.live.y1)];
    let ring = clip.iter().map(|c| writer.point((*c).into(), false)).collect::<Result<_, _>>()?;
    ops.push(Op::DrawPolygon {
        polygon: Polygon { rings: vec![PolygonRing { points: ring }], mode: PaintMode::Clip, winding_order: WindingOrder::NonZero },
    });
    for layer in Layer::ALL.into_iter().filter(|l| *l != Layer::Furniture) {
        ops.push(Op::BeginLayer { layer_id: layer_id(layer) });
        writer.drawing(&mut ops, &page.drawing, |l| l == layer)?;
        ops.push(Op::EndLayer);
    }
    ops.extend([Op::RestoreGraphicsState, Op::RestoreGraphicsState]);
    let media = printpdf::Rect::from_wh(Pt(points(page.size_mm.width) as f32), Pt(height as f32));
    Ok(PdfPage { media_box: media.clone(), trim_box: media.clone(), crop_box: media, ops })
}

struct Writer {
    pdf_from_paper: Affine,
    has_font: bool,
}

impl Writer {
    fn point(&self, p: Point, bezier: bool) -> Result<LinePoint, PrintError> {
        let q = self.pdf_from_paper * p;
        let (x, y) = (q.x as f32, q.y as f32);
        if !x.is_finite() || !y.is_finite() {
            return Err(unwritable("a line leads to a place that is no number"));
        }
        Ok(LinePoint { p: PdfPoint { x: Pt(x), y: Pt(y) }, bezier })
    }

    fn drawing(&self, ops: &mut Vec<Op>, drawing: &Drawing, wanted: impl Fn(Layer) -> bool) -> Result<(), PrintError> {
        let mut pen: Option<Pen> = None;
        for stroke in drawing.strokes.iter().filter(|s| wanted(s.kind.layer())) {
            let wants = stroke.kind.pen();
            if pen != Some(wants) {
                set_pen(ops, wants);
                pen = Some(wants);
            }
            self.stroke(ops, stroke)?;
        }
        let mut texts = drawing.texts.iter().filter(|t| wanted(t.layer) && self.has_font).peekable();
        if texts.peek().is_some() {
            ops.push(Op::StartTextSection);
            let (mut grey, mut size) = (None, None);
            for text in texts {
                if grey != Some(text.grey) {
                    grey = Some(text.grey);
                    ops.push(Op::SetFillColor { col: grey_of(text.grey) });
                }
                if size != Some(text.size_mm) {
                    size = Some(text.size_mm);
                    let font = PdfFontHandle::External(FontId(FONT.into()));
                    ops.push(Op::SetFont { font, size: Pt(points(text.size_mm) as f32) });
                }
                self.text(ops, text)?;
            }
            ops.push(Op::EndTextSection);
        }
        Ok(())
    }

    fn stroke(&self, ops: &mut Vec<Op>, stroke: &Stroke) -> Result<(), PrintError> {
        let runs = self.runs(&stroke.path)?;
        if stroke.filled {
            let rings = runs.into_iter().map(|(points, _)| PolygonRing { points }).collect();
            ops.push(Op::DrawPolygon { polygon: Polygon { rings, mode: PaintMode::Fill, winding_order: WindingOrder::NonZero } });
        } else {
            ops.extend(runs.into_iter().map(|(points, is_closed)| Op::DrawLine { line: Line { points, is_closed } }));
        }
        Ok(())
    }

    /// Each run of a path in the writer's form: on-curve points, and two handles before the end of each cubic.
    fn runs(&self, path: &BezPath) -> Result<Vec<(Vec<LinePoint>, bool)>, PrintError> {
        let mut runs: Vec<(Vec<LinePoint>, bool)> = Vec::new();
        let mut at = Point::ZERO;
        for el in path.elements() {
            if let PathEl::MoveTo(p) = *el {
                runs.push((vec![self.point(p, false)?], false));
                at = p;
                continue;
            }
            let Some((points, closed)) = runs.last_mut() else { continue };
            match *el {
                PathEl::LineTo(p) => points.push(self.point(p, false)?),
                PathEl::QuadTo(q, p) => {
                    let (a, b) = (at.lerp(q, 2.0 / 3.0), p.lerp(q, 2.0 / 3.0));
                    points.extend([self.point(a, true)?, self.point(b, true)?, self.point(p, false)?]);
                }
                PathEl::CurveTo(a, b, p) => points.extend([self.point(a, true)?, self.point(b, true)?, self.point(p, false)?]),
                PathEl::ClosePath => *closed = true,
                PathEl::MoveTo(_) => {}
            }
            at = el.end_point().unwrap_or(at);
        }
        runs.retain(|(points, _)| points.len() > 1);
        Ok(runs)
    }

    fn text(&self, ops: &mut Vec<Op>, text: &TextRun) -> Result<(), PrintError> {
        let at = self.point(text.at, false)?.p;
        let (sin, cos) = text.angle_rad.sin_cos();
        // A turn clockwise as seen is a negative one with y up.
        let matrix = TextMatrix::Raw([cos as f32, -sin as f32, sin as f32, cos as f32, at.x.0, at.y.0]);
        ops.push(Op::SetTextMatrix { matrix });
        ops.push(Op::ShowText { items: vec![TextItem::Text(text.text.clone())] });
        Ok(())
    }
}

fn grey_of(grey: f64) -> Color {
    Color::Greyscale(Greyscale::new(grey.clamp(0.0, 1.0) as f32, None))
}

fn set_pen(ops: &mut Vec<Op>, pen: Pen) {
    let dash: Vec<f32> = pen.dash_mm.iter().map(|d| points(*d) as f32).collect();
    ops.extend([
        Op::SetOutlineThickness { pt: Pt(points(pen.width_mm) as f32) },
        Op::SetLineDashPattern { dash: LineDashPattern::new(0.0, &dash) },
        Op::SetOutlineColor { col: grey_of(pen.grey) },
        Op::SetFillColor { col: grey_of(pen.grey) },
    ]);
}

/// Version, viewer preferences, page labels, identifiers and dates.
fn finish(document: &mut lopdf::Document, dated: &str, pages: &[Page]) -> Result<(), PrintError> {
    document.version = "1.7".into();
    let catalog = document.catalog_mut().map_err(|e| unwritable(&e.to_string()))?;
    let mut preferences = Dictionary::new();
    preferences.set("PrintScaling", name("None"));
    preferences.set("Duplex", name("Simplex"));
    preferences.set("DisplayDocTitle", true);
    catalog.set("ViewerPreferences", preferences);
    catalog.set("PageLayout", name("SinglePage"));
    catalog.set("Lang", Object::string_literal("en"));
    let labels: Vec<Object> = pages
        .iter()
        .enumerate()
        .flat_map(|(i, page)| {
            let mut label = Dictionary::new();
            label.set("P", Object::string_literal(page.label.as_str()));
            [Object::Integer(i as i64), Object::Dictionary(label)]
        })
        .collect();
    let mut tree = Dictionary::new();
    tree.set("Nums", labels);
    catalog.set("PageLabels", tree);

    if let Ok(Object::Reference(id)) = document.trailer.get(b"Info").cloned()
        && let Ok(info) = document.get_dictionary_mut(id)
    {
        // No claim to a printing standard, no clock.
        for key in ["GTS_PDFXVersion", "Trapped", "Identifier", "CreationDate", "ModDate", "Author", "Subject", "Keywords"] {
            info.remove(key.as_bytes());
        }
        if let Some(date) = pdf_date(dated) {
            info.set("CreationDate", Object::string_literal(date));
        }
    }
    let id = fingerprint(document);
    let id = Object::String(id.to_be_bytes().to_vec(), StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![id.clone(), id]);
    Ok(())
}

fn name(text: &str) -> Object {
    Object::Name(text.as_bytes().to_vec())
}

/// `D:20261114` from `2026-11-14`; anything else that people write as a date is not one here.
fn pdf_date(day: &str) -> Option<String> {
    let parts: Vec<&str> = day.trim().split('-').collect();
    let [year, month, date] = parts.as_slice() else { return None };
    let digits = |s: &str, n: usize, most: u32| {
        s.len() == n && s.bytes().all(|b| b.is_ascii_digit()) && s.parse::<u32>().is_ok_and(|v| (1..=most).contains(&v))
    };
    (digits(year, 4, 9999) && digits(month, 2, 12) && digits(date, 2, 31)).then(|| format!("D:{year}{month}{date}"))
}

/// FNV-1a over everything drawn, so that the same drawing has the same identifier, and another one another.
fn fingerprint(document: &lopdf::Document) -> u128 {
    const OFFSET: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
    let mut hash = OFFSET;
    for object in document.objects.values() {
        if let Object::Stream(stream) = object {
            // Eight bytes at a time: quick, and still another number for another drawing.
            for chunk in stream.content.chunks(8) {
                let mut word = [0; 8];
                word[..chunk.len()].copy_from_slice(chunk);
                hash = (hash ^ u128::from(u64::from_le_bytes(word))).wrapping_mul(PRIME);
            }
        }
    }
    hash
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_whole_dates_are_dates() {
        assert_eq!(pdf_date("2026-11-14").as_deref(), Some("D:20261114"));
        for text in ["", "yesterday", "2026-13-01", "2026-11", "26-11-14", "2026-11-14-1", "+026-11-14"] {
            assert_eq!(pdf_date(text), None, "{text}");
        }
    }
}
