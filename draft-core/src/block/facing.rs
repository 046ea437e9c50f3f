//! Facings of neckline and armhole, traced from the bodice as it is: darts closed, panels laid together, and a
//! little smaller at the faced edge so that the seam rolls inside.

use kurbo::{BezPath, Point, Vec2};

use super::bodice_half::{Half, half};
use crate::course::{Course, Finish};
use crate::geometry::{self, end, end_tangent, line_path, reversed, start, start_tangent};
use crate::{Draft, DraftError, EdgeRun, Grade, Message, Name, Piece, PieceBuilder, Role, Seam, Setting, Settings};

const EDGES: Setting = Setting::choice("edges", "Edges faced", "Neckline, armhole, or both.", &["neck", "armhole", "both"]);
const DEPTH: Setting = Setting::length("depth", "Depth", "From the faced edge inward; 5–6 cm is common practice.", 55.0, 20.0, 200.0);
const SMALLER: Setting = Setting::length(
    "smaller",
    "Smaller at the faced edge",
    "How far the facing's edge lies inside the bodice's, so that the seam rolls inside.",
    1.5,
    0.0,
    6.0,
);
const MERGE: Setting = Setting::length(
    "merge-below",
    "One facing on a strap narrower than",
    "Where both edges are faced and the shoulder is narrower than this, one facing goes round both.",
    80.0,
    0.0,
    250.0,
);
const CURVE_ALLOWANCE: Setting =
    Setting::length("curve-allowance", "Neck and armhole allowance", "The same as on the bodice.", 10.0, 0.0, 50.0);
const SEAM_ALLOWANCE: Setting = Setting::length("seam-allowance", "Seam allowance", "Where the facings join.", 10.0, 0.0, 50.0);
const INNER_ALLOWANCE: Setting =
    Setting::length("inner-allowance", "Allowance at the inner edge", "None where it is overlocked or pinked.", 0.0, 0.0, 20.0);

/// The settings of the facings.
pub const SETTINGS: &[&Setting] = &[&EDGES, &DEPTH, &SMALLER, &MERGE, &CURVE_ALLOWANCE, &SEAM_ALLOWANCE, &INNER_ALLOWANCE];

struct Style {
    depth: f64,
    /// Depth along the shoulder.
    at_shoulder: f64,
    smaller: f64,
    curve_mm: f64,
    seam_mm: f64,
    inner_mm: f64,
}

/// Drafts the facings.
///
/// # Errors
/// There is no bodice with such an edge, or no facing can be drawn along it.
pub fn draft(settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    let edges = settings.word(&EDGES);
    let (neck, armhole) = (edges != "armhole", edges != "neck");
    let up_to = if armhole { "side seam" } else { "shoulder" };
    let halves = [half(before, "front", up_to, "facing")?, half(before, "back", up_to, "facing")?];
    let depth = settings.value(&DEPTH);
    let mut strap = f64::INFINITY;
    for h in &halves {
        // A front cut apart in the armhole has its whole shoulder; else the run holds what lies at the neck.
        strap = strap.min(shoulder_mm(before, h));
    }
    let merged = neck && armhole && strap < settings.value(&MERGE);
    let share = if neck && armhole { strap / 2.0 } else { strap };
    let style = Style {
        depth,
        at_shoulder: depth.min(share),
        smaller: settings.value(&SMALLER).min(depth / 4.0).min(share / 4.0),
        curve_mm: settings.value(&CURVE_ALLOWANCE),
        seam_mm: settings.value(&SEAM_ALLOWANCE),
        inner_mm: settings.value(&INNER_ALLOWANCE),
    };
    let mut draft = without_facings(before);
    let mut made = Vec::new();
    for h in &halves {
        if merged {
            made.push((h, all_in_one(h, &style)?));
        } else {
            if neck {
                made.push((h, neck_facing(h, &style)?));
            }
            if armhole {
                made.push((h, armhole_facing(h, &style)?));
            }
        }
    }
    for (_, piece) in &made {
        if piece.crossing().is_some() {
            return Err(refuse(piece.name().as_str(), "its edges cross where the bodice's edge bends"));
        }
    }
    seams(&mut draft, &made);
    if !merged && neck && armhole && share < depth {
        draft.messages.push(Message::new(
            Grade::Note,
            "facing / shoulder",
            format!("on the shoulder neck and armhole facing are {:.1} cm wide, so that they do not overlap", share / 10.0),
            "Nothing to mend; for one facing round both raise \"One facing on a strap narrower than\".",
        ));
    }
    if merged {
        draft.messages.push(Message::new(
            Grade::Note,
            "facing / shoulder",
            format!("the shoulder is {:.1} cm wide, so one facing goes round neck and armhole", strap / 10.0),
            "Sew neck and armhole before the centre or the shoulder seams are closed, and turn it through the strap.",
        ));
    }
    for (_, piece) in made {
        draft.put(piece);
    }
    Ok(draft)
}

