//! Paints the sheet with its pages.

use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};
use kurbo::Point;
use tiled_print::{LineKind, Tiling};

use super::plan::Plan;
use crate::window::table::Transform;
use crate::window::theme::{self, Palette};

/// Paints everything that is in view.
pub fn plan(painter: &Painter, plan: &Plan, t: &Transform, hover: Option<Point>, p: &Palette) {
    match &plan.tiling {
        Ok(tiling) => pages(painter, tiling, t, hover, p),
        Err(_) => {
            painter.rect(on_screen(t, plan.sheet.size_mm.to_rect()), 0.0, p.cloth, Stroke::new(1.0, p.ink_soft), StrokeKind::Outside);
        }
    }
    let view = t.cloth_in_view();
    for line in &plan.lines {
        let b = kurbo::Rect::from_points(line.points[0], line.points[0]);
        let bounds = line.points.iter().fold(b, |b, q| b.union_pt(*q));
        if !bounds.inflate(1.0, 1.0).overlaps(view) {
            continue;
        }
        let points: Vec<Pos2> = line.points.iter().map(|q| t.screen_from_cloth(*q)).collect();
        stroke(painter, line.kind, points, t.scale(), p);
    }
    texts(painter, plan, t, p);
    if let Ok(tiling) = &plan.tiling {
        names(painter, plan, tiling, t, p);
    }
    pieces(painter, plan, t, p);
}

fn on_screen(t: &Transform, r: kurbo::Rect) -> Rect {
    Rect::from_two_pos(t.screen_from_cloth(Point::new(r.x0, r.y0)), t.screen_from_cloth(Point::new(r.x1, r.y1)))
}

/// The pages as paper, those that are not printed in grey with strokes across.
fn pages(painter: &Painter, tiling: &Tiling, t: &Transform, hover: Option<Point>, p: &Palette) {
    let printed = |column, row| tiling.tiles.iter().any(|tile| (tile.column, tile.row) == (column, row));
    let mut strips = Vec::new();
    for row in 0..tiling.rows {
        for column in 0..tiling.columns {
            let live = tiling.grid.live_rect(column, row);
            let page = on_screen(t, live);
            if printed(column, row) {
                painter.rect_filled(page, 0.0, p.cloth);
            } else {
                blank(painter, on_screen(t, Plan::own(tiling, column, row)), p);
            }
            let overlap = tiling.grid.overlap_mm();
            if overlap > 0.0 && printed(column, row) {
                if column + 1 < tiling.columns && printed(column + 1, row) {
                    strips.push(kurbo::Rect::new(live.x1 - overlap, live.y0, live.x1, live.y1));
                }
                if row + 1 < tiling.rows && printed(column, row + 1) {
                    strips.push(kurbo::Rect::new(live.x0, live.y1 - overlap, live.x1, live.y1));
                }
            }
        }
    }
    for strip in strips {
        painter.rect_filled(on_screen(t, strip), 0.0, p.kraft.gamma_multiply(0.35));
    }
    for tile in &tiling.tiles {
        let page = on_screen(t, Plan::own(tiling, tile.column, tile.row));
        let lit = hover.is_some_and(|h| Plan::own(tiling, tile.column, tile.row).contains(h));
        let line = if lit { Stroke::new(2.0, p.chalk) } else { Stroke::new(1.0, p.ink_soft.gamma_multiply(0.7)) };
        painter.rect_stroke(page, 0.0, line, StrokeKind::Middle);
    }
}

fn blank(painter: &Painter, page: Rect, p: &Palette) {
    let painter = painter.with_clip_rect(page.intersect(painter.clip_rect()));
    let grey = p.ink_soft.gamma_multiply(0.22);
    painter.rect_filled(page, 0.0, p.ink_soft.gamma_multiply(0.12));
    let gap = 14.0;
    let mut x = page.left() - page.height();
    while x < page.right() {
        painter.line_segment([pos2(x, page.bottom()), pos2(x + page.height(), page.top())], Stroke::new(1.0, grey));
        x += gap;
    }
}

