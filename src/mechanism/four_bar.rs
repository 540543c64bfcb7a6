//! Motor crank, rod, lever: the common swing.

use std::sync::Arc;

use super::sweep::{Dirs, NO_PUSH, Sweep};
use super::{
    Analysis, Blocked, Class, Degenerate, Guide, Input, Kind, Mechanism, Path, Pins, Rod, Solved,
    Span, Stand, Thrust, Travel,
};
use crate::geometry::{Board, BoardPoint, Body, Dir, Jet, Vector};
use crate::units::{Deg, Mm};

/// On which side the rod is mounted, seen from the front.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Assembly {
    /// The lever pin lies left of the directed line from crank pin to limb pivot.
    Open,
    /// It lies right of it.
    Crossed,
}

impl Assembly {
    /// The word in a `.yard` file and in reports.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Crossed => "crossed",
        }
    }

    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Open => Self::Crossed,
            Self::Crossed => Self::Open,
        }
    }

    /// The sign of cross(pivot - crank pin, lever pin - crank pin).
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Open => 1.0,
            Self::Crossed => -1.0,
        }
    }
}

/// The four lengths of a four-bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bars {
    /// Motor shaft to limb pivot.
    pub ground: Mm,
    /// Motor shaft to crank pin.
    pub crank: Mm,
    /// Crank pin to lever pin.
    pub rod: Mm,
    /// Limb pivot to lever pin.
    pub lever: Mm,
}

impl Bars {
    /// No bar of a yard is shorter; keeps all products of four lengths normal.
    pub const SHORTEST: Mm = Mm(1e-3);
    /// No bar of a yard is longer.
    pub const LONGEST: Mm = Mm(1e7);

    /// Whether every length can be computed with.
    pub(super) fn check(&self) -> Result<(), Degenerate> {
        let fine = |v: Mm| v >= Self::SHORTEST && v <= Self::LONGEST;
        if !(fine(self.crank) && fine(self.rod) && fine(self.lever)) {
            return Err(Degenerate::Length);
        }
        if !fine(self.ground) { Err(Degenerate::CentresMeet) } else { Ok(()) }
    }

    /// The class these lengths make.
    #[must_use]
    pub fn class(&self) -> Class {
        Class::of(self.ground.0, self.crank.0, self.rod.0, self.lever.0)
    }
}

/// A four-bar on a board, all sizes known and usable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FourBar {
    motor: BoardPoint,
    pivot: BoardPoint,
    bars: Bars,
    clamp: Deg,
    clamp_dir: Dir,
    /// From motor to pivot.
    ground_dir: Dir,
    assembly: Assembly,
}

impl FourBar {
    /// A four-bar with these sizes. `clamp` leads from the limb's axis to the
    /// lever, counter-clockwise.
    ///
    /// # Errors
    /// Where a length is outside [`Bars::SHORTEST`] to [`Bars::LONGEST`], motor
    /// and pivot meet, or a number is not finite. Bars that do not close are no
    /// error: the analysis says so.
    pub fn new(
        (motor, pivot): (BoardPoint, BoardPoint),
        (crank, rod, lever): (Mm, Mm, Mm),
        clamp: Deg,
        assembly: Assembly,
    ) -> Result<Self, Degenerate> {
        let ground = pivot - motor;
        if !(ground.length().0.is_finite() && clamp.0.is_finite()) {
            return Err(Degenerate::NotFinite);
        }
        let bars = Bars { ground: ground.length(), crank, rod, lever };
        bars.check()?;
        let ground_dir = ground.dir().ok_or(Degenerate::CentresMeet)?;
        let clamp_dir = Dir::degrees(clamp);
        Ok(Self { motor, pivot, bars, clamp, clamp_dir, ground_dir, assembly })
    }

    /// The motor shaft.
    #[must_use]
    pub const fn motor(&self) -> BoardPoint {
        self.motor
    }

    /// The limb's pivot.
    #[must_use]
    pub const fn pivot(&self) -> BoardPoint {
        self.pivot
    }

    /// The four lengths.
    #[must_use]
    pub const fn bars(&self) -> Bars {
        self.bars
    }

    /// From the limb's axis to the lever, counter-clockwise.
    #[must_use]
    pub const fn clamp(&self) -> Deg {
        self.clamp
    }

    /// On which side the rod is mounted.
    #[must_use]
    pub const fn assembly(&self) -> Assembly {
        self.assembly
    }

    /// The direction from motor to pivot.
    #[must_use]
    pub const fn ground_dir(&self) -> Dir {
        self.ground_dir
    }

    /// Everything about its motion, in closed form where there is one.
    #[must_use]
    pub fn analyse(&self) -> Analysis {
        super::analysis::analyse(self)
    }

