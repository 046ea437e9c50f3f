//! What each wearer of a cast came to, without the pieces, and the folder of reports.

use std::fmt::Write as _;
use std::path::Path;

use draft_core::{Built, Garment, Grade, Message};

use super::file_stem;
use crate::files::{self, FileProblem};
use crate::report::CheckReport;

/// One wearer of a cast.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// Row of the table, from 1.
    pub row: usize,
    /// The wearer.
    pub name: String,
    /// The garment, as it can be opened; `None` when the row can't be read.
    pub garment: Option<Garment>,
    /// What was found, gravest first.
    pub messages: Vec<Message>,
}

impl Summary {
    /// Sums up one row.
    pub fn of(row: usize, drafted: Result<(Garment, Built), String>) -> Self {
        match drafted {
            Ok((garment, built)) => Self { row, name: garment.wearer.name.clone(), garment: Some(garment), messages: built.messages },
            Err(problem) => {
                let remedy = "Mend the row in the table and open the table again.";
                let message = Message::new(Grade::Error, format!("row {row} of the table"), problem, remedy);
                Self { row, name: format!("row {row}"), garment: None, messages: vec![message] }
            }
        }
    }

    /// How many messages ask for something to be mended or looked at again.
    pub fn problems(&self) -> usize {
        self.messages.iter().filter(|m| m.grade >= Grade::Warning).count()
    }

    /// The gravest message above a note.
    pub fn worst(&self) -> Option<&Message> {
        self.messages.iter().find(|m| m.grade > Grade::Note)
    }

    /// Whether there is nothing to mend.
    pub fn is_sound(&self) -> bool {
        self.messages.iter().all(|m| m.grade < Grade::Error)
    }

    /// The state in a word.
    pub fn state(&self) -> &'static str {
        match (self.is_sound(), self.problems()) {
            (false, _) => "mend",
            (true, 0) => "sound",
            (true, _) => "look again",
        }
    }
}

/// Writes each wearer's garment and report into a folder, and a table of them all. Stops when `go_on` says no; `done` is
/// called after each wearer. Says how many were written.
///
/// # Errors
/// The folder can't be made or written to.
pub fn save(folder: &Path, list: &[Summary], done: impl Fn(), go_on: impl Fn() -> bool) -> Result<usize, FileProblem> {
    files::make_folder(folder)?;
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut write_row = |cells: [&str; 6]| {
        // Writing into memory can't fail.
        let _ = table.write_record(cells);
    };
    write_row(["row", "name", "state", "place", "problem", "remedy"]);
    let mut written = 0;
    for wearer in list {
        if !go_on() {
            break;
        }
        let worst = wearer.worst();
        let part = |of: fn(&Message) -> &str| worst.map_or("", of);
        let row = wearer.row.to_string();
        write_row([&row, &wearer.name, wearer.state(), part(|m| &m.place), part(|m| &m.problem), part(|m| &m.remedy)]);
        let path = |ending: &str| folder.join(format!("{}.{ending}", file_stem(wearer.row, &wearer.name)));
        let mut text = String::new();
        match &wearer.garment {
            Some(garment) => {
                files::save_garment(&path("ron"), garment)?;
                text = CheckReport::text(garment, &garment.build());
            }
            None => {
                for m in &wearer.messages {
                    let _ = writeln!(text, "{}: {}. {}", m.place, m.problem, m.remedy);
                }
            }
        }
        files::write(&path("txt"), text.as_bytes(), false)?;
        written += 1;
        done();
    }
    let table = table.into_inner().unwrap_or_default();
    files::write(&folder.join("cast.csv"), &table, false)?;
    Ok(written)
}
