//! How the gores stand round the body and what share of each girth they have.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::half_gore::{Across, Sizes};
use super::round_body::{RoundBody, intake_weight};

/// What is taken in at one side of a gore before a dart inside it takes the rest; common practice, from memory.
const MOST_INTAKE_MM: f64 = 30.0;
/// What stays at the side once there is a dart.
const INTAKE_BESIDE_DART_MM: f64 = 24.0;
/// A gore narrower than this can't be sewn.
const LEAST_WIDTH_MM: f64 = 12.0;
/// Part of its width at the hip that a gore keeps at the waist, where the others can take in more instead.
const KEPT_AT_WAIST: f64 = 0.35;

/// Finished girths of the whole skirt, millimetres.
#[derive(Clone, Copy, Debug)]
pub struct Girths {
    /// Top edge.
    pub top: f64,
    /// Natural waist, where the top edge stands above it.
    pub natural_waist: f64,
    /// Hip.
    pub hip: f64,
    /// Where the flare begins.
    pub flare: f64,
    /// Level hem.
    pub hem: f64,
}

/// Depths of the whole skirt at the side, millimetres.
#[derive(Clone, Copy, Debug)]
pub struct Depths {
    /// Top edge above the natural waist.
    pub above: f64,
    /// Hip up to the natural waist, or to a lower top edge.
    pub rise: f64,
    /// Hip down to the flare point.
    pub straight: f64,
    /// Flare point down to the hem.
    pub flared: f64,
}

/// How wide the gores are, against an equal share.
#[derive(Clone, Copy, Debug)]
pub struct Shares {
    /// How many gores.
    pub gores: u32,
    /// Front gore against an equal one.
    pub front: f64,
    /// Back gores against equal ones.
    pub back: f64,
    /// The front gore's part of the flare against its part of the hip.
    pub front_flare: f64,
    /// Whether the seams at the side take in most, or all the same.
    pub intake_by_place: bool,
}

/// Which sides a gore has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Both sides alike.
    Whole,
    /// A front and a back side; its mirror image stands on the other side of the body.
    Sided,
    /// Half a gore that ends in a seam at the centre back; its mirror image is the other half.
    Half,
}

/// One half of a gore.
#[derive(Clone, Copy, Debug)]
pub struct Side {
    /// What to solve.
    pub sizes: Sizes,
    /// What a dart takes in beside the seam; counted in the top edge.
    pub dart: f64,
}

/// One gore that is cut once or more.
#[derive(Clone, Debug)]
pub struct Gore {
    /// Name of its piece.
    pub name: String,
    /// How often it is cut, mirror images counted.
    pub copies: u32,
    /// Which sides it has.
    pub kind: Kind,
    /// Whether it ends in a seam at the centre back.
    pub ends_at_back: bool,
    /// Places of its seams round the body; a whole gore's left half is not looked at.
    pub from: f64,
    /// See `from`.
    pub to: f64,
    /// The half that stands left of its centre line on the piece.
    pub left: Side,
    /// The half that stands right of it.
    pub right: Side,
}

/// Every gore, from the centre front round to the centre back.
#[derive(Clone, Debug)]
pub struct Layout {
    /// The gores.
    pub gores: Vec<Gore>,
    /// Whether they are all the same.
    pub equal: bool,
    /// What changes round the body.
    pub round: RoundBody,
}

/// What the seams of one place take in, at the natural waist and at the top edge.
#[derive(Clone, Copy, Debug)]
struct Intake {
    natural: f64,
    top: f64,
}

