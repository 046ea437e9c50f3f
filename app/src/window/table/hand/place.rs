//! Where a panel lies beside a line: over as little of the pieces as can be, and near the line.

use egui::{Pos2, Rect, Vec2, pos2, vec2};
use kurbo::Point;

use super::super::hit;
use super::super::shape::Distance;
use super::super::transform::Transform;
use super::Bench;
use crate::window::theme;

/// The view is looked at in squares of this size, screen points.
const SQUARE: f32 = 14.0;
/// A square in which the line itself lies is worth so many others.
const LINE: f32 = 12.0;
/// So are squares under buttons.
const BUTTONS: f32 = 20.0;
/// Ten points nearer to the end of the line are worth so many squares.
const NEARER: f32 = 3.0;
/// The choice of tools at the left and the buttons in the corner at the right, screen points.
const TOOLS: f32 = 60.0;
const CORNER: Vec2 = vec2(56.0, 200.0);

/// A place that was found. It stays as long as the table lies still and the panel grows no larger.
#[derive(Clone, Copy, Debug, Default)]
pub struct Place {
    found: Option<(Transform, Vec2, Pos2)>,
}

impl Place {
    /// The upper left corner for a panel of this size beside the end of a line.
    pub fn beside(&mut self, line: &[Pos2], size: Vec2, bench: &Bench<'_>) -> Pos2 {
        let mut size = size;
        if let Some((transform, held, at)) = self.found {
            if transform == *bench.transform && held.x >= size.x && held.y >= size.y {
                return at;
            }
            size = size.max(held);
        }
        let at = Squares::of(line, bench).best(size, line.last().copied());
        self.found = Some((*bench.transform, size, at));
        at
    }
}

/// The view in squares, each with what it costs to cover it.
struct Squares {
    view: Rect,
    across: usize,
    down: usize,
    cost: Vec<f32>,
}

impl Squares {
    fn of(line: &[Pos2], bench: &Bench<'_>) -> Self {
        let mut view = bench.transform.view().shrink(4.0);
        view.min.x += TOOLS.min(view.width() / 4.0);
        let (across, down) = ((view.width() / SQUARE) as usize, (view.height() / SQUARE) as usize);
        let mut squares = Self { view, across, down, cost: vec![0.0; across * down] };
        for laid in &bench.lay.pieces {
            let bounds = laid.bounds();
            let [from, to] = [(bounds.x0, bounds.y0), (bounds.x1, bounds.y1)].map(|at| bench.transform.screen_from_cloth(at.into()));
            let runs = laid.shape.runs(Distance::Far);
            squares.add(Rect::from_two_pos(from, to), |at| {
                let own: Point = bench.transform.cloth_from_screen(at) - laid.by;
                if runs.iter().any(|run| hit::winds_round(run, own)) { 1.0 } else { 0.0 }
            });
        }
        for pair in line.windows(2) {
            let steps = (pair[0].distance(pair[1]) / SQUARE).ceil().max(1.0) as usize;
            for i in 0..=steps {
                let at = pair[0].lerp(pair[1], i as f32 / steps as f32);
                squares.add(Rect::from_center_size(at, Vec2::splat(SQUARE)), |_| LINE);
            }
        }
        let corner = Rect::from_min_max(view.max - CORNER - vec2(0.0, theme::TARGET), view.max);
        squares.add(corner, |_| BUTTONS);
        squares
    }

    /// Adds to every square that has its middle in a part of the view.
    fn add(&mut self, part: Rect, cost: impl Fn(Pos2) -> f32) {
        let index = |from: f32, at: f32, most: usize| (((at - from) / SQUARE - 0.5).ceil().max(0.0) as usize).min(most);
        let (left, right) = (index(self.view.left(), part.left(), self.across), index(self.view.left(), part.right(), self.across));
        let (top, bottom) = (index(self.view.top(), part.top(), self.down), index(self.view.top(), part.bottom(), self.down));
        for y in top..bottom {
            for x in left..right {
                let middle = self.view.min + (vec2(x as f32, y as f32) + Vec2::splat(0.5)) * SQUARE;
                self.cost[y * self.across + x] += cost(middle);
            }
        }
    }

    /// The upper left corner for something of this size where it costs least.
    fn best(&self, size: Vec2, end: Option<Pos2>) -> Pos2 {
        let sums = self.sums();
        let wide = ((size.x / SQUARE).ceil() as usize).min(self.across);
        let tall = ((size.y / SQUARE).ceil() as usize).min(self.down);
        let sum = |x: usize, y: usize| sums[y * (self.across + 1) + x];
        let mut best = (f32::MAX, self.view.min);
        for y in 0..=self.down - tall {
            for x in 0..=self.across - wide {
                let covered = sum(x + wide, y + tall) - sum(x, y + tall) - sum(x + wide, y) + sum(x, y);
                let at = pos2(self.view.left() + x as f32 * SQUARE, self.view.top() + y as f32 * SQUARE);
                let away = end.map_or(0.0, |end| Rect::from_min_size(at, size).distance_to_pos(end));
                let cost = covered + NEARER * away / 10.0;
                if cost < best.0 {
                    best = (cost, at);
                }
            }
        }
        best.1
    }

    /// For every corner of a square the sum of all squares above and to the left of it.
    fn sums(&self) -> Vec<f32> {
        let stride = self.across + 1;
        let mut sums = vec![0.0; stride * (self.down + 1)];
        for y in 0..self.down {
            for x in 0..self.across {
                sums[(y + 1) * stride + x + 1] =
                    self.cost[y * self.across + x] + sums[y * stride + x + 1] + sums[(y + 1) * stride + x] - sums[y * stride + x];
            }
        }
        sums
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn squares() -> Squares {
        let view = Rect::from_min_size(pos2(100.0, 50.0), vec2(700.0, 420.0));
        Squares { view, across: 50, down: 30, cost: vec![0.0; 1500] }
    }

    #[test]
    fn a_panel_keeps_off_what_lies_there_and_within_the_view() {
        let size = vec2(280.0, 200.0);
        let end = pos2(400.0, 300.0);
        let mut squares = squares();
        // A piece at the left, up to the end of the line and a little beyond.
        let piece = Rect::from_min_max(pos2(100.0, 50.0), pos2(430.0, 470.0));
        squares.add(piece, |_| 1.0);
        let panel = Rect::from_min_size(squares.best(size, Some(end)), size);
        assert!(!panel.shrink(SQUARE).intersects(piece) && squares.view.expand(1.0).contains_rect(panel), "{panel:?}");
        // Where everything is covered it stays near the line.
        squares.add(squares.view, |_| 1.0);
        let panel = Rect::from_min_size(squares.best(size, Some(end)), size);
        assert!(panel.distance_to_pos(end) < 60.0 && squares.view.expand(1.0).contains_rect(panel), "{panel:?}");
        // Larger than the view, it begins in its corner.
        assert_eq!(squares.best(vec2(2000.0, 2000.0), Some(end)), squares.view.min);
    }
}
