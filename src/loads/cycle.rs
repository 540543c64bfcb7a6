//! The torque of each motor over one whole cycle of what its limbs are asked for.
//!
//! Calm air, constant speed of the crank (a servo eases its limb instead), standard
//! gravity; rods, levers and cranks without weight unless they are cut from a stock bar
//! whose material is known.

use super::pace::Pace;
use super::scan::{Scan, crest, scan};
use super::train::{Forces, Train, Work};
use super::works::{self, Asked};
use super::{Bars, Bench, Grade, TorqueCurve};
use crate::mechanism::Blocked;
use crate::model::Note;
use crate::units::print;

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
    /// The largest load on its bolt or guide over the cycle, N.
    pub most_hold: f64,
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

/// Places of a cycle at which a limb's forces are looked at.
const LOOKS: usize = 64;

/// Scans a motor's cycle, in calm air and in wind.
fn curve(train: &Train<'_>, pace: &Pace, first: usize) -> Result<Scan, Blocked> {
    let lead = &train.parts[first];
    let held = matches!(pace, Pace::Eased(_));
    let mut f = |x: f64| {
        let now = pace.at(x, lead.mechanism, lead.path)?;
        let work = train.work(&now)?;
        let (calm, windy) = (work.total(), work.total() + work.wind);
        // A servo holds and brakes as well as it pushes.
        Ok(if held { [calm.abs(), calm.abs() + work.wind] } else { [calm, windy] })
    };
    scan(&mut f, pace.corners()[1])
}

/// Points of a turn at which the motor's own line is looked at.
const TURN: usize = 120;

/// The torque over a turn of a motor that goes round and round; `None` for any other.
fn round(train: &Train<'_>, pace: &Pace) -> Option<TorqueCurve> {
    let Pace::Round { .. } = pace else { return None };
    let lead = &train.parts[first(train)];
    let mut curve = TorqueCurve::default();
    for i in 0..TURN {
        let share = i as f64 / TURN as f64;
        let now = pace.at(share, lead.mechanism, lead.path).ok()?;
        curve.turn.push(share * std::f64::consts::TAU);
        curve.torque.push(train.work(&now).ok()?.total());
    }
    Some(curve)
}

/// The largest push and pull along a ram or cylinder over a cycle, N, both as positive
/// numbers: pushing is out, whichever way it moves.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rod {
    /// In calm air.
    pub calm: [f64; 2],
    /// In the gust up to which it is to run, at its worst; `None` where no limb's edge is
    /// known.
    pub windy: Option<[f64; 2]>,
}

fn rod(train: &Train<'_>, pace: &Pace) -> Option<Rod> {
    let lead = &train.parts[first(train)];
    let (mut calm, mut windy) = ([0.0_f64; 2], [0.0_f64; 2]);
    for i in 0..TURN {
        let now = pace.at(i as f64 / TURN as f64, lead.mechanism, lead.path).ok()?;
        let work = train.work(&now).ok()?;
        let out = work.total() * now.way;
        calm = [calm[0].max(out), calm[1].max(-out)];
        windy = [windy[0].max(out + work.wind), windy[1].max(work.wind - out)];
    }
    let known = train.parts.iter().any(|p| p.gust.is_some());
    Some(Rod { calm, windy: known.then_some(windy) })
}

/// The index of the limb that the motor itself pushes.
fn first(train: &Train<'_>) -> usize {
    train.parts.iter().position(|p| p.above.is_none()).unwrap_or(0)
}

/// What a motor has to give for one pace.
fn measure(train: &Train<'_>, asked: &Asked, effort: Effort) -> Result<MotorLoad, Blocked> {
    let lead_index = first(train);
    let lead = &train.parts[lead_index];
    let found = curve(train, &asked.pace, lead_index)?;
    let still = asked.pace.standstill();
    let (hardest_start, start_at) = start(train, &still)?;
    let now = asked.pace.at(found.peak[0].1, lead.mechanism, lead.path)?;
    let at_rest = still.at(start_at, lead.mechanism, lead.path)?;
    let shown = |at: f64| match effort {
        // A hair below a whole turn is 0 to everyone.
        Effort::Torque => match crate::units::Rad(at).deg().positive().0 {
            deg if deg >= 360.0 - 1e-9 => 0.0,
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
        limbs: train.parts.iter().map(|p| p.limb).collect(),
        effort,
        peak: found.peak[0].0,
        peak_at: shown(now.at),
        parts,
        least: found.least,
        rms: found.rms,
        rms_error: found.rms_error,
        evaluations: found.evaluations,
        start: (hardest_start, shown(at_rest.at)),
        in_wind: windy.then_some(found.peak[1].0),
        speed: asked.speed,
        gesture: asked.gesture.clone(),
        grade: train.parts.iter().map(|p| p.mass.grade).max().unwrap_or(Grade::Typical),
    })
}

