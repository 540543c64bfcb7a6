//! Everything one motor moves, and what it takes to move it.
//!
//! The torque comes from virtual work: what weight, inertia, friction and loads of
//! all limbs take per radian of the shaft (N per mm of a ram). Forces are looked for
//! only where friction depends on them: rods, slots and cords push along a known line,
//! so the bolt's or guide's load follows from the balance of each limb, those that
//! ride on others first.

use super::bars::{Asked, Bars};
use super::guided::{Guided, Rails, Stuck};
use super::gust::Gust;
use super::mass::{GRAVITY, MassProperties};
use super::pace::Instant;
use crate::geometry::{BoardPoint, Body, Dir, Jet};
use crate::mechanism::{Blocked, Guide, Input, Mechanism, Path, Role, Thrust};
use crate::units::{Newton, NewtonMetre};

/// What rubs where a limb is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Friction {
    /// Nothing that is known of.
    None,
    /// A torque that was said.
    Given(NewtonMetre),
    /// A bolt in its bushing: coefficient and the bolt's radius, mm.
    Bushing {
        /// Coefficient of friction.
        coefficient: f64,
        /// Radius of the bolt, mm.
        radius: f64,
    },
    /// A limb on its guide: coefficient, and the piece that the guide holds where it was
    /// said.
    Guide(f64, Option<Rails>),
}

/// What presses a limb back, besides its weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Back {
    /// Nothing.
    None,
    /// A torque on a limb that turns, counter-clockwise positive.
    Torque(NewtonMetre),
    /// A force along its slide.
    Force(Newton),
}

/// What limb a limb hangs on, among those of the same motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Above {
    /// Its index among the parts.
    pub part: usize,
    /// Whether it pushes or carries.
    pub role: Role,
}

/// One limb at work.
pub struct Part<'a> {
    /// Its index in the figure.
    pub limb: usize,
    /// Its mechanism.
    pub mechanism: &'a dyn Mechanism,
    /// What moves that.
    pub path: &'a dyn Path,
    /// The coordinate of its own crank after the motor's, rad.
    pub pin: f64,
    /// What it weighs.
    pub mass: MassProperties,
    /// Its crank and rod, where they weigh something; its lever is counted with the limb.
    pub bars: Bars,
    /// What rubs.
    pub friction: Friction,
    /// A steady torque on it, counter-clockwise positive, N.m.
    pub load: f64,
    /// What presses it back.
    pub back: Back,
    /// Of a limb that can only be pulled, how its cord rubs on what it runs over.
    pub pulled: Option<f64>,
    /// The limb it hangs on.
    pub above: Option<Above>,
    /// The wind at it.
    pub gust: Option<&'a Gust>,
    /// Whether it has a motor of its own that stands still here: it counts only for what
    /// it adds to the limb that carries it.
    pub stands: bool,
}

/// Everything one motor moves, limbs that ride on others first.
pub struct Train<'a> {
    /// Its limbs.
    pub parts: Vec<Part<'a>>,
    /// 1e-3 where the coordinate is an angle (mm of travel per rad become m), 1 where
    /// it is mm.
    pub unit: f64,
}

/// What a motor gives at one instant, in the direction it goes: N.m, or N.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Work {
    /// Against weight.
    pub gravity: f64,
    /// Against inertia.
    pub inertia: f64,
    /// Against friction.
    pub friction: f64,
    /// Against loads and springs.
    pub load: f64,
    /// Against the wind at its worst; not part of the total in calm air.
    pub wind: f64,
}

impl Work {
    /// In calm air.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.gravity + self.inertia + self.friction + self.load
    }

    /// As an effort the other way; wind is at its worst either way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let mut all = Self::default();
        all.add(self, -1.0);
        Self { wind: self.wind, ..all }
    }

    fn add(&mut self, o: &Self, k: f64) {
        self.gravity += k * o.gravity;
        self.inertia += k * o.inertia;
        self.friction += k * o.friction;
        self.load += k * o.load;
        self.wind += k * o.wind;
    }
}

