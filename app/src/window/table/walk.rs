//! Walking a seam on the table: one piece rolls along the other, with what the notches of both say.

use std::sync::Arc;

use draft_core::alteration::Side;
use draft_core::seam_runs::Run;
use draft_core::walking::{Walking, Wanting, walks};
use draft_core::{Draft, Name, Unit, Work, WorkEntry};
use egui::{CornerRadius, Frame, Key, Margin, Modifiers, Painter, Pos2, Shape, Slider, Stroke, Ui, vec2};
use kurbo::{Point, Vec2};

use super::shape::{Distance, Laid, Lay};
use super::transform::Transform;
use crate::edit::Command;
use crate::window::theme::{self, Palette};
use crate::window::{Chosen, Request, Seen};

/// What plays of itself goes so fast, millimetres each second.
const SPEED: f64 = 60.0;
/// An arrow key goes so far, and with Shift so far; millimetres.
const STEP_MM: (f64, f64) = (1.0, 10.0);

/// A walk that is under way.
struct Walk {
    walking: Walking,
    /// The edge from which it was begun, and which of its seams it is.
    edge: Side,
    nth: usize,
    /// What it is walked on.
    draft: Arc<Draft>,
    at_mm: f64,
    playing: bool,
}

/// The walk, if one is under way.
#[derive(Default)]
pub struct Walks {
    now: Option<Walk>,
    /// Why a seam could not be walked.
    refused: Option<String>,
    /// It was begun just now: bring the seam into view.
    begun: bool,
}

impl Walks {
    /// Whether a seam is being walked.
    pub const fn is_on(&self) -> bool {
        self.now.is_some()
    }

    /// Ends the walk.
    pub fn stop(&mut self) {
        *self = Self::default();
    }

    /// The part of the table to bring into view, when it was begun just now.
    pub fn wants_to_show(&mut self, lay: &Lay) -> Option<kurbo::Rect> {
        let walk = self.now.as_ref().filter(|_| std::mem::replace(&mut self.begun, false))?;
        let of = |run: &Run| {
            let laid = lay.find(run.side.piece.as_str())?;
            let parts = laid.shape.piece.edge_parts(run.side.edge.as_str());
            parts.map(|p| kurbo::Shape::bounding_box(&p.path)).reduce(|a, b| a.union(b)).map(|b| b + laid.by)
        };
        let bounds = walk.walking.fixed().iter().filter_map(of).reduce(|a, b| a.union(b))?;
        let room = bounds.width().max(bounds.height()) * 0.3;
        Some(bounds.inflate(room, room))
    }

    /// After a build the same seam is walked on.
    pub fn look(&mut self, draft: &Arc<Draft>) {
        if let Some(walk) = self.now.as_mut().filter(|w| !Arc::ptr_eq(&w.draft, draft)) {
            match Walking::nth(draft, &walk.edge.piece, &walk.edge.edge, walk.nth) {
                Ok(walking) => (walk.walking, walk.draft) = (walking, Arc::clone(draft)),
                Err(_) => self.now = None,
            }
        }
    }

