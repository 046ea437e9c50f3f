//! Seam line to cut line.
//!
//! Each edge is followed at its own allowance, corners are built as the sewer will need them ([`CornerKind`]), and a
//! dart's opening is crossed in its fold cap. Where allowances run into one another, the cut line goes round all of
//! them.

mod clean;
mod corner;
mod dart_mouth;
mod loops;
mod rail;
#[cfg(test)]
mod tests;

use kurbo::{BezPath, ParamCurve, PathSeg, Point, Shape};

use crate::geometry::tangent;
use crate::{Dart, DraftError, Edge, Piece, Role};
pub use corner::CornerKind;
use corner::Join;
use dart_mouth::Mouth;
use rail::{Arm, Rail, Tracer};

/// The line along which a piece is cut: the seam line with the allowance of each edge.
///
/// The path is closed, does not cross itself and goes round the piece with its darts closed. It is true to
/// [`crate::ACCURACY_MM`]. Offsets of curves stay curves, but where allowances had to be united.
///
/// # Errors
/// The outline is so far out of shape that its parallel has no finite points.
pub fn cut_line(piece: &Piece) -> Result<BezPath, DraftError> {
    let path = Border::of(piece, allowance_mm).cut_line();
    if path.is_finite() && !path.elements().is_empty() {
        return Ok(path);
    }
    Err(DraftError::new(
        piece.name().to_string(),
        "has an outline round which no allowance can be drawn",
        "Look for an edge that is no longer than a point, or for sizes far out of the usual.",
    ))
}

/// The seam line across a dart's opening as the cloth must be shaped there: from the first leg's end over the peak
/// to the second leg's, so that it lies along the seam when the dart is folded and pressed. `None` when the dart is
/// shut or not in the outline.
///
/// It is symmetric about the fold; for two legs of different length it ends beside the longer one's end.
pub fn dart_cap(piece: &Piece, dart: &Dart) -> Option<BezPath> {
    Mouth::of(piece, dart)?;
    let border = Border::of(piece, |_| 0.0);
    let first = dart_mouth::parts_of(piece, dart)?.0;
    let i = border.joints.iter().position(|j| matches!(j, Joint::Dart { part, .. } if *part == first))?;
    let join = border.join(i, false)?;
    let (before, after) = border.sides(i)?;
    let mut tracer = Tracer::default();
    tracer.to(before.point(join.first));
    join.between.iter().for_each(|seg| tracer.along(*seg));
    tracer.to(after.point(join.second));
    Some(tracer.open())
}

/// The seam line with every dart closed by its fold cap: what the cloth must at least hold.
pub fn closed_seam_line(piece: &Piece) -> BezPath {
    let border = Border::of(piece, |_| 0.0);
    let joins = border.joins(|_| false);
    border.trace(&joins).unwrap_or_else(|| piece.outline())
}

/// A fold has no allowance, whatever its edge says.
fn allowance_mm(edge: &Edge) -> f64 {
    if edge.role == Role::Fold { 0.0 } else { edge.allowance_mm }
}

/// A smooth stretch of the seam line within one edge, with its parallel.
#[derive(Debug)]
struct Run {
    seam: Vec<PathSeg>,
    edge: usize,
    allowance: f64,
    rail: Rail,
}

/// What lies between one run and the next.
#[derive(Debug)]
enum Joint {
    Corner(CornerKind),
    /// A dart, with the index of its first part.
    Dart {
        part: usize,
        mouth: Mouth,
    },
    /// Darts side by side.
    Gap,
}

/// The seam line as smooth runs and the joints after each of them.
#[derive(Debug)]
struct Border<'a> {
    piece: &'a Piece,
    runs: Vec<Run>,
    joints: Vec<Joint>,
    /// Which side of the runs is out of the piece: −1 or 1, for [`kurbo::Vec2::turn_90`].
    side: f64,
    seam_line: BezPath,
}

