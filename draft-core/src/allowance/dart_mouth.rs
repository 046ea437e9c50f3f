//! The mouth of a dart, and the fold cap that closes it.

use kurbo::{Affine, Point, Vec2};

use super::corner::Join;
use super::rail::{Arm, backward};
use crate::{Dart, Name, Piece, geometry};

/// A peak further from the dart's tip than this many times the leg's length is no cap, but a seam line that runs
/// along the dart; our own limit.
const FARTHEST_PEAK: f64 = 1.6;

/// The opening of a dart in the outline.
#[derive(Clone, Copy, Debug)]
pub struct Mouth {
    /// Mouth end of each leg, as the outline meets them.
    pub ends: [Point; 2],
    /// Tip end of each leg.
    pub tips: [Point; 2],
    /// Unit direction out of the piece in which each leg reaches its end; the cloth beyond is mirrored in this line.
    pub legs: [Vec2; 2],
    /// Whether the fold is pressed toward the first leg's side.
    pub pressed_to_first: bool,
}

/// Index of the first part of a dart and how many parts it has.
pub fn parts_of(piece: &Piece, dart: &Dart) -> Option<(usize, usize)> {
    let parts = piece.parts();
    let of = |leg: &Name| parts.iter().position(|p| piece.edges()[p.edge].name == *leg);
    let (a, b) = (of(&dart.leg_a)?, of(&dart.leg_b)?);
    let steps = |from: usize, to: usize| (to + parts.len() - from) % parts.len();
    // A dart may have a short edge between its legs, at the bust point.
    [(a, steps(a, b)), (b, steps(b, a))].into_iter().find(|(_, n)| (1..=2).contains(n)).map(|(first, n)| (first, n + 1))
}

impl Mouth {
    /// The mouth of a dart of the outline; `None` when it is shut or its legs are not there.
    pub fn of(piece: &Piece, dart: &Dart) -> Option<Self> {
        let parts = piece.parts();
        let (first, count) = parts_of(piece, dart)?;
        let (one, two) = (&parts[first], &parts[(first + count - 1) % parts.len()]);
        let ends = [geometry::start(&one.path)?, geometry::end(&two.path)?];
        let tips = [geometry::end(&one.path)?, geometry::start(&two.path)?];
        let legs = [-geometry::start_tangent(&one.path), geometry::end_tangent(&two.path)];
        let runs_a_to_b = piece.edges()[one.edge].name == dart.leg_a;
        let open = ends[0].distance(ends[1]) > 1e-3 && ends[0].distance(tips[0]) > 1e-3 && ends[1].distance(tips[1]) > 1e-3;
        open.then_some(Self { ends, tips, legs, pressed_to_first: dart.pressed_to_a == runs_a_to_b })
    }

    /// The line in which the cloth is folded: a point on it, and its unit direction out of the piece.
    fn axis(&self) -> Option<(Point, Vec2)> {
        let along = self.legs[0] + self.legs[1];
        (along.hypot() > 0.1).then(|| (self.tips[0].midpoint(self.tips[1]), along.normalize()))
    }

    /// Joins the rails on both sides of the mouth, so that with the dart folded and pressed the edge runs on straight
    /// through all layers: the rail of the side that it is pressed to, mirrored in that leg up to the fold, and this
    /// again mirrored in the fold.
    ///
    /// `on_seam` is how the seam line itself is joined here, `None` when that is what is asked for: a cut line has a
    /// cap where the seam line has one. With `plain` set the rails are left whole.
    ///
    /// Source: our own construction; common practice is to fold the paper, cut across, and unfold.
    pub fn join(&self, first: &Arm<'_>, second: &Arm<'_>, on_seam: Option<&Join>, plain: bool) -> Join {
        let arms = [first, second];
        let on_leg = |i: usize| {
            let (end, leg) = (self.ends[i], self.legs[i]);
            let reach = 3.0 * arms[i].allowance + 1e-6;
            arms[i].crossing(end, leg, |_, at| (-1e-6..=reach).contains(&(at - end).dot(leg)))
        };
        let capped = on_seam.is_none_or(|join| !join.between.is_empty());
        // Where the seam line has a cap and the cut line can't, it must at least hold the seam line's.
        let straight = |u: f64, v: f64| Join { rough: on_seam.is_some() && capped, ..Join::via(u, Vec::new(), v) };
        let (false, Some(u0), Some(u1)) = (plain, on_leg(0), on_leg(1)) else { return straight(0.0, 0.0) };
        let straight = straight(u0, u1);
        if !capped {
            return straight;
        }
        let Some((through, axis)) = self.axis() else { return straight };
        let pressed = usize::from(!self.pressed_to_first);
        let (arm, start, leg) = (arms[pressed], [u0, u1][pressed], self.legs[pressed]);
        let mirror = Affine::reflect(self.ends[pressed], leg);
        let back = |v: Vec2| mirror * v.to_point() - mirror * Point::ZERO;
        let farthest = if on_seam.is_some() { f64::INFINITY } else { FARTHEST_PEAK * self.ends[pressed].distance(self.tips[pressed]) };
        let Some(end) = arm.crossing(mirror * through, back(axis), |v, at| {
            v >= start - 1e-9 && (0.0..=farthest).contains(&(mirror * at - through).dot(axis))
        }) else {
            return straight;
        };
        // From the leg to the peak, then from the peak to the other leg.
        let rise = arm.walk(start, end, mirror);
        let mut fall: Vec<_> = rise.iter().map(|seg| Affine::reflect(through, axis) * *seg).collect();
        backward(&mut fall);
        let mut between = rise;
        between.extend(fall);
        if pressed == 1 {
            backward(&mut between);
        }
        Join { first: u0, between, via: Vec::new(), second: u1, rough: false }
    }
}
