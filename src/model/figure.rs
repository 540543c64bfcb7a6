//! A figure: board, frame, motors, limbs and what the limbs do.

use std::borrow::Cow;
use std::sync::Arc;

use super::{
    BarStock, BoltSize, BushingType, Drive, DriveKind, MotorType, Note, PIN, PinHoles, RodThread,
    SheetType, Source, Stops,
};
use crate::finding::{Place, Spanned};
use crate::geometry::{Board as BoardSpace, BoardPoint, Outline};
use crate::syntax::{Open, Reading};
use crate::units::{
    Amp, Beats, Deg, Hertz, Kg, KgM2, KgPerM2, Mm, NewtonMetre, Pascal, Sec, Share, System, Volt,
    Watt,
};

/// Which way a shaft turns, seen from the front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// Counter-clockwise, the positive way.
    Ccw,
    /// Clockwise.
    Cw,
}

impl Turn {
    /// +1 for counter-clockwise, -1 for clockwise.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Ccw => 1.0,
            Self::Cw => -1.0,
        }
    }
}

/// A straight member of the frame behind the board.
#[derive(Clone, Debug, PartialEq)]
pub struct FrameMember {
    /// One end of its centre line.
    pub from: BoardPoint,
    /// The other end.
    pub to: BoardPoint,
    /// Width across the board.
    pub width: Mm,
    /// Depth behind the board.
    pub depth: Mm,
    /// The bar it is cut from, where one is named.
    pub bar: Option<Arc<BarStock>>,
}

/// The board: what people see standing still.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// The sheet it is cut from, where one is named.
    pub sheet: Option<Arc<SheetType>>,
    /// Its outline in board coordinates; `None` where nothing was said.
    pub outline: Option<Outline<BoardSpace>>,
    /// The drawing its outline comes from.
    pub drawing: Option<Drawing>,
    /// Height of y = 0 above the ground.
    pub lifted: Mm,
    /// Where it is described.
    pub place: Option<Place>,
}

/// An outline in an SVG file.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// The file, as written.
    pub file: Spanned<String>,
    /// The path or group in it, by its id.
    pub part: Option<Spanned<String>>,
    /// Length of one unit of the drawing.
    pub scale: Option<Mm>,
}

/// What holds a figure up.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Anchor {
    /// Stakes: how many, spacing, depth, diameter.
    pub stakes: Option<Stakes>,
    /// Braces: how many, how far out, at what height.
    pub braces: Option<Stays>,
    /// Guy lines: how many, how far out, at what height.
    pub guys: Option<Stays>,
    /// Ballast.
    pub ballast: Option<Kg>,
    /// Screws in a wall.
    pub wall_screws: Option<u32>,
}

/// Stakes driven into the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stakes {
    /// How many.
    pub count: u32,
    /// Distance between the outer two.
    pub spacing: Option<Mm>,
    /// Depth in the ground.
    pub depth: Option<Mm>,
    /// Diameter.
    pub diameter: Option<Mm>,
}

/// Braces or guys.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stays {
    /// How many.
    pub count: u32,
    /// Height on the figure.
    pub at: Option<Mm>,
    /// Distance of the foot from the board.
    pub out: Option<Mm>,
}

/// A motor of a figure: owner of one coordinate (turn or length).
#[derive(Clone, Debug, PartialEq)]
pub struct Actuator {
    /// Its name; motors given inside a drive are named after the limb.
    pub name: String,
    /// Where it is written.
    pub place: Place,
    /// What it is.
    pub motor: Arc<MotorType>,
    /// Where its shaft stands; open where the maker asks.
    pub at: Option<BoardPoint>,
    /// The question, where the place is open.
    pub at_open: Option<Spanned<Open>>,
    /// Which way it turns, seen from the front.
    pub turns: Turn,
    /// Whether it is fixed to the limb that carries the one it moves, and rides on it;
    /// else it stands on the board.
    pub rides: bool,
    /// Current limit of its driver.
    pub limit: Option<Amp>,
    /// The supply that feeds it, where that is not the figure's.
    pub supply: Option<Spanned<String>>,
    /// How much further back its crank's plane lies than the levers', where no
    /// drive says otherwise.
    pub standoff: Option<Mm>,
    /// Thickness of the plate it is screwed to from behind, its shaft through it; where
    /// none is said, its crank turns right before its face.
    pub plate: Option<Mm>,
}

