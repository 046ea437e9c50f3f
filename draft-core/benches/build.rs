//! Full build of the demo, and a rebuild after its last work changed.

use criterion::{Criterion, criterion_group, criterion_main};
use draft_core::{Block, Body, Builder, Garment, Settings, Work};
use std::hint::black_box;

const DEMO: &str = include_str!("../../assets/demo/garment.ron");

fn build(c: &mut Criterion) {
    let Ok(garment) = Garment::from_text(DEMO) else { return };
    c.bench_function("demo: read the file", |b| b.iter(|| Garment::from_text(black_box(DEMO))));
    c.bench_function("demo: full build", |b| b.iter(|| black_box(&garment).build()));
    c.bench_function("demo: read the card, estimate and hold plausible", |b| b.iter(|| Body::of_card(black_box(&garment.wearer))));
    let mut collared = garment.clone();
    for block in [Block::Collar, Block::Facing] {
        collared.works.push(Work::Draft { block, settings: Settings::default() }.into());
    }
    c.bench_function("demo: full build with collar and facings", |b| b.iter(|| black_box(&collared).build()));
    let mut other = garment.clone();
    if let Some(last) = other.works.last_mut() {
        last.on = false;
    }
    let mut builder = Builder::default();
    let mut flip = false;
    c.bench_function("demo: rebuild after the last work changed", |b| {
        b.iter(|| {
            flip = !flip;
            builder.build(black_box(if flip { &garment } else { &other }))
        });
    });
}

criterion_group!(benches, build);
criterion_main!(benches);
