//! The pieces of a skirt that is laid out, their seams, and what is promised of them.

use kurbo::{Affine, BezPath, ParamCurve, ParamCurveArclen, Point};

use super::half_gore::{self, HalfGore, Unsolved};
use super::layout::{Depths, Gore, Kind, Layout};
use crate::draft::{Corner, Promise};
use crate::geometry::{self, cubic_path, reversed, start};
use crate::{Dart, Draft, DraftError, EdgeRun, Name, Piece, PieceBuilder, Role, Seam, Span};

/// What the maker chose about the pieces.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    /// Allowance on seams and waist.
    pub seam_mm: f64,
    /// Allowance at the hem.
    pub hem_mm: f64,
    /// How far down from the top edge a seam stays open: at the centre back, or else at the side.
    pub open_mm: Option<f64>,
    /// Whether it opens at the side.
    pub opens_at_side: bool,
}

/// A gore as it was solved: both halves, each drawn to the right of the centre line.
#[derive(Clone, Debug)]
pub struct Solved {
    /// Left of the centre line once it is turned over.
    pub left: HalfGore,
    /// Right of it.
    pub right: HalfGore,
}

/// Solves every gore.
///
/// # Errors
/// The first that can't be, by name, and where.
pub fn solve(layout: &Layout) -> Result<Vec<Solved>, (String, Unsolved)> {
    layout
        .gores
        .iter()
        .map(|g| {
            let half = |side: &super::layout::Side| half_gore::solve(&side.sizes).map_err(|at| (g.name.clone(), at));
            let right = half(&g.right)?;
            let left = if g.kind == Kind::Sided { half(&g.left)? } else { right.clone() };
            Ok(Solved { left, right })
        })
        .collect()
}

/// Turned over the centre line and run the other way.
fn mirrored(path: &BezPath) -> BezPath {
    reversed(&(Affine::FLIP_X * path.clone()))
}

fn joined(mut a: BezPath, b: &BezPath) -> BezPath {
    for el in b.elements().iter().skip(1) {
        a.push(*el);
    }
    a
}

/// A stretch of a top edge between two distances from its centre.
fn stretch(half: &HalfGore, from: f64, to: f64) -> BezPath {
    let at = |l: f64| if l <= 0.0 { 0.0 } else { half.top.inv_arclen(l, 1e-9) };
    let end = if to.is_finite() { at(to) } else { 1.0 };
    cubic_path(&[half.top.subsegment(at(from)..end)])
}

/// The middle of a dart's mouth and its tip straight below, so that both legs are the same.
fn dart_tip(a: Point, b: Point, depth: f64) -> Point {
    let across = b - a;
    let down = kurbo::Vec2::new(-across.y, across.x).normalize();
    a.midpoint(b) + depth * if down.y < 0.0 { -down } else { down }
}

/// The stretches of a top edge from the left seam to the right one, or to the centre line for half a gore; a dart
/// stands between each two. Equal gores and side gores have theirs in the middle. Those at the centre front and the
/// centre back have one in each half, for no dart stands on a centre line.
fn top_stretches(gore: &Gore, solved: &Solved, equal: bool) -> Vec<BezPath> {
    let end = f64::INFINITY;
    let (l, r) = (&gore.left, &gore.right);
    let has_darts = l.dart + r.dart > 0.0;
    let split = |half: &HalfGore, side: &super::layout::Side| {
        let (inner, outer) = ((side.sizes.top - side.dart) / 2.0, (side.sizes.top + side.dart) / 2.0);
        (stretch(half, 0.0, inner), stretch(half, outer, end))
    };
    match gore.kind {
        Kind::Half if has_darts => {
            let (inner, outer) = split(&solved.left, l);
            vec![mirrored(&outer), mirrored(&inner)]
        }
        Kind::Half => vec![mirrored(&stretch(&solved.left, 0.0, end))],
        Kind::Whole if has_darts && !equal => {
            let ((left_inner, left_outer), (inner, outer)) = (split(&solved.left, l), split(&solved.right, r));
            vec![mirrored(&left_outer), joined(mirrored(&left_inner), &inner), outer]
        }
        Kind::Whole | Kind::Sided => {
            let (left, right) = (mirrored(&stretch(&solved.left, l.dart, end)), stretch(&solved.right, r.dart, end));
            if has_darts { vec![left, right] } else { vec![joined(left, &right)] }
        }
    }
}

