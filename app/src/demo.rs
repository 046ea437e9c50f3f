//! The demo: a wearer and a garment of our own scenario, *The Salt Orchard*, a children's opera.

use draft_core::{FileError, Garment, WearerCard};

/// The text of the demo's wearer card.
pub const WEARER: &str = include_str!("../../assets/demo/wearer.ron");
/// The text of the demo's block.
pub const BLOCK: &str = include_str!("../../assets/demo/block.ron");
/// The text of the demo's garment.
pub const GARMENT: &str = include_str!("../../assets/demo/garment.ron");

/// The demo's wearer, block and garment.
///
/// # Errors
/// Never with the files as they are shipped; a test holds to that.
pub fn read() -> Result<(WearerCard, Garment, Garment), FileError> {
    Ok((WearerCard::from_text(WEARER)?, Garment::from_text(BLOCK)?, Garment::from_text(GARMENT)?))
}
