//! The one pass over every figure: from a file to everything known about it.
//!
//! [`Compiler`] runs the stages in order and remembers what it computed. Nothing
//! else decides what is computed again: an item's clauses hold while its text is
//! the same, a figure while its item and every answer to a name it asked for are,
//! its mechanisms while the figure is, its part in a show while these, the song's
//! time and what it is asked are.

mod drawings;
mod memo;
mod order;
pub mod seen_to;
mod sounds;
mod swap;
mod work;

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock, OnceLock, RwLock};

use rayon::prelude::*;

use crate::finding::{Code, Finding, ItemId, Severity};
use crate::fit::{self, FittedFigure};
use crate::loads::{self, LoadedFigure, Music, Site};
use crate::model::{Figure, Note, Yard};
use crate::power::{self, Evening, Power};
use crate::resolve::{self, Copies, Cues, NameKind, Resolved, Scope};
use crate::season::{self, Night, Programme, Run};
use crate::source::{Disk, FileItem, OsDisk, ReadError, Sources, TopWords};
use crate::space::{self, SpacedFigure};
use crate::stock::{self, Stock};
use crate::syntax::{self, Reading};
use crate::timing::{self, Performance, Rehearsal};
use crate::units::Sec;
use drawings::ReadDrawings;
use memo::Memo;
use sounds::{Shelf, Sounds};
pub use swap::Swap;
pub use work::{Now, Step, Work};

/// Everything one compile found out.
#[derive(Clone, Debug)]
pub struct Compiled {
    /// The file asked for, as people write it.
    pub file: String,
    /// The resolved yard.
    pub yard: Arc<Yard>,
    /// Its figures with their mechanisms, in the order of `yard.figures`.
    pub figures: Vec<Arc<FittedFigure>>,
    /// Their loads, in the same order.
    pub loads: Vec<Arc<LoadedFigure>>,
    /// Their room, in the same order.
    pub spaces: Vec<Arc<SpacedFigure>>,
    /// Its shows played out, in the order of `yard.shows`.
    pub performances: Vec<Arc<Performance>>,
    /// What its shows take: supplies, cables, air, wear.
    pub power: Arc<Power>,
    /// What to buy and to cut for it, once somebody has asked for [it](Self::stock).
    pub stock: OnceLock<Arc<Stock>>,
    /// Its seasons worked out, those that can be.
    pub programmes: Vec<Programme>,
    /// The hints that were raised and that their maker has dealt with.
    pub seen_to: seen_to::Dealt,
    /// All findings, sorted by file, place and code.
    pub findings: Vec<Finding>,
    /// Every file that was read or asked for: what `watch` watches.
    pub read: Vec<PathBuf>,
}

impl Compiled {
    /// How many findings of this severity there are.
    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|f| f.severity == severity).count()
    }

    /// Checks that were not made, of the yard and of all limbs.
    #[must_use]
    pub fn not_made(&self) -> usize {
        let of_limbs = self.limbs().map(|(f, l)| self.not_checked(f, l).count());
        let of_supplies = self.power.supplies.iter().map(|s| s.not_counted.len());
        let of_tanks = self.power.air.iter().map(|a| a.not_checked.len());
        let of_all = of_limbs.chain(of_supplies).chain(of_tanks).sum::<usize>();
        self.yard.not_checked.len() + of_all
    }

    /// What to buy and to cut: worked out when it is first asked for, as nothing is found
    /// wrong by it.
    #[must_use]
    pub fn stock(&self) -> &Stock {
        self.stock.get_or_init(|| {
            Arc::new(stock::stock(&self.yard, &self.figures, &self.spaces, &self.power))
        })
    }

    /// Every limb, as the index of its figure and its own in the figure.
    pub fn limbs(&self) -> impl Iterator<Item = (usize, usize)> + Clone {
        let counts = self.figures.iter().map(|f| f.limbs.len());
        counts.enumerate().flat_map(|(f, n)| (0..n).map(move |l| (f, l)))
    }

    /// What was assumed of a limb, stage after stage.
    pub fn assumed(&self, figure: usize, limb: usize) -> impl Iterator<Item = &Note> + Clone {
        let fitted = &self.figures[figure].limbs[limb].assumed;
        let loaded = &self.loads[figure].limbs[limb].assumed;
        fitted.iter().chain(loaded).chain(&self.spaces[figure].limbs[limb].assumed)
    }

    /// What was not checked of a limb, stage after stage.
    pub fn not_checked(&self, figure: usize, limb: usize) -> impl Iterator<Item = &Note> + Clone {
        let fitted = &self.figures[figure].limbs[limb].not_checked;
        let loaded = &self.loads[figure].limbs[limb].not_checked;
        // With its load its speed in the cold is worked out, by grease that was taken.
        let motor = self.figures[figure].figure.motor_of(limb);
        let point = motor.and_then(|m| self.loads[figure].motors.get(m));
        let cold = point.and_then(|p| p.brushed()?.worst).is_some();
        let fitted = fitted.iter().filter(move |n| !(cold && n.what == timing::COLD_SPEED));
        fitted.chain(loaded).chain(&self.spaces[figure].limbs[limb].not_checked)
    }
}

