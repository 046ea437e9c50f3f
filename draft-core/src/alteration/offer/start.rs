//! What is selected, and what there is round it.

use kurbo::{Point, Shape};

use crate::alteration::Side;
use crate::alteration::form::{pairs, shared_ends};
use crate::place::{end_names, frame, nearest};
use crate::{Dart, Draft, DraftError, Edge, Length, Name, Piece, Place, Role};

/// What is selected.
pub(super) struct Start<'a> {
    pub draft: &'a Draft,
    pub piece: Option<&'a Piece>,
    pub edge: Option<&'a Edge>,
}

/// Whether a line can begin or end there, or something be sewn.
fn usable(edge: &Edge) -> bool {
    edge.role != Role::DartLeg
}

impl<'a> Start<'a> {
    /// The piece that is selected if it will do, else the first that will.
    pub fn piece(&self, needs: &str, will_do: impl Fn(&Piece) -> bool) -> Result<&'a Piece, DraftError> {
        self.piece.filter(|p| will_do(p)).or_else(|| self.draft.pieces.iter().map(|p| &**p).find(|p| will_do(p))).ok_or_else(|| {
            let remedy = if self.draft.pieces.is_empty() { "Draft a block first." } else { "Choose another alteration." };
            DraftError::new("table", format!("no piece here {needs}"), remedy)
        })
    }

    /// Any piece.
    pub fn any_piece(&self) -> Result<&'a Piece, DraftError> {
        self.piece("is drafted yet", |_| true)
    }

    /// A piece with a dart, and its first dart.
    pub fn dart(&self) -> Result<(&'a Piece, &'a Dart), DraftError> {
        let piece = self.piece("has a dart", |p| !p.darts().is_empty())?;
        piece.darts().first().map(|dart| (piece, dart)).ok_or_else(|| no_edge(piece))
    }

    /// The edge of this piece that is selected if it will do, else the first in the order of the wishes, else the longest.
    pub fn edge_of(&self, piece: &'a Piece, wishes: &[&dyn Fn(&Edge) -> bool]) -> Result<&'a Edge, DraftError> {
        let own = self.edge.filter(|e| usable(e) && self.piece.is_some_and(|p| p.name() == piece.name()));
        let wished = || wishes.iter().find_map(|wish| piece.edges().iter().find(|e| usable(e) && wish(e)));
        let long = |e: &&Edge| piece.edge_length_mm(e.name.as_str()).unwrap_or(0.0);
        let longest = || piece.edges().iter().filter(|e| usable(e)).max_by(|a, b| long(a).total_cmp(&long(b)));
        own.or_else(wished).or_else(longest).and_then(|e| piece.edge(e.name.as_str())).ok_or_else(|| no_edge(piece))
    }

    /// Both edges of a seam: of the selected edge, else of the selected piece, else of any; single edges on both sides.
    pub fn seam(&self, likes: &str) -> Result<Vec<Side>, DraftError> {
        let sides = |seam: &crate::Seam| -> Option<[Side; 2]> {
            let ([a], [b]) = (&seam.a[..], &seam.b[..]) else { return None };
            let there =
                |run: &crate::EdgeRun| self.draft.piece(run.piece.as_str()).is_some_and(|p| p.edge(run.edge.as_str()).is_some_and(usable));
            let plain = (a.times - 1.0).abs() < 1e-9 && (b.times - 1.0).abs() < 1e-9;
            (plain && there(a) && there(b)).then(|| [a, b].map(|r| Side { piece: r.piece.clone(), edge: r.edge.clone() }))
        };
        let all: Vec<[Side; 2]> = self.draft.seams.iter().filter_map(sides).collect();
        let of_piece = |s: &&[Side; 2]| self.piece.is_some_and(|p| s.iter().any(|s| s.piece == *p.name()));
        let of_edge = |s: &&[Side; 2]| {
            of_piece(s) && self.edge.is_some_and(|e| s.iter().any(|s| s.edge == e.name && self.piece.is_some_and(|p| s.piece == *p.name())))
        };
        let liked = |s: &&[Side; 2]| s.iter().any(|s| s.edge.as_str().contains(likes));
        let found = all
            .iter()
            .find(of_edge)
            .or_else(|| all.iter().find(|s| of_piece(s) && liked(s)))
            .or_else(|| all.iter().find(of_piece))
            .or_else(|| all.iter().find(liked))
            .or_else(|| all.first());
        let [a, b] =
            found.cloned().ok_or_else(|| DraftError::new("table", "no seam joins two single edges here", "Draft a block first."))?;
        let first_is_selected = self.piece.is_none_or(|p| a.piece == *p.name());
        Ok(if a == b {
            vec![a]
        } else if first_is_selected {
            vec![a, b]
        } else {
            vec![b, a]
        })
    }

    /// The end that these edges share, one whose name holds one of the wishes if there is such.
    pub fn shared_end(&self, sides: &[Side], wishes: &[&str]) -> Name {
        let ends = shared_ends(self.draft, &pairs(sides));
        let wished = wishes.iter().find_map(|wish| ends.iter().find(|e| e.as_str().contains(wish)));
        wished.or_else(|| ends.first()).cloned().unwrap_or_else(|| "start".into())
    }

    /// A name that no piece has yet.
    pub fn unused(&self, name: &str) -> Name {
        let taken = |name: &str| self.draft.piece(name).is_some();
        numbered(name, taken)
    }
}

