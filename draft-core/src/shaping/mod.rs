//! Shaping by hand: what of a piece can be taken hold of on the table, and the work that a drag of it is.
//!
//! A drag becomes a work of names and numbers, so that it is replayed on any redraft. Where the last work of the list already
//! shapes the same thing, that work is changed; else a new one is added.

mod dart;
mod edge;
mod flare;
mod notch;

use std::sync::Arc;

use kurbo::{Affine, BezPath, Point, Vec2};

use self::edge::EdgeLine;
use crate::alteration::{MoveDart, Redraw, RedrawSeam, ShapeDart, Side, join};
use crate::pinned::partner;
use crate::{Alteration, Built, Draft, DraftError, Name, Piece, Role, Work, WorkEntry};

/// Something on a piece that can be taken hold of.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Grip {
    /// A joint of an edge's line, its ends counted, from 0 as the outline runs.
    Joint {
        /// The edge.
        edge: Name,
        /// Which joint.
        nth: usize,
    },
    /// A handle of an edge's line, from 0 as the outline runs.
    Handle {
        /// The edge.
        edge: Name,
        /// Which handle.
        nth: usize,
    },
    /// The point of a dart: longer, shorter, aside.
    Tip(Name),
    /// The mouth of a dart: to another place.
    Mouth(Name),
    /// A corner of a dart's mouth: wider, narrower.
    Leg {
        /// The dart.
        dart: Name,
        /// Whether it is the corner from which the outline goes on.
        second: bool,
    },
    /// A notch of an edge, from 0 as the outline runs.
    Notch {
        /// The edge.
        edge: Name,
        /// Which notch.
        nth: usize,
    },
    /// The corner of a seam at the hem: more flare, less flare.
    Flare {
        /// The seam's edge.
        edge: Name,
    },
}

impl Grip {
    /// The dart that it shapes, if it is one.
    pub const fn dart(&self) -> Option<&Name> {
        match self {
            Self::Tip(dart) | Self::Mouth(dart) | Self::Leg { dart, .. } => Some(dart),
            _ => None,
        }
    }
}

/// A thing to take hold of, and where it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// What it is.
    pub grip: Grip,
    /// Where it is on the piece.
    pub at: Point,
    /// The joint that a handle belongs to; for the mouth of a dart, its point.
    pub stem: Option<Point>,
    /// What it is called, as a screen reader says it.
    pub name: String,
}

/// The work that a drag is.
#[derive(Clone, Debug, PartialEq)]
pub struct Reworked {
    /// Which work of the list it takes the place of, from 0; `None` for a new one at the end.
    pub at: Option<usize>,
    /// The alteration.
    pub alteration: Alteration,
}

/// What can be taken hold of on a piece: on one of its edges, or, where none is given, its darts, notches and flare.
pub fn holds(works: &[WorkEntry], built: &Built, name: &Name, edge: Option<&Name>) -> Vec<Hold> {
    let Some(piece) = built.draft.piece(name.as_str()) else { return Vec::new() };
    match edge {
        Some(edge) if piece.edge(edge.as_str()).is_none_or(|e| e.role == Role::DartLeg) => {
            let of = |d: &&crate::Dart| d.leg_a == *edge || d.leg_b == *edge;
            let dart = piece.darts().iter().find(of).map(|d| &d.name);
            dart::holds(piece).into_iter().filter(|h| h.grip.dart() == dart && dart.is_some()).collect()
        }
        Some(edge) => {
            let base = Base::of(works, built, |a| shapes_edge(a, name, edge));
            let line = base.and_then(|base| base.line(name, piece, edge));
            let mut out = line.map_or_else(Vec::new, |line| line.holds());
            out.extend(notch::holds(piece).into_iter().filter(|h| matches!(&h.grip, Grip::Notch { edge: e, .. } if e == edge)));
            out
        }
        None => {
            let mut out = dart::holds(piece);
            out.extend(flare::holds(piece));
            out.extend(notch::holds(piece));
            out
        }
    }
}

/// A thing that is held, from the moment it is taken up until it is let go.
#[derive(Clone, Debug)]
pub struct Held {
    on: Name,
    grip: Grip,
    base: Base,
    /// The line of the edge that is held.
    line: Option<EdgeLine>,
}

/// What a drag is done on: the draft before its work, and that work where it is in the list already.
#[derive(Clone, Debug)]
struct Base {
    at: Option<usize>,
    before: Arc<Draft>,
    now: Arc<Draft>,
    last: Option<Alteration>,
}

