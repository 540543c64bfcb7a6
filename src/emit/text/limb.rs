//! One limb in words: what it does, how to drill it, what its motor must do.

use crate::check::Compiled;
use crate::emit::numbers::{Lengths, MechanismNumbers, mechanism_numbers};
use crate::emit::words::{decimal, length};
use crate::emit::{Finite, asked, care, loads, motor, room, wind};
use crate::fit::{Fitted, FittedLimb, KindFigure, Measure, UNEVEN, builds};
use crate::geometry::BoardPoint;
use crate::model::{Action, Actuator, Figure, Limb, MotorKind, Mount, Note, Placed, Sized, Span};
use crate::timing::ChannelKind;
use crate::units::print::fine;
use crate::units::{Deg, Mm, System, print};

/// A limb with what is needed to tell of it.
pub struct LimbText<'a> {
    compiled: &'a Compiled,
    placed: &'a Placed,
    limb: &'a Limb,
    /// The figure's index in the yard.
    at: usize,
    index: usize,
    fitted: &'a FittedLimb,
    /// Where its motor was found to stand, where that was open.
    found: Option<BoardPoint>,
    numbers: Option<MechanismNumbers>,
    system: Option<System>,
}

impl<'a> LimbText<'a> {
    /// The limb of this index in the figure of that one; `system` where the maker's
    /// own units are not wanted.
    pub fn new(compiled: &'a Compiled, at: usize, index: usize, system: Option<System>) -> Self {
        let (placed, fitted) = (&compiled.yard.figures[at], &compiled.figures[at]);
        let found = placed.figure.motor_of(index).and_then(|m| fitted.place_of(m));
        let fitted = &fitted.limbs[index];
        Self {
            compiled,
            placed,
            limb: &placed.figure.limbs[index],
            at,
            index,
            fitted,
            found,
            numbers: fitted.mechanism.as_ref().map(mechanism_numbers),
            system,
        }
    }

    /// `figure.limb`.
    pub fn name(&self) -> String {
        format!("{}.{}", self.placed.name.value, self.limb.name.value)
    }

    /// The hints that its maker dealt with, on it or on all of its figure; those that nothing
    /// raised are marked.
    pub fn seen_to(&self) -> Vec<String> {
        let (dealt, figure) = (&self.compiled.seen_to, &self.placed.name.value);
        let of_figure = self.figure().seen_to.iter();
        let of_figure = of_figure.map(|h| (&h.value, dealt.on_figure(figure, &h.value)));
        let limb = &self.limb.name.value;
        let own = self.limb.seen_to.iter();
        let own = own.map(|h| (&h.value, dealt.on_limb(figure, limb, &h.value)));
        let say = |(hint, raised): (&String, bool)| match raised {
            true => hint.clone(),
            false => format!("{hint} (no such hint raised)"),
        };
        of_figure.chain(own).map(say).collect()
    }

    /// What was assumed for it.
    pub fn assumed(&self) -> impl Iterator<Item = &'a Note> + use<'a> {
        self.compiled.assumed(self.at, self.index)
    }

    /// What was not checked.
    pub fn not_checked(&self) -> impl Iterator<Item = &'a Note> + use<'a> {
        self.compiled.not_checked(self.at, self.index)
    }

