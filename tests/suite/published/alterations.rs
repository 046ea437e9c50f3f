//! What handbooks say of alterations, done with ours. Where a rule is from the trade and not from a book it says so.

use draft_core::alteration::*;
use draft_core::{Along, Alteration, Built, Draft, DrawnLine, Garment, Length, Place, Role, Work, WorkEntry};

use crate::bodies::{complete, garment};

const INCH: f64 = 25.4;

fn drafted(choices: &[(&str, &str, &str)]) -> Garment {
    garment(complete()[7].card(), choices)
}

fn with(mut garment: Garment, alteration: Alteration) -> Built {
    garment.works.push(WorkEntry::from(Work::Alter(Box::new(alteration))));
    let built = garment.build();
    let last = built.outcomes.last().unwrap();
    assert!(last.skipped.is_none(), "{}: {}", last.what, last.skipped.as_ref().unwrap());
    built
}

fn edge(draft: &Draft, piece: &str, edge: &str) -> f64 {
    draft.piece(piece).unwrap().edge_length_mm(edge).unwrap()
}

fn side(piece: &str, edge: &str) -> Side {
    Side { piece: piece.into(), edge: edge.into() }
}

/// Taken in (or let out, below nought) evenly at one end, running out at the other.
fn at_the_end(sides: Vec<Side>, from: &str, by: f64) -> Alteration {
    let amounts =
        vec![Amount { at: Along::Share(0.0), by: Length::from_mm(by) }, Amount { at: Along::Share(1.0), by: Length::from_mm(0.0) }];
    Alteration::TakeIn(TakeIn { sides, from: from.into(), amounts, straight: true })
}

/// Source: K. Fasanella, fashion-incubator.com, on what a one-inch grade means: 1/4 in on each quarter of the pattern is 1 in in
/// the girth. A side seam let out by 1/4 in on front and back adds 1 in to the waist, within what the waist's slant to
/// the seam costs (the edge moves square to the seam, the waist is cut off at it): 3 %.
#[test]
fn a_quarter_inch_on_each_quarter_is_an_inch_of_girth() {
    let garment = drafted(&[]);
    let waist = |b: &Built| b.girths.iter().find(|g| g.level == "waist").unwrap().finished_mm;
    let before = waist(&garment.build());
    let after = with(garment, at_the_end(vec![side("front", "side seam"), side("back", "side seam")], "waist", -INCH / 4.0));
    let gained = waist(&after) - before;
    assert!((gained - INCH).abs() < 0.03 * INCH, "{gained}");
}

/// Source: I. Rosenfeld, The Practical Designer (1911), lesson 109, size 36 to 38: the side goes out by 3/8 in at the back. The underarm
/// point of our back moves by as much, square to the side seam.
#[test]
fn the_side_of_the_back_goes_out_by_three_eighths() {
    let garment = drafted(&[]);
    let before = garment.build();
    let corner = |b: &Built| b.draft.piece("back").unwrap().edge_ends("side seam").unwrap().0;
    let line = {
        let (a, b) = before.draft.piece("back").unwrap().edge_ends("side seam").unwrap();
        kurbo::Line::new(a, b)
    };
    let after = with(garment, at_the_end(vec![side("back", "side seam"), side("front", "side seam")], "armhole", -INCH * 3.0 / 8.0));
    let moved = corner(&after) - corner(&before);
    let square = moved.cross((line.p1 - line.p0).normalize()).abs();
    assert!((square - INCH * 3.0 / 8.0).abs() < 0.5, "{square}");
}

/// Source: Rosenfeld 1911, lessons 117 to 119: a standing collar grows by 1/4 in at each end, 1/2 in in all. Ours is drafted by halves.
#[test]
fn a_standing_collar_grows_by_a_quarter_inch_at_each_end() {
    let garment = drafted(&[("collar", "kind", "stand")]);
    let before = garment.build();
    let trim = Trim { piece: "collar".into(), edge: "neck edge".into(), at: "front edge".into(), by: Length::from_mm(-INCH / 4.0) };
    let after = with(garment, Alteration::Trim(trim));
    let whole = 2.0 * (edge(&after.draft, "collar", "neck edge") - edge(&before.draft, "collar", "neck edge"));
    assert!((whole - INCH / 2.0).abs() < 0.01, "{whole}");
}

/// Source: Rosenfeld 1911, lesson 156, a child's size 6 to 8: 1/4 in of length. Added at a level it goes into every edge that crosses
/// it and into no other.
#[test]
fn a_quarter_inch_of_length_goes_into_every_edge_that_crosses_the_level() {
    let garment = drafted(&[("bodice", "bust-dart", "shoulder")]);
    let before = garment.build();
    let level = |piece: &str| Level { piece: piece.into(), at: Place::along("side seam", "waist", Length::from_mm(60.0)) };
    let by = INCH / 4.0;
    let after = with(garment, Alteration::Lengthen(Lengthen { levels: vec![level("front"), level("back")], by: Length::from_mm(by) }));
    for piece in ["front", "back"] {
        let gain = |name: &str| edge(&after.draft, piece, name) - edge(&before.draft, piece, name);
        let centre = if piece == "front" { "centre front" } else { "centre back" };
        assert!((gain(centre) - by).abs() < 1e-6, "{piece} {}", gain(centre));
        assert!((gain("side seam") - by).abs() < 0.05 * by, "{piece} {}", gain("side seam"));
        for still in ["neckline", "shoulder", "armhole", "waist"] {
            assert!(gain(still).abs() < 1e-6, "{piece} / {still} {}", gain(still));
        }
    }
}

