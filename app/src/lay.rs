//! Planning the lays of a garment: with a clock, threads, and a way to stop; and what is reported of them.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use draft_core::cloth::{Bolt, Cloth, Cut, Enough, Help, KeptLay, KeptStretch, LayOut, Purchase, Spread, Standing, Stretch, cuts};
use draft_core::lay::verify::{self, Fault};
use draft_core::lay::{Effort, Layout, Planner as _, SearchPlanner, Watch};
use draft_core::shopping::{Basis, BuyLine};
use draft_core::{Built, DraftError, Garment, Message, Name, Unit};
use kurbo::{Affine, Point};
use serde::Serialize;
use tiled_print::lay_plan::{LaidShape, LayPlan};

/// Stops a search after some time or when told to, lends it the threads of the pool, and passes on what it shows.
pub struct Clock<'a> {
    until: Option<Instant>,
    cancel: Arc<AtomicBool>,
    shown: &'a (dyn Fn(Shown<'_>) + Sync),
}

/// What a search shows while it runs.
#[derive(Clone, Copy, Debug)]
pub enum Shown<'l> {
    /// A better layout.
    Better(&'l Layout),
    /// So many passes are done.
    Passes(u64),
}

impl<'a> Clock<'a> {
    /// A clock that stops after `time`, if given, or when `cancel` becomes true.
    pub fn new(time: Option<Duration>, cancel: Arc<AtomicBool>, shown: &'a (dyn Fn(Shown<'_>) + Sync)) -> Self {
        Self { until: time.and_then(|t| Instant::now().checked_add(t)), cancel, shown }
    }
}

impl Watch for Clock<'_> {
    fn stop(&self) -> bool {
        self.cancel.load(Ordering::Relaxed) || self.until.is_some_and(|t| Instant::now() >= t)
    }

    fn better(&self, layout: &Layout) {
        (self.shown)(Shown::Better(layout));
    }

    fn passes(&self, done: u64) {
        (self.shown)(Shown::Passes(done));
    }

    fn together(&self, jobs: Vec<Box<dyn FnOnce() + Send + '_>>) {
        rayon::scope(|scope| jobs.into_iter().for_each(|job| scope.spawn(|_| job())));
    }
}

/// How long and from which seed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// Time for each stretch of cloth.
    Time(Duration),
    /// Passes for each stretch of cloth.
    Passes(u64),
}

/// What is to be planned of a cloth.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'k> {
    /// Lay on these lengths and no more.
    pub have: Option<&'k [Bolt]>,
    /// How long to search.
    pub limit: Limit,
    /// Where chance begins.
    pub seed: u64,
    /// A lay whose held pieces stay where they lie.
    pub around: Option<&'k KeptLay>,
}

impl Ask<'_> {
    /// The shortest lay, from nothing.
    pub const fn shortest(limit: Limit, seed: u64) -> Self {
        Self { have: None, limit, seed, around: None }
    }
}

/// Gives each stretch its watch: with how much time there is for it.
pub type Watches<'w, 'a> = &'w dyn Fn(Option<Duration>, &Stretch) -> Box<dyn Watch + 'a>;

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

/// Everything that is to be planned for a garment.
pub struct LayJob<'a> {
    /// The garment.
    pub garment: &'a Garment,
    /// All that is cut.
    pub cuts: Vec<Cut>,
    /// What could not be cut.
    pub messages: Vec<Message>,
}

impl<'a> LayJob<'a> {
    /// For a built garment.
    pub fn of(garment: &'a Garment, built: &Built) -> Self {
        let (cuts, messages) = cuts(garment, built);
        Self { garment, cuts, messages }
    }

