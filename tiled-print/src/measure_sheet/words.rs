//! What the maker should know before and after; common practice of the trade.

use draft_core::Unit;

use crate::flow::{Flow, HEADING_MM, SMALL_MM};

/// How to prepare, how to hold the tape, and what is owed to the person who is measured.
pub fn before_you_begin(flow: &mut Flow, unit: Unit) {
    flow.space(2.0);
    flow.text_line("Before you begin", HEADING_MM, 0.0);
    let apart = unit.rough(10.0);
    flow.two_columns(
        &[
            (
                "The waist tape",
                "Tie a narrow tape or elastic round the natural waist, midway between the lowest rib and the top of the hip bone. Let \
                 the wearer bend to each side: it settles in the hollow. Bring it level all round, and leave it on until the last \
                 measurement is taken; every length to or from the waist is taken at its lower edge."
                    .into(),
            ),
            (
                "Marks",
                "Nape bone, side neck points, shoulder points and bust points: small stickers that leave skin and clothes unharmed.".into(),
            ),
            (
                "The tape",
                "Flat and level, close without pressing in. The wearer stands at ease without shoes, arms down, looks ahead and \
                 breathes on. Ask before you go on if standing is tiring, and never draw a tape tight at the neck."
                    .into(),
            ),
        ],
        &[
            (
                "Two takes",
                format!(
                    "Take each measurement twice and write down both; let go of the tape in between. Where they are more than {apart} \
                     apart, take a third. Nothing is averaged: say which one counts. Where left and right differ, write both, marked L and R."
                ),
            ),
            (
                "Courtesy",
                "Measure where nobody looks on, and with someone along who is trusted; a child's parent or guardian stays in the room. \
                 Say before each measurement where the tape goes, and ask. The wearer may hold an end of the tape, do it \
                 through clothes, or leave any measurement out. Read numbers without remarks."
                    .into(),
            ),
            (
                "This sheet is personal",
                "Keep it where only those who need it can read it, and destroy it when it is no longer needed. Where a theatre, a \
                 school or the law says more, follow that."
                    .into(),
            ),
        ],
    );
}

/// Room for notes, and how to read what is expected.
pub fn after(flow: &mut Flow, is_expected: bool) {
    const LINES: usize = 4;
    flow.keep_together(HEADING_MM * 3.0 + LINES as f64 * 8.0 + 12.0);
    flow.space(4.0);
    if is_expected {
        flow.paragraph(
            "Expected: where about 19 people in 20 with the other measurements on the card lie, by a survey of grown-up soldiers. Bodies \
             differ, and a number outside is a reason to hold the tape once more, not to change it.",
            SMALL_MM,
            0.1,
        );
        flow.space(2.0);
    }
    flow.text_line("Notes: posture, one shoulder lower, padding, microphone pack, allergies", HEADING_MM * 0.8, 0.0);
    let live = flow.live();
    for _ in 0..LINES {
        flow.space(8.0);
        let y = flow.y();
        flow.drawing().line(crate::line::LineKind::Thin, kurbo::Point::new(live.x0, y), kurbo::Point::new(live.x1, y));
    }
}
