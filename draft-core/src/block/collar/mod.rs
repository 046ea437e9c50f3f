//! Collars, drafted to the neckline as it is: a stand, or a flat collar laid over the joined shoulders; whole, or
//! split at the centre back for a zip.

mod flat;
mod leaf;
mod stand;

use self::leaf::Leaf;
use super::bodice_half::{Half, half};
use crate::draft::{Corner, Promise};
use crate::{Body, Draft, DraftError, EdgeRun, Grade, Level, Measurement, Message, Name, Piece, Seam, Setting, Settings, Span, geometry};

const KIND: Setting =
    Setting::choice("kind", "Kind", "A stand round the neck, or a flat collar that lies on the shoulders.", &["stand", "flat"]);
const CENTRE_BACK: Setting = Setting::choice(
    "centre-back",
    "Centre back",
    "Whole on the fold, or split for a zip; as the bodice is there, if not said otherwise.",
    &["as the bodice", "whole", "split"],
);
const FRONT_EDGE: Setting = Setting::choice(
    "front-edge",
    "Front edge",
    "How the ends are shaped at the centre front; on the fold for a collar that is split at the back.",
    &["square", "rounded", "fold"],
);
const ROUNDING: Setting =
    Setting::length("rounding", "Rounding", "How far a rounded front edge is rounded from its corner.", 25.0, 2.0, 150.0);
const HEIGHT: Setting = Setting::length("height", "Height of the stand", "Finished, at the centre back.", 35.0, 10.0, 120.0);
const TOP_FROM: Setting = Setting::choice(
    "top-from",
    "Top edge taken from",
    "The wearer's neck at the height of the collar, or a length by which the top is shorter than the neck edge.",
    &["neck", "length"],
);
const TOP_EASE: Setting =
    Setting::length("top-ease", "Ease at the top", "Added to the girth of the neck at the top of the stand.", 20.0, 0.0, 200.0);
const TOP_SHORTER: Setting = Setting::length(
    "top-shorter",
    "Top shorter than the neck edge",
    "All round, where the top is not taken from the neck: nought is a straight strip, less than nought stands away.",
    0.0,
    -200.0,
    200.0,
);
const WIDTH: Setting = Setting::length("width", "Width of the flat collar", "Finished, all round.", 65.0, 20.0, 300.0);
const OVERLAP: Setting = Setting::length(
    "overlap",
    "Shoulder overlap",
    "How far the shoulder points overlap while the flat collar is traced: none lies dead flat, 13 mm rolls a little, more stands up.",
    13.0,
    0.0,
    60.0,
);
const STRETCH: Setting = Setting::length(
    "stretch",
    "Neck edge cut short",
    "By how much each half of a flat collar is shorter, to be stretched on.",
    3.0,
    0.0,
    15.0,
);
const TURN: Setting = Setting::length(
    "turn-of-cloth",
    "Turn of cloth",
    "By how much the under collar is smaller, so that the seam rolls under; more for velvet.",
    1.5,
    0.0,
    6.0,
);
const ZIP_GAP: Setting =
    Setting::length("zip-gap", "Gap at the zip", "How far each half stops before the centre back, for the teeth.", 2.0, 0.0, 15.0);
const NECK_ALLOWANCE: Setting = Setting::length("neck-allowance", "Neck allowance", "The same as at the neckline.", 10.0, 0.0, 50.0);
const EDGE_ALLOWANCE: Setting = Setting::length("edge-allowance", "Edge allowance", "On the enclosed edges.", 6.0, 0.0, 50.0);
const BACK_ALLOWANCE: Setting = Setting::length(
    "back-allowance",
    "Centre back allowance",
    "Where the collar is split; the same as the bodice has there.",
    20.0,
    0.0,
    60.0,
);

/// The settings of the collar.
pub const SETTINGS: &[&Setting] = &[
    &KIND,
    &CENTRE_BACK,
    &FRONT_EDGE,
    &ROUNDING,
    &HEIGHT,
    &TOP_FROM,
    &TOP_EASE,
    &TOP_SHORTER,
    &WIDTH,
    &OVERLAP,
    &STRETCH,
    &TURN,
    &ZIP_GAP,
    &NECK_ALLOWANCE,
    &EDGE_ALLOWANCE,
    &BACK_ALLOWANCE,
];

/// Name of the upper collar.
pub const COLLAR: &str = "collar";
/// Name of the under collar, smaller by the turn of cloth.
pub const UNDER: &str = "under collar";

