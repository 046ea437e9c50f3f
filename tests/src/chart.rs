//! Small charts as SVG: points, lines and stepped distributions over two axes. No meaning by colour alone: marks differ
//! in form and lines in their dashes.

use std::fmt::Write as _;

const WIDTH: f64 = 460.0;
const HEIGHT: f64 = 340.0;
const LEFT: f64 = 58.0;
const RIGHT: f64 = 14.0;
const TOP: f64 = 66.0;
const BOTTOM: f64 = 46.0;
const INKS: [&str; 3] = ["#1f4e79", "#b04a16", "#3f6b35"];
const DASHES: [&str; 3] = ["none", "7 3", "2 3"];

/// A number line.
#[derive(Clone, Debug)]
pub struct Axis {
    /// What it shows, with its unit.
    pub name: String,
    /// Least value shown.
    pub from: f64,
    /// Greatest value shown.
    pub to: f64,
    /// Between two ticks.
    pub tick: f64,
}

impl Axis {
    /// An axis with ticks at whole multiples of `tick`.
    pub fn new(name: &str, from: f64, to: f64, tick: f64) -> Self {
        Self { name: name.to_owned(), from, to, tick }
    }

    fn ticks(&self) -> impl Iterator<Item = f64> + use<> {
        let (first, last, tick) = ((self.from / self.tick).ceil() as i64, (self.to / self.tick).floor() as i64, self.tick);
        (first..=last).map(move |i| i as f64 * tick)
    }
}

#[derive(Clone, Debug)]
enum Drawn {
    Dots(Vec<(f64, f64)>),
    Line(Vec<(f64, f64)>),
    Cross(f64, f64),
}

/// One pair of axes with what is drawn over them.
#[derive(Clone, Debug)]
pub struct Chart {
    title: String,
    x: Axis,
    y: Axis,
    drawn: Vec<(String, Drawn)>,
}

impl Chart {
    /// An empty chart.
    pub fn new(title: &str, x: Axis, y: Axis) -> Self {
        Self { title: title.to_owned(), x, y, drawn: Vec::new() }
    }

    /// Many points.
    #[must_use]
    pub fn dots(mut self, name: &str, points: Vec<(f64, f64)>) -> Self {
        self.drawn.push((name.to_owned(), Drawn::Dots(points)));
        self
    }

    /// A line through points.
    #[must_use]
    pub fn line(mut self, name: &str, points: Vec<(f64, f64)>) -> Self {
        self.drawn.push((name.to_owned(), Drawn::Line(points)));
        self
    }

    /// One point that stands out.
    #[must_use]
    pub fn cross(mut self, name: &str, x: f64, y: f64) -> Self {
        self.drawn.push((name.to_owned(), Drawn::Cross(x, y)));
        self
    }

    /// Share of the values, in per cent, in each class of this width along the first axis.
    #[must_use]
    pub fn distribution(self, name: &str, values: &[f64], class: f64) -> Self {
        let (first, last) = ((self.x.from / class).floor() as i64, (self.x.to / class).ceil() as i64);
        let mut points = Vec::new();
        for i in first..last {
            let (low, high) = (i as f64 * class, (i + 1) as f64 * class);
            let share = values.iter().filter(|v| (low..high).contains(*v)).count() as f64 / values.len().max(1) as f64 * 100.0;
            points.extend([(low, share), (high, share)]);
        }
        self.line(name, points)
    }

    fn place(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let along = |v: f64, axis: &Axis| (v - axis.from) / (axis.to - axis.from);
        let (w, h) = (WIDTH - LEFT - RIGHT, HEIGHT - TOP - BOTTOM);
        (LEFT + along(x, &self.x) * w, HEIGHT - BOTTOM - along(y, &self.y) * h)
    }

    fn shows(&self, (x, y): (f64, f64)) -> bool {
        (self.x.from..=self.x.to).contains(&x) && (self.y.from..=self.y.to).contains(&y)
    }

