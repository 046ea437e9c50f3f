use kurbo::{BezPath, Point};
use serde::{Deserialize, Serialize};

use super::take_in::{Side, offset};
use super::{piece, unique_edge, with};
use crate::geometry::{self, end, start};
use crate::place::{Spot, edge_index, from_start, handed};
use crate::ring::{Assembly, Ring, straight};
use crate::{Draft, DraftError, Edge, Length, Name, NamedPoint, Notion, Piece, Role, Unit};

/// What an open stretch of a seam is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Opens {
    /// A slit: both edges turned in and faced, with a bar tack at its top.
    #[default]
    Slit,
    /// A zip.
    Zip,
    /// Lacing.
    Lacing,
}

/// An overlap under a slit, which makes it a vent.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vent {
    /// The piece whose edge is carried on under the other.
    pub under: Name,
    /// By how much; 4 to 5 cm is usual (common practice).
    pub by: Length,
}

/// Leaves a seam open from one end: a slit, a vent, a zip, lacing.
///
/// # Keeps
/// The seam line, and the seam above, which both sides still share.
/// # Changes
/// The open stretch becomes an edge of its own on each side, with its own allowance; the place where sewing ends is
/// marked. A vent carries the under side on.
/// # Source
/// Sew to the height of the slit, notch and bar tack; each edge faced 3 to 4 cm, a vent 4 to 5 cm more under one side:
/// common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OpenSeam {
    /// Both edges of the seam, or one at the centre of a pair.
    pub sides: Vec<Side>,
    /// The end that is open, named by the edge or point that each side meets there.
    pub from: Name,
    /// How long the opening is.
    pub length: Length,
    /// The name of the open edges.
    pub name: Name,
    /// What it is.
    #[serde(default)]
    pub kind: Opens,
    /// Allowance of the open edges; where not given, 3.5 cm to face a slit, 2 cm for a zip or lacing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allowance: Option<Length>,
    /// An overlap under it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vent: Option<Vent>,
}

/// Allowance that faces a slit, millimetres (common practice: 3 to 4 cm).
const FACED_MM: f64 = 35.0;
/// Allowance that carries a zip or a lacing strip, millimetres (workroom practice: 3/4 in).
const ZIP_MM: f64 = 20.0;

impl OpenSeam {
    pub(super) fn what(&self) -> String {
        let kind = match (self.kind, &self.vent) {
            (Opens::Slit, None) => "slit",
            (Opens::Slit, Some(_)) => "vent",
            (Opens::Zip, _) => "zip",
            (Opens::Lacing, _) => "lacing",
        };
        let side = self.sides.first().map_or_else(String::new, |s| format!("{} of the {}", s.edge, s.piece));
        format!("{kind} of {} in the {side}", Unit::Cm.text(self.length.mm()))
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        if self.sides.is_empty() {
            return Err(DraftError::new(self.name.to_string(), "no edge is named", "Name the edges on both sides of the seam."));
        }
        let mut after = draft.clone();
        for (side, name) in self.sides.iter().zip(self.names()) {
            let new = self.opened(piece(&after, &side.piece)?, &side.edge, &name)?;
            after = with(&after, new);
        }
        let place = self.sides.iter().map(|s| format!("{} / {}", s.piece, self.name)).collect::<Vec<_>>().join(" + ");
        match self.kind {
            Opens::Slit => {}
            Opens::Zip => {
                after.notions.push(Notion { what: "zip".into(), count: 1, length_mm: Some(self.length.mm()), place, ..Notion::default() })
            }
            Opens::Lacing => after.notions.push(Notion {
                what: "lacing strip with eyelets".into(),
                count: 2,
                length_mm: Some(self.length.mm()),
                place,
                ..Notion::default()
            }),
        }
        Ok(after)
    }

    fn allowance_mm(&self) -> f64 {
        self.allowance.map_or(if self.kind == Opens::Slit { FACED_MM } else { ZIP_MM }, Length::mm)
    }

