//! How near moving bodies come, with a bound that nothing can slip under.
//!
//! A gap is a function of one coordinate, or of two where two motors keep their own
//! time, and changes by no more than a known number of mm for each unit of it (its
//! Lipschitz constant). Between two samples it then stays above
//! `(D(l) + D(h) - L (h - l)) / 2`; over a rectangle of two coordinates above the
//! middle's gap less what half its sides can take away. Stretches that may matter are
//! halved until less than [`BOUND`] can hide in them. Method: S. A. Piyavskii, USSR
//! Comp. Math. Math. Phys. 12 (1972) 57-67; B. O. Shubert, SIAM J. Numer. Anal. 9
//! (1972) 379-388.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Nothing that reaches deeper than this can be missed, mm.
pub const BOUND: f64 = 0.05;

/// Most evaluations for one pair; the bracket is wider where they run out, and
/// still true.
const MOST: usize = 20_000;

/// The least gap, from two sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Least {
    /// It is at least this, mm.
    pub low: f64,
    /// And at most this: the smallest that was seen, mm.
    pub high: f64,
    /// Where that was: one coordinate, or both.
    pub at: [f64; 2],
    /// How many gaps were computed.
    pub evaluations: usize,
}

/// How closely the least gap is wanted.
#[derive(Clone, Copy, Debug)]
pub struct Want {
    /// Below this it matters whether there is a gap at all, mm.
    pub need: f64,
    /// Gaps above this are not told apart, mm.
    pub far: f64,
    /// Above `need` the bracket may be so wide, as a share of the gap.
    pub share: f64,
}

impl Want {
    /// Whether a bracket tells enough.
    fn settled(&self, low: f64, high: f64) -> bool {
        low >= self.far
            || high - low <= BOUND
            || high <= 0.0
            || (low >= self.need && high - low <= self.share * high)
    }
}

/// A stretch of one or two coordinates with the least gap it may hold.
struct Piece {
    low: f64,
    from: [f64; 2],
    to: [f64; 2],
    /// The gaps at both ends (one coordinate), or in the middle (two).
    gaps: [f64; 2],
}