/// Whether a limb hangs before or behind the board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mount {
    /// On the front: fixed to a bolt that turns, lever on the bolt behind.
    Front,
    /// Behind the board: a hidden tail takes the rod directly.
    Behind,
}

/// How a limb moves against what carries it.
#[derive(Clone, Debug, PartialEq)]
pub enum Joint {
    /// Turns about a bolt.
    Pivot {
        /// Where; open where the maker asks.
        at: Option<BoardPoint>,
        /// The question.
        open: Option<Spanned<Open>>,
    },
    /// Slides along a straight guide.
    Slide {
        /// One end of the guide.
        from: BoardPoint,
        /// The other end.
        to: BoardPoint,
    },
}

/// The shape of a limb.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Drawn in board coordinates in its drawn pose (axis from pivot to tip).
    Outline(Outline<BoardSpace>),
    /// A strip along the axis.
    Strip {
        /// Its width.
        width: Mm,
        /// How far it goes on behind the pivot.
        tail: Mm,
    },
}

/// A weight carried by a limb.
#[derive(Clone, Debug, PartialEq)]
pub struct Carried {
    /// What it is.
    pub name: String,
    /// Its mass.
    pub mass: Kg,
    /// Where, in the drawn pose.
    pub at: BoardPoint,
}

/// What the maker measured on the built limb.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Measured {
    /// `weighed`.
    pub mass: Option<Kg>,
    /// `balances`: distance of the balance point from the pivot.
    pub balance: Option<Mm>,
    /// `centre`: distance of the centre of mass from the pivot, and its angle
    /// counter-clockwise from the limb's axis.
    pub centre: Option<(Mm, Deg)>,
    /// `inertia`: moment of inertia about the pivot.
    pub inertia: Option<KgM2>,
    /// `ten-swings`: time of ten swings hanging from the pivot.
    pub ten_swings: Option<Sec>,
    /// `measured A to B`: the ends of the real swing.
    pub ends: Option<Spanned<(Deg, Deg)>>,
    /// How finely the ends are written, where with decimals: `118.25 deg` to 0.01.
    pub ends_read: Option<Deg>,
    /// `measured stroke A to B`: the ends of the real stroke of a limb that slides.
    pub stroke: Option<Spanned<(Mm, Mm)>>,
    /// How finely that is written, where with decimals.
    pub stroke_read: Option<Mm>,
    /// `tip-to-tip`: straight distance of the tip's two end positions.
    pub tip_to_tip: Option<Spanned<Mm>>,
    /// How finely that is written, where with decimals.
    pub tip_to_tip_read: Option<Mm>,
    /// `ten-turns`: time of ten turns of the motor in place.
    pub ten_turns: Option<Sec>,
}

impl Measured {
    /// The same without how it was seen to move.
    #[must_use]
    pub fn without_motion(&self) -> Self {
        Self { ends: None, stroke: None, tip_to_tip: None, ..self.clone() }
    }
}

/// How limb and lever are held on the bolt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clamp {
    /// By rubbing between nuts and washers.
    Plain,
    /// By screws through limb and a flange.
    Screws,
    /// By a pin across the bolt.
    Pin,
}

/// How wires get onto a limb.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wires {
    /// In a loose loop over its bolt.
    Loop,
    /// Through a slip ring on its bolt.
    SlipRing,
}

impl Wires {
    /// The words of the language, in order of the variants.
    pub const WORDS: &'static [&'static str] = &["loop", "slip-ring"];

    /// The way with this word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Loop, Self::SlipRing].into_iter().find(|w| Self::WORDS[*w as usize] == word)
    }
}

/// How the flutes of a corrugated sheet run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flutes {
    /// Along the limb.
    Along,
    /// Across it.
    Across,
}

/// The piece of a sliding limb that its guide holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GuideHold {
    /// Along the guide, from the first place that rubs to the last.
    pub length: Mm,
    /// Across it, from rail to rail, where said.
    pub width: Option<Mm>,
    /// Where its middle lies: along the limb, from the point that slides, where said.
    pub at: Option<Mm>,
}

