//! The order of sewing: every dart, seam, opening and hem of a garment, in an order in which it can be sewn.
//!
//! Flat before round, the parts before the whole: darts, style lines, shoulders, sides, sleeves closed and set in,
//! skirt, waist, opening, collar, facings, hems (common practice). A maker may well have reasons for another order.

use crate::{Draft, EdgeRun, Piece, Role, Seam, Unit};

/// What belongs together, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Darts.
    Darts,
    /// Princess seams, yokes, piecing seams.
    StyleLines,
    /// Shoulder seams.
    Shoulders,
    /// Side seams.
    Sides,
    /// Sleeves, each by itself.
    SleevesClosed,
    /// Sleeves into their armholes.
    SleevesSet,
    /// Panels of the skirt.
    Skirt,
    /// Upper part to lower part.
    Waist,
    /// Zip, lacing, buttons.
    Openings,
    /// Collar and its lower layer.
    CollarMade,
    /// The collar to the neckline.
    CollarSet,
    /// Facings to one another, then to their edges.
    Facings,
    /// Hems.
    Hems,
}

impl Group {
    /// Its heading.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Darts => "Darts",
            Self::StyleLines => "Style lines and piecing seams",
            Self::Shoulders => "Shoulders",
            Self::Sides => "Sides",
            Self::SleevesClosed => "Sleeves, each by itself",
            Self::SleevesSet => "Sleeves into the armholes",
            Self::Skirt => "Skirt",
            Self::Waist => "Waist",
            Self::Openings => "Openings",
            Self::CollarMade => "Collar, by itself",
            Self::CollarSet => "Collar to the neckline",
            Self::Facings => "Facings",
            Self::Hems => "Hems",
        }
    }
}

/// One thing to sew.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What it belongs to.
    pub group: Group,
    /// What is sewn to what.
    pub what: String,
    /// How long, and what to mind.
    pub how: String,
}

/// Everything to sew, in order.
pub fn steps(draft: &Draft, unit: Unit) -> Vec<Step> {
    let mut out = Vec::new();
    for piece in draft.pieces.iter().filter(|p| !p.darts().is_empty()) {
        for dart in piece.darts() {
            let leg = piece.edge_length_mm(dart.leg_a.as_str()).unwrap_or(0.0);
            let how = format!("{} from the mouth to the tip; knot the threads there", unit.rough(leg));
            out.push(Step { group: Group::Darts, what: format!("{}: {}", piece.name(), dart.name), how });
        }
    }
    for seam in &draft.seams {
        let Some(group) = group_of(draft, seam) else { continue };
        let Some(walk) = seam.walk(|name| draft.piece(name.as_str())) else { continue };
        let (a, b) = seam.sides();
        out.push(Step { group, what: format!("{a} to {b}"), how: how(seam, walk.a_mm, walk.b_mm, unit) });
    }
    for piece in &draft.pieces {
        let facing = is_facing(piece.name().as_str());
        for edge in piece.edges() {
            let length = || unit.rough(piece.edge_length_mm(edge.name.as_str()).unwrap_or(0.0));
            let what = format!("{} / {}", piece.name(), edge.name);
            match edge.role {
                Role::Opening if !facing && !is_under(piece) => {
                    let lining = piece.name().as_str().ends_with(" lining");
                    let closes = if lining { "turned in and felled to the closure" } else { "the zip or another closure" };
                    let how = format!("{}: {closes}", length());
                    out.push(Step { group: Group::Openings, what, how });
                }
                Role::Hem if facing => out.push(Step { group: Group::Facings, what, how: format!("finish the edge, {}", length()) }),
                Role::Hem => {
                    let how = if edge.allowance_mm > 0.0 {
                        format!("{}, {} turned up", length(), unit.rough(edge.allowance_mm))
                    } else {
                        format!("{}, no allowance: rolled, bound or left raw", length())
                    };
                    out.push(Step { group: Group::Hems, what, how });
                }
                _ => {}
            }
        }
    }
    // Within a group as the pieces were made; facings are joined and finished before they are set on.
    let facing_last = |s: &Step| s.group == Group::Facings && s.what.split(" to ").any(|side| !side.contains("facing"));
    out.sort_by_key(|s| (s.group, facing_last(s)));
    out
}

