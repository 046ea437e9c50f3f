//! What a work list has made so far: pieces, the seams between them, and what was promised of them.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use crate::{EdgeRun, Measurement, Message, Name, Piece, Seam, Shared, geometry};

/// A stretch that is measured on the pieces.
#[derive(Clone, Debug, PartialEq)]
pub enum Span {
    /// Along an edge, all its parts, as often as the run says; where it is gathered, drawn in.
    Edge(EdgeRun),
    /// Straight between two named points of a piece.
    Between {
        /// The piece.
        piece: Name,
        /// From this point …
        from: Name,
        /// … to this one.
        to: Name,
        /// How often it counts: twice for a half piece.
        times: f64,
    },
    /// Straight between points of two pieces, the second laid onto the first: its `laid` point on the `fixed` one,
    /// and from there in the same direction. Both may be the same piece with a dart open between.
    Laid {
        /// Piece and point to measure from, on the piece that stays.
        from: (Name, Name),
        /// Piece and point to measure to, on the piece that is laid.
        to: (Name, Name),
        /// On the piece that stays: where it is laid, and the point that gives the direction.
        fixed: (Name, Name, Name),
        /// The same on the piece that is laid.
        laid: (Name, Name, Name),
        /// How often it counts.
        times: f64,
    },
    /// Along a line marked inside a piece.
    Marked {
        /// The piece.
        piece: Name,
        /// The line.
        line: Name,
        /// How often it counts.
        times: f64,
    },
    /// Cloth that is folded away in pleats before it is measured, millimetres.
    Folded(f64),
}

impl Span {
    /// Straight between two points, counted `times` over.
    pub fn between(piece: &Name, from: &str, to: &str, times: f64) -> Self {
        Self::Between { piece: piece.clone(), from: from.into(), to: to.into(), times }
    }
}

impl Span {
    /// The same stretch on pieces of other names, counted `by` times as often.
    #[must_use]
    pub fn renamed(&self, name: impl Fn(&Name) -> Name, by: f64) -> Self {
        match self {
            Self::Edge(run) => Self::Edge(EdgeRun { piece: name(&run.piece), edge: run.edge.clone(), times: by * run.times }),
            Self::Between { piece, from, to, times } => {
                Self::Between { piece: name(piece), from: from.clone(), to: to.clone(), times: by * times }
            }
            Self::Marked { piece, line, times } => Self::Marked { piece: name(piece), line: line.clone(), times: by * times },
            Self::Folded(mm) => Self::Folded(by * mm),
            Self::Laid { from, to, fixed, laid, times } => {
                let two = |of: &(Name, Name)| (name(&of.0), of.1.clone());
                let three = |of: &(Name, Name, Name)| (name(&of.0), of.1.clone(), of.2.clone());
                Self::Laid { from: two(from), to: two(to), fixed: three(fixed), laid: three(laid), times: by * times }
            }
        }
    }

    /// Whether it is measured on a piece whose name is one of these.
    pub(crate) fn touches(&self, own: &impl Fn(&Name) -> bool) -> bool {
        match self {
            Self::Edge(run) => own(&run.piece),
            Self::Between { piece, .. } | Self::Marked { piece, .. } => own(piece),
            Self::Laid { from, to, fixed, laid, .. } => [&from.0, &to.0, &fixed.0, &laid.0].into_iter().any(own),
            Self::Folded(_) => false,
        }
    }
}

/// A girth that the draft promises: what the body measures there, the ease, and where to measure it again.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// `neck`, `bust`, `waist`, …
    pub name: &'static str,
    /// The body, millimetres.
    pub body_mm: f64,
    /// The ease asked for, millimetres.
    pub ease_mm: f64,
    /// Stretches whose sum is the finished girth.
    pub spans: Vec<Span>,
}

/// A level with its finished girth, measured on the pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct Girth {
    /// `neck`, `bust`, `waist`, …
    pub level: &'static str,
    /// The body, millimetres.
    pub body_mm: f64,
    /// The ease asked for, millimetres.
    pub ease_mm: f64,
    /// What the pieces measure, millimetres.
    pub finished_mm: f64,
}

/// A length that must come out on the finished pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct Promise {
    /// What it is, as the maker would say it: `front: side neck point to waist over bust`.
    pub what: String,
    /// Asked for, millimetres.
    pub asked_mm: f64,
    /// Stretches whose sum must give it.
    pub spans: Vec<Span>,
}

/// A corner that must have a certain angle, alone or sewn to others.
#[derive(Clone, Debug, PartialEq)]
pub struct Corner {
    /// What it is: `neckline at the shoulder seam`.
    pub what: String,
    /// Piece, edge arriving and edge leaving as the outline runs; the inner angles add up.
    pub of: Vec<(Name, Name, Name)>,
    /// Degrees asked for.
    pub degrees: f64,
    /// Degrees by which it may be off.
    pub within: f64,
}

/// A measurement that was not used as it was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Used {
    /// Which.
    pub which: Measurement,
    /// Measured, millimetres or degrees.
    pub measured: f64,
    /// Used instead.
    pub used: f64,
}

/// A dart's share of a bust shape and other numbers of a bodice that later works and checks ask for.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is: `bust dart`, `posture`, `armhole width`.
    pub what: &'static str,
    /// Its value, millimetres or degrees.
    pub value: f64,
    /// Least and most that a sound draft has.
    pub range: (f64, f64),
    /// Whether it is an angle in degrees, else millimetres.
    pub is_angle: bool,
}

