//! Continuous turning: whether belt, chain or gears fit between motor and limb.
//!
//! The pitch of a belt and the module of gears are their names in the trade: they stay in
//! millimetres in an inch yard too.

use super::drive::{Figure, FittedSize, Measure, SizeName};
use super::{Bench, Fitted, FittedSpin, codes};
use crate::finding::{Place, Step};
use crate::geometry::BoardPoint;
use crate::mechanism::Size;
use crate::mechanism::belt::{Loop, gear_centres};
use crate::mechanism::solve::ROW_LIMIT;
use crate::model::{Action, Drive, Note, SpinDrive};
use crate::units::print::{decimal, fine};
use crate::units::{Deg, Mm, System, print};

/// A slot lets the motor slide this far to either side (common practice, no source).
const SLOT: Mm = Mm(1.0);
/// A belt or chain goes round at least so much of its small wheel, and holds at least
/// so many of its teeth (common practice of belt makers, from memory).
const WRAP: Deg = Deg(120.0);
const IN_MESH: f64 = 6.0;
/// Gears may stand this share of their module apart from where they should (common
/// practice, no source).
const GEARS_OFF: f64 = 0.1;

/// Trains make a limb turn at most so many times for a turn of its motor, and at least
/// one over it (common practice, no source).
const MOST_RATIO: f64 = 1000.0;
/// A wheel has at least so many teeth (common practice, no source).
const LEAST_TEETH: u32 = 5;

/// Motor and limb: where their shafts stand, and how far apart.
#[derive(Clone, Copy)]
pub(super) struct Shafts {
    motor: BoardPoint,
    limb: BoardPoint,
}

impl Shafts {
    pub(super) fn apart(&self) -> Mm {
        self.motor.distance(self.limb)
    }

    /// "motor at (250, 700.6) mm": so far from the limb on the same line.
    pub(super) fn motor_at(&self, centres: Mm, system: System) -> String {
        let at = self.limb.toward(self.motor, centres / self.apart());
        format!("at {}", print::place((at.x, at.y), 1, system))
    }
}

