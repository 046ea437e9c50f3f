//! From what is read off the pins at a fitting, by seam and place, to alterations of the pieces.

use crate::alteration::{Amount, Lengthen, Level, Pinch, Side, TakeIn};
use crate::place::{from_start, level_spots};
use crate::seam::meets_start_to_start;
use crate::{Along, Alteration, Draft, DraftError, EdgeRun, Length, Name, Piece, Place, Role};

/// One place along a seam at which a pin stood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pin {
    /// How far from the end named.
    pub at: Along,
    /// How much was pinned in all, both sides of the seam together; below nought it was let out.
    pub by: Length,
}

/// A place on an edge, as it is read off the muslin.
#[derive(Clone, Debug, PartialEq)]
pub struct OnEdge {
    /// The piece.
    pub piece: Name,
    /// Its edge.
    pub edge: Name,
    /// The end to count from, named by what the edge meets there.
    pub from: Name,
}

/// What was pinned.
#[derive(Clone, Debug, PartialEq)]
pub enum Pinned {
    /// A seam taken in or let out at some places; toward an end at which no pin stood it runs out to nothing.
    Seam {
        /// One edge of the seam, and the end from which the places are counted.
        seam: OnEdge,
        /// The pins.
        pins: Vec<Pin>,
    },
    /// The muslin folded away, or cut and spread, level all round.
    Level {
        /// An edge that the level crosses, and the end from which the place is counted.
        edge: OnEdge,
        /// Where the level crosses it.
        at: Along,
        /// By how much it is longer; below nought it is shorter.
        by: Length,
    },
    /// A gape pinched out of an edge, each side of the body alike, into a dart.
    Gape {
        /// The edge, and the end from which the place is counted.
        edge: OnEdge,
        /// Where the middle of the fold lay.
        at: Along,
        /// How much was pinched out along the edge.
        by: Length,
        /// The dart that takes it.
        dart: Name,
    },
}

impl Pinned {
    /// The alterations that it becomes on these pieces. Both edges of a seam are altered together.
    ///
    /// # Errors
    /// The piece or the edge is not there or can't be pinned so, or a number is missing.
    pub fn alterations(&self, draft: &Draft) -> Result<Vec<Alteration>, DraftError> {
        match self {
            Self::Seam { seam, pins } => taken_in(draft, seam, pins),
            Self::Level { edge, at, by } => {
                if by.mm() == 0.0 {
                    return Err(nothing(edge));
                }
                Ok(vec![Alteration::Lengthen(Lengthen { levels: levels(draft, edge, *at)?, by: *by })])
            }
            Self::Gape { edge, at, by, dart } => {
                if by.mm() <= 0.0 {
                    return Err(nothing(edge));
                }
                let place = Place::Edge { edge: edge.edge.clone(), from: edge.from.clone(), at: *at };
                Ok(vec![Alteration::Pinch(Pinch { piece: edge.piece.clone(), at: place, by: *by, dart: dart.clone() })])
            }
        }
    }
}

fn nothing(on: &OnEdge) -> DraftError {
    DraftError::new(format!("{} / {}", on.piece, on.edge), "nothing is pinned there", "Write how much was pinned.")
}

fn piece_of<'a>(draft: &'a Draft, name: &Name) -> Result<&'a Piece, DraftError> {
    draft.piece(name.as_str()).ok_or_else(|| DraftError::new(name.to_string(), "there is no piece of this name", "Choose a piece."))
}

/// The edge that is sewn to this one, where each side of the seam is a single edge; on a piece that is sewn to itself it
/// may be an edge of the same piece.
pub fn partner(draft: &Draft, piece: &Name, edge: &Name) -> Option<Side> {
    let is = |run: &EdgeRun| run.piece == *piece && run.edge == *edge;
    draft.seams.iter().find_map(|seam| match (&seam.a[..], &seam.b[..]) {
        ([a], [b]) if is(a) => Some(Side { piece: b.piece.clone(), edge: b.edge.clone() }),
        ([a], [b]) if is(b) => Some(Side { piece: a.piece.clone(), edge: a.edge.clone() }),
        _ => None,
    })
}

/// Edges of a piece that can be pinned at a fitting: seams, and edges that open.
pub fn edges(piece: &Piece) -> impl Iterator<Item = &Name> {
    piece.edges().iter().filter(|e| matches!(e.role, Role::Seam | Role::Opening)).map(|e| &e.name)
}

/// What the ends of an edge are called, start and end as the outline runs: by what it meets there.
pub fn ends(piece: &Piece, edge: &Name) -> Option<[Name; 2]> {
    Some([called(piece, edge, true, |_| true)?, called(piece, edge, false, |_| true)?])
}

/// A name for one end of an edge that also suits somebody else.
fn called(piece: &Piece, edge: &Name, at_start: bool, suits: impl Fn(&Name) -> bool) -> Option<Name> {
    let (start, end) = piece.edge_ends(edge.as_str())?;
    let corner = if at_start { start } else { end };
    let neighbours = piece.edges().iter().filter(|e| e.role != Role::DartLeg).map(|e| &e.name);
    let points = piece.points().iter().filter(|p| p.at.distance(corner) < 0.5).map(|p| &p.name);
    let own: Name = if at_start { "start".into() } else { "end".into() };
    let mut names: Vec<Name> = neighbours.chain(points).cloned().collect();
    names.push(own);
    names.into_iter().find(|name| from_start(piece, edge, name).is_ok_and(|is| is == at_start) && suits(name))
}

