//! Published instances of irregular strip packing, from `tests/data/lay`.

use std::path::Path;

use draft_core::lay::{Extent, Item, Task, Turn};
use kurbo::Point;
use serde::Deserialize;

/// Cloth of an instance is scaled to this width, so that its units are of the size of millimetres.
const WIDTH_MM: f64 = 1000.0;

#[derive(Deserialize)]
struct Instance {
    strip_height: f64,
    items: Vec<InstanceItem>,
}

#[derive(Deserialize)]
struct InstanceItem {
    demand: usize,
    allowed_orientations: Vec<f64>,
    shape: Outline,
}

#[derive(Deserialize)]
struct Outline {
    data: Vec<(f64, f64)>,
}

/// An instance as a task, and how many of its units one millimetre of the task is.
///
/// # Errors
/// The file can't be read, or is of another form.
pub fn read(path: &Path) -> Result<(Task, f64), String> {
    let text = std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
    let instance: Instance = serde_json::from_str(&text).map_err(|e| format!("{}: {e}", path.display()))?;
    let scale = WIDTH_MM / instance.strip_height;
    let items = instance.items.iter().enumerate().map(|(i, item)| {
        let mut outline: Vec<Point> = item.shape.data.iter().map(|(x, y)| Point::new(x * scale, y * scale)).collect();
        if outline.first() == outline.last() {
            outline.pop();
        }
        Item {
            name: format!("item {i}"),
            outline,
            copies: item.demand,
            turns: item.allowed_orientations.iter().map(|a| Turn::by(*a)).collect(),
            on_fold: false,
            weight: 1.0,
        }
    });
    let task =
        Task { width_mm: WIDTH_MM, extent: Extent::Shortest, gap_mm: 0.0, flaws: Vec::new(), items: items.collect(), fixed: Vec::new() };
    Ok((task, 1.0 / scale))
}
