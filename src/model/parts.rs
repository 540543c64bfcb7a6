//! Parts as data: motors, sheets, bushings, bolts and bars, from the built-in
//! library or the maker's own file.

use crate::finding::{Place, Spanned};
use crate::units::{
    Amp, Deg, Hertz, Kg, KgM2, KgPerM2, Mm, Newton, NewtonMetre, Pascal, PascalMetrePerSec, Rpm,
    Sec, Share, System, Volt,
};

/// What makes a motor move.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MotorKind {
    /// A brushed motor, mostly geared.
    Brushed,
    /// A motor in step with the mains.
    Synchronous,
    /// A hobby servo.
    Servo,
    /// An electric linear actuator.
    Ram,
    /// An air cylinder.
    Cylinder,
    /// A motor that winds a cord.
    Spool,
}

impl MotorKind {
    /// The words of the language, in order of the variants.
    pub const WORDS: &'static [&'static str] =
        &["brushed", "synchronous", "servo", "ram", "cylinder", "spool"];
    /// The word of the language.
    #[must_use]
    pub const fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
}

/// The contact that tells where the shaft is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Switch {
    /// None: the angle at power-up is unknown.
    None,
    /// A park contact that stops the shaft at one angle.
    Park,
    /// One pulse a turn.
    Index,
}

/// A pulse length that stands for an angle of a servo.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PulseAt {
    /// Length of the pulse.
    pub pulse: Sec,
    /// The angle it asks for.
    pub angle: Deg,
}

/// A motor as the library or the maker describes it. What is not said is `None`.
#[derive(Clone, Debug, PartialEq)]
pub struct MotorType {
    /// Its name: `wiper`.
    pub name: String,
    /// Where it is described.
    pub place: Place,
    /// What makes it move.
    pub kind: MotorKind,
    /// The voltage its figures are for.
    pub voltage: Option<Volt>,
    /// Speed of the output shaft without load.
    pub free: Option<Rpm>,
    /// Current without load.
    pub free_current: Option<Amp>,
    /// Torque that stops it.
    pub stall: Option<NewtonMetre>,
    /// Current when stopped.
    pub stall_current: Option<Amp>,
    /// Smallest duty at which it still turns evenly.
    pub least_duty: Option<Share>,
    /// Its contact.
    pub switch: Switch,
    /// How much single motors differ from these figures, either way.
    pub spread: Option<Share>,
    /// How much slower it runs on a cold night.
    pub cold: Option<Share>,
    /// Whether the limb cannot turn it back.
    pub self_locking: Option<bool>,
    /// Whether it may only turn one way.
    pub one_way: Option<bool>,
    /// Share of the time it may run.
    pub duty: Option<Share>,
    /// Crank holes it comes with, from, to, step.
    pub crank_holes: Option<(Mm, Mm, Mm)>,
    /// How a crank or wheel is held on its shaft, where said.
    pub seat: Option<CrankSeat>,
    /// Servo: time for an angle, as on its sheet.
    pub slew: Option<(Sec, Deg)>,
    /// Servo: pulses and their angles.
    pub pulses: Vec<PulseAt>,
    /// Servo: the change of its pulse that it does not move for.
    pub dead_band: Option<Sec>,
    /// Servo: teeth of its shaft.
    pub teeth: Option<u32>,
    /// Linear actuator: speed in mm/s.
    pub speed_mm_s: Option<f64>,
    /// Linear actuator: its speed under a force against it, mm/s.
    pub loaded: Option<(f64, Newton)>,
    /// Linear actuator: rated force.
    pub force: Option<Newton>,
    /// Linear actuator: the force on it without power that does not move it.
    pub holds: Option<Newton>,
    /// Linear actuator or cylinder: shortest and longest length.
    pub length: Option<(Mm, Mm)>,
    /// Body seen from the front, width and height.
    pub body: Option<(Mm, Mm)>,
    /// Mass.
    pub mass: Option<Kg>,
    /// Synchronous: the mains frequency its speed is for.
    pub frequency: Option<Hertz>,
    /// Synchronous: the largest moment of inertia on its shaft that it starts.
    pub inertia: Option<KgM2>,
    /// The current its driver can carry.
    pub driver: Option<Amp>,
    /// What its gears are made of, as written: `nylon`.
    pub gear: Option<String>,
    /// The torque its gears survive.
    pub survives: Option<NewtonMetre>,
    /// Whether its case is one of its poles.
    pub case_live: Option<bool>,
    /// The side of the board its shaft looks to.
    pub shaft: Option<ShaftSide>,
    /// How far its shaft stands out of the face it is screwed on by.
    pub shaft_length: Option<Mm>,
    /// The holes its body is screwed on by.
    pub mounting: Option<Mounting>,
    /// Cylinder: bore.
    pub bore: Option<Mm>,
    /// Cylinder: diameter of the piston's rod.
    pub piston_rod: Option<Mm>,
    /// Linear actuator or cylinder: stroke.
    pub stroke: Option<Mm>,
    /// Whether its figures were measured by the maker (`counted`, `lifted`, `held`).
    pub measured: bool,
    /// How its stall torque was found on the bench, where it was.
    pub tested: Option<BenchTest>,
    /// Whether it is a built-in part, whose numbers are typical ones.
    pub typical: bool,
    /// Which of the numbers of one that is like a built-in were written with it, by field.
    pub said: Vec<&'static str>,
}

