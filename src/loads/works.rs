//! What a motor's train is made of, out of a figure's model and mechanisms, and the
//! paces it is asked for.

use super::bars::Bars;
use super::cycle::{Effort, MotorLoad, Rubs};
use super::guide::rails;
use super::guided::Rails;
use super::gust::Gust;
use super::mass::MassProperties;
use super::pace::{Eased, Pace};
use super::site::Site;
use super::standing::{self, Standing};
use super::train::{Above, Back, Friction, Part, Train};
use crate::fit::{Aboard, Ends, Fitted, FittedFigure, FittedServo, SizeName, StrutPace};
use crate::geometry::{BoardPoint, OnLimb, Point};
use crate::mechanism::{
    FourBar, Guide, Mechanism, Path, Rod, Role, Servo, ServoLink, Shaft, Span as Stretch, Spin,
    Transfer, Turned, TurnedWay, Way,
};
use crate::model::{
    Action, Actuator, DriveKind, Easing, Figure, Joint, Limb, MotorKind, Note, Return, Source, Span,
};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, Sec};

/// Friction of nylon on steel, where the bushing says nothing (common practice; between
/// 0.11 and 0.45 in tables).
const BUSHING: f64 = 0.25;
/// Friction of a wooden guide (common practice, no source).
pub(super) const GUIDE: f64 = 0.3;

/// A pace that a motor is asked for.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The motor.
    pub motor: usize,
    /// The pace.
    pub pace: Pace,
    /// Its speed for people: rpm, or mm/s.
    pub speed: Option<f64>,
    /// The gesture that asks for it.
    pub gesture: Option<String>,
}

/// A mechanism that is made here because the fit has no need of it.
pub(super) enum Made {
    /// What turns on and on.
    Spin(Spin, Shaft),
    /// A limb on a servo.
    Servo(Servo, Shaft),
    /// What moves a limb that rides from the board, its pivot where the carrier has it.
    Aboard(Aboard),
    /// On a plane that its carrier has turned.
    Turned(Turned, TurnedWay),
    /// A rod from a pin that stands on the board to a limb that rides on a moving one.
    Held(Rod, Way),
}

/// What moves one limb.
pub(super) enum Moves<'a> {
    Fitted(&'a dyn Mechanism, &'a dyn Path),
    Made(Made),
}

impl Moves<'_> {
    pub(super) fn both(&self) -> (&dyn Mechanism, &dyn Path) {
        match self {
            Self::Fitted(mechanism, path) => (*mechanism, *path),
            Self::Made(Made::Spin(spin, shaft)) => (spin, shaft),
            Self::Made(Made::Servo(servo, shaft)) => (servo, shaft),
            Self::Made(Made::Aboard(so)) => (&*so.mechanism, &so.way),
            Self::Made(Made::Turned(turned, way)) => (turned, way),
            Self::Made(Made::Held(rod, way)) => (rod, way),
        }
    }

    /// Its bars, and what they weigh.
    fn bars(&self, fitted: &FittedFigure, index: usize) -> Bars {
        let (mechanism, path) = self.both();
        let span = path.span();
        // From pin to pin at any place where the mechanism goes.
        let length = mechanism.rod().and_then(|[near, far]| {
            let input = path.at((span.from + span.to) / 2.0).ok()?;
            let limb = mechanism.position(&input).ok()?.limb;
            let (a, b) = (input.driver.place(near[0], near[1]), limb.place(far[0], far[1]));
            Some(libm::hypot(b.0 - a.0, b.1 - a.1))
        });
        Bars::of(fitted, index, mechanism, length)
    }
}

/// One limb of a motor, with everything its part needs.
struct Member<'a> {
    limb: usize,
    moves: Moves<'a>,
    pin: f64,
    mass: MassProperties,
    bars: Bars,
    friction: Friction,
    load: f64,
    back: Back,
    pulled: Option<f64>,
    above: Option<Above>,
    gust: Option<Gust>,
    stands: bool,
}