/// A weight behind the pivot.
#[derive(Clone, Debug, PartialEq)]
pub struct Counterweight {
    /// Its mass; `None` where it is asked for.
    pub mass: Option<Kg>,
    /// The question, where the mass is open.
    pub open: Option<Spanned<Open>>,
    /// Its distance from the pivot, on the far side of the limb's axis.
    pub at: Mm,
}

/// How a limb is made, as far as it was said.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Build {
    /// How limb and lever are held on the bolt.
    pub clamp: Option<Clamp>,
    /// Diameter of its washers.
    pub washer: Option<Mm>,
    /// How far its face stands off what it passes: board, frame, or the limb it rides on.
    pub gap: Option<Mm>,
    /// How far its blades are turned out of the board's plane, of a limb that spins.
    pub pitched: Option<Deg>,
    /// Whether lights sit on it.
    pub lit: bool,
    /// How wires to what sits on it cross its bolt, where said.
    pub wires: Option<Wires>,
    /// How finely the holes for its pins are drilled.
    pub holes: Option<PinHoles>,
    /// Yield strength of its crank's pin, where said.
    pub pin_yields: Option<Pascal>,
    /// How far the middle of its rod stands from the crank's face, where said.
    pub pin_reach: Option<Mm>,
    /// What its rod is made of, and how it is bent.
    pub rod_thread: RodThread,
    /// How far the ends of its servo's rod let it go to and fro, both together, where said.
    pub rod_ends: Option<Mm>,
    /// Between which two places mechanical stops hold it, where said.
    pub stops: Option<Spanned<Stops>>,
    /// Length of its bolt.
    pub bolt_length: Option<Mm>,
    /// Length of its bushing.
    pub bushing_length: Option<Mm>,
    /// The piece of a limb that slides which its guide holds.
    pub guide: Option<GuideHold>,
    /// How the flutes of its sheet run.
    pub flutes: Option<Flutes>,
    /// Mass of its paint per area.
    pub paint: Option<KgPerM2>,
    /// A weight behind the pivot.
    pub counterweight: Option<Counterweight>,
    /// The drawing its outline comes from.
    pub drawing: Option<Drawing>,
    /// The stock bars that its crank, its rod and its lever are cut from, where named.
    pub bars: [Option<Arc<BarStock>>; 3],
    /// What the three weigh, where said.
    pub bar_masses: [Option<Kg>; 3],
}

/// A limb and everything said of it.
#[derive(Clone, Debug)]
pub struct Limb {
    /// Its name.
    pub name: Spanned<String>,
    /// A text for people.
    pub title: Option<String>,
    /// The limb its pivot rides on, by index.
    pub carrier: Option<usize>,
    /// Its joint.
    pub joint: Joint,
    /// The tip: the limb's axis is pivot -> tip.
    pub tip: Option<BoardPoint>,
    /// Front or behind.
    pub mount: Mount,
    /// Its bolt.
    pub bolt: Option<BoltSize>,
    /// Its bushing.
    pub bushing: Option<Arc<BushingType>>,
    /// Its sheet.
    pub sheet: Option<Arc<SheetType>>,
    /// Its shape.
    pub shape: Option<Shape>,
    /// How it is made.
    pub build: Build,
    /// Weights on it.
    pub carried: Vec<Carried>,
    /// What drives it.
    pub drive: Option<Drive>,
    /// What it can do.
    pub gestures: Vec<Gesture>,
    /// Hints that were dealt with on it, by their codes.
    pub seen_to: Vec<Spanned<String>>,
    /// The angle it rests at between cues.
    pub rest: Option<Spanned<Deg>>,
    /// The place on its guide it rests at between cues, from the guide's first end.
    pub rest_at: Option<Spanned<Mm>>,
    /// The limb angle where the park contact opens.
    pub parks: Option<Spanned<Deg>>,
    /// Where it comes to lie without power, pulses or air, where said.
    pub unpowered: Option<Unpowered>,
    /// What was measured.
    pub measured: Measured,
    /// Explicit friction torque at the pivot.
    pub friction: Option<NewtonMetre>,
    /// Explicit load torque, counter-clockwise positive.
    pub load: Option<NewtonMetre>,
    /// Defaults that were taken, and the clauses that would settle them.
    pub assumed: Vec<Note>,
    /// Checks that could not be made, and the clauses that would settle them.
    pub not_checked: Vec<Note>,
    /// The limb it mirrors or repeats, as `figure.limb`: a fault shows once.
    pub copy_of: Option<String>,
    /// The figure it was copied into: its own text stands in another's.
    pub copied_into: Option<String>,
    /// The limb of the same figure it is the mirror image of, as far as its drive
    /// goes: sizes left open are that limb's, mirrored.
    pub mirrors: Option<Mirrors>,
    /// Something in it was reported already: later stages stay silent about it.
    pub poisoned: bool,
}

