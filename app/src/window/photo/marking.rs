//! Marking the corners of the sheet of paper in a photo.

use std::sync::Arc;

use draft_core::photo::Photo;
use egui::epaint::{Mesh, Vertex};
use egui::{Align2, Color32, CursorIcon, EventFilter, Key, Pos2, Rect, Role, Sense, Shape, Stroke, TextureHandle, TextureOptions, Ui};
use egui::{WidgetInfo, pos2, vec2};
use kurbo::Point;

use super::Read;
use crate::edit::Command;
use crate::window::table::Pane;
use crate::window::theme::{self, Palette};
use crate::window::{Request, Seen, widget};

/// What each mark stands on.
const CORNERS: [&str; 4] = ["upper left", "upper right", "lower right", "lower left"];
/// How far from a mark it is still taken hold of, screen points.
const HOLD: f32 = 14.0;
/// A mark is a ring of this radius, so that the corner is seen within it.
const RING: f32 = 9.0;

/// The marking of one photo.
pub struct Marking {
    of: usize,
    pane: Pane,
    texture: Option<TextureHandle>,
    /// The corners while one of them is being dragged.
    dragged: Option<[(f64, f64); 4]>,
}

impl Marking {
    /// The marking of the photo at a place in the list.
    pub fn new(of: usize) -> Self {
        Self { of, pane: Pane::of_a_picture(), texture: None, dragged: None }
    }

    /// Which photo.
    pub const fn of(&self) -> usize {
        self.of
    }

    /// The photo with its four marks.
    pub fn page(&mut self, ui: &mut Ui, seen: &Seen<'_>, photo: &Photo, read: &Read, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        let picture = &read.picture;
        let (width, height) = (f64::from(picture.pixels.width()), f64::from(picture.pixels.height()));
        let load = || ui.ctx().load_texture("photo to mark", Arc::clone(&read.on_screen), TextureOptions::LINEAR);
        let texture = self.texture.get_or_insert_with(load);
        let bounds = kurbo::Rect::new(0.0, 0.0, width, height);
        let shown = self.pane.begin(ui, "photo to mark", "Photo with the four corners of its sheet", seen.unit, Some(bounds));
        let transform = *self.pane.transform();
        let mut mesh = Mesh::with_texture(texture.id());
        for (x, y) in [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)] {
            let pos = transform.screen_from_cloth(Point::new(x * width, y * height));
            mesh.vertices.push(Vertex { pos, uv: pos2(x as f32, y as f32), color: Color32::WHITE });
        }
        mesh.indices.extend([0, 1, 2, 0, 2, 3]);
        shown.painter.add(Shape::mesh(mesh));

        let mut corners = self.dragged.unwrap_or(photo.corners);
        let mut finished = false;
        let mut focus = false;
        for (i, name) in CORNERS.iter().enumerate() {
            let at = transform.screen_from_cloth(corners[i].into());
            let id = widget::steady(("corner of a sheet", self.of, i));
            let hold = Rect::from_center_size(at, vec2(2.0 * HOLD, 2.0 * HOLD));
            let response = ui.interact(hold.intersect(transform.view()), id, Sense::click_and_drag());
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Mark {} on the {name} corner", i + 1)));
            if response.hovered() {
                ui.ctx().set_cursor_icon(CursorIcon::Grab);
            }
            if response.clicked() {
                response.request_focus();
            }
            let mut move_by = |by: egui::Vec2| {
                let to = transform.cloth_from_screen(at + by);
                corners[i] = (to.x.clamp(0.0, width), to.y.clamp(0.0, height));
            };
            if response.dragged() {
                move_by(response.drag_delta());
                self.dragged = Some(corners);
            }
            if response.drag_stopped() {
                finished = true;
            }
            if response.has_focus() {
                focus = true;
                let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
                ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
                let (x, y) = arrows(ui);
                if x != 0.0 || y != 0.0 {
                    corners[i] = ((corners[i].0 + x).clamp(0.0, width), (corners[i].1 + y).clamp(0.0, height));
                    finished = true;
                }
            }
            mark(&shown.painter, at, i, response.has_focus() || response.dragged(), p);
        }
        self.pane.focus_inside = focus;
        let points: Vec<Pos2> = corners.iter().map(|c| transform.screen_from_cloth((*c).into())).collect();
        shown.painter.add(Shape::closed_line(points, Stroke::new(1.4, p.chalk)));
        let mut photos = seen.garment.photos.clone();
        if let Some(photo) = photos.get_mut(self.of)
            && (photo.corners != corners || finished)
        {
            photo.corners = corners;
            // The marks belong to the picture that is seen here.
            photo.checksum.clone_from(&picture.checksum);
            let command = Command::SetPhotos(photos, "mark a corner of a sheet");
            requests.push(if finished { Request::Edit(command) } else { Request::Typing { command, preview: true } });
        }
        if finished {
            self.dragged = None;
        }
        self.pane.end(ui, shown);
    }
}

/// By how many pixels the arrow keys move a mark.
fn arrows(ui: &Ui) -> (f64, f64) {
    ui.input(|i| {
        let step = if i.modifiers.shift { 10.0 } else { 1.0 };
        let along = |more, less| f64::from(i32::from(i.key_pressed(more)) - i32::from(i.key_pressed(less))) * step;
        (along(Key::ArrowRight, Key::ArrowLeft), along(Key::ArrowDown, Key::ArrowUp))
    })
}

fn mark(painter: &egui::Painter, at: Pos2, i: usize, is_held: bool, p: &Palette) {
    let width = if is_held { 3.0 } else { 1.8 };
    painter.circle_stroke(at, RING + 1.5, Stroke::new(width + 2.0, p.raised));
    painter.circle_stroke(at, RING, Stroke::new(width, p.chalk));
    for by in [vec2(1.0, 0.0), vec2(0.0, 1.0)] {
        painter.line_segment([at - by * 3.0, at + by * 3.0], Stroke::new(1.2, p.chalk));
    }
    // The number stands outside the sheet.
    let out = [vec2(-1.0, -1.0), vec2(1.0, -1.0), vec2(1.0, 1.0), vec2(-1.0, 1.0)][i.min(3)];
    let centre = at + out * (RING + 11.0);
    painter.circle(centre, 9.0, p.raised, Stroke::new(1.0, p.chalk));
    painter.text(centre, Align2::CENTER_CENTER, (i + 1).to_string(), theme::strong_body(), p.ink);
}
