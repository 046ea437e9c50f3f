//! One layer of half a collar: between its neck edge and its outer edge.

use kurbo::{BezPath, Point, Vec2};

use crate::course::cut_at;
use crate::geometry::{self, end, end_tangent, reversed, start};
use crate::{DraftError, Name, Piece, PieceBuilder, Role};

/// What both layers have in common.
pub struct Style {
    /// Name of the edge away from the neck.
    pub outer_edge: &'static str,
    /// Split at the centre back, else on the fold there.
    pub split: bool,
    /// On the fold at the centre front.
    pub fold_front: bool,
    /// How far the front corner is rounded, if it is.
    pub rounding: Option<f64>,
    /// Allowance at the neck edge.
    pub neck_mm: f64,
    /// Allowance at the enclosed edges.
    pub edge_mm: f64,
    /// Allowance at a split centre back.
    pub back_mm: f64,
    /// From the centre back along the neck edge to the shoulder.
    pub shoulder_notch: f64,
}

/// Neck edge and outer edge, both from the centre back to the centre front, the collar to the right of the neck edge
/// or, for a stand, to its left.
pub struct Leaf {
    pub neck: BezPath,
    pub outer: BezPath,
}

impl Leaf {
    /// The piece, its outer edge cut back at the front by `cut_back` so that the front seam rolls under.
    pub fn piece(&self, name: &str, style: &Style, cut_back: f64) -> Result<Piece, DraftError> {
        let ends = |path: &BezPath| (start(path).unwrap_or(Point::ZERO), end(path).unwrap_or(Point::ZERO));
        let mut outer = self.outer.clone();
        if cut_back > 0.0 {
            outer = cut_at(&outer, geometry::length(&outer) - cut_back).0;
        }
        let (neck_back, neck_front) = ends(&self.neck);
        let (outer_back, corner) = ends(&outer);
        let mut front_end = corner;
        let mut rounded = BezPath::new();
        if let Some(radius) = style.rounding {
            let up = neck_front - corner;
            let (down, along) = (radius.min(0.9 * up.hypot()), radius.min(0.4 * geometry::length(&outer)));
            outer = cut_at(&outer, geometry::length(&outer) - along).0;
            let (to, arrives) = (ends(&outer).1, end_tangent(&outer));
            front_end = corner + up.normalize() * down;
            // Handles of a quarter circle.
            const QUARTER: f64 = 0.552_284_749_8;
            rounded.move_to(front_end);
            rounded.curve_to(front_end.lerp(corner, QUARTER), to + arrives * (QUARTER * along), to);
        }
        let back_ward = reversed(&outer);
        let mut outer_path = rounded;
        let skip = usize::from(!outer_path.elements().is_empty());
        outer_path.extend(back_ward.elements().iter().skip(skip).copied());

        let (front, front_role, front_mm) =
            if style.fold_front { ("centre front", Role::Fold, 0.0) } else { ("front edge", Role::Seam, style.edge_mm) };
        let (back_role, back_mm) = if style.split { (Role::Opening, style.back_mm) } else { (Role::Fold, 0.0) };
        let down = outer_back - neck_back;
        let inward = Vec2::new(-down.y, down.x).normalize();
        let inward = if (neck_front - neck_back).dot(inward) < 0.0 { -inward } else { inward };
        let near = neck_back + inward * (0.1 * geometry::length(&self.neck)).min(15.0);
        let (one, other) = (near + down * 0.2, near + down * 0.8);
        let (lower, upper) = if one.y > other.y { (one, other) } else { (other, one) };
        let mut piece = PieceBuilder::new(Name::from(name));
        // The outline runs clockwise as seen, whichever way the collar rises from its neck edge.
        let clockwise = (neck_front - neck_back).cross(down) > 0.0;
        let line = geometry::line_path;
        let mut edges = vec![
            ("neck edge", Role::Seam, style.neck_mm, self.neck.clone()),
            (front, front_role, front_mm, line(neck_front, front_end)),
            (style.outer_edge, Role::Seam, style.edge_mm, outer_path),
            ("centre back", back_role, back_mm, line(outer_back, neck_back)),
        ];
        if !clockwise {
            edges.reverse();
            edges.rotate_left(3);
            for edge in &mut edges {
                edge.3 = reversed(&edge.3);
            }
        }
        for (name, role, mm, path) in edges {
            piece = piece.part(name, role, mm, path);
        }
        let whole = geometry::length(&self.neck);
        let at = |from_back: f64| if clockwise { from_back } else { whole - from_back };
        piece = piece.notch("neck edge", at(style.shoulder_notch.clamp(0.0, whole)), false);
        if style.split {
            piece = piece.notch("centre back", down.hypot() / 2.0, false);
        }
        let pair = style.split && !style.fold_front;
        piece.grain(lower, upper).cut(if pair { 2 } else { 1 }, pair).build()
    }
}
