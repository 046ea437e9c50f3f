//! Beginnings of what is otherwise shaped by hand on the table.

use super::start::Start;
use crate::alteration::{Alteration, RedrawSeam, ShapeDart, SlideNotch, in_order};
use crate::closed_edge::corner;
use crate::place::from_start;
use crate::{Bend, DraftError, DrawnLine, Length, Piece};

type Begun = Result<Alteration, DraftError>;

const fn mm(mm: f64) -> Length {
    Length::from_mm(mm)
}

pub(super) fn redraw_seam(start: &Start<'_>) -> Begun {
    let sides = start.seam("side")?;
    let [own, other] = &sides[..] else {
        return Err(DraftError::new("table", "no seam joins two different edges here", "Redraw an edge alone."));
    };
    let piece = start.piece("has this seam", |p| *p.name() == own.piece)?;
    let ends = corner(piece, &own.edge, true).zip(corner(piece, &own.edge, false));
    let (from, to) = ends.ok_or_else(|| DraftError::new(own.piece.to_string(), "has no such edge", "Choose another piece."))?;
    let line = DrawnLine::bent(from, to, Bend::Bow(mm(5.0)));
    Ok(Alteration::RedrawSeam(RedrawSeam { piece: own.piece.clone(), edge: own.edge.clone(), line, other: other.clone() }))
}

pub(super) fn shape_dart(start: &Start<'_>) -> Begun {
    let (piece, dart) = start.dart()?;
    let (piece, dart) = (piece.name().clone(), dart.name.clone());
    Ok(Alteration::ShapeDart(ShapeDart { piece, dart, longer: mm(-10.0), aside: Length::ZERO, wider: Length::ZERO }))
}

pub(super) fn slide_notch(start: &Start<'_>) -> Begun {
    let notched = |piece: &Piece| !piece.notches().is_empty();
    let piece = start.piece("has a notch", notched)?;
    let has = |edge: &crate::Edge| piece.notches().iter().any(|n| n.edge == edge.name);
    let own = Start {
        draft: start.draft,
        piece: Some(piece),
        edge: start.edge.filter(|e| has(e)).or_else(|| piece.edges().iter().find(|e| has(e))),
    };
    let seam = own.seam("").ok().filter(|s| s.iter().all(|s| start.draft.piece(s.piece.as_str()).is_some_and(notched)));
    let here = own.edge.map(|e| crate::alteration::Side { piece: piece.name().clone(), edge: e.name.clone() });
    let sides = match (seam, here) {
        (Some(seam), Some(here)) if seam.contains(&here) => seam,
        (_, Some(here)) => vec![here],
        (Some(seam), None) => seam,
        (None, None) => return Err(DraftError::new(piece.name().to_string(), "has no notch", "Mark one first.")),
    };
    let from = own.shared_end(&sides, &["waist", "hem"]);
    // Toward the middle of the edge, where there is room.
    let by = sides.first().map_or(10.0, |side| {
        let notch = from_start(piece, &side.edge, &from)
            .ok()
            .and_then(|at_start| in_order(piece, &side.edge, at_start).first().map(|n| (at_start, n.from_start_mm)));
        let long = piece.edge_length_mm(side.edge.as_str()).unwrap_or(0.0);
        notch.map_or(10.0, |(at_start, mm)| if (if at_start { mm } else { long - mm }) > long / 2.0 { -10.0 } else { 10.0 })
    });
    Ok(Alteration::SlideNotch(SlideNotch { sides, from, nth: 1, by: mm(by) }))
}
