//! Writes pages and sheets to files, away from the window.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use draft_core::shopping::BuyLine;
use draft_core::{Built, Garment, Measurement, Unit, cut_list, notions, shopping};
use egui::Context;
use tiled_print::lay_plan::{self, LayPlan};
use tiled_print::{MeasureSheet, PrintError, Sheet, Tiling, WorkSheet, dxf, pdf, svg};

use crate::files::{self, FileProblem};
use crate::lay::ClothLay;
use crate::window::SheetOf;
use crate::window::errand::{Errand, Standing};

/// What takes longer than this shows that it is under way.
pub const SHOW_AFTER: Duration = Duration::from_millis(500);

/// What is written.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// The pages, as a PDF.
    Pages,
    /// The whole sheet, as SVG, PDF or DXF by the file's name.
    Sheet,
    /// The sheet to measure with, in a unit, as a PDF.
    MeasuringSheet(SheetOf, Unit),
    /// What to buy, the cut list, the notions and the lays, into a folder.
    Lists(Vec<BuyLine>),
    /// The work sheet, with what to buy and in a unit, as a PDF.
    WorkSheet(Vec<BuyLine>, Unit),
}

/// A file being written.
pub struct Writing {
    errand: Errand<Result<String, Failure>>,
    called_off: Arc<AtomicBool>,
    /// The file.
    pub file: PathBuf,
}

/// Why a file was not written.
enum Failure {
    Problem(FileProblem),
    CalledOff,
}

impl From<PrintError> for Failure {
    fn from(e: PrintError) -> Self {
        Self::Problem(FileProblem { place: e.place, problem: e.problem, remedy: e.remedy })
    }
}

impl Writing {
    /// Begins to write.
    pub fn begin(ctx: &Context, what: What, garment: Garment, built: Built, file: PathBuf) -> Self {
        let called_off = Arc::new(AtomicBool::new(false));
        let (stop, to) = (Arc::clone(&called_off), file.clone());
        let errand = Errand::send(ctx, move || write(what, &garment, &built, &to, &stop));
        ctx.request_repaint_after(SHOW_AFTER);
        Self { errand, called_off, file }
    }

    /// Nothing is written any more; what was there stays.
    pub fn call_off(&self) {
        self.called_off.store(true, Ordering::Relaxed);
    }

    /// Whether it takes long enough to be shown.
    pub fn is_slow(&self) -> bool {
        self.errand.time_out() >= SHOW_AFTER
    }

    /// What came of it, once it is done: words for the maker, or what went wrong. Nothing when it was called off.
    pub fn look(&self) -> Option<Result<Option<String>, FileProblem>> {
        match self.errand.look() {
            Standing::Out => None,
            Standing::Back(Ok(said)) => Some(Ok(Some(said))),
            Standing::Back(Err(Failure::CalledOff)) => Some(Ok(None)),
            Standing::Back(Err(Failure::Problem(problem))) => Some(Err(problem)),
            Standing::Lost => Some(Err(FileProblem {
                place: self.file.display().to_string(),
                problem: "was not written: the work stopped half way".into(),
                remedy: "Try again; what was there before is untouched.".into(),
            })),
        }
    }
}

/// Tables and drawings into a folder.
fn lists(buying: &[BuyLine], garment: &Garment, built: &Built, folder: &Path) -> Result<String, Failure> {
    files::make_folder(folder).map_err(Failure::Problem)?;
    let unit = garment.wearer.unit;
    let mut all = vec![
        ("what-to-buy.csv".to_owned(), shopping::to_csv(buying, unit)),
        ("cut-list.csv".to_owned(), cut_list::to_csv(&cut_list::cut_list(garment, built).0)),
        ("notions.csv".to_owned(), notions::to_csv(&notions::notions(garment, built, unit), unit)),
    ];
    for (name, plan) in ClothLay::of_garment(garment, built).iter().flat_map(|lay| lay.plans(garment, built)) {
        all.push((format!("{name}.svg"), lay_plan::write(&plan)));
    }
    for (name, text) in &all {
        files::write(&folder.join(name), text.as_bytes(), false).map_err(Failure::Problem)?;
    }
    Ok(format!("Wrote {} lists and lays into {}.", all.len(), folder.display()))
}

fn write(what: What, garment: &Garment, built: &Built, file: &Path, stop: &AtomicBool) -> Result<String, Failure> {
    let go_on = || if stop.load(Ordering::Relaxed) { Err(Failure::CalledOff) } else { Ok(()) };
    let name = file.display();
    let (bytes, said) = match what {
        What::WorkSheet(buying, unit) => {
            let lays: Vec<LayPlan> =
                ClothLay::of_garment(garment, built).iter().flat_map(|l| l.plans(garment, built)).map(|(_, p)| p).collect();
            go_on()?;
            let sheet = WorkSheet::of(garment, built, &garment.print, unit, &buying, &lays)?;
            let without = if lays.is_empty() { " No cloth has been laid yet, so no lay is on it." } else { "" };
            let count = sheet.pages.len();
            (pdf::work_sheet(&sheet)?, format!("Wrote the work sheet to {name}: {count} pages.{without}"))
        }
        What::Lists(buying) => return lists(&buying, garment, built, file),
        What::Pages => {
            let sheet = Sheet::of(garment, built)?;
            go_on()?;
            let tiling = Tiling::of(&sheet, &garment.print)?;
            go_on()?;
            let count = tiling.tiles.len();
            let pages = if count == 1 { "page" } else { "pages" };
            let said = format!("Wrote {count} {pages} and the assembly map to {name}. Print at actual size and measure the test square.");
            (pdf::pages(&sheet, &tiling)?, said)
        }
        What::Sheet => {
            let sheet = Sheet::of(garment, built)?;
            go_on()?;
            let said = format!("Wrote the sheet to {name}, at true scale.");
            let is = |ending: &str| file.extension().is_some_and(|e| e.eq_ignore_ascii_case(ending));
            let bytes = if is("pdf") {
                pdf::whole(&sheet)?
            } else if is("dxf") {
                dxf::write(&sheet).into_bytes()
            } else {
                svg::write(&sheet).into_bytes()
            };
            (bytes, said)
        }
        What::MeasuringSheet(of, unit) => {
            let needed: Vec<Measurement> = garment.works.iter().filter(|e| e.on).flat_map(|e| e.work.measurements()).copied().collect();
            let wanted = if of == SheetOf::Blocks { needed.as_slice() } else { Measurement::ALL };
            let sheet = MeasureSheet::of(&garment.wearer, wanted, &garment.print, unit)?;
            (pdf::measure_sheet(&sheet)?, format!("Wrote the measuring sheet to {name}: {} measurements.", sheet.measurements.len()))
        }
    };
    go_on()?;
    files::write(file, &bytes, false).map_err(Failure::Problem)?;
    Ok(said)
}
