//! Two readers of PDF pages that have nothing to do with the writer: hayro's interpreter, and the `pdf` crate's
//! parser with the few operators of our pages interpreted here.

use std::collections::HashMap;

use hayro::hayro_interpret::font::GlyphRun;
use hayro::hayro_interpret::hayro_cmap::BfString;
use hayro::hayro_interpret::{
    BlendMode, ClipPath, Context, Device, DrawMode, DrawProps, Image, ImageDrawProps, InterpreterCache, InterpreterSettings, SoftMask,
    interpret_page, util::TransformExt,
};
use kurbo::{Affine, BezPath, Point, Rect, Shape};

const MM_PER_POINT: f64 = 25.4 / 72.0;

/// What a reader found on one page; millimetres from the paper's upper left corner, y down.
#[derive(Default)]
pub struct PageRead {
    pub paths: Vec<PathRead>,
    pub texts: Vec<TextRead>,
}

/// One painted path and the innermost clip in force.
pub struct PathRead {
    pub path: BezPath,
    pub clip: Option<Rect>,
    /// The optional content it belongs to; hayro does not tell.
    pub layer: Option<String>,
}

/// One run of text, as the font's `ToUnicode` has it.
pub struct TextRead {
    pub text: String,
    pub start: Point,
    pub clip: Option<Rect>,
}

#[derive(Default)]
struct Collector {
    page: PageRead,
    clips: Vec<Rect>,
}

impl Device<'_> for Collector {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'_>, _: &DrawMode) {
        let path = Affine::scale(MM_PER_POINT) * props.transform * path.clone();
        self.page.paths.push(PathRead { path, clip: self.clips.last().copied(), layer: None });
    }
    fn push_clip_path(&mut self, clip: &ClipPath) {
        let bounds = (Affine::scale(MM_PER_POINT) * clip.path.clone()).bounding_box();
        self.clips.push(bounds);
    }
    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'_>>, _: BlendMode) {}
    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, '_>, props: DrawProps<'_>, _: &DrawMode) {
        let Some(first) = run.glyphs().first() else { return };
        let start = Affine::scale(MM_PER_POINT) * props.transform * first.transform() * Point::ZERO;
        let text = run.glyphs().iter().map(|g| match g.as_unicode() {
            Some(BfString::Char(c)) => c.to_string(),
            Some(BfString::String(s)) => s,
            None => char::REPLACEMENT_CHARACTER.to_string(),
        });
        self.page.texts.push(TextRead { text: text.collect(), start, clip: self.clips.last().copied() });
    }
    fn draw_image(&mut self, _: Image<'_, '_>, _: ImageDrawProps<'_>) {}
    fn pop_clip(&mut self) {
        self.clips.pop();
    }
    fn pop_transparency_group(&mut self) {}
}

/// Every page as hayro reads it.
pub fn hayro(bytes: &[u8]) -> Vec<PageRead> {
    let pdf = hayro::hayro_syntax::Pdf::new(bytes.to_vec()).unwrap();
    let cache = InterpreterCache::new();
    pdf.pages()
        .iter()
        .map(|page| {
            let (width, height) = page.render_dimensions();
            let area = Rect::new(0.0, 0.0, f64::from(width), f64::from(height));
            let transform = page.initial_transform(true).to_kurbo();
            let mut context = Context::new(transform, area, &cache, page.xref(), InterpreterSettings::default());
            let mut device = Collector::default();
            interpret_page(page, &mut context, &mut device);
            device.page
        })
        .collect()
}

