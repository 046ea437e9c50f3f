//! From cloth to screen and back.

use egui::{Pos2, Rect, pos2};
use kurbo::{Point, Vec2};

/// Least and most magnification, screen points for each millimetre.
const SCALE: (f64, f64) = (0.015, 24.0);

/// Where the table lies under the window: a magnification and the cloth point in the middle of the view.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transform {
    /// Screen points for each millimetre.
    scale: f64,
    /// The cloth point in the middle of the view, millimetres.
    middle: Point,
    /// The view, in screen points.
    view: Rect,
}

impl Default for Transform {
    fn default() -> Self {
        Self { scale: 0.5, middle: Point::ZERO, view: Rect::from_min_size(Pos2::ZERO, egui::vec2(1.0, 1.0)) }
    }
}

impl Transform {
    /// Screen points for each millimetre.
    pub const fn scale(&self) -> f64 {
        self.scale
    }

    /// The view, in screen points.
    pub const fn view(&self) -> Rect {
        self.view
    }

    /// The view has another size; its middle stays over the same cloth.
    pub fn set_view(&mut self, view: Rect) {
        self.view = view;
    }

    /// Where a cloth point is on the screen.
    pub fn screen_from_cloth(&self, p: Point) -> Pos2 {
        let c = self.view.center();
        pos2((f64::from(c.x) + (p.x - self.middle.x) * self.scale) as f32, (f64::from(c.y) + (p.y - self.middle.y) * self.scale) as f32)
    }

    /// Which cloth point is under a screen point.
    pub fn cloth_from_screen(&self, s: Pos2) -> Point {
        let c = self.view.center();
        self.middle + Vec2::new(f64::from(s.x - c.x), f64::from(s.y - c.y)) / self.scale
    }

    /// A length on the screen, in millimetres of cloth.
    pub fn cloth_length(&self, screen: f32) -> f64 {
        f64::from(screen) / self.scale
    }

    /// The part of the table in view.
    pub fn cloth_in_view(&self) -> kurbo::Rect {
        kurbo::Rect::from_points(self.cloth_from_screen(self.view.min), self.cloth_from_screen(self.view.max))
    }

    /// Moves the table with the hand, by screen points.
    pub fn pan(&mut self, by: egui::Vec2) {
        let to = self.middle - Vec2::new(f64::from(by.x), f64::from(by.y)) / self.scale;
        if to.is_finite() {
            self.middle = to;
        }
    }

    /// Magnifies, and keeps the cloth under `at` where it is.
    pub fn zoom(&mut self, at: Pos2, factor: f64) {
        if !factor.is_finite() || factor <= 0.0 {
            return;
        }
        let fixed = self.cloth_from_screen(at);
        self.scale = (self.scale * factor).clamp(SCALE.0, SCALE.1);
        let moved = self.cloth_from_screen(at);
        self.middle += fixed - moved;
    }

    /// Magnifies to so many screen points for each millimetre; the middle of the view stays where it is.
    pub fn set_scale(&mut self, scale: f64) {
        if scale.is_finite() {
            self.scale = scale.clamp(SCALE.0, SCALE.1);
        }
    }

    /// Shows all of a rectangle of cloth, with a margin round it and so much of the view at the left kept free, in screen
    /// points.
    pub fn fit(&mut self, cloth: kurbo::Rect, margin: f32, left: f32) {
        let mut room = self.view.shrink(margin);
        room.min.x += left;
        if !cloth.is_finite() || room.width() <= 0.0 || room.height() <= 0.0 {
            return;
        }
        let across = f64::from(room.width()) / cloth.width().max(1.0);
        let down = f64::from(room.height()) / cloth.height().max(1.0);
        self.scale = across.min(down).clamp(SCALE.0, SCALE.1);
        self.middle = cloth.center() - Vec2::new(f64::from(left) / 2.0 / self.scale, 0.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn transform() -> Transform {
        let mut t = Transform::default();
        t.set_view(Rect::from_min_max(pos2(100.0, 50.0), pos2(900.0, 650.0)));
        t
    }

    #[test]
    fn there_and_back() {
        let mut t = transform();
        t.pan(egui::vec2(37.0, -12.0));
        t.zoom(pos2(300.0, 200.0), 1.7);
        for p in [Point::ZERO, Point::new(1234.5, -678.9)] {
            assert!(t.cloth_from_screen(t.screen_from_cloth(p)).distance(p) < 1e-3);
        }
    }

    #[test]
    fn zoom_keeps_what_is_under_the_pointer() {
        let mut t = transform();
        let at = pos2(777.0, 111.0);
        let before = t.cloth_from_screen(at);
        for factor in [1.1, 0.4, 30.0, 1e-9, 1e9, f64::NAN] {
            t.zoom(at, factor);
            assert!(t.cloth_from_screen(at).distance(before) < 1e-6, "after {factor}");
        }
    }

    #[test]
    fn fit_shows_all_of_it() {
        let mut t = transform();
        let cloth = kurbo::Rect::new(-50.0, 10.0, 2950.0, 710.0);
        t.fit(cloth, 40.0, 0.0);
        let room = t.view().shrink(39.9);
        for p in [Point::new(cloth.x0, cloth.y0), Point::new(cloth.x1, cloth.y1)] {
            assert!(room.contains(t.screen_from_cloth(p)));
        }
        t.fit(kurbo::Rect::new(f64::NAN, 0.0, 1.0, 1.0), 40.0, 0.0);
        assert!(t.scale().is_finite());
    }

    #[test]
    fn pan_follows_the_hand() {
        let mut t = transform();
        let p = t.cloth_from_screen(pos2(400.0, 300.0));
        t.pan(egui::vec2(25.0, 5.0));
        let s = t.screen_from_cloth(p);
        assert!((s - pos2(425.0, 305.0)).length() < 1e-3);
    }
}