impl Bench<'_> {
    pub(super) fn spin(&mut self, drive: &Drive, said: &SpinDrive, motor: usize) -> Option<Fitted> {
        self.refuse_gestures(
            "a spin drive",
            |a| matches!(a, Action::Spin { .. } | Action::On | Action::Off),
            "`spin 1 turn per T`, `on` and `off`",
        );
        let place = said.place.unwrap_or(drive.place);
        if self.cannot_mesh(place, said) {
            return None;
        }
        if said.by == "direct" && said.ratio.abs() == 1.0 && self.off_shaft(place, motor) {
            return None;
        }
        let mut fitted = FittedSpin { ratio: said.ratio, length: None, figures: Vec::new() };
        if let [first, last] = said.teeth[..] {
            match said.by {
                "belt" | "chain" => self.round_two(place, said, (first, last), motor, &mut fitted),
                "gears" => fitted.figures = self.in_mesh(place, said, (first, last), motor),
                _ => {}
            }
        } else if said.by == "gears" {
            self.idle_gears(place, said, motor);
        }
        Some(Fitted::Spin(Box::new(fitted)))
    }

    /// Reports a limb straight on its motor's shaft with its pivot somewhere else.
    fn off_shaft(&mut self, place: Place, motor: usize) -> bool {
        // As drawn on the board: seen from a carrier both places are turned.
        let (Some(shaft), Some(pivot)) =
            (self.drawn.actuators[motor].at, super::motor_place::home(self.limb))
        else {
            return false;
        };
        let off = shaft.distance(pivot);
        if off <= SLOT {
            return false;
        }
        let system = self.figure.system;
        let at = |p: BoardPoint| print::place((p.x, p.y), 1, system);
        let message = format!(
            "{} sits straight on its motor's shaft at {}, and its pivot is at {}, {} away: it cannot turn about both.",
            self.name(),
            at(shaft),
            at(pivot),
            fine(off, system)
        );
        let help = format!(
            "put the motor on the pivot, `at {}`; or lead from one to the other by `belt`, `chain` or `gears`.",
            at(pivot)
        );
        self.report(&codes::CENTRES_OFF, place, message).help = Some(help);
        self.works(super::servo::off_sum((shaft, pivot), off, system));
        true
    }

    /// A ratio or a wheel that cannot be made.
    fn cannot_mesh(&mut self, place: Place, said: &SpinDrive) -> bool {
        let wheel = said.teeth.iter().find(|teeth| **teeth < LEAST_TEETH);
        let message = match wheel {
            Some(teeth) => format!(
                "a wheel of {} in the {} of {}: fewer than {LEAST_TEETH} teeth hold nothing.",
                if *teeth == 1 { "1 tooth".to_owned() } else { format!("{teeth} teeth") },
                said.by,
                self.name()
            ),
            None if said.teeth.len() == 1 => {
                format!(
                    "the {} of {} says the teeth of one wheel, and it runs on two.",
                    said.by,
                    self.name()
                )
            }
            None if said.teeth.len() > 2 && said.by != "gears" => format!(
                "the {} of {} says the teeth of {} wheels, and it runs on two: the motor's and the limb's.",
                said.by,
                self.name(),
                said.teeth.len()
            ),
            None if (1.0 / MOST_RATIO..=MOST_RATIO).contains(&said.ratio.abs()) => return false,
            None => format!(
                "{} would turn {} times for each turn of its motor; nothing that can be built does that.",
                self.name(),
                decimal(said.ratio.abs(), 6)
            ),
        };
        let help = match said.wheel() {
            Some(_) => format!("say the teeth of both wheels, such as `{} 20 40`.", said.by),
            None => {
                "say it in turns of the limb for one of the motor, such as `ratio 0.5`.".to_owned()
            }
        };
        self.report(&codes::RATIO_UNFIT, place, message).help = Some(help);
        self.works([
            Step::given("turns for one of its motor", decimal(said.ratio.abs(), 6)),
            Step::given("can be built", format!("1/{MOST_RATIO} to {MOST_RATIO}")),
            Step::given("least teeth", LEAST_TEETH.to_string()),
        ]);
        true
    }

    /// Where the two shafts stand; noted where one is not known, reported where both are
    /// one.
    pub(super) fn shafts(&mut self, place: Place, motor: usize, what: &str) -> Option<Shafts> {
        let motor = self.figure.actuators[motor].at;
        match (motor, super::motor_place::home(self.limb)) {
            (Some(motor), Some(limb)) if motor.distance(limb) > Mm(0.0) => {
                Some(Shafts { motor, limb })
            }
            (Some(_), Some(_)) => {
                let message = format!(
                    "the motor of {} stands on its limb's pivot, and two wheels need two shafts.",
                    self.name()
                );
                self.report(&codes::CENTRES_OFF, place, message).help = Some(
                    "move the motor away, or say no wheels: then it turns the limb straight."
                        .to_owned(),
                );
                None
            }
            _ => {
                let what = format!("{what} (the motor's place is not known)");
                self.not_checked.push(Note::new(what, "motor NAME at (x, y) mm"));
                None
            }
        }
    }

    fn round_two(
        &mut self,
        place: Place,
        said: &SpinDrive,
        (motor, limb): (u32, u32),
        actuator: usize,
        fitted: &mut FittedSpin,
    ) {
        let by = said.by;
        let Some(pitch) = said.pitch else {
            let what = format!("length and grip of the {by} (its pitch is not said)");
            let pitch = if by == "belt" { "5 mm" } else { "12.7 mm" };
            self.not_checked.push(Note::new(what, format!("{by} {motor} {limb} pitch {pitch}")));
            return;
        };
        let what = format!("length and grip of the {by}");
        let Some(shafts) = self.shafts(place, actuator, &what) else { return };
        let round = Loop { motor, limb, pitch, crossed: said.crossed };
        let (name, system) = (self.name(), self.figure.system);
        let Some(exact) = round.length(shafts.apart()) else {
            let message = format!(
                "the two wheels of {name} would overlap: {} and {} teeth {} apart need shafts more than {} apart.",
                motor,
                limb,
                pitch_words(by, pitch, system),
                fine(pitch * (f64::from(motor + limb) / std::f64::consts::TAU), system)
            );
            self.report(&codes::CENTRES_OFF, place, message).help =
                Some("move the motor away from the limb.".to_owned());
            let sum = format!("{} x ({motor} + {limb})/(2 pi)", print::fine_in(pitch, system));
            let touch = pitch * (f64::from(motor + limb) / std::f64::consts::TAU);
            self.works([Step::new("pitch radii of both wheels", sum, fine(touch, system))]);
            return;
        };
        let step = link(by, pitch);
        let other = |whole: Mm| {
            round.centres(whole).map_or(String::new(), |c| {
                format!(
                    "a {by} of {} wants the motor {}: {} apart",
                    spoken(by, (whole, pitch), system),
                    shafts.motor_at(c, system),
                    fine(c, system)
                )
            })
        };
        let length = match said.length.size {
            Size::Given(length) => Mm(length),
            open if said.length.ask.is_some() => match nearest(&open, exact, step) {
                Some(length) => length,
                None => {
                    let message = format!(
                        "no length within the range goes round the wheels of {name} in whole steps of {}.",
                        pitch_words(by, step, system)
                    );
                    self.report(&codes::NOTHING_FITS, said.length.ask.unwrap_or(place), message)
                        .help = Some(format!("{}.", other(whole(exact, step))));
                    return;
                }
            },
            _ => {
                let length = whole(exact, step);
                let clause = format!(
                    "{by} {motor} {limb} pitch {} mm length {} mm",
                    decimal(pitch.0, 2),
                    decimal(length.0, 1)
                );
                self.assumed.push(Note::new(other(length), clause));
                fitted.figures = lies(by, &round, shafts.apart(), None);
                return self.grip(place, by, &round, &shafts);
            }
        };
        let size = FittedSize::length(SizeName::Loop, length, said.length);
        fitted.length = Some(FittedSize { drilled: length.0, ..size });
        fitted.figures = lies(by, &round, shafts.apart(), Some(length));
        self.loop_fits(place, by, (&round, step), (length, exact), &shafts, &other);
        self.grip(place, by, &round, &shafts);
    }

    /// Holds a length against the shafts as they are drawn.
    fn loop_fits(
        &mut self,
        place: Place,
        by: &str,
        (round, step): (&Loop, Mm),
        (length, exact): (Mm, Mm),
        shafts: &Shafts,
        other: &dyn Fn(Mm) -> String,
    ) {
        let (name, pitch, system) = (self.name(), round.pitch, self.figure.system);
        let best = whole(exact, step);
        let off = length / step;
        if (off - libm::round(off)).abs() > 1e-6 {
            let broken = (length / pitch - libm::round(length / pitch)).abs() > 1e-6;
            let message = match broken {
                true => format!(
                    "a {by} of {} has no whole number of its {} steps.",
                    fine(length, system),
                    pitch_words(by, pitch, system)
                ),
                false => format!(
                    "a chain of {} does not close without a cranked link.",
                    spoken(by, (length, pitch), system)
                ),
            };
            self.report(&codes::LENGTH_UNEVEN, place, message).help =
                Some(format!("{}.", other(best)));
            let sum =
                format!("{}/{}", print::fine_in(length, system), print::fine_in(pitch, system));
            self.works([
                Step::given("its length", fine(length, system)),
                Step::given("pitch", fine(pitch, system)),
                Step::new("steps", sum, decimal(length / pitch, 3)),
            ]);
        } else if let Some(wanted) = round.centres(length) {
            if (wanted - shafts.apart()).abs() > SLOT {
                let message = format!(
                    "the {by} of {name}, {}, wants its shafts {} apart; they are {}, and a slot takes up {}.",
                    fine(length, system),
                    fine(wanted, system),
                    fine(shafts.apart(), system),
                    fine(SLOT, system)
                );
                let moved = shafts.motor_at(wanted, system);
                let help = if best == length {
                    format!("put the motor {moved}.")
                } else {
                    format!("put the motor {moved}; or {}.", other(best))
                };
                self.report(&codes::CENTRES_OFF, place, message).help = Some(help);
                let radius = |teeth: u32| pitch * (f64::from(teeth) / std::f64::consts::TAU);
                self.works([
                    Step::given("its length", fine(length, system)),
                    Step::new(
                        "pitch radius of the motor's wheel, pitch x teeth/(2 pi)",
                        format!("{} x {}/(2 pi)", print::fine_in(pitch, system), round.motor),
                        fine(radius(round.motor), system),
                    ),
                    Step::new(
                        "of the limb's",
                        format!("{} x {}/(2 pi)", print::fine_in(pitch, system), round.limb),
                        fine(radius(round.limb), system),
                    ),
                    Step::given("shafts apart at which that length lies round both", {
                        fine(wanted, system)
                    }),
                    Step::given("they are", fine(shafts.apart(), system)),
                    Step::given("a slot takes up", fine(SLOT, system)),
                ]);
            }
        } else {
            let message = format!(
                "the {by} of {name}, {}, is too short to go round its two wheels.",
                fine(length, system)
            );
            self.report(&codes::CENTRES_OFF, place, message).help =
                Some(format!("{}.", other(best)));
        }
    }

    /// How much of the small wheel it holds.
    fn grip(&mut self, place: Place, by: &str, round: &Loop, shafts: &Shafts) {
        let apart = shafts.apart();
        let (Some(wrap), Some(mesh)) = (round.wrap(apart), round.teeth_in_mesh(apart)) else {
            return;
        };
        if wrap >= WRAP && mesh >= IN_MESH {
            return;
        }
        let message = format!(
            "the {by} of {} goes round {} deg of its small wheel and holds {} of its teeth; {} deg and {} are wanted.",
            self.name(),
            decimal(wrap.0, 0),
            decimal(mesh, 1),
            decimal(WRAP.0, 0),
            decimal(IN_MESH, 0)
        );
        let help = if wrap < WRAP {
            "move the shafts apart, or take wheels that are more alike.".to_owned()
        } else {
            let share = wrap.0 / 360.0;
            format!(
                "take a small wheel of {} teeth or more.",
                decimal(libm::ceil(IN_MESH / share), 0)
            )
        };
        self.report(&codes::WRAP_SMALL, place, message).help = Some(help);
        let small = round.motor.min(round.limb);
        let system = self.figure.system;
        let radius = |teeth: u32| round.pitch * (f64::from(teeth) / std::f64::consts::TAU);
        let [r, big] =
            [small, round.motor.max(round.limb)].map(|z| print::fine_in(radius(z), system));
        self.works([
            Step::given("shafts apart", fine(apart, system)),
            Step::new(
                "round the small wheel, 180 - 2 asin((R - r)/C)",
                match round.crossed {
                    true => String::new(),
                    false => {
                        format!("180 - 2 asin(({big} - {r})/{})", print::fine_in(apart, system))
                    }
                },
                format!("{} deg", decimal(wrap.0, 2)),
            ),
            Step::new("teeth it holds", format!("{small} x {}/360", decimal(wrap.0, 2)), {
                decimal(mesh, 2)
            }),
            Step::given("wanted", format!("{} deg", decimal(WRAP.0, 0))),
            Step::given("teeth wanted", decimal(IN_MESH, 0)),
        ]);
    }

    fn in_mesh(
        &mut self,
        place: Place,
        said: &SpinDrive,
        teeth: (u32, u32),
        actuator: usize,
    ) -> Vec<Figure> {
        const WHAT: &str = "whether the gears mesh";
        let (first, last) = teeth;
        let Some(module) = said.module else {
            let what = format!("{WHAT} (their module is not said)");
            self.not_checked.push(Note::new(what, format!("gears {first} {last} module 1.5 mm")));
            return Vec::new();
        };
        let wanted = gear_centres(teeth, module);
        let Some(shafts) = self.shafts(place, actuator, WHAT) else {
            return vec![length("centres_wanted", "wants its shafts apart", wanted)];
        };
        let figures = vec![
            length("centres", "shafts apart", shafts.apart()),
            length("centres_wanted", "wants them apart", wanted),
        ];
        if (wanted - shafts.apart()).abs() <= module * GEARS_OFF {
            return figures;
        }
        let message = format!(
            "the gears of {} mesh with their shafts {} apart; they are {}.",
            self.name(),
            print::size(wanted, 2, self.figure.system),
            print::size(shafts.apart(), 2, self.figure.system)
        );
        self.report(&codes::CENTRES_OFF, place, message).help =
            Some(format!("put the motor {}.", shafts.motor_at(wanted, self.figure.system)));
        let system = self.figure.system;
        self.works([
            Step::new(
                "shafts apart, module x (z1 + z2)/2",
                format!("{} x ({first} + {last})/2", print::fine_in(module, system)),
                print::size(wanted, 2, system),
            ),
            Step::given("they are", print::size(shafts.apart(), 2, system)),
            Step::given("let pass", print::size(module * GEARS_OFF, 2, system)),
        ]);
        figures
    }
}

