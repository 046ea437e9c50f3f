//! Photos on disk, and their pixels laid flat.

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use draft_core::DraftError;
use draft_core::photo::Photo;
use image::{ImageDecoder, ImageReader, RgbaImage};
use kurbo::{Point, Rect};
use rayon::prelude::*;
use sha2::{Digest, Sha256};

use crate::files::FileProblem;

/// No photo is larger than this; bytes.
const LARGEST_BYTES: u64 = 256 << 20;
/// A photo is shown from a copy no longer than this on its longer side; pixels.
pub const LONGEST: u32 = 4096;
/// The flat picture has at most so many pixels for a millimetre of its sheet: a 600 dpi scan has 24.
const FINEST: f64 = 12.0;

/// A picture read from disk.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Its pixels, upright as the camera meant it.
    pub pixels: Arc<RgbaImage>,
    /// SHA-256 of its file, in hexadecimal.
    pub checksum: String,
}

/// A photo laid flat: as if taken from straight above, as far as the sheet's plane goes.
#[derive(Clone, Debug)]
pub struct Flat {
    /// Its pixels; transparent where the photo shows nothing.
    pub pixels: RgbaImage,
    /// What it covers, millimetres from the sheet's upper left corner.
    pub covers: Rect,
}

/// Where a photo's file is: as it is written, from the garment's folder, or under its own name beside the garment.
pub fn find(file: &str, garment: Option<&Path>) -> PathBuf {
    let written = PathBuf::from(file);
    let Some(folder) = garment.and_then(Path::parent) else { return written };
    let beside = folder.join(&written);
    if beside.exists() {
        return beside;
    }
    written.file_name().map(|name| folder.join(name)).filter(|p| p.exists()).unwrap_or(beside)
}

/// How a photo's file is written in the garment: from the garment's folder where it lies within it.
pub fn written(file: &Path, garment: Option<&Path>) -> String {
    let full = |p: &Path| fs::canonicalize(p).unwrap_or_else(|_| p.to_owned());
    let folder = garment.and_then(Path::parent).map(|f| if f.as_os_str().is_empty() { full(Path::new(".")) } else { full(f) });
    let file = full(file);
    let within = folder.and_then(|folder| file.strip_prefix(folder).map(Path::to_owned).ok());
    // One way of writing on every system.
    within.unwrap_or(file).to_string_lossy().replace('\\', "/")
}

/// Reads a PNG or JPEG, turned upright as its camera noted.
///
/// # Errors
/// It can't be read, is too large, or is no picture that is known.
pub fn load(path: &Path) -> Result<Picture, FileProblem> {
    let refuse = |problem: String| FileProblem {
        place: path.display().to_string(),
        problem,
        remedy: "Choose a photo or scan in PNG or JPEG form, or save it again in one of them.".into(),
    };
    let mut bytes = Vec::new();
    let file = fs::File::open(path).map_err(|e| refuse(format!("can't be opened ({e})")))?;
    file.take(LARGEST_BYTES + 1).read_to_end(&mut bytes).map_err(|e| refuse(format!("can't be read ({e})")))?;
    if bytes.len() as u64 > LARGEST_BYTES {
        return Err(refuse("is larger than 256 MB".into()));
    }
    let checksum = Sha256::digest(&bytes).iter().map(|b| format!("{b:02x}")).collect();
    let unreadable = |e: &dyn std::fmt::Display| refuse(format!("is no picture that can be read ({e})"));
    let reader = ImageReader::new(std::io::Cursor::new(bytes)).with_guessed_format().map_err(|e| unreadable(&e))?;
    let mut decoder = reader.into_decoder().map_err(|e| unreadable(&e))?;
    let upright = decoder.orientation().map_err(|e| unreadable(&e))?;
    let mut image = image::DynamicImage::from_decoder(decoder).map_err(|e| unreadable(&e))?;
    image.apply_orientation(upright);
    Ok(Picture { pixels: Arc::new(image.to_rgba8()), checksum })
}

