//! Areas as triangles, for filling on the screen.

use egui::epaint::Mesh;
use egui::{Color32, Pos2, Shape};
use kurbo::Point;
use lyon_tessellation::math::point;
use lyon_tessellation::path::Path;
use lyon_tessellation::{BuffersBuilder, FillOptions, FillRule, FillTessellator, FillVertex, VertexBuffers};

/// A filled area as triangles, in the piece's own coordinates.
#[derive(Clone, Debug, Default)]
pub struct Fill {
    /// Corners.
    pub points: Vec<Point>,
    /// Triangles, three corners each.
    pub triangles: Vec<u32>,
}

impl Fill {
    /// The area on the screen, in one colour.
    pub fn shape(&self, place: impl Fn(Point) -> Pos2, color: Color32) -> Shape {
        let mut mesh = Mesh::default();
        mesh.vertices.reserve(self.points.len());
        for point in &self.points {
            mesh.colored_vertex(place(*point), color);
        }
        mesh.indices.clone_from(&self.triangles);
        Shape::mesh(mesh)
    }
}

/// Fills closed runs of points; what any of them goes round is inside.
pub fn fill(runs: &[Vec<Point>]) -> Fill {
    let mut builder = Path::builder();
    for run in runs.iter().filter(|r| r.len() > 2) {
        let mut points = run.iter().map(|p| point(p.x as f32, p.y as f32));
        if let Some(first) = points.next() {
            builder.begin(first);
            for p in points {
                builder.line_to(p);
            }
            builder.end(true);
        }
    }
    let mut buffers: VertexBuffers<Point, u32> = VertexBuffers::new();
    let made = FillTessellator::new().tessellate_path(
        &builder.build(),
        &FillOptions::default().with_fill_rule(FillRule::NonZero).with_tolerance(0.05),
        &mut BuffersBuilder::new(&mut buffers, |v: FillVertex| Point::new(f64::from(v.position().x), f64::from(v.position().y))),
    );
    // An outline that can't be filled is still drawn as a line.
    if made.is_err() {
        return Fill::default();
    }
    Fill { points: buffers.vertices, triangles: buffers.indices }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_filled_square_has_its_area() {
        let square = vec![Point::new(0.0, 0.0), Point::new(30.0, 0.0), Point::new(30.0, 20.0), Point::new(0.0, 20.0)];
        let f = fill(&[square]);
        let area: f64 = f
            .triangles
            .chunks(3)
            .map(|t| {
                let [a, b, c] = [0, 1, 2].map(|i| f.points[t[i] as usize]);
                ((b - a).cross(c - a) / 2.0).abs()
            })
            .sum();
        assert!((area - 600.0).abs() < 1e-6, "{area}");
    }
}