/// What one motor moves, and how.
pub struct Works<'a> {
    members: Vec<Member<'a>>,
    /// Its paces.
    pub asked: Vec<Asked>,
    /// Torque or force.
    pub effort: Effort,
    /// Radius of the spool its cord is wound on, mm.
    spool: f64,
    /// What keeps something from being known.
    pub not_known: Vec<Note>,
}

impl Works<'_> {
    /// The train of it.
    #[must_use]
    pub fn train(&self) -> Train<'_> {
        let parts = self.members.iter().map(|m| {
            let (mechanism, path) = m.moves.both();
            Part {
                limb: m.limb,
                mechanism,
                path,
                pin: m.pin,
                mass: m.mass,
                bars: m.bars,
                friction: m.friction,
                load: m.load,
                back: m.back,
                pulled: m.pulled,
                above: m.above,
                gust: m.gust.as_ref(),
                stands: m.stands,
            }
        });
        let unit = match self.effort {
            Effort::Torque => 1e-3,
            Effort::Force => 1.0,
            Effort::Winding => self.spool * 1e-3,
        };
        Train { parts: parts.collect(), unit }
    }
}

/// How a part's friction is known.
#[must_use]
pub fn rubs(part: &Part<'_>) -> Rubs {
    match part.friction {
        Friction::None => Rubs::Not,
        Friction::Given(t) => Rubs::Given(t.0),
        Friction::Bushing { coefficient, radius } => Rubs::Bolt(coefficient, radius),
        Friction::Guide(coefficient, _) => Rubs::Guide(coefficient),
    }
}

/// What a motor moves; `None` where a limb of it has no mechanism, no weight or an
/// error.
pub fn of<'a>(
    fitted: &'a FittedFigure,
    site: &Site,
    motor: usize,
    masses: &[Option<MassProperties>],
    standing: &Standing,
) -> Option<Works<'a>> {
    let figure = &*fitted.figure;
    let mut order: Vec<usize> = figure.driven_by(motor).collect();
    if order.is_empty() {
        return None;
    }
    // Those that hang on others first.
    order.sort_by_key(|&l| std::cmp::Reverse(depth(figure, l)));
    let own = order.clone();
    let held: Vec<usize> = standing::held(fitted, &own)
        .filter(|&l| !standing.without.contains(&l) && masses.get(l).is_some_and(Option::is_some))
        .collect();
    order.splice(0..0, held.iter().copied());
    let place = |limb: usize| order.iter().position(|&l| l == limb);
    let mut members = Vec::with_capacity(order.len());
    for &index in &order {
        let mass = masses.get(index).copied().flatten()?;
        let mass = with_riders(figure, index, mass, masses, &order);
        let held = held.contains(&index);
        members.push(member(fitted, site, index, mass, (standing, held), &place)?);
    }
    one_crank(&mut members);
    let lead = members.iter().find(|m| m.above.is_none())?;
    let spool = fitted.limbs[lead.limb].mechanism.as_ref().and_then(spool);
    let effort = effort(lead, spool);
    let (spool, not_known) = (spool.unwrap_or(0.0), Vec::new());
    let mut works = Works { members, asked: Vec::new(), effort, spool, not_known };
    works.asked = asked(fitted, site, motor, &own, &mut works.not_known);
    let turned = own.last().and_then(|&l| standing.plane(fitted, l));
    for asked in &mut works.asked {
        if let (Pace::Eased(eased), Some(by)) = (&mut asked.pace, turned) {
            *eased = eased.turned(by.rad().0);
        }
    }
    Some(works)
}

