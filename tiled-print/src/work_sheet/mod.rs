//! The work sheet: everything for the workroom on a few pages. Wearer, ease, pieces drawn small, what to buy, cut list,
//! notions, lays, the order of sewing, notes of fittings, cautions.

mod pictures;
mod table;

use draft_core::plausible::shown;
use draft_core::shopping::{self, BuyLine};
use draft_core::table::{Column, numbers, words};
use draft_core::{Built, Fitting, Garment, Grade, Measurement, Origin, PrintSettings, Unit, Work, cut_list, notions, sewing, usual};
use kurbo::{Point, Rect, Size};

use self::table::table;
use crate::error::PrintError;
use crate::flow::{Flow, SMALL_MM, TEXT_MM, TITLE_MM};
use crate::lay_plan::LayPlan;
use crate::line::LineKind;
use crate::tile::Page;

/// Less than this across or down is no sheet to work by.
const LEAST_MM: Size = Size::new(150.0, 180.0);
/// Ruled lines for the fittings to come.
const RULED: usize = 9;
const LEAST_RULED: usize = 4;
const RULED_MM: f64 = 8.0;

/// The work sheet, ready to be written.
#[derive(Clone, Debug)]
pub struct WorkSheet {
    /// What it is called.
    pub title: String,
    /// The day of the garment's last change, or empty.
    pub dated: String,
    /// Its pages.
    pub pages: Vec<Page>,
}

impl WorkSheet {
    /// Lays out the sheet, upright on the paper of the settings. `buying` is what to buy, as far as that is known, and
    /// `lays` are the lays that have been made.
    ///
    /// # Errors
    /// The paper has no room for it, or there are no pieces.
    pub fn of(
        garment: &Garment,
        built: &Built,
        settings: &PrintSettings,
        unit: Unit,
        buying: &[BuyLine],
        lays: &[LayPlan],
    ) -> Result<Self, PrintError> {
        let (width, height) = settings.paper.size();
        let size = Size::new(width.mm(), height.mm());
        let margin = settings.margin.mm().max(8.0);
        let live = Rect::new(margin, margin, size.width - margin, size.height - margin);
        if !(live.width() >= LEAST_MM.width && live.height() >= LEAST_MM.height) {
            return Err(PrintError::new(
                "work sheet",
                format!("{:.0} × {:.0} mm inside the margins leave no room for it", live.width().max(0.0), live.height().max(0.0)),
                "Choose a paper such as A4 or Letter, or a smaller margin.",
            ));
        }
        if built.draft.pieces.is_empty() {
            return Err(PrintError::new("work sheet", "the garment has no pieces yet", "Draft a block first."));
        }
        let title = format!("Work sheet: {}", garment.name);
        let mut flow = Flow::new(size, live, title.clone());
        head(&mut flow, garment, &title);
        before_you_cut(&mut flow, built);
        wearer(&mut flow, garment, built, unit);
        ease(&mut flow, built, unit);
        flow.heading("Pieces", 60.0);
        let scale = pictures::pieces(&mut flow, built);
        flow.paragraph(&format!("Drawn 1 to {scale:.0}, cut lines strong, seam lines fine, the arrow along the grain. Print the pages of the garment for pieces at true scale."), SMALL_MM, 0.25);
        what_to_buy(&mut flow, buying, unit);
        cutting(&mut flow, garment, built, unit);
        other_things(&mut flow, garment, built, unit);
        if let Some(first) = lays.first() {
            let room = pictures::lay_mm(&flow, first);
            flow.heading("Lays", room);
            for plan in lays {
                pictures::lay(&mut flow, plan);
            }
        }
        order(&mut flow, built, unit);
        fittings(&mut flow, garment);
        Ok(Self { title, dated: garment.dated.clone(), pages: flow.finish() })
    }
}

