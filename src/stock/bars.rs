//! Bars: the frame, and cranks, levers and rods as they are made, cut to length from what
//! is sold.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::nest::{Piece, nest};
use super::{BarPlan, List, Part, Scene, Shelf};
use crate::make::{Bar, BarKind, saw_cut};
use crate::model::BarStock;
use crate::units::{Mm, System, print};

/// What is sold where nobody says, metric and inch: battens of 2.4 m and 8 ft, flat
/// steel and threaded rod of 1 m and 3 ft (common practice, no source).
const BATTEN: (Mm, Mm) = (Mm(2400.0), Mm(2438.4));
const STEEL: (Mm, Mm) = (Mm(1000.0), Mm(914.4));

/// What kind of bar.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Section {
    /// A member of the frame, across by deep, and its name where it has one; in
    /// thousandths of a millimetre, so that equal ones meet.
    Batten(String, i64, i64),
    /// A bar with a row of holes for cranks, levers and rods, likewise.
    Drilled(String, i64, i64),
    /// A flat bar for cranks and levers that no bar is named for, likewise.
    Flat(i64, i64),
    /// A round rod that no bar is named for: its diameter, likewise.
    Rod(i64),
}

/// In thousandths of a millimetre, and back.
fn thousandths(length: Mm) -> i64 {
    (length.0 * 1000.0).round() as i64
}
fn whole(thousandths: i64) -> Mm {
    Mm(thousandths as f64 / 1000.0)
}

impl Section {
    /// A member of the frame, or what is cut from a bar that is named.
    fn named(name: String, wide: Mm, deep: Mm) -> Self {
        Self::Batten(name, thousandths(wide), thousandths(deep))
    }

    /// Of a crank, lever or rod.
    fn of(bar: &Bar) -> Self {
        let (wide, deep) = (thousandths(bar.section.0), thousandths(bar.section.1));
        match &bar.stock {
            Some(stock) if stock.holes.is_some() => Self::Drilled(stock.name.clone(), wide, deep),
            Some(stock) => Self::named(stock.name.clone(), bar.section.0, bar.section.1),
            None if bar.round() => Self::Rod(wide),
            None => Self::Flat(wide, deep),
        }
    }

    /// "batten 38 x 38 mm".
    #[must_use]
    pub fn words(&self, system: System) -> String {
        let across = |wide: &i64, deep: &i64| super::across(whole(*wide), whole(*deep), system);
        match self {
            Self::Batten(name, wide, deep) if name.is_empty() => {
                format!("batten {}", across(wide, deep))
            }
            Self::Batten(name, wide, deep) | Self::Drilled(name, wide, deep) => {
                format!("{name}, {}", across(wide, deep))
            }
            Self::Flat(wide, deep) => format!("flat steel {}", across(wide, deep)),
            Self::Rod(thick) => format!("round rod {}", print::length(whole(*thick), system)),
        }
    }

    /// What is usually sold of it.
    fn usual(&self, system: System) -> Mm {
        let (metric, inch) = match self {
            Self::Batten(..) => BATTEN,
            Self::Drilled(..) | Self::Flat(..) | Self::Rod(_) => STEEL,
        };
        if system == System::Inch { inch } else { metric }
    }
}

/// One kind of bar as it comes together.
struct Heap {
    pieces: Vec<Piece>,
    /// The bar, where one is named.
    bar: Option<Arc<BarStock>>,
    system: System,
}

