//! The cap of a set-in sleeve: two cubics, each as long as its half of the armhole with its share of the ease.

use kurbo::{CubicBez, Point};

use crate::geometry::{cubic_length, root};

/// Handles of one half, as parts of its width: from the underarm, and back from the crown.
#[derive(Clone, Copy, Debug)]
struct Shape {
    low: f64,
    high: f64,
}

const FRONT: Shape = Shape { low: 0.50, high: 0.45 };
const BACK: Shape = Shape { low: 0.42, high: 0.52 };

/// Share of the ease that goes to the front half.
pub const FRONT_SHARE: f64 = 0.45;

/// Least and most height of a cap that sits well, as parts of the armhole; the middle agrees with the rule of the
/// trade that a fitted cap is a third of the armhole (common practice).
pub const HEIGHT_BAND: (f64, f64) = (0.27, 0.37);

/// Ease at the upper arm below which a woven sleeve binds; millimetres (common practice).
pub const LEAST_ARM_EASE_MM: f64 = 30.0;

/// A solved cap, millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cap {
    /// Underarm to crown.
    pub height: f64,
    /// Width of the front half.
    pub front: f64,
    /// Width of the back half.
    pub back: f64,
}

/// What had to give for the sleeve to fit the armhole and the arm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fit {
    /// Nothing.
    AsAsked,
    /// The arm is thin for the armhole: the sleeve is wider than asked.
    Wider,
    /// The arm is thick for the armhole: the ease at the upper arm was cut to this.
    LessEase(f64),
    /// The armhole can't carry this arm: the sleeve lacks this much width.
    Short(f64),
}

impl Cap {
    /// Width at the underarm.
    pub fn width(&self) -> f64 {
        self.front + self.back
    }

    /// The back half from the underarm up to the crown at the origin; y down.
    pub fn back_curve(&self) -> CubicBez {
        let c = half(self.back, self.height, BACK);
        let place = |p: Point| Point::new(p.x - self.back, self.height - p.y);
        CubicBez::new(place(c.p0), place(c.p1), place(c.p2), place(c.p3))
    }

    /// The front half from the crown at the origin down to the underarm; y down.
    pub fn front_curve(&self) -> CubicBez {
        let c = half(self.front, self.height, FRONT);
        let place = |p: Point| Point::new(self.front - p.x, self.height - p.y);
        CubicBez::new(place(c.p3), place(c.p2), place(c.p1), place(c.p0))
    }
}

/// From the underarm at the origin to the crown at `(w, h)`, level at both ends; y up.
fn half(w: f64, h: f64, shape: Shape) -> CubicBez {
    CubicBez::new((0.0, 0.0), (shape.low * w, 0.0), (w - shape.high * w, h), (w, h))
}

fn half_width(length: f64, h: f64, shape: Shape) -> Option<f64> {
    if length <= 1.02 * h {
        return None;
    }
    // The curve is no shorter than its chord and no longer than its width and height together.
    let (narrowest, widest) = ((length - h).max(5.0), (length * length - h * h).sqrt());
    root(narrowest, widest, |w| cubic_length(&half(w, h, shape)) - length)
}

/// The cap of a given height.
pub fn of_height(armhole_front: f64, armhole_back: f64, ease: f64, height: f64) -> Option<Cap> {
    Some(Cap {
        height,
        front: half_width(armhole_front + FRONT_SHARE * ease, height, FRONT)?,
        back: half_width(armhole_back + (1.0 - FRONT_SHARE) * ease, height, BACK)?,
    })
}

/// The cap of a given width: the higher the cap, the narrower the sleeve.
pub fn of_width(armhole_front: f64, armhole_back: f64, ease: f64, width: f64) -> Option<Cap> {
    let shorter = (armhole_front + FRONT_SHARE * ease).min(armhole_back + (1.0 - FRONT_SHARE) * ease);
    let at = |h: f64| of_height(armhole_front, armhole_back, ease, h);
    let h = root(10.0, 0.93 * shorter, |h| at(h).map_or(-1e3, |c| c.width()) - width)?;
    at(h)
}

/// The cap for an arm: of the width asked for when its height lies in [`HEIGHT_BAND`], else at the band's edge, and
/// what had to give.
pub fn for_arm(armhole_front: f64, armhole_back: f64, ease: f64, arm: f64, arm_ease: f64) -> Option<(Cap, Fit)> {
    let armhole = armhole_front + armhole_back;
    let (low, high) = (HEIGHT_BAND.0 * armhole, HEIGHT_BAND.1 * armhole);
    if let Some(cap) = of_width(armhole_front, armhole_back, ease, arm + arm_ease) {
        if (low..=high).contains(&cap.height) {
            return Some((cap, Fit::AsAsked));
        }
        if cap.height > high {
            return Some((of_height(armhole_front, armhole_back, ease, high)?, Fit::Wider));
        }
    }
    let cap = of_height(armhole_front, armhole_back, ease, low)?;
    let left = cap.width() - arm;
    let least = LEAST_ARM_EASE_MM.min(arm_ease);
    Some((cap, if left >= least { Fit::LessEase(left) } else { Fit::Short(least - left) }))
}
