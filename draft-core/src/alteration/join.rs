use kurbo::{Affine, ParamCurveNearest};
use serde::{Deserialize, Serialize};

use super::take_in::Side;
use super::{piece, unused};
use crate::geometry::{self, reversed};
use crate::laid::{EdgeEnd, Ray, beside};
use crate::place::edge_index;
use crate::ring::{Assembly, Ring, Stretch};
use crate::seam::meets_start_to_start;
use crate::seam_runs::SeamRuns;
use crate::{CutCount, Dart, Draft, DraftError, Edge, EdgeRun, MarkedLine, Name, NamedPoint, Piece, Unit};

/// Joins two pieces at a seam into one.
///
/// # Keeps
/// Every other edge and its seams; the first piece's place, grain and cut count, half of it where the second lies on the
/// fold and the first is a pair.
/// # Changes
/// The seam is gone. Where both pieces have something of the same name, that of the second gets the piece's name
/// behind it.
/// # Source
/// Laying seam on seam and tracing both pieces as one, which needs seams of the same shape: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Join {
    /// An edge of the piece that stays where it is …
    pub to: Side,
    /// … and the edge that is sewn to it.
    pub from: Side,
    /// The name of the piece that both become.
    pub name: Name,
}

/// Seams of another shape than this cannot be laid on each other, millimetres.
const CONGRUENT_MM: f64 = 5.0;

/// What joining needs of a side: which edge, and how the second piece is carried.
pub(crate) struct Laid {
    /// Carries the second piece onto the first.
    pub map: Affine,
    /// How far the two edges then are apart at most, millimetres.
    pub gap_mm: f64,
}

