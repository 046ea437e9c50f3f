//! Beginnings of the alterations that change how pieces are shaped.

use kurbo::Vec2;

use super::start::{Start, down, opposite, unused_on, upper_and_lower};
use crate::alteration::spread::{Opening, Slash, Spread};
use crate::alteration::{
    Across, Adjust, Alteration, Amount, Becomes, Change, Cut, Fold, Fullness, GatherDart, JoinDarts, Laid, Lengthen, Level, MoveDart,
    Pinch, Pleats, Redraw, SeamDarts, Side, SplitDart, TakeIn, Trim, cut, move_dart,
};
use crate::geometry::{self, end_tangent, start_tangent};
use crate::place::{end_names, frame, from_start};
use crate::{Along, Bend, DraftError, DrawnLine, Edge, Length, Measurement, Name, Piece, Place, Role};

type Begun = Result<Alteration, DraftError>;

const fn mm(mm: f64) -> Length {
    Length::from_mm(mm)
}

fn named(part: &'static str) -> impl Fn(&Edge) -> bool {
    move |e: &Edge| e.name.as_str().contains(part)
}

fn role(role: Role) -> impl Fn(&Edge) -> bool {
    move |e: &Edge| e.role == role
}

pub(super) fn redraw(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&named("neck"), &named("armhole"), &role(Role::Hem)])?;
    let ends = end_names(piece, &edge.name).unwrap_or_else(|| ["start".into(), "end".into()]);
    // A little inside on both neighbours, so that there is something to see.
    let near = |end: &Name| -> Place {
        let long = piece.edge_length_mm(end.as_str()).unwrap_or(0.0);
        let from = match end_names(piece, end) {
            Some([a, _]) if a == edge.name => a,
            Some([_, b]) if b == edge.name => b,
            _ => return Place::share(edge.name.clone(), end.clone(), 0.0),
        };
        Place::along(end.clone(), from, mm((long / 5.0).min(10.0).round()))
    };
    let (from, to) = (near(&ends[0]), near(&ends[1]));
    let parts: Vec<_> = piece.edge_parts(edge.name.as_str()).collect();
    let (at_start, at_end) = square_ends(piece, &edge.name);
    let as_drawn = || match parts[..] {
        [only] => DrawnLine::of_path(piece, &only.path, from.clone(), to.clone()),
        _ => None,
    };
    let square = at_start && at_end;
    let line = if square { None } else { as_drawn() }
        .unwrap_or_else(|| DrawnLine::bent(from.clone(), to.clone(), if square { Bend::Square } else { Bend::Straight }));
    Ok(Alteration::Redraw(Redraw { piece: piece.name().clone(), edge: edge.name.clone(), line }))
}

/// Whether a curved edge leaves its neighbours about squarely.
fn square_ends(piece: &Piece, edge: &Name) -> (bool, bool) {
    let parts = piece.parts();
    let count = parts.len();
    let is = |i: &usize| piece.edges()[parts[*i].edge].name == *edge;
    let (Some(first), Some(last)) = ((0..count).find(is), (0..count).rfind(is)) else { return (false, false) };
    let straight = parts[first].path.segments().all(|s| matches!(s, kurbo::PathSeg::Line(_)));
    let square = |a: Vec2, b: Vec2| !straight && a.dot(b).abs() < 0.26;
    (
        square(end_tangent(&parts[(first + count - 1) % count].path), start_tangent(&parts[first].path)),
        square(end_tangent(&parts[last].path), start_tangent(&parts[(last + 1) % count].path)),
    )
}

/// A line straight across a piece, a third of the way down, and the edge at its upper end.
pub(super) fn across_the_piece(start: &Start<'_>, share: f64) -> Result<(Name, DrawnLine, Name), DraftError> {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&named("centre"), &role(Role::Fold), &role(Role::Opening)])?;
    let from = down(piece, &edge.name, share);
    let to = opposite(piece, &from)
        .ok_or_else(|| DraftError::new(piece.name().to_string(), "no edge lies across from there", "Choose another edge."))?;
    let [upper, _] = upper_and_lower(piece, &edge.name);
    Ok((piece.name().clone(), DrawnLine::straight(from, to), upper))
}

