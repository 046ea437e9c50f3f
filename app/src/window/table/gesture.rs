//! What hands and keys mean on the table.

use egui::{Pos2, Vec2};

/// What happened over the table since the last frame, in plain numbers.
#[derive(Clone, Copy, Debug, Default)]
pub struct Input {
    /// The pointer, when it is over the table.
    pub pointer: Option<Pos2>,
    /// How far the table was dragged.
    pub dragged: Vec2,
    /// A click.
    pub clicked: bool,
    /// A double click.
    pub double_clicked: bool,
    /// The wheel, in points; up is positive.
    pub wheel: Vec2,
    /// Two fingers, or the wheel with the zoom key held.
    pub pinch: f32,
    /// Keys, when no text is being typed.
    pub keys: Keys,
}

/// The keys of the table.
#[derive(Clone, Copy, Debug, Default)]
pub struct Keys {
    /// See everything.
    pub fit: bool,
    /// Come closer.
    pub closer: bool,
    /// Step back.
    pub away: bool,
    /// Arrow keys: the direction in which to look.
    pub look: Vec2,
}

/// What is to be done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Intent {
    /// Move the table by screen points.
    Pan(Vec2),
    /// Magnify about a screen point; `None` for the middle.
    Zoom(Option<Pos2>, f64),
    /// Show everything.
    Fit,
    /// Select what is at a screen point.
    Select(Pos2),
}

/// One press of a key magnifies by this much.
const KEY_ZOOM: f64 = 1.25;
/// One press of an arrow looks this far, screen points.
const KEY_PAN: f32 = 60.0;
/// The wheel zooms by a fifth for so many points of turning.
const WHEEL_NOTCH: f32 = 70.0;

/// Reads the input.
pub fn read(input: &Input) -> Vec<Intent> {
    let mut out = Vec::new();
    if input.dragged != Vec2::ZERO {
        out.push(Intent::Pan(input.dragged));
    }
    if let Some(at) = input.pointer {
        if input.wheel.y != 0.0 {
            out.push(Intent::Zoom(Some(at), 1.2f64.powf(f64::from(input.wheel.y / WHEEL_NOTCH))));
        }
        if input.wheel.x != 0.0 {
            out.push(Intent::Pan(Vec2::new(input.wheel.x, 0.0)));
        }
        if input.pinch > 0.0 && input.pinch != 1.0 {
            out.push(Intent::Zoom(Some(at), f64::from(input.pinch)));
        }
        if input.double_clicked {
            out.push(Intent::Fit);
        } else if input.clicked {
            out.push(Intent::Select(at));
        }
    }
    let keys = input.keys;
    if keys.fit {
        out.push(Intent::Fit);
    }
    if keys.closer {
        out.push(Intent::Zoom(None, KEY_ZOOM));
    }
    if keys.away {
        out.push(Intent::Zoom(None, 1.0 / KEY_ZOOM));
    }
    if keys.look != Vec2::ZERO {
        // Looking right moves the table left.
        out.push(Intent::Pan(-keys.look * KEY_PAN));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{pos2, vec2};

    #[test]
    fn the_wheel_zooms_to_the_pointer_and_only_over_the_table() {
        let mut input = Input { wheel: vec2(0.0, 70.0), pinch: 1.0, ..Input::default() };
        assert_eq!(read(&input), []);
        input.pointer = Some(pos2(3.0, 4.0));
        assert_eq!(read(&input), [Intent::Zoom(Some(pos2(3.0, 4.0)), 1.2)]);
    }

    #[test]
    fn a_drag_pans_and_does_not_select() {
        let input = Input { pointer: Some(pos2(3.0, 4.0)), dragged: vec2(5.0, 1.0), pinch: 1.0, ..Input::default() };
        assert_eq!(read(&input), [Intent::Pan(vec2(5.0, 1.0))]);
    }

    #[test]
    fn keys_work_without_a_pointer() {
        let keys = Keys { fit: true, closer: false, away: true, look: vec2(1.0, 0.0) };
        let out = read(&Input { keys, ..Input::default() });
        assert_eq!(out, [Intent::Fit, Intent::Zoom(None, 0.8), Intent::Pan(vec2(-60.0, 0.0))]);
    }

    #[test]
    fn still_hands_do_nothing() {
        assert_eq!(read(&Input { pointer: Some(pos2(1.0, 1.0)), pinch: 1.0, ..Input::default() }), []);
    }
}