    /// Plans one cloth.
    ///
    /// # Errors
    /// A piece can't be laid, pieces are held where they can't stay, or nothing is cut from the cloth.
    pub fn plan(&self, cloth: &Cloth, ask: Ask<'_>, clock: Watches<'_, 'a>) -> Result<ClothLay, DraftError> {
        let Ask { have, limit, seed, around } = ask;
        cloth.check()?;
        let unit = self.garment.wearer.unit;
        let effort = Effort { seed, passes: if let Limit::Passes(n) = limit { n } else { u64::MAX }, ..Effort::default() };
        let time = if let Limit::Time(t) = limit { Some(t) } else { None };
        if !self.cuts.iter().any(|c| c.layer.cloth == cloth.name) {
            return Err(DraftError::new(
                format!("cloth {}", cloth.name),
                "is not used: no piece is cut from it",
                "Choose another cloth, or put it into the list of a piece.",
            ));
        }
        if let Some(bolts) = have {
            return self.enough(cloth, bolts, effort, clock, time);
        }
        let planned = |tilt: bool, share: u32| -> Result<(LayOut, Vec<Layout>), DraftError> {
            let mut lay_out = LayOut::of(cloth, &self.cuts, tilt);
            for stretch in &mut lay_out.stretches {
                if let Some(kept) = around.and_then(|k| k.stretch(stretch.spread)) {
                    stretch.task.fixed = kept.recall(stretch).fixed();
                    can_stay(cloth, stretch, unit)?;
                }
            }
            let parts = share * lay_out.stretches.len().max(1) as u32;
            let layouts: Result<Vec<Layout>, DraftError> =
                lay_out.stretches.iter().map(|s| SearchPlanner.plan(&s.task, effort, &*clock(time.map(|t| t / parts), s))).collect();
            Ok((lay_out, layouts?))
        };
        let buys = |(lay_out, layouts): &(LayOut, Vec<Layout>)| {
            Purchase::of(cloth, LayOut::length_mm(layouts), lay_out.stretches.iter().map(Stretch::main_pieces).sum())
        };
        // Pieces that are held may lie off the grain already.
        let held = around.is_some() && cloth.tilt_deg > 0.0;
        let shares = if cloth.tilt_deg > 0.0 && !held { 2 } else { 1 };
        let mut planned_lay = planned(held, shares)?;
        let mut purchase = buys(&planned_lay);
        if cloth.tilt_deg > 0.0 && !held {
            // Off the grain only where that saves a step of the shop.
            let tilted = planned(true, shares)?;
            let saves = buys(&tilted);
            if saves.buy_mm < purchase.buy_mm {
                (planned_lay, purchase) = (tilted, saves);
            }
        }
        let (lay_out, layouts) = planned_lay;
        let mut left_out = Vec::new();
        let mut messages = Vec::new();
        for wide in &lay_out.too_wide {
            let message = wide.message(unit);
            let laid = lay_out.stretches.iter().flat_map(|s| &s.pieces).any(|p| p.piece == wide.piece);
            if !laid {
                left_out.extend((0..wide.count as usize).map(|copy| (wide.piece.clone(), copy + 1, message.problem.clone())));
            }
            messages.push(message);
        }
        let stretches = lay_out.stretches.into_iter().zip(layouts).map(|(stretch, layout)| LaidStretch { stretch, layout }).collect();
        Ok(ClothLay { cloth: cloth.clone(), stretches, left_out, purchase, messages, help: Vec::new(), seed })
    }

