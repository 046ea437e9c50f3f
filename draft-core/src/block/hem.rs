//! Where a hem hangs: how long it is to be, and the cautions that belong to it.

use crate::{Body, DraftError, Grade, Level, Measurement, Message, Setting, Settings, Span};

pub const HEM: Setting =
    Setting::choice("hem", "Hem", "Down to the floor in the shoes of the day, or a length of its own.", &["floor", "length"]);
pub const LENGTH: Setting =
    Setting::length("length", "Finished length", "From waist to hem, where the hem does not go by the floor.", 700.0, 250.0, 1600.0);
pub const HEEL: Setting = Setting::length("heel", "Height of heel", "Heel of the shoes it is worn with.", 30.0, 0.0, 200.0);
pub const CLEARANCE: Setting = Setting::length("clearance", "Clear of the floor", "How far the hem stays off the floor.", 25.0, 0.0, 300.0);

/// A hem nearer to the floor than this is stepped on; common practice, from memory.
const LEAST_CLEARANCE_MM: f64 = 20.0;

/// Girths that a walking stride asks for at the knee and at the ankle; common practice, from memory.
const STRIDE_AT_KNEE_MM: f64 = 1100.0;
const STRIDE_AT_ANKLE_MM: f64 = 1500.0;

/// Whether the hem goes by the floor.
pub fn to_floor(settings: &Settings) -> bool {
    settings.word(&HEM) == "floor"
}

/// From the natural waist to the hem down the side, which is `to_floor_mm` above the bare floor.
pub fn length(settings: &Settings, to_floor_mm: f64) -> f64 {
    if to_floor(settings) { to_floor_mm + settings.value(&HEEL) - settings.value(&CLEARANCE) } else { settings.value(&LENGTH) }
}

/// From the natural waist to the hem, by the outside leg where the hem goes by the floor.
///
/// # Errors
/// The outside leg is needed and not known.
pub fn length_at_side(body: &Body, settings: &Settings) -> Result<f64, DraftError> {
    let side = if to_floor(settings) { body.need(Measurement::OutsideLeg)? } else { 0.0 };
    Ok(length(settings, side))
}

/// The caution where a hem of this length hangs near the floor or lies on it; `None` where the height is not known.
pub fn near_floor(place: &str, body: &Body, settings: &Settings, length_mm: f64) -> Option<Message> {
    let above = body.get(Measurement::OutsideLeg)? + settings.value(&HEEL) - length_mm;
    let shown = |mm: f64| body.unit().rough(mm);
    (above < LEAST_CLEARANCE_MM - 1e-6).then(|| {
        let hangs = if above < 0.0 {
            format!("the hem is {} longer than down to the floor", shown(-above))
        } else {
            format!("the hem hangs {} above the floor", shown(above))
        };
        Message::new(
            Grade::Caution,
            place,
            hangs,
            "Keep it at least 2 cm clear where the wearer meets stairs, doors or lifts, and well away from open flame; ask the venue about its fire rules.",
        )
    })
}

/// The girth that a walking stride takes so far below the waist; `None` where the body's lengths are not known.
pub fn stride_mm(body: &Body, depth: f64) -> Option<f64> {
    let knee = body.get(Measurement::WaistToKnee)?;
    // The ankle bone stands about 7 cm above the floor.
    let ankle = (body.get(Measurement::OutsideLeg)? - 70.0).max(knee + 100.0);
    let t = ((depth - knee) / (ankle - knee)).clamp(0.0, 1.0);
    Some(STRIDE_AT_KNEE_MM + t * (STRIDE_AT_ANKLE_MM - STRIDE_AT_KNEE_MM))
}

/// The sweep of a hem as a level of the ease table: its body is the stride at that length. `None` above the knee, which
/// stays free there, and where the body's lengths are not known.
pub fn level(name: &'static str, body: &Body, length_mm: f64, sweep_mm: f64, spans: Vec<Span>) -> Option<Level> {
    let body_mm = (length_mm >= body.get(Measurement::WaistToKnee)?).then(|| stride_mm(body, length_mm))??;
    Some(Level { name, body_mm, ease_mm: sweep_mm - body_mm, spans })
}

/// The caution where cloth is too narrow to walk in, `girth_at(depth below the waist)` being the skirt's girth.
/// Checked at the knee and at the hem, whose stride lies between that of the knee and that of the ankle.
pub fn stride(place: &str, body: &Body, length_mm: f64, girth_at: impl Fn(f64) -> f64) -> Option<Message> {
    let knee = body.get(Measurement::WaistToKnee)?;
    let needed = |depth: f64| stride_mm(body, depth).unwrap_or_default();
    // A hem that ends above the knee leaves it free.
    let tight = [("at the knee", knee), ("at the hem", length_mm)]
        .into_iter()
        .filter(|(_, depth)| (knee..=length_mm).contains(depth))
        .find(|(_, depth)| girth_at(*depth) < needed(*depth))?;
    let (at, depth) = tight;
    let shown = |mm: f64| body.unit().rough(mm);
    Some(Message::new(
        Grade::Caution,
        place,
        format!("{at} the skirt measures {}; a walking stride takes about {} there", shown(girth_at(depth)), shown(needed(depth))),
        "It hobbles the wearer: let a seam open from above the knee as a slit or a vent, or give the hem more sweep; try the stairs in it before the performance.",
    ))
}