impl Limb {
    /// The hole for the pins of its rod, lever and crank.
    #[must_use]
    pub fn pin_hole(&self) -> Mm {
        self.build.holes.unwrap_or_default().diameter()
    }

    /// How wide a slot in it is: as much wider as a pin's hole than what runs in it.
    #[must_use]
    pub fn slot_width(&self) -> Mm {
        let runner = match self.drive.as_ref().map(|d| &d.mechanism) {
            Some(DriveKind::SlottedArm(slotted)) => slotted.runner(),
            _ => PIN,
        };
        self.pin_hole() - PIN + runner
    }

    /// Its name as messages say it: `figure.limb` in a copy, whose text stands in another
    /// figure, so that nobody looks for the fault there.
    #[must_use]
    pub fn said(&self) -> Cow<'_, str> {
        match &self.copied_into {
            Some(figure) => Cow::Owned(format!("{figure}.{}", self.name.value)),
            None => Cow::Borrowed(&self.name.value),
        }
    }
}

/// Where a limb comes to lie when what drives it lets go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unpowered {
    /// At this angle, counted as `rest`.
    Turned(Deg),
    /// At this place along its slide.
    Slid(Mm),
}

/// A limb mirrored about an upright line.
#[derive(Clone, Debug, PartialEq)]
pub struct Mirrors {
    /// The limb.
    pub limb: String,
    /// x of the line.
    pub line: Mm,
}

/// How a gesture's time is said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Span {
    /// In seconds.
    Time(Sec),
    /// In beats, exactly.
    Beats(Beats),
    /// In bars (as many beats as the song's meter says).
    Bars(f64),
    /// In eighths (halves of a beat, thirds in 6/8, 9/8 and 12/8).
    Eighths(f64),
}

/// A gesture: what a limb can be told to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Gesture {
    /// Its name.
    pub name: Spanned<String>,
    /// Where it is written.
    pub place: Place,
    /// What it is.
    pub action: Action,
    /// Whether its angles count from the axis of the limb that carries this one
    /// (`bend`) instead of absolutely (`sweep`).
    pub relative: bool,
    /// Where `shape natural` is written of it.
    pub natural: Option<Place>,
    /// Whether a swing or stroke is written from its upper end down: its far end, to which it
    /// goes first, is the lower one.
    pub downward: bool,
}

/// The shape of a free swing in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Easing {
    /// As the mechanism gives it; harmonic for a servo.
    Natural,
    /// Gentle ends.
    Smooth,
    /// As fast as it can.
    Sharp,
}

