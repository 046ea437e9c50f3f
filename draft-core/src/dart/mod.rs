//! Moving darts: the cloth turns about the dart's pivot, so that one opening closes and another opens.

mod gather;

pub use gather::{gathered, let_out};

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
fn cut(piece: &Piece, round: &mut Vec<Part>, edge: &str, from_start_mm: f64) -> Result<usize, DraftError> {
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

/// Where a dart opens, and how it is sewn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place<'a> {
    /// The edge that it opens from.
    pub edge: &'a str,
    /// Distance along the edge from its start as the outline runs, millimetres.
    pub from_start_mm: f64,
    /// How far the sewing stops short of the pivot, millimetres.
    pub short_of_pivot: f64,
    /// Whether the fold is pressed toward the leg that comes first along the outline.
    pub pressed_to_a: bool,
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
    transferred(piece, dart, None, &Place { edge, from_start_mm, short_of_pivot, pressed_to_a })
}

/// The same piece with part of a dart's angle taken out of it and opened as a second dart, named `second`, at another
/// place. `share` is the part that moves: 0.5 makes both angles equal. The rest stays where it was.
///
/// # Keeps
/// As for [`moved`]; the two angles add up to the one that was.
/// # Errors
/// As for [`moved`]; or the dart's legs are curved, or there is a dart named `second`.
pub fn split(piece: &Piece, dart: &str, second: &str, share: f64, to: &Place<'_>) -> Result<Piece, DraftError> {
    transferred(piece, dart, Some((second, share.clamp(0.0, 1.0))), to)
}

/// Moves the whole dart, or the part of it that becomes another dart.
fn transferred(piece: &Piece, dart: &str, part: Option<(&str, f64)>, to: &Place<'_>) -> Result<Piece, DraftError> {
    let Opened { dart, mut round, mouth_a, mouth_b } = open(piece, dart)?;
    let pivot = dart.pivot;
    if let Some((second, _)) = part {
        if piece.darts().iter().any(|d| d.name == *second) {
            return Err(refuse(piece, format!("has a dart named {second} already"), "Give the second dart another name."));
        }
        let straight = |leg: &Name| piece.edge_parts(leg.as_str()).all(|p| p.path.elements().len() == 2);
        if !straight(&dart.leg_a) || !straight(&dart.leg_b) {
            return Err(refuse(piece, format!("the legs of {} are curved", dart.name), "Move it whole, or let its legs run straight."));
        }
    }
    if piece.edge(to.edge).is_some_and(|e| e.role == Role::Fold) {
        return Err(refuse(
            piece,
            format!("{} can't open on the fold", dart.name),
            "Let the piece open there with a seam, or choose another edge.",
        ));
    }
    let at = cut(piece, &mut round, to.edge, to.from_start_mm)?;
    let second = round.split_off(at);
    let first = round;
    let (Some(leaves), false) = (second.first().and_then(|p| start(&p.path)), first.is_empty()) else {
        return Err(refuse(piece, format!("{} would not move", dart.name), "Choose a place further away from where the dart is."));
    };
    if leaves.distance(pivot) < to.short_of_pivot + 20.0 {
        return Err(refuse(piece, format!("the place for {} lies too near to its point", dart.name), "Choose a place further away."));
    }
    let first_turns = turns_first(piece, &first, &second);
    let share = part.map_or(1.0, |(_, share)| share);
    let angle = share * angle_between(pivot, mouth_b, mouth_a) * if first_turns { 1.0 } else { -1.0 };
    let turn = Affine::rotate_about(angle, pivot);
    let (turning, staying) = if first_turns { (&first, &second) } else { (&second, &first) };
    let goes = Turning::new(piece, pivot, turning, staying);

    let place = turned(leaves, pivot, angle);
    let (mouth_1, mouth_2) = if first_turns { (place, leaves) } else { (leaves, place) };
    let tip = tip_between(pivot, mouth_1, mouth_2, to.short_of_pivot);
    let mut builder = piece.to_builder();
    let leg_of = |name: &Name| piece.edges().iter().position(|e| e.name == *name).unwrap_or(0);
    let (leg_1, leg_2) = match part {
        None => (leg_of(&dart.leg_a), leg_of(&dart.leg_b)),
        Some((name, _)) => {
            let count = piece.edges().len();
            builder = builder.edge(format!("{name} leg 1"), Role::DartLeg, 0.0).edge(format!("{name} leg 2"), Role::DartLeg, 0.0);
            (count, count + 1)
        }
    };
    let carried = |parts: &[Part], turns: bool| -> Vec<Part> {
        parts.iter().map(|p| Part { edge: p.edge, path: if turns { turn * p.path.clone() } else { p.path.clone() } }).collect()
    };
    let mut parts = carried(&first, first_turns);
    parts.push(Part { edge: leg_1, path: line_path(mouth_1, tip) });
    parts.push(Part { edge: leg_2, path: line_path(tip, mouth_2) });
    parts.extend(carried(&second, !first_turns));
    let mut rest = dart.clone();
    if part.is_some() {
        let (a, b) = if first_turns { (mouth_a, turn * mouth_b) } else { (turn * mouth_a, mouth_b) };
        rest.tip = tip_between(pivot, a, b, dart.tip.distance(pivot));
        parts.push(Part { edge: leg_of(&dart.leg_a), path: line_path(a, rest.tip) });
        parts.push(Part { edge: leg_of(&dart.leg_b), path: line_path(rest.tip, b) });
    }
    let parts = in_order(piece, merged(parts));

    let mut darts: Vec<Dart> = Vec::with_capacity(piece.darts().len() + 1);
    for d in piece.darts() {
        darts.push(if d.name == dart.name {
            if part.is_some() { rest.clone() } else { Dart { tip, pressed_to_a: to.pressed_to_a, ..dart.clone() } }
        } else if goes.holds(&d.leg_a) {
            Dart { tip: turn * d.tip, pivot: turn * d.pivot, ..d.clone() }
        } else {
            d.clone()
        });
    }
    if let Some((name, _)) = part {
        darts.push(Dart {
            name: name.into(),
            leg_a: format!("{name} leg 1").into(),
            leg_b: format!("{name} leg 2").into(),
            tip,
            pivot,
            pressed_to_a: to.pressed_to_a,
        });
    }
    let mut points = piece.points().to_vec();
    for point in &mut points {
        if goes.along(point.rides.as_ref(), point.at) {
            point.at = turn * point.at;
        }
    }
    let mut lines = piece.lines().to_vec();
    for line in &mut lines {
        let middle = line.path.segments().next().map_or(Point::ZERO, |s| s.eval(0.5));
        if goes.along(None, middle) {
            line.path = turn * line.path.clone();
        }
    }
    builder.reshaped(parts, darts, points, lines).build()
}