impl<'a> Border<'a> {
    fn of(piece: &'a Piece, allowance_mm: impl Fn(&Edge) -> f64) -> Self {
        let seam_line = piece.outline();
        // The inside is on the turn-90 side of an outline with positive area.
        let side = if seam_line.area() < 0.0 { 1.0 } else { -1.0 };
        let parts = piece.parts();
        let mut dart_at: Vec<Option<(usize, Option<Mouth>)>> = vec![None; parts.len()];
        for dart in piece.darts() {
            if let Some((first, count)) = dart_mouth::parts_of(piece, dart)
                && count < parts.len()
            {
                for k in 0..count {
                    dart_at[(first + k) % parts.len()] = Some((first, Mouth::of(piece, dart)));
                }
            }
        }
        let mut border = Self { piece, runs: Vec::new(), joints: Vec::new(), side, seam_line };
        // Begin with a part that is no dart.
        let begin = dart_at.iter().position(Option::is_none).unwrap_or(0);
        for k in 0..parts.len() {
            let i = (begin + k) % parts.len();
            match dart_at[i] {
                Some((first, mouth)) => {
                    if let Some(joint) = border.joints.last_mut() {
                        match (&joint, mouth) {
                            // A shut dart is no more than a corner.
                            (_, None) => {}
                            (Joint::Corner(_), Some(mouth)) => *joint = Joint::Dart { part: first, mouth },
                            (Joint::Dart { part, .. }, _) if *part == first => {}
                            _ => *joint = Joint::Gap,
                        }
                    }
                }
                None => border.add(i, allowance_mm(&piece.edges()[parts[i].edge]), side),
            }
        }
        let count = border.runs.len();
        for i in 0..count {
            if let Joint::Corner(kind) = &mut border.joints[i] {
                let (first, second) = (border.runs[i].edge, border.runs[(i + 1) % count].edge);
                *kind = CornerKind::between(&piece.edges()[first], &piece.edges()[second]);
            }
        }
        border
    }

    /// Adds a part as one or more smooth runs.
    fn add(&mut self, part: usize, allowance: f64, side: f64) {
        let part = &self.piece.parts()[part];
        let mut seam: Vec<PathSeg> = Vec::new();
        for seg in part.path.segments().filter_map(rail::proper) {
            let smooth = seam.last().is_none_or(|last| {
                let (arrives, leaves) = (tangent(last, 1.0), tangent(&seg, 0.0));
                arrives.dot(leaves) > 0.0 && allowance * arrives.cross(leaves).abs() < 0.5 * crate::ACCURACY_MM
            });
            if !smooth {
                self.finish(&mut seam, part.edge, allowance, side);
            }
            seam.push(seg);
        }
        self.finish(&mut seam, part.edge, allowance, side);
    }

    fn finish(&mut self, seam: &mut Vec<PathSeg>, edge: usize, allowance: f64, side: f64) {
        let seam = std::mem::take(seam);
        if let Some(rail) = Rail::parallel(&seam, side * allowance) {
            self.runs.push(Run { seam, edge, allowance, rail });
            self.joints.push(Joint::Corner(CornerKind::Mitred));
        }
    }