impl PartialEq for Piece {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Piece {}
impl PartialOrd for Piece {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Piece {
    /// The least gap first; of equal ones the smaller coordinates.
    fn cmp(&self, other: &Self) -> Ordering {
        let by = |a: f64, b: f64| b.total_cmp(&a);
        by(self.low, other.low)
            .then(by(self.from[0], other.from[0]))
            .then(by(self.from[1], other.from[1]))
    }
}

/// The least gap over one coordinate from `from` to `to`; `rate` bounds how fast it
/// changes, mm per unit. A gap that is no number counts as nought.
pub fn least(
    (from, to): (f64, f64),
    rate: f64,
    want: &Want,
    mut gap: impl FnMut(f64) -> f64,
) -> Least {
    let mut search = Search::new();
    let ends = [from, to].map(|u| search.seen([u, 0.0], gap(u)));
    let piece = |a: f64, b: f64, gaps: [f64; 2]| Piece {
        low: ((gaps[0] + gaps[1] - rate * (b - a)) / 2.0).min(gaps[0]).min(gaps[1]),
        from: [a, 0.0],
        to: [b, 0.0],
        gaps,
    };
    search.heap.push(piece(from, to, ends));
    search.run(want, |search, p| {
        let (a, b) = (p.from[0], p.to[0]);
        let middle = a + (b - a) / 2.0;
        let here = search.seen([middle, 0.0], gap(middle));
        search.heap.push(piece(a, middle, [p.gaps[0], here]));
        search.heap.push(piece(middle, b, [here, p.gaps[1]]));
    })
}

/// The least gap over two coordinates that move without regard to each other; `rates`
/// bound how fast it changes by each.
pub fn least_of_two(
    spans: [(f64, f64); 2],
    rates: [f64; 2],
    want: &Want,
    mut gap: impl FnMut(f64, f64) -> f64,
) -> Least {
    let mut search = Search::new();
    let mut piece = |search: &mut Search, from: [f64; 2], to: [f64; 2]| {
        let middle = [0, 1].map(|i| from[i] + (to[i] - from[i]) / 2.0);
        let here = search.seen(middle, gap(middle[0], middle[1]));
        let taken: f64 = (0..2).map(|i| rates[i] * (to[i] - from[i]) / 2.0).sum();
        search.heap.push(Piece { low: here - taken, from, to, gaps: [here; 2] });
    };
    piece(&mut search, spans.map(|s| s.0), spans.map(|s| s.1));
    search.run(want, |search, p| {
        let sides = [0, 1].map(|i| rates[i] * (p.to[i] - p.from[i]));
        let cut = usize::from(sides[1] > sides[0]);
        let middle = p.from[cut] + (p.to[cut] - p.from[cut]) / 2.0;
        let (mut below, mut above) = (p.to, p.from);
        below[cut] = middle;
        above[cut] = middle;
        piece(search, p.from, below);
        piece(search, above, p.to);
    })
}

/// The least gap over several coordinates that move without regard to each other, with
/// where it was seen; `rates` bound how fast it changes by each. As [`least_of_two`],
/// with more evaluations: each coordinate multiplies them.
pub fn least_of_many(
    spans: &[(f64, f64)],
    rates: &[f64],
    want: &Want,
    gap: impl FnMut(&[f64]) -> f64,
) -> (Least, Vec<f64>) {
    let at = spans.iter().map(|s| s.0).collect();
    let mut many =
        Many { rates, gap, heap: BinaryHeap::new(), high: f64::INFINITY, at, evaluations: 0 };
    let (from, to) = spans.iter().copied().unzip();
    many.look(from, to);
    let mut low = f64::NEG_INFINITY;
    while let Some(next) = many.heap.pop() {
        low = next.low.min(many.high);
        if want.settled(low, many.high) || many.evaluations >= MOST_OF_MANY {
            break;
        }
        many.halve(next);
    }
    let Many { high, at, evaluations, .. } = many;
    (Least { low, high, at: [0.0; 2], evaluations }, at)
}

/// As [`MOST`], for several coordinates.
const MOST_OF_MANY: usize = 60_000;

/// A box of several coordinates with the least gap it may hold.
struct Cell {
    low: f64,
    /// Which one was looked at: of equal ones the first goes first.
    number: usize,
    from: Vec<f64>,
    to: Vec<f64>,
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Cell {}
impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Cell {
    fn cmp(&self, other: &Self) -> Ordering {
        other.low.total_cmp(&self.low).then(other.number.cmp(&self.number))
    }
}

/// A search over several coordinates.
struct Many<'r, F> {
    rates: &'r [f64],
    gap: F,
    heap: BinaryHeap<Cell>,
    high: f64,
    at: Vec<f64>,
    evaluations: usize,
}

impl<F: FnMut(&[f64]) -> f64> Many<'_, F> {
    fn look(&mut self, from: Vec<f64>, to: Vec<f64>) {
        let middle: Vec<f64> = from.iter().zip(&to).map(|(a, b)| a + (b - a) / 2.0).collect();
        let gap = (self.gap)(&middle);
        let gap = if gap.is_nan() { 0.0 } else { gap };
        let taken: f64 =
            from.iter().zip(&to).zip(self.rates).map(|((a, b), r)| r * (b - a) / 2.0).sum();
        self.evaluations += 1;
        if gap < self.high {
            (self.high, self.at) = (gap, middle);
        }
        self.heap.push(Cell { low: gap - taken, number: self.evaluations, from, to });
    }

    /// Looks at both halves, cut where most can hide.
    fn halve(&mut self, cell: Cell) {
        let side = |i: usize| self.rates[i] * (cell.to[i] - cell.from[i]);
        let cut = (1..self.rates.len()).fold(0, |c, i| if side(i) > side(c) { i } else { c });
        let (mut below, mut above) = (cell.to.clone(), cell.from.clone());
        if let (Some(b), Some(a)) = (below.get_mut(cut), above.get_mut(cut)) {
            let middle = *a + (*b - *a) / 2.0;
            (*b, *a) = (middle, middle);
        }
        self.look(cell.from, below);
        self.look(above, cell.to);
    }
}

/// What a search has seen so far.
struct Search {
    heap: BinaryHeap<Piece>,
    high: f64,
    at: [f64; 2],
    evaluations: usize,
}

impl Search {
    fn new() -> Self {
        Self { heap: BinaryHeap::new(), high: f64::INFINITY, at: [0.0; 2], evaluations: 0 }
    }