pub(super) fn cut(start: &Start<'_>) -> Begun {
    let at = |share: f64| -> Begun {
        let (piece, line, with) = across_the_piece(start, share)?;
        let new = start.unused(&format!("{piece} yoke"));
        let seam = start.draft.piece(piece.as_str()).map_or_else(|| "yoke seam".into(), |p| unused_on(p, "yoke seam"));
        Ok(Alteration::Cut(Cut { piece, line, seam, new, with, allowance: cut::plain(), sewn: true }))
    };
    // A line that a shaped dart lies across can't be cut along: then higher or lower.
    let can = |cut: &Alteration| cut.apply(start.draft).is_ok();
    SHARES.into_iter().find_map(|share| at(share).ok().filter(can)).map_or_else(|| at(SHARES[0]), Ok)
}

/// Where a piece is cut to begin with, as a share of its edges.
const SHARES: [f64; 7] = [0.35, 0.25, 0.45, 0.15, 0.55, 0.08, 0.75];

/// Two pieces with a seam between, the neighbouring edges at its upper end, and the edges beyond those.
fn over_a_seam(start: &Start<'_>) -> Result<(Vec<Side>, Across), DraftError> {
    let sides = start.seam("shoulder")?;
    let refuse = |problem: &str| DraftError::new("table", problem.to_owned(), "Choose a seam between two pieces.");
    let [a, b] = &sides[..] else { return Err(refuse("the seam joins an edge to itself")) };
    let (Some(first), Some(second)) = (start.draft.piece(a.piece.as_str()), start.draft.piece(b.piece.as_str())) else {
        return Err(refuse("a piece is gone"));
    };
    // The neckline at the shoulder; at other seams the upper end.
    let end_of = |piece: &Piece, edge: &Name| {
        let ends = upper_and_lower(piece, edge);
        ends.iter().find(|e| e.as_str().contains("neck")).cloned().unwrap_or_else(|| ends[0].clone())
    };
    let place = |piece: &Piece, side: &Side| -> Option<(Name, Place)> {
        let near = end_of(piece, &side.edge);
        let [p, q] = end_names(piece, &near)?;
        let beyond = if p == side.edge { q } else { p };
        let long = piece.edge_length_mm(beyond.as_str())?;
        Some((near.clone(), Place::along(beyond, near, mm((long / 3.0).min(80.0).round()))))
    };
    let ((with, from), (_, to)) = place(first, a).zip(place(second, b)).ok_or_else(|| refuse("there is no edge beyond the seam"))?;
    let across = Across {
        first: a.piece.clone(),
        then: vec![Laid { along: a.edge.clone(), beside: b.clone() }],
        from,
        to,
        bend: Bend::Square,
        becomes: Becomes::Edge(with),
    };
    Ok((sides, across))
}

pub(super) fn yoke(start: &Start<'_>) -> Begun {
    let (sides, across) = over_a_seam(start)?;
    let Becomes::Edge(with) = across.becomes.clone() else { return Ok(Alteration::Across(across)) };
    let new = sides.iter().map(|s| start.unused(&format!("{} yoke", s.piece))).collect();
    let becomes = Becomes::Cut { seam: "yoke seam".into(), new, with, joined: Some(start.unused("yoke")) };
    Ok(Alteration::Across(Across { becomes, ..across }))
}

pub(super) fn edge_across(start: &Start<'_>) -> Begun {
    let (_, mut across) = over_a_seam(start)?;
    for place in [&mut across.from, &mut across.to] {
        if let Place::Edge { at, .. } = place {
            *at = Along::Length(mm(15.0));
        }
    }
    Ok(Alteration::Across(across))
}

pub(super) fn take_in(start: &Start<'_>) -> Begun {
    let sides = start.seam("side")?;
    let from = start.shared_end(&sides, &["waist"]);
    // It runs out at the other end, or beside the first dart on the way.
    let to_a_dart = |side: &Side| {
        let piece = start.draft.piece(side.piece.as_str())?;
        let parts: Vec<_> = piece.edge_parts(side.edge.as_str()).collect();
        let near = if from_start(piece, &side.edge, &from).unwrap_or(true) { parts.first() } else { parts.last() };
        near.filter(|_| parts.len() > 1).map(|part| geometry::length(&part.path))
    };
    let free = sides.iter().filter_map(to_a_dart).reduce(f64::min);
    let until = free.map_or(Along::Share(1.0), |free| Along::Length(mm(((free - 5.0) / 5.0).floor().max(1.0) * 5.0)));
    let amounts = vec![Amount { at: Along::Share(0.0), by: mm(5.0) }, Amount { at: until, by: Length::ZERO }];
    Ok(Alteration::TakeIn(TakeIn { sides, from, amounts, straight: false }))
}

