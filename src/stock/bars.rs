//! Bars: the frame, cranks, levers and rods, cut to length from what is sold.

use std::collections::BTreeMap;

use super::nest::{Piece, nest};
use super::{BarPlan, List, Part, Scene, Shelf, household};
use crate::fit::{Fitted, SizeName};
use crate::model::{Figure, Limb, Mount};
use crate::space;
use crate::units::{Mm, System, print};

/// How far a bar goes on beyond its last hole (common practice, no source).
pub const BEYOND: Mm = Mm(14.0);

/// What is sold where nobody says, metric and inch: battens of 2.4 m and 8 ft, flat
/// steel and threaded rod of 1 m and 3 ft (common practice, no source).
const BATTEN: (Mm, Mm) = (Mm(2400.0), Mm(2438.4));
const STEEL: (Mm, Mm) = (Mm(1000.0), Mm(914.4));
/// Width of a saw's cut: 3 mm and 1/8 in (common practice, no source).
const KERF: (Mm, Mm) = (Mm(3.0), Mm(3.175));
/// A rod that steps aside by two bends of 45 deg is longer by so much of the step: the
/// slope of a square over its side, less the side.
const BENT: f64 = std::f64::consts::SQRT_2 - 1.0;

/// What kind of bar.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Section {
    /// A member of the frame, across by deep, and its name where it has one; in
    /// thousandths of a millimetre, so that equal ones meet.
    Batten(String, i64, i64),
    /// A flat bar for cranks and levers.
    Flat,
    /// A rod.
    Rod,
}

impl Section {
    /// "batten 38 x 38 mm".
    #[must_use]
    pub fn words(&self, system: System) -> String {
        let across = |a: Mm, b: Mm| super::across(a, b, system);
        match self {
            Self::Batten(name, wide, deep) => {
                let mm = |thousandths: i64| Mm(thousandths as f64 / 1000.0);
                let size = across(mm(*wide), mm(*deep));
                if name.is_empty() { format!("batten {size}") } else { format!("{name}, {size}") }
            }
            Self::Flat => {
                format!("flat steel {}", across(Mm(2.0 * space::BAR_HALF), Mm(space::BAR)))
            }
            Self::Rod => "threaded rod M8".to_owned(),
        }
    }

    /// What is usually sold of it.
    fn usual(&self, system: System) -> Mm {
        let (metric, inch) = match self {
            Self::Batten(..) => BATTEN,
            Self::Flat | Self::Rod => STEEL,
        };
        if system == System::Inch { inch } else { metric }
    }
}

/// One kind of bar as it comes together.
struct Heap {
    pieces: Vec<Piece>,
    /// Length of a bar and width of a cut, where said.
    sold: (Option<Mm>, Option<Mm>),
    system: System,
}

/// The plans of all bars, and how many of each go on the list.
pub(super) fn plans(scene: &Scene<'_>, list: &mut List) -> Vec<BarPlan> {
    let mut heaps: BTreeMap<Section, Heap> = BTreeMap::new();
    for (n, placed) in scene.yard.figures.iter().enumerate() {
        let (figure, name) = (&placed.figure, &placed.name.value);
        let system = household(figure.system, scene.yard.system);
        let mut put = |section: Section, length: Mm, whose: String, sold| {
            let empty = Heap { pieces: Vec::new(), sold, system };
            heaps.entry(section).or_insert(empty).pieces.push(Piece { length, whose });
        };
        for member in &figure.frame {
            let (section, sold) = of_member(member);
            put(section, member.from.distance(member.to), name.clone(), sold);
        }
        for (section, length, what) in of_limbs(scene, n) {
            put(section, length, format!("{name}.{what}"), (None, None));
        }
    }
    let plan = |(section, heap): (Section, Heap)| {
        let system = heap.system;
        let length = heap.sold.0.unwrap_or_else(|| section.usual(system));
        let kerf = heap.sold.1.unwrap_or(if system == System::Inch { KERF.1 } else { KERF.0 });
        let nested = nest(heap.pieces, length, kerf);
        let framed = matches!(section, Section::Batten(..));
        let usual = !framed || heap.sold.0.is_none() || heap.sold.1.is_none();
        let assumed = heap.sold.0.is_none();
        BarPlan { length, assumed, kerf, usual, nested, system, section }
    };
    let plans: Vec<BarPlan> = heaps.into_iter().map(plan).collect();
    plans.iter().for_each(|plan| bought(scene, plan, list));
    plans
}

