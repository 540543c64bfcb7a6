//! The parts of a figure in depth: what lies before what.
//!
//! z = 0 is the board's front face, positive behind it. Sheets and frame give their
//! own thickness; what is not said (spacers, bars, nuts, how far the crank stands
//! behind the lever) is taken from the usual sizes below and noted.

use super::bolts;
use super::distance::Corner;
use super::levers::pivot_bar;
use super::ride::ride;
use super::track::{self, Bars, Track};
use crate::fit::{Fitted, FittedFigure};
use crate::geometry::BoardPoint;
use crate::model::{BoltSize, DriveKind, Figure, FrameMember, Joint, Limb, Mount, Note, Source};
use crate::units::{Mm, print};

/// Between two faces that pass each other, mm: a washer (common practice, no source).
pub const SPACER: f64 = 2.0;
/// A flat bar, mm thick: lever or crank (common practice, no source).
pub const BAR: f64 = 5.0;
/// Half the width of a lever or crank, mm.
pub const BAR_HALF: f64 = 10.0;
/// Radius of a rod, mm: M8 threaded rod.
pub const ROD: f64 = 4.0;
/// Depth between lever and crank where no `standoff` is said.
pub(super) const STANDOFF: f64 = 20.0;
/// A board of unknown sheet.
const BOARD: f64 = 9.0;
/// A limb of unknown sheet.
pub(super) const SHEET: f64 = 6.0;
/// Across the corners of a nut, as a multiple of the bolt: M8, 13 mm across the
/// flats, 15 mm across the corners (ISO 4032).
const NUT: f64 = 15.0 / 8.0;
/// Diameter of a motor's shaft with what holds the crank on it.
const SHAFT: f64 = 10.0;
/// Its radius in drawings.
pub(super) const SHAFT_RADIUS: f64 = SHAFT / 2.0;
/// Depth of a motor's body behind its crank, where only its face is known.
const BODY: f64 = 60.0;

/// An interval of depth, mm behind the board's front face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Depth {
    /// The face towards the viewers.
    pub front: f64,
    /// The face away from them.
    pub back: f64,
}

impl Depth {
    pub(super) fn from(front: f64, thick: f64) -> Self {
        Self { front, back: front + thick }
    }

    /// Whether two intervals share more than a touch.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        self.front < other.back && other.front < self.back
    }
}

/// What a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// The limb itself.
    Limb,
    /// The lever on its bolt.
    Lever,
    /// The rod.
    Rod,
    /// The crank.
    Crank,
    /// The end of a limb's bolt with its nuts.
    Bolt,
    /// A motor's shaft with its nut.
    Shaft,
    /// A motor's body.
    Body,
    /// A member of the frame.
    Member,
    /// The board.
    Board,
    /// The guide of a limb that slides.
    Guide,
    /// A pulley, sprocket or gear, or the belt or chain between two.
    Wheel,
}

impl Role {
    /// What people call it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Limb => "limb",
            Self::Lever => "lever",
            Self::Rod => "rod",
            Self::Crank => "crank",
            Self::Bolt => "bolt",
            Self::Shaft => "shaft",
            Self::Body => "motor",
            Self::Member => "frame",
            Self::Board => "board",
            Self::Guide => "guide",
            Self::Wheel => "wheel",
        }
    }
}

/// One part in the stack: what outputs print.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// Its name: `left-arm lever`.
    pub name: String,
    /// What it is.
    pub role: Role,
    /// Where it lies in depth.
    pub depth: Depth,
    /// Whether a usual size went into that.
    pub assumed: bool,
}

/// A part with its shape and motion.
pub(super) struct Part<'a> {
    pub layer: Layer,
    /// The limb it belongs to.
    pub limb: Option<usize>,
    /// Which member of the frame it is.
    pub member: Option<usize>,
    /// The motor that moves it.
    pub motor: Option<usize>,
    /// Its corners in its own plane; on the board for what does not move.
    pub corners: Vec<Corner>,
    /// A radius about them.
    pub radius: f64,
    /// Without regard to the motor's time, where that can be.
    pub own: Track<'a>,
    /// By the motor's coordinate.
    pub shaft: Option<Track<'a>>,
    /// Of a limb that rides: by the shaft of the motor of what carries it, and that motor.
    pub under: Option<(usize, Track<'a>)>,
}

