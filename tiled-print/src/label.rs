//! The label on a piece: what it says, and where on the piece it stands.

use std::f64::consts::FRAC_PI_2;

use draft_core::{Built, CutCount, Garment, Piece, PrintSettings, Role, Span, Unit};
use kurbo::{Point, Rect, Vec2};

use crate::drawing::{Drawing, TextRun, bounds_of};
use crate::font;
use crate::free_space::FreeSpace;
use crate::line::Layer;

/// Size of the piece's name; the rest is set smaller. At the least scale capitals are still 2.2 mm high.
const HEADING_MM: f64 = 7.0;
const BODY_MM: f64 = 4.2;
const SCALES: [f64; 3] = [1.0, 0.85, 0.72];
/// Widths to which the lines are broken, widest first.
const WIDTHS_MM: [f64; 5] = [110.0, 70.0, 50.0, 38.0, 28.0];
/// Baseline to baseline, in parts of the size.
const LEADING: f64 = 1.35;
/// Raster on which a place is sought, and the room kept round lines.
const CELL_MM: f64 = 3.0;
const CLEAR_MM: f64 = 2.0;
/// Longest name that is printed; the file keeps all of it.
const MOST_LETTERS: usize = 80;

/// What a label says: the piece's name, then lines of smaller type.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// The piece's name.
    pub heading: String,
    /// What stands below it.
    pub lines: Vec<String>,
}

/// `cut 6`, `cut 2, a mirrored pair`, `cut 1 on the fold`.
pub fn cut_text(cut: CutCount, on_fold: bool) -> String {
    let fold = if on_fold { " on the fold" } else { "" };
    match (cut.pairs, cut.count) {
        (true, 2) => format!("cut 2{fold}, a mirrored pair"),
        (true, n) if n > 2 && n % 2 == 0 => format!("cut {n}{fold}, {} mirrored pairs", n / 2),
        (_, n) => format!("cut {n}{fold}"),
    }
}

/// Whether the allowances are on the paper, and how wide they are.
pub fn allowance_text(piece: &Piece, settings: &PrintSettings) -> String {
    let of = |hem: bool| -> Vec<f64> {
        let mut widths: Vec<f64> = piece
            .edges()
            .iter()
            .filter(|e| !matches!(e.role, Role::Fold | Role::DartLeg) && (e.role == Role::Hem) == hem)
            .map(|e| e.allowance_mm)
            .collect();
        widths.sort_by(f64::total_cmp);
        widths.dedup_by(|a, b| (*a - *b).abs() < 0.05);
        widths
    };
    let span = |widths: &[f64]| match widths {
        [] => None,
        [one] => Some(format!("{} mm", number(*one))),
        [least, .., most] => Some(format!("{} to {} mm", number(*least), number(*most))),
    };
    let (seams, hems) = (of(false), of(true));
    if seams.iter().chain(&hems).all(|w| *w < 0.05) {
        return "no seam allowance: cut on the seam line".into();
    }
    if !settings.cut_lines {
        return "seam allowance NOT included".into();
    }
    match (span(&seams), span(&hems)) {
        (Some(s), None) => format!("seam allowance included: {s}"),
        (Some(s), Some(_)) if seams == hems => format!("seam and hem allowance included: {s}"),
        (Some(s), Some(_)) if hems.iter().all(|w| *w < 0.05) => format!("seam allowance included: {s}, none at the hem"),
        (Some(s), Some(h)) => format!("seam allowance included: {s}, hem {h}"),
        (None, Some(h)) => format!("hem allowance included: {h}"),
        (None, None) => "seam allowance included".into(),
    }
}

/// A number with at most one place, and none when that is nought.
fn number(mm: f64) -> String {
    let tenths = (mm * 10.0).round() / 10.0;
    if (tenths - tenths.round()).abs() < 1e-9 { format!("{tenths:.0}") } else { format!("{tenths:.1}") }
}

