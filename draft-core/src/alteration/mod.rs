//! Alterations: what a maker does to pieces that are already drafted, one file each. Every one keeps only names and
//! numbers, so that it is replayed on any redraft and on any wearer.
//!
//! To add one: a file with its struct, what it keeps and changes and its source; a variant here; a law or a published
//! check in `tests/`; an example in the guide to works.

use std::sync::Arc;

use kurbo::{BezPath, ParamCurve, ParamCurveArclen, Point, Vec2};
use serde::{Deserialize, Serialize};

use crate::{Draft, DraftError, EdgeRun, Name, Piece, Seam, geometry};

mod across;
mod adjust;
mod band;
mod boning;
mod buttonholes;
mod copy;
mod cut;
mod ease;
mod fields;
mod finish;
pub mod form;
mod fullness;
mod gather_dart;
mod godet;
pub(crate) mod join;
mod join_darts;
mod lengthen;
mod mark;
mod move_dart;
pub mod offer;
mod open_seam;
mod panel_slit;
mod piecing;
mod pinch;
mod pleats;
mod redraw;
mod redraw_seam;
mod seam_darts;
mod separate;
mod sew_dart;
mod shape_dart;
mod slide_notch;
mod split_dart;
mod spread;
mod stay;
mod take_in;
mod trace;
mod trim;
mod trimming;
mod unfold;

pub use across::{Across, Becomes, Laid};
pub use adjust::{Adjust, Change};
pub use band::Band;
pub use boning::{Boning, Channel};
pub use buttonholes::Buttonholes;
pub use copy::{Copy, Traced};
pub use cut::Cut;
pub use ease::Ease;
pub use finish::Finish;
pub use fullness::Fullness;
pub use gather_dart::GatherDart;
pub use godet::Godet;
pub use join::Join;
pub use join_darts::JoinDarts;
pub use lengthen::{Lengthen, Level};
pub use mark::{Mark, Sign, across_seams};
pub use move_dart::MoveDart;
pub use open_seam::{OpenSeam, Opens, Vent};
pub use panel_slit::{PanelSlit, Top};
pub(crate) use piecing::Breadth;
pub use piecing::Piecing;
pub use pinch::Pinch;
pub use pleats::{Fold, Pleats};
pub use redraw::Redraw;
pub use redraw_seam::RedrawSeam;
pub use seam_darts::SeamDarts;
pub use separate::Separate;
pub use sew_dart::SewDart;
pub use shape_dart::ShapeDart;
pub(crate) use shape_dart::Standing;
pub use slide_notch::SlideNotch;
pub(crate) use slide_notch::in_order;
pub use split_dart::SplitDart;
pub use spread::{Opening, Slash, Spread};
pub use stay::Stay;
pub use take_in::{Amount, Side, TakeIn};
pub use trace::Trace;
pub use trim::Trim;
pub use trimming::{Part as TrimmedPart, Trimming};
pub use unfold::Unfold;

/// Every alteration.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Alteration {
    /// Another line for an edge.
    Redraw(Redraw),
    /// Another line for both edges of a seam.
    RedrawSeam(RedrawSeam),
    /// A piece in two along a line.
    Cut(Cut),
    /// A line drawn across pieces laid together.
    Across(Across),
    /// A slit, a vent, a zip or lacing in a seam.
    OpenSeam(OpenSeam),
    /// A slit in the middle of a piece.
    PanelSlit(PanelSlit),
    /// A seam taken in or let out.
    TakeIn(TakeIn),
    /// An edge trimmed at one end.
    Trim(Trim),
    /// Pieces lengthened or shortened at a level.
    Lengthen(Lengthen),
    /// A piece slashed and spread or overlapped.
    Spread(Spread),
    /// A piece spread evenly along an edge.
    Fullness(Fullness),
    /// A wedge folded out of an edge into a dart.
    Pinch(Pinch),
    /// Measurements changed for the blocks that follow.
    Adjust(Adjust),
    /// A dart moved to another edge.
    MoveDart(MoveDart),
    /// A new dart.
    SewDart(SewDart),
    /// A dart longer, wider or turned aside.
    ShapeDart(ShapeDart),
    /// A dart shared between two places.
    SplitDart(SplitDart),
    /// A dart added to another.
    JoinDarts(JoinDarts),
    /// A dart let out into gathers.
    GatherDart(GatherDart),
    /// Two darts taken into a seam.
    SeamDarts(SeamDarts),
    /// An edge eased or gathered into its partner.
    Ease(Ease),
    /// Pleats or tucks.
    Pleats(Pleats),
    /// A godet in a seam.
    Godet(Godet),
    /// Two pieces as one.
    Join(Join),
    /// A half piece opened out.
    Unfold(Unfold),
    /// A panel wider than the cloth, with a seam on the straight grain.
    Piecing(Piecing),
    /// Left and right made apart.
    Separate(Separate),
    /// A facing or another band along an edge.
    Band(Band),
    /// Pieces traced off as they are.
    Copy(Copy),
    /// Part of a piece traced off.
    Trace(Trace),
    /// What happens at an edge.
    Finish(Finish),
    /// Something marked.
    Mark(Mark),
    /// A notch slid along its edge.
    SlideNotch(SlideNotch),
    /// Buttonholes at even spacing.
    Buttonholes(Buttonholes),
    /// Boning channels.
    Boning(Boning),
    /// A tape that stays edges, or elastic that draws them in.
    Stay(Stay),
    /// A trim or embroidery on part of a piece.
    Trimming(Trimming),
}

