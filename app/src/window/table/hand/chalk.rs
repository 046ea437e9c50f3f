//! Chalk: follows the hand, and is made smooth. What was drawn stays to be seen until it is taken.

use draft_core::alteration::offer::{Becoming, line_of};
use draft_core::fairing::{self, Fair};
use draft_core::{Name, Unit, parse_length};
use egui::{Painter, Shape, Stroke, TextEdit, Ui};
use kurbo::Point;

use super::choices::Choices;
use super::{Bench, Tool, Touch, ring};
use crate::window::{Request, widget};

/// A hand is followed to within this unless the maker asks for something else, millimetres …
const FOLLOWED_MM: f64 = 0.5;
/// … or this many points of the screen, where they are more: nobody draws finer than they see.
const FOLLOWED_POINTS: f32 = 0.8;
/// A stroke that is shorter is none, millimetres.
const SHORT_MM: f64 = 3.0;

/// A stroke that was drawn, and what it was made into.
struct Drawn {
    piece: Name,
    /// As it was drawn, with its ends on what they were drawn to.
    stroke: Vec<Point>,
    fair: Option<Fair>,
    choices: Option<Choices>,
    /// How closely it was followed, millimetres.
    within_mm: f64,
}

/// Chalk.
pub struct Chalk {
    /// The stroke that is being drawn, on its piece.
    drawing: Option<(Name, Vec<Point>)>,
    drawn: Option<Drawn>,
    /// How closely the hand is followed, once the maker has said so; millimetres.
    within_mm: Option<f64>,
    /// What is being typed for that.
    typed: Option<String>,
    /// What may be made of a line.
    wanted: fn(&Becoming) -> bool,
}

impl Default for Chalk {
    fn default() -> Self {
        Self::wanting(|_| true)
    }
}

impl Chalk {
    /// Chalk whose lines become only what is wanted.
    pub fn wanting(wanted: fn(&Becoming) -> bool) -> Self {
        Self { drawing: None, drawn: None, within_mm: None, typed: None, wanted }
    }

    /// Whether nothing is being drawn and nothing waits.
    pub const fn is_idle(&self) -> bool {
        self.drawing.is_none() && self.drawn.is_none()
    }

    fn made(&self, piece: &Name, stroke: Vec<Point>, bench: &Bench<'_>) -> Option<Drawn> {
        let laid = bench.laid(piece.as_str())?;
        let within_mm = self.within_mm.unwrap_or_else(|| {
            let seen = bench.transform.cloth_length(FOLLOWED_POINTS);
            (seen.max(FOLLOWED_MM) * 10.0).round() / 10.0
        });
        let fair = fairing::fair(&stroke, within_mm);
        let line = fair.as_ref().and_then(|fair| line_of(&laid.shape.piece, fair, bench.reach()));
        let choices = line.and_then(|line| Choices::of_line(bench, &laid.shape.piece, &line)).map(|c| c.only(self.wanted));
        Some(Drawn { piece: piece.clone(), stroke, fair, choices, within_mm })
    }
}

impl Tool for Chalk {
    fn touch(&mut self, touch: &Touch, bench: &Bench<'_>, _: &mut Vec<Request>) {
        match touch {
            Touch::Press(at) => {
                self.drawn = None;
                self.drawing = bench.piece_at(*at).map(|laid| (laid.shape.piece.name().clone(), vec![*at - laid.by]));
            }
            Touch::Drag(moves) => {
                if let Some((piece, points)) = &mut self.drawing
                    && let Some(laid) = bench.laid(piece.as_str())
                {
                    points.extend(moves.iter().map(|p| *p - laid.by));
                }
            }
            Touch::Release(_) => {
                if let Some((piece, points)) = self.drawing.take()
                    && points.windows(2).map(|w| w[0].distance(w[1])).sum::<f64>() >= SHORT_MM
                    && let Some(laid) = bench.laid(piece.as_str())
                {
                    let stroke = fairing::landed(&laid.shape.piece, &points, bench.reach());
                    self.drawn = self.made(&piece, stroke, bench);
                }
            }
            Touch::Click(_) => self.drawn = None,
            Touch::Again => {}
        }
    }

