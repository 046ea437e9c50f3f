//! Pieces: what is cut from cloth.

use kurbo::{Affine, BezPath, Line, ParamCurve, ParamCurveArclen, PathEl, PathSeg, Point, Rect, Shape, Vec2};
use serde::{Deserialize, Serialize};

use crate::{CLOSURE_MM, DraftError, Name, Shared, check, geometry, grain};

/// What happens at an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Sewn to another edge.
    Seam,
    /// Laid on the fold of the cloth; the other half is its mirror image.
    Fold,
    /// Turned up, faced or left raw.
    Hem,
    /// Opens: a zip, lacing, buttons.
    Opening,
    /// Sewn to the other leg of its dart.
    DartLeg,
    /// Cut by the maker.
    Cut,
}

impl Role {
    /// The word shown to the maker and in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Seam => "seam",
            Self::Fold => "fold",
            Self::Hem => "hem",
            Self::Opening => "opening",
            Self::DartLeg => "dart leg",
            Self::Cut => "cut",
        }
    }
}

/// A named edge of the seam line. Its parts stand in the outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// Unique in the piece.
    pub name: Name,
    /// What happens here.
    pub role: Role,
    /// Seam allowance in millimetres, outward from the seam line; nought on a fold or a raw edge.
    pub allowance_mm: f64,
}

/// A stretch of the outline that belongs to one edge, from its start to its end as the outline runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Which of [`Piece::edges`].
    pub edge: usize,
    /// An open path of lines and cubics.
    pub path: BezPath,
}

/// A dart: two legs of the outline that are sewn together.
#[derive(Clone, Debug, PartialEq)]
pub struct Dart {
    /// Unique in the piece, such as `bust dart`.
    pub name: Name,
    /// Edge of the leg that comes first along the outline.
    pub leg_a: Name,
    /// Edge of the other leg.
    pub leg_b: Name,
    /// Where the sewing ends.
    pub tip: Point,
    /// The point about which the dart turns when it is moved; the tip stops short of it.
    pub pivot: Point,
    /// Whether the fold is pressed toward leg `a`'s side of the piece, else toward `b`'s.
    pub pressed_to_a: bool,
}

/// A point with a name.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedPoint {
    /// Unique in the piece.
    pub name: Name,
    /// Where it is.
    pub at: Point,
    /// Whether it is marked on cloth and paper, or only used in drafting and measuring.
    pub marked: bool,
    /// The edge that it moves with when part of the piece is turned; where not given, its place decides.
    pub rides: Option<Name>,
}

/// A notch on an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// The edge.
    pub edge: Name,
    /// Distance along the edge's parts from its start, millimetres.
    pub from_start_mm: f64,
    /// A double notch tells back from front.
    pub double: bool,
}

/// A stretch of an edge that is gathered or eased into less.
#[derive(Clone, Debug, PartialEq)]
pub struct Gather {
    /// The edge.
    pub edge: Name,
    /// Where it begins, millimetres along the edge's parts from its start.
    pub from_mm: f64,
    /// Where it ends.
    pub to_mm: f64,
    /// What it measures once drawn in, millimetres.
    pub into_mm: f64,
}

impl Gather {
    /// By how much the drawing in shortens the edge, millimetres.
    pub fn taken_up_mm(&self) -> f64 {
        self.to_mm - self.from_mm - self.into_mm
    }
}

/// A line marked inside a piece: bust line, waist line, elbow line.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkedLine {
    /// Unique in the piece.
    pub name: Name,
    /// Open path.
    pub path: BezPath,
}

/// How often a piece is cut from its cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CutCount {
    /// Pieces of cloth in all.
    pub count: u32,
    /// Whether every second one is the mirror image.
    pub pairs: bool,
}

/// One outline to cut: named edges in order, in millimetres, y down.
///
/// [`PieceBuilder::build`] has checked that each part starts where the last one ended, that the last meets the
/// first, that no name repeats, and that every number is finite.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    name: Name,
    edges: Vec<Edge>,
    parts: Shared<Part>,
    darts: Vec<Dart>,
    points: Vec<NamedPoint>,
    notches: Vec<Notch>,
    gathers: Vec<Gather>,
    lines: Vec<MarkedLine>,
    grain: Line,
    cut: CutCount,
    /// Length of each edge, measured once when the piece is built; millimetres.
    lengths: Vec<f64>,
    /// Two parts that cross, looked for once when the piece is built.
    crossing: Option<(usize, usize)>,
}

