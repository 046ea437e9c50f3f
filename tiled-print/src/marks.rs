//! One piece drawn: outline, darts, grain, fold, notches, marked lines and points.

use std::f64::consts::{FRAC_PI_2, PI};

use draft_core::allowance::dart_cap;
use draft_core::{Edge, Piece, PrintSettings, Role, geometry};
use kurbo::{Affine, BezPath, Circle, Line, PathSeg, Point, Shape, Vec2};

use crate::coverage::meets;
use crate::drawing::{Drawing, TextRun};
use crate::line::{Layer, LineKind};

/// Size of the words beside marks; capitals 2.3 mm high.
pub const MARK_TEXT_MM: f64 = 3.2;

const ARROW_LENGTH_MM: f64 = 5.0;
const ARROW_HALF_WIDTH_MM: f64 = 1.1;
/// How far the fold bracket stands off the fold.
const BRACKET_INSET_MM: f64 = 12.0;
/// Between the two strokes of a double notch.
const DOUBLE_NOTCH_MM: f64 = 6.0;
/// A notch where there is no allowance to cross.
const SHORT_NOTCH_MM: f64 = 5.0;
const CROSS_ARM_MM: f64 = 2.5;
const DART_TIP_RADIUS_MM: f64 = 1.2;
/// Two lines are the same within this distance.
const SAME_MM: f64 = 0.05;

/// The turn that brings a piece's grain line upright, its upper end up.
pub fn upright(piece: &Piece) -> Affine {
    let grain = piece.grain();
    let along = grain.p1 - grain.p0;
    if along.hypot() < 1.0 {
        return Affine::IDENTITY;
    }
    let turn = -FRAC_PI_2 - along.atan2();
    if turn.sin().abs() < 1e-9 && turn.cos() > 0.0 { Affine::IDENTITY } else { Affine::rotate_about(turn, grain.p0) }
}

/// Draws everything of a piece but its label, turned by `turn`.
pub fn draw(piece: &Piece, cut_line: &BezPath, settings: &PrintSettings, turn: Affine) -> Drawing {
    let outline = turn * piece.outline();
    let cut = turn * cut_line.clone();
    let mut out = Drawing::default();
    let fold = fold_line(piece, turn);
    if settings.cut_lines {
        draw_cut_line(&mut out, &cut, fold);
    } else if let Some(fold) = fold {
        out.line(LineKind::Fold, fold.p0, fold.p1);
    }
    if settings.seam_lines || !settings.cut_lines {
        draw_seam_line(&mut out, piece, turn, |e| !matches!(e.role, Role::Fold | Role::DartLeg), LineKind::Seam);
        for cap in piece.darts().iter().filter_map(|dart| dart_cap(piece, dart)) {
            out.stroke(LineKind::Seam, turn * cap);
        }
    }
    draw_seam_line(&mut out, piece, turn, |e| e.role == Role::DartLeg, LineKind::Dart);
    draw_darts(&mut out, piece, turn);
    let grain = turn * piece.grain();
    if let Some(fold) = fold {
        draw_fold_bracket(&mut out, fold, &outline, grain);
    }
    draw_notches(&mut out, piece, &outline, settings.cut_lines.then_some(&cut), turn);
    for line in piece.lines() {
        let path = turn * line.path.clone();
        draw_line_name(&mut out, line.name.as_str(), &path);
        out.stroke(LineKind::Marked, path);
    }
    let marked: Vec<_> = piece.points().iter().filter(|p| p.marked).map(|p| (p.name.as_str(), turn * p.at)).collect();
    for (_, at) in &marked {
        out.line(LineKind::Point, *at - Vec2::new(CROSS_ARM_MM, 0.0), *at + Vec2::new(CROSS_ARM_MM, 0.0));
        out.line(LineKind::Point, *at - Vec2::new(0.0, CROSS_ARM_MM), *at + Vec2::new(0.0, CROSS_ARM_MM));
    }
    // Names last, where they collide least with everything else.
    let paper = if settings.cut_lines { &cut } else { &outline };
    draw_grain(&mut out, grain, paper);
    name_points(&mut out, &marked, paper);
    out
}