/// Limbs on one crank pin have one crank between them: the heaviest that was said.
fn one_crank(members: &mut [Member<'_>]) {
    let mass = |m: &Member<'_>| m.bars.crank.map_or(0.0, |c| c.mass.0);
    for at in 0..members.len() {
        let same = |other: &Member<'_>| (other.pin - members[at].pin).abs() < 1e-9;
        let heavier = members.iter().enumerate().any(|(n, other)| {
            n != at && same(other) && (mass(other), at) > (mass(&members[at]), n)
        });
        if heavier || members[at].above.is_some() {
            members[at].bars.crank = None;
        }
    }
}

fn depth(figure: &Figure, limb: usize) -> usize {
    let mut at = limb;
    for depth in 0..=figure.limbs.len() {
        match figure.limbs[at].drive.as_ref().map(|d| d.source) {
            Some(Source::Limb(above)) => at = above,
            _ => return depth,
        }
    }
    0
}

/// Radius of the spool that winds a limb's cord, mm.
pub(in crate::loads) fn spool(mechanism: &Fitted) -> Option<f64> {
    let drive = mechanism.as_drive()?;
    drive.sizes.iter().find(|s| s.name == SizeName::Spool).map(|s| s.drilled / 2.0)
}

fn effort(lead: &Member<'_>, spool: Option<f64>) -> Effort {
    let (_, path) = lead.moves.both();
    match (path.is_length(), spool) {
        (true, Some(_)) => Effort::Winding,
        (true, None) => Effort::Force,
        (false, _) => Effort::Torque,
    }
}

/// A limb's mass with the limbs that ride on it and stand still against it here: those
/// that nothing moves, and those with a motor of their own.
fn with_riders(
    figure: &Figure,
    index: usize,
    mass: MassProperties,
    masses: &[Option<MassProperties>],
    moved: &[usize],
) -> MassProperties {
    let carrier = &figure.limbs[index];
    let riders = figure
        .limbs
        .iter()
        .enumerate()
        .filter(|(at, l)| l.carrier == Some(index) && !moved.contains(at));
    riders.fold(mass, |sum, (at, rider)| {
        let on = |p: Point<OnLimb>| -> Option<Point<OnLimb>> {
            let (origin, axis) = rider.drawn()?;
            let board = BoardPoint::mm(
                origin.x + p.x * axis.x() - p.y * axis.y(),
                origin.y + p.x * axis.y() + p.y * axis.x(),
            );
            carrier.own(board)
        };
        let Some(own) = masses.get(at).copied().flatten() else { return sum };
        let own = with_riders(figure, at, own, masses, moved);
        on(own.centre).map_or(sum, |c| sum.with(own.mass, c, own.central_inertia()))
    })
}

fn member<'a>(
    fitted: &'a FittedFigure,
    site: &Site,
    index: usize,
    mass: MassProperties,
    (standing, held): (&Standing, bool),
    place: &dyn Fn(usize) -> Option<usize>,
) -> Option<Member<'a>> {
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    let drive = limb.drive.as_ref()?;
    let mechanism = fitted.limbs[index].mechanism.as_ref()?;
    let (moves, pin) = match (limb.carrier, drive.source) {
        (Some(carrier), Source::Motor(_)) if held => standing.held(fitted, index, carrier)?,
        (Some(_), Source::Motor(_)) => standing.moves(fitted, index)?,
        _ => moves(limb, mechanism)?,
    };
    let above = match drive.source {
        Source::Motor(_) if held => Some(Above { part: place(limb.carrier?)?, role: Role::Host }),
        Source::Motor(_) => None,
        Source::Limb(above) => Some(Above { part: place(above)?, role: role(mechanism)? }),
    };
    let (back, pulled) = back(&drive.mechanism, mechanism);
    let bars = moves.bars(fitted, index);
    let coefficient = limb.bushing.as_ref().and_then(|b| b.friction).map_or(BUSHING, |f| f.0);
    Some(Member {
        limb: index,
        moves,
        pin,
        mass: bars.with_lever(mass),
        bars,
        friction: friction(limb, coefficient, rails(figure, index)),
        load: limb.load.map_or(0.0, |l| l.0),
        back,
        pulled,
        above,
        gust: Gust::on(limb, figure, site.winds.run, coefficient),
        stands: held,
    })
}

/// What rubs on a limb as it moves, with the friction of its bushing or the usual one.
pub(super) fn friction_of(limb: &Limb) -> Friction {
    let coefficient = limb.bushing.as_ref().and_then(|b| b.friction).map_or(BUSHING, |f| f.0);
    friction(limb, coefficient, None)
}