/// Compiles files; keeps what it computed for the next time.
#[derive(Debug)]
pub struct Compiler {
    sources: Sources,
    /// Clauses and findings by item.
    readings: Memo<ItemId, Arc<Read>>,
    /// Figures by the item that describes them.
    figures: Memo<ItemId, Arc<Resolved>>,
    /// Mechanisms by the figure's address; the figure is kept alive with them.
    fits: Memo<usize, (Arc<Figure>, Arc<FittedFigure>)>,
    /// Loads by the fitted figure's address and its name in the yard.
    loads: Memo<(usize, String), (Arc<FittedFigure>, Arc<LoadedFigure>)>,
    /// Room by the fitted figure's address.
    spaces: Memo<usize, (Arc<FittedFigure>, Arc<SpacedFigure>)>,
    /// Copies of the last compile.
    copies: Copies,
    /// Cues of the last compile.
    cues: Cues,
    /// Drawings by what their files hold.
    drawings: ReadDrawings,
    /// Sounds by what their files hold.
    sounds: Sounds,
    /// Shows of the last compile, by name.
    rehearsals: BTreeMap<String, Rehearsal>,
    /// Motors to try.
    swaps: Vec<Swap>,
    /// What of them could not be tried.
    not_tried: Vec<String>,
    /// How far the work is.
    work: Arc<Work>,
}

/// The nights of a season as sums over them want them.
fn evenings(programme: &Programme) -> (String, Vec<Evening>) {
    let evening = |night: &Night| {
        let first = night.runs.first().map(|r| &r.start);
        let after = |r: &Run| first.map_or(0.0, |f| f.duration_until(&r.start).as_secs_f64());
        let runs = night.runs.iter().map(|r| (r.show.clone(), Sec(after(r)))).collect();
        Evening { date: night.date.to_string(), runs }
    };
    (programme.season.clone(), programme.nights.iter().map(evening).collect())
}

/// An item's clauses with what was found wrong in them.
#[derive(Debug)]
struct Read {
    reading: Arc<Reading>,
    findings: Vec<Finding>,
}

impl Default for Compiler {
    fn default() -> Self {
        Self::new(OsDisk)
    }
}

impl Compiler {
    /// A compiler that reads from `disk`.
    #[must_use]
    pub fn new(disk: impl Disk + 'static) -> Self {
        Self {
            sources: Sources::new(disk, TOP.clone()),
            readings: Memo::default(),
            figures: Memo::default(),
            fits: Memo::default(),
            loads: Memo::default(),
            spaces: Memo::default(),
            copies: Copies::default(),
            cues: Cues::default(),
            drawings: ReadDrawings::default(),
            sounds: Sounds::default(),
            rehearsals: BTreeMap::new(),
            swaps: Vec::new(),
            not_tried: Vec::new(),
            work: Arc::default(),
        }
    }

    /// Counts into `work` from the next compile on.
    pub fn count_into(&mut self, work: Arc<Work>) {
        self.work = work;
    }

    /// Tries other motors from the next compile on, the files unchanged.
    pub fn try_motors(&mut self, swaps: Vec<Swap>) {
        self.swaps = swaps;
    }

