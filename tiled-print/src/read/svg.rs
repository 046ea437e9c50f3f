//! SVG drawings.

use kurbo::{Affine, BezPath, Circle, Ellipse, Point, Rect, RoundedRect, Shape as _};
use roxmltree::{Document, Node};

use super::Read;
use crate::PrintError;

/// A CSS pixel is 1/96 inch (CSS Values and Units, "absolute lengths").
const MM_PER_PIXEL: f64 = 25.4 / 96.0;
/// Circles and ellipses become cubics that keep this close to them, millimetres.
const ROUND_MM: f64 = 1e-4;
/// Groups deeper than this are no drawing.
const DEEPEST: usize = 200;

fn refuse(place: &str, problem: impl Into<String>, remedy: &str) -> PrintError {
    PrintError::new(place, problem, remedy)
}

/// Reads the closed outlines of a drawing. `unit_mm` is what one unit of the drawing measures, if the drawing itself is
/// not to be believed.
///
/// # Errors
/// It is no SVG, does not say how large it is, or holds something that stands for outlines and can't be read.
pub fn read(text: &str, unit_mm: Option<f64>) -> Result<Read, PrintError> {
    let document = Document::parse(text).map_err(|e| refuse("drawing", format!("is no SVG ({e})"), "Save it as plain SVG."))?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(refuse("drawing", "is no SVG", "Save it as plain SVG."));
    }
    let scale = match unit_mm {
        Some(mm) => mm,
        None => own_scale(root)?,
    };
    let mut out = Read::default();
    walk(root, Affine::scale(scale), "", 0, &mut out)?;
    Ok(out)
}

/// Millimetres in one unit of the drawing, by its width and its view box.
fn own_scale(root: Node<'_, '_>) -> Result<f64, PrintError> {
    let unknown = || refuse("drawing", "does not say how large it is", "Say what one of its units measures: --unit mm, cm or in.");
    let width = root.attribute("width").and_then(length_mm).ok_or_else(unknown)?;
    let Some(view) = root.attribute("viewBox") else { return Ok(MM_PER_PIXEL) };
    let view: Vec<f64> = numbers(view);
    match view.as_slice() {
        [_, _, w, _] if *w > 0.0 && width > 0.0 => Ok(width / w),
        _ => Err(unknown()),
    }
}

/// A length with its unit; a bare number is in pixels, a share of the window no length.
fn length_mm(text: &str) -> Option<f64> {
    let text = text.trim();
    let split = text.find(|c: char| c.is_ascii_alphabetic() || c == '%').unwrap_or(text.len());
    let number: f64 = text[..split].trim().parse().ok()?;
    let mm = match text[split..].trim() {
        "mm" => 1.0,
        "cm" => 10.0,
        "in" => 25.4,
        "pt" => 25.4 / 72.0,
        "pc" => 25.4 / 6.0,
        "" | "px" => MM_PER_PIXEL,
        _ => return None,
    };
    Some(number * mm).filter(|mm| mm.is_finite())
}

fn numbers(text: &str) -> Vec<f64> {
    text.split(|c: char| c == ',' || c.is_whitespace()).filter(|t| !t.is_empty()).map_while(|t| t.parse().ok()).collect()
}

fn walk(node: Node<'_, '_>, map: Affine, group: &str, depth: usize, out: &mut Read) -> Result<(), PrintError> {
    if depth > DEEPEST {
        return Err(refuse("drawing", "has groups in groups without end", "Take the groups apart."));
    }
    for child in node.children().filter(Node::is_element) {
        let id = child.attribute("id").unwrap_or(group);
        let place = || if id.is_empty() { "drawing".to_owned() } else { id.to_owned() };
        if child.attribute("display") == Some("none")
            || child.attribute("style").is_some_and(|s| s.replace(' ', "").contains("display:none"))
        {
            out.left_out.push(format!("{}: hidden", place()));
            continue;
        }
        let own = match child.attribute("transform") {
            Some(text) => transform(text).ok_or_else(|| {
                refuse(&place(), format!("is moved in a way that can't be read ({text:?})"), "Apply its transformations before you save.")
            })?,
            None => Affine::IDENTITY,
        };
        let here = map * own;
        let number = |name: &str| -> Result<f64, PrintError> {
            let Some(text) = child.attribute(name) else { return Ok(0.0) };
            let bare = text.trim().strip_suffix("px").unwrap_or(text.trim());
            bare.parse().map_err(|_| {
                refuse(&place(), format!("has a {name} that is no number of units ({text:?})"), "Turn it into a path before you save.")
            })
        };
        let path = match child.tag_name().name() {
            "g" | "svg" | "a" | "switch" => {
                walk(child, here, id, depth + 1, out)?;
                continue;
            }
            "path" => BezPath::from_svg(child.attribute("d").unwrap_or_default()).map_err(|e| {
                refuse(&place(), format!("has an outline that can't be read ({e})"), "Draw it again, or save the drawing as plain SVG.")
            })?,
            "polygon" | "polyline" => {
                let points = numbers(child.attribute("points").unwrap_or_default());
                let mut path = BezPath::new();
                for (i, p) in points.chunks_exact(2).enumerate() {
                    let p = Point::new(p[0], p[1]);
                    if i == 0 { path.move_to(p) } else { path.line_to(p) }
                }
                if child.tag_name().name() == "polygon" && !points.is_empty() {
                    path.close_path();
                }
                path
            }
            "rect" => {
                let rect = Rect::from_origin_size((number("x")?, number("y")?), (number("width")?, number("height")?));
                let round = number("rx")?.max(number("ry")?);
                if round > 0.0 { RoundedRect::from_rect(rect, round).to_path(ROUND_MM) } else { rect.to_path(ROUND_MM) }
            }
            "circle" => Circle::new((number("cx")?, number("cy")?), number("r")?).to_path(ROUND_MM),
            "ellipse" => Ellipse::new((number("cx")?, number("cy")?), (number("rx")?, number("ry")?), 0.0).to_path(ROUND_MM),
            "use" => {
                return Err(refuse(
                    &place(),
                    "stands for a copy of another outline",
                    "Turn copies into outlines of their own before you save.",
                ));
            }
            name @ ("text" | "image" | "line") => {
                out.left_out.push(format!("{}: {name}", place()));
                continue;
            }
            _ => continue,
        };
        let path = here * path;
        if !path.is_finite() {
            return Err(refuse(&place(), "has a point that is no usable number", "Draw it again."));
        }
        out.add(id, &path);
    }
    Ok(())
}