fn friction(limb: &Limb, coefficient: f64, rails: Option<Rails>) -> Friction {
    match (&limb.joint, limb.friction, &limb.bolt) {
        (Joint::Slide { .. }, ..) => Friction::Guide(GUIDE, rails),
        (_, Some(said), _) => Friction::Given(said),
        (_, None, Some(bolt)) => Friction::Bushing { coefficient, radius: bolt.diameter.0 / 2.0 },
        (_, None, None) => Friction::None,
    }
}

fn role(mechanism: &Fitted) -> Option<Role> {
    match mechanism {
        Fitted::Drive(d) => match d.made().way {
            Way::Above { role, .. } => Some(role),
            Way::Shaft(_) | Way::Extending(_) => None,
        },
        _ => None,
    }
}

pub(super) fn moves<'a>(limb: &Limb, mechanism: &'a Fitted) -> Option<(Moves<'a>, f64)> {
    if let Some(follows) = mechanism.follows() {
        return Some((Moves::Fitted(follows.mechanism, follows.path), follows.pin.rad().0));
    }
    let (pivot, axis) = limb.drawn()?;
    match mechanism {
        Fitted::Spin(spin) => {
            let (motor, limb) = (spin.ratio.abs(), 1.0);
            let transfer = match spin.ratio {
                r if r < 0.0 => Transfer::Gears { motor, limb },
                _ => Transfer::Belt { motor, limb },
            };
            let spin = Spin::new(pivot, transfer, axis.deg()).ok()?;
            Some((Moves::Made(Made::Spin(spin, Shaft::turning(pivot))), 0.0))
        }
        Fitted::Servo(servo) => match &servo.cord {
            Some(cord) => {
                let made = cord.made();
                Some((Moves::Fitted(&*made.mechanism, &made.way), cord.pin.rad().0))
            }
            None => Some((Moves::Made(on_servo(servo, pivot)), 0.0)),
        },
        Fitted::FourBar(_) | Fitted::Drive(_) => None,
    }
}

/// A servo's own linkage; its travel was checked by the fit.
fn on_servo(servo: &FittedServo, pivot: BoardPoint) -> Made {
    const ANY: (Deg, Deg) = (Deg(-1e5), Deg(1e5));
    let (link, at) = match servo.linkage {
        Some(bar) => (ServoLink::Rod(bar), bar.motor()),
        None => (ServoLink::Direct { offset: Deg(0.0) }, pivot),
    };
    Made::Servo(Servo { pivot, link, travel: ANY }, Shaft::turning(at))
}

/// What brings a limb back, and how its cord rubs where it is only pulled.
fn back(drive: &DriveKind, mechanism: &Fitted) -> (Back, Option<f64>) {
    let pulls = |sign: f64, back: Option<Return>| match back {
        Some(Return::Moment(t)) => Back::Torque(t * -sign),
        Some(Return::Force(f)) => Back::Force(f * -sign),
        // A spring of unknown strength is a note of the fit; it is not counted here.
        Some(Return::Gravity | Return::Spring) | None => Back::None,
    };
    match drive {
        DriveKind::Cord(cord) => {
            let side = mechanism
                .as_drive()
                .and_then(|d| d.made().mechanism.assembly())
                .map_or(1.0, |a| a.sign());
            (pulls(side, cord.back), Some(cord.rubs()))
        }
        DriveKind::Cam(cam) => (pulls(lifts(mechanism), cam.back), None),
        _ => (Back::None, None),
    }
}

/// Which way a cam lifts its limb: +1 along the slide or counter-clockwise.
fn lifts(mechanism: &Fitted) -> f64 {
    let Some(drive) = mechanism.as_drive() else { return 1.0 };
    let made = drive.made();
    let course = &made.course;
    let middle = (course.span.from + course.span.to) / 2.0;
    let push = made.way.at(middle).ok().and_then(|input| {
        let limb = made.mechanism.position(&input).ok()?.limb;
        let thrust = made.mechanism.thrust(&input, &limb)?;
        Some(match made.mechanism.guide() {
            Guide::Slide(slide) => thrust.along.dot(slide.along),
            Guide::Pivot => thrust.arm(BoardPoint::mm(limb.x, limb.y)),
        })
    });
    if push.is_some_and(|p| p < 0.0) { -1.0 } else { 1.0 }
}