fn refuse(place: &str, problem: &str) -> DraftError {
    DraftError::new(place, problem, "Make the facing less deep, or draw the edge of the bodice with gentler bends.")
}

fn shoulder_mm(draft: &Draft, half: &Half<'_>) -> f64 {
    half.names().iter().filter_map(|n| draft.piece(n.as_str())?.edge_length_mm("shoulder")).sum()
}

const OURS: [&str; 6] =
    ["front neck facing", "back neck facing", "front armhole facing", "back armhole facing", "front facing", "back facing"];

fn without_facings(before: &Draft) -> Draft {
    let mut draft = before.clone();
    let own = |name: &Name| OURS.iter().any(|o| name == o);
    draft.pieces.retain(|p| !own(p.name()));
    draft.seams.retain(|s| !s.a.iter().chain(&s.b).any(|r| own(&r.piece)));
    draft.messages.retain(|m| !m.place.starts_with("facing"));
    draft
}

fn course(half: &Half<'_>, edge: &str) -> Result<Course, DraftError> {
    Course::of(&half.edge(edge)?).ok_or_else(|| refuse(edge, "has no length"))
}

/// Direction of an edge from where it starts, straight to the place this far along it.
fn along(path: &BezPath, mm: f64) -> Vec2 {
    let to = end(&crate::course::cut_at(path, mm).0);
    let from = start(path);
    match (from, to) {
        (Some(a), Some(b)) if a.distance(b) > 1e-6 => b - a,
        _ => start_tangent(path),
    }
}

fn ends(path: &BezPath) -> (Point, Point) {
    (start(path).unwrap_or(Point::ZERO), end(path).unwrap_or(Point::ZERO))
}

fn neck_facing(half: &Half<'_>, style: &Style) -> Result<Piece, DraftError> {
    let name = format!("{} neck facing", half.centre.name());
    let neckline = course(half, "neckline")?;
    let centre = half.down_the_centre()?;
    let shoulder = along(&half.edge("shoulder")?, style.at_shoulder);
    let none = || refuse(&name, "no edge can be drawn alongside the neckline");
    let faced = neckline.parallel(style.smaller, Finish::Cut(centre), Finish::Cut(shoulder)).ok_or_else(none)?;
    let inner = neckline
        .alongside(style.depth, style.at_shoulder, Finish::Square(centre, style.depth), Finish::Square(shoulder, style.at_shoulder))
        .ok_or_else(none)?;
    let ((fa, fb), (ia, ib)) = (ends(&faced), ends(&inner));
    let (open, centre_mm) = half.opening();
    PieceBuilder::new(Name::from(name.clone()))
        .part("neck edge", Role::Seam, style.curve_mm, faced)
        .line("shoulder", Role::Seam, style.seam_mm, fb, ib)
        .part("inner edge", Role::Hem, style.inner_mm, reversed(&inner))
        .line(half.centre_edge, if open { Role::Opening } else { Role::Fold }, centre_mm, ia, fa)
        .grain(ia + perpendicular(fa - ia) * 12.0 + (fa - ia) * 0.15, ia + perpendicular(fa - ia) * 12.0 + (fa - ia) * 0.85)
        .cut(if open { 2 } else { 1 }, open)
        .build()
}

/// To the right of a direction, of length one: the inside of an outline that runs clockwise as seen.
fn perpendicular(v: Vec2) -> Vec2 {
    Vec2::new(-v.y, v.x).normalize()
}

fn armhole_facing(half: &Half<'_>, style: &Style) -> Result<Piece, DraftError> {
    let name = format!("{} armhole facing", half.centre.name());
    let armhole = course(half, "armhole")?;
    let shoulder = along(&reversed(&half.edge("shoulder")?), style.at_shoulder);
    let side = along(&half.edge("side seam")?, style.depth);
    let none = || refuse(&name, "no edge can be drawn alongside the armhole");
    let faced = armhole.parallel(style.smaller, Finish::Cut(shoulder), Finish::Cut(side)).ok_or_else(none)?;
    let inner = armhole
        .alongside(style.at_shoulder, style.depth, Finish::Square(shoulder, style.at_shoulder), Finish::Square(side, style.depth))
        .ok_or_else(none)?;
    // Back to how the cloth lies at the armhole, so that the grain is the bodice's.
    let back = half.run.placed("armhole").ok_or_else(none)?.inverse();
    let (faced, inner) = (back * faced, back * inner);
    let ((fa, fb), (ia, ib)) = (ends(&faced), ends(&inner));
    let middle = Course::of(&inner).ok_or_else(none)?.path();
    let (first, _) = crate::course::cut_at(&middle, 0.3 * geometry::length(&middle));
    let at = end(&first).unwrap_or(ia) - perpendicular(end_tangent(&first)) * (0.5 * style.depth);
    PieceBuilder::new(Name::from(name.clone()))
        .part("armhole edge", Role::Seam, style.curve_mm, faced)
        .line("side seam", Role::Seam, style.seam_mm, fb, ib)
        .part("inner edge", Role::Hem, style.inner_mm, reversed(&inner))
        .line("shoulder", Role::Seam, style.seam_mm, ia, fa)
        .grain(at + Vec2::new(0.0, 25.0), at - Vec2::new(0.0, 25.0))
        .cut(2, true)
        .build()
}

