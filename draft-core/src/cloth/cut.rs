//! Every piece in every cloth: what is cut.

use kurbo::{BezPath, Point};

use super::outline::outline;
use super::{Cloth, ClothKind, Layer, Stack};
use crate::{Built, Garment, Grade, Message, Name, Piece, Role};

/// One piece in one of its cloths.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// The piece.
    pub piece: Name,
    /// The layer that is cut.
    pub layer: Layer,
    /// How often.
    pub count: u32,
    /// Every second one is the mirror image.
    pub pairs: bool,
    /// The outline is half of the piece, the other half its mirror image about the fold.
    pub fold: Option<[Point; 2]>,
    /// Direction of the grain line, radians, in the piece's own coordinates.
    pub grain_rad: f64,
    /// Corners of the outline that is cut, in the piece's own coordinates.
    pub outline: Vec<Point>,
}

impl Cut {
    /// Area of cloth in all copies, both halves of those on the fold; square millimetres.
    pub fn area_mm2(&self) -> f64 {
        let halves = if self.fold.is_some() { 2.0 } else { 1.0 };
        halves * f64::from(self.count) * crate::lay::area_mm2(&self.outline)
    }
}

/// The layers of a piece: those of its stack, else the first cloth that is no toile; and every toile's cloth.
pub fn layers_of(garment: &Garment, cloths: &[Cloth], piece: &Name) -> Vec<Layer> {
    let stack = garment.stacks.iter().find(|s| s.piece == *piece);
    let mut layers = stack.map_or_else(
        || cloths.iter().find(|c| c.kind != ClothKind::Toile).map(|c| Layer::of(c.name.clone())).into_iter().collect(),
        |s: &Stack| s.layers.clone(),
    );
    for toile in cloths.iter().filter(|c| c.kind == ClothKind::Toile) {
        if !layers.iter().any(|l| l.cloth == toile.name) {
            layers.push(Layer::of(toile.name.clone()));
        }
    }
    layers
}

/// Names of the cloths that a piece is cut from.
pub fn cloths_of(garment: &Garment, piece: &Name) -> Vec<String> {
    layers_of(garment, &garment.cloths_or_plain(), piece).into_iter().map(|l| l.cloth).collect()
}

/// Every piece × cloth of a garment, in the order of the pieces; and what could not be cut.
pub fn cuts(garment: &Garment, built: &Built) -> (Vec<Cut>, Vec<Message>) {
    let cloths = garment.cloths_or_plain();
    let (mut out, mut messages) = (Vec::new(), Vec::new());
    for stack in &garment.stacks {
        if built.draft.piece(stack.piece.as_str()).is_none() {
            messages.push(Message::new(
                Grade::Warning,
                stack.piece.to_string(),
                "has a list of cloths, and the garment has no such piece",
                "Draft the piece, or take the list away.",
            ));
        }
    }
    for (piece, cut_line) in built.pieces() {
        let (cuts, refused) = cuts_of(piece, cut_line, layers_of(garment, &cloths, piece.name()));
        out.extend(cuts);
        messages.extend(refused);
    }
    (out, messages)
}

/// One piece in each of its layers; and what could not be cut.
pub(crate) fn cuts_of(piece: &Piece, cut_line: &BezPath, layers: Vec<Layer>) -> (Vec<Cut>, Vec<Message>) {
    let (mut out, mut messages) = (Vec::new(), Vec::new());
    for layer in layers {
        match outline(piece, cut_line, &layer) {
            Ok(outline) => {
                let count = layer.count.unwrap_or(piece.cut().count);
                let grain = piece.grain().p1 - piece.grain().p0;
                let grain_rad = if grain.hypot() > 0.0 { grain.atan2() } else { -std::f64::consts::FRAC_PI_2 };
                let (pairs, fold) = (piece.cut().pairs, fold_of(piece));
                if count > 0 {
                    out.push(Cut { piece: piece.name().clone(), count, pairs, fold, grain_rad, outline, layer });
                }
            }
            Err(error) => messages.push(error.into()),
        }
    }
    (out, messages)
}

/// The ends of the edge that lies on the fold.
fn fold_of(piece: &Piece) -> Option<[Point; 2]> {
    let fold = piece.edges().iter().find(|e| e.role == Role::Fold)?;
    let (a, b) = piece.edge_ends(fold.name.as_str())?;
    (a.distance(b) > 1e-6).then_some([a, b])
}