/// Names of a dart and its two legs.
fn dart_names(number: usize, of: usize) -> [Name; 3] {
    let dart = if of == 1 { "hip dart".to_owned() } else { format!("hip dart {number}") };
    [dart.as_str().into(), format!("{dart} leg 1").into(), format!("{dart} leg 2").into()]
}

/// Adds the top edge with its darts.
fn add_top(mut piece: PieceBuilder, gore: &Gore, solved: &Solved, seam_mm: f64, equal: bool) -> PieceBuilder {
    let depth = 0.7 * gore.left.sizes.rise.centre;
    let stretches = top_stretches(gore, solved, equal);
    let darts = stretches.len() - 1;
    let mut mouth: Option<Point> = None;
    for (i, path) in stretches.into_iter().enumerate() {
        if let (Some(a), Some(b)) = (mouth, start(&path)) {
            let tip = dart_tip(a, b, depth);
            let [name, leg_a, leg_b] = dart_names(i, darts);
            // Toward the centre front or the centre back, whichever is nearer; the front lies to the left of a side gore.
            let pressed_to_a = match gore.kind {
                Kind::Half => false,
                Kind::Whole if darts > 1 => i == 2,
                Kind::Whole => true,
                Kind::Sided => gore.from + gore.to <= std::f64::consts::PI,
            };
            piece = piece.line(leg_a.clone(), Role::DartLeg, 0.0, a, tip).line(leg_b.clone(), Role::DartLeg, 0.0, tip, b).dart(Dart {
                name,
                leg_a,
                leg_b,
                tip,
                pivot: tip,
                pressed_to_a,
            });
        }
        mouth = geometry::end(&path);
        piece = piece.part("waist", Role::Seam, seam_mm, path);
    }
    piece
}

/// Makes one gore.
fn piece(gore: &Gore, solved: &Solved, depths: &Depths, style: &Style, layout: &Layout, index: usize) -> Result<Piece, DraftError> {
    let (left_seam, right_seam) = gore.seams();
    let half = gore.kind == Kind::Half;
    let across = |line: &BezPath, other: &BezPath| {
        let left = mirrored(line);
        if half { left } else { joined(left, other) }
    };
    let (l, r) = (&solved.left, &solved.right);
    let centre = l.top.p0;
    let mut out = add_top(PieceBuilder::new(gore.name.as_str()), gore, solved, style.seam_mm, layout.equal);
    let seam_length =
        |side: &super::layout::Side| depths.above + side.sizes.rise.seam + depths.straight + depths.flared + side.sizes.train.seam;
    let (left_length, right_length) = (seam_length(&gore.left), seam_length(&gore.right));
    let (left_hip, right_hip) = (depths.above + gore.left.sizes.rise.seam, depths.above + gore.right.sizes.rise.seam);
    out = if half {
        out.line(right_seam, Role::Seam, style.seam_mm, centre, l.hem_centre)
    } else {
        out.part(right_seam, Role::Seam, style.seam_mm, r.seam.clone())
    };
    let hem = if half { mirrored(&l.hem) } else { joined(r.hem.clone(), &mirrored(&l.hem)) };
    out = out.part("hem", Role::Hem, style.hem_mm, hem).part(left_seam, Role::Seam, style.seam_mm, mirrored(&l.seam));

    // Notches at the hip and at the flare; two where the seam stands toward the back, so that gores can't be turned round.
    let double = |place: f64| !layout.equal && place > std::f64::consts::FRAC_PI_2 + 1e-6;
    let (double_left, double_right) = if gore.kind == Kind::Whole {
        (double(gore.from), double(if index == 0 { gore.to } else { gore.from }))
    } else {
        (double(gore.from), double(gore.to))
    };
    let right_hip = if half { depths.above + gore.left.sizes.rise.centre } else { right_hip };
    for below in [Some(0.0), (depths.straight > 0.0).then_some(depths.straight)].into_iter().flatten() {
        out = out.notch(right_seam, right_hip + below, double_right).notch(left_seam, left_length - left_hip - below, double_left);
    }
    if let Some(open) = style.open_mm
        && !layout.equal
    {
        if gore.ends_at_back && !style.opens_at_side {
            out = out.notch(right_seam, open, false);
        }
        let side = layout.side_seam();
        if style.opens_at_side && index == side {
            out = out.notch(right_seam, open, false);
        }
        if style.opens_at_side && index == side + 1 {
            out = out.notch(left_seam, left_length - open, false);
        }
    }

    out = out
        .hidden_point("waist centre", centre)
        .hidden_point("hem centre", l.hem_centre)
        .marked_line("hip line", across(&l.hip_line, &r.hip_line));
    if let (Some(a), Some(b)) = (&l.flare_line, &r.flare_line) {
        out = out.marked_line("flare line", across(a, b));
    }
    if let (Some(a), Some(b)) = (&l.natural_waist, &r.natural_waist) {
        out = out.marked_line("waist line", across(&cubic_path(&[*a]), &cubic_path(&[*b])));
    }
    let length = left_length.max(right_length);
    let (x, low) = (if half { -0.35 * gore.left.sizes.hip } else { 0.0 }, l.hem_centre.y);
    out.grain(Point::new(x, low - 0.12 * length), Point::new(x, centre.y + 0.25 * length))
        .cut(gore.copies, gore.kind != Kind::Whole)
        .build()
}

