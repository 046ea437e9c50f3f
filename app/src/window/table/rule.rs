//! The rules along two sides of the table, and the faint squares between them.

use draft_core::Unit;
use egui::{Align2, FontFamily, FontId, Painter, Pos2, Rect, Stroke, pos2};
use kurbo::Point;

use super::transform::Transform;
use crate::window::theme::{self, Palette};

/// The steps of a rule: what is written, and what is only marked; millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steps {
    /// From one number to the next.
    pub numbered_mm: f64,
    /// From one mark to the next.
    pub marked_mm: f64,
}

/// Numbers stand at least this far apart, screen points.
const ROOM: f64 = 58.0;
/// Marks stand at least this far apart, screen points.
const MARK_ROOM: f64 = 5.0;

/// The finest steps that leave room at a magnification.
pub fn steps(unit: Unit, scale: f64) -> Steps {
    // Each number with the marks that divide it evenly, as on a tape.
    const METRIC: &[(f64, &[f64])] = &[
        (5.0, &[1.0, 5.0]),
        (10.0, &[1.0, 5.0, 10.0]),
        (50.0, &[5.0, 10.0, 50.0]),
        (100.0, &[10.0, 50.0, 100.0]),
        (200.0, &[20.0, 100.0, 200.0]),
        (500.0, &[50.0, 100.0, 500.0]),
        (1000.0, &[100.0, 500.0, 1000.0]),
        (5000.0, &[500.0, 1000.0, 5000.0]),
    ];
    const IN: f64 = 25.4;
    const INCHES: &[(f64, &[f64])] = &[
        (0.5 * IN, &[0.0625 * IN, 0.125 * IN, 0.25 * IN]),
        (IN, &[0.0625 * IN, 0.125 * IN, 0.25 * IN, 0.5 * IN]),
        (2.0 * IN, &[0.25 * IN, 0.5 * IN, IN]),
        (6.0 * IN, &[0.5 * IN, IN, 3.0 * IN]),
        (12.0 * IN, &[IN, 3.0 * IN, 6.0 * IN]),
        (36.0 * IN, &[3.0 * IN, 6.0 * IN, 12.0 * IN]),
        (72.0 * IN, &[6.0 * IN, 12.0 * IN, 36.0 * IN]),
        (360.0 * IN, &[36.0 * IN, 72.0 * IN]),
    ];
    let table = if unit == Unit::Inch { INCHES } else { METRIC };
    let last = table.len() - 1;
    let (numbered_mm, marks) = table.iter().find(|(n, _)| n * scale >= ROOM).copied().unwrap_or(table[last]);
    let marked_mm = marks.iter().copied().find(|m| m * scale >= MARK_ROOM).unwrap_or(numbered_mm);
    Steps { numbered_mm, marked_mm }
}

/// A number of the rule, in the unit without its sign.
fn number(unit: Unit, mm: f64) -> String {
    let v = mm / unit.in_mm();
    if (v - v.round()).abs() < 1e-6 { format!("{:.0}", v + 0.0) } else { format!("{v:.1}") }
}

/// The multiples of a step between two values; never more than a rule can hold.
fn multiples(from: f64, to: f64, step: f64) -> impl Iterator<Item = f64> {
    let (first, last) = ((from / step).ceil() as i64, (to / step).floor() as i64);
    (first..=last.min(first + 5000)).map(move |i| i as f64 * step)
}

