use kurbo::{Affine, BezPath, CubicBez, Point, Shape, Vec2};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use super::{piece, with};
use crate::geometry::{self, end, line_path, start};
use crate::place::{Spot, nearest};
use crate::ring::{Assembly, Ring, Stretch};
use crate::{Dart, Draft, DraftError, Length, MarkedLine, Name, NamedPoint, Piece, Place, Role, Unit, parse_angle, parse_length};

/// How far a slash is opened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Opening {
    /// At the edge, straight across the opening.
    Length(Length),
    /// About the hinge, degrees.
    Degrees(f64),
}

/// In files: a length or an angle with its unit (`"4 cm"`, `"12°"`); below nought it overlaps.
impl Serialize for Opening {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Length(length) => length.serialize(serializer),
            Self::Degrees(degrees) => serializer.serialize_str(&format!("{degrees}°")),
        }
    }
}

impl<'de> Deserialize<'de> for Opening {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        if text.contains('°') {
            return parse_angle(&text).map(Self::Degrees).map_err(|e| de::Error::custom(format!("{text:?} {e}")));
        }
        let mm = parse_length(&text, Unit::Mm).map_err(|e| de::Error::custom(format!("{text:?} {e}")))?;
        Ok(Self::Length(Length::from_mm(mm)))
    }
}

/// One line along which a piece is slashed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Slash {
    /// On the edge that opens.
    pub from: Place,
    /// On the edge where the paper holds together, or, when both ends open, where it ends.
    pub to: Place,
}

/// Slashes a piece and spreads it, or overlaps it: flare, fullness, a wedge pinched out.
///
/// # Keeps
/// With a hinge: the length of the edge at the hinges. The cloth between the slashes is only moved. Overlapped, the
/// wedge that is folded away lies evenly to both sides of the line.
/// # Changes
/// The slashed edge grows by `2ρ·sin(α/2)` for each slash of depth ρ opened by α (straight across), or a little
/// more where the edge is trued as an arc; when both ends open, both edges grow by the same.
/// # Source
/// Slash and spread, slash and overlap: common practice; the chord of a circle for the gain.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spread {
    /// The piece.
    pub piece: Name,
    /// The slashes; all are taken on the piece as it is before the work.
    pub slashes: Vec<Slash>,
    /// How far each is opened; below nought it is overlapped.
    pub by: Opening,
    /// Whether both ends open by the same length, rather than one about a hinge.
    #[serde(default)]
    pub both_ends: bool,
    /// Whether the opening is bridged straight rather than trued into the edge.
    #[serde(default)]
    pub straight: bool,
    /// An edge or a point that stays where it is; where not given, the part on the fold or at the opening does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub still: Option<Name>,
}

/// An opened slash: both rims, each from the edge that opened to the hinge.
pub(super) struct Opened {
    pub still: (Point, Point),
    pub moved: (Point, Point),
}

/// A slash found on its piece.
struct Line {
    /// Where the edge is parted: one spot, or two when a wedge is folded away.
    mouths: [Spot; 2],
    hinge: Point,
    /// How what lies beyond is moved, before the inner slashes move it too.
    opens: Affine,
    /// The outline of what lies beyond.
    beyond: BezPath,
    /// First and last stretch of what lies beyond, as the ring stands after all splits.
    run: (usize, usize),
}

