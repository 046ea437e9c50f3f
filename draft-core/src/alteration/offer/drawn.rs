//! A line drawn by hand on a piece: the names by which its ends are found again, and what it can become.

use kurbo::{ParamCurve, Point, Vec2};

use super::effect::Effect;
use super::handwork;
use super::start::{Start, unused_on, upper_and_lower};
use crate::alteration::{Alteration, Cut, Mark, MoveDart, PanelSlit, Redraw, SewDart, Sign, Top, Trace, cut, move_dart, trace};
use crate::fairing::Fair;
use crate::place::{end_names, frame, from_start, nearest};
use crate::{Along, Draft, DraftError, DrawnLine, Length, Name, Piece, Place, Role};

/// What a drawn line can become.
#[derive(Clone, Debug, PartialEq)]
pub struct Becoming {
    /// Verb first: `Cut in two here`.
    pub name: String,
    /// The alteration that makes it so.
    pub alteration: Alteration,
    /// What it does.
    pub effect: Effect,
}

impl Becoming {
    /// An alteration that is offered, if it can be done.
    pub(super) fn tried(draft: &Draft, name: String, alteration: Alteration) -> Option<Self> {
        let after = alteration.apply(draft).ok()?;
        Some(Self { name, alteration, effect: Effect::of(draft, &after) })
    }
}

/// A fair line as a line that is found again on every redraft: its ends at what they were drawn to within reach, its corners as
/// places, and the curves between as free cubics. A line that comes back to within reach of its start is closed. `None` when
/// it is too short to be one.
pub fn line_of(piece: &Piece, fair: &Fair, reach_mm: f64) -> Option<DrawnLine> {
    let segments: Vec<kurbo::PathSeg> = fair.path.segments().collect();
    let (start, end) = (segments.first()?.start(), segments.last()?.end());
    let long: f64 = segments.iter().map(crate::geometry::segment_length).sum();
    let closed = start.distance(end) <= reach_mm && long > 6.0 * reach_mm;
    let mut legs: Vec<Vec<kurbo::PathSeg>> = vec![Vec::new()];
    for (i, seg) in segments.iter().enumerate() {
        let corner = fair.corners.iter().any(|c| c.distance(seg.start()) < 1e-6);
        // A closed line needs a place on its far side.
        let far = closed && fair.corners.is_empty() && i == segments.len() / 2;
        if i > 0 && (corner || far) {
            legs.push(Vec::new());
        }
        legs.last_mut()?.push(*seg);
    }
    if closed && legs.len() == 1 {
        let only = legs.pop()?;
        let (first, second) = only.first()?.to_cubic().subdivide();
        legs.push(vec![first.into()]);
        legs.push(std::iter::once(second.into()).chain(only.into_iter().skip(1)).collect());
    }
    let mut through = vec![place_at(piece, start, reach_mm)];
    let mut bends = Vec::with_capacity(legs.len());
    for (i, leg) in legs.iter().enumerate() {
        let to = match leg.last()?.end() {
            _ if closed && i + 1 == legs.len() => through[0].clone(),
            at if i + 1 == legs.len() => place_at(piece, at, reach_mm),
            at => place_at(piece, at, 0.0),
        };
        let mut path = kurbo::BezPath::from_path_segments(leg.iter().copied());
        if path.elements().len() < 2 {
            return None;
        }
        // Where a line was closed, its end lies where it started.
        if closed && i + 1 == legs.len() {
            path = moved_end(&path, start);
        }
        let line = DrawnLine::of_path(piece, &path, through[i].clone(), to.clone())?;
        bends.extend(line.bends);
        through.push(to);
    }
    (closed || through.first() != through.last()).then_some(DrawnLine { through, bends })
}

/// A path that ends somewhere else, its last handle moved along.
fn moved_end(path: &kurbo::BezPath, to: Point) -> kurbo::BezPath {
    let mut elements = path.elements().to_vec();
    match elements.last_mut() {
        Some(kurbo::PathEl::CurveTo(_, handle, end)) => {
            *handle += to - *end;
            *end = to;
        }
        Some(kurbo::PathEl::LineTo(end)) => *end = to,
        _ => {}
    }
    kurbo::BezPath::from_vec(elements)
}

