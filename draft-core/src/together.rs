//! Pieces laid together along their seams on the cutting table, darts in those seams closed, so that a line can be drawn over
//! all of them and is carried back to each.

use std::sync::Arc;

use kurbo::{Affine, BezPath, Point};

use crate::alteration::join::lay_sewn;
use crate::alteration::offer::{Becoming, Effect, place_at};
use crate::alteration::{Across, Becomes, Laid, Side};
use crate::pinned::partner;
use crate::place::end_names;
use crate::seam_runs::{seams_of, sewn_to};
use crate::{Alteration, Bend, Draft, DraftError, Name, Piece, Place, Role, allowance, dart};

/// A piece and how it lies beside another one of the group.
#[derive(Clone, Debug, PartialEq)]
struct Member {
    piece: Name,
    /// Which of the group it lies beside, that one's edge, and its own; `None` for the first, which stays as it is.
    beside: Option<(usize, Name, Name)>,
}

/// Pieces laid together.
#[derive(Clone, Debug, PartialEq)]
pub struct Together {
    members: Vec<Member>,
}

/// A piece of the group where it lies.
#[derive(Clone, Debug)]
pub struct Placed {
    /// The piece, with the darts in its joints closed, in the coordinates of the first one.
    pub piece: Arc<Piece>,
    /// Its cut line there.
    pub cut_line: Arc<BezPath>,
}

impl Together {
    /// Lays the piece that is sewn to an edge beside it; of several that are, the one that is sewn there for longest.
    ///
    /// # Errors
    /// It is not sewn to another piece.
    pub fn begin(draft: &Draft, piece: &Name, edge: &Name) -> Result<Self, DraftError> {
        let mut group = Self { members: vec![Member { piece: piece.clone(), beside: None }] };
        group.add(draft, piece, edge)?;
        Ok(group)
    }

    /// Lays the piece that is sewn to an edge of one of the group beside it; of several that are, the next one that does not lie
    /// there yet.
    ///
    /// # Errors
    /// It is not sewn to a piece that is not in the group yet, or that can't be laid there.
    pub fn add(&mut self, draft: &Draft, piece: &Name, edge: &Name) -> Result<(), DraftError> {
        let refuse = |problem: &str, remedy: &str| DraftError::new(format!("{piece} / {edge}"), problem, remedy);
        let Some(at) = self.members.iter().position(|m| m.piece == *piece) else {
            return Err(refuse("does not lie with the others", "Choose an edge of a piece that does."));
        };
        let others = sewn_to(draft, piece, edge);
        if others.is_empty() {
            let remedy = "Choose an edge that is sewn to pieces that stand in its seam once.";
            return Err(refuse("is not sewn to another piece that could lie beside it", remedy));
        }
        let Some(other) = others.into_iter().find(|o| !self.holds(&o.piece)) else {
            return Err(refuse("is sewn to a piece that lies there already", "Choose another seam."));
        };
        self.members.push(Member { piece: other.piece, beside: Some((at, edge.clone(), other.edge)) });
        if let Err(error) = self.placed(draft) {
            self.members.pop();
            return Err(error);
        }
        Ok(())
    }

    /// Whether the piece that is sewn to an edge can be laid beside it: it does not lie there yet.
    pub fn takes(&self, draft: &Draft, piece: &Name, edge: &Name) -> bool {
        self.holds(piece) && sewn_to(draft, piece, edge).iter().any(|s| !self.holds(&s.piece))
    }

    /// Whether a piece is in the group.
    pub fn holds(&self, piece: &Name) -> bool {
        self.index(piece).is_some()
    }

    /// Its pieces, the first one first.
    pub fn names(&self) -> impl Iterator<Item = &Name> {
        self.members.iter().map(|m| &m.piece)
    }

    /// The edges along which its pieces lie, one of each joint, with their pieces.
    pub fn joints(&self) -> impl Iterator<Item = (&Name, &Name)> {
        self.members.iter().filter_map(|m| m.beside.as_ref().map(|(_, _, own)| (&m.piece, own)))
    }

    fn index(&self, piece: &Name) -> Option<usize> {
        self.members.iter().position(|m| m.piece == *piece)
    }

