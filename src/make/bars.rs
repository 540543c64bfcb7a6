//! Bars: cranks, levers, servo arms and rods, with their holes and cut lengths.

use std::sync::Arc;

use super::bends::{Bends, developed};
use super::holes::clearance;
use super::sound;
use crate::fit::bar_length::{self, BEYOND, apart, trial_rows};
use crate::fit::{Fitted, FittedFigure, SizeName};
use crate::model::{BarStock, Limb, PIN};
use crate::space;
use crate::space::bolt_of;
use crate::units::{Mm, System};

/// What a bar is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BarKind {
    /// On a motor's shaft.
    Crank,
    /// On a servo's shaft.
    ServoArm,
    /// On a limb's bolt.
    Lever,
    /// Between two pins.
    Rod,
}

impl BarKind {
    /// What people call it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Crank => "crank",
            Self::ServoArm => "servo arm",
            Self::Lever => "lever",
            Self::Rod => "rod",
        }
    }
}

/// A bar, hole by hole from its first.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// What it is.
    pub kind: BarKind,
    /// The limbs that need one, by index.
    pub limbs: Vec<usize>,
    /// Of these limbs those that have one of their own: limbs on one crank pin share
    /// their crank, and the first of them has it.
    pub pieces: Vec<usize>,
    /// From its first hole to the hole in use, as it stands in the mechanism, mm.
    pub pins: f64,
    /// Other holes to drill on trial, from the first, mm: as many as leave a wall between
    /// each other.
    pub trial: Vec<f64>,
    /// A slot along it that a pin runs in: its two ends from the first hole, mm.
    pub slot: Option<(f64, f64)>,
    /// The first hole's diameter; `None` where a shaft decides it.
    pub first: Option<Mm>,
    /// What goes through it: "M8", "shaft".
    pub through: String,
    /// The diameter of the other holes.
    pub pin: Mm,
    /// Width and thickness; a rod that no bar is named for is round, of one diameter.
    pub section: (Mm, Mm),
    /// The stock bar it is cut from, where one is named.
    pub stock: Option<Arc<BarStock>>,
    /// How far it goes on beyond its last holes, mm. A drilled bar is cut half way to the
    /// next hole, so that every piece has its holes and none is lost.
    pub reach: f64,
    /// How it is bent; `None` where it stays straight.
    pub bends: Option<Bends>,
    /// Whether it should step aside and cannot be bent, too short or drilled: ball ends.
    pub no_room: bool,
    /// How far it steps aside was not said but taken as usual.
    pub assumed: bool,
    /// The length to cut, both ends included, mm.
    pub cut: f64,
    /// The household it is marked out in.
    pub system: System,
}

impl Bar {
    /// How many of it there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.pieces.len()
    }

    /// Whether it is a round rod.
    #[must_use]
    pub fn round(&self) -> bool {
        self.kind == BarKind::Rod && self.stock.is_none()
    }

    /// Cut from the bar that was named for it, if one was.
    fn from(self, stock: Option<&Arc<BarStock>>) -> Self {
        let Some(stock) = stock else { return self };
        let reach = bar_length::reach(Some(stock), self.system);
        let mut trial = self.trial;
        let last = |trial: &[f64]| trial.iter().copied().fold(self.pins, f64::max);
        let before = last(&trial);
        bar_length::keep(&mut trial, self.pins, stock);
        let shorter = before - last(&trial);
        Self {
            section: (stock.width, stock.depth),
            cut: self.cut + 2.0 * (reach - self.reach) - shorter,
            trial,
            stock: Some(Arc::clone(stock)),
            reach,
            ..self
        }
    }
}

/// All bars of a figure, equal ones once.
#[must_use]
pub fn bars(fitted: &FittedFigure) -> Vec<Bar> {
    let mut bars: Vec<Bar> = Vec::new();
    let shared = |bar: &Bar, index: usize| {
        let own = crank_pin(fitted, index);
        own.is_some() && bar.limbs.iter().any(|l| crank_pin(fitted, *l) == own)
    };
    for index in 0..fitted.figure.limbs.len() {
        for bar in of_limb(fitted, index) {
            let bare = |b: &Bar| Bar { limbs: Vec::new(), pieces: Vec::new(), ..b.clone() };
            match bars.iter_mut().find(|b| bare(b) == bare(&bar)) {
                Some(known) => {
                    let one = known.kind == BarKind::Crank && shared(known, index);
                    known.limbs.push(index);
                    known.pieces.extend((!one).then_some(index));
                }
                None => bars.push(bar),
            }
        }
    }
    bars.sort_by_key(|b| b.kind);
    bars
}

/// The motor of a limb and where on it its crank pin is, deg; `None` for limbs without
/// a crank.
fn crank_pin(fitted: &FittedFigure, index: usize) -> Option<(usize, f64)> {
    let motor = fitted.figure.motor_of(index)?;
    let follows = sound(fitted, index)?.follows()?;
    Some((motor, follows.pin.0))
}

