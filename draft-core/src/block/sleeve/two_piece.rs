//! Two-piece sleeve: the one-piece sleeve folded at forearm and hindarm, its seams shifted toward the underarm.

use kurbo::{Affine, BezPath, CubicBez, ParamCurve, Point, Vec2};

use super::elbow::{backward, both, through};
use super::end::End;
use super::one_piece::EASED_MM;
use super::opening::Edges;
use super::plan::{Plan, Side};
use super::settings::{FACING, FOREARM_SHIFT, HINDARM_SHIFT};
use super::{TOP, UNDER};
use crate::block::sleeve_cap::Cap;
use crate::geometry::{cubic_length, cubic_path, line_path, reversed, root, turned};
use crate::{Draft, DraftError, EdgeRun, Grade, Measurement, Piece, PieceBuilder, Role, Seam, Span};

/// By how much the top sleeve's hindarm edge is longer, eased in over the elbow; millimetres (common practice: up to
/// 5 mm).
pub const HINDARM_EASE_MM: f64 = 4.0;

/// What the piece is drafted from, millimetres.
#[derive(Clone, Copy, Debug)]
pub struct Sizes {
    pub elbow_y: f64,
    pub wrist_y: f64,
    /// Whole widths of the sleeve.
    pub elbow: f64,
    pub wrist: f64,
    /// How far the forearm seam lies under the arm from the fold.
    pub forearm_shift: f64,
    /// The same for the hindarm seam at the cap; nought at the wrist.
    pub hindarm_shift: f64,
    /// Turn of the lower arm, radians.
    pub bend: f64,
}

/// One of the two pieces, every edge run downward.
#[derive(Clone, Copy, Debug)]
pub struct Panel {
    pub front_cap: CubicBez,
    pub back_cap: CubicBez,
    /// Where the seams leave the cap; from there they run straight down to the level of the underarm.
    pub forearm_top: Point,
    pub hindarm_top: Point,
    pub forearm: [CubicBez; 2],
    pub hindarm: [CubicBez; 2],
}

impl Panel {
    pub fn forearm_mm(&self) -> f64 {
        self.forearm_top.distance(self.forearm[0].p0) + both(&self.forearm)
    }
    pub fn hindarm_mm(&self) -> f64 {
        self.hindarm_top.distance(self.hindarm[0].p0) + both(&self.hindarm)
    }
}

/// Both pieces; the top sleeve's crown and the under sleeve's underarm lie at x = 0.
#[derive(Clone, Copy, Debug)]
pub struct TwoPiece {
    pub top: Panel,
    pub under: Panel,
    /// By how much the top sleeve's hindarm edge is longer.
    pub ease: f64,
}

const DOWN: Vec2 = Vec2::new(0.0, 1.0);

/// Distances of a seam from the middle of its piece: at the underarm, the elbow and the wrist.
type Off = [f64; 3];

/// Forearm and hindarm edge of a piece whose forearm lies on the right.
fn edges(cap: f64, s: &Sizes, bend: f64, middle: f64, forearm: Off, hindarm: Off) -> ([CubicBez; 2], [CubicBez; 2]) {
    let at = |x: f64, y: f64| Point::new(middle + x, y);
    let elbow = at(forearm[1], s.elbow_y);
    let lower = |p: Point, bend: f64| turned(p, elbow, -bend);
    let axis = Vec2::new(bend.sin(), bend.cos());
    (
        through(at(forearm[0], cap), DOWN, elbow, lower(at(forearm[2], s.wrist_y), bend), axis),
        through(at(-hindarm[0], cap), DOWN, lower(at(-hindarm[1], s.elbow_y), bend / 2.0), lower(at(-hindarm[2], s.wrist_y), bend), axis),
    )
}

fn mirrored(c: [CubicBez; 2]) -> [CubicBez; 2] {
    c.map(|c| Affine::FLIP_X * c)
}

/// Parameter at which a cap's half stands at an x.
fn where_x(c: &CubicBez, x: f64) -> Option<f64> {
    root(0.0, 1.0, |t| c.eval(t).x - x)
}

