//! What stands on every page besides the drawing: edges to trim and to lay on, join marks, name and test square.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Point, Rect, Vec2};

use crate::drawing::{Drawing, TextRun};
use crate::font;
use crate::free_space::FreeSpace;
use crate::grid::page_name;
use crate::line::{Layer, LineKind};
use crate::sheet::Sheet;
use crate::tile::{Tile, Tiling};

/// Side of the small test square.
pub const SMALL_SQUARE_MM: f64 = 30.0;
/// A join mark's half reaches so far from the join, and as far along it in each direction.
const JOIN_HEIGHT_MM: f64 = 7.0;
const TEXT_MM: f64 = 2.8;
const GREY: f64 = 0.35;

/// Draws the furniture of a page, in paper millimetres.
pub fn draw(sheet: &Sheet, tiling: &Tiling, tile: &Tile) -> Drawing {
    let mut out = Drawing::default();
    let live = tiling.grid.live_on_paper();
    let overlap = tiling.grid.overlap_mm();
    let strip = Vec2::new(overlap * tiling.grid.scale.x, overlap * tiling.grid.scale.y);
    corners(&mut out, live);

    let mut taken: Vec<Rect> = Vec::new();
    let (column, row) = (tile.column, tile.row);
    let here = (column, row);
    for join in tiling.joins_of(tile) {
        let is_first = join.first == here;
        let other = if is_first { join.second } else { join.first };
        let name = page_name(other.0, other.1);
        let side_by_side = join.first.1 == join.second.1;
        // The line where the edges meet, from end to end, and the way into this page's own part.
        let (from, to, inward) = match (side_by_side, is_first) {
            (true, true) => {
                let x = live.x1 - strip.x;
                glue_strip(&mut out, Rect::new(x, live.y0, live.x1, live.y1), &name);
                taken.push(Rect::new(x, live.y0, live.x1, live.y1));
                (Point::new(x, live.y0), Point::new(x, live.y1), Vec2::new(-1.0, 0.0))
            }
            (true, false) => (Point::new(live.x0, live.y0), Point::new(live.x0, live.y1), Vec2::new(1.0, 0.0)),
            (false, true) => {
                let y = live.y1 - strip.y;
                glue_strip(&mut out, Rect::new(live.x0, y, live.x1, live.y1), &name);
                taken.push(Rect::new(live.x0, y, live.x1, live.y1));
                (Point::new(live.x0, y), Point::new(live.x1, y), Vec2::new(0.0, -1.0))
            }
            (false, false) => (Point::new(live.x0, live.y0), Point::new(live.x1, live.y0), Vec2::new(0.0, 1.0)),
        };
        out.line(if is_first { LineKind::LayOn } else { LineKind::Trim }, from, to);
        if !is_first {
            let text = format!("trim here and lay on {name}");
            let about = from.lerp(to, 0.22) + inward * 2.2;
            out.text(TextRun::centred(&text, about, TEXT_MM, if side_by_side { -FRAC_PI_2 } else { 0.0 }, Layer::Furniture).grey(GREY));
        }
        let middle = from.midpoint(to);
        half_diamond(&mut out, middle, inward, &join.letter);
        let reach = JOIN_HEIGHT_MM + 1.0;
        taken.push(Rect::from_points(middle - Vec2::new(reach, reach), middle + Vec2::new(reach, reach)));
    }
    name_block(&mut out, sheet, tiling, tile, &taken);
    out
}

/// Short angles at the corners of the live area: what shows them is printed whole.
fn corners(out: &mut Drawing, live: Rect) {
    let arm = 4.0;
    for (corner, dx, dy) in [
        (Point::new(live.x0, live.y0), arm, arm),
        (Point::new(live.x1, live.y0), -arm, arm),
        (Point::new(live.x1, live.y1), -arm, -arm),
        (Point::new(live.x0, live.y1), arm, -arm),
    ] {
        out.line(LineKind::Thin, corner, corner + Vec2::new(dx, 0.0));
        out.line(LineKind::Thin, corner, corner + Vec2::new(0.0, dy));
    }
}

