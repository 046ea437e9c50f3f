//! A lay as the garment keeps it: which copy of which piece lies where, by name.

use kurbo::{Point, Rect, Size, Vec2};
use serde::{Deserialize, Serialize};

use super::{Cloth, Spread, Stretch};
use crate::lay::slide::room_mm;
use crate::lay::{Item, Layout, Placed, Turn};
use crate::{DraftError, Length, Name};

/// A piece is still the same to a lay when its box has not grown or shrunk by more, millimetres …
const SAME_MM: f64 = 0.05;
/// … nor its area by more than this share.
const SAME_SHARE: f64 = 1e-4;

/// One copy of a piece as it lies: turned over or not, turned, and moved until its box touches the two distances.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptPiece {
    /// The piece.
    pub piece: Name,
    /// Number of the copy, from 1.
    pub copy: usize,
    /// Face down, mirrored about the grain.
    #[serde(default, skip_serializing_if = "is_not")]
    pub turned_over: bool,
    /// Degrees, clockwise as seen.
    #[serde(default, skip_serializing_if = "is_nought")]
    pub angle_deg: f64,
    /// From the cut end of the cloth to the box round it.
    pub along: Length,
    /// From the fold or the lower selvedge to the box round it.
    pub across: Length,
    /// The planner leaves it where it lies.
    #[serde(default, skip_serializing_if = "is_not")]
    pub held: bool,
}

const fn is_not(on: &bool) -> bool {
    !*on
}

fn is_nought(x: &f64) -> bool {
    *x == 0.0
}

/// What a piece was like when it was laid, enough to see that it has changed since.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Known {
    piece: Name,
    copies: usize,
    /// Along the grain and across it.
    long: Length,
    wide: Length,
    area_mm2: f64,
}

/// One stretch of a lay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptStretch {
    /// Single or folded.
    pub spread: Spread,
    /// Between the edges that could be laid on.
    width: Length,
    /// Least distance between the pieces.
    gap: Length,
    /// What lies.
    pub pieces: Vec<KeptPiece>,
    /// What was to be laid, as it was then.
    of: Vec<Known>,
}

/// The lay of a cloth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptLay {
    /// The cloth's name.
    pub cloth: String,
    /// Where chance began.
    pub seed: u64,
    /// How often the pieces were gone through.
    pub passes: u64,
    /// Moved by hand since it was planned.
    #[serde(default, skip_serializing_if = "is_not")]
    pub by_hand: bool,
    /// Its stretches, as they are cut.
    pub stretches: Vec<KeptStretch>,
}

/// A kept stretch on the pieces as they are now.
#[derive(Clone, Debug, PartialEq)]
pub struct Recalled {
    /// Where the pieces lie.
    pub layout: Layout,
    /// For each of the layout's pieces, whether it is held.
    pub held: Vec<bool>,
    /// What has changed since it was laid, in words.
    pub changed: Vec<String>,
}

impl Recalled {
    /// The pieces that are held.
    pub fn fixed(&self) -> Vec<Placed> {
        self.layout.placed.iter().zip(&self.held).filter(|(_, held)| **held).map(|(placed, _)| *placed).collect()
    }
}

fn known(stretch: &Stretch) -> Vec<Known> {
    let mut out: Vec<Known> = Vec::new();
    for (item, laid) in stretch.task.items.iter().zip(&stretch.pieces) {
        match out.iter_mut().find(|k| k.piece == laid.piece) {
            Some(k) => k.copies += item.copies * laid.gives,
            None => {
                let size = item.bounds(Turn::default()).size();
                out.push(Known {
                    piece: laid.piece.clone(),
                    copies: item.copies * laid.gives,
                    long: Length::from_mm(rounded(size.width)),
                    wide: Length::from_mm(rounded(size.height)),
                    area_mm2: rounded(item.area_mm2()),
                });
            }
        }
    }
    out
}