    fn draw(&self, out: &mut String, shift: f64) {
        let (right, low) = (WIDTH - RIGHT, HEIGHT - BOTTOM);
        write!(
            out,
            "<g transform=\"translate({shift} 0)\">\n<text x=\"{LEFT}\" y=\"18\" font-weight=\"bold\">{}</text>\n",
            text(&self.title)
        )
        .unwrap();
        for v in self.x.ticks() {
            let (x, _) = self.place((v, self.y.from));
            writeln!(
                out,
                "<path d=\"M{x:.1} {TOP}V{low}\" stroke=\"#ddd\"/><text x=\"{x:.1}\" y=\"{}\" text-anchor=\"middle\">{v}</text>",
                low + 15.0
            )
            .unwrap();
        }
        for v in self.y.ticks() {
            let (_, y) = self.place((self.x.from, v));
            writeln!(
                out,
                "<path d=\"M{LEFT} {y:.1}H{right}\" stroke=\"#ddd\"/><text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{v}</text>",
                LEFT - 6.0,
                y + 4.0
            )
            .unwrap();
        }
        writeln!(out, "<path d=\"M{LEFT} {TOP}V{low}H{right}\" fill=\"none\" stroke=\"#444\"/>").unwrap();
        let middle = (LEFT + right) / 2.0;
        writeln!(out, "<text x=\"{middle}\" y=\"{}\" text-anchor=\"middle\">{}</text>", HEIGHT - 12.0, text(&self.x.name)).unwrap();
        writeln!(
            out,
            "<text transform=\"translate(15 {}) rotate(-90)\" text-anchor=\"middle\">{}</text>",
            (TOP + low) / 2.0,
            text(&self.y.name)
        )
        .unwrap();
        let mut lines = 0;
        for (i, (name, drawn)) in self.drawn.iter().enumerate() {
            let ink = INKS[i % INKS.len()];
            // The key, three to a row.
            let (kx, ky) = (LEFT + 132.0 * (i % 3) as f64, 34.0 + 15.0 * (i / 3) as f64);
            let key = match drawn {
                Drawn::Dots(points) => {
                    let d: String = points
                        .iter()
                        .filter(|p| self.shows(**p))
                        .map(|p| self.place(*p))
                        .fold(String::new(), |d, (x, y)| format!("{d}M{x:.1} {y:.1}h0"));
                    writeln!(out, "<path d=\"{d}\" stroke=\"{ink}\" stroke-width=\"2\" stroke-linecap=\"round\" stroke-opacity=\"0.45\"/>")
                        .unwrap();
                    format!("<path d=\"M{} {}h0\" stroke=\"{ink}\" stroke-width=\"5\" stroke-linecap=\"round\"/>", kx + 9.0, ky - 4.0)
                }
                Drawn::Line(points) => {
                    let dash = DASHES[lines % DASHES.len()];
                    lines += 1;
                    let d: String = points
                        .iter()
                        .map(|p| self.place((p.0.clamp(self.x.from, self.x.to), p.1.clamp(self.y.from, self.y.to))))
                        .enumerate()
                        .fold(String::new(), |d, (i, (x, y))| format!("{d}{}{x:.1} {y:.1}", if i == 0 { "M" } else { "L" }));
                    let style = format!("fill=\"none\" stroke=\"{ink}\" stroke-width=\"1.8\" stroke-dasharray=\"{dash}\"");
                    writeln!(out, "<path d=\"{d}\" {style}/>").unwrap();
                    format!("<path d=\"M{kx} {}h19\" {style}/>", ky - 4.0)
                }
                Drawn::Cross(x, y) => {
                    let (x, y) = self.place((*x, *y));
                    let cross = |x: f64, y: f64| {
                        format!(
                            "<path d=\"M{:.1} {y:.1}h14m-7 -7v14\" stroke=\"#fff\" stroke-width=\"5\"/><path d=\"M{:.1} {y:.1}h14m-7 -7v14\" stroke=\"#000\" stroke-width=\"2\"/>",
                            x - 7.0,
                            x - 7.0
                        )
                    };
                    writeln!(out, "{}", cross(x, y)).unwrap();
                    cross(kx + 9.0, ky - 4.0)
                }
            };
            writeln!(out, "{key}<text x=\"{}\" y=\"{ky}\">{}</text>", kx + 23.0, text(name)).unwrap();
        }
        out.push_str("</g>\n");
    }
}

/// Text that may stand in SVG.
pub fn text(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// Charts side by side as one SVG.
pub fn row(charts: &[Chart]) -> String {
    let wide = WIDTH * charts.len() as f64;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}\" height=\"{HEIGHT}\" viewBox=\"0 0 {wide} {HEIGHT}\" font-family=\"sans-serif\" font-size=\"11\">\n<rect width=\"{wide}\" height=\"{HEIGHT}\" fill=\"#fff\"/>\n"
    );
    for (i, chart) in charts.iter().enumerate() {
        chart.draw(&mut out, WIDTH * i as f64);
    }
    out.push_str("</svg>\n");
    out
}