impl Piece {
    /// Its name, unique in the garment.
    pub const fn name(&self) -> &Name {
        &self.name
    }

    /// Its edges, in the order in which the outline first meets them.
    pub fn edges(&self) -> &[Edge] {
        &self.edges
    }

    /// The outline: a closed run of parts.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }

    /// Its darts.
    pub fn darts(&self) -> &[Dart] {
        &self.darts
    }

    /// Its named points.
    pub fn points(&self) -> &[NamedPoint] {
        &self.points
    }

    /// Its notches.
    pub fn notches(&self) -> &[Notch] {
        &self.notches
    }

    /// Stretches of its edges that are gathered or eased into less.
    pub fn gathers(&self) -> &[Gather] {
        &self.gathers
    }

    /// Lines marked inside it.
    pub fn lines(&self) -> &[MarkedLine] {
        &self.lines
    }

    /// The grain line, from its lower to its upper end.
    pub const fn grain(&self) -> Line {
        self.grain
    }

    /// How often it is cut.
    pub const fn cut(&self) -> CutCount {
        self.cut
    }

    /// The edge of this name.
    pub fn edge(&self, name: &str) -> Option<&Edge> {
        self.edges.iter().find(|e| e.name == *name)
    }

    /// The edge that is laid on the fold.
    pub fn fold(&self) -> Option<&Edge> {
        self.edges.iter().find(|e| e.role == Role::Fold)
    }

    /// The point of this name.
    pub fn point(&self, name: &str) -> Option<Point> {
        self.points.iter().find(|p| p.name == *name).map(|p| p.at)
    }