    /// The same linkage seen in a mirror standing at `x`: the other assembly,
    /// the other sense of the clamp.
    #[must_use]
    pub fn mirrored(&self, x: Mm) -> Self {
        let flip = |d: Dir| Dir::unit(-d.x() + 0.0, d.y());
        Self {
            motor: self.motor.mirrored(x),
            pivot: self.pivot.mirrored(x),
            bars: self.bars,
            clamp: -self.clamp,
            clamp_dir: self.clamp_dir.inverse(),
            ground_dir: flip(self.ground_dir),
            assembly: self.assembly.other(),
        }
    }

    /// The same bars on the same motor with the limb's pivot elsewhere; `None` where they
    /// make no linkage there.
    #[must_use]
    pub fn moved(&self, pivot: BoardPoint) -> Option<Self> {
        let sizes = (self.bars.crank, self.bars.rod, self.bars.lever);
        Self::new((self.motor, pivot), sizes, self.clamp, self.assembly).ok()
    }

    /// The rod group it closes by: crank as driver, board as host.
    #[must_use]
    pub fn group(&self) -> Rod {
        Rod {
            pin: [self.bars.crank.0, 0.0],
            pivot: [self.pivot.x, self.pivot.y],
            length: self.bars.rod,
            lever: self.bars.lever,
            clamp: self.clamp_dir,
            assembly: self.assembly,
        }
    }

    /// The limb's direction and the signed sine of the push angle at a crank
    /// direction.
    ///
    /// # Errors
    /// [`Blocked::Open`] where the bars do not close.
    pub fn at(&self, crank: Dir) -> Result<(Dir, f64), Blocked> {
        let s = self.group().pose(&self.input(crank))?;
        Ok((s.limb.axis(), s.push))
    }

    /// The limb's angle rates by the crank's: first and second derivative (per
    /// radian) at a crank direction.
    ///
    /// # Errors
    /// [`Blocked::Open`] and [`Blocked::DeadCentre`].
    pub fn rates(&self, crank: Dir) -> Result<(f64, f64), Blocked> {
        let driver = Body::turning(self.motor.x, self.motor.y, crank, 1.0);
        let host = Body::still(0.0, 0.0, Dir::EAST);
        Ok(self.group().close(&driver, &host)?.limb.turn_rates())
    }

    fn input(&self, crank: Dir) -> Input<f64> {
        Input {
            driver: Body::still(self.motor.x, self.motor.y, crank),
            host: Body::still(0.0, 0.0, Dir::EAST),
            coordinate: 0.0,
        }
    }

    /// The crank pin and the lever pin at a crank direction.
    ///
    /// # Errors
    /// [`Blocked::Open`] where the bars do not close.
    pub fn pins(&self, crank: Dir) -> Result<(BoardPoint, BoardPoint), Blocked> {
        let (limb, _) = self.at(crank)?;
        let lever = limb.turned(self.clamp_dir);
        Ok((
            self.motor + Vector::polar(self.bars.crank, crank),
            self.pivot + Vector::polar(self.bars.lever, lever),
        ))
    }

    /// The crank directions that put the limb at a direction on this assembly:
    /// none, one (at the ends of the swing) or two, by ascending angle in [0, 360).
    #[must_use]
    pub fn cranks_for(&self, limb: Dir) -> Vec<Dir> {
        let lever = limb.turned(self.clamp_dir);
        let far = self.pivot + Vector::<Board>::polar(self.bars.lever, lever);
        let w = far - self.motor;
        let (a, b) = (self.bars.crank.0, self.bars.rod.0);
        let distance = w.length().0;
        let Some(toward) = w.dir() else { return Vec::new() };
        // Cosine and sine at the motor, from factors that keep their digits.
        let reach = (a + b - distance) * (a + b + distance);
        let slack = (distance - (a - b)) * (distance + (a - b));
        let square = reach * slack;
        let scale = 4.0 * a * a * distance * distance;
        if square < -1e-11 * scale {
            return Vec::new();
        }
        let cos = (a * a + distance * distance - b * b) / (2.0 * a * distance);
        let sin = (square.max(0.0) / scale).sqrt();
        let mut found: Vec<Dir> = Vec::with_capacity(2);
        for s in [sin, -sin] {
            let Some(turn) = Dir::along(cos, s) else { continue };
            let crank = toward.turned(turn);
            let pin = self.motor + Vector::polar(self.bars.crank, crank);
            let side = (self.pivot - pin).cross(far - pin) * self.assembly.sign();
            let small = 1e-9 * b * self.bars.lever.0;
            if side > -small && found.iter().all(|f| f.dot(crank) < 1.0 - 1e-15) {
                found.push(crank);
            }
        }
        let angle = |d: &Dir| d.deg().positive().0;
        found.sort_by(|p, q| angle(p).total_cmp(&angle(q)));
        found
    }

