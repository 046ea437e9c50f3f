//! Full build of the demo, and a rebuild after its last work changed.

use criterion::{Criterion, criterion_group, criterion_main};
use draft_core::alteration::Finish;
use draft_core::shaping::{Grip, Held};
use draft_core::{Alteration, Block, Body, Builder, Garment, Length, Role, Settings, Work};
use kurbo::Vec2;
use std::hint::black_box;

const DEMO: &str = include_str!("../../assets/demo/garment.ron");
const GOWN: &str = include_str!("../../assets/designs/the_weathervane.ron");

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

/// What one frame of a drag takes: the work that it is, whether it can be done, and the garment built with it.
fn drag(c: &mut Criterion) {
    let Ok(garment) = Garment::from_text(DEMO) else { return };
    let built = garment.build();
    let grips = [
        ("a handle of the neckline", "front", Grip::Handle { edge: "neckline".into(), nth: 0 }, false),
        ("both sides of the side seam", "back", Grip::Handle { edge: "side seam".into(), nth: 1 }, true),
        ("the mouth of the bust dart", "front", Grip::Mouth("bust dart".into()), false),
        ("the flare of a gore", "gore", Grip::Flare { edge: "right seam".into() }, false),
    ];
    for (name, piece, grip, both) in grips {
        let Some(held) = Held::take(&garment.works, &built, &piece.into(), &grip) else { continue };
        let mut builder = Builder::default();
        builder.build(&garment);
        let mut frame = 0;
        c.bench_function(&format!("drag: a frame of {name}"), |b| {
            b.iter(|| {
                frame = (frame + 1) % 20;
                let by = Vec2::new(1.0 + f64::from(frame), -30.0 - f64::from(frame));
                let Some(reworked) = held.dragged(by, both).filter(|r| held.refusal(r).is_none()) else { return };
                let mut shown = garment.clone();
                shown.works.push(Work::Alter(Box::new(reworked.alteration)).into());
                black_box(builder.build(&shown));
            });
        });
    }
}

/// A gown with twenty alterations, built whole and after the last of them changed.
fn gown(c: &mut Criterion) {
    let Ok(mut gown) = Garment::from_text(GOWN) else { return };
    // Each hem and waist finished on its own, until there are twenty.
    let pieces = gown.build();
    let edges = pieces.draft.pieces.iter().flat_map(|p| p.edges().iter().map(move |e| (p.name().clone(), e.name.clone(), e.role)));
    let loose: Vec<_> = edges.filter(|(_, _, role)| *role == Role::Hem || *role == Role::Seam).collect();
    let mut more = loose.into_iter();
    while gown.works.iter().filter(|e| e.work.block().is_none()).count() < 20 {
        let Some((piece, edge, _)) = more.next() else { break };
        let finish = Finish { piece, edge, role: None, allowance: Some(Length::from_mm(12.0)) };
        gown.works.push(Work::Alter(Box::new(Alteration::Finish(finish))).into());
    }
    c.bench_function("gown: full build with twenty alterations", |b| b.iter(|| black_box(&gown).build()));
    let mut other = gown.clone();
    if let Some(last) = other.works.last_mut() {
        last.on = false;
    }
    let mut builder = Builder::default();
    let mut flip = false;
    c.bench_function("gown: rebuild after the last of twenty alterations changed", |b| {
        b.iter(|| {
            flip = !flip;
            builder.build(black_box(if flip { &gown } else { &other }))
        });
    });
}

criterion_group!(benches, build, drag, gown);
criterion_main!(benches);
