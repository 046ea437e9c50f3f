//! Draped panels: a rectangle gathered to a seam, or a triangle that hangs from it to a point.
//!
//! The rectangle is as wide as the seam times its ratio: about 1.5 for light folds, 2 as a rule, 2.5 to 3 in sheer
//! cloth; common practice, from memory. It is cut from as many cloth widths as it takes.
//!
//! The triangle's seam edge keeps its length while the cloth below is spread for folds: slashed from hem to seam and
//! opened there by an angle in all, the seam edge becomes an arc of that angle.

use std::f64::consts::FRAC_PI_2;

use kurbo::Point;

use super::hem::{self, CLEARANCE, HEEL, HEM, LENGTH};
use super::ring::{arc, on_ring};
use super::waist::{self, WAIST_EASE};
use crate::draft::{Corner, Promise};
use crate::{Body, Draft, DraftError, EdgeRun, Grade, Measurement, Message, Piece, PieceBuilder, Role, Seam, Setting, Settings, Span};

const SHAPE: Setting = Setting::choice(
    "shape",
    "Shape",
    "A rectangle gathered to its seam, or a triangle that hangs to a point.",
    &["gathered rectangle", "triangle"],
);
const SEWN_TO: Setting = Setting::choice(
    "sewn-to",
    "Sewn to",
    "The waist of the bodice drafted before or else the wearer's waist; or a seam of its own length.",
    &["waist", "own length"],
);
const SHARE: Setting =
    Setting::number("share", "Share of the waist", "Which part of the waist it covers: 1 all round, 0.5 one half.", 1.0, 0.05, 1.0);
const SEAM_LENGTH: Setting =
    Setting::length("seam-length", "Length of the seam", "Where it is not sewn to the waist.", 700.0, 50.0, 6000.0);
const RATIO: Setting =
    Setting::number("ratio", "Gathered", "Length of the gathered edge against the seam: 1 is plain, 2 is twice as long.", 2.0, 1.0, 5.0);
const SPREAD: Setting = Setting::angle(
    "spread",
    "Spread for folds",
    "Angle by which a triangle is opened below its seam; the seam edge then curves.",
    60.0,
    0.0,
    150.0,
);
const CLOTH_WIDTH: Setting =
    Setting::length("cloth-width", "Width of the cloth", "A rectangle wider than this is joined from equal widths.", 1400.0, 300.0, 3500.0);
const SEAM_ALLOWANCE: Setting =
    Setting::length("seam-allowance", "Seam allowance", "On the seam it hangs from and between cloth widths.", 15.0, 0.0, 50.0);
const HEM_ALLOWANCE: Setting = Setting::length("hem-allowance", "Hem allowance", "Turned up at its free edges.", 20.0, 0.0, 100.0);

/// The settings of the panel.
pub const SETTINGS: &[&Setting] = &[
    &SHAPE,
    &SEWN_TO,
    &SHARE,
    &WAIST_EASE,
    &SEAM_LENGTH,
    &RATIO,
    &SPREAD,
    &HEM,
    &LENGTH,
    &HEEL,
    &CLEARANCE,
    &CLOTH_WIDTH,
    &SEAM_ALLOWANCE,
    &HEM_ALLOWANCE,
];

const RECTANGLE: &str = "panel";
const TRIANGLE: &str = "triangle panel";
const PLACE: &str = "panel / hem";

/// The measurements that a panel with these settings is drafted from.
pub fn measurements(settings: &Settings) -> &'static [Measurement] {
    use Measurement::*;
    match (settings.word(&SEWN_TO) == "waist", hem::to_floor(settings)) {
        (true, true) => &[WaistGirth, OutsideLeg],
        (true, false) => &[WaistGirth],
        (false, true) => &[OutsideLeg],
        (false, false) => &[],
    }
}

/// Drafts the panel.
///
/// # Errors
/// The waist or the length to the floor is not known, or a triangle is spread too far for its length.
pub fn draft(body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    let mut draft = before.clone();
    draft.forget(|name| *name == RECTANGLE || *name == TRIANGLE);
    let at_waist = settings.word(&SEWN_TO) == "waist";
    let joined = if at_waist { waist::of_bodice(before) } else { None };
    let share = settings.value(&SHARE);
    let seam = match &joined {
        Some(joined) => joined.girth * share,
        None if at_waist => (body.need(Measurement::WaistGirth)? + settings.value(&WAIST_EASE)) * share,
        None => settings.value(&SEAM_LENGTH),
    };
    let edge = seam * settings.value(&RATIO);
    let length = hem::length_at_side(body, settings)?;
    let triangle = settings.word(&SHAPE) == "triangle";
    let (piece, widths) = if triangle { (triangle_piece(edge, length, settings)?, 1.0) } else { rectangle_piece(edge, length, settings)? };
    let name = piece.name().clone();
    draft.put(piece);

    let run = |edge: &str| EdgeRun::new(name.clone(), edge);
    let top = run("gathered edge").times(widths);
    if let Some(joined) = &joined {
        draft.seams.push(joined.sewn_to(share, vec![top.clone()], edge - seam));
    }
    let promise = |what: &str, asked_mm: f64, span: Span| Promise { what: format!("{name}: {what}"), asked_mm, spans: vec![span] };
    draft.promises.push(promise("gathered edge", edge, Span::Edge(top)));
    draft.promises.push(promise("middle from seam to hem", length, Span::between(&name, "seam centre", "hem centre", 1.0)));
    if triangle {
        // Its two free edges hang alike.
        draft.seams.push(Seam::plain(run("right edge"), run("left edge")));
    } else {
        draft.promises.push(promise("side", length, Span::Edge(run("right side"))));
        if widths > 1.0 {
            draft.seams.push(Seam::plain(run("right side"), run("left side")));
        }
        let corners = [("gathered edge", "right side"), ("right side", "hem"), ("hem", "left side"), ("left side", "gathered edge")];
        draft.corners.extend(corners.map(|(first, second)| Corner {
            what: format!("{name}: {first} at the {second}"),
            of: vec![(name.clone(), first.into(), second.into())],
            degrees: 90.0,
            within: 0.5,
        }));
    }
    draft.messages.extend(messages(body, settings, length, triangle, widths));
    Ok(draft)
}