/// Finished girths that are measured on a piece: `finished bust 98.0 cm`.
fn finished(piece: &Piece, built: &Built, unit: Unit) -> Vec<String> {
    let on_piece = |span: &Span| match span {
        Span::Edge(run) => run.piece == *piece.name(),
        Span::Between { piece: name, .. } | Span::Marked { piece: name, .. } => name == piece.name(),
        Span::Laid { from, to, .. } => [&from.0, &to.0].contains(&piece.name()),
        Span::Folded(_) => false,
    };
    let levels = built.draft.levels.iter().filter(|l| l.spans.iter().any(on_piece));
    levels
        .filter_map(|l| built.girths.iter().find(|g| g.level == l.name))
        .map(|g| format!("finished {} {}", g.level, unit.text(g.finished_mm.round())))
        .collect()
}

/// One attempt at a place: the label, the outline that it stays inside, lines that it keeps off by a distance, and
/// scales of its type.
struct Attempt<'a> {
    label: &'a Label,
    inside: &'a [[Point; 2]],
    off: &'a [[Point; 2]],
    clear_mm: f64,
    scales: &'a [f64],
}

/// A name, cut short if it would fill the piece.
pub fn short(name: &str) -> String {
    if name.chars().count() <= MOST_LETTERS {
        return name.trim().to_owned();
    }
    name.chars().take(MOST_LETTERS - 1).chain(['…']).collect()
}

impl Label {
    /// What the label of a piece says; `number` of `count` pieces, from 1.
    pub fn of(garment: &Garment, built: &Built, piece: &Piece, number: usize, count: usize) -> Self {
        let mut lines = vec![
            format!("piece {number} of {count}, {}", cut_text(piece.cut(), piece.fold().is_some())),
            [short(&garment.name), short(&garment.wearer.name)].into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(", for "),
            allowance_text(piece, &garment.print),
        ];
        lines.extend(finished(piece, built, garment.wearer.unit));
        if !garment.dated.trim().is_empty() {
            lines.push(short(&garment.dated));
        }
        lines.retain(|l| !l.is_empty());
        Self { heading: short(piece.name().as_str()), lines }
    }

    /// The label set in lines no wider than asked, if its words allow it; upright, its corner at the origin.
    fn set(&self, scale: f64, width_mm: f64) -> Drawing {
        let lines = self.lines.iter().map(|l| (l.as_str(), BODY_MM * scale));
        set(std::iter::once((self.heading.as_str(), HEADING_MM * scale)).chain(lines), width_mm)
    }

    /// The label on its piece: inside the seam line `seam`, clear of `ink`, where `score` is least; smaller, narrower
    /// and turned along the grain as the piece gets narrow. On what is too small for that each line of it stands where
    /// it finds room, in the allowances too; failing that, it stands across marks, then across the allowances inside
    /// `cut`; and what is too small for all of it has name and count alone.
    pub fn placed(&self, seam: &[[Point; 2]], cut: &[[Point; 2]], ink: &[[Point; 2]], score: impl Fn(Rect) -> f64) -> Drawing {
        let brief = Self { heading: self.heading.clone(), lines: self.lines.iter().take(1).cloned().collect() };
        let small = &SCALES[SCALES.len() - 1..];
        let whole = Attempt { label: self, inside: seam, off: ink, clear_mm: CLEAR_MM, scales: &SCALES };
        if let Some(found) = whole.place(&score).or_else(|| self.scattered(cut, ink)) {
            return found;
        }
        let attempts = [
            Attempt { label: self, inside: seam, off: seam, clear_mm: 1.0, scales: &SCALES },
            Attempt { label: self, inside: cut, off: cut, clear_mm: 1.0, scales: small },
            Attempt { label: &brief, inside: seam, off: seam, clear_mm: 1.0, scales: small },
            Attempt { label: &brief, inside: cut, off: cut, clear_mm: 1.0, scales: small },
        ];
        if let Some(found) = attempts.iter().find_map(|a| a.place(&score)) {
            return found;
        }
        let block = brief.set(small[0], WIDTHS_MM[0]);
        let size = block.bounds().map(|b| b.size()).unwrap_or_default();
        let bounds = bounds_of(&cut.iter().map(|s| s[0]).collect::<Vec<_>>());
        moved_to(block, bounds.center() - size.to_vec2() / 2.0)
    }
}

