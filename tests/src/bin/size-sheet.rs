//! Writes `tests/reports/sizes.svg`, blocks of very different people side by side at one scale, and `sizes.md` with what a
//! drafter would measure on them.
//!
//! `cargo run --release -p tests --bin size-sheet`
#![allow(clippy::unwrap_used, reason = "a tool of ours on files of ours")]

use std::fmt::Write as _;
use std::path::Path;

use draft_core::allowance::dart_cap;
use draft_core::{Built, Measurement, Piece, Survey};
use kurbo::{Affine, BezPath, Line, Point, Rect, Shape, Vec2};
use tests::bodies::{Person, complete, garment};
use tests::chart::text;

/// Millimetres of the drawing for one of cloth.
const SCALE: f64 = 0.2;
const GAP_MM: f64 = 60.0;
const COLUMNS: [(&str, f64); 4] = [("front", 620.0), ("back", 380.0), ("sleeve", 560.0), ("gore", 800.0)];
/// What was seen on the sheet, written by hand.
const FINDINGS: &str = include_str!("../../reports/findings.md");

fn of(person: &Person, which: Measurement) -> f64 {
    person.values.iter().find(|v| v.0 == which).unwrap().1
}

/// The people shown: by their rank in bust girth, and the tallest and shortest.
fn shown() -> Vec<(String, Person)> {
    let everyone = complete();
    let mut out = Vec::new();
    for (survey, word) in [(Survey::Women, "woman"), (Survey::Men, "man")] {
        let mut people: Vec<&Person> = everyone.iter().filter(|p| p.survey == survey).collect();
        let last = people.len() - 1;
        people.sort_by(|a, b| of(a, Measurement::BustGirth).total_cmp(&of(b, Measurement::BustGirth)));
        for (size, at) in [("small", last / 50), ("median", last / 2), ("large", last * 19 / 20), ("very large", last)] {
            out.push((format!("{size} {word}"), people[at].clone()));
        }
        people.sort_by(|a, b| of(a, Measurement::Stature).total_cmp(&of(b, Measurement::Stature)));
        out.push((format!("tall {word}"), people[last].clone()));
        out.push((format!("short {word}"), people[0].clone()));
    }
    out
}

/// Pieces of one column, laid beside each other.
fn column<'a>(built: &'a Built, name: &str) -> Vec<&'a Piece> {
    let names = if name == "front" || name == "back" { vec![name.to_owned(), format!("side {name}")] } else { vec![name.to_owned()] };
    names.iter().filter_map(|n| built.draft.piece(n)).collect()
}

fn drawn(out: &mut String, piece: &Piece, place: Affine) {
    let mut path = |d: BezPath, style: &str| writeln!(out, "<path d=\"{}\" {style}/>", rounded(&(place * d))).unwrap();
    path(piece.outline(), "fill=\"#f4efe6\" stroke=\"#222\" stroke-width=\"0.5\"");
    for cap in piece.darts().iter().filter_map(|d| dart_cap(piece, d)) {
        path(cap, "fill=\"none\" stroke=\"#222\" stroke-width=\"0.5\"");
    }
    for line in piece.lines() {
        path(line.path.clone(), "fill=\"none\" stroke=\"#888\" stroke-width=\"0.3\" stroke-dasharray=\"2 1\"");
    }
    let grain = piece.grain();
    path(draft_core::geometry::line_path(grain.p0, grain.p1), "fill=\"none\" stroke=\"#888\" stroke-width=\"0.4\"");
    for point in piece.points().iter().filter(|p| p.marked) {
        path(kurbo::Circle::new(point.at, 4.0).to_path(0.1), "fill=\"#1f4e79\"");
    }
}

/// A path with two decimals, so that the file stays small.
fn rounded(path: &BezPath) -> String {
    let round = |p: Point| Point::new((p.x * 100.0).round() / 100.0, (p.y * 100.0).round() / 100.0);
    let mut out = path.clone();
    for el in out.elements_mut() {
        *el = match *el {
            kurbo::PathEl::MoveTo(p) => kurbo::PathEl::MoveTo(round(p)),
            kurbo::PathEl::LineTo(p) => kurbo::PathEl::LineTo(round(p)),
            kurbo::PathEl::QuadTo(p, q) => kurbo::PathEl::QuadTo(round(p), round(q)),
            kurbo::PathEl::CurveTo(p, q, r) => kurbo::PathEl::CurveTo(round(p), round(q), round(r)),
            kurbo::PathEl::ClosePath => kurbo::PathEl::ClosePath,
        };
    }
    out.to_svg()
}

/// From the corner under the armhole, out at 45° to the armhole; millimetres.
fn hollow(piece: &Piece) -> Option<f64> {
    let (across, underarm) = (piece.point("across")?, piece.point("underarm")?);
    let corner = Point::new(across.x, underarm.y);
    let ray = Line::new(corner, corner + 200.0 * Vec2::new(1.0, -1.0));
    let hits = piece.edge_parts("armhole").flat_map(|p| p.path.segments()).flat_map(|s| s.intersect_line(ray).into_iter());
    hits.map(|h| h.line_t * ray.length()).min_by(f64::total_cmp)
}

/// How far an edge falls below level, degrees.
fn falls(piece: &Piece, edge: &str) -> Option<f64> {
    let (a, b) = piece.edge_ends(edge)?;
    Some(((a.y - b.y) / (a.x - b.x)).atan().to_degrees().abs())
}

/// Angle of a side seam against upright, degrees.
fn slants(piece: &Piece) -> Option<f64> {
    falls(piece, "side seam").map(|f| 90.0 - f)
}