impl Join {
    pub(super) fn what(&self) -> String {
        format!("join the {} and the {} into the {}", self.to.piece, self.from.piece, self.name)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let (a, b) = (piece(draft, &self.to.piece)?, piece(draft, &self.from.piece)?);
        if self.name != self.to.piece && self.name != self.from.piece {
            unused(draft, &self.name)?;
        }
        if self.to.piece == self.from.piece {
            return Err(DraftError::new(self.to.piece.to_string(), "can't be joined to itself", "Unfold it instead."));
        }
        let (edge_a, edge_b) = (edge_index(a, &self.to.edge)?, edge_index(b, &self.from.edge)?);
        let laid = lay(a, &self.to.edge, b, &self.from.edge)?;
        if laid.gap_mm > CONGRUENT_MM {
            return Err(DraftError::new(
                format!("{} / {}", self.to.piece, self.to.edge),
                format!(
                    "laid on {} / {} they stand up to {} apart, so that a dart or ease would be lost",
                    self.from.piece,
                    self.from.edge,
                    Unit::Cm.text(laid.gap_mm)
                ),
                "Redraw one of them to match, or leave the seam.",
            ));
        }
        let turned_over = laid.map.determinant() < 0.0;
        // The second piece's names where the first has them too.
        let taken = |name: &Name| a.edge(name.as_str()).is_some();
        let fresh = |name: &Name| -> Name { if taken(name) { format!("{name}, {}", b.name()).into() } else { name.clone() } };
        let mut edges: Vec<Edge> = a.edges().to_vec();
        let offset = edges.len();
        edges.extend(b.edges().iter().map(|e| Edge { name: fresh(&e.name), ..e.clone() }));
        let from_b = other_face(Ring::of(b).stretches, laid.map, turned_over, offset);

        let without = |ring: &[Stretch], edge: usize, place: String| -> Result<Vec<Stretch>, DraftError> {
            let count = ring.len();
            let broken = || DraftError::new(place.clone(), "has a dart in it", "Move the dart to another edge first.");
            let first = (0..count).find(|&i| ring[i].edge == edge && ring[(i + count - 1) % count].edge != edge).ok_or_else(broken)?;
            let run = (0..count).take_while(|k| ring[(first + k) % count].edge == edge).count();
            let rest: Vec<Stretch> = (run..count).map(|k| ring[(first + k) % count].clone()).collect();
            if rest.iter().any(|s| s.edge == edge) { Err(broken()) } else { Ok(rest) }
        };
        let mut stretches = without(&Ring::of(a).stretches, edge_a, format!("{} / {}", a.name(), self.to.edge))?;
        let mut others = without(&from_b, offset + edge_b, format!("{} / {}", b.name(), self.from.edge))?;
        // The corners of the second piece come to lie on those of the first.
        let ends = |run: &[Stretch]| Some((geometry::start(&run.first()?.path)?, geometry::end(&run.last()?.path)?));
        if let (Some((start, end)), Some(first)) = (ends(&stretches), others.first_mut()) {
            geometry::set_start(&mut first.path, end);
            if let Some(last) = others.last_mut() {
                geometry::set_end(&mut last.path, start);
            }
        }
        stretches.append(&mut others);

        let own_points: Vec<&Name> = a.points().iter().map(|p| &p.name).collect();
        let own_darts: Vec<&Name> = a.darts().iter().map(|d| &d.name).collect();
        let own_lines: Vec<&Name> = a.lines().iter().map(|l| &l.name).collect();
        let point_name = |name: &Name, own: &[&Name]| -> Name {
            if own.contains(&name) { format!("{name}, {}", b.name()).into() } else { name.clone() }
        };
        let mut points = a.points().to_vec();
        points.extend(b.points().iter().map(|p| NamedPoint {
            name: point_name(&p.name, &own_points),
            at: laid.map * p.at,
            marked: p.marked,
            rides: p.rides.as_ref().map(&fresh),
        }));
        let mut darts = a.darts().to_vec();
        darts.extend(b.darts().iter().map(|d| {
            let (leg_a, leg_b) = (fresh(&d.leg_a), fresh(&d.leg_b));
            let (leg_a, leg_b) = if turned_over { (leg_b, leg_a) } else { (leg_a, leg_b) };
            Dart {
                name: point_name(&d.name, &own_darts),
                leg_a,
                leg_b,
                tip: laid.map * d.tip,
                pivot: laid.map * d.pivot,
                pressed_to_a: d.pressed_to_a != turned_over,
            }
        }));
        let mut lines = a.lines().to_vec();
        lines.extend(b.lines().iter().map(|l| MarkedLine { name: point_name(&l.name, &own_lines), path: laid.map * l.path.clone() }));
        // A pair joined to a half on the fold is one piece on the fold.
        let whole = b.fold().is_some() && a.fold().is_none() && a.cut().pairs;
        let cut = if whole { CutCount { count: a.cut().count.div_ceil(2), pairs: false } } else { a.cut() };
        let joined =
            Assembly { name: self.name.clone(), edges: &edges, stretches, darts, points, lines, grain: a.grain(), cut, ..Assembly::of(a) }
                .build()?;

        let mut after = draft.clone();
        let (name_a, name_b) = (self.to.piece.clone(), self.from.piece.clone());
        let here = |r: &EdgeRun| r.piece == name_a && r.edge == self.to.edge || r.piece == name_b && r.edge == self.from.edge;
        after.seams.retain(|s| !(s.a.iter().all(here) && s.b.iter().all(here)));
        // A longer seam of which this was a part goes on without it, and without what was eased in there.
        let length = |r: &EdgeRun| r.times * draft.piece(r.piece.as_str()).and_then(|p| p.edge_length_mm(r.edge.as_str())).unwrap_or(0.0);
        for seam in &mut after.seams {
            if seam.a.iter().any(here) && seam.b.iter().any(here) {
                let gone = |runs: &[EdgeRun]| runs.iter().filter(|r| here(r)).map(&length).sum::<f64>();
                seam.ease_mm -= gone(&seam.a) - gone(&seam.b);
                seam.a.retain(|r| !here(r));
                seam.b.retain(|r| !here(r));
            }
        }
        let renamed = |run: &EdgeRun| -> Vec<EdgeRun> {
            let edge = if run.piece == name_b { fresh(&run.edge) } else { run.edge.clone() };
            if run.piece == name_a || run.piece == name_b {
                vec![EdgeRun { piece: self.name.clone(), edge, times: run.times }]
            } else {
                vec![run.clone()]
            }
        };
        after.rename(renamed);
        after.rename_points(&name_a, &self.name, |point| point.clone());
        after.rename_points(&name_b, &self.name, |point| point_name(point, &own_points));
        let at = after.pieces.iter().position(|p| *p.name() == name_a).unwrap_or(0);
        after.pieces[at] = std::sync::Arc::new(joined);
        after.pieces.retain(|p| *p.name() != name_b);
        Ok(after)
    }
}

/// Stretches carried by a map, their edges counted from `offset`; turned over they run the other way round.
pub(super) fn other_face(stretches: Vec<Stretch>, map: Affine, turned_over: bool, offset: usize) -> Vec<Stretch> {
    let mut out: Vec<Stretch> = stretches.iter().map(|s| Stretch { edge: s.edge + offset, ..s.moved(map) }).collect();
    if turned_over {
        out.reverse();
        for s in &mut out {
            let length = geometry::length(&s.path);
            s.path = reversed(&s.path);
            s.notches = s.notches.iter().rev().map(|n| (length - n.0, n.1)).collect();
        }
    }
    out
}

