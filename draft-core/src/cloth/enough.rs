//! Whether what is in the cupboard suffices.

use kurbo::Rect;

use super::{Bolt, Cloth, Cut, Help, LayOut, Spread, Stretch};
use crate::lay::{Effort, Extent, Layout, Planner, Task, Watch};
use crate::{DraftError, Name};

/// Between two lengths of cloth that are laid on one table no piece may lie; millimetres.
const BETWEEN_MM: f64 = 200.0;

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Enough {
    /// The stretch that was laid, and how.
    pub stretch: Stretch,
    /// Where the pieces lie.
    pub layout: Layout,
    /// Pieces that found no room, with the number of the copy from 1.
    pub left_out: Vec<(Name, usize)>,
    /// What would help, as far as it has been looked for.
    pub help: Vec<Help>,
}

impl Enough {
    /// Whether everything fits. That something does not is no proof: a longer search may find room.
    pub fn is_enough(&self) -> bool {
        self.left_out.is_empty()
    }
}

/// Puts the lengths of the cupboard one behind another as one task: between them, on their flaws, and beside those that
/// are narrower, nothing may lie.
pub fn enough_task(stretch: &Stretch, cloth: &Cloth, bolts: &[Bolt]) -> Task {
    let halves = if stretch.spread == Spread::Folded { 2.0 } else { 1.0 };
    let usable = |bolt: &Bolt| cloth.usable_of_mm(bolt.width.unwrap_or(cloth.width).mm());
    let width_mm = bolts.iter().map(usable).fold(0.0, f64::max) / halves;
    let mut flaws = Vec::new();
    let mut at = 0.0;
    for (i, bolt) in bolts.iter().enumerate() {
        if i > 0 {
            let gap = stretch.task.gap_mm;
            // Pieces may come right up to the ends of both lengths.
            flaws.push(Rect::new(at + gap, -10.0, at + BETWEEN_MM - gap, width_mm + 10.0));
            at += BETWEEN_MM;
        }
        let length = bolt.length.mm() / cloth.sold_per_laid();
        let (wide, shrunk) = (usable(bolt), usable(bolt) / (bolt.width.unwrap_or(cloth.width).mm() - 2.0 * cloth.selvedge.mm()));
        if wide / halves < width_mm - 1e-6 {
            flaws.push(Rect::new(at, wide / halves + stretch.task.gap_mm, at + length, width_mm + 10.0));
        }
        for flaw in &bolt.flaws {
            let along = length / bolt.length.mm();
            let (x0, x1) = (flaw.from_end.mm() * along, (flaw.from_end.mm() + flaw.long.mm()) * along);
            let y0 = (flaw.from_selvedge.mm() - cloth.selvedge.mm()) * shrunk;
            let y1 = y0 + flaw.wide.mm() * shrunk;
            let (y0, y1) = if stretch.spread == Spread::Folded {
                // Distance from the fold, in the middle; a flaw across it begins there.
                let (a, b) = (y0 - wide / 2.0, y1 - wide / 2.0);
                (if a * b < 0.0 { 0.0 } else { a.abs().min(b.abs()) }, a.abs().max(b.abs()))
            } else {
                (y0, y1)
            };
            flaws.push(Rect::new(at + x0.max(0.0), y0.max(-10.0), at + x1.min(length), y1.min(width_mm + 10.0)));
        }
        at += length;
    }
    let flaws = flaws.into_iter().filter(|f| f.x1 > f.x0 && f.y1 > f.y0).collect();
    Task { width_mm, extent: Extent::Only(at.max(1.0)), flaws, ..stretch.task.clone() }
}

impl Enough {
    /// What the planner is given for it: the lengths as one stretch, with the pieces that fit at all. Layouts that it
    /// shows on the way are numbered by this.
    pub fn stretch(cloth: &Cloth, cuts: &[Cut], bolts: &[Bolt]) -> Option<Stretch> {
        let mut stretch = on_one_table(cloth, cuts).stretches.into_iter().next()?;
        stretch.task = enough_task(&stretch, cloth, bolts);
        let keep = fitting(&stretch.task);
        stretch.pieces = keep.iter().map(|&i| stretch.pieces[i].clone()).collect();
        stretch.task.items = keep.iter().map(|&i| stretch.task.items[i].clone()).collect();
        Some(stretch)
    }

