//! Whether weight and spring keep a limb on its cam at the speed it is asked for.
//!
//! Over the whole turn of the cam: the weight's force along the slide, or its moment about
//! the pivot, with the spring's, against what the limb's own inertia takes where the cam
//! falls away under it.

use super::cam_codes::CAM_LIFT_OFF;
use super::wind_limb::left_out;
use super::{Bench, Origin, Passed};
use crate::finding::{Finding, Place, Step};
use crate::fit::{mass::guessed, tilted};
use crate::geometry::{Dir, least};
use crate::mechanism::cam::{Cam, Held, LiftOff, Limb as Moved, Spring};
use crate::model::{Action, CamDrive, DriveKind, Limb, Note, Return};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, Newton, NewtonMetre, Rpm, Sec};

/// So many times the limb's inertia weight and spring should hold it down with
/// (common practice, no source).
const HOLD: f64 = 1.5;
/// No spring on a figure pushes or turns harder: N, or N.m.
const MOST_SPRING: f64 = 500.0;
/// How a note of what is not known begins.
const WHAT: &str = "whether it stays on its cam";

/// What came out for a limb.
enum Judged {
    /// It leaves its cam.
    Leaves(Box<Finding>),
    /// It stays on, by this sum.
    Stays(Vec<Step>),
}