    /// The name of the open edge on each side: where both are on one piece the second gets one of its own.
    pub(super) fn names(&self) -> Vec<Name> {
        let again = |i: usize| self.sides[..i].iter().any(|s| s.piece == self.sides[i].piece);
        (0..self.sides.len()).map(|i| if again(i) { format!("{}, other side", self.name).into() } else { self.name.clone() }).collect()
    }

    fn opened(&self, old: &Piece, edge: &Name, name: &Name) -> Result<Piece, DraftError> {
        let index = edge_index(old, edge)?;
        unique_edge(old, name)?;
        let length = old.edge_length_mm(edge.as_str()).unwrap_or(0.0);
        let open = self.length.mm();
        if open < 1.0 || open > length - 10.0 {
            return Err(DraftError::new(
                format!("{} / {edge}", old.name()),
                format!("is {}, and an opening of {} does not fit in it", Unit::Cm.text(length), Unit::Cm.text(open)),
                "Choose a length that leaves at least a centimetre of seam; a whole edge is opened by changing its role.",
            ));
        }
        let at_start = from_start(old, edge, &self.from)?;
        let at_mm = if at_start { open } else { length - open };
        let at = old.along_edge(edge.as_str(), at_mm).map_or(Point::ZERO, |(p, _)| p);
        let mut ring = Ring::of(old);
        let split = ring.split(&[Spot { edge: index, at_mm, at }])[0];
        let mut edges: Vec<Edge> = old.edges().to_vec();
        edges.push(Edge { name: name.clone(), role: Role::Opening, allowance_mm: self.allowance_mm() });
        let opening = edges.len() - 1;
        // The stretches of the edge on the open side.
        let count = ring.stretches.len();
        let mut i = if at_start { (split + count - 1) % count } else { split };
        let mut opened = Vec::new();
        while ring.stretches[i].edge == index || edges[ring.stretches[i].edge].role == Role::DartLeg {
            if edges[ring.stretches[i].edge].role == Role::DartLeg {
                return Err(DraftError::new(
                    format!("{} / {edge}", old.name()),
                    "has a dart in the stretch that would be open",
                    "Move the dart first.",
                ));
            }
            ring.stretches[i].edge = opening;
            opened.push(i);
            i = if at_start { (i + count - 1) % count } else { (i + 1) % count };
        }
        if let Some(vent) = self.vent.as_ref().filter(|v| v.under == *old.name()) {
            edges.push(Edge { name: format!("{name} top").into(), role: Role::Seam, allowance_mm: 10.0 });
            self.carry_on(&mut ring, &opened, old, vent, at_start, edges.len() - 1);
        }
        let mut points: Vec<NamedPoint> = old.points().to_vec();
        points.push(NamedPoint { name: format!("{name} top").into(), at, marked: true, rides: Some(edge.clone()) });
        Assembly { edges: &edges, stretches: ring.stretches, points, ..Assembly::of(old) }.build()
    }

    /// The open stretch moved outward by the overlap, joined to the seam above and to the hem below.
    fn carry_on(&self, ring: &mut Ring, opened: &[usize], old: &Piece, vent: &Vent, at_start: bool, top: usize) {
        let Some(&i) = opened.first() else { return };
        let was: BezPath = ring.stretches[i].path.clone();
        let moved = offset(&was, handed(old), |_| -vent.by.mm());
        let (Some(from), Some(to), Some(new_from), Some(new_to)) = (start(&was), end(&was), start(&moved), end(&moved)) else { return };
        let count = ring.stretches.len();
        let (before, after) = (ring.stretches[(i + count - 1) % count].edge, ring.stretches[(i + 1) % count].edge);
        ring.stretches[i].path = moved;
        ring.stretches[i].notches.retain(|n| n.0 <= geometry::length(&was));
        if at_start {
            // The hem comes first, the seam follows.
            ring.stretches.insert(i + 1, straight(top, new_to, to));
            ring.stretches.insert(i, straight(before, from, new_from));
        } else {
            ring.stretches.insert(i + 1, straight(after, new_to, to));
            ring.stretches.insert(i, straight(top, from, new_from));
        }
    }
}
