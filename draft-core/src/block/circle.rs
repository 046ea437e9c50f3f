//! Circle skirt: a ring or a sector of one whose inner edge is the waist; more than one circle, or gathered.
//!
//! The waist is an arc of radius r = g·W / 2πf, where W is the waist to which it is sewn, f the part of a circle (1 a
//! full one) and g how many times over the edge is gathered. Every thread from waist to hem has the finished length.
//! Source: definition of the arc, in every drafting handbook.

use std::f64::consts::TAU;

use kurbo::Point;

use super::band::Strip;
use super::hem::{self, CLEARANCE, HEEL, HEM, LENGTH};
use super::ring::{arc, on_ring};
use super::waist::{self, OPENING, UNDERLAP, WAIST_EASE, WAIST_FROM};
use crate::draft::{Corner, Promise};
use crate::geometry::{line_path, reversed};
use crate::{
    Body, Draft, DraftError, EdgeRun, Grade, Level, Measurement, Message, Name, PieceBuilder, Role, Seam, Setting, Settings, Span,
};

const CIRCLE: Setting = Setting::choice(
    "circle",
    "Circle",
    "How much of a circle it is; for another part, or for more than one circle, choose other and give the number.",
    &["full", "three-quarter", "half", "quarter", "other"],
);
const FRACTION: Setting = Setting::number(
    "fraction",
    "Part of a circle",
    "Where the choice is other: 0.4 of a circle, or 1.5 for one and a half.",
    1.5,
    0.1,
    6.0,
);
const GATHER: Setting = Setting::number(
    "gather",
    "Gathered",
    "Length of the waist edge against the waist it is gathered to: 1 is plain, 2 is twice as long.",
    1.0,
    1.0,
    4.0,
);
const PANELS: Setting =
    Setting::count("panels", "Panels", "How many equal panels; more where a panel would be over half a circle.", 2.0, 1.0, 24.0);
const CUT_SMALLER: Setting = Setting::number(
    "cut-smaller",
    "Waist cut smaller",
    "Per cent by which the waist edge is drafted smaller, for it stretches on the bias before it is stayed.",
    0.0,
    0.0,
    5.0,
);
const CLOTH_WIDTH: Setting =
    Setting::length("cloth-width", "Width of the cloth", "To see whether each panel fits across it.", 1400.0, 300.0, 3500.0);
const FINISH: Setting = Setting::choice(
    "waist-finish",
    "Waist finish",
    "A straight band above the waist edge. Not where it joins a bodice.",
    &["none", "straight band"],
);
const BAND_WIDTH: Setting = Setting::length("band-width", "Width of the band", "Finished width of the waistband.", 40.0, 10.0, 150.0);
const SEAM_ALLOWANCE: Setting =
    Setting::length("seam-allowance", "Seam allowance", "On the seams between panels and at the waist.", 15.0, 0.0, 50.0);
const HEM_ALLOWANCE: Setting =
    Setting::length("hem-allowance", "Hem allowance", "Turned up at the hem; a strong curve takes little.", 15.0, 0.0, 100.0);

/// The settings of the circle skirt.
pub const SETTINGS: &[&Setting] = &[
    &CIRCLE,
    &FRACTION,
    &GATHER,
    &PANELS,
    &WAIST_FROM,
    &WAIST_EASE,
    &CUT_SMALLER,
    &HEM,
    &LENGTH,
    &HEEL,
    &CLEARANCE,
    &CLOTH_WIDTH,
    &OPENING,
    &FINISH,
    &BAND_WIDTH,
    &UNDERLAP,
    &SEAM_ALLOWANCE,
    &HEM_ALLOWANCE,
];

const PANEL: &str = "circle panel";
const BAND: &str = "circle waistband";

/// The measurements that a circle skirt with these settings is drafted from.
pub fn measurements(settings: &Settings) -> &'static [Measurement] {
    use Measurement::*;
    if hem::to_floor(settings) { &[WaistGirth, OutsideLeg] } else { &[WaistGirth] }
}

/// Radius of a waist edge of this length that is a part `fraction` of a circle, millimetres.
pub fn waist_radius(edge_mm: f64, fraction: f64) -> f64 {
    edge_mm / (TAU * fraction)
}

/// Sizes of one circle skirt, millimetres.
struct Ring {
    fraction: f64,
    /// The waist that it is sewn to.
    waist: f64,
    /// Length of its waist edge, all panels.
    edge: f64,
    radius: f64,
    length: f64,
    panels: f64,
}

impl Ring {
    fn hem(&self) -> f64 {
        TAU * self.fraction * (self.radius + self.length)
    }

    /// Half the angle of one panel, radians.
    fn half_angle(&self) -> f64 {
        TAU * self.fraction / (2.0 * self.panels)
    }

