//! The front cut in two by a princess seam from the shoulder, the armhole or the top edge over the bust point to the waist.

use kurbo::{BezPath, CubicBez, Point, Vec2};

use super::{
    Plan, SeamFrom, Style, UPRIGHT, add_underbust, add_waist, armhole_notch, back_to_front, centre_role, dart_names, down, outer_points,
    path, straight_or_curved,
};
use crate::block::bodice::solve::Solved;
use crate::block::bodice::waist::{self, Give};
use crate::block::sleeve::FRONT_NOTCH;
use crate::geometry::{cubic_length, line_path, root, turned};
use crate::{DraftError, Measurement, Piece, PieceBuilder, Role};

/// Both edges of the seam from their upper ends down to the waist, as chains of cubics that pass the bust point.
type Edges = (Vec<CubicBez>, Vec<CubicBez>);

/// A lower end of the seam: where it stands before the waist is drawn, and where the waist puts it.
type Foot = (Point, Point);

fn third(a: Point, leaves: Vec2, b: Point, arrives: Vec2) -> CubicBez {
    let handle = a.distance(b) / 3.0;
    CubicBez::new(a, a + leaves * handle, b - arrives * handle, b)
}

/// From the bust point down to the waist, curved in under the bust by `inward`.
fn below(at: Point, leaves: Vec2, (nominal, foot): Foot, bend: Option<(f64, f64)>, inward: f64) -> Vec<CubicBez> {
    match bend {
        Some((y, by)) => {
            let through = at.lerp(nominal, (at.y - y) / (at.y - nominal.y)) + Vec2::new(inward * by, 0.0);
            let straight = (foot - at).normalize();
            vec![third(at, leaves, through, straight), third(through, straight, foot, (foot - through).normalize())]
        }
        None => vec![third(at, leaves, foot, (foot - at).normalize())],
    }
}

fn sum(c: &[CubicBez]) -> f64 {
    c.iter().map(cubic_length).sum()
}

/// From the shoulder or the top edge. Smooth at the bust point, where each panel bulges by its part of the bust gap,
/// shared out so that both edges have the same length.
fn from_above(s: &Solved, (top, top_outer): (Point, Point), feet: (Foot, Foot), bend: Option<(f64, f64)>) -> Edges {
    let edge = |top: Point, at: Point, foot: Foot, inward: f64| {
        let along = (foot.1 - top).normalize();
        let mut out = vec![third(top, (at - top).normalize(), at, along)];
        out.extend(below(at, along, foot, bend, inward));
        out
    };
    let shared = |centre_gets: f64| {
        let c = s.bust_point + Vec2::new(centre_gets, 0.0);
        let o = s.bust_point_outer - Vec2::new(s.bust_gap - centre_gets, 0.0);
        (edge(top, c, feet.0, -1.0), edge(top_outer, o, feet.1, 1.0))
    };
    let share = root(-50.0, s.bust_gap + 50.0, |x| {
        let (c, o) = shared(x);
        sum(&c) - sum(&o)
    });
    shared(share.unwrap_or(s.bust_gap / 2.0))
}

/// From the armhole. Without a bust gap the side panel's edge above the bust point is the centre panel's turned by the
/// bust dart, and below it the two are mirror images, so that both are equally long. A gap is shared out between the
/// panels until they are, or the seam's direction at the bust point turns a little.
fn from_armhole(s: &Solved, (top, top_outer): (Point, Point), feet: (Foot, Foot), bend: Option<(f64, f64)>) -> Edges {
    let middle = feet.0.0.midpoint(feet.1.0 - Vec2::new(s.bust_gap, 0.0));
    let axis = (middle - s.bust_point).atan2();
    // Away from the armhole at first, which is upright there.
    let leaves = ((s.bust_point - top).normalize() + Vec2::new(-0.5, 0.0)).atan2();
    let edge = |top: Point, leaves: f64, at: Point, along: f64, foot: Foot, inward: f64| {
        let along = Vec2::from_angle(along);
        let mut out = vec![third(top, Vec2::from_angle(leaves), at, along)];
        out.extend(below(at, along, foot, bend, inward));
        out
    };
    let drawn = |centre_gets: f64, turn: f64| {
        let c = s.bust_point + Vec2::new(centre_gets, 0.0);
        let o = s.bust_point_outer - Vec2::new(s.bust_gap - centre_gets, 0.0);
        (
            edge(top, leaves, c, axis + s.dart / 2.0 + turn, feet.0, -1.0),
            edge(top_outer, leaves - s.dart, o, axis - s.dart / 2.0 + turn, feet.1, 1.0),
        )
    };
    let longer = |(c, o): Edges| sum(&c) - sum(&o);
    for turn in [0.0, 0.1, -0.1, 0.2, -0.2, 0.3, -0.3] {
        if let Some(share) = root(-50.0, s.bust_gap + 50.0, |x| longer(drawn(x, turn))) {
            return drawn(share, turn);
        }
    }
    drawn(s.bust_gap / 2.0, 0.0)
}

