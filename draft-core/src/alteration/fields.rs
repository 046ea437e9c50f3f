//! The fields of every alteration, in the order in which a maker is asked for them.

use crate::{Along, Kind, Length, Measurement, Name, Role};

use super::form::{Ask, Form, Label, bend, label, line, list, pairs, place, side, sides};
use super::{Alteration, Amount, Becomes, Change, Channel, Fold, Laid, Level, Opens, Side, Sign, Slash, Top, Traced, TrimmedPart, Vent};

const PIECE: Label = label("Piece", "The piece that is altered.");
const EDGE: Label = label("Edge", "The edge that is altered.");
const DART: Label = label("Dart", "The dart that is altered.");
const ALLOWANCE: Label = label("Seam allowance", "Allowance of the new edges, outward from the seam line.");
const SHORT: Label = label("Sewn short of the bust point by", "How far the sewing stops short of the point about which the dart turns.");
const NAME: Label = label("Name", "What it is called.");

impl Alteration {
    /// Goes through everything that it asks for.
    pub fn fields(&mut self, form: &mut dyn Form) {
        match self {
            Self::Redraw(_) | Self::RedrawSeam(_) | Self::Cut(_) | Self::Trace(_) | Self::Across(_) => self.line_fields(form),
            Self::OpenSeam(_) | Self::PanelSlit(_) => self.opening_fields(form),
            Self::TakeIn(_) | Self::Trim(_) | Self::Lengthen(_) | Self::Pinch(_) | Self::Adjust(_) => self.fit_fields(form),
            Self::MoveDart(_)
            | Self::SewDart(_)
            | Self::ShapeDart(_)
            | Self::SplitDart(_)
            | Self::JoinDarts(_)
            | Self::GatherDart(_)
            | Self::SeamDarts(_) => self.dart_fields(form),
            Self::Spread(_) | Self::Fullness(_) | Self::Pleats(_) | Self::Godet(_) | Self::Ease(_) => self.width_fields(form),
            Self::Join(_) | Self::Unfold(_) | Self::Piecing(_) | Self::Separate(_) | Self::Band(_) | Self::Copy(_) | Self::Finish(_) => {
                self.piece_fields(form);
            }
            Self::Mark(_) | Self::SlideNotch(_) | Self::Buttonholes(_) | Self::Boning(_) | Self::Stay(_) | Self::Trimming(_) => {
                self.mark_fields(form);
            }
        }
    }

    fn line_fields(&mut self, form: &mut dyn Form) {
        match self {
            Self::Redraw(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Edge", "The edge that gets another line."), Ask::Edge { of: &w.piece, edge: &mut w.edge });
                line(form, &w.piece, &mut w.line);
            }
            Self::RedrawSeam(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Edge", "The edge that gets another line."), Ask::Edge { of: &w.piece, edge: &mut w.edge });
                line(form, &w.piece, &mut w.line);
                form.open(label("Sewn to", "The edge that gets the same line."), None, false);
                side(form, &mut w.other);
                form.close();
            }
            Self::Cut(w) => {
                form.ask(label("Piece", "The piece that is cut in two; it keeps its name on one side."), Ask::Piece(&mut w.piece));
                line(form, &w.piece, &mut w.line);
                form.ask(label("New piece", "What the piece on the other side is called."), Ask::NewName(&mut w.new));
                let help = "The edge or point that the new piece takes along.";
                form.ask(label("It holds", help), Ask::EdgeOrPoint { of: &w.piece, name: &mut w.with });
                form.ask(label("New seam", "What the new edge is called on both sides."), Ask::NewName(&mut w.seam));
                form.ask(ALLOWANCE, Ask::Length(&mut w.allowance));
                form.ask(label("Sewn together again", "Whether both sides are sewn to one another."), Ask::YesNo(&mut w.sewn));
            }
            Self::Trace(w) => {
                form.ask(label("Piece", "The piece that is traced from; it stays as it is."), Ask::Piece(&mut w.piece));
                form.ask(label("New piece", "What the piece that is traced off is called."), Ask::NewName(&mut w.name));
                form.ask(label("Seam allowance", "Allowance of the edges along the line."), Ask::Length(&mut w.allowance));
                let help = "The edge or point that the traced side holds, where the line runs from edge to edge.";
                form.ask(label("It holds", help), Ask::PerhapsEdgeOrPoint { of: &w.piece, name: &mut w.with });
                line(form, &w.piece, &mut w.line);
            }
            Self::Across(w) => {
                form.ask(label("First piece", "The piece on which the line starts."), Ask::Piece(&mut w.first));
                let mut last = w.first.clone();
                let another = |laid: &[Laid]| {
                    laid.last().cloned().unwrap_or_else(|| Laid { along: "".into(), beside: Side { piece: "".into(), edge: "".into() } })
                };
                let help = "The next piece that the line crosses into, laid beside the last one along their seam.";
                list(form, label("Laid beside it", help), &mut w.then, 1, another, |form, laid| {
                    form.ask(label("Along", "The edge that the line crosses."), Ask::Edge { of: &last, edge: &mut laid.along });
                    side(form, &mut laid.beside);
                    last = laid.beside.piece.clone();
                });
                place(form, label("Starts", "Where the line starts, on the first piece."), &w.first, &mut w.from);
                place(form, label("Ends", "Where the line ends, on the last piece."), &last, &mut w.to);
                bend(form, &mut w.bend);
                becomes(form, &w.first, w.then.len() + 1, &mut w.becomes);
            }
            _ => {}
        }
    }

