//! The torque of each motor over one whole cycle of what its limbs are asked for.
//!
//! Calm air, constant speed of the crank (a servo eases its limb instead), standard
//! gravity; rods, levers and cranks without weight unless they are cut from a stock bar
//! whose material is known.

use std::f64::consts::TAU;

use super::dry;
use super::from_rest::{self, Piece};
use super::guided::Stuck;
use super::mass::MassProperties;
use super::motor::Wanted;
use super::pace::{Instant, Pace};
use super::scan::{Pair, Scan, crest, look, scan};
use super::standing::{self, Standing};
use super::train::{Forces, Friction, Part, Pose, Train, Work};
use super::works::{self, Asked};
use super::{Bars, Bench, Grade, TorqueCurve};
use crate::mechanism::Blocked;
use crate::model::{MotorKind, Note};
use crate::units::{Rpm, print};

/// Whether a motor turns or pushes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effort {
    /// N.m at its shaft, its coordinate in degrees.
    Torque,
    /// N along its rod, its coordinate in mm.
    Force,
    /// N.m at a spool's shaft, its coordinate in mm of cord.
    Winding,
}

/// What one motor has to give over a cycle.
#[derive(Clone, Debug, PartialEq)]
pub struct MotorLoad {
    /// The motor, by index in the figure.
    pub motor: usize,
    /// The limbs it moves, by index.
    pub limbs: Vec<usize>,
    /// Torque or force.
    pub effort: Effort,
    /// Largest positive value in calm air: N.m, or N.
    pub peak: f64,
    /// Where: the shaft's angle in [0, 360) deg, or the ram's length in mm.
    pub peak_at: f64,
    /// What it is made of there.
    pub parts: Work,
    /// Smallest value: negative where the limbs push the motor.
    pub least: f64,
    /// Root mean square over the cycle's time.
    pub rms: f64,
    /// Estimated error of `rms`, as a share of it.
    pub rms_error: f64,
    /// How often the curve was evaluated.
    pub evaluations: usize,
    /// What starting from the worst position takes, and where that is.
    pub start: (f64, f64),
    /// The largest value with the wind at its worst; `None` where no limb's edge is known.
    pub in_wind: Option<f64>,
    /// The largest value with the bushings dry or dirty; `None` where none is reckoned
    /// smoother.
    pub dry: Option<f64>,
    /// Speed of the coordinate: rpm of the shaft, or mm/s; `None` for a standstill.
    pub speed: Option<f64>,
    /// The gesture whose cycle this is.
    pub gesture: Option<String>,
    /// Where the numbers come from.
    pub grade: Grade,
}

/// A limb's own share.
#[derive(Clone, Debug, PartialEq)]
pub struct LimbLoad {
    /// Its motor's load, with everything on that motor.
    pub motor: MotorLoad,
    /// The largest value this limb alone takes.
    pub own_peak: f64,
    /// Forces in its mechanism where its motor works hardest.
    pub forces: Forces,
    /// Its bars that weigh something.
    pub bars: Bars,
    /// Friction of the limb that was counted with, and how it is known.
    pub friction: Rubs,
    /// The largest push along its rod, slot or cord over the cycle, without sign, N.
    pub most_push: Option<f64>,
    /// The largest torque with which its drive turns it about its pivot over the cycle,
    /// without sign, N.m: what its clamp passes on. Nought on a slide.
    pub most_torque: f64,
    /// The least and the largest of that torque without friction, counter-clockwise
    /// positive, N.m: where both signs come, play in its pins changes sides.
    pub both_ways: [f64; 2],
    /// How sharply it is turned round at most over the cycle, without sign, rad/s2.
    pub most_swing: f64,
    /// The largest friction in its bushing over the cycle, N.m, or on its guide, N.
    pub most_friction: f64,
    /// The largest load on its bolt or guide over the cycle, N.
    pub most_hold: f64,
    /// The most that the wind alone asks of its motor anywhere in the cycle.
    pub most_wind: f64,
}