/// Cuts the sleeve in two. `None` when it is too narrow for the shifts.
pub fn split(cap: &Cap, s: &Sizes) -> Option<TwoPiece> {
    let middle = (cap.front - cap.back) / 2.0;
    let quarter = [cap.width() / 4.0, s.elbow / 4.0, s.wrist / 4.0];
    let fore = s.forearm_shift.min(0.6 * quarter[2]);
    let hind = s.hindarm_shift.min(0.6 * quarter[2]);
    // Behind the fold at the cap, on it at the wrist, and in between as the level lies.
    let at_elbow = hind * (s.wrist_y - s.elbow_y) / (s.wrist_y - cap.height);
    let shift = [hind, at_elbow, 0.0];
    // The top sleeve is wider at the elbow, so that the same bend would open its hindarm edge further than the under
    // sleeve's: it bends a little less and the under sleeve more, until what is left can be eased in.
    let pair = |less: f64| {
        let off = |sign: f64| ([0, 1, 2].map(|i| quarter[i] + sign * fore), [0, 1, 2].map(|i| quarter[i] + sign * shift[i]));
        let ((tf, th), (uf, uh)) = (off(1.0), off(-1.0));
        (edges(cap.height, s, s.bend - less, middle, tf, th), edges(cap.height, s, s.bend + less, 0.0, uf, uh))
    };
    let longer = |less: f64| {
        let (top, under) = pair(less);
        both(&top.1) - both(&under.1)
    };
    let less = root(-0.1, 0.1, |less| longer(less) - HINDARM_EASE_MM)?;
    let (top, under) = pair(less);
    let ease = longer(less);

    let (front, back) = (cap.front_curve(), cap.back_curve());
    let f = where_x(&front, top.0[0].p0.x)?;
    let b = where_x(&back, top.1[0].p0.x)?;
    let (top_front, top_back) = (front.subsegment(0.0..f), back.subsegment(b..1.0));
    let under_front = Affine::translate((-cap.front, 0.0)) * front.subsegment(f..1.0);
    let under_back = Affine::translate((cap.back, 0.0)) * back.subsegment(0.0..b);
    Some(TwoPiece {
        top: Panel {
            forearm_top: top_front.p3,
            hindarm_top: top_back.p0,
            front_cap: top_front,
            back_cap: top_back,
            forearm: top.0,
            hindarm: top.1,
        },
        under: Panel {
            forearm_top: under_front.p0,
            hindarm_top: under_back.p3,
            front_cap: under_front,
            back_cap: under_back,
            forearm: mirrored(under.0),
            hindarm: mirrored(under.1),
        },
        ease,
    })
}