    fn opening_fields(&mut self, form: &mut dyn Form) {
        match self {
            Self::OpenSeam(w) => {
                sides(form, &mut w.sides, 1);
                form.ask(label("Open from", "The end that is open."), Ask::End { of: &pairs(&w.sides), from: &mut w.from });
                form.ask(label("Length", "How long the opening is."), Ask::Length(&mut w.length));
                form.ask(label("Name", "What the open edges are called."), Ask::NewName(&mut w.name));
                let mut now = w.kind as usize;
                form.ask(label("It is", "What the opening is."), Ask::Word { words: &["a slit", "a zip", "lacing"], now: &mut now });
                w.kind = [Opens::Slit, Opens::Zip, Opens::Lacing][now.min(2)];
                form.ask(
                    label("Allowance of the open edges", "Left empty: 3.5 cm to face a slit, 2 cm for a zip or lacing."),
                    Ask::PerhapsLength(&mut w.allowance),
                );
                let mut vent = w.vent.is_some();
                form.ask(label("With an overlap", "Cloth carried on under the other side makes it a vent."), Ask::YesNo(&mut vent));
                match (&mut w.vent, vent) {
                    (Some(vent), true) => {
                        form.ask(label("Under side", "The piece whose edge is carried on."), Ask::Piece(&mut vent.under));
                        form.ask(label("Overlap", "By how much; 4 to 5 cm is usual."), Ask::Length(&mut vent.by));
                    }
                    (overlap @ None, true) => {
                        let under = w.sides.first().map_or_else(|| "".into(), |s| s.piece.clone());
                        *overlap = Some(Vent { under, by: Length::from_mm(40.0) });
                    }
                    (overlap, false) => *overlap = None,
                }
            }
            Self::PanelSlit(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                line(form, &w.piece, &mut w.line);
                form.ask(label("Name", "What the slit is called; its facing is named after it."), Ask::NewName(&mut w.name));
                let mut now = w.top as usize;
                form.ask(label("Top", "How its top is stitched."), Ask::Word { words: &["rounded", "pointed"], now: &mut now });
                w.top = [Top::Rounded, Top::Pointed][now.min(1)];
                form.ask(label("Facing", "How far the facing reaches to each side and above."), Ask::Length(&mut w.facing));
            }
            _ => {}
        }
    }