fn head(flow: &mut Flow, garment: &Garment, title: &str) {
    flow.text_line(title, TITLE_MM, 0.0);
    let whose = garment.wearer.name.trim();
    let mut facts = Vec::new();
    if !whose.is_empty() {
        facts.push(format!("for {whose}"));
    }
    if !garment.dated.is_empty() {
        facts.push(format!("as of {}", garment.dated));
    }
    if !facts.is_empty() {
        flow.text_line(&facts.join(", "), TEXT_MM, 0.15);
    }
    if !garment.notes.trim().is_empty() {
        flow.paragraph(garment.notes.trim(), SMALL_MM, 0.1);
    }
    flow.space(1.0);
    flow.fields(&[("Workroom", "", 0.4), ("Cut by", "", 0.3), ("Sewn by", "", 0.3)]);
}

/// Cautions, and what is still to be mended or looked at.
fn before_you_cut(flow: &mut Flow, built: &Built) {
    let grave: Vec<_> = built.messages.iter().filter(|m| m.grade >= Grade::Caution).collect();
    if grave.is_empty() {
        return;
    }
    flow.heading("Before you cut", 14.0);
    for m in grave {
        let word = match m.grade {
            Grade::Error => "Mend",
            Grade::Warning => "Look again",
            Grade::Caution | Grade::Note => "Take care",
        };
        flow.paragraph(&format!("{word} — {}: {}. {}", m.place, m.problem.trim_end_matches('.'), m.remedy), SMALL_MM * 1.08, 0.0);
        flow.space(1.0);
    }
}

/// The measurements that the garment is drafted from, three to a row.
fn wearer(flow: &mut Flow, garment: &Garment, built: &Built, unit: Unit) {
    let needed: Vec<Measurement> = garment.works.iter().filter(|e| e.on).flat_map(|e| e.work.measurements()).copied().collect();
    let wanted = |m: Measurement| garment.wearer.take(m).is_some() || needed.contains(&m);
    let cell = |m: Measurement| -> Option<[String; 2]> {
        let value = shown(m, built.body.get(m)?, unit);
        let value = if matches!(built.body.origin(m), Origin::Estimated { .. }) { format!("{value} est.") } else { value };
        Some([m.name().to_owned(), value])
    };
    let cells: Vec<[String; 2]> = Measurement::ALL.iter().copied().filter(|m| wanted(*m)).filter_map(cell).collect();
    if cells.is_empty() {
        return;
    }
    let card = &garment.wearer;
    flow.heading("Wearer", 20.0);
    let taken = match (card.measured_on.trim(), card.measured_by.trim()) {
        ("", "") => String::new(),
        (on, "") => format!("Measured on {on}. "),
        ("", by) => format!("Measured by {by}. "),
        (on, by) => format!("Measured on {on} by {by}. "),
    };
    let estimated = if cells.iter().any(|c| c[1].ends_with("est.")) {
        "est.: estimated, not measured; measure it before you cut good cloth."
    } else {
        ""
    };
    let says = format!("{taken}{estimated}");
    if !says.trim().is_empty() {
        flow.paragraph(&says, SMALL_MM, 0.25);
    }
    if !card.notes.trim().is_empty() {
        flow.paragraph(card.notes.trim(), SMALL_MM, 0.1);
    }
    let per_column = cells.len().div_ceil(3);
    let rows: Vec<Vec<String>> =
        (0..per_column).map(|i| (0..3).flat_map(|c| cells.get(c * per_column + i).cloned().unwrap_or_default()).collect()).collect();
    let columns: Vec<Column> = (0..3).flat_map(|_| [words("", 0.2), numbers("", 0.13)]).collect();
    table(flow, &columns, &rows, false);
}

fn ease(flow: &mut Flow, built: &Built, unit: Unit) {
    if built.girths.is_empty() {
        return;
    }
    flow.heading("Ease", 20.0);
    let rows: Vec<Vec<String>> = built
        .girths
        .iter()
        .map(|g| {
            let fit = usual::standing(g).map_or_else(String::new, |s| s.text(unit));
            vec![g.level.to_owned(), unit.text(g.body_mm), unit.text(g.ease_mm), unit.text(g.finished_mm), fit]
        })
        .collect();
    let columns = [
        words("Level", 0.2),
        numbers("Body", 0.13),
        numbers("Ease", 0.12),
        numbers("Finished", 0.14),
        words("What that is usual for (common practice)", 0.41),
    ];
    table(flow, &columns, &rows, false);
}