/// Neck and armhole in one: the whole shoulder, and below it one smooth edge from the side to the centre.
fn all_in_one(half: &Half<'_>, style: &Style) -> Result<Piece, DraftError> {
    let name = format!("{} facing", half.centre.name());
    let none = || refuse(&name, "no edge can be drawn alongside neckline and armhole");
    let (neckline, armhole) = (course(half, "neckline")?, course(half, "armhole")?);
    let centre = half.down_the_centre()?;
    let shoulder = half.edge("shoulder")?;
    let side = along(&half.edge("side seam")?, style.depth);
    let out = along(&shoulder, geometry::length(&shoulder));
    let faced_neck = neckline.parallel(style.smaller, Finish::Cut(centre), Finish::Cut(out)).ok_or_else(none)?;
    let faced_armhole = armhole.parallel(style.smaller, Finish::Cut(-out), Finish::Cut(side)).ok_or_else(none)?;
    let (centre_top, neck_point) = ends(&faced_neck);
    let (tip, underarm) = ends(&faced_armhole);
    let low = neckline.ends().0 + centre.normalize() * style.depth;
    let side_end = armhole.ends().1 + side.normalize() * style.depth;
    // Square to the side and to the centre.
    let mut leaves = Vec2::new(side.y, -side.x).normalize();
    if leaves.dot(low - side_end) < 0.0 {
        leaves = -leaves;
    }
    let mut arrives = Vec2::new(centre.y, -centre.x).normalize();
    if arrives.dot(low - side_end) < 0.0 {
        arrives = -arrives;
    }
    let reach = 0.4 * side_end.distance(low);
    let mut inner = BezPath::new();
    inner.move_to(side_end);
    inner.curve_to(side_end + leaves * reach, low - arrives * reach, low);
    let (open, centre_mm) = half.opening();
    let grain = low + perpendicular(-centre) * 12.0;
    PieceBuilder::new(Name::from(name.clone()))
        .part("neck edge", Role::Seam, style.curve_mm, faced_neck)
        .part("shoulder", Role::Seam, style.seam_mm, line_path(neck_point, tip))
        .part("armhole edge", Role::Seam, style.curve_mm, faced_armhole)
        .line("side seam", Role::Seam, style.seam_mm, underarm, side_end)
        .part("inner edge", Role::Hem, style.inner_mm, inner)
        .line(half.centre_edge, if open { Role::Opening } else { Role::Fold }, centre_mm, low, centre_top)
        .grain(grain + (centre_top - low) * 0.15, grain + (centre_top - low) * 0.85)
        .cut(if open { 2 } else { 1 }, open)
        .build()
}

/// Each faced edge to its edge of the bodice, and front to back; a facing's edge is longer or shorter than the
/// bodice's by as much as it lies inside it, and eased on.
fn seams(draft: &mut Draft, made: &[(&Half<'_>, Piece)]) {
    let mut add = |a: EdgeRun, b: Vec<EdgeRun>, ease_mm: f64| draft.seams.push(Seam { a: vec![a], b, ease_mm });
    for (half, piece) in made {
        for (own, edge) in [("neck edge", "neckline"), ("armhole edge", "armhole")] {
            if let (Some(mm), Ok(whole)) = (piece.edge_length_mm(own), half.edge(edge)) {
                let runs = half.pieces().filter(|p| p.edge(edge).is_some()).map(|p| EdgeRun::new(p.name().clone(), edge)).collect();
                add(EdgeRun::new(piece.name().clone(), own), runs, mm - geometry::length(&whole));
            }
        }
    }
    for (_, front) in made.iter().filter(|(_, p)| p.name().as_str().starts_with("front")) {
        let Some((_, back)) = made.iter().find(|(_, p)| p.name().as_str() == front.name().as_str().replace("front", "back")) else {
            continue;
        };
        for edge in ["shoulder", "side seam"] {
            if let (Some(f), Some(b)) = (front.edge_length_mm(edge), back.edge_length_mm(edge)) {
                // Only a facing that goes over the whole shoulder has the ease of the bodice's shoulder.
                let ease = if edge == "shoulder" && front.edge("neck edge").is_some() && front.edge("armhole edge").is_some() {
                    b - f
                } else {
                    0.0
                };
                add(EdgeRun::new(back.name().clone(), edge), vec![EdgeRun::new(front.name().clone(), edge)], ease);
            }
        }
    }
}
