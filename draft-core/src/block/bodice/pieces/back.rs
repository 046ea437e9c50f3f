//! The back.

use kurbo::Point;

use super::{Plan, Style, UPRIGHT, add_underbust, add_waist, down, path, straight_or_curved};
use crate::block::bodice::solve::Solved;
use crate::block::bodice::waist::{self, Give, WaistDart};
use crate::block::sleeve::BACK_NOTCH;
use crate::geometry::cubic_length;
use crate::{Dart, DraftError, Name, Piece, PieceBuilder, Role};

/// Back waist darts, straight.
pub fn darts(s: &Solved) -> Vec<WaistDart> {
    let n = s.back_darts.len();
    let mut before = 0.0;
    s.back_darts
        .iter()
        .enumerate()
        .map(|(i, &width)| {
            // Evenly across the finished back; the one next to the side ends a little lower.
            let x = s.back_waist * (i + 1) as f64 / (n + 1) as f64 + before + width / 2.0;
            before += width;
            WaistDart::straight(x, width, Point::new(x, s.underarm_y * if i == 0 { 1.0 } else { 0.85 }))
        })
        .collect()
}

/// Drafts the back. Gives it with how far its side seam leans in at the waist, which the front follows.
pub fn make(s: &Solved, plan: &Plan, style: &Style<'_>) -> Result<(Piece, f64), DraftError> {
    let darts = &plan.back_darts;
    let n = darts.len();
    let taken: f64 = s.back_darts.iter().sum();
    let names: Vec<Name> =
        (0..n).map(|i| Name::from(if n == 1 { "back dart".to_owned() } else { format!("back dart {}", i + 1) })).collect();
    let pivots: Vec<Point> = darts.iter().map(|d| d.tip).collect();
    let end = Point::new(s.back_waist + taken, 0.0);
    let side_by = plan.side_place(s.back_underarm, end);
    let waist = waist::draw((Point::ZERO, UPRIGHT), (end, |end| side_by.unwrap_or(s.back_underarm) - end), darts, s.back_waist, Give::End);
    let open = style.opening == "centre back";
    let armhole: f64 = s.back_armhole.iter().map(cubic_length).sum();
    let mut piece = PieceBuilder::new("back").part("neckline", Role::Seam, style.curve_mm, path(&[s.back_neckline]));
    piece = match s.back_shoulder_dart {
        None => piece.line("shoulder", Role::Seam, style.seam_mm, down(s.back_neck_point), down(s.back_tip)),
        Some(d) => piece
            .line("shoulder", Role::Seam, style.seam_mm, down(s.back_neck_point), down(d.inner))
            .line("shoulder dart leg 1", Role::DartLeg, 0.0, down(d.inner), down(d.point))
            .line("shoulder dart leg 2", Role::DartLeg, 0.0, down(d.point), down(d.outer))
            .line("shoulder", Role::Seam, style.seam_mm, down(d.outer), down(s.back_tip))
            .dart(Dart {
                name: "shoulder dart".into(),
                leg_a: "shoulder dart leg 1".into(),
                leg_b: "shoulder dart leg 2".into(),
                tip: down(d.point),
                pivot: down(d.point),
                // Pressed toward the centre.
                pressed_to_a: true,
            }),
    };
    piece = piece.part("armhole", Role::Seam, style.curve_mm, path(&s.back_armhole)).part(
        "side seam",
        Role::Seam,
        style.side_mm,
        straight_or_curved(&plan.side(s.back_underarm, side_by, waist.end)),
    );
    let level = plan.shaping.map_or(0.0, |l| l.y);
    let underbust = plan.underbust_points((Point::new(0.0, level), "centre back"), darts, &names, side_by);
    piece = add_underbust(piece, &underbust);
    piece = add_waist(piece, &waist, &names, style.seam_mm, &pivots);
    let lean = s.back_underarm.x - waist.end.x;
    let piece = piece
        .line(
            "centre back",
            if open { Role::Opening } else { Role::Fold },
            if open { style.side_mm } else { 0.0 },
            Point::ZERO,
            down(s.nape),
        )
        .point("nape", down(s.nape))
        .point("shoulder neck point", down(s.back_neck_point))
        .point("shoulder point", down(s.back_tip))
        .point("underarm", down(s.back_underarm))
        .hidden_point("centre at bust line", down(Point::new(0.0, s.underarm_y)))
        .hidden_point("centre across", down(Point::new(0.0, s.back_across.y)))
        .hidden_point("across", down(s.back_across))
        .hidden_point("centre waist", Point::ZERO)
        .notch("armhole", armhole - BACK_NOTCH * armhole, true)
        .notch("side seam", 0.5 * s.back_underarm.distance(waist.end), false)
        .grain(down(Point::new(0.18 * s.back_underarm.x, 30.0)), down(Point::new(0.18 * s.back_underarm.x, s.nape.y - 60.0)))
        .cut(if open { 2 } else { 1 }, open)
        .build()?;
    Ok((piece, lean))
}
