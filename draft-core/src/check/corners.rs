//! Corners are square, and edges run on smoothly across a closed seam.

use crate::{Corner, Draft, Grade, Message, Name, Part, geometry};

/// Names each corner that is off.
pub fn check(draft: &Draft) -> Vec<Message> {
    draft
        .corners
        .iter()
        .filter_map(|corner| {
            let degrees = measure(draft, corner)?;
            ((degrees - corner.degrees).abs() > corner.within).then(|| {
                Message::new(
                    Grade::Warning,
                    corner.what.clone(),
                    format!("the angle is {degrees:.1}° instead of {:.0}°", corner.degrees),
                    "Redraw the end of the edge so that it runs smoothly across the seam.",
                )
            })
        })
        .collect()
}

/// Sum of the inner angles, degrees.
pub fn measure(draft: &Draft, corner: &Corner) -> Option<f64> {
    corner.of.iter().try_fold(0.0, |sum, (piece, arriving, leaving)| {
        let piece = draft.piece(piece.as_str())?;
        // An edge with a dart in it has several ends: the corner is where the one part follows the other.
        let parts = piece.parts();
        let is = |part: &Part, name: &Name| piece.edges().get(part.edge).is_some_and(|e| e.name == *name);
        let (last, first) =
            parts.iter().zip(parts.iter().cycle().skip(1)).find(|(last, first)| is(last, arriving) && is(first, leaving))?;
        let (into, out) = (geometry::end_tangent(&last.path), geometry::start_tangent(&first.path));
        // Where the outline runs clockwise as seen, the inside lies to the right of it.
        let turn = into.cross(out).atan2(into.dot(out)).to_degrees();
        let clockwise = kurbo::Shape::area(&piece.outline()) > 0.0;
        Some(sum + 180.0 - if clockwise { turn } else { -turn })
    })
}