/// Source: E. A. Bennett, The Perfect Dressmaking System (1914): differences of length are made at the top of a skirt, never at the hem.
/// Lengthened above the hip, the gore keeps its hem to the letter.
#[test]
fn a_skirt_is_corrected_at_the_top_and_keeps_its_hem() {
    let garment = drafted(&[]);
    let before = garment.build();
    let level = Level { piece: "gore".into(), at: Place::along("left seam", "waist", Length::from_mm(60.0)) };
    let after = with(garment, Alteration::Lengthen(Lengthen { levels: vec![level], by: Length::from_mm(INCH / 2.0) }));
    let hem = |b: &Built| b.draft.piece("gore").unwrap().edge_parts("hem").next().unwrap().path.clone();
    let (old, new) = (hem(&before), hem(&after));
    for (a, b) in old.segments().zip(new.segments()) {
        let moved = kurbo::ParamCurve::eval(&b, 0.3) - kurbo::ParamCurve::eval(&a, 0.3);
        assert!((moved.hypot() - INCH / 2.0).abs() < 1e-6);
    }
    assert!((edge(&after.draft, "gore", "hem") - edge(&before.draft, "gore", "hem")).abs() < 1e-6);
}

/// Source: Wikipedia, Seam allowance (read): home sewing allows 5/8 in, by convention 1.5 cm. A cut gives both sides that.
#[test]
fn a_cut_gives_both_sides_the_home_sewers_allowance() {
    let cut = Cut {
        piece: "front".into(),
        line: DrawnLine::straight(
            Place::along("centre front", "neckline", Length::from_mm(60.0)),
            Place::share("armhole", "shoulder", 0.4),
        ),
        seam: "yoke seam".into(),
        new: "yoke".into(),
        with: "neckline".into(),
        allowance: serde_default(),
        sewn: true,
    };
    let after = with(drafted(&[("bodice", "bust-dart", "side")]), Alteration::Cut(cut));
    for piece in ["front", "yoke"] {
        assert!((after.draft.piece(piece).unwrap().edge("yoke seam").unwrap().allowance_mm - 15.0).abs() < 1e-9);
    }
    let walk = after.walks.last().unwrap().unwrap();
    assert!(walk.difference_mm.abs() < 1e-6);
}

/// The allowance that a cut has when a garment file does not say.
fn serde_default() -> Length {
    let text = r#"(piece: "a", line: (through: []), seam: "b", new: "c", with: "d")"#;
    ron::from_str::<Cut>(text).unwrap().allowance
}