/// Lays piece `b` on piece `a`, edge beside edge as they are sewn, and says how far the edges are then apart.
pub(crate) fn lay(a: &Piece, edge_a: &Name, b: &Piece, edge_b: &Name) -> Result<Laid, DraftError> {
    let same = meets_start_to_start(a, edge_a, b, edge_b);
    let gone = || DraftError::new(a.name().to_string(), "an edge is gone", "Choose edges that the pieces have.");
    let end_of = |at: EdgeEnd| {
        if same {
            at
        } else if at == EdgeEnd::Start {
            EdgeEnd::End
        } else {
            EdgeEnd::Start
        }
    };
    // Laid by both ends: the chord of one edge onto the chord of the other.
    let rough = beside((a, edge_a.as_str(), EdgeEnd::Start), (b, edge_b.as_str(), end_of(EdgeEnd::Start))).ok_or_else(gone)?;
    let ((a0, a1), (b0, b1)) = (a.edge_ends(edge_a.as_str()).ok_or_else(gone)?, b.edge_ends(edge_b.as_str()).ok_or_else(gone)?);
    let (b0, b1) = if same { (b0, b1) } else { (b1, b0) };
    let (r0, r1) = (rough * b0, rough * b1);
    let turn = (a1 - a0).atan2() - (r1 - r0).atan2();
    let map = Affine::translate(a0.midpoint(a1).to_vec2()) * Affine::rotate(turn) * Affine::translate(-r0.midpoint(r1).to_vec2()) * rough;
    let mut gap_mm: f64 = (map * b0).distance(a0).max((map * b1).distance(a1));
    for part in b.edge_parts(edge_b.as_str()) {
        for p in geometry::flattened(&(map * part.path.clone()), 0.5) {
            let near = a
                .edge_parts(edge_a.as_str())
                .flat_map(|q| q.path.segments())
                .map(|s| s.nearest(p, 1e-3).distance_sq)
                .fold(f64::INFINITY, f64::min);
            gap_mm = gap_mm.max(near.sqrt());
        }
    }
    Ok(Laid { map, gap_mm })
}

/// The same where the edges are sewn in a seam that has several on a side: what of them meets is laid on each other.
pub(crate) fn lay_sewn(draft: &Draft, (a, edge_a): (&Piece, &Name), (b, edge_b): (&Piece, &Name)) -> Result<Laid, DraftError> {
    let side = |piece: &Piece, edge: &Name| Side { piece: piece.name().clone(), edge: edge.clone() };
    let (own, other) = (side(a, edge_a), side(b, edge_b));
    let several = |runs: &SeamRuns| {
        let [(a0, a1), (b0, b1)] = runs.met(&own, &other)?;
        (!runs.is_single()).then_some([[a0, a1], [b0, b1]])
    };
    let Some([on_a, on_b]) = SeamRuns::all_of(draft, &own.piece, edge_a).iter().find_map(several) else {
        return lay(a, edge_a, b, edge_b);
    };
    let gone = || DraftError::new(a.name().to_string(), "an edge is gone", "Choose edges that the pieces have.");
    let at = |piece: &Piece, edge: &Name, mm: f64| piece.along_edge(edge.as_str(), mm).map(|(at, _)| at).ok_or_else(gone);
    let (a0, a1) = (at(a, edge_a, on_a[0])?, at(a, edge_a, on_a[1])?);
    let (b0, b1) = (at(b, edge_b, on_b[0])?, at(b, edge_b, on_b[1])?);
    // Whether the inside lies to the right of the way along.
    let right = |piece: &Piece, [from, to]: [f64; 2]| (kurbo::Shape::area(&piece.outline()) > 0.0) == (from < to);
    let ray = |from: kurbo::Point, to: kurbo::Point| Ray { at: from.midpoint(to), along: to - from };
    let map = ray(b0, b1).onto(ray(a0, a1), right(a, on_a) == right(b, on_b));
    let mut gap_mm: f64 = 0.0;
    for k in 0..=16 {
        let share = f64::from(k) / 16.0;
        let (p, q) = (at(a, edge_a, on_a[0] + (on_a[1] - on_a[0]) * share)?, at(b, edge_b, on_b[0] + (on_b[1] - on_b[0]) * share)?);
        gap_mm = gap_mm.max(p.distance(map * q));
    }
    Ok(Laid { map, gap_mm })
}
