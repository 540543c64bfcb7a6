//! The yard itself: ground, viewers, supplies, controllers, placed figures.

use std::sync::Arc;

use super::{Figure, Group, Phrase, Season, Show, Song};
use crate::finding::{Place, Spanned};
use crate::geometry::YardPoint;
use crate::units::{
    Amp, AmpHour, Deg, Litre, LitrePerMin, MetrePerSec, Mm, Mm2, Pascal, Sec, Share, System, Volt,
};

/// A side of the yard, or where a front looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Compass {
    /// +y
    North,
    /// +x
    East,
    /// -y
    South,
    /// -x
    West,
}

impl Compass {
    /// The words of the language in order of the variants.
    pub const WORDS: &'static [&'static str] = &["north", "east", "south", "west"];
    /// Bearing clockwise from north.
    #[must_use]
    pub fn bearing(self) -> Deg {
        Deg(90.0 * (self as u8 as f64))
    }
    /// The word of the language.
    #[must_use]
    pub const fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
    /// The side with this word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::North, Self::East, Self::South, Self::West].into_iter().find(|c| c.word() == word)
    }
}

/// A peg to set the yard out from.
#[derive(Clone, Debug, PartialEq)]
pub struct Peg {
    /// Its name.
    pub name: Spanned<String>,
    /// Where it stands.
    pub at: YardPoint,
}

/// A tank of pressed air that cylinders are fed from.
#[derive(Clone, Debug, PartialEq)]
pub struct Tank {
    /// Its name, as the cylinders have it.
    pub name: Spanned<String>,
    /// What it holds.
    pub volume: Litre,
    /// Gauge pressure it is filled to.
    pub full: Pascal,
    /// What its pump gives of free air at that pressure, where it has one.
    pub pump: Option<LitrePerMin>,
}

/// Where on Earth the yard is.
#[derive(Clone, Debug, PartialEq)]
pub struct Locality {
    /// Degrees north.
    pub latitude: Deg,
    /// Degrees east.
    pub longitude: Deg,
    /// IANA name of the time zone.
    pub zone: Option<Spanned<String>>,
}

/// The winds the yard must bear, as gusts at the figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Winds {
    /// Moving up to this gust.
    pub run: MetrePerSec,
    /// Parked and whole up to this gust.
    pub stand: MetrePerSec,
}

/// A source of power.
#[derive(Clone, Debug, PartialEq)]
pub struct Supply {
    /// Its name.
    pub name: Spanned<String>,
    /// Where it stands; `None` where it hangs on another supply.
    pub at: Option<YardPoint>,
    /// The supply it is fed from.
    pub from: Option<Spanned<String>>,
    /// Voltage.
    pub voltage: Option<Volt>,
    /// Highest current.
    pub limit: Option<Amp>,
    /// Conductor of its cables.
    pub cable: Option<Mm2>,
    /// Fuse before each of its cables.
    pub fuse: Option<Amp>,
    /// Length of the cable from the supply it hangs on.
    pub run: Option<Mm>,
    /// Whether it gives alternating current.
    pub alternating: bool,
    /// Its charge, where it is a battery.
    pub battery: Option<AmpHour>,
}

/// What starts a controller's show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Start {
    /// A packet on the network.
    Network,
    /// A wire from another controller.
    Wire,
    /// A button.
    Button,
    /// Its own clock.
    Clock,
}

impl Start {
    /// The words of the language in order of the variants.
    pub const WORDS: &'static [&'static str] = &["network", "wire", "button", "clock"];
}

/// One output of a controller.
#[derive(Clone, Debug, PartialEq)]
pub struct Output {
    /// Its number on the terminal.
    pub number: u32,
    /// What it drives: `figure.limb` or `figure.motor`.
    pub target: Spanned<String>,
    /// `pwm`, `pulse`, `switch` …
    pub signal: Option<&'static str>,
    /// Whether the motor is only ever driven one way.
    pub one_way: bool,
    /// Whether its switch lies between the motor and plus, or between the motor and minus;
    /// where said.
    pub on_minus: Option<bool>,
    /// Servo pulses and their angles.
    pub pulses: Vec<super::PulseAt>,
}

/// The output a motor hangs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wired {
    /// Index of the controller.
    pub controller: usize,
    /// Number of its output.
    pub number: u32,
    /// Index of the figure in the yard.
    pub figure: usize,
    /// Index of the motor among the figure's.
    pub motor: usize,
    /// `pwm`, `pulse`, `switch` …; of an output that is given out, what the kind of
    /// motor listens to.
    pub signal: Option<&'static str>,
    /// Whether an `out` says so; otherwise it was given the next free output of the
    /// nearest controller.
    pub written: bool,
}

/// One input of a controller.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// Its number on the terminal.
    pub number: u32,
    /// The limb whose contact it reads.
    pub target: Spanned<String>,
    /// `park` or `index`.
    pub signal: Option<&'static str>,
}