    /// Where every piece lies.
    ///
    /// # Errors
    /// A piece or an edge is no longer there, or a dart in a joint can't be closed.
    pub fn placed(&self, draft: &Draft) -> Result<Vec<Placed>, DraftError> {
        let gone = |name: &Name| DraftError::new(name.to_string(), "is no longer there", "Let the pieces go and lay them together again.");
        let mut flat: Vec<Piece> = Vec::with_capacity(self.members.len());
        for (i, member) in self.members.iter().enumerate() {
            let mut piece = draft.piece(member.piece.as_str()).ok_or_else(|| gone(&member.piece))?.clone();
            let own = member.beside.iter().map(|(_, _, own)| own);
            let others = self.members.iter().filter_map(|m| m.beside.as_ref()).filter(|b| b.0 == i).map(|b| &b.1);
            let joints: Vec<Name> = own.chain(others).cloned().collect();
            for joint in &joints {
                if piece.edge(joint.as_str()).is_none() {
                    return Err(gone(joint));
                }
                piece = closed_at(&piece, joint, &joints)?;
            }
            flat.push(piece);
        }
        let mut maps: Vec<Affine> = Vec::with_capacity(flat.len());
        for (piece, member) in flat.iter().zip(&self.members) {
            maps.push(match &member.beside {
                None => Affine::IDENTITY,
                Some((to, edge, own)) => maps[*to] * lay_sewn(draft, (&flat[*to], edge), (piece, own))?.map,
            });
        }
        let placed = |(piece, map): (&Piece, &Affine)| {
            let cut = allowance::cut_line(piece).unwrap_or_else(|_| piece.outline());
            Placed { piece: Arc::new(piece.carried(*map)), cut_line: Arc::new(*map * cut) }
        };
        Ok(flat.iter().zip(&maps).map(placed).collect())
    }

    /// The way from one piece of the group to another: each next piece with the edges of the joint, as it is crossed.
    fn way(&self, from: usize, to: usize) -> Vec<(Name, Side)> {
        let up = |mut at: usize| {
            let mut line = vec![at];
            while let Some((next, ..)) = &self.members[at].beside {
                at = *next;
                line.push(at);
            }
            line
        };
        let (a, b) = (up(from), up(to));
        let Some(meet) = a.iter().find(|x| b.contains(x)) else { return Vec::new() };
        let side = |piece: usize, edge: &Name| Side { piece: self.members[piece].piece.clone(), edge: edge.clone() };
        let mut way: Vec<(Name, Side)> = Vec::new();
        for &at in a.iter().take_while(|x| *x != meet) {
            if let Some((next, edge, own)) = &self.members[at].beside {
                way.push((own.clone(), side(*next, edge)));
            }
        }
        let down: Vec<usize> = b.iter().take_while(|x| *x != meet).copied().collect();
        for &at in down.iter().rev() {
            if let Some((_, edge, own)) = &self.members[at].beside {
                way.push((edge.clone(), side(at, own)));
            }
        }
        way
    }

    /// What a straight line from a point on one piece of the group to a point on another can become; points are where the pieces
    /// lie. What can't be done is not offered.
    pub fn becomes(&self, draft: &Draft, from: (&Name, Point), to: (&Name, Point), reach_mm: f64) -> Vec<Becoming> {
        let (Some(first), Some(last), Ok(placed)) = (self.index(from.0), self.index(to.0), self.placed(draft)) else { return Vec::new() };
        let place = |i: usize, at: Point| -> Option<Place> {
            let place = place_at(&placed[i].piece, at, reach_mm);
            // A line across pieces ends on edges.
            matches!(place, Place::Edge { .. }).then_some(place)
        };
        let (Some(start), Some(end)) = (place(first, from.1), place(last, to.1)) else { return Vec::new() };
        let way = self.way(first, last);
        let pieces: Vec<&Name> = std::iter::once(from.0).chain(way.iter().map(|(_, side)| &side.piece)).collect();
        let joints: Vec<&Name> = way.iter().flat_map(|(edge, side)| [edge, &side.edge]).collect();
        let across = |bend: &Bend, becomes: Becomes| {
            let then = way.iter().map(|(along, beside)| Laid { along: along.clone(), beside: beside.clone() }).collect();
            let (from, to) = (start.clone(), end.clone());
            Alteration::Across(Across { first: pieces[0].clone(), then, from, to, bend: bend.clone(), becomes })
        };
        let everywhere = |name: &Name| pieces.iter().all(|p| draft.piece(p.as_str()).is_some_and(|p| p.edge(name.as_str()).is_some()));
        let Some(own) = draft.piece(pieces[0].as_str()) else { return Vec::new() };
        // What lies to the two sides of the line is told by what the first joint meets at its ends.
        let Some(ends) = way.first().and_then(|(edge, _)| end_names(own, edge)) else { return Vec::new() };
        let shared: Vec<&Name> = ends.iter().filter(|n| everywhere(n) && !joints.contains(n)).collect();
        let fresh = |name: &str| numbered(name, |n| draft.piece(n).is_some());
        let seam = |word: &str| numbered(word, |n| pieces.iter().any(|p| draft.piece(p.as_str()).is_some_and(|p| p.edge(n).is_some())));
        let mut all: Vec<Becoming> = Vec::new();
        // How it runs can be changed in the form: square ends are offered where a straight line would leave the cloth.
        for (bend, how) in [(Bend::Straight, ""), (Bend::Square, ", square ends")] {
            let mut offer = |name: String, alteration: Alteration| {
                let Ok(after) = alteration.apply(draft) else { return false };
                all.push(Becoming { name: name + how, alteration, effect: Effect::of(draft, &after) });
                true
            };
            for &with in &shared {
                let new = pieces.iter().map(|p| fresh(&format!("{p} yoke"))).collect();
                let becomes = Becomes::Cut { seam: seam("yoke seam"), new, with: with.clone(), joined: Some(fresh("yoke")) };
                offer(format!("Trace a yoke with the {with}"), across(&bend, becomes));
            }
            for &edge in &shared {
                if ends_beside(&placed[first].piece, &start, edge) && ends_beside(&placed[last].piece, &end, edge) {
                    offer(format!("Make it the new {edge}"), across(&bend, Becomes::Edge(edge.clone())));
                }
            }
            for &with in &shared {
                let new = pieces.iter().map(|p| fresh(&format!("{p} part"))).collect();
                let becomes = Becomes::Cut { seam: seam("style line"), new, with: with.clone(), joined: None };
                // Whichever side gets the new names, the cut is the same.
                if offer("Cut across".into(), across(&bend, becomes)) {
                    break;
                }
            }
            if !all.is_empty() {
                break;
            }
        }
        all
    }
}

