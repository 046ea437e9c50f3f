//! The five places of the window, in the order of the work.

use egui::Key;

/// One of the five places.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Stage {
    /// The wearer card.
    #[default]
    Measure,
    /// Blocks and their settings.
    Blocks,
    /// Drawing on the cloth.
    Redraw,
    /// Laying the pieces on cloth.
    Lay,
    /// Pages.
    Print,
}

impl Stage {
    /// In the order of the work.
    pub const ALL: [Self; 5] = [Self::Measure, Self::Blocks, Self::Redraw, Self::Lay, Self::Print];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Measure => "Measure",
            Self::Blocks => "Blocks",
            Self::Redraw => "Redraw",
            Self::Lay => "Lay",
            Self::Print => "Print",
        }
    }

    /// What is done there.
    pub const fn what(self) -> &'static str {
        match self {
            Self::Measure => "Write the wearer card",
            Self::Blocks => "Draft the blocks and set their ease",
            Self::Redraw => "Draw on the cloth",
            Self::Lay => "Lay the pieces on the cloth",
            Self::Print => "Print true-scale pages",
        }
    }

    /// Its key, held with Ctrl.
    pub const fn key(self) -> Key {
        match self {
            Self::Measure => Key::Num1,
            Self::Blocks => Key::Num2,
            Self::Redraw => Key::Num3,
            Self::Lay => Key::Num4,
            Self::Print => Key::Num5,
        }
    }
}
