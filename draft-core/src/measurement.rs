//! Body measurements by their standard names.

use serde::{Deserialize, Serialize};

/// What a measurement is the measure of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A closed tape round the body or a limb.
    Girth,
    /// Along the body, up and down.
    Length,
    /// Across the body.
    Width,
    /// An angle, in degrees.
    Angle,
}

/// A body measurement; each variant's text says where the tape goes.
///
/// Names follow ISO 8559-1 where it has the measurement; the wording is our own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(into = "&'static str", try_from = "String")]
pub enum Measurement {
    /// Stature: from the floor to the top of the head, upright, without shoes.
    Stature,
    /// Bust girth: level round the body over the bust points, in the underwear of the day, breathing normally.
    BustGirth,
    /// Upper chest girth: round the body above the bust, high under the arms.
    UpperChestGirth,
    /// Underbust girth: level round the body directly below the breasts.
    UnderbustGirth,
    /// Waist girth: level round the natural waist, midway between the lowest rib and the top of the hip bone.
    WaistGirth,
    /// Top hip girth: level round the body midway between waist and hip.
    TopHipGirth,
    /// Hip girth: level round the body where the seat is fullest.
    HipGirth,
    /// Neck girth: round the neck, square to it, below the larynx.
    NeckGirth,
    /// Neck base girth: round the root of the neck, over the nape bone and the pit of the neck.
    NeckBaseGirth,
    /// Upper-arm girth: round the relaxed arm midway between shoulder point and elbow.
    UpperArmGirth,
    /// Elbow girth: round the elbow with the arm bent at a right angle.
    ElbowGirth,
    /// Wrist girth: round the wrist over the wrist bone.
    WristGirth,
    /// Hand girth: round the knuckles, fingers together, without the thumb.
    HandGirth,
    /// Middle finger girth: round the thickest joint of the middle finger.
    MiddleFingerGirth,
    /// Thigh girth: level round the thigh just below the seat.
    ThighGirth,
    /// Armscye girth: round the joint of arm and body, over the shoulder point and through the armpit.
    ArmscyeGirth,
    /// Shoulder length: from the side neck point along the shoulder to the shoulder point.
    ShoulderLength,
    /// Shoulder slope: the angle between the shoulder and the horizontal, in degrees.
    ShoulderSlope,
    /// Back shoulder width: from shoulder point to shoulder point, straight across the back.
    BackShoulderWidth,
    /// Across back shoulder width: from shoulder point over the nape bone to the other shoulder point.
    AcrossBackShoulderWidth,
    /// Back width: level across the back from arm crease to arm crease, halfway down the armhole.
    AcrossBackWidth,
    /// Front chest width: level across the chest from arm crease to arm crease.
    AcrossChestWidth,
    /// Bust point to bust point: straight from bust point to bust point.
    BustPointDistance,
    /// Front bust arc: level over the bust points, from one side seam line under the arm to the other.
    FrontBustArc,
    /// Back neck point to waist: from the nape bone down the spine to the waist tape.
    BackWaistLength,
    /// Side neck point to waist over bust: from the side neck point over the bust point straight down to the waist tape.
    FrontWaistLength,
    /// Front neck point to waist: from the pit of the neck down the front to the waist tape.
    FrontNeckToWaist,
    /// Side neck point to bust point: from the side neck point to the bust point.
    NeckToBustPoint,
    /// Scye depth: from the nape bone down the spine to the level of the armpit.
    ScyeDepth,
    /// Underarm to waist: from the level of the armpit down the side to the waist tape.
    UnderarmToWaist,
    /// Outer arm length: from the shoulder point over the bent elbow to the wrist bone.
    ArmLength,
    /// Upper arm length: from the shoulder point to the point of the elbow.
    UpperArmLength,
    /// Back neck point to wrist: from the nape bone over shoulder point and elbow to the wrist bone.
    BackNeckToWrist,
    /// Hand length: from the wrist bone to the tip of the middle finger.
    HandLength,
    /// Middle finger length: from the crease at its root to the tip of the middle finger.
    MiddleFingerLength,
    /// Waist to hips: from the waist tape down the side to the level of the fullest seat.
    WaistToHip,
    /// Waist to knee: from the waist tape to the middle of the kneecap.
    WaistToKnee,
    /// Waist height: straight from the waist tape to the floor, without shoes.
    WaistHeight,
    /// Outside leg length: from the waist tape down the side over the hip to the floor, without shoes.
    OutsideLeg,
    /// Front waist to floor: from the waist tape down the centre front over the belly to the floor, without shoes.
    FrontWaistToFloor,
    /// Back waist to floor: from the waist tape down the centre back over the seat to the floor, without shoes.
    BackWaistToFloor,
    /// Crotch height: from the crotch to the floor, without shoes.
    CrotchHeight,
    /// Body rise: from the waist level to the crotch level.
    BodyRise,
}