/// What each limb of a motor takes, and the forces in its mechanism.
fn shares(train: &Train<'_>, pace: &Pace, load: &MotorLoad) -> Result<Vec<LimbLoad>, Blocked> {
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
            most_hold: 0.0,
        })
        .collect();
    let mut worst = f64::NEG_INFINITY;
    let mut curves = vec![Vec::with_capacity(LOOKS); shares.len()];
    for at in places(pace) {
        let all = train.all(&pace.at(at, lead.mechanism, lead.path)?)?;
        let total: f64 = all.iter().map(|(work, _)| work.total()).sum();
        for ((share, curve), (work, forces)) in shares.iter_mut().zip(&mut curves).zip(&all) {
            if total > worst {
                share.forces = *forces;
            }
            let own = if held { work.total().abs() } else { work.total() };
            curve.push((at, [own; 2]));
            share.most_hold = share.most_hold.max(forces.hold);
            share.most_torque = share.most_torque.max(forces.turning.abs());
            let push = forces.push.map(f64::abs);
            share.most_push =
                push.map(|p| p.max(share.most_push.unwrap_or(0.0))).or(share.most_push);
        }
        worst = worst.max(total);
    }
    if shares.len() > 1 {
        for (part, (share, curve)) in shares.iter_mut().zip(&curves).enumerate() {
            let mut f = |x: f64| {
                let now = pace.at(x, lead.mechanism, lead.path)?;
                let own = train.work_of(part, &now)?.total();
                Ok([if held { own.abs() } else { own }; 2])
            };
            share.own_peak = crest(&mut f, curve).0;
        }
    }
    Ok(shares)
}

/// Even places over a cycle, those of each way apart.
fn places(pace: &Pace) -> impl Iterator<Item = f64> {
    let turn = pace.corners()[1];
    let half = LOOKS / 2;
    (0..LOOKS).map(move |i| {
        let (k, from, to) =
            if i < half { (i, 0.0, turn * (1.0 - 1e-12)) } else { (i - half, turn, 1.0 - 1e-12) };
        from + (to - from) * k as f64 / (half - 1) as f64
    })
}

/// The worst position to start from: what it takes there, and the share of the cycle.
fn start(train: &Train<'_>, pace: &Pace) -> Result<(f64, f64), Blocked> {
    let lead = &train.parts[first(train)];
    let held = matches!(pace, Pace::Eased(_));
    let mut f = |x: f64| {
        let total = train.work(&pace.at(x, lead.mechanism, lead.path)?)?.total();
        Ok([if held { total.abs() } else { total }; 2])
    };
    let curve = places(pace).map(|x| Ok((x, f(x)?))).collect::<Result<Vec<_>, Blocked>>()?;
    Ok(crest(&mut f, &curve))
}

/// The hardest of what a motor is asked for.
pub(super) fn hardest(
    train: &Train<'_>,
    asked: &[Asked],
    effort: Effort,
) -> Option<(MotorLoad, Pace)> {
    let all = asked.iter().filter_map(|a| Some((measure(train, a, effort).ok()?, a.pace)));
    all.reduce(|best, next| if next.0.peak > best.0.peak { next } else { best })
}

impl Bench<'_> {
    /// What every motor has to give.
    pub fn turn(&mut self) {
        self.balance_weights();
        for motor in 0..self.fitted.figure.actuators.len() {
            self.turn_one(motor);
        }
        for (limb, loaded) in self.fitted.limbs.iter().zip(&mut self.limbs) {
            let works = limb.mechanism.as_ref().is_some_and(|m| !m.faulty());
            if works && loaded.mass.is_some() && loaded.cycle.is_none() {
                let what = "torque (a limb on its motor has no weight or does not move)";
                loaded.not_checked.push(Note::new(what, "weighed 0.31 kg"));
            }
        }
    }

    fn turn_one(&mut self, motor: usize) {
        let masses: Vec<_> = self.limbs.iter().map(|l| l.mass).collect();
        let Some(works) = works::of(self.fitted, self.site, motor, &masses) else { return };
        let train = works.train();
        let Some((load, pace)) = hardest(&train, &works.asked, works.effort) else { return };
        let Ok(shares) = shares(&train, &pace, &load) else { return };
        let curve = if load.effort == Effort::Torque { round(&train, &pace) } else { None };
        let rod = if load.effort == Effort::Force { rod(&train, &pace) } else { None };
        for (part, found) in train.parts.iter().zip(shares) {
            let loaded = &mut self.limbs[part.limb];
            loaded.assumed.extend(works::assumed(self.fitted, part, &load));
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
        self.riders(&load, &masses);
        self.curves.resize(motor + 1, None);
        self.curves[motor] = curve;
        self.rods.resize(motor + 1, None);
        self.rods[motor] = rod;
        let not_known: Vec<Note> = works.not_known.clone();
        for note in not_known {
            for limb in &load.limbs {
                self.limbs[*limb].not_checked.push(note.clone());
            }
        }
    }
}
