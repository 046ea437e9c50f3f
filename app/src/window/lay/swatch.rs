//! Pictures of cloths: read from disk away from the window, and shown as tiles.

use std::collections::HashMap;
use std::path::Path;

use draft_core::DraftError;
use draft_core::cloth::Cloth;
use egui::{Context, TextureHandle, TextureOptions, Vec2, vec2};
use image::RgbaImage;

use crate::edit::{ClothCommand, Command};
use crate::files::FileProblem;
use crate::photo;
use crate::window::Desk;
use crate::window::errand::{Errand, Standing};
use crate::window::photo::coloured;

/// A picture is kept no longer than this on its longer side, pixels: enough for what is shown of it.
const LONGEST: u32 = 320;

/// The pictures of the cloths, as far as they are read; by the file that they are written under.
#[derive(Default)]
pub struct Swatches {
    known: HashMap<String, State>,
}

enum State {
    Reading(Errand<Result<RgbaImage, FileProblem>>),
    Read(TextureHandle),
    Refused(FileProblem),
}

/// Reads a picture and makes it small.
fn read(path: &Path) -> Result<RgbaImage, FileProblem> {
    if !path.exists() {
        return Err(FileProblem {
            place: path.display().to_string(),
            problem: "is not there".into(),
            remedy: "Put the picture back beside the garment, or choose another.".into(),
        });
    }
    let pixels = photo::load(path)?.pixels;
    let longest = pixels.width().max(pixels.height());
    if longest <= LONGEST {
        return Ok(RgbaImage::clone(&pixels));
    }
    let scaled = |side: u32| (u64::from(side) * u64::from(LONGEST) / u64::from(longest)).max(1) as u32;
    Ok(image::imageops::thumbnail(&*pixels, scaled(pixels.width()), scaled(pixels.height())))
}

impl Swatches {
    /// Reads what has not been read yet.
    pub fn follow(&mut self, ctx: &Context, cloths: &[Cloth], desk: &Desk) {
        for cloth in cloths.iter().filter(|c| !c.swatch.is_empty()) {
            let state = self.known.entry(cloth.swatch.clone()).or_insert_with(|| {
                let path = photo::find(&cloth.swatch, desk.file());
                State::Reading(Errand::send(ctx, move || read(&path)))
            });
            let State::Reading(errand) = state else { continue };
            match errand.look() {
                Standing::Out => {}
                Standing::Back(Ok(pixels)) => *state = State::Read(ctx.load_texture("swatch", coloured(&pixels), TextureOptions::LINEAR)),
                Standing::Back(Err(problem)) => *state = State::Refused(problem),
                Standing::Lost => {
                    *state = State::Refused(FileProblem {
                        place: cloth.swatch.clone(),
                        problem: "could not be read".into(),
                        remedy: "Choose the picture again.".into(),
                    });
                }
            }
        }
    }

    /// The picture of a cloth.
    pub fn of(&self, cloth: &Cloth) -> Option<&TextureHandle> {
        if let State::Read(texture) = self.known.get(&cloth.swatch)? { Some(texture) } else { None }
    }

    /// Why a cloth's picture is not shown.
    pub fn problem(&self, cloth: &Cloth) -> Option<&FileProblem> {
        if let State::Refused(problem) = self.known.get(&cloth.swatch)? { Some(problem) } else { None }
    }

    /// Looks for the picture of a cloth again.
    pub fn look_again(&mut self, cloth: &Cloth) {
        self.known.remove(&cloth.swatch);
    }
}

/// The change that gives a cloth its picture, written from the garment's folder where it lies within it.
///
/// # Errors
/// The file is no picture that can be read, or the cloth is not there any more.
pub fn chosen(at: usize, file: &Path, desk: &Desk) -> Result<Command, FileProblem> {
    read(file)?;
    let mut cloth = desk.garment().cloths_or_plain().get(at).cloned().ok_or_else(|| {
        FileProblem::from(DraftError::new(format!("cloth {}", at + 1), "is not among the cloths any more", "Choose a cloth that is there."))
    })?;
    cloth.swatch = photo::written(file, desk.file());
    Ok(Command::Cloth(Box::new(ClothCommand::Change { at, cloth })))
}

/// The part of a picture that fills a tile without being stretched, from 0 to 1 across and down.
pub fn part_of(texture: &TextureHandle, tile: Vec2) -> egui::Rect {
    let size = texture.size_vec2();
    let (own, wanted) = (size.x / size.y.max(1.0), tile.x / tile.y.max(1.0));
    let shown = if own > wanted { vec2(wanted / own, 1.0) } else { vec2(1.0, own / wanted) };
    egui::Rect::from_center_size(egui::pos2(0.5, 0.5), shown)
}

/// Paints a tile.
pub fn tile(painter: &egui::Painter, texture: &TextureHandle, rect: egui::Rect, line: egui::Color32) {
    painter.image(texture.id(), rect, part_of(texture, rect.size()), egui::Color32::WHITE);
    painter.rect_stroke(rect, 2.0, egui::Stroke::new(1.0, line), egui::StrokeKind::Inside);
}
