//! Drawings made elsewhere: their closed outlines, as pieces.

pub mod dxf;
pub mod svg;

use kurbo::{BezPath, PathEl, Point};

/// The last point of an outline may miss its first by this much, millimetres.
const CLOSES_MM: f64 = 0.01;

/// One closed outline of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Its id, or its layer's name; made different from the others' by a number.
    pub name: String,
    /// Closed, millimetres, y down.
    pub path: BezPath,
}

/// What was read of a drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Read {
    /// The closed outlines, in the order of the drawing.
    pub outlines: Vec<Outline>,
    /// What is in the drawing and is no closed outline, in words.
    pub left_out: Vec<String>,
}

impl Read {
    /// Adds the closed runs of a path under a name; open ones are left out, and said so.
    fn add(&mut self, name: &str, path: &BezPath) {
        for run in runs(path) {
            let ends = (first(&run), run.elements().iter().rev().find_map(PathEl::end_point));
            let is_closed = matches!(run.elements().last(), Some(PathEl::ClosePath));
            let meets = ends.0.zip(ends.1).is_some_and(|(a, b)| a.distance(b) <= CLOSES_MM);
            if !is_closed && !meets {
                self.left_out.push(format!("{name}: a line that is not closed"));
                continue;
            }
            let mut run = run;
            if !is_closed {
                run.close_path();
            }
            let name = self.unused(name);
            self.outlines.push(Outline { name, path: run });
        }
    }

    fn unused(&self, name: &str) -> String {
        let taken = |n: &str| self.outlines.iter().any(|o| o.name == n);
        let name = if name.trim().is_empty() { "piece" } else { name.trim() };
        if !taken(name) {
            return name.to_owned();
        }
        let mut number = 2;
        while taken(&format!("{name} {number}")) {
            number += 1;
        }
        format!("{name} {number}")
    }
}

fn first(path: &BezPath) -> Option<Point> {
    match path.elements().first() {
        Some(PathEl::MoveTo(p)) => Some(*p),
        _ => None,
    }
}

/// The runs of a path, each from its own start.
fn runs(path: &BezPath) -> Vec<BezPath> {
    let mut out: Vec<BezPath> = Vec::new();
    for el in path.elements() {
        match (el, out.last_mut()) {
            (PathEl::MoveTo(_), _) | (_, None) => out.push(BezPath::from_vec(vec![*el])),
            (_, Some(run)) => run.push(*el),
        }
    }
    out.retain(|run| run.elements().len() > 1);
    out
}
