//! Left and right drafted apart: each side in turn as if the body were alike on both, under plain names, and then put
//! together under the names of the sides.
//!
//! Pieces lie as they are cut, the right side of the cloth up. A front drafted outward from its centre is then the left
//! one, a back the right one, a sleeve the right one, and a facing, whose right side turns inward, the other way about.

use std::sync::Arc;

use crate::{Body, CutCount, Draft, DraftError, EdgeRun, Level, Measurement, Name, Piece, Role, Seam};

/// Side of the body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    Left,
    Right,
}

impl Side {
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// As it stands before the name of a piece.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    fn of(self, name: &Name) -> Name {
        format!("{} {name}", self.word()).into()
    }

    fn plain(self, name: &Name) -> Option<Name> {
        name.as_str().strip_prefix(self.word())?.strip_prefix(' ').map(Name::from)
    }

    /// Whether a piece of this plain name is turned over for this side.
    fn turns_over(self, plain: &Name) -> bool {
        let front = *plain == "front" || *plain == "side front" || plain.as_str().starts_with("front ");
        let facing = plain.as_str().contains("facing");
        let drafted_for = if front != facing { Self::Left } else { Self::Right };
        drafted_for != self
    }
}

/// Sides differ from here on where a block has no setting for it: 5 mm, 2 degrees.
pub const APART: (f64, f64) = (5.0, 2.0);

/// Levels of sleeves, which each side has of its own.
const OWN_LEVELS: [(&str, [&str; 2]); 4] = [
    ("upper arm", ["left upper arm", "right upper arm"]),
    ("elbow", ["left elbow", "right elbow"]),
    ("wrist", ["left wrist", "right wrist"]),
    ("sleeve hem", ["left sleeve hem", "right sleeve hem"]),
];

/// Whether the bodice is drafted in halves.
pub fn is_sided(draft: &Draft) -> bool {
    draft.piece("left back").is_some()
}

/// Why nothing that goes round the whole neck can be drafted to halves.
pub fn refused(for_what: &str) -> DraftError {
    DraftError::new(
        for_what,
        "left and right half of the bodice are drafted apart, and its neckline is not the same on both",
        "Raise \"Halves apart from\" at the bodice so that both are drafted alike, or model this piece on the muslin.",
    )
}

/// One side of a bodice in halves, under plain names; of any other draft all pieces.
pub fn one(draft: &Draft, side: Side) -> Draft {
    let mut out = Draft::default();
    for piece in &draft.pieces {
        match side.plain(piece.name()) {
            Some(plain) if side.turns_over(&plain) => out.put(piece.turned_over(plain)),
            Some(plain) => out.put(piece.renamed(plain)),
            None if !is_sided(draft) => out.pieces.push(Arc::clone(piece)),
            None => {}
        }
    }
    out
}

/// Drafts a block for both sides where they differ. `None` where they are alike.
///
/// # Errors
/// As the block.
pub fn each(
    body: &Body,
    of: &[Measurement],
    before: &Draft,
    draft: impl Fn(&Body, &Draft) -> Result<Draft, DraftError>,
) -> Option<Result<Draft, DraftError>> {
    if !is_sided(before) && body.sides_apart(of, APART.0, APART.1).is_empty() {
        return None;
    }
    let right = body.right_side();
    let mut halves = Vec::new();
    for (side, body) in [(Side::Left, body), (Side::Right, &right)] {
        let start = one(before, side);
        match draft(body, &start) {
            Ok(drafted) => halves.push((side, start, drafted)),
            Err(error) => return Some(Err(DraftError { place: format!("{} side: {}", side.word(), error.place), ..error })),
        }
    }
    Some(Ok(together(before, halves)))
}

/// What was drafted beyond the start.
fn new_pieces<'a>(start: &'a Draft, drafted: &'a Draft) -> impl Iterator<Item = &'a Piece> {
    drafted.pieces.iter().filter(|p| start.pieces.iter().all(|q| !Arc::ptr_eq(p, q))).map(|p| &**p)
}

