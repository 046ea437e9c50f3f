//! No outline crosses itself.

use kurbo::Point;

use crate::{Grade, Message, Part, Piece, geometry};

/// How far the outline is followed by straight lines; millimetres. Finer than any fault that a maker could cut.
const FLAT_MM: f64 = 0.2;

/// Names the edges that cross.
pub fn check(piece: &Piece) -> Option<Message> {
    let (a, b) = piece.crossing()?;
    let (a, b) = (&a.name, &b.name);
    let problem = if a == b { format!("the {a} crosses itself") } else { format!("{a} and {b} cross") };
    Some(Message::new(Grade::Error, piece.name().to_string(), problem, "Change the measurements or settings that these edges depend on."))
}

/// The first two parts of an outline found that cross, by their place in it.
pub fn crossing(parts: &[Part]) -> Option<(usize, usize)> {
    let mut lines: Vec<(usize, Point, Point)> = Vec::new();
    for (i, part) in parts.iter().enumerate() {
        for pair in geometry::flattened(&part.path, FLAT_MM).windows(2) {
            lines.push((i, pair[0], pair[1]));
        }
    }
    // Sorted by their left ends, a line need only be held against those that begin before it ends.
    lines.sort_by(|a, b| a.1.x.min(a.2.x).total_cmp(&b.1.x.min(b.2.x)));
    for (i, &(a, p, q)) in lines.iter().enumerate() {
        let right = p.x.max(q.x);
        let (low, high) = (p.y.min(q.y), p.y.max(q.y));
        for &(b, r, s) in lines[i + 1..].iter().take_while(|l| l.1.x.min(l.2.x) <= right) {
            if r.y.max(s.y) >= low && r.y.min(s.y) <= high && cross(p, q, r, s) {
                return Some((a, b));
            }
        }
    }
    None
}

/// Whether two lines cross inside both; sharing an end or touching is no crossing.
fn cross(p: Point, q: Point, r: Point, s: Point) -> bool {
    let side = |a: Point, b: Point, c: Point| (b - a).cross(c - a);
    let (d1, d2) = (side(p, q, r), side(p, q, s));
    let (d3, d4) = (side(r, s, p), side(r, s, q));
    // Areas below this come from touching ends.
    let least = 1e-7 * (q - p).hypot().max(1.0) * (s - r).hypot().max(1.0);
    ((d1 > least && d2 < -least) || (d1 < -least && d2 > least)) && ((d3 > least && d4 < -least) || (d3 < -least && d4 > least))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{PieceBuilder, Role};

    fn quad(corners: [(f64, f64); 4]) -> Option<Piece> {
        let names = ["top", "right", "bottom", "left"];
        let mut piece = PieceBuilder::new("test");
        for i in 0..4 {
            piece = piece.line(names[i], Role::Seam, 0.0, corners[i].into(), corners[(i + 1) % 4].into());
        }
        piece.build().ok()
    }

    #[test]
    fn a_square_is_simple_and_a_bow_is_not() {
        let square = quad([(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]);
        assert_eq!(square.as_ref().map(check), Some(None));
        let bow = quad([(0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0)]);
        assert!(bow.as_ref().and_then(check).is_some_and(|m| m.grade == Grade::Error));
    }
}