    fn figure(&self) -> &'a Figure {
        &self.placed.figure
    }

    /// As drilled where that is known, else exact.
    fn drilled(&self) -> Option<&MechanismNumbers> {
        self.numbers.as_ref().map(MechanismNumbers::made)
    }

    /// What it does: swing, crank, push.
    pub fn motion(&self) -> Vec<String> {
        let Some(numbers) = self.drilled() else {
            return vec![self.why_nothing()];
        };
        let mut parts: Vec<String> = self.swing(numbers, Wording::Full).into_iter().collect();
        if let Some(ratio) = numbers.turn_ratio {
            parts.push(turning(ratio.get()));
        }
        parts.extend(self.as_measured().map(str::to_owned));
        parts.extend(numbers.crank_turns_fully.map(|fully| {
            let text =
                if fully { "crank goes right round" } else { "crank does not go right round" };
            text.to_owned()
        }));
        parts.extend(
            numbers
                .min_transmission_deg
                .map(|push| format!("push at worst {} of 90", decimal(push.get(), 0))),
        );
        parts.extend(
            numbers
                .max_pressure_deg
                .map(|lean| format!("pushed at worst {} deg to the side", decimal(lean.get(), 0))),
        );
        let uneven = numbers.time_ratio.map(|r| r.get()).filter(|r| *r >= UNEVEN);
        parts.extend(
            uneven.map(|r| format!("one way takes {} times as long as the other", decimal(r, 1))),
        );
        let system = self.system.unwrap_or_else(|| self.household(None));
        match &self.fitted.mechanism {
            // A belt is bought and not cut: half a millimetre is too coarse.
            Some(Fitted::Spin(spin)) => {
                parts.extend(spin.figures.iter().map(|f| figure(f, system, fine)));
            }
            Some(Fitted::FourBar(bar)) => {
                parts.extend(bar.figures.iter().map(|f| figure(f, system, length)));
            }
            Some(Fitted::Servo(servo)) if self.carrier_moves() => {
                let figures = servo.figures.iter().skip_while(|f| f.name != "carrier_low");
                parts.extend(figures.map(|f| figure(f, system, length)));
            }
            Some(other) => {
                let figures = other.as_drive().into_iter().flat_map(|d| &d.figures);
                parts.extend(figures.map(|f| figure(f, system, length)));
            }
            None => {}
        }
        if parts.is_empty() {
            parts.push(format!("{}, its swing not computed", numbers.kind.unwrap_or("driven")));
        }
        parts
    }

    /// Whether what carries it moves it as well as its own motor.
    fn carrier_moves(&self) -> bool {
        let own = self.fitted.mechanism.as_ref();
        own.is_some_and(|m| m.figure("carrier_low").is_some())
    }

    /// Why there is no mechanism to tell of.
    fn why_nothing(&self) -> String {
        match &self.limb.drive {
            _ if self.limb.poisoned => "see what was found in it".to_owned(),
            // Without a drive no other note asks for a motor than that of the motion.
            None => match self.limb.not_checked.iter().find(|n| n.settle.starts_with("motor ")) {
                Some(note) => format!("does not move: its drive wants `{}`", note.settle),
                None => "does not move (no drive)".to_owned(),
            },
            Some(_) => "its mechanism could not be computed".to_owned(),
        }
    }

    /// "swings 10.8 to 54.9 deg as drilled (asked 10 to 55)".
    fn swing(&self, numbers: &MechanismNumbers, wording: Wording) -> Option<String> {
        if let (Some(low), Some(high)) = (numbers.low_mm, numbers.high_mm) {
            return Some(self.stroke((low.get(), high.get()), wording));
        }
        let (low, high) = (numbers.low_deg?.get(), numbers.high_deg?.get());
        // A bend counts from another limb, as do the angles of a limb whose motor rides
        // on that one; the others are told as they are.
        let carrier = self.fitted.riding.as_ref().map(|r| r.carrier);
        let bends = carrier.is_some();
        let on = carrier
            .map_or(String::new(), |c| format!(" from {}", self.figure().limbs[c].name.value));
        let built = if self.is_built() { " as built" } else { "" };
        let (how, drilled) = match (wording, numbers.kind, carrier) {
            (Wording::Brief, ..) => ("", ""),
            (Wording::Full, Some("servo"), None) => ("reaches ", built),
            (Wording::Full, Some("servo"), Some(_)) => ("bends as far as ", built),
            (Wording::Full, _, None) => ("swings ", self.made()),
            (Wording::Full, _, Some(_)) => ("bends ", self.made()),
        };
        let Some((from, to)) = asked::sweep(self.limb, bends) else {
            return Some(format!("{how}{} deg{on}{drilled}", range(low, high)));
        };
        let turn = asked::turns(self.limb, bends, low);
        Some(format!(
            "{how}{} deg{on}{drilled} (asked {})",
            range(low + turn, high + turn),
            range(from, to)
        ))
    }

    /// What it weighs and what moving it takes.
    pub fn load(&self) -> Vec<String> {
        let loads = &self.compiled.loads[self.at];
        let system = self.system.unwrap_or_else(|| self.household(None));
        loads::words(&loads.limbs[self.index], loads.site.winds.run, system)
    }

    /// Whether its sizes are those of the built limb instead of the drawn one.
    pub fn is_built(&self) -> bool {
        self.fitted.as_built.as_ref().is_some_and(|b| !b.changes.is_empty())
    }

    /// That the drawn sizes explain what was measured on it.
    fn as_measured(&self) -> Option<&'static str> {
        let built = self.fitted.as_built.as_ref();
        let built = built.filter(|b| b.changes.is_empty() && b.alone.is_none());
        built.map(|_| match self.limb.measured.ends {
            Some(_) => "measured as drawn, within what a protractor reads",
            None => "measured as drawn, within what a tape reads",
        })
    }

    fn made(&self) -> &'static str {
        if self.is_built() { " as built" } else { " as drilled" }
    }

    /// "slides 20 to 100 mm as drilled (asked 20 to 100)".
    fn stroke(&self, (low, high): (f64, f64), wording: Wording) -> String {
        let asked = self.limb.gestures.iter().find_map(|g| match &g.action {
            Action::Stroke { from, to, .. } => Some((from.value.0, to.value.0)),
            _ => None,
        });
        let (how, drilled) = match wording {
            Wording::Brief => ("", ""),
            Wording::Full => ("slides ", self.made()),
        };
        let system = self.system.unwrap_or_else(|| self.household(None));
        let (unit, mm, places) = match system {
            System::Inch => ("in", 25.4, 2),
            System::Metric | System::Both => ("mm", 1.0, 1),
        };
        let range =
            |a: f64, b: f64| format!("{} to {}", decimal(a / mm, places), decimal(b / mm, places));
        let asked = asked.map_or(String::new(), |(a, b)| format!(" (asked {})", range(a, b)));
        format!("{how}{} {unit}{drilled}{asked}", range(low, high))
    }

    /// What the maker said of a size, by its textbook name.
    fn written(&self, name: &str) -> Option<&'a Sized> {
        if let Some(drive) = self.fitted.mechanism.as_ref().and_then(Fitted::as_drive) {
            return drive.sizes.iter().find(|s| s.name.textbook() == name).map(|s| &s.said);
        }
        let bars = self.limb.drive.as_ref()?.mechanism.bars()?;
        match name {
            "crank" => Some(&bars.crank),
            "coupler" => Some(&bars.rod),
            "rocker" => Some(&bars.lever),
            _ => None,
        }
    }

    /// The household a size is marked out in: as it was written, as the figure's
    /// first unit, as the yard's.
    fn household(&self, size: Option<&Sized>) -> System {
        let written = size.filter(|s| s.place.is_some()).map(|s| s.system);
        let own = [self.figure().system, self.compiled.yard.system];
        System::first_of(written.into_iter().chain(own))
    }

    fn size(&self, size: Option<Finite>, written: Option<&Sized>) -> Option<String> {
        let (size, own) = (Mm(size?.get()), self.household(written));
        Some(match self.system {
            Some(asked) if asked != own => converted(size, asked),
            // What it was built to is told as it was found, not as it would be marked out.
            _ if self.is_built() => fine(size, own),
            _ => length(size, own),
        })
    }

    /// How to drill and cut it.
    pub fn drill(&self) -> Vec<String> {
        let Some((numbers, sizes)) = self.drilled().and_then(|n| Some((n, n.lengths_mm.as_ref()?)))
        else {
            return Vec::new();
        };
        let crank = self.crank(sizes);
        let lever = self.lever(numbers, sizes);
        let rod = self.size(sizes.get("coupler"), self.written("coupler"));
        let rod = rod.map(|r| format!("rod {r} pin to pin"));
        let others =
            sizes.iter().filter(|(n, _)| !matches!(*n, "ground" | "crank" | "coupler" | "rocker"));
        let others = others
            .filter_map(|(n, l)| Some(format!("{n} {}", self.size(Some(l), self.written(n))?)));
        let motor = self.found.and_then(|at| {
            let [x, y] = [at.x, at.y].map(|v| self.size(Finite::new(v), None));
            Some(format!("motor at ({}, {})", x?, y?))
        });
        [motor, crank, lever, rod].into_iter().flatten().chain(others).collect()
    }

    fn crank(&self, sizes: &Lengths) -> Option<String> {
        let servo = matches!(self.fitted.mechanism, Some(Fitted::Servo(_)));
        let word = if servo { "servo arm" } else { "crank" };
        let zero = match &self.fitted.mechanism {
            Some(Fitted::Servo(s)) => s.arm_at_zero.map(|at| {
                let from = self.fitted.riding.as_ref().map_or(String::new(), |r| {
                    format!(" from {}", self.figure().limbs[r.carrier].name.value)
                });
                format!(", at {} deg{from} with the servo at 0", decimal(at.signed().0, 0))
            }),
            _ => None,
        };
        let size = self.size(sizes.get("crank"), self.written("crank"))?;
        let set = zero.or_else(|| self.pin_beside());
        Some(format!("{word} {size}{}", set.unwrap_or_default()))
    }

    /// Where its crank pin stands beside that of the first limb on the same motor: "its pin 230
    /// deg counter-clockwise of that of left-arm seen from the front".
    fn pin_beside(&self) -> Option<String> {
        let beside = self.compiled.figures[self.at].pin_beside(self.index)?;
        let name = &self.figure().limbs[beside.first].name.value;
        Some(match beside.ahead.0 {
            by if by.min(360.0 - by) < 0.05 => format!(", its pin in line with that of {name}"),
            by => format!(
                ", its pin {} deg counter-clockwise of that of {name} seen from the front",
                decimal(by, 1)
            ),
        })
    }

    /// "lever 4 in, clamped 70 deg clockwise of the arm seen from the front".
    fn lever(&self, numbers: &MechanismNumbers, sizes: &Lengths) -> Option<String> {
        let size = self.size(sizes.get("rocker"), self.written("rocker"));
        let (word, fixed) = match self.limb.mount {
            Mount::Front => ("lever", "clamped"),
            Mount::Behind => ("tail hole", "set"),
        };
        let (size, at) = match (size, numbers.rocker_at_deg) {
            (None, None) => return None,
            (Some(size), None) => return Some(format!("{word} {size}")),
            (size, Some(at)) => (size.map_or("slot".to_owned(), |s| format!("{word} {s}")), at),
        };
        let at = Deg(at.get()).signed().0;
        let way = if at < 0.0 { "clockwise" } else { "counter-clockwise" };
        Some(format!(
            "{size}, {fixed} {} deg {way} of the {} seen from the front",
            decimal(at.abs(), 1),
            self.limb.name.value
        ))
    }

    /// How careful one has to be with it.
    pub fn care(&self) -> Vec<String> {
        let sound = self.fitted.mechanism.as_ref().is_some_and(|m| !m.faulty());
        let care = sound.then(|| builds::care(self.limb, self.fitted)).flatten();
        care.map_or(Vec::new(), |c| {
            let system = self.system.unwrap_or_else(|| self.household(None));
            care::words(&c, self.limb, system)
        })
    }

    /// How near its parts come to others.
    pub fn room(&self) -> Vec<String> {
        let system = self.system.unwrap_or_else(|| self.household(None));
        room::words(self.figure(), &self.compiled.spaces[self.at], self.index, system)
    }

    /// Up to which gust it may run and stand, and what goes first.
    pub fn wind(&self) -> Vec<String> {
        let system = self.system.unwrap_or_else(|| self.household(None));
        wind::words(&self.compiled.loads[self.at], self.index, system)
    }

    /// The motor that moves it and its index.
    fn actuator(&self) -> Option<&'a Actuator> {
        self.figure().actuators.get(self.figure().motor_of(self.index)?)
    }

    /// What its motor must do and can do.
    pub fn motor(&self) -> Vec<String> {
        let Some(actuator) = self.actuator() else {
            return Vec::new();
        };
        let motor = &actuator.motor;
        let mut speeds: Vec<String> = self
            .needed_rpm(actuator)
            .map(|rpm| format!("{} rpm needed", decimal(rpm, 1)))
            .into_iter()
            .collect();
        if let Some(free) = motor.free {
            let unit = if speeds.is_empty() { " rpm" } else { "" };
            speeds.push(format!("{}{unit} free", decimal(free.0, 1)));
        }
        // What the maker wrote of a motor is no usual value of the library.
        let measured = if motor.measured || motor.says("free") {
            ""
        } else if motor.free.is_some() {
            " (typical, measure yours: count 20 turns against a clock)"
        } else {
            " (measure yours)"
        };
        let name = if actuator.name == motor.name || actuator.name == self.limb.name.value {
            motor.name.clone()
        } else {
            format!("{} ({})", actuator.name, motor.name)
        };
        if let Some(speed) = motor.speed_mm_s.filter(|_| speeds.is_empty()) {
            let system = self.system.unwrap_or_else(|| self.household(None));
            let words = format!("{} without load (measure yours)", print::pace(speed, system));
            return vec![name, words];
        }
        if speeds.is_empty() {
            return vec![name];
        }
        vec![name, format!("{}{measured}", speeds.join(", "))]
    }

    /// What its motor makes of it.
    pub fn at_work(&self) -> Vec<String> {
        let system = self.system.unwrap_or_else(|| self.household(None));
        motor::words(self.compiled, (self.at, self.index), system)
    }

    /// The fastest a show asks its motor to turn; without a show, the speed for
    /// the shortest cycle given in seconds.
    fn needed_rpm(&self, actuator: &Actuator) -> Option<f64> {
        let figure = &self.placed.name.value;
        let played = self
            .compiled
            .performances
            .iter()
            .flat_map(|p| &p.figures)
            .filter(|part| part.figure == *figure)
            .flat_map(|part| &part.channels)
            .filter(|c| c.kind == ChannelKind::Speed && c.name == actuator.name)
            .flat_map(|c| &c.keys)
            .map(|k| k.value.abs());
        let cycles = self.limb.gestures.iter().filter_map(|g| match &g.action {
            Action::Sweep { cycle: Some(cycle), .. }
            | Action::Stroke { cycle: Some(cycle), .. } => match cycle.value {
                Span::Time(t) if t.0 > 0.0 => Some(60.0 / t.0),
                _ => None,
            },
            _ => None,
        });
        let turns = matches!(actuator.motor.kind, MotorKind::Brushed | MotorKind::Synchronous);
        let cranked = turns && self.limb.drive.as_ref().is_some_and(|d| d.mechanism.is_turned());
        let largest = |all: &mut dyn Iterator<Item = f64>| all.reduce(f64::max);
        largest(&mut played.filter(|r| *r > 0.0))
            .or_else(|| largest(&mut cycles.filter(|_| cranked)))
    }

    /// The limb on one line: swing, crank and push in few words.
    pub fn brief(&self) -> Vec<String> {
        let Some(numbers) = self.drilled() else {
            return vec![self.why_nothing()];
        };
        let mut parts: Vec<String> = self.swing(numbers, Wording::Brief).into_iter().collect();
        if let Some(ratio) = numbers.turn_ratio {
            parts.push(turning(ratio.get()));
        }
        if let Some(fully) = numbers.crank_turns_fully {
            parts.push(if fully { "right round" } else { "not right round" }.to_owned());
        }
        if let Some(push) = numbers.min_transmission_deg {
            parts.push(format!("push {}", decimal(push.get(), 0)));
        }
        if parts.is_empty() {
            parts.push(format!("{}, its swing not computed", numbers.kind.unwrap_or("driven")));
        }
        parts
    }
}