impl Bench<'_> {
    /// Every limb on a cam.
    pub(super) fn cams(&mut self) {
        for index in 0..self.limbs.len() {
            match self.cam_holds(index) {
                Ok(Some(Judged::Leaves(found))) => self.findings.push(*found),
                Ok(Some(Judged::Stays(steps))) => {
                    self.limbs[index].passed.push(Passed { code: &CAM_LIFT_OFF, steps });
                }
                Ok(None) => {}
                Err(note) => self.limbs[index].not_checked.push(note),
            }
        }
    }

    fn cam_holds(&self, index: usize) -> Result<Option<Judged>, Note> {
        let fitted = self.fitted;
        let limb = &fitted.figure.limbs[index];
        let drive = fitted.limbs[index].mechanism.as_ref().and_then(|m| m.as_drive());
        let Some(cam) = drive.and_then(|d| d.made().mechanism.as_cam()) else { return Ok(None) };
        let Some((said, place)) = limb.drive.as_ref().and_then(|d| match &d.mechanism {
            DriveKind::Cam(said) => Some((said, d.place)),
            _ => None,
        }) else {
            return Ok(None);
        };
        let unknown = |why: &str, settle: &str| Note::new(format!("{WHAT} ({why})"), settle);
        let slides = matches!(cam.plan().limb, Moved::Slides(_));
        let spring = spring(limb, said, cam).map_err(|(why, settle)| unknown(why, settle))?;
        let Some(mass) = self.limbs[index].mass else {
            let settle = if slides { "weighed 0.8 kg" } else { "weighed 0.3 kg  balances 90 mm" };
            return Err(unknown("its weight is not known", settle));
        };
        if !slides && mass.origins.contains(&Origin::Point) {
            return Err(unknown("its inertia is not known", "inertia 0.004 kg.m2"));
        }
        if fitted.figure.limbs.iter().any(|l| l.carrier == Some(index)) {
            return Err(Note::beyond(
                WHAT,
                "what rides on it is left out; turn it by hand and watch the roller",
            ));
        }
        let Some((speed, at)) = self.cam_speed(limb, said, fitted.figure.motor_of(index)) else {
            return Err(unknown("the cam's speed is not known", "cycle 4 s"));
        };
        let tilt = fitted
            .tilt(index)
            .ok_or_else(|| Note::after(WHAT, "the way of the limb that carries it is known"))?;
        let centre = Dir::along(mass.centre.x, mass.centre.y);
        let held = Held {
            mass: mass.mass,
            inertia: mass.inertia,
            centre: Mm(libm::hypot(mass.centre.x, mass.centre.y)),
            centre_at: centre.map_or(Deg(0.0), Dir::deg),
            spring: Some(spring),
        };
        let off = cam.lift_off_tilted(&held, speed, tilt);
        if off.margin.value >= HOLD {
            return Ok(Some(Judged::Stays(steps(&held, speed, &off))));
        }
        // No finding rests on an outline that nobody wrote.
        let shaped = |o: &Origin| matches!(o, Origin::Outline | Origin::Scaled);
        if slides && guessed(limb) {
            let settle = "weighed 0.8 kg";
            return Err(unknown("what it weighs rests on a sheet or an outline left out", settle));
        }
        if mass.origins.iter().any(shaped) && left_out(limb, "outline") && !slides {
            let settle = "weighed 0.3 kg  balances 90 mm  ten-swings 9 s";
            return Err(unknown("what it weighs rests on an outline that is not drawn", settle));
        }
        let carrier = fitted.limbs[index].riding.as_ref();
        let carrier = carrier.map(|r| &fitted.figure.limbs[r.carrier]);
        let tilted = tilted(carrier, Some(tilt));
        let most = off.speed_for(HOLD);
        let message = if most.0 > 0.0 {
            format!(
                "{} leaves its cam: at {} rpm weight and spring are {} times what it takes{tilted}, and {} are usual.",
                limb.said(),
                decimal(speed.0, 1),
                decimal(off.margin.value, 2),
                decimal(HOLD, 1)
            )
        } else {
            format!("nothing holds {} on its cam, not even at a standstill{tilted}.", limb.said())
        };
        let holds = |more: f64| {
            let held = Held { spring: Some(stronger(spring, more)), ..held };
            cam.lift_off_tilted(&held, speed, tilt).margin.value >= HOLD
        };
        let slower = libm::floor(most.0 * 10.0) / 10.0;
        let slower =
            (slower > 0.0).then(|| format!("up to {} rpm it stays on", decimal(slower, 1)));
        let spring = least(MOST_SPRING, holds).map(|more| wanted(said, slides, more));
        let help = match (slower, spring) {
            (Some(slower), Some(spring)) => format!("{slower}; or {spring}."),
            (Some(one), None) | (None, Some(one)) => format!("{one}."),
            (None, None) => "lift it less, or more slowly.".to_owned(),
        };
        let finding = Finding::new(&CAM_LIFT_OFF, at.unwrap_or(place), message)
            .help(help)
            .steps(steps(&held, speed, &off));
        let finding = finding.about(&fitted.figure.name.value, Some(&limb.name.value));
        Ok(Some(Judged::Leaves(Box::new(finding))))
    }

    /// The cam's fastest: by the shortest cycle, else its motor's free speed.
    fn cam_speed(
        &self,
        limb: &Limb,
        said: &CamDrive,
        motor: Option<usize>,
    ) -> Option<(Rpm, Option<Place>)> {
        let times = f64::from(said.times.max(1));
        let cycles = limb.gestures.iter().filter_map(|g| match &g.action {
            Action::Stroke { cycle: Some(c), .. } | Action::Sweep { cycle: Some(c), .. } => {
                let cycle = self.site.seconds(c.value).filter(|t| *t > Sec(0.0))?;
                Some((Rpm(60.0 / cycle.0 / times), c.place))
            }
            _ => None,
        });
        let fastest = cycles.max_by(|a, b| a.0.0.total_cmp(&b.0.0));
        let free = motor.and_then(|m| self.fitted.figure.actuators[m].motor.free);
        fastest.map(|(s, p)| (s, Some(p))).or_else(|| free.map(|f| (f, None)))
    }
}

