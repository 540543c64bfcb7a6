//! Sheets kept from one round of `watch` to the next: drawn anew only where something
//! they show has changed.

use std::collections::HashMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::{Shop, cards, labels, set_out};
use crate::check::{Compiled, Step, Work};
use crate::emit::Output;
use crate::emit::paper::flow::Block;
use crate::fit::FittedFigure;
use crate::loads::LoadedFigure;
use crate::model::PulseAt;
use crate::power::CableLoad;
use crate::space::SpacedFigure;
use crate::units::System;

/// What every figure's sheets show of the yard.
#[derive(Clone, Debug, PartialEq)]
struct Shared {
    file: String,
    system: System,
}

/// The sheets of one figure with all that they were drawn from.
#[derive(Debug)]
struct Drawn {
    name: String,
    // Held, so that an address stands for the same content.
    figure: Arc<FittedFigure>,
    loads: Arc<LoadedFigure>,
    space: Arc<SpacedFigure>,
    cables: Vec<CableLoad>,
    /// The output of each motor.
    wired: Vec<Option<String>>,
    /// The pulses of each limb's servo.
    pulses: Vec<Vec<PulseAt>>,
    files: [Output; 2],
    labels: Vec<Block>,
}

impl Drawn {
    fn new(compiled: &Compiled, at: usize) -> Self {
        let shop = Shop::new(compiled, at);
        Self {
            name: shop.name().to_owned(),
            figure: Arc::clone(&compiled.figures[at]),
            loads: Arc::clone(&compiled.loads[at]),
            space: Arc::clone(&compiled.spaces[at]),
            cables: cards::cables(compiled, shop.name()).into_iter().cloned().collect(),
            wired: wired(compiled, at),
            pulses: pulses(compiled, at),
            files: shop.files(),
            labels: labels::blocks(&shop),
        }
    }

    /// Whether they would be drawn the same again.
    fn holds(&self, compiled: &Compiled, at: usize) -> bool {
        Arc::ptr_eq(&self.figure, &compiled.figures[at])
            && Arc::ptr_eq(&self.loads, &compiled.loads[at])
            && Arc::ptr_eq(&self.space, &compiled.spaces[at])
            && self.cables.iter().eq(cards::cables(compiled, &self.name))
            && self.wired == wired(compiled, at)
            && self.pulses == pulses(compiled, at)
    }
}

fn wired(compiled: &Compiled, at: usize) -> Vec<Option<String>> {
    let motors = 0..compiled.yard.figures[at].figure.actuators.len();
    motors.map(|m| cards::output(compiled, at, m)).collect()
}

fn pulses(compiled: &Compiled, at: usize) -> Vec<Vec<PulseAt>> {
    let figure = &compiled.yard.figures[at].figure;
    let of = |limb| figure.motor_of(limb).map(|m| cards::pulses(compiled, at, m, limb));
    (0..figure.limbs.len()).map(|limb| of(limb).unwrap_or_default()).collect()
}

/// The sheets of the last round.
#[derive(Debug, Default)]
pub struct Kept {
    shared: Option<Shared>,
    drawn: HashMap<String, Arc<Drawn>>,
    anew: usize,
}

impl Kept {
    /// How many figures' sheets the last round drew anew.
    #[must_use]
    pub fn drawn_anew(&self) -> usize {
        self.anew
    }

    /// All sheets of a yard; those of figures that are as they were are not drawn again.
    /// Counts the others into `work`.
    #[must_use]
    pub fn outputs(&mut self, compiled: &Compiled, work: &Work) -> Vec<Output> {
        let yard = &compiled.yard;
        let shared = Shared { file: compiled.file.clone(), system: yard.system };
        if self.shared.as_ref() != Some(&shared) {
            self.drawn.clear();
            self.shared = Some(shared);
        }
        let known = |at: usize| {
            let drawn = self.drawn.get(&yard.figures[at].name.value)?;
            drawn.holds(compiled, at).then(|| Arc::clone(drawn))
        };
        let kept: Vec<Option<Arc<Drawn>>> = (0..yard.figures.len()).map(known).collect();
        work.begin(Step::Sheets, kept.iter().filter(|k| k.is_none()).count());
        let draw = |at: usize| {
            let drawn = Arc::new(Drawn::new(compiled, at));
            work.one_done();
            drawn
        };
        let drawn: Vec<Arc<Drawn>> = kept
            .into_par_iter()
            .enumerate()
            .map(|(at, kept)| kept.unwrap_or_else(|| draw(at)))
            .collect();
        let before = |d: &Arc<Drawn>| self.drawn.get(&d.name).is_some_and(|b| Arc::ptr_eq(b, d));
        self.anew = drawn.iter().filter(|d| !before(d)).count();
        self.drawn = drawn.iter().map(|d| (d.name.clone(), Arc::clone(d))).collect();
        let mut all: Vec<Output> = drawn.iter().flat_map(|d| d.files.clone()).collect();
        all.extend(set_out::outputs(compiled));
        let labels: Vec<Block> = drawn.iter().flat_map(|d| d.labels.clone()).collect();
        all.extend(labels::outputs(compiled, &labels));
        all
    }
}