/// How the friction of a limb is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rubs {
    /// Not at all: none was counted with.
    Not,
    /// It was given, N.m.
    Given(f64),
    /// Coefficient, and radius of the bolt in mm; the load on it changes.
    Bolt(f64, f64),
    /// Coefficient on a guide.
    Guide(f64),
}

/// How often the coefficient at which a guide binds is halved in on: to a thousandth or so.
const HALVED: usize = 10;

/// Places of a cycle at which a limb's forces are looked at.
const LOOKS: usize = 64;

/// What a motor gives after a share of its cycle, in calm air and in wind.
fn reading(train: &Train<'_>, pace: &Pace, first: usize, share: f64) -> Result<Pair, Stuck> {
    let lead = &train.parts[first];
    let now = pace.at(share, lead.mechanism, lead.path)?;
    let work = train.work(&now)?;
    let (calm, windy) = (work.total(), work.total() + work.wind);
    // A servo holds and brakes as well as it pushes.
    Ok(match pace {
        Pace::Eased(_) => [calm.abs(), calm.abs() + work.wind],
        Pace::Round { .. } | Pace::Shuttle { .. } => [calm, windy],
    })
}

/// Scans a motor's cycle, in calm air and in wind.
fn curve(train: &Train<'_>, pace: &Pace, first: usize) -> Result<Scan, Stuck> {
    scan(&mut |x| reading(train, pace, first, x), pace.corners()[1])
}

/// Whether a limb binds in its guide somewhere in a motor's cycle.
fn stuck(train: &Train<'_>, pace: &Pace) -> bool {
    let first = first(train);
    let looked = look(&mut |x| reading(train, pace, first, x), pace.corners()[1]);
    matches!(looked, Err(Stuck::Guide))
}

/// The torque over a turn of a motor that goes round and round, of whose cycle the curve is
/// known; `None` for any other.
fn round(pace: &Pace, found: &Scan) -> Option<TorqueCurve> {
    let Pace::Round { .. } = pace else { return None };
    let all = found.even.iter().flatten();
    let (turn, torque) = all.map(|(share, [calm, _])| (share * TAU, *calm)).unzip();
    Some(TorqueCurve { turn, torque })
}

/// The largest push and pull along a ram or cylinder over a cycle, N, both as positive
/// numbers: pushing is out, whichever way it moves.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rod {
    /// In calm air.
    pub calm: [f64; 2],
    /// In the gust up to which it is to run, at its worst; `None` where no limb's edge is
    /// known.
    pub windy: Option<[f64; 2]>,
    /// What it works against in calm air at even places of its way, growing longer and
    /// shorter: N, or N.m at a spool; negative where its limb helps.
    pub ways: [Vec<f64>; 2],
    /// From standing still, what holds it back on each piece of its way but for friction, N,
    /// as a force against it, and what is moved there, kg, growing longer and shorter. Empty
    /// where nobody asks.
    pub from_rest: [Vec<Piece>; 2],
}

impl Rod {
    /// The shortest time in which a force moves it all the way from standing still, growing
    /// longer or shorter: less than it really takes, since nothing rubs and the force is there
    /// at once. `None` where it does not come so far.
    #[must_use]
    pub fn least_time(&self, shorter: bool, force: f64) -> Option<f64> {
        let pieces = &self.from_rest[usize::from(shorter)];
        let pushed = pieces.iter().map(|p| Piece { force: force + p.force, ..*p });
        from_rest::time(pushed).filter(|t| *t > 0.0)
    }

    /// The share of its free speed that is left over a whole way, growing longer and
    /// shorter, of what comes to rest at `stops` on a straight line; `None` where it comes
    /// to rest on its way.
    ///
    /// Times add up, so that the mean is that of 1/(1 - F/stops). What a limb helps does not
    /// make it faster: its screw or worm holds it back.
    #[must_use]
    pub fn left(&self, stops: f64) -> Option<[f64; 2]> {
        let left = |way: &Vec<f64>| {
            let slower = |f: &f64| 1.0 - f.max(0.0) / stops;
            let moves = !way.is_empty() && way.iter().all(|f| slower(f) > 0.0);
            let times: f64 = way.iter().map(|f| 1.0 / slower(f)).sum();
            moves.then(|| way.len() as f64 / times)
        };
        Some([left(&self.ways[0])?, left(&self.ways[1])?])
    }