    /// The parts of one edge, in order.
    pub fn edge_parts<'a>(&'a self, name: &str) -> impl Iterator<Item = &'a Part> + use<'a> {
        let index = self.edges.iter().position(|e| e.name == *name);
        self.parts.iter().filter(move |p| Some(p.edge) == index)
    }

    /// Length of an edge along the seam line: the sum of its parts, darts not counted; millimetres.
    pub fn edge_length_mm(&self, name: &str) -> Option<f64> {
        let index = self.edges.iter().position(|e| e.name == *name)?;
        self.lengths.get(index).copied()
    }

    /// The first two edges found that cross, or one that crosses itself twice: the outline is not simple.
    pub fn crossing(&self) -> Option<(&Edge, &Edge)> {
        let edge = |part: usize| self.edges.get(self.parts.get(part)?.edge);
        let (a, b) = self.crossing?;
        Some((edge(a)?, edge(b)?))
    }

    /// By how much gathering and easing shorten an edge, millimetres.
    pub fn taken_up_mm(&self, edge: &str) -> f64 {
        self.gathers.iter().filter(|g| g.edge == *edge).map(Gather::taken_up_mm).sum()
    }

    /// Where an edge starts and ends as the outline runs.
    pub fn edge_ends(&self, name: &str) -> Option<(Point, Point)> {
        let first = self.edge_parts(name).next()?;
        let last = self.edge_parts(name).last()?;
        Some((geometry::start(&first.path)?, geometry::end(&last.path)?))
    }

    /// The point at a distance along an edge from its start, and the direction in which the edge runs there.
    pub fn along_edge(&self, name: &str, from_start_mm: f64) -> Option<(Point, Vec2)> {
        let mut left = from_start_mm.max(0.0);
        let mut at = None;
        for part in self.edge_parts(name) {
            for seg in part.path.segments() {
                let length = seg.arclen(geometry::ARCLEN_ACCURACY);
                let t = if left <= length { seg.inv_arclen(left, 1e-6) } else { 1.0 };
                at = Some((seg.eval(t), geometry::tangent(&seg, t)));
                if left <= length {
                    return at;
                }
                left -= length;
            }
        }
        at
    }

    /// The seam line as one closed path.
    pub fn outline(&self) -> BezPath {
        let mut out = BezPath::new();
        for part in &self.parts {
            for el in part.path.elements() {
                match *el {
                    PathEl::MoveTo(p) if out.elements().is_empty() => out.move_to(p),
                    PathEl::MoveTo(_) => {}
                    el => out.push(el),
                }
            }
        }
        out.close_path();
        out
    }

    /// The seam line's segments in order, each with the index of its edge.
    pub fn segments(&self) -> impl Iterator<Item = (usize, PathSeg)> + '_ {
        self.parts.iter().flat_map(|p| p.path.segments().map(move |s| (p.edge, s)))
    }

    /// Area inside the seam line, square millimetres.
    pub fn area_mm2(&self) -> f64 {
        self.outline().area().abs()
    }

    /// The smallest upright box round the seam line.
    pub fn bounds(&self) -> Rect {
        self.outline().bounding_box()
    }

    /// Drops edges that no part of the outline belongs to any more.
    fn edges_in_use(&mut self) {
        let used: Vec<bool> = (0..self.edges.len()).map(|i| self.parts.iter().any(|p| p.edge == i)).collect();
        if !used.contains(&false) {
            return;
        }
        let new_index: Vec<usize> = used.iter().scan(0, |n, &u| Some(std::mem::replace(n, *n + usize::from(u)))).collect();
        for part in &mut self.parts {
            part.edge = new_index[part.edge];
        }
        let mut keep = used.iter();
        self.edges.retain(|_| *keep.next().unwrap_or(&true));
    }

    /// The piece turned over about the upright, under another name: edges, notches and darts keep their names, and the outline
    /// goes on running the same way round.
    pub fn turned_over(&self, name: impl Into<Name>) -> Self {
        let over = Affine::FLIP_X;
        let mut piece = self.clone();
        piece.name = name.into();
        piece.parts = self.parts.iter().rev().map(|p| Part { edge: p.edge, path: over * geometry::reversed(&p.path) }).collect();
        piece.crossing = self.crossing.map(|(a, b)| (self.parts.len() - 1 - b, self.parts.len() - 1 - a));
        let long = |edge: &Name| self.edge_length_mm(edge.as_str()).unwrap_or(0.0);
        for notch in &mut piece.notches {
            notch.from_start_mm = long(&notch.edge) - notch.from_start_mm;
        }
        for gather in &mut piece.gathers {
            let whole = long(&gather.edge);
            (gather.from_mm, gather.to_mm) = (whole - gather.to_mm, whole - gather.from_mm);
        }
        for dart in &mut piece.darts {
            std::mem::swap(&mut dart.leg_a, &mut dart.leg_b);
            dart.pressed_to_a = !dart.pressed_to_a;
            (dart.tip, dart.pivot) = (over * dart.tip, over * dart.pivot);
        }
        for point in &mut piece.points {
            point.at = over * point.at;
        }
        for line in &mut piece.lines {
            line.path = over * line.path.clone();
        }
        piece.grain = over * self.grain;
        piece
    }

    /// Whether everything that can be measured on this piece measures the same on another.
    pub fn measures_like(&self, other: &Self) -> bool {
        self.name == other.name
            && (self.parts.is_same(&other.parts) || self.parts == other.parts)
            && self.edges.iter().map(|e| &e.name).eq(other.edges.iter().map(|e| &e.name))
            && self.points == other.points
            && self.gathers == other.gathers
            && self.lines == other.lines
    }

    /// The piece where a rigid map carries it. Turned over, its outline runs the other way round as seen, so that places on it
    /// keep their names: what lies to the right of something with the printed side up still does.
    #[must_use]
    pub fn carried(&self, map: Affine) -> Self {
        let mut piece = self.clone();
        for part in &mut piece.parts {
            part.path = map * part.path.clone();
        }
        for dart in &mut piece.darts {
            (dart.tip, dart.pivot) = (map * dart.tip, map * dart.pivot);
        }
        for point in &mut piece.points {
            point.at = map * point.at;
        }
        for line in &mut piece.lines {
            line.path = map * line.path.clone();
        }
        piece.grain = map * self.grain;
        piece
    }

    /// The piece under another name.
    pub fn renamed(&self, name: impl Into<Name>) -> Self {
        Self { name: name.into(), ..self.clone() }
    }

    /// The piece, to be cut another number of times.
    #[must_use]
    pub const fn to_cut(mut self, cut: CutCount) -> Self {
        self.cut = cut;
        self
    }

    /// The piece with a seam where it was laid on the fold: one half of what was whole.
    #[must_use]
    pub fn parted_at_the_fold(mut self, allowance_mm: f64) -> Self {
        for edge in self.edges.iter_mut().filter(|e| e.role == Role::Fold) {
            (edge.role, edge.allowance_mm) = (Role::Seam, allowance_mm);
        }
        self
    }

    /// A builder holding all of this piece, to make a changed one.
    pub fn to_builder(&self) -> PieceBuilder {
        PieceBuilder { piece: self.clone(), grain_along: None, built: Some((self.parts.clone(), self.grain)) }
    }
}