/// The fold edge as a straight line, if the piece has one and it is straight.
fn fold_line(piece: &Piece, turn: Affine) -> Option<Line> {
    let fold = piece.fold()?;
    let (from, to) = piece.edge_ends(fold.name.as_str())?;
    let line = Line::new(turn * from, turn * to);
    let straight = piece.edge_parts(fold.name.as_str()).flat_map(|p| p.path.segments()).all(|s| lies_on(&(turn * s), line));
    (straight && line.length() > 1.0).then_some(line)
}

/// Whether a segment lies on a straight line, however far out.
fn lies_on(seg: &PathSeg, line: Line) -> bool {
    let along = line.p1 - line.p0;
    let off = |p: Point| ((p - line.p0).cross(along) / along.hypot()).abs();
    let cubic = seg.to_cubic();
    [cubic.p0, cubic.p1, cubic.p2, cubic.p3].into_iter().all(|p| off(p) < SAME_MM)
}

/// The cut line without the stretch on the fold, which is drawn as a fold so that nobody cuts it.
fn draw_cut_line(out: &mut Drawing, cut: &BezPath, fold: Option<Line>) {
    let segments: Vec<PathSeg> = cut.segments().collect();
    let on_fold: Vec<bool> = segments.iter().map(|s| fold.is_some_and(|f| lies_on(s, f))).collect();
    // Begin where the outline leaves the fold, so that each run is one path.
    let Some(begin) = (0..segments.len()).find(|&i| !on_fold[i] && on_fold[(i + segments.len() - 1) % segments.len()]) else {
        out.stroke(LineKind::Cut, cut.clone());
        return;
    };
    let mut runs: Vec<(bool, BezPath)> = Vec::new();
    for k in 0..segments.len() {
        let i = (begin + k) % segments.len();
        let seg = segments[i];
        match runs.last_mut() {
            Some((folded, path)) if *folded == on_fold[i] && path_ends_at(path, seg.to_cubic().p0) => path.push(seg.as_path_el()),
            _ => runs.push((on_fold[i], BezPath::from_path_segments(std::iter::once(seg)))),
        }
    }
    for (folded, path) in runs {
        out.stroke(if folded { LineKind::Fold } else { LineKind::Cut }, path);
    }
}

fn path_ends_at(path: &BezPath, p: Point) -> bool {
    geometry::end(path).is_some_and(|e| e.distance(p) < 1e-6)
}

/// Runs of neighbouring edges of the seam line that `wanted` picks.
fn draw_seam_line(out: &mut Drawing, piece: &Piece, turn: Affine, wanted: impl Fn(&Edge) -> bool, kind: LineKind) {
    let parts = piece.parts();
    let pick: Vec<bool> = parts.iter().map(|p| piece.edges().get(p.edge).is_some_and(&wanted)).collect();
    if pick.iter().all(|p| *p) {
        out.stroke(kind, turn * piece.outline());
        return;
    }
    let n = parts.len();
    let begin = (0..n).find(|&i| pick[i] && !pick[(i + n - 1) % n]).unwrap_or(0);
    let mut run = BezPath::new();
    for k in 0..n {
        let i = (begin + k) % n;
        if pick[i] {
            let continues = !run.elements().is_empty();
            run.extend(parts[i].path.elements().iter().skip(usize::from(continues)).copied());
        } else if !run.elements().is_empty() {
            out.stroke(kind, turn * std::mem::take(&mut run));
        }
    }
    if !run.elements().is_empty() {
        out.stroke(kind, turn * run);
    }
}

