//! Dividing a piece along a line. A dart that the line crosses is closed while the line is drawn, as it is on the
//! cutting table, and what is left of it below the line opens again.

use kurbo::{Affine, BezPath, Line, ParamCurve, ParamCurveNearest, Point};

use crate::drawn_line::stretch;
use crate::geometry::{self, end, reversed, start};
use crate::place::Spot;
use crate::ring::{Assembly, Ring, Stretch, straight};
use crate::{CutCount, Dart, DraftError, DrawnLine, Edge, MarkedLine, Name, NamedPoint, Piece, Place, Role};

/// Where a line ends: on the outline, or off it and joined to it by a straight stretch of the edge that ends there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LineEnd {
    /// On the outline.
    pub spot: Spot,
    /// Off it.
    pub beyond: Option<Point>,
}

impl LineEnd {
    /// On the outline of a piece.
    ///
    /// # Errors
    /// The place is not there, not on the outline, or in a dart.
    pub fn on(piece: &Piece, place: &Place) -> Result<Self, DraftError> {
        let spot = place.spot(piece)?;
        if piece.edges()[spot.edge].role == Role::DartLeg {
            return Err(DraftError::new(
                piece.name().to_string(),
                format!("a line ends on {}, inside a dart", piece.edges()[spot.edge].name),
                "Let it end on an edge beside the dart.",
            ));
        }
        Ok(Self { spot, beyond: None })
    }
}

/// A dart that the line crosses.
struct Crossed {
    /// Which of the piece's darts.
    dart: usize,
    /// Which run holds its mouth: 0 from the line's start to its end as the outline runs, 1 the other.
    mouth_in: usize,
    /// Edges of the legs on the side of the line's start and of its end.
    legs: (usize, usize),
    /// Mouth of the leg on the side of the line's start.
    mouth: Point,
    far_mouth: Point,
    tip: Point,
    /// Lays the cloth on the side of the line's end so that the legs lie on each other.
    closes: Affine,
    /// Where the raw line meets it, for the order.
    at: f64,
}

/// One side of a divided piece.
pub(crate) struct Side {
    /// The outline without the line: each stretch where it lies now, with how it came there.
    pub run: Vec<(Stretch, Affine)>,
    /// The line, as the outline goes on after `run`, with what is left of the darts that it crossed.
    pub line: Vec<Stretch>,
    /// What the cloth beyond each crossed dart was moved by; the first is the identity.
    maps: Vec<Affine>,
    /// Darts that go on below the line, with their tips where they are now.
    rest: Vec<Dart>,
}

/// A piece divided along a line, and what is needed to tell what lies on which side.
pub(crate) struct Division<'a> {
    piece: &'a Piece,
    /// From the line's start to its end as the outline runs, and the other.
    pub sides: [Side; 2],
    crossed: Vec<Crossed>,
}