/// Puts a piece together and checks it.
#[derive(Clone, Debug)]
pub struct PieceBuilder {
    piece: Piece,
    /// Direction of the longest grain line, where that is asked for.
    grain_along: Option<Vec2>,
    /// Outline and grain line of the piece that it was made from: as long as they stay, so do its lengths.
    built: Option<(Shared<Part>, Line)>,
}

impl PieceBuilder {
    /// An empty piece, cut once, with no grain line yet.
    pub fn new(name: impl Into<Name>) -> Self {
        Self {
            piece: Piece {
                name: name.into(),
                edges: Vec::new(),
                parts: Shared::default(),
                darts: Vec::new(),
                points: Vec::new(),
                notches: Vec::new(),
                gathers: Vec::new(),
                lines: Vec::new(),
                grain: Line::new(Point::ZERO, Point::ZERO),
                cut: CutCount { count: 1, pairs: false },
                lengths: Vec::new(),
                crossing: None,
            },
            grain_along: None,
            built: None,
        }
    }

    /// Adds the next stretch of the outline. A second stretch of the same name is a further part of that edge, and
    /// keeps the edge's first role and allowance.
    #[must_use]
    pub fn part(mut self, edge: impl Into<Name>, role: Role, allowance_mm: f64, path: BezPath) -> Self {
        let name = edge.into();
        let index = self.piece.edges.iter().position(|e| e.name == name).unwrap_or_else(|| {
            self.piece.edges.push(Edge { name, role, allowance_mm });
            self.piece.edges.len() - 1
        });
        self.piece.parts.push(Part { edge: index, path });
        self
    }

    /// Adds a straight stretch.
    #[must_use]
    pub fn line(self, edge: impl Into<Name>, role: Role, allowance_mm: f64, from: Point, to: Point) -> Self {
        self.part(edge, role, allowance_mm, geometry::line_path(from, to))
    }

    /// Adds a dart whose two legs are already edges.
    #[must_use]
    pub fn dart(mut self, dart: Dart) -> Self {
        self.piece.darts.push(dart);
        self
    }

    /// Adds a point that is marked on cloth.
    #[must_use]
    pub fn point(mut self, name: impl Into<Name>, at: Point) -> Self {
        self.piece.points.push(NamedPoint { name: name.into(), at, marked: true, rides: None });
        self
    }

    /// Adds a marked point that moves with an edge.
    #[must_use]
    pub fn point_on(mut self, edge: &str, name: impl Into<Name>, at: Point) -> Self {
        self.piece.points.push(NamedPoint { name: name.into(), at, marked: true, rides: Some(edge.into()) });
        self
    }

    /// Adds a point for measuring that moves with an edge.
    #[must_use]
    pub fn hidden_point_on(mut self, edge: &str, name: impl Into<Name>, at: Point) -> Self {
        self.piece.points.push(NamedPoint { name: name.into(), at, marked: false, rides: Some(edge.into()) });
        self
    }

