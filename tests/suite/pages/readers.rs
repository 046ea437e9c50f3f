//! Two readers of PDF pages that have nothing to do with the writer: hayro's interpreter, and the `pdf` crate's
//! parser with the few operators of our pages interpreted here.

use hayro::hayro_interpret::font::GlyphRun;
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
}

/// One painted path and the innermost clip in force.
pub struct PathRead {
    pub path: BezPath,
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
        self.page.paths.push(PathRead { path, clip: self.clips.last().copied() });
    }
    fn push_clip_path(&mut self, clip: &ClipPath) {
        let bounds = (Affine::scale(MM_PER_POINT) * clip.path.clone()).bounding_box();
        self.clips.push(bounds);
    }
    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'_>>, _: BlendMode) {}
    fn draw_glyph_run(&mut self, _: &GlyphRun<'_, '_>, _: DrawProps<'_>, _: &DrawMode) {}
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
            let mut out = PageRead::default();
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
                            out.paths.push(PathRead { path: whole.clone(), clip: state.1 });
                        }
                        if std::mem::take(&mut clipping) {
                            state.1 = Some(whole.bounding_box());
                        }
                    }
                    _ => {}
                }
            }
            out
        })
        .collect()
}