fn draw_darts(out: &mut Drawing, piece: &Piece, turn: Affine) {
    for dart in piece.darts() {
        let tip = turn * dart.tip;
        out.stroke(LineKind::Dart, Circle::new(tip, DART_TIP_RADIUS_MM).to_path(0.01));
        let mouth = |leg: &str| {
            let (a, b) = piece.edge_ends(leg)?;
            Some(if (a - dart.tip).hypot() > (b - dart.tip).hypot() { turn * a } else { turn * b })
        };
        let (Some(a), Some(b)) = (mouth(dart.leg_a.as_str()), mouth(dart.leg_b.as_str())) else { continue };
        let middle = a.midpoint(b);
        let axis = tip - middle;
        let size = MARK_TEXT_MM;
        let name = TextRun::new(dart.name.as_str(), Point::ZERO, size, Layer::Marks);
        // The name stands between the legs, as near to the mouth as it keeps clear of them.
        let length = axis.hypot();
        let room_at = |from_mouth: f64| (b - a).hypot() * (1.0 - from_mouth / length);
        let end = 4.0 + name.width_mm();
        if length > end && room_at(end) > 1.6 * size {
            let about = middle + axis / length * (4.0 + name.width_mm() / 2.0);
            out.text(TextRun::centred(dart.name.as_str(), about, size, readable(axis.atan2()), Layer::Marks));
        }
    }
}

/// A direction or its opposite, whichever is read from below or from the right.
fn readable(angle_rad: f64) -> f64 {
    let a = angle_rad.rem_euclid(2.0 * PI);
    let a = if a > PI { a - 2.0 * PI } else { a };
    if a > FRAC_PI_2 - 1e-6 {
        a - PI
    } else if a < -FRAC_PI_2 - 1e-6 {
        a + PI
    } else {
        a
    }
}

fn arrowhead(out: &mut Drawing, kind: LineKind, tip: Point, direction: Vec2) {
    let back = tip - direction * ARROW_LENGTH_MM;
    let side = Vec2::new(-direction.y, direction.x) * ARROW_HALF_WIDTH_MM;
    out.filled(kind, &[tip, back + side, back - side]);
}

/// The run that stays on the paper piece, off other words and off lines, in this order of weight; of equal ones the
/// first.
fn least_crowded(places: Vec<TextRun>, paper: &BezPath, ink: &[[Point; 2]], words: &[TextRun]) -> Option<TextRun> {
    let cost = |run: &TextRun| {
        let area = run.bounds();
        let off = run.corners().into_iter().filter(|c| paper.winding(*c) == 0).count();
        let words = words.iter().filter(|w| w.bounds().overlaps(area)).count();
        let lines = ink.iter().filter(|s| meets(**s, area)).count();
        100 * off + 30 * words + lines.min(20)
    };
    places.into_iter().min_by_key(cost)
}

fn name_points(out: &mut Drawing, points: &[(&str, Point)], paper: &BezPath) {
    let ink = out.segments(0.2);
    for (name, at) in points {
        let half = TextRun::new(name, *at, MARK_TEXT_MM, Layer::Marks).width_mm() / 2.0;
        // Beside the cross, then below and above it, then further off.
        let mut places = Vec::new();
        for down in [2.2, 5.5, 9.5] {
            for (across, down) in [(1.0, -down), (1.0, down), (-1.0, -down), (-1.0, down)] {
                let about = *at + Vec2::new(across * (CROSS_ARM_MM + 1.0 + half), down);
                places.push(TextRun::centred(name, about, MARK_TEXT_MM, 0.0, Layer::Marks));
            }
            for down in [3.0 + down, -3.0 - down] {
                places.push(TextRun::centred(name, *at + Vec2::new(0.0, down), MARK_TEXT_MM, 0.0, Layer::Marks));
            }
        }
        if let Some(run) = least_crowded(places, paper, &ink, &out.texts) {
            out.text(run);
        }
    }
}

fn draw_grain(out: &mut Drawing, grain: Line, paper: &BezPath) {
    let along = grain.p1 - grain.p0;
    if along.hypot() < 3.0 * ARROW_LENGTH_MM {
        return;
    }
    let u = along / along.hypot();
    out.line(LineKind::Grain, grain.p0 + u * (ARROW_LENGTH_MM * 0.8), grain.p1 - u * (ARROW_LENGTH_MM * 0.8));
    arrowhead(out, LineKind::Grain, grain.p1, u);
    arrowhead(out, LineKind::Grain, grain.p0, -u);
    let left = Vec2::new(u.y, -u.x);
    let beside = [(0.5, 3.0), (0.5, -3.0), (0.3, 3.0), (0.3, -3.0), (0.7, 3.0), (0.7, -3.0)];
    let place = |(along, off): (f64, f64)| {
        TextRun::centred("grain", grain.p0.lerp(grain.p1, along) + left * off, MARK_TEXT_MM, readable(u.atan2()), Layer::Marks)
    };
    if let Some(run) = least_crowded(beside.map(place).into(), paper, &out.segments(0.2), &out.texts) {
        out.text(run);
    }
}

