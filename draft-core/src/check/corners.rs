//! Corners are square, and edges run on smoothly across a closed seam.

use crate::{Corner, Draft, Grade, Message, geometry};

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
        let (last, first) = (piece.edge_parts(arriving.as_str()).last()?, piece.edge_parts(leaving.as_str()).next()?);
        let (into, out) = (geometry::end_tangent(&last.path), geometry::start_tangent(&first.path));
        // Where the outline runs clockwise as seen, the inside lies to the right of it.
        let turn = into.cross(out).atan2(into.dot(out)).to_degrees();
        let clockwise = kurbo::Shape::area(&piece.outline()) > 0.0;
        Some(sum + 180.0 - if clockwise { turn } else { -turn })
    })
}
