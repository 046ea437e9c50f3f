//! The sheet that a maker takes to the fitting: every measurement in the order in which it is taken, where its tape
//! goes, what is expected, and room to write two takes.

mod picture;
mod words;

use draft_core::figure::Figure;
use draft_core::plausible::{Outlooks, shown};
use draft_core::{Body, Measurement, PrintSettings, Unit, WearerCard, measuring};
use kurbo::{Point, Rect, Size};

use crate::error::PrintError;
use crate::flow::{Flow, HEADING_MM, SMALL_MM, TEXT_MM, TITLE_MM};
use crate::font;
use crate::line::LineKind;
use crate::tile::Page;

/// Less than this across or down is no sheet to write on.
const LEAST_MM: Size = Size::new(165.0, 180.0);
/// Columns to the right of the words: on the card, expected, first take, second take.
const CARD_MM: f64 = 23.0;
const EXPECTED_MM: f64 = 36.0;
const TAKE_MM: f64 = 24.0;
/// A take where there is nothing on the card and nothing to expect.
const WIDE_TAKE_MM: f64 = 34.0;
/// The column of the numbers.
const NUMBER_MM: f64 = 8.0;
/// A row is at least so high, for a hand that writes.
const ROW_MM: f64 = 10.5;
/// The figures of a group.
const PICTURE_MM: f64 = 62.0;
/// From one ruled line to the next.
const RULED_MM: f64 = 8.0;

/// The measuring sheet, ready to be written.
#[derive(Clone, Debug)]
pub struct MeasureSheet {
    /// What it is called.
    pub title: String,
    /// Its pages.
    pub pages: Vec<Page>,
    /// What it asks for, in order.
    pub measurements: Vec<Measurement>,
}

/// One measurement as a row.
struct Row {
    number: usize,
    which: Measurement,
    where_it_goes: Vec<String>,
    on_card: String,
    expected: String,
}

/// Where the columns stand.
#[derive(Clone, Copy)]
struct Columns {
    words: f64,
    /// On the card, and expected; `None` where there is nothing to print in either.
    known: Option<(f64, f64)>,
    takes: [f64; 2],
    take_mm: f64,
}

impl Columns {
    fn of(live: Rect, is_known: bool) -> Self {
        let take_mm = if is_known { TAKE_MM } else { WIDE_TAKE_MM };
        let first = live.x1 - 2.0 * take_mm;
        let expected = first - EXPECTED_MM;
        let known = is_known.then_some((expected - CARD_MM, expected));
        Self { words: live.x0 + NUMBER_MM, known, takes: [first, first + take_mm], take_mm }
    }

    fn words_mm(&self) -> f64 {
        self.known.map_or(self.takes[0], |(card, _)| card) - self.words
    }
}

impl Row {
    fn height(&self) -> f64 {
        (TEXT_MM * 1.7 + self.where_it_goes.len() as f64 * SMALL_MM * 1.3 + 1.2).max(ROW_MM)
    }
}

/// `98.5 to 103.0 cm`: both ends, the unit once.
fn span(which: Measurement, (low, high): (f64, f64), unit: Unit) -> String {
    let (low, high) = (shown(which, low, unit), shown(which, high, unit));
    let low = low.strip_suffix(unit.sign()).map_or(low.as_str(), str::trim_end);
    format!("{low} to {high}")
}

impl MeasureSheet {
    /// Lays out the sheet for a wearer, or for anyone where the card is empty. `wanted` are the measurements that are
    /// asked for; values and what is expected are in `unit`. The paper lies upright whatever the settings say.
    ///
    /// # Errors
    /// The paper has no room for it, or nothing is asked for.
    pub fn of(card: &WearerCard, wanted: &[Measurement], settings: &PrintSettings, unit: Unit) -> Result<Self, PrintError> {
        let (width, height) = settings.paper.size();
        let size = Size::new(width.mm(), height.mm());
        let margin = settings.margin.mm().max(0.0);
        let live = Rect::new(margin, margin, size.width - margin, size.height - margin);
        if !(live.width() >= LEAST_MM.width && live.height() >= LEAST_MM.height) {
            return Err(PrintError::new(
                "measuring sheet",
                format!("{:.0} × {:.0} mm inside the margins leave no room to write", live.width().max(0.0), live.height().max(0.0)),
                "Choose a paper such as A4 or Letter, or a smaller margin.",
            ));
        }
        let groups = measuring::grouped(|m| wanted.contains(&m));
        if groups.is_empty() {
            return Err(PrintError::new(
                "measuring sheet",
                "nothing is to be measured",
                "Choose a block that is drafted from measurements.",
            ));
        }
        let body = Body::of_card(card).0;
        let outlooks = Outlooks::of(&body, card.survey);
        let figure = Figure::of(&body);
        let name = font::printable(card.name.trim());
        let title = if name.is_empty() { "Measuring sheet".to_owned() } else { format!("Measuring sheet for {name}") };
        let mut flow = Flow::new(size, live, title.clone());
        head(&mut flow, card, &title);
        words::before_you_begin(&mut flow, unit);

        let is_known = groups.iter().flat_map(|(_, list)| list).any(|m| card.take(*m).is_some() || outlooks.about(*m).range().is_some());
        let columns = Columns::of(live, is_known);
        let mut measurements = Vec::new();
        let mut is_expected = false;
        for (group, list) in groups {
            let rows: Vec<Row> = list
                .iter()
                .map(|&which| {
                    measurements.push(which);
                    let where_it_goes = font::wrapped(which.where_the_tape_goes(), SMALL_MM, columns.words_mm() - 3.0);
                    let on_card = card.take(which).map_or_else(String::new, |take| {
                        card.read(which, take).map_or_else(|_| take.typed.clone(), |v| shown(which, v, unit))
                    });
                    let expected = outlooks.about(which).range().map_or_else(String::new, |range| span(which, range, unit));
                    is_expected |= !expected.is_empty();
                    Row { number: measurements.len(), which, where_it_goes, on_card: font::printable(&on_card), expected }
                })
                .collect();
            table(&mut flow, group, &rows, &figure, columns);
        }
        words::after(&mut flow, is_expected);
        Ok(Self { title, pages: flow.finish(), measurements })
    }
}

