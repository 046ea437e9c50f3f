//! Notions: what is needed beside cloth.

use crate::cloth::{ClothKind, Cut, Finish, cuts};
use crate::cut_list::field;
use crate::table::{Table, words};
use crate::{Built, Covered, Edge, EdgeRun, Garment, Piece, Role, Unit};

/// Metres of thread in a metre of machine seam, at least and at most (common practice).
const THREAD_PER_SEAM: (f64, f64) = (2.5, 3.0);
/// A strip for binding before it is folded, millimetres (common practice: 4 cm for a finished 1 cm).
const STRIP_MM: f64 = 40.0;

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
    /// So many, each of a length in millimetres.
    Each(usize, f64),
    /// So many, each covering a part of a piece.
    Covered(usize, Covered),
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
            Self::Area(mm2) => unit.area(mm2),
            Self::Each(n, mm) => format!("{n} of {}", unit.rough(mm)),
            Self::Covered(n, c) => {
                let one = format!("{} × {}, {}", unit.rough(c.wide_mm), unit.rough(c.high_mm), unit.area(c.area_mm2));
                if n == 1 { one } else { format!("{n} of {one}") }
            }
        }
    }
}

/// How often an edge of a piece is there in the whole garment.
fn times(piece: &Piece) -> f64 {
    f64::from(piece.cut().count) * if piece.fold().is_some() { 2.0 } else { 1.0 }
}

fn lies_behind(piece: &Piece) -> bool {
    is_facing(piece) || piece.name().as_str().starts_with("under ") || piece.name().as_str().ends_with(" lining")
}

fn is_facing(piece: &Piece) -> bool {
    piece.name().as_str().ends_with("facing")
}

fn length(piece: &Piece, edge: &Edge) -> f64 {
    piece.edge_length_mm(edge.name.as_str()).unwrap_or(0.0)
}

fn pieces(built: &Built) -> impl Iterator<Item = &Piece> {
    built.draft.pieces.iter().map(|p| &**p)
}

/// The notions of a garment; lengths within a note are in `unit`.
pub fn notions(garment: &Garment, built: &Built, unit: Unit) -> Vec<Notion> {
    let mut out = closures(built);
    out.extend(of_works(built, unit));
    out.extend(marked(built, unit));
    let (cuts, _) = cuts(garment, built);
    out.extend(interfacing(garment, &cuts));
    out.extend(binding(built, &cuts, unit));
    out.extend(facings(built));
    out.extend(thread(built));
    out
}

/// Openings that are drafted: both edges, left and right, are one closure; a facing, a lining or an under collar lies behind it.
fn closures(built: &Built) -> Vec<Notion> {
    let mut out = Vec::new();
    for name in ["centre back", "centre front"] {
        let edges = pieces(built).filter(|p| !lies_behind(p)).filter_map(|p| Some((p, p.edge(name).filter(|e| e.role == Role::Opening)?)));
        let parts: Vec<(&Piece, f64)> = edges.map(|(p, e)| (p, length(p, e))).filter(|(_, mm)| *mm > 0.0).collect();
        if !parts.is_empty() {
            out.push(Notion {
                what: "zip, lacing or another closure".into(),
                place: format!("{name}: {}", parts.iter().map(|(p, _)| p.name().to_string()).collect::<Vec<_>>().join(", ")),
                amount: Amount::Length(parts.iter().map(|(_, mm)| mm).sum()),
                note: "Where a skirt is joined on, longer by what the opening goes on below the waist, to the fullest part of the hip \
                       (common practice: 18 to 23 cm)."
                    .into(),
            });
        }
    }
    out
}