/// How a crank or wheel is held on a motor's shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CrankSeat {
    /// What turns it with the shaft.
    pub on: Seat,
    /// The torque that passes on, by the motor's sheet, where said.
    pub holds: Option<NewtonMetre>,
    /// What keeps it on the shaft, where said.
    pub nut: Option<CrankNut>,
}

/// What turns a crank with its shaft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seat {
    /// A taper.
    Taper,
    /// A knurl, or a taper with one.
    Knurl,
    /// A flat on the shaft.
    Flat,
    /// A set screw on a round shaft.
    SetScrew,
    /// A pin or key through both.
    Pin,
}

impl Seat {
    /// The words of the language, in order of the variants.
    pub const WORDS: &'static [&'static str] = &["taper", "knurl", "flat", "set-screw", "pin"];

    /// The word of the language.
    #[must_use]
    pub const fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }

    /// The seat with this word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        use Seat::{Flat, Knurl, Pin, SetScrew, Taper};
        [Taper, Knurl, Flat, SetScrew, Pin].into_iter().find(|s| s.word() == word)
    }
}

/// What keeps a crank on its shaft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CrankNut {
    /// One nut.
    One,
    /// One nut with a nylon insert.
    Nylon,
    /// Two nuts locked against each other.
    Two,
    /// A nut with a pin through it.
    Pinned,
}

impl CrankNut {
    /// The words of the language, in order of the variants.
    pub const WORDS: &'static [&'static str] = &["one", "nylon", "two", "pinned"];

    /// The nut with this word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        let all = [Self::One, Self::Nylon, Self::Two, Self::Pinned];
        all.into_iter().find(|n| Self::WORDS[*n as usize] == word)
    }
}

/// How a maker found a motor's stall torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BenchTest {
    /// A weight wound up on a drum.
    Lifted {
        /// The weight.
        mass: Kg,
        /// By how much it slowed the motor, as a share; nought or less where it did not.
        slowing: f64,
        /// The stall torque may be off by this share.
        error: f64,
    },
    /// Held with a scale.
    Held {
        /// The stall torque may be off by this share.
        error: f64,
    },
}

/// The holes a motor's body is screwed on by.
#[derive(Clone, Debug, PartialEq)]
pub struct Mounting {
    /// The thread of its screws, as written: `M6`.
    pub bolt: Spanned<String>,
    /// Their diameter, once the thread was found.
    pub diameter: Option<Mm>,
    /// Where they are from the shaft, x to the right and y up as the motor stands, seen
    /// from the front, mm. A motor is the same in a mirrored limb: its holes are not
    /// mirrored.
    pub at: Vec<(f64, f64)>,
}

