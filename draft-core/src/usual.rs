//! How much ease is usual, level by level, by what the garment is for.
//!
//! Bust, waist, hip and the waist of a skirt of close-fitting garments after a university costume text (chapter *Ease*
//! of the course book at cwu.edu/~robinsos, `costxt_16.htm`: bodice 1 1/2 to 2 in at the bust, dress 3/4 to 1 in and
//! skirt 1/2 to 3/4 in at the waist, hips of all garments 2 to 2 3/4 in). All the rest is *common practice*, from
//! memory: people differ in what they like, and cloth in what it gives.

use crate::{Girth, Unit};

/// What a garment is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// It follows the body: a fitted gown, a waistcoat.
    CloseFitting,
    /// It is worn all day: a dress, a blouse.
    Everyday,
    /// It hangs from the body: a smock, a coat over other clothes.
    Roomy,
}

impl Purpose {
    /// From the closest to the widest.
    pub const ALL: [Self; 3] = [Self::CloseFitting, Self::Everyday, Self::Roomy];

    /// As the maker reads it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::CloseFitting => "close-fitting",
            Self::Everyday => "everyday",
            Self::Roomy => "roomy",
        }
    }
}

/// Where a usual ease comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// The university costume text named above.
    CostumeText,
    /// Common practice of the trade, from memory.
    CommonPractice,
}

impl Source {
    /// As the maker reads it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::CostumeText => "a university costume text",
            Self::CommonPractice => "common practice",
        }
    }
}

/// The ease that is usual at a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Usual {
    /// What the garment is for.
    pub purpose: Purpose,
    /// Least, millimetres.
    pub low_mm: f64,
    /// Most, millimetres.
    pub high_mm: f64,
    /// Where it comes from.
    pub source: Source,
}

impl Usual {
    /// Both ends with the unit: `3.8 to 5.1 cm`.
    pub fn text(&self, unit: Unit) -> String {
        let (low, high) = (unit.rough(self.low_mm), unit.rough(self.high_mm));
        let low = low.strip_suffix(unit.sign()).map_or(low.as_str(), str::trim_end);
        format!("{low} to {high}")
    }
}

const INCH: f64 = 25.4;

/// What is usual at a level, for each purpose; `None` where there is nothing to say.
pub fn of(level: &str) -> Option<[Usual; 3]> {
    use Source::{CommonPractice, CostumeText};
    let (close, everyday, roomy, source) = match level {
        "neck" => ((0.0, 10.0), (10.0, 25.0), (25.0, 60.0), CommonPractice),
        "across back" => ((10.0, 20.0), (20.0, 35.0), (35.0, 70.0), CommonPractice),
        "across chest" => ((0.0, 10.0), (10.0, 20.0), (20.0, 50.0), CommonPractice),
        "bust" => ((1.5 * INCH, 2.0 * INCH), (2.0 * INCH, 100.0), (100.0, 200.0), CostumeText),
        "underbust" => ((15.0, 40.0), (40.0, 80.0), (80.0, 180.0), CommonPractice),
        "waist" => ((0.75 * INCH, INCH), (INCH, 60.0), (60.0, 150.0), CostumeText),
        "skirt waist" | "skirt at the natural waist" | "circle waist" => {
            ((0.5 * INCH, 0.75 * INCH), (0.75 * INCH, 30.0), (30.0, 60.0), CostumeText)
        }
        "hip" => ((2.0 * INCH, 2.75 * INCH), (2.75 * INCH, 110.0), (110.0, 300.0), CostumeText),
        "upper arm" => ((25.0, 50.0), (50.0, 90.0), (90.0, 200.0), CommonPractice),
        "elbow" => ((20.0, 40.0), (40.0, 80.0), (80.0, 200.0), CommonPractice),
        "wrist" | "sleeve hem" => ((20.0, 40.0), (40.0, 80.0), (80.0, 250.0), CommonPractice),
        "hem" | "circle hem" => ((0.0, 200.0), (200.0, 1000.0), (1000.0, 3000.0), CommonPractice),
        "collar top" => ((10.0, 20.0), (20.0, 40.0), (40.0, 100.0), CommonPractice),
        _ => return None,
    };
    let usual = |purpose, (low_mm, high_mm), source| Usual { purpose, low_mm, high_mm, source };
    Some([
        usual(Purpose::CloseFitting, close, source),
        usual(Purpose::Everyday, everyday, CommonPractice),
        usual(Purpose::Roomy, roomy, CommonPractice),
    ])
}

/// How a finished girth stands to what is usual.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Standing {
    /// Within what is usual for a purpose.
    Within(Usual),
    /// Less than what is usual for a close-fitting garment.
    Less(Usual),
    /// More than what is usual for a roomy one.
    More(Usual),
}

impl Standing {
    /// In words: `everyday (usual 5.1 to 10.0 cm)`.
    pub fn text(&self, unit: Unit) -> String {
        let (way, usual) = match self {
            Self::Within(usual) => ("", usual),
            Self::Less(usual) => ("less than ", usual),
            Self::More(usual) => ("more than ", usual),
        };
        format!("{way}{} (usual {})", usual.purpose.name(), usual.text(unit))
    }
}

/// What the ease of a girth is usual for; `None` where there is nothing to say.
pub fn standing(girth: &Girth) -> Option<Standing> {
    let all = of(girth.level)?;
    // Two inches are 50.8 mm: whoever asks for 5 cm asks for the same.
    const SAME_MM: f64 = 1.0;
    let ease = girth.finished_mm - girth.body_mm;
    let [close, _, roomy] = all;
    if ease < close.low_mm - SAME_MM {
        return Some(Standing::Less(close));
    }
    let within = all.into_iter().find(|u| ease <= u.high_mm + SAME_MM);
    Some(within.map_or(Standing::More(roomy), Standing::Within))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_purpose_begins_where_the_closer_one_ends() {
        for level in ["neck", "across back", "across chest", "bust", "underbust", "waist", "skirt waist", "hip", "upper arm", "elbow"] {
            let in_order =
                |all: [Usual; 3]| all.iter().all(|u| u.low_mm < u.high_mm) && all.windows(2).all(|w| w[0].high_mm == w[1].low_mm);
            assert!(of(level).is_some_and(in_order), "{level}");
        }
        assert!(of("moon").is_none());
    }

    #[test]
    fn a_girth_stands_somewhere() {
        let bust = |ease: f64| Girth { level: "bust", body_mm: 900.0, ease_mm: ease, finished_mm: 900.0 + ease };
        let text = |ease| standing(&bust(ease)).map(|s| s.text(Unit::Cm)).unwrap_or_default();
        assert_eq!(text(20.0), "less than close-fitting (usual 3.8 to 5.1 cm)");
        assert_eq!(text(60.0), "everyday (usual 5.1 to 10.0 cm)");
        assert_eq!(text(900.0), "more than roomy (usual 10.0 to 20.0 cm)");
    }
}
