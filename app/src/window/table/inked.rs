//! Pieces inked for the screen: triangles that are made once and shown again for as long as the piece is the same and looks the
//! same.

use std::sync::Arc;

use egui::epaint::Tessellator;
use egui::{Mesh, Painter, Pos2, Shape as Painted, Vec2};

use super::drawing::{Drawing, Look, Word};
use super::shape::Shape;

/// What is inked of each piece on the table, in their order.
///
/// It is stale when the piece in that place is another one, by identity, or is to have another [`Look`]; where it lies on the
/// screen does not matter.
#[derive(Default)]
pub struct Inks {
    pieces: Vec<Option<Inked>>,
}

/// One piece inked.
pub struct Inked {
    shape: Arc<Shape>,
    look: Look,
    /// Its areas and its lines, in screen points from where it lies.
    own: [Mesh; 2],
    words: Vec<Word>,
    /// The same where it lay last.
    placed: Option<(Pos2, [Arc<Mesh>; 2])>,
}

impl Inks {
    /// Forgets the pieces after so many.
    pub fn keep(&mut self, count: usize) {
        self.pieces.truncate(count);
    }

    /// The piece in a place of the order, inked.
    pub fn of(&mut self, index: usize, shape: &Arc<Shape>, look: Look, painter: &Painter) -> &mut Inked {
        if self.pieces.len() <= index {
            self.pieces.resize_with(index + 1, || None);
        }
        let place = &mut self.pieces[index];
        let known = place.take().filter(|inked| Arc::ptr_eq(&inked.shape, shape) && inked.look == look);
        place.insert(known.unwrap_or_else(|| Inked::new(shape, look, painter)))
    }
}

impl Inked {
    fn new(shape: &Arc<Shape>, look: Look, painter: &Painter) -> Self {
        let Drawing { ground, lines, words } = Drawing::of(shape, look, painter);
        let mut options = painter.ctx().tessellation_options(|options| *options);
        // It is made as a whole, wherever it lies.
        options.coarse_tessellation_culling = false;
        // Words alone need the letters' texture, and discs are made of triangles here.
        options.prerasterized_discs = false;
        let mut tessellator = Tessellator::new(look.dots, options, [1, 1], Vec::new());
        let own = [ground, lines].map(|shapes| {
            let mut mesh = Mesh::default();
            for shape in shapes {
                tessellator.tessellate_shape(shape, &mut mesh);
            }
            mesh
        });
        Self { shape: Arc::clone(shape), look, own, words, placed: None }
    }

    /// Its areas and its lines where it lies.
    pub fn lying_at(&mut self, at: Pos2) -> [Painted; 2] {
        if self.placed.as_ref().is_none_or(|(placed, _)| *placed != at) {
            let meshes = self.own.each_ref().map(|mesh| Arc::new(moved(mesh, at.to_vec2())));
            self.placed = Some((at, meshes));
        }
        let meshes = self.placed.as_ref().map(|(_, meshes)| meshes.clone()).unwrap_or_default();
        meshes.map(Painted::Mesh)
    }

    /// The words on it.
    pub fn words(&self) -> &[Word] {
        &self.words
    }
}

fn moved(mesh: &Mesh, by: Vec2) -> Mesh {
    let mut mesh = mesh.clone();
    mesh.translate(by);
    mesh
}