/// The side of the board a shaft looks to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShaftSide {
    /// Through the board, to the viewers.
    Front,
    /// Away from the viewers.
    Behind,
}

impl MotorType {
    /// The force at which a linear actuator's straight line from its free speed through its
    /// loaded one comes to rest; `None` where one of the two is not given, or the load did
    /// not slow it.
    #[must_use]
    pub fn stops_at(&self) -> Option<Newton> {
        let (free, (loaded, force)) = (self.speed_mm_s?, self.loaded?);
        (loaded < free).then(|| force * (free / (free - loaded)))
    }

    /// What is not said of it as of a built-in one, which it is like: what it has of that
    /// stays typical.
    #[must_use]
    pub fn like(self, base: &Self) -> Self {
        macro_rules! said {
            ($($field:ident),*) => {
                Self {
                    said: [$(self.$field.is_some().then_some(stringify!($field))),*]
                        .into_iter()
                        .flatten()
                        .collect(),
                    $($field: self.$field.or_else(|| base.$field.clone()),)*
                    typical: true,
                    ..self
                }
            };
        }
        let pulses = if self.pulses.is_empty() { base.pulses.clone() } else { self.pulses.clone() };
        Self {
            pulses,
            ..said!(
                voltage,
                free,
                free_current,
                stall,
                stall_current,
                least_duty,
                spread,
                cold,
                self_locking,
                one_way,
                duty,
                crank_holes,
                seat,
                slew,
                dead_band,
                teeth,
                speed_mm_s,
                loaded,
                force,
                holds,
                length,
                body,
                mass,
                frequency,
                inertia,
                driver,
                gear,
                survives,
                case_live,
                shaft,
                shaft_length,
                mounting,
                bore,
                piston_rod,
                stroke
            )
        }
    }

    /// Whether one of its numbers, by field, is the maker's and not a typical one.
    #[must_use]
    pub fn says(&self, field: &str) -> bool {
        !self.typical || self.said.contains(&field)
    }

    /// The clause that would say more of it: in its own block, or in one that is like it.
    #[must_use]
    pub fn settle(&self, words: &str) -> String {
        let name = &self.name;
        let like = if self.typical { format!(" like {name}") } else { String::new() };
        format!("motor {name}{like} {{ {words} }}")
    }

    /// A motor of which only its name and kind are known.
    #[must_use]
    pub fn bare(name: &str, place: Place, kind: MotorKind) -> Self {
        Self {
            name: name.to_owned(),
            place,
            kind,
            voltage: None,
            free: None,
            free_current: None,
            stall: None,
            stall_current: None,
            least_duty: None,
            switch: Switch::None,
            spread: None,
            cold: None,
            self_locking: None,
            one_way: None,
            duty: None,
            crank_holes: None,
            seat: None,
            slew: None,
            pulses: Vec::new(),
            dead_band: None,
            teeth: None,
            speed_mm_s: None,
            loaded: None,
            force: None,
            holds: None,
            length: None,
            body: None,
            mass: None,
            frequency: None,
            inertia: None,
            driver: None,
            gear: None,
            survives: None,
            case_live: None,
            shaft: None,
            shaft_length: None,
            mounting: None,
            bore: None,
            piston_rod: None,
            stroke: None,
            measured: false,
            tested: None,
            typical: false,
            said: Vec::new(),
        }
    }
}

/// A sheet to cut boards and limbs from.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetType {
    /// Its name: `corrugated-4`.
    pub name: String,
    /// Where it is described.
    pub place: Place,
    /// Thickness.
    pub thickness: Option<Mm>,
    /// Mass per area.
    pub mass: Option<KgPerM2>,
    /// Shear strength along a hole's edge.
    pub tear: Option<Pascal>,
    /// What it is made of.
    pub material: Option<Material>,
    /// The pressure under a washer that dents it.
    pub crush: Option<Pascal>,
    /// Modulus of elasticity in bending, reckoned on its whole thickness: along the
    /// flutes or the face grain.
    pub stiffness: Option<Pascal>,
    /// The same across them; as along where it is not said.
    pub stiffness_across: Option<Pascal>,
    /// The stress at which it folds, reckoned on its whole thickness.
    pub bending: Option<Pascal>,
    /// How it is sold: across its grain or flutes by along them.
    pub sold: Option<(Mm, Mm)>,
    /// Whether it is a built-in part, whose numbers are typical ones.
    pub typical: bool,
}