/// What the limbs that hang on a limb do to it: a force in N, and its moment about the
/// board's origin in N.mm.
#[derive(Clone, Copy, Debug, Default)]
struct Hung {
    x: f64,
    y: f64,
    moment: f64,
}

impl Hung {
    fn put(&mut self, x: f64, y: f64, at: BoardPoint) {
        self.x += x;
        self.y += y;
        self.moment += at.x * y - at.y * x;
    }

    fn about(&self, p: BoardPoint) -> f64 {
        self.moment - (p.x * self.y - p.y * self.x)
    }
}

/// Rounds in which friction and the load on the bolt find each other; each makes the
/// rest smaller by coefficient x bolt radius / lever, about 0.01.
const ROUNDS: usize = 4;
/// More limbs than most motors move.
const FEW: usize = 4;

fn still(body: &Body<Jet>) -> Body<f64> {
    Body { x: body.x.v, y: body.y.v, cos: body.cos.v, sin: body.sin.v }
}

/// A limb at one place of its motor, however fast that goes there.
#[derive(Clone, Copy, Debug)]
pub struct Pose {
    input: Input<Jet>,
    limb: Body<Jet>,
}

/// A limb at one instant: velocities by the coordinate, accelerations by time.
struct Moving<'p, 'a> {
    part: &'p Part<'a>,
    /// Where it is pushed.
    at: Input<f64>,
    limb: Body<f64>,
    pivot: BoardPoint,
    /// Centre of mass on the board.
    centre: BoardPoint,
    /// How the centre moves by the coordinate, mm.
    speed: [f64; 2],
    /// How it is accelerated, m/s2.
    acceleration: [f64; 2],
    /// How the limb turns by the coordinate, rad; and against what carries it.
    turn: f64,
    bend: f64,
    /// How it is accelerated, rad/s2.
    turning: f64,
    way: f64,
    /// What its crank and rod ask, and what half a rod that weighs something puts on each
    /// of its pins.
    bars: Asked,
    pins: Option<[([f64; 2], BoardPoint); 2]>,
}

impl<'p, 'a> Moving<'p, 'a> {
    fn of(part: &'p Part<'a>, (input, limb): (&Input<Jet>, &Body<Jet>), now: &Instant) -> Self {
        let pins = part.bars.rod.map(|_| {
            let [near, far] = part.bars.pins;
            let ends = [input.driver.place(near[0], near[1]), limb.place(far[0], far[1])];
            ends.map(|p| (part.bars.on_pin(p, now), BoardPoint::mm(p.0.v, p.1.v)))
        });
        let (w, a) = (now.speed, now.acceleration);
        let rate = |j: Jet| j.d * a + j.dd * w * w;
        let c = part.mass.centre;
        let (cx, cy) = limb.place(c.x, c.y);
        let (turn, second) = limb.turn_rates();
        Self {
            part,
            at: Input {
                driver: still(&input.driver),
                host: still(&input.host),
                coordinate: input.coordinate.v,
            },
            pivot: BoardPoint::mm(limb.x.v, limb.y.v),
            limb: still(limb),
            centre: BoardPoint::mm(cx.v, cy.v),
            speed: [cx.d, cy.d],
            acceleration: [rate(cx) * 1e-3, rate(cy) * 1e-3],
            turn,
            bend: turn - input.host.turn_rates().0,
            turning: turn * a + second * w * w,
            way: now.way,
            bars: part.bars.work(input, limb, now),
            pins,
        }
    }

    fn slide(&self) -> Option<Dir> {
        match self.part.mechanism.guide() {
            Guide::Slide(slide) => Some(slide.along),
            Guide::Pivot => None,
        }
    }

    /// Springs and loads on a limb that turns, N.m; on one that slides, N.
    fn helped(&self) -> f64 {
        let back = match self.part.back {
            Back::None => 0.0,
            Back::Torque(t) => t.0,
            Back::Force(f) => f.0,
        };
        back + self.part.load
    }

