//! The pieces of a solved bodice and the seams between them.

mod back;
mod back_princess;
mod bust;
mod darted;
mod princess;
mod promises;
mod top;

use kurbo::{BezPath, CubicBez, Point, Vec2};

use super::solve::{Ease, Solved, Tape};
use super::underbust::{self, Shaping};
use super::waist::{Waist, WaistDart};
use crate::draft::Draft;
use crate::geometry::{cubic_path, line_path};
use crate::{Dart, DraftError, EdgeRun, Name, PieceBuilder, Role, Seam};
pub use bust::{LARGE_DEG, Spread, Wanted};
pub use top::Top;

/// Where a princess seam begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeamFrom {
    Shoulder,
    Armhole,
}

/// What the maker chose about the pieces.
pub struct Style<'a> {
    /// Princess seams in front and behind.
    pub princess: Option<SeamFrom>,
    pub back_princess: Option<SeamFrom>,
    /// The edge that takes the place of shoulders, neckline and armholes.
    pub top: Option<Top>,
    pub shaped: bool,
    pub bust_dart: Wanted<'a>,
    /// A seam down the centre front, where it does not open.
    pub centre_front_seam: bool,
    /// The same behind.
    pub centre_back_seam: bool,
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
        let mut back_darts = back::darts(s, style);
        let mut front_darts = front_darts(s, style);
        let shaping =
            if style.shaped { underbust::shaping(s, tape, ease, &front_darts, &back_darts, style.princess.is_some()) } else { None };
        if let Some(shape) = shaping {
            let shares = back_darts.len().max(1) as f64;
            for dart in &mut back_darts {
                dart.bend(shape.y, shape.back / shares);
            }
            if style.princess.is_none()
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
    if style.princess.is_none() && first > 0.0 {
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

/// Front or back: its pieces from the centre outward.
#[derive(Clone, Debug, Default)]
pub struct Names {
    pub fronts: Vec<Name>,
    pub backs: Vec<Name>,
}

impl Names {
    fn all(&self) -> impl Iterator<Item = &Name> {
        self.fronts.iter().chain(&self.backs)
    }

    /// The outermost piece.
    fn outer(names: &[Name]) -> Name {
        names.last().cloned().unwrap_or_else(|| "front".into())
    }
}

/// Makes the pieces and adds them, with seams and promises. Gives what is longer than its partner by it.
pub fn make(draft: &mut Draft, s: &Solved, tape: &Tape, ease: &Ease, style: &Style<'_>) -> Result<Spread, DraftError> {
    let plan = Plan::of(s, tape, ease, style);
    let mut names = Names::default();
    let (backs, lean) = match style.back_princess {
        Some(from) => back_princess::make(s, &plan, style, from)?,
        None => back::make(s, &plan, style).map(|(back, lean)| (vec![back], lean))?,
    };
    let mut spread = Spread::default();
    let fronts = match style.princess {
        Some(from) => {
            let (panels, eased) = princess::make(s, &plan, lean, style, from)?;
            spread.princess_eased = eased;
            panels
        }
        None => {
            let (front, of_dart) = darted::make(s, &plan, lean, style)?;
            spread = of_dart;
            vec![front]
        }
    };
    for (pieces, names) in [(backs, &mut names.backs), (fronts, &mut names.fronts)] {
        for piece in pieces {
            names.push(piece.name().clone());
            draft.put(piece);
        }
    }
    seams(draft, &names, ease, style, &spread);
    promises::add(draft, &names, s, tape, ease, &promises::Shape { shaped: plan.shaping.is_some(), top: style.top, spread });
    promises::corners(draft, &names, style);
    Ok(spread)
}

const UPRIGHT: Vec2 = Vec2::new(0.0, 1.0);

fn dart_names(darts: usize) -> Vec<Name> {
    (0..darts).map(|i| Name::from(if i == 0 { "waist dart".to_owned() } else { format!("waist dart {}", i + 1) })).collect()
}

fn centre_role(style: &Style<'_>) -> (Role, f64) {
    match style.opening {
        "centre front" => (Role::Opening, style.side_mm),
        _ if style.centre_front_seam => (Role::Seam, style.seam_mm),
        _ => (Role::Fold, 0.0),
    }
}

/// Points of the outer front, which move along with the armhole or the top edge when the dart is moved.
fn outer_points(piece: PieceBuilder, s: &Solved, style: &Style<'_>) -> PieceBuilder {
    let bust_line = down(Point::new(s.bust_point_outer.x, s.underarm_y));
    if style.top.is_some() {
        return piece
            .point("underarm", down(s.front_underarm))
            .hidden_point_on("side seam", "bust line over bust point", bust_line)
            .hidden_point_on("side seam", "drafted underarm", down(s.front_underarm));
    }
    piece
        .point("shoulder point", down(s.front_tip))
        .point_on("armhole", "underarm", down(s.front_underarm))
        .hidden_point_on("armhole", "drafted underarm", down(s.front_underarm))
        .hidden_point_on("armhole", "bust line over bust point", bust_line)
        .hidden_point_on("armhole", "across", down(s.front_across))
        .hidden_point_on("armhole", "shoulder fold outer", down(s.mid_shoulder_outer))
        .hidden_point_on("armhole", "drafted shoulder point", down(s.front_tip))
}

/// The notch of the sleeve on an armhole that lies on two pieces, the shoulder's part `upper_mm` long.
fn armhole_notch(
    inner: PieceBuilder,
    outer: PieceBuilder,
    upper_mm: f64,
    from_shoulder: f64,
    double: bool,
) -> (PieceBuilder, PieceBuilder) {
    if from_shoulder < upper_mm {
        (inner.notch("armhole", from_shoulder, double), outer)
    } else {
        (inner, outer.notch("armhole", from_shoulder - upper_mm, double))
    }
}

fn seams(draft: &mut Draft, names: &Names, ease: &Ease, style: &Style<'_>, spread: &Spread) {
    let runs = |names: &[Name], edge: &str| -> Vec<EdgeRun> {
        let has = |n: &&Name| draft.piece(n.as_str()).is_some_and(|p| p.edge(edge).is_some());
        names.iter().filter(has).map(|n| EdgeRun::new(n.clone(), edge)).collect()
    };
    let mut out = Vec::new();
    if style.top.is_none() {
        // What a gathered or spread dart adds to the front shoulder is drawn in to the back one.
        let drawn_in: f64 = names.fronts.iter().filter_map(|n| Some(draft.piece(n.as_str())?.taken_up_mm("shoulder"))).sum();
        let ease_mm = ease.back_shoulder - drawn_in;
        out.push(Seam { a: runs(&names.backs, "shoulder"), b: runs(&names.fronts, "shoulder"), ease_mm });
    }
    let outer = Names::outer(&names.fronts);
    let drawn_in = draft.piece(outer.as_str()).map_or(0.0, |p| p.taken_up_mm("side seam"));
    out.push(Seam {
        a: vec![EdgeRun::new(outer, "side seam")],
        b: vec![EdgeRun::new(Names::outer(&names.backs), "side seam")],
        ease_mm: drawn_in,
    });
    for (half, ease_mm) in [(&names.fronts, -spread.princess_eased), (&names.backs, 0.0)] {
        if let [inner, outer] = half.as_slice() {
            let run = |n: &Name| vec![EdgeRun::new(n.clone(), "princess seam")];
            out.push(Seam { a: run(inner), b: run(outer), ease_mm });
        }
    }
    for piece in draft.pieces.iter().filter(|p| names.all().any(|n| n == p.name())) {
        out.extend(piece.darts().iter().map(|d| {
            Seam::plain(EdgeRun::new(piece.name().clone(), d.leg_a.clone()), EdgeRun::new(piece.name().clone(), d.leg_b.clone()))
        }));
    }
    draft.seams.extend(out);
}
