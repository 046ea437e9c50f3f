use kurbo::{BezPath, Point};
use serde::{Deserialize, Serialize};

use super::open_seam::{OpenSeam, Opens};
use super::take_in::Side;
use super::{piece, sewn, unused};
use crate::{CutCount, Draft, DraftError, Length, Name, PieceBuilder, Role};

/// Sets a godet into a seam: a piece of a circle that adds width at the hem.
///
/// # Keeps
/// Both pieces; the seam above the godet.
/// # Changes
/// The seam is open from the hem to the godet's point; a new piece stands in it, its straight edges as long as the
/// opening, its hem an arc about the point, so that it hangs level.
/// # Source
/// A sector of a circle: arc = radius × angle; the godet as a set-in sector is common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Godet {
    /// Both edges of the seam.
    pub sides: Vec<Side>,
    /// The end at the hem, named by the edge or point that each side meets there.
    pub from: Name,
    /// From hem to point.
    pub length: Length,
    /// What it adds along the hem.
    pub width: Length,
    /// The name of the godet; its edges on the pieces are named after it.
    pub name: Name,
    /// Seam allowance, and the hem's.
    #[serde(default = "super::cut::plain")]
    pub allowance: Length,
}

impl Godet {
    pub(super) fn what(&self) -> String {
        let side = self.sides.first().map_or_else(String::new, |s| format!("{} of the {}", s.edge, s.piece));
        format!("set the {} into the {side}", self.name)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        unused(draft, &self.name)?;
        let (radius, angle) = (self.length.mm(), self.width.mm() / self.length.mm().max(1.0));
        if !(0.02..=std::f64::consts::PI).contains(&angle) {
            return Err(DraftError::new(
                self.name.to_string(),
                "is too wide or too narrow for its length",
                "Give it a width between a fiftieth of its length and three times its length.",
            ));
        }
        let opening = OpenSeam {
            sides: self.sides.clone(),
            from: self.from.clone(),
            length: self.length,
            name: format!("{} seam", self.name).into(),
            kind: Opens::Slit,
            allowance: Some(self.allowance),
            vent: None,
        };
        let names = opening.names();
        let mut after = opening.apply(draft)?;
        // Sewn, not turned in.
        let mut count = CutCount { count: 1, pairs: false };
        for (side, edge) in self.sides.iter().zip(&names) {
            let old = piece(&after, &side.piece)?;
            count = old.cut();
            let new = old.to_builder().role(edge.as_str(), Role::Seam).build()?;
            after = super::with(&after, new);
        }
        // A seam between left and right of one piece takes one godet for each such seam, two pieces one for each pair.
        let half = angle / 2.0;
        let rim = |a: f64| Point::new(radius * a.sin(), radius * a.cos());
        let mut hem = BezPath::new();
        hem.move_to(rim(half));
        let arc = kurbo::Arc::new(Point::ZERO, (radius, radius), std::f64::consts::FRAC_PI_2 - half, angle, 0.0);
        arc.to_cubic_beziers(0.001, |a, b, c| hem.curve_to(a, b, c));
        let end = crate::geometry::end(&hem).unwrap_or(rim(-half));
        let allowance = self.allowance.mm();
        let godet = PieceBuilder::new(self.name.clone())
            .line("right edge", Role::Seam, allowance, Point::ZERO, rim(half))
            .part("hem", Role::Hem, allowance, hem)
            .line("left edge", Role::Seam, allowance, end, Point::ZERO)
            .point("godet point", Point::ZERO)
            .grain(Point::new(0.0, radius * 0.9), Point::new(0.0, radius * 0.2))
            .cut(count.count.max(1), false)
            .build()?;
        after.put(godet);
        for ((side, edge), own) in self.sides.iter().zip(&names).zip(["right edge", "left edge"]) {
            after.seams.push(sewn(&self.name, &own.into(), &side.piece, edge));
        }
        if self.sides.len() == 1 {
            after.seams.push(sewn(&self.name, &"left edge".into(), &self.sides[0].piece, &names[0]));
        }
        Ok(after)
    }
}
