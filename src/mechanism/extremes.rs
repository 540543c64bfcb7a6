//! The extreme speed and acceleration ratios of a crank that turns fully.
//!
//! The derivatives of the limb's angle are smooth unless a dead centre, or the
//! crank pin's passing over the pivot, is near the real crank angles; both can
//! only be near where the crank lies along the ground line. So 48 even angles
//! see every hill, with geometric clusters around those two places down to a
//! quarter of the distance to the singularity. Hills that may be the highest are
//! then climbed by bracketed roots of the next derivative, in closed form.

use std::sync::LazyLock;

use super::shape::{Half, Shape};
use crate::geometry::{Bracket, root};

/// Largest absolute derivatives; absent where infinite.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Most {
    pub speed: Option<f64>,
    pub acceleration: Option<f64>,
}

/// Even angles per turn.
const EVEN: usize = 48;
/// A cluster's steps grow by this much.
const GROWTH: f64 = 1.5;
/// No cluster goes nearer to a change point than this (sine of half an angle):
/// the one-sided limits there are reached to as many digits.
const NEAREST: f64 = 1e-6;
/// Hills whose samples reach this share of the highest sample are climbed.
const WORTH: f64 = 0.85;

/// Sines and cosines of the half-angles of the even angles, in columns.
static HALVES: LazyLock<[[f64; EVEN]; 2]> = LazyLock::new(|| {
    let half = |k: usize| libm::sincos(std::f64::consts::PI * k as f64 / EVEN as f64);
    [std::array::from_fn(|k| half(k).0), std::array::from_fn(|k| half(k).1)]
});

/// The derivatives at all even angles: a loop without branches, which vectorises.
/// Those at 0 and a half turn may be infinite; they are not used.
fn even_rates(shape: &Shape, [sines, cosines]: &[[f64; EVEN]; 2]) -> [[f64; EVEN]; 3] {
    let mut all = [[0.0; EVEN]; 3];
    let [first, second, third] = &mut all;
    for k in 0..EVEN {
        [first[k], second[k], third[k]] = shape.rates((sines[k], cosines[k]));
    }
    all
}

/// Two neighbouring samples between which a derivative has a root.
#[derive(Clone, Copy)]
struct Cell {
    from: Half,
    to: Half,
    f_from: f64,
    f_to: f64,
    height: f64,
}

/// What the walk round the circle collects for one of the two derivatives.
struct Hills {
    order: usize,
    top: f64,
    cells: [Option<Cell>; 24],
    used: usize,
}

impl Hills {
    fn new(order: usize) -> Self {
        Self { order, top: 0.0, cells: [None; 24], used: 0 }
    }

    /// Takes the next sample, with the one before it.
    #[inline]
    fn see(&mut self, from: (Half, [f64; 3]), to: (Half, [f64; 3])) {
        let (h0, h1) = (from.1[self.order].abs(), to.1[self.order].abs());
        let (f_from, f_to) = (from.1[self.order + 1], to.1[self.order + 1]);
        let height = h0.max(h1);
        if height > self.top {
            self.top = height;
        }
        if (f_from < 0.0) != (f_to < 0.0) && height >= WORTH * self.top {
            if self.used == self.cells.len() {
                self.drop_low();
            }
            if self.used < self.cells.len() {
                self.cells[self.used] = Some(Cell { from: from.0, to: to.0, f_from, f_to, height });
                self.used += 1;
            }
        }
    }

    /// Forgets the hills that later samples have outgrown.
    fn drop_low(&mut self) {
        let mut kept = 0;
        for i in 0..self.used {
            if self.cells[i].is_some_and(|c| c.height >= WORTH * self.top) {
                self.cells[kept] = self.cells[i];
                kept += 1;
            }
        }
        self.used = kept;
    }

