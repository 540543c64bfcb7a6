//! The figures only a ram or an air cylinder has: arm, forces, air, times.

use super::drive::{Figure, Measure};
use super::strut::Said;
use super::strut_pace::{AirPace, FILL, StrutPace, VALVE};
use super::{Bench, codes};
use crate::finding::{Place, Step};
use crate::geometry::BoardPoint;
use crate::mechanism::{Air, Ram, Strut, Travel};
use crate::model::{AirSaid, MotorType, Note, Unpowered};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, Newton, NewtonMetre, Pascal, Sec, print};

/// Gauge pressure where none is said: 4 bar, what a small workshop compressor gives
/// behind its regulator (common practice, no source).
pub const USUAL_PRESSURE: Pascal = Pascal(400_000.0);
/// What a hand is commonly held to stand between closing parts, N (from memory of
/// the limits for power-operated doors and guards; confirm before relying on it).
const HAND: Newton = Newton(140.0);

/// So far may the planes of the two clevises be out of line (common practice, no source).
const IN_PLANE: Deg = Deg(2.0);

/// A cylinder on a limb, or on the cord to one.
pub(super) struct OfAir<'s> {
    /// What its drive says of it.
    pub air: &'s AirSaid,
    /// Its sheet.
    pub motor: &'s MotorType,
    /// Its drive.
    pub place: Place,
    /// Whether it pulls a cord: then only its pull counts.
    pub pulls: bool,
}

const fn figure(name: &'static str, words: &'static str, value: Measure) -> Figure {
    Figure { name, words, value }
}

/// What the rubber rings inside a cylinder of bore 16 mm stand at its ends, J (from
/// memory of makers' tables, not confirmed); taken to grow with the piston's area.
const KNOCK_16: NewtonMetre = NewtonMetre(0.1);

/// The least arm of a strut on a lever, and the anchor where it was found.
pub(super) fn of_ram(ram: &Ram, asked: Option<BoardPoint>) -> Vec<Figure> {
    let arm = ram.analyse().motion.map(|m| m.least_arm);
    let arm = arm.map(|arm| figure("least_arm", "least arm", Measure::Length(arm)));
    let found = asked.map(anchor_at);
    arm.into_iter().chain(found.into_iter().flatten()).collect()
}

/// Where an anchor was found, on the board.
pub(super) fn anchor_at(at: BoardPoint) -> [Figure; 2] {
    [
        figure("anchor_x", "anchor at x", Measure::Length(Mm(at.x))),
        figure("anchor_y", "y", Measure::Length(Mm(at.y))),
    ]
}

