//! The upper part of a bodice: where neck, shoulders, bust point and underarm lie, the bust dart and the posture.

use kurbo::{CubicBez, Point, Vec2};

use super::tape::{Ease, Notes, Tape};
use crate::geometry::{cubic_length, root, turned};
use crate::{DraftError, Grade, Measurement, Unit};

const NECK_RISE: f64 = 20.0;
const BACK_DART_LENGTH: f64 = 75.0;
const ARMHOLE_HEIGHT: (f64, f64) = (130.0, 245.0);
const POSTURE: (f64, f64) = (-10.0, 40.0);
const DART_MOST_DEG: f64 = 28.0;
const DART_BAND_DEG: f64 = 12.0;

/// A dart in the back shoulder.
#[derive(Clone, Copy, Debug)]
pub struct BackDart {
    /// Its mouth: toward the neck and toward the arm.
    pub inner: Point,
    pub outer: Point,
    /// Where it ends.
    pub point: Point,
    /// Radians.
    pub opens: f64,
}

/// Points of back and front above the underarm.
#[derive(Clone, Copy, Debug)]
pub struct Upper {
    /// Breadth of the back neck, half.
    pub back_neck: f64,
    /// Slope of the shoulder on the body, and of the back shoulder as it is drafted; radians.
    pub slope: f64,
    pub back_slope: f64,
    /// Lengths that are used.
    pub back_length: f64,
    pub front_length: f64,
    pub back_point: Point,
    pub back_tip: Point,
    pub shoulder_dart: Option<BackDart>,
    pub front_point: Point,
    pub bust: Point,
    /// Front shoulder tip with the bust dart closed, and open at the shoulder.
    pub closed_tip: Point,
    pub front_tip: Point,
    /// Angle of the bust dart, radians.
    pub dart: f64,
    pub posture: f64,
    pub underarm_y: f64,
}

/// The front neckline from the centre at a height to the shoulder's neck point, square to both.
pub fn front_neckline(neck_point: Point, slope: f64, centre_y: f64) -> CubicBez {
    let into_neck = Vec2::new(-slope.sin(), -slope.cos());
    let depth = neck_point.y - centre_y;
    let centre = Point::new(0.0, centre_y);
    CubicBez::new(centre, Point::new(0.6 * neck_point.x, centre_y), neck_point + into_neck * (0.55 * depth), neck_point)
}

