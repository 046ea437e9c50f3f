//! Moving darts: the cloth turns about the dart's pivot, so that one opening closes and another opens.

use kurbo::{Affine, BezPath, ParamCurve, ParamCurveArclen, Point, Shape};

use crate::geometry::{self, end, line_path, start, turned};
use crate::{Dart, DraftError, Name, Part, Piece, Role};

fn refuse(piece: &Piece, problem: String, remedy: &str) -> DraftError {
    DraftError::new(piece.name().to_string(), problem, remedy)
}

/// The outline without a dart: its parts from the far mouth round to the near one.
struct Opened {
    dart: Dart,
    /// From mouth `b` round to mouth `a`, as the outline runs.
    round: Vec<Part>,
    mouth_a: Point,
    mouth_b: Point,
}

fn open(piece: &Piece, name: &str) -> Result<Opened, DraftError> {
    let gone = || refuse(piece, format!("has no dart named {name}"), "Choose a dart that the piece has.");
    let dart = piece.darts().iter().find(|d| d.name == *name).cloned().ok_or_else(gone)?;
    let parts = piece.parts();
    let of = |edge: &Name| parts.iter().position(|p| piece.edges()[p.edge].name == *edge);
    let (ia, ib) = (of(&dart.leg_a).ok_or_else(gone)?, of(&dart.leg_b).ok_or_else(gone)?);
    let count = parts.len();
    if (ia + 1) % count != ib {
        return Err(refuse(piece, format!("the legs of {name} do not meet at its tip"), "Draft the piece again."));
    }
    let round: Vec<Part> = (1..count - 1).map(|i| parts[(ib + i) % count].clone()).collect();
    let mouth_a = start(&parts[ia].path).ok_or_else(gone)?;
    let mouth_b = end(&parts[ib].path).ok_or_else(gone)?;
    Ok(Opened { dart, round, mouth_a, mouth_b })
}

/// Angle in radians by which `b` turns about `pivot` to lie on `a`'s ray; between −π and π.
fn angle_between(pivot: Point, b: Point, a: Point) -> f64 {
    let turn = (a - pivot).atan2() - (b - pivot).atan2();
    turn.sin().atan2(turn.cos())
}

/// Splits the run of parts at a distance along an edge. Gives the index of the first part after the split; a part is
/// cut in two where the place lies inside it.
fn split(piece: &Piece, round: &mut Vec<Part>, edge: &str, from_start_mm: f64) -> Result<usize, DraftError> {
    let nowhere = || {
        refuse(
            piece,
            format!("has no place {from_start_mm:.1} mm along an edge named {edge}"),
            "Choose a place on an edge that the piece has.",
        )
    };
    // Distances count along the edge as the whole outline runs, so find the edge's parts in that order first.
    let mut left = from_start_mm;
    for part in piece.edge_parts(edge) {
        let length = geometry::length(&part.path);
        if left > length + 1e-6 {
            left -= length;
            continue;
        }
        let index = round.iter().position(|p| p == part).ok_or_else(nowhere)?;
        if left < 1e-6 {
            return Ok(index);
        }
        if left > length - 1e-6 {
            return Ok(index + 1);
        }
        let (mut first, mut second) = (BezPath::new(), BezPath::new());
        let push = |path: &mut BezPath, seg: kurbo::PathSeg| {
            if path.elements().is_empty() {
                path.move_to(seg.start());
            }
            path.push(seg.as_path_el());
        };
        for seg in part.path.segments() {
            let l = geometry::segment_length(&seg);
            if left <= 0.0 {
                push(&mut second, seg);
            } else if left >= l {
                push(&mut first, seg);
            } else {
                let t = seg.inv_arclen(left, 1e-9);
                push(&mut first, seg.subsegment(0.0..t));
                push(&mut second, seg.subsegment(t..1.0));
            }
            left -= l;
        }
        let of = part.edge;
        round[index] = Part { edge: of, path: first };
        round.insert(index + 1, Part { edge: of, path: second });
        return Ok(index + 1);
    }
    Err(nowhere())
}

