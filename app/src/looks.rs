//! How the window looks, remembered between starts.

use std::path::Path;

use draft_core::Unit;
use serde::{Deserialize, Serialize};

use crate::files::{self, FileProblem};

/// What is remembered; what was never chosen is as the system has it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Looks {
    /// Dark colours, or light ones.
    pub dark: Option<bool>,
    /// Size of text, 1 being usual.
    pub text_size: Option<f32>,
    /// The unit in which lengths are shown and a new card is typed.
    pub unit: Option<Unit>,
    /// Dots of the screen for each millimetre, by a card that was held to it.
    pub dots_per_mm: Option<f32>,
}

impl Looks {
    /// What a file remembers; nothing where it is not there or can't be read: looks are no reason not to start.
    pub fn read(file: &Path) -> Self {
        let read: Self = files::read_text(file).ok().and_then(|text| ron::from_str(&text).ok()).unwrap_or_default();
        Self { text_size: read.text_size.filter(|size| (0.5..=4.0).contains(size)), ..read }
    }

    /// Writes them down.
    ///
    /// # Errors
    /// The file can't be written.
    pub fn write(&self, file: &Path) -> Result<(), FileProblem> {
        if let Some(folder) = file.parent() {
            files::make_folder(folder)?;
        }
        let text = ron::to_string(self).unwrap_or_default();
        files::write(file, text.as_bytes(), false)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]
    use super::*;

    #[test]
    fn looks_are_read_as_they_were_written_and_damage_is_no_fault() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("new/looks.ron");
        let looks = Looks { dark: Some(true), text_size: Some(1.35), unit: Some(Unit::Inch), dots_per_mm: Some(4.25) };
        looks.write(&file).unwrap();
        assert_eq!(Looks::read(&file), looks);
        std::fs::write(&file, "(dark: maybe").unwrap();
        assert_eq!(Looks::read(&file), Looks::default());
        std::fs::write(&file, "(text_size: Some(900.0))").unwrap();
        assert_eq!(Looks::read(&file).text_size, None);
    }
}