pub(super) fn trim(start: &Start<'_>) -> Begun {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&role(Role::Seam)])?;
    let can_swing = |end: &&Name| piece.edge(end.as_str()).is_some_and(|e| !matches!(e.role, Role::DartLeg | Role::Fold));
    let ends = end_names(piece, &edge.name).unwrap_or_else(|| ["start".into(), "end".into()]);
    let at = ends.iter().find(can_swing).unwrap_or(&ends[0]).clone();
    Ok(Alteration::Trim(Trim { piece: piece.name().clone(), edge: edge.name.clone(), at, by: mm(5.0) }))
}

pub(super) fn lengthen(start: &Start<'_>) -> Begun {
    let sides = start.seam("side")?;
    let levels = sides.iter().filter_map(|side| {
        let piece = start.draft.piece(side.piece.as_str())?;
        Some(Level { piece: side.piece.clone(), at: down(piece, &side.edge, 0.6) })
    });
    Ok(Alteration::Lengthen(Lengthen { levels: levels.collect(), by: mm(20.0) }))
}

pub(super) fn pinch(start: &Start<'_>) -> Begun {
    let (piece, dart) = start.dart()?;
    let edge = start.edge_of(piece, &[&named("neck"), &named("armhole"), &named("cap")])?;
    let from = upper_and_lower(piece, &edge.name)[0].clone();
    let at = Place::share(edge.name.clone(), from, 0.5);
    Ok(Alteration::Pinch(Pinch { piece: piece.name().clone(), at, by: mm(5.0), dart: dart.name.clone() }))
}

pub(super) fn bust(_: &Start<'_>) -> Begun {
    Ok(Alteration::Adjust(Adjust::bust(mm(20.0))))
}

pub(super) fn adjust(_: &Start<'_>) -> Begun {
    Ok(Alteration::Adjust(Adjust { changes: vec![Change { which: Measurement::FrontWaistLength, by: mm(10.0) }] }))
}

/// The middle of an edge at which the dart does not open yet.
fn elsewhere<'a>(start: &Start<'a>, piece: &'a Piece, dart: &crate::Dart) -> Result<Place, DraftError> {
    let parts = piece.parts();
    let count = parts.len();
    let is = |name: &Name, i: usize| piece.edges()[parts[i % count].edge].name == *name;
    let leg = (0..count).find(|&i| is(&dart.leg_a, i)).unwrap_or(0);
    let here = piece.edges()[parts[(leg + count - 1) % count].edge].name.clone();
    let free = |e: &Edge| e.name != here && !matches!(e.role, Role::DartLeg | Role::Fold);
    let selected = start.edge.filter(|e| free(e) && start.piece.is_some_and(|p| p.name() == piece.name()));
    let wished = ["shoulder", "side", "armhole"].iter().find_map(|wish| piece.edges().iter().find(|e| free(e) && named(wish)(e)));
    let edge = selected.or(wished).or_else(|| piece.edges().iter().find(|e| free(e)));
    let edge = edge.ok_or_else(|| DraftError::new(piece.name().to_string(), "has no other edge for a dart", "Choose another piece."))?;
    Ok(Place::share(edge.name.clone(), upper_and_lower(piece, &edge.name)[0].clone(), 0.5))
}

pub(super) fn move_dart(start: &Start<'_>) -> Begun {
    let (piece, dart) = start.dart()?;
    let to = elsewhere(start, piece, dart)?;
    let short_of_pivot = move_dart::short();
    Ok(Alteration::MoveDart(MoveDart { piece: piece.name().clone(), dart: dart.name.clone(), to, short_of_pivot, pressed_onward: false }))
}

pub(super) fn split_dart(start: &Start<'_>) -> Begun {
    let (piece, dart) = start.dart()?;
    let to = elsewhere(start, piece, dart)?;
    Ok(Alteration::SplitDart(SplitDart {
        piece: piece.name().clone(),
        dart: dart.name.clone(),
        second: unused_on(piece, "second dart"),
        share: 0.5,
        to,
        short_of_pivot: move_dart::short(),
    }))
}

pub(super) fn join_darts(start: &Start<'_>) -> Begun {
    let piece = start.piece("has two darts", |p| p.darts().len() > 1).or_else(|_| start.dart().map(|(piece, _)| piece))?;
    let name = |i: usize| piece.darts().get(i).or_else(|| piece.darts().first()).map_or_else(|| "".into(), |d| d.name.clone());
    let short_of_pivot = move_dart::short();
    Ok(Alteration::JoinDarts(JoinDarts { piece: piece.name().clone(), dart: name(0), into: name(1), short_of_pivot }))
}