/// Drafts both pieces and adds them.
pub fn make(plan: &Plan<'_>, draft: &mut Draft) -> Result<(), DraftError> {
    let s = &plan.sizes;
    let cut = split(
        &plan.cap,
        &Sizes {
            elbow_y: s.elbow_y,
            wrist_y: s.wrist_y,
            elbow: 2.0 * s.half_elbow,
            wrist: 2.0 * s.half_wrist,
            forearm_shift: plan.settings.value(&FOREARM_SHIFT),
            hindarm_shift: plan.settings.value(&HINDARM_SHIFT),
            bend: plan.bend(),
        },
    )
    .ok_or_else(|| {
        DraftError::new(
            "sleeve / hindarm seam",
            "this sleeve can't be cut in two pieces with these seams",
            "Choose smaller shifts of the seams or a smaller bend, or cut the sleeve in one piece.",
        )
        .about(&[Measurement::UpperArmGirth, Measurement::ElbowGirth, Measurement::WristGirth])
    })?;
    let (top, under) = (&cut.top, &cut.under);
    let (top_end, under_end) = (plan.end(top.forearm[1].p3, top.hindarm[1].p3), End::straight(under.hindarm[1].p3, under.forearm[1].p3));
    let opening =
        plan.opening(&[Edges { front: top.forearm[1], back: top.hindarm[1] }, Edges { front: under.forearm[1], back: under.hindarm[1] }]);
    let top_piece = top_sleeve(plan, &cut, &top_end, opening.as_ref())?;
    let under_piece = under_sleeve(plan, &cut, &under_end, opening.as_ref())?;
    draft.put(top_piece);
    draft.put(under_piece);

    let on_both = |edge: &str| vec![EdgeRun::new(TOP, edge), EdgeRun::new(UNDER, edge)];
    plan.sew_cap(draft, on_both("front cap"), on_both("back cap"));
    draft.seams.push(Seam::plain(EdgeRun::new(TOP, "forearm seam"), EdgeRun::new(UNDER, "forearm seam")));
    draft.seams.push(Seam { a: vec![EdgeRun::new(TOP, "hindarm seam")], b: vec![EdgeRun::new(UNDER, "hindarm seam")], ease_mm: cut.ease });
    if cut.ease > 0.0 {
        plan.say(
            draft,
            Grade::Note,
            "top sleeve / hindarm seam",
            format!("the top sleeve is {} longer than the under sleeve", plan.body.unit().text(cut.ease)),
            "Ease it in between the two notches at the elbow.",
            &[],
        );
    }
    let across =
        |at: &str| [TOP, UNDER].map(|p| Span::between(&p.into(), &format!("forearm {at}"), &format!("hindarm {at}"), 1.0)).to_vec();
    plan.level(draft, "upper arm", 2.0 * s.half_top, across("underarm"));
    plan.level(draft, "elbow", 2.0 * s.half_elbow, across("elbow"));
    plan.level(draft, "wrist", 2.0 * s.half_wrist, across("wrist"));
    plan.smooth(draft, "cap across the forearm seam", &[(TOP, "front cap", "forearm seam"), (UNDER, "forearm seam", "front cap")]);
    plan.smooth(draft, "cap across the hindarm seam", &[(TOP, "hindarm seam", "back cap"), (UNDER, "back cap", "hindarm seam")]);
    plan.smooth(draft, "end across the forearm seam", &[(TOP, "forearm seam", "wrist edge"), (UNDER, "wrist edge", "forearm seam")]);
    plan.smooth(draft, "end across the hindarm seam", &[(TOP, "wrist edge", "hindarm seam"), (UNDER, "hindarm seam", "wrist edge")]);
    plan.finish_point(draft, TOP, &top_end, top.forearm[1], backward(top.hindarm[1]))?;
    if let Some((length, buttons)) = opening {
        plan.finish_opening(draft, "top sleeve / hindarm seam", length, &buttons)?;
    }
    Ok(())
}

/// A seam from the cap down: straight to the level of the underarm, then its two stretches.
fn down_path(top: Point, seam: &[CubicBez; 2]) -> BezPath {
    let mut path = line_path(top, seam[0].p0);
    for c in seam {
        path.curve_to(c.p1, c.p2, c.p3);
    }
    path
}

/// Notches of both seams, their distances from the cap on this piece; the edge that the outline runs upward is `up`.
fn seam_notches(mut piece: PieceBuilder, cut: &TwoPiece, panel: &Panel, up: &str, opening: Option<f64>) -> PieceBuilder {
    let (forearm, hindarm) = (panel.forearm_mm(), panel.hindarm_mm());
    let fore_elbow = forearm - cubic_length(&panel.forearm[1]);
    // The same from the cap and from the wrist on both pieces, so that the ease lies between them.
    let under = &cut.under;
    let under_elbow = under.hindarm_mm() - cubic_length(&under.hindarm[1]);
    let below = under.hindarm_mm() - under_elbow - EASED_MM;
    let mut at = vec![
        ("forearm seam", forearm, fore_elbow),
        ("hindarm seam", hindarm, under_elbow - EASED_MM),
        ("hindarm seam", hindarm, hindarm - below),
    ];
    at.extend(opening.map(|o| ("hindarm seam", hindarm, hindarm - o)));
    for (edge, whole, from_cap) in at {
        piece = piece.notch(edge, if edge == up { whole - from_cap } else { from_cap }, false);
    }
    piece
}

type Opening = (f64, Vec<f64>);