/// Something that a work needs beside cloth.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Notion {
    /// What it is: `zip`, `bone`, `button`.
    pub what: String,
    /// How many.
    pub count: u32,
    /// How long each is, millimetres.
    pub length_mm: Option<f64>,
    /// What each covers.
    pub covers: Option<Covered>,
    /// From one to the next where they stand in a row, millimetres.
    pub spacing_mm: Option<f64>,
    /// Where it goes.
    pub place: String,
}

/// A part of a piece that is worked on: embroidered, beaded, appliquéd.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Covered {
    /// Across the grain, millimetres.
    pub wide_mm: f64,
    /// Along the grain, millimetres.
    pub high_mm: f64,
    /// Between the seam lines, or inside the marked line; square millimetres.
    pub area_mm2: f64,
}

/// Pieces, and which edges are sewn together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Draft {
    /// The pieces, in the order in which they were made.
    pub pieces: Vec<Arc<Piece>>,
    /// The seams.
    pub seams: Shared<Seam>,
    /// The girths promised.
    pub levels: Shared<Level>,
    /// The lengths promised.
    pub promises: Shared<Promise>,
    /// The angles promised.
    pub corners: Shared<Corner>,
    /// Numbers of the draft with their sound range.
    pub figures: Shared<Figure>,
    /// Measurements that gave way.
    pub used: Vec<Used>,
    /// What the works need beside cloth.
    pub notions: Vec<Notion>,
    /// By how much a fitting has changed what later blocks are drafted from, millimetres or degrees.
    pub adjusted: BTreeMap<Measurement, f64>,
    /// What the works said while drafting.
    pub messages: Shared<Message>,
}

impl Draft {
    /// The piece of this name.
    pub fn piece(&self, name: &str) -> Option<&Piece> {
        self.pieces.iter().find(|p| *p.name() == *name).map(|p| &**p)
    }

    /// Adds a piece, or puts it in the place of the one of the same name.
    pub fn put(&mut self, piece: Piece) {
        self.put_shared(Arc::new(piece));
    }

    /// The same for a piece that others have too.
    pub(crate) fn put_shared(&mut self, piece: Arc<Piece>) {
        match self.pieces.iter_mut().find(|p| p.name() == piece.name()) {
            Some(old) => *old = piece,
            None => self.pieces.push(piece),
        }
    }

    /// Puts pieces of another draft in the place of those that are just like them, so that what is known of them is still known.
    pub(crate) fn keep_same_pieces(&mut self, other: &Self) {
        let others: HashMap<&Name, &Arc<Piece>> = other.pieces.iter().map(|piece| (piece.name(), piece)).collect();
        for piece in &mut self.pieces {
            if let Some(other) = others.get(piece.name())
                && !Arc::ptr_eq(piece, other)
                && **piece == ***other
            {
                *piece = Arc::clone(other);
            }
        }
    }

    /// Takes away the pieces of these names, and every seam, girth, length and corner that stands on one of them: a
    /// block that is drafted again starts from here.
    pub fn forget(&mut self, own: impl Fn(&Name) -> bool) {
        self.pieces.retain(|p| !own(p.name()));
        self.seams.retain(|s| !s.a.iter().chain(&s.b).any(|r| own(&r.piece)));
        self.levels.retain(|l| !l.spans.iter().any(|s| s.touches(&own)));
        self.promises.retain(|p| !p.spans.iter().any(|s| s.touches(&own)));
        self.corners.retain(|c| !c.of.iter().any(|(piece, ..)| own(piece)));
    }

    /// Sum of some stretches on the pieces as they are; `None` when one is not there.
    pub fn measure_mm(&self, spans: &[Span]) -> Option<f64> {
        spans.iter().try_fold(0.0, |sum, span| {
            Some(
                sum + match span {
                    Span::Folded(mm) => -mm,
                    Span::Edge(run) => {
                        let (piece, edge) = (self.piece(run.piece.as_str())?, run.edge.as_str());
                        run.times * (piece.edge_length_mm(edge)? - piece.taken_up_mm(edge))
                    }
                    Span::Between { piece, from, to, times } => {
                        let piece = self.piece(piece.as_str())?;
                        times * piece.point(from.as_str())?.distance(piece.point(to.as_str())?)
                    }
                    Span::Laid { from, to, fixed, laid, times } => {
                        let at = |piece: &Name, point: &Name| self.piece(piece.as_str())?.point(point.as_str());
                        let (f0, f1) = (at(&fixed.0, &fixed.1)?, at(&fixed.0, &fixed.2)?);
                        let (l0, l1) = (at(&laid.0, &laid.1)?, at(&laid.0, &laid.2)?);
                        let turn = (f1 - f0).atan2() - (l1 - l0).atan2();
                        let to = geometry::turned(at(&to.0, &to.1)? + (f0 - l0), f0, turn);
                        times * at(&from.0, &from.1)?.distance(to)
                    }
                    Span::Marked { piece, line, times } => {
                        let piece = self.piece(piece.as_str())?;
                        times * geometry::length(&piece.lines().iter().find(|l| l.name == *line)?.path)
                    }
                },
            )
        })
    }

    /// Every promised girth, measured on the pieces.
    pub fn girths(&self) -> Vec<Girth> {
        self.levels
            .iter()
            .filter_map(|l| {
                let finished_mm = self.measure_mm(&l.spans)?;
                Some(Girth { level: l.name, body_mm: l.body_mm, ease_mm: l.ease_mm, finished_mm })
            })
            .collect()
    }
}
