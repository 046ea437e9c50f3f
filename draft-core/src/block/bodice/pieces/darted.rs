//! The front in one piece, with its bust dart where the maker wants it.

use kurbo::Point;

use super::bust::{BUST_DART, Places};
use super::{
    Plan, Spread, Style, UPRIGHT, add_underbust, add_waist, centre_role, dart_names, down, outer_points, path, straight_or_curved,
};
use crate::block::bodice::solve::Solved;
use crate::block::bodice::waist::{self, Give};
use crate::block::sleeve::FRONT_NOTCH;
use crate::geometry::cubic_length;
use crate::{Dart, DraftError, Piece, PieceBuilder, Role};

/// Drafts the front.
pub fn make(s: &Solved, plan: &Plan, lean: f64, style: &Style<'_>) -> Result<(Piece, Spread), DraftError> {
    let end = Point::new(s.front_underarm.x - lean, 0.0);
    let darts = &plan.front_darts;
    let names = dart_names(darts.len());
    let pivots: Vec<Point> = darts.iter().enumerate().map(|(i, d)| if i == 0 { s.bust_point } else { d.tip }).collect();
    let side_by = plan.side_place(s.front_underarm, s.front_side_waist());
    let waist =
        waist::draw((Point::ZERO, UPRIGHT), (end, |end| side_by.unwrap_or(s.front_underarm) - end), darts, s.front_waist, Give::Dart);
    let armhole: f64 = s.front_armhole.iter().map(cubic_length).sum();
    let (role, centre_mm) = centre_role(style);
    let has_dart = s.dart > 0.0;
    // The dart is drafted in the middle of the shoulder, or in the top edge above the bust point.
    let (a, b, upper) = match style.top {
        Some(top) => {
            let (a, b) = top.over_bust(s);
            (a, b, "top edge")
        }
        None => (s.mid_shoulder, s.mid_shoulder_outer, "shoulder"),
    };
    let side_up = s.front_underarm - side_by.unwrap_or(waist.end);
    let mut piece = PieceBuilder::new("front");
    let centre_top = match style.top {
        Some(top) => {
            piece = piece.part(upper, Role::Seam, style.curve_mm, path(&[top.centre_front(s)]));
            top.centre_front(s).p0
        }
        None => {
            piece = piece.part("neckline", Role::Seam, style.curve_mm, path(&[s.front_neckline]));
            s.front_neckline.p0
        }
    };
    if has_dart {
        if style.top.is_none() {
            piece = piece.line(upper, Role::Seam, style.seam_mm, down(s.front_neck_point), down(a));
        }
        let tip = s.bust_point + (a.midpoint(b) - s.bust_point).normalize() * style.short_of_bust_point;
        piece = piece
            .line("bust dart leg 1", Role::DartLeg, 0.0, down(a), down(tip))
            .line("bust dart leg 2", Role::DartLeg, 0.0, down(tip), down(b))
            .dart(Dart {
                name: BUST_DART.into(),
                leg_a: "bust dart leg 1".into(),
                leg_b: "bust dart leg 2".into(),
                tip: down(tip),
                pivot: down(s.bust_point),
                // A shoulder dart is pressed toward the centre.
                pressed_to_a: true,
            });
        if style.top.is_none() {
            piece = piece.line(upper, Role::Seam, style.seam_mm, down(b), down(s.front_tip));
        }
    } else if style.top.is_none() {
        piece = piece.line(upper, Role::Seam, style.seam_mm, down(s.front_neck_point), down(s.front_tip));
    }
    piece = match style.top {
        Some(top) => piece.part(upper, Role::Seam, style.curve_mm, path(&[top.side_front(s, side_up)])),
        None => piece.part("armhole", Role::Seam, style.curve_mm, path(&s.front_armhole)).notch(
            "armhole",
            armhole - FRONT_NOTCH * armhole,
            false,
        ),
    };
    piece = piece.part("side seam", Role::Seam, style.side_mm, straight_or_curved(&plan.side(s.front_underarm, side_by, waist.end)));
    let level = plan.shaping.map_or(0.0, |l| l.y);
    let underbust = plan.underbust_points((Point::new(0.0, level), "centre front"), darts, &names, side_by);
    piece = add_underbust(piece, &underbust);
    piece = add_waist(piece, &waist, &names, style.seam_mm, &pivots);
    piece = piece
        .line("centre front", role, centre_mm, Point::ZERO, down(centre_top))
        .point("bust point", down(s.bust_point))
        .hidden_point_on("centre front", "bust point below", down(Point::new(s.bust_point.x, 0.0)))
        .hidden_point_on("centre front", "centre at bust point", down(Point::new(0.0, s.bust_point.y)))
        .hidden_point_on("centre front", "centre waist", Point::ZERO);
    piece = match style.top {
        Some(_) => piece.hidden_point("top over bust", down(a)),
        None => piece
            .point("shoulder neck point", down(s.front_neck_point))
            .hidden_point_on("centre front", "centre across", down(Point::new(0.0, s.chest_level)))
            .hidden_point_on("centre front", "shoulder fold", down(s.mid_shoulder))
            .hidden_point_on("centre front", "closed shoulder point", down(s.closed_tip)),
    };
    let grain_x = 0.3 * s.bust_point.x;
    let pairs = role != Role::Fold;
    let piece = outer_points(piece, s, style)
        .notch("side seam", s.front_underarm.distance(waist.end) / 2.0, false)
        .grain(down(Point::new(grain_x, 30.0)), down(Point::new(grain_x, centre_top.y - if style.top.is_some() { 25.0 } else { 40.0 })))
        .cut(if pairs { 2 } else { 1 }, pairs)
        .build()?;
    if !has_dart {
        return Ok((piece, Spread::default()));
    }
    let side_mm = s.front_underarm.distance(waist.end);
    let places = Places {
        // Five centimetres or a third of the seam below the underarm, and well above the underbust.
        side: 50f64.min(side_mm / 3.0).min(plan.shaping.map_or(side_mm, |l| 0.5 * (s.underarm_y - l.y))),
        armhole,
        waist: waist.end.x - s.bust_point.x,
        centre: s.bust_point.y,
        has_waist_dart: !names.is_empty(),
    };
    let (piece, spread) = places.placed(piece, style)?;
    // A dart that crosses the middle of the front leaves no room for the grain line there.
    if style.bust_dart.uses("neckline") || style.bust_dart.uses("centre front") {
        return Ok((piece.to_builder().grain_along(-UPRIGHT).build()?, spread));
    }
    Ok((piece, spread))
}
