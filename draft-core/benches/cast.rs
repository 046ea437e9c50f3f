//! How many wearers a second get bodice, skirt and sleeve, built and checked, no files: over the survey's people, on all
//! cores as `cast` does and on one; and the most laborious skirt.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use draft_core::{Block, Garment, Measurement, Setting, Settings, Survey, Take, Unit, WearerCard, Work};
use rayon::prelude::*;
use std::hint::black_box;

const PEOPLE: &str = include_str!("../../tests/data/bodies_complete.csv");

const COLUMNS: [(&str, Measurement); 24] = {
    use Measurement::*;
    [
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
    ]
};

fn cards() -> Vec<WearerCard> {
    let mut lines = PEOPLE.lines();
    let header: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let cell = |column: &str| header.iter().position(|h| *h == column).and_then(|i| cells.get(i)).copied().unwrap_or_default();
            let survey = if cell("sex") == "female" { Survey::Women } else { Survey::Men };
            let mut card = WearerCard { name: cell("subject_id").to_owned(), survey, ..WearerCard::default() };
            for (column, which) in COLUMNS {
                card.set(which, Take::new(cell(column), Unit::Cm));
            }
            card
        })
        .collect()
}

fn garment(card: WearerCard) -> Garment {
    let mut garment = Garment::new("cast", card);
    for block in [Block::Bodice, Block::Skirt, Block::Sleeve] {
        garment.works.push(Work::Draft { block, settings: Settings::default() }.into());
    }
    garment
}

fn shaped(card: WearerCard) -> Garment {
    let mut settings = Settings::default();
    let of = |key: &str| Block::Skirt.settings().iter().copied().find(|s: &&Setting| s.key == key);
    for (key, text) in [("gores-are", "shaped"), ("gores", "12"), ("train", "60"), ("flare-from", "knee"), ("waist-finish", "shaped band")]
    {
        if let Some(setting) = of(key)
            && let Ok(value) = setting.parse(text, Unit::Cm)
        {
            let _ = settings.set(setting, value);
        }
    }
    let mut garment = Garment::new("shaped skirt", card);
    garment.works.push(Work::Draft { block: Block::Skirt, settings }.into());
    garment
}

fn cast(c: &mut Criterion) {
    let people: Vec<Garment> = cards().into_iter().map(garment).collect();
    let good = people.iter().take(100).filter(|g| g.build().is_ok()).count();
    assert!(people.len() > 3000 && good == 100, "{good} of the first 100 of {} are whole", people.len());
    let mut group = c.benchmark_group("cast");
    group.sample_size(10);
    group.throughput(Throughput::Elements(people.len() as u64));
    group.bench_function("bodice, skirt and sleeve for everybody, all cores", |b| {
        b.iter(|| people.par_iter().filter(|g| g.build().is_ok()).count());
    });
    let some: Vec<&Garment> = people.iter().step_by(10).collect();
    group.throughput(Throughput::Elements(some.len() as u64));
    group.bench_function("bodice, skirt and sleeve for a tenth, one core", |b| {
        b.iter(|| some.iter().filter(|g| g.build().is_ok()).count());
    });
    group.finish();
    let skirts: Vec<Garment> = cards().into_iter().step_by(300).map(shaped).collect();
    let mut next = 0;
    c.bench_function("a trumpet of twelve shaped gores with a train and a shaped band", |b| {
        b.iter(|| {
            next = (next + 1) % skirts.len();
            black_box(&skirts[next]).build()
        });
    });
}

criterion_group!(benches, cast);
criterion_main!(benches);