fn taken_in(draft: &Draft, seam: &OnEdge, pins: &[Pin]) -> Result<Vec<Alteration>, DraftError> {
    if pins.iter().all(|p| p.by.mm() == 0.0) {
        return Err(nothing(seam));
    }
    let own = piece_of(draft, &seam.piece)?;
    let at_start = from_start(own, &seam.edge, &seam.from)?;
    let length = own.edge_length_mm(seam.edge.as_str()).unwrap_or(0.0);
    let mm = |at: Along| match at {
        Along::Length(l) => l.mm(),
        Along::Share(share) => share * length,
    };
    if let Some(past) = pins.iter().map(|p| mm(p.at)).find(|at| !(-1e-6..=length + 0.5).contains(at)) {
        let unit = crate::Unit::Cm;
        return Err(DraftError::new(
            format!("{} / {}", seam.piece, seam.edge),
            format!("is {}, and a pin is written at {}", unit.text(length), unit.text(past)),
            "Write a place that lies on the seam.",
        ));
    }
    let mut amounts: Vec<Amount> = pins.iter().map(|p| Amount { at: p.at, by: Length::from_mm(p.by.mm() / 2.0) }).collect();
    amounts.sort_by(|a, b| mm(a.at).total_cmp(&mm(b.at)));
    let out = |share: f64| Amount { at: Along::Share(share), by: Length::ZERO };
    if amounts.first().is_some_and(|a| mm(a.at) > 0.5) {
        amounts.insert(0, out(0.0));
    }
    if amounts.last().is_some_and(|a| mm(a.at) < length - 0.5) {
        amounts.push(out(1.0));
    }
    let here = Side { piece: seam.piece.clone(), edge: seam.edge.clone() };
    let take_in = |sides: Vec<Side>, from: Name, amounts: Vec<Amount>| Alteration::TakeIn(TakeIn { sides, from, amounts, straight: false });
    let Some(there) = partner(draft, &seam.piece, &seam.edge).filter(|p| *p != here) else {
        let sewn = draft.seams.iter().any(|s| s.a.iter().chain(&s.b).any(|r| r.piece == here.piece && r.edge == here.edge));
        if sewn && partner(draft, &here.piece, &here.edge).is_none() {
            return Err(DraftError::new(
                format!("{} / {}", here.piece, here.edge),
                "is sewn to several edges together",
                "Pin a seam that has one edge on each side, or lengthen at a level.",
            ));
        }
        return Ok(vec![take_in(vec![here], seam.from.clone(), amounts)]);
    };
    let other = piece_of(draft, &there.piece)?;
    let there_at_start = at_start == meets_start_to_start(own, &seam.edge, other, &there.edge);
    let same_end = |name: &Name| from_start(other, &there.edge, name).is_ok_and(|is| is == there_at_start);
    // One name for the end on both sides keeps the seam one change; where there is none, each side has its own.
    if same_end(&seam.from) {
        return Ok(vec![take_in(vec![here, there], seam.from.clone(), amounts)]);
    }
    if let Some(from) = called(own, &seam.edge, at_start, |n| n.as_str() != "start" && n.as_str() != "end" && same_end(n)) {
        return Ok(vec![take_in(vec![here, there], from, amounts)]);
    }
    let from = called(other, &there.edge, there_at_start, |_| true).unwrap_or_else(|| seam.from.clone());
    Ok(vec![take_in(vec![here], seam.from.clone(), amounts.clone()), take_in(vec![there], from, amounts)])
}

/// The level through a place on an edge, carried round the body: over every seam of one edge on each side that it crosses.
fn levels(draft: &Draft, on: &OnEdge, at: Along) -> Result<Vec<Level>, DraftError> {
    let first = Place::Edge { edge: on.edge.clone(), from: on.from.clone(), at };
    first.find(piece_of(draft, &on.piece)?)?;
    let mut levels = vec![Level { piece: on.piece.clone(), at: first }];
    let mut next = 0;
    while next < levels.len() {
        let piece = piece_of(draft, &levels[next].piece)?;
        let level = levels[next].at.find(piece)?;
        next += 1;
        for spot in level_spots(piece, level) {
            let edge = &piece.edges()[spot.edge].name;
            let Some(there) = partner(draft, piece.name(), edge) else { continue };
            if levels.iter().any(|l| l.piece == there.piece) {
                continue;
            }
            let other = piece_of(draft, &there.piece)?;
            let length = piece.edge_length_mm(edge.as_str()).unwrap_or(0.0);
            let other_length = other.edge_length_mm(there.edge.as_str()).unwrap_or(0.0);
            // Counted from the nearer end.
            let from_here = spot.at_mm <= length / 2.0;
            let distance = if from_here { spot.at_mm } else { length - spot.at_mm };
            let at_start = from_here == meets_start_to_start(piece, edge, other, &there.edge);
            let Some(from) = called(other, &there.edge, at_start, |_| true) else { continue };
            let place = Place::along(there.edge.clone(), from, Length::from_mm(distance.clamp(0.0, other_length)));
            levels.push(Level { piece: there.piece, at: place });
        }
    }
    Ok(levels)
}
