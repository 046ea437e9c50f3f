//! What the Lay stage knows of the garment: what is cut, how it can be laid, and how the lays that were kept stand.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use draft_core::cloth::{Cloth, Cut, Estimate, KeptLay, LayOut, Purchase, Stack, Standing, Stretch, cuts, estimate};
use draft_core::lay::Watch;
use draft_core::shopping::{Basis, BuyLine};
use draft_core::{Built, Draft, DraftError, Garment, Message};
use egui::Context;

use super::shape::ItemShape;
use crate::window::errand::{Errand, Standing as Under};

/// One cloth on the bench.
pub struct OnBench {
    /// What is laid of it, in every way that it allows.
    pub lay_out: LayOut,
    /// How its lay stands.
    pub standing: Standing,
    /// Outlines of the items of each stretch, ready to be painted.
    pub shapes: Vec<Vec<ItemShape>>,
    /// How much it takes, roughly; nothing until that is known.
    estimate: Option<Result<Estimate, DraftError>>,
}

type Estimates = Vec<(LayOut, Result<Estimate, DraftError>)>;

/// Everything, made anew when what it rests on has changed.
pub struct Bench {
    cloths: Vec<Cloth>,
    stacks: Vec<Stack>,
    lays: Vec<KeptLay>,
    draft: Arc<Draft>,
    /// All that is cut.
    pub cuts: Vec<Cut>,
    /// What could not be cut.
    pub messages: Vec<Message>,
    /// The cloths, in the order of the garment.
    pub on: Vec<OnBench>,
    estimating: Option<(Errand<Estimates>, Arc<AtomicBool>)>,
}

/// Stops an estimate that nobody waits for any more.
struct Called(Arc<AtomicBool>);

impl Watch for Called {
    fn stop(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        if let Some((_, stop)) = &self.estimating {
            stop.store(true, Ordering::Relaxed);
        }
    }
}

impl Bench {
    /// Looks whether it is still of the garment as it is, and makes it anew where it is not.
    /// With `busy` nothing is estimated meanwhile, so that the planner has the machine to itself.
    pub fn follow(this: &mut Option<Self>, ctx: &Context, garment: &Garment, built: &Built, busy: bool) {
        let same =
            this.as_ref().is_some_and(|b| Arc::ptr_eq(&b.draft, &built.draft) && b.cloths == garment.cloths && b.stacks == garment.stacks);
        if !same {
            let before = this.take();
            *this = Some(Self::of(garment, built, before));
        }
        let Some(bench) = this else { return };
        if bench.lays != garment.lays {
            bench.lays.clone_from(&garment.lays);
            for on in &mut bench.on {
                on.stand(&garment.lays);
            }
        }
        bench.look_at_estimates(ctx, busy);
    }

    fn of(garment: &Garment, built: &Built, before: Option<Self>) -> Self {
        let (cuts, messages) = cuts(garment, built);
        let mut known: Vec<OnBench> = before.map_or_else(Vec::new, |mut b| std::mem::take(&mut b.on));
        let on = garment
            .cloths_or_plain()
            .iter()
            .map(|cloth| {
                let lay_out = LayOut::of(cloth, &cuts, true);
                // What has not changed keeps what was found out about it.
                if let Some(at) = known.iter().position(|k| k.lay_out == lay_out) {
                    let mut on = known.swap_remove(at);
                    on.stand(&garment.lays);
                    return on;
                }
                let shapes = lay_out.stretches.iter().map(|s| s.task.items.iter().map(ItemShape::of).collect()).collect();
                let standing = Standing::of(&lay_out, kept(&garment.lays, cloth));
                OnBench { lay_out, standing, shapes, estimate: None }
            })
            .collect();
        Self {
            cloths: garment.cloths.clone(),
            stacks: garment.stacks.clone(),
            lays: garment.lays.clone(),
            draft: Arc::clone(&built.draft),
            cuts,
            messages,
            on,
            estimating: None,
        }
    }

    fn look_at_estimates(&mut self, ctx: &Context, busy: bool) {
        if let Some((errand, stop)) = self.estimating.take() {
            match errand.look() {
                Under::Out => self.estimating = Some((errand, stop)),
                Under::Back(found) => {
                    for (lay_out, estimate) in found {
                        if let Some(on) = self.on.iter_mut().find(|on| on.lay_out == lay_out) {
                            on.estimate = Some(estimate);
                        }
                    }
                }
                Under::Lost => {}
            }
        }
        let wanted: Vec<(LayOut, Vec<Cut>)> = self
            .on
            .iter()
            .filter(|on| on.estimate.is_none() && !on.lay_out.stretches.is_empty() && !on.standing.is_sound())
            .map(|on| (on.lay_out.clone(), self.cuts.iter().filter(|c| c.layer.cloth == on.lay_out.cloth.name).cloned().collect()))
            .collect();
        if let Some((_, stop)) = &self.estimating {
            stop.store(busy, Ordering::Relaxed);
        }
        if wanted.is_empty() || self.estimating.is_some() || busy {
            return;
        }
        let stop = Arc::new(AtomicBool::new(false));
        let called = Called(Arc::clone(&stop));
        let errand = Errand::send(ctx, move || {
            let mut found = Vec::new();
            for (lay_out, cuts) in wanted {
                if called.stop() {
                    break;
                }
                let straight = LayOut::of(&lay_out.cloth, &cuts, false);
                let estimated = estimate(&straight, &called);
                if called.stop() {
                    // Cut short, it is none.
                    break;
                }
                found.push((lay_out, estimated));
            }
            found
        });
        self.estimating = Some((errand, stop));
    }

    /// What to buy, cloth by cloth; a cloth whose length is not known yet is left out.
    pub fn shopping(&self) -> Vec<BuyLine> {
        self.on.iter().filter_map(OnBench::buy_line).collect()
    }

    /// Whether lengths are still being estimated.
    pub const fn is_estimating(&self) -> bool {
        self.estimating.is_some()
    }
}

fn kept<'l>(lays: &'l [KeptLay], cloth: &Cloth) -> Option<&'l KeptLay> {
    lays.iter().find(|l| l.cloth == cloth.name)
}

impl OnBench {
    fn stand(&mut self, lays: &[KeptLay]) {
        self.standing = Standing::of(&self.lay_out, kept(lays, &self.lay_out.cloth));
    }

    /// Whether anything is cut from it.
    pub const fn is_used(&self) -> bool {
        !self.lay_out.stretches.is_empty() || !self.lay_out.too_wide.is_empty()
    }

    /// How much it takes, before it is laid: the length to buy, roughly.
    pub fn estimated(&self) -> Option<(Purchase, f64)> {
        let estimate = self.estimate.as_ref()?.as_ref().ok()?;
        let pieces = self.lay_out.stretches.iter().map(Stretch::main_pieces).sum();
        Some((Purchase::of(&self.lay_out.cloth, estimate.length_mm, pieces), estimate.likely_error))
    }

    /// What of it to buy.
    pub fn buy_line(&self) -> Option<BuyLine> {
        let cloth = self.lay_out.cloth.clone();
        let part = !self.lay_out.too_wide.is_empty();
        if self.standing.is_sound() {
            let basis = match (part, self.standing.is_stale()) {
                (true, _) => Basis::Part,
                (false, true) => Basis::Doubtful,
                (false, false) => Basis::Lay,
            };
            return Some(BuyLine { cloth, basis, purchase: self.standing.purchase(&self.lay_out) });
        }
        let (purchase, error) = self.estimated()?;
        let basis = if part { Basis::Part } else { Basis::Estimate(error) };
        Some(BuyLine { cloth, basis, purchase })
    }
}