/// How often each gore's edge stands in one half of the body.
fn in_half(gore: &Gore) -> f64 {
    match gore.kind {
        Kind::Whole => f64::from(gore.copies) / 2.0,
        Kind::Sided | Kind::Half => 1.0,
    }
}

/// One edge of every gore, all round the body or in one half.
pub fn runs(layout: &Layout, edge: &str, all_round: bool) -> Vec<EdgeRun> {
    let times = |g: &Gore| in_half(g) * if all_round { 2.0 } else { 1.0 };
    layout.gores.iter().map(|g| EdgeRun::new(g.name.as_str(), edge).times(times(g))).collect()
}

/// The same as stretches to measure.
pub fn edge_spans(layout: &Layout, edge: &str) -> Vec<Span> {
    runs(layout, edge, true).into_iter().map(Span::Edge).collect()
}

/// A line marked on every gore, all round the body.
pub fn line_spans(layout: &Layout, line: &str) -> Vec<Span> {
    layout.gores.iter().map(|g| Span::Marked { piece: g.name.as_str().into(), line: line.into(), times: 2.0 * in_half(g) }).collect()
}

/// Makes the gores and adds them, with seams, lengths and corners.
///
/// # Errors
/// A piece can't be drawn.
pub fn make(draft: &mut Draft, layout: &Layout, solved: &[Solved], depths: &Depths, style: &Style) -> Result<(), DraftError> {
    for (i, (gore, solved)) in layout.gores.iter().zip(solved).enumerate() {
        let piece = piece(gore, solved, depths, style, layout, i)?;
        // A train that grows too fast from seam to seam folds its hem over the seam.
        if layout.round.train > 0.0 && piece.crossing().is_some() {
            return Err(DraftError::new(
                gore.name.as_str(),
                "its hem would run across its seam: the train is too long for so narrow a hem",
                "Give the hem more sweep, shorten the train, or choose more gores.",
            ));
        }
        draft.put(piece);
    }
    seams(draft, layout);
    for gore in &layout.gores {
        lengths(draft, gore, depths);
    }
    Ok(())
}

fn seams(draft: &mut Draft, layout: &Layout) {
    let run = |g: &Gore, edge: &str| EdgeRun::new(g.name.as_str(), edge);
    let corner = |what: String, of: Vec<(&Gore, &str, &str)>, degrees: f64| Corner {
        what,
        of: of.into_iter().map(|(g, a, b)| (Name::from(g.name.as_str()), a.into(), b.into())).collect(),
        degrees,
        within: 0.5,
    };
    for pair in layout.gores.windows(2) {
        let [a, b] = pair else { continue };
        let ((a_left, a_right), (b_left, b_right)) = (a.seams(), b.seams());
        draft.seams.push(Seam::plain(run(a, a_right), run(b, b_left)));
        // The other half of the body.
        match (a.kind, b.kind) {
            (Kind::Whole, _) => draft.seams.push(Seam::plain(run(a, a_left), run(b, b_left))),
            (_, Kind::Whole) => draft.seams.push(Seam::plain(run(a, a_right), run(b, b_right))),
            _ => {}
        }
        let across = format!("across the seam of {} and {}", a.name, b.name);
        draft.corners.push(corner(format!("waist {across}"), vec![(a, "waist", a_right), (b, b_left, "waist")], 180.0));
        draft.corners.push(corner(format!("hem {across}"), vec![(a, a_right, "hem"), (b, "hem", b_left)], 180.0));
    }
    for g in &layout.gores {
        let (left, right) = g.seams();
        if layout.equal {
            draft.seams.push(Seam::plain(run(g, right), run(g, left)));
            for (first, second) in [("waist", right), (right, "hem"), ("hem", left), (left, "waist")] {
                draft.corners.push(corner(format!("{}: {first} at the {second}", g.name), vec![(g, first, second)], 90.0));
            }
        }
        if g.ends_at_back {
            draft.seams.push(Seam::plain(run(g, right), run(g, right)));
            for (first, second) in [("waist", right), (right, "hem")] {
                draft.corners.push(corner(format!("{}: {first} at the {second}", g.name), vec![(g, first, second)], 90.0));
            }
        }
        let darts = draft.piece(&g.name).map_or(&[][..], |p| p.darts());
        let legs: Vec<Seam> = darts.iter().map(|d| Seam::plain(run(g, d.leg_a.as_str()), run(g, d.leg_b.as_str()))).collect();
        draft.seams.extend(legs);
    }
}