    /// Force that its own mass and what hangs on it take, N.
    fn needed(&self, hung: &Hung) -> [f64; 2] {
        let m = self.part.mass.mass.0;
        let [ax, ay] = self.acceleration;
        [m * ax - hung.x, m * (ay + GRAVITY) - hung.y]
    }

    /// What its own mass and what hangs on it take about a point of its own, N.mm.
    fn asked_about(&self, point: BoardPoint, hung: &Hung) -> f64 {
        let r = self.centre - point;
        let m = self.part.mass.mass.0;
        let [ax, ay] = self.acceleration;
        let own = m * (r.x * (ay + GRAVITY) - r.y * ax)
            + self.part.mass.central_inertia() * self.turning * 1e3;
        own - hung.about(point)
    }

    /// Push of the mechanism, load on bolt or guide and friction there (N.m, or N on a
    /// guide), found together.
    fn balance(&self, hung: &Hung) -> Result<Balance, Stuck> {
        match self.slide() {
            Some(u) => self.on_guide(hung, u),
            None => Ok(self.on_bolt(hung)),
        }
    }

    fn on_guide(&self, hung: &Hung, u: Dir) -> Result<Balance, Stuck> {
        let thrust = self.part.mechanism.thrust(&self.at, &self.limb);
        let [nx, ny] = self.needed(hung);
        let (coefficient, rails) = match self.part.friction {
            Friction::Guide(coefficient, rails) => (coefficient, rails),
            _ => (0.0, None),
        };
        let middle = rails.map_or(self.pivot, |r| r.middle(self.pivot, u));
        // Where no line is known it is pushed along its guide.
        let push = thrust.unwrap_or(Thrust { at: middle, along: u });
        let left = |x: f64, y: f64| y * u.x() - x * u.y();
        let v = self.speed[0] * u.x() + self.speed[1] * u.y();
        let guided = Guided {
            required: nx * u.x() + ny * u.y() - self.helped(),
            along: push.along.dot(u),
            aside: [left(nx, ny), left(push.along.x(), push.along.y())],
            turned: [self.asked_about(middle, hung), push.arm(middle)],
            way: if v * self.way >= 0.0 { 1.0 } else { -1.0 },
            coefficient,
            rails,
        };
        let force = guided.push().ok_or(Stuck::Guide)?;
        let couple = self.asked_about(self.pivot, hung) - force * push.arm(self.pivot);
        Ok(Balance {
            thrust: thrust.map(|t| (t.at, t.along)),
            push: force,
            hold: [nx - force * push.along.x(), ny - force * push.along.y()],
            friction: guided.friction(force),
            couple: couple * 1e-3,
            swing: self.turning,
            ..Balance::default()
        })
    }

    fn on_bolt(&self, hung: &Hung) -> Balance {
        let thrust = self.part.mechanism.thrust(&self.at, &self.limb);
        let [nx, ny] = self.needed(hung);
        let required = self.asked_about(self.pivot, hung) - self.helped() * 1e3;
        let arm = thrust.map_or(0.0, |t| t.arm(self.pivot));
        let turns = if self.bend * self.way >= 0.0 { 1.0 } else { -1.0 };
        let mut found = Balance { thrust: thrust.map(|t| (t.at, t.along)), ..Balance::default() };
        for _ in 0..ROUNDS {
            let rubs = turns * found.friction * 1e3;
            // With no line known, a couple turns the limb and loads no bolt.
            found.push = if arm.abs() > 1e-9 { (required + rubs) / arm } else { 0.0 };
            let push = thrust.map_or((0.0, 0.0), |t| (t.along.x(), t.along.y()));
            found.hold = [nx - found.push * push.0, ny - found.push * push.1];
            let next = match self.part.friction {
                Friction::None | Friction::Guide(..) => 0.0,
                Friction::Given(t) => t.0,
                Friction::Bushing { coefficient, radius } => {
                    let [x, y] = found.hold;
                    coefficient * radius * 1e-3 * (x * x + y * y).sqrt()
                }
            };
            let settled = (next - found.friction).abs() <= 1e-9 * next;
            found.friction = next;
            if settled {
                break;
            }
        }
        found.couple = self.helped() - turns * found.friction;
        found.swing = self.turning;
        found.bare = required * 1e-3;
        found.turning = found.bare + turns * found.friction;
        found
    }

