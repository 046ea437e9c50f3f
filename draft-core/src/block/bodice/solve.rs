//! The numbers of a bodice, from measurements: everything but the pieces.
//!
//! Drafted in a frame of its own: millimetres, x away from the centre line, **y up**, the waist at y = 0. The back
//! and the front stand each in their own frame. Constants are our own method's unless a source is named; where the
//! tape readings can't all be true together, one of them gives way and the maker is told.

use kurbo::{CubicBez, ParamCurve, Point, Vec2};

use crate::geometry::{cubic_length, root, turned};
use crate::{DraftError, Grade, Measurement, Message, Unit};

/// Tape readings, millimetres; the slope in radians.
#[derive(Clone, Copy, Debug)]
pub struct Tape {
    pub neck_base: f64,
    pub shoulder: f64,
    pub slope: f64,
    pub across_back: f64,
    pub across_chest: f64,
    pub bust: f64,
    pub underbust: f64,
    pub high_bust: f64,
    pub waist: f64,
    pub back_length: f64,
    pub front_length: f64,
    pub neck_to_bust: f64,
    pub bust_points: f64,
    pub scye_depth: f64,
    pub underarm: f64,
    pub arm: f64,
}

/// Eases, millimetres, all round the body.
#[derive(Clone, Copy, Debug)]
pub struct Ease {
    pub neck: f64,
    pub bust: f64,
    pub waist: f64,
    pub underbust: f64,
    pub across_back: f64,
    pub across_chest: f64,
    /// How far the armhole lies below the armpit.
    pub underarm: f64,
    /// By how much the back shoulder is longer than the front one.
    pub back_shoulder: f64,
    /// Width of a dart in the back shoulder, nought for none.
    pub back_shoulder_dart: f64,
}

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
const NECK_RISE: f64 = 20.0;
const BACK_DART_LENGTH: f64 = 75.0;
const ARMHOLE_HEIGHT: (f64, f64) = (130.0, 245.0);
const POSTURE: (f64, f64) = (-10.0, 40.0);
const DART_MOST_DEG: f64 = 28.0;
const DART_BAND_DEG: f64 = 12.0;
const ARMHOLE_WIDTH: (f64, f64) = (80.0, 150.0);
const WAIST_DART_MOST: f64 = 40.0;

struct Notes {
    unit: Unit,
    list: Vec<Message>,
}

impl Notes {
    fn say(&mut self, grade: Grade, concerns: &[Measurement], problem: String, remedy: &str) {
        let place = concerns.first().map_or("bodice", |m| m.name());
        self.list.push(Message::new(grade, place, problem, remedy).about(concerns));
    }
    fn text(&self, mm: f64) -> String {
        self.unit.rough(mm)
    }
}

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

