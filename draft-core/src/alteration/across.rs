use kurbo::{Affine, BezPath, Line, ParamCurve, Point};
use serde::{Deserialize, Serialize};

use super::cut::Cut;
use super::join::{Join, lay_sewn};
use super::redraw::Redraw;
use super::take_in::Side;
use super::{piece, unused};
use crate::drawn_line::{SQUARE_HANDLE, inward, stretch};
use crate::geometry;
use crate::place::{Spot, from_start};
use crate::seam::meets_start_to_start;
use crate::seam_runs::SeamRuns;
use crate::together::closed_at;
use crate::{Along, Bend, Draft, DraftError, DrawnLine, Length, Name, Place};

/// The next piece that the line crosses into, laid beside the last one along their seam.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Laid {
    /// The edge of the piece that the line comes from.
    pub along: Name,
    /// The piece and its edge that lies there.
    pub beside: Side,
}

/// What becomes of a line drawn across pieces.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Becomes {
    /// Each piece is cut along it.
    Cut {
        /// The name of the new edges.
        seam: Name,
        /// The names of what is cut off, one for each piece in order …
        new: Vec<Name>,
        /// … on the side that holds this edge or point.
        with: Name,
        /// Whether what is cut off is joined into one piece, and its name.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        joined: Option<Name>,
    },
    /// It takes the place of an edge of this name on each piece.
    Edge(Name),
}

/// Draws across pieces laid together along their seams, as on a form, and carries the line back to each: a yoke over
/// front and back with the shoulder closed, a style line across a princess seam.
///
/// Darts in the seams that it crosses are closed while it is drawn.
///
/// # Keeps
/// Every seam that the line does not cross; the places where it crosses a seam are the same on both sides.
/// # Changes
/// Each piece as by a cut or a redrawn edge; a yoke is joined at the seams that it covers.
/// # Source
/// Tracing a yoke over pieces pinned together at the shoulder: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Across {
    /// The piece on which the line starts.
    pub first: Name,
    /// The pieces that it then crosses, in order.
    pub then: Vec<Laid>,
    /// Where it starts, on the first piece.
    pub from: Place,
    /// Where it ends, on the last piece.
    pub to: Place,
    /// How it runs between, over all of them laid flat.
    #[serde(default)]
    pub bend: Bend,
    /// What becomes of it.
    pub becomes: Becomes,
}

