use kurbo::Vec2;
use serde::{Deserialize, Serialize};

use super::{piece, with};
use crate::geometry::{self, line_path};
use crate::{Draft, DraftError, DrawnLine, Length, MarkedLine, Name, Notion, Unit};

/// Marks buttonholes evenly along a line.
///
/// # Keeps
/// Every line.
/// # Changes
/// A mark for each buttonhole, the first and last as far from the ends of the line as asked, the rest evenly between;
/// as many buttons in the list of notions, and one to spare.
/// # Source
/// Buttons spaced evenly between a first and a last that are placed by hand: common practice; buttonhole length =
/// button diameter + thickness.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Buttonholes {
    /// The piece.
    pub piece: Name,
    /// The line along which they stand.
    pub line: DrawnLine,
    /// How many.
    pub count: u32,
    /// From the line's start to the first.
    #[serde(default)]
    pub first: Length,
    /// From the last to the line's end.
    #[serde(default)]
    pub last: Length,
    /// Length of a buttonhole.
    pub size: Length,
    /// Whether they lie across the line rather than along it.
    #[serde(default)]
    pub across: bool,
}

impl Buttonholes {
    pub(super) fn what(&self) -> String {
        format!("mark {} buttonholes on the {}", self.count, self.piece)
    }

    pub(super) fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let old = piece(draft, &self.piece)?;
        let path = self.line.path(old)?;
        let length = geometry::length(&path);
        let room = length - self.first.mm() - self.last.mm();
        let gaps = f64::from(self.count.saturating_sub(1));
        if self.count == 0
            || self.count > 200
            || room < 0.0
            || (gaps > 0.0 && room / gaps < if self.across { 3.0 } else { self.size.mm() + 3.0 })
        {
            return Err(DraftError::new(
                self.piece.to_string(),
                format!("{} buttonholes of {} do not fit on {}", self.count, self.size.text(Unit::Cm), Unit::Cm.text(length)),
                "Choose fewer, or smaller ones.",
            ));
        }
        let mut lines = old.lines().to_vec();
        let already = lines.iter().filter(|l| l.name.as_str().starts_with("buttonhole")).count();
        for n in 0..self.count {
            let at = self.first.mm() + if gaps > 0.0 { room * f64::from(n) / gaps } else { 0.0 };
            let Some((p, along)) = super::point_on(&path, at) else { continue };
            let half = if self.across { Vec2::new(-along.y, along.x) } else { along } * (self.size.mm() / 2.0);
            lines.push(MarkedLine { name: format!("buttonhole {}", already + n as usize + 1).into(), path: line_path(p - half, p + half) });
        }
        let points = old.points().to_vec();
        let new = old.to_builder().inner(points, lines).build()?;
        let mut after = with(draft, new);
        let spacing_mm = (gaps > 0.0).then_some(room / gaps);
        after.notions.push(Notion {
            what: "button".into(),
            count: self.count + 1,
            spacing_mm,
            place: self.piece.to_string(),
            ..Notion::default()
        });
        Ok(after)
    }
}
