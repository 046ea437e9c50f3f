//! One change to the cloths of a garment, to what is cut from them, or to how they are laid.

use draft_core::cloth::{Cloth, KeptLay, Stack};
use draft_core::{DraftError, Garment, Name, Work, WorkEntry};

/// One change; one step of undo.
#[derive(Clone, Debug, PartialEq)]
pub enum ClothCommand {
    /// Adds a cloth.
    Add(Cloth),
    /// Puts another in the place of one; where its name changes, what refers to it follows.
    Change {
        /// Which, from 0.
        at: usize,
        /// As it is to be.
        cloth: Cloth,
    },
    /// Takes a cloth out, with its lay and with every layer that is cut from it.
    Remove(usize),
    /// Says from which cloths a piece is cut.
    Stack(Stack),
    /// The piece is cut from the first cloth again, as it is.
    Unstack(Name),
    /// Keeps a lay.
    Lay {
        /// The lay.
        lay: KeptLay,
        /// What it is, for undo.
        what: String,
    },
    /// Takes a lay out.
    Unlay(String),
    /// Pieces a panel that is wider than the cloth; what is joined on is cut from the same cloths.
    Piece {
        /// The panel.
        piece: Name,
        /// What is joined on.
        parts: Vec<Name>,
        /// The piecing seams.
        works: Vec<Work>,
    },
}

impl ClothCommand {
    /// What it does, as undo and redo name it.
    pub fn label(&self) -> String {
        match self {
            Self::Add(cloth) => format!("add the cloth {}", cloth.name),
            Self::Change { cloth, .. } => format!("change the {}", cloth.name),
            Self::Remove(_) => "take out a cloth".into(),
            Self::Stack(stack) => format!("cloths of the {}", stack.piece),
            Self::Unstack(piece) => format!("cloths of the {piece}"),
            Self::Lay { what, .. } => what.clone(),
            Self::Unlay(cloth) => format!("take out the lay of {cloth}"),
            Self::Piece { piece, .. } => format!("piece the {piece}"),
        }
    }

    /// Makes the change.
    ///
    /// # Errors
    /// It leaves a cloth, a stack or a lay that makes no sense, or what is to be changed is no longer there.
    pub fn apply(&self, garment: &mut Garment) -> Result<(), DraftError> {
        match self {
            Self::Add(cloth) => {
                garment.cloths = garment.cloths_or_plain();
                garment.cloths.push(cloth.clone());
            }
            Self::Change { at, cloth } => {
                garment.cloths = garment.cloths_or_plain();
                let old = garment.cloths.get_mut(*at).ok_or_else(|| gone(*at))?;
                let before = std::mem::replace(old, cloth.clone()).name;
                let follow = |name: &mut String| {
                    if *name == before {
                        name.clone_from(&cloth.name);
                    }
                };
                garment.stacks.iter_mut().flat_map(|s| &mut s.layers).for_each(|l| follow(&mut l.cloth));
                garment.lays.iter_mut().for_each(|l| follow(&mut l.cloth));
            }
            Self::Remove(at) => {
                garment.cloths = garment.cloths_or_plain();
                if *at >= garment.cloths.len() {
                    return Err(gone(*at));
                }
                let name = garment.cloths.remove(*at).name;
                garment.stacks.iter_mut().for_each(|s| s.layers.retain(|l| l.cloth != name));
                garment.stacks.retain(|s| !s.layers.is_empty());
                garment.lays.retain(|l| l.cloth != name);
            }
            Self::Stack(stack) => {
                garment.cloths = garment.cloths_or_plain();
                match garment.stacks.iter_mut().find(|s| s.piece == stack.piece) {
                    Some(old) => *old = stack.clone(),
                    None => garment.stacks.push(stack.clone()),
                }
            }
            Self::Unstack(piece) => garment.stacks.retain(|s| s.piece != *piece),
            Self::Lay { lay, .. } => {
                garment.cloths = garment.cloths_or_plain();
                match garment.lays.iter_mut().find(|l| l.cloth == lay.cloth) {
                    Some(old) => *old = lay.clone(),
                    None => garment.lays.push(lay.clone()),
                }
            }
            Self::Unlay(cloth) => garment.lays.retain(|l| l.cloth != *cloth),
            Self::Piece { piece, parts, works } => {
                garment.works.extend(works.iter().cloned().map(WorkEntry::from));
                if let Some(layers) = garment.stacks.iter().find(|s| s.piece == *piece).map(|s| s.layers.clone()) {
                    let has = |garment: &Garment, part: &Name| garment.stacks.iter().any(|s| s.piece == *part);
                    for part in parts {
                        if !has(garment, part) {
                            // A count of the whole piece is none of its part, which is cut as often as it is drafted.
                            let layers = layers.iter().map(|l| draft_core::cloth::Layer {
                                count: None,
                                raw: Vec::new(),
                                cut_away: Vec::new(),
                                ..l.clone()
                            });
                            garment.stacks.push(Stack { piece: part.clone(), layers: layers.collect() });
                        }
                    }
                }
            }
        }
        garment.check_cloths()
    }
}

fn gone(at: usize) -> DraftError {
    DraftError::new(format!("cloth {}", at + 1), "is not among the cloths any more", "Choose a cloth that is there.")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
    use super::*;
    use crate::edit::Command;
    use draft_core::WearerCard;
    use draft_core::cloth::Layer;

    fn run(garment: &Garment, command: ClothCommand) -> Result<Garment, DraftError> {
        Command::Cloth(Box::new(command)).apply(garment)
    }

    fn named(name: &str) -> Cloth {
        Cloth { name: name.into(), ..Cloth::default() }
    }

    #[test]
    fn a_cloth_that_is_renamed_takes_its_layers_along_and_one_that_goes_leaves_none() {
        let g = Garment::new("trial", WearerCard::default());
        let g = run(&g, ClothCommand::Add(named("lawn"))).unwrap();
        assert_eq!(g.cloths.len(), 2, "the plain cloth that stood in is there too");
        let g = run(&g, ClothCommand::Stack(Stack { piece: "front".into(), layers: vec![Layer::of("outer"), Layer::of("lawn")] })).unwrap();
        let g = run(&g, ClothCommand::Change { at: 1, cloth: named("batiste") }).unwrap();
        assert_eq!(g.stacks[0].layers[1].cloth, "batiste");
        assert!(run(&g, ClothCommand::Change { at: 1, cloth: named("outer") }).is_err(), "two of one name");
        let g = run(&g, ClothCommand::Remove(1)).unwrap();
        assert_eq!(g.stacks[0].layers, [Layer::of("outer")]);
        let g = run(&g, ClothCommand::Remove(0)).unwrap();
        assert!(g.stacks.is_empty() && g.cloths.is_empty());
    }
}