/// The sum of a limb on its cam, and up to which speed it stays on as is usual.
fn steps(held: &Held, speed: Rpm, off: &LiftOff) -> Vec<Step> {
    let (margin, most) = (off.margin.value, off.speed_for(HOLD).0);
    let what = "weight and spring over what its inertia takes";
    let mut steps = vec![
        Step::given("it moves", format!("{} kg", decimal(held.mass.0, 4))),
        Step::given("asked for at most", format!("{} rpm", decimal(speed.0, 2))),
    ];
    // Nothing takes it away: there is no worst place, and no speed at which it leaves.
    if !margin.is_finite() {
        steps.push(Step::given(what, "without end: its inertia never takes it off"));
        return steps;
    }
    steps.extend([
        Step::given("at its worst", format!("{} deg of its motor", decimal(off.margin.turn.0, 1))),
        Step::given(what, format!("{} times", decimal(margin, 3))),
        Step::given("usual", format!("{} times", decimal(HOLD, 1))),
    ]);
    if most > 0.0 {
        steps.push(Step::new(
            "it keeps that up to speed x sqrt(times/usual)",
            format!("{} x sqrt({}/{})", decimal(speed.0, 2), decimal(margin, 3), decimal(HOLD, 1)),
            format!("{} rpm", decimal(most, 1)),
        ));
    }
    steps
}

/// What presses the limb on besides its weight, its friction taken off and a steady load
/// added, with the cam at its lowest and all the way; or what is not known, and the clause
/// that would settle it.
fn spring(limb: &Limb, said: &CamDrive, cam: &Cam) -> Result<Spring, (&'static str, &'static str)> {
    let none = Newton(0.0);
    match (cam.plan().limb, said.back) {
        (Moved::Slides(_), Some(Return::Spring)) => {
            Err(("how strong its spring is is not said", "return spring 10 N"))
        }
        (Moved::Swings(_), Some(Return::Spring)) => {
            Err(("how strong its spring is is not said", "return spring 0.3 N.m"))
        }
        (Moved::Slides(_), Some(Return::Moment(_))) => {
            Err(("its spring is a moment and no force along the slide", "return spring 10 N"))
        }
        (Moved::Swings(_), Some(Return::Force(_))) => {
            Err(("its spring is a force and no moment about the pivot", "return spring 0.3 N.m"))
        }
        (Moved::Slides(_), Some(Return::Force(preload))) => {
            Ok(Spring::Push { preload, per_mm: none })
        }
        (Moved::Slides(_), Some(Return::Gravity) | None) => {
            Ok(Spring::Push { preload: none, per_mm: none })
        }
        (Moved::Swings(swing), back) => {
            let spring = match back {
                Some(Return::Moment(moment)) => moment.0,
                _ => 0.0,
            };
            let way = if swing.lift.0 < 0.0 { 1.0 } else { -1.0 };
            let load = limb.load.map_or(0.0, |l| l.0 * way);
            let rubs = limb.friction.map_or(0.0, |f| f.0.abs());
            let preload = NewtonMetre(spring + load - rubs);
            Ok(Spring::Twist { preload, per_deg: NewtonMetre(0.0) })
        }
    }
}

/// The same spring with a stronger preload.
fn stronger(spring: Spring, by: f64) -> Spring {
    match spring {
        Spring::Push { preload, per_mm } => Spring::Push { preload: preload + Newton(by), per_mm },
        Spring::Twist { preload, per_deg } => {
            Spring::Twist { preload: preload + NewtonMetre(by), per_deg }
        }
    }
}

/// The spring that holds, as a clause; rounded up.
fn wanted(said: &CamDrive, slides: bool, more: f64) -> String {
    let has = match said.back {
        Some(Return::Moment(moment)) => moment.0,
        Some(Return::Force(force)) => force.0,
        _ => 0.0,
    };
    let (value, places, unit) = if slides {
        (libm::ceil(has + more), 0, "N")
    } else {
        (libm::ceil((has + more) * 100.0) / 100.0, 2, "N.m")
    };
    let verb = if has > 0.0 { "a stronger spring holds it" } else { "a spring holds it" };
    format!("{verb}: `return spring {} {unit}`", decimal(value, places))
}
