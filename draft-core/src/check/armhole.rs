//! An armhole bends one way only and nowhere more sharply than a finger's breadth.

use kurbo::{ParamCurve, ParamCurveDeriv};

use crate::{Grade, Message, Piece};

/// Radius below which an armhole can't be sewn smoothly, millimetres.
const LEAST_RADIUS_MM: f64 = 9.0;

/// Checks the edge named armhole, if the piece has one.
pub fn check(piece: &Piece) -> Vec<Message> {
    let mut bends = (0usize, 0usize);
    let mut sharpest = f64::INFINITY;
    for part in piece.edge_parts("armhole") {
        for seg in part.path.segments() {
            let c = seg.to_cubic();
            let (d, dd) = (c.deriv(), c.deriv().deriv());
            for i in 0..=16 {
                let t = f64::from(i) / 16.0;
                let (v, a) = (d.eval(t).to_vec2(), dd.eval(t).to_vec2());
                let speed = v.hypot();
                if speed < 1e-6 {
                    continue;
                }
                let curvature = v.cross(a) / speed.powi(3);
                // Straighter than a radius of 20 m is straight.
                if curvature > 5e-5 {
                    bends.0 += 1;
                } else if curvature < -5e-5 {
                    bends.1 += 1;
                }
                sharpest = sharpest.min(1.0 / curvature.abs().max(1e-9));
            }
        }
    }
    let place = format!("{} / armhole", piece.name());
    let mut found = Vec::new();
    if bends.0 > 0 && bends.1 > 0 {
        found.push(Message::new(
            Grade::Warning,
            place.clone(),
            "the armhole bends both ways",
            "Check shoulder length, back width and chest width.",
        ));
    }
    if sharpest < LEAST_RADIUS_MM {
        found.push(Message::new(
            Grade::Warning,
            place,
            format!("the armhole bends more sharply than a radius of {:.0} mm", LEAST_RADIUS_MM),
            "Check back width, chest width and upper-arm girth.",
        ));
    }
    found
}
