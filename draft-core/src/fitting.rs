//! What was pinned at a muslin fitting, kept as changes of the block.

use serde::{Deserialize, Serialize};

use crate::{Alteration, Builder, Draft, DraftError, Garment, Grade, Message, Work};

/// One fitting: who stood for it, what was said, and what was pinned.
///
/// # Keeps
/// The blocks before it as they were drafted: a fitting is switched off like any other work.
/// # Changes
/// What each of its changes does, in order. A change that can't be made is left out and says why; the others are made.
/// # Source
/// Marking both sides of the pins, unpicking, and carrying what was measured at named points of each seam back to the
/// pattern: common practice.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fitting {
    /// The day, as `2026-11-14`.
    pub day: String,
    /// Who held the pins.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub by: String,
    /// Who stood for it, as the wearer card names them.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub wearer: String,
    /// What was seen and said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Name of a photo's file; the photo itself is no part of the garment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo: Option<String>,
    /// What was pinned, in order.
    #[serde(default)]
    pub changes: Vec<Alteration>,
}

impl Fitting {
    /// What it is: `fitting of 14 Nov: 3 changes`.
    pub fn what(&self) -> String {
        let changes = match self.changes.len() {
            0 => "no changes".to_owned(),
            1 => "1 change".to_owned(),
            n => format!("{n} changes"),
        };
        let day = day_and_month(&self.day);
        if day.is_empty() { format!("fitting: {changes}") } else { format!("fitting of {day}: {changes}") }
    }

    /// Makes every change that can be made; each of the others leaves a message with its reason.
    ///
    /// # Errors
    /// There are changes, and none of them can be made.
    pub fn apply(&self, draft: &Draft) -> Result<Draft, DraftError> {
        let (mut after, refused) = self.tried(draft);
        match refused.first() {
            Some((_, first)) if refused.len() == self.changes.len() => {
                let problem = if self.changes.len() == 1 {
                    first.problem.clone()
                } else {
                    format!("none of its {} changes can be made; the first: {}", self.changes.len(), first.problem)
                };
                Err(DraftError { problem, ..first.clone() })
            }
            _ => {
                let what = self.what();
                after.messages.extend(refused.into_iter().map(|(n, error)| {
                    let place = format!("{what}: change {}, {}: {}", n + 1, self.changes[n].what(), error.place);
                    Message::new(Grade::Error, place, error.problem, error.remedy)
                }));
                Ok(after)
            }
        }
    }

    /// The draft with every change that can be made, and the others by their number, from 0, with the reason.
    pub fn tried(&self, draft: &Draft) -> (Draft, Vec<(usize, DraftError)>) {
        let mut after = draft.clone();
        let mut refused = Vec::new();
        for (n, change) in self.changes.iter().enumerate() {
            match change.apply(&after) {
                Ok(changed) => after = changed,
                Err(error) => refused.push((n, error)),
            }
        }
        (after, refused)
    }

    /// Where in the work list it belongs: after the blocks that it concerns and the fittings before it, so that what is
    /// drafted or altered later starts from the fitted block.
    pub fn place_in(&self, garment: &Garment) -> usize {
        let mut part = Garment { works: Vec::new(), ..garment.clone() };
        let mut builder = Builder::default();
        let mut best: Option<(usize, usize)> = None;
        for (i, entry) in garment.works.iter().enumerate() {
            part.works.push(entry.clone());
            if !matches!(entry.work, Work::Draft { .. } | Work::Alter(_)) {
                continue;
            }
            let refused = self.tried(&builder.build(&part).draft).1.len();
            if best.is_none_or(|(least, _)| refused < least) {
                best = Some((refused, i + 1));
            }
            if refused == 0 {
                break;
            }
        }
        let at = best.map_or(garment.works.len(), |(_, at)| at);
        at + garment.works[at..].iter().take_while(|e| matches!(e.work, Work::Fit(_))).count()
    }
}

/// Fittings that are on and for which somebody else stood than the garment is for.
pub(crate) fn of_somebody_else(garment: &Garment) -> impl Iterator<Item = Message> {
    let whose = garment.wearer.name.trim().to_lowercase();
    garment.works.iter().filter(|e| e.on).filter_map(move |entry| match &entry.work {
        Work::Fit(fitting) if !fitting.wearer.trim().is_empty() && fitting.wearer.trim().to_lowercase() != whose => Some(Message::new(
            Grade::Warning,
            fitting.what(),
            format!("was pinned on {}", fitting.wearer.trim()),
            "Switch it off if this wearer is shaped otherwise, and record a fitting of their own.",
        )),
        _ => None,
    })
}

/// `2026-11-14` as `14 Nov`; anything else as it was typed.
fn day_and_month(day: &str) -> String {
    const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    let typed = day.trim();
    let parts: Vec<&str> = typed.split('-').collect();
    let read = || {
        let [year, month, day] = parts[..] else { return None };
        year.parse::<u32>().ok()?;
        let month = MONTHS.get(month.parse::<usize>().ok()?.checked_sub(1)?)?;
        let day = day.parse::<u32>().ok().filter(|d| (1..=31).contains(d))?;
        Some(format!("{day} {month}"))
    };
    read().unwrap_or_else(|| typed.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fitting_says_its_day_and_how_much_was_changed() {
        let on = |day: &str| Fitting { day: day.into(), ..Fitting::default() }.what();
        assert_eq!(on("2026-11-14"), "fitting of 14 Nov: no changes");
        assert_eq!(on("2026-13-14"), "fitting of 2026-13-14: no changes");
        assert_eq!(on("second week"), "fitting of second week: no changes");
        assert_eq!(on(" "), "fitting: no changes");
    }
}