/// The paces a motor is asked for.
fn asked(
    fitted: &FittedFigure,
    site: &Site,
    motor: usize,
    order: &[usize],
    not_known: &mut Vec<Note>,
) -> Vec<Asked> {
    let figure = &*fitted.figure;
    let Some(&lead) = order.last() else { return Vec::new() };
    let actuator = &figure.actuators[motor];
    let Some(mechanism) = &fitted.limbs[lead].mechanism else { return Vec::new() };
    let seen = fitted.limbs[lead].riding.as_ref().map_or(figure, |r| &r.figure);
    let limb = &seen.limbs[lead];
    match mechanism {
        Fitted::Servo(servo) => match fitted.carried_at_rest(lead) {
            // What it is told holds with its carrier at rest.
            Some(Fitted::Servo(at_rest)) => {
                let told = at_rest.linkage;
                on_a_servo(limb, (&at_rest, told), site, motor, not_known)
            }
            _ => on_a_servo(limb, (servo, None), site, motor, not_known),
        },
        _ => {
            let strut = limb.drive.as_ref().and_then(|d| match &d.mechanism {
                DriveKind::Strut(s) => Some(&**s),
                _ => None,
            });
            if let Some(said) = strut {
                let stretch = stretch(mechanism);
                let stroke = Mm(stretch.to - stretch.from);
                let (out, back) = match StrutPace::of(said, actuator, stroke) {
                    Some(StrutPace::Ram(ram)) => (ram.speed, ram.speed),
                    Some(StrutPace::Air(air)) => (stroke.0 / air.up.0, stroke.0 / air.down.0),
                    None => (0.0, 0.0),
                };
                return vec![shuttle(motor, stretch, out, back)];
            }
            let wound = limb.drive.as_ref().and_then(|d| match &d.mechanism {
                DriveKind::Cord(c) => Some(&**c),
                _ => None,
            });
            let winds = !matches!(actuator.motor.kind, MotorKind::Brushed | MotorKind::Synchronous);
            if let Some(cord) = wound.filter(|_| winds) {
                // Spool, ram and cylinder have their own speed, whatever a gesture's cycle says.
                let stretch = stretch(mechanism);
                let drawn = Mm(stretch.to - stretch.from);
                let pace = StrutPace::of_cord(cord, &actuator.motor, drawn);
                if pace.is_none() {
                    let what = "torque at speed (how fast the cord is drawn in is not known)";
                    let clause = match actuator.motor.kind {
                        MotorKind::Spool => "free 30 rpm 0.5 A",
                        _ => "speed 0.01 m/s",
                    };
                    not_known.push(Note::new(what, clause));
                }
                let (draws_in, lets_out) = pace.map_or((0.0, 0.0), |p| p.cord_speeds(drawn));
                return vec![shuttle(motor, stretch, lets_out, draws_in)];
            }
            on_a_shaft(figure, order, mechanism, actuator, site, motor, not_known)
        }
    }
}

/// To and fro over a stretch, steadily each way.
fn shuttle(motor: usize, stretch: Stretch, out: f64, back: f64) -> Asked {
    let pace = Pace::Shuttle { from: stretch.from, to: stretch.to, out, back };
    Asked { motor, pace, speed: (out > 0.0).then(|| out.max(back)), gesture: None }
}

fn stretch(mechanism: &Fitted) -> Stretch {
    match mechanism {
        Fitted::Drive(d) => d.made().course.span,
        _ => Stretch::TURN,
    }
}

