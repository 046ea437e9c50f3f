//! The numbers of a bodice, from measurements: everything but the pieces.
//!
//! Drafted in a frame of its own: millimetres, x away from the centre line, **y up**, the waist at y = 0. The back
//! and the front stand each in their own frame. Constants are our own method's unless a source is named; where the
//! tape readings can't all be true together, one of them gives way and the maker is told.

mod across;
mod tape;
mod upper;

use kurbo::{CubicBez, Point, Vec2};

use self::across::Armhole;
use self::tape::Notes;
pub use self::tape::{Ease, Tape};
pub use self::upper::BackDart;
use self::upper::Upper;
use crate::geometry::{cubic_length, root, turned};
use crate::{DraftError, Grade, Measurement, Message, Unit};

/// The solved bodice.
#[derive(Clone, Debug)]
pub struct Solved {
    /// Centre back neck, and where the back shoulder meets the neck.
    pub nape: Point,
    pub back_neck_point: Point,
    pub back_neckline: CubicBez,
    pub back_tip: Point,
    /// A dart in the back shoulder.
    pub back_shoulder_dart: Option<BackDart>,
    /// Front neckline from the centre to the shoulder.
    pub front_neck_point: Point,
    pub front_neckline: CubicBez,
    /// Bust point, on the centre panel and on the outer panel.
    pub bust_point: Point,
    pub bust_point_outer: Point,
    /// Front shoulder tip with the bust dart closed, and as it is drafted, with the dart open at the shoulder.
    pub closed_tip: Point,
    pub front_tip: Point,
    /// Middle of the front shoulder: on the centre panel, and on the outer panel.
    pub mid_shoulder: Point,
    pub mid_shoulder_outer: Point,
    /// Angle of the bust dart, radians; nought for none.
    pub dart: f64,
    /// By how much the back armhole is taller than the front one.
    pub posture: f64,
    /// What the front needs at the bust point beyond what a dart can give; nought for most.
    pub bust_gap: f64,
    /// Level of the underarm point.
    pub underarm_y: f64,
    pub back_across: Point,
    pub front_across: Point,
    /// Half the across chest and its level, dart closed.
    pub chest_closed: f64,
    pub chest_level: f64,
    pub back_underarm: Point,
    pub front_underarm: Point,
    /// From the shoulder tip: upper and lower cubic.
    pub back_armhole: [CubicBez; 2],
    pub front_armhole: [CubicBez; 2],
    /// By how much the armhole leaves the shoulder other than square, degrees: back, front.
    pub shoulder_angle_off: [f64; 2],
    pub armhole_width: f64,
    /// Least and most that suits this arm.
    pub armhole_band: (f64, f64),
    pub back_darts: Vec<f64>,
    /// The first stands below the bust point and includes the bust gap.
    pub front_darts: Vec<f64>,
    pub back_waist: f64,
    pub front_waist: f64,
    /// What was measured and what was used instead, millimetres.
    pub used: Vec<(Measurement, f64, f64)>,
    pub messages: Vec<Message>,
}

/// Gives left and right one neckline: both centre fronts end at one height, and the whole is as long as asked.
///
/// # Errors
/// No height makes it so.
pub fn joined_necklines(left: &mut Solved, right: &mut Solved, tapes: [&Tape; 2], ease: &Ease) -> Result<(), DraftError> {
    let backs = cubic_length(&left.back_neckline) + cubic_length(&right.back_neckline);
    let curve = |s: &Solved, tape: &Tape, y: f64| upper::front_neckline(s.front_neck_point, tape.slope, y);
    let (high, low) = (left.front_neck_point.y.max(right.front_neck_point.y), left.front_neck_point.y.min(right.front_neck_point.y));
    let fronts = |y: f64| cubic_length(&curve(left, tapes[0], y)) + cubic_length(&curve(right, tapes[1], y));
    let asked = (tapes[0].neck_base + tapes[1].neck_base) / 2.0 + ease.neck;
    let y = root(high - 220.0, low - 15.0, |y| fronts(y) + backs - asked).ok_or_else(|| {
        DraftError::new(
            Measurement::NeckToBustPoint.name(),
            "left and right neck points lie too far apart for one neckline",
            "Measure both sides again from the bust points up to the side neck points, the wearer standing straight.",
        )
        .about(&[Measurement::NeckToBustPoint, Measurement::FrontWaistLength])
    })?;
    (left.front_neckline, right.front_neckline) = (curve(left, tapes[0], y), curve(right, tapes[1], y));
    Ok(())
}