    /// Many positions: crank directions in, limb directions and push angles out.
    pub fn positions_into(&self, crank: &[Dir], out: &mut Sweep) {
        let n = crank.len();
        out.limb.resize(n, Dir::EAST);
        out.push.resize(n, 0.0);
        let kernel = Kernel::of(self);
        for ((dir, limb), push) in crank.iter().zip(&mut out.limb).zip(&mut out.push) {
            let at = kernel.step(dir.x(), dir.y());
            *limb = Dir::unit(at.x, at.y);
            *push = if at.room < 0.0 { NO_PUSH } else { at.q * kernel.per_bc };
        }
    }

    /// The hot kernel alone: crank directions in, limb directions out, which are
    /// [`Dir::EAST`] where the crank is blocked; returns how many are.
    pub fn directions_into(&self, crank: &Dirs, limb: &mut Dirs) -> usize {
        let n = crank.len();
        limb.x.resize(n, 1.0);
        limb.y.resize(n, 0.0);
        let kernel = Kernel::of(self);
        let (cx, cy) = (&crank.x[..n], &crank.y[..n]);
        let (lx, ly) = (&mut limb.x[..n], &mut limb.y[..n]);
        let blocked = columns((cx, cy), (lx, ly), &kernel);
        if blocked > 0 {
            // Rare, and kept out of the loop above so that it has no branch.
            for i in 0..n {
                if kernel.step(cx[i], cy[i]).room < 0.0 {
                    (lx[i], ly[i]) = (1.0, 0.0);
                }
            }
        }
        blocked as usize
    }
}

/// One position after the other, columns in and columns out; how many are blocked.
#[inline(always)]
fn plain_columns(crank: (&[f64], &[f64]), limb: (&mut [f64], &mut [f64]), kernel: &Kernel) -> u64 {
    let n = limb.0.len();
    let (cx, cy) = (&crank.0[..n], &crank.1[..n]);
    let (lx, ly) = (&mut limb.0[..n], &mut limb.1[..n]);
    let mut blocked = 0u64;
    for i in 0..n {
        let at = kernel.step(cx[i], cy[i]);
        (lx[i], ly[i]) = (at.x, at.y);
        blocked += u64::from(at.room < 0.0);
    }
    blocked
}

/// The same loop compiled for four lanes: the same operations in the same order,
/// none of them fused, hence the same bits.
#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx2")]
fn wide_columns(crank: (&[f64], &[f64]), limb: (&mut [f64], &mut [f64]), kernel: &Kernel) -> u64 {
    plain_columns(crank, limb, kernel)
}

/// The widest loop this processor has.
fn columns(crank: (&[f64], &[f64]), limb: (&mut [f64], &mut [f64]), kernel: &Kernel) -> u64 {
    #[cfg(target_arch = "x86_64")]
    if std::arch::is_x86_feature_detected!("avx2") {
        // SAFETY: the line above asked the processor for what the function needs.
        #[allow(unsafe_code)]
        return unsafe { wide_columns(crank, limb, kernel) };
    }
    plain_columns(crank, limb, kernel)
}

/// The constants of the hot kernel.
///
/// In complex numbers, with `r` from pivot to crank pin and `w` undoing the clamp,
/// the limb is `r w (k + i q)/(r^2 c)`. Turned by `w` and divided by sqrt 2 at the
/// start, with `s` half of `r^2`, that is `r' C (1 + h/s + i q/s)`: plain + - x /
/// and one root, no branch, so it vectorises on any machine.
struct Kernel {
    /// Crank times `w`, over sqrt 2.
    ax: f64,
    ay: f64,
    /// Ground times `w`, over sqrt 2.
    dx: f64,
    dy: f64,
    /// Half the squares of rod + lever and of their difference.
    far: f64,
    near: f64,
    /// 1/(c sqrt 2), and with the sign of the assembly.
    scale: f64,
    signed: f64,
    /// (c^2 - b^2)/2 with the sign of the assembly.
    half: f64,
    /// From q to the signed sine of the push angle.
    per_bc: f64,
}

impl Kernel {
    fn of(f: &FourBar) -> Self {
        let (b, c) = (f.bars.rod.0, f.bars.lever.0);
        let ground = f.pivot - f.motor;
        let (wx, wy) = (f.clamp_dir.x(), -f.clamp_dir.y());
        let root = std::f64::consts::FRAC_1_SQRT_2;
        let side = -f.assembly.sign();
        Self {
            ax: root * f.bars.crank.0 * wx,
            ay: root * f.bars.crank.0 * wy,
            dx: root * (ground.x * wx - ground.y * wy),
            dy: root * (ground.x * wy + ground.y * wx),
            far: 0.5 * (b + c) * (b + c),
            // Not nought: where crank pin and pivot meet it must count as blocked.
            near: (0.5 * (b - c) * (b - c)).max(1e-200),
            scale: root / c,
            signed: side * root / c,
            half: side * 0.5 * (c - b) * (c + b),
            per_bc: -side / (b * c),
        }
    }

