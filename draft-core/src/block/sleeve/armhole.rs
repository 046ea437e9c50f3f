//! The armhole as it stands on the bodice's pieces: its two halves, and where their notches lie.

use crate::{Draft, EdgeRun};

/// Where the notches lie when the bodice has none, as parts of each armhole half from the underarm; common practice is
/// the lower bend.
pub const FRONT_NOTCH: f64 = 0.38;
/// The back one is double.
pub const BACK_NOTCH: f64 = 0.42;

/// Half of an armhole, from the shoulder to the underarm.
#[derive(Clone, Debug, PartialEq)]
pub struct Half {
    /// The edges that it goes along, from the shoulder down.
    pub runs: Vec<EdgeRun>,
    /// Their length, millimetres.
    pub length: f64,
    /// From the underarm up to the notch, millimetres along the armhole.
    pub notch: f64,
}

/// Front and back half.
#[derive(Clone, Debug, PartialEq)]
pub struct Armhole {
    pub front: Half,
    pub back: Half,
}

impl Armhole {
    /// The armhole of the bodice that has been drafted; `None` where a half is not there.
    ///
    /// A half may lie on one piece or go on over a seam from the inner to the side panel.
    pub fn on(draft: &Draft) -> Option<Self> {
        Some(Self {
            front: half(draft, ["front", "side front"], false, FRONT_NOTCH)?,
            back: half(draft, ["back", "side back"], true, BACK_NOTCH)?,
        })
    }

    /// Length all round, millimetres.
    pub fn length(&self) -> f64 {
        self.front.length + self.back.length
    }
}

fn half(draft: &Draft, pieces: [&'static str; 2], double: bool, usual: f64) -> Option<Half> {
    let mut runs = Vec::new();
    let mut length = 0.0;
    let mut from_shoulder = Vec::new();
    for name in pieces {
        let Some(piece) = draft.piece(name) else { continue };
        let Some(edge_mm) = piece.edge_length_mm("armhole") else { continue };
        let notches = piece.notches().iter().filter(|n| n.edge == *"armhole" && n.double == double);
        from_shoulder.extend(notches.map(|n| length + n.from_start_mm));
        length += edge_mm;
        runs.push(EdgeRun::new(name, "armhole"));
    }
    if runs.is_empty() {
        return None;
    }
    // Other notches may stand on the armhole, where a dart or a seam runs into it: the sleeve's is the one nearest to
    // its usual place.
    let off = |from: &f64| (length - from - usual * length).abs();
    let notch = from_shoulder.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).map_or(usual * length, |from| length - from);
    Some(Half { runs, length, notch: notch.clamp(0.1 * length, 0.8 * length) })
}
