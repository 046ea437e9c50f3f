//! Works that piece a panel which is wider than the cloth.

use kurbo::Shape as _;

use super::TooWide;
use crate::alteration::{Breadth, Piecing};
use crate::{Alteration, Draft, DraftError, Length, Name, Piece, allowance};

/// Allowance on each side of a piecing seam, millimetres (common practice: 5/8 in).
pub(super) const ALLOWANCE_MM: f64 = 15.0;
/// What is joined on is at least so wide where there is the choice, millimetres.
const LEAST_MM: f64 = 80.0;
/// Room for what other allowances of a layer may add, millimetres.
const SPARE_MM: f64 = 1.0;
/// Widths that are tried, from as wide as the cloth allows to half of that.
const TRIES: u32 = 40;
/// More seams than this piece nothing that anyone would sew.
const MOST: usize = 8;

/// Piecing seams on the straight grain until every part fits across the cloth; each is one work, to be done in order.
///
/// # Errors
/// The cloth leaves no room for a part with its allowances, or the grain crosses the outline more than twice.
pub fn piecing(draft: &Draft, wide: &TooWide) -> Result<Vec<Alteration>, DraftError> {
    let mut works = Vec::new();
    let mut after = draft.clone();
    let mut name = wide.piece.clone();
    for nth in 1..=MOST {
        let Some(piece) = after.piece(name.as_str()) else { break };
        let breadth = Breadth::of(piece, false)?;
        let (before, _) = allowances(piece, &breadth)?;
        let on_fold = piece.fold().is_some();
        if nth > 1 && across_mm(piece)? <= wide.usable_mm {
            break;
        }
        let most = if on_fold { wide.usable_mm / 2.0 - ALLOWANCE_MM } else { wide.usable_mm - before - ALLOWANCE_MM } - SPARE_MM;
        let keeps = most.min(breadth.mm() - LEAST_MM);
        if keeps < LEAST_MM.min(most) || most < LEAST_MM {
            return Err(no_part(&name));
        }
        let new = unused(&after, &wide.piece);
        let seam = (1..).map(|i| Name::from(numbered("piecing seam", i))).find(|n| piece.edge(n.as_str()).is_none());
        let at = |keeps: f64| {
            Alteration::Piecing(Piecing {
                piece: name.clone(),
                // To the millimetre, so that it reads well.
                keeps: Length::from_mm(keeps.floor()),
                left: false,
                new: new.clone(),
                seam: seam.clone().unwrap_or_else(|| "piecing seam".into()),
                allowance: Length::from_mm(ALLOWANCE_MM),
            })
        };
        // Where the grain crosses an armhole or a dart there, or a hem turned up needs more room at its corner, farther in.
        let tries = (0..TRIES).map(|i| keeps * (1.0 - f64::from(i) / f64::from(2 * TRIES)));
        let fits = |next: &Draft| next.piece(name.as_str()).is_some_and(|p| across_mm(p).is_ok_and(|mm| mm <= wide.usable_mm));
        let done = |k: f64| at(k).apply(&after).ok().filter(fits);
        let found = tries.filter(|k| *k >= LEAST_MM).find_map(|k| Some((at(k), done(k)?)));
        let Some((alteration, next)) = found else {
            at(keeps).apply(&after)?;
            return Err(no_part(&name));
        };
        after = next;
        works.push(alteration);
        name = new;
    }
    Ok(works)
}

fn no_part(name: &Name) -> DraftError {
    DraftError::new(
        name.to_string(),
        "leaves no part that fits across the cloth with its allowances",
        "Take wider cloth, or cut the piece along a line of your own.",
    )
}

/// How wide a piece is cut, both halves of one on the fold; millimetres.
fn across_mm(piece: &Piece) -> Result<f64, DraftError> {
    let breadth = Breadth::of(piece, false)?;
    let (before, beyond) = allowances(piece, &breadth)?;
    Ok(if piece.fold().is_some() { 2.0 * (breadth.mm() + beyond) } else { before + breadth.mm() + beyond })
}

/// What the cut line adds across the grain, on the side away from the piecing and on its own.
fn allowances(piece: &Piece, breadth: &Breadth) -> Result<(f64, f64), DraftError> {
    let cut = allowance::cut_line(piece)?;
    let turned = kurbo::Affine::rotate(-breadth.out.atan2()) * cut;
    let bounds = turned.bounding_box();
    Ok(((breadth.from - bounds.x0).max(0.0), (bounds.x1 - breadth.to).max(0.0)))
}

fn numbered(what: &str, i: usize) -> String {
    if i == 1 { what.to_owned() } else { format!("{what} {i}") }
}

fn unused(draft: &Draft, piece: &Name) -> Name {
    let name = |i| Name::from(numbered(&format!("{piece} piecing"), i));
    (1..=draft.pieces.len() + 1).map(name).find(|n| draft.piece(n.as_str()).is_none()).unwrap_or_else(|| name(1))
}
