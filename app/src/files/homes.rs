//! Where the program keeps what is its own, after the XDG Base Directory Specification: what the user chose under the
//! configuration folder, what must outlive a crash under the state folder, the block book under the data folder.

use std::path::PathBuf;

const OURS: &str = "basteline";

/// A folder named by a variable, or below the home folder. A path that is not absolute is to be ignored, as the
/// specification has it.
fn folder(variable: &str, below_home: &[&str]) -> Option<PathBuf> {
    let absolute = |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|p| p.is_absolute());
    let base = absolute(variable).or_else(|| {
        let mut home = absolute("HOME")?;
        home.extend(below_home);
        Some(home)
    })?;
    Some(base.join(OURS))
}

/// The file in which looks are remembered; `None` where there is no home folder.
pub fn looks() -> Option<PathBuf> {
    Some(folder("XDG_CONFIG_HOME", &[".config"])?.join("looks.ron"))
}

/// The folder in which open garments are kept; `None` where there is no home folder.
pub fn state() -> Option<PathBuf> {
    folder("XDG_STATE_HOME", &[".local", "state"])
}

/// The folder of the block book; `None` where there is no home folder.
pub fn data() -> Option<PathBuf> {
    folder("XDG_DATA_HOME", &[".local", "share"])
}
