//! The back cut in two by a princess seam from the shoulder or the armhole into the waist dart.
//!
//! Both edges share one curve from where a shoulder dart ends down to the tip of the waist dart; above and below, the
//! edges of the two panels are mirror images, so that they are equally long.

use kurbo::{CubicBez, ParamCurve, Point, Vec2};

use super::back::{centre_role, shoulder};
use super::{Plan, SeamFrom, Style, UPRIGHT, add_underbust, add_waist, armhole_notch, back_to_front, down, path, straight_or_curved};
use crate::block::bodice::solve::Solved;
use crate::block::bodice::waist::{self, Give, WaistDart};
use crate::block::sleeve::BACK_NOTCH;
use crate::geometry::{cubic_length, root};
use crate::{DraftError, Name, Piece, PieceBuilder, Role};

const SEAM: &str = "princess seam";

fn third(a: Point, leaves: Vec2, b: Point, arrives: Vec2) -> CubicBez {
    let handle = a.distance(b) / 3.0;
    CubicBez::new(a, a + leaves * handle, b - arrives * handle, b)
}

/// The two edges of a dart that opens downward from its tip, smooth into an upright line at the tip; centre, side.
fn below(dart: &WaistDart, half: f64, mouth: f64, bend: Option<f64>) -> [Vec<CubicBez>; 2] {
    let down = Vec2::new(0.0, -1.0);
    let one = |sign: f64| {
        let foot = Point::new(dart.x + sign * mouth, 0.0);
        match bend {
            Some(y) if half > 0.0 => {
                let by = Point::new(dart.x + sign * half, y);
                let along = (foot - dart.tip).normalize();
                vec![third(dart.tip, down, by, along), third(by, along, foot, (foot - by).normalize())]
            }
            _ => vec![third(dart.tip, down, foot, (foot - dart.tip).normalize())],
        }
    };
    [one(-1.0), one(1.0)]
}

