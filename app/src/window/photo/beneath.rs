//! A photo laid flat, as it lies under the pieces.

use std::sync::Arc;

use draft_core::photo::Photo;
use egui::epaint::{Mesh, Vertex};
use egui::{Color32, ColorImage, Context, Painter, Shape, TextureHandle, TextureOptions, pos2};
use kurbo::{Affine, Point, Rect};

use crate::photo::{self, Picture};
use crate::window::errand::{Errand, Standing};
use crate::window::table::Transform;

/// A photo laid flat, as the screen takes it, and what it covers; nothing where its marks are no corners of a sheet.
type Flattened = Option<(ColorImage, Rect)>;

/// What is shown of one photo; laid flat anew, away from the window, when its marks have changed.
#[derive(Default)]
pub struct Shown {
    /// What the texture was made from.
    made_of: Option<Photo>,
    texture: Option<(TextureHandle, Rect)>,
    under_way: Option<(Photo, Errand<Flattened>)>,
}

/// What makes another flat picture of a photo.
fn same_marks(a: &Photo, b: &Photo) -> bool {
    a.file == b.file && a.corners == b.corners && a.sheet_mm() == b.sheet_mm()
}

impl Shown {
    /// What lies beneath the table of this photo now; the last flat picture while a new one is made.
    pub fn follow(&mut self, ctx: &Context, photo: &Photo, picture: &Picture) -> Option<Beneath> {
        if let Some((of, errand)) = self.under_way.take() {
            match errand.look() {
                Standing::Out => self.under_way = Some((of, errand)),
                Standing::Back(Some((pixels, covers))) => {
                    self.texture = Some((ctx.load_texture("photo beneath", pixels, TextureOptions::LINEAR), covers));
                    self.made_of = Some(of);
                }
                Standing::Back(None) | Standing::Lost => {
                    self.texture = None;
                    self.made_of = Some(of);
                }
            }
        }
        let is_made = self.made_of.as_ref().is_some_and(|of| same_marks(of, photo));
        if !is_made && self.under_way.is_none() {
            let (of, pixels) = (photo.clone(), Arc::clone(&picture.pixels));
            let task = photo.clone();
            self.under_way =
                Some((of, Errand::send(ctx, move || photo::flat(&task, &pixels).ok().map(|flat| (coloured(&flat.pixels), flat.covers)))));
        }
        let (texture, covers) = self.texture.clone()?;
        Some(Beneath { texture, covers, placed: photo.placed(), opacity: photo.opacity })
    }
}

/// Pixels as the screen takes them.
pub fn coloured(pixels: &image::RgbaImage) -> ColorImage {
    ColorImage::from_rgba_unmultiplied([pixels.width() as usize, pixels.height() as usize], pixels.as_raw())
}

/// A flat picture in its place under the pieces.
pub struct Beneath {
    texture: TextureHandle,
    covers: Rect,
    placed: Affine,
    opacity: f64,
}

impl Beneath {
    /// Paints it.
    pub fn paint(&self, painter: &Painter, transform: &Transform) {
        let ink = Color32::WHITE.gamma_multiply(self.opacity as f32);
        let mut mesh = Mesh::with_texture(self.texture.id());
        let c = self.covers;
        for (x, y, u, v) in [(c.x0, c.y0, 0.0, 0.0), (c.x1, c.y0, 1.0, 0.0), (c.x1, c.y1, 1.0, 1.0), (c.x0, c.y1, 0.0, 1.0)] {
            let pos = transform.screen_from_cloth(self.placed * Point::new(x, y));
            mesh.vertices.push(Vertex { pos, uv: pos2(u, v), color: ink });
        }
        mesh.indices.extend([0, 1, 2, 0, 2, 3]);
        painter.add(Shape::mesh(mesh));
    }
}