impl Across {
    pub(super) fn what(&self) -> String {
        let mut names = vec![self.first.to_string()];
        names.extend(self.then.iter().map(|l| l.beside.piece.to_string()));
        match &self.becomes {
            Becomes::Cut { joined: Some(name), .. } => format!("trace the {name} across the {}", names.join(" and the ")),
            Becomes::Cut { seam, .. } => format!("cut the {seam} across the {}", names.join(" and the ")),
            Becomes::Edge(edge) => format!("redraw the {edge} across the {}", names.join(" and the ")),
        }
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let refuse = |problem: String, remedy: &str| DraftError::new(self.first.to_string(), problem, remedy);
        let names: Vec<&Name> = std::iter::once(&self.first).chain(self.then.iter().map(|l| &l.beside.piece)).collect();
        let joints: Vec<(&Name, &Side)> = self.then.iter().map(|l| (&l.along, &l.beside)).collect();
        // Every piece flat, with the darts in the seams that are crossed closed.
        let mut flat = Vec::with_capacity(names.len());
        for (k, name) in names.iter().enumerate() {
            let mut own = piece(draft, name)?.clone();
            let before = k.checked_sub(1).map(|k| &joints[k].1.edge);
            let edges: Vec<Name> = before.into_iter().chain(joints.get(k).map(|j| j.0)).cloned().collect();
            for edge in &edges {
                crate::place::edge_index(&own, edge)?;
                own = closed_at(&own, edge, &edges)?;
            }
            flat.push(own);
        }
        let mut maps = vec![Affine::IDENTITY];
        for (k, (edge, side)) in joints.iter().enumerate() {
            let onto = lay_sewn(draft, (&flat[k], edge), (&flat[k + 1], &side.edge))?;
            maps.push(maps[k] * onto.map);
        }
        let pieces: Vec<&crate::Piece> = flat.iter().collect();
        let last = pieces.len() - 1;
        let (start_at, end_at) = (self.from.find(pieces[0])?, maps[last] * self.to.find(pieces[last])?);
        let whole = DrawnLine { through: vec![self.from.clone(), self.to.clone()], bends: vec![self.bend.clone()] };
        let path = match (&self.bend, self.from.spot(pieces[0]), self.to.spot(pieces[last])) {
            (Bend::Square, Ok(from), Ok(to)) => {
                let out = |piece: &crate::Piece, spot: &Spot, map: Affine| map * inward(piece, spot).to_point() - map * Point::ZERO;
                let reach = start_at.distance(end_at) * SQUARE_HANDLE;
                let mut path = BezPath::new();
                path.move_to(start_at);
                let (c1, c2) = (out(pieces[0], &from, maps[0]) * reach, out(pieces[last], &to, maps[last]) * reach);
                path.curve_to(start_at + c1, end_at + c2, end_at);
                path
            }
            _ => whole.path_through(pieces[0], |place| {
                Ok(if *place == self.from { (start_at, Affine::IDENTITY) } else { (end_at, maps[last]) })
            })?,
        };
        // Where the line crosses each joint: along it, and along both edges from where they meet.
        let mut cuts = vec![0.0];
        let mut places: Vec<(Place, Place)> = Vec::new();
        for (k, (edge, side)) in joints.iter().enumerate() {
            let (a, b) = (pieces[k], pieces[k + 1]);
            let from = cuts[k];
            let (at, edge_mm) = meeting(&path, from, a, edge, maps[k]).ok_or_else(|| {
                refuse(
                    format!("the line does not cross the {edge} between the {} and the {}", a.name(), b.name()),
                    "Let it cross the seam, or leave that piece out.",
                )
            })?;
            cuts.push(at);
            let (len_a, len_b) = (a.edge_length_mm(edge.as_str()).unwrap_or(0.0), b.edge_length_mm(side.edge.as_str()).unwrap_or(0.0));
            let from_a_start = Place::along((*edge).clone(), "start", Length::from_mm(edge_mm));
            let start_to_start = meets_start_to_start(a, edge, b, &side.edge);
            // What is joined has to be as long on both sides: it is counted from the end that it covers. Elsewhere ease is
            // shared out.
            let covered = match &self.becomes {
                Becomes::Cut { with, joined: Some(_), .. } => from_start(a, edge, with).ok(),
                _ => None,
            };
            let from_b_start = match covered {
                Some(true) => edge_mm,
                Some(false) => len_b - (len_a - edge_mm),
                None => edge_mm / len_a.max(1e-9) * len_b,
            };
            // Where a side of the seam has several edges, ease is shared out over the whole of it.
            let own = Side { piece: a.name().clone(), edge: (*edge).clone() };
            let several = SeamRuns::all_of(draft, a.name(), edge).into_iter().find(|r| !r.is_single() && r.met(&own, side).is_some());
            let (start_to_start, from_b_start) = match several {
                Some(runs) => match runs.across(a.name(), edge, edge_mm) {
                    Some((there, mm)) if there == *side => (true, mm),
                    _ => {
                        let problem = format!("where the line crosses the {edge}, the {} is not sewn", b.name());
                        return Err(refuse(problem, "Let it cross the seam elsewhere, or lay the other piece there."));
                    }
                },
                None => (start_to_start, from_b_start),
            };
            let place_b = Place::Edge {
                edge: side.edge.clone(),
                from: if start_to_start { "start" } else { "end" }.into(),
                at: Along::Length(Length::from_mm(from_b_start.clamp(0.0, len_b))),
            };
            places.push((from_a_start, place_b));
        }
        cuts.push(geometry::length(&path));
        let mut after = draft.clone();
        for (k, own) in pieces.iter().enumerate() {
            let bit = maps[k].inverse() * stretch(&path, cuts[k], cuts[k + 1]);
            let from = if k == 0 { self.from.clone() } else { places[k - 1].1.clone() };
            let to = if k == last { self.to.clone() } else { places[k].0.clone() };
            let line = DrawnLine::of_path(own, &bit, from, to)
                .ok_or_else(|| refuse(format!("the line has no length on the {}", own.name()), "Leave that piece out."))?;
            after = match &self.becomes {
                Becomes::Edge(edge) => Redraw { piece: own.name().clone(), edge: edge.clone(), line }.apply(&after)?,
                Becomes::Cut { seam, new, with, .. } => {
                    let name = new.get(k).cloned().ok_or_else(|| {
                        refuse(format!("{} pieces are cut and {} names are given", pieces.len(), new.len()), "Give a name for each.")
                    })?;
                    Cut {
                        piece: own.name().clone(),
                        line,
                        seam: seam.clone(),
                        new: name,
                        with: with.clone(),
                        allowance: super::cut::plain(),
                        sewn: true,
                    }
                    .apply(&after)?
                }
            };
        }
        if let Becomes::Cut { new, joined: Some(yoke), .. } = &self.becomes {
            if new.iter().all(|n| n != yoke) {
                unused(draft, yoke)?;
            }
            let mut whole = new[0].clone();
            for (k, (edge, side)) in joints.iter().enumerate() {
                let last = k + 1 == joints.len();
                let name: Name = if last { yoke.clone() } else { format!("{yoke}, part {}", k + 1).into() };
                let join = Join {
                    to: Side { piece: whole, edge: (*edge).clone() },
                    from: Side { piece: new[k + 1].clone(), edge: side.edge.clone() },
                    name: name.clone(),
                };
                after = join.apply(&after)?;
                whole = name;
            }
        }
        Ok(after)
    }
}

/// Where a path next meets an edge of a laid piece: the distance along the path, and along the edge from its start.
fn meeting(path: &BezPath, after_mm: f64, piece: &crate::Piece, edge: &Name, map: Affine) -> Option<(f64, f64)> {
    let mut best: Option<(f64, f64)> = None;
    let mut edge_mm = 0.0;
    for part in piece.edge_parts(edge.as_str()) {
        let laid = map * part.path.clone();
        for seg in laid.segments() {
            // Curve with curve: the edge followed by short chords, then along the edge itself.
            let chords = 64;
            for i in 0..chords {
                let (t0, t1) = (f64::from(i) / f64::from(chords), f64::from(i + 1) / f64::from(chords));
                let chord = Line::new(seg.eval(t0), seg.eval(t1));
                let mut path_mm = 0.0;
                for own in path.segments() {
                    for hit in own.intersect_line(chord) {
                        let at = path_mm + geometry::segment_length(&own.subsegment(0.0..hit.segment_t.clamp(0.0, 1.0)));
                        if at > after_mm + 1e-6 && best.is_none_or(|b| at < b.0) {
                            let t = t0 + hit.line_t.clamp(0.0, 1.0) * (t1 - t0);
                            best = Some((at, edge_mm + geometry::segment_length(&seg.subsegment(0.0..t))));
                        }
                    }
                    path_mm += geometry::segment_length(&own);
                }
            }
            edge_mm += geometry::segment_length(&seg);
        }
    }
    best
}