fn what_to_buy(flow: &mut Flow, buying: &[BuyLine], unit: Unit) {
    if buying.is_empty() {
        return;
    }
    flow.heading("What to buy", 20.0);
    let list = shopping::table(buying, unit);
    table(flow, &list.columns, &list.rows, true);
    if let Some(total) = shopping::total(buying) {
        flow.paragraph(&format!("{total}."), SMALL_MM, 0.0);
    }
}

fn cutting(flow: &mut Flow, garment: &Garment, built: &Built, unit: Unit) {
    let (lines, _) = cut_list::cut_list(garment, built);
    if lines.is_empty() {
        return;
    }
    flow.heading("Cut list", 20.0);
    let list = cut_list::table(&lines, unit);
    table(flow, &list.columns, &list.rows, true);
}

fn other_things(flow: &mut Flow, garment: &Garment, built: &Built, unit: Unit) {
    let list = notions::notions(garment, built, unit);
    if list.is_empty() {
        return;
    }
    flow.heading("Notions", 20.0);
    let list = notions::table(&list, unit);
    table(flow, &list.columns, &list.rows, true);
}

fn order(flow: &mut Flow, built: &Built, unit: Unit) {
    let steps = sewing::steps(&built.draft, unit);
    if steps.is_empty() {
        return;
    }
    flow.heading("Order of sewing", 30.0);
    flow.paragraph("Flat before round, the parts before the whole (common practice); press each seam before it is crossed by another. Lengths are those of the seam line.", SMALL_MM, 0.25);
    let mut from = 0;
    while from < steps.len() {
        let group = steps[from].group;
        let own = steps[from..].iter().take_while(|s| s.group == group).count();
        flow.space(1.5);
        flow.keep_together(16.0);
        flow.text_line(group.name(), TEXT_MM, 0.0);
        let rows: Vec<Vec<String>> = steps[from..from + own].iter().map(|s| vec![s.what.clone(), s.how.clone()]).collect();
        table(flow, &[words("", 0.52), words("", 0.48)], &rows, true);
        from += own;
    }
}

/// What was pinned before, and room for what comes.
fn fittings(flow: &mut Flow, garment: &Garment) {
    flow.heading("Fittings", RULED_MM * 4.0);
    for entry in garment.works.iter().filter(|e| e.on) {
        if let Work::Fit(fitting) = &entry.work {
            flow.paragraph(&said(fitting), SMALL_MM * 1.08, 0.0);
        } else if !entry.note.trim().is_empty() {
            flow.paragraph(&format!("{}: {}", entry.work.what(), entry.note.trim()), SMALL_MM * 1.08, 0.0);
        }
    }
    let live = flow.live();
    // To the end of this page, or a page of them where little of it is left.
    flow.keep_together(RULED_MM * LEAST_RULED as f64);
    let fit = ((live.y1 - flow.y()) / RULED_MM) as usize;
    for _ in 0..RULED.min(fit) {
        flow.space(RULED_MM);
        let y = flow.y();
        flow.drawing().line(LineKind::Thin, Point::new(live.x0, y), Point::new(live.x1, y));
    }
}

fn said(fitting: &Fitting) -> String {
    let mut parts = vec![fitting.what()];
    if !fitting.by.trim().is_empty() {
        parts.push(format!("pinned by {}", fitting.by.trim()));
    }
    if !fitting.notes.trim().is_empty() {
        parts.push(fitting.notes.trim().to_owned());
    }
    parts.extend(fitting.changes.iter().map(draft_core::Alteration::what));
    parts.join("; ")
}