/// The place at a point of a piece, in whole millimetres: a marked point or an edge within reach, else off the nearest
/// marked point, or off an edge where there is none.
pub fn place_at(piece: &Piece, at: Point, reach_mm: f64) -> Place {
    place_in_steps(piece, at, reach_mm, 1.0)
}

/// The same to the hundredth of a millimetre, for what was typed.
pub fn place_exactly_at(piece: &Piece, at: Point, reach_mm: f64) -> Place {
    place_in_steps(piece, at, reach_mm, 0.01)
}

fn place_in_steps(piece: &Piece, at: Point, reach_mm: f64, step_mm: f64) -> Place {
    let round = |mm: f64| (mm / step_mm).round() * step_mm;
    let (up, right) = frame(piece);
    let marked = || piece.points().iter().filter(|p| p.marked);
    let closest = marked().min_by(|a, b| a.at.distance(at).total_cmp(&b.at.distance(at)));
    if let Some(point) = closest.filter(|p| p.at.distance(at) <= reach_mm) {
        return Place::Point(point.name.clone());
    }
    let on_edge = nearest(piece, at).filter(|(spot, _)| piece.edges()[spot.edge].role != Role::DartLeg).map(|(spot, far)| {
        let edge = piece.edges()[spot.edge].name.clone();
        let length = piece.edge_length_mm(edge.as_str()).unwrap_or(0.0);
        let [start, end] = end_names(piece, &edge).unwrap_or_else(|| ["start".into(), "end".into()]);
        let (from, mm) = if spot.at_mm <= length / 2.0 { (start, spot.at_mm) } else { (end, length - spot.at_mm) };
        // An end whose name is told by something else would be read as another one.
        let from = if from_start(piece, &edge, &from).is_ok() { from } else { "start".into() };
        let along = |mm: f64| Place::Edge { edge: edge.clone(), from: from.clone(), at: Along::Length(Length::from_mm(mm)) };
        // Both corners of a dart's mouth lie equally far along; a millimetre beside it tells which is meant.
        let tries = [round(mm), round(mm) - 1.0, round(mm) + 1.0].map(|mm| along(mm.clamp(0.0, length)));
        let misses = |place: &Place| place.find(piece).map_or(f64::INFINITY, |found| found.distance(spot.at));
        let best = tries.iter().min_by(|a, b| misses(a).total_cmp(&misses(b))).cloned();
        (best.unwrap_or_else(|| along(mm)), far)
    });
    let off = |base: Place| match base.find(piece) {
        Ok(found) => base.off(round((at - found).dot(up)), round((at - found).dot(right))),
        Err(_) => base,
    };
    match (on_edge, closest) {
        (Some((place, far)), _) if far <= reach_mm => place,
        (_, Some(point)) => off(Place::Point(point.name.clone())),
        (Some((place, _)), None) => off(place),
        (None, None) => Place::point(""),
    }
}

/// A point turned about another one so that it lies along the grain, across it or on the bias from there, where it nearly
/// does.
pub fn squared(piece: &Piece, from: Point, to: Point, within_degrees: f64) -> Point {
    let (up, right) = frame(piece);
    let by = to - from;
    let bias = |a: Vec2, b: Vec2| (a + b).normalize();
    for direction in [up, right, bias(up, right), bias(up, -right)] {
        let aside = by.cross(direction).abs().atan2(by.dot(direction).abs()).to_degrees();
        if aside <= within_degrees {
            return from + direction * by.dot(direction);
        }
    }
    to
}

/// A line that ends so near the point of a dart is drawn to it, millimetres.
const AT_DART_MM: f64 = 12.0;

