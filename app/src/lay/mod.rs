//! Planning the lays of a garment: with a clock, threads, and a way to stop; and what is reported of them.

mod clock;
mod cloth_lay;
mod job;
mod report;

use draft_core::Unit;
use draft_core::cloth::Stretch;
use draft_core::lay::verify::Fault;

pub use clock::{Clock, Shown};
pub use cloth_lay::{ClothLay, LaidStretch};
pub use job::{Ask, LayJob, Limit, Watches};
pub use report::LayReport;

/// What is wrong, with the names of the pieces and lengths in a unit.
pub fn fault_text(stretch: &Stretch, fault: &Fault, unit: Unit) -> String {
    let name = |(item, copy)| stretch.named(item, copy).map_or_else(String::new, |(name, copy)| format!("{name} {copy}"));
    if let Fault::Miscounted(copy) = fault {
        return format!("{} is not laid", name(*copy));
    }
    let area = |mm2: f64| if mm2 < 10.0 { "less than 0.1 cm²".to_owned() } else { format!("{:.1} cm²", mm2 / 100.0) };
    fault.text(&name, &|mm| unit.text(mm), &area)
}
