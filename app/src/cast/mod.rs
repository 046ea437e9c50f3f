//! A cast: a table of wearers, drafted in one go.
//!
//! The first line names the columns: a measurement by its key or its name, with its unit behind it if it has one
//! (`bust-girth`, `Waist girth (in)`, `hip_girth_cm`); `name`, `survey` (or `sex`) and `notes` besides. Without a `name`
//! the first column names the wearers, if it is no measurement. One row that can't be used
//! never stops the rest.

mod summary;

use draft_core::{Block, Built, Garment, Grade, Measurement, Settings, Survey, Take, Unit, WearerCard, Work};
use rayon::prelude::*;

pub use self::summary::{Summary, save};

use crate::files::FileProblem;

/// One wearer of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Row of the table, from 1, the line with the columns' names not counted.
    pub row: usize,
    /// The card, or why the row is none.
    pub card: Result<WearerCard, String>,
}

/// A table of wearers.
#[derive(Clone, Debug, PartialEq)]
pub struct Cast {
    /// Its rows in order.
    pub rows: Vec<Row>,
    /// The measurements that there are columns for.
    pub used: Vec<Measurement>,
    /// Columns that are no measurement, and so were not used.
    pub unused: Vec<String>,
}

/// What a drafted wearer came to.
#[derive(Debug)]
pub struct Drafted {
    /// Row of the table.
    pub row: usize,
    /// The garment and what was built from it, or why there is none.
    pub garment: Result<(Garment, Built), String>,
}

enum Column {
    Name,
    Survey,
    Notes,
    Measured(Measurement, Unit),
    /// The right side of the body, where it differs.
    Right(Measurement, Unit),
    Unused,
}

/// A column's name without its unit, and the unit.
fn with_unit(header: &str, otherwise: Unit) -> (String, Unit) {
    let text = header.trim().trim_end_matches([')', ']']).to_lowercase();
    for unit in Unit::ALL {
        for sign in [unit.sign(), if unit == Unit::Inch { "inch" } else { unit.sign() }] {
            if let Some(rest) = text.strip_suffix(sign)
                && rest.ends_with([' ', '_', '-', '(', '['])
            {
                return (rest.trim_end_matches([' ', '_', '-', '(', '[']).to_owned(), unit);
            }
        }
    }
    (text, otherwise)
}

fn measurement(name: &str) -> Option<Measurement> {
    Measurement::from_key(name).or_else(|| Measurement::ALL.iter().copied().find(|m| m.name().to_lowercase() == name.to_lowercase()))
}

fn column(header: &str, unit: Unit) -> Column {
    let (name, unit) = with_unit(header.trim_start_matches('\u{feff}'), unit);
    match name.as_str() {
        "name" | "wearer" => Column::Name,
        "survey" | "sex" => Column::Survey,
        "notes" | "note" => Column::Notes,
        _ => match name.strip_prefix("right").and_then(|n| measurement(n.trim_start_matches([' ', '-', '_']))) {
            Some(which) if which.has_sides() => Column::Right(which, unit),
            _ => measurement(&name).map_or(Column::Unused, |m| Column::Measured(m, unit)),
        },
    }
}

impl Cast {
    /// Reads a table: fields divided by commas, semicolons or tabs, whichever the first line has most of. `unit` holds
    /// for columns that name none.
    ///
    /// # Errors
    /// There is no column for any measurement.
    pub fn read(text: &str, unit: Unit, place: &str) -> Result<Self, FileProblem> {
        let first = text.lines().next().unwrap_or_default();
        let delimiter = [b',', b';', b'\t'].into_iter().max_by_key(|d| first.bytes().filter(|b| b == d).count()).unwrap_or(b',');
        let mut reader = csv::ReaderBuilder::new().delimiter(delimiter).flexible(true).trim(csv::Trim::All).from_reader(text.as_bytes());
        let header: Vec<String> = reader.headers().map(|h| h.iter().map(str::to_owned).collect()).unwrap_or_default();
        let mut columns: Vec<Column> = header.iter().map(|h| column(h, unit)).collect();
        if !columns.iter().any(|c| matches!(c, Column::Name))
            && let Some(first @ Column::Unused) = columns.first_mut()
        {
            *first = Column::Name;
        }
        if !columns.iter().any(|c| matches!(c, Column::Measured(..))) {
            return Err(FileProblem {
                place: format!("{place}, line 1"),
                problem: "no column is named after a measurement".into(),
                remedy: "Name the columns after measurements, such as bust-girth or waist-girth (in); the wearer card lists them all."
                    .into(),
            });
        }
        let unused =
            header.iter().zip(&columns).filter(|(h, c)| matches!(c, Column::Unused) && !h.is_empty()).map(|(h, _)| h.clone()).collect();
        let rows = reader
            .records()
            .enumerate()
            .map(|(i, record)| Row {
                row: i + 1,
                card: record.map_err(|e| format!("can't be read ({e})")).map(|r| card(&r, &columns, unit, i + 1)),
            })
            .collect();
        let used = columns.iter().filter_map(|c| if let Column::Measured(which, _) = c { Some(*which) } else { None }).collect();
        Ok(Self { rows, used, unused })
    }

    /// Drafts the blocks for every row, on all cores; `done` is called after each. The result stands in the order of
    /// the table.
    pub fn draft(&self, blocks: &[(Block, Settings)], done: impl Fn() + Sync) -> Vec<Drafted> {
        let keep = |row: usize, garment| {
            done();
            Drafted { row, garment }
        };
        self.draft_each(blocks, keep, || true).unwrap_or_default()
    }

