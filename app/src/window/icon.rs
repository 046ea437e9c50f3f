//! The icons: drawn for this program as lines on a field of 24 by 24, kept in `assets/icons`.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use draft_core::geometry;
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke};
use kurbo::{BezPath, PathEl};

/// One of our icons.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Icon {
    /// Can hurt the work.
    Caution,
    /// Tailor's chalk.
    Chalk,
    /// Close.
    Close,
    /// Come to what is selected.
    Come,
    /// A curve through points.
    Curve,
    /// Open below.
    Down,
    /// Show.
    Eye,
    /// A file.
    File,
    /// See everything.
    Fit,
    /// A folder.
    Folder,
    /// A garment.
    Gown,
    /// Not shown.
    Hidden,
    /// Further down in a list.
    Later,
    /// A length between two ends.
    Length,
    /// Needs mending.
    Mend,
    /// Step back.
    Minus,
    /// Dark.
    Moon,
    /// Move the table.
    Move,
    /// A fresh sheet.
    New,
    /// A notch in an edge.
    Notch,
    /// Good to know.
    Note,
    /// An open folder.
    Open,
    /// Pages.
    Pages,
    /// A pin in a fold.
    Pin,
    /// Add or come closer.
    Plus,
    /// Do again.
    Redo,
    /// Take out.
    Remove,
    /// Back to the default.
    Reset,
    /// Onward.
    Right,
    /// A straight rule.
    Rule,
    /// Save.
    Save,
    /// Save under another name.
    SaveAs,
    /// Shears.
    Shears,
    /// The whole sheet.
    Sheet,
    /// Light.
    Sun,
    /// A tape measure.
    Tape,
    /// Size of text.
    Text,
    /// A piece traced off another.
    Trace,
    /// Done, or in order.
    Tick,
    /// True size.
    TrueSize,
    /// Take back.
    Undo,
    /// Up.
    Up,
}

impl Icon {
    const ALL: &[Self] = &[
        Self::Caution,
        Self::Chalk,
        Self::Close,
        Self::Come,
        Self::Curve,
        Self::Down,
        Self::Eye,
        Self::File,
        Self::Fit,
        Self::Folder,
        Self::Gown,
        Self::Hidden,
        Self::Later,
        Self::Length,
        Self::Mend,
        Self::Minus,
        Self::Moon,
        Self::Move,
        Self::New,
        Self::Notch,
        Self::Note,
        Self::Open,
        Self::Pages,
        Self::Pin,
        Self::Plus,
        Self::Redo,
        Self::Remove,
        Self::Reset,
        Self::Right,
        Self::Rule,
        Self::Save,
        Self::SaveAs,
        Self::Shears,
        Self::Sheet,
        Self::Sun,
        Self::Tape,
        Self::Text,
        Self::Trace,
        Self::Tick,
        Self::TrueSize,
        Self::Undo,
        Self::Up,
    ];

