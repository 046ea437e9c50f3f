//! DXF drawings in text form: closed polylines and circles.
//!
//! Source: the public description of the format's group codes: 0 begins an entity, 8 is its layer, 10 and 20 its points, 42
//! the bulge of the stretch behind a point (the tangent of a quarter of its angle), 70 its flags, of which 1 is "closed";
//! `$INSUNITS` names the unit.

use kurbo::{BezPath, Circle, Point, Shape as _, Vec2};

use super::Read;
use crate::PrintError;

/// Circles become cubics that keep this close to them, millimetres.
const ROUND_MM: f64 = 1e-4;

/// One pair of the file.
struct Pair<'t> {
    code: i32,
    value: &'t str,
}

#[derive(Default)]
struct Entity {
    kind: String,
    layer: String,
    closed: bool,
    points: Vec<(Point, f64)>,
    radius: f64,
}

/// Reads the closed outlines of a drawing. `unit_mm` is what one unit of the drawing measures, if the drawing itself is
/// not to be believed.
///
/// # Errors
/// It is no DXF in text form, or does not say in which unit it is drawn.
pub fn read(text: &str, unit_mm: Option<f64>) -> Result<Read, PrintError> {
    let pairs = pairs(text)?;
    let scale = unit_mm.or_else(|| own_unit(&pairs)).ok_or_else(|| {
        PrintError::new("drawing", "does not say in which unit it is drawn", "Say what one of its units measures: --unit mm, cm or in.")
    })?;
    let mut out = Read::default();
    for entity in entities(&pairs)? {
        let name = if entity.layer.is_empty() || entity.layer == "0" { "piece".to_owned() } else { entity.layer.clone() };
        match entity.kind.as_str() {
            "LWPOLYLINE" | "POLYLINE" => out.add(&name, &polyline(&entity, scale)),
            "CIRCLE" => {
                if let Some((centre, _)) = entity.points.first() {
                    out.add(&name, &Circle::new(turned(*centre, scale), entity.radius * scale).to_path(ROUND_MM));
                }
            }
            kind => out.left_out.push(format!("{name}: {}", kind.to_lowercase())),
        }
    }
    Ok(out)
}

fn pairs(text: &str) -> Result<Vec<Pair<'_>>, PrintError> {
    let mut lines = text.lines();
    let mut out = Vec::new();
    while let Some(code) = lines.next() {
        if code.trim().is_empty() {
            continue;
        }
        let at = out.len() * 2 + 1;
        let (Ok(code), Some(value)) = (code.trim().parse(), lines.next()) else {
            return Err(PrintError::new(format!("line {at}"), "is no DXF in text form", "Save the drawing as DXF in text form (ASCII)."));
        };
        out.push(Pair { code, value: value.trim() });
    }
    Ok(out)
}

