//! What an alteration asks its maker for, one field after the other, so that a window or any other form can show every
//! alteration without knowing a single one.

use crate::place::end_names;
use crate::{Along, Bend, Draft, DrawnLine, Length, Measurement, Name, Place, Role};

use super::spread::Opening;
use super::take_in::Side;

/// What a field is called, and what it does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Label {
    /// Its name, in sentence case.
    pub name: &'static str,
    /// What it does, in one sentence.
    pub help: &'static str,
}

/// A label.
pub(super) const fn label(name: &'static str, help: &'static str) -> Label {
    Label { name, help }
}

/// One field, by what it holds.
#[derive(Debug)]
pub enum Ask<'a> {
    /// A piece that is there.
    Piece(&'a mut Name),
    /// An edge of a piece.
    Edge {
        /// The piece.
        of: &'a Name,
        /// The edge.
        edge: &'a mut Name,
    },
    /// One of the two ends that edges share, named by what they meet there.
    End {
        /// Pieces and their edges.
        of: &'a [(Name, Name)],
        /// What they meet at the end that is meant.
        from: &'a mut Name,
    },
    /// A named point of a piece.
    Point {
        /// The piece.
        of: &'a Name,
        /// The point.
        point: &'a mut Name,
    },
    /// A line marked on a piece.
    Line {
        /// The piece.
        of: &'a Name,
        /// The line.
        line: &'a mut Name,
    },
    /// An edge or a point of a piece.
    EdgeOrPoint {
        /// The piece.
        of: &'a Name,
        /// The edge or point.
        name: &'a mut Name,
    },
    /// The same, or nothing.
    PerhapsEdgeOrPoint {
        /// The piece.
        of: &'a Name,
        /// The edge or point.
        name: &'a mut Option<Name>,
    },
    /// A dart of a piece.
    Dart {
        /// The piece.
        of: &'a Name,
        /// The dart.
        dart: &'a mut Name,
    },
    /// A piece that is there, or none.
    PerhapsPiece(&'a mut Option<Name>),
    /// The name of something new.
    NewName(&'a mut Name),
    /// The name of something new, or none.
    PerhapsNewName(&'a mut Option<Name>),
    /// Any text.
    Text(&'a mut String),
    /// A length; it may be below nought.
    Length(&'a mut Length),
    /// A length, or nothing.
    PerhapsLength(&'a mut Option<Length>),
    /// How far along an edge: a length or a share of it.
    Along(&'a mut Along),
    /// A length or an angle.
    Opening(&'a mut Opening),
    /// An angle in degrees.
    Degrees(&'a mut f64),
    /// A share from 0 to 1, shown in per cent.
    Share(&'a mut f64),
    /// A whole number from 1 on.
    Count(&'a mut u32),
    /// Yes or no.
    YesNo(&'a mut bool),
    /// One of these words, by its place among them.
    Word {
        /// The words.
        words: &'static [&'static str],
        /// Which of them.
        now: &'a mut usize,
    },
    /// A measurement of the wearer.
    Measurement(&'a mut Measurement),
}

/// Goes through the fields of an alteration and may change what they hold.
pub trait Form {
    /// One field.
    fn ask(&mut self, label: Label, ask: Ask<'_>);
    /// What follows belongs together, until [`Form::close`]; in a list it is the `nth` from 0. Says whether to take it
    /// out of the list, which is only offered where `can_go`.
    fn open(&mut self, label: Label, nth: Option<usize>, can_go: bool) -> bool;
    /// The end of what belongs together.
    fn close(&mut self);
    /// Whether to add another to a list.
    fn add(&mut self, label: Label) -> bool;
}

impl Ask<'_> {
    /// The names there are to choose from, where it holds a name of something that is there.
    pub fn names(&self, draft: &Draft) -> Vec<Name> {
        let piece = |of: &Name| draft.piece(of.as_str());
        let edges = |of: &Name| -> Vec<Name> {
            piece(of).map_or_else(Vec::new, |p| p.edges().iter().filter(|e| e.role != Role::DartLeg).map(|e| e.name.clone()).collect())
        };
        let points = |of: &Name| -> Vec<Name> { piece(of).map_or_else(Vec::new, |p| p.points().iter().map(|p| p.name.clone()).collect()) };
        match self {
            Self::Piece(_) | Self::PerhapsPiece(_) => draft.pieces.iter().map(|p| p.name().clone()).collect(),
            Self::Edge { of, .. } => edges(of),
            Self::Point { of, .. } => points(of),
            Self::Line { of, .. } => piece(of).map_or_else(Vec::new, |p| p.lines().iter().map(|l| l.name.clone()).collect()),
            Self::EdgeOrPoint { of, .. } | Self::PerhapsEdgeOrPoint { of, .. } => {
                let mut names = edges(of);
                let points = points(of).into_iter().filter(|n| !names.contains(n)).collect::<Vec<_>>();
                names.extend(points);
                names
            }
            Self::Dart { of, .. } => piece(of).map_or_else(Vec::new, |p| p.darts().iter().map(|d| d.name.clone()).collect()),
            Self::End { of, from } => {
                let mut names = shared_ends(draft, of);
                // A file may name an end in another way, such as `start`: that is as good.
                if !names.contains(from) && every_edge_knows(draft, of, from) {
                    names.push((*from).clone());
                }
                names
            }
            _ => Vec::new(),
        }
    }
}

/// Whether a name tells an end of every one of these edges.
fn every_edge_knows(draft: &Draft, edges: &[(Name, Name)], end: &Name) -> bool {
    edges.iter().all(|(name, edge)| draft.piece(name.as_str()).is_some_and(|p| crate::place::from_start(p, edge, end).is_ok()))
}

/// Names by which every one of these edges knows an end; where there are none, those of the first.
pub(crate) fn shared_ends(draft: &Draft, edges: &[(Name, Name)]) -> Vec<Name> {
    let Some((name, edge)) = edges.first() else { return Vec::new() };
    let Some(piece) = draft.piece(name.as_str()) else { return Vec::new() };
    let Some(own) = end_names(piece, edge) else { return Vec::new() };
    let knows = |end: &Name| every_edge_knows(draft, edges, end);
    let mut shared: Vec<Name> = own.iter().filter(|n| knows(n)).cloned().collect();
    if shared.len() < 2
        && let Some((start, end)) = piece.edge_ends(edge.as_str())
    {
        let at_an_end = piece.points().iter().filter(|p| p.at.distance(start) < 0.1 || p.at.distance(end) < 0.1);
        shared.extend(at_an_end.map(|p| p.name.clone()).filter(knows));
    }
    if shared.is_empty() { own.to_vec() } else { shared }
}

/// Every item of a list, each of which may be taken out as long as `least` are left, and the offer of another.
pub(super) fn list<T>(
    form: &mut dyn Form,
    label: Label,
    list: &mut Vec<T>,
    least: usize,
    another: impl FnOnce(&[T]) -> T,
    mut each: impl FnMut(&mut dyn Form, &mut T),
) {
    let can_go = list.len() > least;
    let mut gone = None;
    for (i, item) in list.iter_mut().enumerate() {
        if form.open(label, Some(i), can_go) {
            gone = Some(i);
        }
        each(form, item);
        form.close();
    }
    if let Some(i) = gone {
        list.remove(i);
    }
    if form.add(label) {
        let item = another(list);
        list.push(item);
    }
}

/// One edge of a seam.
pub(super) fn side(form: &mut dyn Form, side: &mut Side) {
    form.ask(label("Piece", "The piece that the edge belongs to."), Ask::Piece(&mut side.piece));
    form.ask(label("Edge", "The edge on this side of the seam."), Ask::Edge { of: &side.piece, edge: &mut side.edge });
}

/// Both edges of a seam.
pub(super) fn sides(form: &mut dyn Form, sides: &mut Vec<Side>, least: usize) {
    let another = |sides: &[Side]| sides.last().cloned().unwrap_or_else(|| Side { piece: "".into(), edge: "".into() });
    list(form, label("Side", "One side of the seam; both are altered together."), sides, least, another, side);
}

/// Pieces and edges of sides, as an end is asked for.
pub(crate) fn pairs(sides: &[Side]) -> Vec<(Name, Name)> {
    sides.iter().map(|s| (s.piece.clone(), s.edge.clone())).collect()
}

const WHERE: &[&str] = &["along an edge", "at a point", "off a place", "where a line meets an edge"];

/// A place on a piece.
pub(super) fn place(form: &mut dyn Form, name: Label, of: &Name, place: &mut Place) {
    form.open(name, None, false);
    let was = match place {
        Place::Edge { .. } => 0,
        Place::Point(_) => 1,
        Place::Off { .. } => 2,
        Place::Meet { .. } => 3,
    };
    let mut kind = was;
    form.ask(label("Where", "How the place is found again on every redraft."), Ask::Word { words: WHERE, now: &mut kind });
    if kind != was {
        *place = turned_into(place, kind);
    }
    match place {
        Place::Point(point) => form.ask(label("Point", "A named point of the piece."), Ask::Point { of, point }),
        Place::Edge { edge, from, at } => {
            form.ask(label("On", "The edge on which the place lies."), Ask::Edge { of, edge });
            along(form, of, edge, from, at);
        }
        Place::Off { of: base, up, across } => {
            form.ask(label("Up", "Up along the grain from that place; below nought it is down."), Ask::Length(up));
            form.ask(label("To the right", "Across the grain, printed side up; below nought it is to the left."), Ask::Length(across));
            self::place(form, label("Counted from", "The place that it is off."), of, base);
        }
        Place::Meet { from, degrees, edge } => {
            form.ask(label("Meets", "The edge that the line meets."), Ask::Edge { of, edge });
            form.ask(label("Direction", "0° is to the right across the grain, 90° up along it."), Ask::Degrees(degrees));
            self::place(form, label("Going out from", "Where the line begins."), of, from);
        }
    }
    form.close();
}

/// How far along an edge, and from which end.
fn along(form: &mut dyn Form, of: &Name, edge: &Name, from: &mut Name, at: &mut Along) {
    let edges = [(of.clone(), edge.clone())];
    form.ask(label("From its end at", "The end to count from, by what the edge meets there."), Ask::End { of: &edges, from });
    form.ask(label("At", "A length from that end, or a share of the edge such as 50 %."), Ask::Along(at));
}

/// A place of another kind that keeps what it can of the first.
fn turned_into(place: &Place, kind: usize) -> Place {
    let nothing = || Name::from("");
    let inner = match place {
        Place::Off { of, .. } => Some(&**of),
        Place::Meet { from, .. } => Some(&**from),
        _ => None,
    };
    match (kind, place, inner) {
        (0, _, Some(inner @ Place::Edge { .. })) | (1, _, Some(inner @ Place::Point(_))) => inner.clone(),
        (0, Place::Meet { edge, .. }, _) => Place::Edge { edge: edge.clone(), from: nothing(), at: Along::Share(0.5) },
        (0, ..) => Place::Edge { edge: nothing(), from: nothing(), at: Along::Share(0.5) },
        (1, ..) => Place::Point(nothing()),
        (2, _, inner) => Place::Off { of: Box::new(inner.unwrap_or(place).clone()), up: Length::ZERO, across: Length::ZERO },
        (_, Place::Edge { .. } | Place::Point(_), _) => Place::Meet { from: Box::new(place.clone()), degrees: 0.0, edge: nothing() },
        (_, _, inner) => Place::Meet { from: Box::new(inner.unwrap_or(place).clone()), degrees: 0.0, edge: nothing() },
    }
}

const BENDS: &[&str] = &["straight", "bowed", "square ends"];
const BENDS_DRAWN: &[&str] = &["straight", "bowed", "square ends", "as drawn"];

/// How a line runs between two of its places.
pub(super) fn bend(form: &mut dyn Form, bend: &mut Bend) {
    let was = match bend {
        Bend::Straight => 0,
        Bend::Bow(_) => 1,
        Bend::Square => 2,
        Bend::Free(_) => 3,
    };
    let mut kind = was;
    let words = if was == 3 { BENDS_DRAWN } else { BENDS };
    form.ask(label("It runs", "How the line runs from one place to the next."), Ask::Word { words, now: &mut kind });
    if kind != was {
        *bend = match kind {
            0 => Bend::Straight,
            1 => Bend::Bow(Length::from_mm(10.0)),
            _ => Bend::Square,
        };
    }
    if let Bend::Bow(by) = bend {
        let help = "How far it stands off the straight line at its middle: to the right on the way, below nought to the left.";
        form.ask(label("Bow", help), Ask::Length(by));
    }
}

const PLACES: [Label; 2] = [label("Starts", "Where the line starts."), label("Ends", "Where the line ends.")];
const BETWEEN: Label = label("Place between", "A place through which the line runs on its way.");

/// A line through places.
pub(super) fn line(form: &mut dyn Form, of: &Name, line: &mut DrawnLine) {
    let count = line.through.len();
    let mut bends = line.bends.clone();
    bends.resize(count.saturating_sub(1), Bend::Straight);
    let before = bends.clone();
    let mut gone = None;
    for (i, through) in line.through.iter_mut().enumerate() {
        if i == 0 {
            place(form, PLACES[0], of, through);
        } else if i + 1 == count {
            place(form, PLACES[1], of, through);
        } else {
            if form.open(BETWEEN, Some(i - 1), true) {
                gone = Some(i);
            }
            place(form, label("Place", BETWEEN.help), of, through);
            form.close();
        }
        if let Some(own) = bends.get_mut(i) {
            bend(form, own);
        }
    }
    if bends != before {
        line.bends = bends;
    }
    if let Some(i) = gone {
        line.through.remove(i);
        if i < line.bends.len() {
            line.bends.remove(i);
        }
    }
    if form.add(BETWEEN)
        && let Some(last) = line.through.last().cloned()
    {
        let at = line.through.len() - 1;
        line.through.insert(at, last.off(20.0, 20.0));
        if at <= line.bends.len() {
            line.bends.insert(at, Bend::Straight);
        }
    }
}

/// Puts the first name that is there in the place of every name that is not, as after another piece was chosen.
#[derive(Clone, Copy, Debug)]
pub struct Repair<'a> {
    draft: &'a Draft,
}

impl<'a> Repair<'a> {
    /// For an alteration made on this draft.
    pub const fn on(draft: &'a Draft) -> Self {
        Self { draft }
    }
}

impl Form for Repair<'_> {
    fn ask(&mut self, _: Label, ask: Ask<'_>) {
        let names = ask.names(self.draft);
        let Some(first) = names.first().cloned() else { return };
        match ask {
            Ask::End { of, from } if every_edge_knows(self.draft, of, from) => {}
            Ask::End { from, .. } => *from = first,
            Ask::Piece(name)
            | Ask::Edge { edge: name, .. }
            | Ask::Point { point: name, .. }
            | Ask::Line { line: name, .. }
            | Ask::EdgeOrPoint { name, .. }
            | Ask::Dart { dart: name, .. }
                if !names.contains(name) =>
            {
                *name = first;
            }
            Ask::PerhapsPiece(name) | Ask::PerhapsEdgeOrPoint { name, .. } if name.as_ref().is_some_and(|n| !names.contains(n)) => {
                *name = None;
            }
            _ => {}
        }
    }

    fn open(&mut self, _: Label, _: Option<usize>, _: bool) -> bool {
        false
    }

    fn close(&mut self) {}

    fn add(&mut self, _: Label) -> bool {
        false
    }
}
