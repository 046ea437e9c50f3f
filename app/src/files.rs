//! The only place that reads and writes files.

use std::fmt;
use std::fs;
use std::io::{Read as _, Write as _};
use std::path::{Path, PathBuf};

use draft_core::{DraftError, FileError, Garment, WearerCard};

pub mod book;
pub mod homes;
pub mod slot;

/// A file larger than this is none of ours.
const LARGEST_BYTES: u64 = 32 * 1024 * 1024;

/// Why a file could not be read or written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileProblem {
    /// The file, and the line and column where there are any.
    pub place: String,
    /// What is the matter.
    pub problem: String,
    /// One instruction.
    pub remedy: String,
}

impl fmt::Display for FileProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}. {}", self.place, self.problem, self.remedy)
    }
}

impl std::error::Error for FileProblem {}

impl From<DraftError> for FileProblem {
    fn from(error: DraftError) -> Self {
        Self { place: error.place, problem: error.problem, remedy: error.remedy }
    }
}

impl FileProblem {
    fn io(path: &Path, doing: &str, error: &std::io::Error) -> Self {
        let remedy = match error.kind() {
            std::io::ErrorKind::NotFound => "Check the name and the folder.",
            std::io::ErrorKind::PermissionDenied => "Choose a folder that you may write to, or ask its owner.",
            std::io::ErrorKind::StorageFull => "Make room on the disk and try again; nothing has been lost.",
            _ => "Check the file and the disk and try again.",
        };
        Self { place: path.display().to_string(), problem: format!("can't be {doing} ({error})"), remedy: remedy.to_owned() }
    }

    fn in_text(path: &Path, error: FileError) -> Self {
        Self {
            place: format!("{}, line {}, column {}", path.display(), error.line, error.column),
            problem: error.problem,
            remedy: error.remedy,
        }
    }
}

/// Reads a text file of at most 32 MiB.
///
/// # Errors
/// It can't be read, is too large, or is not UTF-8.
pub fn read_text(path: &Path) -> Result<String, FileProblem> {
    let file = fs::File::open(path).map_err(|e| FileProblem::io(path, "opened", &e))?;
    let mut bytes = Vec::new();
    file.take(LARGEST_BYTES + 1).read_to_end(&mut bytes).map_err(|e| FileProblem::io(path, "read", &e))?;
    if bytes.len() as u64 > LARGEST_BYTES {
        return Err(FileProblem {
            place: path.display().to_string(),
            problem: "is larger than any file of ours".into(),
            remedy: "Choose a garment or a wearer card.".into(),
        });
    }
    String::from_utf8(bytes).map_err(|e| {
        let before = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        let line = before.iter().filter(|b| **b == b'\n').count() + 1;
        let column = before.iter().rev().take_while(|b| **b != b'\n').count() + 1;
        FileProblem {
            place: format!("{}, line {line}, column {column}", path.display()),
            problem: "is not text in UTF-8".into(),
            remedy: "Choose a garment or a wearer card, or open the backup beside it. Nothing has been changed.".into(),
        }
    })
}

/// Where the version before is kept when a file is saved over: `gown.ron.bak` beside `gown.ron`.
pub fn backup_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".bak");
    PathBuf::from(name)
}

/// Writes a file whole or not at all: to a temporary file beside it, synced, then renamed over it. With `backup` the
/// version before is kept beside it.
///
/// # Errors
/// The folder can't be written to; the old file is untouched.
pub fn write(path: &Path, bytes: &[u8], backup: bool) -> Result<(), FileProblem> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let io = |doing: &'static str| move |e: std::io::Error| FileProblem::io(path, doing, &e);
    let mut builder = tempfile::Builder::new();
    builder.prefix(".saving-");
    // A temporary file is private by default; what is saved is as readable as any other file of the user.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut temporary = builder.tempfile_in(folder).map_err(io("written"))?;
    temporary.write_all(bytes).map_err(io("written"))?;
    temporary.as_file().sync_all().map_err(io("written"))?;
    if backup && path.exists() {
        fs::copy(path, backup_of(path)).map_err(io("backed up"))?;
    }
    temporary.persist(path).map_err(|e| FileProblem::io(path, "written", &e.error))?;
    // The rename itself is only safe on disk once the folder is.
    if let Ok(folder) = fs::File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// Makes a folder and those above it, unless they are there.
///
/// # Errors
/// It can't be made.
pub fn make_folder(folder: &Path) -> Result<(), FileProblem> {
    fs::create_dir_all(folder).map_err(|e| FileProblem {
        place: folder.display().to_string(),
        problem: format!("the folder can't be made ({e})"),
        remedy: "Choose a folder that you may write to.".into(),
    })
}

/// Reads a garment.
///
/// # Errors
/// It can't be read, is damaged, or is of a later version; with line and column.
pub fn load_garment(path: &Path) -> Result<Garment, FileProblem> {
    Garment::from_text(&read_text(path)?).map_err(|e| FileProblem::in_text(path, e))
}

/// Writes a garment and keeps the version before.
///
/// # Errors
/// See [`write`].
pub fn save_garment(path: &Path, garment: &Garment) -> Result<(), FileProblem> {
    write(path, garment.to_text().as_bytes(), true)
}

/// Reads a wearer card.
///
/// # Errors
/// As for [`load_garment`].
pub fn load_wearer(path: &Path) -> Result<WearerCard, FileProblem> {
    WearerCard::from_text(&read_text(path)?).map_err(|e| FileProblem::in_text(path, e))
}

/// Writes a wearer card and keeps the version before.
///
/// # Errors
/// See [`write`].
pub fn save_wearer(path: &Path, card: &WearerCard) -> Result<(), FileProblem> {
    write(path, card.to_text().as_bytes(), true)
}

/// A name that every file system takes, made of another one; `otherwise` where nothing of it is left.
pub fn plain_name(name: &str, otherwise: &str) -> String {
    let plain: String = name.trim().to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    let plain = plain.split('-').filter(|w| !w.is_empty()).collect::<Vec<_>>().join("-");
    if plain.is_empty() { otherwise.to_owned() } else { plain }
}

/// Today's date on this computer, as `2026-11-14`.
pub fn today() -> String {
    jiff::Zoned::now().date().to_string()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]
    use super::*;

    #[test]
    fn saving_over_keeps_the_version_before() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("gown.ron");
        write(&path, b"one", true).unwrap();
        assert!(!backup_of(&path).exists());
        write(&path, b"two", true).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read(backup_of(&path)).unwrap(), b"one");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2, "no temporary file is left behind");
    }

    #[test]
    fn names_that_every_file_system_takes() {
        assert_eq!(plain_name("The Weathervane", "garment"), "the-weathervane");
        assert_eq!(plain_name("  a/b: c?? ", "garment"), "a-b-c");
        assert_eq!(plain_name("…", "garment"), "garment");
    }

    #[test]
    fn what_is_not_text_is_refused_with_its_place() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("gown.ron");
        fs::write(&path, b"(\n  version: 1,\n  name: \"\xff\"").unwrap();
        let problem = load_garment(&path).unwrap_err();
        assert!(problem.place.ends_with("line 3, column 10"), "{problem}");
    }

    #[test]
    fn a_folder_that_is_not_there_is_named() {
        let problem = write(Path::new("/nowhere/at/all/gown.ron"), b"", true).unwrap_err();
        assert!(problem.place.contains("/nowhere/at/all/gown.ron"), "{problem}");
    }
}
