//! The ends of a stroke brought onto a piece.

use kurbo::{Line, ParamCurve, Point, Vec2};

use crate::Piece;
use crate::geometry;
use crate::place::nearest;

/// A stroke that falls short is carried on by no more than this, in reaches, and no more than this beyond the nearest way.
const CARRIED: f64 = 1.5;

/// A stroke whose ends lie on the outline or on a marked point of the piece, where they were drawn within reach of one: what
/// hangs over is taken off, and what falls short is carried on in its direction.
pub fn landed(piece: &Piece, stroke: &[Point], reach_mm: f64) -> Vec<Point> {
    let once = one_end(piece, stroke, reach_mm);
    let turned: Vec<Point> = once.into_iter().rev().collect();
    one_end(piece, &turned, reach_mm).into_iter().rev().collect()
}

/// The same at the beginning of a stroke.
fn one_end(piece: &Piece, stroke: &[Point], reach_mm: f64) -> Vec<Point> {
    let stroke: Vec<Point> = stroke.iter().copied().filter(|p| p.is_finite()).collect();
    let Some(&first) = stroke.first() else { return stroke };
    let marked = piece.points().iter().filter(|p| p.marked).map(|p| p.at);
    let onto = |point: Point, from: usize| -> Vec<Point> {
        let rest = stroke.iter().skip(from).copied().skip_while(|p| p.distance(point) < reach_mm * 0.25);
        std::iter::once(point).chain(rest).collect()
    };
    if let Some(point) = marked.min_by(|a, b| a.distance(first).total_cmp(&b.distance(first))).filter(|p| p.distance(first) <= reach_mm) {
        return onto(point, 1);
    }
    let outline = piece.outline();
    if !geometry::holds(&outline, first) {
        // Drawn from outside: it begins where it comes in.
        let mut far = 0.0;
        for (i, pair) in stroke.windows(2).enumerate() {
            let step = Line::new(pair[0], pair[1]);
            let hit = piece.segments().flat_map(|(_, seg)| seg.intersect_line(step)).map(|h| h.line_t).min_by(f64::total_cmp);
            if let Some(t) = hit {
                let at = step.eval(t.clamp(0.0, 1.0));
                return std::iter::once(at).chain(stroke.iter().skip(i + 1).copied().skip_while(|p| p.distance(at) < 0.5)).collect();
            }
            far += step.length();
            if far > reach_mm * 4.0 {
                break;
            }
        }
    }
    let Some((spot, far)) = nearest(piece, first) else { return stroke };
    if far > reach_mm {
        return stroke;
    }
    // Carried on in its own direction, when that leads to the outline nearly as soon.
    let ahead = stroke.iter().find(|p| p.distance(first) >= reach_mm).copied();
    let on = ahead.map(|p| (first - p).normalize()).filter(|d: &Vec2| d.is_finite()).and_then(|direction| {
        let ray = Line::new(first, first + direction * reach_mm * CARRIED);
        let hit = piece.segments().flat_map(|(_, seg)| seg.intersect_line(ray)).map(|h| h.line_t).min_by(f64::total_cmp)?;
        Some(ray.eval(hit.clamp(0.0, 1.0)))
    });
    match on {
        Some(at) if at.distance(first) <= far * CARRIED + 0.5 => {
            if at == first {
                stroke
            } else {
                std::iter::once(at).chain(stroke).collect()
            }
        }
        _ => onto(spot.at, 1),
    }
}
