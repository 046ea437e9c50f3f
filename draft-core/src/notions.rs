//! Notions: what is needed beside cloth.

use crate::cloth::{ClothKind, Cut, Finish, cuts};
use crate::cut_list::field;
use crate::{Built, Edge, Garment, Piece, Role, Unit};

/// Metres of thread in a metre of machine seam, at least and at most (common practice).
const THREAD_PER_SEAM: (f64, f64) = (2.5, 3.0);

/// What a number counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// Pieces of it.
    Count(usize),
    /// A length in millimetres.
    Length(f64),
    /// Between two lengths in millimetres.
    Between(f64, f64),
    /// An area in square millimetres.
    Area(f64),
}

/// One thing to have at hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Notion {
    /// What.
    pub what: String,
    /// Where it goes.
    pub place: String,
    /// How much.
    pub amount: Amount,
    /// What to know about it.
    pub note: String,
}

impl Amount {
    /// As text in a unit.
    pub fn text(self, unit: Unit) -> String {
        match self {
            Self::Count(n) => n.to_string(),
            Self::Length(mm) => unit.rough(mm),
            // Thread and the like are told in metres or yards.
            Self::Between(a, b) if a > 3000.0 => {
                let (one, sign) = if unit == Unit::Inch { (914.4, "yd") } else { (1000.0, "m") };
                format!("{:.0} to {:.0} {sign}", a / one, b / one)
            }
            Self::Between(a, b) => format!("{} to {}", unit.rough(a), unit.rough(b)),
            Self::Area(mm2) => format!("{:.0} cm²", mm2 / 100.0),
        }
    }
}

/// How often an edge of a piece is there in the whole garment.
fn times(piece: &Piece) -> f64 {
    f64::from(piece.cut().count) * if piece.fold().is_some() { 2.0 } else { 1.0 }
}

fn lies_behind(piece: &Piece) -> bool {
    is_facing(piece) || piece.name().as_str().starts_with("under ")
}

fn is_facing(piece: &Piece) -> bool {
    piece.name().as_str().ends_with("facing")
}

fn length(piece: &Piece, edge: &Edge) -> f64 {
    piece.edge_length_mm(edge.name.as_str()).unwrap_or(0.0)
}

/// The notions of a garment.
pub fn notions(garment: &Garment, built: &Built) -> Vec<Notion> {
    let pieces = || built.draft.pieces.iter().map(|p| &**p);
    let mut out = Vec::new();
    // Both edges of an opening, left and right, are one closure; a facing or an under collar lies behind it.
    for name in ["centre back", "centre front"] {
        let edges = pieces().filter(|p| !lies_behind(p)).filter_map(|p| Some((p, p.edge(name).filter(|e| e.role == Role::Opening)?)));
        let parts: Vec<(&Piece, f64)> = edges.map(|(p, e)| (p, length(p, e))).filter(|(_, mm)| *mm > 0.0).collect();
        if !parts.is_empty() {
            out.push(Notion {
                what: "zip, or another closure".into(),
                place: format!("{name}: {}", parts.iter().map(|(p, _)| p.name().to_string()).collect::<Vec<_>>().join(", ")),
                amount: Amount::Length(parts.iter().map(|(_, mm)| mm).sum()),
                note: "Where a skirt is joined on, longer by what the opening goes on below the waist, to the fullest part of the hip \
                       (common practice: 18 to 23 cm)."
                    .into(),
            });
        }
    }
    for (what, word, spare) in [("buttons", "button ", 1), ("button loops or buttonholes", "loop ", 0), ("finger loops", "finger loop", 0)]
    {
        let marked: Vec<(&Piece, usize)> = pieces()
            .map(|p| (p, p.points().iter().filter(|m| m.marked && m.name.as_str().starts_with(word)).count() * p.cut().count as usize))
            .filter(|(_, n)| *n > 0)
            .collect();
        let count: usize = marked.iter().map(|(_, n)| n).sum();
        if count > 0 {
            out.push(Notion {
                what: what.into(),
                place: marked.iter().map(|(p, _)| p.name().to_string()).collect::<Vec<_>>().join(", "),
                amount: Amount::Count(count + spare),
                note: if spare > 0 { "One of them to spare.".into() } else { String::new() },
            });
        }
    }
    let (cuts, _) = cuts(garment, built);
    for cloth in garment.cloths.iter().filter(|c| c.kind == ClothKind::Interfacing) {
        let area: f64 = cuts.iter().filter(|c| c.layer.cloth == cloth.name).map(Cut::area_mm2).sum();
        if area > 0.0 {
            out.push(Notion { what: "interfacing".into(), place: cloth.name.clone(), amount: Amount::Area(area), note: String::new() });
        }
    }
    let bound: f64 = cuts
        .iter()
        .filter(|c| c.layer.finish == Finish::Bound)
        .filter_map(|c| Some((built.draft.piece(c.piece.as_str())?, c)))
        .map(|(p, c)| {
            let edges = p.edges().iter().filter(|e| !matches!(e.role, Role::Fold | Role::DartLeg));
            let both = if c.fold.is_some() { 2.0 } else { 1.0 };
            both * f64::from(c.count) * edges.map(|e| length(p, e)).sum::<f64>()
        })
        .sum();
    if bound > 0.0 {
        out.push(Notion {
            what: "bias binding".into(),
            place: "seam allowances that are bound".into(),
            amount: Amount::Length(bound),
            note: "Each edge by itself.".into(),
        });
    }
    for piece in pieces().filter(|p| is_facing(p)) {
        // The edge that is not sewn to anything.
        let free = piece.edges().iter().filter(|e| matches!(e.role, Role::Hem | Role::Cut));
        let mm: f64 = free.map(|e| length(piece, e)).sum::<f64>() * times(piece);
        if mm > 0.0 {
            out.push(Notion {
                what: "edge to finish".into(),
                place: piece.name().to_string(),
                amount: Amount::Length(mm),
                note: "Serged, bound or turned under.".into(),
            });
        }
    }
    let sewn: f64 = pieces()
        .map(|p| {
            let of = |role: Role| p.edges().iter().filter(|e| e.role == role).map(|e| length(p, e)).sum::<f64>();
            // Two edges make a seam, two legs a dart; a hem and an opening's edge are stitched by themselves.
            times(p) * ((of(Role::Seam) + of(Role::DartLeg)) / 2.0 + of(Role::Hem) + of(Role::Opening))
        })
        .sum();
    if sewn > 0.0 {
        out.push(Notion {
            what: "sewing thread".into(),
            place: "seams, darts, hems and openings, once each".into(),
            amount: Amount::Between(THREAD_PER_SEAM.0 * sewn, THREAD_PER_SEAM.1 * sewn),
            note: "2.5 to 3 m for each metre of seam (common practice); more for serging, gathering and tacking.".into(),
        });
    }
    out
}

/// The list as a table with commas.
pub fn to_csv(list: &[Notion], unit: Unit) -> String {
    let mut out = "what,where,amount,note\n".to_owned();
    for n in list {
        out += &format!("{},{},{},{}\n", field(&n.what), field(&n.place), field(&n.amount.text(unit)), field(&n.note));
    }
    out
}
