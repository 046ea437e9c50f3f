//! The pieces of a solved bodice, their seams, and what is promised of them.

use kurbo::{BezPath, CubicBez, Point, Vec2};

use super::solve::{Ease, Solved, Tape};
use super::waist::{self, Waist, WaistDart};
use crate::block::sleeve::{BACK_NOTCH, FRONT_NOTCH};
use crate::draft::{Corner, Draft, Promise};
use crate::geometry::{cubic_length, cubic_path, root};
use crate::{Dart, DraftError, EdgeRun, Level, Name, Piece, PieceBuilder, Role, Seam, Span, dart};

/// What the maker chose about the pieces.
pub struct Style<'a> {
    pub princess: bool,
    pub bust_dart: &'a str,
    pub short_of_bust_point: f64,
    pub opening: &'a str,
    pub seam_mm: f64,
    pub curve_mm: f64,
    pub side_mm: f64,
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

/// Adds the waist from the side to the centre, its darts as legs of the outline.
fn add_waist(mut piece: PieceBuilder, waist: &Waist, names: &[Name], seam_mm: f64, pivots: &[Point]) -> PieceBuilder {
    for (i, c) in waist.curves.iter().enumerate().rev() {
        piece = piece.part("waist", Role::Seam, seam_mm, path(&[back_to_front(*c)]));
        if i > 0 {
            let (d, name, pivot) = (waist.darts[i - 1], &names[i - 1], pivots[i - 1]);
            let (inner, outer) = (Point::new(d.x - d.width / 2.0, 0.0), Point::new(d.x + d.width / 2.0, 0.0));
            let (leg_a, leg_b) = (Name::from(format!("{name} leg 1")), Name::from(format!("{name} leg 2")));
            piece = piece
                .line(leg_a.clone(), Role::DartLeg, 0.0, down(outer), down(d.tip))
                .line(leg_b.clone(), Role::DartLeg, 0.0, down(d.tip), down(inner))
                // Waist darts are pressed toward the centre.
                .dart(Dart { name: name.clone(), leg_a, leg_b, tip: down(d.tip), pivot: down(pivot), pressed_to_a: false });
        }
    }
    piece
}

/// Makes the pieces and adds them, with seams and promises.
pub fn make(draft: &mut Draft, s: &Solved, tape: &Tape, ease: &Ease, style: &Style<'_>) -> Result<(), DraftError> {
    let back = back(s, style)?;
    draft.put(back);
    let fronts: Vec<Name> = if style.princess {
        let (centre, side) = princess_front(s, style)?;
        let names = vec![centre.name().clone(), side.name().clone()];
        draft.put(centre);
        draft.put(side);
        names
    } else {
        let front = darted_front(s, style)?;
        let name = front.name().clone();
        draft.put(front);
        vec![name]
    };
    seams(draft, &fronts, ease);
    promises(draft, &fronts, s, tape, ease);
    corners(draft, &fronts);
    Ok(())
}

fn side_direction(underarm: Point) -> impl Fn(Point) -> Vec2 {
    move |end| underarm - end
}

const UPRIGHT: Vec2 = Vec2::new(0.0, 1.0);

fn back(s: &Solved, style: &Style<'_>) -> Result<Piece, DraftError> {
    let n = s.back_darts.len();
    let taken: f64 = s.back_darts.iter().sum();
    let mut before = 0.0;
    let darts: Vec<WaistDart> = s
        .back_darts
        .iter()
        .enumerate()
        .map(|(i, &width)| {
            // Evenly across the finished back; the one next to the side ends a little lower.
            let x = s.back_waist * (i + 1) as f64 / (n + 1) as f64 + before + width / 2.0;
            before += width;
            WaistDart { x, width, tip: Point::new(x, s.underarm_y * if i == 0 { 1.0 } else { 0.85 }) }
        })
        .collect();
    let names: Vec<Name> =
        (0..n).map(|i| Name::from(if n == 1 { "back dart".to_owned() } else { format!("back dart {}", i + 1) })).collect();
    let pivots: Vec<Point> = darts.iter().map(|d| d.tip).collect();
    let end = Point::new(s.back_waist + taken, 0.0);
    let waist = waist::draw(Point::ZERO, UPRIGHT, end, side_direction(s.back_underarm), &darts, s.back_waist);
    let open = style.opening == "centre back";
    let armhole: f64 = s.back_armhole.iter().map(cubic_length).sum();
    let mut piece = PieceBuilder::new("back")
        .part("neckline", Role::Seam, style.curve_mm, path(&[s.back_neckline]))
        .line("shoulder", Role::Seam, style.seam_mm, down(s.back_neck_point), down(s.back_tip))
        .part("armhole", Role::Seam, style.curve_mm, path(&s.back_armhole))
        .line("side seam", Role::Seam, style.side_mm, down(s.back_underarm), down(waist.end));
    piece = add_waist(piece, &waist, &names, style.seam_mm, &pivots);
    piece
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
        .notch("side seam", s.back_underarm.distance(waist.end) / 2.0, false)
        .grain(down(Point::new(0.18 * s.back_underarm.x, 30.0)), down(Point::new(0.18 * s.back_underarm.x, s.nape.y - 60.0)))
        .cut(if open { 2 } else { 1 }, open)
        .build()
}