impl Attempt<'_> {
    fn place(&self, score: &impl Fn(Rect) -> f64) -> Option<Drawing> {
        let bounds = bounds_of(&self.inside.iter().map(|s| s[0]).collect::<Vec<_>>());
        // A small piece is searched on a finer raster.
        let cell = (bounds.width().min(bounds.height()) / 12.0).clamp(1.0, CELL_MM);
        let mut space = FreeSpace::new(bounds, cell);
        space.take_outside(self.inside);
        for segment in self.off {
            space.take_segment(*segment, self.clear_mm);
        }
        space.sum_up();
        for scale in self.scales {
            for width in WIDTHS_MM {
                let block = self.label.set(*scale, width * scale);
                let size = block.bounds()?.size();
                if let Some(rect) = space.find(size.width, size.height, score) {
                    return Some(moved_to(block, rect.origin()));
                }
                if let Some(rect) = space.find(size.height, size.width, score) {
                    return Some(moved_to(turned_up(block), Point::new(rect.x0, rect.y1)));
                }
            }
        }
        None
    }
}

/// Texts with their sizes, one below the other, in lines no wider than asked.
fn set<'a>(texts: impl Iterator<Item = (&'a str, f64)>, width_mm: f64) -> Drawing {
    let mut out = Drawing::default();
    let mut baseline = 0.0;
    for (text, size) in texts {
        for line in font::wrapped(&font::printable(text), size, width_mm) {
            baseline += size * if out.texts.is_empty() { font::ABOVE } else { LEADING };
            out.text(TextRun::new(&line, Point::new(0.0, baseline), size, Layer::Marks));
        }
    }
    out
}

/// Room round lines that stand each by itself.
const SCATTERED_CLEAR_MM: f64 = 0.7;

impl Label {
    /// Every line by itself, inside `cut` and off `ink`, the first as high as it can; `None` when one finds no room.
    fn scattered(&self, cut: &[[Point; 2]], ink: &[[Point; 2]]) -> Option<Drawing> {
        let bounds = bounds_of(&cut.iter().map(|s| s[0]).collect::<Vec<_>>());
        // Only small pieces need it, and only there is a fine raster cheap.
        if bounds.area() > 40_000.0 {
            return None;
        }
        let mut space = FreeSpace::new(bounds, 1.0);
        space.take_outside(cut);
        for segment in ink.iter().chain(cut) {
            space.take_segment(*segment, SCATTERED_CLEAR_MM);
        }
        let scale = SCALES[SCALES.len() - 1];
        let high = |r: Rect| r.y0 + 0.1 * r.x0;
        let mut out = Drawing::default();
        let texts = std::iter::once((&self.heading, BODY_MM * 1.2)).chain(self.lines.iter().map(|l| (l, BODY_MM)));
        for (text, size) in texts {
            space.sum_up();
            let found = WIDTHS_MM.into_iter().find_map(|width| {
                let block = set(std::iter::once((text.as_str(), size * scale)), width);
                let size = block.bounds()?.size();
                if let Some(rect) = space.find(size.width, size.height, high) {
                    return Some((moved_to(block, rect.origin()), rect));
                }
                let rect = space.find(size.height, size.width, high)?;
                Some((moved_to(turned_up(block), Point::new(rect.x0, rect.y1)), rect))
            });
            let (block, rect) = found?;
            space.take_rect(rect.inflate(SCATTERED_CLEAR_MM, SCATTERED_CLEAR_MM));
            out.texts.extend(block.texts);
        }
        Some(out)
    }
}

fn moved_to(mut block: Drawing, at: Point) -> Drawing {
    block.translate(at.to_vec2());
    block
}

