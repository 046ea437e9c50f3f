//! The order in which one measures.

use crate::Measurement;

/// The measurements in the order in which they are taken, by the parts of the body.
pub const GROUPS: &[(&str, &[Measurement])] = {
    use Measurement::*;
    &[
        ("Round the trunk", &[BustGirth, UpperChestGirth, UnderbustGirth, WaistGirth, TopHipGirth, HipGirth, NeckGirth, NeckBaseGirth]),
        (
            "Across the trunk",
            &[
                ShoulderLength,
                ShoulderSlope,
                BackShoulderWidth,
                AcrossBackShoulderWidth,
                AcrossBackWidth,
                AcrossChestWidth,
                BustPointDistance,
                FrontBustArc,
            ],
        ),
        ("Down the trunk", &[BackWaistLength, FrontWaistLength, FrontNeckToWaist, NeckToBustPoint, ScyeDepth, UnderarmToWaist, BodyRise]),
        (
            "Arm and hand",
            &[
                ArmscyeGirth,
                UpperArmGirth,
                ElbowGirth,
                WristGirth,
                HandGirth,
                MiddleFingerGirth,
                ArmLength,
                UpperArmLength,
                BackNeckToWrist,
                HandLength,
                MiddleFingerLength,
            ],
        ),
        (
            "Leg and height",
            &[Stature, WaistHeight, WaistToHip, WaistToKnee, OutsideLeg, FrontWaistToFloor, BackWaistToFloor, CrotchHeight, ThighGirth],
        ),
    ]
};

/// Those of some measurements that belong to a group, in the order in which they are taken; empty groups left out.
pub fn grouped(wanted: impl Fn(Measurement) -> bool) -> Vec<(&'static str, Vec<Measurement>)> {
    let of = |list: &[Measurement]| list.iter().copied().filter(|m| wanted(*m)).collect::<Vec<_>>();
    GROUPS.iter().map(|(title, list)| (*title, of(list))).filter(|(_, list)| !list.is_empty()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_measurement_stands_in_one_group() {
        let mut all: Vec<Measurement> = GROUPS.iter().flat_map(|(_, list)| list.iter().copied()).collect();
        all.sort();
        assert_eq!(all, Measurement::ALL);
        assert_eq!(grouped(|m| m == Measurement::HipGirth), [("Round the trunk", vec![Measurement::HipGirth])]);
    }
}