    /// The larger of each.
    fn most(&self, other: &Self) -> Self {
        let larger = |a: [f64; 2], b: [f64; 2]| [a[0].max(b[0]), a[1].max(b[1])];
        let windy = self.windy.zip(other.windy).map(|(a, b)| larger(a, b));
        let way = |i: usize| {
            // The longer one goes on alone where the other has ended.
            let (a, b) = (&self.ways[i], &other.ways[i]);
            let at = |way: &[f64], n| way.get(n).copied().unwrap_or(f64::NEG_INFINITY);
            (0..a.len().max(b.len())).map(|n| at(a, n).max(at(b, n))).collect()
        };
        let from_rest = self.from_rest.clone();
        Self { calm: larger(self.calm, other.calm), windy, ways: [way(0), way(1)], from_rest }
    }
}

/// What the rod of a motor that goes to and fro bears, of whose cycle the curve is known;
/// `None` for any other.
fn rod(train: &Train<'_>, pace: &Pace, found: &Scan) -> Option<Rod> {
    let Pace::Shuttle { .. } = pace else { return None };
    let (mut calm, mut windy) = ([0.0_f64; 2], [0.0_f64; 2]);
    for (even, way) in found.even.iter().zip([1.0, -1.0]) {
        for (_, [still, blown]) in even {
            let (out, wind) = (still * way, blown - still);
            calm = [calm[0].max(out), calm[1].max(-out)];
            windy = [windy[0].max(out + wind), windy[1].max(wind - out)];
        }
    }
    // Each place stands for the way to the next one, so that the last stands for none.
    let ways = [0, 1].map(|way| {
        let even = &found.even[way];
        even[..even.len() - 1].iter().map(|(_, [still, _])| *still).collect()
    });
    let known = train.parts.iter().any(|p| p.gust.is_some());
    let windy = known.then_some(windy);
    Some(Rod { calm, windy, ways, from_rest: Default::default() })
}

/// Pieces into which each way from standing still is cut.
const PIECES: u32 = 48;

/// What a motor that goes to and fro has to set in motion, see [`Rod::from_rest`].
fn from_standstill(train: &Train<'_>, pace: &Pace) -> Result<[Vec<Piece>; 2], Stuck> {
    let lead = &train.parts[first(train)];
    let Pace::Shuttle { from, to, .. } = *pace else { return Ok(Default::default()) };
    let turn = pace.corners()[1];
    let way = (to - from) * 1e-3 / f64::from(PIECES);
    let piece = |from: f64, to: f64, n: u32| {
        let share = from + (to - from) * (f64::from(n) + 0.5) / f64::from(PIECES);
        let now = pace.at(share, lead.mechanism, lead.path)?.still();
        let still = train.work(&now)?;
        // A metre in a second squared: a newton for each kilogram.
        let mass = train.work(&Instant { acceleration: now.way * 1e3, ..now })?.inertia;
        Ok(Piece { way, force: -(still.gravity + still.load), mass })
    };
    let out = (0..PIECES).map(|n| piece(0.0, turn, n)).collect::<Result<_, Stuck>>()?;
    let back = (0..PIECES).map(|n| piece(turn, 1.0, n)).collect::<Result<_, Stuck>>()?;
    Ok([out, back])
}

/// A motor's limbs at even places over a cycle, those of each way apart.
pub(super) struct Looks {
    /// The share of the cycle's time, and the instant.
    at: Vec<(f64, Instant)>,
    /// Where the limbs are, one place after another.
    poses: Vec<Pose>,
}

impl Looks {
    pub(super) fn new(train: &Train<'_>, pace: &Pace) -> Result<Self, Blocked> {
        let lead = &train.parts[first(train)];
        let mut looks = Self {
            at: Vec::with_capacity(LOOKS),
            poses: Vec::with_capacity(LOOKS * train.parts.len()),
        };
        let turn = pace.corners()[1];
        for (from, to) in [(0.0, turn * (1.0 - 1e-12)), (turn, 1.0 - 1e-12)] {
            for k in 0..LOOKS / 2 {
                let share = from + (to - from) * k as f64 / (LOOKS / 2 - 1) as f64;
                let now = pace.at(share, lead.mechanism, lead.path)?;
                train.pose(now.at, &mut looks.poses)?;
                looks.at.push((share, now));
            }
        }
        Ok(looks)
    }