    fn fit_fields(&mut self, form: &mut dyn Form) {
        match self {
            Self::TakeIn(w) => {
                sides(form, &mut w.sides, 1);
                let of = pairs(&w.sides);
                form.ask(
                    label("Counted from", "The end of the seam from which places are counted."),
                    Ask::End { of: &of, from: &mut w.from },
                );
                let another = |amounts: &[Amount]| amounts.last().cloned().unwrap_or(Amount { at: Along::Share(0.5), by: Length::ZERO });
                list(form, label("Amount", "How much at a place along the seam."), &mut w.amounts, 1, another, |form, amount| {
                    form.ask(label("At", "A length from that end, or a share of the seam such as 50 %."), Ask::Along(&mut amount.at));
                    let help = "By how much on each side of the seam; below nought it is let out.";
                    form.ask(label("Take in", help), Ask::Length(&mut amount.by));
                });
                form.ask(label("Straight between", "Changes evenly from place to place, as for flare."), Ask::YesNo(&mut w.straight));
            }
            Self::Trim(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Edge", "The edge that is too long."), Ask::Edge { of: &w.piece, edge: &mut w.edge });
                let of = [(w.piece.clone(), w.edge.clone())];
                form.ask(label("At", "The end that is trimmed, by what the edge meets there."), Ask::End { of: &of, from: &mut w.at });
                form.ask(label("Trim", "By how much; below nought it is lengthened."), Ask::Length(&mut w.by));
            }
            Self::Lengthen(w) => {
                form.ask(label("Lengthen", "By how much; below nought it is shortened."), Ask::Length(&mut w.by));
                let another =
                    |levels: &[Level]| levels.last().cloned().unwrap_or_else(|| Level { piece: "".into(), at: crate::Place::point("") });
                let help = "The level on a piece, square to the grain; neighbours are altered together.";
                list(form, label("Level", help), &mut w.levels, 1, another, |form, level| {
                    form.ask(PIECE, Ask::Piece(&mut level.piece));
                    place(form, label("Place", "A place on the level."), &level.piece, &mut level.at);
                });
            }
            Self::Pinch(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Pinch out", "How much is pinched out along the edge."), Ask::Length(&mut w.by));
                form.ask(label("Into the dart", "The dart that takes it."), Ask::Dart { of: &w.piece, dart: &mut w.dart });
                place(form, label("Middle", "The middle of the wedge, on the edge."), &w.piece, &mut w.at);
            }
            Self::Adjust(w) => {
                let another = |_: &[Change]| Change { which: Measurement::FrontWaistLength, by: Length::from_mm(10.0) };
                list(form, label("Change", "A measurement for the blocks that follow."), &mut w.changes, 1, another, |form, change| {
                    form.ask(label("Measurement", "Which; the wearer card stays as it is."), Ask::Measurement(&mut change.which));
                    if change.which.kind() != Kind::Angle {
                        form.ask(label("Add", "By how much; below nought it is less."), Ask::Length(&mut change.by));
                    }
                });
            }
            _ => {}
        }
    }

    fn dart_fields(&mut self, form: &mut dyn Form) {
        match self {
            Self::MoveDart(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(DART, Ask::Dart { of: &w.piece, dart: &mut w.dart });
                place(form, label("Opens", "Where the dart opens then."), &w.piece, &mut w.to);
                form.ask(SHORT, Ask::Length(&mut w.short_of_pivot));
                let help = "Whether the fold is pressed toward the leg that comes second along the outline.";
                form.ask(label("Pressed onward", help), Ask::YesNo(&mut w.pressed_onward));
            }
            Self::SewDart(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Intake", "How much of the edge the dart takes in."), Ask::Length(&mut w.intake));
                form.ask(NAME, Ask::NewName(&mut w.dart));
                place(form, label("Opens", "The middle of its mouth, on an edge."), &w.piece, &mut w.opens);
                place(form, label("Point", "Where its legs meet."), &w.piece, &mut w.point);
                let help = "Whether the fold is pressed toward the leg that comes second along the outline.";
                form.ask(label("Pressed onward", help), Ask::YesNo(&mut w.pressed_onward));
            }
            Self::ShapeDart(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(DART, Ask::Dart { of: &w.piece, dart: &mut w.dart });
                form.ask(label("Longer", "By how much its point moves on; below nought it gets shorter."), Ask::Length(&mut w.longer));
                let help = "By how much its point moves to the right, seen from its mouth; below nought to the left.";
                form.ask(label("Point aside", help), Ask::Length(&mut w.aside));
                form.ask(label("Wider", "By how much its mouth opens wider; below nought narrower."), Ask::Length(&mut w.wider));
            }
            Self::SplitDart(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(DART, Ask::Dart { of: &w.piece, dart: &mut w.dart });
                form.ask(label("Share that moves", "The part of its angle that becomes the second dart."), Ask::Share(&mut w.share));
                form.ask(label("Second dart", "What the second dart is called."), Ask::NewName(&mut w.second));
                place(form, label("Opens", "Where the second dart opens."), &w.piece, &mut w.to);
                form.ask(SHORT, Ask::Length(&mut w.short_of_pivot));
            }
            Self::JoinDarts(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Dart", "The dart that is closed."), Ask::Dart { of: &w.piece, dart: &mut w.dart });
                form.ask(label("Into", "The dart that takes it."), Ask::Dart { of: &w.piece, dart: &mut w.into });
                form.ask(SHORT, Ask::Length(&mut w.short_of_pivot));
            }
            Self::GatherDart(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Dart", "The dart that is let out into gathers."), Ask::Dart { of: &w.piece, dart: &mut w.dart });
                form.ask(label("Reach", "How far to both sides of the dart the gathers reach."), Ask::Length(&mut w.reach));
            }
            Self::SeamDarts(w) => {
                form.ask(
                    label("Piece", "The piece that is cut in two; it keeps its name at its fold or opening."),
                    Ask::Piece(&mut w.piece),
                );
                form.ask(label("Dart", "One of the two darts about the same point."), Ask::Dart { of: &w.piece, dart: &mut w.dart });
                form.ask(label("And", "The other one."), Ask::Dart { of: &w.piece, dart: &mut w.other });
                form.ask(label("New piece", "What the piece on the other side is called."), Ask::NewName(&mut w.new));
                form.ask(label("New seam", "What the new edge is called on both sides."), Ask::NewName(&mut w.seam));
                form.ask(ALLOWANCE, Ask::Length(&mut w.allowance));
            }
            _ => {}
        }
    }