/// Source: sewcurvy.com, All about corset making (read): a channel is 2 mm wider than its bone (7 mm bone, 9 mm channel). Common practice: the
/// bone ends 6 to 10 mm short of the finished edges.
#[test]
fn a_channel_is_two_millimetres_wider_and_the_bone_ends_short() {
    let boning: Boning = ron::from_str(r#"(seams: [(piece: "side front", edge: "princess seam")], width: "7 mm")"#).unwrap();
    let after = with(drafted(&[("bodice", "front", "princess")]), Alteration::Boning(boning));
    let seam = edge(&after.draft, "side front", "princess seam");
    let bone = after.draft.notions.iter().find(|n| n.what.starts_with("bone")).unwrap();
    let short = (seam - bone.length_mm.unwrap()) / 2.0;
    assert!((6.0..=10.0).contains(&short), "{short}");
    assert_eq!(bone.count, 2, "left and right");
    assert!(after.draft.notions.iter().any(|n| n.what.contains("9.0 mm")), "{:?}", after.draft.notions);
}

/// Source: mudmosh.com, Sewing tips for seam and hem allowances (read): a seam that carries a zip has 3/4 in. Common practice: a skirt zip is 18
/// to 23 cm. Ours are whole centimetres.
#[test]
fn a_zip_is_carried_by_three_quarters_of_an_inch() {
    let open: OpenSeam = ron::from_str(
        r#"(sides: [(piece: "gore", edge: "left seam"), (piece: "gore", edge: "right seam")], from: "waist", length: "20 cm", name: "zip", kind: zip)"#,
    )
    .unwrap();
    let garment = drafted(&[]);
    let before = garment.build();
    let after = with(garment, Alteration::OpenSeam(open));
    let gore = after.draft.piece("gore").unwrap();
    for name in ["zip", "zip, other side"] {
        let zip = gore.edge(name).unwrap();
        assert!((zip.allowance_mm - 0.75 * INCH).abs() < 1.0 && zip.role == Role::Opening);
        assert!((gore.edge_length_mm(name).unwrap() - 200.0).abs() < 1e-6);
    }
    assert!((edge(&before.draft, "gore", "left seam") - edge(&after.draft, "gore", "left seam") - 200.0).abs() < 1e-6);
    assert_eq!(after.draft.notions.iter().find(|n| n.what == "zip").and_then(|n| n.length_mm), Some(200.0));
}

/// Source: Construction of Clothing, University of Wisconsin digital library, early 20th century (read): a skirt's hem has its depth and 1/4 in to turn
/// in. A hem of 2 in finished so has 2 1/4 in, and the seam line stays where it was.
#[test]
fn a_hem_has_a_quarter_inch_to_turn_in() {
    let garment = drafted(&[]);
    let before = garment.build();
    let finish = Finish { piece: "gore".into(), edge: "hem".into(), role: Some(Role::Hem), allowance: Some(Length::from_mm(2.25 * INCH)) };
    let after = with(garment, Alteration::Finish(finish));
    assert_eq!(before.draft.piece("gore").unwrap().outline(), after.draft.piece("gore").unwrap().outline());
    let reach = |b: &Built| {
        let (gore, cut) = b.pieces().find(|(p, _)| *p.name() == "gore").unwrap();
        kurbo::Shape::bounding_box(cut).y1 - gore.bounds().y1
    };
    assert!((reach(&after) - 2.25 * INCH).abs() < 0.1, "{}", reach(&after));
}

/// Source: Euclid, Elements III and any table of circular functions: the chord of an angle α at radius ρ is 2ρ·sin(α/2), a sector's arc is ρ·α and
/// its area ρ²·α/2. At 60° the chord is the radius (Elements IV.15). A slash and a godet must have them.
#[test]
fn a_slash_is_a_chord_and_a_godet_a_sector() {
    let garment = drafted(&[]);
    let before = garment.build();
    let gore = before.draft.piece("gore").unwrap();
    let slash = Slash { from: Place::share("hem", "left seam", 0.5), to: Place::share("waist", "left seam", 0.5) };
    let radius = slash.from.find(gore).unwrap().distance(slash.to.find(gore).unwrap());
    let spread =
        Spread { piece: "gore".into(), slashes: vec![slash], by: Opening::Degrees(60.0), both_ends: false, straight: true, still: None };
    let after = with(garment.clone(), Alteration::Spread(spread));
    assert!((edge(&after.draft, "gore", "hem") - edge(&before.draft, "gore", "hem") - radius).abs() < 1e-6);

    let godet = Godet {
        sides: vec![side("gore", "left seam"), side("gore", "right seam")],
        from: "hem".into(),
        length: Length::from_mm(400.0),
        width: Length::from_mm(300.0),
        name: "godet".into(),
        allowance: Length::from_mm(15.0),
    };
    let after = with(garment, Alteration::Godet(godet));
    let godet = after.draft.piece("godet").unwrap();
    assert!((godet.edge_length_mm("hem").unwrap() - 300.0).abs() < 0.01);
    assert!((godet.area_mm2() - 400.0 * 300.0 / 2.0).abs() < 1.0, "{}", godet.area_mm2());
    for (seam, walk) in after.draft.seams.iter().zip(&after.walks) {
        assert!(walk.unwrap().difference_mm.abs() < 1e-3, "{:?}", seam.sides());
    }
}

/// Common practice: a knife pleat takes up twice its depth of cloth, so that pleats which meet edge to edge need three times the width. Six pleats of 2 cm
/// on an edge add 24 cm, all of it folded away before the edge is sewn.
#[test]
fn a_pleat_takes_up_twice_its_depth() {
    let garment = drafted(&[("panel", "shape", "gathered rectangle")]);
    let before = garment.build();
    let panel = before.draft.piece("panel").unwrap();
    let top = &panel.edges()[0].name;
    let pleats = Pleats {
        piece: "panel".into(),
        edge: top.clone(),
        from: "left side".into(),
        at: (1..=6).map(|n| Along::Share(f64::from(n) / 7.0)).collect(),
        to: "hem".into(),
        to_from: "left side".into(),
        depth: Length::from_mm(20.0),
        fold: Fold::Knife,
        to_nothing: false,
    };
    let after = with(garment, Alteration::Pleats(pleats));
    assert!((edge(&after.draft, "panel", top.as_str()) - edge(&before.draft, "panel", top.as_str()) - 240.0).abs() < 1e-6);
    assert!((edge(&after.draft, "panel", "hem") - edge(&before.draft, "panel", "hem") - 240.0).abs() < 1e-6);
    for (seam, walk) in after.draft.seams.iter().zip(&after.walks) {
        assert!(walk.unwrap().difference_mm.abs() < 0.5, "{:?}", seam.sides());
    }
}