fn of_limb(fitted: &FittedFigure, index: usize) -> Vec<Bar> {
    let figure = &fitted.figure;
    let limb = &figure.limbs[index];
    let Some(mechanism) = sound(fitted, index) else { return Vec::new() };
    let rows = trial_rows(fitted, index);
    let row = |name: SizeName, used: f64| -> Vec<f64> {
        let own = rows.iter().filter(|r| r.name == name).flat_map(|r| r.at.iter().copied());
        apart(own.collect(), used)
    };
    let system = figure.system;
    let [crank, _, lever] = &limb.build.bars;
    let mut bars = Vec::new();
    if let Some(pins) = mechanism.drilled(SizeName::Crank) {
        let servo = matches!(mechanism, Fitted::Servo(_));
        let bar = Bar {
            kind: if servo { BarKind::ServoArm } else { BarKind::Crank },
            first: None,
            through: if servo { "servo shaft" } else { "motor shaft" }.to_owned(),
            ..flat((index, limb), pins, row(SizeName::Crank, pins), system)
        };
        bars.push(bar.from(crank.as_ref()));
    }
    let on_bolt = space::pivot_bar(fitted, index);
    if let Some(pins) = on_bolt.filter(|b| !b.slotted).map(|b| b.long.0) {
        let (bolt, diameter) = bolt_of(limb.bolt.as_ref());
        let bar = Bar {
            kind: BarKind::Lever,
            first: Some(clearance(diameter)),
            through: bolt,
            ..flat((index, limb), pins, row(SizeName::Lever, pins), system)
        };
        bars.push(bar.from(lever.as_ref()));
    }
    if on_bolt.is_some_and(|b| b.slotted) {
        bars.extend(slotted(limb, index, mechanism, system));
    }
    bars.extend(mechanism.drilled(SizeName::Rod).map(|pins| rod(fitted, index, limb, pins)));
    bars
}

/// The slotted lever of a limb before the board: its crank pin cannot reach the limb.
fn slotted(limb: &Limb, index: usize, mechanism: &Fitted, system: System) -> Option<Bar> {
    let (from, to) = space::Slot::of(limb, mechanism)?.ends;
    let (bolt, diameter) = bolt_of(limb.bolt.as_ref());
    Some(Bar {
        slot: Some((from, to)),
        pin: limb.slot_width(),
        first: Some(clearance(diameter)),
        through: bolt,
        ..flat((index, limb), to, Vec::new(), system)
    })
}

/// A flat bar with a row of pin holes.
fn flat((index, limb): (usize, &Limb), pins: f64, trial: Vec<f64>, system: System) -> Bar {
    let last = trial.iter().copied().fold(pins, f64::max);
    Bar {
        kind: BarKind::Lever,
        limbs: vec![index],
        pieces: vec![index],
        pins,
        trial,
        slot: None,
        first: None,
        through: String::new(),
        pin: limb.pin_hole(),
        section: (Mm(2.0 * space::BAR_HALF), Mm(space::BAR)),
        stock: None,
        reach: BEYOND,
        bends: None,
        no_room: false,
        assumed: true,
        cut: last + 2.0 * BEYOND,
        system,
    }
}

/// The rod of a limb: round where no bar is named, bent twice where crank and lever lie in
/// two planes; one that comes drilled would lose its size by it.
fn rod(fitted: &FittedFigure, index: usize, limb: &Limb, pins: f64) -> Bar {
    let figure = &fitted.figure;
    let stock = limb.build.bars[1].as_ref();
    let round = limb.build.rod_thread.size.as_ref().map_or(2.0 * space::ROD, |s| s.diameter.0);
    let thick = stock.map_or(round, |s| s.depth.0);
    let (step, said) = space::standoff(figure, limb);
    // A rod from limb to limb stays in their planes.
    let between = limb.carrier.is_some();
    let step = if between { 0.0 } else { step.0 };
    let drilled = stock.is_some_and(|s| s.holes.is_some());
    let bends = if drilled {
        None
    } else {
        developed((pins, step), thick, BEYOND, limb.build.rod_thread.bent.unwrap_or_default())
    };
    let long = bends.map_or(pins, |b| b.developed);
    let bar = Bar {
        kind: BarKind::Rod,
        first: Some(limb.pin_hole()),
        through: format!("M{}", PIN.0),
        section: (Mm(round), Mm(round)),
        bends,
        no_room: step.abs() > 1e-9 && bends.is_none(),
        assumed: !said && !between,
        cut: long + 2.0 * BEYOND,
        ..flat((index, limb), pins, Vec::new(), figure.system)
    };
    bar.from(stock)
}
