//! A figure shaped from the measurements, and where the tape goes on it: for the screen and for paper.
//!
//! A sketch for finding one's way, not a body: breadths are fixed shares of the girths, all ours. Nothing is drafted
//! from it.

mod tape;

use std::f64::consts::PI;

use kurbo::{Point, Vec2};

use crate::{Body, Measurement};

/// From the front or from the back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// From the front.
    Front,
    /// From the back.
    Back,
}

impl View {
    /// Both, side by side.
    pub const ALL: [Self; 2] = [Self::Front, Self::Back];
}

/// The figure.
#[derive(Clone, Debug)]
pub struct Figure {
    stature: f64,
    neck_half: f64,
    side_neck: Point,
    nape_y: f64,
    pit_y: f64,
    shoulder: Point,
    armpit_y: f64,
    bust_y: f64,
    bust_half: f64,
    bust_point_x: f64,
    underbust_y: f64,
    underbust_half: f64,
    waist_y: f64,
    waist_half: f64,
    top_hip_half: f64,
    hip_y: f64,
    hip_half: f64,
    crotch_y: f64,
    thigh_half: f64,
    knee_y: f64,
    chest_half: f64,
    back_half: f64,
    arm: Limb,
    /// Closed lines from behind to front: arms, then the body with legs, then the head; millimetres, y down from the
    /// crown, x from the middle.
    pub parts: Vec<Vec<Point>>,
}

/// An arm: its axis and how thick it is along it.
#[derive(Clone, Debug)]
struct Limb {
    /// The shoulder point.
    tip: Point,
    top: Point,
    down: Vec2,
    upper: f64,
    length: f64,
    hand: f64,
    radii: [f64; 5],
}

impl Limb {
    /// A point on the axis, so far down.
    fn at(&self, mm: f64) -> Point {
        self.top + self.down * mm
    }

    fn out(&self) -> Vec2 {
        Vec2::new(self.down.y, -self.down.x)
    }

    /// Half its thickness, so far down.
    fn half(&self, mm: f64) -> f64 {
        let stations = [0.0, self.upper * 0.5, self.upper, self.length, self.length + self.hand * 0.45];
        let i = stations.iter().rposition(|s| *s <= mm).unwrap_or(0).min(3);
        let t = ((mm - stations[i]) / (stations[i + 1] - stations[i]).max(1.0)).clamp(0.0, 1.0);
        self.radii[i] + (self.radii[i + 1] - self.radii[i]) * t
    }

    /// The tape laid round it.
    fn round(&self, mm: f64) -> Vec<Point> {
        let r = self.half(mm) + 2.0;
        let (a, b) = (self.at(mm) - self.out() * r, self.at(mm) + self.out() * r);
        sag(a, b, self.down * (r * 0.35))
    }

    fn outline(&self) -> Vec<Point> {
        let o = self.out();
        let mut right = vec![self.tip];
        let mut left = vec![self.at(self.upper * 0.06) - o * self.half(0.0) * 0.8];
        for mm in [self.upper * 0.25, self.upper * 0.5, self.upper, (self.upper + self.length) * 0.47, self.length] {
            let r = self.half(mm);
            right.push(self.at(mm) + o * r);
            left.push(self.at(mm) - o * r);
        }
        let palm = self.length + self.hand * 0.42;
        right.push(self.at(palm) + o * self.half(palm));
        left.push(self.at(palm) - o * self.half(palm) * 1.1);
        right.push(self.at(self.length + self.hand * 0.8) + o * self.half(palm) * 0.75);
        left.push(self.at(self.length + self.hand * 0.8) - o * self.half(palm) * 0.6);
        right.push(self.at(self.length + self.hand));
        right.extend(left.into_iter().rev());
        smooth(&right)
    }
}

