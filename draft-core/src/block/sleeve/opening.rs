//! The opening at the wrist: as long as the hand needs it, closed with buttons over an underlap.

use kurbo::{CubicBez, ParamCurve, ParamCurveDeriv, Point};

use crate::geometry::{cubic_length, line_path, root};
use crate::{DraftError, Piece, PieceBuilder, Role};

/// By how much the sleeve may measure less than the hand and still let it pass, thumb folded in; millimetres (common
/// practice).
pub const HAND_GIVES_MM: f64 = 10.0;

/// From the wrist edge to the first button, millimetres.
const FIRST_BUTTON_MM: f64 = 10.0;

/// From the last button to the upper end, millimetres.
const LAST_BUTTON_MM: f64 = 15.0;

/// Name of the strip that lies under the opening.
pub const UNDERLAP: &str = "wrist underlap";

/// Both edges of the part of a sleeve below its elbow, run down to the wrist.
#[derive(Clone, Copy, Debug)]
pub struct Edges {
    pub front: CubicBez,
    pub back: CubicBez,
}

/// The point of a curve that lies `up` before its end along it; the parameter given is near it.
fn before_end(c: &CubicBez, up: f64, near: f64) -> Point {
    let slope = c.deriv();
    let mut t = near;
    // Newton's steps: the curves are gentle and the start is near, so that three come well within 0.01 mm.
    for _ in 0..3 {
        let speed = slope.eval(t).to_vec2().hypot().max(1e-6);
        t = (t + (cubic_length(&c.subsegment(t..1.0)) - up) / speed).clamp(0.0, 1.0);
    }
    c.eval(t)
}

/// How long the opening is, from the wrist upward, so that `needed` passes; the girth is the sum over the pieces. `None`
/// when it passes without one. Up to the elbow at most.
pub fn length(pieces: &[Edges], needed: f64) -> Option<f64> {
    let first = pieces.first()?;
    let up = |t: f64| cubic_length(&first.front.subsegment(t..1.0));
    let girth = |t: f64| {
        let up = up(t);
        pieces.iter().map(|p| before_end(&p.front, up, t).distance(before_end(&p.back, up, t))).sum::<f64>()
    };
    // A hair less than needed passes too.
    if girth(1.0) >= needed - 1e-3 {
        return None;
    }
    // The lowest place where it is wide enough: the girth grows upward.
    Some(up(root(0.0, 1.0, |t| girth(t) - needed).unwrap_or(0.0)))
}

/// The longest opening: up to the elbow, millimetres.
pub fn below_elbow(pieces: &[Edges]) -> f64 {
    pieces.iter().map(|p| cubic_length(&p.front).min(cubic_length(&p.back))).fold(f64::INFINITY, f64::min)
}

/// Where the buttons stand, from the wrist edge upward, evenly and about `spacing` apart.
pub fn buttons(opening: f64, spacing: f64) -> Vec<f64> {
    let room = opening - FIRST_BUTTON_MM - LAST_BUTTON_MM;
    if room < 0.5 * spacing {
        return vec![opening / 2.0];
    }
    let gaps = (room / spacing).round().max(1.0);
    (0..=gaps as usize).map(|i| FIRST_BUTTON_MM + room * i as f64 / gaps).collect()
}

/// The strip under the opening, folded lengthwise: `width` wide when finished, its buttons in the middle.
pub fn underlap(opening: f64, width: f64, buttons: &[f64], allowance: f64) -> Result<Piece, DraftError> {
    let at = |x: f64, up: f64| Point::new(x, opening - up);
    let corners = [at(0.0, opening), at(2.0 * width, opening), at(2.0 * width, 0.0), at(0.0, 0.0)];
    let mut piece = PieceBuilder::new(UNDERLAP)
        .line("upper end", Role::Seam, allowance, corners[0], corners[1])
        .line("inner edge", Role::Seam, allowance, corners[1], corners[2])
        .line("wrist end", Role::Seam, allowance, corners[2], corners[3])
        .line("sewn edge", Role::Seam, allowance, corners[3], corners[0])
        .marked_line("fold line", line_path(at(width, 0.0), at(width, opening)))
        .grain(at(1.5 * width, 0.1 * opening), at(1.5 * width, 0.9 * opening))
        .cut(2, true);
    for (i, up) in buttons.iter().enumerate() {
        piece = piece.point(format!("button {}", i + 1), at(width / 2.0, *up));
    }
    piece.build()
}