/// Why the gores can't stand round the body.
#[derive(Clone, Debug, PartialEq)]
pub enum Narrow {
    /// The gores at the centre front and the centre back leave no width for those at the sides.
    NoSides,
    /// A gore would be too narrow to sew: its name, where, and how wide it would be there, millimetres.
    Gore { name: String, level: &'static str, width: f64 },
}

/// Equal gores.
///
/// # Errors
/// They would be too narrow.
pub fn equal(girths: &Girths, depths: &Depths, gores: u32) -> Result<Layout, Narrow> {
    let n = f64::from(gores);
    let intake = Intake { natural: (girths.hip - girths.natural_waist) / (2.0 * n), top: (girths.hip - girths.top) / (2.0 * n) };
    let side = side(girths, depths, (girths.hip / n, girths.hem / n), intake, &RoundBody::default(), (0.0, 0.0, 1.0))
        .map_err(|(level, half)| Narrow::Gore { name: super::GORE.to_owned(), level, width: 2.0 * half })?;
    let gore = Gore {
        name: super::GORE.to_owned(),
        copies: gores,
        kind: Kind::Whole,
        ends_at_back: false,
        from: 0.0,
        to: 0.0,
        left: side,
        right: side,
    };
    Ok(Layout { gores: vec![gore], equal: true, round: RoundBody::default() })
}

/// Gores shaped to their place round the body: a front gore over the centre front, side gores in pairs, and at the back
/// one gore or, where their number is odd or the skirt opens there, two that meet in a seam.
///
/// # Errors
/// One would be too narrow.
pub fn shaped(girths: &Girths, depths: &Depths, shares: &Shares, round: RoundBody, opens_at_back: bool) -> Result<Layout, Narrow> {
    let n = f64::from(shares.gores);
    let two_backs = shares.gores % 2 == 1;
    let backs = if two_backs { 2.0 } else { 1.0 };
    let sides = (shares.gores - 1) / 2 - u32::from(two_backs);
    let rest = n - shares.front - backs * shares.back;
    let side_share = rest / (2.0 * f64::from(sides));
    if sides == 0 || side_share <= 0.0 {
        return Err(Narrow::NoSides);
    }
    // Hip widths from front to back, along one half of the body; the middle gores count whole.
    let mut widths = vec![(girths.hip * shares.front / n, "front gore".to_owned(), Kind::Whole)];
    for i in 0..sides {
        widths.push((girths.hip * side_share / n, format!("side gore {}", i + 1), Kind::Sided));
    }
    let back = match (two_backs, opens_at_back) {
        (true, _) => Kind::Sided,
        (false, true) => Kind::Half,
        (false, false) => Kind::Whole,
    };
    widths.push((girths.hip * shares.back / n, "back gore".to_owned(), back));

    // Places of the seams, by their share of the hip.
    let mut place = widths[0].0 / 2.0 / girths.hip * TAU;
    let mut places = vec![place];
    for (width, ..) in &widths[1..widths.len() - usize::from(!two_backs)] {
        place += width / girths.hip * TAU;
        places.push(place);
    }
    if two_backs && let Some(last) = places.last_mut() {
        *last = PI;
    }
    // Each seam has two sides and stands on both halves of the body, but for that at the centre back.
    let seams: Vec<SeamShare> = places
        .iter()
        .enumerate()
        .map(|(i, &place)| SeamShare {
            weight: if shares.intake_by_place { intake_weight(place) } else { 1.0 },
            sides: if two_backs && i + 1 == places.len() { 2.0 } else { 4.0 },
            room: widths[i..widths.len().min(i + 2)].iter().map(|w| w.0 / 2.0).fold(f64::INFINITY, f64::min),
        })
        .collect();
    let (natural, top) = (taken_at(&seams, girths.hip - girths.natural_waist), taken_at(&seams, girths.hip - girths.top));
    let intake = |place: f64| {
        let i = places.iter().position(|p| *p >= place - 1e-9).unwrap_or(places.len() - 1);
        Intake { natural: natural[i], top: top[i] }
    };

    let flare = girths.hem - girths.flare;
    let front_hip = widths[0].0 / girths.hip;
    let front_flare = shares.front_flare * front_hip;
    let hem = |i: usize, hip: f64| {
        let part = if i == 0 { front_flare } else { (1.0 - front_flare) / (1.0 - front_hip) * hip / girths.hip };
        girths.flare * hip / girths.hip + flare * part
    };
    let mut gores = Vec::with_capacity(widths.len());
    for (i, (hip, name, kind)) in widths.into_iter().enumerate() {
        let from = if i == 0 { 0.0 } else { places[i - 1] };
        let to = places.get(i).copied().unwrap_or(PI);
        // The middle gores stand on both halves of the body.
        let middle = match kind {
            _ if i == 0 => 0.0,
            Kind::Sided => (from + to) / 2.0,
            Kind::Whole | Kind::Half => PI,
        };
        let half =
            |seam: f64, outward: f64| {
                side(girths, depths, (hip, hem(i, hip)), intake(seam), &round, (middle, seam, outward))
                    .map_err(|(level, half)| Narrow::Gore { name: name.clone(), level, width: 2.0 * half })
            };
        let (left, right) = match (kind, i) {
            (Kind::Whole, 0) => {
                let half = half(to, 1.0)?;
                (half, half)
            }
            (Kind::Whole | Kind::Half, _) => {
                let half = half(from, -1.0)?;
                (half, half)
            }
            (Kind::Sided, _) => (half(from, -1.0)?, half(to, 1.0)?),
        };
        let copies = if kind == Kind::Whole { 1 } else { 2 };
        let ends_at_back = kind == Kind::Half || (two_backs && i + 1 == places.len());
        gores.push(Gore { name, copies, kind, ends_at_back, from, to, left, right });
    }
    Ok(Layout { gores, equal: false, round })
}

/// What is known of a seam when it is decided how much it takes in.
struct SeamShare {
    /// Against the others.
    weight: f64,
    /// How many sides of gores meet in it, on both halves of the body.
    sides: f64,
    /// Half the narrower of its gores, at the hip.
    room: f64,
}

/// What one side of each seam takes in, so that all take in `taken` together: by weight, but nowhere so much that a gore
/// keeps too little of its width; the others take the rest then. Where all of them together have no room, by weight.
fn taken_at(seams: &[SeamShare], taken: f64) -> Vec<f64> {
    let all: f64 = seams.iter().map(|s| s.sides).sum();
    if taken <= 0.0 {
        return vec![taken / all; seams.len()];
    }
    let by_weight: f64 = seams.iter().map(|s| s.weight * s.sides).sum();
    for kept in [|room: f64| (KEPT_AT_WAIST * room).max(LEAST_WIDTH_MM / 2.0), |_: f64| 0.5001 * LEAST_WIDTH_MM] {
        let most: Vec<f64> = seams.iter().map(|s| (s.room - kept(s.room)).max(0.0)).collect();
        // Raise the share of a weight until all is taken; a seam that is full takes no more.
        let mut full = vec![false; seams.len()];
        loop {
            let left = taken - seams.iter().zip(&most).zip(&full).filter(|(_, f)| **f).map(|((s, m), _)| s.sides * m).sum::<f64>();
            let weight: f64 = seams.iter().zip(&full).filter(|(_, f)| !**f).map(|(s, _)| s.weight * s.sides).sum();
            if weight <= 0.0 {
                break;
            }
            let unit = left / weight;
            let over: Vec<usize> = (0..seams.len()).filter(|&i| !full[i] && unit * seams[i].weight > most[i]).collect();
            if over.is_empty() {
                return (0..seams.len()).map(|i| if full[i] { most[i] } else { unit * seams[i].weight }).collect();
            }
            over.into_iter().for_each(|i| full[i] = true);
        }
    }
    seams.iter().map(|s| s.weight * taken / by_weight).collect()
}

/// Half a gore of these whole widths at hip and hem, with its centre line and its seam at these places; `outward` is 1
/// where the way to the seam leads toward the back, else −1.
///
/// # Errors
/// Where it would be too narrow to sew, and its half width there.
fn side(
    girths: &Girths,
    depths: &Depths,
    (hip, hem): (f64, f64),
    intake: Intake,
    round: &RoundBody,
    (centre, seam, outward): (f64, f64, f64),
) -> Result<Side, (&'static str, f64)> {
    let kept = if depths.above == 0.0 && intake.top > MOST_INTAKE_MM { INTAKE_BESIDE_DART_MM } else { intake.top };
    let at_waist = [centre, seam].map(|p| round.at_waist(p));
    let at_hem = [centre, seam].map(|p| round.at_hem(p));
    // Slopes are changes for each radian, over the length of the edge for each radian. A train widens with its length.
    let turn = (girths.hem - girths.flare) / depths.flared;
    let waist_slope = |(_, change): (f64, f64)| -outward * change * TAU / girths.top;
    let hem_slope = |(train, change): (f64, f64)| outward * change * TAU / (girths.hem + turn.max(0.0) * train);
    let sizes = Sizes {
        top: hip / 2.0 - kept,
        natural_waist: hip / 2.0 - intake.natural,
        above: depths.above,
        hip: hip / 2.0,
        flare: hip / 2.0 * girths.flare / girths.hip,
        hem: hem / 2.0,
        rise: Across { centre: depths.rise + at_waist[0].0, seam: depths.rise + at_waist[1].0 },
        top_slope: Across { centre: waist_slope(at_waist[0]), seam: waist_slope(at_waist[1]) },
        straight: depths.straight,
        flared: depths.flared,
        train: Across { centre: at_hem[0].0, seam: at_hem[1].0 },
        hem_slope: Across { centre: hem_slope(at_hem[0]), seam: hem_slope(at_hem[1]) },
    };
    let waist = (hip / 2.0 - intake.top).min(sizes.natural_waist);
    let widths = [("waist", waist), ("hip", sizes.hip), ("place where the flare begins", sizes.flare), ("hem", sizes.hem)];
    match widths.into_iter().find(|w| w.1 <= LEAST_WIDTH_MM / 2.0) {
        Some(narrow) => Err(narrow),
        None => Ok(Side { sizes, dart: intake.top - kept }),
    }
}

impl Gore {
    /// Names of its left and right seams.
    pub fn seams(&self) -> (&'static str, &'static str) {
        match self.kind {
            Kind::Whole => ("left seam", "right seam"),
            _ if self.ends_at_back => ("front seam", "centre back"),
            Kind::Sided | Kind::Half => ("front seam", "back seam"),
        }
    }

    /// Finished width of the top edge, millimetres, of one copy.
    pub fn top(&self) -> f64 {
        let half = |s: &Side| s.sizes.top - s.dart;
        half(&self.left) + if self.kind == Kind::Half { 0.0 } else { half(&self.right) }
    }
}

impl Layout {
    /// The seam nearest to the side: the gores on either side of it, the front one first.
    pub fn side_seam(&self) -> usize {
        let off = |i: &usize| (self.gores[*i].to - FRAC_PI_2).abs();
        (0..self.gores.len().saturating_sub(1)).min_by(|a, b| off(a).total_cmp(&off(b)).then(b.cmp(a))).unwrap_or(0)
    }
}