/// Paints both rules.
pub fn show(painter: &Painter, all: Rect, t: &Transform, unit: Unit, origin: Point, pointer: Option<Pos2>, p: &Palette) {
    let view = t.view();
    let top = Rect::from_min_max(all.min, pos2(all.right(), view.top()));
    let left = Rect::from_min_max(all.min, pos2(view.left(), all.bottom()));
    painter.rect_filled(top, 0.0, p.kraft);
    painter.rect_filled(left, 0.0, p.kraft);
    let s = steps(unit, t.scale());
    let cloth = t.cloth_in_view();
    let font = FontId::new(11.0, FontFamily::Proportional);
    let tick = |on_numbered: bool, half: bool| {
        if on_numbered {
            11.0
        } else if half {
            7.0
        } else {
            4.5
        }
    };
    let is_multiple = |mm: f64, step: f64| ((mm / step) - (mm / step).round()).abs() < 1e-6;
    let line = Stroke::new(1.0, p.ink.gamma_multiply(0.75));

    let across = painter.with_clip_rect(top.intersect(painter.clip_rect()).with_min_x(view.left()));
    for mm in multiples(cloth.x0 - origin.x, cloth.x1 - origin.x, s.marked_mm) {
        let x = t.screen_from_cloth(Point::new(mm + origin.x, 0.0)).x;
        let numbered = is_multiple(mm, s.numbered_mm);
        across.line_segment([pos2(x, top.bottom()), pos2(x, top.bottom() - tick(numbered, is_multiple(mm, s.numbered_mm / 2.0)))], line);
        if numbered {
            across.text(pos2(x + 3.0, top.top() + 2.0), Align2::LEFT_TOP, number(unit, mm), font.clone(), p.ink);
        }
    }
    let down = painter.with_clip_rect(left.intersect(painter.clip_rect()).with_min_y(view.top()));
    for mm in multiples(cloth.y0 - origin.y, cloth.y1 - origin.y, s.marked_mm) {
        let y = t.screen_from_cloth(Point::new(0.0, mm + origin.y)).y;
        let numbered = is_multiple(mm, s.numbered_mm);
        down.line_segment([pos2(left.right(), y), pos2(left.right() - tick(numbered, is_multiple(mm, s.numbered_mm / 2.0)), y)], line);
        if numbered {
            down.text(pos2(left.left() + 2.0, y + 2.0), Align2::LEFT_TOP, number(unit, mm), font.clone(), p.ink);
        }
    }
    if let Some(at) = pointer {
        let mark = Stroke::new(1.5, p.chalk);
        painter.line_segment([pos2(at.x, top.top()), pos2(at.x, top.bottom())], mark);
        painter.line_segment([pos2(left.left(), at.y), pos2(left.right(), at.y)], mark);
    }
    let corner = Rect::from_min_max(all.min, view.min);
    painter.rect_filled(corner, 0.0, p.kraft);
    painter.text(corner.center(), Align2::CENTER_CENTER, unit.sign(), FontId::new(11.5, theme::strong()), p.ink);
    let edge = Stroke::new(1.0, p.kraft_line);
    painter.line_segment([view.left_top(), view.right_top()], edge);
    painter.line_segment([view.left_top(), view.left_bottom()], edge);
}

/// Faint squares on the table, one for each number of the rules.
pub fn squares(painter: &Painter, t: &Transform, unit: Unit, origin: Point, p: &Palette) {
    let s = steps(unit, t.scale());
    let cloth = t.cloth_in_view();
    let view = t.view();
    let line = Stroke::new(1.0, p.table_line);
    for mm in multiples(cloth.x0 - origin.x, cloth.x1 - origin.x, s.numbered_mm) {
        let x = painter.round_to_pixel_center(t.screen_from_cloth(Point::new(mm + origin.x, 0.0)).x);
        painter.vline(x, view.y_range(), line);
    }
    for mm in multiples(cloth.y0 - origin.y, cloth.y1 - origin.y, s.numbered_mm) {
        let y = painter.round_to_pixel_center(t.screen_from_cloth(Point::new(0.0, mm + origin.y)).y);
        painter.hline(view.x_range(), y, line);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_room_and_marks_divide_them() {
        for unit in Unit::ALL {
            for i in 0..200 {
                let scale = 0.015 * 1.038f64.powi(i);
                let s = steps(unit, scale);
                assert!(s.numbered_mm * scale >= ROOM || s.numbered_mm > 4999.0, "{unit} at {scale}");
                let parts = s.numbered_mm / s.marked_mm;
                assert!((parts - parts.round()).abs() < 1e-9, "{unit} at {scale}: {s:?}");
            }
        }
    }

    #[test]
    fn numbers_are_those_of_the_tape() {
        assert_eq!(number(Unit::Cm, 500.0), "50");
        assert_eq!(number(Unit::Mm, 500.0), "500");
        assert_eq!(number(Unit::Inch, 12.7), "0.5");
        assert_eq!(number(Unit::Cm, -0.0), "0");
    }
}