/// A flat collar or a stand higher than this meets the chin of most wearers, millimetres; common practice.
const MEETS_THE_CHIN_MM: f64 = 50.0;
/// Room in which two fingers pass flat between neck and collar: their thickness, counted in the girth; common practice.
const TWO_FINGERS_MM: f64 = 20.0;
/// Up to this stature EN 14682 (from memory: children up to seven years, 134 cm) allows no cord at the neck.
const SMALL_CHILD_MM: f64 = 1340.0;

/// The neckline of the bodice, and what the maker chose about the collar's ends.
struct Neck<'a> {
    back: Half<'a>,
    front: Half<'a>,
    back_mm: f64,
    front_mm: f64,
    split: bool,
    fold_front: bool,
    /// Each half stops this far before the centre back.
    gap: f64,
}

fn neck<'a>(before: &'a Draft, settings: &Settings) -> Result<Neck<'a>, DraftError> {
    let back = half(before, "back", "shoulder", "collar")?;
    let front = half(before, "front", "shoulder", "collar")?;
    let (back_mm, front_mm) = (geometry::length(&back.edge("neckline")?), geometry::length(&front.edge("neckline")?));
    let split = match settings.word(&CENTRE_BACK) {
        "split" => true,
        "whole" => false,
        _ => back.opening().0,
    };
    let fold_front = settings.word(&FRONT_EDGE) == "fold";
    if fold_front && !split {
        return Err(DraftError::new(
            "collar",
            "it is on the fold at the centre back and at the centre front, so it can't be opened",
            "Split it at the centre back, or choose a square or rounded front edge.",
        ));
    }
    Ok(Neck { back, front, back_mm, front_mm, split, fold_front, gap: if split { settings.value(&ZIP_GAP) } else { 0.0 } })
}

/// Drafts the collar.
///
/// # Errors
/// There is no neckline, the girth of the neck is missing, or such a collar can't be drawn round it.
pub fn draft(body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    let neck = neck(before, settings)?;
    let flat = settings.word(&KIND) == "flat";
    let stretch = if flat { settings.value(&STRETCH) } else { 0.0 };
    let turn = settings.value(&TURN);
    let mut draft = without_collar(before);
    let (upper, under, shoulder_notch) = if flat {
        let drawn = flat::draw(&neck, settings)?;
        (drawn.upper, drawn.under, drawn.to_shoulder)
    } else {
        let stand = stand::size(&neck, body, settings)?;
        if let Some(message) = &stand.limited {
            draft.messages.push(message.clone());
        }
        let square_front = settings.word(&FRONT_EDGE) == "square";
        if square_front || neck.fold_front {
            draft.levels.extend(stand.level());
        }
        draft.promises.extend(stand.promises(square_front));
        (stand.leaf(0.0), stand.leaf(turn), neck.back_mm - neck.gap)
    };
    let style = leaf::Style {
        outer_edge: if flat { "outer edge" } else { "top edge" },
        split: neck.split,
        fold_front: neck.fold_front,
        rounding: (settings.word(&FRONT_EDGE) == "rounded").then(|| settings.value(&ROUNDING)),
        neck_mm: settings.value(&NECK_ALLOWANCE),
        edge_mm: settings.value(&EDGE_ALLOWANCE),
        back_mm: settings.value(&BACK_ALLOWANCE),
        shoulder_notch,
    };
    let too_wide = |piece: &Piece| {
        piece.crossing().map(|_| {
            DraftError::new(
                "collar",
                "its edges cross where the neckline bends",
                "Make it narrower, or draw the neckline with gentler bends.",
            )
        })
    };
    let cut_back = if neck.fold_front { 0.0 } else { turn };
    let (upper, under) = (upper.piece(COLLAR, &style, 0.0)?, under.piece(UNDER, &style, cut_back)?);
    for piece in [&upper, &under] {
        if let Some(error) = too_wide(piece) {
            return Err(error);
        }
    }
    seams(&mut draft, &neck, &upper, &under, &style, stretch);
    corners(&mut draft, &style, flat);
    messages(&mut draft, &neck, body, settings, flat);
    draft.put(upper);
    draft.put(under);
    Ok(draft)
}

fn without_collar(before: &Draft) -> Draft {
    let mut draft = before.clone();
    let own = |name: &Name| *name == COLLAR || *name == UNDER;
    draft.pieces.retain(|p| !own(p.name()));
    draft.seams.retain(|s| !s.a.iter().chain(&s.b).any(|r| own(&r.piece)));
    draft.levels.retain(|l| l.name != "collar top");
    draft.promises.retain(|p| !p.what.starts_with("collar:"));
    draft.corners.retain(|c| !c.what.starts_with("collar:"));
    draft.messages.retain(|m| m.place != COLLAR);
    draft
}