/// What the works ask for: bones one by one, the casing for all of them together, everything else as it was asked for.
fn of_works(built: &Built, unit: Unit) -> Vec<Notion> {
    let mut out: Vec<Notion> = Vec::new();
    let mut casings: Vec<(&str, f64, Vec<&str>)> = Vec::new();
    for n in &built.draft.notions {
        let count = n.count.max(1);
        if n.what.starts_with("casing") {
            let own = f64::from(count) * n.length_mm.unwrap_or(0.0);
            match casings.iter_mut().find(|(what, ..)| *what == n.what) {
                Some((_, mm, places)) => {
                    *mm += own;
                    places.push(&n.place);
                }
                None => casings.push((&n.what, own, vec![&n.place])),
            }
            continue;
        }
        let amount = match (n.length_mm, n.covers, count) {
            (_, Some(c), count) => Amount::Covered(count as usize, c),
            (Some(mm), None, 1) => Amount::Length(mm),
            (Some(mm), None, count) => Amount::Each(count as usize, mm),
            (None, None, count) => Amount::Count(count as usize),
        };
        let mut note = Vec::new();
        if let Some(mm) = n.spacing_mm {
            note.push(format!("{} from the middle of one to the next.", unit.rough(mm)));
        }
        if n.what == "button" && n.spacing_mm.is_some() {
            note.push("One of them to spare.".into());
        }
        if let (Some(mm), Some(_)) = (n.length_mm, n.covers) {
            note.push(format!("{} round it, on each.", unit.rough(mm)));
        }
        let new = Notion { what: n.what.clone(), place: n.place.clone(), amount, note: note.join(" ") };
        // The same again at the same place is one line.
        let same = out.iter_mut().find(|o| o.what == new.what && o.place == new.place && o.note == new.note);
        match (same, new.amount) {
            (Some(Notion { amount: Amount::Count(before), .. }), Amount::Count(more)) => *before += more,
            _ => out.push(new),
        }
    }
    out.extend(casings.into_iter().map(|(what, mm, places)| Notion {
        what: what.to_owned(),
        place: places.join(", "),
        amount: Amount::Length(mm),
        note: "For all bones together.".into(),
    }));
    out
}

/// Buttons and loops that are marked as points. Closings that a work has listed are not counted again.
fn marked(built: &Built, unit: Unit) -> Vec<Notion> {
    let mut out = Vec::new();
    let listed = |piece: &Piece, point: &str| {
        built.draft.notions.iter().any(|n| {
            n.place == piece.name().as_str() && (n.what == point || point.strip_prefix(n.what.as_str()).is_some_and(|r| r.starts_with(' ')))
        })
    };
    for (what, word, spare) in [("buttons", "button", 1), ("button loops or buttonholes", "loop", 0), ("finger loops", "finger loop", 0)] {
        let is = |name: &str| name.strip_prefix(word).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '));
        let marked: Vec<(&Piece, Vec<kurbo::Point>)> = pieces(built)
            .map(|p| {
                let own = p.points().iter().filter(|m| m.marked && is(m.name.as_str()) && !listed(p, m.name.as_str()));
                (p, own.map(|m| m.at).collect::<Vec<_>>())
            })
            .filter(|(_, points)| !points.is_empty())
            .collect();
        let count: usize = marked.iter().map(|(p, points)| points.len() * p.cut().count as usize).sum();
        if count == 0 {
            continue;
        }
        let gaps = || marked.iter().flat_map(|(_, points)| points.windows(2).map(|w| w[0].distance(w[1])));
        let (least, most) = gaps().fold((f64::INFINITY, 0.0_f64), |(a, b), mm| (a.min(mm), b.max(mm)));
        let mut note = Vec::new();
        if most > 0.0 {
            let far = if most - least < 1.0 { unit.rough(most) } else { format!("{} to {}", unit.rough(least), unit.rough(most)) };
            note.push(format!("{far} from one to the next."));
        }
        if spare > 0 {
            note.push("One of them to spare.".into());
        }
        out.push(Notion {
            what: what.into(),
            place: marked.iter().map(|(p, _)| p.name().to_string()).collect::<Vec<_>>().join(", "),
            amount: Amount::Count(count + spare),
            note: note.join(" "),
        });
    }
    out
}