    const fn svg(self) -> &'static str {
        match self {
            Self::Caution => include_str!("../../../assets/icons/caution.svg"),
            Self::Chalk => include_str!("../../../assets/icons/chalk.svg"),
            Self::Close => include_str!("../../../assets/icons/close.svg"),
            Self::Curve => include_str!("../../../assets/icons/curve.svg"),
            Self::Come => include_str!("../../../assets/icons/come.svg"),
            Self::Hidden => include_str!("../../../assets/icons/hidden.svg"),
            Self::TrueSize => include_str!("../../../assets/icons/truesize.svg"),
            Self::Down => include_str!("../../../assets/icons/down.svg"),
            Self::Eye => include_str!("../../../assets/icons/eye.svg"),
            Self::File => include_str!("../../../assets/icons/file.svg"),
            Self::Fit => include_str!("../../../assets/icons/fit.svg"),
            Self::Folder => include_str!("../../../assets/icons/folder.svg"),
            Self::Gown => include_str!("../../../assets/icons/gown.svg"),
            Self::Later => include_str!("../../../assets/icons/later.svg"),
            Self::Length => include_str!("../../../assets/icons/length.svg"),
            Self::Mend => include_str!("../../../assets/icons/mend.svg"),
            Self::Minus => include_str!("../../../assets/icons/minus.svg"),
            Self::Moon => include_str!("../../../assets/icons/moon.svg"),
            Self::Move => include_str!("../../../assets/icons/move.svg"),
            Self::New => include_str!("../../../assets/icons/new.svg"),
            Self::Notch => include_str!("../../../assets/icons/notch.svg"),
            Self::Note => include_str!("../../../assets/icons/note.svg"),
            Self::Open => include_str!("../../../assets/icons/open.svg"),
            Self::Pages => include_str!("../../../assets/icons/pages.svg"),
            Self::Pin => include_str!("../../../assets/icons/pin.svg"),
            Self::Plus => include_str!("../../../assets/icons/plus.svg"),
            Self::Redo => include_str!("../../../assets/icons/redo.svg"),
            Self::Remove => include_str!("../../../assets/icons/remove.svg"),
            Self::Reset => include_str!("../../../assets/icons/reset.svg"),
            Self::Right => include_str!("../../../assets/icons/right.svg"),
            Self::Rule => include_str!("../../../assets/icons/rule.svg"),
            Self::SaveAs => include_str!("../../../assets/icons/saveas.svg"),
            Self::Shears => include_str!("../../../assets/icons/shears.svg"),
            Self::Save => include_str!("../../../assets/icons/save.svg"),
            Self::Sheet => include_str!("../../../assets/icons/sheet.svg"),
            Self::Sun => include_str!("../../../assets/icons/sun.svg"),
            Self::Tape => include_str!("../../../assets/icons/tape.svg"),
            Self::Text => include_str!("../../../assets/icons/text.svg"),
            Self::Trace => include_str!("../../../assets/icons/trace.svg"),
            Self::Tick => include_str!("../../../assets/icons/tick.svg"),
            Self::Undo => include_str!("../../../assets/icons/undo.svg"),
            Self::Up => include_str!("../../../assets/icons/up.svg"),
        }
    }

    /// The icon's lines as points on its field.
    fn lines(self) -> &'static [Vec<kurbo::Point>] {
        static LINES: LazyLock<BTreeMap<Icon, Vec<Vec<kurbo::Point>>>> =
            LazyLock::new(|| Icon::ALL.iter().map(|&icon| (icon, read(icon.svg()))).collect());
        LINES.get(&self).map_or(&[], Vec::as_slice)
    }

    /// Paints it in the middle of a box.
    pub fn paint(self, painter: &Painter, within: Rect, size: f32, color: Color32) {
        let field = Rect::from_center_size(within.center(), egui::Vec2::splat(size));
        let stroke = Stroke::new((size / 24.0 * 1.7).clamp(1.2, 2.4), color);
        for line in self.lines() {
            let points: Vec<Pos2> = line.iter().map(|p| field.min + egui::vec2(p.x as f32, p.y as f32) * (size / 24.0)).collect();
            painter.add(Shape::line(points, stroke));
        }
    }
}

/// The lines of an icon's file, which holds a single path.
fn read(svg: &str) -> Vec<Vec<kurbo::Point>> {
    let Some(data) = svg.split_once("<path d=\"").and_then(|(_, rest)| rest.split_once('"')).map(|(data, _)| data) else {
        return Vec::new();
    };
    let Ok(path) = BezPath::from_svg(data) else { return Vec::new() };
    let mut lines = Vec::new();
    let mut line = BezPath::new();
    for &el in path.elements() {
        if let PathEl::MoveTo(_) = el
            && !line.elements().is_empty()
        {
            lines.push(closed(&line));
            line = BezPath::new();
        }
        line.push(el);
    }
    lines.push(closed(&line));
    lines
}

fn closed(line: &BezPath) -> Vec<kurbo::Point> {
    let mut points = geometry::flattened(line, 0.05);
    if matches!(line.elements().last(), Some(PathEl::ClosePath))
        && let Some(&first) = points.first()
    {
        points.push(first);
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_icon_has_lines_within_its_field() {
        for icon in Icon::ALL {
            assert!(!icon.lines().is_empty(), "{icon:?}");
            for p in icon.lines().iter().flatten() {
                assert!((0.0..=24.0).contains(&p.x) && (0.0..=24.0).contains(&p.y), "{icon:?} {p:?}");
            }
        }
    }
}