    fn each(&self, train: &Train<'_>) -> impl Iterator<Item = (f64, Instant, &[Pose])> {
        let poses = self.poses.chunks(train.parts.len());
        self.at.iter().zip(poses).map(|((share, now), poses)| (*share, *now, poses))
    }
}

/// The index of the limb that the motor itself pushes.
fn first(train: &Train<'_>) -> usize {
    train.parts.iter().position(|p| p.above.is_none()).unwrap_or(0)
}

/// The smallest of a curve that is known at even places: at a kink where the limb turns round,
/// if it must.
fn least(train: &Train<'_>, pace: &Pace, found: &Scan) -> f64 {
    let first = first(train);
    let mut low = |x: f64| reading(train, pace, first, x).map(|[calm, _]| [-calm; 2]);
    let all = found.even.iter().flatten();
    let points: Vec<_> = all.map(|(at, [calm, _])| (*at, [-calm; 2])).collect();
    found.least.min(-crest(&mut low, &points).0)
}

/// What a motor has to give for one pace, of which the curve is known.
pub(super) fn measure(
    train: &Train<'_>,
    asked: &Asked,
    effort: Effort,
    found: &Scan,
    looks: &Looks,
) -> Result<MotorLoad, Stuck> {
    let lead = &train.parts[first(train)];
    let (hardest_start, start_at) = worst(train, &asked.pace, looks, Instant::still)?;
    let now = asked.pace.at(found.peak[0].1, lead.mechanism, lead.path)?;
    let at_rest = asked.pace.at(start_at, lead.mechanism, lead.path)?;
    let shown = |at: f64| match effort {
        // A hair below a whole turn is 0 to everyone, to a tenth of a degree.
        Effort::Torque => match crate::units::Rad(at).deg().positive().0 {
            deg if deg >= 360.0 - 0.05 => 0.0,
            deg => deg,
        },
        Effort::Force | Effort::Winding => at,
    };
    let mut parts = train.work(&now)?;
    if matches!(asked.pace, Pace::Eased(_)) && parts.total() < 0.0 {
        // It holds back: told as the effort it is.
        parts = parts.reversed();
    }
    let windy = train.parts.iter().any(|p| p.gust.is_some());
    Ok(MotorLoad {
        motor: asked.motor,
        limbs: train.parts.iter().filter(|p| !p.stands).map(|p| p.limb).collect(),
        effort,
        peak: found.peak[0].0,
        peak_at: shown(now.at),
        parts,
        least: least(train, &asked.pace, found),
        rms: found.rms,
        rms_error: found.rms_error,
        evaluations: found.evaluations,
        start: (hardest_start, shown(at_rest.at)),
        in_wind: windy.then_some(found.peak[1].0),
        dry: None,
        speed: asked.speed,
        gesture: asked.gesture.clone(),
        grade: train.parts.iter().map(|p| p.mass.grade).max().unwrap_or(Grade::Typical),
    })
}

