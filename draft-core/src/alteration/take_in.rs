use kurbo::{BezPath, CubicBez, Line, ParamCurve, ParamCurveArclen, ParamCurveDeriv, Point, Vec2};
use serde::{Deserialize, Serialize};

use super::{piece, point_on, with};
use crate::drawn_line::stretch;
use crate::geometry::{self, end, line_path, start};
use crate::place::{edge_index, from_start, handed};
use crate::ring::{Assembly, Ring};
use crate::{Along, Dart, Draft, DraftError, Length, Name, NamedPoint, Piece, Role, Unit};

/// One edge of a seam that is altered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Side {
    /// The piece.
    pub piece: Name,
    /// Its edge.
    pub edge: Name,
}

/// By how much a seam is taken in at a place along it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Amount {
    /// How far from the end named.
    pub at: Along,
    /// By how much on each side of the seam; below nought it is let out.
    pub by: Length,
}

/// Takes a seam in or lets it out, on both pieces together, with a taper.
///
/// # Keeps
/// Each edge's name, role and allowance; where the amount is nought at an end, its neighbours too.
/// # Changes
/// The edge moves square to itself by the amount, which runs smoothly (or straight) from place to place. Neighbouring
/// edges are cut off at the new line or carried on straight to it; so are the legs of a dart in the edge.
/// # Source
/// Pinning a seam at a fitting and marking both sides of the pins: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakeIn {
    /// The edges: both sides of the seam, or one edge alone.
    pub sides: Vec<Side>,
    /// The end from which places are counted, named by the edge or point that each side meets there.
    pub from: Name,
    /// Amounts in order; before the first and after the last they stay the same.
    pub amounts: Vec<Amount>,
    /// Whether the amount changes evenly from place to place, as for flare, rather than smoothly.
    #[serde(default)]
    pub straight: bool,
}

/// How far apart the stations of the new line stand, millimetres; cubics with exact directions between them are good
/// to well under the accuracy of a draft.
const STATION_MM: f64 = 25.0;

impl TakeIn {
    pub(super) fn what(&self) -> String {
        let out = self.amounts.iter().all(|a| a.by.mm() <= 0.0);
        let sides: Vec<String> = self.sides.iter().map(|s| format!("{} / {}", s.piece, s.edge)).collect();
        format!("{} {}", if out { "let out" } else { "take in" }, sides.join(" with "))
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        if self.amounts.is_empty() || self.sides.is_empty() {
            return Err(DraftError::new("take in", "no edge or no amount is given", "Name an edge and an amount at one place at least."));
        }
        let mut after = draft.clone();
        for side in &self.sides {
            let new = self.moved(piece(&after, &side.piece)?, &side.edge)?;
            after = with(&after, new);
        }
        Ok(after)
    }

    /// The amount at a distance from the end named, on an edge of this length.
    fn amount(&self, at_mm: f64, length: f64) -> f64 {
        let place = |a: &Amount| match a.at {
            Along::Length(l) => l.mm(),
            Along::Share(s) => s * length,
        };
        let Some(next) = self.amounts.iter().position(|a| place(a) >= at_mm) else {
            return self.amounts.last().map_or(0.0, |a| a.by.mm());
        };
        if next == 0 {
            return self.amounts[0].by.mm();
        }
        let (a, b) = (&self.amounts[next - 1], &self.amounts[next]);
        let (from, to) = (place(a), place(b));
        let t = if to - from > 1e-9 { (at_mm - from) / (to - from) } else { 1.0 };
        let t = if self.straight { t } else { 0.5 - 0.5 * (std::f64::consts::PI * t).cos() };
        a.by.mm() + t * (b.by.mm() - a.by.mm())
    }

