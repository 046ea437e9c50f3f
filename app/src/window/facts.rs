//! What there is to say about pieces, edges and seams, in words.

use draft_core::{Built, EdgeRun, Name, Piece, Role, Unit};

/// A seam from the side of one of its edges.
#[derive(Clone, Debug, PartialEq)]
pub struct Partner {
    /// The side on which the edge is, as text, when it is more than the edge itself.
    pub own: Option<(String, f64)>,
    /// The other side, as text, and its length in millimetres.
    pub other: (String, f64),
    /// The edge to go to on the other side.
    pub edge: Option<EdgeRun>,
    /// Ease that is meant: how much longer this side is, millimetres.
    pub ease_mm: f64,
    /// What is left over once the ease is sewn in, millimetres; this side less the other.
    pub difference_mm: f64,
}

/// The seams in which an edge is sewn.
pub fn partners(built: &Built, piece: &str, edge: &str) -> Vec<Partner> {
    let has = |runs: &[EdgeRun]| runs.iter().any(|r| r.piece == *piece && r.edge == *edge);
    let mut out = Vec::new();
    for (seam, walk) in built.draft.seams.iter().zip(&built.walks) {
        let Some(walk) = walk else { continue };
        let (a, b) = seam.sides();
        let mut add = |own: &[EdgeRun], own_text: String, own_mm: f64, other: &[EdgeRun], other_text: String, other_mm: f64, sign: f64| {
            let alone = matches!(own, [run] if (run.times - 1.0).abs() < 1e-9);
            out.push(Partner {
                own: (!alone).then_some((own_text, own_mm)),
                other: (other_text, other_mm),
                edge: other.first().cloned(),
                ease_mm: sign * seam.ease_mm,
                difference_mm: sign * walk.difference_mm,
            });
        };
        if has(&seam.a) {
            add(&seam.a, a.clone(), walk.a_mm, &seam.b, b.clone(), walk.b_mm, 1.0);
        }
        if has(&seam.b) {
            add(&seam.b, b, walk.b_mm, &seam.a, a, walk.a_mm, -1.0);
        }
    }
    out
}

/// The edges on the other side of the seams of an edge: piece and edge.
pub fn sewn_to(built: &Built, piece: &str, edge: &str) -> Vec<(Name, Name)> {
    let has = |runs: &[EdgeRun]| runs.iter().any(|r| r.piece == *piece && r.edge == *edge);
    let mut out = Vec::new();
    for seam in &built.draft.seams {
        for (own, other) in [(&seam.a, &seam.b), (&seam.b, &seam.a)] {
            if has(own) {
                out.extend(other.iter().map(|r| (r.piece.clone(), r.edge.clone())));
            }
        }
    }
    out
}

/// One edge in a line: `front / side seam — 18.8 cm, sewn to back / side seam 18.8 cm`.
pub fn edge_line(built: &Built, piece: &Piece, edge: usize, unit: Unit) -> String {
    let Some(edge) = piece.edges().get(edge) else { return String::new() };
    let length = piece.edge_length_mm(edge.name.as_str()).unwrap_or(0.0);
    let mut text = format!("{} / {} — {}", piece.name(), edge.name, unit.text(length));
    match edge.role {
        Role::Fold => text += ", on the fold of the cloth",
        Role::Hem => text += ", hem",
        Role::Opening => text += ", opening",
        _ => {}
    }
    if let Some(partner) = partners(built, piece.name().as_str(), edge.name.as_str()).first() {
        if let Some((own, mm)) = &partner.own {
            text += &format!(", in {own} {}", unit.text(*mm));
        }
        text += &format!(", sewn to {} {}", partner.other.0, unit.text(partner.other.1));
        if partner.ease_mm.abs() > 0.05 {
            let word = if partner.ease_mm > 0.0 { "eased in" } else { "stretched" };
            text += &format!(" ({} {word})", unit.text(partner.ease_mm.abs()));
        }
    }
    text
}

/// How often a piece is cut, in words.
pub fn cut_words(piece: &Piece) -> String {
    let cut = piece.cut();
    let fold = piece.fold().is_some();
    match (cut.count, cut.pairs, fold) {
        (1, _, true) => "cut 1 on the fold".into(),
        (n, _, true) => format!("cut {n} on the fold"),
        (2, true, false) => "cut 2, a pair".into(),
        (n, true, false) => format!("cut {n}, in pairs"),
        (n, false, false) => format!("cut {n}"),
    }
}

/// An area, in the unit that cloth is thought of.
pub fn area(mm2: f64, unit: Unit) -> String {
    match unit {
        Unit::Inch => format!("{:.0} sq in", mm2 / (25.4 * 25.4)),
        Unit::Cm | Unit::Mm => {
            if mm2 >= 100_000.0 {
                format!("{:.3} m²", mm2 / 1e6)
            } else {
                format!("{:.0} cm²", mm2 / 100.0)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
    use super::*;

    #[test]
    fn an_edge_tells_what_it_is_sewn_to() {
        let built = crate::demo::read().unwrap().2.build();
        let mut said = 0;
        for piece in &built.draft.pieces {
            for (i, edge) in piece.edges().iter().enumerate() {
                let line = edge_line(&built, piece, i, Unit::Cm);
                assert!(line.starts_with(&format!("{} / {} — ", piece.name(), edge.name)), "{line}");
                said += usize::from(line.contains("sewn to"));
            }
        }
        assert!(said > 4, "only {said} edges are sewn");
    }

    #[test]
    fn both_sides_of_a_seam_see_one_another() {
        let built = crate::demo::read().unwrap().2.build();
        let seam = built.draft.seams.iter().find(|s| s.a.len() == 1 && s.b.len() == 1 && s.a != s.b).unwrap();
        let from_a = &partners(&built, seam.a[0].piece.as_str(), seam.a[0].edge.as_str());
        let from_b = &partners(&built, seam.b[0].piece.as_str(), seam.b[0].edge.as_str());
        assert!(from_a.iter().any(|p| p.edge.as_ref() == Some(&seam.b[0])));
        assert!(from_b.iter().any(|p| p.edge.as_ref() == Some(&seam.a[0]) && (p.ease_mm + seam.ease_mm).abs() < 1e-12));
    }
}
