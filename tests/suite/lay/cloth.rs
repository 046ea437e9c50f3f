//! Cloths and stacks in the garment's file, and the outlines that layers change.

use draft_core::cloth::{Bolt, Cloth, ClothKind, Finish, Flaw, Layer, Price, SaleUnit, Spread, Stack, Strip, cuts};
use draft_core::lay::area_mm2;
use draft_core::{Garment, Length};

fn demo() -> Garment {
    let mut garment = basteline::demo::read().unwrap().2;
    garment.cloths.clear();
    garment.stacks.clear();
    garment
}

fn mm(x: f64) -> Length {
    Length::from_mm(x)
}

#[test]
fn cloths_and_stacks_go_through_the_file_unchanged_and_old_files_still_read() {
    let old = demo();
    assert!(!old.to_text().contains("cloths"), "nothing is added to a garment that has none");
    assert_eq!(Garment::from_text(&old.to_text()).unwrap(), old);
    let mut garment = old;
    garment.cloths = vec![
        Cloth {
            name: "copper taffeta".into(),
            width: Length::from_inches(45.0),
            one_way: true,
            spread: Spread::Folded,
            shrinks_warp: 3.5,
            take_up_across: 1.25,
            repeat: mm(320.0),
            price: Some(Price { amount: 18.5, currency: "€".into(), per_yard: true }),
            sold_by: SaleUnit::EighthYard,
            grams_m2: Some(95.0),
            cupboard: vec![Bolt {
                length: mm(2100.0),
                width: Some(mm(1100.0)),
                flaws: vec![Flaw { from_end: mm(300.0), from_selvedge: mm(50.0), long: mm(40.0), wide: mm(25.0) }],
                note: "left from the Gull".into(),
            }],
            swatch: "taffeta.jpg".into(),
            ..Cloth::default()
        },
        Cloth { name: "lawn".into(), kind: ClothKind::Lining, ..Cloth::default() },
    ];
    let lining = Layer {
        cloth: "lawn".into(),
        count: Some(1),
        allowance: Some(mm(12.0)),
        finish: Finish::French,
        hem_shorter: mm(20.0),
        cut_away: vec![Strip { edge: "neckline".into(), by: mm(60.0) }],
        raw: vec!["waist".into()],
        importance: 3,
        ..Layer::default()
    };
    garment.stacks = vec![Stack { piece: "front".into(), layers: vec![Layer::of("copper taffeta"), lining] }];
    assert_eq!(Garment::from_text(&garment.to_text()).unwrap(), garment);
}

#[test]
fn what_no_cloth_has_is_refused_with_its_place() {
    let refused = |change: &dyn Fn(&mut Garment)| {
        let mut garment = demo();
        garment.cloths = vec![Cloth { name: "satin".into(), ..Cloth::default() }];
        garment.stacks = vec![Stack { piece: "front".into(), layers: vec![Layer::of("satin")] }];
        change(&mut garment);
        let error = Garment::from_text(&garment.to_text()).unwrap_err();
        assert!(error.line > 1 && !error.remedy.is_empty(), "{error}");
        error.problem
    };
    assert!(refused(&|g| g.cloths[0].width = mm(-5.0)).contains("satin"));
    assert!(refused(&|g| g.cloths[0].selvedge = mm(800.0)).contains("selvedges"));
    assert!(refused(&|g| g.cloths[0].shrinks_weft = 100.0).contains("shrinks"));
    assert!(refused(&|g| g.cloths[0].take_up_along = 0.0).contains("takes up"));
    assert!(refused(&|g| g.cloths[0].spare = f64::NAN).contains("spare"));
    assert!(refused(&|g| g.cloths.push(g.cloths[0].clone())).contains("another cloth"));
    assert!(refused(&|g| g.stacks[0].layers[0].cloth = "velvet".into()).contains("velvet"));
    assert!(refused(&|g| g.stacks.push(g.stacks[0].clone())).contains("two lists"));
    let unknown = demo().to_text().replace("works:", "colour: \"red\",\nworks:");
    assert!(Garment::from_text(&unknown).unwrap_err().problem.contains("colour"));
}

#[test]
fn a_layer_changes_the_outline_by_what_it_says() {
    let mut garment = demo();
    let built = garment.build();
    garment.cloths = vec![Cloth { name: "satin".into(), ..Cloth::default() }, Cloth { name: "lawn".into(), ..Cloth::default() }];
    let gore = built.draft.piece("gore").unwrap();
    let hem = gore.edge_length_mm("hem").unwrap();
    let hem_mm = gore.edge("hem").unwrap().allowance_mm;
    let area_of = |layer: Layer| {
        let mut garment = garment.clone();
        garment.stacks = vec![Stack { piece: "gore".into(), layers: vec![Layer::of("satin"), layer] }];
        let (cuts, messages) = cuts(&garment, &built);
        assert!(messages.is_empty(), "{messages:?}");
        let of = |cloth: &str| {
            let cut = cuts.iter().find(|c| c.piece == "gore" && c.layer.cloth == cloth).unwrap();
            area_mm2(&cut.outline)
        };
        (of("satin"), of("lawn"))
    };
    let layer = Layer::of("lawn");
    let (whole, same) = area_of(layer.clone());
    assert_eq!(whole, same);
    // Shorter within the hem's allowance, and beyond it: a strip as long as the hem and its side allowances.
    for shorter in [hem_mm / 2.0, hem_mm + 25.0] {
        let (_, less) = area_of(Layer { hem_shorter: mm(shorter), ..layer.clone() });
        let strip = (whole - less) / shorter;
        assert!(strip > hem && strip < hem + 50.0, "{shorter}: a strip {strip} long along a hem of {hem}");
    }
    let (_, raw) = area_of(Layer { raw: vec!["hem".into()], ..layer.clone() });
    assert!(((whole - raw) / hem_mm - hem).abs() < 50.0);
    // Every allowance 5 mm wider adds about 5 mm all round but the hem.
    let (_, wide) = area_of(Layer { allowance: Some(mm(20.0)), ..layer.clone() });
    assert!(wide > whole);
    garment.stacks = vec![Stack { piece: "gore".into(), layers: vec![Layer { raw: vec!["brim".into()], ..layer }] }];
    let (_, messages) = cuts(&garment, &built);
    assert!(messages[0].problem.contains("brim") && messages[0].remedy.contains("hem"), "{messages:?}");
}

#[test]
fn one_change_to_a_piece_moves_all_its_layers_and_the_toile() {
    let mut garment = demo();
    garment.cloths = ["satin", "lawn", "calico"].map(|name| Cloth { name: name.into(), ..Cloth::default() }).to_vec();
    garment.cloths[2].kind = ClothKind::Toile;
    garment.stacks = vec![Stack { piece: "gore".into(), layers: vec![Layer::of("satin"), Layer::of("lawn")] }];
    let areas = |garment: &Garment| -> Vec<f64> {
        let (cuts, _) = cuts(garment, &garment.build());
        cuts.iter().filter(|c| c.piece == "gore").map(|c| area_mm2(&c.outline)).collect()
    };
    let before = areas(&garment);
    assert_eq!(before.len(), 3);
    garment.wearer.set(draft_core::Measurement::OutsideLeg, draft_core::Take::new("110", draft_core::Unit::Cm));
    let after = areas(&garment);
    assert!(before.iter().zip(&after).all(|(a, b)| b > a), "{before:?} {after:?}");
}