impl Upper {
    /// Finds the points.
    ///
    /// With a `nape` the back length is that, whatever was measured.
    pub fn of(tape: &Tape, ease: &Ease, nape: Option<f64>, notes: &mut Notes) -> Self {
        use Measurement::*;
        let slope = tape.slope;
        let along = Vec2::new(slope.cos(), -slope.sin());
        let into_neck = Vec2::new(-slope.sin(), -slope.cos());

        // Neck. Breadth of the back neck: a fifth of the neck base less 2 mm.
        let back_neck = tape.neck_base / 5.0 - 2.0;
        let front_neck = back_neck - 5.0;
        let mut bust_x = tape.bust_points / 2.0;
        if bust_x < front_neck + 5.0 {
            let text = format!("bust points {} apart lie no wider than the neck", notes.text(tape.bust_points));
            notes.say(Grade::Warning, &[BustPointDistance, NeckBaseGirth], text, "Measure straight from bust point to bust point again.");
            bust_x = front_neck + 5.0;
        }

        // Underarm: the middle one of three readings, never their mean.
        let by_depth = tape.back_length - tape.scye_depth;
        let by_arm = tape.back_length - (tape.arm / 4.0 + 120.0);
        let mut three = [(by_depth, 0), (tape.underarm, 1), (by_arm, 2)];
        three.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (underarm_body, which) = three[1];
        if (by_depth - tape.underarm).abs() > 25.0 {
            let text = format!(
                "back length less scye depth puts the armpit {} above the waist, but underarm to waist says {}; {} is used",
                notes.text(by_depth),
                notes.text(tape.underarm),
                notes.text(underarm_body)
            );
            notes.say(
                Grade::Warning,
                &[ScyeDepth, UnderarmToWaist, BackWaistLength],
                text,
                "Slip a ruler level under the arm, mark its height on the spine and at the side, and measure both again.",
            );
        }

        // Bust dart and posture: one exact equation for two unknowns. The lengths fix only the pair; the cup says what
        // dart to expect, and the two opinions are weighed by their errors.
        let cup = tape.bust - tape.underbust;
        let expected = (0.125 * cup).clamp(0.0, 26.0);
        let place = |back_length: f64, front_length: f64| {
            let back_point = Point::new(back_neck, back_length + NECK_RISE);
            let bust = Point::new(bust_x, front_length - tape.neck_to_bust);
            let reach = (tape.neck_to_bust.powi(2) - (bust_x - front_neck).powi(2)).max(100.0).sqrt();
            let front_point = Point::new(front_neck, bust.y + reach);
            (back_point, bust, front_point, back_point + along * (tape.shoulder + ease.back_shoulder), front_point + along * tape.shoulder)
        };
        let (mut back_length, mut front_length) = (nape.unwrap_or(tape.back_length), tape.front_length);
        let (mut back_point, mut bust, mut front_point, mut back_tip, mut closed_tip) = place(back_length, front_length);
        let radius = closed_tip.distance(bust);
        let phi = (closed_tip.y - bust.y).atan2(closed_tip.x - bust.x);
        let dart_of = |k: f64| (phi - ((back_tip.y - k - bust.y) / radius).clamp(-1.0, 1.0).asin()).to_degrees();
        let posture_of = |back_tip: Point, bust: Point, deg: f64| back_tip.y - bust.y - radius * (phi - deg.to_radians()).sin();
        let by_lengths = dart_of(10.0);
        let deg_per_cm = 10.0 / (closed_tip.x - bust.x).max(30.0) * (180.0 / std::f64::consts::PI);
        let share = 36.0 / (36.0 + deg_per_cm * deg_per_cm);
        let worth_sewing = |deg: f64| if deg < 3.0 && expected < 12.0 { 0.0 } else { deg };
        let mut dart_deg = worth_sewing((expected + share * (by_lengths - expected)).clamp(0.0, DART_MOST_DEG));
        let mut posture = posture_of(back_tip, bust, dart_deg);
        let (low, high) = POSTURE;
        if !(low..=high).contains(&posture) {
            // Spend what is left of the dart's band first.
            let deg = dart_of(posture.clamp(low, high)).clamp((expected - DART_BAND_DEG).max(0.0), (expected + DART_BAND_DEG).min(30.0));
            dart_deg = if deg >= 3.0 { deg } else { 0.0 };
            posture = posture_of(back_tip, bust, dart_deg);
        }
        let mut back_moved = 0.0;
        if !(low - 1e-9..=high + 1e-9).contains(&posture) {
            let excess = posture - posture.clamp(low, high);
            let other = by_depth - tape.underarm;
            if nape.is_none() && excess * other > 0.0 && other.abs() > 10.0 {
                back_moved = -excess.abs().min(other.abs()).copysign(excess);
            }
            let front_moved = excess + back_moved;
            back_length += back_moved;
            front_length += front_moved;
            let text = format!(
                "{} and {} disagree by {}: together they would want a bust dart of {by_lengths:.0}°; {} in front and {} behind are used",
                FrontWaistLength.name().to_lowercase(),
                BackWaistLength.name().to_lowercase(),
                notes.text(excess.abs()),
                notes.text(front_length),
                notes.text(back_length)
            );
            let grade = if excess.abs() > 25.0 { Grade::Warning } else { Grade::Note };
            notes.say(
                grade,
                &[FrontWaistLength, BackWaistLength],
                text,
                "Tie a tape round the waist, keep it level, and measure both lengths again from it.",
            );
            (back_point, bust, front_point, back_tip, closed_tip) = place(back_length, front_length);
            posture = posture_of(back_tip, bust, dart_deg);
        }
        let dart = dart_deg.to_radians();
        // A back shoulder dart opens by turning the outer shoulder about the dart's point, so that it closes to a
        // straight seam.
        let shoulder_dart = (ease.back_shoulder_dart > 0.0).then(|| {
            let middle = back_point.midpoint(back_tip);
            let point = middle + into_neck * BACK_DART_LENGTH;
            let opens = 2.0 * (ease.back_shoulder_dart / 2.0 / BACK_DART_LENGTH).asin();
            BackDart { inner: middle, outer: turned(middle, point, -opens), point, opens }
        });
        let back_slope = slope + shoulder_dart.map_or(0.0, |d| d.opens);
        if let Some(d) = shoulder_dart {
            back_tip = turned(back_tip, d.point, -d.opens);
        }
        // The dart opens by turning the outer front away from the neck: clockwise in this frame.
        let front_tip = turned(closed_tip, bust, -dart);
        let mut underarm_y = underarm_body - ease.underarm + if which == 1 { 0.0 } else { back_moved };
        let height = back_tip.y - underarm_y;
        if !(ARMHOLE_HEIGHT.0..=ARMHOLE_HEIGHT.1).contains(&height) {
            let text = format!("the armhole would be {} tall", notes.text(height));
            notes.say(Grade::Warning, &[ScyeDepth, UnderarmToWaist], text, "Measure the scye depth and underarm to waist again.");
            underarm_y = back_tip.y - height.clamp(ARMHOLE_HEIGHT.0, ARMHOLE_HEIGHT.1);
        }
        if !(0.25..=0.62).contains(&(bust.y / back_length)) {
            let text = format!(
                "{} ({}) and {} ({}) put the bust point {} above the waist",
                FrontWaistLength.name().to_lowercase(),
                notes.text(front_length),
                NeckToBustPoint.name().to_lowercase(),
                notes.text(tape.neck_to_bust),
                notes.text(bust.y)
            );
            notes.say(
                Grade::Warning,
                &[NeckToBustPoint, FrontWaistLength],
                text,
                "Measure both again in one go: neck point to bust point, and on to the waist.",
            );
        }
        Self {
            back_neck,
            slope,
            back_slope,
            back_length,
            front_length,
            back_point,
            back_tip,
            shoulder_dart,
            front_point,
            bust,
            closed_tip,
            front_tip,
            dart,
            posture,
            underarm_y,
        }
    }