/// What a line on a piece can become: each is tried, and only what can be done is offered.
pub fn becomes(draft: &Draft, name: &Name, line: &DrawnLine) -> Vec<Becoming> {
    let Some(piece) = draft.piece(name.as_str()) else { return Vec::new() };
    let Ok((first, last)) = line.ends() else { return Vec::new() };
    let on = |place: &Place| place.spot(piece).ok().map(|spot| piece.edges()[spot.edge].name.clone());
    let ends = [on(first), on(last)];
    let start = Start { draft, piece: Some(piece), edge: None };
    let mut all = Vec::new();
    let mut offer = |name: String, alteration: Alteration| {
        let becoming = Becoming::tried(draft, name, alteration);
        let can = becoming.is_some();
        all.extend(becoming);
        can
    };
    if first == last {
        let trace = Trace {
            piece: name.clone(),
            line: line.clone(),
            name: start.unused(&format!("{name} patch")),
            with: None,
            allowance: trace::narrow(),
        };
        offer("Trace it off as a piece".into(), Alteration::Trace(trace));
    }
    if let [Some(a), Some(b)] = &ends {
        let between = |edge: &&crate::Edge| {
            edge.role != Role::DartLeg && end_names(piece, &edge.name).is_some_and(|[p, q]| p == *a && q == *b || p == *b && q == *a)
        };
        // The edge that is nearer to the line is the one that is meant.
        let flat = line.path(piece).map(|path| crate::geometry::flattened(&path, 1.0)).unwrap_or_default();
        let middle = flat.get(flat.len() / 2).copied().unwrap_or_default();
        let far = |edge: &crate::Edge| {
            let nearest = |s: kurbo::PathSeg| kurbo::ParamCurveNearest::nearest(&s, middle, 1e-3).distance_sq;
            piece.edge_parts(edge.name.as_str()).flat_map(|p| p.path.segments()).map(nearest).fold(f64::INFINITY, f64::min)
        };
        let mut edges: Vec<&crate::Edge> = piece.edges().iter().filter(between).collect();
        edges.sort_by(|a, b| far(a).total_cmp(&far(b)));
        for edge in edges {
            let alteration = Alteration::Redraw(Redraw { piece: name.clone(), edge: edge.name.clone(), line: line.clone() });
            offer(format!("Make it the new {}", edge.name), alteration);
        }
        // The piece keeps its name below the line.
        for with in upper_and_lower(piece, a) {
            let cut = Cut {
                piece: name.clone(),
                line: line.clone(),
                seam: unused_on(piece, "style line"),
                new: start.unused(&format!("upper {name}")),
                with,
                allowance: cut::plain(),
                sewn: true,
            };
            if offer("Cut in two here".into(), Alteration::Cut(cut)) {
                break;
            }
        }
        for with in upper_and_lower(piece, a) {
            let new = start.unused(&format!("{name} facing"));
            let trace = Trace { piece: name.clone(), line: line.clone(), name: new, with: Some(with.clone()), allowance: trace::narrow() };
            offer(format!("Trace off the part at the {with}"), Alteration::Trace(trace));
        }
    }
    let inward = match &ends {
        [Some(_), None] => Some(line.clone()),
        [None, Some(_)] => Some(line.reversed()),
        _ => None,
    };
    if let Some(line) = inward {
        let (opens, top) = (line.through.first(), line.through.last().and_then(|p| p.find(piece).ok()));
        if let Some((opens, top)) = opens.zip(top) {
            // A line drawn to the point of a dart is where it opens.
            for dart in piece.darts().iter().filter(|d| d.pivot.distance(top).min(d.tip.distance(top)) <= AT_DART_MM) {
                let moved = MoveDart {
                    piece: name.clone(),
                    dart: dart.name.clone(),
                    to: opens.clone(),
                    short_of_pivot: move_dart::short(),
                    pressed_onward: false,
                };
                offer(format!("Open the {} along it", dart.name), Alteration::MoveDart(moved));
            }
        }
        let slit = PanelSlit {
            piece: name.clone(),
            line: line.clone(),
            name: unused_on(piece, "slit"),
            top: Top::Rounded,
            facing: Length::from_mm(40.0),
        };
        let mut inward = vec![("Slit it here", Alteration::PanelSlit(slit))];
        if let Some((opens, point)) = line.through.first().zip(line.through.last())
            && let Ok((edge, _)) = opens.on_edge(piece)
        {
            let dart = SewDart {
                piece: name.clone(),
                dart: handwork::dart_name(piece, &edge),
                opens: opens.clone(),
                point: point.clone(),
                intake: handwork::intake(draft, piece, &edge),
                pressed_onward: false,
            };
            // At a hem it is more likely a slit that is meant.
            let at = usize::from(piece.edge(edge.as_str()).is_some_and(|e| e.role == Role::Hem));
            inward.insert(at, ("Sew a dart along it", Alteration::SewDart(dart)));
        }
        for (words, alteration) in inward {
            offer(words.into(), alteration);
        }
    }
    let sign = Sign::Line { name: unused_on(piece, "placement line"), line: line.clone() };
    offer("Mark the line".into(), Alteration::Mark(Mark { piece: name.clone(), sign }));
    all
}