    /// One position. Where it is blocked (`room` below nought) x and y mean
    /// nothing.
    #[inline(always)]
    fn step(&self, ux: f64, uy: f64) -> Step {
        let rx = self.ax * ux - self.ay * uy - self.dx;
        let ry = self.ay * ux + self.ax * uy - self.dy;
        let s = rx * rx + ry * ry;
        // (b c sin mu)^2, from the distances to the dead centres.
        let room = (self.far - s) * (s - self.near);
        let q = (if room > 0.0 { room } else { 0.0 }).sqrt();
        let u = self.signed / s;
        let (k, turn) = (self.scale + self.half * u, q * u);
        Step { x: rx * k - ry * turn, y: rx * turn + ry * k, q, room }
    }
}

/// What the kernel finds.
struct Step {
    x: f64,
    y: f64,
    q: f64,
    room: f64,
}

impl Mechanism for FourBar {
    fn kind(&self) -> Kind {
        Kind::FourBar
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        self.group().pose(at)
    }

    fn on_pivot(&self, pivot: BoardPoint) -> Option<Arc<dyn Mechanism>> {
        Some(Arc::new(self.moved(pivot)?))
    }

    fn closing(&self, at: &Input<f64>) -> Option<(Rod, f64)> {
        let crank = self.bars.crank.0;
        let pin = at.driver.place(crank, 0.0).into();
        Some((Rod { pin, ..self.group() }, crank))
    }

    fn pins(&self, at: &Input<f64>, limb: &Body<f64>) -> Pins {
        self.pins_at(at, limb)
    }

    fn thrust(&self, at: &Input<f64>, limb: &Body<f64>) -> Option<Thrust> {
        self.group().thrust_on(&at.driver, limb)
    }

    fn rod(&self) -> Option<[[f64; 2]; 2]> {
        Some(self.group().ends())
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        self.group().close(&at.driver, &at.host)
    }

    fn limits(&self, path: &dyn Path) -> Result<Travel, Blocked> {
        let own = path.shaft().is_some_and(|s| s.at == self.motor && s.span == Span::TURN);
        let analysis = own.then(|| self.analyse()).filter(|a| a.crank_turns_fully);
        if let Some(travel) = analysis.and_then(|a| a.motion?.travel()) {
            return Ok(travel);
        }
        let motion = |c| self.motion(&path.motion(c)?);
        super::sweep::sampled_limits(&motion, path.span(), Guide::Pivot)
    }

    fn inverse(&self, stand: Stand, path: &dyn Path) -> Result<Vec<f64>, Blocked> {
        let own = path.shaft().is_some_and(|s| s.at == self.motor && s.span == Span::TURN);
        match stand {
            Stand::Turned(limb) if own => {
                let angle = |crank: Dir| crank.angle().deg().positive().rad().0;
                Ok(self.cranks_for(limb).into_iter().map(angle).collect())
            }
            _ => {
                let at = |c| Ok(Guide::Pivot.stand(&self.position(&path.at(c)?)?.limb));
                super::sweep::sampled_inverse(&at, stand, path.span())
            }
        }
    }

    fn positions(&self, shaft: BoardPoint, crank: &[Dir], out: &mut Sweep) {
        Self { motor: shaft, ..*self }.positions_into(crank, out);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_and_plain_loops_give_the_same_bits() {
        let centres = (BoardPoint::mm(310.0, 806.0), BoardPoint::mm(150.0, 880.0));
        let lengths = (Mm(30.0), Mm(159.92), Mm(80.0));
        let linkage = FourBar::new(centres, lengths, Deg(127.06), Assembly::Open).unwrap();
        let kernel = Kernel::of(&linkage);
        let dirs: Vec<Dir> = (0..1003).map(|n| Dir::degrees(Deg(f64::from(n) * 0.7))).collect();
        let (cx, cy): (Vec<f64>, Vec<f64>) = dirs.iter().map(|d| (d.x(), d.y())).unzip();
        let (mut wide, mut plain) =
            ([vec![0.0; 1003], vec![0.0; 1003]], [vec![0.0; 1003], vec![0.0; 1003]]);
        let [wx, wy] = &mut wide;
        assert_eq!(columns((&cx, &cy), (wx, wy), &kernel), 0);
        let [px, py] = &mut plain;
        assert_eq!(plain_columns((&cx, &cy), (px, py), &kernel), 0);
        let bits =
            |all: &[Vec<f64>; 2]| all.concat().iter().map(|v| v.to_bits()).collect::<Vec<_>>();
        assert_eq!(bits(&wide), bits(&plain));
    }
}