/// Puts what was drafted for each side beyond where it started into the draft.
pub fn together(before: &Draft, halves: Vec<(Side, Draft, Draft)>) -> Draft {
    let mut draft = before.clone();
    let made: Vec<Name> = halves
        .iter()
        .flat_map(|(side, start, drafted)| {
            new_pieces(start, drafted).flat_map(|p| [side.of(p.name()), p.name().clone()]).collect::<Vec<_>>()
        })
        .collect();
    draft.forget(|name| made.contains(name));
    // Each with whether it is measured on both sides.
    let mut levels: Vec<(Level, bool)> = Vec::new();
    let mut said: Vec<(Side, crate::Message)> = Vec::new();
    for (side, start, drafted) in &halves {
        let (side, sided) = (*side, is_sided(before));
        let new: Vec<&Piece> = new_pieces(start, drafted).collect();
        let is_new = |n: &Name| new.iter().any(|p| p.name() == n);
        let name = |n: &Name| if sided || is_new(n) { side.of(n) } else { n.clone() };
        let run = |r: &EdgeRun| EdgeRun { piece: name(&r.piece), ..r.clone() };
        for piece in &new {
            draft.put(lone(piece, side));
            if let (Side::Left, Some(fold)) = (side, piece.fold()) {
                let run = |side: Side| EdgeRun::new(side.of(piece.name()), fold.name.clone());
                draft.seams.push(Seam::plain(run(Side::Left), run(Side::Right)));
            }
        }
        draft.seams.extend(drafted.seams.iter().map(|s| Seam {
            a: s.a.iter().map(run).collect(),
            b: s.b.iter().map(run).collect(),
            ease_mm: s.ease_mm,
        }));
        for level in &drafted.levels {
            let own = OWN_LEVELS.iter().find(|l| l.0 == level.name).map(|l| l.1[side as usize]);
            let by = if own.is_some() { 1.0 } else { 0.5 };
            let spans = level.spans.iter().map(|s| s.renamed(name, by));
            match levels.iter_mut().find(|(l, _)| own.is_none() && l.name == level.name) {
                // The other half of the girth.
                Some((whole, both)) => {
                    *both = true;
                    whole.spans.extend(spans);
                    whole.body_mm = (whole.body_mm + level.body_mm) / 2.0;
                    whole.ease_mm = (whole.ease_mm + level.ease_mm) / 2.0;
                }
                None => levels.push((Level { name: own.unwrap_or(level.name), spans: spans.collect(), ..*level }, own.is_some())),
            }
        }
        for promise in &drafted.promises {
            let mut promise = promise.clone();
            promise.what = format!("{}, {} side", promise.what, side.word());
            promise.spans = promise.spans.iter().map(|s| s.renamed(name, 1.0)).collect();
            draft.promises.push(promise);
        }
        for corner in &drafted.corners {
            let mut corner = corner.clone();
            corner.what = format!("{}, {} side", corner.what, side.word());
            // A piece that was turned over runs the other way about.
            corner.of = corner
                .of
                .iter()
                .map(|(piece, a, b)| {
                    let over = side.turns_over(piece) && (sided || is_new(piece));
                    let (a, b) = if over { (b, a) } else { (a, b) };
                    (name(piece), a.clone(), b.clone())
                })
                .collect();
            draft.corners.push(corner);
        }
        draft.figures.extend(drafted.figures.iter().cloned());
        for used in &drafted.used {
            if !draft.used.contains(used) {
                draft.used.push(*used);
            }
        }
        said.extend(drafted.messages.iter().map(|m| (side, m.clone())));
    }
    // A girth that only one side is drafted to, such as under the bust, is none.
    draft.levels.extend(levels.into_iter().filter(|l| l.1).map(|l| l.0));
    // What holds for both sides is said once.
    for (side, message) in &said {
        let both = said.iter().any(|(other, m)| other != side && m == message);
        if !both {
            let place = format!("{} side: {}", side.word(), message.place);
            draft.messages.push(crate::Message { place, ..message.clone() });
        } else if *side == Side::Left {
            draft.messages.push(message.clone());
        }
    }
    draft
}

/// A piece of one side: cut once, or as often as one side needs it.
fn lone(piece: &Piece, side: Side) -> Piece {
    let cut = piece.cut();
    let name = side.of(piece.name());
    // What would be whole on the fold has a seam there, for its halves differ.
    let allowance = piece.edges().iter().filter(|e| e.role == Role::Seam).map(|e| e.allowance_mm).fold(0.0, f64::max);
    let piece = if side.turns_over(piece.name()) { piece.turned_over(name) } else { piece.renamed(name) }.parted_at_the_fold(allowance);
    piece.to_cut(CutCount { count: if cut.pairs { (cut.count / 2).max(1) } else { cut.count }, pairs: false })
}

/// The seams down the centre, between the halves.
pub fn centre_seams(draft: &mut Draft) {
    for (half, edge) in [("front", "centre front"), ("back", "centre back")] {
        let run = |side: Side| EdgeRun::new(format!("{} {half}", side.word()), edge);
        let there = |r: &EdgeRun| draft.piece(r.piece.as_str()).and_then(|p| p.edge(edge)).is_some_and(|e| e.role != Role::Fold);
        let (left, right) = (run(Side::Left), run(Side::Right));
        if there(&left) && there(&right) {
            draft.seams.push(Seam::plain(left, right));
        }
    }
}