/// Whether another piece is sewn to an edge, to be laid beside it.
pub fn can_lie(draft: &Draft, piece: &Name, edge: &Name) -> bool {
    let leg = draft.piece(piece.as_str()).and_then(|p| p.edge(edge.as_str())).is_none_or(|e| e.role == Role::DartLeg);
    let other = || seams_of(draft, piece, edge).iter().any(|s| s.a.iter().chain(&s.b).any(|run| run.piece != *piece));
    !leg && (partner(draft, piece, edge).is_some_and(|s| s.piece != *piece) || other())
}

/// The edges of one piece that are sewn to another piece.
pub fn seams_between(draft: &Draft, piece: &Name, other: &Name) -> Vec<Name> {
    let Some(own) = draft.piece(piece.as_str()) else { return Vec::new() };
    let sewn = |edge: &Name| sewn_to(draft, piece, edge).iter().any(|s| s.piece == *other && other != piece);
    own.edges().iter().map(|e| &e.name).filter(|e| sewn(e)).cloned().collect()
}

/// Whether a place lies on an edge that meets another one.
fn ends_beside(piece: &Piece, place: &Place, edge: &Name) -> bool {
    let Place::Edge { edge: on, .. } = place else { return false };
    end_names(piece, edge).is_some_and(|ends| ends.contains(on))
}

fn numbered(name: &str, taken: impl Fn(&str) -> bool) -> Name {
    if !taken(name) {
        return name.into();
    }
    (2..).map(|n| format!("{name} {n}")).find(|n| !taken(n)).unwrap_or_default().into()
}

