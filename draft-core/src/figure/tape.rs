//! Where the tape goes on the figure.

use kurbo::{Point, Vec2};

use super::{Figure, View, sag, smooth_open};
use crate::Measurement;

impl Figure {
    /// Where the tape goes: lines on one view or both.
    pub fn tape(&self, which: Measurement) -> Vec<(View, Vec<Point>)> {
        use Measurement::*;
        use View::{Back, Front};
        let p = Point::new;
        let level = |y: f64, half: f64| {
            let line = sag(p(-half - 2.0, y), p(half + 2.0, y), Vec2::new(0.0, half * 0.13));
            vec![(Front, line.clone()), (Back, line)]
        };
        let on = |view: View, points: &[Point]| vec![(view, smooth_open(points))];
        let floor = self.stature;
        let outside = self.reach() * 0.55 + self.hip_half * 0.35;
        let scye = (self.shoulder.y + self.armpit_y) / 2.0;
        let nape = p(0.0, self.nape_y);
        let arm = &self.arm;
        let along_arm = |from: f64, to: f64| {
            let edge = |mm: f64| arm.at(mm) + arm.out() * (arm.half(mm) + 2.0);
            (0..=8).map(|i| edge(from + (to - from) * f64::from(i) / 8.0)).collect::<Vec<_>>()
        };
        match which {
            Stature => vec![(Front, vec![p(-outside, 0.0), p(-outside, floor)])],
            BustGirth => level(self.bust_y, self.bust_half),
            UpperChestGirth => level(self.armpit_y - (self.armpit_y - self.shoulder.y) * 0.12, self.bust_half * 0.98),
            UnderbustGirth => level(self.underbust_y, self.underbust_half),
            WaistGirth => level(self.waist_y, self.waist_half),
            TopHipGirth => level((self.waist_y + self.hip_y) / 2.0, self.top_hip_half),
            HipGirth => level(self.hip_y, self.hip_half),
            NeckGirth => level(self.side_neck.y - self.stature * 0.022, self.neck_half),
            NeckBaseGirth => vec![
                (
                    Front,
                    sag(
                        p(-self.side_neck.x, self.nape_y + 2.0),
                        p(self.side_neck.x, self.nape_y + 2.0),
                        Vec2::new(0.0, self.pit_y - self.nape_y),
                    ),
                ),
                (Back, sag(p(-self.side_neck.x, self.nape_y + 2.0), p(self.side_neck.x, self.nape_y + 2.0), Vec2::new(0.0, 5.0))),
            ],
            UpperArmGirth => vec![(Front, arm.round(arm.upper * 0.5))],
            ElbowGirth => vec![(Front, arm.round(arm.upper))],
            WristGirth => vec![(Front, arm.round(arm.length))],
            HandGirth => vec![(Front, arm.round(arm.length + arm.hand * 0.45))],
            MiddleFingerGirth => vec![(Front, arm.round(arm.length + arm.hand * 0.78))],
            ThighGirth => {
                let middle = self.thigh_half.max(self.hip_half * 0.46) + 4.0;
                let y = self.crotch_y + self.stature * 0.025;
                vec![(
                    Front,
                    sag(p((middle - self.thigh_half).max(5.0), y), p(middle + self.thigh_half, y), Vec2::new(0.0, self.thigh_half * 0.2)),
                )]
            }
            ArmscyeGirth => on(
                Front,
                &[
                    p(self.shoulder.x - 4.0, self.shoulder.y - 2.0),
                    p(self.chest_half + 8.0, scye),
                    p(self.bust_half * 0.92, self.armpit_y + 4.0),
                    p(self.bust_half + 12.0, self.armpit_y - 8.0),
                    p(self.shoulder.x + 8.0, scye),
                    p(self.shoulder.x + 4.0, self.shoulder.y),
                ],
            ),
            ShoulderLength => vec![(Front, vec![self.side_neck, self.shoulder])],
            ShoulderSlope => vec![(Front, vec![self.shoulder, self.side_neck, p(self.shoulder.x + 10.0, self.side_neck.y)])],
            BackShoulderWidth => vec![(Back, vec![p(-self.shoulder.x, self.shoulder.y), self.shoulder])],
            AcrossBackShoulderWidth => on(Back, &[p(-self.shoulder.x, self.shoulder.y), nape, self.shoulder]),
            AcrossBackWidth => vec![(Back, vec![p(-self.back_half, scye), p(self.back_half, scye)])],
            AcrossChestWidth => vec![(Front, vec![p(-self.chest_half, scye), p(self.chest_half, scye)])],
            BustPointDistance => vec![(Front, vec![p(-self.bust_point_x, self.bust_y), p(self.bust_point_x, self.bust_y)])],
            FrontBustArc => vec![(Front, vec![p(-self.bust_half, self.bust_y), p(self.bust_half, self.bust_y)])],
            BackWaistLength => vec![(Back, vec![nape, p(0.0, self.waist_y)])],
            FrontWaistLength => on(Front, &[self.side_neck, p(self.bust_point_x, self.bust_y), p(self.bust_point_x, self.waist_y)]),
            FrontNeckToWaist => vec![(Front, vec![p(0.0, self.pit_y), p(0.0, self.waist_y)])],
            NeckToBustPoint => vec![(Front, vec![self.side_neck, p(self.bust_point_x, self.bust_y)])],
            ScyeDepth => vec![
                (Back, vec![nape, p(0.0, self.armpit_y)]),
                (Back, vec![p(-self.bust_half * 0.7, self.armpit_y), p(self.bust_half * 0.7, self.armpit_y)]),
            ],
            UnderarmToWaist => vec![(Front, vec![p(self.bust_half - 4.0, self.armpit_y), p(self.waist_half + 3.0, self.waist_y)])],
            ArmLength => vec![(Back, along_arm(0.0, arm.length))],
            UpperArmLength => vec![(Back, along_arm(0.0, arm.upper))],
            BackNeckToWrist => {
                let mut line = vec![nape, self.shoulder];
                line.extend(along_arm(0.0, arm.length));
                vec![(Back, line)]
            }
            HandLength => vec![(Back, vec![arm.at(arm.length), arm.at(arm.length + arm.hand)])],
            MiddleFingerLength => vec![(Back, vec![arm.at(arm.length + arm.hand * 0.57), arm.at(arm.length + arm.hand)])],
            WaistToHip => on(
                Front,
                &[
                    p(self.waist_half + 3.0, self.waist_y),
                    p(self.top_hip_half + 3.0, (self.waist_y + self.hip_y) / 2.0),
                    p(self.hip_half + 3.0, self.hip_y),
                ],
            ),
            WaistToKnee => vec![(Front, vec![p(self.waist_half * 0.6, self.waist_y), p(self.hip_half * 0.5, self.knee_y)])],
            // Beside the stature, so that both are seen where both are drawn.
            WaistHeight => vec![(Front, vec![p(40.0 - outside, self.waist_y), p(40.0 - outside, floor)])],
            OutsideLeg => on(
                Front,
                &[
                    p(self.waist_half + 3.0, self.waist_y),
                    p(self.hip_half + 5.0, self.hip_y),
                    p(self.hip_half + 3.0, self.knee_y),
                    p(self.hip_half, floor),
                ],
            ),
            FrontWaistToFloor => vec![(Front, vec![p(0.0, self.waist_y), p(0.0, floor)])],
            BackWaistToFloor => vec![(Back, vec![p(0.0, self.waist_y), p(0.0, floor)])],
            CrotchHeight => vec![(Front, vec![p(0.0, self.crotch_y), p(0.0, floor)])],
            BodyRise => vec![(Front, vec![p(self.hip_half + 24.0, self.waist_y), p(self.hip_half + 24.0, self.crotch_y)])],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Body, Take, Unit, WearerCard};

    #[test]
    fn every_measurement_has_its_tape_on_the_figure() {
        let mut large = WearerCard::default();
        for (which, cm) in [(Measurement::Stature, "158"), (Measurement::BustGirth, "128"), (Measurement::HipGirth, "136")] {
            large.set(which, Take::new(cm, Unit::Cm));
        }
        for card in [WearerCard::default(), large] {
            let figure = Figure::of(&Body::of_card(&card).0);
            for &which in Measurement::ALL {
                let tape = figure.tape(which);
                assert!(!tape.is_empty(), "{which:?}");
                for p in tape.iter().flat_map(|(_, line)| line) {
                    assert!(
                        p.is_finite() && p.y > -20.0 && p.y < figure.height() + 20.0 && p.x.abs() < figure.reach() + 60.0,
                        "{which:?} {p:?}"
                    );
                }
            }
            assert!(figure.parts.iter().all(|part| part.len() > 8));
        }
    }
}
