//! Photos and scans that lie under the pieces.

use kurbo::{Affine, Point, Rect};
use serde::{Deserialize, Serialize};

use crate::homography::Homography;
use crate::{DraftError, Length};

/// A photo reaches no further than this from its sheet on the table, millimetres: a picture of the floor goes on to the horizon.
const REACH_MM: f64 = 2500.0;

/// The known rectangle in a photo.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Sheet {
    /// A4, ISO 216: 210 × 297 mm.
    #[default]
    A4,
    /// Letter, ANSI/ASME Y14.1: 8½ × 11 inches.
    Letter,
    /// Any other: width, then height.
    Sized(Length, Length),
}

impl Sheet {
    /// Width and height, millimetres, upright.
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
            Self::Sized(width, height) => (width.mm(), height.mm()),
        }
    }
}

/// A photo under the pieces, true to scale by the four corners of a sheet in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// The picture's file, from the garment's folder where it can be.
    pub file: String,
    /// SHA-256 of the file when it was marked, in hexadecimal: another picture under the same name is noticed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub checksum: String,
    /// The sheet in the photo.
    #[serde(default)]
    pub sheet: Sheet,
    /// Whether the sheet lies on its side, its longer side across.
    #[serde(default)]
    pub sideways: bool,
    /// Its corners in the photo, in pixels from the upper left: upper left, upper right, lower right, lower left of the sheet.
    pub corners: [(f64, f64); 4],
    /// Where the sheet's upper left corner lies on the table, millimetres.
    #[serde(default)]
    pub at: (f64, f64),
    /// How far it is turned about that corner, degrees clockwise.
    #[serde(default)]
    pub turned: f64,
    /// How much of it shows, from 0 to 1.
    #[serde(default = "half")]
    pub opacity: f64,
    /// It is held in its place: not moved, turned or marked anew until it is let go.
    #[serde(default)]
    pub locked: bool,
    /// It is not shown.
    #[serde(default)]
    pub hidden: bool,
}

const fn half() -> f64 {
    0.6
}

impl Photo {
    /// A photo of this many pixels, with its corners marked a third of the way in, to be put right by hand.
    pub fn new(file: String, checksum: String, pixels: (f64, f64)) -> Self {
        let at = |x: f64, y: f64| (pixels.0 * x, pixels.1 * y);
        Self {
            file,
            checksum,
            sheet: Sheet::default(),
            sideways: false,
            corners: [at(0.33, 0.33), at(0.67, 0.33), at(0.67, 0.67), at(0.33, 0.67)],
            at: (0.0, 0.0),
            turned: 0.0,
            opacity: half(),
            locked: false,
            hidden: false,
        }
    }

    /// Width and height of the sheet as it lies, millimetres.
    pub fn sheet_mm(&self) -> (f64, f64) {
        let (width, height) = self.sheet.size_mm();
        if self.sideways { (height, width) } else { (width, height) }
    }

    /// From the sheet, in millimetres, to the photo, in pixels.
    ///
    /// # Errors
    /// The four corners can't be those of a sheet.
    pub fn from_sheet(&self) -> Result<Homography, DraftError> {
        let (width, height) = self.sheet_mm();
        Homography::of_rectangle(width, height, self.corners.map(Point::from)).ok_or_else(|| {
            DraftError::new(
                format!("photo {}", self.file),
                "the four marks can't be the corners of a sheet",
                "Put them on the sheet's corners in turn: upper left, upper right, lower right, lower left, none of them within the others.",
            )
        })
    }

    /// From the sheet to the table, both millimetres.
    pub fn placed(&self) -> Affine {
        Affine::translate(kurbo::Vec2::new(self.at.0, self.at.1)) * Affine::rotate(self.turned.to_radians())
    }

    /// The part of the sheet's plane that the photo shows, as far as it is shown on the table; millimetres from the sheet's
    /// upper left corner.
    ///
    /// # Errors
    /// As for [`Self::from_sheet`].
    pub fn shows(&self, pixels: (f64, f64)) -> Result<Rect, DraftError> {
        let to_photo = self.from_sheet()?;
        let (width, height) = self.sheet_mm();
        let sheet = Rect::new(0.0, 0.0, width, height);
        let most = sheet.inflate(REACH_MM, REACH_MM);
        let Some(back) = to_photo.inverse() else { return Ok(sheet) };
        let mut shown = sheet;
        // The border of the photo, as far as it lies this side of the horizon.
        for i in 0..=32 {
            let t = f64::from(i) / 32.0;
            let (x, y) = (t * pixels.0, t * pixels.1);
            for pixel in [(x, 0.0), (x, pixels.1), (0.0, y), (pixels.0, y)] {
                let there = back.map(pixel.into()).filter(|p| p.is_finite() && to_photo.map(*p).is_some());
                match there {
                    Some(p) => shown = shown.union_pt(p),
                    None => return Ok(most),
                }
            }
        }
        Ok(shown.intersect(most))
    }

    /// Looks for what makes no sense.
    ///
    /// # Errors
    /// Names the first.
    pub fn check(&self) -> Result<(), DraftError> {
        let place = || format!("photo {}", self.file);
        if let Sheet::Sized(width, height) = self.sheet
            && ![width, height].iter().all(|l| (20.0..=5000.0).contains(&l.mm()))
        {
            return Err(DraftError::new(
                place(),
                "the sheet in it is smaller than 2 cm or larger than 5 m",
                "Measure the sheet and type its width and height.",
            ));
        }
        let numbers = [self.at.0, self.at.1, self.turned, self.opacity];
        if !numbers.iter().chain(self.corners.iter().flat_map(|(x, y)| [x, y])).all(|n| n.is_finite())
            || !(0.0..=1.0).contains(&self.opacity)
        {
            return Err(DraftError::new(place(), "has a number that can't be used", "Take it away and lay it down again."));
        }
        self.from_sheet().map(|_| ())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_square_to_the_sheet_shows_what_it_shows() {
        let mut photo = Photo::new("muslin.jpg".into(), String::new(), (4000.0, 3000.0));
        // Ten pixels to the millimetre, the sheet 500 pixels in.
        photo.corners = [(500.0, 500.0), (2600.0, 500.0), (2600.0, 3470.0), (500.0, 3470.0)];
        let shown = photo.shows((4000.0, 4000.0)).unwrap_or(Rect::ZERO);
        let expected = Rect::new(-50.0, -50.0, 350.0, 350.0);
        assert!((shown.x0 - expected.x0).abs() < 1e-6 && (shown.y1 - expected.y1).abs() < 1e-6, "{shown:?}");
        assert_eq!(photo.check(), Ok(()));
    }

    #[test]
    fn crossed_corners_are_refused_and_the_horizon_is_not_reached() {
        let mut photo = Photo::new("muslin.jpg".into(), String::new(), (4000.0, 3000.0));
        photo.corners.swap(0, 1);
        assert!(photo.check().is_err());
        // A floor seen at a low angle: the horizon lies within the picture.
        photo.corners = [(1600.0, 1500.0), (2400.0, 1500.0), (2900.0, 2500.0), (1100.0, 2500.0)];
        let shown = photo.shows((4000.0, 3000.0)).unwrap_or(Rect::ZERO);
        assert!(shown.width() <= 210.0 + 2.0 * REACH_MM && shown.is_finite());
    }
}
