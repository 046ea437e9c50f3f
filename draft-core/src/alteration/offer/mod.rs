//! The alterations that are offered to a maker, grouped by what one wants to do, each with values to begin with that are
//! taken from what is selected.

use crate::{Alteration, Draft, DraftError, Edge, Name, Piece};

mod drawn;
mod effect;
mod handwork;
mod pins;
mod sew;
mod shape;
mod snap;
mod start;

pub use drawn::{Becoming, becomes, line_of, place_at, place_exactly_at, sheared, squared};
pub use effect::{Effect, SeamChange, Told};
pub use pins::{Pinned, pinned, pins};
pub use snap::{Snapped, snapped};
use start::Start;

/// What an offer is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// Other lines.
    Lines,
    /// Closer or looser.
    Fit,
    /// Darts.
    Darts,
    /// More cloth.
    Width,
    /// What opens.
    Openings,
    /// Whole pieces.
    Pieces,
    /// What is marked.
    Marks,
}

impl Group {
    /// In the order in which they are shown.
    pub const ALL: [Self; 7] = [Self::Lines, Self::Fit, Self::Darts, Self::Width, Self::Openings, Self::Pieces, Self::Marks];

    /// Its heading.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lines => "Lines",
            Self::Fit => "Fit",
            Self::Darts => "Darts",
            Self::Width => "Width",
            Self::Openings => "Openings",
            Self::Pieces => "Pieces",
            Self::Marks => "Marks",
        }
    }
}