fn draw_fold_bracket(out: &mut Drawing, fold: Line, outline: &BezPath, grain: Line) {
    let along = fold.p1 - fold.p0;
    let length = along.hypot();
    let u = along / length;
    let middle = fold.midpoint();
    let inward = inward_normal(outline, middle, u);
    // Clear of a grain line that runs alongside.
    let to_grain = (grain.midpoint() - fold.p0).dot(inward);
    let clear = if to_grain > 0.0 { (to_grain - 6.0).max(5.0) } else { f64::INFINITY };
    let inset = BRACKET_INSET_MM.min(length / 5.0).min(clear);
    let half = (0.3 * length).min(125.0);
    let (a, b) = (middle - u * half, middle + u * half);
    let mut path = BezPath::new();
    path.move_to(a + inward * (ARROW_LENGTH_MM * 0.8).min(inset));
    path.line_to(a + inward * inset);
    path.line_to(b + inward * inset);
    path.line_to(b + inward * (ARROW_LENGTH_MM * 0.8).min(inset));
    out.stroke(LineKind::FoldBracket, path);
    arrowhead(out, LineKind::FoldBracket, a, -inward);
    arrowhead(out, LineKind::FoldBracket, b, -inward);
    let text = if half > 30.0 { "lay this edge on the fold" } else { "fold" };
    // Between the bracket and the fold, where there is room.
    let off = if inset > 9.0 { inset - 3.5 } else { inset + 3.0 };
    out.text(TextRun::centred(text, middle + inward * off, MARK_TEXT_MM, readable(u.atan2()), Layer::Marks));
}

/// The normal of a boundary that points into the piece.
fn inward_normal(outline: &BezPath, at: Point, along: Vec2) -> Vec2 {
    let n = Vec2::new(-along.y, along.x);
    if outline.winding(at + n * 0.05) != 0 { n } else { -n }
}

fn draw_notches(out: &mut Drawing, piece: &Piece, outline: &BezPath, cut: Option<&BezPath>, turn: Affine) {
    let linear = |v: Vec2| (turn * Point::new(v.x, v.y)) - (turn * Point::ZERO);
    for notch in piece.notches() {
        let name = notch.edge.as_str();
        let allowance = piece.edge(name).map_or(0.0, |e| e.allowance_mm);
        let places: &[f64] = if notch.double { &[-DOUBLE_NOTCH_MM / 2.0, DOUBLE_NOTCH_MM / 2.0] } else { &[0.0] };
        for shift in places {
            let Some((at, along)) = piece.along_edge(name, notch.from_start_mm + shift) else { continue };
            let (at, along) = (turn * at, linear(along));
            let inward = inward_normal(outline, at, along);
            let crossed = cut.and_then(|c| distance_to(c, at, -inward, 3.0 * allowance + 5.0));
            let end = crossed.map_or(at + inward * SHORT_NOTCH_MM, |d| at - inward * d);
            out.line(LineKind::Notch, at, end);
        }
    }
}

/// Distance from a point to where a ray first crosses a path, leaving out the path's passing through the point itself.
fn distance_to(path: &BezPath, from: Point, direction: Vec2, most_mm: f64) -> Option<f64> {
    let ray = Line::new(from, from + direction * most_mm);
    let crossings = path.segments().flat_map(|s| s.intersect_line(ray)).map(|hit| hit.line_t * most_mm);
    crossings.filter(|d| *d > 0.5).min_by(f64::total_cmp)
}