/// Where a dart's sewing ends, so far from the pivot on the middle line between its mouths.
fn tip_between(pivot: Point, mouth_1: Point, mouth_2: Point, short_of_pivot: f64) -> Point {
    pivot + (mouth_1.midpoint(mouth_2) - pivot).normalize() * short_of_pivot
}

/// Which of two stretches of the outline turns: never the one on the centre line of the body; of two alike the shorter.
fn turns_first(piece: &Piece, first: &[Part], second: &[Part]) -> bool {
    let on_centre = |parts: &[Part]| {
        parts.iter().any(|p| {
            let edge = &piece.edges()[p.edge];
            matches!(edge.role, Role::Fold | Role::Opening) || edge.name.as_str().starts_with("centre ")
        })
    };
    let long = |parts: &[Part]| parts.iter().map(|p| geometry::length(&p.path)).sum::<f64>();
    match (on_centre(first), on_centre(second)) {
        (false, true) => true,
        (true, false) => false,
        _ => long(first) <= long(second),
    }
}

/// The part of a piece that turns: what lies on it or in it turns along.
struct Turning<'a> {
    piece: &'a Piece,
    turning: &'a [Part],
    staying: &'a [Part],
    region: BezPath,
}

impl<'a> Turning<'a> {
    fn new(piece: &'a Piece, pivot: Point, turning: &'a [Part], staying: &'a [Part]) -> Self {
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
        Self { piece, turning, staying, region }
    }

    fn on(&self, parts: &[Part], name: &Name) -> bool {
        parts.iter().any(|p| self.piece.edges()[p.edge].name == *name)
    }

    /// Whether an edge lies on it.
    fn holds(&self, edge: &Name) -> bool {
        self.on(self.turning, edge)
    }