    fn width_fields(&mut self, form: &mut dyn Form) {
        match self {
            Self::Spread(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                let help = "How far each slash opens, as 4 cm or 12°; below nought it overlaps.";
                form.ask(label("Open each by", help), Ask::Opening(&mut w.by));
                let empty = || crate::Place::share("", "", 0.5);
                let another = |slashes: &[Slash]| slashes.last().cloned().unwrap_or_else(|| Slash { from: empty(), to: empty() });
                list(form, label("Slash", "One line along which the piece is slashed."), &mut w.slashes, 1, another, |form, slash| {
                    place(form, label("Opens", "On the edge that opens."), &w.piece, &mut slash.from);
                    place(form, label("Holds", "On the edge where the paper holds together."), &w.piece, &mut slash.to);
                });
                form.ask(label("Both ends open", "Both ends open alike, rather than one about a hinge."), Ask::YesNo(&mut w.both_ends));
                form.ask(
                    label("Bridged straight", "The opening is bridged straight, not trued into the edge."),
                    Ask::YesNo(&mut w.straight),
                );
                let help = "An edge or a point that stays where it is.";
                form.ask(label("Stays still", help), Ask::PerhapsEdgeOrPoint { of: &w.piece, name: &mut w.still });
            }
            Self::Fullness(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Add in all", "What is added in all, straight across the openings."), Ask::Length(&mut w.by));
                form.ask(label("Slashes", "In how many places the piece is opened."), Ask::Count(&mut w.count));
                form.ask(label("Edge that grows", "The edge that gets wider."), Ask::Edge { of: &w.piece, edge: &mut w.edge });
                end(form, "Counted from its end at", &w.piece, &w.edge, &mut w.from);
                form.ask(label("Opposite edge", "The edge that holds together."), Ask::Edge { of: &w.piece, edge: &mut w.hinge });
                end(form, "And there from", &w.piece, &w.hinge, &mut w.hinge_from);
                form.ask(label("Both edges grow", "The opposite edge gets as much wider."), Ask::YesNo(&mut w.both_ends));
            }
            Self::Pleats(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                let mut now = w.fold as usize;
                form.ask(
                    label("Folded as", "How they are folded."),
                    Ask::Word { words: &["knife pleats", "box pleats", "tucks"], now: &mut now },
                );
                w.fold = [Fold::Knife, Fold::Box, Fold::Tuck][now.min(2)];
                form.ask(label("Depth", "How far each fold lies under; it takes twice as much cloth."), Ask::Length(&mut w.depth));
                form.ask(label("Edge", "The edge that is pleated."), Ask::Edge { of: &w.piece, edge: &mut w.edge });
                end(form, "Counted from its end at", &w.piece, &w.edge, &mut w.from);
                let another = |at: &[Along]| at.last().copied().unwrap_or(Along::Share(0.5));
                list(form, label("Pleat", "Where a pleat lies along the edge."), &mut w.at, 1, another, |form, at| {
                    form.ask(label("At", "A length from that end, or a share of the edge such as 50 %."), Ask::Along(at));
                });
                form.ask(label("Run to", "The edge at which they end."), Ask::Edge { of: &w.piece, edge: &mut w.to });
                end(form, "And there from", &w.piece, &w.to, &mut w.to_from);
                form.ask(label("Run out to nothing", "They end in a point at the other edge."), Ask::YesNo(&mut w.to_nothing));
            }
            Self::Godet(w) => {
                sides(form, &mut w.sides, 1);
                form.ask(label("From", "The end at the hem."), Ask::End { of: &pairs(&w.sides), from: &mut w.from });
                form.ask(label("Length", "From the hem to its point."), Ask::Length(&mut w.length));
                form.ask(label("Width", "What it adds along the hem."), Ask::Length(&mut w.width));
                form.ask(label("Name", "What the godet is called."), Ask::NewName(&mut w.name));
                form.ask(ALLOWANCE, Ask::Length(&mut w.allowance));
            }
            Self::Ease(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Edge", "The longer edge."), Ask::Edge { of: &w.piece, edge: &mut w.edge });
                form.ask(label("Into", "The piece that it is sewn to, where it is sewn more than once."), Ask::PerhapsPiece(&mut w.into));
                form.ask(label("By", "How much; left empty, all that is over."), Ask::PerhapsLength(&mut w.by));
                form.ask(label("Gathered", "Gathered between quarter notches rather than eased."), Ask::YesNo(&mut w.gathered));
            }
            _ => {}
        }
    }

