//! The lay of one cloth: how its pieces lie, what it takes, and how it is kept and drawn.

use draft_core::cloth::{Cloth, Help, KeptLay, KeptStretch, LayOut, Purchase, Spread, Standing, Stretch, cuts};
use draft_core::lay::Layout;
use draft_core::shopping::{Basis, BuyLine};
use draft_core::{Built, Garment, Message, Name};
use kurbo::{Affine, Point};
use tiled_print::lay_plan::{LaidShape, LayPlan};

/// One stretch of cloth with its pieces.
#[derive(Clone, Debug)]
pub struct LaidStretch {
    /// What was to be laid.
    pub stretch: Stretch,
    /// How it lies.
    pub layout: Layout,
}

/// The lay of one cloth.
#[derive(Clone, Debug)]
pub struct ClothLay {
    /// The cloth.
    pub cloth: Cloth,
    /// Its stretches, cut one after another.
    pub stretches: Vec<LaidStretch>,
    /// Pieces that are not laid, number of the copy, and why.
    pub left_out: Vec<(Name, usize, String)>,
    /// What to buy.
    pub purchase: Purchase,
    /// What to tell the maker.
    pub messages: Vec<Message>,
    /// What would help, when the cupboard does not suffice.
    pub help: Vec<Help>,
    /// Where chance began.
    pub seed: u64,
}

impl ClothLay {
    /// Whether every piece lies.
    pub fn is_whole(&self) -> bool {
        self.left_out.is_empty()
    }

    /// The lays that the garment keeps, as far as they are sound on the pieces as they are now.
    pub fn of_garment(garment: &Garment, built: &Built) -> Vec<Self> {
        let (cuts, _) = cuts(garment, built);
        let lay = |cloth: &Cloth| {
            let kept = garment.lays.iter().find(|l| l.cloth == cloth.name)?;
            let lay_out = LayOut::of(cloth, &cuts, true);
            let standing = Standing::of(&lay_out, Some(kept));
            if !standing.is_sound() {
                return None;
            }
            let purchase = standing.purchase(&lay_out);
            let unit = garment.wearer.unit;
            let messages: Vec<Message> = lay_out.too_wide.iter().map(|w| w.message(unit)).collect();
            let wide = lay_out.too_wide.iter().zip(&messages);
            let left_out = wide.flat_map(|(w, m)| (1..=w.count as usize).map(|copy| (w.piece.clone(), copy, m.problem.clone()))).collect();
            let stretches = lay_out.stretches.into_iter().zip(standing.stretches);
            let stretches = stretches.map(|(stretch, stood)| LaidStretch { stretch, layout: stood.recalled.layout }).collect();
            Some(Self { cloth: cloth.clone(), stretches, left_out, purchase, messages, help: Vec::new(), seed: kept.seed })
        };
        garment.cloths_or_plain().iter().filter_map(lay).collect()
    }

    /// What of it to buy.
    pub fn buy_line(&self) -> BuyLine {
        let basis = if self.is_whole() { Basis::Lay } else { Basis::Part };
        BuyLine { cloth: self.cloth.clone(), basis, purchase: self.purchase.clone() }
    }

    /// What the drawings show, each with a name for its file.
    pub fn plans(&self, garment: &Garment, built: &Built) -> Vec<(String, LayPlan)> {
        let unit = garment.wearer.unit;
        let plain: String = self.cloth.name.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).take(60).collect();
        let plan = |(i, laid): (usize, &LaidStretch)| {
            let name = if i == 0 { format!("lay-{plain}") } else { format!("lay-{plain}-{}", i + 1) };
            let title = format!("{}: {}, {} layer", garment.name, self.cloth.name, laid.stretch.spread.word());
            let mut facts = vec![format!(
                "{} long, {} between the edges, {:.0} % pieces{}",
                unit.rough(laid.layout.length_mm),
                unit.rough(laid.stretch.task.width_mm),
                100.0 * laid.layout.density(&laid.stretch.task),
                if self.cloth.one_way { ", all pieces one way up" } else { "" }
            )];
            if i == 0 && self.purchase.buy_mm > 0.0 {
                facts.push(format!("buy {}", self.cloth.sold_by.text(self.purchase.buy_mm)));
            }
            if i == 0 && !self.left_out.is_empty() {
                let mut names: Vec<&str> = self.left_out.iter().map(|(piece, ..)| piece.as_str()).collect();
                names.dedup();
                facts.push(format!("not laid: {}", names.join(", ")));
            }
            (name, laid.plan(title, facts, &self.cloth, built))
        };
        self.stretches.iter().enumerate().map(plan).collect()
    }

    /// What the garment keeps of it. `held` says of a piece, by its name and the number of its copy, whether it stays.
    pub fn kept(&self, held: impl Fn(&Name, usize) -> bool) -> KeptLay {
        let passes = self.stretches.iter().map(|s| s.layout.passes).max().unwrap_or(0);
        let of = |laid: &LaidStretch| {
            KeptStretch::of(&laid.stretch, &laid.layout, |p| {
                laid.stretch.named(p.item, p.copy).is_some_and(|(name, copy)| held(name, copy))
            })
        };
        let stretches = self.stretches.iter().map(of).collect();
        KeptLay { cloth: self.cloth.name.clone(), seed: self.seed, passes, by_hand: false, stretches }
    }
}

impl LaidStretch {
    /// What the drawing shows.
    pub fn plan(&self, title: String, facts: Vec<String>, cloth: &Cloth, built: &Built) -> LayPlan {
        let task = &self.stretch.task;
        let pieces = self
            .layout
            .placed
            .iter()
            .filter_map(|placed| {
                let (name, copy) = self.stretch.named(placed.item, placed.copy)?;
                let piece = built.draft.piece(name.as_str())?;
                let map: Affine = self.stretch.cloth_from_piece(placed);
                let item = &task.items[placed.item];
                let fold = piece.fold().and_then(|f| piece.edge_ends(f.name.as_str())).map(|(a, b): (Point, Point)| [map * a, map * b]);
                let gives = self.stretch.pieces[placed.item].gives;
                let mut note = if gives == 2 { format!("{copy} and {}", copy + 1) } else { copy.to_string() };
                if item.on_fold {
                    note += ", on the fold";
                }
                let turned_over = map.determinant() < 0.0 && !item.on_fold && gives == 1;
                if turned_over {
                    note += ", face down";
                }
                Some(LaidShape { name: name.to_string(), note, outline: placed.outline(task), grain: map * piece.grain(), fold })
            })
            .collect();
        LayPlan {
            title,
            facts,
            width_mm: task.width_mm,
            length_mm: match task.extent {
                draft_core::lay::Extent::Shortest => self.layout.length_mm,
                draft_core::lay::Extent::Only(mm) => mm,
            },
            selvedge_mm: cloth.selvedge.mm(),
            folded: self.stretch.spread == Spread::Folded,
            flaws: task.flaws.clone(),
            pieces,
        }
    }
}
