//! Cloth: what a garment is cut from, what of it each piece takes, how it is laid, and what to buy.
//!
//! A garment has [`Cloth`]s, and for each piece a [`Stack`] of the cloths that it is cut from. [`cuts`] lists every
//! piece × cloth with its outline; [`LayOut`] makes tasks for the lay planner of them; [`Purchase`] says what to buy.

mod bolt;
mod cut;
mod enough;
mod estimate;
mod fabric;
mod facing;
mod help;
mod kept;
mod lay_out;
mod outline;
mod piecing;
mod purchase;
mod sale;
mod stack;
mod standing;
mod wide;

pub use bolt::{Bolt, Flaw};
pub(crate) use cut::cuts_of;
pub use cut::{Cut, cloths_of, cuts, layers_of};
pub use enough::Enough;
pub use estimate::{Estimate, estimate};
pub use fabric::{Cloth, ClothKind, Spread};
pub use facing::facing_depth;
pub use help::{Help, Seam, Short, Way};
pub use kept::{KeptLay, KeptPiece, KeptStretch, Recalled};
pub use lay_out::{LaidPiece, LayOut, Stretch};
pub use piecing::piecing;
pub use purchase::Purchase;
pub use sale::{Price, SaleUnit};
pub use stack::{Finish, Layer, Stack, Strip};
pub use standing::{Standing, Stood};
pub use wide::TooWide;
