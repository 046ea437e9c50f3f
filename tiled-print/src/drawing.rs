//! Strokes and text, in millimetres, y down: what every writer is given.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};

use crate::font;
use crate::line::{Layer, LineKind};

/// One line, or one filled shape.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// What it means.
    pub kind: LineKind,
    /// Lines and cubics.
    pub path: BezPath,
    /// Filled instead of drawn along.
    pub filled: bool,
}

/// A run of text on one line.
#[derive(Clone, Debug, PartialEq)]
pub struct TextRun {
    /// Characters that the font has.
    pub text: String,
    /// Start of its baseline.
    pub at: Point,
    /// Size of the type.
    pub size_mm: f64,
    /// Direction of reading, radians; 0 to the right, positive clockwise as seen.
    pub angle_rad: f64,
    /// Where it belongs.
    pub layer: Layer,
    /// From 0, black, to 1, paper.
    pub grey: f64,
}

impl TextRun {
    /// A horizontal run that starts at a point of its baseline.
    pub fn new(text: &str, at: Point, size_mm: f64, layer: Layer) -> Self {
        Self { text: font::printable(text), at, size_mm, angle_rad: 0.0, layer, grey: 0.0 }
    }

    /// A run whose capitals are centred on a point, read in a direction.
    pub fn centred(text: &str, about: Point, size_mm: f64, angle_rad: f64, layer: Layer) -> Self {
        let mut run = Self { angle_rad, ..Self::new(text, about, size_mm, layer) };
        let (along, down) = run.axes();
        run.at = about - along * (run.width_mm() / 2.0) + down * (font::CAPITAL * size_mm / 2.0);
        run
    }

    /// The same run in grey.
    #[must_use]
    pub fn grey(mut self, grey: f64) -> Self {
        self.grey = grey;
        self
    }

    /// Direction of reading, and down from line to line.
    pub fn axes(&self) -> (Vec2, Vec2) {
        let along = Vec2::from_angle(self.angle_rad);
        (along, Vec2::new(-along.y, along.x))
    }

    /// Length of the run.
    pub fn width_mm(&self) -> f64 {
        font::width_mm(&self.text, self.size_mm)
    }

    /// The four corners round its letters.
    pub fn corners(&self) -> [Point; 4] {
        let (along, down) = self.axes();
        let (w, up, low) = (along * self.width_mm(), down * (-font::ABOVE * self.size_mm), down * (font::BELOW * self.size_mm));
        [self.at + up, self.at + w + up, self.at + w + low, self.at + low]
    }

    /// The upright box round its letters.
    pub fn bounds(&self) -> Rect {
        bounds_of(&self.corners())
    }

    /// The run moved and turned; the size stays.
    #[must_use]
    pub fn moved(mut self, by: Vec2) -> Self {
        self.at += by;
        self
    }
}

/// Strokes and text that are drawn together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// Lines.
    pub strokes: Vec<Stroke>,
    /// Text.
    pub texts: Vec<TextRun>,
}

impl Drawing {
    /// Adds a line.
    pub fn stroke(&mut self, kind: LineKind, path: BezPath) {
        if path.is_finite() && path.elements().len() > 1 {
            self.strokes.push(Stroke { kind, path, filled: false });
        }
    }

    /// Adds a straight line.
    pub fn line(&mut self, kind: LineKind, from: Point, to: Point) {
        let mut path = BezPath::new();
        path.move_to(from);
        path.line_to(to);
        self.stroke(kind, path);
    }

    /// Adds the outline of a rectangle.
    pub fn rect(&mut self, kind: LineKind, rect: Rect) {
        self.stroke(
            kind,
            polygon(&[(rect.x0, rect.y0).into(), (rect.x1, rect.y0).into(), (rect.x1, rect.y1).into(), (rect.x0, rect.y1).into()]),
        );
    }

    /// Adds a filled polygon.
    pub fn filled(&mut self, kind: LineKind, corners: &[Point]) {
        let path = polygon(corners);
        if path.is_finite() {
            self.strokes.push(Stroke { kind, path, filled: true });
        }
    }

    /// Adds text, unless there is nothing to read.
    pub fn text(&mut self, run: TextRun) {
        if !run.text.trim().is_empty() && run.at.is_finite() && run.angle_rad.is_finite() {
            self.texts.push(run);
        }
    }

    /// Moves everything.
    pub fn translate(&mut self, by: Vec2) {
        for stroke in &mut self.strokes {
            stroke.path.apply_affine(Affine::translate(by));
        }
        for text in &mut self.texts {
            text.at += by;
        }
    }

    /// The smallest upright box round lines and text, `None` when empty. Weights of lines are not counted.
    pub fn bounds(&self) -> Option<Rect> {
        let lines = self.strokes.iter().map(|s| s.path.bounding_box());
        lines.chain(self.texts.iter().map(TextRun::bounds)).reduce(|a, b| a.union(b))
    }

    /// Every line as straight pieces within `tolerance_mm`, and the boxes of the text.
    pub fn segments(&self, tolerance_mm: f64) -> Vec<[Point; 2]> {
        let mut out = Vec::new();
        for stroke in &self.strokes {
            flatten_into(&stroke.path, tolerance_mm, &mut out);
        }
        for text in &self.texts {
            let c = text.corners();
            out.extend([[c[0], c[1]], [c[1], c[2]], [c[2], c[3]], [c[3], c[0]]]);
        }
        out
    }
}

/// A closed polygon as a path.
pub fn polygon(corners: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, corner) in corners.iter().enumerate() {
        if i == 0 { path.move_to(*corner) } else { path.line_to(*corner) }
    }
    if !corners.is_empty() {
        path.close_path();
    }
    path
}

/// The smallest upright box round some points.
pub fn bounds_of(points: &[Point]) -> Rect {
    let mut all = points.iter();
    let first = all.next().copied().unwrap_or_default();
    all.fold(Rect::from_points(first, first), |r, p| r.union_pt(*p))
}

fn flatten_into(path: &BezPath, tolerance_mm: f64, out: &mut Vec<[Point; 2]>) {
    let (mut first, mut last) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(path.elements().iter().copied(), tolerance_mm, |el| match el {
        kurbo::PathEl::MoveTo(p) => (first, last) = (p, p),
        kurbo::PathEl::LineTo(p) => {
            out.push([last, p]);
            last = p;
        }
        kurbo::PathEl::ClosePath => {
            if last != first {
                out.push([last, first]);
            }
            last = first;
        }
        kurbo::PathEl::QuadTo(..) | kurbo::PathEl::CurveTo(..) => {}
    });
}