    fn piece_fields(&mut self, form: &mut dyn Form) {
        match self {
            Self::Join(w) => {
                for (name, own) in [("Stays", &mut w.to), ("Is joined to it", &mut w.from)] {
                    form.open(label(name, "One side of the seam that goes."), None, false);
                    side(form, own);
                    form.close();
                }
                form.ask(label("Name", "What both are called together."), Ask::NewName(&mut w.name));
            }
            Self::Unfold(w) => form.ask(label("Piece", "A piece that lies on a fold."), Ask::Piece(&mut w.piece)),
            Self::Piecing(w) => {
                form.ask(
                    label("Piece", "The piece that is wider than the cloth; it keeps its name up to the seam."),
                    Ask::Piece(&mut w.piece),
                );
                let help = "How wide it stays across the grain, between seam lines: from the fold, or from its other side.";
                form.ask(label("Stays wide", help), Ask::Length(&mut w.keeps));
                form.ask(label("Pieced at the left", "Else at the right; on the fold, at its outer side."), Ask::YesNo(&mut w.left));
                form.ask(label("Name", "What the part that is joined on is called."), Ask::NewName(&mut w.new));
                form.ask(label("New seam", "What the new edge is called on both sides."), Ask::NewName(&mut w.seam));
                form.ask(ALLOWANCE, Ask::Length(&mut w.allowance));
            }
            Self::Separate(w) => {
                form.ask(label("Piece", "A piece that is cut in pairs; it keeps its name."), Ask::Piece(&mut w.piece));
                form.ask(label("The other side", "What its mirror image is called."), Ask::NewName(&mut w.other));
            }
            Self::Band(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Edge", "The edge along which it is traced."), Ask::Edge { of: &w.piece, edge: &mut w.edge });
                form.ask(label("Depth", "How deep it is."), Ask::Length(&mut w.depth));
                form.ask(label("Name", "What the new piece is called."), Ask::NewName(&mut w.name));
                let help = "Nought for an edge that is overlocked or pinked.";
                form.ask(label("Allowance of its inner edge", help), Ask::Length(&mut w.inner_allowance));
            }
            Self::Copy(w) => {
                let another = |_: &[Traced]| Traced { piece: "".into(), name: "".into() };
                list(form, label("Piece", "A piece that is traced off."), &mut w.pieces, 1, another, |form, traced| {
                    form.ask(label("Trace", "The piece that is traced off."), Ask::Piece(&mut traced.piece));
                    form.ask(label("Name", "What the copy is called."), Ask::NewName(&mut traced.name));
                });
            }
            Self::Finish(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(EDGE, Ask::Edge { of: &w.piece, edge: &mut w.edge });
                const ROLES: [Option<Role>; 6] =
                    [None, Some(Role::Seam), Some(Role::Hem), Some(Role::Opening), Some(Role::Fold), Some(Role::Cut)];
                let mut now = ROLES.iter().position(|r| *r == w.role).unwrap_or(0);
                let words = &["as it is", "seam", "hem", "opening", "fold", "cut"];
                form.ask(label("What happens there", "What becomes of the edge."), Ask::Word { words, now: &mut now });
                if ROLES.contains(&w.role) {
                    w.role = ROLES[now.min(5)];
                }
                form.ask(label("Allowance", "Left empty, it stays."), Ask::PerhapsLength(&mut w.allowance));
            }
            _ => {}
        }
    }