/// Front waist darts: the first below the bust point, others between it and the side.
fn front_darts(s: &Solved, style: &Style<'_>, from: usize, side_x: f64) -> Vec<WaistDart> {
    let bust = s.bust_point;
    let others = s.front_darts.len().saturating_sub(1);
    s.front_darts
        .iter()
        .enumerate()
        .skip(from)
        .map(|(i, &width)| {
            if i == 0 {
                WaistDart { x: bust.x, width, tip: bust - Vec2::new(0.0, style.short_of_bust_point) }
            } else {
                let inner = s.bust_point_outer.x + (s.front_darts[0] - s.bust_gap) / 2.0;
                let x = inner + (side_x - inner) * i as f64 / (others + 1) as f64;
                WaistDart { x, width, tip: Point::new(x, 0.7 * bust.y) }
            }
        })
        .filter(|d| d.width > 0.0)
        .collect()
}

fn dart_names(darts: usize) -> Vec<Name> {
    (0..darts).map(|i| Name::from(if i == 0 { "waist dart".to_owned() } else { format!("waist dart {}", i + 1) })).collect()
}

fn centre_role(style: &Style<'_>) -> (Role, f64) {
    if style.opening == "centre front" { (Role::Opening, style.side_mm) } else { (Role::Fold, 0.0) }
}

