//! Beginnings of the alterations that change how pieces are sewn, cut and marked.

use super::shape::across_the_piece;
use super::start::{Start, inside, unused_on, upper_and_lower};
use crate::alteration::{
    Alteration, Band, Boning, Breadth, Buttonholes, Copy, Ease, Finish, Godet, Join, Mark, OpenSeam, Opens, PanelSlit, Piecing, Separate,
    Side, Sign, Stay, Top, Traced, TrimmedPart, Trimming, Unfold, Vent, cut,
};
use crate::{DraftError, DrawnLine, Edge, Length, Name, Piece, Place, Role, SEWN_MM};

type Begun = Result<Alteration, DraftError>;

const fn mm(mm: f64) -> Length {
    Length::from_mm(mm)
}

fn named(part: &'static str) -> impl Fn(&Edge) -> bool {
    move |e: &Edge| e.name.as_str().contains(part)
}

/// The length of a seam's first edge, millimetres.
fn length_mm(start: &Start<'_>, side: &Side) -> f64 {
    start.draft.piece(side.piece.as_str()).and_then(|p| p.edge_length_mm(side.edge.as_str())).unwrap_or(0.0)
}

/// No more than `most_mm`, and no more than half of the seam, to the centimetre.
fn part_of(start: &Start<'_>, sides: &[Side], most_mm: f64) -> Length {
    let half = sides.first().map_or(most_mm, |s| length_mm(start, s) / 2.0);
    mm((half.min(most_mm) / 10.0).floor().max(1.0) * 10.0)
}

pub(super) fn godet(start: &Start<'_>) -> Begun {
    let sides = start.seam("seam")?;
    let from = start.shared_end(&sides, &["hem", "waist"]);
    let length = part_of(start, &sides, 300.0);
    let name = start.unused("godet");
    Ok(Alteration::Godet(Godet { sides, from, length, width: mm(200.0), name, allowance: cut::plain() }))
}

pub(super) fn ease(start: &Start<'_>) -> Begun {
    // A seam with something over first, unless an edge is selected.
    let over = start.draft.seams.iter().find_map(|seam| {
        let walk = seam.walk(|name| start.draft.piece(name.as_str()))?;
        let longer = if walk.difference_mm > SEWN_MM { &seam.a } else { (walk.difference_mm < -SEWN_MM).then_some(&seam.b)? };
        longer.first().map(|r| Side { piece: r.piece.clone(), edge: r.edge.clone() })
    });
    let side = match (start.edge, over) {
        (None, Some(over)) => over,
        _ => start.seam("shoulder")?.swap_remove(0),
    };
    Ok(Alteration::Ease(Ease { piece: side.piece, edge: side.edge, into: None, by: None, gathered: false }))
}

fn open(start: &Start<'_>, kind: Opens, name: &str, ends: &[&str], most_mm: f64) -> Result<OpenSeam, DraftError> {
    let sides = start.seam("side")?;
    let from = start.shared_end(&sides, ends);
    let length = part_of(start, &sides, most_mm);
    let name = sides.first().and_then(|s| start.draft.piece(s.piece.as_str())).map_or_else(|| name.into(), |p| unused_on(p, name));
    Ok(OpenSeam { sides, from, length, name, kind, allowance: None, vent: None })
}

pub(super) fn slit(start: &Start<'_>) -> Begun {
    Ok(Alteration::OpenSeam(open(start, Opens::Slit, "slit", &["hem", "waist"], 250.0)?))
}

pub(super) fn vent(start: &Start<'_>) -> Begun {
    let mut open = open(start, Opens::Slit, "vent", &["hem", "waist"], 200.0)?;
    open.vent = open.sides.first().map(|s| Vent { under: s.piece.clone(), by: mm(40.0) });
    Ok(Alteration::OpenSeam(open))
}

pub(super) fn zip(start: &Start<'_>) -> Begun {
    Ok(Alteration::OpenSeam(open(start, Opens::Zip, "zip", &["neck", "waist"], 400.0)?))
}

pub(super) fn lacing(start: &Start<'_>) -> Begun {
    Ok(Alteration::OpenSeam(open(start, Opens::Lacing, "lacing", &["neck", "waist"], 400.0)?))
}

pub(super) fn panel_slit(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&|e: &Edge| e.role == Role::Hem, &named("waist")])?;
    let from = Place::share(edge.name.clone(), upper_and_lower(piece, &edge.name)[0].clone(), 0.5);
    let up = mm((piece.bounds().height() / 3.0).min(250.0).round());
    let to = from.clone().off(up.mm(), 0.0);
    let name = unused_on(piece, "slit");
    let line = DrawnLine::straight(from, to);
    Ok(Alteration::PanelSlit(PanelSlit { piece: piece.name().clone(), line, name, top: Top::Rounded, facing: mm(40.0) }))
}

pub(super) fn join(start: &Start<'_>) -> Begun {
    let mut sides = start.seam("shoulder")?.into_iter();
    let (Some(to), Some(from)) = (sides.next(), sides.next()) else {
        return Err(DraftError::new("table", "the seam joins an edge to itself", "Choose a seam between two pieces."));
    };
    let name = start.unused(&format!("{} and {}", to.piece, from.piece));
    Ok(Alteration::Join(Join { to, from, name }))
}

pub(super) fn unfold(start: &Start<'_>) -> Begun {
    let piece = start.piece("lies on the fold", |p| p.fold().is_some())?;
    Ok(Alteration::Unfold(Unfold { piece: piece.name().clone() }))
}

