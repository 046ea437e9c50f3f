//! The map between a flat thing and its picture.

use kurbo::{Point, Vec2};

/// Corners closer to one line than this, as a part of the longest side, give no map.
const FLAT: f64 = 1e-3;

/// A map of the plane that keeps straight lines straight: from a flat sheet to its photo, or back.
///
/// `x' = (a·x + b·y + c) / (g·x + h·y + i)`, `y' = (d·x + e·y + f) / (g·x + h·y + i)`, where the denominator is above nought
/// on this side of the horizon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Homography([f64; 9]);

impl Homography {
    /// The map that takes the corners of a rectangle, from (0, 0) to (width, height), to four points: upper left, upper right,
    /// lower right, lower left.
    ///
    /// In closed form, by way of the unit square (P. Heckbert, *Fundamentals of texture mapping and image warping*, 1989,
    /// section 2.2.3; from memory). `None` where the points are no corners of a four-sided figure that bulges outward, as
    /// every picture of a rectangle is, or the rectangle has no area.
    pub fn of_rectangle(width: f64, height: f64, corners: [Point; 4]) -> Option<Self> {
        if !(width > 0.0 && height > 0.0 && corners.iter().all(|p| p.is_finite())) {
            return None;
        }
        let side = |i: usize| corners[(i + 1) % 4] - corners[i % 4];
        let longest = (0..4).map(|i| side(i).hypot()).fold(0.0, f64::max);
        let turns: Vec<f64> = (0..4).map(|i| side(i).cross(side(i + 1))).collect();
        let least = FLAT * longest * longest;
        if !(turns.iter().all(|t| *t > least) || turns.iter().all(|t| *t < -least)) {
            return None;
        }
        let [p0, p1, p2, p3] = corners;
        let (d1, d2) = (p1 - p2, p3 - p2);
        let s = p0.to_vec2() - p1.to_vec2() + p2.to_vec2() - p3.to_vec2();
        let whole = d1.cross(d2);
        let (g, h) = (s.cross(d2) / whole, d1.cross(s) / whole);
        let across: Vec2 = p1 - p0 + g * p1.to_vec2();
        let down: Vec2 = p3 - p0 + h * p3.to_vec2();
        Some(Self([across.x / width, down.x / height, p0.x, across.y / width, down.y / height, p0.y, g / width, h / height, 1.0]))
    }

    /// Where a point goes; `None` on or beyond the horizon.
    pub fn map(&self, p: Point) -> Option<Point> {
        let [a, b, c, d, e, f, g, h, i] = self.0;
        let w = g * p.x + h * p.y + i;
        (w > 1e-12).then(|| Point::new((a * p.x + b * p.y + c) / w, (d * p.x + e * p.y + f) / w))
    }

    /// The map back; `None` where there is none.
    pub fn inverse(&self) -> Option<Self> {
        let [a, b, c, d, e, f, g, h, i] = self.0;
        let adjugate = [
            e * i - f * h,
            c * h - b * i,
            b * f - c * e,
            f * g - d * i,
            a * i - c * g,
            c * d - a * f,
            d * h - e * g,
            b * g - a * h,
            a * e - b * d,
        ];
        let determinant = a * adjugate[0] + b * adjugate[3] + c * adjugate[6];
        // Divided by the determinant, its sign and all, both maps agree on which side of the horizon is seen.
        (determinant.abs() > 1e-12).then(|| Self(adjugate.map(|x| x / determinant)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const QUAD: [Point; 4] = [Point::new(120.0, 80.0), Point::new(910.0, 130.0), Point::new(860.0, 700.0), Point::new(60.0, 560.0)];

    #[test]
    fn corners_go_to_corners_and_back() {
        let map = Homography::of_rectangle(210.0, 297.0, QUAD).unwrap_or(Homography([0.0; 9]));
        let back = map.inverse().unwrap_or(map);
        let sheet = [(0.0, 0.0), (210.0, 0.0), (210.0, 297.0), (0.0, 297.0)].map(Point::from);
        for (on_sheet, in_photo) in sheet.into_iter().zip(QUAD) {
            assert!(map.map(on_sheet).is_some_and(|p| p.distance(in_photo) < 1e-9));
            assert!(back.map(in_photo).is_some_and(|p| p.distance(on_sheet) < 1e-9));
        }
        // Lines stay lines: the diagonals of the sheet cross where those of its picture do.
        let middle = map.map(Point::new(105.0, 148.5)).unwrap_or(Point::ZERO);
        assert!((QUAD[2] - QUAD[0]).cross(middle - QUAD[0]).abs() < 1e-6 && (QUAD[3] - QUAD[1]).cross(middle - QUAD[1]).abs() < 1e-6);
    }

    #[test]
    fn what_is_no_picture_of_a_rectangle_is_refused() {
        let [a, b, c, d] = QUAD;
        for corners in
            [[a, c, b, d], [a, b, a.midpoint(b), d], [a, b, c, a.midpoint(c)], [a, a, a, a], [Point::new(f64::NAN, 0.0), b, c, d]]
        {
            assert_eq!(Homography::of_rectangle(210.0, 297.0, corners), None, "{corners:?}");
        }
        assert_eq!(Homography::of_rectangle(0.0, 297.0, QUAD), None);
    }

    #[test]
    fn beyond_the_horizon_there_is_nothing() {
        let map = Homography::of_rectangle(210.0, 297.0, QUAD).unwrap_or(Homography([0.0; 9]));
        assert_eq!(map.map(Point::new(-1e9, -1e9)).is_some(), map.map(Point::new(1e9, 1e9)).is_none());
    }
}