impl Spread {
    pub(super) fn what(&self) -> String {
        let overlaps = matches!(self.by, Opening::Length(l) if l.mm() < 0.0) || matches!(self.by, Opening::Degrees(d) if d < 0.0);
        format!("{} the {}", if overlaps { "overlap" } else { "spread" }, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        Ok(with(draft, self.spread(old)?.0))
    }

    /// The piece spread, and each opening as it lies then.
    ///
    /// # Errors
    /// As for every alteration.
    pub(super) fn spread(&self, old: &Piece) -> Result<(Piece, Vec<Opened>), DraftError> {
        let refuse = |problem: &str, remedy: &str| DraftError::new(self.piece.to_string(), problem, remedy);
        if self.slashes.is_empty() {
            return Err(refuse("there is no line to slash along", "Draw at least one."));
        }
        let mut lines = Vec::with_capacity(self.slashes.len());
        for slash in &self.slashes {
            let (from, hinge) = (slash.from.spot(old)?, slash.to.spot(old)?);
            if from.at.distance(hinge.at) < 5.0 {
                return Err(refuse("a slash is shorter than half a centimetre", "Let it run from one edge to another."));
            }
            if [from, hinge].iter().any(|s| old.edges()[s.edge].role == Role::DartLeg) {
                return Err(refuse("a slash ends in a dart", "Let it end on an edge beside the dart."));
            }
            lines.push((from, hinge));
        }
        let mut found = Vec::with_capacity(lines.len());
        for (from, hinge) in &lines {
            found.push(self.mouths(old, from, hinge)?);
        }
        let mut ring = Ring::of(old);
        let spots: Vec<Spot> = found.iter().flat_map(|(m, h)| [m[0], m[1], *h]).collect();
        let at = ring.split(&spots);
        let count = ring.stretches.len();
        let mut all: Vec<Line> = Vec::with_capacity(found.len());
        for (n, (mouths, hinge)) in found.into_iter().enumerate() {
            let (m0, m1, h) = (at[3 * n], at[3 * n + 1], at[3 * n + 2]);
            // As the outline runs: from the hinge to the first mouth, and from the second mouth to the hinge.
            let before = ring.run(h, m0);
            let after = ring.run(m1, h);
            let after_moves = self.moves(old, &before, &after)?;
            let (moving, run) = if after_moves { (&after, (m1, h)) } else { (&before, (h, m0)) };
            let mut beyond = BezPath::new();
            for s in moving {
                let skip = usize::from(!beyond.elements().is_empty());
                beyond.extend(s.path.elements().iter().skip(skip).copied());
            }
            beyond.close_path();
            let opens = self.opens(old, &mouths, &hinge, after_moves)?;
            all.push(Line { mouths, hinge: hinge.at, opens, beyond, run });
        }
        // From the still part outward: what lies beyond an outer line lies beyond the inner ones too.
        all.sort_by(|a, b| b.beyond.area().abs().total_cmp(&a.beyond.area().abs()));
        let within = |i: usize, run: (usize, usize)| if run.0 < run.1 { (run.0..run.1).contains(&i) } else { i >= run.0 || i < run.1 };
        let stretch_map = |i: usize| all.iter().filter(|l| within(i, l.run)).fold(Affine::IDENTITY, |m, l| m * l.opens);
        let point_map = |p: Point| all.iter().filter(|l| geometry::holds(&l.beyond, p)).fold(Affine::IDENTITY, |m, l| m * l.opens);

        // What is folded away lies between the two mouths of an overlap.
        let folded = |i: usize| all.iter().any(|l| between_mouths(&ring, i, l));
        let mut out: Vec<(Stretch, Affine)> = Vec::with_capacity(count + 2 * all.len());
        for i in (0..count).filter(|&i| !folded(i)) {
            let map = stretch_map(i);
            out.push((ring.stretches[i].moved(map), map));
        }
        let stretches = self.bridged(old, &out);
        let rides = |name: &Name| {
            let i = ring.stretches.iter().position(|s| old.edges()[s.edge].name == *name)?;
            Some(stretch_map(i))
        };
        let on_edge = |p: Point| {
            let (spot, distance) = nearest(old, p)?;
            (distance < 0.01).then(|| ring.index(&spot).map(&stretch_map)).flatten()
        };
        let carried = |p: &NamedPoint| {
            let map = on_edge(p.at).unwrap_or_else(|| {
                if !geometry::holds(&old.outline(), p.at) {
                    p.rides.as_ref().and_then(rides).unwrap_or_else(|| point_map(p.at))
                } else {
                    point_map(p.at)
                }
            });
            NamedPoint { at: map * p.at, ..p.clone() }
        };
        let darts = old
            .darts()
            .iter()
            .map(|d| {
                let map = rides(&d.leg_a).unwrap_or(Affine::IDENTITY);
                Dart { tip: map * d.tip, pivot: map * d.pivot, ..d.clone() }
            })
            .collect();
        let lines = old
            .lines()
            .iter()
            .map(|l| {
                let middle = l.path.segments().next().map_or(Point::ZERO, |s| kurbo::ParamCurve::eval(&s, 0.5));
                MarkedLine { name: l.name.clone(), path: point_map(middle) * l.path.clone() }
            })
            .collect();
        let opened = all
            .iter()
            .enumerate()
            .map(|(n, l)| {
                let inner = all[..n].iter().filter(|o| within(l.run.0, o.run)).fold(Affine::IDENTITY, |m, o| m * o.opens);
                let rim = |map: Affine| (map * l.mouths[0].at, map * l.hinge);
                Opened { still: rim(inner), moved: rim(inner * l.opens) }
            })
            .collect();
        let piece =
            Assembly { stretches, darts, points: old.points().iter().map(carried).collect(), lines, ..Assembly::of(old) }.build()?;
        Ok((piece, opened))
    }

    /// Where the edge is parted: at one spot, or at both rims of the wedge that is folded away.
    fn mouths(&self, old: &Piece, from: &Spot, hinge: &Spot) -> Result<([Spot; 2], Spot), DraftError> {
        let width = match self.by {
            Opening::Length(l) => l.mm(),
            Opening::Degrees(d) => 2.0 * from.at.distance(hinge.at) * (d.to_radians() / 2.0).sin(),
        };
        if width >= 0.0 {
            return Ok(([*from, *from], *hinge));
        }
        if self.both_ends {
            return Err(DraftError::new(
                self.piece.to_string(),
                "a fold that is as wide at both ends is a tuck across the whole piece",
                "Take the piece in at its side seams, or shorten it.",
            ));
        }
        let name = &old.edges()[from.edge].name;
        let length = old.edge_length_mm(name.as_str()).unwrap_or(0.0);
        let (a, b) = (from.at_mm + width / 2.0, from.at_mm - width / 2.0);
        if a < -1e-9 || b > length + 1e-9 {
            return Err(DraftError::new(
                format!("{} / {name}", self.piece),
                format!("a wedge of {} does not fit there", Unit::Cm.text(-width)),
                "Fold less away, or draw the line further from the corner.",
            ));
        }
        let spot = |at_mm: f64| {
            let at_mm = at_mm.clamp(0.0, length);
            Spot { at_mm, at: old.along_edge(name.as_str(), at_mm).map_or(from.at, |(p, _)| p), ..*from }
        };
        Ok(([spot(a), spot(b)], *hinge))
    }

    /// Whether the part after the slash, as the outline runs, is the one that moves.
    fn moves(&self, old: &Piece, before: &[Stretch], after: &[Stretch]) -> Result<bool, DraftError> {
        let length = |run: &[Stretch], of: &dyn Fn(usize) -> bool| -> f64 {
            run.iter().filter(|s| of(s.edge)).map(|s| geometry::length(&s.path)).sum()
        };
        if let Some(still) = &self.still {
            let is = |edge: usize| old.edges()[edge].name == *still;
            let (b, a) = (length(before, &is), length(after, &is));
            if a > 0.0 || b > 0.0 {
                return Ok(b >= a);
            }
            let at = Place::Point(still.clone()).find(old)?;
            let near = |run: &[Stretch]| {
                run.iter()
                    .flat_map(|s| s.path.segments())
                    .map(|s| kurbo::ParamCurveNearest::nearest(&s, at, 1e-3).distance_sq)
                    .fold(f64::INFINITY, f64::min)
            };
            return Ok(near(before) <= near(after));
        }
        let held = |edge: usize| matches!(old.edges()[edge].role, Role::Fold | Role::Opening);
        let (b, a) = (length(before, &held), length(after, &held));
        if (a - b).abs() > 1e-6 {
            return Ok(b > a);
        }
        let any = |_: usize| true;
        Ok(length(before, &any) >= length(after, &any))
    }

    /// The map of what lies beyond a slash.
    fn opens(&self, old: &Piece, mouths: &[Spot; 2], hinge: &Spot, after_moves: bool) -> Result<Affine, DraftError> {
        let (from, to) = (mouths[0].at, mouths[1].at);
        // With the outline clockwise as seen, what follows the slash lies counter to it: it opens by turning onward.
        let onward = crate::place::handed(old) * if after_moves { 1.0 } else { -1.0 };
        if mouths[0] != mouths[1] {
            let angle = |p: Point| (p - hinge.at).atan2();
            let turn = angle(from) - angle(to);
            let turn = turn.sin().atan2(turn.cos());
            return Ok(Affine::rotate_about(if after_moves { turn } else { -turn }, hinge.at));
        }
        if self.both_ends {
            let Opening::Length(by) = self.by else {
                return Err(DraftError::new(
                    self.piece.to_string(),
                    "both ends are to open, and an angle is given",
                    "Give the opening as a length.",
                ));
            };
            let line = (hinge.at - from).normalize();
            // Square to the slash, away from the part that stays.
            let away = Vec2::new(line.y, -line.x) * onward;
            return Ok(Affine::translate(away * by.mm()));
        }
        let radians = match self.by {
            Opening::Degrees(d) => d.to_radians(),
            Opening::Length(l) => {
                let ratio = l.mm() / (2.0 * from.distance(hinge.at));
                if ratio > 0.95 {
                    return Err(DraftError::new(
                        self.piece.to_string(),
                        "the opening is too wide for the length of the slash",
                        "Open it less, or slash along several lines.",
                    ));
                }
                2.0 * ratio.asin()
            }
        };
        Ok(Affine::rotate_about(radians * onward, hinge.at))
    }

    /// The stretches with every gap bridged by the edge that it opened in.
    fn bridged(&self, old: &Piece, out: &[(Stretch, Affine)]) -> Vec<Stretch> {
        let mut all = Vec::with_capacity(out.len() + 4);
        for (i, (s, _)) in out.iter().enumerate() {
            let (next, _) = &out[(i + 1) % out.len()];
            all.push(s.clone());
            let (Some(from), Some(to)) = (end(&s.path), start(&next.path)) else { continue };
            let gap = from.distance(to);
            if gap < 1e-9 {
                continue;
            }
            // A slash may part an edge just where a dart opens: the bridge belongs to the edge, and the leg says nothing
            // of how the edge runs.
            let is_leg = |s: &Stretch| old.edges()[s.edge].role == Role::DartLeg;
            let edge = if is_leg(s) { next.edge } else { s.edge };
            let chord = to - from;
            let path = if self.straight || gap < 0.01 {
                line_path(from, to)
            } else {
                let leaves = if is_leg(s) { chord / gap } else { geometry::end_tangent(&s.path) };
                let arrives = if is_leg(next) { chord / gap } else { geometry::start_tangent(&next.path) };
                trued(from, leaves, to, arrives)
            };
            all.push(Stretch::plain(edge, path));
        }
        all
    }
}

/// A cubic from a point to another that leaves and arrives in the directions given.
fn trued(from: Point, leaves: Vec2, to: Point, arrives: Vec2) -> BezPath {
    let chord = to - from;
    let reach = chord.hypot() / 3.0;
    if leaves.dot(chord) < 0.0 || arrives.dot(chord) < 0.0 {
        return line_path(from, to);
    }
    geometry::cubic_path(&[CubicBez::new(from, from + leaves * reach, to - arrives * reach, to)])
}

/// Whether a stretch lies between both mouths of a wedge that is folded away.
fn between_mouths(ring: &Ring, i: usize, line: &Line) -> bool {
    let s = &ring.stretches[i];
    if s.edge != line.mouths[0].edge || line.mouths[0] == line.mouths[1] {
        return false;
    }
    let before: f64 = ring.stretches[..i].iter().filter(|o| o.edge == s.edge).map(|o| geometry::length(&o.path)).sum();
    let middle = before + geometry::length(&s.path) / 2.0;
    (line.mouths[0].at_mm..line.mouths[1].at_mm).contains(&middle)
}