    /// What it takes, N.mm by rad or N by mm.
    fn work(&self, found: &Balance) -> Work {
        let m = self.part.mass.mass.0;
        let [vx, vy] = self.speed;
        let [ax, ay] = self.acceleration;
        let central = self.part.mass.central_inertia() * self.turning * 1e3;
        // A slide's way, mm; or the bend in mm per N.m.
        let way = self.slide().map_or(self.bend * 1e3, |u| vx * u.x() + vy * u.y());
        let gust = self.part.gust.map_or(0.0, |g| match (self.slide(), self.part.friction) {
            (Some(u), Friction::Guide(f, _)) => g.push(&self.limb, u.x(), f),
            (Some(u), _) => g.push(&self.limb, u.x(), 0.0),
            (None, _) => g.torque(&self.limb),
        });
        let mut work = Work {
            gravity: self.way * m * GRAVITY * vy,
            inertia: self.way * (m * (ax * vx + ay * vy) + central * self.turn),
            friction: way.abs() * found.friction,
            load: -self.way * self.helped() * way,
            wind: way.abs() * gust,
        };
        if let Some(rubs) = self.part.pulled {
            self.through_cord(&mut work, found.push, rubs);
        }
        work.gravity += self.bars.0;
        work.inertia += self.bars.1;
        work
    }

    /// A cord only pulls, and rubs on its eyes: what the motor feels of a limb on one.
    fn through_cord(&self, work: &mut Work, pull: f64, rubs: f64) {
        if pull <= 0.0 {
            *work = Work { wind: work.wind, ..Work::default() };
            return;
        }
        let total = work.total();
        let grows = self.part.mechanism.drag(&self.at, rubs);
        let felt = if total >= 0.0 { total * grows } else { total / grows };
        work.friction += felt - total;
    }
}

/// See [`Moving::balance`].
#[derive(Clone, Copy, Debug, Default)]
struct Balance {
    thrust: Option<(BoardPoint, Dir)>,
    /// Push along it, N.
    push: f64,
    /// Force of bolt or guide on the limb, N.
    hold: [f64; 2],
    /// Friction: N.m, or N.
    friction: f64,
    /// Couple of what holds the limb on it, N.m: what rubs and presses back on its bolt, or
    /// both edges of its guide, about its own point there.
    couple: f64,
    /// Torque of what drives it, N.m.
    turning: f64,
    /// The same without friction.
    bare: f64,
    /// How the limb is accelerated, rad/s2.
    swing: f64,
}

/// Forces in one limb's mechanism at one instant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Forces {
    /// Push along rod, slot or cord, N; negative where it pulls. `None` where the limb is
    /// turned by a couple.
    pub push: Option<f64>,
    /// Load on bolt or guide, N.
    pub hold: f64,
    /// Friction there: N.m, or N.
    pub friction: f64,
    /// Torque of lever, cord or couple on the limb about its pivot, N.m; nought on a
    /// slide.
    pub turning: f64,
    /// The same without what rubs, which only ever holds back, N.m.
    pub bare: f64,
    /// How the limb is accelerated, rad/s2, counter-clockwise positive.
    pub swing: f64,
}