/// The strip that disappears beneath the next page.
fn glue_strip(out: &mut Drawing, strip: Rect, next: &str) {
    let (width, upright) = (strip.width().min(strip.height()), strip.height() > strip.width());
    if width < 2.0 {
        return;
    }
    let length = strip.width().max(strip.height());
    let text = format!("{next} is laid on this strip, up to the dotted line");
    let middle =
        |along: f64| if upright { Point::new(strip.center().x, strip.y0 + along) } else { Point::new(strip.x0 + along, strip.center().y) };
    let half_text = font::width_mm(&text, TEXT_MM) / 2.0 + 3.0;
    let text_at = 0.22 * length;
    if width > 1.6 * TEXT_MM && 2.0 * half_text < 0.44 * length {
        out.text(TextRun::centred(&text, middle(text_at), TEXT_MM, if upright { -FRAC_PI_2 } else { 0.0 }, Layer::Furniture).grey(GREY));
    }
    // Slanting strokes, sparse enough to read the drawing that goes on beneath them.
    let reach = 0.3 * width.min(12.0);
    let count = (length / 15.0).floor().max(1.0) as usize;
    for i in 0..count {
        let along = (i as f64 + 0.5) * length / count as f64;
        if (along - text_at).abs() > half_text {
            let at = middle(along);
            out.line(LineKind::Glue, at + Vec2::new(-reach, reach), at + Vec2::new(reach, -reach));
        }
    }
}

/// One half of a join mark: its base lies on the join, so that two halves make a diamond.
fn half_diamond(out: &mut Drawing, middle: Point, inward: Vec2, letter: &str) {
    let along = Vec2::new(-inward.y, inward.x) * JOIN_HEIGHT_MM;
    let mut path = kurbo::BezPath::new();
    path.move_to(middle - along);
    path.line_to(middle + inward * JOIN_HEIGHT_MM);
    path.line_to(middle + along);
    out.stroke(LineKind::Join, path);
    let size = if letter.len() > 1 { 3.2 } else { 4.2 };
    out.text(TextRun::centred(letter, middle + inward * 2.6, size, 0.0, Layer::Furniture));
}

/// The small test square with the page's name in it, where the drawing leaves room.
fn name_block(out: &mut Drawing, sheet: &Sheet, tiling: &Tiling, tile: &Tile, taken: &[Rect]) {
    let live = tiling.grid.live_on_paper();
    let (w, h) = (SMALL_SQUARE_MM * tiling.grid.scale.x, SMALL_SQUARE_MM * tiling.grid.scale.y);
    let mut space = FreeSpace::new(live, 3.0);
    let clear = 2.0;
    for segment in tiling.ink_on(sheet, tile) {
        space.take_segment(segment, clear);
    }
    for rect in taken {
        space.take_rect(rect.inflate(1.0, 1.0));
    }
    space.sum_up();
    // Clear of the words along the edges.
    let inner = live.inflate(-6.0, -6.0);
    let corner = live.origin();
    let near_corner = |r: Rect| r.origin().distance(corner) + if inner.union(r) == inner { 0.0 } else { 1000.0 };
    let Some(place) = space.find(w, h, near_corner).or_else(|| space.least_taken(w, h)) else { return };
    let square = Rect::from_origin_size(place.origin(), (w, h));
    out.rect(LineKind::TestSquare, square);
    let room = w - 3.0;
    let centre = square.center().x;
    let mut line = |text: &str, y: f64, size: f64| {
        let text = font::shortened(&font::printable(text), size, room);
        out.text(TextRun::centred(&text, Point::new(centre, square.y0 + y * tiling.grid.scale.y), size, 0.0, Layer::Furniture));
    };
    let name = tile.name();
    line(&name, 7.5, if name.len() > 3 { 7.0 } else { 10.0 });
    line(&sheet.garment, 15.0, 2.6);
    line(&sheet.wearer, 19.0, 2.6);
    line(&format!("page {} of {}", tile.page, tiling.covers.len() + tiling.tiles.len()), 23.0, 2.6);
    line("square of 30 mm", 27.0, 2.6);
}