    /// Across one panel of `panels`, and down it, with allowances; millimetres.
    fn panel_size(&self, panels: f64, seam_mm: f64, hem_mm: f64) -> (f64, f64) {
        let half = TAU * self.fraction / (2.0 * panels);
        let outer = self.radius + self.length + hem_mm;
        let across = 2.0 * (outer * half.min(TAU / 4.0).sin() + seam_mm);
        (across, outer - (self.radius - seam_mm) * half.cos() + seam_mm)
    }
}

/// Drafts the circle skirt.
///
/// # Errors
/// The waist or the length to the floor is not known, or the waist is too small to cut.
pub fn draft(body: &Body, settings: &Settings, before: &Draft) -> Result<Draft, DraftError> {
    let mut draft = before.clone();
    draft.forget(|name| *name == PANEL || *name == BAND);
    let waist_girth = body.need(Measurement::WaistGirth)?;
    let joined = waist::joined(settings, before);
    let waist = joined.as_ref().map_or(waist_girth + settings.value(&WAIST_EASE), |j| j.girth);
    let fraction = match settings.word(&CIRCLE) {
        "full" => 1.0,
        "three-quarter" => 0.75,
        "half" => 0.5,
        "quarter" => 0.25,
        _ => settings.value(&FRACTION),
    };
    let edge = waist * settings.value(&GATHER) * (1.0 - settings.value(&CUT_SMALLER) / 100.0);
    let asked_panels = settings.value(&PANELS);
    let panels = asked_panels.max((2.0 * fraction - 1e-9).ceil());
    let ring = Ring { fraction, waist, edge, radius: waist_radius(edge, fraction), length: hem::length_at_side(body, settings)?, panels };
    let seam_mm = settings.value(&SEAM_ALLOWANCE);
    if ring.radius < seam_mm + 5.0 {
        return Err(DraftError::new(
            "circle skirt / waist",
            format!("its radius of {} leaves no room for the seam allowance inside it", body.unit().rough(ring.radius)),
            "Choose less of a circle, gather it, or make the seam allowance smaller.",
        ));
    }

    draft.put(panel(&ring, settings)?);
    let name = Name::from(PANEL);
    let run = |edge: &str| EdgeRun::new(PANEL, edge);
    draft.seams.push(Seam::plain(run("right seam"), run("left seam")));
    let waist_run = vec![run("waist").times(panels)];
    match &joined {
        Some(joined) => draft.seams.push(joined.sewn_to(1.0, waist_run, edge - waist)),
        None => {
            draft.levels.push(Level {
                name: "circle waist",
                body_mm: waist_girth,
                ease_mm: waist - waist_girth,
                spans: vec![Span::Edge(run("waist").times(panels * waist / edge))],
            });
            if settings.word(&FINISH) == "straight band" {
                let strip = Strip {
                    name: BAND,
                    sewn: waist,
                    other: waist,
                    width: settings.value(&BAND_WIDTH),
                    below: false,
                    underlap: waist::underlap(settings),
                    marks: [0.25, 0.5, 0.75].map(|q| q * waist).to_vec(),
                    seam_mm,
                };
                strip.add(&mut draft, waist_run, waist - edge)?;
            }
        }
    }
    let promise = |what: &str, asked_mm: f64, span: Span| Promise { what: format!("circle skirt: {what}"), asked_mm, spans: vec![span] };
    draft.promises.extend([
        promise("seam from waist to hem", ring.length, Span::Edge(run("right seam"))),
        promise("middle of a panel from waist to hem", ring.length, Span::between(&name, "waist centre", "hem centre", 1.0)),
        promise("hem", ring.hem(), Span::Edge(run("hem").times(panels))),
    ]);
    draft.levels.extend(hem::level("circle hem", body, ring.length, ring.hem(), vec![Span::Edge(run("hem").times(panels))]));
    for (first, second) in [("waist", "right seam"), ("right seam", "hem"), ("hem", "left seam"), ("left seam", "waist")] {
        draft.corners.push(Corner {
            what: format!("{PANEL}: {first} at the {second}"),
            of: vec![(name.clone(), first.into(), second.into())],
            degrees: 90.0,
            within: 0.5,
        });
    }
    draft.messages.extend(messages(body, settings, &ring, joined.is_some()));
    Ok(draft)
}

/// One panel, its middle on the line x = 0, the middle of its waist at the origin.
fn panel(ring: &Ring, settings: &Settings) -> Result<crate::Piece, DraftError> {
    let (r, l, half) = (ring.radius, ring.length, ring.half_angle());
    let seam_mm = settings.value(&SEAM_ALLOWANCE);
    let waist = ring.edge / ring.panels;
    let at = |below: f64, phi: f64| on_ring(r + below, below, phi);
    PieceBuilder::new(PANEL)
        .part("waist", Role::Seam, seam_mm, arc(r, 0.0, -half, half))
        .part("right seam", Role::Seam, seam_mm, line_path(at(0.0, half), at(l, half)))
        .part("hem", Role::Hem, settings.value(&HEM_ALLOWANCE), reversed(&arc(r + l, l, -half, half)))
        .part("left seam", Role::Seam, seam_mm, line_path(at(l, -half), at(0.0, -half)))
        .hidden_point("waist centre", Point::ZERO)
        .hidden_point("hem centre", Point::new(0.0, l))
        .notch("waist", waist / 4.0, false)
        .notch("waist", waist / 2.0, false)
        .notch("waist", waist * 0.75, false)
        .notch("right seam", l / 2.0, false)
        .notch("left seam", l / 2.0, false)
        .grain(Point::new(0.0, 0.85 * l), Point::new(0.0, 0.2 * l))
        .cut(ring.panels as u32, false)
        .build()
}

