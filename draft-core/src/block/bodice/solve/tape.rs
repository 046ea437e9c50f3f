//! What a bodice is solved from, and what is said while it is.

use crate::{Grade, Measurement, Message, Unit};

/// Tape readings, millimetres; the slope in radians.
#[derive(Clone, Copy, Debug)]
pub struct Tape {
    pub neck_base: f64,
    pub shoulder: f64,
    pub slope: f64,
    pub across_back: f64,
    pub across_chest: f64,
    pub bust: f64,
    pub underbust: f64,
    pub high_bust: f64,
    pub waist: f64,
    pub back_length: f64,
    pub front_length: f64,
    pub neck_to_bust: f64,
    pub bust_points: f64,
    pub scye_depth: f64,
    pub underarm: f64,
    pub arm: f64,
    /// Only where they were measured.
    pub front_arc: Option<f64>,
    pub centre_front: Option<f64>,
}

/// Eases, millimetres, all round the body.
#[derive(Clone, Copy, Debug)]
pub struct Ease {
    pub neck: f64,
    pub bust: f64,
    pub waist: f64,
    pub underbust: f64,
    pub across_back: f64,
    pub across_chest: f64,
    /// How far the armhole lies below the armpit.
    pub underarm: f64,
    /// By how much the back shoulder is longer than the front one.
    pub back_shoulder: f64,
    /// Width of a dart in the back shoulder, nought for none.
    pub back_shoulder_dart: f64,
    /// Without shoulders and armholes, so that the widths across chest and back bind nothing.
    pub strapless: bool,
}

/// What is said to the maker, in the unit of the card.
pub struct Notes {
    pub unit: Unit,
    pub list: Vec<Message>,
}

impl Notes {
    pub fn say(&mut self, grade: Grade, concerns: &[Measurement], problem: String, remedy: &str) {
        let place = concerns.first().map_or("bodice", |m| m.name());
        self.list.push(Message::new(grade, place, problem, remedy).about(concerns));
    }

    pub fn text(&self, mm: f64) -> String {
        self.unit.rough(mm)
    }
}