/// A controller that plays schedules.
#[derive(Clone, Debug, PartialEq)]
pub struct Controller {
    /// Its name.
    pub name: Spanned<String>,
    /// Where it stands.
    pub at: Option<YardPoint>,
    /// The supply that feeds it.
    pub power: Option<Spanned<String>>,
    /// How far its clock may be off.
    pub clock: Option<Share>,
    /// What starts it.
    pub starts: Option<Start>,
    /// Its outputs as written.
    pub outputs: Vec<Output>,
    /// Its inputs as written.
    pub inputs: Vec<Input>,
}

/// A figure set up in the yard.
#[derive(Clone, Debug)]
pub struct Placed {
    /// Its name in the yard: `cub`.
    pub name: Spanned<String>,
    /// The figure, scaled and with limbs left out as wanted.
    pub figure: Arc<Figure>,
    /// Where its board's x = 0 on the ground stands.
    pub at: YardPoint,
    /// Where the front looks: bearing clockwise from north.
    pub facing: Deg,
    /// Whether place and facing were assumed.
    pub assumed: bool,
    /// Out of action since, and why (`laid-up`).
    pub laid_up: Option<LaidUp>,
}

impl Placed {
    /// Whether it plays on no night: laid up, and not only from some night of a season on.
    #[must_use]
    pub fn idle(&self) -> bool {
        self.laid_up.as_ref().is_some_and(|l| !l.plays)
    }

    /// That it is out of action, and since when where a date is written: "laid up from
    /// 2027-10-26".
    #[must_use]
    pub fn laid_up_words(&self) -> Option<String> {
        let from = self.laid_up.as_ref()?.from.as_deref();
        Some(from.map_or_else(|| "laid up".to_owned(), |from| format!("laid up from {from}")))
    }

    /// The first evening without it, where it plays those before.
    #[must_use]
    pub fn plays_before(&self) -> Option<&str> {
        self.laid_up.as_ref().filter(|l| l.plays)?.from.as_deref()
    }
}

/// A figure out of action.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaidUp {
    /// First evening without it, `2027-10-26`.
    pub from: Option<String>,
    /// Why.
    pub why: Option<String>,
    /// Whether a season has nights before that, on which it plays.
    pub plays: bool,
    /// Whether nights come on which it is missed.
    pub missed: bool,
    /// Where it is said.
    pub place: Place,
}

/// A whole resolved yard.
#[derive(Clone, Debug)]
pub struct Yard {
    /// Its name, where a `yard` block stands.
    pub name: Option<Spanned<String>>,
    /// A text for people.
    pub title: Option<String>,
    /// East-west and north-south size.
    pub size: (Mm, Mm),
    /// The side people stand on.
    pub viewers: Compass,
    /// Distance kept from the viewers' side.
    pub keep: Option<Mm>,
    /// Where on Earth.
    pub locality: Option<Locality>,
    /// Winds.
    pub winds: Winds,
    /// Soil, as written.
    pub soil: Option<Spanned<String>>,
    /// Voltage and frequency of the mains.
    pub mains: Option<(Volt, Option<crate::units::Hertz>)>,
    /// Pegs.
    pub pegs: Vec<Peg>,
    /// Tanks of air.
    pub tanks: Vec<Tank>,
    /// Supplies in file order.
    pub supplies: Vec<Supply>,
    /// Controllers in file order.
    pub controllers: Vec<Controller>,
    /// The output of each motor, by figure and motor; empty without a controller.
    pub wiring: Vec<Wired>,
    /// Figures in file order.
    pub figures: Vec<Placed>,
    /// Songs in file order.
    pub songs: Vec<Arc<Song>>,
    /// Groups.
    pub groups: Vec<Group>,
    /// Phrases.
    pub phrases: Vec<Phrase>,
    /// Shows in file order.
    pub shows: Vec<Show>,
    /// Seasons in file order.
    pub seasons: Vec<Season>,
    /// The household of the first unit written: what people read results in.
    pub system: System,
    /// What was assumed of the yard as a whole.
    pub assumed: Vec<super::Note>,
    /// What was not checked of the yard as a whole.
    pub not_checked: Vec<super::Note>,
}

impl Yard {
    /// The figure named so.
    #[must_use]
    pub fn figure(&self, name: &str) -> Option<&Placed> {
        self.figures.iter().find(|f| f.name.value == name)
    }

    /// The output a figure's motor hangs on.
    #[must_use]
    pub fn wired(&self, figure: usize, motor: usize) -> Option<&Wired> {
        let found = self.wiring.binary_search_by_key(&(figure, motor), |w| (w.figure, w.motor));
        found.ok().map(|n| &self.wiring[n])
    }
}

/// How long sound takes to the ear, and other fixed delays of a show.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SoundPath {
    /// The player's delay (`sound late 180 ms`).
    pub late: Option<Sec>,
    /// Where the speaker stands.
    pub speaker: Option<YardPoint>,
}