impl Figure {
    /// Shapes the figure; where nothing is measured or estimated, our own middling proportions stand in.
    pub fn of(body: &Body) -> Self {
        use Measurement::*;
        let get = |m, otherwise: f64| body.get(m).filter(|v| v.is_finite() && *v > 0.0).unwrap_or(otherwise);
        let stature = get(Stature, body.get(WaistHeight).map_or(1680.0, |h| h / 0.62));
        let s = stature;
        let waist_h = get(WaistHeight, body.get(OutsideLeg).map_or(0.62 * s, |l| l - 10.0)).min(0.75 * s);
        let nape_h = (waist_h + get(BackWaistLength, 0.24 * s) * 0.985).min(0.9 * s);
        let side_neck_x = get(NeckBaseGirth, 0.225 * s) / (2.0 * PI) * 1.08;
        let slope = body.get(ShoulderSlope).unwrap_or(21.0).to_radians();
        let shoulder_length = get(ShoulderLength, 0.075 * s);
        let side_neck = Point::new(side_neck_x, s - nape_h);
        let shoulder = side_neck + shoulder_length * Vec2::new(slope.cos(), slope.sin());
        let armpit_y = s - nape_h + get(ScyeDepth, 0.118 * s);
        let waist_y = s - waist_h;
        let bust_y = (side_neck.y + get(NeckToBustPoint, 0.155 * s) * 0.93).clamp(armpit_y - 10.0, waist_y - 40.0);
        let underbust_y = bust_y + (waist_y - bust_y) * 0.36;
        let hip_y = waist_y + get(WaistToHip, 0.12 * s);
        let crotch_h = get(CrotchHeight, body.get(BodyRise).map_or(0.465 * s, |r| waist_h - r));
        let crotch_y = (s - crotch_h).max(hip_y + 25.0);
        let knee_y = (waist_y + get(WaistToKnee, 0.345 * s)).max(crotch_y + 120.0);
        let bust = get(BustGirth, 0.55 * s);
        let waist = get(WaistGirth, bust * 0.8);
        let hip = get(HipGirth, bust * 1.08);
        let underbust = get(UnderbustGirth, bust * 0.86);
        let arm_girth = get(UpperArmGirth, 0.17 * s);
        let hand_girth = get(HandGirth, 0.113 * s);
        let lean = 13f64.to_radians();
        let radius = arm_girth / (2.0 * PI);
        let arm = Limb {
            tip: shoulder + Vec2::new(-3.0, 1.0),
            top: shoulder + Vec2::new(-radius * 0.85, radius * 0.8),
            down: Vec2::new(lean.sin(), lean.cos()),
            upper: get(UpperArmLength, 0.2 * s),
            length: get(ArmLength, 0.345 * s).max(get(UpperArmLength, 0.2 * s) + 60.0),
            hand: get(HandLength, 0.108 * s),
            radii: [
                radius * 1.05,
                radius,
                get(ElbowGirth, arm_girth * 0.9) / (2.0 * PI) * 0.92,
                get(WristGirth, arm_girth * 0.56) / (2.0 * PI) * 1.05,
                hand_girth / (2.0 * PI) * 1.25,
            ],
        };
        let mut figure = Self {
            stature,
            neck_half: get(NeckGirth, side_neck_x * 2.0 * PI * 0.86) / (2.0 * PI),
            side_neck,
            nape_y: s - nape_h,
            pit_y: s - nape_h + get(NeckBaseGirth, 0.225 * s) * 0.19,
            shoulder,
            armpit_y,
            bust_y,
            bust_half: bust * 0.158,
            bust_point_x: get(BustPointDistance, bust * 0.21) / 2.0,
            underbust_y,
            underbust_half: underbust * 0.159,
            waist_y,
            waist_half: waist * 0.163,
            top_hip_half: get(TopHipGirth, (waist + 2.0 * hip) / 3.0) * 0.172,
            hip_y,
            hip_half: hip * 0.177,
            crotch_y,
            thigh_half: get(ThighGirth, hip * 0.58) / (2.0 * PI),
            knee_y,
            chest_half: get(AcrossChestWidth, bust * 0.37) / 2.0,
            back_half: get(AcrossBackWidth, bust * 0.39) / 2.0,
            arm,
            parts: Vec::new(),
        };
        figure.parts = figure.shapes();
        figure
    }

    /// From crown to floor, millimetres.
    pub const fn height(&self) -> f64 {
        self.stature
    }

    /// The level of the crotch below the crown, millimetres.
    pub const fn crotch(&self) -> f64 {
        self.crotch_y
    }

    /// The level of the finger tips below the crown, millimetres.
    pub fn finger_tips(&self) -> f64 {
        self.arm.at(self.arm.length + self.arm.hand).y
    }

    /// Half the breadth with the arms, millimetres.
    pub fn reach(&self) -> f64 {
        (self.arm.at(self.arm.length + self.arm.hand).x + 40.0).max(self.hip_half + 40.0)
    }