impl Bench<'_> {
    /// Forces, air and times; what they rest on is noted.
    pub(super) fn strut_figures(
        &mut self,
        said: &Said<'_>,
        stroke: Mm,
        travel: &Travel,
    ) -> Vec<Figure> {
        let pace = StrutPace::of(said.strut, said.actuator, stroke);
        let of = OfAir {
            air: &said.strut.air,
            motor: &said.actuator.motor,
            place: said.drive.place,
            pulls: false,
        };
        let mut figures = match said.strut.strut {
            Strut::Ram => Vec::new(),
            Strut::Cylinder => self.air_figures(&of, stroke),
        };
        match pace {
            None => {
                self.not_checked.push(Note::new("speed of the ram", "speed 0.01 m/s"));
            }
            Some(StrutPace::Ram(pace)) => {
                let time = Measure::Time(pace.time(stroke));
                figures.push(figure("travel_time", "from end to end in", time));
            }
            Some(StrutPace::Air(pace)) => {
                figures.extend(self.air_times(&of, &pace, stroke));
                figures.extend(self.knock(&of, travel, pace.up.min(pace.down)));
            }
        }
        figures.extend(self.clevises(said));
        let word = match said.strut.strut {
            Strut::Ram => "lies without power at",
            Strut::Cylinder => "lies without air at",
        };
        figures.extend(self.limb.unpowered.map(|lies| match lies {
            Unpowered::Turned(at) => figure("unpowered", word, Measure::Angle(at)),
            Unpowered::Slid(at) => figure("unpowered", word, Measure::Length(at)),
        }));
        figures
    }

    /// How long a cylinder takes each way, and how long ahead its valve is told.
    pub(super) fn air_times(&mut self, of: &OfAir<'_>, pace: &AirPace, stroke: Mm) -> Vec<Figure> {
        if of.air.up.is_none() || of.air.down.is_none() {
            let what = format!(
                "throttled to {}: {} s for {}",
                print::quickness(0.3, self.figure.system),
                decimal(pace.up.min(pace.down).0, 2),
                print::size(stroke, 0, self.figure.system)
            );
            self.assumed.push(Note::new(what, "throttle up 0.6 s down 1.0 s"));
        }
        let what =
            format!("valve and filling take {} s (measure yours)", decimal((VALVE + FILL).0, 2));
        self.assumed.push(Note::new(what, ""));
        let time = |name, words, t: Sec| figure(name, words, Measure::Time(t));
        let (up, down) = match of.pulls {
            true => ("cord drawn in within", "let out again within"),
            false => ("out in", "in again in"),
        };
        vec![
            time("time_up", up, pace.up),
            time("time_down", down, pace.down),
            time("lead_up", "valve opened ahead by", pace.lead_up()),
            time("lead_down", "shut ahead by", pace.lead_down()),
        ]
    }

    /// How far its two clevises are out of line: bent sideways a rod rubs in its seal.
    fn clevises(&mut self, said: &Said<'_>) -> Option<Figure> {
        let Some(out) = said.strut.clevises else {
            let what = format!(
                "whether both clevises of its {} lie in one plane, within {} deg",
                said.word(),
                decimal(IN_PLANE.0, 0)
            );
            self.not_checked.push(Note::new(what, "clevises within 1 deg"));
            return None;
        };
        if out.value > IN_PLANE {
            let message = format!(
                "the clevises of the {} of {} are {} deg out of one plane; {} is let pass.",
                said.word(),
                self.name(),
                decimal(out.value.0, 1),
                decimal(IN_PLANE.0, 0)
            );
            self.report(&codes::ROD_BENT_SIDEWAYS, out.place, message).help = Some(
                "shim the bracket of one end until its bolt lies along the other's, or take ball ends."
                    .to_owned(),
            );
            self.works([
                Step::given("out of one plane", format!("{} deg", decimal(out.value.0, 2))),
                Step::given("let pass", format!("{} deg", decimal(IN_PLANE.0, 0))),
            ]);
        }
        Some(figure("clevises_out", "clevises out of line by", Measure::Angle(out.value)))
    }

    /// What the limb hits the cylinder's end with, at the mean speed of its faster way:
    /// m v^2/2, or inertia x turn speed^2/2 on a pivot.
    pub(super) fn knock(&mut self, of: &OfAir<'_>, travel: &Travel, time: Sec) -> Option<Figure> {
        let weighs = super::mass::weighed(self.limb, None);
        let (heavy, fast, clause) = match travel {
            Travel::Stroke(l) => (weighs.map(|m| m.mass.0), l.range().0 * 1e-3, "weighed 0.31 kg"),
            Travel::Swing(l) => {
                (weighs.map(|m| m.inertia.0), l.range().rad().0, "inertia 0.0084 kg.m2")
            }
        };
        let Some(heavy) = heavy else {
            self.not_checked.push(Note::new("knock at the cylinder's ends", clause));
            return None;
        };
        let energy = 0.5 * heavy * (fast / time.0) * (fast / time.0);
        let bore = of.air.bore.or(of.motor.bore);
        if let Some(most) = bore.map(|b| KNOCK_16.0 * (b.0 / 16.0) * (b.0 / 16.0))
            && energy > most
        {
            if super::mass::guessed(self.limb) {
                let what = format!(
                    "knock at the cylinder's ends (a weight as assumed comes with {} J, and about {} are stood)",
                    decimal(energy, 2),
                    decimal(most, 2)
                );
                self.not_checked.push(Note::new(what, clause));
                return Some(figure(
                    "end_energy",
                    "at its end",
                    Measure::Energy(NewtonMetre(energy)),
                ));
            }
            // Of the smallest bores two places would tell one number twice.
            let places = if most < 0.1 { 3 } else { 2 };
            let message = format!(
                "{} comes to the end of its cylinder with {} J; a small one of this bore stands about {}.",
                self.name(),
                decimal(energy, places),
                decimal(most, places)
            );
            let slow = libm::ceil(time.0 * (energy / most).sqrt() * 20.0) / 20.0;
            self.report(&codes::HITS_ITS_END, of.place, message).help = Some(format!(
                "throttle it to {} s or more each way, or let a rubber take the end.",
                decimal(slow, 2)
            ));
            let (what, unit, way) = match travel {
                Travel::Stroke(_) => ("it weighs", "kg", "m"),
                Travel::Swing(_) => ("its inertia", "kg.m2", "rad"),
            };
            let bore = bore.map_or(0.0, |b| b.0);
            self.works([
                Step::given(what, format!("{} {unit}", decimal(heavy, 5))),
                Step::given("its way", format!("{} {way}", decimal(fast, 4))),
                Step::given("in", format!("{} s", decimal(time.0, 3))),
                Step::new(
                    "it arrives with 1/2 x that x (way/time)^2",
                    format!(
                        "0.5 x {} x ({}/{})^2",
                        decimal(heavy, 5),
                        decimal(fast, 4),
                        decimal(time.0, 3)
                    ),
                    format!("{} J", decimal(energy, 4)),
                ),
                Step::new(
                    "such a bore stands",
                    format!("{} x ({}/16)^2", decimal(KNOCK_16.0, 3), decimal(bore, 1)),
                    format!("{} J", decimal(most, 4)),
                ),
            ]);
        }
        Some(figure("end_energy", "at its end", Measure::Energy(NewtonMetre(energy))))
    }

    /// What a cylinder pushes and pulls with, and the air it takes.
    pub(super) fn air_figures(&mut self, of: &OfAir<'_>, stroke: Mm) -> Vec<Figure> {
        let motor = of.motor;
        let Some(bore) = of.air.bore.or(motor.bore) else {
            self.not_checked.push(Note::new("force of the cylinder, air", "bore 16 mm"));
            return Vec::new();
        };
        let pressure = of.air.pressure.unwrap_or(USUAL_PRESSURE);
        if of.air.pressure.is_none() {
            self.assumed.push(Note::new("air at 400 kPa (4 bar gauge)", "air TANK at 400 kPa"));
        }
        let rod = motor.piston_rod;
        let air = match Air::new(bore, rod.unwrap_or(Mm(0.0)), stroke, pressure) {
            Ok(air) => air,
            Err(why) => {
                self.no_mechanism(of.place, why);
                return Vec::new();
            }
        };
        let mut figures = Vec::new();
        if !of.pulls {
            figures.push(figure("force_out", "pushes with", Measure::Force(air.push_force())));
        }
        if rod.is_some() {
            figures.extend([
                figure("force_in", "pulls with", Measure::Force(air.pull_force())),
                figure("air_per_cycle", "air a cycle", Measure::Air(air.air_per_cycle())),
            ]);
        } else {
            let what = "pulling force, air a cycle (the piston rod is not given)";
            let clause = "motor NAME { kind cylinder  bore 16 mm  rod 6 mm  stroke 100 mm }";
            self.not_checked.push(Note::new(what, clause));
        }
        let closes = if of.pulls { air.pull_force() } else { air.push_force() };
        self.crushing(of.place, closes, pressure);
        if !of.air.dried {
            self.not_checked.push(Note::new(
                "water in its air line: it freezes on a cold night and holds valve and piston",
                "air TANK at 400 kPa dried",
            ));
        }
        figures
    }

    /// What closes on a hand, and the caution that goes with air.
    fn crushing(&mut self, place: Place, force: Newton, pressure: Pascal) {
        let system = self.figure.system;
        let closes = print::force(force, system);
        self.not_checked.push(Note::beyond(
            "pinching by air, but where gaps between edges close",
            &format!(
                "{closes} close on whatever is between; shut the air off and let it out before you reach in"
            ),
        ));
        if force <= HAND {
            return;
        }
        let kpa = libm::floor(pressure.0 * (HAND / force) / 5000.0) * 5.0;
        let told = print::air(kpa, system);
        let message = format!(
            "the cylinder of {} closes with {closes} on whatever is in the gap; a hand is commonly \
             held to stand {}.",
            self.name(),
            print::force(HAND, system)
        );
        let found = self.report(&codes::AIR_CRUSHES, place, message);
        let less = format!(
            "{} bring it to {}; or take a smaller bore, or guard the gap.",
            told,
            print::force(force * (kpa * 1000.0 / pressure.0), system)
        );
        let smaller = "take a smaller bore, or guard the gap.".to_owned();
        found.help = Some(if kpa > 0.0 { less } else { smaller });
        self.works([
            Step::given("pressure", format!("{} kPa", decimal(pressure.0 * 1e-3, 1))),
            Step::given("it closes with", closes),
            Step::given("a hand is held to stand", print::force(HAND, system)),
        ]);
    }
}