    /// Adds a point that is only used in drafting and measuring.
    #[must_use]
    pub fn hidden_point(mut self, name: impl Into<Name>, at: Point) -> Self {
        self.piece.points.push(NamedPoint { name: name.into(), at, marked: false, rides: None });
        self
    }

    /// Adds a notch.
    #[must_use]
    pub fn notch(mut self, edge: impl Into<Name>, from_start_mm: f64, double: bool) -> Self {
        self.piece.notches.push(Notch { edge: edge.into(), from_start_mm, double });
        self
    }

    /// Adds a stretch to gather or to ease, with a notch where it begins and where it ends.
    #[must_use]
    pub fn gather(mut self, gather: Gather) -> Self {
        self = self.notch(gather.edge.clone(), gather.from_mm, false).notch(gather.edge.clone(), gather.to_mm, false);
        self.piece.gathers.push(gather);
        self
    }

    /// Puts each notch at another distance from its edge's start, and the gathers' ends likewise.
    #[must_use]
    pub fn notches_moved(mut self, to_mm: impl Fn(&Notch) -> f64) -> Self {
        for notch in &mut self.piece.notches {
            notch.from_start_mm = to_mm(notch);
        }
        for gather in &mut self.piece.gathers {
            let at = |from_start_mm| to_mm(&Notch { edge: gather.edge.clone(), from_start_mm, double: false });
            (gather.from_mm, gather.to_mm) = (at(gather.from_mm), at(gather.to_mm));
        }
        self
    }

    /// Adds an edge that no part of the outline belongs to yet; [`PieceBuilder::reshaped`] gives it some.
    #[must_use]
    pub fn edge(mut self, name: impl Into<Name>, role: Role, allowance_mm: f64) -> Self {
        self.piece.edges.push(Edge { name: name.into(), role, allowance_mm });
        self
    }

    /// Adds a marked line.
    #[must_use]
    pub fn marked_line(mut self, name: impl Into<Name>, path: BezPath) -> Self {
        self.piece.lines.push(MarkedLine { name: name.into(), path });
        self
    }

    /// Sets the grain line; where it would run off the finished piece, it is laid on it beside its place.
    #[must_use]
    pub fn grain(mut self, from: Point, to: Point) -> Self {
        self.piece.grain = Line::new(from, to);
        self.grain_along = None;
        self
    }

    /// Takes the longest grain line in this direction that the finished piece has room for.
    #[must_use]
    pub const fn grain_along(mut self, direction: Vec2) -> Self {
        self.grain_along = Some(direction);
        self
    }

    /// Sets how often it is cut.
    #[must_use]
    pub fn cut(mut self, count: u32, pairs: bool) -> Self {
        self.piece.cut = CutCount { count, pairs };
        self
    }

    /// Puts another outline, other darts, points and lines in the place of those that are there; the edges stay.
    #[must_use]
    pub fn reshaped(mut self, parts: Vec<Part>, darts: Vec<Dart>, points: Vec<NamedPoint>, lines: Vec<MarkedLine>) -> Self {
        self.piece.parts = parts.into();
        self.piece.darts = darts;
        self.piece.points = points;
        self.piece.lines = lines;
        self.piece.edges_in_use();
        self
    }

    /// Sets all gathered stretches at once, their notches being there already.
    #[must_use]
    pub fn gathers(mut self, gathers: Vec<Gather>) -> Self {
        self.piece.gathers = gathers;
        self
    }

    /// Sets all named points and marked lines at once.
    #[must_use]
    pub fn inner(mut self, points: Vec<NamedPoint>, lines: Vec<MarkedLine>) -> Self {
        self.piece.points = points;
        self.piece.lines = lines;
        self
    }

    /// Changes the role of an edge that is already there.
    #[must_use]
    pub fn role(mut self, edge: &str, role: Role) -> Self {
        if let Some(e) = self.piece.edges.iter_mut().find(|e| e.name == *edge) {
            e.role = role;
        }
        self
    }

    /// Changes the allowance of an edge that is already there.
    #[must_use]
    pub fn allowance(mut self, edge: &str, allowance_mm: f64) -> Self {
        if let Some(e) = self.piece.edges.iter_mut().find(|e| e.name == *edge) {
            e.allowance_mm = allowance_mm;
        }
        self
    }