    /// What of the motors to try could not be tried in the last compile, a sentence each.
    #[must_use]
    pub fn not_tried(&self) -> &[String] {
        &self.not_tried
    }

    /// The texts of the last compile: where places lead.
    #[must_use]
    pub fn sources(&self) -> &Sources {
        &self.sources
    }

    /// Compiles a file and all it uses.
    ///
    /// # Errors
    /// Where the file itself cannot be read; everything else is a finding.
    pub fn compile(&mut self, entry: &Path) -> Result<Compiled, ReadError> {
        self.readings.next_round();
        self.figures.next_round();
        self.fits.next_round();
        self.loads.next_round();
        self.spaces.next_round();
        self.drawings.next_round();
        self.sounds.next_round();

        let file = self.sources.open(entry)?;
        let mut findings = Vec::new();
        let gathered = {
            let readings = &mut self.readings;
            let mut read = |items: &[FileItem], library: bool| {
                read_all(readings, items, library, &mut findings)
            };
            resolve::gather(&mut self.sources, file, &mut read)
        };
        let (gathered, more) = gathered;
        findings.extend(more);

        let (mut scope, more) =
            Scope::new(gathered.items.clone(), &gathered.library, gathered.uses_library);
        findings.extend(more);
        scope.drawings = self.drawings.fetch(&mut self.sources, &scope);
        let figures = self.resolve_figures(&scope, &mut findings);
        let (mut yard, more) = resolve::yard_again(&scope, &figures, &mut self.copies);
        findings.extend(more);
        self.not_tried = swap::swap(&mut yard, &scope, &self.swaps);
        self.work.begin(Step::Songs, scope.names.all(NameKind::Song).count());
        let shelf = Shelf::new(&mut self.sources, &mut self.sounds, &self.work);
        findings.extend(resolve::program_again(&scope, &shelf, &mut yard, &mut self.cues));
        let fitted = self.fit(&yard);
        findings.extend(fitted.iter().flat_map(|f| f.findings.iter().cloned()));
        let spaces = self.space(&fitted);
        findings.extend(spaces.iter().flat_map(|f| f.findings.iter().cloned()));
        let loads = self.load(&yard, &fitted, &spaces);
        findings.extend(loads.iter().flat_map(|f| f.findings.iter().cloned()));
        findings.extend(space::yard(&yard, &spaces));
        let yard = Arc::new(yard);
        let performances = self.play(&yard, &fitted, &loads, &mut findings);
        self.work.begin(Step::Power, 1);
        let programmes = season::programmes(&yard, &performances, &mut findings);
        let nights: Vec<_> = programmes.iter().map(evenings).collect();
        let power = power::power(&yard, &fitted, &loads, &performances, &nights);
        // What a show asks of a motor was told when it was timed.
        let about = |f: &Finding| (f.code.word, f.figure.clone(), f.limb.clone());
        let told: BTreeSet<_> = findings.iter().filter(|f| f.limb.is_some()).map(about).collect();
        findings.extend(power.findings.iter().filter(|f| !told.contains(&about(f))).cloned());
        let seen_to = seen_to::seen_to(&mut findings, &yard, &codes());

        Ok(Compiled {
            file: self.sources.file(file).name.clone(),
            yard,
            figures: fitted,
            loads,
            spaces,
            performances,
            power: Arc::new(power),
            stock: OnceLock::new(),
            programmes,
            seen_to,
            findings: order::in_order(findings, &self.sources),
            read: self.sources.files_read().iter().map(|f| f.path.clone()).collect(),
        })
    }

    /// Resolves every figure whose item or answers changed, side by side.
    fn resolve_figures(&mut self, scope: &Scope, findings: &mut Vec<Finding>) -> Vec<Arc<Figure>> {
        let items = scope.figures();
        let kept: Vec<Option<Arc<Resolved>>> =
            items.iter().map(|r| self.figures.get(&r.item, |v| v.holds(scope, r.item))).collect();
        let resolved: Vec<Arc<Resolved>> = items
            .par_iter()
            .zip(kept)
            .map(|(r, kept)| kept.unwrap_or_else(|| Arc::new(Resolved::new(r, scope))))
            .collect();
        for (item, resolved) in items.iter().zip(&resolved) {
            self.figures.put(item.item, Arc::clone(resolved));
            findings.extend(resolved.findings.iter().cloned());
        }
        resolved.iter().filter_map(|r| r.figure.clone()).collect()
    }

