//! What makes a limb move: its drive as written, one shape per mechanism.

use super::CamDrive;
use crate::finding::{Place, Spanned};
use crate::geometry::BoardPoint;
use crate::mechanism::{Assembly, Kind, Prefer, Side, Size, Strut};
use crate::syntax::Open;
use crate::units::{Deg, Mm, Newton, NewtonMetre, Pascal, Sec, System};

/// Where a drive's motion comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// A motor of the figure, by index.
    Motor(usize),
    /// Another limb of the figure, by index.
    Limb(usize),
}

/// A crank pin's angle on a shared motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pin {
    /// At this angle after the motor's first pin.
    At(Deg),
    /// To be found so that the limbs move by turns.
    Alternate,
    /// To be found so that the limbs move together.
    Together,
}

/// What makes a limb move, and how.
#[derive(Clone, Debug)]
pub struct Drive {
    /// Where it is written.
    pub place: Place,
    /// What pushes.
    pub source: Source,
    /// The pin on a shared motor.
    pub pin: Pin,
    /// What was said of its angle, where that is open.
    pub pin_said: Option<Sized>,
    /// How much further back the crank's plane lies than the lever's, where said:
    /// the depth the rod bridges.
    pub standoff: Option<Mm>,
    /// The mechanism.
    pub mechanism: DriveKind,
}

/// A length or angle with its place and what the maker said of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sized {
    /// What was said.
    pub size: Size,
    /// Where; `None` where it was left out.
    pub place: Option<Place>,
    /// Place of the `?`, for `solve --write`.
    pub ask: Option<Place>,
    /// The household it was written in.
    pub system: System,
    /// The row of holes it is one of, given or open: first, last, step.
    pub row: Option<(f64, f64, f64)>,
    /// All that can be cut from the drilled bar it is taken from: first, last, step.
    pub cuts: Option<(f64, f64, f64)>,
}

impl Sized {
    /// Whether it is to be found.
    #[must_use]
    pub const fn is_open(&self) -> bool {
        !matches!(self.size, Size::Given(_))
    }
}

/// A mechanism with its sizes as written.
#[derive(Clone, Debug)]
pub enum DriveKind {
    /// Crank, rod, lever.
    FourBar(FourBarDrive),
    /// A servo, direct or through arm and rod.
    Servo(ServoDrive),
    /// Continuous turning.
    Spin(SpinDrive),
    /// Crank pin in a slot.
    SlottedArm(SlottedDrive),
    /// Crank and rod to a limb that slides.
    SliderCrank(SliderDrive),
    /// Crank pin in the cross slot of a limb that slides.
    ScotchYoke(YokeDrive),
    /// Plate cam and follower.
    Cam(Box<CamDrive>),
    /// A rod between the board and a limb that is moved by another limb.
    Forearm(Box<ForearmDrive>),
    /// Ram or air cylinder.
    Strut(Box<StrutDrive>),
    /// A cord that pulls one way.
    Cord(Box<CordDrive>),
}

