//! Corners of the cut line, built as the sewer will need them.

use kurbo::{Affine, PathSeg, Point};

use super::rail::{Arm, backward};
use crate::{ACCURACY_MM, Edge, Role};

/// How the allowances of two edges meet at a corner that points out of the piece.
///
/// Common practice of the trade throughout, but for the limits, which are our own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CornerKind {
    /// Both cut lines go on until they meet; a sharp point is blunted. Where one allowance is much the wider, it ends
    /// square to its own seam.
    Mitred,
    /// One edge is the fold: the other's cut line goes on to the fold line, so that the unfolded piece is smooth.
    AcrossFold,
    /// The first edge's allowance is folded back along its own line before the second is sewn: a seam pressed open
    /// below a neckline, a hem turned up along a side seam. Its end is the mirror image of the second edge's cut
    /// line, so that both lie edge on edge.
    FirstFoldsBack,
    /// The same, the second edge's allowance being folded back.
    SecondFoldsBack,
}

/// Edges that run round the body across the ends of seams which are sewn before them.
fn goes_round(edge: &Edge) -> bool {
    let name = edge.name.as_str();
    ["neckline", "armhole", "waist"].contains(&name) || name.ends_with("cap")
}

/// Which of two allowances is folded back before the other is sewn: the higher number.
fn folds_back(edge: &Edge) -> u8 {
    match edge.role {
        Role::Hem => 4,
        _ if goes_round(edge) => 1,
        Role::Opening => 3,
        Role::Seam | Role::Cut | Role::DartLeg | Role::Fold => 2,
    }
}

impl CornerKind {
    /// The kind of the corner where the outline runs from one edge into another.
    pub fn between(first: &Edge, second: &Edge) -> Self {
        if first.role == Role::Fold || second.role == Role::Fold {
            return Self::AcrossFold;
        }
        if first.name == second.name {
            return Self::Mitred;
        }
        match (folds_back(first), folds_back(second)) {
            (a, b) if a == b => Self::Mitred,
            // An opening between two plain seams, or a plain seam between two others, gives no order.
            (2, 3) | (3, 2) => Self::Mitred,
            (a, b) if a > b => Self::FirstFoldsBack,
            _ => Self::SecondFoldsBack,
        }
    }
}

/// A corner's tip stands no further from the seam line's corner than this many times the wider allowance.
const LONGEST_TIP: f64 = 2.0;

/// How two rails are joined: where the first ends, what lies between, and where the second begins.
#[derive(Clone, Debug)]
pub struct Join {
    /// Place on the first arm.
    pub first: f64,
    /// From the first rail to the second; straight lines fill what it leaves out.
    pub between: Vec<PathSeg>,
    /// Points to go through, when there are no segments between.
    pub via: Vec<Point>,
    /// Place on the second arm.
    pub second: f64,
    /// Whether this is no more than a guess, to be united with the piece: the rails overlap and had to be led through
    /// the seam line's corner, or a dart's cap could not be followed.
    pub rough: bool,
}

impl Join {
    /// Rails joined by straight lines through some points.
    pub fn via(first: f64, via: Vec<Point>, second: f64) -> Self {
        Self { first, between: Vec::new(), via, second, rough: false }
    }

    fn swapped(mut self) -> Self {
        std::mem::swap(&mut self.first, &mut self.second);
        backward(&mut self.between);
        self.via.reverse();
        self
    }
}

/// Joins two rails at a corner of the seam line. With `plain` set the rails are left whole.
pub fn join(kind: CornerKind, corner: Point, first: &Arm<'_>, second: &Arm<'_>, plain: bool) -> Join {
    let turn = turn(first, second);
    let (a, b) = (first.allowance, second.allowance);
    if (a - b).abs() < 1e-9 && a * turn.abs() < 0.5 * ACCURACY_MM {
        return Join::via(0.0, Vec::new(), 0.0);
    }
    if turn < 0.0 {
        let inside = |u: f64, v: f64| u >= -1e-9 && v >= -1e-9;
        let met = if plain { None } else { first.meeting(second, Affine::IDENTITY, 0.0, inside) };
        return match met {
            Some((u, v)) => Join::via(u, Vec::new(), v),
            None => Join { rough: true, ..Join::via(0.0, vec![corner], 0.0) },
        };
    }
    let built = match kind {
        _ if plain => None,
        CornerKind::Mitred => None,
        CornerKind::AcrossFold if b <= a => across_fold(corner, first, second),
        CornerKind::AcrossFold => across_fold(corner, second, first).map(Join::swapped),
        CornerKind::FirstFoldsBack => folded_back(corner, first, second),
        CornerKind::SecondFoldsBack => folded_back(corner, second, first).map(Join::swapped),
    };
    built.unwrap_or_else(|| mitred(corner, first, second))
}

