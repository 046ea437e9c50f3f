//! The drafting core: a wearer's measurements in, flat pieces of cloth out.
//!
//! Pure geometry: no files, no clock, no threads and no screen. Lengths are millimetres in `f64`, y grows
//! downward, angles are degrees at the boundary and radians inside. What is approximated is accurate to
//! [`ACCURACY_MM`] unless the function says otherwise.
//!
//! Start at [`Garment::build`]: it replays the maker's work list for one [`WearerCard`] and returns [`Built`],
//! from which the screen, the checks and the pages are read.

pub mod allowance;
pub mod alteration;
pub mod block;
pub mod block_book;
mod body;
mod built;
pub mod check;
mod closed_edge;
pub mod cloth;
pub mod compare;
mod course;
mod curve_through;
pub mod cut_list;
pub mod dart;
mod difference;
mod division;
mod draft;
mod drawn;
mod drawn_line;
mod estimate;
pub mod fairing;
pub mod figure;
mod fitting;
mod garment;
pub mod geometry;
pub mod grain;
pub mod homography;
pub mod laid;
pub mod lay;
mod length;
mod measurement;
pub mod measuring;
pub mod mend;
mod message;
mod name;
pub mod normal;
pub mod notions;
pub mod photo;
mod piece;
pub mod pinned;
mod place;
pub mod plausible;
pub mod print_settings;
mod rewire;
mod ring;
mod seam;
pub mod seam_runs;
mod setting;
pub mod sewing;
pub mod shaping;
mod shared;
pub mod shopping;
pub mod table;
pub mod take_up;
pub mod taped;
pub mod together;
mod typed_line;
mod unit;
pub mod usual;
pub mod walking;
mod wearer;
mod work;

pub use alteration::Alteration;
pub use block::Block;
pub use block_book::BookBlock;
pub use body::{Body, Origin};
pub use built::{Builder, Built, Outcome};
pub use curve_through::curve_through;
pub use difference::{Changed, Difference};
pub use draft::{Corner, Covered, Draft, Figure, Girth, Level, Notion, Promise, Span, Used};
pub use drawn::Drawn;
pub use drawn_line::{Bend, DrawnLine};
pub use fitting::Fitting;
pub use garment::{FileError, Garment};
pub use length::Length;
pub use measurement::{Kind, Measurement};
pub use message::{DraftError, Grade, Message};
pub use name::Name;
pub use piece::{CutCount, Dart, Edge, Gather, MarkedLine, NamedPoint, Notch, Part, Piece, PieceBuilder, Role};
pub use place::{Along, Place};
pub use print_settings::PrintSettings;
pub use seam::{EdgeRun, Seam, Walk};
pub use setting::{Setting, SettingKind, SettingValue, Settings};
pub use shared::Shared;
pub use typed_line::TypedLine;
pub use unit::{QuantityError, Unit, parse_angle, parse_length};
pub use wearer::{Survey, Take, WearerCard};
pub use work::{FromBlock, Work, WorkEntry};

/// What a length or a flattened curve is good to, in millimetres.
pub const ACCURACY_MM: f64 = 0.01;

/// A closed outline closes, and an edge starts where the last one ended, within this many millimetres.
pub const CLOSURE_MM: f64 = 1e-6;

/// Two sewn edges agree within this many millimetres after the intended ease.
pub const SEWN_MM: f64 = 0.5;