/// Calls the same function of whichever alteration it is.
macro_rules! of_each {
    ($alteration:expr, $one:ident => $call:expr) => {
        match $alteration {
            Alteration::Redraw($one) => $call,
            Alteration::RedrawSeam($one) => $call,
            Alteration::Cut($one) => $call,
            Alteration::Across($one) => $call,
            Alteration::OpenSeam($one) => $call,
            Alteration::PanelSlit($one) => $call,
            Alteration::TakeIn($one) => $call,
            Alteration::Trim($one) => $call,
            Alteration::Lengthen($one) => $call,
            Alteration::Spread($one) => $call,
            Alteration::Fullness($one) => $call,
            Alteration::Pinch($one) => $call,
            Alteration::Adjust($one) => $call,
            Alteration::MoveDart($one) => $call,
            Alteration::SewDart($one) => $call,
            Alteration::ShapeDart($one) => $call,
            Alteration::SplitDart($one) => $call,
            Alteration::JoinDarts($one) => $call,
            Alteration::GatherDart($one) => $call,
            Alteration::SeamDarts($one) => $call,
            Alteration::Ease($one) => $call,
            Alteration::Pleats($one) => $call,
            Alteration::Godet($one) => $call,
            Alteration::Join($one) => $call,
            Alteration::Unfold($one) => $call,
            Alteration::Piecing($one) => $call,
            Alteration::Separate($one) => $call,
            Alteration::Band($one) => $call,
            Alteration::Copy($one) => $call,
            Alteration::Trace($one) => $call,
            Alteration::Finish($one) => $call,
            Alteration::Mark($one) => $call,
            Alteration::SlideNotch($one) => $call,
            Alteration::Buttonholes($one) => $call,
            Alteration::Boning($one) => $call,
            Alteration::Stay($one) => $call,
            Alteration::Trimming($one) => $call,
        }
    };
}

impl Alteration {
    /// What it is, in a few words: `cut the yoke from the front`.
    pub fn what(&self) -> String {
        of_each!(self, one => one.what())
    }

    /// Does it.
    ///
    /// # Errors
    /// A piece, an edge or a place is not there, or the change would not give a piece that can be cut. The draft given
    /// is untouched.
    pub fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let mut after = of_each!(self, one => one.apply(draft))?;
        let is_new = |new: &&Arc<Piece>| !draft.pieces.iter().any(|old| Arc::ptr_eq(old, new));
        for piece in after.pieces.iter().filter(is_new) {
            if let Some((a, b)) = piece.crossing() {
                let (a, b) = (&a.name, &b.name);
                let problem = if a == b { format!("its {a} would cross itself") } else { format!("its {a} would cross its {b}") };
                return Err(DraftError::new(piece.name().to_string(), problem, "Choose another line or a smaller change."));
            }
        }
        after.settle(draft);
        Ok(after)
    }
}

/// The piece of this name.
fn piece<'a>(draft: &'a Draft, name: &Name) -> Result<&'a Piece, DraftError> {
    draft.piece(name.as_str()).ok_or_else(|| {
        let names: Vec<&str> = draft.pieces.iter().map(|p| p.name().as_str()).collect();
        DraftError::new(
            name.to_string(),
            "there is no piece of this name",
            if names.is_empty() { "Draft a block first.".to_owned() } else { format!("Choose one of: {}.", names.join(", ")) },
        )
    })
}

/// Refuses a name that a piece already has.
fn unused(draft: &Draft, name: &Name) -> Result<(), DraftError> {
    if name.as_str().trim().is_empty() {
        return Err(DraftError::new("new piece", "has no name", "Give it one."));
    }
    match draft.piece(name.as_str()) {
        None => Ok(()),
        Some(_) => Err(DraftError::new(name.to_string(), "there already is a piece of this name", "Give the new piece another name.")),
    }
}

/// A draft with one piece altered.
fn with(draft: &Draft, piece: Piece) -> Draft {
    let mut after = draft.clone();
    let name = piece.name().clone();
    after.replace(&name, vec![piece]);
    after
}

/// A plain seam between edges of two pieces.
fn sewn(a: &Name, edge_a: &Name, b: &Name, edge_b: &Name) -> Seam {
    Seam::plain(EdgeRun::new(a.clone(), edge_a.clone()), EdgeRun::new(b.clone(), edge_b.clone()))
}

/// Refuses an edge name that a piece already has.
fn unique_edge(piece: &Piece, edge: &Name) -> Result<(), DraftError> {
    match piece.edge(edge.as_str()) {
        None => Ok(()),
        Some(_) => {
            Err(DraftError::new(piece.name().to_string(), format!("already has an edge named {edge}"), "Give the new edge another name."))
        }
    }
}

/// Point and direction at a distance along a path.
fn point_on(path: &BezPath, at_mm: f64) -> Option<(Point, Vec2)> {
    let mut left = at_mm.max(0.0);
    let mut found = None;
    for seg in path.segments() {
        let length = geometry::segment_length(&seg);
        let t = if left <= length { seg.inv_arclen(left, 1e-10) } else { 1.0 };
        found = Some((seg.eval(t), geometry::tangent(&seg, t)));
        if left <= length {
            return found;
        }
        left -= length;
    }
    found
}