/// The cycles of all limbs of a motor that goes round; its free speed where there is none.
fn on_a_shaft(
    figure: &Figure,
    order: &[usize],
    mechanism: &Fitted,
    actuator: &Actuator,
    site: &Site,
    motor: usize,
    not_known: &mut Vec<Note>,
) -> Vec<Asked> {
    let stretch = stretch(mechanism);
    if !stretch.closed {
        // A crank that is blocked has no cycle, and at its stops no finite speed.
        return Vec::new();
    }
    // One turn of the limb is a cycle of what spins.
    let per_limb_turn = match mechanism {
        Fitted::Spin(s) if s.ratio != 0.0 => 1.0 / s.ratio.abs(),
        _ => 1.0,
    };
    let mut speeds: Vec<(f64, Option<String>)> = Vec::new();
    let mut unknown = false;
    for gesture in order.iter().flat_map(|&l| &figure.limbs[l].gestures) {
        let (span, turns) = match &gesture.action {
            Action::Sweep { cycle: Some(c), .. } | Action::Stroke { cycle: Some(c), .. } => {
                (c.value, 1.0 / times(figure, order))
            }
            Action::Spin { turn, per } => (per.value, turn.0.abs() / 360.0 * per_limb_turn),
            _ => continue,
        };
        match site.seconds(span) {
            Some(t) if t.0 > 0.0 => {
                speeds.push((turns * 60.0 / t.0, Some(gesture.name.value.clone())));
            }
            _ => unknown = true,
        }
    }
    speeds.sort_by(|a, b| b.0.total_cmp(&a.0));
    speeds.dedup_by(|a, b| (a.0 - b.0).abs() <= 1e-9 * b.0);
    speeds.truncate(MOST_SPEEDS);
    if unknown {
        not_known.push(Note::new("torque at the speed of the music (no song)", "cycle 2 s"));
    }
    if speeds.is_empty() {
        speeds.extend(actuator.motor.free.map(|f| (f.0, None)));
    }
    if speeds.is_empty() {
        let free = format!("motor {} {{ free 45 rpm 1.2 A }}", actuator.motor.name);
        not_known.push(Note::new("torque at speed (no cycle, no free speed)", free));
        speeds.push((0.0, None));
    }
    let over = (stretch.to - stretch.from) * per_limb_turn;
    let way = actuator.turns.sign();
    let asked = |(rpm, gesture)| {
        let speed = rpm * std::f64::consts::PI / 30.0;
        let pace = Pace::Round { from: stretch.from, over, speed, way };
        Asked { motor, pace, speed: Some(rpm).filter(|s| *s > 0.0), gesture }
    };
    speeds.into_iter().map(asked).collect()
}

/// So many different cycles of one motor are looked at, the fastest first.
const MOST_SPEEDS: usize = 4;

/// How often a cam does its motion in one turn.
fn times(figure: &Figure, order: &[usize]) -> f64 {
    let cams = order.iter().filter_map(|&l| match &figure.limbs[l].drive.as_ref()?.mechanism {
        DriveKind::Cam(cam) => Some(f64::from(cam.times.max(1))),
        _ => None,
    });
    cams.fold(1.0, f64::max)
}

