//! What is to be planned for a garment, and the planning of it.

use std::time::Duration;

use draft_core::cloth::{Bolt, Cloth, Cut, Enough, KeptLay, LayOut, Purchase, Short, Stretch, Way, cuts};
use draft_core::lay::verify::{self, Fault};
use draft_core::lay::{Effort, Layout, Planner as _, SearchPlanner, Watch};
use draft_core::{Built, DraftError, Garment, Message, Name, Unit};

use super::{ClothLay, LaidStretch, fault_text};

/// How long and from which seed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// Time for each stretch of cloth.
    Time(Duration),
    /// Passes for each stretch of cloth.
    Passes(u64),
}

/// What is to be planned of a cloth.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'k> {
    /// Lay on these lengths and no more.
    pub have: Option<&'k [Bolt]>,
    /// How long to search.
    pub limit: Limit,
    /// Where chance begins.
    pub seed: u64,
    /// A lay whose held pieces stay where they lie.
    pub around: Option<&'k KeptLay>,
}

impl Ask<'_> {
    /// The shortest lay, from nothing.
    pub const fn shortest(limit: Limit, seed: u64) -> Self {
        Self { have: None, limit, seed, around: None }
    }
}

/// Gives each stretch its watch: with how much time there is for it.
pub type Watches<'w, 'a> = &'w dyn Fn(Option<Duration>, &Stretch) -> Box<dyn Watch + 'a>;

/// Everything that is to be planned for a garment.
pub struct LayJob<'a> {
    /// The garment.
    pub garment: &'a Garment,
    /// All that is cut.
    pub cuts: Vec<Cut>,
    /// What could not be cut.
    pub messages: Vec<Message>,
    built: &'a Built,
}

/// Layouts that are only tried are not shown.
struct Unseen<'w>(&'w dyn Watch);

impl Watch for Unseen<'_> {
    fn stop(&self) -> bool {
        self.0.stop()
    }

    fn together(&self, jobs: Vec<Box<dyn FnOnce() + Send + '_>>) {
        self.0.together(jobs);
    }
}

impl<'a> LayJob<'a> {
    /// For a built garment.
    pub fn of(garment: &'a Garment, built: &'a Built) -> Self {
        let (cuts, messages) = cuts(garment, built);
        Self { garment, cuts, messages, built }
    }

    /// Plans one cloth.
    ///
    /// # Errors
    /// A piece can't be laid, pieces are held where they can't stay, or nothing is cut from the cloth.
    pub fn plan(&self, cloth: &Cloth, ask: Ask<'_>, clock: Watches<'_, 'a>) -> Result<ClothLay, DraftError> {
        let Ask { have, limit, seed, around } = ask;
        cloth.check()?;
        let unit = self.garment.wearer.unit;
        let effort = Effort { seed, passes: if let Limit::Passes(n) = limit { n } else { u64::MAX }, ..Effort::default() };
        let time = if let Limit::Time(t) = limit { Some(t) } else { None };
        if !self.cuts.iter().any(|c| c.layer.cloth == cloth.name) {
            return Err(DraftError::new(
                format!("cloth {}", cloth.name),
                "is not used: no piece is cut from it",
                "Choose another cloth, or put it into the list of a piece.",
            ));
        }
        if let Some(bolts) = have {
            return self.enough(cloth, bolts, effort, clock, time);
        }
        let planned = |tilt: bool, share: u32| -> Result<(LayOut, Vec<Layout>), DraftError> {
            let mut lay_out = LayOut::of(cloth, &self.cuts, tilt);
            for stretch in &mut lay_out.stretches {
                if let Some(kept) = around.and_then(|k| k.stretch(stretch.spread)) {
                    stretch.task.fixed = kept.recall(stretch).fixed();
                    can_stay(cloth, stretch, unit)?;
                }
            }
            let parts = share * lay_out.stretches.len().max(1) as u32;
            let layouts: Result<Vec<Layout>, DraftError> =
                lay_out.stretches.iter().map(|s| SearchPlanner.plan(&s.task, effort, &*clock(time.map(|t| t / parts), s))).collect();
            Ok((lay_out, layouts?))
        };
        let buys = |(lay_out, layouts): &(LayOut, Vec<Layout>)| {
            Purchase::of(cloth, LayOut::length_mm(layouts), lay_out.stretches.iter().map(Stretch::main_pieces).sum())
        };
        // Pieces that are held may lie off the grain already.
        let held = around.is_some() && cloth.tilt_deg > 0.0;
        let shares = if cloth.tilt_deg > 0.0 && !held { 2 } else { 1 };
        let mut planned_lay = planned(held, shares)?;
        let mut purchase = buys(&planned_lay);
        if cloth.tilt_deg > 0.0 && !held {
            // Off the grain only where that saves a step of the shop.
            let tilted = planned(true, shares)?;
            let saves = buys(&tilted);
            if saves.buy_mm < purchase.buy_mm {
                (planned_lay, purchase) = (tilted, saves);
            }
        }
        let (lay_out, layouts) = planned_lay;
        let mut left_out = Vec::new();
        let mut messages = Vec::new();
        for wide in &lay_out.too_wide {
            let message = wide.message(unit);
            let laid = lay_out.stretches.iter().flat_map(|s| &s.pieces).any(|p| p.piece == wide.piece);
            if !laid {
                left_out.extend((0..wide.count as usize).map(|copy| (wide.piece.clone(), copy + 1, message.problem.clone())));
            }
            messages.push(message);
        }
        let stretches = lay_out.stretches.into_iter().zip(layouts).map(|(stretch, layout)| LaidStretch { stretch, layout }).collect();
        Ok(ClothLay { cloth: cloth.clone(), stretches, left_out, purchase, messages, help: Vec::new(), seed })
    }

