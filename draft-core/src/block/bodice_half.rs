//! One half of the bodice as it is in the draft, darts closed, to draft collars and facings to.

use kurbo::{BezPath, Point, Vec2};

use super::sides;
use crate::geometry::{self, end, end_tangent, start};
use crate::laid::{Ray, Run};
use crate::{Draft, DraftError, Name, Piece, Role};

/// An edge that is drawn in by more than this can't be traced; less is eased as any seam is. Millimetres, our own.
const EASED_MM: f64 = 15.0;

/// Front or back: edges from the centre round to the side, as one run.
pub struct Half<'a> {
    /// The piece at the centre.
    pub centre: &'a Piece,
    /// The piece at the side; the same where there is only one.
    pub outer: &'a Piece,
    /// Name of the centre edge.
    pub centre_edge: &'static str,
    /// The edges laid together.
    pub run: Run,
}

/// The front or back half up to the end of an edge: `shoulder`, `armhole` or `side seam`.
///
/// # Errors
/// There is no bodice yet, or it has no such edge.
pub fn half<'a>(draft: &'a Draft, which: &'static str, up_to: &'static str, for_what: &str) -> Result<Half<'a>, DraftError> {
    let (side, centre_edge) = if which == "front" { ("side front", "centre front") } else { ("side back", "centre back") };
    if is_strapless(draft) {
        return Err(strapless(for_what));
    }
    if sides::is_sided(draft) {
        return Err(sides::refused(for_what));
    }
    let missing = |what: &str| {
        DraftError::new(
            for_what,
            format!("there is no {which} with a {what} to draft it to"),
            format!("Draft a bodice with a {what} first, above the {for_what} in the work list."),
        )
    };
    let centre = draft.piece(which).ok_or_else(|| missing("neckline"))?;
    let outer = draft.piece(side).unwrap_or(centre);
    let has = |piece: &Piece, edge: &str| piece.edge(edge).is_some();
    for edge in ["neckline", "shoulder"] {
        if !has(centre, edge) {
            return Err(missing(edge));
        }
    }
    let on_the_way: &[&str] = match up_to {
        "shoulder" => &["neckline", "shoulder"],
        "armhole" => &["neckline", "shoulder", "armhole"],
        _ => &["neckline", "shoulder", "armhole", "side seam"],
    };
    if let Some(edge) = on_the_way.iter().find(|e| [centre, outer].iter().any(|p| p.taken_up_mm(e) > EASED_MM)) {
        return Err(DraftError::new(
            format!("{for_what} / {edge}"),
            format!("the {edge} of the {which} is gathered, and can't be traced as it will lie"),
            "Let the bodice have a bust dart while this is drafted, sewn as a dart.",
        ));
    }
    let run = if std::ptr::eq(centre, outer) || (up_to == "shoulder" && !has(outer, "shoulder")) {
        Run::closed(centre, centre_edge, up_to)
    } else {
        // The panels meet at the shoulder, or in the armhole.
        let joint = if has(outer, "shoulder") { "shoulder" } else { "armhole" };
        let inner = Run::closed(centre, centre_edge, joint);
        inner.zip(Run::closed(outer, joint, up_to)).and_then(|(inner, outer)| inner.continued(outer))
    };
    Ok(Half { centre, outer, centre_edge, run: run.ok_or_else(|| missing(up_to))? })
}

/// Whether the bodice has a top edge in the place of neckline, shoulders and armholes.
pub fn is_strapless(draft: &Draft) -> bool {
    ["front", "left front"].iter().any(|n| draft.piece(n).is_some_and(|p| p.edge("top edge").is_some()))
}

/// Why nothing that needs a neckline or an armhole can be drafted to a strapless bodice.
pub fn strapless(for_what: &str) -> DraftError {
    DraftError::new(
        for_what,
        "the bodice is strapless: it has no neckline and no armhole",
        format!("Choose \"shoulders\" at \"Top of the bodice\", or switch the {for_what} off in the work list."),
    )
}

impl Half<'_> {
    /// An edge, darts closed.
    ///
    /// # Errors
    /// It is not there.
    pub fn edge(&self, name: &str) -> Result<BezPath, DraftError> {
        self.run.edge(name).filter(|p| geometry::length(p) > 1.0).ok_or_else(|| {
            DraftError::new(self.centre.name().to_string(), format!("has no {name} that can be followed"), "Draft the bodice again.")
        })
    }

    /// From the neckline down the centre.
    ///
    /// # Errors
    /// The centre edge is not there.
    pub fn down_the_centre(&self) -> Result<Vec2, DraftError> {
        Ok(-end_tangent(&self.edge(self.centre_edge)?))
    }

    /// From the neck point straight to the shoulder point, darts closed.
    ///
    /// # Errors
    /// The shoulder is not there.
    pub fn shoulder(&self) -> Result<(Ray, f64), DraftError> {
        let path = self.edge("shoulder")?;
        let (a, b) = (start(&path).unwrap_or(Point::ZERO), end(&path).unwrap_or(Point::ZERO));
        Ok((Ray { at: a, along: b - a }, a.distance(b)))
    }

    /// Whether the half opens at its centre, and the allowance there.
    pub fn opening(&self) -> (bool, f64) {
        self.centre.edge(self.centre_edge).map_or((false, 0.0), |e| (e.role == Role::Opening, e.allowance_mm))
    }

    /// Its pieces, the centre one first.
    pub fn pieces(&self) -> impl Iterator<Item = &'_ Piece> {
        std::iter::once(self.centre).chain((!std::ptr::eq(self.centre, self.outer)).then_some(self.outer))
    }

    /// Names of its pieces, the centre one first.
    pub fn names(&self) -> Vec<Name> {
        self.pieces().map(|p| p.name().clone()).collect()
    }
}