    /// Drafts the blocks for every row, on all cores, and keeps of each what `keep` makes of it, in the order of the
    /// table. `None` once `go_on` says no: nothing is drafted any more then.
    pub fn draft_each<T: Send>(
        &self,
        blocks: &[(Block, Settings)],
        keep: impl Fn(usize, Result<(Garment, Built), String>) -> T + Sync,
        go_on: impl Fn() -> bool + Sync,
    ) -> Option<Vec<T>> {
        self.rows
            .par_iter()
            .map(|row| {
                go_on().then(|| {
                    let garment = row.card.as_ref().map_err(Clone::clone).map(|card| {
                        let mut garment = Garment::new(format!("Block of {}", card.name), card.clone());
                        let work = |(block, settings): &(Block, Settings)| Work::Draft { block: *block, settings: settings.clone() }.into();
                        garment.works = blocks.iter().map(work).collect();
                        let built = garment.build();
                        (garment, built)
                    });
                    keep(row.row, garment)
                })
            })
            .collect()
    }
}

/// The name of a wearer's files, from the row and the wearer's name: letters, digits and hyphens only.
pub fn file_stem(row: usize, name: &str) -> String {
    let plain: String = name.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).take(60).collect();
    format!("{row:04}-{}", plain.trim_matches('-'))
}

fn card(record: &csv::StringRecord, columns: &[Column], unit: Unit, row: usize) -> WearerCard {
    let mut card = WearerCard { unit, ..WearerCard::default() };
    for (field, column) in record.iter().zip(columns) {
        match column {
            Column::Name => card.name = field.to_owned(),
            Column::Notes => card.notes = field.to_owned(),
            Column::Survey => {
                card.survey = match field.to_lowercase().as_str() {
                    "women" | "woman" | "female" | "f" => Survey::Women,
                    "men" | "man" | "male" | "m" => Survey::Men,
                    _ => Survey::Everyone,
                }
            }
            Column::Measured(which, unit) => card.set(*which, Take::new(field, *unit)),
            Column::Right(which, unit) => card.set_right(*which, Take::new(field, *unit)),
            Column::Unused => {}
        }
    }
    if card.name.is_empty() {
        card.name = format!("row {row}");
    }
    card
}

impl Drafted {
    /// Whether there is nothing to mend.
    pub fn is_ok(&self) -> bool {
        self.garment.as_ref().is_ok_and(|(_, built)| built.is_ok())
    }

    /// The gravest thing found, in one line; `None` when there is nothing above a note.
    pub fn problem(&self) -> Option<String> {
        match &self.garment {
            Err(e) => Some(e.clone()),
            Ok((_, built)) => built.messages.iter().find(|m| m.grade >= Grade::Warning).map(|m| format!("{}: {}", m.place, m.problem)),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]
    use super::*;

    #[test]
    fn the_right_side_has_columns_of_its_own() {
        let table = "name,shoulder-length,right shoulder-length (mm),right waist-girth\nOla,13,139,70\nEik,13,,70\n";
        let cast = Cast::read(table, Unit::Cm, "table").unwrap();
        let right = |row: usize| cast.rows[row].card.as_ref().unwrap().right.get(&Measurement::ShoulderLength).cloned();
        assert_eq!(right(0), Some(Take::new("139", Unit::Mm)));
        assert_eq!(right(1), None);
        assert_eq!(cast.unused, ["right waist-girth"]);
    }

    #[test]
    fn columns_and_their_units() {
        let table = "name;Bust girth (in);waist_girth_cm;hip-girth;shoe size\nOla;36 1/4;72,5;980;41\n;;;\n";
        let cast = Cast::read(table, Unit::Mm, "table").unwrap();
        assert_eq!(cast.unused, ["shoe size"]);
        assert_eq!(cast.used, [Measurement::BustGirth, Measurement::WaistGirth, Measurement::HipGirth]);
        let card = cast.rows[0].card.as_ref().unwrap();
        let mm = |m| card.read(m, card.take(m).unwrap()).unwrap();
        assert_eq!(card.name, "Ola");
        assert!((mm(Measurement::BustGirth) - 36.25 * 25.4).abs() < 1e-9);
        assert!((mm(Measurement::WaistGirth) - 725.0).abs() < 1e-9);
        assert!((mm(Measurement::HipGirth) - 980.0).abs() < 1e-9);
        assert_eq!(cast.rows[1].card.as_ref().unwrap().name, "row 2");
    }

    #[test]
    fn without_a_name_the_first_column_names_the_wearers() {
        let cast = Cast::read("body,sex,stature,ansur\nA1,female,162.0,7\n", Unit::Cm, "table").unwrap();
        let card = cast.rows[0].card.as_ref().unwrap();
        assert_eq!((card.name.as_str(), card.survey), ("A1", Survey::Women));
        assert_eq!(cast.unused, ["ansur"]);
    }

    #[test]
    fn drafting_stops_when_told_to() {
        let cast = Cast::read("name,stature\nA,162\nB,170\n", Unit::Cm, "table").unwrap();
        assert!(cast.draft_each(&[], |row, _| row, || false).is_none());
        assert_eq!(cast.draft_each(&[], |row, _| row, || true), Some(vec![1, 2]));
    }

    #[test]
    fn a_table_of_something_else_is_refused() {
        let problem = Cast::read("colour,price\nred,3\n", Unit::Cm, "table").unwrap_err();
        assert!(problem.problem.contains("measurement"));
    }
}
