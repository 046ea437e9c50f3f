//! The front cut in two by a princess seam from the shoulder over the bust point to the waist.

use kurbo::{CubicBez, Point, Vec2};

use super::{
    Plan, Style, UPRIGHT, add_underbust, add_waist, back_to_front, centre_role, dart_names, down, outer_points, path, straight_or_curved,
};
use crate::block::bodice::solve::Solved;
use crate::block::bodice::waist::{self, Give};
use crate::block::sleeve::FRONT_NOTCH;
use crate::geometry::{cubic_length, root};
use crate::{DraftError, Piece, PieceBuilder, Role};

/// Drafts the centre and the side panel. The seam passes the bust point smoothly; each panel bulges there by its part of the
/// bust gap, shared out so that both edges have the same length.
pub fn make(s: &Solved, plan: &Plan, lean: f64, style: &Style<'_>) -> Result<(Piece, Piece), DraftError> {
    let first = s.front_darts.first().copied().unwrap_or(0.0);
    let half_taken = (first - s.bust_gap) / 2.0;
    let (inner, outer) = (Point::new(s.bust_point.x - half_taken, 0.0), Point::new(s.bust_point_outer.x + half_taken, 0.0));
    // Under the bust both panels curve in by half of what the seam takes there.
    let bend = plan.shaping.map(|shape| (shape.y, shape.front / 2.0));
    let edge = |top: Point, at: Point, (nominal, foot): (Point, Point), inward: f64| {
        let along = (foot - top).normalize();
        let third = |a: Point, b: Point| a.distance(b) / 3.0;
        let enter = (at - top).normalize();
        let upper = CubicBez::new(top, top + enter * third(top, at), at - along * third(top, at), at);
        match bend {
            Some((y, by)) => {
                let through = at.lerp(nominal, (at.y - y) / (at.y - nominal.y)) + Vec2::new(inward * by, 0.0);
                let (straight, third_a, third_b) = ((foot - at).normalize(), third(at, through), third(through, foot));
                let leave = (foot - through).normalize();
                vec![
                    upper,
                    CubicBez::new(at, at + along * third_a, through - straight * third_a, through),
                    CubicBez::new(through, through + straight * third_b, foot - leave * third_b, foot),
                ]
            }
            None => {
                let leave = (foot - at).normalize();
                vec![upper, CubicBez::new(at, at + along * third(at, foot), foot - leave * third(at, foot), foot)]
            }
        }
    };
    let sum = |c: &[CubicBez]| c.iter().map(cubic_length).sum::<f64>();
    let edges = |inner_foot: Point, outer_foot: Point| {
        let shared = |centre_gets: f64| {
            let c = s.bust_point + Vec2::new(centre_gets, 0.0);
            let o = s.bust_point_outer - Vec2::new(s.bust_gap - centre_gets, 0.0);
            (edge(s.mid_shoulder, c, (inner, inner_foot), -1.0), edge(s.mid_shoulder_outer, o, (outer, outer_foot), 1.0))
        };
        let share = root(-50.0, s.bust_gap + 50.0, |x| {
            let (c, o) = shared(x);
            sum(&c) - sum(&o)
        });
        shared(share.unwrap_or(s.bust_gap / 2.0))
    };
    let upward = |c: &[CubicBez]| c.last().map_or(UPRIGHT, |l| l.p2 - l.p3);

    // The waists square to the seam first; then the seam once more to where they came out, a hair away.
    let (centre_edge, side_edge) = edges(inner, outer);
    let centre_square = upward(&centre_edge);
    let centre_waist = waist::draw((Point::ZERO, UPRIGHT), (inner, |_| centre_square), &[], inner.x, Give::End);
    let darts = &plan.front_darts;
    let end = Point::new(s.front_underarm.x - lean, 0.0);
    let side_by = plan.side_place(s.front_underarm, s.front_side_waist());
    let side_end = (end, |end| side_by.unwrap_or(s.front_underarm) - end);
    let side_waist = waist::draw((outer, upward(&side_edge)), side_end, darts, s.front_waist - inner.x, Give::Start);
    let (centre_edge, side_edge) = edges(centre_waist.end, side_waist.start);
    let (role, centre_mm) = centre_role(style);
    let centre_neck = s.front_neckline.p0;
    let to_bust_centre = cubic_length(&centre_edge[0]);
    let to_bust_side = sum(&side_edge[1..]);
    let seam_notches = |piece: PieceBuilder, to_bust: f64| {
        piece.notch("princess seam", to_bust - 50.0, false).notch("princess seam", to_bust, false).notch(
            "princess seam",
            to_bust + 50.0,
            false,
        )
    };
    let centre = PieceBuilder::new("front")
        .part("neckline", Role::Seam, style.curve_mm, path(&[s.front_neckline]))
        .line("shoulder", Role::Seam, style.seam_mm, down(s.front_neck_point), down(s.mid_shoulder))
        .part("princess seam", Role::Seam, style.seam_mm, path(&centre_edge))
        .part("waist", Role::Seam, style.seam_mm, path(&[back_to_front(centre_waist.curves[0])]))
        .line("centre front", role, centre_mm, Point::ZERO, down(centre_neck))
        .point("shoulder neck point", down(s.front_neck_point))
        .point("bust point", down(centre_edge[0].p3))
        .hidden_point_on("centre front", "measured bust point", down(s.bust_point))
        .hidden_point_on("centre front", "bust point below", down(Point::new(s.bust_point.x, 0.0)))
        .hidden_point_on("centre front", "centre at bust point", down(Point::new(0.0, s.bust_point.y)))
        .hidden_point_on("centre front", "centre across", down(Point::new(0.0, s.chest_level)))
        .hidden_point_on("centre front", "centre waist", Point::ZERO)
        .hidden_point_on("centre front", "shoulder fold", down(s.mid_shoulder))
        .hidden_point_on("centre front", "closed shoulder point", down(s.closed_tip));
    let centre = match bend {
        Some((y, _)) => add_underbust(centre, &[(Point::new(0.0, y), "centre front".into()), (centre_edge[1].p3, "princess seam".into())]),
        None => centre,
    };
    let centre = seam_notches(centre, to_bust_centre)
        .grain(down(Point::new(0.4 * s.bust_point.x, 30.0)), down(Point::new(0.4 * s.bust_point.x, centre_neck.y - 40.0)))
        .cut(if role == Role::Opening { 2 } else { 1 }, role == Role::Opening)
        .build()?;

    let names = dart_names(darts.len());
    let pivots: Vec<Point> = darts.iter().map(|d| d.tip).collect();
    let armhole: f64 = s.front_armhole.iter().map(cubic_length).sum();
    let up_edge: Vec<CubicBez> = side_edge.iter().rev().map(|c| back_to_front(*c)).collect();
    let side = PieceBuilder::new("side front")
        .line("shoulder", Role::Seam, style.seam_mm, down(s.mid_shoulder_outer), down(s.front_tip))
        .part("armhole", Role::Seam, style.curve_mm, path(&s.front_armhole))
        .part("side seam", Role::Seam, style.side_mm, straight_or_curved(&plan.side(s.front_underarm, side_by, side_waist.end)));
    let side_level = bend.map_or(Point::ZERO, |_| side_edge[1].p3);
    let underbust = plan.underbust_points((side_level, "princess seam"), darts, &names, side_by);
    let side = add_underbust(side, &underbust);
    let side =
        add_waist(side, &side_waist, &names, style.seam_mm, &pivots).part("princess seam", Role::Seam, style.seam_mm, path(&up_edge));
    let side = seam_notches(outer_points(side, s), to_bust_side)
        .hidden_point("bust point", down(side_edge[0].p3))
        .hidden_point("level with bust point", down(Point::new(s.front_underarm.x, side_edge[0].p3.y)))
        .notch("armhole", armhole - FRONT_NOTCH * armhole, false)
        .notch("side seam", s.front_underarm.distance(side_waist.end) / 2.0, false)
        .grain_along(-UPRIGHT)
        .cut(2, true)
        .build()?;
    Ok((centre, side))
}