    /// Whether a point turns along: with the whole edge that it rides on; else where a corner of the outline stands
    /// there, with that corner; else where it lies inside.
    fn along(&self, rides: Option<&Name>, at: Point) -> bool {
        if let Some(name) = rides {
            return self.on(self.turning, name) && !self.on(self.staying, name);
        }
        let corner =
            |parts: &[Part]| parts.iter().any(|p| [start(&p.path), end(&p.path)].into_iter().flatten().any(|q| q.distance(at) < 1e-3));
        match (corner(self.turning), corner(self.staying)) {
            (true, false) => true,
            (false, true) => false,
            _ => self.region.winding(at) != 0,
        }
    }
}

/// The same piece with one dart's angle added to another that ends at the same point.
///
/// # Errors
/// As for [`moved`].
pub fn joined(piece: &Piece, dart: &str, into: &str, short_of_pivot: f64) -> Result<Piece, DraftError> {
    let (edge, from_start_mm) = beside(piece, into)?;
    let moved = moved(piece, dart, edge.as_str(), from_start_mm, short_of_pivot, false)?;
    side_by_side(&moved, dart, into, short_of_pivot).ok_or_else(|| not_joined(piece, dart, into))?
}

/// The same piece with part of one dart's angle, from nought to 1, added to another that ends at the same point.
///
/// # Errors
/// As for [`split`].
pub fn shared(piece: &Piece, dart: &str, share: f64, into: &str, short_of_pivot: f64) -> Result<Piece, DraftError> {
    let (edge, from_start_mm) = beside(piece, into)?;
    let on_its_way = format!("part of {dart}");
    let place = Place { edge: edge.as_str(), from_start_mm, short_of_pivot, pressed_to_a: false };
    let parted = split(piece, dart, &on_its_way, share, &place)?;
    side_by_side(&parted, &on_its_way, into, short_of_pivot).ok_or_else(|| not_joined(piece, dart, into))?
}

fn not_joined(piece: &Piece, dart: &str, into: &str) -> DraftError {
    refuse(piece, format!("{dart} can't be joined to {into}"), "Move it to another edge.")
}

/// Where the outline arrives at a dart: its edge, and how far along.
fn beside(piece: &Piece, dart: &str) -> Result<(Name, f64), DraftError> {
    let target = open(piece, dart)?;
    let last = target.round.last().ok_or_else(|| refuse(piece, format!("{dart} has no edge"), "Draft the piece again."))?;
    let edge = piece.edges()[last.edge].name.clone();
    let mut before = 0.0;
    for part in piece.edge_parts(edge.as_str()) {
        before += geometry::length(&part.path);
        if part == last {
            break;
        }
    }
    Ok((edge, before))
}

/// Two openings that stand side by side, four legs in a row, as one: the outer two mouths and one tip, under the name of
/// the second. `None` where they do not stand so.
fn side_by_side(piece: &Piece, dart: &str, into: &str, short_of_pivot: f64) -> Option<Result<Piece, DraftError>> {
    let find = |name: &str| piece.darts().iter().find(|d| d.name == *name);
    let (gone, target) = (find(dart)?, find(into)?);
    let index = |name: &Name| piece.parts().iter().position(|p| piece.edges()[p.edge].name == *name);
    let (g1, g2, t1, t2) = (index(&gone.leg_a)?, index(&gone.leg_b)?, index(&target.leg_a)?, index(&target.leg_b)?);
    let path = |i: usize| &piece.parts()[i].path;
    let (g_in, g_out, t_in, t_out) = (start(path(g1))?, end(path(g2))?, start(path(t1))?, end(path(t2))?);
    let (mouth_1, mouth_2) = if g_out.distance(t_in) < 1e-4 { (g_in, t_out) } else { (t_in, g_out) };
    let pivot = gone.pivot;
    let tip = tip_between(pivot, mouth_1, mouth_2, short_of_pivot);
    let mut parts: Vec<Part> = Vec::new();
    for (i, part) in piece.parts().iter().enumerate() {
        if i == t1 {
            parts.push(Part { edge: part.edge, path: line_path(mouth_1, tip) });
        } else if i == t2 {
            parts.push(Part { edge: part.edge, path: line_path(tip, mouth_2) });
        } else if i != g1 && i != g2 {
            parts.push(part.clone());
        }
    }
    let darts = piece
        .darts()
        .iter()
        .filter(|d| d.name != gone.name)
        .map(|d| if d.name == *into { Dart { tip, pivot, ..d.clone() } } else { d.clone() })
        .collect();
    Some(piece.to_builder().reshaped(parts, darts, piece.points().to_vec(), piece.lines().to_vec()).build())
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
