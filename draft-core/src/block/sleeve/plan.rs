//! What every form of sleeve is drafted from: the arm, the armhole and the cap; and what all of them have in common.

use kurbo::CubicBez;

use super::armhole::{Armhole, Half};
use super::elbow::Sizes;
use super::end::{self, End};
use super::opening::{self, Edges};
use super::settings::*;
use crate::block::bodice_half;
use crate::block::sleeve_cap::{self, Cap, Fit};
use crate::draft::{Corner, Promise};
use crate::{Body, Draft, DraftError, EdgeRun, Grade, Level, Measurement, Message, Name, PieceBuilder, Seam, Settings, Span};

/// Stature up to which European safety rules for children's clothing (EN 14682, to 7 years) count a child as small.
const SMALL_CHILD_MM: f64 = 1340.0;

/// Ease of the finger loop over the finger, millimetres.
const LOOP_EASE_MM: f64 = 10.0;

/// The last stretch of the cap beside the crown, which is not eased; millimetres (common practice).
pub const PLAIN_AT_CROWN_MM: f64 = 10.0;

/// Point past the wrist from which it is a danger, millimetres.
const LONG_POINT_MM: f64 = 120.0;

/// All that the forms of a sleeve share.
pub struct Plan<'a> {
    pub body: &'a Body,
    pub settings: &'a Settings,
    pub armhole: Armhole,
    pub cap: Cap,
    pub fit: Fit,
    pub sizes: Sizes,
    /// Girths of the body.
    pub arm: f64,
    pub elbow: f64,
    pub wrist: f64,
    pub hand: f64,
    /// Wrist to middle knuckle.
    pub knuckle: f64,
    pub cap_ease: f64,
    pub arm_ease: f64,
}

/// Front or back half of the sleeve.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Side {
    Front,
    Back,
}

impl<'a> Plan<'a> {
    /// Reads the arm, finds the armhole and solves the cap.
    pub fn new(body: &'a Body, settings: &'a Settings, before: &Draft) -> Result<Self, DraftError> {
        if bodice_half::is_strapless(before) {
            return Err(bodice_half::strapless("sleeve"));
        }
        let armhole = Armhole::on(before).ok_or_else(|| {
            DraftError::new("sleeve", "there is no armhole to draft it to", "Draft the bodice first, above the sleeve in the work list.")
        })?;
        let need = |which| body.need(which);
        let arm = need(Measurement::UpperArmGirth)?;
        let elbow = need(Measurement::ElbowGirth)?;
        let wrist = need(Measurement::WristGirth)?;
        let hand = need(Measurement::HandGirth)?;
        let wrist_y = need(Measurement::ArmLength)?;
        let elbow_y = need(Measurement::UpperArmLength)?;
        let knuckle = need(Measurement::HandLength)? - need(Measurement::MiddleFingerLength)?;
        let (cap_ease, arm_ease) = (settings.value(&CAP_EASE), settings.value(&ARM_EASE));
        let shown = |mm: f64| body.unit().rough(mm);
        let (cap, fit) = sleeve_cap::for_arm(armhole.front.length, armhole.back.length, cap_ease, arm, arm_ease).ok_or_else(|| {
            DraftError::new(
                "sleeve",
                format!("no cap fits an armhole of {}", shown(armhole.length())),
                "Check the bodice's armhole and the upper-arm girth.",
            )
            .about(&[Measurement::UpperArmGirth])
        })?;
        if elbow_y < cap.height + 30.0 || wrist_y < elbow_y + 60.0 {
            return Err(DraftError::new(
                Measurement::UpperArmLength.name(),
                format!(
                    "{} down to the elbow and {} to the wrist leave no room for the cap ({})",
                    shown(elbow_y),
                    shown(wrist_y),
                    shown(cap.height)
                ),
                "Measure both over the bent elbow, from the shoulder point.",
            )
            .about(&[Measurement::UpperArmLength, Measurement::ArmLength]));
        }
        let half_top = cap.width() / 2.0;
        let half_elbow = ((elbow + settings.value(&ELBOW_EASE)) / 2.0).min(half_top);
        let half_wrist = ((wrist + settings.value(&WRIST_EASE)) / 2.0).min(half_elbow);
        let sizes = Sizes { middle: (cap.front - cap.back) / 2.0, cap: cap.height, elbow_y, wrist_y, half_top, half_elbow, half_wrist };
        Ok(Self { body, settings, armhole, cap, fit, sizes, arm, elbow, wrist, hand, knuckle, cap_ease, arm_ease })
    }

    pub fn cap_allowance(&self) -> f64 {
        self.settings.value(&CAP_ALLOWANCE)
    }

    pub fn seam_allowance(&self) -> f64 {
        self.settings.value(&SEAM_ALLOWANCE)
    }

    pub fn end_allowance(&self) -> f64 {
        self.settings.value(&END_ALLOWANCE)
    }

    /// The bend at the elbow, radians.
    pub fn bend(&self) -> f64 {
        self.settings.value(&BEND).to_radians()
    }

    /// A length as the maker reads it.
    pub fn shown(&self, mm: f64) -> String {
        self.body.unit().rough(mm)
    }