/// Divides a piece. The line's stretches get `line_edge` as their edge. With `beyond_mouths` a dart counts as crossed
/// also where the line passes outside its mouth, as a redrawn waist line does.
///
/// # Errors
/// The line cannot be drawn, its ends fall together, or it passes a dart so that this can't be closed.
pub(crate) fn divide<'a>(
    piece: &'a Piece,
    line: &DrawnLine,
    ends: [LineEnd; 2],
    line_edge: usize,
    beyond_mouths: bool,
) -> Result<Division<'a>, DraftError> {
    let refuse = |problem: String, remedy: &str| DraftError::new(piece.name().to_string(), problem, remedy);
    let mut ring = Ring::of(piece);
    let at = ring.split(&[ends[0].spot, ends[1].spot]);
    if at[0] == at[1] {
        return Err(refuse("a line starts and ends at the same place of the outline".into(), "Let it end on another edge."));
    }
    let runs = [ring.run(at[0], at[1]), ring.run(at[1], at[0])];

    let find = |place: &Place| -> Result<Point, DraftError> { place.find(piece) };
    let raw = line.path(piece)?;
    let mut crossed = crossed_darts(piece, &runs, &raw, beyond_mouths);
    crossed.sort_by(|a, b| a.at.total_cmp(&b.at));
    for c in &crossed {
        let dart = &piece.darts()[c.dart];
        let straight = |leg: &Name| piece.edge_parts(leg.as_str()).all(|p| p.path.segments().count() == 1);
        if !(straight(&dart.leg_a) && straight(&dart.leg_b)) {
            return Err(refuse(
                format!("the line crosses the {}, whose legs are shaped, so that it does not lie flat when it is closed", dart.name),
                "Draw the line above or below the dart, or move the dart first.",
            ));
        }
    }

    // How the cloth beyond each dart is laid when all are closed: the line is drawn on that.
    let mut closed = vec![Affine::IDENTITY];
    for c in &crossed {
        closed.push(closed[closed.len() - 1] * c.closes);
    }
    let line = if crossed.is_empty() {
        raw
    } else {
        let (first, last) = line.ends()?;
        line.path_through(piece, |place| {
            let at = find(place)?;
            let k = if place == first {
                0
            } else if place == last {
                crossed.len()
            } else {
                passed(&crossed, at)
            };
            Ok((closed[k] * at, closed[k]))
        })?
    };

    // Where the line meets the darts, as a distance along it.
    let mut cuts = vec![0.0];
    for (k, c) in crossed.iter().enumerate() {
        let reach = if beyond_mouths { c.tip + (c.mouth - c.tip) * 50.0 } else { c.mouth + (c.mouth - c.tip) * 1e-6 };
        let leg = closed[k] * Line::new(c.tip, reach);
        let from = cuts[k];
        let hit = hits(&line, leg).into_iter().find(|mm| *mm > from + 1e-6).ok_or_else(|| {
            refuse(
                format!("the line passes the {} where it can't be closed", piece.darts()[c.dart].name),
                "Move the dart to another edge first, or draw the line on the other side of it.",
            )
        })?;
        cuts.push(hit);
    }
    cuts.push(geometry::length(&line));
    let bits: Vec<BezPath> = cuts.windows(2).map(|w| stretch(&line, w[0], w[1])).collect();

    let side = |which: usize| -> Side {
        let mut maps = vec![Affine::IDENTITY];
        for c in &crossed {
            let last = maps[maps.len() - 1];
            maps.push(if c.mouth_in == which { last * c.closes } else { last });
        }
        let mut k = if which == 0 { 0 } else { crossed.len() };
        let mut run = Vec::new();
        let mut skip = 0;
        for s in &runs[which] {
            if skip > 0 {
                skip -= 1;
                continue;
            }
            let leg_of = |c: &&Crossed| c.mouth_in == which && (c.legs.0 == s.edge || c.legs.1 == s.edge);
            if let Some(i) = crossed.iter().position(|c| leg_of(&c)) {
                k = if which == 0 { i + 1 } else { i };
                skip = 1;
                continue;
            }
            run.push((s.moved(maps[k]), maps[k]));
        }
        let mut forward: Vec<Stretch> = Vec::new();
        let mut rest = Vec::new();
        for (i, bit) in bits.iter().enumerate() {
            let map = maps[i] * closed[i].inverse();
            if i > 0 {
                let c = &crossed[i - 1];
                if c.mouth_in != which
                    && let (Some(near), Some(far)) = (forward.last().and_then(|s| end(&s.path)), start(bit).map(|p| map * p))
                {
                    let tip = maps[i - 1] * c.tip;
                    forward.push(straight(c.legs.0, near, tip));
                    forward.push(straight(c.legs.1, tip, far));
                    let dart = &piece.darts()[c.dart];
                    rest.push(Dart { tip, pivot: maps[i - 1] * dart.pivot, ..dart.clone() });
                }
            }
            forward.push(Stretch::plain(line_edge, map * bit.clone()));
        }
        let line =
            if which == 1 { forward } else { forward.iter().rev().map(|s| Stretch { path: reversed(&s.path), ..s.clone() }).collect() };
        Side { run, line, maps, rest }
    };
    let mut sides = [side(0), side(1)];
    // An end off the outline is reached by the edge that ends there.
    for (which, side) in sides.iter_mut().enumerate() {
        let (first, last) = if which == 0 { (ends[0], ends[1]) } else { (ends[1], ends[0]) };
        if let (Some(_), Some((s, map))) = (first.beyond, side.run.first().cloned())
            && let (Some(from), Some(corner)) = (side.line.last().and_then(|l| end(&l.path)), start(&s.path))
        {
            side.run.insert(0, (straight(s.edge, from, corner), map));
        }
        if let (Some(_), Some((s, map))) = (last.beyond, side.run.last().cloned())
            && let (Some(to), Some(corner)) = (side.line.first().and_then(|l| start(&l.path)), end(&s.path))
        {
            side.run.push((straight(s.edge, corner, to), map));
        }
    }
    Ok(Division { piece, sides, crossed })
}

