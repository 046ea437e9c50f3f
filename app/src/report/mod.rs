//! What `check` reports, for people and as JSON. Millimetres; keys never change meaning.

mod measured;

use draft_core::cloth::cloths_of;
use draft_core::{Built, Garment, Girth, Grade, Message, SEWN_MM, Unit, geometry, usual};
use serde::Serialize;

/// How closely the polylines follow the curves, millimetres.
const POLYLINE_MM: f64 = 0.05;

/// The report of `check --json`.
#[derive(Debug, Serialize)]
pub struct CheckReport {
    garment: String,
    wearer: String,
    ok: bool,
    pieces: Vec<PieceReport>,
    seams: Vec<SeamReport>,
    girths: Vec<GirthReport>,
    points: Vec<PointReport>,
    works: Vec<WorkReport>,
    messages: Vec<Message>,
    measurements: Vec<measured::MeasurementReport>,
    settling: Vec<measured::SettlingReport>,
}

#[derive(Debug, Serialize)]
struct PieceReport {
    name: String,
    cut: u32,
    on_fold: bool,
    cloths: Vec<String>,
    area_mm2: f64,
    width_mm: f64,
    height_mm: f64,
    edges: Vec<EdgeReport>,
    outline: Vec<[f64; 2]>,
    cut_line: Vec<[f64; 2]>,
}

#[derive(Debug, Serialize)]
struct EdgeReport {
    name: String,
    role: &'static str,
    length_mm: f64,
    allowance_mm: f64,
}

#[derive(Debug, Serialize)]
struct SeamReport {
    a: String,
    b: String,
    a_mm: Option<f64>,
    b_mm: Option<f64>,
    ease_mm: f64,
    difference_mm: Option<f64>,
    ok: bool,
}

#[derive(Debug, Serialize)]
struct GirthReport {
    level: &'static str,
    body_mm: f64,
    ease_mm: f64,
    finished_mm: f64,
    /// What the ease is usual for, in words; nothing where there is nothing to say.
    #[serde(skip_serializing_if = "Option::is_none")]
    fit: Option<String>,
    usual: Vec<UsualReport>,
}

#[derive(Debug, Serialize)]
struct UsualReport {
    purpose: &'static str,
    low_mm: f64,
    high_mm: f64,
    source: &'static str,
}

impl GirthReport {
    fn of(girth: &Girth, unit: Unit) -> Self {
        let usual = usual::of(girth.level).into_iter().flatten();
        Self {
            level: girth.level,
            body_mm: girth.body_mm,
            ease_mm: girth.ease_mm,
            finished_mm: girth.finished_mm,
            fit: usual::standing(girth).map(|s| s.text(unit)),
            usual: usual
                .map(|u| UsualReport { purpose: u.purpose.name(), low_mm: u.low_mm, high_mm: u.high_mm, source: u.source.name() })
                .collect(),
        }
    }
}

#[derive(Debug, Serialize)]
struct PointReport {
    piece: String,
    name: String,
    at: [f64; 2],
}

#[derive(Debug, Serialize)]
struct WorkReport {
    n: usize,
    what: String,
    applied: bool,
    reason: Option<String>,
}

fn closed(path: &kurbo::BezPath) -> Vec<[f64; 2]> {
    geometry::flattened(path, POLYLINE_MM).iter().map(|p| [p.x, p.y]).collect()
}

