//! The end of a sleeve: a point over the back of the hand or a plain edge, its finger loop and its facing.

use kurbo::{Affine, BezPath, CubicBez, ParamCurve, ParamCurveArclen, Point, Vec2};

use super::elbow::backward;
use crate::geometry::{cubic_path, length, line_path};
use crate::{DraftError, Piece, PieceBuilder, Role};

/// Half the angle of a point; from 25° to 40° looks like one (our own).
const TIP_HALF_DEG: f64 = 30.0;

/// How much shorter than the edge its facing is, so that the seam rolls to the inside; millimetres.
pub const FACING_SHORTER_MM: f64 = 2.0;

/// How far inside the tip the finger loop is sewn, millimetres.
const LOOP_INSIDE_MM: f64 = 3.0;

/// Name of the facing of a pointed end.
pub const FACING: &str = "point facing";

/// An end from the front seam to the back seam.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    pub path: BezPath,
    /// Tip of the point, and where its loop is sewn.
    pub point: Option<(Point, Point)>,
    /// Middle of the straight line between both seams.
    middle: Point,
}

impl End {
    /// Straight across.
    pub fn straight(front: Point, back: Point) -> Self {
        Self { path: line_path(front, back), point: None, middle: front.midpoint(back) }
    }

    /// A point that reaches `reach` past the line between both seams, level where it meets them.
    pub fn pointed(front: Point, back: Point, reach: f64) -> Self {
        let middle = front.midpoint(back);
        let half = (front - back).hypot() / 2.0;
        let across = (front - back).normalize();
        let down = Vec2::new(-across.y, across.x);
        let tip = middle + down * reach;
        let handle = 0.4 * reach;
        // Narrow ends get a sharper point, so that its sides never bulge past the seams.
        let aside = (handle * TIP_HALF_DEG.to_radians().tan()).min(0.7 * half);
        let side = |s: f64| {
            CubicBez::new(
                middle + across * (s * half),
                middle + across * (0.55 * s * half),
                tip + across * (s * aside) - down * handle,
                tip,
            )
        };
        let path = cubic_path(&[side(1.0), backward(side(-1.0))]);
        Self { path, point: Some((tip, tip - down * LOOP_INSIDE_MM)), middle }
    }

    /// The facing: the edge a little smaller, and the seams up to `depth` above it.
    ///
    /// `front` is the last stretch of the front seam, run down to the end; `back` the first of the back seam, run up.
    pub fn facing(&self, front: CubicBez, back: CubicBez, depth: f64, allowance: f64) -> Result<Piece, DraftError> {
        let whole = length(&self.path);
        let smaller = Affine::translate(self.middle.to_vec2())
            * Affine::scale(1.0 - FACING_SHORTER_MM / whole.max(10.0 * FACING_SHORTER_MM))
            * Affine::translate(-self.middle.to_vec2());
        let front_mm = front.arclen(1e-6);
        let back_mm = back.arclen(1e-6);
        let depth = depth.min(front_mm).min(back_mm);
        let front = smaller * front.subsegment(front.inv_arclen(front_mm - depth, 1e-6)..1.0);
        let back = smaller * back.subsegment(0.0..back.inv_arclen(depth, 1e-6));
        let (tip, _) = self.point.unwrap_or((self.middle, self.middle));
        let top = front.p0.midpoint(back.p3);
        // The same grain as the sleeve's.
        let (centre, half) = (top.lerp(tip, 0.35), Vec2::new(0.0, 0.3 * top.distance(tip)));
        PieceBuilder::new(FACING)
            .line("top edge", Role::Hem, 0.0, back.p3, front.p0)
            .part("front end", Role::Seam, allowance, cubic_path(&[front]))
            .part("point edge", Role::Seam, allowance, smaller * self.path.clone())
            .part("back end", Role::Seam, allowance, cubic_path(&[back]))
            .hidden_point("tip", smaller * tip)
            .grain(centre + half, centre - half)
            .cut(2, true)
            .build()
    }
}
