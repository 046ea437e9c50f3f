//! Writes `draft-core/src/estimate/table.rs` from the survey's people in `tests/data`.
//!
//! `cargo run -p tests --bin survey-table`
#![allow(clippy::unwrap_used, reason = "a tool of ours on files of ours")]

use std::collections::HashMap;
use std::fmt::Write as _;
use std::path::Path;

/// Measurement variant, and how it is read from a person's row in centimetres or degrees.
type Column = (&'static str, fn(&dyn Fn(&str) -> f64) -> f64);

const COLUMNS: &[Column] = &[
    ("Stature", |f| f("stature_m")),
    ("BustGirth", |f| f("BG_m")),
    ("UpperChestGirth", |f| f("HB_d")),
    ("UnderbustGirth", |f| f("UB_d")),
    ("WaistGirth", |f| f("WG_d")),
    ("HipGirth", |f| f("HG_m")),
    ("NeckGirth", |f| f("neck_girth")),
    ("NeckBaseGirth", |f| f("NB_m")),
    ("UpperArmGirth", |f| f("arm_d")),
    ("ElbowGirth", |f| f("elbow_d")),
    ("WristGirth", |f| f("wrist_m")),
    ("HandGirth", |f| f("hand_m")),
    ("ThighGirth", |f| f("thigh_girth")),
    ("ShoulderLength", |f| f("SL_m")),
    ("ShoulderSlope", |f| f("slope_d")),
    ("AcrossBackWidth", |f| f("XB_d")),
    ("AcrossChestWidth", |f| f("XC_d")),
    ("BustPointDistance", |f| f("BB_d")),
    ("BackWaistLength", |f| f("NW_d")),
    ("FrontWaistLength", |f| f("FW_d")),
    ("FrontNeckToWaist", |f| f("CFW_d")),
    ("NeckToBustPoint", |f| f("NBP_d")),
    ("ScyeDepth", |f| f("SD_d")),
    ("UnderarmToWaist", |f| f("UA_d")),
    ("ArmLength", |f| f("arm_len_d")),
    ("UpperArmLength", |f| f("sho_elb_m")),
    ("HandLength", |f| f("hand_length")),
    ("MiddleFingerLength", |f| f("middle_finger_length_derived")),
    ("WaistToHip", |f| f("w2h_d")),
    // The body form puts the natural waist 0.40 of the way from the navel up to the tenth rib.
    ("WaistHeight", natural_waist),
    ("WaistToKnee", |f| natural_waist(f) - f("knee_height")),
    ("CrotchHeight", |f| f("crotch_height")),
    ("BodyRise", |f| natural_waist(f) - f("crotch_height")),
];

fn natural_waist(f: &dyn Fn(&str) -> f64) -> f64 {
    f("waist_height_navel") + 0.40 * (f("tenth_rib_height") - f("waist_height_navel"))
}

fn rows(data: &Path, file: &str) -> Vec<HashMap<String, String>> {
    let mut reader = csv::Reader::from_path(data.join(file)).unwrap();
    let header: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    reader.records().map(|r| header.iter().cloned().zip(r.unwrap().iter().map(str::to_owned)).collect()).collect()
}

fn main() {
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("data");
    let mut survey: HashMap<String, HashMap<String, String>> = HashMap::new();
    for file in ["bodies_ansur2_women.csv", "bodies_ansur2_men.csv"] {
        for row in rows(&data, file) {
            survey.insert(row["subject_id"].clone(), row);
        }
    }
    let mut people: [Vec<Vec<f64>>; 3] = Default::default();
    for mut row in rows(&data, "bodies_complete.csv") {
        let Some(other) = survey.get(&row["subject_id"]) else { continue };
        for (key, value) in other {
            row.entry(key.clone()).or_insert_with(|| value.clone());
        }
        let read = |key: &str| row[key].parse::<f64>().unwrap_or(f64::NAN);
        let person: Vec<f64> =
            COLUMNS.iter().map(|(name, column)| column(&read) * if *name == "ShoulderSlope" { 1.0 } else { 10.0 }).collect();
        if person.iter().all(|v| v.is_finite()) {
            people[if row["sex"] == "female" { 0 } else { 1 }].push(person.clone());
            people[2].push(person);
        }
    }
    let n = COLUMNS.len();
    let mut out = String::from(
        "//! Means and covariances of the survey's people: women, men, everyone; millimetres and degrees.\n//!\n\
         //! Written by `cargo run -p tests --bin survey-table`; not to be edited by hand.\n\n\
         use crate::Measurement::{self, *};\n\n",
    );
    let names: Vec<_> = COLUMNS.iter().map(|c| c.0).collect();
    writeln!(out, "/// The measurements that the survey knows.\npub const KNOWN: [Measurement; {n}] = [{}];\n", names.join(", ")).unwrap();
    let mut means = Vec::new();
    let mut covariances = Vec::new();
    for group in &people {
        let count = group.len() as f64;
        let mean: Vec<f64> = (0..n).map(|i| group.iter().map(|p| p[i]).sum::<f64>() / count).collect();
        let mut lower = Vec::new();
        for i in 0..n {
            for j in 0..=i {
                lower.push(group.iter().map(|p| (p[i] - mean[i]) * (p[j] - mean[j])).sum::<f64>() / (count - 1.0));
            }
        }
        eprintln!("{count} people");
        means.push(mean);
        covariances.push(lower);
    }
    let line = |v: &[f64], digits: usize| format!("    [{}],\n", v.iter().map(|x| format!("{x:.digits$}")).collect::<Vec<_>>().join(", "));
    writeln!(out, "pub const MEAN: [[f64; {n}]; 3] = [\n{}];\n", means.iter().map(|m| line(m, 2)).collect::<String>()).unwrap();
    let lower = n * (n + 1) / 2;
    writeln!(
        out,
        "/// Lower triangles, row by row.\npub const COVARIANCE: [[f64; {lower}]; 3] = [\n{}];",
        covariances.iter().map(|c| line(c, 3)).collect::<String>()
    )
    .unwrap();
    std::fs::write(Path::new(env!("CARGO_MANIFEST_DIR")).join("../draft-core/src/estimate/table.rs"), out).unwrap();
}
