//! An independent four-bar: the loop equation solved by scanning and shutting in.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

/// A small repeatable generator (splitmix64, public domain algorithm).
pub struct Rng(pub u64);

impl Rng {
    /// In [0, 1).
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// Where a function that is below nought at the first end and above it at the second comes
/// to nought: by false position, the end that stays counted half (the Illinois rule), and
/// by halves wherever that does not shut it in by half.
pub fn crossing((mut below, mut above): (f64, f64), f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (f(below), f(above));
    let mut stayed = 0;
    for _ in 0..60 {
        let wide = (above - below).abs();
        if wide <= 1e-15 * (1.0 + below.abs()) {
            break;
        }
        let middle = 0.5 * (below + above);
        let line = below + (above - below) * low / (low - high);
        for x in [if low < 0.0 && high > 0.0 { line } else { middle }, middle] {
            if (x - below) * (x - above) >= 0.0 || (above - below).abs() <= 0.5 * wide {
                continue;
            }
            let y = f(x);
            if y < 0.0 {
                (below, low) = (x, y);
                high /= if stayed > 0 { 2.0 } else { 1.0 };
                stayed = 1;
            } else {
                (above, high) = (x, y);
                low /= if stayed < 0 { 2.0 } else { 1.0 };
                stayed = -1;
            }
        }
    }
    0.5 * (below + above)
}

/// Between which places the hill between two others has its top, by golden section.
pub fn hill((mut left, mut right): (f64, f64), steps: u32, f: impl Fn(f64) -> f64) -> (f64, f64) {
    const SHARE: f64 = 0.618_033_988_749_895;
    let inner = |left: f64, right: f64| SHARE * (right - left);
    let (mut x, mut y) = (right - inner(left, right), left + inner(left, right));
    let (mut at_x, mut at_y) = (f(x), f(y));
    for _ in 0..steps {
        if at_x < at_y {
            (left, x, at_x) = (x, y, at_y);
            y = left + inner(left, right);
            at_y = f(y);
        } else {
            (right, y, at_y) = (y, x, at_x);
            x = right - inner(left, right);
            at_x = f(x);
        }
    }
    (left, right)
}

/// Motor at the origin, pivot at (g, 0); `side` as the contract's assembly sign.
#[derive(Clone, Copy, Debug)]
pub struct Reference {
    pub g: f64,
    pub a: f64,
    pub b: f64,
    pub c: f64,
    pub side: f64,
}

/// Found over the whole reachable stretch, degrees.
#[derive(Clone, Copy, Debug)]
pub struct Found {
    pub turns: bool,
    pub from: f64,
    pub to: f64,
    pub low: f64,
    pub high: f64,
    pub at_low: f64,
    pub at_high: f64,
    pub push: f64,
    pub speed: f64,
    pub second: f64,
}

const TAU: f64 = std::f64::consts::TAU;

impl Reference {
    fn crank_pin(&self, phi: f64) -> (f64, f64) {
        (self.a * phi.cos(), self.a * phi.sin())
    }

    /// Distance lever pin to crank pin, less the rod.
    fn miss(&self, phi: f64, psi: f64) -> f64 {
        let (ax, ay) = self.crank_pin(phi);
        (self.g + self.c * psi.cos() - ax).hypot(self.c * psi.sin() - ay) - self.b
    }

    /// The lever angle that closes the loop on the wanted side, shut in: from
    /// the lever pointing at the crank pin (nearest) to pointing away (farthest)
    /// the distance grows, on either side.
    pub fn lever(&self, phi: f64) -> Option<f64> {
        let (ax, ay) = self.crank_pin(phi);
        let toward = ay.atan2(ax - self.g);
        // Open: seen along crank pin -> pivot the lever pin is on the left, which
        // seen from the pivot towards the crank pin is the clockwise side.
        let side = -self.side;
        let (short, long) = (self.miss(phi, toward), self.miss(phi, toward + TAU / 2.0));
        // At the very ends of the stretch rounding decides; they belong to it.
        if short > 1e-11 || long < -1e-11 {
            return None;
        }
        Some(
            toward
                + side
                    * crossing((0.0, std::f64::consts::PI), |by| {
                        self.miss(phi, toward + side * by)
                    }),
        )
    }

    /// Whether the loop closes at a crank angle.
    fn closes(&self, phi: f64) -> bool {
        let (ax, ay) = self.crank_pin(phi);
        let toward = ay.atan2(ax - self.g);
        self.miss(phi, toward) <= 0.0 && self.miss(phi, toward + TAU / 2.0) >= 0.0
    }

    /// Derivatives by implicit differentiation of F = |A - B|^2 - b^2.
    fn rates(&self, phi: f64, psi: f64) -> (f64, f64) {
        let (a, c, g) = (self.a, self.c, self.g);
        let (sp, cp, ss, cs) = (phi.sin(), phi.cos(), psi.sin(), psi.cos());
        let (dx, dy) = (g + c * cs - a * cp, c * ss - a * sp);
        let f_phi = dx * a * sp - dy * a * cp;
        let f_psi = -dx * c * ss + dy * c * cs;
        let f_pp = a * sp * a * sp + a * cp * a * cp + dx * a * cp + dy * a * sp;
        let f_ps = -c * ss * a * sp - c * cs * a * cp;
        let f_ss = c * c - dx * c * cs - dy * c * ss;
        let first = -f_phi / f_psi;
        (first, -(f_pp + 2.0 * f_ps * first + f_ss * first * first) / f_psi)
    }