/// A name that nothing on the piece has yet.
pub(super) fn unused_on(piece: &Piece, name: &str) -> Name {
    numbered(name, |name| {
        piece.edge(name).is_some()
            || piece.point(name).is_some()
            || piece.lines().iter().any(|l| l.name == *name)
            || piece.darts().iter().any(|d| d.name == *name)
    })
}

fn numbered(name: &str, taken: impl Fn(&str) -> bool) -> Name {
    if !taken(name) {
        return name.into();
    }
    (2..).map(|n| format!("{name} {n}")).find(|n| !taken(n)).unwrap_or_default().into()
}

fn no_edge(piece: &Piece) -> DraftError {
    DraftError::new(piece.name().to_string(), "has no edge for this", "Choose another piece.")
}

/// Names of the ends of an edge: the one that is higher up along the grain first.
pub(super) fn upper_and_lower(piece: &Piece, edge: &Name) -> [Name; 2] {
    let [start, end] = end_names(piece, edge).unwrap_or_else(|| ["start".into(), "end".into()]);
    let Some((a, b)) = piece.edge_ends(edge.as_str()) else { return [start, end] };
    let (up, _) = frame(piece);
    if a.to_vec2().dot(up) >= b.to_vec2().dot(up) { [start, end] } else { [end, start] }
}

/// A share of an edge from its upper end, in whole millimetres.
pub(super) fn down(piece: &Piece, edge: &Name, share: f64) -> Place {
    let [upper, _] = upper_and_lower(piece, edge);
    let length = piece.edge_length_mm(edge.as_str()).unwrap_or(0.0);
    Place::along(edge.clone(), upper, Length::from_mm((length * share).round()))
}

/// The place that lies straight across the piece from another one, along the grain or across it: whichever is shorter.
pub(super) fn opposite(piece: &Piece, from: &Place, within: &[&Edge]) -> Option<Place> {
    let at = from.find(piece).ok()?;
    let own = nearest(piece, at)?.0.edge;
    let outline = piece.outline();
    let mut best: Option<(f64, Name, Point)> = None;
    for edge in piece.edges().iter().enumerate().filter(|(i, e)| *i != own && usable(e)).map(|(_, e)| e) {
        if !within.is_empty() && !within.iter().any(|e| e.name == edge.name) {
            continue;
        }
        for degrees in [0.0, 180.0, 90.0, 270.0] {
            let meets = Place::Meet { from: Box::new(from.clone()), degrees, edge: edge.name.clone() };
            let Ok(hit) = meets.find(piece) else { continue };
            let far = hit.distance(at);
            if far > 10.0 && outline.winding(at.midpoint(hit)) != 0 && best.as_ref().is_none_or(|b| far < b.0) {
                best = Some((far, edge.name.clone(), hit));
            }
        }
    }
    let (_, edge, hit) = best?;
    Some(on(piece, &edge, hit))
}

/// The place on an edge nearest to a point, from its upper end in whole millimetres.
pub(super) fn on(piece: &Piece, edge: &Name, at: Point) -> Place {
    let length = piece.edge_length_mm(edge.as_str()).unwrap_or(0.0);
    let steps = 400;
    let share = (0..=steps)
        .map(|i| f64::from(i) / f64::from(steps))
        .min_by(|a, b| {
            let far = |share: f64| piece.along_edge(edge.as_str(), share * length).map_or(f64::INFINITY, |(p, _)| p.distance(at));
            far(*a).total_cmp(&far(*b))
        })
        .unwrap_or(0.5);
    let [upper, _] = upper_and_lower(piece, edge);
    let from_start = crate::place::from_start(piece, edge, &upper).unwrap_or(true);
    let share = if from_start { share } else { 1.0 - share };
    Place::along(edge.clone(), upper, Length::from_mm((share * length).round().min(length)))
}

/// A place near the middle of the piece, off the middle of an edge, in whole millimetres.
pub(super) fn inside(piece: &Piece, edge: &Name) -> Place {
    let from = Place::share(edge.clone(), upper_and_lower(piece, edge)[0].clone(), 0.5);
    let (Ok(at), (up, right)) = (from.find(piece), frame(piece)) else { return from };
    let off = (piece.bounds().center() - at) * 0.8;
    from.off(off.dot(up).round(), off.dot(right).round())
}