fn of_member(member: &crate::model::FrameMember) -> (Section, (Option<Mm>, Option<Mm>)) {
    let whole = |v: Mm| (v.0 * 1000.0).round() as i64;
    let (name, sold) = match &member.bar {
        Some(bar) => (bar.name.clone(), (bar.length, bar.kerf)),
        None => (String::new(), (None, None)),
    };
    (Section::Batten(name, whole(member.width), whole(member.depth)), sold)
}

/// Cranks, levers and rods of a figure's limbs; a crank pin that limbs share is one.
fn of_limbs(scene: &Scene<'_>, figure: usize) -> Vec<(Section, Mm, String)> {
    let fitted = &scene.fitted[figure];
    let mut all = Vec::new();
    let mut cranks: Vec<(usize, u64, u64)> = Vec::new();
    for (index, limb) in fitted.figure.limbs.iter().enumerate() {
        let Some(mechanism) = &fitted.limbs[index].mechanism else { continue };
        let size = |name| size_of(mechanism, name);
        let name = &limb.name.value;
        let flat = |holes: Mm| holes + BEYOND * 2.0;
        // A servo brings its own arm.
        if let (Some(crank), false) = (size(SizeName::Crank), matches!(mechanism, Fitted::Servo(_)))
        {
            let pin = mechanism.follows().map_or(0.0, |f| f.pin.0);
            let motor = fitted.figure.motor_of(index).unwrap_or(usize::MAX);
            let own = (motor, pin.to_bits(), crank.0.to_bits());
            if !cranks.contains(&own) {
                cranks.push(own);
                all.push((Section::Flat, flat(crank), format!("{name} crank")));
            }
        }
        let own_lever = limb.mount == Mount::Front && limb.carrier.is_none() && turns(limb);
        if let Some(lever) = size(SizeName::Lever).filter(|_| own_lever) {
            all.push((Section::Flat, flat(lever), format!("{name} lever")));
        }
        if let Some(rod) = size(SizeName::Rod) {
            let step = stepped(&fitted.figure, limb);
            all.push((Section::Rod, flat(rod + step * BENT), format!("{name} rod")));
        }
    }
    all
}

fn turns(limb: &Limb) -> bool {
    matches!(limb.joint, crate::model::Joint::Pivot { .. })
}

/// How far a rod steps aside; one between two limbs stays in its plane.
fn stepped(figure: &Figure, limb: &Limb) -> Mm {
    if limb.carrier.is_some() {
        return Mm(0.0);
    }
    space::standoff(figure, limb).0.abs()
}

/// A size as drilled.
fn size_of(mechanism: &Fitted, name: SizeName) -> Option<Mm> {
    let bars = |bar: &crate::mechanism::FourBar| {
        let bars = bar.bars();
        match name {
            SizeName::Crank => Some(bars.crank),
            SizeName::Rod => Some(bars.rod),
            SizeName::Lever => Some(bars.lever),
            _ => None,
        }
    };
    match mechanism {
        Fitted::FourBar(f) => bars(&f.drilled),
        Fitted::Servo(s) => match &s.cord {
            None => bars(s.linkage.as_ref()?),
            Some(cord) => drilled(cord, name),
        },
        Fitted::Drive(d) => drilled(d, name),
        Fitted::Spin(_) => None,
    }
}

fn drilled(drive: &crate::fit::FittedDrive, name: SizeName) -> Option<Mm> {
    drive.sizes.iter().find(|s| s.name == name).map(|s| Mm(s.drilled))
}

/// How many bars to buy, and what no bar is long enough for.
fn bought(scene: &Scene<'_>, plan: &BarPlan, list: &mut List) {
    let users = |pieces: &mut dyn Iterator<Item = &Piece>| {
        let names: Vec<&str> = pieces.filter_map(|p| p.whose.split('.').next()).collect();
        let figures = scene.yard.figures.iter().map(|p| &p.name.value);
        figures.filter(|n| names.contains(&n.as_str())).cloned().collect::<Vec<_>>()
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
        let about =
            format!("{pieces} pieces, saw cut {kerf}; no plan needs fewer than {}", nested.least);
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