    /// Fits every placed figure that is not the very one of the last compile.
    fn fit(&mut self, yard: &Yard) -> Vec<Arc<FittedFigure>> {
        let kept: Vec<Option<Arc<FittedFigure>>> = yard
            .figures
            .iter()
            .map(|placed| {
                let address = Arc::as_ptr(&placed.figure).addr();
                self.fits
                    .get(&address, |(figure, _)| Arc::ptr_eq(figure, &placed.figure))
                    .map(|(_, f)| f)
            })
            .collect();
        let anew = Anew::new(&self.work, Step::Mechanisms, &kept);
        let fitted: Vec<Arc<FittedFigure>> = yard
            .figures
            .par_iter()
            .zip(kept)
            .map(|(placed, kept)| anew.or(kept, || fitted(&placed.figure)))
            .collect();
        for fitted in &fitted {
            let address = Arc::as_ptr(&fitted.figure).addr();
            self.fits.put(address, (Arc::clone(&fitted.figure), Arc::clone(fitted)));
        }
        fitted
    }

    /// Loads every figure whose mechanisms or site are not those of the last compile.
    fn load(
        &mut self,
        yard: &Yard,
        fitted: &[Arc<FittedFigure>],
        spaces: &[Arc<SpacedFigure>],
    ) -> Vec<Arc<LoadedFigure>> {
        let music = Music::of(yard);
        let placed = yard.figures.par_iter().zip(spaces);
        let sites: Vec<Site> = placed.map(|(p, s)| Site::of(yard, p, (s, music))).collect();
        let key = |n: usize| (Arc::as_ptr(&fitted[n]).addr(), yard.figures[n].name.value.clone());
        let kept: Vec<Option<Arc<LoadedFigure>>> = (0..fitted.len())
            .map(|n| {
                let valid = |(f, l): &(Arc<FittedFigure>, Arc<LoadedFigure>)| {
                    Arc::ptr_eq(f, &fitted[n]) && l.site == sites[n]
                };
                self.loads.get(&key(n), valid).map(|(_, loaded)| loaded)
            })
            .collect();
        let anew = Anew::new(&self.work, Step::Loads, &kept);
        let loaded: Vec<Arc<LoadedFigure>> = (fitted, spaces, sites, kept)
            .into_par_iter()
            .map(|(f, space, site, kept)| anew.or(kept, || loads::load(f, space, &site)))
            .collect();
        for (n, loaded) in loaded.iter().enumerate() {
            self.loads.put(key(n), (Arc::clone(&fitted[n]), Arc::clone(loaded)));
        }
        loaded
    }

    /// Looks for room in every figure whose mechanisms are not those of the last
    /// compile.
    fn space(&mut self, fitted: &[Arc<FittedFigure>]) -> Vec<Arc<SpacedFigure>> {
        let key = |f: &Arc<FittedFigure>| Arc::as_ptr(f).addr();
        let kept: Vec<Option<Arc<SpacedFigure>>> = fitted
            .iter()
            .map(|f| self.spaces.get(&key(f), |(kept, _)| Arc::ptr_eq(kept, f)).map(|(_, s)| s))
            .collect();
        let anew = Anew::new(&self.work, Step::Room, &kept);
        let spaced: Vec<Arc<SpacedFigure>> = fitted
            .par_iter()
            .zip(kept)
            .map(|(f, kept)| anew.or(kept, || space::space(f)))
            .collect();
        for (f, spaced) in fitted.iter().zip(&spaced) {
            self.spaces.put(key(f), (Arc::clone(f), Arc::clone(spaced)));
        }
        spaced
    }