    fn takes_drag(&self, at: Point, bench: &Bench<'_>) -> bool {
        bench.piece_at(at).is_some()
    }

    fn paint(&self, painter: &Painter, bench: &Bench<'_>) {
        let raw = |piece: &Name, points: &[Point], stroke| {
            if let Some(laid) = bench.laid(piece.as_str()) {
                painter.add(Shape::line(bench.line(laid, points), stroke));
            }
        };
        if let Some((piece, points)) = &self.drawing {
            raw(piece, points, Stroke::new(2.2, bench.p.chalk));
        }
        if let Some(drawn) = &self.drawn {
            if let Some(choices) = &drawn.choices {
                choices.paint(painter, bench);
            }
            raw(&drawn.piece, &drawn.stroke, Stroke::new(1.2, bench.p.ochre));
            if let Some((laid, fair)) = bench.laid(drawn.piece.as_str()).zip(drawn.fair.as_ref()) {
                for corner in &fair.corners {
                    ring(painter, bench.screen(laid, *corner), bench.p);
                }
            }
        }
    }

    fn beside(&mut self, ui: &mut Ui, bench: &Bench<'_>, requests: &mut Vec<Request>) {
        let Some(drawn) = &mut self.drawn else { return };
        let unit = bench.seen.unit;
        let told = drawn.fair.as_ref().map(|fair| {
            let plural = |n: usize, one: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") };
            let corners = if fair.corners.is_empty() { String::new() } else { format!(", {}", plural(fair.corners.len(), "corner")) };
            format!("{}{corners}; {} from the stroke at most.", plural(fair.count(), "curve"), unit.text(fair.off_mm))
        });
        let (typed, now) = (&mut self.typed, drawn.within_mm);
        let mut asked = None;
        let mut head = |ui: &mut Ui| {
            ui.horizontal(|ui| {
                widget::soft(ui, "Follow the hand within");
                let mut text = typed.clone().unwrap_or_else(|| unit.text(now));
                let response = ui.add(TextEdit::singleline(&mut text).desired_width(f32::INFINITY));
                if response.changed() {
                    *typed = Some(text.clone());
                }
                if response.lost_focus() {
                    asked = typed.take().and_then(|t| parse_length(&t, unit).ok());
                }
                response
                    .on_hover_text("Jitter is taken out first. A larger number makes a smoother line of fewer curves.")
                    .accessible_name("Follow the hand within");
            });
            if let Some(told) = &told {
                widget::soft(ui, told);
            }
        };
        let let_go = match &mut drawn.choices {
            Some(choices) => choices.beside(ui, bench, requests, head),
            None => {
                let at = drawn.stroke.last().zip(bench.laid(drawn.piece.as_str())).map(|(p, laid)| bench.screen(laid, *p));
                at.is_some_and(|at| {
                    super::beside::panel(ui, "choices", at, bench, |ui| {
                        head(ui);
                        widget::soft(ui, "No line can be made of it.");
                        ui.button("Let it go").clicked()
                    })
                })
            }
        };
        if let Some(mm) = asked {
            let (low, high) = fairing::TOLERANCES_MM;
            self.within_mm = Some(mm.clamp(low, high));
            if let Some(drawn) = self.drawn.take() {
                self.drawn = self.made(&drawn.piece, drawn.stroke, bench);
            }
            ui.ctx().request_repaint();
        } else if let_go {
            self.drawn = None;
        }
    }

    fn says(&self, _: Unit) -> String {
        match (&self.drawing, &self.drawn) {
            (Some(_), _) => "Let go where the line ends. On an edge it ends there.",
            (None, Some(_)) => "Say beside the line what it becomes. The thin line is the stroke as it was drawn. Esc lets it go.",
            (None, None) => "Draw on a piece with the button down: from edge to edge, inward from an edge, or round in itself.",
        }
        .into()
    }

    fn let_go(&mut self) -> bool {
        let had = !self.is_idle();
        (self.drawing, self.drawn, self.typed) = (None, None, None);
        had
    }
}