/// The same piece with one dart closed and opened again at another place, `from_start_mm` along `edge`.
///
/// # Keeps
/// Every edge's length, the area with the legs drawn to the pivot, and the angle at the pivot.
/// # Changes
/// The part of the piece that does not hold the fold or the opening turns about the dart's pivot.
/// # Errors
/// There is no such dart or place, or the place lies too near to the pivot for a dart.
/// # Source
/// Rotation about the bust point, as in every drafting handbook (common practice).
pub fn moved(
    piece: &Piece,
    dart: &str,
    edge: &str,
    from_start_mm: f64,
    short_of_pivot: f64,
    pressed_to_a: bool,
) -> Result<Piece, DraftError> {
    let Opened { dart, mut round, mouth_a, mouth_b } = open(piece, dart)?;
    let pivot = dart.pivot;
    if piece.edge(edge).is_some_and(|e| e.role == Role::Fold) {
        return Err(refuse(
            piece,
            format!("{} can't open on the fold", dart.name),
            "Let the piece open there with a seam, or choose another edge.",
        ));
    }
    let at = split(piece, &mut round, edge, from_start_mm)?;
    let second = round.split_off(at);
    let first = round;
    let (Some(leaves), false) = (second.first().and_then(|p| start(&p.path)), first.is_empty()) else {
        return Err(refuse(piece, format!("{} would not move", dart.name), "Choose a place further away from where the dart is."));
    };
    if leaves.distance(pivot) < short_of_pivot + 20.0 {
        return Err(refuse(piece, format!("the place for {} lies too near to its point", dart.name), "Choose a place further away."));
    }
    let held = |parts: &[Part]| parts.iter().any(|p| matches!(piece.edges()[p.edge].role, Role::Fold | Role::Opening));
    let first_turns = !held(&first) || held(&second);
    let angle = angle_between(pivot, mouth_b, mouth_a) * if first_turns { 1.0 } else { -1.0 };
    let turn = Affine::rotate_about(angle, pivot);
    let turning = if first_turns { &first } else { &second };

    // What lies inside the turning part goes with it.
    let mut region = BezPath::new();
    region.move_to(pivot);
    for part in turning {
        for el in part.path.elements() {
            match *el {
                kurbo::PathEl::MoveTo(p) => region.line_to(p),
                el => region.push(el),
            }
        }
    }
    region.close_path();
    let on = |parts: &[Part], name: &Name| parts.iter().any(|p| piece.edges()[p.edge].name == *name);
    let staying = if first_turns { &second } else { &first };
    let goes = |rides: Option<&Name>, at: Point| match rides {
        Some(name) => on(turning, name) && !on(staying, name),
        None => region.winding(at) != 0,
    };

    let place = turned(leaves, pivot, angle);
    let (mouth_1, mouth_2) = if first_turns { (place, leaves) } else { (leaves, place) };
    let axis = mouth_1.midpoint(mouth_2) - pivot;
    let tip = pivot + axis.normalize() * short_of_pivot;
    let leg_of = |name: &Name| piece.edges().iter().position(|e| e.name == *name).unwrap_or(0);
    let legs = [
        Part { edge: leg_of(&dart.leg_a), path: line_path(mouth_1, tip) },
        Part { edge: leg_of(&dart.leg_b), path: line_path(tip, mouth_2) },
    ];
    let carried = |parts: &[Part], turns: bool| -> Vec<Part> {
        parts.iter().map(|p| Part { edge: p.edge, path: if turns { turn * p.path.clone() } else { p.path.clone() } }).collect()
    };
    let mut parts = carried(&first, first_turns);
    parts.extend(legs);
    parts.extend(carried(&second, !first_turns));
    let parts = in_order(piece, merged(parts));

    let darts = piece
        .darts()
        .iter()
        .map(|d| {
            if d.name == dart.name {
                Dart { tip, pressed_to_a, ..dart.clone() }
            } else if on(turning, &d.leg_a) {
                Dart { tip: turn * d.tip, pivot: turn * d.pivot, ..d.clone() }
            } else {
                d.clone()
            }
        })
        .collect();
    let mut points = piece.points().to_vec();
    for point in &mut points {
        if goes(point.rides.as_ref(), point.at) {
            point.at = turn * point.at;
        }
    }
    let mut lines = piece.lines().to_vec();
    for line in &mut lines {
        let middle = line.path.segments().next().map_or(Point::ZERO, |s| s.eval(0.5));
        if goes(None, middle) {
            line.path = turn * line.path.clone();
        }
    }
    piece.to_builder().reshaped(parts, darts, points, lines).build()
}