/// A copy that is no longer than `LONGEST`.
pub fn for_the_screen(pixels: &RgbaImage) -> RgbaImage {
    let longest = pixels.width().max(pixels.height());
    if longest <= LONGEST {
        return pixels.clone();
    }
    let scaled = |side: u32| (u64::from(side) * u64::from(LONGEST) / u64::from(longest)).max(1) as u32;
    image::imageops::thumbnail(pixels, scaled(pixels.width()), scaled(pixels.height()))
}

/// Lays a photo flat.
///
/// # Errors
/// Its four marks can't be the corners of a sheet.
pub fn flat(photo: &Photo, pixels: &RgbaImage) -> Result<Flat, DraftError> {
    let size = (f64::from(pixels.width()), f64::from(pixels.height()));
    let to_photo = photo.from_sheet()?;
    let covers = photo.shows(size)?;
    // As fine as the photo is on the sheet itself, and no larger than the screen can hold.
    let (width, height) = photo.sheet_mm();
    let marked: f64 = (0..4).map(|i| Point::from(photo.corners[i]).distance(photo.corners[(i + 1) % 4].into())).sum();
    let finest = (marked / (2.0 * (width + height))).min(FINEST);
    let scale = finest.min(f64::from(LONGEST) / covers.width().max(covers.height()).max(1.0));
    let side = |mm: f64| ((mm * scale).round() as u32).clamp(1, LONGEST);
    let mut flat = RgbaImage::new(side(covers.width()), side(covers.height()));
    let (across, down) = (covers.width() / f64::from(flat.width()), covers.height() / f64::from(flat.height()));
    let row_bytes = 4 * flat.width() as usize;
    flat.par_chunks_mut(row_bytes).enumerate().for_each(|(y, row)| {
        for (x, out) in row.chunks_exact_mut(4).enumerate() {
            let on_sheet = Point::new(covers.x0 + (x as f64 + 0.5) * across, covers.y0 + (y as f64 + 0.5) * down);
            if let Some(colour) = to_photo.map(on_sheet).and_then(|p| sampled(pixels, p)) {
                out.copy_from_slice(&colour);
            }
        }
    });
    Ok(Flat { pixels: flat, covers })
}

/// The colour at a point of a picture, between the middles of the four pixels round it; `None` outside.
fn sampled(pixels: &RgbaImage, at: Point) -> Option<[u8; 4]> {
    let (width, height) = (f64::from(pixels.width()), f64::from(pixels.height()));
    if !(0.0..width).contains(&at.x) || !(0.0..height).contains(&at.y) {
        return None;
    }
    let (x, y) = ((at.x - 0.5).clamp(0.0, width - 1.0), (at.y - 0.5).clamp(0.0, height - 1.0));
    let (left, top) = (x as u32, y as u32);
    let (right, bottom) = ((left + 1).min(pixels.width() - 1), (top + 1).min(pixels.height() - 1));
    let (u, v) = (x - f64::from(left), y - f64::from(top));
    let of = |x: u32, y: u32, channel: usize| f64::from(pixels.get_pixel(x, y).0[channel]);
    Some(std::array::from_fn(|channel| {
        let upper = (1.0 - u) * of(left, top, channel) + u * of(right, top, channel);
        let lower = (1.0 - u) * of(left, bottom, channel) + u * of(right, bottom, channel);
        ((1.0 - v) * upper + v * lower).round() as u8
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_in_the_garments_folder_is_written_from_there_and_found_again() {
        let Ok(folder) = tempfile::tempdir() else { return };
        let garment = folder.path().join("gown.ron");
        let photo = folder.path().join("fitting").join("muslin.png");
        assert!(fs::create_dir_all(folder.path().join("fitting")).is_ok() && fs::write(&photo, b"x").is_ok());
        assert_eq!(written(&photo, Some(&garment)), "fitting/muslin.png");
        assert_eq!(find("fitting/muslin.png", Some(&garment)), photo);
        // A folder that was moved with its photo beside the garment.
        assert!(fs::write(folder.path().join("muslin.png"), b"x").is_ok());
        assert_eq!(find("/nowhere/any more/muslin.png", Some(&garment)), folder.path().join("muslin.png"));
        assert!(load(&photo).is_err_and(|e| e.problem.contains("no picture")));
    }
}