/// What shears do along a line: cut in two from edge to edge, or slit from an edge inward.
///
/// # Errors
/// Neither can be done; says why.
pub fn sheared(draft: &Draft, name: &Name, line: &DrawnLine) -> Result<Alteration, DraftError> {
    let refuse = |problem: &str, remedy: &str| DraftError::new(name.to_string(), problem.to_owned(), remedy.to_owned());
    let cuts = |b: &Becoming| matches!(b.alteration, Alteration::Cut(_) | Alteration::PanelSlit(_));
    if let Some(found) = becomes(draft, name, line).into_iter().find(cuts) {
        return Ok(found.alteration);
    }
    let piece = draft.piece(name.as_str()).ok_or_else(|| refuse("there is no piece of this name", "Choose another piece."))?;
    let (first, last) = line.ends()?;
    match (first.spot(piece), last.spot(piece)) {
        (Err(_), Err(_)) => Err(refuse("shears come in from an edge, and the line touches none", "Begin the cut on an edge.")),
        (Ok(a), Ok(b)) => {
            let ends = [crate::division::LineEnd { spot: a, beyond: None }, crate::division::LineEnd { spot: b, beyond: None }];
            crate::division::divide(piece, line, ends, 0, false)?;
            Err(refuse("the line leaves the piece on its way", "Cut inside the piece, from edge to edge."))
        }
        _ => Err(refuse("the cut is too short or leaves the piece", "Cut from an edge to a place inside, or right across.")),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::Garment;

    fn demo() -> Draft {
        let garment = Garment::from_text(include_str!("../../../../assets/demo/garment.ron")).unwrap();
        Draft::clone(&garment.build().draft)
    }

    #[test]
    fn a_place_is_found_again_where_it_was_pointed_at() {
        let draft = demo();
        for piece in &draft.pieces {
            let b = piece.bounds();
            for i in 0..=6 {
                for j in 0..=6 {
                    let at = Point::new(b.x0 + b.width() * f64::from(i) / 6.0, b.y0 + b.height() * f64::from(j) / 6.0);
                    let found = place_at(piece, at, 3.0).find(piece).unwrap();
                    // Half a millimetre for rounding, in two directions, unless it snapped.
                    assert!(found.distance(at) <= 3.6, "{} at {at:?}: {found:?}", piece.name());
                }
            }
        }
    }

    #[test]
    fn nearly_level_is_level_and_slanting_stays() {
        let draft = demo();
        let piece = draft.piece("front").unwrap();
        let from = piece.bounds().center();
        let level = squared(piece, from, from + Vec2::new(100.0, 2.0), 3.0);
        let (up, _) = frame(piece);
        assert!((level - from).dot(up).abs() < 1e-9);
        let slanting = from + Vec2::new(100.0, 30.0);
        assert_eq!(squared(piece, from, slanting, 3.0), slanting);
    }

    #[test]
    fn a_line_becomes_what_its_ends_allow() {
        let draft = demo();
        let front: Name = "front".into();
        let names = |from: Place, to: Place| -> Vec<String> {
            becomes(&draft, &front, &DrawnLine::straight(from, to)).into_iter().map(|b| b.name).collect()
        };
        let at = |edge: &str, from: &str, mm: f64| Place::along(edge, from, Length::from_mm(mm));
        let across = names(at("centre front", "neckline", 80.0), at("armhole", "shoulder", 60.0));
        assert!(across.contains(&"Cut in two here".to_owned()) && across.contains(&"Mark the line".to_owned()), "{across:?}");
        let neck = names(at("centre front", "neckline", 30.0), at("shoulder", "neckline", 20.0));
        assert!(neck.contains(&"Make it the new neckline".to_owned()), "{neck:?}");
        let hem = Place::share("hem", "left seam", 0.5);
        let line = DrawnLine::straight(hem.clone().off(250.0, 0.0), hem);
        let up: Vec<String> = becomes(&draft, &"gore".into(), &line).into_iter().map(|b| b.name).collect();
        assert!(up.contains(&"Slit it here".to_owned()) && !up.contains(&"Cut in two here".to_owned()), "{up:?}");
    }
}
