//! Fairing: a line drawn by hand becomes the fewest smooth cubics that follow it.
//!
//! The jitter of the hand and of the pointer is taken out, corners that were meant stay corners, and both ends stay where
//! they were drawn. Between corners the cubics meet in one direction (G1). The method: samples are thinned to even steps; a
//! corner is where parabolas through what comes before and after leave each other at a sharp angle, and a smooth line of no more
//! curves would run off or turn as sharply; between corners, chains of
//! one, two, three … cubics are fitted by least squares of the distances square to the line (Gauss–Newton with damping, the
//! feet of the samples found again at each step), and the first chain that stays within the tolerance is taken.

mod chain;
mod corner;
mod ends;
mod sample;
#[cfg(test)]
mod tests;

use kurbo::{BezPath, Point};

pub use ends::landed;

use sample::Samples;

/// A stroke made smooth.
#[derive(Clone, Debug, PartialEq)]
pub struct Fair {
    /// The line: straight stretches and cubics, from the first to the last point of the stroke.
    pub path: BezPath,
    /// Its corners.
    pub corners: Vec<Point>,
    /// How far at most it runs from the stroke, once the jitter is averaged out; millimetres.
    pub off_mm: f64,
}

impl Fair {
    /// Of how many cubics and straight stretches it is made.
    pub fn count(&self) -> usize {
        self.path.segments().count()
    }
}

/// Tolerances between which a maker may choose, millimetres.
pub const TOLERANCES_MM: (f64, f64) = (0.1, 20.0);

/// The stroke as the fewest smooth cubics that run no further than `tolerance_mm` from it, once its jitter is averaged out.
///
/// Points that are no numbers are left out; a tolerance outside [`TOLERANCES_MM`] is taken as the nearest of these. The line
/// begins at the first point and ends at the last. Where no chain of a sensible count stays within the tolerance, as in a
/// scribble, the closest one is returned, and [`Fair::off_mm`] says how far it runs off. `None` when there are no two points
/// that differ.
pub fn fair(stroke: &[Point], tolerance_mm: f64) -> Option<Fair> {
    let (least, most) = TOLERANCES_MM;
    let tolerance = if tolerance_mm.is_finite() { tolerance_mm.clamp(least, most) } else { least };
    let samples = Samples::of(stroke, tolerance)?;
    let corners = corner::refined(&samples, &corner::find(&samples, tolerance), tolerance);
    let corners = corner::meant(&samples, corners, tolerance);
    let mut path = BezPath::new();
    path.move_to(samples.points[0]);
    let mut off_mm = 0.0f64;
    for span in corner::spans(&samples, &corners) {
        let whole = span.whole();
        let off_chord = whole.off_chord_mm();
        // The ends jitter too: what is straight between them stays so.
        let straight = || off_chord <= 2.0 * tolerance && chain::Chain::straight(&span.samples, tolerance).is_some();
        if off_chord <= tolerance || straight() {
            path.line_to(span.ends[1]);
            off_mm = off_mm.max(off_chord);
            continue;
        }
        let (chain, off) = chain::fewest(&whole, [false; 2], tolerance);
        for c in chain.cubics() {
            path.curve_to(c.p1, c.p2, c.p3);
        }
        off_mm = off_mm.max(off);
    }
    Some(Fair { path, corners: corners.iter().map(|c| c.at).collect(), off_mm })
}