/// With the quarters of its top edge marked; quarters of the whole fall on quarters of each cloth width.
fn quartered(mut piece: PieceBuilder, edge_mm: f64) -> PieceBuilder {
    for quarter in [0.25, 0.5, 0.75] {
        piece = piece.notch("gathered edge", quarter * edge_mm, false);
    }
    piece
}

/// The rectangle of one cloth width, and how many of them there are.
fn rectangle_piece(edge: f64, length: f64, settings: &Settings) -> Result<(Piece, f64), DraftError> {
    let (seam_mm, hem_mm) = (settings.value(&SEAM_ALLOWANCE), settings.value(&HEM_ALLOWANCE));
    let cloth = (settings.value(&CLOTH_WIDTH) - 2.0 * seam_mm.max(hem_mm)).max(100.0);
    let widths = (edge / cloth - 1e-9).ceil().max(1.0);
    let width = edge / widths;
    let (side, side_mm) = if widths > 1.0 { (Role::Seam, seam_mm) } else { (Role::Hem, hem_mm) };
    let p = Point::new;
    let half = width / 2.0;
    let piece = PieceBuilder::new(RECTANGLE)
        .line("gathered edge", Role::Seam, seam_mm, p(-half, 0.0), p(half, 0.0))
        .line("right side", side, side_mm, p(half, 0.0), p(half, length))
        .line("hem", Role::Hem, hem_mm, p(half, length), p(-half, length))
        .line("left side", side, side_mm, p(-half, length), p(-half, 0.0))
        .hidden_point("seam centre", p(0.0, 0.0))
        .hidden_point("hem centre", p(0.0, length))
        .grain(p(0.0, 0.8 * length), p(0.0, 0.2 * length))
        .cut(widths as u32, false);
    Ok((quartered(piece, width).build()?, widths))
}

/// The triangle: an arc for the seam edge, and two straight free edges down to the point.
fn triangle_piece(edge: f64, length: f64, settings: &Settings) -> Result<Piece, DraftError> {
    let (seam_mm, hem_mm) = (settings.value(&SEAM_ALLOWANCE), settings.value(&HEM_ALLOWANCE));
    let half = (settings.value(&SPREAD).to_radians() / 2.0).max(1e-9);
    let radius = edge / (2.0 * half);
    let (right, left) = (on_ring(radius, 0.0, half), on_ring(radius, 0.0, -half));
    let tip = Point::new(0.0, length);
    // The free edge has to leave the seam edge toward the inside, by a corner that can be turned.
    let along = (tip - right).atan2();
    let corner = along + half;
    if tip.y < right.y + 20.0 || corner < 0.15 {
        return Err(DraftError::new(
            TRIANGLE,
            format!("over {:.0} cm its free edges would run into the curved seam edge", length / 10.0),
            "Spread it less, gather it less, or let it hang longer.",
        ));
    }
    debug_assert!(half < FRAC_PI_2);
    let axis = Point::new(0.0, 0.45 * length);
    // Hung on the bias, as draped points are.
    let reach = 0.12 * length.min(2.0 * right.x);
    let piece = PieceBuilder::new(TRIANGLE)
        .part("gathered edge", Role::Seam, seam_mm, arc(radius, 0.0, -half, half))
        .line("right edge", Role::Hem, hem_mm, right, tip)
        .line("left edge", Role::Hem, hem_mm, tip, left)
        .hidden_point("seam centre", Point::ZERO)
        .hidden_point("hem centre", tip)
        .grain(axis + kurbo::Vec2::new(-reach, reach), axis + kurbo::Vec2::new(reach, -reach))
        .cut(1, false);
    quartered(piece, edge).build()
}

fn messages(body: &Body, settings: &Settings, length: f64, triangle: bool, widths: f64) -> Vec<Message> {
    let mut out: Vec<Message> = hem::near_floor(PLACE, body, settings, length).into_iter().collect();
    let free = triangle || settings.value(&SHARE) < 1.0 || settings.word(&SEWN_TO) != "waist";
    let below_knee = body.get(Measurement::WaistToKnee).is_some_and(|knee| length > knee);
    if free && below_knee {
        out.push(Message::new(
            Grade::Caution,
            PLACE,
            "a loose panel that hangs below the knee can be trodden on or caught",
            "Try stairs, doors and kneeling in it; weight or tack its lower edge, and keep it well away from open flame.",
        ));
    }
    if widths > 1.0 {
        out.push(Message::new(
            Grade::Note,
            "panel",
            format!("it is joined from {widths:.0} equal cloth widths"),
            "Nothing to mend; match the quarter marks of the whole edge to the quarters of the seam.",
        ));
    }
    if triangle {
        out.push(Message::new(
            Grade::Note,
            "panel",
            "its middle hangs on the bias",
            "Let it hang for a day before you turn up the free edges.",
        ));
    }
    out
}
