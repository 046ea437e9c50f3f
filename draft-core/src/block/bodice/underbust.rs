//! Shaping under the bust: straight edges from bust to waist leave slack below the breasts on nearly every body (a
//! median of 8 cm all round on the women of the survey), so the waist darts, the side seams and the back darts curve
//! in there and run out to nothing at bust and waist.

use kurbo::{CubicBez, Point, Vec2};

use super::solve::{Ease, Solved, Tape};
use super::waist::WaistDart;

/// The underbust lies this far below the bust points; common practice, from memory.
const BELOW_BUST_MM: f64 = 75.0;

/// Shares of what is taken out: front darts or princess seam, side seams, back darts.
const SHARES: [f64; 3] = [0.65, 0.20, 0.15];

/// How the edges curve at the underbust level.
#[derive(Clone, Copy, Debug)]
pub struct Shaping {
    /// The level, above the waist.
    pub y: f64,
    /// Added to the width of the front dart or the princess seam.
    pub front: f64,
    /// Taken in at each of the two side edges.
    pub side: f64,
    /// Added to the width of the back darts, all together.
    pub back: f64,
}

/// Works out the shaping, half the body at a time. `None` when the level lies too near to underarm or waist, or the
/// straight edges are close enough already.
pub fn shaping(s: &Solved, tape: &Tape, ease: &Ease, front: &[WaistDart], back: &[WaistDart], princess: bool) -> Option<Shaping> {
    let y = s.bust_point.y - BELOW_BUST_MM;
    if y < 40.0 || y > s.underarm_y - 45.0 {
        return None;
    }
    let at_side = |underarm: Point, waist: f64, darts: f64| {
        let end = waist + darts;
        end + (underarm.x - end) * y / underarm.y
    };
    let sum = |d: &[f64]| d.iter().filter(|w| **w > 0.0).sum::<f64>();
    let straight = |darts: &[WaistDart]| darts.iter().map(|d| d.width * ((d.tip.y - y) / d.tip.y).max(0.0)).sum::<f64>();
    let mut got = at_side(s.back_underarm, s.back_waist, sum(&s.back_darts)) - straight(back);
    let taken = if princess { s.front_darts.iter().sum() } else { sum(&s.front_darts) };
    got += at_side(s.front_underarm, s.front_waist, taken) - straight(front);
    if princess {
        // The seam opens evenly from the bust point to the waist.
        let first = s.front_darts.first().copied().unwrap_or(0.0);
        got -= first * (s.bust_point.y - y) / s.bust_point.y;
    }
    let take = got - (tape.underbust + ease.underbust) / 2.0;
    if take < 0.5 {
        return None;
    }
    let has_front = princess || front.first().is_some_and(|d| d.tip.y > y + 15.0);
    let has_back = back.first().is_some_and(|d| d.tip.y > y + 15.0);
    let front = if has_front { SHARES[0] * take } else { 0.0 };
    let back = if has_back { SHARES[2] * take } else { 0.0 };
    Some(Shaping { y, front, side: (take - front - back) / 2.0, back })
}

/// An edge from `from` to `to` that passes `by`, smooth there and straight on its way where it can be.
pub fn through(from: Point, by: Point, to: Point) -> [CubicBez; 2] {
    let along = (to - from).normalize();
    let curve = |a: Point, a_dir: Vec2, b: Point, b_dir: Vec2| {
        let third = a.distance(b) / 3.0;
        CubicBez::new(a, a + a_dir * third, b - b_dir * third, b)
    };
    let (enter, leave) = ((by - from).normalize(), (to - by).normalize());
    [curve(from, enter, by, along), curve(by, along, to, leave)]
}