type Begin = fn(&Start<'_>) -> Result<Alteration, DraftError>;

/// An alteration that is offered.
#[derive(Clone, Copy, Debug)]
pub struct Offer {
    /// What it is for.
    pub group: Group,
    /// What it does, in a few words, verb first.
    pub name: &'static str,
    /// What it does, in a sentence.
    pub what: &'static str,
    begin: Begin,
}

const fn offer(group: Group, name: &'static str, what: &'static str, begin: Begin) -> Offer {
    Offer { group, name, what, begin }
}

impl Offer {
    /// Every offer, group by group.
    pub const ALL: &'static [Self] = &[
        offer(Group::Lines, "Redraw an edge", "Another line for a neckline, an armhole, a hem.", shape::redraw),
        offer(
            Group::Lines,
            "Redraw both sides of a seam",
            "Another line for a seam, the same on both pieces, so that they go on matching.",
            handwork::redraw_seam,
        ),
        offer(Group::Lines, "Cut in two", "A style line from edge to edge, with allowance and notches on both sides.", shape::cut),
        offer(
            Group::Lines,
            "Trace a yoke across pieces",
            "Lays pieces together at a seam, draws over both, and cuts a yoke that is whole there.",
            shape::yoke,
        ),
        offer(
            Group::Lines,
            "Redraw an edge across pieces",
            "One line over pieces laid together at a seam, such as a neckline over the shoulder.",
            shape::edge_across,
        ),
        offer(Group::Fit, "Take in or let out", "Moves a seam on both pieces, with a taper.", shape::take_in),
        offer(Group::Fit, "Lengthen or shorten", "Everything below a level moves down or up along the grain.", shape::lengthen),
        offer(Group::Fit, "Trim an edge", "Shortens an edge at one end; its neighbour swings to the new corner.", shape::trim),
        offer(Group::Fit, "Pinch out a gape", "Folds a wedge out of an edge and lets a dart take it.", shape::pinch),
        offer(
            Group::Fit,
            "Give a fuller bust room",
            "Drafts the bodice for more bust, length and cup; the wearer card stays as it is.",
            shape::bust,
        ),
        offer(Group::Fit, "Change measurements", "Drafts the blocks from changed measurements; the wearer card stays.", shape::adjust),
        offer(Group::Darts, "Move a dart", "Closes a dart and opens it at another place.", shape::move_dart),
        offer(Group::Darts, "Sew a new dart", "Folds cloth away from an edge toward a point inside the piece.", handwork::sew_dart),
        offer(
            Group::Darts,
            "Shape a dart",
            "Longer or shorter, wider or narrower, its point aside; both legs stay equal.",
            handwork::shape_dart,
        ),
        offer(Group::Darts, "Share a dart", "Lets part of a dart open as a second one.", shape::split_dart),
        offer(Group::Darts, "Add a dart to another", "Closes one dart into another about the same point.", shape::join_darts),
        offer(Group::Darts, "Gather a dart", "Lets a dart out into gathers along its edge.", shape::gather_dart),
        offer(Group::Darts, "Take two darts into a seam", "Cuts through the bust point from one dart to the other.", shape::seam_darts),
        offer(Group::Width, "Slash and spread", "Opens a piece along a line, about a hinge or at both ends.", shape::spread),
        offer(Group::Width, "Slash and overlap", "Folds a wedge away along a line.", shape::overlap),
        offer(Group::Width, "Add fullness", "Spreads a piece evenly along an edge: flare, or cloth to gather.", shape::fullness),
        offer(Group::Width, "Fold pleats or tucks", "Adds twice the depth at each, and marks the folds.", shape::pleats),
        offer(Group::Width, "Set in a godet", "A piece of a circle in a seam adds width at the hem.", sew::godet),
        offer(Group::Width, "Ease or gather", "Lets a longer edge be eased or gathered into its partner.", sew::ease),
        offer(Group::Openings, "Leave a slit in a seam", "The seam stays open from one end, each edge faced.", sew::slit),
        offer(Group::Openings, "Leave a vent in a seam", "A slit with an overlap under it.", sew::vent),
        offer(Group::Openings, "Set in a zip", "The seam stays open for a zip, whose length is listed.", sew::zip),
        offer(Group::Openings, "Lace a seam", "The seam stays open for lacing.", sew::lacing),
        offer(Group::Openings, "Slit a panel", "A slit in the middle of a piece, stitched round through a facing.", sew::panel_slit),
        offer(Group::Pieces, "Join two pieces", "Lays them together at a seam and makes one of both.", sew::join),
        offer(Group::Pieces, "Unfold a piece", "Opens a half that lies on the fold out into the whole.", sew::unfold),
        offer(
            Group::Pieces,
            "Piece a wide panel",
            "Joins on what is wider than the cloth, with a seam on the straight grain.",
            sew::piecing,
        ),
        offer(Group::Pieces, "Make left and right apart", "Two pieces of one that is cut in pairs, to be altered apart.", sew::separate),
        offer(Group::Pieces, "Trace off a copy", "The same piece again: a lining, a flatlining, an overlay.", sew::copy),
        offer(Group::Pieces, "Trace a facing", "A band along an edge, a little smaller so that it rolls inward.", sew::band),
        offer(Group::Pieces, "Finish an edge", "Another allowance, a hem, an opening or a fold.", sew::finish),
        offer(Group::Marks, "Mark a notch", "On an edge, single or double, and where its seam meets it.", sew::notch),
        offer(Group::Marks, "Slide a notch", "Along its edge, and its match on the other side of the seam with it.", handwork::slide_notch),
        offer(Group::Marks, "Mark a point", "A button, the top of a pocket.", sew::point),
        offer(Group::Marks, "Mark a line", "A placement line or a fold line.", sew::marked_line),
        offer(Group::Marks, "Mark a closing", "Hook and bar, press stud or finger loop, listed with the notions.", sew::closing),
        offer(Group::Marks, "Space buttonholes", "Evenly along a line, with the buttons listed.", sew::buttonholes),
        offer(Group::Marks, "Lay boning channels", "On seams and along lines, with the bones listed.", sew::boning),
        offer(Group::Marks, "Stay with tape", "A waist stay or another tape, listed with its length.", sew::stay),
        offer(Group::Marks, "Draw in with elastic", "Elastic shorter than its edge, listed with its length.", sew::elastic),
        offer(Group::Marks, "Trim an edge or a line", "Lace, braid or cord, listed with its true length.", sew::trim),
        offer(Group::Marks, "Embroider a piece", "Embroidery or beads on a whole piece, listed with its true size.", sew::embroider),
    ];

    /// The alteration with values to begin with, taken from the piece and the edge that are selected where they will do.
    ///
    /// # Errors
    /// There is no piece that it could be made on.
    pub fn begin(&self, draft: &Draft, selected: Option<(&Name, Option<&Name>)>) -> Result<Alteration, DraftError> {
        let piece: Option<&Piece> = selected.and_then(|(piece, _)| draft.piece(piece.as_str()));
        let edge: Option<&Edge> = selected.and_then(|(_, edge)| piece?.edge(edge?.as_str()));
        (self.begin)(&Start { draft, piece, edge })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what went wrong by stopping")]

    use super::*;
    use crate::alteration::form::{Ask, Form, Label};
    use crate::{Garment, Work};

    fn demo() -> Draft {
        let garment = Garment::from_text(include_str!("../../../../assets/demo/garment.ron")).unwrap();
        Draft::clone(&garment.build().draft)
    }

    /// Looks at every field and changes nothing.
    struct Reader<'a> {
        draft: &'a Draft,
        open: usize,
        asked: usize,
        wrong: Vec<String>,
    }

    impl Form for Reader<'_> {
        fn ask(&mut self, label: Label, ask: Ask<'_>) {
            self.asked += 1;
            assert!(!label.name.is_empty() && label.help.ends_with(['.', ':']), "{label:?}");
            let names = ask.names(self.draft);
            let held = match &ask {
                Ask::Piece(name) => Some(&**name),
                Ask::Edge { edge: name, .. }
                | Ask::End { from: name, .. }
                | Ask::Point { point: name, .. }
                | Ask::EdgeOrPoint { name, .. }
                | Ask::Dart { dart: name, .. } => Some(&**name),
                _ => None,
            };
            if let Some(name) = held
                && !names.contains(name)
            {
                self.wrong.push(format!("{}: {name} is none of {names:?}", label.name));
            }
        }

        fn open(&mut self, _: Label, _: Option<usize>, _: bool) -> bool {
            self.open += 1;
            false
        }

        fn close(&mut self) {
            self.open -= 1;
        }

        fn add(&mut self, _: Label) -> bool {
            false
        }
    }

    #[test]
    fn every_offer_can_be_made_on_some_piece_of_the_demo() {
        let draft = demo();
        let body = crate::Body::default();
        for offer in Offer::ALL {
            let mut why = Vec::new();
            let made = draft.pieces.iter().any(|piece| {
                let begun = offer.begin(&draft, Some((piece.name(), None))).unwrap();
                match Work::Alter(Box::new(begun.clone())).apply(&body, &draft) {
                    Ok(after) => after != draft,
                    Err(error) => {
                        why.push(format!("{begun:?}\n    {error}"));
                        false
                    }
                }
            });
            // The demo's bodice has a single dart on each piece.
            assert!(made || offer.name == "Add a dart to another", "{}:\n{}", offer.name, why.join("\n"));
        }
    }

    #[test]
    fn what_a_selected_edge_begins_can_be_done() {
        let draft = demo();
        for (name, piece, edge) in [
            ("Redraw an edge", "front", "neckline"),
            ("Redraw an edge", "front", "armhole"),
            ("Redraw an edge", "gore", "hem"),
            ("Cut in two", "front", "centre front"),
            ("Cut in two", "front", "side seam"),
            ("Cut in two", "gore", "right seam"),
            ("Slash and spread", "gore", "hem"),
            ("Take in or let out", "front", "side seam"),
            ("Take in or let out", "back", "shoulder"),
            ("Lengthen or shorten", "back", "side seam"),
            ("Add fullness", "gore", "hem"),
            ("Set in a godet", "gore", "right seam"),
            ("Leave a slit in a seam", "gore", "left seam"),
            ("Set in a zip", "back", "centre back"),
            ("Trace a facing", "front", "armhole"),
            ("Trace a yoke across pieces", "front", "shoulder"),
        ] {
            let offer = Offer::ALL.iter().find(|o| o.name == name).unwrap();
            let (piece, edge): (Name, Name) = (piece.into(), edge.into());
            let begun = offer.begin(&draft, Some((&piece, Some(&edge)))).unwrap();
            if let Err(error) = begun.apply(&draft) {
                panic!("{name} on {piece} / {edge}: {error}\n{begun:?}");
            }
        }
    }

    #[test]
    fn reading_the_fields_changes_nothing_and_names_what_is_there() {
        let draft = demo();
        for offer in Offer::ALL {
            for piece in &draft.pieces {
                for edge in piece.edges() {
                    let Ok(begun) = offer.begin(&draft, Some((piece.name(), Some(&edge.name)))) else { continue };
                    let mut same = begun.clone();
                    let mut reader = Reader { draft: &draft, open: 0, asked: 0, wrong: Vec::new() };
                    same.fields(&mut reader);
                    assert_eq!(same, begun, "{}", offer.name);
                    assert_eq!(reader.open, 0, "{}", offer.name);
                    assert!(reader.asked > 0, "{}", offer.name);
                    assert!(reader.wrong.is_empty(), "{} on {} / {}: {:?}", offer.name, piece.name(), edge.name, reader.wrong);
                }
            }
        }
    }

    #[test]
    fn without_pieces_an_offer_says_what_is_missing() {
        for offer in Offer::ALL.iter().filter(|o| o.name != "Change measurements" && o.name != "Give a fuller bust room") {
            let error = offer.begin(&Draft::default(), None).unwrap_err();
            assert!(!error.remedy.is_empty(), "{}", offer.name);
        }
    }
}