    fn moved(&self, old: &Piece, edge: &Name) -> Result<Piece, DraftError> {
        let index = edge_index(old, edge)?;
        let place = || format!("{} / {edge}", old.name());
        let length = old.edge_length_mm(edge.as_str()).unwrap_or(0.0);
        let counted_from_start = from_start(old, edge, &self.from)?;
        let amount = |at_mm: f64| self.amount(if counted_from_start { at_mm } else { length - at_mm }, length);
        let most = (0..=64).map(|i| amount(length * f64::from(i) / 64.0).abs()).fold(0.0, f64::max);
        if most < 1e-9 {
            return Ok(old.clone());
        }
        if old.edges()[index].role == Role::Fold {
            return Err(DraftError::new(place(), "lies on the fold", "Take in at a seam, or cut the piece with a centre seam."));
        }
        let mut ring = Ring::of(old);
        let here: Vec<usize> = (0..ring.stretches.len()).filter(|&i| ring.stretches[i].edge == index).collect();
        let side = handed(old);
        let count = ring.stretches.len();
        let mut walked = 0.0;
        for &i in &here {
            let own = geometry::length(&ring.stretches[i].path);
            let (start_by, end_by) = (amount(walked), amount(walked + own));
            let mut path = offset(&ring.stretches[i].path, side, |s| amount(walked + s));
            // A path moved as a whole keeps its notches at the same share of its length.
            let ratio = geometry::length(&path) / own.max(1e-9);
            ring.stretches[i].notches.iter_mut().for_each(|n| n.0 *= ratio);
            if start_by.abs() > 1e-9 {
                let before = (i + count - 1) % count;
                let s = &mut ring.stretches[before];
                let (n, p) = meet(&geometry::reversed(&s.path), &geometry::reversed(&path), start_by)
                    .ok_or_else(|| self.misses(old, edge, s.edge))?;
                let length = geometry::length(&n);
                s.notches.retain(|x| x.0 <= length);
                s.path = geometry::reversed(&n);
                path = geometry::reversed(&p);
            }
            if end_by.abs() > 1e-9 {
                let s = &mut ring.stretches[(i + 1) % count];
                let (n, p) = meet(&s.path, &path, end_by).ok_or_else(|| self.misses(old, edge, s.edge))?;
                let shift = geometry::length(&n) - geometry::length(&s.path);
                s.notches = s.notches.iter().map(|x| (x.0 + shift, x.1)).filter(|x| x.0 >= 0.0).collect();
                s.path = n;
                path = p;
            }
            ring.stretches[i].path = path;
            walked += own;
        }
        let (first, last) = (here[0], here[here.len() - 1]);
        let darts = legs_trued(old, &mut ring);
        let (old_start, old_end) = old.edge_ends(edge.as_str()).unwrap_or_default();
        let new_start = start(&ring.stretches[first].path).unwrap_or(old_start);
        let new_end = end(&ring.stretches[last].path).unwrap_or(old_end);
        let points = old
            .points()
            .iter()
            .map(|p| {
                let at = if p.at.distance(old_start) < 0.01 {
                    new_start
                } else if p.at.distance(old_end) < 0.01 {
                    new_end
                } else {
                    p.at
                };
                NamedPoint { at, ..p.clone() }
            })
            .collect();
        Assembly { stretches: ring.stretches, points, darts, ..Assembly::of(old) }.build()
    }

    fn misses(&self, old: &Piece, edge: &Name, neighbour: usize) -> DraftError {
        DraftError::new(
            format!("{} / {edge}", old.name()),
            format!("moved by so much it no longer meets the {}", old.edges()[neighbour].name),
            format!("Change it by less than {}.", Unit::Cm.text(self.amounts.iter().map(|a| a.by.mm().abs()).fold(0.0, f64::max))),
        )
    }
}

/// The darts whose mouths have moved with the edge: their legs straight again and of one length, which brings the point a
/// hair's breadth aside.
fn legs_trued(old: &Piece, ring: &mut Ring) -> Vec<Dart> {
    let index = |name: &Name| old.edges().iter().position(|e| e.name == *name);
    let mut darts = old.darts().to_vec();
    for dart in &mut darts {
        let (Some(a), Some(b)) = (index(&dart.leg_a), index(&dart.leg_b)) else { continue };
        let at = |edge: usize| ring.stretches.iter().position(|s| s.edge == edge);
        let (Some(i), Some(j)) = (at(a), at(b)) else { continue };
        let (Some(mouth_a), Some(mouth_b)) = (start(&ring.stretches[i].path), end(&ring.stretches[j].path)) else { continue };
        let was = (old.edge_ends(dart.leg_a.as_str()), old.edge_ends(dart.leg_b.as_str()));
        let (Some((old_a, _)), Some((_, old_b))) = was else { continue };
        if mouth_a.distance(old_a) < 1e-9 && mouth_b.distance(old_b) < 1e-9 {
            continue;
        }
        let across = (mouth_b - mouth_a).normalize();
        dart.tip -= across * (dart.tip - mouth_a.midpoint(mouth_b)).dot(across);
        ring.stretches[i].path = line_path(mouth_a, dart.tip);
        ring.stretches[j].path = line_path(dart.tip, mouth_b);
    }
    darts
}

