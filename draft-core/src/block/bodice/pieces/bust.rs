//! The bust dart where the maker wants it: moved, split in two, gathered, or spread over the edges of the front.

use super::Style;
use crate::dart::{self, Place};
use crate::{DraftError, Name, Piece};

/// Name of the bust dart.
pub const BUST_DART: &str = "bust dart";

/// From this angle on, in degrees, one dart makes too sharp a point and is split; our own rule.
pub const LARGE_DEG: f64 = 26.0;

/// Where the bust dart goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted<'a> {
    /// `side`, `shoulder`, `armhole`, `waist`, `neckline`, `centre front` or `none`.
    pub place: &'a str,
    /// A place for part of it.
    pub second: Option<&'a str>,
    /// The part of the angle that goes there.
    pub share: f64,
    /// Half the length of an edge over which it is gathered; `None` where it is sewn as a dart.
    pub gathers: Option<f64>,
}

impl Wanted<'_> {
    /// Whether any of it goes to this place.
    pub fn uses(&self, place: &str) -> bool {
        self.place == place || self.second == Some(place)
    }
}

/// What a dart that is not sewn adds to the front's edges, and what a princess seam has to be eased by; millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    pub armhole: f64,
    pub neckline: f64,
    pub shoulder: f64,
    pub waist: f64,
    /// By how much the side panel's edge is longer than the centre panel's.
    pub princess_eased: f64,
}

/// Where each place lies on the front.
pub struct Places {
    /// Down the side seam from the underarm.
    pub side: f64,
    /// The armhole's length.
    pub armhole: f64,
    /// From the side along the waist to below the bust point.
    pub waist: f64,
    /// Up the centre front to the level of the bust point.
    pub centre: f64,
    /// Whether a waist dart stands below the bust point.
    pub has_waist_dart: bool,
}

impl Places {
    /// The front with its bust dart, drafted in the shoulder or the top edge, where the maker wants it.
    pub fn placed(&self, front: Piece, style: &Style<'_>) -> Result<(Piece, Spread), DraftError> {
        let wanted = style.bust_dart;
        if wanted.place == "none" {
            return self.spread(front, style);
        }
        let drafted_at = if style.top.is_some() { "top" } else { "shoulder" };
        let mut front = front;
        match wanted.second {
            Some(second) if second == drafted_at => front = self.opened(&front, Some(1.0 - wanted.share), wanted.place, style)?,
            second => {
                if let Some(second) = second {
                    front = self.opened(&front, Some(wanted.share), second, style)?;
                }
                if wanted.place != drafted_at {
                    front = self.opened(&front, None, wanted.place, style)?;
                }
            }
        }
        if let Some(reach) = wanted.gathers {
            let at_waist = wanted.uses("waist");
            let gathered = |n: &Name| n.as_str().ends_with(BUST_DART) || (at_waist && *n == "waist dart");
            let names: Vec<Name> = front.darts().iter().map(|d| d.name.clone()).filter(gathered).collect();
            for name in names {
                front = dart::gathered(&front, name.as_str(), reach)?;
            }
        }
        Ok((front, Spread::default()))
    }

    /// Opens the dart, or part of it, at a place.
    fn opened(&self, front: &Piece, part: Option<f64>, place: &str, style: &Style<'_>) -> Result<Piece, DraftError> {
        let short = style.short_of_bust_point;
        if place == "waist" && self.has_waist_dart {
            return match part {
                None => dart::joined(front, BUST_DART, "waist dart", short),
                Some(share) => dart::shared(front, BUST_DART, share, "waist dart", short),
            };
        }
        let along = |edge: &str, share: f64| share * front.edge_length_mm(edge).unwrap_or(0.0);
        // Side darts are pressed down, the others toward the centre.
        let (edge, from_start_mm, pressed_to_a) = match place {
            "armhole" => ("armhole", 0.55 * self.armhole, false),
            "waist" => ("waist", self.waist, false),
            "neckline" => ("neckline", along("neckline", 0.5), true),
            "centre front" => ("centre front", self.centre, true),
            _ => ("side seam", self.side, false),
        };
        let to = Place { edge, from_start_mm, short_of_pivot: short, pressed_to_a };
        match part {
            None => dart::moved(front, BUST_DART, edge, from_start_mm, short, pressed_to_a),
            Some(share) => dart::split(front, BUST_DART, &format!("{place} {BUST_DART}"), share, &to),
        }
    }

    /// No dart at all: a third of the angle as room in the armhole, as far as that stays hollow, and the rest in equal
    /// parts to the waist and to neckline with shoulder, where it is eased in. Our default from trade habit.
    fn spread(&self, front: Piece, style: &Style<'_>) -> Result<(Piece, Spread), DraftError> {
        let mut spread = Spread::default();
        let edge_mm = |piece: &Piece, edge: &str| piece.edge_length_mm(edge).unwrap_or(0.0);
        let let_out = |front: &Piece, share: f64, edge: &str, at: f64, reach: f64| -> Result<(Piece, f64), DraftError> {
            let name = format!("{edge} {BUST_DART}");
            let to = Place { edge, from_start_mm: at, short_of_pivot: style.short_of_bust_point, pressed_to_a: false };
            let (piece, gather) = dart::let_out(&dart::split(front, BUST_DART, &name, share, &to)?, &name, reach)?;
            Ok((piece, gather.taken_up_mm()))
        };
        let mut piece = front;
        if style.top.is_none() {
            let (at, reach) = (0.42 * self.armhole, 0.2 * self.armhole);
            for takes in [1.0 / 3.0, 0.25, 0.17, 0.1] {
                let (opened, mm) = let_out(&piece, takes, "armhole", at, reach)?;
                if crate::check::armhole(&opened).is_empty() {
                    (piece, spread.armhole) = (opened, mm);
                    break;
                }
            }
        }
        let outer_waist = piece.edge_parts("waist").next().map_or(0.0, |p| crate::geometry::length(&p.path));
        // Half of what is left; or all but a third, where there is no armhole.
        let waist_takes = if style.top.is_none() { 0.5 } else { 2.0 / 3.0 };
        (piece, spread.waist) = let_out(&piece, waist_takes, "waist", 0.5 * outer_waist, 0.45 * outer_waist)?;
        if style.top.is_none() {
            let neckline = edge_mm(&piece, "neckline");
            (piece, spread.neckline) = let_out(&piece, 0.5, "neckline", 0.5 * neckline, 0.35 * neckline)?;
        }
        let drafted_at = if style.top.is_some() { "top edge" } else { "shoulder" };
        let reach = if style.top.is_some() { 0.1 } else { 0.4 } * edge_mm(&piece, drafted_at);
        let piece = dart::gathered(&piece, BUST_DART, reach)?;
        spread.shoulder = piece.taken_up_mm(drafted_at);
        Ok((piece, spread))
    }
}