pub(super) fn gather_dart(start: &Start<'_>) -> Begun {
    let (piece, dart) = start.dart()?;
    Ok(Alteration::GatherDart(GatherDart { piece: piece.name().clone(), dart: dart.name.clone(), reach: mm(40.0) }))
}

/// The middle of the lower edge, or of the selected one, and what lies across from it.
fn slash(start: &Start<'_>) -> Result<(Name, Slash), DraftError> {
    let piece = start.any_piece()?;
    let edge = start.edge_of(piece, &[&role(Role::Hem), &named("waist")])?;
    let from = Place::share(edge.name.clone(), upper_and_lower(piece, &edge.name)[0].clone(), 0.5);
    let to = opposite(piece, &from)
        .ok_or_else(|| DraftError::new(piece.name().to_string(), "no edge lies across from there", "Choose another edge."))?;
    Ok((piece.name().clone(), Slash { from, to }))
}

fn spread_by(start: &Start<'_>, by_mm: f64) -> Begun {
    let (piece, slash) = slash(start)?;
    let by = Opening::Length(mm(by_mm));
    Ok(Alteration::Spread(Spread { piece, slashes: vec![slash], by, both_ends: false, straight: false, still: None }))
}

pub(super) fn spread(start: &Start<'_>) -> Begun {
    spread_by(start, 40.0)
}

pub(super) fn overlap(start: &Start<'_>) -> Begun {
    spread_by(start, -10.0)
}

/// An edge, the one across from it, and the end of each on the same side.
fn facing_edges(start: &Start<'_>) -> Result<(Name, [Name; 2], [Name; 2]), DraftError> {
    let (name, slash) = slash(start)?;
    let piece = start.any_piece()?;
    let (Place::Edge { edge, from, .. }, Place::Edge { edge: hinge, .. }) = (&slash.from, &slash.to) else {
        return Err(DraftError::new(name.to_string(), "no edge lies across from there", "Choose another edge."));
    };
    let at = |edge: &Name, end: &Name| Place::along(edge.clone(), end.clone(), Length::ZERO).find(piece);
    let (_, right) = frame(piece);
    let here = at(edge, from)?;
    let middle = slash.from.find(piece)?;
    // The hinge's end that lies to the same side of the slash.
    let ends = end_names(piece, hinge).unwrap_or_else(|| ["start".into(), "end".into()]);
    let across = slash.to.find(piece)?;
    let along = across - middle;
    let aside = if along.hypot() > 1.0 { Vec2::new(-along.y, along.x) } else { right };
    let same = |end: &Name| at(hinge, end).is_ok_and(|p| (p - across).dot(aside) * (here - middle).dot(aside) > 0.0);
    let hinge_from = ends.iter().find(|e| same(e)).unwrap_or(&ends[0]).clone();
    Ok((name, [edge.clone(), from.clone()], [hinge.clone(), hinge_from]))
}

pub(super) fn fullness(start: &Start<'_>) -> Begun {
    let (piece, [edge, from], [hinge, hinge_from]) = facing_edges(start)?;
    Ok(Alteration::Fullness(Fullness { piece, edge, from, hinge, hinge_from, count: 4, by: mm(80.0), both_ends: false }))
}

pub(super) fn pleats(start: &Start<'_>) -> Begun {
    let (piece, [edge, from], [to, to_from]) = facing_edges(start)?;
    let at = vec![Along::Share(0.35), Along::Share(0.65)];
    let fold = Fold::Knife;
    Ok(Alteration::Pleats(Pleats { piece, edge, from, at, to, to_from, depth: mm(15.0), fold, to_nothing: false }))
}

pub(super) fn seam_darts(start: &Start<'_>) -> Begun {
    let piece = start.piece("has two darts", |p| p.darts().len() > 1).or_else(|_| start.dart().map(|(piece, _)| piece))?;
    let name = |i: usize| piece.darts().get(i).or_else(|| piece.darts().first()).map_or_else(|| "".into(), |d| d.name.clone());
    Ok(Alteration::SeamDarts(SeamDarts {
        piece: piece.name().clone(),
        dart: name(0),
        other: name(1),
        new: format!("side {}", piece.name()).into(),
        seam: "princess seam".into(),
        allowance: mm(15.0),
    }))
}