/// From one length that closes to the next: a chain closes with an even number of links.
pub(super) fn link(by: &str, pitch: Mm) -> Mm {
    if by == "chain" { pitch * 2.0 } else { pitch }
}

/// The length nearest to one that closes.
pub(super) fn whole(exact: Mm, step: Mm) -> Mm {
    step * libm::round(exact / step).max(1.0)
}

/// The length nearest to `exact` that closes, and lies where an open length may: between
/// two, or on a row of stocked ones.
pub(super) fn nearest(open: &Size, exact: Mm, step: Mm) -> Option<Mm> {
    let closes = |l: f64| (l / step.0 - libm::round(l / step.0)).abs() < 1e-6;
    match *open {
        Size::Given(v) => Some(Mm(v)),
        Size::Free => Some(whole(exact, step)),
        Size::Between { lo, hi } => {
            let (least, most) =
                (libm::ceil(lo / step.0 - 1e-9).max(1.0), libm::floor(hi / step.0 + 1e-9));
            (least <= most).then(|| step * libm::round(exact / step).clamp(least, most))
        }
        Size::Row { lo, hi, step: by } => {
            let count = libm::floor((hi - lo) / by + 1e-9).clamp(0.0, ROW_LIMIT as f64) as usize;
            let row = (0..=count).map(|i| lo + i as f64 * by).filter(|l| closes(*l));
            row.map(Mm).min_by(|a, b| (*a - exact).abs().0.total_cmp(&(*b - exact).abs().0))
        }
    }
}