struct Facts {
    key: &'static str,
    name: &'static str,
    kind: Kind,
    /// Millimetres or degrees that no human measures less or more than; children and very large people included.
    human: (f64, f64),
    tape: &'static str,
}

impl Measurement {
    /// How many there are.
    pub const COUNT: usize = Self::ALL.len();

    /// Every measurement, in the order of the wearer card.
    pub const ALL: &[Self] = &[
        Self::Stature,
        Self::BustGirth,
        Self::UpperChestGirth,
        Self::UnderbustGirth,
        Self::WaistGirth,
        Self::TopHipGirth,
        Self::HipGirth,
        Self::NeckGirth,
        Self::NeckBaseGirth,
        Self::UpperArmGirth,
        Self::ElbowGirth,
        Self::WristGirth,
        Self::HandGirth,
        Self::MiddleFingerGirth,
        Self::ThighGirth,
        Self::ArmscyeGirth,
        Self::ShoulderLength,
        Self::ShoulderSlope,
        Self::BackShoulderWidth,
        Self::AcrossBackShoulderWidth,
        Self::AcrossBackWidth,
        Self::AcrossChestWidth,
        Self::BustPointDistance,
        Self::FrontBustArc,
        Self::BackWaistLength,
        Self::FrontWaistLength,
        Self::FrontNeckToWaist,
        Self::NeckToBustPoint,
        Self::ScyeDepth,
        Self::UnderarmToWaist,
        Self::ArmLength,
        Self::UpperArmLength,
        Self::BackNeckToWrist,
        Self::HandLength,
        Self::MiddleFingerLength,
        Self::WaistToHip,
        Self::WaistToKnee,
        Self::WaistHeight,
        Self::OutsideLeg,
        Self::FrontWaistToFloor,
        Self::BackWaistToFloor,
        Self::CrotchHeight,
        Self::BodyRise,
    ];