/// Drafts the centre and the side panel. Gives them with how far the side seam leans in at the waist.
pub fn make(s: &Solved, plan: &Plan, style: &Style<'_>, from: SeamFrom) -> Result<(Vec<Piece>, f64), DraftError> {
    // Without a waist dart the seam runs down to the middle of the waist and takes nothing there.
    let middle = s.back_waist / 2.0;
    let plain = WaistDart::straight(middle, 0.0, Point::new(middle, 0.6 * s.underarm_y));
    let (seam, rest) = match plan.back_darts.split_first() {
        Some((first, rest)) => (*first, rest),
        None => (plain, &[][..]),
    };
    let taken: f64 = s.back_darts.iter().sum();
    let end = Point::new(s.back_waist + taken, 0.0);
    let side_by = plan.side_place(s.back_underarm, end);
    let side_up = side_by.unwrap_or(end);
    let bend = seam.by.map(|by| by.y);
    let half = seam.by.map_or(0.0, |by| by.x - seam.x);

    // Waists square to the seam, then the seam to where they came out, alike on both panels.
    let [centre_low, side_low] = below(&seam, half, seam.width / 2.0, bend);
    let upward = |c: &[CubicBez]| c.last().map_or(UPRIGHT, |l| l.p2 - l.p3);
    let centre_waist = waist::draw(
        (Point::ZERO, UPRIGHT),
        (Point::new(seam.x - seam.width / 2.0, 0.0), |_| upward(&centre_low)),
        &[],
        seam.x - seam.width / 2.0,
        Give::End,
    );
    let side_start = Point::new(seam.x + seam.width / 2.0, 0.0);
    let side_end = (end, |end| side_by.unwrap_or(s.back_underarm) - end);
    // The side seam ends where the back in one piece would have it, for the front follows that.
    let whole = waist::draw((Point::ZERO, UPRIGHT), side_end, &plan.back_darts, s.back_waist, Give::End);
    let side_end = (whole.end, |end| side_by.unwrap_or(s.back_underarm) - end);
    let side_waist = waist::draw((side_start, upward(&side_low)), side_end, rest, s.back_waist - (seam.x - seam.width / 2.0), Give::Start);
    let mouth = seam.x - centre_waist.end.x;
    let moved = side_waist.start.x - side_start.x;
    let [centre_low, _] = below(&seam, half, mouth, bend);
    let [_, side_low] = below(&seam, half, seam.width / 2.0 + moved, bend);

    // From the top of the seam down to the waist dart's tip.
    let whole_top = style.top.map(|top| top.back(s, s.back_underarm - side_up));
    let top_at = |c: &CubicBez| root(0.0, 1.0, |t| c.eval(t).x - seam.x).unwrap_or(0.5);
    let down_to_tip = Vec2::new(0.0, -1.0);
    let armhole: f64 = s.back_armhole.iter().map(cubic_length).sum();
    let upper_mm = cubic_length(&s.back_armhole[0]);
    let mut centre = PieceBuilder::new("back");
    let mut side = PieceBuilder::new("side back");
    let (centre_high, side_high);
    let mut centre_top = s.nape;
    let curve_mm = style.curve_mm;
    match (whole_top, from) {
        (Some(top), _) => {
            let t = top_at(&top);
            let at = top.eval(t);
            centre_top = top.p0;
            let line = third(at, (seam.tip - at).normalize(), seam.tip, down_to_tip);
            (centre_high, side_high) = (vec![line], vec![line]);
            centre = centre.part("top edge", Role::Seam, curve_mm, path(&[top.subsegment(0.0..t)]));
            side = side.part("top edge", Role::Seam, curve_mm, path(&[top.subsegment(t..1.0)]));
        }
        (None, SeamFrom::Armhole) => {
            let at = s.back_across;
            // Away from the armhole at first, which is upright there.
            let leaves = ((seam.tip - at).normalize() + Vec2::new(-1.0, 0.0)).normalize();
            let line = third(at, leaves, seam.tip, down_to_tip);
            (centre_high, side_high) = (vec![line], vec![line]);
            centre = centre.part("neckline", Role::Seam, curve_mm, path(&[s.back_neckline]));
            centre = shoulder(centre, s, style).part("armhole", Role::Seam, curve_mm, path(&s.back_armhole[..1]));
            side = side.part("armhole", Role::Seam, curve_mm, path(&s.back_armhole[1..]));
            (centre, side) = armhole_notch(centre, side, upper_mm, armhole - BACK_NOTCH * armhole, true);
        }
        (None, SeamFrom::Shoulder) => {
            let (inner, outer, meet) = match s.back_shoulder_dart {
                Some(d) => (d.inner, d.outer, Some(d.point)),
                None => {
                    let middle = s.back_neck_point.midpoint(s.back_tip);
                    (middle, middle, None)
                }
            };
            let to_tip = |at: Point, leaves: Vec2| third(at, leaves, seam.tip, down_to_tip);
            (centre_high, side_high) = match meet {
                Some(meet) => {
                    // Along the dart's middle line where the panels meet.
                    let along = (meet - inner.midpoint(outer)).normalize();
                    let leg = |at: Point| third(at, (meet - at).normalize(), meet, along);
                    let line = to_tip(meet, along);
                    (vec![leg(inner), line], vec![leg(outer), line])
                }
                None => {
                    let line = to_tip(inner, (seam.tip - inner).normalize());
                    (vec![line], vec![line])
                }
            };
            centre = centre.part("neckline", Role::Seam, curve_mm, path(&[s.back_neckline])).line(
                "shoulder",
                Role::Seam,
                style.seam_mm,
                down(s.back_neck_point),
                down(inner),
            );
            side = side
                .line("shoulder", Role::Seam, style.seam_mm, down(outer), down(s.back_tip))
                .part("armhole", Role::Seam, curve_mm, path(&s.back_armhole))
                .notch("armhole", armhole - BACK_NOTCH * armhole, true);
        }
    }
    let sum = |c: &[CubicBez]| c.iter().map(cubic_length).sum::<f64>();
    let (high_mm, centre_low_mm, side_low_mm) = (sum(&centre_high), sum(&centre_low), sum(&side_low));
    let centre_edge = [centre_high, centre_low].concat();
    let side_edge: Vec<CubicBez> = [side_high, side_low].concat().iter().rev().map(|c| back_to_front(*c)).collect();

    let level = plan.shaping.map_or(0.0, |l| l.y);
    let (centre_role, centre_mm) = centre_role(style);
    let pairs = centre_role != Role::Fold;
    let seam_at_level = |sign: f64| {
        let by = if bend.is_some() { half } else { seam.half_width_at(level) };
        Point::new(seam.x + sign * by, level)
    };
    centre = centre
        .part(SEAM, Role::Seam, style.seam_mm, path(&centre_edge))
        .part("waist", Role::Seam, style.seam_mm, path(&[back_to_front(centre_waist.curves[0])]))
        .line("centre back", centre_role, centre_mm, Point::ZERO, down(centre_top))
        .hidden_point("centre at bust line", down(Point::new(0.0, s.underarm_y)))
        .hidden_point("seam at bust line", down(Point::new(seam.x, s.underarm_y)))
        .hidden_point("centre waist", Point::ZERO);
    side = side.part("side seam", Role::Seam, style.side_mm, straight_or_curved(&plan.side(s.back_underarm, side_by, side_waist.end)));
    let names: Vec<Name> = (0..rest.len()).map(|i| format!("back dart {}", i + 1).into()).collect();
    let pivots: Vec<Point> = rest.iter().map(|d| d.tip).collect();
    if plan.shaping.is_some() {
        let points = [(Point::new(0.0, level), Name::from("centre back")), (seam_at_level(-1.0), SEAM.into())];
        centre = add_underbust(centre, &points);
        side = add_underbust(side, &plan.underbust_points((seam_at_level(1.0), SEAM), rest, &names, side_by));
    }
    side = add_waist(side, &side_waist, &names, style.seam_mm, &pivots)
        .part(SEAM, Role::Seam, style.seam_mm, path(&side_edge))
        .point("underarm", down(s.back_underarm))
        .hidden_point("seam at bust line", down(Point::new(seam.x, s.underarm_y)))
        .notch("side seam", 0.5 * s.back_underarm.distance(side_waist.end), false);
    // Where the waist dart begins, 5 cm below and, where there is room, above.
    for off in [-50.0, 0.0, 50.0] {
        if high_mm + off > 20.0 && off < centre_low_mm - 20.0 {
            centre = centre.notch(SEAM, high_mm + off, off != 0.0);
            side = side.notch(SEAM, side_low_mm - off, off != 0.0);
        }
    }
    if style.top.is_none() {
        let across = Point::new(0.0, s.back_across.y);
        centre = centre
            .point("nape", down(s.nape))
            .point("shoulder neck point", down(s.back_neck_point))
            .hidden_point("centre across", down(across));
        // Where both panels have the seam at this level, it does not count.
        let seam_across = Point::new(seam.x, s.back_across.y);
        match from {
            SeamFrom::Armhole => centre = centre.hidden_point("across", down(s.back_across)).point("shoulder point", down(s.back_tip)),
            SeamFrom::Shoulder => {
                centre = centre.hidden_point("seam across", down(seam_across));
                side = side
                    .point("shoulder point", down(s.back_tip))
                    .hidden_point("seam across", down(seam_across))
                    .hidden_point("across", down(s.back_across));
            }
        }
    }
    let grain_x = 0.18 * s.back_underarm.x;
    let centre = centre
        .grain(down(Point::new(grain_x, 30.0)), down(Point::new(grain_x, centre_top.y - if style.top.is_some() { 25.0 } else { 60.0 })))
        .cut(if pairs { 2 } else { 1 }, pairs)
        .build()?;
    let side = side.cut(2, true).grain_along(-UPRIGHT).build()?;
    let lean = s.back_underarm.x - side_waist.end.x;
    Ok((vec![centre, side], lean))
}
