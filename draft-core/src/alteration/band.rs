use serde::{Deserialize, Serialize};

use super::take_in::{meet, offset};
use super::{piece, unused};
use crate::geometry::{self, end, reversed};
use crate::place::{edge_index, handed};
use crate::ring::{Assembly, Ring, Stretch};
use crate::{Draft, DraftError, Edge, EdgeRun, Length, Name, Role, Seam, Unit};

/// Traces off a band along an edge: a facing, a stay, the piece for a shaped hem.
///
/// # Keeps
/// The piece it is traced from, whose grain and cut count it takes.
/// # Changes
/// A new piece: the edge, its neighbours as far as the band is deep, and a line parallel to the edge. It is sewn to the
/// edge, and a little smaller so that it rolls inward.
/// # Source
/// Shaped facings 5 to 6 cm deep, the same grain as the piece, cut 1 to 2 mm smaller for turn of cloth: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Band {
    /// The piece.
    pub piece: Name,
    /// The edge.
    pub edge: Name,
    /// How deep.
    pub depth: Length,
    /// The new piece.
    pub name: Name,
    /// Allowance of its inner edge; nought for an edge that is overlocked or pinked.
    #[serde(default)]
    pub inner_allowance: Length,
}

impl Band {
    pub(super) fn what(&self) -> String {
        format!("trace the {} from the {} of the {}", self.name, self.edge, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        unused(draft, &self.name)?;
        let index = edge_index(old, &self.edge)?;
        let refuse = |problem: String, remedy: &str| DraftError::new(format!("{} / {}", self.piece, self.edge), problem, remedy);
        let depth = self.depth.mm();
        if depth < 5.0 {
            return Err(refuse("a band of less than half a centimetre can't be sewn".into(), "Make it deeper."));
        }
        let ring = Ring::of(old);
        let count = ring.stretches.len();
        let here: Vec<usize> = (0..count).filter(|&i| ring.stretches[i].edge == index).collect();
        let [i] = here[..] else {
            return Err(refuse("has a dart in it".into(), "Move the dart to another edge first."));
        };
        let own = &ring.stretches[i];
        let inner = offset(&own.path, handed(old), |_| depth);
        let (before, after) = ((i + count - 1) % count, (i + 1) % count);
        let too_deep = || refuse(format!("a band of {} does not fit in the piece", Unit::Cm.text(depth)), "Make it less deep.");
        // The neighbours from the corners on; what the band takes of each is what is cut from it.
        let next = &ring.stretches[after].path;
        let (rest, inner) = meet(next, &inner, depth).ok_or_else(too_deep)?;
        let next_mm = geometry::length(next) - geometry::length(&rest);
        let (rest, inner) = meet(&reversed(&ring.stretches[before].path), &reversed(&inner), depth).ok_or_else(too_deep)?;
        let before_path = reversed(&ring.stretches[before].path);
        let before_mm = geometry::length(&before_path) - geometry::length(&rest);
        if next_mm < 1.0 || before_mm < 1.0 {
            return Err(too_deep());
        }
        let side_next = crate::drawn_line::stretch(next, 0.0, next_mm);
        let side_before = reversed(&crate::drawn_line::stretch(&before_path, 0.0, before_mm));
        let mut edges: Vec<Edge> = old.edges().to_vec();
        edges.push(Edge { name: "inner edge".into(), role: Role::Hem, allowance_mm: self.inner_allowance.mm() });
        // `inner` now runs from the later neighbour back to the earlier one, as the outline goes on.
        let mut inner = inner;
        let (mut side_next, mut side_before) = (side_next, side_before);
        let (Some(corner), Some(a), Some(b)) = (end(&own.path), end(&side_next), end(&inner)) else { return Err(too_deep()) };
        geometry::set_start(&mut side_next, corner);
        geometry::set_start(&mut inner, a);
        geometry::set_start(&mut side_before, b);
        let stretches = vec![
            own.clone(),
            Stretch::plain(ring.stretches[after].edge, side_next),
            Stretch::plain(edges.len() - 1, inner),
            Stretch::plain(ring.stretches[before].edge, side_before),
        ];
        let band = Assembly {
            name: self.name.clone(),
            edges: &edges,
            stretches,
            darts: Vec::new(),
            points: Vec::new(),
            lines: Vec::new(),
            ..Assembly::of(old)
        }
        .build()?;
        let mut after = draft.clone();
        after.put(band);
        after
            .seams
            .push(Seam::plain(EdgeRun::new(self.name.clone(), self.edge.clone()), EdgeRun::new(self.piece.clone(), self.edge.clone())));
        Ok(after)
    }
}