/// What lies above the seam on one panel: edges from the centre outward, with name and allowance.
type Head = Vec<(&'static str, f64, BezPath)>;

/// By how much the side panel's edge may be longer and be eased in over the bust; millimetres.
const EASED_MM: f64 = 5.0;

/// Drafts the centre and the side panel. Gives them with by how much the side panel's edge is to be eased to the centre's:
/// nought but where no shape makes them equal.
pub fn make(s: &Solved, plan: &Plan, lean: f64, style: &Style<'_>, from: SeamFrom) -> Result<(Vec<Piece>, f64), DraftError> {
    let first = s.front_darts.first().copied().unwrap_or(0.0);
    let half_taken = (first - s.bust_gap) / 2.0;
    let (inner, outer) = (Point::new(s.bust_point.x - half_taken, 0.0), Point::new(s.bust_point_outer.x + half_taken, 0.0));
    // Under the bust both panels curve in by half of what the seam takes there.
    let bend = plan.shaping.map(|shape| (shape.y, shape.front / 2.0));
    let at_armhole = from == SeamFrom::Armhole && style.top.is_none();
    let shut = |p: Point| turned(p - Vec2::new(s.bust_gap, 0.0), s.bust_point, s.dart);
    let edges = |inner_foot: Point, outer_foot: Point| {
        let feet = ((inner, inner_foot), (outer, outer_foot));
        match style.top {
            Some(top) => from_above(s, top.over_bust(s), feet, bend),
            None if at_armhole => from_armhole(s, (shut(s.front_across), s.front_across), feet, bend),
            None => from_above(s, (s.mid_shoulder, s.mid_shoulder_outer), feet, bend),
        }
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
    let to_bust_centre = cubic_length(&centre_edge[0]);
    let to_bust_side = sum(&side_edge[1..]);
    let armhole = sum(&s.front_armhole);
    let side_up = s.front_underarm - side_by.unwrap_or(side_waist.end);
    let (centre_head, side_head) = heads(s, style, at_armhole, side_up, shut);
    let with_head =
        |piece: PieceBuilder, head: Head| head.into_iter().fold(piece, |piece, (edge, mm, path)| piece.part(edge, Role::Seam, mm, path));
    let centre_top = style.top.map_or(s.front_neckline.p0, |top| top.centre_front(s).p0);
    let mut centre = with_head(PieceBuilder::new("front"), centre_head)
        .part("princess seam", Role::Seam, style.seam_mm, path(&centre_edge))
        .part("waist", Role::Seam, style.seam_mm, path(&[back_to_front(centre_waist.curves[0])]))
        .line("centre front", role, centre_mm, Point::ZERO, down(centre_top))
        .point("bust point", down(centre_edge[0].p3))
        .hidden_point_on("centre front", "measured bust point", down(s.bust_point))
        .hidden_point_on("centre front", "bust point below", down(Point::new(s.bust_point.x, 0.0)))
        .hidden_point_on("centre front", "centre at bust point", down(Point::new(0.0, s.bust_point.y)))
        .hidden_point_on("centre front", "centre waist", Point::ZERO);
    centre = match style.top {
        Some(_) => centre.hidden_point("top over bust", down(centre_edge[0].p0)),
        None => centre
            .point("shoulder neck point", down(s.front_neck_point))
            .hidden_point_on("centre front", "centre across", down(Point::new(0.0, s.chest_level)))
            .hidden_point_on("centre front", "shoulder fold", down(s.mid_shoulder))
            .hidden_point_on("centre front", "closed shoulder point", down(s.closed_tip)),
    };
    if let Some((y, _)) = bend {
        centre = add_underbust(centre, &[(Point::new(0.0, y), "centre front".into()), (centre_edge[1].p3, "princess seam".into())]);
    }

    let names = dart_names(darts.len());
    let pivots: Vec<Point> = darts.iter().map(|d| d.tip).collect();
    let up_edge: Vec<CubicBez> = side_edge.iter().rev().map(|c| back_to_front(*c)).collect();
    let mut side = with_head(PieceBuilder::new("side front"), side_head).part(
        "side seam",
        Role::Seam,
        style.side_mm,
        straight_or_curved(&plan.side(s.front_underarm, side_by, side_waist.end)),
    );
    let side_level = bend.map_or(Point::ZERO, |_| side_edge[1].p3);
    let underbust = plan.underbust_points((side_level, "princess seam"), darts, &names, side_by);
    side = add_underbust(side, &underbust);
    side = add_waist(side, &side_waist, &names, style.seam_mm, &pivots).part("princess seam", Role::Seam, style.seam_mm, path(&up_edge));
    let notch = armhole - FRONT_NOTCH * armhole;
    if at_armhole {
        centre = centre.hidden_point("across", down(shut(s.front_across))).point("shoulder point", down(s.closed_tip));
        side = side.point("underarm", down(s.front_underarm));
        (centre, side) = armhole_notch(centre, side, cubic_length(&s.front_armhole[0]), notch, false);
    } else {
        side = outer_points(side, s, style);
        if style.top.is_none() {
            side = side.notch("armhole", notch, false);
        }
    }
    let side = seam_notches(side, to_bust_side, sum(&side_edge), bend.map(|_| -cubic_length(&side_edge[1])))
        .hidden_point("bust point", down(side_edge[0].p3))
        .hidden_point("level with bust point", down(Point::new(s.front_underarm.x, side_edge[0].p3.y)))
        .notch("side seam", s.front_underarm.distance(side_waist.end) / 2.0, false)
        .cut(2, true)
        .build()?;
    let pairs = role != Role::Fold;
    let grain_x = 0.4 * s.bust_point.x;
    let centre = seam_notches(centre, to_bust_centre, sum(&centre_edge), bend.map(|_| cubic_length(&centre_edge[1])))
        .grain(down(Point::new(grain_x, 30.0)), down(Point::new(grain_x, centre_top.y - if style.top.is_some() { 25.0 } else { 40.0 })))
        .cut(if pairs { 2 } else { 1 }, pairs)
        .build()?;
    let longer = sum(&side_edge) - sum(&centre_edge);
    if longer.abs() > EASED_MM {
        return Err(DraftError::new(
            "bodice / princess seam",
            "no seam from the armhole over this bust point has edges of one length",
            "Let the front princess seam begin in the shoulder, and measure bust girth and chest width again.",
        )
        .about(&[Measurement::BustGirth, Measurement::AcrossChestWidth]));
    }
    let eased = if (0.1..=EASED_MM).contains(&longer) { longer } else { 0.0 };
    Ok((vec![centre, side.to_builder().grain_along(-UPRIGHT).build()?], eased))
}

/// What lies above the seam on the centre and on the side panel.
fn heads(s: &Solved, style: &Style<'_>, at_armhole: bool, side_up: Vec2, shut: impl Fn(Point) -> Point) -> (Head, Head) {
    let curve_mm = style.curve_mm;
    if let Some(top) = style.top {
        let head = |c: CubicBez| vec![("top edge", curve_mm, path(&[c]))];
        return (head(top.centre_front(s)), head(top.side_front(s, side_up)));
    }
    let neckline = ("neckline", curve_mm, path(&[s.front_neckline]));
    let shoulder = |a: Point, b: Point| ("shoulder", style.seam_mm, line_path(down(a), down(b)));
    let armhole = |c: &[CubicBez]| ("armhole", curve_mm, path(c));
    if at_armhole {
        let [upper, lower] = s.front_armhole;
        let upper = CubicBez::new(shut(upper.p0), shut(upper.p1), shut(upper.p2), shut(upper.p3));
        (vec![neckline, shoulder(s.front_neck_point, upper.p0), armhole(&[upper])], vec![armhole(&[lower])])
    } else {
        (
            vec![neckline, shoulder(s.front_neck_point, s.mid_shoulder)],
            vec![shoulder(s.mid_shoulder_outer, s.front_tip), armhole(&s.front_armhole)],
        )
    }
}

/// Notches on the seam at the bust point, 5 cm to either side of it where there is room, and at the underbust, which
/// lies `to_underbust` further along.
fn seam_notches(mut piece: PieceBuilder, to_bust: f64, whole: f64, to_underbust: Option<f64>) -> PieceBuilder {
    let mut at = vec![-50.0, 0.0, 50.0];
    at.extend(to_underbust.filter(|mm| mm.abs() > 58.0));
    for off in at {
        if to_bust + off > 8.0 && to_bust + off < whole - 8.0 {
            piece = piece.notch("princess seam", to_bust + off, false);
        }
    }
    piece
}