/// The value of a transform attribute.
fn transform(text: &str) -> Option<Affine> {
    let mut out = Affine::IDENTITY;
    let mut rest = text.trim();
    while !rest.is_empty() {
        let (name, after) = rest.split_once('(')?;
        let (values, after) = after.split_once(')')?;
        let v = numbers(values);
        let step = match (name.trim(), v.as_slice()) {
            ("matrix", [a, b, c, d, e, f]) => Affine::new([*a, *b, *c, *d, *e, *f]),
            ("translate", [x]) => Affine::translate((*x, 0.0)),
            ("translate", [x, y]) => Affine::translate((*x, *y)),
            ("scale", [s]) => Affine::scale(*s),
            ("scale", [x, y]) => Affine::scale_non_uniform(*x, *y),
            ("rotate", [a]) => Affine::rotate(a.to_radians()),
            ("rotate", [a, x, y]) => Affine::rotate_about(a.to_radians(), Point::new(*x, *y)),
            ("skewX", [a]) => Affine::new([1.0, 0.0, a.to_radians().tan(), 1.0, 0.0, 0.0]),
            ("skewY", [a]) => Affine::new([1.0, a.to_radians().tan(), 0.0, 1.0, 0.0, 0.0]),
            _ => return None,
        };
        out *= step;
        rest = after.trim_start_matches(|c: char| c == ',' || c.is_whitespace());
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]
    use super::*;

    #[test]
    fn outlines_come_in_millimetres_with_their_ids() {
        let text = r#"<svg xmlns="http://www.w3.org/2000/svg" width="20cm" height="10cm" viewBox="0 0 100 50">
            <title>wings</title>
            <g id="wing" transform="translate(10 5) scale(2)"><path d="M0 0h10v10h-10z"/></g>
            <rect id="strip" x="1" y="2" width="30" height="3"/>
            <polyline id="mark" points="0,0 10,10"/>
            <path id="two" d="M0 0h5v5z M10 0h5v5z"/>
            <text id="word">wing</text>
        </svg>"#;
        let read = read(text, None).unwrap();
        let names: Vec<&str> = read.outlines.iter().map(|o| o.name.as_str()).collect();
        assert_eq!(names, ["wing", "strip", "two", "two 2"]);
        // Two millimetres to the unit, and twice as large by its own scale.
        assert_eq!(read.outlines[0].path.bounding_box(), Rect::new(20.0, 10.0, 60.0, 50.0));
        assert_eq!(read.left_out.len(), 2);
    }

    #[test]
    fn what_cannot_be_read_is_refused() {
        for (text, problem) in [
            ("<html/>", "no SVG"),
            ("<svg><", "no SVG"),
            ("<svg><rect width='3' height='4'/></svg>", "how large"),
            ("<svg width='1mm' viewBox='0 0 1 1'><use href='#a'/></svg>", "copy"),
            ("<svg width='1mm' viewBox='0 0 1 1'><path d='M0 0 Q'/></svg>", "read"),
            ("<svg width='1mm' viewBox='0 0 1 1'><g transform='spin(3)'><path d='M0 0h1v1z'/></g></svg>", "moved"),
        ] {
            assert!(read(text, None).unwrap_err().problem.contains(problem), "{text}");
        }
        assert_eq!(read("<svg><rect id='a' width='3' height='4'/></svg>", Some(10.0)).unwrap().outlines[0].path.area(), 1200.0);
    }
}