/// To a hundredth: enough to tell a change, and short in the file.
fn rounded(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

impl Known {
    fn is(&self, now: &Self) -> bool {
        let size = |k: &Self| Size::new(k.long.mm(), k.wide.mm());
        let (a, b) = (size(self), size(now));
        (a.width - b.width).abs() <= SAME_MM
            && (a.height - b.height).abs() <= SAME_MM
            && (self.area_mm2 - now.area_mm2).abs() <= SAME_SHARE * now.area_mm2
    }
}

/// Where the box of a laid copy begins.
fn corner(item: &Item, placed: &Placed) -> Point {
    item.bounds(placed.turn).origin() + placed.at
}

/// A copy whose box begins at a point of the cloth.
pub(crate) fn placed_at(item: &Item, which: (usize, usize), turn: Turn, corner: Point) -> Placed {
    Placed { item: which.0, copy: which.1, turn, at: corner - item.bounds(turn).origin() }
}

impl KeptStretch {
    /// Of a layout; `held` says of each piece whether it stays where it lies.
    pub fn of(stretch: &Stretch, layout: &Layout, held: impl Fn(&Placed) -> bool) -> Self {
        let pieces = layout
            .placed
            .iter()
            .filter_map(|placed| {
                let (piece, copy) = stretch.named(placed.item, placed.copy)?;
                let at = corner(stretch.task.items.get(placed.item)?, placed);
                Some(KeptPiece {
                    piece: piece.clone(),
                    copy,
                    turned_over: placed.turn.mirrored,
                    angle_deg: placed.turn.angle_deg,
                    along: Length::from_mm(at.x),
                    across: Length::from_mm(at.y),
                    held: held(placed),
                })
            })
            .collect();
        Self {
            spread: stretch.spread,
            width: Length::from_mm(rounded(stretch.task.width_mm)),
            gap: Length::from_mm(stretch.task.gap_mm),
            pieces,
            of: known(stretch),
        }
    }

    /// The same stretch with its pieces lying otherwise. What it knows of the pieces stays: a lay of pieces that have
    /// changed since is one until it is planned again.
    #[must_use]
    pub fn rearranged(&self, stretch: &Stretch, layout: &Layout, held: impl Fn(&Placed) -> bool) -> Self {
        Self { pieces: Self::of(stretch, layout, held).pieces, ..self.clone() }
    }

    /// Puts the pieces as they are now where they lay. What is not there any more falls away; what is new, and what
    /// there are more copies of, is left out.
    pub fn recall(&self, stretch: &Stretch) -> Recalled {
        let task = &stretch.task;
        let mut recalled = Recalled { layout: Layout::default(), held: Vec::new(), changed: self.changed(stretch) };
        let mut there: Vec<Vec<bool>> = task.items.iter().map(|i| vec![false; i.copies]).collect();
        for kept in &self.pieces {
            let Some((item, copy)) = stretch.numbered(&kept.piece, kept.copy).filter(|(item, copy)| !there[*item][*copy]) else { continue };
            let turn = Turn { mirrored: kept.turned_over, angle_deg: kept.angle_deg };
            let at = Point::new(kept.along.mm(), kept.across.mm());
            there[item][copy] = true;
            recalled.layout.placed.push(placed_at(&task.items[item], (item, copy), turn, at));
            recalled.held.push(kept.held);
        }
        for (item, copies) in there.iter().enumerate() {
            recalled.layout.left_out.extend(copies.iter().enumerate().filter(|(_, there)| !**there).map(|(copy, _)| (item, copy)));
        }
        recalled.layout.length_mm = reach_mm(stretch, &recalled.layout);
        recalled
    }

    /// What has changed since, in words.
    fn changed(&self, stretch: &Stretch) -> Vec<String> {
        let now = known(stretch);
        let mut out = Vec::new();
        for k in &now {
            match self.of.iter().find(|o| o.piece == k.piece) {
                None => out.push(format!("{} is new", k.piece)),
                Some(o) if o.copies != k.copies => out.push(format!("{} is cut {} times, and was {}", k.piece, k.copies, o.copies)),
                Some(o) if !o.is(k) => out.push(format!("{} has another shape or size", k.piece)),
                Some(_) => {}
            }
        }
        out.extend(
            self.of.iter().filter(|o| !now.iter().any(|k| k.piece == o.piece)).map(|o| format!("{} is not cut from it any more", o.piece)),
        );
        if (self.width.mm() - stretch.task.width_mm).abs() > SAME_MM {
            out.push("the cloth has another width".into());
        }
        if (self.gap.mm() - stretch.task.gap_mm).abs() > 1e-6 {
            out.push("the gap between pieces is another".into());
        }
        out
    }
}

/// How far along the cloth the pieces reach, millimetres.
pub(crate) fn reach_mm(stretch: &Stretch, layout: &Layout) -> f64 {
    layout.placed.iter().filter_map(|p| Some(stretch.task.items.get(p.item)?.bounds(p.turn).x1 + p.at.x)).fold(0.0, f64::max)
}

impl KeptLay {
    /// Looks for places and turns that are none.
    ///
    /// # Errors
    /// Names the first.
    pub fn check(&self, cloths: &[Cloth]) -> Result<(), DraftError> {
        let refuse = |problem: String, remedy: &str| Err(DraftError::new(format!("lay of {}", self.cloth), problem, remedy));
        if !cloths.iter().any(|c| c.name == self.cloth) {
            return refuse("is of a cloth that the garment does not have".into(), "Take the lay out, or add the cloth.");
        }
        for piece in self.stretches.iter().flat_map(|s| &s.pieces) {
            if piece.copy == 0 || !piece.angle_deg.is_finite() || [piece.along, piece.across].iter().any(|l| l.mm().abs() > 1e6) {
                return refuse(format!("has {} at a place where nothing can lie", piece.piece), "Lay the cloth again.");
            }
        }
        Ok(())
    }

    /// The stretch that is laid this way.
    pub fn stretch(&self, spread: Spread) -> Option<&KeptStretch> {
        self.stretches.iter().find(|s| s.spread == spread)
    }
}

impl Stretch {
    /// Item and copy of a piece's copy by its number from 1.
    pub fn numbered(&self, piece: &Name, number: usize) -> Option<(usize, usize)> {
        self.pieces.iter().zip(&self.task.items).enumerate().find_map(|(i, (laid, item))| {
            let from = number.checked_sub(laid.first_copy)?;
            let copy = from / laid.gives.max(1);
            (laid.piece == *piece && from % laid.gives.max(1) == 0 && copy < item.copies).then_some((i, copy))
        })
    }

    /// The layout with one copy moved by so much, and its length put right. A piece on the fold stays on it.
    pub fn moved(&self, layout: &Layout, which: (usize, usize), by: Vec2) -> Layout {
        let on_fold = self.task.items.get(which.0).is_some_and(|i| i.on_fold);
        let by = if on_fold { Vec2::new(by.x, 0.0) } else { by };
        self.changed(layout, which, |placed, _| placed.at += by)
    }

    /// The layout with one copy slid toward a place until the gap to the next piece or to an edge of the cloth is just
    /// kept, then on along what stopped it, as far as it comes. A piece on the fold stays on it.
    pub fn slid(&self, layout: &Layout, which: (usize, usize), by: Vec2) -> Layout {
        let on_fold = self.task.items.get(which.0).is_some_and(|i| i.on_fold);
        let by = if on_fold { Vec2::new(by.x, 0.0) } else { by };
        let mut now = layout.clone();
        let go = |now: &Layout, by: Vec2| -> (Layout, Vec2) {
            if by.hypot() < 1e-9 {
                return (now.clone(), Vec2::ZERO);
            }
            let room = room_mm(&self.task, now, which, by).unwrap_or(f64::INFINITY);
            let done = by * (room / by.hypot()).min(1.0);
            (self.moved(now, which, done), done)
        };
        let (next, done) = go(&now, by);
        now = next;
        let rest = by - done;
        for part in [Vec2::new(rest.x, 0.0), Vec2::new(0.0, rest.y)] {
            (now, _) = go(&now, part);
        }
        now
    }

    /// The layout with one copy slid along a direction as far as it goes.
    pub fn slid_out(&self, layout: &Layout, which: (usize, usize), along: Vec2) -> Layout {
        let room = room_mm(&self.task, layout, which, along).unwrap_or(0.0);
        self.moved(layout, which, along.normalize() * room)
    }

    /// The layout with one copy turned to the next way in which it may lie, about the middle of its box. Nothing
    /// changes where it may lie in one way only.
    pub fn turned(&self, layout: &Layout, which: (usize, usize)) -> Layout {
        self.changed(layout, which, |placed, item| {
            let now = item.turns.iter().position(|t| *t == placed.turn);
            let next = item.turns[now.map_or(0, |n| n + 1) % item.turns.len()];
            let before = item.bounds(placed.turn) + placed.at;
            let size = item.bounds(next).size();
            let y = if item.on_fold { 0.0 } else { before.center().y - size.height / 2.0 };
            let at = Point::new(before.center().x - size.width / 2.0, y);
            *placed = placed_at(item, which, next, at);
        })
    }

    /// The layout with a copy that was left out laid behind all others.
    pub fn put_on(&self, layout: &Layout, which: (usize, usize)) -> Layout {
        let mut next = layout.clone();
        next.left_out.retain(|c| *c != which);
        if let Some(item) = self.task.items.get(which.0).filter(|_| !layout.placed.iter().any(|p| (p.item, p.copy) == which)) {
            let at = Point::new(layout.length_mm + self.task.gap_mm, 0.0);
            next.placed.push(placed_at(item, which, item.turns.first().copied().unwrap_or_default(), at));
        }
        next.length_mm = reach_mm(self, &next);
        next
    }

    fn changed(&self, layout: &Layout, which: (usize, usize), change: impl Fn(&mut Placed, &Item)) -> Layout {
        let mut next = layout.clone();
        for placed in next.placed.iter_mut().filter(|p| (p.item, p.copy) == which) {
            if let Some(item) = self.task.items.get(placed.item) {
                change(placed, item);
            }
        }
        next.length_mm = reach_mm(self, &next);
        next
    }

    /// Where a copy lies, as the box round it.
    pub fn box_of(&self, placed: &Placed) -> Rect {
        self.task.items.get(placed.item).map_or(Rect::ZERO, |i| i.bounds(placed.turn) + placed.at)
    }
}