fn lengths(draft: &mut Draft, gore: &Gore, depths: &Depths) {
    let name = Name::from(gore.name.as_str());
    let (left, right) = gore.seams();
    let level = depths.above + depths.straight + depths.flared;
    let asked = |rise: f64, train: f64| level + rise + train;
    let (l, r) = (&gore.left.sizes, &gore.right.sizes);
    let centre = asked(l.rise.centre, l.train.centre);
    let mut promise = |what: &str, asked_mm: f64, span: Span| {
        draft.promises.push(Promise { what: format!("{name}: {what} from waist to hem"), asked_mm, spans: vec![span] });
    };
    promise(left, asked(l.rise.seam, l.train.seam), Span::Edge(EdgeRun::new(name.clone(), left)));
    if gore.kind == Kind::Half {
        promise(right, centre, Span::Edge(EdgeRun::new(name.clone(), right)));
    } else {
        promise(right, asked(r.rise.seam, r.train.seam), Span::Edge(EdgeRun::new(name.clone(), right)));
        promise("centre", centre, Span::between(&name, "waist centre", "hem centre", 1.0));
    }
}

/// Finished girth at a distance below the top edge, along the seams; good to a millimetre or two, for a facing.
pub fn girth_below_top(layout: &Layout, solved: &[Solved], below: f64) -> f64 {
    let width = |half: &HalfGore, side: &super::layout::Side| {
        let Some(kurbo::PathSeg::Cubic(c)) = half.seam.segments().next() else { return side.sizes.top };
        let out = c.eval(c.inv_arclen(below, 1e-6)).x - c.p0.x;
        // A dart has let out its share by then.
        let dart = side.dart * (1.0 - below / (0.7 * side.sizes.rise.centre)).max(0.0);
        side.sizes.top - dart + out
    };
    layout
        .gores
        .iter()
        .zip(solved)
        .map(|(g, s)| {
            let half = width(&s.left, &g.left);
            let copies = f64::from(g.copies);
            copies * if g.kind == Kind::Half { half } else { half + width(&s.right, &g.right) }
        })
        .sum()
}

/// Where the seams of the skirt meet the waist, as distances from its opening all the way round. Equal gores are marked
/// at the quarters.
pub fn waist_marks(layout: &Layout, opens_at_side: bool) -> Vec<f64> {
    let total: f64 = layout.gores.iter().map(|g| g.top() * f64::from(g.copies)).sum();
    if layout.equal {
        return [0.25, 0.5, 0.75].map(|q| q * total).to_vec();
    }
    // Distances from the centre front along one half, then the other.
    let mut at = 0.0;
    let mut half: Vec<f64> = Vec::new();
    let mut side = 0.0;
    for (i, g) in layout.gores.iter().enumerate() {
        at += g.top() * if g.kind == Kind::Whole { 0.5 } else { 1.0 };
        if i == layout.side_seam() {
            side = at;
        }
        if at < total / 2.0 - 1.0 {
            half.push(at);
        }
    }
    let start = if opens_at_side { side } else { total / 2.0 };
    let mut all: Vec<f64> =
        [0.0, total / 2.0].into_iter().chain(half.iter().flat_map(|d| [*d, total - *d])).map(|d| (d - start).rem_euclid(total)).collect();
    all.sort_by(f64::total_cmp);
    all
}