/// Title, and who, when and by whom.
fn head(flow: &mut Flow, card: &WearerCard, title: &str) {
    flow.text_line(title, TITLE_MM, 0.0);
    let taken = match (card.measured_on.trim(), card.measured_by.trim()) {
        ("", "") => String::new(),
        (on, "") => format!("What stands on the card was taken on {on}."),
        ("", by) => format!("What stands on the card was taken by {by}."),
        (on, by) => format!("What stands on the card was taken on {on} by {by}."),
    };
    if !taken.is_empty() {
        flow.paragraph(&taken, SMALL_MM, 0.25);
    }
    flow.space(2.0);
    let name = card.name.trim();
    flow.fields(&[("Wearer", name, 0.5), ("Date", "", 0.22), ("Measured by", "", 0.28)]);
    flow.fields(&[("For (part, garment)", "", 0.5), ("Worn underneath", "", 0.28), ("Heel of the shoes", "", 0.22)]);
}

fn table(flow: &mut Flow, group: &str, rows: &[Row], figure: &Figure, columns: Columns) {
    let least = rows.iter().take(2).map(Row::height).sum::<f64>();
    flow.keep_together(HEADING_MM * 2.0 + PICTURE_MM + 7.0 + least);
    flow.space(3.0);
    flow.text_line(group, HEADING_MM, 0.0);
    let live = flow.live();
    let numbered: Vec<(usize, Measurement)> = rows.iter().map(|r| (r.number, r.which)).collect();
    let room = Rect::new(live.x0, flow.y() + 1.0, live.x0 + live.width() * 0.68, flow.y() + PICTURE_MM);
    picture::draw(flow.drawing(), room, figure, &numbered);
    notes(flow, Rect::new(room.x1 + 4.0, room.y0, live.x1, room.y1));
    flow.space(PICTURE_MM + 1.5);
    column_heads(flow, columns);
    for row in rows {
        if flow.keep_together(row.height()) {
            flow.text_line(&format!("{group}, continued"), HEADING_MM, 0.0);
            column_heads(flow, columns);
        }
        one_row(flow, row, columns);
    }
}

/// Ruled lines beside the figures.
fn notes(flow: &mut Flow, room: Rect) {
    flow.text_at("Notes", Point::new(room.x0, room.y0 + 3.0), SMALL_MM, 0.25);
    let mut y = room.y0 + 3.0 + RULED_MM;
    while y <= room.y1 - 1.0 {
        flow.drawing().line(LineKind::Thin, Point::new(room.x0, y), Point::new(room.x1, y));
        y += RULED_MM;
    }
}

fn column_heads(flow: &mut Flow, columns: Columns) {
    let y = flow.y() + SMALL_MM;
    let known = columns.known.map(|(card, expected)| [("On the card", card), ("Expected", expected)]);
    let takes = [("1st take", columns.takes[0]), ("2nd take", columns.takes[1])];
    for (text, x) in std::iter::once(("Where the tape goes", columns.words - 1.0)).chain(known.into_iter().flatten()).chain(takes) {
        flow.text_at(text, Point::new(x + 1.0, y), SMALL_MM, 0.25);
    }
    flow.space(SMALL_MM + 1.8);
}

fn one_row(flow: &mut Flow, row: &Row, columns: Columns) {
    let live = flow.live();
    let words = columns.words;
    let (top, height) = (flow.y(), row.height());
    let base = top + 1.2 + TEXT_MM;
    flow.drawing().line(LineKind::Thin, Point::new(live.x0, top), Point::new(live.x1, top));
    picture::number(flow.drawing(), Point::new(live.x0 + 3.2, base - TEXT_MM * 0.36), row.number);
    flow.text_at(row.which.name(), Point::new(words, base), TEXT_MM, 0.0);
    for (i, line) in row.where_it_goes.iter().enumerate() {
        flow.text_at(line, Point::new(words, base + (i + 1) as f64 * SMALL_MM * 1.3 + 0.4), SMALL_MM, 0.2);
    }
    if let Some((card, expected)) = columns.known {
        let on_card = font::shortened(&row.on_card, TEXT_MM, CARD_MM - 2.0);
        flow.text_at(&on_card, Point::new(card + 1.0, base), TEXT_MM, 0.0);
        let size = (TEXT_MM * ((EXPECTED_MM - 2.0) / font::width_mm(&row.expected, TEXT_MM).max(1.0)).min(1.0)).max(2.4);
        flow.text_at(&row.expected, Point::new(expected + 1.0, base), size, 0.0);
    }
    for x in columns.takes {
        flow.drawing().rect(LineKind::Box, Rect::new(x + 0.8, top + 1.0, x + columns.take_mm - 0.8, top + height - 1.0));
    }
    flow.space(height);
}
