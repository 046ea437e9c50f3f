//! The two seams below the cap of a one-piece sleeve, and how the sleeve bends at the elbow.
//!
//! The elbow line is cut from the back seam to the front seam and the lower arm turned forward about its front end;
//! the back seam then opens by `d = 2 · w · sin(ψ/2)` for an elbow of width `w` and a bend `ψ`.

use kurbo::{CubicBez, Point, Vec2};

use crate::geometry::{cubic_length, root, turned};

/// Most that can be eased into a woven back seam over 10 cm; millimetres (common practice).
pub const MOST_EASE_MM: f64 = 12.0;

/// How the back seam takes what the bend opens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bend {
    /// The sleeve is straight.
    None,
    /// A dart in the back seam.
    Dart,
    /// Eased to the front seam over the elbow.
    Ease,
    /// Taken out of the back seam itself: both seams curve forward and the wrist line rises toward the back.
    Seam,
}

/// Widths and levels below the cap, millimetres; the crown at the origin, y down, the front on the right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    /// Middle of the underarm line, on which the straight sleeve's widths are centred.
    pub middle: f64,
    /// Crown to underarm.
    pub cap: f64,
    /// Crown to elbow.
    pub elbow_y: f64,
    /// Crown to wrist.
    pub wrist_y: f64,
    pub half_top: f64,
    pub half_elbow: f64,
    pub half_wrist: f64,
}

/// The seams.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seams {
    /// From the underarm down to the elbow and on to the wrist.
    pub front: [CubicBez; 2],
    /// From the wrist up to the elbow and on to the underarm.
    pub back: [CubicBez; 2],
    /// Tip of the dart that lies between the two stretches of the back seam.
    pub dart: Option<Point>,
    /// By how much the back seam is longer, to be eased in.
    pub ease: f64,
    /// How far the lower arm is turned, radians.
    pub bend: f64,
}

impl Seams {
    pub fn front_elbow(&self) -> Point {
        self.front[0].p3
    }
    pub fn back_elbow(&self) -> Point {
        self.back[1].p0
    }
    pub fn front_wrist(&self) -> Point {
        self.front[1].p3
    }
    pub fn back_wrist(&self) -> Point {
        self.back[0].p0
    }
}

/// Handle at either end of a seam, where it is square to cap and wrist line, and at the elbow; parts of the stretch.
const END_HANDLE: f64 = 0.18;
const ELBOW_HANDLE: f64 = 0.35;
/// Handle of the little peak at the mouth of the elbow dart.
const PEAK_HANDLE: f64 = 0.15;

/// A smooth curve from one point through another to a third, with its directions at both ends given.
pub fn through(from: Point, leaves: Vec2, by: Point, to: Point, arrives: Vec2) -> [CubicBez; 2] {
    let (upper, lower) = ((by - from).hypot(), (to - by).hypot());
    let along = ((by - from) / upper.max(1e-9) + (to - by) / lower.max(1e-9)).normalize();
    [
        CubicBez::new(from, from + leaves * (END_HANDLE * upper), by - along * (ELBOW_HANDLE * upper), by),
        CubicBez::new(by, by + along * (ELBOW_HANDLE * lower), to - arrives * (END_HANDLE * lower), to),
    ]
}

/// The curve run the other way.
pub fn backward(c: CubicBez) -> CubicBez {
    CubicBez::new(c.p3, c.p2, c.p1, c.p0)
}

/// Length of two stretches.
pub fn both(c: &[CubicBez; 2]) -> f64 {
    cubic_length(&c[0]) + cubic_length(&c[1])
}

/// What opens at the back of an elbow of this width that bends by this angle in radians.
pub fn opening(width: f64, bend: f64) -> f64 {
    2.0 * width * (bend / 2.0).sin()
}

/// Most by which shaped seams may tilt the wrist line, radians: a good 17° (our own).
const MOST_TILT: f64 = 0.3;

const DOWN: Vec2 = Vec2::new(0.0, 1.0);