    fn mark_fields(&mut self, form: &mut dyn Form) {
        match self {
            Self::Mark(w) => {
                form.ask(label("Piece", "The piece that is marked."), Ask::Piece(&mut w.piece));
                match &mut w.sign {
                    Sign::Notch { at, double, both } => {
                        place(form, label("Notch", "Where it is, on an edge."), &w.piece, at);
                        form.ask(label("Double", "Two notches side by side tell back from front."), Ask::YesNo(double));
                        let help = "What is sewn there is notched at the place that meets it, ease and gathers counted.";
                        form.ask(label("On both sides of the seam", help), Ask::YesNo(both));
                    }
                    Sign::Point { name, at } => {
                        form.ask(NAME, Ask::NewName(name));
                        place(form, label("Point", "Where it is."), &w.piece, at);
                    }
                    Sign::Line { name, line: drawn } => {
                        form.ask(NAME, Ask::NewName(name));
                        line(form, &w.piece, drawn);
                    }
                    Sign::Closing { what, at } => {
                        form.ask(label("What", "As it stands in the list of notions, such as hook and bar."), Ask::Text(what));
                        place(form, label("Closing", "Where it is sewn on."), &w.piece, at);
                    }
                }
            }
            Self::SlideNotch(w) => {
                sides(form, &mut w.sides, 1);
                let of = pairs(&w.sides);
                form.ask(label("Counted from", "The end from which notches are counted."), Ask::End { of: &of, from: &mut w.from });
                form.ask(label("Notch", "Which notch from there, the first being 1."), Ask::Count(&mut w.nth));
                form.ask(label("Slide", "By how much away from that end; below nought nearer."), Ask::Length(&mut w.by));
            }
            Self::Buttonholes(w) => {
                form.ask(PIECE, Ask::Piece(&mut w.piece));
                form.ask(label("Buttonholes", "How many."), Ask::Count(&mut w.count));
                form.ask(label("Size", "Length of a buttonhole: button width and thickness."), Ask::Length(&mut w.size));
                form.ask(label("To the first", "From the start of the line to the first."), Ask::Length(&mut w.first));
                form.ask(label("After the last", "From the last to the end of the line."), Ask::Length(&mut w.last));
                form.ask(label("Across the line", "They lie across the line rather than along it."), Ask::YesNo(&mut w.across));
                line(form, &w.piece, &mut w.line);
            }
            Self::Stay(w) => {
                form.ask(label("Tape", "What it is, as it stands in the list of notions."), Ask::NewName(&mut w.name));
                let help = "Its length as a share of the edges: 100 % for tape, 80 to 95 % for elastic.";
                form.ask(label("As long as", help), Ask::Share(&mut w.share));
                let another = |sides: &[Side]| sides.last().cloned().unwrap_or_else(|| Side { piece: "".into(), edge: "".into() });
                list(form, label("Edge", "An edge that it lies along."), &mut w.edges, 1, another, side);
            }
            Self::Trimming(w) => {
                form.ask(label("Piece", "The piece that is trimmed."), Ask::Piece(&mut w.piece));
                form.ask(label("What", "As it stands in the list of notions, such as lace, 3 cm."), Ask::Text(&mut w.what));
                trimmed(form, &w.piece, &mut w.part);
                if w.part != TrimmedPart::Whole {
                    let help = "So much of the length of its part: 100 % lies flat, 150 to 200 % is gathered.";
                    form.ask(label("As long as", help), Ask::Share(&mut w.fullness));
                }
            }
            Self::Boning(w) => {
                form.ask(label("Width of a bone", "Its channel is 2 mm wider."), Ask::Length(&mut w.width));
                form.ask(label("Free at each end", "Bones end 6 to 10 mm short of the finished edges."), Ask::Length(&mut w.clear));
                let another = |sides: &[Side]| sides.last().cloned().unwrap_or_else(|| Side { piece: "".into(), edge: "".into() });
                list(form, label("Seam", "A seam with a channel; one of its edges is enough."), &mut w.seams, 0, another, side);
                let another = |_: &[Channel]| Channel {
                    piece: "".into(),
                    line: crate::DrawnLine::straight(crate::Place::share("", "", 0.5), crate::Place::share("", "", 0.5)),
                    name: "bone channel".into(),
                };
                list(form, label("Channel", "A channel that is not on a seam."), &mut w.channels, 0, another, |form, channel| {
                    form.ask(PIECE, Ask::Piece(&mut channel.piece));
                    form.ask(NAME, Ask::NewName(&mut channel.name));
                    line(form, &channel.piece, &mut channel.line);
                });
            }
            _ => {}
        }
    }
}