    fn shapes(&self) -> Vec<Vec<Point>> {
        let mirror = |line: &[Point]| line.iter().rev().map(|p| Point::new(-p.x, p.y)).collect::<Vec<_>>();
        let arm = self.arm.outline();
        let other = mirror(&arm);
        let s = self.stature;
        let floor = s - 4.0;
        let middle = self.thigh_half.max(self.hip_half * 0.46) + 4.0;
        let knee = s * 0.034;
        let calf_y = self.knee_y + (floor - self.knee_y) * 0.3;
        let ankle_y = floor - s * 0.045;
        let right = [
            Point::new(self.neck_half * 0.9, s * 0.085),
            Point::new(self.neck_half * 0.92, s * 0.115),
            Point::new(self.neck_half, self.side_neck.y - s * 0.016),
            self.side_neck.lerp(self.shoulder, 0.12),
            self.side_neck.lerp(self.shoulder, 0.6),
            self.side_neck.lerp(self.shoulder, 0.96),
            self.shoulder + Vec2::new(-s * 0.002, s * 0.018),
            Point::new(self.bust_half * 0.98, self.armpit_y),
            Point::new(self.bust_half, self.bust_y),
            Point::new(self.underbust_half, self.underbust_y),
            Point::new(self.waist_half, self.waist_y),
            Point::new(self.top_hip_half, (self.waist_y + self.hip_y) / 2.0),
            Point::new(self.hip_half, self.hip_y),
            Point::new((middle + self.thigh_half).min(self.hip_half * 0.99), self.crotch_y + s * 0.02),
            Point::new(middle * 0.92 + knee, self.knee_y),
            Point::new(middle * 0.9 + knee * 1.02, calf_y),
            Point::new(middle * 0.86 + s * 0.02, ankle_y),
            Point::new(middle * 0.9 + s * 0.034, floor),
            Point::new(middle * 0.86 - s * 0.016, floor),
            Point::new(middle * 0.86 - s * 0.019, ankle_y),
            Point::new(middle * 0.9 - knee * 1.0, calf_y),
            Point::new(middle * 0.92 - knee * 0.95, self.knee_y),
            Point::new(5.0, self.crotch_y + 6.0),
        ];
        let mut run = right.to_vec();
        run.push(Point::new(0.0, self.crotch_y));
        run.extend(mirror(&right));
        let torso = smooth(&run);
        let head_y = s * 0.064;
        let head: Vec<Point> = (0..48)
            .map(|i| {
                let a = f64::from(i) / 48.0 * 2.0 * PI;
                // Narrower toward the chin.
                let narrow = 1.0 - 0.16 * a.sin().max(0.0);
                Point::new(s * 0.046 * a.cos() * narrow, head_y + s * 0.064 * a.sin())
            })
            .collect();
        vec![arm, other, torso, head]
    }

    /// Lines that give the figure its form: bust, crease of the seat.
    pub fn details(&self, view: View) -> Vec<Vec<Point>> {
        match view {
            View::Front => [1.0, -1.0]
                .into_iter()
                .map(|side| {
                    let r = (self.underbust_y - self.bust_y) * 0.55;
                    sag(
                        Point::new(side * (self.bust_point_x - r * 0.9), self.bust_y + r * 0.35),
                        Point::new(side * (self.bust_point_x + r * 1.1), self.bust_y + r * 0.25),
                        Vec2::new(0.0, r * 0.75),
                    )
                })
                .chain(self.creases())
                .chain(std::iter::once(sag(
                    Point::new(-self.side_neck.x, self.nape_y + 2.0),
                    Point::new(self.side_neck.x, self.nape_y + 2.0),
                    Vec2::new(0.0, self.pit_y - self.nape_y),
                )))
                .collect(),
            View::Back => [
                vec![Point::new(0.0, self.hip_y - 45.0), Point::new(0.0, self.crotch_y)],
                vec![Point::new(0.0, self.nape_y + 10.0), Point::new(0.0, self.waist_y)],
            ]
            .into_iter()
            .chain(self.creases())
            .collect(),
        }
    }

    /// Where arm and trunk meet.
    fn creases(&self) -> [Vec<Point>; 2] {
        [1.0, -1.0].map(|side| {
            let top = Point::new(side * (self.shoulder.x * 0.97), self.shoulder.y + (self.armpit_y - self.shoulder.y) * 0.4);
            let armpit = Point::new(side * (self.bust_half * 0.98), self.armpit_y);
            sag(top, armpit, Vec2::new(-side * self.stature * 0.006, 0.0))
        })
    }
}

/// A shallow curve between two points, sagging by a vector in its middle.
fn sag(a: Point, b: Point, by: Vec2) -> Vec<Point> {
    (0..=20)
        .map(|i| {
            let t = f64::from(i) / 20.0;
            a.lerp(b, t) + by * (4.0 * t * (1.0 - t))
        })
        .collect()
}

/// A smooth closed line through points.
fn smooth(points: &[Point]) -> Vec<Point> {
    let n = points.len();
    let at = |i: usize| points[i % n];
    (0..n).flat_map(|i| between(at(i + n - 1), at(i), at(i + 1), at(i + 2))).collect()
}

/// A smooth open line through points.
fn smooth_open(points: &[Point]) -> Vec<Point> {
    let Some(&last) = points.last() else { return Vec::new() };
    let at = |i: isize| points[i.clamp(0, points.len() as isize - 1) as usize];
    let mut out: Vec<Point> = (0..points.len() as isize - 1).flat_map(|i| between(at(i - 1), at(i), at(i + 1), at(i + 2))).collect();
    out.push(last);
    out
}

/// The stretch from `b` to `c` of a cardinal spline, `c` not included.
fn between(a: Point, b: Point, c: Point, d: Point) -> impl Iterator<Item = Point> {
    (0..8).map(move |i| {
        let t = f64::from(i) / 8.0;
        let (t2, t3) = (t * t, t * t * t);
        let (m0, m1) = ((c - a) * 0.42, (d - b) * 0.42);
        let (h00, h01) = (2.0 * t3 - 3.0 * t2 + 1.0, -2.0 * t3 + 3.0 * t2);
        let at = b.to_vec2() * h00 + m0 * (t3 - 2.0 * t2 + t) + c.to_vec2() * h01 + m1 * (t3 - t2);
        at.to_point()
    })
}