fn seams(draft: &mut Draft, neck: &Neck<'_>, upper: &Piece, under: &Piece, style: &leaf::Style, stretch: f64) {
    let neckline =
        vec![EdgeRun::new(neck.back.centre.name().clone(), "neckline"), EdgeRun::new(neck.front.centre.name().clone(), "neckline")];
    let asked = neck.back_mm + neck.front_mm - neck.gap - stretch;
    draft.seams.push(Seam { a: neckline, b: vec![EdgeRun::new(COLLAR, "neck edge")], ease_mm: neck.gap + stretch });
    draft.seams.push(Seam::plain(EdgeRun::new(COLLAR, "neck edge"), EdgeRun::new(UNDER, "neck edge")));
    let mut round = vec![style.outer_edge];
    if !style.fold_front {
        round.push("front edge");
    }
    let side = |piece: &Piece| round.iter().map(|e| EdgeRun::new(piece.name().clone(), *e)).collect::<Vec<_>>();
    let long = |piece: &Piece| round.iter().filter_map(|e| piece.edge_length_mm(e)).sum::<f64>();
    // The upper collar is larger by the turn of cloth and eased to the under one.
    draft.seams.push(Seam { a: side(upper), b: side(under), ease_mm: long(upper) - long(under) });
    draft.promises.push(Promise {
        what: "collar: neck edge against the neckline".into(),
        asked_mm: asked,
        spans: vec![Span::Edge(EdgeRun::new(COLLAR, "neck edge"))],
    });
}

fn corners(draft: &mut Draft, style: &leaf::Style, flat: bool) {
    let mut square = |first: &str, second: &str| {
        // The outline of a stand runs from the front to the back along the neck edge.
        let (arriving, leaving) = if flat { (first, second) } else { (second, first) };
        draft.corners.push(Corner {
            what: format!("collar: {first} at the {second}"),
            of: vec![(COLLAR.into(), arriving.into(), leaving.into())],
            degrees: 90.0,
            within: 0.5,
        });
    };
    square(style.outer_edge, "centre back");
    let front = if style.fold_front { "centre front" } else { "front edge" };
    if !flat {
        square("centre back", "neck edge");
        square("neck edge", front);
    }
    if style.rounding.is_none() && (!flat || style.fold_front) {
        square(front, style.outer_edge);
    }
}

fn messages(draft: &mut Draft, neck: &Neck<'_>, body: &Body, settings: &Settings, flat: bool) {
    let mut say = |grade, problem: String, remedy: &str| {
        draft.messages.push(Message::new(grade, COLLAR, problem, remedy).about(&[Measurement::NeckBaseGirth]));
    };
    if neck.back.opening().0 && !neck.split {
        say(
            Grade::Warning,
            "the bodice opens at the centre back, and the collar is whole there".into(),
            "Choose \"split\" at \"Centre back\", or let the bodice open at the centre front.",
        );
    }
    let times = if neck.split && !neck.fold_front { "twice, as a pair" } else { "once, on the fold" };
    say(
        Grade::Note,
        format!("cut the collar and the under collar from the outer cloth, and the interfacing from the collar, each {times}"),
        "Interface the layer that shows most; leave the interfacing out of the allowances.",
    );
    if neck.split {
        say(
            Grade::Caution,
            "a zip reaches up to the neck".into(),
            "Sew a guard of soft cloth behind the zip, at least 2 cm wide, so that it takes in neither skin nor hair, and match the notches so that both halves end at one height.",
        );
    }
    if !flat {
        let height = settings.value(&HEIGHT);
        if height > MEETS_THE_CHIN_MM {
            say(
                Grade::Caution,
                format!("the collar is {} high", body.unit().rough(height)),
                "See in the muslin that the wearer can bow the head and turn it, and that chin and jaw stay free.",
            );
        }
        if settings.word(&TOP_FROM) == "length" || settings.value(&TOP_EASE) < TWO_FINGERS_MM {
            say(
                Grade::Caution,
                "the collar may sit close round the neck".into(),
                "See in the muslin that two fingers pass flat between neck and closed collar, also while singing or swallowing.",
            );
        }
    }
    if body.get(Measurement::Stature).is_some_and(|s| s <= SMALL_CHILD_MM) {
        say(
            Grade::Caution,
            "the collar is for a child".into(),
            "Close it with a zip, press studs or a flat button: no cord, ribbon or elastic that can tighten round the neck, and nothing that hangs from it.",
        );
    }
}

/// The girth that is promised at the top of a stand.
fn top_level(body_mm: f64, finished_mm: f64) -> Level {
    Level {
        name: "collar top",
        body_mm,
        ease_mm: finished_mm - body_mm,
        spans: vec![Span::Edge(EdgeRun::new(COLLAR, "top edge").times(2.0))],
    }
}