    /// A run as seen from one of its ends.
    fn arm<'r>(&self, run: &'r Run, at_end: bool) -> Option<Arm<'r>> {
        let (along, away, ahead) = if at_end {
            let last = run.seam.last()?;
            let arrives = tangent(last, 1.0);
            (arrives, -arrives, last.eval(0.5) - last.end())
        } else {
            let first = run.seam.first()?;
            let leaves = tangent(first, 0.0);
            (leaves, leaves, first.eval(0.5) - first.start())
        };
        let ahead = if ahead.hypot() > 0.0 { ahead.normalize() } else { away };
        Some(Arm { rail: &run.rail, at_end, away, ahead, outward: self.side * along.turn_90(), allowance: run.allowance })
    }

    /// The arms on both sides of a joint.
    fn sides(&self, joint: usize) -> Option<(Arm<'_>, Arm<'_>)> {
        let (first, second) = (self.runs.get(joint)?, self.runs.get((joint + 1) % self.runs.len())?);
        Some((self.arm(first, true)?, self.arm(second, false)?))
    }

    /// Corner of the seam line at a joint.
    fn corner(&self, joint: usize) -> Point {
        self.runs[joint].seam.last().map_or(Point::ZERO, |s| s.end())
    }

    fn join(&self, joint: usize, plain: bool) -> Option<Join> {
        let (first, second) = self.sides(joint)?;
        Some(match &self.joints[joint] {
            Joint::Corner(kind) => corner::join(*kind, self.corner(joint), &first, &second, plain),
            Joint::Dart { mouth, .. } if first.allowance == 0.0 && second.allowance == 0.0 => mouth.join(&first, &second, None, plain),
            Joint::Dart { mouth, .. } => {
                let count = self.runs.len();
                let on_seam = |run: &Run| Rail::parallel(&run.seam, 0.0);
                let (one, two) = (on_seam(&self.runs[joint])?, on_seam(&self.runs[(joint + 1) % count])?);
                let seam = |arm, rail| Arm { rail, allowance: 0.0, ..arm };
                let on_seam = mouth.join(&seam(first, &one), &seam(second, &two), None, false);
                mouth.join(&first, &second, Some(&on_seam), plain)
            }
            Joint::Gap => Join::via(0.0, Vec::new(), 0.0),
        })
    }

    fn joins(&self, plain: impl Fn(usize) -> bool) -> Vec<Join> {
        (0..self.runs.len()).filter_map(|i| self.join(i, plain(i))).collect()
    }

    /// Where a run's rail begins and ends once it is joined.
    fn span(&self, joins: &[Join], run: usize) -> (f64, f64) {
        let before = (run + self.runs.len() - 1) % self.runs.len();
        (joins[before].second, self.runs[run].rail.len() - joins[run].first)
    }

    /// The joined rails as one closed path; `None` when there is nothing to trace.
    fn trace(&self, joins: &[Join]) -> Option<BezPath> {
        if joins.is_empty() || joins.len() != self.runs.len() {
            return None;
        }
        let mut tracer = Tracer::default();
        for (i, run) in self.runs.iter().enumerate() {
            let (from, to) = self.span(joins, i);
            tracer.to(run.rail.point(from));
            run.rail.stretch(from, to, |seg| tracer.along(seg));
            tracer.to(run.rail.point(to));
            joins[i].between.iter().for_each(|seg| tracer.along(*seg));
            joins[i].via.iter().for_each(|p| tracer.to(*p));
        }
        Some(tracer.close())
    }

    fn cut_line(&self) -> BezPath {
        let mut joins = self.joins(|_| false);
        let count = self.runs.len();
        if joins.len() != count || count == 0 {
            return self.seam_line.clone();
        }
        // Rails that are cut away from both ends until nothing is left: keep them whole, and unite.
        let backward: Vec<bool> = (0..count)
            .map(|i| {
                let (from, to) = self.span(&joins, i);
                from > to + 1e-9
            })
            .collect();
        let any_backward = backward.contains(&true);
        if any_backward {
            joins = self.joins(|i| backward[i] || backward[(i + 1) % count]);
        }
        let Some(path) = self.trace(&joins) else { return self.seam_line.clone() };
        let rough = any_backward || joins.iter().any(|j| j.rough);
        let folded = self.runs.iter().any(|r| r.rail.backward_mm > 0.0);
        if !rough && !folded && !clean::crosses_itself(&path) {
            return path;
        }
        let strips = self.folded_strips();
        // Cut out the loops, if that leaves nothing out; else put all allowances together.
        if !rough && let Some(path) = loops::without_loops(&path) {
            let ground = clean::Ground::inside(&path);
            if strips.iter().flatten().all(|p| ground.holds(*p)) && self.runs.iter().flat_map(|r| &r.seam).all(|s| ground.holds(s.start()))
            {
                return path;
            }
        }
        clean::united(&path, &[&closed_seam_line(self.piece)], &strips, -self.side)
    }

    /// The ground that allowances cover beside hollows which are too tight for them.
    fn folded_strips(&self) -> Vec<[Point; 3]> {
        let mut strips = Vec::new();
        for run in self.runs.iter().filter(|r| r.rail.backward_mm > 0.0) {
            for seg in &run.seam {
                clean::strips(seg, self.side * run.allowance, &mut strips);
            }
        }
        // Nothing of it may pass a fold, beyond which the cloth's other half begins.
        let folds: Vec<Arm<'_>> = (0..self.runs.len())
            .filter(|&i| self.piece.edges()[self.runs[i].edge].role == Role::Fold)
            .filter_map(|i| self.arm(&self.runs[i], false))
            .collect();
        strips.retain(|t| !folds.iter().any(|fold| t.iter().any(|p| (*p - fold.rail.start()).dot(fold.outward) > 1e-6)));
        strips
    }
}