    /// The finished piece.
    ///
    /// # Errors
    /// The outline is open or empty, a name repeats, a dart or notch names an edge that is not there, or a number
    /// is not finite.
    pub fn build(mut self) -> Result<Piece, DraftError> {
        let piece = &mut self.piece;
        let place = piece.name.to_string();
        let refuse = |problem: String| {
            DraftError::new(place.clone(), problem, "Change the measurements or settings that this piece is drafted from.")
        };
        if piece.parts.is_empty() {
            return Err(refuse("has no outline".into()));
        }
        for part in &piece.parts {
            if !geometry::is_finite(&part.path) || part.path.segments().next().is_none() {
                return Err(refuse(format!("its edge {} is not a line that can be drawn", piece.edges[part.edge].name)));
            }
        }
        // Close hairline gaps exactly, so that nobody downstream has to.
        let count = piece.parts.len();
        for i in 0..count {
            let next = (i + 1) % count;
            let (Some(end), Some(start)) = (geometry::end(&piece.parts[i].path), geometry::start(&piece.parts[next].path)) else {
                return Err(refuse("has an empty edge".into()));
            };
            if end.distance(start) > CLOSURE_MM {
                let (a, b) = (&piece.edges[piece.parts[i].edge].name, &piece.edges[piece.parts[next].edge].name);
                return Err(refuse(format!("{a} ends {:.3} mm away from where {b} starts", end.distance(start))));
            }
            if start != end {
                geometry::set_start(&mut piece.parts[next].path, end);
            }
        }
        let repeated = |names: &[&Name]| names.iter().enumerate().find(|(i, n)| names[..*i].contains(n)).map(|(_, n)| n.to_string());
        let points: Vec<&Name> = piece.points.iter().map(|p| &p.name).collect();
        if let Some(name) = repeated(&points) {
            return Err(refuse(format!("has two points named {name}")));
        }
        let darts: Vec<&Name> = piece.darts.iter().map(|d| &d.name).collect();
        if let Some(name) = repeated(&darts) {
            return Err(refuse(format!("has two darts named {name}")));
        }
        let named = piece
            .darts
            .iter()
            .flat_map(|d| [&d.leg_a, &d.leg_b])
            .chain(piece.notches.iter().map(|n| &n.edge))
            .chain(piece.gathers.iter().map(|g| &g.edge));
        if let Some(name) = named.into_iter().find(|n| !piece.edges.iter().any(|e| e.name == **n)) {
            return Err(refuse(format!("has no edge named {name}")));
        }
        let finite = piece.points.iter().all(|p| p.at.is_finite())
            && piece.darts.iter().all(|d| d.tip.is_finite() && d.pivot.is_finite())
            && piece.notches.iter().all(|n| n.from_start_mm.is_finite())
            && piece.gathers.iter().all(|g| g.from_mm.is_finite() && g.to_mm.is_finite() && g.into_mm.is_finite())
            && piece.lines.iter().all(|l| geometry::is_finite(&l.path))
            && piece.edges.iter().all(|e| e.allowance_mm.is_finite() && e.allowance_mm >= 0.0)
            && piece.grain.p0.is_finite()
            && piece.grain.p1.is_finite();
        if !finite {
            return Err(refuse("has a point or an allowance that is not a usable number".into()));
        }
        if self.grain_along.is_none() && self.built.is_some_and(|(parts, grain)| piece.parts.is_same(&parts) && piece.grain == grain) {
            return Ok(self.piece);
        }
        let outline = piece.outline();
        piece.grain = match self.grain_along {
            Some(direction) => grain::longest(&outline, direction).unwrap_or(piece.grain),
            None => grain::inside(&outline, piece.grain),
        };
        let mut lengths = vec![0.0; piece.edges.len()];
        for part in &piece.parts {
            lengths[part.edge] += geometry::length(&part.path);
        }
        piece.lengths = lengths;
        piece.crossing = check::crossing(&piece.parts);
        Ok(self.piece)
    }
}