    /// Armhole half and the cap's ease over it.
    pub fn half(&self, side: Side) -> (&Half, f64) {
        match side {
            Side::Front => (&self.armhole.front, sleeve_cap::FRONT_SHARE * self.cap_ease),
            Side::Back => (&self.armhole.back, (1.0 - sleeve_cap::FRONT_SHARE) * self.cap_ease),
        }
    }

    /// Sews the cap into the armhole: its two halves, each perhaps over two pieces.
    ///
    /// Below the notches the cap is as long as the armhole; the ease lies between notch and crown.
    pub fn sew_cap(&self, draft: &mut Draft, front: Vec<EdgeRun>, back: Vec<EdgeRun>) {
        let whole = front.iter().chain(&back).cloned().map(Span::Edge).collect();
        for (side, runs) in [(Side::Front, front), (Side::Back, back)] {
            let (half, ease) = self.half(side);
            draft.seams.push(Seam { a: runs, b: half.runs.clone(), ease_mm: ease });
        }
        draft.promises.push(Promise {
            what: "sleeve: cap against the armhole and its ease".into(),
            asked_mm: self.armhole.length() + self.cap_ease,
            spans: whole,
        });
        if self.cap_ease > 0.0 {
            let (_, front) = self.half(Side::Front);
            let (_, back) = self.half(Side::Back);
            let unit = self.body.unit();
            self.say(
                draft,
                Grade::Note,
                "sleeve / cap",
                format!("the cap is eased in by {} in front and {} behind", unit.text(front), unit.text(back)),
                format!(
                    "Ease only between the notches, two thirds of it in the upper half; sew plain below the notches and over the last {} on either side of the crown, where the marks are.",
                    self.shown(PLAIN_AT_CROWN_MM)
                ),
                &[],
            );
        }
    }

    /// A message about the sleeve.
    pub fn say(&self, draft: &mut Draft, grade: Grade, place: &str, problem: String, remedy: impl Into<String>, about: &[Measurement]) {
        draft.messages.push(Message::new(grade, place, problem, remedy).about(about));
    }

    /// Marks on the cap at the crown: the notch that meets the shoulder, and where the ease ends on either side. The
    /// front cap begins at the crown, the back cap ends there.
    pub fn crown(&self, piece: PieceBuilder, front: &CubicBez, back: &CubicBez) -> PieceBuilder {
        use kurbo::{ParamCurve, ParamCurveArclen};
        let piece = piece.notch("front cap", 0.0, false).point("crown", front.p0);
        if self.cap_ease <= 0.0 {
            return piece;
        }
        let f = front.eval(front.inv_arclen(PLAIN_AT_CROWN_MM, 1e-6));
        let b = back.eval(back.inv_arclen((back.arclen(1e-6) - PLAIN_AT_CROWN_MM).max(0.0), 1e-6));
        piece.point("front ease ends", f).point("back ease ends", b)
    }

    /// The end between two seams, pointed or straight as the maker chose.
    pub fn end(&self, front: kurbo::Point, back: kurbo::Point) -> End {
        if self.settings.word(&END) == "point" { End::pointed(front, back, self.reach()) } else { End::straight(front, back) }
    }

    /// How far the point reaches past the wrist.
    fn reach(&self) -> f64 {
        (self.knuckle + self.settings.value(&POINT)).max(20.0)
    }

    /// Marks of a point: the tip and where its loop is sewn.
    pub fn mark_point(&self, mut piece: PieceBuilder, end: &End) -> PieceBuilder {
        if let Some((tip, loop_at)) = end.point {
            piece = piece.point("tip", tip);
            if self.has_loop() {
                piece = piece.point("finger loop", loop_at);
            }
        }
        piece
    }

    fn is_small_child(&self) -> bool {
        self.body.get(Measurement::Stature).is_some_and(|s| s <= SMALL_CHILD_MM)
    }

    fn has_loop(&self) -> bool {
        self.settings.word(&LOOP) == "yes" && !self.is_small_child()
    }

    /// Facing of a point, its seam, and what is to be said of points and loops. `front` and `back` are the seams'
    /// stretches beside the end, the one run down to it and the other up from it.
    pub fn finish_point(&self, draft: &mut Draft, piece: &str, end: &End, front: CubicBez, back: CubicBez) -> Result<(), DraftError> {
        if end.point.is_none() {
            return Ok(());
        }
        if self.settings.word(&FACING) == "yes" {
            draft.put(end.facing(front, back, self.settings.value(&FACING_DEPTH), self.end_allowance())?);
            draft.seams.push(Seam {
                a: vec![EdgeRun::new(Name::from(piece), "wrist edge")],
                b: vec![EdgeRun::new(end::FACING, "point edge")],
                ease_mm: end::FACING_SHORTER_MM,
            });
        }
        let place = format!("{piece} / wrist edge");
        if self.settings.word(&LOOP) == "yes" {
            if self.is_small_child() {
                self.say(
                    draft,
                    Grade::Caution,
                    &place,
                    "the finger loop is left out, for loops on a child's sleeve catch".into(),
                    "Hold the point with a stitch to a mitten or a ring of soft elastic inside, or end the sleeve straight.",
                    &[Measurement::Stature],
                );
            } else if let Some(finger) = self.body.get(Measurement::MiddleFingerGirth) {
                self.say(
                    draft,
                    Grade::Caution,
                    &place,
                    format!(
                        "the finger loop is {} long, 1 cm more than the middle finger's girth, and can catch",
                        self.shown(finger + LOOP_EASE_MM)
                    ),
                    "Make it of thin elastic or of a thread that breaks, sew it 3 mm inside the tip, and give no loops to children.",
                    &[Measurement::MiddleFingerGirth],
                );
            }
        }
        if self.reach() > LONG_POINT_MM {
            self.say(
                draft,
                Grade::Caution,
                &place,
                format!("the point hangs {} past the wrist", self.shown(self.reach())),
                "Keep long sleeve points away from open flame and moving parts.",
                &[Measurement::HandLength],
            );
        }
        Ok(())
    }

