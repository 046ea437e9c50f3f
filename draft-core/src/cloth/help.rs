//! What would help when what is in the cupboard is not enough: tried, and told only where it leaves out less.

use super::enough::laid;
use super::{Bolt, Cloth, Cut, Enough, LayOut, Spread, cuts_of, piecing};
use crate::alteration::{Breadth, Cut as CutInTwo, Piecing};
use crate::lay::{Effort, Planner, Watch};
use crate::{Alteration, Block, Built, Draft, DraftError, DrawnLine, Garment, Length, Name, Piece, Place, Role, Unit, Work, allowance};

/// Passes for each thing that is tried.
const PASSES: u64 = 100;
/// Widths in which cloth is mostly sold, millimetres (common practice: 90, 115, 140, 150, 160 and, for sheeting, 280 cm).
const WIDTHS_MM: [f64; 6] = [900.0, 1150.0, 1400.0, 1500.0, 1600.0, 2800.0];
/// Shares of a piece at which it is tried in two parts: what it keeps.
const KEEPS: [f64; 3] = [0.5, 0.65, 0.8];
/// No more pieces are tried in two parts.
const PIECES: usize = 3;
/// Allowance on each side of a new seam, millimetres (common practice: 5/8 in).
const ALLOWANCE_MM: f64 = 15.0;
/// A part of a train with less is not worth a seam, millimetres.
const LEAST_TRAIN_MM: f64 = 80.0;

/// What was tried.
#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// Pieces laid both ways up, if the cloth allows it after all.
    BothWays,
    /// The cloth laid in another way.
    Lay(Spread),
    /// The same lengths of a wider cloth, millimetres with the selvedges.
    Width(f64),
    /// So much more of the same cloth, millimetres of its length.
    More(f64),
    /// A piece joined from two parts, with a seam on the straight grain; the works that do it, and the new pieces.
    Piece(Seam),
    /// A seam across a train.
    Train(Seam),
}

/// A piece in two parts.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// The piece.
    pub piece: Name,
    /// What is joined on.
    pub parts: Vec<Name>,
    /// The works that make it so.
    pub works: Vec<Alteration>,
    /// Where the seam runs: from the fold or the edge away from it, or above the hem; millimetres.
    pub at_mm: f64,
}

/// Something that would let more pieces fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Help {
    /// What.
    pub way: Way,
    /// How many copies are left out with it.
    pub leaves: usize,
}

impl Way {
    /// The seam, where it is one.
    pub const fn seam(&self) -> Option<&Seam> {
        match self {
            Self::Piece(seam) | Self::Train(seam) => Some(seam),
            _ => None,
        }
    }

    fn text(&self, unit: Unit) -> String {
        match self {
            Self::BothWays => "if pieces may lie both ways up: look whether the cloth has a nap or sheen".into(),
            Self::Lay(Spread::Single) => "if the cloth is laid in a single layer".into(),
            Self::Lay(Spread::Folded) => "if the cloth is folded lengthwise".into(),
            Self::Width(mm) => format!("if the same lengths are {} wide", unit.rough(*mm)),
            Self::More(mm) => format!("with {} more", unit.rough(*mm)),
            Self::Piece(seam) => {
                format!("if the {} is pieced with a seam on the straight grain, {} across it", seam.piece, unit.rough(seam.at_mm))
            }
            Self::Train(seam) => {
                format!("with a seam across the train in the {}, {} above its hem", seam.piece, unit.rough(seam.at_mm))
            }
        }
    }
}

impl Help {
    /// What to tell the maker.
    pub fn text(&self, unit: Unit) -> String {
        let way = self.way.text(unit);
        match self.leaves {
            0 => format!("It is enough {way}."),
            1 => format!("Only one piece is left out {way}."),
            n => format!("Only {n} pieces are left out {way}."),
        }
    }
}

/// A garment, and the lengths of one of its cloths that are not enough for it.
#[derive(Clone, Copy)]
pub struct Short<'a> {
    /// The garment.
    pub garment: &'a Garment,
    /// What it builds to.
    pub built: &'a Built,
    /// All that is cut.
    pub cuts: &'a [Cut],
    /// The cloth.
    pub cloth: &'a Cloth,
    /// The lengths.
    pub bolts: &'a [Bolt],
    /// Lays them.
    pub planner: &'a dyn Planner,
    /// How hard to try.
    pub effort: Effort,
}