impl DriveKind {
    /// The kind of mechanism.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        match self {
            Self::FourBar(_) => Kind::FourBar,
            Self::Servo(_) => Kind::Servo,
            Self::Spin(_) => Kind::Spin,
            Self::SlottedArm(_) => Kind::SlottedArm,
            Self::SliderCrank(_) => Kind::SliderCrank,
            Self::ScotchYoke(_) => Kind::ScotchYoke,
            Self::Cam(_) => Kind::Cam,
            Self::Forearm(_) => Kind::FourBarFrom,
            Self::Strut(s) => s.strut.kind(),
            Self::Cord(_) => Kind::Cord,
        }
    }

    /// Crank, rod and lever, of a motor's crank or of a servo's arm.
    #[must_use]
    pub const fn bars(&self) -> Option<&FourBarDrive> {
        match self {
            Self::FourBar(bars) => Some(bars),
            Self::Servo(servo) => servo.rod.as_ref(),
            _ => None,
        }
    }

    /// The crank hole and the lever hole, to fill in, of the kinds that have them.
    #[must_use]
    pub fn holes_mut(&mut self) -> (Option<&mut Sized>, Option<&mut Sized>) {
        let cord = matches!(self, Self::Cord(_));
        let [crank, _, lever] = self.bars_mut();
        // A cord may hang on a drum: it has a crank where it says so.
        (crank.filter(|_| !cord), lever)
    }

    /// Crank, rod and lever, to fill in, of the kinds that have them.
    #[must_use]
    pub fn bars_mut(&mut self) -> [Option<&mut Sized>; 3] {
        match self {
            Self::FourBar(f) => [Some(&mut f.crank), Some(&mut f.rod), Some(&mut f.lever)],
            Self::Servo(s) => match &mut s.rod {
                Some(f) => [Some(&mut f.crank), Some(&mut f.rod), Some(&mut f.lever)],
                None => [None, None, None],
            },
            Self::SlottedArm(s) => [Some(&mut s.crank), None, None],
            Self::SliderCrank(s) => [Some(&mut s.crank), Some(&mut s.rod), None],
            Self::ScotchYoke(y) => [Some(&mut y.crank), None, None],
            Self::Forearm(f) => [None, Some(&mut f.rod), Some(&mut f.lever)],
            Self::Strut(s) => [None, None, Some(&mut s.lever)],
            Self::Cord(c) => [Some(&mut c.crank), None, Some(&mut c.lever)],
            Self::Cam(_) | Self::Spin(_) => [None, None, None],
        }
    }

    /// Crank, rod and lever, of the kinds that have them.
    #[must_use]
    pub fn bars_said(&self) -> [Option<Sized>; 3] {
        self.clone().bars_mut().map(|b| b.copied())
    }

    /// Whether it is computed on a limb that carries it with its motor.
    #[must_use]
    pub const fn may_ride(&self) -> bool {
        !matches!(self, Self::Forearm(_))
    }

    /// Whether a shaft that turns on and on moves it: by crank, cam, train or cord. A
    /// cord may hang on another kind of motor too.
    #[must_use]
    pub const fn is_turned(&self) -> bool {
        !matches!(self, Self::Servo(_) | Self::Strut(_))
    }
}

/// The crank holes that are taken where no row is written, mm: first, last, step.
#[must_use]
pub const fn usual_crank_holes(system: System) -> (f64, f64, f64) {
    match system {
        System::Inch => (25.4, 50.8, 6.35),
        System::Metric | System::Both => (30.0, 60.0, 10.0),
    }
}

/// The lever holes that are taken where no row is written, mm: first, last, step.
#[must_use]
pub const fn usual_lever_holes(system: System) -> (f64, f64, f64) {
    match system {
        System::Inch => (63.5, 114.3, 12.7),
        System::Metric | System::Both => (60.0, 120.0, 10.0),
    }
}

/// The four-bar as written; lengths in mm, clamp in deg.
#[derive(Clone, Debug)]
pub struct FourBarDrive {
    /// Crank hole.
    pub crank: Sized,
    /// Rod, pin to pin in the board's plane.
    pub rod: Sized,
    /// Lever hole (or tail hole, behind the board).
    pub lever: Sized,
    /// Lever pin's angle counter-clockwise from the limb's axis.
    pub clamp: Sized,
    /// Which way it is put together, where said.
    pub assembly: Option<Assembly>,
    /// What to prefer among answers.
    pub prefer: Prefer,
}

/// The servo as written.
#[derive(Clone, Debug)]
pub struct ServoDrive {
    /// Arm, rod, lever and clamp; `None` for a limb straight on the shaft.
    pub rod: Option<FourBarDrive>,
    /// Pulses and their angles, where said here.
    pub pulses: Vec<super::PulseAt>,
    /// Time for an angle, where said here.
    pub slew: Option<(Sec, Deg)>,
    /// Limb angle at the servo's zero, deg; the drawn one where it is left out.
    pub zero: Sized,
}

/// A continuous drive as written: signed turns of the limb per turn of the motor.
#[derive(Clone, Debug, PartialEq)]
pub struct SpinDrive {
    /// Limb turns per motor turn, negative where it reverses.
    pub ratio: f64,
    /// `direct`, `belt`, `chain` or `gears`.
    pub by: &'static str,
    /// Teeth in order from the motor, where said.
    pub teeth: Vec<u32>,
    /// Where it is written; `None` where it is left out.
    pub place: Option<Place>,
    /// Whether a belt or chain crosses itself.
    pub crossed: bool,
    /// From tooth to tooth of a belt, from link to link of a chain, where said.
    pub pitch: Option<Mm>,
    /// Length of a belt or chain: said, open, or left out.
    pub length: Sized,
    /// Module of gears, where said.
    pub module: Option<Mm>,
    /// The pull at which a belt jumps its teeth or a chain breaks, where said.
    pub breaks: Option<Newton>,
    /// How wide its wheels are along their shafts, with their hubs, where said.
    pub width: Option<Mm>,
}