/// What a gesture does.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// To and fro between two angles.
    Sweep {
        /// From.
        from: Spanned<Deg>,
        /// To.
        to: Spanned<Deg>,
        /// Tolerance of the swing and its ends, where said.
        within: Option<Deg>,
        /// Time of one to and fro; `None`: as the motor gives it.
        cycle: Option<Spanned<Span>>,
        /// Angle that must be met on the beat.
        accent: Option<Spanned<Deg>>,
        /// Its shape.
        easing: Easing,
    },
    /// To and fro between two places on a slide.
    Stroke {
        /// From, mm along the slide.
        from: Spanned<Mm>,
        /// To.
        to: Spanned<Mm>,
        /// Tolerance of the stroke and its ends, where said.
        within: Option<Mm>,
        /// Time of one to and fro.
        cycle: Option<Spanned<Span>>,
        /// Place that must be met on the beat.
        accent: Option<Spanned<Mm>>,
    },
    /// To one angle and stay.
    Turn {
        /// The angle.
        to: Spanned<Deg>,
        /// In this time.
        over: Option<Spanned<Span>>,
    },
    /// Stay at an angle.
    Pose(Spanned<Deg>),
    /// Follow the loudness of a sound.
    Follow {
        /// The stem's name.
        source: Spanned<String>,
        /// Frequency band.
        band: (Hertz, Hertz),
        /// Limb angle when silent and when loud, where said.
        range: Option<(Deg, Deg)>,
        /// How closely it follows.
        smoothing: crate::music::Smoothing,
    },
    /// Turn on and on.
    Spin {
        /// Degrees per span, negative clockwise.
        turn: Deg,
        /// In this time.
        per: Spanned<Span>,
    },
    /// Up for a time, then down.
    Pulse {
        /// Up for.
        up: Spanned<Span>,
    },
    /// Power on.
    On,
    /// Power off.
    Off,
}

/// Lights on a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Lamp {
    /// Its name.
    pub name: String,
    /// Where.
    pub at: Option<BoardPoint>,
    /// Power.
    pub power: Option<Watt>,
}

/// The feed of a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Feed {
    /// The supply.
    pub supply: Spanned<String>,
    /// Real cable length, where said.
    pub run: Option<Mm>,
    /// Voltage, where said.
    pub voltage: Option<Volt>,
    /// Fuse before its cable, where said.
    pub fuse: Option<Amp>,
}

/// A figure with everything said of it, independent of where it stands.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its name.
    pub name: Spanned<String>,
    /// A text for people.
    pub title: Option<String>,
    /// The figure it is like, and its scale.
    pub like: Option<(String, Share)>,
    /// The household of its first unit.
    pub system: System,
    /// Its board.
    pub board: Board,
    /// Its frame.
    pub frame: Vec<FrameMember>,
    /// Whether members are written that could not be read: what hangs on them is not known.
    pub frame_unread: bool,
    /// What holds it up.
    pub anchor: Option<Anchor>,
    /// Its feed.
    pub feed: Option<Feed>,
    /// Its lamps.
    pub lamps: Vec<Lamp>,
    /// Its motors.
    pub actuators: Vec<Actuator>,
    /// Its limbs.
    pub limbs: Vec<Limb>,
    /// The clauses it was made from: what is not computed yet is kept here.
    pub readings: Vec<Arc<Reading>>,
    /// What was assumed of the figure as a whole.
    pub assumed: Vec<Note>,
    /// Hints that were dealt with on all of it, by their codes.
    pub seen_to: Vec<Spanned<String>>,
}

impl Figure {
    /// Index of the limb named so.
    #[must_use]
    pub fn limb(&self, name: &str) -> Option<usize> {
        self.limbs.iter().position(|l| l.name.value == name)
    }

    /// The limbs a motor drives, by index, straight or through another limb.
    pub fn driven_by(&self, motor: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.limbs.len()).filter(move |&i| self.motor_of(i) == Some(motor))
    }

    /// Whether a limb's own motor rides with it on the limb that carries both.
    #[must_use]
    pub fn motor_rides(&self, limb: usize) -> bool {
        let Some(limb) = self.limbs.get(limb).filter(|l| l.carrier.is_some()) else { return false };
        let Some(drive) = limb.drive.as_ref().filter(|d| d.mechanism.may_ride()) else {
            return false;
        };
        matches!(drive.source, Source::Motor(m) if self.actuators.get(m).is_some_and(|a| a.rides))
    }

    /// The motor that moves a limb in the end.
    #[must_use]
    pub fn motor_of(&self, limb: usize) -> Option<usize> {
        let mut at = limb;
        for _ in 0..=self.limbs.len() {
            match self.limbs.get(at)?.drive.as_ref()?.source {
                Source::Motor(m) => return Some(m),
                Source::Limb(l) => at = l,
            }
        }
        None
    }
}
