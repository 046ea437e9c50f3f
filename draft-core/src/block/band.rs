//! Waistbands and waist facings: a strip sewn along the waist.

use kurbo::{BezPath, Point, Vec2};

use super::ring::{arc, on_ring};
use crate::draft::Promise;
use crate::geometry::{line_path, reversed};
use crate::{Draft, DraftError, EdgeRun, Piece, PieceBuilder, Role, Seam, Span};

/// A strip to draft.
#[derive(Clone, Debug)]
pub struct Strip {
    /// Name of its piece.
    pub name: &'static str,
    /// Finished length of the edge that is sewn to the waist, millimetres.
    pub sewn: f64,
    /// Finished length of the other edge; the same as `sewn` for a straight strip.
    pub other: f64,
    /// Finished width.
    pub width: f64,
    /// Whether it lies below the waist inside the skirt, as a facing, or stands above it, as a band.
    pub below: bool,
    /// Goes on past the opening by this, to button or hook.
    pub underlap: f64,
    /// Along the sewn edge from the opening, where its marks are: seams of the skirt, centre front.
    pub marks: Vec<f64>,
    /// Allowance all round.
    pub seam_mm: f64,
}

/// Widest turn of a shaped strip, radians; beyond it the ends come too near to one another to be cut.
const MOST_TURN: f64 = 5.0;

impl Strip {
    /// Makes the strip, adds it, and sews it to the waist, which is shorter than it by `longer_mm`.
    ///
    /// # Errors
    /// Its edges differ too much for its width.
    pub fn add(&self, draft: &mut Draft, waist: Vec<EdgeRun>, longer_mm: f64) -> Result<(), DraftError> {
        let shaped = (self.sewn - self.other).abs() > 0.5;
        draft.put(if shaped { self.shaped()? } else { self.straight()? });
        let run = |edge: &str| EdgeRun::new(self.name, edge);
        draft.seams.push(Seam { a: vec![run("waist edge")], b: waist, ease_mm: longer_mm });
        if shaped {
            let under = if self.underlap > 0.0 {
                vec![Span::Edge(run("other edge")), Span::Edge(run("other underlap"))]
            } else {
                vec![Span::Edge(run("other edge"))]
            };
            draft.promises.push(Promise {
                what: format!("{}: its other edge", self.name),
                asked_mm: self.other + self.underlap,
                spans: under,
            });
        }
        Ok(())
    }

    fn marked(&self, mut piece: PieceBuilder, from_start: impl Fn(f64) -> f64) -> PieceBuilder {
        for &at in self.marks.iter().filter(|at| **at > 1.0 && **at < self.sewn - 1.0) {
            piece = piece.notch("waist edge", from_start(at), false);
        }
        piece
    }

    /// Cut double and folded along its upper edge.
    fn straight(&self) -> Result<Piece, DraftError> {
        let (w, end) = (2.0 * self.width, self.sewn + self.underlap);
        let p = Point::new;
        let (seam, mm) = (Role::Seam, self.seam_mm);
        let mut piece = PieceBuilder::new(self.name).line("inner edge", seam, mm, p(0.0, -w), p(end, -w)).line(
            "underlap end",
            seam,
            mm,
            p(end, -w),
            p(end, 0.0),
        );
        if self.underlap > 0.0 {
            piece = piece.line("underlap", seam, mm, p(end, 0.0), p(self.sewn, 0.0));
        }
        piece = piece.line("waist edge", seam, mm, p(self.sewn, 0.0), p(0.0, 0.0)).line("end", seam, mm, p(0.0, 0.0), p(0.0, -w));
        self.marked(piece, |at| self.sewn - at)
            .marked_line("fold line", line_path(p(0.0, -self.width), p(end, -self.width)))
            .grain(p(0.15 * end, -0.5 * self.width), p(0.85 * end, -0.5 * self.width))
            .cut(1, false)
            .build()
    }

    /// A sector of a ring, cut twice: outside and inside.
    fn shaped(&self) -> Result<Piece, DraftError> {
        let (upper, lower) = if self.below { (self.sewn, self.other) } else { (self.other, self.sewn) };
        let beta = (lower - upper) / (2.0 * self.width);
        if beta.abs() > MOST_TURN / 2.0 {
            return Err(DraftError::new(
                self.name,
                format!("its edges differ by {:.1} cm over a width of {:.1} cm", (lower - upper).abs() / 10.0, self.width / 10.0),
                "Choose a straight band, or make it wider.",
            ));
        }
        let r = upper / (2.0 * beta);
        let at = |below: f64, phi: f64| on_ring(r + below, below, phi);
        let w = self.width;
        let along = self.underlap * Vec2::new(beta.cos(), -beta.sin());
        let (seam, mm) = (Role::Seam, self.seam_mm);
        let (sewn, other) = ("waist edge", "other edge");
        let (top, bottom) = if self.below { (sewn, other) } else { (other, sewn) };
        let under = |edge: &str| if edge == sewn { "underlap" } else { "other underlap" };
        let (a, b) = (at(0.0, beta), at(w, beta));
        let mut piece = PieceBuilder::new(self.name).part(top, seam, mm, arc(r, 0.0, -beta, beta));
        if self.underlap > 0.0 {
            piece = piece.line(under(top), seam, mm, a, a + along);
        }
        piece = piece.line("underlap end", seam, mm, a + along, b + along);
        if self.underlap > 0.0 {
            piece = piece.line(under(bottom), seam, mm, b + along, b);
        }
        let lower_arc: BezPath = reversed(&arc(r + w, w, -beta, beta));
        piece = piece.part(bottom, seam, mm, lower_arc).line("end", seam, mm, at(w, -beta), at(0.0, -beta));
        self.marked(piece, |from_opening| if self.below { from_opening } else { self.sewn - from_opening })
            .grain(Point::new(0.0, 0.85 * w), Point::new(0.0, 0.15 * w))
            .cut(2, false)
            .build()
    }
}