/// The name of each page, where it covers no line.
fn names(painter: &Painter, plan: &Plan, tiling: &Tiling, t: &Transform, p: &Palette) {
    let size = ((tiling.grid.step_mm.width * t.scale() / 5.0) as f32).clamp(9.0, 26.0);
    for (column, row, at) in &plan.labels {
        let page = on_screen(t, Plan::own(tiling, *column, *row));
        if page.width() < 18.0 || !page.intersects(t.view()) {
            continue;
        }
        let name = tiled_print::grid::page_name(*column, *row);
        let printed = tiling.tiles.iter().any(|tile| (tile.column, tile.row) == (*column, *row));
        let ink: Color32 = if printed { p.chalk } else { p.ink_soft };
        let at = t.screen_from_cloth(*at) + vec2(5.0, 3.0);
        let below = painter.text(at, Align2::LEFT_TOP, name, FontId::new(size, theme::strong()), ink.gamma_multiply(0.8));
        if !printed && page.width() > 60.0 {
            // Close to the name, away from the buttons at the lower right.
            painter.text(below.left_bottom(), Align2::LEFT_TOP, "not printed", theme::small(), p.ink_soft);
        }
    }
}

/// The names of the pieces, as long as their own labels are too small to be read.
fn pieces(painter: &Painter, plan: &Plan, t: &Transform, p: &Palette) {
    let label = plan.texts.iter().map(|run| run.size_mm).fold(0.0, f64::max) * t.scale();
    if label >= READABLE {
        return;
    }
    for (name, at, bounds) in &plan.names {
        let galley = painter.layout_no_wrap(name.clone(), FontId::new(12.0, theme::strong()), p.ink);
        let own = on_screen(t, *bounds);
        // Below a piece that it would cover.
        let at = if galley.size().x > own.width() {
            own.center_bottom() + vec2(0.0, galley.size().y / 2.0 + 1.0)
        } else {
            t.screen_from_cloth(*at)
        };
        if !t.view().contains(at) {
            continue;
        }
        let tag = Rect::from_center_size(at, galley.size() + vec2(6.0, 2.0));
        painter.rect_filled(tag, 3.0, p.cloth.gamma_multiply(0.88));
        painter.galley(at - galley.size() / 2.0, galley, p.ink);
    }
}

/// Labels in smaller type can't be read, screen points.
const READABLE: f64 = 9.0;

fn stroke(painter: &Painter, kind: LineKind, points: Vec<Pos2>, scale: f64, p: &Palette) {
    let pen = kind.pen();
    let width = ((pen.width_mm * scale) as f32).max(if pen.width_mm > 0.4 { 1.5 } else { 1.0 });
    let line = Stroke::new(width, p.ink.lerp_to_gamma(p.cloth, pen.grey as f32));
    // Dashes too short to be told apart are drawn longer, in their own proportion.
    let dashes: Vec<f32> = pen.dash_mm.iter().map(|d| (d * scale) as f32).collect();
    if dashes.len() < 2 {
        painter.add(Shape::line(points, line));
        return;
    }
    let longest = dashes.iter().copied().fold(0.0, f32::max);
    let grow = (5.0 / longest.max(0.01)).max(1.0);
    let dash: Vec<f32> = dashes.iter().step_by(2).map(|d| (d * grow).max(1.5)).collect();
    let gap: Vec<f32> = dashes.iter().skip(1).step_by(2).map(|d| (d * grow).max(2.0)).collect();
    painter.extend(Shape::dashed_line_with_offset(&points, line, &dash, &gap, 0.0));
}

/// The texts of the sheet, where they are large enough to be read.
fn texts(painter: &Painter, plan: &Plan, t: &Transform, p: &Palette) {
    for run in &plan.texts {
        let size = (run.size_mm * t.scale()) as f32;
        if size < 4.0 || !run.bounds().overlaps(t.cloth_in_view()) {
            continue;
        }
        let galley = painter.layout_no_wrap(run.text.clone(), FontId::proportional(size), p.ink);
        // Written on its foot line; the galley is placed by its upper corner.
        let up = run.axes().1 * (run.size_mm * 0.95);
        let at = t.screen_from_cloth(run.at - up);
        painter.add(egui::epaint::TextShape::new(at, galley, p.ink).with_angle(run.angle_rad as f32));
    }
}
