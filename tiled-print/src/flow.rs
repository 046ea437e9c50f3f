//! Text and rules running down the pages.

use kurbo::{Point, Rect, Size};

use crate::drawing::{Drawing, TextRun};
use crate::font;
use crate::line::{Layer, LineKind};
use crate::tile::Page;

/// Sizes of type.
pub const TITLE_MM: f64 = 6.5;
pub const HEADING_MM: f64 = 4.6;
pub const TEXT_MM: f64 = 3.5;
pub const SMALL_MM: f64 = 2.9;
/// Baseline to baseline, in parts of the size.
const LEADING: f64 = 1.38;
/// Room for the number of the page.
const FOOT_MM: f64 = 5.0;

/// Pages that fill from the top.
pub struct Flow {
    size: Size,
    live: Rect,
    title: String,
    pages: Vec<Drawing>,
    y: f64,
}

impl Flow {
    pub fn new(size: Size, live: Rect, title: String) -> Self {
        Self { size, live, title, pages: vec![Drawing::default()], y: live.y0 }
    }

    /// What the pages hold, without the margins and the foot.
    pub fn live(&self) -> Rect {
        Rect::new(self.live.x0, self.live.y0, self.live.x1, self.live.y1 - FOOT_MM)
    }

    /// How far down the page is filled.
    pub const fn y(&self) -> f64 {
        self.y
    }

    /// The page at hand.
    pub fn drawing(&mut self) -> &mut Drawing {
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    /// A heading with room above it, kept with at least so much of what follows.
    pub fn heading(&mut self, text: &str, with_mm: f64) {
        self.keep_together(HEADING_MM * 2.6 + with_mm);
        if self.y > self.live.y0 {
            self.y += 4.0;
        }
        self.text_line(text, HEADING_MM, 0.0);
        let y = self.y + 0.4;
        let (x0, x1) = (self.live.x0, self.live.x1);
        self.drawing().line(LineKind::Box, Point::new(x0, y), Point::new(x1, y));
        self.y += 1.6;
    }

    pub fn space(&mut self, mm: f64) {
        self.y += mm;
    }

    /// Begins another page unless so much fits on this one; says whether it did.
    pub fn keep_together(&mut self, mm: f64) -> bool {
        let full = self.y + mm > self.live().y1 && self.y > self.live.y0;
        if full {
            self.pages.push(Drawing::default());
            self.y = self.live.y0;
        }
        full
    }

    pub fn text_at(&mut self, text: &str, at: Point, size: f64, grey: f64) {
        self.drawing().text(TextRun::new(text, at, size, Layer::Furniture).grey(grey));
    }

    /// One line across the page, made smaller or cut short to fit.
    pub fn text_line(&mut self, text: &str, size: f64, grey: f64) {
        let width = self.live.width();
        let text = font::printable(text);
        let size = (size * (width / font::width_mm(&text, size).max(1.0)).min(1.0)).max(size * 0.6);
        self.keep_together(size * LEADING);
        self.y += size * LEADING;
        let at = Point::new(self.live.x0, self.y - size * 0.35);
        self.text_at(&font::shortened(&text, size, width), at, size, grey);
    }

    /// A text broken into lines.
    pub fn paragraph(&mut self, text: &str, size: f64, grey: f64) {
        for line in font::wrapped(&font::printable(text), size, self.live.width()) {
            self.keep_together(size * LEADING);
            self.y += size * LEADING;
            self.text_at(&line, Point::new(self.live.x0, self.y - size * 0.35), size, grey);
        }
    }

    /// Fields to write in, side by side: name, what stands there already, share of the width.
    pub fn fields(&mut self, fields: &[(&str, &str, f64)]) {
        let line = self.y + 8.0;
        let mut x = self.live.x0;
        for (name, value, share) in fields {
            let width = self.live.width() * share - 3.0;
            let label = format!("{name}:");
            self.text_at(&label, Point::new(x, line - 1.2), SMALL_MM, 0.25);
            let from = x + font::width_mm(&label, SMALL_MM) + 1.5;
            let value = font::shortened(&font::printable(value), TEXT_MM, x + width - from - 1.0);
            self.text_at(&value, Point::new(from + 0.5, line - 1.2), TEXT_MM, 0.0);
            self.drawing().line(LineKind::Thin, Point::new(from, line), Point::new(x + width, line));
            x += width + 3.0;
        }
        self.y = line + 1.0;
    }

    /// Paragraphs in two columns, each with a word in front; where the longer column ends is the new height.
    pub fn two_columns(&mut self, left: &[(&str, String)], right: &[(&str, String)]) {
        let gap = 6.0;
        let width = (self.live.width() - gap) / 2.0;
        let top = self.y;
        let mut lowest = top;
        for (i, list) in [left, right].into_iter().enumerate() {
            let x = self.live.x0 + i as f64 * (width + gap);
            let mut y = top;
            for (word, text) in list {
                y += TEXT_MM * LEADING;
                self.text_at(word, Point::new(x, y - TEXT_MM * 0.3), TEXT_MM, 0.0);
                for line in font::wrapped(text, SMALL_MM, width) {
                    y += SMALL_MM * LEADING;
                    self.text_at(&line, Point::new(x, y - SMALL_MM * 0.3), SMALL_MM, 0.1);
                }
                y += 1.6;
            }
            lowest = lowest.max(y);
        }
        self.y = lowest;
    }

    /// Numbers the pages.
    pub fn finish(mut self) -> Vec<Page> {
        let count = self.pages.len();
        let pages = std::mem::take(&mut self.pages);
        pages
            .into_iter()
            .enumerate()
            .map(|(i, mut furniture)| {
                let text = format!("{}, page {} of {count}", self.title, i + 1);
                let text = font::shortened(&text, SMALL_MM, self.live.width());
                let x = self.live.x1 - font::width_mm(&text, SMALL_MM);
                furniture.text(TextRun::new(&text, Point::new(x, self.live.y1 - 0.8), SMALL_MM, Layer::Furniture).grey(0.25));
                Page { size_mm: self.size, label: (i + 1).to_string(), drawing: Drawing::default(), live: self.live, furniture }
            })
            .collect()
    }
}