/// How much to say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Wording {
    /// As a sentence.
    Full,
    /// Only the numbers.
    Brief,
}

/// A size that was marked out in the other household: rounding it to this one's
/// marks would move the hole.
fn converted(size: Mm, system: System) -> String {
    match system {
        System::Inch => format!("{} in", decimal(size.0 / 25.4, 3)),
        System::Metric | System::Both => format!("{} mm", decimal(size.0, 1)),
    }
}

/// "10.8 to 54.9".
fn range(a: f64, b: f64) -> String {
    format!("{} to {}", decimal(a, 1), decimal(b, 1))
}

/// "turns 0.5 times for each turn of the motor, the other way round".
fn turning(ratio: f64) -> String {
    let way = if ratio < 0.0 { ", the other way round" } else { "" };
    format!("turns {} times for each turn of the motor{way}", decimal(ratio.abs(), 3))
}

/// "disc from 35 mm".
fn figure(figure: &KindFigure, system: System, length: fn(Mm, System) -> String) -> String {
    let value = match figure.value {
        Measure::Length(l) => length(l, system),
        Measure::Angle(a) => format!("{} deg", decimal(a.0, 0)),
        Measure::Force(n) => print::force(n, system),
        Measure::Time(t) => format!("{} s", decimal(t.0, 2)),
        Measure::Air(l) => format!("{} l", decimal(l.0, 3)),
        Measure::Energy(e) => format!("{} J", decimal(e.0, 3)),
        Measure::Number(n) => decimal(n, 2),
    };
    format!("{} {value}", figure.words)
}