    const fn facts(self) -> &'static Facts {
        const fn facts(key: &'static str, name: &'static str, kind: Kind, human: (f64, f64), tape: &'static str) -> Facts {
            Facts { key, name, kind, human, tape }
        }
        // In the order of the variants, which a test holds to.
        const FACTS: &[Facts] = &[
            facts("stature", "Stature", Kind::Length, (450.0, 2750.0), "from the floor to the top of the head, upright, without shoes"),
            facts(
                "bust-girth",
                "Bust girth",
                Kind::Girth,
                (350.0, 2500.0),
                "level round the body over the bust points, in the underwear of the day, breathing normally",
            ),
            facts(
                "upper-chest-girth",
                "Upper chest girth",
                Kind::Girth,
                (350.0, 2400.0),
                "round the body above the bust, high under the arms",
            ),
            facts("underbust-girth", "Underbust girth", Kind::Girth, (330.0, 2400.0), "level round the body directly below the breasts"),
            facts(
                "waist-girth",
                "Waist girth",
                Kind::Girth,
                (300.0, 2600.0),
                "level round the natural waist, midway between the lowest rib and the top of the hip bone",
            ),
            facts("top-hip-girth", "Top hip girth", Kind::Girth, (300.0, 2800.0), "level round the body midway between waist and hip"),
            facts("hip-girth", "Hip girth", Kind::Girth, (350.0, 2900.0), "level round the body where the seat is fullest"),
            facts("neck-girth", "Neck girth", Kind::Girth, (150.0, 800.0), "round the neck, square to it, below the larynx"),
            facts(
                "neck-base-girth",
                "Neck base girth",
                Kind::Girth,
                (180.0, 900.0),
                "round the root of the neck, over the nape bone and the pit of the neck",
            ),
            facts(
                "upper-arm-girth",
                "Upper-arm girth",
                Kind::Girth,
                (80.0, 900.0),
                "round the relaxed arm midway between shoulder point and elbow",
            ),
            facts("elbow-girth", "Elbow girth", Kind::Girth, (80.0, 700.0), "round the elbow with the arm bent at a right angle"),
            facts("wrist-girth", "Wrist girth", Kind::Girth, (60.0, 400.0), "round the wrist over the wrist bone"),
            facts("hand-girth", "Hand girth", Kind::Girth, (80.0, 420.0), "round the knuckles, fingers together, without the thumb"),
            facts(
                "middle-finger-girth",
                "Middle finger girth",
                Kind::Girth,
                (30.0, 130.0),
                "round the thickest joint of the middle finger",
            ),
            facts("thigh-girth", "Thigh girth", Kind::Girth, (150.0, 1400.0), "level round the thigh just below the seat"),
            facts(
                "armscye-girth",
                "Armscye girth",
                Kind::Girth,
                (150.0, 1000.0),
                "round the joint of arm and body, over the shoulder point and through the armpit",
            ),
            facts(
                "shoulder-length",
                "Shoulder length",
                Kind::Length,
                (40.0, 260.0),
                "from the side neck point along the shoulder to the shoulder point",
            ),
            facts(
                "shoulder-slope",
                "Shoulder slope",
                Kind::Angle,
                (0.0, 45.0),
                "the angle between the shoulder and the horizontal, in degrees",
            ),
            facts(
                "back-shoulder-width",
                "Back shoulder width",
                Kind::Width,
                (150.0, 800.0),
                "from shoulder point to shoulder point, straight across the back",
            ),
            facts(
                "across-back-shoulder-width",
                "Across back shoulder width",
                Kind::Width,
                (150.0, 850.0),
                "from shoulder point over the nape bone to the other shoulder point",
            ),
            facts(
                "across-back-width",
                "Back width",
                Kind::Width,
                (120.0, 800.0),
                "level across the back from arm crease to arm crease, halfway down the armhole",
            ),
            facts(
                "across-chest-width",
                "Front chest width",
                Kind::Width,
                (110.0, 750.0),
                "level across the chest from arm crease to arm crease",
            ),
            facts("bust-point-distance", "Bust point to bust point", Kind::Width, (60.0, 500.0), "straight from bust point to bust point"),
            facts(
                "front-bust-arc",
                "Front bust arc",
                Kind::Width,
                (200.0, 1400.0),
                "level over the bust points, from the middle of one side under the arm to the middle of the other",
            ),
            facts(
                "back-waist-length",
                "Back neck point to waist",
                Kind::Length,
                (150.0, 700.0),
                "from the nape bone down the spine to the waist tape",
            ),
            facts(
                "front-waist-length",
                "Side neck point to waist over bust",
                Kind::Length,
                (150.0, 850.0),
                "from the side neck point over the bust point straight down to the waist tape",
            ),
            facts(
                "front-neck-to-waist",
                "Front neck point to waist",
                Kind::Length,
                (120.0, 700.0),
                "from the pit of the neck down the front to the waist tape",
            ),
            facts(
                "neck-to-bust-point",
                "Side neck point to bust point",
                Kind::Length,
                (80.0, 600.0),
                "from the side neck point to the bust point",
            ),
            facts("scye-depth", "Scye depth", Kind::Length, (60.0, 450.0), "from the nape bone down the spine to the level of the armpit"),
            facts(
                "underarm-to-waist",
                "Underarm to waist",
                Kind::Length,
                (40.0, 450.0),
                "from the level of the armpit down the side to the waist tape",
            ),
            facts(
                "arm-length",
                "Outer arm length",
                Kind::Length,
                (180.0, 1050.0),
                "from the shoulder point over the bent elbow to the wrist bone",
            ),
            facts("upper-arm-length", "Upper arm length", Kind::Length, (90.0, 620.0), "from the shoulder point to the point of the elbow"),
            facts(
                "back-neck-to-wrist",
                "Back neck point to wrist",
                Kind::Length,
                (250.0, 1350.0),
                "from the nape bone over shoulder point and elbow to the wrist bone",
            ),
            facts("hand-length", "Hand length", Kind::Length, (70.0, 320.0), "from the wrist bone to the tip of the middle finger"),
            facts(
                "middle-finger-length",
                "Middle finger length",
                Kind::Length,
                (25.0, 170.0),
                "from the crease at its root to the tip of the middle finger",
            ),
            facts(
                "waist-to-hip",
                "Waist to hips",
                Kind::Length,
                (50.0, 450.0),
                "from the waist tape down the side to the level of the fullest seat",
            ),
            facts("waist-to-knee", "Waist to knee", Kind::Length, (150.0, 1000.0), "from the waist tape to the middle of the kneecap"),
            facts(
                "waist-height",
                "Waist height",
                Kind::Length,
                (300.0, 1750.0),
                "straight from the waist tape to the floor, without shoes",
            ),
            facts(
                "outside-leg",
                "Outside leg length",
                Kind::Length,
                (300.0, 1800.0),
                "from the waist tape down the side over the hip to the floor, without shoes",
            ),
            facts(
                "front-waist-to-floor",
                "Front waist to floor",
                Kind::Length,
                (300.0, 1800.0),
                "from the waist tape down the centre front over the belly to the floor, without shoes",
            ),
            facts(
                "back-waist-to-floor",
                "Back waist to floor",
                Kind::Length,
                (300.0, 1800.0),
                "from the waist tape down the centre back over the seat to the floor, without shoes",
            ),
            facts("crotch-height", "Crotch height", Kind::Length, (180.0, 1350.0), "from the crotch to the floor, without shoes"),
            facts("body-rise", "Body rise", Kind::Length, (70.0, 600.0), "from the waist level to the crotch level"),
        ];
        &FACTS[self as usize]
    }

    /// Its key in files and tables; never renamed.
    pub const fn key(self) -> &'static str {
        self.facts().key
    }

    /// The standard's name for it.
    pub const fn name(self) -> &'static str {
        self.facts().name
    }

    /// Girth, length, width or angle.
    pub const fn kind(self) -> Kind {
        self.facts().kind
    }

    /// Where the tape goes, to read on from "measure".
    pub const fn where_the_tape_goes(self) -> &'static str {
        self.facts().tape
    }

    /// The least and the most that a human body measures, in millimetres or degrees; our own wide limits.
    pub const fn human_range(self) -> (f64, f64) {
        self.facts().human
    }

    /// Whether it is taken on one side of the body, so that left and right may differ.
    pub const fn has_sides(self) -> bool {
        use Measurement::*;
        matches!(
            self,
            ShoulderLength
                | ShoulderSlope
                | FrontWaistLength
                | NeckToBustPoint
                | ScyeDepth
                | UnderarmToWaist
                | UpperArmGirth
                | ElbowGirth
                | WristGirth
                | HandGirth
                | ArmscyeGirth
                | ArmLength
                | UpperArmLength
                | BackNeckToWrist
                | HandLength
                | MiddleFingerLength
                | MiddleFingerGirth
                | ThighGirth
                | WaistToHip
                | WaistToKnee
                | OutsideLeg
        )
    }

    /// The measurement with this key. Spaces, underscores and capitals don't matter.
    pub fn from_key(key: &str) -> Option<Self> {
        let key = key.trim().to_lowercase().replace([' ', '_'], "-");
        Self::ALL.iter().copied().find(|m| m.key() == key)
    }
}

impl From<Measurement> for &'static str {
    fn from(which: Measurement) -> Self {
        which.key()
    }
}

impl TryFrom<String> for Measurement {
    type Error = String;

    fn try_from(key: String) -> Result<Self, String> {
        Self::from_key(&key).ok_or_else(|| format!("{key:?} is not the key of a measurement"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn facts_stand_in_the_order_of_the_variants() {
        for (i, &which) in Measurement::ALL.iter().enumerate() {
            assert_eq!(which as usize, i);
            let variant: String = format!("{which:?}").to_lowercase();
            assert_eq!(which.key().replace('-', ""), variant);
            assert!(which.human_range().0 < which.human_range().1);
        }
    }
}
