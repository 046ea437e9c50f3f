//! Beginnings of what is otherwise shaped by hand on the table.

use super::place_at;
use super::start::{Start, unused_on, upper_and_lower};
use crate::alteration::{Alteration, RedrawSeam, SewDart, ShapeDart, SlideNotch, in_order};
use crate::closed_edge::corner;
use crate::drawn_line::inward;
use crate::place::from_start;
use crate::{Bend, Draft, DraftError, DrawnLine, Edge, EdgeRun, Length, Name, Piece, Place, Role};

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

/// What a new dart takes in where nothing says how much, millimetres.
const INTAKE_MM: f64 = 20.0;
/// The most that an edge has over its partner for a dart to be offered that takes just that, millimetres.
const OVER_MM: f64 = 80.0;
/// How far a new dart reaches into its piece, where it has room for it; millimetres.
const DEPTHS_MM: [f64; 5] = [100.0, 80.0, 60.0, 40.0, 25.0];

/// What a new dart in an edge would take in: what the edge has over what it is sewn to, or else as much as is usual for its
/// length.
pub(super) fn intake(draft: &Draft, piece: &Piece, edge: &Name) -> Length {
    let long = piece.edge_length_mm(edge.as_str()).unwrap_or(0.0);
    let over = draft.seams.iter().find_map(|seam| {
        let on = |runs: &[EdgeRun]| runs.iter().any(|r| r.piece == *piece.name() && r.edge == *edge);
        let left = seam.walk(|name| draft.piece(name.as_str()))?.difference_mm;
        let over = if on(&seam.a) {
            left
        } else if on(&seam.b) {
            -left
        } else {
            return None;
        };
        (3.0..=OVER_MM.min(long / 2.0)).contains(&over).then(|| (over * 2.0).round() / 2.0)
    });
    mm(over.unwrap_or_else(|| INTAKE_MM.min((long / 6.0).round().max(2.0))))
}

/// A name for a new dart in an edge.
pub(super) fn dart_name(piece: &Piece, edge: &Name) -> Name {
    let at = edge.as_str().trim_end_matches(" seam").trim_end_matches(" edge");
    unused_on(piece, &format!("{at} dart"))
}

pub(super) fn sew_dart(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&|e: &Edge| e.name == *"waist", &|e: &Edge| e.role == Role::Seam])?;
    let opens = Place::share(edge.name.clone(), upper_and_lower(piece, &edge.name)[0].clone(), 0.5);
    let spot = opens.spot(piece)?;
    let at = |depth: f64| SewDart {
        piece: piece.name().clone(),
        dart: dart_name(piece, &edge.name),
        opens: opens.clone(),
        point: place_at(piece, spot.at + inward(piece, &spot) * depth, 0.0),
        intake: intake(start.draft, piece, &edge.name),
        pressed_onward: false,
    };
    let fits = DEPTHS_MM.into_iter().map(at).find(|dart| Alteration::SewDart(dart.clone()).apply(start.draft).is_ok());
    Ok(Alteration::SewDart(fits.unwrap_or_else(|| at(DEPTHS_MM[0]))))
}

pub(super) fn shape_dart(start: &Start<'_>) -> Begun {
    let (piece, dart) = start.dart()?;
    let (piece, dart) = (piece.name().clone(), dart.name.clone());
    Ok(Alteration::ShapeDart(ShapeDart { piece, dart, longer: mm(-10.0), aside: Length::ZERO, wider: Length::ZERO }))
}

pub(super) fn slide_notch(start: &Start<'_>) -> Begun {
    let notched = |piece: &Piece| !piece.notches().is_empty();
    let piece = start.piece("has a notch", notched)?;
    let has = |edge: &Edge| piece.notches().iter().any(|n| n.edge == edge.name);
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