impl SpinDrive {
    /// What of a belt, chain or gears sits on a shaft; `None` for a limb straight on one.
    #[must_use]
    pub fn wheel(&self) -> Option<&'static str> {
        match self.by {
            "belt" => Some("pulley"),
            "chain" => Some("sprocket"),
            "gears" => Some("gear"),
            _ => None,
        }
    }

    /// Pitch radius of each wheel, in order from the motor, mm: a belt's teeth and a
    /// chain's rollers are a pitch apart, a gear's diameter is its module times its teeth.
    /// Empty where teeth, or pitch or module, are not said.
    #[must_use]
    pub fn radii(&self) -> Vec<f64> {
        let pi = std::f64::consts::PI;
        let of = |teeth: &u32| {
            let teeth = f64::from(*teeth);
            match self.by {
                "gears" => Some(self.module?.0 * teeth / 2.0),
                "belt" => Some(self.pitch?.0 * teeth / (2.0 * pi)),
                // ISO 606: rollers lie on a circle, straight from one to the next.
                "chain" if teeth >= 3.0 => Some(self.pitch?.0 / (2.0 * libm::sin(pi / teeth))),
                _ => None,
            }
        };
        self.teeth.iter().map(of).collect::<Option<Vec<f64>>>().unwrap_or_default()
    }

    /// A limb straight on the motor's shaft, or with only a ratio said.
    #[must_use]
    pub const fn of_ratio(ratio: f64) -> Self {
        Self {
            ratio,
            by: "direct",
            teeth: Vec::new(),
            place: None,
            crossed: false,
            pitch: None,
            length: Sized {
                size: Size::Free,
                place: None,
                ask: None,
                system: System::Both,
                row: None,
                cuts: None,
            },
            module: None,
            breaks: None,
            width: None,
        }
    }
}

/// The slotted arm as written; lengths in mm, clamp in deg.
#[derive(Clone, Debug)]
pub struct SlottedDrive {
    /// Crank hole.
    pub crank: Sized,
    /// The slot's direction counter-clockwise from the limb's axis.
    pub clamp: Sized,
    /// Length of the slot.
    pub slot: Sized,
    /// How long the lever is that it is cut in: nothing is computed with it.
    pub lever: Sized,
    /// How far the slot lies left of the pivot, looking along it.
    pub offset: Mm,
    /// How wide the lever before the board is that the slot is cut in, where said.
    pub lever_width: Option<Mm>,
    /// Diameter of a roller on the crank pin, where one is said.
    pub roller: Option<Mm>,
    /// What to prefer among answers.
    pub prefer: Prefer,
}

impl SlottedDrive {
    /// Diameter of what runs in the slot: its roller, or the bare crank pin.
    #[must_use]
    pub fn runner(&self) -> Mm {
        self.roller.unwrap_or(super::PIN)
    }
}

/// The slider-crank as written; lengths in mm.
#[derive(Clone, Debug)]
pub struct SliderDrive {
    /// Crank hole.
    pub crank: Sized,
    /// Rod, pin to pin.
    pub rod: Sized,
    /// How far the shaft lies left of the line of the slide pin, where said: the
    /// pin then runs beside the guide's own line.
    pub offset: Option<Mm>,
    /// How far the guide leans from the line it is drawn on, counter-clockwise.
    pub tilt: Deg,
    /// On which side of the crank the limb lies, where said.
    pub side: Option<Side>,
    /// What to prefer among answers.
    pub prefer: Prefer,
}

/// The Scotch yoke as written; lengths in mm.
#[derive(Clone, Debug)]
pub struct YokeDrive {
    /// Crank hole.
    pub crank: Sized,
    /// How far the slot leans from the square to the guide, counter-clockwise.
    pub tilt: Deg,
    /// How far the shaft lies left of the guide, where said instead of measured
    /// from the motor's place.
    pub offset: Option<Mm>,
    /// What to prefer among answers.
    pub prefer: Prefer,
}