/// Solves the bodice.
///
/// # Errors
/// The neck can't be drafted, or the underarm lies at no usable height.
pub fn solve(tape: &Tape, ease: &Ease, unit: Unit) -> Result<Solved, DraftError> {
    use Measurement::*;
    let mut notes = Notes { unit, list: Vec::new() };
    let mut used = Vec::new();
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
    let (mut back_length, mut front_length) = (tape.back_length, tape.front_length);
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
        if excess * other > 0.0 && other.abs() > 10.0 {
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
    let open = |p: Point| turned(p, bust, -dart);
    let mut front_tip = open(closed_tip);
    let mut underarm_y = underarm_body - ease.underarm + if which == 1 { 0.0 } else { back_moved };
    let height = back_tip.y - underarm_y;
    if !(ARMHOLE_HEIGHT.0..=ARMHOLE_HEIGHT.1).contains(&height) {
        let text = format!("the armhole would be {} tall", notes.text(height));
        notes.say(Grade::Warning, &[ScyeDepth, UnderarmToWaist], text, "Measure the scye depth and underarm to waist again.");
        underarm_y = back_tip.y - height.clamp(ARMHOLE_HEIGHT.0, ARMHOLE_HEIGHT.1);
    }
    let (back_height, front_height) = (back_tip.y - underarm_y, front_tip.y - underarm_y);
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

    // Necklines: the back is fixed, the front one's depth makes the whole as long as asked.
    let nape = Point::new(0.0, back_length);
    let back_neckline =
        CubicBez::new(nape, Point::new(0.6 * back_neck, back_length), back_point + into_neck * (0.35 * NECK_RISE), back_point);
    let front_curve = |depth: f64| {
        let y = front_point.y - depth;
        CubicBez::new(Point::new(0.0, y), Point::new(0.6 * front_neck, y), front_point + into_neck * (0.55 * depth), front_point)
    };
    let half_neck = (tape.neck_base + ease.neck) / 2.0;
    let back_neck_mm = cubic_length(&back_neckline);
    let depth = root(20.0, 200.0, |d| cubic_length(&front_curve(d)) + back_neck_mm - half_neck).ok_or_else(|| {
        DraftError::new(
            NeckBaseGirth.name(),
            format!("no front neckline fits a neck base of {}", unit.rough(tape.neck_base)),
            "Measure round the root of the neck again, over the nape bone and the pit of the neck.",
        )
        .about(&[NeckBaseGirth])
    })?;
    let front_neckline = front_curve(depth);

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
        notes.say(Grade::Note, &[AcrossBackWidth, AcrossChestWidth, BustGirth], text, "Measure back width, chest width and bust again.");
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
        let short = (innermost(back_tip, back_y, back_slope) - back_x).max(innermost(front_tip, front_y, front_slope) - front_x).max(0.0);
        if short > 1e-9 {
            shoulder_cut = (short / front_slope.cos()).min(20.0);
            if shoulder_cut > 8.0 {
                let text = format!("the shoulder is too long for the across widths: {} is used", notes.text(tape.shoulder - shoulder_cut));
                notes.say(Grade::Note, &[ShoulderLength, AcrossBackWidth], text, "Measure the shoulder to the shoulder bone, not beyond.");
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
    let back_part = (width + 8.0) / 2.0;
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

    for (which, measured, now) in [
        (AcrossBackWidth, tape.across_back, 2.0 * back_x - ease.across_back),
        (AcrossChestWidth, tape.across_chest, 2.0 * closed(front_x) - ease.across_chest),
        (ShoulderLength, tape.shoulder, tape.shoulder - shoulder_cut),
        (FrontWaistLength, tape.front_length, front_length),
        (BackWaistLength, tape.back_length, back_length),
        (BustPointDistance, tape.bust_points, 2.0 * bust_x),
    ] {
        if (measured - now).abs() > 0.05 {
            used.push((which, measured, now));
        }
    }
    let mid_shoulder = front_point.midpoint(closed_tip);
    Ok(Solved {
        nape,
        back_neck_point: back_point,
        back_neckline,
        back_tip,
        back_shoulder_dart: shoulder_dart,
        front_neck_point: front_point,
        front_neckline,
        bust_point: bust,
        bust_point_outer: bust + gap_out,
        closed_tip,
        front_tip,
        mid_shoulder,
        mid_shoulder_outer: open(mid_shoulder) + gap_out,
        dart,
        posture,
        bust_gap: gap,
        underarm_y,
        back_across,
        front_across,
        chest_closed: closed(front_x),
        chest_level: turned(Point::new(front_x, front_y), bust, dart).y,
        back_underarm,
        front_underarm,
        back_armhole: [back_upper, back_lower],
        front_armhole: [front_upper, front_lower],
        shoulder_angle_off: [back_off, front_off],
        armhole_width: width,
        armhole_band: band,
        back_darts,
        front_darts,
        back_waist: back_width - side - back_dart,
        front_waist: front_width - side - front_dart,
        used,
        messages: notes.list,
    })
}
