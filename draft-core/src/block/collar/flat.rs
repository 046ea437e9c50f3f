//! A flat collar: back and front laid together at the neck point, shoulder points overlapping a little, and traced.

use super::{COLLAR, Leaf, Neck, OVERLAP, STRETCH, TURN, WIDTH};
use crate::course::{Course, Finish, cut_at};
use crate::geometry::{self, end, reversed, start};
use crate::{DraftError, Settings};

/// The kink at the neck point is spread over this much to both sides, millimetres.
const FAIRED_MM: f64 = 30.0;

/// Both layers, and where the shoulder meets the neck edge.
pub struct Flat {
    pub upper: Leaf,
    pub under: Leaf,
    pub to_shoulder: f64,
}

pub fn draw(neck: &Neck<'_>, settings: &Settings) -> Result<Flat, DraftError> {
    let refuse = |problem: &str| DraftError::new(COLLAR, problem, "Check the neckline and the shoulders of the bodice.");
    let (back_ray, back_shoulder) = neck.back.shoulder()?;
    let (front_ray, front_shoulder) = neck.front.shoulder()?;
    let shoulder = back_shoulder.min(front_shoulder);
    let overlap = settings.value(&OVERLAP);
    if shoulder < 20.0 || overlap >= shoulder {
        return Err(refuse("the shoulders are too short to lay front and back together"));
    }
    // Turned about the neck point until the points, equally far along both shoulders, overlap by so much.
    let angle = 2.0 * (overlap / (2.0 * shoulder)).asin();
    let map = front_ray.onto(back_ray.turned(angle), true);

    let back = Course::of(&neck.back.edge("neckline")?).ok_or_else(|| refuse("the back neckline has no length"))?;
    let front_line = map * reversed(&neck.front.edge("neckline")?);
    let front = Course::of(&front_line).ok_or_else(|| refuse("the front neckline has no length"))?;
    let whole = back.length() + front.length();
    let shorter = 1.0 - settings.value(&STRETCH) / whole;
    if shorter <= 0.5 || whole * shorter <= neck.gap + 20.0 {
        return Err(refuse("the neckline is too short for a collar"));
    }
    let to_shoulder = back.length() * shorter - neck.gap;
    let faired = back.joined(front).smoothed(neck.back_mm, FAIRED_MM).scaled(shorter);
    let line = if neck.gap > 0.0 { cut_at(&faired.path(), neck.gap).1 } else { faired.path() };
    let line = Course::of(&line).ok_or_else(|| refuse("the neckline has no length"))?;

    let width = settings.value(&WIDTH);
    let down_back = neck.back.down_the_centre()?;
    let down_front = (map * neck.front.down_the_centre()?.to_point()) - map * kurbo::Point::ZERO;
    let leaf = |wide: f64| {
        let at_front = if neck.fold_front { Finish::Square(down_front, wide) } else { Finish::Cut(down_front) };
        let outer = line.parallel(wide, Finish::Square(down_back, wide), at_front)?;
        (start(&outer).is_some() && end(&outer).is_some() && geometry::length(&outer) > 20.0).then(|| Leaf { neck: line.path(), outer })
    };
    let none = || refuse("no edge can be drawn alongside this neckline");
    Ok(Flat { upper: leaf(width).ok_or_else(none)?, under: leaf(width - settings.value(&TURN)).ok_or_else(none)?, to_shoulder })
}