fn interfacing(garment: &Garment, cuts: &[Cut]) -> Vec<Notion> {
    let mut out = Vec::new();
    for cloth in garment.cloths.iter().filter(|c| c.kind == ClothKind::Interfacing) {
        let area: f64 = cuts.iter().filter(|c| c.layer.cloth == cloth.name).map(Cut::area_mm2).sum();
        if area > 0.0 {
            let note = "Its area; what to buy says how much of its width that takes.".into();
            out.push(Notion { what: "interfacing".into(), place: cloth.name.clone(), amount: Amount::Area(area), note });
        }
    }
    out
}

/// Bias strips round the allowances that are bound.
fn binding(built: &Built, cuts: &[Cut], unit: Unit) -> Option<Notion> {
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
    (bound > 0.0).then(|| Notion {
        what: "bias binding".into(),
        place: "seam allowances that are bound".into(),
        amount: Amount::Length(bound),
        note: format!(
            "Each edge by itself. Cut from your own cloth, strips 4 cm wide (common practice) take {}.",
            unit.area(bound * STRIP_MM)
        ),
    })
}

/// How long facings are along what they face, and how long the edge is that they leave free.
fn facings(built: &Built) -> Vec<Notion> {
    let mut out = Vec::new();
    for piece in pieces(built).filter(|p| is_facing(p)) {
        let mut add = |what: &str, mm: f64, note: &str| {
            if mm > 0.0 {
                out.push(Notion {
                    what: what.into(),
                    place: piece.name().to_string(),
                    amount: Amount::Length(mm * times(piece)),
                    note: note.into(),
                });
            }
        };
        let faces = |edge: &Edge| {
            built.draft.seams.iter().any(|seam| {
                let on = |run: &EdgeRun| run.piece == *piece.name() && run.edge == edge.name;
                let faced = |runs: &[EdgeRun]| runs.iter().any(|r| built.draft.piece(r.piece.as_str()).is_some_and(|p| !is_facing(p)));
                (seam.a.iter().any(on) && faced(&seam.b)) || (seam.b.iter().any(on) && faced(&seam.a))
            })
        };
        let along = piece.edges().iter().filter(|e| faces(e)).map(|e| length(piece, e)).sum();
        add("facing", along, "Along the edge that it faces.");
        let free = piece.edges().iter().filter(|e| matches!(e.role, Role::Hem | Role::Cut)).map(|e| length(piece, e)).sum();
        add("edge to finish", free, "Serged, bound or turned under.");
    }
    out
}

fn thread(built: &Built) -> Option<Notion> {
    let sewn: f64 = pieces(built)
        .map(|p| {
            let of = |role: Role| p.edges().iter().filter(|e| e.role == role).map(|e| length(p, e)).sum::<f64>();
            // Two edges make a seam, two legs a dart; a hem and an opening's edge are stitched by themselves.
            times(p) * ((of(Role::Seam) + of(Role::DartLeg)) / 2.0 + of(Role::Hem) + of(Role::Opening))
        })
        .sum();
    (sewn > 0.0).then(|| Notion {
        what: "sewing thread".into(),
        place: "seams, darts, hems and openings, once each".into(),
        amount: Amount::Between(THREAD_PER_SEAM.0 * sewn, THREAD_PER_SEAM.1 * sewn),
        note: "2.5 to 3 m for each metre of seam (common practice); more for serging, gathering and tacking.".into(),
    })
}

/// The list as it is shown and printed.
pub fn table(list: &[Notion], unit: Unit) -> Table {
    let row = |n: &Notion| vec![n.what.clone(), n.amount.text(unit), n.place.clone(), n.note.clone()];
    let columns = vec![words("What", 0.2), words("How much", 0.16), words("Where", 0.26), words("To know", 0.38)];
    Table { columns, rows: list.iter().map(row).collect() }
}

/// The list as a table with commas.
pub fn to_csv(list: &[Notion], unit: Unit) -> String {
    let mut out = "what,where,amount,note\n".to_owned();
    for n in list {
        out += &format!("{},{},{},{}\n", field(&n.what), field(&n.place), field(&n.amount.text(unit)), field(&n.note));
    }
    out
}