/// The same piece with one dart's angle added to another that ends at the same point.
///
/// # Errors
/// As for [`moved`].
pub fn joined(piece: &Piece, dart: &str, into: &str, short_of_pivot: f64) -> Result<Piece, DraftError> {
    let target = open(piece, into)?;
    let edge_at = |part: Option<&Part>| part.map(|p| piece.edges()[p.edge].name.clone());
    // The other dart's near mouth stands where the outline's last part before it ends.
    let edge = edge_at(target.round.last()).ok_or_else(|| refuse(piece, format!("{into} has no edge"), "Draft the piece again."))?;
    let before: f64 = {
        let mut sum = 0.0;
        for part in piece.edge_parts(edge.as_str()) {
            sum += geometry::length(&part.path);
            if target.round.last() == Some(part) {
                break;
            }
        }
        sum
    };
    let moved = moved(piece, dart, edge.as_str(), before, short_of_pivot, false)?;
    // Two openings now stand side by side: four legs in a row. Keep the outer two mouths and one tip.
    let gone = open(piece, dart)?.dart;
    let index = |name: &Name| moved.parts().iter().position(|p| moved.edges()[p.edge].name == *name);
    let legs = [&gone.leg_a, &gone.leg_b, &target.dart.leg_a, &target.dart.leg_b].map(index);
    let [Some(g1), Some(g2), Some(t1), Some(t2)] = legs else {
        return Err(refuse(piece, format!("{dart} can't be joined to {into}"), "Move it to another edge."));
    };
    let mouths =
        [start(&moved.parts()[g1].path), end(&moved.parts()[g2].path), start(&moved.parts()[t1].path), end(&moved.parts()[t2].path)];
    let [Some(g_in), Some(g_out), Some(t_in), Some(t_out)] = mouths else {
        return Err(refuse(piece, format!("{dart} can't be joined to {into}"), "Move it to another edge."));
    };
    let (mouth_1, mouth_2) = if g_out.distance(t_in) < 1e-4 { (g_in, t_out) } else { (t_in, g_out) };
    let pivot = gone.pivot;
    let tip = pivot + (mouth_1.midpoint(mouth_2) - pivot).normalize() * short_of_pivot;
    let mut parts: Vec<Part> = Vec::new();
    for (i, part) in moved.parts().iter().enumerate() {
        if i == t1 {
            parts.push(Part { edge: part.edge, path: line_path(mouth_1, tip) });
        } else if i == t2 {
            parts.push(Part { edge: part.edge, path: line_path(tip, mouth_2) });
        } else if i != g1 && i != g2 {
            parts.push(part.clone());
        }
    }
    let darts = moved
        .darts()
        .iter()
        .filter(|d| d.name != gone.name)
        .map(|d| if d.name == *into { Dart { tip, pivot, ..d.clone() } } else { d.clone() })
        .collect();
    moved.to_builder().reshaped(parts, darts, moved.points().to_vec(), moved.lines().to_vec()).build()
}

/// Neighbouring parts of one edge as one part.
fn merged(parts: Vec<Part>) -> Vec<Part> {
    let mut out: Vec<Part> = Vec::with_capacity(parts.len());
    for part in parts {
        append(&mut out, part);
    }
    // The run is closed: the last part may go on in the first.
    if out.len() > 2 && out.first().map(|p| p.edge) == out.last().map(|p| p.edge) {
        let first = out.remove(0);
        append(&mut out, first);
    }
    out
}

fn append(out: &mut Vec<Part>, part: Part) {
    match out.last_mut() {
        Some(last) if last.edge == part.edge => {
            for el in part.path.elements().iter().skip(1) {
                last.path.push(*el);
            }
        }
        _ => out.push(part),
    }
}

/// The closed run begun with the part where the piece's own outline began, so that each edge's parts stand in order.
fn in_order(piece: &Piece, mut parts: Vec<Part>) -> Vec<Part> {
    if let Some(first) = piece.parts().first()
        && let Some(i) = parts.iter().position(|p| p.edge == first.edge)
    {
        parts.rotate_left(i);
    }
    parts
}