/// A path moved square to itself, to the inside of a piece of this hand, by an amount that varies along it.
pub(super) fn offset(path: &BezPath, hand: f64, amount: impl Fn(f64) -> f64) -> BezPath {
    let mut out = BezPath::new();
    let mut walked = 0.0;
    for seg in path.segments() {
        let cubic = seg.to_cubic();
        let slope = cubic.deriv();
        let length = geometry::segment_length(&seg);
        let stations = (length / STATION_MM).ceil().clamp(4.0, 64.0) as usize;
        let at = |s: f64| -> Point {
            let s = s.clamp(0.0, length);
            let t = if s <= 0.0 {
                0.0
            } else if s >= length {
                1.0
            } else {
                seg.inv_arclen(s, 1e-9)
            };
            let d = slope.eval(t).to_vec2();
            let d = if d.hypot() > 1e-9 { d.normalize() } else { geometry::tangent(&seg, t) };
            seg.eval(t) + Vec2::new(-d.y, d.x) * (hand * amount(walked + s))
        };
        let step = length / stations as f64;
        let h = (step * 0.01).min(0.05);
        let along = |s: f64| -> Vec2 {
            let (a, b) = ((s - h).max(0.0), (s + h).min(length));
            (at(b) - at(a)) / (b - a)
        };
        let knots: Vec<(Point, Vec2)> = (0..=stations).map(|i| i as f64 * step).map(|s| (at(s), along(s))).collect();
        match (out.elements().is_empty(), end(&out)) {
            (false, Some(last)) if last.distance(knots[0].0) > 1e-6 => out.line_to(knots[0].0),
            (true, _) => out.move_to(knots[0].0),
            _ => {}
        }
        for pair in knots.windows(2) {
            let ((p, d), (q, e)) = (pair[0], pair[1]);
            let c = CubicBez::new(p, p + d * (step / 3.0), q - e * (step / 3.0), q);
            out.curve_to(c.p1, c.p2, c.p3);
        }
        walked += length;
    }
    out
}

/// Where the end of a moved edge meets its neighbour, which starts at the old corner: the neighbour from there on, and
/// the moved edge up to there. Both are carried on straight where they fall short.
pub(super) fn meet(neighbour: &BezPath, moved: &BezPath, by: f64) -> Option<(BezPath, BezPath)> {
    let reach = 4.0 * by.abs() + 40.0;
    let corner = start(neighbour)?;
    let last = end(moved)?;
    let neighbour_from = corner - geometry::start_tangent(neighbour) * reach;
    let moved_to = last + geometry::end_tangent(moved) * reach;
    let mut long_neighbour = line_path(neighbour_from, corner);
    long_neighbour.extend(neighbour.elements().iter().skip(1).copied());
    let mut long_moved = moved.clone();
    long_moved.line_to(moved_to);
    // The crossing nearest to the old corner.
    let (n, m) = (flat(&long_neighbour), flat(&long_moved));
    let mut best: Option<(f64, f64, f64)> = None;
    let mut n_at = 0.0;
    for a in n.windows(2) {
        let line = Line::new(a[0], a[1]);
        let mut m_at = 0.0;
        for b in m.windows(2) {
            let other = Line::new(b[0], b[1]);
            if let Some((t, u)) = crossing(line, other) {
                let p = line.eval(t);
                let near = p.distance(corner);
                if best.is_none_or(|x| near < x.0) {
                    best = Some((near, n_at + t * line.length(), m_at + u * other.length()));
                }
            }
            m_at += other.length();
        }
        n_at += line.length();
    }
    let (_, n_mm, m_mm) = best?;
    let (n_mm, m_mm) = refined(&long_neighbour, n_mm, &long_moved, m_mm)?;
    let mut new_neighbour = stretch(&long_neighbour, n_mm, geometry::length(&long_neighbour));
    let new_moved = stretch(&long_moved, 0.0, m_mm);
    geometry::set_start(&mut new_neighbour, end(&new_moved)?);
    Some((new_neighbour, new_moved))
}

fn flat(path: &BezPath) -> Vec<Point> {
    geometry::flattened(path, 0.05)
}

/// Parameters at which two straight lines cross inside both.
fn crossing(a: Line, b: Line) -> Option<(f64, f64)> {
    let (da, db) = (a.p1 - a.p0, b.p1 - b.p0);
    let det = da.cross(db);
    if det.abs() < 1e-12 {
        return None;
    }
    let w = b.p0 - a.p0;
    let (t, u) = (w.cross(db) / det, w.cross(da) / det);
    ((-1e-9..=1.0 + 1e-9).contains(&t) && (-1e-9..=1.0 + 1e-9).contains(&u)).then_some((t, u))
}

/// A crossing found on chords brought onto both curves by a few steps of Newton's method.
fn refined(a: &BezPath, mut a_mm: f64, b: &BezPath, mut b_mm: f64) -> Option<(f64, f64)> {
    for _ in 0..6 {
        let ((p, dp), (q, dq)) = (point_on(a, a_mm)?, point_on(b, b_mm)?);
        let gap = q - p;
        if gap.hypot() < 1e-9 {
            break;
        }
        let det = dp.cross(dq);
        if det.abs() < 1e-6 {
            break;
        }
        a_mm += gap.cross(dq) / det;
        b_mm += gap.cross(dp) / det;
    }
    (point_on(a, a_mm)?.0.distance(point_on(b, b_mm)?.0) < 1e-6).then_some((a_mm, b_mm))
}