impl Train<'_> {
    /// What the motor gives at one instant.
    ///
    /// # Errors
    /// Where a mechanism does not go there, or a guide binds.
    pub fn work(&self, now: &Instant) -> Result<Work, Stuck> {
        let mut sum = Work::default();
        self.each(now, None, |_, work, _| sum.add(work, 1.0))?;
        Ok(sum)
    }

    /// What it gives for one of its limbs alone.
    ///
    /// # Errors
    /// Where a mechanism does not go there, or a guide binds.
    pub fn work_of(&self, part: usize, now: &Instant) -> Result<Work, Stuck> {
        let mut own = Work::default();
        self.each(now, None, |index, work, _| {
            if index == part {
                own = *work;
            }
        })?;
        Ok(own)
    }

    /// Adds where each limb is at one place of the motor, for as many looks at them as are
    /// wanted.
    ///
    /// # Errors
    /// Where a mechanism does not go there.
    pub fn pose(&self, at: f64, poses: &mut Vec<Pose>) -> Result<(), Blocked> {
        for part in &self.parts {
            let input = part.path.motion(at + part.pin);
            let input = input.as_ref().map_err(|why| *why)?;
            let solved = part.mechanism.motion(input);
            let limb = solved.as_ref().map_err(|why| *why)?.limb;
            poses.push(Pose { input: *input, limb });
        }
        Ok(())
    }

    /// What it gives in [poses](Self::pose) that are known.
    ///
    /// # Errors
    /// Where a guide binds.
    pub fn work_in(&self, poses: &[Pose], now: &Instant) -> Result<Work, Stuck> {
        let mut sum = Work::default();
        self.each(now, Some(poses), |_, work, _| sum.add(work, 1.0))?;
        Ok(sum)
    }

    /// Tells what it gives for each of its limbs in [poses](Self::pose) that are known, and
    /// the forces in their mechanisms.
    ///
    /// # Errors
    /// Where a guide binds.
    pub fn all_in(
        &self,
        poses: &[Pose],
        now: &Instant,
        mut tell: impl FnMut(usize, &Work, &Forces),
    ) -> Result<(), Stuck> {
        self.each(now, Some(poses), |index, work, found| {
            let forces = Forces {
                push: found.thrust.map(|_| found.push),
                hold: libm::hypot(found.hold[0], found.hold[1]),
                friction: found.friction,
                turning: found.turning,
                bare: found.bare,
                swing: found.swing,
            };
            tell(index, work, &forces);
        })
    }

    /// Limb by limb; in poses that are known, or where they are at that instant.
    fn each(
        &self,
        now: &Instant,
        poses: Option<&[Pose]>,
        mut tell: impl FnMut(usize, &Work, &Balance),
    ) -> Result<(), Stuck> {
        // Asked for again and again: no room is taken on the heap for the usual few.
        let mut few = [Hung::default(); FEW];
        let mut many = Vec::new();
        let hung = if self.parts.len() <= FEW {
            &mut few[..]
        } else {
            many.resize(self.parts.len(), Hung::default());
            &mut many[..]
        };
        for (index, part) in self.parts.iter().enumerate() {
            // Where they were made, so that nothing so large is copied so often.
            let (input, solved);
            let pose = match poses {
                Some(poses) => (&poses[index].input, &poses[index].limb),
                None => {
                    input = part.path.motion(now.at + part.pin);
                    let input = input.as_ref().map_err(|why| *why)?;
                    solved = part.mechanism.motion(input);
                    (input, &solved.as_ref().map_err(|why| *why)?.limb)
                }
            };
            let moving = Moving::of(part, pose, now);
            // Half a rod hangs on each of its pins: the bolt bears it too.
            if let Some([_, far]) = moving.pins {
                hung[index].put(far.0[0], far.0[1], far.1);
            }
            let found = moving.balance(&hung[index])?;
            let mut work = Work::default();
            work.add(&moving.work(&found), self.unit);
            tell(index, &work, &found);
            let Some(above) = part.above else { continue };
            let on = &mut hung[above.part];
            match above.role {
                Role::Host => {
                    on.put(-found.hold[0], -found.hold[1], moving.pivot);
                    on.moment -= found.couple * 1e3;
                }
                Role::Driver => {
                    if let Some([near, _]) = moving.pins {
                        on.put(near.0[0], near.0[1], near.1);
                    }
                    if let Some((at, along)) = found.thrust {
                        on.put(-found.push * along.x(), -found.push * along.y(), at);
                    }
                }
            }
        }
        Ok(())
    }
}