fn row(name: &str, person: &Person) -> String {
    // In the frame that they are drafted in: the bust dart in the shoulder.
    let built = garment(person.card(), &[("bodice", "bust-dart", "shoulder")]).build();
    let piece = |n: &str| built.draft.piece(n);
    let outer = piece("side front").or_else(|| piece("front")).unwrap();
    let (front, back, sleeve) = (piece("front").unwrap(), piece("back").unwrap(), piece("sleeve").unwrap());
    let figure = |what: &str| built.draft.figures.iter().find(|f| f.what.starts_with(what)).map_or(f64::NAN, |f| f.value);
    let (neck_centre, neck_side) = {
        let (a, b) = front.edge_ends("neckline").unwrap();
        if a.x < b.x { (a, b) } else { (b, a) }
    };
    let armhole = outer.edge_length_mm("armhole").unwrap() + back.edge_length_mm("armhole").unwrap();
    let cap = sleeve.point("front underarm").unwrap().y - sleeve.point("crown").unwrap().y;
    let mouth: f64 = front
        .darts()
        .iter()
        .filter(|d| d.name.as_str().starts_with("waist"))
        .filter_map(|d| Some(front.edge_ends(d.leg_a.as_str())?.0.distance(front.edge_ends(d.leg_b.as_str())?.1)))
        .sum();
    let mm = |v: Option<f64>| v.map_or("–".to_owned(), |v| format!("{v:.0}"));
    format!(
        "| {name} | {:.0} | {:.0} | {:.1} | {:.0} | {:.0} | {:.0} | {} | {} | {} | {} | {} | {:.0} | {:.2} |\n",
        of(person, Measurement::Stature) * 10.0,
        of(person, Measurement::BustGirth) * 10.0,
        figure("bust dart"),
        mouth.abs(),
        (neck_side.x - neck_centre.x).abs(),
        (neck_centre.y - neck_side.y).abs(),
        mm(falls(back, "shoulder")),
        mm(hollow(back)),
        mm(hollow(outer)),
        mm(slants(back)),
        mm(slants(outer)),
        figure("armhole width"),
        cap / armhole
    )
}

fn main() {
    let people = shown();
    let mut body = String::new();
    let mut y = 60.0;
    let mut table = String::new();
    for (name, person) in &people {
        let built = garment(person.card(), &[]).build();
        let tall = COLUMNS.iter().take(3).flat_map(|c| column(&built, c.0)).map(|p| p.bounds().height()).fold(0.0, f64::max);
        let cm = |m| of(person, m);
        writeln!(
            body,
            "<text x=\"8\" y=\"{:.1}\" font-size=\"9\" font-weight=\"bold\">{}</text><text x=\"8\" y=\"{:.1}\" font-size=\"7\">no. {}: stature {:.0}, bust {:.0}, waist {:.0}, hip {:.0} cm</text>",
            y * SCALE,
            text(name),
            (y + 45.0) * SCALE,
            text(&person.name),
            cm(Measurement::Stature),
            cm(Measurement::BustGirth),
            cm(Measurement::WaistGirth),
            cm(Measurement::HipGirth)
        )
        .unwrap();
        let mut x = 40.0;
        for (what, wide) in COLUMNS {
            let mut at = x;
            for piece in column(&built, what) {
                let b: Rect = piece.bounds();
                // A gore is shown down to as far as the bodice reaches.
                let place = Affine::scale(SCALE) * Affine::translate(Vec2::new(at - b.x0, y + 70.0 - b.y0));
                let mut inner = String::new();
                drawn(&mut inner, piece, place);
                if what == "gore" {
                    let id = person.name.as_str();
                    let (left, top) = ((at - 5.0) * SCALE, (y + 60.0) * SCALE);
                    writeln!(
                        body,
                        "<clipPath id=\"c{id}\"><rect x=\"{left:.1}\" y=\"{top:.1}\" width=\"{:.1}\" height=\"{:.1}\"/></clipPath><g clip-path=\"url(#c{id})\">\n{inner}</g>",
                        (b.width() + 10.0) * SCALE,
                        (tall + 10.0) * SCALE
                    )
                    .unwrap();
                } else {
                    body.push_str(&inner);
                }
                at += b.width() + GAP_MM / 2.0;
            }
            x += wide;
        }
        y += tall + 70.0 + GAP_MM;
        table += &row(name, person);
    }
    let (wide, high) = ((COLUMNS.iter().map(|c| c.1).sum::<f64>() + 80.0) * SCALE, y * SCALE);
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{:.0}\" height=\"{:.0}\" viewBox=\"0 0 {wide:.0} {high:.0}\" font-family=\"sans-serif\">\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n{body}</svg>\n",
        2.0 * wide,
        2.0 * high
    );
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("reports");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("sizes.svg"), svg).unwrap();
    let report = format!(
        "# Blocks of very different people, side by side

Written by `cargo run --release -p tests --bin size-sheet` from `tests/data/bodies_complete.csv`; only what was seen on it, `findings.md`, is written by hand.
Front, back, sleeve and one gore (its upper part) at one scale, default settings.

![Blocks side by side](sizes.svg)

Measured on the pieces, millimetres and degrees: dart (bust dart, degrees), waist dart (its mouths in the front), neck width and depth (front, half), shoulder
(fall of the back shoulder, degrees), hollows (45° from the corner under back and front armhole), slants (side seam of back and front against upright,
degrees), armhole width, and cap height as a part of the armhole.

| who | stature | bust | dart ° | waist dart | neck width | neck depth | shoulder ° | back hollow | front hollow | back slant ° | front slant ° | armhole width | cap / armhole |
|---|---|---|---|---|---|---|---|---|---|---|---|---|---|
{table}
{FINDINGS}"
    );
    std::fs::write(folder.join("sizes.md"), report).unwrap();
}
