//! Real people from the survey, as wearer cards, and garments with all three blocks.

use std::path::{Path, PathBuf};

use draft_core::{Block, Garment, Measurement, Setting, Settings, Survey, Take, Unit, WearerCard, Work};

/// A file of `tests/data`.
pub fn data(file: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(file)
}

/// A person and what was measured of them, in centimetres and degrees.
#[derive(Clone, Debug)]
pub struct Person {
    /// Number or name in the file.
    pub name: String,
    /// Whose estimates hold for them.
    pub survey: Survey,
    /// Each with its number.
    pub values: Vec<(Measurement, f64)>,
}

impl Person {
    /// The wearer card, typed in centimetres.
    pub fn card(&self) -> WearerCard {
        let mut card = WearerCard { name: self.name.clone(), survey: self.survey, ..WearerCard::default() };
        for (which, value) in &self.values {
            card.set(*which, Take::new(value.to_string(), Unit::Cm));
        }
        card
    }
}

fn read(file: &str, name: &str, sex: &str, columns: &[(&str, Measurement)]) -> Vec<Person> {
    let mut reader = csv::Reader::from_path(data(file)).unwrap();
    let header = reader.headers().unwrap().clone();
    let at = |column: &str| header.iter().position(|h| h == column).unwrap_or_else(|| panic!("{file} has no column {column}"));
    let (name, sex) = (at(name), at(sex));
    let columns: Vec<_> = columns.iter().map(|(c, m)| (at(c), *m)).collect();
    reader
        .records()
        .map(|row| {
            let row = row.unwrap();
            Person {
                name: row[name].to_owned(),
                survey: if &row[sex] == "female" { Survey::Women } else { Survey::Men },
                values: columns.iter().map(|(i, m)| (*m, row[*i].parse().unwrap())).collect(),
            }
        })
        .collect()
}

/// Half of the survey's people with a whole measurement set: girths, heights and breadths measured, tape lengths
/// derived from a body form (see the file's `_m` and `_d` columns).
pub fn complete() -> Vec<Person> {
    use Measurement::*;
    read(
        "bodies_complete.csv",
        "subject_id",
        "sex",
        &[
            ("stature_m", Stature),
            ("NB_m", NeckBaseGirth),
            ("SL_m", ShoulderLength),
            ("slope_d", ShoulderSlope),
            ("XB_d", AcrossBackWidth),
            ("XC_d", AcrossChestWidth),
            ("BG_m", BustGirth),
            ("HB_d", UpperChestGirth),
            ("UB_d", UnderbustGirth),
            ("WG_d", WaistGirth),
            ("HG_m", HipGirth),
            ("NW_d", BackWaistLength),
            ("FW_d", FrontWaistLength),
            ("NBP_d", NeckToBustPoint),
            ("BB_d", BustPointDistance),
            ("SD_d", ScyeDepth),
            ("UA_d", UnderarmToWaist),
            ("arm_d", UpperArmGirth),
            ("elbow_d", ElbowGirth),
            ("wrist_m", WristGirth),
            ("hand_m", HandGirth),
            ("w2h_d", WaistToHip),
            ("sho_elb_m", UpperArmLength),
            ("arm_len_d", ArmLength),
        ],
    )
}

/// Columns of the survey that a dressmaker's tape would give too.
const TAPED: &[(&str, Measurement)] = {
    use Measurement::*;
    &[
        ("stature", Stature),
        ("bust_girth", BustGirth),
        ("hip_girth", HipGirth),
        ("neck_girth", NeckGirth),
        ("neck_base_girth", NeckBaseGirth),
        ("shoulder_length", ShoulderLength),
        ("wrist_girth", WristGirth),
        ("hand_girth", HandGirth),
        ("hand_length", HandLength),
        ("middle_finger_length_derived", MiddleFingerLength),
        ("shoulder_elbow_length", UpperArmLength),
        ("arm_length_straight", ArmLength),
        ("crotch_height", CrotchHeight),
        ("thigh_girth", ThighGirth),
    ]
};

/// The seventeen test bodies with only what the survey measured as a dressmaker would: everything else, the natural
/// waist among it, is estimated by the program.
pub fn test_bodies() -> Vec<Person> {
    read("test_bodies.csv", "body", "sex", TAPED)
}

/// Half of the survey's women, then half of its men, with what is measured of the test bodies.
pub fn taped() -> Vec<Person> {
    ["bodies_ansur2_women.csv", "bodies_ansur2_men.csv"].into_iter().flat_map(|f| read(f, "subject_id", "sex", TAPED)).collect()
}

/// A setting of a block by its key.
pub fn setting(block: Block, key: &str) -> &'static Setting {
    block.settings().iter().copied().find(|s| s.key == key).unwrap_or_else(|| panic!("{} has no setting {key}", block.name()))
}

/// Bodice, skirt and sleeve for a card, with settings as `("skirt", "gores", "8")`; and any other block that a setting
/// names.
pub fn garment(card: WearerCard, choices: &[(&str, &str, &str)]) -> Garment {
    let mut garment = Garment::new("test", card);
    let always = [Block::Bodice, Block::Skirt, Block::Sleeve];
    for block in Block::ALL.into_iter().filter(|b| always.contains(b) || choices.iter().any(|c| c.0 == b.name())) {
        let mut settings = Settings::default();
        for (of, key, value) in choices {
            if *of == block.name() {
                let setting = setting(block, key);
                settings.set(setting, setting.parse(value, Unit::Cm).unwrap()).unwrap();
            }
        }
        garment.works.push(Work::Draft { block, settings }.into());
    }
    garment
}
