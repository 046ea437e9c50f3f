use kurbo::{Affine, BezPath, Point, Vec2};
use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::geometry::{self, end, line_path, start};
use crate::place::Spot;
use crate::ring::{Assembly, Ring, Stretch};
use crate::{Dart, Draft, DraftError, Length, MarkedLine, Name, NamedPoint, Place, Unit};

/// Pinches a wedge out of an edge, its point on a dart's pivot: a gaping neckline or armhole goes into the bust dart.
///
/// # Keeps
/// The cloth between, which only turns; nothing is lost: the dart takes what is pinched out.
/// # Changes
/// The dart is wider by the wedge's angle, and the edge shorter by its width where it runs square to the line to the
/// pivot; by less where it slants.
/// # Source
/// Pinning out a gape toward the bust point and letting it into the dart: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pinch {
    /// The piece.
    pub piece: Name,
    /// The middle of the wedge, on the edge.
    pub at: Place,
    /// How much is pinched out along the edge.
    pub by: Length,
    /// The dart that takes it.
    pub dart: Name,
}

impl Pinch {
    pub(super) fn what(&self) -> String {
        format!("pinch {} out of the {} into the {}", Unit::Cm.text(self.by.mm()), self.piece, self.dart)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let refuse = |problem: String, remedy: &str| DraftError::new(self.piece.to_string(), problem, remedy);
        let dart = old
            .darts()
            .iter()
            .find(|d| d.name == self.dart)
            .ok_or_else(|| refuse(format!("has no dart named {}", self.dart), "Choose a dart that the piece has."))?;
        let spot = self.at.spot(old)?;
        let name = &old.edges()[spot.edge].name;
        let (length, half) = (old.edge_length_mm(name.as_str()).unwrap_or(0.0), self.by.mm() / 2.0);
        if half <= 0.0 || spot.at_mm - half < 0.0 || spot.at_mm + half > length {
            return Err(refuse(
                format!("a pinch of {} does not fit on its {name} there", Unit::Cm.text(self.by.mm())),
                "Pinch less, or further from the corner.",
            ));
        }
        let side = |at_mm: f64| Spot { edge: spot.edge, at_mm, at: old.along_edge(name.as_str(), at_mm).map_or(spot.at, |(p, _)| p) };
        let (first, second) = (side(spot.at_mm - half), side(spot.at_mm + half));
        let mut ring = Ring::of(old);
        let at = ring.split(&[first, second]);
        let count = ring.stretches.len();
        let leg = |leg: &Name| ring.stretches.iter().position(|s| old.edges()[s.edge].name == *leg);
        let (Some(leg_a), Some(leg_b)) = (leg(&dart.leg_a), leg(&dart.leg_b)) else {
            return Err(refuse(format!("has no whole dart named {}", self.dart), "Draft it again."));
        };
        // From the wedge on to the dart, or from the dart on to the wedge: whichever does not hold the fold turns.
        let onward = ring.run(at[1], leg_a);
        let back = ring.run((leg_b + 1) % count, at[0]);
        let held = |run: &[Stretch]| run.iter().any(|s| matches!(old.edges()[s.edge].role, crate::Role::Fold | crate::Role::Opening));
        let onward_turns = !held(&onward) || held(&back);
        let angle = |p: Point| (p - dart.pivot).atan2();
        let turn = angle(first.at) - angle(second.at);
        let turn = turn.sin().atan2(turn.cos());
        let map = Affine::rotate_about(if onward_turns { turn } else { -turn }, dart.pivot);
        let turning = if onward_turns { &onward } else { &back };
        let mut region = BezPath::new();
        region.move_to(dart.pivot);
        for s in turning {
            for el in s.path.elements() {
                match *el {
                    kurbo::PathEl::MoveTo(p) => region.line_to(p),
                    el => region.push(el),
                }
            }
        }
        region.close_path();
        let carried =
            |run: &[Stretch], turns: bool| -> Vec<Stretch> { run.iter().map(|s| if turns { s.moved(map) } else { s.clone() }).collect() };
        let (onward, back) = (carried(&onward, onward_turns), carried(&back, !onward_turns));
        let (Some(mouth_a), Some(mouth_b)) = (onward.last().and_then(|s| end(&s.path)), back.first().and_then(|s| start(&s.path))) else {
            return Err(refuse(format!("the {} opens where the pinch is", self.dart), "Pinch somewhere else."));
        };
        let short = dart.tip.distance(dart.pivot);
        let axis: Vec2 = (mouth_a.midpoint(mouth_b) - dart.pivot).normalize();
        let tip = dart.pivot + axis * short;
        let mut stretches = back;
        let (Some(rim), Some(joint)) = (stretches.last().and_then(|s| end(&s.path)), onward.first().and_then(|s| start(&s.path))) else {
            return Err(refuse("has nothing left beside the pinch".into(), "Pinch less."));
        };
        if rim.distance(joint) > 1e-9 {
            stretches.push(Stretch::plain(spot.edge, line_path(rim, joint)));
        }
        stretches.extend(onward);
        stretches.push(Stretch::plain(ring.stretches[leg_a].edge, line_path(mouth_a, tip)));
        stretches.push(Stretch::plain(ring.stretches[leg_b].edge, line_path(tip, mouth_b)));
        let on_outline = |p: Point| {
            turning.iter().flat_map(|s| s.path.segments()).any(|s| kurbo::ParamCurveNearest::nearest(&s, p, 1e-6).distance_sq < 1e-4)
        };
        let turns = |p: Point| geometry::holds(&region, p) || on_outline(p);
        let goes = |p: &NamedPoint| match &p.rides {
            Some(edge) => turning.iter().any(|s| old.edges()[s.edge].name == *edge) && turns(p.at),
            None => p.at.distance(dart.pivot) > 0.01 && turns(p.at),
        };
        let new = Assembly {
            stretches,
            darts: old
                .darts()
                .iter()
                .map(|d| {
                    if d.name == self.dart {
                        Dart { tip, ..d.clone() }
                    } else if turning.iter().any(|s| old.edges()[s.edge].name == d.leg_a) {
                        Dart { tip: map * d.tip, pivot: map * d.pivot, ..d.clone() }
                    } else {
                        d.clone()
                    }
                })
                .collect(),
            points: old.points().iter().map(|p| NamedPoint { at: if goes(p) { map * p.at } else { p.at }, ..p.clone() }).collect(),
            lines: old
                .lines()
                .iter()
                .map(|l| {
                    let middle = geometry::flattened(&l.path, 1.0);
                    let goes = middle.get(middle.len() / 2).is_some_and(|p| geometry::holds(&region, *p));
                    MarkedLine { path: if goes { map * l.path.clone() } else { l.path.clone() }, ..l.clone() }
                })
                .collect(),
            ..Assembly::of(old)
        };
        Ok(with(draft, new.build()?))
    }
}