    /// The top of the highest hill.
    fn climb(mut self, shape: &Shape) -> f64 {
        self.drop_low();
        let mut best = self.top;
        for cell in self.cells[..self.used].iter().flatten() {
            let Some(bracket) = Bracket::new(0.0, cell.f_from, 1.0, cell.f_to) else { continue };
            let next = self.order + 1;
            let share = root(bracket, 1e-4, |w| shape.rates(between(cell, w))[next]);
            best = best.max(shape.rates(between(cell, share))[self.order].abs());
        }
        best
    }
}

/// The half-angle direction a share of the way across a cell.
fn between(cell: &Cell, share: f64) -> Half {
    let (s, t) = (
        cell.from.0 + (cell.to.0 - cell.from.0) * share,
        cell.from.1 + (cell.to.1 - cell.from.1) * share,
    );
    let n = 1.0 / (s * s + t * t).sqrt();
    (s * n, t * n)
}

/// The largest absolute first and second derivative over the whole turn.
pub(super) fn most(shape: &Shape) -> Most {
    let mut speed = Hills::new(0);
    let mut acceleration = Hills::new(1);
    let mut last: Option<(Half, [f64; 3])> = None;
    walk(shape, |half, rates| {
        let here = (half, rates);
        if let Some(before) = last {
            speed.see(before, here);
            acceleration.see(before, here);
        }
        last = Some(here);
    });
    // At a change point the speed jumps: no finite acceleration.
    let smooth = shape.e1 > 0.0 && shape.e2 > 0.0;
    let finite = |v: f64| v.is_finite().then_some(v);
    Most {
        speed: finite(speed.climb(shape)),
        acceleration: if smooth { finite(acceleration.climb(shape)) } else { None },
    }
}

/// Visits half-angle directions and the derivatives there once round, in order,
/// closing the circle.
fn walk(shape: &Shape, mut visit: impl FnMut(Half, [f64; 3])) {
    let halves = &*HALVES;
    let even = even_rates(shape, halves);
    let at_even = |k: usize| ((halves[0][k], halves[1][k]), [even[0][k], even[1][k], even[2][k]]);
    let wide = halves[0][1];
    let [near, far] = [shape.e1, shape.e2].map(|e| ((e / shape.ad4).sqrt() / 4.0).max(NEAREST));
    let (start, middle) = (near_offsets(near, wide), near_offsets(far, wide));
    let whole = |offset: f64| (1.0 - offset * offset).sqrt();
    let mut see = |(half, rates)| visit(half, rates);
    let at = |half: Half| (half, shape.rates(half));
    if shape.e1 > 0.0 {
        see(at((0.0, 1.0)));
    }
    start.rising(|s| see(at((s, whole(s)))));
    (1..EVEN / 2).for_each(|k| see(at_even(k)));
    middle.falling(|t| see(at((whole(t), t))));
    if shape.e2 > 0.0 {
        see(at((1.0, 0.0)));
    }
    middle.rising(|t| see(at((whole(t), -t))));
    (EVEN / 2 + 1..EVEN).for_each(|k| see(at_even(k)));
    start.falling(|s| see(at((s, -whole(s)))));
    if shape.e1 > 0.0 {
        see(at((0.0, -1.0)));
    }
}

/// A geometric row of offsets below `wide`.
struct Cluster {
    first: f64,
    count: i32,
}

fn near_offsets(first: f64, wide: f64) -> Cluster {
    let (mut count, mut at) = (0, first);
    // A first step near the even angles adds nothing.
    while at * 1.2 < wide {
        count += 1;
        at *= GROWTH;
    }
    Cluster { first, count }
}

impl Cluster {
    fn rising(&self, mut visit: impl FnMut(f64)) {
        let mut at = self.first;
        for _ in 0..self.count {
            visit(at);
            at *= GROWTH;
        }
    }

    fn falling(&self, mut visit: impl FnMut(f64)) {
        let mut at = self.first;
        for _ in 1..self.count {
            at *= GROWTH;
        }
        for _ in 0..self.count {
            visit(at);
            at /= GROWTH;
        }
    }
}