    /// The wrist opening: how long it is and where its buttons stand, from the wrist edge; `None` when the hand passes.
    pub fn opening(&self, pieces: &[Edges]) -> Option<(f64, Vec<f64>)> {
        let needed = opening::length(pieces, self.hand - opening::HAND_GIVES_MM)?;
        let length = needed.max(self.settings.value(&LEAST_OPENING)).min(opening::below_elbow(pieces));
        Some((length, opening::buttons(length, self.settings.value(&BUTTON_SPACING))))
    }

    /// Adds the underlap, and tells how the opening is closed.
    pub fn finish_opening(&self, draft: &mut Draft, place: &str, opening: f64, buttons: &[f64]) -> Result<(), DraftError> {
        let width = self.settings.value(&UNDERLAP);
        let mut closing = String::new();
        if width > 0.0 {
            draft.put(opening::underlap(opening, width, buttons, self.seam_allowance().min(10.0))?);
            draft.promises.push(Promise {
                what: "sleeve: underlap against the opening".into(),
                asked_mm: opening,
                spans: vec![Span::Edge(EdgeRun::new(opening::UNDERLAP, "sewn edge"))],
            });
            closing = format!(", lay {} of underlap beneath", self.shown(width));
        }
        let unit = self.body.unit();
        let listed: Vec<String> = buttons.iter().map(|b| unit.text(*b)).collect();
        let apart = match buttons {
            [first, second, ..] => format!(", {} apart", unit.text(second - first)),
            _ => String::new(),
        };
        self.say(
            draft,
            Grade::Note,
            place,
            format!(
                "the hand ({}) does not pass the wrist ({}): the seam stays open for {}",
                self.shown(self.hand),
                self.shown(2.0 * self.sizes.half_wrist),
                unit.text(opening)
            ),
            format!(
                "Sew down to the notch{closing}, and set {} button{}{apart}: {} above the wrist.",
                buttons.len(),
                if buttons.len() == 1 { "" } else { "s" },
                listed.join(", ")
            ),
            &[Measurement::HandGirth, Measurement::WristGirth],
        );
        if 2.0 * self.sizes.half_elbow < self.hand - opening::HAND_GIVES_MM {
            self.say(
                draft,
                Grade::Warning,
                place,
                format!("the hand ({}) does not pass the elbow of the sleeve either", self.shown(self.hand)),
                "Measure hand and elbow again, or give more ease at the elbow.",
                &[Measurement::HandGirth, Measurement::ElbowGirth],
            );
        }
        Ok(())
    }

    /// Promises the girth at a level as the sum of some spans.
    pub fn level(&self, draft: &mut Draft, name: &'static str, finished: f64, spans: Vec<Span>) {
        let (body_mm, asked) = match name {
            "upper arm" => (self.arm, None),
            "elbow" => (self.elbow, Some(self.settings.value(&ELBOW_EASE))),
            _ => (self.wrist, Some(self.settings.value(&WRIST_EASE))),
        };
        let ease_mm = finished - body_mm;
        if let Some(asked) = asked
            && ease_mm < asked - 0.05
        {
            self.say(
                draft,
                if ease_mm < 0.0 { Grade::Warning } else { Grade::Note },
                "sleeve / seams",
                format!(
                    "the {name} has {} of ease instead of {}, for a sleeve is nowhere wider than above",
                    self.shown(ease_mm),
                    self.shown(asked)
                ),
                "Nothing to mend if that is wide enough; else give more ease at the upper arm, or end the sleeve in a bell.",
                &[],
            );
        }
        draft.levels.push(Level { name, body_mm, ease_mm, spans });
    }

    /// Promises that edges run on smoothly across a closed seam.
    pub fn smooth(&self, draft: &mut Draft, what: &str, of: &[(&str, &str, &str)]) {
        draft.corners.push(Corner {
            what: format!("sleeve: {what}"),
            of: of.iter().map(|(p, a, b)| (Name::from(*p), Name::from(*a), Name::from(*b))).collect(),
            degrees: 180.0,
            within: 3.0,
        });
    }
}