/// Angle by which the seam line turns at the corner, in radians; positive where the corner points out of the piece.
fn turn(first: &Arm<'_>, second: &Arm<'_>) -> f64 {
    let (arrives, leaves) = (-first.away, second.away);
    // The outline bends outward where the second edge leaves against the first one's outward direction.
    let turn = (-first.outward.dot(leaves)).atan2(arrives.dot(leaves));
    if arrives.dot(leaves) > -0.98 {
        return turn;
    }
    let side = first.outward.dot(arrives.turn_90()).signum();
    turn.abs() * (-side * (-first.ahead).turn_90().dot(second.ahead)).signum()
}

/// Both cut lines go on, straight, until they meet.
fn mitred(corner: Point, first: &Arm<'_>, second: &Arm<'_>) -> Join {
    let (a, b) = (first.allowance, second.allowance);
    let turn = turn(first, second);
    let (sin, cos) = turn.sin_cos();
    // Where one line would have to be cut short for the other to reach it, the wider allowance ends square instead.
    if a <= b * cos {
        let along = if cos > 1e-9 { a / cos } else { 0.0 };
        return Join::via(-a * turn.tan().max(0.0), vec![corner + along * second.outward], 0.0);
    }
    if b <= a * cos {
        let along = if cos > 1e-9 { b / cos } else { 0.0 };
        return Join::via(0.0, vec![corner + along * first.outward], -b * turn.tan().max(0.0));
    }
    let limit = LONGEST_TIP * a.max(b);
    let (s, r) = if sin > 1e-9 { ((b - a * cos) / sin, (a - b * cos) / sin) } else { (f64::INFINITY, f64::INFINITY) };
    if (a * a + s * s).sqrt() <= limit * (1.0 + 1e-9) {
        return Join::via(-s, Vec::new(), -r);
    }
    // Blunted square to the direction in which the corner points.
    let points = -(first.away + second.away);
    let ahead = if points.hypot() > 1e-9 { points.normalize() } else { -first.away };
    let cut = |arm: &Arm<'_>| {
        let speed = -arm.away.dot(ahead);
        if speed > 1e-9 { ((limit - arm.allowance * arm.outward.dot(ahead)) / speed).max(0.0) } else { 0.0 }
    };
    Join::via(-cut(first).min(s), Vec::new(), -cut(second).min(r))
}

/// The cut line of `edge` goes on to the fold line.
fn across_fold(corner: Point, edge: &Arm<'_>, fold: &Arm<'_>) -> Option<Join> {
    if edge.allowance <= 0.0 {
        return None;
    }
    let beyond = -fold.away;
    let limit = LONGEST_TIP * edge.allowance * (1.0 + 1e-9);
    let u = edge.crossing(corner, beyond, |_, at| (-1e-9..=limit).contains(&(at - corner).dot(beyond)));
    if let Some(u) = u {
        return Some(Join::via(u, Vec::new(), -(edge.point(u) - corner).dot(beyond)));
    }
    // A sharp point on the fold is blunted square to it; a nearly flat one is left to the general rule.
    if edge.away.dot(fold.away) < 0.5 {
        return None;
    }
    let tip = corner + limit * beyond;
    let u = edge.crossing(tip, fold.outward, |u, at| u <= 0.0 && (at - tip).dot(fold.outward) >= 0.0)?;
    Some(Join::via(u, Vec::new(), -limit))
}

/// The allowance of `hem` ends in the mirror image of the cut line of `side`.
fn folded_back(corner: Point, hem: &Arm<'_>, side: &Arm<'_>) -> Option<Join> {
    let beyond = -hem.away;
    // Twenty-four degrees from the straight: flatter or sharper corners are mitred.
    let reach = 2.5 * side.allowance + 1e-6;
    let u = side.crossing(corner, beyond, |_, at| (-1e-6..=reach).contains(&(at - corner).dot(beyond)))?;
    let turned_at = side.point(u);
    if hem.allowance <= 0.0 {
        // A raw edge: its own line, which is the cut line, is drawn out to where the other's cut line ends.
        return Some(Join::via(-(turned_at - corner).dot(beyond), Vec::new(), u));
    }
    let mirror = Affine::reflect(corner, hem.away);
    let reach = 2.5 * hem.allowance + 1e-6;
    let (on_hem, on_side) = hem.meeting(side, mirror, u, |_, v| v >= u - 1e-9)?;
    if hem.point(on_hem).distance(turned_at) > reach {
        return None;
    }
    let mut between = side.walk(u, on_side, mirror);
    // The walk runs from the hem line down to the hem's cut line; the join runs from the hem's rail to the side's.
    backward(&mut between);
    Some(Join { first: on_hem, between, via: Vec::new(), second: u, rough: false })
}