/// Millimetres in a unit of the drawing, by its header.
fn own_unit(pairs: &[Pair<'_>]) -> Option<f64> {
    let at = pairs.iter().position(|p| p.code == 9 && p.value == "$INSUNITS")?;
    Some(match pairs.get(at + 1)?.value {
        "1" => 25.4,
        "2" => 304.8,
        "4" => 1.0,
        "5" => 10.0,
        "6" => 1000.0,
        _ => return None,
    })
}

fn entities(pairs: &[Pair<'_>]) -> Result<Vec<Entity>, PrintError> {
    let begin = pairs.iter().position(|p| p.code == 2 && p.value == "ENTITIES").map_or(0, |i| i + 1);
    let mut out: Vec<Entity> = Vec::new();
    // The corners of an old polyline are entities of their own, up to the end of the sequence.
    let mut in_corner = false;
    for pair in &pairs[begin..] {
        let number = || -> Result<f64, PrintError> {
            pair.value.parse::<f64>().ok().filter(|n| n.is_finite()).ok_or_else(|| {
                PrintError::new("drawing", format!("has {:?} where a number belongs", pair.value), "Save the drawing again.")
            })
        };
        if pair.code == 0 {
            match pair.value {
                "ENDSEC" | "EOF" => break,
                "VERTEX" => in_corner = true,
                "SEQEND" => in_corner = false,
                kind => {
                    in_corner = false;
                    out.push(Entity { kind: kind.to_owned(), ..Entity::default() });
                }
            }
            continue;
        }
        let Some(entity) = out.last_mut() else { continue };
        let is_old = entity.kind == "POLYLINE";
        match pair.code {
            8 if !in_corner => entity.layer = pair.value.to_owned(),
            70 if !in_corner => entity.closed = pair.value.parse::<i64>().is_ok_and(|flags| flags & 1 == 1),
            10 if !is_old || in_corner => entity.points.push((Point::new(number()?, 0.0), 0.0)),
            20 if !is_old || in_corner => {
                let y = number()?;
                if let Some((p, _)) = entity.points.last_mut() {
                    p.y = y;
                }
            }
            40 if entity.kind == "CIRCLE" => entity.radius = number()?,
            42 => {
                let bulge = number()?;
                if let Some((_, b)) = entity.points.last_mut() {
                    *b = bulge;
                }
            }
            _ => {}
        }
    }
    Ok(out)
}

/// From the drawing, y upward, to millimetres, y downward.
fn turned(p: Point, scale: f64) -> Point {
    Point::new(p.x * scale, -p.y * scale)
}

fn polyline(entity: &Entity, scale: f64) -> BezPath {
    let mut path = BezPath::new();
    let Some((first, _)) = entity.points.first() else { return path };
    path.move_to(turned(*first, scale));
    let count = entity.points.len();
    let stretches = if entity.closed { count } else { count - 1 };
    for i in 0..stretches {
        let ((from, bulge), (to, _)) = (entity.points[i], entity.points[(i + 1) % count]);
        let (from, to) = (turned(from, scale), turned(to, scale));
        if bulge == 0.0 {
            if i + 1 < count {
                path.line_to(to);
            }
        } else {
            arc(&mut path, from, to, bulge);
        }
    }
    if entity.closed {
        path.close_path();
    }
    path
}

/// The arc behind a point; in the drawing a positive bulge goes round counterclockwise.
fn arc(path: &mut BezPath, from: Point, to: Point, bulge: f64) {
    // y has been turned over, so the same arc goes round the other way.
    let sweep = -4.0 * bulge.atan();
    let chord = to - from;
    let middle = from.midpoint(to);
    let off = chord.hypot() / 2.0 / (sweep / 2.0).tan();
    let centre = middle + Vec2::new(-chord.y, chord.x).normalize() * off;
    let radius = centre.distance(from);
    let arc = kurbo::Arc::new(centre, (radius, radius), (from - centre).atan2(), sweep, 0.0);
    path.extend(arc.append_iter(ROUND_MM));
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]
    use super::*;

    #[test]
    fn polylines_arcs_and_circles_come_in_millimetres() {
        let text = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n5\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n\
            0\nLWPOLYLINE\n8\nyoke\n70\n1\n10\n0\n20\n0\n10\n10\n20\n0\n42\n1\n10\n10\n20\n4\n10\n0\n20\n4\n\
            0\nPOLYLINE\n8\nyoke\n66\n1\n10\n0\n20\n0\n70\n1\n0\nVERTEX\n8\nyoke\n10\n0\n20\n0\n0\nVERTEX\n10\n3\n20\n0\n0\nVERTEX\n10\n0\n20\n3\n0\nSEQEND\n\
            0\nCIRCLE\n8\n0\n10\n5\n20\n5\n40\n2\n0\nLINE\n8\nmarks\n10\n0\n20\n0\n11\n1\n21\n1\n0\nENDSEC\n0\nEOF\n";
        let read = read(text, None).unwrap();
        let names: Vec<&str> = read.outlines.iter().map(|o| o.name.as_str()).collect();
        assert_eq!(names, ["yoke", "yoke 2", "piece"]);
        // 10 × 4 cm and half a disc of 2 cm at its right end.
        let area = 4000.0 + std::f64::consts::PI * 400.0 / 2.0;
        assert!((read.outlines[0].path.area().abs() - area).abs() < 0.1, "{}", read.outlines[0].path.area());
        assert!((read.outlines[0].path.bounding_box().x1 - 120.0).abs() < 1e-3);
        assert!((read.outlines[1].path.area().abs() - 450.0).abs() < 1e-9);
        assert!((read.outlines[2].path.area().abs() - std::f64::consts::PI * 400.0).abs() < 0.01);
        assert_eq!(read.left_out, ["marks: line"]);
        assert!(super::read("\u{1}\u{2}", None).is_err());
        assert!(super::read("0\nSECTION\n2\nENTITIES\n0\nEOF\n", None).unwrap_err().problem.contains("unit"));
    }
}