/// What a sheet is made of: what creeps, what splits, what the sun spoils.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Material {
    /// Plywood and other boards of wood.
    Plywood,
    /// Two thin skins of plastic with flutes between them.
    Corrugated,
    /// Solid plastic.
    Plastic,
    /// Metal.
    Metal,
}

impl Material {
    /// The words of the language, in order of the variants.
    pub const WORDS: &'static [&'static str] = &["plywood", "corrugated", "plastic", "metal"];
    /// The word of the language.
    #[must_use]
    pub const fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
    /// The material with this word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Plywood, Self::Corrugated, Self::Plastic, Self::Metal]
            .into_iter()
            .find(|m| m.word() == word)
    }
}

/// A bushing's material.
#[derive(Clone, Debug, PartialEq)]
pub struct BushingType {
    /// Its name: `nylon`.
    pub name: String,
    /// Where it is described.
    pub place: Place,
    /// Coefficient of friction.
    pub friction: Option<Share>,
    /// Highest pressure.
    pub pressure: Option<Pascal>,
    /// Highest pressure times rubbing speed.
    pub pv: Option<PascalMetrePerSec>,
    /// Whether it is a built-in part, whose numbers are typical ones.
    pub typical: bool,
}

/// A stock bar's true size.
#[derive(Clone, Debug, PartialEq)]
pub struct BarStock {
    /// As written: `1x2`.
    pub name: String,
    /// Across.
    pub width: Mm,
    /// Deep.
    pub depth: Mm,
    /// From hole to hole, and from each end to the first hole, where it is drilled.
    pub holes: Option<(Mm, Mm)>,
    /// How long the longest is, where said.
    pub length: Option<Mm>,
    /// Width of the saw's cut, where said.
    pub kerf: Option<Mm>,
    /// What a metre of it weighs, its holes not taken off, where its material is said.
    pub metre: Option<Kg>,
    /// The household its holes are written in.
    pub system: System,
}

impl BarStock {
    /// How far its outermost holes are apart; `None` where it has no holes or no length.
    #[must_use]
    pub fn span(&self) -> Option<Mm> {
        let (pitch, length) = (self.holes?.0, self.length?);
        Some(pitch * (self.holes_in(length)? - 1.0))
    }

    /// How many holes a bar of it so long has, at least one; `None` where it has none.
    #[must_use]
    pub fn holes_in(&self, length: Mm) -> Option<f64> {
        let (pitch, end) = self.holes?;
        Some(libm::floor((length - end * 2.0) / pitch + 1e-9).max(0.0) + 1.0)
    }
}

/// A threaded size.
#[derive(Clone, Debug, PartialEq)]
pub struct BoltSize {
    /// As written: `M8`, `5/16-18`.
    pub name: String,
    /// Nominal diameter.
    pub diameter: Mm,
    /// Pitch of the thread.
    pub pitch: Mm,
    /// Yield strength of its steel.
    pub yields: Option<Pascal>,
    /// Diameter of the washer it usually has under it.
    pub washer: Option<Mm>,
    /// The torque its nut is usually tightened with.
    pub tighten: Option<NewtonMetre>,
    /// Whether it is a built-in part: of its steel, washer and tightening the numbers are
    /// typical ones, its thread is what its name says.
    pub typical: bool,
}

impl BoltSize {
    /// Basic minor diameter of its thread, d - 1.0825 P (ISO 724; of 60 deg inch
    /// threads too, ASME B1.1).
    #[must_use]
    pub fn root(&self) -> Mm {
        Mm(self.diameter.0 - 1.082_53 * self.pitch.0)
    }
}