/// Every page as the `pdf` crate parses it.
pub fn parsed(bytes: &[u8]) -> Vec<PageRead> {
    use pdf::content::Op;
    let file = pdf::file::FileOptions::uncached().load(bytes.to_vec()).unwrap();
    let resolver = file.resolver();
    file.pages()
        .map(|page| {
            let page = page.unwrap();
            let paper = page.media_box().unwrap();
            let paper_from_page =
                Affine::scale(MM_PER_POINT) * Affine::new([1.0, 0.0, 0.0, -1.0, -f64::from(paper.left), f64::from(paper.top)]);
            let ops = page.contents.as_ref().unwrap().operations(&resolver).unwrap();
            let resources = page.resources().unwrap();
            let layers: HashMap<&str, String> = resources
                .properties
                .iter()
                .filter_map(|(key, group)| Some((key.as_str(), group.get("Name")?.as_string().ok()?.to_string().ok()?)))
                .collect();
            let fonts: HashMap<&str, pdf::font::ToUnicodeMap> = resources
                .fonts
                .iter()
                .map(|(key, font)| (key.as_str(), font.load(&resolver).unwrap().to_unicode(&resolver).unwrap().unwrap()))
                .collect();
            let mut out = PageRead::default();
            let (mut marked, mut font, mut line) = (Vec::new(), None, Affine::IDENTITY);
            // Transform and clip, saved and restored together.
            let mut state = (Affine::IDENTITY, None);
            let mut saved = Vec::new();
            let mut path = BezPath::new();
            let mut clipping = false;
            let at = |p: &pdf::content::Point| Point::new(f64::from(p.x), f64::from(p.y));
            for op in &ops {
                match op {
                    Op::Save => saved.push(state),
                    Op::Restore => state = saved.pop().unwrap(),
                    Op::Transform { matrix: m } => {
                        state.0 *= Affine::new([m.a, m.b, m.c, m.d, m.e, m.f].map(f64::from));
                    }
                    Op::MoveTo { p } => path.move_to(at(p)),
                    Op::LineTo { p } => path.line_to(at(p)),
                    Op::CurveTo { c1, c2, p } => path.curve_to(at(c1), at(c2), at(p)),
                    Op::Rect { rect: r } => {
                        let (x, y, w, h) = (f64::from(r.x), f64::from(r.y), f64::from(r.width), f64::from(r.height));
                        path.extend(Rect::new(x, y, x + w, y + h).path_elements(0.1));
                    }
                    Op::Close => path.close_path(),
                    Op::Clip { .. } => clipping = true,
                    Op::Stroke | Op::Fill { .. } | Op::FillAndStroke { .. } | Op::EndPath => {
                        let whole = paper_from_page * state.0 * std::mem::take(&mut path);
                        if !matches!(op, Op::EndPath) {
                            let layer = marked.iter().rev().find_map(|l: &Option<String>| l.clone());
                            out.paths.push(PathRead { path: whole.clone(), clip: state.1, layer });
                        }
                        if std::mem::take(&mut clipping) {
                            state.1 = Some(whole.bounding_box());
                        }
                    }
                    Op::BeginMarkedContent { properties, .. } => {
                        let key = properties.as_ref().and_then(|p| p.as_name().ok());
                        marked.push(key.map(|k| layers[k].clone()));
                    }
                    Op::EndMarkedContent => drop(marked.pop().unwrap()),
                    Op::TextFont { name, .. } => font = Some(&fonts[name.as_str()]),
                    Op::SetTextMatrix { matrix: m } => line = Affine::new([m.a, m.b, m.c, m.d, m.e, m.f].map(f64::from)),
                    Op::TextDraw { .. } | Op::TextDrawAdjusted { .. } => {
                        let start = paper_from_page * state.0 * line * Point::ZERO;
                        out.texts.push(TextRead { text: shown(op, font.unwrap()), start, clip: state.1 });
                    }
                    // A text positioned otherwise would be read at a wrong place.
                    Op::MoveTextPosition { .. } | Op::TextNewline => panic!("{op:?} is not read here"),
                    _ => {}
                }
            }
            out
        })
        .collect()
}

/// What an operator shows: codes of two bytes each, as the composite font of our pages has them.
fn shown(op: &pdf::content::Op, font: &pdf::font::ToUnicodeMap) -> String {
    use pdf::content::{Op, TextDrawAdjusted};
    let decoded = |codes: &pdf::primitive::PdfString| -> String {
        assert_eq!(codes.as_bytes().len() % 2, 0, "half a code");
        let code = |pair: &[u8]| font.get(u16::from_be_bytes([pair[0], pair[1]])).unwrap_or("\u{fffd}").to_owned();
        codes.as_bytes().chunks_exact(2).map(code).collect()
    };
    match op {
        Op::TextDraw { text } => decoded(text),
        Op::TextDrawAdjusted { array } => {
            array.iter().map(|a| if let TextDrawAdjusted::Text(t) = a { decoded(t) } else { String::new() }).collect()
        }
        _ => String::new(),
    }
}
