//! How a lay that was kept stands on the pieces as they are now.

use super::{KeptLay, LayOut, Purchase, Recalled, Stretch};
use crate::lay::verify::{Copy, Fault, faults};
use crate::lay::{Layout, area_mm2};

/// One stretch of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Stood {
    /// Where the pieces lie, which are held, and what has changed since.
    pub recalled: Recalled,
    /// What is wrong with it, found apart from any planner.
    pub faults: Vec<Fault>,
}

/// A lay on the pieces as they are now; in the order of the stretches that are to be laid.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// The stretches.
    pub stretches: Vec<Stood>,
    /// Whether there is any lay at all.
    pub is_laid: bool,
}

impl Standing {
    /// Of what is to be laid, and the lay that was kept.
    pub fn of(lay_out: &LayOut, kept: Option<&KeptLay>) -> Self {
        let stood = |stretch: &Stretch| {
            let recalled = kept.and_then(|k| k.stretch(stretch.spread)).map_or_else(|| Recalled::nothing(stretch), |k| k.recall(stretch));
            let faults = faults(&stretch.task, &recalled.layout);
            Stood { recalled, faults }
        };
        Self { stretches: lay_out.stretches.iter().map(stood).collect(), is_laid: kept.is_some() }
    }

    /// Everything lies, and nothing is wrong with how it lies.
    pub fn is_sound(&self) -> bool {
        self.is_laid && self.stretches.iter().all(|s| s.faults.is_empty())
    }

    /// Pieces or cloth have changed since it was laid.
    pub fn is_stale(&self) -> bool {
        self.is_laid && self.stretches.iter().any(|s| !s.recalled.changed.is_empty())
    }

    /// What has changed, in words.
    pub fn changed(&self) -> Vec<&str> {
        self.stretches.iter().flat_map(|s| &s.recalled.changed).map(String::as_str).collect()
    }

    /// Length of the lay, all stretches together, millimetres.
    pub fn length_mm(&self) -> f64 {
        self.stretches.iter().map(|s| s.recalled.layout.length_mm).sum()
    }

    /// What is to be bought for it.
    pub fn purchase(&self, lay_out: &LayOut) -> Purchase {
        Purchase::of(&lay_out.cloth, self.length_mm(), lay_out.stretches.iter().map(Stretch::main_pieces).sum())
    }

    /// Share of the cloth that is pieces.
    pub fn density(&self, lay_out: &LayOut) -> f64 {
        let each = self.stretches.iter().zip(&lay_out.stretches);
        let (pieces, cloth) = each.fold((0.0, 0.0), |(pieces, cloth), (stood, stretch)| {
            let layout: &Layout = &stood.recalled.layout;
            let laid: f64 = layout.placed.iter().map(|p| area_mm2(&p.outline(&stretch.task))).sum();
            (pieces + laid, cloth + layout.length_mm * stretch.task.width_mm)
        });
        if cloth > 0.0 { pieces / cloth } else { 0.0 }
    }
}

impl Stood {
    /// What is wrong with one copy.
    pub fn faults_of(&self, copy: Copy) -> impl Iterator<Item = &Fault> {
        self.faults.iter().filter(move |f| f.copies().contains(&copy))
    }
}

impl Recalled {
    /// Of a stretch that was never laid.
    fn nothing(stretch: &Stretch) -> Self {
        let items = stretch.task.items.iter().enumerate();
        let left_out = items.flat_map(|(i, item)| (0..item.copies).map(move |copy| (i, copy))).collect();
        Self { layout: Layout { left_out, ..Layout::default() }, held: Vec::new(), changed: vec!["it has not been laid yet".into()] }
    }
}