/// The second rod as written, its far end on the board or on the limb above.
#[derive(Clone, Debug)]
pub struct ForearmDrive {
    /// Where the rod's near end is pinned, in board coordinates, the limb above as
    /// drawn.
    pub anchor: Option<BoardPoint>,
    /// Where the anchor is written.
    pub anchor_place: Option<Place>,
    /// The question, where the anchor is open.
    pub anchor_open: Option<Spanned<Open>>,
    /// Rod, pin to pin.
    pub rod: Sized,
    /// Lever or tail hole.
    pub lever: Sized,
    /// The lever's angle counter-clockwise from the limb's axis.
    pub clamp: Sized,
    /// Which way it is put together, where said.
    pub assembly: Option<Assembly>,
    /// What to prefer among answers.
    pub prefer: Prefer,
}

/// A ram or cylinder as written; lengths in mm.
#[derive(Clone, Debug)]
pub struct StrutDrive {
    /// Ram or cylinder.
    pub strut: Strut,
    /// Where its far end is fixed.
    pub anchor: Option<BoardPoint>,
    /// The question, where the anchor is open.
    pub anchor_open: Option<Spanned<Open>>,
    /// Shortest and longest, pin to pin, where said here.
    pub length: Option<(Mm, Mm)>,
    /// Lever hole: distance from the pivot, or of the pin along the slide.
    pub lever: Sized,
    /// The lever's angle counter-clockwise from the limb's axis.
    pub clamp: Sized,
    /// Which way it is put together, where said.
    pub assembly: Option<Assembly>,
    /// What to prefer among answers.
    pub prefer: Prefer,
    /// What a cylinder says of itself and its air.
    pub air: AirSaid,
    /// How far the planes of its two clevises are out of line, where said.
    pub clevises: Option<Spanned<Deg>>,
}

/// What a drive says of its air cylinder, where it does.
#[derive(Clone, Debug, Default)]
pub struct AirSaid {
    /// Its bore.
    pub bore: Option<Mm>,
    /// Its stroke.
    pub stroke: Option<Mm>,
    /// The tank its air comes from.
    pub tank: Option<String>,
    /// Gauge pressure of its air.
    pub pressure: Option<Pascal>,
    /// Whether that air is dried, or its line drained.
    pub dried: bool,
    /// Time it takes to move its limb, throttled: out, or its cord in.
    pub up: Option<Sec>,
    /// Time it takes back.
    pub down: Option<Sec>,
}

/// A cord as written; lengths in mm.
#[derive(Clone, Debug)]
pub struct CordDrive {
    /// Crank hole or servo horn.
    pub crank: Sized,
    /// Diameter of the spool.
    pub spool: Sized,
    /// Lever hole.
    pub lever: Sized,
    /// The lever's angle counter-clockwise from the limb's axis.
    pub clamp: Sized,
    /// Whole length, pin to pin.
    pub length: Sized,
    /// The eyes it runs through, in order from the motor.
    pub guides: Vec<BoardPoint>,
    /// On which side it pulls, where said.
    pub assembly: Option<Assembly>,
    /// What to prefer among answers.
    pub prefer: Prefer,
    /// What brings it back.
    pub back: Option<Return>,
    /// The pull at which it breaks, where said.
    pub breaks: Option<Newton>,
    /// Its own diameter, where said.
    pub thickness: Option<Mm>,
    /// Diameter of the pulleys it runs over, where its guides are pulleys.
    pub pulleys: Option<Mm>,
    /// What is said of the air cylinder that draws it in.
    pub air: AirSaid,
}

impl CordDrive {
    /// Friction of a cord on a plain eye (common practice, no source).
    pub const ON_EYES: f64 = 0.2;
    /// That of a pulley on its plain axle, brought to the cord: as much on an axle a
    /// quarter of the pulley across (common practice, no source).
    pub const ON_PULLEYS: f64 = 0.05;

    /// Whether it runs over pulleys: eyes that are none have no size.
    #[must_use]
    pub fn on_pulleys(&self) -> bool {
        self.pulleys.is_some() && !self.guides.is_empty()
    }

    /// The friction with which each corner of it adds to the pull, in e^(friction x corner).
    #[must_use]
    pub const fn rubs(&self) -> f64 {
        if self.pulleys.is_some() { Self::ON_PULLEYS } else { Self::ON_EYES }
    }
}

/// What brings a limb back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Return {
    /// Its own weight.
    Gravity,
    /// A spring about the pivot.
    Moment(NewtonMetre),
    /// A spring along the slide.
    Force(Newton),
    /// A spring of which it is not said how strong it is.
    Spring,
}