/// The piece with the darts in one of its edges closed: each opens at an edge that is no joint instead, where nothing is drawn.
pub(crate) fn closed_at(piece: &Piece, edge: &Name, joints: &[Name]) -> Result<Piece, DraftError> {
    let mut flat = piece.clone();
    let inside = |piece: &Piece| -> Option<Name> {
        let parts = piece.parts();
        let count = parts.len();
        let is = |i: usize, name: &Name| piece.edges()[parts[i % count].edge].name == *name;
        let stands = |d: &&crate::Dart| (0..count).any(|i| is(i, &d.leg_a) && is(i + count - 1, edge) && is(i + 2, edge));
        piece.darts().iter().find(stands).map(|d| d.name.clone())
    };
    while let Some(name) = inside(&flat) {
        let long = |e: &crate::Edge| flat.edge_length_mm(e.name.as_str()).unwrap_or(0.0);
        let mut others: Vec<&crate::Edge> =
            flat.edges().iter().filter(|e| !joints.contains(&e.name) && !matches!(e.role, Role::DartLeg | Role::Fold)).collect();
        others.sort_by(|a, b| long(b).total_cmp(&long(a)));
        let moved = others.iter().find_map(|e| dart::moved(&flat, name.as_str(), e.name.as_str(), long(e) / 2.0, 0.0, true).ok());
        flat = moved.ok_or_else(|| {
            DraftError::new(
                format!("{} / {edge}", piece.name()),
                format!("has the {name} in it, which can't be closed here"),
                "Move the dart to another edge first.",
            )
        })?;
    }
    Ok(flat)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::Garment;

    fn demo() -> Draft {
        let garment = Garment::from_text(include_str!("../../assets/demo/garment.ron")).unwrap();
        Draft::clone(&garment.build().draft)
    }

    #[test]
    fn front_and_back_lie_shoulder_to_shoulder_and_a_yoke_is_traced_over_both() {
        let draft = demo();
        let (front, back): (Name, Name) = ("front".into(), "back".into());
        let group = Together::begin(&draft, &front, &"shoulder".into()).unwrap();
        assert_eq!(group.names().collect::<Vec<_>>(), [&front, &back]);
        let placed = group.placed(&draft).unwrap();
        let ends = |p: &Piece| p.edge_ends("shoulder").unwrap();
        let (a, b) = (ends(&placed[0].piece), ends(&placed[1].piece));
        let near = |p: Point, q: (Point, Point)| p.distance(q.0).min(p.distance(q.1));
        // 5 mm are eased into the front's shoulder.
        assert!(near(a.0, b) < 4.0 && near(a.1, b) < 4.0, "{a:?} {b:?}");
        let overlap = {
            let (p, q) = (placed[0].piece.outline(), placed[1].piece.outline());
            let inside = |x: &Piece, o: &BezPath| x.points().iter().filter(|n| crate::geometry::holds(o, n.at)).count();
            inside(&placed[0].piece, &q) + inside(&placed[1].piece, &p)
        };
        assert!(overlap <= 4, "{overlap} points lie on the other piece");
        let on = |i: usize, edge: &str, share: f64| {
            let piece = &placed[i].piece;
            piece.along_edge(edge, piece.edge_length_mm(edge).unwrap() * share).unwrap().0
        };
        let to = on(1, "centre back", 0.8);
        let to = if to.distance(placed[1].piece.point("nape").unwrap()) < 120.0 { to } else { on(1, "centre back", 0.2) };
        let from = on(0, "centre front", 0.15);
        let from =
            if from.distance(placed[0].piece.point("shoulder neck point").unwrap()) < 200.0 { from } else { on(0, "centre front", 0.85) };
        let offers = group.becomes(&draft, (&front, from), (&back, to), 3.0);
        let yoke = offers.iter().find(|b| b.name == "Trace a yoke with the neckline, square ends").unwrap_or_else(|| panic!("{offers:?}"));
        let after = yoke.alteration.apply(&draft).unwrap();
        let piece = after.piece("yoke").unwrap();
        // Straight, the line would leave the cloth at the neck.
        assert!(offers.iter().all(|b| b.name != "Trace a yoke with the neckline"), "{offers:?}");
        let sum = |d: &Draft, names: &[&str]| names.iter().map(|n| d.piece(n).unwrap().area_mm2()).sum::<f64>();
        assert!((piece.area_mm2() + sum(&after, &["front", "back"]) - sum(&draft, &["front", "back"])).abs() < 200.0);
    }

    #[test]
    fn a_dart_in_the_joint_is_closed() {
        let draft = demo();
        let gore = Together::begin(&draft, &"front".into(), &"side seam".into()).unwrap();
        let placed = gore.placed(&draft).unwrap();
        let front = &placed[0].piece;
        assert_eq!(front.edge_parts("side seam").count(), 1, "the bust dart in it is closed");
        assert!(
            (front.edge_length_mm("side seam").unwrap() - draft.piece("front").unwrap().edge_length_mm("side seam").unwrap()).abs() < 0.01
        );
        // Both side seams now lie along one another.
        let back = &placed[1].piece;
        let (a, b) = (front.edge_ends("side seam").unwrap(), back.edge_ends("side seam").unwrap());
        let apart = a.0.distance(b.0).min(a.0.distance(b.1));
        assert!(apart < 1.0, "{apart}");
    }

    #[test]
    fn what_is_not_sewn_is_not_laid_together() {
        let draft = demo();
        assert!(Together::begin(&draft, &"front".into(), &"centre front".into()).is_err());
        let mut group = Together::begin(&draft, &"front".into(), &"shoulder".into()).unwrap();
        assert!(group.add(&draft, &"front".into(), &"side seam".into()).unwrap_err().problem.contains("already"));
        assert!(group.add(&draft, &"gore".into(), &"hem".into()).is_err());
    }
}
