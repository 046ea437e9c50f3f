//! The outline of a piece in one of its cloths: its cut line, changed as the layer asks.

use geo::algorithm::buffer::{Buffer as _, BufferStyle, LineCap, LineJoin};
use geo::{Area as _, BooleanOps as _, LineString, Polygon};
use kurbo::{BezPath, Point};

use super::Layer;
use crate::{DraftError, Edge, Piece, Role, allowance, geometry};

/// Outlines are laid as polygons that keep this close to the curves, millimetres.
pub const FLAT_MM: f64 = 0.05;
/// A strip that is cut away runs on so far past the ends of its edge, through the allowances beside it.
const PAST_MM: f64 = 80.0;

/// What becomes of an edge: its allowance, and how far inside the seam line the cloth ends where it has none.
fn at_edge(edge: &Edge, layer: &Layer) -> (f64, f64) {
    if edge.role == Role::Fold || edge.role == Role::DartLeg {
        return (edge.allowance_mm, 0.0);
    }
    let is_hem = edge.role == Role::Hem;
    let chosen = if is_hem { layer.hem } else { layer.allowance };
    let allowance = if layer.raw.contains(&edge.name) { 0.0 } else { chosen.map_or(edge.allowance_mm, |l| l.mm()) };
    let strips = layer.cut_away.iter().filter(|s| s.edge == edge.name).map(|s| s.by.mm());
    let inward = strips.fold(if is_hem { layer.hem_shorter.mm() } else { 0.0 }, f64::max);
    ((allowance - inward).max(0.0), (inward - allowance).max(0.0))
}

/// Corners of the outline that is cut, in the piece's own coordinates, the first not repeated.
///
/// # Errors
/// The layer leaves nothing of the piece, or names an edge that it does not have.
pub fn outline(piece: &Piece, cut_line: &BezPath, layer: &Layer) -> Result<Vec<Point>, DraftError> {
    let place = || format!("{}, {}", piece.name(), layer.cloth);
    let named = layer.raw.iter().chain(layer.cut_away.iter().map(|s| &s.edge));
    if let Some(name) = named.into_iter().find(|n| piece.edge(n.as_str()).is_none()) {
        let edges: Vec<&str> = piece.edges().iter().filter(|e| e.role != Role::DartLeg).map(|e| e.name.as_str()).collect();
        return Err(DraftError::new(place(), format!("has no edge named {name}"), format!("Use one of its edges: {}.", edges.join(", "))));
    }
    let changed: Vec<(&Edge, (f64, f64))> = piece.edges().iter().map(|e| (e, at_edge(e, layer))).collect();
    let same = changed.iter().all(|(e, (allowance, inward))| (e.allowance_mm - allowance).abs() < 1e-9 && *inward == 0.0);
    if same {
        return Ok(corners(cut_line));
    }
    let mut builder = piece.to_builder();
    for (edge, (allowance, _)) in &changed {
        builder = builder.allowance(edge.name.as_str(), *allowance);
    }
    let outline = corners(&allowance::cut_line(&builder.build()?)?);
    let mut cloth = vec![polygon(&outline)];
    for (edge, (_, inward)) in changed.iter().filter(|(_, (_, inward))| *inward > 1e-6) {
        for part in piece.edge_parts(edge.name.as_str()) {
            let line = LineString::from_iter(run_on(&part.path).iter().map(|p| (p.x, p.y)));
            let style = BufferStyle::new(*inward).line_cap(LineCap::Butt).line_join(LineJoin::Miter(0.3));
            let strip = line.buffer_with_style(style);
            cloth = cloth.iter().flat_map(|p| p.difference(&strip).0).collect();
        }
    }
    // What is left beside the strip, of allowances beyond it, is no part of the piece.
    let whole = cloth.into_iter().max_by(|a, b| a.unsigned_area().total_cmp(&b.unsigned_area()));
    let points: Vec<Point> = whole.map(|p| p.exterior().coords().map(|c| Point::new(c.x, c.y)).collect()).unwrap_or_default();
    let points = without_repeats(points);
    if points.len() < 3 || crate::lay::area_mm2(&points) < 1.0 {
        return Err(DraftError::new(place(), "has nothing left of it to cut", "Cut away less, or shorten the hem less."));
    }
    Ok(points)
}

/// An edge as corners, run on straight at both ends.
fn run_on(path: &BezPath) -> Vec<Point> {
    let mut points = geometry::flattened(path, FLAT_MM);
    if let (Some(first), Some(last)) = (points.first().copied(), points.last().copied()) {
        points.insert(0, first - geometry::start_tangent(path) * PAST_MM);
        points.push(last + geometry::end_tangent(path) * PAST_MM);
    }
    points
}

/// A closed path as corners.
fn corners(path: &BezPath) -> Vec<Point> {
    without_repeats(geometry::flattened(path, FLAT_MM))
}

fn without_repeats(mut points: Vec<Point>) -> Vec<Point> {
    points.dedup_by(|a, b| a.distance(*b) < 1e-6);
    while points.len() > 1 && points.first().zip(points.last()).is_some_and(|(a, b)| a.distance(*b) < 1e-6) {
        points.pop();
    }
    points
}

pub fn polygon(points: &[Point]) -> Polygon<f64> {
    Polygon::new(points.iter().map(|p| (p.x, p.y)).collect(), Vec::new())
}
