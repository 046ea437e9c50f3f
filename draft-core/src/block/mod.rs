//! Blocks: the fitted pieces that a garment starts from, drafted from measurements.
//!
//! To add one: a file with its settings and its `draft`, a variant here, and a published test.

use serde::{Deserialize, Serialize};

use crate::{Body, Draft, DraftError, Measurement, Setting, Settings};

mod band;
mod bodice;
mod bodice_half;
mod circle;
mod collar;
mod facing;
mod fan;
mod hem;
mod over_sleeve;
mod panel;
mod ring;
mod sides;
pub mod skirt;
mod sleeve;
pub mod sleeve_cap;
mod waist;

/// Every block we draft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Block {
    /// Fitted bodice: front and back with darts.
    Bodice,
    /// Gored skirt.
    Skirt,
    /// Sleeve, drafted to the bodice's armhole.
    Sleeve,
    /// Collar, drafted to the neckline as it is.
    Collar,
    /// Facings of neckline and armhole, traced from the bodice as it is.
    Facing,
    /// Long draped triangle in the bodice's armhole, over the sleeve.
    #[serde(rename = "over_sleeve")]
    OverSleeve,
    /// Circle skirt, or any part of a circle.
    Circle,
    /// Draped panel: gathered rectangle or triangle.
    Panel,
}

impl Block {
    /// Every block, in the order in which they are drafted.
    pub const ALL: [Self; 8] =
        [Self::Bodice, Self::Skirt, Self::Circle, Self::Panel, Self::Sleeve, Self::OverSleeve, Self::Collar, Self::Facing];

    /// Its name, also on the command line.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Bodice => "bodice",
            Self::Skirt => "skirt",
            Self::Sleeve => "sleeve",
            Self::Collar => "collar",
            Self::Facing => "facing",
            Self::OverSleeve => "over-sleeve",
            Self::Circle => "circle",
            Self::Panel => "panel",
        }
    }

    /// Its settings.
    pub const fn settings(self) -> &'static [&'static Setting] {
        match self {
            Self::Bodice => bodice::SETTINGS,
            Self::Skirt => skirt::SETTINGS,
            Self::Sleeve => sleeve::SETTINGS,
            Self::Collar => collar::SETTINGS,
            Self::Facing => facing::SETTINGS,
            Self::OverSleeve => over_sleeve::SETTINGS,
            Self::Circle => circle::SETTINGS,
            Self::Panel => panel::SETTINGS,
        }
    }

    /// Every measurement that it may be drafted from.
    pub const fn measurements(self) -> &'static [Measurement] {
        use Measurement::*;
        match self {
            Self::Bodice => &[
                BustGirth,
                UpperChestGirth,
                UnderbustGirth,
                WaistGirth,
                NeckBaseGirth,
                UpperArmGirth,
                ShoulderLength,
                ShoulderSlope,
                AcrossBackWidth,
                AcrossChestWidth,
                BustPointDistance,
                FrontBustArc,
                FrontNeckToWaist,
                BackWaistLength,
                FrontWaistLength,
                NeckToBustPoint,
                ScyeDepth,
                UnderarmToWaist,
            ],
            Self::Sleeve => &[
                UpperArmGirth,
                ElbowGirth,
                WristGirth,
                HandGirth,
                ArmLength,
                UpperArmLength,
                HandLength,
                MiddleFingerLength,
                MiddleFingerGirth,
            ],
            Self::OverSleeve => &[UpperArmGirth, ArmLength],
            Self::Skirt => &[
                WaistGirth,
                UnderbustGirth,
                TopHipGirth,
                HipGirth,
                FrontWaistLength,
                NeckToBustPoint,
                WaistToHip,
                WaistToKnee,
                OutsideLeg,
                FrontWaistToFloor,
                BackWaistToFloor,
            ],
            Self::Collar => &[NeckBaseGirth, NeckGirth],
            Self::Facing => &[],
            Self::Circle | Self::Panel => &[WaistGirth, OutsideLeg],
        }
    }

    /// Those of its measurements that it is drafted from with these settings.
    pub fn measurements_for(self, settings: &Settings) -> &'static [Measurement] {
        match self {
            Self::Skirt => skirt::measurements(settings),
            Self::Circle => circle::measurements(settings),
            Self::Panel => panel::measurements(settings),
            Self::Bodice | Self::Sleeve | Self::OverSleeve | Self::Collar | Self::Facing => self.measurements(),
        }
    }

    /// Drafts it and adds its pieces to what is there; a block drafted again takes the place of the first.
    ///
    /// # Errors
    /// A measurement is missing, or the measurements can't be drafted together.
    pub fn draft(self, body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
        match self {
            Self::Bodice => bodice::draft(body, settings, before),
            Self::Skirt => skirt::draft(body, settings, before),
            Self::Sleeve => self.each_side(body, before, |body, before| sleeve::draft(body, settings, before)),
            Self::Collar => collar::draft(body, settings, before),
            Self::Facing => self.each_side(body, before, |_, before| facing::draft(settings, before)),
            Self::OverSleeve => self.each_side(body, before, |body, before| over_sleeve::draft(body, settings, before)),
            Self::Circle => circle::draft(body, settings, before),
            Self::Panel => panel::draft(body, settings, before),
        }
    }

    /// Drafts it once, or for left and right where the sides of the body or of the bodice differ.
    fn each_side(
        self,
        body: &Body,
        before: &Draft,
        draft: impl Fn(&Body, &Draft) -> Result<Draft, DraftError>,
    ) -> Result<Draft, DraftError> {
        sides::each(body, self.measurements(), before, &draft).unwrap_or_else(|| draft(body, before))
    }
}