    fn enough(
        &self,
        cloth: &Cloth,
        bolts: &[Bolt],
        effort: Effort,
        clock: Watches<'_, 'a>,
        time: Option<Duration>,
    ) -> Result<ClothLay, DraftError> {
        let unit = self.garment.wearer.unit;
        // Several lays are tried: half of the time is for the one that is asked for, half for what would help.
        let Some(first) = Enough::stretch(cloth, &self.cuts, bolts) else {
            return Err(DraftError::new(
                format!("cloth {}", cloth.name),
                "is cut for no piece that fits across it",
                "Choose another cloth, or piece the wide ones.",
            ));
        };
        let half = time.map(|t| t / 2);
        let mut enough = Enough::of(cloth, &self.cuts, bolts, &SearchPlanner, effort, &*clock(half, &first))?;
        let short = Short { garment: self.garment, built: self.built, cuts: &self.cuts, cloth, bolts, planner: &SearchPlanner, effort };
        enough.help = short.help(&enough, &Unseen(&*clock(half, &first)))?;
        let there: f64 = bolts.iter().map(|b| b.length.mm()).sum();
        let wide = LayOut::of(cloth, &self.cuts, false).too_wide;
        let reason = |name: &Name| {
            wide.iter().find(|w| w.piece == *name).map_or_else(
                || format!("no room was found in {}; that is no proof that there is none", unit.rough(there)),
                |w| w.message(unit).problem,
            )
        };
        let left_out = enough.left_out.iter().map(|(name, copy)| (name.clone(), *copy, reason(name))).collect();
        let more = enough.help.iter().find_map(|h| if let Way::More(mm) = h.way { Some(mm) } else { None });
        let mut purchase = Purchase::of(cloth, enough.layout.length_mm, 0);
        purchase.buy_mm = cloth.sold_by.round_up(more.unwrap_or(0.0));
        purchase.cost = cloth.price.as_ref().map(|p| p.of(purchase.buy_mm));
        Ok(ClothLay {
            cloth: cloth.clone(),
            stretches: vec![LaidStretch { stretch: enough.stretch, layout: enough.layout }],
            left_out,
            purchase,
            messages: wide.iter().map(|w| w.message(unit)).collect(),
            help: enough.help,
            seed: effort.seed,
        })
    }
}

/// Refuses pieces that are held on one another, off the cloth, or in a way in which they may not lie.
fn can_stay(cloth: &Cloth, stretch: &Stretch, unit: Unit) -> Result<(), DraftError> {
    let task = &stretch.task;
    let held = Layout { placed: task.fixed.clone(), ..Layout::default() };
    let wrong = |f: &Fault| !matches!(f, Fault::Miscounted(_) | Fault::WrongLength(_) | Fault::TooLong(_));
    match verify::faults(task, &held).into_iter().find(wrong) {
        None => Ok(()),
        Some(fault) => Err(DraftError::new(
            format!("lay of {}", cloth.name),
            format!(
                "{}, and {}",
                fault_text(stretch, &fault, unit),
                if fault.copies().len() > 1 { "both are held" } else { "is held there" }
            ),
            "Move them where they may lie, or let go of one, and lay the rest again.",
        )),
    }
}