/// How many of the crossed darts lie between the line's start and a point.
fn passed(crossed: &[Crossed], at: Point) -> usize {
    crossed
        .iter()
        .filter(|c| {
            let axis = c.mouth.midpoint(c.far_mouth) - c.tip;
            axis.cross(at - c.tip).signum() == axis.cross(c.far_mouth - c.tip).signum()
        })
        .count()
}

/// Distances along a path at which it meets a straight line, in order.
fn hits(path: &BezPath, line: Line) -> Vec<f64> {
    let mut before = 0.0;
    let mut out = Vec::new();
    for seg in path.segments() {
        for hit in seg.intersect_line(line) {
            out.push(before + geometry::segment_length(&seg.subsegment(0.0..hit.segment_t.clamp(0.0, 1.0))));
        }
        before += geometry::segment_length(&seg);
    }
    out.sort_by(f64::total_cmp);
    out
}

fn crossed_darts(piece: &Piece, runs: &[Vec<Stretch>; 2], raw: &BezPath, beyond_mouths: bool) -> Vec<Crossed> {
    let mut out = Vec::new();
    for (n, dart) in piece.darts().iter().enumerate() {
        let index = |name: &Name| piece.edges().iter().position(|e| e.name == *name);
        let (Some(a), Some(b)) = (index(&dart.leg_a), index(&dart.leg_b)) else { continue };
        for (which, run) in runs.iter().enumerate() {
            let Some(i) = run.iter().position(|s| s.edge == a) else { continue };
            let Some(leg_b) = run.get(i + 1).filter(|s| s.edge == b) else { continue };
            let (Some(mouth_a), Some(tip), Some(mouth_b)) = (start(&run[i].path), end(&run[i].path), end(&leg_b.path)) else { continue };
            let (legs, mouth, far_mouth) = if which == 0 { ((a, b), mouth_a, mouth_b) } else { ((b, a), mouth_b, mouth_a) };
            let reach = if beyond_mouths { 50.0 } else { 1.0 };
            let meets = |m: Point| hits(raw, Line::new(tip, tip + (m - tip) * reach));
            let Some(at) = meets(mouth).first().or(meets(far_mouth).first()).copied() else { continue };
            let angle = (mouth - tip).atan2() - (far_mouth - tip).atan2();
            out.push(Crossed { dart: n, mouth_in: which, legs, mouth, far_mouth, tip, closes: Affine::rotate_about(angle, tip), at });
        }
    }
    out
}

/// A point of the outline itself lies on it within this many millimetres.
const ON_MM: f64 = 0.01;

