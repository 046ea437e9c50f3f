//! A stand: half a sector of a ring, its neck edge as long as half the neckline, its top as long as the neck at that
//! height asks for. It curves up at the front where the top is shorter.

use kurbo::{BezPath, CubicBez, Point, Vec2};

use super::{COLLAR, HEIGHT, Leaf, Neck, TOP_EASE, TOP_FROM, TOP_SHORTER, top_level};
use crate::draft::Promise;
use crate::geometry::{cubic_path, line_path};
use crate::{Body, DraftError, EdgeRun, Grade, Level, Measurement, Message, Settings, Span};

/// The neck girth is taken about this far above the root of the neck, and the neck is held to narrow evenly up to
/// there; our own default, to be proved in muslin.
const NECK_GIRTH_ABOVE_ROOT_MM: f64 = 70.0;

/// The most by which a stand leans, in radians of its half; a neckline far wider than the neck would ask for more.
const MOST_LEAN: f64 = 1.0;

/// Sizes of half a stand.
pub struct Stand {
    /// Half neck edge.
    pub neck: f64,
    /// Half top edge.
    pub top: f64,
    /// Height.
    pub height: f64,
    /// Girth of the neck at the top, when the top was taken from it.
    neck_girth: Option<f64>,
    /// Said when the top could not be as short as asked.
    pub limited: Option<Message>,
}

pub fn size(neck: &Neck<'_>, body: &Body, settings: &Settings) -> Result<Stand, DraftError> {
    let height = settings.value(&HEIGHT);
    let half = neck.back_mm + neck.front_mm - neck.gap;
    if half < 30.0 {
        return Err(DraftError::new(COLLAR, "the neckline is too short for a collar", "Check the neckline of the bodice."));
    }
    let (asked, neck_girth) = if settings.word(&TOP_FROM) == "neck" {
        let (root, upper) = (body.need(Measurement::NeckBaseGirth)?, body.need(Measurement::NeckGirth)?);
        let girth = root + (upper - root) * (height / NECK_GIRTH_ABOVE_ROOT_MM).min(1.0);
        ((girth + settings.value(&TOP_EASE)) / 2.0 - neck.gap, Some(girth))
    } else {
        (half - settings.value(&TOP_SHORTER) / 2.0, None)
    };
    let top = asked.clamp(half - MOST_LEAN * height, half + MOST_LEAN * height);
    let limited = ((top - asked).abs() > 1e-9).then(|| {
        let shown = |mm: f64| body.unit().rough(mm);
        Message::new(
            Grade::Note,
            COLLAR,
            format!(
                "the neckline is far from the neck: the top of the collar measures {} instead of {}",
                shown(2.0 * (top + neck.gap)),
                shown(2.0 * (asked + neck.gap))
            ),
            "Nothing to mend if the collar may stand away from the neck; else draw the neckline closer, or make the collar higher.",
        )
        .about(&[Measurement::NeckGirth])
    });
    Ok(Stand { neck: half, top, height, neck_girth, limited })
}

impl Stand {
    /// One layer, lower by `less` at the top.
    pub fn leaf(&self, less: f64) -> Leaf {
        let lean = (self.neck - self.top) / self.height;
        Leaf { neck: self.ring(lean, 0.0), outer: self.ring(lean, self.height - less) }
    }

    /// The arc at a height above the neck edge, from the centre back to the centre front.
    fn ring(&self, lean: f64, height: f64) -> BezPath {
        if lean.abs() < 1e-5 {
            return line_path(Point::new(0.0, -height), Point::new(self.neck, -height));
        }
        let radius = self.neck / lean;
        let (centre, r) = (Point::new(0.0, -radius), radius - height);
        let steps = (lean.abs() / 0.3).ceil().max(1.0) as usize;
        let step = lean / steps as f64;
        let handle = r * (4.0 / 3.0) * (step / 4.0).tan();
        let arcs: Vec<CubicBez> = (0..steps)
            .map(|i| {
                let on = |a: f64| (centre + Vec2::new(a.sin(), a.cos()) * r, Vec2::new(a.cos(), -a.sin()));
                let ((p, u), (q, v)) = (on(i as f64 * step), on((i + 1) as f64 * step));
                CubicBez::new(p, p + u * handle, q - v * handle, q)
            })
            .collect();
        cubic_path(&arcs)
    }

    /// The girth promised at the top; the gap of a zip is not part of the edges that give it.
    pub fn level(&self) -> Option<Level> {
        self.neck_girth.map(|girth| top_level(girth, 2.0 * self.top))
    }

    /// The heights promised.
    pub fn promises(&self, square_front: bool) -> Vec<Promise> {
        let at = |what: &str, edge: &str| Promise {
            what: format!("collar: height at the {what}"),
            asked_mm: self.height,
            spans: vec![Span::Edge(EdgeRun::new(COLLAR, edge))],
        };
        let mut out = vec![at("centre back", "centre back")];
        if square_front {
            out.push(at("front", "front edge"));
        }
        out
    }
}