    /// Plays every show; figures that play the same as in the last compile keep
    /// their parts.
    fn play(
        &mut self,
        yard: &Arc<Yard>,
        fitted: &[Arc<FittedFigure>],
        loads: &[Arc<LoadedFigure>],
        findings: &mut Vec<Finding>,
    ) -> Vec<Arc<Performance>> {
        let mut last = std::mem::take(&mut self.rehearsals);
        let mut performances = Vec::with_capacity(yard.shows.len());
        self.work.begin(Step::Shows, yard.shows.len());
        for (index, show) in yard.shows.iter().enumerate() {
            let name = &show.name.value;
            let mut rehearsal = last.remove(name).unwrap_or_default();
            let played =
                timing::perform_again(yard, fitted, loads, index, &mut rehearsal, findings);
            performances.push(Arc::new(played));
            self.rehearsals.insert(name.clone(), rehearsal);
            self.work.one_done();
        }
        performances
    }
}

/// What is computed anew, counted.
struct Anew<'a>(&'a Work);

impl<'a> Anew<'a> {
    /// A stretch of as many pieces as are not kept.
    fn new<T>(work: &'a Work, step: Step, kept: &[Option<T>]) -> Self {
        work.begin(step, kept.iter().filter(|k| k.is_none()).count());
        Self(work)
    }

    /// What was kept, or a piece made now.
    fn or<T>(&self, kept: Option<Arc<T>>, make: impl FnOnce() -> T) -> Arc<T> {
        kept.unwrap_or_else(|| {
            let made = Arc::new(make());
            self.0.one_done();
            made
        })
    }
}

/// A figure's mechanisms, with what the timing of its limbs leaves out.
fn fitted(figure: &Arc<Figure>) -> FittedFigure {
    let mut fitted = fit::fit(figure);
    for index in 0..fitted.limbs.len() {
        let notes = timing::not_checked(&fitted, index);
        fitted.limbs[index].not_checked.extend(notes);
        let taken = timing::assumed(&fitted, index);
        fitted.limbs[index].assumed.extend(taken);
    }
    fitted
}

/// The words that begin an item.
static TOP: LazyLock<TopWords> = LazyLock::new(|| syntax::top_words(&resolve::ROOT));

/// Items of the library by their text, read once for all compilers.
static LIBRARY: LazyLock<RwLock<HashMap<Arc<str>, Arc<Reading>>>> = LazyLock::new(RwLock::default);

/// An item's clauses.
fn read_one(item: &FileItem, library: bool) -> Read {
    let known = || Some(Arc::clone(LIBRARY.read().ok()?.get(&item.text)?));
    if let Some(known) = library.then(known).flatten() {
        return Read { reading: Arc::new(known.under(item.id)), findings: Vec::new() };
    }
    let mut findings = Vec::new();
    let text = Arc::clone(&item.text);
    let reading = Arc::new(syntax::read(item.id, text, &resolve::ROOT, &mut findings));
    if let (true, true, Ok(mut known)) = (library, findings.is_empty(), LIBRARY.write()) {
        known.insert(Arc::clone(&item.text), Arc::clone(&reading));
    }
    Read { reading, findings }
}

/// The clauses of a file's items; those that are new are read side by side.
fn read_all(
    memo: &mut Memo<ItemId, Arc<Read>>,
    items: &[FileItem],
    library: bool,
    findings: &mut Vec<Finding>,
) -> Vec<Arc<Reading>> {
    let kept: Vec<Option<Arc<Read>>> = items.iter().map(|i| memo.get(&i.id, |_| true)).collect();
    let read: Vec<Arc<Read>> = items
        .par_iter()
        .zip(kept)
        .map(|(item, kept)| kept.unwrap_or_else(|| Arc::new(read_one(item, library))))
        .collect();
    for (item, read) in items.iter().zip(&read) {
        memo.put(item.id, Arc::clone(read));
        findings.extend(read.findings.iter().cloned());
    }
    read.into_iter().map(|r| Arc::clone(&r.reading)).collect()
}

/// Every code of every stage, sorted by word.
#[must_use]
pub fn codes() -> Vec<&'static Code> {
    let mut all: Vec<&'static Code> = [
        syntax::CODES,
        resolve::CODES,
        resolve::CODES_DRAWING,
        resolve::codes_show::CODES,
        fit::codes::CODES,
        &loads::codes(),
        space::CODES,
        timing::CODES,
        power::CODES,
        season::CODES,
        seen_to::CODES,
    ]
    .concat();
    all.sort_by_key(|c| c.word);
    all
}