fn how(seam: &Seam, a_mm: f64, b_mm: f64, unit: Unit) -> String {
    /// Less is taken up by the hand without thinking.
    const NOTHING_MM: f64 = 1.0;
    /// More than this share of the shorter side is no ease.
    const EASED: f64 = 0.15;
    let (more, less) = (a_mm.max(b_mm), a_mm.min(b_mm));
    let length = unit.rough(less);
    let over = more - less;
    if over < NOTHING_MM || seam.ease_mm.abs() < NOTHING_MM {
        return length;
    }
    let runs = if a_mm > b_mm { &seam.a } else { &seam.b };
    let longer = runs.iter().map(ToString::to_string).collect::<Vec<_>>().join(" + ");
    if over <= EASED * less {
        format!("{length}; ease in {} of the {longer}", unit.rough(over))
    } else {
        format!("{length}; the {longer} is {} longer: gathered in, or it goes on beyond, as drafted", unit.rough(over))
    }
}

fn is_facing(piece: &str) -> bool {
    piece.ends_with("facing")
}

fn is_under(piece: &Piece) -> bool {
    piece.name().as_str().starts_with("under ")
}

fn is_leg(draft: &Draft, run: &EdgeRun) -> bool {
    draft.piece(run.piece.as_str()).and_then(|p| p.edge(run.edge.as_str())).is_some_and(|e| e.role == Role::DartLeg)
}

/// Where a seam belongs; `None` for the legs of a dart, which are told with the darts.
fn group_of(draft: &Draft, seam: &Seam) -> Option<Group> {
    let runs = || seam.a.iter().chain(&seam.b);
    if runs().all(|r| is_leg(draft, r)) {
        return None;
    }
    let any_piece = |part: &str| runs().any(|r| r.piece.as_str().contains(part));
    let all_pieces = |part: &str| runs().all(|r| r.piece.as_str().contains(part));
    let any_edge = |part: &str| runs().any(|r| r.edge.as_str().contains(part));
    Some(if runs().any(|r| is_facing(r.piece.as_str())) {
        Group::Facings
    } else if any_edge("piecing") || any_edge("princess") || any_edge("yoke") {
        Group::StyleLines
    } else if all_pieces("collar") {
        Group::CollarMade
    } else if any_piece("collar") {
        Group::CollarSet
    } else if any_edge("armhole") {
        Group::SleevesSet
    } else if all_pieces("sleeve") || any_piece("underlap") {
        Group::SleevesClosed
    } else if any_edge("waist") {
        Group::Waist
    } else if any_edge("shoulder") {
        Group::Shoulders
    } else if any_edge("side seam") {
        Group::Sides
    } else if ["gore", "skirt", "circle", "panel", "godet", "band"].into_iter().any(any_piece) {
        Group::Skirt
    } else {
        Group::StyleLines
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
    use super::*;
    use crate::Garment;

    #[test]
    fn every_seam_of_the_demo_stands_once_and_after_what_it_needs() {
        let garment = Garment::from_text(include_str!("../../assets/demo/garment.ron")).unwrap();
        let draft = garment.build().draft;
        let steps = steps(&draft, Unit::Cm);
        let seams = draft.seams.iter().filter(|s| group_of(&draft, s).is_some()).count();
        let darts: usize = draft.pieces.iter().map(|p| p.darts().len()).sum();
        let sewn = steps.iter().filter(|s| s.what.contains(" to ")).count();
        assert_eq!((sewn, steps.iter().filter(|s| s.group == Group::Darts).count()), (seams, darts));
        let at = |part: &str| steps.iter().position(|s| s.what.contains(part)).unwrap();
        let order = [
            "front: bust dart",
            "front / side seam",
            "sleeve / back seam",
            "sleeve / front cap",
            "gore / right seam",
            "gore / waist",
            "collar / neck edge",
            "back neck facing / shoulder",
            "neck facing / neck edge",
            "gore / hem",
        ];
        for pair in order.windows(2) {
            assert!(at(pair[0]) < at(pair[1]), "{} before {}", pair[0], pair[1]);
        }
    }
}