    /// Nape, back neckline and front neckline: the back is fixed, the front one's depth makes the whole as long as asked.
    ///
    /// # Errors
    /// No front neckline is as long as asked.
    pub fn necklines(&self, tape: &Tape, ease: &Ease, unit: Unit) -> Result<(Point, CubicBez, CubicBez), DraftError> {
        let into_neck = Vec2::new(-self.slope.sin(), -self.slope.cos());
        let Self { back_neck, back_point, front_point, .. } = *self;
        let nape = Point::new(0.0, self.back_length);
        let back_neckline =
            CubicBez::new(nape, Point::new(0.6 * back_neck, self.back_length), back_point + into_neck * (0.35 * NECK_RISE), back_point);
        let front_curve = |depth: f64| front_neckline(front_point, self.slope, front_point.y - depth);
        let half_neck = (tape.neck_base + ease.neck) / 2.0;
        let back_neck_mm = cubic_length(&back_neckline);
        let depth = root(20.0, 200.0, |d| cubic_length(&front_curve(d)) + back_neck_mm - half_neck).ok_or_else(|| {
            DraftError::new(
                Measurement::NeckBaseGirth.name(),
                format!("no front neckline fits a neck base of {}", unit.rough(tape.neck_base)),
                "Measure round the root of the neck again, over the nape bone and the pit of the neck.",
            )
            .about(&[Measurement::NeckBaseGirth])
        })?;
        Ok((nape, back_neckline, front_curve(depth)))
    }
}