    /// Lays what is cut from a cloth on the lengths that there are. Nothing has been looked for that would help.
    ///
    /// # Errors
    /// As for the planner; or nothing is cut from the cloth, or nothing of it is there.
    pub fn of(
        cloth: &Cloth,
        cuts: &[Cut],
        bolts: &[Bolt],
        planner: &dyn Planner,
        effort: Effort,
        watch: &dyn Watch,
    ) -> Result<Self, DraftError> {
        let refuse = |problem: &str, remedy: &str| DraftError::new(format!("cloth {}", cloth.name), problem, remedy);
        if bolts.is_empty() {
            return Err(refuse("has nothing in the cupboard", "Enter the lengths that you have."));
        }
        let found = laid(cloth, cuts, bolts, planner, effort, watch)?;
        found.ok_or_else(|| refuse("is cut for no piece that fits across it", "Choose another cloth, or piece the wide ones."))
    }
}

/// The lay out in one stretch: in a single layer where some pieces can't be cut from folded cloth.
fn on_one_table(cloth: &Cloth, cuts: &[Cut]) -> LayOut {
    let lay_out = LayOut::of(cloth, cuts, false);
    if lay_out.stretches.len() <= 1 {
        return lay_out;
    }
    LayOut::of(&Cloth { spread: Spread::Single, ..cloth.clone() }, cuts, false)
}

/// Which items of a task fit at all.
fn fitting(task: &Task) -> Vec<usize> {
    (0..task.items.len()).filter(|&i| task.fits_across(&task.items[i])).collect()
}

/// Lays on the lengths that there are: in a single layer where two stretches would have to share one length, which can't
/// be divided without knowing where. Nothing where nothing fits across.
pub(super) fn laid(
    cloth: &Cloth,
    cuts: &[Cut],
    bolts: &[Bolt],
    planner: &dyn Planner,
    effort: Effort,
    watch: &dyn Watch,
) -> Result<Option<Enough>, DraftError> {
    let lay_out = on_one_table(cloth, cuts);
    let [stretch] = lay_out.stretches.as_slice() else { return Ok(None) };
    let mut stretch = stretch.clone();
    stretch.task = enough_task(&stretch, cloth, bolts);
    // What is wider than these lengths is left out with the rest.
    let layout = plan_what_fits(&stretch.task, planner, effort, watch)?;
    let mut left_out = named(&stretch, &layout);
    // And what is wider than any length of the cloth.
    for wide in &lay_out.too_wide {
        let laid = |copy: usize| stretch.numbered(&wide.piece, copy).is_some();
        left_out.extend((1..=wide.count as usize).filter(|copy| !laid(*copy)).map(|copy| (wide.piece.clone(), copy)));
    }
    Ok(Some(Enough { stretch, layout, left_out, help: Vec::new() }))
}

/// Plans with those items that fit at all; the others come back as left out.
fn plan_what_fits(task: &Task, planner: &dyn Planner, effort: Effort, watch: &dyn Watch) -> Result<Layout, DraftError> {
    let keep = fitting(task);
    let items = keep.iter().map(|&i| task.items[i].clone()).collect();
    let mut layout = planner.plan(&Task { items, ..task.clone() }, effort, watch)?;
    layout.placed.iter_mut().for_each(|p| p.item = keep[p.item]);
    layout.left_out.iter_mut().for_each(|c| c.0 = keep[c.0]);
    for (i, item) in task.items.iter().enumerate().filter(|(i, _)| !keep.contains(i)) {
        layout.left_out.extend((0..item.copies).map(|copy| (i, copy)));
    }
    Ok(layout)
}

fn named(stretch: &Stretch, layout: &Layout) -> Vec<(Name, usize)> {
    layout.left_out.iter().filter_map(|&(item, copy)| stretch.named(item, copy).map(|(n, c)| (n.clone(), c))).collect()
}