impl Division<'_> {
    /// Which side holds more of an edge, or else a point, of this name.
    ///
    /// # Errors
    /// Neither side has such an edge or point.
    pub fn holding(&self, name: &Name) -> Result<usize, DraftError> {
        let index = self.piece.edges().iter().position(|e| e.name == *name);
        let on = |which: usize| -> f64 {
            let of = |s: &&(Stretch, Affine)| Some(s.0.edge) == index;
            self.sides[which].run.iter().filter(of).map(|(s, _)| geometry::length(&s.path)).sum()
        };
        let (first, second) = (on(0), on(1));
        if first > 0.0 || second > 0.0 {
            return Ok(usize::from(second > first));
        }
        let point = self.piece.points().iter().find(|p| p.name == *name).ok_or_else(|| {
            DraftError::new(
                self.piece.name().to_string(),
                format!("has no edge and no point named {name}"),
                "Name an edge or a point that lies on the side that is meant.",
            )
        })?;
        Ok(usize::from(self.point(1, point).is_some()))
    }

    /// Where a named point lies on one side, if it does.
    fn point(&self, which: usize, point: &NamedPoint) -> Option<Point> {
        let side = &self.sides[which];
        let raw_distance = |s: &Stretch, map: &Affine| {
            let at = *map * point.at;
            s.path.segments().map(|seg| seg.nearest(at, 1e-6).distance_sq).fold(f64::INFINITY, f64::min).sqrt()
        };
        let nearest = |which: usize| {
            let runs = self.sides[which].run.iter();
            runs.map(|(s, map)| (raw_distance(s, map), *map))
                .min_by(|a, b| a.0.total_cmp(&b.0))
                .unwrap_or((f64::INFINITY, Affine::IDENTITY))
        };
        let (here, map) = nearest(which);
        if here < ON_MM {
            return Some(map * point.at);
        }
        let (there, _) = nearest(1 - which);
        if there < ON_MM {
            return None;
        }
        let inside = |which: usize| {
            let side = &self.sides[which];
            let at = side.maps[passed(&self.crossed, point.at)] * point.at;
            geometry::holds(&side.outline(), at).then_some(at)
        };
        match (inside(which), inside(1 - which)) {
            (Some(at), _) => return Some(at),
            (None, Some(_)) => return None,
            (None, None) => {}
        }
        if let Some(edge) = &point.rides {
            let rides = |side: &Side| side.run.iter().find(|(s, _)| self.piece.edges()[s.edge].name == *edge).map(|(_, m)| *m);
            match (rides(side), rides(&self.sides[1 - which])) {
                (Some(map), None) => return Some(map * point.at),
                (None, Some(_)) => return None,
                _ => {}
            }
        }
        (here <= there).then_some(map * point.at)
    }

    /// The piece on one side. `edges` are those of the divided piece and after them whatever the line refers to.
    ///
    /// # Errors
    /// Its outline crosses itself.
    pub fn piece(&self, which: usize, name: Name, edges: &[Edge]) -> Result<Piece, DraftError> {
        let side = &self.sides[which];
        let outline = side.outline();
        let of = self.piece;
        let points = of.points().iter().filter_map(|p| Some(NamedPoint { at: self.point(which, p)?, ..p.clone() })).collect::<Vec<_>>();
        let mut darts: Vec<Dart> = of
            .darts()
            .iter()
            .filter_map(|d| {
                let (_, map) = side.run.iter().find(|(s, _)| of.edges()[s.edge].name == d.leg_a)?;
                Some(Dart { tip: *map * d.tip, pivot: *map * d.pivot, ..d.clone() })
            })
            .collect();
        darts.extend(side.rest.iter().cloned());
        let lines = of.lines().iter().filter_map(|l| clipped(l, &outline, &side.maps, &self.crossed)).collect();
        let mut stretches: Vec<Stretch> = side.run.iter().map(|(s, _)| s.clone()).collect();
        stretches.extend(side.line.iter().cloned());
        let piece =
            Assembly { name, edges, stretches, darts, points, lines, grain: of.grain(), cut: of.cut(), ..Assembly::of(of) }.build()?;
        // What no longer lies on the fold is cut for the left and for the right.
        let leaves_the_fold = of.fold().is_some() && piece.fold().is_none();
        Ok(if leaves_the_fold { piece.to_cut(CutCount { count: 2 * of.cut().count, pairs: true }) } else { piece })
    }
}

impl Side {
    /// The closed outline of this side.
    pub fn outline(&self) -> BezPath {
        let mut out = BezPath::new();
        for path in self.run.iter().map(|(s, _)| &s.path).chain(self.line.iter().map(|s| &s.path)) {
            let skip = usize::from(!out.elements().is_empty());
            out.extend(path.elements().iter().skip(skip).copied());
        }
        out.close_path();
        out
    }
}

/// How finely a marked line is followed where it is clipped, millimetres.
const CLIP_MM: f64 = 0.05;

/// The longest stretch of a marked line that lies inside an outline.
fn clipped(line: &MarkedLine, outline: &BezPath, maps: &[Affine], crossed: &[Crossed]) -> Option<MarkedLine> {
    let middle = geometry::flattened(&line.path, CLIP_MM);
    let map = maps[passed(crossed, middle[middle.len() / 2])];
    let path = map * line.path.clone();
    let points = geometry::flattened(&path, CLIP_MM);
    let mut cuts = vec![0.0];
    let mut before = 0.0;
    for pair in points.windows(2) {
        let chord = Line::new(pair[0], pair[1]);
        let mut here: Vec<f64> = outline.segments().flat_map(|s| s.intersect_line(chord)).map(|h| h.line_t).collect();
        here.sort_by(f64::total_cmp);
        cuts.extend(here.into_iter().map(|t| before + t * chord.length()));
        before += chord.length();
    }
    cuts.push(before);
    let scale = geometry::length(&path) / before.max(1e-9);
    let inside = |w: &&[f64]| {
        let bit = stretch(&path, w[0] * scale, w[1] * scale);
        let mid = bit.segments().nth(bit.segments().count() / 2).map(|s| s.eval(0.5));
        mid.is_some_and(|p| geometry::holds(outline, p))
    };
    let best = cuts.windows(2).filter(|w| w[1] - w[0] > 2.0).filter(inside).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    let kept = stretch(&path, best[0] * scale, best[1] * scale);
    Some(MarkedLine { name: line.name.clone(), path: kept })
}