/// The moves of a limb on a servo.
fn on_a_servo(
    limb: &Limb,
    (servo, told): (&FittedServo, Option<FourBar>),
    site: &Site,
    motor: usize,
    not_known: &mut Vec<Note>,
) -> Vec<Asked> {
    let Some(known) = known(servo) else { return Vec::new() };
    let mut asked = Vec::new();
    let mut add =
        |(from, to): (Deg, Deg), time: Option<Sec>, easing: Easing, gesture: Option<&str>| {
            if (to - from).abs().0 < 1e-9 {
                return;
            }
            let by = servo.turn_for((from, to));
            let [from, to] = [from + by, to + by].map(|a| a.max(servo.low).min(servo.high).rad().0);
            let pace = Pace::Eased(Eased { from, to, time, easing, known, told });
            asked.push(Asked { motor, pace, speed: None, gesture: gesture.map(str::to_owned) });
        };
    let angles = named(limb);
    for gesture in &limb.gestures {
        let name = Some(gesture.name.value.as_str());
        let mut time = |span: Option<Span>| {
            let time = span.and_then(|s| site.seconds(s)).filter(|t| t.0 > 0.0);
            if span.is_some() && time.is_none() {
                not_known.push(Note::new("torque at the speed of the music (no song)", "over 2 s"));
            }
            time
        };
        match &gesture.action {
            Action::Sweep { from, to, cycle, easing, .. } => {
                let way = time(cycle.map(|c| c.value)).map(|t| t / 2.0);
                add((from.value, to.value), way, *easing, name);
            }
            Action::Turn { to, over } => {
                let to = to.value;
                let far = |a: &&Deg, b: &&Deg| (**a - to).abs().0.total_cmp(&(**b - to).abs().0);
                let from =
                    limb.rest.map(|r| r.value).or_else(|| angles.iter().max_by(far).copied());
                if let Some(from) = from {
                    add((from, to), time(over.map(|o| o.value)), Easing::Smooth, name);
                }
            }
            Action::Follow { range: Some((a, b)), .. } => {
                add((*a, *b), None, Easing::Natural, name)
            }
            _ => {}
        }
    }
    if asked.is_empty() {
        let (from, to) = (servo.low.rad().0, servo.high.rad().0);
        let pace =
            Pace::Eased(Eased { from, to, time: None, easing: Easing::Natural, known, told });
        asked.push(Asked { motor, pace, speed: None, gesture: None });
    }
    asked
}

/// Two limb angles with the coordinate there, rad.
fn known(servo: &FittedServo) -> Option<[(f64, f64); 2]> {
    let (low, high) = (servo.low.rad().0, servo.high.rad().0);
    if let Some(cord) = &servo.cord {
        // In the turn of the circle in which its gestures count.
        let ends = Ends::of(&cord.made().course.travel);
        return Some([(low, ends.at_low), (high, ends.at_high)]);
    }
    let arm = |shaft: Deg| Some((servo.arm_at_zero? + shaft * servo.turns.sign()).rad().0);
    match servo.linkage {
        Some(_) => Some([(low, arm(servo.shaft_at_low)?), (high, arm(servo.shaft_at_high)?)]),
        None => Some([(low, low), (high, high)]),
    }
}

/// Every angle a limb's gestures name.
pub(super) fn named(limb: &Limb) -> Vec<Deg> {
    let mut angles: Vec<Deg> = limb.rest.iter().map(|r| r.value).collect();
    for gesture in &limb.gestures {
        match &gesture.action {
            Action::Sweep { from, to, .. } => angles.extend([from.value, to.value]),
            Action::Turn { to, .. } | Action::Pose(to) => angles.push(to.value),
            Action::Follow { range: Some((a, b)), .. } => angles.extend([*a, *b]),
            _ => {}
        }
    }
    angles
}

/// What a limb's torque was computed on that nobody said.
pub fn assumed(fitted: &FittedFigure, part: &Part<'_>, load: &MotorLoad) -> Vec<Note> {
    let limb = &fitted.figure.limbs[part.limb];
    let mut notes = part.bars.assumed(fitted.figure.system);
    match part.friction {
        Friction::Guide(f, rails) => {
            let share = decimal(f * 100.0, 0);
            notes.push(match rails {
                Some(_) => Note::new(format!("friction of its guide {share} %"), ""),
                None => {
                    let what = format!(
                        "friction of its guide {share} %, as if it were pushed and weighed in line with it"
                    );
                    Note::new(what, "guide 120 mm")
                }
            });
        }
        Friction::Bushing { coefficient, .. }
            if limb.bushing.as_ref().is_none_or(|b| b.friction.is_none()) =>
        {
            let share = decimal(coefficient * 100.0, 0);
            notes
                .push(Note::new(format!("friction in its bushing {share} %"), "friction 0.05 N.m"));
        }
        _ => {}
    }
    if let (None, Some(rpm), Effort::Torque) = (&load.gesture, load.speed, load.effort) {
        let what = format!("torque at the motor's free speed, {} rpm", decimal(rpm, 1));
        notes.push(Note::new(what, "cycle 2 s"));
    }
    notes
}