/// A figure taken apart.
pub(super) struct Stack<'a> {
    pub parts: Vec<Part<'a>>,
    /// Crank, rod and lever pin of each limb.
    pub bars: Vec<Bars<'a>>,
    /// What sits on each motor's shaft.
    pub carried: Carried,
    /// What was assumed, limb by limb.
    pub assumed: Vec<Vec<Note>>,
    /// What could not be placed, limb by limb.
    pub not_checked: Vec<Vec<Note>>,
}

/// Where the cranks and wheels on each motor's shaft lie, the first to the last of them.
pub(super) type Carried = Vec<Option<Depth>>;

/// Sets a crank or wheel on a motor's shaft.
pub(super) fn carry(carried: &mut Carried, motor: Option<usize>, part: Depth) {
    if let Some(on) = motor.and_then(|m| carried.get_mut(m)) {
        let all = on.unwrap_or(part);
        *on = Some(Depth { front: all.front.min(part.front), back: all.back.max(part.back) });
    }
}

/// Half the corners of a nut on this bolt, mm.
#[must_use]
pub fn nut_radius(bolt: Option<&BoltSize>) -> f64 {
    bolt.map_or(8.0, |b| b.diameter.0) * NUT / 2.0
}

/// The four corners of a member, its ends cut square.
pub(super) fn member(m: &FrameMember) -> Option<Vec<Corner>> {
    let strip = crate::geometry::Outline::strip(m.from, m.to, m.width)?;
    Some(strip.corners().iter().map(|p| [p.x, p.y]).collect())
}

/// Thickness of the board.
fn board_thickness(fitted: &FittedFigure) -> f64 {
    let sheet = fitted.figure.board.sheet.as_ref();
    sheet.and_then(|s| s.thickness).map_or(BOARD, |t| t.0)
}

/// Whether a limb sits straight on its motor's shaft and has no bolt of its own.
#[must_use]
pub fn on_shaft(limb: &Limb) -> bool {
    let direct = limb.drive.as_ref().is_some_and(|d| match &d.mechanism {
        DriveKind::Servo(s) => s.rod.is_none(),
        DriveKind::Spin(s) => s.by == "direct",
        _ => false,
    });
    direct && limb.bolt.is_none()
}

/// Where a limb's pivot is.
pub(super) fn pivot(limb: &Limb) -> Option<BoardPoint> {
    match limb.joint {
        Joint::Pivot { at, .. } => at,
        Joint::Slide { .. } => None,
    }
}

/// The depth behind which the bushing of a pivot ends, mm behind the board's front
/// face, and whether the frame under the pivot was not known.
#[must_use]
pub fn bushing_end(fitted: &FittedFigure, limb: &Limb) -> (f64, bool) {
    let board = board_thickness(fitted);
    if let Some(length) = limb.build.bushing_length {
        return (length.0, false);
    }
    let under = pivot(limb).and_then(|at| {
        let members =
            fitted.figure.frame.iter().filter(|m| {
                member(m).is_some_and(|c| super::distance::contains(&c, &[at.x, at.y]))
            });
        members.map(|m| m.depth.0).reduce(f64::max)
    });
    match (limb.mount, under) {
        (_, Some(depth)) => (board + depth, false),
        // A bushing is as long as board and frame, where nothing else is said.
        (Mount::Front, None) => {
            let deepest = fitted.figure.frame.iter().map(|m| m.depth.0).fold(0.0, f64::max);
            (board + deepest, true)
        }
        (Mount::Behind, None) => (board, true),
    }
}

/// How much further back than its lever a limb's crank stands, and whether that was said.
#[must_use]
pub fn standoff(figure: &Figure, limb: &Limb) -> (Mm, bool) {
    let drive = limb.drive.as_ref();
    let actuator = match drive.map(|d| d.source) {
        Some(Source::Motor(m)) => figure.actuators.get(m),
        _ => None,
    };
    let said = drive.and_then(|d| d.standoff).or(actuator.and_then(|a| a.standoff));
    (said.unwrap_or(Mm(STANDOFF)), said.is_some())
}