impl Base {
    /// The last work is changed where it shapes the same thing already, was done, and is the garment's own.
    fn of(works: &[WorkEntry], built: &Built, same: impl Fn(&Alteration) -> bool) -> Option<Self> {
        let now = Arc::clone(&built.draft);
        let last = works.len().checked_sub(1).and_then(|i| {
            let entry = &works[i];
            let Work::Alter(alteration) = &entry.work else { return None };
            let done = entry.on && entry.from.is_none() && built.outcomes.get(i)?.skipped.is_none();
            let before = built.after.get(i.checked_sub(1)?)?;
            (done && same(alteration)).then(|| (i, Arc::clone(before), Alteration::clone(alteration)))
        });
        Some(match last {
            Some((i, before, last)) => Self { at: Some(i), before, now, last: Some(last) },
            None => Self { at: None, before: Arc::clone(&now), now, last: None },
        })
    }

    fn piece(&self, name: &Name) -> Option<&Arc<Piece>> {
        self.before.pieces.iter().find(|p| p.name() == name)
    }

    fn line(&self, name: &Name, now: &Piece, edge: &Name) -> Option<EdgeLine> {
        let drawn = match &self.last {
            Some(Alteration::Redraw(w)) => Some(&w.line),
            Some(Alteration::RedrawSeam(w)) => Some(&w.line),
            _ => None,
        };
        EdgeLine::of(self.piece(name)?, now, edge, drawn)
    }
}

fn shapes_edge(alteration: &Alteration, piece: &Name, edge: &Name) -> bool {
    match alteration {
        Alteration::Redraw(w) => w.piece == *piece && w.edge == *edge,
        Alteration::RedrawSeam(w) => w.piece == *piece && w.edge == *edge,
        _ => false,
    }
}

impl Held {
    /// Takes hold of something. `None` when it is not there or can't be shaped.
    pub fn take(works: &[WorkEntry], built: &Built, piece: &Name, grip: &Grip) -> Option<Self> {
        let now = built.draft.piece(piece.as_str())?;
        let base = Base::of(works, built, |alteration| match (grip, alteration) {
            (Grip::Joint { edge, .. } | Grip::Handle { edge, .. }, a) => shapes_edge(a, piece, edge),
            (Grip::Tip(dart) | Grip::Leg { dart, .. }, Alteration::ShapeDart(ShapeDart { piece: p, dart: d, .. }))
            | (Grip::Mouth(dart), Alteration::MoveDart(MoveDart { piece: p, dart: d, .. })) => p == piece && d == dart,
            (Grip::Notch { edge, nth }, a) => notch::is_of(&built.draft, a, piece, edge, *nth),
            (Grip::Flare { edge }, Alteration::TakeIn(take_in)) => flare::is_of(take_in, piece, edge),
            _ => false,
        })?;
        let line = match grip {
            Grip::Joint { edge, .. } | Grip::Handle { edge, .. } => Some(base.line(piece, now, edge)?),
            _ => None,
        };
        Some(Self { on: piece.clone(), grip: grip.clone(), base, line })
    }

    /// The piece that is held.
    pub const fn piece(&self) -> &Name {
        &self.on
    }

    /// What of it is held.
    pub const fn grip(&self) -> &Grip {
        &self.grip
    }

    /// The work before which the pieces are shown as a pale line, from 0 among those of the list.
    pub fn work(&self, count: usize) -> usize {
        self.base.at.unwrap_or(count)
    }

    /// The work that it is once it has been dragged on its piece, millimetres; with `both`, an edge takes the one that is sewn to
    /// it along. `None` when nothing changes.
    pub fn dragged(&self, by: Vec2, both: bool) -> Option<Reworked> {
        let Self { on, grip, base, line } = self;
        let alteration = match grip {
            Grip::Joint { edge, nth } => self.redrawn(edge, line.as_ref()?.with_joint(*nth, by)?, both),
            Grip::Handle { edge, nth } => self.redrawn(edge, line.as_ref()?.with_handle(*nth, by)?, both),
            Grip::Tip(name) => dart::tip(base.piece(on)?, name, base.last.as_ref(), by)?,
            Grip::Leg { dart: name, second } => dart::leg(base.piece(on)?, name, *second, base.last.as_ref(), by)?,
            Grip::Mouth(name) => dart::mouth(base.piece(on)?, name, base.last.as_ref(), by)?,
            Grip::Notch { edge, nth } => notch::slid(base, on, edge, *nth, by)?,
            Grip::Flare { edge } => flare::flared(base, on, edge, by)?,
        };
        (base.last.as_ref() != Some(&alteration)).then_some(Reworked { at: base.at, alteration })
    }

