//! The demo on A4: placed on its sheet, divided into pages, written.

use criterion::{Criterion, criterion_group, criterion_main};
use draft_core::Garment;
use std::hint::black_box;
use tiled_print::{Sheet, Tiling, pdf, svg};

const DEMO: &str = include_str!("../../assets/demo/garment.ron");

fn print(c: &mut Criterion) {
    let Ok(garment) = Garment::from_text(DEMO) else { return };
    let built = garment.build();
    let Ok(sheet) = Sheet::of(&garment, &built) else { return };
    c.bench_function("demo: sheet", |b| b.iter(|| Sheet::of(black_box(&garment), &built)));
    c.bench_function("demo: pages of the sheet", |b| b.iter(|| Tiling::of(black_box(&sheet), &garment.print)));
    c.bench_function("demo: A4 PDF", |b| {
        b.iter(|| {
            let sheet = Sheet::of(black_box(&garment), &built)?;
            let tiling = Tiling::of(&sheet, &garment.print)?;
            pdf::pages(&sheet, &tiling)
        });
    });
    c.bench_function("demo: SVG of the sheet", |b| b.iter(|| svg::write(black_box(&sheet))));
}

criterion_group!(benches, print);
criterion_main!(benches);