    fn enough(
        &self,
        cloth: &Cloth,
        bolts: &[Bolt],
        effort: Effort,
        clock: Watches<'_, 'a>,
        time: Option<Duration>,
    ) -> Result<ClothLay, DraftError> {
        let unit = self.garment.wearer.unit;
        // Several lays are tried, the first of them the one that is asked for.
        let Some(first) = LayOut::of(cloth, &self.cuts, false).stretches.into_iter().next() else {
            return Err(DraftError::new(
                format!("cloth {}", cloth.name),
                "is cut for no piece that fits across it",
                "Choose another cloth, or piece the wide ones.",
            ));
        };
        let watch = clock(time, &first);
        let enough = Enough::of(cloth, &self.cuts, bolts, &SearchPlanner, effort, &*watch)?;
        let there: f64 = bolts.iter().map(|b| b.length.mm()).sum();
        let wide = LayOut::of(cloth, &self.cuts, false).too_wide;
        let reason = |name: &Name| {
            wide.iter().find(|w| w.piece == *name).map_or_else(
                || format!("no room was found in {}; that is no proof that there is none", unit.rough(there)),
                |w| w.message(unit).problem,
            )
        };
        let left_out = enough.left_out.iter().map(|(name, copy)| (name.clone(), *copy, reason(name))).collect();
        let more = enough.help.iter().find_map(|h| if let Help::More(mm) = h { Some(*mm) } else { None });
        let mut purchase = Purchase::of(cloth, enough.layout.length_mm, 0);
        purchase.buy_mm = cloth.sold_by.round_up(more.unwrap_or(0.0));
        purchase.cost = cloth.price.as_ref().map(|p| p.of(purchase.buy_mm));
        Ok(ClothLay {
            cloth: cloth.clone(),
            stretches: vec![LaidStretch { stretch: enough.stretch, layout: enough.layout }],
            left_out,
            purchase,
            messages: wide.iter().map(|w| w.message(unit)).collect(),
            help: enough.help,
            seed: effort.seed,
        })
    }
}

/// Refuses pieces that are held on one another, off the cloth, or in a way in which they may not lie.
fn can_stay(cloth: &Cloth, stretch: &Stretch, unit: Unit) -> Result<(), DraftError> {
    let task = &stretch.task;
    let held = Layout { placed: task.fixed.clone(), ..Layout::default() };
    let wrong = |f: &Fault| !matches!(f, Fault::Miscounted(_) | Fault::WrongLength(_) | Fault::TooLong(_));
    match verify::faults(task, &held).into_iter().find(wrong) {
        None => Ok(()),
        Some(fault) => Err(DraftError::new(
            format!("lay of {}", cloth.name),
            format!(
                "{}, and {}",
                fault_text(stretch, &fault, unit),
                if fault.copies().len() > 1 { "both are held" } else { "is held there" }
            ),
            "Move them where they may lie, or let go of one, and lay the rest again.",
        )),
    }
}

/// What is wrong, with the names of the pieces and lengths in a unit.
pub fn fault_text(stretch: &Stretch, fault: &Fault, unit: Unit) -> String {
    let name = |(item, copy)| stretch.named(item, copy).map_or_else(String::new, |(name, copy)| format!("{name} {copy}"));
    if let Fault::Miscounted(copy) = fault {
        return format!("{} is not laid", name(*copy));
    }
    let area = |mm2: f64| if mm2 < 10.0 { "less than 0.1 cm²".to_owned() } else { format!("{:.1} cm²", mm2 / 100.0) };
    fault.text(&name, &|mm| unit.text(mm), &area)
}

/// One entry of `lay --json`: a stretch of cloth. Millimetres and degrees; keys never change meaning.
#[derive(Debug, Serialize)]
pub struct LayReport {
    cloth: String,
    spread: &'static str,
    /// Across the lay, from fold or selvedge to selvedge, without the selvedges: outlines lie between 0 and this.
    width_mm: f64,
    length_mm: f64,
    buy_mm: f64,
    efficiency: f64,
    seed: u64,
    passes: u64,
    placed: Vec<PlacedReport>,
    left_out: Vec<LeftOutReport>,
    gap_mm: f64,
    /// The cloth itself, with its selvedges.
    cloth_width_mm: f64,
    selvedge_mm: f64,
    one_way: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<f64>,
    help: Vec<String>,
}

/// A piece as it lies. Its own coordinates are mirrored (y becomes −y) if it is turned over, then turned by the angle, clockwise as
/// seen with y down, then moved by x and y.
#[derive(Debug, Serialize)]
struct PlacedReport {
    piece: String,
    copy: usize,
    angle_deg: f64,
    mirrored: bool,
    x_mm: f64,
    y_mm: f64,
    outline: Vec<[f64; 2]>,
    /// Pieces of cloth that this gives: two from both layers of folded cloth.
    gives: usize,
    on_fold: bool,
}