    /// The work that puts one more point on the edge that is held, where it comes nearest to a point of the piece, and which
    /// joint that is; the edge keeps its form. `None` where there is a point already.
    pub fn with_point_at(&self, at: Point, both: bool) -> Option<(Reworked, usize)> {
        let (line, nth) = self.line.as_ref()?.with_point_at(at)?;
        Some((self.reworked(line, both)?, nth))
    }

    /// The same in the middle of the stretch after the joint that is held.
    pub fn with_point_after(&self, both: bool) -> Option<(Reworked, usize)> {
        let Grip::Joint { nth, .. } = &self.grip else { return None };
        let (line, nth) = self.line.as_ref()?.with_point_after(*nth)?;
        Some((self.reworked(line, both)?, nth))
    }

    /// The work that takes the joint that is held out of its edge: one curve takes the place of the two that meet there.
    /// `None` for an end of the edge, and where a dart stands between.
    pub fn without_point(&self, both: bool) -> Option<Reworked> {
        let Grip::Joint { nth, .. } = &self.grip else { return None };
        self.reworked(self.line.as_ref()?.without_point(*nth)?, both)
    }

    fn reworked(&self, line: crate::DrawnLine, both: bool) -> Option<Reworked> {
        let Grip::Joint { edge, .. } = &self.grip else { return None };
        Some(Reworked { at: self.base.at, alteration: self.redrawn(edge, line, both) })
    }

    /// Why a drag can't be done, if it can't.
    pub fn refusal(&self, reworked: &Reworked) -> Option<DraftError> {
        reworked.alteration.apply(&self.base.before).err()
    }

    fn redrawn(&self, edge: &Name, line: crate::DrawnLine, both: bool) -> Alteration {
        let (piece, edge) = (self.on.clone(), edge.clone());
        let other = partner(&self.base.before, &piece, &edge).filter(|s| both && !(s.piece == piece && s.edge == edge));
        match other {
            Some(other) => Alteration::RedrawSeam(RedrawSeam { piece, edge, line, other }),
            None => Alteration::Redraw(Redraw { piece, edge, line }),
        }
    }
}

/// A length in halves of a millimetre.
fn half(mm: f64) -> f64 {
    (mm * 2.0).round() / 2.0
}

/// Whether an edge is sewn to one single other edge, so that both can be shaped together.
pub fn has_partner(draft: &Draft, piece: &Name, edge: &Name) -> bool {
    let leg = draft.piece(piece.as_str()).and_then(|p| p.edge(edge.as_str())).is_none_or(|e| e.role == Role::DartLeg);
    !leg && partner(draft, piece, edge).is_some_and(|s| !(s.piece == *piece && s.edge == *edge))
}

/// The edge that is sewn to this one, laid on it as they are sewn; in the coordinates of the piece.
pub fn partner_line(draft: &Draft, piece: &Name, edge: &Name) -> Option<BezPath> {
    let other = partner(draft, piece, edge)?;
    let (own, there) = (draft.piece(piece.as_str())?, draft.piece(other.piece.as_str())?);
    let laid = join::lay(own, edge, there, &other.edge).ok()?;
    let mut path = BezPath::new();
    for part in there.edge_parts(other.edge.as_str()) {
        path.extend((laid.map * part.path.clone()).elements().iter().copied());
    }
    Some(path)
}

/// The mirror in which the other half of a piece on the fold is seen.
pub fn mirror(piece: &Piece) -> Option<Affine> {
    let (a, b) = piece.edge_ends(piece.fold()?.name.as_str())?;
    let turn = (b - a).atan2();
    Some(Affine::translate(a.to_vec2()) * Affine::rotate(turn) * Affine::FLIP_Y * Affine::rotate(-turn) * Affine::translate(-a.to_vec2()))
}

/// Both edges of a seam, the one that is meant first; one alone where it is not sewn to a single other edge.
fn seam_sides(draft: &Draft, piece: &Name, edge: &Name) -> Vec<Side> {
    let own = Side { piece: piece.clone(), edge: edge.clone() };
    match partner(draft, piece, edge) {
        Some(other) if other != own => vec![own, other],
        _ => vec![own],
    }
}

/// Whether an edge is among the sides of a work.
fn same_sides(a: &[Side], piece: &Name, edge: &Name) -> bool {
    a.iter().any(|s| s.piece == *piece && s.edge == *edge)
}
