//! The waist that a skirt, a circle or a panel is sewn to, and the wearer's girth a little above or below it.

use crate::{Body, Draft, DraftError, EdgeRun, Measurement, Seam, Setting, Settings, Span};

pub const WAIST_FROM: Setting = Setting::choice(
    "waist-from",
    "Waist taken from",
    "The waist seam of the bodice drafted before, or the wearer's waist with its own ease.",
    &["bodice", "measurement"],
);
pub const WAIST_EASE: Setting =
    Setting::length("waist-ease", "Ease at the waist", "Added to the waist girth where there is no bodice to join.", 20.0, -60.0, 300.0);
pub const OPENING: Setting =
    Setting::choice("opening", "Opening", "The seam that is left open below the waist.", &["centre back", "left side", "none"]);
pub const UNDERLAP: Setting = Setting::length(
    "underlap",
    "Underlap of the band",
    "How far the band goes on past the opening, for hooks or buttons.",
    30.0,
    0.0,
    100.0,
);

/// The waist seam of a bodice that is already drafted: one half of the body.
#[derive(Clone, Debug)]
pub struct BodiceWaist {
    /// Edges of one half, from the centre front round to the centre back.
    pub half: Vec<EdgeRun>,
    /// All the way round, finished, millimetres.
    pub girth: f64,
    /// What the gathers of the waist take up all the way round, millimetres.
    pub taken_up: f64,
}

/// The waist of the bodice drafted before, if there is one and [`WAIST_FROM`] asks for it.
pub fn joined(settings: &Settings, before: &Draft) -> Option<BodiceWaist> {
    if settings.word(&WAIST_FROM) == "bodice" { of_bodice(before) } else { None }
}

/// How far a band goes on past its opening, by [`OPENING`] and [`UNDERLAP`].
pub fn underlap(settings: &Settings) -> f64 {
    if settings.word(&OPENING) == "none" { 0.0 } else { settings.value(&UNDERLAP) }
}

/// The waist of the bodice drafted before, if there is one.
pub fn of_bodice(before: &Draft) -> Option<BodiceWaist> {
    let has_waist = |p: &String| before.piece(p).is_some_and(|p| p.edge("waist").is_some());
    let runs = |side: &str, times: f64| -> Vec<EdgeRun> {
        let names = ["front", "side front", "back", "side back"].map(|n| format!("{side}{n}"));
        names.into_iter().filter(has_waist).map(|p| EdgeRun::new(p, "waist").times(times)).collect()
    };
    let mut half = runs("", 1.0);
    if half.is_empty() {
        // Halves drafted apart: half of both.
        half = [runs("left ", 0.5), runs("right ", 0.5)].concat();
    }
    if half.is_empty() {
        return None;
    }
    let spans: Vec<_> = half.iter().map(|r| Span::Edge(r.clone().times(2.0 * r.times))).collect();
    let taken_up = half.iter().filter_map(|r| Some(2.0 * r.times * before.piece(r.piece.as_str())?.taken_up_mm(r.edge.as_str()))).sum();
    before.measure_mm(&spans).map(|girth| BodiceWaist { half, girth, taken_up })
}

impl BodiceWaist {
    /// The seam between the whole waist, or a share of it, and what is sewn there; `longer_mm` is gathered or eased in.
    pub fn sewn_to(&self, share: f64, edges: Vec<EdgeRun>, longer_mm: f64) -> Seam {
        Seam {
            a: edges,
            b: self.half.iter().map(|r| r.clone().times(2.0 * share * r.times)).collect(),
            ease_mm: longer_mm - share * self.taken_up,
        }
    }
}

/// The wearer's girth `height` millimetres above the natural waist, below it when negative.
///
/// Straight interpolation between the girths that were taken: underbust, waist, top hip (midway to the hip), hip; our
/// own rule. The underbust is taken to lie 45 % of the way from the bust point down to the waist; common practice.
///
/// # Errors
/// A girth or a height that it needs is not known.
pub fn girth_at(body: &Body, height: f64) -> Result<f64, DraftError> {
    use Measurement::*;
    let waist = body.need(WaistGirth)?;
    let between = |a: f64, b: f64, t: f64| a + (b - a) * t.clamp(0.0, 1.0);
    if height > 0.0 {
        let underbust = 0.55 * (body.need(FrontWaistLength)? - body.need(NeckToBustPoint)?).max(50.0);
        return Ok(between(waist, body.need(UnderbustGirth)?, height / underbust));
    }
    if height == 0.0 {
        return Ok(waist);
    }
    let (hip, depth) = (body.need(HipGirth)?, body.need(WaistToHip)?);
    let share = -height / depth.max(1.0);
    Ok(match body.measured(TopHipGirth) {
        Some(top_hip) if share <= 0.5 => between(waist, top_hip, 2.0 * share),
        Some(top_hip) => between(top_hip, hip, 2.0 * share - 1.0),
        None => between(waist, hip, share),
    })
}

/// The widest girth that has to pass an opening at the waist: waist, top hip or hip.
pub fn widest(body: &Body) -> f64 {
    [Measurement::WaistGirth, Measurement::TopHipGirth, Measurement::HipGirth].into_iter().filter_map(|m| body.get(m)).fold(0.0, f64::max)
}
