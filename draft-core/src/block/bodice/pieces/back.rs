//! The back.

use kurbo::Point;

use super::{Plan, Style, UPRIGHT, add_underbust, add_waist, down, path, straight_or_curved};
use crate::block::bodice::solve::Solved;
use crate::block::bodice::waist::{self, Give, WaistDart};
use crate::block::sleeve::BACK_NOTCH;
use crate::geometry::cubic_length;
use crate::{Dart, DraftError, Name, Piece, PieceBuilder, Role};

/// How far below a strapless top edge a dart ends, at least; millimetres.
const BELOW_TOP_MM: f64 = 25.0;

/// Back waist darts, straight.
pub fn darts(s: &Solved, style: &Style<'_>) -> Vec<WaistDart> {
    let n = s.back_darts.len();
    // Below the top edge of a strapless bodice, wherever it runs.
    let most = style.top.map_or(s.underarm_y, |top| s.underarm_y - top.back.max(0.0) - BELOW_TOP_MM);
    let mut before = 0.0;
    s.back_darts
        .iter()
        .enumerate()
        .map(|(i, &width)| {
            // Evenly across the finished back; the one next to the side ends a little lower.
            let x = s.back_waist * (i + 1) as f64 / (n + 1) as f64 + before + width / 2.0;
            before += width;
            WaistDart::straight(x, width, Point::new(x, (s.underarm_y * if i == 0 { 1.0 } else { 0.85 }).min(most)))
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
    let (centre_role, centre_mm) = centre_role(style);
    let armhole: f64 = s.back_armhole.iter().map(cubic_length).sum();
    let mut piece = PieceBuilder::new("back");
    let centre_top = match style.top {
        Some(top) => {
            let edge = top.back(s, side_by.map_or(s.back_underarm - waist.end, |by| s.back_underarm - by));
            piece = piece.part("top edge", Role::Seam, style.curve_mm, path(&[edge]));
            edge.p0
        }
        None => {
            piece = piece.part("neckline", Role::Seam, style.curve_mm, path(&[s.back_neckline]));
            piece = shoulder(piece, s, style).part("armhole", Role::Seam, style.curve_mm, path(&s.back_armhole)).notch(
                "armhole",
                armhole - BACK_NOTCH * armhole,
                true,
            );
            s.nape
        }
    };
    piece = piece.part("side seam", Role::Seam, style.side_mm, straight_or_curved(&plan.side(s.back_underarm, side_by, waist.end)));
    let level = plan.shaping.map_or(0.0, |l| l.y);
    let underbust = plan.underbust_points((Point::new(0.0, level), "centre back"), darts, &names, side_by);
    piece = add_underbust(piece, &underbust);
    piece = add_waist(piece, &waist, &names, style.seam_mm, &pivots);
    let lean = s.back_underarm.x - waist.end.x;
    let mut piece = piece
        .line("centre back", centre_role, centre_mm, Point::ZERO, down(centre_top))
        .point("underarm", down(s.back_underarm))
        .hidden_point("centre at bust line", down(Point::new(0.0, s.underarm_y)))
        .hidden_point("centre waist", Point::ZERO)
        .notch("side seam", 0.5 * s.back_underarm.distance(waist.end), false);
    if style.top.is_none() {
        piece = piece
            .point("nape", down(s.nape))
            .point("shoulder neck point", down(s.back_neck_point))
            .point("shoulder point", down(s.back_tip))
            .hidden_point("centre across", down(Point::new(0.0, s.back_across.y)))
            .hidden_point("across", down(s.back_across));
    }
    let grain_x = 0.18 * s.back_underarm.x;
    let pairs = centre_role != Role::Fold;
    let piece = piece
        .grain(down(Point::new(grain_x, 30.0)), down(Point::new(grain_x, centre_top.y - if style.top.is_some() { 25.0 } else { 60.0 })))
        .cut(if pairs { 2 } else { 1 }, pairs)
        .build()?;
    Ok((piece, lean))
}

/// What happens at the centre back.
pub fn centre_role(style: &Style<'_>) -> (Role, f64) {
    match style.opening {
        "centre back" => (Role::Opening, style.side_mm),
        _ if style.centre_back_seam => (Role::Seam, style.seam_mm),
        _ => (Role::Fold, 0.0),
    }
}

/// Adds the whole shoulder, with its dart.
pub fn shoulder(piece: PieceBuilder, s: &Solved, style: &Style<'_>) -> PieceBuilder {
    match s.back_shoulder_dart {
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
    }
}