fn messages(body: &Body, settings: &Settings, ring: &Ring, joined: bool) -> Vec<Message> {
    let shown = |mm: f64| body.unit().rough(mm);
    let note = |place: &str, problem: String, remedy: String| Message::new(Grade::Note, format!("circle skirt / {place}"), problem, remedy);
    let mut out = Vec::new();
    if ring.panels > settings.value(&PANELS) {
        out.push(note(
            "panels",
            format!("{:.0} panels instead of {:.0}, for none may be more than half a circle", ring.panels, settings.value(&PANELS)),
            "Nothing to mend.".into(),
        ));
    }
    if settings.value(&CUT_SMALLER) <= 0.0 && settings.value(&GATHER) < 1.02 {
        out.push(note(
            "waist",
            format!(
                "much of its waist runs on the bias and stretches: 1 to 2 % of it are {} to {}",
                shown(0.01 * ring.waist),
                shown(0.02 * ring.waist)
            ),
            "Stay the waist with tape as soon as it is cut; in loose cloth draft it 1 to 2 % smaller.".into(),
        ));
    }
    out.push(note(
        "hem",
        "cloth on the bias drops while it hangs".into(),
        "Let it hang from its waist for one to three days, then level the hem from the floor with the wearer in their shoes.".into(),
    ));

    let (seam, hem_mm, cloth) = (settings.value(&SEAM_ALLOWANCE), settings.value(&HEM_ALLOWANCE), settings.value(&CLOTH_WIDTH));
    let fits = |panels: f64| {
        let (across, down) = ring.panel_size(panels, seam, hem_mm);
        across.min(down) <= cloth
    };
    if !fits(ring.panels) {
        let (across, down) = ring.panel_size(ring.panels, seam, hem_mm);
        let enough = (ring.panels as u32 + 1..=48).find(|n| fits(f64::from(*n)));
        out.push(note(
            "panels",
            format!("a panel of {} by {} does not lie across cloth {} wide", shown(across), shown(down), shown(cloth)),
            enough
                .map_or("Choose wider cloth or a shorter skirt.".into(), |n| format!("Take {n} panels, or wider cloth, or lay it aslant.")),
        ));
    }

    let widest = waist::widest(body);
    // Gathers and elastic apart, the closed ring below the opening has to pass the widest part.
    let around = |depth: f64| TAU * ring.fraction * (ring.radius + depth);
    if let (Some(hip), Some(depth)) = (body.get(Measurement::HipGirth), body.get(Measurement::WaistToHip))
        && depth < ring.length
        && around(depth) < hip
    {
        out.push(
            Message::new(
                Grade::Warning,
                "circle skirt / hip",
                format!("{} below the waist it measures {}, and the hip {}", shown(depth), shown(around(depth)), shown(hip)),
                "Choose more of a circle, or gather it; a skirt this narrow is better drafted in gores.",
            )
            .about(&[Measurement::HipGirth, Measurement::WaistToHip]),
        );
    }
    match settings.word(&OPENING) {
        "none" if ring.waist < widest => out.push(Message::new(
            Grade::Warning,
            "circle skirt / opening",
            format!("without an opening a waist of {} does not pass the hip of {}", shown(ring.waist), shown(widest)),
            "Let it open at the centre back or the side, or gather a wider waist on elastic.",
        )),
        "none" => {}
        word => {
            let depth = ((widest + 20.0) / (TAU * ring.fraction) - ring.radius).max(120.0);
            let mm = (depth / 10.0).ceil() * 10.0;
            if mm > ring.length - 20.0 {
                out.push(Message::new(
                    Grade::Warning,
                    "circle skirt / opening",
                    format!("even at the hem it measures only {}, and the hip {}", shown(around(ring.length)), shown(widest)),
                    "Choose more of a circle, gather it, or let the seam open all the way down.",
                ));
            } else {
                let goes_on = if joined { ", and on into the bodice" } else { "" };
                out.push(note(
                    "opening",
                    format!("one seam, at the {word}, stays open for {} below the waist", shown(mm)),
                    format!("Take a zip of that length{goes_on}; the skirt then passes the widest part of the body."),
                ));
            }
        }
    }
    let place = "circle skirt / hem";
    out.extend(hem::near_floor(place, body, settings, ring.length));
    out.extend(hem::stride(place, body, ring.length, around));
    out
}