    fn push(&self, phi: f64, psi: f64) -> f64 {
        let (ax, ay) = self.crank_pin(phi);
        let (bx, by) = (self.g + self.c * psi.cos(), self.c * psi.sin());
        let (rx, ry, lx, ly) = (ax - bx, ay - by, self.g - bx, -by);
        let mu = (rx * ly - ry * lx).abs().atan2(rx * lx + ry * ly);
        mu.min(std::f64::consts::PI - mu).to_degrees()
    }

    /// Bisects between a crank angle that closes and one that does not.
    fn edge(&self, mut good: f64, mut bad: f64) -> f64 {
        for _ in 0..80 {
            let mid = 0.5 * (good + bad);
            if self.closes(mid) { good = mid } else { bad = mid }
        }
        good
    }

    /// Angles over a stretch, dense everywhere and geometrically denser at 0, a
    /// half turn, and the ends.
    fn grid(&self, from: f64, to: f64) -> Vec<f64> {
        let mut grid: Vec<f64> =
            (0..=720).map(|i| from + (to - from) * f64::from(i) / 720.0).collect();
        for centre in [-TAU / 2.0, 0.0, TAU / 2.0, TAU, from, to] {
            let mut w = 1e-9;
            while w < 0.2 {
                grid.extend([centre - w, centre + w]);
                w *= 1.15;
            }
            grid.push(centre);
        }
        grid.retain(|p| *p >= from && *p <= to);
        grid.sort_by(f64::total_cmp);
        grid.dedup();
        grid
    }

    /// Sweeps the reachable stretch (the one with the crank pin above the ground
    /// line where there are two).
    pub fn sweep(&self) -> Found {
        let grid = self.grid(0.0, TAU);
        let turns = grid.iter().all(|p| self.closes(*p));
        let (from, to) = if turns { (0.0, TAU) } else { self.stretch(&grid) };
        let grid = self.grid(from, to);
        let rows: Vec<(f64, f64)> =
            grid.iter().filter_map(|p| self.lever(*p).map(|s| (*p, s))).collect();
        let mut psi = rows[0].1;
        let mut unwrapped = vec![(rows[0].0, psi)];
        for pair in rows.windows(2) {
            psi += (pair[1].1 - pair[0].1 + TAU / 2.0).rem_euclid(TAU) - TAU / 2.0;
            unwrapped.push((pair[1].0, psi));
        }
        let best = |f: &dyn Fn(f64) -> f64| self.climb(&unwrapped, f);
        let near = |p: f64| {
            let at = unwrapped.partition_point(|u| u.0 < p).min(unwrapped.len() - 1);
            let (_, base) = unwrapped[at];
            let raw = self.lever(p).unwrap_or(base);
            base + (raw - base + TAU / 2.0).rem_euclid(TAU) - TAU / 2.0
        };
        let rate = |p: f64| self.lever(p).map_or((0.0, 0.0), |s| self.rates(p, s));
        let (at_high, high) = best(&near);
        let (at_low, low) = best(&|p| -near(p));
        let (_, push) = best(&|p| self.lever(p).map_or(-90.0, |s| -self.push(p, s)));
        let whole = turns && (unwrapped.last().unwrap().1 - unwrapped[0].1).abs() > 6.0;
        let (low, high) = if whole { (0.0, 0.0) } else { (-low, high) };
        Found {
            turns,
            from: from.to_degrees(),
            to: to.to_degrees(),
            low: low.to_degrees(),
            high: high.to_degrees(),
            at_low: at_low.to_degrees(),
            at_high: at_high.to_degrees(),
            push: -push,
            speed: best(&|p| rate(p).0.abs()).1,
            second: best(&|p| rate(p).1.abs()).1,
        }
    }

    fn stretch(&self, grid: &[f64]) -> (f64, f64) {
        let (zero, half) = (self.closes(0.0), self.closes(TAU / 2.0));
        if zero {
            let first_bad = grid.iter().position(|p| !self.closes(*p)).unwrap();
            let far = self.edge(grid[first_bad - 1], grid[first_bad]);
            return (-far, far);
        }
        let good = grid.iter().position(|p| self.closes(*p)).unwrap();
        let near = self.edge(grid[good], grid[good - 1]);
        if half {
            return (near, TAU - near);
        }
        let bad = (good..grid.len()).find(|i| !self.closes(grid[*i])).unwrap();
        (near, self.edge(grid[bad - 1], grid[bad]))
    }

    /// Highest value over the rows, refined by golden section about every row
    /// near the best.
    fn climb(&self, rows: &[(f64, f64)], f: &dyn Fn(f64) -> f64) -> (f64, f64) {
        let values: Vec<f64> = rows.iter().map(|r| f(r.0)).collect();
        let top = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut best = (0.0, f64::NEG_INFINITY);
        for i in 0..rows.len() {
            if values[i] > best.1 {
                best = (rows[i].0, values[i]);
            }
            let top_here = i > 0
                && i + 1 < rows.len()
                && values[i] >= values[i - 1]
                && values[i] >= values[i + 1]
                && values[i] > top - 0.05 * top.abs() - 1e-3;
            if top_here {
                let (l, r) = hill((rows[i - 1].0, rows[i + 1].0), 45, f);
                let v = f(0.5 * (l + r));
                if v > best.1 {
                    best = (0.5 * (l + r), v);
                }
            }
        }
        best
    }
}
