//! The front in one piece, with its bust dart where the maker wants it.

use kurbo::Point;

use super::{Plan, Style, UPRIGHT, add_underbust, add_waist, centre_role, dart_names, down, outer_points, path, straight_or_curved};
use crate::block::bodice::solve::Solved;
use crate::block::bodice::waist::{self, Give};
use crate::block::sleeve::FRONT_NOTCH;
use crate::geometry::cubic_length;
use crate::{Dart, DraftError, Piece, PieceBuilder, Role, dart};

/// Drafts the front.
pub fn make(s: &Solved, plan: &Plan, lean: f64, style: &Style<'_>) -> Result<Piece, DraftError> {
    let end = Point::new(s.front_underarm.x - lean, 0.0);
    let darts = &plan.front_darts;
    let names = dart_names(darts.len());
    let pivots: Vec<Point> = darts.iter().enumerate().map(|(i, d)| if i == 0 { s.bust_point } else { d.tip }).collect();
    let side_by = plan.side_place(s.front_underarm, s.front_side_waist());
    let waist =
        waist::draw((Point::ZERO, UPRIGHT), (end, |end| side_by.unwrap_or(s.front_underarm) - end), darts, s.front_waist, Give::Dart);
    let armhole: f64 = s.front_armhole.iter().map(cubic_length).sum();
    let (role, centre_mm) = centre_role(style);
    let centre_neck = s.front_neckline.p0;
    let mut piece = PieceBuilder::new("front").part("neckline", Role::Seam, style.curve_mm, path(&[s.front_neckline]));
    let has_dart = s.dart > 0.0;
    if has_dart {
        let (a, b) = (s.mid_shoulder, s.mid_shoulder_outer);
        let axis = (a.midpoint(b) - s.bust_point).normalize();
        let tip = s.bust_point + axis * style.short_of_bust_point;
        piece = piece
            .line("shoulder", Role::Seam, style.seam_mm, down(s.front_neck_point), down(a))
            .line("bust dart leg 1", Role::DartLeg, 0.0, down(a), down(tip))
            .line("bust dart leg 2", Role::DartLeg, 0.0, down(tip), down(b))
            .line("shoulder", Role::Seam, style.seam_mm, down(b), down(s.front_tip))
            .dart(Dart {
                name: "bust dart".into(),
                leg_a: "bust dart leg 1".into(),
                leg_b: "bust dart leg 2".into(),
                tip: down(tip),
                pivot: down(s.bust_point),
                // A shoulder dart is pressed toward the centre.
                pressed_to_a: true,
            });
    } else {
        piece = piece.line("shoulder", Role::Seam, style.seam_mm, down(s.front_neck_point), down(s.front_tip));
    }
    piece = piece.part("armhole", Role::Seam, style.curve_mm, path(&s.front_armhole)).part(
        "side seam",
        Role::Seam,
        style.side_mm,
        straight_or_curved(&plan.side(s.front_underarm, side_by, waist.end)),
    );
    let level = plan.shaping.map_or(0.0, |l| l.y);
    let underbust = plan.underbust_points((Point::new(0.0, level), "centre front"), darts, &names, side_by);
    piece = add_underbust(piece, &underbust);
    piece = add_waist(piece, &waist, &names, style.seam_mm, &pivots);
    piece = piece
        .line("centre front", role, centre_mm, Point::ZERO, down(centre_neck))
        .point("shoulder neck point", down(s.front_neck_point))
        .point("bust point", down(s.bust_point))
        .hidden_point_on("centre front", "bust point below", down(Point::new(s.bust_point.x, 0.0)))
        .hidden_point_on("centre front", "centre at bust point", down(Point::new(0.0, s.bust_point.y)))
        .hidden_point_on("centre front", "centre across", down(Point::new(0.0, s.chest_level)))
        .hidden_point_on("centre front", "centre waist", Point::ZERO)
        .hidden_point_on("centre front", "shoulder fold", down(s.mid_shoulder))
        .hidden_point_on("centre front", "closed shoulder point", down(s.closed_tip));
    let piece = outer_points(piece, s)
        .notch("armhole", armhole - FRONT_NOTCH * armhole, false)
        .notch("side seam", s.front_underarm.distance(waist.end) / 2.0, false)
        .grain(down(Point::new(0.3 * s.bust_point.x, 30.0)), down(Point::new(0.3 * s.bust_point.x, centre_neck.y - 40.0)))
        .cut(if role == Role::Opening { 2 } else { 1 }, role == Role::Opening)
        .build()?;
    if !has_dart {
        return Ok(piece);
    }
    let side_mm = s.front_underarm.distance(waist.end);
    // Five centimetres or a third of the seam below the underarm, and well above the underbust.
    let place = 50f64.min(side_mm / 3.0).min(plan.shaping.map_or(side_mm, |l| 0.5 * (s.underarm_y - l.y)));
    match style.bust_dart {
        // Pressed down.
        "side" => dart::moved(&piece, "bust dart", "side seam", place, style.short_of_bust_point, false),
        "armhole" => dart::moved(&piece, "bust dart", "armhole", 0.55 * armhole, style.short_of_bust_point, false),
        // Without a waist dart the bust dart opens straight below its point.
        "waist" if names.is_empty() => {
            dart::moved(&piece, "bust dart", "waist", waist.end.x - s.bust_point.x, style.short_of_bust_point, false)
        }
        "waist" => dart::joined(&piece, "bust dart", "waist dart", style.short_of_bust_point),
        _ => Ok(piece),
    }
}