/// A pitch, or whole steps of it: chains are sold by the inch.
fn pitch_words(by: &str, pitch: Mm, system: System) -> String {
    match system {
        System::Inch if by == "chain" => fine(pitch, system),
        _ => format!("{} mm", decimal(pitch.0, 2)),
    }
}

/// "550 mm (110 teeth)".
fn spoken(by: &str, (length, pitch): (Mm, Mm), system: System) -> String {
    let count = libm::round(length / pitch);
    let of = if by == "chain" { "links" } else { "teeth" };
    format!("{} ({} {of})", fine(length, system), decimal(count, 0))
}

const fn length(name: &'static str, words: &'static str, value: Mm) -> Figure {
    Figure { name, words, value: Measure::Length(value) }
}

/// How it lies on its wheels: how far round each, how many teeth hold, how long it is,
/// and how far apart it wants the shafts.
fn lies(by: &str, round: &Loop, apart: Mm, said: Option<Mm>) -> Vec<Figure> {
    let figure = |name, words, value| Figure { name, words, value };
    let (Some(small), Some(mesh)) = (round.wrap(apart), round.teeth_in_mesh(apart)) else {
        return Vec::new();
    };
    let large = if round.crossed { small } else { Deg(360.0) - small };
    let mut figures = vec![
        figure("wrap_small", "round its small wheel", Measure::Angle(small)),
        figure("wrap_large", "round its large wheel", Measure::Angle(large)),
        figure("teeth_in_mesh", "teeth that hold", Measure::Number(mesh)),
        length("centres", "shafts apart", apart),
    ];
    match said {
        Some(long) => {
            let (name, words) = match by {
                "chain" => ("links", "its links"),
                _ => ("teeth", "its teeth"),
            };
            figures.push(length("length", "once round", long));
            figures.push(figure(name, words, Measure::Number(libm::round(long / round.pitch))));
            let wanted = round.centres(long);
            figures.extend(wanted.map(|c| length("centres_wanted", "wants them apart", c)));
        }
        None => figures.extend(
            round.length(apart).map(|l| length("length_on_centres", "once round measures", l)),
        ),
    }
    figures
}