impl CheckReport {
    /// The report of a built garment.
    pub fn of(garment: &Garment, built: &Built) -> Self {
        let pieces = built
            .pieces()
            .map(|(piece, cut_line)| {
                let bounds = piece.bounds();
                PieceReport {
                    name: piece.name().to_string(),
                    cut: piece.cut().count,
                    on_fold: piece.fold().is_some(),
                    cloths: cloths_of(garment, piece.name()),
                    area_mm2: piece.area_mm2(),
                    width_mm: bounds.width(),
                    height_mm: bounds.height(),
                    edges: piece
                        .edges()
                        .iter()
                        .map(|e| EdgeReport {
                            name: e.name.to_string(),
                            role: e.role.word(),
                            length_mm: piece.edge_length_mm(e.name.as_str()).unwrap_or(0.0),
                            allowance_mm: e.allowance_mm,
                        })
                        .collect(),
                    outline: closed(&piece.outline()),
                    cut_line: closed(cut_line),
                }
            })
            .collect();
        let seams = built
            .draft
            .seams
            .iter()
            .zip(&built.walks)
            .map(|(seam, walk)| {
                let (a, b) = seam.sides();
                SeamReport {
                    a,
                    b,
                    a_mm: walk.map(|w| w.a_mm),
                    b_mm: walk.map(|w| w.b_mm),
                    ease_mm: seam.ease_mm,
                    difference_mm: walk.map(|w| w.difference_mm),
                    ok: walk.is_some_and(|w| w.difference_mm.abs() <= SEWN_MM),
                }
            })
            .collect();
        Self {
            garment: garment.name.clone(),
            wearer: garment.wearer.name.clone(),
            ok: built.is_ok(),
            pieces,
            seams,
            girths: built.girths.iter().map(|g| GirthReport::of(g, garment.wearer.unit)).collect(),
            points: built
                .pieces()
                .flat_map(|(piece, _)| {
                    piece.points().iter().map(|p| PointReport {
                        piece: piece.name().to_string(),
                        name: p.name.to_string(),
                        at: [p.at.x, p.at.y],
                    })
                })
                .collect(),
            works: built
                .outcomes
                .iter()
                .enumerate()
                .map(|(i, o)| WorkReport {
                    n: i + 1,
                    what: o.what.clone(),
                    applied: o.skipped.is_none() && !o.off,
                    reason: o.skipped.as_ref().map(ToString::to_string).or_else(|| o.off.then(|| "switched off".to_owned())),
                })
                .collect(),
            messages: built.messages.clone(),
            measurements: measured::measurements(garment, built),
            settling: measured::settling(garment, built),
        }
    }

    /// The report for people, in the wearer card's unit.
    pub fn text(garment: &Garment, built: &Built) -> String {
        use std::fmt::Write as _;
        let unit = garment.wearer.unit;
        let mut out = String::new();
        // Writing to a String can't fail.
        let _ = writeln!(out, "{} for {}", garment.name, garment.wearer.name);
        let _ = writeln!(out, "\nWorks");
        for (i, o) in built.outcomes.iter().enumerate() {
            let state = match (&o.skipped, o.off) {
                (Some(error), _) => format!("skipped: {error}"),
                (None, true) => "switched off".to_owned(),
                (None, false) => "done".to_owned(),
            };
            let _ = writeln!(out, "  {:>2}  {:<24} {state}", i + 1, o.what);
        }
        measured::table(&mut out, garment, built);
        let _ = writeln!(out, "\nPieces");
        for (piece, _) in built.pieces() {
            let cut = piece.cut();
            let how = if piece.fold().is_some() {
                ", on the fold"
            } else if cut.pairs {
                ", in mirrored pairs"
            } else {
                ""
            };
            let _ = writeln!(out, "  {} (cut {}{how})", piece.name(), cut.count);
            for edge in piece.edges() {
                let length = unit.text(piece.edge_length_mm(edge.name.as_str()).unwrap_or(0.0));
                let _ = writeln!(out, "      {:<24} {length:>12}   {}", edge.name, edge.role.word());
            }
        }
        let _ = writeln!(out, "\nSeams{:>63}{:>12}{:>12}", "first", "second", "ease");
        for (seam, walk) in built.draft.seams.iter().zip(&built.walks) {
            let (a, b) = seam.sides();
            let (x, y) = walk.map_or(("gone".into(), "gone".into()), |w| (unit.text(w.a_mm), unit.text(w.b_mm)));
            let _ = writeln!(out, "  {:<54}{x:>12}{y:>12}{:>12}", format!("{a} = {b}"), unit.text(seam.ease_mm));
        }
        let _ = writeln!(out, "\nLevels{:>32}{:>12}{:>12}   for", "body", "ease", "finished");
        for g in &built.girths {
            let [body, ease, finished] = [g.body_mm, g.ease_mm, g.finished_mm].map(|mm| unit.text(mm));
            let fit = usual::standing(g).map_or_else(String::new, |s| format!("   {}", s.text(unit)));
            let _ = writeln!(out, "  {:<24}{body:>12}{ease:>12}{finished:>12}{fit}", g.level);
        }
        let _ = writeln!(out, "\nMessages");
        if built.messages.is_empty() {
            let _ = writeln!(out, "  none");
        }
        for m in &built.messages {
            let grade = match m.grade {
                Grade::Error => "Mend",
                Grade::Warning => "Check",
                Grade::Caution => "Take care",
                Grade::Note => "Note",
            };
            let _ = writeln!(out, "  {grade}: {}: {}. {}", m.place, m.problem, m.remedy);
            if let Some(line) = measured::settling_line(garment, built, m) {
                let _ = writeln!(out, "      {line}");
            }
        }
        out
    }
}