/// Draws the seams. `bend` is the angle in radians by which the lower arm is turned forward; with [`Bend::Ease`] it is
/// no more than can be eased in, with [`Bend::Seam`] no more than the wrist line lets it. `None` when no back seam fits the front one.
///
/// Where both seams must be equally long, the wrist line tilts about its front end until they are: by a hair with a dart,
/// and by as much as the bend opens with shaped seams. Both then meet it at the same slant, so that it runs on smoothly
/// across the closed seam.
pub fn seams(s: &Sizes, how: Bend, bend: f64) -> Option<Seams> {
    let at = |half: f64, y: f64| Point::new(s.middle + half, y);
    let (front_top, back_top) = (at(s.half_top, s.cap), at(-s.half_top, s.cap));
    let (front_elbow, back_elbow) = (at(s.half_elbow, s.elbow_y), at(-s.half_elbow, s.elbow_y));
    // The lower arm turned forward: counter-clockwise as seen.
    let lower = |p: Point, bend: f64| turned(p, front_elbow, -bend);
    let axis = |bend: f64| Vec2::new(bend.sin(), bend.cos());
    let front_wrist = |bend: f64| lower(at(s.half_wrist, s.wrist_y), bend);
    let back_wrist = |bend: f64, tilt: f64| turned(lower(at(-s.half_wrist, s.wrist_y), bend), front_wrist(bend), tilt);
    let slant = |bend: f64, tilt: f64| axis(bend - tilt / 2.0);
    let front = |bend: f64, tilt: f64| through(front_top, DOWN, front_elbow, front_wrist(bend), slant(bend, tilt));
    // Past the middle of what opens at the elbow.
    let smooth_back = |bend: f64, tilt: f64| {
        let by = lower(back_elbow, bend / 2.0);
        let down = through(back_top, DOWN, by, back_wrist(bend, tilt), slant(bend, tilt));
        [backward(down[1]), backward(down[0])]
    };
    match how {
        Bend::None => Some(Seams { front: front(0.0, 0.0), back: smooth_back(0.0, 0.0), dart: None, ease: 0.0, bend: 0.0 }),
        Bend::Ease => {
            let ease = opening(2.0 * s.half_elbow, bend).min(MOST_EASE_MM);
            let bend = root(0.0, 0.3, |bend| both(&smooth_back(bend, 0.0)) - both(&front(bend, 0.0)) - ease)?;
            Some(Seams { front: front(bend, 0.0), back: smooth_back(bend, 0.0), dart: None, ease, bend })
        }
        // A wide elbow over a narrow wrist bends only as far as the wrist line may tilt.
        Bend::Seam => (0..12).map(|i| bend * 0.85f64.powi(i)).find_map(|bend| {
            let tilt = root(-0.1, MOST_TILT, |tilt| both(&smooth_back(bend, tilt)) - both(&front(bend, tilt)))?;
            Some(Seams { front: front(bend, tilt), back: smooth_back(bend, tilt), dart: None, ease: 0.0, bend })
        }),
        Bend::Dart => {
            // On the line that halves the opening, half the back half in from the seam.
            let tip = front_elbow + 1.5 * s.half_elbow * Vec2::new(-(bend / 2.0).cos(), (bend / 2.0).sin());
            let mouth = lower(back_elbow, bend);
            // Square to both legs, so that the seam runs on smoothly with the dart closed.
            let square = |mouth: Point| {
                let leg = (tip - mouth).normalize();
                Vec2::new(leg.y, -leg.x)
            };
            let up = {
                let long = (back_top - back_elbow).hypot();
                let p1 = back_elbow + square(back_elbow) * (PEAK_HANDLE * long);
                CubicBez::new(back_elbow, p1, back_top + DOWN * (END_HANDLE * long), back_top)
            };
            let dart_back = |tilt: f64| {
                let wrist = back_wrist(bend, tilt);
                let long = (mouth - wrist).hypot();
                let p1 = wrist - slant(bend, tilt) * (END_HANDLE * long);
                [CubicBez::new(wrist, p1, mouth - square(mouth) * (PEAK_HANDLE * long), mouth), up]
            };
            let tilt = root(-0.2, 0.2, |tilt| both(&dart_back(tilt)) - both(&front(bend, tilt)))?;
            Some(Seams { front: front(bend, tilt), back: dart_back(tilt), dart: Some(tip), ease: 0.0, bend })
        }
    }
}