impl Short<'_> {
    /// Tries what might help, and gives what does: first what suffices.
    ///
    /// # Errors
    /// As for the planner.
    pub fn help(&self, enough: &Enough, watch: &dyn Watch) -> Result<Vec<Help>, DraftError> {
        let now = enough.left_out.len();
        let mut out: Vec<Help> = Vec::new();
        if now == 0 {
            return Ok(out);
        }
        let effort = Effort { passes: self.effort.passes.min(PASSES), ..self.effort };
        let leaves = |cloth: &Cloth, cuts: &[Cut], bolts: &[Bolt]| -> Result<Option<usize>, DraftError> {
            if watch.stop() {
                return Ok(None);
            }
            Ok(laid(cloth, cuts, bolts, self.planner, effort, watch)?.map(|l| l.left_out.len()).filter(|n| *n < now))
        };
        let cloth = self.cloth;
        if cloth.one_way
            && let Some(leaves) = leaves(&Cloth { one_way: false, ..cloth.clone() }, self.cuts, self.bolts)?
        {
            out.push(Help { way: Way::BothWays, leaves });
        }
        let other = if cloth.spread == Spread::Single { Spread::Folded } else { Spread::Single };
        let turned = Cloth { spread: other, ..cloth.clone() };
        // Where not all can be cut folded, it is laid single either way.
        let whole = |cloth: &Cloth| LayOut::of(cloth, self.cuts, false).stretches.len() == 1;
        if whole(cloth)
            && whole(&turned)
            && let Some(leaves) = leaves(&turned, self.cuts, self.bolts)?
        {
            out.push(Help { way: Way::Lay(other), leaves });
        }
        let widest = self.bolts.iter().map(|b| b.width.unwrap_or(cloth.width).mm()).fold(0.0, f64::max);
        for mm in WIDTHS_MM.into_iter().filter(|mm| *mm > widest + 1.0) {
            let width = Length::from_mm(mm);
            let wider = Cloth { width, ..cloth.clone() };
            let bolts: Vec<Bolt> = self.bolts.iter().map(|b| Bolt { width: None, ..b.clone() }).collect();
            if let Some(leaves) = leaves(&wider, self.cuts, &bolts)? {
                out.push(Help { way: Way::Width(mm), leaves });
                if leaves == 0 {
                    break;
                }
            }
        }
        for way in self.seams(enough) {
            let Some(seam) = way.seam() else { continue };
            let Ok(cuts) = self.with(seam) else { continue };
            let same = |h: &Help| h.way.seam().is_some_and(|s| s.piece == seam.piece && s.parts == seam.parts);
            if out.iter().any(|h| same(h) && h.leaves == 0) {
                continue;
            }
            if let Some(leaves) = leaves(cloth, &cuts, self.bolts)? {
                // Of several seams in one piece the one that helps most.
                match out.iter_mut().find(|h| same(h)) {
                    Some(known) if known.leaves <= leaves => {}
                    Some(known) => *known = Help { way, leaves },
                    None => out.push(Help { way, leaves }),
                }
            }
        }
        if !watch.stop() {
            out.extend(self.more(effort, watch)?);
        }
        out.sort_by_key(|h| h.leaves);
        Ok(out)
    }

    /// How much more of the same would be enough.
    fn more(&self, effort: Effort, watch: &dyn Watch) -> Result<Option<Help>, DraftError> {
        let lay_out = LayOut::of(self.cloth, self.cuts, false);
        if !lay_out.too_wide.is_empty() {
            return Ok(None);
        }
        let mut whole = 0.0;
        for stretch in &lay_out.stretches {
            whole += self.planner.plan(&stretch.task, effort, watch)?.length_mm;
        }
        let there: f64 = self.bolts.iter().map(|b| b.length.mm()).sum();
        let short = whole * self.cloth.sold_per_laid() - there;
        Ok((short > 0.0).then_some(Help { way: Way::More(short), leaves: 0 }))
    }

    /// Seams that are worth a try: in what is left out, the largest first, then in what takes the most cloth.
    fn seams(&self, enough: &Enough) -> Vec<Way> {
        let draft = &self.built.draft;
        let area = |name: &Name| self.cuts.iter().filter(|c| c.piece == *name).map(Cut::area_mm2).fold(0.0, f64::max);
        let mut names: Vec<Name> = enough.left_out.iter().map(|(name, _)| name.clone()).collect();
        let mut others: Vec<Name> = self.cuts.iter().filter(|c| c.layer.cloth == self.cloth.name).map(|c| c.piece.clone()).collect();
        for list in [&mut names, &mut others] {
            list.sort_by(|a, b| area(b).total_cmp(&area(a)).then_with(|| a.as_str().cmp(b.as_str())));
            list.dedup();
        }
        names.extend(others);
        let mut seen: Vec<Name> = Vec::new();
        names.retain(|n| {
            let new = !seen.contains(n);
            seen.push(n.clone());
            new
        });
        let mut out = Vec::new();
        let train = train_mm(self.garment);
        for piece in names.iter().take(PIECES).filter_map(|n| draft.piece(n.as_str())) {
            out.extend(KEEPS.iter().filter_map(|keeps| pieced(draft, piece, *keeps)).map(Way::Piece));
            out.extend(train.and_then(|mm| across_the_train(draft, piece, mm)).map(Way::Train));
        }
        // What is wider than the cloth, as it would be pieced anyway.
        for wide in &LayOut::of(self.cloth, self.cuts, false).too_wide {
            if let Ok(works) = piecing(draft, wide) {
                let parts = works.iter().filter_map(|a| if let Alteration::Piecing(p) = a { Some(p.new.clone()) } else { None }).collect();
                let at_mm = works.iter().find_map(|a| if let Alteration::Piecing(p) = a { Some(p.keeps.mm()) } else { None });
                out.push(Way::Piece(Seam { piece: wide.piece.clone(), parts, works, at_mm: at_mm.unwrap_or(0.0) }));
            }
        }
        out
    }

    /// All that is cut once the seam is made; the parts are cut from the cloths of the piece.
    fn with(&self, seam: &Seam) -> Result<Vec<Cut>, DraftError> {
        let mut after = Draft::clone(&self.built.draft);
        for work in &seam.works {
            after = work.apply(&after)?;
        }
        let mut cuts: Vec<Cut> = self.cuts.iter().filter(|c| c.piece != seam.piece).cloned().collect();
        let own = self.cuts.iter().filter(|c| c.piece == seam.piece);
        let layers: Vec<_> = own.map(|c| super::Layer { count: None, raw: Vec::new(), cut_away: Vec::new(), ..c.layer.clone() }).collect();
        for name in std::iter::once(&seam.piece).chain(&seam.parts) {
            let Some(piece) = after.piece(name.as_str()) else { continue };
            let (own, _) = cuts_of(piece, &allowance::cut_line(piece)?, layers.clone());
            cuts.extend(own);
        }
        Ok(cuts)
    }
}