    fn seen(&mut self, at: [f64; 2], gap: f64) -> f64 {
        let gap = if gap.is_nan() { 0.0 } else { gap };
        self.evaluations += 1;
        if gap < self.high {
            (self.high, self.at) = (gap, at);
        }
        gap
    }

    /// Halves the most doubtful piece until the bracket tells enough.
    fn run(mut self, want: &Want, mut halve: impl FnMut(&mut Self, Piece)) -> Least {
        let mut low = f64::NEG_INFINITY;
        while let Some(piece) = self.heap.pop() {
            low = piece.low.min(self.high);
            if want.settled(low, self.high) || self.evaluations >= MOST {
                break;
            }
            halve(&mut self, piece);
        }
        Least { low, high: self.high, at: self.at, evaluations: self.evaluations }
    }
}

/// Most steps along one coordinate. Only parts longer than a metre and a half that go
/// right round would take more; for them the steps are longer.
const STEPS: f64 = 100_000.0;

/// The stretches of one coordinate on which a gap is below `need`, ascending: none
/// that reaches [`BOUND`] below it is missed, unless 100,000 steps are too few for
/// that. Their ends are found to `eps`.
pub fn stretches(
    (from, to): (f64, f64),
    rate: f64,
    need: f64,
    eps: f64,
    mut gap: impl FnMut(f64) -> f64,
) -> Vec<(f64, f64)> {
    let mut found = Vec::new();
    let mut short = |u: f64| {
        let g = gap(u);
        if g.is_nan() { -need } else { g - need }
    };
    let mut at = from;
    let mut here = short(at);
    let mut open = (here < 0.0).then_some(from);
    let shortest = (2.0 * BOUND / rate).max((to - from) / STEPS);
    while at < to {
        // No change of sign is nearer than the gap's distance from nought allows.
        let next = (at + (here.abs() / rate).max(shortest)).min(to);
        let there = short(next);
        if (there < 0.0) != (here < 0.0) {
            let edge = change(at, next, here < 0.0, eps, &mut short);
            match open.take() {
                Some(start) => found.push((start, edge)),
                None => open = Some(edge),
            }
        }
        (at, here) = (next, there);
    }
    found.extend(open.map(|start| (start, to)));
    found
}

/// Where between two places the sign changes, by bisection.
fn change(
    mut a: f64,
    mut b: f64,
    below: bool,
    eps: f64,
    short: &mut impl FnMut(f64) -> f64,
) -> f64 {
    while b - a > eps {
        let middle = a + (b - a) / 2.0;
        if middle <= a || middle >= b {
            break;
        }
        if (short(middle) < 0.0) == below { a = middle } else { b = middle }
    }
    a + (b - a) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const WANT: Want = Want { need: 5.0, far: 60.0, share: 0.1 };

    /// A wavy gap with a known bound of its slope.
    fn wave(k: u32) -> (impl Fn(f64) -> f64, f64) {
        let [a, b, c] = [1.0, 0.37, 0.71].map(|s| f64::from(k) * s % 5.0 + 1.0);
        let gap = move |u: f64| {
            (f64::from(k % 13)
                + 8.0
                + 6.0 * libm::sin(a * u + b)
                + 5.0 * libm::cos(b * u * 2.0 + c)
                - c)
                .max(0.0)
        };
        (gap, 6.0 * a + 10.0 * b)
    }

    #[test]
    fn the_bracket_holds_what_dense_sampling_finds() {
        let (mut hits, mut clear) = (0, 0);
        for k in 1..400 {
            let (gap, rate) = wave(k);
            let got = least((0.0, 3.0), rate, &WANT, &gap);
            let dense =
                (0..=30_000).map(|i| gap(f64::from(i) * 1e-4)).fold(f64::INFINITY, f64::min);
            assert!(got.low <= dense + 1e-9, "{k}: {got:?} but {dense}");
            assert!(got.high >= dense - 1e-2 || got.high <= dense, "{k}: {got:?} but {dense}");
            if dense < WANT.need - BOUND {
                assert!(got.high < WANT.need, "missed {k}")
            }
            if dense < WANT.need { hits += 1 } else { clear += 1 }
        }
        assert!(hits > 30 && clear > 30, "{hits} hits, {clear} clear");
    }

    #[test]
    fn a_short_dip_is_found_with_its_ends() {
        // One dip of 0.06 mm below the need, 0.0012 wide, somewhere on a long stretch.
        let gap = |u: f64| 6.0f64.min(4.94 + (u - 1.23456).abs() * 100.0);
        assert!(least((0.0, 6.0), 100.0, &WANT, gap).high < 5.0);
        let ends = stretches((0.0, 6.0), 100.0, 5.0, 1e-9, gap);
        assert_eq!(ends.len(), 1);
        assert!(
            (ends[0].0 - 1.23396).abs() < 1e-8 && (ends[0].1 - 1.23516).abs() < 1e-8,
            "{ends:?}"
        );
    }

    #[test]
    fn stretches_are_those_of_dense_sampling() {
        for k in 1..200 {
            let (gap, rate) = wave(k);
            let got = stretches((0.0, 3.0), rate, 5.0, 1e-9, &gap);
            for i in 0..=3_000 {
                let u = f64::from(i) * 1e-3;
                let inside = got.iter().any(|&(a, b)| u >= a - 1e-9 && u <= b + 1e-9);
                // What touches the need within the bound may fall either way.
                assert!(gap(u) >= 5.0 - BOUND || inside, "{k}: missed {u}");
                assert!(gap(u) < 5.0 + BOUND || !inside, "{k}: {u} is no hit");
            }
        }
    }

    #[test]
    fn two_coordinates_agree_with_a_grid() {
        let (mut hits, mut clear) = (0, 0);
        for k in 1..60 {
            let ((f, rf), (g, rg)) = (wave(k), wave(k + 77));
            let gap = |u: f64, v: f64| f(u) + g(v);
            let got = least_of_two([(0.0, 3.0), (0.0, 2.0)], [rf, rg], &WANT, gap);
            let grid = (0..=600).flat_map(|i| (0..=400).map(move |j| (i, j)));
            let dense = grid
                .map(|(i, j)| gap(f64::from(i) * 5e-3, f64::from(j) * 5e-3))
                .fold(f64::INFINITY, f64::min);
            assert!(got.low <= dense + 1e-9, "{k}: {got:?} but {dense}");
            if dense < WANT.need - BOUND {
                assert!(got.high < WANT.need, "missed {k}")
            }
            if dense < WANT.need { hits += 1 } else { clear += 1 }
        }
        assert!(hits > 3 && clear > 3, "{hits} hits, {clear} clear");
    }

    #[test]
    fn three_coordinates_agree_with_a_grid() {
        let (mut hits, mut clear) = (0, 0);
        for k in 1..30 {
            let ((f, rf), (g, rg)) = (wave(k), wave(k + 77));
            let gap = |u: &[f64]| f(u[0]) + g(u[1]) + (u[2] - 0.3).abs() - 3.0;
            let spans = [(0.0, 3.0), (0.0, 2.0), (0.0, 1.0)];
            let (got, at) = least_of_many(&spans, &[rf, rg, 1.0], &WANT, gap);
            let grid = (0..=150).flat_map(|i| (0..=100).map(move |j| (i, j)));
            let dense = grid
                .map(|(i, j)| gap(&[f64::from(i) * 0.02, f64::from(j) * 0.02, 0.3]))
                .fold(f64::INFINITY, f64::min);
            assert!(got.low <= dense + 1e-9, "{k}: {got:?} but {dense}");
            assert!((gap(&at) - got.high).abs() < 1e-9);
            // It may stop before it is told apart, and says so by its bracket.
            if dense < WANT.need - 0.5 {
                assert!(got.high < WANT.need, "missed {k}: {got:?} {dense}")
            }
            if dense < WANT.need { hits += 1 } else { clear += 1 }
        }
        assert!(hits > 3 && clear > 3, "{hits} hits, {clear} clear");
    }

    /// A part of a kilometre: the search ends, and finds what is wide.
    #[test]
    fn huge_parts_come_to_an_end() {
        let mut looks = 0;
        let found = stretches((0.0, 6.0), 1e9, 5.0, 1e-9, |u| {
            looks += 1;
            5.0 + libm::sin(u)
        });
        assert_eq!(found.len(), 1);
        assert!((found[0].0 - std::f64::consts::PI).abs() < 1e-6, "{found:?}");
        assert!(looks < 101_000, "{looks}");
    }

    #[test]
    fn what_is_far_costs_little() {
        let got = least((0.0, 1.0), 30.0, &WANT, |u| 200.0 + u);
        assert_eq!(got.evaluations, 2);
        assert!(got.low > 60.0);
    }
}
