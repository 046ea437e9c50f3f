//! Across widths, armhole width and the armhole itself.

use kurbo::{CubicBez, ParamCurve, Point, Vec2};

use super::tape::{Ease, Notes, Tape};
use super::upper::Upper;
use crate::geometry::{root, turned};
use crate::{Grade, Measurement};

/// Least and most width of an armhole, whatever the arm.
const ARMHOLE_WIDTH: (f64, f64) = (80.0, 150.0);

/// A quarter of an armhole from the across point down to the underarm, upright at the one and level at the other,
/// with its hollow (distance from the corner at 45°) as near to `hollow` as a smooth curve goes.
fn lower_armhole(across: Point, underarm: Point, hollow: f64) -> CubicBez {
    let corner = Point::new(across.x, underarm.y);
    let (a, b) = (underarm.x - corner.x, across.y - corner.y);
    let curve = |k: f64| CubicBez::new(across, Point::new(corner.x, across.y - k * b), Point::new(underarm.x - k * a, corner.y), underarm);
    let at_45 = |k: f64| {
        let c = curve(k);
        let t = root(0.0, 1.0, |t| {
            let d = c.eval(t) - corner;
            d.y - d.x
        });
        (c.eval(t.unwrap_or(0.5)) - corner).hypot()
    };
    let k = root(0.35, 0.90, |k| at_45(k) - hollow).unwrap_or(if at_45(0.35) < hollow { 0.35 } else { 0.90 });
    curve(k)
}

/// The armhole from the shoulder tip to the across point: square to the shoulder where that makes no kink, upright at
/// the across point. Gives the curve and by how many degrees it leaves the shoulder other than square.
fn upper_armhole(tip: Point, slope: f64, across: Point) -> (CubicBez, f64) {
    let (e, h) = (tip.x - across.x, tip.y - across.y);
    let mut leaves = slope;
    let handle = if e > 0.5 {
        if e > 0.75 * h * slope.max(0.01).tan() {
            leaves = e.atan2(0.75 * h);
        } else if e < 0.25 * h * slope.tan() {
            leaves = e.atan2(0.25 * h);
        }
        let y = tip.y - e / leaves.max(1e-3).tan();
        Point::new(across.x, y.max(across.y + 0.1 * h))
    } else {
        Point::new(across.x, across.y + 0.5 * h)
    };
    // A cubic's radius where it ends is 3/2 · handle² / distance of the other handle: lengthen the handle at the
    // across point where it would bend more sharply than 12 mm.
    let at_tip = 0.55;
    let needed = (2.0 / 3.0 * (1.0 - at_tip) * e.max(0.0) * 12.0).sqrt();
    let at_across = (needed / handle.distance(across)).clamp(0.55, 0.95);
    let curve = CubicBez::new(tip, tip.lerp(handle, at_tip), across.lerp(handle, at_across), across);
    (curve, (leaves - slope).to_degrees())
}

/// The armhole and the widths that it is drawn between.
#[derive(Clone, Copy, Debug)]
pub struct Armhole {
    /// Shoulder tips as they end up: back, front with the dart closed, front open and moved out by the gap.
    pub back_tip: Point,
    pub closed_tip: Point,
    pub front_tip: Point,
    /// By how much the shoulders had to be shortened.
    pub shoulder_cut: f64,
    pub back_across: Point,
    pub front_across: Point,
    /// Half the across chest and its level, dart closed.
    pub chest_closed: f64,
    pub chest_level: f64,
    pub back_underarm: Point,
    pub front_underarm: Point,
    /// From the shoulder tip: upper and lower cubic.
    pub back: [CubicBez; 2],
    pub front: [CubicBez; 2],
    /// By how much it leaves the shoulder other than square, degrees: back, front.
    pub off_square: [f64; 2],
    pub width: f64,
    /// Least and most that suits this arm.
    pub band: (f64, f64),
    /// What the front needs at the bust point beyond what a dart can give.
    pub gap: f64,
}