pub(super) fn piecing(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let whole = Breadth::of(piece, false)?.mm();
    let name = piece.name();
    let (new, seam) = (start.unused(&format!("{name} piecing")), unused_on(piece, "piecing seam"));
    let at = |share: f64| {
        let keeps = mm((whole * share).round());
        let (piece, new, seam) = (name.clone(), new.clone(), seam.clone());
        Alteration::Piecing(Piecing { piece, keeps, left: false, new, seam, allowance: cut::plain() })
    };
    // Where the grain crosses the outline more than twice, farther out or in.
    let can = |work: &Alteration| work.apply(start.draft).is_ok();
    Ok([0.75, 0.85, 0.65, 0.93, 0.5].into_iter().map(at).find(can).unwrap_or_else(|| at(0.75)))
}

pub(super) fn separate(start: &Start<'_>) -> Begun {
    let piece = start.piece("is cut in pairs", |p| p.cut().pairs)?;
    let other = start.unused(&format!("left {}", piece.name()));
    Ok(Alteration::Separate(Separate { piece: piece.name().clone(), other }))
}

pub(super) fn copy(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let name = start.unused(&format!("{} lining", piece.name()));
    Ok(Alteration::Copy(Copy { pieces: vec![Traced { piece: piece.name().clone(), name }] }))
}

pub(super) fn band(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&named("neck"), &named("armhole"), &named("waist")])?;
    let name = start.unused(&format!("{} {} facing", piece.name(), edge.name));
    let of_depth = |depth_mm: f64| {
        let (piece, edge, name) = (piece.name().clone(), edge.name.clone(), name.clone());
        Alteration::Band(Band { piece, edge, depth: mm(depth_mm), name, inner_allowance: Length::ZERO })
    };
    // As deep as a facing usually is, or as the piece has room for.
    let fits = [50.0, 40.0, 30.0, 20.0].into_iter().map(of_depth).find(|band| band.apply(start.draft).is_ok());
    Ok(fits.unwrap_or_else(|| of_depth(50.0)))
}

pub(super) fn finish(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&|e: &Edge| e.role == Role::Hem])?;
    let allowance = Some(mm(if edge.allowance_mm == 20.0 { 25.0 } else { 20.0 }));
    Ok(Alteration::Finish(Finish { piece: piece.name().clone(), edge: edge.name.clone(), role: None, allowance }))
}

fn marked(piece: &Piece, sign: Sign) -> Alteration {
    Alteration::Mark(Mark { piece: piece.name().clone(), sign })
}

/// The middle of the selected edge, or of any seam.
fn mid_edge<'a>(start: &Start<'a>) -> Result<(&'a Piece, &'a Edge, Place), DraftError> {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&|e: &Edge| e.role == Role::Seam])?;
    let from: Name = upper_and_lower(piece, &edge.name)[0].clone();
    Ok((piece, edge, Place::share(edge.name.clone(), from, 0.5)))
}

pub(super) fn notch(start: &Start<'_>) -> Begun {
    let (piece, _, at) = mid_edge(start)?;
    Ok(marked(piece, Sign::Notch { at, double: false, both: true }))
}

pub(super) fn point(start: &Start<'_>) -> Begun {
    let (piece, edge, _) = mid_edge(start)?;
    Ok(marked(piece, Sign::Point { name: unused_on(piece, "button"), at: inside(piece, &edge.name) }))
}

pub(super) fn marked_line(start: &Start<'_>) -> Begun {
    let (name, line, _) = across_the_piece(start, 0.5)?;
    let piece = start.piece("is drafted yet", |p| *p.name() == name)?;
    Ok(marked(piece, Sign::Line { name: unused_on(piece, "placement line"), line }))
}

pub(super) fn closing(start: &Start<'_>) -> Begun {
    let (piece, _, at) = mid_edge(start)?;
    Ok(marked(piece, Sign::Closing { what: "hook and bar".into(), at }))
}

pub(super) fn buttonholes(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&|e: &Edge| e.role == Role::Opening, &named("centre")])?;
    let [upper, lower] = upper_and_lower(piece, &edge.name);
    let in_by = mm(15.0);
    let line = DrawnLine::straight(Place::along(edge.name.clone(), upper, in_by), Place::along(edge.name.clone(), lower, in_by));
    Ok(Alteration::Buttonholes(Buttonholes {
        piece: piece.name().clone(),
        line,
        count: 5,
        first: Length::ZERO,
        last: Length::ZERO,
        size: mm(18.0),
        across: true,
    }))
}

pub(super) fn boning(start: &Start<'_>) -> Begun {
    let sides = start.seam("side")?;
    let seams = sides.into_iter().take(1).collect();
    Ok(Alteration::Boning(Boning { seams, channels: Vec::new(), width: mm(7.0), clear: mm(8.0) }))
}

/// Along the waist of whatever has one, or along the selected edge.
pub(super) fn stay(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&named("waist"), &named("neckline")])?;
    let edges = vec![Side { piece: piece.name().clone(), edge: edge.name.clone() }];
    Ok(Alteration::Stay(Stay { edges, name: "waist stay, twill tape".into(), share: 1.0 }))
}

pub(super) fn elastic(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&named("waist"), &named("wrist"), &|e: &Edge| e.role == Role::Hem])?;
    let edges = vec![Side { piece: piece.name().clone(), edge: edge.name.clone() }];
    Ok(Alteration::Stay(Stay { edges, name: "elastic, 6 mm".into(), share: 0.9 }))
}

pub(super) fn trim(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&|e: &Edge| e.role == Role::Hem, &named("neckline")])?;
    let part = TrimmedPart::Edge(edge.name.clone());
    Ok(Alteration::Trimming(Trimming { piece: piece.name().clone(), part, what: "braid".into(), fullness: 1.0 }))
}

pub(super) fn embroider(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?.name().clone();
    Ok(Alteration::Trimming(Trimming { piece, part: TrimmedPart::Whole, what: "embroidery".into(), fullness: 1.0 }))
}