/// A block turned to be read from the right, its lower left corner at the origin.
fn turned_up(mut block: Drawing) -> Drawing {
    for text in &mut block.texts {
        text.at = Point::new(text.at.y, -text.at.x);
        text.angle_rad -= FRAC_PI_2;
    }
    let corner = block.bounds().map_or(Vec2::ZERO, |b| Vec2::new(b.x0, b.y1));
    block.translate(-corner);
    block
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed test may panic")]
    use super::*;
    use crate::drawing::polygon;
    use kurbo::Shape;

    fn label() -> Label {
        Label {
            heading: "side front".into(),
            lines: vec!["piece 2 of 5, cut 2, a mirrored pair".into(), "The Weathervane, for Marit Solvang".into(), "2026-11-21".into()],
        }
    }

    fn sides(corners: &[Point]) -> Vec<[Point; 2]> {
        (0..corners.len()).map(|i| [corners[i], corners[(i + 1) % corners.len()]]).collect()
    }

    #[test]
    fn counts_in_words() {
        let count = |count, pairs| CutCount { count, pairs };
        assert_eq!(cut_text(count(6, false), false), "cut 6");
        assert_eq!(cut_text(count(2, true), false), "cut 2, a mirrored pair");
        assert_eq!(cut_text(count(4, true), false), "cut 4, 2 mirrored pairs");
        assert_eq!(cut_text(count(1, false), true), "cut 1 on the fold");
    }

    #[test]
    fn the_label_stands_inside_wide_and_narrow_pieces() {
        for corners in [
            [(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)],
            [(0.0, 0.0), (28.0, 0.0), (28.0, 400.0), (0.0, 400.0)],
            [(0.0, 0.0), (400.0, 0.0), (400.0, 30.0), (0.0, 30.0)],
            [(100.0, 0.0), (140.0, 0.0), (240.0, 300.0), (0.0, 300.0)],
        ] {
            let corners: Vec<Point> = corners.into_iter().map(Point::from).collect();
            let outline = sides(&corners);
            let drawing = label().placed(&outline, &outline, &outline, |r| r.center().distance(bounds_of(&corners).center()));
            let shape = polygon(&corners);
            assert!(drawing.texts.len() >= 4);
            for text in &drawing.texts {
                assert!(text.size_mm * font::CAPITAL > 2.2 - 0.01, "{} is set at {} mm", text.text, text.size_mm);
                for corner in text.corners() {
                    assert!(shape.contains(corner), "{:?} sticks out of {corners:?} at {corner}", text.text);
                }
            }
        }
    }

    #[test]
    fn a_small_crowded_piece_carries_every_line_off_its_marks() {
        let points = |c: [(f64, f64); 4]| c.map(Point::from).to_vec();
        let cut = points([(0.0, 0.0), (56.0, 0.0), (56.0, 80.0), (0.0, 80.0)]);
        let seam = points([(10.0, 10.0), (46.0, 10.0), (46.0, 70.0), (10.0, 70.0)]);
        let mut ink = sides(&seam);
        ink.extend([[Point::new(28.0, 10.0), Point::new(28.0, 70.0)], [Point::new(37.0, 16.0), Point::new(37.0, 64.0)]]);
        let drawing = label().placed(&sides(&seam), &sides(&cut), &ink, |_| 0.0);
        let words = drawing.texts.iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
        for wanted in ["side front", "mirrored pair", "Marit Solvang", "2026-11-21"] {
            assert!(words.contains(wanted), "{wanted} is not in {words}");
        }
        for (i, text) in drawing.texts.iter().enumerate() {
            assert!(text.corners().into_iter().all(|c| polygon(&cut).contains(c)), "{} sticks out", text.text);
            assert!(!ink.iter().any(|s| crate::coverage::meets(*s, text.bounds())), "{} lies on a line", text.text);
            assert!(drawing.texts[..i].iter().all(|t| t.bounds().intersect(text.bounds()).area() < 0.01), "{} lies on words", text.text);
        }
    }

    #[test]
    fn a_piece_too_small_for_its_label_still_has_one() {
        let corners: Vec<Point> = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)].into_iter().map(Point::from).collect();
        let drawing = label().placed(&sides(&corners), &sides(&corners), &sides(&corners), |_| 0.0);
        assert!(drawing.texts.iter().any(|t| t.text.contains("side front")));
    }
}
