//! Where the label of a piece has room.

use kurbo::{Line, Point, Rect};

/// So many levels of a piece are tried, over the middle part of its height.
const LEVELS: u32 = 21;

/// The room that a label needs, in the measure of its piece.
#[derive(Clone, Copy, Debug)]
pub struct Size {
    /// From left to right.
    pub wide: f64,
    /// From top to bottom.
    pub tall: f64,
}

/// Where a label can lie, by its middle.
#[derive(Clone, Copy, Debug, Default)]
pub struct Places {
    /// Clear of the lines.
    pub clear: Option<Point>,
    /// Across few of them.
    pub across: Option<Point>,
}

/// The best places within an outline where a label has room.
pub fn places(outline: &[Vec<Point>], bounds: Rect, lines: &[Line], size: Size) -> Places {
    let mut clear: Option<(f64, Point)> = None;
    let mut crossed: Option<(f64, Point)> = None;
    for i in 0..LEVELS {
        let share = 0.2 + 0.6 * f64::from(i) / f64::from(LEVELS - 1);
        let y = bounds.y0 + bounds.height() * share;
        let (top, bottom) = (y - size.tall / 2.0, y + size.tall / 2.0);
        let inside = common(&common(&spans(outline, top), &spans(outline, y)), &spans(outline, bottom));
        if inside.is_empty() {
            continue;
        }
        let taken: Vec<[f64; 2]> = lines.iter().filter_map(|line| between(*line, top, bottom)).collect();
        // Nearer the middle is better where two places are about as wide.
        let central = 1.0 - (share - 0.46).abs() * 1.3;
        let look = |best: &mut Option<(f64, Point)>, span: [f64; 2], worth: f64| {
            let wide = span[1] - span[0];
            if wide >= size.wide && best.is_none_or(|(most, _)| wide * worth > most) {
                *best = Some((wide * worth, Point::new((span[0] + span[1]) / 2.0, y)));
            }
        };
        for span in without(&inside, &taken) {
            look(&mut clear, span, central);
        }
        for span in inside {
            let on = taken.iter().filter(|t| t[1] > span[0] && t[0] < span[1]).count();
            look(&mut crossed, span, central / (1 + on) as f64);
        }
    }
    Places { clear: clear.map(|(_, at)| at), across: crossed.map(|(_, at)| at) }
}

/// From where to where a line reaches between two levels.
fn between(line: Line, top: f64, bottom: f64) -> Option<[f64; 2]> {
    let (a, b) = if line.p0.y <= line.p1.y { (line.p0, line.p1) } else { (line.p1, line.p0) };
    if b.y < top || a.y > bottom {
        return None;
    }
    let x_at = |y: f64| if b.y > a.y { a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y) } else { a.x };
    let ends = if b.y > a.y { [x_at(top.max(a.y)), x_at(bottom.min(b.y))] } else { [a.x, b.x] };
    Some([ends[0].min(ends[1]), ends[0].max(ends[1])])
}

/// The stretches of a level line that lie inside closed runs of points.
fn spans(outline: &[Vec<Point>], y: f64) -> Vec<[f64; 2]> {
    let mut crossings: Vec<f64> = Vec::new();
    for run in outline {
        for (i, a) in run.iter().enumerate() {
            let c = &run[(i + 1) % run.len()];
            if (a.y <= y) != (c.y <= y) {
                crossings.push(a.x + (c.x - a.x) * (y - a.y) / (c.y - a.y));
            }
        }
    }
    crossings.sort_by(f64::total_cmp);
    crossings.as_chunks::<2>().0.to_vec()
}

/// What two sets of stretches have in common.
fn common(a: &[[f64; 2]], b: &[[f64; 2]]) -> Vec<[f64; 2]> {
    a.iter().flat_map(|x| b.iter().map(|y| [x[0].max(y[0]), x[1].min(y[1])])).filter(|s| s[1] > s[0]).collect()
}

/// What of some stretches is left beside what is taken.
fn without(spans: &[[f64; 2]], taken: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut free = spans.to_vec();
    for t in taken {
        free = free.into_iter().flat_map(|s| [[s[0], s[1].min(t[0])], [s[0].max(t[1]), s[1]]]).filter(|s| s[1] > s[0]).collect();
    }
    free
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> (Vec<Vec<Point>>, Rect) {
        let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)].map(|(x, y)| Point::new(x, y));
        (vec![corners.to_vec()], Rect::new(0.0, 0.0, 100.0, 100.0))
    }

    #[test]
    fn a_label_lies_beside_the_grain_line_where_there_is_room() {
        let (outline, bounds) = square();
        let grain = Line::new((40.0, 95.0), (40.0, 5.0));
        let at = places(&outline, bounds, &[grain], Size { wide: 50.0, tall: 20.0 }).clear;
        assert!(at.is_some_and(|at| at.x - 25.0 >= 40.0 && at.x + 25.0 <= 100.0), "{at:?}");
        // Too wide for either side, it lies across.
        let found = places(&outline, bounds, &[grain], Size { wide: 80.0, tall: 20.0 });
        assert!(found.clear.is_none() && found.across.is_some());
        assert!(places(&outline, bounds, &[grain], Size { wide: 101.0, tall: 20.0 }).across.is_none());
        // Past the end of a short one there is room for all of it.
        let short = Line::new((50.0, 60.0), (50.0, 10.0));
        let at = places(&outline, bounds, &[short], Size { wide: 90.0, tall: 10.0 }).clear;
        assert!(at.is_some_and(|at| at.y - 5.0 >= 60.0), "{at:?}");
    }
}
