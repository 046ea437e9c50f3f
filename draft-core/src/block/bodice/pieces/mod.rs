//! The pieces of a solved bodice and the seams between them.

mod back;
mod darted;
mod princess;
mod promises;

use kurbo::{BezPath, CubicBez, Point, Vec2};

use super::solve::{Ease, Solved, Tape};
use super::underbust::{self, Shaping};
use super::waist::{Waist, WaistDart};
use crate::draft::Draft;
use crate::geometry::{cubic_path, line_path};
use crate::{Dart, DraftError, EdgeRun, Name, PieceBuilder, Role, Seam};

/// What the maker chose about the pieces.
pub struct Style<'a> {
    pub princess: bool,
    pub shaped: bool,
    pub bust_dart: &'a str,
    pub short_of_bust_point: f64,
    pub opening: &'a str,
    pub seam_mm: f64,
    pub curve_mm: f64,
    pub side_mm: f64,
}

/// Where the waist darts stand and how the edges curve under the bust.
struct Plan {
    back_darts: Vec<WaistDart>,
    /// Darts of the front, or of its side panel.
    front_darts: Vec<WaistDart>,
    shaping: Option<Shaping>,
}

impl Plan {
    fn of(s: &Solved, tape: &Tape, ease: &Ease, style: &Style<'_>) -> Self {
        let mut back_darts = back::darts(s);
        let mut front_darts = front_darts(s, style);
        let shaping = if style.shaped { underbust::shaping(s, tape, ease, &front_darts, &back_darts, style.princess) } else { None };
        if let Some(shape) = shaping {
            let shares = back_darts.len().max(1) as f64;
            for dart in &mut back_darts {
                dart.bend(shape.y, shape.back / shares);
            }
            if !style.princess
                && let Some(first) = front_darts.first_mut()
            {
                first.bend(shape.y, shape.front);
            }
        }
        Self { back_darts, front_darts, shaping }
    }

    /// A side seam from the underarm down to the waist, curved in under the bust.
    fn side(&self, underarm: Point, place: Option<Point>, end: Point) -> Vec<CubicBez> {
        match place {
            Some(by) => underbust::through(underarm, by, end).to_vec(),
            None => vec![CubicBez::new(underarm, underarm.lerp(end, 1.0 / 3.0), underarm.lerp(end, 2.0 / 3.0), end)],
        }
    }

    /// The place that a side seam to about `end` passes at the underbust level.
    fn side_place(&self, underarm: Point, end: Point) -> Option<Point> {
        let shape = self.shaping?;
        let t = (underarm.y - shape.y) / (underarm.y - end.y);
        Some(underarm.lerp(end, t) - Vec2::new(shape.side, 0.0))
    }

    /// Points between which the piece has cloth at the underbust level, from the centre outward, each with the edge
    /// that it lies on.
    fn underbust_points(&self, start: (Point, &str), darts: &[WaistDart], names: &[Name], side: Option<Point>) -> Vec<(Point, Name)> {
        let (Some(shape), Some(side)) = (self.shaping, side) else { return Vec::new() };
        let mut out = vec![(start.0, Name::from(start.1))];
        for (dart, name) in darts.iter().zip(names) {
            let half = dart.half_width_at(shape.y);
            if half > 0.0 {
                out.push((Point::new(dart.x - half, shape.y), leg_name(name, 2)));
                out.push((Point::new(dart.x + half, shape.y), leg_name(name, 1)));
            }
        }
        out.push((side, Name::from("side seam")));
        out
    }
}

/// The name of a dart's leg: the first or the second as the outline runs.
fn leg_name(dart: &Name, n: u8) -> Name {
    Name::from(format!("{dart} leg {n}"))
}

/// Front waist darts: the first below the bust point unless a princess seam takes its place, the others between it and
/// the side.
fn front_darts(s: &Solved, style: &Style<'_>) -> Vec<WaistDart> {
    let bust = s.bust_point;
    let first = s.front_darts.first().copied().unwrap_or(0.0);
    let others = s.front_darts.len().saturating_sub(1);
    let inner = s.bust_point_outer.x + (first - s.bust_gap) / 2.0;
    let side_x = s.front_side_waist().x;
    let mut out = Vec::new();
    if !style.princess && first > 0.0 {
        out.push(WaistDart::straight(bust.x, first, bust - Vec2::new(0.0, style.short_of_bust_point)));
    }
    for (i, &width) in s.front_darts.iter().enumerate().skip(1) {
        let x = inner + (side_x - inner) * i as f64 / (others + 1) as f64;
        out.push(WaistDart::straight(x, width, Point::new(x, 0.7 * bust.y)));
    }
    out
}

/// Adds the points that mark the underbust level, for measuring it again.
fn add_underbust(mut piece: PieceBuilder, points: &[(Point, Name)]) -> PieceBuilder {
    for (i, (at, edge)) in points.iter().enumerate() {
        piece = piece.hidden_point_on(edge.as_str(), format!("underbust {}", i + 1), down(*at));
    }
    piece
}

/// From the drafting frame (y up) to the cloth (y down).
fn down(p: Point) -> Point {
    Point::new(p.x, -p.y)
}