/// Which part of a piece is trimmed.
fn trimmed(form: &mut dyn Form, piece: &Name, part: &mut TrimmedPart) {
    let was = match part {
        TrimmedPart::Edge(_) => 0,
        TrimmedPart::Line(_) => 1,
        TrimmedPart::Whole => 2,
    };
    let mut now = was;
    let words = &["an edge", "a marked line", "all of it"];
    form.ask(label("On", "The part of the piece whose true length or size is listed."), Ask::Word { words, now: &mut now });
    if now != was {
        *part = [TrimmedPart::Edge("".into()), TrimmedPart::Line("".into()), TrimmedPart::Whole][now.min(2)].clone();
    }
    match part {
        TrimmedPart::Edge(edge) => form.ask(label("Edge", "The edge that it lies along."), Ask::Edge { of: piece, edge }),
        TrimmedPart::Line(line) => {
            let help = "The line that it lies along; one that is closed is filled.";
            form.ask(label("Line", help), Ask::Line { of: piece, line });
        }
        TrimmedPart::Whole => {}
    }
}

/// An end of one edge.
fn end(form: &mut dyn Form, name: &'static str, piece: &Name, edge: &Name, from: &mut Name) {
    let of = [(piece.clone(), edge.clone())];
    form.ask(label(name, "The end to count from, by what the edge meets there."), Ask::End { of: &of, from });
}

/// What becomes of a line over `pieces` pieces.
fn becomes(form: &mut dyn Form, first: &Name, pieces: usize, becomes: &mut Becomes) {
    let was = usize::from(matches!(becomes, Becomes::Edge(_)));
    let mut now = was;
    let words = &["a cut", "the new edge"];
    form.ask(label("It becomes", "What becomes of the line."), Ask::Word { words, now: &mut now });
    if now != was {
        *becomes = match becomes {
            Becomes::Cut { with, .. } => Becomes::Edge(with.clone()),
            Becomes::Edge(edge) => Becomes::Cut {
                seam: "yoke seam".into(),
                new: (1..=pieces).map(|i| format!("yoke {i}").into()).collect(),
                with: edge.clone(),
                joined: Some("yoke".into()),
            },
        };
    }
    match becomes {
        Becomes::Cut { seam, new, with, joined } => {
            form.ask(label("New seam", "What the new edges are called."), Ask::NewName(seam));
            form.ask(label("Cut off with", "The edge or point on the side that is cut off."), Ask::EdgeOrPoint { of: first, name: with });
            let another = |new: &[Name]| Name::from(format!("yoke {}", new.len() + 1));
            list(form, label("Cut off", "What is cut off, one for each piece in order."), new, 1, another, |form, name| {
                form.ask(NAME, Ask::NewName(name));
            });
            form.ask(label("Joined as", "The one piece that they become; left empty, they stay apart."), Ask::PerhapsNewName(joined));
        }
        Becomes::Edge(edge) => {
            form.ask(label("Edge", "The edge on each piece whose place it takes."), Ask::Edge { of: first, edge });
        }
    }
}