/// The plans of all bars, and how many of each go on the list.
pub(super) fn plans(scene: &Scene<'_>, list: &mut List) -> Vec<BarPlan> {
    let mut heaps: BTreeMap<Section, Heap> = BTreeMap::new();
    for (n, placed) in scene.yard.figures.iter().enumerate() {
        let (figure, name) = (&placed.figure, &placed.name.value);
        let system = System::first_of([figure.system, scene.yard.system]);
        let mut put = |section: Section, length: Mm, whose: String, bar| {
            let empty = Heap { pieces: Vec::new(), bar, system };
            heaps.entry(section).or_insert(empty).pieces.push(Piece { length, whose });
        };
        for member in &figure.frame {
            let called = member.bar.as_ref().map_or(String::new(), |b| b.name.clone());
            let section = Section::named(called, member.width, member.depth);
            let length = member.from.distance(member.to);
            put(section, length, name.clone(), member.bar.clone());
        }
        for (bar, limb) in of_limbs(scene, n) {
            let whose = format!("{name}.{} {}", figure.limbs[limb].name.value, bar.kind.word());
            put(Section::of(bar), Mm(bar.cut), whose, bar.stock.clone());
        }
    }
    let plans: Vec<BarPlan> = heaps.into_iter().map(planned).collect();
    plans.iter().for_each(|plan| bought(scene, plan, list));
    plans
}

/// Which pieces of one kind come from which bar.
fn planned((section, heap): (Section, Heap)) -> BarPlan {
    let system = heap.system;
    let bar = heap.bar.as_ref();
    let said = bar.map_or((None, None), |b| (b.length, b.kerf));
    let length = said.0.unwrap_or_else(|| section.usual(system));
    let kerf = said.1.unwrap_or_else(|| saw_cut(system));
    // Cut half way between its holes: a piece is as long as its holes are many, and so is
    // what can be cut of the bar.
    let drilled = bar.filter(|_| matches!(section, Section::Drilled(..)));
    let rows = drilled.and_then(|b| Some(b.holes?.0 * b.holes_in(length)? - kerf));
    let nested = nest(heap.pieces, rows.unwrap_or(length), kerf);
    let (assumed, usual) = (said.0.is_none(), said.0.is_none() || said.1.is_none());
    BarPlan { length, assumed, kerf, usual, nested, system, section }
}

/// Cranks, levers and rods of a figure as they are made, each with the limb that has it; a
/// servo brings its arm, unless a bar is named for it.
fn of_limbs<'a>(scene: &Scene<'a>, figure: usize) -> impl Iterator<Item = (&'a Bar, usize)> {
    let bought = |bar: &&Bar| bar.kind != BarKind::ServoArm || bar.stock.is_some();
    let bars = scene.bars[figure].iter().filter(bought);
    bars.flat_map(|bar| bar.pieces.iter().map(move |limb| (bar, *limb)))
}

/// How many bars to buy, and what no bar is long enough for.
fn bought(scene: &Scene<'_>, plan: &BarPlan, list: &mut List) {
    let users = |pieces: &mut dyn Iterator<Item = &Piece>| {
        let names: BTreeSet<&str> = pieces.filter_map(|p| p.whose.split('.').next()).collect();
        let figures = scene.yard.figures.iter().map(|p| &p.name.value);
        figures.filter(|n| names.contains(n.as_str())).cloned().collect::<Vec<_>>()
    };
    let words = plan.section.words(plan.system);
    let row = |name: String, length: Mm, count: usize, figures| {
        let part = Part::one(Shelf::Bar, name, "", plan.system);
        Part { figures, ..part }.long(length).times(count as u32)
    };
    let nested = &plan.nested;
    if !nested.bars.is_empty() {
        let figures = users(&mut nested.bars.iter().flat_map(|b| &b.cuts));
        let pieces: usize = nested.bars.iter().map(|b| b.cuts.len()).sum();
        let kerf = print::length(plan.kerf, plan.system);
        let s = if pieces == 1 { "" } else { "s" };
        let about =
            format!("{pieces} piece{s}, saw cut {kerf}; no plan needs fewer than {}", nested.least);
        list.add(
            row(words.clone(), plan.length, nested.bars.len(), figures)
                .told(about)
                .guessed(plan.usual),
        );
    }
    for piece in &nested.too_long {
        let figures = users(&mut std::iter::once(piece));
        let row = row(words.clone(), piece.length, 1, figures);
        list.add(row.told("longer than a bar as sold").guessed(plan.assumed));
    }
}