fn draw_line_name(out: &mut Drawing, name: &str, path: &BezPath) {
    let (Some(a), Some(b)) = (geometry::start(path), geometry::end(path)) else { return };
    // Read from the left or from below, near that end of the line.
    let reversed = readable((b - a).atan2()) != (b - a).atan2();
    let path = if reversed { geometry::reversed(path) } else { path.clone() };
    let length = geometry::length(&path);
    let size = MARK_TEXT_MM;
    let run = TextRun::new(name, Point::ZERO, size, Layer::Marks);
    let middle = (0.12 * length).max(6.0) + run.width_mm() / 2.0;
    if middle + run.width_mm() / 2.0 > length {
        return;
    }
    let mut left = middle;
    for seg in path.segments() {
        let here = geometry::segment_length(&seg);
        if left <= here {
            use kurbo::{ParamCurve, ParamCurveArclen};
            let t = seg.inv_arclen(left, 1e-3);
            let along = geometry::tangent(&seg, t);
            let above = Vec2::new(along.y, -along.x);
            out.text(TextRun::centred(name, seg.eval(t) + above * 2.6, size, along.atan2(), Layer::Marks));
            return;
        }
        left -= here;
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed test may panic")]
    use super::*;
    use draft_core::PieceBuilder;

    fn half_front() -> Piece {
        let p = |x: f64, y: f64| Point::new(x, y);
        PieceBuilder::new("front")
            .line("neckline", Role::Seam, 10.0, p(0.0, 0.0), p(100.0, 0.0))
            .line("side seam", Role::Seam, 10.0, p(100.0, 0.0), p(100.0, 200.0))
            .line("hem", Role::Hem, 20.0, p(100.0, 200.0), p(0.0, 200.0))
            .line("centre front", Role::Fold, 0.0, p(0.0, 200.0), p(0.0, 0.0))
            .notch("side seam", 80.0, true)
            .grain(p(50.0, 180.0), p(50.0, 40.0))
            .build()
            .unwrap()
    }

    fn cut_of_half_front() -> BezPath {
        BezPath::from_svg("M0,-10 L110,-10 L110,220 L0,220 Z").unwrap()
    }

    fn of(drawing: &Drawing, kind: LineKind) -> Vec<BezPath> {
        drawing.strokes.iter().filter(|s| s.kind == kind && !s.filled).map(|s| s.path.clone()).collect()
    }

    #[test]
    fn the_fold_is_not_drawn_as_a_cut() {
        let drawing = draw(&half_front(), &cut_of_half_front(), &PrintSettings::default(), Affine::IDENTITY);
        let (cut, fold) = (of(&drawing, LineKind::Cut), of(&drawing, LineKind::Fold));
        assert_eq!((cut.len(), fold.len()), (1, 1));
        assert!((geometry::length(&cut[0]) - (110.0 + 230.0 + 110.0)).abs() < 1e-9);
        assert!((geometry::length(&fold[0]) - 230.0).abs() < 1e-9, "the fold runs through both allowances");
        assert!((geometry::length(&of(&drawing, LineKind::Seam)[0]) - 400.0).abs() < 1e-9);
    }

    #[test]
    fn a_double_notch_is_two_strokes_across_the_allowance() {
        let drawing = draw(&half_front(), &cut_of_half_front(), &PrintSettings::default(), Affine::IDENTITY);
        let notches = of(&drawing, LineKind::Notch);
        assert_eq!(notches.len(), 2);
        for (path, y) in notches.iter().zip([77.0, 83.0]) {
            let b = path.bounding_box();
            assert!((b.x0 - 100.0).abs() < 1e-6 && (b.x1 - 110.0).abs() < 1e-6 && (b.y0 - y).abs() < 1e-6, "{b:?}");
        }
    }

    #[test]
    fn the_seam_line_goes_over_the_fold_cap_of_a_dart() {
        let p = |x: f64, y: f64| Point::new(x, y);
        let tip = p(50.0, 100.0);
        let piece = PieceBuilder::new("front")
            .line("waist", Role::Seam, 10.0, p(100.0, 200.0), p(60.0, 200.0))
            .line("leg 1", Role::DartLeg, 0.0, p(60.0, 200.0), tip)
            .line("leg 2", Role::DartLeg, 0.0, tip, p(40.0, 200.0))
            .line("waist", Role::Seam, 10.0, p(40.0, 200.0), p(0.0, 200.0))
            .line("centre front", Role::Fold, 0.0, p(0.0, 200.0), p(0.0, 0.0))
            .line("top", Role::Seam, 10.0, p(0.0, 0.0), p(100.0, 0.0))
            .line("side seam", Role::Seam, 10.0, p(100.0, 0.0), p(100.0, 200.0))
            .dart(draft_core::Dart {
                name: "dart".into(),
                leg_a: "leg 1".into(),
                leg_b: "leg 2".into(),
                tip,
                pivot: tip,
                pressed_to_a: false,
            })
            .build()
            .unwrap();
        let cut = draft_core::allowance::cut_line(&piece).unwrap();
        let seam = of(&draw(&piece, &cut, &PrintSettings::default(), Affine::IDENTITY), LineKind::Seam);
        // The middle of the mouth: the cap peaks there, below the level waist, and the seam line passes through its peak.
        let cap = dart_cap(&piece, &piece.darts()[0]).unwrap();
        let peak = cap.bounding_box().y1;
        assert!(peak > 201.0, "{peak}");
        let covered: Vec<_> = seam.iter().map(Shape::bounding_box).filter(|b| b.x0 < 41.0 && b.x1 > 59.0).collect();
        assert!(covered.iter().any(|b| (b.y1 - peak).abs() < 1e-6), "{covered:?}");
        // Nothing of it where there are no seam lines.
        let none = PrintSettings { seam_lines: false, ..PrintSettings::default() };
        assert!(of(&draw(&piece, &cut, &none, Affine::IDENTITY), LineKind::Seam).is_empty());
    }

    #[test]
    fn a_lying_grain_is_set_upright() {
        let p = |x: f64, y: f64| Point::new(x, y);
        let piece = PieceBuilder::new("band")
            .line("a", Role::Seam, 0.0, p(0.0, 0.0), p(300.0, 0.0))
            .line("b", Role::Seam, 0.0, p(300.0, 0.0), p(300.0, 40.0))
            .line("c", Role::Seam, 0.0, p(300.0, 40.0), p(0.0, 40.0))
            .line("d", Role::Seam, 0.0, p(0.0, 40.0), p(0.0, 0.0))
            .grain(p(50.0, 20.0), p(250.0, 20.0))
            .build()
            .unwrap();
        let grain = upright(&piece) * piece.grain();
        assert!((grain.p1.x - grain.p0.x).abs() < 1e-9 && grain.p1.y < grain.p0.y);
    }

    #[test]
    fn names_of_points_keep_to_the_piece_and_off_each_other() {
        let corner = Point::new(100.0, 0.0);
        let names = ["underarm point", "side seam top", "armhole end"];
        let piece =
            (0..3).fold(half_front().to_builder(), |b, i| b.point(names[i], corner + Vec2::new(0.0, 4.0 * i as f64))).build().unwrap();
        let drawing = draw(&piece, &cut_of_half_front(), &PrintSettings::default(), Affine::IDENTITY);
        let runs: Vec<_> = drawing.texts.iter().filter(|t| names.contains(&t.text.as_str())).collect();
        assert_eq!(runs.len(), 3);
        for (i, run) in runs.iter().enumerate() {
            assert!(run.corners().into_iter().all(|c| cut_of_half_front().contains(c)), "{} is cut off with the paper", run.text);
            assert!(runs[..i].iter().all(|r| !r.bounds().overlaps(run.bounds())), "{} lies on another name", run.text);
        }
    }

    #[test]
    fn text_is_read_from_below_or_from_the_right() {
        for (angle, read) in [(0.0, 0.0), (PI, 0.0), (FRAC_PI_2, -FRAC_PI_2), (-FRAC_PI_2, -FRAC_PI_2), (3.0, 3.0 - PI)] {
            assert!((readable(angle) - read).abs() < 1e-9, "{angle} reads at {}", readable(angle));
        }
    }
}