/// What each limb of a motor takes, and the forces in its mechanism.
fn shares(
    train: &Train<'_>,
    pace: &Pace,
    load: &MotorLoad,
    looks: &Looks,
) -> Result<Vec<LimbLoad>, Stuck> {
    let lead = &train.parts[first(train)];
    let held = matches!(pace, Pace::Eased(_));
    let mut shares: Vec<LimbLoad> = train
        .parts
        .iter()
        .map(|part| LimbLoad {
            motor: load.clone(),
            own_peak: load.peak,
            forces: Forces::default(),
            bars: part.bars,
            friction: works::rubs(part),
            most_push: None,
            most_torque: 0.0,
            both_ways: [0.0; 2],
            most_swing: 0.0,
            most_friction: 0.0,
            most_hold: 0.0,
            most_wind: 0.0,
        })
        .collect();
    let mut worst = f64::NEG_INFINITY;
    let mut most_wind = 0.0_f64;
    let mut all = vec![Forces::default(); shares.len()];
    let mut curves = vec![Vec::with_capacity(LOOKS); shares.len()];
    for (at, now, poses) in looks.each(train) {
        let (mut total, mut wind) = (0.0, 0.0);
        train.all_in(poses, &now, |part, work, forces| {
            total += work.total();
            wind += work.wind;
            all[part] = *forces;
            let own = if held { work.total().abs() } else { work.total() };
            curves[part].push((at, [own; 2]));
        })?;
        for (share, forces) in shares.iter_mut().zip(&all) {
            if total > worst {
                share.forces = *forces;
            }
            share.most_hold = share.most_hold.max(forces.hold);
            share.most_torque = share.most_torque.max(forces.turning.abs());
            let [least, most] = share.both_ways;
            share.both_ways = [least.min(forces.bare), most.max(forces.bare)];
            share.most_friction = share.most_friction.max(forces.friction);
            share.most_swing = share.most_swing.max(forces.swing.abs());
            let push = forces.push.map(f64::abs);
            share.most_push =
                push.map(|p| p.max(share.most_push.unwrap_or(0.0))).or(share.most_push);
        }
        worst = worst.max(total);
        most_wind = most_wind.max(wind);
    }
    for share in &mut shares {
        share.most_wind = most_wind;
    }
    if shares.len() > 1 {
        for (part, (share, curve)) in shares.iter_mut().zip(&curves).enumerate() {
            let mut f = |x: f64| -> Result<Pair, Stuck> {
                let now = pace.at(x, lead.mechanism, lead.path)?;
                let own = train.work_of(part, &now)?.total();
                Ok([if held { own.abs() } else { own }; 2])
            };
            share.own_peak = crest(&mut f, curve).0;
        }
    }
    Ok(shares)
}

/// The largest forces with everything else standing somewhere else, at the pace that is
/// hardest there; what its rod bears there.
fn most(
    shares_so_far: &mut [LimbLoad],
    works: Option<&works::Works<'_>>,
    load: &MotorLoad,
) -> Option<Rod> {
    let works = works?;
    let train = works.train();
    let (asked, curve) = hardest(&train, &works.asked)?;
    let here = shares(&train, &asked.pace, load, &Looks::new(&train, &asked.pace).ok()?).ok()?;
    for (most, here) in shares_so_far.iter_mut().zip(here) {
        most.most_push = match (most.most_push, here.most_push) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
        most.most_torque = most.most_torque.max(here.most_torque);
        most.most_swing = most.most_swing.max(here.most_swing);
        most.most_hold = most.most_hold.max(here.most_hold);
        most.own_peak = most.own_peak.max(here.own_peak);
        most.most_friction = most.most_friction.max(here.most_friction);
        let ([a, b], [c, d]) = (most.both_ways, here.both_ways);
        most.both_ways = [a.min(c), b.max(d)];
    }
    rod(&train, &asked.pace, &curve)
}

/// The worst place of a cycle, as its instants are seen (to start from, where it stands
/// still): what it takes there, and the share of the cycle.
pub(super) fn worst(
    train: &Train<'_>,
    pace: &Pace,
    looks: &Looks,
    seen: impl Fn(Instant) -> Instant,
) -> Result<(f64, f64), Stuck> {
    let lead = &train.parts[first(train)];
    let held = matches!(pace, Pace::Eased(_));
    let told = |work: Work| [if held { work.total().abs() } else { work.total() }; 2];
    let curve: Vec<_> = looks
        .each(train)
        .map(|(share, now, poses)| Ok((share, told(train.work_in(poses, &seen(now))?))))
        .collect::<Result<_, Stuck>>()?;
    let mut f = |x: f64| -> Result<Pair, Stuck> {
        Ok(told(train.work(&seen(pace.at(x, lead.mechanism, lead.path)?))?))
    };
    Ok(crest(&mut f, &curve))
}