fn darted_front(s: &Solved, style: &Style<'_>) -> Result<Piece, DraftError> {
    let taken: f64 = s.front_darts.iter().filter(|d| **d > 0.0).sum();
    let end = Point::new(s.front_waist + taken, 0.0);
    let darts = front_darts(s, style, 0, end.x);
    let names = dart_names(darts.len());
    let pivots: Vec<Point> = darts.iter().enumerate().map(|(i, d)| if i == 0 { s.bust_point } else { d.tip }).collect();
    let waist = waist::draw(Point::ZERO, UPRIGHT, end, side_direction(s.front_underarm), &darts, s.front_waist);
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
    piece = piece.part("armhole", Role::Seam, style.curve_mm, path(&s.front_armhole)).line(
        "side seam",
        Role::Seam,
        style.side_mm,
        down(s.front_underarm),
        down(waist.end),
    );
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
    match style.bust_dart {
        // Five centimetres or a third of the seam below the underarm, pressed down.
        "side" => dart::moved(&piece, "bust dart", "side seam", 50f64.min(side_mm / 3.0), style.short_of_bust_point, false),
        "armhole" => dart::moved(&piece, "bust dart", "armhole", 0.55 * armhole, style.short_of_bust_point, false),
        // Without a waist dart the bust dart opens straight below its point.
        "waist" if names.is_empty() => {
            dart::moved(&piece, "bust dart", "waist", waist.end.x - s.bust_point.x, style.short_of_bust_point, false)
        }
        "waist" => dart::joined(&piece, "bust dart", "waist dart", style.short_of_bust_point),
        _ => Ok(piece),
    }
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

/// The centre and the side panel. The seam passes the bust point smoothly; each panel bulges there by its part of the
/// bust gap, shared out so that both edges have the same length.
fn princess_front(s: &Solved, style: &Style<'_>) -> Result<(Piece, Piece), DraftError> {
    let first = s.front_darts.first().copied().unwrap_or(0.0);
    let half_taken = (first - s.bust_gap) / 2.0;
    let (inner, outer) = (Point::new(s.bust_point.x - half_taken, 0.0), Point::new(s.bust_point_outer.x + half_taken, 0.0));
    let edge = |top: Point, at: Point, foot: Point| {
        let along = (foot - top).normalize();
        let (up, low) = (top.distance(at) / 3.0, at.distance(foot) / 3.0);
        let enter = (at - top).normalize();
        let leave = (foot - at).normalize();
        [CubicBez::new(top, top + enter * up, at - along * up, at), CubicBez::new(at, at + along * low, foot - leave * low, foot)]
    };
    let sum = |c: &[CubicBez; 2]| c.iter().map(cubic_length).sum::<f64>();
    let edges = |centre_gets: f64| {
        let c = s.bust_point + Vec2::new(centre_gets, 0.0);
        let o = s.bust_point_outer - Vec2::new(s.bust_gap - centre_gets, 0.0);
        (edge(s.mid_shoulder, c, inner), edge(s.mid_shoulder_outer, o, outer))
    };
    let share = root(-20.0, s.bust_gap + 20.0, |x| {
        let (c, o) = edges(x);
        sum(&c) - sum(&o)
    })
    .unwrap_or(s.bust_gap / 2.0);
    let (centre_edge, side_edge) = edges(share);
    let (role, centre_mm) = centre_role(style);
    let centre_neck = s.front_neckline.p0;

    let upward = |c: &[CubicBez; 2]| c[1].p2 - c[1].p3;
    let centre_square = upward(&centre_edge);
    let centre_waist = waist::draw(Point::ZERO, UPRIGHT, inner, |_| centre_square, &[], inner.x);
    // The panel's own end moved by a hair along the waist: let the edge end there.
    let mut centre_edge = centre_edge;
    centre_edge[1].p3 = centre_waist.end;
    let centre_lengths = centre_edge.map(|c| cubic_length(&c));
    let side_lengths = side_edge.map(|c| cubic_length(&c));
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
    let centre = seam_notches(centre, centre_lengths[0])
        .grain(down(Point::new(0.4 * s.bust_point.x, 30.0)), down(Point::new(0.4 * s.bust_point.x, centre_neck.y - 40.0)))
        .cut(if role == Role::Opening { 2 } else { 1 }, role == Role::Opening)
        .build()?;

    let taken: f64 = s.front_darts.iter().skip(1).sum();
    let side_waist_mm = s.front_waist - inner.x;
    let end = Point::new(outer.x + side_waist_mm + taken, 0.0);
    let darts = front_darts(s, style, 1, end.x);
    let names = dart_names(darts.len());
    let pivots: Vec<Point> = darts.iter().map(|d| d.tip).collect();
    let side_waist = waist::draw(outer, upward(&side_edge), end, side_direction(s.front_underarm), &darts, side_waist_mm);
    let armhole: f64 = s.front_armhole.iter().map(cubic_length).sum();
    let up_edge = [back_to_front(side_edge[1]), back_to_front(side_edge[0])];
    let side = PieceBuilder::new("side front")
        .line("shoulder", Role::Seam, style.seam_mm, down(s.mid_shoulder_outer), down(s.front_tip))
        .part("armhole", Role::Seam, style.curve_mm, path(&s.front_armhole))
        .line("side seam", Role::Seam, style.side_mm, down(s.front_underarm), down(side_waist.end));
    let side =
        add_waist(side, &side_waist, &names, style.seam_mm, &pivots).part("princess seam", Role::Seam, style.seam_mm, path(&up_edge));
    let reversed_bust = side_lengths[1];
    let side = seam_notches(outer_points(side, s), reversed_bust)
        .hidden_point("bust point", down(side_edge[0].p3))
        .hidden_point("level with bust point", down(Point::new(s.front_underarm.x, side_edge[0].p3.y)))
        .notch("armhole", armhole - FRONT_NOTCH * armhole, false)
        .notch("side seam", s.front_underarm.distance(side_waist.end) / 2.0, false)
        .grain(
            down(Point::new(0.5 * (outer.x + side_waist.end.x), 30.0)),
            down(Point::new(0.5 * (outer.x + side_waist.end.x), s.underarm_y - 20.0)),
        )
        .cut(2, true)
        .build()?;
    Ok((centre, side))
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

fn promises(draft: &mut Draft, fronts: &[Name], s: &Solved, tape: &Tape, ease: &Ease) {
    draft.levels.retain(|l| !matches!(l.name, "neck" | "across back" | "across chest" | "bust" | "waist"));
    draft.promises.retain(|p| !p.what.starts_with("bodice:"));
    let (back, front) = (Name::from("back"), Name::from("front"));
    let outer = fronts.last().unwrap_or(&front).clone();
    let twice = |piece: &Name, edge: &str| Span::Edge(EdgeRun::new(piece.clone(), edge).times(2.0));
    let mut waist: Vec<Span> = fronts.iter().map(|f| twice(f, "waist")).collect();
    waist.push(twice(&back, "waist"));
    let mut bust = vec![
        Span::between(&back, "centre at bust line", "underarm", 2.0),
        Span::between(&front, "centre at bust point", "bust point", 2.0),
    ];
    bust.push(if fronts.len() > 1 {
        Span::between(&outer, "bust point", "level with bust point", 2.0)
    } else {
        Span::between(&outer, "bust line over bust point", "underarm", 2.0)
    });
    let closed_chest = Span::Laid {
        from: (front.clone(), "centre across".into()),
        to: (outer.clone(), "across".into()),
        fixed: (front.clone(), "shoulder fold".into(), "closed shoulder point".into()),
        laid: (outer, "shoulder fold outer".into(), "shoulder point".into()),
        times: 2.0,
    };
    let back_used = 2.0 * s.back_across.x - ease.across_back;
    draft.levels.extend([
        Level {
            name: "neck",
            body_mm: tape.neck_base,
            ease_mm: ease.neck,
            spans: vec![twice(&back, "neckline"), twice(&front, "neckline")],
        },
        Level {
            name: "across back",
            body_mm: back_used,
            ease_mm: ease.across_back,
            spans: vec![Span::between(&back, "centre across", "across", 2.0)],
        },
        Level {
            name: "across chest",
            body_mm: 2.0 * s.chest_closed - ease.across_chest,
            ease_mm: ease.across_chest,
            spans: vec![closed_chest],
        },
        Level { name: "bust", body_mm: tape.bust, ease_mm: ease.bust, spans: bust },
        Level { name: "waist", body_mm: tape.waist, ease_mm: ease.waist, spans: waist },
    ]);
    let used = |which, measured: f64| s.used.iter().find(|u| u.0 == which).map_or(measured, |u| u.2);
    let bust_point = if fronts.len() > 1 { "measured bust point" } else { "bust point" };
    let to_bust = Span::between(&front, "shoulder neck point", bust_point, 1.0);
    draft.promises.extend([
        Promise {
            what: "bodice: side neck point to waist over bust".into(),
            asked_mm: used(crate::Measurement::FrontWaistLength, tape.front_length),
            spans: vec![to_bust.clone(), Span::between(&front, bust_point, "bust point below", 1.0)],
        },
        Promise { what: "bodice: side neck point to bust point".into(), asked_mm: tape.neck_to_bust, spans: vec![to_bust] },
        Promise {
            what: "bodice: back neck point to waist".into(),
            asked_mm: used(crate::Measurement::BackWaistLength, tape.back_length),
            spans: vec![Span::Edge(EdgeRun::new("back", "centre back"))],
        },
        Promise {
            what: "bodice: bust point to bust point".into(),
            asked_mm: used(crate::Measurement::BustPointDistance, tape.bust_points),
            spans: vec![Span::between(&front, "centre at bust point", bust_point, 2.0)],
        },
    ]);
}

fn corners(draft: &mut Draft, fronts: &[Name]) {
    let (back, front) = (Name::from("back"), Name::from("front"));
    let outer = fronts.last().unwrap_or(&front).clone();
    let of = |piece: &Name, a: &str, b: &str| (piece.clone(), Name::from(a), Name::from(b));
    let mut add = |what: &str, of: Vec<(Name, Name, Name)>, degrees: f64, within: f64| {
        draft.corners.push(Corner { what: format!("bodice: {what}"), of, degrees, within });
    };
    add("neckline at the centre front", vec![of(&front, "centre front", "neckline")], 90.0, 0.5);
    add("neckline at the centre back", vec![of(&back, "centre back", "neckline")], 90.0, 0.5);
    add("waist at the centre front", vec![of(&front, "waist", "centre front")], 90.0, 0.5);
    add("waist at the centre back", vec![of(&back, "waist", "centre back")], 90.0, 0.5);
    add("neckline across the shoulder seam", vec![of(&front, "neckline", "shoulder"), of(&back, "neckline", "shoulder")], 180.0, 3.0);
    add("waist across the side seam", vec![of(&outer, "side seam", "waist"), of(&back, "side seam", "waist")], 180.0, 3.0);
    // Each may leave the shoulder up to 10° off square where a square start would make a kink.
    add("armhole across the shoulder seam", vec![of(&outer, "shoulder", "armhole"), of(&back, "shoulder", "armhole")], 180.0, 20.5);
}