fn top_sleeve(plan: &Plan<'_>, cut: &TwoPiece, end: &End, opening: Option<&Opening>) -> Result<Piece, DraftError> {
    let top = &cut.top;
    let s = &plan.sizes;
    let (cap_mm, seam_mm) = (plan.cap_allowance(), plan.seam_allowance());
    let faced = end.point.is_some() && plan.settings.word(&FACING) == "yes";
    let mut piece = PieceBuilder::new(TOP)
        .part("back cap", Role::Seam, cap_mm, cubic_path(&[top.back_cap]))
        .part("front cap", Role::Seam, cap_mm, cubic_path(&[top.front_cap]))
        .part("forearm seam", Role::Seam, seam_mm, down_path(top.forearm_top, &top.forearm))
        .part("wrist edge", if faced { Role::Seam } else { Role::Hem }, plan.end_allowance(), end.path.clone())
        .part("hindarm seam", Role::Seam, seam_mm, reversed(&down_path(top.hindarm_top, &top.hindarm)));
    piece = plan.crown(piece, &top.front_cap, &top.back_cap);
    let (front, _) = plan.half(Side::Front);
    let (back, _) = plan.half(Side::Back);
    // A notch that lies below a seam stands on the under sleeve.
    let front_from_seam = front.notch - cubic_length(&cut.under.front_cap);
    if front_from_seam >= 0.0 {
        piece = piece.notch("front cap", cubic_length(&top.front_cap) - front_from_seam, false);
    }
    let back_from_seam = back.notch - cubic_length(&cut.under.back_cap);
    if back_from_seam >= 0.0 {
        piece = piece.notch("back cap", back_from_seam, true);
    }
    piece = seam_notches(piece, cut, top, "hindarm seam", opening.map(|o| o.0));
    piece = points(piece, top)
        .marked_line("elbow line", line_path(top.hindarm[0].p3, top.forearm[0].p3))
        .grain(Point::new(s.middle, s.elbow_y + 0.3 * (s.wrist_y - s.elbow_y)), Point::new(s.middle, 0.4 * s.cap))
        .cut(2, true);
    piece = plan.mark_point(piece, end);
    if let Some((_, buttons)) = opening {
        let built = piece.clone().build()?;
        for (i, up) in buttons.iter().enumerate() {
            if let Some((at, _)) = built.along_edge("hindarm seam", *up) {
                piece = piece.point(format!("loop {}", i + 1), at);
            }
        }
    }
    piece.build()
}

fn under_sleeve(plan: &Plan<'_>, cut: &TwoPiece, end: &End, opening: Option<&Opening>) -> Result<Piece, DraftError> {
    let under = &cut.under;
    let s = &plan.sizes;
    let (cap_mm, seam_mm) = (plan.cap_allowance(), plan.seam_allowance());
    let mut piece = PieceBuilder::new(UNDER)
        .part("front cap", Role::Seam, cap_mm, cubic_path(&[under.front_cap]))
        .part("back cap", Role::Seam, cap_mm, cubic_path(&[under.back_cap]))
        .part("hindarm seam", Role::Seam, seam_mm, down_path(under.hindarm_top, &under.hindarm))
        .part("wrist edge", Role::Hem, plan.end_allowance(), end.path.clone())
        .part("forearm seam", Role::Seam, seam_mm, reversed(&down_path(under.forearm_top, &under.forearm)));
    let (front, _) = plan.half(Side::Front);
    let (back, _) = plan.half(Side::Back);
    let front_mm = cubic_length(&under.front_cap);
    if front.notch < front_mm {
        piece = piece.notch("front cap", front_mm - front.notch, false);
    }
    if back.notch < cubic_length(&under.back_cap) {
        piece = piece.notch("back cap", back.notch, true);
    }
    piece = seam_notches(piece, cut, under, "forearm seam", opening.map(|o| o.0));
    points(piece, under)
        .hidden_point("underarm", under.front_cap.p3)
        .marked_line("elbow line", line_path(under.forearm[0].p3, under.hindarm[0].p3))
        .grain(Point::new(0.0, s.elbow_y + 0.3 * (s.wrist_y - s.elbow_y)), Point::new(0.0, s.cap + 20.0))
        .cut(2, true)
        .build()
}

/// Where the girths are measured.
fn points(piece: PieceBuilder, panel: &Panel) -> PieceBuilder {
    let mut piece = piece;
    for (seam, edge) in [("forearm", &panel.forearm), ("hindarm", &panel.hindarm)] {
        piece = piece
            .hidden_point(format!("{seam} underarm"), edge[0].p0)
            .hidden_point(format!("{seam} elbow"), edge[0].p3)
            .hidden_point(format!("{seam} wrist"), edge[1].p3);
    }
    piece
}