/// The fastest that each gesture of a motor asks its shaft to turn.
fn wanted(train: &Train<'_>, asked: &[Asked]) -> Vec<Wanted> {
    let lead = &train.parts[first(train)];
    let one = |asked: &Asked| {
        if matches!(asked.pace, Pace::Shuttle { .. }) {
            return None;
        }
        // A crank turns as fast everywhere.
        let looks = if matches!(asked.pace, Pace::Round { .. }) { 1 } else { LOOKS };
        let speeds = (0..looks)
            .map(|i| i as f64 / looks as f64)
            .filter_map(|x| asked.pace.at(x, lead.mechanism, lead.path).ok())
            .map(|now| now.speed.abs());
        let speed = speeds.fold(0.0, f64::max);
        let gesture = asked.gesture.clone()?;
        (speed > 0.0).then(|| Wanted { gesture, speed: Rpm::from_rad_per_sec(speed) })
    };
    asked.iter().filter_map(one).collect()
}

/// The hardest of what a motor is asked for, with its curve.
pub(super) fn hardest<'a>(train: &Train<'_>, asked: &'a [Asked]) -> Option<(&'a Asked, Scan)> {
    let lead = first(train);
    let all = asked.iter().filter_map(|a| Some((a, curve(train, &a.pace, lead).ok()?)));
    all.reduce(|best, next| if next.1.peak[0].0 > best.1.peak[0].0 { next } else { best })
}

/// The largest torque or force of all that a motor is asked for.
pub(super) fn peak(works: &works::Works<'_>) -> Option<f64> {
    hardest(&works.train(), &works.asked).map(|(_, curve)| curve.peak[0].0)
}