fn curve(c: CubicBez) -> CubicBez {
    CubicBez::new(down(c.p0), down(c.p1), down(c.p2), down(c.p3))
}

fn back_to_front(c: CubicBez) -> CubicBez {
    CubicBez::new(c.p3, c.p2, c.p1, c.p0)
}

fn path(cubics: &[CubicBez]) -> BezPath {
    cubic_path(&cubics.iter().map(|c| curve(*c)).collect::<Vec<_>>())
}

/// An edge that stays a line where it is straight.
fn straight_or_curved(cubics: &[CubicBez]) -> BezPath {
    match cubics {
        [only] => line_path(down(only.p0), down(only.p3)),
        _ => path(cubics),
    }
}

/// Adds the waist from the side to the centre, its darts as legs of the outline.
fn add_waist(mut piece: PieceBuilder, waist: &Waist, names: &[Name], seam_mm: f64, pivots: &[Point]) -> PieceBuilder {
    for (i, c) in waist.curves.iter().enumerate().rev() {
        piece = piece.part("waist", Role::Seam, seam_mm, path(&[back_to_front(*c)]));
        if i > 0 {
            let (d, name, pivot) = (waist.darts[i - 1], &names[i - 1], pivots[i - 1]);
            let (leg_a, leg_b) = (leg_name(name, 1), leg_name(name, 2));
            piece = piece
                .part(leg_a.clone(), Role::DartLeg, 0.0, straight_or_curved(&d.side_leg()))
                .part(
                    leg_b.clone(),
                    Role::DartLeg,
                    0.0,
                    straight_or_curved(&d.centre_leg().iter().rev().map(|c| back_to_front(*c)).collect::<Vec<_>>()),
                )
                // Waist darts are pressed toward the centre.
                .dart(Dart { name: name.clone(), leg_a, leg_b, tip: down(d.tip), pivot: down(pivot), pressed_to_a: false });
        }
    }
    piece
}

/// Makes the pieces and adds them, with seams and promises.
pub fn make(draft: &mut Draft, s: &Solved, tape: &Tape, ease: &Ease, style: &Style<'_>) -> Result<(), DraftError> {
    let plan = Plan::of(s, tape, ease, style);
    let (back, lean) = back::make(s, &plan, style)?;
    draft.put(back);
    let fronts: Vec<Name> = if style.princess {
        let (centre, side) = princess::make(s, &plan, lean, style)?;
        let names = vec![centre.name().clone(), side.name().clone()];
        draft.put(centre);
        draft.put(side);
        names
    } else {
        let front = darted::make(s, &plan, lean, style)?;
        let name = front.name().clone();
        draft.put(front);
        vec![name]
    };
    seams(draft, &fronts, ease);
    promises::add(draft, &fronts, s, tape, ease, plan.shaping.is_some());
    promises::corners(draft, &fronts);
    Ok(())
}

const UPRIGHT: Vec2 = Vec2::new(0.0, 1.0);

fn dart_names(darts: usize) -> Vec<Name> {
    (0..darts).map(|i| Name::from(if i == 0 { "waist dart".to_owned() } else { format!("waist dart {}", i + 1) })).collect()
}

fn centre_role(style: &Style<'_>) -> (Role, f64) {
    if style.opening == "centre front" { (Role::Opening, style.side_mm) } else { (Role::Fold, 0.0) }
}

/// Points of the outer front, which move along with the armhole when the dart is moved.
fn outer_points(piece: PieceBuilder, s: &Solved) -> PieceBuilder {
    piece
        .point_on("armhole", "shoulder point", down(s.front_tip))
        .point_on("armhole", "underarm", down(s.front_underarm))
        .hidden_point_on("armhole", "bust line over bust point", down(Point::new(s.bust_point_outer.x, s.underarm_y)))
        .hidden_point_on("armhole", "across", down(s.front_across))
        .hidden_point_on("armhole", "shoulder fold outer", down(s.mid_shoulder_outer))
}

fn seams(draft: &mut Draft, fronts: &[Name], ease: &Ease) {
    let outer = fronts.last().map_or("front", |n| n.as_str());
    let front_shoulder = fronts.iter().map(|f| EdgeRun::new(f.clone(), "shoulder")).collect();
    draft.seams.push(Seam { a: vec![EdgeRun::new("back", "shoulder")], b: front_shoulder, ease_mm: ease.back_shoulder });
    draft.seams.push(Seam::plain(EdgeRun::new(outer, "side seam"), EdgeRun::new("back", "side seam")));
    if fronts.len() > 1 {
        draft.seams.push(Seam::plain(EdgeRun::new("front", "princess seam"), EdgeRun::new("side front", "princess seam")));
    }
    let mut legs = Vec::new();
    for piece in draft.pieces.iter().filter(|p| p.name() == "back" || fronts.contains(p.name())) {
        legs.extend(piece.darts().iter().map(|d| {
            Seam::plain(EdgeRun::new(piece.name().clone(), d.leg_a.clone()), EdgeRun::new(piece.name().clone(), d.leg_b.clone()))
        }));
    }
    draft.seams.extend(legs);
}