    /// Keys of the walk, before the table sees them.
    pub fn keys(&mut self, ui: &Ui) {
        let Some(walk) = self.now.as_mut().filter(|_| !ui.ctx().text_edit_focused()) else { return };
        let mut by = 0.0;
        ui.input_mut(|i| {
            for (modifiers, mm) in [(Modifiers::SHIFT, STEP_MM.1), (Modifiers::NONE, STEP_MM.0)] {
                by += mm * i.count_and_consume_key(modifiers, Key::ArrowRight) as f64;
                by -= mm * i.count_and_consume_key(modifiers, Key::ArrowLeft) as f64;
            }
        });
        if by != 0.0 {
            walk.go(walk.at_mm + by);
            walk.playing = false;
        }
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Space)) {
            walk.play();
        }
    }

    /// What is said of it.
    pub fn readout(&self, unit: Unit) -> Option<String> {
        let Some(walk) = &self.now else { return self.refused.clone() };
        let w = &walk.walking;
        let [fixed, rolled] = w.lengths_mm();
        let pieces = |runs: &[Run]| {
            let mut names: Vec<&str> = runs.iter().map(|r| r.side.piece.as_str()).collect();
            names.dedup();
            names.join(" and ")
        };
        let over = |mm: f64| match mm {
            mm if mm.abs() < 0.05 => "both sides agree".to_owned(),
            mm if mm > 0.0 => format!("{} {} {} longer", pieces(w.fixed()), is(w.fixed()), unit.text(mm)),
            mm => format!("{} {} {} longer", pieces(w.rolled()), is(w.rolled()), unit.text(-mm)),
        };
        let so_far = over(w.difference_mm(walk.at_mm));
        let end = if walk.at_mm >= w.end_mm() - 1e-6 {
            let meant =
                if w.ease_mm().abs() > 0.05 { format!(", {} of it meant as ease", unit.text(w.ease_mm().abs())) } else { String::new() };
            format!("At the end {so_far}{meant}.")
        } else {
            let passed = w.matched().iter().filter(|m| m.fixed_mm.max(m.rolled_mm) <= walk.at_mm + 1e-6).count();
            if passed == 0 { "Nothing that matches passed yet.".to_owned() } else { format!("Up to match {passed} {so_far}.") }
        };
        let sides = |runs: &[Run]| runs.iter().map(|r| format!("{} / {}", r.side.piece, r.side.edge)).collect::<Vec<_>>().join(" + ");
        let (walked, a, b) = (unit.text(walk.at_mm), sides(w.fixed()), sides(w.rolled()));
        Some(format!("Walked {walked} of {a} {} and {b} {}. {end}", unit.text(fixed), unit.text(rolled)))
    }

    /// The button that begins it, shown where the selected edge can be walked, and its key.
    pub fn tool(&mut self, ui: &mut Ui, seen: &Seen<'_>) {
        let Chosen::Edge(piece, edge) = seen.chosen else { return };
        if self.now.is_some() || walks(&seen.built.draft, piece, edge) == 0 {
            return;
        }
        let key = !ui.ctx().text_edit_focused() && ui.input(|i| i.key_pressed(Key::W) && !i.modifiers.any());
        if ui.button("Walk the seam").on_hover_text("Roll the piece that is sewn here along this edge   (W)").clicked() || key {
            self.begin(Side { piece: piece.clone(), edge: edge.clone() }, 0, seen);
            ui.ctx().request_repaint();
        }
    }

    fn begin(&mut self, edge: Side, nth: usize, seen: &Seen<'_>) {
        match Walking::nth(&seen.built.draft, &edge.piece, &edge.edge, nth) {
            Ok(walking) => {
                self.now = Some(Walk { walking, edge, nth, draft: Arc::clone(&seen.built.draft), at_mm: 0.0, playing: false });
                (self.begun, self.refused) = (true, None);
            }
            Err(error) => self.refused = Some(format!("{}: {}. {}", error.place, error.problem, error.remedy)),
        }
    }

    /// The strip with which one walks.
    pub fn strip(&mut self, ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
        let Some(walk) = &mut self.now else { return };
        let p = Palette::of(ui);
        let end = walk.walking.end_mm();
        if walk.playing {
            let dt = f64::from(ui.input(|i| i.stable_dt)).min(0.1);
            walk.go(walk.at_mm + SPEED * dt);
            walk.playing = walk.at_mm < end;
            ui.ctx().request_repaint();
        }
        let mut stop = ui.input(|i| i.key_pressed(Key::Escape));
        let mut next = false;
        let frame = Frame::new()
            .fill(p.panel)
            .stroke(Stroke::new(1.0, p.chalk))
            .corner_radius(CornerRadius::same(6))
            .inner_margin(Margin::symmetric(10, 2));
        frame.show(ui, |ui| {
            ui.spacing_mut().slider_width = (ui.available_width() - 540.0).clamp(90.0, 360.0);
            let mut at = walk.at_mm;
            let slider = ui.add(Slider::new(&mut at, 0.0..=end).show_value(false));
            slider.widget_info(|| {
                let mut info = egui::WidgetInfo::slider(true, at, "Walked");
                info.current_text_value = Some(seen.unit.text(at));
                info
            });
            if slider.on_hover_text("Arrow keys go on by 1 mm, with Shift by 10 mm").changed() {
                walk.go(at);
                walk.playing = false;
            }
            let (word, tip) = if walk.playing { ("Hold", "Stand still   (Space)") } else { ("Play", "Walk of itself   (Space)") };
            if ui.button(word).on_hover_text(tip).clicked() {
                walk.play();
            }
            let key = ui.input(|i| i.key_pressed(Key::H) && !i.modifiers.any()) && !ui.ctx().text_edit_focused();
            let tip = "A notch on both sides, where they touch now   (H)";
            let mut marked: Vec<Wanting> = Vec::new();
            if ui.button("Notch here").on_hover_text(tip).clicked() || key {
                marked.push(walk.walking.here(walk.at_mm));
            }
            let wanting = walk.walking.wanting();
            if !wanting.is_empty() {
                let word = if wanting.len() == 1 {
                    "Mark the missing notch".to_owned()
                } else {
                    format!("Mark {} missing notches", wanting.len())
                };
                if ui.button(word).on_hover_text("Where a notch has no match on the other side, or the seam has none").clicked() {
                    marked.extend(wanting);
                }
            }
            if walks(&seen.built.draft, &walk.edge.piece, &walk.edge.edge) > 1 {
                let key = ui.input(|i| i.key_pressed(Key::W) && !i.modifiers.any()) && !ui.ctx().text_edit_focused();
                next = ui.button("Next seam").on_hover_text("Walk what else is sewn to this edge   (W)").clicked() || key;
            }
            stop |= ui.button("Stop").on_hover_text("End the walk   (Esc)").clicked();
            let marks: Vec<_> = marked.iter().flat_map(|w| walk.walking.marks(&seen.built.draft, w)).collect();
            if !marks.is_empty() {
                let mut works = seen.garment.works.clone();
                works.extend(marks.into_iter().map(|mark| WorkEntry::from(Work::Alter(Box::new(mark)))));
                let wearer = Box::new(seen.garment.wearer.clone());
                requests.push(Request::Edit(Command::SetWorks { works, wearer, label: "mark notches" }));
            }
        });
        let (edge, nth) = (walk.edge.clone(), walk.nth + 1);
        if stop {
            self.stop();
            ui.ctx().request_repaint();
        } else if next {
            self.begin(edge, nth, seen);
            ui.ctx().request_repaint();
        }
    }

    /// The rolled piece where it lies now, where both touch, and where notches meet or are missing.
    pub fn paint(&self, painter: &Painter, lay: &Lay, transform: &Transform, p: &Palette) {
        let Some(walk) = &self.now else { return };
        let w = &walk.walking;
        let step = w.step(walk.at_mm);
        let side = |run: &Run| lay.find(run.side.piece.as_str()).map(|laid| (laid, run.side.edge.clone()));
        let (Some((fixed, _)), Some((rolled, edge))) = (side(&w.fixed()[step.edges[0]]), side(&w.rolled()[step.edges[1]])) else {
            return;
        };
        let on = |laid: &Laid, at: Point| transform.screen_from_cloth(at + laid.by);
        let carried = |at: Point| on(fixed, step.map * at);
        let line = |points: &[Point], f: &dyn Fn(Point) -> Pos2| points.iter().map(|q| f(*q)).collect::<Vec<Pos2>>();

        painter.add(rolled.shape.cloth(Distance::at(transform.scale())).shape(carried, p.chalk_wash.gamma_multiply(0.6)));
        let mut outline = line(&rolled.shape.outline, &carried);
        outline.extend(outline.first().copied());
        painter.add(Shape::line(outline, Stroke::new(1.6, p.chalk)));
        let trace = |laid: &Laid, edge: &Name, f: &dyn Fn(Point) -> Pos2| {
            for stretch in &laid.shape.stretches {
                if laid.shape.piece.edges().get(stretch.edge).is_some_and(|e| e.name == *edge) {
                    painter.add(Shape::line(line(&stretch.points, f), Stroke::new(3.0, p.chalk)));
                }
            }
        };
        for (laid, edge) in w.fixed().iter().filter_map(side) {
            trace(laid, &edge, &|at| on(laid, at));
        }
        trace(rolled, &edge, &carried);
        for notch in rolled.shape.piece.notches().iter().filter(|n| n.edge == edge) {
            if let Some((at, along)) = rolled.shape.piece.along_edge(edge.as_str(), notch.from_start_mm) {
                let across = Vec2::new(along.y, -along.x) * 7.0;
                painter.line_segment([carried(at - across), carried(at + across)], Stroke::new(2.4, p.ink));
            }
        }
        for wanting in w.wanting() {
            for (is_rolled, mm) in [(false, wanting.fixed_mm), (true, wanting.rolled_mm)] {
                let Some(mm) = mm else { continue };
                let (nth, at) = w.on(is_rolled, mm);
                let shown = if is_rolled {
                    // Those on other pieces are seen when these roll.
                    (nth == step.edges[1]).then(|| carried(at))
                } else {
                    side(&w.fixed()[nth]).map(|(laid, _)| on(laid, at))
                };
                if let Some(at) = shown {
                    painter.circle(at, 6.0, p.raised, Stroke::new(2.0, p.madder));
                    painter.text(at + vec2(9.0, -8.0), egui::Align2::LEFT_BOTTOM, "a notch belongs here", theme::small(), p.madder);
                }
            }
        }
        painter.circle(on(fixed, step.at), 5.0, p.chalk, Stroke::new(1.6, p.ink));
    }
}

/// The verb that goes with the pieces of a side.
fn is(runs: &[Run]) -> &'static str {
    if runs.windows(2).any(|w| w[0].side.piece != w[1].side.piece) { "are" } else { "is" }
}

impl Walk {
    fn go(&mut self, to_mm: f64) {
        self.at_mm = to_mm.clamp(0.0, self.walking.end_mm());
    }

    /// Plays on, from the beginning where it has come to its end.
    fn play(&mut self) {
        self.playing = !self.playing;
        if self.playing && self.at_mm >= self.walking.end_mm() - 1e-6 {
            self.at_mm = 0.0;
        }
    }
}