impl<'a> Stack<'a> {
    /// Takes a figure apart.
    pub fn of(fitted: &'a FittedFigure) -> Self {
        let count = fitted.figure.limbs.len();
        let mut stack = Self {
            parts: Vec::new(),
            carried: Carried::new(),
            bars: (0..count).map(|i| track::bars(fitted, i)).collect(),
            assumed: vec![Vec::new(); count],
            not_checked: vec![Vec::new(); count],
        };
        stack.still(fitted);
        let mut carried: Carried = vec![None; fitted.figure.actuators.len()];
        for index in 0..count {
            stack.limb(fitted, index, &mut carried);
        }
        stack.motors(fitted, &carried);
        stack.carried = carried;
        stack
    }

    /// Every layer, front to back.
    pub fn layers(&self) -> Vec<Layer> {
        let mut layers: Vec<Layer> = self.parts.iter().map(|p| p.layer.clone()).collect();
        layers.sort_by(|a, b| {
            let by = a.depth.front.total_cmp(&b.depth.front);
            by.then(a.depth.back.total_cmp(&b.depth.back)).then(a.name.cmp(&b.name))
        });
        layers.dedup();
        layers
    }

    pub(super) fn push(
        &mut self,
        layer: Layer,
        corners: Vec<Corner>,
        radius: f64,
    ) -> &mut Part<'a> {
        let own = Track::Still;
        let (limb, member, motor, shaft, under) = (None, None, None, None, None);
        self.parts.push(Part { layer, limb, member, motor, corners, radius, own, shaft, under });
        self.parts.last_mut().expect("a part was pushed in the line above")
    }

    /// Board and frame.
    fn still(&mut self, fitted: &FittedFigure) {
        let thick = board_thickness(fitted);
        if let Some(outline) = &fitted.figure.board.outline {
            let corners = outline.corners().iter().map(|p| [p.x, p.y]).collect();
            let name = "board".to_owned();
            let depth = Depth::from(0.0, thick);
            self.push(Layer { name, role: Role::Board, depth, assumed: false }, corners, 0.0);
        }
        for (n, m) in fitted.figure.frame.iter().enumerate() {
            let Some(corners) = member(m) else { continue };
            let depth = Depth::from(thick, m.depth.0);
            let name = "frame".to_owned();
            let layer = Layer { name, role: Role::Member, depth, assumed: false };
            self.push(layer, corners, 0.0).member = Some(n);
        }
    }

    /// Where a limb's sheet lies, and whether how far it hangs off was said: before or
    /// behind what carries it, board and frame or another limb.
    fn plate(fitted: &FittedFigure, index: usize, storey: usize) -> (Depth, bool) {
        let limb = &fitted.figure.limbs[index];
        let thick = limb.sheet.as_ref().and_then(|s| s.thickness).map_or(SHEET, |t| t.0);
        let gap = limb.build.gap.map_or(SPACER, |g| g.0);
        let under = limb.carrier.filter(|_| storey < fitted.figure.limbs.len());
        let (under, said) = match under {
            Some(carrier) => Self::plate(fitted, carrier, storey + 1),
            None => {
                let (back, guessed) = bushing_end(fitted, limb);
                (Depth { front: 0.0, back }, limb.mount == Mount::Front || !guessed)
            }
        };
        let depth = match limb.mount {
            Mount::Front => Depth::from(under.front - gap - thick, thick),
            Mount::Behind => Depth::from(under.back + gap, thick),
        };
        (depth, said && limb.build.gap.is_some())
    }

    /// A limb with lever, rod, crank and bolt.
    fn limb(&mut self, fitted: &'a FittedFigure, index: usize, carried: &mut Carried) {
        let figure = &fitted.figure;
        let limb = &figure.limbs[index];
        let name = &limb.name.value;
        let (end, guessed) = bushing_end(fitted, limb);
        let (depth, gapped) = Self::plate(fitted, index, 0);
        let motor = figure.motor_of(index);
        let corners: Option<Vec<Corner>> =
            limb.silhouette().map(|o| o.corners().iter().map(|p| [p.x, p.y]).collect());
        let own = track::own(fitted, index);
        match (corners, limb.poisoned) {
            (_, true) => return,
            (None, _) => self.not_checked[index].push(Note::new(
                "room for the limb (its shape is not known)",
                "outline (x, y) (x, y) (x, y) mm",
            )),
            (Some(corners), _) => {
                let shaft = track::on_shaft(fitted, index, &corners).map(Track::Shaft);
                if own.is_none() && shaft.is_none() {
                    let faulty = fitted.limbs[index].mechanism.as_ref().is_some_and(|m| m.faulty());
                    let first = match faulty {
                        true => "the error in how it moves is mended",
                        false => "how it moves is computed",
                    };
                    self.not_checked[index].push(Note::after("room for the limb", first));
                } else {
                    let assumed = match limb.mount {
                        Mount::Behind if limb.carrier.is_none() => guessed,
                        _ => !gapped,
                    };
                    let layer = Layer { name: name.clone(), role: Role::Limb, depth, assumed };
                    let part = self.push(layer, corners, 0.0);
                    (part.limb, part.motor, part.shaft) = (Some(index), motor, shaft);
                    part.own = own.unwrap_or(Track::Still);
                    part.under = under(fitted, index);
                }
            }
        }
        self.drive(fitted, index, Base { depth, end, guessed }, carried);
    }

    /// Lever, bolt, crank and rod of a limb.
    fn drive(&mut self, fitted: &'a FittedFigure, index: usize, base: Base, carried: &mut Carried) {
        let figure = &fitted.figure;
        let limb = &figure.limbs[index];
        let name = &limb.name.value;
        let motor = figure.motor_of(index);
        // What a lever's back face is for a front limb, the limb itself is behind.
        let bar = pivot_bar(fitted, index);
        let held = match limb.mount {
            Mount::Front => Depth::from(base.end + SPACER, bar.as_ref().map_or(BAR, |b| b.thick.0)),
            Mount::Behind => base.depth,
        };
        if let (Some(bar), true) = (bar, pivot(limb).is_some()) {
            let corners = vec![[0.0, 0.0], [bar.pin.x, bar.pin.y]];
            let own = track::own(fitted, index);
            let shaft = track::on_shaft(fitted, index, &corners).map(Track::Shaft);
            if let Some(own) = own {
                let name = format!("{name} lever");
                let layer = Layer { name, role: Role::Lever, depth: held, assumed: true };
                let part = self.push(layer, corners, BAR_HALF);
                (part.limb, part.motor, part.own, part.shaft) = (Some(index), motor, own, shaft);
            }
        }
        let end = self.wheels(fitted, index, held, carried);
        let levered = self.lever_of(index);
        // Of a limb that rides the bolt goes through what carries it, and with it.
        let laid = bolts::laid(fitted, index, base.depth).filter(|_| limb.carrier.is_none());
        if let (Some(at), Some(laid)) = (pivot(limb), laid) {
            let from = match (limb.mount, end) {
                (_, Some(wheel)) => wheel,
                (Mount::Front, None) if !levered && laid.wheel.is_none() => held.front,
                _ => held.back,
            };
            let depth = Depth::from(from, laid.stands_out());
            let layer =
                Layer { name: format!("{name} bolt"), role: Role::Bolt, depth, assumed: true };
            let radius = nut_radius(limb.bolt.as_ref());
            let part = self.push(layer, vec![[at.x, at.y]], radius);
            part.limb = Some(index);
        }
        if limb.drive.is_none() {
            return;
        }
        let (Mm(standoff), said) = standoff(figure, limb);
        let crank = Depth::from(held.front + standoff, BAR);
        let taken = self.bars[index].crank.take();
        let rod = self.bars[index].rod.take();
        // A rod to a limb that rides on another runs between the two.
        let pushed = self.pushed(fitted, index);
        if pushed {
            let what = "room for the rod of a limb that rides on another";
            self.not_checked[index].push(Note::beyond(what, "turn it by hand and look"));
        }
        let rod = rod.filter(|_| !pushed);
        if !said && rod.is_some() {
            let what =
                format!("crank {} behind the lever", print::length(Mm(STANDOFF), figure.system));
            self.assumed[index].push(Note::new(what, "standoff 20 mm"));
        }
        self.cam(fitted, index, (held.front + standoff, said && !base.guessed), carried);
        if let Some((shaft, radius, track)) = taken {
            carry(carried, motor, crank);
            let layer = Layer {
                name: format!("{name} crank"),
                role: Role::Crank,
                depth: crank,
                assumed: !said || base.guessed,
            };
            // Without regard to its motor's time it may stand anywhere: a disc.
            let part = self.push(layer, vec![[0.0, 0.0], [radius, 0.0]], BAR_HALF);
            (part.limb, part.motor) = (Some(index), motor);
            part.own = Track::Turn { pivot: shaft, from: 0.0, to: 2.0 * std::f64::consts::PI };
            part.shaft = track.map(Track::Shaft);
        }
        if let Some(rod) = rod {
            // It is bent from the lever's plane to the crank's; where is the maker's
            // choice, unless the depth between them was said.
            let near = Depth { front: crank.front - 2.0 * ROD - SPACER, back: crank.front };
            let depth = match said {
                true if standoff > 0.0 => Depth { front: held.back.min(near.front), ..near },
                true => Depth { front: crank.back.min(held.front - 2.0 * ROD), back: held.front },
                false => near,
            };
            let assumed = !said || base.guessed;
            let layer = Layer { name: format!("{name} rod"), role: Role::Rod, depth, assumed };
            let part = self.push(layer, Vec::new(), ROD);
            (part.limb, part.motor) = (Some(index), motor);
            part.own = Track::Shaft(rod);
        }
    }

    /// Whether a limb has a lever of its own.
    fn lever_of(&self, index: usize) -> bool {
        self.parts.iter().any(|p| p.limb == Some(index) && p.layer.role == Role::Lever)
    }

    /// Whether a bar runs to a limb that rides on another.
    fn pushed(&self, fitted: &FittedFigure, index: usize) -> bool {
        let rods = |m: &Fitted| match m {
            Fitted::FourBar(_) => true,
            Fitted::Servo(servo) => servo.linkage.is_some(),
            Fitted::Drive(drive) => drive.exact.mechanism.rod().is_some(),
            Fitted::Spin(_) => false,
        };
        fitted.figure.limbs[index].carrier.is_some()
            && fitted.limbs[index].mechanism.as_ref().is_some_and(rods)
    }

    /// Shafts and bodies of motors.
    fn motors(&mut self, fitted: &FittedFigure, carried: &Carried) {
        for (index, actuator) in fitted.figure.actuators.iter().enumerate() {
            // Nothing says in which depth one that rides lies.
            if actuator.rides {
                continue;
            }
            let Some(at) = actuator.at.or_else(|| fitted.place_of(index)) else { continue };
            let Some(Depth { back, .. }) = carried[index] else { continue };
            let depth = Depth::from(back - BAR - SHAFT, BAR + SHAFT);
            let name = actuator.name.clone();
            let layer = Layer { name, role: Role::Shaft, depth, assumed: true };
            self.push(layer, vec![[at.x, at.y]], SHAFT / 2.0).motor = Some(index);
            let Some((width, height)) = actuator.motor.body else { continue };
            let (w, h) = (width.0 / 2.0, height.0 / 2.0);
            let corners = [[-w, -h], [w, -h], [w, h], [-w, h]];
            let corners = corners.map(|c| [at.x + c[0], at.y + c[1]]).to_vec();
            let plate = actuator.plate.map_or(0.0, |p| p.0);
            let depth = Depth::from(back + SPACER + plate, BODY);
            let name = actuator.name.clone();
            let layer = Layer { name, role: Role::Body, depth, assumed: true };
            self.push(layer, corners, 0.0).motor = Some(index);
        }
    }
}

/// A limb that rides by the shaft of the motor of what carries it, and that motor.
fn under(fitted: &FittedFigure, index: usize) -> Option<(usize, Track<'_>)> {
    let motor = fitted.figure.motor_of(fitted.figure.limbs[index].carrier?)?;
    Some((motor, Track::Ride(Box::new(ride(fitted, index, true)?))))
}

/// Where a limb and its bushing lie in depth.
#[derive(Clone, Copy)]
struct Base {
    depth: Depth,
    end: f64,
    /// Whether the frame under the pivot was not known.
    guessed: bool,
}