fn unused(draft: &Draft, base: &str) -> Name {
    let name = |i: usize| Name::from(if i == 1 { base.to_owned() } else { format!("{base} {i}") });
    (1..=draft.pieces.len() + 1).map(name).find(|n| draft.piece(n.as_str()).is_none()).unwrap_or_else(|| name(1))
}

fn unused_edge(piece: &Piece, base: &str) -> Name {
    let name = |i: usize| Name::from(if i == 1 { base.to_owned() } else { format!("{base} {i}") });
    (1..=piece.edges().len() + 1).map(name).find(|n| piece.edge(n.as_str()).is_none()).unwrap_or_else(|| name(1))
}

/// A piece with a seam on the straight grain at a share of its breadth.
fn pieced(draft: &Draft, piece: &Piece, share: f64) -> Option<Seam> {
    let breadth = Breadth::of(piece, false).ok()?;
    let at_mm = (breadth.mm() * share).round();
    let new = unused(draft, &format!("{} piecing", piece.name()));
    let work = Alteration::Piecing(Piecing {
        piece: piece.name().clone(),
        keeps: Length::from_mm(at_mm),
        left: false,
        new: new.clone(),
        seam: unused_edge(piece, "piecing seam"),
        allowance: Length::from_mm(ALLOWANCE_MM),
    });
    Some(Seam { piece: piece.name().clone(), parts: vec![new], works: vec![work], at_mm })
}

/// How long the train is that a skirt of the garment has.
fn train_mm(garment: &Garment) -> Option<f64> {
    let train = |work: &Work| {
        let Work::Draft { block: Block::Skirt, settings } = work else { return None };
        let setting = Block::Skirt.settings().iter().copied().find(|s| s.key == "train")?;
        Some(settings.value(setting))
    };
    garment.works.iter().filter(|e| e.on).filter_map(|e| train(&e.work)).find(|mm| *mm >= LEAST_TRAIN_MM)
}

/// A piece with a seam from side to side, as far above the hem as the train is long: on the floor, where it shows least.
fn across_the_train(draft: &Draft, piece: &Piece, train_mm: f64) -> Option<Seam> {
    let edges = piece.edges();
    let hem = edges.iter().position(|e| e.role == Role::Hem)?;
    let name = &edges[hem].name;
    let beside: Vec<&crate::Edge> = [(hem + edges.len() - 1) % edges.len(), (hem + 1) % edges.len()].map(|i| &edges[i]).to_vec();
    let shortest = beside.iter().filter_map(|e| piece.edge_length_mm(e.name.as_str())).fold(f64::INFINITY, f64::min);
    let at_mm = train_mm.min(shortest / 2.0).round();
    if at_mm < LEAST_TRAIN_MM || beside[0].name == beside[1].name {
        return None;
    }
    let at = |edge: &crate::Edge| Place::along(edge.name.clone(), name.clone(), Length::from_mm(at_mm));
    let new = unused(draft, &format!("{} train", piece.name()));
    let work = Alteration::Cut(CutInTwo {
        piece: piece.name().clone(),
        line: DrawnLine::straight(at(beside[0]), at(beside[1])),
        seam: unused_edge(piece, "train seam"),
        new: new.clone(),
        with: name.clone(),
        allowance: Length::from_mm(ALLOWANCE_MM),
        sewn: true,
    });
    Some(Seam { piece: piece.name().clone(), parts: vec![new], works: vec![work], at_mm })
}