impl Armhole {
    /// Fits it to the widths, the bust and the arm.
    pub fn of(upper: &Upper, tape: &Tape, ease: &Ease, notes: &mut Notes) -> Self {
        use Measurement::*;
        let Upper { slope, back_slope, dart, bust, underarm_y, mut back_tip, mut closed_tip, mut front_tip, .. } = *upper;
        let along = Vec2::new(slope.cos(), -slope.sin());
        let (back_height, front_height) = (back_tip.y - underarm_y, front_tip.y - underarm_y);
        // Across widths, held to what the shoulder allows.
        let half = (tape.bust + ease.bust) / 2.0;
        let (back_y, front_y) = (underarm_y + 0.5 * back_height, underarm_y + 0.45 * front_height);
        let ten = 10f64.to_radians();
        let innermost = |tip: Point, y: f64, slope: f64| tip.x - 0.75 * (tip.y - y) * (slope + ten).tan();
        let outermost = |tip: Point, y: f64, slope: f64| tip.x - (0.25 * (tip.y - y) * (slope - ten).max(0.0).tan()).max(2.0);
        let within_shoulder = |x: f64, tip: Point, y: f64, slope: f64| {
            let high = outermost(tip, y, slope);
            x.clamp(innermost(tip, y, slope).min(high), high)
        };
        let front_slope = slope + dart;
        let rise = front_y - bust.y;
        // Across chest is measured with the dart closed: its point at this level, turned open and turned shut.
        let opened = |x: f64| bust.x + ((x - bust.x) + rise * dart.sin()) / dart.cos();
        let closed = |x: f64| bust.x + (x - bust.x) * dart.cos() - rise * dart.sin();
        let mut back_x = within_shoulder((tape.across_back + ease.across_back) / 2.0, back_tip, back_y, back_slope);
        let mut front_x = within_shoulder(opened((tape.across_chest + ease.across_chest) / 2.0), front_tip, front_y, front_slope);
        let (back_most, front_most) = (outermost(back_tip, back_y, back_slope), outermost(front_tip, front_y, front_slope));

        // Armhole width: what the bust leaves, if it suits the arm. Arm/4 + 4 cm is the width given in US patent 4 899 448.
        let suits = (tape.arm / 4.0 + 40.0).clamp(90.0, 145.0);
        let band = ((suits - 25.0).max(ARMHOLE_WIDTH.0), (suits + 25.0).min(ARMHOLE_WIDTH.1));
        let mut by_bust = half - back_x - front_x;
        if by_bust > band.1 {
            // Within the error of a tape: up to 5 mm on each half.
            let t = (by_bust - band.1).min(10.0) / 2.0;
            back_x = (back_x + t).min(back_x.max(back_most));
            front_x = (front_x + t).min(front_x.max(front_most));
            by_bust = half - back_x - front_x;
        }
        let by_high_bust = (tape.high_bust + ease.bust) / 2.0 - back_x - closed(front_x);
        let mut width = by_bust;
        let mut gap = 0.0;
        if by_bust > band.1 || (by_high_bust < by_bust - 10.0 && by_bust > suits + 10.0) {
            width = if by_high_bust < by_bust { by_high_bust.min(by_bust).clamp(suits, band.1) } else { band.1 };
            gap = by_bust - width;
            if gap < 10.0 && by_bust <= band.1 {
                (width, gap) = (by_bust, 0.0);
            }
        }
        let mut shoulder_cut = 0.0;
        if gap > 40.0 {
            let t = (gap - 40.0).min(30.0);
            let (b0, f0) = (back_x, front_x);
            back_x = (back_x + t / 2.0).min(back_x.max(back_most));
            front_x = (front_x + t / 2.0).min(front_x.max(front_most));
            let moved = (back_x - b0) + (front_x - f0);
            gap -= moved;
            let text = format!("the across widths are {} too narrow, on the half, for this bust: widened", notes.text(moved));
            notes.say(
                Grade::Note,
                &[AcrossBackWidth, AcrossChestWidth, BustGirth],
                text,
                "Measure back width, chest width and bust again.",
            );
            if gap > 55.0 {
                let text = format!("the across widths leave {} on each half with no place to go", notes.text(gap));
                notes.say(
                    Grade::Warning,
                    &[BustGirth, AcrossBackWidth, AcrossChestWidth],
                    text,
                    "Measure back width, chest width and bust again.",
                );
            }
        }
        if by_bust < band.0 {
            let t = band.0 - by_bust;
            if t > 10.0 {
                let grade = if t > 30.0 { Grade::Warning } else { Grade::Note };
                let text = format!(
                    "back and chest width leave an armhole only {} wide: narrowed by {} on the half",
                    notes.text(by_bust),
                    notes.text(t)
                );
                notes.say(
                    grade,
                    &[AcrossBackWidth, AcrossChestWidth, BustGirth],
                    text,
                    "Measure back width and chest width again, from arm crease to arm crease.",
                );
            }
            back_x -= t / 2.0;
            front_x -= t / 2.0;
            let short =
                (innermost(back_tip, back_y, back_slope) - back_x).max(innermost(front_tip, front_y, front_slope) - front_x).max(0.0);
            if short > 1e-9 {
                shoulder_cut = (short / front_slope.cos()).min(20.0);
                if shoulder_cut > 8.0 {
                    let text =
                        format!("the shoulder is too long for the across widths: {} is used", notes.text(tape.shoulder - shoulder_cut));
                    notes.say(
                        Grade::Note,
                        &[ShoulderLength, AcrossBackWidth],
                        text,
                        "Measure the shoulder to the shoulder bone, not beyond.",
                    );
                }
                back_tip -= Vec2::new(back_slope.cos(), -back_slope.sin()) * shoulder_cut;
                closed_tip -= along * shoulder_cut;
                front_tip -= Vec2::new(front_slope.cos(), -front_slope.sin()) * shoulder_cut;
                back_x = back_x.max(innermost(back_tip, back_y, back_slope));
                front_x = front_x.max(innermost(front_tip, front_y, front_slope));
            }
            width = half - back_x - front_x;
        }

        // Side seam, underarm and armhole. The outer front moves out by the bust gap.
        let back_part = match tape.front_arc {
            None => (width + 8.0) / 2.0,
            Some(arc) => {
                // The front bust arc puts the side seam where the maker's tape ended, with its part of the ease; no
                // nearer to front or back than a quarter of the armhole's width.
                let asked = half - arc / 2.0 - ease.bust / 4.0 - back_x;
                let part = asked.max(0.25 * width).min(0.75 * width);
                if (part - asked).abs() > 10.0 {
                    let by = notes.text((part - asked).abs());
                    let (arc, used) = (notes.text(arc), notes.text(arc + 2.0 * (asked - part)));
                    let text = format!(
                        "front bust arc ({arc}) and bust girth ({}) put the side seam {by} outside the middle of the armhole; an arc of {used} is used",
                        notes.text(tape.bust)
                    );
                    notes.say(
                        Grade::Warning,
                        &[FrontBustArc, BustGirth],
                        text,
                        "Hang a ruler straight down from the middle of each armpit, and measure between the two over the bust points again.",
                    );
                }
                part
            }
        };
        let front_part = width - back_part;
        let gap_out = Vec2::new(gap, 0.0);
        let back_across = Point::new(back_x, back_y);
        let front_across = Point::new(front_x + gap, front_y);
        front_tip += gap_out;
        let back_width = back_x + back_part;
        let front_width = half - back_width;
        let back_underarm = Point::new(back_width, underarm_y);
        let front_underarm = Point::new(front_width, underarm_y);
        let (back_upper, back_off) = upper_armhole(back_tip, back_slope, back_across);
        let (front_upper, front_off) = upper_armhole(front_tip, front_slope, front_across);
        let back_lower = lower_armhole(back_across, back_underarm, 0.42 * back_part + 2.0);
        let front_lower = lower_armhole(front_across, front_underarm, 0.38 * front_part + 1.0);
        Self {
            back_tip,
            closed_tip,
            front_tip,
            shoulder_cut,
            back_across,
            front_across,
            chest_closed: closed(front_x),
            chest_level: turned(Point::new(front_x, front_y), bust, dart).y,
            back_underarm,
            front_underarm,
            back: [back_upper, back_lower],
            front: [front_upper, front_lower],
            off_square: [back_off, front_off],
            width,
            band,
            gap,
        }
    }
}
