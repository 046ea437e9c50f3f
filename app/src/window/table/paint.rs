//! Paints the pieces.

use draft_core::Name;
use egui::emath::GuiRounding as _;
use egui::{Painter, Pos2, Shape, Stroke};
use kurbo::Point;

use super::drawing::{Look, UNSEEN};
use super::few_points;
use super::hit::Hit;
use super::inked::Inks;
use super::shape::{Before, Laid, Lay};
use super::transform::Transform;
use crate::window::Chosen;
use crate::window::theme::Palette;

/// Everything that the pieces are painted from.
pub struct Scene<'a> {
    /// What lies on the table.
    pub lay: &'a Lay,
    /// Where the table lies.
    pub transform: &'a Transform,
    /// What is selected.
    pub chosen: &'a Chosen,
    /// What is under the pointer.
    pub hover: Option<Hit>,
    /// Edges that are sewn to the one that is selected: piece and edge.
    pub partners: &'a [(Name, Name)],
    /// Pieces as they were before.
    pub before: &'a [Before],
    /// A photo lies beneath and shows through.
    pub over_photo: bool,
    /// By night.
    pub dark: bool,
    /// The colours.
    pub p: &'a Palette,
}

impl Scene<'_> {
    /// Paints all pieces that are in view.
    pub fn paint(&self, painter: &Painter, inks: &mut Inks) {
        inks.keep(self.lay.pieces.len());
        let view = self.transform.cloth_in_view();
        for (i, laid) in self.lay.pieces.iter().enumerate() {
            if laid.bounds().overlaps(view) {
                self.piece(painter, i, laid, inks);
            }
        }
    }

    fn piece(&self, painter: &Painter, index: usize, laid: &Laid, inks: &mut Inks) {
        let name = laid.shape.piece.name();
        let look = Look {
            scale: self.transform.scale(),
            dots: painter.pixels_per_point(),
            chosen: self.chosen.piece() == Some(name),
            hovered: self.hover.is_some_and(|h| h.piece == index),
            over_photo: self.over_photo,
            dark: self.dark,
        };
        let corner = self.corner(painter, laid);
        let inked = inks.of(index, &laid.shape, look, painter);
        let [ground, lines] = inked.lying_at(corner);
        painter.add(ground);
        if let Some(before) = self.before.iter().find(|b| b.piece.name() == name) {
            let mut points = line(laid, &before.outline, corner, look.scale);
            points.extend(points.first().copied());
            painter.add(Shape::line(points, Stroke::new(2.2, self.p.kraft_line.gamma_multiply(0.75))));
        }
        painter.add(lines);
        for word in inked.words() {
            let galley = painter.layout_no_wrap(word.text.clone(), word.font.clone(), word.ink);
            painter.galley(corner + word.at, galley, word.ink);
        }
        self.lit_edges(painter, index, laid, corner);
    }

    /// Where the upper left corner of a piece's box is on the screen: on a whole dot, so that its lines are as sharp wherever it
    /// lies.
    fn corner(&self, painter: &Painter, laid: &Laid) -> Pos2 {
        let at = self.transform.screen_from_cloth(laid.bounds().origin());
        at.round_to_pixels(painter.pixels_per_point())
    }

    /// The edge under the pointer, and the one that is selected.
    fn lit_edges(&self, painter: &Painter, index: usize, laid: &Laid, corner: Pos2) {
        let piece = &laid.shape.piece;
        let chosen = match self.chosen {
            Chosen::Edge(name, edge) if name == piece.name() => piece.edges().iter().position(|e| e.name == *edge),
            _ => None,
        };
        let hovered = self.hover.filter(|h| h.piece == index).and_then(|h| h.edge);
        for stretch in &laid.shape.stretches {
            let width = if Some(stretch.edge) == chosen {
                4.5
            } else if Some(stretch.edge) == hovered {
                3.0
            } else if piece.edges().get(stretch.edge).is_some_and(|e| self.partners.iter().any(|(p, q)| p == piece.name() && *q == e.name))
            {
                // Sewn to what is selected: in stitches.
                painter.extend(Shape::dashed_line(
                    &line(laid, &stretch.points, corner, self.transform.scale()),
                    Stroke::new(4.0, self.p.chalk),
                    9.0,
                    5.0,
                ));
                continue;
            } else {
                continue;
            };
            painter.add(Shape::line(line(laid, &stretch.points, corner, self.transform.scale()), Stroke::new(width, self.p.chalk)));
        }
    }
}

/// A line of a piece on the screen.
fn line(laid: &Laid, points: &[Point], corner: Pos2, scale: f64) -> Vec<Pos2> {
    let few = few_points::of(points.iter().copied(), UNSEEN / scale);
    few.into_iter().map(|point| corner + laid.shape.on_screen(point, scale).to_vec2()).collect()
}