impl Solved {
    /// Where the front's side seam meets the waist, but for the little that the waist curves give way.
    pub fn front_side_waist(&self) -> Point {
        Point::new(self.front_waist + self.front_darts.iter().sum::<f64>(), 0.0)
    }

    /// Lengths of the back and the front armhole.
    pub fn armhole(&self) -> (f64, f64) {
        let sum = |c: &[CubicBez; 2]| c.iter().map(cubic_length).sum();
        (sum(&self.back_armhole), sum(&self.front_armhole))
    }
}

// Limits of a sound draft, millimetres and degrees.

/// The centre front may differ by so much from what was measured, for the tape follows the hollow between the breasts and
/// the neckline's depth follows from the neck's girth; millimetres, our own.
const CENTRE_WITHIN_MM: f64 = 25.0;

/// A waist dart takes no more than this, or there are two; millimetres.
const WAIST_DART_MOST: f64 = 40.0;

/// Solves the bodice; with a `nape` its back length is that.
///
/// # Errors
/// The neck can't be drafted, or the underarm lies at no usable height.
pub fn solve(tape: &Tape, ease: &Ease, nape: Option<f64>, unit: Unit) -> Result<Solved, DraftError> {
    use Measurement::*;
    let mut notes = Notes { unit, list: Vec::new() };
    let upper = Upper::of(tape, ease, nape, &mut notes);
    let (nape, back_neckline, front_neckline) = upper.necklines(tape, ease, unit)?;
    let mut of_armhole = Notes { unit, list: Vec::new() };
    let arm = Armhole::of(&upper, tape, ease, &mut of_armhole);
    if !ease.strapless {
        notes.list.append(&mut of_armhole.list);
    }
    let Upper { bust, dart, underarm_y, .. } = upper;
    let Armhole { gap, closed_tip, .. } = arm;
    let half = (tape.bust + ease.bust) / 2.0;
    let (back_width, front_width) = (arm.back_underarm.x, arm.front_underarm.x);

    // Waist: the same intake at the side of front and back, so that the side seams agree; darts take the rest.
    let intake = half - (tape.waist + ease.waist) / 2.0;
    let (back_intake, front_intake) = ((intake - gap) / 2.0, (intake + gap) / 2.0);
    let side = if back_intake <= 12.0 {
        back_intake
    } else {
        let s = (0.35 * back_intake).clamp(10.0, 25.0);
        if back_intake - s < 7.0 { back_intake.min(25.0) } else { s }
    };
    if side < -0.27 * underarm_y {
        let text = format!("the waist is larger than the bust allows for: the side seam flares {} on each quarter", notes.text(-side));
        notes.say(
            Grade::Note,
            &[WaistGirth, BustGirth],
            text,
            "Check the waist; if it is right, choose princess seams and let them share the flare.",
        );
    }
    let (back_dart, front_dart) = (back_intake - side, front_intake - side);
    let count = |d: f64| if d > 0.0 { ((d - 6.0) / WAIST_DART_MOST - 1e-9).ceil().max(1.0) } else { 0.0 };
    let n = count(back_dart);
    let back_darts = vec![back_dart / n.max(1.0); n as usize];
    let first = if front_dart > WAIST_DART_MOST + gap + 6.0 { front_dart.min(WAIST_DART_MOST + gap) } else { front_dart };
    let rest = front_dart - first;
    let n = if rest > 1e-9 { count(rest) } else { 0.0 };
    let mut front_darts = Vec::new();
    if first.abs() > 1e-9 || gap > 0.0 {
        front_darts.push(first);
        front_darts.extend(std::iter::repeat_n(rest / n.max(1.0), n as usize));
    }
    if gap >= 10.0 {
        let text = format!("the front needs {} more on each half at the bust points than one dart can give", notes.text(gap));
        notes.say(
            Grade::Note,
            &[BustGirth, AcrossChestWidth],
            text,
            "Nothing to mend: the front is drafted with princess seams, which give it.",
        );
    }
    if !(80.0..300.0).contains(&underarm_y) {
        return Err(DraftError::new(
            UnderarmToWaist.name(),
            format!("the underarm would lie {} above the waist", unit.rough(underarm_y)),
            "Measure underarm to waist, scye depth and back length again.",
        )
        .about(&[UnderarmToWaist, ScyeDepth, BackWaistLength]));
    }

    let drafted_centre = front_neckline.p0.y;
    if let Some(measured) = tape.centre_front
        && (measured - drafted_centre).abs() > CENTRE_WITHIN_MM
    {
        let (by, more) = (measured - drafted_centre, if measured > drafted_centre { "shorter" } else { "longer" });
        let text = format!(
            "{} is {}, and {} ({}) with {} ({}) makes the centre front {} {more}: {} is used",
            FrontNeckToWaist.name().to_lowercase(),
            notes.text(measured),
            FrontWaistLength.name().to_lowercase(),
            notes.text(upper.front_length),
            NeckBaseGirth.name().to_lowercase(),
            notes.text(tape.neck_base),
            notes.text(by.abs()),
            notes.text(drafted_centre)
        );
        let remedy =
            "Tie a tape round the waist; measure to it from the pit of the neck, and again from the side neck point over the bust point.";
        notes.say(Grade::Note, &[FrontNeckToWaist, FrontWaistLength, NeckBaseGirth], text, remedy);
    }
    let front_arc = 2.0 * front_width - ease.bust / 2.0;
    let mut used = Vec::new();
    for (which, measured, now) in [
        (AcrossBackWidth, tape.across_back, 2.0 * arm.back_across.x - ease.across_back),
        (AcrossChestWidth, tape.across_chest, 2.0 * arm.chest_closed - ease.across_chest),
        (ShoulderLength, tape.shoulder, tape.shoulder - arm.shoulder_cut),
        (FrontWaistLength, tape.front_length, upper.front_length),
        (BackWaistLength, tape.back_length, upper.back_length),
        (BustPointDistance, tape.bust_points, 2.0 * bust.x),
        (FrontBustArc, tape.front_arc.unwrap_or(front_arc), front_arc),
    ] {
        let binds = !ease.strapless || !matches!(which, AcrossBackWidth | AcrossChestWidth | ShoulderLength);
        if binds && (measured - now).abs() > 0.05 {
            used.push((which, measured, now));
        }
    }
    let gap_out = Vec2::new(gap, 0.0);
    let mid_shoulder = upper.front_point.midpoint(closed_tip);
    Ok(Solved {
        nape,
        back_neck_point: upper.back_point,
        back_neckline,
        back_tip: arm.back_tip,
        back_shoulder_dart: upper.shoulder_dart,
        front_neck_point: upper.front_point,
        front_neckline,
        bust_point: bust,
        bust_point_outer: bust + gap_out,
        closed_tip,
        front_tip: arm.front_tip,
        mid_shoulder,
        mid_shoulder_outer: turned(mid_shoulder, bust, -dart) + gap_out,
        dart,
        posture: upper.posture,
        bust_gap: gap,
        underarm_y,
        back_across: arm.back_across,
        front_across: arm.front_across,
        chest_closed: arm.chest_closed,
        chest_level: arm.chest_level,
        back_underarm: arm.back_underarm,
        front_underarm: arm.front_underarm,
        back_armhole: arm.back,
        front_armhole: arm.front,
        shoulder_angle_off: arm.off_square,
        armhole_width: arm.width,
        armhole_band: arm.band,
        back_darts,
        front_darts,
        back_waist: back_width - side - back_dart,
        front_waist: front_width - side - front_dart,
        used,
        messages: notes.list,
    })
}