impl Bench<'_> {
    /// What every motor has to give.
    pub fn turn(&mut self) {
        self.balance_weights();
        for motor in 0..self.fitted.figure.actuators.len() {
            self.turn_one(motor);
        }
        let masses: Vec<_> = self.limbs.iter().map(|l| l.mass).collect();
        for (index, limb) in self.fitted.limbs.iter().enumerate() {
            let loaded = &self.limbs[index];
            let works = limb.mechanism.as_ref().is_some_and(|m| !m.faulty());
            if works && loaded.mass.is_some() && loaded.cycle.is_none() {
                let motor = self.fitted.figure.motor_of(index);
                let note = if motor.is_some_and(|m| self.binds(m, &masses)) {
                    let what = "torque (its motor pushes a limb so far beside or across its guide \
                                that it binds there, however hard it is pushed)";
                    Note::new(what, "guide 200 mm")
                } else if limb.riding.is_some() {
                    let what = "torque of its motor while the limb that carries it moves too";
                    Note::beyond(what, "let both move, and feel how warm the motor gets")
                } else {
                    let what = "torque (a limb on its motor has no weight or does not move)";
                    Note::new(what, "weighed 0.31 kg")
                };
                self.limbs[index].not_checked.push(note);
            }
        }
    }

    /// Tells where a limb on a guide binds as soon as its motor turns the other way round.
    fn one_way(&mut self, train: &Train<'_>, pace: &Pace) {
        let Pace::Round { from, over, speed, way } = *pace else { return };
        let guided = |p: &&Part<'_>| matches!(p.friction, Friction::Guide(..));
        let Some(part) = train.parts.iter().find(guided) else { return };
        let back = Pace::Round { from, over, speed, way: -way };
        if stuck(train, &back) {
            let other = if way > 0.0 { "clockwise" } else { "counter-clockwise" };
            let what = format!(
                "its motor turns one way only: {other} the limb would bind in its guide, however hard it is \
                 pushed"
            );
            self.limbs[part.limb].assumed.push(Note::new(what, ""));
        }
    }

    /// Whether a limb of a motor binds in its guide.
    fn binds(&self, motor: usize, masses: &[Option<MassProperties>]) -> bool {
        let works = works::of(self.fitted, self.site, motor, masses, &Standing::default());
        works.is_some_and(|works| {
            let train = works.train();
            works.asked.iter().any(|a| stuck(&train, &a.pace))
        })
    }

    /// The coefficient of friction from which on a limb binds in its guide somewhere in what its
    /// motor is asked for; `None` where it does not up to `most`.
    pub(super) fn binds_from(&self, index: usize, most: f64) -> Option<f64> {
        let motor = self.fitted.figure.motor_of(index)?;
        let masses: Vec<_> = self.limbs.iter().map(|l| l.mass).collect();
        let works = works::of(self.fitted, self.site, motor, &masses, &Standing::default())?;
        let mut train = works.train();
        let part = train.parts.iter().position(|p| p.limb == index)?;
        let mut binds = |with: f64| {
            if let Friction::Guide(coefficient, _) = &mut train.parts[part].friction {
                *coefficient = with;
            }
            works.asked.iter().any(|a| stuck(&train, &a.pace))
        };
        // Another limb of its motor that binds is told of itself.
        if !binds(most) || binds(0.0) {
            return None;
        }
        let (mut moves, mut blocked) = (0.0, most);
        for _ in 0..HALVED {
            let middle = (moves + blocked) / 2.0;
            *(if binds(middle) { &mut blocked } else { &mut moves }) = middle;
        }
        Some(blocked)
    }

    fn turn_one(&mut self, motor: usize) {
        let masses: Vec<_> = self.limbs.iter().map(|l| l.mass).collect();
        let Some(free) = standing::free(self.fitted, motor) else { return };
        let (at, worst) = ((self.fitted, self.site), Standing::default());
        let Some(worst) = standing::worst(at, motor, &masses, &free, &worst) else { return };
        let (posed, notes) = self.worst_riders(&worst.load, &worst.standing, &masses);
        let (masses, mut worst) = match notes.is_empty() {
            true => (masses, worst),
            false => {
                let again = standing::worst(at, motor, &posed, &free, &worst.standing);
                let Some(again) = again else { return };
                (posed, again)
            }
        };
        for (carrier, note) in notes {
            self.limbs[carrier].assumed.push(note);
        }
        worst.load.dry = dry::peak(worst.works.train(), &worst.pace, &worst.looks);
        let standing::Worst { load, pace, works, .. } = &worst;
        let train = works.train();
        let Ok(mut shares) = shares(&train, pace, load, &worst.looks) else { return };
        let mut along = match load.effort {
            Effort::Force | Effort::Winding => rod(&train, pace, &worst.curve),
            Effort::Torque => None,
        };
        for place in &free {
            for at in standing::looks(place) {
                let standing = worst.standing.with(*place, at);
                let works = works::of(self.fitted, self.site, motor, &masses, &standing);
                let there = most(&mut shares, works.as_ref(), load);
                along = along.map(|a| there.map_or_else(|| a.clone(), |b| a.most(&b)));
            }
        }
        if let (Some(along), MotorKind::Cylinder) =
            (&mut along, self.fitted.figure.actuators[motor].motor.kind)
        {
            along.from_rest = from_standstill(&train, pace).unwrap_or_default();
        }
        self.one_way(&train, pace);
        let curve = round(pace, &worst.curve).filter(|_| load.effort == Effort::Torque);
        for (part, found) in train.parts.iter().zip(shares).filter(|(p, _)| !p.stands) {
            let loaded = &mut self.limbs[part.limb];
            loaded.assumed.extend(works::assumed(self.fitted, part, load));
            if load.in_wind.is_none() {
                let what = format!(
                    "torque in wind of {}",
                    print::wind(self.site.winds.run, self.fitted.figure.system)
                );
                let settle = "sheet plywood-6  outline (x, y) (x, y) (x, y) mm";
                loaded.not_checked.push(Note::new(what, settle));
            }
            loaded.cycle = Some(found);
        }
        self.stood(load, &free, &worst.standing, &masses);
        self.curves.resize(motor + 1, None);
        self.curves[motor] = curve;
        self.wanted.resize(motor + 1, Vec::new());
        self.wanted[motor] = wanted(&train, &works.asked);
        self.rods.resize(motor + 1, None);
        self.rods[motor] = along;
        let not_known: Vec<Note> = works.not_known.clone();
        for note in not_known {
            for limb in &load.limbs {
                self.limbs[*limb].not_checked.push(note.clone());
            }
        }
    }
}