#[derive(Debug, Serialize)]
struct LeftOutReport {
    piece: String,
    copy: usize,
    reason: String,
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

    /// The entries of `lay --json`. What is bought stands with the first; a second stretch is cut from the same length.
    pub fn report(&self, unit: Unit) -> Vec<LayReport> {
        let mut out = Vec::new();
        for (i, laid) in self.stretches.iter().enumerate() {
            let first = i == 0;
            out.push(LayReport {
                cloth: self.cloth.name.clone(),
                spread: laid.stretch.spread.word(),
                width_mm: laid.stretch.task.width_mm,
                length_mm: laid.layout.length_mm,
                buy_mm: if first { self.purchase.buy_mm } else { 0.0 },
                efficiency: laid.layout.density(&laid.stretch.task),
                seed: self.seed,
                passes: laid.layout.passes,
                placed: laid.placed(),
                left_out: self
                    .left_out
                    .iter()
                    .filter(|_| first)
                    .map(|(piece, copy, reason)| LeftOutReport { piece: piece.to_string(), copy: *copy, reason: reason.clone() })
                    .collect(),
                gap_mm: laid.stretch.task.gap_mm,
                cloth_width_mm: self.cloth.width.mm(),
                selvedge_mm: self.cloth.selvedge.mm(),
                one_way: self.cloth.one_way,
                cost: self.purchase.cost.filter(|_| first),
                help: self.help.iter().filter(|_| first).map(|h| h.text(unit)).collect(),
            });
        }
        out
    }

    /// The report for people.
    pub fn text(&self, unit: Unit) -> String {
        let mut out = format!("{}\n", self.cloth.name);
        for laid in &self.stretches {
            out += &format!(
                "  {} layer, {} wide: {} long, {:.0} % of it pieces ({} laid)\n",
                laid.stretch.spread.word(),
                unit.rough(laid.stretch.task.width_mm),
                unit.rough(laid.layout.length_mm),
                100.0 * laid.layout.density(&laid.stretch.task),
                laid.layout.placed.len()
            );
        }
        if self.purchase.buy_mm > 0.0 {
            out += &format!("  Buy {}", self.cloth.sold_by.text(self.purchase.buy_mm));
            if let (Some(cost), Some(price)) = (self.purchase.cost, &self.cloth.price) {
                out += &format!(", {}", price.text(cost));
            }
            if self.purchase.repeat_mm > 0.0 {
                out += &format!(", with {} allowed for the repeat", unit.rough(self.purchase.repeat_mm));
            }
            out.push('\n');
        }
        for (piece, copy, reason) in &self.left_out {
            out += &format!("  Left out: {piece}, copy {copy}: {reason}\n");
        }
        for message in &self.messages {
            out += &format!("  {}: {}. {}\n", message.place, message.problem, message.remedy);
        }
        for help in &self.help {
            out += &format!("  {}\n", help.text(unit));
        }
        out
    }
}

impl LaidStretch {
    fn placed(&self) -> Vec<PlacedReport> {
        let task = &self.stretch.task;
        self.layout
            .placed
            .iter()
            .filter_map(|placed| {
                let (name, copy) = self.stretch.named(placed.item, placed.copy)?;
                let map = self.stretch.cloth_from_piece(placed).as_coeffs();
                let mirrored = map[0] * map[3] - map[1] * map[2] < 0.0;
                Some(PlacedReport {
                    piece: name.to_string(),
                    copy,
                    angle_deg: map[1].atan2(map[0]).to_degrees(),
                    mirrored,
                    x_mm: map[4],
                    y_mm: map[5],
                    outline: placed.outline(task).iter().map(|p| [p.x, p.y]).collect(),
                    gives: self.stretch.pieces[placed.item].gives,
                    on_fold: task.items[placed.item].on_fold,
                })
            })
            .collect()
    }

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
