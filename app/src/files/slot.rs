//! Where the open garment is kept, so that it outlives a crash.
//!
//! Each window holds one slot by a lock, which the system lets go of however the window ends. A slot that is free and
//! still holds a garment is therefore one whose window did not close in order.

use std::fs;
use std::path::{Path, PathBuf};

use draft_core::Garment;
use serde::{Deserialize, Serialize};

use super::{FileProblem, make_folder, read_text, write};

/// So many windows at most keep their garments.
const SLOTS: usize = 64;

/// A slot that is ours as long as this lives.
#[derive(Debug)]
pub struct Slot {
    /// Holds the lock.
    _lock: fs::File,
    kept: PathBuf,
}

/// A garment that was kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// With what was changed last.
    pub garment: Garment,
    /// Where it was saved before, if it was.
    pub file: Option<PathBuf>,
    /// When it was kept, as `2026-11-14 15:02`.
    pub at: String,
}

#[derive(Serialize, Deserialize)]
struct Text {
    at: String,
    file: Option<PathBuf>,
    garment: String,
}

/// What was found at the start.
#[derive(Debug)]
pub struct Found {
    /// What a window left behind, each still in its slot.
    pub left: Vec<(Slot, Kept)>,
    /// Our own slot; `None` where all are taken.
    pub own: Option<Slot>,
}

/// Looks through the slots of a folder and takes one of them.
///
/// # Errors
/// The folder can't be made or written to.
pub fn look(folder: &Path) -> Result<Found, FileProblem> {
    make_folder(folder)?;
    let mut found = Found { left: Vec::new(), own: None };
    for n in 1..=SLOTS {
        let at = |ending: &str| folder.join(format!("open-{n}.{ending}"));
        let fresh = !at("lock").exists();
        if fresh && found.own.is_some() {
            break;
        }
        let path = at("lock");
        let lock = fs::OpenOptions::new().create(true).truncate(false).write(true).open(&path);
        let lock = lock.map_err(|e| FileProblem::io(&path, "written", &e))?;
        if lock.try_lock().is_err() {
            continue;
        }
        let slot = Slot { _lock: lock, kept: at("ron") };
        match slot.read() {
            Some(kept) => found.left.push((slot, kept)),
            // What can't be read stays where it is, for someone to look at.
            None if slot.kept.exists() => {}
            None if found.own.is_none() => found.own = Some(slot),
            None => {}
        }
    }
    Ok(found)
}

impl Slot {
    fn read(&self) -> Option<Kept> {
        let text: Text = ron::from_str(&read_text(&self.kept).ok()?).ok()?;
        let garment = Garment::from_text(&text.garment).ok()?;
        Some(Kept { garment, file: text.file, at: text.at })
    }

    /// Keeps a garment, in place of what was kept before.
    ///
    /// # Errors
    /// It can't be written.
    pub fn keep(&self, garment: &Garment, file: Option<&Path>) -> Result<(), FileProblem> {
        let at = jiff::Zoned::now().strftime("%Y-%m-%d %H:%M").to_string();
        let text = Text { at, file: file.map(Path::to_owned), garment: garment.to_text() };
        let text = ron::to_string(&text).map_err(|e| FileProblem {
            place: self.kept.display().to_string(),
            problem: format!("can't be written ({e})"),
            remedy: "Save the garment to a file of its own.".into(),
        })?;
        write(&self.kept, text.as_bytes(), false)
    }

    /// Forgets what was kept.
    pub fn clear(&self) {
        // Where there is nothing, there is nothing to forget.
        let _ = fs::remove_file(&self.kept);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]
    use super::*;
    use draft_core::WearerCard;

    #[test]
    fn what_a_lost_window_kept_is_found_and_what_an_open_one_keeps_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let garment = Garment::new("gown", WearerCard::default());
        let first = look(folder.path()).unwrap().own.unwrap();
        first.keep(&garment, Some(Path::new("/shows/gown.ron"))).unwrap();
        // Another window, while the first is open.
        let second = look(folder.path()).unwrap();
        assert!(second.left.is_empty() && second.own.is_some());
        drop((first, second));
        let found = look(folder.path()).unwrap();
        assert_eq!(found.left.len(), 1);
        let (slot, kept) = &found.left[0];
        assert_eq!((&kept.garment, kept.file.as_deref()), (&garment, Some(Path::new("/shows/gown.ron"))));
        slot.clear();
        drop(found);
        assert!(look(folder.path()).unwrap().left.is_empty());
    }

    #[test]
    fn a_damaged_one_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        look(folder.path()).unwrap();
        fs::write(folder.path().join("open-1.ron"), "(at: ").unwrap();
        let found = look(folder.path()).unwrap();
        assert!(found.left.is_empty());
        found.own.unwrap().keep(&Garment::new("gown", WearerCard::default()), None).unwrap();
        assert_eq!(fs::read_to_string(folder.path().join("open-1.ron")).unwrap(), "(at: ");
    }
}
